//! The code of a quote in a link: version, length and contents.
//!
//! `1.<length>.<contents>`: the contents are the fields of the quote as JSON arrays (no field
//! names), compressed as a zlib stream (RFC 1950, whose Adler-32 is the check value), written in
//! base64url without padding (RFC 4648, section 5). The length is that of the contents in
//! characters, so that a link that was cut short can be told from one that was changed.
//! Every field is listed in [`Fields`]: what is not there cannot be sent, and an array of another
//! length is refused.

use super::LinkError;
use crate::length::Length;
use crate::money::{Cents, Currency, Percent};
use crate::order::{Placement, Swap, Wording};
use crate::quote::{Item, Quote, QuotedLine, QuotedPerson, QuotedSize};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;
use serde::{Deserialize, Serialize};

const VERSION: &str = "1";

/// The largest contents after decompression, in bytes: some ten thousand names.
const LARGEST: usize = 1_000_000;

/// Shop, contact, title, date, currency, tax rate, items, swaps.
#[derive(Serialize, Deserialize)]
struct Fields(String, String, String, String, Currency, Percent, Vec<ItemFields>, Vec<Swap>);

/// Garment, lines, sizes, people.
#[derive(Serialize, Deserialize)]
struct ItemFields(String, Vec<LineFields>, Vec<(String, u32, Cents)>, Vec<(String, String, String, u16)>);

/// Placement, text, letter height, finish, colour.
#[derive(Serialize, Deserialize)]
struct LineFields(Placement, Wording, Length, String, String);

/// The code of a quote.
pub fn encode(quote: &Quote) -> String {
    // A quote holds only strings and bounded numbers, which JSON always has a form for.
    let json = serde_json::to_vec(&Fields::from(quote)).unwrap_or_default();
    let contents = URL_SAFE_NO_PAD.encode(compress_to_vec_zlib(&json, 9));
    format!("{VERSION}.{}.{contents}", contents.len())
}

/// The quote of a code.
///
/// # Errors
/// Says what happened to the code on its way.
pub fn decode(code: &str) -> Result<Quote, LinkError> {
    let (version, rest) = code.split_once('.').ok_or(LinkError::Damaged)?;
    if version != VERSION {
        let is_number = version.len() < 6 && version.parse::<u16>().is_ok();
        return Err(if is_number { LinkError::NewerVersion(version.to_owned()) } else { LinkError::Damaged });
    }
    let (length, contents) = rest.split_once('.').ok_or(LinkError::Damaged)?;
    let length: usize = length.parse().map_err(|_| LinkError::Damaged)?;
    if contents.len() < length {
        return Err(LinkError::CutShort { has: contents.len(), of: length });
    }
    if contents.len() > length {
        return Err(LinkError::Damaged);
    }
    let bytes = URL_SAFE_NO_PAD.decode(contents).map_err(|_| LinkError::Damaged)?;
    let json = decompress_to_vec_zlib_with_limit(&bytes, LARGEST).map_err(|error| match error.status {
        miniz_oxide::inflate::TINFLStatus::HasMoreOutput => LinkError::TooLong,
        _ => LinkError::Damaged,
    })?;
    let fields: Fields = serde_json::from_slice(&json).map_err(|_| LinkError::Damaged)?;
    Ok(Quote::from(fields))
}

impl From<&Quote> for Fields {
    fn from(quote: &Quote) -> Self {
        Self(
            quote.shop.clone(),
            quote.contact.clone(),
            quote.title.clone(),
            quote.date.clone(),
            quote.currency.clone(),
            quote.tax_rate,
            quote.items.iter().map(ItemFields::from).collect(),
            quote.swaps.clone(),
        )
    }
}

impl From<&Item> for ItemFields {
    fn from(item: &Item) -> Self {
        let line = |line: &QuotedLine| {
            LineFields(
                line.placement,
                line.text.clone(),
                line.height,
                line.finish.clone(),
                line.colour.clone(),
            )
        };
        let size = |size: &QuotedSize| (size.size.clone(), size.count, size.price);
        let person = |person: &QuotedPerson| {
            (person.name.clone(), person.number.clone(), person.size.clone(), person.quantity)
        };
        Self(
            item.garment.clone(),
            item.lines.iter().map(line).collect(),
            item.sizes.iter().map(size).collect(),
            item.people.iter().map(person).collect(),
        )
    }
}

impl From<Fields> for Quote {
    fn from(Fields(shop, contact, title, date, currency, tax_rate, items, swaps): Fields) -> Self {
        let items = items.into_iter().map(Item::from).collect();
        Self { shop, contact, title, date, currency, tax_rate, items, swaps }
    }
}

impl From<ItemFields> for Item {
    fn from(ItemFields(garment, lines, sizes, people): ItemFields) -> Self {
        let line = |LineFields(placement, text, height, finish, colour)| QuotedLine {
            placement,
            text,
            height,
            finish,
            colour,
        };
        let size = |(size, count, price)| QuotedSize { size, count, price };
        let person = |(name, number, size, quantity)| QuotedPerson { name, number, size, quantity };
        Self {
            garment,
            lines: lines.into_iter().map(line).collect(),
            sizes: sizes.into_iter().map(size).collect(),
            people: people.into_iter().map(person).collect(),
        }
    }
}
