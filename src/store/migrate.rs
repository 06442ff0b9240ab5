//! What is stored, which version a file of it has, and how an older one is brought up to date.

use super::v1::{
    BakeForm, DayForm, DoughForm, Form, FormError, OvenForm, RecipeForm, RoundForm, TestForm,
    ThermometerForm,
};
use crate::{
    model::{
        AirRound, BakeLog, Oven, OvenId, Plate, Recipe, Thermometer, ToastTest,
        day::BakingDay,
        rising::OwnDough,
        text::{one_line, steers},
    },
    units::LengthUnit,
};
use serde::{Deserialize, Serialize, de::DeserializeOwned};
use serde_json::Value;
use std::{borrow::Cow, cmp::Ordering, ops::BitOr};

/// The version this program writes.
pub(crate) const CURRENT: u32 = 3;

/// Why the text of a file could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// Written by a later version of the program: its format.
    #[error(
        "it has format version {0}, written by a newer rackshade; this one reads up to {CURRENT}"
    )]
    Newer(u32),
    /// It is not well-formed, or not one of ours.
    #[error("{0}")]
    Damaged(String),
}

/// A thing kept in a file of its own.
pub(crate) trait Stored: Sized + PartialEq + TryFrom<Self::Form, Error = FormError> {
    /// How it is written.
    type Form: Form + DeserializeOwned + Serialize + for<'v> From<&'v Self>;
    /// The folder its files lie in.
    const FOLDER: &'static str;
    /// What it is called in messages.
    const WORD: &'static str;

    /// Whether its list goes by time, oldest first, rather than by id.
    const BY_TIME: bool = false;

    /// Returns the list that has all of its kind.
    fn list(contents: &Contents) -> &[Self];

    /// Returns the list that has all of its kind, to be changed.
    fn list_mut(contents: &mut Contents) -> &mut Vec<Self>;

    /// Returns its id, which is also its file name.
    fn id(&self) -> &str;

    /// Returns which of two comes first in the list.
    fn order(&self, other: &Self) -> Ordering {
        self.id().cmp(other.id())
    }

    /// Returns what the baker calls it, where it has a name.
    fn name(&self) -> Option<&str> {
        None
    }

    /// Returns the oven it belongs to; `None` where it serves them all.
    fn oven(&self) -> Option<&OvenId> {
        None
    }

    /// Returns the kind and id of everything it means nothing without.
    fn rests_on(&self) -> Vec<(&'static str, String)> {
        let oven = self.oven().map(|id| (Oven::FOLDER, id.to_string()));
        oven.into_iter().collect()
    }

    /// Returns it without what two kitchens may have otherwise and still mean the same piece of
    /// equipment; `None` for what nothing else rests on.
    fn bare(&self) -> Option<Self> {
        None
    }

    /// Reads the text of a file of any version up to the current one.
    ///
    /// # Errors
    /// [`ReadError`]: written by a newer program, or damaged.
    fn decode(text: &str) -> Result<Self, ReadError> {
        read(text)
    }

    /// Writes the text of a file of the current version.
    ///
    /// # Errors
    /// [`FormError`] when some figure has no stored form (not a number).
    fn encode(&self) -> Result<String, FormError> {
        write(self, &Self::Form::from(self))
    }
}

/// Reads a form of version 1, 2 or 3: 2 writes times otherwise, 3 has the plate of an oven and what a recipe adds.
///
/// A version with other fields gets its own arm here, and the older form a step up to the newer one, so
/// that every older file is read through the chain and none needs a tool of its own.
fn read<T: Stored>(text: &str) -> Result<T, ReadError> {
    let text = &*one_lined(text);
    match serde_json::from_str::<T::Form>(text) {
        Ok(form) => {
            check_version(form.version())?;
            T::try_from(form).map_err(|e| ReadError::Damaged(e.to_string()))
        }
        Err(e) => {
            // A newer file may have fields this program does not know: say that, not "damaged".
            if let Ok(header) = serde_json::from_str::<Header>(text) {
                check_version(header.version)?;
            }
            Err(ReadError::Damaged(e.to_string()))
        }
    }
}

/// Keeps every word in a file to one line that steers no terminal, whoever wrote it.
///
/// Text that is in order, which is nearly all, is only looked over.
fn one_lined(text: &str) -> Cow<'_, str> {
    let may_steer = |c: char| !matches!(c, '\n' | '\r' | '\t') && steers(c);
    if !text.contains('\\') && !text.chars().any(may_steer) {
        return Cow::Borrowed(text);
    }
    // A damaged one stays as it is: whoever reads it next says what is wrong with it.
    let mut value = serde_json::from_str::<Value>(text).unwrap_or_default();
    if clean(&mut value) {
        Cow::Owned(value.to_string())
    } else {
        Cow::Borrowed(text)
    }
}

/// Cleans every text in a value, and tells whether there was anything to clean.
fn clean(value: &mut Value) -> bool {
    match value {
        Value::String(words) => match one_line(words) {
            Cow::Borrowed(_) => false,
            Cow::Owned(cleaned) => {
                *words = cleaned;
                true
            }
        },
        Value::Array(list) => list.iter_mut().map(clean).fold(false, BitOr::bitor),
        Value::Object(fields) => fields.values_mut().map(clean).fold(false, BitOr::bitor),
        Value::Null | Value::Bool(_) | Value::Number(_) => false,
    }
}

