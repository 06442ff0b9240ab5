//! The stored form of the plan that a bake followed.

use super::form::{FormError, to_form_error, within};
use crate::model::formed::formed;
use crate::{
    model::{
        Alternative, DialStep, Forecast, Plan, RecipeId, RecipeName, Segment, Tray, TrayPlacement,
        Yardstick,
    },
    units::{Celsius, Centimetres, Minutes},
};
use serde::{Deserialize, Serialize, de::IgnoredAny};

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct PlanForm from plan: &Plan {
        kind: String = plan.kind.clone(),
        /// Since version 3.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        recipe: Option<RecipeNameForm> = plan.recipe.as_ref().map(Into::into),
        bake_min: f64 = plan.bake.0,
        dial_c: f64 = plan.dial.0,
        steps_to_dial: Vec<StepForm> = plan.steps_to_dial.iter().map(Into::into).collect(),
        evenness: YardstickForm = plan.evenness.into(),
        unturned: YardstickForm = plan.unturned.into(),
        halfway: YardstickForm = plan.halfway.into(),
        /// Sentences that were kept once; they are worked out again now.
        #[serde(default, rename = "advice", skip_serializing)]
        _advice: IgnoredAny = IgnoredAny,
        segments: Vec<SegmentForm> = plan.segments.iter().map(Into::into).collect(),
        alternatives: Vec<AlternativeForm> = plan.alternatives.iter().map(Into::into).collect(),
        /// Kept since bakes are scored piece by piece.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tray: Option<TrayForm> = plan.tray.map(Into::into),
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        forecast: Vec<ForecastForm> = plan.forecast.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct TrayForm from tray: Tray {
        width_cm: f64 = tray.width.0,
        depth_cm: f64 = tray.depth.0,
        across: usize = tray.across,
        deep: usize = tray.deep,
    }
}

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct ForecastForm from f: &Forecast {
        tray: usize = f.tray,
        row: usize = f.row,
        col: usize = f.col,
        ratio: f64 = f.ratio,
        ratio_range: (f64, f64) = f.range,
    }
}

formed! {
    /// Which recipe a plan is of.
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct RecipeNameForm from recipe: &RecipeName {
        id: String = recipe.id.to_string(),
        name: String = recipe.name.clone(),
    }
}

impl TryFrom<RecipeNameForm> for RecipeName {
    type Error = FormError;

    fn try_from(form: RecipeNameForm) -> Result<Self, FormError> {
        Ok(Self {
            id: RecipeId::new(&form.id).map_err(to_form_error)?,
            name: form.name,
        })
    }
}

impl TryFrom<TrayForm> for Tray {
    type Error = FormError;

    fn try_from(form: TrayForm) -> Result<Self, FormError> {
        /// More pieces than this along a side are no tray's.
        const MOST: f64 = 100.0;
        within("plan.tray.across", form.across as f64, 1.0, MOST)?;
        within("plan.tray.deep", form.deep as f64, 1.0, MOST)?;
        Ok(Self {
            width: Centimetres(within("plan.tray.width_cm", form.width_cm, 0.1, 200.0)?),
            depth: Centimetres(within("plan.tray.depth_cm", form.depth_cm, 0.1, 200.0)?),
            across: form.across,
            deep: form.deep,
        })
    }
}

impl From<ForecastForm> for Forecast {
    fn from(f: ForecastForm) -> Self {
        Self {
            tray: f.tray,
            row: f.row,
            col: f.col,
            ratio: f.ratio,
            range: f.ratio_range,
        }
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct StepForm from step: &DialStep {
        what: String = step.what.clone(),
        to_c: f64 = step.to.0,
    }
}

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct YardstickForm from y: Yardstick {
        /// The figures are null where no map stood behind the plan.
        spread_shade: Option<f64> = y.is_known().then_some(y.spread),
        spread_range_shade: Option<(f64, f64)> = y.is_known().then_some(y.spread_range),
        sd_shade: Option<f64> = y.is_known().then_some(y.sd),
        sd_range_shade: Option<(f64, f64)> = y.is_known().then_some(y.sd_range),
        bake_min: f64 = y.minutes.0,
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct SegmentForm from segment: &Segment {
        from_min: f64 = segment.from.0,
        to_min: f64 = segment.to.0,
        share: f64 = segment.share,
        trays: Vec<PlacementForm> = segment.trays.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct PlacementForm from t: &TrayPlacement {
        tray: usize = t.tray,
        rack: u8 = t.rack,
        turned: bool = t.turned,
        shift_x_cm: f64 = t.shift_x.0,
        shift_y_cm: f64 = t.shift_y.0,
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct AlternativeForm from a: &Alternative {
        openings: usize = a.openings,
        evenness: YardstickForm = a.evenness.into(),
        segments: Vec<SegmentForm> = a.segments.iter().map(Into::into).collect(),
    }
}

impl From<YardstickForm> for Yardstick {
    fn from(form: YardstickForm) -> Self {
        let minutes = Minutes(form.bake_min);
        match form {
            YardstickForm {
                spread_shade: Some(spread),
                spread_range_shade: Some(spread_range),
                sd_shade: Some(sd),
                sd_range_shade: Some(sd_range),
                bake_min: _,
            } => Self {
                spread,
                spread_range,
                sd,
                sd_range,
                minutes,
            },
            _ => Self::unknown(minutes),
        }
    }
}

impl From<SegmentForm> for Segment {
    fn from(form: SegmentForm) -> Self {
        Self {
            from: Minutes(form.from_min),
            to: Minutes(form.to_min),
            share: form.share,
            trays: form
                .trays
                .into_iter()
                .map(|t| TrayPlacement {
                    tray: t.tray,
                    rack: t.rack,
                    turned: t.turned,
                    shift_x: Centimetres(t.shift_x_cm),
                    shift_y: Centimetres(t.shift_y_cm),
                })
                .collect(),
        }
    }
}

impl TryFrom<PlanForm> for Plan {
    type Error = FormError;

    fn try_from(form: PlanForm) -> Result<Self, FormError> {
        Ok(Self {
            kind: form.kind,
            recipe: form.recipe.map(TryInto::try_into).transpose()?,
            segments: form.segments.into_iter().map(Into::into).collect(),
            bake: Minutes(within("plan.bake_min", form.bake_min, 0.0, 6000.0)?),
            dial: Celsius(within("plan.dial_c", form.dial_c, 0.0, 400.0)?),
            steps_to_dial: form
                .steps_to_dial
                .into_iter()
                .map(|s| DialStep::new(s.what, Celsius(s.to_c)))
                .collect(),
            evenness: form.evenness.into(),
            unturned: form.unturned.into(),
            halfway: form.halfway.into(),
            alternatives: form
                .alternatives
                .into_iter()
                .map(|a| Alternative {
                    openings: a.openings,
                    evenness: a.evenness.into(),
                    segments: a.segments.into_iter().map(Into::into).collect(),
                })
                .collect(),
            tray: form.tray.map(TryInto::try_into).transpose()?,
            forecast: form.forecast.into_iter().map(Into::into).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_known_stays_unknown() {
        let text =
            serde_json::to_string(&YardstickForm::from(Yardstick::unknown(Minutes(12.0)))).unwrap();
        assert!(text.contains("\"sd_shade\":null"), "{text}");
        let back = Yardstick::from(serde_json::from_str::<YardstickForm>(&text).unwrap());
        assert!(!back.is_known());
        assert_eq!(back.minutes, Minutes(12.0));
    }
}
