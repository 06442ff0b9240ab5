//! What a plan stands on: the oven's map where there is one, else custom, and why.

use super::super::{
    ground::{Ground, GroundError, ground_of_oven, mode_of},
    kitchen::Kitchen,
    map::MapError,
    pool::tests_now,
};
use crate::model::{Mode, Oven, Warning};

/// An oven with its map, if any, and what to say of it.
#[derive(Debug)]
pub struct Standing {
    /// The oven, the mode and the map.
    pub ground: Ground,
    /// Why there is no map, or where there would be one; the map's own warnings are not repeated here.
    pub warnings: Vec<Warning>,
}

/// Stands on an oven's own tests in one mode, or on nothing where they give no map.
///
/// # Errors
/// [`GroundError`] when the oven has no such mode, or its stored tests do not belong together.
pub fn stand_on_oven(
    kitchen: &Kitchen,
    oven: &Oven,
    mode: Option<Mode>,
    grid: (usize, usize),
) -> Result<Standing, GroundError> {
    match ground_of_oven(kitchen, oven, mode, grid) {
        Ok(ground) => {
            let warnings = match (mode, &ground.view) {
                (None, None) => tested_elsewhere(kitchen, &ground).into_iter().collect(),
                (Some(_), _) | (None, Some(_)) => Vec::new(),
            };
            Ok(Standing { ground, warnings })
        }
        // Too little, or nothing exact, was seen for a map: custom still makes a plan.
        Err(GroundError::Map(MapError::Field(why))) => Ok(Standing {
            ground: Ground {
                oven: oven.clone(),
                mode: mode_of(oven, mode)?,
                view: None,
            },
            warnings: vec![Warning::new(
                "the toast tests in this mode give no map, so this plan rests on custom alone",
                why.to_string(),
            )],
        }),
        Err(other) => Err(other),
    }
}

/// Names the modes that were tested when the one taken by default was not.
fn tested_elsewhere(kitchen: &Kitchen, ground: &Ground) -> Option<Warning> {
    let oven = &ground.oven;
    let tested: Vec<&str> = oven
        .modes
        .iter()
        .filter(|m| !tests_now(kitchen, oven, **m).0.is_empty())
        .map(|m| m.key())
        .collect();
    (!tested.is_empty()).then(|| {
        Warning::new(
            format!(
                "no toast test was scored in {}, the mode taken because none was named",
                ground.mode.words()
            ),
            format!(
                "there are tests in {}: name it with --mode to plan on them",
                tested.join(", ")
            ),
        )
    })
}
