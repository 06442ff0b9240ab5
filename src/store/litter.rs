//! Temporary files that a run left behind because it was killed, and their removal.
//!
//! Each bears the number of the process that made it. One goes when that process no longer lives, or when
//! it is older than a day: no write takes that long.

use std::{
    fs,
    path::Path,
    time::{Duration, SystemTime},
};

/// What begins the name of every temporary file of ours.
const MARK: &str = ".rackshade-writing-";
/// How earlier versions began theirs; they bear no number.
const OLD_MARKS: [&str; 2] = [".writing-", ".previous-"];
/// How old a temporary file may grow whose maker cannot be told dead.
const DAY: Duration = Duration::from_hours(24);

/// Returns how the name of a temporary file of this process begins.
pub(super) fn prefix() -> String {
    format!("{MARK}{}-", std::process::id())
}

/// Removes what runs that were killed have left in a folder.
///
/// What cannot be removed stays for the next time: it is in nobody's way.
pub(super) fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    let mut now = None;
    for entry in entries.flatten() {
        let name = entry.file_name();
        let Some(maker) = name.to_str().and_then(maker_of) else {
            continue;
        };
        // Of the link itself where it is one, which none of ours is.
        let Ok(about) = entry.metadata() else {
            continue;
        };
        let orphan = maker.is_some_and(|process| !is_living(process));
        let now = *now.get_or_insert_with(|| now_in(folder));
        if about.is_file() && (orphan || now.is_some_and(|now| is_old(&about, now))) {
            fs::remove_file(entry.path()).ok();
        }
    }
}

/// Returns what the file system of a folder calls now: the time of a file that is made in it and goes at once.
pub(super) fn now_in(folder: &Path) -> Option<SystemTime> {
    let fresh = tempfile::tempfile_in(folder).ok()?;
    fresh.metadata().ok()?.modified().ok()
}

/// Tells whether something was changed last more than a day before `now`.
pub(super) fn is_old(about: &fs::Metadata, now: SystemTime) -> bool {
    about
        .modified()
        .is_ok_and(|then| now.duration_since(then).is_ok_and(|age| age > DAY))
}

/// Returns the number of the process that made a temporary file of ours, where its name has it.
#[expect(
    clippy::option_option,
    reason = "not ours, ours without a number, ours with one"
)]
fn maker_of(name: &str) -> Option<Option<u32>> {
    if let Some(rest) = name.strip_prefix(MARK) {
        let process = rest
            .split_once('-')
            .and_then(|(number, _)| number.parse().ok());
        return Some(process);
    }
    let is_old_kind = OLD_MARKS.iter().any(|mark| name.starts_with(mark));
    is_old_kind.then_some(None)
}

#[cfg(unix)]
fn is_living(process: u32) -> bool {
    let Some(process) = i32::try_from(process)
        .ok()
        .and_then(rustix::process::Pid::from_raw)
    else {
        return false;
    };
    // Only "no such process" says that it is gone; one that is not ours lives too.
    rustix::process::test_kill_process(process) != Err(rustix::io::Errno::SRCH)
}

/// Where this cannot be asked, only age tells.
#[cfg(not(unix))]
fn is_living(_process: u32) -> bool {
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs::File;

    #[test]
    fn only_what_is_ours_and_nobody_writes_any_more_goes() {
        let dir = tempfile::tempdir().unwrap();
        let make = |name: &str| File::create(dir.path().join(name)).unwrap();
        let now = make("now").metadata().unwrap().modified().unwrap();
        let long_ago = now - 2 * DAY;
        let mine = prefix();
        make(&format!("{mine}young"));
        make(&format!("{mine}old")).set_modified(long_ago).unwrap();
        // No system gives a process this number (2^31 - 1).
        make(".rackshade-writing-2147483647-orphan");
        make(".writing-young");
        make(".writing-old").set_modified(long_ago).unwrap();
        make("notes.txt").set_modified(long_ago).unwrap();
        sweep(dir.path());
        let mut left: Vec<String> = fs::read_dir(dir.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        left.sort();
        let kept = if cfg!(unix) { 4 } else { 5 };
        assert_eq!(left.len(), kept, "{left:?}");
        for stays in [".writing-young", "notes.txt", "now"] {
            assert!(left.contains(&stays.to_owned()), "{left:?}");
        }
        assert!(left.contains(&format!("{mine}young")), "{left:?}");
    }
}
