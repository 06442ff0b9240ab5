//! Recipes of the baker's own: written down as typed, and taken for a kind of bake wherever one is asked for.

use super::{
    catalogue::{CatalogueError, bake_kind, bake_kinds},
    kitchen::Kitchen,
    toast::parse_size,
};
use crate::model::{text::joined, worded::worded};
use crate::{
    model::{BakeKind, GasMark, Mode, Recipe, RecipeError, Shade, Tray, Written},
    planner::dial::fan_lower,
    units::{Celsius, CelsiusDelta, Centimetres, LengthUnit, Minutes, TemperatureUnit, number},
};

/// A bare figure cooler than this, 200 F, was perhaps read in the other unit.
const COOL: Celsius = Celsius(93.0);
/// And one hotter than this, 572 F, where no oven tells how far the dials here go.
const HOT: Celsius = Celsius(300.0);

worded! {
    /// How a recipe's temperature was written, without the figure.
    #[derive(Default)]
    pub enum Way [words] {
        /// For an oven without a fan.
        #[default]
        NoFan: "no fan";
        /// For an oven with its fan on.
        Fan: "fan";
        /// As a gas mark.
        GasMark: "gas mark";
    }
}

impl Way {
    /// Returns the way a recipe was written.
    pub fn of(recipe: &Recipe) -> Self {
        match recipe.written {
            Written::NoFan(_) => Self::NoFan,
            Written::Fan(_) => Self::Fan,
            Written::Gas(_) => Self::GasMark,
        }
    }
}

/// A recipe as typed; what is `None` stays as it was, or is the usual in a new one.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RecipeDraft {
    /// Its name.
    pub name: Option<String>,
    /// Its temperature, or its gas mark.
    pub temperature: Option<String>,
    /// How that was written.
    pub way: Option<Way>,
    /// Minutes in the oven.
    pub minutes: Option<String>,
    /// The shade it should have; empty for none.
    pub shade: Option<String>,
    /// Outer size of the tray.
    pub tray: Option<String>,
    /// Pieces on a tray, along the door x front to back.
    pub pieces: Option<String>,
    /// Key of the kind of bake it browns like.
    pub kind: Option<String>,
    /// Free words.
    pub note: Option<String>,
}

worded! {
    /// A field of a recipe.
    pub enum Field [key] {
        /// Its name.
        Name: "name";
        /// Its temperature.
        Temperature: "temperature";
        /// Its gas mark.
        GasMark: "gas-mark";
        /// Its time.
        Minutes: "minutes";
        /// The wanted shade.
        Shade: "shade";
        /// The tray's size.
        Tray: "tray";
        /// The pieces on it.
        Pieces: "pieces";
        /// The kind of bake.
        Kind: "kind";
    }
}

/// What was typed into a field cannot be.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct Refusal {
    /// Which field.
    pub field: Field,
    /// What was typed.
    pub typed: String,
    /// What is wrong, and what to type.
    pub why: String,
}

/// Makes a refusal of what was typed.
fn refuse<E: ToString>(field: Field, typed: &str) -> impl FnOnce(E) -> Refusal {
    move |error| Refusal {
        field,
        typed: typed.to_owned(),
        why: error.to_string(),
    }
}

/// Returns what stands behind `gas` or `gas mark`, where a temperature was written so.
fn named_mark(text: &str) -> Option<&str> {
    let text = text.trim();
    let rest = text
        .get(3..)
        .filter(|_| text[..3].eq_ignore_ascii_case("gas"))?;
    let rest = rest.trim_start();
    let named = rest
        .get(..4)
        .is_some_and(|word| word.eq_ignore_ascii_case("mark"));
    Some(if named { rest[4..].trim_start() } else { rest })
}

impl RecipeDraft {
    /// Writes a known recipe as it would be typed, lengths in `lengths`.
    pub fn of(recipe: &Recipe, lengths: LengthUnit) -> Self {
        let figure = |t| format!("{} {}", tidy(recipe.unit.figure(t)), recipe.unit.letter());
        let tray = recipe.tray;
        Self {
            name: Some(recipe.name.clone()),
            temperature: Some(match recipe.written {
                Written::NoFan(t) | Written::Fan(t) => figure(t),
                Written::Gas(mark) => mark.to_string(),
            }),
            way: Some(Way::of(recipe)),
            minutes: Some(tidy(recipe.time.0)),
            shade: Some(recipe.wanted.map_or_else(String::new, |s| s.to_string())),
            tray: Some(format!(
                "{}x{} {}",
                tidy(lengths.figure(tray.width)),
                tidy(lengths.figure(tray.depth)),
                lengths.name()
            )),
            pieces: Some(format!("{}x{}", tray.across, tray.deep)),
            kind: Some(recipe.kind.clone()),
            note: Some(recipe.note.clone()),
        }
    }

