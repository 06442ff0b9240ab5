//! A plan as JSON: the keys of the command line contract.

use crate::model::formed::formed;
use crate::{
    model::{Alternative, DialStep, Plan, Segment, TrayPlacement, Yardstick},
    units::TemperatureUnit,
};
use serde::Serialize;

/// A plan.
#[derive(Debug, Serialize)]
pub struct PlanJson {
    kind: String,
    /// Name of the baker's own recipe; null for the kind itself.
    recipe: Option<String>,
    segments: Vec<SegmentJson>,
    /// Door openings.
    openings: usize,
    bake_min: f64,
    dial: DialJson,
    steps_to_dial: Vec<StepJson>,
    spread_shade: f64,
    spread_shade_lo: f64,
    spread_shade_hi: f64,
    sd_shade: f64,
    sd_shade_lo: f64,
    sd_shade_hi: f64,
    unturned: YardstickJson,
    halfway: YardstickJson,
    alternatives: Vec<AlternativeJson>,
    advice: Vec<String>,
    warnings: Vec<String>,
}

formed! {
    #[derive(Debug, Serialize)]
    struct SegmentJson from segment: &Segment {
        from_min: f64 = segment.from.0,
        to_min: f64 = segment.to.0,
        browning_share: f64 = segment.share,
        trays: Vec<TrayJson> = segment.trays.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct TrayJson from tray: &TrayPlacement {
        tray: usize = tray.tray,
        rack: u8 = tray.rack,
        turned: bool = tray.turned,
        /// Right of the cavity's centre, and behind it.
        shift_cm: [f64; 2] = [tray.shift_x.0, tray.shift_y.0],
    }
}

#[derive(Debug, Serialize)]
struct DialJson {
    setting_c: f64,
    setting_f: f64,
}

formed! {
    #[derive(Debug, Serialize)]
    struct StepJson from step: &DialStep {
        what: String = step.what.clone(),
        to_c: f64 = step.to.0,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct YardstickJson from y: Yardstick {
        spread_shade: f64 = y.spread,
        spread_shade_lo: f64 = y.spread_range.0,
        spread_shade_hi: f64 = y.spread_range.1,
        sd_shade: f64 = y.sd,
        sd_shade_lo: f64 = y.sd_range.0,
        sd_shade_hi: f64 = y.sd_range.1,
        bake_min: f64 = y.minutes.0,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct AlternativeJson from a: &Alternative {
        openings: usize = a.openings,
        #[serde(flatten)]
        evenness: YardstickJson = a.evenness.into(),
        segments: Vec<SegmentJson> = a.segments.iter().map(Into::into).collect(),
    }
}

impl PlanJson {
    /// Writes a plan with the sentences beside it and what stands against trusting it.
    pub fn new(plan: &Plan, advice: Vec<String>, warnings: Vec<String>) -> Self {
        Self {
            kind: plan.kind.clone(),
            recipe: plan.recipe.as_ref().map(|r| r.name.clone()),
            segments: plan.segments.iter().map(Into::into).collect(),
            openings: plan.segments.len().saturating_sub(1),
            bake_min: plan.bake.0,
            dial: DialJson {
                setting_c: plan.dial.0,
                setting_f: TemperatureUnit::Fahrenheit.figure(plan.dial),
            },
            steps_to_dial: plan.steps_to_dial.iter().map(Into::into).collect(),
            spread_shade: plan.evenness.spread,
            spread_shade_lo: plan.evenness.spread_range.0,
            spread_shade_hi: plan.evenness.spread_range.1,
            sd_shade: plan.evenness.sd,
            sd_shade_lo: plan.evenness.sd_range.0,
            sd_shade_hi: plan.evenness.sd_range.1,
            unturned: plan.unturned.into(),
            halfway: plan.halfway.into(),
            alternatives: plan.alternatives.iter().map(Into::into).collect(),
            advice,
            warnings,
        }
    }
}
