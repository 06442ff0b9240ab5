//! What came out, read from a photo of the tray instead of typed.

use super::score::{OutcomeError, known_tray};
use crate::{
    model::{BakeLog, PieceScore, Shade},
    sampling::{Request, Scores, Side, Verdict},
};

/// Makes the request for a photo of a bake's tray: its pieces lie in rows and columns.
///
/// `back` is the side of the picture where the tray had its back when it first went in, `dough` the L*
/// of the unbaked dough.
///
/// # Errors
/// [`OutcomeError::NoPieces`] when the bake does not know how its pieces lay.
pub fn request_of(bake: &BakeLog, back: Side, dough: f64) -> Result<Request, OutcomeError> {
    let tray = bake.plan.tray.ok_or(OutcomeError::NoPieces)?;
    Ok(Request {
        rows: tray.deep,
        cols: tray.across,
        corners: None,
        back,
        references: Vec::new(),
        untoasted: dough,
    })
}

/// Puts the pieces that could be read into a bake, to the nearest half shade; returns how many.
///
/// A piece that is missing or cannot be read keeps what was scored before, if anything.
///
/// # Errors
/// [`OutcomeError::Tray`] when the bake had no such tray; it is unchanged then.
pub fn take(bake: &mut BakeLog, tray: usize, scores: &Scores) -> Result<usize, OutcomeError> {
    let tray = known_tray(bake, tray)?;
    let mut taken = 0;
    for place in &scores.places {
        let Verdict::Read(score) = place.verdict else {
            continue;
        };
        let shade = Shade::from_value((score.shade.0 * 2.0).round() / 2.0)?;
        bake.score_piece(PieceScore {
            tray,
            row: place.row,
            col: place.col,
            shade,
            pulled: None,
        });
        taken += 1;
    }
    Ok(taken)
}
