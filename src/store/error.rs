//! What can go wrong between the program and the disk, each with what to do about it.

use std::{
    io,
    path::{Path, PathBuf},
};

/// Trouble with the data folder.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is no home folder to keep data under.
    #[error("no home folder is known; name a folder with --data DIR")]
    NoHome,
    /// Another process writes to the folder.
    #[error(
        "the data folder {} is in use by another rackshade{}; close that one, or work on another folder with --data DIR",
        .folder.display(), held_by(.holder)
    )]
    Locked {
        /// The data folder.
        folder: PathBuf,
        /// Number of the process that holds it; empty when not known.
        holder: String,
    },
    /// Something else has changed a file since it was read; both versions are kept.
    #[error(
        "{} was changed by something else since it was read, and stays as it is; your version is kept as {}: compare the two, then do it again",
        .path.display(), .mine.display()
    )]
    Changed {
        /// The file, as it was changed.
        path: PathBuf,
        /// The version that was to be saved.
        mine: PathBuf,
    },
    /// A file or folder could not be read.
    #[error("cannot read {}: {source}; {hint}", .path.display())]
    Read {
        /// What was to be read.
        path: PathBuf,
        /// The system's own words, or ours.
        source: io::Error,
        /// What to do.
        hint: &'static str,
    },
    /// A result would replace a file.
    #[error("{} is there already and was left as it is; give --force to replace it, or name another file", .path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A result would land among the records.
    #[error("{} lies in the data folder, which holds rackshade's own records; name a file elsewhere", .0.display())]
    InDataFolder(PathBuf),
    /// Something else than a file stands where a file is meant.
    #[error("{} is {what}, not a file; name a file", .path.display())]
    NotAFile {
        /// What was named.
        path: PathBuf,
        /// What it is.
        what: &'static str,
    },
    /// The disk is full.
    #[error("the disk is full: {} was not written; free some space and try again", .path.display())]
    Full {
        /// What was to be written.
        path: PathBuf,
        /// The system's own words.
        source: io::Error,
    },
    /// The folder may not be written to.
    #[error(
        "{} may not be written to: {source}; change its permissions, or keep your data elsewhere with --data DIR", .path.display()
    )]
    NotWritable {
        /// What was to be written.
        path: PathBuf,
        /// The system's own words.
        source: io::Error,
    },
    /// A file could not be written for another reason.
    #[error("cannot write {}: {source}; check the disk and try again", .path.display())]
    Write {
        /// What was to be written.
        path: PathBuf,
        /// The system's own words.
        source: io::Error,
    },
    /// The folder was opened for reading only.
    #[error("{} was opened for reading only, so {what} was not saved; open it for writing, or use --data DIR", .folder.display())]
    ReadOnly {
        /// The data folder.
        folder: PathBuf,
        /// What was to be saved.
        what: String,
    },
    /// A newer program's file has that name.
    #[error("{} was written by a newer rackshade and is left as it is; use the newer program, or another name", .path.display())]
    Newer {
        /// The file.
        path: PathBuf,
    },
    /// A file of that name could not be read, so it may hold more than what would replace it.
    #[error("{} could not be read and is left as it is; see that you may read it and start again, or use another name", .path.display())]
    Unread {
        /// The file.
        path: PathBuf,
    },
    /// A file of that name is larger than is read.
    #[error("{} is larger than {} KiB and is left as it is; make it smaller by hand, or use another name", .path.display(), .most >> 10)]
    LeftLarge {
        /// The file.
        path: PathBuf,
        /// The most bytes that are read.
        most: u64,
    },
    /// A file so large that it would not be read again.
    #[error("{what} would be a file of {} KiB, and none above {} KiB is read again; make it smaller or split it: it was not saved", .bytes.div_ceil(1024), .most >> 10)]
    TooLarge {
        /// What was to be saved.
        what: String,
        /// How large it would be.
        bytes: usize,
        /// The most bytes that are read.
        most: u64,
    },
    /// A value has no stored form.
    #[error("{what} cannot be saved: {why}; this is a fault of the program, please report it")]
    NoForm {
        /// What was to be saved.
        what: String,
        /// Which figure.
        why: String,
    },
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
