//! From the recipe's temperature to the dial, step by step: recipe, mode, offset, rounding.

use super::PlannerError;
use crate::{
    model::{Dial, DialStep, Mode},
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit},
};

/// How much lower a fan is set, on a Fahrenheit dial (common practice, no source).
const FAN_LOWER_F: f64 = 25.0;
/// How much lower a fan is set, on a Celsius dial (common practice, no source: 15 to 20 C).
const FAN_LOWER_C: f64 = 15.0;
/// Bakes shorter than this keep their temperature under a fan (common practice, no source: 15 to 20 min).
const SHORT_BAKE: f64 = 20.0;

/// What the step to a mark of the dial is called, the step of the marks behind it.
pub const ROUNDED: &str = "rounded to the dial's";
/// What is said of a dial that no thermometer was held against.
pub const UNREAD_DIAL: &str = "The dial is assumed right: no thermometer readings tell otherwise.";

/// How far the oven is from its dial, with its interval: true minus dial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offset {
    /// The estimate.
    pub value: CelsiusDelta,
    /// Lower end of the 90 % interval.
    pub lo: CelsiusDelta,
    /// Upper end of the 90 % interval.
    pub hi: CelsiusDelta,
}

/// What a recipe asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recipe {
    /// Temperature in still air.
    pub temperature: Celsius,
    /// Time in the oven.
    pub time: Minutes,
    /// Whether it was written for a fan: then nobody need be told that the fan is set lower.
    pub for_fan: bool,
}

/// A dial setting and how it came about.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// What to set.
    pub dial: Celsius,
    /// How far above what is wanted that is, by the dial's steps.
    pub rounded_by: CelsiusDelta,
    /// Step by step.
    pub steps: Vec<DialStep>,
    /// What else to know.
    pub notes: Vec<String>,
}

/// Leads from the recipe to the dial.
///
/// # Errors
/// [`PlannerError::Dial`] when the dial would have to stand below its lowest or above its highest mark.
pub fn setting(
    recipe: &Recipe,
    mode: Mode,
    dial: &Dial,
    offset: Option<&Offset>,
) -> Result<Setting, PlannerError> {
    let unit = dial.unit;
    let mut at = recipe.temperature;
    let mut steps = vec![DialStep::new("recipe, no fan".to_owned(), at)];
    let mut notes = Vec::new();

    if let Some(lower) = fan_lower(mode, unit) {
        at = at + -lower;
        let shown = unit.delta_figure(lower);
        steps.push(DialStep {
            what: format!("fan: {shown:.0} {} lower", unit.letter()),
            to: at,
        });
        if recipe.time.0 < SHORT_BAKE && !recipe.for_fan {
            notes.push(format!(
                "A bake of {} is short: many keep the recipe's {} with the fan and watch it instead.",
                recipe.time,
                unit.show(recipe.temperature)
            ));
        }
    }
    match offset {
        Some(offset) => {
            at = at + -offset.value;
            let shown = unit.delta_figure(offset.value);
            let side = if shown < 0.0 { "cold" } else { "hot" };
            let letter = unit.letter();
            let runs = if shown.abs() < 0.5 {
                "oven runs close to its dial".to_owned()
            } else {
                format!("oven runs {:.0} {letter} {side}", shown.abs())
            };
            steps.push(DialStep {
                what: format!(
                    "{runs} ({})",
                    span(
                        unit.delta_figure(offset.lo),
                        unit.delta_figure(offset.hi),
                        letter
                    )
                ),
                to: at,
            });
        }
        None => notes.push(UNREAD_DIAL.to_owned()),
    }
    let rounded = dial.round(at);
    if (rounded.0 - at.0).abs() > 0.05 {
        steps.push(DialStep {
            what: format!("{ROUNDED} {} {}", dial.step, unit.letter()),
            to: rounded,
        });
    }
    within(dial, rounded)?;
    Ok(Setting {
        dial: rounded,
        rounded_by: CelsiusDelta(rounded.0 - at.0),
        steps,
        notes,
    })
}

/// Returns how much lower a mode is set than still air: 25 F or 15 C with a fan (common practice, no source).
pub fn fan_lower(mode: Mode, unit: TemperatureUnit) -> Option<CelsiusDelta> {
    match (mode, unit) {
        (Mode::Fan, TemperatureUnit::Fahrenheit) => Some(unit.delta(FAN_LOWER_F)),
        (Mode::Fan, TemperatureUnit::Celsius) => Some(unit.delta(FAN_LOWER_C)),
        (Mode::StillAir | Mode::BottomOnly | Mode::TopOnly | Mode::Proofing, _) => None,
    }
}

