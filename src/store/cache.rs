//! Figures that cost much to work out, kept beside the hash of what they were worked out from.
//!
//! They lie in `cache/` of the data folder. Nothing is lost with them: whatever is missing, damaged or cannot be
//! kept is worked out again.

use super::{atomic, read};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::{
    collections::BTreeMap,
    fmt::Write as _,
    fs,
    path::{Path, PathBuf},
};

/// Folder for what is safe to delete.
const CACHE: &str = "cache";
/// A file larger than this is not read, so none is written either.
const MOST_BYTES: u64 = 64 << 20;

/// Tables of figures by the hash of their inputs.
pub type Figures = BTreeMap<String, Vec<Vec<f64>>>;

#[derive(Serialize, Deserialize)]
struct Form {
    version: u32,
    figures: Figures,
}

fn path_of(folder: &Path, name: &str) -> PathBuf {
    folder.join(CACHE).join(format!("{name}.json"))
}

/// Returns the hash of inputs, in hexadecimal digits.
pub fn fingerprint(inputs: &[u8]) -> String {
    let mut out = String::with_capacity(64);
    for byte in Sha256::digest(inputs) {
        let _ = write!(out, "{byte:02x}");
    }
    out
}

/// Returns the figures kept under a name; none where nothing sound is there.
pub fn cached(folder: &Path, name: &str) -> Figures {
    let text = read::text(&path_of(folder, name), MOST_BYTES);
    text.ok()
        .and_then(|text| serde_json::from_str::<Form>(&text).ok())
        .filter(|form| form.version == 1)
        .map(|form| form.figures)
        .unwrap_or_default()
}

/// Keeps figures under a name, in place of those kept before. A disk that refuses is no trouble.
pub fn keep_cached(folder: &Path, name: &str, figures: Figures) {
    let form = Form {
        version: 1,
        figures,
    };
    let path = path_of(folder, name);
    let kept = serde_json::to_vec(&form)
        .ok()
        .filter(|bytes| bytes.len() as u64 <= MOST_BYTES)
        .filter(|_| fs::create_dir_all(folder.join(CACHE)).is_ok());
    if let Some(bytes) = kept {
        // Worked out again next time.
        let _lost = atomic::put(&path, &bytes, atomic::write_and_flush).is_err();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_comes_back_and_what_is_not_sound_counts_for_nothing() {
        let folder = tempfile::tempdir().unwrap();
        assert!(cached(folder.path(), "wall").is_empty());
        let figures = Figures::from([(fingerprint(b"a"), vec![vec![0.1, 1e-9], vec![]])]);
        keep_cached(folder.path(), "wall", figures.clone());
        assert_eq!(cached(folder.path(), "wall"), figures);
        assert_ne!(fingerprint(b"a"), fingerprint(b"b"));
        fs::remove_dir_all(folder.path().join(CACHE)).unwrap();
        assert!(cached(folder.path(), "wall").is_empty(), "safe to delete");
        // Where nothing can be written nothing is lost.
        keep_cached(
            &folder.path().join("no").join("such\0folder"),
            "wall",
            figures,
        );
    }
}
