//! The stored form of where scores read from a photo came from.

use super::form::{FormError, within};
use crate::model::PhotoNote;
use crate::model::formed::formed;
use serde::{Deserialize, Serialize};

/// More rows or columns than are ever looked for; a guard against absurd files.
const MOST_CELLS: usize = 100;
/// Larger than any photo, pixels.
const MOST_PIXELS: f64 = 1e6;

formed! {
    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct PhotoForm from note: &PhotoNote {
        rack: u8 = note.rack,
        file: String = note.file.clone(),
        sha256: String = note.sha256.clone(),
        rows: usize = note.counts.0,
        cols: usize = note.counts.1,
        corners_px: [(f64, f64); 4] = note.corners,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        references: Vec<String> = note.references.clone(),
        /// Files from before it was known leave it out.
        #[serde(default = "usual_lean")]
        light_lean: f64 = note.lean,
        /// Files from before it was kept leave it out.
        #[serde(default)]
        level_sd: Option<f64> = Some(note.level),
        #[serde(default, skip_serializing_if = "Option::is_none")]
        turned: Option<TurnedForm> = note.turned.as_ref().map(|(file, sha256)| TurnedForm {
            file: file.clone(),
            sha256: sha256.clone(),
        }),
    }
}

/// The lean of an ordinary photo by hand: 1.6 L* at the edge, measured on rendered photos.
fn usual_lean() -> f64 {
    0.07
}

/// The error of a photo's level, L*, where it was not kept: of photos without anything of known lightness in sight,
/// and of others, as the reader gives them.
fn usual_level(references: &[String]) -> f64 {
    if references.is_empty() { 9.0 } else { 4.5 }
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct TurnedForm {
    file: String,
    sha256: String,
}

impl TryFrom<PhotoForm> for PhotoNote {
    type Error = FormError;

    fn try_from(form: PhotoForm) -> Result<Self, FormError> {
        for (name, count) in [("photos.rows", form.rows), ("photos.cols", form.cols)] {
            if !(1..=MOST_CELLS).contains(&count) {
                return Err(FormError::field(name, count, &format!("1 to {MOST_CELLS}")));
            }
        }
        for (x, y) in form.corners_px {
            within("photos.corners_px", x, -MOST_PIXELS, MOST_PIXELS)?;
            within("photos.corners_px", y, -MOST_PIXELS, MOST_PIXELS)?;
        }
        within("photos.light_lean", form.light_lean, 0.0, 2.0)?;
        let level = form.level_sd;
        let level = level.unwrap_or_else(|| usual_level(&form.references));
        within("photos.level_sd", level, 0.0, 50.0)?;
        Ok(Self {
            rack: form.rack,
            file: form.file,
            sha256: form.sha256,
            counts: (form.rows, form.cols),
            corners: form.corners_px,
            references: form.references,
            lean: form.light_lean,
            level,
            turned: form.turned.map(|t| (t.file, t.sha256)),
        })
    }
}
