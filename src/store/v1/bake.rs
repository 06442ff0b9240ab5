//! The stored form of a bake log.

use super::{
    FormError, date_time, plan::PlanForm, within, words as to_form_error, words::ModeForm,
};
use crate::{
    model::{BakeId, BakeLog, DoorOpening, OvenId, Shade},
    units::Minutes,
};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct BakeForm {
    pub(super) version: u32,
    id: String,
    oven: String,
    mode: ModeForm,
    kind: String,
    started: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    baked_min: Option<f64>,
    openings: Vec<OpeningForm>,
    outcome: Vec<OutcomeForm>,
    #[serde(default)]
    note: String,
    plan: PlanForm,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OpeningForm {
    at_min: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    open_for_min: Option<f64>,
    what: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OutcomeForm {
    tray: usize,
    shade: f64,
}

impl From<&BakeLog> for BakeForm {
    fn from(bake: &BakeLog) -> Self {
        Self {
            version: 1,
            id: bake.id.to_string(),
            oven: bake.oven.to_string(),
            mode: bake.mode.into(),
            kind: bake.kind.clone(),
            started: bake.started.to_string(),
            baked_min: bake.baked.map(|m| m.0),
            openings: bake
                .openings
                .iter()
                .map(|o| OpeningForm {
                    at_min: o.at.0,
                    open_for_min: o.open_for.map(|m| m.0),
                    what: o.what.clone(),
                })
                .collect(),
            outcome: bake
                .outcome
                .iter()
                .map(|&(tray, shade)| OutcomeForm {
                    tray,
                    shade: shade.value(),
                })
                .collect(),
            note: bake.note.clone(),
            plan: (&bake.plan).into(),
        }
    }
}

impl TryFrom<BakeForm> for BakeLog {
    type Error = FormError;

    fn try_from(form: BakeForm) -> Result<Self, FormError> {
        let minutes = |name, m| within(name, m, 0.0, 6000.0).map(Minutes);
        Ok(Self {
            id: BakeId::new(&form.id).map_err(to_form_error)?,
            oven: OvenId::new(&form.oven).map_err(to_form_error)?,
            mode: form.mode.into(),
            kind: form.kind,
            started: date_time("started", &form.started)?,
            plan: form.plan.try_into()?,
            openings: form
                .openings
                .into_iter()
                .map(|o| {
                    Ok(DoorOpening {
                        at: minutes("openings.at_min", o.at_min)?,
                        open_for: o
                            .open_for_min
                            .map(|m| minutes("openings.open_for_min", m))
                            .transpose()?,
                        what: o.what,
                    })
                })
                .collect::<Result<_, FormError>>()?,
            baked: form
                .baked_min
                .map(|m| minutes("baked_min", m))
                .transpose()?,
            outcome: form
                .outcome
                .into_iter()
                .map(|o| Ok((o.tray, Shade::from_value(o.shade).map_err(to_form_error)?)))
                .collect::<Result<_, FormError>>()?,
            note: form.note,
        })
    }
}
