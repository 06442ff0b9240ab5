//! What the screens take from the workflow layer, named in one place.

pub use crate::workflow::{
    catalogue::{
        CardShade, Occasion, OvenTemplate, bake_kinds, cautions, oven_templates, shade_card,
    },
    kitchen::{Kitchen, KitchenError},
    layout::{Layout, LayoutError, LayoutRequest, lay_out},
    map::{MapError, MapView, ReadOut, map_of},
    plan::{PlanError, PlanRequest, plan_bake},
    scoring::{ScoreError, ScoreKey, Scoring},
};
