//! The cost sheet of an order: its cost lines, and what one garment of each size costs.

use super::LetterCosts;
use crate::lists::settings::LetterCharge;
use crate::lists::{Family, Lists, Settings};
use crate::money::{Cents, Currency, Money, apportion};
use crate::order::{Order, Reading};
use crate::press;
use crate::tally::on_one_garment;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;

/// What an order costs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sheet {
    /// The cost lines of the whole order, in the order in which they are shown.
    pub lines: Vec<(CostKind, Money)>,
    /// What one garment costs, per design and size.
    pub units: Vec<UnitCost>,
    /// The garments.
    pub garments: u64,
    /// The letters on all garments of each design.
    pub letters: Vec<BTreeMap<Family, u64>>,
    /// The hours that the press is taken up, allowance included.
    pub press_hours: Decimal,
    /// The hours of paid work, allowance included.
    pub labour_hours: Decimal,
    /// The hours that the press is closed, without allowance.
    pub closed_hours: Decimal,
}

/// What a cost line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CostKind {
    /// The undecorated garments.
    Blanks,
    /// The letters on them.
    Letters,
    /// Cover sheets, tape, bags.
    Consumables,
    /// Paid work.
    Labour,
    /// The press: power, wear, room.
    Press,
    /// The share of all these for garments expected to be ruined.
    Spoilage,
    /// Once per run.
    Fixed,
}

impl CostKind {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Blanks => "Blanks",
            Self::Letters => "Letters",
            Self::Consumables => "Consumables",
            Self::Labour => "Labour",
            Self::Press => "Press overhead",
            Self::Spoilage => "Spoilage",
            Self::Fixed => "Fixed per run",
        }
    }
}

/// What one garment of a design and size costs, its share of everything included.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitCost {
    /// The design, from 0.
    pub design: usize,
    /// The size's name.
    pub size: String,
    /// How many garments.
    pub count: u64,
    /// Its letters, the average of its design.
    pub letters: Money,
    /// Blank, letters, consumables, labour, press and spoilage.
    pub variable: Money,
    /// Its share of what is spent once per run.
    pub fixed: Money,
}

impl UnitCost {
    /// All of it.
    pub fn cost(&self) -> Money {
        self.variable + self.fixed
    }

    /// The same garment with letters at another cost, and the spoilage that follows from it.
    pub fn with_letters(&self, letters: Money, settings: &Settings) -> Self {
        let lost = spoilable(letters, letters, settings) - spoilable(self.letters, self.letters, settings);
        let variable = self.variable + letters - self.letters + lost * settings.spoilage.share();
        Self { letters, variable, ..self.clone() }
    }
}

impl Sheet {
    /// What the order costs.
    pub fn total(&self) -> Money {
        self.lines.iter().map(|(_, cost)| *cost).sum()
    }

    /// The cost lines in whole cents, which add up to the total as a person reads it.
    pub fn lines_in_cents(&self, currency: &Currency) -> Vec<(CostKind, Cents)> {
        let fine =
            |cost: Money| (cost.amount() * Decimal::from(1_000_000)).round().to_u64().unwrap_or(u64::MAX);
        let weights: Vec<u64> = self.lines.iter().map(|(_, cost)| fine(*cost)).collect();
        let parts = apportion(self.total().round(currency), &weights);
        self.lines.iter().zip(parts).map(|((kind, _), part)| (*kind, part)).collect()
    }

    /// The cost line of one kind.
    pub fn line(&self, kind: CostKind) -> Money {
        self.lines.iter().filter(|(found, _)| *found == kind).map(|(_, cost)| *cost).sum()
    }
}

/// Seconds in an hour.
pub const SECONDS_PER_HOUR: u32 = 3_600;

/// The averages of one design that do not depend on the size.
struct DesignAverage {
    garments: u64,
    used: BTreeMap<Family, u64>,
    letters: Money,
    labour_seconds: Decimal,
    press_seconds: Decimal,
    closed_seconds: Decimal,
}

