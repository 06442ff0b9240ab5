//! What the ground close around each slice says of the light on it, beyond the smooth light over the frame: a
//! lamp close by, the shadow of a hand.
//!
//! Four sides are looked at by themselves. Where they agree, and other slices' grounds look otherwise, it is
//! the light; where they do not, it is the ground's own figure or the edge of a shadow. How much of it is
//! believed is the ratio of variances (James and Stein 1961; here by moments).

use super::{
    light::Light,
    locate::Cell,
    outline::Outline,
    picture::{Picture, clip, luminance},
    planes::warmth,
};
use crate::{geometry::Point, numeric::quantile::quantile};

/// Shares of the ground's pixels, from the darkest, that are compared: a ground of two tones has both.
const SHARES: [f64; 3] = [0.2, 0.5, 0.8];
/// Pixels looked at along the side of a slice.
const LOOKS: f64 = 40.0;
/// Fewest pixels that tell of one side.
const FEWEST: usize = 12;
/// Least scatter of a share over the picture, natural logarithm.
const LEAST: f64 = 0.03;
/// Scatter between the sides of one ground, natural logarithm, above which its own figure hides the light.
const FIGURED: f64 = 0.12;

/// How much darker than elsewhere a side is in a shadow, natural logarithm, and against the usual scatter.
const SHADE: (f64, f64) = (0.2, 2.0);
/// Difference of ln(R / B) that makes another stuff.
const OTHER_HUE: f64 = 0.12;

/// Pixels whose ln Y differs by less from a card's are the card.
const CARD: f64 = 0.2;

/// A pixel of the ground.
struct Look {
    at: Point,
    /// ln Y.
    level: f64,
    /// ln(R / B).
    warmth: f64,
}

/// Takes the light out, and sets each pixel against the middling one of its own hue: on a ground of two, sides
/// that show more of one are no other light.
fn against_own_hue(grounds: &mut [Vec<Look>], light: &Light) {
    for look in grounds.iter_mut().flatten() {
        look.level -= light.at(look.at);
    }
    let usual: [(f64, f64); 2] = std::array::from_fn(|hue| {
        let own = || {
            let all = grounds.iter().flatten();
            all.filter(|l| light.hue_of(l.warmth) == hue)
        };
        let middling = |of: fn(&Look) -> f64| quantile(&own().map(of).collect::<Vec<_>>(), 0.5);
        (middling(|l| l.level), middling(|l| l.warmth))
    });
    for look in grounds.iter_mut().flatten() {
        let (level, warmth) = usual[light.hue_of(look.warmth)];
        look.level -= level;
        look.warmth -= warmth;
    }
}

/// One side of the ground around a slice.
#[derive(Clone, Copy)]
struct Side {
    /// Which way it is from the slice.
    way: (f64, f64),
    /// The shares, ln Y with the light taken out.
    levels: [f64; SHARES.len()],
    /// Middling ln(R / B).
    warmth: f64,
}

/// The ground around one slice.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Ground {
    /// How much lighter it is than the ground around the others, natural logarithm; the part that is believed.
    pub(super) lighter: f64,
    /// Standard error of that.
    pub(super) sd: f64,
    /// How many of its sides lie in shadow, to be seen at all.
    pub(super) shaded: usize,
    /// How much darker than elsewhere the darkest side is, natural logarithm.
    pub(super) darkest: f64,
    /// Which way that is, in the picture.
    pub(super) way: (f64, f64),
}

