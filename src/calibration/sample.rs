//! What everything begins with.

/// One reading of the air: seconds since the round began, and degrees Celsius.
pub type Sample = (f64, f64);

/// Parts readings where none was taken for so many seconds: what the air did meanwhile nobody knows.
pub(super) fn stretches(samples: &[Sample], longest: f64) -> impl Iterator<Item = &[Sample]> {
    samples.chunk_by(move |a, b| b.0 - a.0 <= longest)
}

/// Returns how long was read in all, the pauses longer than `longest` left out, seconds.
pub(super) fn read_for(samples: &[Sample], longest: f64) -> f64 {
    let spans = stretches(samples, longest).map(|s| s[s.len() - 1].0 - s[0].0);
    spans.sum()
}
