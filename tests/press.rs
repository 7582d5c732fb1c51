//! The letters at the press: fewest positions, the order of the work, the run sheet, against trying
//! everything and against figures from outside.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::layout::Rect;
use lettertally::layout::picture::placed;
use lettertally::layout::positions::{KeepOff, Over, fewest};
use lettertally::length::Length;
use lettertally::lists::recipe::{Again, Degrees, Heat};
use lettertally::lists::settings::Platen;
use lettertally::lists::{ColourId, FinishId, Lists, Peel, Recipe, Settings, demo};
use lettertally::order::{CountBy, Order, Placement, Side, Wording};
use lettertally::press::operations::{Operation, Zone};
use lettertally::press::sequence::{sequence, weigh};
use lettertally::press::sheet::{RunSheet, run_sheet};
use lettertally::press::{garment, times};
use lettertally::problem::{Place, Severity};
use proptest::prelude::*;
use rust_decimal::Decimal;

const MARGIN: Length = Length::mils(250);

fn platen(width: i32, depth: i32) -> Platen {
    Platen { width: Length::inches(width), depth: Length::inches(depth), margin: MARGIN }
}

fn rect(left: i32, top: i32, width: i32, height: i32) -> Rect {
    let mils = |tenths: i32| Length::mils(tenths * 100);
    Rect::sized(mils(left), mils(top), mils(width), mils(height))
}

/// Whether some place of the platen presses all of these whole and keeps off: every place on a grid
/// of a tenth of an inch is tried, on which all sides lie.
fn on_the_grid(letters: &[Rect], platen: &Platen, off: &[Rect]) -> bool {
    let around = Rect::around(letters.iter().copied()).unwrap();
    let tenths = |length: Length| i32::try_from(length.units() / Length::mils(100).units()).unwrap();
    let (width, depth) = (platen.width - platen.margin.times(2), platen.depth - platen.margin.times(2));
    let lefts = tenths(around.right - width) - 1..=tenths(around.left) + 1;
    lefts.into_iter().any(|left| {
        (tenths(around.bottom - depth) - 1..=tenths(around.top) + 1).any(|top| {
            let inside = Rect::sized(Length::mils(left * 100), Length::mils(top * 100), width, depth);
            letters.iter().all(|letter| inside.holds(letter))
                && off.iter().all(|rect| !inside.grown(platen.margin).meets(rect))
        })
    })
}

/// The fewest groups by trying every way to put letters into groups.
fn fewest_by_trying(letters: &[Rect], can: &dyn Fn(&[Rect]) -> bool) -> Option<usize> {
    fn go(left: &[Rect], groups: &mut Vec<Vec<Rect>>, can: &dyn Fn(&[Rect]) -> bool) -> Option<usize> {
        let Some((first, rest)) = left.split_first() else {
            return Some(groups.len());
        };
        let mut best: Option<usize> = None;
        for at in 0..=groups.len() {
            let is_new = at == groups.len();
            if is_new {
                groups.push(vec![]);
            }
            groups[at].push(*first);
            if can(&groups[at]) {
                let found = go(rest, groups, can);
                best = best.into_iter().chain(found).min();
            }
            groups[at].pop();
            if is_new {
                groups.pop();
            }
        }
        best
    }
    go(letters, &mut Vec::new(), can)
}

