//! The buy mix against known results, a general solver, and the laws of covering.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod buy_json;
mod buy_milp;
mod buy_random;

use buy_random::{Dice, Size, problem};
use lettertally::buy::solver::check;
use lettertally::buy::solver::model::{Family, Problem, Refusal, Step, Supplier, Tier, Unit, Way};
use lettertally::buy::solver::{Outcome, Reason, Solver, Status, WHOLE};
use std::collections::BTreeMap;

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/buy");

fn solve(problem: &Problem) -> Outcome {
    let outcome = Solver::new(problem.clone()).unwrap().run(|_| true);
    if let Some(plan) = &outcome.plan {
        assert_eq!(check::price(problem, &plan.lines).as_ref(), Ok(plan));
    }
    outcome
}

fn cents(problem: &Problem) -> i64 {
    let outcome = solve(problem);
    assert_eq!(outcome.status, Status::Optimal);
    outcome.plan.unwrap().worth.cents
}

#[test]
fn every_kept_problem_has_its_known_cost() {
    #[derive(serde::Deserialize)]
    struct Known {
        optimum_cents: Option<i64>,
        best_cents: Option<i64>,
        bound_cents: Option<i64>,
    }
    let text = std::fs::read_to_string(format!("{DATA}/known.json")).unwrap();
    let known: BTreeMap<String, Known> = serde_json::from_str(&text).unwrap();
    assert!(known.len() >= 20);
    for (name, known) in known {
        let text = std::fs::read_to_string(format!("{DATA}/{name}.json")).unwrap();
        let outcome = solve(&buy_json::read(&text).unwrap().problem);
        assert_eq!(outcome.status, Status::Optimal, "{name}");
        assert!(outcome.settled, "{name}");
        let cents = outcome.plan.unwrap().worth.cents;
        assert_eq!(outcome.bound, cents, "{name}");
        assert!(known.optimum_cents.is_none_or(|optimum| cents == optimum), "{name}: {cents}");
        assert!(known.best_cents.is_none_or(|best| cents <= best), "{name}: {cents}");
        assert!(known.bound_cents.is_none_or(|bound| cents >= bound), "{name}: {cents}");
    }
}

/// The problems kept with the tests, by name.
fn kept() -> Vec<(String, Problem)> {
    let names =
        std::fs::read_dir(DATA).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let named = names.filter(|name| name != "known.json").map(|name| {
        let text = std::fs::read_to_string(format!("{DATA}/{name}")).unwrap();
        let problem = buy_json::read(&text).unwrap().problem;
        (name, problem)
    });
    named.collect()
}

fn free() -> Supplier {
    Supplier::default()
}

fn same(n: u32, cents: i64) -> Way {
    Way {
        supplier: 0,
        family: 0,
        unit: Unit::Same { n, glyphs: None },
        tiers: vec![Tier { from: 1, cents }],
        at_most: None,
        group: None,
    }
}

fn mix(contents: Vec<(usize, u32)>, cents: i64) -> Way {
    Way { unit: Unit::Mix(contents), ..same(1, cents) }
}

fn one_family(need: Vec<u32>, ways: Vec<Way>) -> Problem {
    Problem { suppliers: vec![free()], families: vec![Family { need }], ways }
}

/// Ten common surnames (the ten commonest of the 2010 census of the United States), with
/// pieces, packs and two sets at invented prices. The optima were found by four independent
/// solvers and an enumeration.
#[test]
fn ten_surnames() {
    let names = "SMITHJOHNSONWILLIAMSBROWNJONESGARCIAMILLERDAVISRODRIGUEZMARTINEZ";
    let count = |letter: u8| names.bytes().filter(|&byte| byte == letter).count() as u32;
    let need: Vec<u32> = (b'A'..=b'Z').map(count).collect();
    assert_eq!(need.iter().sum::<u32>(), 64);
    let alphabet: Vec<(usize, u32)> = (0..26).map(|glyph| (glyph, 1)).collect();
    let large = (b'A'..=b'Z').map(|letter| match letter {
        b'A' | b'E' | b'I' | b'O' | b'U' => 4,
        b'L' | b'N' | b'R' | b'S' | b'T' => 3,
        b'Q' | b'X' | b'Z' => 1,
        _ => 2,
    });
    let large: Vec<(usize, u32)> = large.enumerate().collect();
    assert_eq!(large.iter().map(|held| held.1).sum::<u32>(), 64);
    let small_set = |cents| mix(alphabet.clone(), cents);
    let large_set = |cents| mix(large.clone(), cents);
    let cost = |ways: Vec<Way>| cents(&one_family(need.clone(), ways));
    assert_eq!(cost(vec![same(1, 100), same(5, 400), small_set(1500)]), 5700);
    assert_eq!(cost(vec![same(1, 100), same(5, 400), small_set(1500), large_set(2600)]), 4300);
    assert_eq!(cost(vec![same(1, 100), same(6, 450)]), 5900);
    assert_eq!(cost(vec![same(1, 150), same(5, 500), small_set(1300), large_set(2600)]), 5050);
    assert_eq!(cost(vec![same(1, 100), same(5, 400)]), 5800);
    assert_eq!(cost(vec![same(1, 150), same(5, 500)]), 7800);
}

