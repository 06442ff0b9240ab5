//! How near the truth anyone could come from one test: what one makes of it who knows how ovens are drawn.
//!
//! Ovens of each kind are drawn with seeds of their own. Each one's pattern, at every strength its kind has,
//! is weighed by how well it explains the slices; level and scatter are integrated over. That is Bayes'
//! answer but for the number drawn, and on average no engine can do better.

use super::{CELLS, SCATTER, Tally, Truth, count, l, less_mean, limit};
use crate::known_ovens::{Kind, Slice, Test};
use rackshade::{
    geometry::Grid,
    model::shade::UNTOASTED_LIGHTNESS,
    numeric::{quantile::quantile, random::Stream},
};

/// The raster of a pattern: the middle of each judged cell is that of one of its own.
const FINE: (usize, usize) = (3 * CELLS.0, 3 * CELLS.1);
/// Strengths of a pattern and levels of scatter tried.
const STRENGTHS: usize = 24;
const SCATTERS: usize = 8;
/// Ovens drawn of each kind, and where their seeds begin.
const EACH: u64 = 250;
const SEEDS: u64 = 990_000_000_000;

/// An oven's browning less its mean, from the hottest to the coolest hundredth 1, and that range in L*.
struct Pattern(Vec<f64>, f64);

/// What is known of all kinds: patterns of each.
pub(crate) struct Known(Vec<Vec<Pattern>>);

/// Logarithm of its weight, the pattern, its strength and the level, B.
type Explained<'k> = (f64, &'k [f64], f64, f64);

impl Known {
    pub(crate) fn draw(kinds: &[Kind]) -> Self {
        let patterns = |(k, kind): (u64, &Kind)| {
            let seeds = (0..EACH).map(|i| SEEDS + 10_000_000 * k + i);
            seeds.map(|seed| Pattern::draw(kind, seed)).collect()
        };
        Self((0..).zip(kinds).map(patterns).collect())
    }

    /// Judges what is made of the test of the oven `repeat` of a kind.
    pub(crate) fn run(&self, kind: &Kind, repeat: usize, t: &mut Tally) {
        let mut s = kind.stream(repeat);
        let oven = kind.draw(&mut s);
        let scatter = SCATTER.0 + (SCATTER.1 - SCATTER.0) * s.uniform();
        let test = oven.test(scatter, &mut s);
        let size = (oven.width, oven.depth);
        let truth = Truth::of(&oven, &Grid::new(CELLS.0, CELLS.1, size.0, size.1));
        let all: Vec<_> = self
            .0
            .iter()
            .flat_map(|p| explain(p, &test, size))
            .collect();
        let best = all.iter().map(|f| f.0).fold(f64::MIN, f64::max);
        let whole: f64 = all.iter().map(|f| (f.0 - best).exp()).sum();
        // lightness, contrast, chances of hot and of cool
        let mut said = vec![[0.0; 4]; CELLS.0 * CELLS.1];
        for (ln, pattern, strength, level) in all.iter().filter(|f| f.0 > best - 12.0) {
            let middle = |i| (3 * (i / CELLS.0) + 1) * FINE.0 + 3 * (i % CELLS.0) + 1;
            let field = (0..said.len()).map(|i| level + strength * pattern[middle(i)]);
            let field: Vec<f64> = field.collect();
            for ((to, b), c) in said.iter_mut().zip(&field).zip(less_mean(&field)) {
                let values = [l(*b), c, count(c >= limit()), count(-c >= limit())];
                for (to, v) in to.iter_mut().zip(values) {
                    *to += (ln - best).exp() / whole * v;
                }
            }
        }
        t.ovens += 1;
        t.called_even += usize::from(said.iter().all(|s| s[2].max(s[3]) < 0.80));
        for (i, [lightness, contrast, hot, cool]) in said.into_iter().enumerate() {
            let off = truth.contrast[i];
            t.cells += 1.0;
            t.squares += (lightness - truth.lightness[i]).powi(2);
            t.off += count(off.abs() >= limit());
            t.hot.count(off >= limit(), contrast >= limit());
            for (chance, off) in [(hot, off), (cool, -off)] {
                let tell = match chance {
                    0.95.. => &mut t.plainly,
                    _ => &mut t.probably,
                };
                tell.told += count(chance >= 0.80);
                tell.right += count(chance >= 0.80 && off >= limit());
            }
        }
    }
}

impl Pattern {
    fn draw(kind: &Kind, seed: u64) -> Self {
        let oven = kind.draw(&mut Stream::new(seed));
        let t = Truth::of(&oven, &Grid::new(FINE.0, FINE.1, oven.width, oven.depth));
        let range = quantile(&t.browning, 0.99) - quantile(&t.browning, 0.01);
        let of_range = t.contrast.iter().map(|c| c / range.max(1e-12));
        Self(of_range.collect(), range * l(t.browning[0] - t.contrast[0]))
    }

    /// Mean over a slice: of the cells whose middles it covers.
    fn mean(&self, slice: &Slice, (width, depth): (f64, f64)) -> f64 {
        let across = |middle: f64, side: f64, whole: f64, cells: usize| {
            let at = |v: f64| (v / whole * cells as f64).round() as usize;
            at(middle - side / 2.0)..at(middle + side / 2.0).min(cells)
        };
        let cols = across(slice.x, slice.width, width, FINE.0);
        let rows = across(depth - slice.y, slice.depth, depth, FINE.1); // row 0 lies at the back
        let cells = rows.len() * cols.len();
        let sum: f64 = rows.flat_map(|r| &self.0[r * FINE.0..][cols.clone()]).sum();
        sum / cells as f64
    }
}

/// Sets the patterns of one kind against a test.
fn explain<'k>(patterns: &'k [Pattern], test: &Test, size: (f64, f64)) -> Vec<Explained<'k>> {
    let n = test.lightness.len() as f64;
    let browning = |v: &f64| (UNTOASTED_LIGHTNESS / v).ln();
    let mean = test.lightness.iter().map(browning).sum::<f64>() / n;
    let least = patterns.iter().map(|p| p.1).fold(f64::MAX, f64::min);
    let most = patterns.iter().map(|p| p.1).fold(0.0, f64::max);
    let evenly = |(from, to): (f64, f64), i: usize, n: usize| {
        from + (to - from) * (i as f64 + 0.5) / n as f64
    };
    let mut out = Vec::new();
    for pattern in patterns {
        let at: Vec<f64> = test.slices.iter().map(|o| pattern.mean(o, size)).collect();
        let middle = at.iter().sum::<f64>() / n;
        for strength in (0..STRENGTHS).map(|i| evenly((least, most), i, STRENGTHS) / l(mean)) {
            let pairs = at.iter().zip(test.lightness.iter().map(browning));
            let off = pairs.map(|(p, b)| l(mean) * (b - mean - strength * (p - middle)));
            let squares: f64 = off.map(|v| v * v).sum();
            let weight = |sd: f64| (-0.5 * squares / (sd * sd)).exp() * sd.powf(1.0 - n);
            let scatters = (0..SCATTERS).map(|k| evenly(SCATTER, k, SCATTERS));
            let ln = scatters.map(weight).sum::<f64>().ln();
            out.push((ln, &pattern.0[..], strength, mean - strength * middle));
        }
    }
    out
}
