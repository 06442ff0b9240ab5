//! From a known time at a known temperature to the time of the same rise at another.
//!
//! A rise is done when as much has gone on as in the known time: the integral over time of [`Dough::rise`] at the
//! dough's own mean temperature, which follows the box by [`warming`].

pub mod warming;

use crate::{
    model::dough::{Cardinal, Dough},
    units::{Celsius, CelsiusDelta, Minutes},
};
use warming::Ball;

/// Longer rises are not told, minutes: a week.
pub const LONGEST: Minutes = Minutes(7.0 * 24.0 * 60.0);
/// How far a dough may be from its known time, told by eye on another day, 90 %, as a factor (an assumption).
const UNTRIED: f64 = 1.15;
/// Diffusivity may be off by this factor, 90 % (an assumption).
const DIFFUSIVITY_FACTOR: f64 = 1.15;
/// What the surface takes up may be off by this factor, 90 %: a bowl, a cloth, a fan (an assumption).
const FILM_FACTOR: f64 = 1.6;
/// Once this share of the first difference is left the dough is taken to be as warm as the box.
const WARM: f64 = 1e-4;

/// A dough that is put somewhere cooler or warmer than it will be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Its temperature when it goes in.
    pub temperature: Celsius,
    /// Its weight, grams.
    pub grams: f64,
}

/// How much faster a dough rises than its known time says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// How many times as fast.
    pub factor: f64,
    /// Half the width of the 90 % interval of its logarithm.
    pub doubt: f64,
}

impl Pace {
    /// As the known time says, told by eye.
    pub fn as_known() -> Self {
        Self {
            factor: 1.0,
            doubt: UNTRIED.ln(),
        }
    }

    /// Learns from looks: each the share of the rise that was seen, the share that was expected by then at
    /// the known time's own pace, and half the width of the 90 % interval of the logarithm of what was seen.
    ///
    /// Logarithms are weighed by one over the square of their doubt.
    #[must_use]
    pub fn learn(self, looks: &[(f64, f64, f64)]) -> Self {
        let weight = |doubt: f64| doubt.max(1e-6).powi(-2);
        let mut sum = self.factor.ln() * weight(self.doubt);
        let mut whole = weight(self.doubt);
        for (seen, expected, doubt) in looks {
            if *seen > 0.0 && *expected > 0.0 {
                sum += (seen / expected).ln() * weight(*doubt);
                whole += weight(*doubt);
            }
        }
        Self {
            factor: (sum / whole).exp(),
            doubt: whole.sqrt().recip(),
        }
    }
}

/// What is known of a dough, and where it is to rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RiseRequest {
    /// What makes it rise.
    pub dough: Dough,
    /// How long it took.
    pub known: Minutes,
    /// How warm the dough was then.
    pub known_at: Celsius,
    /// How warm the box is.
    pub at: Celsius,
    /// Half the width of its 90 % interval.
    pub at_doubt: CelsiusDelta,
    /// The dough as it goes in; `None` where it is as warm as the box.
    pub start: Option<Start>,
    /// How this dough keeps to its known time.
    pub pace: Pace,
}

/// How long a dough takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rise {
    /// The time.
    pub time: Minutes,
    /// Lower end of its 90 % interval.
    pub lo: Minutes,
    /// Upper end; `None` where it may not rise within a week.
    pub hi: Option<Minutes>,
    /// How many times as fast a dough rises once it is as warm as the box.
    pub ratio: f64,
    /// How warm the dough is when it has risen.
    pub dough_end: Celsius,
}

/// Why no time can be told.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoRise {
    /// Too cold or too hot for this dough where its time is known.
    #[error("the dough does not rise where its time is known")]
    Known,
    /// Too cold or too hot in the box.
    #[error("the dough does not rise in the box")]
    Box,
    /// So hot when it goes in that nothing in it lives.
    #[error("the dough is too hot when it goes in")]
    Start,
    /// So cool that no time at another temperature tells how fast it rises.
    #[error("it is too cool for a time to be told")]
    Cool(Celsius),
    /// More than a week.
    #[error("the rise takes more than a week")]
    TooLong,
}

