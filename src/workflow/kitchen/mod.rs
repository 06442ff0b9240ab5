//! The baker's kitchen: ovens, toast tests and bake logs in memory, kept the same on the disk.

mod error;
mod followed;
mod moving;
mod readings;
mod recipes;
mod records;
mod window;

pub use error::KitchenError;
pub use records::Records;

pub use crate::store::{
    Access, BundleError, Imported, OnDifference, Plates, StoreError, TakenBack,
};
pub use followed::Followed;

use crate::{
    model::{
        AirRound, BakeId, BakeLog, Oven, OvenId, TestId, ToastTest, Warning,
        id::slug,
        text::{LONGEST_NAME, check_words},
    },
    store::{self, Contents, Store},
};
use jiff::civil::Date;
use std::{
    ops::Deref,
    path::{Path, PathBuf},
    sync::Arc,
    thread,
    time::{Duration, SystemTime},
};

/// The longest part of an oven's id that goes into the id of a test or bake of it: together with a
/// day and a count it stays within what an id may be.
const OVEN_PART: usize = 40;

/// How often, and how far apart, a command asks for a kitchen that another process writes to.
const LOCK_TRIES: usize = 40;
const LOCK_PAUSE: Duration = Duration::from_millis(50);
/// What a window says that only looks.
const LOOKING: &str =
    "another window has this kitchen, so this one only looks; it takes over when that one ends";

/// Names, sizes and times of the files in a folder.
type Trace = Vec<(PathBuf, u64, Option<SystemTime>)>;

/// Ovens, toast tests and bake logs, in memory and on the disk.
#[derive(Debug)]
pub struct Kitchen {
    store: Store,
    /// Shared with the threads that took a snapshot; a change makes a copy while one does.
    records: Arc<Records>,
    /// The folder as it was last read, while another window has it and this one only looks.
    looking: Option<Trace>,
    /// Holds a throwaway copy's folder until the end.
    throwaway: Option<store::Throwaway>,
}

/// Returns the data folder: the one given, else the platform's own.
pub fn data_folder(given: Option<&Path>) -> Result<PathBuf, KitchenError> {
    Ok(store::data_folder(given)?)
}

impl Deref for Kitchen {
    type Target = Records;

    fn deref(&self) -> &Records {
        &self.records
    }
}

impl Kitchen {
    /// Opens the kitchen in a data folder; files that cannot be read become warnings.
    pub fn open(dir: &Path, access: Access) -> Result<(Self, Vec<Warning>), KitchenError> {
        let (store, contents, warnings) = Store::open(dir, access)?;
        let kitchen = Self {
            store,
            records: Arc::new(Records(in_order(contents))),
            looking: None,
            throwaway: None,
        };
        Ok((kitchen, warnings))
    }

    /// Opens the kitchen like [`Self::open`]; while another process writes to it, waits for up to two seconds.
    pub fn open_when_free(
        dir: &Path,
        access: Access,
    ) -> Result<(Self, Vec<Warning>), KitchenError> {
        for _ in 0..LOCK_TRIES {
            match Self::open(dir, access) {
                Err(KitchenError::Store(StoreError::Locked { .. })) => thread::sleep(LOCK_PAUSE),
                opened => return opened,
            }
        }
        Self::open(dir, access)
    }

    /// Opens the kitchen for writing; in a folder that may not be written to, or that another window has, for
    /// reading only, with a warning. In the second case [`Self::follow`] keeps it up to date.
    pub fn open_or_look(dir: &Path) -> Result<(Self, Vec<Warning>), KitchenError> {
        match Self::open(dir, Access::Write) {
            Err(KitchenError::Store(why @ StoreError::NotWritable { .. })) => {
                let (kitchen, mut warnings) = Self::open(dir, Access::Read)?;
                let what = format!("nothing can be saved here: {why}");
                warnings.insert(0, Warning::new(what, ""));
                Ok((kitchen, warnings))
            }
            Err(KitchenError::Store(StoreError::Locked { .. })) => {
                let (mut kitchen, mut warnings) = Self::open(dir, Access::Read)?;
                kitchen.looking = Some(kitchen.store.trace());
                warnings.insert(0, Warning::new(LOOKING, ""));
                Ok((kitchen, warnings))
            }
            opened => opened,
        }
    }

    /// Opens a copy of the demo kitchen in a temporary folder, which goes when the kitchen goes.
    pub fn throwaway_copy() -> Result<(Self, Vec<Warning>), KitchenError> {
        let copy = store::Throwaway::of_demo()?;
        let (mut kitchen, warnings) = Self::open(copy.path(), Access::Write)?;
        kitchen.throwaway = Some(copy);
        Ok((kitchen, warnings))
    }

    /// Returns what is on record at this moment, for another thread: later changes are not seen in it.
    pub fn snapshot(&self) -> Arc<Records> {
        Arc::clone(&self.records)
    }

    fn contents(&mut self) -> &mut Contents {
        &mut Arc::make_mut(&mut self.records).0
    }

    /// Returns the data folder.
    pub fn folder(&self) -> &Path {
        self.store.root()
    }

    /// Tells whether it was opened for writing.
    pub fn can_write(&self) -> bool {
        self.store.can_write()
    }

    /// Takes an oven, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Oven`] when its description is wrong: it is not taken. Otherwise memory is updated
    /// even if the disk refuses, and [`KitchenError::Store`] tells why it did.
    pub fn save_oven(&mut self, oven: Oven) -> Result<(), KitchenError> {
        let oven = oven.check()?;
        // One from before the limit stays as it is.
        if self.oven(&oven.id).is_none_or(|old| old.name != oven.name) {
            check_words(&oven.name, LONGEST_NAME)?;
        }
        let saved = self.store.save_oven(&oven);
        put(&mut self.contents().ovens, oven, |a, b| a.id.cmp(&b.id));
        Ok(saved?)
    }

