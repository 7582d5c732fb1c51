use lettertally_browser_tests::{Browser, Feature, Profile, Site, open_page, open_page_in};
use serde_json::Value;

#[test]
fn a_reload_keeps_order_lists_settings_and_shelf() {
    let site = Site::serve();
    let page = open_page(&site);
    change_something_of_everything(&page);
    let (each, profit) = (page.figure("each"), page.figure("profit"));

    page.reload();
    shows_all_changes(&page);
    assert_eq!((page.figure("each"), page.figure("profit")), (each, profit));
    page.has_a_clean_console();
}

#[test]
fn a_killed_tab_loses_nothing() {
    let site = Site::serve();
    let page = open_page(&site);
    if page.lacks(Feature::KillingTabs) {
        return;
    }
    change_something_of_everything(&page);
    page.go_to("Order");
    page.type_into("For whom", "Typed just before the end");

    let page = open_page_in(&site, &page.kill_tab());
    assert_eq!(page.value_of("For whom"), "Typed just before the end");
    page.type_into("For whom", "Changed title");
    shows_all_changes(&page);
    page.has_a_clean_console();
}

#[test]
fn a_closed_and_reopened_browser_shows_what_was_kept() {
    let site = Site::serve();
    let page = open_page(&site);
    if page.lacks(Feature::Keeping) {
        return;
    }
    change_something_of_everything(&page);

    let page = page.reopen();
    page.visit(&site.address());
    shows_all_changes(&page);
    page.has_a_clean_console();
}

#[test]
fn a_change_in_one_tab_appears_in_the_other() {
    let site = Site::serve();
    let page = open_page(&site);
    page.open_tab(&site.address());
    page.type_into("For whom", "From the second tab");
    page.within("Line 1").type_into("Text of line 1", "PERCH");
    let profit = page.figure("profit");

    page.to_tab(0);
    page.until("the title arrives", || page.value_of("For whom") == "From the second tab");
    assert_eq!(page.value_of("Text of line 1"), "PERCH");
    assert_eq!(page.figure("profit"), profit);

    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "25");
    page.save_changes();
    let profit = page.figure("profit");
    page.to_tab(1);
    page.until("the wage arrives", || page.figure("profit") == profit);
    assert_eq!(page.value_of("For whom"), "From the second tab");
    page.has_a_clean_console();
}

#[test]
fn a_full_storage_is_said_once_and_work_goes_on() {
    let site = Site::serve();
    let page = open_page(&site);
    page.ask(
        "let piece = 'x'.repeat(1 << 20);
        for (let n = 0; piece; n++) {
            try { localStorage.setItem('other.' + n, piece); } catch { piece = piece.slice(0, piece.length >> 1); }
        }",
        vec![],
    );
    let before = page.figure("profit");
    page.within("Line 1").type_into("Text of line 1", "WANDERING OTTERS OF THE MARSH");
    page.says("The browser's storage is full");
    let profit = page.figure_after("profit", &before);
    assert_eq!(page.text().matches("storage is full").count(), 1);
    page.within("Line 1").type_into("Text of line 1", "WANDERING OTTERS OF THE MARSHLAND");
    page.figure_after("profit", &profit);
    let kept = page.kept()["lettertally.order.demo"].as_str().unwrap_or_default().to_owned();
    let whole: Result<Value, _> = serde_json::from_str(&kept);
    assert!(whole.is_ok(), "the last record that fitted is still whole: {kept}");
    assert!(page.has_button("Save a backup"));

    page.ask("for (const key of Object.keys(localStorage)) if (key.startsWith('other.')) localStorage.removeItem(key)", vec![]);
    page.type_into("For whom", "Room again");
    page.no_longer_says("storage is full");
    page.reload();
    assert_eq!(page.value_of("For whom"), "Room again");
    assert_eq!(page.value_of("Text of line 1"), "WANDERING OTTERS OF THE MARSHLAND");
    page.has_a_clean_console();
}

#[test]
fn a_browser_that_keeps_nothing_is_told_of_and_works() {
    let site = Site::serve();
    let page = open_page_in(&site, &Profile::that_keeps_nothing());
    if page.lacks(Feature::Forbidding) {
        return;
    }
    page.says("This browser keeps nothing for this page");
    let before = page.figure("profit");
    page.within("Line 1").type_into("Text of line 1", "PERCH");
    page.figure_after("profit", &before);
    page.go_to("Quote");
    page.within("Quote for the customer").says("PERCH");
}

