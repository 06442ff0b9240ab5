//! The keys of the screens as JSON.

use serde::Serialize;

/// Every screen with its keys.
#[derive(Debug, Serialize)]
pub struct KeysJson<'t> {
    screens: Vec<ScreenJson<'t>>,
}

#[derive(Debug, Serialize)]
struct ScreenJson<'t> {
    screen: &'t str,
    keys: Vec<KeyJson<'t>>,
}

#[derive(Debug, Serialize)]
struct KeyJson<'t> {
    keys: &'t str,
    does: &'t str,
}

impl<'t> KeysJson<'t> {
    /// Takes each screen's title with its keys and what they do.
    pub fn new(tables: impl IntoIterator<Item = (&'t str, &'t [(String, &'static str)])>) -> Self {
        let key = |(keys, does): &'t (String, &'static str)| KeyJson { keys, does };
        let screens = tables.into_iter().map(|(screen, keys)| ScreenJson {
            screen,
            keys: keys.iter().map(key).collect(),
        });
        Self {
            screens: screens.collect(),
        }
    }
}
