//! The customer's quote: what a customer may see, and nothing else.
//!
//! Owns the step from the shop's own figures to the customer's view. No cost, margin, supplier
//! or shelf figure has a field in here, so none can be shown or sent.

pub mod code;
pub mod contact;
pub mod day;
pub mod look;
pub mod number;

use crate::cost::RunPrice;
use crate::glyph::{self, Sign};
use crate::layout;
use crate::length::Length;
use crate::lists::settings::OtherQuantities;
use crate::lists::{Caps, Lists, Rgb, Settings};
use crate::money::{Cents, Currency, Percent};
use crate::order::{Curve, Design, Group, Order, Placement, Reading, Swap, Wording};
use crate::plan::{Plan, Shop};
use day::Day;
use look::Look;

/// An order as a customer sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quote {
    /// The shop's name.
    pub shop: String,
    /// How to reach the shop.
    pub contact: String,
    /// Its number; empty on the first quotes, which had none.
    pub number: String,
    /// Whom it is for.
    pub title: String,
    /// The day it was made, as year-month-day.
    pub date: String,
    /// The currency of all amounts.
    pub currency: Currency,
    /// The tax on top.
    pub tax_rate: Percent,
    /// What is ordered.
    pub items: Vec<Item>,
    /// Letters that are pressed as others, or left out.
    pub swaps: Vec<Swap>,
    /// What the shop asks and promises.
    pub terms: Terms,
    /// What one garment would cost at other quantities.
    pub others: Vec<OtherQuantity>,
}

/// What the shop asks and promises with a quote.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Terms {
    /// For how many days the quote is valid; 0 where nothing is said.
    pub valid_days: u16,
    /// The share of the total that is paid with the order.
    pub deposit: Percent,
    /// How long it takes, in the shop's words.
    pub lead_time: String,
    /// Everything else, in the shop's words.
    pub text: String,
}

/// What one garment of the cheapest size costs at another quantity, before tax.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OtherQuantity {
    /// How many garments are made together.
    pub garments: u32,
    /// What one costs.
    pub price: Cents,
}

/// One design of a quote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// The garment's name.
    pub garment: String,
    /// How it looks; `None` where the quote does not say.
    pub look: Option<Look>,
    /// What goes on it.
    pub lines: Vec<QuotedLine>,
    /// How many of each size, at which price.
    pub sizes: Vec<QuotedSize>,
    /// Who gets one, where there is a roster.
    pub people: Vec<QuotedPerson>,
}

/// A line of lettering of a quote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuotedLine {
    /// Where it goes.
    pub placement: Placement,
    /// What it says.
    pub text: Wording,
    /// How tall its letters are.
    pub height: Length,
    /// What they are made of.
    pub finish: String,
    /// Their colour.
    pub colour: String,
    /// Their colour on a screen, where the quote says it.
    pub screen: Option<Rgb>,
    /// Whether it runs straight or along an arc.
    pub curve: Curve,
    /// The gap down to which its letters are set closer to fit.
    pub closest: Option<Caps>,
    /// How wide it is on the garment that is drawn, set with the usual gaps, in thousandths of its
    /// letter height; `None` where its letters are as wide as the built-in ones.
    pub width: Option<u32>,
}

/// Garments of one size of a quote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuotedSize {
    /// The size.
    pub size: String,
    /// How many.
    pub count: u32,
    /// What one costs, before tax.
    pub price: Cents,
}

/// Somebody on a quote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuotedPerson {
    /// The name, as typed.
    pub name: String,
    /// The number, as typed.
    pub number: String,
    /// The size.
    pub size: String,
    /// How many garments.
    pub quantity: u16,
}

impl Quote {
    /// What all garments come to before tax.
    pub fn subtotal(&self) -> Cents {
        let sizes = self.items.iter().flat_map(|item| &item.sizes);
        sizes.map(|size| size.price.times(size.count).unwrap_or(Cents::new(i64::MAX))).sum()
    }

    /// The tax on the subtotal, rounded once.
    pub fn tax(&self) -> Cents {
        (self.subtotal().money(&self.currency) * self.tax_rate.share()).round(&self.currency)
    }

    /// What the customer pays.
    pub fn total(&self) -> Cents {
        self.subtotal() + self.tax()
    }

    /// What is paid with the order; rounded once.
    pub fn deposit(&self) -> Cents {
        (self.total().money(&self.currency) * self.terms.deposit.share()).round(&self.currency)
    }

    /// What is left to pay: with the deposit it comes to the total.
    pub fn balance(&self) -> Cents {
        self.total() - self.deposit()
    }

    /// The last day on which it is valid; `None` where nothing is said of it.
    pub fn valid_until(&self) -> Option<Day> {
        let days = Some(self.terms.valid_days).filter(|days| *days > 0)?;
        Day::parse(&self.date).map(|date| date.plus(days))
    }

    /// Whether it is past its last day.
    pub fn is_past(&self, today: &str) -> bool {
        matches!((self.valid_until(), Day::parse(today)), (Some(last), Some(today)) if today > last)
    }

