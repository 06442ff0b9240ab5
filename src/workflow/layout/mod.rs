//! Laying out a toast test: how many slices fit, where each goes, and what to expect.

use crate::{
    model::{
        Mode, NotOnDial, Oven, OvenError, Place, Reading, Slice, SliceSize, Warning,
        kinetics::{
            HOT_PLATE_ASYMPTOTE, HOT_PLATE_ENERGY, HOT_PLATE_FACTOR, dose_of_colour_difference,
            rate,
        },
        worded::worded,
    },
    numeric::whole,
    planner::dose::{Heat, TOAST, minutes_for_effective},
    units::{Celsius, Centimetres, Minutes, TemperatureUnit},
};
use jiff::civil::Date;

/// Usable slices of a loaf, without the end pieces (common practice, no source).
const SLICES_IN_A_LOAF: usize = 20;
/// Slices kept back untoasted, to know where the bread began.
const KEPT_BACK: usize = 2;
/// A middling setting (common practice, no source).
const MIDDLING_F: f64 = 350.0;
/// Toast that takes longer than this is not toast; then no time is told.
const LONGEST: Minutes = Minutes(60.0);
/// Colour differences between which the mean slice is golden (hot-plate kinetics; below, noise rules, above, the
/// dark end saturates).
const GOLDEN: (f64, f64) = (15.0, 25.0);
/// Air that is kept between slices and walls so that it can move (common practice, no source).
const AIR_TO_WALLS: Centimetres = Centimetres(5.0);

/// What is to be laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct LayoutRequest {
    /// Rack positions to be tested at once.
    pub racks: Vec<u8>,
    /// Outer size of a slice.
    pub slice: SliceSize,
    /// Air between slices.
    pub gap: Centimetres,
    /// Air to the walls, the door and the back.
    pub clearance: Centimetres,
    /// Slices along the door and front to back; as many as fit when `None`.
    pub counts: Option<(usize, usize)>,
    /// What the dial will be set to; a middling setting when `None`.
    pub dial: Option<Celsius>,
}

impl LayoutRequest {
    /// Asks for as many ordinary slices as fit on `racks`, with 1 cm of air between and 5 cm to the walls.
    pub fn ordinary(racks: Vec<u8>) -> Self {
        Self {
            racks,
            slice: SliceSize::ORDINARY,
            gap: Centimetres(1.0),
            clearance: AIR_TO_WALLS,
            counts: None,
            dial: None,
        }
    }
}

/// A toast test laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Unscored slices in reading order: rack by rack from the bottom, back row first, left to right.
    pub slices: Vec<Slice>,
    /// Slices along the door.
    pub cols: usize,
    /// Slices front to back.
    pub rows: usize,
    /// Slices on each rack position, the fewest.
    pub per_rack: usize,
    /// Loaves it takes, with two slices kept back untoasted.
    pub loaves: usize,
    /// What to set the dial to.
    pub dial: Celsius,
    /// Time to expect, from and to, once the oven has settled; `None` where it cannot be told.
    pub minutes: Option<(Minutes, Minutes)>,
    /// When to pull the slices, and how to begin.
    pub pull_when: String,
    /// Remarks.
    pub warnings: Vec<Warning>,
}

impl Layout {
    /// Returns the layout with other slices in it, by the last test or by advice, and what is to be said of those.
    #[must_use]
    pub fn with_slices(self, oven: &Oven, request: &LayoutRequest, slices: Vec<Slice>) -> Self {
        let on = |rack: &u8| slices.iter().filter(|s| s.rack == *rack).count();
        let fewest = request.racks.iter().map(on).min().unwrap_or(0);
        let loaves = loaves_for(slices.len());
        Self {
            warnings: warnings(oven, request, fewest, loaves),
            per_rack: fewest,
            loaves,
            slices,
            ..self
        }
    }
}

fn loaves_for(slices: usize) -> usize {
    (slices + KEPT_BACK).div_ceil(SLICES_IN_A_LOAF)
}

worded! {
    /// A size that a lay-out is made from.
    pub enum Measure [words] {
        /// Of a slice, along the door.
        Width: "a slice width";
        /// Of a slice, front to back.
        Depth: "a slice depth";
        /// Between slices.
        Gap: "air between slices";
        /// To the walls, the door and the back.
        Clearance: "air to the walls";
    }
}

