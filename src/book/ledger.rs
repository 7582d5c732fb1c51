//! The ledger: every movement of letters and blanks, and the counts that follow from it.
//!
//! Owns the one rule: a piece lies there as often as it was last counted, plus what came in since,
//! less what went out since. So two phones that tell each other all their movements come to the
//! same counts, and a count settles whatever was wrong before. Never says what letters are for.

use super::fact::{Device, FactId, Facts, Purchase, What};
use super::goods::{Goods, Item};
use super::{Book, Moment};
use crate::glyph::GlyphCounts;
use crate::lists::Family;
use crate::money::{Cents, Currency, Money, apportion};
use crate::order::OrderId;
use crate::shelf::Shelf;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A change of the shelf: which fact made it, about which order, and what it did.
#[derive(Debug, Clone)]
struct Entry<'a> {
    id: &'a FactId,
    order: Option<&'a OrderId>,
    what: &'a What,
}

/// What changed the count of a piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Movement {
    /// The fact.
    pub id: FactId,
    /// The order that it was for, if any.
    pub order: Option<OrderId>,
    /// Why.
    pub why: Why,
    /// What it changed.
    pub change: i64,
    /// How many lay there afterwards. Below nothing where more went out than was known of.
    pub after: i64,
}

/// Why a count changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// It was counted.
    Counted,
    /// It came in.
    Received,
    /// It was pressed on a garment.
    Pressed,
    /// It was on a garment that was ruined.
    Spoiled,
}

impl Why {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Counted => "counted",
            Self::Received => "received",
            Self::Pressed => "pressed",
            Self::Spoiled => "spoiled",
        }
    }
}

impl Entry<'_> {
    /// What it moved and why, and whether it says how many there are instead of how many more.
    fn movement(&self) -> Option<(Why, &Goods)> {
        match self.what {
            What::Counted(goods) => Some((Why::Counted, goods)),
            What::Received(receipt) => Some((Why::Received, &receipt.goods)),
            What::Pressed(made) => Some((Why::Pressed, &made.goods)),
            What::Spoiled(made) => Some((Why::Spoiled, &made.goods)),
            _ => None,
        }
    }
}

fn after(why: Why, before: i64, count: u32) -> i64 {
    match why {
        Why::Counted => i64::from(count),
        // Where more went out than was known of, nothing lay there in truth, and no debt.
        Why::Received => before.max(0) + i64::from(count),
        Why::Pressed | Why::Spoiled => before - i64::from(count),
    }
}

/// Every movement in a book, the oldest first.
fn entries(book: &Book) -> Vec<Entry<'_>> {
    let of_orders = book.all().filter(|entry| !entry.facts.is_empty()).flat_map(|entry| {
        let moved = |what: &What| matches!(what, What::Pressed(_) | What::Spoiled(_));
        let facts = entry.facts.counting().filter(move |(_, what)| moved(what));
        facts.map(|(id, what)| Entry { id, order: Some(&entry.order.id), what })
    });
    let of_shelf = book.stock().counting().map(|(id, what)| Entry { id, order: None, what });
    let mut all: Vec<Entry> = of_orders.chain(of_shelf).collect();
    all.sort_by_key(|entry| entry.id);
    all
}

/// How many of each piece lie on the shelf by the ledger. Below nothing where more went out than
/// was known of.
///
/// ```
/// use lettertally::book::{Book, Moment, fact::What, goods::Goods, ledger};
/// use lettertally::{glyph::GlyphCounts, lists::demo};
/// let mut book = Book::only(demo::order("2026-01-01"), Moment(1));
/// let family = demo::lists().families().remove(0);
/// let mut goods = Goods::default();
/// goods.add_letters(&family, &GlyphCounts::of_text("OTTO"), 1);
/// book.note_stock(What::Counted(goods), Moment(2));
/// assert_eq!(ledger::counts(&book).values().sum::<i64>(), 4);
/// ```
pub fn counts(book: &Book) -> BTreeMap<Item, i64> {
    counts_until(book, None)
}

/// The counts as they were after one movement, or as they are now.
fn counts_until(book: &Book, last: Option<&FactId>) -> BTreeMap<Item, i64> {
    let mut all = entries(book);
    all.retain(|entry| last.is_none_or(|last| entry.id <= last));
    let mut counts = BTreeMap::<&Item, i64>::new();
    for (why, goods) in all.iter().filter_map(Entry::movement) {
        for (item, count) in goods.iter() {
            let slot = counts.entry(item).or_default();
            *slot = after(why, *slot, count);
        }
    }
    counts.into_iter().map(|(item, count)| (item.clone(), count)).collect()
}

