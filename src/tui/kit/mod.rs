//! What the screens take from the workflow layer, named in one place.

mod standin;
pub use standin::*;
