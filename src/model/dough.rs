//! How fast a dough rises, and how fast it sours, at a temperature.
//!
//! Cardinal temperature model with inflection (Rosso, Lobry and Flandrois 1993, J. Theor. Biol. 162, 447, eq. 3):
//! nothing below a lowest and above a highest temperature, 1 at the best one between. It describes how fast cells
//! multiply. Dough of baker's yeast speeds up more with warmth than that, by what bakers see, so its curve is raised
//! to a power that meets their rule; see [`Dough::rise`].

use super::worded::worded;
use crate::units::Celsius;

/// Above this yeast suffers, C (trade press gives 38 to 40 C as the end of the good range).
pub const YEAST_SUFFERS: Celsius = Celsius(40.0);

worded! {
    /// What makes a dough rise.
    pub enum Dough [key] {
        /// Baker's yeast.
        Yeast: "yeast";
        /// Sourdough: its own yeast, and lactobacilli that sour it.
        Sourdough: "sourdough";
    }
}

impl Dough {
    /// Returns how its rise depends on temperature.
    ///
    /// Baker's yeast: best and highest temperature of S. cerevisiae, lowest of its genus (1.3 to 4.3 C), from
    /// Salvado et al. 2011 (Appl. Environ. Microbiol. 77, 2292). By the plain curve a dough would rise 5 % faster for each
    /// degree from 23 to 28 C; bakers see about 10 % (trade press), which the power of 2 meets. The doubt of the power
    /// reaches down to the plain curve.
    ///
    /// Sourdough: half way, in the logarithm, between two readings of the yeast figures of Gaenzle, Ehmann and Hammes 1998
    /// (Appl. Environ. Microbiol. 64, 2616): the curve fitted to them, so that the largest of its misses is smallest (29 %
    /// of the rate; its round top hardly speeds up from 24 to 28 C), and the figures joined by straight lines. The doubt
    /// reaches both.
    pub fn rise(self) -> Cardinal {
        match self {
            Self::Yeast => Cardinal {
                lowest: 2.8,
                best: 32.3,
                highest: 45.4,
                power: 2.0,
                joined: 0.0,
            },
            Self::Sourdough => Cardinal {
                lowest: 8.18,
                best: 27.08,
                highest: 34.63,
                power: 1.0,
                joined: 0.5,
            },
        }
    }

    /// Returns the temperature from which on [`Self::rise`] is backed by what was seen, C.
    ///
    /// Sourdough: the coolest published figure. Baker's yeast: down to here the bakers' rule of 10 % a degree lies within the
    /// doubt of the power; below, the curve would have a refrigerator's night over in minutes of a warm kitchen.
    pub fn known_from(self) -> Celsius {
        match self {
            // 14 C, as whole degrees are shown.
            Self::Yeast | Self::Sourdough => Celsius(13.5),
        }
    }

    /// Returns how far the figures of [`Self::rise`] may be off, as half the width of 90 % intervals.
    ///
    /// Baker's yeast: the lowest as published for the genus, the power down to the plain curve; one degree for the others, and
    /// the power of sourdough by what the curve misses (assumptions).
    pub fn doubt(self) -> Cardinal {
        match self {
            Self::Yeast => Cardinal {
                lowest: 1.5,
                best: 1.0,
                highest: 1.0,
                power: 1.0,
                joined: 0.0,
            },
            Self::Sourdough => Cardinal {
                lowest: 1.0,
                best: 1.0,
                highest: 1.0,
                power: 0.4,
                joined: 0.5,
            },
        }
    }
}

/// How fast the lactobacilli of a sourdough multiply: how fast it sours.
///
/// Fitted to the figures of Gaenzle, Ehmann and Hammes 1998, each met to 15 %.
pub const LACTOBACILLI: Cardinal = Cardinal {
    lowest: 8.73,
    best: 29.83,
    highest: 39.98,
    power: 1.0,
    joined: 0.0,
};

