//! Letters bought at once: for the shelf beside an order, and for several orders together. Every
//! expected figure is reckoned by hand beside its case; prices are those of the demo list.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::buy;
use lettertally::cost::{Basket, OneByOne};
use lettertally::glyph::GlyphCounts;
use lettertally::lists::settings::LetterCharge;
use lettertally::lists::{Family, Settings, demo};
use lettertally::order::{CountBy, Order, SizeCount, Wording};
use lettertally::plan::{self, Shop, plan};
use lettertally::shelf::Shelf;
use lettertally::tally::Tally;
use proptest::prelude::*;

fn counts(text: &str) -> GlyphCounts {
    GlyphCounts::parse(text).unwrap()
}

/// One shirt with these words in 2 in smooth film, white.
fn shirt(words: &str) -> Order {
    let mut order = demo::order("2026-01-01");
    let design = &mut order.designs[0];
    design.lines.remove(0);
    design.lines.truncate(1);
    design.lines[0].text = Wording::new(words);
    design.count_by = CountBy::Sizes;
    design.sizes = vec![SizeCount { size: "M".into(), count: 1 }];
    order
}

fn white() -> Family {
    shirt("A").designs[0].lines[0].family()
}

/// A piece at 0.55 and a pack of five at 2.15; no freight, no spoilage.
fn shop() -> Shop {
    let mut lists = demo::lists();
    lists.offers.retain(|offer| ["smooth-2-piece", "smooth-2-pack"].contains(&offer.id.as_str()));
    lists.suppliers.iter_mut().for_each(|supplier| supplier.freight.clear());
    lists.offers.iter_mut().for_each(|offer| offer.breaks.clear());
    Shop { lists, settings: Settings::default(), ..Shop::default() }
}

fn basket(words: &[&str], shop: &Shop, restock: bool) -> Basket {
    let tallies = words.iter().map(|words| plan::letters(&shirt(words), shop).tally).collect();
    Basket { tallies, restock }
}

fn need(basket: &Basket, shop: &Shop) -> String {
    basket.needs(&shop.shelf).iter().map(|need| need.counts.to_string()).collect::<Vec<_>>().join(" | ")
}

#[test]
fn the_shelf_is_filled_to_what_is_wanted_after_the_order() {
    let mut shop = shop();
    shop.shelf.replace(&white(), counts("A:5 B:1 C:9"));
    shop.shelf.want(&white(), counts("A:3 E:4 C:2"));
    // AABBE takes 2, 2, 1. Of A 3 are left, as wanted; of B one is missing; E must be 4 and one.
    assert_eq!(need(&basket(&["AABBE"], &shop, true), &shop), "B:1 E:5");
    assert_eq!(need(&basket(&["AABBE"], &shop, false), &shop), "B:1 E:1");
    let for_shelf = basket(&["AABBE"], &shop, true).for_shelf(&shop.shelf);
    assert_eq!(for_shelf[0].counts.to_string(), "E:4");
    // A family that no order takes is filled as well.
    assert_eq!(need(&basket(&[], &shop, true), &shop), "E:4");
}

#[test]
fn no_order_pays_for_what_is_wanted_on_the_shelf() {
    let mut shop = shop();
    let before = plan(&shirt("AA"), &shop);
    shop.shelf.want(&white(), counts("A:3"));
    assert_eq!(plan(&shirt("AA"), &shop), before);
    // Two A for the shirt are 1.10. Five with those for the shelf are a pack at 2.15: of it two
    // fifths, 0.86, go on the shirt, and 1.29 stay.
    let basket = basket(&["AA"], &shop, true);
    let mix = buy::solve(&basket.needs(&shop.shelf), &shop.lists);
    assert_eq!((before.mix.cost().minor(), mix.cost().minor()), (110, 215));
    assert_eq!(basket.kept(&mix, &shop.shelf, &shop.settings).minor(), 129);
    let settings = Settings { charge: LetterCharge::Everything, ..shop.settings.clone() };
    assert_eq!(basket.kept(&mix, &shop.shelf, &settings).minor(), 129);
}

#[test]
fn leftover_letters_are_borne_by_the_run_only_where_the_shop_says_so() {
    let mut shop = shop();
    shop.shelf.want(&white(), counts("E:1"));
    // Four A and an E for the shelf: a pack of A at 2.15, one left over, and a piece at 0.55.
    // A letter is 0.45 on average: four are 1.80 and 0.90 stay; or, if the run bears the fifth A,
    // only the E.
    let basket = basket(&["AAAA"], &shop, true);
    let mix = buy::solve(&basket.needs(&shop.shelf), &shop.lists);
    assert_eq!(mix.cost().minor(), 270);
    assert_eq!(basket.kept(&mix, &shop.shelf, &shop.settings).minor(), 90);
    let settings = Settings { charge: LetterCharge::Everything, ..shop.settings.clone() };
    assert_eq!(basket.kept(&mix, &shop.shelf, &settings).minor(), 45);
}

#[test]
fn a_letter_from_the_shelf_bears_nothing_of_what_is_bought_beside_it() {
    let mut shop = shop();
    shop.shelf.replace(&white(), counts("A:1"));
    // Five A, one of them from the shelf: four are bought as a pack at 2.15, 0.43 a letter, and
    // the fifth of the pack stays.
    let basket = basket(&["AAAAA"], &shop, false);
    let mix = buy::solve(&basket.needs(&shop.shelf), &shop.lists);
    assert_eq!(mix.cost().minor(), 215);
    assert_eq!(basket.kept(&mix, &shop.shelf, &shop.settings).minor(), 43);
}

