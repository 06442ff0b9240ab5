//! Every sentence a person can meet keeps to the plain words of the kitchen.
//!
//! Gathered are the pictures of all screens, the papers of the demo kitchen, the help of every verb, the manual page,
//! the README, and every string in `report/`, `cli/` and `workflow/`.

#![expect(clippy::unwrap_used, reason = "a test helper may stop the test")]

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

/// Said nowhere: each with what is said instead.
const NEVER: [(&str, &str); 17] = [
    (
        "surely",
        "no adverb from 95 %, probably from 80 %, perhaps from 60 %",
    ),
    ("told apart", "too close to call"),
    ("anew", "again"),
    ("taken at its word", "assumed right"),
    ("true less dial", "thermometer minus dial"),
    ("air less dial", "thermometer minus dial"),
    ("root mean square", "typically off by"),
    ("lattice", "grid"),
    ("pooled", "count together"),
    ("cannot be told", "can't tell yet, or: is not known"),
    ("can be told", "shows"),
    ("has not; ", "this oven has no ..."),
    ("put right what", "not saved: the disk refused"),
    ("neighbours say", "than its neighbours: check it"),
    (
        "common practice, no source",
        "by custom; sources stand in tests and docs",
    ),
    ("time constant", "two thirds of it back after"),
    ("hardly told", "unknown"),
];

/// Said neither on the door card nor on the first lines of a screen or paper.
const DEEPER: [&str; 9] = [
    "standard deviation",
    "standard error",
    "interval",
    "90 %",
    "probability",
    "confidence",
    "L*",
    " sd",
    "variance",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn files_under(dir: &Path, ending: &str) -> Vec<PathBuf> {
    let mut out = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            out.extend(files_under(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            out.push(path);
        }
    }
    out.sort();
    out
}

/// Runs the program on an empty kitchen.
fn said(args: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let out = Command::new(env!("CARGO_BIN_EXE_rackshade"))
        .args(args)
        .arg("--data")
        .arg(folder.path())
        .output()
        .unwrap();
    let all = [out.stdout, out.stderr].concat();
    String::from_utf8_lossy(&all).into_owned()
}

/// Returns every string of a source file; documentation only where it becomes help.
fn strings(tokens: TokenStream, with_docs: bool, out: &mut Vec<String>) {
    let mut of_tests = false;
    for token in tokens {
        let text = token.to_string();
        match token {
            TokenTree::Group(group) => {
                let inside = group.stream();
                let attribute = group.delimiter() == Delimiter::Bracket;
                if attribute && text.replace(' ', "") == "[cfg(test)]" {
                    of_tests = true;
                } else if attribute && text.starts_with("[doc") && !with_docs {
                    // Comments are for developers.
                } else if group.delimiter() == Delimiter::Brace && of_tests {
                    of_tests = false;
                } else {
                    strings(inside, with_docs, out);
                }
            }
            TokenTree::Literal(_) if text.starts_with('"') || text.starts_with("r\"") => {
                out.push(text.clone());
            }
            TokenTree::Punct(_) if text == ";" => of_tests = false,
            TokenTree::Literal(_) | TokenTree::Ident(_) | TokenTree::Punct(_) => {}
        }
    }
}

fn offences(place: &str, text: &str, words: &[&str]) -> Vec<String> {
    let lower = text.to_lowercase();
    words
        .iter()
        .filter(|word| lower.contains(&word.to_lowercase()))
        .map(|word| {
            let line = text
                .lines()
                .find(|l| l.to_lowercase().contains(&word.to_lowercase()));
            format!("{place}: '{word}' in '{}'", line.unwrap_or(text).trim())
        })
        .collect()
}

#[expect(clippy::disallowed_methods, reason = "a copy for the test")]
fn copied(from: &Path, to: &Path) {
    for path in files_under(from, ".json") {
        let copy = to.join(path.strip_prefix(from).unwrap());
        fs::create_dir_all(copy.parent().unwrap()).unwrap();
        fs::write(copy, fs::read(&path).unwrap()).unwrap();
    }
}

fn never() -> Vec<&'static str> {
    NEVER.iter().map(|(word, _)| *word).collect()
}

