//! One oven of known truth, tested, mapped and judged, against a stock process and bilinear interpolation.

pub(crate) mod four_racks;
pub(crate) mod possible;
mod tally;
pub(crate) mod targets;

pub(crate) use tally::{Hits, Tally};

use crate::{
    known_ovens::{Kind, Oven, Test},
    stock,
};
use rackshade::{
    field::{self, Priors, RackMap, Range, Reading, Strength, Zone, ZoneKind},
    geometry::Grid,
    model::shade::{UNTOASTED_LIGHTNESS, browning_per_shade},
    numeric::{normal::Z90, quantile::quantile},
};
use std::time::Instant;

/// Cells of a judged map, along x and y.
const CELLS: (usize, usize) = (24, 18);
/// The least difference that counts, shades.
const NOTICEABLE: f64 = 0.5;
/// Scatter of slices, L*, drawn evenly between these.
pub(crate) const SCATTER: (f64, f64) = (0.6, 2.5);

/// What is believed of toast and eyes in every study.
pub(crate) fn reading() -> Reading {
    Reading {
        per_shade: browning_per_shade(),
        noticeable: NOTICEABLE,
        per_c: 0.041,
        per_c_relative_sd: 0.15,
        seed: 1,
    }
}

/// Draws the oven `repeat` of a kind, tests and maps it, and counts how well that went.
pub(crate) fn run(kind: &Kind, repeat: usize, tally: &mut Tally) {
    let mut s = kind.stream(repeat);
    let oven = kind.draw(&mut s);
    let scatter = SCATTER.0 + (SCATTER.1 - SCATTER.0) * s.uniform();
    let test = oven.test(scatter, &mut s);
    let begun = Instant::now();
    let fit = field::fit(&test.observations(1), &oven.domain(), &Priors::measured())
        .expect("a sound test fits");
    let map = fit.map(CELLS.0, CELLS.1);
    tally.seconds += begun.elapsed().as_secs_f64();
    let rack = &map.racks[0];
    let truth = Truth::of(&oven, &rack.grid);
    judge_map(&truth, rack, tally);
    judge_yardsticks(&truth, &test, tally);
    let zones = field::zones(&fit, &map, &reading());
    judge_zones(&truth, &zones, tally);
    judge_spread(
        &truth,
        field::evenness(&fit, &map, &reading())[0].spread,
        tally,
    );
    tally.ovens += 1;
    tally.called_even += usize::from(zones.is_empty());
    let level = UNTOASTED_LIGHTNESS * (-rack.rack_mean).exp();
    tally.ln_scatter += (map.noise_sd * level / scatter).ln();
}

/// The truth on the cells of a map.
struct Truth {
    grid: Grid,
    lightness: Vec<f64>,
    browning: Vec<f64>,
    /// Browning less its mean over the rack.
    contrast: Vec<f64>,
}

impl Truth {
    fn of(oven: &Oven, grid: &Grid) -> Self {
        let at = |i: usize| (grid.x(i % grid.cols), grid.y(i / grid.cols));
        let cells = || (0..grid.len()).map(at);
        let browning: Vec<f64> = cells().map(|(x, y)| oven.browning(x, y)).collect();
        Self {
            grid: *grid,
            lightness: cells().map(|(x, y)| oven.lightness(x, y)).collect(),
            contrast: less_mean(&browning),
            browning,
        }
    }
}

fn less_mean(values: &[f64]) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter().map(|v| v - mean).collect()
}

fn limit() -> f64 {
    NOTICEABLE * browning_per_shade()
}

fn count(yes: bool) -> f64 {
    f64::from(u8::from(yes))
}

/// Lightness of a browning.
fn l(browning: f64) -> f64 {
    UNTOASTED_LIGHTNESS * (-browning).exp()
}

fn judge_map(truth: &Truth, rack: &RackMap, t: &mut Tally) {
    for i in 0..rack.grid.len() {
        let (m, half) = (rack.mean[i], Z90 * rack.sd[i]);
        let (lo, hi) = (l(m + half), l(m - half));
        t.squares += (l(m) - truth.lightness[i]).powi(2);
        t.covered += count((lo..=hi).contains(&truth.lightness[i]));
        t.width += hi - lo;
        let off = (rack.contrast[i] - truth.contrast[i]).abs();
        t.contrast_covered += count(off <= Z90 * rack.contrast_sd[i]);
        t.cells += 1.0;
        t.hot
            .count(truth.contrast[i] >= limit(), rack.contrast[i] >= limit());
    }
}

fn judge_yardsticks(truth: &Truth, test: &Test, t: &mut Tally) {
    let seen = test.points();
    let process = stock::fit(&seen);
    let grid = truth.grid;
    let at = |i: usize| (grid.x(i % grid.cols), grid.y(i / grid.cols));
    let (mut by_stock, mut by_bilinear) = (Vec::new(), Vec::new());
    for (i, lightness) in truth.lightness.iter().enumerate() {
        let (x, y) = at(i);
        let (mean, sd) = process.at(x, y);
        let between = stock::bilinear(&seen, test.counts, x, y);
        t.stock += (mean - lightness).powi(2);
        t.stock_covered += count((mean - lightness).abs() <= Z90 * sd);
        t.bilinear += (between - lightness).powi(2);
        let browning = |l: f64| (UNTOASTED_LIGHTNESS / l.max(1.0)).ln();
        by_stock.push(browning(mean));
        by_bilinear.push(browning(between));
    }
    let said = |values: &[f64], hits: &mut Hits| {
        for (told, truth) in less_mean(values).iter().zip(&truth.contrast) {
            hits.count(*truth >= limit(), *told >= limit());
        }
    };
    said(&by_stock, &mut t.stock_hot);
    said(&by_bilinear, &mut t.bilinear_hot);
}

/// Counts cells told hot or cool, at each strength, and those of them that are: at least what counts off
/// the rack's mean, in the direction told.
fn judge_zones(truth: &Truth, zones: &[Zone], t: &mut Tally) {
    for zone in zones {
        let around = zone.around.iter().map(|cell| (cell, Strength::Probable));
        let told = zone.cells.iter().map(|cell| (cell, zone.strength));
        for (&(row, col), strength) in told.chain(around) {
            let tell = match strength {
                Strength::Plain => &mut t.plainly,
                Strength::Probable => &mut t.probably,
            };
            let contrast = truth.contrast[truth.grid.index(row, col)];
            let off = match zone.kind {
                ZoneKind::Hot => contrast,
                ZoneKind::Cool => -contrast,
            };
            tell.told += 1.0;
            tell.right += count(off >= limit());
            tell.half_right += count(off >= limit() / 2.0);
            if zone.kind == ZoneKind::Hot {
                t.zone_hot.told += 1.0;
                t.zone_hot.right += count(off >= limit());
            }
        }
    }
    for contrast in &truth.contrast {
        t.off += count(contrast.abs() >= limit());
        t.zone_hot.there += count(*contrast >= limit());
    }
}

/// Counts ovens whose true spread lies in the interval told.
fn judge_spread(truth: &Truth, told: Range, t: &mut Tally) {
    let b = &truth.browning;
    let spread = (quantile(b, 0.95) - quantile(b, 0.05)) / browning_per_shade();
    t.spread_covered += usize::from((told.lo - 1e-9..=told.hi).contains(&spread));
    t.spread_above += usize::from(spread > told.hi);
    t.spread_width += told.hi - told.lo;
}
