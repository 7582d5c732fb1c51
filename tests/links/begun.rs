//! Readable parameters that begin an order.

use super::*;

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
