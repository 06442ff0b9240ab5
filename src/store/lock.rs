//! One writer at a time: a lock on a file in the data folder, freed by the system when we end.

use super::error::StoreError;
use std::{
    fs::{self, File, TryLockError},
    io::{Read, Seek, Write},
    path::Path,
};

/// The held lock; dropping it (or dying) frees it.
#[derive(Debug)]
pub(super) struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the lock of a data folder.
    ///
    /// # Errors
    /// [`StoreError::Locked`] when another process holds it, else the trouble of the disk.
    pub(super) fn take(folder: &Path) -> Result<Self, StoreError> {
        let path = folder.join("lock");
        let mut file = fs::OpenOptions::new()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(&path)
            .map_err(|e| StoreError::write(&path, e))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                // Who holds it is a courtesy; some systems do not let us read a locked file.
                let mut holder = String::new();
                if file.read_to_string(&mut holder).is_err() {
                    holder.clear();
                }
                return Err(StoreError::Locked {
                    folder: folder.to_owned(),
                    holder: holder.trim().to_owned(),
                });
            }
            Err(TryLockError::Error(e)) => return Err(StoreError::write(&path, e)),
        }
        let name_ourselves = |file: &mut File| {
            file.set_len(0)?;
            file.rewind()?;
            writeln!(file, "{}", std::process::id())
        };
        // A full disk must not keep anyone from opening: the lock holds without our number in it.
        name_ourselves(&mut file).unwrap_or_default();
        Ok(Self { _file: file })
    }
}
