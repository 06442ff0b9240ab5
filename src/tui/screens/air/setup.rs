//! What is settled before a round begins: mode, dial, cold or hot, thermometer, place.

use crate::{
    model::{AirPlace, Mode, Oven, Spot, Thermometer},
    tui::{
        shared::Shared,
        widgets::{
            field::Field,
            form::rows,
            list::{neighbour, turn},
        },
    },
    units::Celsius,
    workflow::readings::Sitting,
};

/// What is baked most: where a dial begins, C (350 F).
const USUAL: Celsius = Celsius(350.0 / 1.8 - 32.0 / 1.8);

rows! {
    /// A line of the form.
    pub(crate) enum Line [label] {
        /// How it heats.
        Mode: "Mode";
        /// The setting.
        Dial: "Dial";
        /// Cold, or holding already.
        Cold: "The oven";
        /// Which thermometer.
        Thermometer: "Read with";
        /// Where it stands.
        Place: "It stands";
    }
}

/// What is wrong with the dial setting as it is typed.
#[derive(Debug, thiserror::Error)]
pub(super) enum NoSetting {
    #[error("a dial at '{typed}' is no temperature; type a figure like {like}")]
    Unread { typed: String, like: String },
    /// The setting, and the lowest and highest there are.
    #[error("{} is not on this dial, which goes from {} to {}; type another", .0[0], .0[1], .0[2])]
    OffDial([String; 3]),
}

/// The form before a round.
#[derive(Debug)]
pub(super) struct Setup {
    pub(super) line: Line,
    pub(super) mode: Mode,
    pub(super) dial: Field,
    pub(super) cold: bool,
    /// The thermometers on record, and one not named at the end.
    thermometers: Vec<Thermometer>,
    thermometer: usize,
    pub(super) place: AirPlace,
}

impl Setup {
    /// Opens the form with what was read with last.
    pub(super) fn new(oven: &Oven, mode: Mode, shared: &Shared) -> Self {
        let rounds = shared.kitchen.rounds_of(&oven.id);
        let last = rounds.iter().rev().find(|r| r.mode == mode);
        let usual = if mode == Mode::Proofing {
            oven.dial.lowest
        } else {
            oven.dial.round(USUAL)
        };
        let dial = last
            .and_then(|r| r.readings.last())
            .map_or(usual, |r| r.dial);
        let mut thermometers = shared.kitchen.thermometers().to_vec();
        thermometers.push(Thermometer::unnamed());
        let used = last.and_then(|r| r.thermometer.as_ref());
        let thermometer = thermometers
            .iter()
            .position(|t| used == Some(&t.id))
            .unwrap_or(0);
        Self {
            line: Line::Dial,
            mode,
            dial: Field::new(figure(oven, dial)),
            cold: true,
            thermometers,
            thermometer,
            place: AirPlace::CENTRE,
        }
    }

    /// Goes to the line above (-1) or below (1).
    pub(super) fn go(&mut self, by: i8) {
        self.line = neighbour(&Line::ALL, self.line, by).unwrap_or(self.line);
        self.dial.arrive();
    }

    /// Changes the line under the cursor.
    pub(super) fn change(&mut self, by: i8, oven: &Oven) {
        match self.line {
            Line::Mode => self.mode = mode_beside(oven, self.mode, by),
            Line::Dial => {
                let dial = self.dial_of(oven).unwrap_or(USUAL);
                let figure_now = oven.dial.unit.figure(dial) + f64::from(by) * oven.dial.step;
                let next = oven.dial.round(oven.dial.unit.temperature(figure_now));
                let next = next.0.clamp(oven.dial.lowest.0, oven.dial.highest.0);
                self.dial = Field::new(figure(oven, Celsius(next)));
            }
            Line::Cold => self.cold = !self.cold,
            Line::Thermometer => {
                self.thermometer = turn(self.thermometer, by, self.thermometers.len());
            }
            Line::Place => self.place = spot_beside(self.place, by),
        }
    }

    /// Returns the thermometer chosen.
    pub(super) fn thermometer(&self) -> Thermometer {
        self.thermometers
            .get(self.thermometer)
            .cloned()
            .unwrap_or_else(Thermometer::unnamed)
    }

