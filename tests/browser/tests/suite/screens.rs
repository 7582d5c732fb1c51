use lettertally_browser_tests::tour::{screens, unfold_all};
use lettertally_browser_tests::{Browser, Feature, Look, Scheme, Site, Size, open_link, open_page};
use serde_json::{Value, json};

const SIZES: [Size; 3] = [Size(360, 740), Size(768, 1024), Size(1280, 800)];

#[test]
fn no_screen_scrolls_sideways_on_any_device() {
    every_screen("sideways", |page, look| page.ask("return probe.sideways(arguments[0])", vec![json!(look.size.0)]));
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
    let mut found = vec![];
    let mut look_at = |page: &Browser, screen: &str| {
        unfold_all(page);
        let faults = page.ask("return probe.sideways(360)", vec![]);
        found.extend(faults.as_array().into_iter().flatten().map(|fault| format!("{screen}: {fault}")));
    };
    page.type_into("For whom", word);
    page.within("Line 1").type_into("Text of line 1", word);
    page.type_into("Name", word);
    page.type_into("No.", "1");
    page.tap("Add");
    // Not by the bar, which may be out of reach by now.
    let go_to = |screen: &str| page.ask("probe.find([], 'button', arguments[0]).click()", vec![json!(screen)]);
    go_to("Shop");
    page.within("Price list").type_into("Supplier", word);
    for (panel, entry) in [("Finishes", "smooth film"), ("Finishes", "glitter film"), ("Blanks", "club tee, navy")] {
        page.within(panel).unfold(entry);
        page.within(panel).within(entry).type_into("Name", word);
    }
    for screen in ["Shop", "Order", "Letters", "Price", "Quote"] {
        go_to(screen);
        look_at(&page, screen);
    }
    found.dedup();
    assert!(found.is_empty(), "pushed aside: {found:#?}");
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
    let mut found = vec![];
    let mut note = |page: &Browser, look: Look, screen: &str| {
        for fault in faults(page, look).as_array().into_iter().flatten() {
            let fault = fault.as_str().unwrap_or_default();
            found.push(format!("{} × {} {:?}, {screen}: {fault}", look.size.0, look.size.1, look.scheme));
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
    found.dedup();
    assert!(found.is_empty(), "{what}: {found:#?}");
    page.has_a_clean_console();
    customer.has_a_clean_console();
}
