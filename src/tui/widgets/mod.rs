//! Parts that screens are drawn with.

pub mod hints;