/// The coin problem of 6, 9 and 20 (textbook result; task stated on Rosetta Code, GFDL):
/// at a cent a piece, 43 is the largest need that costs more than itself.
#[test]
fn covers_around_the_largest_unpayable_count() {
    let cost = |need: u32| cents(&one_family(vec![need], vec![same(6, 6), same(9, 9), same(20, 20)]));
    assert_eq!([41, 42, 43, 44, 45].map(cost), [41, 42, 44, 44, 45]);
    assert!((44..120).all(|need| cost(need) == i64::from(need)));
}

/// A knapsack turned round: leaving items out must save at least the weight above capacity,
/// at the least value. Items: SciPy's optimisation tutorial (BSD-3), best value 105 of 216 at
/// capacity 100 of 208; and the JuMP documentation (MPL-2.0), best 16 of 21 at 10 of 21.
#[test]
fn published_knapsacks_as_covers_from_limited_stock() {
    let cost = |weights: &[u32], values: &[i64], capacity: u32| {
        let once = |(&n, &cents): (&u32, &i64)| Way { at_most: Some(1), ..same(n, cents) };
        let need = weights.iter().sum::<u32>() - capacity;
        cents(&one_family(vec![need], weights.iter().zip(values).map(once).collect()))
    };
    let weights = [21, 11, 15, 9, 34, 25, 41, 52];
    assert_eq!(cost(&weights, &[22, 12, 16, 10, 35, 26, 42, 53], 100), 216 - 105);
    assert_eq!(cost(&[2, 8, 4, 2, 5], &[5, 3, 2, 7, 4], 10), 21 - 16);
}

/// Taking the largest unit first would cost more (well-known traps for coins): a letter too
/// many costs more than any number of units.
#[test]
fn the_largest_unit_is_not_always_right() {
    let fewest = |need: u32, sizes: &[u32]| {
        let ways = sizes.iter().map(|&n| same(n, 1000 * i64::from(n) + 1)).collect();
        cents(&one_family(vec![need], ways)) % 1000
    };
    assert_eq!(fewest(6, &[1, 3, 4]), 2);
    assert_eq!(fewest(40, &[1, 5, 10, 20, 25]), 2);
    assert_eq!(fewest(988, &[1, 2, 5, 10, 20, 50, 100, 200]), 11);
}

#[test]
fn ways_can_be_left_out() {
    let whole = one_family(vec![7], vec![same(1, 100), same(5, 400)]);
    assert_eq!(cents(&whole), 600);
    assert_eq!(cents(&whole.only(|_, way| way.pieces() == 1)), 700);
    assert_eq!(cents(&whole.only(|_, way| way.pieces() > 1)), 800);
    assert_eq!(solve(&whole.only(|_, _| false)).reason, Some(Reason::Unsold(vec![(0, 0)])));
}

#[test]
fn a_break_is_reached_on_purpose() {
    let mut way = same(1, 100);
    way.tiers.push(Tier { from: 10, cents: 80 });
    let outcome = solve(&one_family(vec![9], vec![way]));
    let plan = outcome.plan.unwrap();
    assert_eq!((plan.worth.cents, plan.lines[0].units), (800, 10));
}

#[test]
fn what_is_bought_to_reach_a_break_is_a_letter_that_is_needed() {
    let mut way = same(1, 10);
    way.tiers.push(Tier { from: 10, cents: 5 });
    let plan = solve(&one_family(vec![0, 8, 0], vec![way])).plan.unwrap();
    assert_eq!(plan.lines, [lettertally::buy::solver::model::Line { way: 0, glyph: Some(1), units: 10 }]);
}