    /// Takes a toast test, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_test(&mut self, test: ToastTest) -> Result<(), KitchenError> {
        let saved = self.store.save_test(&test);
        self.hold_test(test);
        Ok(saved?)
    }

    /// Takes a toast test into memory ahead of the save that is under way, so that what is shown next
    /// shows it.
    pub fn hold_test(&mut self, test: ToastTest) {
        self.contents().tests.retain(|t| t.id != test.id);
        put(&mut self.contents().tests, test, test_order);
    }

    /// Takes a bake log, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_bake(&mut self, bake: BakeLog) -> Result<(), KitchenError> {
        let saved = self.store.save_bake(&bake);
        self.contents().bakes.retain(|b| b.id != bake.id);
        put(&mut self.contents().bakes, bake, bake_order);
        Ok(saved?)
    }

    /// Removes a toast test; its file is set aside under `removed/`.
    ///
    /// Fails with [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_test(&mut self, id: &TestId) -> Result<(), KitchenError> {
        self.store.remove_test(self.find_test(id.as_str())?)?;
        self.contents().tests.retain(|t| t.id != *id);
        Ok(())
    }

    /// Removes an oven with its tests, bake logs and readings; their files are set aside under `removed/`.
    ///
    /// Fails with [`KitchenError`] when there is none of that id or the disk refuses; what could not be set aside is
    /// then still there.
    pub fn remove_oven(&mut self, id: &OvenId) -> Result<(), KitchenError> {
        if self.oven(id).is_none() {
            self.find_oven(id.as_str())?;
        }
        // The oven goes last: while it is there, what is left of it can still be reached.
        while let Some(i) = self
            .records
            .0
            .tests
            .iter()
            .position(|t| t.setup.oven == *id)
        {
            self.store.remove_test(&self.records.0.tests[i])?;
            self.contents().tests.remove(i);
        }
        while let Some(i) = self.records.0.bakes.iter().position(|b| b.oven == *id) {
            self.store.remove_bake(&self.records.0.bakes[i])?;
            self.contents().bakes.remove(i);
        }
        while let Some(i) = self.records.0.rounds.iter().position(|r| r.oven == *id) {
            self.store.remove_round(&self.records.0.rounds[i])?;
            self.contents().rounds.remove(i);
        }
        while let Some(i) = self.records.0.ovens.iter().position(|o| o.id == *id) {
            self.store.remove_oven(&self.records.0.ovens[i])?;
            self.contents().ovens.remove(i);
        }
        Ok(())
    }

    /// Makes an id for a new oven from its name: `wall-oven`, and `wall-oven-2` for a second one.
    pub fn fresh_oven_id(&self, name: &str) -> OvenId {
        let taken = |id: &str| self.records.0.ovens.iter().any(|o| o.id.as_str() == id);
        OvenId::of_words(&self.fresh(&slug(name), taken))
    }

    /// Makes an id for a new toast test: its day and its oven, with a count for a second one.
    pub fn fresh_test_id(&self, oven: &OvenId, day: Date) -> TestId {
        let taken = |id: &str| self.records.0.tests.iter().any(|t| t.id.as_str() == id);
        TestId::of_words(&self.fresh(&dated(oven, day), taken))
    }

    /// Makes an id for a new bake log: its day and its oven, with a count for a second one.
    pub fn fresh_bake_id(&self, oven: &OvenId, day: Date) -> BakeId {
        let taken = |id: &str| self.records.0.bakes.iter().any(|b| b.id.as_str() == id);
        BakeId::of_words(&self.fresh(&dated(oven, day), taken))
    }

    fn fresh(&self, base: &str, taken: impl Fn(&str) -> bool) -> String {
        let mut id = base.to_owned();
        let mut count = 2;
        while taken(&id) || !self.store.is_free(&id) {
            id = format!("{base}-{count}");
            count += 1;
        }
        id
    }
}

fn round_order(a: &AirRound, b: &AirRound) -> std::cmp::Ordering {
    a.span().cmp(&b.span()).then_with(|| a.id.cmp(&b.id))
}

fn dated(oven: &OvenId, day: Date) -> String {
    let oven: String = oven.as_str().chars().take(OVEN_PART).collect();
    format!("{day}-{}", oven.trim_end_matches('-'))
}

fn test_order(a: &ToastTest, b: &ToastTest) -> std::cmp::Ordering {
    a.when.cmp(&b.when).then_with(|| a.id.cmp(&b.id))
}

fn bake_order(a: &BakeLog, b: &BakeLog) -> std::cmp::Ordering {
    a.started.cmp(&b.started).then_with(|| a.id.cmp(&b.id))
}

/// Puts a thing in its place in a sorted list, over the one that compares equal.
fn put<T>(list: &mut Vec<T>, thing: T, order: impl Fn(&T, &T) -> std::cmp::Ordering) {
    match list.binary_search_by(|other| order(other, &thing)) {
        Ok(i) => list[i] = thing,
        Err(i) => list.insert(i, thing),
    }
}

/// Puts what a folder held in the order it is shown in: oldest first.
fn in_order(mut contents: Contents) -> Contents {
    contents.tests.sort_by(test_order);
    contents.bakes.sort_by(bake_order);
    contents.rounds.sort_by(round_order);
    contents
}

#[cfg(test)]
mod tests;
