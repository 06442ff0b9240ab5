//! Hot and cool zones: where a map noticeably leaves its rack's own mean, plainly or probably.

use super::{
    Fit,
    map::{Evidence, FieldMap, RackMap, Range, Strength, UNSEEN, Zone, ZoneKind},
};
use crate::{
    geometry::Grid,
    numeric::normal::{Z90, cdf},
};

/// A cell is said to be noticeably off plainly, or probably, from these probabilities.
const PLAIN: f64 = 0.95;
const PROBABLE: f64 = 0.80;
/// A zone smaller than this, sq cm, is not one: a quarter of a slice.
const SMALLEST: f64 = 25.0;
/// Joint samples behind the probability of a zone.
const SAMPLES: usize = 400;
/// Most sample points in a zone.
const POINTS: usize = 24;

/// How a map is read: what one shade is, what counts, and what a ratio is in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Browning B of one whole shade.
    pub per_shade: f64,
    /// The least difference that counts, shades.
    pub noticeable: f64,
    /// Sensitivity of browning to temperature, 1 / C.
    pub per_c: f64,
    /// Relative standard error of `per_c`.
    pub per_c_relative_sd: f64,
    /// Seed for joint samples.
    pub seed: u64,
}

/// Moves an end of an interval, the upper one or the lower, away from `value` by what a factor of relative standard
/// deviation `relative` leaves open: in the logarithm where end and value have one sign, so that no factor turns it.
fn widened(value: f64, (end, upper): (f64, bool), relative: f64) -> f64 {
    let factor = relative * Z90;
    if value * end <= 0.0 {
        return end * factor.exp();
    }
    let apart = (end / value).ln().hypot(factor);
    let outward = (value > 0.0) == upper;
    value * if outward { apart } else { -apart }.exp()
}

impl Reading {
    /// Converts a browning difference from a rack mean to an equivalent temperature difference, C.
    ///
    /// dT = ln(1 + difference / mean) / sensitivity, with the interval of all three; `rack_mean` comes with its own
    /// standard deviation, a factor of every difference, which turns no sign. A rack paler than one shade is taken as one shade dark: less browning says next to
    /// nothing of rates.
    pub fn degrees(&self, difference: f64, sd: f64, rack_mean: (f64, f64)) -> Range {
        let mean = rack_mean.0.max(self.per_shade);
        let to_c = |d: f64| (1.0 + d / mean).max(0.05).ln() / self.per_c;
        let value = to_c(difference);
        let relative = self.per_c_relative_sd.hypot(rack_mean.1 / mean);
        let (low, high) = (to_c(difference - Z90 * sd), to_c(difference + Z90 * sd));
        Range {
            value,
            lo: widened(value, (low, false), relative),
            hi: widened(value, (high, true), relative),
        }
    }

    /// Converts a browning difference and its standard deviation to shades with a 90 % interval.
    pub fn shades(&self, difference: f64, sd: f64) -> Range {
        let v = difference / self.per_shade;
        let half = Z90 * sd / self.per_shade;
        Range::new(v, v - half, v + half)
    }
}

/// Finds the zones of every mapped rack position, plain ones first, then the largest first, within a rack.
pub fn zones(fit: &Fit, map: &FieldMap, reading: &Reading) -> Vec<Zone> {
    let mut out = Vec::new();
    for rack in &map.racks {
        let mut found = Vec::new();
        for kind in [ZoneKind::Hot, ZoneKind::Cool] {
            for cells in connected_cells(rack, kind, Strength::Probable, reading) {
                found.push(zone_of(fit, rack, kind, cells, reading));
            }
        }
        found.sort_by(|a: &Zone, b| b.strength.cmp(&a.strength).then(b.area.total_cmp(&a.area)));
        out.extend(found);
    }
    out
}

/// Tells the plain core of a connected set of cells where there is one, else the whole set as probable: nothing is plain
/// between tested rack positions, where the map is a guess.
fn zone_of(
    fit: &Fit,
    rack: &RackMap,
    kind: ZoneKind,
    cells: Vec<(usize, usize)>,
    reading: &Reading,
) -> Zone {
    let plain =
        |&(r, c): &(usize, usize)| sureness(rack, rack.grid.index(r, c), kind, reading) >= PLAIN;
    let (core, around): (Vec<_>, Vec<_>) = cells.into_iter().partition(plain);
    let tested = rack.evidence == Evidence::Tested;
    if tested && core.len() as f64 * rack.grid.cell_area() >= SMALLEST {
        let zone = describe(fit, rack, kind, core, reading);
        return Zone {
            strength: Strength::Plain,
            around,
            ..zone
        };
    }
    let mut whole = core;
    whole.extend(around);
    whole.sort_unstable();
    describe(fit, rack, kind, whole, reading)
}

fn sign(kind: ZoneKind) -> f64 {
    match kind {
        ZoneKind::Hot => 1.0,
        ZoneKind::Cool => -1.0,
    }
}

/// Probability that cell `i` is noticeably off in the direction of `kind`.
fn sureness(rack: &RackMap, i: usize, kind: ZoneKind, reading: &Reading) -> f64 {
    let beyond = sign(kind) * rack.contrast[i] - reading.noticeable * reading.per_shade;
    cdf(beyond / rack.contrast_sd[i].max(1e-9))
}

