//! What spoils single slices: glare, the shadow of a hand, one half burnt. The part is left out, the slice is
//! left out, or its error is widened; never in silence.

use super::{
    crumb::{Crumb, Unreadable},
    fellows::{Standing, standings},
    ground::{self, Ground},
    laid::{Laid, Local},
    patch::luminance64,
    picture::{Picture, luminance},
    scores::Flag,
};
use crate::model::Warning;

/// So much lighter (natural logarithm of luminance) than its colour tells a slice lies under glare: about 4 L*.
const GLARE: f64 = 0.16;
/// What that grows by beyond the slices that tell the curve of colour, share of the distance in ln Y.
const BEYOND: f64 = 0.3;
/// From here on its error is widened.
const HINT: f64 = 0.06;
/// A slice so much cooler than its fellows (natural logarithm of blue over red) lies under glare even where it is pale.
const CLEARLY_COOLER: f64 = 0.45;
/// From here on the error of one is widened whose colour tells no lightness, and by which share of it.
const COOLER: f64 = 0.1;
const HINT_SHARE: f64 = 0.5;
/// Least pull of light without colour on blue over red: below it pale crumb and glare look alike.
const LEAST_PULL: f64 = 0.7;
/// The ground beside a slice lies in shadow, natural logarithm.
const SHADE: f64 = 0.2;
/// Beside a shadow on the ground, a slice so much cooler than its lightness makes its fellows lies in it.
const SHADED: f64 = 0.15;
/// The same as a share of what the whole shadow would make it.
const SHADED_SHARE: f64 = 0.35;
/// Where the whole shadow would make a slice cooler by less than this, its colour cannot tell.
const COLOUR_TELLS: f64 = 0.1;
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
    let parted: Vec<bool> = laid
        .local
        .iter()
        .map(|l| l.flag == Some(Flag::Shadow))
        .collect();
    let toast: Vec<usize> = (0..laid.crumbs.len())
        .filter(|&i| is_toast(i) && laid.crumbs[i].is_ok())
        .collect();
    let is_lit = |i: usize| grounds[i].is_none_or(|g| g.darkest < SHADE);
    let crumbs: Vec<(&Crumb, bool)> = toast
        .iter()
        .filter_map(|&i| Some((laid.crumbs[i].as_ref().ok()?, is_lit(i))))
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
        .filter(|&&i| parted[i] || laid.local[i].flag.is_some_and(|f| f != Flag::Uneven))
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
    let beside = ground::step(
        picture,
        (&laid.cells, outline),
        &laid.light,
        (split.light, split.dark),
    );
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

/// Returns how much lighter glare would have made a slice that is `cooler` than its fellows, natural logarithm of
/// luminance; nothing where pale crumb looks alike.
///
/// Light s without colour adds s / Y to ln Y and s (1 / B - 1 / R) to ln(B / R), of which the curve of the fellows
/// takes its slope back.
fn lightened(crumb: &Crumb, standing: &Standing) -> f64 {
    let n = crumb.pixels.len().max(1) as f64;
    let [r, g, b] = std::array::from_fn(|c| {
        let sum: f64 = crumb.pixels.iter().map(|p| f64::from(p[c].max(0.0))).sum();
        sum / n + 1e-4
    });
    let blue = b * (-standing.cooler).exp();
    let pull = luminance64([r, g, blue]) * (1.0 / blue - 1.0 / r) - standing.slope;
    if pull > LEAST_PULL {
        standing.cooler / pull
    } else {
        0.0
    }
}

/// Weighs what the ground and the fellows say of one slice.
fn weigh(crumb: &Crumb, ground: &Ground, standing: &Standing, so_far: Local) -> Local {
    let cooler = standing.cooler;
    // what is left of a slice whose shaded part was left out lies in full light, and is told by its colour too
    if so_far.flag == Some(Flag::Shadow) {
        return Local {
            flag: (cooler > SHADED).then_some(Flag::Shadow),
            ..so_far
        };
    }
    let mut local = Local {
        offset: ground.lighter,
        sd: so_far.sd.hypot(ground.sd),
        ..so_far
    };
    let expected = standing.slope * ground.darkest;
    // half the shadow counts beside twice the colour
    let shaded = ground.darkest > SHADE && cooler > SHADED.max(SHADED_SHARE * expected)
        || ground.darkest > SHADE / 2.0 && cooler > 2.0 * SHADED;
    let crossed = so_far.flag.is_none() && crumb.drop_towards(ground.way) > CROSSED;
    let covered = ground.shaded >= 2 && ground.darkest > COVERED;
    let untold = ground.shaded > 0 && expected < COLOUR_TELLS && (covered || crossed);
    // beside a ground as dark, one of the darkest slices whose colour could not confirm a shadow
    let likely = ground.darkest > COVERED
        && (0.0..SHADED).contains(&expected)
        && standing.slope > 0.0
        && standing.rank < NOT_DARKEST
        && so_far.flag.is_none();
    let beyond = BEYOND * standing.beyond;
    let lightened = lightened(crumb, standing);
    if shaded {
        local.flag = Some(Flag::Shadow);
        local.out = Some(Unreadable::Shadow);
    } else if untold || likely {
        // only the ground says so, and the light was corrected by it: the slice counts, with a wider error
        local.flag = Some(Flag::Shadow);
        local.sd = local.sd.hypot(IN_SHADOW);
    } else if (lightened > GLARE + beyond || cooler > CLEARLY_COOLER)
        && standing.rank >= NOT_DARKEST
    {
        local.flag = Some(Flag::Glare);
        local.out = Some(Unreadable::Glare);
    } else if lightened > HINT + beyond {
        local.sd = local.sd.hypot(lightened - beyond);
    } else if cooler > COOLER {
        local.sd = local.sd.hypot(HINT_SHARE * cooler);
    }
    local
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn a_dark_slice_beside_dark_ground_is_widened_where_its_colour_tells_nothing() {
        let crumb = Crumb {
            pixels: vec![[0.3; 3]],
            clipped: 0.0,
            centre: Point::new(0.0, 0.0),
            blocks: Vec::new(),
            split: None,
        };
        let ground = Ground {
            darkest: 0.35,
            ..Ground::default()
        };
        let standing = |rank, slope| Standing {
            slope,
            rank,
            ..Standing::default()
        };
        let weighed = |standing| weigh(&crumb, &ground, &standing, Local::default());
        let likely = weighed(standing(0.0, 0.2));
        assert_eq!((likely.flag, likely.out), (Some(Flag::Shadow), None));
        assert!((likely.sd - IN_SHADOW).abs() < 1e-9);
        // one of the lighter ones, or one whose colour would show it
        for clear in [standing(0.5, 0.2), standing(0.0, 0.9)] {
            assert_eq!(weighed(clear).flag, None);
        }
    }
}
