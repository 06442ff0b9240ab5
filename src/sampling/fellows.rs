//! What a slice's fellows say of it: glare takes colour out of crumb, and one that is cooler than its
//! lightness makes the others lies under glare, or under a shadow.
//!
//! One slice alone cannot tell: its loaf's own hue is not known. Beside the others in the picture it can. One
//! curve through small squares of crumb, blue over red by lightness, is fitted by reweighted least squares that
//! hardly feel what lies above it. Each slice is set against the curve of the others, and of those on lit ground
//! where there are enough: the darkest and the palest would bend the curve to themselves.

use super::{crumb::Crumb, light::Light};
use crate::numeric::quantile::quantile;
use nalgebra::{Matrix3, Vector3};

/// Most rounds of weights and curve in turn.
const ROUNDS: usize = 8;
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
    /// How much cooler crumb gets where it gets lighter, natural logarithms.
    pub(super) slope: f64,
    /// How far it is lighter than the lightest, or darker than the darkest of those the curve was told by, ln Y.
    pub(super) beyond: f64,
    /// Share of the slices that are darker than it.
    pub(super) rank: f64,
}

/// The squares of one slice: ln Y with the light taken out, and ln(B / R).
type Squares = Vec<(f64, f64)>;

/// Returns how each slice stands among the others, given which lie on lit ground; nothing where there are too few.
pub(super) fn standings(slices: &[(&Crumb, bool)], light: &Light) -> Vec<Standing> {
    if slices.len() < FEWEST {
        return vec![Standing::default(); slices.len()];
    }
    let squares: Vec<Squares> = slices
        .iter()
        .map(|(c, _)| {
            c.blocks
                .iter()
                .map(|b| (b.level - light.at(b.at), b.cool))
                .collect()
        })
        .collect();
    let levels: Vec<f64> = squares.iter().map(|s| mean(s, |p| p.0)).collect();
    (0..slices.len())
        .map(|i| {
            let lit: Vec<usize> = (0..slices.len())
                .filter(|&j| j != i && slices[j].1)
                .collect();
            let others = if lit.len() < FEWEST {
                (0..slices.len()).filter(|&j| j != i).collect()
            } else {
                lit
            };
            let darker = levels.iter().filter(|l| **l < levels[i]).count();
            Standing {
                rank: darker as f64 / levels.len() as f64,
                ..against(&squares[i], levels[i], &others, (&squares, &levels))
            }
        })
        .collect()
}

/// Returns the mean of something over squares.
fn mean(squares: &Squares, of: impl Fn(&(f64, f64)) -> f64) -> f64 {
    squares.iter().map(of).sum::<f64>() / squares.len().max(1) as f64
}

/// Sets a slice against the curve of `others`.
fn against(
    own: &Squares,
    level: f64,
    others: &[usize],
    (squares, levels): (&[Squares], &[f64]),
) -> Standing {
    let all: Squares = others.iter().flat_map(|&j| squares[j].clone()).collect();
    let middle = quantile(&all.iter().map(|p| p.0).collect::<Vec<_>>(), 0.5);
    let features = |x: f64| Vector3::new(1.0, x - middle, (x - middle).powi(2));
    let points: Vec<_> = all.iter().map(|&(x, y)| (features(x), y)).collect();
    let curve = curve(&points);
    let known = || others.iter().map(|&j| levels[j]);
    let above = level - known().fold(f64::MIN, f64::max);
    let below = known().fold(f64::MAX, f64::min) - level;
    Standing {
        cooler: mean(own, |&(x, y)| y - features(x).dot(&curve)),
        slope: curve[1] + 2.0 * curve[2] * (level - middle),
        beyond: above.max(below).max(0.0),
        rank: 0.0,
    }
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

#[cfg(test)]
mod tests {
    use super::{super::crumb::Block, super::picture::Picture, *};
    use crate::geometry::Point;

    /// A slice whose crumb gets cooler by 0.6 of what it gets lighter, seen `shade` darker than it is.
    fn slice(level: f64, shade: f64) -> Crumb {
        let block = |i: i32| {
            let own = level + 0.04 * f64::from(i % 5 - 2);
            Block {
                at: Point::new(0.0, 0.0),
                level: own - shade,
                cool: 0.6 * own - 1.0 + 0.01 * f64::from(i % 3 - 1),
            }
        };
        Crumb {
            pixels: Vec::new(),
            clipped: 0.0,
            centre: Point::new(0.0, 0.0),
            blocks: (0..30).map(block).collect(),
            split: None,
        }
    }

    #[test]
    fn a_shaded_slice_stands_out_though_it_is_the_darkest() {
        let picture = Picture {
            width: 2,
            height: 2,
            pixels: vec![[0.5; 3]; 4],
            scale: 1.0,
        };
        let levels = [-1.6, -1.4, -1.3, -1.1, -1.0, -0.9];
        for (shaded, lit) in [(1, true), (1, false), (0, false)] {
            let slices: Vec<Crumb> = (0..levels.len())
                .map(|i| slice(levels[i], if i == shaded { 0.5 } else { 0.0 }))
                .collect();
            let told: Vec<(&Crumb, bool)> = slices
                .iter()
                .enumerate()
                .map(|(i, s)| (s, lit || i != shaded))
                .collect();
            let found = standings(&told, &Light::even(&picture));
            assert!((found[shaded].cooler - 0.3).abs() < 0.05, "{found:?}");
            assert!(found[shaded].rank < 0.01, "{found:?}");
            let others = found.iter().enumerate().filter(|f| f.0 != shaded);
            for (i, standing) in others.filter(|_| !lit) {
                assert!(standing.cooler.abs() < 0.02, "{i}: {found:?}");
            }
        }
    }
}
