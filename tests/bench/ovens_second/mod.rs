//! Ovens drawn from what heats them: radiating wires and plates, moving air, leaks, reflecting walls.
//!
//! Nothing here is a formula for a pattern. Each kind sets up heaters at real places, sums what they send
//! to the rack (`radiation`), or solves how moving air carries heat (`air`), and scales the sum to a spread
//! in lightness. Shares no code with the other generator, `synthetic`.

mod air;
mod kinds;
mod radiation;

use rackshade::numeric::{quantile::quantile, random::Stream};

pub(crate) use kinds::Kind;

/// Nodes of the raster that keeps an oven's truth, along x and along y.
const NODES: (usize, usize) = (65, 53);
/// Lightness of an untoasted slice, L*.
const UNTOASTED: f64 = 84.0;

/// One oven at one rack position: how light bread comes out anywhere on the rack.
pub(crate) struct Oven {
    /// Left wall to right wall and door to back wall, cm.
    size: (f64, f64),
    /// Browning B at the nodes, row by row from the door.
    browning: Vec<f64>,
}

/// Random figures in plain ranges.
struct Chance(Stream);

impl Chance {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.uniform()
    }

    /// A whole number from 0 to `n` - 1.
    fn below(&mut self, n: u8) -> u8 {
        (0..n)
            .rev()
            .find(|&k| f64::from(k) <= self.0.uniform() * f64::from(n))
            .unwrap_or(0)
    }

    fn coin(&mut self) -> bool {
        self.0.uniform() < 0.5
    }

    fn sign(&mut self) -> f64 {
        if self.coin() { 1.0 } else { -1.0 }
    }
}

impl Oven {
    /// Draws an oven of one kind, `size` cm from left to right and from the door to the back wall; the same
    /// seed gives the same oven.
    pub(crate) fn draw(kind: Kind, size: (f64, f64), seed: u64) -> Self {
        let mut chance = Chance(Stream::new(seed));
        let heat = kinds::heat(kind, size, &mut chance);
        let spread = if kind == Kind::Flat {
            chance.between(0.1, 0.9)
        } else {
            chance.between(5.0, 16.0)
        };
        let level = chance.between(52.0, 66.0);
        // a wire's hottest line is finer than anything told of bread: hottest and coolest hundredth
        let (low, high) = (quantile(&heat, 0.01), quantile(&heat, 0.99));
        let mean = heat.iter().sum::<f64>() / heat.len() as f64;
        let scale = spread / level / (high - low);
        let middle = (UNTOASTED / level).ln();
        let browning = heat
            .iter()
            .map(|v| (middle + scale * (v - mean)).max(0.01))
            .collect();
        Self { size, browning }
    }

    /// Returns the true lightness L* at a point of the rack, cm.
    pub(crate) fn lightness(&self, x: f64, y: f64) -> f64 {
        let (nx, ny) = NODES;
        let (c, u) = step(x / self.size.0, nx);
        let (r, v) = step(y / self.size.1, ny);
        let at = |r: usize, c: usize| self.browning[r * nx + c];
        let near = at(r, c) * (1.0 - u) + at(r, c + 1) * u;
        let far = at(r + 1, c) * (1.0 - u) + at(r + 1, c + 1) * u;
        UNTOASTED * (-(near * (1.0 - v) + far * v)).exp()
    }
}

/// The raster step that holds a share 0..1 of the way, and how far into it the share lies.
fn step(share: f64, nodes: usize) -> (usize, f64) {
    let last = nodes - 2;
    let way = share.clamp(0.0, 1.0) * (nodes - 1) as f64;
    let k = (0..=last).rev().find(|&k| k as f64 <= way).unwrap_or(0);
    (k, way - k as f64)
}

/// The raster's nodes in cm, row by row from the door.
fn nodes((width, depth): (f64, f64)) -> Vec<(f64, f64)> {
    let (nx, ny) = NODES;
    (0..nx * ny)
        .map(|k| {
            (
                (k % nx) as f64 * width / (nx - 1) as f64,
                (k / nx) as f64 * depth / (ny - 1) as f64,
            )
        })
        .collect()
}
