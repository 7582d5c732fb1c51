//! The price: from an aim to a figure a customer can be told, and what it earns.
//!
//! With cost `c`, card fee share `f`, fixed fee `F`, tax rate `t` and wanted margin `m`, all on
//! the price before tax: price = (c + F) / (1 - m - f (1 + t)). With a mark-up `u` on cost the
//! profit is `u c`, so price = (c (1 + u) + F) / (1 - f (1 + t)). The figure then goes up to the
//! next price point, and further where the rounding of tax would still miss the aim.

use super::{Priced, Sheet, UnitCost, UnitPrice};
use crate::lists::Settings;
use crate::lists::settings::{Aim, CardFee, PricePoint};
use crate::money::{Cents, Currency, Money, Percent};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::fmt;

/// Why there is no price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PriceError {
    /// There is no garment to price.
    NoGarments,
    /// Margin and card fee together leave nothing to pay the cost from.
    Impossible {
        /// The wanted margin; zero where the aim is a mark-up.
        margin: Percent,
        /// The card fee on the price, tax included.
        fee: Percent,
    },
    /// The price would be larger than the largest amount.
    TooLarge,
}

impl fmt::Display for PriceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoGarments => write!(f, "no garments yet: enter how many, or who gets one"),
            Self::Impossible { margin, fee } if *margin == Percent::ZERO => {
                write!(
                    f,
                    "card fees of {fee} are the whole price or more: lower the card fee in the settings"
                )
            }
            Self::Impossible { margin, fee } => write!(
                f,
                "a margin of {margin} and card fees of {fee} of the price leave nothing for the cost: stay well below {}",
                Percent::of(100).less(*fee)
            ),
            Self::TooLarge => write!(
                f,
                "the price is beyond what this tool reckons with: lower the costs, the margin or the mark-up"
            ),
        }
    }
}

impl std::error::Error for PriceError {}

/// Prices an order.
///
/// # Errors
/// Where there is no garment, or no price can reach the aim.
pub fn price(sheet: &Sheet, aim: Aim, settings: &Settings) -> Result<Priced, PriceError> {
    if sheet.garments == 0 {
        return Err(PriceError::NoGarments);
    }
    let fixed_fee = settings.card_fee.fixed / sheet.garments;
    let unit_price = |unit: &UnitCost| first_price(unit.cost(), fixed_fee, aim, settings);
    let mut prices = sheet.units.iter().map(unit_price).collect::<Result<Vec<Cents>, _>>()?;
    // Rounding the tax can raise the card fee by a hair; then every price goes up to make good.
    for _ in 0..MOST_RAISES {
        let priced = priced(sheet, &prices, settings);
        let missing = missing(&priced, aim, settings);
        if missing <= Money::ZERO {
            return Ok(priced);
        }
        let raise = (missing / sheet.garments).round_up(&settings.currency).max(Cents::new(1));
        prices = prices.iter().map(|price| next_point(*price + raise, settings)).collect();
    }
    Err(PriceError::TooLarge)
}

/// Two are enough for any figures that can be shown.
const MOST_RAISES: u32 = 8;

fn priced(sheet: &Sheet, prices: &[Cents], settings: &Settings) -> Priced {
    let currency = &settings.currency;
    let with_price = |(unit, &price): (&UnitCost, &Cents)| UnitPrice {
        design: unit.design,
        size: unit.size.clone(),
        count: unit.count,
        cost: unit.cost(),
        price,
    };
    let units: Vec<UnitPrice> = sheet.units.iter().zip(prices).map(with_price).collect();
    let line = |unit: &UnitPrice| unit.price.times(u32::try_from(unit.count).unwrap_or(u32::MAX));
    let subtotal: Cents = units.iter().map(|unit| line(unit).unwrap_or(Cents::new(i64::MAX))).sum();
    let tax = (subtotal.money(currency) * settings.tax.share()).round(currency);
    let fee = fee(subtotal + tax, &settings.card_fee, currency);
    let variable: Money = sheet.units.iter().map(|unit| unit.variable * unit.count).sum();
    let per_garment = |amount: Money| amount / sheet.garments;
    let price_each = per_garment(subtotal.money(currency));
    let fee_each = per_garment((subtotal + tax).money(currency) * settings.card_fee.percent.share());
    Priced {
        subtotal,
        tax,
        cost: sheet.total(),
        fee,
        break_even: break_even(
            settings.fixed_per_run + settings.card_fee.fixed,
            price_each,
            per_garment(variable) + fee_each,
        ),
        press_hours: sheet.press_hours,
        units,
    }
}

