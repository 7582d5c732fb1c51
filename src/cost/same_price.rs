//! Another kind of aim for the price at hand.

use super::Priced;
use super::price::price;
use super::sheet::Sheet;
use crate::lists::Settings;
use crate::lists::settings::Aim;
use crate::money::Percent;

/// The kinds of aim.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AimKind {
    /// A share of the price.
    Margin,
    /// A share of the cost.
    MarkUp,
    /// A price.
    Price,
}

/// The aim of another kind that gives the prices at hand, as near as tenths of a percent can say.
///
/// A share that was reached is found from what the order earns, which lies above what was aimed
/// at where prices went up to a price point; so the search goes down from there until the prices
/// are the same.
pub fn same_price(priced: &Priced, sheet: &Sheet, kind: AimKind, settings: &Settings) -> Aim {
    const TENTHS: u32 = 400;
    let currency = &settings.currency;
    let (reached, aim): (Option<Percent>, fn(Percent) -> Aim) = match kind {
        AimKind::Margin => (priced.margin(currency), Aim::Margin),
        AimKind::MarkUp => (priced.mark_up(currency), Aim::MarkUp),
        AimKind::Price => {
            let each = priced.units.first().map(|unit| unit.price).unwrap_or_default();
            return Aim::Price(each.money(currency));
        }
    };
    let start = reached.unwrap_or_default().down_to_tenths();
    let same = |aim: &Aim| {
        price(sheet, *aim, settings)
            .is_ok_and(|other| other.units.iter().zip(&priced.units).all(|(a, b)| a.price == b.price))
    };
    let down = (0..TENTHS).map(|tenths| aim(start.less(Percent::tenths(tenths))));
    down.into_iter().find(same).unwrap_or(aim(start))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::plan::{Shop, plan};

    #[test]
    fn another_kind_of_aim_finds_the_same_price() {
        let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
        let plan = plan(&demo::order("2026-01-01"), &shop);
        let by_margin = plan.priced.unwrap();
        for kind in [AimKind::Margin, AimKind::MarkUp] {
            let aim = same_price(&by_margin, &plan.sheet, kind, &shop.settings);
            assert_eq!(price(&plan.sheet, aim, &shop.settings).unwrap().units, by_margin.units, "{aim:?}");
        }
        let typed = same_price(&by_margin, &plan.sheet, AimKind::Price, &shop.settings);
        assert_eq!(typed, Aim::Price(by_margin.units[0].price.money(&shop.settings.currency)));
    }
}
