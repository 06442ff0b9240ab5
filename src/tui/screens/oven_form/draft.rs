//! An oven as it stands in the form: texts and choices, and the oven they make.

use super::rows::{Row, figure, heights_text};
use crate::{
    model::{
        Cavity, Dial, HeatSource, Mode, Oven, OvenError, Plate, RackPosition, ServiceVisit,
        id::OvenId,
    },
    tui::{
        keys::Typed,
        widgets::{field::Field, form::Fields},
    },
    units::{Celsius, Centimetres, LengthUnit, TemperatureUnit},
    workflow::describe::{MOST_RACKS, check_count, dial_step},
};

/// The oven in the form.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Draft {
    id: OvenId,
    visits: Vec<ServiceVisit>,
    note: String,
    pub(super) lengths: LengthUnit,
    pub(super) unit: TemperatureUnit,
    pub(super) heat: Vec<HeatSource>,
    pub(super) modes: Vec<Mode>,
    fields: Fields<Row>,
}

/// Why the form makes no oven yet, and on which row.
pub(super) type Problem = (Row, String);

impl Draft {
    pub(super) fn of(oven: &Oven) -> Self {
        let (l, u) = (oven.lengths, oven.dial.unit);
        let length = |v| figure(l.figure(v));
        let degrees = |t| figure(u.figure(t));
        let heights: Vec<Centimetres> = oven.racks.iter().map(|r| r.height).collect();
        let [lowest, spacing] = evenly(&heights);
        let plate = &oven.plate;
        let fields = [
            (Row::Name, oven.name.clone()),
            (Row::Width, length(oven.cavity.width)),
            (Row::Depth, length(oven.cavity.depth)),
            (Row::Height, length(oven.cavity.height)),
            (Row::Count, heights.len().to_string()),
            (Row::Lowest, length(lowest.1)),
            (Row::Spacing, length(spacing.1)),
            (Row::Heights, heights_text(&heights, l)),
            (Row::DialStep, figure(oven.dial.step)),
            (Row::DialLowest, degrees(oven.dial.lowest)),
            (Row::DialHighest, degrees(oven.dial.highest)),
            (Row::Make, plate.make.clone()),
            (Row::Model, plate.model.clone()),
            (Row::Serial, plate.serial.clone()),
            (Row::Contact, plate.contact.clone()),
        ];
        Self {
            id: oven.id.clone(),
            visits: oven.visits.clone(),
            note: oven.note.clone(),
            lengths: l,
            unit: u,
            heat: oven.heat.clone(),
            modes: oven.modes.clone(),
            fields: Fields::new(fields),
        }
    }

    /// Returns the field of a row that is filled in by typing.
    pub(super) fn field(&self, row: Row) -> Option<&Field> {
        self.fields.get(row)
    }

    /// Is told that the cursor has come to a row.
    pub(super) fn arrive(&mut self, row: Row) {
        self.fields.arrive(row);
    }

    /// Takes text into a row; count, lowest and spacing write the heights again, and the heights those.
    pub(super) fn typed(&mut self, row: Row, typed: &Typed) {
        self.fields.typed(row, typed);
        match row {
            Row::Count | Row::Lowest | Row::Spacing => self.spread_heights(),
            Row::Heights => self.count_heights(),
            _ => {}
        }
    }

    fn count_heights(&mut self) {
        let Ok(heights) = self.rack_heights() else {
            return;
        };
        self.fields.set(Row::Count, heights.len().to_string());
        for (row, length) in evenly(&heights) {
            // One rack position has no spacing, and heights that do not rise have none that could be.
            if row == Row::Lowest || length.0 > 0.0 {
                self.fields.set(row, figure(self.lengths.figure(length)));
            }
        }
    }

    fn spread_heights(&mut self) {
        let (Ok(count), Ok(lowest), Ok(spacing)) = (
            self.rack_count(),
            self.length(Row::Lowest),
            self.length(Row::Spacing),
        ) else {
            return;
        };
        let heights: Vec<Centimetres> = (0..count)
            .map(|i| Centimetres(lowest.0 + spacing.0 * f64::from(i)))
            .collect();
        let text = heights_text(&heights, self.lengths);
        self.fields.set(Row::Heights, text);
    }

