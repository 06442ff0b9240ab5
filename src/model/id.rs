//! Names that files and commands use: short, lower-case, safe on every file system.

use std::fmt;

/// Why a text cannot be an id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not a usable id; use 1 to 60 small letters, digits and dashes, like wall-oven")]
pub struct IdError(pub String);

fn check(text: &str) -> Result<String, IdError> {
    let fine = (1..=60).contains(&text.len())
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
        && !text.starts_with('-');
    if fine {
        Ok(text.to_owned())
    } else {
        Err(IdError(text.to_owned()))
    }
}

/// Turns a free name into id form: `Wall oven (left)` becomes `wall-oven-left`; one that says nothing in it is `nameless`.
pub fn slug(name: &str, nameless: &str) -> String {
    slug_within(name, 48, nameless)
}

fn slug_within(name: &str, most: usize, nameless: &str) -> String {
    let mut out = String::new();
    for c in name.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if let Some(plain) = plain(c) {
            out.push_str(plain);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.truncate(most);
    let trimmed = out.trim_end_matches('-');
    if trimmed.is_empty() {
        nameless.to_owned()
    } else {
        trimmed.to_owned()
    }
}

/// Writes a small Latin letter with what its alphabet adds in plain letters; an accent by itself as nothing.
fn plain(c: char) -> Option<&'static str> {
    Some(match c {
        'à' | 'á' | 'â' | 'ã' | 'å' | 'ā' | 'ă' | 'ą' => "a",
        'ä' | 'æ' => "ae",
        'ç' | 'ć' | 'č' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ė' | 'ę' | 'ě' => "e",
        'ğ' => "g",
        'ì' | 'í' | 'î' | 'ï' | 'ī' | 'į' | 'ı' => "i",
        'ł' | 'ľ' => "l",
        'ñ' | 'ń' | 'ň' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ø' | 'ō' | 'ő' => "o",
        'ö' | 'œ' => "oe",
        'ř' => "r",
        'ś' | 'š' | 'ş' | 'ș' => "s",
        'ß' => "ss",
        'ť' | 'ţ' | 'ț' => "t",
        'þ' => "th",
        'ù' | 'ú' | 'û' | 'ū' | 'ů' | 'ű' | 'ų' => "u",
        'ü' => "ue",
        'ý' | 'ÿ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        '\u{300}'..='\u{36f}' => "",
        _ => return None,
    })
}

macro_rules! id_type {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(String);

        impl $name {
            /// Takes a text as an id.
            ///
            /// # Errors
            /// [`IdError`] unless it is 1 to 60 small letters, digits and dashes.
            pub fn new(text: &str) -> Result<Self, IdError> {
                check(text).map(Self)
            }

            /// Makes an id of any words by bringing them into id form first.
            pub fn of_words(words: &str) -> Self {
                Self(slug_within(words, 60, "oven"))
            }

            /// Returns the id as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id_type!(
    /// The id of an oven.
    OvenId
);
id_type!(
    /// The id of a toast test.
    TestId
);
id_type!(
    /// The id of a bake log.
    BakeId
);
id_type!(
    /// The id of a round of thermometer readings.
    RoundId
);
id_type!(
    /// The id of a thermometer.
    ThermometerId
);
id_type!(
    /// The id of a baker's own dough.
    DoughId
);
id_type!(
    /// The id of a baking day.
    DayId
);
id_type!(
    /// The id of a recipe.
    RecipeId
);

/// Which recipe a plan or a bake is of; the name stays readable after the recipe is gone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecipeName {
    /// Its id.
    pub id: RecipeId,
    /// Its name at the time.
    pub name: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_ids() {
        assert_eq!(slug("Wall oven (left)", "oven"), "wall-oven-left");
        assert_eq!(slug("***", "oven"), "oven");
        assert_eq!(slug("\u{70e4}\u{7bb1}", "recipe"), "recipe");
        for (name, id) in [
            ("Bäckerei Groß", "baeckerei-gross"),
            ("Crème brûlée", "creme-brulee"),
            ("Smørrebrød Åse", "smorrebrod-ase"),
            ("Piñón, ça", "pinon-ca"),
            ("Cre\u{301}me", "creme"),
        ] {
            assert_eq!(slug(name, "oven"), id);
        }
        assert!(OvenId::new("../x").is_err());
        assert!(TestId::new("2026-11-25-still").is_ok());
        for words in [
            "Wall oven",
            "--",
            "é",
            "2026-11-25-wall-oven-2",
            &"x y ".repeat(40),
        ] {
            let id = OvenId::of_words(words);
            assert_eq!(OvenId::new(id.as_str()), Ok(id.clone()), "{words}");
        }
    }
}
