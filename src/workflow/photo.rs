//! From a photo file to the scores of a rack: opened, read, corrected by hand, accepted.

use crate::{
    geometry::Point,
    model::{PhotoNote, Reading, ToastTest},
    photo::{self, Limits, Photo, PhotoError},
    sampling::{
        self, Pieces, Rectangle, Reference, Request, SamplingError, Scores, Verdict, describe,
        request::GREY_LIGHTNESS,
    },
    store::{self, StoreError},
};
use std::path::{Path, PathBuf};

/// Two figures of an untoasted slice this close, L*, are of one loaf.
const SAME_LOAF: f64 = 0.05;

/// What stands between a photo file and scores.
#[derive(Debug, thiserror::Error)]
pub enum PhotoTrouble {
    /// The file cannot be read.
    #[error(transparent)]
    File(#[from] StoreError),
    /// It is no photo that can be decoded.
    #[error(transparent)]
    Photo(#[from] PhotoError),
    /// Too few pixels for anything to be seen.
    #[error(
        "the picture is {width} x {height} pixels, too small to see a slice in; give the photo as the camera took it"
    )]
    Small {
        /// Width, pixels.
        width: usize,
        /// Height, pixels.
        height: usize,
    },
    /// The picture is refused.
    #[error(transparent)]
    Sampling(#[from] SamplingError),
    /// The slices do not lie on the rack in the rows and columns that were read.
    #[error(
        "rack position {rack} of this test carries {slices} slices{}, but the photo was read in {rows} rows and {cols} columns; name the side where the back wall is, and give the rows and columns of that rack",
        in_rows(laid)
    )]
    Count {
        /// The rack position.
        rack: u8,
        /// Slices laid out on it.
        slices: usize,
        /// The same, row by row from the back.
        laid: Vec<usize>,
        /// Rows read.
        rows: usize,
        /// Columns read.
        cols: usize,
    },
    /// The test has no slices on the rack.
    #[error(
        "no slice of this test lies on rack position {rack}; its slices lie on {}",
        others.iter().map(u8::to_string).collect::<Vec<_>>().join(", ")
    )]
    NoSlices {
        /// The rack position.
        rack: u8,
        /// Those that have slices.
        others: Vec<u8>,
    },
    /// The same file was read for another rack.
    #[error(
        "this photo was read for rack position {0} of this test already; every rack needs a photo of its own, and if that was the wrong rack, score its slices by eye first"
    )]
    SamePhoto(u8),
    /// The second photo is the first.
    #[error(
        "both photos are the same file; turn the tray end for end, keep the camera as it was, and photograph it again"
    )]
    SameFile,
    /// Other racks of the test rest on another lightness of the same loaf.
    #[error(
        "the other racks of this test were read with an untoasted slice of L* {known:.1}, this photo with one of L* {here:.1}, but one loaf has one; read it with L* {known:.1}, or read the other racks again"
    )]
    Loaf {
        /// What the other racks rest on.
        known: f64,
        /// What this photo was read with.
        here: f64,
    },
    /// Corners, a reference or a side that cannot be understood.
    #[error("{0}")]
    Words(String),
}

/// Says in which rows and columns slices lie, where every row has as many.
fn in_rows(laid: &[usize]) -> String {
    match laid {
        [first, ..] if laid.iter().all(|row| row == first) => {
            format!(" in {} rows and {first} columns", laid.len())
        }
        _ => String::new(),
    }
}

/// A photo that was opened, and where it lay.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenPhoto {
    /// The decoded photo.
    pub photo: Photo,
    /// Its file.
    pub file: PathBuf,
    /// SHA-256 of the file, in hexadecimal.
    pub sha256: String,
}

/// Shortest side of a photo, pixels: a slice of a row of twelve would be five wide.
const LEAST_SIDE: usize = 64;

