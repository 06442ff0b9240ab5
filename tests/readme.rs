//! Holds the README to its length, to the verbs there are, and to the pictures it shows.

#![expect(clippy::unwrap_used, reason = "a test helper may stop the test")]

use std::{collections::BTreeSet, fs, path::Path, process::Command};

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    fs::read_to_string(path).unwrap()
}

/// The task: at most 1,500 words; keys stand in `?`, `rackshade keys` and the manual page.
#[test]
fn the_readme_is_short() {
    let words = readme().split_whitespace().count();
    assert!((500..=1500).contains(&words), "{words}");
}

#[test]
fn its_pictures_are_there() {
    let readme = readme();
    let shown: Vec<&str> = readme
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split(')').next())
        .filter(|path| path.starts_with("assets/"))
        .collect();
    assert_eq!(shown.len(), 2, "{shown:?}");
    for path in shown {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
        let picture = fs::read_to_string(&file).unwrap();
        assert!(picture.starts_with("<svg "), "{path}");
    }
}

/// Every command the README shows is read by the program, as far as its arguments go.
#[test]
fn its_commands_are_there() {
    let readme = readme();
    let shown: BTreeSet<&str> = readme
        .lines()
        .filter_map(|line| line.strip_prefix("rackshade "))
        .filter_map(|rest| rest.split_whitespace().next())
        .collect();
    assert!(shown.len() >= 10, "{shown:?}");
    for verb in shown {
        let help = Command::new(env!("CARGO_BIN_EXE_rackshade"))
            .args([verb, "--help"])
            .output()
            .unwrap();
        assert!(help.status.success(), "{verb}");
    }
}