    /// The quote as it is handed over on a day, with a number after those handed over before.
    #[must_use]
    pub fn issued<'a>(self, order: &Order, on: &str, before: impl Iterator<Item = &'a str>) -> Self {
        Self { date: on.to_owned(), number: number::next(order, before), ..self }
    }

    /// A text as its letters are pressed: capitals, swaps done.
    pub fn pressed(&self, text: &str) -> String {
        let letter = |sign: Sign| match sign {
            Sign::Space => Some(" ".to_owned()),
            Sign::Glyph(glyph) => match self.swaps.iter().find(|swap| swap.from == glyph) {
                Some(swap) => swap.to.as_ref().map(ToString::to_string),
                None => Some(glyph.to_string()),
            },
        };
        glyph::signs(text).into_iter().filter_map(letter).collect()
    }

    /// How many garments.
    pub fn garments(&self) -> u64 {
        self.items.iter().flat_map(|item| &item.sizes).map(|size| u64::from(size.count)).sum()
    }
}

/// The quote of an order; `None` while its figures are not complete, or nothing has been said yet of
/// what goes on its garments.
pub fn quote(order: &Order, shop: &Shop, plan: &Plan) -> Option<Quote> {
    if plan.is_incomplete() || order.is_only_begun() {
        return None;
    }
    let priced = plan.priced.as_ref().ok()?;
    let sizes = |at: usize| {
        let units = priced.units.iter().filter(|unit| unit.design == at);
        let size = |unit: &crate::cost::UnitPrice| {
            Some(QuotedSize {
                size: unit.size.clone(),
                count: u32::try_from(unit.count).ok()?,
                price: unit.price,
            })
        };
        units.map(size).collect::<Option<Vec<_>>>()
    };
    let designs = order.designs.iter().zip(&plan.readings).enumerate();
    let items =
        designs.map(|(at, (design, reading))| Some(item(order, design, reading, sizes(at)?, &shop.lists)));
    let settings = &shop.settings;
    let Settings { shop_name, contact, currency, tax, .. } = settings;
    let terms = Terms {
        valid_days: settings.valid_days,
        deposit: settings.deposit,
        lead_time: settings.lead_time.clone(),
        text: settings.terms.clone(),
    };
    Some(Quote {
        shop: shop_name.clone(),
        contact: contact.clone(),
        number: number::next(order, [].into_iter()),
        title: order.title.clone(),
        date: order.date.clone(),
        currency: currency.clone(),
        tax_rate: *tax,
        items: items.collect::<Option<_>>()?,
        swaps: order.swaps.clone(),
        terms,
        others: others(priced.garments(), settings.other_quantities, || plan.table(shop)),
    })
}

/// The prices at other quantities that are wanted; where none is, none is worked out.
fn others(
    garments: u64,
    which: OtherQuantities,
    table: impl FnOnce() -> Vec<RunPrice>,
) -> Vec<OtherQuantity> {
    if which == OtherQuantities::None {
        return vec![];
    }
    let is_wanted = |run: &&RunPrice| match which {
        OtherQuantities::None => false,
        OtherQuantities::Larger => u64::from(run.garments) > garments,
        OtherQuantities::All => u64::from(run.garments) != garments,
    };
    let other = |run: &RunPrice| Some(OtherQuantity { garments: run.garments, price: run.price.ok()? });
    table().iter().filter(is_wanted).filter_map(other).collect()
}

fn item(order: &Order, design: &Design, reading: &Reading, sizes: Vec<QuotedSize>, lists: &Lists) -> Item {
    let first = reading.groups.first();
    let line = |line: &crate::order::Line| {
        let colour = lists.colour(&line.finish, &line.colour);
        QuotedLine {
            placement: line.placement,
            text: line.text.clone(),
            height: line.height,
            finish: lists.finish(&line.finish).map_or_else(String::new, |finish| finish.name.clone()),
            colour: colour.map_or_else(String::new, |colour| colour.name.clone()),
            screen: colour.map(|colour| colour.screen),
            curve: line.curve,
            closest: line.closest,
            width: first.and_then(|group| own_width(order, line, group, lists)),
        }
    };
    let person = |person: &crate::order::Person| QuotedPerson {
        name: person.name.clone(),
        number: person.number.clone(),
        size: person.size.clone(),
        quantity: person.quantity,
    };
    let blank = lists.blank(&design.blank);
    let look = blank.zip(first).and_then(|(blank, group)| {
        let size = blank.size(&group.size)?;
        Some(Look { colour: blank.screen, width: size.width, length: size.length })
    });
    Item {
        garment: blank.map_or_else(String::new, |blank| blank.name.clone()),
        look,
        lines: design.lines.iter().filter(|line| !line.text.as_str().trim().is_empty()).map(line).collect(),
        sizes,
        people: reading.groups.iter().filter_map(|group| group.person.as_ref()).map(person).collect(),
    }
}

/// The width of a line on a garment in thousandths of its letter height, where the shop has widths of
/// its own for the letter style.
fn own_width(order: &Order, line: &crate::order::Line, group: &Group, lists: &Lists) -> Option<u32> {
    let widths = lists.widths(&line.style);
    if widths.is_estimate() {
        return None;
    }
    let width = layout::width_of(&order.signs(line, group), line.height, widths, widths.gap);
    u32::try_from(width.part(1_000, line.height.units()).units()).ok().filter(|width| *width > 0)
}
