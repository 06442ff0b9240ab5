//! What the screens take from the workflow layer, named in one place.

mod standin;
pub use crate::workflow::{
    catalogue::{
        CardShade, Occasion, OvenTemplate, bake_kinds, cautions, oven_templates, shade_card,
    },
    kitchen::{Kitchen, KitchenError},
    scoring::{ScoreError, ScoreKey, Scoring},
};
pub use standin::*;
