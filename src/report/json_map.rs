//! A map as JSON: the keys of the command line contract.

use crate::model::formed::formed;
use crate::{
    field::{Evenness, Evidence, FieldMap, RackMap, Range, Zone, ZoneKind},
    geometry::Grid,
    model::{Browning, PlaceName},
};
use serde::Serialize;

/// The maps of every rack position with their zones.
#[derive(Debug, Serialize)]
pub struct MapJson {
    width_cm: f64,
    depth_cm: f64,
    /// Lightness of an untoasted slice.
    untoasted_lightness: f64,
    racks: Vec<RackJson>,
    /// Every zone, rack by rack.
    zones: Vec<ZoneJson>,
    evenness: Vec<EvennessJson>,
    /// Slice-to-slice scatter, in browning.
    noise_sd: f64,
    findings: Vec<String>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct RackJson {
    rack: u8,
    evidence: &'static str,
    grid: GridJson,
    rack_mean_browning: f64,
    rack_mean_browning_sd: f64,
    browning_mean: Vec<Vec<f64>>,
    browning_sd: Vec<Vec<f64>>,
    lightness_mean: Vec<Vec<f64>>,
    lightness_lo: Vec<Vec<f64>>,
    lightness_hi: Vec<Vec<f64>>,
    zones: Vec<ZoneJson>,
    evenness: Option<EvennessJson>,
}

#[derive(Debug, Serialize)]
pub(super) struct GridJson {
    pub(super) cols: usize,
    pub(super) rows: usize,
}

#[derive(Debug, Clone, Serialize)]
struct ZoneJson {
    rack: u8,
    kind: &'static str,
    strength: &'static str,
    name: &'static str,
    centre_cm: [f64; 2],
    area_cm2: f64,
    probability: f64,
    peak_shade: f64,
    peak_shade_lo: f64,
    peak_shade_hi: f64,
    peak_c: f64,
    peak_c_lo: f64,
    peak_c_hi: f64,
    cells: Vec<[usize; 2]>,
    around: Vec<[usize; 2]>,
}

#[derive(Debug, Clone, Serialize)]
struct EvennessJson {
    rack: u8,
    spread_shade: RangeJson,
    sd_shade: RangeJson,
    sd_c: RangeJson,
    within_half_shade: RangeJson,
    relative_sd: f64,
}

formed! {
    #[derive(Debug, Clone, Serialize)]
    pub(super) struct RangeJson from range: Range {
        value: f64 = range.value,
        lo: f64 = range.lo,
        hi: f64 = range.hi,
    }
}

/// What a map is written from.
#[derive(Debug, Clone, Copy)]
pub struct MapParts<'m> {
    /// The maps.
    pub map: &'m FieldMap,
    /// Hot and cool zones.
    pub zones: &'m [Zone],
    /// Evenness of each rack.
    pub evenness: &'m [Evenness],
    /// Lightness L* of an untoasted slice.
    pub untoasted: f64,
}

impl MapJson {
    /// Takes a map and the sentences beside it.
    pub fn new(parts: MapParts<'_>, findings: &[String], warnings: Vec<String>) -> Self {
        let (width, depth) = parts
            .map
            .racks
            .first()
            .map_or((0.0, 0.0), |r| (r.grid.width, r.grid.depth));
        let zones: Vec<ZoneJson> = parts
            .zones
            .iter()
            .map(|zone| zone_json(zone, width, depth))
            .collect();
        let evenness: Vec<EvennessJson> = parts.evenness.iter().map(evenness_json).collect();
        let racks = parts
            .map
            .racks
            .iter()
            .map(|rack| RackJson {
                zones: zones
                    .iter()
                    .filter(|z| z.rack == rack.rack)
                    .cloned()
                    .collect(),
                evenness: evenness.iter().find(|e| e.rack == rack.rack).cloned(),
                ..rack_json(rack, parts.untoasted)
            })
            .collect();
        Self {
            width_cm: width,
            depth_cm: depth,
            untoasted_lightness: parts.untoasted,
            racks,
            zones,
            evenness,
            noise_sd: parts.map.noise_sd,
            findings: findings.to_vec(),
            warnings,
        }
    }
}

