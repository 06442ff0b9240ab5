//! A baking day: more trays than go in at once, baked in loads one after another, in one oven or in all that suit.

mod day;
mod run;

pub use crate::model::day::Batch;
pub use crate::planner::batches::MOST_IN_BATCHES;
pub use day::Day;
pub use run::{DayRun, Due, What};

use super::{
    after::learn::{OwnCurve, own_curve},
    ground::{Ground, GroundError, ground_of_oven},
    kitchen::Records,
    plan::{PlanError, PlanRequest, Planned, Told, plan_of},
    readings::summary,
};
use crate::{
    model::{Mode, Oven, OvenId, Plan, Warning},
    planner::{
        batches::{Load, Sequence, Way, sequence},
        placement::trade_racks,
        space::MOST_TRAYS,
    },
    units::Minutes,
};

/// A load less even than this, lightest to darkest, is not taken where nothing else was said, shades: two steps of the
/// card (a choice, no source).
const LEAST_EVEN: f64 = 2.0;
/// What is said of a day in an oven of which nothing is known.
const UNTESTED: &str = "Nothing was tested that this day could rest on, so it is the trade's custom: how even it comes out is not known.";
/// Cells of the maps where all ovens are weighed.
const GRID: (usize, usize) = (12, 9);

/// What is asked of a baking day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayRequest {
    /// One load: what is baked, and how many trays at once at most.
    pub load: PlanRequest,
    /// Trays in all.
    pub trays: usize,
    /// No load is to come out less even than this, shades from lightest to darkest; two steps of the card when `None`.
    pub least_even: Option<f64>,
}

/// Why there is no day.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DayError {
    /// No tray, or more than are planned.
    #[error("{0} trays cannot be planned in batches; give 1 to {MOST_IN_BATCHES}")]
    Trays(usize),
    /// More at once than the racks take.
    #[error("{asked} trays at once are more than {oven} takes; give --at-once 1 to {most}")]
    AtOnce {
        /// The oven's name.
        oven: String,
        /// What was asked.
        asked: usize,
        /// What its racks take.
        most: usize,
    },
    /// A limit that is none.
    #[error("{0} shades is no limit of unevenness; give a figure above 0, like 0.8")]
    Limit(String),
    /// A load cannot be planned.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// No loads within what was allowed make up the trays.
    #[error(
        "in any order some load is less even than {allowed:.1} shades; allow {} or more with --least-even, or bake fewer at once",
        tenth_above(*least)
    )]
    Uneven {
        /// What was allowed.
        allowed: f64,
        /// The least that would have to be.
        least: f64,
    },
    /// No oven suits.
    #[error("no oven on record bakes this: {0}; describe another oven, or change the bake")]
    NoOven(String),
}

/// A load with the plan behind it.
struct Planning {
    planned: Planned,
    load: Load,
}

/// An oven in one mode with every load it can take.
struct Site {
    oven: Oven,
    mode: Mode,
    loads: Vec<Planning>,
}

impl DayRequest {
    fn check(&self) -> Result<(), DayError> {
        if !(1..=MOST_IN_BATCHES).contains(&self.trays) {
            return Err(DayError::Trays(self.trays));
        }
        match self.least_even {
            Some(limit) if !(limit > 0.0 && limit <= 9.0) => {
                Err(DayError::Limit(crate::units::plain(limit)))
            }
            Some(_) | None => Ok(()),
        }
    }

    /// Rack positions are those of one oven: what is free there says nothing of the others.
    fn on_any_rack(mut self) -> Self {
        self.load.racks.clear();
        self
    }

    /// Trays of the largest load worth a plan.
    fn at_once(&self) -> usize {
        self.load.trays.min(self.trays)
    }
}

/// Plans a day in one oven and mode.
///
/// # Errors
/// [`DayError`] says which figure cannot be and what to give instead.
pub fn day_in(ground: &Ground, told: &Told, request: &DayRequest) -> Result<Day, DayError> {
    request.check()?;
    let oven = &ground.oven;
    let most = most_at_once(&request.load.free_in(oven)?);
    if !(1..=most).contains(&request.load.trays) {
        return Err(DayError::AtOnce {
            oven: oven.name.clone(),
            asked: request.load.trays,
            most,
        });
    }
    let mut site = Site {
        oven: oven.clone(),
        mode: ground.mode,
        loads: Vec::new(),
    };
    for trays in 1..=request.at_once() {
        site.loads.push(planning(ground, told, request, trays)?);
    }
    day_of(&[vec![site]], request, Vec::new())
}

