//! CIEDE2000: how different two colours look.
//!
//! Sharma, Wu and Dalal 2005, "The CIEDE2000 Color-Difference Formula: Implementation Notes,
//! Supplementary Test Data, and Mathematical Observations", equations 2 to 22. The formula is
//! `palette`'s; their 34 pairs hold to all four decimals (`tests/reference_colour.rs`).

use super::lab::Lab;
use palette::color_difference::Ciede2000;

/// Returns the CIEDE2000 difference (`k_L` = `k_C` = `k_H` = 1); about 1 is just noticeable side by side.
pub fn ciede2000(one: Lab, other: Lab) -> f64 {
    one.palette().difference(other.palette())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_does_not_differ_from_itself_and_order_does_not_matter() {
        let (a, b) = (Lab::new(68.0, 8.0, 32.0), Lab::new(48.0, 14.0, 28.0));
        assert!(ciede2000(a, a).abs() < 1e-12);
        assert!((ciede2000(a, b) - ciede2000(b, a)).abs() < 1e-9);
    }
}
