//! What an order's letters cost it.
//!
//! By default an order bears the letters on its garments at their average cost in the mix that
//! would cover all of it today; letters left over stay on the shelf at that cost. Letters that
//! come off the shelf are charged the same, so that a price does not depend on what happens to
//! lie there. A shop can instead charge a run with everything bought for it. What is wanted on the
//! shelf at all times, and what other orders take, never changes any of this: that is bought
//! together in a [`super::Basket`], and an order bears its own letters only.

use crate::buy::{self, FamilyMix, Mix, Need};
use crate::lists::settings::LetterCharge;
use crate::lists::{Family, Lists, Settings};
use crate::money::{Currency, Money};
use crate::shelf::Shelf;
use crate::tally::{FamilyTally, Tally};
use std::collections::BTreeMap;

/// The cost of one letter of each family, as an order bears it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LetterCosts {
    each: BTreeMap<Family, Money>,
    /// What is bought for the order and not charged to it: it stays on the shelf.
    pub kept: Money,
}

impl LetterCosts {
    /// What one letter of the family costs; nothing where it cannot be bought.
    pub fn of(&self, family: &Family) -> Money {
        self.each.get(family).copied().unwrap_or(Money::ZERO)
    }

    /// What so many letters of each family cost.
    pub fn cost(&self, letters: &BTreeMap<Family, u64>) -> Money {
        letters.iter().map(|(family, &count)| self.of(family) * count).sum()
    }
}

/// What must be bought: the need of each family beyond what lies on the shelf.
pub fn needs(tally: &Tally, shelf: &Shelf) -> Vec<Need> {
    let need = |family: &FamilyTally| Need {
        family: family.family.clone(),
        counts: family.need().less(&shelf.of(&family.family)),
    };
    tally.families.iter().map(need).collect()
}

/// What a letter of each family costs the order, given the mix that covers its needs.
pub fn letter_costs(
    tally: &Tally,
    mix: &Mix,
    shelf: &Shelf,
    lists: &Lists,
    settings: &Settings,
) -> LetterCosts {
    let currency = &settings.currency;
    let anew = anew(tally, mix, shelf, lists);
    let mut costs = LetterCosts::default();
    for family in &tally.families {
        let used = family.used.total();
        let off_shelf = family.used.common(&shelf.of(&family.family)).total();
        let today = anew.family(&family.family).map_or(Money::ZERO, |mix| average(mix, currency));
        let bought = mix.family(&family.family);
        let spent = bought.map_or(Money::ZERO, |mix| mix.cost.money(currency));
        let each = match settings.charge {
            LetterCharge::Used => {
                let charged = bought.map_or(Money::ZERO, |mix| average(mix, currency)) * (used - off_shelf);
                costs.kept += spent - charged;
                today
            }
            LetterCharge::Everything => (spent + today * off_shelf) / used,
        };
        costs.each.insert(family.family.clone(), each);
    }
    costs
}

/// The mix that would cover the whole need today, with nothing on the shelf.
fn anew(tally: &Tally, mix: &Mix, shelf: &Shelf, lists: &Lists) -> Mix {
    let empty = Shelf::default();
    let whole = needs(tally, &empty);
    if whole == needs(tally, shelf) { mix.clone() } else { buy::solve_briefly(&whole, lists) }
}

/// The average cost of a letter in a mix, letters left over included.
pub(super) fn average(mix: &FamilyMix, currency: &Currency) -> Money {
    mix.cost.money(currency) / mix.bought.total()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::glyph::Glyph;
    use crate::lists::demo;
    use crate::money::Cents;
    use crate::order::{CountBy, Order, SizeCount, Wording};

    fn six_letters() -> Order {
        let mut order = demo::order("2026-01-01");
        let design = &mut order.designs[0];
        design.lines.remove(0);
        design.lines.truncate(1);
        design.lines[0].text = Wording::new("AAAAAA");
        design.count_by = CountBy::Sizes;
        design.sizes = vec![SizeCount { size: "M".into(), count: 1 }];
        order
    }

    fn total(shelf: &Shelf, charge: LetterCharge) -> Cents {
        let (lists, order) = (demo::lists(), six_letters());
        let settings = Settings { charge, ..Settings::default() };
        let tally = crate::tally::tally(&order, &order.read(&lists), &lists, &settings);
        let mix = buy::solve(&needs(&tally, shelf), &lists);
        let costs = letter_costs(&tally, &mix, shelf, &lists, &settings);
        let used: BTreeMap<_, _> =
            tally.families.iter().map(|f| (f.family.clone(), f.used.total())).collect();
        costs.cost(&used).round(&settings.currency)
    }

    #[test]
    fn letters_bear_their_average_cost_whether_bought_or_off_the_shelf() {
        // Six letters: a pack of five at 2.15 and a piece at 0.55 are 2.70, and freight is 6.90, so
        // 9.60 with or without a shelf.
        assert_eq!(total(&Shelf::default(), LetterCharge::Used).minor(), 960);
        let mut shelf = Shelf::default();
        shelf.set(&six_letters().designs[0].lines[0].family(), Glyph::parse("A").unwrap(), 6);
        assert_eq!(total(&shelf, LetterCharge::Used).minor(), 960);
    }

    #[test]
    fn what_is_bought_and_not_charged_is_kept() {
        let mut lists = demo::lists();
        lists.offers.retain(|offer| offer.id.as_str() == "smooth-2-pack");
        let order = six_letters();
        let family = order.designs[0].lines[0].family();
        let mut shelf = Shelf::default();
        shelf.set(&family, Glyph::parse("A").unwrap(), 2);
        // Two of six lie there, so one pack is bought: 2.15 and freight of 6.90 are 9.05, or 1.81 a
        // letter, four of which are used. With nothing on the shelf it were 1.12 a letter.
        for (charge, kept, all_six) in [(LetterCharge::Used, 181, 672), (LetterCharge::Everything, 0, 1_129)]
        {
            let settings = Settings { charge, ..Settings::default() };
            let tally = crate::tally::tally(&order, &order.read(&lists), &lists, &settings);
            let mix = buy::solve(&needs(&tally, &shelf), &lists);
            let costs = letter_costs(&tally, &mix, &shelf, &lists, &settings);
            assert_eq!(costs.kept.round(&settings.currency).minor(), kept);
            assert_eq!((costs.of(&family) * 6_u32).round(&settings.currency).minor(), all_six);
        }
    }

    #[test]
    fn a_run_can_be_charged_with_all_that_is_bought() {
        let mut lists = demo::lists();
        lists.offers.retain(|offer| offer.id.as_str() == "smooth-2-pack");
        let (order, shelf) = (six_letters(), Shelf::default());
        // Two packs at 2.15 and freight of 6.90 are 11.20 for ten letters: 6.72 for six of them.
        for (charge, expected) in [(LetterCharge::Used, 672), (LetterCharge::Everything, 1_120)] {
            let settings = Settings { charge, ..Settings::default() };
            let tally = crate::tally::tally(&order, &order.read(&lists), &lists, &settings);
            let mix = buy::solve(&needs(&tally, &shelf), &lists);
            let each = letter_costs(&tally, &mix, &shelf, &lists, &settings).of(&tally.families[0].family);
            assert_eq!((each * 6_u32).round(&settings.currency).minor(), expected);
        }
    }
}
