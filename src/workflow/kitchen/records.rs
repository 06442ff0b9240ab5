//! What is on record, to be read: the kitchen has it, and a thread takes a snapshot of it along.

use super::error::{KitchenError, known};
use crate::{
    model::text::one_line,
    model::{
        AirRound, BakeLog, Oven, OvenId, Recipe, RecipeId, RoundId, TestId, Thermometer,
        ThermometerId, ToastTest, id::DoughId, rising::OwnDough,
    },
    store::Contents,
};

/// Ovens, toast tests, bakes, readings and thermometers, each list in its order.
#[derive(Debug, Clone)]
pub struct Records(pub(super) Contents);

impl Records {
    /// Returns every oven, by id.
    pub fn ovens(&self) -> &[Oven] {
        &self.0.ovens
    }

    pub fn oven(&self, id: &OvenId) -> Option<&Oven> {
        self.0.ovens.iter().find(|o| o.id == *id)
    }

    /// Returns every toast test, oldest first.
    pub fn tests(&self) -> &[ToastTest] {
        &self.0.tests
    }

    /// Returns the toast tests of one oven, oldest first.
    pub fn tests_of(&self, oven: &OvenId) -> Vec<&ToastTest> {
        self.0
            .tests
            .iter()
            .filter(|t| t.setup.oven == *oven)
            .collect()
    }

    pub fn test(&self, id: &TestId) -> Option<&ToastTest> {
        self.0.tests.iter().find(|t| t.id == *id)
    }

    /// Returns the bake logs of one oven, oldest first.
    pub fn bakes_of(&self, oven: &OvenId) -> Vec<&BakeLog> {
        self.0.bakes.iter().filter(|b| b.oven == *oven).collect()
    }

    /// Returns every bake log, oldest first.
    pub fn bakes(&self) -> &[BakeLog] {
        &self.0.bakes
    }

    /// Finds an oven by what the user typed: its id or its name.
    pub fn find_oven(&self, typed: &str) -> Result<&Oven, KitchenError> {
        self.0
            .ovens
            .iter()
            .find(|o| o.id.as_str() == typed || o.name.eq_ignore_ascii_case(typed))
            .ok_or_else(|| KitchenError::NoSuchOven {
                wanted: typed.to_owned(),
                known: known("oven", self.0.ovens.iter().map(|o| o.id.as_str())),
            })
    }

    /// Finds a toast test by the id the user typed.
    pub fn find_test(&self, typed: &str) -> Result<&ToastTest, KitchenError> {
        self.0
            .tests
            .iter()
            .find(|t| t.id.as_str() == typed)
            .ok_or_else(|| KitchenError::NoSuchTest {
                wanted: typed.to_owned(),
                known: known(
                    "toast test",
                    self.0.tests.iter().rev().map(|t| t.id.as_str()),
                ),
            })
    }

    /// Returns every round of readings, oldest first.
    pub fn rounds(&self) -> &[AirRound] {
        &self.0.rounds
    }

    /// Returns the rounds of one oven, oldest first.
    pub fn rounds_of(&self, oven: &OvenId) -> Vec<&AirRound> {
        self.0.rounds.iter().filter(|r| r.oven == *oven).collect()
    }

    pub fn round(&self, id: &RoundId) -> Option<&AirRound> {
        self.0.rounds.iter().find(|r| r.id == *id)
    }

    /// Returns every thermometer, by id.
    pub fn thermometers(&self) -> &[Thermometer] {
        &self.0.thermometers
    }

    /// Returns the baker's own doughs, by id.
    pub fn doughs(&self) -> &[OwnDough] {
        &self.0.doughs
    }

    pub fn dough(&self, id: &DoughId) -> Option<&OwnDough> {
        self.0.doughs.iter().find(|d| d.id == *id)
    }

    /// Finds a dough by what the user typed: its id or its name.
    pub fn find_dough(&self, typed: &str) -> Result<&OwnDough, KitchenError> {
        self.0
            .doughs
            .iter()
            .find(|d| d.id.as_str() == typed || d.name.eq_ignore_ascii_case(typed))
            .ok_or_else(|| KitchenError::NoSuchDough {
                wanted: typed.to_owned(),
                known: known("dough", self.0.doughs.iter().map(|d| d.id.as_str())),
            })
    }

    pub fn thermometer(&self, id: &ThermometerId) -> Option<&Thermometer> {
        self.0.thermometers.iter().find(|t| t.id == *id)
    }

    /// Finds a thermometer by what the user typed: its id or its name.
    pub fn find_thermometer(&self, typed: &str) -> Result<&Thermometer, KitchenError> {
        self.0
            .thermometers
            .iter()
            .find(|t| t.id.as_str() == typed || t.name.eq_ignore_ascii_case(typed))
            .ok_or_else(|| KitchenError::NoSuchThermometer {
                wanted: typed.to_owned(),
                known: known(
                    "thermometer",
                    self.0.thermometers.iter().map(|t| t.id.as_str()),
                ),
            })
    }

    /// Returns every recipe, by id.
    pub fn recipes(&self) -> &[Recipe] {
        &self.0.recipes
    }

    pub fn recipe(&self, id: &RecipeId) -> Option<&Recipe> {
        self.0.recipes.iter().find(|r| r.id == *id)
    }

    /// Finds a recipe by what the user typed: its id or its name.
    pub fn find_recipe(&self, typed: &str) -> Result<&Recipe, KitchenError> {
        let typed = typed.trim();
        let named = |r: &&Recipe| r.name.to_lowercase() == typed.to_lowercase();
        let recipes = &self.0.recipes;
        recipes
            .iter()
            .find(|r| r.id.as_str() == typed)
            .or_else(|| recipes.iter().find(named))
            .ok_or_else(|| KitchenError::NoSuchRecipe {
                wanted: one_line(typed).into_owned(),
                known: known("recipe", recipes.iter().map(|r| r.id.as_str())),
            })
    }
}
