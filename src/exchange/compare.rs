//! A file's price list beside the shop's.
//!
//! Owns what is new, changed, gone and the same, and what the lists are once the file is taken
//! over. Changes nothing itself.

use super::pairing::{self, Pairs};
use super::{Fault, Note, Reading};
use crate::lists::names::Thing;
use crate::lists::recipe::{Again, Degrees};
use crate::lists::rows::{self, Column};
use crate::lists::{ColourId, Finish, Lists, Offer, OfferId, Recipe, Supplier, Way, steps};
use crate::money::{Cents, Currency};
use std::collections::BTreeSet;

/// What a file would change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Comparison {
    /// What one entry of the file is called: "row", "offer".
    pub entry: &'static str,
    /// Suppliers, finishes, colours and styles that the shop does not have.
    pub to_add: Vec<ToAdd>,
    /// Suppliers, finishes, colours and styles of which the file says something else.
    pub records: Vec<Change>,
    /// Offers that the shop does not have: the row, the offer's name, its price.
    pub new: Vec<NewOffer>,
    /// Offers of which the file says something else, cell by cell.
    pub changed: Vec<Change>,
    /// Prices that move further than prices usually do: to be looked at before anything else.
    pub jumps: Vec<Jump>,
    /// Offers of the file's suppliers that the file does not have.
    pub gone: Vec<String>,
    /// How many offers are the same.
    pub same: usize,
    /// Entries that cannot be read.
    pub faults: Vec<Fault>,
    /// What a person should know about how the file was read.
    pub notes: Vec<Note>,
    lists: Lists,
    gone_ids: BTreeSet<OfferId>,
}

/// A record that the file brings along.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToAdd {
    /// What it is.
    pub thing: Thing,
    /// Its name.
    pub name: String,
    /// What is assumed about it.
    pub assumed: Option<&'static str>,
}

/// An offer that the shop does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewOffer {
    /// Its entry in the file.
    pub row: u64,
    /// Finish, height, way, supplier.
    pub name: String,
    /// Its price.
    pub price: String,
    /// Why it would never be bought as it is.
    pub fault: Option<String>,
}

/// A record or an offer of which the file says something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// What it is called.
    pub name: String,
    /// The cells that differ.
    pub cells: Vec<CellChange>,
}

/// A cell that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellChange {
    /// What it says something about.
    pub of: &'static str,
    /// What the shop has.
    pub old: String,
    /// What the file has.
    pub new: String,
}

/// How many times as much, or as little, a letter may cost as before without being asked about;
/// common practice, no source: a list that comes in with its decimals lost is out by ten and more.
pub const JUMP: u32 = 3;

/// A price that moves by more than [`JUMP`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Jump {
    /// Finish, height, way, supplier; of a quantity break also from how many units on.
    pub name: String,
    /// What the shop has.
    pub old: String,
    /// What the file has.
    pub new: String,
}

/// Compares what was read with the lists that it was read for.
pub fn compare(reading: Reading, old: &Lists, currency: &Currency) -> Comparison {
    let Pairs { partners } = pairing::pair(&reading, currency);
    let mut merged =
        Merged { lists: reading.lists, paired: BTreeSet::new(), changed: Vec::new(), new: Vec::new() };
    let mut faults = reading.faults;
    let mut same = 0;
    for (entry, partner) in reading.offers.into_iter().zip(partners) {
        match partner {
            Err(why) => faults.push(Fault { row: entry.row, why }),
            Ok(None) => merged.new.push((entry.row, entry.offer)),
            Ok(Some(place)) => {
                merged.paired.insert(place);
                let at_hand = &merged.lists.offers[place];
                let offer = completed(entry.offer, at_hand, &reading.absent);
                if offer == *at_hand { same += 1 } else { merged.changed.push((place, offer)) }
            }
        }
    }
    faults.sort_by_key(|fault| fault.row);
    if !reading.is_whole {
        merged.forget_unused(old);
    }
    let is_gone = |(place, offer): &(usize, &Offer)| {
        !merged.paired.contains(place) && reading.suppliers.contains(&offer.supplier)
    };
    let gone: Vec<&Offer> = old.offers.iter().enumerate().filter(is_gone).map(|(_, offer)| offer).collect();
    let gone_ids = gone.iter().map(|offer| offer.id.clone()).collect();
    let gone = gone.into_iter().map(|offer| offer_name(offer, old)).collect();
    let new = merged.new.iter().map(|(row, offer)| new_offer(*row, offer, &merged.lists, currency)).collect();
    let changes = |(place, offer): &(usize, Offer)| Change {
        name: offer_name(&old.offers[*place], old),
        cells: offer_changes(&old.offers[*place], offer, old, &merged.lists, currency),
    };
    let changed = merged.changed.iter().map(changes).collect();
    let jumps = |(place, offer): &(usize, Offer)| jumps(&old.offers[*place], offer, old, currency);
    let jumps = merged.changed.iter().flat_map(jumps).collect();
    Comparison {
        entry: reading.entry,
        to_add: to_add(old, &merged.lists),
        records: record_changes(old, &merged.lists, currency),
        new,
        changed,
        jumps,
        gone,
        same,
        faults,
        notes: reading.notes,
        lists: merged.into_lists(),
        gone_ids,
    }
}

