//! Links: quotes that come back whole or not at all, and readable parameters.
#![allow(clippy::unwrap_used, clippy::panic)]

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
use lettertally::share::{LONGEST_LINK, Link, LinkError, quote_fragment, read};
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

#[test]
fn base64_is_that_of_the_standard() {
    for (bytes, text) in BASE64 {
        assert_eq!(URL_SAFE_NO_PAD.encode(bytes), text);
        assert_eq!(URL_SAFE_NO_PAD.decode(text).unwrap(), bytes);
    }
    // Without padding n bytes take 4n/3 characters, rounded up.
    assert_eq!(URL_SAFE_NO_PAD.encode([0; 1000]).len(), 1334);
}

#[test]
fn a_link_uses_only_characters_that_need_no_escape() {
    let fragment = quote_fragment(&demo_quote());
    let plain = |c: char| c.is_ascii_alphanumeric() || "-._~#=&+%".contains(c);
    assert!(fragment.chars().all(plain), "{fragment}");
}

#[test]
fn a_quote_says_what_a_customer_may_see_and_no_more() {
    let quote = demo_quote();
    let people = [
        ("Okonjo", "1", "S"),
        ("Lindqvist", "4", "M"),
        ("O'Dell", "7", "M"),
        ("Marlow", "8", "M"),
        ("Banerjee", "10", "L"),
        ("Castellan", "11", "L"),
        ("Wren", "13", "S"),
        ("Takeda", "15", "L"),
        ("Voss", "17", "XL"),
        ("Hollis", "21", "M"),
        ("Ferreira", "22", "XL"),
        ("Quist", "30", "2XL"),
    ];
    let terms = demo::settings().terms;
    let mut expected: Vec<(Kind, String)> = Vec::new();
    let mut add = |kind, texts: &[&str]| expected.extend(texts.iter().map(|text| (kind, (*text).to_owned())));
    // The title stands readable beside the code.
    add(Kind::Prose, &["", "Lantern Pier Lettering (demo)", "hello@lanternpier.example"]);
    add(Kind::Figure, &["2026-01-01"]);
    add(Kind::Prose, &["USD"]);
    // Digits, tax, days valid, deposit.
    add(Kind::Figure, &["2", "7", "30", "50"]);
    add(Kind::Prose, &["about two weeks after your yes and the deposit", &terms]);
    // Other quantities, swaps, items.
    add(Kind::Figure, &["0", "0", "1"]);
    add(Kind::Term, &["club tee, navy"]);
    // A look: colour, width and length of the first one's size, S. Then three lines.
    add(Kind::Figure, &["1", "#22304f", "18in", "28in", "3"]);
    for [at, text, height, finish, colour, screen] in [
        ["across_chest", "OTTERS", "2in", "glitter film", "gold", "#c9a227"],
        ["upper_back", "{name}", "2in", "smooth film", "white", "#f7f7f2"],
        ["middle_back", "{number}", "4in", "smooth film", "white", "#f7f7f2"],
    ] {
        add(Kind::Term, &[at]);
        add(Kind::Prose, &[text]);
        add(Kind::Figure, &[height]);
        add(Kind::Term, &[finish, colour]);
        add(Kind::Figure, &[screen]);
    }
    add(Kind::Figure, &["5"]);
    for (size, quoted) in
        [("S", 2), ("M", 4), ("L", 3), ("XL", 2), ("2XL", 1)].iter().zip(&quote.items[0].sizes)
    {
        add(Kind::Size, &[size.0]);
        add(Kind::Figure, &[&size.1.to_string(), &quoted.price.minor().to_string()]);
    }
    add(Kind::Figure, &["12"]);
    people.iter().for_each(|person| add(Kind::Name, &[person.0]));
    people.iter().for_each(|person| add(Kind::Figure, &[person.1]));
    people.iter().for_each(|person| add(Kind::Size, &[person.2]));
    people.iter().for_each(|_| add(Kind::Figure, &["1"]));
    let (kinds, expected): (Vec<Kind>, Vec<String>) = expected.into_iter().unzip();
    let fragment = quote_fragment(&quote);
    assert_eq!(texts(&fragment, &kinds), expected);
    let readable = format!("&no={}&for=Marsh+Otters+%28demo%29", quote.number);
    assert!(fragment.ends_with(&readable), "{fragment}");
}