#[test]
fn no_string_of_the_program_says_what_is_never_said() {
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for (folder, with_docs) in [("report", false), ("workflow", false), ("cli", true)] {
        for path in files_under(&root().join("src").join(folder), ".rs") {
            if path.ends_with("tests.rs") && folder != "cli" {
                continue;
            }
            let source = fs::read_to_string(&path).unwrap();
            let mut found = Vec::new();
            strings(source.parse().unwrap(), with_docs, &mut found);
            seen += found.len();
            for text in found {
                wrong.extend(offences(&path.to_string_lossy(), &text, &never()));
            }
        }
    }
    assert!(seen > 2000, "{seen}");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn no_screen_says_what_is_never_said_nor_statistics_in_its_first_lines() {
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for path in files_under(&root().join("tests/golden"), ".snap") {
        let text = fs::read_to_string(&path).unwrap();
        let screen: Vec<&str> = text.lines().filter_map(|l| l.strip_prefix('|')).collect();
        let place = path.file_name().unwrap().to_string_lossy().into_owned();
        wrong.extend(offences(&place, &screen.join("\n"), &never()));
        let first = screen.iter().take(2).copied().collect::<Vec<_>>();
        wrong.extend(offences(&place, &first.join("\n"), &DEEPER));
        seen += usize::from(!screen.is_empty());
    }
    assert!(seen > 40, "{seen}");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Returns the words after `Commands:` of a help text.
fn verbs(help: &str) -> BTreeSet<String> {
    help.lines()
        .skip_while(|l| !l.starts_with("Commands:"))
        .skip(1)
        .take_while(|l| !l.is_empty())
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .filter(|verb| *verb != "help")
        .map(str::to_owned)
        .collect()
}

#[test]
fn no_help_text_manual_page_or_readme_says_what_is_never_said() {
    let whole = said(&["--help"]);
    let mut texts = vec![("--help".to_owned(), whole.clone())];
    for verb in verbs(&whole) {
        let help = said(&[&verb, "--help"]);
        for word in verbs(&help) {
            texts.push((format!("{verb} {word}"), said(&[&verb, &word, "--help"])));
        }
        texts.push((verb, help));
    }
    texts.push(("man".to_owned(), said(&["man"])));
    texts.push(("keys".to_owned(), said(&["keys"])));
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    texts.push(("README.md".to_owned(), readme));
    assert!(texts.len() > 30, "{}", texts.len());
    let wrong: Vec<String> = texts
        .iter()
        .flat_map(|(place, text)| {
            assert!(text.len() > 100, "{place}: {text}");
            offences(place, text, &never())
        })
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn no_paper_says_what_is_never_said_and_the_door_card_no_statistics() {
    let copy = tempfile::tempdir().unwrap();
    let kitchen = copy.path();
    copied(&root().join("demo-data"), kitchen);
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for oven in ["wall-oven", "counter-oven"] {
        for paper in ["card", "technician"] {
            let folder = tempfile::tempdir().unwrap();
            let file = folder.path().join("paper.md");
            let run = Command::new(env!("CARGO_BIN_EXE_rackshade"))
                .args(["report", paper, oven, "--data"])
                .arg(kitchen)
                .arg("--out")
                .arg(&file)
                .output()
                .unwrap();
            assert!(run.status.success(), "{run:?}");
            let text = fs::read_to_string(&file).unwrap();
            let place = format!("{paper} of {oven}");
            wrong.extend(offences(&place, &text, &never()));
            let deeper: String = if paper == "card" {
                text.clone()
            } else {
                // The title, the date, and the finding.
                text.lines().take(5).collect::<Vec<_>>().join("\n")
            };
            wrong.extend(offences(&place, &deeper, &DEEPER));
            seen += 1;
        }
    }
    assert_eq!(seen, 4);
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
