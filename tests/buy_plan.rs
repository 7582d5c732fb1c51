//! The buy mix as a shop meets it: several suppliers, breaks, freight, minimums, limits in stock,
//! and the explanation of the choice. Every expected figure is reckoned by hand beside its case.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::buy::explain::{Explainer, Threshold};
use lettertally::buy::{self, Mix, Need, Trouble, paper};
use lettertally::glyph::{GlyphCounts, GlyphSet};
use lettertally::lists::{
    Break, CountOver, Family, FreightStep, Lists, Offer, OfferId, Supplier, SupplierId, Way, demo,
};
use lettertally::money::{Cents, Currency};
use proptest::prelude::*;

struct Market {
    lists: Lists,
}

impl Market {
    fn new() -> Self {
        Self { lists: Lists { suppliers: vec![], offers: vec![], ..demo::lists() } }
    }

    fn supplier(mut self, id: &str, freight: &[(i64, i64)], minimum: i64) -> Self {
        let step =
            |&(from, cost): &(i64, i64)| FreightStep { from: Cents::new(from), cost: Cents::new(cost) };
        self.lists.suppliers.push(Supplier {
            id: SupplierId::new(id),
            name: id.to_uppercase(),
            freight: freight.iter().map(step).collect(),
            minimum: Cents::new(minimum),
            days: None,
            date: String::new(),
            note: String::new(),
        });
        self
    }

    /// A pack of so many letters in white and navy (a piece if one), with breaks.
    fn sells(mut self, supplier: &str, id: &str, of: u32, price: i64, breaks: &[(u32, i64)]) -> Self {
        let glyphs = GlyphSet::parse("A-Z 0-9");
        let template = demo::lists().offers.remove(0);
        let one = |&(from, price): &(u32, i64)| Break { from, price: Cents::new(price) };
        self.lists.offers.push(Offer {
            id: OfferId::new(id),
            supplier: SupplierId::new(supplier),
            way: if of == 1 { Way::Piece { glyphs } } else { Way::Pack { of, glyphs } },
            price: Cents::new(price),
            breaks: breaks.iter().map(one).collect(),
            ..template
        });
        self
    }

    fn last(&mut self) -> &mut Offer {
        self.lists.offers.last_mut().unwrap()
    }

    fn family(&self, colour: usize) -> Family {
        self.lists.families().remove(colour)
    }

    fn need(&self, text: &str) -> Vec<Need> {
        vec![Need { family: self.family(0), counts: GlyphCounts::parse(text).unwrap() }]
    }

    fn mix(&self, text: &str) -> Mix {
        let mix = buy::solve(&self.need(text), &self.lists);
        assert!(mix.trouble.is_some() || mix.is_proved());
        mix
    }
}

#[test]
fn a_break_is_reached_on_purpose_where_that_pays() {
    let market = Market::new().supplier("a", &[], 0).sells("a", "piece", 1, 100, &[(10, 70)]);
    // Eight at 1.00 are 8.00; ten at 0.70 are 7.00, with two left over.
    let mix = market.mix("A:5 B:3");
    assert_eq!(mix.cost().minor(), 700);
    assert_eq!(mix.families[0].left_over.total(), 2);
    assert_eq!(mix.orders[0].entries[0].price.minor(), 70);
    // Six at 1.00 are 6.00, less than ten at 0.70.
    assert_eq!(market.mix("A:5 B:1").cost().minor(), 600);
}

#[test]
fn breaks_count_over_colours_only_where_the_list_says_so() {
    let mut market = Market::new().supplier("a", &[], 0).sells("a", "piece", 1, 100, &[(10, 70)]);
    let need = |colour: usize, market: &Market| Need {
        family: market.family(colour),
        counts: GlyphCounts::parse("A:5").unwrap(),
    };
    let needs = [need(0, &market), need(1, &market)];
    assert_eq!(buy::solve(&needs, &market.lists).cost().minor(), 1000);
    market.last().count_over = CountOver::Offer;
    let mix = buy::solve(&needs, &market.lists);
    assert_eq!(mix.cost().minor(), 700);
    assert!(mix.orders[0].entries.iter().all(|entry| entry.price.minor() == 70));
}

