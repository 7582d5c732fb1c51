//! Money: exact decimal amounts, whole minor units, percentages and the currency.
//!
//! Owns every rounding of money in the project: amounts are carried exactly as
//! [`Money`] and become [`Cents`] once, at the line where a person sees a total,
//! half away from zero. Never uses binary floating point, and never reads a locale.

mod currency;

pub use currency::{Currency, CurrencyError};

use crate::number::{self, NumberError};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub};

/// The largest amount that may be entered, in whole currency units.
///
/// Far above any shop's order and far below where a product of entered numbers could
/// leave the range of [`Decimal`], so that arithmetic after reading cannot overflow.
pub const LARGEST_AMOUNT: u64 = 10_000_000;

/// Divisions leave traces in the last of 28 digits; beyond this many decimals nothing counts.
const DECIMALS_THAT_COUNT: u32 = 12;

/// An exact amount in the shop's currency, in whole units ("12.345" is 12.345 dollars).
///
/// ```
/// use lettertally::money::{Currency, Money};
/// let third = Money::of(10) / 3;
/// assert_eq!(third.round(&Currency::usd()).minor(), 333);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(Decimal);

impl Money {
    /// No money.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// A whole number of currency units.
    pub fn of(units: u32) -> Self {
        Self(Decimal::from(units))
    }

    /// Reads an amount as a person types it: not negative, at most [`LARGEST_AMOUNT`],
    /// at most four decimals.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn parse(text: &str) -> Result<Self, NumberError> {
        number::decimal(text, LARGEST_AMOUNT, 4).map(Self)
    }

    /// The exact value in currency units.
    pub fn amount(self) -> Decimal {
        self.0
    }

    /// Wraps a computed value in currency units.
    pub fn from_amount(amount: Decimal) -> Self {
        Self(amount)
    }

    /// How many times another amount this is; one where the other is nothing.
    pub fn per(self, other: Self) -> Decimal {
        self.0.checked_div(other.0).unwrap_or(Decimal::ONE)
    }

    /// This amount in whole minor units, rounded half away from zero.
    ///
    /// The rule "half away from zero" is one of the two named in ISO 80000-1 Annex B.
    pub fn round(self, currency: &Currency) -> Cents {
        self.in_minor_units(currency, RoundingStrategy::MidpointAwayFromZero)
    }

    /// This amount in whole minor units, never below it: for prices that must reach an aim.
    pub fn round_up(self, currency: &Currency) -> Cents {
        self.in_minor_units(currency, RoundingStrategy::ToPositiveInfinity)
    }

    /// The amount nearest to this one that is `beyond` more than a whole number of steps, ties away
    /// from zero: to 0.05, or to so many whole units and 0.99. A step of nothing is a minor unit.
    ///
    /// ```
    /// use lettertally::money::{Cents, Currency, Money};
    /// let price = Money::parse("2.475").unwrap();
    /// let to = |step, beyond| price.round_to(Cents::new(step), Cents::new(beyond), &Currency::usd());
    /// assert_eq!(to(5, 0), Cents::new(250));
    /// assert_eq!(to(100, 99), Cents::new(199));
    /// ```
    pub fn round_to(self, step: Cents, beyond: Cents, currency: &Currency) -> Cents {
        let step = Cents(step.0.max(1));
        let steps = (self - beyond.money(currency)).settled().per(step.money(currency));
        let whole = steps.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero);
        (step.money(currency) * whole + beyond.money(currency)).round(currency)
    }

    /// This amount without the traces that divisions leave in its last digits, so that three
    /// thirds of a dollar are a dollar.
    pub fn settled(self) -> Self {
        Self(self.0.round_dp(DECIMALS_THAT_COUNT))
    }

    fn in_minor_units(self, currency: &Currency, strategy: RoundingStrategy) -> Cents {
        let minor = (self.settled().0 * currency.minor_per_unit()).round_dp_with_strategy(0, strategy);
        let beyond = if minor.is_sign_negative() { i64::MIN } else { i64::MAX };
        Cents(minor.to_i64().unwrap_or(beyond))
    }
}

