//! The data folder: one readable file for everything that is kept.

pub(super) mod bundle;
mod put;
mod seen;

use super::{
    atomic::{self, WriteBytes, previous_of},
    error::StoreError,
    litter,
    lock::Lock,
    migrate::{Contents, FOLDERS, ReadError, Stored},
    paths::{self, DAMAGED, ENDING, PAPERS, REMOVED},
    read,
};
use crate::model::Warning;
use seen::Seen;
use std::{
    collections::{BTreeMap, BTreeSet},
    fs, io,
    path::{Path, PathBuf},
    time::SystemTime,
};

/// A stored file larger than this is not read, so none is written either.
const MOST_BYTES: u64 = 4 << 20;

/// How a data folder is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// Look only: no lock, nothing is created, moved or mended.
    Read,
    /// One writer at a time: takes the lock.
    Write,
}

/// An opened data folder.
#[derive(Debug)]
pub struct Store {
    root: PathBuf,
    /// Held while writing is allowed.
    lock: Option<Lock>,
    /// Names that must not be written over, and why.
    kept_off: BTreeMap<PathBuf, KeptOff>,
    seen: Seen,
    read: ReadText,
    write: WriteBytes,
}

/// Why a file in the folder must stay as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum KeptOff {
    /// A newer program wrote it.
    Newer,
    /// It could not be read, or not be set aside; what it holds may be sound.
    Unread,
    /// It is larger than we read; what it holds may be sound.
    Large,
}

/// Where a file is now, and where it was.
pub type Moved = (PathBuf, PathBuf);

/// Reads a text file of at most so many bytes; a test puts a failing one in its place.
type ReadText = fn(&Path, u64) -> io::Result<String>;

impl Store {
    /// Opens a data folder and reads everything in it.
    ///
    /// A damaged file becomes a warning; opened for writing it is also set aside under `damaged/`,
    /// and the version before it is put back where there is one. A file that the system does not let
    /// us read becomes a warning too, but stays where it is and is never written over: it may be sound.
    ///
    /// # Errors
    /// [`StoreError`] when the folder itself cannot be used, or is in use.
    pub fn open(root: &Path, access: Access) -> Result<(Self, Contents, Vec<Warning>), StoreError> {
        Self::open_with(root, access, read::text)
    }

    fn open_with(
        root: &Path,
        access: Access,
        read: ReadText,
    ) -> Result<(Self, Contents, Vec<Warning>), StoreError> {
        let lock = match access {
            Access::Read => None,
            Access::Write => Some(lock_of(root)?),
        };
        let mut store = Self {
            root: root.to_owned(),
            lock,
            kept_off: BTreeMap::new(),
            seen: Seen::default(),
            read,
            write: atomic::write_and_flush,
        };
        let (contents, warnings) = store.read_again()?;
        Ok((store, contents, warnings))
    }

    /// Reads everything in the folder, as [`Self::open`] does.
    ///
    /// # Errors
    /// [`StoreError`] when a folder cannot be read.
    pub fn read_again(&mut self) -> Result<(Contents, Vec<Warning>), StoreError> {
        self.kept_off.clear();
        let mut warnings = Vec::new();
        let contents = Contents {
            ovens: self.read_all(&mut warnings)?,
            tests: self.read_all(&mut warnings)?,
            bakes: self.read_all(&mut warnings)?,
            rounds: self.read_all(&mut warnings)?,
            thermometers: self.read_all(&mut warnings)?,
            recipes: self.read_all(&mut warnings)?,
            doughs: self.read_all(&mut warnings)?,
            days: self.read_all(&mut warnings)?,
        };
        Ok((contents, warnings))
    }

    /// Takes the lock of a folder that was opened for reading only; what was read stays as it is.
    ///
    /// # Errors
    /// [`StoreError::Locked`] while another process writes to it, or the disk's trouble.
    pub fn take_over(&mut self) -> Result<(), StoreError> {
        if self.lock.is_none() {
            self.lock = Some(lock_of(&self.root)?);
        }
        Ok(())
    }

