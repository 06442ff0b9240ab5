//! Parts that screens are drawn with: data and a theme in, styled cells out; nothing is kept or changed.

pub mod card;
pub mod field;
pub mod hints;
pub mod list;
pub mod rack;
