use lettertally_browser_tests::{Site, open_page};

const PEOPLE: &str = "People: type, or paste from a spreadsheet";

#[test]
fn a_bad_number_is_told_of_at_its_field_and_the_last_good_one_counts() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let price = "Price of 2 in smooth film, single piece";
    let list = page.within("Price list");
    page.within("smooth film, 2 in").unfold("single piece");
    let good = page.figure("profit");
    for (typed, complaint) in [
        ("-5", "not below 0"),
        ("abc", "“abc” is not a number"),
        ("1e9", "“1e9” is not a number"),
        (&"9".repeat(40), "too large"),
        ("1,234", "can be read in two ways"),
        ("0.555", "at most 2 digits after the point"),
        ("💥", "is not a number"),
    ] {
        list.paste_into(price, typed);
        list.complains_at(price, complaint);
        assert_eq!(list.value_of(price), typed, "what was typed stays for repair");
        page.says(&format!("Not complete: {price}: "));
        assert_eq!(page.figure("profit"), good, "{typed}");
    }
    list.type_into(price, "");
    list.complains_at(price, "type a number");
    page.says(&format!("Not complete: {price}: type a number"));
    assert_eq!(page.figure("profit"), good);
    list.type_into(price, "0.55");
    page.until("the complaint is gone", || list.complaint_at(price).is_empty());
    page.no_longer_says("Not complete");

    page.go_to("Order");
    page.tap("New");
    page.type_into("M", "5");
    let good = page.figure("profit");
    for (typed, complaint) in [
        ("-5", "not below 0"),
        ("abc", "“abc” is not a number"),
        ("1e9", "“1e9” is not a number"),
        ("2.5", "type a whole number"),
        (&"9".repeat(40), "too large: the most is 9999"),
    ] {
        page.paste_into("M", typed);
        page.everywhere().complains_at("M", complaint);
        assert_eq!(page.value_of("M"), typed);
        page.says("Not complete: M: ");
        assert_eq!(page.figure("profit"), good, "{typed}");
    }
    page.go_to("Quote");
    page.says("The figures are not complete yet");
    assert!(!page.text().contains("Copy the link"), "a quote is handed over all the same");
    page.go_to("Order");
    page.type_into("M", "");
    page.until("the complaint is gone", || page.complaint_at("M").is_empty());
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn a_count_that_cannot_be_read_gives_way_to_a_step() {
    let site = Site::serve();
    let page = open_page(&site);
    page.tap("New");
    page.type_into("M", "5");
    page.paste_into("M", "-5");
    page.everywhere().complains_at("M", "not below 0");
    page.tap("One M more");
    page.until("the step counts from the last good number", || page.value_of("M") == "6");
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn a_margin_that_cannot_be_read_gives_way_to_another_aim() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Price");
    page.type_into("Margin, % of price", "abc");
    page.says("Not complete: Margin, % of price: ");
    page.tap("Mark-up");
    page.until("the mark-up is a number", || page.value_of("Mark-up, % of cost") != "abc");
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn a_margin_that_cannot_be_read_stays_with_its_order() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Price");
    page.type_into("Margin, % of price", "abc");
    page.says("Not complete: Margin, % of price: ");
    page.go_to("Order");
    page.tap("New");
    page.until("another order is begun", || page.value_of("For whom").is_empty());
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn letters_on_the_shelf_that_cannot_be_read_make_the_figures_incomplete() {
    let site = Site::serve();
    let page = open_page(&site);
    let field = "On the shelf";
    page.go_to("Shop");
    page.within("Shelf").unfold("0 letters on the shelf");
    page.within("Shelf").unfold("2 in smooth film, white, block");
    let shelf = page.within("2 in smooth film, white, block");
    shelf.type_into(field, "E:5 R:many");
    page.until("the field complains", || !shelf.complaint_at(field).is_empty());
    page.says("Not complete: On the shelf");
    shelf.type_into(field, "14");
    shelf.complains_at(field, "“14”: a count or a digit?");
    shelf.type_into(field, "5 E, R:2");
    page.until("the complaint is gone", || shelf.complaint_at(field).is_empty());
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn what_is_said_about_a_field_leads_to_it_from_every_screen() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Price");
    page.type_into("Margin, % of price", "abc");
    page.says("Not complete: Margin, % of price: ");
    for screen in ["Order", "Letters", "Quote"] {
        page.go_to(screen);
        page.tap("Not complete: Margin");
        assert_eq!(page.value_of("Margin, % of price"), "abc", "from {screen}");
    }
    page.has_a_clean_console();
}

#[test]
fn a_price_of_zero_and_a_margin_out_of_reach_are_told_of() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Price");
    page.tap("My price");
    page.type_into("Each before tax, USD", "0");
    page.says("loses money");
    assert!(page.figure("profit").contains(['-', '−']), "{}", page.figure("profit"));
    page.tap("Margin");
    for (typed, complaint) in [("-5", "not below 0"), ("abc", "is not a number"), ("1e9", "is not a number")]
    {
        page.type_into("Margin, % of price", typed);
        page.everywhere().complains_at("Margin, % of price", complaint);
    }
    page.type_into("Margin, % of price", "100");
    page.says("Not complete: a margin of 100 % and card fees of");
    page.says("of the price leave nothing for the cost: stay well below");
    page.has_a_clean_console();
}