    /// Returns what tells one state of the folder from another, without reading a file: names, sizes, times.
    pub fn trace(root: &Path) -> Vec<(PathBuf, u64, Option<SystemTime>)> {
        let files = FOLDERS
            .iter()
            .filter_map(|folder| fs::read_dir(root.join(folder)).ok());
        let mut trace: Vec<_> = files
            .flatten()
            .flatten()
            .filter_map(|entry| {
                let about = fs::metadata(entry.path()).ok()?;
                Some((entry.path(), about.len(), about.modified().ok()))
            })
            .collect();
        trace.sort();
        trace
    }

    /// Returns the folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Returns the folder for what is printed, and makes it.
    ///
    /// # Errors
    /// [`StoreError`] when it cannot be made.
    pub fn papers(&self) -> Result<PathBuf, StoreError> {
        paths::papers(&self.root)
    }

    /// Tells whether saving is possible at all.
    pub fn can_write(&self) -> bool {
        self.lock.is_some()
    }

    /// Tells whether a name is free for something new: what was set aside under it could not come back.
    pub fn is_free(&self, id: &str) -> bool {
        !self.set_aside_as(id).any(|file| file.exists())
            && !FOLDERS.iter().any(|folder| {
                self.kept_off
                    .contains_key(&paths::file(&self.root, folder, id))
            })
    }

    /// Reads one thing as it is on the disk now, whatever was read before; `None` when it cannot be read.
    pub(crate) fn on_disk<T: Stored>(&self, id: &str) -> Option<T> {
        let text = (self.read)(&paths::file(&self.root, T::FOLDER, id), MOST_BYTES);
        T::decode(&text.ok()?).ok()
    }

    /// Saves a thing; it is on the disk when this returns.
    ///
    /// Fails with [`StoreError`]; the file then still holds its old version.
    pub(crate) fn save<T: Stored>(&self, thing: &T) -> Result<(), StoreError> {
        let path = self.writable_path(thing)?;
        let text = thing.encode().map_err(|e| StoreError::NoForm {
            what: format!("{} {}", T::WORD, thing.id()),
            why: e.to_string(),
        })?;
        if text.len() as u64 > MOST_BYTES {
            return Err(StoreError::TooLarge {
                what: format!("{} {}", T::WORD, thing.id()),
                bytes: text.len(),
                most: MOST_BYTES,
            });
        }
        self.put(&path, &text)
    }

    /// Sets a thing's file aside under `removed/`; returns where it is now and where it was, `None` where it had none.
    ///
    /// Fails with [`StoreError`]; the file is then still in its place.
    pub(crate) fn remove<T: Stored>(&self, thing: &T) -> Result<Option<Moved>, StoreError> {
        let path = self.writable_path(thing)?;
        Ok(self.remove_file(&path)?.map(|aside| (aside, path)))
    }

    fn remove_file(&self, path: &Path) -> Result<Option<PathBuf>, StoreError> {
        let previous = previous_of(path);
        if previous.exists() {
            // First, so that a crash between the two cannot bring the thing back.
            self.move_aside(&previous, REMOVED)?;
        }
        let there = path.exists();
        let aside = there.then(|| self.move_aside(path, REMOVED)).transpose()?;
        self.seen.forget(path);
        Ok(aside)
    }

    /// Moves a thing's file back from `removed/` and returns it, the latest where several of that id lie there; `None`
    /// where none does.
    ///
    /// Fails with [`StoreError`]; the file is then still set aside.
    pub(crate) fn restore<T: Stored>(&self, id: &str) -> Result<Option<T>, StoreError> {
        let path = self.writable(T::FOLDER, id, || format!("{} {id}", T::WORD))?;
        let there: Vec<PathBuf> = self.set_aside_as(id).filter(|file| file.exists()).collect();
        // A bake may have had the same id.
        let readable = |file: &&PathBuf| self.read_file::<T>(file, id).is_ok();
        let Some(aside) = there.iter().rev().find(readable) else {
            return Ok(None);
        };
        if path.exists() {
            return Err(StoreError::Exists { path });
        }
        fs::rename(aside, &path).map_err(|e| StoreError::write(&path, e))?;
        for touched in [aside.parent(), path.parent()].into_iter().flatten() {
            atomic::flush_folder(touched).map_err(|e| StoreError::write(touched, e))?;
        }
        Ok(self.read_file(&path, id).ok())
    }

