//! A photo as pixels, in terminals that can show them: behind the words, with the grid drawn into it.

mod encode;
mod painter;
#[cfg(test)]
mod tests;

pub(crate) use painter::{Canvas, PaintError, Painter};
