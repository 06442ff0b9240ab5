//! What was read from a photo, as JSON.

use crate::model::formed::formed;
use crate::{
    colour::browning_index::browning_index,
    geometry::Point,
    sampling::{
        Flag, GridFit, LightKind, LightShare, Measured, Piece, Pieces, Place, Quality, Scores,
        SliceScore, Unreadable, Verdict, describe,
    },
};
use serde::Serialize;

formed! {
    /// The scores read from one photo.
    #[derive(Debug, Serialize)]
    pub struct PhotoJson from scores: &Scores {
        corners_px: [[f64; 2]; 4] = scores.corners.map(pair),
        /// The first reference, `null` when nothing of known lightness was found.
        reference: Option<ReferenceJson> = scores.references.first().map(Into::into),
        references: Vec<ReferenceJson> = scores.references.iter().map(Into::into).collect(),
        light: LightJson = (&scores.light).into(),
        cells: Vec<CellJson> = scores.places.iter().map(Into::into).collect(),
        quality: QualityJson = (&scores.quality).into(),
        fit: FitJson = (&scores.grid).into(),
        warnings: Vec<String> = scores.warnings.iter().map(ToString::to_string).collect(),
    }
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
        mirrored_corners: bool = fit.mirrored,
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

formed! {
    #[derive(Debug, Serialize)]
    struct LightJson from light: &LightShare {
        kind: &'static str = match light.kind {
            LightKind::Background => "background",
            LightKind::Turned => "turned",
            LightKind::LensOnly => "lens",
        },
        share_removed: f64 = light.removed,
        /// Standard deviation of the lean that is left, middle to edge, natural logarithm of light.
        lean_left: f64 = light.lean,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct QualityJson from quality: &Quality {
        sharpness: f64 = quality.sharpness,
        brightness: f64 = quality.brightness,
        clipped_share: f64 = quality.clipped,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct CellJson from place: &Place {
        row: usize = place.row,
        col: usize = place.col,
        present: bool = place.verdict != Verdict::Missing,
        #[serde(flatten)]
        score: ScoreJson = match &place.verdict {
            Verdict::Read(score) => score.into(),
            Verdict::Missing | Verdict::Unread(_) => ScoreJson::default(),
        },
        centre_px: [f64; 2] = pair(place.centre),
        flags: Vec<String> = flags(&place.flags, match &place.verdict {
            Verdict::Missing => Some("missing".to_owned()),
            Verdict::Unread(why) => Some(unread(why)),
            Verdict::Read(_) => None,
        }),
        /// L* as it looks, where the slice was left out.
        lightness_left_out: Option<f64> = place.left_out,
    }
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

/// Returns the words of what stands out about a slice, and last why it has no score.
fn flags(flags: &[Flag], why: Option<String>) -> Vec<String> {
    let words = flags.iter().map(|f| f.word().to_owned());
    words.chain(why).collect()
}

fn unread(why: &Unreadable) -> String {
    format!("unread: {}", why.words())
}

formed! {
    /// The pieces of a tray read from one photo.
    #[derive(Debug, Serialize)]
    pub struct PiecesJson from read: &Pieces {
        pieces: Vec<PieceJson> = (1..).zip(&read.pieces).map(Into::into).collect(),
        warnings: Vec<String> = read.warnings.iter().map(ToString::to_string).collect(),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct PieceJson from piece: (usize, &Piece) {
        number: usize = piece.0,
        centre_px: [f64; 2] = pair(piece.1.centre),
        side_px: f64 = piece.1.side,
        #[serde(flatten)]
        score: ScoreJson = piece.1.score.as_ref().map_or_else(|_| ScoreJson::default(), Into::into),
        flags: Vec<String> = flags(&piece.1.flags, piece.1.score.as_ref().err().map(unread)),
    }
}
