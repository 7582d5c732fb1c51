//! Any order in any shop, however odd, is planned without a panic and keeps its promises.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::book::Moment;
use lettertally::glyph::Glyph;
use lettertally::length::{Length, Units};
use lettertally::lists::settings::{
    Aim, CardFee, LetterCharge, Platen, PricePoint, Settings, Spares, StepSeconds,
};
use lettertally::lists::{Caps, demo};
use lettertally::money::{Cents, Currency, Money, Percent};
use lettertally::order::{
    Bend, CountBy, Curve, Design, Line, Order, OrderId, Placement, SizeCount, Swap, Wording,
};
use lettertally::plan::{Shop, plan};
use lettertally::quote::quote;
use lettertally::saved::record;
use lettertally::share;
use proptest::prelude::*;

fn shop() -> Shop {
    Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() }
}

fn demo_order() -> Order {
    demo::order("2026-01-01")
}

fn percent() -> impl Strategy<Value = Percent> {
    prop_oneof![Just(0), 0_u32..100, 0_u32..=1_000].prop_map(Percent::of)
}

fn amount() -> impl Strategy<Value = Money> {
    prop_oneof![
        Just(Money::ZERO),
        (0_u32..2_000).prop_map(|n| Money::of(n) / 100),
        Just(Money::of(10_000_000))
    ]
}

fn length() -> impl Strategy<Value = Length> {
    prop_oneof![
        Just(Length::ZERO),
        (1_i32..40).prop_map(Length::inches),
        (1_i32..=1_000_000).prop_map(Length::mils)
    ]
}

fn seconds() -> impl Strategy<Value = u16> {
    prop_oneof![0_u16..60, Just(u16::MAX)]
}

fn aim() -> impl Strategy<Value = Aim> {
    prop_oneof![
        percent().prop_map(Aim::Margin),
        percent().prop_map(Aim::MarkUp),
        amount().prop_map(Aim::Price)
    ]
}

fn any_settings() -> impl Strategy<Value = Settings> {
    let rates = (amount(), amount(), amount(), amount());
    let shares = (percent(), percent(), percent(), percent(), percent());
    let work = (seconds(), seconds(), seconds(), seconds(), any::<bool>());
    let platen = (length(), length(), length());
    let choices =
        (aim(), prop::sample::select(PricePoint::ALL.to_vec()), any::<bool>(), 0_u8..=4, any::<u16>());
    (rates, shares, work, platen, choices).prop_map(|(rates, shares, work, platen, choices)| Settings {
        shop_name: "Shop".into(),
        contact: String::new(),
        currency: Currency::new("XTS", choices.3).unwrap(),
        wage_per_hour: rates.0,
        allowance: shares.0,
        seconds: StepSeconds { place_letter: work.0, load_side: work.1, tack: work.2, peel: work.3 },
        dwell_attended: work.4,
        press_per_hour: rates.1,
        consumables_per_garment: rates.2,
        fixed_per_run: rates.3,
        spoilage: shares.1,
        spares: Spares { percent: shares.2, each: choices.4 % 20 },
        card_fee: CardFee { percent: shares.3, fixed: rates.1 },
        tax: shares.4,
        aim: choices.0,
        price_point: choices.1,
        charge: if choices.2 { LetterCharge::Everything } else { LetterCharge::Used },
        platen: Platen { width: platen.0, depth: platen.1, margin: platen.2 },
        units: if choices.2 { Units::Millimetres } else { Units::Inches },
        presses: choices.4 % 30,
        people: choices.4 % 25,
        backup_after: choices.4,
        ..Settings::default()
    })
}

fn any_text() -> impl Strategy<Value = String> {
    prop_oneof!["[A-Z ]{0,12}", "\\PC{0,30}", "(\\{name\\}|\\{number\\}|[a-z&6-9 ]|é){0,8}"]
}

fn any_roster() -> impl Strategy<Value = String> {
    prop_oneof![
        "(name,number,size,qty\n)?([A-Za-z']{0,8},[0-9]{0,2},(S|M|XL|Q|),[0-9]{0,3}\n){0,8}",
        "[a-z0-9\",;\t\r\n =é👕M]{0,80}",
        "\\PC{0,40}"
    ]
}

