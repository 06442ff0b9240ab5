//! How a file of readings is written, by loggers and people: what parts its columns, and its times.

use crate::{model::Moment, units::number};
use jiff::civil::{DateTime, Time};

/// Tells what parts the columns: by the first line with anything in it, a semicolon where its commas only stand in figures.
pub(super) fn separator(text: &str) -> u8 {
    let mut lines = text.lines().map(str::trim);
    let first = lines.find(|line| !line.is_empty() && !line.starts_with('#'));
    let first = first.unwrap_or("");
    let digit = |c: char| c.is_ascii_digit();
    let cells: Vec<&str> = first.split(',').collect();
    let in_figures = cells
        .windows(2)
        .all(|two| two[0].ends_with(digit) && two[1].starts_with(digit));
    if first.contains(';') && in_figures {
        b';'
    } else {
        b','
    }
}

/// A stop-watch that was started with the readings has not run longer than this at the first, minutes.
const LATEST_START: u32 = 5;

/// Tells whether a first time in two parts reads like hours and minutes: no stop-watch starts so late.
pub(super) fn may_be_of_the_day(first: &str) -> bool {
    let parts: Option<Vec<u32>> = first.split(':').map(|p| p.parse().ok()).collect();
    matches!(parts.as_deref(), Some([one, two]) if (LATEST_START..24).contains(one) && *two < 60)
}

/// A date and time as written: by the clock of the place, or with its offset from universal time (RFC 3339).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateAndTime {
    /// By the clock on the wall.
    Local(DateTime),
    /// With its offset, `Z` included: whatever clock wrote it, there is one such moment.
    Offset(Moment),
}

impl DateAndTime {
    fn read(text: &str) -> Option<Self> {
        // With an offset first: without one that is an error, while a local time may drop it.
        let offset = text.parse().ok().map(Self::Offset);
        offset.or_else(|| text.parse().ok().map(Self::Local))
    }
}

/// A time as written.
#[derive(Debug, Clone, Copy)]
pub(super) enum When {
    Seconds(f64),
    /// Seconds since midnight, as `hh:mm:ss`; a stop-watch writes so too.
    OfDay(f64),
    At(DateAndTime),
}

impl When {
    /// Returns the date and time, where it was written so.
    pub(super) fn date_and_time(self) -> Option<DateAndTime> {
        match self {
            Self::At(at) => Some(at),
            Self::Seconds(_) | Self::OfDay(_) => None,
        }
    }
}

/// Reads a time: seconds, `mm:ss`, `hh:mm:ss`, or a date and time, local or with its offset.
///
/// A comma is a decimal point only where `decimal_commas`: elsewhere it may part thousands.
pub(super) fn when(text: &str, decimal_commas: bool) -> Option<When> {
    let number = |text: &str| {
        let plain = text.parse::<f64>().ok();
        plain.or_else(|| number(text).filter(|_| decimal_commas))
    };
    if let Some(seconds) = number(text) {
        return seconds.is_finite().then_some(When::Seconds(seconds));
    }
    if let Some(at) = DateAndTime::read(text) {
        return Some(When::At(at));
    }
    let parts: Vec<f64> = text
        .split(':')
        .map(|p| number(p).filter(|v| v.is_finite() && *v >= 0.0))
        .collect::<Option<_>>()?;
    match parts.as_slice() {
        [m, s] => Some(When::Seconds(m * 60.0 + s)),
        [h, m, s] if *h < 24.0 => Some(When::OfDay(h * 3600.0 + m * 60.0 + s)),
        [h, m, s] => Some(When::Seconds(h * 3600.0 + m * 60.0 + s)),
        _ => None,
    }
}

/// A time of day that falls is of the next day where no longer than this lies between, seconds: more is a slip.
const OVER_MIDNIGHT: f64 = 2.0 * 3600.0;
/// A day, seconds.
const DAY: f64 = 24.0 * 3600.0;

/// Counts seconds from the first good line.
#[derive(Debug, Default)]
pub(super) struct Clock {
    first: Option<When>,
    /// The last time of day.
    last: Option<f64>,
    /// Midnights gone by.
    midnights: f64,
}

