//! Ovens of several rack positions that share half of their pattern.

use super::{Kind, Oven, Slice, Test};
use rackshade::{
    field::{Domain, Observation, Rack},
    numeric::random::Stream,
};

/// Share of each of the two patterns: their variances add up to that of one.
const SHARE: f64 = 0.7;
/// From one rack position to the next, cm.
const STEP: f64 = 8.0;

/// An oven with several rack positions: one pattern in all of them and one in each.
pub(crate) struct Stack {
    shared: Oven,
    own: Vec<Oven>,
}

impl Stack {
    /// Draws a stack of `racks` rack positions in a cavity of a given size, cm.
    pub(crate) fn draw(kind: &Kind, racks: usize, size: (f64, f64), s: &mut Stream) -> Self {
        Self {
            shared: kind.draw_sized(size, s),
            own: (0..racks).map(|_| kind.draw_sized(size, s)).collect(),
        }
    }

    /// Puts the patterns of one rack together: `of` reads an oven's lightness at a place, or over one.
    fn rack(&self, rack: usize, of: impl Fn(&Oven) -> f64) -> f64 {
        let (x, y) = (self.shared.width / 2.0, self.shared.depth / 2.0);
        let own = &self.own[rack];
        let middle = |o: &Oven| o.lightness(x, y);
        middle(own) + SHARE * (of(&self.shared) - middle(&self.shared) + of(own) - middle(own))
    }

    /// Returns the true lightness L* at a point of rack position `rack` (from 0), cm.
    pub(crate) fn lightness(&self, rack: usize, x: f64, y: f64) -> f64 {
        self.rack(rack, |o| o.lightness(x, y))
    }

    /// Lays and toasts `counts` slices on each of the rack positions with the indices `racks`.
    pub(crate) fn test(
        &self,
        racks: &[usize],
        counts: (usize, usize),
        scatter: f64,
        s: &mut Stream,
    ) -> Vec<Observation> {
        let mut observations = Vec::new();
        for &rack in racks {
            let slices: Vec<Slice> = self.shared.lay_counted(counts, 4.0, s);
            let lightness = slices
                .iter()
                .map(|slice| self.rack(rack, |o| o.area_mean(slice)) + scatter * s.normal())
                .collect();
            let test = Test {
                counts,
                slices,
                lightness,
            };
            observations.extend(test.observations(number(rack)));
        }
        observations
    }

    /// Returns the cavity with all rack positions, numbered from 1.
    pub(crate) fn domain(&self) -> Domain {
        Domain {
            width: self.shared.width,
            depth: self.shared.depth,
            racks: (0..self.own.len())
                .map(|rack| Rack {
                    number: number(rack),
                    height: STEP * (rack + 1) as f64,
                })
                .collect(),
        }
    }
}

/// The number of the rack position with index `rack`.
pub(crate) fn number(rack: usize) -> u8 {
    u8::try_from(rack + 1).expect("few rack positions")
}
