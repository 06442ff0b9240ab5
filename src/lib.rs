//! rackshade: learn an oven by toasting bread in it, then plan every bake by what was learnt.
//!
//! Modules stand in layers, and each names only lower ones; `tests/architecture.rs` holds the table.

pub mod calibration;
pub mod cli;
pub mod colour;
pub mod compare;
pub mod field;
pub mod geometry;
pub mod model;
pub mod numeric;
pub mod photo;
pub mod planner;
pub mod report;
pub mod sampling;
pub mod store;
pub mod tui;
pub mod units;
pub mod workflow;
