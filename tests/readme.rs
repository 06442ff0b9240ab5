//! Holds the README's list of keys to the program's own table.
//!
//! `RACKSHADE_WRITE_README=1 cargo test --test readme` writes the list anew after a key was changed.

use rackshade::tui::as_markdown;
use std::{fs, path::Path};

const BEGIN: &str = "<!-- keys: written by tests/readme.rs -->";
const END: &str = "<!-- end of keys -->";

#[test]
fn the_readme_lists_every_key_as_the_program_has_it() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let (before, rest) = readme
        .split_once(BEGIN)
        .expect("the README marks where keys begin");
    let (listed, after) = rest
        .split_once(END)
        .expect("the README marks where keys end");
    let table = as_markdown();
    if std::env::var_os("RACKSHADE_WRITE_README").is_some() {
        #[expect(clippy::disallowed_methods, reason = "no data of a user's")]
        fs::write(&path, format!("{before}{BEGIN}\n{table}\n{END}{after}")).unwrap();
        return;
    }
    assert!(table.lines().count() > 80, "the table is not gathered");
    assert_eq!(
        listed.trim(),
        table.trim(),
        "see the head of tests/readme.rs"
    );
}
