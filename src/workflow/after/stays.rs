//! Where each piece of a bake was, and when.

use crate::{
    geometry::Grid,
    model::{BakeLog, Oven, Plan, kinetics::DEFAULT_ENERGY},
    numeric::polyline::read_polyline,
    planner::{
        dial::ROUNDED,
        dose::{Dose, Heat},
    },
    units::{Celsius, Minutes},
    workflow::catalogue::bake_kind,
};

/// A stretch of a bake that a piece spent in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stay {
    /// When it began, minutes with the door shut.
    pub from: Minutes,
    /// When it ended.
    pub to: Minutes,
    /// Its share of the browning, 0..1.
    pub share: f64,
    /// Rack position.
    pub rack: u8,
    /// Centimetres from the left wall.
    pub x: f64,
    /// Centimetres from the door.
    pub y: f64,
}

/// When the segments of a bake began and ended, minutes with the door shut, and how much of the browning fell to each.
struct Course {
    /// When each segment began, and when the last one ended.
    times: Vec<Minutes>,
    /// The share of the browning in each; they sum to 1.
    shares: Vec<f64>,
}

/// When a bake was taken out, or is due out.
fn end_of(bake: &BakeLog) -> Minutes {
    bake.baked.unwrap_or_else(|| bake.due_out())
}

/// When each segment began, by the moves as they were noted, else by the plan and what the door delays it, and when the
/// bake ended.
fn times(bake: &BakeLog) -> Vec<Minutes> {
    let (end, delay) = (end_of(bake), bake.door_delay());
    let mut times = vec![Minutes(0.0)];
    let by_plan = |planned: Minutes| Minutes((planned.0 + delay.0).min(end.0));
    times.extend(moves(bake).map(|(planned, noted)| noted.unwrap_or(by_plan(planned))));
    times.resize(bake.plan.segments.len(), end);
    times.push(end);
    times
}

/// The moves that were due before the end, each with the time planned for it and the time noted.
fn moves(bake: &BakeLog) -> impl Iterator<Item = (Minutes, Option<Minutes>)> {
    let end = end_of(bake);
    let noted = bake.openings.iter().filter(|o| o.is_move()).map(|o| o.at);
    let noted = noted.map(Some).chain(std::iter::repeat(None));
    let planned = bake.plan.segments.iter().skip(1).map(|s| s.from);
    planned
        .zip(noted)
        .filter(move |(planned, noted)| noted.is_some() || *planned < end)
}

impl Course {
    /// Follows a bake by its moves as they were noted; `None` where one that was due is not noted.
    fn of(bake: &BakeLog) -> Option<Self> {
        let all_noted = moves(bake).all(|(_, noted)| noted.is_some());
        all_noted.then(|| Self::by(bake, &times(bake)))
    }

    /// Follows a bake that was moved at `times`.
    ///
    /// At the plan's own times the shares are the plan's own; the kind's curve tells what another time makes of them.
    fn by(bake: &BakeLog, times: &[Minutes]) -> Self {
        let times: Vec<Minutes> = times.iter().map(|at| shut(bake, *at)).collect();
        let done: Vec<f64> = match dose_of(bake) {
            Some(dose) => {
                let planned = planned_course(bake, &dose);
                let last = planned.last().map_or(0.0, |p| p.0);
                let done = times.iter().map(|at| {
                    let dose = dose.share(*at);
                    read_polyline(&planned, dose) + (dose - last).max(0.0)
                });
                done.collect()
            }
            None => planned_shares(bake),
        };
        let whole = done.last().copied().unwrap_or(0.0).max(1e-9);
        let parts = done.windows(2).map(|w| (w[1] - w[0]).max(0.0) / whole);
        Self {
            shares: parts.collect(),
            times,
        }
    }
}

/// Returns the plan of a bake with its stretches as they were, or are now to be: moves when they were noted, else by the
/// plan, the end when it is due, and what share of the browning that makes of each stretch.
pub fn as_done(bake: &BakeLog) -> Plan {
    let times = times(bake);
    let course = Course::by(bake, &times);
    let mut plan = bake.plan.clone();
    plan.bake = times.last().copied().unwrap_or(plan.bake);
    let stretches = times.windows(2).zip(course.shares);
    for (segment, (ends, share)) in plan.segments.iter_mut().zip(stretches) {
        (segment.from, segment.to, segment.share) = (ends[0], ends[1], share);
    }
    plan
}

/// The plan's running share before each segment, and 1 at its end.
fn planned_shares(bake: &BakeLog) -> Vec<f64> {
    let mut sum = 0.0;
    let mut out = vec![0.0];
    out.extend(bake.plan.segments.iter().map(|segment| {
        sum += segment.share;
        sum
    }));
    out
}

