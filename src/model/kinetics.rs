//! How fast bread browns at a temperature, and what a difference in browning is worth in degrees.
//!
//! Arrhenius, k = k0 exp(-E / (R T)), so that near a temperature T (kelvin) the sensitivity is
//! d ln k / dT = E / (R T^2) and two doses whose ratio is r differ as if the air had differed by
//! ln(r) / sensitivity. The default energy lies between two publications that agree within 15 %:
//! Zanoni, Peri and Bruno 1995 (LWT 28:604-609) and Purlis and Salvadori 2009 (Food Res. Int.
//! 42:865-870; from memory).

use super::worded::worded;
use crate::units::{Celsius, CelsiusDelta};

/// Molar gas constant, J/(mol K) (exact product of the SI's Boltzmann and Avogadro constants, rounded).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Activation energy of browning when a bread's own is not known, J/mol.
pub const DEFAULT_ENERGY: f64 = 70_000.0;
/// Relative standard uncertainty of [`DEFAULT_ENERGY`]; it scales a whole map and reorders nothing.
pub const DEFAULT_ENERGY_RELATIVE_SD: f64 = 0.15;
/// Activation energy on a hot plate, dried crumb, 140 to 250 C, J/mol (Zanoni, Peri, Bruno 1995).
pub const HOT_PLATE_ENERGY: f64 = 64_151.0;
/// Rate factor that belongs to [`HOT_PLATE_ENERGY`], per minute (42 000 per second; Zanoni, Peri, Bruno 1995).
pub const HOT_PLATE_FACTOR: f64 = 42_000.0 * 60.0;
/// Colour difference that hot-plate browning tends to (Zanoni, Peri, Bruno 1995).
pub const HOT_PLATE_ASYMPTOTE: f64 = 52.0;

/// Returns the rate k0 exp(-E / (R T)) in the unit of `factor`; `energy` in J/mol.
pub fn rate(factor: f64, energy: f64, at: Celsius) -> f64 {
    factor * (-energy / (GAS_CONSTANT * at.kelvin())).exp()
}

/// Returns the rate at `at` as a multiple of the rate at `reference`; `energy` in J/mol.
pub fn relative_rate(energy: f64, at: Celsius, reference: Celsius) -> f64 {
    (-energy / GAS_CONSTANT * (at.kelvin().recip() - reference.kelvin().recip())).exp()
}

/// Returns the dose of first-order browning towards `asymptote` at colour difference `delta_e`.
///
/// D = -ln(1 - dE / asymptote) (Zanoni, Peri, Bruno 1995); infinite at the asymptote, not a number beyond.
pub fn dose_of_colour_difference(delta_e: f64, asymptote: f64) -> f64 {
    -(1.0 - delta_e / asymptote).ln()
}

/// Returns the temperature difference that explains a `ratio` of two doses: dT = ln(ratio) / sensitivity.
///
/// It is infinite for a ratio of zero: nothing browned at all.
pub fn equivalent_delta(ratio: f64, sensitivity: &Sensitivity) -> CelsiusDelta {
    CelsiusDelta(ratio.ln() / sensitivity.per_c)
}

worded! {
    /// What a sensitivity rests on.
    pub enum SensitivitySource [words] {
        /// The default energy, between two publications.
        Default: "published browning rates of bread";
        /// This bread toasted at two dial settings.
        TwoDials: "this bread toasted at two dial settings";
    }
}

/// How much faster bread browns for each degree, near one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    /// d ln k / dT, per degree Celsius.
    pub per_c: f64,
    /// The activation energy behind it, J/mol: what holds at any temperature.
    pub energy: f64,
    /// Relative standard uncertainty of `per_c`.
    pub relative_sd: f64,
    /// What it rests on.
    pub source: SensitivitySource,
}

impl Sensitivity {
    /// Makes the default sensitivity near temperature `at`: E / (R T^2) with [`DEFAULT_ENERGY`].
    pub fn default_at(at: Celsius) -> Self {
        Self {
            energy: DEFAULT_ENERGY,
            per_c: DEFAULT_ENERGY / (GAS_CONSTANT * at.kelvin().powi(2)),
            relative_sd: DEFAULT_ENERGY_RELATIVE_SD,
            source: SensitivitySource::Default,
        }
    }

