//! An order with its prices: what the customer pays, and what that leaves for the shop.

use crate::money::{Cents, Currency, Money, Percent};
use rust_decimal::Decimal;

/// An order with its prices.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Priced {
    /// The price of one garment, per design and size.
    pub units: Vec<UnitPrice>,
    /// What all garments come to before tax.
    pub subtotal: Cents,
    /// The tax on it, rounded once.
    pub tax: Cents,
    /// What the order costs the shop.
    pub cost: Money,
    /// What taking the money by card costs.
    pub fee: Money,
    /// How many garments pay for what is spent once; `None` if no number does.
    pub break_even: Option<u64>,
    /// The hours that the press is taken up.
    pub press_hours: Decimal,
}

/// The price of one garment of a design and size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitPrice {
    /// The design, from 0.
    pub design: usize,
    /// The size's name.
    pub size: String,
    /// How many garments.
    pub count: u64,
    /// What one costs the shop.
    pub cost: Money,
    /// What one costs the customer, before tax.
    pub price: Cents,
}

impl Priced {
    /// What the customer pays.
    pub fn total(&self) -> Cents {
        self.subtotal + self.tax
    }

    /// What is left for the shop.
    pub fn profit(&self, currency: &Currency) -> Money {
        self.subtotal.money(currency) - self.cost - self.fee
    }

    /// The cost in whole minor units.
    pub fn cost_in_cents(&self, currency: &Currency) -> Cents {
        self.cost.round(currency)
    }

    /// The card fee in whole minor units.
    pub fn fee_in_cents(&self, currency: &Currency) -> Cents {
        self.fee.round(currency)
    }

    /// The profit in whole minor units: what cost and fee, as they are read, leave of the subtotal.
    pub fn profit_in_cents(&self, currency: &Currency) -> Cents {
        self.subtotal - self.cost_in_cents(currency) - self.fee_in_cents(currency)
    }

    /// Profit as a share of the price before tax.
    pub fn margin(&self, currency: &Currency) -> Option<Percent> {
        Percent::that(self.profit(currency), self.subtotal.money(currency))
    }

    /// Profit as a share of the cost.
    pub fn mark_up(&self, currency: &Currency) -> Option<Percent> {
        Percent::that(self.profit(currency), self.cost)
    }

    /// Profit for each hour that the press is taken up.
    pub fn profit_per_press_hour(&self, currency: &Currency) -> Option<Money> {
        (self.press_hours > Decimal::ZERO).then(|| self.profit(currency) / self.press_hours)
    }

    /// The garments priced.
    pub fn garments(&self) -> u64 {
        self.units.iter().map(|unit| unit.count).sum()
    }
}
