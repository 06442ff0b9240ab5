//! The whole reading of one picture: lattice, slices, light, references, and a score for each slice.

use super::{
    correction::Correction,
    crumb::{Crumb, Unreadable},
    flags::flags,
    laid::{Laid, Local},
    lattice::corners_of,
    lay::lay,
    light::Light,
    patch::{self, Measured},
    picture::Picture,
    references::describe,
    request::{Request, SamplingError},
    scores::{Flag, LightKind, LightShare, Place, Scores, SliceScore, Verdict},
    tone::ToneCurve,
};
use crate::{
    colour::lab::{Lab, linear_to_lab},
    geometry::Point,
    model::{
        Warning,
        shade::{BARELY_SHADE, Browning, HIGHEST_SHADE},
    },
    numeric::{normal::Z90, quantile::quantile},
};

/// No crumb is lighter, L*: white bread has 84 or so, flour 92.
pub(super) const LIGHTEST: f64 = 92.0;
/// A tray whose middling slice is darker than this, L*, is burnt all over, or its reference is not what it was named.
const DARKEST: f64 = 34.0;
/// A step in lightness between the slices of one tray that is no oven's, L*.
const STEP: f64 = 18.0;
/// Independent looks that the speckled crumb of one slice is worth.
const SPECKS: f64 = 50.0;

/// Reads one picture.
///
/// # Errors
/// [`SamplingError`] when the request cannot be, or the picture is refused: no bread in rows and
/// columns, blown out, too dark, blurred, or a reference that cannot be used.
pub fn read(picture: &Picture, request: &Request) -> Result<Scores, SamplingError> {
    let laid = lay(picture, request)?;
    let kind = if laid.light.seen {
        LightKind::Background
    } else {
        LightKind::LensOnly
    };
    Ok(finish(picture, request, laid, kind))
}

/// Turns what was laid out into scores.
pub(super) fn finish(
    picture: &Picture,
    request: &Request,
    mut laid: Laid,
    kind: LightKind,
) -> Scores {
    let seen = Seen::of_all(&laid);
    let (middle, mean) = middle_and_mean(&seen);
    // A second photo helps only where it shows the same slice: not a card, nor a slice seen once.
    let light_sd = |cell: Option<usize>, at: Point| match cell.and_then(|i| laid.offsets[i]) {
        Some(_) => laid.light.sd_even(at, middle),
        None => laid.light.sd_between(at, middle),
    };
    let counts = (request.rows, request.cols);
    let towards: Vec<f64> = laid
        .references
        .iter()
        .map(|r| light_sd(patch::cell_of(&r.kind, counts), r.centre))
        .collect();
    let lightest = seen.iter().map(Seen::level).fold(f64::MIN, f64::max);
    let free = ToneCurve::fit(&laid.references, &towards, mean);
    // crumb lighter than flour blames the reference, or the guess where there is none
    let curve = free.clone().no_lighter(lightest, LIGHTEST);
    let too_light = !laid.references.is_empty() && curve != free;
    let (own_share, boards) = own_shares(kind, &laid.light);
    let scored: Vec<Result<SliceScore, Option<Unreadable>>> = laid
        .crumbs
        .iter()
        .enumerate()
        .map(|(i, c)| {
            let crumb = c.as_ref().map_err(|why| *why)?;
            let sd = (own_share * light_sd(Some(i), crumb.centre))
                .hypot(laid.local[i].sd)
                .hypot(boards);
            let seen = Seen::of(crumb, &laid.light, laid.offset(i));
            Ok(score(crumb, &seen, &curve, (sd, request.untoasted)))
        })
        .collect();
    let mut verdicts = verdicts(&scored, &laid.local);
    let is_reference = |i: usize| {
        let mut cells = laid
            .references
            .iter()
            .map(|r| patch::cell_of(&r.kind, counts));
        cells.any(|cell| cell == Some(i))
    };
    let mut warnings = std::mem::take(&mut laid.warnings);
    warnings.extend(too_light.then(|| lighter_than_flour(&laid.references)));
    let crumbs: Vec<f64> = scored.iter().flatten().map(|s| s.colour.l).collect();
    let too_dark = !laid.references.is_empty() && quantile(&crumbs, 0.5) < DARKEST;
    warnings.extend(too_dark.then(|| darker_than_burnt(&laid.references)));
    warnings.extend(set_relative(&mut verdicts, is_reference));
    warnings.extend(two_lots(&verdicts, is_reference));
    let flags = flags(&laid.cells, &laid.crumbs, &laid.local, is_reference);
    let lean = lean(kind, &laid, middle);
    let lights: Vec<f64> = seen.iter().map(|s| s.light).collect();
    let told = verdicts.into_iter().zip(flags).collect();
    let places = places(picture, request.cols, &laid, &scored, told);
    Scores {
        corners: request
            .corners
            .unwrap_or_else(|| corners_of(&laid.map).map(|c| picture.to_photo(c))),
        grid: laid.grid,
        references: laid.references,
        light: LightShare {
            kind,
            removed: (quantile(&lights, 1.0) - quantile(&lights, 0.0)).exp() - 1.0,
            lean,
        },
        places,
        quality: laid.quality,
        warnings,
        correction: Correction {
            light: laid.light,
            curve,
        },
    }
}

