//! Quantities with their unit as a type: temperatures, temperature differences, lengths and times.
//!
//! Everything inside the program is kept in SI-near units (degrees Celsius, centimetres, minutes);
//! Fahrenheit and inches exist only where a baker reads or types them.

use std::fmt;

/// Fahrenheit degrees in one Celsius degree of *difference*.
const F_PER_C: f64 = 1.8;
/// Centimetres in one inch (exact by definition of the international inch).
const CM_PER_INCH: f64 = 2.54;
/// Absolute zero in degrees Celsius, negated.
const KELVIN_OFFSET: f64 = 273.15;

/// What a typed quantity could not be read as.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// The text holds no number.
    #[error("'{0}' is not a number; write it like {1}")]
    NotANumber(String, &'static str),
    /// The text ends in letters that name no known unit.
    #[error("'{0}' has an unknown unit; write it like {1}")]
    UnknownUnit(String, &'static str),
    /// A comma that may stand in a number or between two.
    #[error(
        "'{0},{1}' may be read two ways: is it {0}.{1}, or {0} and {1}? write {0}.{1} or '{0}, {1}'"
    )]
    OneOrTwo(String, String),
}

/// The unit an oven's dial is marked in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TemperatureUnit {
    /// Degrees Fahrenheit.
    #[default]
    Fahrenheit,
    /// Degrees Celsius.
    Celsius,
}

impl TemperatureUnit {
    /// Returns the letter shown behind a figure: `F` or `C`.
    pub fn letter(self) -> char {
        match self {
            Self::Fahrenheit => 'F',
            Self::Celsius => 'C',
        }
    }

    /// Converts a temperature to the bare figure on a scale of this unit.
    pub fn figure(self, t: Celsius) -> f64 {
        match self {
            Self::Fahrenheit => t.0 * F_PER_C + 32.0,
            Self::Celsius => t.0,
        }
    }

    /// Converts the bare figure on a scale of this unit to a temperature.
    pub fn temperature(self, figure: f64) -> Celsius {
        match self {
            Self::Fahrenheit => Celsius((figure - 32.0) / F_PER_C),
            Self::Celsius => Celsius(figure),
        }
    }

    /// Converts a temperature difference to the bare figure in this unit.
    pub fn delta_figure(self, d: CelsiusDelta) -> f64 {
        match self {
            Self::Fahrenheit => d.0 * F_PER_C,
            Self::Celsius => d.0,
        }
    }

    /// Converts the bare figure of a difference in this unit to a difference.
    pub fn delta(self, figure: f64) -> CelsiusDelta {
        match self {
            Self::Fahrenheit => CelsiusDelta(figure / F_PER_C),
            Self::Celsius => CelsiusDelta(figure),
        }
    }

    /// Returns the same figure in the other unit where that is within so many C of `near`: `180 C`.
    pub fn misread(self, given: Celsius, near: Celsius, within: f64) -> Option<String> {
        let other = match self {
            Self::Fahrenheit => Self::Celsius,
            Self::Celsius => Self::Fahrenheit,
        };
        let meant = other.temperature(self.figure(given));
        ((meant.0 - near.0).abs() <= within).then(|| other.show(meant))
    }

    /// Writes a temperature as a baker reads it, whole degrees: `350 F`.
    pub fn show(self, t: Celsius) -> String {
        format!("{:.0} {}", self.figure(t), self.letter())
    }

    /// Writes a difference with its sign, whole degrees: `+14 F`, nothing as `0 F`.
    pub fn show_delta(self, d: CelsiusDelta) -> String {
        match no_negative_zero(self.delta_figure(d), 0) {
            0.0 => format!("0 {}", self.letter()),
            figure => format!("{figure:+.0} {}", self.letter()),
        }
    }
}

/// The unit lengths are shown and typed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum LengthUnit {
    /// Inches.
    #[default]
    Inches,
    /// Centimetres.
    Centimetres,
}

