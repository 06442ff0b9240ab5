//! Numerical tools that no well-kept crate gives in this form; nothing here knows of ovens.

pub mod linear;
pub mod normal;
pub mod polyline;
pub mod quantile;
pub mod random;
pub mod resample;
pub mod split;
pub mod student;
pub mod whole;