#[test]
fn freight_thresholds_and_losing_them_again_are_weighed() {
    // From 10.00 on freight is free. Nine letters at 1.00 and 5.00 freight are 14.00; a tenth
    // letter makes 10.00 in all.
    let market = Market::new().supplier("a", &[(0, 500), (1000, 0)], 0).sells("a", "piece", 1, 100, &[]);
    assert_eq!(market.mix("A:9").cost().minor(), 1000);
    // With a break at ten that lowers the price to 0.95, ten letters are 9.50 and lose the free
    // freight; eleven are 10.45 and keep it.
    let market =
        Market::new().supplier("a", &[(0, 500), (1000, 0)], 0).sells("a", "piece", 1, 100, &[(10, 95)]);
    let mix = market.mix("A:9");
    assert_eq!((mix.cost().minor(), mix.freight().minor()), (1045, 0));
}

#[test]
fn two_suppliers_are_worth_it_only_beyond_their_freight() {
    let market = Market::new()
        .supplier("near", &[(0, 300)], 0)
        .supplier("far", &[(0, 400)], 0)
        .sells("near", "near-piece", 1, 100, &[])
        .sells("far", "far-pack", 5, 300, &[]);
    // Twelve letters: near alone 12 + 3 = 15.00; far alone 3 packs + 4 = 13.00; far for ten and
    // near for two 6 + 4 + 2 + 3 = 15.00.
    let mix = market.mix("A:12");
    assert_eq!(mix.cost().minor(), 1300);
    assert_eq!(mix.orders.len(), 1);
    assert_eq!(mix.orders[0].supplier.as_str(), "far");
    assert_eq!((mix.orders[0].subtotal.minor(), mix.orders[0].freight.minor()), (900, 400));
    assert_eq!(mix.families[0].cost, mix.cost());
}

#[test]
fn an_order_minimum_is_met_or_another_supplier_taken() {
    let market = Market::new()
        .supplier("strict", &[], 1000)
        .supplier("easy", &[], 0)
        .sells("strict", "cheap", 1, 90, &[])
        .sells("easy", "dear", 1, 150, &[]);
    // Five letters: 7.50 at easy; strict would need 12 letters, 10.80.
    assert_eq!(market.mix("A:5").cost().minor(), 750);
    // Eight: 12.00 at easy, so twelve at strict for 10.80.
    assert_eq!(market.mix("A:8").cost().minor(), 1080);
}

#[test]
fn what_a_supplier_does_not_have_is_bought_elsewhere_or_named() {
    let mut market = Market::new().supplier("a", &[], 0).sells("a", "few", 1, 50, &[]);
    market.last().at_most = Some(3);
    let mix = market.mix("A:5");
    assert_eq!(mix.trouble, Some(Trouble::Stock(vec![market.family(0)])));
    assert!(mix.is_empty());
    let market = Market { ..market }.sells("a", "dear", 1, 120, &[]);
    assert_eq!(market.mix("A:5").cost().minor(), 3 * 50 + 2 * 120);
}

#[test]
fn a_minimum_that_nothing_reaches_is_named() {
    let mut market = Market::new().supplier("a", &[], 5_000).sells("a", "piece", 1, 50, &[]);
    market.last().at_most = Some(10);
    let mix = market.mix("A:5");
    assert_eq!(mix.trouble, Some(Trouble::Minimum(vec![SupplierId::new("a")])));
    let words = mix.trouble.unwrap().words(&market.lists);
    assert!(words.starts_with("the order minimum of A cannot be reached"), "{words}");
}

#[test]
fn figures_beyond_reckoning_are_refused_not_wrapped() {
    let market = Market::new().supplier("a", &[], 0).sells("a", "piece", 1, 1_000_000_000, &[]);
    let needs = [Need { family: market.family(0), counts: GlyphCounts::parse("A:9999 B:9999").unwrap() }];
    let mix = buy::solve(&needs, &market.lists);
    assert!(matches!(mix.trouble, Some(Trouble::TooLarge(_))), "{:?}", mix.trouble);
    assert!(mix.is_empty());
}

#[test]
fn pooling_orders_reaches_breaks_that_each_alone_does_not() {
    let market = Market::new().supplier("a", &[], 0).sells("a", "piece", 1, 100, &[(10, 70)]);
    let apart = market.mix("A:5").cost() + market.mix("A:6").cost();
    let together = buy::solve(&buy::pooled([market.need("A:5"), market.need("A:6")].concat()), &market.lists);
    assert_eq!((apart.minor(), together.cost().minor()), (1100, 770));
}

