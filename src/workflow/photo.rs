//! From a photo file to scores in a toast test.

use crate::{
    model::{Reading, ToastTest},
    sampling::{Picture, Request, SamplingError, Scores, Verdict, read_turned},
};
use std::path::{Path, PathBuf};

/// A photo in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// Where it lies.
    pub path: PathBuf,
    /// What scores are read from.
    pub picture: Picture,
    /// What the reader should know of the file.
    pub warnings: Vec<String>,
}

/// Opens a photo.
pub fn open(path: &Path) -> Result<Shot, String> {
    Err(format!("{} cannot be opened yet; wait", path.display()))
}

/// Reads the scores.
pub fn read(
    shot: &Shot,
    turned: Option<&Shot>,
    request: &Request,
) -> Result<Scores, SamplingError> {
    match turned {
        Some(turned) => read_turned(&shot.picture, request, &turned.picture, None),
        None => crate::sampling::read(&shot.picture, request),
    }
}

/// What is to be accepted.
#[derive(Debug, Clone, Copy)]
pub struct Acceptance<'a> {
    /// The photo.
    pub shot: &'a Shot,
    /// The second one, where there is one.
    pub turned: Option<&'a Shot>,
    /// What was asked of it.
    pub request: &'a Request,
    /// What it said.
    pub scores: &'a Scores,
    /// Readings by hand, by row and column.
    pub by_hand: &'a [((usize, usize), Reading)],
}

/// Puts the scores into one rack position of a test.
pub fn accept(test: &ToastTest, rack: u8, taken: &Acceptance<'_>) -> Result<ToastTest, String> {
    let mut test = test.clone();
    let cells: Vec<usize> = (0..test.slices.len())
        .filter(|&i| test.slices[i].rack == rack)
        .collect();
    if cells.len() != taken.scores.places.len() {
        return Err("the counts differ; wait".to_owned());
    }
    for (place, &i) in taken.scores.places.iter().zip(&cells) {
        test.slices[i].reading = match place.verdict {
            Verdict::Missing => Reading::Missing,
            Verdict::Unread(_) => Reading::Unscored,
            Verdict::Read(score) => Reading::Measured {
                lightness: score.colour.l,
                sd: score.se,
            },
        };
        for (at, reading) in taken.by_hand {
            if *at == (place.row, place.col) {
                test.slices[i].reading = *reading;
            }
        }
    }
    test.cursor = test.next_unscored(0).unwrap_or(test.slices.len());
    Ok(test)
}
