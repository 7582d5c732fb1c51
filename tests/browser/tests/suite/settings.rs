use lettertally_browser_tests::{Browser, Site, open_page};

fn shop(site: &Site) -> Browser {
    let page = open_page(site);
    page.go_to("Shop");
    page
}

#[test]
fn a_setting_out_of_range_is_told_of_with_its_range_and_not_taken() {
    let site = Site::serve();
    let page = shop(&site);
    let good = page.figure("profit");
    for (panel, field, typed, complaint) in [
        ("Selling", "Tax", "101", "type 100 or less (0 to 100 %)"),
        ("What the work costs", "Wage", "-1", "not below 0 (0 to 10000000 USD/h)"),
        ("What the work costs", "People", "0", "type 1 or more (1 to 20 people)"),
        ("The press", "Platen width", "1 1/2", "type 2 or more (2 to 100 in)"),
        ("The press", "Safe margin", "30 cm", "type 1.5 or less (0 to 1.5 in)"),
    ] {
        let panel = page.within(panel);
        let before = panel.value_of(field);
        panel.paste_into(field, typed);
        panel.complains_at(field, complaint);
        page.says(&format!("Not complete: {field}: "));
        assert_eq!(page.figure("profit"), good, "{field} {typed}");
        panel.type_into(field, &before);
        page.until("the complaint is gone", || panel.complaint_at(field).is_empty());
    }
    page.within("Selling").paste_into("Tax", "101");
    page.reload();
    page.go_to("Shop");
    assert_eq!(page.within("Selling").value_of("Tax"), "7");
    page.has_a_clean_console();
}

#[test]
fn half_a_number_does_not_count_on_the_way_to_a_wrong_one() {
    let site = Site::serve();
    let page = shop(&site);
    let (selling, profit) = (page.within("Selling"), page.figure("profit"));
    selling.enter("Tax", "101");
    selling.complains_at("Tax", "type 100 or less");
    page.says("Not complete: Tax: ");
    assert!(!page.text().contains("Not saved yet"), "10 counts");
    assert_eq!(page.figure("profit"), profit);
    selling.enter("Tax", "8");
    page.says("Not saved yet: this changes 1 order.");
    page.has_a_clean_console();
}

#[test]
fn measures_in_millimetres_keep_every_length_exactly() {
    let site = Site::serve();
    let page = shop(&site);
    let kept = page.kept()["lettertally.lists"].clone();
    let (shop, press) = (page.within("The shop"), page.within("The press"));
    page.within("Blanks").unfold("club tee, navy");
    assert_eq!(page.within("club tee, navy").value_of("Width"), "18");
    shop.choose("Measures in", "millimetres");
    // 25.4 mm to the inch exactly (international yard and pound agreement of 1959, from memory).
    page.until("the platen is in millimetres", || press.value_of("Platen width") == "508");
    assert_eq!(press.value_of("Platen depth"), "406.4");
    press.says("mm");
    assert_eq!(page.within("club tee, navy").value_of("Width"), "457.2");
    press.enter("Platen depth", "40 cm");
    page.go_to("Order");
    let heights = || page.within("Line 1").entries_of("Letter height");
    page.until("heights are in both", || heights().contains(&"2 in (50.8 mm)".to_owned()));
    page.within("Line 1").says(" mm wide");
    page.go_to("Shop");
    shop.choose("Measures in", "inches");
    page.until("the platen is in inches", || press.value_of("Platen width") == "20");
    assert_eq!(press.value_of("Platen depth"), "400 mm");
    assert_eq!(page.kept()["lettertally.lists"], kept, "no garment has changed");
    page.has_a_clean_console();
}

#[test]
fn another_currency_keeps_the_figures_or_asks() {
    let site = Site::serve();
    let page = shop(&site);
    let (shop, list) = (page.within("The shop"), page.within("Price list"));
    let price = "Price of 2 in smooth film, single piece";
    page.within("smooth film, 2 in").unfold("single piece");
    list.type_into(price, "2.50");
    page.save_changes();
    // Minor units by ISO 4217: KWD 3, USD 2, JPY 0.
    shop.type_into("Currency", "KWD");
    page.until("the price is in dinars", || list.value_of(price) == "2.500");
    page.within("The press").says("KWD/h");
    shop.type_into("Currency", "usd");
    page.until("the price is in dollars", || list.value_of(price) == "2.50");
    let profit = page.figure("profit");

    shop.type_into("Currency", "JPY");
    shop.complains_at(
        "Currency",
        "prices cannot be written in JPY, such as 6.90 for the freight of Quillfeather Letters",
    );
    assert_eq!(list.value_of(price), "2.50");
    assert_eq!(page.figure("profit"), profit);
    let rounded = shop.clone().within("Prices that would be rounded");
    assert_eq!(rounded.row("2 in smooth film, single piece")[1..], ["2.50", "3"]);
    shop.tap("Round the prices to JPY");
    page.until("the price is in yen", || list.value_of(price) == "3");
    page.until("the complaint is gone", || shop.complaint_at("Currency").is_empty());
    assert_eq!(page.figure("profit"), profit, "it counts once it is saved");
    page.save_changes();
    page.until("the profit is in yen", || page.figure("profit").contains('¥'));
    page.tap("Undo");
    page.until("the price is in dollars again", || list.value_of(price) == "2.50");
    page.until("the profit is in dollars again", || page.figure("profit") == profit);
    page.has_a_clean_console();
}

#[test]
fn a_currency_that_nobody_knows_is_told_of() {
    let site = Site::serve();
    let page = shop(&site);
    let shop = page.within("The shop");
    for typed in ["", "US", "ABC", "XAU", "dollars"] {
        shop.type_into("Currency", typed);
        shop.complains_at("Currency", "is not a currency: choose one from the list");
        page.says("Not complete: Currency: ");
        page.reload();
        page.go_to("Shop");
        assert_eq!(shop.value_of("Currency"), "USD");
    }
    page.has_a_clean_console();
}

#[test]
fn the_usual_aim_can_be_a_mark_up_and_people_share_the_time_for_a_run() {
    let site = Site::serve();
    let page = shop(&site);
    let (selling, work) = (page.within("Selling"), page.within("What the work costs"));
    selling.choose("Price aims at", "a mark-up");
    // A margin of 45 % leaves 55 % for the cost: 45/55.
    page.until("the mark-up is there", || selling.value_of("Usual mark-up") == "81.818");
    work.enter("People", "3");
    page.save_changes();
    page.go_to("Price");
    page.until("the order follows", || page.value_of("Mark-up, % of cost") == "81.818");
    page.within("Cost").says("The run takes");
    page.within("Cost").says("with 3 people and 1 press");
    page.has_a_clean_console();
}

#[test]
fn every_figure_follows_the_currency() {
    let site = Site::serve();
    let page = shop(&site);
    page.within("The shop").type_into("Currency", "EUR");
    page.save_changes();
    page.until("the total is in euros", || page.figure("12 with tax").contains('€'));
    for words in ["each", "profit"] {
        page.until("it is in euros", || page.figure(words).contains('€'));
    }
    page.go_to("Price");
    page.until("no dollar is left", || !page.text().contains('$'));
    page.has_a_clean_console();
}
