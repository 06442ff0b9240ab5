//! A recipe of the baker's own: what it is baked at, as it was written, for how long, on which tray, how dark.

use super::{bake::BAKE_TIMES, id::RecipeId, plan::Tray, shade::Shade};
use crate::units::{Celsius, LengthUnit, Minutes, TemperatureUnit, plain};
use std::fmt;

/// Most characters of a gas mark that are read back in an error.
const SHOWN: usize = 12;

/// A mark on the dial of a gas oven: 1/4, 1/2, 1 to 10.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct GasMark(usize);

/// The customary table (common practice, no source): mark, F.
const GAS_MARKS: [(&str, f64); 12] = [
    ("1/4", 225.0),
    ("1/2", 250.0),
    ("1", 275.0),
    ("2", 300.0),
    ("3", 325.0),
    ("4", 350.0),
    ("5", 375.0),
    ("6", 400.0),
    ("7", 425.0),
    ("8", 450.0),
    ("9", 475.0),
    ("10", 500.0),
];

impl GasMark {
    /// Returns every mark, rising.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..GAS_MARKS.len()).map(Self)
    }

    /// Reads a mark: `1/4`, `1/2` or `½`, `4`.
    ///
    /// # Errors
    /// [`RecipeError::GasMark`] lists the marks there are.
    pub fn parse(text: &str) -> Result<Self, RecipeError> {
        let typed = text.trim();
        let mark = match typed {
            "¼" | "0.25" => "1/4",
            "½" | "0.5" => "1/2",
            other => other,
        };
        GAS_MARKS
            .iter()
            .position(|(name, _)| *name == mark)
            .map(Self)
            .ok_or_else(|| RecipeError::GasMark(typed.chars().take(SHOWN).collect()))
    }

    /// Returns the still-air temperature that the customary table gives (common practice, no source).
    pub fn temperature(self) -> Celsius {
        let figure = GAS_MARKS.get(self.0).map_or(350.0, |(_, f)| *f);
        TemperatureUnit::Fahrenheit.temperature(figure)
    }

    /// Returns the mark whose temperature is nearest.
    pub fn nearest(t: Celsius) -> Self {
        let away = |mark: &Self| (mark.temperature().0 - t.0).abs();
        Self::all()
            .min_by(|a, b| away(a).total_cmp(&away(b)))
            .unwrap_or(Self(0))
    }
}

impl fmt::Display for GasMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(GAS_MARKS.get(self.0).map_or("4", |(name, _)| name))
    }
}

/// How a recipe's temperature was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Written {
    /// For an oven without a fan.
    NoFan(Celsius),
    /// For an oven with its fan on.
    Fan(Celsius),
    /// As a mark of a gas oven.
    Gas(GasMark),
}

/// What is wrong with a recipe.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecipeError {
    /// It has no name.
    #[error("a recipe needs a name; give one like oat biscuits")]
    NoName,
    /// A mark no gas oven has.
    #[error("'{0}' is no gas mark; use 1/4, 1/2 or 1 to 10")]
    GasMark(String),
    /// A temperature nothing is baked at.
    #[error("nobody bakes at {given}; give {lowest} to {highest}")]
    Temperature {
        /// What was given.
        given: String,
        /// The lowest.
        lowest: String,
        /// The highest.
        highest: String,
    },
    /// A time that cannot be planned.
    #[error("a bake of {0} min cannot be planned; give 2 to 600 minutes")]
    Time(String),
    /// A tray that is none.
    #[error("a tray of {0} is none; give each side 2 to 47 in (5 to 120 cm)")]
    Tray(String),
    /// Too many pieces, or none.
    #[error("{0} x {1} pieces do not go on a tray; give 1 x 1 to {2} x {2}")]
    Pieces(usize, usize, usize),
}

/// Most pieces along either side of a tray.
const MOST_PIECES: usize = 12;
/// Temperatures a recipe may have as written, C.
const BAKED_AT: (Celsius, Celsius) = (Celsius(50.0), Celsius(350.0));

/// A recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Its id.
    pub id: RecipeId,
    /// Its name as the baker says it.
    pub name: String,
    /// The temperature as it was written.
    pub written: Written,
    /// The unit it was written in, and is shown in where no oven's dial says otherwise.
    pub unit: TemperatureUnit,
    /// Time in the oven.
    pub time: Minutes,
    /// The shade it should have; `None` where that was left open.
    pub wanted: Option<Shade>,
    /// The tray and its pieces.
    pub tray: Tray,
    /// Key of the kind of bake it browns like.
    pub kind: String,
    /// Free words.
    pub note: String,
}

