//! The choice of orders that the shelf can make: against trying everything, against an independent
//! solver, and against published optima.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

use lettertally::book::goods::{Goods, Item};
use lettertally::booth::selection::{Choice, Most, Search, Waiting, choose};
use lettertally::event::names::sample;
use lettertally::glyph::{Glyph, GlyphCounts};
use lettertally::lists::demo;
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection};
use proptest::prelude::*;

fn letter(sign: char) -> Item {
    Item::Letter(demo::lists().families().remove(0), Glyph::parse(&sign.to_string()).unwrap())
}

fn of(counts: &[u32]) -> Goods {
    let signs = 'A'..='Z';
    let mut goods = Goods::default();
    signs.zip(counts).for_each(|(sign, &count)| goods.add(letter(sign), count));
    goods
}

fn words(text: &str) -> Goods {
    let mut goods = Goods::default();
    goods.add_letters(&demo::lists().families().remove(0), &GlyphCounts::of_text(text), 1);
    goods
}

/// Number and profit of a choice; panics where it takes more than lies there.
fn measure(orders: &[Waiting], shelf: &Goods, choice: &Choice) -> (i64, i64) {
    let mut taken = Goods::default();
    choice.made.iter().for_each(|&at| taken.add_all(&orders[at].need, 1));
    assert!(taken.less(shelf).is_empty(), "more than lies there");
    (choice.made.len() as i64, choice.made.iter().map(|&at| orders[at].profit).sum())
}

/// The best by trying all choices.
fn by_trying(orders: &[Waiting], shelf: &Goods, most: Most) -> (i64, i64) {
    let counts = |goods: &Goods| ('A'..='E').map(|sign| goods.get(&letter(sign))).collect::<Vec<u32>>();
    let (room, needs): (Vec<u32>, Vec<Vec<u32>>) =
        (counts(shelf), orders.iter().map(|order| counts(&order.need)).collect());
    let mut best = (0, 0);
    for set in 0_u32..1 << orders.len() {
        let inside: Vec<usize> = (0..orders.len()).filter(|at| set >> at & 1 == 1).collect();
        let taken = |glyph: usize| inside.iter().map(|&at| needs[at][glyph]).sum::<u32>();
        if room.iter().enumerate().all(|(glyph, &room)| taken(glyph) <= room) {
            let profit = inside.iter().map(|&at| orders[at].profit).sum::<i64>();
            let found = (inside.len() as i64, profit);
            best = match most {
                Most::Orders => best.max(found),
                Most::Profit if (found.1, found.0) > (best.1, best.0) => found,
                Most::Profit => best,
            };
        }
    }
    best
}

/// The largest sum of these values, by a general solver that shares nothing with ours.
fn by_milp(orders: &[Waiting], shelf: &Goods, value: impl Fn(&Waiting) -> f64) -> i64 {
    let mut milp = microlp::Problem::new(OptimizationDirection::Maximize);
    let made: Vec<_> = orders.iter().map(|order| milp.add_binary_var(value(order))).collect();
    for sign in 'A'..='Z' {
        let mut taken = LinearExpr::empty();
        orders
            .iter()
            .zip(&made)
            .for_each(|(order, &var)| taken.add(var, f64::from(order.need.get(&letter(sign)))));
        milp.add_constraint(taken, ComparisonOp::Le, f64::from(shelf.get(&letter(sign))));
    }
    milp.solve().unwrap().into_solution().unwrap().objective().round() as i64
}

#[test]
fn published_knapsacks_come_out_as_published() {
    // One scarce piece makes it the 0/1 knapsack. Optimum 105 with items 1, 2, 4, 5, 6 (numbered
    // from 1): the instance of the SciPy optimisation tutorial (BSD-3), from memory; recomputed.
    let (sizes, values) = ([21, 11, 15, 9, 34, 25, 41, 52], [22, 12, 16, 10, 35, 26, 42, 53]);
    let orders: Vec<Waiting> =
        sizes.iter().zip(values).map(|(&size, profit)| Waiting { need: of(&[size]), profit }).collect();
    let choice = choose(&orders, &of(&[100]), Most::Profit);
    assert_eq!((choice.made.clone(), choice.is_proved), (vec![0, 1, 3, 4, 5], true));
    assert_eq!(measure(&orders, &of(&[100]), &choice).1, 105);
    // Profits 5 3 2 7 4, weights 2 8 4 2 5, capacity 10: 16 with items 1, 4, 5 (JuMP.jl docs, MPL-2.0).
    let (sizes, values) = ([2, 8, 4, 2, 5], [5, 3, 2, 7, 4]);
    let orders: Vec<Waiting> =
        sizes.iter().zip(values).map(|(&size, profit)| Waiting { need: of(&[size]), profit }).collect();
    assert_eq!(choose(&orders, &of(&[10]), Most::Profit).made, [0, 3, 4]);
}

