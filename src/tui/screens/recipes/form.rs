//! The form of a recipe: every field as it is typed.

use crate::tui::prelude::*;
use crate::{
    model::Recipe,
    tui::widgets::{
        field::Field,
        form::{Fields, Rows, rows},
        list::{neighbour, turn},
    },
    units::{LengthUnit, TemperatureUnit},
    workflow::{
        catalogue::{bake_kinds, kind_name},
        kitchen::Kitchen,
        recipe::{Field as Wrong, RecipeDraft, Refusal, Way},
    },
};

rows! {
    /// A row of the form.
    pub(super) enum Row [label, help] {
        Name: "Name", "What you call it.";
        Way: "Written for", "Left and right choose. A fan is set 25 F (15 C) lower (by custom).";
        Temperature: "Temperature", "As it is written, like 350 F, 180 C or gas 4.";
        Minutes: "Minutes", "Minutes in the oven, like 12.";
        Kind: "Browns like", "Left and right choose. It tells when in the bake the browning comes.";
        Shade: "Wanted shade", "0 to 9 on the shade card, like 4.5; empty leaves it open.";
        Tray: "Tray", "Along the door x front to back, like 18x13 in or 46x33 cm.";
        Pieces: "Pieces", "Along the door x front to back, like 4x3.";
        Note: "Note", "Anything else.";
        Save: "Save", "Enter saves the recipe.";
    }
}

impl Row {
    /// Returns the row in which a field is typed.
    fn of(wrong: Wrong) -> Self {
        match wrong {
            Wrong::Name => Self::Name,
            Wrong::Temperature | Wrong::GasMark => Self::Temperature,
            Wrong::Minutes => Self::Minutes,
            Wrong::Shade => Self::Shade,
            Wrong::Tray => Self::Tray,
            Wrong::Pieces => Self::Pieces,
            Wrong::Kind => Self::Kind,
        }
    }
}

/// The form with what was typed.
#[derive(Debug)]
pub(super) struct Form {
    /// The recipe that is changed; `None` for a new one.
    known: Option<Recipe>,
    pub(super) row: Row,
    pub(super) way: Way,
    kind: usize,
    fields: Fields<Row>,
    /// What it held at first.
    before: RecipeDraft,
    /// Whether to go without saving.
    leaving: Confirm<()>,
}

impl Form {
    /// Opens over a known recipe, or a new one with the usual figures in `unit` and `lengths`.
    pub(super) fn new(
        known: Option<&Recipe>,
        (unit, lengths): (TemperatureUnit, LengthUnit),
    ) -> Self {
        let draft = known.map_or_else(
            || RecipeDraft {
                temperature: Some(match unit {
                    TemperatureUnit::Fahrenheit => "350 F".to_owned(),
                    TemperatureUnit::Celsius => "180 C".to_owned(),
                }),
                minutes: Some("12".to_owned()),
                tray: Some(match lengths {
                    LengthUnit::Inches => "18x13 in".to_owned(),
                    LengthUnit::Centimetres => "46x33 cm".to_owned(),
                }),
                pieces: Some("4x3".to_owned()),
                ..RecipeDraft::default()
            },
            |recipe| RecipeDraft::of(recipe, lengths),
        );
        let fields = [
            (Row::Name, &draft.name),
            (Row::Temperature, &draft.temperature),
            (Row::Minutes, &draft.minutes),
            (Row::Shade, &draft.shade),
            (Row::Tray, &draft.tray),
            (Row::Pieces, &draft.pieces),
            (Row::Note, &draft.note),
        ]
        .map(|(row, text)| (row, text.clone().unwrap_or_default()));
        let is_kind = |key: &String| bake_kinds().iter().position(|k| k.key == *key);
        let mut form = Self {
            known: known.cloned(),
            row: Row::Name,
            way: draft.way.unwrap_or_default(),
            kind: draft.kind.as_ref().and_then(is_kind).unwrap_or(0),
            fields: Fields::new(fields),
            before: RecipeDraft::default(),
            leaving: Confirm::default(),
        };
        form.before = form.draft();
        form
    }

