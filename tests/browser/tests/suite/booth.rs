//! A day at the booth on the page: taken fast, made from the shelf, pressed, undone, handed over,
//! merged with a second phone, closed, bought again.

use lettertally_browser_tests::page::cents;
use lettertally_browser_tests::{Site, open_page};

#[test]
fn an_order_goes_through_its_day() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Booth");
    // One tap for the screen; the offer, size and count stand ready.
    page.within("New order").type_into("Name", "WREN");
    page.within("New order").type_into("Number", "7");
    page.within("New order").says("$");
    page.within("New order").says("Not all of it is on the shelf");
    page.tap("Write it down");
    page.tap("Orders");
    let book = page.within("Orders");
    book.says("WREN 7");
    book.says("quoted");
    book.unfold("WREN 7");
    book.tap("Paid");
    book.says("Paid in full.");
    let pressed = "Pressed: WREN 7, S";
    book.tap(pressed);
    book.unfold("What happened (3)");
    book.says("1 pressed, 5 letters");
    // A mistake: it was another garment. The letters are back, then it is pressed in truth.
    book.tap("Undo: 1 pressed, 5 letters");
    book.tap(pressed);
    book.tap("Handed over");
    // Nothing is left to do for it: it is among all, not among the open ones.
    book.says("1 of 2 orders");
    book.choose("Show", "handed over");
    book.says("WREN 7");
    page.has_a_clean_console();
    // All of it is in the day's close.
    page.tap("Day");
    let day = page.within("Day's close");
    assert_eq!(day.figure("garments pressed"), "1");
    assert_eq!(day.figure("orders handed over"), "1");
    assert_eq!(day.figure("taken in all"), day.figure("taken, cash"));
    assert!(cents(&day.figure("taken in all")) > 0);
    page.within("Ledger of the shelf").says("pressed: WREN 7");
    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
}
