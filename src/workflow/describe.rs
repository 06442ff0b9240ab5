//! Describing an oven from a template and the figures that differ, as text the baker typed.

use super::catalogue::{CatalogueError, oven_template};
use super::kitchen::{Kitchen, KitchenError};
use super::racks::racks_in_use;
use crate::{
    model::{
        Cavity, Dial, HeatSource, Mode, Oven, OvenError, RackPosition, ServiceVisit, text::joined,
    },
    units::{Celsius, CelsiusDelta, Centimetres, LengthUnit, TemperatureUnit, UnitError},
};
use jiff::{Unit, civil::DateTime};

/// What is wrong with a description.
#[derive(Debug, thiserror::Error)]
pub enum DescribeError {
    /// A figure is no quantity.
    #[error("{field}: {source}")]
    Unit {
        /// Which figure.
        field: &'static str,
        /// What is wrong with it.
        source: UnitError,
    },
    /// A word is not one of a list.
    #[error("{field}: '{word}' is not known; use some of {known}, with commas between them")]
    Word {
        /// Which list.
        field: &'static str,
        /// The word given.
        word: String,
        /// The words there are.
        known: String,
    },
    /// The template is not there.
    #[error(transparent)]
    Template(#[from] CatalogueError),
    /// A visit without a word on it.
    #[error("a visit needs a word on what was done, like 'new bottom element'")]
    NoWork,
    /// A visit that has not been yet.
    #[error("the visit of {when} is still to come (it is {now}); give when it was done")]
    FutureVisit {
        /// When it is said to have been.
        when: String,
        /// Local time now.
        now: DateTime,
    },
    /// Two rack positions lie too close for a rack in each.
    #[error(
        "rack positions {below} and {above} are {apart} apart, less than the {least} a rack and its guides take; measure guide to guide, or leave one out"
    )]
    RacksTooClose {
        /// Number of the lower one.
        below: u8,
        /// Number of the upper one.
        above: u8,
        /// Their distance.
        apart: String,
        /// The least there can be.
        least: String,
    },
    /// A rack position that toast tests lie on is to go.
    #[error(
        "rack position {rack} has toast tests on it and would be gone; keep its height, or set test {test} aside first"
    )]
    RackInUse {
        /// Its number.
        rack: u8,
        /// One of the tests.
        test: String,
    },
    /// Slices of a toast test would lie outside.
    #[error(
        "slices of test {test} would lie outside this oven; measure the inside again, or set the test aside first"
    )]
    Outgrown {
        /// One of the tests.
        test: String,
    },
    /// More rack positions than an oven is given.
    #[error("{0} rack positions are more than {MOST_RACKS}; leave some out")]
    TooManyRacks(usize),
    /// The oven cannot be.
    #[error(transparent)]
    Oven(#[from] OvenError),
    /// The kitchen refused.
    #[error(transparent)]
    Kitchen(#[from] KitchenError),
}

/// Most rack positions an oven can be given.
pub const MOST_RACKS: usize = 12;

/// An oven as typed: a template, and what differs from it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OvenDraft {
    /// Key of the template to start from.
    pub template: String,
    /// Name; the template's when empty.
    pub name: Option<String>,
    /// Cavity width, like `25in`.
    pub width: Option<String>,
    /// Cavity depth.
    pub depth: Option<String>,
    /// Cavity height.
    pub height: Option<String>,
    /// Heights of the rack positions from the bottom up, with commas between them.
    pub racks: Option<String>,
    /// Keys of the modes, with commas between them.
    pub modes: Option<String>,
    /// Words of the heat sources, with commas between them.
    pub heat: Option<String>,
    /// Unit of the dial: `F` or `C`.
    pub dial_unit: Option<TemperatureUnit>,
    /// Smallest step of the dial, on its own scale.
    pub dial_step: Option<String>,
    /// Lowest setting.
    pub lowest: Option<String>,
    /// Highest setting.
    pub highest: Option<String>,
    /// Unit lengths are shown and typed in.
    pub lengths: Option<LengthUnit>,
    /// Free words.
    pub note: Option<String>,
}

