//! What is told of a dough before it goes in, row by row.

use crate::{
    model::{Oven, dough::Dough, rising::OwnDough},
    tui::widgets::{field::Field, form::rows},
    units::{Celsius, Minutes, TemperatureUnit},
    workflow::rise::{RiseQuestion, Start, USUAL_GRAMS, span},
    workflow::rising::pace_of,
};

rows! {
    /// A row of the form.
    pub(crate) enum Row [label] {
        /// The dough's name.
        Name: "Dough";
        /// What makes it rise.
        Leaven: "Rises by";
        /// How long it takes to double.
        Known: "Doubles in";
        /// How warm it is then.
        KnownAt: "when it is";
        /// The weight of one piece.
        Weight: "One piece";
        /// How warm it is now.
        Start: "Dough now";
        /// What the oven is set to, or how warm the place is.
        Set: "Set to";
        /// When it is to be ready.
        Ready: "Ready by";
    }
}

/// The form.
#[derive(Debug, Clone)]
pub(super) struct Form {
    pub(super) dough: OwnDough,
    pub(super) name: Field,
    pub(super) unit: TemperatureUnit,
    pub(super) start: Celsius,
    pub(super) set: Celsius,
    /// Minutes from now until the oven is to bake; `None` where it does not matter.
    pub(super) ready_in: Option<Minutes>,
    pub(super) row: usize,
}

impl Form {
    pub(super) fn new(dough: OwnDough, oven: Option<&Oven>, unit: TemperatureUnit) -> Self {
        let last = dough.rises.last();
        let warm = oven.map_or(unit.temperature(unit.figure(Celsius(27.0)).round()), |o| {
            let usual = unit.temperature(unit.figure(Celsius(29.5)).round());
            Celsius(
                o.dial
                    .round(usual)
                    .0
                    .clamp(o.dial.lowest.0, o.dial.highest.0),
            )
        });
        Self {
            name: Field::new(dough.name.clone()),
            start: last.map_or(Celsius(22.0), |r| r.start),
            set: last.map_or(warm, |r| r.set),
            ready_in: None,
            row: 0,
            unit,
            dough,
        }
    }

    pub(super) fn row(&self) -> Row {
        Row::ALL.get(self.row).copied().unwrap_or(Row::Name)
    }

    /// Changes the row under the cursor by one step.
    pub(super) fn change(&mut self, by: f64) {
        let unit = self.unit;
        let degrees = |t: Celsius, lo: f64, hi: f64| {
            let next = unit.temperature((unit.figure(t) + by).round());
            Celsius(next.0.clamp(lo, hi))
        };
        match self.row() {
            Row::Name => {}
            Row::Leaven => {
                self.dough.leaven = match self.dough.leaven {
                    Dough::Yeast => Dough::Sourdough,
                    Dough::Sourdough => Dough::Yeast,
                };
            }
            Row::Known => {
                let step = if self.dough.known.0 + by < 120.0 {
                    5.0
                } else {
                    15.0
                };
                let next = (self.dough.known.0 / step).round() + by;
                self.dough.known = Minutes((next * step).clamp(5.0, 2880.0));
            }
            Row::KnownAt => self.dough.known_at = degrees(self.dough.known_at, 5.0, 44.0),
            Row::Weight => {
                let step = if self.dough.grams + by < 1000.0 {
                    50.0
                } else {
                    100.0
                };
                let next = (self.dough.grams / step).round() + by;
                self.dough.grams = (next * step).clamp(50.0, 20_000.0);
            }
            Row::Start => self.start = degrees(self.start, 1.0, 45.0),
            Row::Set => self.set = degrees(self.set, 5.0, 60.0),
            Row::Ready => {
                let now = self.ready_in.map_or(0.0, |m| m.0);
                let next = now + 15.0 * by;
                self.ready_in = (next >= 15.0).then_some(Minutes(next.min(2880.0)));
            }
        }
    }

    /// Returns what a row says, with its unit.
    pub(super) fn words(&self, row: Row) -> String {
        let show = |t| self.unit.show(t);
        match row {
            Row::Name => self.name.raw().to_owned(),
            Row::Leaven => match self.dough.leaven {
                Dough::Yeast => "baker's yeast".to_owned(),
                Dough::Sourdough => "sourdough".to_owned(),
            },
            Row::Known => span(self.dough.known),
            Row::KnownAt => show(self.dough.known_at),
            Row::Weight => format!("{:.0} g", self.dough.grams),
            Row::Start => show(self.start),
            Row::Set => show(self.set),
            Row::Ready => self
                .ready_in
                .map_or_else(|| "no matter".to_owned(), |m| format!("in {}", span(m))),
        }
    }

    pub(super) fn question(&self) -> RiseQuestion {
        RiseQuestion {
            dough: self.dough.leaven,
            known: self.dough.known,
            known_at: self.dough.known_at,
            at: self.set,
            start: Some(Start {
                temperature: self.start,
                grams: self.dough.grams,
            }),
            pace: Some(pace_of(&self.dough).0),
            unit: self.unit,
        }
    }
}

/// Makes a dough to begin with.
pub(super) fn new_dough(id: crate::model::id::DoughId, unit: TemperatureUnit) -> OwnDough {
    OwnDough {
        // Free, as its id is.
        name: id.as_str().replace('-', " "),
        id,
        leaven: Dough::Yeast,
        known: Minutes(60.0),
        known_at: unit.temperature(unit.figure(Celsius(24.0)).round()),
        grams: USUAL_GRAMS,
        rises: Vec::new(),
        note: String::new(),
    }
}