/// Only the version, whatever else the file holds.
#[derive(Deserialize)]
struct Header {
    version: u32,
}

fn check_version(version: u32) -> Result<(), ReadError> {
    match version {
        1..=CURRENT => Ok(()),
        newer if newer > CURRENT => Err(ReadError::Newer(newer)),
        older => Err(ReadError::Damaged(format!(
            "version is {older}, expected 1 to {CURRENT}"
        ))),
    }
}

fn write<T: Stored>(value: &T, form: &T::Form) -> Result<String, FormError> {
    let text = super::json::to_text(form).map_err(|e| FormError(e.to_string()))?;
    if let Cow::Owned(cleaned) = one_lined(&text) {
        // Words that steer are stored without that, so what is read back cannot be just the same.
        let cleaned = serde_json::from_str::<Value>(&cleaned)
            .and_then(|value| super::json::to_text(&value))
            .map_err(|e| FormError(e.to_string()))?;
        return T::decode(&cleaned)
            .map(|_sound| cleaned)
            .map_err(|e| FormError(e.to_string()));
    }
    // What could not be read back must never replace a good file.
    match T::decode(&text) {
        Ok(back) if back == *value => Ok(text),
        Ok(_) => Err(FormError(
            "some figure does not survive being written".to_owned(),
        )),
        Err(e) => Err(FormError(e.to_string())),
    }
}

/// Lists every kind of thing once: where [`Contents`] has it, how and where it is stored, what it is called; then,
/// where it has them, the oven it belongs to, the time its list goes by, its name, and what it does otherwise.
macro_rules! stored {
    ($(
        $(#[$about:meta])*
        $list:ident: $kind:ident, $form:ident, $folder:literal, $word:literal
        $(, oven $($oven:ident).+)? $(, time $when:expr)? $(, name $name:ident)? $(, { $($own:tt)+ })?;
    )+) => {
        /// What a data folder held when it was opened.
        #[derive(Debug, Clone, Default, PartialEq)]
        pub struct Contents {
            $($(#[$about])* pub $list: Vec<$kind>,)+
        }

        /// Every folder that holds files of one kind.
        pub(super) const FOLDERS: &[&str] = &[$($folder),+];

        $(impl Stored for $kind {
            type Form = $form;
            const FOLDER: &'static str = $folder;
            const WORD: &'static str = $word;

            fn list(contents: &Contents) -> &[Self] {
                &contents.$list
            }

            fn list_mut(contents: &mut Contents) -> &mut Vec<Self> {
                &mut contents.$list
            }

            fn id(&self) -> &str {
                self.id.as_str()
            }

            $(fn oven(&self) -> Option<&OvenId> {
                Some(&self.$($oven).+)
            })?

            $(const BY_TIME: bool = true;

            fn order(&self, other: &Self) -> Ordering {
                let when: fn(&Self) -> _ = $when;
                (when(self), self.id()).cmp(&(when(other), other.id()))
            })?

            $(fn name(&self) -> Option<&str> {
                Some(&self.$name)
            })?

            $($($own)+)?
        })+
    };
}

stored! {
    /// Ovens by id.
    ovens: Oven, OvenForm, "ovens", "oven", oven id, name name, {
        fn rests_on(&self) -> Vec<(&'static str, String)> {
            Vec::new()
        }

        fn bare(&self) -> Option<Self> {
            Some(Self {
                name: self.id.to_string(),
                note: String::new(),
                visits: Vec::new(),
                lengths: LengthUnit::Centimetres,
                plate: Plate::default(),
                ..self.clone()
            })
        }
    };
    /// Toast tests by id.
    tests: ToastTest, TestForm, "tests", "toast test", oven setup.oven, time |t| t.when;
    /// Bake logs by id.
    bakes: BakeLog, BakeForm, "bakes", "bake log", oven oven, time |b| b.started;
    /// Rounds of readings by id.
    rounds: AirRound, RoundForm, "readings", "round of readings", oven oven, time AirRound::span, {
        fn rests_on(&self) -> Vec<(&'static str, String)> {
            let oven = (Oven::FOLDER, self.oven.to_string());
            let thermometer = self.thermometer.iter();
            std::iter::once(oven)
                .chain(thermometer.map(|t| (Thermometer::FOLDER, t.to_string())))
                .collect()
        }
    };
    /// Thermometers by id.
    thermometers: Thermometer, ThermometerForm, "thermometers", "thermometer", name name, {
        fn bare(&self) -> Option<Self> {
            Some(Self {
                name: self.id.to_string(),
                note: String::new(),
                bought: None,
                ..self.clone()
            })
        }
    };
    /// Recipes by id.
    recipes: Recipe, RecipeForm, "recipes", "recipe", name name;
    /// The baker's own doughs by id.
    doughs: OwnDough, DoughForm, "doughs", "dough", name name;
    /// Baking days by id.
    days: BakingDay, DayForm, "days", "baking day", time |d| d.begun;
}