/// Returns the middle of the slices seen and their mean linear colour.
pub(super) fn middle_and_mean(seen: &[Seen]) -> (Point, [f64; 3]) {
    let n = seen.len().max(1) as f64;
    let mean = |of: &dyn Fn(&Seen) -> f64| seen.iter().map(of).sum::<f64>() / n;
    let middle = Point::new(mean(&|s| s.centre.x), mean(&|s| s.centre.y));
    (middle, std::array::from_fn(|c| mean(&|s| s.mean[c])))
}

/// Returns what is said of each place: no slice, one that is left out, or its score.
fn verdicts(scored: &[Result<SliceScore, Option<Unreadable>>], local: &[Local]) -> Vec<Verdict> {
    let each = scored.iter().zip(local);
    each.map(|(s, local)| match (s, local.out) {
        (Err(None), _) => Verdict::Missing,
        (&Err(Some(why)), _) | (Ok(_), Some(why)) => Verdict::Unread(why),
        (Ok(score), None) => Verdict::Read(*score),
    })
    .collect()
}

/// Puts together what is told of each place of a grid of `cols` columns.
fn places(
    picture: &Picture,
    cols: usize,
    laid: &Laid,
    scored: &[Result<SliceScore, Option<Unreadable>>],
    told: Vec<(Verdict, Vec<Flag>)>,
) -> Vec<Place> {
    told.into_iter()
        .zip(&laid.cells)
        .enumerate()
        .map(|(i, ((verdict, flags), cell))| Place {
            row: i / cols,
            col: i % cols,
            centre: picture.to_photo(cell.outline.as_ref().map_or(cell.place, |o| o.centre)),
            verdict,
            flags,
            left_out: scored[i]
                .as_ref()
                .ok()
                .filter(|_| laid.local[i].out.is_some())
                .map(|s| s.colour.l),
        })
        .collect()
}