fn fee(paid: Cents, fee: &CardFee, currency: &Currency) -> Money {
    if paid == Cents::ZERO {
        return Money::ZERO;
    }
    paid.money(currency) * fee.percent.share() + fee.fixed
}

fn first_price(cost: Money, fixed_fee: Money, aim: Aim, settings: &Settings) -> Result<Cents, PriceError> {
    let exact = match aim {
        Aim::Price(price) => return Ok(price.round(&settings.currency)),
        Aim::Margin(margin) => exact_price(cost + fixed_fee, margin, settings)?,
        Aim::MarkUp(mark_up) => {
            exact_price(cost * (Decimal::ONE + mark_up.share()) + fixed_fee, Percent::ZERO, settings)?
        }
    };
    if exact.amount() > Decimal::from(crate::money::LARGEST_AMOUNT) {
        return Err(PriceError::TooLarge);
    }
    Ok(next_point(exact.round_up(&settings.currency), settings))
}

/// The exact price that pays `cost` and leaves `margin` after card fees.
///
/// # Errors
/// Where margin and fee together are the whole price or more.
pub fn exact_price(cost: Money, margin: Percent, settings: &Settings) -> Result<Money, PriceError> {
    let left = left_for_cost(margin, settings);
    if left <= Decimal::ZERO {
        let fee = Percent::that(Money::from_amount(fee_share(settings)), Money::of(1)).unwrap_or_default();
        return Err(PriceError::Impossible { margin, fee });
    }
    // So small a rest makes a price beyond any amount that can be shown.
    let exact = cost.amount().checked_div(left).ok_or(PriceError::TooLarge)?;
    Ok(Money::from_amount(exact))
}

/// The card fee as a share of the price before tax.
fn fee_share(settings: &Settings) -> Decimal {
    settings.card_fee.percent.share() * (Decimal::ONE + settings.tax.share())
}

/// The share of the price before tax that is left to pay the cost from.
fn left_for_cost(margin: Percent, settings: &Settings) -> Decimal {
    Decimal::ONE - margin.share() - fee_share(settings)
}

/// How much more the customer would have to pay before tax for the aim to be reached. The aim is
/// the shop's promise to itself: rounding never breaks it.
fn missing(priced: &Priced, aim: Aim, settings: &Settings) -> Money {
    let (margin, wanted) = match aim {
        Aim::Price(_) => return Money::ZERO,
        Aim::Margin(margin) => (margin, priced.subtotal.money(&settings.currency) * margin.share()),
        Aim::MarkUp(mark_up) => (Percent::ZERO, priced.cost * mark_up.share()),
    };
    (wanted - priced.profit(&settings.currency)).settled() / left_for_cost(margin, settings)
}

/// The smallest price of the shop's kind that is not below this one.
pub fn next_point(price: Cents, settings: &Settings) -> Cents {
    let unit = Money::of(1).round(&settings.currency).minor();
    let (step, less) = match settings.price_point {
        PricePoint::Exact => (1, 0),
        PricePoint::Half => (unit / 2, 0),
        PricePoint::Whole => (unit, 0),
        // A currency without cents has no .95: then the next whole amount.
        PricePoint::NinetyFive => (unit, unit / 20),
        PricePoint::NinetyNine => (unit, unit / 100),
        PricePoint::Five => (unit.saturating_mul(5), 0),
    };
    let step = step.max(1);
    let steps = (price.minor().saturating_add(less) + step - 1).div_euclid(step);
    Cents::new(steps.saturating_mul(step) - less).max(price)
}

