//! Many prices changed at once, by a percentage or an amount.
//!
//! Owns which prices a change meets, what each becomes and why one cannot. Shows old and new
//! before anything is changed, and changes all of them or none. Never moves one price past
//! another: where one offer cost more than another, it does not cost less afterwards.

use super::{FinishId, Lists, Offer, OfferId, SupplierId};
use crate::money::{Cents, Currency, LARGEST_AMOUNT, Money, Percent};
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::fmt;

/// The offers that a change meets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Selection {
    /// Every offer.
    All,
    /// What one supplier sells.
    Supplier(SupplierId),
    /// What is made of one finish.
    Finish(FinishId),
    /// These offers.
    Offers(BTreeSet<OfferId>),
}

impl Selection {
    fn meets(&self, offer: &Offer) -> bool {
        match self {
            Self::All => true,
            Self::Supplier(supplier) => offer.supplier == *supplier,
            Self::Finish(finish) => offer.finish == *finish,
            Self::Offers(offers) => offers.contains(&offer.id),
        }
    }
}

/// How far a price moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// By a share of itself.
    Percent(Percent),
    /// By so much.
    Amount(Cents),
}

/// Which way a price moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Dearer.
    Up,
    /// Cheaper.
    Down,
}

/// What a price is rounded to, to the nearest and halves up. A price of nothing stays nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// A multiple of this; one minor unit for none.
    Step(Cents),
    /// A whole number of units and this: 0.99.
    Ending(Cents),
}

impl Rounding {
    /// The roundings that make sense in a currency, the finest first.
    pub fn choices(currency: &Currency) -> Vec<Self> {
        let steps = [1, 5, 10, 25, 50, 100].map(|minor| Self::Step(Cents::new(minor)));
        let unit = Money::of(1).round(currency);
        let endings = [95, 99].map(|minor| Self::Ending(Cents::new(minor)));
        let has_endings = unit == Cents::new(100);
        steps.into_iter().chain(endings.into_iter().filter(|_| has_endings)).collect()
    }

    /// The words for it: "to 0.05", "ending in 0.99".
    pub fn words(self, currency: &Currency) -> String {
        match self {
            Self::Step(step) => format!("to {}", currency.plain(step)),
            Self::Ending(ending) => format!("ending in {}", currency.plain(ending)),
        }
    }

    fn round(self, amount: Money, currency: &Currency) -> Cents {
        let (step, beyond) = match self {
            Self::Step(step) => (step, Cents::ZERO),
            Self::Ending(ending) => (Money::of(1).round(currency), ending),
        };
        if amount == Money::ZERO {
            return Cents::ZERO;
        }
        let rounded = amount.round_to(step, beyond, currency);
        if amount > Money::ZERO { rounded.max(beyond) } else { rounded }
    }
}

/// A change of many prices.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The offers that it meets.
    pub selection: Selection,
    /// Which way.
    pub way: Way,
    /// How far.
    pub by: By,
    /// What the new prices are rounded to.
    pub rounding: Rounding,
    /// Whether the prices from a quantity on change with the price of one unit.
    pub with_breaks: bool,
    /// Whether the blanks change too, every size of each.
    pub with_blanks: bool,
}

/// What has a price; by its place on its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Priced {
    /// An offer's unit.
    Offer(usize),
    /// An offer's unit from a quantity on: the offer, and the step.
    Break(usize, usize),
    /// A blank's size: the blank, and the size.
    Blank(usize, usize),
}

impl Priced {
    /// What a person calls it: "2 in smooth film, pack of 5, from 50".
    pub fn name(self, lists: &Lists) -> String {
        match self {
            Self::Offer(at) => lists.offers.get(at).map(|offer| lists.offer_name(offer)),
            Self::Break(at, step) => lists.offers.get(at).and_then(|offer| {
                let from = offer.breaks.get(step)?.from;
                Some(format!("{}, from {from}", lists.offer_name(offer)))
            }),
            Self::Blank(at, size) => lists.blanks.get(at).and_then(|blank| {
                let size = &blank.sizes.get(size)?.name;
                Some(format!("{}, {size}", blank.name))
            }),
        }
        .unwrap_or_default()
    }
}

