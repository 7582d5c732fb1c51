use lettertally_browser_tests::{Site, open_page};
use serde_json::json;

#[test]
fn a_first_start_shows_a_finished_example() {
    let site = Site::serve();
    let page = open_page(&site);

    assert_eq!(page.value_of("For whom"), "Marsh Otters (demo)");
    assert!(page.figure("each").starts_with('$'), "no price: {}", page.figure("each"));
    assert!(page.figure("profit").starts_with('$'), "no profit: {}", page.figure("profit"));
    let rings = page.ask(
        "return [...document.querySelectorAll('figure .lettering path')].map((p) => p.getAttribute('d')).join('').split('M').length - 1",
        vec![],
    );
    assert_eq!(rings, json!(13 + 5), "OTTERS, OKONJO and 1: 13 letters, and the holes of four O and an R");
    let text = page.text();
    assert!(!text.contains("Not complete") && !text.contains("Look: "), "the example has problems: {text}");

    page.go_to("Letters");
    let buy = page.within("Letters to buy");
    buy.says("Quillfeather Letters");
    buy.says("1 × assorted set of 64");
    buy.says("Proved: no way to buy these letters costs less.");
    page.go_to("Price");
    assert!(page.figure("Break-even").contains("garment"));
    page.go_to("Quote");
    page.within("Quote for the customer").says("Marsh Otters");

    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
    let elsewhere = page.ask(
        "return performance.getEntriesByType('resource').map((e) => e.name).filter((name) => !name.startsWith(arguments[0]))",
        vec![json!(site.address())],
    );
    assert_eq!(elsewhere, json!([]), "the page asked others");
}

#[test]
fn one_tap_leads_to_an_empty_shop_and_another_one_back() {
    let site = Site::serve();
    let page = open_page(&site);
    let price = page.figure("each");

    page.go_to("Shop");
    page.tap("Empty shop");
    page.says("Not complete: your lists have no garment yet: add a blank under Shop");
    assert_eq!(page.figure("each"), "—");
    page.within("Price list").says("Add a finish first");
    page.tap("Undo");
    page.no_longer_says("Not complete");
    page.within("smooth film, 2 in").says("single piece");
    page.go_to("Order");
    assert_eq!(page.value_of("For whom"), "Marsh Otters (demo)");
    assert_eq!(page.figure("each"), price);

    page.go_to("Shop");
    page.tap("Empty shop");
    page.says("Not complete: your lists have no garment yet: add a blank under Shop");
    page.go_to("Order");
    page.says("Your lists have no garment yet. Add one under Shop");
    assert!(!page.has_button("Add a garment"), "there is no garment to add");
    page.go_to("Letters");
    page.says("No letters yet.");
    page.go_to("Quote");
    page.says("The figures are not complete yet");
    page.go_to("Shop");
    page.within("Price list").says("Add a finish first");
    page.tap("Demo shop");
    page.go_to("Order");
    page.until("the demo order is in front", || page.value_of("For whom") == "Marsh Otters (demo)");
    assert_eq!(page.figure("each"), price);
    page.has_a_clean_console();
}