/// Plans a day in all ovens on record that suit; where some were tested, in those alone.
///
/// # Errors
/// [`DayError`] says which figure cannot be, or why no oven suits.
pub fn day_everywhere(kitchen: &Records, request: &DayRequest) -> Result<Day, DayError> {
    let request = &request.clone().on_any_rack();
    request.check()?;
    let most = kitchen.ovens().iter().map(most_at_once).max();
    let most = most.unwrap_or(MOST_TRAYS);
    if !(1..=most).contains(&request.load.trays) {
        return Err(DayError::AtOnce {
            oven: "any oven on record".to_owned(),
            asked: request.load.trays,
            most,
        });
    }
    let own = own_curve(kitchen, &request.load.kind);
    let mut left_out = Vec::new();
    let mut ovens: Vec<Vec<Site>> = Vec::new();
    for oven in kitchen.ovens() {
        let modes = oven.modes.iter().filter(|m| **m != Mode::Proofing);
        let mut sites = Vec::new();
        for mode in modes {
            match site(kitchen, (oven, *mode), request, own.clone()) {
                Ok(site) => sites.push(site),
                Err(why) => left_out.push(format!("{}, {}: {why}", oven.name, mode.words())),
            }
        }
        ovens.push(sites);
    }
    let tested = |site: &Site| is_tested(&site.loads[0].planned);
    if ovens.iter().flatten().any(tested) {
        for site in ovens.iter().flatten().filter(|s| !tested(s)) {
            let (oven, mode) = (&site.oven.name, site.mode.words());
            left_out.push(format!("{oven}, {mode}: nothing tested there yet"));
        }
        for sites in &mut ovens {
            sites.retain(tested);
        }
    }
    ovens.retain(|sites| !sites.is_empty());
    if ovens.is_empty() {
        let why = left_out.first().cloned();
        let why = why.unwrap_or_else(|| "there is no oven yet".to_owned());
        return Err(DayError::NoOven(why.replace("; ", ", ")));
    }
    day_of(&ovens, request, left_out)
}

