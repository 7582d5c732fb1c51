//! The price at other quantities: the same order, made more or fewer times.
//!
//! The order is taken as a pattern: the same mix of designs, sizes and names. What changes with
//! the quantity is the way the letters are bought and the share of what is spent once, so at the
//! order's own quantity, with an empty shelf, the price is the order's own. The shelf is left out
//! of account.

use super::letters::{LetterCosts, letter_costs};
use super::price::{PriceError, price};
use super::sheet::{CostKind, Sheet, UnitCost};
use crate::buy::{self, Mix, Need};
use crate::lists::settings::{Aim, LetterCharge};
use crate::lists::{Lists, Offer, OfferId, Settings};
use crate::money::{Cents, Money};
use crate::shelf::Shelf;
use crate::tally::Tally;

/// The quantities of the table.
pub const QUANTITIES: [u32; 6] = [1, 6, 12, 24, 48, 96];

/// The price of one garment at a quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunPrice {
    /// How many garments are made together.
    pub garments: u32,
    /// What one costs the shop, on average over the sizes.
    pub cost: Money,
    /// What one of the cheapest size costs the customer, before tax; an error where no price
    /// reaches the aim.
    pub price: Result<Cents, PriceError>,
    /// What the whole run leaves for the shop.
    pub profit: Option<Money>,
    /// The offers by which its letters are bought, in the order of the price list.
    pub ways: Vec<OfferId>,
}

/// The prices of an order's garments at each of [`QUANTITIES`]; empty for an order of nothing.
pub fn table(tally: &Tally, sheet: &Sheet, aim: Aim, lists: &Lists, settings: &Settings) -> Vec<RunPrice> {
    if tally.garments == 0 {
        return Vec::new();
    }
    QUANTITIES.iter().map(|&garments| run_price(garments, tally, sheet, aim, lists, settings)).collect()
}

fn ways(mix: &Mix, lists: &Lists) -> Vec<OfferId> {
    let used = |offer: &&Offer| {
        let mut entries = mix.orders.iter().flat_map(|order| &order.entries);
        entries.any(|entry| entry.offer == offer.id)
    };
    lists.offers.iter().filter(used).map(|offer| offer.id.clone()).collect()
}

/// The price of one garment where so many are made together.
pub fn run_price(
    garments: u32,
    tally: &Tally,
    sheet: &Sheet,
    aim: Aim,
    lists: &Lists,
    settings: &Settings,
) -> RunPrice {
    let run = tally.scaled(garments);
    let needs: Vec<Need> = run
        .families
        .iter()
        .map(|family| Need { family: family.family.clone(), counts: family.need() })
        .collect();
    let mix = buy::solve_briefly(&needs, lists);
    let costs = letter_costs(&run, &mix, &Shelf::default(), lists, settings);
    let pattern = pattern_sheet(garments, sheet, &mix, &costs, settings);
    let priced = price(&pattern, aim, &shared_among(garments, sheet.garments, settings));
    let currency = &settings.currency;
    let whole_run = |profit: Money| profit * garments / sheet.garments;
    RunPrice {
        garments,
        cost: pattern.total() / sheet.garments,
        ways: ways(&mix, lists),
        profit: priced.as_ref().ok().map(|priced| whole_run(priced.profit(currency))),
        price: priced.map(|priced| priced.units.iter().map(|unit| unit.price).min().unwrap_or_default()),
    }
}

/// The order's own garments, with letters and fixed costs as they are where so many are made.
fn pattern_sheet(garments: u32, sheet: &Sheet, mix: &Mix, costs: &LetterCosts, settings: &Settings) -> Sheet {
    let used: Money = sheet.letters.iter().map(|letters| costs.cost(letters)).sum();
    let charged = match settings.charge {
        LetterCharge::Used => used,
        // All that is bought for the run, of which the pattern is a part.
        LetterCharge::Everything => mix.cost().money(&settings.currency) * sheet.garments / garments,
    };
    let design_letters = |design: usize| {
        let garments: u64 =
            sheet.units.iter().filter(|unit| unit.design == design).map(|unit| unit.count).sum();
        let own = sheet.letters.get(design).map_or(Money::ZERO, |letters| costs.cost(letters));
        (own * charged.per(used)) / garments
    };
    let unit = |unit: &UnitCost| UnitCost {
        fixed: settings.fixed_per_run / garments,
        ..unit.with_letters(design_letters(unit.design), settings)
    };
    let units: Vec<UnitCost> = sheet.units.iter().map(unit).collect();
    let total = units.iter().map(|unit| unit.cost() * unit.count).sum();
    Sheet { lines: vec![(CostKind::Fixed, total)], units, garments: sheet.garments, ..Sheet::default() }
}