impl Comparison {
    /// Whether the file says what the lists say.
    pub fn is_nothing(&self) -> bool {
        self.to_add.is_empty()
            && self.records.is_empty()
            && self.new.is_empty()
            && self.changed.is_empty()
            && self.gone.is_empty()
    }

    /// Whether there is something to take over besides removing what is gone.
    pub fn has_news(&self) -> bool {
        !(self.to_add.is_empty() && self.records.is_empty() && self.new.is_empty() && self.changed.is_empty())
    }

    /// Whether what is gone can be told: an entry that cannot be read may be one of them.
    pub fn can_remove_gone(&self) -> bool {
        !self.gone.is_empty() && self.faults.is_empty()
    }

    /// The lists once the file is taken over; with what is gone removed, where that is wanted and
    /// can be told.
    pub fn taken_over(&self, remove_gone: bool) -> Lists {
        let mut lists = self.lists.clone();
        if remove_gone && self.can_remove_gone() {
            lists.offers.retain(|offer| !self.gone_ids.contains(&offer.id));
        }
        lists
    }
}

/// The lists on their way from the shop's to those of the file.
struct Merged {
    lists: Lists,
    paired: BTreeSet<usize>,
    changed: Vec<(usize, Offer)>,
    new: Vec<(u64, Offer)>,
}

impl Merged {
    /// The offers as they will be.
    fn incoming(&self) -> impl Iterator<Item = &Offer> {
        self.changed.iter().map(|(_, offer)| offer).chain(self.new.iter().map(|(_, offer)| offer))
    }

    /// Takes out again what only entries that cannot be read have brought along.
    fn forget_unused(&mut self, old: &Lists) {
        let suppliers: BTreeSet<_> = self.incoming().map(|offer| offer.supplier.clone()).collect();
        let finishes: BTreeSet<_> = self.incoming().map(|offer| offer.finish.clone()).collect();
        let colour = |offer: &Offer| {
            let finish = offer.finish.clone();
            offer.colours.clone().into_iter().map(move |colour| (finish.clone(), colour))
        };
        let colours: BTreeSet<_> = self.incoming().flat_map(colour).collect();
        let styles: BTreeSet<_> = self.incoming().flat_map(|offer| offer.styles.clone()).collect();
        let lists = &mut self.lists;
        keep(&mut lists.suppliers, old.suppliers.len(), |supplier| suppliers.contains(&supplier.id));
        keep(&mut lists.finishes, old.finishes.len(), |finish| finishes.contains(&finish.id));
        keep(&mut lists.styles, old.styles.len(), |style| styles.contains(&style.id));
        for finish in &mut lists.finishes {
            let known = old.finish(&finish.id).map_or(0, |finish| finish.colours.len());
            let id = finish.id.clone();
            keep(&mut finish.colours, known, |colour| colours.contains(&(id.clone(), colour.id.clone())));
        }
    }

    fn into_lists(self) -> Lists {
        let mut lists = self.lists;
        for (place, offer) in self.changed {
            lists.offers[place] = offer;
        }
        let mut taken: BTreeSet<String> = lists.offers.iter().map(|offer| offer.id.to_string()).collect();
        let mut fresh = 0;
        for (_, mut offer) in self.new {
            while offer.id.as_str().is_empty() || taken.contains(offer.id.as_str()) {
                fresh += 1;
                offer.id = OfferId::new(format!("offer-{fresh}"));
            }
            taken.insert(offer.id.to_string());
            lists.offers.push(offer);
        }
        lists
    }
}

/// Keeps the first so many, and those after them that are wanted.
fn keep<T>(records: &mut Vec<T>, first: usize, wanted: impl Fn(&T) -> bool) {
    let mut at = 0;
    records.retain(|record| {
        at += 1;
        at <= first || wanted(record)
    });
}

