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
        let (written, unit) = self.written(known, unit)?;
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
        let same = |r: &&Recipe| r.name.to_lowercase() == name.to_lowercase();
        let taken = kitchen.recipes().iter().find(same);
        if taken.is_some_and(|r| known.is_none_or(|k| k.id != r.id)) {
            let why =
                format!("there is a recipe '{name}' already; choose another name, or edit it");
            return Err(refuse(Field::Name, typed)(why));
        }
        Ok(name)
    }

    fn written(
        &self,
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
        let in_celsius = Celsius::parse(text, TemperatureUnit::Celsius);
        let is_either = t.0 < COOL.0 && in_celsius.is_ok_and(|c| c.0 >= COOL.0);
        if typed.ends_with(|c: char| c.is_ascii_digit()) && is_either {
            let read = unit.show(t);
            let why = format!("{read} is hardly a baking temperature; write {typed}C or {typed}F");
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
        ..bake_kind(&recipe.kind)?.clone()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    type Change = fn(&mut RecipeDraft);

    const F: (TemperatureUnit, LengthUnit) = (TemperatureUnit::Fahrenheit, LengthUnit::Inches);

    fn draft(temperature: &str, way: Way) -> RecipeDraft {
        let text = |t: &str| Some(t.to_owned());
        RecipeDraft {
            name: text("plain biscuits"),
            temperature: text(temperature),
            way: Some(way),
            minutes: text("12"),
            kind: text("thin-cookie"),
            ..RecipeDraft::default()
        }
    }

    fn built(temperature: &str, way: Way) -> Recipe {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        draft(temperature, way).build(&kitchen, None, F).unwrap()
    }

    /// Common practice, no source: 25 F or 15 C between fan and no fan; gas mark 4 is 350 F.
    #[test]
    fn one_temperature_is_meant_however_it_was_written() {
        for (text, way, still, fan) in [
            ("350F", Way::NoFan, "350 F", "325 F"),
            ("325 F", Way::Fan, "350 F", "325 F"),
            ("4", Way::GasMark, "350 F", "325 F"),
            ("1/4", Way::GasMark, "225 F", "200 F"),
            ("gas 4", Way::NoFan, "350 F", "325 F"),
            ("Gas Mark 1/4", Way::NoFan, "225 F", "200 F"),
            ("180C", Way::NoFan, "180 C", "165 C"),
            ("275", Way::Fan, "300 F", "275 F"),
            ("165C", Way::Fan, "180 C", "165 C"),
        ] {
            let recipe = built(text, way);
            let show = |t| recipe.unit.show(t);
            assert_eq!(
                (show(still_air(&recipe)), show(with_fan(&recipe))),
                (still.to_owned(), fan.to_owned()),
                "{text}"
            );
            let kind = as_kind(&recipe).unwrap();
            assert_eq!(kind.own.as_ref(), Some(&recipe.id));
            assert_eq!(kind.recipe, still_air(&recipe));
            assert_eq!(
                (kind.name.as_str(), kind.time),
                ("plain biscuits", Minutes(12.0))
            );
        }
    }

    #[test]
    fn a_recipe_typed_anew_is_the_same() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        for (text, way) in [
            ("350F", Way::NoFan),
            ("165C", Way::Fan),
            ("1/2", Way::GasMark),
        ] {
            let recipe = built(text, way);
            let again = RecipeDraft::of(&recipe, LengthUnit::Centimetres);
            let again = again.build(&kitchen, Some(&recipe), F).unwrap();
            assert_eq!(again.written_words(), recipe.written_words());
            assert_eq!(again.tray, recipe.tray);
            let same = RecipeDraft::default().build(&kitchen, Some(&recipe), F);
            assert_eq!(same, Ok(recipe));
        }
        let mut changed = RecipeDraft {
            way: Some(Way::Fan),
            ..RecipeDraft::default()
        };
        let recipe = built("350F", Way::NoFan);
        let fan = changed.build(&kitchen, Some(&recipe), F).unwrap();
        assert_eq!(fan.written_words(), "350 F, fan");
        let plain = RecipeDraft {
            way: Some(Way::NoFan),
            ..RecipeDraft::default()
        };
        let back = plain.build(&kitchen, Some(&fan), F);
        assert_eq!(back, Ok(recipe.clone()));
        changed.way = Some(Way::GasMark);
        let gas = changed.build(&kitchen, Some(&recipe), F).unwrap();
        assert_eq!(gas.written_words(), "gas mark 4");
    }

    #[test]
    fn a_tray_that_goes_into_no_oven_is_refused_with_what_it_was_read_as() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let with = |tray: &str| {
            let draft = RecipeDraft {
                tray: Some(tray.to_owned()),
                minutes: Some("12,5".to_owned()),
                ..draft("350F", Way::NoFan)
            };
            draft.build(&kitchen, None, F)
        };
        let refused = with("46x33").unwrap_err();
        assert_eq!(refused.field, Field::Tray);
        assert!(
            refused
                .why
                .contains("46 in by 33 in goes into no oven here")
                && refused.why.contains("for centimetres write 46x33cm"),
            "{}",
            refused.why
        );
        let said = with("46x33in").unwrap_err().why;
        assert!(!said.contains("for centimetres"), "{said}");
        assert_eq!(with("46x33cm").unwrap().time, Minutes(12.5));
        assert!(with("13x18").is_ok(), "turned");
    }

    #[test]
    fn each_field_that_cannot_be_is_named_with_what_was_typed() {
        let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let cases: [(Change, Field, &str); 11] = [
            (
                |d| d.name = Some(" ".to_owned()),
                Field::Name,
                "needs a name",
            ),
            (
                |d| d.temperature = Some("hot".to_owned()),
                Field::Temperature,
                "'hot'",
            ),
            (
                |d| d.temperature = Some("900F".to_owned()),
                Field::Temperature,
                "900 F",
            ),
            (
                |d| d.temperature = None,
                Field::Temperature,
                "needs a temperature",
            ),
            (
                |d| d.minutes = Some("0".to_owned()),
                Field::Minutes,
                "0 min",
            ),
            (
                |d| d.minutes = Some("soon".to_owned()),
                Field::Minutes,
                "'soon'",
            ),
            (
                |d| d.minutes = Some("NaN".to_owned()),
                Field::Minutes,
                "NaN",
            ),
            (|d| d.shade = Some("9.7".to_owned()), Field::Shade, "'9.7'"),
            (|d| d.tray = Some("wide".to_owned()), Field::Tray, "'wide'"),
            (
                |d| d.pieces = Some("13x1".to_owned()),
                Field::Pieces,
                "13 x 1",
            ),
            (|d| d.kind = Some("stew".to_owned()), Field::Kind, "'stew'"),
        ];
        for (change, field, said) in cases {
            let mut wrong = draft("350F", Way::NoFan);
            change(&mut wrong);
            let refusal = wrong.build(&kitchen, None, F).unwrap_err();
            assert_eq!(refusal.field, field);
            assert!(refusal.why.contains(said), "{said}: {refusal}");
            assert!(refusal.why.contains("; "), "what to do: {refusal}");
        }
        let gas = draft("11", Way::GasMark).build(&kitchen, None, F);
        assert!(gas.unwrap_err().why.contains("'11' is no gas mark"));
        let first = draft("350F", Way::NoFan).build(&kitchen, None, F).unwrap();
        kitchen.save_recipe(first).unwrap();
        let mut second = draft("350F", Way::NoFan);
        second.name = Some("Plain Biscuits".to_owned());
        let refusal = second.build(&kitchen, None, F).unwrap_err();
        assert!(refusal.why.contains("already"), "{refusal}");
    }
}
