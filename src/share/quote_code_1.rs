//! The first version of a quote in a link. It is read for ever, and written no more.
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
use crate::order::{Curve, Placement, Swap, Wording};
use crate::quote::{Item, Quote, QuotedLine, QuotedPerson, QuotedSize, Terms};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;
use serde::Deserialize;

/// The largest contents after decompression, in bytes: some ten thousand names.
const LARGEST: usize = 1_000_000;

/// Shop, contact, title, date, currency, tax rate, items, swaps.
#[derive(Deserialize)]
struct Fields(String, String, String, String, Currency, Percent, Vec<ItemFields>, Vec<Swap>);

/// Garment, lines, sizes, people.
#[derive(Deserialize)]
struct ItemFields(String, Vec<LineFields>, Vec<(String, u32, Cents)>, Vec<(String, String, String, u16)>);

/// Placement, text, letter height, finish, colour.
#[derive(Deserialize)]
struct LineFields(Placement, Wording, Length, String, String);

/// The quote of a code, from the length on.
///
/// # Errors
/// Says what happened to the code on its way.
pub fn decode(rest: &str) -> Result<Quote, LinkError> {
    let contents = super::seal::whole(rest)?;
    let bytes = URL_SAFE_NO_PAD.decode(contents).map_err(|_| LinkError::Damaged)?;
    let json = decompress_to_vec_zlib_with_limit(&bytes, LARGEST).map_err(|error| match error.status {
        miniz_oxide::inflate::TINFLStatus::HasMoreOutput => LinkError::TooLong,
        _ => LinkError::Damaged,
    })?;
    let fields: Fields = serde_json::from_slice(&json).map_err(|_| LinkError::Damaged)?;
    Ok(Quote::from(fields))
}

impl From<Fields> for Quote {
    fn from(Fields(shop, contact, title, date, currency, tax_rate, items, swaps): Fields) -> Self {
        let items = items.into_iter().map(Item::from).collect();
        Self {
            shop,
            contact,
            number: String::new(),
            title,
            date,
            currency,
            tax_rate,
            items,
            swaps,
            terms: Terms::default(),
            others: Vec::new(),
        }
    }
}

impl From<ItemFields> for Item {
    fn from(ItemFields(garment, lines, sizes, people): ItemFields) -> Self {
        let line = |LineFields(placement, text, height, finish, colour)| QuotedLine {
            curve: Curve::Straight,
            closest: None,
            width: None,
            placement,
            text,
            height,
            finish,
            colour,
            screen: None,
        };
        let size = |(size, count, price)| QuotedSize { size, count, price };
        let person = |(name, number, size, quantity)| QuotedPerson { name, number, size, quantity };
        Self {
            garment,
            look: None,
            lines: lines.into_iter().map(line).collect(),
            sizes: sizes.into_iter().map(size).collect(),
            people: people.into_iter().map(person).collect(),
        }
    }
}
