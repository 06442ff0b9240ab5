//! One invented oven toasted twice and compared, with the truth at hand.

use crate::synthetic::{Layout, Oven, SHADE, UNTOASTED, observation, toast};
use rackshade::{
    compare::{Change, Comparison, Side, Verdict, compare},
    field::{Bound, Domain, Lean, Observation, Priors, Rack, Reading},
    numeric::{quantile::quantile, random::Stream},
};

/// What is toasted.
#[derive(Clone, Copy)]
pub(crate) struct Trial<'t> {
    pub(crate) kind: &'static str,
    pub(crate) layout: &'t Layout,
    /// Slice-to-slice noise, L*.
    pub(crate) noise: f64,
    /// Size of the pattern, L*; drawn when `None`.
    pub(crate) size: Option<f64>,
    /// What is left of the pattern after.
    pub(crate) left: f64,
    /// Scores rounded to half steps.
    pub(crate) by_eye: bool,
    /// Slices of the second test lie elsewhere.
    pub(crate) shifted: bool,
    /// Tests on each side, of the same slices.
    pub(crate) tests: usize,
    /// Rack positions, all with the oven's one pattern.
    pub(crate) racks: u8,
    /// How much further everything is browned, before and after alike.
    pub(crate) darker: f64,
    /// How far the light of a photo may lean from the middle to a wall, B, one standard deviation; each test has a photo.
    pub(crate) lean: f64,
}

impl<'t> Trial<'t> {
    /// One test on each side, measured, in the same places, with nothing changed.
    pub(crate) fn unchanged(kind: &'static str, layout: &'t Layout, noise: f64) -> Self {
        Self {
            kind,
            layout,
            noise,
            size: None,
            left: 1.0,
            by_eye: false,
            shifted: false,
            tests: 1,
            racks: 1,
            darker: 1.0,
            lean: 0.0,
        }
    }
}

#[derive(Default)]
pub(crate) struct Tally {
    pub(crate) ovens: usize,
    pub(crate) better: usize,
    pub(crate) worse: usize,
    pub(crate) sd_covered: usize,
    pub(crate) spread_covered: usize,
    pub(crate) cells: f64,
    pub(crate) cells_covered: f64,
    pub(crate) zoned: usize,
}

/// Toasts, compares and judges one oven.
pub(crate) fn run(trial: &Trial<'_>, seed: u64, tally: &mut Tally) {
    let mut s = Stream::new(seed);
    let mut before = Oven::new(trial.kind, &mut s);
    before.size = trial.size.unwrap_or(before.size);
    let mut after = before;
    after.size *= trial.left;
    // Pulled up to 15 % of its browning earlier or later.
    let later = (0.3 * (s.uniform() - 0.5)).exp();
    let elsewhere = Layout {
        cols: 9 - trial.layout.cols,
        rows: 7 - trial.layout.rows,
        ..*trial.layout
    };
    let layout = if trial.shifted {
        &elsewhere
    } else {
        trial.layout
    };
    let mut photos = 0..;
    let mut side = |oven: &Oven, layout: &Layout, later: f64| {
        let mut slices = Vec::new();
        for batch in 0..trial.tests {
            for rack in 1..=trial.racks {
                // Drawn only where photos lean, so that the other trials' ovens stay as they were.
                let photo = photos.next().filter(|_| trial.lean > 0.0);
                let light = photo.map(|photo| (photo, [s.normal(), s.normal()]));
                for ((x, y), l) in toast(oven, layout, trial.noise, &mut s) {
                    let slice = Observation {
                        batch,
                        rack,
                        ..observation(x, y, l)
                    };
                    let slice = scored(slice, later * trial.darker, trial.by_eye);
                    slices.push(match light {
                        Some(light) => leaning(slice, light, (trial.lean, layout)),
                        None => slice,
                    });
                }
            }
        }
        slices
    };
    let sides = [
        side(&before, trial.layout, 1.0),
        side(&after, layout, later),
    ];
    let domain = Domain {
        width: trial.layout.cavity.0,
        depth: trial.layout.cavity.1,
        racks: (1..=trial.racks)
            .map(|number| Rack {
                number,
                height: 10.0 * f64::from(number),
            })
            .collect(),
    };
    let priors = if trial.by_eye {
        Priors::by_eye(0.5 * SHADE)
    } else {
        Priors::measured()
    };
    let side = |observations| Side {
        observations,
        domain: &domain,
        priors: &priors,
        least_level: SHADE / 2.0,
    };
    let reading = Reading {
        per_shade: SHADE,
        noticeable: 0.5,
        per_c: 0.041,
        per_c_relative_sd: 0.15,
        seed: 1,
    };
    let found = compare(&side(&sides[0]), &side(&sides[1]), (12, 9), &reading)
        .expect("two sound tests compare");
    judge(&before, &after, &found, tally);
}

