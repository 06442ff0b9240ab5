//! Temperatures and thermometers as they are typed.

use crate::cli::prelude::*;
use crate::{
    model::Thermometer,
    units::{Celsius, CelsiusDelta, TemperatureUnit},
};

/// Reads a temperature as typed, in the unit of the oven's dial where none stands behind it.
pub(super) fn temperature(
    name: &str,
    text: &str,
    unit: TemperatureUnit,
) -> Result<Celsius, Trouble> {
    Celsius::parse(text, unit).or_trouble(name, text)
}

/// Reads a difference as typed: `2F`, `0.5C`.
pub(crate) fn difference(
    name: &str,
    text: &str,
    unit: TemperatureUnit,
) -> Result<CelsiusDelta, Trouble> {
    CelsiusDelta::parse(text, unit).or_trouble(name, text)
}

/// What a bare file is read by: the thermometer described on the command line.
#[derive(Debug, Args)]
pub(super) struct ProbeArgs {
    /// The thermometer is right within this, like 2F.
    #[arg(long, value_name = "DEGREES", requires = "csv")]
    pub(super) accuracy: Option<String>,
    /// The smallest step it shows, like 0.1C.
    #[arg(long, value_name = "DEGREES", requires = "csv")]
    resolution: Option<String>,
    /// Seconds it takes to follow 63 % of a change.
    #[arg(long, value_name = "SECONDS", requires = "csv", value_parser = values::figure)]
    lag: Option<f64>,
}

impl ProbeArgs {
    pub(super) fn thermometer(&self, unit: TemperatureUnit) -> Result<Thermometer, Trouble> {
        let read = |name, text: Option<&String>, default| {
            text.map_or(Ok(CelsiusDelta(default)), |t| difference(name, t, unit))
        };
        Thermometer {
            accuracy: read("--accuracy", self.accuracy.as_ref(), 0.0)?,
            resolution: read("--resolution", self.resolution.as_ref(), 0.1)?,
            lag_s: self.lag,
            ..Thermometer::unnamed()
        }
        .check()
        .map_err(Trouble::user)
    }
}
