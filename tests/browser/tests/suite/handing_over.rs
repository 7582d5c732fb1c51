//! What passes between the shop, its customer and a colleague: a yes, paper, a working copy.

use lettertally_browser_tests::{Browser, Feature, Site, Wish, open_link, open_page};
use serde_json::{Value, json};

/// Width and height in millimetres, and in points as a PDF has them (72 to the inch of 25.4 mm).
const PAPERS: [(&str, f64, f64, &str); 2] =
    [("Letter", 215.9, 279.4, "[0 0 612 792]"), ("A4", 210.0, 297.0, "[0 0 595")];

/// A quote that the shop has handed over, and the customer's page of it.
fn handed_over(shop: &Browser) -> (String, Browser) {
    shop.go_to("Quote");
    let link = shop.value_of("Link, ");
    shop.tap("Handed over on paper");
    shop.says("Handed over on ");
    let customer = open_link(&link);
    customer.says("Before you say yes, check:");
    (link, customer)
}

fn code(customer: &Browser) -> String {
    let code = customer.ask("return document.querySelector('.yes-code').textContent", vec![]);
    code.as_str().expect("a code").to_owned()
}

/// Where a link with these words leads.
fn leads_to(page: &Browser, words: &str) -> String {
    let find = "return [...document.links].find((link) => link.textContent === arguments[0])?.href";
    page.ask(find, vec![json!(words)]).as_str().expect("a link").to_owned()
}

#[test]
fn a_code_that_is_read_out_is_checked_against_the_quote() {
    let site = Site::serve();
    let shop = open_page(&site);
    let (_, customer) = handed_over(&shop);
    let code = code(&customer);

    let field = "The customer's code for “yes”";
    let answer = |typed: &str| {
        shop.type_into(field, typed);
        shop.tap("Check the code");
    };
    answer("K7QF");
    shop.says("a code has 8 letters and digits, here are 4");
    let other = if code.starts_with('A') { "B" } else { "A" };
    answer(&format!("{other}{}", &code[1..]));
    shop.says("one letter is wrong, or two changed places");
    answer(&code.to_lowercase());
    shop.says("the customer says yes. Same quote, unchanged.");
    shop.says("The customer said yes on ");
    answer(&code);
    shop.says("already. Same quote, unchanged.");
    shop.reload();
    shop.go_to("Quote");
    shop.says("The customer said yes on ");

    // Another quote since: the yes is for the one before.
    shop.go_to("Order");
    shop.type_into("Text of line 1", "OTTER");
    shop.go_to("Quote");
    shop.says("The order was changed since");
    shop.tap("Handed over on paper");
    shop.no_longer_says("The order was changed since");
    answer(&code);
    shop.says("this yes is for an older quote");
    shop.has_a_clean_console();
    customer.has_a_clean_console();
}

#[test]
fn a_yes_comes_back_by_link() {
    let site = Site::serve();
    let shop = open_page(&site);
    let (_, customer) = handed_over(&shop);
    let (mail, text) = (leads_to(&customer, "Mail"), leads_to(&customer, "Text message"));
    assert!(mail.starts_with("mailto:hello@lanternpier.example?subject=Yes%20to%20quote%20"), "{mail}");
    assert!(text.starts_with("sms:"), "{text}");
    let back = format!("{}#accept=1.{}&no=", site.address(), code(&customer));
    let decode = |address: &str| {
        let body = address.split_once("body=").expect("a message").1;
        let body = customer.ask("return decodeURIComponent(arguments[0])", vec![json!(body)]);
        body.as_str().unwrap_or_default().to_owned()
    };
    for body in [decode(&mail), decode(&text)] {
        assert!(body.contains(&back) && body.contains(&code(&customer)), "{body}");
    }
    let link = decode(&mail).lines().last().expect("a link").to_owned();
    shop.go(&link);
    shop.says("the customer says yes. Same quote, unchanged.");
    shop.go_to("Quote");
    shop.says("The customer said yes on ");
    assert_eq!(shop.address(), site.address(), "a reload does not ask again");
    // On a device that never heard of the quote nothing is changed.
    let stranger = open_page(&site);
    let kept = stranger.kept();
    stranger.go(&link);
    stranger.says("No quote that was handed over on this device has this code.");
    assert_eq!(stranger.kept(), kept);
    shop.has_a_clean_console();
    site.never_heard_of(&["accept=1"]);
}

