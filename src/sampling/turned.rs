//! Two photos of one tray, the second with the tray turned end for end under the same light.
//!
//! What a slice sends back is its own, what the light does belongs to the place: the mean of the
//! two logarithms of its brightness is free of every light that rises from one side to the other,
//! and their difference is twice what the light did there.

use super::{
    laid::Laid,
    lay::lay,
    picture::Picture,
    request::{Request, SamplingError},
    score::{Seen, finish},
    scores::{LightKind, Scores},
};
use crate::{geometry::Point, model::Warning};
use nalgebra::{DMatrix, DVector};

/// Greatest scatter of the differences between two photos of one tray, natural logarithm: slices of one tray
/// agree within some hundredths.
const MOST_ROUGH: f64 = 0.2;
/// Fewest slices that must be read in both photos.
const FEWEST: usize = 3;

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
    let second = lay(
        turned,
        &Request {
            corners: turned_corners,
            ..request.clone_without_references()
        },
    )?;
    let differences = differences(&first, &second);
    let known: Vec<f64> = differences.iter().flatten().copied().collect();
    if known.len() < FEWEST {
        return Err(SamplingError::Unlike {
            both: known.len(),
            needed: FEWEST,
        });
    }
    let rough = roughness(&differences, request);
    if rough > MOST_ROUGH {
        return Err(SamplingError::OtherTray {
            percent: 100.0 * (rough.exp() - 1.0),
        });
    }
    let mean = known.iter().sum::<f64>() / known.len() as f64;
    for (offset, difference) in first.offsets.iter_mut().zip(&differences) {
        *offset = difference.map(|d| (d - mean) / 2.0);
    }
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

/// Returns how far the differences of the places scatter around a plane over rows and columns: the light of two
/// photos differs smoothly, two trays do not.
fn roughness(differences: &[Option<f64>], request: &Request) -> f64 {
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
        Ok(plane) if free > 0 => ((values - design * plane).norm_squared() / free as f64).sqrt(),
        Ok(_) | Err(_) => 0.0,
    }
}

/// Returns, for each place, ln of the brightness in the first photo over that in the second, the
/// light told by each background taken out.
fn differences(first: &Laid, second: &Laid) -> Vec<Option<f64>> {
    let n = first.crumbs.len();
    (0..n)
        .map(|i| {
            let here = first.crumbs[i].as_ref().ok()?;
            let there = second.crumbs[n - 1 - i].as_ref().ok()?;
            let a = Seen::of(here, &first.light, 0.0).level();
            let b = Seen::of(there, &second.light, 0.0).level();
            Some(a - b)
        })
        .collect()
}
