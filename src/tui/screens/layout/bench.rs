//! The lay-out in hand: settings, the slices they give, and what was changed by hand.

use crate::workflow::layout::{Layout, LayoutError, LayoutRequest, lay_out};
use crate::{
    model::{
        Bread, Mode, Oven, OvenError, Place, Reading, Setup, Slice, SliceSize, Surface, ToastTest,
    },
    tui::{
        shared::Shared,
        widgets::{form::rows, list::neighbour, minutes::more_minutes},
    },
    units::{Celsius, Centimetres, Minutes},
};

/// Air kept to the walls (owner's manuals give 4 to 5 cm between pans and walls).
const CLEARANCE: Centimetres = Centimetres(5.0);
/// How far one press nudges a slice.
const NUDGE_CM: f64 = 1.0;

rows! {
    /// One line of the settings.
    pub(super) enum Setting [label] {
        Racks: "Load rack";
        Mode: "Mode";
        Dial: "Dial";
        SliceWidth: "Slice width";
        SliceDepth: "Slice depth";
        Gap: "Air between";
        Surface: "Slices lie";
        Minutes: "Toasted for";
    }
}

impl Setting {
    /// Tells whether it is a figure, which somebody may want to type.
    pub(super) fn is_figure(self) -> bool {
        !matches!(self, Self::Racks | Self::Mode | Self::Surface)
    }
}

/// Why the lay-out makes no toast test yet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(super) enum NoTest {
    #[error(transparent)]
    Layout(#[from] LayoutError),
    #[error("set the dial first")]
    NoDial,
    #[error("no slice lies there; lay at least one (x brings it back)")]
    NoSlice,
    #[error(
        "slices {one} and {other} lie on each other; nudge one with the arrows, or x takes it out"
    )]
    Overlap { one: usize, other: usize },
}

/// Where the slices of the lay-out come from.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum From {
    /// As many as fit, in rows.
    Rows,
    /// Where they lay in the last test of this oven.
    Last(Vec<Slice>),
    /// Where they tell most after the tests there are.
    Advised(Vec<Slice>),
}

/// The lay-out in hand.
#[derive(Debug)]
pub(super) struct Bench {
    oven: Oven,
    racks: Vec<u8>,
    mode: Mode,
    /// What the baker set; the lay-out's own suggestion when `None`.
    dial: Option<Celsius>,
    bread: Bread,
    gap: Centimetres,
    minutes: Option<Minutes>,
    from: From,
    layout: Result<Layout, LayoutError>,
    slices: Vec<Slice>,
    cursor: usize,
}

impl Bench {
    pub(super) fn new(oven: Oven, shared: &Shared) -> Self {
        let last = last_of(&oven, shared);
        let bread = last.map_or_else(Bread::default, |t| t.bread.clone());
        let middle = oven.racks.len().div_ceil(2);
        let racks = oven
            .racks
            .get(middle.saturating_sub(1))
            .map(|r| r.number)
            .into_iter()
            .collect();
        let mode = oven.modes.first().copied().unwrap_or(Mode::StillAir);
        let mut bench = Self {
            oven,
            racks,
            mode,
            dial: None,
            bread,
            gap: Centimetres(1.0),
            minutes: None,
            from: From::Rows,
            layout: Err(LayoutError::NoRack),
            slices: Vec::new(),
            cursor: 0,
        };
        if let Some(last) = last {
            bench.take_last(last);
        }
        bench.lay_out();
        bench
    }

    /// Starts from the last test of this oven: its rack positions, mode, dial and places, nothing scored.
    fn take_last(&mut self, last: &ToastTest) {
        let known = last.setup.racks.iter().all(|r| self.oven.rack(*r).is_ok());
        if !known || !self.oven.modes.contains(&last.setup.mode) || last.slices.is_empty() {
            return;
        }
        self.racks.clone_from(&last.setup.racks);
        self.mode = last.setup.mode;
        // A dial that was described anew since may not have it.
        self.dial = Some(last.setup.dial).filter(|t| self.oven.dial.reaches(*t));
        self.from = From::Last(last.slices.iter().copied().map(unscored).collect());
    }

