//! Scores of what came out, as they are typed: whole trays, rows of a tray, single places.

use crate::model::{BakeLog, PieceScore, Shade, ShadeError};
use crate::units::Minutes;

/// Why a score cannot be taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OutcomeError {
    /// No such tray.
    #[error("there is no tray {tray} in this bake; it had {known}")]
    Tray {
        /// The number asked for.
        tray: usize,
        /// The trays there were.
        known: String,
    },
    /// A place that is not on the tray.
    #[error(
        "there is no place {row},{col} on the tray; it has rows 1 (back) to {deep} and columns 1 (left) to {across}"
    )]
    Place {
        /// Row, from 1.
        row: usize,
        /// Column, from 1.
        col: usize,
        /// Rows.
        deep: usize,
        /// Columns.
        across: usize,
    },
    /// The bake does not know its tray's pieces.
    #[error("this bake was kept without its tray's pieces; score whole trays, like 1=4.5")]
    NoPieces,
    /// Nothing in the photo tells how dark the pieces are.
    #[error(
        "nothing of known lightness is in the photo, so how dark the pieces are would be a guess; lay a white or grey card beside the tray, or score them by eye"
    )]
    NoReference,
    /// The pieces may not lie as they are taken to.
    #[error(
        "the pieces may not lie where they are looked for: {0}; photograph the whole tray from above, or score them by eye"
    )]
    Grid(String),
    /// No score at all.
    #[error(
        "'{0}' is no score; write tray=shade like 1=4.5, or tray:row,column=shade like 1:2,3=4.5, with @minute for a piece pulled early"
    )]
    Form(String),
    /// Not on the card.
    #[error(transparent)]
    Shade(#[from] ShadeError),
    /// A minute outside the bake.
    #[error("a piece cannot have been pulled at {at}; this bake took {took}")]
    Pulled {
        /// The minute given.
        at: Minutes,
        /// Its length.
        took: Minutes,
    },
}

/// Sets one score: `1=4.5` a whole tray, `1:2,3=4.5` row 2 from the back and column 3 from the left of tray 1 as
/// it first went in, `1:2,3=3@9` the same pulled at 9 minutes.
///
/// # Errors
/// [`OutcomeError`] says what is wrong; the bake is unchanged then.
pub fn set(bake: &mut BakeLog, text: &str) -> Result<(), OutcomeError> {
    let form = || OutcomeError::Form(text.to_owned());
    let (place, shade) = text.split_once('=').ok_or_else(form)?;
    let (shade, pulled) = match shade.split_once('@') {
        Some((shade, at)) => (
            shade,
            Some(at.trim().parse::<f64>().map_err(|_why| form())?),
        ),
        None => (shade, None),
    };
    let shade = Shade::from_value(shade.trim().parse().map_err(|_why| form())?)?;
    let pulled = pulled.map(Minutes);
    let took = bake.baked.unwrap_or(bake.plan.bake);
    if let Some(at) = pulled.filter(|at| !(at.0 > 0.0 && *at <= took)) {
        return Err(OutcomeError::Pulled { at, took });
    }
    match place.split_once(':') {
        None => {
            let tray = known_tray(bake, place.trim().parse().map_err(|_why| form())?)?;
            if pulled.is_some() {
                return Err(form());
            }
            bake.score_tray(tray, shade);
        }
        Some((tray, place)) => {
            let tray = known_tray(bake, tray.trim().parse().map_err(|_why| form())?)?;
            let (row, col) = place.split_once(',').ok_or_else(form)?;
            let row: usize = row.trim().parse().map_err(|_why| form())?;
            let col: usize = col.trim().parse().map_err(|_why| form())?;
            let size = bake.plan.tray.ok_or(OutcomeError::NoPieces)?;
            if !(1..=size.deep).contains(&row) || !(1..=size.across).contains(&col) {
                return Err(OutcomeError::Place {
                    row,
                    col,
                    deep: size.deep,
                    across: size.across,
                });
            }
            bake.score_piece(PieceScore {
                tray,
                row: row - 1,
                col: col - 1,
                shade,
                pulled,
            });
        }
    }
    Ok(())
}

pub(super) fn known_tray(bake: &BakeLog, tray: usize) -> Result<usize, OutcomeError> {
    let trays = bake.trays();
    if trays.contains(&tray) {
        return Ok(tray);
    }
    let known: Vec<String> = trays.iter().map(|t| format!("tray {t}")).collect();
    Err(OutcomeError::Tray {
        tray,
        known: known.join(", "),
    })
}