#[test]
fn reaching_a_break_can_lose_free_freight() {
    // Ten at 80 would be 800, below the threshold; nine at 100 ship for nothing at 900.
    let mut way = same(1, 100);
    way.tiers.push(Tier { from: 10, cents: 80 });
    let mut problem = one_family(vec![9], vec![way]);
    problem.suppliers[0].freight = vec![Step { from: 0, cents: 150 }, Step { from: 900, cents: 0 }];
    let plan = solve(&problem).plan.unwrap();
    assert_eq!((plan.worth.cents, plan.lines[0].units), (900, 9));
}

#[test]
fn a_group_counts_over_families() {
    let tiers = vec![Tier { from: 1, cents: 100 }, Tier { from: 10, cents: 50 }];
    let way = |family| Way { family, tiers: tiers.clone(), group: Some(7), ..same(1, 0) };
    let mut problem = one_family(vec![6], vec![way(0), way(1)]);
    problem.families.push(Family { need: vec![4] });
    assert_eq!(cents(&problem), 500);
    problem.ways.iter_mut().for_each(|way| way.group = None);
    assert_eq!(cents(&problem), 900);
}

#[test]
fn ties_go_to_fewer_letters_then_fewer_units_then_up_the_list() {
    // Four letters for 4: as 1 x 4, or 1 x 6; 2 x 2 has more units.
    let ways = vec![same(6, 4), same(2, 2), same(4, 4), same(4, 4)];
    let plan = solve(&one_family(vec![4], ways)).plan.unwrap();
    assert_eq!(plan.lines.iter().map(|line| (line.way, line.units)).collect::<Vec<_>>(), [(2, 1)]);
}

#[test]
fn what_nobody_sells_is_named() {
    let only = Way { unit: Unit::Same { n: 1, glyphs: Some(vec![0]) }, ..same(1, 5) };
    let outcome = solve(&one_family(vec![1, 1, 0, 2], vec![only]));
    assert_eq!(outcome.status, Status::Infeasible);
    assert_eq!(outcome.reason, Some(Reason::Unsold(vec![(0, 1), (0, 3)])));
}

#[test]
fn a_minimum_that_cannot_be_met_is_named() {
    let mut problem = one_family(vec![2], vec![Way { at_most: Some(3), ..same(1, 100) }]);
    problem.suppliers[0].min_order = 300;
    assert_eq!(cents(&problem), 300);
    problem.suppliers[0].min_order = 301;
    let outcome = solve(&problem);
    assert_eq!((outcome.status, outcome.reason), (Status::Infeasible, Some(Reason::Minimum(vec![0]))));
}

#[test]
fn stock_that_does_not_reach_is_named() {
    let outcome = solve(&one_family(vec![2, 2], vec![Way { at_most: Some(3), ..same(1, 100) }]));
    assert_eq!((outcome.status, outcome.reason), (Status::Infeasible, Some(Reason::Stock(vec![0]))));
}

#[test]
fn nothing_needed_costs_nothing() {
    let mut problem = one_family(vec![0, 0], vec![same(1, 5)]);
    problem.suppliers[0].min_order = 100;
    assert_eq!(cents(&problem), 0);
    assert_eq!(cents(&Problem::default()), 0);
}

#[test]
fn figures_out_of_range_are_refused() {
    let refused = |problem: Problem| Solver::new(problem).err();
    let good = || one_family(vec![3], vec![same(1, 5)]);
    let with = |change: fn(&mut Problem)| {
        let mut problem = good();
        change(&mut problem);
        refused(problem)
    };
    assert_eq!(refused(good()), None);
    assert_eq!(with(|p| p.ways[0].tiers[0].cents = -1), Some(Refusal::Negative));
    assert!(matches!(with(|p| p.ways[0].tiers[0].cents = i64::MAX), Some(Refusal::TooLarge(_))));
    assert!(matches!(with(|p| p.families[0].need[0] = u32::MAX), Some(Refusal::TooLarge(_))));
    assert!(matches!(
        with(|p| p.ways[0].unit = Unit::Same { n: u32::MAX, glyphs: None }),
        Some(Refusal::TooLarge(_))
    ));
    assert!(matches!(with(|p| p.suppliers[0].min_order = i64::MAX), Some(Refusal::TooLarge(_))));
    let dear = |p: &mut Problem| {
        p.families[0].need[0] = 20_000;
        p.ways[0].tiers[0].cents = 1_000_000_000;
    };
    assert!(matches!(with(dear), Some(Refusal::TooLarge(_))));
    assert_eq!(with(|p| p.ways[0].supplier = 1), Some(Refusal::Dangling(0)));
    assert_eq!(with(|p| p.ways[0].family = 1), Some(Refusal::Dangling(0)));
    assert_eq!(with(|p| p.ways[0].unit = Unit::Mix(vec![(9, 1)])), Some(Refusal::Dangling(0)));
    assert_eq!(with(|p| p.ways[0].tiers.clear()), Some(Refusal::Empty(0)));
    assert_eq!(with(|p| p.ways[0].unit = Unit::Mix(vec![])), Some(Refusal::Empty(0)));
    assert_eq!(with(|p| p.ways[0].tiers[0].from = 2), Some(Refusal::Breaks(0)));
    let steps = |p: &mut Problem| {
        p.suppliers[0].freight = vec![Step { from: 5, cents: 1 }, Step { from: 5, cents: 2 }]
    };
    assert_eq!(with(steps), Some(Refusal::Steps(0)));
}