/// Why a toast test cannot be laid out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// A mode or rack position the oven has not.
    #[error(transparent)]
    Oven(#[from] OvenError),
    /// No rack position was named.
    #[error("no rack position to lay slices on; name at least one, like 3")]
    NoRack,
    /// A rack position was named twice.
    #[error("rack position {0} is named twice; name each once")]
    Twice(u8),
    /// A mode that toasts nothing.
    #[error(
        "proofing does not toast bread; test it with a thermometer, or choose a mode that bakes"
    )]
    Proofing,
    /// A size that cannot be.
    #[error("{} of {cm:.1} cm cannot be; give {hint}", what.words())]
    Size {
        /// Which size.
        what: Measure,
        /// The value given, cm.
        cm: f64,
        /// What to give instead.
        hint: &'static str,
    },
    /// A setting the dial has not.
    #[error(transparent)]
    Dial(#[from] NotOnDial),
    /// More slices than fit.
    #[error(
        "{asked} slices {direction} need {needed:.1} cm and there are {room:.1} cm; at most {most} fit with this air between"
    )]
    TooMany {
        /// Slices asked for.
        asked: usize,
        /// Along which side.
        direction: &'static str,
        /// Length they need, cm.
        needed: f64,
        /// Length there is, cm.
        room: f64,
        /// As many as fit.
        most: usize,
    },
}

/// Lays out a toast test.
///
/// # Errors
/// [`LayoutError`] says which figure cannot be and what to give instead.
pub fn lay_out(oven: &Oven, mode: Mode, request: &LayoutRequest) -> Result<Layout, LayoutError> {
    check(oven, mode, request)?;
    let room_x = oven.cavity.width.0 - 2.0 * request.clearance.0;
    let room_y = oven.cavity.depth.0 - 2.0 * request.clearance.0;
    let cols = count(
        "along the door",
        room_x,
        request.slice.width,
        request.gap,
        request.counts.map(|c| c.0),
    )?;
    let rows = count(
        "front to back",
        room_y,
        request.slice.depth,
        request.gap,
        request.counts.map(|c| c.1),
    )?;
    let xs = centres(request.clearance.0, room_x, request.slice.width.0, cols);
    let ys = centres(request.clearance.0, room_y, request.slice.depth.0, rows);
    let mut racks = request.racks.clone();
    racks.sort_unstable();
    let mut slices = Vec::with_capacity(racks.len() * cols * rows);
    for rack in &racks {
        for y in ys.iter().rev() {
            slices.extend(xs.iter().map(|x| Slice {
                rack: *rack,
                place: Place::new(Centimetres(*x), Centimetres(*y)),
                reading: Reading::Unscored,
            }));
        }
    }
    let dial = request.dial.unwrap_or_else(|| middling(oven));
    let loaves = loaves_for(slices.len());
    Ok(Layout {
        warnings: warnings(oven, request, cols * rows, loaves),
        cols,
        rows,
        per_rack: cols * rows,
        loaves,
        dial,
        minutes: usual_minutes(mode, dial),
        pull_when: pull_when(mode),
        slices,
    })
}

/// How long an earlier test of this oven at this dial took.
#[derive(Debug, Clone, PartialEq)]
pub struct Took {
    /// Its time.
    pub minutes: Minutes,
    /// Its day and rack positions, where it was on other ones.
    pub elsewhere: Option<(Date, Vec<u8>)>,
}

impl Took {
    /// Says it with the test: `9:30 min, as the last test took`, `10 min, as the test of 2026-03-08 on rack 4 took`.
    pub fn words(&self) -> String {
        let minutes = self.minutes;
        match &self.elsewhere {
            None => format!("{minutes}, as the last test took"),
            Some((day, racks)) => {
                let plural = if racks.len() == 1 { "" } else { "s" };
                let racks: Vec<String> = racks.iter().map(u8::to_string).collect();
                let racks = racks.join(" and ");
                format!("{minutes}, as the test of {day} on rack{plural} {racks} took")
            }
        }
    }
}

impl Layout {
    /// Takes another dial setting, and the time that goes with it.
    pub fn set_dial(&mut self, mode: Mode, dial: Celsius) {
        self.dial = dial;
        self.minutes = usual_minutes(mode, dial);
    }

    /// Returns the shortest and the longest time to expect. What a test at this dial `took` goes first.
    pub fn expected(&self, took: Option<&Took>) -> Option<(Minutes, Minutes)> {
        took.map(|t| (t.minutes, t.minutes)).or(self.minutes)
    }

    /// Says the time to expect, or that it cannot be told: `11 to 16 min`. What a test at this dial `took` goes first.
    pub fn minutes_words(&self, took: Option<&Took>) -> String {
        match (took, self.minutes) {
            (Some(took), _) => took.words(),
            (None, Some((from, to))) => format!("{:.0} to {:.0} min", from.0, to.0),
            (None, None) => "time unknown: look from minute 2 on and stay".to_owned(),
        }
    }
}

/// When to pull the slices, and how to begin.
fn pull_when(mode: Mode) -> String {
    let watch = match mode {
        Mode::StillAir | Mode::Proofing => "stay with the oven throughout",
        Mode::Fan | Mode::BottomOnly | Mode::TopOnly => {
            "stay with the oven, look from minute 2 on: how fast this mode toasts is not known, and toast can catch fire"
        }
    };
    format!(
        "Preheat, then let the oven settle for 20 minutes. Same loaf, no end pieces, same side up; keep two slices untoasted. Pull every slice at once when the lightest one is golden, and {watch}."
    )
}

