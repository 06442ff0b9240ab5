//! A moment: an instant that any clock agrees on, with what the wall clock showed when it was noted.
//!
//! Whatever is measured or counted down goes by the instant, so that neither a change of zone nor of summer time
//! lengthens a bake. What is shown, typed, or set against the days of tests and visits is the civil time.

use jiff::{
    SignedDuration, Timestamp, ZonedDateTime,
    civil::{Date, DateTime},
    fmt::temporal::Pieces,
    tz::{Offset, TimeZone},
};
use std::{cmp::Ordering, fmt, ops::Add, str::FromStr};

/// An instant and the offset of the clock that noted it; two are equal when their instants are.
#[derive(Debug, Clone, Copy)]
pub struct Moment {
    at: Timestamp,
    offset: Offset,
}

impl Moment {
    /// The latest there can be.
    pub const MAX: Self = Self {
        at: Timestamp::MAX,
        offset: Offset::UTC,
    };

    /// Takes a civil time for that of a zone.
    ///
    /// Of an hour that is there twice the first one is meant; a time that is skipped is as much later.
    pub fn in_zone(civil: DateTime, zone: &TimeZone) -> Self {
        let offset = zone.to_ambiguous_timestamp(civil).compatible();
        offset.map_or(Self::MAX, |at| Self {
            at,
            offset: zone.to_offset(at),
        })
    }

    /// Returns the second moment at which a clock of that zone shows the same, in the hour that is there twice.
    pub fn again_in(self, zone: &TimeZone) -> Option<Self> {
        let at = zone.to_ambiguous_timestamp(self.civil()).later().ok()?;
        let offset = zone.to_offset(at);
        (at != self.at && offset.to_datetime(at) == self.civil()).then_some(Self { at, offset })
    }

    /// Returns what the wall clock showed.
    pub fn civil(self) -> DateTime {
        self.offset.to_datetime(self.at)
    }

    /// Returns the moment at which the same clock, by the same offset, shows a civil time.
    #[must_use]
    pub fn at_civil(self, civil: DateTime) -> Self {
        self.offset
            .to_timestamp(civil)
            .map_or(Self::MAX, |at| Self { at, ..self })
    }

    /// Returns the same instant as the clock that noted `other` shows it.
    #[must_use]
    pub fn by_clock_of(self, other: Self) -> Self {
        Self {
            at: self.at,
            ..other
        }
    }

    /// Returns the same instant as the clocks of a zone show it.
    #[must_use]
    pub fn by_clock_in(self, zone: &TimeZone) -> Self {
        Self {
            offset: zone.to_offset(self.at),
            ..self
        }
    }

    /// Returns the day by the wall clock.
    pub fn date(self) -> Date {
        self.civil().date()
    }

    /// Returns the time that passed since `earlier`; negative when that is later.
    pub fn duration_since(self, earlier: Self) -> SignedDuration {
        self.at.duration_since(earlier.at)
    }

    /// Returns the moment that much later, by the same clock; the latest there is when that is beyond the calendar.
    #[must_use]
    pub fn saturating_add(self, by: SignedDuration) -> Self {
        self.at
            .checked_add(by)
            .map_or(Self::MAX, |at| Self { at, ..self })
    }

    /// Returns the moment without parts of a second.
    #[must_use]
    pub fn whole_second(self) -> Self {
        Timestamp::from_second(self.at.as_second()).map_or(self, |at| Self { at, ..self })
    }
}

/// The time of a clock that knows its zone.
impl From<&ZonedDateTime> for Moment {
    fn from(now: &ZonedDateTime) -> Self {
        Self {
            at: now.timestamp(),
            offset: now.offset(),
        }
    }
}

/// A civil time of no zone in particular counts as universal time.
impl From<DateTime> for Moment {
    fn from(civil: DateTime) -> Self {
        Self::in_zone(civil, &TimeZone::UTC)
    }
}

impl Add<SignedDuration> for Moment {
    type Output = Self;

    fn add(self, by: SignedDuration) -> Self {
        self.saturating_add(by)
    }
}

impl PartialEq for Moment {
    fn eq(&self, other: &Self) -> bool {
        self.at == other.at
    }
}

impl Eq for Moment {}

impl PartialOrd for Moment {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Moment {
    fn cmp(&self, other: &Self) -> Ordering {
        self.at.cmp(&other.at)
    }
}

/// Writes civil time and offset: `2026-11-25T09:30:00+01:00` (RFC 3339).
impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.at.display_with_offset(self.offset))
    }
}

/// Reads civil time with its offset, `Z` included.
impl FromStr for Moment {
    type Err = jiff::Error;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        // Without an offset this is an error.
        let at = text.parse()?;
        let offset = Pieces::parse(text)?.to_numeric_offset();
        Ok(Self {
            at,
            offset: offset.unwrap_or(Offset::UTC),
        })
    }
}

/// Tells whether a time is written with an offset or a zone: read as civil time it would lose that.
pub fn names_zone(text: &str) -> bool {
    Pieces::parse(text.trim())
        .is_ok_and(|p| p.offset().is_some() || p.time_zone_annotation().is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn an_instant_is_the_same_on_every_clock() {
        let here: Moment = "2026-11-25T09:30:00+01:00".parse().unwrap();
        let there: Moment = "2026-11-25T08:30:00Z".parse().unwrap();
        assert_eq!(here, there);
        assert_eq!(here.civil(), date(2026, 11, 25).at(9, 30, 0, 0));
        assert_eq!(here.to_string(), "2026-11-25T09:30:00+01:00");
        let later = here + SignedDuration::from_mins(90);
        assert_eq!(later.duration_since(there), SignedDuration::from_mins(90));
        assert_eq!(later.civil(), date(2026, 11, 25).at(11, 0, 0, 0));
        assert!("2026-11-25T09:30:00".parse::<Moment>().is_err());
    }

    #[test]
    fn odd_civil_times_have_an_instant_too() {
        // A zone by its POSIX rule, so that no zone data is needed: an hour is skipped in March, and one is there twice.
        let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
        let of = |month, day, hour, minute| {
            Moment::in_zone(date(2026, month, day).at(hour, minute, 0, 0), &zone)
        };
        let skipped = of(3, 29, 2, 30);
        assert_eq!(skipped.civil(), date(2026, 3, 29).at(3, 30, 0, 0));
        let night = of(10, 25, 3, 30).duration_since(of(10, 25, 2, 30));
        assert_eq!(night, SignedDuration::from_mins(120));
        // Two hours before four o'clock in the night that loses one it is one o'clock.
        let before = of(3, 29, 4, 0).saturating_add(SignedDuration::from_mins(-120));
        let shown = before.by_clock_in(&zone).civil();
        assert_eq!(shown, date(2026, 3, 29).at(1, 0, 0, 0));
    }
}
