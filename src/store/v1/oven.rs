//! The stored form of an oven.

use super::{
    form::{FormError, PLATES, date_time, each, to_form_error},
    words::{HeatForm, LengthForm, ModeForm, TemperatureForm},
};
use crate::model::formed::formed;
use crate::{
    model::{Cavity, Dial, Oven, OvenId, Plate, RackPosition, ServiceVisit},
    units::{Celsius, Centimetres},
};
use serde::{Deserialize, Serialize};

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct OvenForm from oven: &Oven {
        // One without a plate is written as it always was, and older programs read it.
        pub(super) version: u32 = if oven.plate.is_empty() { 1 } else { PLATES },
        id: String = oven.id.to_string(),
        name: String = oven.name.clone(),
        cavity_cm: CavityForm = oven.cavity.into(),
        /// Heights of the rack positions above the floor, from the bottom up: number 1 is the first.
        rack_heights_cm: Vec<f64> = oven.racks.iter().map(|r| r.height.0).collect(),
        heat: Vec<HeatForm> = oven.heat.iter().map(|&h| h.into()).collect(),
        modes: Vec<ModeForm> = oven.modes.iter().map(|&m| m.into()).collect(),
        dial: DialForm = (&oven.dial).into(),
        lengths: LengthForm = oven.lengths.into(),
        #[serde(default)]
        visits: Vec<VisitForm> = oven.visits.iter().map(Into::into).collect(),
        #[serde(default)]
        note: String = oven.note.clone(),
        /// From version 3 on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plate: Option<PlateForm> = (!oven.plate.is_empty()).then(|| (&oven.plate).into()),
    }
}

formed! {
    /// Make, model, serial number and contact, each perhaps empty.
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct PlateForm from plate: &Plate {
        #[serde(default)]
        make: String = plate.make.clone(),
        #[serde(default)]
        model: String = plate.model.clone(),
        #[serde(default)]
        serial: String = plate.serial.clone(),
        #[serde(default)]
        contact: String = plate.contact.clone(),
    }
}

impl From<PlateForm> for Plate {
    fn from(form: PlateForm) -> Self {
        Self {
            make: form.make,
            model: form.model,
            serial: form.serial,
            contact: form.contact,
        }
    }
}

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct CavityForm from cavity: Cavity {
        width: f64 = cavity.width.0,
        depth: f64 = cavity.depth.0,
        height: f64 = cavity.height.0,
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct DialForm from dial: &Dial {
        unit: TemperatureForm = dial.unit.into(),
        /// On the dial's own scale.
        step: f64 = dial.step,
        lowest_c: f64 = dial.lowest.0,
        highest_c: f64 = dial.highest.0,
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct VisitForm from visit: &ServiceVisit {
        /// A day alone means its start.
        #[serde(alias = "date")]
        when: String = visit.when.to_string(),
        what: String = visit.what.clone(),
    }
}

impl TryFrom<OvenForm> for Oven {
    type Error = FormError;

    fn try_from(form: OvenForm) -> Result<Self, FormError> {
        let count = form.rack_heights_cm.len();
        if count > 254 {
            let expected = "at most 254 heights";
            return Err(FormError::field("rack_heights_cm", count, expected));
        }
        let racks = form
            .rack_heights_cm
            .iter()
            .zip(1_u8..)
            .map(|(&height, number)| RackPosition::new(number, Centimetres(height)))
            .collect();
        let visits = each(form.visits, |v| {
            Ok(ServiceVisit {
                when: date_time("visits.when", &v.when)?,
                what: v.what,
            })
        })?;
        let oven = Self {
            id: OvenId::new(&form.id).map_err(to_form_error)?,
            name: form.name,
            cavity: Cavity {
                width: Centimetres(form.cavity_cm.width),
                depth: Centimetres(form.cavity_cm.depth),
                height: Centimetres(form.cavity_cm.height),
            },
            racks,
            heat: form.heat.into_iter().map(Into::into).collect(),
            modes: form.modes.into_iter().map(Into::into).collect(),
            dial: Dial {
                unit: form.dial.unit.into(),
                step: form.dial.step,
                lowest: Celsius(form.dial.lowest_c),
                highest: Celsius(form.dial.highest_c),
            },
            lengths: form.lengths.into(),
            visits,
            note: form.note,
            plate: form.plate.map(Plate::from).unwrap_or_default(),
        };
        oven.check().map_err(to_form_error)
    }
}
