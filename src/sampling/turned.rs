//! Two photos of one tray, the second with the tray turned end for end under the same light.
//!
//! What a slice sends back is its own, what the light does belongs to the place: the mean of the
//! two logarithms of its brightness is free of every light that rises from one side to the other,
//! and their difference is twice what the light did there.

use super::{
    agree,
    laid::Laid,
    lattice::corners_of,
    lay::lay,
    picture::Picture,
    request::{Request, SamplingError, Side},
    score::{Seen, finish},
    scores::{LightKind, Scores},
};
use crate::{geometry::Point, model::Warning};
use nalgebra::{DMatrix, DVector};

/// Greatest scatter of the differences between two photos of one tray, natural logarithm: slices of one tray
/// agree within some hundredths.
const MOST_ROUGH: f64 = 0.1;
/// Greatest rise of those differences over the tray, natural logarithm: what is left of a slanting light on a black ground
/// is .8, while of photos of two trays that scatter as little as one 1.2 to 2.3 was left.
const MOST_RISE: f64 = 1.0;
/// Slices differ by more than this from the ones that lay in their places before the turn, natural logarithm; the
/// same slice seen twice differs by less.
const SAME_SLICE: f64 = 0.035;
/// Fewest slices that must be read in both photos: four opposite ones lie on a plane whatever was done with the tray.
const FEWEST: usize = 5;

/// Reads a picture with the help of a second one, `turned`, of the same tray turned end for end.
///
/// `turned_corners` are the corners of the lattice in the second photo as that photo shows it: the
/// places that were at the back are now at the door. Looked for when `None`.
///
/// # Errors
/// As [`super::read`], for either picture; [`SamplingError::Unlike`] when they do not show one tray.
pub fn read_turned(
    picture: &Picture,
    request: &Request,
    turned: &Picture,
    turned_corners: Option<[Point; 4]>,
) -> Result<Scores, SamplingError> {
    let mut first = lay(picture, request)?;
    let back = back_of(&corners_of(&first.map));
    let second = lay(
        turned,
        &Request {
            corners: turned_corners.map(|corners| facing(corners, back)),
            back,
            ..request.clone_without_references()
        },
    )?;
    let n = first.crumbs.len();
    let unturned = differences(&first, &second, |i| i);
    let differences = differences(&first, &second, |i| n - 1 - i);
    let known: Vec<f64> = differences.iter().flatten().copied().collect();
    if known.len() < FEWEST {
        return Err(SamplingError::Unlike {
            both: known.len(),
            needed: FEWEST,
        });
    }
    let (rough, rise) = plane_of(&differences, request);
    let (same, _) = plane_of(&unturned, request);
    if same < SAME_SLICE && same < rough / 2.0 {
        return Err(SamplingError::NotTurned);
    }
    if rough > MOST_ROUGH || rise > MOST_RISE {
        return Err(SamplingError::OtherTray {
            percent: 100.0 * (rough.max(rise).exp() - 1.0),
        });
    }
    let mean = known.iter().sum::<f64>() / known.len() as f64;
    for (i, difference) in differences.iter().enumerate() {
        first.offsets[i] = difference.map(|d| (d - mean) / 2.0);
        if difference.is_some() {
            let there = second.local[n - 1 - i].sd;
            first.local[i].sd = first.local[i].sd.hypot(there);
        }
    }
    let mirrored = first.grid.mirrored || second.grid.mirrored;
    let there = agree::judge(&second.grid, request)?.into_iter();
    let there = there.chain(agree::mirrored(&second.grid));
    first.warnings.extend(there.map(|w| Warning {
        what: format!("in the second photo, {}", w.what),
        ..w
    }));
    if second.grid.figure < first.grid.figure {
        first.grid = second.grid;
    }
    first.grid.mirrored = mirrored;
    let alone = differences
        .iter()
        .zip(&first.crumbs)
        .filter(|(d, c)| d.is_none() && c.is_ok());
    let alone = alone.count();
    if alone > 0 {
        let (slices, their) = if alone == 1 {
            ("slice is", "its")
        } else {
            ("slices are", "their")
        };
        first.warnings.push(Warning::new(
            format!("{alone} {slices} read in the first photo only, so {their} light is told by the background alone"),
            "keep every slice in its place while the tray is turned",
        ));
    }
    super::references::refresh(picture, request, &mut first)?;
    Ok(finish(picture, request, first, LightKind::Turned))
}

/// Returns how far the differences of the places scatter around a plane over rows and columns, and how far that rises
/// from place to place: the light of two photos differs smoothly and little, two trays do not.
fn plane_of(differences: &[Option<f64>], request: &Request) -> (f64, f64) {
    let seen: Vec<([f64; 3], f64)> = differences
        .iter()
        .enumerate()
        .filter_map(|(i, d)| {
            let (row, col) = (i / request.cols, i % request.cols);
            Some(([1.0, row as f64, col as f64], (*d)?))
        })
        .collect();
    let free = seen.len().saturating_sub(3);
    let design = DMatrix::from_fn(seen.len(), 3, |i, j| seen[i].0[j]);
    let values = DVector::from_iterator(seen.len(), seen.iter().map(|s| s.1));
    let plane = design.clone().svd(true, true).solve(&values, 1e-9);
    match plane {
        Ok(plane) if free > 0 => {
            let smooth = design * plane;
            let rise = smooth.max() - smooth.min();
            let rough = ((values - smooth).norm_squared() / free as f64).sqrt();
            (rough, rise)
        }
        Ok(_) | Err(_) => (0.0, 0.0),
    }
}

/// Finds the side of the picture where the row at the back lies; corners as in [`Request::corners`].
fn back_of(corners: &[Point; 4]) -> Side {
    let [a, b, c, d] = corners;
    let (x, y) = (a.x + b.x - c.x - d.x, a.y + b.y - c.y - d.y);
    match (x.abs() > y.abs(), x > 0.0, y > 0.0) {
        (true, true, _) => Side::Right,
        (true, false, _) => Side::Left,
        (false, _, true) => Side::Bottom,
        (false, _, false) => Side::Top,
    }
}

/// Begins corners that were given the other way round at the side where the first photo's begin.
fn facing(corners: [Point; 4], back: Side) -> [Point; 4] {
    let [a, b, c, d] = corners;
    let there = back_of(&[c, d, a, b]);
    if there == back { [c, d, a, b] } else { corners }
}

/// Returns, for each place, ln of the brightness in the first photo over that in `place` of the second, the
/// light told by each background taken out; none where glare or a shadow lies on it in either.
fn differences(first: &Laid, second: &Laid, place: impl Fn(usize) -> usize) -> Vec<Option<f64>> {
    (0..first.crumbs.len())
        .map(|i| {
            let is_spoilt = first.local[i].out.or(second.local[place(i)].out);
            let here = first.crumbs[i]
                .as_ref()
                .ok()
                .filter(|_| is_spoilt.is_none())?;
            let there = second.crumbs[place(i)].as_ref().ok()?;
            let a = Seen::of(here, &first.light, 0.0).level();
            let b = Seen::of(there, &second.light, 0.0).level();
            Some(a - b)
        })
        .collect()
}
