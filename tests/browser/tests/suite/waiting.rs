use lettertally_browser_tests::{Site, open_page};
use serde_json::json;

#[test]
fn a_change_shows_the_orders_it_touches_before_it_is_saved() {
    let site = Site::serve();
    let page = open_page(&site);
    let (each, profit) = (page.figure("each"), page.figure("profit"));
    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "40");
    page.says("Not saved yet: this changes 1 order.");
    let waiting = page.within("Changes that are not saved yet");
    waiting.says("Marsh Otters (demo)");
    waiting.says(&format!("each {each} →"));
    waiting.says(&format!("profit {profit} →"));
    assert_eq!((page.figure("each"), page.figure("profit")), (each.clone(), profit.clone()));

    // What waits is still there after a reload, and still does not count.
    page.reload();
    page.says("Not saved yet: this changes 1 order.");
    assert_eq!(page.figure("each"), each);
    page.go_to("Shop");
    assert_eq!(page.within("What the work costs").value_of("Wage"), "40");

    waiting.tap("Drop the changes");
    page.no_longer_says("Not saved yet");
    assert_eq!(page.within("What the work costs").value_of("Wage"), "18");
    page.tap("Undo");
    page.says("Not saved yet: this changes 1 order.");
    page.save_changes();
    page.until("the price is another", || page.figure("each") != each);
    page.has_a_clean_console();
}

#[test]
fn who_has_scrolled_on_meanwhile_is_not_brought_back() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let suppliers = page.within("Suppliers");
    suppliers.unfold("Quillfeather Letters");
    suppliers.type_into("Order minimum", "500");
    // What waits shows a moment after the last key, and moves the field out from under itself; here
    // the field has left the window by then.
    page.ask("window.scrollTo({ top: 0, behavior: 'instant' })", vec![]);
    page.says("Not saved yet: this changes 1 order.");
    let top_some_frames_on = "const [done] = arguments;
        const frame = (left) => (left ? requestAnimationFrame(() => frame(left - 1)) : done(Math.round(scrollY)));
        frame(5);";
    assert_eq!(page.ask_and_wait(top_some_frames_on, vec![]), json!(0));
    page.has_a_clean_console();
}

#[test]
fn a_change_that_touches_no_order_is_saved_by_itself() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let price = "Price of 4 in stitched-look twill, single piece";
    page.within("stitched-look twill, 4 in").unfold("single piece");
    page.within("Price list").type_into(price, "9.99");
    page.until("it is kept", || {
        page.kept()["lettertally.lists"].as_str().unwrap_or_default().contains(":999,")
    });
    page.no_longer_says("Not saved yet");
    page.reload();
    page.go_to("Shop");
    page.within("stitched-look twill, 4 in").unfold("single piece");
    assert_eq!(page.within("Price list").value_of(price), "9.99");
    page.has_a_clean_console();
}

#[test]
fn a_quote_that_was_handed_over_keeps_its_prices() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Quote");
    let quote = page.within("Quote for the customer");
    quote.tap("Handed over on paper");
    quote.says("Handed over on ");
    let total = quote.row("Total with tax")[1].clone();

    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "40");
    let waiting = page.within("Changes that are not saved yet");
    waiting.says(&format!("The quote handed over stays at {total}."));
    page.save_changes();
    page.go_to("Price");
    page.within("Price").says(&format!("The customer holds a quote of {total} from "));
    page.go_to("Quote");
    quote.says(&format!("at {total}, and it keeps these prices. Today's lists would give $"));
    assert_eq!(quote.row("Total with tax")[1], total);

    quote.tap("Make a new quote at today's prices");
    quote.says("until you hand this one over");
    assert_ne!(quote.row("Total with tax")[1], total);
    quote.tap("Handed over on paper");
    quote.says("Handed over on ");

    page.go_to("Order");
    page.within("Line 1").type_into("Text of line 1", "PERCH");
    page.go_to("Quote");
    quote.says("The order was changed since a quote of");
    quote.tap("Not handed over after all");
    page.until("no quote is out", || !quote.text().contains("was handed over on"));
    page.has_a_clean_console();
}
