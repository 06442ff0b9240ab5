//! Cycles in readings taken at uneven times.
//!
//! Least-squares spectrum (Lomb 1976; here with a mean and a tilt fitted along, as Vanicek 1971 did,
//! from memory), then harmonics added while they pay (Schwarz 1978).

use super::{moved::worth, sample::Sample, thin::thin};
use nalgebra::{DMatrix, DVector, Matrix4, Vector4};
use std::f64::consts::TAU;

/// More readings than this are averaged in bins before the search.
const MOST_SEARCHED: usize = 1200;
/// Frequencies tried for each one that the span can tell apart.
const OVERSAMPLING: f64 = 8.0;
/// No thermostat switches faster, seconds.
const SHORTEST: f64 = 40.0;
/// Readings in a cycle below which a cycle cannot be seen.
const LEAST_PER_CYCLE: f64 = 2.5;
/// Fewest readings among which a cycle is looked for.
const LEAST_READINGS: usize = 8;
/// A cycle is believed when chance would show one as strong less often than this (chosen on simulated ovens and on air
/// that wanders).
const BY_CHANCE: f64 = 0.001;
/// Readings that scatter by less than this about their line are all alike, C^2: no thermometer shows a millionth of it.
const SAME: f64 = 1e-9;
/// Most harmonics of the shape.
const MOST_HARMONICS: usize = 6;

/// A thermostat that switches faster than this is rare, seconds (an assumption): readings so far apart that a cycle as
/// quick would look the same as the one found do not tell which it is.
const QUICK: f64 = 100.0;
/// A quicker cycle is out of the question when the readings are this many times likelier with the one found.
const OUT_OF_QUESTION: f64 = 20.0;

/// What readings say of a cycle.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Sought {
    /// It stands out from chance, and no other explains the readings as well.
    Found(Cycle),
    /// None stands out.
    Nothing,
    /// One stands out, but a quicker one looks the same in readings so far apart.
    Unresolved(Cycle),
}

/// A cycle found in readings.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cycle {
    /// Its length, seconds.
    pub(super) seconds: f64,
    /// Standard error of its length.
    pub(super) sd: f64,
    /// Peak to peak of the shape fitted to all cycles, C.
    pub(super) swing: f64,
    /// Standard deviation of the readings about that shape, C.
    pub(super) noise: f64,
    /// How many independent readings what the shape leaves is worth.
    pub(super) worth: f64,
}

/// Looks for a cycle.
pub(super) fn find_cycle(samples: &[Sample]) -> Sought {
    match looked_for(samples) {
        None => Sought::Nothing,
        Some((cycle, false)) => Sought::Unresolved(cycle),
        Some((cycle, true)) => Sought::Found(cycle),
    }
}

/// Returns the cycle that stands out from chance, and whether the readings lie close enough together to tell it.
fn looked_for(samples: &[Sample]) -> Option<(Cycle, bool)> {
    if samples.len() < LEAST_READINGS {
        return None;
    }
    let (_, thinned) = thin(samples, MOST_SEARCHED);
    let (first, last) = (thinned.first()?.0, thinned.last()?.0);
    let span = last - first;
    let middle_gap = {
        let mut gaps: Vec<f64> = thinned.windows(2).map(|w| w[1].0 - w[0].0).collect();
        gaps.sort_by(f64::total_cmp);
        gaps[gaps.len() / 2]
    };
    let shortest = (LEAST_PER_CYCLE * middle_gap).max(SHORTEST);
    // At least one and a half cycles must have been seen, or it may be anything.
    let (low, high) = (1.5 / span, 1.0 / shortest);
    if high.is_nan() || high <= low {
        return None;
    }
    let step = 1.0 / (OVERSAMPLING * span);
    let flat = residual_ss(&thinned, None, 0)?;
    // What rounding leaves of readings that are all alike holds no wave.
    if flat <= SAME * thinned.len() as f64 {
        return None;
    }
    let mut best: Option<(f64, f64)> = None;
    let mut tried = 0.0;
    let mut waves = Waves::new(&thinned, low, step);
    let mut f = low;
    while f <= high {
        if let Some(ss) = waves.residual_ss()
            && best.is_none_or(|(_, least)| ss < least)
        {
            best = Some((f, ss));
        }
        tried += 1.0;
        f = low + tried * step;
        waves.turn();
    }
    let (f, _) = best?;
    let least = residual_ss(&thinned, Some(f), 1)?;
    // Scargle 1982: chance of a share this large at one frequency, for every one that can be told apart.
    let spare = thinned.len() as f64 - 4.0;
    let share = (flat - least) / (least * background(&thinned, f, middle_gap)?);
    let chance = (1.0 + share).powf(-spare / 2.0) * (tried / OVERSAMPLING).max(1.0);
    if chance.is_nan() || chance > BY_CHANCE {
        return None;
    }
    let f = settle(&thinned, f, step)?;
    let told = least_between((high, 1.0 / QUICK), &thinned, step).is_none_or(|quicker| {
        0.5 * thinned.len() as f64 * (quicker / least).ln() > OUT_OF_QUESTION.ln()
    });
    Some((shape(samples, &thinned, f, span)?, told))
}

