//! What a map shows: shades, or degrees hotter and cooler than the rack's own mean.
//!
//! Degrees follow dT = ln(B / mean B) / s, an equivalent temperature difference, with s the relative
//! change of browning per degree C.

/// Standard deviations to either end of a 90 % interval of a normal distribution.
pub use crate::numeric::normal::Z90 as HALF_WIDTH_90;

use crate::{
    colour::Ramp,
    field::RackMap,
    model::{Sensitivity, shade::browning_per_shade},
    units::{CelsiusDelta, TemperatureUnit, no_negative_zero},
};

/// The difference a baker notices: half a shade.
pub const NOTICEABLE_SHADE: f64 = 0.5;
/// Contour steps tried for degrees, on the dial's scale.
const DEGREE_STEPS: [f64; 6] = [2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
/// A degree scale reaches at least this far: about twice what half a shade is worth on golden toast,
/// so that scatter never fills the ramp.
const LEAST_REACH_C: f64 = 6.0;
/// The most contour steps from the mean to either end of a degree scale.
const MOST_STEPS: f64 = 6.0;

/// What a map shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// The figure on the shade card, 0 to 9.
    Shade,
    /// Degrees hotter (+) or cooler (-) than the rack's own mean.
    Degrees {
        /// The unit of the oven's dial.
        unit: TemperatureUnit,
        /// Relative change of browning per degree C.
        per_c: f64,
    },
}

/// Browning of less than this share of the mean is shown as this share.
const LEAST_RATIO: f64 = 0.05;

impl Quantity {
    /// Degrees of a unit, by how much faster bread browns for each.
    pub fn degrees(unit: TemperatureUnit, sensitivity: &Sensitivity) -> Self {
        let per_c = sensitivity.per_c;
        Self::Degrees { unit, per_c }
    }

    /// Converts browning `b` on a rack whose mean browning is `rack_mean`.
    ///
    /// A rack paler than one shade is taken as one shade dark, as zones are: less browning says next to nothing
    /// of rates.
    pub fn value(self, b: f64, rack_mean: f64) -> f64 {
        match self {
            Self::Shade => b / browning_per_shade(),
            Self::Degrees { unit, per_c } => {
                let ratio = 1.0 + (b - rack_mean) / rack_mean.max(browning_per_shade());
                unit.delta_figure(CelsiusDelta(ratio.max(LEAST_RATIO).ln() / per_c))
            }
        }
    }

    /// Converts a small difference of browning `db` on a rack whose mean browning is `rack_mean`.
    pub fn difference(self, db: f64, rack_mean: f64) -> f64 {
        match self {
            Self::Shade => db / browning_per_shade(),
            Self::Degrees { unit, per_c } => {
                let mean = rack_mean.max(browning_per_shade());
                unit.delta_figure(CelsiusDelta(db / mean / per_c))
            }
        }
    }

    /// Tells whether a place is too little known to be shown at full strength.
    ///
    /// Shades: the 90 % interval reaches further than half a shade either way. Degrees: that, or it
    /// cannot be told whether the place is hotter or cooler than the mean. All in browning B.
    pub fn is_doubtful(self, contrast: f64, contrast_sd: f64, sd: f64) -> bool {
        let noticeable = NOTICEABLE_SHADE * browning_per_shade();
        match self {
            Self::Shade => sd * HALF_WIDTH_90 > noticeable,
            Self::Degrees { .. } => {
                let half_width = contrast_sd * HALF_WIDTH_90;
                half_width > noticeable || contrast.abs() < half_width
            }
        }
    }

    /// Returns the name of the unit: `shade`, `F` or `C`.
    pub fn unit_name(self) -> &'static str {
        match self {
            Self::Shade => "shade",
            Self::Degrees {
                unit: TemperatureUnit::Fahrenheit,
                ..
            } => "F",
            Self::Degrees {
                unit: TemperatureUnit::Celsius,
                ..
            } => "C",
        }
    }

    /// Writes a contour's or a tick's figure without its unit: `4`, `+10`, `0`.
    pub fn mark(self, value: f64) -> String {
        match self {
            Self::Shade => format!("{}", no_negative_zero(value, 1)),
            Self::Degrees { .. } => signed(value),
        }
    }

    /// Writes a figure with its unit: `shade 4.2`, `+14 F`.
    pub fn show(self, value: f64) -> String {
        match self {
            Self::Shade => format!("shade {:.1}", no_negative_zero(value, 1)),
            Self::Degrees { .. } => format!("{} {}", signed(value), self.unit_name()),
        }
    }

    /// Returns the ramp this is shown in.
    pub fn ramp(self) -> &'static Ramp {
        match self {
            Self::Shade => Ramp::browning(),
            Self::Degrees { .. } => Ramp::hot_cool(),
        }
    }
}

/// Writes a difference in whole units with its sign, nothing as `0`: `+14`, `-3`, `0`.
pub fn signed(value: f64) -> String {
    let rounded = no_negative_zero(value, 0);
    if rounded == 0.0 {
        "0".to_owned()
    } else {
        format!("{rounded:+.0}")
    }
}

/// The range of figures that a ramp spans, alike for all racks of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// What is shown.
    pub quantity: Quantity,
    /// The figure at the ramp's beginning.
    pub lo: f64,
    /// The figure at its end.
    pub hi: f64,
    /// From one contour to the next.
    pub step: f64,
}