#[test]
fn html_in_a_name_stays_text() {
    let site = Site::serve();
    let page = open_page(&site);
    let html = "<b>bold</b> \"it's\" <img src=x onerror=boo()>";
    // A <b> of the page's own has no other one in it.
    let images = "return document.querySelectorAll('img, b b, iframe').length";
    page.type_into("For whom", html);
    page.within("Line 1").type_into("Text of line 1", html);
    page.paste_into(PEOPLE, &format!("name,number,size\r\n\"{}\",7,M\r\n", html.replace('"', "\"\"")));
    page.within("Garment").tap("As it was read");
    page.within("As it was read").says(html);
    page.go_to("Shop");
    page.within("The shop").type_into("Name", html);
    page.within("Finishes").unfold("smooth film");
    page.within("Finishes").within("smooth film").type_into("Name", html);
    page.go_to("Letters");
    page.within("Letters needed").says(html);
    assert_eq!(page.ask(images, vec![]), 0);
    page.go_to("Order");
    while page.has_button("Leave out") {
        page.tap("Leave out");
    }
    page.go_to("Quote");
    page.within("Quote for the customer").says(html);
    assert_eq!(page.ask(images, vec![]), 0);
    page.has_a_clean_console();
}

#[test]
fn a_text_is_taken_apart_as_the_unicode_tables_say() {
    // From Unicode Standard Annexes 15 (normal forms) and 29 (clusters), recalled: an accent joins
    // its letter, jamo join into a syllable, two regional signs are one flag, a joiner makes one
    // picture; and a sharp s becomes SS in capitals.
    let text = "e\u{301}e\u{301} \u{1112}\u{1161}\u{11ab} \u{1f1eb}\u{1f1f7} 👨\u{200d}👩\u{200d}👧 ß";
    // One garment, and one more since the shop spoils some.
    let letters = ["É×4", "한×2", "\u{1f1eb}\u{1f1f7}×2", "👨\u{200d}👩\u{200d}👧×2", "S×4"];
    let site = Site::serve();
    let page = open_page(&site);
    page.within("Line 1").paste_into("Text of line 1", text);
    page.within("Garment").tap("By size");
    page.type_into("M", "1");
    page.go_to("Letters");
    let needed = || page.within("Letters needed").text().split_whitespace().collect::<String>();
    for letter in letters {
        page.until(&format!("{letter} is needed"), || needed().contains(letter));
    }
    page.has_a_clean_console();
}

#[test]
fn text_in_any_script_is_told_of_by_name_with_a_way_out() {
    let site = Site::serve();
    let page = open_page(&site);
    let line = page.within("Line 1");
    for (text, told) in [
        ("OTTERS 🦦", "🦦"),
        ("👨\u{200d}👩\u{200d}👧", "no "),
        ("نمور", "no "),
        ("שלום", "no "),
        ("JOSE\u{301}", "É"),
        ("Z\u{310}\u{35c}A\u{308}\u{304}LGO", "no "),
        ("ŁÓDŹ", "no Ł"),
        ("\u{202e}SRETTO", "OTTERS|no "),
    ] {
        line.paste_into("Text of line 1", text);
        page.until(&format!("{text} is told of"), || {
            let said = line.text();
            told.split('|').any(|told| said.contains(told))
        });
        assert_eq!(page.value_of("Text of line 1"), text);
    }
    line.type_into("Text of line 1", "");
    page.says("no text yet");
    line.paste_into("Text of line 1", "CAFÉ");
    line.tap("Press");
    page.no_longer_says("Not complete");
    page.says("É is pressed as E");
    page.has_a_clean_console();
}

#[test]
fn a_finish_that_is_removed_while_an_order_uses_it_leaves_a_way_out() {
    let site = Site::serve();
    let page = open_page(&site);
    let each = page.figure("each");
    page.go_to("Shop");
    page.within("Finishes").unfold("glitter film");
    page.within("Finishes").within("glitter film").tap("Remove this finish");
    page.save_changes();
    page.says("Not complete: the finish “glitter” is no longer on your lists: choose another");
    page.within("Removed").text();
    page.tap("Close");
    page.go_to("Order");
    let line = page.within("Line 1");
    line.says("the finish “glitter” is no longer on your lists");
    line.tap("Use smooth film");
    page.no_longer_says("Not complete");
    assert_ne!(page.figure("each"), each);
    page.has_a_clean_console();
}

#[test]
fn a_set_without_contents_is_told_of_and_never_bought() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Letters");
    page.within("Letters to buy").says("assorted set of 64");
    page.go_to("Shop");
    page.within("smooth film, 2 in").unfold("assorted set of 64");
    page.within("Price list").type_into("Contents: 64 letters", "");
    page.within("Price list").says("assorted set");
    page.save_changes();
    page.until("the fault is named", || page.text().contains("Look: assorted set"));
    page.go_to("Letters");
    page.until("no set is bought", || !page.within("Letters to buy").text().contains("× assorted set"));
    page.has_a_clean_console();
}
