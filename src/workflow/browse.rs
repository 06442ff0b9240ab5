//! Finding a photo by typing: names that fit, and paths as a terminal pastes them.

use crate::store::{self, Entry};
use std::path::{MAIN_SEPARATOR, Path, PathBuf};

/// Endings of the kinds of picture that are read.
const ENDINGS: [&str; 8] = ["jpg", "jpeg", "png", "webp", "heic", "heif", "hif", "jpe"];
/// Folders a home folder has for photos, by their usual names.
const USUAL: [&str; 4] = ["Pictures", "Downloads", "DCIM", "Desktop"];

/// A name that fits what was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// What the field holds when it is taken: a folder ends in a separator.
    pub path: String,
    /// The name alone, a folder with its separator.
    pub name: String,
    /// Whether it is a folder.
    pub is_folder: bool,
}

/// Returns folders and pictures that fit what was typed, pictures first, the newest first.
///
/// What stands before the last separator is the folder, the rest the beginning of a name, in
/// capitals or not. Hidden names are shown when they are asked for by their dot.
pub fn candidates(typed: &str) -> Vec<Candidate> {
    let (folder, beginning) = parted(typed);
    let place = if folder.is_empty() {
        PathBuf::from(".")
    } else {
        path_of(folder)
    };
    let beginning = beginning.to_lowercase();
    let mut found: Vec<Entry> = store::entries(&place)
        .into_iter()
        .filter(|e| e.is_folder || is_picture(&e.name))
        .filter(|e| e.name.to_lowercase().starts_with(&beginning))
        .filter(|e| beginning.starts_with('.') || !e.name.starts_with('.'))
        .collect();
    found.sort_by(|a, b| {
        let newest = || {
            if a.is_folder {
                std::cmp::Ordering::Equal
            } else {
                b.changed.cmp(&a.changed)
            }
        };
        (a.is_folder.cmp(&b.is_folder))
            .then_with(newest)
            .then_with(|| a.name.cmp(&b.name))
    });
    found
        .into_iter()
        .map(|entry| {
            let mut name = entry.name;
            if entry.is_folder {
                name.push(MAIN_SEPARATOR);
            }
            Candidate {
                path: format!("{folder}{name}"),
                name,
                is_folder: entry.is_folder,
            }
        })
        .collect()
}

/// Returns what was typed, made longer by what all candidates share.
pub fn completed(typed: &str, candidates: &[Candidate]) -> String {
    let Some(first) = candidates.first() else {
        return typed.to_owned();
    };
    let mut shared: Vec<char> = first.path.chars().collect();
    for candidate in &candidates[1..] {
        let same = shared
            .iter()
            .zip(candidate.path.chars())
            .take_while(|(a, b)| a.to_lowercase().eq(b.to_lowercase()))
            .count();
        shared.truncate(same);
    }
    if shared.len() < typed.chars().count() {
        return typed.to_owned();
    }
    shared.into_iter().collect()
}

/// Returns the folder of a path as typed, with its separator; empty for a bare name.
pub fn folder_of(typed: &str) -> &str {
    parted(typed).0
}

/// Returns a folder to begin in: the user's own for pictures, else the present one.
pub fn usual_folder() -> String {
    let home = store::home();
    let found = home
        .iter()
        .flat_map(|home| USUAL.iter().map(|name| home.join(name)));
    for folder in found {
        if store::entries(&folder).iter().any(|e| is_picture(&e.name)) {
            return format!("{}{MAIN_SEPARATOR}", folder.display());
        }
    }
    String::new()
}

/// Returns the path that was typed; `~` is the user's home folder.
pub fn path_of(typed: &str) -> PathBuf {
    let below_home = typed
        .strip_prefix('~')
        .filter(|rest| rest.is_empty() || rest.starts_with(['/', MAIN_SEPARATOR]));
    match (below_home, store::home()) {
        (Some(rest), Some(home)) => home.join(rest.trim_start_matches(['/', MAIN_SEPARATOR])),
        (Some(_), None) | (None, _) => PathBuf::from(typed),
    }
}