    /// Lays the slices in rows, as many as fit, instead of where they came from; or back as in the last test.
    pub(super) fn other_lay_out(&mut self, shared: &Shared) -> Result<&'static str, &'static str> {
        if self.from != From::Rows {
            self.from = From::Rows;
            self.lay_out();
            return Ok("as many slices as fit, in rows");
        }
        let Some(last) = last_of(&self.oven, shared) else {
            return Err("there is no earlier test of this oven to start from");
        };
        self.take_last(last);
        self.lay_out();
        Ok("as in the last test of this oven")
    }

    /// Lays the slices where the map asks for them.
    pub(super) fn take_advised(&mut self, slices: Vec<Slice>) {
        self.from = From::Advised(slices);
        self.lay_out();
    }

    /// Returns where the slices come from.
    pub(super) fn from(&self) -> &From {
        &self.from
    }

    /// Returns the mode and the rack positions of the lay-out.
    pub(super) fn setup(&self) -> (Mode, &[u8]) {
        (self.mode, &self.racks)
    }

    /// Returns all that advised places rest on: the mode, the rack positions, the slices and the air between them.
    pub(super) fn advised_for(&self) -> (Mode, Vec<u8>, SliceSize, Centimetres) {
        (self.mode, self.racks.clone(), self.bread.slice, self.gap)
    }

    pub(super) fn oven(&self) -> &Oven {
        &self.oven
    }

    pub(super) fn layout(&self) -> Result<&Layout, &LayoutError> {
        self.layout.as_ref()
    }

    pub(super) fn slices(&self) -> &[Slice] {
        &self.slices
    }

    pub(super) fn size(&self) -> SliceSize {
        self.bread.slice
    }

    pub(super) fn cursor(&self) -> usize {
        self.cursor
    }

    pub(super) fn has_slices(&self) -> bool {
        !self.slices.is_empty()
    }

    /// Counts the slices that do lie there.
    pub(super) fn lying(&self) -> usize {
        self.slices
            .iter()
            .filter(|s| s.reading != Reading::Missing)
            .count()
    }

    pub(super) fn is_loaded(&self, rack: u8) -> bool {
        self.racks.contains(&rack)
    }

    /// Returns the rack position that is drawn: that of the slice under the cursor.
    pub(super) fn rack_in_sight(&self) -> Option<u8> {
        self.slices
            .get(self.cursor)
            .map(|s| s.rack)
            .or_else(|| self.racks.first().copied())
    }

    /// Returns what the dial is to be set to.
    pub(super) fn dial(&self) -> Option<Celsius> {
        self.dial
            .or_else(|| self.layout.as_ref().ok().map(|l| l.dial))
    }

    /// Lays out again by the settings; what was changed by hand goes.
    pub(super) fn lay_out(&mut self) {
        let request = LayoutRequest {
            racks: self.racks.clone(),
            slice: self.bread.slice,
            gap: self.gap,
            clearance: CLEARANCE,
            counts: None,
            dial: self.dial,
        };
        let layout = lay_out(&self.oven, self.mode, &request);
        let rack = self.rack_in_sight();
        if let From::Last(slices) | From::Advised(slices) = &self.from {
            let laid = |layout: Layout| layout.with_slices(&self.oven, &request, slices.clone());
            self.layout = layout.map(laid);
        } else {
            self.layout = layout;
        }
        let laid = self.layout.as_ref();
        self.slices = laid.map_or_else(|_| Vec::new(), |l| l.slices.clone());
        let same_rack = self.slices.iter().position(|s| Some(s.rack) == rack);
        self.cursor = same_rack.unwrap_or(0);
    }

    /// Loads or empties a rack position.
    pub(super) fn switch_rack(&mut self, rack: u8) -> Result<(), OvenError> {
        self.oven.rack(rack)?;
        if self.racks.contains(&rack) {
            self.racks.retain(|r| *r != rack);
        } else {
            self.racks.push(rack);
            self.racks.sort_unstable();
        }
        self.from = From::Rows;
        self.lay_out();
        if let Some(first) = self.slices.iter().position(|s| s.rack == rack) {
            self.cursor = first;
        }
        Ok(())
    }

