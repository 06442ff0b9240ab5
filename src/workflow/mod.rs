//! One function for each thing a user can do, shared by the terminal screens and the command line.

pub mod catalogue;
pub mod kitchen;
pub mod scoring;
