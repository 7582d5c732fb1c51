//! Money, price, time and length against figures from outside.
//!
//! Each table says where its figures come from. "recomputed" means that the figure was worked out
//! again in exact arithmetic; "from memory" that the rule is cited without the text at hand.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::cost::price::{break_even, price};
use lettertally::cost::{CostKind, Priced, Sheet, UnitCost};
use lettertally::layout::positions::parts_along;
use lettertally::length::Length;
use lettertally::lists::settings::{Aim, CardFee, Platen, StepSeconds};
use lettertally::lists::{Settings, demo};
use lettertally::money::{Cents, Currency, Money, Percent};
use lettertally::order::Wording;
use lettertally::press::{Work, garment, times};
use rust_decimal::Decimal;

/// Rounding to a step of 0.1, halves away from zero.
/// ISO 80000-1:2009 Annex B, rule B, and IEEE 754-2019 section 4.3, roundTiesToAway: rules from
/// memory, values recomputed.
const TO_TENTHS: [(&str, &str); 7] = [
    ("12.223", "12.2"),
    ("12.251", "12.3"),
    ("12.275", "12.3"),
    ("12.25", "12.3"),
    ("12.35", "12.4"),
    ("-12.25", "-12.3"),
    ("-12.223", "-12.2"),
];

/// Cents that binary fractions get wrong: 1.005 is stored as a little less, and so on. Recomputed.
/// The last is also the case of Regulation (EC) No 1103/97, Article 5: an exact half goes up.
const TO_CENTS: [(&str, i64); 6] =
    [("1.005", 101), ("2.675", 268), ("19.99", 1999), ("1.15", 115), ("0.57", 57), ("0.125", 13)];

/// Iowa Department of Revenue, IA 1040 instructions, "Rounding off to whole dollars".
const TO_WHOLE: [(&str, i64); 4] = [("129.49", 129), ("235.50", 236), ("1.39", 1), ("2.50", 3)];

