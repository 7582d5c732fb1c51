//! Links that are cut, damaged, too large or not ours.

use super::*;

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

/// A mail program may escape any letter of a link.
#[test]
fn a_quote_is_for_the_customer_however_its_name_is_escaped() {
    let link = quote_fragment(&demo_quote()).replace("#quote", "#%71uote");
    assert!(matches!(read(&link), Ok(Some(Link::Quote(_)))));
    assert!(is_for_customer(&link) && is_for_customer("#%71uote") && !is_for_customer("#text=quote"));
}

/// A quote that is read can be said yes to.
#[test]
fn a_quote_with_a_number_that_no_answer_takes_is_refused() {
    let numbered = |length: usize| Quote { number: "7".repeat(length), ..demo_quote() };
    let yes = Acceptance::of(&numbered(60));
    assert!(matches!(read(&quote_fragment(&numbered(60))), Ok(Some(Link::Quote(_)))));
    assert_eq!(read(&yes.fragment()), Ok(Some(Link::Accept(yes))));
    let refused = read(&quote_fragment(&numbered(61)));
    assert!(matches!(refused, Err(LinkError::Parameter { name: "no", .. })), "{refused:?}");
}