impl LengthUnit {
    /// Returns the short name shown behind a figure: `in` or `cm`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Inches => "in",
            Self::Centimetres => "cm",
        }
    }

    /// Converts a length to the bare figure in this unit.
    pub fn figure(self, length: Centimetres) -> f64 {
        match self {
            Self::Inches => length.0 / CM_PER_INCH,
            Self::Centimetres => length.0,
        }
    }

    /// Converts the bare figure in this unit to a length.
    pub fn length(self, figure: f64) -> Centimetres {
        match self {
            Self::Inches => Centimetres(figure * CM_PER_INCH),
            Self::Centimetres => Centimetres(figure),
        }
    }

    /// Writes a length with one decimal where it has one: `4.5 in`, `10 cm`.
    pub fn show(self, length: Centimetres) -> String {
        let figure = self.figure(length);
        let rounded = no_negative_zero(figure, 1);
        if rounded.abs() >= ABSURD {
            format!("{} {}", plain(figure), self.name())
        } else if (rounded - rounded.round()).abs() < 0.05 {
            format!("{rounded:.0} {}", self.name())
        } else {
            format!("{rounded:.1} {}", self.name())
        }
    }
}

impl LengthUnit {
    /// Writes a length as a baker can judge it in a hot oven, half inches or whole centimetres: `1.5 in`, `4 cm`.
    pub fn show_roughly(self, length: Centimetres) -> String {
        let step = match self {
            Self::Inches => 0.5,
            Self::Centimetres => 1.0,
        };
        self.show(self.length((self.figure(length) / step).round() * step))
    }
}

/// A temperature in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius(pub f64);

impl Celsius {
    /// Returns the thermodynamic temperature in kelvin.
    pub fn kelvin(self) -> f64 {
        self.0 + KELVIN_OFFSET
    }

    /// Reads `350F`, `177 C` or `350` (taken in `default`).
    ///
    /// # Errors
    /// [`UnitError`] when there is no number or the letters behind it name no temperature unit.
    pub fn parse(text: &str, default: TemperatureUnit) -> Result<Self, UnitError> {
        const EXAMPLE: &str = "350F or 177C";
        let (figure, unit) = split_unit(text, EXAMPLE)?;
        let unit = match unit.to_ascii_lowercase().trim_start_matches('°') {
            "" => default,
            "f" => TemperatureUnit::Fahrenheit,
            "c" => TemperatureUnit::Celsius,
            _ => return Err(UnitError::UnknownUnit(text.trim().to_owned(), EXAMPLE)),
        };
        Ok(unit.temperature(figure))
    }
}

impl std::ops::Add<CelsiusDelta> for Celsius {
    type Output = Self;
    fn add(self, d: CelsiusDelta) -> Self {
        Self(self.0 + d.0)
    }
}

impl std::ops::Sub for Celsius {
    type Output = CelsiusDelta;
    fn sub(self, other: Self) -> CelsiusDelta {
        CelsiusDelta(self.0 - other.0)
    }
}

/// A difference of two temperatures in degrees Celsius (equally, kelvin).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct CelsiusDelta(pub f64);

impl CelsiusDelta {
    /// Reads a difference: `2F`, `0.5 C` or `2` (taken in `default`); 2 F is that between 34 F and 32 F.
    ///
    /// # Errors
    /// As [`Celsius::parse`].
    pub fn parse(text: &str, default: TemperatureUnit) -> Result<Self, UnitError> {
        let letter = text.trim().to_ascii_lowercase();
        let unit = match letter.chars().last() {
            Some('f') => TemperatureUnit::Fahrenheit,
            Some('c') => TemperatureUnit::Celsius,
            Some(_) | None => default,
        };
        Ok(Celsius::parse(text, default)? - unit.temperature(0.0))
    }
}

impl std::ops::Neg for CelsiusDelta {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

/// A length in centimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Centimetres(pub f64);

impl Centimetres {
    /// Reads `24in`, `61 cm`, `24"` or `24` (taken in `default`).
    ///
    /// # Errors
    /// [`UnitError`] when there is no number or the letters behind it name no length unit.
    pub fn parse(text: &str, default: LengthUnit) -> Result<Self, UnitError> {
        const EXAMPLE: &str = "24in or 61cm";
        let (figure, unit) = split_unit(text, EXAMPLE)?;
        let unit = match unit.to_ascii_lowercase().as_str() {
            "" => default,
            "in" | "inch" | "inches" | "\"" => LengthUnit::Inches,
            "cm" => LengthUnit::Centimetres,
            "mm" => return Ok(Self(figure / 10.0)),
            _ => return Err(UnitError::UnknownUnit(text.trim().to_owned(), EXAMPLE)),
        };
        Ok(unit.length(figure))
    }
}

impl Centimetres {
    /// Reads several lengths with commas between them, or semicolons: `1.5, 4in` or `1,5; 4`.
    ///
    /// # Errors
    /// As [`Self::parse`]; [`UnitError::OneOrTwo`] for `4,5` alone, which may be one length or two.
    pub fn parse_list(text: &str, default: LengthUnit) -> Result<Vec<Self>, UnitError> {
        let mut parts = listed(text)?;
        // The separator behind the last one is no slip.
        if parts.len() > 1 && parts.last().is_some_and(|part| part.trim().is_empty()) {
            parts.pop();
        }
        let lengths = parts.into_iter().map(|part| Self::parse(part, default));
        lengths.collect()
    }
}

/// A length of time in minutes.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Minutes(pub f64);

impl Minutes {
    /// Returns the time in seconds.
    pub fn seconds(self) -> f64 {
        self.0 * 60.0
    }
}

impl fmt::Display for Minutes {
    /// Writes whole minutes plainly and others as minutes and seconds: `11 min`, `7:30 min`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seconds = self.seconds().round();
        let (whole, rest) = ((seconds / 60.0).trunc(), seconds % 60.0);
        if rest.abs() < 0.5 {
            write!(f, "{whole:.0} min")
        } else {
            write!(f, "{whole:.0}:{:02.0} min", rest.abs())
        }
    }
}

