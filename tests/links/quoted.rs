//! The quote in a link: what it says, how long it is, the yes that comes back.

use super::*;

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
    let quote = opened(include_str!("../data/links/v1.txt").trim()).unwrap();
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
