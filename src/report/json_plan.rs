//! A plan as JSON: the keys of the command line contract.

use crate::{
    model::{Alternative, DialStep, Plan, Segment, TrayPlacement, Yardstick},
    units::TemperatureUnit,
};
use serde::Serialize;

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

#[derive(Debug, Serialize)]
struct SegmentJson {
    from_min: f64,
    to_min: f64,
    browning_share: f64,
    trays: Vec<TrayJson>,
}

#[derive(Debug, Serialize)]
struct TrayJson {
    tray: usize,
    rack: u8,
    turned: bool,
    /// Right of the cavity's centre, and behind it.
    shift_cm: [f64; 2],
}

#[derive(Debug, Serialize)]
struct DialJson {
    setting_c: f64,
    setting_f: f64,
}

#[derive(Debug, Serialize)]
struct StepJson {
    what: String,
    to_c: f64,
}

#[derive(Debug, Serialize)]
struct YardstickJson {
    spread_shade: f64,
    spread_shade_lo: f64,
    spread_shade_hi: f64,
    sd_shade: f64,
    sd_shade_lo: f64,
    sd_shade_hi: f64,
    bake_min: f64,
}

#[derive(Debug, Serialize)]
struct AlternativeJson {
    openings: usize,
    #[serde(flatten)]
    evenness: YardstickJson,
    segments: Vec<SegmentJson>,
}

impl From<&TrayPlacement> for TrayJson {
    fn from(tray: &TrayPlacement) -> Self {
        Self {
            tray: tray.tray,
            rack: tray.rack,
            turned: tray.turned,
            shift_cm: [tray.shift_x.0, tray.shift_y.0],
        }
    }
}

impl From<&Segment> for SegmentJson {
    fn from(segment: &Segment) -> Self {
        Self {
            from_min: segment.from.0,
            to_min: segment.to.0,
            browning_share: segment.share,
            trays: segment.trays.iter().map(Into::into).collect(),
        }
    }
}

impl From<Yardstick> for YardstickJson {
    fn from(y: Yardstick) -> Self {
        Self {
            spread_shade: y.spread,
            spread_shade_lo: y.spread_range.0,
            spread_shade_hi: y.spread_range.1,
            sd_shade: y.sd,
            sd_shade_lo: y.sd_range.0,
            sd_shade_hi: y.sd_range.1,
            bake_min: y.minutes.0,
        }
    }
}

impl From<&Alternative> for AlternativeJson {
    fn from(a: &Alternative) -> Self {
        Self {
            openings: a.openings,
            evenness: a.evenness.into(),
            segments: a.segments.iter().map(Into::into).collect(),
        }
    }
}

impl From<&DialStep> for StepJson {
    fn from(step: &DialStep) -> Self {
        Self {
            what: step.what.clone(),
            to_c: step.to.0,
        }
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