#[test]
fn a_damaged_record_is_set_aside_whole_and_the_others_load() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "25");
    page.save_changes();
    let garbage = "{\"version\":2,\"revision\":7,\"data\":{\"order\":{\"id\":\"demo\",\"ti";
    page.keep("lettertally.order.demo", garbage);
    // As a page does that is closed before it can write again.
    page.go("about:blank");

    page.visit(&site.address());
    page.says("One record of what was kept could not be read");
    let kept = page.kept();
    let copies: Vec<String> = kept
        .as_object()
        .into_iter()
        .flatten()
        .filter(|(key, _)| key.starts_with("lettertally.aside."))
        .filter_map(|(_, text)| serde_json::from_str::<Value>(text.as_str()?).ok())
        .map(|aside| aside["data"]["text"].as_str().unwrap_or_default().to_owned())
        .collect();
    assert_eq!(copies, [garbage]);
    assert_eq!(page.value_of("For whom"), "Marsh Otters (demo)");
    page.go_to("Shop");
    assert_eq!(page.within("What the work costs").value_of("Wage"), "25");
    let backup = page.within("Backup");
    backup.says("The order could not be read.");
    backup.tap("Throw away");
    backup.tap("Throw away for good");
    page.no_longer_says("The order could not be read.");
    page.reload();
    page.go_to("Shop");
    assert!(!page.text().contains("could not be read"), "it is said once");
    page.has_a_clean_console();
}

#[test]
fn what_a_newer_page_wrote_is_neither_read_nor_overwritten() {
    let site = Site::serve();
    let page = open_page(&site);
    let newer = "{\"version\":999,\"revision\":1,\"data\":{\"later\":true}}";
    page.keep("lettertally.shelf", newer);
    page.go("about:blank");
    page.visit(&site.address());
    page.says("A newer version of this page has written what is kept on this device.");
    let before = page.kept();
    page.type_into("For whom", "Not to be kept");
    page.go_to("Quote");
    page.within("Quote for the customer").says("Not to be kept");
    assert_eq!(page.kept(), before);
    page.has_a_clean_console();
}

#[test]
fn what_version_1_kept_is_all_there() {
    let site = Site::serve();
    let page = open_page(&site);
    let stored: Value =
        serde_json::from_str(include_str!("../../../data/stored/v1.json")).unwrap_or_default();
    page.ask("localStorage.clear()", vec![]);
    for (key, text) in stored.as_object().into_iter().flatten() {
        page.keep(key, text.as_str().unwrap_or_default());
    }
    page.go("about:blank");
    page.visit(&site.address());
    page.until("the order that was open is open", || {
        page.value_of("For whom") == "Straße crew \"two\", gate 3"
    });
    page.go_to("Shop");
    page.within("Shelf").says("8 letters on the shelf");
    assert!(!page.text().contains("could not be read"));
    page.has_a_clean_console();
}

#[test]
fn bringing_something_back_loses_nothing_that_was_typed_since() {
    let site = Site::serve();
    let page = open_page(&site);
    page.within("Line 3").tap("Remove line 3");
    page.says("Removed line 3.");
    page.no_longer_says("Line 3");
    page.tap("Undo");
    page.says("Line 3");

    // What is typed ends the offer, so that taking it up cannot undo the typing.
    page.within("Line 3").tap("Remove line 3");
    page.says("Removed line 3.");
    page.type_into("For whom", "Typed after the removal");
    page.no_longer_says("Removed line 3.");
    assert!(!page.has_button("Undo"), "the offer stands after a change");
    assert_eq!(page.value_of("For whom"), "Typed after the removal");
    page.has_a_clean_console();
}

fn change_something_of_everything(page: &Browser) {
    page.type_into("For whom", "Changed title");
    page.within("Line 1").type_into("Text of line 1", "PERCH");
    page.go_to("Shop");
    page.within("smooth film, 2 in").unfold("single piece");
    page.within("Price list").type_into("Price of 2 in smooth film, single piece", "0.61");
    page.within("What the work costs").enter("Wage", "21.50");
    page.save_changes();
    page.within("Shelf").unfold("0 letters on the shelf");
    page.within("Shelf").unfold("2 in smooth film, white, block");
    page.within("2 in smooth film, white, block").type_into("On the shelf", "E:5 R:2");
    page.within("2 in smooth film, white, block").type_into("Wanted there", "A:3");
}

fn shows_all_changes(page: &Browser) {
    page.go_to("Order");
    assert_eq!(page.value_of("For whom"), "Changed title");
    assert_eq!(page.value_of("Text of line 1"), "PERCH");
    page.go_to("Letters");
    page.within("Letters needed").within("2 in smooth film, white").says("shelf 5");
    page.go_to("Shop");
    page.within("smooth film, 2 in").unfold("single piece");
    assert_eq!(page.within("Price list").value_of("Price of 2 in smooth film, single piece"), "0.61");
    assert_eq!(page.within("What the work costs").value_of("Wage"), "21.5");
    page.within("Shelf").unfold("7 letters on the shelf, 3 letters wanted there");
    page.within("Shelf").unfold("2 in smooth film, white, block");
    assert_eq!(page.within("2 in smooth film, white, block").value_of("On the shelf"), "E:5 R:2");
    assert_eq!(page.within("2 in smooth film, white, block").value_of("Wanted there"), "A:3");
}