/// The file's offer, with what the file has no column for as the shop has it.
fn completed(mut offer: Offer, at_hand: &Offer, absent: &[Column]) -> Offer {
    offer.id = at_hand.id.clone();
    for column in absent {
        match column {
            Column::Colours if offer.finish == at_hand.finish => offer.colours = at_hand.colours.clone(),
            Column::Styles => offer.styles = at_hand.styles.clone(),
            Column::Letters => match (&mut offer.way, &at_hand.way) {
                (
                    Way::Piece { glyphs } | Way::Pack { glyphs, .. },
                    Way::Piece { glyphs: had } | Way::Pack { glyphs: had, .. },
                ) => *glyphs = had.clone(),
                (Way::Set { contents }, Way::Set { contents: had }) => *contents = had.clone(),
                _ => {}
            },
            Column::Each => {
                if let (Way::Pack { of, .. }, Way::Pack { of: had, .. }) = (&mut offer.way, &at_hand.way) {
                    *of = *had;
                }
            }
            Column::Breaks => offer.breaks = at_hand.breaks.clone(),
            Column::CountOver => offer.count_over = at_hand.count_over,
            Column::AtMost => offer.at_most = at_hand.at_most,
            _ => {}
        }
    }
    offer
}

fn new_offer(row: u64, offer: &Offer, lists: &Lists, currency: &Currency) -> NewOffer {
    NewOffer {
        row,
        name: offer_name(offer, lists),
        price: currency.show(offer.price),
        fault: offer.fault().map(|fault| fault.to_string()),
    }
}

/// How a person tells an offer: "2 in smooth film, pack of 5, Quillfeather Letters".
fn offer_name(offer: &Offer, lists: &Lists) -> String {
    let finish = lists.finish(&offer.finish).map_or(offer.finish.as_str(), |finish| &finish.name);
    let supplier = lists.suppliers.iter().find(|supplier| supplier.id == offer.supplier);
    let supplier = supplier.map_or(offer.supplier.as_str(), |supplier| &supplier.name);
    format!("{} {finish}, {}, {supplier}", offer.height, offer.way_name())
}

fn offer_changes(
    had: &Offer,
    offer: &Offer,
    old: &Lists,
    new: &Lists,
    currency: &Currency,
) -> Vec<CellChange> {
    let change = |column: Column| {
        let (old, new) = (rows::cell(had, column, old, currency), rows::cell(offer, column, new, currency));
        differing(column.heading(), old, new)
    };
    Column::ALL.into_iter().filter_map(change).collect()
}

/// The prices of an offer that move by more than [`JUMP`], letter by letter, so that a larger pack
/// at a higher price is none.
fn jumps(had: &Offer, has: &Offer, old: &Lists, currency: &Currency) -> Vec<Jump> {
    let name = offer_name(had, old);
    let is_jump = |before: Cents, after: Cents| {
        let (before, after) = (per_unit_of(before, has), per_unit_of(after, had));
        let (least, most) = (before.min(after), before.max(after));
        before > 0 && most > least * i128::from(JUMP)
    };
    let jump = |name: String, before: Cents, after: Cents| {
        let (old, new) = (currency.show(before), currency.show(after));
        is_jump(before, after).then_some(Jump { name, old, new })
    };
    let breaks = has.breaks.iter().filter_map(|step| {
        let before = had.breaks.iter().find(|known| known.from == step.from)?;
        jump(format!("{name}, from {}", step.from), before.price, step.price)
    });
    jump(name.clone(), had.price, has.price).into_iter().chain(breaks).collect()
}

/// A price times the letters of the other offer's unit: two such figures compare as the prices of
/// one letter do.
fn per_unit_of(price: Cents, other: &Offer) -> i128 {
    let letters = match &other.way {
        Way::Piece { .. } => 1,
        Way::Pack { of, .. } => u64::from(*of),
        Way::Set { contents } => contents.total(),
    };
    i128::from(price.minor()) * i128::from(letters.max(1))
}

fn differing(of: &'static str, old: String, new: String) -> Option<CellChange> {
    (old != new).then_some(CellChange { of, old, new })
}