    /// Chooses a thermometer that was described just now.
    pub(super) fn take(&mut self, thermometer: Thermometer) {
        let same = self
            .thermometers
            .iter()
            .position(|t| t.id == thermometer.id);
        self.thermometer = same.unwrap_or(0);
        match same {
            Some(i) => self.thermometers[i] = thermometer,
            None => self.thermometers.insert(0, thermometer),
        }
        self.line = Line::Thermometer;
    }

    /// Returns what readings of the round belong to.
    pub(super) fn sitting(&self, oven: &Oven, shared: &Shared) -> Sitting {
        let known = shared.kitchen.thermometer(&self.thermometer().id);
        Sitting {
            oven: oven.id.clone(),
            mode: self.mode,
            thermometer: known.map(|t| t.id.clone()),
        }
    }

    fn dial_of(&self, oven: &Oven) -> Option<Celsius> {
        Celsius::parse(self.dial.text(), oven.dial.unit).ok()
    }

    /// Returns the dial setting, or what is wrong with it.
    pub(super) fn setting(&self, oven: &Oven) -> Result<Celsius, NoSetting> {
        let unit = oven.dial.unit;
        let (lowest, highest) = (oven.dial.lowest, oven.dial.highest);
        let dial = self.dial_of(oven).ok_or_else(|| NoSetting::Unread {
            typed: self.dial.text().to_owned(),
            like: figure(oven, USUAL),
        })?;
        if (lowest.0 - 0.5..=highest.0 + 0.5).contains(&dial.0) {
            Ok(dial)
        } else {
            Err(NoSetting::OffDial(
                [dial, lowest, highest].map(|t| unit.show(t)),
            ))
        }
    }

    /// Says what a line holds.
    pub(super) fn words(&self, line: Line, oven: &Oven) -> String {
        match line {
            Line::Mode => self.mode.words().to_owned(),
            Line::Dial => format!("{} {}", self.dial.raw(), oven.dial.unit.letter()),
            Line::Cold if self.cold => "is cold: the preheat is read too".to_owned(),
            Line::Cold => "holds its setting already".to_owned(),
            Line::Thermometer => {
                let t = self.thermometer();
                let unit = oven.dial.unit;
                format!(
                    "{}, right within {:.0} {}",
                    t.name,
                    unit.delta_figure(t.accuracy),
                    unit.letter()
                )
            }
            Line::Place => place_words(self.place),
        }
    }
}

/// Says where a thermometer stands.
pub(super) fn place_words(place: AirPlace) -> String {
    let spot = match place.spot {
        Spot::Centre => "middle",
        Spot::BackLeft => "back left",
        Spot::BackRight => "back right",
        Spot::FrontLeft => "front left",
        Spot::FrontRight => "front right",
    };
    match place.rack {
        None => "in the middle of the oven".to_owned(),
        Some(rack) => format!("on rack position {rack}, {spot}"),
    }
}

/// Returns the next spot on the same rack position; in the middle of the oven there is only one.
pub(super) fn spot_beside(place: AirPlace, by: i8) -> AirPlace {
    let Some(rack) = place.rack else {
        return AirPlace::new(Some(1), Spot::Centre);
    };
    let spot = neighbour(&Spot::ALL, place.spot, by).unwrap_or(place.spot);
    AirPlace::new(Some(rack), spot)
}

/// Returns the same spot on the next rack position; after the highest the middle of the oven.
pub(super) fn rack_above(place: AirPlace, oven: &Oven) -> AirPlace {
    let mut numbers: Vec<u8> = oven.racks.iter().map(|r| r.number).collect();
    numbers.sort_unstable();
    let next = match place.rack {
        None => numbers.first().copied(),
        Some(rack) => numbers.into_iter().find(|n| *n > rack),
    };
    next.map_or(AirPlace::CENTRE, |rack| {
        AirPlace::new(Some(rack), place.spot)
    })
}

/// Returns the next (1) or previous (-1) mode of an oven.
pub(super) fn mode_beside(oven: &Oven, mode: Mode, by: i8) -> Mode {
    neighbour(&oven.modes, mode, by).unwrap_or(mode)
}

/// Writes a setting as a bare figure of the oven's dial.
fn figure(oven: &Oven, dial: Celsius) -> String {
    format!("{:.0}", oven.dial.unit.figure(dial))
}