/// A great many sets: more than the scan can try out. It must come to an end all the same,
/// with a plan and a bound.
#[test]
fn more_sets_than_can_be_tried_still_give_a_plan_and_a_bound() {
    // Cutting stock as sets: the 37 patterns of a 100-inch raw for orders of 45, 36, 31 and 14
    // inches, needs 97, 610, 395, 211; least 453 raws (Chvátal, Linear Programming, 1983).
    let mut patterns = Vec::new();
    for (a, b, c, d) in (0..3)
        .flat_map(|a| (0..3).flat_map(move |b| (0..4).flat_map(move |c| (0..8).map(move |d| (a, b, c, d)))))
    {
        let length = 45 * a + 36 * b + 31 * c + 14 * d;
        if length > 0 && length <= 100 {
            patterns.push(mix(vec![(0, a), (1, b), (2, c), (3, d)], 1));
        }
    }
    assert_eq!(patterns.len(), 37);
    let problem = one_family(vec![97, 610, 395, 211], patterns);
    let mut calls = 0;
    let outcome = Solver::new(problem).unwrap().run(|_| {
        calls += 1;
        calls < 4
    });
    assert!((100..=453).contains(&outcome.bound), "{}", outcome.bound);
    assert!(outcome.plan.is_some_and(|plan| plan.worth.cents >= 453));
}

#[test]
fn slices_of_work_lead_to_the_same_plan_and_the_bound_holds_throughout() {
    let text = std::fs::read_to_string(format!("{DATA}/adversarial-08.json")).unwrap();
    let problem = buy_json::read(&text).unwrap().problem;
    let whole = solve(&problem);
    let best = whole.plan.as_ref().unwrap().worth.cents;
    let mut solver = Solver::new(problem).unwrap();
    let mut steps = 0;
    while !solver.done() {
        solver.step();
        steps += 1;
        let now = solver.outcome();
        assert!(now.bound <= best);
        assert!(now.plan.is_none_or(|plan| plan.worth.cents >= best));
    }
    assert!(steps > 10);
    assert_eq!(solver.outcome(), whole);
}

/// Solves a problem in single steps and looks at the share after each; tells the work it took.
fn progress_to_the_end(problem: &Problem, name: &str) -> u64 {
    let mut solver = Solver::new(problem.clone()).unwrap();
    let mut before = solver.progress();
    while !solver.done() {
        assert!(before < WHOLE, "{name}: whole before the end");
        solver.step();
        assert!(solver.progress() >= before, "{name}: back from {before} to {}", solver.progress());
        before = solver.progress();
    }
    assert_eq!(before, WHOLE, "{name}");
    solver.work()
}

#[test]
fn progress_never_goes_back_and_ends_at_the_whole() {
    let kept: u64 = kept().iter().map(|(name, problem)| progress_to_the_end(problem, name)).sum();
    let seeds = (1..=300).map(|seed| (seed, problem(&mut Dice::new(seed), Size::MIDDLE)));
    let random: u64 =
        seeds.map(|(seed, problem)| progress_to_the_end(&problem, &format!("seed {seed}"))).sum();
    // Work is counted, not timed, so it is the same on every machine: 54.6 and 32.4 million on
    // 2026-11-29. A change of the search that needs more has to say so here.
    assert!(kept <= 55_000_000 && random <= 33_000_000, "{kept} {random}");
}

#[test]
fn progress_is_seen_on_the_way() {
    for name in ["adversarial-18", "league-08"] {
        let text = std::fs::read_to_string(format!("{DATA}/{name}.json")).unwrap();
        let mut solver = Solver::new(buy_json::read(&text).unwrap().problem).unwrap();
        let mut shares = std::collections::BTreeSet::new();
        while !solver.done() {
            solver.step();
            shares.insert(solver.progress());
        }
        assert!(shares.len() > 10, "{name}: {shares:?}");
        let upper = shares.iter().filter(|share| (300..WHOLE).contains(*share)).count();
        assert!(upper > 2, "{name}: {shares:?}");
    }
}

