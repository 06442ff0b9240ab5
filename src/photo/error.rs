//! Why a photo cannot be read, each with what to do about it.

use super::kind::Kind;

/// Trouble with a photo file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PhotoError {
    #[error("the file is empty; copy it from the phone again")]
    Empty,
    #[error("{found}; give a JPEG, PNG, WebP or HEIC picture")]
    Unknown { found: &'static str },
    #[error(
        "this is a HEIC picture, which this build of rackshade does not read; save it as JPEG on the phone (share or export it as JPEG, or set the camera to its most compatible format) and give that"
    )]
    NoHeic,
    #[error(
        "the file has {mib:.0} MiB, more than {most_mib:.0} MiB; export a smaller copy of the photo"
    )]
    TooManyBytes { mib: f64, most_mib: f64 },
    #[error(
        "the picture says it is {width} x {height} pixels, and 1 to {most_megapixels:.0} million are read; export a smaller copy of the photo"
    )]
    Size {
        width: usize,
        height: usize,
        most_megapixels: f64,
    },
    #[error(
        "this {kind} picture of {width} x {height} pixels takes {mib:.0} MiB of memory to read, more than {most_mib:.0} MiB; save it as a plain JPEG and give that"
    )]
    Memory {
        kind: Kind,
        width: usize,
        height: usize,
        mib: f64,
        most_mib: f64,
    },
    #[error(
        "this JPEG is in the four inks of a printer (CMYK), which tell no browning; save it as RGB and give that"
    )]
    Inks,
    #[error("this {kind} is an animation; give a single picture")]
    Animation { kind: Kind },
    #[error("the {kind} picture is damaged or cut short: {why}; copy it from the phone again")]
    Damaged { kind: Kind, why: String },
}