/// Places on a grid of a tenth of an inch, so that a platen with a margin of a fifth lies on it too.
fn small_platen() -> impl Strategy<Value = Platen> {
    (12_i32..60, 12_i32..60).prop_map(|(width, depth)| Platen {
        width: Length::mils(width * 100),
        depth: Length::mils(depth * 100),
        margin: Length::mils(200),
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn positions_are_the_fewest_there_are(
        spots in prop::collection::vec((-40_i32..40, 0_i32..60, 1_i32..8, 1_i32..8), 1..7),
        platen in small_platen(),
        off in prop::collection::vec((-60_i32..60, -20_i32..80, 1_i32..30, 1_i32..30), 0..3),
    ) {
        let letters: Vec<Rect> = spots.iter().map(|&(x, y, w, h)| rect(x, y, w, h)).collect();
        let off: Vec<Rect> = off.iter().map(|&(x, y, w, h)| rect(x, y, w, h)).collect();
        let found = fewest(&letters, &platen, &KeepOff { seams: off.clone(), collar: vec![] });
        let kept: &[Rect] = if found.over == Over::Nothing { &off } else { &[] };
        let wanted = fewest_by_trying(&letters, &|group| on_the_grid(group, &platen, kept));
        prop_assert_eq!(Some(found.places.len()), wanted);
        prop_assert!(found.is_proven && found.in_parts == 0);
        if found.over != Over::Nothing {
            let some_cannot = letters.iter().any(|letter| !on_the_grid(&[*letter], &platen, &off));
            prop_assert!(some_cannot, "it lies over a seam without need");
        }
        let mut seen: Vec<usize> = found.places.iter().flat_map(|place| place.letters.clone()).collect();
        seen.sort_unstable();
        prop_assert_eq!(seen, (0..letters.len()).collect::<Vec<_>>());
        for place in &found.places {
            let inside = place.platen.grown(Length::ZERO - platen.margin);
            prop_assert!(place.letters.iter().all(|at| inside.holds(&letters[*at])));
            prop_assert!(kept.iter().all(|rect| !place.platen.meets(rect)));
            prop_assert_eq!((place.platen.width(), place.platen.height()), (platen.width, platen.depth));
        }
    }

    #[test]
    fn one_line_takes_as_many_positions_as_covering_intervals_from_the_left(
        widths in prop::collection::vec((1_i32..30, 0_i32..20), 1..40), platen in 40_i32..200,
    ) {
        let platen = Platen {
            width: Length::mils(platen * 100),
            depth: Length::inches(16),
            margin: Length::mils(200),
        };
        let mut at = 0;
        let mut letters = Vec::new();
        for (width, gap) in widths {
            letters.push(rect(at, 0, width, 20));
            at += width + gap;
        }
        // The textbook's way: always from the first letter that is left as far as the platen goes.
        let inside = platen.width - platen.margin.times(2);
        let (mut count, mut left) = (0, letters.as_slice());
        while let Some(first) = left.first() {
            count += 1;
            let held = left.iter().take_while(|letter| letter.right - first.left <= inside).count();
            left = &left[held..];
        }
        let found = fewest(&letters, &platen, &KeepOff::default());
        prop_assert_eq!((found.places.len(), found.is_proven), (count, true));
    }
}

#[test]
fn a_letter_larger_than_the_platen_one_way_only_is_pressed_in_parts() {
    // Inside its margins this platen presses 19.5 in by 15.5 in.
    let platen = platen(20, 16);
    let small = rect(0, 0, 20, 20);
    for (large, parts) in [(rect(0, 50, 400, 40), 3), (rect(0, 50, 40, 400), 3), (rect(0, 50, 200, 160), 4)] {
        let found = fewest(&[large, small], &platen, &KeepOff::default());
        assert_eq!((found.in_parts, found.is_proven), (parts, false), "{large:?}");
        assert_eq!(found.places.len(), 1);
        assert_eq!(found.places[0].letters, [1]);
    }
    // 19.5 in by 15.5 in are pressed at once.
    let whole = fewest(&[rect(0, 0, 195, 155)], &platen, &KeepOff::default());
    assert_eq!((whole.in_parts, whole.places.len()), (0, 1));
}

fn recipe() -> impl Strategy<Value = Recipe> {
    let heat = prop::sample::select(vec![280_u16, 305, 320, 350]);
    let again = prop_oneof![
        3 => Just(Again::AsHot),
        1 => Just(Again::Never),
        2 => prop::sample::select(vec![290_u16, 330, 400]).prop_map(|heat| Again::UpTo(Heat::fahrenheit(heat))),
    ];
    (heat, again, prop::sample::select(Peel::ALL.to_vec())).prop_map(|(heat, again, peel)| Recipe {
        heat: Heat::fahrenheit(heat),
        again,
        peel,
        ..Recipe::usual()
    })
}

fn operation() -> impl Strategy<Value = Operation> {
    let zone = prop::sample::select(Zone::ALL.to_vec());
    (zone, recipe(), -10_i32..10, 0_i32..10, 4_i32..16).prop_map(|(zone, recipe, x, y, side)| Operation {
        zone,
        finishes: vec![FinishId::new("film")],
        recipe,
        platen: Some(rect(x, y, side, side)),
        closings: 1,
        letters: vec![],
        boxes: vec![rect(x + 1, y + 1, side - 2, side - 2)],
        over: Over::Nothing,
        is_proven: true,
    })
}

fn permutations(count: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![vec![]];
    for _ in 0..count {
        let mut longer = Vec::new();
        for order in &all {
            let free = (0..count).filter(|at| !order.contains(at));
            longer.extend(free.map(|at| order.iter().copied().chain([at]).collect::<Vec<_>>()));
        }
        all = longer;
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_the_work_is_the_best_of_all_orders(operations in prop::collection::vec(operation(), 0..6)) {
        let found = sequence(&operations);
        let best = permutations(operations.len()).iter().map(|order| weigh(&operations, order)).min().unwrap();
        prop_assert!(found.is_exact);
        prop_assert_eq!(weigh(&operations, &found.order), best);
        prop_assert_eq!(found.clashes.len() as u32, best.clashes);
        prop_assert_eq!(found.load_count(), best.loads);
    }
}

/// The order that a decorator would find hard: two finishes, a long line across the shoulders, small
/// letters on the left chest, twelve names.
fn hard_order() -> (Order, Lists, Settings) {
    let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
    let design = &mut order.designs[0];
    let line = |placement, text: &str, inches, finish: &str, colour: &str| lettertally::order::Line {
        placement,
        text: Wording::new(text),
        height: Length::inches(inches),
        finish: FinishId::new(finish),
        colour: ColourId::new(colour),
        ..design.lines[0].clone()
    };
    design.lines = vec![
        line(Placement::AcrossShoulders, "MARSH OTTERS 26", 2, "twill", "white"),
        line(Placement::MiddleBack, "{number}", 4, "smooth", "white"),
        line(Placement::LeftChest, "MO", 2, "smooth", "white"),
    ];
    let settings = Settings { platen: platen(16, 20), ..Settings::default() };
    (order, lists, settings)
}

fn sheet(order: &Order, lists: &Lists, settings: &Settings) -> RunSheet {
    run_sheet(order, &order.read(lists), lists, settings)
}

#[test]
fn a_line_wider_than_the_platen_takes_two_positions() {
    // Common practice, no source: a wide line from shoulder to shoulder needs two positions of a
    // usual platen, 16 by 20 in, where it is wider than 20 in.
    let (mut order, lists, settings) = hard_order();
    order.designs[0].lines.truncate(1);
    order.designs[0].count_by = CountBy::Sizes;
    order.designs[0].sizes = vec![lettertally::order::SizeCount { size: "2XL".into(), count: 1 }];
    let design = &order.designs[0];
    let group = &order.read(&lists)[0].groups[0];
    let size = lists.blanks[0].size("2XL").unwrap();
    let width = placed(&order, design, group, size, &lists)[0].bounds.width();
    assert!(width > Length::inches(20) && width < Length::inches(31), "{width}");
    for platen in [platen(16, 20), platen(20, 16)] {
        let made = garment(&order, design, group, size, &lists, &platen);
        assert_eq!(made.operations.len(), 2);
        assert!(made.operations.iter().all(|one| one.is_proven && one.over == Over::Nothing));
    }
    assert_eq!(settings.platen.width, Length::inches(16));
}

#[test]
fn the_run_sheet_of_a_hard_order_puts_the_hotter_finish_first() {
    let (order, lists, settings) = hard_order();
    let sheet = sheet(&order, &lists, &settings);
    assert_eq!(sheet.clashes, []);
    assert_eq!(sheet.garments.len(), 12);
    let names: Vec<&str> = sheet.garments.iter().map(|garment| garment.person.as_str()).collect();
    assert_eq!((names[0], names[11]), ("Okonjo 1", "Quist 30"));
    for garment in &sheet.garments {
        let loads = &sheet.methods[garment.method].loads;
        let heats: Vec<(i32, usize)> = loads
            .iter()
            .flat_map(|load| &load.work)
            .map(|closing| (closing.recipe.heat.rounded(Degrees::Fahrenheit), closing.places))
            .collect();
        // Common practice, no source: twill at 350 degrees, smooth film at 305. Twill on the back, in
        // two places of the platen; then, at the other heat, back and front.
        assert_eq!(heats, [(350, 2), (305, 1), (305, 1)], "{garment:?}");
        assert_eq!(loads.len(), 3);
        assert!(loads.iter().flat_map(|load| &load.work).all(|closing| closing.in_parts == 0));
        let words: Vec<&str> = garment.closings.iter().map(|closing| closing.words.as_str()).collect();
        // Both places of the platen together press the whole line, each letter once.
        assert_eq!([words[0], words[1]].concat().replace(' ', ""), "MARSHOTTERS26");
        let number = garment.person.rsplit(' ').next();
        assert_eq!((Some(words[2]), words[3], words.len()), (number, "MO", 4));
    }
    assert_eq!((sheet.methods.len(), sheet.made_so(0)), (1, 12));
    let (twill, film) = (&sheet.methods[0].loads[0].work[0], &sheet.methods[0].loads[2].work[0]);
    assert_eq!((twill.first, twill.lines.clone(), film.first), (0, vec![0], 3));
    // The line reaches beyond the shoulder seams of the smaller sizes.
    assert!(sheet.sizes_over(0, twill, Over::Seam).contains(&"S"));
    assert_eq!(sheet.sizes_over(0, film, Over::Collar), [""; 0]);
}

#[test]
fn the_tray_holds_what_all_garments_take() {
    let (order, lists, settings) = hard_order();
    let sheet = sheet(&order, &lists, &settings);
    let picked: u64 = sheet
        .garments
        .iter()
        .map(|garment| {
            garment.picks.values().map(|letters| letters.total()).sum::<u64>() * u64::from(garment.count)
        })
        .sum();
    let tray: u64 = sheet.tray.values().map(|letters| letters.total()).sum();
    // 13 letters of twill and 2 of film on each of 12, and the digits of twelve numbers.
    assert_eq!((picked, tray), (200, 200));
    let plan =
        lettertally::plan::plan(&order, &lettertally::plan::Shop { lists, settings, ..Default::default() });
    assert_eq!(plan.run, sheet.run, "cost and run sheet reckon with the same work");
    assert_eq!(plan.sheet.labour_hours * Decimal::from(3_600), sheet.run.attended);
}

#[test]
fn letters_that_cannot_stand_the_other_heat_are_named() {
    let (mut order, mut lists, settings) = hard_order();
    // Both on the back, one over the other's place, and neither stands the other.
    order.designs[0].lines[1].placement = Placement::AcrossShoulders;
    for finish in &mut lists.finishes {
        if finish.id.as_str() == "twill" {
            finish.recipe.again = Again::Never;
        }
    }
    let found = sheet(&order, &lists, &settings);
    assert!(!found.clashes.is_empty());
    let words = found.clashes[0].words(&lists, &settings);
    assert!(words.contains("stitched-look twill") && words.contains("smooth film stands no more"), "{words}");
    // What stands enough is pressed second.
    for finish in &mut lists.finishes {
        finish.recipe.again = Again::UpTo(Heat::fahrenheit(400));
    }
    assert_eq!(sheet(&order, &lists, &settings).clashes, []);
}

#[test]
fn finishes_are_pressed_together_only_where_their_recipes_agree() {
    let (mut order, mut lists, settings) = hard_order();
    order.designs[0].lines[0].text = Wording::new("OTTERS");
    let closings = |order: &Order, lists: &Lists| {
        let design = &order.designs[0];
        let group = &order.read(lists)[0].groups[0];
        let size = lists.blanks[0].size("M").unwrap();
        let made = garment(order, design, group, size, lists, &settings.platen);
        made.operations.iter().filter(|one| one.zone == Zone::Body(Side::Back)).count()
    };
    assert_eq!(closings(&order, &lists), 2);
    let smooth = lists.finishes[0].recipe.clone();
    lists.finishes[2].recipe = Recipe { dwell_from: 5, dwell_to: 12, ..smooth.clone() };
    assert_eq!(closings(&order, &lists), 1, "the same heat, pressure, peel and sheet, and dwells that meet");
    lists.finishes[2].recipe.cover_sheet = !smooth.cover_sheet;
    assert_eq!(closings(&order, &lists), 2);
}

#[test]
fn the_time_of_a_garment_is_that_of_its_steps() {
    let (order, lists, settings) = hard_order();
    let sheet = sheet(&order, &lists, &settings);
    let first = &sheet.garments[0];
    // MARSHOTTERS26, 1, MO: 16 letters; 3 loads; 2 closings of twill at 20 s, 2 of film at 15 s,
    // which are peeled: (16 x 6 + 3 x 30 + 4 x 5 + 2 x 10 + 70) x 1.15 = 340.4 s.
    let letters: u64 = first.picks.values().map(|letters| letters.total()).sum();
    assert_eq!(letters, 16);
    assert_eq!(first.times.labour, "340.4".parse().unwrap());
    let made = lettertally::press::Work { letters: 16, loads: 3, closings: 4, peels: 2, dwell: 70 };
    assert_eq!(times(&made, &settings), first.times);
    let per_hour = sheet.run.per_hour().unwrap();
    assert!(per_hour > Decimal::from(10) && per_hour < Decimal::from(11), "{per_hour}");
}

#[test]
fn letters_that_can_hardly_be_told_from_the_garment_are_named_with_better_colours() {
    let (mut order, lists) = (demo::order("2026-01-01"), demo::lists());
    let shop = lettertally::plan::Shop { lists, settings: demo::settings(), ..Default::default() };
    let found = |order: &Order| {
        let plan = lettertally::plan::plan(order, &shop);
        let poor = plan.problems.iter().filter(|problem| problem.message.contains("hard to read"));
        poor.cloned().collect::<Vec<_>>()
    };
    assert_eq!(found(&order), []);
    // White and gold on grey; the number stays white and far below 3 to 1 too.
    order.designs[0].blank = lettertally::lists::BlankId::new("pier-hoodie-grey");
    let problems = found(&order);
    assert_eq!(problems.len(), 3, "{problems:?}");
    assert!(problems.iter().all(|problem| problem.severity == Severity::Look));
    let place = |line| Place::Line { design: 0, line };
    let name = problems.iter().find(|problem| problem.place == place(1)).unwrap();
    let words: Vec<String> = name.fixes.iter().map(|fix| fix.words()).collect();
    assert_eq!(words, ["Use navy"]);
    name.fixes[0].apply(&mut order);
    assert!(found(&order).iter().all(|problem| problem.place != place(1)));
}

#[test]
fn lines_that_lie_over_each_other_are_named_with_their_sizes() {
    let (mut order, lists) = (demo::order("2026-01-01"), demo::lists());
    let shop = lettertally::plan::Shop { lists, settings: demo::settings(), ..Default::default() };
    let found = |order: &Order| {
        let plan = lettertally::plan::plan(order, &shop);
        let over = plan.problems.iter().filter(|problem| problem.message.starts_with("lies over"));
        over.map(|problem| (problem.place.clone(), problem.message.clone())).collect::<Vec<_>>()
    };
    assert_eq!(found(&order), []);
    // Across the shoulders letters begin 9.5 % down from the shoulder, on the upper back 16.5 %
    // (layout/garment.rs): 2 in letters leave no room between on 28 in of length, and do on 29 in.
    let line = &mut order.designs[0].lines[0];
    (line.placement, line.text) = (Placement::AcrossShoulders, Wording::new("OTTERS"));
    let message = "lies over line 1 on size S: choose another place, or smaller letters";
    assert_eq!(found(&order), [(Place::Line { design: 0, line: 1 }, message.to_owned())]);
    // One under the other at one placement never touch, though they may reach the next placement.
    order.designs[0].lines[0].placement = Placement::UpperBack;
    order.designs[0].lines.truncate(2);
    assert_eq!(found(&order), []);
}
