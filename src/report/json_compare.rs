//! Before and after as JSON: the keys of the command line contract.

use super::json_map::{GridJson, RangeJson, grid_rows};
use crate::model::formed::formed;
use crate::{
    compare::{Basis, Change, ChangedZone, Comparison, PairedTests, RackComparison, Settle},
    field::ZoneKind,
    geometry::Grid,
    model::{PlaceName, TestId, shade::browning_per_shade},
};
use serde::Serialize;

/// What changed on every rack position tested before and after.
#[derive(Debug, Serialize)]
pub struct CompareJson {
    /// `same-places` (pair by pair) or `apart` (the difference of two maps).
    basis: &'static str,
    /// The tests that count on each side; none where bare samples are compared.
    tests_before: Vec<String>,
    tests_after: Vec<String>,
    racks: Vec<RackJson>,
    findings: Vec<String>,
    warnings: Vec<String>,
}

formed! {
    #[derive(Debug, Serialize)]
    struct RackJson from rack: &RackComparison {
        rack: u8 = rack.rack,
        verdict: &'static str = rack.verdict.key(),
        /// Of the verdict; of the likelier side where no change can be told.
        probability: f64 = rack.probability(),
        /// Probability asked for to say `better` or `worse`.
        told_from_probability: f64 = rack.told_from,
        /// Whichever way the level changed: the one of the next two that says less, 0.5 where they contradict each other.
        probability_more_even: f64 = rack.more_even,
        /// If the level changed by a factor.
        probability_more_even_by_factor: f64 = rack.more_even_ways.0,
        /// If the level changed alike everywhere.
        probability_more_even_by_step: f64 = rack.more_even_ways.1,
        hangs_on_level: bool = rack.hangs_on_level,
        level_change_shade: f64 = rack.level.change.value,
        level_change_shade_lo: f64 = rack.level.change.lo,
        level_change_shade_hi: f64 = rack.level.change.hi,
        spread_change_shade: f64 = rack.spread.change.value,
        spread_change_shade_lo: f64 = rack.spread.change.lo,
        spread_change_shade_hi: f64 = rack.spread.change.hi,
        sd_change_shade: f64 = rack.sd.change.value,
        sd_change_shade_lo: f64 = rack.sd.change.lo,
        sd_change_shade_hi: f64 = rack.sd.change.hi,
        zone_area_change_cm2: f64 = rack.zone_area.change.value,
        zone_area_change_cm2_lo: f64 = rack.zone_area.change.lo,
        zone_area_change_cm2_hi: f64 = rack.zone_area.change.hi,
        level_shade: SidesJson = (&rack.level).into(),
        spread_shade: SidesJson = (&rack.spread).into(),
        sd_shade: SidesJson = (&rack.sd).into(),
        zone_area_cm2: SidesJson = (&rack.zone_area).into(),
        grid: GridJson = (&rack.difference.grid).into(),
        /// Shades, after minus before at one level, against the rack's own mean; row 0 at the back.
        difference_mean: Vec<Vec<f64>> = in_shades(&rack.difference.grid, &rack.difference.contrast),
        /// Standard deviation of `difference_mean`, shades.
        difference_sd: Vec<Vec<f64>> = in_shades(&rack.difference.grid, &rack.difference.contrast_sd),
        changed_zones: Vec<ZoneJson> = rack.zones.iter().map(|z| (z, &rack.difference.grid).into()).collect(),
        paired: Option<PairedJson> = rack.paired.as_ref().map(Into::into),
        to_settle: Option<SettleJson> = rack.settle.as_ref().map(Into::into),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct SidesJson from change: &Change {
        before: RangeJson = change.before.into(),
        after: RangeJson = change.after.into(),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct ZoneJson from z: (&ChangedZone, &Grid) {
        browns: &'static str = match z.0.kind {
            ZoneKind::Hot => "more",
            ZoneKind::Cool => "less",
        },
        /// How firmly it is told.
        strength: &'static str = z.0.strength.key(),
        name: &'static str = PlaceName::of(z.0.centre.0, z.0.centre.1, z.1.width, z.1.depth).words(),
        centre_cm: [f64; 2] = z.0.centre.into(),
        area_cm2: f64 = z.0.area,
        peak_shade: RangeJson = z.0.peak_shade.into(),
        peak_c: RangeJson = z.0.peak_c.into(),
    }
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
    /// Takes a comparison, the tests of both sides, and the sentences beside it.
    pub fn new(
        comparison: &Comparison,
        (before, after): &(Vec<TestId>, Vec<TestId>),
        (findings, warnings): (&[String], Vec<String>),
    ) -> Self {
        let ids = |tests: &[TestId]| tests.iter().map(TestId::to_string).collect();
        Self {
            basis: match comparison.basis {
                Basis::SamePlaces => "same-places",
                Basis::Apart => "apart",
            },
            tests_before: ids(before),
            tests_after: ids(after),
            racks: comparison.racks.iter().map(Into::into).collect(),
            findings: findings.to_vec(),
            warnings,
        }
    }
}

fn in_shades(grid: &Grid, browning: &[f64]) -> Vec<Vec<f64>> {
    grid_rows(grid, &|i| browning[i] / browning_per_shade())
}
