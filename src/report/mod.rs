//! What a map or a plan looks like outside the program: words, plain characters, pictures.
//!
//! One file for each form; nothing here opens a file.

pub mod digits;
pub mod png;
pub mod quantity;
pub mod text;
pub mod words;

pub use quantity::{Quantity, Scale};
