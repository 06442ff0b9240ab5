//! What is on record, to be read: the kitchen has it, and a thread takes a snapshot of it along.

use super::error::{KitchenError, known};
use crate::{
    model::text::one_line,
    model::{
        AirRound, BakeLog, Oven, OvenId, Recipe, RecipeId, RoundId, TestId, Thermometer,
        ThermometerId, ToastTest, day::BakingDay, id::DoughId, rising::OwnDough,
    },
    store::{Contents, Stored},
    units::{LengthUnit, TemperatureUnit},
};

/// Ovens, toast tests, bakes, readings and thermometers, each list in its order.
#[derive(Debug, Clone)]
pub struct Records(pub(super) Contents);

impl Records {
    /// Returns every oven, by id.
    pub fn ovens(&self) -> &[Oven] {
        &self.0.ovens
    }

    /// Returns the units bare figures are in where no oven is named: those of the first oven, else F and inches.
    pub fn units(&self) -> (TemperatureUnit, LengthUnit) {
        let first = self.ovens().first();
        first.map_or_else(Default::default, |o| (o.dial.unit, o.lengths))
    }

    /// Returns the units of an oven; where it is gone, those of [`Records::units`].
    pub fn units_of(&self, oven: &OvenId) -> (TemperatureUnit, LengthUnit) {
        self.oven(oven)
            .map_or_else(|| self.units(), |o| (o.dial.unit, o.lengths))
    }

    /// Returns the name of an oven; nothing where it is gone.
    pub fn name_of(&self, oven: &OvenId) -> &str {
        self.oven(oven).map_or("", |o| &o.name)
    }

    /// Returns the oven with this id.
    pub fn oven(&self, id: &OvenId) -> Option<&Oven> {
        self.get(id.as_str())
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

    /// Returns the toast test with this id.
    pub fn test(&self, id: &TestId) -> Option<&ToastTest> {
        self.get(id.as_str())
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
    ///
    /// # Errors
    /// [`KitchenError::NoSuch`] lists the ovens there are.
    pub fn find_oven(&self, typed: &str) -> Result<&Oven, KitchenError> {
        self.find(typed)
    }

    /// Finds a toast test by the id the user typed.
    ///
    /// # Errors
    /// [`KitchenError::NoSuch`] lists the latest tests there are.
    pub fn find_test(&self, typed: &str) -> Result<&ToastTest, KitchenError> {
        self.find(typed)
    }

    /// Returns every round of readings, oldest first.
    pub fn rounds(&self) -> &[AirRound] {
        &self.0.rounds
    }

    /// Returns the rounds of one oven, oldest first.
    pub fn rounds_of(&self, oven: &OvenId) -> Vec<&AirRound> {
        self.0.rounds.iter().filter(|r| r.oven == *oven).collect()
    }

    /// Returns every baking day that was begun, oldest first.
    pub fn days(&self) -> &[BakingDay] {
        &self.0.days
    }

    /// Returns the round with this id.
    pub fn round(&self, id: &RoundId) -> Option<&AirRound> {
        self.get(id.as_str())
    }

    /// Returns every thermometer, by id.
    pub fn thermometers(&self) -> &[Thermometer] {
        &self.0.thermometers
    }

    /// Returns the baker's own doughs, by id.
    pub fn doughs(&self) -> &[OwnDough] {
        &self.0.doughs
    }

    /// Returns the dough with this id.
    pub fn dough(&self, id: &DoughId) -> Option<&OwnDough> {
        self.get(id.as_str())
    }

    /// Finds a dough by what the user typed: its id or its name.
    ///
    /// # Errors
    /// [`KitchenError::NoSuch`] lists those there are.
    pub fn find_dough(&self, typed: &str) -> Result<&OwnDough, KitchenError> {
        self.find(typed)
    }

    /// Returns the thermometer with this id.
    pub fn thermometer(&self, id: &ThermometerId) -> Option<&Thermometer> {
        self.get(id.as_str())
    }

    /// Finds a thermometer by what the user typed: its id or its name.
    ///
    /// # Errors
    /// [`KitchenError::NoSuch`] lists those there are.
    pub fn find_thermometer(&self, typed: &str) -> Result<&Thermometer, KitchenError> {
        self.find(typed)
    }

    /// Returns every recipe, by id.
    pub fn recipes(&self) -> &[Recipe] {
        &self.0.recipes
    }

    /// Returns the recipe with this id.
    pub fn recipe(&self, id: &RecipeId) -> Option<&Recipe> {
        self.get(id.as_str())
    }

    /// Finds a recipe by what the user typed: its id or its name.
    ///
    /// # Errors
    /// [`KitchenError::NoSuch`] lists those there are.
    pub fn find_recipe(&self, typed: &str) -> Result<&Recipe, KitchenError> {
        self.find(typed)
    }

    pub(super) fn get<T: Stored>(&self, id: &str) -> Option<&T> {
        T::list(&self.0).iter().find(|one| one.id() == id)
    }

    /// Finds a thing by what the user typed: its id or its name.
    pub(super) fn find<T: Stored>(&self, typed: &str) -> Result<&T, KitchenError> {
        let (list, typed) = (T::list(&self.0), typed.trim());
        let is_meant = |name: &str| name.to_lowercase() == typed.to_lowercase();
        let named = || list.iter().find(|one| one.name().is_some_and(is_meant));
        self.get(typed)
            .or_else(named)
            .ok_or_else(|| KitchenError::NoSuch {
                word: T::WORD,
                wanted: one_line(typed).into_owned(),
                known: self.known::<T>(),
            })
    }

    /// Finds a thing of the kind, but the one of this id, that goes by `name`: its own or its id.
    pub(crate) fn other_named<T: Stored>(&self, id: &str, name: &str) -> Option<&T> {
        let name = name.trim().to_lowercase();
        let called = |words: &str| words.trim().to_lowercase() == name;
        let is_called = |one: &T| called(one.id()) || one.name().is_some_and(called);
        let mut others = T::list(&self.0).iter().filter(|one| one.id() != id);
        others.find(|one| is_called(one))
    }

    /// Tells whether a test, bake or round of readings belongs to the thing of this kind and id, be it there or not.
    pub(super) fn rests_on<T: Stored>(&self, id: &str) -> bool {
        fn any<S: Stored>(all: &[S], of: &(&'static str, String)) -> bool {
            all.iter().any(|one| one.rests_on().contains(of))
        }
        let of = (T::FOLDER, id.to_owned());
        any(self.tests(), &of) || any(self.bakes(), &of) || any(self.rounds(), &of)
    }

    /// Says which there are, a few of them, the latest first.
    fn known<T: Stored>(&self) -> String {
        let mut ids: Vec<&str> = T::list(&self.0).iter().map(Stored::id).collect();
        if T::BY_TIME {
            ids.reverse();
        }
        known(T::WORD, &ids)
    }

    /// Says which ovens can be named: `there are: counter-oven, wall-oven`.
    pub fn known_ovens(&self) -> String {
        self.known::<Oven>()
    }

    /// Says which toast tests can be named, the latest first.
    pub fn known_tests(&self) -> String {
        self.known::<ToastTest>()
    }
}
