//! The stored forms of a round of readings and of a thermometer.

use super::{
    form::{FormError, INSTANTS, date_time, each, maybe, moment, to_form_error, within},
    words::{ModeForm, PhaseForm},
};
use crate::model::formed::formed;
use crate::{
    model::{AirPlace, AirReading, AirRound, OvenId, RoundId, Thermometer, ThermometerId},
    units::{Celsius, CelsiusDelta},
};
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct RoundForm from round: &AirRound {
        pub(super) version: u32 = INSTANTS,
        id: String = round.id.to_string(),
        oven: String = round.oven.to_string(),
        mode: ModeForm = round.mode.into(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        thermometer: Option<String> = round.thermometer.as_ref().map(ToString::to_string),
        #[serde(default)]
        note: String = round.note.clone(),
        readings: Vec<ReadingForm> = round.readings.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct ReadingForm from r: &AirReading {
        at: String = r.at.to_string(),
        dial_c: f64 = r.dial.0,
        air_c: f64 = r.air.0,
        phase: PhaseForm = r.phase.into(),
        place: String = r.place.key(),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct ThermometerForm from t: &Thermometer {
        pub(super) version: u32 = 1,
        id: String = t.id.to_string(),
        name: String = t.name.clone(),
        resolution_c: f64 = t.resolution.0,
        accuracy_c: f64 = t.accuracy.0,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lag_s: Option<f64> = t.lag_s,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        bought: Option<String> = t.bought.map(|d| d.to_string()),
        #[serde(default)]
        note: String = t.note.clone(),
    }
}

impl TryFrom<RoundForm> for AirRound {
    type Error = FormError;

    fn try_from(form: RoundForm) -> Result<Self, FormError> {
        let before = form.version < INSTANTS;
        let civil: Vec<DateTime> = (form.readings.iter().filter(|_| before))
            .map(|r| date_time("readings.at", &r.at))
            .collect::<Result<_, _>>()?;
        let mut readings = each(form.readings, |r| {
            Ok(AirReading {
                at: moment("readings.at", &r.at)?,
                dial: Celsius(within("readings.dial_c", r.dial_c, 0.0, 450.0)?),
                air: Celsius(within("readings.air_c", r.air_c, 0.0, 450.0)?),
                phase: r.phase.into(),
                place: AirPlace::from_key(&r.place).ok_or_else(|| {
                    FormError::field("readings.place", &r.place, "centre, or like 3:back-left")
                })?,
            })
        })?;
        if before {
            // Civil times that rise need not be instants that do, where an hour is skipped.
            readings.sort_by_key(|r| r.at);
        }
        if !civil.is_sorted() || !readings.is_sorted_by_key(|r| r.at) {
            return Err(FormError(
                "readings are out of order, expected rising times".to_owned(),
            ));
        }
        Ok(Self {
            id: RoundId::new(&form.id).map_err(to_form_error)?,
            oven: OvenId::new(&form.oven).map_err(to_form_error)?,
            mode: form.mode.into(),
            thermometer: maybe(form.thermometer, |t| {
                ThermometerId::new(&t).map_err(to_form_error)
            })?,
            readings,
            note: form.note,
        })
    }
}

impl TryFrom<ThermometerForm> for Thermometer {
    type Error = FormError;

    fn try_from(form: ThermometerForm) -> Result<Self, FormError> {
        let bought = maybe(form.bought, |text| {
            text.parse().map_err(|_unread: jiff::Error| {
                FormError::field("bought", &text, "a day like 2026-11-25")
            })
        })?;
        Self {
            id: ThermometerId::new(&form.id).map_err(to_form_error)?,
            name: form.name,
            resolution: CelsiusDelta(form.resolution_c),
            accuracy: CelsiusDelta(form.accuracy_c),
            lag_s: form.lag_s,
            bought,
            note: form.note,
        }
        .check()
        .map_err(to_form_error)
    }
}
