//! What a map or a plan looks like outside the program: words, plain characters, pictures.
//!
//! One file for each form; nothing here opens a file.

pub mod card;
pub mod digits;
pub mod json;
pub mod json_after;
pub mod json_batches;
pub mod json_check;
pub mod json_compare;
pub mod json_history;
pub mod json_keys;
pub mod json_kitchen;
pub mod json_layout;
pub mod json_map;
pub mod json_moving;
pub mod json_photo;
pub mod json_plan;
pub mod json_readings;
pub mod json_recipes;
pub mod json_rise;
pub mod paper;
pub mod png;
pub mod quantity;
pub mod text;
pub mod text_readings;
pub mod words;

pub use png::{PngError, rgb_png};
pub use quantity::{Quantity, Scale};
