//! The stored form of a toast test.

use super::{
    form::{FormError, date_time, each, maybe, moment, to_form_error, within},
    photo::PhotoForm,
    words::{ModeForm, SurfaceForm},
};
use crate::model::formed::formed;
use crate::{
    model::{Bread, OvenId, Place, Reading, Setup, Shade, Slice, SliceSize, TestId, ToastTest},
    units::{Celsius, Centimetres, Minutes},
};
use serde::{Deserialize, Serialize};

/// More slices than any oven holds; a guard against absurd files.
const MOST_SLICES: usize = 2000;

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct TestForm from test: &ToastTest {
        pub(super) version: u32 = 1,
        id: String = test.id.to_string(),
        oven: String = test.setup.oven.to_string(),
        mode: ModeForm = test.setup.mode.into(),
        dial_c: f64 = test.setup.dial.0,
        racks: Vec<u8> = test.setup.racks.clone(),
        when: String = test.when.to_string(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minutes: Option<f64> = test.minutes.map(|m| m.0),
        /// Since when the slices are in the oven, while the toasting clock runs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        toasting_since: Option<String> = test.toasting.map(|m| m.to_string()),
        bread: BreadForm = (&test.bread).into(),
        #[serde(default)]
        note: String = test.note.clone(),
        /// Index of the slice to score next, from 0; the count of slices when all are done.
        cursor: usize = test.cursor,
        slices: Vec<SliceForm> = test.slices.iter().map(Into::into).collect(),
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        photos: Vec<PhotoForm> = test.photos.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct BreadForm from bread: &Bread {
        loaf: String = bread.loaf.clone(),
        slice_width_cm: f64 = bread.slice.width.0,
        slice_depth_cm: f64 = bread.slice.depth.0,
        thickness_cm: f64 = bread.thickness.0,
        surface: SurfaceForm = bread.surface.into(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        untoasted_lightness: Option<f64> = bread.untoasted_lightness,
    }
}

/// One slice; without `shade`, `lightness` and `state` it has not been scored yet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SliceForm {
    rack: u8,
    x_cm: f64,
    y_cm: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shade: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lightness: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lightness_sd: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    state: Option<StateForm>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum StateForm {
    Skipped,
    Missing,
}

impl From<&Slice> for SliceForm {
    fn from(slice: &Slice) -> Self {
        let mut form = Self {
            rack: slice.rack,
            x_cm: slice.place.x.0,
            y_cm: slice.place.y.0,
            shade: None,
            lightness: None,
            lightness_sd: None,
            state: None,
        };
        match slice.reading {
            Reading::Unscored => {}
            Reading::Skipped => form.state = Some(StateForm::Skipped),
            Reading::Missing => form.state = Some(StateForm::Missing),
            Reading::ByEye(shade) => form.shade = Some(shade.value()),
            Reading::Measured { lightness, sd } => {
                form.lightness = Some(lightness);
                form.lightness_sd = Some(sd);
            }
        }
        form
    }
}

impl TryFrom<SliceForm> for Slice {
    type Error = FormError;

    fn try_from(form: SliceForm) -> Result<Self, FormError> {
        let reading = match (form.shade, form.lightness, form.lightness_sd, form.state) {
            (None, None, None, None) => Reading::Unscored,
            (None, None, None, Some(StateForm::Skipped)) => Reading::Skipped,
            (None, None, None, Some(StateForm::Missing)) => Reading::Missing,
            (Some(shade), None, None, None) => {
                Reading::ByEye(Shade::from_value(shade).map_err(to_form_error)?)
            }
            (None, Some(lightness), Some(sd), None) => Reading::Measured {
                lightness: within("slices.lightness", lightness, 0.01, 100.0)?,
                sd: within("slices.lightness_sd", sd, 0.0, 100.0)?,
            },
            (None, Some(_), None, None) => {
                return Err(FormError(
                    "a slice has lightness without lightness_sd".to_owned(),
                ));
            }
            _more_than_one_kind_of_score => {
                return Err(FormError(
                    "a slice has more than one of shade, lightness and state".to_owned(),
                ));
            }
        };
        Ok(Self {
            rack: form.rack,
            place: Place {
                x: Centimetres(within("slices.x_cm", form.x_cm, -200.0, 200.0)?),
                y: Centimetres(within("slices.y_cm", form.y_cm, -200.0, 200.0)?),
            },
            reading,
        })
    }
}

impl TryFrom<BreadForm> for Bread {
    type Error = FormError;

    fn try_from(form: BreadForm) -> Result<Self, FormError> {
        let untoasted_lightness = maybe(form.untoasted_lightness, |l| {
            within("bread.untoasted_lightness", l, 0.01, 100.0)
        })?;
        Ok(Self {
            loaf: form.loaf,
            slice: SliceSize {
                width: Centimetres(within(
                    "bread.slice_width_cm",
                    form.slice_width_cm,
                    0.1,
                    100.0,
                )?),
                depth: Centimetres(within(
                    "bread.slice_depth_cm",
                    form.slice_depth_cm,
                    0.1,
                    100.0,
                )?),
            },
            thickness: Centimetres(within("bread.thickness_cm", form.thickness_cm, 0.0, 20.0)?),
            surface: form.surface.into(),
            untoasted_lightness,
        })
    }
}

impl TryFrom<TestForm> for ToastTest {
    type Error = FormError;

    fn try_from(form: TestForm) -> Result<Self, FormError> {
        let count = form.slices.len();
        if count > MOST_SLICES {
            let most = format!("at most {MOST_SLICES} slices");
            return Err(FormError::field("slices", count, &most));
        }
        if form.cursor > count {
            let most = format!("0 to {count}, the count of slices");
            return Err(FormError::field("cursor", form.cursor, &most));
        }
        let minutes = maybe(form.minutes, |m| within("minutes", m, 0.0, 600.0))?;
        Ok(Self {
            id: TestId::new(&form.id).map_err(to_form_error)?,
            setup: Setup {
                oven: OvenId::new(&form.oven).map_err(to_form_error)?,
                mode: form.mode.into(),
                dial: Celsius(within("dial_c", form.dial_c, 0.0, 400.0)?),
                racks: form.racks,
            },
            when: date_time("when", &form.when)?,
            minutes: minutes.map(Minutes),
            toasting: maybe(form.toasting_since, |text| moment("toasting_since", &text))?,
            bread: form.bread.try_into()?,
            slices: each(form.slices, TryInto::try_into)?,
            cursor: form.cursor,
            note: form.note,
            photos: each(form.photos, TryInto::try_into)?,
        })
    }
}