    /// Shows lengths in the other unit; the oven stays as large as it was.
    pub(super) fn switch_lengths(&mut self) {
        let rows = [
            Row::Width,
            Row::Depth,
            Row::Height,
            Row::Lowest,
            Row::Spacing,
        ];
        let lengths: Vec<(Row, Centimetres)> = rows
            .into_iter()
            .filter_map(|row| Some((row, self.length(row).ok()?)))
            .collect();
        let heights = self.rack_heights().ok();
        self.lengths = match self.lengths {
            LengthUnit::Inches => LengthUnit::Centimetres,
            LengthUnit::Centimetres => LengthUnit::Inches,
        };
        let unit = self.lengths;
        for (row, length) in lengths {
            self.fields.set(row, figure(unit.figure(length)));
        }
        if let Some(heights) = heights {
            self.fields.set(Row::Heights, heights_text(&heights, unit));
        }
    }

    /// Shows the dial in the other unit, its ends rounded to whole degrees.
    pub(super) fn switch_degrees(&mut self) {
        let ends: Vec<(Row, Celsius)> = [Row::DialLowest, Row::DialHighest]
            .into_iter()
            .filter_map(|row| Some((row, self.degrees(row).ok()?)))
            .collect();
        self.unit = match self.unit {
            TemperatureUnit::Fahrenheit => TemperatureUnit::Celsius,
            TemperatureUnit::Celsius => TemperatureUnit::Fahrenheit,
        };
        let unit = self.unit;
        for (row, end) in ends {
            self.fields.set(row, figure(unit.figure(end).round()));
        }
    }

    /// Switches the heat source or mode at `at` on or off.
    pub(super) fn switch(&mut self, row: Row, at: usize) {
        if row == Row::Heat
            && let Some(source) = HeatSource::ALL.get(at)
        {
            toggle(&mut self.heat, *source, &HeatSource::ALL);
        }
        if row == Row::Modes
            && let Some(mode) = Mode::ALL.get(at)
        {
            toggle(&mut self.modes, *mode, &Mode::ALL);
        }
    }

    /// Returns what is wrong on one row.
    pub(super) fn problem_on(&self, row: Row) -> Option<String> {
        self.unread(row).or_else(|| match self.build() {
            Err((wrong, words)) if wrong == row => Some(words),
            Err(_) | Ok(_) => None,
        })
    }

    /// Returns why a row cannot be read, whatever stands on the others.
    fn unread(&self, row: Row) -> Option<String> {
        let found = match row {
            Row::Width | Row::Depth | Row::Height | Row::Lowest => self.length(row).map(|_| ()),
            // A single rack position has no spacing.
            Row::Spacing if self.rack_count() == Ok(1) => Ok(()),
            Row::Spacing => self.length(row).map(|_| ()),
            Row::Count => self.rack_count().map(|_| ()),
            Row::Heights => self.rack_heights().map(|_| ()),
            Row::DialStep => self.dial_step().map(|_| ()),
            Row::DialLowest | Row::DialHighest => self.degrees(row).map(|_| ()),
            _ => Ok(()),
        };
        found.err()
    }

