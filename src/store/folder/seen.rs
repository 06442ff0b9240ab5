//! What each stored file held when it was last read or written, so that no save overwrites another's.
//!
//! The lock keeps a second rackshade away, but not a sync tool, an editor, or one that lost the lock file.

use sha2::{Digest, Sha256};
use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};

type Hash = [u8; 32];

/// Hashes of the stored files, and where versions were put that could not take their place.
#[derive(Debug, Default)]
pub(super) struct Seen(Mutex<Known>);

#[derive(Debug, Default)]
pub(super) struct Known {
    pub(super) hashes: BTreeMap<PathBuf, Hash>,
    pub(super) kept_beside: BTreeMap<PathBuf, PathBuf>,
}

impl Seen {
    pub(super) fn known<T>(&self, look: impl FnOnce(&mut Known) -> T) -> T {
        look(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Notes what was read in a file, unless another version waits beside it: which of the two counts is then
    /// still to be asked.
    pub(super) fn note_read(&self, path: &Path, text: &str) {
        if !self.known(|k| k.kept_beside.contains_key(path)) {
            self.note(path, text);
        }
    }

    /// Notes what a file holds.
    pub(super) fn note(&self, path: &Path, text: &str) {
        let hash = Sha256::digest(text).into();
        self.known(|k| k.hashes.insert(path.to_owned(), hash));
    }

    /// Forgets a file that is gone.
    pub(super) fn forget(&self, path: &Path) {
        self.known(|k| {
            k.hashes.remove(path);
            k.kept_beside.remove(path);
        });
    }

    pub(super) fn holds(&self, path: &Path, bytes: &[u8]) -> bool {
        let hash: Hash = Sha256::digest(bytes).into();
        self.known(|k| k.hashes.get(path) == Some(&hash))
    }
}