    /// Builds the recipe: a new one with a fresh id, or `known` changed by what was typed. Bare figures are in `unit`
    /// and `lengths`.
    ///
    /// # Errors
    /// [`Refusal`] names the first field that cannot be, with what was typed.
    pub fn build(
        &self,
        kitchen: &Kitchen,
        known: Option<&Recipe>,
        (unit, lengths): (TemperatureUnit, LengthUnit),
    ) -> Result<Recipe, Refusal> {
        let name = self.named(kitchen, known)?;
        let (written, unit) = self.written(kitchen, known, unit)?;
        let kind = self.kind_of(known)?;
        let recipe = Recipe {
            id: known.map_or_else(|| kitchen.fresh_recipe_id(&name), |r| r.id.clone()),
            name,
            written,
            unit,
            time: self.time(known)?,
            wanted: self.wanted(known)?,
            tray: self.tray_of(kitchen, known, lengths)?,
            kind,
            note: match (&self.note, known) {
                (Some(note), _) => note.clone(),
                (None, Some(known)) => known.note.clone(),
                (None, None) => String::new(),
            },
        };
        recipe.check().map_err(|error| self.blame(error))
    }

    fn named(&self, kitchen: &Kitchen, known: Option<&Recipe>) -> Result<String, Refusal> {
        let old = known.map(|r| r.name.as_str());
        let typed = self.name.as_deref().or(old).unwrap_or_default();
        let name = typed.trim().to_owned();
        let own = known.map_or("", |r| r.id.as_str());
        let other: Option<&Recipe> = kitchen.other_named(own, &name);
        // A name from before this rule stays as it is.
        if let Some(other) = other.filter(|_| old != Some(&*name)) {
            let id = &other.id;
            let why = format!(
                "there is a recipe '{name}' already ({id}); choose another name, or edit it"
            );
            return Err(refuse(Field::Name, typed)(why));
        }
        Ok(name)
    }

    fn written(
        &self,
        kitchen: &Kitchen,
        known: Option<&Recipe>,
        unit: TemperatureUnit,
    ) -> Result<(Written, TemperatureUnit), Refusal> {
        let unit = known.map_or(unit, |r| r.unit);
        let way = self.way.or(known.map(Way::of)).unwrap_or_default();
        let Some(text) = &self.temperature else {
            return match known {
                // Only the way changes: the figure stays.
                Some(recipe) => Ok((rewritten(recipe, way), unit)),
                None => Err(refuse(Field::Temperature, "")(
                    "a recipe needs a temperature; give one like 350F, or a gas mark",
                )),
            };
        };
        let mark = match way {
            Way::GasMark => Some((Field::GasMark, named_mark(text).unwrap_or(text))),
            Way::NoFan => named_mark(text).map(|mark| (Field::Temperature, mark)),
            Way::Fan => None,
        };
        if let Some((field, mark)) = mark {
            let mark = GasMark::parse(mark).map_err(refuse(field, text))?;
            return Ok((Written::Gas(mark), unit));
        }
        let t = Celsius::parse(text, unit).map_err(refuse(Field::Temperature, text))?;
        let typed = text.trim();
        if let Some(why) = unsure(kitchen, typed, unit) {
            return Err(refuse(Field::Temperature, text)(why));
        }
        let unit = match text.trim().chars().last() {
            Some('f' | 'F') => TemperatureUnit::Fahrenheit,
            Some('c' | 'C') => TemperatureUnit::Celsius,
            Some(_) | None => unit,
        };
        let written = match way {
            Way::Fan => Written::Fan(t),
            Way::NoFan | Way::GasMark => Written::NoFan(t),
        };
        Ok((written, unit))
    }

