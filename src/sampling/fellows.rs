//! What a slice's fellows say of it: glare takes colour out of crumb, and one that is cooler than its
//! lightness makes the others lies under glare, or under a shadow.
//!
//! One slice alone cannot tell: its loaf's own hue is not known. Beside the others in the picture it can. One
//! curve through small squares of all crumbs, blue over red by lightness, is fitted by reweighted least
//! squares that hardly feel what lies above it.

use super::{crumb::Crumb, light::Light};
use crate::numeric::quantile::quantile;
use nalgebra::{Matrix3, Vector3};

/// Most rounds of weights and curve in turn.
const ROUNDS: usize = 20;
/// Pull of slope and bend towards 0, looks: a bend is believed only where much speaks for it.
const PULL: [f64; 3] = [1e-6, 1e-3, 3.0];
/// Least scatter of blue over red between squares, natural logarithm.
const LEAST: f64 = 0.015;
/// Fewest slices that can speak for one another.
const FEWEST: usize = 4;

/// How a slice stands among its fellows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Standing {
    /// How much cooler it is than its lightness should make it, ln(B / R).
    pub(super) cooler: f64,
    /// The same in scatters of the middling slices.
    pub(super) scatters: f64,
    /// Share of the slices that are darker than it.
    pub(super) rank: f64,
}

/// Returns how each slice stands among the others; nothing where there are too few.
pub(super) fn standings(slices: &[&Crumb], light: &Light) -> Vec<Standing> {
    if slices.len() < FEWEST {
        return vec![Standing::default(); slices.len()];
    }
    let squares: Vec<Vec<(f64, f64)>> = slices
        .iter()
        .map(|c| {
            c.blocks
                .iter()
                .map(|b| (b.level - light.at(b.at), b.cool))
                .collect()
        })
        .collect();
    let all: Vec<(f64, f64)> = squares.iter().flatten().copied().collect();
    let middle = quantile(&all.iter().map(|p| p.0).collect::<Vec<_>>(), 0.5);
    let features = |x: f64| Vector3::new(1.0, x - middle, (x - middle).powi(2));
    let curve = curve(
        &all.iter()
            .map(|&(x, y)| (features(x), y))
            .collect::<Vec<_>>(),
    );
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64, c: &Vec<(f64, f64)>| {
        c.iter().map(of).sum::<f64>() / c.len().max(1) as f64
    };
    let cooler: Vec<f64> = squares
        .iter()
        .map(|c| mean(&|&(x, y)| y - features(x).dot(&curve), c))
        .collect();
    let levels: Vec<f64> = squares.iter().map(|c| mean(&|p| p.0, c)).collect();
    let half = quantile(&cooler, 0.5);
    let away: Vec<f64> = cooler.iter().map(|c| (c - half).abs()).collect();
    let scatter = (1.48 * quantile(&away, 0.5)).max(2.0 * LEAST);
    cooler
        .iter()
        .zip(&levels)
        .map(|(c, level)| Standing {
            cooler: *c,
            scatters: (c - half) / scatter,
            rank: levels.iter().filter(|l| *l < level).count() as f64 / levels.len() as f64,
        })
        .collect()
}

/// Fits a curve to squares of crumb; those that lie above it count little.
fn curve(all: &[(Vector3<f64>, f64)]) -> Vector3<f64> {
    let mut weights = vec![1.0; all.len()];
    let mut curve = Vector3::zeros();
    for _ in 0..ROUNDS {
        let mut left = Matrix3::from_diagonal(&Vector3::from(PULL));
        let mut right = Vector3::zeros();
        for ((f, y), &w) in all.iter().zip(&weights) {
            left += f * f.transpose() * w;
            right += f * (y * w);
        }
        let Some(factor) = left.cholesky() else { break };
        curve = factor.solve(&right);
        let rest: Vec<f64> = all.iter().map(|(f, y)| y - f.dot(&curve)).collect();
        let half = quantile(&rest, 0.5);
        let below: Vec<f64> = rest
            .iter()
            .filter(|r| **r <= half)
            .map(|r| half - r)
            .collect();
        let scatter = 1.48 * quantile(&below, 0.5) + LEAST;
        for (w, r) in weights.iter_mut().zip(&rest) {
            *w = 1.0 / (1.0 + (r.max(-3.0 * scatter) / (2.0 * scatter)).powi(2));
        }
    }
    curve
}
