use lettertally_browser_tests::page::cents;
use lettertally_browser_tests::{Browser, Site, open_link, open_page};

#[test]
fn an_order_goes_from_words_to_a_link_that_the_customer_opens() {
    let site = Site::serve();
    let shop = open_page(&site);

    shop.tap("New");
    shop.type_into("For whom", "Harbour Run Club");
    shop.until("an empty order is in front", || shop.value_of("Text of line 1").is_empty());
    let text = shop.text();
    assert!(!text.contains("no text yet") && !text.contains("Not complete"), "it is only just begun: {text}");
    let mut profit = shop.figure("profit");
    let line = shop.within("Line 1");
    for letter in ["T", "I", "D", "E", "R"] {
        line.add_to("Text of line 1", letter);
        profit = shop.figure_after("profit", &profit);
    }
    line.choose("Finish", "glitter film");
    profit = shop.figure_after("profit", &profit);
    line.choose("Letter height", "4 in");
    profit = shop.figure_after("profit", &profit);
    line.tap("silver");
    shop.choose("Blank", "pier hoodie, grey");
    profit = shop.figure_after("profit", &profit);
    shop.type_into("S", "");
    shop.type_into("M", "6");
    shop.tap("One L more");
    shop.tap("One L more");
    shop.until("eight garments are counted", || shop.text().contains("8 with tax"));
    assert_ne!(shop.figure("profit"), profit);

    shop.go_to("Price");
    let usual = shop.figure("each");
    shop.type_into("Margin, % of price", "60");
    let each = shop.figure_after("each", &usual);
    assert!(cents(&each) > cents(&usual), "a wider margin asks for more: {usual} became {each}");
    assert_eq!(
        cents(&shop.figure("Customer pays")),
        cents(&shop.figure("Before tax")) + cents(&shop.figure("Tax"))
    );
    let pays = shop.figure("Customer pays");
    assert_eq!(pays, shop.figure("8 with tax"));
    let (before_tax, tax) = (shop.figure("Before tax"), shop.figure("Tax"));
    let secrets = figures_of_the_shop(&shop, &[&pays, &before_tax, &tax, &each]);

    shop.go_to("Quote");
    let link = shop.value_of("Link, ");
    assert!(link.starts_with(&format!("{}#quote=", site.address())), "{link}");
    shop.tap("Copy the link");
    shop.says("Link copied");
    shop.go_to("Order");
    shop.tap("By name");
    shop.everywhere().paste_over("People");
    assert_eq!(shop.value_of("People"), link, "the clipboard holds the link");
    shop.tap("By size");
    shop.go_to("Quote");
    shop.has_a_clean_console();

    let customer = open_link(&link);
    customer.says("Lantern Pier Lettering (demo)");
    customer.says("Harbour Run Club");
    customer.says("pier hoodie, grey");
    customer.says("across the chest: “TIDER”, 4-inch letters, glitter film, silver");
    let row = |words: &str| shop.within("Quote for the customer").row(words);
    for size in ["M", "L"] {
        assert_eq!(row(size), customer.everywhere().row(size));
    }
    assert_eq!(row("M")[1..3], ["6".to_owned(), each.clone()]);
    assert_eq!(row("L")[1..3], ["2".to_owned(), each]);
    assert_eq!(customer.everywhere().row("8 garments")[1], before_tax);
    assert_eq!(customer.everywhere().row("Tax 7 %")[1], tax);
    assert_eq!(customer.everywhere().row("Total with tax")[1], pays);

    // The page shows all that is in the link: `tests/links` of the core decodes every text.
    let (text, readable) = (customer.text(), link.split_once("&no=").map_or("", |(_, rest)| rest));
    for word in ["cost", "profit", "margin", "mark-up", "supplier", "quillfeather"] {
        assert!(!text.to_lowercase().contains(word), "the customer reads of {word}: {text}");
        assert!(!readable.to_lowercase().contains(word), "the link tells of {word}: {readable}");
    }
    for secret in secrets {
        assert!(!text.contains(&secret), "the customer reads the shop's {secret}: {text}");
        assert!(!readable.contains(secret.trim_start_matches('$')), "the link tells {secret}: {readable}");
    }
    assert_eq!(customer.ask("return localStorage.length", vec![]), 0);
    customer.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn no_name_of_a_roster_reaches_the_server() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Quote");
    let link = shop.value_of("Link, ");

    let customer = open_link(&link);
    customer.says("LINDQVIST");
    customer.reload();
    customer.says("LINDQVIST");
    assert_eq!(customer.ask("return localStorage.length", vec![]), 0);

    let code = link.split_once("#quote=").expect("a quote").1;
    site.never_heard_of(&["Lindqvist", "Okonjo", "Castellan", "Otters", "quote=", code]);
    site.was_asked_only_for_own_files();
}