    fn time(&self, known: Option<&Recipe>) -> Result<Minutes, Refusal> {
        match (&self.minutes, known) {
            (Some(text), _) => {
                let bare = text.trim().trim_end_matches("min").trim();
                let why = format!("'{text}' is not a number of minutes; write it like 12");
                let minutes = number(bare).ok_or(why);
                Ok(Minutes(minutes.map_err(refuse(Field::Minutes, text))?))
            }
            (None, Some(known)) => Ok(known.time),
            (None, None) => Err(refuse(Field::Minutes, "")(
                "a recipe needs its time; give the minutes, like 12",
            )),
        }
    }

    fn wanted(&self, known: Option<&Recipe>) -> Result<Option<Shade>, Refusal> {
        match &self.shade {
            None => Ok(known.and_then(|r| r.wanted)),
            Some(text) if text.trim().is_empty() => Ok(None),
            Some(text) => {
                let why = format!("'{text}' is no shade; give 0 to 9 in half steps, like 4.5");
                let shade = number(text).and_then(|value| Shade::from_value(value).ok());
                shade
                    .map(Some)
                    .ok_or(why)
                    .map_err(refuse(Field::Shade, text))
            }
        }
    }

    fn tray_of(
        &self,
        kitchen: &Kitchen,
        known: Option<&Recipe>,
        lengths: LengthUnit,
    ) -> Result<Tray, Refusal> {
        let mut tray = known.map_or(Tray::HALF_SHEET, |r| r.tray);
        if let Some(text) = &self.tray {
            let size = parse_size(text, lengths).map_err(refuse(Field::Tray, text))?;
            in_an_oven(kitchen, text, size, lengths).map_err(refuse(Field::Tray, text))?;
            // Written to a tenth: who leaves it as it was written leaves the tray as it was.
            let moved = (size.0.0 - tray.width.0)
                .abs()
                .max((size.1.0 - tray.depth.0).abs());
            if moved > 0.05 + 1e-9 {
                (tray.width, tray.depth) = size;
            }
        }
        if let Some(text) = &self.pieces {
            let pair = text.split_once(['x', 'X', '\u{d7}']);
            let figures = pair.and_then(|(across, deep)| {
                Some((across.trim().parse().ok()?, deep.trim().parse().ok()?))
            });
            let why = format!("'{text}' is no number of pieces; write columns x rows, like 4x3");
            (tray.across, tray.deep) = figures.ok_or(why).map_err(refuse(Field::Pieces, text))?;
        }
        Ok(tray)
    }

    fn kind_of(&self, known: Option<&Recipe>) -> Result<String, Refusal> {
        match (&self.kind, known) {
            (Some(key), _) => {
                let kind = bake_kind(key).map_err(refuse(Field::Kind, key))?;
                Ok(kind.key.clone())
            }
            (None, Some(known)) => Ok(known.kind.clone()),
            (None, None) => {
                let keys = joined(bake_kinds().iter().map(|k| &k.key), ", ");
                let why =
                    format!("a recipe needs a kind of bake that it browns like; use one of {keys}");
                Err(refuse(Field::Kind, "")(why))
            }
        }
    }

    /// Names the field that a check of the whole has something against.
    fn blame(&self, error: RecipeError) -> Refusal {
        let (field, typed) = match error {
            RecipeError::NoName => (Field::Name, &self.name),
            RecipeError::GasMark(_) => (Field::GasMark, &self.temperature),
            RecipeError::Temperature { .. } => (Field::Temperature, &self.temperature),
            RecipeError::Time(_) => (Field::Minutes, &self.minutes),
            RecipeError::Tray(_) => (Field::Tray, &self.tray),
            RecipeError::Pieces(..) => (Field::Pieces, &self.pieces),
        };
        let typed = typed.as_deref().unwrap_or_default();
        refuse(field, typed)(error)
    }
}

/// Asks which unit a bare figure is in where nobody here bakes so in `unit`, and somebody would in the other.
fn unsure(kitchen: &Kitchen, typed: &str, unit: TemperatureUnit) -> Option<String> {
    let is_bare = typed.ends_with(|c: char| c.is_ascii_digit());
    let dials = kitchen.ovens().iter().map(|o| o.dial.highest.0);
    // Half a degree of grace: a figure typed in the other unit is rounded.
    let highest = dials.reduce(f64::max).unwrap_or(HOT.0) + 0.5;
    let read = |unit| Celsius::parse(typed, unit).ok().filter(|_| is_bare);
    let (f, c) = (
        read(TemperatureUnit::Fahrenheit)?.0,
        read(TemperatureUnit::Celsius)?.0,
    );
    match unit {
        TemperatureUnit::Fahrenheit if f < COOL.0 && c >= COOL.0 => Some(format!(
            "{typed} F is hardly a baking temperature; write {typed}C or {typed}F"
        )),
        TemperatureUnit::Celsius if c > highest && (COOL.0..=highest).contains(&f) => Some(
            format!("{typed} C is hotter than any oven here gets; write {typed}F or {typed}C"),
        ),
        TemperatureUnit::Fahrenheit | TemperatureUnit::Celsius => None,
    }
}