    /// Changes a setting by one step, less when `by` is negative.
    pub(super) fn change(&mut self, setting: Setting, by: i8) {
        let step = f64::from(by);
        match setting {
            Setting::Racks => {
                self.see_other_rack(by);
                return;
            }
            Setting::Mode => {
                self.mode = neighbour(&self.oven.modes, self.mode, by).unwrap_or(self.mode);
            }
            Setting::Dial => {
                self.turn_dial(step);
                return;
            }
            Setting::SliceWidth => {
                self.from = From::Rows;
                self.bread.slice.width = self.longer(self.bread.slice.width, step, 5.0);
            }
            Setting::SliceDepth => {
                self.from = From::Rows;
                self.bread.slice.depth = self.longer(self.bread.slice.depth, step, 5.0);
            }
            Setting::Gap => {
                self.from = From::Rows;
                self.gap = self.longer(self.gap, step, 0.0);
            }
            Setting::Surface => {
                self.bread.surface = match self.bread.surface {
                    Surface::BareRack => Surface::Sheet,
                    Surface::Sheet => Surface::BareRack,
                };
                return;
            }
            Setting::Minutes => {
                self.minutes = more_minutes(self.minutes, step, self.expected());
                return;
            }
        }
        self.lay_out();
    }

    fn see_other_rack(&mut self, by: i8) {
        if let Some(rack) = self.rack_in_sight() {
            let next = neighbour(&self.racks, rack, by);
            if let Some(first) = self.slices.iter().position(|s| Some(s.rack) == next) {
                self.cursor = first;
            }
        }
    }

    fn turn_dial(&mut self, steps: f64) {
        let dial = self.oven.dial;
        if let Some(now) = self.dial() {
            let figure = dial.unit.figure(now) + steps * dial.step;
            let turned = dial.round(dial.unit.temperature(figure));
            let within = turned.0.clamp(dial.lowest.0, dial.highest.0);
            self.dial = Some(Celsius(within));
            if let Ok(layout) = &mut self.layout {
                layout.set_dial(self.mode, Celsius(within));
            }
        }
    }

    /// Lengthens by half a centimetre or a quarter of an inch, within what bread can have.
    fn longer(&self, length: Centimetres, steps: f64, least_cm: f64) -> Centimetres {
        let unit = self.oven.lengths;
        let step = match unit {
            crate::units::LengthUnit::Inches => 0.25,
            crate::units::LengthUnit::Centimetres => 0.5,
        };
        let figure = ((unit.figure(length) / step).round() + steps) * step;
        Centimetres(unit.length(figure).0.clamp(least_cm, 30.0))
    }

    /// Returns the middle of the expected time; the minute to look from where none can be told.
    fn expected(&self) -> Option<Minutes> {
        let minutes = self.layout.as_ref().ok()?.minutes;
        Some(minutes.map_or(Minutes(2.0), |(from, to)| {
            Minutes(f64::midpoint(from.0, to.0).round())
        }))
    }

    /// Returns what a setting says now, with its unit.
    pub(super) fn words(&self, setting: Setting) -> String {
        let length = |v| self.oven.lengths.show(v);
        match setting {
            Setting::Racks => String::new(),
            Setting::Mode => self.mode.words().to_owned(),
            Setting::Dial => self
                .dial()
                .map_or_else(|| "-".to_owned(), |t| self.oven.dial.unit.show(t)),
            Setting::SliceWidth => length(self.bread.slice.width),
            Setting::SliceDepth => length(self.bread.slice.depth),
            Setting::Gap => length(self.gap),
            Setting::Surface => self.bread.surface.words().to_owned(),
            Setting::Minutes => self
                .minutes
                .map_or_else(|| "not noted yet".to_owned(), |m| m.to_string()),
        }
    }

    pub(super) fn go_to(&mut self, at: usize) {
        if at < self.slices.len() {
            self.cursor = at;
        }
    }

    pub(super) fn step(&mut self, by: isize) {
        let count = self.slices.len();
        if let Ok(count) = isize::try_from(count)
            && count > 0
        {
            let at = isize::try_from(self.cursor).unwrap_or(0);
            self.cursor = (at + by).rem_euclid(count).unsigned_abs();
        }
    }