/// What a time is reckoned from; each is varied in turn for the interval.
#[derive(Debug, Clone, Copy)]
struct Figures {
    curve: Cardinal,
    at: Celsius,
    diffusivity: f64,
    film: f64,
}

/// Finds how long a dough takes, with its 90 % interval.
///
/// The interval adds up, by the root of the sum of squares of logarithms, what each figure's doubt does to the time.
///
/// # Errors
/// [`NoRise`] where it does not rise, or not within a week.
pub fn rise(request: &RiseRequest) -> Result<Rise, NoRise> {
    let curve = request.dough.rise();
    if curve.rate(request.known_at) <= 0.0 {
        return Err(NoRise::Known);
    }
    if curve.rate(request.at) <= 0.0 {
        return Err(NoRise::Box);
    }
    if let Some(cool) = cool(request) {
        return Err(NoRise::Cool(cool));
    }
    if request
        .start
        .is_some_and(|s| s.temperature.0 >= curve.highest)
    {
        return Err(NoRise::Start);
    }
    let figures = Figures {
        curve,
        at: request.at,
        diffusivity: 1.0,
        film: 1.0,
    };
    let (time, dough_end) = time(request, &figures).ok_or(NoRise::TooLong)?;
    let (lo, hi) = interval(request, &figures, time);
    Ok(Rise {
        time: Minutes(time),
        lo: Minutes(lo),
        hi: hi.map(Minutes),
        ratio: curve.rate(request.at) / curve.rate(request.known_at),
        dough_end,
    })
}

/// Returns the temperature that is too cool for a time to be told, if any.
fn cool(request: &RiseRequest) -> Option<Celsius> {
    let told = request.dough.known_from();
    let places = [request.known_at, request.at];
    places.into_iter().find(|t| t.0 < told.0)
}

/// Returns the minutes of a rise and the dough's temperature at its end; `None` where it takes more than a week.
fn time(request: &RiseRequest, figures: &Figures) -> Option<(f64, Celsius)> {
    let whole = request.known.0 * figures.curve.rate(request.known_at) / request.pace.factor;
    let steady = figures.curve.rate(figures.at);
    let mut done = 0.0;
    let mut minutes = 0.0;
    if let Some(start) = request.start {
        let ball = Ball::new(start.grams, figures.diffusivity, figures.film);
        let first = start.temperature - figures.at;
        let dough = |minute: f64| figures.at + CelsiusDelta(first.0 * ball.left(60.0 * minute));
        let step = (request.known.0 / 200.0).clamp(0.02, 0.5);
        while ball.left(60.0 * minutes) > WARM && minutes < LONGEST.0 {
            let grown = step * figures.curve.rate(dough(minutes + step / 2.0));
            if done + grown >= whole {
                minutes += step * (whole - done) / grown;
                return Some((minutes, dough(minutes)));
            }
            done += grown;
            minutes += step;
        }
    }
    // Also where the rate is nothing: the time is infinite then.
    minutes += (whole - done) / steady;
    (minutes <= LONGEST.0).then_some((minutes, figures.at))
}

/// Returns which share of its rise a dough has behind it `after` going in, 0 or more; the pace is in it.
///
/// `None` where the dough does not rise where its time is known, or no time can be told.
pub fn share(request: &RiseRequest, after: Minutes) -> Option<f64> {
    const STEPS: u32 = 600;
    if cool(request).is_some() {
        return None;
    }
    let curve = request.dough.rise();
    let whole = request.known.0 * curve.rate(request.known_at) / request.pace.factor;
    if whole <= 0.0 {
        return None;
    }
    let ball = request.start.map(|s| {
        let first = s.temperature - request.at;
        (first, Ball::new(s.grams, 1.0, 1.0))
    });
    let dough = |minute: f64| match &ball {
        Some((first, ball)) => request.at + CelsiusDelta(first.0 * ball.left(60.0 * minute)),
        None => request.at,
    };
    let step = after.0 / f64::from(STEPS);
    let sum: f64 = (0..STEPS)
        .map(|i| curve.rate(dough((f64::from(i) + 0.5) * step)))
        .sum();
    Some((sum * step / whole).max(0.0))
}