/// Settings under which the pattern's garments bear of the fixed card fee what they would bear in
/// a run of so many. What is spent once for the run is in the pattern's sheet already.
fn shared_among(garments: u32, pattern: u64, settings: &Settings) -> Settings {
    let mut shared = settings.clone();
    shared.card_fee.fixed = settings.card_fee.fixed * pattern / garments;
    shared
}

#[cfg(test)]
mod tests {
    use crate::lists::settings::{Aim, LetterCharge};
    use crate::lists::{Settings, demo};
    use crate::money::{Cents, Currency, Money};
    use crate::plan::{Shop, plan};

    #[test]
    fn at_its_own_quantity_the_table_has_the_price_of_the_order() {
        let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
        let plan = plan(&demo::order("2026-01-01"), &shop);
        let run = plan.table(&shop).into_iter().find(|run| run.garments == 12).unwrap();
        let priced = plan.priced.unwrap();
        assert_eq!(run.price, Ok(priced.units.iter().map(|unit| unit.price).min().unwrap()));
        let usd = &shop.settings.currency;
        assert_eq!(run.profit.map(|profit| profit.round(usd)), Some(priced.profit(usd).round(usd)));
    }

    #[test]
    fn a_run_that_bears_all_that_is_bought_bears_it_at_every_quantity() {
        let settings = Settings { charge: LetterCharge::Everything, ..Settings::default() };
        let mut shop = Shop { lists: demo::lists(), settings, ..Shop::default() };
        for blank in &mut shop.lists.blanks {
            blank.sizes.iter_mut().for_each(|size| size.price = Cents::ZERO);
        }
        shop.settings.wage_per_hour = Money::ZERO;
        shop.settings.press_per_hour = Money::ZERO;
        let plan = plan(&demo::order("2026-01-01"), &shop);
        // Nothing but letters costs anything, so twelve garments cost what is bought for twelve.
        let table = plan.table(&shop);
        let twelve = table.iter().find(|run| run.garments == 12).unwrap();
        assert_eq!((twelve.cost * 12_u32).round(&shop.settings.currency), plan.mix.cost());
        // One garment of the pattern takes each glyph once or more, all of it bought for it alone.
        let one = table.iter().find(|run| run.garments == 1).unwrap();
        assert!(one.cost > twelve.cost * 2_u32, "{:?}", one.cost);
    }

    #[test]
    fn what_is_spent_once_is_shared_among_all_garments_of_a_run() {
        let settings = Settings { fixed_per_run: Money::of(24), ..Settings::default() };
        let mut shop = Shop { lists: demo::lists(), settings, ..Shop::default() };
        let plan = plan(&demo::order("2026-01-01"), &shop);
        let costs = |shop: &Shop| plan.table(shop).into_iter().map(|run| run.cost).collect::<Vec<Money>>();
        let with = costs(&shop);
        shop.settings.fixed_per_run = Money::ZERO;
        let without = costs(&shop);
        let usd = Currency::usd();
        let shares: Vec<i64> =
            with.iter().zip(&without).map(|(with, without)| (*with - *without).round(&usd).minor()).collect();
        assert_eq!(shares, [2400, 400, 200, 100, 50, 25], "24.00 at 1, 6, 12, 24, 48 and 96");
    }

    #[test]
    fn the_fixed_card_fee_is_paid_once_for_a_run_of_any_size() {
        let settings = Settings { aim: Aim::Price(Money::of(60)), ..Settings::default() };
        let mut shop = Shop { lists: demo::lists(), settings, ..Shop::default() };
        let plan = plan(&demo::order("2026-01-01"), &shop);
        let usd = Currency::usd();
        let profits = |shop: &Shop| -> Vec<i64> {
            let profit = |run: super::RunPrice| run.profit.map(|profit| profit.round(&usd).minor());
            plan.table(shop).into_iter().filter_map(profit).collect()
        };
        let without = profits(&shop);
        shop.settings.card_fee.fixed = Money::of(3);
        let lost: Vec<i64> =
            without.iter().zip(profits(&shop)).map(|(without, with)| without - with).collect();
        assert_eq!(lost, [300; 6], "3.00 at 1, 6, 12, 24, 48 and 96");
    }
}
