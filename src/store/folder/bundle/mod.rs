//! Ovens with all that belongs to them as one file: written, checked, taken in and taken back.
//!
//! A bundle holds each stored file as it is, under its kind and id. Everything in it is checked, and
//! set against what is here, before the first byte is written. What is then done, and how it is taken
//! back, is in `journal`.

mod entry;
mod journal;

use self::entry::JournalEntry;
use super::Store;
use crate::{
    model::{
        AirRound, BakeLog, Oven, OvenId, Plate, Recipe, Thermometer, ToastTest, rising::OwnDough,
    },
    store::{
        error::StoreError,
        json,
        migrate::{Contents, ReadError, Stored},
        read,
    },
};
use serde::{Deserialize, Serialize};
use serde_json::{Value, value::RawValue};
use std::{
    collections::BTreeSet,
    io,
    path::{Path, PathBuf},
};

/// The version of the bundle's own form; each file in it has its own.
const VERSION: u32 = 2;
/// The version of a bundle without recipes and doughs, which an older program reads too.
const WITHOUT_RECIPES: u32 = 1;
/// What marks a file as one of ours.
const MARK: &str = "rackshade bundle";
/// A bundle larger than this is none of ours.
const MOST_BYTES: u64 = 64 << 20;

/// Why a bundle was not taken in; nothing was then changed.
#[derive(Debug, thiserror::Error)]
pub enum BundleError {
    /// The disk.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// More than we would ever write.
    #[error("{} is larger than {} MiB, which no kitchen's file is; nothing was taken in, check that it is the right file", .path.display(), MOST_BYTES >> 20)]
    Huge {
        /// The file.
        path: PathBuf,
    },
    /// One thing in it that the store would not read again.
    #[error("{} has {name} of {} KiB, and no file above {} KiB is read again; nothing was taken in, make it smaller where it came from and export it again", .path.display(), .bytes.div_ceil(1024), super::MOST_BYTES >> 10)]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Which thing.
        name: String,
        /// How large its own file would be.
        bytes: usize,
    },
    /// Not whole.
    #[error("{} is damaged: {why}; nothing was taken in, export it again where it came from", .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong, where.
        why: String,
    },
    /// The record of the last import is not as we wrote it.
    #[error("{} cannot be trusted: {why}; nothing was taken back, move that file away, and remove by hand what was imported", .path.display())]
    JournalDamaged {
        /// The record.
        path: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// Whole, but another program's.
    #[error("{} is not a file of rackshade's export; nothing was taken in, make one with: rackshade export --out FILE", .path.display())]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// Written by a newer program.
    #[error("{} has {what}, written by a newer rackshade; nothing was taken in, import it with the newer program", .path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Which version.
        what: String,
    },
    /// Other things of the same names are here.
    #[error(
        "{count} of the file differ from what has the same name here: {names}; nothing was taken in, say --keep (what is here stays) or --replace (the file's take its place)"
    )]
    Differ {
        /// How many.
        count: usize,
        /// The first few.
        names: String,
    },
    /// Nothing was imported.
    #[error("there is no import to take back in {}; the last one was taken back already, or none was made", .folder.display())]
    NothingToUndo {
        /// The data folder.
        folder: PathBuf,
    },
}

/// What to do where something of the same name, but not the same, is here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnDifference {
    /// Take nothing in and say which.
    Refuse,
    /// What is here stays.
    Keep,
    /// The file's take its place.
    Replace,
}

/// What an import does, or did: names as `kind id`.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Imported {
    /// Whether it was only checked.
    pub dry_run: bool,
    /// New here.
    pub added: Vec<String>,
    /// Here already, just the same.
    pub same: Vec<String>,
    /// Differ; what was here stays.
    pub kept: Vec<String>,
    /// Not taken in, because the oven or thermometer of its name here is another one: each with that.
    pub held_back: Vec<String>,
    /// Differ; the file's take their place.
    pub replaced: Vec<String>,
}

/// What taking an import back did.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct TakenBack {
    /// Set aside under `removed/`, or as it was before.
    pub undone: Vec<String>,
    /// Changed since the import: left as it is.
    pub left: Vec<String>,
    /// Left because something that stays belongs to it: each with the first such thing.
    pub needed: Vec<String>,
    /// Where it lies now what the import had replaced and could not be put back.
    pub set_aside: Vec<PathBuf>,
}

