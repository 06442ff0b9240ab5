//! One oven of known truth, toasted, fitted and planned on; the plan carried out in the oven itself.

mod tally;

pub(crate) use tally::Tally;

use crate::known_ovens::{
    Kind,
    stack::{Stack, number},
};
use rackshade::{
    field::{self, Evidence, Fit, Observation, Priors},
    geometry::Grid,
    model::{
        BakeKind, Mode, Oven, Plan, RackPosition, Segment, Sensitivity, Tray, TrayPlacement,
        kinetics::DEFAULT_ENERGY,
        shade::{UNTOASTED_LIGHTNESS, browning_per_shade},
    },
    planner::{
        BrowningSource,
        door::{DoorClock, DoorModel},
        dose::{Dose, Heat},
    },
    units::{Centimetres, Minutes},
    workflow::{
        catalogue::{bake_kind, oven_templates},
        plan::{FitSource, Mapped, Measured, PlanRequest, plan_on},
    },
};
use std::time::Instant;

/// Most openings of the door.
pub(crate) const OPENINGS: usize = 2;
/// Rack positions of every oven.
const RACKS: usize = 3;
/// The middle one.
const MIDDLE: usize = 1;
/// Scatter of slices, L*, drawn evenly between these.
const SCATTER: (f64, f64) = (0.6, 2.5);
/// A tray's sides, as shares of the cavity's: room to shift it by a few cm in most ovens.
const TRAY: f64 = 0.66;
/// A gain that a baker would want told, shades.
const WORTH_TELLING: f64 = 0.1;
/// Less even by no more than this, in shades of spread, is as even.
const AS_EVEN: f64 = 0.03;

/// What is tested and what is baked.
#[derive(Clone, Copy)]
pub(crate) struct Case {
    /// Its name in tables.
    pub(crate) name: &'static str,
    /// Rack positions tested, by their index.
    tested: &'static [usize],
    /// Trays.
    trays: usize,
    /// Rack positions by custom: in the middle, or one below and one above it.
    custom: &'static [usize],
}

/// What every oven is asked.
pub(crate) const CASES: [Case; 3] = [
    Case {
        name: "1 tray, 1 rack tested",
        tested: &[MIDDLE],
        trays: 1,
        custom: &[MIDDLE],
    },
    Case {
        name: "1 tray, 3 tested",
        tested: &[0, MIDDLE, 2],
        trays: 1,
        custom: &[MIDDLE],
    },
    Case {
        name: "2 trays, 3 tested",
        tested: &[0, MIDDLE, 2],
        trays: 2,
        custom: &[0, 2],
    },
];

/// Evenness of the pieces of a bake, shades.
#[derive(Clone, Copy, Default)]
pub(crate) struct Pieces {
    /// Darkest less lightest.
    pub(crate) spread: f64,
    /// Standard deviation.
    pub(crate) sd: f64,
}

/// The oven itself as the planner's source: what a plan would be if everything were known.
struct Truth<'s>(&'s Stack);

impl BrowningSource for Truth<'_> {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        Some(browning(self.0, rack, x, y))
    }

    fn samples(&self, points: &[(u8, f64, f64)], _: usize) -> Vec<Vec<f64>> {
        let at = |&(rack, x, y): &(u8, f64, f64)| browning(self.0, rack, x, y);
        vec![points.iter().map(at).collect()]
    }
}

/// The oven, what is to be baked in it, and how long that takes.
struct Kitchen {
    stack: Stack,
    oven: Oven,
    kind: BakeKind,
    tray: Tray,
}

/// The one place that fits a toast test.
fn fit_of(test: &[Observation], stack: &Stack) -> Fit {
    field::fit(test, &stack.domain(), &Priors::measured()).expect("a sound test fits")
}

/// The one place that plans, as the program does.
fn plan_of(kitchen: &Kitchen, case: &Case, source: &dyn BrowningSource) -> Plan {
    let ground = Mapped {
        source,
        racks: case
            .tested
            .iter()
            .map(|&rack| (number(rack), Evidence::Tested))
            .collect(),
        sensitivity: Sensitivity::default_at(kitchen.kind.recipe),
        basis: "a toast test".to_owned(),
    };
    let request = PlanRequest {
        trays: case.trays,
        max_openings: OPENINGS,
        ..PlanRequest::of(kitchen.kind.clone(), Mode::StillAir, kitchen.tray)
    };
    plan_on(&kitchen.oven, Some(&ground), &request, &Measured::default())
        .expect("a sound request")
        .plan
}

