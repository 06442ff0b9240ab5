//! Patches whose places are known, of whatever they are: their lightness by the same light, references and
//! tone curve as slices, in an even light. Nothing is looked for and nothing is refused as no bread.

use super::{
    light::Light,
    patch::{self, luminance64},
    picture::Picture,
    request::{Rectangle, Reference, SamplingError},
    tone::ToneCurve,
};
use crate::colour::lab::{Lab, linear_to_lab};

/// Error of a light that nothing tells of, natural logarithm.
const OPEN_LIGHT: f64 = 0.12;

/// What was read from one patch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PatchScore {
    /// Its colour.
    pub colour: Lab,
    /// Standard error of its L*, everything counted.
    pub sd: f64,
}

/// Reads `patches`, given in pixels of the photo, against `references`; slices cannot be one here.
///
/// # Errors
/// [`SamplingError::Reference`] when a patch or a reference lies outside or is blown out.
pub fn read_patches(
    picture: &Picture,
    patches: &[Rectangle],
    references: &[Reference],
) -> Result<Vec<PatchScore>, SamplingError> {
    let all: Vec<_> = patches.iter().map(|r| patch::named(picture, r)).collect();
    // what lies around them is often a print: it tells no light
    let light = Light::even(picture);
    let (measured, _) = super::references::usable(
        references
            .iter()
            .map(|kind| super::references::measure_card(picture, &light, kind)),
    )?;
    let seen: Vec<([f64; 3], crate::geometry::Point)> = all
        .iter()
        .map(|corners| {
            let (colour, _) = patch::median_colour(&patch::pixels_inside(picture, corners), &light);
            (colour, corners[0].towards(corners[2], 0.5))
        })
        .collect();
    let n = seen.len().max(1) as f64;
    let mean = std::array::from_fn(|c| seen.iter().map(|s| s.0[c]).sum::<f64>() / n);
    let middle = seen
        .first()
        .map_or(crate::geometry::Point::new(0.0, 0.0), |s| s.1);
    // how well its light is known is part of what is taken of a card
    let curve = ToneCurve::fit(&measured, &vec![0.0; measured.len()], mean);
    Ok(seen
        .into_iter()
        .map(|(seen, at)| {
            let colour = linear_to_lab(curve.apply(seen));
            let slope = (colour.l + 16.0) / 3.0;
            let own = slope * light.sd_between(at, middle).min(OPEN_LIGHT);
            let shared = (slope * curve.sd(seen)).hypot(curve.floor);
            debug_assert!(luminance64(seen).is_finite());
            PatchScore {
                colour,
                sd: own.hypot(shared),
            }
        })
        .collect())
}
