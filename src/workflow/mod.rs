//! One function for each thing a user can do, shared by both faces.

pub mod layout;
pub mod plan;
