use lettertally_browser_tests::{Browser, Site, open_page};
use serde_json::Value;

#[test]
fn a_link_that_cannot_be_read_says_why_and_changes_nothing() {
    let site = Site::serve();
    let page = open_page(&site);
    page.type_into("For whom", "Mine");
    page.go_to("Quote");
    let link = page.value_of("Link, ");
    page.go_to("Order");
    let kept = page.kept();
    let (start, code) = link.split_once("#quote=").expect("a quote");

    let middle = code.find('&').expect("a number behind the code") / 2;
    let other = if code[middle..].starts_with('A') { "B" } else { "A" };
    let changed = format!("{}{other}{}", &code[..middle], &code[middle + 1..]);
    let far = "x".repeat(70_000);
    // A customer opens a quote: they are told on a page of its own. Anyone else, on the shop's.
    let quotes = [
        (format!("quote={changed}"), "This link was damaged on the way. Ask for it again."),
        (format!("quote={}", &code[..middle]), "This link was cut short on the way"),
        // The end of the title only.
        (format!("quote={}", &code[..code.len() - 3]), "This link was damaged on the way. Ask for it again."),
        (format!("quote={code}&no=1"), "This link asks for two things at once"),
        (format!("quote=7{}", &code[1..]), "This link was made by a newer version (7) of this page"),
        ("quote=".to_owned(), "This link was damaged on the way"),
        (format!("quote={far}"), "This link is too long to be one of ours"),
        (format!("quote={code}&text=TIGERS"), "This link asks for two things at once"),
    ];
    let others =
        [("track=abc&from=elsewhere".to_owned(), "This link carries “track”, which this page does not know")];
    let quotes = quotes.into_iter().map(|(fragment, message)| (fragment, message, true));
    let others = others.into_iter().map(|(fragment, message)| (fragment, message, false));
    for (fragment, message, is_quote) in quotes.chain(others) {
        // Once into the open page, once into a page that starts with it.
        for opened_with_it in [false, true] {
            if opened_with_it {
                page.go("about:blank");
            }
            page.visit(&format!("{start}#{fragment}"));
            if is_quote {
                refuses_a_quote(&page, message, &kept);
            } else {
                refuses(&page, message);
            }
            assert_eq!(page.kept(), kept, "{message}");
            assert_eq!(page.address(), site.address(), "{message}");
            assert_eq!(page.value_of("For whom"), "Mine");
        }
    }
    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn a_readable_link_begins_an_order() {
    let site = Site::serve();
    let page = open_page(&site);
    page.visit(&format!(
        "{}#text=TIGERS&text=EST.%201999&at=chest&at=left-sleeve&qty=12&height=4&finish=twill&colour=black&size=L&title=Old+Boys",
        site.address()
    ));
    page.until("the order is begun", || page.value_of("For whom") == "Old Boys");
    assert_eq!(page.value_of("Text of line 1"), "TIGERS");
    assert_eq!(page.value_of("Text of line 2"), "EST. 1999");
    assert_eq!(page.within("Line 1").value_of("Finish"), "twill");
    assert_eq!(page.within("Line 2").value_of("Letter height"), "4");
    assert_eq!(page.within("Line 2").value_of("Where"), "left-sleeve");
    assert_eq!(page.value_of("L"), "12");
    assert_eq!(page.address(), site.address(), "a reload does not begin another one");
    page.reload();
    assert_eq!(page.value_of("For whom"), "Old Boys");
    let orders = page.everywhere().entries_of("Open order").join("; ");
    assert!(orders.contains("Marsh Otters (demo), "), "the order before is still there: {orders}");
    page.has_a_clean_console();
    site.never_heard_of(&["TIGERS", "Old+Boys"]);
}

#[test]
fn a_readable_link_leads_to_its_order_from_wherever_the_page_is() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Quote");
    let quote = page.value_of("Link, ");
    page.go(&format!("{}#text=LIONS&title=Lions", site.address()));
    page.until("the order screen is in front", || page.has_button("Add a line"));
    assert_eq!(page.value_of("For whom"), "Lions");

    page.go(&quote);
    page.says("Before you say yes, check:");
    page.go(&format!("{}#text=BEARS&title=Bears", site.address()));
    page.until("the order screen is in front", || page.has_button("Add a line"));
    assert_eq!(page.value_of("For whom"), "Bears");
    page.has_a_clean_console();
}

#[test]
fn an_impossible_parameter_of_a_link_names_itself() {
    let site = Site::serve();
    let page = open_page(&site);
    let kept = page.kept();
    let cases = [
        ("text=A&qty=0", "The link's “qty”: type 1 or more."),
        ("text=A&qty=many", "The link's “qty”: “many” is not a number."),
        ("text=A&height=3", "The link's “height”: smooth film does not come 3 in tall; use 2 in, 4 in."),
        (
            "text=A&finish=gold+leaf",
            "The link's “finish”: use one of smooth film, glitter film, stitched-look twill.",
        ),
        ("text=A&colour=puce", "The link's “colour”: use one of white, navy, red, gold."),
        ("text=A&at=nose", "The link's “at”: use one of shoulders"),
        ("text=A&size=9XL", "The link's “size”: club tee, navy comes in S, M, L, XL, 2XL."),
        ("text=A&blank=toga", "The link's “blank”: use one of club tee, navy, pier hoodie, grey."),
    ];
    for (fragment, message) in cases {
        page.go("about:blank");
        page.visit(&format!("{}#{fragment}", site.address()));
        refuses(&page, message);
        assert_eq!(page.kept(), kept, "{fragment}");
    }
    page.has_a_clean_console();
}

/// A customer's page, with nothing of the shop on it or touched by it, and a way on.
fn refuses_a_quote(page: &Browser, message: &str, kept: &Value) {
    page.says("This quote cannot be opened");
    page.says(message);
    let text = page.text();
    for word in ["Mine", "Marsh Otters", "profit", "with tax", "Shop"] {
        assert!(!text.contains(word), "the customer reads of {word}: {text}");
    }
    assert_eq!(page.kept(), *kept, "{message}");
    page.tap("Open the page without it");
    page.no_longer_says("This quote cannot be opened");
    page.until("the shop's page stands", || page.has_button("Add a line"));
}

fn refuses(page: &Browser, message: &str) {
    page.says(message);
    page.tap("Close");
    page.no_longer_says(message);
}
