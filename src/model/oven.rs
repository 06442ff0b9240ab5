//! An oven: cavity, rack positions, heat sources, modes and dial.

use super::id::OvenId;
use super::worded::worded;
use crate::units::{Celsius, Centimetres, LengthUnit, TemperatureUnit, plain};
use jiff::civil::{DateTime, Time};

/// What is wrong with an oven's description.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OvenError {
    /// A cavity side is outside what any oven has.
    #[error("cavity {side} of {} is not an oven's; give {}", .lengths.show(*.length), cavity_range(*.lengths))]
    Cavity {
        /// Which side.
        side: &'static str,
        /// The length given.
        length: Centimetres,
        /// The unit it is shown in.
        lengths: LengthUnit,
    },
    /// There is no rack position.
    #[error(
        "an oven needs at least one rack position; give each one's height above the cavity floor"
    )]
    NoRack,
    /// Two rack positions do not rise, or one is above the ceiling.
    #[error(
        "rack position {number} at {} does not lie above the one below it and inside the cavity; give heights that rise from the floor",
        .lengths.show(*.height)
    )]
    RackHeight {
        /// The number of the rack position.
        number: u8,
        /// Its height.
        height: Centimetres,
        /// The unit it is shown in.
        lengths: LengthUnit,
    },
    /// There is no mode.
    #[error("an oven needs at least one way of heating; no fan is the usual one")]
    NoMode,
    /// The dial step or its highest setting cannot be.
    #[error("{what} of {} {unit} cannot be a dial's; {hint}", plain(*.figure))]
    Dial {
        /// Which figure.
        what: &'static str,
        /// Its value on the dial's scale.
        figure: f64,
        /// The letter of its unit.
        unit: char,
        /// What to give instead.
        hint: &'static str,
    },
    /// The name is empty.
    #[error("an oven needs a name, like wall oven")]
    NoName,
    /// A rack position that the oven has not.
    #[error("'{oven}' has no rack position {rack}; it has 1 to {highest}, counted from the bottom")]
    NoSuchRack {
        /// The oven's name.
        oven: String,
        /// The number asked for.
        rack: u8,
        /// The highest number it has.
        highest: usize,
    },
    /// A mode that the oven has not.
    #[error("'{oven}' has no mode '{mode}'; it has {has}")]
    NoSuchMode {
        /// The oven's name.
        oven: String,
        /// The mode asked for.
        mode: &'static str,
        /// The modes it has.
        has: String,
    },
}

/// Says what a cavity's side can be.
fn cavity_range(lengths: LengthUnit) -> &'static str {
    match lengths {
        LengthUnit::Inches => "6 to 47 in",
        LengthUnit::Centimetres => "15 to 120 cm",
    }
}

/// The inside of an oven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cavity {
    /// Left wall to right wall.
    pub width: Centimetres,
    /// Closed door to back wall.
    pub depth: Centimetres,
    /// Floor to ceiling.
    pub height: Centimetres,
}

impl Cavity {
    /// Returns its width and depth, cm.
    pub const fn floor(&self) -> (f64, f64) {
        (self.width.0, self.depth.0)
    }

    /// Makes the inside of an oven.
    pub const fn new(width: Centimetres, depth: Centimetres, height: Centimetres) -> Self {
        Self {
            width,
            depth,
            height,
        }
    }
}

/// A guide height, numbered from the bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RackPosition {
    /// 1 is the lowest.
    pub number: u8,
    /// Height above the cavity floor.
    pub height: Centimetres,
}

impl RackPosition {
    /// Makes a rack position, its height above the floor of the oven.
    pub const fn new(number: u8, height: Centimetres) -> Self {
        Self { number, height }
    }
}

worded! {
    /// What makes the heat, and where.
    pub enum HeatSource [words] {
        /// Electric element under or in the floor.
        BottomElement: "bottom element";
        /// Electric element under the ceiling.
        TopElement: "top element";
        /// Gas burner under the floor.
        GasBurner: "gas burner below";
        /// Fan in the back wall without heat of its own.
        RearFan: "rear fan";
        /// Fan in the back wall with an element around it.
        RearFanElement: "rear fan with element";
    }
}