    /// Returns the files that a thing of that id may have been set aside as, the earliest first.
    fn set_aside_as(&self, id: &str) -> impl Iterator<Item = PathBuf> {
        /// So many of one id are looked for.
        const COPIES: usize = 99;
        let first = paths::file(&self.root, REMOVED, id);
        let name = id.to_owned();
        let folder = first.clone();
        let others =
            (2..=COPIES).map(move |copy| folder.with_file_name(format!("{copy}-{name}.{ENDING}")));
        std::iter::once(first).chain(others)
    }

    fn writable_path<T: Stored>(&self, thing: &T) -> Result<PathBuf, StoreError> {
        self.writable(T::FOLDER, thing.id(), || {
            format!("{} {}", T::WORD, thing.id())
        })
    }

    /// Returns the path of a file that may be written; `what` names it where it may not.
    fn writable(
        &self,
        folder: &str,
        id: &str,
        what: impl Fn() -> String,
    ) -> Result<PathBuf, StoreError> {
        let path = paths::file(&self.root, folder, id);
        if self.lock.is_none() {
            return Err(StoreError::ReadOnly {
                folder: self.root.clone(),
                what: what(),
            });
        }
        match self.kept_off.get(&path) {
            None => Ok(path),
            Some(KeptOff::Newer) => Err(StoreError::Newer { path }),
            Some(KeptOff::Unread) => Err(StoreError::Unread { path }),
            Some(KeptOff::Large) => Err(StoreError::LeftLarge {
                path,
                most: MOST_BYTES,
            }),
        }
    }

    fn read_all<T: Stored>(&mut self, warnings: &mut Vec<Warning>) -> Result<Vec<T>, StoreError> {
        let ids = self.ids(T::FOLDER)?;
        Ok(ids
            .iter()
            .filter_map(|id| self.read_one(id, warnings))
            .collect())
    }

    /// Lists what a folder has a file of, be it only the version before.
    fn ids(&self, folder: &str) -> Result<BTreeSet<String>, StoreError> {
        let folder = self.root.join(folder);
        let mut ids = BTreeSet::new();
        let entries = match fs::read_dir(&folder) {
            Ok(entries) => entries,
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(ids),
            Err(e) => return Err(StoreError::read(&folder, e)),
        };
        for entry in entries {
            let entry = entry.map_err(|e| StoreError::read(&folder, e))?;
            if let Some(id) = entry.file_name().to_str().and_then(id_of_file) {
                ids.insert(id.to_owned());
            }
        }
        Ok(ids)
    }

    /// Reads one thing, or says why not; what can be had from the version before is had.
    fn read_one<T: Stored>(&mut self, id: &str, warnings: &mut Vec<Warning>) -> Option<T> {
        let path = paths::file(&self.root, T::FOLDER, id);
        let why = match self.read_file::<T>(&path, id) {
            Ok(thing) => return Some(thing),
            Err(Unreadable::Damaged(why)) => why,
            Err(Unreadable::Kept(kept, why)) => {
                let advice = match kept {
                    KeptOff::Newer => "open it with the newer program; the rest is usable",
                    KeptOff::Unread => {
                        "it stays as it is; see that you may read it, then start again"
                    }
                    KeptOff::Large => {
                        "it stays as it is; make it smaller by hand, then start again"
                    }
                };
                let what = format!("{} was left out: {why}", path.display());
                warnings.push(Warning::new(what, advice));
                self.kept_off.insert(path, kept);
                return None;
            }
        };
        let mut what = format!("{} is damaged: {why}", path.display());
        let mut advice = format!("the rest is usable; mend it by hand under {}", T::FOLDER);
        if self.lock.is_some() && path.exists() {
            match self.move_aside(&path, DAMAGED) {
                Ok(aside) => {
                    advice = format!(
                        "it was set aside as {}; mend it by hand and move it back to {}",
                        aside.display(),
                        T::FOLDER
                    );
                }
                Err(e) => {
                    what = format!("{what} ({e})");
                    self.kept_off.insert(path.clone(), KeptOff::Unread);
                }
            }
        }
        let before = self.read_file::<T>(&previous_of(&path), id).ok();
        if let Some(thing) = &before {
            what = format!("{what}; the version saved before it is used");
            if self.lock.is_some() && !self.kept_off.contains_key(&path) {
                // Put back now, so that the next opening finds a whole file.
                if let Err(e) = self.save(thing) {
                    what = format!("{what} ({e})");
                }
            }
        }
        warnings.push(Warning::new(what, advice));
        before
    }