/// A slice read from a photo whose light leans to the right and to the back.
fn leaning(
    o: Observation,
    (photo, light): (usize, [f64; 2]),
    (lean, layout): (f64, &Layout),
) -> Observation {
    let off = |at: f64, whole: f64| lean * (2.0 * at / whole - 1.0);
    let loads = [off(o.x, layout.cavity.0), off(o.y, layout.cavity.1), 0.0];
    Observation {
        browning: o.browning + light[0] * loads[0] + light[1] * loads[1],
        lean: Some(Lean { photo, loads }),
        ..o
    }
}

/// A slice as scored: browned `later` times as much, by eye to half steps.
fn scored(o: Observation, later: f64, by_eye: bool) -> Observation {
    let o = Observation {
        browning: later * o.browning,
        ..o
    };
    if !by_eye {
        return o;
    }
    // The card ends at 9; 8 and more only say "at least a quarter less".
    let shade = ((2.0 * o.browning / SHADE).round() / 2.0).min(9.0);
    let (shade, bound) = if shade >= 8.0 {
        (shade - 0.25, Bound::AtLeast)
    } else {
        (shade, Bound::Exact)
    };
    Observation {
        browning: shade * SHADE,
        sd: 0.144 * SHADE,
        bound,
        ..o
    }
}

fn judge(before: &Oven, after: &Oven, found: &Comparison, tally: &mut Tally) {
    let rack = &found.racks[0];
    let grid = rack.difference.grid;
    let truth = |oven: &Oven| -> Vec<f64> {
        let dose = |i: usize| {
            let (x, y) = (grid.x(i % grid.cols), grid.y(i / grid.cols));
            (UNTOASTED / oven.lightness(x / grid.width, y / grid.depth)).ln()
        };
        (0..grid.len()).map(dose).collect()
    };
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let b = truth(before);
    let raw = truth(after);
    let scale = mean(&b) / mean(&raw);
    let a: Vec<f64> = raw.iter().map(|v| v * scale).collect();
    let sd =
        |v: &[f64]| (v.iter().map(|x| (x - mean(v)).powi(2)).sum::<f64>() / v.len() as f64).sqrt();
    let spread = |v: &[f64]| quantile(v, 0.95) - quantile(v, 0.05);
    let holds = |told: &Change, truth: f64| {
        usize::from((told.change.lo - 1e-9..=told.change.hi + 1e-9).contains(&(truth / SHADE)))
    };
    tally.ovens += 1;
    let said = |verdict| usize::from(found.racks.iter().any(|r| r.verdict == verdict));
    tally.better += said(Verdict::Better);
    tally.worse += said(Verdict::Worse);
    tally.sd_covered += holds(&rack.sd, sd(&a) - sd(&b));
    tally.spread_covered += holds(&rack.spread, spread(&a) - spread(&b));
    tally.zoned += usize::from(!rack.zones.is_empty());
    for i in 0..grid.len() {
        let truth = a[i] - b[i];
        let (m, sd) = (rack.difference.contrast[i], rack.difference.contrast_sd[i]);
        tally.cells += 1.0;
        tally.cells_covered += f64::from(u8::from((truth - m).abs() <= 1.645 * sd));
    }
}