/// One price, old and new.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Repriced {
    /// What it is the price of.
    pub what: Priced,
    /// What it costs now.
    pub old: Cents,
    /// What it would cost.
    pub new: Cents,
}

/// What a change would do: every price that it meets, and the lists with it done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Preview {
    /// The prices that it meets, in the order of the lists; those that stay the same too.
    pub prices: Vec<Repriced>,
    /// The lists as they would be.
    pub lists: Lists,
}

impl Preview {
    /// How many prices would be others than now.
    pub fn count(&self) -> usize {
        self.prices.iter().filter(|price| price.old != price.new).count()
    }
}

/// Why a price cannot change so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BulkFault {
    /// What it is the price of.
    pub name: String,
    /// What is wrong.
    pub kind: BulkFaultKind,
}

/// What is wrong with a new price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BulkFaultKind {
    /// It would be below zero.
    BelowZero,
    /// It would be nothing, and something now.
    Nothing,
    /// It would be more than any amount may be.
    TooLarge,
    /// It would cost more from a quantity on than below it, and does not now.
    BreakOrder,
}

impl fmt::Display for BulkFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let says = match self.kind {
            BulkFaultKind::BelowZero => "would cost less than nothing: lower it by less, or leave it out",
            BulkFaultKind::Nothing => {
                "would cost nothing: lower it by less, round it more finely, or leave it out"
            }
            BulkFaultKind::TooLarge => "would cost more than any price may: raise it by less",
            BulkFaultKind::BreakOrder => {
                "would cost more from a quantity on than below it: change the prices from quantities on too"
            }
        };
        write!(f, "{}: {says}", self.name)
    }
}

impl std::error::Error for BulkFault {}

/// What a change would do.
///
/// # Errors
/// Names every price that cannot change so.
pub fn preview(change: &Change, lists: &Lists, currency: &Currency) -> Result<Preview, Vec<BulkFault>> {
    let mut changed = lists.clone();
    let mut prices = Vec::new();
    let mut faults = Vec::new();
    let mut reprice = |what: Priced, price: &mut Cents| {
        let old = *price;
        match change.price(old, currency) {
            Ok(new) => {
                *price = new;
                prices.push(Repriced { what, old, new });
            }
            Err(kind) => faults.push(BulkFault { name: what.name(lists), kind }),
        }
    };
    for (at, offer) in changed.offers.iter_mut().enumerate().filter(|(_, o)| change.selection.meets(o)) {
        reprice(Priced::Offer(at), &mut offer.price);
        for (step, entry) in offer.breaks.iter_mut().enumerate().filter(|_| change.with_breaks) {
            reprice(Priced::Break(at, step), &mut entry.price);
        }
    }
    for (at, blank) in changed.blanks.iter_mut().enumerate().filter(|_| change.with_blanks) {
        for (size, entry) in blank.sizes.iter_mut().enumerate() {
            reprice(Priced::Blank(at, size), &mut entry.price);
        }
    }
    faults.extend(breaks_out_of_order(lists, &changed));
    if faults.is_empty() { Ok(Preview { prices, lists: changed }) } else { Err(faults) }
}

impl Change {
    /// What a price becomes.
    fn price(&self, old: Cents, currency: &Currency) -> Result<Cents, BulkFaultKind> {
        let money = old.money(currency);
        let by = match self.by {
            By::Percent(percent) => money * percent.share(),
            By::Amount(amount) => amount.money(currency),
        };
        let exact = match self.way {
            Way::Up => money + by,
            Way::Down => money - by,
        };
        let new = self.rounding.round(exact, currency);
        match new {
            _ if exact < Money::ZERO => Err(BulkFaultKind::BelowZero),
            Cents::ZERO if old != Cents::ZERO => Err(BulkFaultKind::Nothing),
            new if new.money(currency).amount() > Decimal::from(LARGEST_AMOUNT) => {
                Err(BulkFaultKind::TooLarge)
            }
            new => Ok(new),
        }
    }
}