/// Equal amounts are stored alike: "0.1", never "0.10".
impl Serialize for Money {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Serialize::serialize(&self.0.normalize(), serializer)
    }
}

impl<'de> Deserialize<'de> for Money {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

impl<N: Into<Decimal>> std::ops::Mul<N> for Money {
    type Output = Self;
    fn mul(self, factor: N) -> Self {
        Self(self.0 * factor.into())
    }
}

impl<N: Into<Decimal>> std::ops::Div<N> for Money {
    type Output = Self;
    /// Dividing by zero gives zero: "nothing shared among nobody".
    fn div(self, parts: N) -> Self {
        Self(self.0.checked_div(parts.into()).unwrap_or_default())
    }
}

/// A whole number of the currency's minor units (cents, pence, or yen).
///
/// ```
/// use lettertally::money::Cents;
/// assert_eq!(Cents::new(250) + Cents::new(5), Cents::new(255));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(transparent)]
pub struct Cents(i64);

impl Cents {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many minor units.
    pub const fn new(minor: i64) -> Self {
        Self(minor)
    }

    /// The number of minor units.
    pub const fn minor(self) -> i64 {
        self.0
    }

    /// The same amount as exact money.
    pub fn money(self, currency: &Currency) -> Money {
        Money(Decimal::from(self.0) / currency.minor_per_unit())
    }

    /// This price for a number of units; `None` where the product leaves the range.
    pub fn times(self, count: u32) -> Option<Self> {
        self.0.checked_mul(i64::from(count)).map(Self)
    }

    /// The same figure in the minor units of another currency: 250 cents, "2.50", are 2500 fils,
    /// "2.500". A fraction of its minor unit goes as `below` says.
    ///
    /// # Errors
    /// A figure with a part below the minor unit that must stay, or one beyond the largest amount.
    pub fn recoined(self, from: &Currency, to: &Currency, below: Below) -> Result<Self, RecoinError> {
        let figure = self.money(from);
        let there = figure.round(to);
        match there.money(to) {
            _ if figure.0 > Decimal::from(LARGEST_AMOUNT) => Err(RecoinError::TooLarge),
            same if same == figure => Ok(there),
            _ if below == Below::Round => Ok(there),
            _ => Err(RecoinError::TooFine),
        }
    }

    /// Reads a price as a person types it, in the currency's own decimals.
    ///
    /// # Errors
    /// Says what is wrong with the text, more decimals than the currency has included.
    pub fn parse(text: &str, currency: &Currency) -> Result<Self, NumberError> {
        let amount = number::decimal(text, LARGEST_AMOUNT, u32::from(currency.digits()))?;
        Ok(Money(amount).round(currency))
    }
}

/// What becomes of a part below the minor unit of another currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Below {
    /// It must not be there.
    Refuse,
    /// It is rounded, half away from zero.
    Round,
}

/// Why a figure cannot be taken over into another currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecoinError {
    /// It has a part below the minor unit.
    TooFine,
    /// It is beyond the largest amount.
    TooLarge,
}

impl<'de> Deserialize<'de> for Cents {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        const LARGEST: i64 = LARGEST_AMOUNT as i64 * 10_000;
        let minor = i64::deserialize(deserializer)?;
        if (0..=LARGEST).contains(&minor) {
            return Ok(Self(minor));
        }
        Err(serde::de::Error::custom(format!("an amount of {minor} minor units is out of range")))
    }
}

