use lettertally_browser_tests::page::cents;
use lettertally_browser_tests::{Browser, Site, open_page};
use serde_json::{Value, json};
use std::thread::sleep;
use std::time::Duration;

#[test]
fn breaks_and_freight_are_bought_with_their_reasons() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("Proved: no way to buy these letters costs less.");
    buying.says("Pieces only");
    // Two suppliers, each on the step of its freight that the mix was made to reach.
    buying.says("Freight from $60.00 at Quillfeather Letters");
    buying.says("Freight from $45.00 at Tansywick Alphabets");
    assert_eq!((buying.figure("Merchandise"), buying.figure("Freight")), ("$66.75".into(), "$3.90".into()));
    page.within("Against run size").says("run sizes where the buying changes");

    page.go_to("Shop");
    let suppliers = page.within("Suppliers");
    suppliers.unfold("Quillfeather Letters");
    suppliers.type_into("Freight, by merchandise", "0: 7.50, 60: x");
    suppliers.complains_at("Freight, by merchandise", "“60: x”: “x” is not a number");
    page.says("Not complete: Freight, by merchandise");
    suppliers.type_into("Freight, by merchandise", "0: 6.90");
    page.no_longer_says("Not complete");
    page.save_changes();

    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    // The step at 60.00 had saved 3.00: nothing better is left than to pay it.
    page.until("freight is paid in full", || buying.figure("Freight") == "$6.90");
    assert_eq!(buying.figure("Merchandise"), "$66.75");
    page.until("no step is praised", || !buying.text().contains("Freight from $60.00"));
    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn an_order_minimum_is_filled_with_letters_for_the_shelf() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let suppliers = page.within("Suppliers");
    for name in ["Quillfeather Letters", "Tansywick Alphabets"] {
        suppliers.unfold(name);
        suppliers.clone().within(name).type_into("Order minimum", "500");
    }
    page.save_changes();
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("left over for the shelf");
    page.until("the minimum is reached", || cents(&buying.figure("Merchandise")) >= 50_000);
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn each_family_has_its_own_reasons() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("instead of");
    buying.unfold("2 in smooth film, white, block");
    let family = buying.clone().within("2 in smooth film, white, block");
    family.says("were only these letters bought otherwise");
    let (alone, packs) = (family.row("These letters alone"), family.row("Packs only"));
    assert!(cents(&alone[1]) > 0 && packs[1].ends_with(" more"), "{alone:?} {packs:?}");
    // Bought with the others, they share the freight.
    assert!(cents(&family.row("Their part")[1]) < cents(&alone[1]), "{alone:?}");
    assert_eq!(family.row("Sets only")[1], "not for all letters");
    // Alone among the letters, a family has no reasons beside those of the whole.
    page.go_to("Order");
    page.within("Line 3").tap("Remove line 3");
    page.within("Line 2").tap("Remove line 2");
    page.go_to("Letters");
    page.until("one family is left", || !page.text().contains("were only these letters"));
    buying.says("instead of");
    assert!(!page.has_button("2 in glitter film, gold, block"));
    page.has_a_clean_console();
}

#[test]
fn letters_wanted_on_the_shelf_are_bought_and_not_charged() {
    let site = Site::serve();
    let page = open_page(&site);
    let (price, profit) = (page.figure("each"), page.figure("profit"));
    page.go_to("Letters");
    let before = cents(&page.within("Letters to buy").figure("Merchandise"));
    page.go_to("Shop");
    page.within("Shelf").unfold("0 letters on the shelf");
    page.within("Shelf").unfold("4 in stitched-look twill, red, block");
    page.within("4 in stitched-look twill, red, block").type_into("Wanted there", "A:3 4 E");
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    buying.says("7 letters for what is wanted on the shelf");
    // Seven pieces at 2.10; a pack of five is 8.90.
    page.until("they are bought", || cents(&buying.figure("Merchandise")) == before + 7 * 210);
    buying.says("single A (for the shelf)");
    buying.says("Restocking adds $");
    buying.says("stays that of its own letters");
    assert_eq!((page.figure("each"), page.figure("profit")), (price, profit));
    buying.tick("Restock the shelf");
    page.until("they are not", || cents(&buying.figure("Merchandise")) == before);
    page.no_longer_says("wanted on the shelf");
    page.has_a_clean_console();
}