impl Scale {
    /// Spans every figure of `maps`: whole shades, or degrees to the same reach on both sides.
    pub fn over<'m>(quantity: Quantity, maps: impl IntoIterator<Item = &'m RackMap>) -> Self {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for map in maps {
            for &b in &map.mean {
                let value = quantity.value(b, map.rack_mean);
                if value.is_finite() {
                    low = low.min(value);
                    high = high.max(value);
                }
            }
        }
        if low > high {
            (low, high) = (0.0, 0.0);
        }
        match quantity {
            Quantity::Shade => {
                let lo = low.floor().clamp(0.0, 9.0);
                // Two shades at the least, so that slice-to-slice scatter never fills the ramp.
                let hi = high.ceil().clamp(lo, 9.0).max(lo + 2.0).min(9.0);
                Self {
                    quantity,
                    lo: lo.min(hi - 2.0),
                    hi,
                    step: 1.0,
                }
            }
            Quantity::Degrees { unit, .. } => {
                let least = unit.delta_figure(CelsiusDelta(LEAST_REACH_C));
                let reach = low.abs().max(high.abs()).max(least);
                let fits = |s: &&f64| reach / **s <= MOST_STEPS;
                let step = DEGREE_STEPS.iter().find(fits).copied().unwrap_or(200.0);
                let reach = (reach / step).ceil() * step;
                Self {
                    quantity,
                    lo: -reach,
                    hi: reach,
                    step,
                }
            }
        }
    }

    /// Returns where on the ramp a figure lies, 0..1.
    pub fn share(&self, value: f64) -> f64 {
        ((value - self.lo) / (self.hi - self.lo)).clamp(0.0, 1.0)
    }

    /// Returns the figures of contours and ticks, from `lo` to `hi`.
    pub fn marks(&self) -> Vec<f64> {
        let mut marks = Vec::new();
        let mut i = 0.0;
        while self.lo + i * self.step <= self.hi + 1e-9 {
            marks.push(self.lo + i * self.step);
            i += 1.0;
        }
        marks
    }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "a scale's ends are set, not computed")]
mod tests {
    use super::*;
    use crate::geometry::Grid;

    fn map(mean: Vec<f64>) -> RackMap {
        let n = mean.len();
        RackMap::tested(1, Grid::new(n, 1, 40.0, 30.0), mean, vec![0.02; n])
    }

    const FAHRENHEIT: Quantity = Quantity::Degrees {
        unit: TemperatureUnit::Fahrenheit,
        per_c: 0.041,
    };

    #[test]
    fn ten_per_cent_more_browning_is_about_four_f() {
        // ln(1.1) / 0.041 = 2.325 C = 4.18 F.
        let got = FAHRENHEIT.value(0.55, 0.5);
        assert!((got - 4.184).abs() < 0.01, "{got}");
        assert_eq!(FAHRENHEIT.show(got), "+4 F");
        assert_eq!(FAHRENHEIT.mark(-0.2), "0");
        assert_eq!(Quantity::Shade.show(4.24), "shade 4.2");
    }

    /// dT = ln(D1 / D2) R T^2 / E: with the hot-plate energy (Zanoni, Peri, Bruno 1995) and doses
    /// -ln(1 - dE / 52), a colour difference of 26 against 13 at 177 C is 23.1 K.
    #[test]
    fn twice_the_colour_difference_is_about_23_c() {
        use crate::model::kinetics::{
            HOT_PLATE_ASYMPTOTE, HOT_PLATE_ENERGY, dose_of_colour_difference,
        };
        let kelvin = crate::units::Celsius(177.0).kelvin();
        let celsius = Quantity::Degrees {
            unit: TemperatureUnit::Celsius,
            per_c: HOT_PLATE_ENERGY / (8.314_462_618 * kelvin.powi(2)),
        };
        let dose = |delta_e| dose_of_colour_difference(delta_e, HOT_PLATE_ASYMPTOTE);
        assert!((celsius.value(dose(26.0), dose(13.0)) - 23.1).abs() < 0.05);
        assert!((celsius.value(dose(13.0), dose(26.0)) + 23.1).abs() < 0.05);
    }

    #[test]
    fn a_shade_scale_spans_whole_shades_and_two_at_the_least() {
        let per = browning_per_shade();
        let wide = Scale::over(Quantity::Shade, [&map(vec![2.2 * per, 6.4 * per])]);
        assert_eq!((wide.lo, wide.hi, wide.step), (2.0, 7.0, 1.0));
        assert_eq!(wide.marks(), [2.0, 3.0, 4.0, 5.0, 6.0, 7.0]);
        let flat = Scale::over(Quantity::Shade, [&map(vec![8.9 * per, 9.2 * per])]);
        assert_eq!((flat.lo, flat.hi), (7.0, 9.0));
        let none = Scale::over(Quantity::Shade, []);
        assert_eq!((none.lo, none.hi), (0.0, 2.0));
    }

    #[test]
    fn a_degree_scale_reaches_as_far_up_as_down() {
        let scale = Scale::over(FAHRENHEIT, [&map(vec![0.3, 0.5, 0.9])]);
        assert_eq!(scale.lo, -scale.hi);
        assert!((scale.share(0.0) - 0.5).abs() < 1e-12);
        assert!(scale.marks().len() <= 13 && scale.marks().contains(&0.0));
        let flat = Scale::over(FAHRENHEIT, [&map(vec![0.5, 0.5])]);
        assert!(
            flat.hi >= 10.8,
            "a flat map must not fill the ramp: {flat:?}"
        );
    }

    #[test]
    fn wide_intervals_are_doubtful() {
        let half = NOTICEABLE_SHADE * browning_per_shade();
        assert!(!Quantity::Shade.is_doubtful(0.0, 0.0, half / 2.0));
        assert!(Quantity::Shade.is_doubtful(0.0, 0.0, half));
        assert!(FAHRENHEIT.is_doubtful(0.01, 0.02, 0.02));
        assert!(!FAHRENHEIT.is_doubtful(0.10, 0.02, 0.02));
    }
}
