//! Replaces a file so that a crash at any moment leaves the old or the new one, never a torn one.
//!
//! The new text goes to a temporary file in the same folder, is flushed to the disk, and takes the
//! old file's name in one step; the folder is flushed too, so that the new name itself lasts. The
//! file that was there before stays as `<name>.previous`.

use super::{litter, paths::folder_of};
use std::{
    ffi::OsString,
    fs::{self, File},
    io::{self, Write},
    path::{Path, PathBuf},
};
use tempfile::NamedTempFile;

/// Puts the bytes of a file on the disk; a test puts a failing one in its place.
pub(super) type WriteBytes = fn(&mut File, &[u8]) -> io::Result<()>;

/// Writes all bytes and waits until the disk has them.
pub(super) fn write_and_flush(file: &mut File, bytes: &[u8]) -> io::Result<()> {
    file.write_all(bytes)?;
    file.sync_all()
}

/// Returns the name under which the version before the current one is kept.
pub(super) fn previous_of(path: &Path) -> PathBuf {
    let mut name: OsString = path.as_os_str().to_owned();
    name.push(".previous");
    PathBuf::from(name)
}

/// Replaces `path` by `bytes`; when this returns `Ok`, the new version is on the disk.
///
/// # Errors
/// Any trouble of the disk; `path` then still holds its old version, whole.
pub(super) fn replace(path: &Path, bytes: &[u8], write: WriteBytes) -> io::Result<()> {
    let fresh = written_beside(path, bytes, write)?;
    keep_previous(path)?;
    fresh.persist(path).map_err(|e| e.error)?;
    flush_folder(folder_of(path))
}

/// Replaces `path` by `bytes` like [`replace`], without keeping the version before.
///
/// # Errors
/// Any trouble of the disk; `path` then still holds its old version, whole.
pub(super) fn put(path: &Path, bytes: &[u8], write: WriteBytes) -> io::Result<()> {
    let fresh = written_beside(path, bytes, write)?;
    fresh.persist(path).map_err(|e| e.error)?;
    flush_folder(folder_of(path))
}

/// Writes `path`, which must not be there yet.
///
/// # Errors
/// [`io::ErrorKind::AlreadyExists`] when it is, or any trouble of the disk; nothing is then written.
pub(super) fn put_new(path: &Path, bytes: &[u8], write: WriteBytes) -> io::Result<()> {
    let fresh = written_beside(path, bytes, write)?;
    fresh.persist_noclobber(path).map_err(|e| e.error)?;
    flush_folder(folder_of(path))
}

/// Writes the bytes to a temporary file beside `path`, with the permissions of the file they will replace.
fn written_beside(path: &Path, bytes: &[u8], write: WriteBytes) -> io::Result<NamedTempFile> {
    let folder = folder_of(path);
    let before = fs::metadata(path).ok().filter(fs::Metadata::is_file);
    let prefix = litter::prefix();
    let mut builder = tempfile::Builder::new();
    builder.prefix(&prefix);
    // A new file is an ordinary one: the user's umask says who may read it. One that replaces another is
    // nobody else's to read before it has that one's permissions.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(
        if before.is_some() { 0o600 } else { 0o666 },
    ));
    let mut fresh = builder.tempfile_in(folder)?;
    #[cfg(unix)]
    if let Some(before) = before {
        fresh.as_file().set_permissions(before.permissions())?;
    }
    #[cfg(not(unix))]
    drop(before);
    write(fresh.as_file_mut(), bytes)?;
    Ok(fresh)
}

/// Gives the current version a second name, so that at no moment the first one is gone.
fn keep_previous(path: &Path) -> io::Result<()> {
    // A link needs a name that is free: take a temporary file's, which is removed if this fails.
    let second = tempfile::Builder::new()
        .prefix(&litter::prefix())
        .tempfile_in(folder_of(path))?
        .into_temp_path();
    fs::remove_file(&second)?;
    match fs::hard_link(path, &second) {
        Ok(()) => {}
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
        // Some file systems have no links (FAT on a memory stick): copy instead.
        Err(_no_links) => {
            fs::copy(path, &second)?;
            // The rename below must not reach the disk before what it names.
            File::options().write(true).open(&second)?.sync_all()?;
        }
    }
    second.persist(previous_of(path)).map_err(|e| e.error)
}

/// Flushes a folder, so that a rename in it outlasts a power cut.
pub(super) fn flush_folder(folder: &Path) -> io::Result<()> {
    // Elsewhere a folder cannot be opened as a file, and the rename itself is journalled.
    if cfg!(unix) {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> = fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn the_version_before_stays_and_nothing_else_is_left_behind() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.json");
        for text in ["one", "two", "three"] {
            replace(&path, text.as_bytes(), write_and_flush).unwrap();
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), "three");
        assert_eq!(fs::read_to_string(previous_of(&path)).unwrap(), "two");
        assert_eq!(names(dir.path()), ["a.json", "a.json.previous"]);
    }

    #[test]
    fn a_file_the_user_named_is_put_without_a_second_version() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.png");
        for text in ["one", "two"] {
            put(&path, text.as_bytes(), write_and_flush).unwrap();
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        assert_eq!(names(dir.path()), ["a.png"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_file_made_private_stays_private_when_it_is_saved_again() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.json");
        replace(&path, b"one", write_and_flush).unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
        for text in ["two", "three"] {
            replace(&path, text.as_bytes(), write_and_flush).unwrap();
            for kept in [path.clone(), previous_of(&path)] {
                let mode = fs::metadata(&kept).unwrap().permissions().mode();
                assert_eq!(mode & 0o777, 0o600, "{}", kept.display());
            }
        }
    }

    #[test]
    fn a_full_disk_leaves_the_old_version_whole_and_no_litter() {
        fn full(file: &mut File, bytes: &[u8]) -> io::Result<()> {
            file.write_all(&bytes[..bytes.len() / 2])?;
            Err(io::ErrorKind::StorageFull.into())
        }
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.json");
        replace(&path, b"one", write_and_flush).unwrap();
        let error = replace(&path, b"two", full).unwrap_err();
        assert_eq!(error.kind(), io::ErrorKind::StorageFull);
        assert_eq!(fs::read_to_string(&path).unwrap(), "one");
        assert_eq!(names(dir.path()), ["a.json"]);
    }
}
