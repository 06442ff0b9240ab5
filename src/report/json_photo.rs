//! What was read from a photo, as JSON.

use crate::model::formed::formed;
use crate::{
    colour::browning_index::browning_index,
    geometry::Point,
    sampling::{
        Flag, GridFit, LightKind, Measured, Piece, Pieces, Scores, SliceScore, Verdict, describe,
    },
};
use serde::Serialize;

/// The scores read from one photo.
#[derive(Debug, Serialize)]
pub struct PhotoJson {
    corners_px: [[f64; 2]; 4],
    /// The first reference, `null` when nothing of known lightness was found.
    reference: Option<ReferenceJson>,
    references: Vec<ReferenceJson>,
    light: LightJson,
    cells: Vec<CellJson>,
    quality: QualityJson,
    fit: FitJson,
    warnings: Vec<String>,
}

formed! {
    /// How well corners, counts and slices agree.
    #[derive(Debug, Serialize)]
    struct FitJson from fit: &GridFit {
        /// 1 where all agree, towards 0 where nothing does.
        figure: f64 = fit.figure,
        /// Whether it must be accepted before the scores go into a test.
        doubtful: bool = fit.is_doubtful(),
        shared_places: usize = fit.shared,
        shifted_slices: usize = fit.off,
        slices_beside: usize = fit.beside,
        empty_places: usize = fit.empty,
        /// Rows and columns that are seen instead, where they are others.
        counted: Option<(usize, usize)> = fit.counted,
    }
}

formed! {
    #[derive(Debug, Clone, Serialize)]
    struct ReferenceJson from reference: &Measured {
        given_as: String = describe(&reference.kind),
        looked_for: bool = reference.looked_for,
    }
}

#[derive(Debug, Serialize)]
struct LightJson {
    kind: &'static str,
    share_removed: f64,
    /// Standard deviation of the lean that is left, middle to edge, natural logarithm of light.
    lean_left: f64,
}

#[derive(Debug, Serialize)]
struct QualityJson {
    sharpness: f64,
    brightness: f64,
    clipped_share: f64,
}

#[derive(Debug, Serialize)]
struct CellJson {
    row: usize,
    col: usize,
    present: bool,
    #[serde(flatten)]
    score: ScoreJson,
    centre_px: [f64; 2],
    flags: Vec<String>,
    /// L* as it looks, where the slice was left out.
    lightness_left_out: Option<f64>,
}

formed! {
    /// Every figure is `null` where nothing was read.
    #[derive(Debug, Default, Serialize)]
    struct ScoreJson from score: &SliceScore {
        lightness: Option<f64> = Some(score.colour.l),
        a_star: Option<f64> = Some(score.colour.a),
        b_star: Option<f64> = Some(score.colour.b),
        lightness_se: Option<f64> = Some(score.se),
        lightness_shared_se: Option<f64> = Some(score.shared_se),
        shade: Option<f64> = Some(score.shade.0),
        shade_lo: Option<f64> = Some(score.shade.1),
        shade_hi: Option<f64> = Some(score.shade.2),
        browning: Option<f64> = Some(score.browning.0),
        relative: Option<f64> = score.relative,
        browning_index: Option<f64> = browning_index(score.colour),
    }
}

fn pair(p: Point) -> [f64; 2] {
    [p.x, p.y]
}

/// Returns the word for how the light was corrected.
fn light_word(kind: LightKind) -> &'static str {
    match kind {
        LightKind::Background => "background",
        LightKind::Turned => "turned",
        LightKind::LensOnly => "lens",
    }
}

impl From<&Scores> for PhotoJson {
    fn from(scores: &Scores) -> Self {
        let references: Vec<ReferenceJson> = scores.references.iter().map(Into::into).collect();
        let cells = scores.places.iter().map(|place| {
            let mut flags: Vec<String> = place
                .flags
                .iter()
                .map(|f: &Flag| f.word().to_owned())
                .collect();
            let score = match &place.verdict {
                Verdict::Missing => {
                    flags.push("missing".to_owned());
                    ScoreJson::default()
                }
                Verdict::Unread(why) => {
                    flags.push(format!("unread: {}", why.words()));
                    ScoreJson::default()
                }
                Verdict::Read(score) => score.into(),
            };
            CellJson {
                row: place.row,
                col: place.col,
                present: place.verdict != Verdict::Missing,
                score,
                centre_px: pair(place.centre),
                flags,
                lightness_left_out: place.left_out,
            }
        });
        Self {
            corners_px: scores.corners.map(pair),
            reference: references.first().cloned(),
            references,
            light: LightJson {
                kind: light_word(scores.light.kind),
                share_removed: scores.light.removed,
                lean_left: scores.light.lean,
            },
            cells: cells.collect(),
            quality: QualityJson {
                sharpness: scores.quality.sharpness,
                brightness: scores.quality.brightness,
                clipped_share: scores.quality.clipped,
            },
            fit: (&scores.grid).into(),
            warnings: scores.warnings.iter().map(ToString::to_string).collect(),
        }
    }
}

/// The pieces of a tray read from one photo.
#[derive(Debug, Serialize)]
pub struct PiecesJson {
    pieces: Vec<PieceJson>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct PieceJson {
    number: usize,
    centre_px: [f64; 2],
    side_px: f64,
    #[serde(flatten)]
    score: ScoreJson,
    flags: Vec<String>,
}

impl From<&Pieces> for PiecesJson {
    fn from(read: &Pieces) -> Self {
        let pieces = read.pieces.iter().enumerate().map(|(i, piece)| PieceJson {
            number: i + 1,
            centre_px: pair(piece.centre),
            side_px: piece.side,
            score: piece
                .score
                .as_ref()
                .map_or_else(|_| ScoreJson::default(), Into::into),
            flags: piece_flags(piece),
        });
        Self {
            pieces: pieces.collect(),
            warnings: read.warnings.iter().map(ToString::to_string).collect(),
        }
    }
}

fn piece_flags(piece: &Piece) -> Vec<String> {
    let mut flags: Vec<String> = piece.flags.iter().map(|f| f.word().to_owned()).collect();
    flags.extend(
        piece
            .score
            .as_ref()
            .err()
            .map(|why| format!("unread: {}", why.words())),
    );
    flags
}