#[test]
fn a_quote_is_a_clean_document_on_paper() {
    let site = Site::serve();
    let shop = open_page(&site);
    if shop.lacks(Feature::Paper) {
        return;
    }
    let rows: String = (1..=60).map(|at| format!("Player{at},{at},L\n")).collect();
    shop.paste_into("People", &format!("name,number,size\n{rows}"));
    shop.says("60 people, 60 garments");
    let (_, customer) = handed_over(&shop);
    for (page, who) in [(&customer, "customer"), (&shop, "shop")] {
        // The mark of the shop's own button, which goes when the print is done.
        let ready = || page.ask("document.body.dataset.print = 'quote'", vec![]);
        ready();
        page.wish(&[Wish::Paper]);
        assert_eq!(page.ask("return probe.controls().length", vec![]), 0, "controls on the {who}'s paper");
        let text = page.visible_text();
        for word in ["Say yes", "code for “yes”", "working copy", "Order", "profit", "Undo"] {
            assert!(!text.contains(word), "“{word}” on the {who}'s paper: {text}");
        }
        for word in ["Lantern Pier Lettering (demo)", "PLAYER60", "Total with tax", "Deposit, with the order"]
        {
            assert!(text.contains(word), "no “{word}” on the {who}'s paper: {text}");
        }
        let ground = "return getComputedStyle(document.querySelector('.paper')).backgroundColor";
        assert_eq!(page.ask(ground, vec![]), "rgb(255, 255, 255)");
        for (paper, width, height, points) in PAPERS {
            // The print's own margins are 1 cm on each side.
            let across = (width - 20.0) / 25.4 * 96.0;
            let wide = "return [...document.querySelectorAll('.paper, .paper *')]
                .filter((e) => e.scrollWidth > arguments[0]).map((e) => e.outerHTML.slice(0, 80))";
            let wide = page.ask(wide, vec![json!(across)]);
            assert_eq!(wide, Value::Array(vec![]), "wider than {paper}");
            ready();
            let document = page.printed(width, height);
            let document = String::from_utf8_lossy(&document);
            let pages = document.matches("/Type /Page\n").count();
            assert!(document.contains(points), "not {paper}");
            assert_eq!(pages, 3, "pages of {paper} for the {who}");
        }
        page.wish(&[]);
    }
    customer.has_a_clean_console();
}

#[test]
fn a_code_for_the_camera_is_black_on_white() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Quote");
    shop.tap("Show a QR code");
    shop.says("Hold the customer's camera over it.");
    let drawn = "const svg = document.querySelector('.qr:not(.only-print) svg');
        const look = (part) => getComputedStyle(svg.querySelector(part)).fill;
        const quiet = svg.querySelector('path').getBBox();
        return [look('rect'), look('path'), quiet.x, quiet.y, svg.viewBox.baseVal.width - quiet.x - quiet.width]";
    // Four modules of quiet zone on every side, by the standard.
    let expected = json!(["rgb(255, 255, 255)", "rgb(0, 0, 0)", 4, 4, 4]);
    assert_eq!(shop.ask(drawn, vec![]), expected);
    shop.tap("Hide the QR code");
    shop.no_longer_says("Hold the customer's camera over it.");
    shop.has_a_clean_console();
}

#[test]
fn a_working_copy_asks_before_it_is_added() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Quote");
    shop.everywhere().unfold("A working copy for a colleague");
    shop.says("Not for the customer.");
    shop.tap("Copy the link to the working copy");
    shop.says("Done: for a colleague only.");
    shop.go_to("Order");
    shop.tap("By name");
    shop.everywhere().paste_over("People");
    let link = shop.value_of("People");
    assert!(link.starts_with(&format!("{}#copy=1.", site.address())), "{link}");

    let colleague = open_page(&site);
    colleague.type_into("For whom", "My own");
    let kept = colleague.kept();
    colleague.go(&link);
    colleague.says("A colleague's working copy: Marsh Otters (demo)");
    assert_eq!(colleague.kept(), kept, "nothing is added before it is asked for");
    colleague.tap("Leave it");
    colleague.no_longer_says("A colleague's working copy");
    assert_eq!(colleague.kept(), kept);
    colleague.go("about:blank");
    colleague.visit(&link);
    colleague.says("A colleague's working copy: Marsh Otters (demo)");
    colleague.tap("Add the order");
    colleague.says("Added the order Marsh Otters (demo)");
    colleague.until("the copy is open", || colleague.value_of("For whom") == "Marsh Otters (demo)");
    let orders = colleague.everywhere().entries_of("Open order").join("; ");
    assert!(orders.contains("My own"), "{orders}");
    colleague.tap("Undo");
    colleague.until("the own order is open", || colleague.value_of("For whom") == "My own");
    colleague.has_a_clean_console();
    site.never_heard_of(&["copy=", "Otters"]);
}