/// The plan's running share at the kind's own share of the browning, at each of the plan's times.
fn planned_course(bake: &BakeLog, dose: &Dose) -> Vec<(f64, f64)> {
    let moves = bake.openings.iter().filter(|o| o.is_move());
    let mut open = moves.filter_map(|o| o.open_for).map(|m| m.0);
    let mut stood = 0.0;
    let ends = bake.plan.segments.iter().map(|s| {
        let end = dose.share(Minutes((s.to.0 - stood).max(0.0)));
        stood += open.next().unwrap_or(0.0);
        end
    });
    let at = std::iter::once(0.0).chain(ends);
    at.zip(planned_shares(bake)).collect()
}

/// Says in how far a bake that came out early is out early.
fn early(bake: &BakeLog, end: Minutes) -> String {
    format!("out at {end}, not at {}", bake.plan.bake)
}

/// Says why a bake tells nothing of single places; `None` where it does, or is not out yet.
pub(super) fn tells_nothing(bake: &BakeLog) -> Option<String> {
    /// Of this little browning a bake is another one: what browns early and what browns late differ.
    const EARLY: f64 = 0.6;
    let end = bake.baked?;
    if Course::of(bake).is_none() {
        return Some("the move is not noted as done".to_owned());
    }
    let is_early = dose_of(bake).is_some_and(|d| d.share(shut(bake, end)) < EARLY);
    is_early.then(|| early(bake, end))
}

/// Says why the plan's forecast of single pieces does not hold for a bake that went another way; `None` where it does.
pub(super) fn went_otherwise(bake: &BakeLog) -> Option<String> {
    /// Two places that differ by two fifths are then misjudged by a third of a shade in five, less than the eye's own error.
    const MOVED: f64 = 0.15;
    let said = |why: String| Some(format!("Can't be held against the map: {why}."));
    if let Some(why) = tells_nothing(bake) {
        return said(why);
    }
    let (end, course) = (bake.baked?, Course::of(bake)?);
    let planned = planned_shares(bake);
    let mut done = 0.0;
    let off = course
        .shares
        .iter()
        .zip(planned.iter().skip(1))
        .position(|(share, planned)| {
            done += share;
            (done - planned).abs() > MOVED
        })?;
    said(match moves(bake).nth(off) {
        Some((planned, Some(noted))) => format!("moved at {noted}, not at {planned}"),
        Some((_, None)) | None => early(bake, end),
    })
}

/// Returns where each piece of a bake was, segment by segment, by the plan's places and the moves as they were done.
///
/// Food stands still in its browning while the door is open, so that time is left out. Empty where the plan does not
/// know its tray, or a move that was due is not noted: nobody knows then where the piece was.
pub(super) fn stays_of<'b>(
    bake: &'b BakeLog,
    oven: &'b Oven,
) -> impl Fn((usize, usize, usize)) -> Vec<Stay> + 'b {
    let known = bake.plan.tray.zip(Course::of(bake));
    move |(tray, row, col)| {
        let Some((size, course)) = &known else {
            return Vec::new();
        };
        let lattice = Grid::new(size.across, size.deep, size.width.0, size.depth.0);
        if row >= lattice.rows || col >= lattice.cols {
            return Vec::new();
        }
        let times = course.times.windows(2).zip(&course.shares);
        bake.plan
            .segments
            .iter()
            .zip(times)
            .filter_map(|(segment, (times, share))| {
                let at = segment.trays.iter().find(|t| t.tray == tray)?;
                let (row, col) = if at.turned {
                    (lattice.rows - 1 - row, lattice.cols - 1 - col)
                } else {
                    (row, col)
                };
                Some(Stay {
                    from: times[0],
                    to: times[1],
                    share: *share,
                    rack: at.rack,
                    x: (oven.cavity.width.0 - lattice.width) / 2.0 + at.shift_x.0 + lattice.x(col),
                    y: (oven.cavity.depth.0 - lattice.depth) / 2.0 + at.shift_y.0 + lattice.y(row),
                })
            })
            .collect()
    }
}

/// Turns minutes into a bake into minutes with the door shut.
pub(super) fn shut(bake: &BakeLog, at: Minutes) -> Minutes {
    let open: f64 = bake
        .openings
        .iter()
        .filter(|o| o.at < at)
        .filter_map(|o| Some(o.open_for?.0.min(at.0 - o.at.0)))
        .sum();
    Minutes((at.0 - open).max(0.0))
}

/// The air of a bake: the recipe's still-air temperature, where its steps to the dial begin, and what rounding to the
/// dial's marks put on it.
pub(super) fn heat_of(bake: &BakeLog) -> Heat {
    let steps = &bake.plan.steps_to_dial;
    let asked = steps.first().map_or(bake.plan.dial.0, |s| s.to.0);
    let rounded_by = match steps.as_slice() {
        [.., before, last] if last.what.starts_with(ROUNDED) => last.to.0 - before.to.0,
        _ => 0.0,
    };
    Heat {
        air: Celsius(asked + rounded_by),
        energy: DEFAULT_ENERGY,
    }
}

/// The course of a bake's browning by the curve of its kind; `None` for a kind no longer known.
pub(super) fn dose_of(bake: &BakeLog) -> Option<Dose> {
    let kind = bake_kind(&bake.kind).ok()?;
    Some(Dose::new(&kind.curve, &heat_of(bake), bake.plan.bake))
}
