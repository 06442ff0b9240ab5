//! Synthetic-oven study: how far the map is from the truth, against a stock Gaussian process and
//! bilinear interpolation, and whether its 90 % intervals cover 90 %.
//!
//! `cargo bench --bench study` prints the table that DEVELOPERS.md quotes; `-- 5` runs five times as
//! many ovens. Ovens, noise and seeds are invented here; the truth of each is known.

#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench prints and takes the time"
)]

use rackshade::{
    field::{self, Domain, Observation, Priors, Rack, RackMap, Range, Reading, Zone, ZoneKind},
    numeric::{normal::Z90, quantile::quantile, random::Stream},
};
use std::{collections::BTreeMap, time::Instant};
use synthetic::{KINDS, LAYOUTS, Layout, Oven, SHADE, UNTOASTED, observation, toast};

mod stock;
mod synthetic;

#[derive(Default)]
struct Tally {
    squares: f64,
    cells: f64,
    covered: f64,
    width: f64,
    stock: f64,
    stock_covered: f64,
    bilinear: f64,
    ovens: usize,
    zoned: usize,
    false_zone: usize,
    spread_covered: usize,
}

fn main() {
    let times: usize = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(1);
    let mut tallies: BTreeMap<&str, Tally> = BTreeMap::new();
    let started = Instant::now();
    let mut spent = 0.0;
    for (i, kind) in KINDS.into_iter().enumerate() {
        for (j, layout) in LAYOUTS.iter().enumerate() {
            for (k, noise) in [0.8, 1.6, 2.5].into_iter().enumerate() {
                for repeat in 0..30 * times {
                    let seed = 1000 * (100 * i + 10 * j + k) as u64 + repeat as u64;
                    let tally = tallies.entry(kind).or_default();
                    spent += trial(kind, layout, noise, &mut Stream::new(seed), tally);
                }
            }
        }
    }
    report(&tallies);
    let mut four = Tally::default();
    for (i, kind) in KINDS.into_iter().enumerate() {
        for repeat in 0..12 * times {
            four_racks(kind, 1000 * i as u64 + repeat as u64, &mut four);
        }
    }
    println!(
        "four racks  {:5} {:6.3} (error and cover only)  {:4.1}%  {:5.2}",
        four.ovens,
        (four.squares / four.cells).sqrt(),
        100.0 * four.covered / four.cells,
        four.width / four.cells
    );
    println!(
        "fit and map: {:.2} ms each; all {:.1} s",
        spent * 1e3 / tallies.values().map(|t| t.ovens).sum::<usize>() as f64,
        started.elapsed().as_secs_f64()
    );
}

/// One oven, toasted, mapped and judged; returns the seconds that fit and map took.
fn trial(kind: &'static str, layout: &Layout, noise: f64, s: &mut Stream, t: &mut Tally) -> f64 {
    let oven = Oven::new(kind, s);
    let (w, d) = layout.cavity;
    let seen = toast(&oven, layout, noise, s);
    let observations: Vec<_> = seen
        .iter()
        .map(|&((x, y), l)| observation(x, y, l))
        .collect();
    let domain = Domain {
        width: w,
        depth: d,
        racks: vec![Rack {
            number: 1,
            height: 10.0,
        }],
    };
    let begun = Instant::now();
    let fit = field::fit(&observations, &domain, &Priors::measured()).expect("a sound test fits");
    let map = fit.map(24, 18);
    let spent = begun.elapsed().as_secs_f64();
    judge_map(&oven, layout, &seen, &map.racks[0], t);
    let reading = Reading {
        per_shade: SHADE,
        noticeable: 0.5,
        per_c: 0.041,
        per_c_relative_sd: 0.15,
        seed: 1,
    };
    judge_zones(&oven, &map.racks[0], &field::zones(&fit, &map, &reading), t);
    judge_spread(
        &oven,
        &map.racks[0],
        field::evenness(&fit, &map, &reading)[0].spread,
        t,
    );
    spent
}

/// Counts ovens whose true spread lies in the interval told.
fn judge_spread(oven: &Oven, rack: &RackMap, told: Range, t: &mut Tally) {
    let grid = rack.grid;
    let truth: Vec<f64> = (0..grid.len())
        .map(|i| {
            let (x, y) = (grid.x(i % grid.cols), grid.y(i / grid.cols));
            (UNTOASTED / oven.lightness(x / grid.width, y / grid.depth)).ln()
        })
        .collect();
    let spread = (quantile(&truth, 0.95) - quantile(&truth, 0.05)) / SHADE;
    t.spread_covered += usize::from((told.lo - 1e-9..=told.hi).contains(&spread));
}

