//! The rooms of DEVELOPERS.md: a room reads only rooms above it.

#![allow(clippy::disallowed_methods, reason = "the test reads the source")]

use std::fs;
use std::path::{Path, PathBuf};

/// In the order of the table, the doors last.
const ROOMS: [&str; 15] = [
    "text",
    "number",
    "data",
    "matter",
    "equation",
    "thermo",
    "solution",
    "hazard",
    "route",
    "advice",
    "figure",
    "diagnostic",
    "report",
    "shell",
    "cli",
];

fn place(room: &str) -> usize {
    let found = ROOMS.iter().position(|known| *known == room);
    found.unwrap_or_else(|| panic!("`{room}` has no place among the rooms"))
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    paths
        .flat_map(|path| match path.is_dir() {
            true => files(&path),
            false => vec![path],
        })
        .filter(|path| path.extension().is_some_and(|kind| kind == "rs"))
        .collect()
}

/// The rooms that a line of code names, comments left out.
fn named(line: &str) -> impl Iterator<Item = &str> {
    let code = line.split("//").next().unwrap_or_default();
    code.split("crate::").skip(1).filter_map(|rest| {
        let end = rest.find(|c: char| !c.is_ascii_lowercase() && c != '_');
        rest.get(..end.unwrap_or(rest.len()))
            .filter(|room| !room.is_empty())
    })
}

#[test]
fn a_room_reads_only_rooms_above_it() {
    let mut off = Vec::new();
    let mut seen = 0;
    for file in files(Path::new("src")) {
        let inside = file.strip_prefix("src").unwrap();
        let first = Path::new(inside.iter().next().unwrap()).file_stem();
        let room = first.unwrap().to_str().unwrap();
        if ["lib", "main"].contains(&room) {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        for (number, line) in text.lines().enumerate() {
            assert!(!line.contains("crate::{"), "a line for each room: {line}");
            for other in named(line) {
                seen += 1;
                if place(other) > place(room) {
                    off.push(format!("{}:{}: {line}", file.display(), number + 1));
                }
            }
        }
    }
    assert!(seen > 500, "{seen} uses seen");
    assert!(off.is_empty(), "{}", off.join("\n"));
}

#[test]
fn the_table_for_developers_has_the_same_order() {
    let page = fs::read_to_string("DEVELOPERS.md").unwrap();
    let rows = page.lines().filter(|line| line.starts_with("| `"));
    let listed: Vec<&str> = rows
        .flat_map(|row| row.split('|').nth(1).unwrap().split(','))
        .map(|room| room.trim().trim_matches('`'))
        .collect();
    assert_eq!(listed, ROOMS);
}
