//! The kitchen's thermometers, rounds of readings and doughs.

use super::{Kitchen, KitchenError, dated, put, round_order};
use crate::model::{
    AirRound, OvenId, RoundId, Thermometer, ThermometerId,
    id::{DoughId, slug},
    rising::OwnDough,
    text::{LONGEST_NAME, check_words},
};
use jiff::civil::Date;

impl Kitchen {
    /// Takes a round of readings, new or longer, and saves it.
    ///
    /// Fails with [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_round(&mut self, round: AirRound) -> Result<(), KitchenError> {
        let saved = self.store.save_round(&round);
        self.contents().rounds.retain(|r| r.id != round.id);
        put(&mut self.contents().rounds, round, round_order);
        Ok(saved?)
    }

    /// Removes a round; its file is set aside under `removed/`.
    ///
    /// Fails with [`KitchenError::Store`] when the disk refuses; it is then still there.
    pub fn remove_round(&mut self, id: &RoundId) -> Result<(), KitchenError> {
        if let Some(i) = self.records.0.rounds.iter().position(|r| r.id == *id) {
            self.store.remove_round(&self.records.0.rounds[i])?;
            self.contents().rounds.remove(i);
        }
        Ok(())
    }

    /// Takes a thermometer, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Thermometer`] when its description is wrong: it is not taken. Otherwise memory is
    /// updated even if the disk refuses, and [`KitchenError::Store`] tells why it did.
    pub fn save_thermometer(&mut self, thermometer: Thermometer) -> Result<(), KitchenError> {
        let thermometer = thermometer.check()?;
        let known = self.thermometer(&thermometer.id);
        if known.is_none_or(|old| old.name != thermometer.name) {
            check_words(&thermometer.name, LONGEST_NAME)?;
        }
        let saved = self.store.save_thermometer(&thermometer);
        put(&mut self.contents().thermometers, thermometer, |a, b| {
            a.id.cmp(&b.id)
        });
        Ok(saved?)
    }

    /// Removes a thermometer; its readings stay, and its file is set aside under `removed/`.
    ///
    /// Fails with [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_thermometer(&mut self, id: &ThermometerId) -> Result<(), KitchenError> {
        self.store
            .remove_thermometer(self.find_thermometer(id.as_str())?)?;
        self.contents().thermometers.retain(|t| t.id != *id);
        Ok(())
    }

    /// Takes a dough, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Name`] where its name is too long; then it is not taken. [`KitchenError::Store`]
    /// when the disk refuses; memory is updated all the same.
    pub fn save_dough(&mut self, dough: OwnDough) -> Result<(), KitchenError> {
        let known = self.dough(&dough.id);
        if known.is_none_or(|old| old.name != dough.name) {
            check_words(&dough.name, LONGEST_NAME)?;
        }
        let saved = self.store.save_dough(&dough);
        put(&mut self.contents().doughs, dough, |a, b| a.id.cmp(&b.id));
        Ok(saved?)
    }

    /// Removes a dough; its file is set aside under `removed/`.
    ///
    /// Fails with [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_dough(&mut self, id: &DoughId) -> Result<(), KitchenError> {
        self.store.remove_dough(self.find_dough(id.as_str())?)?;
        self.contents().doughs.retain(|d| d.id != *id);
        Ok(())
    }

    /// Makes an id for a new dough from its name, with a count for a second one.
    pub fn fresh_dough_id(&self, name: &str) -> DoughId {
        let taken = |id: &str| self.records.0.doughs.iter().any(|d| d.id.as_str() == id);
        DoughId::of_words(&self.fresh(&slug(name), taken))
    }

    /// Makes an id for a new thermometer from its name, with a count for a second one.
    pub fn fresh_thermometer_id(&self, name: &str) -> ThermometerId {
        let taken = |id: &str| {
            self.records
                .0
                .thermometers
                .iter()
                .any(|t| t.id.as_str() == id)
        };
        ThermometerId::of_words(&self.fresh(&slug(name), taken))
    }

    /// Makes an id for a new round: its day and its oven, with a count for a second one.
    pub fn fresh_round_id(&self, oven: &OvenId, day: Date) -> RoundId {
        let taken = |id: &str| self.records.0.rounds.iter().any(|r| r.id.as_str() == id);
        RoundId::of_words(&self.fresh(&dated(oven, day), taken))
    }
}
