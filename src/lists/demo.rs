//! An invented shop to start from: every name, price and figure in it is made up.
//!
//! Lantern Pier Lettering does not exist, nor do its suppliers Quillfeather Letters and Tansywick
//! Alphabets, nor the team Marsh Otters. Garment measurements are plain assumptions. The pressing recipes are
//! common practice, no source: the letter supplier's own sheet rules.

use super::recipe::{Again, Heat};
use super::settings::{Aim, CardFee, LetterCharge, PricePoint, Spares};
use super::{
    Blank, BlankId, BlankSize, Break, Colour, ColourId, CountOver, Finish, FinishId, FreightStep,
    LetterStyle, Lists, Offer, OfferId, Peel, Recipe, Rgb, Settings, StyleId, Supplier, SupplierId, Way,
};
use crate::glyph::{Glyph, GlyphCounts, GlyphSet};
use crate::length::Length;
use crate::money::{Cents, Money, Percent};
use crate::order::{CountBy, Curve, Design, Line, Order, OrderId, Placement, Wording};

/// By its name the demo shop is known, see [`is_still`].
const SHOP_NAME: &str = "Lantern Pier Lettering (demo)";

/// The glyphs that the demo supplier sells.
const SOLD: &str = "A-Z 0-9 & . - ' ! #";

/// The demo shop's lists.
pub fn lists() -> Lists {
    Lists {
        suppliers: suppliers(),
        finishes: finishes(),
        styles: vec![LetterStyle::estimated("block", "block")],
        offers: offers(),
        blanks: blanks(),
    }
}

/// Whether these are still the settings of the demo shop, by its name: the prices that stand beside
/// it are invented then, and no customer should get one.
///
/// ```
/// use lettertally::lists::demo;
///
/// let mut settings = demo::settings();
/// assert!(demo::is_still(&settings));
/// settings.shop_name = "Letters on the Quay".to_owned();
/// assert!(!demo::is_still(&settings));
/// ```
pub fn is_still(settings: &Settings) -> bool {
    settings.shop_name == SHOP_NAME
}

/// The demo shop's settings.
pub fn settings() -> Settings {
    Settings {
        shop_name: SHOP_NAME.to_owned(),
        contact: "hello@lanternpier.example".to_owned(),
        wage_per_hour: Money::of(18),
        press_per_hour: Money::of(3),
        consumables_per_garment: Money::of(15) / 100,
        fixed_per_run: Money::of(12),
        spoilage: Percent::of(2),
        spares: Spares { percent: Percent::ZERO, each: 0 },
        card_fee: CardFee { percent: Percent::of(3), fixed: Money::of(10) / 100 },
        tax: Percent::of(7),
        aim: Aim::Margin(Percent::of(45)),
        price_point: PricePoint::NinetyFive,
        charge: LetterCharge::Used,
        deposit: Percent::of(50),
        lead_time: "about two weeks after your yes and the deposit".to_owned(),
        terms: TERMS.to_owned(),
        ..Settings::default()
    }
}

/// A finished example to change: a team's shirts with name and number on the back.
pub fn order(date: &str) -> Order {
    let line = |placement, text, inches, finish: &str, colour: &str| Line {
        placement,
        text: Wording::new(text),
        height: Length::inches(inches),
        finish: FinishId::new(finish),
        colour: ColourId::new(colour),
        style: StyleId::new("block"),
        curve: Curve::Straight,
        closest: None,
    };
    Order {
        id: OrderId::new("demo"),
        title: "Marsh Otters (demo)".to_owned(),
        date: date.to_owned(),
        designs: vec![Design {
            blank: BlankId::new("club-tee-navy"),
            lines: vec![
                line(Placement::AcrossChest, "OTTERS", 2, "glitter", "gold"),
                line(Placement::UpperBack, "{name}", 2, "smooth", "white"),
                line(Placement::MiddleBack, "{number}", 4, "smooth", "white"),
            ],
            count_by: CountBy::Roster,
            sizes: Vec::new(),
            roster: ROSTER.to_owned(),
        }],
        swaps: Vec::new(),
        aim: None,
    }
}

