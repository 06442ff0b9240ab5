//! The tray straight from above in an even light, the shade of each slice written on it.

use super::picture::{DOOR, FIGURES, Frame, INK, PAPER, Picture, PngError};
use crate::{
    colour::{lab::linear_to_lab, lab_to_srgb},
    sampling::{self, Scores, Verdict},
};

/// Pixels of the drawing for one slice's place.
const CELL: u32 = 200;

/// Draws what was read from a photo: the tray as if seen from above, the back at the top and the
/// door as a bar below, each slice with its shade; `--` where none could be read.
///
/// # Errors
/// [`PngError`] when the corners fix no perspective.
pub fn tray_png(
    photo: &sampling::Picture,
    scores: &Scores,
    (rows, cols): (usize, usize),
) -> Result<Vec<u8>, PngError> {
    let flat = scores
        .rectified(photo, (rows, cols), CELL as usize)
        .ok_or(PngError::Empty("tray"))?;
    let (width, height) = (
        u32::try_from(flat.width).unwrap_or(u32::MAX),
        u32::try_from(flat.height).unwrap_or(u32::MAX),
    );
    let mut picture = Picture::new(width, height + DOOR);
    for (i, pixel) in (0_u32..).zip(&flat.pixels) {
        let lab = linear_to_lab(pixel.map(f64::from));
        picture.set(i % width, i / width, lab_to_srgb(lab));
    }
    for place in &scores.places {
        let (col, row) = (
            u32::try_from(place.col).unwrap_or(0),
            u32::try_from(place.row).unwrap_or(0),
        );
        let text = match &place.verdict {
            Verdict::Read(score) => format!("{:.1}", score.shade.0),
            Verdict::Unread(_) => "--".to_owned(),
            Verdict::Missing => continue,
        };
        let label = Frame {
            x: col * CELL + CELL / 2 - 30,
            y: row * CELL + CELL / 2 - FIGURES / 2,
            width: 60,
            height: FIGURES,
        };
        picture.fill(label, PAPER);
        picture.write(&text, col * CELL + CELL / 2, label.y + 5);
    }
    let door = Frame::new(0, height, width, DOOR);
    picture.fill(door, INK);
    picture.encode()
}