/// Looks at the ground around every slice; cells without one have none.
pub(super) fn around(picture: &Picture, cells: &[Cell], light: &Light) -> Vec<Option<Ground>> {
    let mut grounds: Vec<Vec<Look>> = cells
        .iter()
        .map(|c| {
            c.outline
                .as_ref()
                .map_or_else(Vec::new, |o| pixels(picture, cells, o))
        })
        .collect();
    against_own_hue(&mut grounds, light);
    let outlines = cells.iter().map(|c| c.outline.as_ref());
    let seen: Vec<Vec<Side>> = grounds
        .iter()
        .zip(outlines)
        .map(|(ground, o)| o.map_or_else(Vec::new, |o| sides(ground, o.centre)))
        .collect();
    let hues: Vec<f64> = seen.iter().flatten().map(|s| s.warmth).collect();
    let hue = quantile(&hues, 0.5);
    // another hue is another stuff: a shadow leaves it, a stripe does not
    let of_it = |s: &&Side| (s.warmth - hue).abs() < OTHER_HUE;
    let sides: Vec<Vec<Side>> = seen
        .iter()
        .map(|s| s.iter().filter(of_it).copied().collect())
        .collect();
    let lighter = against_all(&sides);
    let each: Vec<Vec<f64>> = sides
        .iter()
        .map(|s| s.iter().map(&lighter).collect())
        .collect();
    let told: Vec<Option<(f64, f64, f64)>> = each
        .iter()
        .map(|each| {
            let n = each.len() as f64;
            let mean = each.iter().sum::<f64>() / n;
            let spread = each.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
            (each.len() >= 2).then_some((mean, spread.sqrt(), n))
        })
        .collect();
    let spreads: Vec<f64> = told.iter().flatten().map(|t| t.1).collect();
    let usual = quantile(&spreads, 0.5).max(LEAST);
    let variance = |t: &(f64, f64, f64)| (t.1 * t.1 + 2.0 * usual * usual) / 3.0 / t.2;
    let n = told.iter().flatten().count().max(1) as f64;
    let signal = told
        .iter()
        .flatten()
        .map(|t| t.0 * t.0 - variance(t))
        .sum::<f64>()
        / n;
    let signal = if usual > FIGURED {
        0.0
    } else {
        signal.max(0.0)
    };
    told.iter()
        .zip(each.iter().zip(&sides))
        .map(|(t, (each, sides))| {
            let t = t.as_ref()?;
            let believed = signal / (signal + variance(t));
            Some(Ground {
                lighter: believed * t.0,
                sd: (believed * variance(t)).sqrt(),
                shaded: each
                    .iter()
                    .filter(|v| -**v > SHADE.0.max(SHADE.1 * usual))
                    .count(),
                darkest: -each.iter().copied().fold(0.0, f64::min),
                way: each
                    .iter()
                    .zip(sides)
                    .min_by(|a, b| a.0.total_cmp(b.0))
                    .map_or((0.0, 0.0), |s| s.1.way),
            })
        })
        .collect()
}

/// Returns how much darker the ground beside a card is than that around the slices, natural logarithm, side by
/// side; sides that cannot be compared are left out.
///
/// The card is given by its middle and half its side, and by its ln Y and ln(R / B).
pub(super) fn beside_card(
    picture: &Picture,
    (cells, light): (&[Cell], &Light),
    (middle, half): (Point, f64),
    tone: (f64, f64),
) -> Vec<f64> {
    let mut grounds: Vec<Vec<Look>> = cells
        .iter()
        .filter_map(|c| c.outline.as_ref())
        .map(|o| pixels(picture, cells, o))
        .collect();
    let ring = |p: Point| (p.x - middle.x).abs().max((p.y - middle.y).abs()) > half;
    let mut beside = looks(picture, cells, (middle, 3.0 * half), ring);
    // what was named may be a part of the card
    beside.retain(|l| (l.level - tone.0).abs() > CARD || (l.warmth - tone.1).abs() > OTHER_HUE);
    grounds.push(beside);
    against_own_hue(&mut grounds, light);
    let beside = sides(&grounds.pop().unwrap_or_default(), middle);
    let centres = cells
        .iter()
        .filter_map(|c| c.outline.as_ref().map(|o| o.centre));
    let others: Vec<Vec<Side>> = grounds
        .iter()
        .zip(centres)
        .map(|(g, c)| sides(g, c))
        .collect();
    let hues: Vec<f64> = others.iter().flatten().map(|s| s.warmth).collect();
    let hue = quantile(&hues, 0.5);
    let lighter = against_all(&others);
    let of_it = beside.iter().filter(|s| (s.warmth - hue).abs() < OTHER_HUE);
    of_it.map(|s| -lighter(s)).collect()
}

/// Returns how much lighter a side is than all sides in the picture, natural logarithm: the shares that scatter
/// little count most.
fn against_all(sides: &[Vec<Side>]) -> impl Fn(&Side) -> f64 {
    let typical: [(f64, f64); SHARES.len()] = std::array::from_fn(|k| {
        let all: Vec<f64> = sides.iter().flatten().map(|s| s.levels[k]).collect();
        let middle = quantile(&all, 0.5);
        let away: Vec<f64> = all.iter().map(|v| (v - middle).abs()).collect();
        (
            middle,
            1.0 / ((1.48 * quantile(&away, 0.5)).powi(2) + LEAST * LEAST),
        )
    });
    let total: f64 = typical.iter().map(|t| t.1).sum();
    move |side: &Side| {
        side.levels
            .iter()
            .zip(typical)
            .map(|(v, (middle, weight))| weight * (v - middle))
            .sum::<f64>()
            / total
    }
}