    /// Moves the slice under the cursor by steps of 1 cm; it stays between the walls.
    pub(super) fn nudge(&mut self, right: f64, back: f64) {
        let (cavity, size) = (self.oven.cavity, self.bread.slice);
        if let Some(slice) = self.slices.get_mut(self.cursor) {
            let within = |v: f64, half: f64, whole: f64| {
                if half * 2.0 >= whole {
                    whole / 2.0
                } else {
                    v.clamp(half, whole - half)
                }
            };
            slice.place = Place {
                x: Centimetres(within(
                    slice.place.x.0 + right * NUDGE_CM,
                    size.width.0 / 2.0,
                    cavity.width.0,
                )),
                y: Centimetres(within(
                    slice.place.y.0 + back * NUDGE_CM,
                    size.depth.0 / 2.0,
                    cavity.depth.0,
                )),
            };
        }
    }

    pub(super) fn switch_missing(&mut self) {
        if let Some(slice) = self.slices.get_mut(self.cursor) {
            slice.reading = if slice.reading == Reading::Missing {
                Reading::Unscored
            } else {
                Reading::Missing
            };
        }
    }

    /// Lays one more slice in the middle of the rack position in sight, last in its numbering.
    pub(super) fn add(&mut self) {
        let Some(rack) = self.rack_in_sight() else {
            return;
        };
        let slice = Slice {
            rack,
            place: Place {
                x: Centimetres(self.oven.cavity.width.0 / 2.0),
                y: Centimetres(self.oven.cavity.depth.0 / 2.0),
            },
            reading: Reading::Unscored,
        };
        let after = self.slices.iter().rposition(|s| s.rack <= rack);
        let at = after.map_or(0, |i| i + 1);
        self.slices.insert(at, slice);
        self.cursor = at;
    }

    /// Returns the numbers of two slices that lie on each other, if any do.
    pub(super) fn overlap(&self) -> Option<(usize, usize)> {
        let size = self.bread.slice;
        let lying = |s: &Slice| s.reading != Reading::Missing;
        let over = |a: &Slice, b: &Slice| {
            a.rack == b.rack
                && (a.place.x.0 - b.place.x.0).abs() < size.width.0 - 0.05
                && (a.place.y.0 - b.place.y.0).abs() < size.depth.0 - 0.05
        };
        for (i, a) in self.slices.iter().enumerate() {
            for (j, b) in self.slices.iter().enumerate().skip(i + 1) {
                if lying(a) && lying(b) && over(a, b) {
                    return Some((i + 1, j + 1));
                }
            }
        }
        None
    }

    /// Makes the toast test, or says why there is none yet.
    pub(super) fn test(&self, shared: &Shared) -> Result<ToastTest, NoTest> {
        self.layout().map_err(Clone::clone)?;
        let Some(dial) = self.dial() else {
            return Err(NoTest::NoDial);
        };
        if self.lying() == 0 {
            return Err(NoTest::NoSlice);
        }
        if let Some((one, other)) = self.overlap() {
            return Err(NoTest::Overlap { one, other });
        }
        let id = shared
            .kitchen
            .fresh_test_id(&self.oven.id, shared.now.date());
        let setup = Setup {
            oven: self.oven.id.clone(),
            mode: self.mode,
            dial,
            racks: self.racks.clone(),
        };
        let mut test = ToastTest {
            minutes: self.minutes,
            bread: self.bread.clone(),
            ..ToastTest::new(id, setup, shared.now, self.slices.clone())
        };
        test.cursor = test.next_unscored(0).unwrap_or(test.slices.len());
        Ok(test)
    }
}

/// Returns the last test of an oven; a few slices of a quick check are no lay-out of one.
fn last_of<'s>(oven: &Oven, shared: &'s Shared) -> Option<&'s ToastTest> {
    let before = shared.kitchen.tests_of(&oven.id);
    before.into_iter().rfind(|t| !t.is_check())
}

/// Returns a slice at the same place, nothing known of it; a place that stayed empty stays empty.
fn unscored(slice: Slice) -> Slice {
    let reading = match slice.reading {
        Reading::Missing => Reading::Missing,
        Reading::Unscored | Reading::Skipped | Reading::ByEye(_) | Reading::Measured { .. } => {
            Reading::Unscored
        }
    };
    Slice { reading, ..slice }
}
