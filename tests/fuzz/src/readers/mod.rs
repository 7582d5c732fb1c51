//! The readers of outside data, and what must hold whatever they are given.
//!
//! Each has a check that fails by a panic, and seeds: good input to begin with. The fuzzer
//! (`tools/fuzz`) and the replay of what it found worth keeping (`tests/corpora.rs`) share them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod books;
mod figures;
mod fonts;
mod links;
mod price_lists;
mod rosters;
mod stored;

use lettertally::book::Moment;
use lettertally::glyph::{GlyphCounts, GlyphSet};
use lettertally::lists::{Lists, Way, demo};
use lettertally::saved::{self, State, record};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fmt::Debug;
use std::sync::LazyLock;

/// A reader of outside data.
pub struct Reader {
    /// What it is called, and the folder of its inputs in `tests/data/fuzz`.
    pub name: &'static str,
    /// Gives it an input; panics where a law is broken.
    pub check: fn(&[u8]),
    /// Good input.
    pub seeds: fn() -> Vec<Vec<u8>>,
}

/// Every reader.
pub const READERS: [Reader; 10] = [
    Reader { name: "roster", check: rosters::check, seeds: rosters::seeds },
    Reader { name: "price-csv", check: price_lists::check, seeds: price_lists::csv_seeds },
    Reader { name: "price-json", check: price_lists::check_json, seeds: price_lists::json_seeds },
    Reader { name: "price-paste", check: price_lists::check_paste, seeds: price_lists::paste_seeds },
    Reader { name: "link", check: links::check, seeds: links::seeds },
    Reader { name: "book-link", check: books::check_link, seeds: books::link_seeds },
    Reader { name: "backup", check: books::check_backup, seeds: books::backup_seeds },
    Reader { name: "stored", check: stored::check, seeds: stored::seeds },
    Reader { name: "font", check: fonts::check, seeds: fonts::seeds },
    Reader { name: "figures", check: figures::check, seeds: figures::seeds },
];

/// What is kept must be read again as it was: else it would be set aside at the next start.
fn keeps<T: Serialize + DeserializeOwned + PartialEq + Debug>(kept: &T) {
    let text = record::write(kept, Moment(1));
    assert_eq!(record::read::<T>(&text).as_ref(), Ok(kept), "{text}");
}

/// What a person reads where something cannot be taken.
fn says_why(error: &impl ToString) {
    assert!(!error.to_string().is_empty());
}

/// The demo shop's lists with one offer of each kind and few letters: enough to refer to, and quick.
fn small_lists() -> Lists {
    static LISTS: LazyLock<Lists> = LazyLock::new(few);
    LISTS.clone()
}

fn few() -> Lists {
    let mut lists = demo::lists();
    let kind = |way: &Way| match way {
        Way::Piece { .. } => 0,
        Way::Pack { .. } => 1,
        Way::Set { .. } => 2,
    };
    let mut seen = Vec::new();
    lists.offers.retain(|offer| {
        let is_new = !seen.contains(&kind(&offer.way));
        seen.push(kind(&offer.way));
        is_new
    });
    for offer in &mut lists.offers {
        match &mut offer.way {
            Way::Piece { glyphs } | Way::Pack { glyphs, .. } => *glyphs = GlyphSet::parse("A B É 1 -"),
            Way::Set { contents } => *contents = GlyphCounts::of_text("ABBA 1"),
        }
    }
    lists.blanks.truncate(1);
    lists
}

/// A shop with one order and next to nothing on its lists: what stands in for parts that are not
/// there.
fn small_state() -> State {
    State { shop: saved::empty_shop(), ..saved::demo_state("2026-01-01", Moment(5)) }
}
