//! The shop's settings: what an hour costs, what time things take, what the price aims at.
//!
//! Owns each setting's default, and with [`table`] its unit, range and explanation. Never
//! computes with them.

mod rows;
pub mod table;

pub use rows::SETTINGS;

use super::recipe::Degrees;
use crate::length::{Length, Units};
use crate::money::{Currency, Money, Percent};
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Everything about the shop that is not a list.
///
/// Stored settings with a value outside its range are refused whole, with the complaint that a
/// field would make of it: nothing is cut to size behind the shop's back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
pub struct Settings {
    /// The shop's name, as a customer reads it.
    pub shop_name: String,
    /// How a customer reaches the shop.
    pub contact: String,
    /// The one currency of the shop.
    pub currency: Currency,
    /// What an hour of work costs.
    pub wage_per_hour: Money,
    /// Added to the time of work, for what no stopwatch sees.
    pub allowance: Percent,
    /// The seconds that steps of the work take.
    pub seconds: StepSeconds,
    /// Whether somebody stands by while the press is closed.
    pub dwell_attended: bool,
    /// What an hour of the press costs: power, wear, room.
    pub press_per_hour: Money,
    /// Cover sheets, tape, bags: per garment.
    pub consumables_per_garment: Money,
    /// Setting up, artwork, a share of the booth: once per run.
    pub fixed_per_run: Money,
    /// The share of garments expected to be ruined.
    pub spoilage: Percent,
    /// Extra letters against misplaced or scorched ones.
    pub spares: Spares,
    /// What taking a card costs.
    pub card_fee: CardFee,
    /// Tax on top of the price.
    pub tax: Percent,
    /// What the price aims at, unless an order says otherwise.
    pub aim: Aim,
    /// The kind of figure a price goes up to.
    pub price_point: PricePoint,
    /// Which letters an order pays for.
    pub charge: LetterCharge,
    /// The hot plate.
    pub platen: Platen,
    /// What garments, platen and lines are measured in.
    #[serde(default)]
    pub units: Units,
    /// What temperatures are shown in.
    #[serde(default)]
    pub degrees: Degrees,
    /// The narrowest gap between two letters of a line that is set closer to make it fit.
    #[serde(default = "usual_narrowest_gap")]
    pub narrowest_gap: Percent,
    /// How many presses work at the same time.
    #[serde(default = "one")]
    pub presses: u16,
    /// How many people work at the same time.
    #[serde(default = "one")]
    pub people: u16,
    /// How many orders may change until the page reminds of a backup; 0 for never.
    #[serde(default = "usual_backup_after")]
    pub backup_after: u16,
    /// For how many days a quote is valid; 0 says nothing of it.
    #[serde(default = "usual_valid_days")]
    pub valid_days: u16,
    /// The share of the total that a customer pays with the order.
    #[serde(default)]
    pub deposit: Percent,
    /// How long an order takes, in the shop's own words.
    #[serde(default)]
    pub lead_time: String,
    /// What else a quote says, in the shop's own words.
    #[serde(default)]
    pub terms: String,
    /// Which other quantities a quote has prices for.
    #[serde(default)]
    pub other_quantities: OtherQuantities,
}

/// Which other quantities a quote has prices for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OtherQuantities {
    /// None.
    #[default]
    None,
    /// Those above the quantity ordered.
    Larger,
    /// All of the price screen's table.
    All,
}

impl OtherQuantities {
    /// Every choice, in the order of a choice.
    pub const ALL: [Self; 3] = [Self::None, Self::Larger, Self::All];
}

const fn one() -> u16 {
    1
}

fn usual_narrowest_gap() -> Percent {
    Percent::of(5)
}

const fn usual_backup_after() -> u16 {
    20
}

const fn usual_valid_days() -> u16 {
    30
}

impl Serialize for Settings {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for Settings {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let settings = Self::deserialize(deserializer)?;
        table::check(&settings).map_err(serde::de::Error::custom)?;
        Ok(settings)
    }
}

/// The seconds that steps of the work take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StepSeconds {
    /// Placing one letter.
    pub place_letter: u16,
    /// Loading and unloading one side of a garment.
    pub load_side: u16,
    /// Tacking at one closing of the press.
    pub tack: u16,
    /// Peeling after one closing of the press.
    pub peel: u16,
}

/// Extra letters per glyph: a percentage, rounded up, and a fixed number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spares {
    /// Of what is needed, rounded up per glyph.
    pub percent: Percent,
    /// So many of each glyph.
    pub each: u16,
}

