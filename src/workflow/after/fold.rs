//! What came out of the oven as observations for its map, with their own larger error and their own level.

use super::stays::{Stay, stays_of, tells_nothing};
use crate::{
    field::{Bound, Fit, Lean, Observation},
    model::{
        BakeLog, Oven, PieceScore,
        shade::{SATURATED_SHADE, UNTOASTED_LIGHTNESS, browning_per_shade, score_sd_shade},
    },
    workflow::observe::RACKS,
};

/// A piece tells of the place where at least this share of its browning happened; of two halves, of the first.
const MAIN_SHARE: f64 = 0.5;

/// With fewer scored pieces there is no level to bring them to.
const LEAST_PIECES: usize = 3;

/// The pieces of a bake that carry a figure for the map: not pulled early, and not as good as burnt.
fn telling(bake: &BakeLog) -> impl Iterator<Item = &PieceScore> {
    let tells = |p: &&PieceScore| p.pulled.is_none() && p.shade.value() < SATURATED_SHADE;
    bake.pieces.iter().filter(tells)
}

/// Says whether what came out of a bake counts for its oven's map, and what it lacks to.
pub fn counts(bake: &BakeLog) -> String {
    let scored = telling(bake).count();
    if let Some(why) = tells_nothing(bake) {
        format!("what came out can't count for this oven's map: {why}")
    } else if scored >= LEAST_PIECES && bake.plan.tray.is_some() {
        "what came out counts for this oven's map".to_owned()
    } else {
        format!(
            "what came out counts for this oven's map once {LEAST_PIECES} pieces by themselves have shades short of burnt; {scored} have"
        )
    }
}

/// Returns what the pieces of `bakes` say of the map behind `fit`, each bake in a batch of its own from `batch` up.
///
/// A bake's scores are brought to the map's level first. Of a piece that was moved, what the map says of its other
/// places is taken off and the map's own uncertainty there, and the eye's error, count for more in proportion.
pub fn observations_of_bakes(
    oven: &Oven,
    fit: &Fit,
    bakes: &[&BakeLog],
    batch: usize,
) -> Vec<Observation> {
    let mut out = Vec::new();
    for (i, bake) in bakes.iter().enumerate() {
        out.extend(of_bake(oven, fit, bake, batch + i));
    }
    out
}

fn of_bake(oven: &Oven, fit: &Fit, bake: &BakeLog, batch: usize) -> Vec<Observation> {
    let Some(tray) = bake.plan.tray.filter(|_| tells_nothing(bake).is_none()) else {
        return Vec::new();
    };
    let (shade, stays) = (browning_per_shade(), stays_of(bake, oven));
    // what the light of a photo left in the pieces of its tray, and its level: each tray has a photo of its own
    let leans = |p: &PieceScore| {
        let photo = bake.photos.iter().find(|photo| photo.shows(p))?;
        let lightness = UNTOASTED_LIGHTNESS * (-p.shade.value() * shade).exp();
        let size = photo.lean * (lightness + 16.0) / (3.0 * lightness);
        let along = |i: usize, n: usize| 2.0 * i as f64 / (n.max(2) - 1) as f64 - 1.0;
        Some(Lean {
            photo: batch * RACKS + p.tray,
            loads: [
                size * along(p.col, tray.across),
                size * along(p.row, tray.deep),
                photo.level_shade * shade,
            ],
        })
    };
    // browning seen, and the stays with what the map says of each
    let pieces: Vec<_> = telling(bake)
        .filter_map(|p| {
            let stays = stays((p.tray, p.row, p.col));
            let there: Option<Vec<_>> = stays
                .iter()
                .map(|s| fit.at(s.rack, s.x, s.y).map(|e| (*s, e.mean, e.sd)))
                .collect();
            there
                .filter(|t| !t.is_empty())
                .map(|t| (p.shade.value() * shade, leans(p), t))
        })
        .collect();
    let expected =
        |t: &[(Stay, f64, f64)]| -> f64 { t.iter().map(|(s, mean, _)| s.share * mean).sum() };
    let xy: f64 = pieces.iter().map(|(b, _, t)| b * expected(t)).sum();
    let xx: f64 = pieces.iter().map(|(_, _, t)| expected(t).powi(2)).sum();
    // The same where hardly any browned.
    if pieces.len() < LEAST_PIECES || xy <= 0.0 {
        return Vec::new();
    }
    let to_map = xx / xy;
    let (width, depth) = (
        tray.width.0 / tray.across as f64,
        tray.depth.0 / tray.deep as f64,
    );
    pieces
        .into_iter()
        .filter_map(|(browning, lean, there)| {
            // of equal shares the first: max_by keeps the last of equals
            let (main, _, _) = *there
                .iter()
                .rev()
                .max_by(|a, b| a.0.share.total_cmp(&b.0.share))?;
            if main.share < MAIN_SHARE - 1e-9 {
                return None;
            }
            let others = || there.iter().filter(|(s, _, _)| *s != main);
            let rest: f64 = others().map(|(s, mean, _)| s.share * mean).sum();
            let unsure: f64 = others().map(|(s, _, sd)| (s.share * sd).powi(2)).sum();
            let seen = score_sd_shade() * shade * to_map;
            Some(Observation {
                rack: main.rack,
                x: main.x,
                y: main.y,
                width,
                depth,
                browning: (browning * to_map - rest) / main.share,
                sd: (seen * seen + unsure).sqrt() / main.share,
                bound: Bound::Exact,
                batch,
                lean: lean.map(|l| l.scaled(to_map / main.share)),
            })
        })
        .collect()
}