worded! {
    /// How an oven heats.
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Mode [words, key, phrase, short_words] {
        /// No fan: still air (conventional).
        StillAir: "no fan", "still-air", "without a fan", "no fan";
        /// With the fan (convection).
        Fan: "fan", "fan", "with the fan", "fan";
        /// Bottom heat only.
        BottomOnly: "bottom only", "bottom-only", "with bottom heat only", "bottom only";
        /// Top heat only.
        TopOnly: "broil (top only)", "top-only", "under the broiler", "broil";
        /// Proofing: a low hold for dough.
        Proofing: "proofing", "proofing", "while proofing", "proofing";
    }
}

/// A setting that an oven's dial has not.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "a dial setting of {setting} is not on this oven's dial, which goes from {lowest} to {highest}; check the figure and its unit"
)]
pub struct NotOnDial {
    setting: String,
    lowest: String,
    highest: String,
}

/// An oven's temperature dial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// The unit it is marked in.
    pub unit: TemperatureUnit,
    /// The smallest step it can be set to, on its own scale.
    pub step: f64,
    /// Its lowest setting.
    pub lowest: Celsius,
    /// Its highest setting.
    pub highest: Celsius,
}

impl Dial {
    /// Rounds a temperature to the nearest step of this dial.
    pub fn round(&self, t: Celsius) -> Celsius {
        self.unit
            .temperature((self.unit.figure(t) / self.step).round() * self.step)
    }

    /// Tells whether the dial can be set so: marks are rounded to whole degrees in some descriptions, so half a degree
    /// over is the mark itself.
    pub fn reaches(&self, t: Celsius) -> bool {
        (self.lowest.0 - 0.5..=self.highest.0 + 0.5).contains(&t.0)
    }

    /// Checks that the dial can be set so.
    ///
    /// # Errors
    /// [`NotOnDial`] says from where to where it goes.
    pub fn check_setting(&self, t: Celsius) -> Result<(), NotOnDial> {
        if self.reaches(t) {
            return Ok(());
        }
        Err(NotOnDial {
            setting: self.unit.show(t),
            lowest: self.unit.show(self.lowest),
            highest: self.unit.show(self.highest),
        })
    }
}

/// A dated mark in an oven's record: what was done, by whom.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceVisit {
    /// When it was done, local time; the start of the day where only the day is known.
    pub when: DateTime,
    /// What was done, by whom, in free words.
    pub what: String,
}

impl ServiceVisit {
    /// Writes when it was done: the day, and the time of day where one is known.
    pub fn moment(&self) -> String {
        let form = if self.when.time() == Time::midnight() {
            "%Y-%m-%d"
        } else {
            "%Y-%m-%d %H:%M"
        };
        self.when.strftime(form).to_string()
    }
}

/// What a technician asks for first: which appliance it is, and whom to call.
///
/// It stays on this machine: exports leave it out unless asked for it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plate {
    /// Make.
    pub make: String,
    /// Model.
    pub model: String,
    /// Serial number.
    pub serial: String,
    /// Whom to call about the oven: a name, a number.
    pub contact: String,
}

impl Plate {
    /// Returns each part with what it is called, in the order forms and papers have them.
    pub fn parts(&self) -> [(&'static str, &str); 4] {
        [
            ("make", &self.make),
            ("model", &self.model),
            ("serial number", &self.serial),
            ("contact", &self.contact),
        ]
    }

    /// Tells whether nothing was filled in.
    pub fn is_empty(&self) -> bool {
        self.parts().iter().all(|(_, words)| words.is_empty())
    }
}

/// One appliance.
#[derive(Debug, Clone, PartialEq)]
pub struct Oven {
    /// Its id, used for file names and on the command line.
    pub id: OvenId,
    /// Its name as the baker says it.
    pub name: String,
    /// The inside.
    pub cavity: Cavity,
    /// Rack positions from the bottom up, numbered 1, 2, ...
    pub racks: Vec<RackPosition>,
    /// Heat sources.
    pub heat: Vec<HeatSource>,
    /// Modes it has.
    pub modes: Vec<Mode>,
    /// The dial.
    pub dial: Dial,
    /// Unit lengths are shown in.
    pub lengths: LengthUnit,
    /// Service visits, oldest first.
    pub visits: Vec<ServiceVisit>,
    /// Free words.
    pub note: String,
    /// Make, model, serial number and contact.
    pub plate: Plate,
}

impl Oven {
    /// Checks every figure and returns the oven itself.
    ///
    /// # Errors
    /// [`OvenError`] names the first figure that cannot be, and what to give instead.
    pub fn check(self) -> Result<Self, OvenError> {
        if self.name.trim().is_empty() {
            return Err(OvenError::NoName);
        }
        let c = self.cavity;
        for (side, length) in [("width", c.width), ("depth", c.depth), ("height", c.height)] {
            if !(15.0..=120.0).contains(&length.0) {
                let lengths = self.lengths;
                return Err(OvenError::Cavity {
                    side,
                    length,
                    lengths,
                });
            }
        }
        if self.racks.is_empty() {
            return Err(OvenError::NoRack);
        }
        let mut below = -0.1;
        for (i, rack) in self.racks.iter().enumerate() {
            let rises = rack.height.0 > below && rack.height.0 < c.height.0;
            if !rises || usize::from(rack.number) != i + 1 {
                return Err(OvenError::RackHeight {
                    number: rack.number,
                    height: rack.height,
                    lengths: self.lengths,
                });
            }
            below = rack.height.0;
        }
        if self.modes.is_empty() {
            return Err(OvenError::NoMode);
        }
        self.dial.check()?;
        Ok(self)
    }

