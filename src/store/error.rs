//! What can go wrong between the program and the disk, each with what to do about it.

use std::{
    io,
    path::{Path, PathBuf},
};

/// Trouble with the data folder.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    #[error("no home folder is known; name a folder with --data DIR")]
    NoHome,
    #[error(
        "the data folder {} is in use by another rackshade{}; close that one, or work on another folder with --data DIR",
        .folder.display(), held_by(.holder)
    )]
    Locked { folder: PathBuf, holder: String },
    #[error(
        "{} was changed by something else since it was read, and stays as it is; your version is kept as {}: compare the two, then do it again",
        .path.display(), .mine.display()
    )]
    Changed { path: PathBuf, mine: PathBuf },
    #[error("cannot read {}: {source}; {hint}", .path.display())]
    Read {
        path: PathBuf,
        source: io::Error,
        hint: &'static str,
    },
    #[error("{} is there already and was left as it is; give --force to replace it, or name another file", .path.display())]
    Exists { path: PathBuf },
    #[error("{} lies in the data folder, which holds rackshade's own records; name a file elsewhere", .path.display())]
    InDataFolder { path: PathBuf },
    #[error("{} is {what}, not a file; name a file", .path.display())]
    NotAFile { path: PathBuf, what: &'static str },
    #[error("the disk is full: {} was not written; free some space and try again", .path.display())]
    Full { path: PathBuf, source: io::Error },
    #[error(
        "{} may not be written to: {source}; change its permissions, or keep your data elsewhere with --data DIR", .path.display()
    )]
    NotWritable { path: PathBuf, source: io::Error },
    #[error("cannot write {}: {source}; check the disk and try again", .path.display())]
    Write { path: PathBuf, source: io::Error },
    #[error("{} was opened for reading only, so {what} was not saved; open it for writing, or use --data DIR", .folder.display())]
    ReadOnly { folder: PathBuf, what: String },
    #[error("{} was written by a newer rackshade and is left as it is; use the newer program, or another name", .path.display())]
    Newer { path: PathBuf },
    #[error("{} could not be read and is left as it is; see that you may read it and start again, or use another name", .path.display())]
    Unread { path: PathBuf },
    #[error("{} is larger than {} KiB and is left as it is; make it smaller by hand, or use another name", .path.display(), .most >> 10)]
    LeftLarge { path: PathBuf, most: u64 },
    #[error("{what} would be a file of {} KiB, and none above {} KiB is read again; make it smaller or split it: it was not saved", .bytes.div_ceil(1024), .most >> 10)]
    TooLarge {
        what: String,
        bytes: usize,
        most: u64,
    },
    #[error("{what} cannot be saved: {why}; this is a fault of the program, please report it")]
    NoForm { what: String, why: String },
}

impl StoreError {
    /// Sorts a failed write by what the user can do about it.
    pub(super) fn write(path: &Path, source: io::Error) -> Self {
        let path = path.to_owned();
        if is_full(&source) {
            Self::Full { path, source }
        } else if is_forbidden(&source) {
            Self::NotWritable { path, source }
        } else {
            Self::Write { path, source }
        }
    }

    /// Makes the error of a failed read.
    pub(super) fn read(path: &Path, source: io::Error) -> Self {
        use io::ErrorKind as K;
        let hint = if source.kind() == K::InvalidInput {
            "put what you mean into an ordinary file, and name that"
        } else if source.kind() == K::FileTooLarge {
            "name a smaller file, or split it"
        } else if source.kind() == K::InvalidData {
            "save it as UTF-8 text"
        } else {
            "check that it exists and that you may read it"
        };
        Self::Read {
            path: path.to_owned(),
            source,
            hint,
        }
    }
}

fn is_full(e: &io::Error) -> bool {
    use io::ErrorKind as K;
    [K::StorageFull, K::QuotaExceeded, K::FileTooLarge].contains(&e.kind())
}

fn is_forbidden(e: &io::Error) -> bool {
    use io::ErrorKind as K;
    [K::PermissionDenied, K::ReadOnlyFilesystem].contains(&e.kind())
}

fn held_by(holder: &str) -> String {
    if holder.is_empty() {
        String::new()
    } else {
        format!(" (process {holder})")
    }
}
