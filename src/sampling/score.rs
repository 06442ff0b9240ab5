//! The whole reading of one picture: lattice, slices, light, references, and a score for each slice.

use super::{
    crumb::Crumb,
    flags::flags,
    lay::{Laid, corners_of, lay},
    light::Light,
    patch,
    picture::Picture,
    rectify::Correction,
    request::{Request, SamplingError},
    scores::{LightKind, LightShare, Place, Scores, SliceScore, Verdict},
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
pub(super) fn finish(picture: &Picture, request: &Request, laid: Laid, kind: LightKind) -> Scores {
    let seen: Vec<Seen> = laid
        .crumbs
        .iter()
        .zip(&laid.offsets)
        .filter_map(|(c, offset)| {
            let offset = offset.unwrap_or(0.0);
            c.as_ref().ok().map(|c| Seen::of(c, &laid.light, offset))
        })
        .collect();
    let n = seen.len().max(1) as f64;
    let middle = Point::new(
        seen.iter().map(|s| s.centre.x).sum::<f64>() / n,
        seen.iter().map(|s| s.centre.y).sum::<f64>() / n,
    );
    let mean = std::array::from_fn(|c| seen.iter().map(|s| s.mean[c]).sum::<f64>() / n);
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
    let curve = ToneCurve::fit(&laid.references, &towards, mean);
    let mut verdicts: Vec<Verdict> = laid
        .crumbs
        .iter()
        .enumerate()
        .map(|(i, c)| match c {
            Err(None) => Verdict::Missing,
            Err(Some(why)) => Verdict::Unread(*why),
            Ok(crumb) => {
                let sd = light_sd(Some(i), crumb.centre);
                let seen = Seen::of(crumb, &laid.light, laid.offsets[i].unwrap_or(0.0));
                Verdict::Read(score(crumb, &seen, &curve, (sd, request.untoasted)))
            }
        })
        .collect();
    let is_reference = |i: usize| {
        let mut cells = laid
            .references
            .iter()
            .map(|r| patch::cell_of(&r.kind, counts));
        cells.any(|cell| cell == Some(i))
    };
    let mut warnings = laid.warnings;
    warnings.extend(set_relative(&mut verdicts, is_reference));
    let lights: Vec<f64> = seen.iter().map(|s| s.light).collect();
    let places = verdicts
        .into_iter()
        .zip(flags(&laid.cells, &laid.crumbs, is_reference))
        .zip(&laid.cells)
        .enumerate()
        .map(|(i, ((verdict, flags), cell))| Place {
            row: i / request.cols,
            col: i % request.cols,
            centre: picture.to_photo(cell.outline.as_ref().map_or(cell.place, |o| o.centre)),
            verdict,
            flags,
            left_out: None,
        })
        .collect();
    Scores {
        corners: request
            .corners
            .unwrap_or_else(|| corners_of(&laid.map).map(|c| picture.to_photo(c))),
        references: laid.references,
        light: LightShare {
            kind,
            removed: (quantile(&lights, 1.0) - quantile(&lights, 0.0)).exp() - 1.0,
            lean: lean(kind),
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

/// What is left of the light of one photo, from the middle of the tray to its edge, natural
/// logarithm: 1.6 L* at the edge.
const LEAN: f64 = 0.07;
/// The same where the lens alone was corrected.
const LEAN_UNSEEN: f64 = 0.15;

/// Returns the standard deviation of the lean that is left of the light.
fn lean(kind: LightKind) -> f64 {
    match kind {
        LightKind::Background => LEAN,
        // a second photo cancels it
        LightKind::Turned => 0.0,
        LightKind::LensOnly => LEAN_UNSEEN,
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

/// Sets each slice's browning against the mean of those that are no reference.
fn set_relative(verdicts: &mut [Verdict], is_reference: impl Fn(usize) -> bool) -> Option<Warning> {
    let doses: Vec<f64> = verdicts
        .iter()
        .enumerate()
        .filter(|(i, _)| !is_reference(*i))
        .filter_map(|(_, v)| match v {
            Verdict::Read(s) => Some(s.browning.0),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect();
    let mean = doses.iter().sum::<f64>() / doses.len().max(1) as f64;
    for (i, v) in verdicts.iter_mut().enumerate() {
        if let Verdict::Read(s) = v {
            s.relative = (!is_reference(i) && mean > 1e-3).then(|| s.browning.0 / mean);
        }
    }
    let shades = Browning(mean).shades();
    (shades < BARELY_SHADE).then(|| {
        Warning::new(
            format!("the slices are hardly toasted: shade {shades:.1} on average"),
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
    let se = (spread / SPECKS + (slope * light_sd).powi(2)).sqrt();
    let shared_se = slope * curve.sd(seen.mean);
    let browning = Browning::from_lightness(colour.l.max(1.0), untoasted);
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
