//! A plan as JSON: the keys of the command line contract.

use crate::model::formed::formed;
use crate::{
    model::{Alternative, DialStep, Plan, Segment, TrayPlacement, Yardstick},
    units::{Celsius, TemperatureUnit},
};
use serde::Serialize;

formed! {
    /// A plan with the sentences beside it and what stands against trusting it.
    #[derive(Debug, Serialize)]
    pub struct PlanJson from told: (&Plan, Vec<String>, Vec<String>) {
        kind: String = told.0.kind.clone(),
        /// Name of the baker's own recipe; null for the kind itself.
        recipe: Option<String> = told.0.recipe.as_ref().map(|r| r.name.clone()),
        segments: Vec<SegmentJson> = told.0.segments.iter().map(Into::into).collect(),
        /// Door openings.
        openings: usize = told.0.segments.len().saturating_sub(1),
        bake_min: f64 = told.0.bake.0,
        dial: DialJson = told.0.dial.into(),
        steps_to_dial: Vec<StepJson> = told.0.steps_to_dial.iter().map(Into::into).collect(),
        spread_shade: f64 = told.0.evenness.spread,
        spread_shade_lo: f64 = told.0.evenness.spread_range.0,
        spread_shade_hi: f64 = told.0.evenness.spread_range.1,
        sd_shade: f64 = told.0.evenness.sd,
        sd_shade_lo: f64 = told.0.evenness.sd_range.0,
        sd_shade_hi: f64 = told.0.evenness.sd_range.1,
        unturned: YardstickJson = told.0.unturned.into(),
        halfway: YardstickJson = told.0.halfway.into(),
        alternatives: Vec<AlternativeJson> = told.0.alternatives.iter().map(Into::into).collect(),
        advice: Vec<String> = told.1,
        warnings: Vec<String> = told.2,
    }
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

formed! {
    #[derive(Debug, Serialize)]
    struct DialJson from dial: Celsius {
        setting_c: f64 = dial.0,
        setting_f: f64 = TemperatureUnit::Fahrenheit.figure(dial),
    }
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
        (plan, advice, warnings).into()
    }
}
