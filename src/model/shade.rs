//! Shade, lightness and browning: three ways to say how brown a slice is.
//!
//! Crumb darkens by first-order kinetics in CIE L*, dL*/dt = -k L* (Purlis and Salvadori 2007;
//! Purlis 2010; from memory), so the dose B = ln(L0 / L*) adds up over time and over places.
//! The shade card divides the way from an untoasted slice (L* 84) to a burnt one (L* 25) into nine
//! equal doses.

/// Lightness L* of an untoasted slice when none was measured.
pub const UNTOASTED_LIGHTNESS: f64 = 84.0;
/// Lightness L* of shade 9, burnt black, on a loaf of [`UNTOASTED_LIGHTNESS`].
pub const BURNT_LIGHTNESS: f64 = 25.0;
/// The highest shade.
pub const HIGHEST_SHADE: f64 = 9.0;
/// Standard error of a shade read by eye against the card: about half a step (common practice, no source).
pub const EYE_SD_SHADE: f64 = 0.5;
/// Standard error that rounding to half steps adds by itself: half a step, evenly spread, 0.5 / sqrt(12).
pub const ROUNDING_SD_SHADE: f64 = 0.144_337_567_297_406_44;
/// A shade from here up is nearly saturated: it says "at least".
pub const SATURATED_SHADE: f64 = 8.0;
/// A shade below this has barely started: it says "at most".
pub const BARELY_SHADE: f64 = 1.0;

/// Browning of one whole shade: ln(84 / 25) / 9, about 0.1347.
pub fn browning_per_shade() -> f64 {
    (UNTOASTED_LIGHTNESS / BURNT_LIGHTNESS).ln() / HIGHEST_SHADE
}

/// Standard error of one score by eye, shades: the eye and the half steps of the card.
pub fn score_sd_shade() -> f64 {
    EYE_SD_SHADE.hypot(ROUNDING_SD_SHADE)
}

/// A shade that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShadeError {
    /// Outside 0..9 or not on a half step.
    #[error(
        "{0} is not a shade; use 0 (untoasted) to 9 (burnt black) in half steps, like 3 or 3.5"
    )]
    NotOnCard(String),
}

/// The score of a slice: 0 untoasted ... 9 burnt black, in half steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Shade(u8);

impl Shade {
    /// Makes a shade from a count of half steps, 0..=18.
    ///
    /// # Errors
    /// [`ShadeError`] above 18.
    pub fn from_half_steps(half_steps: u8) -> Result<Self, ShadeError> {
        if half_steps <= 18 {
            Ok(Self(half_steps))
        } else {
            Err(ShadeError::NotOnCard(format!(
                "{}",
                f64::from(half_steps) / 2.0
            )))
        }
    }

    /// Makes a whole shade from a digit 0..=9.
    ///
    /// # Errors
    /// [`ShadeError`] above 9.
    pub fn whole(digit: u8) -> Result<Self, ShadeError> {
        Self::from_half_steps(digit.saturating_mul(2))
    }

    /// Makes a shade from its value, which must lie on a half step.
    ///
    /// # Errors
    /// [`ShadeError`] outside 0..9, off the half steps, or not a number.
    pub fn from_value(value: f64) -> Result<Self, ShadeError> {
        let doubled = value * 2.0;
        if (0.0..=18.0).contains(&doubled) && (doubled - doubled.round()).abs() < 1e-9 {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "checked 0..=18"
            )]
            let half_steps = doubled.round() as u8;
            Ok(Self(half_steps))
        } else {
            Err(ShadeError::NotOnCard(value.to_string()))
        }
    }

    /// Returns the count of half steps.
    pub fn half_steps(self) -> u8 {
        self.0
    }

    /// Returns the value, 0.0 to 9.0.
    pub fn value(self) -> f64 {
        f64::from(self.0) / 2.0
    }

    /// Adds half a step, or takes it off again when the shade already has one.
    #[must_use]
    pub fn toggle_half(self) -> Self {
        if self.0 % 2 == 1 {
            Self(self.0 - 1)
        } else {
            Self((self.0 + 1).min(18))
        }
    }

    /// Returns the browning behind this shade.
    pub fn browning(self) -> Browning {
        Browning(self.value() * browning_per_shade())
    }
}

impl std::fmt::Display for Shade {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.0.is_multiple_of(2) {
            write!(f, "{}", self.0 / 2)
        } else {
            write!(f, "{}.5", self.0 / 2)
        }
    }
}

/// The dose behind a shade: ln(L0 / L*), without unit, additive in time.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Browning(pub f64);

impl Browning {
    /// Returns the dose that took crumb from lightness `untoasted` to `lightness` (both L*).
    pub fn from_lightness(lightness: f64, untoasted: f64) -> Self {
        Self((untoasted / lightness).ln())
    }

    /// Returns the lightness L* this dose leaves of crumb that began at `untoasted`.
    pub fn lightness(self, untoasted: f64) -> f64 {
        untoasted * (-self.0).exp()
    }

    /// Returns the dose as a figure on the shade card (not rounded to half steps).
    pub fn shades(self) -> f64 {
        self.0 / browning_per_shade()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_card_has_the_published_lightness_steps() {
        // L* of shades 0..9 with L0 = 84, to one decimal (computed from the definition).
        let expected = [84.0, 73.4, 64.2, 56.1, 49.0, 42.8, 37.4, 32.7, 28.6, 25.0];
        for (digit, l) in (0_u8..).zip(expected) {
            let got = Shade::whole(digit)
                .unwrap()
                .browning()
                .lightness(UNTOASTED_LIGHTNESS);
            assert!((got - l).abs() < 0.051, "shade {digit}: {got}");
        }
    }

    #[test]
    fn only_half_steps_of_the_card_are_shades() {
        assert_eq!(Shade::from_value(3.5).unwrap().to_string(), "3.5");
        let three = Shade::whole(3).unwrap();
        assert_eq!(three.toggle_half().toggle_half(), three);
        assert!(Shade::from_value(3.3).is_err());
        assert!(Shade::from_value(9.5).is_err());
        assert!(Shade::from_value(f64::NAN).is_err());
        assert!(Shade::whole(10).is_err());
    }
}