/// Returns the connected sets of cells (row, col) of `rack` that are noticeably off in the direction of `kind`,
/// as firmly as `strength` asks, those smaller than a zone left out.
pub fn connected_cells(
    rack: &RackMap,
    kind: ZoneKind,
    strength: Strength,
    reading: &Reading,
) -> Vec<Vec<(usize, usize)>> {
    let limit = match strength {
        Strength::Plain => PLAIN,
        Strength::Probable => PROBABLE,
    };
    let Grid { cols, rows, .. } = rack.grid;
    let mut left: Vec<bool> = (0..rack.grid.len())
        .map(|i| sureness(rack, i, kind, reading) >= limit)
        .collect();
    let mut zones = Vec::new();
    for start in 0..left.len() {
        if !left[start] {
            continue;
        }
        left[start] = false;
        let (mut open, mut cells) = (vec![start], Vec::new());
        while let Some(i) = open.pop() {
            let (row, col) = (i / cols, i % cols);
            cells.push((row, col));
            let neighbours = [
                (row > 0).then(|| i - cols),
                (row + 1 < rows).then(|| i + cols),
                (col > 0).then(|| i - 1),
                (col + 1 < cols).then(|| i + 1),
            ];
            for next in neighbours.into_iter().flatten() {
                if left[next] {
                    left[next] = false;
                    open.push(next);
                }
            }
        }
        if cells.len() as f64 * rack.grid.cell_area() >= SMALLEST {
            cells.sort_unstable();
            zones.push(cells);
        }
    }
    zones
}

fn describe(
    fit: &Fit,
    rack: &RackMap,
    kind: ZoneKind,
    cells: Vec<(usize, usize)>,
    reading: &Reading,
) -> Zone {
    let grid = rack.grid;
    let n = cells.len() as f64;
    let centre = (
        cells.iter().map(|&(_, c)| grid.x(c)).sum::<f64>() / n,
        cells.iter().map(|&(r, _)| grid.y(r)).sum::<f64>() / n,
    );
    // beyond the slices a map leans on its trend: the peak is told where bread lay, if the zone has any
    let (x0, x1, y0, y1) = fit.covered(rack.rack);
    let under_bread = |&&(r, c): &&(usize, usize)| {
        (x0..=x1).contains(&grid.x(c)) && (y0..=y1).contains(&grid.y(r))
    };
    let any_bread = cells.iter().any(|cell| under_bread(&cell));
    let peak = cells
        .iter()
        .filter(|cell| !any_bread || under_bread(cell))
        .map(|&(r, c)| grid.index(r, c))
        .max_by(|&a, &b| {
            (sign(kind) * rack.contrast[a]).total_cmp(&(sign(kind) * rack.contrast[b]))
        })
        .unwrap_or(0);
    // The strongest of many places, chosen after looking, on a map that holds no pattern finer than the slices.
    let wider = match rack.evidence {
        Evidence::Tested => UNSEEN,
        Evidence::Interpolated => 1.0,
    };
    let (difference, sd) = (rack.contrast[peak], wider * rack.contrast_sd[peak]);
    // A hot zone is not cooler than the rest, however wide its interval.
    let on_its_side = |range: Range| match kind {
        ZoneKind::Hot => Range {
            lo: range.lo.max(0.0),
            ..range
        },
        ZoneKind::Cool => Range {
            hi: range.hi.min(0.0),
            ..range
        },
    };
    Zone {
        rack: rack.rack,
        kind,
        strength: Strength::Probable,
        around: Vec::new(),
        centre,
        area: n * grid.cell_area(),
        probability: zone_probability(fit, rack, kind, &cells, reading),
        peak_shade: on_its_side(reading.shades(difference, sd)),
        peak_c: on_its_side(reading.degrees(difference, sd, rack.level())),
        cells,
    }
}

/// Share of joint samples in which the zone's mean lies noticeably beyond the rack's mean.
fn zone_probability(
    fit: &Fit,
    rack: &RackMap,
    kind: ZoneKind,
    cells: &[(usize, usize)],
    reading: &Reading,
) -> f64 {
    let step = cells.len().div_ceil(POINTS);
    let inside: Vec<_> = cells
        .iter()
        .step_by(step)
        .map(|&(r, c)| (rack.rack, rack.grid.x(c), rack.grid.y(r)))
        .collect();
    let mut points = inside.clone();
    points.extend(lattice(rack.rack, &rack.grid));
    let samples = fit.samples(&points, SAMPLES, reading.seed);
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let limit = reading.noticeable * reading.per_shade;
    let beyond = samples
        .iter()
        .filter(|s| {
            let (zone, all) = s.split_at(inside.len());
            sign(kind) * (mean(zone) - mean(all)) > limit
        })
        .count();
    beyond as f64 / SAMPLES as f64
}

/// Returns points (rack, x, y) spread evenly over a rack, coarse enough to sample jointly.
pub fn lattice(rack: u8, over: &Grid) -> Vec<(u8, f64, f64)> {
    let coarse = Grid {
        cols: 11,
        rows: 9,
        ..*over
    };
    (0..coarse.rows)
        .flat_map(|r| (0..coarse.cols).map(move |c| (rack, coarse.x(c), coarse.y(r))))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_hardly_known_widens_degrees_and_turns_no_sign() {
        let reading = Reading {
            per_shade: 0.135,
            noticeable: 0.5,
            per_c: 0.041,
            per_c_relative_sd: 0.15,
            seed: 1,
        };
        for difference in [0.1, -0.1] {
            let known = reading.degrees(difference, 0.02, (0.4, 0.0));
            let guessed = reading.degrees(difference, 0.02, (0.4, 0.2));
            assert!(guessed.hi - guessed.lo > 1.3 * (known.hi - known.lo));
            assert!(
                known.lo * known.hi > 0.0 && guessed.lo * guessed.hi > 0.0,
                "{guessed:?}"
            );
            assert!(guessed.lo < known.value && known.value < guessed.hi);
        }
        let either = reading.degrees(0.01, 0.05, (0.4, 0.1));
        assert!(either.lo < 0.0 && either.hi > 0.0);
    }
}
