//! One function for each thing a user can do, shared by the terminal screens and the command line.

pub mod catalogue;
pub mod describe;
pub mod kitchen;
pub mod layout;
pub mod plan;
pub mod samples;
pub mod scoring;
