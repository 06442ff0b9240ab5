//! The baker's kitchen: all that is on record, in memory and the same on the disk.

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
    Access, BundleError, Imported, Moved, OnDifference, Plates, StoreError, TakenBack,
};
pub use followed::Followed;

use crate::{
    model::{
        AirRound, BakeId, BakeLog, Oven, OvenId, TestId, ToastTest, Warning,
        id::slug,
        text::{LONGEST_NAME, check_words},
    },
    store::{self, Contents, Store, Stored},
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

/// All that is on record, in memory and on the disk.
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
///
/// # Errors
/// [`KitchenError::Store`] when none is given and the user has no home folder.
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
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the folder cannot be used, or another process writes to it.
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
    ///
    /// # Errors
    /// As [`Self::open`].
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
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the folder cannot be used.
    pub fn open_or_look(dir: &Path) -> Result<(Self, Vec<Warning>), KitchenError> {
        match Self::open(dir, Access::Write) {
            Err(KitchenError::Store(why @ StoreError::NotWritable { .. })) => {
                let (kitchen, mut warnings) = Self::open(dir, Access::Read)?;
                let what = format!("nothing can be saved here: {why}");
                warnings.insert(0, Warning::new(what, ""));
                Ok((kitchen, warnings))
            }
            Err(KitchenError::Store(StoreError::Locked { .. })) => {
                // Before reading: what is written meanwhile is then read by the next look.
                let before = Store::trace(dir);
                let (mut kitchen, mut warnings) = Self::open(dir, Access::Read)?;
                kitchen.looking = Some(before);
                warnings.insert(0, Warning::new(LOOKING, ""));
                Ok((kitchen, warnings))
            }
            opened => opened,
        }
    }

    /// Opens a copy of the demo kitchen in a temporary folder, which goes when the kitchen goes.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when there is no room for temporary files.
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
    /// # Errors
    /// [`KitchenError::Oven`] when its description is wrong: it is not taken. Otherwise memory is
    /// updated even if the disk refuses, and [`KitchenError::Store`] tells why it did.
    pub fn save_oven(&mut self, oven: Oven) -> Result<(), KitchenError> {
        self.keep(oven.check()?)
    }

    /// Takes a toast test, new or changed, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_test(&mut self, test: ToastTest) -> Result<(), KitchenError> {
        self.keep(test)
    }

    /// Takes a toast test into memory ahead of the save that is under way, so that what is shown next
    /// shows it.
    pub fn hold_test(&mut self, test: ToastTest) {
        self.hold(test);
    }

    /// Takes a bake log, new or changed, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Store`] when the disk refuses; memory is updated all the same.
    pub fn save_bake(&mut self, bake: BakeLog) -> Result<(), KitchenError> {
        self.keep(bake)
    }

    /// Removes a toast test; its file is set aside under `removed/`.
    ///
    /// # Errors
    /// [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_test(&mut self, id: &TestId) -> Result<(), KitchenError> {
        self.set_aside::<ToastTest>(id.as_str())
    }

    /// Takes a toast test back that was set aside under `removed/`.
    ///
    /// # Errors
    /// [`KitchenError`] when there is one of that id, none was set aside, or the disk refuses.
    pub fn restore_test(&mut self, id: &str) -> Result<ToastTest, KitchenError> {
        let word = ToastTest::WORD;
        let wanted = id.to_owned();
        if self.get::<ToastTest>(id).is_some() {
            return Err(KitchenError::There {
                folder: ToastTest::FOLDER,
                word,
                wanted,
            });
        }
        let back = self.store.restore::<ToastTest>(id)?;
        let test = back.ok_or(KitchenError::NotRemoved { word, wanted })?;
        self.hold(test.clone());
        Ok(test)
    }

    /// Removes an oven with its tests, bake logs and readings; their files are set aside under `removed/`, and
    /// where each is now and was is returned.
    ///
    /// # Errors
    /// [`KitchenError`] when there is none of that id or the disk refuses; what could not be set
    /// aside is then still there.
    pub fn remove_oven(&mut self, id: &OvenId) -> Result<Vec<Moved>, KitchenError> {
        self.find::<Oven>(id.as_str())?;
        // The oven goes last: while it is there, what is left of it can still be reached.
        let mut moved = self.set_aside_of::<ToastTest>(id)?;
        moved.extend(self.set_aside_of::<BakeLog>(id)?);
        moved.extend(self.set_aside_of::<AirRound>(id)?);
        moved.extend(self.set_aside_of::<Oven>(id)?);
        Ok(moved)
    }

    /// Takes a thing, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Name`] where its new name is too long: it is not taken. Otherwise memory is updated
    /// even if the disk refuses, and [`KitchenError::Store`] tells why it did.
    fn keep<T: Stored>(&mut self, thing: T) -> Result<(), KitchenError> {
        // A name from before the limit stays as it is.
        let before = self.get::<T>(thing.id()).and_then(T::name);
        if let Some(name) = thing.name().filter(|name| before != Some(name)) {
            check_words(name, LONGEST_NAME)?;
        }
        let saved = self.store.save(&thing);
        self.hold(thing);
        Ok(saved?)
    }

    /// Puts a thing in its place in memory, over the one of its id.
    fn hold<T: Stored>(&mut self, thing: T) {
        let list = T::list_mut(self.contents());
        list.retain(|other| other.id() != thing.id());
        let at = list.partition_point(|other| other.order(&thing).is_lt());
        list.insert(at, thing);
    }

    /// Removes a thing; its file is set aside under `removed/`.
    ///
    /// Fails with [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    fn set_aside<T: Stored>(&mut self, id: &str) -> Result<(), KitchenError> {
        self.store.remove(self.find::<T>(id)?)?;
        T::list_mut(self.contents()).retain(|other| other.id() != id);
        Ok(())
    }

    /// Removes what belongs to an oven, one by one.
    fn set_aside_of<T: Stored>(&mut self, oven: &OvenId) -> Result<Vec<Moved>, KitchenError> {
        let of_it = |thing: &T| thing.oven() == Some(oven);
        let mut moved = Vec::new();
        while let Some(i) = T::list(&self.records.0).iter().position(of_it) {
            moved.extend(self.store.remove(&T::list(&self.records.0)[i])?);
            T::list_mut(self.contents()).remove(i);
        }
        Ok(moved)
    }

    /// Checks that no other thing of the kind goes by a new name, its own or its id: by either it is found.
    ///
    /// Fails with [`KitchenError::NameTaken`].
    pub(crate) fn check_name<T: Stored>(&self, thing: &T) -> Result<(), KitchenError> {
        let name = thing.name().unwrap_or_default();
        // A name from before this rule stays as it is.
        let is_old = self.get::<T>(thing.id()).and_then(T::name) == Some(name);
        match self.other_named::<T>(thing.id(), name) {
            Some(other) if !is_old => Err(KitchenError::NameTaken {
                word: T::WORD,
                name: other.name().unwrap_or_default().to_owned(),
                id: other.id().to_owned(),
            }),
            Some(_) | None => Ok(()),
        }
    }

    /// Makes an id for a new oven from its name: `wall-oven`, and `wall-oven-2` for a second one.
    pub fn fresh_oven_id(&self, name: &str) -> OvenId {
        OvenId::of_words(&self.fresh::<Oven>(&slug(name, "oven")))
    }

    /// Makes an id for a new toast test: its day and its oven, with a count for a second one.
    pub fn fresh_test_id(&self, oven: &OvenId, day: Date) -> TestId {
        TestId::of_words(&self.fresh::<ToastTest>(&dated(oven, day)))
    }

    /// Makes an id for a new bake log: its day and its oven, with a count for a second one.
    pub fn fresh_bake_id(&self, oven: &OvenId, day: Date) -> BakeId {
        BakeId::of_words(&self.fresh::<BakeLog>(&dated(oven, day)))
    }

    /// Makes an id that is free, and that nothing on record names: what was of a removed oven is not of the next.
    fn fresh<T: Stored>(&self, base: &str) -> String {
        let mut id = base.to_owned();
        let mut count = 2;
        while self.get::<T>(&id).is_some() || self.rests_on::<T>(&id) || !self.store.is_free(&id) {
            id = format!("{base}-{count}");
            count += 1;
        }
        id
    }
}

fn dated(oven: &OvenId, day: Date) -> String {
    let oven: String = oven.as_str().chars().take(OVEN_PART).collect();
    format!("{day}-{}", oven.trim_end_matches('-'))
}

/// Puts what a folder held in the order it is shown in: oldest first.
fn in_order(mut contents: Contents) -> Contents {
    contents.tests.sort_by(Stored::order);
    contents.bakes.sort_by(Stored::order);
    contents.rounds.sort_by(Stored::order);
    contents.days.sort_by(Stored::order);
    contents
}

#[cfg(test)]
mod tests;
