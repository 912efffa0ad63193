//! The files of a crate and which of them uses which, read from their text.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// What each file uses, by its path as a module; `lib.rs` is "lib".
pub type Arrows = BTreeMap<String, BTreeSet<String>>;

/// Every file of a crate by its path as a module, `lib.rs` by "", with its text without comments and tests.
pub fn modules(root: &Path) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![root.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let name =
                path.strip_prefix(root).unwrap().with_extension("").to_string_lossy().replace('/', "::");
            if path.extension().is_some_and(|extension| extension == "rs") && !name.ends_with("tests") {
                let text = std::fs::read_to_string(&path).unwrap();
                let name = name.strip_suffix("::mod").unwrap_or(&name);
                found.insert(if name == "lib" { "" } else { name }.to_owned(), without_tests(&text));
            }
        }
    }
    found
}

/// Without its comments and the tests at its end.
fn without_tests(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
    text.lines().filter(|line| !line.trim_start().starts_with("//")).map(|line| format!("{line}\n")).collect()
}

/// What the text of one file says of others.
#[derive(Default)]
struct Said {
    /// Names of its own modules.
    children: BTreeSet<String>,
    /// What it imports, each with the name that it has here, and whether others get it from here.
    imports: Vec<Import>,
    /// Paths in its code.
    paths: Vec<Vec<String>>,
}

struct Import {
    path: Vec<String>,
    name: String,
    is_passed_on: bool,
}

/// Names, `::` and every other sign by itself.
fn tokens(text: &str) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        let is_of_a_name = |letter: &char| letter.is_alphanumeric() || *letter == '_';
        let mut token = letter.to_string();
        if is_of_a_name(&letter) {
            while let Some(next) = letters.next_if(is_of_a_name) {
                token.push(next);
            }
        } else if letter == ':' && letters.next_if_eq(&':').is_some() {
            token.push(':');
        } else if letter.is_whitespace() {
            continue;
        }
        tokens.push(token);
    }
    tokens
}

/// The imports of a tree such as `a::{b, c::{self, d as e}}`, of which `stem` was read. Leaves what follows the tree.
fn read_tree(rest: &mut &[String], stem: &[String], is_passed_on: bool, imports: &mut Vec<Import>) {
    let mut path = stem.to_vec();
    let mut renamed = None;
    while let Some((token, after)) = rest.split_first() {
        match token.as_str() {
            "{" => {
                *rest = after;
                while rest[0] != "}" {
                    read_tree(rest, &path, is_passed_on, imports);
                    if rest[0] == "," {
                        *rest = &rest[1..];
                    }
                }
                *rest = &rest[1..];
                return;
            }
            "," | "}" | ";" => break,
            "::" => *rest = after,
            "as" => {
                renamed = Some(after[0].clone());
                *rest = &after[1..];
            }
            "self" if !path.is_empty() => *rest = after,
            name => {
                path.push(name.to_owned());
                *rest = after;
            }
        }
    }
    let name = renamed.or_else(|| path.last().cloned()).unwrap_or_default();
    imports.push(Import { path, name, is_passed_on });
}

fn said(text: &str) -> Said {
    let tokens = tokens(text);
    let mut said = Said::default();
    let mut rest = tokens.as_slice();
    let mut before = "";
    while let Some((token, after)) = rest.split_first() {
        rest = after;
        match (token.as_str(), after) {
            ("mod", [name, end, ..]) if end == ";" => _ = said.children.insert(name.clone()),
            ("use", [next, ..]) if next != "<" => {
                read_tree(&mut rest, &[], before == "pub" || before == ")", &mut said.imports);
            }
            (head, [colons, ..]) if colons == "::" && before != "::" => {
                let mut path = vec![head.to_owned()];
                let mut further = after;
                while let [colons, name, beyond @ ..] = further
                    && colons == "::"
                    && name.starts_with(|letter: char| letter.is_alphabetic() || letter == '_')
                {
                    path.push(name.clone());
                    further = beyond;
                }
                said.paths.push(path);
            }
            _ => {}
        }
        before = token;
    }
    said
}

