//! Times as a sentence says them.

use crate::units::Minutes;

/// Says a time: seconds below a minute, else to the half minute: `45 s`, `17 min`, `17.5 min`.
pub(super) fn said(t: Minutes) -> String {
    let seconds = t.seconds().round();
    if seconds < 60.0 {
        return format!("{:.0} s", seconds.max(0.0));
    }
    let halves = (t.0 * 2.0).round();
    if halves % 2.0 == 0.0 {
        format!("{:.0} min", halves / 2.0)
    } else {
        format!("{:.1} min", halves / 2.0)
    }
}

/// Says a time to the whole minute.
pub(super) fn said_whole(t: Minutes) -> String {
    said(Minutes(t.0.round()))
}

/// Returns what makes a word mean `n` of them.
pub(super) fn plural(n: usize) -> &'static str {
    if n == 1 { "" } else { "s" }
}

/// Says a time finely enough that a change of a minute shows: to 10 s below 20 min, else to the minute.
pub(super) fn fine(t: Minutes) -> Minutes {
    let step = if t.0 < 20.0 { 6.0 } else { 1.0 };
    Minutes((t.0 * step).round() / step)
}

/// Writes `first`, `second`, `third`, `fourth`; figures beyond.
pub(super) fn ordinal(n: usize) -> String {
    match n {
        1 => "first".to_owned(),
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        4 => "fourth".to_owned(),
        other => format!("{other}th"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_said_as_one_speaks() {
        assert_eq!(said(Minutes(0.75)), "45 s");
        assert_eq!(said(Minutes(17.0)), "17 min");
        assert_eq!(said(Minutes(17.45)), "17.5 min");
        assert_eq!(said(Minutes(0.999)), "1 min");
        assert_eq!(said_whole(Minutes(17.45)), "17 min");
        assert_eq!(said_whole(Minutes(0.2)), "0 s");
    }
}
