//! A thermometer being described: its name, its step, how right it is, how fast it follows, when it was bought.

use crate::tui::prelude::*;
use crate::{
    model::{Oven, Thermometer},
    report::text::wrap,
    tui::widgets::{
        field::Field,
        form::{Fields, Rows as _, rows},
    },
    units::{CelsiusDelta, TemperatureUnit, number},
};
use jiff::civil::Date;

/// Columns of the labels.
const LABEL: usize = 14;

rows! {
    /// A line of the description.
    pub(crate) enum Part [label, help] {
        /// What it is called.
        Name: "Name", "what you call it, like dial type or wire probe";
        /// The smallest step it shows.
        Step: "Smallest step", "the smallest change it shows: one mark of a dial, the last figure of a display";
        /// How right it is.
        Within: "Right within", "plus or minus, as its maker promises; a cheap dial type is right within 10 F or 6 C (common practice)";
        /// How fast it follows.
        Lag: "Follows in", "the seconds it takes to follow 63 % of a change; empty where not known, then what an opened door does is told less well";
        /// The day it was bought.
        Bought: "Bought on", "the day, like 2026-01-15; empty where not known. A cheap one is due for replacing after two years (common practice)";
    }
}

/// The description as it is typed.
#[derive(Debug)]
pub(super) struct Description {
    pub(super) part: Part,
    fields: Fields<Part>,
    /// The one that is changed; an unnamed one is new.
    of: Thermometer,
    unit: TemperatureUnit,
}

impl Description {
    /// Opens the description of a thermometer; one that was not named is described from the start.
    pub(super) fn new(of: Thermometer, oven: &Oven) -> Self {
        let unit = oven.dial.unit;
        let figure = |d: CelsiusDelta| {
            let rounded = (unit.delta_figure(d) * 100.0).round() / 100.0;
            rounded.to_string()
        };
        let is_new = of == Thermometer::unnamed();
        let name = if is_new { "" } else { &of.name };
        let fields = [
            (Part::Name, name.to_owned()),
            (Part::Step, figure(of.resolution)),
            (Part::Within, figure(of.accuracy)),
            (
                Part::Lag,
                of.lag_s.map_or_else(String::new, |s| s.to_string()),
            ),
            (
                Part::Bought,
                of.bought.map_or_else(String::new, |d| d.to_string()),
            ),
        ];
        Self {
            part: Part::Name,
            fields: Fields::new(fields),
            of,
            unit,
        }
    }

    fn text(&self, part: Part) -> &str {
        self.fields.text(part)
    }

    /// Goes to a line.
    pub(super) fn to(&mut self, part: Part) {
        self.part = part;
        self.fields.arrive(part);
    }

    /// Goes to the line above (-1) or below (1); tells whether there is one.
    pub(super) fn go(&mut self, by: i8) -> bool {
        let next = self.part.index().checked_add_signed(isize::from(by));
        let next = next.and_then(|i| Part::ALL.get(i)).copied();
        if let Some(part) = next {
            self.to(part);
        }
        next.is_some()
    }

    /// Takes what was typed.
    pub(super) fn typed(&mut self, typed: &Typed) {
        self.fields.typed(self.part, typed);
    }

    /// Returns the thermometer described, or which line is wrong and why.
    pub(super) fn build(&self, shared: &Shared) -> Result<Thermometer, (Part, String)> {
        let name = self.text(Part::Name);
        if name.is_empty() {
            return Err((Part::Name, "it needs a name, like dial type".to_owned()));
        }
        let difference = |part: Part| {
            CelsiusDelta::parse(self.text(part), self.unit).map_err(|e| (part, e.to_string()))
        };
        let lag_s = match self.text(Part::Lag) {
            "" => None,
            text => Some(number(text).ok_or_else(|| {
                let why = format!("'{text}' is no number of seconds; type one like 20, or nothing");
                (Part::Lag, why)
            })?),
        };
        let bought = match self.text(Part::Bought) {
            "" => None,
            text => Some(text.parse::<Date>().map_err(|_unread| {
                let why = format!("'{text}' is no day; type it like 2026-01-15, or nothing");
                (Part::Bought, why)
            })?),
        };
        let known = shared.kitchen.thermometer(&self.of.id);
        let built = Thermometer {
            // One of that name on record is changed, as on the command line.
            id: known.map_or_else(
                || match shared.kitchen.find_thermometer(name) {
                    Ok(same) => same.id.clone(),
                    Err(_new) => shared.kitchen.fresh_thermometer_id(name),
                },
                |t| t.id.clone(),
            ),
            name: name.to_owned(),
            resolution: difference(Part::Step)?,
            accuracy: difference(Part::Within)?,
            lag_s,
            bought,
            note: self.of.note.clone(),
        };
        let named = shared.kitchen.check_name(&built);
        named.map_err(|e| (Part::Name, e.to_string()))?;
        built.check().map_err(|e| (self.part, e.to_string()))
    }

    /// Finds the line at `at`.
    pub(super) fn part_at(body: Rect, at: Position) -> Option<Part> {
        let row = usize::from(at.y.checked_sub(body.y + 1)?);
        body.contains(at).then(|| Part::ALL.get(row).copied())?
    }

    /// Draws the lines, what the one under the cursor means, and what is wrong.
    pub(super) fn draw(&self, shared: &Shared, body: Rect, buf: &mut Buffer) {
        let theme = &shared.theme;
        let width = usize::from(body.width.saturating_sub(2));
        let mut y = body.y + 1;
        for part in Part::ALL {
            let chosen = part == self.part;
            let text = self.fields.get(part).map_or("", Field::raw);
            let unit = match part {
                Part::Step | Part::Within => self.unit.letter().to_string(),
                Part::Lag => "s".to_owned(),
                Part::Name | Part::Bought => String::new(),
            };
            let sign = if part == Part::Within { "+-" } else { "" };
            let cursor = if chosen { "\u{2581}" } else { "" };
            let label = format!("{} {:<LABEL$}", list::mark(chosen), part.label());
            let role = if chosen { Role::Chosen } else { Role::Plain };
            let x = body.x + 1;
            buf.set_stringn(x, y, label, width, theme.style(Role::Plain));
            let beside = x + u16::try_from(LABEL + 3).unwrap_or(0);
            let room = width.saturating_sub(LABEL + 3);
            let value = format!("{sign}{text}{cursor} {unit}");
            buf.set_stringn(beside, y, value, room, theme.style(role));
            y += 1;
        }
        let mut words = wrap(self.part.help(), width, "", "");
        words.push(String::new());
        let mut lines: Vec<(String, Role)> = words.into_iter().map(|w| (w, Role::Quiet)).collect();
        if let Err((part, why)) = self.build(shared) {
            let wrong = format!("! {}: {why}", part.label());
            let wrong = wrap(&wrong, width, "", "  ");
            lines.extend(wrong.into_iter().map(|w| (w, Role::Caution)));
        }
        for ((line, role), y) in lines.into_iter().zip(y + 1..body.bottom()) {
            buf.set_stringn(body.x + 1, y, line, width, theme.style(role));
        }
    }
}
