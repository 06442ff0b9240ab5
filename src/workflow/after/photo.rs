//! What came out, read from a photo of the tray instead of typed.

use super::score::{OutcomeError, known_tray};
use crate::{
    model::{BakeLog, PieceScore, Shade, bake::TrayPhoto, shade::browning_per_shade},
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
/// A piece that is missing or cannot be read keeps what was scored before, if anything; one that served as the
/// reference is none of the bake's.
///
/// # Errors
/// [`OutcomeError::Tray`] when the bake had no such tray, [`OutcomeError::NoReference`] and [`OutcomeError::Grid`] when
/// shades would be a guess or may be of other pieces; it is unchanged then.
pub fn take(bake: &mut BakeLog, tray: usize, scores: &Scores) -> Result<usize, OutcomeError> {
    let tray = known_tray(bake, tray)?;
    if scores.references.is_empty() {
        return Err(OutcomeError::NoReference);
    }
    if scores.grid.is_doubtful() {
        return Err(OutcomeError::Grid(scores.grid.against()));
    }
    let (mut pieces, mut levels) = (Vec::new(), Vec::new());
    for place in &scores.places {
        let Verdict::Read(score) = place.verdict else {
            continue;
        };
        if score.relative.is_none() {
            continue;
        }
        let shade = Shade::from_value((score.shade.0 * 2.0).round() / 2.0)?;
        bake.score_piece(PieceScore {
            tray,
            row: place.row,
            col: place.col,
            shade,
            pulled: None,
        });
        pieces.push((place.row, place.col));
        levels.push(score.shared_se / score.colour.l.max(1.0) / browning_per_shade());
    }
    bake.photos.retain(|p| p.tray != tray);
    let taken = pieces.len();
    bake.photos.push(TrayPhoto {
        tray,
        pieces,
        level_shade: levels.iter().sum::<f64>() / levels.len().max(1) as f64,
        lean: scores.light.lean,
    });
    Ok(taken)
}
