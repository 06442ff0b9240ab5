//! After the bake: what came out against what the plan expected, and what several bakes together say.

pub mod agree;
pub mod fold;
pub mod learn;
pub mod photo;
pub mod score;
mod stays;
mod words;

pub use stays::{Stay, as_done};

use agree::Verdict;
use stays::{dose_of, shut, went_otherwise};

use crate::{
    field::Range,
    model::{
        BakeLog, Forecast, Shade,
        shade::{SATURATED_SHADE, score_sd_shade},
    },
    numeric::normal::Z90,
    units::Minutes,
    workflow::{ground::ground_of_oven, kitchen::Records, pool::bakes_like},
};

/// Why nothing can be said of what came out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AfterError {
    /// Nothing is scored.
    #[error(
        "nothing of bake {0} is scored yet; score what came out with 'rackshade bakes score {0}'"
    )]
    Unscored(String),
    /// Only one thing is scored.
    #[error(
        "one score alone has nothing to be held against in bake {0}; score a second place or tray"
    )]
    One(String),
    /// No map stood behind the plan.
    #[error(
        "the plan of bake {0} expected nothing of single places, for no map stood behind it; toast-test the oven and plan on its map"
    )]
    NoForecast(String),
}

/// A piece, or a whole tray.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Row and column on the tray as it first went in, from 0 at the back left.
    Piece(usize, usize),
    /// Every piece of it at once.
    WholeTray,
}

/// One score against what was expected of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// Tray number, from 1.
    pub tray: usize,
    /// What of it.
    pub what: What,
    /// The shade expected at the bake's own level, with the plan's 90 % interval.
    pub expected: Range,
    /// The shade it came out with.
    pub actual: Shade,
    /// Actual less expected in standard errors of map and eye together.
    pub standardised: f64,
}

impl Compared {
    /// Actual less expected, shades; of what is burnt, what it is off by at least.
    pub fn off(&self) -> f64 {
        off(self.actual, self.expected.value)
    }

    /// Tells whether map and eye together do not explain it: further off than 90 % of such differences.
    pub fn surprises(&self) -> bool {
        self.standardised.abs() > Z90
    }
}

/// How dark the whole bake came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Mean shade of what was scored, the map's pattern taken off, with its 90 % interval.
    pub shade: Range,
    /// What it was meant to have.
    pub wanted: Option<Shade>,
    /// Minutes that the same bake should take longer (shorter below 0) to come out as wanted.
    pub minutes: Option<Minutes>,
    /// How long it was in the oven.
    pub baked: Option<Minutes>,
    /// How many of the scores are 8 or above, of how many: where it is most of them the shade is the least it may be, and
    /// the minutes too; else both are of the rest.
    pub burnt: (usize, usize),
}

/// Predicted against actual of one bake; level and pattern apart.
#[derive(Debug, Clone, PartialEq)]
pub struct After {
    /// How dark on the whole.
    pub level: Level,
    /// Every score, tray by tray.
    pub places: Vec<Compared>,
    /// Root mean square of actual less expected, shades.
    pub pattern: f64,
    /// What it would be if map and eye are as good as they say, shades.
    pub pattern_expected: f64,
    /// Why the pieces cannot be held against the plan, which expected another bake; there are no places then.
    pub otherwise: Option<String>,
}

/// A shade that nothing baked is darker than: a step above the card's darkest (a choice, no source).
const BLACK: f64 = 10.0;

/// A score and what was expected of it, as a ratio to the mean of all pieces.
struct Scored {
    tray: usize,
    what: What,
    actual: Shade,
    ratio: f64,
    ratio_sd: f64,
}

/// Holds what came out against the plan's own forecast.
///
/// The level is fitted to the scores, so that the rest tells the pattern alone. Shades from 8 up are saturated: what is
/// burnt is at least that dark, and no darker than expected; where it is few, the others tell the level. Pieces pulled
/// before the end are left out. A bake that was moved or taken out at other times than planned has its level alone.
///
/// # Errors
/// [`AfterError`] when nothing is scored, or nothing was expected.
pub fn compare(bake: &BakeLog) -> Result<After, AfterError> {
    let id = bake.id.to_string();
    let scores = scores(bake);
    if scores.is_empty() {
        return Err(AfterError::Unscored(id));
    }
    if bake.plan.forecast.is_empty() {
        return Err(AfterError::NoForecast(id));
    }
    let scored: Vec<Scored> = scores
        .into_iter()
        .filter_map(|(tray, what, actual)| {
            let (ratio, ratio_sd) = expected(&bake.plan.forecast, tray, what)?;
            Some(Scored {
                tray,
                what,
                actual,
                ratio,
                ratio_sd,
            })
        })
        .collect();
    if scored.len() < 2 {
        return Err(AfterError::One(id));
    }
    // The level by least squares, weighted by the eye alone: the map's errors are shared and small beside it.
    // Where most is burnt, all that is known is a least shade; else what is not burnt tells it.
    let burnt = (
        scored.iter().filter(|s| is_burnt(s.actual)).count(),
        scored.len(),
    );
    let mostly_burnt = 2 * burnt.0 > burnt.1;
    let telling: Vec<&Scored> = scored
        .iter()
        .filter(|s| mostly_burnt || !is_burnt(s.actual))
        .collect();
    let xx: f64 = telling.iter().map(|s| s.ratio * s.ratio).sum();
    let level = fitted(&telling, xx, SATURATED_SHADE);
    // A photo's level is off by as much for every piece of its tray.
    let photos = bake.photos.iter().map(|p| p.level_shade);
    let half = Z90 * (score_sd_shade() / xx.sqrt()).hypot(photos.fold(0.0, f64::max));
    let otherwise = went_otherwise(bake);
    let held = if otherwise.is_some() {
        &[]
    } else {
        &scored[..]
    };
    let places: Vec<Compared> = held.iter().map(|s| compared(s, level)).collect();
    let n = places.len() as f64;
    let rms = |sum: f64| (sum / n).sqrt();
    Ok(After {
        level: Level {
            burnt,
            ..level_of(bake, (level, fitted(&telling, xx, BLACK)), half)
        },
        pattern: rms(places.iter().map(|p| p.off().powi(2)).sum()),
        pattern_expected: rms(held
            .iter()
            .map(|s| score_sd_shade().powi(2) + (level * s.ratio_sd).powi(2))
            .sum()),
        places,
        otherwise,
    })
}