#[test]
fn no_figure_of_the_shop_is_in_a_link() {
    // Figures that occur nowhere else: were one in the link, its digits would be there.
    let mut shop = demo_shop();
    shop.settings.wage_per_hour = "17.3101".parse().map(lettertally::money::Money::from_amount).unwrap();
    shop.settings.aim = lettertally::lists::settings::Aim::Margin(Percent::parse("43.217").unwrap());
    shop.lists.suppliers[0].name = "Zephyrine Supplies".into();
    let order = demo::order("2026-01-01");
    let family = order.designs[0].lines[1].family();
    shop.shelf.set(&family, lettertally::glyph::Glyph::parse("Q").unwrap(), 61_803);
    let plan = plan(&order, &shop);
    let priced = plan.priced.clone().unwrap();
    shop.settings.other_quantities = OtherQuantities::All;
    // Every text that is sent comes back, so whatever is in the link is in the quote it opens.
    let said = format!("{:?}", opened(&quote_fragment(&quote(&order, &shop, &plan).unwrap())).unwrap());
    let usd = Currency::usd();
    let mut secrets = vec!["17.3101".to_owned(), "43.217".to_owned(), "Zephyrine".to_owned()];
    secrets.extend(["61803", "quillfeather", "smooth-2"].map(str::to_owned));
    let amounts = [priced.cost, priced.fee, priced.profit(&usd), plan.mix.cost().money(&usd)];
    secrets.extend(amounts.map(|amount| amount.round(&usd).minor().to_string()));
    secrets.extend(plan.sheet.lines.iter().map(|(_, cost)| cost.round(&usd).minor().to_string()));
    // Figures are looked for as whole words: 1200 is in 7112000 too.
    let words: Vec<&str> = said.split(|c: char| !c.is_alphanumeric() && !matches!(c, '.' | '-')).collect();
    for secret in secrets {
        let is_there = words.contains(&secret.as_str())
            || !secret.starts_with(|c: char| c.is_ascii_digit()) && said.contains(&secret);
        assert!(!is_there, "{secret} in {said}");
    }
}

/// A team's names, with numbers and sizes.
fn roster(people: usize) -> String {
    let names = "Abbott Brandvold Castellano Dubois Eriksen Fairweather Grimaldi Hawthorne Ivanova Jankowski \
                 Kobayashi Lindgren Montgomery Nakamura Okafor Petrov Quigley Rasmussen Santiago Thorvaldsen \
                 Underwood Villanueva Wainwright Yamamoto Zielinski";
    let names: Vec<&str> = names.split_whitespace().collect();
    // Beyond the first 25: other beginnings with other endings, so that no name comes twice.
    let name = |i: usize| match i / 25 {
        0 => names[i].to_owned(),
        turn => format!("{}{}", &names[i % 25][..3], &names[(i * 7 + turn * 3) % 25][2..]),
    };
    let row = |i: usize| format!("{},{},{}\n", name(i), i * 3 + 1, ["S", "M", "L", "XL", "2XL"][i % 5]);
    (0..people).map(row).collect()
}

/// The shop's terms in words that are in no sample of the packer, as long as terms usually are.
const OWN_TERMS: &str = "Half up front, the rest at the counter. Your job goes on the press as soon as the money \
                         is in and the captain has confirmed the list. Typing slips on your list are yours; \
                         crooked letters are ours and we redo them.";

#[test]
fn links_are_short_enough_for_a_message() {
    let mut shop = demo_shop();
    shop.settings.terms = OWN_TERMS.to_owned();
    let mut lengths = Vec::new();
    for (people, most) in [(12, 700), (25, 1_200), (100, 2_400)] {
        let mut order = demo::order("2026-01-01");
        order.designs[0].roster = roster(people);
        let quote = quote(&order, &shop, &plan(&order, &shop)).unwrap();
        let fragment = quote_fragment(&quote);
        assert_eq!(opened(&fragment), Ok(quote));
        assert!(fragment.len() < most, "{people}: {} characters", fragment.len());
        lengths.push((people, fragment.len()));
    }
    let link = start("#text=TIGERS&qty=1&height=4").unwrap();
    let order = link.order(&demo::lists(), OrderId::new("a"), "2026-01-01").unwrap();
    let single = quote_fragment(&quote(&order, &shop, &plan(&order, &shop)).unwrap());
    assert!(single.len() < 300, "{} characters", single.len());
    println!("1: {}, {lengths:?}", single.len());
}