/// Returns the path in a text that a terminal pasted when a file was dropped on it or copied.
///
/// Terminals quote such paths, put a backslash before blanks, or write `file://` addresses with
/// percent signs (RFC 8089). Of several lines the first counts.
pub fn dropped(text: &str) -> String {
    let line = text.lines().map(str::trim).find(|l| !l.is_empty());
    let line = line.unwrap_or_default();
    if let Some(address) = line.strip_prefix("file://") {
        // the host, where one is named, is this machine
        let path = address.find('/').map_or(address, |at| &address[at..]);
        return without_percents(path);
    }
    for quote in ['\'', '"'] {
        if let Some(inner) = line
            .strip_prefix(quote)
            .and_then(|rest| rest.strip_suffix(quote))
        {
            // a quote inside is written as '\''
            return inner.replace("'\\''", "'");
        }
    }
    if MAIN_SEPARATOR == '\\' || store::is_there(Path::new(line)) {
        return line.to_owned();
    }
    without_backslashes(line)
}

fn without_backslashes(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text.chars();
    while let Some(c) = rest.next() {
        match c {
            '\\' => out.extend(rest.next()),
            plain => out.push(plain),
        }
    }
    out
}

fn without_percents(text: &str) -> String {
    let mut out = Vec::new();
    let bytes = text.as_bytes();
    let mut i = 0;
    while i < bytes.len() {
        let code = (bytes[i] == b'%')
            .then(|| text.get(i + 1..i + 3))
            .flatten()
            .and_then(|hex| u8::from_str_radix(hex, 16).ok());
        out.push(code.unwrap_or(bytes[i]));
        i += if code.is_some() { 3 } else { 1 };
    }
    String::from_utf8_lossy(&out).into_owned()
}

fn parted(typed: &str) -> (&str, &str) {
    let at = typed
        .rfind(['/', MAIN_SEPARATOR])
        .map_or(0, |separator| separator + 1);
    typed.split_at(at)
}

fn is_picture(name: &str) -> bool {
    name.rsplit_once('.')
        .is_some_and(|(_, ending)| ENDINGS.contains(&ending.to_lowercase().as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn every_way_a_terminal_pastes_a_path_is_understood() {
        for (pasted, path) in [
            ("/tmp/toast.jpg", "/tmp/toast.jpg"),
            ("'/tmp/my toast.jpg' ", "/tmp/my toast.jpg"),
            ("\"/tmp/my toast.jpg\"", "/tmp/my toast.jpg"),
            ("'/tmp/baker'\\''s toast.jpg'", "/tmp/baker's toast.jpg"),
            ("/tmp/my\\ toast\\ \\(1\\).jpg", "/tmp/my toast (1).jpg"),
            ("file:///tmp/my%20toast.jpg\r\n", "/tmp/my toast.jpg"),
            ("file://kitchen/tmp/cr%C3%A8me.jpg", "/tmp/crème.jpg"),
            ("file:///tmp/50%.jpg", "/tmp/50%.jpg"),
            ("\n/tmp/a.jpg\n/tmp/b.jpg\n", "/tmp/a.jpg"),
            ("", ""),
        ] {
            assert_eq!(dropped(pasted), path, "{pasted:?}");
        }
    }

    #[test]
    fn names_that_fit_are_found_pictures_first_and_the_rest_left_out() {
        let folder = tempfile::TempDir::new().unwrap();
        for name in [
            "toast-1.JPG",
            "toast-2.png",
            "Tray.webp",
            "notes.txt",
            ".toast-0.jpg",
        ] {
            fs::File::create(folder.path().join(name)).unwrap();
        }
        fs::create_dir(folder.path().join("toast tests")).unwrap();
        let typed = format!("{}{MAIN_SEPARATOR}to", folder.path().display());
        let found = candidates(&typed);
        let mut names: Vec<&str> = found.iter().map(|c| c.name.as_str()).collect();
        assert_eq!(
            names.pop(),
            Some(format!("toast tests{MAIN_SEPARATOR}").as_str())
        );
        names.sort_unstable();
        assert_eq!(names, ["toast-1.JPG", "toast-2.png"]);
        assert_eq!(completed(&typed, &found), format!("{typed}ast"));
        let all = candidates(folder_of(&typed));
        assert_eq!(all.len(), 4, "{all:?}");
        assert!(candidates("/no such folder/at all").is_empty());
    }
}