/// Why an oven in a mode takes no part in a day.
#[derive(Debug, thiserror::Error)]
#[error(transparent)]
enum NoSite {
    Ground(#[from] GroundError),
    Plan(#[from] PlanError),
}

/// Plans every load that an oven takes in a mode; it suits when it takes at least one tray.
fn site(
    kitchen: &Records,
    (oven, mode): (&Oven, Mode),
    request: &DayRequest,
    own: Option<OwnCurve>,
) -> Result<Site, NoSite> {
    let ground = ground_of_oven(kitchen, oven, Some(mode), GRID)?;
    let told = Told {
        air: Some(summary(kitchen, oven, mode)),
        own,
    };
    let most = most_at_once(oven).min(request.at_once());
    let first = planning(&ground, &told, request, 1)?;
    let more = (2..=most).map_while(|trays| planning(&ground, &told, request, trays).ok());
    Ok(Site {
        oven: oven.clone(),
        mode,
        loads: std::iter::once(first).chain(more).collect(),
    })
}

/// Returns how many trays an oven's racks take at once.
pub fn most_at_once(oven: &Oven) -> usize {
    let fit =
        |trays: &usize| trade_racks(&oven.racks, oven.cavity.height.0, *trays).len() >= *trays;
    (1..=MOST_TRAYS).rev().find(fit).unwrap_or(1)
}

fn is_tested(planned: &Planned) -> bool {
    planned.plan.evenness.is_known()
}

fn planning(
    ground: &Ground,
    told: &Told,
    request: &DayRequest,
    trays: usize,
) -> Result<Planning, PlanError> {
    let load = PlanRequest {
        trays,
        ..request.load.clone()
    };
    let planned = plan_of(ground, told, &load)?;
    let next = planned.next;
    let uneven = planned.plan.evenness;
    Ok(Planning {
        load: Load {
            trays,
            first: planned.plan.bake.0,
            later: next.bake.0,
            handling: next.handling.0,
            wait: next.wait.0,
            uneven: if uneven.is_known() {
                uneven.spread
            } else {
                0.0
            },
        },
        planned,
    })
}

/// Searches the sequence and lays it out.
fn day_of(
    ovens: &[Vec<Site>],
    request: &DayRequest,
    left_out: Vec<String>,
) -> Result<Day, DayError> {
    let ways: Vec<Vec<Way>> = ovens
        .iter()
        .map(|sites| {
            let loads = |site: &Site| site.loads.iter().map(|p| p.load).collect();
            sites.iter().map(loads).collect()
        })
        .collect();
    let allowed = request.least_even.unwrap_or(LEAST_EVEN);
    let mut warnings = Vec::new();
    let found = match sequence(&ways, request.trays, allowed) {
        Some(found) => found,
        None => match (most_even(&ways, request.trays), request.least_even) {
            (Some((_, found)), None) => {
                warnings.push(Warning::new(
                    format!("Some load comes out less even than {LEAST_EVEN:.0} shades"),
                    "the most even loads are taken",
                ));
                found
            }
            (least, _) => {
                let least = least.map_or(f64::INFINITY, |(least, _)| least);
                return Err(DayError::Uneven { allowed, least });
            }
        },
    };
    let mut trays = 0;
    let mut notes: Vec<String> = Vec::new();
    let mut batches: Vec<Batch> = Vec::new();
    for (number, at) in (1..).zip(&found.batches) {
        let site = &ovens[at.oven][at.way];
        let planning = &site.loads[at.load];
        let first = trays;
        trays += planning.load.trays;
        let bake = Minutes(at.end - at.start);
        batches.push(Batch {
            number,
            oven: site.oven.id.clone(),
            mode: site.mode,
            trays: (first + 1..=trays).collect(),
            start: Minutes(at.start),
            end: Minutes(at.end),
            plan: renumbered(&planning.planned.plan, first, bake),
            handling: Minutes(planning.load.handling),
            wait: Minutes(planning.load.wait),
        });
        for note in &planning.planned.of_every_load {
            if !notes.contains(note) {
                notes.push(note.clone());
            }
        }
        for warning in &planning.planned.warnings {
            if !warnings.contains(warning) {
                warnings.push(warning.clone());
            }
        }
    }
    Warning::gravest_first(&mut warnings);
    let known = ovens
        .iter()
        .flatten()
        .all(|s| is_tested(&s.loads[0].planned));
    if !known {
        notes.insert(0, UNTESTED.to_owned());
    }
    notes.extend(advice(&batches, ovens));
    Ok(Day {
        advice: notes,
        batches,
        total: Minutes(found.total),
        worst: known.then_some(found.worst),
        warnings,
        left_out,
    })
}

/// Returns the least unevenness, shades, within which loads make up the trays, and how.
fn most_even(ways: &[Vec<Way>], trays: usize) -> Option<(f64, Sequence)> {
    let mut limits: Vec<f64> = ways.iter().flatten().flatten().map(|l| l.uneven).collect();
    limits.sort_by(f64::total_cmp);
    limits.dedup();
    let within = |limit: f64| Some((limit, sequence(ways, trays, limit)?));
    limits.into_iter().find_map(within)
}

/// Writes a tenth of a shade that is no less than `shades`.
fn tenth_above(shades: f64) -> String {
    format!("{:.1}", (shades * 10.0 - 1e-9).ceil() / 10.0)
}

/// The same plan for trays numbered from `after` + 1 on, that ends after `bake`.
fn renumbered(plan: &Plan, after: usize, bake: Minutes) -> Plan {
    let mut plan = plan.clone();
    for segment in &mut plan.segments {
        for tray in &mut segment.trays {
            tray.tray += after;
        }
    }
    for forecast in &mut plan.forecast {
        forecast.tray += after;
    }
    if let Some(last) = plan.segments.last_mut() {
        last.to = bake;
    }
    plan.bake = bake;
    // What other numbers of openings would give is of the load, not of the day.
    plan.alternatives.clear();
    plan
}

/// What else to know of the day.
fn advice(batches: &[Batch], ovens: &[Vec<Site>]) -> Vec<String> {
    let mut said = Vec::new();
    let gap = |b: &&Batch| {
        let later = batches
            .iter()
            .filter(|c| c.oven == b.oven && c.number > b.number);
        later.map(|c| c.start.0 - b.end.0).min_by(f64::total_cmp)
    };
    let waits: Vec<&Batch> = batches.iter().filter(|b| gap(b).is_some()).collect();
    let gaps = || waits.iter().filter_map(gap).map(f64::round);
    if let Some(longest) = gaps().max_by(f64::total_cmp) {
        let shortest = gaps().fold(longest, f64::min);
        let span = if shortest < longest {
            format!("{shortest:.0} to {longest:.0}")
        } else {
            format!("about {longest:.0}")
        };
        said.push(format!(
            "From one load out to the next in: {span} min, while the oven comes back."
        ));
        let read = ovens
            .iter()
            .flatten()
            .filter(|s| {
                waits
                    .iter()
                    .any(|b| b.oven == s.oven.id && b.mode == s.mode)
            })
            .all(|s| s.loads.iter().all(|p| p.planned.measured.door.is_some()));
        said.push(if read {
            "That wait is by this oven's own door readings.".to_owned()
        } else {
            "That wait is a typical one: read the air with the door opened, more than once, to know it."
                .to_owned()
        });
    }
    let mut used: Vec<&OvenId> = batches.iter().map(|b| &b.oven).collect();
    used.sort();
    used.dedup();
    if used.len() > 1 {
        said.push("All ovens are loaded at the start, one right after the other.".to_owned());
    }
    said
}

#[cfg(test)]
mod tests;
