//! Links: quotes that come back whole or not at all, and readable parameters.
#![allow(clippy::unwrap_used, clippy::panic)]

mod begun;
mod laws;
mod quoted;
mod refused;

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use lettertally::length::Length;
use lettertally::lists::settings::OtherQuantities;
use lettertally::lists::{Caps, Lists, Rgb, demo};
use lettertally::money::{Cents, Currency, Percent};
use lettertally::order::{Bend, Curve, Order, OrderId, Placement, Swap, Wording};
use lettertally::plan::{Shop, plan};
use lettertally::quote::look::Look;
use lettertally::quote::{Item, OtherQuantity, Quote, QuotedLine, QuotedPerson, QuotedSize, Terms, quote};
use lettertally::share::acceptance::Acceptance;
use lettertally::share::dense::{Kind, LARGEST, Packer, Unpacker};
use lettertally::share::start::Start;
use lettertally::share::{LONGEST_LINK, Link, LinkError, is_for_customer, quote_fragment, read};
use miniz_oxide::deflate::compress_to_vec_zlib;
use proptest::prelude::*;
use serde_json::{Value, json};

/// base64: RFC 4648, section 10, written without padding; the last two need the safe alphabet of
/// section 5 (values recomputed).
const BASE64: [(&[u8], &str); 8] = [
    (b"f", "Zg"),
    (b"fo", "Zm8"),
    (b"foo", "Zm9v"),
    (b"foob", "Zm9vYg"),
    (b"fooba", "Zm9vYmE"),
    (b"foobar", "Zm9vYmFy"),
    (b"\xfb\xff\xfe", "-__-"),
    (b"\x14\xfb\x9c\x03\xd9\x7e", "FPucA9l-"),
];

/// A text as it stands in a link, percent-encoded by RFC 3986 (from memory, values recomputed).
/// A plus sign for a space is the older form encoding, which link makers use too.
const ENCODED: [(&str, &str); 7] = [
    ("O%27BRIEN%20%26%20SON%2F%E2%84%96%207%20%2B", "O'BRIEN & SON/№ 7 +"),
    ("O'BRIEN%20%26%20SON%2F%E2%84%96%207%20%2B", "O'BRIEN & SON/№ 7 +"),
    ("A-Za-z0-9-._~", "A-Za-z0-9-._~"),
    ("GO+TEAM", "GO TEAM"),
    ("100%", "100%"),
    ("%zz", "%zz"),
    ("na%C3%AFve", "naïve"),
];

/// A link for a new order, the parameter that its refusal names, and a word of the reason.
const REFUSED: [(&str, &str, &str); 18] = [
    ("text=A&qty=", "qty", "type a number"),
    ("text=A&qty=0", "qty", "1 or more"),
    ("text=A&qty=-3", "qty", "not below 0"),
    ("text=A&qty=1.5", "qty", "whole number"),
    ("text=A&qty=many", "qty", "“many” is not a number"),
    ("text=A&qty=99999999999999999999999999", "qty", "9999"),
    ("text=A&height=tall", "height", "“tall”"),
    ("text=A&height=0", "height", "above 0"),
    ("text=A&height=1e9", "height", "“1e9”"),
    ("text=A&height=3", "height", "use 2 in, 4 in"),
    ("text=A&at=hat", "at", "upper-back"),
    ("text=A&finish=chrome", "finish", "glitter film"),
    ("text=A&colour=puce", "colour", "navy"),
    ("text=A&color=puce", "colour", "navy"),
    ("text=A&style=gothic", "style", "block"),
    ("text=A&blank=cape", "blank", "club tee"),
    ("text=A&size=17", "size", "2XL"),
    ("finish=", "finish", "smooth film"),
];

/// Links that are none of ours, and what is said about them.
const FOREIGN: [&str; 5] = ["top", "utm_source=x", "=", "quot=1.3.abc", "%00"];

/// A quote code that nobody made, and whether a newer page might have.
const NOT_CODES: [(&str, bool); 15] = [
    ("", false),
    (".", false),
    ("1", false),
    ("1.", false),
    ("1.0.", false),
    ("1.-4.AAAA", false),
    ("1.four.AAAA", false),
    ("1.99999999999999999999.AAAA", false),
    ("x.4.AAAA", false),
    ("-2.4.AAAA", false),
    ("2.4.AAAA", false),
    ("2.8.AAAAAAAA", false),
    ("0.4.AAAA", false),
    ("3.4.AAAA", true),
    ("65535.4.AAAA", true),
];

fn demo_shop() -> Shop {
    Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() }
}

fn quote_of(order: &lettertally::order::Order) -> Quote {
    let shop = demo_shop();
    quote(order, &shop, &plan(order, &shop)).unwrap()
}

fn demo_quote() -> Quote {
    quote_of(&demo::order("2026-01-01"))
}

fn opened(fragment: &str) -> Result<Quote, LinkError> {
    match read(fragment) {
        Ok(Some(Link::Quote(quote))) => Ok(*quote),
        Err(error) => Err(error),
        other => panic!("no quote and no error: {other:?}"),
    }
}

fn start(fragment: &str) -> Result<Start, LinkError> {
    match read(fragment)? {
        Some(Link::Start(start)) => Ok(*start),
        other => panic!("not a new order: {other:?}"),
    }
}

/// Every text of a quote's link, in order, with a word for its kind: what is not asked for here is
/// not there, as the packed bytes end with the last one.
fn texts(fragment: &str, kinds: &[Kind]) -> Vec<String> {
    let code = fragment.strip_prefix("#quote=2.").unwrap();
    let (length, rest) = code.split_once('.').unwrap();
    let contents = rest.split('&').next().unwrap();
    assert_eq!(length.parse(), Ok(contents.len()));
    let packed = URL_SAFE_NO_PAD.decode(contents).unwrap();
    let mut unpacker = Unpacker::new(&packed[4..]);
    let texts: Vec<String> = kinds.iter().map(|kind| unpacker.text(*kind).unwrap()).collect();
    let mut again = Packer::default();
    texts.iter().zip(kinds).for_each(|(text, kind)| again.text(*kind, text));
    assert_eq!(again.finish(), packed[4..], "there is more in the link than these texts");
    texts
}

/// The fields of a quote as version 1 sent them.
fn fields_of_version_1() -> Value {
    json!([
        "Lantern Pier Lettering (demo)", "hello@lanternpier.example", "Marsh Otters (demo)", "2026-01-01",
        {"code": "USD", "digits": 2}, "7",
        [["club tee, navy",
            [["across_chest", "OTTERS", "2in", "glitter film", "gold"]],
            [["S", 1, 2395], ["M", 2, 2395]],
            [["Okonjo", "1", "S", 1], ["O'Dell", "7", "M", 2]]]],
        [{"from": "É", "to": "E"}]
    ])
}

/// A link that carries these fields.
fn link_of(fields: &Value) -> String {
    link_of_bytes(&serde_json::to_vec(fields).unwrap())
}

fn link_of_bytes(json: &[u8]) -> String {
    let contents = URL_SAFE_NO_PAD.encode(compress_to_vec_zlib(json, 9));
    format!("#quote=1.{}.{contents}", contents.len())
}
