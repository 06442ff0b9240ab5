//! A baker's own dose curve of a kind of bake, from every scored bake of that kind.
//!
//! Nothing is kept but the bakes themselves: the curve is worked out again from them whenever it is wanted.

use super::stays::{heat_of, shut, stays_of};
use crate::{
    field::Fit,
    model::{
        BakeKind, BakeLog, Mode, Oven, OvenId,
        shade::{SATURATED_SHADE, browning_per_shade, score_sd_shade},
        text::counted,
    },
    planner::{
        door::DoorModel,
        refit::{Course, Refit, RefitError, Sample, Stretch, refit},
    },
    units::Minutes,
    workflow::{catalogue::bake_kind, ground::ground_of_oven, kitchen::Records},
};

/// Cells of the maps that pieces are placed on.
const GRID: (usize, usize) = (12, 9);
/// Standard deviation of the browning of two places of an oven without a map, relative (an assumption, no source).
const UNMAPPED_SD: f64 = 0.15;

/// A baker's own curve with its evidence.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnCurve {
    /// The refit.
    pub refit: Refit,
    /// Bakes it rests on.
    pub bakes: usize,
    /// Pieces it rests on.
    pub pieces: usize,
    /// The usual time that shares are of.
    pub usual: Minutes,
}

impl OwnCurve {
    /// Says what it rests on: `from your 3 bakes (36 pieces)`.
    pub fn evidence(&self) -> String {
        let bakes = counted(self.bakes, "bake");
        format!("from your {bakes} ({} pieces)", self.pieces)
    }
}

/// Bakes of a kind, or of the baker's own recipe it stands for, that are out of the oven, with pieces scored.
fn scored<'k>(kitchen: &'k Records, kind: &BakeKind) -> impl Iterator<Item = &'k BakeLog> {
    let (key, own) = (kind.key.clone(), kind.own.clone());
    let is_of = move |bake: &BakeLog| match &own {
        Some(id) => bake.plan.recipe.as_ref().is_some_and(|r| r.id == *id),
        None => bake.kind == key,
    };
    let bakes = kitchen.bakes().iter();
    bakes.filter(move |b| is_of(b) && b.baked.is_some() && !b.pieces.is_empty())
}

/// Refits the curve of a kind to all its scored bakes, whatever the oven.
///
/// # Errors
/// [`RefitError`] when the pieces scored tell nothing of when it browns.
pub fn learn(kitchen: &Records, kind: &BakeKind) -> Result<OwnCurve, RefitError> {
    let mut fits: Vec<((OvenId, Mode), Option<Fit>)> = Vec::new();
    let (mut courses, mut samples): (Vec<Course>, Vec<Sample>) = (Vec::new(), Vec::new());
    for bake in scored(kitchen, kind) {
        let Some(oven) = kitchen.oven(&bake.oven) else {
            continue;
        };
        let key = (bake.oven.clone(), bake.mode);
        if !fits.iter().any(|(k, _)| *k == key) {
            let ground = ground_of_oven(kitchen, oven, Some(bake.mode), GRID).ok();
            let fit = ground.and_then(|g| g.map.ok()).map(|v| v.fit);
            fits.push((key.clone(), fit));
        }
        let fit = fits.iter().find(|(k, _)| *k == key);
        let fit = fit.and_then(|(_, fit)| fit.as_ref());
        let before = samples.len();
        samples.extend(samples_of(bake, oven, fit, courses.len()));
        if samples.len() > before {
            courses.push(course_of(bake));
        }
    }
    let found = refit(&kind.curve, &courses, &samples, kind.time)?;
    Ok(OwnCurve {
        refit: found,
        bakes: courses.len(),
        pieces: samples.len(),
        usual: kind.time,
    })
}

/// Returns the baker's own curve of a kind with its evidence, where the bakes tell enough of it; that of a recipe
/// from its own bakes, else from all of its kind.
pub fn own_curve(kitchen: &Records, kind: &BakeKind) -> Option<OwnCurve> {
    let enough = |kind: &BakeKind| {
        let own = learn(kitchen, kind).ok()?;
        own.refit.is_enough().then_some(own)
    };
    enough(kind).or_else(|| {
        let base = kind.own.as_ref().and_then(|_| bake_kind(&kind.key).ok());
        base.and_then(enough)
    })
}

/// What a bake went through; its door is taken to be a typical one.
fn course_of(bake: &BakeLog) -> Course {
    let trays = bake.plan.segments.first().map_or(1, |s| s.trays.len());
    // To the half minute: bakes turned alike are worked out once.
    let half = |at: Minutes| Minutes((at.0 * 2.0).round() / 2.0);
    Course {
        heat: heat_of(bake),
        door: DoorModel::typical(bake.mode, trays),
        shut: bake
            .openings
            .iter()
            .map(|o| half(shut(bake, o.at)))
            .collect(),
    }
}

fn samples_of(bake: &BakeLog, oven: &Oven, fit: Option<&Fit>, index: usize) -> Vec<Sample> {
    let (shade, stays) = (browning_per_shade(), stays_of(bake, oven));
    let read = bake
        .pieces
        .iter()
        .filter(|p| p.shade.value() < SATURATED_SHADE);
    read.filter_map(|piece| {
        let browning = piece.shade.value() * shade;
        let mut relative_sd: f64 = 0.0;
        let end = piece.pulled.map(|at| shut(bake, at));
        let stretches: Vec<Stretch> = stays((piece.tray, piece.row, piece.col))
            .into_iter()
            .map(|stay| {
                let there = fit.and_then(|f| f.at(stay.rack, stay.x, stay.y));
                let there = there.filter(|p| p.mean > 0.0);
                let (rate, sd) = there.map_or((1.0, UNMAPPED_SD), |p| (p.mean, p.sd / p.mean));
                relative_sd = relative_sd.max(sd);
                let to = end.map_or(stay.to, |end| Minutes(stay.to.0.min(end.0)));
                Stretch {
                    from: stay.from,
                    to,
                    rate,
                }
            })
            .filter(|s| s.to > s.from)
            .collect();
        (!stretches.is_empty()).then(|| Sample {
            bake: index,
            stretches,
            browning,
            sd: (score_sd_shade() * shade).hypot(relative_sd * browning),
        })
    })
    .collect()
}