    /// Makes the oven, or tells the first row that stands in the way.
    pub(super) fn build(&self) -> Result<Oven, Problem> {
        let on = |row: Row| move |words: String| (row, words);
        for row in [Row::Count, Row::Lowest, Row::Spacing] {
            if let Some(words) = self.unread(row) {
                return Err((row, words));
            }
        }
        let length = |row: Row| self.length(row).map_err(on(row));
        let cavity = Cavity {
            width: length(Row::Width)?,
            depth: length(Row::Depth)?,
            height: length(Row::Height)?,
        };
        let heights = self.rack_heights().map_err(on(Row::Heights))?;
        let racks = (1..)
            .zip(heights)
            .map(|(number, height)| RackPosition { number, height })
            .collect();
        let dial = Dial {
            unit: self.unit,
            step: self.dial_step().map_err(on(Row::DialStep))?,
            lowest: self.degrees(Row::DialLowest).map_err(on(Row::DialLowest))?,
            highest: self
                .degrees(Row::DialHighest)
                .map_err(on(Row::DialHighest))?,
        };
        let text = |row| self.fields.text(row).to_owned();
        let oven = Oven {
            id: self.id.clone(),
            name: text(Row::Name),
            cavity,
            racks,
            heat: self.heat.clone(),
            modes: self.modes.clone(),
            dial,
            lengths: self.lengths,
            visits: self.visits.clone(),
            note: self.note.clone(),
            plate: Plate {
                make: text(Row::Make),
                model: text(Row::Model),
                serial: text(Row::Serial),
                contact: text(Row::Contact),
            },
        };
        oven.check().map_err(|e| (row_of(&e), e.to_string()))
    }

    fn length(&self, row: Row) -> Result<Centimetres, String> {
        let text = self.fields.text(row);
        let length = Centimetres::parse(text, self.lengths).map_err(|e| e.to_string())?;
        if length.0 > 0.0 || (row == Row::Lowest && length.0 == 0.0) {
            Ok(length)
        } else {
            Err(format!("'{text}' must be above 0 {}", self.lengths.name()))
        }
    }

    fn degrees(&self, row: Row) -> Result<Celsius, String> {
        let text = self.fields.text(row);
        Celsius::parse(text, self.unit).map_err(|e| e.to_string())
    }

    fn dial_step(&self) -> Result<f64, String> {
        dial_step(self.fields.text(Row::DialStep), self.unit).map_err(|e| e.to_string())
    }

    fn rack_count(&self) -> Result<u8, String> {
        let text = self.fields.text(Row::Count);
        match text.parse::<u8>() {
            Ok(count) if (1..=MOST_RACKS).contains(&usize::from(count)) => Ok(count),
            Ok(_) | Err(_) => Err(format!(
                "'{text}' is not a count of rack positions; give 1 to {MOST_RACKS}"
            )),
        }
    }

    fn rack_heights(&self) -> Result<Vec<Centimetres>, String> {
        let text = self.fields.text(Row::Heights);
        let heights = Centimetres::parse_list(text, self.lengths).map_err(|e| e.to_string())?;
        check_count(heights.len()).map_err(|e| e.to_string())?;
        Ok(heights)
    }
}

/// Returns the lowest of the heights and the spacing that comes nearest to them, each with its row.
fn evenly(heights: &[Centimetres]) -> [(Row, Centimetres); 2] {
    let lowest = heights.first().copied().unwrap_or(Centimetres(5.0));
    let highest = heights.last().copied().unwrap_or(lowest);
    let gaps = heights.len().saturating_sub(1).max(1) as f64;
    let spacing = Centimetres((highest.0 - lowest.0) / gaps);
    [(Row::Lowest, lowest), (Row::Spacing, spacing)]
}

/// Switches one on or off and keeps the order of `all`.
fn toggle<T: Copy + PartialEq>(on: &mut Vec<T>, one: T, all: &[T]) {
    if on.contains(&one) {
        on.retain(|x| *x != one);
    } else {
        let with: Vec<T> = all
            .iter()
            .copied()
            .filter(|x| *x == one || on.contains(x))
            .collect();
        *on = with;
    }
}

/// Returns the row on which an error is put right.
fn row_of(error: &OvenError) -> Row {
    match error {
        OvenError::Cavity { side, .. } => match *side {
            "width" => Row::Width,
            "depth" => Row::Depth,
            _ => Row::Height,
        },
        OvenError::NoRack | OvenError::RackHeight { .. } | OvenError::NoSuchRack { .. } => {
            Row::Heights
        }
        OvenError::NoMode | OvenError::NoSuchMode { .. } => Row::Modes,
        OvenError::NoName => Row::Name,
        OvenError::Dial { what, .. } => {
            if what.contains("step") {
                Row::DialStep
            } else if what.contains("lowest") {
                Row::DialLowest
            } else {
                Row::DialHighest
            }
        }
    }
}