/// From here on a figure is a slip of the finger, and its digits would fill the screen.
const ABSURD: f64 = 1e12;

/// Writes a figure as it was typed, an absurd one short: `9.5`, `1e300`.
pub fn plain(figure: f64) -> String {
    if figure.abs() >= ABSURD {
        format!("{figure:.0e}")
    } else {
        figure.to_string()
    }
}

/// Rounds to `decimals` and turns `-0` into `0`, so that no screen shows a negative nothing.
pub fn no_negative_zero(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    let rounded = (value * scale).round() / scale;
    if rounded == 0.0 { 0.0 } else { rounded }
}

fn split_unit<'t>(text: &'t str, example: &'static str) -> Result<(f64, &'t str), UnitError> {
    let text = text.trim();
    match number_before(text) {
        Some((figure, unit)) if figure.is_finite() => Ok((figure, unit.trim())),
        Some(_) | None => Err(UnitError::NotANumber(text.to_owned(), example)),
    }
}

/// Reads one number as a baker types it: `24.5`, `24,5` or `24 1/2`; `None` where it is none.
pub fn number(text: &str) -> Option<f64> {
    let (figure, rest) = number_before(text.trim())?;
    rest.trim().is_empty().then_some(figure)
}

/// Reads the number a text begins with, a fraction among it, and returns what stands behind.
fn number_before(text: &str) -> Option<(f64, &str)> {
    let over = |figure: f64, rest| {
        let (under, rest) = decimal_before(str::trim_start(rest).strip_prefix('/')?.trim_start())?;
        let whole = |v: f64| v.fract() == 0.0;
        (figure < under && whole(figure) && whole(under)).then_some((figure / under, rest))
    };
    let (figure, rest) = decimal_before(text)?;
    if let Some(fraction) = over(figure, rest) {
        return Some(fraction);
    }
    let mixed = decimal_before(rest.trim_start()).and_then(|(part, rest)| over(part, rest));
    Some(match mixed {
        Some((part, rest)) => (figure + part.copysign(figure), rest),
        None => (figure, rest),
    })
}

/// Reads the decimal number a text begins with; a comma between two digits is its point.
fn decimal_before(text: &str) -> Option<(f64, &str)> {
    let digit = |at: Option<usize>| {
        let byte = at.and_then(|at| text.as_bytes().get(at));
        byte.is_some_and(u8::is_ascii_digit)
    };
    let end = text
        .char_indices()
        .find(|&(at, c)| match c {
            ',' => !digit(at.checked_sub(1)) || !digit(Some(at + 1)),
            other => !(other.is_ascii_digit() || matches!(other, '.' | '-' | '+')),
        })
        .map_or(text.len(), |(at, _)| at);
    let (figure, rest) = text.split_at(end);
    Some((figure.replace(',', ".").parse().ok()?, rest))
}

