//! The stored form of a baker's own dough, with every time that it rose.

use super::form::{FormError, is_zero, moment, to_form_error, within};
use crate::{
    model::{
        OvenId,
        dough::Dough,
        formed::formed,
        id::DoughId,
        rising::{DoughLook, Grown, OwnDough, RiseLog},
    },
    units::{Celsius, CelsiusDelta, Minutes},
};
use serde::{Deserialize, Serialize};

/// Longest time that a dough is known or noted to rise, minutes: a week.
const LONGEST: f64 = 7.0 * 24.0 * 60.0;
/// More rises than anyone notes of one dough; a guard against absurd files.
const MOST_RISES: usize = 2000;

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct DoughForm from dough: &OwnDough {
        pub(super) version: u32 = 1,
        id: String = dough.id.to_string(),
        name: String = dough.name.clone(),
        leaven: String = dough.leaven.key().to_owned(),
        known_min: f64 = dough.known.0,
        known_at_c: f64 = dough.known_at.0,
        grams: f64 = dough.grams,
        #[serde(default)]
        note: String = dough.note.clone(),
        rises: Vec<RiseForm> = dough.rises.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct RiseForm from r: &RiseLog {
        started: String = r.started.to_string(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        oven: Option<String> = r.oven.as_ref().map(ToString::to_string),
        set_c: f64 = r.set.0,
        air_c: f64 = r.air.0,
        /// Kept since a box's own doubt goes into the time.
        #[serde(default, skip_serializing_if = "is_zero")]
        air_doubt_c: f64 = r.air_doubt.0,
        start_c: f64 = r.start.0,
        looks: Vec<LookForm> = r.looks.iter().map(Into::into).collect(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ended_min: Option<f64> = r.ended.map(|m| m.0),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct LookForm from l: &DoughLook {
        after_min: f64 = l.after.0,
        grown: String = l.grown.key().to_owned(),
    }
}

impl TryFrom<RiseForm> for RiseLog {
    type Error = FormError;

    fn try_from(form: RiseForm) -> Result<Self, FormError> {
        let look = |l: LookForm| {
            Ok(DoughLook {
                after: Minutes(within("rises.looks.after_min", l.after_min, 0.0, LONGEST)?),
                grown: Grown::from_key(&l.grown).ok_or_else(|| {
                    let words = "quarter, half, three-quarters or doubled";
                    FormError::field("rises.looks.grown", &l.grown, words)
                })?,
            })
        };
        let ended = form
            .ended_min
            .map(|m| within("rises.ended_min", m, 0.0, LONGEST).map(Minutes));
        Ok(Self {
            started: moment("rises.started", &form.started)?,
            oven: form
                .oven
                .map(|o| OvenId::new(&o).map_err(to_form_error))
                .transpose()?,
            set: Celsius(within("rises.set_c", form.set_c, 0.0, 100.0)?),
            air: Celsius(within("rises.air_c", form.air_c, 0.0, 100.0)?),
            air_doubt: CelsiusDelta(within("rises.air_doubt_c", form.air_doubt_c, 0.0, 100.0)?),
            start: Celsius(within("rises.start_c", form.start_c, 0.0, 60.0)?),
            looks: form
                .looks
                .into_iter()
                .map(look)
                .collect::<Result<_, FormError>>()?,
            ended: ended.transpose()?,
        })
    }
}

impl TryFrom<DoughForm> for OwnDough {
    type Error = FormError;

    fn try_from(form: DoughForm) -> Result<Self, FormError> {
        if form.rises.len() > MOST_RISES {
            let most = format!("at most {MOST_RISES} rises");
            return Err(FormError::field("rises", form.rises.len(), &most));
        }
        Ok(Self {
            id: DoughId::new(&form.id).map_err(to_form_error)?,
            name: form.name,
            leaven: Dough::from_key(&form.leaven)
                .ok_or_else(|| FormError::field("leaven", &form.leaven, "yeast or sourdough"))?,
            known: Minutes(within("known_min", form.known_min, 1.0, LONGEST)?),
            known_at: Celsius(within("known_at_c", form.known_at_c, 0.0, 60.0)?),
            grams: within("grams", form.grams, 10.0, 20_000.0)?,
            note: form.note,
            rises: form
                .rises
                .into_iter()
                .map(TryInto::try_into)
                .collect::<Result<_, _>>()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::migrate::Stored;

    const ROLLS: &str = include_str!("../../../tests/data/v1/doughs/rolls.json");

    #[test]
    fn the_kept_sample_still_reads_and_comes_back_the_same() {
        let dough = OwnDough::decode(ROLLS).unwrap();
        assert_eq!((dough.leaven, dough.rises.len()), (Dough::Yeast, 1));
        assert_eq!(dough.rises[0].looks[0].grown, Grown::Half);
        assert!(dough.rising().is_none());
        assert_eq!(OwnDough::decode(&dough.encode().unwrap()), Ok(dough));
        for (now, then, expected) in [
            ("\"half\"", "\"huge\"", "rises.looks.grown is huge"),
            ("\"yeast\"", "\"soda\"", "leaven is soda"),
            ("500.0", "0.0", "grams is 0"),
            ("53.0", "1e9", "rises.ended_min is 1000000000"),
        ] {
            let said = OwnDough::decode(&ROLLS.replace(now, then)).unwrap_err();
            assert!(said.to_string().contains(expected), "{said}");
        }
    }
}
