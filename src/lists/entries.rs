//! What the shop's lists have in common: entries with an id and a name, in an order of the shop's.
//!
//! Owns adding, copying, moving and removing an entry, the same for suppliers, finishes, letter
//! styles, offers and blanks. Never knows what an entry means, except what a first one holds.

use super::{
    Blank, BlankId, BlankSize, Colour, ColourId, CountOver, Finish, FinishId, LetterStyle, Lists, Offer,
    OfferId, Recipe, Rgb, StyleId, Supplier, SupplierId, Way, fresh_id,
};
use crate::glyph::GlyphSet;
use crate::length::Length;
use crate::money::Cents;

/// One of the shop's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// Who sells letters.
    Suppliers,
    /// What letters are made of.
    Finishes,
    /// The shapes of alphabet.
    Styles,
    /// The ways to buy letters.
    Offers,
    /// The garments.
    Blanks,
}

/// Which way an entry moves on its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shift {
    /// Towards the beginning.
    Up,
    /// Towards the end.
    Down,
}

/// An entry of a list.
pub trait Entry: Clone + PartialEq + Send + Sync + 'static {
    /// Its id.
    fn id(&self) -> &str;
    /// Gives it another id.
    fn set_id(&mut self, id: String);
    /// Its name, where it has one of its own.
    fn name(&mut self) -> Option<&mut String>;
    /// The list that it is on.
    fn all(lists: &Lists) -> &Vec<Self>;
    /// The list that it is on, to be changed.
    fn all_mut(lists: &mut Lists) -> &mut Vec<Self>;
}

macro_rules! entry {
    ($entry:ident, $id:ident, $list:ident, $name:expr) => {
        impl Entry for $entry {
            fn id(&self) -> &str {
                self.id.as_str()
            }
            fn set_id(&mut self, id: String) {
                self.id = $id::new(id);
            }
            fn name(&mut self) -> Option<&mut String> {
                let name: fn(&mut Self) -> Option<&mut String> = $name;
                name(self)
            }
            fn all(lists: &Lists) -> &Vec<Self> {
                &lists.$list
            }
            fn all_mut(lists: &mut Lists) -> &mut Vec<Self> {
                &mut lists.$list
            }
        }
    };
}

entry!(Supplier, SupplierId, suppliers, |entry| Some(&mut entry.name));
entry!(Finish, FinishId, finishes, |entry| Some(&mut entry.name));
entry!(LetterStyle, StyleId, styles, |entry| Some(&mut entry.name));
entry!(Blank, BlankId, blanks, |entry| Some(&mut entry.name));
entry!(Offer, OfferId, offers, |_| None);

/// Does the same to whichever list it is.
macro_rules! on {
    ($list:expr, $lists:expr, $entries:ident => $what:expr) => {
        match $list {
            List::Suppliers => {
                let $entries = &mut $lists.suppliers;
                $what
            }
            List::Finishes => {
                let $entries = &mut $lists.finishes;
                $what
            }
            List::Styles => {
                let $entries = &mut $lists.styles;
                $what
            }
            List::Offers => {
                let $entries = &mut $lists.offers;
                $what
            }
            List::Blanks => {
                let $entries = &mut $lists.blanks;
                $what
            }
        }
    };
}

impl List {
    /// The ids of its entries, in their order.
    pub fn ids(self, lists: &Lists) -> Vec<String> {
        fn of<T: Entry>(entries: &[T]) -> Vec<String> {
            entries.iter().map(|entry| entry.id().to_owned()).collect()
        }
        match self {
            Self::Suppliers => of(&lists.suppliers),
            Self::Finishes => of(&lists.finishes),
            Self::Styles => of(&lists.styles),
            Self::Offers => of(&lists.offers),
            Self::Blanks => of(&lists.blanks),
        }
    }

    /// What a person calls an entry; empty where it is gone.
    pub fn name(self, lists: &Lists, id: &str) -> String {
        let name = match self {
            Self::Suppliers => lists.suppliers.iter().find(|e| e.id() == id).map(|e| e.name.clone()),
            Self::Finishes => lists.finishes.iter().find(|e| e.id() == id).map(|e| e.name.clone()),
            Self::Styles => lists.styles.iter().find(|e| e.id() == id).map(|e| e.name.clone()),
            Self::Offers => lists.offers.iter().find(|e| e.id() == id).map(|e| lists.offer_name(e)),
            Self::Blanks => lists.blanks.iter().find(|e| e.id() == id).map(|e| e.name.clone()),
        };
        name.unwrap_or_default()
    }