/// What the new lists have at their ends.
fn to_add(old: &Lists, new: &Lists) -> Vec<ToAdd> {
    let add = |thing, name: &str, assumed| ToAdd { thing, name: name.to_owned(), assumed };
    let mut all = Vec::new();
    for supplier in &new.suppliers[old.suppliers.len()..] {
        let is_bare = supplier.freight.is_empty() && supplier.minimum == Cents::ZERO;
        let assumed = is_bare.then_some("without freight or order minimum");
        all.push(add(Thing::Supplier, &supplier.name, assumed));
    }
    for (place, finish) in new.finishes.iter().enumerate() {
        let known = old.finishes.get(place);
        if known.is_none() {
            let is_usual = finish.recipe == crate::lists::Recipe::usual();
            let assumed = is_usual.then_some("with a usual recipe: enter the one on its supplier's sheet");
            all.push(add(Thing::Finish, &finish.name, assumed));
        }
        for colour in &finish.colours[known.map_or(0, |finish| finish.colours.len())..] {
            all.push(add(Thing::Colour, &format!("{} ({})", colour.name, finish.name), None));
        }
    }
    for style in &new.styles[old.styles.len()..] {
        all.push(add(Thing::Style, &style.name, None));
    }
    all
}

/// What the new lists say otherwise about the records of the old.
fn record_changes(old: &Lists, new: &Lists, currency: &Currency) -> Vec<Change> {
    let mut all = Vec::new();
    for (had, has) in old.suppliers.iter().zip(&new.suppliers) {
        all.push(Change { name: had.name.clone(), cells: supplier_changes(had, has, currency) });
    }
    for (had, has) in old.finishes.iter().zip(&new.finishes) {
        all.push(Change { name: had.name.clone(), cells: recipe_changes(&had.recipe, &has.recipe) });
        all.extend(colour_changes(had, has));
    }
    for (had, has) in old.styles.iter().zip(&new.styles) {
        let word = |serves: bool| if serves { "yes" } else { "no" }.to_owned();
        let cell = differing("one piece for 6 and 9", word(had.six_is_nine), word(has.six_is_nine));
        all.push(Change { name: had.name.clone(), cells: cell.into_iter().collect() });
    }
    all.retain(|change| !change.cells.is_empty());
    all
}

fn days(supplier: &Supplier) -> String {
    supplier.days.map_or(String::new(), |days| days.to_string())
}

fn supplier_changes(had: &Supplier, has: &Supplier, currency: &Currency) -> Vec<CellChange> {
    let cells = [
        differing(
            "freight",
            steps::write_freight(&had.freight, currency),
            steps::write_freight(&has.freight, currency),
        ),
        differing("order minimum", currency.plain(had.minimum), currency.plain(has.minimum)),
        differing("days to come", days(had), days(has)),
        differing("day of its list", had.date.clone(), has.date.clone()),
        differing("note", had.note.clone(), has.note.clone()),
    ];
    cells.into_iter().flatten().collect()
}

fn recipe_changes(had: &Recipe, has: &Recipe) -> Vec<CellChange> {
    let sheet = |recipe: &Recipe| if recipe.cover_sheet { "yes" } else { "no" }.to_owned();
    let dwell = |recipe: &Recipe| format!("{} to {} s", recipe.dwell_from, recipe.dwell_to);
    let cells = [
        differing("temperature", had.heat.show(Degrees::Fahrenheit), has.heat.show(Degrees::Fahrenheit)),
        differing("pressed again", again(had), again(has)),
        differing("dwell", dwell(had), dwell(has)),
        differing("pressure", had.pressure.clone(), has.pressure.clone()),
        differing("peel", had.peel.word().to_owned(), has.peel.word().to_owned()),
        differing("cover sheet", sheet(had), sheet(has)),
    ];
    cells.into_iter().flatten().collect()
}

fn colour_changes(had: &Finish, has: &Finish) -> Vec<Change> {
    let change = |id: &ColourId| {
        let of = |finish: &Finish| finish.colours.iter().find(|colour| colour.id == *id).cloned();
        let (had_colour, has_colour) = (of(had)?, of(has)?);
        let cell = differing("on the screen", had_colour.screen.to_string(), has_colour.screen.to_string())?;
        Some(Change { name: format!("{} ({})", had_colour.name, had.name), cells: vec![cell] })
    };
    had.colours.iter().filter_map(|colour| change(&colour.id)).collect()
}

fn again(recipe: &Recipe) -> String {
    match recipe.again {
        Again::AsHot => "at its own heat".to_owned(),
        Again::UpTo(heat) => format!("up to {}", heat.show(Degrees::Fahrenheit)),
        Again::Never => "never".to_owned(),
    }
}
