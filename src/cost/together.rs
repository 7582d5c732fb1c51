//! What is bought at once: the letters of one or several orders, and those that the shelf lacks.
//!
//! Owns the need of such a basket, the part of it that is for the shelf, what of its cost no
//! order bears, and what buying order by order would cost instead. The shelf is taken off once,
//! from the sum of all. Never touches a price: each order is priced by its own mix
//! ([`super::letters`]), whatever it is bought with.

use super::letters::average;
use crate::buy::{self, Mix, Need};
use crate::glyph::GlyphCounts;
use crate::lists::settings::LetterCharge;
use crate::lists::{Family, Lists, Settings, Way};
use crate::money::{Cents, Money};
use crate::shelf::Shelf;
use crate::tally::{FamilyTally, Tally};

/// Orders that are bought together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Basket {
    /// Their letters, in the order in which they would be bought one by one.
    pub tallies: Vec<Tally>,
    /// Whether the shelf is to hold what is wanted there once all of them are made.
    pub restock: bool,
}

impl Basket {
    /// What must be bought: what the orders take and what is wanted on the shelf afterwards,
    /// less what lies there.
    ///
    /// ```
    /// use lettertally::{cost::Basket, glyph::GlyphCounts, lists::demo, shelf::Shelf};
    /// let family = demo::lists().families().remove(0);
    /// let mut shelf = Shelf::default();
    /// shelf.want(&family, GlyphCounts::parse("A:3 E:4").unwrap());
    /// shelf.replace(&family, GlyphCounts::parse("A:5 E:1").unwrap());
    /// let needs = Basket { tallies: vec![], restock: true }.needs(&shelf);
    /// assert_eq!(needs[0].counts.to_string(), "E:3");
    /// ```
    pub fn needs(&self, shelf: &Shelf) -> Vec<Need> {
        let families = self.tallies.iter().flat_map(|tally| &tally.families);
        let taken = families.map(|family| Need { family: family.family.clone(), counts: family.need() });
        let wanted = shelf.stocks().iter().filter(|stock| self.restock && !stock.wanted.is_empty());
        let wanted = wanted.map(|stock| Need { family: stock.family.clone(), counts: stock.wanted.clone() });
        let mut needs = buy::pooled(taken.chain(wanted));
        for need in &mut needs {
            need.counts = need.counts.less(&shelf.of(&need.family));
        }
        needs
    }

    /// The part of the needs that is there only because letters are wanted on the shelf.
    pub fn for_shelf(&self, shelf: &Shelf) -> Vec<Need> {
        let without = Self { restock: false, ..self.clone() }.needs(shelf);
        let for_orders = |family: &Family| {
            let need = without.iter().find(|need| need.family == *family);
            need.map(|need| need.counts.clone()).unwrap_or_default()
        };
        let part = |need: Need| Need { counts: need.counts.less(&for_orders(&need.family)), ..need };
        self.needs(shelf).into_iter().map(part).filter(|need| !need.counts.is_empty()).collect()
    }

    /// What each line of the mix is for, supplier by supplier in the order of the mix. The orders
    /// take their letters first, from the lines as they come; then the shelf takes what is wanted
    /// there; what then remains of a line is left over.
    pub fn lines(&self, mix: &Mix, shelf: &Shelf, lists: &Lists) -> Vec<Vec<LineUse>> {
        let mut for_orders = Self { restock: false, ..self.clone() }.needs(shelf);
        let mut for_shelf = self.for_shelf(shelf);
        let mut line = |entry: &buy::Entry| {
            let held = held(entry, lists);
            let rest = held.less(&take(&mut for_orders, &entry.family, &held));
            let wanted = take(&mut for_shelf, &entry.family, &rest);
            LineUse { letters: held.total(), for_shelf: wanted.total() }
        };
        mix.orders.iter().map(|order| order.entries.iter().map(&mut line).collect()).collect()
    }