/// How the count of one piece came about, the oldest first.
pub fn history(book: &Book, item: &Item) -> Vec<Movement> {
    let mut there = 0;
    let mut movements = Vec::new();
    for entry in entries(book) {
        let Some((why, goods)) = entry.movement() else { continue };
        let Some((_, count)) = goods.iter().find(|(found, _)| *found == item) else { continue };
        let before = there;
        there = after(why, before, count);
        movements.push(Movement {
            id: entry.id.clone(),
            order: entry.order.cloned(),
            why,
            change: there - before,
            after: there,
        });
    }
    movements
}

impl Book {
    /// The shelf as the ledger has it; what is wanted there stays as it is on the shelf given.
    pub fn shelf(&self, wanted: &Shelf) -> Shelf {
        let mut shelf = wanted.clone();
        let mut families = BTreeMap::<&Family, GlyphCounts>::new();
        let mut seen = BTreeSet::new();
        let counts = counts(self);
        for (item, &count) in &counts {
            let count = u32::try_from(count.max(0)).unwrap_or(u32::MAX);
            match item {
                Item::Letter(family, glyph) => families.entry(family).or_default().set(glyph.clone(), count),
                Item::Blank(blank, size) => {
                    shelf.set_blank(blank, size, count);
                    seen.insert((blank, size));
                }
            }
        }
        for stock in wanted.stocks() {
            families.entry(&stock.family).or_default();
        }
        for blank in wanted.blanks().iter().filter(|stock| !seen.contains(&(&stock.blank, &stock.size))) {
            shelf.set_blank(&blank.blank, &blank.size, 0);
        }
        for (family, counts) in families {
            shelf.replace(family, counts);
        }
        shelf
    }

    /// Takes orders out that lie in a file, with all that happened to them. What their garments took
    /// from the shelf stays taken: the pieces are written down as counted, as they lay there when
    /// the last of these garments was made, so that whatever happened later still counts from there,
    /// here and on phones that know more of it. The last order left stays.
    pub fn put_away(&mut self, ids: &BTreeSet<OrderId>) {
        let moved: Vec<Entry> = entries(self)
            .into_iter()
            .filter(|entry| entry.order.is_some_and(|id| ids.contains(id)))
            .collect();
        let items: BTreeSet<&Item> = moved
            .iter()
            .filter_map(Entry::movement)
            .flat_map(|(_, goods)| goods.iter())
            .map(|(item, _)| item)
            .collect();
        if let Some(last) = moved.last().map(|entry| entry.id.clone()) {
            // Behind the last of them, and before all that comes later: no device's name sorts there.
            let mut name = FactId { at: last.at, by: Device::new(format!("~{}", self.by())) };
            while self.stock().get(&name).is_some() {
                name.by = Device::new(format!("~{}", name.by));
            }
            let known = counts_until(self, Some(&name));
            let there = |item: &&Item| known.get(*item).map_or(0, |count| u32::try_from(*count).unwrap_or(0));
            let counted: Goods = items.iter().map(|item| (Item::clone(item), there(item))).collect();
            Arc::make_mut(&mut self.stock).add(name, What::Counted(counted));
        }
        for id in ids {
            self.forget(id);
        }
    }

    /// Writes down as counted whatever lies on the shelf otherwise than the ledger has it: the
    /// shelf of a shop that kept no ledger yet, and counts that a person put right. `false` where
    /// there is nothing to write.
    pub fn account_for(&mut self, shelf: &Shelf, now: Moment) -> bool {
        let known = counts(self);
        let mut there: BTreeMap<Item, u32> = BTreeMap::new();
        for stock in shelf.stocks() {
            for (glyph, count) in stock.counts.iter() {
                there.insert(Item::Letter(stock.family.clone(), glyph.clone()), count);
            }
        }
        for stock in shelf.blanks().iter().filter(|stock| stock.count > 0) {
            there.insert(Item::Blank(stock.blank.clone(), stock.size.clone()), stock.count);
        }
        let gone = known.iter().filter(|(item, count)| **count > 0 && !there.contains_key(item));
        let gone: Vec<(Item, u32)> = gone.map(|(item, _)| (item.clone(), 0)).collect();
        let other = there
            .into_iter()
            .filter(|(item, count)| known.get(item).copied().unwrap_or(0).max(0) != i64::from(*count));
        let counted: Goods = other.chain(gone).collect();
        if counted.is_empty() {
            return false;
        }
        self.note_stock(What::Counted(counted), now);
        true
    }
}

