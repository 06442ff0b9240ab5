//! Checks what the program is built from, offline: licences, sources, and nothing that is forbidden here.
//!
//! The list of licences is the one in `.deny.toml`, so that both checks agree.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use serde_json::Value;
use std::{collections::BTreeSet, fs, path::Path, process::Command};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every package that the program, its tests and its benches are built from on this machine's kind.
fn packages() -> Vec<Value> {
    let about = Command::new("rustc").arg("-vV").output().unwrap();
    let about = String::from_utf8(about.stdout).unwrap();
    let host = about
        .lines()
        .find_map(|l| l.strip_prefix("host: "))
        .unwrap();
    let output = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version=1",
            "--all-features",
            "--offline",
            "--locked",
        ])
        .args(["--filter-platform", host])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let all: Value = serde_json::from_slice(&output.stdout).unwrap();
    let packages = all["packages"].as_array().unwrap().clone();
    assert!(packages.len() > 100, "{} packages", packages.len());
    packages
}

/// The licences that `.deny.toml` allows.
fn allowed() -> BTreeSet<String> {
    let text = fs::read_to_string(root().join(".deny.toml")).unwrap();
    let list = text.split_once("allow = [").unwrap().1;
    let list = list.split_once(']').unwrap().0;
    let allowed: BTreeSet<String> = list
        .split(',')
        .map(|name| name.trim().trim_matches('"').to_owned())
        .filter(|name| !name.is_empty())
        .collect();
    assert!(allowed.contains("MIT"), "{allowed:?}");
    allowed
}

/// Tells whether a licence expression can be met by allowed licences alone.
///
/// `OR` offers a choice, `AND` asks for all; brackets are taken apart from the inside (SPDX 2.3, annex D).
fn is_met(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let mut text = expression.replace('/', " OR ");
    while let Some(end) = text.find(')') {
        let start = text[..end].rfind('(').unwrap();
        let inner = if is_met(&text[start + 1..end], allowed) {
            "MIT"
        } else {
            "none"
        };
        text.replace_range(start..=end, inner);
    }
    text.split(" OR ").any(|choice| {
        choice
            .split(" AND ")
            .all(|name| allowed.contains(name.trim()))
    })
}

#[test]
fn every_licence_is_on_the_list() {
    let allowed = allowed();
    let wrong: Vec<String> = packages()
        .iter()
        .filter(|package| !is_met(package["license"].as_str().unwrap_or("none"), &allowed))
        .map(|package| format!("{} {}", package["name"], package["license"]))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(is_met("MIT/Apache-2.0", &allowed) && is_met("(MIT OR GPL-3.0) AND Zlib", &allowed));
    assert!(!is_met("GPL-3.0", &allowed) && !is_met("MIT AND GPL-3.0", &allowed));
}

#[test]
fn every_package_comes_from_the_one_registry() {
    let mut seen = BTreeSet::new();
    for package in packages() {
        let source = package["source"].as_str().unwrap_or("here").to_owned();
        assert!(
            source == "here" || source.starts_with("registry+"),
            "{}: {source}",
            package["name"]
        );
        seen.insert(source);
    }
    assert_eq!(seen.len(), 2, "{seen:?}");
}

/// What opens sockets, links a system library or needs one to be built (some only on other systems).
const FORBIDDEN: [&str; 12] = [
    "openssl-sys",
    "native-tls",
    "reqwest",
    "hyper",
    "ureq",
    "curl",
    "tokio",
    "async-std",
    "libsqlite3-sys",
    "libheif-sys",
    "bindgen",
    "pkg-config",
];

#[test]
fn nothing_in_it_speaks_to_a_network_or_needs_a_system_library() {
    let packages = packages();
    let found: Vec<&str> = packages
        .iter()
        .filter_map(|package| package["name"].as_str())
        .filter(|name| FORBIDDEN.contains(name))
        .collect();
    assert!(found.is_empty(), "{found:?}");
}