/// Returns how many slices of `size` fit side by side into `room` with `gap` between, all in cm.
pub fn fit_count(room: f64, size: f64, gap: f64) -> usize {
    whole::floor((room + gap) / (size + gap) + 1e-9)
}

fn check(oven: &Oven, mode: Mode, request: &LayoutRequest) -> Result<(), LayoutError> {
    if request.racks.is_empty() {
        return Err(LayoutError::NoRack);
    }
    for (i, rack) in request.racks.iter().enumerate() {
        oven.rack(*rack)?;
        if request.racks[..i].contains(rack) {
            return Err(LayoutError::Twice(*rack));
        }
    }
    oven.mode(mode)?;
    if mode == Mode::Proofing {
        return Err(LayoutError::Proofing);
    }
    if let Some(set) = request.dial {
        oven.dial.check_setting(set)?;
    }
    let slice = request.slice;
    for (what, cm) in [
        (Measure::Width, slice.width.0),
        (Measure::Depth, slice.depth.0),
    ] {
        if !(2.0..=30.0).contains(&cm) {
            let hint = "2 to 30 cm (1 to 12 in), usually about 10 cm (4 in)";
            return Err(LayoutError::Size { what, cm, hint });
        }
    }
    for (what, cm) in [
        (Measure::Gap, request.gap.0),
        (Measure::Clearance, request.clearance.0),
    ] {
        if !(0.0..=20.0).contains(&cm) {
            let hint = "0 to 20 cm (0 to 8 in)";
            return Err(LayoutError::Size { what, cm, hint });
        }
    }
    Ok(())
}

fn count(
    direction: &'static str,
    room: f64,
    size: Centimetres,
    gap: Centimetres,
    asked: Option<usize>,
) -> Result<usize, LayoutError> {
    let most = fit_count(room, size.0, gap.0);
    let asked = asked.unwrap_or(most).max(1);
    if asked > most {
        return Err(LayoutError::TooMany {
            asked,
            direction,
            needed: asked as f64 * (size.0 + gap.0) - gap.0,
            room: room.max(0.0),
            most,
        });
    }
    Ok(asked)
}

/// Spreads `count` slices evenly from one end of the room to the other; one alone lies in the middle.
fn centres(from: f64, room: f64, size: f64, count: usize) -> Vec<f64> {
    if count == 1 {
        return vec![from + room / 2.0];
    }
    let pitch = (room - size) / (count - 1) as f64;
    (0..count)
        .map(|i| from + size / 2.0 + i as f64 * pitch)
        .collect()
}

fn middling(oven: &Oven) -> Celsius {
    let wanted = TemperatureUnit::Fahrenheit.temperature(MIDDLING_F);
    let dial = oven.dial;
    if wanted > dial.highest {
        dial.highest
    } else if wanted < dial.lowest {
        dial.lowest
    } else {
        dial.round(wanted)
    }
}

/// Minutes until the mean slice is golden, by hot-plate kinetics (Zanoni, Peri and Bruno 1995) and the lumped
/// surface of a slice in still air; modelled, not measured.
///
/// `None` in every other mode, where air or radiation heat otherwise, and where it would take over an hour.
pub(crate) fn usual_minutes(mode: Mode, dial: Celsius) -> Option<(Minutes, Minutes)> {
    match mode {
        Mode::StillAir => {}
        Mode::Fan | Mode::BottomOnly | Mode::TopOnly | Mode::Proofing => return None,
    }
    let heat = Heat::new(dial, HOT_PLATE_ENERGY);
    let full = rate(HOT_PLATE_FACTOR, HOT_PLATE_ENERGY, dial);
    let until = |delta_e: f64| {
        let effective = dose_of_colour_difference(delta_e, HOT_PLATE_ASYMPTOTE) / full;
        minutes_for_effective(&TOAST, &heat, Minutes(effective))
            .filter(|m| *m <= LONGEST)
            .map(|m| Minutes(m.0.round()))
    };
    until(GOLDEN.0).zip(until(GOLDEN.1))
}

fn warnings(oven: &Oven, request: &LayoutRequest, per_rack: usize, loaves: usize) -> Vec<Warning> {
    let mut list = Vec::new();
    if per_rack < 9 {
        list.push(Warning::new(
            format!("only {per_rack} slices lie on each rack position"),
            "smaller slices, or less air between them, would show a finer pattern",
        ));
    }
    if request.clearance < AIR_TO_WALLS {
        list.push(Warning::new(
            format!(
                "slices lie {} from the walls",
                oven.lengths.show(request.clearance)
            ),
            "keep 5 cm (2 in) of air so that it can move",
        ));
    }
    if request.racks.len() > 2 {
        list.push(Warning::new(
            format!("{} rack positions are tested at once", request.racks.len()),
            "more than two loaded racks block the air; test them as they will be used",
        ));
    }
    if loaves > 1 {
        list.push(Warning::minor(
            format!("it takes {loaves} loaves"),
            "take the same bread of the same day, and deal the slices of each loaf over every rack position",
        ));
    }
    list
}

#[cfg(test)]
mod tests;