/// Returns how many times as strong air that wanders is at a frequency as independent readings of its scatter are.
///
/// It is the spectrum of a first-order autoregression (Schulz and Mudelsee 2002, Comput. Geosci. 28, 421), told by what
/// one wave leaves: readings that wander by minutes hold slow waves without any thermostat.
fn background(samples: &[Sample], f: f64, gap: f64) -> Option<f64> {
    let left = residuals(samples, Some(f), 1)?;
    let next: f64 = left.as_slice().windows(2).map(|w| w[0] * w[1]).sum();
    let r = next / left.norm_squared().max(f64::MIN_POSITIVE);
    // A mean fitted along takes (1 + 3 r) / n of it (Kendall 1954, Biometrika 41, 403), each slow term about (1 + r) / n.
    let taken = (1.0 + 3.0 * r + 3.0 * (1.0 + r)) / samples.len() as f64;
    let r = (r + taken).clamp(0.0, 0.999);
    let wander = (1.0 - r * r) / (1.0 - 2.0 * r * (TAU * f * gap).cos() + r * r);
    Some(wander.max(1.0))
}

/// Returns the least sum of squares that a wave of a frequency within a range leaves.
fn least_between((low, high): (f64, f64), samples: &[Sample], step: f64) -> Option<f64> {
    let mut waves = Waves::new(samples, low, step);
    let mut least = None;
    let mut f = low;
    while f <= high {
        least = waves
            .residual_ss()
            .into_iter()
            .chain(least)
            .reduce(f64::min);
        f += step;
        waves.turn();
    }
    least
}

/// Narrows a frequency down by golden sections between its neighbours.
fn settle(samples: &[Sample], f: f64, step: f64) -> Option<f64> {
    let harmonics = if samples.len() > 16 { 2 } else { 1 };
    let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut a, mut b) = (f - step, f + step);
    let at = |f: f64| residual_ss(samples, Some(f), harmonics);
    let (mut c, mut d) = (b - ratio * (b - a), a + ratio * (b - a));
    let (mut at_c, mut at_d) = (at(c)?, at(d)?);
    for _ in 0..40 {
        if at_c < at_d {
            (b, d, at_d) = (d, c, at_c);
            c = b - ratio * (b - a);
            at_c = at(c)?;
        } else {
            (a, c, at_c) = (c, d, at_d);
            d = a + ratio * (b - a);
            at_d = at(d)?;
        }
    }
    Some(0.5 * (a + b))
}

