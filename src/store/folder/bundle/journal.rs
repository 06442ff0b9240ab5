//! What the last import did, so that it can be taken back even where it broke off.
//!
//! It stands in `last-import.json` before it is done, marked as unfinished until it is. An import after
//! one that broke off goes on with the same journal: both are then taken back together.

use super::{BundleError, MOST_BYTES, TakenBack, VERSION, check, entry::JournalEntry};
use crate::{
    model::{Oven, Thermometer},
    store::{
        atomic,
        error::StoreError,
        folder::Store,
        json,
        migrate::{FOLDERS, Stored},
        paths, read,
    },
};
use serde::{Deserialize, Serialize};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::PathBuf,
};

/// What the last import did.
const JOURNAL: &str = "last-import.json";
/// A journal larger than this is not read, so none is written: texts taken in and texts before, quoted.
const MOST_JOURNAL: u64 = 4 * MOST_BYTES;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Journal {
    version: u32,
    /// Whether it broke off, or is under way. Left out when it is not, as older programs wrote it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    unfinished: bool,
    entries: Vec<JournalEntry>,
}

impl JournalEntry {
    fn name(&self) -> String {
        format!("{}/{}", self.kind, self.id)
    }

    fn is_of(&self, other: &Self) -> bool {
        self.kind == other.kind && self.id == other.id
    }
}

/// What taking back does with one entry.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fate {
    /// It is gone already, or never came.
    Nothing,
    /// It is as before already: a taking back that broke off.
    Done,
    /// It was changed since and stays.
    Stays,
    /// It goes, or what was there before comes back.
    Back,
}

impl Fate {
    fn of(entry: &JournalEntry, now: Option<&String>) -> Self {
        match now {
            None => Self::Nothing,
            Some(now) if *now == entry.taken => Self::Back,
            Some(now) if Some(now) == entry.before.as_ref() => Self::Done,
            Some(_) => Self::Stays,
        }
    }
}

impl Store {
    /// Writes what an import takes in, journal first.
    pub(super) fn carry_out(&self, entries: Vec<JournalEntry>) -> Result<(), BundleError> {
        // One that cannot be read holds nothing to go on with.
        let last = self.journal().ok().flatten();
        let (broken_off, finished) = match last {
            Some(journal) if journal.unfinished => (Some(journal), None),
            finished => (None, finished),
        };
        if entries.is_empty() && broken_off.is_none() {
            return Ok(());
        }
        let mut writes = Vec::new();
        for entry in &entries {
            let path = self.writable(&entry.kind, &entry.id, || entry.name())?;
            writes.push((path, entry.taken.clone()));
        }
        let mut journal = Journal {
            version: VERSION,
            unfinished: true,
            entries: joined(broken_off.map(|j| j.entries).unwrap_or_default(), entries),
        };
        // It can no longer be taken back, and has the only copy.
        for entry in finished.iter().flat_map(|j| &j.entries) {
            self.keep_replaced(entry)?;
        }
        self.write_journal(&journal)?;
        for (path, text) in &writes {
            self.put(path, text)?;
        }
        journal.unfinished = false;
        Ok(self.write_journal(&journal)?)
    }

    /// Takes the last import back: what it added is set aside, what it replaced is put back.
    ///
    /// What was changed since stays as it is, and so does an oven or thermometer that something which
    /// stays belongs to. What it replaced and cannot put back goes under `removed/`.
    ///
    /// # Errors
    /// [`BundleError::NothingToUndo`], or the disk's trouble.
    pub fn undo_import(&self) -> Result<TakenBack, BundleError> {
        let Some(journal) = self.journal()? else {
            return Err(BundleError::NothingToUndo {
                folder: self.root.clone(),
            });
        };
        let mut fates = Vec::new();
        for entry in &journal.entries {
            let now = self.text_here(&entry.kind, &entry.id)?;
            fates.push((entry, Fate::of(entry, now.as_ref())));
        }
        let needed = self.still_needed(&fates)?;
        let mut done = TakenBack::default();
        for (entry, fate) in fates {
            if [Fate::Nothing, Fate::Stays].contains(&fate) {
                done.set_aside.extend(self.keep_replaced(entry)?);
            }
            match fate {
                Fate::Nothing => {}
                Fate::Done => done.undone.push(entry.name()),
                Fate::Stays => done.left.push(entry.name()),
                Fate::Back => match needed.get(&(entry.kind.clone(), entry.id.clone())) {
                    Some(by) if entry.before.is_none() => {
                        done.needed.push(format!("{} (by {by})", entry.name()));
                    }
                    Some(_) | None => {
                        self.take_back(entry)?;
                        done.undone.push(entry.name());
                    }
                },
            }
        }
        let path = self.root.join(JOURNAL);
        fs::remove_file(&path).map_err(|e| StoreError::write(&path, e))?;
        Ok(done)
    }

    fn take_back(&self, entry: &JournalEntry) -> Result<(), StoreError> {
        let file = self.writable(&entry.kind, &entry.id, || entry.name())?;
        match &entry.before {
            Some(before) => atomic::put(&file, before.as_bytes(), self.write)
                .map_err(|e| StoreError::write(&file, e)),
            None => self.remove_file(&file).map(drop),
        }
    }

