//! Before and after as JSON: the keys of the command line contract.

use super::json_map::{GridJson, RangeJson, grid_rows};
use crate::model::formed::formed;
use crate::{
    compare::{Basis, Change, ChangedZone, Comparison, PairedTests, RackComparison, Settle},
    field::ZoneKind,
    model::{PlaceName, shade::browning_per_shade},
};
use serde::Serialize;

/// What changed on every rack position tested before and after.
#[derive(Debug, Serialize)]
pub struct CompareJson {
    /// `same-places` (pair by pair) or `apart` (the difference of two maps).
    basis: &'static str,
    racks: Vec<RackJson>,
    findings: Vec<String>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct RackJson {
    rack: u8,
    verdict: &'static str,
    /// Of the verdict; of the likelier side where no change can be told.
    probability: f64,
    /// Probability asked for to say `better` or `worse`.
    told_from_probability: f64,
    /// Whichever way the level changed: the one of the next two that says less, 0.5 where they contradict each other.
    probability_more_even: f64,
    /// If the level changed by a factor.
    probability_more_even_by_factor: f64,
    /// If the level changed alike everywhere.
    probability_more_even_by_step: f64,
    hangs_on_level: bool,
    level_change_shade: f64,
    level_change_shade_lo: f64,
    level_change_shade_hi: f64,
    spread_change_shade: f64,
    spread_change_shade_lo: f64,
    spread_change_shade_hi: f64,
    sd_change_shade: f64,
    sd_change_shade_lo: f64,
    sd_change_shade_hi: f64,
    zone_area_change_cm2: f64,
    zone_area_change_cm2_lo: f64,
    zone_area_change_cm2_hi: f64,
    level_shade: SidesJson,
    spread_shade: SidesJson,
    sd_shade: SidesJson,
    zone_area_cm2: SidesJson,
    grid: GridJson,
    /// Shades, after minus before at one level, against the rack's own mean; row 0 at the back.
    difference_mean: Vec<Vec<f64>>,
    /// Standard deviation of `difference_mean`, shades.
    difference_sd: Vec<Vec<f64>>,
    changed_zones: Vec<ZoneJson>,
    paired: Option<PairedJson>,
    to_settle: Option<SettleJson>,
}

formed! {
    #[derive(Debug, Serialize)]
    struct SidesJson from change: &Change {
        before: RangeJson = change.before.into(),
        after: RangeJson = change.after.into(),
    }
}

#[derive(Debug, Serialize)]
struct ZoneJson {
    browns: &'static str,
    name: &'static str,
    centre_cm: [f64; 2],
    area_cm2: f64,
    peak_shade: RangeJson,
    peak_c: RangeJson,
}

formed! {
    /// Differences before minus after, level included.
    #[derive(Debug, Serialize)]
    struct PairedJson from tests: &PairedTests {
        /// `null` where every pair differs by the same.
        t: Option<f64> = tests.t,
        p: f64 = tests.p,
        w: f64 = tests.w,
        p_w: f64 = tests.p_w,
        n: usize = tests.n,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct SettleJson from settle: &Settle {
        detectable_sd_change_shade: f64 = settle.detectable_sd / browning_per_shade(),
        more_tests_after: Option<u32> = settle.more_after,
        more_tests_on_both_sides: Option<u32> = settle.more_on_both,
    }
}

impl CompareJson {
    /// Takes a comparison and the sentences beside it.
    pub fn new(comparison: &Comparison, findings: &[String], warnings: Vec<String>) -> Self {
        Self {
            basis: match comparison.basis {
                Basis::SamePlaces => "same-places",
                Basis::Apart => "apart",
            },
            racks: comparison.racks.iter().map(rack_json).collect(),
            findings: findings.to_vec(),
            warnings,
        }
    }
}

fn rack_json(rack: &RackComparison) -> RackJson {
    let per_shade = browning_per_shade();
    let difference = &rack.difference;
    let (level, spread, sd) = (rack.level.change, rack.spread.change, rack.sd.change);
    let area = rack.zone_area.change;
    RackJson {
        rack: rack.rack,
        verdict: rack.verdict.key(),
        probability: rack.probability(),
        told_from_probability: rack.told_from,
        probability_more_even: rack.more_even,
        probability_more_even_by_factor: rack.more_even_ways.0,
        probability_more_even_by_step: rack.more_even_ways.1,
        hangs_on_level: rack.hangs_on_level,
        level_change_shade: level.value,
        level_change_shade_lo: level.lo,
        level_change_shade_hi: level.hi,
        spread_change_shade: spread.value,
        spread_change_shade_lo: spread.lo,
        spread_change_shade_hi: spread.hi,
        sd_change_shade: sd.value,
        sd_change_shade_lo: sd.lo,
        sd_change_shade_hi: sd.hi,
        zone_area_change_cm2: area.value,
        zone_area_change_cm2_lo: area.lo,
        zone_area_change_cm2_hi: area.hi,
        level_shade: (&rack.level).into(),
        spread_shade: (&rack.spread).into(),
        sd_shade: (&rack.sd).into(),
        zone_area_cm2: (&rack.zone_area).into(),
        grid: GridJson {
            cols: difference.grid.cols,
            rows: difference.grid.rows,
        },
        difference_mean: grid_rows(&difference.grid, &|i| difference.contrast[i] / per_shade),
        difference_sd: grid_rows(&difference.grid, &|i| difference.contrast_sd[i] / per_shade),
        changed_zones: rack
            .zones
            .iter()
            .map(|zone| zone_json(zone, difference.grid.width, difference.grid.depth))
            .collect(),
        paired: rack.paired.as_ref().map(PairedJson::from),
        to_settle: rack.settle.as_ref().map(SettleJson::from),
    }
}

fn zone_json(zone: &ChangedZone, width: f64, depth: f64) -> ZoneJson {
    let (x, y) = zone.centre;
    ZoneJson {
        browns: match zone.kind {
            ZoneKind::Hot => "more",
            ZoneKind::Cool => "less",
        },
        name: PlaceName::of(x, y, width, depth).words(),
        centre_cm: [x, y],
        area_cm2: zone.area,
        peak_shade: zone.peak_shade.into(),
        peak_c: zone.peak_c.into(),
    }
}
