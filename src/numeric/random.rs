//! Seeded random numbers: the same seed gives the same answer on every machine.

use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// A stream of random numbers from one seed.
#[derive(Debug, Clone)]
pub struct Stream(Pcg64Mcg);

impl Stream {
    /// Begins the stream of `seed`.
    pub fn new(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    /// Draws from the standard normal distribution.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// Draws uniformly from 0 (in) to 1 (out), with 53 random bits.
    pub fn uniform(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_one_stream_with_the_right_moments() {
        let draw = |seed| {
            let mut s = Stream::new(seed);
            (0..20_000).map(|_| s.normal()).collect::<Vec<_>>()
        };
        let (a, b) = (draw(7), draw(7));
        assert_eq!(a, b);
        assert_ne!(a[..5], draw(8)[..5]);
        let mean = a.iter().sum::<f64>() / 20_000.0;
        let var = a.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 20_000.0;
        assert!(mean.abs() < 0.03 && (var - 1.0).abs() < 0.05);
        let mut s = Stream::new(3);
        assert!(
            (0..1000)
                .map(|_| s.uniform())
                .all(|u| (0.0..1.0).contains(&u))
        );
    }
}