    /// What the letters in this basket's mix cost that no order bears: they stay on the shelf.
    pub fn kept(&self, mix: &Mix, shelf: &Shelf, settings: &Settings) -> Cents {
        let for_shelf = self.for_shelf(shelf);
        let kept = |mix: &buy::FamilyMix| -> Money {
            let each = average(mix, &settings.currency);
            match settings.charge {
                LetterCharge::Used => {
                    let used = self.used(&mix.family);
                    let off_shelf = used.common(&shelf.of(&mix.family)).total();
                    let borne = mix.bought.total().min(used.total() - off_shelf);
                    mix.cost.money(&settings.currency) - each * borne
                }
                LetterCharge::Everything => {
                    let wanted = for_shelf.iter().find(|need| need.family == mix.family);
                    each * wanted.map_or(0, |need| need.counts.total())
                }
            }
        };
        mix.families.iter().map(kept).sum::<Money>().round(&settings.currency)
    }

    /// The letters of a family on all garments as ordered.
    fn used(&self, family: &Family) -> GlyphCounts {
        let mut used = GlyphCounts::default();
        for tally in self.tallies.iter().filter_map(|tally| tally.family(family)) {
            used.add_all(&tally.used, 1);
        }
        used
    }
}

/// What the letters of one line of a buying list are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LineUse {
    /// How many letters its units hold.
    pub letters: u64,
    /// How many of them are there because they are wanted on the shelf.
    pub for_shelf: u64,
}

/// The letters in the units of a line.
pub(crate) fn held(entry: &buy::Entry, lists: &Lists) -> GlyphCounts {
    let mut held = GlyphCounts::default();
    let offer = lists.offers.iter().find(|offer| offer.id == entry.offer);
    match (offer.map(|offer| &offer.way), &entry.glyph) {
        (Some(Way::Set { contents }), _) => held.add_all(contents, entry.units),
        (Some(Way::Pack { of, .. }), Some(glyph)) => {
            held.add(glyph.clone(), of.saturating_mul(entry.units));
        }
        (_, Some(glyph)) => held.add(glyph.clone(), entry.units),
        (_, None) => {}
    }
    held
}

/// Takes out of needs what letters cover of them, and tells it.
fn take(needs: &mut [Need], family: &Family, letters: &GlyphCounts) -> GlyphCounts {
    let Some(need) = needs.iter_mut().find(|need| need.family == *family) else {
        return GlyphCounts::default();
    };
    let taken = need.counts.common(letters);
    need.counts = need.counts.less(&taken);
    taken
}

/// The same orders bought one after the other: each finds on the shelf what those before it left.
pub struct OneByOne {
    basket: Basket,
    shelf: Shelf,
    lists: Lists,
    next: usize,
    cost: Option<Cents>,
}

impl OneByOne {
    /// Takes the orders that were bought together, and the shelf as it is today.
    pub fn new(basket: &Basket, shelf: &Shelf, lists: &Lists) -> Self {
        Self {
            basket: basket.clone(),
            shelf: shelf.clone(),
            lists: lists.clone(),
            next: 0,
            cost: Some(Cents::ZERO),
        }
    }

    /// Whether every order is bought.
    pub fn is_done(&self) -> bool {
        self.next >= self.basket.tallies.len()
    }

    /// What they cost, as far as they are bought; `None` where one of them cannot be.
    pub fn cost(&self) -> Option<Cents> {
        self.cost
    }

    /// Buys the next order.
    pub fn step(&mut self) {
        let Some(tally) = self.basket.tallies.get(self.next).cloned() else { return };
        self.next += 1;
        let alone = Basket { tallies: vec![tally.clone()], restock: self.basket.restock };
        let mix = buy::solve_briefly(&alone.needs(&self.shelf), &self.lists);
        self.cost = self.cost.filter(|_| mix.trouble.is_none()).map(|cost| cost + mix.cost());
        for bought in &mix.families {
            let mut there = self.shelf.of(&bought.family);
            there.add_all(&bought.bought, 1);
            let taken = tally.family(&bought.family).map(FamilyTally::need).unwrap_or_default();
            self.shelf.replace(&bought.family, there.less(&taken));
        }
    }

    /// Buys all of them.
    pub fn finish(mut self) -> Option<Cents> {
        while !self.is_done() {
            self.step();
        }
        self.cost
    }
}