#[derive(Serialize)]
struct Bundle {
    format: String,
    version: u32,
    things: Vec<Thing>,
}

#[derive(Serialize)]
struct Thing {
    kind: String,
    id: String,
    file: Value,
}

/// What tells a bundle from other files, whatever else it holds.
#[derive(Deserialize)]
struct Head<'t> {
    #[serde(borrow)]
    format: Option<&'t RawValue>,
    #[serde(borrow)]
    version: Option<&'t RawValue>,
}

/// A bundle with its files as they stand in the text.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadBundle<'t> {
    #[serde(rename = "format")]
    _format: &'t str,
    #[serde(rename = "version")]
    _version: u32,
    #[serde(borrow)]
    things: Vec<ReadThing<'t>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadThing<'t> {
    kind: String,
    id: String,
    #[serde(borrow)]
    file: &'t RawValue,
}

/// A thing of a bundle that was checked.
struct Checked {
    folder: &'static str,
    word: &'static str,
    id: String,
    text: String,
    /// Kind and id of what it belongs to.
    rests_on: Vec<(&'static str, String)>,
    /// Its text without what may differ, where others rest on it.
    bare: Option<String>,
}

impl Checked {
    /// Tells whether both are the same piece of equipment, though perhaps named or noted otherwise.
    fn is_same_piece(&self, other: &Self) -> bool {
        self.bare == other.bare
    }

    fn name(&self) -> String {
        format!("{} {}", self.word, self.id)
    }
}

/// Lists every kind of thing that moves; a baking day stays with the kitchen it goes on in.
macro_rules! kinds {
    ($($thing:ty),+) => {
        fn things(contents: &Contents, oven: Option<&OvenId>) -> Result<Vec<Thing>, StoreError> {
            let mut out = Vec::new();
            $(for thing in <$thing>::list(contents) {
                // What belongs to no oven goes with each.
                if oven.is_none() || thing.oven().is_none() || thing.oven() == oven {
                    out.push(packed(thing)?);
                }
            })+
            Ok(out)
        }

        fn check(kind: &str, text: &str) -> Result<Checked, ReadError> {
            match kind {
                $(<$thing>::FOLDER => checked::<$thing>(text),)+
                other => Err(ReadError::Damaged(format!("'{other}' is no kind of file known here"))),
            }
        }
    };
}
kinds! { Oven, ToastTest, BakeLog, AirRound, Thermometer, Recipe, OwnDough }

fn packed<T: Stored>(thing: &T) -> Result<Thing, StoreError> {
    let fault = |why: String| StoreError::NoForm {
        what: format!("{} {}", T::WORD, thing.id()),
        why,
    };
    let text = thing.encode().map_err(|e| fault(e.to_string()))?;
    Ok(Thing {
        kind: T::FOLDER.to_owned(),
        id: thing.id().to_owned(),
        file: serde_json::from_str(&text).map_err(|e| fault(e.to_string()))?,
    })
}

fn checked<T: Stored>(text: &str) -> Result<Checked, ReadError> {
    let thing = T::decode(text)?;
    let text = |thing: &T| {
        thing
            .encode()
            .map_err(|e| ReadError::Damaged(e.to_string()))
    };
    Ok(Checked {
        folder: T::FOLDER,
        word: T::WORD,
        id: thing.id().to_owned(),
        text: text(&thing)?,
        rests_on: thing.rests_on(),
        bare: thing.bare().as_ref().map(text).transpose()?,
    })
}

/// Whether make, model, serial number and contact of ovens go into an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plates {
    /// They stay here.
    LeftOut,
    /// They go along.
    Taken,
}

/// Writes a bundle of one oven with all that belongs to it, or of everything.
///
/// # Errors
/// [`StoreError::NoForm`], a fault of the program.
pub fn bundle(
    contents: &Contents,
    oven: Option<&OvenId>,
    plates: Plates,
) -> Result<Vec<u8>, StoreError> {
    let without;
    let contents = match plates {
        Plates::Taken => contents,
        Plates::LeftOut => {
            let mut copy = contents.clone();
            for oven in &mut copy.ovens {
                oven.plate = Plate::default();
            }
            without = copy;
            &without
        }
    };
    let things = things(contents, oven)?;
    let newer = [Recipe::FOLDER, OwnDough::FOLDER];
    let version = if things.iter().any(|thing| newer.contains(&&*thing.kind)) {
        VERSION
    } else {
        WITHOUT_RECIPES
    };
    let bundle = Bundle {
        format: MARK.to_owned(),
        version,
        things,
    };
    let text = json::to_text(&bundle).map_err(|e| StoreError::NoForm {
        what: "the export".to_owned(),
        why: e.to_string(),
    })?;
    Ok(text.into_bytes())
}