    /// Returns rack position `number`.
    ///
    /// # Errors
    /// [`OvenError::NoSuchRack`] when the oven has none of that number.
    pub fn rack(&self, number: u8) -> Result<RackPosition, OvenError> {
        self.racks
            .iter()
            .copied()
            .find(|r| r.number == number)
            .ok_or_else(|| OvenError::NoSuchRack {
                oven: self.name.clone(),
                rack: number,
                highest: self.racks.len(),
            })
    }

    /// Returns a mode that was asked for.
    ///
    /// # Errors
    /// [`OvenError::NoSuchMode`] when the oven has it not.
    pub fn mode(&self, asked: Mode) -> Result<Mode, OvenError> {
        if self.modes.contains(&asked) {
            return Ok(asked);
        }
        let has: Vec<_> = self.modes.iter().map(|m| m.words()).collect();
        Err(OvenError::NoSuchMode {
            oven: self.name.clone(),
            mode: asked.words(),
            has: has.join(", "),
        })
    }
}

impl Dial {
    fn check(&self) -> Result<(), OvenError> {
        let unit = self.unit.letter();
        let wrong = |what, figure, hint| {
            Err(OvenError::Dial {
                what,
                figure,
                unit,
                hint,
            })
        };
        let (low, high) = (
            self.unit.figure(self.lowest),
            self.unit.figure(self.highest),
        );
        if !(self.step > 0.0 && self.step <= 50.0) {
            return wrong(
                "a step",
                self.step,
                "give the smallest change it can be set by, like 5 or 25",
            );
        }
        if !(60.0..=400.0).contains(&self.highest.0) {
            return wrong(
                "a highest setting",
                high,
                "give the last mark on the dial, like 550 F or 290 C",
            );
        }
        if !(0.0..self.highest.0).contains(&self.lowest.0) {
            return wrong("a lowest setting", low, "give a mark below the highest one");
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn oven() -> Oven {
        crate::model::samples::oven([5.0, 15.0])
    }

    #[test]
    fn a_sound_oven_passes_and_each_wrong_figure_is_named() {
        assert!(oven().check().is_ok());
        let mut flat = oven();
        flat.racks[1].height = Centimetres(5.0);
        assert!(matches!(
            flat.check(),
            Err(OvenError::RackHeight { number: 2, .. })
        ));
        let mut wide = oven();
        wide.cavity.width = Centimetres(500.0);
        assert!(
            wide.check()
                .unwrap_err()
                .to_string()
                .contains("width of 196.9 in is not an oven's; give 6 to 47 in")
        );
        let mut absurd = oven();
        absurd.lengths = LengthUnit::Centimetres;
        absurd.cavity.depth = Centimetres(1e300);
        let said = absurd.check().unwrap_err().to_string();
        assert!(
            said.contains("depth of 1e300 cm is not an oven's; give 15 to 120 cm"),
            "{said}"
        );
        let mut dial = oven();
        dial.dial.step = 0.0;
        assert!(matches!(dial.check(), Err(OvenError::Dial { .. })));
        assert!(oven().rack(9).is_err());
    }
}