#[test]
fn a_quote_opened_on_the_shop_s_own_device_leaves_its_records_alone() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Quote");
    let link = shop.value_of("Link, ");
    shop.go_to("Order");
    shop.type_into("For whom", "Later title");
    let kept = shop.kept();

    shop.go(&link);
    shop.says("Nothing of this quote is kept on your device");
    shop.reload();
    shop.says("Marsh Otters (demo)");
    assert_eq!(shop.kept(), kept);
    shop.visit(&site.address());
    shop.until("the order is back", || shop.value_of("For whom") == "Later title");
    assert_eq!(shop.kept(), kept);
    shop.has_a_clean_console();
}

#[test]
fn the_way_back_from_a_quote_leads_to_the_shop_again() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.type_into("For whom", "Kept title");
    shop.go_to("Shop");
    shop.within("What the work costs").enter("Wage", "25");
    let figures = || ["each", "profit"].map(|words| shop.figure(words));
    let (shown, kept) = (figures(), shop.kept());
    shop.go_to("Quote");
    let link = shop.value_of("Link, ");
    // Once as it was opened, once after the quote was loaded again.
    for again in [false, true] {
        shop.go(&link);
        shop.says("Before you say yes, check:");
        if again {
            shop.reload();
            shop.says("Before you say yes, check:");
        }
        shop.back();
        shop.no_longer_says("Before you say yes, check:");
        shop.go_to("Order");
        assert_eq!(shop.value_of("For whom"), "Kept title");
        assert_eq!(figures(), shown);
        shop.go_to("Shop");
        assert_eq!(shop.within("What the work costs").value_of("Wage"), "25");
        assert_eq!(shop.kept(), kept);
    }
    shop.has_a_clean_console();
}

#[test]
fn a_customer_whose_next_link_is_damaged_is_told_so() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Quote");
    let link = shop.value_of("Link, ");
    let customer = open_link(&link);
    customer.says("Before you say yes, check:");
    let (code, _) = link.split_once("&no=").expect("a number behind the code");
    customer.go(&code[..code.len() - 9]);
    customer.says("This quote cannot be opened");
    customer.says("This link was cut short on the way");
    let text = customer.text();
    for word in ["Marsh Otters", "profit", "Shop"] {
        assert!(!text.contains(word), "the customer reads of {word}: {text}");
    }
    assert_eq!(customer.ask("return localStorage.length", vec![]), 0);
    customer.has_a_clean_console();
}

#[test]
fn another_kind_of_aim_keeps_the_price_where_it_is() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Price");
    let (each, pays) = (shop.figure("each"), shop.figure("Customer pays"));
    for (kind, field) in [
        ("Mark-up", "Mark-up, % of cost"),
        ("Margin", "Margin, % of price"),
        ("My price", "Each before tax"),
        ("Margin", "Margin, % of price"),
    ] {
        shop.tap(kind);
        shop.within("Price").value_of(field);
        assert_eq!(shop.figure("each"), each, "{kind}");
        // A price typed for each garment is one price for all sizes.
        if kind != "My price" {
            assert_eq!(shop.figure("Customer pays"), pays, "{kind}");
        }
    }
    shop.has_a_clean_console();
}

/// Every amount on the price screen that is not the customer's, where it is long enough not to
/// be met by chance.
fn figures_of_the_shop(shop: &Browser, customers: &[&str]) -> Vec<String> {
    let mut figures: Vec<String> = ["Cost", "Card fee", "Profit", "Profit per press hour"]
        .map(|words| shop.within("Price").figure(words))
        .to_vec();
    figures.extend(shop.within("Cost").rows().into_iter().filter_map(|row| row.last().cloned()));
    figures.extend(shop.within("By size").rows().into_iter().skip(1).filter_map(|row| row.get(2).cloned()));
    figures.retain(|figure| figure.len() >= 6 && !customers.contains(&figure.as_str()));
    assert!(figures.len() > 6, "the price screen shows its costs: {figures:?}");
    figures
}

#[test]
fn a_quote_is_of_something_and_of_a_shop_with_a_name() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Quote");
    page.says("its name and prices are invented");
    page.tap("To the shop");
    page.within("The shop").enter("Name", "Kestrel Yard Lettering");
    page.go_to("Quote");
    page.no_longer_says("its name and prices are invented");

    // An order of which nothing is said yet is none of bare garments.
    page.go_to("Order");
    page.tap("New");
    page.go_to("Quote");
    page.says("Nothing is said yet of what goes on it");
    assert!(!page.has_button("Copy the link"));
    page.go_to("Order");
    page.tap("By name");
    page.paste_into("People: type, or paste from a spreadsheet", "Wren,7,M\nVoss,8,L\n");
    page.says("nothing goes on these people's garments yet");
    page.tap("+ name");
    page.no_longer_says("nothing goes on these people's garments yet");
    page.go_to("Quote");
    assert!(page.has_button("Copy the link"));
    page.has_a_clean_console();
}
