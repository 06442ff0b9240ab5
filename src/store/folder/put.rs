//! Putting a stored file on the disk where it is still the one last read; else beside it.

use super::Store;
use crate::store::{atomic, error::StoreError, paths::CONFLICTS, read};
use std::{
    fs, io,
    path::{Path, PathBuf},
};

impl Store {
    /// Puts the text of a stored file on the disk, if the file there is still the one last read.
    ///
    /// Otherwise both versions are kept: the one there stays, and the new one goes to `conflicts/`.
    ///
    /// # Errors
    /// [`StoreError::Changed`], or the disk's trouble; the file then still holds what it held.
    pub(super) fn put(&self, path: &Path, text: &str) -> Result<(), StoreError> {
        if self.is_changed(path) {
            return Err(StoreError::Changed {
                path: path.to_owned(),
                mine: self.keep_beside(path, text)?,
            });
        }
        atomic::replace(path, text.as_bytes(), self.write)
            .map_err(|e| StoreError::write(path, e))?;
        self.seen.note(path, text);
        // Only now: until it was the file itself again, it was all there was of it.
        if let Some(mine) = self.seen.known(|k| k.kept_beside.remove(path)) {
            fs::remove_file(mine).ok();
        }
        Ok(())
    }

    /// Tells whether a file is another than the one last read. One that is gone can lose nothing.
    fn is_changed(&self, path: &Path) -> bool {
        match read::bytes(path, super::MOST_BYTES) {
            Ok(bytes) => !self.seen.holds(path, &bytes),
            // Nothing is there; whatever else is wrong with the place, writing to it will tell.
            Err(e) => ![io::ErrorKind::NotFound, io::ErrorKind::NotADirectory].contains(&e.kind()),
        }
    }

    /// Writes a version that cannot take its place to `conflicts/`, over an older one of this run only.
    fn keep_beside(&self, path: &Path, text: &str) -> Result<PathBuf, StoreError> {
        let before = self.seen.known(|k| k.kept_beside.get(path).cloned());
        let mine = match before {
            Some(mine) => mine,
            None => self.free_name(path, CONFLICTS)?,
        };
        atomic::put(&mine, text.as_bytes(), self.write).map_err(|e| StoreError::write(&mine, e))?;
        self.seen
            .known(|k| k.kept_beside.insert(path.to_owned(), mine.clone()));
        Ok(mine)
    }

    /// Sets a file that was changed from outside aside under `conflicts/`, so that the next save takes its
    /// place; returns where it is now.
    ///
    /// # Errors
    /// [`StoreError`]; the file is then still in its place.
    pub fn overrule(&self, path: &Path) -> Result<PathBuf, StoreError> {
        let theirs = self.move_aside(path, CONFLICTS)?;
        self.seen.known(|k| k.hashes.remove(path));
        Ok(theirs)
    }

    /// Lets a file that was changed from outside count: reading it again takes it for what was last read, and
    /// the version kept beside it stays under `conflicts/`.
    pub fn give_way(&self, path: &Path) {
        self.seen.known(|k| k.kept_beside.remove(path));
    }
}