impl Add for Cents {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Cents {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Cents {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Sum for Cents {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

/// Splits a total into whole parts in proportion to the weights, by largest remainder,
/// so that the parts add up to the total to the cent. Equal remainders go to the earlier part.
///
/// With no weight above zero, everything falls to the first part.
///
/// ```
/// use lettertally::money::{Cents, apportion};
/// let parts = apportion(Cents::new(100), &[1, 1, 1]);
/// assert_eq!(parts, [Cents::new(34), Cents::new(33), Cents::new(33)]);
/// ```
pub fn apportion(total: Cents, weights: &[u64]) -> Vec<Cents> {
    number::apportion(total.0, weights).into_iter().map(Cents).collect()
}

/// A percentage, kept as the number before the sign: 8.25 for 8.25 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Percent(Decimal);

impl Percent {
    /// Zero percent.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// The largest percentage that may be entered.
    pub const LARGEST: u64 = 1_000;

    /// A whole percentage.
    pub fn of(percent: u32) -> Self {
        Self(Decimal::from(percent))
    }

    /// Reads a percentage as a person types it: 0 to 1000, at most three decimals.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn parse(text: &str) -> Result<Self, NumberError> {
        let text = text.trim().trim_end_matches('%');
        number::decimal(text, Self::LARGEST, 3).map(Self)
    }

    /// Wraps a computed number before the percent sign.
    pub fn from_value(value: Decimal) -> Self {
        Self(value)
    }

    /// The number before the percent sign.
    pub fn value(self) -> Decimal {
        self.0
    }

    /// The share of one: 0.0825 for 8.25 %.
    pub fn share(self) -> Decimal {
        self.0 / Decimal::ONE_HUNDRED
    }

    /// So many tenths of a percent.
    pub fn tenths(tenths: u32) -> Self {
        Self(Decimal::new(i64::from(tenths), 1))
    }

    /// This percentage cut down to whole tenths; never below zero.
    pub fn down_to_tenths(self) -> Self {
        Self(self.0.round_dp_with_strategy(1, RoundingStrategy::ToNegativeInfinity).max(Decimal::ZERO))
    }

    /// What this percentage leaves after taking another away; never below zero.
    pub fn less(self, other: Self) -> Self {
        Self((self.0 - other.0).max(Decimal::ZERO))
    }

    /// The percentage that `part` is of `whole`; `None` of nothing.
    pub fn that(part: Money, whole: Money) -> Option<Self> {
        let ratio = part.0.checked_div(whole.0)?;
        ratio.checked_mul(Decimal::ONE_HUNDRED).map(Self)
    }

    /// The smallest whole number not below this share of `count`: 3 % of 25 is 1.
    pub fn of_count_up(self, count: u64) -> u64 {
        (Decimal::from(count) * self.share()).ceil().to_u64().unwrap_or(u64::MAX)
    }
}

impl Serialize for Percent {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Serialize::serialize(&self.0.normalize(), serializer)
    }
}

impl<'de> Deserialize<'de> for Percent {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = self.0.round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero);
        write!(f, "{} %", shown.normalize())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cents(text: &str) -> i64 {
        Money(text.parse().unwrap()).round(&Currency::usd()).minor()
    }

    #[test]
    fn halves_go_away_from_zero() {
        assert_eq!(cents("0.125"), 13);
        assert_eq!(cents("-0.125"), -13);
        assert_eq!(cents("12.344"), 1234);
    }

    #[test]
    fn cents_add_up_and_take_away() {
        let (seven, two) = (Cents::new(7), Cents::new(2));
        let mut sum = seven;
        sum += two;
        assert_eq!((sum.minor(), (seven - two).minor()), (9, 5));
        assert_eq!([seven, two, two].into_iter().sum::<Cents>().minor(), 11);
    }

    #[test]
    fn a_stored_amount_is_taken_up_to_the_largest_of_any_currency() {
        // Four decimals are the most that a currency has.
        let largest = LARGEST_AMOUNT * 10_000;
        let read = |minor: u64| serde_json::from_str::<Cents>(&minor.to_string()).map(Cents::minor).ok();
        assert_eq!(read(largest), i64::try_from(largest).ok());
        assert_eq!(read(largest + 1), None);
        assert!(serde_json::from_str::<Cents>("-1").is_err());
    }

