//! The rooms of DEVELOPERS.md: a room reads only rooms above it, and so do the rooms inside `route`.
//!
//! Seen are `crate::`, `self::` and `super::` paths, however many, single or in braces, and the files that are included.

#![allow(clippy::disallowed_methods, reason = "the test reads the source")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Component, Path, PathBuf};

/// In the order of the table, the doors last.
const ROOMS: [&str; 16] = [
    "text",
    "number",
    "data",
    "matter",
    "equation",
    "thermo",
    "solution",
    "hazard",
    "vessel",
    "route",
    "advice",
    "figure",
    "diagnostic",
    "report",
    "shell",
    "cli",
];

/// The rooms inside `route`, in the order in which data flow.
const ROUTE: [&str; 19] = [
    "syntax",
    "arithmetic",
    "glassware",
    "parse",
    "uses",
    "program",
    "check",
    "fault",
    "ledger",
    "bench",
    "moment",
    "nature",
    "operations",
    "questions",
    "run",
    "judge",
    "plan",
    "session",
    "",
];

/// Arrows inside `route` that run upward and are yet to go; one that is gone must be taken out here.
const YET_TO_GO: [[&str; 2]; 0] = [];

/// How files are included; what stands behind is their name, or the folder that it begins with.
const INCLUDES: [&str; 3] = ["include_str!(", "include_bytes!(", "include_str!(concat!("];

/// Modules, from the root of the crate, with their code: comments and texts left out.
struct Sources(BTreeMap<Vec<String>, String>);

/// Where a module reads another: the file and the path it is written with.
struct Arrow<'s> {
    from: &'s [String],
    to: Vec<String>,
    written: String,
}

impl Sources {
    fn read() -> Sources {
        let root = Path::new("src");
        let all = files(root).into_iter();
        let all = all.filter(|file| is_rust(file) && *file != root.join("main.rs"));
        let read = all.map(|file| {
            let code = code_of(&fs::read_to_string(&file).unwrap());
            (module(file.strip_prefix(root).unwrap()), code)
        });
        Sources(read.collect())
    }

    /// Every path of every module.
    fn arrows(&self) -> Vec<Arrow<'_>> {
        let mut all = Vec::new();
        for (from, code) in &self.0 {
            for (path, written) in paths(from, code) {
                let to = self.nearest(path);
                all.push(Arrow { from, to, written });
            }
        }
        all
    }

    /// The module that a path leads into: what lies behind it are items.
    fn nearest(&self, mut path: Vec<String>) -> Vec<String> {
        while !path.is_empty() && !self.0.contains_key(&path) {
            path.pop();
        }
        path
    }
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    paths
        .flat_map(|path| match path.is_dir() {
            true => files(&path),
            false => vec![path],
        })
        .collect()
}

fn is_rust(file: &Path) -> bool {
    file.extension().is_some_and(|kind| kind == "rs")
}

/// `route/run/mod.rs` is `route`, `run`; the root of the library is nothing.
fn module(file: &Path) -> Vec<String> {
    let names = file.with_extension("");
    let names = names.iter().map(|name| name.to_str().unwrap().to_owned());
    let mut names: Vec<String> = names.collect();
    if names.last().is_some_and(|last| last == "mod") || names == ["lib"] {
        names.pop();
    }
    names
}

/// Code without its comments and texts, which may name anything, and without the tests inside it. Names of included files
/// stay.
fn code_of(text: &str) -> String {
    let mut code = String::new();
    let mut rest = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
    while let Some(at) = rest.find(['/', '"', '\'']) {
        let (before, after) = rest.split_at(at);
        code += before;
        let length = match after.as_bytes() {
            [b'/', b'/', ..] => after.find('\n').unwrap_or(after.len()),
            [b'"', ..] if before.ends_with("r#") => {
                after.find("\"#").map_or(after.len(), |n| n + 2)
            }
            [b'"', ..] => text_length(after),
            // A character, which may be a quotation mark; else the mark of a lifetime.
            [b'\'', b'\\', _, b'\'', ..] => 4,
            [b'\'', _, b'\'', ..] => 3,
            _ => 0,
        };
        if length == 0 {
            code += &after[..1];
            rest = &after[1..];
            continue;
        }
        if INCLUDES.iter().any(|call| before.ends_with(call)) {
            code += &after[..length];
        }
        rest = &after[length..];
    }
    code + rest
}

