//! The kitchen's thermometers, rounds of readings, doughs and baking days.

use super::{Kitchen, KitchenError, dated};
use crate::model::{
    AirRound, OvenId, RoundId, Thermometer, ThermometerId,
    day::BakingDay,
    id::{DayId, DoughId, slug},
    rising::OwnDough,
};
use jiff::civil::Date;

impl Kitchen {
    /// Takes a round of readings, new or longer, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_round(&mut self, round: AirRound) -> Result<(), KitchenError> {
        self.keep(round)
    }

    /// Removes a round, where there is one of that id; its file is set aside under `removed/`.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the disk refuses; it is then still there.
    pub fn remove_round(&mut self, id: &RoundId) -> Result<(), KitchenError> {
        if self.round(id).is_some() {
            self.set_aside::<AirRound>(id.as_str())?;
        }
        Ok(())
    }

    /// Takes a thermometer, new or changed, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Thermometer`] when its description is wrong, [`KitchenError::NameTaken`] where another goes by
    /// its name: it is not taken. Otherwise memory is updated even if the disk refuses, and [`KitchenError::Store`] tells
    /// why it did.
    pub fn save_thermometer(&mut self, thermometer: Thermometer) -> Result<(), KitchenError> {
        self.check_name(&thermometer)?;
        self.keep(thermometer.check()?)
    }

    /// Removes a thermometer; its readings stay, and its file is set aside under `removed/`.
    ///
    /// # Errors
    /// [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_thermometer(&mut self, id: &ThermometerId) -> Result<(), KitchenError> {
        self.set_aside::<Thermometer>(id.as_str())
    }

    /// Takes a dough, new or changed, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Name`] where its name is too long, [`KitchenError::NameTaken`] where another goes by it; then it
    /// is not taken. [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_dough(&mut self, dough: OwnDough) -> Result<(), KitchenError> {
        self.check_name(&dough)?;
        self.keep(dough)
    }

    /// Removes a dough; its file is set aside under `removed/`.
    ///
    /// # Errors
    /// [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_dough(&mut self, id: &DoughId) -> Result<(), KitchenError> {
        self.set_aside::<OwnDough>(id.as_str())
    }

    /// Takes a baking day, new or further on, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_day(&mut self, day: BakingDay) -> Result<(), KitchenError> {
        self.keep(day)
    }

    /// Makes an id for a new baking day: its date and its first oven, with a count for a second one.
    pub fn fresh_day_id(&self, oven: &OvenId, day: Date) -> DayId {
        DayId::of_words(&self.fresh::<BakingDay>(&dated(oven, day)))
    }

    /// Makes an id for a new dough from its name, with a count for a second one.
    pub fn fresh_dough_id(&self, name: &str) -> DoughId {
        DoughId::of_words(&self.fresh::<OwnDough>(&slug(name, "dough")))
    }

    /// Makes an id for a new thermometer from its name, with a count for a second one.
    pub fn fresh_thermometer_id(&self, name: &str) -> ThermometerId {
        ThermometerId::of_words(&self.fresh::<Thermometer>(&slug(name, "thermometer")))
    }

    /// Makes an id for a new round: its day and its oven, with a count for a second one.
    pub fn fresh_round_id(&self, oven: &OvenId, day: Date) -> RoundId {
        RoundId::of_words(&self.fresh::<AirRound>(&dated(oven, day)))
    }
}