#[test]
fn several_orders_share_the_shelf_once() {
    let mut shop = shop();
    shop.shelf.replace(&white(), counts("A:3"));
    // Two and two are four, of which three lie there.
    assert_eq!(need(&basket(&["AA", "AAB"], &shop, false), &shop), "A:1 B:1");
}

#[test]
fn buying_order_by_order_finds_what_the_order_before_left() {
    let shop = shop();
    let apart = |words: &[&str]| OneByOne::new(&basket(words, &shop, false), &shop.shelf, &shop.lists);
    // Four A: a pack, one left. Three A: two pieces beside it, 1.10. Together seven: a pack and
    // two pieces, 3.25 as well.
    assert_eq!(apart(&["AAAA", "AAA"]).finish().unwrap().minor(), 325);
    // As they are bought, what they cost until then is known.
    let mut one_by_one = apart(&["AAAA", "AAA"]);
    one_by_one.step();
    assert_eq!(one_by_one.cost().map(|cost| cost.minor()), Some(215));
    // Three A are 1.65 and two more 1.10; together a pack, 2.15, saves 0.60.
    assert_eq!(apart(&["AAA", "AA"]).finish().unwrap().minor(), 275);
    let together = basket(&["AAA", "AA"], &shop, false);
    assert_eq!(buy::solve(&together.needs(&shop.shelf), &shop.lists).cost().minor(), 215);
}

#[test]
fn the_shelf_is_filled_once_however_the_orders_are_bought() {
    let mut shop = shop();
    shop.shelf.want(&white(), counts("A:1"));
    // One by one: AA and one for the shelf, three pieces; then BB, and the shelf is full.
    let apart = OneByOne::new(&basket(&["AA", "BB"], &shop, true), &shop.shelf, &shop.lists).finish();
    assert_eq!(apart.unwrap().minor(), 5 * 55);
}

proptest! {
    #[test]
    fn a_basket_of_one_order_needs_what_the_order_needs(words in "[A-E]{1,9}", on_shelf in 0_u32..5) {
        let mut shop = shop();
        shop.shelf.replace(&white(), counts(&format!("A:{on_shelf} B:1")));
        let letters = plan::letters(&shirt(&words), &shop);
        let basket = Basket { tallies: vec![letters.tally], restock: false };
        prop_assert_eq!(basket.needs(&shop.shelf), letters.needs);
    }

    #[test]
    fn after_all_is_made_the_shelf_holds_what_is_wanted(
        first in "[A-D]{0,6}", second in "[A-D]{0,6}", have in prop::array::uniform3(0_u32..6), wanted in prop::array::uniform3(0_u32..6),
    ) {
        let mut shop = shop();
        let of = |n: [u32; 3]| counts(&format!("A:{} B:{} C:{}", n[0], n[1], n[2]));
        shop.shelf.replace(&white(), of(have));
        shop.shelf.want(&white(), of(wanted));
        let basket = basket(&[&first, &second], &shop, true);
        let mut there = shop.shelf.of(&white());
        basket.needs(&shop.shelf).iter().for_each(|need| there.add_all(&need.counts, 1));
        let taken = |tally: &Tally| tally.families.iter().map(|family| family.need()).collect::<Vec<_>>();
        for counts in basket.tallies.iter().flat_map(taken) {
            prop_assert_eq!(counts.less(&there).total(), 0);
            there = there.less(&counts);
        }
        prop_assert!(of(wanted).less(&there).is_empty());
    }
}

#[test]
fn nothing_changes_in_a_kept_shelf_without_wanted_letters() {
    let old = r#"{"letters":[{"family":{"finish":"smooth","height":"2in","colour":"white","style":"block"},"counts":{"A":3}}],"blanks":[]}"#;
    let shelf: Shelf = serde_json::from_str(old).unwrap();
    assert_eq!(shelf.of(&white()).to_string(), "A:3");
    assert_eq!(serde_json::to_string(&shelf).unwrap(), old);
}

#[test]
fn each_line_of_the_list_says_what_of_it_is_for_the_shelf() {
    let mut shop = shop();
    shop.shelf.want(&white(), counts("A:6 B:1"));
    let basket = basket(&["AAE"], &shop, true);
    // A 2 and 6, E 1, B 1: of A a pack of five and three pieces, of E and B a piece each.
    let mix = buy::solve(&basket.needs(&shop.shelf), &shop.lists);
    let lines = basket.lines(&mix, &shop.shelf, &shop.lists);
    let of = |offer: &str, glyph: &str| {
        let entries = mix.orders[0].entries.iter().zip(&lines[0]);
        let is_it = |entry: &buy::Entry| {
            entry.offer.as_str() == offer && entry.glyph.as_ref().is_some_and(|g| g.as_str() == glyph)
        };
        let (_, line) = entries.into_iter().find(|(entry, _)| is_it(entry)).unwrap();
        (line.letters, line.for_shelf)
    };
    assert_eq!(of("smooth-2-piece", "A").0 + of("smooth-2-pack", "A").0, 8);
    assert_eq!(of("smooth-2-piece", "A").1 + of("smooth-2-pack", "A").1, 6);
    // The orders take theirs first, from the line that comes first.
    assert_eq!(of("smooth-2-piece", "A"), (3, 1));
    assert_eq!((of("smooth-2-piece", "E"), of("smooth-2-piece", "B")), ((1, 0), (1, 1)));
    let without = Basket { restock: false, ..basket };
    let mix = buy::solve(&without.needs(&shop.shelf), &shop.lists);
    let lines = without.lines(&mix, &shop.shelf, &shop.lists);
    assert!(lines.iter().flatten().all(|line| line.for_shelf == 0), "{lines:?}");
}