/// With both quotation marks.
fn text_length(text: &str) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// Every path from the root of the crate that a module names, with how it is written.
fn paths(from: &[String], code: &str) -> Vec<(Vec<String>, String)> {
    let mut found = Vec::new();
    let starts = ["crate::", "self::", "super::"];
    let mut at = 0;
    while let Some(next) = starts
        .iter()
        .filter_map(|start| code[at..].find(start))
        .min()
    {
        let begin = at + next;
        let inside_word =
            code[..begin].ends_with(|c: char| c.is_alphanumeric() || "_:".contains(c));
        let mut base = from.to_vec();
        let mut rest = &code[begin..];
        if let Some(behind) = rest.strip_prefix("crate::") {
            base.clear();
            rest = behind;
        } else if let Some(behind) = rest.strip_prefix("self::") {
            rest = behind;
        }
        while let Some(behind) = rest.strip_prefix("super::") {
            base.pop();
            rest = behind;
        }
        let end = code.len() - rest.len();
        if !inside_word {
            let mut leaves = Vec::new();
            let behind = branches(rest, &base, &mut leaves);
            let written = &rest[..rest.len() - behind.len()];
            let written = format!("{}{written}", &code[begin..end]);
            found.extend(leaves.into_iter().map(|leaf| (leaf, written.clone())));
        }
        at = end;
    }
    found
}

/// The paths of one tree of a `use`, or a single path; what stands behind it.
fn branches<'c>(code: &'c str, base: &[String], leaves: &mut Vec<Vec<String>>) -> &'c str {
    let code = code.trim_start();
    if let Some(mut rest) = code.strip_prefix('{') {
        loop {
            rest = branches(rest, base, leaves).trim_start();
            if let Some(renamed) = rest.strip_prefix("as ") {
                rest = renamed.trim_start_matches(|c: char| c.is_alphanumeric() || c == '_');
                rest = rest.trim_start();
            }
            rest = match rest.strip_prefix(',') {
                Some(behind) => behind.trim_start(),
                None => return rest.strip_prefix('}').unwrap_or(rest),
            };
            if let Some(behind) = rest.strip_prefix('}') {
                return behind;
            }
        }
    }
    let end = code.find(|c: char| !c.is_alphanumeric() && c != '_');
    let (name, rest) = code.split_at(end.unwrap_or(code.len()));
    let path: Vec<String> = base.iter().cloned().chain([name.to_owned()]).collect();
    match rest.strip_prefix("::") {
        Some(behind) if behind.starts_with(|c: char| c.is_alphabetic() || "_{*".contains(c)) => {
            branches(behind, &path, leaves)
        }
        _ => {
            leaves.push(path);
            rest.strip_prefix('*').unwrap_or(rest)
        }
    }
}

fn place(rooms: &[&str], room: &str) -> usize {
    let found = rooms.iter().position(|known| *known == room);
    found.unwrap_or_else(|| panic!("`{room}` has no place among the rooms"))
}

#[test]
fn a_room_reads_only_rooms_above_it() {
    let sources = Sources::read();
    let mut off = Vec::new();
    let mut seen = 0;
    for arrow in sources.arrows() {
        let (Some(from), Some(to)) = (arrow.from.first(), arrow.to.first()) else {
            continue;
        };
        seen += usize::from(from != to);
        if place(&ROOMS, to) > place(&ROOMS, from) {
            off.push(format!("{}: {}", arrow.from.join("::"), arrow.written));
        }
    }
    assert!(seen > 500, "{seen} uses seen");
    assert!(off.is_empty(), "{}", off.join("\n"));
}