/// The offers whose prices no longer fall with the quantity, though they did.
fn breaks_out_of_order(old: &Lists, new: &Lists) -> Vec<BulkFault> {
    let pairs = old.offers.iter().zip(&new.offers);
    let broken = pairs.filter(|(old, new)| falls(old) && !falls(new));
    broken
        .map(|(offer, _)| BulkFault { name: old.offer_name(offer), kind: BulkFaultKind::BreakOrder })
        .collect()
}

fn falls(offer: &Offer) -> bool {
    let prices: Vec<Cents> =
        [offer.price].into_iter().chain(offer.breaks.iter().map(|entry| entry.price)).collect();
    prices.windows(2).all(|pair| pair[0] >= pair[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::{Break, demo};
    use proptest::prelude::*;

    fn change(way: Way, by: By) -> Change {
        Change {
            selection: Selection::All,
            way,
            by,
            rounding: Rounding::Step(Cents::new(1)),
            with_breaks: true,
            with_blanks: false,
        }
    }

    /// The demo list with these prices on its first offers.
    fn priced(prices: &[i64]) -> Lists {
        let mut lists = demo::lists();
        lists.offers.truncate(prices.len());
        for (offer, &price) in lists.offers.iter_mut().zip(prices) {
            offer.breaks.clear();
            offer.price = Cents::new(price);
        }
        lists
    }

    fn prices(lists: &Lists) -> Vec<i64> {
        lists.offers.iter().map(|offer| offer.price.minor()).collect()
    }

    /// Reckoned by hand.
    #[test]
    fn prices_move_and_are_rounded_half_up_to_the_step() {
        let usd = Currency::usd();
        let cases = [
            (Way::Up, By::Percent(Percent::of(5)), Rounding::Step(Cents::new(1)), [58, 226, 1880]),
            (Way::Up, By::Percent(Percent::of(5)), Rounding::Step(Cents::new(5)), [60, 225, 1880]),
            (Way::Up, By::Percent(Percent::of(10)), Rounding::Ending(Cents::new(99)), [99, 199, 1999]),
            (Way::Down, By::Amount(Cents::new(15)), Rounding::Step(Cents::new(25)), [50, 200, 1775]),
        ];
        for (way, by, rounding, expected) in cases {
            let change = Change { rounding, ..change(way, by) };
            let preview = preview(&change, &priced(&[55, 215, 1790]), &usd).unwrap();
            assert_eq!(prices(&preview.lists)[..3], expected, "{change:?}");
        }
    }

    #[test]
    fn only_what_is_selected_changes() {
        let lists = demo::lists();
        let usd = Currency::usd();
        let up = change(Way::Up, By::Percent(Percent::of(10)));
        let twill = Change { selection: Selection::Finish(FinishId::new("twill")), ..up.clone() };
        let preview_twill = preview(&twill, &lists, &usd).unwrap();
        assert_eq!(preview_twill.count(), 3);
        assert_eq!(preview_twill.lists.blanks, lists.blanks);
        assert_eq!(preview_twill.prices[0].what.name(&lists), "2 in stitched-look twill, single piece");
        let chosen = Selection::Offers([OfferId::new("smooth-2-set")].into());
        assert_eq!(preview(&Change { selection: chosen, ..up.clone() }, &lists, &usd).unwrap().count(), 1);
        let blanks = Change { with_blanks: true, ..up };
        let breaks: usize = lists.offers.iter().map(|offer| offer.breaks.len()).sum();
        let sizes: usize = lists.blanks.iter().map(|blank| blank.sizes.len()).sum();
        assert_eq!(preview(&blanks, &lists, &usd).unwrap().count(), lists.offers.len() + breaks + sizes);
    }

    #[test]
    fn a_price_that_cannot_change_so_is_named_and_nothing_changes() {
        let usd = Currency::usd();
        let mut lists = demo::lists();
        lists.offers.truncate(1);
        let says = |change: &Change, lists: &Lists| preview(change, lists, &usd).unwrap_err()[0].to_string();
        let less = says(&change(Way::Down, By::Amount(Cents::new(56))), &lists);
        assert!(less.starts_with("2 in smooth film, single piece: would cost less than nothing"), "{less}");
        let nothing = says(&change(Way::Down, By::Percent(Percent::of(100))), &lists);
        assert!(nothing.contains("would cost nothing"), "{nothing}");
        lists.offers[0].breaks = vec![Break { from: 50, price: Cents::new(50) }];
        let without = Change { with_breaks: false, ..change(Way::Down, By::Amount(Cents::new(10))) };
        assert!(says(&without, &lists).contains("more from a quantity on"));
        lists.offers[0].price = Cents::new(100 * LARGEST_AMOUNT as i64);
        assert!(says(&change(Way::Up, By::Percent(Percent::of(1))), &lists).contains("any price may"));
    }

    fn any_change() -> impl Strategy<Value = Change> {
        let by = prop_oneof![
            (0_u32..1_000).prop_map(|tenths| By::Percent(Percent::tenths(tenths))),
            (0_i64..500).prop_map(|minor| By::Amount(Cents::new(minor))),
        ];
        let rounding = prop::sample::select(Rounding::choices(&Currency::usd()));
        let way = prop::sample::select(vec![Way::Up, Way::Down]);
        (by, rounding, way).prop_map(|(by, rounding, way)| Change { rounding, ..change(way, by) })
    }

    proptest! {
        #[test]
        fn no_percent_changes_nothing(list in prop::collection::vec(0_i64..100_000, 12), up in any::<bool>()) {
            let way = if up { Way::Up } else { Way::Down };
            let lists = priced(&list);
            let preview = preview(&change(way, By::Percent(Percent::ZERO)), &lists, &Currency::usd()).unwrap();
            prop_assert_eq!(preview.count(), 0);
            prop_assert_eq!(preview.lists, lists);
        }

        #[test]
        fn no_price_passes_another(list in prop::collection::vec(0_i64..100_000, 12), change in any_change()) {
            let lists = priced(&list);
            if let Ok(preview) = preview(&change, &lists, &Currency::usd()) {
                let new = prices(&preview.lists);
                for (a, b) in (0..12).flat_map(|a| (0..12).map(move |b| (a, b))) {
                    prop_assert!(list[a] <= list[b] || new[a] >= new[b]);
                }
            }
        }

        #[test]
        fn the_preview_is_what_the_lists_become(list in prop::collection::vec(1_i64..100_000, 12), change in any_change()) {
            let lists = priced(&list);
            if let Ok(preview) = preview(&change, &lists, &Currency::usd()) {
                let shown: Vec<i64> = preview.prices.iter().map(|price| price.new.minor()).collect();
                prop_assert_eq!(shown, prices(&preview.lists));
                let mut undone = preview.lists;
                undone.offers.iter_mut().zip(&preview.prices).for_each(|(offer, price)| offer.price = price.old);
                prop_assert_eq!(undone, lists);
            }
        }

        #[test]
        fn a_rounded_price_is_the_nearest_of_its_kind(old in 1_i64..100_000, tenths in 0_u32..500, step in 1_i64..101) {
            let usd = Currency::usd();
            let change = Change { rounding: Rounding::Step(Cents::new(step)), ..change(Way::Up, By::Percent(Percent::tenths(tenths))) };
            if let Ok(new) = change.price(Cents::new(old), &usd) {
                // In thousandths of a cent, so that nothing is rounded in the check.
                let exact = old * (1_000 + i64::from(tenths));
                let off = new.minor() * 1_000 - exact;
                prop_assert!(new.minor() % step == 0 && -500 * step < off && off <= 500 * step);
            }
        }
    }
}
