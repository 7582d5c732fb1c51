//! A price list as JSON: everything of it, in a documented and versioned form.
//!
//! Owns the form, which `docs/price-list.schema.json` describes for other programmes. Sums of money
//! are decimal text in units of the currency, so that a person can read and write them.

use super::Why;
use crate::glyph::{GlyphCounts, GlyphSet};
use crate::length::Length;
use crate::lists::{Colour, CountOver, Finish, Lists, Offer, Recipe, Rgb, Way};
use crate::money::{Cents, Currency};
use serde::{Deserialize, Serialize};

/// What the file says it is.
pub(super) const FORMAT: &str = "letter price list";
/// The version of the form; raised whenever an older page could not read a file.
pub(super) const VERSION: u64 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ListFile {
    #[serde(rename = "$schema", default, skip_serializing_if = "Option::is_none")]
    pub(super) schema: Option<String>,
    pub(super) format: String,
    pub(super) version: u64,
    pub(super) currency: String,
    pub(super) suppliers: Vec<SupplierRecord>,
    pub(super) finishes: Vec<FinishRecord>,
    pub(super) styles: Vec<StyleRecord>,
    pub(super) offers: Vec<OfferRecord>,
}

/// A supplier; what is not there is left as the shop has it.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SupplierRecord {
    pub(super) id: String,
    pub(super) name: String,
    #[serde(default)]
    pub(super) date: Option<String>,
    #[serde(default)]
    pub(super) note: Option<String>,
    #[serde(default)]
    pub(super) minimum: Option<Amount>,
    #[serde(default)]
    pub(super) days: Option<u16>,
    #[serde(default)]
    pub(super) freight: Option<Vec<FreightRecord>>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FreightRecord {
    pub(super) from: Amount,
    pub(super) cost: Amount,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FinishRecord {
    pub(super) id: String,
    pub(super) name: String,
    #[serde(default)]
    pub(super) recipe: Option<Recipe>,
    pub(super) colours: Vec<ColourRecord>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ColourRecord {
    pub(super) id: String,
    pub(super) name: String,
    #[serde(default)]
    pub(super) screen: Option<Rgb>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StyleRecord {
    pub(super) id: String,
    pub(super) name: String,
    #[serde(default)]
    pub(super) six_is_nine: Option<bool>,
}

/// An offer; what is not there is nothing.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OfferRecord {
    pub(super) id: String,
    pub(super) supplier: String,
    pub(super) finish: String,
    #[serde(deserialize_with = "plain_height")]
    pub(super) height: Length,
    pub(super) colours: Vec<String>,
    pub(super) styles: Vec<String>,
    pub(super) sold_as: SoldAs,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) letters_per_unit: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) letters: Option<GlyphSet>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) contents: Option<GlyphCounts>,
    pub(super) price: Amount,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) breaks: Vec<BreakRecord>,
    #[serde(default)]
    pub(super) count_over: CountOver,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) at_most: Option<u32>,
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(super) enum SoldAs {
    Piece,
    Pack,
    Set,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BreakRecord {
    pub(super) from: u32,
    pub(super) price: Amount,
}

/// A sum of money as decimal text with a point: "1234.50".
#[derive(Serialize)]
#[serde(transparent)]
pub(super) struct Amount(String);

impl<'de> Deserialize<'de> for Amount {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let (whole, part) = text.split_once('.').unwrap_or((&text, "0"));
        let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let is_plain = is_digits(whole) && is_digits(part) && (whole == "0" || !whole.starts_with('0'));
        if is_plain && whole.len() <= 8 && part.len() <= 4 {
            return Ok(Self(text));
        }
        Err(serde::de::Error::custom("expected a sum of money as text, such as \"1234.50\""))
    }
}

impl Amount {
    /// In whole minor units.
    pub(super) fn cents(&self, currency: &Currency) -> Result<Cents, Why> {
        Cents::parse(&self.0, currency).map_err(|error| Why::Amount(self.0.clone(), error))
    }
}

/// A height as it is written here: digits, at most one point, and the unit.
fn plain_height<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Length, D::Error> {
    let text = String::deserialize(deserializer)?;
    if text.contains(|c: char| c == ',' || c.is_whitespace()) {
        return Err(serde::de::Error::custom("expected a height such as \"2.5in\" or \"60mm\""));
    }
    Length::deserialize(serde::de::value::StringDeserializer::new(text))
}

/// The shop's price list as JSON.
///
/// ```
/// use lettertally::{exchange::json, lists::demo, money::Currency};
/// let file = json::write(&demo::lists(), &Currency::usd());
/// assert!(file.contains("\"price\": \"0.55\""));
/// ```
pub fn write(lists: &Lists, currency: &Currency) -> String {
    let amount = |cents: Cents| Amount(currency.plain(cents));
    let file = ListFile {
        schema: None,
        format: FORMAT.to_owned(),
        version: VERSION,
        currency: currency.code().to_owned(),
        suppliers: lists
            .suppliers
            .iter()
            .map(|supplier| SupplierRecord {
                id: supplier.id.to_string(),
                name: supplier.name.clone(),
                date: Some(supplier.date.clone()),
                note: Some(supplier.note.clone()),
                minimum: Some(amount(supplier.minimum)),
                days: supplier.days,
                freight: Some(
                    supplier
                        .freight
                        .iter()
                        .map(|step| FreightRecord { from: amount(step.from), cost: amount(step.cost) })
                        .collect(),
                ),
            })
            .collect(),
        finishes: lists.finishes.iter().map(finish_record).collect(),
        styles: lists
            .styles
            .iter()
            .map(|style| StyleRecord {
                id: style.id.to_string(),
                name: style.name.clone(),
                six_is_nine: Some(style.six_is_nine),
            })
            .collect(),
        offers: lists.offers.iter().map(|offer| offer_record(offer, &amount)).collect(),
    };
    // Text, bounded numbers and maps with text keys: writing them cannot fail.
    serde_json::to_string_pretty(&file).unwrap_or_default()
}

fn finish_record(finish: &Finish) -> FinishRecord {
    let colour = |colour: &Colour| ColourRecord {
        id: colour.id.to_string(),
        name: colour.name.clone(),
        screen: Some(colour.screen),
    };
    FinishRecord {
        id: finish.id.to_string(),
        name: finish.name.clone(),
        recipe: Some(finish.recipe.clone()),
        colours: finish.colours.iter().map(colour).collect(),
    }
}

fn offer_record(offer: &Offer, amount: &dyn Fn(Cents) -> Amount) -> OfferRecord {
    let (sold_as, letters_per_unit, letters, contents) = match offer.way.clone() {
        Way::Piece { glyphs } => (SoldAs::Piece, None, Some(glyphs), None),
        Way::Pack { of, glyphs } => (SoldAs::Pack, Some(of), Some(glyphs), None),
        Way::Set { contents } => (SoldAs::Set, None, None, Some(contents)),
    };
    OfferRecord {
        id: offer.id.to_string(),
        supplier: offer.supplier.to_string(),
        finish: offer.finish.to_string(),
        height: offer.height,
        colours: offer.colours.iter().map(ToString::to_string).collect(),
        styles: offer.styles.iter().map(ToString::to_string).collect(),
        sold_as,
        letters_per_unit,
        letters,
        contents,
        price: amount(offer.price),
        breaks: offer
            .breaks
            .iter()
            .map(|step| BreakRecord { from: step.from, price: amount(step.price) })
            .collect(),
        count_over: offer.count_over,
        at_most: offer.at_most,
    }
}
