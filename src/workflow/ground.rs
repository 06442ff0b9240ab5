//! What a map or a plan stands on: which oven, which mode, which tests or samples.

use super::{
    kitchen::Kitchen,
    map::{MapError, MapView, map_of, map_samples, map_with_bakes, sample_rack_height},
    pool::{bakes_beside, tests_now},
    samples::{SampleError, read_samples_file},
};
use crate::{
    field::Observation,
    model::{Cavity, Dial, HeatSource, Mode, Oven, OvenError, OvenId, RackPosition, ToastTest},
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

/// An oven in one mode, with its map where it was tested.
#[derive(Debug)]
pub struct Ground {
    /// The oven.
    pub oven: Oven,
    /// How it heats.
    pub mode: Mode,
    /// The map; `None` where nothing was tested.
    pub view: Option<MapView>,
}

impl Ground {
    /// Returns the map.
    ///
    /// # Errors
    /// [`GroundError::Untested`] when there is none.
    pub fn tested(&self) -> Result<&MapView, GroundError> {
        self.view.as_ref().ok_or_else(|| GroundError::Untested {
            oven: self.oven.name.clone(),
            mode: self.mode.phrase(),
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
        let known: Vec<_> = oven.modes.iter().map(|m| m.key()).collect();
        Err(GroundError::NoSuchMode {
            oven: oven.name.clone(),
            asked: mode.key(),
            known: known.join(", "),
        })
    }
}

/// Stands on an oven's own tests in one mode.
///
/// # Errors
/// [`GroundError`] when the oven has no such mode, or its tests give no map.
pub fn ground_of_oven(
    kitchen: &Kitchen,
    oven: &Oven,
    mode: Option<Mode>,
    grid: (usize, usize),
) -> Result<Ground, GroundError> {
    let mode = mode_of(oven, mode)?;
    let (tests, warnings) = tests_now(kitchen, oven, mode);
    let view = if tests.is_empty() {
        None
    } else {
        let bakes = bakes_beside(kitchen, tests[0]);
        let mut view = map_with_bakes(oven, &tests, &bakes, grid)?;
        view.warnings.extend(warnings);
        Some(view)
    };
    Ok(Ground {
        oven: oven.clone(),
        mode,
        view,
    })
}

/// Stands on one toast test.
///
/// # Errors
/// [`GroundError::Map`] when it gives no map.
pub fn ground_of_test(
    oven: &Oven,
    test: &ToastTest,
    grid: (usize, usize),
) -> Result<Ground, GroundError> {
    Ok(Ground {
        oven: oven.clone(),
        mode: test.setup.mode,
        view: Some(map_of(oven, &[test], grid)?),
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
    Ok(Ground {
        oven: oven_of_samples(&samples.observations, (width, depth), mode)?,
        mode,
        view: Some(map_samples(&samples, width, depth, grid)?),
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
            .map(|number| RackPosition {
                number,
                height: Centimetres(squeeze * sample_rack_height(number)),
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
    }
    .check()
}

#[cfg(test)]
mod tests {
    use super::*;

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