#[test]
fn what_holds_orders_back_is_named_with_what_it_would_bring() {
    let orders: Vec<Waiting> =
        ["EVE", "LEE", "ANN"].map(|text| Waiting { need: words(text), profit: 500 }).into();
    let shelf = words("EEVLANN");
    let choice = choose(&orders, &shelf, Most::Orders);
    assert_eq!(choice.made.len(), 2);
    assert_eq!(choice.bottlenecks.len(), 1);
    let found = &choice.bottlenecks[0];
    assert_eq!((&found.item, found.short, found.orders, found.profit), (&letter('E'), 2, 1, 500));
}

/// Sixty orders of one to twelve names each, out of the built-in table, and a shelf that has so
/// many percent of each letter that all of them take.
fn long_list(percent: u32, round: usize) -> (Vec<Waiting>, Goods) {
    let sample = sample();
    let mut state = 12_345_u64;
    let mut next = |below: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    };
    let mut orders = Vec::new();
    for _ in 0..=round {
        orders = (0..60)
            .map(|_| {
                let (mut need, mut letters) = (Goods::default(), 0);
                let names = [1, 1, 1, 2, 3, 12][next(6)];
                for _ in 0..names {
                    let name = &sample[next(sample.len())];
                    letters += name.len() as i64;
                    need.add_all(&words(name), 1);
                }
                Waiting { need, profit: letters * 60 + names * 500 + next(300) as i64 }
            })
            .collect();
    }
    let mut all = Goods::default();
    orders.iter().for_each(|order| all.add_all(&order.need, 1));
    let shelf = ('A'..='Z').map(|sign| (letter(sign), all.get(&letter(sign)) * percent / 100)).collect();
    (orders, shelf)
}

#[test]
fn sixty_waiting_orders_come_out_as_a_general_solver_has_them() {
    // The optima by HiGHS 1.16.0 (the package highspy, gap 0), from these very instances.
    for (percent, round, optimum) in [(95, 0, 185_247), (95, 1, 168_110)] {
        let (orders, shelf) = long_list(percent, round);
        let choice = choose(&orders, &shelf, Most::Profit);
        assert!(choice.is_proved && choice.gap == 0);
        assert_eq!(measure(&orders, &shelf, &choice).1, optimum, "{percent} % of the letters");
        let choice = choose(&orders, &shelf, Most::Orders);
        assert!(choice.is_proved && !choice.bottlenecks.is_empty());
    }
}

#[test]
fn a_search_in_slices_never_promises_less_than_it_finds_later() {
    // HiGHS 1.16.0 as above: 131,284, proved.
    let (orders, shelf) = long_list(80, 8);
    let mut search = Search::new(orders.clone(), shelf.clone(), Most::Profit);
    let mut before = None;
    for _ in 0..12 {
        search.work(10);
        let choice = search.choice();
        let found = measure(&orders, &shelf, &choice).1;
        if let Some((worth, most)) = before {
            assert!(found >= worth && found + choice.gap <= most, "{found} + {}", choice.gap);
        }
        assert!(found <= 131_284 && found + choice.gap >= 131_284, "{found} + {}", choice.gap);
        before = Some((found, found + choice.gap));
    }
}

fn waiting(letters: usize) -> impl Strategy<Value = Waiting> {
    (prop::collection::vec(0_u32..4, letters), -50_i64..900)
        .prop_map(|(counts, profit)| Waiting { need: of(&counts), profit })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn as_good_as_trying_everything(
        orders in prop::collection::vec(waiting(5), 0..11),
        room in prop::collection::vec(0_u32..12, 5),
    ) {
        for most in [Most::Orders, Most::Profit] {
            let shelf = of(&room);
            let choice = choose(&orders, &shelf, most);
            prop_assert!(choice.is_proved && choice.gap == 0);
            let (found, known) = (measure(&orders, &shelf, &choice), by_trying(&orders, &shelf, most));
            match most {
                Most::Orders => prop_assert_eq!(found.0, known.0),
                Most::Profit => prop_assert_eq!(found.1, known.1),
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn as_good_as_an_independent_solver(
        orders in prop::collection::vec(waiting(6), 10..24),
        room in prop::collection::vec(5_u32..25, 6),
    ) {
        let shelf = of(&room);
        let positive: Vec<Waiting> = orders.iter().filter(|order| order.profit > 0).cloned().collect();
        let most_profit = choose(&positive, &shelf, Most::Profit);
        prop_assert!(most_profit.is_proved);
        prop_assert_eq!(measure(&positive, &shelf, &most_profit).1, by_milp(&positive, &shelf, |order| order.profit as f64));
        let most_orders = choose(&orders, &shelf, Most::Orders);
        prop_assert!(most_orders.is_proved);
        prop_assert_eq!(measure(&orders, &shelf, &most_orders).0, by_milp(&orders, &shelf, |_| 1.0));
    }
}