#[test]
fn orders_bought_together_share_packs_and_keep_their_prices() {
    let site = Site::serve();
    let page = open_page(&site);
    page.tap("Copy");
    page.type_into("For whom", "Second team");
    let price = page.figure("each");
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    let alone = cents(&buying.figure("Merchandise"));
    buying.unfold("Buy together with other orders");
    buying.tick("Marsh Otters (demo), ");
    buying.says("Bought together with 1 other order");
    buying.says("Together saves $");
    let together = cents(&buying.figure("Merchandise"));
    assert!(alone < together, "{alone} {together}");
    buying.says("The price of “Second team” stays that of its own letters");
    assert_eq!(page.figure("each"), price);
    // The other order is another question, and has its own answer.
    page.go_to("Order");
    let today = kept_record(&page, "lettertally.order.demo")["data"]["order"]["date"].clone();
    page.choose("Open order", &format!("Marsh Otters (demo), {}", today.as_str().unwrap()));
    page.go_to("Letters");
    page.until("it is bought alone", || cents(&buying.figure("Merchandise")) == alone);
    page.has_a_clean_console();
}

#[test]
fn a_long_search_can_be_stopped_and_never_answers_another_question() {
    let site = Site::serve();
    let page = open_page(&site);
    keep_an_order_that_takes_long(&page);
    page.go("about:blank");
    page.visit(&site.address());
    page.go_to("Letters");
    let buying = page.within("Letters to buy");
    page.until("the search goes on", || page.has_button("Stop"));
    buying.says("another way could save");
    buying.tap("Stop");
    page.until("the search has stopped", || !page.has_button("Stop"));
    buying.says("The best found so far");
    // What has been found is explained all the same.
    buying.says("Pieces only");

    page.go_to("Order");
    page.within("Line 1").type_into("Text of line 1", "LIONS {name}");
    page.go_to("Letters");
    page.until("the search goes on for the changed words", || page.has_button("Stop"));
    page.go_to("Order");
    page.tap("New");
    page.go_to("Letters");
    for _ in 0..10 {
        sleep(Duration::from_millis(100));
        assert!(buying.text().contains("No letters yet."), "{}", buying.text());
        assert!(!page.has_button("Stop"));
    }
    page.has_a_clean_console();
}

/// Twenty families from three suppliers with order minimums and with breaks over all colours, so that the proof takes long.
fn keep_an_order_that_takes_long(page: &Browser) {
    let mut lists = kept_record(page, "lettertally.lists");
    let mut order = kept_record(page, "lettertally.order.demo");
    let (first, offers) = (lists["data"]["suppliers"][0].clone(), lists["data"]["offers"].clone());
    let offers: Vec<Value> =
        offers.as_array().unwrap().iter().filter(|offer| offer["supplier"] == first["id"]).cloned().collect();
    let (mut sellers, mut sold) = (vec![], vec![]);
    for (at, (percent, free)) in [(100, 9_000), (97, 12_100), (104, 7_300)].into_iter().enumerate() {
        let id = format!("seller-{at}");
        let steps = [(0, 900 + 70 * at), (free / 3, 450 + 30 * at), (free, 0)];
        let freight: Vec<Value> =
            steps.iter().map(|(from, cost)| json!({ "from": from, "cost": cost })).collect();
        let mut seller = first.clone();
        (seller["id"], seller["name"], seller["freight"]) = (json!(id), json!(id), json!(freight));
        seller["minimum"] = json!(21_300 + 1_700 * at);
        sellers.push(seller);
        for (place, offer) in offers.iter().enumerate() {
            let price = offer["price"].as_i64().unwrap() * percent / 100;
            let from = 11 + 7 * at + 3 * place;
            let breaks = json!([
                { "from": from, "price": price * 93 / 100 },
                { "from": 3 * from, "price": price * 86 / 100 },
            ]);
            let mut offer = offer.clone();
            offer["id"] = json!(format!("{id}-{place}"));
            (offer["supplier"], offer["price"], offer["breaks"]) = (json!(id), json!(price), breaks);
            offer["count_over"] = json!("offer");
            sold.push(offer);
        }
    }
    (lists["data"]["suppliers"], lists["data"]["offers"]) = (json!(sellers), json!(sold));
    let design = &mut order["data"]["order"]["designs"][0];
    let texts = ["TIGERS {name}", "MARSH OTTERS", "{name}{number}", "LANTERN QUIZ PACK"];
    let mut lines = vec![];
    let finishes = [
        ("smooth", &["white", "navy", "red", "gold"][..]),
        ("glitter", &["gold", "silver", "red"]),
        ("twill", &["white", "black", "red"]),
    ];
    for (finish, colours) in finishes {
        for (text, colour) in texts.iter().cycle().zip(colours) {
            for height in ["2in", "4in"] {
                let mut line = design["lines"][1].clone();
                (line["text"], line["colour"], line["height"]) = (json!(text), json!(colour), json!(height));
                line["finish"] = json!(finish);
                lines.push(line);
            }
        }
    }
    design["lines"] = json!(lines);
    page.keep("lettertally.lists", &lists.to_string());
    page.keep("lettertally.order.demo", &order.to_string());
}

fn kept_record(page: &Browser, key: &str) -> Value {
    serde_json::from_str(page.kept()[key].as_str().unwrap()).unwrap()
}