impl Clock {
    /// Returns the seconds since the first time it was asked about.
    pub(super) fn seconds(&mut self, at: When) -> Result<f64, String> {
        let at = match at {
            When::OfDay(now) => {
                if self
                    .last
                    .is_some_and(|last| now < last && now + DAY - last <= OVER_MIDNIGHT)
                {
                    self.midnights += 1.0;
                }
                self.last = Some(now);
                When::Seconds(now + self.midnights * DAY)
            }
            When::Seconds(_) | When::At(_) => at,
        };
        match (*self.first.get_or_insert(at), at) {
            (When::Seconds(first) | When::OfDay(first), When::Seconds(now) | When::OfDay(now)) => {
                Ok(now - first)
            }
            (When::At(DateAndTime::Local(first)), When::At(DateAndTime::Local(now))) => {
                Ok(now.duration_since(first).as_secs_f64())
            }
            (When::At(DateAndTime::Offset(first)), When::At(DateAndTime::Offset(now))) => {
                Ok(now.duration_since(first).as_secs_f64())
            }
            (When::Seconds(_) | When::OfDay(_) | When::At(_), When::At(_))
            | (When::At(_), When::Seconds(_) | When::OfDay(_)) => Err(
                "its time is written in another way than the first line's; write all alike"
                    .to_owned(),
            ),
        }
    }
}

/// Marks a longest series of times that never go back, by Schensted's sorting from the end
/// (Schensted 1961); among series of one length the one that keeps earlier lines.
pub(super) fn longest_rise(times: &[f64]) -> Vec<bool> {
    // Latest beginning of a series of each length, and what follows each time in its own.
    let mut begins: Vec<usize> = Vec::new();
    let mut follows: Vec<Option<usize>> = vec![None; times.len()];
    for (i, time) in times.iter().enumerate().rev() {
        let length = begins.partition_point(|&b| times[b] >= *time);
        follows[i] = length.checked_sub(1).map(|before| begins[before]);
        if length == begins.len() {
            begins.push(i);
        } else {
            begins[length] = i;
        }
    }
    let mut keep = vec![false; times.len()];
    let mut next = begins.last().copied();
    while let Some(i) = next {
        keep[i] = true;
        next = follows[i];
    }
    keep
}

/// Returns the time of day written `14:05` or `14:05:30` on a day, or a whole date and time.
pub fn moment_on(text: &str, today: jiff::civil::Date) -> Option<DateAndTime> {
    let text = text.trim();
    let of_day = || text.parse::<Time>().map(|t| today.to_datetime(t));
    DateAndTime::read(text).or_else(|| of_day().ok().map(DateAndTime::Local))
}

#[cfg(test)]
mod tests {
    use super::DateAndTime;
    use crate::{units::TemperatureUnit, workflow::readings::csv::read_readings};
    const C: TemperatureUnit = TemperatureUnit::Celsius;

    #[test]
    fn a_log_through_midnight_is_read_and_only_a_time_of_day_goes_over_it() {
        let read = read_readings("23:59:00,70\n23:59:30,71\n00:00:00,72\n0:01:00,73\n", C).unwrap();
        assert_eq!(read.issues, []);
        let seconds: Vec<f64> = read.readings.iter().map(|r| r.seconds).collect();
        assert_eq!(seconds, [0.0, 30.0, 60.0, 120.0]);
        // Half a day back is a slip, and so is any number of seconds.
        for text in [
            "14:00:00,70\n14:01:00,70\n04:02:00,70\n",
            "70000,70\n70060,70\n0,70\n",
        ] {
            assert_eq!(read_readings(text, C).unwrap().issues.len(), 1, "{text}");
        }
    }

    #[test]
    fn times_with_their_offset_are_moments_whatever_the_clock_did() {
        // A quarter of an hour through the night that loses summer time, and the same by universal time.
        for text in [
            "2026-10-25T02:55:00+02:00,170\n2026-10-25T02:00:00+01:00,171\n2026-10-25T02:10:00+01:00,172\n",
            "2026-10-25T00:55:00Z,170\n2026-10-25T01:00:00Z,171\n2026-10-25 01:10:00Z,172\n",
        ] {
            let read = read_readings(text, C).unwrap();
            assert_eq!(read.issues, [], "{text}");
            let seconds: Vec<f64> = read.readings.iter().map(|r| r.seconds).collect();
            assert_eq!(seconds, [0.0, 300.0, 900.0], "{text}");
            let first = "2026-10-25T00:55:00Z".parse().unwrap();
            let offset = DateAndTime::Offset(first);
            assert_eq!(read.readings[0].at, Some(offset), "{text}");
        }
        let mixed = "2026-10-25T00:55:00Z,170\n2026-10-25T01:00:00,171\n";
        assert_eq!(read_readings(mixed, C).unwrap().issues.len(), 1);
    }

    #[test]
    fn one_wrong_time_of_day_costs_one_line_and_no_comma_parts_thousands_in_silence() {
        let slip = "08:00:00,170\n23:01:00,171\n08:02:00,172\n08:03:00,173\n";
        let read = read_readings(slip, C).unwrap();
        assert_eq!((read.readings.len(), read.issues.len()), (3, 1));
        let thousands = "\"1,000\",150\n\"1,060\",151\n";
        let read = read_readings(thousands, C).unwrap();
        assert_eq!((read.readings.len(), read.issues.len()), (0, 2));
    }
}