#[test]
fn a_quote_has_one_link_and_no_other_is_taken_for_it() {
    let quote = demo_quote();
    let fragment = quote_fragment(&quote);
    assert_eq!(quote_fragment(&opened(&fragment).unwrap()), fragment);
    // Another number, another title, or one of them moved into the packed part.
    for (from, to) in
        [("&no=260101", "&no=260102"), ("&for=Marsh", "&for=marsh"), ("&for=", "&to="), ("&no=", "&nr=")]
    {
        let other = fragment.replacen(from, to, 1);
        assert_ne!(other, fragment);
        assert_eq!(opened(&other), Err(LinkError::Damaged), "{other}");
    }
    let long = Quote { title: "A title of more than forty characters, all told".into(), ..quote };
    assert!(!quote_fragment(&long).contains("&for="));
    assert_eq!(opened(&quote_fragment(&long)), Ok(long));
}

#[test]
fn a_link_of_version_1_still_opens() {
    let quote = opened(include_str!("data/links/v1.txt").trim()).unwrap();
    assert_eq!((quote.title.as_str(), quote.total()), ("Straße crew", Cents::new(7_688)));
    assert_eq!((quote.number.as_str(), quote.valid_until(), quote.deposit()), ("", None, Cents::ZERO));
    // Handed on, it takes the form of today, and a yes to it is a yes to both.
    let again = opened(&quote_fragment(&quote)).unwrap();
    assert_eq!(Acceptance::of(&again), Acceptance::of(&quote));
}

#[test]
fn a_yes_comes_back_and_is_for_one_quote_only() {
    let quote = demo_quote();
    let yes = Acceptance::of(&quote);
    assert_eq!(read(&yes.fragment()), Ok(Some(Link::Accept(yes.clone()))));
    let mut others = vec![quote.clone(); 6];
    others[0].items[0].people[3].name = "Marlowe".into();
    others[1].items[0].sizes[0].price = Cents::new(1);
    others[2].number.push_str("-2");
    others[3].terms.deposit = Percent::of(40);
    others[4].title.push('.');
    others[5].date = "2026-01-02".into();
    for other in others {
        assert_ne!(Acceptance::of(&other).code, yes.code);
    }
    let wrong = yes.fragment().replacen(&yes.code.to_string(), "2222-2223", 1);
    assert!(matches!(read(&wrong), Err(LinkError::Parameter { name: "accept", .. })));
    assert_eq!(read(&format!("{}&text=A", yes.fragment())), Err(LinkError::Mixed));
}

#[test]
fn deposit_and_balance_come_to_the_total_and_validity_ends() {
    let mut quote = demo_quote();
    for share in ["0", "33.333", "50", "99.999", "100"] {
        quote.terms.deposit = Percent::parse(share).unwrap();
        assert_eq!(quote.deposit() + quote.balance(), quote.total(), "{share}");
    }
    assert_eq!(quote.balance(), Cents::ZERO);
    // 30 days from the first of January.
    assert_eq!(quote.valid_until().unwrap().to_string(), "2026-01-31");
    assert!(!quote.is_past("2026-01-31") && quote.is_past("2026-02-01"));
    quote.terms.valid_days = 0;
    assert!(!quote.is_past("2999-01-01"));
}

#[test]
fn the_garment_is_drawn_from_the_link_as_on_the_shops_own_screen() {
    let (mut order, lists) = (demo::order("2026-01-01"), demo::lists());
    order.designs[0].lines[1].curve = Curve::Rise(Bend::Up, Length::mils(750));
    let mut sent = demo_quote();
    sent.items[0].lines[1].curve = order.designs[0].lines[1].curve;
    let opened = opened(&quote_fragment(&sent)).unwrap();
    let drawn = opened.pictures(&opened.items[0]);
    let group = &order.read(&lists)[0].groups[0];
    let size = lists.blanks[0].size(&group.size).unwrap();
    let own = lettertally::layout::picture::pictures(&order, &order.designs[0], group, size, &lists);
    assert_eq!(drawn.len(), 2);
    for (drawn, own) in drawn.iter().zip(&own) {
        assert_eq!((&drawn.outline, drawn.collar), (&own.outline, own.collar));
        let places = |picture: &lettertally::layout::picture::Picture| {
            picture.lines.iter().map(|line| (line.letters.clone(), line.baseline)).collect::<Vec<_>>()
        };
        assert_eq!(places(drawn), places(own));
    }
}