#[test]
fn inside_route_a_room_reads_only_rooms_above_it() {
    let sources = Sources::read();
    let mut upward: BTreeMap<[&str; 2], String> = BTreeMap::new();
    let mut seen = 0;
    let arrows = sources.arrows();
    for arrow in &arrows {
        let ([route, from, ..], [other, ..]) = (arrow.from, &arrow.to[..]) else {
            continue;
        };
        // What `route` itself declares lies below all of its rooms.
        let to = arrow.to.get(1).map_or("", String::as_str);
        if route != "route" || other != "route" || from == to {
            continue;
        }
        seen += 1;
        let is_below = to.is_empty() || place(&ROUTE, to) > place(&ROUTE, from);
        if is_below {
            let written = format!("{}: {}\n", arrow.from.join("::"), arrow.written);
            *upward.entry([from, to]).or_default() += &written;
        }
    }
    assert!(seen > 100, "{seen} uses seen");
    let known: BTreeSet<[&str; 2]> = YET_TO_GO.into_iter().collect();
    let fresh: String = upward
        .iter()
        .filter(|(arrow, _)| !known.contains(*arrow))
        .map(|(_, written)| written.as_str())
        .collect();
    assert!(fresh.is_empty(), "upward:\n{fresh}");
    let gone: Vec<&[&str; 2]> = known
        .iter()
        .filter(|one| !upward.contains_key(*one))
        .collect();
    assert!(gone.is_empty(), "take these out of YET_TO_GO: {gone:?}");
}

/// Tables and style sheets lie in rooms, too.
#[test]
fn a_room_includes_only_files_of_rooms_above_it() {
    let mut off = Vec::new();
    let mut seen = 0;
    for file in files(Path::new("src")).iter().filter(|file| is_rust(file)) {
        let code = code_of(&fs::read_to_string(file).unwrap());
        for name in included(&code) {
            let path = plain(&file.parent().unwrap().join(name));
            assert!(path.exists(), "{}: no {name}", file.display());
            seen += 1;
            if place(&ROOMS, &room(&path)) > place(&ROOMS, &room(file)) {
                off.push(format!("{}: {name}", file.display()));
            }
        }
    }
    assert!(seen > 0, "{seen} files included");
    assert!(off.is_empty(), "{}", off.join("\n"));
}

/// The folder or file behind `src`.
fn room(path: &Path) -> String {
    let inside = path.strip_prefix("src").expect("files lie in rooms");
    let first = Path::new(inside.iter().next().unwrap());
    first.file_stem().unwrap().to_str().unwrap().to_owned()
}

fn included(code: &str) -> Vec<&str> {
    let after = INCLUDES.iter().flat_map(|call| code.split(call).skip(1));
    let names = after.filter_map(|rest| rest.trim_start().strip_prefix('"'));
    names.filter_map(|name| name.split('"').next()).collect()
}

/// Without `..`.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => {
                plain.pop();
            }
            part => plain.push(part),
        }
    }
    plain
}

/// A file that no module declares is compiled by nobody.
#[test]
fn every_file_is_a_module_that_its_parent_declares() {
    let sources = Sources::read();
    for path in sources.0.keys() {
        let Some((name, parent)) = path.split_last() else {
            continue;
        };
        let declared = sources.0[parent].contains(&format!("mod {name};"));
        assert!(declared, "{}", path.join("::"));
    }
}

#[test]
fn every_way_to_write_a_path_is_seen() {
    let from = ["route", "run", "charge"].map(str::to_owned);
    let code = code_of(
        "use super::super::books::Account;\nuse crate::report::{json, page::{self, WIDTH}};\n\
         // use crate::cli;\nlet text = \"crate::shell\"; let c = '\"'; fn x(a: self::inner::B) {}\n\
         use super::state::*; use super::{finish, react as other};\n",
    );
    let seen = paths(&from, &code)
        .into_iter()
        .map(|(path, _)| path.join("::"));
    let seen: Vec<String> = seen.collect();
    assert_eq!(
        seen,
        [
            "route::books::Account",
            "report::json",
            "report::page::self",
            "report::page::WIDTH",
            "route::run::charge::inner::B",
            "route::run::state::",
            "route::run::finish",
            "route::run::react",
        ]
    );
    let code = code_of("const T: &str = include_str!(\"../data/a.csv\"); // include_str!(\"b\")");
    assert_eq!(included(&code), ["../data/a.csv"]);
}

#[test]
fn the_table_for_developers_has_the_same_order() {
    let page = fs::read_to_string("DEVELOPERS.md").unwrap();
    let is_row = |line: &&str| line.starts_with("| `");
    let from_first = page.lines().skip_while(|line| !is_row(line));
    let rows = from_first.take_while(is_row);
    let listed: Vec<&str> = rows
        .flat_map(|row| row.split('|').nth(1).unwrap().split(','))
        .map(|room| room.trim().trim_matches('`'))
        .collect();
    assert_eq!(listed, ROOMS);
}