/// Fits the shape of the cycle with as many harmonics as pay.
fn shape(samples: &[Sample], thinned: &[Sample], f: f64, span: f64) -> Option<Cycle> {
    let n = thinned.len() as f64;
    let in_a_cycle = n / (span * f);
    let most = (1..=MOST_HARMONICS)
        .rev()
        .find(|k| in_a_cycle > 2.2 * *k as f64 && n > 4.0 + 4.0 * *k as f64)
        .unwrap_or(1);
    let price = |k: usize| {
        let ss = residual_ss(thinned, Some(f), k)?;
        Some(n * (ss.max(1e-12) / n).ln() + (2.0 + 2.0 * k as f64) * n.ln())
    };
    let harmonics = (1..=most)
        .filter_map(|k| Some((k, price(k)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?
        .0;
    let fitted = solve(&system(thinned, Some(f), harmonics))?;
    let left = residuals(samples, Some(f), harmonics)?;
    let spare = (samples.len() as f64 - 2.0 - 2.0 * harmonics as f64).max(1.0);
    let noise = (left.norm_squared() / spare).sqrt();
    let left: Vec<Sample> = samples.iter().zip(&left).map(|(s, l)| (s.0, *l)).collect();
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..360_u32 {
        let t = f64::from(i) / 360.0 / f;
        let y: f64 = row(t, 0.0, Some(f), harmonics)
            .iter()
            .zip(fitted.iter())
            .skip(2)
            .map(|(a, b)| a * b)
            .sum();
        (low, high) = (low.min(y), high.max(y));
    }
    let swing = high - low;
    // Error of a frequency: sqrt(6 / n) sd / (pi T a), with a the amplitude (Bloomfield 1976).
    let thin_noise = (residual_ss(thinned, Some(f), harmonics)? / (n - 2.0).max(1.0)).sqrt();
    let sd_f =
        (6.0 / n).sqrt() * thin_noise / (std::f64::consts::PI * span * (0.5 * swing).max(1e-9));
    Some(Cycle {
        seconds: 1.0 / f,
        sd: sd_f / (f * f),
        swing,
        noise,
        worth: worth(&left),
    })
}

/// The fit of mean, tilt and one wave at every frequency of an even grid, by its normal equations.
///
/// The wave is turned on from one frequency to the next instead of worked out again.
struct Waves {
    /// Time from the middle, in spans.
    tilt: Vec<f64>,
    /// The value, less the mean of all.
    value: Vec<f64>,
    /// Cosine and sine of the present frequency.
    at: Vec<(f64, f64)>,
    /// Cosine and sine of one step.
    step: Vec<(f64, f64)>,
    /// Sums of squares of tilt and value, and of their product.
    constant: (f64, f64, f64),
}

impl Waves {
    fn new(samples: &[Sample], low: f64, step: f64) -> Self {
        let (middle, span, level) = frame(samples);
        let turned = |f: f64| -> Vec<(f64, f64)> {
            let angles = samples.iter().map(|s| TAU * f * (s.0 - middle));
            angles.map(|a| (a.cos(), a.sin())).collect()
        };
        let tilt: Vec<f64> = samples.iter().map(|s| (s.0 - middle) / span).collect();
        let value: Vec<f64> = samples.iter().map(|s| s.1 - level).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum();
        Self {
            constant: (dot(&tilt, &tilt), dot(&value, &value), dot(&tilt, &value)),
            at: turned(low),
            step: turned(step),
            tilt,
            value,
        }
    }

    /// Goes on to the next frequency.
    fn turn(&mut self) {
        for ((cos, sin), by) in self.at.iter_mut().zip(&self.step) {
            (*cos, *sin) = (*cos * by.0 - *sin * by.1, *sin * by.0 + *cos * by.1);
        }
    }

    /// What is left of the sum of squares.
    fn residual_ss(&self) -> Option<f64> {
        let (mut c, mut s, mut cc, mut cs) = (0.0, 0.0, 0.0, 0.0);
        let (mut tc, mut ts, mut vc, mut vs) = (0.0, 0.0, 0.0, 0.0);
        for ((cos, sin), (tilt, value)) in self.at.iter().zip(self.tilt.iter().zip(&self.value)) {
            c += cos;
            s += sin;
            cc += cos * cos;
            cs += cos * sin;
            tc += tilt * cos;
            ts += tilt * sin;
            vc += value * cos;
            vs += value * sin;
        }
        let n = self.at.len() as f64;
        let (tt, vv, tv) = self.constant;
        // Tilt and value sum to nothing.
        let left = Matrix4::new(
            n,
            0.0,
            c,
            s,
            0.0,
            tt,
            tc,
            ts,
            c,
            tc,
            cc,
            cs,
            s,
            ts,
            cs,
            n - cc,
        );
        let right = Vector4::new(0.0, tv, vc, vs);
        let fitted = left.cholesky()?.solve(&right);
        Some(vv - fitted.dot(&right))
    }
}

fn row(t: f64, tilt: f64, f: Option<f64>, harmonics: usize) -> Vec<f64> {
    let mut row = vec![1.0, tilt];
    if let Some(f) = f {
        for k in 1..=harmonics {
            let angle = TAU * f * t * k as f64;
            row.extend([angle.cos(), angle.sin()]);
        }
    }
    row
}

/// Middle and length of the time, and the mean of the values.
fn frame(samples: &[Sample]) -> (f64, f64, f64) {
    let n = samples.len() as f64;
    let middle = samples.iter().map(|s| s.0).sum::<f64>() / n;
    let level = samples.iter().map(|s| s.1).sum::<f64>() / n;
    let span = samples[samples.len() - 1].0 - samples[0].0;
    (middle, span.max(1.0), level)
}

fn system(samples: &[Sample], f: Option<f64>, harmonics: usize) -> (DMatrix<f64>, DVector<f64>) {
    let n = samples.len();
    let (middle, span, level) = frame(samples);
    let columns = 2 + if f.is_some() { 2 * harmonics } else { 0 };
    let rows: Vec<f64> = samples
        .iter()
        .flat_map(|s| row(s.0, (s.0 - middle) / span, f, harmonics))
        .collect();
    (
        DMatrix::from_row_slice(n, columns, &rows),
        DVector::from_iterator(n, samples.iter().map(|s| s.1 - level)),
    )
}

fn solve((a, y): &(DMatrix<f64>, DVector<f64>)) -> Option<DVector<f64>> {
    let (left, right) = (a.tr_mul(a), a.tr_mul(y));
    left.cholesky().map(|c| c.solve(&right))
}

fn residual_ss(samples: &[Sample], f: Option<f64>, harmonics: usize) -> Option<f64> {
    Some(residuals(samples, f, harmonics)?.norm_squared())
}

fn residuals(samples: &[Sample], f: Option<f64>, harmonics: usize) -> Option<DVector<f64>> {
    let both = system(samples, f, harmonics);
    let fitted = solve(&both)?;
    let (a, y) = both;
    Some(y - a * fitted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::random::Stream;

    fn sawtooth(period: f64, minutes: f64, gap: f64, noise: f64, seed: u64) -> Vec<Sample> {
        let mut s = Stream::new(seed);
        let mut out = Vec::new();
        let mut t = 0.0;
        while t < minutes * 60.0 {
            let phase = (t / period).fract();
            let wave = if phase < 0.35 {
                phase / 0.35
            } else {
                (1.0 - phase) / 0.65
            };
            out.push((t, 170.0 + 12.0 * (wave - 0.5) + noise * s.normal()));
            t += gap * (0.4 + 1.2 * s.uniform());
        }
        out
    }

    #[test]
    fn a_cycle_is_found_in_uneven_noisy_readings() {
        for (seed, (period, gap)) in [(420.0, 30.0), (600.0, 60.0), (300.0, 45.0), (900.0, 120.0)]
            .into_iter()
            .enumerate()
        {
            let seen = sawtooth(period, 60.0, gap, 1.0, seed as u64);
            let Sought::Found(cycle) = find_cycle(&seen) else {
                panic!("{period} s read every {gap} s");
            };
            assert!(
                (cycle.seconds / period - 1.0).abs() < 0.05,
                "{period} s: {cycle:?}"
            );
            assert!((cycle.swing - 12.0).abs() < 2.5, "{cycle:?}");
        }
    }

    /// The quick search and the plain fit leave the same.
    #[test]
    fn waves_turned_on_fit_as_waves_worked_out_anew() {
        let seen = sawtooth(420.0, 60.0, 30.0, 1.0, 3);
        let (low, step) = (1.0 / 2400.0, 1.0 / 28800.0);
        let mut waves = Waves::new(&seen, low, step);
        for i in 0..400 {
            let plain = residual_ss(&seen, Some(low + f64::from(i) * step), 1).unwrap();
            let quick = waves.residual_ss().unwrap();
            assert!((quick / plain - 1.0).abs() < 1e-9, "{i}: {quick} {plain}");
            waves.turn();
        }
    }

    /// Air that wanders by 1 C, resembling itself for a minute or three, was taken for a cycle every time.
    #[test]
    fn air_that_wanders_has_no_cycle() {
        for (minutes, gap, most) in [(1.0, 5.0, 4), (1.0, 30.0, 4), (3.0, 5.0, 12)] {
            let keeps = f64::exp(-gap / (60.0 * minutes));
            let mut found = 0;
            for seed in 0..40 {
                let mut s = Stream::new(seed);
                let mut air = s.normal();
                let mut t = 0.0;
                let mut seen: Vec<Sample> = Vec::new();
                while t <= 2700.0 {
                    seen.push((t, 170.0 + air));
                    air = keeps * air + (1.0 - keeps * keeps).sqrt() * s.normal();
                    t += gap;
                }
                found += u32::from(find_cycle(&seen) != Sought::Nothing);
            }
            assert!(found <= most, "{minutes} min, every {gap} s: {found} of 40");
        }
    }

    /// What rounding leaves of them, 1e-29 C^2, is no wave, whether its chance comes out small or as no number.
    #[test]
    fn readings_that_are_all_alike_have_no_cycle() {
        for air in [171.0, 175.0, 171.5, 170.1, 171.111_111_111_111_11] {
            for n in [25_u32, 31, 41, 61, 91] {
                for gap in [60.0, 57.3] {
                    let seen: Vec<Sample> = (0..n).map(|i| (f64::from(i) * gap, air)).collect();
                    assert_eq!(
                        find_cycle(&seen),
                        Sought::Nothing,
                        "{n} of {air} every {gap} s"
                    );
                }
            }
        }
    }

    #[test]
    fn noise_alone_has_no_cycle() {
        let mut found = 0;
        for seed in 0..40 {
            let mut s = Stream::new(seed);
            let noise: Vec<Sample> = (0..60)
                .map(|i| (f64::from(i) * 30.0, 170.0 + s.normal()))
                .collect();
            found += u32::from(find_cycle(&noise) != Sought::Nothing);
        }
        assert!(found <= 2, "{found} of 40");
    }
}
