//! Values of arguments read in our own words, so that no library's wording reaches the user.

use crate::model::{
    Mode,
    text::{LONGEST_NAME, LONGEST_NOTE, WordsError, check_words},
};
use jiff::civil::DateTime;

/// Reads a local time: a day alone means its start.
pub(super) fn moment(text: &str) -> Result<DateTime, String> {
    text.trim().parse().map_err(|_unread: jiff::Error| {
        "no such date; write it like 2026-11-25 or 2026-11-25T09:30".to_owned()
    })
}

/// Reads a name: one line of at most 80 characters.
pub(super) fn name(text: &str) -> Result<String, WordsError> {
    check_words(text, LONGEST_NAME).map(|()| text.to_owned())
}

/// Reads a note: one line of at most 500 characters.
pub(super) fn note(text: &str) -> Result<String, WordsError> {
    check_words(text, LONGEST_NOTE).map(|()| text.to_owned())
}

/// Reads a side of a cavity in cm.
pub(super) fn cavity_cm(text: &str) -> Result<f64, String> {
    text.trim()
        .parse()
        .ok()
        .filter(|cm| (15.0..=120.0).contains(cm))
        .ok_or_else(|| "it is no oven's inside; give 15 to 120 cm, like 63.5".to_owned())
}

/// Reads a grid like `12x9`: columns, then rows, 1 to 400 each.
pub(super) fn grid(text: &str) -> Result<(usize, usize), String> {
    text.split_once(['x', 'X'])
        .and_then(|(cols, rows)| Some((cols.trim().parse().ok()?, rows.trim().parse().ok()?)))
        .filter(|(cols, rows)| (1..=400).contains(cols) && (1..=400).contains(rows))
        .ok_or_else(|| "write columns x rows, 1 to 400 each, like 12x9".to_owned())
}

/// Reads the key of a mode.
pub(super) fn mode(text: &str) -> Result<Mode, String> {
    Mode::from_key(text).ok_or_else(|| {
        let keys: Vec<_> = Mode::ALL.iter().map(|m| m.key()).collect();
        format!("use one of {}", keys.join(", "))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_day_alone_means_its_start_and_a_cavity_has_its_bounds() {
        let day = date(2026, 11, 25);
        assert_eq!(moment("2026-11-25"), Ok(day.at(0, 0, 0, 0)));
        assert_eq!(moment("2026-11-25T09:30"), Ok(day.at(9, 30, 0, 0)));
        assert_eq!(moment("2026-11-25 09:30"), Ok(day.at(9, 30, 0, 0)));
        assert_eq!(cavity_cm("63.5"), Ok(63.5));
        for wrong in ["1e300", "-5", "NaN", "wide"] {
            assert!(cavity_cm(wrong).unwrap_err().contains("15 to 120 cm"));
        }
        for wrong in ["soon", "2026-13-01", "25.11.2026", ""] {
            let said = moment(wrong).unwrap_err();
            assert!(said.contains("2026-11-25T09:30"), "{said}");
        }
    }
}