    fn read_file<T: Stored>(&self, path: &Path, id: &str) -> Result<T, Unreadable> {
        let text = (self.read)(path, MOST_BYTES)?;
        self.seen.note_read(path, &text);
        let thing = T::decode(&text).map_err(|e| match e {
            ReadError::Newer(_) => Unreadable::Kept(KeptOff::Newer, e.to_string()),
            ReadError::Damaged(_) => Unreadable::Damaged(e.to_string()),
        })?;
        if thing.id() == id {
            Ok(thing)
        } else {
            let other = thing.id();
            Err(Unreadable::Damaged(format!(
                "id is {other}, expected {id} as its file is named"
            )))
        }
    }

    /// Returns a name in the folder `place`, which is made, that is free for a file like `path`.
    fn free_name(&self, path: &Path, place: &str) -> Result<PathBuf, StoreError> {
        let folder = self.root.join(place);
        fs::create_dir_all(&folder).map_err(|e| StoreError::write(&folder, e))?;
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let mut target = folder.join(&name);
        let mut copy = 2;
        while target.exists() {
            target = folder.join(format!("{copy}-{name}"));
            copy += 1;
        }
        Ok(target)
    }

    /// Moves a file out of the way into `place`, under a name that is free there.
    fn move_aside(&self, path: &Path, place: &str) -> Result<PathBuf, StoreError> {
        let target = self.free_name(path, place)?;
        fs::rename(path, &target).map_err(|e| StoreError::write(path, e))?;
        for touched in [target.parent(), path.parent()].into_iter().flatten() {
            atomic::flush_folder(touched).map_err(|e| StoreError::write(touched, e))?;
        }
        Ok(target)
    }
}

/// Makes the folders and takes the lock; what a run that was killed has left is cleared away.
fn lock_of(root: &Path) -> Result<Lock, StoreError> {
    for folder in FOLDERS {
        let path = root.join(folder);
        fs::create_dir_all(&path).map_err(|e| StoreError::write(&path, e))?;
    }
    let lock = Lock::take(root)?;
    for folder in FOLDERS.iter().chain(&["", PAPERS]) {
        litter::sweep(&root.join(folder));
    }
    Ok(lock)
}

/// Why one file gave nothing.
enum Unreadable {
    Damaged(String),
    /// What it holds may be sound, so it stays as it is.
    Kept(KeptOff, String),
}

impl From<io::Error> for Unreadable {
    fn from(e: io::Error) -> Self {
        // Not ours, or gone with only the version before it left: the rest of the text is no use.
        if [io::ErrorKind::InvalidData, io::ErrorKind::NotFound].contains(&e.kind()) {
            Self::Damaged(e.to_string())
        } else if e.kind() == io::ErrorKind::FileTooLarge {
            Self::Kept(KeptOff::Large, e.to_string())
        } else {
            Self::Kept(KeptOff::Unread, format!("it cannot be read: {e}"))
        }
    }
}

/// Returns the id in `id.json` or `id.json.previous`; a lost file is found by its previous version.
fn id_of_file(name: &str) -> Option<&str> {
    let name = name.strip_suffix(".previous").unwrap_or(name);
    let id = name.strip_suffix(ENDING)?.strip_suffix('.')?;
    (!id.starts_with('.') && !id.is_empty()).then_some(id)
}

#[cfg(test)]
mod tests;
