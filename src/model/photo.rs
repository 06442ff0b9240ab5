//! Where scores that were read from a photo came from, so that it can be read again.

/// One photo of one rack's slices, and what it was read with.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoNote {
    /// The rack position whose slices it shows.
    pub rack: u8,
    /// Where the file lay when it was read.
    pub file: String,
    /// SHA-256 of the file, in hexadecimal.
    pub sha256: String,
    /// Rows and columns of slices.
    pub counts: (usize, usize),
    /// Outer corners of the lattice in pixels of the upright photo, (x, y): back-left, back-right,
    /// front-right, front-left; as used, whether given or found.
    pub corners: [(f64, f64); 4],
    /// The references used, in the words they are given in: `slice:0,2`.
    pub references: Vec<String>,
    /// What is left of its light: the standard deviation of a lean from the middle of the tray to its edge,
    /// natural logarithm of light.
    pub lean: f64,
    /// What is left of its level: the standard deviation, L*, of how much too light or too dark all slices are alike.
    pub level: f64,
    /// The second photo of the tray turned end for end: file and SHA-256.
    pub turned: Option<(String, String)>,
}