/// Adds up what an order costs.
///
/// Letters and work differ from name to name, so within a design every garment bears the
/// average of them; the blank is its own size's. Spoilage is the expected share of what a
/// garment costs, not whole garments: a single shirt does not pay for a second one.
pub fn sheet(
    order: &Order,
    readings: &[Reading],
    letters: &LetterCosts,
    lists: &Lists,
    settings: &Settings,
) -> Sheet {
    let garments: u64 = readings.iter().map(Reading::garments).sum();
    let mut sheet = Sheet { garments, ..Sheet::default() };
    let mut totals = BTreeMap::<CostKind, Money>::new();
    let fixed_share = settings.fixed_per_run / garments;
    for (at, reading) in readings.iter().enumerate() {
        let average = design_average(order, at, reading, letters, lists, settings);
        sheet.letters.push(average.used);
        let labour = settings.wage_per_hour * average.labour_seconds / SECONDS_PER_HOUR;
        let press = settings.press_per_hour * average.press_seconds / SECONDS_PER_HOUR;
        let hours =
            |seconds: Decimal| seconds * Decimal::from(average.garments) / Decimal::from(SECONDS_PER_HOUR);
        sheet.labour_hours += hours(average.labour_seconds);
        sheet.press_hours += hours(average.press_seconds);
        sheet.closed_hours += hours(average.closed_seconds);
        for (size, count) in sizes(reading) {
            let blank = lists.blank(&order.designs[at].blank).and_then(|blank| blank.size(&size));
            let blank = blank.map_or(Money::ZERO, |size| size.price.money(&settings.currency));
            let consumables = settings.consumables_per_garment;
            let made = blank + average.letters + consumables + labour + press;
            let spoilage = spoilable(made, average.letters, settings) * settings.spoilage.share();
            let mut add = |kind, cost: Money| *totals.entry(kind).or_insert(Money::ZERO) += cost * count;
            add(CostKind::Blanks, blank);
            add(CostKind::Letters, average.letters);
            add(CostKind::Consumables, consumables);
            add(CostKind::Labour, labour);
            add(CostKind::Press, press);
            add(CostKind::Spoilage, spoilage);
            sheet.units.push(UnitCost {
                design: at,
                size,
                count,
                letters: average.letters,
                variable: made + spoilage,
                fixed: fixed_share,
            });
        }
    }
    if garments > 0 {
        totals.insert(CostKind::Fixed, settings.fixed_per_run);
    }
    sheet.lines = totals.into_iter().collect();
    sheet
}

/// What is lost with a ruined garment. Where an order bears every letter bought for it, those for
/// ruined garments are among them already.
fn spoilable(made: Money, letters: Money, settings: &Settings) -> Money {
    match settings.charge {
        LetterCharge::Used => made,
        LetterCharge::Everything => made - letters,
    }
}

/// How many garments of each size, in the order in which the sizes first appear.
fn sizes(reading: &Reading) -> Vec<(String, u64)> {
    let mut sizes: Vec<(String, u64)> = Vec::new();
    for group in &reading.groups {
        match sizes.iter_mut().find(|(size, _)| *size == group.size) {
            Some((_, count)) => *count += u64::from(group.count),
            None => sizes.push((group.size.clone(), u64::from(group.count))),
        }
    }
    sizes
}

