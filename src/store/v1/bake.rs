//! The stored form of a bake log.

use super::{
    form::{FormError, INSTANTS, RECIPES, each, is_zero, maybe, moment, to_form_error, within},
    plan::PlanForm,
    words::ModeForm,
};
use crate::model::formed::formed;
use crate::{
    model::{BakeId, BakeLog, DoorOpening, Opened, OvenId, PieceScore, Shade, bake::TrayPhoto},
    units::Minutes,
};
use serde::{Deserialize, Serialize};

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(crate) struct BakeForm from bake: &BakeLog {
        // The version before stays where it has room for all, so that an older program reads it too.
        pub(super) version: u32 = bake.plan.recipe.as_ref().map_or(INSTANTS, |_| RECIPES),
        id: String = bake.id.to_string(),
        oven: String = bake.oven.to_string(),
        mode: ModeForm = bake.mode.into(),
        kind: String = bake.kind.clone(),
        started: String = bake.started.to_string(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        baked_min: Option<f64> = bake.baked.map(|m| m.0),
        openings: Vec<OpeningForm> = bake.openings.iter().map(Into::into).collect(),
        /// Kept since the clock notes what is added on it.
        #[serde(default, skip_serializing_if = "is_zero")]
        added_min: f64 = bake.added.0,
        outcome: Vec<OutcomeForm> = bake.outcome.iter().map(Into::into).collect(),
        /// Kept since bakes are scored piece by piece.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        pieces: Vec<PieceForm> = bake.pieces.iter().map(Into::into).collect(),
        /// Kept since photos of what was baked have their own error.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        photos: Vec<TrayPhotoForm> = bake.photos.iter().map(Into::into).collect(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        wanted_shade: Option<f64> = bake.wanted.map(Shade::value),
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        in_map: bool = bake.in_map,
        #[serde(default)]
        note: String = bake.note.clone(),
        plan: PlanForm = (&bake.plan).into(),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct OpeningForm from o: &DoorOpening {
        at_min: f64 = o.at.0,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        open_for_min: Option<f64> = o.open_for.map(|m| m.0),
        /// Absent for a look, which version 1 wrote as words of its own.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        what: Option<String> = match &o.what {
            Opened::Look => None,
            Opened::Move(words) => Some(words.clone()),
        },
    }
}

/// What version 1 wrote of an opening that was no move.
const LOOKED: &str = "looked in";

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct OutcomeForm from outcome: &(usize, Shade) {
        tray: usize = outcome.0,
        shade: f64 = outcome.1.value(),
    }
}

formed! {
    #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct PieceForm from p: &PieceScore {
        tray: usize = p.tray,
        row: usize = p.row,
        col: usize = p.col,
        shade: f64 = p.shade.value(),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pulled_min: Option<f64> = p.pulled.map(|m| m.0),
    }
}

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct TrayPhotoForm from photo: &TrayPhoto {
        tray: usize = photo.tray,
        pieces: Vec<(usize, usize)> = photo.pieces.clone(),
        level_shade: f64 = photo.level_shade,
        lean: f64 = photo.lean,
    }
}

impl TryFrom<TrayPhotoForm> for TrayPhoto {
    type Error = FormError;

    fn try_from(form: TrayPhotoForm) -> Result<Self, FormError> {
        Ok(Self {
            tray: form.tray,
            pieces: form.pieces,
            level_shade: within("photos.level_shade", form.level_shade, 0.0, 20.0)?,
            lean: within("photos.lean", form.lean, 0.0, 10.0)?,
        })
    }
}

impl TryFrom<BakeForm> for BakeLog {
    type Error = FormError;

    fn try_from(form: BakeForm) -> Result<Self, FormError> {
        let shade = |value| Shade::from_value(value).map_err(to_form_error);
        let minutes = |name, m| within(name, m, 0.0, BakeLog::LONGEST.0).map(Minutes);
        Ok(Self {
            id: BakeId::new(&form.id).map_err(to_form_error)?,
            oven: OvenId::new(&form.oven).map_err(to_form_error)?,
            mode: form.mode.into(),
            kind: form.kind,
            started: moment("started", &form.started)?,
            plan: form.plan.try_into()?,
            openings: each(form.openings, |o| {
                Ok(DoorOpening {
                    at: minutes("openings.at_min", o.at_min)?,
                    open_for: maybe(o.open_for_min, |m| minutes("openings.open_for_min", m))?,
                    what: match o.what {
                        Some(words) if words != LOOKED => Opened::Move(words),
                        Some(_) | None => Opened::Look,
                    },
                })
            })?,
            baked: maybe(form.baked_min, |m| minutes("baked_min", m))?,
            outcome: each(form.outcome, |o| Ok((o.tray, shade(o.shade)?)))?,
            added: Minutes(within("added_min", form.added_min, -6000.0, 6000.0)?),
            pieces: each(form.pieces, |p| {
                Ok(PieceScore {
                    tray: p.tray,
                    row: p.row,
                    col: p.col,
                    shade: shade(p.shade)?,
                    pulled: maybe(p.pulled_min, |m| minutes("pieces.pulled_min", m))?,
                })
            })?,
            photos: each(form.photos, TryInto::try_into)?,
            wanted: form.wanted_shade.map(shade).transpose()?,
            in_map: form.in_map,
            note: form.note,
        })
    }
}
