//! Kinds of photo files.

/// Kind of a photo file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// ITU-T T.81 with JFIF or EXIF.
    Jpeg,
    /// W3C PNG.
    Png,
    /// RFC 9649.
    Webp,
    /// HEVC in ISO/IEC 23008-12.
    Heic,
}

impl std::fmt::Display for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::Webp => "WebP",
            Self::Heic => "HEIC",
        })
    }
}