impl OvenDraft {
    /// Builds the oven, with a fresh id for the kitchen.
    ///
    /// # Errors
    /// [`DescribeError`] names the first thing wrong.
    pub fn build(&self, kitchen: &Kitchen) -> Result<Oven, DescribeError> {
        let mut oven = oven_template(&self.template)?.oven.clone();
        if let Some(name) = &self.name {
            name.trim().clone_into(&mut oven.name);
        }
        oven.lengths = self.lengths.unwrap_or(oven.lengths);
        let lengths = oven.lengths;
        let length = |field, typed: &Option<String>, default: Centimetres| match typed {
            None => Ok(default),
            Some(text) => Centimetres::parse(text, lengths)
                .map_err(|source| DescribeError::Unit { field, source }),
        };
        oven.cavity = Cavity {
            width: length("width", &self.width, oven.cavity.width)?,
            depth: length("depth", &self.depth, oven.cavity.depth)?,
            height: length("height", &self.height, oven.cavity.height)?,
        };
        if let Some(racks) = &self.racks {
            oven.racks = parse_racks(racks, lengths)?;
        }
        if let Some(modes) = &self.modes {
            oven.modes = parse_words("modes", modes, &Mode::ALL, |m| m.key().to_owned())?;
        }
        if let Some(heat) = &self.heat {
            oven.heat = parse_words("heat", heat, &HeatSource::ALL, heat_key)?;
        }
        oven.dial = self.dial(oven.dial)?;
        if let Some(note) = &self.note {
            oven.note.clone_from(note);
        }
        oven.id = kitchen.fresh_oven_id(&oven.name);
        let oven = oven.check()?;
        check_beside(kitchen, &oven)?;
        Ok(oven)
    }

    fn dial(&self, template: Dial) -> Result<Dial, DescribeError> {
        let unit = self.dial_unit.unwrap_or(template.unit);
        let degrees = |field, typed: &Option<String>, default: Celsius| match typed {
            None => Ok(default),
            Some(text) => {
                Celsius::parse(text, unit).map_err(|source| DescribeError::Unit { field, source })
            }
        };
        let step = match &self.dial_step {
            None => template.step,
            Some(text) => dial_step(text, unit).map_err(|source| DescribeError::Unit {
                field: "dial step",
                source,
            })?,
        };
        Ok(Dial {
            unit,
            step,
            lowest: degrees("lowest", &self.lowest, template.lowest)?,
            highest: degrees("highest", &self.highest, template.highest)?,
        })
    }
}

/// Least distance of two rack positions: a wire rack and its guides are about that high (common
/// practice, no source).
const LEAST_APART: Centimetres = Centimetres(2.0);

/// Checks what a sound oven can still get wrong when it is described: rack positions too close to
/// be used, one that is gone though toast tests lie on it, or a name that another oven of the kitchen goes by.
///
/// # Errors
/// [`DescribeError::RacksTooClose`], [`DescribeError::RackInUse`],
/// [`DescribeError::Outgrown`] or [`KitchenError::NameTaken`].
pub fn check_beside(kitchen: &Kitchen, oven: &Oven) -> Result<(), DescribeError> {
    let kept = kitchen.find_oven(oven.id.as_str()).ok();
    let moved = kept.is_none_or(|kept| kept.racks != oven.racks);
    for (below, above) in oven.racks.iter().zip(oven.racks.iter().skip(1)) {
        let apart = above.height.0 - below.height.0;
        // A hair of grace: a figure typed in inches is rounded. Racks from before this rule stay as they are.
        if moved && apart < LEAST_APART.0 - 1e-9 {
            return Err(DescribeError::RacksTooClose {
                below: below.number,
                above: above.number,
                apart: oven.lengths.show(Centimetres(apart)),
                least: oven.lengths.show(LEAST_APART),
            });
        }
    }
    let gone = racks_in_use(kitchen, oven).find(|(rack, _)| oven.rack(*rack).is_err());
    if let Some((rack, test)) = gone {
        let test = test.id.to_string();
        return Err(DescribeError::RackInUse { rack, test });
    }
    let outgrown = kept
        .filter(|kept| kept.cavity != oven.cavity)
        .and_then(|_| {
            let (width, depth) = (oven.cavity.width.0, oven.cavity.depth.0);
            let leaves = |s: &crate::model::Slice| s.place.x.0 >= width || s.place.y.0 >= depth;
            let tests = kitchen.tests_of(&oven.id).into_iter();
            tests.into_iter().find(|t| t.slices.iter().any(leaves))
        });
    if let Some(test) = outgrown {
        let test = test.id.to_string();
        return Err(DescribeError::Outgrown { test });
    }
    Ok(kitchen.check_name(oven)?)
}

