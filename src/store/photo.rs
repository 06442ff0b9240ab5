//! Photo files: their bytes, and what tells one from another.

use super::{cache::fingerprint, error::StoreError, read};
use std::path::Path;

/// The bytes of a photo file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoFile {
    /// What is in it.
    pub bytes: Vec<u8>,
    /// SHA-256 of it (FIPS 180-4), in hexadecimal.
    pub sha256: String,
}

/// Reads a photo file of at most `most` bytes.
///
/// # Errors
/// [`StoreError::Read`] when there is none, it is a folder, may not be read, or is larger.
pub fn read_photo(path: &Path, most: usize) -> Result<PhotoFile, StoreError> {
    let bytes = read::bytes(path, most as u64).map_err(|e| StoreError::read(path, e))?;
    let sha256 = fingerprint(&bytes);
    Ok(PhotoFile { bytes, sha256 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::{fs::File, io::Write as _};

    #[test]
    fn a_file_is_read_whole_and_known_by_its_hash() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.jpg");
        File::create(&path).unwrap().write_all(b"abc").unwrap();
        let photo = read_photo(&path, 3).unwrap();
        assert_eq!(photo.bytes, b"abc");
        // FIPS 180-4, example B.1
        assert_eq!(
            photo.sha256,
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.jpg");
        let said = |path: &Path, most| read_photo(path, most).unwrap_err().to_string();
        assert!(said(&path, 9).contains("check that it exists"));
        assert!(said(folder.path(), 9).contains("it is a folder"));
        File::create(&path).unwrap().write_all(b"abcd").unwrap();
        assert!(said(&path, 3).contains("larger than 0 KiB"));
    }
}