/// Checks that a tray goes into one of the ovens on record, be it turned: a wider one was read in another unit than it
/// was meant. The usual tray is never refused, nor any in a kitchen without ovens.
fn in_an_oven(
    kitchen: &Kitchen,
    typed: &str,
    (width, depth): (Centimetres, Centimetres),
    lengths: LengthUnit,
) -> Result<(), String> {
    let ovens = kitchen.ovens().iter();
    let sides = ovens.map(|o| o.cavity.width.0.max(o.cavity.depth.0));
    let Some(widest) = sides.reduce(f64::max) else {
        return Ok(());
    };
    // A half sheet may be written 46x33 cm, or 18.1 in.
    if width.0.max(depth.0) <= widest.max(46.0) + 0.1 {
        return Ok(());
    }
    let [width, depth, widest] =
        [width, depth, Centimetres(widest)].map(|length| lengths.show(length));
    let typed = typed.trim();
    let hint = if typed.ends_with(|c: char| c.is_ascii_digit()) && lengths == LengthUnit::Inches {
        format!("for centimetres write {typed}cm")
    } else {
        "give the tray's outer size, along the door x front to back".to_owned()
    };
    Err(format!(
        "a tray of {width} by {depth} goes into no oven here, the widest is {widest}; {hint}"
    ))
}

/// Writes a figure without needless decimals.
fn tidy(figure: f64) -> String {
    let rounded = (figure * 10.0).round() / 10.0;
    format!("{rounded}")
}

/// The same figure, written for another oven; only from and to a gas mark it is another.
fn rewritten(recipe: &Recipe, way: Way) -> Written {
    match (way, recipe.written) {
        (Way::NoFan, Written::NoFan(t) | Written::Fan(t)) => Written::NoFan(t),
        (Way::Fan, Written::NoFan(t) | Written::Fan(t)) => Written::Fan(t),
        (Way::NoFan, Written::Gas(_)) => Written::NoFan(still_air(recipe)),
        (Way::Fan, Written::Gas(_)) => Written::Fan(with_fan(recipe)),
        (Way::GasMark, Written::Gas(mark)) => Written::Gas(mark),
        (Way::GasMark, _) => Written::Gas(GasMark::nearest(still_air(recipe))),
    }
}

/// What a fan is set lower in the recipe's unit.
fn lower(unit: TemperatureUnit) -> CelsiusDelta {
    fan_lower(Mode::Fan, unit).unwrap_or(CelsiusDelta(0.0))
}

/// Returns a recipe's temperature without a fan (the customary tables: common practice, no source).
pub fn still_air(recipe: &Recipe) -> Celsius {
    match recipe.written {
        Written::NoFan(t) => t,
        Written::Fan(t) => t + lower(recipe.unit),
        Written::Gas(mark) => mark.temperature(),
    }
}

/// Returns a recipe's temperature with a fan (the customary tables: common practice, no source).
pub fn with_fan(recipe: &Recipe) -> Celsius {
    match recipe.written {
        Written::Fan(t) => t,
        Written::NoFan(_) | Written::Gas(_) => still_air(recipe) + -lower(recipe.unit),
    }
}

/// Takes a recipe for a kind of bake: its kind's curve, with its own name, temperature and time.
///
/// # Errors
/// [`CatalogueError::NoSuchKind`] when the kind it browns like is not known here.
pub fn as_kind(recipe: &Recipe) -> Result<BakeKind, CatalogueError> {
    Ok(BakeKind {
        name: recipe.name.clone(),
        recipe: still_air(recipe),
        time: recipe.time,
        own: Some(recipe.id.clone()),
        for_fan: matches!(recipe.written, Written::Fan(_)),
        ..bake_kind(&recipe.kind)?.clone()
    })
}

#[cfg(test)]
mod tests;