#[test]
fn a_shop_with_letters_of_its_own_sends_them_drawn_as_wide_as_they_are() {
    let (mut order, mut lists) = (demo::order("2026-01-01"), demo::lists());
    order.designs[0].lines[1].curve = Curve::Rise(Bend::Up, Length::mils(750));
    let shop = |lists: &Lists| Shop { lists: lists.clone(), settings: demo::settings(), ..Shop::default() };
    let sent = |order: &Order, lists: &Lists| {
        let shop = shop(lists);
        quote_fragment(&quote(order, &shop, &plan(order, &shop)).unwrap())
    };
    let plain = sent(&order, &lists);
    let widths = &mut lists.styles[0].widths;
    widths.gap = Caps::thousandths(40);
    for (letter, width) in [('O', 931), ('T', 480), ('N', 1_012), ('K', 612), ('1', 333)] {
        let glyph = lettertally::glyph::Glyph::parse(&letter.to_string()).unwrap();
        widths.letters.insert(glyph, Caps::thousandths(width));
    }
    let own = sent(&order, &lists);
    assert!(own != plain && own.len() <= plain.len() + 24, "{} and {}", own.len(), plain.len());
    let quote = opened(&own).unwrap();
    let drawn = quote.pictures(&quote.items[0]);
    let group = &order.read(&lists)[0].groups[0];
    let size = lists.blanks[0].size(&group.size).unwrap();
    let own = lettertally::layout::picture::pictures(&order, &order.designs[0], group, size, &lists);
    for (drawn, own) in drawn.iter().zip(&own).flat_map(|(a, b)| a.lines.iter().zip(&b.lines)) {
        // A straight line is as wide as it is to a thousandth of 4 in at either end; on an arc half a
        // percent is left to how its outer letters are turned, of which the link says nothing.
        let off = (drawn.bounds.width() - own.bounds.width()).units().abs();
        let within = if drawn.line == 1 { own.bounds.width().part(1, 200) } else { Length::mils(8) };
        assert!(off <= within.units(), "line {}: {off} of {}", drawn.line, own.bounds.width());
        let baselines = (drawn.baseline - own.baseline).units().abs();
        assert!(baselines <= Length::mils(20).units(), "line {}: {baselines}", drawn.line);
    }
    assert_eq!(drawn.iter().map(|side| side.lines.len()).sum::<usize>(), 3);
}

#[test]
fn a_link_cut_short_says_so_or_is_refused() {
    let fragment = quote_fragment(&demo_quote());
    let contents = fragment.rfind('.').unwrap() + 1;
    let whole = fragment.find('&').unwrap();
    for end in "#quote".len()..whole {
        let error = opened(&fragment[..end]).unwrap_err();
        if end >= contents {
            let (has, of) = (end - contents, whole - contents);
            assert_eq!(error, LinkError::CutShort { has, of });
        }
        assert!(!error.to_string().is_empty());
    }
    for end in whole..fragment.len() {
        assert_eq!(opened(&fragment[..end]), Err(LinkError::Damaged));
    }
}

/// Every character that a link may hold, and some that come in on the way.
const STRAY: &str = "ABCXYZabcxyz0189-._~#=&%+ ?/!é\u{200b}";

#[test]
fn one_character_changed_removed_or_added_never_gives_another_quote() {
    let order = start("#text=TIGERS&qty=3").unwrap().order(&demo::lists(), OrderId::new("a"), "").unwrap();
    let quote = quote_of(&order);
    let fragment = quote_fragment(&quote);
    let (name, payload) = fragment.split_at("#quote=".len());
    for at in 0..=payload.len() {
        let (before, after) = payload.split_at(at);
        let rest = after.get(1..).unwrap_or("");
        let removed = (at < payload.len()).then(|| format!("{name}{before}{rest}"));
        // Each place gets its turn of the characters: all of them everywhere would take minutes.
        let stray = || STRAY.chars().skip(at % 8).step_by(8);
        let changed = stray().filter(|_| at < payload.len());
        let changed = changed.map(|c| format!("{name}{before}{c}{rest}"));
        let added = stray().map(|c| format!("{name}{before}{c}{after}"));
        for damaged in removed.into_iter().chain(changed).chain(added) {
            if let Ok(Some(link)) = read(&damaged) {
                assert_eq!(link, Link::Quote(Box::new(quote.clone())), "{damaged}");
            }
        }
    }
}