/// A rate that is nothing outside two temperatures and 1 at the best one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cardinal {
    /// Nothing happens at this temperature and below, C.
    pub lowest: f64,
    /// Fastest here, C.
    pub best: f64,
    /// Nothing happens at this temperature and above, C.
    pub highest: f64,
    /// What the curve of Rosso and others is raised to; 1 is theirs.
    pub power: f64,
    /// How far it lies from that towards a sourdough yeast's published figures joined by straight lines, 0 to 1.
    pub joined: f64,
}

/// A sourdough yeast's rate as a share of its fastest, by temperature, C (Gaenzle, Ehmann and Hammes 1998): generation
/// twice as long at 20 and 32 C, four times at 14 and 34 C, no growth at 8 and 35 C.
const SOURDOUGH: [(f64, f64); 7] = [
    (8.0, 0.0),
    (14.0, 0.25),
    (20.0, 0.5),
    (28.0, 1.0),
    (32.0, 0.5),
    (34.0, 0.25),
    (35.0, 0.0),
];

/// Joins [`SOURDOUGH`]: straight lines in the logarithm, to the ends in the rate itself.
fn joined(t: f64) -> f64 {
    let after = SOURDOUGH.partition_point(|(at, _)| *at < t);
    let (Some((from, a)), Some((to, b))) = (
        after.checked_sub(1).and_then(|i| SOURDOUGH.get(i)),
        SOURDOUGH.get(after),
    ) else {
        return 0.0;
    };
    let part = (t - from) / (to - from);
    if a.min(*b) > 0.0 {
        a.powf(1.0 - part) * b.powf(part)
    } else {
        a + (b - a) * part
    }
}

