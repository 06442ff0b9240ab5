//! A plan searched on a map: the most even placements and moves that are worth an opening.

use super::{
    advice::of_every_load,
    bake::Bake,
    made::{Expected, Planned},
    outcome::{Mapped, NEGLIGIBLE, Outcome, Ways},
    request::{PlanError, PlanRequest},
};
use crate::{
    field::{Belief, Evidence, Fit, Range},
    model::{Alternative, Forecast, Oven, Plan, Yardstick, shade::browning_per_shade},
    planner::{
        BrowningSource,
        door::DoorClock,
        evenness::{Judge, Verdict, no_worse, recommend},
        placement::burns_from_below,
        schedule::Schedule,
        search::{Arrangement, Effort, TrayAt, search},
        space::{Load, Site, most_at_once},
    },
    units::Minutes,
};

/// Joint samples of the map behind each interval.
const SAMPLES: usize = 300;

/// A fitted map as the planner's source of browning.
#[derive(Debug, Clone)]
pub struct FitSource<'a> {
    fit: &'a Fit,
    /// Seed of its joint samples.
    seed: u64,
    belief: Belief,
}

impl<'a> FitSource<'a> {
    /// Makes a source of a fit, for plans on `racks`.
    pub fn new(fit: &'a Fit, racks: &[u8], seed: u64) -> Self {
        Self {
            fit,
            seed,
            belief: fit.belief(racks),
        }
    }
}

impl BrowningSource for FitSource<'_> {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        self.brownings(rack, &[(x, y)])?.first().copied()
    }

    fn brownings(&self, rack: u8, places: &[(f64, f64)]) -> Option<Vec<f64>> {
        self.fit.means(rack, places)
    }

    fn doubts(&self, rack: u8, places: &[(f64, f64)]) -> Vec<Vec<f64>> {
        self.belief.directions(rack, places)
    }

    fn samples(&self, points: &[(u8, f64, f64)], count: usize) -> Vec<Vec<f64>> {
        self.fit.samples(points, count, self.seed)
    }
}

/// The rack positions that may be used (tested ones where there are enough), and whether the lowest was left out for a sugared base.
fn sites(oven: &Oven, ground: &Mapped<'_>, request: &PlanRequest) -> (Vec<Site>, bool) {
    let all: Vec<Site> = oven
        .racks
        .iter()
        .filter_map(|r| {
            let (_, evidence) = ground.racks.iter().find(|(n, _)| *n == r.number)?;
            Some(Site {
                rack: r.number,
                height: r.height,
                evidence: *evidence,
            })
        })
        .collect();
    let at_once = |sites: &[Site]| most_at_once(sites.iter().map(|s| s.height.0));
    // what was tested is known; what lies between is guessed, and looks more even than it is
    let tested: Vec<Site> = all
        .iter()
        .filter(|s| s.evidence == Evidence::Tested)
        .copied()
        .collect();
    let all = if at_once(&tested) >= request.trays {
        tested
    } else {
        all
    };
    let off_lowest: Vec<Site> = all.iter().filter(|s| s.rack > 1).copied().collect();
    let burns = request.kind.sugared_base && burns_from_below(oven, request.mode);
    if burns && off_lowest.len() < all.len() && at_once(&off_lowest) >= request.trays {
        (off_lowest, true)
    } else {
        (all, false)
    }
}

/// Returns the rack positions among which a plan for one tray chooses, from the bottom.
pub(super) fn racks_for_one(
    oven: &Oven,
    ground: &Mapped<'_>,
    request: &PlanRequest,
) -> Result<Vec<u8>, PlanError> {
    let load = Load {
        cavity: oven.cavity,
        tray: request.tray,
        trays: 1,
        sites: sites(oven, ground, request).0,
    };
    let space = load.spread(ground.source)?;
    let pools = space.pools();
    let alone = pools.iter().filter(|p| p.len() == 1).flatten();
    let mut racks: Vec<u8> = alone.map(|site| load.sites[*site].rack).collect();
    racks.sort_unstable();
    Ok(racks)
}

fn effort(request: &PlanRequest) -> Effort {
    Effort {
        openings: request.max_openings,
        negligible: NEGLIGIBLE * browning_per_shade(),
        configurations: Effort::CONFIGURATIONS,
    }
}

