//! What spoils single slices: glare, the shadow of a hand, one half burnt. The part is left out, the slice is
//! left out, or its error is widened; never in silence.

use super::{
    crumb::{Crumb, Unreadable},
    fellows::{Standing, standings},
    ground::{self, Ground},
    laid::{Laid, Local},
    picture::{Picture, luminance},
    scores::Flag,
};
use crate::model::Warning;

/// So much cooler than its fellows (natural logarithm of blue over red) a slice lies under glare.
const GLARE: f64 = 0.18;
/// The same where it is also so many scatters away.
const CLEAR_GLARE: (f64, f64) = (0.12, 6.0);
/// From here on its error is widened.
const HINT: f64 = 0.08;
/// In a shadow on the ground beside it, a slice lies from here on.
const SHADED: f64 = 0.12;
/// By how much the error is widened, share of the lightness that the coolness would stand for.
const HINT_SHARE: f64 = 0.9;
/// Glare lightens: the darkest slices of a picture are cool by themselves.
const NOT_DARKEST: f64 = 0.2;
/// How much darker a slice is towards a shadow on the ground that reaches onto it, natural logarithm.
const CROSSED: f64 = 0.12;
/// A shadow on two sides of this depth covers the slice.
const COVERED: f64 = 0.3;
/// The ground beside a slice goes along with a shadow by at least this share of the slice's own step.
const GOES_ALONG: f64 = 0.4;
/// Error of a slice that the ground beside it calls shaded, natural logarithm of light: about 3 L*.
const IN_SHADOW: f64 = 0.12;
/// Error of an uneven slice, share of the step between its halves.
const UNEVEN: f64 = 0.15;
/// Share of the slices that may be spoilt before another photo is asked for.
const MANY: f64 = 0.2;

/// Looks for spoilt slices; `is_toast` tells which cells hold a slice that is no reference.
pub(super) fn look(picture: &Picture, laid: &mut Laid, is_toast: impl Fn(usize) -> bool) {
    let grounds = ground::around(picture, &laid.cells, &laid.light);
    for i in 0..laid.crumbs.len() {
        part(picture, laid, i);
    }
    let toast: Vec<usize> = (0..laid.crumbs.len())
        .filter(|&i| is_toast(i) && laid.crumbs[i].is_ok())
        .collect();
    let crumbs: Vec<&Crumb> = toast
        .iter()
        .filter_map(|&i| laid.crumbs[i].as_ref().ok())
        .collect();
    let mut standing = vec![Standing::default(); laid.crumbs.len()];
    for (&i, s) in toast.iter().zip(standings(&crumbs, &laid.light)) {
        standing[i] = s;
    }
    for (i, (ground, standing)) in grounds.iter().zip(&standing).enumerate() {
        let Some(crumb) = laid.crumbs[i].as_ref().ok() else {
            continue;
        };
        let local = weigh(crumb, &ground.unwrap_or_default(), standing, laid.local[i]);
        laid.local[i] = local;
    }
    let spoilt = toast
        .iter()
        .filter(|&&i| laid.local[i].flag.is_some_and(|f| f != Flag::Uneven))
        .count();
    if spoilt as f64 > MANY * toast.len() as f64 {
        laid.warnings.push(Warning::new(
            format!("glare or a shadow lies on {spoilt} of {} slices", toast.len()),
            "turn the lamp off or step aside, or take a second photo with the tray turned end for end",
        ));
    }
}

/// Deals with a slice in two parts: a shadow on one of them is left out, a burnt half counts.
fn part(picture: &Picture, laid: &mut Laid, i: usize) {
    let (Ok(crumb), Some(outline)) = (&mut laid.crumbs[i], &laid.cells[i].outline) else {
        return;
    };
    let Some(split) = crumb.split else { return };
    let beside = ground::step(picture, &laid.cells, outline, (split.light, split.dark));
    if split.one_hue && beside.is_some_and(|step| step > GOES_ALONG * split.step) {
        crumb
            .pixels
            .retain(|p| luminance(*p).max(1e-5).ln() > split.edge);
        crumb.blocks.retain(|b| b.level > f64::from(split.edge));
        crumb.centre = split.light;
        laid.local[i].flag = Some(Flag::Shadow);
        laid.local[i].sd = UNEVEN * split.step;
    } else {
        laid.local[i].flag = Some(Flag::Uneven);
        laid.local[i].sd = UNEVEN * split.step;
    }
}

/// Weighs what the ground and the fellows say of one slice.
fn weigh(crumb: &Crumb, ground: &Ground, standing: &Standing, so_far: Local) -> Local {
    // what is left of a slice whose shaded part was left out lies in full light
    if so_far.flag == Some(Flag::Shadow) {
        return so_far;
    }
    let mut local = Local {
        offset: ground.lighter,
        sd: so_far.sd.hypot(ground.sd),
        ..so_far
    };
    let cooler = standing.cooler;
    let glare = cooler > GLARE || cooler > CLEAR_GLARE.0 && standing.scatters > CLEAR_GLARE.1;
    let crossed = so_far.flag.is_none() && crumb.drop_towards(ground.way) > CROSSED;
    let covered = ground.shaded >= 2 && ground.darkest > COVERED;
    if ground.shaded > 0 && cooler > SHADED {
        local.flag = Some(Flag::Shadow);
        local.out = Some(Unreadable::Shadow);
    } else if ground.shaded > 0 && (covered || crossed) {
        // only the ground says so, and the light was corrected by it: the slice counts, with a wider error
        local.flag = Some(Flag::Shadow);
        local.sd = local.sd.hypot(IN_SHADOW);
    } else if glare && standing.rank >= NOT_DARKEST {
        local.flag = Some(Flag::Glare);
        local.out = Some(Unreadable::Glare);
    } else if cooler > HINT {
        local.sd = local.sd.hypot(HINT_SHARE * cooler);
    }
    local
}
