//! The quantities in which bread stands out from what it lies on.

use super::{
    picture::{Picture, clip, luminance},
    regions::{Plane, Region, best_of_each, regions},
};
use crate::{geometry::Point, numeric::whole};

/// Longer side of the picture that lattice and cards are looked for in, pixels.
const SEARCH_SIZE: f64 = 340.0;

/// A small picture's planes and the solid patches found in them.
#[derive(Debug, Clone)]
pub(super) struct Search {
    pub(super) planes: Vec<Plane>,
    pub(super) regions: Vec<Region>,
    /// Least and greatest area looked for, pixels of the planes.
    pub(super) areas: (f64, f64),
    /// Pixels of the picture for one of the planes.
    pub(super) step: f64,
}

impl Search {
    /// Looks through the whole picture for patches that `slices` of could fill it.
    pub(super) fn new(picture: &Picture, slices: usize) -> Self {
        let longer = picture.width.max(picture.height) as f64;
        let factor = whole::floor((longer / SEARCH_SIZE).round().max(1.0));
        let small = picture.reduced(factor);
        let planes = planes(&small);
        let each = (small.width * small.height) as f64 / slices as f64;
        let areas = (each / 25.0, each * 0.9);
        let mut regions = patches(&planes, areas);
        for region in &mut regions {
            region.warmth = planes[0].around(region.centre);
        }
        Self {
            regions,
            planes,
            areas,
            step: factor as f64,
        }
    }

    /// Returns where a point of the picture lies in the planes.
    pub(super) fn down(&self, p: Point) -> Point {
        Point::new((p.x + 0.5) / self.step - 0.5, (p.y + 0.5) / self.step - 0.5)
    }

    /// Returns where a point of the planes lies in the picture.
    pub(super) fn up(&self, p: Point) -> Point {
        Point::new((p.x + 0.5) * self.step - 0.5, (p.y + 0.5) * self.step - 0.5)
    }
}

/// Keeps the logarithm of a dark pixel from running away; a share of full brightness.
const FLOOR: f32 = 0.004;

/// Returns the planes of a small picture: warmth, which no light gradient changes, then brightness,
/// then darkness.
pub(super) fn planes(picture: &Picture) -> Vec<Plane> {
    let (w, h) = (picture.width, picture.height);
    let warmths: Vec<f32> = picture.pixels.iter().map(|&p| warmth(p)).collect();
    let brightness: Vec<f32> = picture
        .pixels
        .iter()
        .map(|&p| (luminance(p).max(0.0) + FLOOR).ln())
        .collect();
    let bright = Plane::new(w, h, &brightness);
    let dark = bright.inverted();
    vec![Plane::new(w, h, &warmths), bright, dark]
}

/// Finds the solid patches of all planes with an area within `areas`, best first.
pub(super) fn patches(planes: &[Plane], areas: (f64, f64)) -> Vec<Region> {
    best_of_each(
        planes
            .iter()
            .enumerate()
            .flat_map(|(i, plane)| regions(plane, i, areas))
            .collect(),
    )
}

/// Cuts a square window out of a picture; parts beyond its rim are left out.
///
/// Returns the window and where its first pixel lies.
pub(super) fn window(picture: &Picture, centre: Point, half: f64) -> (Picture, Point) {
    let (x0, x1) = (
        clip((centre.x - half).round(), picture.width),
        clip((centre.x + half).round(), picture.width),
    );
    let (y0, y1) = (
        clip((centre.y - half).round(), picture.height),
        clip((centre.y + half).round(), picture.height),
    );
    let pixels = (y0..y1)
        .flat_map(|y| picture.pixels[y * picture.width + x0..y * picture.width + x1].iter())
        .copied()
        .collect();
    let cut = Picture {
        width: x1 - x0,
        height: y1 - y0,
        pixels,
        scale: picture.scale,
    };
    (cut, Point::new(x0 as f64, y0 as f64))
}

/// Returns how much red outweighs blue, as a natural logarithm: bread is warmer than metal, stone
/// and paper, and no light gradient changes it.
pub(super) fn warmth(pixel: [f32; 3]) -> f32 {
    ((pixel[0].max(0.0) + FLOOR) / (pixel[2].max(0.0) + FLOOR)).ln()
}