/// What is to be changed of an oven that is on record; what is `None` stays.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OvenEdit {
    /// Name.
    pub name: Option<String>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// Serial number.
    pub serial: Option<String>,
    /// Whom to call about it.
    pub contact: Option<String>,
    /// Free words.
    pub note: Option<String>,
}

/// Changes what `edit` names of an oven, and saves it.
///
/// # Errors
/// [`DescribeError`] when there is no such oven, another goes by the new name, or the disk refuses.
pub fn edit_oven(kitchen: &mut Kitchen, oven: &str, edit: OvenEdit) -> Result<Oven, DescribeError> {
    let mut oven = kitchen.find_oven(oven)?.clone();
    let plate = &mut oven.plate;
    let fields = [
        (edit.name, &mut oven.name),
        (edit.make, &mut plate.make),
        (edit.model, &mut plate.model),
        (edit.serial, &mut plate.serial),
        (edit.contact, &mut plate.contact),
        (edit.note, &mut oven.note),
    ];
    for (new, field) in fields {
        if let Some(new) = new {
            new.trim().clone_into(field);
        }
    }
    let oven = oven.check()?;
    check_beside(kitchen, &oven)?;
    kitchen.save_oven(oven.clone())?;
    Ok(oven)
}

/// Adds a dated mark to an oven's record and saves it, oldest first.
///
/// # Errors
/// [`DescribeError`] when the visit says nothing or is still to come, there is no such oven, or the disk refuses.
pub fn add_visit(
    kitchen: &mut Kitchen,
    oven: &str,
    visit: ServiceVisit,
    now: DateTime,
) -> Result<Oven, DescribeError> {
    check_visit(&visit, now)?;
    let mut oven = kitchen.find_oven(oven)?.clone();
    oven.visits.push(visit);
    oven.visits.sort_by_key(|visit| visit.when);
    kitchen.save_oven(oven.clone())?;
    Ok(oven)
}

/// Checks that a visit says what was done, and has been: one still to come would cut off every test until then.
fn check_visit(visit: &ServiceVisit, now: DateTime) -> Result<(), DescribeError> {
    if visit.what.trim().is_empty() {
        return Err(DescribeError::NoWork);
    }
    if visit.when <= now {
        return Ok(());
    }
    Err(DescribeError::FutureVisit {
        when: visit.moment(),
        now: now.round(Unit::Minute).unwrap_or(now),
    })
}

/// Returns the word commands use for a heat source: `rear-fan-with-element`.
pub fn heat_key(heat: HeatSource) -> String {
    heat.words().replace(' ', "-")
}

/// Reads the heights of rack positions from the bottom up, with commas between them.
///
/// # Errors
/// [`DescribeError::Unit`] or [`DescribeError::TooManyRacks`].
fn parse_racks(text: &str, lengths: LengthUnit) -> Result<Vec<RackPosition>, DescribeError> {
    let field = "racks";
    let heights = Centimetres::parse_list(text, lengths);
    let heights = heights.map_err(|source| DescribeError::Unit { field, source })?;
    check_count(heights.len())?;
    let numbered = (1..).zip(heights);
    let positions = numbered.map(|(number, height)| RackPosition { number, height });
    Ok(positions.collect())
}