/// Reads and checks a bundle.
fn read_bundle(path: &Path) -> Result<Vec<Checked>, BundleError> {
    let text = match read::text(path, MOST_BYTES) {
        Ok(text) => text,
        Err(e) if e.kind() == io::ErrorKind::FileTooLarge => {
            return Err(BundleError::Huge {
                path: path.to_owned(),
            });
        }
        Err(e) if e.kind() == io::ErrorKind::InvalidData => {
            return Err(BundleError::Foreign {
                path: path.to_owned(),
            });
        }
        Err(e) => return Err(StoreError::read(path, e).into()),
    };
    parse(path, &text)
}

/// Reads and checks the text of a bundle; each file in it stays text until its turn comes, so that a large one
/// takes little more memory than itself.
fn parse(path: &Path, text: &str) -> Result<Vec<Checked>, BundleError> {
    let damaged = |why: String| BundleError::Damaged {
        path: path.to_owned(),
        why,
    };
    let foreign = || BundleError::Foreign {
        path: path.to_owned(),
    };
    // Cut off is damaged; whole but without our mark is another program's.
    let head: Head<'_> = match serde_json::from_str(text) {
        Ok(head) => head,
        Err(e) if text.contains(MARK) => return Err(damaged(e.to_string())),
        Err(_not_ours) => return Err(foreign()),
    };
    let says = |part: Option<&RawValue>| part.map(|raw| raw.get().to_owned()).unwrap_or_default();
    if says(head.format) != format!("\"{MARK}\"") {
        return Err(foreign());
    }
    let version: u64 = says(head.version).parse().unwrap_or(0);
    if version > u64::from(VERSION) {
        return Err(BundleError::Newer {
            path: path.to_owned(),
            what: format!("version {version} of the export's form"),
        });
    }
    let bundle: ReadBundle<'_> = serde_json::from_str(text).map_err(|e| damaged(e.to_string()))?;
    let mut seen = BTreeSet::new();
    bundle
        .things
        .iter()
        .map(|thing| {
            let name = format!("{}/{}", thing.kind, thing.id);
            // Blanks may double it; more is not looked at.
            if thing.file.get().len() as u64 > 2 * super::MOST_BYTES {
                return Err(BundleError::TooLarge {
                    path: path.to_owned(),
                    name,
                    bytes: thing.file.get().len(),
                });
            }
            let found = check(&thing.kind, thing.file.get()).map_err(|e| match e {
                ReadError::Newer(v) => BundleError::Newer {
                    path: path.to_owned(),
                    what: format!("{name} of format version {v}"),
                },
                ReadError::Damaged(why) => damaged(format!("{name}: {why}")),
            })?;
            if found.id != thing.id {
                return Err(damaged(format!("{name}: its file says {}", found.id)));
            }
            if found.text.len() as u64 > super::MOST_BYTES {
                return Err(BundleError::TooLarge {
                    path: path.to_owned(),
                    name: found.name(),
                    bytes: found.text.len(),
                });
            }
            if !seen.insert((found.folder, found.id.clone())) {
                return Err(damaged(format!("{name} stands in it twice")));
            }
            Ok(found)
        })
        .collect()
}

/// Checks the text of a bundle as an import does, and returns how many things it holds.
///
/// # Errors
/// [`BundleError`] says what is wrong with it.
pub fn check_bundle(text: &str) -> Result<usize, BundleError> {
    parse(Path::new("the bundle"), text).map(|things| things.len())
}

/// Checks the text of a stored file of the kind that lies in `folder`, and returns it as it would be saved.
///
/// # Errors
/// What is wrong with it.
pub fn check_stored(folder: &str, text: &str) -> Result<String, ReadError> {
    check(folder, text).map(|thing| thing.text)
}

/// Gives an oven that came without a plate the one it has here: an export leaves it out, and taking that in
/// must not lose it.
fn keep_plate(thing: &mut Checked, here: &str) {
    if thing.folder != Oven::FOLDER {
        return;
    }
    let (Ok(mut theirs), Ok(mine)) = (Oven::decode(&thing.text), Oven::decode(here)) else {
        return;
    };
    if theirs.plate.is_empty() && !mine.plate.is_empty() {
        theirs.plate = mine.plate;
        if let Ok(text) = theirs.encode() {
            thing.text = text;
        }
    }
}

