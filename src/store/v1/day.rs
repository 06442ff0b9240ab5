//! The stored form of a baking day that was begun: what is left of it outlives the program.

use super::{
    form::{FormError, RECIPES, moment, to_form_error, within},
    plan::PlanForm,
    words::ModeForm,
};
use crate::{
    model::{
        BakeId, OvenId, Shade,
        day::{BakingDay, Batch},
        formed::formed,
        id::DayId,
    },
    units::Minutes,
};
use serde::{Deserialize, Serialize};

/// Latest minute of a day; a guard against absurd files.
const LATEST: f64 = 20_000.0;
/// More loads than anyone bakes in a day; likewise.
const MOST_LOADS: usize = 500;

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct DayForm from day: &BakingDay {
        pub(super) version: u32 = RECIPES,
        id: String = day.id.to_string(),
        begun: String = day.begun.to_string(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        wanted_shade: Option<f64> = day.wanted.map(Shade::value),
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        given_up: bool = day.given_up,
        loads: Vec<LoadForm> = day.loads.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct LoadForm from load: &(Batch, Option<BakeId>) {
        /// The log of the load, once it went in.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        bake: Option<String> = load.1.as_ref().map(ToString::to_string),
        oven: String = load.0.oven.to_string(),
        mode: ModeForm = load.0.mode.into(),
        trays: Vec<usize> = load.0.trays.clone(),
        start_min: f64 = load.0.start.0,
        end_min: f64 = load.0.end.0,
        handling_min: f64 = load.0.handling.0,
        wait_min: f64 = load.0.wait.0,
        plan: PlanForm = (&load.0.plan).into(),
    }
}

fn load(number: usize, form: LoadForm) -> Result<(Batch, Option<BakeId>), FormError> {
    let minutes = |name, m| within(name, m, 0.0, LATEST).map(Minutes);
    let bake = form.bake.map(|id| BakeId::new(&id).map_err(to_form_error));
    let batch = Batch {
        number,
        oven: OvenId::new(&form.oven).map_err(to_form_error)?,
        mode: form.mode.into(),
        trays: form.trays,
        start: minutes("loads.start_min", form.start_min)?,
        end: minutes("loads.end_min", form.end_min)?,
        plan: form.plan.try_into()?,
        handling: minutes("loads.handling_min", form.handling_min)?,
        wait: minutes("loads.wait_min", form.wait_min)?,
    };
    Ok((batch, bake.transpose()?))
}

impl TryFrom<DayForm> for BakingDay {
    type Error = FormError;

    fn try_from(form: DayForm) -> Result<Self, FormError> {
        if form.loads.len() > MOST_LOADS {
            let most = format!("at most {MOST_LOADS} loads");
            return Err(FormError::field("loads", form.loads.len(), &most));
        }
        let wanted = form.wanted_shade.map(Shade::from_value);
        Ok(Self {
            id: DayId::new(&form.id).map_err(to_form_error)?,
            begun: moment("begun", &form.begun)?,
            wanted: wanted.transpose().map_err(to_form_error)?,
            given_up: form.given_up,
            loads: (1..)
                .zip(form.loads)
                .map(|(number, form)| load(number, form))
                .collect::<Result<_, _>>()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::migrate::Stored;

    const DAY: &str = include_str!("../../../tests/data/v3/days/2026-11-25-wall-oven.json");

    #[test]
    fn the_kept_sample_still_reads_and_comes_back_the_same() {
        let day = BakingDay::decode(DAY).unwrap();
        assert_eq!(day.loads.len(), 3);
        assert!(day.loads[0].1.is_some() && day.loads[1].1.is_none());
        assert_eq!(day.loads[2].0.number, 3);
        assert_eq!(BakingDay::decode(&day.encode().unwrap()), Ok(day));
        for (now, then, expected) in [
            (
                "\"wall-oven\"",
                "\"Wall oven\"",
                "'Wall oven' is not a usable id",
            ),
            (
                "\"start_min\": 0.0",
                "\"start_min\": -1.0",
                "loads.start_min is -1",
            ),
            ("\"begun\": \"2026", "\"begun\": \"soon", "begun is soon"),
        ] {
            assert!(DAY.contains(now), "{now}");
            let said = BakingDay::decode(&DAY.replace(now, then)).unwrap_err();
            assert!(said.to_string().contains(expected), "{said}");
        }
    }
}
