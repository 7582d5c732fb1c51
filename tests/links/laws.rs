//! Laws of links, with random quotes.

use super::*;

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