    /// Writes what an entry replaced under `removed/`; returns where, `None` where it replaced nothing.
    fn keep_replaced(&self, entry: &JournalEntry) -> Result<Option<PathBuf>, StoreError> {
        let Some(before) = &entry.before else {
            return Ok(None);
        };
        let file = paths::file(&self.root, &entry.kind, &entry.id);
        let aside = self.free_name(&file, paths::REMOVED)?;
        atomic::put(&aside, before.as_bytes(), self.write)
            .map_err(|e| StoreError::write(&aside, e))?;
        Ok(Some(aside))
    }

    /// Lists the kind and id of what the things that stay belong to, each with the first of them.
    fn still_needed(
        &self,
        fates: &[(&JournalEntry, Fate)],
    ) -> Result<BTreeMap<(String, String), String>, StoreError> {
        let going: BTreeSet<(&str, &str)> = fates
            .iter()
            .filter(|(_, fate)| *fate == Fate::Back)
            .map(|(entry, _)| (entry.kind.as_str(), entry.id.as_str()))
            .collect();
        let mut texts: Vec<(String, String, String)> = fates
            .iter()
            .filter(|(_, fate)| *fate == Fate::Back)
            .filter_map(|(entry, _)| {
                Some((entry.kind.clone(), entry.id.clone(), entry.before.clone()?))
            })
            .collect();
        for &folder in FOLDERS {
            // These belong to nothing else, so what they hold does not matter.
            if [Oven::FOLDER, Thermometer::FOLDER].contains(&folder) {
                continue;
            }
            for id in self.ids(folder)? {
                // What cannot be read is in nobody's way: it was left out at the start and told.
                if !going.contains(&(folder, id.as_str()))
                    && let Ok(Some(text)) = self.text_here(folder, &id)
                {
                    texts.push((folder.to_owned(), id, text));
                }
            }
        }
        let mut needed = BTreeMap::new();
        for (folder, id, text) in texts {
            let rests_on = check(&folder, &text).map(|thing| thing.rests_on);
            for (kind, of) in rests_on.unwrap_or_default() {
                needed
                    .entry((kind.to_owned(), of))
                    .or_insert_with(|| format!("{folder}/{id}"));
            }
        }
        Ok(needed)
    }

    fn journal(&self) -> Result<Option<Journal>, BundleError> {
        let path = self.root.join(JOURNAL);
        match fs::symlink_metadata(&path) {
            Ok(about) if about.is_symlink() => {
                return Err(BundleError::JournalDamaged {
                    path,
                    why: "it is a link that leads elsewhere".to_owned(),
                });
            }
            Ok(_there) => {}
            Err(_none) => return Ok(None),
        }
        let text = read::text(&path, MOST_JOURNAL).map_err(|e| StoreError::read(&path, e))?;
        let damaged = |why: String| BundleError::JournalDamaged {
            path: path.clone(),
            why,
        };
        let journal: Journal = serde_json::from_str(&text).map_err(|e| damaged(e.to_string()))?;
        for entry in &journal.entries {
            self.check_entry(entry).map_err(damaged)?;
        }
        Ok(Some(journal))
    }

    /// Checks an entry as its thing was checked on the way in, and that its file lies in the folder itself:
    /// whoever wrote the journal, nothing outside is touched.
    fn check_entry(&self, entry: &JournalEntry) -> Result<(), String> {
        let name = entry.name();
        let thing = check(&entry.kind, &entry.taken).map_err(|e| format!("{name}: {e}"))?;
        if thing.id != entry.id {
            return Err(format!("{name}: its file says {}", thing.id));
        }
        let file = paths::file(&self.root, &entry.kind, &entry.id);
        let folder = self.root.join(&entry.kind);
        for (place, what) in [(&folder, "folder"), (&file, "file")] {
            if fs::symlink_metadata(place).is_ok_and(|about| about.is_symlink()) {
                return Err(format!("{name}: its {what} is a link that leads elsewhere"));
            }
        }
        Ok(())
    }

    fn write_journal(&self, journal: &Journal) -> Result<(), StoreError> {
        let path = self.root.join(JOURNAL);
        let text = json::to_text(journal).map_err(|e| StoreError::NoForm {
            what: "the import".to_owned(),
            why: e.to_string(),
        })?;
        if text.len() as u64 > MOST_JOURNAL {
            return Err(StoreError::TooLarge {
                what: "the record that lets this import be taken back".to_owned(),
                bytes: text.len(),
                most: MOST_JOURNAL,
            });
        }
        atomic::put(&path, text.as_bytes(), self.write).map_err(|e| StoreError::write(&path, e))
    }
}

/// Puts the entries of an import behind those of the one that broke off before it.
fn joined(first: Vec<JournalEntry>, mut then: Vec<JournalEntry>) -> Vec<JournalEntry> {
    let mut out = Vec::new();
    for old in first {
        match then.iter_mut().find(|new| new.is_of(&old)) {
            // What the first half wrote is not what was there before the import.
            Some(new) if new.before.as_ref() == Some(&old.taken) => new.before = old.before,
            // The first half did not come to it: what is there now is what goes back.
            Some(_) => {}
            None => out.push(old),
        }
    }
    out.append(&mut then);
    out
}