/// Returns a figure of every cell, row by row from the back.
pub(super) fn grid_rows(grid: &Grid, value: &dyn Fn(usize) -> f64) -> Vec<Vec<f64>> {
    (0..grid.rows)
        .map(|row| {
            (0..grid.cols)
                .map(|col| value(grid.index(row, col)))
                .collect()
        })
        .collect()
}

fn rack_json(rack: &RackMap, untoasted: f64) -> RackJson {
    let rows = |value: &dyn Fn(usize) -> f64| grid_rows(&rack.grid, value);
    // The interval of a nearly white slice reaches beyond white; L* does not.
    let lightness = |b: f64| Browning(b).lightness(untoasted).clamp(0.0, 100.0);
    RackJson {
        rack: rack.rack,
        evidence: match rack.evidence {
            Evidence::Tested => "tested",
            Evidence::Interpolated => "interpolated",
        },
        grid: GridJson {
            cols: rack.grid.cols,
            rows: rack.grid.rows,
        },
        rack_mean_browning: rack.rack_mean,
        rack_mean_browning_sd: rack.rack_mean_sd,
        browning_mean: rows(&|i| rack.mean[i]),
        browning_sd: rows(&|i| rack.sd[i]),
        lightness_mean: rows(&|i| lightness(rack.mean[i])),
        // More browning is less light.
        lightness_lo: rows(&|i| lightness(rack.interval(i).hi)),
        lightness_hi: rows(&|i| lightness(rack.interval(i).lo)),
        zones: Vec::new(),
        evenness: None,
    }
}

fn zone_json(zone: &Zone, width: f64, depth: f64) -> ZoneJson {
    let (x, y) = zone.centre;
    let cells = |set: &[(usize, usize)]| set.iter().map(|&(row, col)| [row, col]).collect();
    ZoneJson {
        rack: zone.rack,
        kind: match zone.kind {
            ZoneKind::Hot => "hot",
            ZoneKind::Cool => "cool",
        },
        strength: zone.strength.key(),
        name: PlaceName::of(x, y, width, depth).words(),
        centre_cm: [x, y],
        area_cm2: zone.area,
        probability: zone.probability,
        peak_shade: zone.peak_shade.value,
        peak_shade_lo: zone.peak_shade.lo,
        peak_shade_hi: zone.peak_shade.hi,
        peak_c: zone.peak_c.value,
        peak_c_lo: zone.peak_c.lo,
        peak_c_hi: zone.peak_c.hi,
        cells: cells(&zone.cells),
        around: cells(&zone.around),
    }
}

fn evenness_json(e: &Evenness) -> EvennessJson {
    EvennessJson {
        rack: e.rack,
        spread_shade: e.spread.into(),
        sd_shade: e.sd.into(),
        sd_c: e.sd_c.into(),
        within_half_shade: e.within_half.into(),
        relative_sd: e.relative_sd,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::json::JsonResult;

    fn one_rack() -> RackMap {
        let grid = Grid::new(2, 2, 40.0, 30.0);
        RackMap::tested(2, grid, vec![0.1, 0.2, 0.3, 0.4], vec![0.01; 4])
    }

    #[test]
    fn rows_start_at_the_back_and_lightness_falls_with_browning() {
        let map = FieldMap {
            racks: vec![one_rack()],
            noise_sd: 0.03,
        };
        let parts = MapParts {
            map: &map,
            zones: &[],
            evenness: &[],
            untoasted: 84.0,
        };
        let text = MapJson::new(parts, &[], Vec::new()).to_json_text().unwrap();
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        let rack = &value["racks"][0];
        assert_eq!(
            rack["browning_mean"],
            serde_json::json!([[0.1, 0.2], [0.3, 0.4]])
        );
        let light = |key: &str| rack[key][0][0].as_f64().unwrap();
        // 84 exp(-0.1) = 76.006; the ends of the interval 1.645 sd of 0.01 either way.
        assert!((light("lightness_mean") - 76.006).abs() < 1e-3);
        assert!(
            (light("lightness_lo") - 74.766).abs() < 2e-3,
            "{}",
            light("lightness_lo")
        );
        assert!(
            (light("lightness_hi") - 77.267).abs() < 2e-3,
            "{}",
            light("lightness_hi")
        );
        assert_eq!(value["noise_sd"], 0.03);
    }
}