fn design_average(
    order: &Order,
    at: usize,
    reading: &Reading,
    letters: &LetterCosts,
    lists: &Lists,
    settings: &Settings,
) -> DesignAverage {
    let design = &order.designs[at];
    let blank = lists.blank(&design.blank);
    let mut sum = DesignAverage {
        garments: reading.garments(),
        used: BTreeMap::new(),
        letters: Money::ZERO,
        labour_seconds: Decimal::ZERO,
        press_seconds: Decimal::ZERO,
        closed_seconds: Decimal::ZERO,
    };
    for group in &reading.groups {
        let count = Decimal::from(group.count);
        for (family, counts) in on_one_garment(order, at, group, lists) {
            *sum.used.entry(family).or_default() += counts.total() * u64::from(group.count);
        }
        if let Some(size) = blank.and_then(|blank| blank.size(&group.size)) {
            let work = press::garment(order, design, group, size, lists, &settings.platen).work();
            let times = press::times(&work, settings);
            sum.labour_seconds += times.labour * count;
            sum.press_seconds += times.press * count;
            sum.closed_seconds += times.closed * count;
        }
    }
    let per_garment = |seconds: Decimal| seconds.checked_div(Decimal::from(sum.garments)).unwrap_or_default();
    DesignAverage {
        letters: letters.cost(&sum.used) / sum.garments,
        used: sum.used,
        labour_seconds: per_garment(sum.labour_seconds),
        press_seconds: per_garment(sum.press_seconds),
        closed_seconds: per_garment(sum.closed_seconds),
        garments: sum.garments,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::money::Percent;
    use crate::plan::{Shop, plan};

    /// A shop where a letter costs 0.55 however many are bought, a shirt 3.00 in S and 4.00 in M,
    /// a second of work one cent and a second of the press half of one.
    fn shop() -> Shop {
        let mut lists = demo::lists();
        lists.offers.retain(|offer| offer.id.as_str() == "smooth-2-piece");
        lists.offers.iter_mut().for_each(|offer| offer.breaks.clear());
        lists.suppliers.iter_mut().for_each(|supplier| supplier.freight.clear());
        for size in lists.blanks.iter_mut().flat_map(|blank| &mut blank.sizes) {
            size.price = Cents::new(if size.name == "S" { 300 } else { 400 });
        }
        let settings = Settings {
            wage_per_hour: Money::of(36),
            press_per_hour: Money::of(18),
            dwell_attended: false,
            allowance: Percent::ZERO,
            consumables_per_garment: money("0.30"),
            fixed_per_run: Money::of(6),
            spoilage: Percent::of(10),
            ..Settings::default()
        };
        Shop { lists, settings, ..Shop::default() }
    }

    /// Three shirts AB in S and one ABCD in M, in 2 in smooth film.
    fn four_shirts() -> Order {
        let mut order = demo::order("2026-01-01");
        let design = &mut order.designs[0];
        design.lines.remove(0);
        design.lines.truncate(1);
        design.roster = "name,size,quantity\nAB,S,3\nABCD,M,1\n".to_owned();
        order
    }

    fn money(text: &str) -> Money {
        Money::parse(text).unwrap()
    }

    fn seconds(hours: Decimal) -> Decimal {
        (hours * Decimal::from(SECONDS_PER_HOUR)).round_dp(9).normalize()
    }

    #[test]
    fn the_cost_lines_are_those_of_all_garments() {
        let sheet = plan(&four_shirts(), &shop()).sheet;
        // A letter is placed in 6 s, the side loaded in 30, tacked in 5, peeled in 10: 57 s for two
        // letters and 69 for four, 240 in all; 15 s of dwell more at the press, four times, are 300;
        // of these it is closed for 20 each time.
        let lines = [
            ("Blanks", "13"),
            ("Letters", "5.5"),
            ("Consumables", "1.2"),
            ("Labour", "2.4"),
            ("Press overhead", "1.5"),
            ("Spoilage", "2.36"), // a tenth of all above
            ("Fixed per run", "6"),
        ];
        let found: Vec<(&str, Money)> =
            sheet.lines.iter().map(|(kind, cost)| (kind.words(), *cost)).collect();
        assert_eq!(found, lines.map(|(words, cost)| (words, money(cost))));
        assert_eq!((sheet.total(), sheet.garments), (money("31.96"), 4));
        assert_eq!(sheet.line(CostKind::Labour), money("2.4"));
        let hours = [sheet.labour_hours, sheet.press_hours, sheet.closed_hours];
        assert_eq!(hours.map(seconds), [240, 300, 80].map(Decimal::from));
    }

    #[test]
    fn a_garment_bears_its_own_blank_and_the_average_of_all_else() {
        let sheet = plan(&four_shirts(), &shop()).sheet;
        // Letters 1.375, consumables 0.30, labour 0.60, press 0.375: 2.65 beside the blank, and a tenth.
        let units: Vec<(&str, u64, Money)> =
            sheet.units.iter().map(|unit| (unit.size.as_str(), unit.count, unit.variable)).collect();
        assert_eq!(units, [("S", 3, money("6.215")), ("M", 1, money("7.315"))]);
        assert!(sheet.units.iter().all(|unit| unit.letters == money("1.375") && unit.fixed == money("1.5")));
        assert_eq!(sheet.units[0].cost(), money("7.715"));
    }

    #[test]
    fn the_letters_of_a_design_are_those_on_all_its_garments() {
        let mut order = four_shirts();
        order.designs[0].roster = "name,size,quantity\nAB,S,4\n".to_owned();
        let letters = plan(&order, &shop()).sheet.letters;
        assert_eq!(letters[0].values().collect::<Vec<_>>(), [&8]);
    }

    #[test]
    fn letters_that_are_all_charged_already_are_not_spoiled_twice() {
        let mut shop = shop();
        let bears = |shop: &Shop| plan(&four_shirts(), shop).sheet.line(CostKind::Spoilage);
        let used = plan(&four_shirts(), &shop).sheet.units.remove(0);
        assert_eq!(bears(&shop), money("2.36"));
        let dearer = used.with_letters(money("2.375"), &shop.settings);
        assert_eq!((dearer.letters, dearer.variable), (money("2.375"), used.variable + money("1.1")));

        // Bought for a run that bears everything are spare letters too: 13 + 1.2 + 2.4 + 1.5.
        shop.settings.charge = LetterCharge::Everything;
        assert_eq!(bears(&shop), money("1.81"));
        let dearer = used.with_letters(money("2.375"), &shop.settings);
        assert_eq!((dearer.letters, dearer.variable), (money("2.375"), used.variable + Money::of(1)));
    }

    #[test]
    fn an_order_of_nothing_costs_nothing() {
        let mut order = four_shirts();
        order.designs[0].roster = String::new();
        let sheet = plan(&order, &shop()).sheet;
        assert_eq!((sheet.lines.len(), sheet.units.len(), sheet.garments), (0, 0, 0));
    }

    #[test]
    fn lines_in_cents_add_up_to_the_total() {
        let third = Money::of(1) / 3;
        let cents = |costs: &[Money]| -> Vec<i64> {
            let lines = costs.iter().map(|cost| (CostKind::Blanks, *cost)).collect();
            let sheet = Sheet { lines, ..Sheet::default() };
            sheet.lines_in_cents(&Currency::usd()).iter().map(|(_, part)| part.minor()).collect()
        };
        assert_eq!(cents(&[third, third, third]), [34, 33, 33]);
        assert_eq!(cents(&[third, third * 2_u32]), [33, 67]);
        assert!(cents(&[]).is_empty());
    }
}
