//! The tray as if seen straight from above in an even light.

use super::{
    picture::{Picture, single},
    scores::Scores,
};
use crate::{
    geometry::{Homography, Point},
    numeric::whole,
};

impl Scores {
    /// Draws the tray straight from above, the back at the top, `cell` pixels for each slice's
    /// place, with the light taken out and the references at their true lightness.
    ///
    /// Returns `None` when the corners fix no perspective.
    pub fn rectified(
        &self,
        picture: &Picture,
        counts: (usize, usize),
        cell: usize,
    ) -> Option<Picture> {
        let (rows, cols) = counts;
        let corners = self.corners.map(|c| picture.from_photo(c));
        let map = Homography::of_unit_square(&corners).ok()?;
        let (width, height) = (cols * cell, rows * cell);
        let pixels = (0..width * height)
            .map(|i| {
                let unit = Point::new(
                    ((i % width) as f64 + 0.5) / width as f64,
                    ((i / width) as f64 + 0.5) / height as f64,
                );
                let p = map.map(unit);
                let factor = (-self.correction.light.at(p)).exp();
                let seen = between(picture, p).map(|v| v * factor);
                self.correction.curve.apply(seen).map(single)
            })
            .collect();
        Some(Picture {
            width,
            height,
            pixels,
            scale: 1.0,
        })
    }
}

/// Reads a picture between its pixels; the nearest ones outside it.
fn between(picture: &Picture, p: Point) -> [f64; 3] {
    let clamp = |v: f64, n: usize| v.clamp(0.0, n as f64 - 1.0);
    let (x, y) = (clamp(p.x, picture.width), clamp(p.y, picture.height));
    let (i, j) = (whole::floor(x), whole::floor(y));
    let (i1, j1) = (
        (i + 1).min(picture.width - 1),
        (j + 1).min(picture.height - 1),
    );
    let (fx, fy) = (x - i as f64, y - j as f64);
    let at = |i: usize, j: usize| picture.at(i, j).map(f64::from);
    std::array::from_fn(|c| {
        let upper = at(i, j)[c] + fx * (at(i1, j)[c] - at(i, j)[c]);
        let lower = at(i, j1)[c] + fx * (at(i1, j1)[c] - at(i, j1)[c]);
        upper + fy * (lower - upper)
    })
}