/// Returns how warm the dough is, over the whole of it, `after` going in.
pub fn temperature(request: &RiseRequest, after: Minutes) -> Celsius {
    let Some(start) = request.start else {
        return request.at;
    };
    let first = start.temperature - request.at;
    let left = Ball::new(start.grams, 1.0, 1.0).left(after.seconds());
    request.at + CelsiusDelta(first.0 * left)
}

/// Returns the minutes of a rise, without its interval; `None` where it takes more than a week, or cannot be told.
pub fn minutes(request: &RiseRequest) -> Option<Minutes> {
    if cool(request).is_some() {
        return None;
    }
    let figures = Figures {
        curve: request.dough.rise(),
        at: request.at,
        diffusivity: 1.0,
        film: 1.0,
    };
    time(request, &figures).map(|(minutes, _)| Minutes(minutes))
}

/// Returns which share of a swing of the air a dough of `grams` follows, 0 to 1: the rest is smoothed by its mass.
///
/// A first-order lag by the slowest term of its warming follows a cycle of angular rate w as 1 / sqrt(1 + (w tau)^2).
pub fn followed(grams: f64, cycle_s: f64) -> f64 {
    let lag = Ball::new(grams, 1.0, 1.0).lag();
    1.0 / (1.0 + (std::f64::consts::TAU * lag / cycle_s.max(1.0)).powi(2)).sqrt()
}

/// Returns the ends of the 90 % interval, minutes.
fn interval(request: &RiseRequest, figures: &Figures, central: f64) -> (f64, Option<f64>) {
    let doubt = request.dough.doubt();
    let mut less = request.pace.doubt.powi(2);
    let mut more = Some(less);
    for vary in VARIED {
        // Both ways together, so that a doubt that lengthens either way counts once.
        let (mut shortest, mut longest) = (0.0_f64, Some(0.0_f64));
        for way in [-1.0, 1.0] {
            let mut varied = *figures;
            vary(&mut varied, way, &doubt, request.at_doubt);
            if varied.curve.rate(request.known_at) <= 0.0 {
                // It has risen where this says that it cannot, so this is not so.
                continue;
            }
            let change = time(request, &varied).map(|(minutes, _)| (minutes / central).ln());
            shortest = shortest.min(change.unwrap_or(0.0));
            longest = longest.zip(change).map(|(l, c)| l.max(c));
        }
        less += shortest * shortest;
        more = more.zip(longest).map(|(m, l)| m + l * l);
    }
    let lo = central * (-less.sqrt()).exp();
    let hi = more
        .map(|m| central * m.sqrt().exp())
        .filter(|hi| *hi <= LONGEST.0);
    (lo, hi)
}

/// How one figure is moved to an end of its 90 % interval, down (-1) or up (1).
type Vary = fn(&mut Figures, f64, &Cardinal, CelsiusDelta);

const VARIED: [Vary; 8] = [
    |f, way, doubt, _| f.curve.lowest += way * doubt.lowest,
    |f, way, doubt, _| f.curve.best += way * doubt.best,
    |f, way, doubt, _| f.curve.highest += way * doubt.highest,
    |f, way, doubt, _| f.curve.power += way * doubt.power,
    |f, way, doubt, _| f.curve.joined += way * doubt.joined,
    |f, way, _, at| f.at = f.at + CelsiusDelta(way * at.0),
    |f, way, _, _| f.diffusivity *= DIFFUSIVITY_FACTOR.powf(way),
    |f, way, _, _| f.film *= FILM_FACTOR.powf(way),
];

#[cfg(test)]
mod tests {
    use super::*;

