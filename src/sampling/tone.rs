//! From what the camera stored to true reflected light: white balance, level, and the tone curve.
//!
//! Phones bend the tone curve, so one patch fixes the level near its own brightness only. The curve
//! is taken as a power near 1, ln `Y_true` = c + g ln `Y_seen`, with a prior on g. A white and a grey
//! card of clearly different lightness sharpen it (weighted least squares with a normal prior); white
//! and bread must not: what is known of a loaf is too little, and a bend by it did harm on drawn curves.

use super::{
    patch::{Measured, luminance64},
    request::Reference,
};
use crate::colour::lab::lab_to_linear;

/// Prior standard deviation of the power around 1 while it is fitted.
const POWER_SD: f64 = 0.1;
/// The same where one reference leaves it open: on photographs of colour charts the lightness of
/// patches far from the reference is off by so much.
const OPEN_POWER_SD: f64 = 0.22;
/// Two cards bend the curve where one is so many times as bright as the other.
const BENDS_FROM: f64 = 2.5;
/// What a tone curve of no simple shape leaves, L*: so that 90 % intervals hold 85 % of the patches on
/// photographs of colour charts.
const FLOOR: f64 = 3.8;
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
    /// What the shape of the curve leaves, L*.
    pub(super) floor: f64,
}

/// One reference: ln Y as seen and in truth, and its weight.
struct Knot {
    seen: f64,
    truth: f64,
    weight: f64,
    is_card: bool,
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
                power_variance: OPEN_POWER_SD * OPEN_POWER_SD,
                floor: FLOOR,
            };
        }
        let balance = balance(references);
        let knots: Vec<Knot> = references
            .iter()
            .zip(light_sd)
            .map(|(r, light)| {
                let seen: [f64; 3] = std::array::from_fn(|c| r.seen[c] * balance[c]);
                let own = 3.0 * r.sd.hypot(light_known(&r.kind)) / (r.truth.l + 16.0);
                Knot {
                    seen: luminance64(seen).max(1e-6).ln(),
                    truth: r.true_luminance().ln(),
                    weight: 1.0 / (own * own + light * light),
                    is_card: !matches!(r.kind, Reference::Slice { .. }),
                }
            })
            .collect();
        let total: f64 = knots.iter().map(|k| k.weight).sum();
        let mean =
            |of: fn(&Knot) -> f64| knots.iter().map(|k| k.weight * of(k)).sum::<f64>() / total;
        let (seen, truth) = (mean(|k| k.seen), mean(|k| k.truth));
        let cards = || knots.iter().filter(|k| k.is_card).map(|k| k.truth);
        let reach = cards().fold(f64::MIN, f64::max) - cards().fold(f64::MAX, f64::min);
        let level_only = Self {
            balance,
            seen,
            truth,
            variance: 1.0 / total,
            power: 1.0,
            power_variance: OPEN_POWER_SD * OPEN_POWER_SD,
            floor: FLOOR,
        };
        if reach < BENDS_FROM.ln() {
            return level_only.widened_by_scatter(&knots);
        }
        let precision = knots
            .iter()
            .map(|k| k.weight * (k.seen - seen).powi(2))
            .sum::<f64>()
            + 1.0 / (POWER_SD * POWER_SD);
        let pull: f64 = knots
            .iter()
            .map(|k| k.weight * (k.seen - seen) * ((k.truth - truth) - (k.seen - seen)))
            .sum();
        Self {
            power: 1.0 + pull / precision,
            power_variance: 1.0 / precision,
            ..level_only
        }
        .widened_by_scatter(&knots)
    }

    /// Widens the level where references contradict each other more than their errors allow: by their scatter
    /// over what was to be expected (Birge's ratio).
    fn widened_by_scatter(self, knots: &[Knot]) -> Self {
        let off = |k: &Knot| k.truth - self.truth - self.power * (k.seen - self.seen);
        let scatter: f64 = knots.iter().map(|k| k.weight * off(k).powi(2)).sum();
        let free = knots.len().saturating_sub(1).max(1) as f64;
        Self {
            variance: self.variance * (scatter / free).max(1.0),
            ..self
        }
    }

    /// Returns the curve with a level at which what is seen as `level` (ln Y) is no lighter than L* `most`.
    pub(super) fn no_lighter(self, level: f64, most: f64) -> Self {
        let top = 3.0 * ((most + 16.0) / 116.0).ln();
        let there = self.truth + self.power * (level - self.seen);
        Self {
            truth: self.truth - (there - top).max(0.0),
            ..self
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

/// Returns how well the light on a reference is known against that on the slices, L*: a card lies beside
/// the tray, and whites are near the camera's shoulder. Measured on photographs of colour charts.
fn light_known(kind: &Reference) -> f64 {
    match kind {
        Reference::Slice { .. } => 3.5,
        Reference::White(_) => 3.0,
        Reference::Grey(..) => 2.0,
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
            Reference::Slice { .. } => 1.0,
            Reference::White(_) | Reference::Grey(..) => 4.0,
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