/// How many units it takes until their contribution pays the fixed cost; `None` if none does.
///
/// ```
/// use lettertally::{cost::price::break_even, money::Money};
/// assert_eq!(break_even(Money::of(3_000), Money::of(35), Money::of(20)), Some(200));
/// assert_eq!(break_even(Money::of(1), Money::of(20), Money::of(20)), None);
/// ```
pub fn break_even(fixed: Money, price: Money, variable: Money) -> Option<u64> {
    let contribution = (price - variable).settled();
    if contribution < Money::ZERO {
        return None;
    }
    if fixed == Money::ZERO {
        return Some(0);
    }
    let units = fixed.amount().checked_div(contribution.amount())?;
    Money::from_amount(units).settled().amount().ceil().to_u64()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cost::CostKind;
    use proptest::prelude::*;

    fn sheet(costs: &[(u64, u64)]) -> Sheet {
        let garments = costs.iter().map(|(count, _)| count).sum();
        let unit = |&(count, cents): &(u64, u64)| UnitCost {
            design: 0,
            size: "M".into(),
            count,
            letters: Money::ZERO,
            variable: Cents::new(i64::try_from(cents).unwrap()).money(&Currency::usd()),
            fixed: Money::ZERO,
        };
        let units: Vec<UnitCost> = costs.iter().map(unit).collect();
        let total = units.iter().map(|unit| unit.variable * unit.count).sum();
        Sheet { lines: vec![(CostKind::Blanks, total)], units, garments, ..Sheet::default() }
    }

    fn settings(point: PricePoint) -> Settings {
        Settings { price_point: point, ..Settings::default() }
    }

    fn percent(text: &str) -> Percent {
        Percent::parse(text).unwrap()
    }

    #[test]
    fn price_points_go_up_and_stay_where_they_fit() {
        let cases = [
            (PricePoint::Exact, 1234, 1234),
            (PricePoint::Half, 1201, 1250),
            (PricePoint::Half, 1250, 1250),
            (PricePoint::Whole, 1201, 1300),
            (PricePoint::NinetyFive, 1195, 1195),
            (PricePoint::NinetyFive, 1196, 1295),
            (PricePoint::NinetyFive, 1200, 1295),
            (PricePoint::NinetyNine, 1200, 1299),
            (PricePoint::Five, 1200, 1500),
            (PricePoint::Five, 1500, 1500),
            (PricePoint::NinetyFive, 0, 95),
        ];
        for (point, from, to) in cases {
            assert_eq!(next_point(Cents::new(from), &settings(point)).minor(), to, "{point:?} {from}");
        }
        let yen = Settings { currency: Currency::new("JPY", 0).unwrap(), ..settings(PricePoint::NinetyNine) };
        assert_eq!(next_point(Cents::new(1201), &yen).minor(), 1201);
    }

    #[test]
    fn an_impossible_margin_is_an_error_that_names_both_parts() {
        let mut settings = settings(PricePoint::Exact);
        settings.card_fee.percent = percent("3");
        settings.tax = percent("10");
        let error = price(&sheet(&[(1, 1000)]), Aim::Margin(percent("97")), &settings).unwrap_err();
        assert_eq!(error, PriceError::Impossible { margin: percent("97"), fee: percent("3.3") });
        assert!(error.to_string().contains("97 % and card fees of 3.3 %"));
        assert!(error.to_string().ends_with("stay well below 96.7 %"));
    }

    #[test]
    fn a_typed_price_is_taken_as_it_is_and_shows_its_loss() {
        let priced =
            price(&sheet(&[(2, 1000)]), Aim::Price(Money::of(8)), &settings(PricePoint::Five)).unwrap();
        assert_eq!(priced.subtotal.minor(), 1600);
        assert_eq!(priced.profit(&Currency::usd()), Money::ZERO - Money::of(4));
        let free =
            price(&sheet(&[(2, 1000)]), Aim::Price(Money::ZERO), &settings(PricePoint::Exact)).unwrap();
        assert_eq!((free.total(), free.margin(&Currency::usd())), (Cents::ZERO, None));
    }

    #[test]
    fn the_customer_pays_the_tax_on_top_and_the_shop_the_card_fee() {
        let mut settings = Settings { tax: percent("8.25"), ..settings(PricePoint::Exact) };
        settings.card_fee.percent = percent("5");
        let priced = price(&sheet(&[(2, 1000)]), Aim::Price(Money::of(8)), &settings).unwrap();
        // 8.25 % of 16.00 is 1.32; 5 % of 17.32 is 0.866; and 16.00 - 20.00 - 0.866 is a loss of 4.87.
        assert_eq!((priced.tax.minor(), priced.total().minor()), (132, 1732));
        assert_eq!(priced.profit(&Currency::usd()).round(&Currency::usd()).minor(), -487);
    }

    #[test]
    fn the_figures_beside_a_price_are_what_its_parts_leave() {
        let mut settings = settings(PricePoint::Exact);
        settings.card_fee = CardFee { percent: percent("3"), fixed: Money::of(30) / 100 };
        let mut sheet = sheet(&[(3, 1000), (1, 1000)]);
        sheet.press_hours = Decimal::new(25, 2);
        let usd = Currency::usd();
        let priced = price(&sheet, Aim::Margin(percent("20")), &settings).unwrap();
        // Of 52.36 go 1.8708 to the card and 40.00 to the cost: 10.4892 are a fifth and a little; at
        // 13.08 each it would be a little less than a fifth.
        assert_eq!(priced.units.iter().map(|unit| unit.price.minor()).collect::<Vec<_>>(), [1309, 1309]);
        assert_eq!(priced.garments(), 4);
        assert_eq!(priced.cost_in_cents(&usd).minor(), 4000);
        assert_eq!(priced.fee_in_cents(&usd).minor(), 187);
        assert_eq!(priced.profit_in_cents(&usd).minor(), 1049);
        // In a quarter of an hour.
        assert_eq!(priced.profit_per_press_hour(&usd), Some(Money::parse("41.9568").unwrap()));
        sheet.press_hours = Decimal::ZERO;
        let unpressed = price(&sheet, Aim::Margin(percent("20")), &settings).unwrap();
        assert_eq!(unpressed.profit_per_press_hour(&usd), None);
    }

    #[test]
    fn the_card_fee_on_price_and_tax_counts_towards_breaking_even() {
        // Of 10.00, 4.00 are cost and a tenth of 15.00 goes to the card: 4.50 are left towards the 90.00
        // of the run and of the payment.
        let mut settings = Settings { tax: percent("50"), ..settings(PricePoint::Exact) };
        settings.card_fee = CardFee { percent: percent("10"), fixed: Money::of(4) };
        settings.fixed_per_run = Money::of(86);
        let priced = price(&sheet(&[(10, 400)]), Aim::Price(Money::of(10)), &settings).unwrap();
        assert_eq!(priced.break_even, Some(20));
    }

    #[test]
    fn a_hair_that_is_missing_raises_each_price_by_one_cent() {
        // 10.01 pays exactly this cost and 3 % of itself with 7.25 % tax; but the tax on a thousand,
        // 725.725, is rounded up, and the fee with it.
        let mut settings = Settings { tax: percent("7.25"), ..settings(PricePoint::Exact) };
        settings.card_fee.percent = percent("3");
        let mut sheet = sheet(&[(1000, 0)]);
        sheet.units[0].variable = Money::of(968_792_825) / 100_000_000;
        sheet.lines = vec![(CostKind::Blanks, sheet.units[0].variable * 1000_u32)];
        let priced = price(&sheet, Aim::Margin(Percent::ZERO), &settings).unwrap();
        assert_eq!(priced.units[0].price.minor(), 1002);
    }

    #[test]
    fn a_card_fee_of_everything_is_named_alone() {
        let mut settings = settings(PricePoint::Exact);
        settings.card_fee.percent = percent("100");
        let error = price(&sheet(&[(1, 1000)]), Aim::MarkUp(percent("50")), &settings).unwrap_err();
        assert_eq!(
            error.to_string(),
            "card fees of 100 % are the whole price or more: lower the card fee in the settings"
        );
    }

    #[test]
    fn a_margin_close_to_everything_is_reached_too() {
        // Half a cent of tax raises the fee by 0.015 cents, and of each cent of price 0.03 % is left.
        let mut settings = settings(PricePoint::Exact);
        settings.card_fee.percent = percent("3");
        settings.tax = percent("7");
        let margins =
            (9_600..=9_678).map(|hundredths| format!("{}.{:02}", hundredths / 100, hundredths % 100));
        for (cents, margin) in (1..60).flat_map(|cents| margins.clone().map(move |margin| (cents, margin))) {
            let margin = percent(&margin);
            let priced = price(&sheet(&[(1, cents)]), Aim::Margin(margin), &settings).unwrap();
            assert!(priced.margin(&Currency::usd()).unwrap() >= margin, "{cents} {margin}");
        }
    }

    #[test]
    fn traces_of_divisions_do_not_reach_the_next_price_point() {
        // Three thirds of 2.00 at a margin of 60 % are 5.00 exactly, not a hair more.
        let mut sheet = sheet(&[(1, 0)]);
        let part = Money::of(2) / 3;
        sheet.units[0].variable = part + part + part;
        sheet.lines = vec![(CostKind::Blanks, sheet.units[0].variable)];
        assert!(sheet.total() > Money::of(2));
        let priced = price(&sheet, Aim::Margin(percent("60")), &settings(PricePoint::Five)).unwrap();
        assert_eq!(priced.subtotal.minor(), 500);
    }

    #[test]
    fn a_garment_that_loses_money_never_breaks_even() {
        assert_eq!(break_even(Money::ZERO, Money::of(5), Money::of(6)), None);
        assert_eq!(break_even(Money::ZERO, Money::of(6), Money::of(6)), Some(0));
        let mut settings = settings(PricePoint::Exact);
        settings.card_fee.fixed = Money::of(1);
        let given = price(&sheet(&[(2, 0)]), Aim::Price(Money::ZERO), &settings).unwrap();
        assert_eq!(given.break_even, None);
    }

    #[test]
    fn a_price_beyond_the_largest_amount_is_refused() {
        let at = |cents: u64| {
            price(&sheet(&[(1, cents)]), Aim::Margin(percent("99")), &settings(PricePoint::Exact))
        };
        let largest = crate::money::LARGEST_AMOUNT;
        assert_eq!(at(largest).unwrap().subtotal.minor(), i64::try_from(largest * 100).unwrap());
        assert_eq!(at(largest + 1), Err(PriceError::TooLarge));
    }

    #[test]
    fn there_is_no_price_of_nothing() {
        let error = price(&Sheet::default(), Aim::Margin(percent("40")), &settings(PricePoint::Exact));
        assert_eq!(error, Err(PriceError::NoGarments));
    }

    proptest! {
        #[test]
        fn a_wanted_margin_or_mark_up_is_never_missed(
            costs in prop::collection::vec((1_u64..30, 1_u64..5_000), 1..5),
            wanted in 0_u32..90,
            marked in 0_u32..300,
            fee in 0_u32..8,
            tax in 0_u32..25,
            point in prop::sample::select(PricePoint::ALL.to_vec()),
        ) {
            let mut settings = settings(point);
            settings.card_fee = CardFee { percent: Percent::of(fee), fixed: Money::of(fee) / 10 };
            settings.tax = Percent::of(tax);
            let usd = Currency::usd();
            let sheet = sheet(&costs);
            if let Ok(priced) = price(&sheet, Aim::Margin(Percent::of(wanted)), &settings) {
                prop_assert!(priced.margin(&usd).unwrap() >= Percent::of(wanted));
            }
            let priced = price(&sheet, Aim::MarkUp(Percent::of(marked)), &settings).unwrap();
            prop_assert!(priced.mark_up(&usd).unwrap() >= Percent::of(marked));
        }

        #[test]
        fn break_even_is_the_first_quantity_that_pays(
            fixed in 1_u32..100_000, price in 1_u32..500, variable in 0_u32..500,
        ) {
            let (fixed, price, variable) = (Money::of(fixed), Money::of(price), Money::of(variable));
            let left = |units: u64| (price - variable) * units - fixed;
            match break_even(fixed, price, variable) {
                Some(units) => {
                    prop_assert!(left(units) >= Money::ZERO);
                    prop_assert!(left(units - 1) < Money::ZERO);
                }
                None => prop_assert!(price <= variable),
            }
        }
    }
}
