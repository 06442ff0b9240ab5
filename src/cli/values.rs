//! Values of arguments read in our own words, so that no library's wording reaches the user.

use crate::{
    model::{
        Mode,
        moment::names_zone,
        text::{LONGEST_NAME, LONGEST_NOTE, WordsError, check_words},
    },
    units::{UnitError, number},
    workflow::scoring::ScoreError,
};
use jiff::civil::{Date, DateTime};

/// What is wrong with a value, and what to write.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(super) enum ValueError {
    #[error("no such date; write it like 2026-11-25 or 2026-11-25T09:30")]
    Moment,
    #[error("it names an offset or a zone; write it by the clock here, like 2026-11-25T09:30")]
    Elsewhere,
    #[error("no such day; write it like 2026-04-02")]
    Day,
    #[error("no time of day; write it like 17:30")]
    TimeOfDay,
    #[error("it is no oven's inside; give 15 to 120 cm, like 63.5")]
    Cavity,
    #[error("write columns x rows, 1 to 400 each, like 12x9")]
    Grid,
    #[error("it is not a number, or not one up to 1e12; write it like 350")]
    Number,
    #[error("its comma may part thousands or be a point; write {0} or {1}")]
    Thousands(String, String),
    #[error("it names no unit of temperature; write it like 75F or 24C")]
    NoUnit,
    #[error(transparent)]
    Unit(#[from] UnitError),
    #[error("{0}; write it like 60min@75F or 1.5h@24C")]
    KnownTime(&'static str),
    #[error("'{0}' is no key; see 'rackshade score --help'")]
    Key(String),
    #[error(transparent)]
    Score(#[from] ScoreError),
    #[error("use one of {}", .0.join(", "))]
    NotOneOf(Vec<&'static str>),
    /// Few choices, in words of their own.
    #[error("{0}")]
    Choose(&'static str),
}

/// Reads a local time: a day alone means its start.
///
/// # Errors
/// What to write instead.
pub(super) fn moment(text: &str) -> Result<DateTime, ValueError> {
    if names_zone(text) {
        return Err(ValueError::Elsewhere);
    }
    let read = text.trim().parse();
    read.map_err(|_unread: jiff::Error| ValueError::Moment)
}

/// Reads a day.
///
/// # Errors
/// What to write instead.
pub(super) fn day(text: &str) -> Result<Date, ValueError> {
    let read = text.trim().parse();
    read.map_err(|_unread: jiff::Error| ValueError::Day)
}

/// Reads a name: one line of at most 80 characters.
///
/// # Errors
/// What to write instead.
pub(super) fn name(text: &str) -> Result<String, WordsError> {
    check_words(text, LONGEST_NAME).map(|()| text.to_owned())
}

/// Reads a note: one line of at most 500 characters.
///
/// # Errors
/// What to write instead.
pub(super) fn note(text: &str) -> Result<String, WordsError> {
    check_words(text, LONGEST_NOTE).map(|()| text.to_owned())
}

/// Reads a figure as a baker or a program writes it: `12.5`, `12,5`, `12 1/2` or `1.25e1`.
///
/// # Errors
/// What to write instead.
pub(super) fn figure(text: &str) -> Result<f64, ValueError> {
    if let Some((whole, rest)) = text.trim().split_once(',') {
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        if digits(whole) && !whole.starts_with('0') && digits(rest) && rest.len() == 3 {
            return Err(ValueError::Thousands(
                format!("{whole}{rest}"),
                format!("{whole}.{rest}"),
            ));
        }
    }
    let plain = text.trim().parse().ok();
    plain
        .or_else(|| number(text))
        .filter(|v| v.abs() <= 1e12)
        .ok_or(ValueError::Number)
}

/// Reads a side of a cavity in cm.
///
/// # Errors
/// What to write instead.
pub(super) fn cavity_cm(text: &str) -> Result<f64, ValueError> {
    number(text)
        .filter(|cm| (15.0..=120.0).contains(cm))
        .ok_or(ValueError::Cavity)
}

/// Reads a grid like `12x9`: columns, then rows, 1 to 400 each.
///
/// # Errors
/// What to write instead.
pub(super) fn grid(text: &str) -> Result<(usize, usize), ValueError> {
    text.split_once(['x', 'X'])
        .and_then(|(cols, rows)| Some((cols.trim().parse().ok()?, rows.trim().parse().ok()?)))
        .filter(|(cols, rows)| (1..=400).contains(cols) && (1..=400).contains(rows))
        .ok_or(ValueError::Grid)
}

/// Reads the key of a mode.
///
/// # Errors
/// What to write instead.
pub(super) fn mode(text: &str) -> Result<Mode, ValueError> {
    // As the screens name it, too: no fan.
    let typed = text.trim().to_lowercase();
    let as_shown = |m: &Mode| m.words() == typed.replace('-', " ");
    Mode::from_key(&typed)
        .or_else(|| Mode::ALL.into_iter().find(as_shown))
        .ok_or_else(|| not_one_of(Mode::ALL.map(Mode::key)))
}

pub(super) fn not_one_of<const N: usize>(keys: [&'static str; N]) -> ValueError {
    ValueError::NotOneOf(keys.to_vec())
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
            assert!(cavity_cm(wrong).unwrap_err() == ValueError::Cavity);
        }
        for (text, value) in [("12,5", 12.5), ("-12 1/2", -12.5), ("1e3", 1000.0)] {
            assert_eq!(figure(text), Ok(value), "{text}");
        }
        assert!(matches!(figure("1,000"), Err(ValueError::Thousands(..))));
        assert_eq!(figure("0,125"), Ok(0.125));
        for wrong in ["1e13", "inf", "NaN", "soon", ""] {
            assert_eq!(figure(wrong), Err(ValueError::Number), "{wrong}");
        }
        // It would be lost.
        for zone in ["+14:00", "Z", "[Europe/Berlin]"] {
            let said = moment(&format!("2026-11-25T09:30{zone}"));
            assert_eq!(said, Err(ValueError::Elsewhere), "{zone}");
        }
        for wrong in ["soon", "2026-13-01", "25.11.2026", ""] {
            let said = moment(wrong).unwrap_err().to_string();
            assert!(said.contains("2026-11-25T09:30"), "{said}");
        }
    }
}