/// Doubts several slices that are far lighter than all the others: no oven leaves such a step between neighbours.
fn two_lots(verdicts: &[Verdict], is_reference: impl Fn(usize) -> bool) -> Option<Warning> {
    let mut levels: Vec<f64> = verdicts
        .iter()
        .enumerate()
        .filter(|(i, _)| !is_reference(*i))
        .filter_map(|(_, v)| match v {
            Verdict::Read(score) => Some(score.colour.l),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect();
    levels.sort_by(f64::total_cmp);
    let at = levels.windows(2).position(|w| w[1] - w[0] > STEP)?;
    let lighter = levels.len() - at - 1;
    (lighter >= 2).then(|| {
        Warning::misleads(
            format!("{lighter} slices are far lighter than all the others, and none lies between"),
            "see whether an arm, a cloth or steam lies over them, or whether they are of another loaf",
        )
    })
}

/// Doubts references by which most crumb would be burnt.
fn darker_than_burnt(references: &[Measured]) -> Warning {
    Warning::misleads(
        by_the_reference(references, "most slices would be as good as burnt"),
        "a white card named grey does that: give it its right name",
    )
}

/// Blames references by which crumb would be lighter than flour.
fn lighter_than_flour(references: &[Measured]) -> Warning {
    let so = "a slice would be lighter than flour, so it is not what it was taken for";
    Warning::new(
        by_the_reference(references, so),
        "name another reference, or none",
    )
}

fn by_the_reference(references: &[Measured], so: &str) -> String {
    let words: Vec<String> = references.iter().map(|r| describe(&r.kind)).collect();
    format!("by the reference {} {so}", words.join(", "))
}

/// Least that is left of the light of one photo from the middle of the tray to its edge, natural logarithm; about
/// 0.9 L*. With the share below it was set so that 90 % intervals of slices and of one side against the other
/// hold on drawn photos.
const LEAST_LEAN: f64 = 0.03;
/// Share of the light's own error that is a lean; the rest is each slice's.
const LEAN_SHARE: f64 = 0.65;
/// The rest.
const OWN_SHARE: f64 = 0.3;
/// Error of a slice that no light explains, L*: the loaf, the crust's edge.
const OWN: f64 = 0.3;
/// What the share of spoilt slices adds to the lean, natural logarithm.
const SPOILT_LEAN: f64 = 0.1;
/// What boards of many shades add to the lean and to each slice's own error, as shares of their scatter: few lie
/// across a picture, so that they pass for a light. Set so that 90 % intervals hold on drawn planks.
const BOARDS_LEAN: f64 = 0.4;
const BOARDS_OWN: f64 = 0.2;

/// Returns which share of the light's error is each slice's own, and what boards add to that.
fn own_shares(kind: LightKind, light: &Light) -> (f64, f64) {
    match kind {
        // with a second photo nothing leans, and all of the light's error is each slice's
        LightKind::Turned => (1.0, 0.0),
        LightKind::Background | LightKind::LensOnly => (OWN_SHARE, BOARDS_OWN * light.boards()),
    }
}

/// Returns the standard deviation of the lean that is left of the light.
fn lean(kind: LightKind, laid: &Laid, middle: Point) -> f64 {
    let edges = [(0.0, 0.5), (1.0, 0.5), (0.5, 0.0), (0.5, 1.0)].map(|(u, v)| {
        laid.light
            .sd_between(laid.map.map(Point::new(u, v)), middle)
    });
    let mean = edges.iter().sum::<f64>() / edges.len() as f64;
    let spoilt = laid.local.iter().filter(|l| l.flag.is_some()).count() as f64
        / laid.local.len().max(1) as f64;
    let one_photo = LEAST_LEAN
        .hypot(LEAN_SHARE * mean)
        .hypot(SPOILT_LEAN * spoilt)
        .hypot(BOARDS_LEAN * laid.light.boards());
    match kind {
        LightKind::Background | LightKind::LensOnly => one_photo,
        // a second photo cancels it, for the slices it shows
        LightKind::Turned => {
            let seen = laid
                .crumbs
                .iter()
                .zip(&laid.offsets)
                .filter(|(c, _)| c.is_ok());
            let (alone, all) = seen.fold((0.0, 0.0), |(alone, all), (_, offset)| {
                (alone + f64::from(u8::from(offset.is_none())), all + 1.0)
            });
            one_photo * alone / f64::max(all, 1.0)
        }
    }
}

/// What the camera made of one slice.
pub(super) struct Seen {
    /// Mean linear colour, light taken out.
    pub(super) mean: [f64; 3],
    /// Natural logarithm of the light on it.
    pub(super) light: f64,
    /// Its middle, pixels of the picture.
    centre: Point,
}

impl Seen {
    /// Looks at every crumb that counts.
    pub(super) fn of_all(laid: &Laid) -> Vec<Self> {
        let crumbs = laid.crumbs.iter().enumerate();
        crumbs
            .filter(|(i, _)| laid.local[*i].out.is_none())
            .filter_map(|(i, c)| Some(Self::of(c.as_ref().ok()?, &laid.light, laid.offset(i))))
            .collect()
    }

    /// Looks at a crumb; `offset` is what its light is off by beyond the smooth light.
    pub(super) fn of(crumb: &Crumb, light: &Light, offset: f64) -> Self {
        let n = crumb.pixels.len() as f64;
        let light = light.at(crumb.centre) + offset;
        Self {
            mean: std::array::from_fn(|c| {
                crumb.pixels.iter().map(|p| f64::from(p[c])).sum::<f64>() / n * (-light).exp()
            }),
            light,
            centre: crumb.centre,
        }
    }

    /// Returns the natural logarithm of the mean luminance, light taken out.
    pub(super) fn level(&self) -> f64 {
        patch::luminance64(self.mean).max(1e-6).ln()
    }
}

/// Sets the browning of each against the mean of them all, which it returns.
pub(super) fn set_against_mean(scores: Vec<&mut SliceScore>) -> f64 {
    let doses = scores.iter().map(|s| s.browning.0);
    let mean = doses.sum::<f64>() / scores.len().max(1) as f64;
    for score in scores {
        score.relative = (mean > 1e-3).then(|| score.browning.0 / mean);
    }
    mean
}

/// Sets each slice's browning against the mean of those that are no reference.
fn set_relative(verdicts: &mut [Verdict], is_reference: impl Fn(usize) -> bool) -> Option<Warning> {
    let read = verdicts
        .iter_mut()
        .enumerate()
        .filter(|(i, _)| !is_reference(*i))
        .filter_map(|(_, v)| match v {
            Verdict::Read(s) => Some(s),
            Verdict::Missing | Verdict::Unread(_) => None,
        });
    let mean = set_against_mean(read.collect());
    let shades = Browning(mean).shades();
    (shades < BARELY_SHADE).then(|| {
        Warning::new(
            format!("the slices are barely toasted: shade {shades:.1} on average"),
            "toast the next test longer, until the middling slice is golden",
        )
    })
}

/// Scores one crumb.
///
/// `light_sd` is the error of its light against the other slices', natural logarithm; `untoasted`
/// the L* of an untoasted slice.
pub(super) fn score(
    crumb: &Crumb,
    seen: &Seen,
    curve: &ToneCurve,
    (light_sd, untoasted): (f64, f64),
) -> SliceScore {
    let factor = (-seen.light).exp();
    let labs: Vec<Lab> = crumb
        .pixels
        .iter()
        .map(|p| linear_to_lab(curve.apply(p.map(|v| f64::from(v) * factor))))
        .collect();
    let n = labs.len() as f64;
    let mean = |f: fn(&Lab) -> f64| labs.iter().map(f).sum::<f64>() / n;
    let colour = Lab::new(mean(|l| l.l), mean(|l| l.a), mean(|l| l.b));
    let spread = labs.iter().map(|l| (l.l - colour.l).powi(2)).sum::<f64>() / n;
    // dL* = (L* + 16) / 3 d ln Y
    let slope = (colour.l + 16.0) / 3.0;
    let se = (spread / SPECKS + (slope * light_sd).powi(2) + OWN * OWN).sqrt();
    let shared_se = (slope * curve.sd(seen.mean)).hypot(curve.floor);
    // crumb is never less than untoasted: what is seen so is error
    let browning = Browning(
        Browning::from_lightness(colour.l.max(1.0), untoasted)
            .0
            .max(0.0),
    );
    let reach = Z90 * se.hypot(shared_se);
    let shade = |l: f64| {
        Browning::from_lightness(l.max(1.0), untoasted)
            .shades()
            .clamp(0.0, HIGHEST_SHADE)
    };
    SliceScore {
        colour,
        se,
        shared_se,
        browning,
        shade: (
            shade(colour.l),
            shade(colour.l + reach),
            shade(colour.l - reach),
        ),
        relative: None,
    }
}