/// Four rack positions of 5 x 4 slices that share half of their pattern: error and cover only.
fn four_racks(kind: &'static str, repeat: u64, t: &mut Tally) {
    let mut s = Stream::new(7_000_000 + repeat);
    let s = &mut s;
    let layout = &LAYOUTS[1];
    let (w, d) = layout.cavity;
    let shared = Oven::new(kind, s);
    let own: Vec<Oven> = (0..4).map(|_| Oven::new(kind, s)).collect();
    let truth = |rack: usize, x: f64, y: f64| {
        let own = &own[rack];
        let pattern = |o: &Oven| 0.7 * (o.lightness(x / w, y / d) - o.base);
        own.base + pattern(&shared) + pattern(own)
    };
    let mut observations = Vec::new();
    for rack in 0..4_u8 {
        for ((x, y), _) in toast(&shared, layout, 0.0, s) {
            let l = truth(usize::from(rack), x, y) + 1.6 * s.normal();
            observations.push(Observation {
                rack: rack + 1,
                ..observation(x, y, l)
            });
        }
    }
    let racks = (1..=4).map(|number| Rack {
        number,
        height: 8.0 * f64::from(number),
    });
    let domain = Domain {
        width: w,
        depth: d,
        racks: racks.collect(),
    };
    let fit = field::fit(&observations, &domain, &Priors::measured()).expect("a sound test fits");
    for (r, rack) in fit.map(24, 18).racks.iter().enumerate() {
        for i in 0..rack.grid.len() {
            let (x, y) = (
                rack.grid.x(i % rack.grid.cols),
                rack.grid.y(i / rack.grid.cols),
            );
            let l = |b: f64| UNTOASTED * (-b).exp();
            let (m, half, truth) = (rack.mean[i], Z90 * rack.sd[i], truth(r, x, y));
            t.squares += (l(m) - truth).powi(2);
            t.covered += f64::from(u8::from((l(m + half)..=l(m - half)).contains(&truth)));
            t.width += l(m - half) - l(m + half);
            t.cells += 1.0;
        }
    }
    t.ovens += 1;
}

fn judge_map(
    oven: &Oven,
    layout: &Layout,
    seen: &[((f64, f64), f64)],
    rack: &RackMap,
    t: &mut Tally,
) {
    let (w, d) = layout.cavity;
    let stock = stock::fit(seen);
    for i in 0..rack.grid.len() {
        let (x, y) = (
            rack.grid.x(i % rack.grid.cols),
            rack.grid.y(i / rack.grid.cols),
        );
        let truth = oven.lightness(x / w, y / d);
        let (m, sd) = (rack.mean[i], rack.sd[i]);
        let l = |b: f64| UNTOASTED * (-b).exp();
        let (lo, hi) = (l(m + Z90 * sd), l(m - Z90 * sd));
        t.squares += (l(m) - truth).powi(2);
        t.covered += f64::from(u8::from((lo..=hi).contains(&truth)));
        t.width += hi - lo;
        t.cells += 1.0;
        let (sm, ssd) = stock.at(x, y);
        t.stock += (sm - truth).powi(2);
        t.stock_covered += f64::from(u8::from((sm - truth).abs() <= Z90 * ssd));
        t.bilinear += (stock::bilinear(seen, (layout.cols, layout.rows), x, y) - truth).powi(2);
    }
}

/// Counts ovens with a zone, and ovens with a zone whose true mean is not even half as far off as
/// what counts.
fn judge_zones(oven: &Oven, rack: &RackMap, zones: &[Zone], t: &mut Tally) {
    let grid = rack.grid;
    let truth = |r: usize, c: usize| {
        (UNTOASTED / oven.lightness(grid.x(c) / grid.width, grid.y(r) / grid.depth)).ln()
    };
    let level = (0..grid.len())
        .map(|i| truth(i / grid.cols, i % grid.cols))
        .sum::<f64>()
        / grid.len() as f64;
    let wrong = zones.iter().any(|z| {
        let sum: f64 = z.cells.iter().map(|&(r, c)| truth(r, c) - level).sum();
        let inside = sum / z.cells.len() as f64;
        let signed = match z.kind {
            ZoneKind::Hot => inside,
            ZoneKind::Cool => -inside,
        };
        signed < 0.5 * SHADE * 0.5
    });
    t.ovens += 1;
    t.zoned += usize::from(!zones.is_empty());
    t.false_zone += usize::from(wrong);
}

fn report(tallies: &BTreeMap<&str, Tally>) {
    println!(
        "oven        ovens   RMSE   stock  bilin.  cover  width  s.cover  zones  wrong zone  spread cover"
    );
    let mut all = Tally::default();
    for (kind, t) in tallies {
        line(kind, t);
        all.squares += t.squares;
        all.cells += t.cells;
        all.covered += t.covered;
        all.width += t.width;
        all.stock += t.stock;
        all.stock_covered += t.stock_covered;
        all.bilinear += t.bilinear;
        all.ovens += t.ovens;
        all.zoned += t.zoned;
        all.false_zone += t.false_zone;
        all.spread_covered += t.spread_covered;
    }
    line("all", &all);
}

fn line(name: &str, t: &Tally) {
    let rms = |s: f64| (s / t.cells).sqrt();
    println!(
        "{name:11} {:5} {:6.3} {:7.3} {:7.3}  {:4.1}%  {:5.2}   {:4.1}%  {:4.1}%       {:4.1}%         {:4.1}%",
        t.ovens,
        rms(t.squares),
        rms(t.stock),
        rms(t.bilinear),
        100.0 * t.covered / t.cells,
        t.width / t.cells,
        100.0 * t.stock_covered / t.cells,
        100.0 * t.zoned as f64 / t.ovens as f64,
        100.0 * t.false_zone as f64 / t.ovens as f64,
        100.0 * t.spread_covered as f64 / t.ovens as f64,
    );
}