    /// Says what it rests on, and how well it is known.
    pub fn basis(&self) -> String {
        format!(
            "{}, give or take {:.0} %",
            self.source.words(),
            100.0 * self.relative_sd
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed from k0 and E of Zanoni, Peri and Bruno 1995, as printed to four decimals.
    #[test]
    fn hot_plate_rates_per_minute() {
        for (c, k) in [
            (150.0, 0.0304),
            (177.0, 0.0907),
            (200.0, 0.2087),
            (220.0, 0.4042),
        ] {
            let got = rate(HOT_PLATE_FACTOR, HOT_PLATE_ENERGY, Celsius(c));
            assert!((got - k).abs() < 0.000_05, "{c} C: {got}");
        }
    }

    /// Computed from D = -ln(1 - dE/52) and the rates above; times to a whole second.
    #[test]
    fn hot_plate_doses_and_times() {
        // The second, dE 26, is half of the asymptote: ln 2.
        for (delta_e, dose) in [(13.0, 0.287_682), (26.0, std::f64::consts::LN_2)] {
            let got = dose_of_colour_difference(delta_e, HOT_PLATE_ASYMPTOTE);
            assert!((got - dose).abs() < 5e-7, "dE {delta_e}: {got}");
        }
        for (c, seconds) in [(177.0, 459.0), (200.0, 199.0)] {
            let minutes = dose_of_colour_difference(26.0, HOT_PLATE_ASYMPTOTE)
                / rate(HOT_PLATE_FACTOR, HOT_PLATE_ENERGY, Celsius(c));
            assert!(
                (minutes * 60.0 - seconds).abs() < 0.5,
                "{c} C: {} s",
                minutes * 60.0
            );
        }
    }

    /// dT = (R T^2 / E) ln(D1 / D2) with the hot-plate energy: dE 26 against 13 at 177 C is 23.1 K.
    #[test]
    fn a_ratio_of_doses_is_a_difference_in_degrees() {
        let at = Celsius(177.0);
        let sensitivity = Sensitivity {
            energy: HOT_PLATE_ENERGY,
            per_c: HOT_PLATE_ENERGY / (GAS_CONSTANT * at.kelvin().powi(2)),
            relative_sd: 0.0,
            source: SensitivitySource::Default,
        };
        let ratio = dose_of_colour_difference(26.0, HOT_PLATE_ASYMPTOTE)
            / dose_of_colour_difference(13.0, HOT_PLATE_ASYMPTOTE);
        assert!((equivalent_delta(ratio, &sensitivity).0 - 23.1).abs() < 0.05);
        assert!((equivalent_delta(1.0 / ratio, &sensitivity).0 + 23.1).abs() < 0.05);
    }

    /// Q10 and sensitivity at 177 C as computed from both publications: 0.038 and 0.043 per K, 1.45 and 1.53.
    #[test]
    fn both_publications_agree_within_fifteen_percent() {
        let at = Celsius(177.0);
        let hot_plate = HOT_PLATE_ENERGY / (GAS_CONSTANT * at.kelvin().powi(2));
        assert!((hot_plate - 0.038).abs() < 0.0005);
        let q10 = relative_rate(HOT_PLATE_ENERGY, Celsius(187.0), at);
        assert!((q10 - 1.45).abs() < 0.005, "{q10}");

        // Purlis and Salvadori 2009 (from memory): A = 8.7015e3 + 49.4738/aw K, here at aw 0.5.
        let a = 8.7015e3 + 49.4738 / 0.5;
        let baking = a / at.kelvin().powi(2);
        assert!((baking - 0.0434).abs() < 0.000_05, "{baking}");
        let q10 = (a / at.kelvin() - a / Celsius(187.0).kelvin()).exp();
        assert!((q10 - 1.53).abs() < 0.005, "{q10}");

        let default = Sensitivity::default_at(at);
        assert!(default.per_c > hot_plate && default.per_c < baking);
        assert!((baking - hot_plate).abs() / default.per_c < DEFAULT_ENERGY_RELATIVE_SD);
    }
}