    pub(super) fn is_new(&self) -> bool {
        self.known.is_none()
    }

    /// Returns what stands in the form.
    fn draft(&self) -> RecipeDraft {
        let text = |row| Some(self.fields.text(row).to_owned());
        RecipeDraft {
            name: text(Row::Name),
            temperature: text(Row::Temperature),
            way: Some(self.way),
            minutes: text(Row::Minutes),
            shade: text(Row::Shade),
            tray: text(Row::Tray),
            pieces: text(Row::Pieces),
            kind: bake_kinds().get(self.kind).map(|k| k.key.clone()),
            note: text(Row::Note),
        }
    }

    /// Builds the recipe; where something cannot be, puts the cursor there.
    pub(super) fn build(
        &mut self,
        kitchen: &Kitchen,
        units: (TemperatureUnit, LengthUnit),
    ) -> Result<Recipe, Refusal> {
        let mut draft = self.draft();
        if self.known.is_some() {
            // Figures are shown rounded: what was not touched stays as it was.
            let before = &self.before;
            let same_way = draft.way == before.way;
            draft.temperature = draft
                .temperature
                .filter(|t| !same_way || before.temperature.as_ref() != Some(t));
            draft.minutes = draft.minutes.filter(|m| before.minutes.as_ref() != Some(m));
            draft.tray = draft.tray.filter(|t| before.tray.as_ref() != Some(t));
        }
        let built = draft.build(kitchen, self.known.as_ref(), units);
        if let Err(refusal) = &built {
            self.go_to(Row::of(refusal.field));
        }
        built
    }

    /// Tells whether it can be left; asks once where something would be lost.
    pub(super) fn may_leave(&mut self, shared: &mut Shared) -> bool {
        self.leaving.pressed();
        let words = "not saved: F2 saves, Esc again leaves without saving";
        self.draft() == self.before || self.leaving.is_sure((), words, shared)
    }

    pub(super) fn step(&mut self, by: isize) {
        self.go_to(self.row.stepped(by));
    }

    pub(super) fn go_to(&mut self, row: Row) {
        self.leaving.pressed();
        self.row = row;
        self.fields.arrive(row);
    }

    /// Takes the next choice of the row, or the one before.
    pub(super) fn choose(&mut self, by: i8) {
        self.leaving.pressed();
        match self.row {
            Row::Way => {
                self.way = neighbour(&Way::ALL, self.way, by).unwrap_or_default();
            }
            Row::Kind => self.kind = turn(self.kind, by, bake_kinds().len()),
            _ => {}
        }
    }

    pub(super) fn typed(&mut self, typed: &Typed) {
        self.leaving.pressed();
        if !self.fields.typed(self.row, typed) && *typed == Typed::Char(' ') {
            self.choose(1);
        }
    }

    /// Returns the label of a row.
    pub(super) fn label(&self, row: Row) -> &'static str {
        match row {
            Row::Temperature if self.way == Way::GasMark => "Gas mark",
            row => row.label(),
        }
    }

    /// Returns what stands in a row.
    pub(super) fn value(&self, row: Row) -> String {
        match row {
            Row::Way => match self.way {
                Way::NoFan => "an oven without a fan".to_owned(),
                Way::Fan => "an oven with its fan on".to_owned(),
                Way::GasMark => "a gas oven".to_owned(),
            },
            Row::Kind => {
                let key = bake_kinds().get(self.kind).map_or("", |k| k.key.as_str());
                kind_name(key).to_owned()
            }
            Row::Save => "Enter or F2".to_owned(),
            _ => self.fields.get(row).map_or("", Field::raw).to_owned(),
        }
    }

    /// Says what belongs in the row that has the cursor.
    pub(super) fn help(&self) -> &'static str {
        match self.row {
            Row::Temperature if self.way == Way::GasMark => {
                "1/4, 1/2 or 1 to 10, by the customary table."
            }
            row => row.help(),
        }
    }
}
