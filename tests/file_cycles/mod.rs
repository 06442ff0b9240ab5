//! Finds files of `src` that need one another in a circle.
//!
//! A file uses another when it names something that the other defines. A name that a file only hands on
//! (`use`, `pub use`) is followed to where it comes from; declaring a module (`mod x;`) uses nothing.

use crate::{collect, ident, module_path, path_at, punct, rust_files};
use proc_macro2::{TokenStream, TokenTree};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

pub(crate) type Module = Vec<String>;
pub(crate) type Edges = BTreeMap<Module, BTreeSet<Module>>;

/// What one file names, as paths from the root.
struct Named {
    /// In its `use` lines.
    uses: Vec<Module>,
    /// Anywhere.
    all: Vec<Module>,
}

/// Returns every largest set of files under `src` each of which needs, by some way, all others of the set.
pub(crate) fn cycles(src: &Path) -> Vec<Vec<String>> {
    let edges = edges(src);
    assert!(edges.len() > 100, "{} files seen", edges.len());
    let reach: BTreeMap<&Module, BTreeSet<&Module>> =
        edges.keys().map(|m| (m, reached(m, &edges))).collect();
    let mut found: Vec<Vec<String>> = Vec::new();
    let mut placed: BTreeSet<&Module> = BTreeSet::new();
    for module in edges.keys() {
        if placed.contains(module) {
            continue;
        }
        let circle: Vec<&Module> = edges
            .keys()
            .filter(|other| reach[module].contains(other) && reach[other].contains(module))
            .collect();
        placed.extend(&circle);
        if !circle.is_empty() {
            found.push(circle.iter().map(|m| m.join("/")).collect());
        }
    }
    found
}

fn reached<'e>(from: &Module, edges: &'e Edges) -> BTreeSet<&'e Module> {
    let mut seen = BTreeSet::new();
    let mut next: Vec<&Module> = edges[from].iter().collect();
    while let Some(module) = next.pop() {
        if seen.insert(module) {
            next.extend(&edges[module]);
        }
    }
    seen
}

/// Returns which files each file of `src` uses.
pub(crate) fn edges(src: &Path) -> Edges {
    let files: BTreeMap<Module, _> = rust_files(src)
        .into_iter()
        .map(|file| (module_path(src, &file), file))
        .filter(|(module, _)| !module.is_empty())
        .collect();
    let named: BTreeMap<&Module, Named> = files
        .iter()
        .map(|(module, file)| {
            let tokens: TokenStream = fs::read_to_string(file).unwrap().parse().unwrap();
            (module, names(module, tokens, &files))
        })
        .collect();
    named
        .iter()
        .map(|(module, names)| {
            let used = names.all.iter().map(|path| home_of(path, &named, 0));
            let others = used.filter(|used| !used.is_empty() && used != *module);
            ((*module).clone(), others.collect())
        })
        .collect()
}

fn names<T>(module: &Module, tokens: TokenStream, files: &BTreeMap<Module, T>) -> Named {
    let from_root = |path: Module| {
        if path[0] == "crate" {
            return Some(path[1..].to_vec());
        }
        let mut own = module.clone();
        if path[0] == "self" {
            own.extend_from_slice(&path[1..]);
            return Some(own);
        }
        own.push(path[0].clone());
        // A word alone may be a variable of that name.
        (path.len() > 1 && files.contains_key(&own)).then(|| {
            own.extend_from_slice(&path[1..]);
            own
        })
    };
    let uses = used_lines(tokens.clone(), module);
    let mut all = Vec::new();
    collect(tokens, module, &mut all);
    Named {
        uses: uses.into_iter().filter_map(from_root).collect(),
        all: all.into_iter().filter_map(from_root).collect(),
    }
}

/// Returns the paths of the `use` lines that hold for the whole file.
fn used_lines(tokens: TokenStream, module: &[String]) -> Vec<Module> {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let mut found = Vec::new();
    for i in 0..tokens.len() {
        if ident(&tokens, i).as_deref() == Some("use") && !punct(&tokens, i + 1, '<') {
            path_at(&tokens, i + 1, &mut Vec::new(), &mut found);
        }
    }
    found
        .into_iter()
        .map(|path| crate::from_root(path, module))
        .collect()
}

/// Returns the file that defines what a path from the root names; empty when it is none of ours.
fn home_of(path: &[String], named: &BTreeMap<&Module, Named>, handed_on: usize) -> Module {
    let known = (0..=path.len())
        .rev()
        .find(|&n| named.contains_key(&path[..n].to_vec()));
    let Some(n) = known else { return Vec::new() };
    let file = path[..n].to_vec();
    let Some(name) = path.get(n) else { return file };
    let origin = named[&file]
        .uses
        .iter()
        .find(|used| used.last() == Some(name) && used[..] != path[..=n]);
    match origin {
        // `use` lines cannot hand a name on for ever; a few are as many as there are.
        Some(origin) if handed_on < 8 => {
            let further: Module = origin.iter().chain(&path[n + 1..]).cloned().collect();
            home_of(&further, named, handed_on + 1)
        }
        Some(_) | None => file,
    }
}
