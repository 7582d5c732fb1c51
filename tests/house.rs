//! The house itself: what its files must and must not hold, and which room may use which.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

/// Where the browser begins: these may know it, and may use binary fractions for the screen.
const BROWSER_SIDE: [&str; 3] = ["views", "browser", "main"];

/// Names that must not occur in the core.
const BROWSER_NAMES: [&str; 6] = ["web_sys", "leptos", "wasm_bindgen", "js_sys", "gloo", "console_error"];

/// Data tables, which may be long.
const DATA_TABLES: [&str; 1] = ["src/layout/alphabet/table.rs"];

/// Where a library hands over binary fractions, which become whole units on the spot; and where a
/// guess is made with them that is checked in whole numbers.
const FRACTIONS_COME_IN: [&str; 2] = ["src/layout/font/pen.rs", "src/booth/selection/relaxed.rs"];

const MOST_LINES: usize = 500;

/// Rooms that use one below them, and why.
const EXCEPTIONS: [(&str, &str); 1] = [
    // The demo shop comes with a demo order.
    ("src/lists/demo.rs", "order"),
];

struct Source {
    /// From the package's folder, with forward slashes.
    path: String,
    text: String,
}

impl Source {
    /// The part of the house: `order` for src/order/mod.rs and src/order.rs alike.
    fn room(&self) -> &str {
        let inside = self.path.trim_start_matches("src/");
        inside.split('/').next().unwrap_or(inside).trim_end_matches(".rs")
    }

    fn is_core(&self) -> bool {
        !BROWSER_SIDE.contains(&self.room())
    }

    /// Its lines of code, numbered, without comments and without the unit tests at its end.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let lines = self.text.lines().enumerate().map(|(at, line)| (at + 1, line));
        lines
            .take_while(|(_, line)| line.trim() != "#[cfg(test)]")
            .map(|(at, line)| (at, line.split("//").next().unwrap_or(line)))
    }
}

fn sources() -> Vec<Source> {
    let package = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![package.join("src")];
    let mut files: Vec<PathBuf> = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|end| end == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    let source = |path: PathBuf| Source {
        path: path.strip_prefix(package).unwrap().to_string_lossy().replace('\\', "/"),
        text: fs::read_to_string(&path).unwrap(),
    };
    files.into_iter().map(source).collect()
}

/// The words of a line of code: names, keywords, suffixes of numbers.
fn words(line: &str) -> impl Iterator<Item = &str> {
    line.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|word| !word.is_empty())
}

/// The rooms named after `crate::` in a line, `crate::{a, b}` included.
fn rooms_used(line: &str) -> Vec<String> {
    let after = line.split("crate::").skip(1);
    let names = after.flat_map(|rest| match rest.strip_prefix('{') {
        Some(list) => {
            let list = list.split('}').next().unwrap_or(list);
            list.split(',').filter_map(|part| words(part).next()).map(str::to_owned).collect()
        }
        None => words(rest).take(1).map(str::to_owned).collect::<Vec<_>>(),
    });
    names.collect()
}

/// The rooms in the order of the list that opens src/lib.rs.
fn rooms_in_order(lib: &str) -> Vec<String> {
    let listed = lib.lines().filter(|line| line.starts_with("//! * "));
    let names = listed.flat_map(|line| {
        let rooms = line.split(": ").next().unwrap_or(line);
        rooms.split('[').skip(1).filter_map(|name| words(name).next()).map(str::to_owned).collect::<Vec<_>>()
    });
    names.collect()
}

/// Fails with all that was found, one a line.
fn none(found: &[String]) {
    assert!(found.is_empty(), "\n{}\n", found.join("\n"));
}

#[test]
fn every_file_says_what_it_is_for() {
    let silent = sources().into_iter().filter(|file| !file.text.starts_with("//! ")).map(|file| file.path);
    none(&silent.collect::<Vec<_>>());
}

#[test]
fn no_file_outgrows_its_reader() {
    let long = sources().into_iter().filter(|file| !DATA_TABLES.contains(&file.path.as_str()));
    let long =
        long.map(|file| (file.text.lines().count(), file.path)).filter(|(lines, _)| *lines > MOST_LINES);
    none(&long.map(|(lines, path)| format!("{path}: {lines} lines")).collect::<Vec<_>>());
}

#[test]
fn the_core_reckons_in_decimals_and_knows_no_browser() {
    let mut found = Vec::new();
    for file in sources().iter().filter(|file| file.is_core()) {
        let may = FRACTIONS_COME_IN.contains(&file.path.as_str());
        for (at, line) in file.code() {
            let float = |word: &&str| !may && (word.ends_with("f32") || word.ends_with("f64"));
            let banned = words(line).find(|word| float(word) || BROWSER_NAMES.contains(word));
            found.extend(banned.map(|word| format!("{}:{at}: {word}", file.path)));
        }
    }
    none(&found);
}

#[test]
fn every_room_is_on_the_list() {
    let sources = sources();
    let lib = &sources.iter().find(|file| file.path == "src/lib.rs").unwrap().text;
    let mut declared: Vec<String> = lib
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod "))
        .map(|name| name.trim_end_matches(';').to_owned())
        .collect();
    let mut listed = rooms_in_order(lib);
    declared.sort();
    listed.sort();
    assert_eq!(listed, declared);
}

#[test]
fn no_room_uses_one_below_it() {
    let sources = sources();
    let order = rooms_in_order(&sources.iter().find(|file| file.path == "src/lib.rs").unwrap().text);
    let floor = |room: &str| order.iter().position(|name| name == room);
    let mut found = Vec::new();
    let mut excused = Vec::new();
    for file in sources.iter().filter(|file| file.is_core() && file.path != "src/lib.rs") {
        let own = floor(file.room()).unwrap_or_else(|| panic!("{} is in no room", file.path));
        for (at, line) in file.code() {
            for used in rooms_used(line) {
                if floor(&used).is_none_or(|below| below <= own) {
                    continue;
                }
                match EXCEPTIONS.iter().find(|entry| **entry == (file.path.as_str(), used.as_str())) {
                    Some(entry) => excused.push(entry),
                    None => found.push(format!("{}:{at} uses {used}", file.path)),
                }
            }
        }
    }
    none(&found);
    let idle = EXCEPTIONS.iter().filter(|entry| !excused.contains(entry)).map(|entry| format!("{entry:?}"));
    none(&idle.collect::<Vec<_>>());
}

#[test]
fn the_reader_of_paths_reads_them() {
    assert_eq!(rooms_used("use crate::{buy, cost::Sheet};"), ["buy", "cost"]);
    assert_eq!(rooms_used("fn a(b: &crate::order::Line) -> crate::money::Cents {"), ["order", "money"]);
    assert_eq!(rooms_in_order("//! * [`a`], [`b`]: both [`x`]\n//! * [`c`]: one\n"), ["a", "b", "c"]);
    assert!(words("let x = 1.0_f64;").any(|word| word.ends_with("f64")));
}