#[test]
fn a_bomb_and_an_oversized_link_are_refused() {
    // Forty million spaces come to less than the longest link.
    let bomb = link_of_bytes(&vec![b' '; 40_000_000]);
    assert!(bomb.len() < LONGEST_LINK, "{}", bomb.len());
    assert_eq!(opened(&bomb), Err(LinkError::TooLong));
    let mut packer = Packer::default();
    packer.text(Kind::Prose, &"a".repeat(LARGEST + 1));
    let packed = packer.finish();
    assert!(packed.len() < LONGEST_LINK / 4, "{}", packed.len());
    let contents = URL_SAFE_NO_PAD.encode([vec![0; 4], packed].concat());
    assert_eq!(opened(&format!("#quote=2.{}.{contents}", contents.len())), Err(LinkError::TooLong));
    let long = format!("#quote=1.9.{}", "A".repeat(LONGEST_LINK));
    assert_eq!(opened(&long), Err(LinkError::TooLong));
    assert_eq!(read(&"#".repeat(LONGEST_LINK * 10)), Err(LinkError::TooLong));
}

#[test]
fn codes_that_nobody_made_are_refused() {
    for (code, newer) in NOT_CODES {
        let error = opened(&format!("#quote={code}")).unwrap_err();
        assert_eq!(matches!(error, LinkError::NewerVersion(_)), newer, "{code}: {error}");
    }
}

#[test]
fn links_of_others_are_named_and_refused() {
    for fragment in FOREIGN {
        assert!(matches!(read(fragment), Err(LinkError::Foreign(_))), "{fragment}");
    }
    let long = read(&format!("{}=1", "x".repeat(500))).unwrap_err().to_string();
    assert!(long.chars().count() < 120, "{long}");
    assert_eq!(read("#"), Ok(None));
    // Parameters that others add to our links are passed over.
    let fragment = quote_fragment(&demo_quote());
    assert_eq!(opened(&format!("{fragment}&utm_source=mail")), Ok(demo_quote()));
    assert_eq!(read(&format!("{fragment}&text=A")), Err(LinkError::Mixed));
}

#[test]
fn fields_out_of_range_are_refused() {
    let good = fields_of_version_1();
    assert_eq!(opened(&link_of(&good)).unwrap().total(), Cents::new(7_688));
    let changes: [(&str, Value); 24] = [
        ("", json!([])),
        ("", json!({"shop": "x"})),
        ("", json!(null)),
        ("/0", json!(7)),
        ("/4/code", json!("usd")),
        ("/4/digits", json!(9)),
        ("/4/digits", json!(-1)),
        ("/5", json!("-7")),
        ("/5", json!("1001")),
        ("/5", json!(7)),
        ("/6/0/1/0/0", json!("on_the_hat")),
        ("/6/0/1/0/2", json!("-2in")),
        ("/6/0/1/0/2", json!("9999in")),
        ("/6/0/1/0/2", json!("2")),
        ("/6/0/2/0/1", json!(-1)),
        ("/6/0/2/0/1", json!(4_294_967_296_u64)),
        ("/6/0/2/0/1", json!(1.5)),
        ("/6/0/2/0/2", json!(-1)),
        ("/6/0/2/0/2", json!(i64::MAX)),
        ("/6/0/2/0/2", json!("12.00")),
        ("/6/0/3/0/3", json!(65_536)),
        ("/6/0/3/0", json!(["Ash", "7", "M", 1, "and more"])),
        ("/6/0", json!(["club tee", [], []])),
        ("/7", json!([{"from": "AB", "to": null}])),
    ];
    for (place, value) in changes {
        let mut damaged = good.clone();
        *damaged.pointer_mut(place).unwrap() = value.clone();
        assert_eq!(opened(&link_of(&damaged)), Err(LinkError::Damaged), "{place} {value}");
    }
    let mut longer = good.clone();
    longer.as_array_mut().unwrap().push(json!("one more"));
    assert_eq!(opened(&link_of(&longer)), Err(LinkError::Damaged));
    let mut most = good;
    *most.pointer_mut("/6/0/2/0/1").unwrap() = json!(u32::MAX);
    *most.pointer_mut("/6/0/2/0/2").unwrap() = json!(100_000_000_000_i64);
    // Far beyond any order, but no figure in it overflows.
    assert!(opened(&link_of(&most)).unwrap().total() > Cents::ZERO);
}