/// Opens a photo file.
///
/// # Errors
/// [`PhotoTrouble::File`], [`PhotoTrouble::Photo`] or [`PhotoTrouble::Small`].
pub fn open_photo(path: &Path) -> Result<OpenPhoto, PhotoTrouble> {
    let limits = Limits::default();
    let file = store::read_photo(path, limits.bytes)?;
    let photo = photo::open(&file.bytes, &limits)?;
    let (width, height) = (photo.picture.width, photo.picture.height);
    if width.min(height) < LEAST_SIDE {
        return Err(PhotoTrouble::Small { width, height });
    }
    Ok(OpenPhoto {
        photo,
        file: path.to_owned(),
        sha256: file.sha256,
    })
}

/// A second photo of the tray turned end for end, and its corners where they were given.
pub type Turned<'a> = (&'a OpenPhoto, Option<[Point; 4]>);

/// Reads the scores from a photo, with the help of a second one where there is one.
///
/// # Errors
/// [`PhotoTrouble::Sampling`] when the picture is refused.
pub fn read_photo(
    open: &OpenPhoto,
    request: &Request,
    turned: Option<Turned<'_>>,
) -> Result<Scores, PhotoTrouble> {
    let picture = &open.photo.picture;
    let mut scores = match turned {
        None => sampling::read(picture, request)?,
        Some((second, _)) if second.sha256 == open.sha256 => return Err(PhotoTrouble::SameFile),
        Some((second, corners)) => {
            sampling::read_turned(picture, request, &second.photo.picture, corners)?
        }
    };
    let second = turned.iter().flat_map(|(second, _)| &second.photo.warnings);
    let said = open.photo.warnings.iter().chain(second);
    scores
        .warnings
        .extend(said.map(|w| crate::model::Warning::new(w.clone(), "")));
    Ok(scores)
}

/// Reads the pieces of a tray of what was baked.
///
/// # Errors
/// [`PhotoTrouble::Sampling`] when no pieces are seen.
pub fn read_pieces(open: &OpenPhoto, dough: f64) -> Result<Pieces, PhotoTrouble> {
    Ok(sampling::read_pieces(&open.photo.picture, dough)?)
}

/// What was read from a photo, ready to go into a toast test.
#[derive(Debug, Clone)]
pub struct PhotoReading<'a> {
    /// The rack position it shows.
    pub rack: u8,
    /// The photo.
    pub open: &'a OpenPhoto,
    /// The second photo, where there was one.
    pub turned: Option<&'a OpenPhoto>,
    /// What was asked.
    pub request: &'a Request,
    /// What was read.
    pub scores: &'a Scores,
    /// Readings keyed over what was read, by place, row by row from the back.
    pub corrections: &'a [(usize, Reading)],
}

