//! One reader under fuzzing: that named by `LETTERTALLY_READER`; `tools/fuzz` builds and starts it.
//!
//! Owns only how libFuzzer meets a reader. With `LETTERTALLY_SEEDS` set to a folder it first writes
//! there what to begin with, and beside it, as `words`, the words that occur in it.
#![no_main]

mod readers;

use libfuzzer_sys::fuzz_target;
use readers::Reader;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

static READER: OnceLock<&'static Reader> = OnceLock::new();

fn reader() -> &'static Reader {
    READER.get_or_init(|| {
        let asked = std::env::var("LETTERTALLY_READER").unwrap_or_default();
        readers::READERS.iter().find(|reader| reader.name == asked).unwrap_or_else(|| {
            let names: Vec<&str> = readers::READERS.iter().map(|reader| reader.name).collect();
            eprintln!("LETTERTALLY_READER is “{asked}”: expected one of {}", names.join(", "));
            std::process::exit(2)
        })
    })
}

/// Writes the seeds, named by their place, and a dictionary of their words in libFuzzer's form.
fn write_seeds(reader: &Reader, folder: &Path) -> std::io::Result<()> {
    let into = folder.join(reader.name);
    fs::create_dir_all(&into)?;
    let mut words = BTreeSet::new();
    for (at, seed) in (reader.seeds)().iter().enumerate() {
        fs::write(into.join(format!("seed-{at}")), seed)?;
        let parts = seed.split(|byte| !byte.is_ascii_alphanumeric() && !b"_-.#".contains(byte));
        words.extend(parts.filter(|word| (2..=20).contains(&word.len())).map(<[u8]>::to_vec));
    }
    let lines: Vec<String> = words.iter().map(|word| format!("\"{}\"\n", word.escape_ascii())).collect();
    fs::write(folder.join(format!("{}.words", reader.name)), lines.concat())
}

fuzz_target!(
    init: {
        if let Some(folder) = std::env::var_os("LETTERTALLY_SEEDS")
            && let Err(error) = write_seeds(reader(), Path::new(&folder))
        {
            eprintln!("the seeds cannot be written: {error}");
            std::process::exit(2)
        }
    },
    |input: &[u8]| (reader().check)(input)
);
