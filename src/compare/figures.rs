//! Figures of both sides over joint samples, and the parts where the change is sure.

use super::{
    change::{Change, ChangedZone},
    fields::Samples,
};
use crate::{
    field::{RackMap, Range, Reading, Strength, ZoneKind, connected_cells},
    numeric::quantile::of_sorted,
};
use std::collections::BTreeSet;

/// Figures of one joint sample: before and after.
type Both = ([f64; 4], [f64; 4]);

/// Level, spread, standard deviation and zone area of one rack position, before and after.
pub(super) struct Figures {
    pub(super) level: Change,
    pub(super) spread: Change,
    pub(super) sd: Change,
    pub(super) zone_area: Change,
}

/// Reads the figures off samples at one level; `scale` brought after to the level of before, and
/// `areas` are those of the racks before and after, sq cm.
pub(super) fn figures(
    samples: &Samples,
    scale: f64,
    areas: (f64, f64),
    reading: &Reading,
) -> Figures {
    let of: Vec<Both> = samples
        .both
        .iter()
        .map(|(b, a)| {
            (
                figures_of(b, 1.0, areas.0, reading),
                figures_of(a, scale, areas.1, reading),
            )
        })
        .collect();
    let change = |k: usize| {
        let range =
            |f: &dyn Fn(&Both) -> f64| Range::of_samples(&of.iter().map(f).collect::<Vec<_>>());
        Change {
            before: range(&|p| p.0[k]),
            after: range(&|p| p.1[k]),
            change: range(&|p| p.1[k] - p.0[k]),
        }
    };
    Figures {
        level: change(0),
        spread: change(1),
        sd: change(2),
        zone_area: change(3),
    }
}

/// Returns the share of the samples in which the standard deviation is smaller after, at one level and as toasted.
pub(super) fn more_even(samples: &Samples, scale: f64) -> (f64, f64) {
    let share = |of_after: f64| {
        let fewer = |(b, a): &&(Vec<f64>, Vec<f64>)| deviation(a) * of_after < deviation(b);
        samples.both.iter().filter(fewer).count() as f64 / samples.both.len() as f64
    };
    (share(1.0), share(1.0 / scale))
}

fn mean(sample: &[f64]) -> f64 {
    sample.iter().sum::<f64>() / sample.len() as f64
}

fn deviation(sample: &[f64]) -> f64 {
    let mean = mean(sample);
    let squares: f64 = sample.iter().map(|b| (b - mean).powi(2)).sum();
    (squares / sample.len() as f64).sqrt()
}

/// Level as toasted, spread and sd (shades), and area that is noticeably off (sq cm) of one sample.
fn figures_of(sample: &[f64], scale: f64, area: f64, reading: &Reading) -> [f64; 4] {
    let mean = mean(sample);
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    let spread = of_sorted(&sorted, 0.95) - of_sorted(&sorted, 0.05);
    let off = sample
        .iter()
        .filter(|&&b| (b - mean).abs() > reading.noticeable * reading.per_shade)
        .count();
    [
        mean / scale / reading.per_shade,
        spread / reading.per_shade,
        deviation(sample) / reading.per_shade,
        off as f64 / sample.len() as f64 * area,
    ]
}

/// Browning below this share of a rack's mean says next to nothing of ratios.
const LEAST_SHARE: f64 = 0.1;

