//! Results that go where the user said: into a new file, over an old one if so told, through a device.
//!
//! Every `--out` and `--png` goes through here, so that none of them can destroy what it must not.

use super::{StoreError, atomic, litter, paths::folder_of};
use std::{
    fs, io,
    path::{Path, PathBuf},
};

/// What to do with a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// It stays, and nothing is written.
    Keep,
    /// The result takes its place.
    Replace,
}

/// What a result may be written over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutputRule {
    /// What to do with a file that is there already.
    pub existing: Existing,
    /// The data folder, in which no result may land.
    pub data: Option<PathBuf>,
}

/// What a result would meet under a name.
enum Goal {
    /// Nothing yet; the path with links followed.
    New(PathBuf),
    /// An ordinary file; the path with links followed.
    File(PathBuf),
    /// A device or a pipe: what is written passes through.
    Through(PathBuf),
}

/// Checks that a result may be written to `path`, before it is worked out.
///
/// # Errors
/// [`StoreError::Exists`], [`StoreError::InDataFolder`], [`StoreError::NotAFile`] for a folder, or the system's.
pub fn check_output(path: &Path, rule: &OutputRule) -> Result<(), StoreError> {
    goal_within(path, rule).map(|_goal| ())
}

/// Writes a result: when this returns it is whole on the disk, or what was there is as it was before.
///
/// A link's goal is written, not the link. A file that is replaced keeps its permissions. A device or a
/// pipe takes the bytes as they come.
///
/// # Errors
/// As [`check_output`], or the disk's trouble.
pub fn write_output(path: &Path, bytes: &[u8], rule: &OutputRule) -> Result<(), StoreError> {
    let failed = |e: io::Error| StoreError::write(path, e);
    let goal = goal_within(path, rule)?;
    if let Goal::New(place) | Goal::File(place) = &goal {
        litter::sweep(folder_of(place));
    }
    match goal {
        Goal::Through(device) => fs::OpenOptions::new()
            .write(true)
            .open(device)
            .and_then(|mut open| io::Write::write_all(&mut open, bytes))
            .map_err(failed),
        Goal::File(goal) => atomic::put(&goal, bytes, atomic::write_and_flush).map_err(failed),
        Goal::New(goal) => {
            atomic::put_new(&goal, bytes, atomic::write_and_flush).map_err(|e| {
                // Somebody was quicker.
                if e.kind() == io::ErrorKind::AlreadyExists {
                    StoreError::Exists {
                        path: path.to_owned(),
                    }
                } else {
                    failed(e)
                }
            })
        }
    }
}

fn goal_within(path: &Path, rule: &OutputRule) -> Result<Goal, StoreError> {
    let goal = goal_of(path)?;
    let (Goal::New(place) | Goal::File(place)) = &goal else {
        return Ok(goal);
    };
    if rule
        .data
        .as_deref()
        .is_some_and(|data| is_within(place, data))
    {
        return Err(StoreError::InDataFolder(path.to_owned()));
    }
    match (&goal, rule.existing) {
        (Goal::File(_), Existing::Keep) => Err(StoreError::Exists {
            path: path.to_owned(),
        }),
        (Goal::File(_) | Goal::New(_) | Goal::Through(_), _) => Ok(goal),
    }
}

/// Most links that lead from one to the next, as the system itself counts them.
const MOST_LINKS: usize = 40;

fn goal_of(path: &Path) -> Result<Goal, StoreError> {
    let failed = |e: io::Error| StoreError::write(path, e);
    // What stands for an open file of ours is written as it is: its name leads to no place.
    if ["/dev/stdout", "/dev/stderr", "/dev/fd", "/proc"]
        .iter()
        .any(|open| path.starts_with(open))
    {
        return Ok(Goal::Through(path.to_owned()));
    }
    let mut place = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::metadata(&place) {
            Ok(about) if about.is_file() => {
                return fs::canonicalize(&place).map(Goal::File).map_err(failed);
            }
            Ok(about) if about.is_dir() => {
                return Err(StoreError::NotAFile {
                    path: path.to_owned(),
                    what: "a folder",
                });
            }
            Ok(_device) => return Ok(Goal::Through(place)),
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                // A link that leads nowhere yet: its goal is what is meant.
                match fs::read_link(&place) {
                    Ok(next) => place = folder_of(&place).join(next),
                    Err(_no_link) => return Ok(Goal::New(place)),
                }
            }
            Err(e) => return Err(failed(e)),
        }
    }
    Ok(Goal::New(place))
}