/// Common practice of small shops, no source; a shop writes its own.
const TERMS: &str = "Names can be changed until the letters are bought, a day after the deposit. We press again, \
                     free of charge, what went wrong with us. Made to order: no returns for a wrong size or spelling. \
                     Wash inside out, cold, and do not iron the letters.";

const ROSTER: &str = "name, number, size
Okonjo, 1, S
Lindqvist, 4, M
O'Dell, 7, M
Marlow, 8, M
Banerjee, 10, L
Castellan, 11, L
Wren, 13, S
Takeda, 15, L
Voss, 17, XL
Hollis, 21, M
Ferreira, 22, XL
Quist, 30, 2XL
";

/// The one has everything; the other has large packs only, and ships little for nothing.
fn suppliers() -> Vec<Supplier> {
    let supplier = |id: &str, name: &str, freight: &[(i64, i64)], minimum, days| Supplier {
        id: SupplierId::new(id),
        name: name.to_owned(),
        freight: freight
            .iter()
            .map(|&(from, cost)| FreightStep { from: Cents::new(from), cost: Cents::new(cost) })
            .collect(),
        minimum: Cents::new(minimum),
        days: Some(days),
        date: String::new(),
        note: String::new(),
    };
    vec![
        supplier("quillfeather", "Quillfeather Letters", &[(0, 690), (6_000, 390), (13_000, 0)], 0, 4),
        supplier("tansywick", "Tansywick Alphabets", &[(0, 450), (4_500, 0)], 1_500, 7),
    ]
}

fn finishes() -> Vec<Finish> {
    let recipe = |fahrenheit, dwell_from, dwell_to, pressure: &str, peel, cover_sheet| Recipe {
        heat: Heat::fahrenheit(fahrenheit),
        dwell_from,
        dwell_to,
        pressure: pressure.to_owned(),
        peel,
        cover_sheet,
        again: Again::AsHot,
    };
    let finish = |id: &str, name: &str, colours: &[(&str, &str)], recipe| Finish {
        id: FinishId::new(id),
        name: name.to_owned(),
        colours: colours.iter().filter_map(|(name, screen)| colour(name, screen)).collect(),
        recipe,
    };
    vec![
        finish(
            "smooth",
            "smooth film",
            &[("white", "#f7f7f2"), ("navy", "#1d2f5a"), ("red", "#b8232f"), ("gold", "#d9a520")],
            recipe(305, 10, 15, "medium", Peel::Hot, false),
        ),
        finish(
            "glitter",
            "glitter film",
            &[("gold", "#c9a227"), ("silver", "#aab2bd"), ("red", "#9e1b32")],
            recipe(320, 10, 15, "medium to firm", Peel::Warm, true),
        ),
        finish(
            "twill",
            "stitched-look twill",
            &[("white", "#f2f0e9"), ("black", "#1b1b1e"), ("red", "#a3202c")],
            recipe(350, 20, 20, "firm", Peel::None, true),
        ),
    ]
}

fn colour(name: &str, screen: &str) -> Option<Colour> {
    Some(Colour { id: ColourId::new(name), name: name.to_owned(), screen: Rgb::parse(screen)? })
}