/// Minor-unit digits by ISO 4217, as four packages agree (iso_currency 0.7.1, codes-iso-4217
/// 0.1.7, iso4217 1.16, currency-codes 2.2.0).
const MINOR_DIGITS: [(u8, &str); 4] = [
    (0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"),
    (3, "BHD IQD JOD KWD LYD OMR TND"),
    (4, "CLF UYW"),
    (2, "USD EUR GBP CHF SEK HUF IDR AFN"),
];

/// Fixed cost, price, variable cost, units to break even.
/// OpenStax, Principles of Accounting, vol. 2: Managerial Accounting, sections 3.2 and 3.4;
/// recomputed. A wanted profit counts as fixed cost; 24,000 after tax at 40 % are 40,000 before.
const BREAK_EVEN: [(&str, &str, &str, u64); 6] = [
    ("18000", "100", "20", 225),
    ("34000", "100", "20", 425),
    ("58000", "100", "20", 725),
    ("3000", "35", "20", 200),
    ("145000", "73.00", "42.25", 4_716),
    ("220000", "22", "0", 10_000),
];

/// Price, variable cost, fixed cost, units, contribution, income.
/// OpenStax, Principles of Accounting, vol. 2: Managerial Accounting, sections 3.1 and 3.2;
/// recomputed (the text of 3.1 once prints 36,000 for a contribution that is 40,000).
const INCOME: [(&str, &str, &str, u64, i64, i64); 7] = [
    ("100", "20", "23000", 500, 40_000, 17_000),
    ("100", "20", "23000", 750, 60_000, 37_000),
    ("25", "15.50", "700", 100, 950, 250),
    ("25", "15.50", "700", 200, 1_900, 1_200),
    ("100", "20", "18000", 175, 14_000, -4_000),
    ("100", "20", "18000", 225, 18_000, 0),
    ("100", "20", "18000", 300, 24_000, 6_000),
];

/// Wanted margin, and the mark-up that is the same price: m / (1 - m). Recomputed.
const MARGIN_AS_MARK_UP: [(&str, &str); 6] = [
    ("20", "25"),
    ("25", "33.333333"),
    ("30", "42.857143"),
    ("40", "66.666667"),
    ("50", "100"),
    ("60", "150"),
];

/// Normal time of two cycles in seconds, allowance in percent, standard time of both.
/// A solved textbook problem, numbers only: 37.5 s a cycle, 20 %, 45.0 s. University of Nairobi,
/// exam-check page: 24 s, 20 %, 28.8 s. University of Hawaii at Hilo, QBA 361 supplement on time
/// studies: 18.275 min, 10 %; standard time as normal time times one plus the allowance is
/// 20.1025 min, recomputed (that text divides by one minus the allowance instead: 20.3056).
const STANDARD_TIME: [(u16, u32, &str); 3] = [(75, 20, "90.0"), (48, 20, "57.6"), (2_193, 10, "2412.3")];

/// Length of a letter, margin, closings of a platen of 16 in. Derived: what the platen covers anew
/// is its width less a margin on both sides; length / that, rounded up.
const CLOSINGS: [(&str, i32, u32); 8] = [
    ("15in", 250, 1),
    ("15.5in", 250, 1),
    ("15.51in", 250, 2),
    ("477.7918mm", 250, 2), // 18.8107 in
    ("31in", 250, 2),
    ("31.01in", 250, 3),
    ("1181.9458mm", 250, 4), // 46.5333 in
    ("37in", 0, 3),
];

fn money(text: &str) -> Money {
    Money::from_amount(text.parse().unwrap())
}

fn percent(text: &str) -> Percent {
    Percent::parse(text).unwrap()
}

fn length(text: &str) -> Length {
    serde_json::from_str(&format!("\"{text}\"")).unwrap()
}

/// So many garments of one kind, at this variable cost each and this fixed cost together.
fn sheet(units: u64, variable: Money, fixed: Money) -> Sheet {
    let letters = Money::ZERO;
    let unit =
        UnitCost { design: 0, size: "M".into(), count: units, letters, variable, fixed: fixed / units };
    Sheet {
        lines: vec![(CostKind::Blanks, variable * units), (CostKind::Fixed, fixed)],
        units: vec![unit],
        garments: units,
        ..Sheet::default()
    }
}

/// One garment that costs this.
fn one(cost: &str) -> Sheet {
    sheet(1, money(cost), Money::ZERO)
}

fn unit_price(cost: &str, aim: Aim) -> i64 {
    price(&one(cost), aim, &Settings::default()).unwrap().units[0].price.minor()
}

fn sold(sheet: &Sheet, at: &str, settings: &Settings) -> Priced {
    price(sheet, Aim::Price(money(at)), settings).unwrap()
}

#[test]
fn ties_go_away_from_zero_at_any_step() {
    let tenths = Currency::new("XTS", 1).unwrap();
    for (exact, rounded) in TO_TENTHS {
        assert_eq!(tenths.plain(money(exact).round(&tenths)), rounded, "{exact}");
    }
}

#[test]
fn cents_are_those_of_decimal_arithmetic() {
    for (exact, cents) in TO_CENTS {
        assert_eq!(money(exact).round(&Currency::usd()).minor(), cents, "{exact}");
    }
}

#[test]
fn sums_are_rounded_once_at_their_end() {
    let whole = Currency::new("XTS", 0).unwrap();
    for (exact, rounded) in TO_WHOLE {
        assert_eq!(money(exact).round(&whole).minor(), rounded, "{exact}");
    }
    // The same instructions: 5,000.55 + 18,500.73 = 23,501.28, so 23,501 and not 5,001 + 18,501.
    assert_eq!((money("5000.55") + money("18500.73")).round(&whole).minor(), 23_501);
}

#[test]
fn tax_is_taken_of_the_whole_not_line_by_line() {
    // Three at 4.99 and 8.25 %: 14.97 x 0.0825 = 1.235025; by line it would be 1.23. Recomputed.
    let settings = Settings { tax: percent("8.25"), ..Settings::default() };
    assert_eq!(sold(&sheet(3, Money::ZERO, Money::ZERO), "4.99", &settings).tax, Cents::new(124));
    // OpenStax, Principles of Accounting, vol. 1: Financial Accounting: 8 % on 50 are 4, so 54 are
    // paid; 38 at 45 and 22 at 80 come to 3,470, of which 6 % are 208.20 (recomputed).
    let settings = Settings { tax: percent("8"), ..Settings::default() };
    let priced = sold(&one("0"), "50", &settings);
    assert_eq!((priced.tax.minor(), priced.total().minor()), (400, 5_400));
    let settings = Settings { tax: percent("6"), ..Settings::default() };
    let subtotal = money("45") * 38_u32 + money("80") * 22_u32;
    assert_eq!(subtotal, money("3470"));
    assert_eq!(sold(&one("0"), "3470", &settings).tax.minor(), 20_820);
}

#[test]
fn minor_units_have_the_digits_of_the_standard() {
    for (digits, codes) in MINOR_DIGITS {
        for code in codes.split(' ') {
            let currency = Currency::of_code(code).unwrap();
            assert_eq!(currency.digits(), digits, "{code}");
            let unit = Money::of(1).round(&currency).minor();
            assert_eq!(unit, 10_i64.pow(u32::from(digits)), "{code}");
            assert_eq!(Cents::parse(&currency.plain(Cents::new(7)), &currency), Ok(Cents::new(7)), "{code}");
        }
    }
}

#[test]
fn break_even_agrees_with_the_textbook() {
    for (fixed, price, variable, units) in BREAK_EVEN {
        let found = break_even(money(fixed), money(price), money(variable));
        assert_eq!(found, Some(units), "{fixed} {price} {variable}");
    }
    // The composite unit of the fifth row is made of 5, 3 and 2 units.
    let composite =
        |each: [&str; 3]| money(each[0]) * 5_u32 + money(each[1]) * 3_u32 + money(each[2]) * 2_u32;
    assert_eq!(composite(["6.25", "7.75", "9.25"]), money("73.00"));
    assert_eq!(composite(["3.25", "4.50", "6.25"]), money("42.25"));
}

#[test]
fn income_agrees_with_the_textbook() {
    for (price, variable, fixed, units, contribution, income) in INCOME {
        let usd = Currency::usd();
        let settings = Settings { fixed_per_run: money(fixed), ..Settings::default() };
        let priced = sold(&sheet(units, money(variable), money(fixed)), price, &settings);
        let profit = priced.profit(&usd);
        assert_eq!(profit.round(&usd).minor(), income * 100, "{units} at {price}");
        assert_eq!((profit + money(fixed)).round(&usd).minor(), contribution * 100, "{units} at {price}");
        let pays = break_even(money(fixed), money(price), money(variable));
        assert_eq!(priced.break_even, pays, "{units} at {price}");
    }
}

#[test]
fn a_job_shows_its_margin_and_mark_up() {
    // OpenStax, Principles of Accounting, vol. 2, job order costing: material 700, labour 66,
    // overhead at 2.50 per labour dollar 165, price 2,000; percentages recomputed.
    let cost = money("700") + money("66") + money("66") * Decimal::new(25, 1);
    assert_eq!(cost, money("931"));
    let usd = Currency::usd();
    let priced = sold(&one("931"), "2000", &Settings::default());
    assert_eq!(priced.profit(&usd), money("1069"));
    assert_eq!(priced.margin(&usd).unwrap().value(), "53.45".parse().unwrap());
    assert_eq!(priced.mark_up(&usd).unwrap().value().round_dp(4), "114.8228".parse().unwrap());
}

#[test]
fn a_mark_up_is_added_to_cost_and_a_margin_is_part_of_the_price() {
    // OpenStax, Principles of Accounting, vol. 2, transfer pricing: cost plus 30 %.
    assert_eq!(unit_price("10", Aim::MarkUp(percent("30"))), 1_300);
    assert_eq!(unit_price("12", Aim::MarkUp(percent("30"))), 1_560);
    // Recomputed.
    assert_eq!(unit_price("12.60", Aim::Margin(percent("40"))), 2_100);
    assert_eq!(unit_price("12.60", Aim::MarkUp(percent("40"))), 1_764);
    assert_eq!(unit_price("40", Aim::MarkUp(percent("50"))), 6_000);
    let margin = sold(&one("40"), "60", &Settings::default()).margin(&Currency::usd()).unwrap();
    assert_eq!(margin.value().round_dp(6), "33.333333".parse().unwrap());
    for (margin, mark_up) in MARGIN_AS_MARK_UP {
        // A cost of 84 makes each of these prices a whole number.
        let priced = price(&one("84"), Aim::Margin(percent(margin)), &Settings::default()).unwrap();
        let found = priced.mark_up(&Currency::usd()).unwrap().value().round_dp(6);
        assert_eq!(found, mark_up.parse().unwrap(), "{margin} %");
    }
}

#[test]
fn a_card_fee_is_taken_of_what_is_paid() {
    // OpenStax, Principles of Accounting, vol. 1: 5 % of 300 are 15, leaving 285.
    let card_fee = CardFee { percent: percent("5"), fixed: Money::ZERO };
    let settings = Settings { card_fee, ..Settings::default() };
    let priced = sold(&one("0"), "300", &settings);
    assert_eq!((priced.fee, priced.profit(&Currency::usd())), (money("15"), money("285")));
}

#[test]
fn the_price_solves_the_equation_of_margin_fee_and_tax() {
    // price = (cost + fixed fee) / (1 - margin - fee (1 + tax)); recomputed:
    // (12.60 + 0.30) / (1 - 0.40 - 0.03 x 1.07) = 12.90 / 0.5679 = 22.7153.
    let card_fee = CardFee { percent: percent("3"), fixed: money("0.30") };
    let settings = Settings { card_fee, tax: percent("7"), ..Settings::default() };
    let priced = price(&one("12.60"), Aim::Margin(percent("40")), &settings).unwrap();
    assert_eq!(priced.subtotal.minor(), 2_272);
    assert!(priced.margin(&Currency::usd()).unwrap() >= percent("40"));
}

#[test]
fn standard_time_is_normal_time_and_its_allowance() {
    for (normal, allowance, standard) in STANDARD_TIME {
        let seconds = StepSeconds { place_letter: 0, load_side: normal, tack: 0, peel: 0 };
        let settings = Settings { seconds, allowance: Percent::of(allowance), ..Settings::default() };
        let found = times(&Work { loads: 1, ..Work::default() }, &settings).labour;
        assert_eq!(found, standard.parse().unwrap(), "{normal} s and {allowance} %");
    }
}

#[test]
fn a_run_takes_its_closings_times_its_garments() {
    // 24 garments, 2 closings each, 45 s a closing: 36 min; 41.4 min with 15 %. Recomputed.
    let seconds = StepSeconds { place_letter: 0, load_side: 0, tack: 45, peel: 0 };
    let one_garment = Work { closings: 2, ..Work::default() };
    for (allowance, minutes) in [(0, "36"), (15, "41.4")] {
        let settings = Settings { seconds, allowance: Percent::of(allowance), ..Settings::default() };
        let run = times(&one_garment, &settings).labour * Decimal::from(24) / Decimal::from(60);
        assert_eq!(run, minutes.parse().unwrap());
    }
}

#[test]
fn long_lines_take_more_closings() {
    for (across, margin, closings) in CLOSINGS {
        let found = parts_along(length(across), Length::inches(16) - Length::mils(2 * margin));
        assert_eq!(found, closings, "{across}, margin {margin}");
    }
}

#[test]
fn closings_across_and_down_multiply() {
    let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
    order.designs[0].lines.truncate(1);
    order.designs[0].lines[0].text = Wording::new("HHHH");
    order.designs[0].lines[0].height = Length::inches(4);
    let reading = order.read(&lists).remove(0);
    let size = &lists.blanks[0].sizes[1];
    let closings = |width: Length, depth: Length| {
        let platen = Platen { width, depth, margin: Length::ZERO };
        garment(&order, &order.designs[0], &reading.groups[0], size, &lists, &platen).work().closings
    };
    let wide = Length::inches(100);
    let narrow = Length::inches(6);
    assert_eq!(closings(wide, wide), 1);
    assert_eq!(closings(wide, Length::inches(2)), 2);
    // Two letters of 2.8 in (the alphabet's own) and their gap of 0.4 in take just 6 in.
    assert_eq!(closings(narrow, wide), 2);
    // Letters higher than the platen are pressed in parts: 12.4 in take three across, and two down.
    assert_eq!(closings(narrow, Length::inches(2)), 3 * 2);
}

#[test]
fn an_inch_is_25_4_mm() {
    // NIST SP 811, Appendix B: 1 in = 25.4 mm exactly (the document from memory; two packages
    // agree: scipy.constants 1.17.1, pint 0.25.3).
    assert_eq!(Length::inches(4).to_mm(), "101.6".parse().unwrap());
    assert_eq!(Length::inches(1), length("25.4mm"));
    assert_eq!(Length::mm(254), Length::inches(10));
}
