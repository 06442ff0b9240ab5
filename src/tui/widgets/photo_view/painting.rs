//! A photo in pixels, with the grid, its corners and patches drawn into it.

use super::{Lattice, Projection, Raster, Window, overlay::sides, raster::light_in, size_of};
use crate::{
    colour::{Rgb, lab::linear_to_srgb},
    geometry::Point,
    tui::theme::{Depth, Role, Theme},
    workflow::photo::OpenPhoto,
};
use ratatui::{layout::Rect, style::Color};
use std::sync::Arc;

/// Steps of the table from light to coded values; fine enough for a change of one in the darkest.
const STEPS: f64 = 4095.0;

/// What a photo in pixels shows; its words lie over it as characters.
#[derive(Debug, Clone)]
pub struct Painting {
    /// The photo.
    pub shot: Arc<OpenPhoto>,
    /// The cells it is laid into.
    pub area: Rect,
    /// Which part of it is in sight.
    pub window: Window,
    /// The lattice.
    pub lattice: Option<Lattice>,
    /// Which of the lattice's corners is in hand; no corner is drawn when `None`.
    pub corner: Option<usize>,
    /// Four-cornered patches to outline, pixels of the photo.
    pub patches: Vec<[Point; 4]>,
}

impl PartialEq for Painting {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.shot, &other.shot)
            && (self.area, self.window, self.lattice) == (other.area, other.window, other.lattice)
            && (self.corner, &self.patches) == (other.corner, &other.patches)
    }
}

impl Painting {
    /// Draws it `size` (width, height) pixels large.
    pub(crate) fn raster(&self, size: (usize, usize)) -> Raster {
        let picture = &self.shot.photo.picture;
        let projection = Projection::new(self.area, size_of(picture), self.window);
        let mut raster = Raster::new(size, self.area);
        let coded = coded();
        for y in 0..raster.height {
            for x in 0..raster.width {
                let light = light_in(picture, &projection, raster.cells(x, y), raster.grain());
                if let Some(light) = light {
                    let [r, g, b] = light.map(|l| coded[step(l)]);
                    raster.set(x, y, Rgb(r, g, b));
                }
            }
        }
        if let Some(lattice) = &self.lattice {
            for [a, b] in sides(lattice) {
                raster.line(
                    (projection.offset(a), projection.offset(b)),
                    ink(Role::Cool),
                );
            }
        }
        for patch in &self.patches {
            for i in 0..4 {
                let ends = [patch[i], patch[(i + 1) % 4]].map(|p| projection.offset(p));
                raster.line(ends.into(), ink(Role::Caution));
            }
        }
        if let (Some(lattice), Some(chosen)) = (&self.lattice, self.corner) {
            for (i, &corner) in lattice.corners.iter().enumerate() {
                let role = if i == chosen {
                    Role::Caution
                } else {
                    Role::Cool
                };
                raster.ring(projection.offset(corner), ink(role));
            }
        }
        raster
    }
}

/// Returns the coded value for every step of light.
fn coded() -> Vec<u8> {
    (0..=4095_u16)
        .map(|i| linear_to_srgb([f64::from(i) / STEPS; 3]).0)
        .collect()
}

fn step(light: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the table"
    )]
    let step = (light * STEPS).round().clamp(0.0, STEPS) as usize;
    step
}

/// Returns the full colour of a role.
fn ink(role: Role) -> Rgb {
    match Theme::new(Depth::TrueColour).style(role).fg {
        Some(Color::Rgb(r, g, b)) => Rgb(r, g, b),
        _ => Rgb(250, 246, 240),
    }
}
