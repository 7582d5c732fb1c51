use lettertally_browser_tests::tour::{screens, unfold_all};
use lettertally_browser_tests::{Browser, Feature, Look, Scheme, Site, Size, open_link, open_page};
use serde_json::{Value, json};
use std::collections::BTreeMap;

const SIZES: [Size; 3] = [Size(360, 740), Size(768, 1024), Size(1280, 800)];

#[test]
fn no_screen_scrolls_sideways_on_any_device() {
    every_screen("sideways", |page, look| {
        page.ask("return probe.sideways(arguments[0])", vec![json!(look.size.0)])
    });
}

#[test]
fn every_control_has_a_name_and_on_a_phone_room_for_a_thumb() {
    every_screen("controls", |page, look| {
        let least = if look.size.0 < 600 { 44 } else { 0 };
        page.ask("return probe.offenders(arguments[0])", vec![json!(least)])
    });
}

#[test]
fn all_text_stands_out_from_its_ground_in_light_and_dark() {
    every_screen("contrast", |page, _| page.ask("return probe.faint()", vec![]));
}

#[test]
fn a_name_in_one_long_word_stays_within_the_screen_of_a_phone() {
    let site = Site::serve();
    let page = open_page(&site);
    let word = "Rhabarberbarbarabarbarbarenbartbarbierbierbarbaerbel";
    let stays_within = |screen: &str| {
        unfold_all(&page);
        assert_eq!(page.ask("return probe.sideways(360)", vec![]), json!([]), "pushed aside on {screen}");
    };
    page.type_into("For whom", word);
    page.within("Line 1").type_into("Text of line 1", word);
    page.type_into("Name", word);
    page.type_into("No.", "1");
    page.tap("Add");
    stays_within("Order");
    page.go_to("Shop");
    page.within("Price list").type_into("Supplier", word);
    stays_within("Shop, a supplier");
    for (panel, entry) in
        [("Finishes", "smooth film"), ("Finishes", "glitter film"), ("Blanks", "club tee, navy")]
    {
        page.within(panel).unfold(entry);
        page.within(panel).within(entry).type_into("Name", word);
        stays_within(&format!("Shop, {panel}"));
    }
    for screen in ["Order", "Letters", "Price", "Quote"] {
        page.go_to(screen);
        stays_within(screen);
    }
    let customer = open_link(&page.value_of("Link, "));
    assert_eq!(customer.ask("return probe.sideways(360)", vec![]), json!([]), "pushed aside on the quote");
}

/// Looks for faults on every screen, at every size, in light and dark, folded and unfolded.
fn every_screen(what: &str, faults: impl Fn(&Browser, Look) -> Value) {
    let site = Site::serve();
    let page = open_page(&site);
    if !page.can(Feature::Emulation) {
        return;
    }
    page.go_to("Quote");
    let customer = open_link(&page.value_of("Link, "));
    // Each fault once, with the first place where it was seen.
    let mut found = BTreeMap::new();
    let mut note = |page: &Browser, look: Look, screen: &str| {
        for fault in faults(page, look).as_array().into_iter().flatten() {
            let fault = fault.as_str().unwrap_or_default();
            let place = || format!("{} × {} {:?}, {screen}", look.size.0, look.size.1, look.scheme);
            found.entry(fault.to_owned()).or_insert_with(place);
        }
    };
    for size in SIZES {
        for scheme in [Scheme::Light, Scheme::Dark] {
            let look = Look { size, scheme };
            page.look(look);
            page.reload();
            for screen in screens(&page) {
                page.go_to(&screen);
                note(&page, look, &screen);
                unfold_all(&page);
                note(&page, look, &format!("{screen} unfolded"));
            }
            customer.look(look);
            note(&customer, look, "customer's quote");
        }
    }
    // The same with something wrong, and something just removed.
    page.look(Look::PHONE);
    page.reload();
    page.paste_into("People: type, or paste from a spreadsheet", "Ash,7,XXS\nJosé,8,M\n,,S\n");
    page.within("Line 2").tap("Remove line 2");
    page.tap("By size");
    page.paste_into("M", "-5");
    page.says("not below 0");
    for scheme in [Scheme::Light, Scheme::Dark] {
        let look = Look { scheme, ..Look::PHONE };
        page.look(look);
        note(&page, look, "Order in trouble");
    }
    assert!(found.is_empty(), "{what}: {found:#?}");
    page.has_a_clean_console();
    customer.has_a_clean_console();
}