pub(super) fn searched(
    oven: &Oven,
    ground: &Mapped<'_>,
    bake: &Bake<'_>,
) -> Result<Planned, PlanError> {
    let request = bake.request;
    let (sites, off_lowest) = sites(oven, ground, request);
    if sites.is_empty() && !request.racks.is_empty() {
        let racks = request.racks.clone();
        return Err(PlanError::Untested { racks });
    }
    let load = Load {
        cavity: oven.cavity,
        tray: request.tray,
        trays: request.trays,
        sites,
    };
    let space = load.spread(ground.source)?;
    let found = search(&space, &effort(request))?;
    let clock = bake.clock();
    let mut ways = Ways::time(&space, &found, &clock, bake.set_at());
    let arrangements = ways.schedules.iter().flat_map(|s| &s.arrangements);
    let judge = Judge::new(&space, ground.source, arrangements, SAMPLES);
    let verdicts = weighed(&judge, &mut ways);
    let chosen = recommend(&verdicts);
    let best = &ways.schedules[chosen];
    let first = &best.arrangements[0];
    let time = bake.dose.bake();
    let outcome = Outcome {
        oven,
        bake,
        ground,
        space: &space,
        ways: &ways,
        verdicts: &verdicts,
        chosen,
        off_lowest,
        gap: found.gap[chosen] / browning_per_shade(),
    };
    let pieces = judge.pieces(&best.arrangements, &best.timeline.shares);
    let (halfway, turned_halfway) = halfway(&judge, first, &clock, time);
    let expected = expected(&judge, best, turned_halfway);
    let plan = Plan {
        kind: request.kind.key.clone(),
        recipe: request.kind.recipe_name(),
        segments: best.segments(&space),
        bake: best.timeline.bake,
        dial: bake.setting.dial,
        steps_to_dial: bake.setting.steps.clone(),
        evenness: verdicts[chosen].yardstick(best.timeline.bake),
        unturned: judge
            .weigh(std::slice::from_ref(first), &[1.0])
            .yardstick(time),
        halfway,
        alternatives: ways
            .schedules
            .iter()
            .zip(&verdicts)
            .enumerate()
            .map(|(openings, (s, v))| Alternative {
                openings,
                evenness: v.yardstick(s.timeline.bake),
                segments: s.segments(&space),
            })
            .collect(),
        tray: Some(request.tray),
        forecast: forecast(
            request,
            judge.ratios(&best.arrangements, &best.timeline.shares),
        ),
    };
    Ok(Planned {
        plan,
        warnings: outcome.off_level().into_iter().collect(),
        advice: outcome.advice(&pieces),
        is_weighed: request.max_openings > 0 && ways.too_short_for != Some(1),
        of_every_load: of_every_load(bake),
        measured: bake.measured.clone(),
        expected: Some(expected),
        next: bake.next_load(&best.timeline.openings),
    })
}

/// Weighs every schedule; where one more opening makes the bake no more even, it is left unused.
fn weighed(judge: &Judge<'_>, ways: &mut Ways) -> Vec<Verdict> {
    let weigh = |s: &Schedule| judge.weigh(&s.arrangements, &s.timeline.shares);
    let verdicts: Vec<Verdict> = ways.schedules.iter().map(weigh).collect();
    let best = no_worse(&verdicts);
    ways.schedules = best.iter().map(|k| ways.schedules[*k].clone()).collect();
    best.iter().map(|k| verdicts[*k].clone()).collect()
}

/// Returns the shades expected of the pieces after each stage, never moved, and turned at half-time.
fn expected(judge: &Judge<'_>, best: &Schedule, halfway: Vec<f64>) -> Expected {
    let shares = &best.timeline.shares;
    let until = |n: usize| judge.shades(&best.arrangements[..n], &shares[..n]);
    Expected {
        after: (1..=best.arrangements.len()).map(until).collect(),
        unturned: judge.shades(&best.arrangements[..1], &[1.0]),
        halfway,
    }
}

/// Names the piece that each ratio belongs to: tray by tray, row by row from the back.
fn forecast(request: &PlanRequest, ratios: Vec<Range>) -> Vec<Forecast> {
    let tray = request.tray;
    ratios
        .into_iter()
        .enumerate()
        .map(|(i, ratio)| Forecast {
            tray: i / (tray.across * tray.deep) + 1,
            row: i / tray.across % tray.deep,
            col: i % tray.across,
            ratio: ratio.value,
            range: (ratio.lo, ratio.hi),
        })
        .collect()
}

/// What custom gives, and the shade of every piece: at half the time, swap the racks and turn every tray.
fn halfway(
    judge: &Judge<'_>,
    first: &Arrangement,
    clock: &DoorClock<'_>,
    time: Minutes,
) -> (Yardstick, Vec<f64>) {
    let swapped: Arrangement = first
        .iter()
        .rev()
        .map(|at| TrayAt {
            turned: true,
            ..*at
        })
        .collect();
    let timeline = clock.at_minutes(&[Minutes(time.0 / 2.0)]);
    let both = [first.clone(), swapped];
    let verdict = judge.weigh(&both, &timeline.shares);
    (
        verdict.yardstick(timeline.bake),
        judge.shades(&both, &timeline.shares),
    )
}