fn any_line() -> impl Strategy<Value = Line> {
    let pattern = prop::sample::select(demo_order().designs.remove(0).lines);
    let placement = prop::sample::select(Placement::ALL.to_vec());
    let bend = prop::sample::select(vec![Bend::Up, Bend::Down]);
    let curve = prop_oneof![
        2 => Just(Curve::Straight),
        1 => (bend.clone(), length()).prop_map(|(bend, rise)| Curve::Rise(bend, rise.max(Length::mils(1)))),
        1 => (bend, length()).prop_map(|(bend, radius)| Curve::Radius(bend, radius.max(Length::mils(1)))),
    ];
    let closest = prop::option::of((0_i32..300).prop_map(Caps::thousandths));
    let line = (pattern, any_text(), placement, 2_i32..=4, curve, closest);
    line.prop_map(|(pattern, text, placement, inches, curve, closest)| Line {
        placement,
        text: Wording::new(&text),
        height: Length::inches(inches),
        curve,
        closest,
        ..pattern
    })
}

fn any_design() -> impl Strategy<Value = Design> {
    let count = prop_oneof![0_u16..30, Just(u16::MAX)];
    let size = ("(S|M|L|XL|huge)", count).prop_map(|(size, count)| SizeCount { size, count });
    let lists = (prop::collection::vec(any_line(), 0..4), prop::collection::vec(size, 0..4));
    (lists, any_roster(), any::<bool>()).prop_map(|((lines, sizes), roster, by_roster)| Design {
        blank: demo_order().designs[0].blank.clone(),
        lines,
        count_by: if by_roster { CountBy::Roster } else { CountBy::Sizes },
        sizes,
        roster,
    })
}

fn any_order() -> impl Strategy<Value = Order> {
    let swap =
        |bare: bool| Swap { from: Glyph::parse("É").unwrap(), to: Glyph::parse("E").filter(|_| bare) };
    let designs = prop::collection::vec(any_design(), 0..3);
    (designs, prop::option::of(aim()), any::<bool>()).prop_map(move |(designs, aim, bare)| Order {
        designs,
        swaps: vec![swap(bare)],
        aim,
        id: OrderId::new("any"),
        ..demo_order()
    })
}

proptest! {
    #[test]
    fn no_order_makes_the_plan_panic(
        order in any_order(),
        settings in any_settings(),
        price in prop_oneof![0_i64..500, Just(100_000_000_000)],
        left in 0_usize..13,
        on_shelf in 0_u32..9,
    ) {
        let mut shop = Shop { settings, ..shop() };
        shop.lists.offers.truncate(left);
        shop.lists.offers.iter_mut().step_by(2).for_each(|offer| offer.price = Cents::new(price));
        shop.lists.blanks[0].sizes[1].price = Cents::new(price);
        let family = demo_order().designs[0].lines[1].family();
        shop.shelf.set(&family, Glyph::parse("E").unwrap(), on_shelf);
        let plan = plan(&order, &shop);
        for problem in &plan.problems {
            prop_assert!(!problem.message.is_empty());
            for fix in &problem.fixes {
                fix.apply(&mut order.clone());
                prop_assert!(!fix.words().is_empty());
            }
        }
        if let Ok(priced) = &plan.priced {
            let currency = &shop.settings.currency;
            let figures = [priced.cost, priced.fee, priced.profit(currency)];
            figures.iter().for_each(|figure| drop(currency.show(figure.round(currency))));
            let _ = (priced.margin(currency), priced.mark_up(currency), priced.profit_per_press_hour(currency));
            if let Aim::Margin(margin) = plan.aim {
                let wanted = priced.subtotal.money(currency) * margin.share();
                prop_assert!((wanted - priced.profit(currency)).settled() <= Money::ZERO, "{priced:?}");
            }
        }
        let _ = plan.sheet.lines_in_cents(&shop.settings.currency);
        if let Some(quote) = quote(&order, &shop, &plan) {
            let link = share::read(&share::quote_fragment(&quote));
            prop_assert_eq!(link, Ok(Some(share::Link::Quote(Box::new(quote)))));
        }
        let kept = record::write(&order, Moment(1));
        prop_assert_eq!(record::read::<Order>(&kept), Ok(order));
    }
}
