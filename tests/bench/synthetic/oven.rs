//! The invented ovens themselves: formulas for patterns over a rack.

use rackshade::numeric::random::Stream;

/// An invented oven: lightness L* of toast at (x, y), both 0..1.
#[derive(Clone, Copy)]
pub(crate) struct Oven {
    kind: &'static str,
    pub(crate) base: f64,
    pub(crate) size: f64,
    a: f64,
    b: f64,
    c: f64,
}

impl Oven {
    pub(crate) fn new(kind: &'static str, s: &mut Stream) -> Self {
        let mut uniform = |lo: f64, hi: f64| lo + (hi - lo) * s.uniform();
        Self {
            kind,
            base: uniform(50.0, 66.0),
            size: uniform(5.0, 14.0),
            a: uniform(0.0, 1.0),
            b: uniform(0.0, 1.0),
            c: uniform(0.0, 1.0),
        }
    }

    pub(crate) fn lightness(&self, x: f64, y: f64) -> f64 {
        let (u, v) = (2.0 * x - 1.0, 2.0 * y - 1.0);
        let darker = match self.kind {
            "corner" => {
                let (cx, cy) = ((self.a * 2.0).floor(), (self.b * 2.0).floor());
                let reach = 0.25 + 0.25 * self.c;
                (-((x - cx).powi(2) + (y - cy).powi(2)) / (2.0 * reach * reach)).exp()
            }
            "front-back" => {
                let side = if self.a < 0.5 { 1.0 } else { -1.0 };
                0.5 * (side * v + 0.3 * (self.b - 0.5) * u + 0.4 * (self.c - 0.5) * v * v)
            }
            "ring" => {
                let r2 = (u - 0.3 * (self.a - 0.5)).powi(2) + (v - 0.3 * (self.b - 0.5)).powi(2);
                0.7 * (r2 / 1.4 - 0.5) * if self.c < 0.7 { 1.0 } else { -1.0 }
            }
            "hot ring" => {
                let (cx, cy) = (0.3 * (self.a - 0.5), 0.3 * (self.b - 0.5));
                let (radius, width) = (0.5 + 0.35 * self.c, 0.18 + 0.15 * self.a);
                let off = ((u - cx).hypot(v - cy) - radius) / width;
                (-0.5 * off * off).exp()
            }
            "swirl" => {
                let turn = std::f64::consts::TAU * self.a;
                let r = u.hypot(v);
                0.6 * r * (v.atan2(u) + turn + (1.0 + self.b) * r).sin()
            }
            _ => 0.0,
        };
        self.base - self.size * darker
    }
}