/// Every path that a file imports or names, as it is written there, lists taken apart.
pub fn paths(text: &str) -> Vec<String> {
    let Said { imports, paths, .. } = said(text);
    imports.into_iter().map(|import| import.path).chain(paths).map(|path| path.join("::")).collect()
}

/// A path within the crate, from its root, as it is meant in the module `here`; `None` for other crates and local names.
fn from_root(said: &Said, here: &str, path: &[String]) -> Option<Vec<String>> {
    let here: Vec<String> = here.split("::").filter(|part| !part.is_empty()).map(str::to_owned).collect();
    let ups = path.iter().take_while(|part| *part == "super").count();
    let (stem, rest) = match path[0].as_str() {
        "crate" => (&here[..0], &path[1..]),
        "self" => (&here[..], &path[1..]),
        "super" => (&here[..here.len().checked_sub(ups)?], &path[ups..]),
        head if said.children.contains(head) => (&here[..], path),
        _ => return None,
    };
    Some(stem.iter().chain(rest).cloned().collect())
}

/// Which file of a crate uses which, in an import, in a path or by passing it on. What a file passes on counts as use of
/// the file where it is written. A file that only declares another one does not use it.
pub fn arrows(modules: &BTreeMap<String, String>) -> Arrows {
    let said: BTreeMap<&str, Said> = modules.iter().map(|(name, text)| (name.as_str(), said(text))).collect();
    let spoken = |name: &str| if name.is_empty() { "lib".to_owned() } else { name.to_owned() };
    let of = |(&here, words): (&&str, &Said)| {
        let imported = words.imports.iter().map(|import| &import.path);
        let paths = imported.chain(&words.paths).filter_map(|path| from_root(words, here, path));
        let used = paths.map(|path| written_in(&said, path)).filter(|to| to != here);
        (spoken(here), used.map(|to| spoken(&to)).collect())
    };
    said.iter().map(of).collect()
}

/// The module in which what a path names is written, wherever it was passed on.
fn written_in(said: &BTreeMap<&str, Said>, path: Vec<String>) -> String {
    let mut module = String::new();
    for (at, part) in path.iter().enumerate() {
        let child = if module.is_empty() { part.clone() } else { format!("{module}::{part}") };
        if said.contains_key(child.as_str()) {
            module = child;
            continue;
        }
        let words = &said[module.as_str()];
        let passed_on = words.imports.iter().filter(|import| import.is_passed_on && import.name == *part);
        let mut whole = passed_on.filter_map(|import| from_root(words, &module, &import.path));
        return match whole.next() {
            Some(stem) => written_in(said, stem.into_iter().chain(path[at + 1..].iter().cloned()).collect()),
            None => module,
        };
    }
    module
}

/// The files that use each other, directly or through others, each such circle as a whole.
pub fn circles(arrows: &Arrows) -> Vec<BTreeSet<String>> {
    let reached: BTreeMap<&String, BTreeSet<&String>> =
        arrows.keys().map(|from| (from, reached(arrows, from))).collect();
    let back = |from| reached[from].iter().filter(|to| reached[*to].contains(from)).copied().cloned();
    let circles: BTreeSet<BTreeSet<String>> = arrows.keys().map(|from| back(from).collect()).collect();
    circles.into_iter().filter(|circle| !circle.is_empty()).collect()
}

/// The files that a file uses, directly or through others.
fn reached<'a>(arrows: &'a Arrows, from: &String) -> BTreeSet<&'a String> {
    let mut reached = BTreeSet::new();
    let mut next: Vec<&String> = arrows[from].iter().collect();
    while let Some(to) = next.pop() {
        if reached.insert(to) {
            next.extend(&arrows[to]);
        }
    }
    reached
}
