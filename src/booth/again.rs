//! Buying again: one mix for all chosen orders and the wanted shelf, shared out among them.
//!
//! Owns who bears what of a purchase that is made together, and what a purchase holds. The mix
//! itself is the pooled one ([`crate::cost::Basket`]); no price of an order follows from it.

use super::making::Making;
use crate::book::Entry;
use crate::book::fact::Purchase;
use crate::book::goods::{Goods, Item};
use crate::buy::{self, Mix, Need};
use crate::cost::Basket;
use crate::cost::together::{OneByOne, held};
use crate::lists::{BlankId, Lists, Settings};
use crate::money::{Cents, apportion};
use crate::order::OrderId;
use crate::shelf::Shelf;
use crate::tally::{Tally, tally};

/// The letters of what is left to press of an order, spoilage and spares as for an order of just
/// these garments.
pub fn tally_left(entry: &Entry, makings: &[Making], lists: &Lists, settings: &Settings) -> Tally {
    let mut readings = entry.order.read(lists);
    for making in makings {
        let group = readings.get_mut(making.design).and_then(|reading| reading.groups.get_mut(making.group));
        if let Some(group) = group {
            group.count = making.left();
        }
    }
    readings.iter_mut().for_each(|reading| reading.groups.retain(|group| group.count > 0));
    tally(&entry.order, &readings, lists, settings)
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
    /// What all would cost bought one after the other, each finding on the shelf what those before
    /// it left; `None` where one of them cannot be bought.
    pub one_by_one: Option<Cents>,
}

impl Shared {
    /// What buying together saves over buying order by order.
    pub fn saved(&self) -> Cents {
        self.one_by_one.map_or(Cents::ZERO, |one_by_one| one_by_one - self.total)
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
    let all = Basket { tallies: orders.iter().map(|(_, tally)| tally.clone()).collect(), restock };
    let one_by_one = match orders {
        [] => Some(total),
        _ => OneByOne::new(&all, shelf, lists).finish(),
    };
    Shared { shares: shares.collect(), total, one_by_one }
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

/// Blanks of one size to buy, and what they cost by the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlankNeed {
    /// The garment.
    pub blank: BlankId,
    /// The size's name.
    pub size: String,
    /// How many.
    pub count: u32,
    /// What they cost together; `None` where the list has no price for them any more.
    pub cost: Option<Cents>,
}

/// The blanks that orders still take and that are wanted on the shelf, less those that lie there.
pub fn blanks(orders: &[(OrderId, Goods)], restock: bool, shelf: &Shelf, lists: &Lists) -> Vec<BlankNeed> {
    let mut need = Goods::default();
    orders.iter().for_each(|(_, goods)| need.add_all(goods, 1));
    let wanted = shelf.blanks().iter().filter(|stock| restock && stock.wanted > 0);
    wanted.for_each(|stock| need.add_blank(&stock.blank, &stock.size, stock.wanted));
    let to_buy = need.iter().filter_map(|(item, count)| match item {
        Item::Blank(blank, size) => {
            let count = count.saturating_sub(shelf.of_blank(blank, size));
            let price = lists.blank(blank).and_then(|blank| blank.size(size)).map(|size| size.price);
            let cost = price.and_then(|price| price.times(count));
            (count > 0).then(|| BlankNeed { blank: blank.clone(), size: size.clone(), count, cost })
        }
        Item::Letter(..) => None,
    });
    to_buy.collect()
}

/// The blanks of a purchase as they are written down when they are bought; each order bears its
/// part by the garments it takes. `None` where there is nothing to buy.
pub fn purchase_of_blanks(needs: &[BlankNeed], orders: &[(OrderId, Goods)]) -> Option<Purchase> {
    let mut goods = Goods::default();
    needs.iter().for_each(|need| goods.add_blank(&need.blank, &need.size, need.count));
    if goods.is_empty() {
        return None;
    }
    let cost = needs.iter().filter_map(|need| need.cost).sum();
    let taken = |all: &Goods| -> u64 {
        let of_these = all.iter().filter(|(item, _)| goods.get(item) > 0);
        of_these.map(|(_, count)| u64::from(count)).sum()
    };
    let mut weights: Vec<u64> = orders.iter().map(|(_, goods)| taken(goods)).collect();
    // What is bought beyond what the orders take is for the shelf.
    weights.push(goods.blanks().saturating_sub(weights.iter().sum()));
    let shares = orders.iter().zip(apportion(cost, &weights)).filter(|(_, part)| *part > Cents::ZERO);
    let shares = shares.map(|((id, _), part)| (id.clone(), part)).collect();
    Some(Purchase { supplier: "Blanks".to_owned(), goods, cost, shares })
}

/// What must be bought of letters, as the solver takes it.
pub fn needs(orders: &[(OrderId, Tally)], restock: bool, shelf: &Shelf) -> Vec<Need> {
    let basket = Basket { tallies: orders.iter().map(|(_, tally)| tally.clone()).collect(), restock };
    basket.needs(shelf).into_iter().filter(|need| !need.counts.is_empty()).collect()
}