/// Checks that so many rack positions can be given.
///
/// # Errors
/// [`DescribeError::TooManyRacks`].
pub fn check_count(racks: usize) -> Result<(), DescribeError> {
    if racks > MOST_RACKS {
        return Err(DescribeError::TooManyRacks(racks));
    }
    Ok(())
}

/// Reads the smallest step of a dial on its own scale: `5`, `5F` or `10 C`, bare in `unit`.
///
/// # Errors
/// [`UnitError`] when it is no difference of temperatures.
pub fn dial_step(text: &str, unit: TemperatureUnit) -> Result<f64, UnitError> {
    let step = unit.delta_figure(CelsiusDelta::parse(text, unit)?);
    // What was typed, not what is left of it between the scales.
    Ok((step * 1e6).round() / 1e6)
}

fn parse_words<T: Copy>(
    field: &'static str,
    text: &str,
    all: &[T],
    key: impl Fn(T) -> String,
) -> Result<Vec<T>, DescribeError> {
    text.split(',')
        .map(|word| {
            let word = word.trim();
            all.iter()
                .copied()
                .find(|&one| key(one) == word)
                .ok_or_else(|| DescribeError::Word {
                    field,
                    word: word.to_owned(),
                    known: joined(all.iter().map(|&one| key(one)), ", "),
                })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kitchen() -> Kitchen {
        Kitchen::throwaway_copy().unwrap().0
    }

    fn draft() -> OvenDraft {
        OvenDraft {
            template: "wall-oven-30-inch".to_owned(),
            ..OvenDraft::default()
        }
    }

    fn text(t: &str) -> String {
        t.to_owned()
    }

    #[test]
    fn a_template_and_what_differs_make_an_oven() {
        let oven = OvenDraft {
            name: Some(text("Wall oven, left")),
            width: Some(text("62,5 cm")),
            racks: Some(text("2, 5, 8in")),
            modes: Some(text("still-air, fan")),
            heat: Some(text("gas-burner-below")),
            dial_unit: Some(TemperatureUnit::Celsius),
            dial_step: Some(text("10C")),
            highest: Some(text("250")),
            note: Some(text("left one")),
            ..draft()
        }
        .build(&kitchen())
        .unwrap();
        assert_eq!(oven.id.as_str(), "wall-oven-left");
        assert_eq!(oven.cavity.width, Centimetres(62.5));
        assert_eq!(oven.racks[2].height, Centimetres(20.32));
        assert_eq!(oven.modes, [Mode::StillAir, Mode::Fan]);
        assert_eq!(oven.heat, [HeatSource::GasBurner]);
        assert_eq!((oven.dial.step, oven.dial.highest), (10.0, Celsius(250.0)));
    }

    #[test]
    fn what_is_wrong_is_named() {
        let cases = [
            (
                OvenDraft {
                    template: "nope".to_owned(),
                    ..draft()
                },
                "'nope'",
            ),
            (
                OvenDraft {
                    width: Some(text("wide")),
                    ..draft()
                },
                "width: 'wide'",
            ),
            (
                OvenDraft {
                    racks: Some(text("2in,,4in")),
                    ..draft()
                },
                "racks: ''",
            ),
            (
                OvenDraft {
                    racks: Some(text("4in,2in")),
                    ..draft()
                },
                "rack position 2",
            ),
            (
                OvenDraft {
                    modes: Some(text("steam")),
                    ..draft()
                },
                "'steam' is not known",
            ),
            (
                OvenDraft {
                    dial_step: Some(text("x")),
                    ..draft()
                },
                "dial step: 'x'",
            ),
            (
                OvenDraft {
                    racks: Some(text("2in,2.5in")),
                    ..draft()
                },
                "rack positions 1 and 2 are 0.5 in apart",
            ),
            (
                OvenDraft {
                    name: Some(text("Wall OVEN")),
                    ..draft()
                },
                "'wall oven' already (wall-oven)",
            ),
            (
                OvenDraft {
                    name: Some(text("  ")),
                    ..draft()
                },
                "needs a name",
            ),
        ];
        for (draft, expected) in cases {
            let said = draft.build(&kitchen()).unwrap_err().to_string();
            assert!(said.contains(expected), "{expected}: {said}");
        }
    }

    #[test]
    fn more_racks_than_a_form_takes_or_one_that_may_be_two_are_refused() {
        for (racks, expected) in [
            (
                "1,2,3,4,5,6,7,8,9,10,11,12,13,14",
                "14 rack positions are more than 12",
            ),
            ("4,5", "is it 4.5, or 4 and 5?"),
        ] {
            let draft = OvenDraft {
                racks: Some(text(racks)),
                ..draft()
            };
            let said = draft.build(&kitchen()).unwrap_err().to_string();
            assert!(said.contains(expected), "{expected}: {said}");
        }
    }

    #[test]
    fn only_what_is_named_is_edited() {
        let mut kitchen = kitchen();
        let before = kitchen.find_oven("wall-oven").unwrap().clone();
        let edit = OvenEdit {
            make: Some(text("Hearth & Sons")),
            serial: Some(text(" SN-4711 ")),
            ..OvenEdit::default()
        };
        let oven = edit_oven(&mut kitchen, "wall-oven", edit).unwrap();
        assert_eq!(oven.plate.serial, "SN-4711");
        assert_eq!((oven.plate.model.as_str(), &oven.note), ("", &before.note));
        assert_eq!(kitchen.find_oven("wall-oven").unwrap(), &oven);
        let edit = OvenEdit {
            name: Some(text("counter oven")),
            ..OvenEdit::default()
        };
        let said = edit_oven(&mut kitchen, "wall-oven", edit).unwrap_err();
        assert!(
            said.to_string().contains("'counter oven' already"),
            "{said}"
        );
    }

    #[test]
    fn a_name_and_racks_from_before_the_rules_keep_no_oven_from_being_changed() {
        let mut kitchen = kitchen();
        let mut twin = kitchen.find_oven("wall-oven").unwrap().clone();
        twin.id = crate::model::OvenId::new("wall-oven-b").unwrap();
        twin.racks[1].height = Centimetres(twin.racks[0].height.0 + 1.0);
        kitchen.save_oven(twin).unwrap();
        let edit = OvenEdit {
            make: Some("Hearth".to_owned()),
            ..OvenEdit::default()
        };
        let changed = edit_oven(&mut kitchen, "wall-oven-b", edit).unwrap();
        assert_eq!(changed.plate.make, "Hearth");
    }

    #[test]
    fn visits_are_kept_oldest_first() {
        let mut kitchen = kitchen();
        let now = jiff::civil::date(2026, 5, 1).at(12, 0, 0, 0);
        let hinge = ServiceVisit {
            when: jiff::civil::date(2025, 1, 2).at(9, 30, 0, 0),
            what: "hinge".to_owned(),
        };
        let oven = add_visit(&mut kitchen, "wall-oven", hinge.clone(), now).unwrap();
        assert_eq!((oven.visits.len(), &oven.visits[0]), (2, &hinge));
        assert_eq!(hinge.moment(), "2025-01-02 09:30");
        assert_eq!(kitchen.find_oven("wall-oven").unwrap(), &oven);
        assert!(add_visit(&mut kitchen, "none", hinge, now).is_err());
    }

    #[test]
    fn a_visit_still_to_come_is_refused() {
        let mut kitchen = kitchen();
        let now = jiff::civil::date(2026, 5, 1).at(12, 0, 0, 0);
        let visit = ServiceVisit {
            when: now.saturating_add(jiff::Span::new().minutes(1)),
            what: "hinge".to_owned(),
        };
        let unsaid = ServiceVisit {
            when: now,
            what: " ".to_owned(),
        };
        let said = add_visit(&mut kitchen, "wall-oven", unsaid, now).unwrap_err();
        assert!(said.to_string().contains("what was done"), "{said}");
        let said = add_visit(&mut kitchen, "wall-oven", visit, now).unwrap_err();
        assert!(said.to_string().contains("2026-05-01 12:01"), "{said}");
        assert_eq!(kitchen.find_oven("wall-oven").unwrap().visits.len(), 1);
    }
}