/// Draws the oven `repeat` of a kind, tests it, plans every case and carries the plans out.
pub(crate) fn run(kind: &Kind, repeat: usize) -> [Tally; CASES.len()] {
    let mut s = kind.stream(70_000 + repeat);
    let size = (42.0 + 16.0 * s.uniform(), 36.0 + 8.0 * s.uniform());
    let scatter = SCATTER.0 + (SCATTER.1 - SCATTER.0) * s.uniform();
    let counts = [(4, 3), (4, 4), (5, 4)][(3.0 * s.uniform()) as usize];
    let kitchen = Kitchen::of(Stack::draw(kind, RACKS, size, &mut s), size);
    CASES.map(|case| {
        // The same oven, each time toasted afresh.
        let mut s = kind.stream(80_000 + 10 * repeat + case.tested.len());
        let fit = fit_of(
            &kitchen.stack.test(case.tested, counts, scatter, &mut s),
            &kitchen.stack,
        );
        let mut tally = Tally::default();
        let begun = Instant::now();
        let mapped: Vec<u8> = case.tested.iter().map(|&r| number(r)).collect();
        let source = FitSource::new(&fit, &mapped, 1);
        let plan = plan_of(&kitchen, &case, &source);
        tally.seconds = begun.elapsed().as_secs_f64();
        kitchen.judge(&case, &plan, &mut tally);
        tally
    })
}

impl Kitchen {
    fn of(stack: Stack, (width, depth): (f64, f64)) -> Self {
        let mut oven = oven_templates()[0].oven.clone();
        oven.cavity.width = Centimetres(width);
        oven.cavity.depth = Centimetres(depth);
        oven.racks = stack
            .domain()
            .racks
            .iter()
            .map(|r| RackPosition {
                number: r.number,
                height: Centimetres(r.height),
            })
            .collect();
        Self {
            stack,
            oven: oven.check().expect("a sound oven"),
            kind: bake_kind("thin-cookie").expect("a known kind").clone(),
            tray: Tray {
                width: Centimetres(TRAY * width),
                depth: Centimetres(TRAY * depth),
                across: 4,
                deep: 3,
            },
        }
    }

    fn judge(&self, case: &Case, plan: &Plan, t: &mut Tally) {
        t.plans = 1.0;
        for (k, way) in plan.alternatives.iter().enumerate() {
            let pieces = self.bake(&way.segments);
            t.covered[k] = inside(pieces.spread, way.evenness.spread_range);
        }
        let (lo, hi) = plan.evenness.spread_range;
        t.told = plan.evenness.spread;
        t.width = hi - lo;
        t.chosen = self.bake(&plan.segments);
        t.chosen_covered = inside(t.chosen.spread, (lo, hi));
        t.chosen_above = count(t.chosen.spread > hi);
        t.chosen_below = count(t.chosen.spread < lo);
        let ideal = plan_of(self, case, &Truth(&self.stack));
        t.best = ideal
            .alternatives
            .iter()
            .map(|way| self.bake(&way.segments))
            .min_by(|a, b| a.spread.total_cmp(&b.spread))
            .expect("a way without openings");
        t.custom = self.by_custom(case);
        t.worse_than_custom = count(t.chosen.spread > t.custom.spread + AS_EVEN);
        let first = &plan.segments[..1];
        t.alone = self.bake(&[Segment {
            share: 1.0,
            ..first[0].clone()
        }]);
        if plan.segments.len() == 1 {
            t.not_worth = 1.0;
            let own = self.bake(&plan.alternatives[1].segments);
            t.missed = gains(&t.chosen, &own);
            let plain = self.turned(&first[0].trays, [0.5, 0.5]);
            t.missed_plain = gains(&t.chosen, &plain);
        } else {
            t.gained.spread = t.alone.spread - t.chosen.spread;
            t.gained.sd = t.alone.sd - t.chosen.sd;
            t.lost = count(t.gained.spread < -AS_EVEN);
        }
    }

