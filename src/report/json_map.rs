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

formed! {
    #[derive(Debug, Serialize)]
    struct RackJson from r: (&RackMap, f64, Vec<ZoneJson>, Option<EvennessJson>) {
        rack: u8 = r.0.rack,
        evidence: &'static str = match r.0.evidence {
            Evidence::Tested => "tested",
            Evidence::Interpolated => "interpolated",
        },
        grid: GridJson = (&r.0.grid).into(),
        rack_mean_browning: f64 = r.0.rack_mean,
        rack_mean_browning_sd: f64 = r.0.rack_mean_sd,
        browning_mean: Vec<Vec<f64>> = grid_rows(&r.0.grid, &|i| r.0.mean[i]),
        browning_sd: Vec<Vec<f64>> = grid_rows(&r.0.grid, &|i| r.0.sd[i]),
        lightness_mean: Vec<Vec<f64>> = grid_rows(&r.0.grid, &|i| lightness(r.0.mean[i], r.1)),
        // More browning is less light.
        lightness_lo: Vec<Vec<f64>> = grid_rows(&r.0.grid, &|i| lightness(r.0.interval(i).hi, r.1)),
        lightness_hi: Vec<Vec<f64>> = grid_rows(&r.0.grid, &|i| lightness(r.0.interval(i).lo, r.1)),
        zones: Vec<ZoneJson> = r.2,
        evenness: Option<EvennessJson> = r.3,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    pub(super) struct GridJson from grid: &Grid {
        cols: usize = grid.cols,
        rows: usize = grid.rows,
    }
}

formed! {
    /// Made of a zone and the rack's width and depth.
    #[derive(Debug, Clone, Serialize)]
    struct ZoneJson from z: (&Zone, f64, f64) {
        rack: u8 = z.0.rack,
        kind: &'static str = match z.0.kind {
            ZoneKind::Hot => "hot",
            ZoneKind::Cool => "cool",
        },
        strength: &'static str = z.0.strength.key(),
        name: &'static str = PlaceName::of(z.0.centre.0, z.0.centre.1, z.1, z.2).words(),
        centre_cm: [f64; 2] = z.0.centre.into(),
        area_cm2: f64 = z.0.area,
        probability: f64 = z.0.probability,
        peak_shade: f64 = z.0.peak_shade.value,
        peak_shade_lo: f64 = z.0.peak_shade.lo,
        peak_shade_hi: f64 = z.0.peak_shade.hi,
        peak_c: f64 = z.0.peak_c.value,
        peak_c_lo: f64 = z.0.peak_c.lo,
        peak_c_hi: f64 = z.0.peak_c.hi,
        cells: Vec<[usize; 2]> = z.0.cells.iter().copied().map(Into::into).collect(),
        around: Vec<[usize; 2]> = z.0.around.iter().copied().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, Serialize)]
    struct EvennessJson from e: &Evenness {
        rack: u8 = e.rack,
        spread_shade: RangeJson = e.spread.into(),
        sd_shade: RangeJson = e.sd.into(),
        sd_c: RangeJson = e.sd_c.into(),
        within_half_shade: RangeJson = e.within_half.into(),
        relative_sd: f64 = e.relative_sd,
    }
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
        let zones = parts.zones.iter().map(|z| (z, width, depth).into());
        let zones: Vec<ZoneJson> = zones.collect();
        let evenness: Vec<EvennessJson> = parts.evenness.iter().map(Into::into).collect();
        let racks = parts.map.racks.iter().map(|rack| {
            let own = zones.iter().filter(|z| z.rack == rack.rack).cloned();
            let even = evenness.iter().find(|e| e.rack == rack.rack).cloned();
            (rack, parts.untoasted, own.collect(), even).into()
        });
        let racks = racks.collect();
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

/// The interval of a nearly white slice reaches beyond white; L* does not.
fn lightness(browning: f64, untoasted: f64) -> f64 {
    Browning(browning).lightness(untoasted).clamp(0.0, 100.0)
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