fn is_within(place: &Path, data: &Path) -> bool {
    match (fs::canonicalize(folder_of(place)), fs::canonicalize(data)) {
        (Ok(folder), Ok(data)) => folder.starts_with(data),
        // A folder that is not there holds nothing to protect.
        (Err(_), _) | (_, Err(_)) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(existing: Existing) -> OutputRule {
        OutputRule {
            existing,
            data: None,
        }
    }

    #[test]
    fn a_file_that_is_there_stays_unless_told_otherwise() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.png");
        write_output(&path, b"one", &rule(Existing::Keep)).unwrap();
        let said = write_output(&path, b"two", &rule(Existing::Keep)).unwrap_err();
        assert!(matches!(said, StoreError::Exists { .. }), "{said}");
        assert!(said.to_string().contains("--force"), "{said}");
        assert_eq!(fs::read(&path).unwrap(), b"one");
        write_output(&path, b"two", &rule(Existing::Replace)).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "no litter");
    }

    #[test]
    fn nothing_lands_in_the_data_folder_nor_over_a_folder() {
        let dir = tempfile::tempdir().unwrap();
        let data = dir.path().join("data");
        fs::create_dir_all(data.join("ovens")).unwrap();
        let rule = OutputRule {
            existing: Existing::Replace,
            data: Some(data.clone()),
        };
        for inside in [data.join("x.png"), data.join("ovens/../ovens/x.json")] {
            let said = write_output(&inside, b"x", &rule).unwrap_err();
            assert!(matches!(said, StoreError::InDataFolder(_)), "{said}");
            assert!(!inside.exists());
        }
        let said = check_output(dir.path(), &rule).unwrap_err().to_string();
        assert!(said.contains("a folder"), "{said}");
        write_output(&dir.path().join("x.png"), b"x", &rule).unwrap();
    }

    #[cfg(unix)]
    #[test]
    fn a_link_leads_to_its_goal_and_permissions_stay() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let dir = tempfile::tempdir().unwrap();
        let [goal, link, hanging] =
            ["goal.png", "link.png", "hanging.png"].map(|name| dir.path().join(name));
        write_output(&goal, b"one", &rule(Existing::Keep)).unwrap();
        fs::set_permissions(&goal, fs::Permissions::from_mode(0o600)).unwrap();
        symlink("goal.png", &link).unwrap();
        symlink("new.png", &hanging).unwrap();
        assert!(write_output(&link, b"two", &rule(Existing::Keep)).is_err());
        write_output(&link, b"two", &rule(Existing::Replace)).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&goal).unwrap(), b"two");
        let mode = fs::metadata(&goal).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
        write_output(&hanging, b"three", &rule(Existing::Keep)).unwrap();
        assert_eq!(fs::read(dir.path().join("new.png")).unwrap(), b"three");
        assert!(fs::symlink_metadata(&hanging).unwrap().is_symlink());
        // Through a link into the data folder is into the data folder.
        let data = dir.path().join("data");
        fs::create_dir(&data).unwrap();
        let into = dir.path().join("into.json");
        symlink(data.join("x.json"), &into).unwrap();
        let refusing = OutputRule {
            existing: Existing::Replace,
            data: Some(data.clone()),
        };
        assert!(write_output(&into, b"x", &refusing).is_err());
        assert_eq!(fs::read_dir(&data).unwrap().count(), 0);
    }

    #[cfg(unix)]
    #[test]
    fn a_device_and_a_pipe_take_the_bytes_and_stay_what_they_are() {
        write_output(Path::new("/dev/null"), b"x", &rule(Existing::Keep)).unwrap();
        let dir = tempfile::tempdir().unwrap();
        let pipe = dir.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        assert!(made.unwrap().success());
        let theirs = pipe.clone();
        let reader = std::thread::spawn(move || fs::read(theirs).unwrap());
        write_output(&pipe, b"through", &rule(Existing::Keep)).unwrap();
        assert_eq!(reader.join().unwrap(), b"through");
        assert!(!fs::metadata(&pipe).unwrap().is_file());
    }
}