/// Tells whether a shade says no more than that it is at least so dark.
fn is_burnt(shade: Shade) -> bool {
    shade.value() >= SATURATED_SHADE
}

/// Returns how far a shade is off what was expected; what is burnt is no further off than it must be.
fn off(actual: Shade, expected: f64) -> f64 {
    if is_burnt(actual) {
        (SATURATED_SHADE - expected).max(0.0)
    } else {
        actual.value() - expected
    }
}

/// Fits the mean shade of all pieces by least squares, what is burnt taken as `least` or, where that is darker, as
/// expected; `xx` is the sum of the squared ratios.
fn fitted(scored: &[&Scored], xx: f64, least: f64) -> f64 {
    /// Enough to settle to a hundredth of a shade.
    const ROUNDS: usize = 60;
    let next = |level: f64| {
        let shade = |s: &Scored| {
            if is_burnt(s.actual) {
                least.max(level * s.ratio)
            } else {
                s.actual.value()
            }
        };
        scored.iter().map(|&s| s.ratio * shade(s)).sum::<f64>() / xx
    };
    (0..ROUNDS).fold(0.0, |level, _| next(level))
}

fn compared(s: &Scored, level: f64) -> Compared {
    let (value, half) = (level * s.ratio, Z90 * level * s.ratio_sd);
    Compared {
        tray: s.tray,
        what: s.what,
        expected: Range::new(value, (value - half).max(0.0), value + half),
        actual: s.actual,
        standardised: off(s.actual, value) / score_sd_shade().hypot(level * s.ratio_sd),
    }
}

/// Everything scored at the end of the bake; a tray scored piece by piece is not counted as a whole too.
fn scores(bake: &BakeLog) -> Vec<(usize, What, Shade)> {
    let pieces = bake
        .pieces
        .iter()
        .filter(|p| p.pulled.is_none())
        .map(|p| (p.tray, What::Piece(p.row, p.col), p.shade));
    let wholes = bake
        .outcome
        .iter()
        .filter(|(tray, _)| {
            !bake
                .pieces
                .iter()
                .any(|p| p.tray == *tray && p.pulled.is_none())
        })
        .map(|(tray, shade)| (*tray, What::WholeTray, *shade));
    let mut all: Vec<_> = pieces.chain(wholes).collect();
    all.sort_by_key(|(tray, _, _)| *tray);
    all
}

/// The ratio expected of a piece, or the mean of a tray's; their errors are taken as one, which is cautious.
fn expected(forecast: &[Forecast], tray: usize, what: What) -> Option<(f64, f64)> {
    let sd = |f: &Forecast| (f.range.1 - f.range.0) / (2.0 * Z90);
    let of: Vec<&Forecast> = forecast
        .iter()
        .filter(|f| f.tray == tray)
        .filter(|f| match what {
            What::Piece(row, col) => (f.row, f.col) == (row, col),
            What::WholeTray => true,
        })
        .collect();
    let n = of.len() as f64;
    (!of.is_empty()).then(|| {
        let mean =
            |figure: &dyn Fn(&Forecast) -> f64| of.iter().map(|f| figure(f)).sum::<f64>() / n;
        (mean(&|f| f.ratio), mean(&sd))
    })
}

/// Says how dark a bake came out whose mean shade is `level`, or up to the second where some of it is burnt.
fn level_of(bake: &BakeLog, (level, most): (f64, f64), half: f64) -> Level {
    // Where the shade wanted may be the one it has, another time would be a guess.
    let wanted = bake.wanted.filter(|w| (w.value() - level).abs() > half);
    let minutes = wanted.and_then(|wanted| {
        // While the door stands open nothing browns.
        let (dose, browned) = (dose_of(bake)?, shut(bake, bake.baked?));
        // A shade that may be none at all says nothing of how long another takes.
        let level = Some(level).filter(|level| *level > half)?;
        let share = dose.share(browned) * wanted.value() / level;
        Some(Minutes(dose.reached(share)?.0 - browned.0))
    });
    Level {
        shade: Range::new(level, (level - half).max(0.0), most.max(level) + half),
        wanted: bake.wanted,
        minutes,
        baked: bake.baked,
        burnt: (0, 0),
    }
}

/// Asks every finished bake like this one (same oven and mode, no service visit between) whether the map is off.
///
/// `None` where the oven has no map to be held against.
pub fn verdict_beside(kitchen: &Records, bake: &BakeLog) -> Option<Verdict> {
    /// Cells of the map; only its fit is used.
    const GRID: (usize, usize) = (12, 9);
    /// The same bakes give the same answer, always.
    const SEED: u64 = 3;
    let oven = kitchen.oven(&bake.oven)?;
    let ground = ground_of_oven(kitchen, oven, Some(bake.mode), GRID).ok()?;
    let bakes = bakes_like(kitchen, ground.pool.tests.last()?);
    Some(agree::agree(oven, &ground.view()?.fit, &bakes, SEED))
}

#[cfg(test)]
mod level_tests;
#[cfg(test)]
mod tests;
