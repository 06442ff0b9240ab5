//! Why a photo cannot be read, each with what to do about it.

use super::kind::Kind;

/// Trouble with a photo file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PhotoError {
    /// There is nothing in the file.
    #[error("the file is empty; copy it from the phone again")]
    Empty,
    /// The first bytes are of no kind of picture that is read.
    #[error("{found}; give a JPEG, PNG, WebP or HEIC picture")]
    Unknown {
        /// What the first bytes say it is.
        found: &'static str,
    },
    /// HEIC, and this build is without it.
    #[error(
        "this is a HEIC picture, which this build of rackshade does not read; save it as JPEG on the phone (share or export it as JPEG, or set the camera to its most compatible format) and give that"
    )]
    NoHeic,
    /// More bytes than the limit.
    #[error(
        "the file has {mib:.0} MiB, more than {most_mib:.0} MiB; export a smaller copy of the photo"
    )]
    TooManyBytes {
        /// Size of the file, MiB.
        mib: f64,
        /// Largest size, MiB.
        most_mib: f64,
    },
    /// More pixels than the limit, or none.
    #[error(
        "the picture says it is {width} x {height} pixels, and 1 to {most_megapixels:.0} million are read; export a smaller copy of the photo"
    )]
    Size {
        /// Width it declares, pixels.
        width: usize,
        /// Height it declares, pixels.
        height: usize,
        /// Largest number of pixels, millions.
        most_megapixels: f64,
    },
    /// Decoding would take more memory than the limit.
    #[error(
        "this {kind} picture of {width} x {height} pixels takes {mib:.0} MiB of memory to read, more than {most_mib:.0} MiB; save it as a plain JPEG and give that"
    )]
    Memory {
        /// Kind of file.
        kind: Kind,
        /// Width, pixels.
        width: usize,
        /// Height, pixels.
        height: usize,
        /// Memory that it takes, MiB.
        mib: f64,
        /// Largest amount, MiB.
        most_mib: f64,
    },
    /// Printers' colours.
    #[error(
        "this JPEG is in the four inks of a printer (CMYK), which tell no browning; save it as RGB and give that"
    )]
    Inks,
    /// Several pictures in one.
    #[error("this {kind} is an animation; give a single picture")]
    Animation {
        /// Kind of file.
        kind: Kind,
    },
    /// Cut short or damaged.
    #[error("the {kind} picture is damaged or cut short: {why}; copy it from the phone again")]
    Damaged {
        /// Kind of file.
        kind: Kind,
        /// The decoder's own words.
        why: String,
    },
}