impl Cardinal {
    /// Returns the rate at a temperature as a share of the fastest, 0 to 1.
    pub fn rate(&self, at: Celsius) -> f64 {
        let t = at.0;
        if !(t > self.lowest && t < self.highest) {
            return 0.0;
        }
        let span = self.best - self.lowest;
        let below = span
            * (span * (t - self.best)
                - (self.best - self.highest) * (self.best + self.lowest - 2.0 * t));
        let share = (t - self.highest) * (t - self.lowest).powi(2) / below;
        let round = share.clamp(0.0, 1.0).powf(self.power);
        if self.joined <= 0.0 {
            return round;
        }
        let towards = self.joined.min(1.0);
        round.powf(1.0 - towards) * joined(t).powf(towards)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many times slower than at `best`, over what was published.
    fn misses(curve: &Cardinal, best: f64, published: &[(f64, f64)]) -> Vec<f64> {
        assert_eq!(published.len(), 4);
        let slower = |t| curve.rate(Celsius(best)) / curve.rate(Celsius(t));
        published
            .iter()
            .map(|(t, times)| slower(*t) / times)
            .collect()
    }

    /// Figures of Gaenzle, Ehmann and Hammes 1998 (Appl. Environ. Microbiol. 64, 2616), as its first author gave them in
    /// public letters. One curve with a round top cannot meet a rate that halves within 4 C above its best
    /// and 8 C below: the smallest largest miss of any is a factor of 1.29; half way to the figures 1.15 is left.
    #[test]
    fn sourdough_yeast_is_as_slow_as_published_within_what_one_curve_can_do() {
        let curve = Dough::Sourdough.rise();
        let published = [(20.0, 2.0), (32.0, 2.0), (14.0, 4.0), (34.0, 4.0)];
        for miss in misses(&curve, 28.0, &published) {
            assert!((1.0 / 1.15..1.15).contains(&miss), "{miss}");
        }
        assert!((curve.best - 28.0).abs() < 1.0, "fastest at 28 C");
        for limit in [8.0, 35.0] {
            assert!(curve.rate(Celsius(limit)).abs() < 1e-12, "{limit} C");
        }
    }

    /// The figures joined halve the time from 20 to 28 C (9 % a degree, as bakers see of yeast), so from 24 to 28 C they divide
    /// it by the root of two; the curve hardly speeds up. What is told lies between, and its doubt reaches both.
    #[test]
    fn sourdough_speeds_up_between_what_two_readings_of_the_figures_say() {
        let (curve, doubt) = (Dough::Sourdough.rise(), Dough::Sourdough.doubt());
        let faster = |joined: f64| {
            let curve = Cardinal { joined, ..curve };
            curve.rate(Celsius(28.0)) / curve.rate(Celsius(24.0))
        };
        let (round, sharp) = (
            faster(curve.joined - doubt.joined),
            faster(curve.joined + doubt.joined),
        );
        assert!((sharp - 2.0_f64.sqrt()).abs() < 1e-9, "{sharp}");
        assert!(round < 1.1, "{round}");
        assert!((faster(curve.joined) - (round * sharp).sqrt()).abs() < 1e-9);
    }

    /// The same source; each within 15 %. The fastest is published as 32 to 33 C, and the curve is within 6 % of it there.
    #[test]
    fn lactobacilli_are_as_slow_as_published() {
        let published = [(20.0, 2.0), (37.0, 2.0), (15.0, 4.0), (39.0, 4.0)];
        for miss in misses(&LACTOBACILLI, 32.5, &published) {
            assert!((1.0 / 1.15..1.15).contains(&miss), "{miss}");
        }
        assert!(LACTOBACILLI.rate(Celsius(32.5)) > 0.94);
        for limit in [4.0, 41.0] {
            assert!(LACTOBACILLI.rate(Celsius(limit)).abs() < 1e-12, "{limit} C");
        }
    }

    /// Salvado et al. 2011 (Appl. Environ. Microbiol. 77, 2292): fastest at 32.3 C, nothing above 45.4 C, nor below 1.3 C.
    #[test]
    fn bakers_yeast_is_fastest_where_published_and_stops_at_its_limits() {
        let curve = Dough::Yeast.rise();
        let top = curve.rate(Celsius(32.3));
        assert!((top - 1.0).abs() < 1e-12, "{top}");
        for i in 0..600 {
            let t = f64::from(i) * 0.1;
            let rate = curve.rate(Celsius(t));
            assert!((0.0..=top + 1e-12).contains(&rate), "{t} C: {rate}");
            if !(1.3..45.4).contains(&t) {
                assert!(rate.abs() < 1e-12, "{t} C: {rate}");
            }
        }
        assert!(curve.rate(Celsius(45.0)) > 0.0);
    }

    /// Trade press: one degree warmer ferments about 10 % faster; 8 to 13 % for each degree on the way from 23 to 28 C.
    /// The plain curve (power 1) gives 5 %, and the doubt of the power reaches it.
    #[test]
    fn bakers_yeast_speeds_up_as_bakers_see() {
        let each = |curve: &Cardinal| {
            (curve.rate(Celsius(28.0)) / curve.rate(Celsius(23.0))).powf(0.2) - 1.0
        };
        let curve = Dough::Yeast.rise();
        assert!((0.08..0.13).contains(&each(&curve)), "{}", each(&curve));
        let plain = Cardinal {
            power: 1.0,
            ..curve
        };
        assert!((0.04..0.06).contains(&each(&plain)), "{}", each(&plain));
        assert!(curve.power - Dough::Yeast.doubt().power <= 1.0);
    }

    /// The curve of Rosso and others at 20 C by hand, with lowest 0, best 30 and highest 40 C:
    /// (20 - 40) 20^2 / (30 (30 (20 - 30) - (30 - 40)(30 - 40))) = -8000 / -12000.
    #[test]
    fn the_curve_is_the_published_one() {
        let curve = Cardinal {
            lowest: 0.0,
            best: 30.0,
            highest: 40.0,
            power: 1.0,
            joined: 0.0,
        };
        assert!((curve.rate(Celsius(20.0)) - 2.0 / 3.0).abs() < 1e-12);
        assert!((curve.rate(Celsius(30.0)) - 1.0).abs() < 1e-12);
        assert!(curve.rate(Celsius(f64::NAN)).abs() < 1e-12);
    }
}