    #[test]
    fn a_figure_goes_over_into_another_currency_as_far_as_it_can() {
        let [usd, jpy] = ["USD", "JPY"].map(|code| Currency::of_code(code).unwrap());
        let over = |minor: u64, below| {
            let there = Cents::new(minor as i64).recoined(&usd, &jpy, below);
            there.map(Cents::minor)
        };
        assert_eq!(over(LARGEST_AMOUNT * 100, Below::Refuse), Ok(LARGEST_AMOUNT as i64));
        assert_eq!(over(LARGEST_AMOUNT * 100 + 1, Below::Round), Err(RecoinError::TooLarge));
        assert_eq!(over(250, Below::Refuse), Err(RecoinError::TooFine));
        assert_eq!(over(250, Below::Round), Ok(3));
    }

    #[test]
    fn a_price_is_rounded_up_only_when_it_must_be() {
        let usd = Currency::usd();
        assert_eq!(Money::parse("12.34").unwrap().round_up(&usd).minor(), 1234);
        assert_eq!(Money::parse("12.3401").unwrap().round_up(&usd).minor(), 1235);
    }

    #[test]
    fn traces_of_divisions_never_move_a_price() {
        let usd = Currency::usd();
        let two_thirds = Money::of(2) / 3;
        let over = two_thirds + two_thirds + two_thirds;
        assert!(over > Money::of(2));
        assert_eq!(over.round_up(&usd).minor(), 200);
        let third = Money::of(1) / 300;
        assert_eq!((third + third + third).round_up(&usd).minor(), 1);
        assert_eq!(
            (Money::of(0) - Money::from_amount(Decimal::MAX / Decimal::from(200))).round(&usd).minor(),
            i64::MIN
        );
    }

    #[test]
    fn stored_prices_are_never_negative() {
        assert!(serde_json::from_str::<Cents>("-1").is_err());
        assert_eq!(serde_json::from_str::<Cents>("0").unwrap(), Cents::ZERO);
    }

    #[test]
    fn currencies_without_minor_unit_round_to_whole_units() {
        let yen = Currency::new("JPY", 0).unwrap();
        assert_eq!(Money::parse("1234.5").unwrap().round(&yen).minor(), 1235);
        assert_eq!(yen.show(Cents::new(1235)), "¥1,235");
        assert!(Cents::parse("12.5", &yen).is_err());
    }

    #[test]
    fn nobody_gets_a_share_of_nothing() {
        assert_eq!(apportion(Cents::new(5), &[]), []);
        assert_eq!(apportion(Cents::new(5), &[0, 0]), [Cents::new(5), Cents::ZERO]);
    }

    proptest! {
        #[test]
        fn parts_add_up_and_stay_within_one_cent_of_exact(
            total in -1_000_000_i64..1_000_000,
            weights in prop::collection::vec(0_u64..1_000, 1..20),
        ) {
            let parts = apportion(Cents::new(total), &weights);
            prop_assert_eq!(parts.iter().map(|part| part.minor()).sum::<i64>(), total);
            let whole: i128 = weights.iter().map(|&w| i128::from(w)).sum();
            if whole > 0 {
                for (part, &weight) in parts.iter().zip(&weights) {
                    let exact_times_whole = i128::from(total) * i128::from(weight);
                    let off = i128::from(part.minor()) * whole - exact_times_whole;
                    prop_assert!(off.abs() < whole);
                }
            }
        }

        #[test]
        fn a_shown_price_reads_back(minor in 0_i64..1_000_000_000) {
            let usd = Currency::usd();
            let cents = Cents::new(minor);
            prop_assert_eq!(Cents::parse(&usd.plain(cents), &usd), Ok(cents));
        }
    }
}
