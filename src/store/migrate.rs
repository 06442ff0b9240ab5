//! Which version a stored file has, and how an older one is brought up to date.

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
use std::{borrow::Cow, ops::BitOr};

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

    /// Returns its id, which is also its file name.
    fn id(&self) -> &str;

    /// Returns the oven it belongs to; `None` where it serves them all.
    fn oven(&self) -> Option<&OvenId>;

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

impl Stored for Oven {
    type Form = OvenForm;
    const FOLDER: &'static str = "ovens";
    const WORD: &'static str = "oven";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        Some(&self.id)
    }
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
}

impl Stored for ToastTest {
    type Form = TestForm;
    const FOLDER: &'static str = "tests";
    const WORD: &'static str = "toast test";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        Some(&self.setup.oven)
    }
}

impl Stored for BakeLog {
    type Form = BakeForm;
    const FOLDER: &'static str = "bakes";
    const WORD: &'static str = "bake log";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        Some(&self.oven)
    }
}

impl Stored for AirRound {
    type Form = RoundForm;
    const FOLDER: &'static str = "readings";
    const WORD: &'static str = "round of readings";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        Some(&self.oven)
    }
    fn rests_on(&self) -> Vec<(&'static str, String)> {
        let oven = (Oven::FOLDER, self.oven.to_string());
        let thermometer = self.thermometer.iter();
        std::iter::once(oven)
            .chain(thermometer.map(|t| (Thermometer::FOLDER, t.to_string())))
            .collect()
    }
}

impl Stored for OwnDough {
    type Form = DoughForm;
    const FOLDER: &'static str = "doughs";
    const WORD: &'static str = "dough";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        None
    }
}

impl Stored for BakingDay {
    type Form = DayForm;
    const FOLDER: &'static str = "days";
    const WORD: &'static str = "baking day";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        None
    }
}

impl Stored for Thermometer {
    type Form = ThermometerForm;
    const FOLDER: &'static str = "thermometers";
    const WORD: &'static str = "thermometer";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        None
    }
    fn bare(&self) -> Option<Self> {
        Some(Self {
            name: self.id.to_string(),
            note: String::new(),
            bought: None,
            ..self.clone()
        })
    }
}

impl Stored for Recipe {
    type Form = RecipeForm;
    const FOLDER: &'static str = "recipes";
    const WORD: &'static str = "recipe";

    fn id(&self) -> &str {
        self.id.as_str()
    }
    fn oven(&self) -> Option<&OvenId> {
        None
    }
}
