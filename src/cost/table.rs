//! The price at other quantities: the same order, made more or fewer times.
//!
//! The order is taken as a pattern: the same mix of sizes and names, so each garment bears the
//! average of its letters and blanks. What changes with the quantity is the way the letters are
//! bought and the share of what is spent once. The shelf is left out of account.

use super::letters::letter_costs;
use super::price::{PriceError, price};
use super::sheet::{CostKind, Sheet, UnitCost, spoilable};
use crate::buy::{self, Need};
use crate::glyph::GlyphCounts;
use crate::lists::settings::{Aim, LetterCharge};
use crate::lists::{Lists, Settings};
use crate::money::{Cents, Money};
use crate::shelf::Shelf;
use crate::tally::{FamilyTally, Tally};

/// The quantities of the table.
pub const QUANTITIES: [u32; 6] = [1, 6, 12, 24, 48, 96];

/// The price of one garment at a quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunPrice {
    /// How many garments are made together.
    pub garments: u32,
    /// What one costs the shop, on average over the sizes.
    pub cost: Money,
    /// What one costs the customer, before tax; an error where no price reaches the aim.
    pub price: Result<Cents, PriceError>,
    /// What the whole run leaves for the shop.
    pub profit: Option<Money>,
}

/// The prices of an order's garments at each of [`QUANTITIES`]; empty for an order of nothing.
pub fn table(tally: &Tally, sheet: &Sheet, aim: Aim, lists: &Lists, settings: &Settings) -> Vec<RunPrice> {
    if tally.garments == 0 {
        return Vec::new();
    }
    QUANTITIES.iter().map(|&garments| run_price(garments, tally, sheet, aim, lists, settings)).collect()
}

fn run_price(
    garments: u32,
    tally: &Tally,
    sheet: &Sheet,
    aim: Aim,
    lists: &Lists,
    settings: &Settings,
) -> RunPrice {
    let run = scaled(tally, garments);
    let needs: Vec<Need> = run
        .families
        .iter()
        .map(|family| Need { family: family.family.clone(), counts: family.need() })
        .collect();
    let mix = buy::solve(&needs, lists);
    let costs = letter_costs(&run, &mix, &Shelf::default(), lists, settings);
    let letters = match settings.charge {
        LetterCharge::Everything => mix.cost().money(&settings.currency) / garments,
        LetterCharge::Used => {
            let each = |family: &FamilyTally| costs.of(&family.family) * family.used.total();
            tally.families.iter().map(each).sum::<Money>() / tally.garments
        }
    };
    let others = [CostKind::Blanks, CostKind::Consumables, CostKind::Labour, CostKind::Press];
    let made = letters + others.into_iter().map(|kind| sheet.line(kind)).sum::<Money>() / tally.garments;
    let unit = UnitCost {
        design: 0,
        size: String::new(),
        count: u64::from(garments),
        variable: made + spoilable(made, letters, settings) * settings.spoilage.share(),
        fixed: settings.fixed_per_run / garments,
    };
    let cost = unit.cost();
    let run_sheet = Sheet {
        lines: vec![(CostKind::Fixed, cost * garments)],
        units: vec![unit],
        garments: u64::from(garments),
        ..Sheet::default()
    };
    let priced = price(&run_sheet, aim, settings);
    RunPrice {
        garments,
        cost,
        profit: priced.as_ref().ok().map(|priced| priced.profit(&settings.currency)),
        price: priced.map(|priced| priced.units.first().map_or(Cents::ZERO, |unit| unit.price)),
    }
}

/// The tally of so many garments of the same pattern, each count rounded up.
fn scaled(tally: &Tally, garments: u32) -> Tally {
    let scale = |counts: &GlyphCounts| -> GlyphCounts {
        let scaled = |count: u32| (u64::from(count) * u64::from(garments)).div_ceil(tally.garments);
        let scaled = |count| u32::try_from(scaled(count)).unwrap_or(u32::MAX);
        counts.iter().map(|(glyph, count)| (glyph.clone(), scaled(count))).collect()
    };
    let family = |family: &FamilyTally| FamilyTally {
        family: family.family.clone(),
        used: scale(&family.used),
        spoiled: scale(&family.spoiled),
        spares: scale(&family.spares),
    };
    Tally { families: tally.families.iter().map(family).collect(), garments: u64::from(garments), spoiled: 0 }
}

#[cfg(test)]
mod tests {
    use crate::lists::settings::LetterCharge;
    use crate::lists::{Settings, demo};
    use crate::money::{Cents, Money};
    use crate::plan::{Shop, plan};

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
        let twelve = plan.table.iter().find(|run| run.garments == 12).unwrap();
        assert_eq!((twelve.cost * 12_u32).round(&shop.settings.currency), plan.mix.cost());
        // One garment of the pattern takes each glyph once or more, all of it bought for it alone.
        let one = plan.table.iter().find(|run| run.garments == 1).unwrap();
        assert!(one.cost > twelve.cost * 2_u32, "{:?}", one.cost);
    }
}