/// Lays a change on the mean level before: at every place the ratio of what each side browns there against
/// its own rack's mean, times that level. What is sure of the change in browning is as sure of it here.
pub(super) fn on_level(
    before: &RackMap,
    after: &RackMap,
    difference: &RackMap,
    per_shade: f64,
) -> RackMap {
    let level = before.rack_mean;
    // a rack paler than one shade is taken as one shade dark, as in `Reading::degrees`
    let share = |map: &RackMap, i: usize| {
        let mean = map.rack_mean.max(per_shade);
        (1.0 + (map.mean[i] - map.rack_mean) / mean).max(LEAST_SHARE)
    };
    let cells = 0..difference.mean.len();
    let ratio: Vec<f64> = cells.map(|i| share(after, i) / share(before, i)).collect();
    let sds = difference.contrast_sd.iter().enumerate();
    let sd: Vec<f64> = sds.map(|(i, sd)| sd / share(before, i)).collect();
    RackMap {
        mean: ratio.iter().map(|r| level * r).collect(),
        contrast: ratio.iter().map(|r| level * (r - 1.0)).collect(),
        sd: sd.clone(),
        contrast_sd: sd,
        rack_mean: level,
        rack_mean_sd: before.rack_mean_sd,
        ..difference.clone()
    }
}

/// Finds where the pattern changed, plainly or probably, largest first; `degrees` is the change laid on the level before.
pub(super) fn changed_zones(
    difference: &RackMap,
    degrees: &RackMap,
    reading: &Reading,
) -> Vec<ChangedZone> {
    let grid = difference.grid;
    let mut out: Vec<ChangedZone> = [ZoneKind::Hot, ZoneKind::Cool]
        .into_iter()
        .flat_map(|kind| {
            let cells_of =
                |strength| connected_cells(difference, kind, strength, reading).into_iter();
            let plain: BTreeSet<(usize, usize)> = cells_of(Strength::Plain).flatten().collect();
            cells_of(Strength::Probable).map(move |cells| {
                let strength = if cells.iter().any(|c| plain.contains(c)) {
                    Strength::Plain
                } else {
                    Strength::Probable
                };
                let told = |c: &(usize, usize)| strength == Strength::Probable || plain.contains(c);
                let cells: Vec<_> = cells.into_iter().filter(told).collect();
                (kind, strength, cells)
            })
        })
        .map(|(kind, strength, cells)| {
            let n = cells.len() as f64;
            let peak = cells
                .iter()
                .map(|&(row, col)| grid.index(row, col))
                .max_by(|&i, &j| {
                    difference.contrast[i]
                        .abs()
                        .total_cmp(&difference.contrast[j].abs())
                })
                .unwrap_or(0);
            let (value, sd) = (difference.contrast[peak], difference.contrast_sd[peak]);
            ChangedZone {
                kind,
                strength,
                centre: (
                    cells.iter().map(|&(_, c)| grid.x(c)).sum::<f64>() / n,
                    cells.iter().map(|&(r, _)| grid.y(r)).sum::<f64>() / n,
                ),
                area: n * grid.cell_area(),
                peak_shade: reading.shades(value, sd),
                peak_c: reading.degrees(
                    degrees.contrast[peak],
                    degrees.contrast_sd[peak],
                    degrees.level(),
                ),
            }
        })
        .collect();
    out.sort_by(|a, b| b.area.total_cmp(&a.area));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{field::Evidence, geometry::Grid};

    fn map(contrast: [f64; 2], sd: f64, rack_mean: f64) -> RackMap {
        RackMap {
            rack: 4,
            evidence: Evidence::Tested,
            grid: Grid::new(2, 1, 60.0, 45.0),
            mean: contrast.map(|c| rack_mean + c).to_vec(),
            sd: vec![sd; 2],
            contrast: contrast.to_vec(),
            contrast_sd: vec![sd; 2],
            rack_mean,
            rack_mean_sd: 0.05,
        }
    }

    /// Else one change was nothing in shades and told in degrees.
    #[test]
    fn a_change_is_as_sure_in_degrees_as_in_shades() {
        let before = map([0.2, -0.2], 0.03, 0.6);
        let after = map([0.05, -0.05], 0.03, 0.6);
        let difference = map([-0.15, 0.15], 0.1, 0.0);
        let degrees = on_level(&before, &after, &difference, 0.135);
        for i in 0..2 {
            let sure = |map: &RackMap| map.contrast[i] / map.contrast_sd[i];
            assert!((sure(&degrees) - sure(&difference)).abs() < 1e-9, "{i}");
        }
    }
}