fn within(dial: &Dial, at: Celsius) -> Result<(), PlannerError> {
    // Marks are rounded to whole degrees in some descriptions, so half a degree over is the mark itself.
    let hint = if at.0 > dial.highest.0 + 0.5 {
        "bake at a lower temperature for longer, or in another oven"
    } else if at.0 < dial.lowest.0 - 0.5 {
        "use a mode that holds low settings, or another oven"
    } else {
        return Ok(());
    };
    Err(PlannerError::Dial {
        wanted: dial.unit.show(at),
        lowest: dial.unit.show(dial.lowest),
        highest: dial.unit.show(dial.highest),
        hint,
    })
}

/// Writes from where to where an oven may be off its dial: `9 to 15`, or across it `4 F below to dead on`.
fn span(lo: f64, hi: f64, letter: char) -> String {
    let (lo, hi) = (lo.round(), hi.round());
    let end = |figure: f64| match figure {
        ..0.0 => format!("{:.0} {letter} below", -figure),
        0.0 => "dead on".to_owned(),
        _ => format!("{figure:.0} {letter} above"),
    };
    if lo * hi > 0.0 {
        format!(
            "{:.0} to {:.0}",
            lo.abs().min(hi.abs()),
            lo.abs().max(hi.abs())
        )
    } else {
        format!("{} to {}", end(lo), end(hi))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const F: TemperatureUnit = TemperatureUnit::Fahrenheit;

    fn dial(unit: TemperatureUnit, step: f64) -> Dial {
        Dial {
            unit,
            step,
            lowest: Celsius(75.0),
            highest: F.temperature(550.0),
        }
    }

    fn recipe(temperature: Celsius, minutes: f64) -> Recipe {
        Recipe {
            temperature,
            time: Minutes(minutes),
            for_fan: false,
        }
    }

    /// Common practice: 350 F in still air becomes 325 F with a fan; 180 C becomes 165 C.
    #[test]
    fn a_fan_is_set_lower() {
        let at = setting(
            &recipe(F.temperature(350.0), 30.0),
            Mode::Fan,
            &dial(F, 5.0),
            None,
        )
        .unwrap();
        assert_eq!(F.show(at.dial), "325 F");
        assert_eq!(at.steps.len(), 2);
        assert_eq!(at.steps[1].what, "fan: 25 F lower");
        let c = TemperatureUnit::Celsius;
        let at = setting(
            &recipe(Celsius(180.0), 30.0),
            Mode::Fan,
            &dial(c, 5.0),
            None,
        )
        .unwrap();
        assert_eq!(c.show(at.dial), "165 C");
        let short = setting(
            &recipe(Celsius(180.0), 11.0),
            Mode::Fan,
            &dial(c, 5.0),
            None,
        )
        .unwrap();
        assert!(short.notes.iter().any(|n| n.contains("watch it")));
    }

    #[test]
    fn mode_then_offset_then_rounding() {
        let offset = Offset {
            value: F.delta(-8.0),
            lo: F.delta(-12.0),
            hi: F.delta(-4.0),
        };
        let at = setting(
            &recipe(F.temperature(350.0), 30.0),
            Mode::Fan,
            &dial(F, 5.0),
            Some(&offset),
        )
        .unwrap();
        let words: Vec<String> = at
            .steps
            .iter()
            .map(|s| format!("{}: {}", s.what, F.show(s.to)))
            .collect();
        assert_eq!(
            words,
            [
                "recipe, no fan: 350 F",
                "fan: 25 F lower: 325 F",
                "oven runs 8 F cold (4 to 12): 333 F",
                "rounded to the dial's 5 F: 335 F",
            ]
        );
    }

    #[test]
    fn beyond_the_dial_is_refused_with_both_ends() {
        let error = setting(
            &recipe(F.temperature(600.0), 10.0),
            Mode::StillAir,
            &dial(F, 5.0),
            None,
        )
        .unwrap_err()
        .to_string();
        assert!(
            error.contains("600 F") && error.contains("550 F"),
            "{error}"
        );
        assert!(
            setting(
                &recipe(Celsius(30.0), 60.0),
                Mode::Proofing,
                &dial(F, 5.0),
                None
            )
            .is_err()
        );
    }
}
