//! A kitchen that something else changes: another window, a sync tool, an editor.

use super::{Kitchen, followed::Followed, in_order};
use crate::{
    model::{AirRound, RoundId, TestId, ToastTest, Warning},
    store::{Store, StoreError},
    workflow::kitchen::{error::KitchenError, records::Records},
};
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

impl Kitchen {
    /// Tells whether another window has the kitchen, so that this one only looks.
    pub fn is_looking(&self) -> bool {
        self.looking.is_some()
    }

    /// Looks again, while another window has the kitchen: reads what it has changed, and takes over once it
    /// has ended.
    ///
    /// With `keep` nothing is read: something here waits to be saved, and is to be held against what was
    /// read when it was begun. What the other did is then read by the next call without it.
    pub fn follow(&mut self, keep: bool) -> Followed {
        let Some(before) = &self.looking else {
            return Followed::Same;
        };
        let could_write = self.store.can_write();
        let took_over = self.store.take_over().is_ok();
        if keep {
            return if took_over && !could_write {
                Followed::TookOver(Vec::new())
            } else {
                Followed::Same
            };
        }
        let now = Store::trace(self.store.root());
        let changed = now != *before;
        let told = if changed {
            self.read_again()
        } else {
            Ok(Vec::new())
        };
        let Ok(told) = told else {
            return Followed::Same;
        };
        if took_over {
            self.looking = None;
            return Followed::TookOver(told);
        }
        if changed {
            self.looking = Some(now);
            return Followed::Changed(told);
        }
        Followed::Same
    }

    /// Reads everything again from the disk; returns what there is to say of the files.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the folder cannot be read; what is in memory then stays.
    fn read_again(&mut self) -> Result<Vec<Warning>, KitchenError> {
        let (contents, told) = self.store.read_again()?;
        self.records = Arc::new(Records(in_order(contents)));
        Ok(told)
    }

    /// Counts the scores of a toast test as it is on the disk now; `None` when it cannot be read.
    pub fn scored_on_disk(&self, test: &TestId) -> Option<usize> {
        let test: ToastTest = self.store.on_disk(test.as_str())?;
        Some(test.scored())
    }

    /// Counts the readings of a round as it is on the disk now; `None` when it cannot be read.
    pub fn read_on_disk(&self, round: &RoundId) -> Option<usize> {
        let round: AirRound = self.store.on_disk(round.as_str())?;
        Some(round.readings.len())
    }

    /// Reads everything again, a file that something else has changed among it, which counts from now on where it can
    /// be read; returns what there is to say of the files.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the folder cannot be read; what is in memory then stays.
    pub fn give_way(&mut self, path: &Path) -> Result<Vec<Warning>, KitchenError> {
        self.store.give_way(path);
        self.read_again()
    }

    /// Sets a file aside that something else has changed, so that the next save takes its place; returns
    /// where it is now.
    ///
    /// # Errors
    /// [`StoreError`]; the file is then still in its place.
    pub fn overrule(&self, path: &Path) -> Result<PathBuf, StoreError> {
        self.store.overrule(path)
    }
}
