use lettertally_browser_tests::page::cents;
use lettertally_browser_tests::{Site, open_page};

#[test]
fn breaks_and_freight_are_bought_with_their_reasons() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("Proved: no way to buy these letters costs less.");
    buying.says("Pieces only");
    assert_eq!(buying.figure("Freight"), "$0.00");
    page.within("Against run size").says("run sizes where the buying changes");

    page.go_to("Shop");
    let suppliers = page.within("Suppliers");
    suppliers.unfold("Quillfeather Letters");
    suppliers.type_into("Freight, by merchandise", "0: 7.50, 60: x");
    suppliers.complains_at("Freight, by merchandise", "“60: x”: “x” is not a number");
    page.says("Not complete: Freight, by merchandise");
    suppliers.type_into("Freight, by merchandise", "0: 7.50, 60: 4.00, 130: 0");
    page.no_longer_says("Not complete");
    page.save_changes();

    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("Freight from $60.00 at Quillfeather Letters");
    buying.says("saves $3.50");
    assert_eq!(buying.figure("Freight"), "$4.00");
    assert_eq!(buying.figure("Merchandise"), "$122.10");
    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn an_order_minimum_is_filled_with_letters_for_the_shelf() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let suppliers = page.within("Suppliers");
    suppliers.unfold("Quillfeather Letters");
    suppliers.type_into("Order minimum", "500");
    page.save_changes();
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("left over for the shelf");
    page.until("the minimum is reached", || cents(&buying.figure("Merchandise")) >= 50_000);
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}