    /// Adds an entry at the end, an offer like the last one; its id, or `None` of an offer while
    /// there is nothing to sell.
    pub fn append(self, lists: &mut Lists) -> Option<String> {
        match self {
            Self::Suppliers => lists.suppliers.push(new_supplier()),
            Self::Finishes => lists.finishes.push(new_finish()),
            Self::Styles => lists.styles.push(new_style()),
            Self::Offers => lists.offers.push(new_offer(lists)?),
            Self::Blanks => lists.blanks.push(new_blank()),
        }
        let word = self.word();
        on!(self, lists, entries => {
            let id = free_id(entries, word);
            entries.last_mut()?.set_id(id.clone());
            Some(id)
        })
    }

    /// Puts a copy of an entry right after it; the copy's id.
    pub fn copy(self, lists: &mut Lists, id: &str) -> Option<String> {
        on!(self, lists, entries => copy(entries, id))
    }

    /// Moves an entry one place; past the ends it stays.
    pub fn shift(self, lists: &mut Lists, id: &str, shift: Shift) {
        on!(self, lists, entries => move_past(entries, id, shift, |_, _| true));
    }

    /// Whether an entry can move one place this way.
    pub fn can_shift(self, lists: &Lists, id: &str, shift: Shift) -> bool {
        let ids = self.ids(lists);
        let end = match shift {
            Shift::Up => ids.first(),
            Shift::Down => ids.last(),
        };
        end.is_some_and(|end| end != id)
    }

    /// Takes an entry out; with a supplier its offers.
    pub fn remove(self, lists: &mut Lists, id: &str) {
        on!(self, lists, entries => entries.retain(|entry| entry.id() != id));
        if self == Self::Suppliers {
            lists.offers.retain(|offer| offer.supplier.as_str() != id);
        }
    }

    /// So many entries: "1 finish", "3 finishes".
    pub fn counted(self, count: usize) -> String {
        let (word, ending) = (self.word(), if self == Self::Finishes { "es" } else { "s" });
        format!("{count} {word}{}", if count == 1 { "" } else { ending })
    }

    /// The word for an entry.
    pub fn word(self) -> &'static str {
        match self {
            Self::Suppliers => "supplier",
            Self::Finishes => "finish",
            Self::Styles => "letter style",
            Self::Offers => "offer",
            Self::Blanks => "blank",
        }
    }
}

impl Lists {
    /// Moves an offer past the next one of its finish and height, so that it moves by one place
    /// where the list is shown by these.
    pub fn shift_among_alike(&mut self, id: &str, shift: Shift) {
        move_past(&mut self.offers, id, shift, are_alike);
    }

    /// Whether an offer has another of its finish and height to move past this way.
    pub fn can_shift_among_alike(&self, id: &str, shift: Shift) -> bool {
        place_past(&self.offers, id, shift, are_alike).is_some()
    }
}

fn free_id<T: Entry>(entries: &[T], word: &str) -> String {
    let taken = entries.split_last().map_or(entries, |(_, others)| others);
    fresh_id(word, taken.iter().map(Entry::id))
}

fn copy<T: Entry>(entries: &mut Vec<T>, id: &str) -> Option<String> {
    let at = entries.iter().position(|entry| entry.id() == id)?;
    let mut copy = entries[at].clone();
    if let Some(name) = copy.name() {
        name.push_str(" (copy)");
    }
    let word = copy.name().map_or_else(|| id.to_owned(), |name| name.clone());
    let id = fresh_id(&word, entries.iter().map(Entry::id));
    copy.set_id(id.clone());
    entries.insert(at + 1, copy);
    Some(id)
}

fn are_alike(one: &Offer, other: &Offer) -> bool {
    one.finish == other.finish && one.height == other.height
}

/// Where an entry is, and where the nearest one that counts is.
fn place_past<T: Entry>(
    entries: &[T],
    id: &str,
    shift: Shift,
    counts: fn(&T, &T) -> bool,
) -> Option<(usize, usize)> {
    let at = entries.iter().position(|entry| entry.id() == id)?;
    let is_past = |other: &usize| counts(&entries[at], &entries[*other]);
    let to = match shift {
        Shift::Up => (0..at).rev().find(is_past),
        Shift::Down => (at + 1..entries.len()).find(is_past),
    };
    Some((at, to?))
}

/// Moves an entry past the nearest one that counts.
fn move_past<T: Entry>(entries: &mut Vec<T>, id: &str, shift: Shift, counts: fn(&T, &T) -> bool) {
    if let Some((at, to)) = place_past(entries, id, shift, counts) {
        let entry = entries.remove(at);
        entries.insert(to, entry);
    }
}

fn new_supplier() -> Supplier {
    Supplier {
        id: SupplierId::default(),
        name: "new supplier".to_owned(),
        freight: Vec::new(),
        minimum: Cents::ZERO,
        days: None,
        date: String::new(),
        note: String::new(),
    }
}

fn new_finish() -> Finish {
    Finish {
        id: FinishId::default(),
        name: "new finish".to_owned(),
        colours: vec![Colour { id: ColourId::new("white"), name: "white".to_owned(), screen: Rgb([255; 3]) }],
        recipe: Recipe::usual(),
    }
}