fn offers() -> Vec<Offer> {
    let offer_of = |supplier: &str, id: &str, finish: &str, inches, colours: &[&str], way, cents| Offer {
        id: OfferId::new(id),
        supplier: SupplierId::new(supplier),
        finish: FinishId::new(finish),
        height: Length::inches(inches),
        colours: colours.iter().map(|colour| ColourId::new(*colour)).collect(),
        styles: vec![StyleId::new("block")],
        way,
        price: Cents::new(cents),
        breaks: Vec::new(),
        count_over: CountOver::Family,
        at_most: None,
    };
    let offer = |id: &str, finish: &str, inches, colours: &[&str], way, cents| {
        offer_of("quillfeather", id, finish, inches, colours, way, cents)
    };
    let more = |id: &str, finish: &str, inches, colours: &[&str], way, cents| {
        offer_of("tansywick", id, finish, inches, colours, way, cents)
    };
    let from =
        |offer: Offer, from, cents| Offer { breaks: vec![Break { from, price: Cents::new(cents) }], ..offer };
    let piece = || Way::Piece { glyphs: GlyphSet::parse(SOLD) };
    let pack = |of| Way::Pack { of, glyphs: GlyphSet::parse(SOLD) };
    let smooth = ["white", "navy", "red", "gold"];
    let glitter = ["gold", "silver", "red"];
    let twill = ["white", "black", "red"];
    vec![
        from(offer("smooth-2-piece", "smooth", 2, &smooth, piece(), 55), 60, 50),
        offer("smooth-2-pack", "smooth", 2, &smooth, pack(5), 215),
        offer("smooth-2-set", "smooth", 2, &smooth[..2], Way::Set { contents: assorted_set() }, 1790),
        offer("smooth-4-piece", "smooth", 4, &smooth, piece(), 95),
        offer("smooth-4-pack", "smooth", 4, &smooth, pack(5), 380),
        offer("glitter-2-piece", "glitter", 2, &glitter, piece(), 85),
        from(offer("glitter-2-pack", "glitter", 2, &glitter, pack(6), 390), 20, 360),
        offer("glitter-4-piece", "glitter", 4, &glitter, piece(), 145),
        offer("glitter-4-pack", "glitter", 4, &glitter, pack(6), 690),
        offer("twill-2-piece", "twill", 2, &twill, piece(), 125),
        offer("twill-4-piece", "twill", 4, &twill, piece(), 210),
        offer("twill-4-pack", "twill", 4, &twill, pack(5), 890),
        more("smooth-2-ten", "smooth", 2, &smooth, pack(10), 395),
        more("glitter-2-four", "glitter", 2, &glitter[..2], pack(4), 245),
        from(more("glitter-2-twelve", "glitter", 2, &glitter[..2], pack(12), 690), 6, 630),
        more("smooth-4-three", "smooth", 4, &smooth, pack(3), 255),
    ]
}

/// 64 letters: two of each, more of the common ones, one of the rare ones.
fn assorted_set() -> GlyphCounts {
    let count = |letter| match letter {
        'A' | 'E' | 'I' | 'O' | 'U' => 4,
        'L' | 'N' | 'R' | 'S' | 'T' => 3,
        'Q' | 'X' | 'Z' => 1,
        _ => 2,
    };
    ('A'..='Z').filter_map(|letter| Some((Glyph::parse(&letter.to_string())?, count(letter)))).collect()
}

fn blanks() -> Vec<Blank> {
    let blank = |id: &str, name: &str, screen: Option<Rgb>, sizes: &[(&str, i64, i32, i32)]| Blank {
        id: BlankId::new(id),
        name: name.to_owned(),
        screen: screen.unwrap_or(Rgb([128; 3])),
        sizes: sizes.iter().map(|&size| blank_size(size)).collect(),
        buttons: None,
    };
    vec![
        blank(
            "club-tee-navy",
            "club tee, navy",
            Rgb::parse("#22304f"),
            &[
                ("S", 420, 18, 28),
                ("M", 420, 20, 29),
                ("L", 420, 22, 30),
                ("XL", 450, 24, 31),
                ("2XL", 590, 26, 32),
            ],
        ),
        blank(
            "pier-hoodie-grey",
            "pier hoodie, grey",
            Rgb::parse("#9aa0a6"),
            &[
                ("S", 1350, 20, 27),
                ("M", 1350, 22, 28),
                ("L", 1350, 24, 29),
                ("XL", 1450, 26, 30),
                ("2XL", 1690, 28, 31),
            ],
        ),
    ]
}

fn blank_size((name, cents, width, length): (&str, i64, i32, i32)) -> BlankSize {
    BlankSize {
        name: name.to_owned(),
        price: Cents::new(cents),
        width: Length::inches(width),
        length: Length::inches(length),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_colour_and_offer_of_the_demo_is_whole() {
        let lists = lists();
        assert_eq!(lists.finishes.iter().map(|finish| finish.colours.len()).sum::<usize>(), 10);
        assert!(lists.offers.iter().all(|offer| offer.fault().is_none()));
        assert_eq!(assorted_set().total(), 64);
    }

    #[test]
    fn the_demo_order_reads_without_a_fault() {
        let readings = order("2026-01-01").read(&lists());
        assert!(readings[0].roster.faults.is_empty());
        assert_eq!(readings[0].garments(), 12);
    }
}
