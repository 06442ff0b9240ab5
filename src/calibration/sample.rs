//! What everything begins with.

/// One reading of the air: seconds since the round began, and degrees Celsius.
pub type Sample = (f64, f64);