#[test]
fn the_explanation_says_what_each_other_way_would_cost() {
    let market = Market::new()
        .supplier("a", &[(0, 500), (1000, 0)], 0)
        .supplier("b", &[], 0)
        .sells("a", "piece", 1, 100, &[])
        .sells("b", "pack", 5, 520, &[]);
    // Nine letters: ten pieces at a, freight free: 10.00. At b two packs: 10.40.
    let (needs, mix) = (market.need("A:9"), market.mix("A:9"));
    assert_eq!(mix.cost().minor(), 1000);
    let found = Explainer::new(&mix, &needs, &market.need("A:10"), &market.lists).finish();
    assert!(found.families.is_empty());
    let found = found.whole;
    assert_eq!(found.pieces.map(Cents::minor), Some(1000));
    assert_eq!(found.packs.map(Cents::minor), Some(1040));
    assert_eq!(found.sets, None);
    let one: Vec<_> =
        found.one_supplier.iter().map(|(id, cost)| (id.as_str(), cost.map(Cents::minor))).collect();
    assert_eq!(one, [("a", Some(1000)), ("b", Some(1040))]);
    // Nine pieces and freight are 14.00; five and a pack 5 + 5 + 5.20: so two packs at b, 10.40.
    let next = found.next_best.unwrap();
    assert_eq!(next.cost.minor(), 1040);
    let changes: Vec<_> = next.changes.iter().map(|c| (c.offer.as_str(), c.from, c.to)).collect();
    assert_eq!(changes, [("piece", 10, 0), ("pack", 0, 2)]);
    // Without the step at 10.00, nine pieces and freight are 14.00, so b's packs at 10.40 win.
    let step = Threshold::Freight { supplier: SupplierId::new("a"), from: Cents::new(1000) };
    assert_eq!(found.reached, [(step, Cents::new(40))]);
    // The tenth letter is there already.
    assert_eq!(found.one_more, Some(Cents::ZERO));
}

#[test]
fn each_supplier_gets_its_own_paper() {
    let market = Market::new()
        .supplier("a", &[], 0)
        .supplier("b", &[(0, 100)], 0)
        .sells("a", "piece", 1, 100, &[])
        .sells("b", "pack", 5, 200, &[]);
    let mix = market.mix("A:6");
    // One pack at b with freight, 3.00, and one piece at a, 1.00; two packs would be 5.00.
    assert_eq!(mix.cost().minor(), 400);
    let texts: Vec<String> =
        mix.orders.iter().map(|order| paper::as_text(order, &market.lists, &Currency::usd())).collect();
    assert!(texts[0].starts_with("A\n") && texts[0].ends_with("Total $1.00\n"), "{texts:?}");
    assert!(texts[1].contains("Freight $1.00") && texts[1].ends_with("Total $3.00\n"), "{texts:?}");
}

#[test]
fn the_explanation_of_a_family_changes_that_family_only() {
    let market = Market::new()
        .supplier("a", &[(0, 500), (1200, 0)], 0)
        .sells("a", "piece", 1, 100, &[(6, 90)])
        .sells("a", "pack", 5, 400, &[]);
    let needs = [
        Need { family: market.family(0), counts: GlyphCounts::parse("A:5 B:2").unwrap() },
        Need { family: market.family(1), counts: GlyphCounts::parse("C:6").unwrap() },
    ];
    let mix = buy::solve(&needs, &market.lists);
    // White: a pack of A and two B are 6.00; seven pieces at 0.90 are 6.30. Navy: a pack and a
    // piece are 5.00; six pieces 5.40; two packs 8.00. With 5.00 freight 16.00 at the least, so
    // 12.00 of merchandise, freight free, is the best: a B too many makes white 7.00.
    assert_eq!((mix.cost().minor(), mix.freight().minor()), (1200, 0));
    let found = Explainer::new(&mix, &needs, &needs, &market.lists).finish();
    let [white, navy] = &found.families[..] else { panic!("{found:?}") };
    assert_eq!((&white.family, &navy.family), (&market.family(0), &market.family(1)));
    // Alone: white 6.00 and freight 5.00; navy 5.00 and 5.00.
    assert_eq!((white.alone, navy.alone), (Some(Cents::new(1100)), Some(Cents::new(1000))));
    // White in pieces only, 6.30, leaves 5.70 of navy to be bought: 6.00 for a pack and two pieces,
    // so 12.30; eight pieces in white, 7.20, and 5.00 are 12.20. Navy in pieces only: six are 5.40,
    // which with 7.00 of white are 12.40; seven, 6.30, and 6.00 are 12.30.
    assert_eq!(white.reasons.pieces, Some(Cents::new(1220)));
    assert_eq!(navy.reasons.pieces, Some(Cents::new(1230)));
    // White in packs only: two packs, 8.00, and navy 5.00. Navy so: 8.00 and white 6.00.
    assert_eq!(white.reasons.packs, Some(Cents::new(1300)));
    assert_eq!(navy.reasons.packs, Some(Cents::new(1400)));
    assert_eq!(white.reasons.sets, None);
    // Both in packs only: four of them.
    assert_eq!(found.whole.packs, Some(Cents::new(1600)));
    // No garment more, no cost more.
    assert_eq!((found.whole.one_more, navy.reasons.one_more), (Some(Cents::ZERO), Some(Cents::ZERO)));
}

