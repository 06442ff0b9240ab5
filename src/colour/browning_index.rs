//! Browning index: the purity of brown in a colour, as food science reports it.
//!
//! BI = 100 (x - 0.31) / 0.172 with x = (a + 1.75 L) / (5.645 L + a - 3.012 b); food-science
//! literature, from memory. It is reported and never mapped with: towards burnt it falls again.

use super::lab::Lab;

/// Returns the browning index of a colour, or `None` where its divisor vanishes (black).
pub fn browning_index(lab: Lab) -> Option<f64> {
    let divisor = 5.645 * lab.l + lab.a - 3.012 * lab.b;
    if divisor.abs() < 1e-9 {
        return None;
    }
    let x = (lab.a + 1.75 * lab.l) / divisor;
    Some(100.0 * (x - 0.31) / 0.172)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_index_agrees_with_hand_arithmetic() {
        // L 68, a 8, b 32: x = (8 + 119) / (383.86 + 8 - 96.384) = 127 / 295.476 = 0.429815;
        // BI = 100 (0.429815 - 0.31) / 0.172 = 69.660.
        let bi = browning_index(Lab::new(68.0, 8.0, 32.0)).unwrap();
        assert!((bi - 69.660).abs() < 0.001, "{bi}");
        // A neutral grey is nearly without brown: x = 1.75 / 5.645 = 0.310009, BI = 0.0051.
        let grey = browning_index(Lab::new(50.0, 0.0, 0.0)).unwrap();
        assert!((grey - 0.0051).abs() < 0.0005, "{grey}");
        assert_eq!(browning_index(Lab::new(0.0, 0.0, 0.0)), None);
    }

    #[test]
    fn towards_burnt_the_index_falls_again() {
        let golden = browning_index(Lab::new(68.0, 8.0, 32.0)).unwrap();
        let brown = browning_index(Lab::new(48.0, 14.0, 28.0)).unwrap();
        let burnt = browning_index(Lab::new(30.0, 9.0, 12.0)).unwrap();
        assert!(brown > golden && burnt < brown);
    }
}