    fn request(dough: Dough, known_at: f64, at: f64) -> RiseRequest {
        RiseRequest {
            dough,
            known: Minutes(60.0),
            known_at: Celsius(known_at),
            at: Celsius(at),
            at_doubt: CelsiusDelta(0.0),
            start: None,
            pace: Pace::as_known(),
        }
    }

    /// The share is the integral whose end `rise` finds: 1 after the time of the rise, whatever the start and pace.
    #[test]
    fn the_share_is_one_when_it_has_risen() {
        for pace in [0.7, 1.0, 1.4] {
            let mut asked = from(18.0, 700.0, request(Dough::Yeast, 24.0, 29.0));
            asked.pace.factor = pace;
            let time = rise(&asked).unwrap().time;
            assert!((share(&asked, time).unwrap() - 1.0).abs() < 0.002);
            let half = share(&asked, Minutes(time.0 / 2.0)).unwrap();
            assert!(
                (0.3..0.5).contains(&half),
                "it warms, so it is slower first: {half}"
            );
        }
    }

    /// Textbook: two equal doubts meet in the middle with a doubt smaller by the square root of two.
    #[test]
    fn looks_are_weighed_by_their_doubt() {
        let told = Pace {
            factor: 1.0,
            doubt: 0.2,
        };
        let learnt = told.learn(&[(0.5, 0.4, 0.2)]);
        assert!(
            (learnt.factor - 1.25_f64.sqrt()).abs() < 1e-12,
            "{learnt:?}"
        );
        assert!((learnt.doubt - 0.2 / 2.0_f64.sqrt()).abs() < 1e-12);
        let sure = told.learn(&[(1.0, 0.8, 0.001)]);
        assert!((sure.factor - 1.25).abs() < 1e-3);
        assert_eq!(told.learn(&[(0.5, 0.0, 0.1)]), told);
    }

    /// Definition: half a kilogram lags by the better part of an hour, so a swing of ten minutes hardly reaches it.
    #[test]
    fn a_large_dough_smooths_the_swing() {
        assert!(followed(500.0, 600.0) < 0.1, "{}", followed(500.0, 600.0));
        assert!(followed(50.0, 600.0) > followed(500.0, 600.0));
        assert!(followed(500.0, 1e6) > 0.99);
    }

    fn from(temperature: f64, grams: f64, request: RiseRequest) -> RiseRequest {
        let temperature = Celsius(temperature);
        RiseRequest {
            start: Some(Start { temperature, grams }),
            ..request
        }
    }

    /// The definition: at one temperature throughout, time goes with one over the rate, and the same box takes the same time.
    #[test]
    fn a_dough_as_warm_as_the_box_takes_the_known_time_over_the_ratio() {
        for dough in Dough::ALL {
            for (known, at) in [(24.0, 24.0), (24.0, 29.0), (29.0, 20.0)] {
                let found = rise(&request(dough, known, at)).unwrap();
                assert!((found.time.0 * found.ratio - 60.0).abs() < 1e-9);
                let hi = found.hi.unwrap().0;
                assert!(found.lo.0 < found.time.0 && found.time.0 < hi, "{found:?}");
                let warm = rise(&from(at, 500.0, request(dough, known, at))).unwrap();
                assert!((warm.time.0 - found.time.0).abs() < 1e-6, "{warm:?}");
            }
        }
    }

    /// In the same place only the eye is in doubt, farther away the curve is too.
    #[test]
    fn the_farther_from_what_is_known_the_wider() {
        let width = |at| {
            let found = rise(&request(Dough::Yeast, 24.0, at)).unwrap();
            found.hi.unwrap().0 / found.lo.0
        };
        assert!((width(24.0) - UNTRIED.powi(2)).abs() < 1e-9);
        assert!(
            width(24.0) < width(26.0) && width(26.0) < width(30.0) && width(20.0) < width(16.0)
        );
        let unsure = RiseRequest {
            at_doubt: CelsiusDelta(2.0),
            ..request(Dough::Yeast, 24.0, 24.0)
        };
        let found = rise(&unsure).unwrap();
        assert!(found.hi.unwrap().0 / found.lo.0 > 1.3, "{found:?}");
    }