#[test]
fn a_break_of_one_family_is_weighed_without_the_other_losing_it() {
    let market = Market::new().supplier("a", &[], 0).sells("a", "piece", 1, 100, &[(10, 70)]);
    let need =
        |colour, text| Need { family: market.family(colour), counts: GlyphCounts::parse(text).unwrap() };
    let needs = [need(0, "A:9"), need(1, "A:12")];
    let mix = buy::solve(&needs, &market.lists);
    // Ten and twelve at 0.70.
    assert_eq!(mix.cost().minor(), 1540);
    let found = Explainer::new(&mix, &needs, &needs, &market.lists).finish();
    let saved = |reached: &[(Threshold, Cents)]| reached.iter().map(|(_, saved)| saved.minor()).sum::<i64>();
    // Without the break white costs 9.00 instead of 7.00, navy 12.00 instead of 8.40.
    assert_eq!(saved(&found.whole.reached), 560);
    assert_eq!(saved(&found.families[0].reasons.reached), 200);
    assert_eq!(saved(&found.families[1].reasons.reached), 360);
    // One piece fewer in white loses its break: nine at 1.00. In navy eleven at 0.70 do not do.
    assert_eq!(found.whole.next_best.map(|next| next.cost.minor()), Some(1740));
}

proptest! {
    /// Against every mix of up to fourteen pieces and three packs of each of two glyphs.
    #[test]
    fn the_next_best_is_the_cheapest_that_does_not_just_buy_more(
        need in prop::array::uniform2(1_u32..6), pack in 150_i64..400, cheaper in 60_i64..100, from in 3_u32..9,
        free_from in 300_i64..1_200,
    ) {
        let market = Market::new()
            .supplier("a", &[(0, 250), (free_from, 0)], 0)
            .sells("a", "piece", 1, 100, &[(from, cheaper)])
            .sells("a", "pack", 4, pack, &[]);
        let text = format!("A:{} B:{}", need[0], need[1]);
        let mix = market.mix(&text);
        let units = |offer: &str, glyph: &str| {
            let mut entries = mix.orders[0].entries.iter();
            let is_meant = |entry: &&buy::Entry| {
                entry.offer.as_str() == offer && entry.glyph.as_ref().is_some_and(|g| g.as_str() == glyph)
            };
            entries.find(is_meant).map_or(0, |entry| entry.units)
        };
        let this = [units("piece", "A"), units("piece", "B"), units("pack", "A"), units("pack", "B")];
        let cost = |[a, b, pack_a, pack_b]: [u32; 4]| {
            let each = if a + b >= from { cheaper } else { 100 };
            let goods = i64::from(a + b) * each + i64::from(pack_a + pack_b) * pack;
            goods + if goods >= free_from { 0 } else { 250 }
        };
        prop_assert_eq!(cost(this), mix.cost().minor());
        let mut best = i64::MAX;
        for n in 0..15 * 15 * 4 * 4 {
            let other = [n % 15, n / 15 % 15, n / 225 % 4, n / 900];
            let covers = other[0] + 4 * other[2] >= need[0] && other[1] + 4 * other[3] >= need[1];
            if covers && (0..4).any(|at| other[at] < this[at]) {
                best = best.min(cost(other));
            }
        }
        let needs = market.need(&text);
        let found = Explainer::new(&mix, &needs, &needs, &market.lists).finish();
        prop_assert_eq!(found.whole.next_best.map(|next| next.cost.minor()), Some(best));
    }
}
