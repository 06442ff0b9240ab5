//! Values of arguments read in our own words, so that no library's wording reaches the user.

use jiff::civil::DateTime;

/// Reads a local time: a day alone means its start.
///
/// # Errors
/// What to write instead.
pub(super) fn moment(text: &str) -> Result<DateTime, String> {
    text.trim().parse().map_err(|_unread: jiff::Error| {
        "no such date; write it like 2026-11-25 or 2026-11-25T09:30".to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_day_alone_means_its_start() {
        let day = date(2026, 11, 25);
        assert_eq!(moment("2026-11-25"), Ok(day.at(0, 0, 0, 0)));
        assert_eq!(moment("2026-11-25T09:30"), Ok(day.at(9, 30, 0, 0)));
        assert_eq!(moment("2026-11-25 09:30"), Ok(day.at(9, 30, 0, 0)));
        for wrong in ["soon", "2026-13-01", "25.11.2026", ""] {
            let said = moment(wrong).unwrap_err();
            assert!(said.contains("2026-11-25T09:30"), "{said}");
        }
    }
}