/// Parts a list at its semicolons, else at its commas.
fn listed(text: &str) -> Result<Vec<&str>, UnitError> {
    if text.contains(';') {
        return Ok(text.split(';').collect());
    }
    let parts: Vec<&str> = text.split(',').collect();
    let tight = |two: &[&str]| {
        let digit = |c: char| c.is_ascii_digit();
        two[0].ends_with(digit) && two[1].starts_with(digit)
    };
    // No number has two commas; and one with a point or a fraction has none.
    let joints: Vec<bool> = parts.windows(2).map(tight).collect();
    for (i, two) in parts.windows(2).enumerate() {
        let beside = [i.checked_sub(1), i.checked_add(1)];
        let alone = !beside
            .into_iter()
            .flatten()
            .any(|j| joints.get(j) == Some(&true));
        let whole = !two[0].contains(['.', '/']) && !two[1].contains(['.', '/']);
        if joints[i] && alone && whole {
            let [one, other] = [two[0], two[1]].map(|part| part.trim().to_owned());
            return Err(UnitError::OneOrTwo(one, other));
        }
    }
    Ok(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_are_read_in_either_unit() {
        let f = Celsius::parse("350F", TemperatureUnit::Celsius).unwrap();
        assert!((f.0 - 176.666_666_7).abs() < 1e-6);
        assert_eq!(
            Celsius::parse(" 177 c", TemperatureUnit::Fahrenheit),
            Ok(Celsius(177.0))
        );
        assert_eq!(TemperatureUnit::Fahrenheit.show(f), "350 F");
        assert!(Celsius::parse("hot", TemperatureUnit::Celsius).is_err());
        assert!(Celsius::parse("350K", TemperatureUnit::Celsius).is_err());
    }

    #[test]
    fn a_difference_of_100_f_is_not_an_absolute_temperature() {
        // 100 F as a difference is 55.6 K, not 38 (definition of the scales).
        assert!((TemperatureUnit::Fahrenheit.delta(100.0).0 - 55.555_555_6).abs() < 1e-6);
    }

    #[test]
    fn lengths_and_times_show_their_units() {
        assert_eq!(
            Centimetres::parse("24in", LengthUnit::Centimetres).unwrap(),
            Centimetres(60.96)
        );
        assert_eq!(
            Centimetres::parse("100 mm", LengthUnit::Inches).unwrap(),
            Centimetres(10.0)
        );
        assert_eq!(LengthUnit::Inches.show(Centimetres(11.43)), "4.5 in");
        assert_eq!(LengthUnit::Centimetres.show(Centimetres(-0.01)), "0 cm");
        assert_eq!(LengthUnit::Inches.show_roughly(Centimetres(3.2)), "1.5 in");
        assert_eq!(
            LengthUnit::Centimetres.show_roughly(Centimetres(3.2)),
            "3 cm"
        );
        assert_eq!(Minutes(7.5).to_string(), "7:30 min");
        assert_eq!(Minutes(11.0).to_string(), "11 min");
    }

    #[test]
    fn one_number_is_read_with_a_comma_or_a_fraction_and_a_list_that_may_be_one_is_asked_about() {
        let inches = |text: &str| {
            let lengths = Centimetres::parse_list(text, LengthUnit::Inches)?;
            let shown = lengths.into_iter().map(|l| LengthUnit::Inches.show(l));
            Ok::<_, UnitError>(shown.collect::<Vec<_>>().join(" "))
        };
        for (text, figure) in [
            ("24,5", 24.5),
            ("-0,5", -0.5),
            ("3 1/2", 3.5),
            ("1/2", 0.5),
            (" 12 ", 12.0),
        ] {
            assert_eq!(number(text), Some(figure), "{text}");
        }
        for text in ["", ",5", "5,", "1,2,3", "1/0", "4 5", "4-5", "x"] {
            assert_eq!(number(text), None, "{text}");
        }
        let reads = Celsius::parse("338,5F", TemperatureUnit::Celsius).unwrap();
        assert!((reads.0 - 306.5 / 1.8).abs() < 1e-9);
        let width = Centimetres::parse("3 1/2 in", LengthUnit::Centimetres).unwrap();
        assert!((width.0 - 8.89).abs() < 1e-9);
        for (text, figures) in [
            ("4, 5", "4 in 5 in"),
            ("2,5,8", "2 in 5 in 8 in"),
            ("2in,5in", "2 in 5 in"),
            ("1,5; 4", "1.5 in 4 in"),
            ("1.5,4", "1.5 in 4 in"),
            ("1 1/2, 4,", "1.5 in 4 in"),
            ("4", "4 in"),
        ] {
            assert_eq!(inches(text).unwrap(), figures, "{text}");
        }
        for text in ["4,5", "1,5, 4", "2, 4,5in"] {
            let said = inches(text).unwrap_err().to_string();
            assert!(said.contains("read two ways"), "{text}: {said}");
        }
        let said = inches("4,5").unwrap_err().to_string();
        assert!(
            said.contains("is it 4.5, or 4 and 5? write 4.5 or '4, 5'"),
            "{said}"
        );
    }
}