/// Puts what was read into the slices of one rack of a test, and notes where it came from.
///
/// Slices that could not be read stay as they were, but for what an earlier photo of the rack said; an untoasted reference slice is set to skipped,
/// since it says nothing of the oven, and the lightness it was taken to have becomes the loaf's. Returns
/// how many slices got a score.
///
/// # Errors
/// [`PhotoTrouble::Count`] when the rack does not carry that many slices, [`PhotoTrouble::Loaf`] when slices
/// on other racks were measured against another untoasted slice; the test is then unchanged.
pub fn accept(test: &mut ToastTest, reading: &PhotoReading<'_>) -> Result<usize, PhotoTrouble> {
    let (rows, cols) = (reading.request.rows, reading.request.cols);
    let rack = reading.rack;
    let here: Vec<usize> = (0..test.slices.len())
        .filter(|&i| test.slices[i].rack == rack)
        .collect();
    if here.is_empty() {
        let mut others: Vec<u8> = test.slices.iter().map(|s| s.rack).collect();
        others.sort_unstable();
        others.dedup();
        return Err(PhotoTrouble::NoSlices { rack, others });
    }
    if let Some(other) = told_before(test, reading) {
        return Err(PhotoTrouble::SamePhoto(other));
    }
    let laid = test.rows_of(&here);
    if laid.len() != rows || laid.iter().any(|row| row.len() != cols) {
        return Err(PhotoTrouble::Count {
            rack,
            slices: here.len(),
            laid: laid.iter().map(Vec::len).collect(),
            rows,
            cols,
        });
    }
    let (known, said) = (test.untoasted(), reading.request.untoasted);
    let refers = (0..rows * cols).any(|place| is_reference(reading, place));
    let others_rest_on_it = test
        .slices
        .iter()
        .any(|s| s.rack != rack && matches!(s.reading, Reading::Measured { .. }));
    let other_loaf = (known - said).abs() > SAME_LOAF;
    if other_loaf && others_rest_on_it {
        return Err(PhotoTrouble::Loaf { known, here: said });
    }
    let mut scored = 0;
    for (place, (&i, read)) in laid
        .iter()
        .flatten()
        .zip(&reading.scores.places)
        .enumerate()
    {
        let by_hand = reading.corrections.iter().rev().find(|c| c.0 == place);
        let slice = &mut test.slices[i].reading;
        match (by_hand, read.verdict) {
            (Some((_, reading)), _) => *slice = *reading,
            (None, Verdict::Missing) => *slice = Reading::Missing,
            (None, Verdict::Unread(_)) => {
                // What an earlier photo said is no longer backed by the note of this one.
                if matches!(slice, Reading::Measured { .. }) {
                    *slice = Reading::Unscored;
                }
                continue;
            }
            (None, Verdict::Read(_)) if is_reference(reading, place) => {
                *slice = Reading::Skipped;
                continue;
            }
            (None, Verdict::Read(score)) => {
                *slice = Reading::Measured {
                    lightness: score.colour.l.clamp(0.01, 100.0),
                    sd: score.se,
                };
            }
        }
        scored += usize::from(matches!(
            *slice,
            Reading::ByEye(_) | Reading::Measured { .. }
        ));
    }
    if refers || other_loaf {
        test.bread.untoasted_lightness = Some(said);
    }
    test.photos.retain(|p| p.rack != rack);
    test.photos.push(note(reading));
    test.cursor = test.next_unscored(0).unwrap_or(test.slices.len());
    Ok(scored)
}

/// Returns another rack position whose slices have their scores from one of these files.
fn told_before(test: &ToastTest, reading: &PhotoReading<'_>) -> Option<u8> {
    let files: Vec<&str> = std::iter::once(reading.open)
        .chain(reading.turned)
        .map(|open| open.sha256.as_str())
        .collect();
    let is_one = |p: &PhotoNote| {
        let turned = p.turned.iter().map(|(_, sha256)| sha256);
        let mut all = std::iter::once(&p.sha256).chain(turned);
        all.any(|sha256| files.contains(&sha256.as_str()))
    };
    // One whose slices were all scored by eye since says nothing of its rack any more.
    let told = |rack: u8| {
        let mut there = test.slices.iter().filter(|s| s.rack == rack);
        there.any(|s| matches!(s.reading, Reading::Measured { .. }))
    };
    let mut others = test.photos.iter().filter(|p| p.rack != reading.rack);
    others.find(|p| is_one(p) && told(p.rack)).map(|p| p.rack)
}

/// Tells whether the slice in a place served as a reference.
fn is_reference(reading: &PhotoReading<'_>, place: usize) -> bool {
    let cols = reading.request.cols;
    let slice = Reference::Slice {
        row: place / cols,
        col: place % cols,
    };
    reading.scores.references.iter().any(|r| r.kind == slice)
}

fn note(reading: &PhotoReading<'_>) -> PhotoNote {
    let named = |open: &OpenPhoto| (open.file.display().to_string(), open.sha256.clone());
    let (file, sha256) = named(reading.open);
    let shared = |place: &sampling::Place| match place.verdict {
        Verdict::Read(score) => score.relative.map(|_| score.shared_se),
        Verdict::Missing | Verdict::Unread(_) => None,
    };
    let shared: Vec<f64> = reading.scores.places.iter().filter_map(shared).collect();
    PhotoNote {
        rack: reading.rack,
        file,
        sha256,
        counts: (reading.request.rows, reading.request.cols),
        corners: reading.scores.corners.map(|c| (c.x, c.y)),
        references: reading
            .scores
            .references
            .iter()
            .map(|r| describe(&r.kind))
            .collect(),
        lean: reading.scores.light.lean,
        level: shared.iter().sum::<f64>() / shared.len().max(1) as f64,
        turned: reading.turned.map(named),
    }
}

