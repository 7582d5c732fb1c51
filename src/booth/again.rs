//! Buying again: one mix for all chosen orders and the wanted shelf, shared out among them.
//!
//! Owns who bears what of a purchase that is made together, and what a purchase holds. The mix
//! itself is the pooled one ([`crate::cost::Basket`]); no price of an order follows from it.

use super::making::Making;
use crate::book::fact::Purchase;
use crate::book::goods::Goods;
use crate::buy::{self, Mix, Need};
use crate::cost::Basket;
use crate::cost::together::held;
use crate::glyph::GlyphCounts;
use crate::lists::{BlankId, Lists};
use crate::money::{Cents, apportion};
use crate::order::OrderId;
use crate::shelf::Shelf;
use crate::tally::{FamilyTally, Tally};

/// The letters of what is left to press of an order, as the basket takes them.
pub fn tally_left(makings: &[Making]) -> Tally {
    let mut goods = Goods::default();
    makings.iter().for_each(|making| goods.add_all(&making.each, making.left()));
    let family = |(family, used): (&crate::lists::Family, GlyphCounts)| FamilyTally {
        family: family.clone(),
        used,
        spoiled: GlyphCounts::default(),
        spares: GlyphCounts::default(),
    };
    Tally {
        families: goods.by_family().into_iter().map(family).collect(),
        garments: makings.iter().map(|making| u64::from(making.left())).sum(),
        spoiled: 0,
    }
}

/// Who takes part in a purchase.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Party {
    /// An order.
    Order(OrderId),
    /// The shelf, for what is wanted there.
    Shelf,
}

/// What one party bears of a purchase made together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Share {
    /// Whose it is.
    pub party: Party,
    /// What it would pay alone, with the shelf as it is.
    pub alone: Cents,
    /// What it pays together with the others.
    pub together: Cents,
}

/// A purchase made together, shared out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shared {
    /// Each party's share; they add up to the whole to the cent.
    pub shares: Vec<Share>,
    /// What the mix costs.
    pub total: Cents,
}

impl Shared {
    /// What buying together saves over each buying alone.
    pub fn saved(&self) -> Cents {
        self.shares.iter().map(|share| share.alone).sum::<Cents>() - self.total
    }
}

/// Shares the cost of a pooled mix among the orders and the shelf, in proportion to what each
/// would pay alone, by largest remainder. Alone, each finds the whole shelf as it is today; so a
/// party whose letters all lie there bears nothing.
pub fn share(orders: &[(OrderId, Tally)], restock: bool, mix: &Mix, shelf: &Shelf, lists: &Lists) -> Shared {
    let alone = |basket: Basket| {
        let needs = basket.needs(shelf);
        buy::solve_briefly(&needs, lists).cost()
    };
    let mut parties: Vec<(Party, Cents)> = orders
        .iter()
        .map(|(id, tally)| {
            let basket = Basket { tallies: vec![tally.clone()], restock: false };
            (Party::Order(id.clone()), alone(basket))
        })
        .collect();
    if restock {
        parties.push((Party::Shelf, alone(Basket { tallies: Vec::new(), restock: true })));
    }
    let total = mix.cost();
    let mut weights: Vec<u64> =
        parties.iter().map(|(_, alone)| u64::try_from(alone.minor()).unwrap_or(0)).collect();
    // Each alone finds what it needs on the shelf, all together do not: then by what each takes.
    if weights.iter().all(|&weight| weight == 0) {
        weights = orders.iter().map(|(_, tally)| tally.letters_used()).collect();
        weights.resize(parties.len(), 1);
    }
    let parts = apportion(total, &weights);
    let shares =
        parties.into_iter().zip(parts).map(|((party, alone), together)| Share { party, alone, together });
    Shared { shares: shares.collect(), total }
}

/// What a mix orders from each supplier, as it is written down when it is bought.
pub fn purchases(mix: &Mix, shared: &Shared, lists: &Lists) -> Vec<Purchase> {
    let weights: Vec<u64> =
        shared.shares.iter().map(|share| u64::try_from(share.together.minor()).unwrap_or(0)).collect();
    let purchase = |order: &buy::SupplierOrder| {
        let supplier = lists.suppliers.iter().find(|supplier| supplier.id == order.supplier);
        let mut goods = Goods::default();
        for entry in &order.entries {
            goods.add_letters(&entry.family, &held(entry, lists), 1);
        }
        let cost = order.subtotal + order.freight;
        let parts = apportion(cost, &weights);
        let shares = shared.shares.iter().zip(parts).filter_map(|(share, part)| match &share.party {
            Party::Order(id) if part > Cents::ZERO => Some((id.clone(), part)),
            _ => None,
        });
        Purchase {
            supplier: supplier.map_or_else(|| order.supplier.to_string(), |supplier| supplier.name.clone()),
            goods,
            cost,
            shares: shares.collect(),
        }
    };
    mix.orders.iter().map(purchase).collect()
}

/// Blanks to buy, and what they cost by the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlankNeed {
    /// The garment.
    pub blank: BlankId,
    /// The size's name.
    pub size: String,
    /// How many.
    pub count: u32,
    /// What they cost together.
    pub cost: Cents,
}

/// The blanks that orders take and that are wanted on the shelf, less those that lie there.
pub fn blanks(
    makings: &[Making],
    designs: &[BlankId],
    restock: bool,
    shelf: &Shelf,
    lists: &Lists,
) -> Vec<BlankNeed> {
    let mut need = Goods::default();
    for making in makings {
        if let Some(blank) = designs.get(making.design) {
            need.add_blank(blank, &making.tag.size, making.left());
        }
    }
    let mut all = Vec::new();
    let wanted = shelf.blanks().iter().filter(|stock| restock && stock.wanted > 0);
    wanted.for_each(|stock| need.add_blank(&stock.blank, &stock.size, stock.wanted));
    for (item, count) in need.iter() {
        let crate::book::goods::Item::Blank(blank, size) = item else { continue };
        let count = count.saturating_sub(shelf.of_blank(blank, size));
        let price = lists.blank(blank).and_then(|blank| blank.size(size)).map(|size| size.price);
        if count > 0 {
            let cost = price.and_then(|price| price.times(count)).unwrap_or_default();
            all.push(BlankNeed { blank: blank.clone(), size: size.clone(), count, cost });
        }
    }
    all
}

/// What must be bought of letters, as the solver takes it.
pub fn needs(orders: &[(OrderId, Tally)], restock: bool, shelf: &Shelf) -> Vec<Need> {
    let basket = Basket { tallies: orders.iter().map(|(_, tally)| tally.clone()).collect(), restock };
    basket.needs(shelf).into_iter().filter(|need| !need.counts.is_empty()).collect()
}
