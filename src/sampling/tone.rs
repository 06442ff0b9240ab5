//! From what the camera stored to true reflected light: white balance, level, and the tone curve.
//!
//! Phones bend the tone curve, so one patch fixes the level near its own brightness only. The curve
//! is taken as a power near 1, ln `Y_true` = c + g ln `Y_seen`, with a prior on g that two or more
//! patches of different brightness sharpen (weighted least squares with a normal prior).

use super::patch::{Measured, luminance64};
use crate::colour::lab::lab_to_linear;

/// Prior standard deviation of the power around 1: phones differ that much between mid-tones and
/// highlights (common practice, no source).
const POWER_SD: f64 = 0.1;
/// Mean lightness L* taken for a toast test when nothing of known lightness is in the picture, and
/// its standard error: middling gold, from hardly coloured to dark.
const UNKNOWN: (f64, f64) = (58.0, 9.0);

/// How the camera's linear colours become true ones.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ToneCurve {
    /// Factor of each channel that makes the references neutral, luminance kept.
    balance: [f64; 3],
    /// Mean ln Y of the references as seen, white balanced.
    seen: f64,
    /// Mean ln Y of the references in truth.
    truth: f64,
    /// Variance of `truth`.
    variance: f64,
    /// The power g.
    pub(super) power: f64,
    /// Variance of the power.
    power_variance: f64,
}

impl ToneCurve {
    /// Fits the curve to references; `light_sd` is each one's error of the light between it and the
    /// slices, natural logarithm. With none, the mean level of the slices is taken as middling gold.
    pub(super) fn fit(references: &[Measured], light_sd: &[f64], slices: [f64; 3]) -> Self {
        if references.is_empty() {
            let level = ((UNKNOWN.0 + 16.0) / 116.0_f64).powi(3);
            return Self {
                balance: [1.0; 3],
                seen: luminance64(slices).max(1e-6).ln(),
                truth: level.ln(),
                variance: (3.0 * UNKNOWN.1 / (UNKNOWN.0 + 16.0)).powi(2),
                power: 1.0,
                power_variance: POWER_SD * POWER_SD,
            };
        }
        let balance = balance(references);
        let points: Vec<(f64, f64, f64)> = references
            .iter()
            .zip(light_sd)
            .map(|(r, light)| {
                let seen: [f64; 3] = std::array::from_fn(|c| r.seen[c] * balance[c]);
                let own = 3.0 * r.sd / (r.truth.l + 16.0);
                (
                    luminance64(seen).max(1e-6).ln(),
                    r.true_luminance().ln(),
                    1.0 / (own * own + light * light),
                )
            })
            .collect();
        let total: f64 = points.iter().map(|p| p.2).sum();
        let seen = points.iter().map(|p| p.2 * p.0).sum::<f64>() / total;
        let truth = points.iter().map(|p| p.2 * p.1).sum::<f64>() / total;
        let precision = points
            .iter()
            .map(|p| p.2 * (p.0 - seen).powi(2))
            .sum::<f64>()
            + 1.0 / (POWER_SD * POWER_SD);
        let pull: f64 = points
            .iter()
            .map(|p| p.2 * (p.0 - seen) * ((p.1 - truth) - (p.0 - seen)))
            .sum();
        Self {
            balance,
            seen,
            truth,
            variance: 1.0 / total,
            power: 1.0 + pull / precision,
            power_variance: 1.0 / precision,
        }
    }

    /// Returns the true linear colour of a colour as seen, light taken out.
    pub(super) fn apply(&self, seen: [f64; 3]) -> [f64; 3] {
        let balanced: [f64; 3] = std::array::from_fn(|c| seen[c] * self.balance[c]);
        let level = luminance64(balanced).max(1e-6).ln();
        let factor = (self.truth + self.power * (level - self.seen) - level).exp();
        balanced.map(|v| v * factor)
    }

    /// Returns the standard error of ln Y that all slices near the level of `seen` share.
    pub(super) fn sd(&self, seen: [f64; 3]) -> f64 {
        let balanced: [f64; 3] = std::array::from_fn(|c| seen[c] * self.balance[c]);
        let away = luminance64(balanced).max(1e-6).ln() - self.seen;
        (self.variance + away * away * self.power_variance).sqrt()
    }
}

/// Returns the factors that give the references their true hue at the luminance seen; cards weigh
/// more than bread, whose own tint varies.
fn balance(references: &[Measured]) -> [f64; 3] {
    let mut logs = [0.0; 3];
    let mut total = 0.0;
    for r in references {
        let truth = lab_to_linear(r.truth);
        let weight = match r.kind {
            super::request::Reference::Slice { .. } => 1.0,
            super::request::Reference::White(_) | super::request::Reference::Grey(..) => 4.0,
        };
        let raw: [f64; 3] = std::array::from_fn(|c| truth[c] / r.seen[c].max(1e-4));
        let kept = luminance64(std::array::from_fn(|c| raw[c] * r.seen[c])) / luminance64(r.seen);
        for (log, factor) in logs.iter_mut().zip(raw) {
            *log += weight * (factor / kept).ln();
        }
        total += weight;
    }
    logs.map(|l| (l / total).exp())
}
