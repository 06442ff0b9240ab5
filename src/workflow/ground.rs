//! What a map or a plan stands on: which oven, which mode, which tests or samples.

use super::{
    kitchen::Records,
    map::{MapError, map_of, map_samples, sample_rack_height},
    pool::{Pool, Which, tests_now},
    samples::{SampleError, read_samples_file},
    view::MapView,
};
use crate::{
    field::{FieldError, Observation},
    model::{
        Cavity, Dial, HeatSource, Mode, Oven, OvenError, OvenId, RackPosition, Warning,
        text::joined,
    },
    units::{Celsius, Centimetres, LengthUnit, TemperatureUnit},
};
use std::path::Path;

/// Why there is nothing to stand on.
#[derive(Debug, thiserror::Error)]
pub enum GroundError {
    /// The samples are wrong.
    #[error(transparent)]
    Samples(#[from] SampleError),
    /// No map can be made of them.
    #[error(transparent)]
    Map(#[from] MapError),
    /// The samples' cavity is no oven's.
    #[error(transparent)]
    Oven(#[from] OvenError),
    /// The oven has no such mode.
    #[error("{oven} has no mode {asked}; it has {known}")]
    NoSuchMode {
        /// The oven's name.
        oven: String,
        /// Key of the mode asked for.
        asked: &'static str,
        /// Keys of the modes it has.
        known: String,
    },
    /// Nothing is scored.
    #[error(
        "{oven} has no scored toast test {mode}; lay one out and score it first, or name another mode"
    )]
    Untested {
        /// The oven's name.
        oven: String,
        /// Key of the mode.
        mode: &'static str,
    },
}

/// Why an oven has no map in a mode; a plan can still be made by custom.
#[derive(Debug, Clone, PartialEq)]
pub enum NoMap {
    /// Nothing was scored.
    Untested {
        /// The mode.
        mode: Mode,
        /// Modes that were tested, where the mode was taken only because none was named.
        elsewhere: Vec<Mode>,
    },
    /// Too little, or nothing exact, was seen.
    TooLittle(FieldError),
}

impl NoMap {
    /// Says it beside a plan; nothing where a mode that was never tested was asked for by name.
    pub fn warning(&self) -> Option<Warning> {
        match self {
            Self::Untested { elsewhere, .. } if elsewhere.is_empty() => None,
            Self::Untested { mode, elsewhere } => {
                let tested = joined(elsewhere.iter().map(|m| m.key()), ", ");
                Some(Warning::misleads(
                    format!(
                        "no toast test was scored {}, the mode taken because none was named",
                        mode.phrase()
                    ),
                    format!("there are tests in {tested}: name it with --mode to plan on them"),
                ))
            }
            Self::TooLittle(why) => Some(Warning::misleads(
                "the toast tests in this mode give no map, so this plan rests on custom alone",
                why.to_string(),
            )),
        }
    }
}

/// An oven in one mode, with its map where it was tested.
#[derive(Debug, Clone)]
pub struct Ground {
    /// The oven.
    pub oven: Oven,
    /// How it heats.
    pub mode: Mode,
    /// What the map is made of; no tests where it is made of samples.
    pub pool: Pool,
    /// The map, or why there is none.
    pub map: Result<MapView, NoMap>,
}

impl Ground {
    /// Returns the map, if any.
    pub fn view(&self) -> Option<&MapView> {
        self.map.as_ref().ok()
    }

