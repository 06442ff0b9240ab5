//! A pinhole that looks down on the tray at a slant.

use super::{HEIGHT, WIDTH};
use rackshade::numeric::random::Stream;

pub(super) struct Camera {
    eye: [f64; 3],
    /// Rows: right, down, forward.
    axes: [[f64; 3]; 3],
    focal: f64,
    bend: f64,
    pub(super) vignette: f64,
}

impl Camera {
    pub(super) fn new(s: &mut Stream, reach: f64) -> Self {
        let tilt = (4.0 + 22.0 * s.uniform()).to_radians();
        let roll = (6.0 * s.uniform() - 3.0).to_radians();
        let far = reach * (2.0 + 0.5 * s.uniform());
        let (st, ct) = tilt.sin_cos();
        let (sr, cr) = roll.sin_cos();
        let forward = [0.0, st, -ct];
        let (right, down) = ([1.0, 0.0, 0.0], [0.0, -ct, -st]);
        let mix = |a: f64, b: f64| std::array::from_fn(|i| a * right[i] + b * down[i]);
        Self {
            eye: [0.0, -far * st, far * ct],
            axes: [mix(cr, sr), mix(-sr, cr), forward],
            focal: 0.95,
            bend: -0.03 * s.uniform(),
            vignette: 0.25 * s.uniform(),
        }
    }

    /// The point of the tray behind a pixel, x to the right and y to the back, cm.
    pub(super) fn tray(&self, px: f64, py: f64) -> (f64, f64) {
        let (u, v) = (
            (px - WIDTH as f64 / 2.0) / WIDTH as f64,
            (py - HEIGHT as f64 / 2.0) / WIDTH as f64,
        );
        let bend = 1.0 + self.bend * (u * u + v * v);
        let ray: [f64; 3] = std::array::from_fn(|i| {
            u * bend * self.axes[0][i] + v * bend * self.axes[1][i] + self.focal * self.axes[2][i]
        });
        let t = -self.eye[2] / ray[2];
        (self.eye[0] + t * ray[0], self.eye[1] + t * ray[1])
    }

    /// The pixel of a point of the tray, by Newton's steps.
    pub(super) fn pixel(&self, x: f64, y: f64) -> (f64, f64) {
        let (mut px, mut py) = (WIDTH as f64 / 2.0, HEIGHT as f64 / 2.0);
        for _ in 0..30 {
            let (a, b) = self.tray(px, py);
            let (ax, bx) = self.tray(px + 1.0, py);
            let (ay, by) = self.tray(px, py + 1.0);
            let (m, n, o, p) = (ax - a, ay - a, bx - b, by - b);
            let det = m * p - n * o;
            px += ((x - a) * p - (y - b) * n) / det;
            py += ((y - b) * m - (x - a) * o) / det;
        }
        (px, py)
    }
}