/// Reads four corners: `x,y x,y x,y x,y`.
///
/// # Errors
/// [`PhotoTrouble::Words`].
pub fn parse_corners(text: &str) -> Result<[Point; 4], PhotoTrouble> {
    let wrong = || {
        PhotoTrouble::Words(format!(
            "'{text}' is not four corners; write x,y x,y x,y x,y in pixels of the upright picture: back-left, back-right, front-right, front-left"
        ))
    };
    let points: Vec<Point> = text
        .split_whitespace()
        .map(|pair| {
            let (x, y) = pair.split_once(',')?;
            Some(Point::new(x.parse().ok()?, y.parse().ok()?))
        })
        .collect::<Option<_>>()
        .ok_or_else(wrong)?;
    points.try_into().map_err(|_not_four| wrong())
}

/// Reads a reference: `slice:ROW,COL`, `white:x,y,w,h` or `grey:x,y,w,h[:L]`.
///
/// # Errors
/// [`PhotoTrouble::Words`].
pub fn parse_reference(text: &str) -> Result<Reference, PhotoTrouble> {
    let wrong = || {
        PhotoTrouble::Words(format!(
            "'{text}' is no reference; write slice:ROW,COL (from 0, back-left first), white:x,y,w,h or grey:x,y,w,h[:L] in pixels of the upright picture"
        ))
    };
    let (kind, rest) = text.split_once(':').ok_or_else(wrong)?;
    let (place, lightness) = match rest.split_once(':') {
        Some((place, l)) => (place, Some(l.parse::<f64>().map_err(|_e| wrong())?)),
        None => (rest, None),
    };
    let numbers: Vec<f64> = place
        .split(',')
        .map(|n| n.trim().parse().ok().filter(|v: &f64| v.is_finite()))
        .collect::<Option<_>>()
        .ok_or_else(wrong)?;
    let rectangle = || match numbers[..] {
        [x, y, width, height] if width > 0.0 && height > 0.0 => {
            Ok(Rectangle::new(x, y, width, height))
        }
        _ => Err(wrong()),
    };
    match (kind, lightness) {
        ("slice", None) => match place
            .split(',')
            .map(|n| n.trim().parse().ok())
            .collect::<Option<Vec<usize>>>()
            .as_deref()
        {
            Some([row, col]) => Ok(Reference::Slice {
                row: *row,
                col: *col,
            }),
            _ => Err(wrong()),
        },
        ("white", None) => Ok(Reference::White(rectangle()?)),
        ("grey", l) if l.is_none_or(|l| (5.0..=100.0).contains(&l)) => {
            Ok(Reference::Grey(rectangle()?, l.unwrap_or(GREY_LIGHTNESS)))
        }
        _ => Err(wrong()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_and_corners_are_read_as_they_are_written() {
        let slice = parse_reference("slice:0,2").unwrap();
        assert_eq!(slice, Reference::Slice { row: 0, col: 2 });
        for text in ["slice:0,2", "white:10,20,30,40", "grey:10,20,30,40:49.5"] {
            assert_eq!(describe(&parse_reference(text).unwrap()), text);
        }
        assert_eq!(
            parse_reference("grey:1,2,3,4").unwrap(),
            parse_reference("grey:1,2,3,4:49.5").unwrap()
        );
        for wrong in [
            "",
            "slice",
            "slice:-1,2",
            "slice:0.5,2",
            "slice:1,2:80",
            "white:1,2,3",
            "white:1,2,0,4",
            "white:1,2,3,NaN",
            "grey:1,2,3,4:200",
            "black:1,2,3,4",
        ] {
            assert!(parse_reference(wrong).is_err(), "{wrong}");
        }
        let corners = parse_corners("1,2 3,4 5.5,6 7,8").unwrap();
        assert_eq!(corners[2], Point::new(5.5, 6.0));
        for wrong in [
            "",
            "1,2 3,4 5,6",
            "1,2 3,4 5,6 7,8 9,10",
            "1 2 3 4",
            "a,b 1,2 3,4 5,6",
        ] {
            assert!(parse_corners(wrong).is_err(), "{wrong}");
        }
    }
}