/// What taking a card costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardFee {
    /// Of what the customer pays, tax included.
    pub percent: Percent,
    /// Per payment.
    pub fixed: Money,
}

/// What a price aims at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Aim {
    /// This share of the price before tax is profit.
    Margin(Percent),
    /// This share of the cost is added.
    MarkUp(Percent),
    /// This price per garment, before tax, whatever it earns.
    Price(Money),
}

/// The kind of figure that a price goes up to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PricePoint {
    /// The next smallest coin.
    Exact,
    /// The next half.
    Half,
    /// The next whole amount.
    Whole,
    /// The next amount that ends in .95.
    NinetyFive,
    /// The next amount that ends in .99.
    NinetyNine,
    /// The next multiple of five.
    Five,
}

impl Aim {
    /// The margin that comes to the same price where there is no card fee.
    pub fn as_margin(self) -> Percent {
        match self {
            Self::Margin(margin) => margin,
            Self::MarkUp(mark_up) => part_of(mark_up, Percent::of(100).value() + mark_up.value()),
            Self::Price(_) => Percent::of(40),
        }
    }

    /// The mark-up that comes to the same price where there is no card fee.
    pub fn as_mark_up(self) -> Percent {
        match self {
            Self::MarkUp(mark_up) => mark_up,
            Self::Margin(margin) => part_of(margin, Percent::of(100).value() - margin.value()),
            Self::Price(_) => Self::Margin(self.as_margin()).as_mark_up(),
        }
    }
}

/// So many hundredths of a whole, in the three decimals that a percentage is typed with; the
/// largest one where the whole is next to nothing.
fn part_of(part: Percent, whole: Decimal) -> Percent {
    let largest = Decimal::from(Percent::LARGEST);
    let ratio = (part.value() * Decimal::ONE_HUNDRED).checked_div(whole);
    Percent::from_value(ratio.unwrap_or(largest).round_dp(3).min(largest))
}

impl PricePoint {
    /// Every price point, in the order of a choice.
    pub const ALL: [Self; 6] =
        [Self::Exact, Self::Half, Self::Whole, Self::NinetyFive, Self::NinetyNine, Self::Five];

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Exact => "to the cent",
            Self::Half => "next half",
            Self::Whole => "next whole",
            Self::NinetyFive => "ending in .95",
            Self::NinetyNine => "ending in .99",
            Self::Five => "next multiple of 5",
        }
    }
}

/// Which letters an order pays for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LetterCharge {
    /// Those it uses, at their average cost; the rest stays on the shelf at that cost.
    Used,
    /// Everything that is bought for it.
    Everything,
}

/// The hot plate of the press.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Platen {
    /// Left to right.
    pub width: Length,
    /// Front to back.
    pub depth: Length,
    /// How far letters stay from its edge, where it may heat less. Was stored as the overlap of two
    /// closings: what keeps this margin on both sides overlaps by twice as much.
    #[serde(alias = "overlap")]
    pub margin: Length,
}

impl LetterCharge {
    /// Both, in the order of a choice.
    pub const ALL: [Self; 2] = [Self::Used, Self::Everything];
}

impl Default for Settings {
    /// A small shop's plain start: every figure is an example to replace.
    fn default() -> Self {
        Self {
            shop_name: String::new(),
            contact: String::new(),
            currency: Currency::usd(),
            wage_per_hour: Money::of(20),
            allowance: Percent::of(15),
            seconds: StepSeconds { place_letter: 6, load_side: 30, tack: 5, peel: 10 },
            dwell_attended: true,
            press_per_hour: Money::of(2),
            consumables_per_garment: Money::ZERO,
            fixed_per_run: Money::ZERO,
            spoilage: Percent::ZERO,
            spares: Spares::default(),
            card_fee: CardFee::default(),
            tax: Percent::ZERO,
            aim: Aim::Margin(Percent::of(40)),
            price_point: PricePoint::Exact,
            charge: LetterCharge::Used,
            platen: Platen {
                width: Length::inches(20),
                depth: Length::inches(16),
                margin: Length::mils(250),
            },
            units: Units::Inches,
            degrees: Degrees::Fahrenheit,
            narrowest_gap: usual_narrowest_gap(),
            presses: one(),
            people: one(),
            backup_after: usual_backup_after(),
            valid_days: usual_valid_days(),
            deposit: Percent::ZERO,
            lead_time: String::new(),
            terms: String::new(),
            other_quantities: OtherQuantities::None,
        }
    }
}