/// What has the name of a bundle's thing here.
enum Standing {
    /// Nothing.
    New,
    /// Just the same.
    Same,
    /// The same piece of equipment with another name, note or visit; its text.
    Otherwise(String),
    /// Something else; its text.
    Another(String),
}

impl Standing {
    fn differs(&self) -> bool {
        match self {
            Self::New | Self::Same => false,
            Self::Otherwise(_) | Self::Another(_) => true,
        }
    }
}

impl Store {
    /// Takes a bundle in, or with `dry` only says what it would do.
    ///
    /// What is here already and just the same is left alone.
    ///
    /// # Errors
    /// [`BundleError`]; nothing was then changed, unless it is the disk that failed half-way: what was
    /// done until then can be taken back.
    pub fn import(
        &self,
        path: &Path,
        on: OnDifference,
        dry: bool,
    ) -> Result<Imported, BundleError> {
        let things = self.set_against(read_bundle(path)?)?;
        let others: BTreeSet<(&str, &str)> = things
            .iter()
            .filter(|(_, standing)| matches!(standing, Standing::Another(_)))
            .map(|(thing, _)| (thing.folder, thing.id.as_str()))
            .collect();
        let differ: Vec<String> = things
            .iter()
            .filter(|(_, standing)| standing.differs())
            .map(|(thing, _)| thing.name())
            .collect();
        if on == OnDifference::Refuse && !differ.is_empty() {
            return Err(BundleError::Differ {
                count: differ.len(),
                names: differ[..differ.len().min(4)].join(", "),
            });
        }
        let mut done = Imported {
            dry_run: dry,
            ..Imported::default()
        };
        let mut entries = Vec::new();
        for (thing, standing) in &things {
            let owner = thing
                .rests_on
                .iter()
                .find(|(kind, id)| others.contains(&(*kind, id.as_str())));
            let before = match standing {
                Standing::Same => {
                    done.same.push(thing.name());
                    continue;
                }
                // Their tests would become mine, of an oven they were not made in.
                Standing::New => match owner {
                    Some((kind, id)) if on == OnDifference::Keep => {
                        done.held_back
                            .push(format!("{} ({kind}/{id})", thing.name()));
                        continue;
                    }
                    Some(_) | None => {
                        done.added.push(thing.name());
                        None
                    }
                },
                Standing::Otherwise(text) | Standing::Another(text) => {
                    if on != OnDifference::Replace {
                        done.kept.push(thing.name());
                        continue;
                    }
                    done.replaced.push(thing.name());
                    Some(text.clone())
                }
            };
            entries.push(JournalEntry {
                kind: thing.folder.to_owned(),
                id: thing.id.clone(),
                taken: thing.text.clone(),
                before,
            });
        }
        if !dry {
            self.carry_out(entries)?;
        }
        Ok(done)
    }

    /// Tells of each thing what has its name here.
    fn set_against(&self, things: Vec<Checked>) -> Result<Vec<(Checked, Standing)>, StoreError> {
        let mut out = Vec::new();
        for mut thing in things {
            let here = self.text_here(thing.folder, &thing.id)?;
            if let Some(here) = &here {
                keep_plate(&mut thing, here);
            }
            let standing = match here {
                None => Standing::New,
                Some(text) => match check(thing.folder, &text) {
                    Ok(here) if here.text == thing.text => Standing::Same,
                    Ok(here) if here.is_same_piece(&thing) => Standing::Otherwise(text),
                    Ok(_) | Err(_) => Standing::Another(text),
                },
            };
            out.push((thing, standing));
        }
        Ok(out)
    }

    /// Returns the text of a stored file; `None` where there is none.
    fn text_here(&self, folder: &str, id: &str) -> Result<Option<String>, StoreError> {
        let path = super::paths::file(&self.root, folder, id);
        match (self.read)(&path, super::MOST_BYTES) {
            Ok(text) => {
                self.seen.note_read(&path, &text);
                Ok(Some(text))
            }
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(e) if e.kind() == io::ErrorKind::FileTooLarge => Err(StoreError::LeftLarge {
                path,
                most: super::MOST_BYTES,
            }),
            Err(e) => Err(StoreError::read(&path, e)),
        }
    }
}

#[cfg(test)]
mod tests;