    /// Laws: a cooler or a larger dough takes longer, and never less than one that is warm, nor more than one that never warms.
    #[test]
    fn a_cool_dough_takes_longer_and_a_large_one_longer_still() {
        let base = request(Dough::Yeast, 24.0, 30.0);
        let time = |r: RiseRequest| rise(&r).unwrap().time.0;
        let warm = time(base);
        let (small, middle, large) = (
            time(from(20.0, 100.0, base)),
            time(from(20.0, 500.0, base)),
            time(from(20.0, 3000.0, base)),
        );
        let never = time(request(Dough::Yeast, 24.0, 20.0));
        assert!(warm < small && small < middle && middle < large && large < never);
        assert!(time(from(10.0, 500.0, base)) > middle);
        let found = rise(&from(20.0, 500.0, base)).unwrap();
        assert!((20.0..30.0).contains(&found.dough_end.0), "{found:?}");
        assert!(time(from(28.0, 500.0, request(Dough::Yeast, 24.0, 20.0))) < never);
    }

    /// Another way: the same integral in steps of a second by the trapezoid rule, at half the weight of each end.
    #[test]
    fn the_rise_over_a_warming_dough_is_its_integral() {
        let asked = from(18.0, 700.0, request(Dough::Sourdough, 24.0, 28.0));
        let found = rise(&asked).unwrap();
        let ball = Ball::new(700.0, 1.0, 1.0);
        let rate = |second: f64| {
            let t = 28.0 - 10.0 * ball.left(second);
            Dough::Sourdough.rise().rate(Celsius(t))
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a rise is a few thousand seconds"
        )]
        let seconds = found.time.seconds().floor() as u32;
        let sum: f64 = (0..seconds)
            .map(|s| f64::midpoint(rate(f64::from(s)), rate(f64::from(s + 1))))
            .sum();
        let whole = 3600.0 * Dough::Sourdough.rise().rate(Celsius(24.0));
        assert!((sum - whole).abs() < 0.001 * whole, "{sum} {whole}");
    }

    #[test]
    fn where_nothing_rises_no_time_is_told() {
        assert_eq!(rise(&request(Dough::Yeast, 24.0, 45.4)), Err(NoRise::Box));
        assert_eq!(rise(&request(Dough::Yeast, 24.0, 1.0)), Err(NoRise::Box));
        assert_eq!(
            rise(&request(Dough::Sourdough, 36.0, 24.0)),
            Err(NoRise::Known)
        );
        // A night in the refrigerator tells nothing of a warm kitchen, nor the other way round.
        for (known_at, at) in [(24.0, 4.0), (4.4, 24.0), (10.0, 24.0), (24.0, 13.4)] {
            for dough in Dough::ALL {
                let asked = request(dough, known_at, at);
                let said = rise(&asked);
                assert!(
                    matches!(said, Err(NoRise::Cool(_) | NoRise::Known | NoRise::Box)),
                    "{said:?}"
                );
                assert_eq!(
                    share(&asked, Minutes(60.0)).or(minutes(&asked).map(|m| m.0)),
                    None
                );
            }
        }
        let slow = RiseRequest {
            known: Minutes(4.0 * 24.0 * 60.0),
            ..request(Dough::Yeast, 24.0, 14.0)
        };
        assert_eq!(rise(&slow), Err(NoRise::TooLong));
        let hot = from(50.0, 500.0, request(Dough::Yeast, 24.0, 28.0));
        assert_eq!(rise(&hot), Err(NoRise::Start));
        let edge = rise(&request(Dough::Yeast, 24.0, 44.9)).unwrap();
        assert!(edge.hi.is_none() && edge.time.0.is_finite(), "{edge:?}");
    }
}