#[test]
fn a_cancelled_search_still_tells_what_it_knows() {
    let text = std::fs::read_to_string(format!("{DATA}/league-08.json")).unwrap();
    let problem = buy_json::read(&text).unwrap().problem;
    let mut solver = Solver::new(problem).unwrap();
    let nothing = solver.outcome();
    assert_eq!((nothing.status, nothing.plan, nothing.settled), (Status::Unknown, None, false));
    let mut work = vec![solver.work()];
    let outcome = solver.run(|solver| {
        work.push(solver.work());
        work.len() < 13
    });
    assert!(work.is_sorted() && work[0] == 0 && work[12] > 1_000, "{work:?}");
    assert_eq!(outcome.status, Status::Feasible);
    assert!(outcome.bound <= outcome.plan.unwrap().worth.cents);
}

/// Suppliers that ship for a flat sum, without minimums or limits, and breaks that only fall:
/// the laws below hold there. (With freight thresholds they do not: a cheaper price can take
/// an order below free freight.)
fn plain(seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let mut problem = problem(&mut dice, Size::MIDDLE);
    for supplier in &mut problem.suppliers {
        supplier.min_order = 0;
        supplier.freight.truncate(1);
    }
    for way in &mut problem.ways {
        way.at_most = None;
        way.group = None;
        let mut lowest = i64::MAX;
        for tier in &mut way.tiers {
            lowest = lowest.min(tier.cents);
            tier.cents = lowest;
        }
    }
    problem
}

fn cost(problem: &Problem) -> Option<i64> {
    solve(problem).plan.map(|plan| plan.worth.cents)
}

#[test]
fn more_stock_or_a_further_way_never_costs_more() {
    for seed in 1..=150 {
        let mut dice = Dice::new(seed);
        let whole = problem(&mut dice, Size::MIDDLE);
        let Some(before) = cost(&whole) else { continue };
        let mut stocked = whole.clone();
        let need = &mut stocked.families[0].need[0];
        *need = need.saturating_sub(1);
        assert!(cost(&stocked).unwrap() <= before, "seed {seed}");
        let mut fewer = whole.clone();
        fewer.ways.pop();
        assert!(cost(&fewer).is_none_or(|fewer| fewer >= before), "seed {seed}");
    }
}

#[test]
fn a_cheaper_price_never_costs_more_where_freight_is_flat() {
    for seed in 1..=150 {
        let whole = plain(seed);
        let Some(before) = cost(&whole) else { continue };
        let mut cheaper = whole;
        for way in cheaper.ways.iter_mut().step_by(2) {
            way.tiers.iter_mut().for_each(|tier| tier.cents -= tier.cents / 5);
        }
        assert!(cost(&cheaper).unwrap() <= before, "seed {seed}");
    }
}

#[test]
fn two_orders_bought_together_never_cost_more_than_apart() {
    for seed in 1..=150 {
        let whole = plain(seed);
        let Some(together) = cost(&whole) else { continue };
        let (mut first, mut second) = (whole.clone(), whole);
        for (a, b) in first.families.iter_mut().zip(&mut second.families) {
            for (a, b) in a.need.iter_mut().zip(&mut b.need) {
                (*a, *b) = (*a / 2, *b - *a / 2);
            }
        }
        assert!(together <= cost(&first).unwrap() + cost(&second).unwrap(), "seed {seed}");
    }
}

#[test]
fn a_general_solver_finds_the_same_cost() {
    let mut compared = 0;
    let rounds = std::env::var("MILP_ROUNDS").ok().and_then(|text| text.parse().ok()).unwrap_or(60_u64);
    for seed in 1..=rounds {
        let mut dice = Dice::new(1000 + seed);
        let mut whole = problem(&mut dice, Size::MIDDLE);
        for way in &mut whole.ways {
            way.group = None;
            // The linear model takes a supplier for unused where nothing is spent.
            way.tiers.iter_mut().for_each(|tier| tier.cents = tier.cents.max(1));
        }
        if let (Some(ours), Some(theirs)) = (cost(&whole), buy_milp::solve(&whole)) {
            assert_eq!(ours, theirs, "seed {seed}");
            compared += 1;
        }
    }
    assert!(compared > 30, "only {compared} compared");
}
