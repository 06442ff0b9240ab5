//! A thermometer: what it can tell apart, how right it is, how fast it follows, how old it is.

use super::id::ThermometerId;
use crate::units::CelsiusDelta;
use jiff::civil::Date;

/// An oven thermometer or logging probe.
#[derive(Debug, Clone, PartialEq)]
pub struct Thermometer {
    /// Its id.
    pub id: ThermometerId,
    /// Its name as the baker says it.
    pub name: String,
    /// The smallest step it shows.
    pub resolution: CelsiusDelta,
    /// It is right within this, plus or minus.
    pub accuracy: CelsiusDelta,
    /// How long it takes to follow 63 % of a change, seconds; `None` where not known.
    pub lag_s: Option<f64>,
    /// When it was bought, where known.
    pub bought: Option<Date>,
    /// Free words.
    pub note: String,
}

/// What is wrong with a thermometer's description.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ThermometerError {
    /// It has no name.
    #[error("a thermometer needs a name; give one like dial thermometer")]
    NoName,
    /// A figure that no thermometer has.
    #[error("{what} of {figure} cannot be a thermometer's; give {hint}")]
    Figure {
        /// Which figure.
        what: &'static str,
        /// Its value with its unit.
        figure: String,
        /// What to give.
        hint: &'static str,
    },
}

/// A cheap thermometer is due for replacing after this many years (common practice, no source).
const CHEAP_YEARS: f64 = 2.0;
/// A thermometer no better than this is a cheap one, C (common practice: +-10 F of a dial type).
const CHEAP_ACCURACY: f64 = 5.0;

impl Thermometer {
    /// What is assumed of a thermometer that was not named: a common dial type, right within 10 F,
    /// read to 5 F (practice).
    pub fn unnamed() -> Self {
        Self {
            id: ThermometerId::of_words("unnamed"),
            name: "a thermometer not named".to_owned(),
            resolution: CelsiusDelta(5.0 / 1.8),
            accuracy: CelsiusDelta(10.0 / 1.8),
            lag_s: None,
            bought: None,
            note: String::new(),
        }
    }

    /// Checks every figure and returns the thermometer itself.
    ///
    /// # Errors
    /// [`ThermometerError`] names the first that cannot be.
    pub fn check(self) -> Result<Self, ThermometerError> {
        if self.name.trim().is_empty() {
            return Err(ThermometerError::NoName);
        }
        let figures = [
            (
                "a step",
                self.resolution.0,
                "C",
                0.001..=30.0,
                "the smallest change it shows, like 1 F",
            ),
            (
                "an accuracy",
                self.accuracy.0,
                "C",
                0.0..=60.0,
                "what its maker promises, like 2 F",
            ),
            (
                "a lag",
                self.lag_s.unwrap_or(0.0),
                "s",
                0.0..=1800.0,
                "the seconds it takes to follow, 0 to 1800",
            ),
        ];
        for (what, value, unit, range, hint) in figures {
            if !range.contains(&value) {
                return Err(ThermometerError::Figure {
                    what,
                    figure: format!("{} {unit}", crate::units::plain(value)),
                    hint,
                });
            }
        }
        Ok(self)
    }

    /// Returns its age in years, where it is known when it was bought.
    pub fn age_years(&self, today: Date) -> Option<f64> {
        let days = (today - self.bought?).get_days();
        Some(f64::from(days) / 365.25)
    }

    /// Tells whether it is a cheap one that has served its time (common practice, no source).
    pub fn is_due(&self, today: Date) -> bool {
        self.accuracy.0 >= CHEAP_ACCURACY
            && self.age_years(today).is_some_and(|age| age >= CHEAP_YEARS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_cheap_old_one_is_due_and_a_good_one_is_not() {
        let mut t = Thermometer::unnamed();
        assert!(!t.is_due(date(2026, 11, 25)), "its age is not known");
        t.bought = Some(date(2024, 6, 1));
        assert!(t.is_due(date(2026, 11, 25)) && !t.is_due(date(2025, 6, 1)));
        t.accuracy = CelsiusDelta(0.5);
        assert!(!t.is_due(date(2026, 11, 25)));
    }

    #[test]
    fn what_no_thermometer_is_gets_refused() {
        let t = Thermometer::unnamed();
        assert!(t.clone().check().is_ok());
        for (name, resolution, accuracy, lag_s) in [
            ("", 1.0, 1.0, None),
            ("t", 0.0, 1.0, None),
            ("t", 1.0, -1.0, None),
            ("t", 1.0, f64::NAN, None),
            ("t", 1.0, 1.0, Some(1e9)),
        ] {
            let wrong = Thermometer {
                name: name.to_owned(),
                resolution: CelsiusDelta(resolution),
                accuracy: CelsiusDelta(accuracy),
                lag_s,
                ..t.clone()
            };
            assert!(
                wrong.check().is_err(),
                "{name} {resolution} {accuracy} {lag_s:?}"
            );
        }
    }
}
