//! The stored form of a recipe of the baker's own, and of its name in a plan.

use super::{
    form::{FormError, RECIPES, to_form_error},
    plan::TrayForm,
    words::TemperatureForm,
};
use crate::model::formed::formed;
use crate::{
    model::{GasMark, Recipe, RecipeId, Shade, Written},
    units::{Celsius, Minutes},
};
use serde::{Deserialize, Serialize};

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct RecipeForm from recipe: &Recipe {
        pub(super) version: u32 = RECIPES,
        id: String = recipe.id.to_string(),
        name: String = recipe.name.clone(),
        written: WrittenForm = match recipe.written {
            Written::NoFan(t) => WrittenForm::NoFan(t.0),
            Written::Fan(t) => WrittenForm::Fan(t.0),
            Written::Gas(mark) => WrittenForm::Gas(mark.to_string()),
        },
        /// The unit it was written in.
        unit: TemperatureForm = recipe.unit.into(),
        minutes: f64 = recipe.time.0,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        wanted_shade: Option<f64> = recipe.wanted.map(Shade::value),
        tray: TrayForm = recipe.tray.into(),
        kind: String = recipe.kind.clone(),
        #[serde(default)]
        note: String = recipe.note.clone(),
    }
}

/// The temperature as it was written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
enum WrittenForm {
    #[serde(rename = "no_fan_c")]
    NoFan(f64),
    #[serde(rename = "fan_c")]
    Fan(f64),
    #[serde(rename = "gas_mark")]
    Gas(String),
}

impl TryFrom<RecipeForm> for Recipe {
    type Error = FormError;

    fn try_from(form: RecipeForm) -> Result<Self, FormError> {
        let shade = |value| Shade::from_value(value).map_err(to_form_error);
        Self {
            id: RecipeId::new(&form.id).map_err(to_form_error)?,
            name: form.name,
            written: match form.written {
                WrittenForm::NoFan(t) => Written::NoFan(Celsius(t)),
                WrittenForm::Fan(t) => Written::Fan(Celsius(t)),
                WrittenForm::Gas(mark) => {
                    Written::Gas(GasMark::parse(&mark).map_err(to_form_error)?)
                }
            },
            unit: form.unit.into(),
            time: Minutes(form.minutes),
            wanted: form.wanted_shade.map(shade).transpose()?,
            tray: form.tray.try_into()?,
            kind: form.kind,
            note: form.note,
        }
        .check()
        .map_err(to_form_error)
    }
}
