//! From a thermometer's readings to an oven's figures: offset, swing, calibration line, preheat, door, drift.
//!
//! Everything here is plain numbers: seconds and degrees Celsius. [`holding()`] finds cycles in readings
//! taken at uneven times and averages whole ones, [`mod@line`] and [`drift`] work on the offsets so found,
//! [`preheat()`] and [`recovery()`] on what comes before and after. What a figure rests on is said by its
//! [`Estimate`].

pub mod drift;
mod error;
mod estimate;
mod generalised;
pub mod holding;
#[cfg(test)]
mod holding_tests;
pub mod line;
mod moved;
mod periodic;
pub mod preheat;
pub mod recovery;
mod sample;
mod strays;
mod thin;
pub mod two_ways;

pub use error::CalibrationError;
pub use estimate::Estimate;
pub use generalised::Told;
pub use holding::{Habits, Holding, Sureness, holding};
pub use line::{Line, Point};
pub use preheat::{Preheat, preheat};
pub use recovery::{Recovery, Surroundings, Swing, recovery};
pub use sample::Sample;
pub use strays::strays;