#[test]
fn percent_encoding_is_that_of_the_standard() {
    for (encoded, text) in ENCODED {
        let found = start(&format!("#text={encoded}&title={encoded}")).unwrap();
        assert_eq!(found.texts, [Wording::new(text)], "{encoded}");
        assert_eq!(found.title.as_deref(), Some(text), "{encoded}");
    }
}

#[test]
fn readable_parameters_begin_an_order() {
    let link = "#text=TIGERS&text={number}&at=upper-back&at=left-sleeve&qty=12&height=4&finish=Glitter+Film\
                &color=SILVER&size=xl&blank=pier-hoodie-grey&title=Tigers&utm=x";
    let order = start(link).unwrap().order(&demo::lists(), OrderId::new("a"), "2026-01-01").unwrap();
    let design = &order.designs[0];
    assert_eq!((design.blank.as_str(), design.lines.len()), ("pier-hoodie-grey", 2));
    assert_eq!((design.sizes[0].size.as_str(), design.sizes[0].count), ("XL", 12));
    let lines: Vec<_> = design.lines.iter().map(|line| (line.text.as_str(), line.placement)).collect();
    assert_eq!(lines, [("TIGERS", Placement::UpperBack), ("{number}", Placement::LeftSleeve)]);
    for line in &design.lines {
        let family = (line.height, line.finish.as_str(), line.colour.as_str());
        assert_eq!(family, (Length::inches(4), "glitter", "silver"));
    }
}

#[test]
fn a_refused_parameter_is_named_with_what_would_be_right() {
    for (fragment, parameter, word) in REFUSED {
        let order = start(fragment).and_then(|start| start.order(&demo::lists(), OrderId::new("a"), ""));
        match order {
            Err(LinkError::Parameter { name, why }) => {
                assert_eq!(name, parameter, "{fragment}");
                assert!(why.contains(word), "{fragment}: {why}");
            }
            other => panic!("{fragment}: {other:?}"),
        }
    }
    let texts = "text=A&".repeat(13);
    assert!(matches!(start(&texts), Err(LinkError::Parameter { name: "text", .. })));
    for name in ["text", "title", "finish"] {
        let long = format!("{name}={}", "A".repeat(501));
        assert!(matches!(start(&long), Err(LinkError::Parameter { name: at, .. }) if at == name));
    }
}

fn words() -> impl Strategy<Value = String> {
    "\\PC{0,16}"
}

fn a_screen() -> impl Strategy<Value = Option<Rgb>> {
    prop::option::of(any::<[u8; 3]>().prop_map(Rgb))
}

fn a_look() -> impl Strategy<Value = Option<Look>> {
    let length = || (0_i32..40_000).prop_map(Length::mils);
    prop::option::of((any::<[u8; 3]>(), length(), length()).prop_map(|(colour, width, length)| Look {
        colour: Rgb(colour),
        width,
        length,
    }))
}

fn terms() -> impl Strategy<Value = Terms> {
    (any::<u16>(), 0_u32..=100, words(), "\\PC{0,80}").prop_map(|(valid_days, deposit, lead_time, text)| {
        Terms { valid_days, deposit: Percent::of(deposit), lead_time, text }
    })
}

fn others() -> impl Strategy<Value = Vec<OtherQuantity>> {
    let other = (any::<u32>(), 0_i64..=100_000_000_000)
        .prop_map(|(garments, price)| OtherQuantity { garments, price: Cents::new(price) });
    prop::collection::vec(other, 0..4)
}

fn a_line() -> impl Strategy<Value = QuotedLine> {
    let placement = prop::sample::select(Placement::ALL.to_vec());
    let height = (1_i32..30_000).prop_map(Length::mils);
    let bend = prop::sample::select(vec![Bend::Up, Bend::Down]);
    let size = (1_i32..90_000).prop_map(Length::mils);
    let curve = prop_oneof![
        Just(Curve::Straight),
        (bend.clone(), size.clone()).prop_map(|(bend, rise)| Curve::Rise(bend, rise)),
        (bend, size).prop_map(|(bend, radius)| Curve::Radius(bend, radius)),
    ];
    let closest = prop::option::of((0_i32..1_000).prop_map(Caps::thousandths));
    let width = prop::option::of(0_u32..40_000);
    (placement, words(), height, words(), words(), a_screen(), curve, (closest, width)).prop_map(
        |(placement, text, height, finish, colour, screen, curve, (closest, width))| QuotedLine {
            width,
            curve,
            closest,
            placement,
            text: Wording::new(&text),
            height,
            finish,
            colour,
            screen,
        },
    )
}