impl Recipe {
    /// Checks every figure and returns the recipe itself.
    ///
    /// # Errors
    /// [`RecipeError`] names the first that cannot be.
    pub fn check(self) -> Result<Self, RecipeError> {
        if self.name.trim().is_empty() {
            return Err(RecipeError::NoName);
        }
        let (lowest, highest) = BAKED_AT;
        if let Written::NoFan(t) | Written::Fan(t) = self.written
            && !(lowest.0..=highest.0).contains(&t.0)
        {
            let show = |t| self.unit.show(t);
            return Err(RecipeError::Temperature {
                given: show(t),
                lowest: show(lowest),
                highest: show(highest),
            });
        }
        if !BAKE_TIMES.contains(&self.time.0) {
            return Err(RecipeError::Time(plain(self.time.0)));
        }
        let tray = self.tray;
        let side = |length: f64| (5.0..=120.0).contains(&length);
        if !side(tray.width.0) || !side(tray.depth.0) {
            let show = |l| LengthUnit::Centimetres.show(l);
            let said = format!("{} x {}", show(tray.width), show(tray.depth));
            return Err(RecipeError::Tray(said));
        }
        let pieces = 1..=MOST_PIECES;
        if !pieces.contains(&tray.across) || !pieces.contains(&tray.deep) {
            return Err(RecipeError::Pieces(tray.across, tray.deep, MOST_PIECES));
        }
        Ok(self)
    }

    /// Says the temperature as it was written: `350 F, no fan`, `160 C, fan`, `gas mark 4`.
    pub fn written_words(&self) -> String {
        match self.written {
            Written::NoFan(t) => format!("{}, no fan", self.unit.show(t)),
            Written::Fan(t) => format!("{}, fan", self.unit.show(t)),
            Written::Gas(mark) => format!("gas mark {mark}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Centimetres;

    fn recipe() -> Recipe {
        Recipe {
            id: RecipeId::new("oat-biscuits").unwrap(),
            name: "oat biscuits".to_owned(),
            written: Written::NoFan(Celsius(180.0)),
            unit: TemperatureUnit::Celsius,
            time: Minutes(12.0),
            wanted: Shade::whole(4).ok(),
            tray: Tray::new(Centimetres(46.0), Centimetres(33.0), 4, 3),
            kind: "thin-cookie".to_owned(),
            note: String::new(),
        }
    }

    /// The customary table, both scales (common practice, no source): a mark is 25 F, and the Celsius figures beside
    /// it in kitchens are round ones, so 10 C either way.
    #[test]
    fn gas_marks_are_those_of_the_customary_table() {
        let table = [
            ("1/4", 225.0, 110.0),
            ("1/2", 250.0, 130.0),
            ("1", 275.0, 140.0),
            ("2", 300.0, 150.0),
            ("3", 325.0, 170.0),
            ("4", 350.0, 180.0),
            ("5", 375.0, 190.0),
            ("6", 400.0, 200.0),
            ("7", 425.0, 220.0),
            ("8", 450.0, 230.0),
            ("9", 475.0, 240.0),
            ("10", 500.0, 260.0),
        ];
        assert_eq!(GasMark::all().count(), table.len());
        for (mark, f, c) in table {
            let read = GasMark::parse(mark).unwrap();
            assert_eq!(read.to_string(), mark);
            assert_eq!(
                TemperatureUnit::Fahrenheit.show(read.temperature()),
                format!("{f} F")
            );
            assert!((read.temperature().0 - c).abs() < 10.0, "{mark}");
            assert_eq!(GasMark::nearest(read.temperature()), read);
        }
        assert_eq!(GasMark::parse("½"), GasMark::parse("1/2"));
        for wrong in ["11", "0", "-1", "", "hot", "1/3", "NaN", "4.5"] {
            let said = GasMark::parse(wrong).unwrap_err().to_string();
            assert!(said.contains(&format!("'{wrong}'")), "{said}");
            assert!(said.contains("1 to 10"), "{said}");
        }
    }

    type Change = fn(&mut Recipe);

    #[test]
    fn each_figure_that_cannot_be_is_named() {
        assert!(recipe().check().is_ok());
        let cases: [(Change, &str); 8] = [
            (|r| r.name = "  ".to_owned(), "needs a name"),
            (|r| r.written = Written::Fan(Celsius(20.0)), "20 C"),
            (
                |r| r.written = Written::NoFan(Celsius(f64::NAN)),
                "bakes at",
            ),
            (|r| r.time = Minutes(1.0), "1 min"),
            (|r| r.time = Minutes(f64::INFINITY), "inf min"),
            (|r| r.tray.width = Centimetres(300.0), "300 cm x 33 cm"),
            (|r| r.tray.deep = 0, "4 x 0"),
            (|r| r.tray.across = 13, "13 x 3"),
        ];
        for (change, said) in cases {
            let mut wrong = recipe();
            change(&mut wrong);
            let error = wrong.check().unwrap_err().to_string();
            assert!(error.contains(said), "{said}: {error}");
        }
        let mut gas = recipe();
        gas.written = Written::Gas(GasMark::parse("1/4").unwrap());
        assert_eq!(gas.written_words(), "gas mark 1/4");
        assert_eq!(recipe().written_words(), "180 C, no fan");
    }
}