/// Returns by how much the ground beside the lighter part of a slice is lighter than that beside the darker,
/// natural logarithm; `None` where one of them is not seen.
///
/// Each hue of the ground is set against itself.
pub(super) fn step(
    picture: &Picture,
    (cells, outline): (&[Cell], &Outline),
    of: &Light,
    (light, dark): (Point, Point),
) -> Option<f64> {
    let ground = pixels(picture, cells, outline);
    let along = |p: Point| {
        (p.x - outline.centre.x) * (light.x - dark.x)
            + (p.y - outline.centre.y) * (light.y - dark.y)
    };
    let half = |hue: usize, sign: f64| {
        let part: Vec<f64> = ground
            .iter()
            .filter(|g| sign * along(g.at) > 0.0 && of.hue_of(g.warmth) == hue)
            .map(|g| g.level)
            .collect();
        (part.len() >= 2 * FEWEST).then(|| (quantile(&part, 0.5), part.len() as f64))
    };
    let told = (0..2).filter_map(|hue| {
        let (near, far) = (half(hue, 1.0)?, half(hue, -1.0)?);
        Some((near.0 - far.0, near.1.min(far.1)))
    });
    let (sum, weight) = told.fold((0.0, 0.0), |s, (step, w)| (s.0 + w * step, s.1 + w));
    (weight > 0.0).then(|| sum / weight)
}

/// Returns the shares of the ground on each side of a slice that is seen.
fn sides(ground: &[Look], centre: Point) -> Vec<Side> {
    let mut parts: [(Vec<f64>, Vec<f64>); 4] = Default::default();
    for look in ground {
        let (dx, dy) = (look.at.x - centre.x, look.at.y - centre.y);
        let side = if dx.abs() > dy.abs() {
            usize::from(dx > 0.0)
        } else {
            2 + usize::from(dy > 0.0)
        };
        parts[side].0.push(look.level);
        parts[side].1.push(look.warmth);
    }
    parts
        .iter()
        .zip([(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)])
        .filter(|(part, _)| part.0.len() >= FEWEST)
        .map(|((levels, hues), way)| Side {
            way,
            levels: SHARES.map(|share| quantile(levels, share)),
            warmth: quantile(hues, 0.5),
        })
        .collect()
}

/// Returns the pixels of the ground close around a slice; not the wall and the shadow at its foot.
fn pixels(picture: &Picture, cells: &[Cell], outline: &Outline) -> Vec<Look> {
    let ring = |p: Point| {
        let far = p.distance(outline.centre);
        far > 0.5 * outline.side && far < 0.95 * outline.side
    };
    looks(picture, cells, (outline.centre, outline.side), ring)
}

/// Returns the pixels of the ground in a `ring` that reaches so far around a middle.
fn looks(
    picture: &Picture,
    cells: &[Cell],
    (c, reach): (Point, f64),
    ring: impl Fn(Point) -> bool,
) -> Vec<Look> {
    let near: Vec<&Outline> = cells
        .iter()
        .filter_map(|cell| cell.outline.as_ref())
        .filter(|o| o.centre.distance(c) < 2.2 * o.side.max(reach))
        .collect();
    let (rim, stride) = (0.12 * reach, (reach / LOOKS).max(1.0));
    let free = |p: Point| !near.iter().any(|o| o.holds(p));
    let mut found = Vec::new();
    let mut y = c.y - reach;
    while y <= c.y + reach {
        let mut x = c.x - reach;
        while x <= c.x + reach {
            let p = Point::new(x.round(), y.round());
            let inside = p.x >= 0.0
                && p.y >= 0.0
                && p.x < picture.width as f64
                && p.y < picture.height as f64;
            let clear = [(0.0, 0.0), (rim, 0.0), (-rim, 0.0), (0.0, rim), (0.0, -rim)];
            if inside && ring(p) && clear.iter().all(|d| free(Point::new(p.x + d.0, p.y + d.1))) {
                let pixel = picture.at(clip(p.x, picture.width), clip(p.y, picture.height));
                found.push(Look {
                    at: p,
                    level: (f64::from(luminance(pixel).max(0.0)) + 5e-4).ln(),
                    warmth: f64::from(warmth(pixel)),
                });
            }
            x += stride;
        }
        y += stride;
    }
    found
}