/// Goods that were ordered and have not all come yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnTheWay {
    /// The purchase's fact.
    pub id: FactId,
    /// The purchase.
    pub purchase: Purchase,
    /// What is still to come.
    pub rest: Goods,
    /// What of its cost is not accounted for by what came.
    pub unpaid: Cents,
}

/// The purchases of which something is still to come, the oldest first.
pub fn on_the_way(facts: &Facts) -> Vec<OnTheWay> {
    let mut open: Vec<OnTheWay> = Vec::new();
    for (id, what) in facts.counting() {
        match what {
            What::Bought(purchase) => open.push(OnTheWay {
                id: id.clone(),
                rest: purchase.goods.clone(),
                unpaid: purchase.cost,
                purchase: Purchase::clone(purchase),
            }),
            What::Received(receipt) => {
                let of = receipt.of.as_ref();
                if let Some(found) = open.iter_mut().find(|found| Some(&found.id) == of) {
                    found.rest = found.rest.less(&receipt.goods);
                    found.unpaid = (found.unpaid - receipt.cost).max(Cents::ZERO);
                }
            }
            _ => {}
        }
    }
    open.retain(|found| !found.rest.is_empty());
    open
}

/// What a part of the goods on their way costs, by its share of the pieces; all that is left for
/// the last part.
pub fn cost_of_part(open: &OnTheWay, part: &Goods) -> Cents {
    let pieces = |goods: &Goods| goods.letters() + goods.blanks();
    let rest = pieces(&open.rest.less(part));
    let came = pieces(&open.rest).saturating_sub(rest);
    apportion(open.unpaid, &[came, rest]).first().copied().unwrap_or_default()
}

/// What one piece on the shelf cost on average, per family of letters and per blank.
///
/// A moving average: what comes in mixes with what lies there; what goes out takes its share with
/// it and changes nothing. Pieces that were counted and never bought cost nothing known, so they
/// are left out of the average rather than counted as free.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Worth {
    /// Pieces whose cost is known.
    pub pieces: u64,
    /// What they cost together.
    pub cost: Money,
}

impl Worth {
    /// What one of them cost; `None` where none is known.
    pub fn each(&self) -> Option<Money> {
        (self.pieces > 0).then(|| self.cost / self.pieces)
    }

    fn comes(&mut self, pieces: u64, cost: Money) {
        self.pieces += pieces;
        self.cost += cost;
    }

    fn goes(&mut self, pieces: u64) {
        let left = self.pieces.saturating_sub(pieces);
        self.cost = self.each().map_or(Money::ZERO, |each| each * left);
        self.pieces = left;
    }
}

/// What pieces have one average cost: letters of a family, a blank in one size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Letters of a family.
    Letters(Family),
    /// A blank of one size.
    Blank(crate::lists::BlankId, String),
}

impl Kind {
    /// The kind of a piece.
    pub fn of(item: &Item) -> Self {
        match item {
            Item::Letter(family, _) => Self::Letters(family.clone()),
            Item::Blank(blank, size) => Self::Blank(blank.clone(), size.clone()),
        }
    }
}

/// What the pieces on the shelf cost on average.
pub fn worth(book: &Book, currency: &Currency) -> BTreeMap<Kind, Worth> {
    let mut worth = BTreeMap::<Kind, Worth>::new();
    let mut there = BTreeMap::<Item, i64>::new();
    for entry in entries(book) {
        let Some((why, goods)) = entry.movement() else { continue };
        let mut kinds = BTreeMap::<Kind, (u64, u64)>::new();
        for (item, count) in goods.iter() {
            let slot = there.entry(item.clone()).or_default();
            let before = *slot;
            *slot = after(why, before, count);
            let change = *slot - before;
            let sum = kinds.entry(Kind::of(item)).or_default();
            sum.0 += u64::try_from(change.max(0)).unwrap_or(0);
            sum.1 += u64::try_from((-change).max(0)).unwrap_or(0);
        }
        let pieces: Vec<u64> = kinds.values().map(|(comes, _)| *comes).collect();
        let costs = match entry.what {
            What::Received(receipt) => apportion(receipt.cost, &pieces),
            _ => vec![Cents::ZERO; pieces.len()],
        };
        for ((kind, (comes, goes)), cost) in kinds.into_iter().zip(costs) {
            let slot = worth.entry(kind).or_default();
            if why == Why::Received {
                slot.comes(comes, cost.money(currency));
            }
            slot.goes(goes);
        }
    }
    worth
}
