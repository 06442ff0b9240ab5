//! What the program knows before anything is described: templates, kinds of bake, card, cautions.

pub use crate::store::assets::{
    CardShade, Occasion, OvenTemplate, bake_kinds, cautions, gas_cautions, oven_templates,
    shade_card,
};

use crate::model::{BakeKind, HeatSource, Oven, Plan, text::joined};

/// A key that is in no list.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CatalogueError {
    /// No kind of bake has that key.
    #[error("'{0}' is no kind of bake; use one of {1}")]
    NoSuchKind(String, String),
    /// No oven template has that key.
    #[error("'{0}' is no oven template; use one of {1}")]
    NoSuchTemplate(String, String),
}

/// Returns what to say before something hot is done with this oven: where gas burns, of gas too.
pub fn cautions_at(occasion: Occasion, oven: &Oven) -> Vec<String> {
    let mut said = cautions(occasion).to_vec();
    if oven.heat.contains(&HeatSource::GasBurner) {
        for gas in gas_cautions() {
            if !said.contains(gas) {
                said.push(gas.clone());
            }
        }
    }
    said
}

/// Returns the kind of bake with this key.
///
/// # Errors
/// [`CatalogueError::NoSuchKind`] lists the keys there are.
pub fn bake_kind(key: &str) -> Result<&'static BakeKind, CatalogueError> {
    bake_kinds().iter().find(|k| k.key == key).ok_or_else(|| {
        let keys = joined(bake_kinds().iter().map(|k| &k.key), ", ");
        CatalogueError::NoSuchKind(key.to_owned(), keys)
    })
}

/// Returns the kind that a recipe of the baker's own browns like; a kind is its own.
pub fn base_of(kind: &BakeKind) -> &BakeKind {
    bake_kind(&kind.key).unwrap_or(kind)
}

/// Names a kind of bake in plain words; a kind that is no longer known keeps its key.
pub fn kind_name(key: &str) -> &str {
    bake_kind(key).map_or(key, |kind| kind.name.as_str())
}

/// Names what was baked: the baker's own recipe, else the kind of bake.
pub fn bake_name(plan: &Plan) -> &str {
    let recipe = plan.recipe.as_ref();
    recipe.map_or_else(|| kind_name(&plan.kind), |recipe| recipe.name.as_str())
}

/// Returns the oven template with this key.
///
/// # Errors
/// [`CatalogueError::NoSuchTemplate`] lists the keys there are.
pub fn oven_template(key: &str) -> Result<&'static OvenTemplate, CatalogueError> {
    oven_templates()
        .iter()
        .find(|t| t.key == key)
        .ok_or_else(|| {
            let keys = joined(oven_templates().iter().map(|t| &t.key), ", ");
            CatalogueError::NoSuchTemplate(key.to_owned(), keys)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wrong_key_is_answered_with_the_right_ones() {
        assert_eq!(bake_kind("thin-cookie").unwrap().name, "thin cookies");
        let message = bake_kind("cookie").unwrap_err().to_string();
        assert!(message.contains("'cookie'") && message.contains("thin-cookie"));
        assert!(oven_template("gas-range-slide-in").is_ok());
        assert!(oven_template("").is_err());
    }

    #[test]
    fn where_gas_burns_its_smell_is_spoken_of_once() {
        let at = |key, occasion| {
            let said = cautions_at(occasion, &oven_template(key).unwrap().oven);
            said.iter().filter(|c| c.contains("Smell of gas")).count()
        };
        for occasion in [Occasion::ToastTest, Occasion::Bake, Occasion::Technician] {
            assert_eq!(at("gas-range-slide-in", occasion), 1, "{occasion:?}");
        }
        assert_eq!(at("wall-oven-30-inch", Occasion::ToastTest), 0);
    }
}