fn a_size() -> impl Strategy<Value = QuotedSize> {
    (words(), any::<u32>(), 0_i64..=100_000_000_000).prop_map(|(size, count, price)| QuotedSize {
        size,
        count,
        price: Cents::new(price),
    })
}

fn a_person() -> impl Strategy<Value = QuotedPerson> {
    (words(), words(), words(), any::<u16>()).prop_map(|(name, number, size, quantity)| QuotedPerson {
        name,
        number,
        size,
        quantity,
    })
}

fn an_item() -> impl Strategy<Value = Item> {
    let lists = (
        prop::collection::vec(a_line(), 0..4),
        prop::collection::vec(a_size(), 0..5),
        prop::collection::vec(a_person(), 0..30),
    );
    (words(), a_look(), lists).prop_map(|(garment, look, (lines, sizes, people))| Item {
        garment,
        look,
        lines,
        sizes,
        people,
    })
}

fn a_quote() -> impl Strategy<Value = Quote> {
    let currency = ("[A-Z]{3}", 0_u8..=4).prop_map(|(code, digits)| Currency::new(&code, digits).unwrap());
    let swap = prop::sample::select(vec![("É", Some("E")), ("!", None), ("9", Some("6"))]);
    let swap = swap.prop_map(|(from, to)| {
        let glyph = |text| lettertally::glyph::Glyph::parse(text);
        Swap { from: glyph(from).unwrap(), to: to.and_then(glyph) }
    });
    let tax = (0_u32..=1_000_000).prop_map(|thousandths| {
        Percent::parse(&format!("{}.{:03}", thousandths / 1_000, thousandths % 1_000)).unwrap()
    });
    let lists = (prop::collection::vec(an_item(), 0..4), prop::collection::vec(swap, 0..3));
    (
        (words(), words(), "[^\\x00]{0,30}", words(), "[0-9A-Z-]{0,14}"),
        currency,
        tax,
        lists,
        terms(),
        others(),
    )
        .prop_map(
            |((shop, contact, title, date, number), currency, tax_rate, (items, swaps), terms, others)| {
                Quote { number, terms, others, shop, contact, title, date, currency, tax_rate, items, swaps }
            },
        )
}

proptest! {
    #[test]
    fn every_quote_comes_back_as_it_was(quote in a_quote()) {
        let fragment = quote_fragment(&quote);
        let opened = opened(&fragment);
        prop_assert_eq!(opened.as_ref(), Ok(&quote));
        prop_assert_eq!(quote_fragment(&opened.unwrap()), fragment);
    }

    #[test]
    fn damage_anywhere_gives_an_error_or_the_same_quote(
        quote in a_quote(),
        at in any::<prop::sample::Index>(),
        stray in any::<char>(),
        kind in 0..3,
    ) {
        let fragment = quote_fragment(&quote);
        let (name, payload) = fragment.split_at("#quote=".len());
        let (before, after) = payload.split_at(at.index(payload.len()));
        let rest = &after[1..];
        let damaged = match kind {
            0 => format!("{name}{before}{stray}{rest}"),
            1 => format!("{name}{before}{rest}"),
            _ => format!("{name}{before}{stray}{after}"),
        };
        if let Ok(Some(link)) = read(&damaged) {
            prop_assert_eq!(link, Link::Quote(Box::new(quote)));
        }
    }

    #[test]
    fn no_fragment_makes_the_reader_panic(fragment in "\\PC{0,60}", code in "[0-9]{1,3}\\.[0-9]{1,3}\\.[A-Za-z0-9_-]{0,60}") {
        let _ = read(&fragment);
        let _ = read(&format!("#quote={code}"));
    }

    #[test]
    fn no_parameters_make_a_new_order_panic(
        names in prop::collection::vec("text|at|qty|height|finish|colou?r|style|blank|size|title", 0..6),
        values in prop::collection::vec("(4|chest|smooth|gold|M|\\PC{0,8})", 6),
    ) {
        let pairs: Vec<String> = names.iter().zip(&values).map(|(name, value)| format!("{name}={value}")).collect();
        if let Ok(Some(Link::Start(start))) = read(&pairs.join("&"))
            && let Ok(order) = start.order(&demo::lists(), OrderId::new("a"), "2026-01-01")
        {
            let _ = plan(&order, &demo_shop());
        }
    }
}