fn new_style() -> LetterStyle {
    LetterStyle::estimated("", "new style")
}

fn new_blank() -> Blank {
    Blank {
        id: BlankId::default(),
        name: "new garment".to_owned(),
        screen: Rgb([120, 130, 140]),
        sizes: vec![BlankSize {
            name: "M".to_owned(),
            price: Cents::ZERO,
            width: Length::inches(20),
            length: Length::inches(29),
        }],
        buttons: None,
    }
}

/// An offer like the last one, or a first one.
fn new_offer(lists: &Lists) -> Option<Offer> {
    if let Some(last) = lists.offers.last() {
        return Some(last.clone());
    }
    let finish = lists.finishes.first()?;
    Some(Offer {
        id: OfferId::default(),
        supplier: lists.suppliers.first()?.id.clone(),
        finish: finish.id.clone(),
        height: Length::inches(2),
        colours: finish.colours.iter().map(|colour| colour.id.clone()).collect(),
        styles: lists.styles.iter().map(|style| style.id.clone()).collect(),
        way: Way::Piece { glyphs: GlyphSet::parse("A-Z 0-9") },
        price: Cents::ZERO,
        breaks: Vec::new(),
        count_over: CountOver::Family,
        at_most: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    const ALL: [List; 5] = [List::Suppliers, List::Finishes, List::Styles, List::Offers, List::Blanks];

    #[test]
    fn a_copy_stands_after_its_model_and_says_so() {
        let mut lists = demo::lists();
        assert_eq!(List::Finishes.copy(&mut lists, "smooth").unwrap(), "smooth-film-copy");
        assert_eq!(List::Finishes.ids(&lists)[..3], ["smooth", "smooth-film-copy", "glitter"]);
        assert_eq!(List::Finishes.name(&lists, "smooth-film-copy"), "smooth film (copy)");
        assert_eq!(List::Offers.copy(&mut lists, "smooth-2-pack").unwrap(), "smooth-2-pack-2");
        assert_eq!(List::Offers.copy(&mut lists, "gone"), None);
    }

    #[test]
    fn a_supplier_takes_its_offers_along() {
        let mut lists = demo::lists();
        List::Suppliers.remove(&mut lists, "quillfeather");
        assert!(lists.suppliers.iter().all(|supplier| supplier.id.as_str() != "quillfeather"));
        assert!(!lists.offers.is_empty());
        assert!(lists.offers.iter().all(|offer| offer.supplier.as_str() != "quillfeather"));
    }

    #[test]
    fn a_first_entry_can_be_added_to_each_list() {
        let mut lists = Lists::default();
        assert_eq!(List::Offers.append(&mut lists), None);
        for list in [List::Suppliers, List::Finishes, List::Styles, List::Blanks, List::Offers] {
            assert_eq!(list.append(&mut lists).map(|id| vec![id]), Some(list.ids(&lists)));
        }
        assert_eq!(lists.offers[0].fault(), None);
    }

    #[test]
    fn an_offer_moves_past_the_next_of_its_kind() {
        let mut lists = demo::lists();
        lists.shift_among_alike("smooth-4-piece", Shift::Up);
        assert_eq!(lists, demo::lists(), "it is the first of its kind");
        assert!(!lists.can_shift_among_alike("smooth-4-piece", Shift::Up));
        assert!(lists.can_shift_among_alike("smooth-2-piece", Shift::Down));
        assert!(!lists.can_shift_among_alike("gone", Shift::Down));
        lists.offers.swap(1, 3);
        lists.shift_among_alike("smooth-2-piece", Shift::Down);
        assert_eq!(List::Offers.ids(&lists)[..3], ["smooth-4-piece", "smooth-2-set", "smooth-2-piece"]);
    }

    proptest! {
        #[test]
        fn every_change_keeps_ids_apart_and_moving_can_be_taken_back(
            steps in prop::collection::vec((0_usize..5, 0_usize..3, any::<prop::sample::Index>()), 1..30),
        ) {
            let mut lists = demo::lists();
            for (list, what, at) in steps {
                let list = ALL[list];
                let ids = list.ids(&lists);
                let id = at.get(&ids).clone();
                match what {
                    0 => drop(list.append(&mut lists)),
                    1 => drop(list.copy(&mut lists, &id)),
                    _ => {
                        prop_assert_eq!(list.can_shift(&lists, &id, Shift::Up), ids[0] != id);
                        list.shift(&mut lists, &id, Shift::Up);
                        if ids[0] != id {
                            let mut back = lists.clone();
                            list.shift(&mut back, &id, Shift::Down);
                            prop_assert_eq!(list.ids(&back), ids);
                        }
                    }
                }
                let ids = list.ids(&lists);
                prop_assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len());
            }
        }
    }
}