    /// Returns the map.
    ///
    /// # Errors
    /// [`GroundError::Untested`] or [`GroundError::Map`] when there is none.
    pub fn tested(&self) -> Result<&MapView, GroundError> {
        self.map.as_ref().map_err(|why| match why {
            NoMap::Untested { .. } => GroundError::Untested {
                oven: self.oven.name.clone(),
                mode: self.mode.phrase(),
            },
            NoMap::TooLittle(why) => GroundError::Map(MapError::Field(why.clone())),
        })
    }
}

/// Returns the mode asked for, else the oven's first one.
///
/// # Errors
/// [`GroundError::NoSuchMode`] when the oven has it not.
pub fn mode_of(oven: &Oven, asked: Option<Mode>) -> Result<Mode, GroundError> {
    let first = oven.modes.first().copied().unwrap_or(Mode::StillAir);
    let mode = asked.unwrap_or(first);
    if oven.modes.contains(&mode) {
        Ok(mode)
    } else {
        Err(GroundError::NoSuchMode {
            oven: oven.name.clone(),
            asked: mode.key(),
            known: joined(oven.modes.iter().map(|m| m.key()), ", "),
        })
    }
}

/// Stands on an oven's own tests in one mode; in its first one when `None`.
///
/// # Errors
/// [`GroundError`] when the oven has no such mode, or its stored tests do not belong together.
pub fn ground_of_oven(
    records: &Records,
    oven: &Oven,
    mode: Option<Mode>,
    grid: (usize, usize),
) -> Result<Ground, GroundError> {
    let which = Which::Now(mode_of(oven, mode)?);
    let mut ground = ground_of(records, oven, &which, grid)?;
    if let (None, Err(NoMap::Untested { elsewhere, .. })) = (mode, &mut ground.map) {
        let tested = |m: &&Mode| !tests_now(records, oven, **m).is_empty();
        *elsewhere = oven.modes.iter().filter(tested).copied().collect();
    }
    Ok(ground)
}

/// Stands on the tests of an oven that `which` names.
///
/// # Errors
/// [`GroundError`] when they do not belong together.
pub fn ground_of(
    records: &Records,
    oven: &Oven,
    which: &Which,
    grid: (usize, usize),
) -> Result<Ground, GroundError> {
    let pool = Pool::choose(records, oven, which);
    let mode = match (which, pool.tests.first()) {
        (Which::Now(mode), _) => *mode,
        (Which::Alone(_) | Which::These(_), Some(first)) => first.setup.mode,
        (Which::Alone(_) | Which::These(_), None) => mode_of(oven, None)?,
    };
    ground_of_pool(pool, mode, grid)
}

/// Stands on tests that were chosen already.
///
/// # Errors
/// [`GroundError`] when they do not belong together.
pub fn ground_of_pool(pool: Pool, mode: Mode, grid: (usize, usize)) -> Result<Ground, GroundError> {
    let map = if pool.tests.is_empty() {
        Err(NoMap::Untested {
            mode,
            elsewhere: Vec::new(),
        })
    } else {
        match map_of(&pool, grid) {
            Ok(view) => Ok(view),
            Err(MapError::Field(why)) => Err(NoMap::TooLittle(why)),
            Err(other @ MapError::Pool(_)) => return Err(other.into()),
        }
    };
    Ok(Ground {
        oven: pool.oven.clone(),
        mode,
        pool,
        map,
    })
}

/// Stands on a file of samples, in a cavity `width` x `depth` cm.
///
/// # Errors
/// [`GroundError`] names the first thing wrong in the file, or why it gives no map.
pub fn ground_of_samples(
    path: &Path,
    (width, depth): (f64, f64),
    mode: Mode,
    grid: (usize, usize),
) -> Result<Ground, GroundError> {
    let samples = read_samples_file(path, width, depth)?;
    let oven = oven_of_samples(&samples.observations, (width, depth), mode)?;
    Ok(Ground {
        pool: Pool::of(&oven, &[]),
        oven,
        mode,
        map: Ok(map_samples(&samples, width, depth, grid)?),
    })
}

/// Makes up what a file of samples does not say of its oven: evenly spaced rack positions, a height
/// to hold them, and a common dial in Celsius.
fn oven_of_samples(
    samples: &[Observation],
    (width, depth): (f64, f64),
    mode: Mode,
) -> Result<Oven, OvenError> {
    let highest = samples.iter().map(|s| s.rack).max().unwrap_or(1);
    // Half a step above the highest rack, as below the lowest; an oven has 100 cm for them all.
    let needed = sample_rack_height(highest.saturating_add(1)) + sample_rack_height(1);
    let squeeze = (100.0 / needed).min(1.0);
    Oven {
        id: OvenId::of_words("samples"),
        name: "oven of the samples".to_owned(),
        cavity: Cavity {
            width: Centimetres(width),
            depth: Centimetres(depth),
            height: Centimetres((needed * squeeze).clamp(15.0, 120.0)),
        },
        racks: (1..=highest)
            .map(|number| {
                RackPosition::new(number, Centimetres(squeeze * sample_rack_height(number)))
            })
            .collect(),
        heat: vec![HeatSource::BottomElement],
        modes: vec![mode],
        dial: Dial {
            unit: TemperatureUnit::Celsius,
            step: 5.0,
            lowest: Celsius(30.0),
            highest: Celsius(290.0),
        },
        lengths: LengthUnit::Centimetres,
        visits: Vec::new(),
        note: String::new(),
        plate: crate::model::Plate::default(),
    }
    .check()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workflow::kitchen::Kitchen;

    #[test]
    fn a_mode_the_oven_has_not_is_answered_with_those_it_has() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
        oven.modes = vec![Mode::Fan];
        assert_eq!(mode_of(&oven, None).unwrap(), Mode::Fan);
        let said = mode_of(&oven, Some(Mode::StillAir))
            .unwrap_err()
            .to_string();
        assert!(
            said.contains("still-air") && said.contains("it has fan"),
            "{said}"
        );
    }

    #[test]
    fn an_oven_is_made_up_around_samples_on_any_rack() {
        let sample = |rack| Observation {
            rack,
            x: 1.0,
            y: 1.0,
            width: 10.0,
            depth: 10.0,
            browning: 0.4,
            sd: 0.05,
            bound: crate::field::Bound::Exact,
            batch: 0,
            lean: None,
        };
        for rack in [1, 5, 50, 255] {
            let oven = oven_of_samples(&[sample(rack)], (60.0, 45.0), Mode::StillAir).unwrap();
            assert_eq!(oven.racks.len(), usize::from(rack));
        }
    }
}
