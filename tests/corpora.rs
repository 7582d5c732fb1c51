//! What the fuzzers found worth keeping, given to the readers again, with the seeds they began with.
//!
//! `tools/fuzz` looks for new input ([how](../docs/fuzzing.md)); here nothing is random.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "fuzz/src/readers/mod.rs"]
mod readers;

use readers::READERS;
use std::collections::BTreeSet;
use std::fs;
use std::panic::catch_unwind;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/fuzz")
}

/// The inputs kept for a reader, by the names of their files.
fn kept(reader: &str) -> Vec<(String, Vec<u8>)> {
    let files = fs::read_dir(folder().join(reader)).unwrap().map(|entry| entry.unwrap().path());
    let mut inputs: Vec<_> = files
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap()))
        .collect();
    inputs.sort();
    inputs
}

/// Gives a reader its seeds and what was kept for it.
fn replay(name: &str) {
    let reader = READERS.iter().find(|reader| reader.name == name).unwrap();
    let seeds = (reader.seeds)().into_iter().enumerate().map(|(at, seed)| (format!("seed {at}"), seed));
    let inputs: Vec<_> = seeds.chain(kept(name)).collect();
    assert!(inputs.len() > 20, "few inputs for {name}: {}", inputs.len());
    for (file, input) in &inputs {
        assert!(
            catch_unwind(|| (reader.check)(input)).is_ok(),
            "{name}: {file}: {:?}",
            String::from_utf8_lossy(input)
        );
    }
}

macro_rules! replays {
    ($($test:ident: $name:literal),+ $(,)?) => {
        $(#[test]
        fn $test() {
            replay($name);
        })+

        #[test]
        fn every_reader_is_replayed_and_every_input_belongs_to_one() {
            let names: BTreeSet<String> = READERS.iter().map(|reader| reader.name.to_owned()).collect();
            assert_eq!(names, [$($name),+].map(str::to_owned).into());
            let folders = fs::read_dir(folder()).unwrap();
            let folders = folders.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned());
            assert_eq!(folders.collect::<BTreeSet<_>>(), names);
        }
    };
}

// One test each, so that they run side by side.
replays! {
    rosters: "roster",
    price_lists_as_csv: "price-csv",
    price_lists_as_json: "price-json",
    pasted_price_lists: "price-paste",
    links: "link",
    books_in_links: "book-link",
    backups: "backup",
    stored_records: "stored",
    fonts: "font",
    typed_figures: "figures",
}

#[test]
fn what_is_kept_is_small() {
    for reader in &READERS {
        let inputs = kept(reader.name);
        let bytes: usize = inputs.iter().map(|(_, input)| input.len()).sum();
        assert!(
            inputs.len() <= 150 && bytes <= 150_000,
            "{}: {} files, {bytes} bytes",
            reader.name,
            inputs.len()
        );
    }
}