    /// The middle of the oven, everything turned (and swapped) at half the time.
    fn by_custom(&self, case: &Case) -> Pieces {
        let trays: Vec<TrayPlacement> = (1..)
            .zip(case.custom)
            .map(|(tray, &rack)| TrayPlacement {
                tray,
                rack: number(rack),
                turned: false,
                shift_x: Centimetres(0.0),
                shift_y: Centimetres(0.0),
            })
            .collect();
        self.turned(&trays, self.shares_at_half(case.trays))
    }

    /// Turns every tray once and swaps their rack positions, with shares of the browning before and after.
    fn turned(&self, trays: &[TrayPlacement], [before, after]: [f64; 2]) -> Pieces {
        let turned: Vec<TrayPlacement> = trays
            .iter()
            .zip(trays.iter().rev())
            .map(|(tray, other)| TrayPlacement {
                tray: tray.tray,
                turned: !tray.turned,
                ..*other
            })
            .collect();
        let segment = |share: f64, trays: Vec<TrayPlacement>| Segment {
            from: Minutes(0.0),
            to: Minutes(0.0),
            share,
            trays,
        };
        self.bake(&[segment(before, trays.to_vec()), segment(after, turned)])
    }

    /// Shares of the browning before and after half the time.
    fn shares_at_half(&self, trays: usize) -> [f64; 2] {
        let heat = Heat {
            air: self.kind.recipe,
            energy: DEFAULT_ENERGY,
        };
        let dose = Dose::new(&self.kind.curve, &heat, self.kind.time);
        let door = DoorModel::typical(Mode::StillAir, trays);
        let half = Minutes(self.kind.time.0 / 2.0);
        let timeline = DoorClock::new(&dose, &door, &heat).at_minutes(&[half]);
        [timeline.shares[0], timeline.shares[1]]
    }

    /// Carries segments out in the oven itself.
    fn bake(&self, segments: &[Segment]) -> Pieces {
        let lattice = Grid {
            cols: self.tray.across,
            rows: self.tray.deep,
            width: self.tray.width.0,
            depth: self.tray.depth.0,
        };
        let n = lattice.len();
        let trays = segments[0].trays.len();
        let mut pieces = vec![0.0; trays * n];
        for segment in segments {
            for at in &segment.trays {
                let left = (self.oven.cavity.width.0 - lattice.width) / 2.0 + at.shift_x.0;
                let front = (self.oven.cavity.depth.0 - lattice.depth) / 2.0 + at.shift_y.0;
                for i in 0..n {
                    let place = if at.turned { n - 1 - i } else { i };
                    let x = left + lattice.x(place % lattice.cols);
                    let y = front + lattice.y(place / lattice.cols);
                    let browning = browning(&self.stack, at.rack, x, y);
                    pieces[(at.tray - 1) * n + i] += segment.share * browning;
                }
            }
        }
        evenness(&pieces)
    }
}

/// Returns the true browning B at a place of rack position `rack`.
fn browning(stack: &Stack, rack: u8, x: f64, y: f64) -> f64 {
    (UNTOASTED_LIGHTNESS / stack.lightness(usize::from(rack) - 1, x, y)).ln()
}

fn evenness(pieces: &[f64]) -> Pieces {
    let n = pieces.len() as f64;
    let mean = pieces.iter().sum::<f64>() / n;
    let variance = pieces.iter().map(|p| (p - mean).powi(2)).sum::<f64>() / n;
    let low = pieces.iter().copied().fold(f64::INFINITY, f64::min);
    let high = pieces.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Pieces {
        spread: (high - low) / browning_per_shade(),
        sd: variance.sqrt() / browning_per_shade(),
    }
}

/// Counts what a way would have gained that is worth telling.
fn gains(left: &Pieces, turned: &Pieces) -> Pieces {
    Pieces {
        spread: count(left.spread - turned.spread > WORTH_TELLING),
        sd: count(left.sd - turned.sd > WORTH_TELLING),
    }
}

fn inside(value: f64, (lo, hi): (f64, f64)) -> f64 {
    count((lo..=hi).contains(&value))
}

fn count(yes: bool) -> f64 {
    f64::from(u8::from(yes))
}
