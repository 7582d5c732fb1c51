//! The booth on the page, part by part: taken fast, made from the shelf, pressed, undone, handed
//! over, exchanged, bought again.

use lettertally_browser_tests::day::with_orders_like;
use lettertally_browser_tests::page::cents;
use lettertally_browser_tests::{Browser, Site, open_page};

const PEOPLE: &str = "People: type, or paste from a spreadsheet";

#[test]
fn what_is_taken_instead_is_what_is_written_down() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    page.everywhere().unfold("0 letters on the shelf");
    for (family, letters) in [
        ("2 in smooth film, white, block", "E:9 A:9 L:9"),
        ("2 in smooth film, red, block", "S:9 E:9 A:9 L:9"),
    ] {
        page.everywhere().unfold(family);
        page.within(family).type_into("On the shelf", letters);
    }
    fill_blanks(&page, "S", "9");
    page.go_to("Booth");
    let asked = page.within("New order");
    asked.type_into("Name", "SEAL");
    page.within("The price").says("Not all on the shelf");
    asked.tap("What would do instead?");
    asked.says("2 in smooth film, red");
    asked.tap("Take");
    asked.says("Taken instead: 2 in smooth film, red");
    page.within("The price").says("Can be made now");
    // It waits while somebody looks at another screen.
    page.go_to("Letters");
    page.go_to("Booth");
    assert_eq!(page.within("New order").value_of("Name"), "SEAL");
    page.within("The price").says("Can be made now");
    // Other words are another question.
    page.within("New order").type_into("Name", "SEALS");
    page.within("The price").says("Not all on the shelf");
    page.within("New order").type_into("Name", "SEAL");
    page.within("The price").says("Can be made now");
    page.tap("Write it down");
    page.says("Wrote down SEAL, $");
    page.part_of_the_booth("Orders");
    page.within("Orders").unfold("SEAL");
    page.within("Orders").says("Can be made now.");
    page.has_a_clean_console();
}

/// An order of the usual offer, written down.
fn write_down(page: &Browser, name: &str, number: &str) {
    page.part_of_the_booth("New");
    page.within("New order").type_into("Name", name);
    page.within("New order").type_into("Number", number);
    page.within("The price").says("$");
    page.tap("Write it down");
    page.says(&format!("Wrote down {name} {number}, $"));
}

/// Letters on the shelf: of 2 in and of 4 in smooth film, white, block.
fn fill_shelf(page: &Browser, names: &str, numbers: &str) {
    page.go_to("Shop");
    page.everywhere().unfold("0 letters on the shelf");
    for (family, text) in
        [("2 in smooth film, white, block", names), ("4 in smooth film, white, block", numbers)]
    {
        page.everywhere().unfold(family);
        page.within(family).type_into("On the shelf", text);
    }
}

fn fill_blanks(page: &Browser, size: &str, count: &str) {
    let shelf = page.within("Shelf");
    shelf.unfold("club tee, navy");
    page.within("Shelf").within("club tee, navy").enter(&format!("{size} on the shelf"), count);
}

#[test]
fn an_order_goes_through_its_day() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Booth");
    // One tap for the screen; the offer, size and count stand ready.
    page.within("New order").type_into("Name", "WREN");
    page.within("New order").type_into("Number", "7");
    page.within("The price").says("$");
    page.within("The price").says("Not all on the shelf");
    page.within("New order").says("Not all of it is on the shelf");
    page.tap("Write it down");
    page.part_of_the_booth("Orders");
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
    page.part_of_the_booth("Day");
    let day = page.within("Day's close");
    assert_eq!(day.figure("garments pressed"), "1");
    assert_eq!(day.figure("orders handed over"), "1");
    assert_eq!(day.figure("taken in all"), day.figure("taken, cash"));
    assert!(cents(&day.figure("taken in all")) > 0);
    page.within("Ledger of the shelf").says("pressed: WREN 7");
    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn a_price_and_a_quote_to_share_take_eight_taps_at_most() {
    let site = Site::serve();
    let page = open_page(&site);
    page.ask("window.taps = 0; addEventListener('pointerdown', () => { window.taps += 1 }, true)", vec![]);
    let taps = || page.ask("return window.taps", vec![]).as_u64().unwrap_or(99);
    page.go_to("Booth");
    let order = page.within("New order");
    order.add_to("Words across the shoulders", "HARBOUR HERONS");
    order.type_into("Name", "CASTELLAN");
    order.type_into("Number", "11");
    order.tap("L");
    page.within("The price").says("$");
    // The words across the shoulders are typed into a field that has to be tapped, too.
    let to_the_price = taps() + 1;
    assert!(to_the_price <= 5, "{to_the_price} taps to a price");
    page.tap("Quote it");
    page.says("Link, ");
    page.tap("Copy the link");
    page.says("Link copied");
    let to_the_link = taps() + 1;
    assert!(to_the_link <= 8, "{to_the_link} taps to a link");
    assert!(page.value_of("Link, ").contains("#quote="));
    page.has_a_clean_console();
}

#[test]
fn the_customer_sees_the_price_and_nothing_of_the_shop() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Booth");
    page.within("New order").type_into("Name", "WREN");
    page.within("The price").says("$");
    page.tap("Show the customer");
    page.until("the price is alone on the screen", || {
        let script = "const box = document.querySelector('.turned').getBoundingClientRect();
            const inside = document.querySelector('.turned').innerText;
            const { clientWidth, clientHeight } = document.documentElement;
            return box.width >= clientWidth - 1 && box.height >= clientHeight - 1 && /\\$/.test(inside)
                && !/profit|cost|margin|shelf/i.test(inside)";
        page.ask(script, vec![]) == true
    });
    page.tap("Back");
    page.within("New order").says("From the shelf");
    page.has_a_clean_console();
}

#[test]
fn a_tick_of_the_run_sheet_is_the_booths_pressed_and_a_row_on_top_moves_none() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Press");
    page.within("Run sheet").tick("Okonjo 1, size S");
    page.says("Garments, 11 left");
    page.part_of_the_booth("Orders");
    page.within("Orders").unfold("Marsh Otters (demo)");
    page.within("Orders").unfold("What happened (1)");
    page.within("Orders").says("1 pressed, 13 letters");
    page.go_to("Order");
    let roster = page.value_of(PEOPLE);
    let (head, rows) = roster.split_once('\n').expect("a heading");
    let sign = if head.contains('\t') { '\t' } else { ',' };
    page.paste_into(PEOPLE, &format!("{head}\nNewcomer{sign}99{sign}M\n{rows}"));
    page.go_to("Press");
    page.says("Garments, 12 left");
    page.until("the tick is still Okonjo's", || {
        let script =
            "return [...document.querySelectorAll('.run-done')].map((e) => e.innerText.trim()).join()";
        page.ask(script, vec![]).as_str().unwrap_or_default().starts_with("Okonjo 1, size S")
    });
    page.reload();
    page.go_to("Press");
    page.says("Garments, 12 left");
    // Undone at the booth, the tick is gone here.
    page.part_of_the_booth("Orders");
    page.within("Orders").unfold("Marsh Otters (demo)");
    page.within("Orders").unfold("What happened (1)");
    page.within("Orders").tap("Undo: 1 pressed, 13 letters");
    page.go_to("Press");
    page.says("Garments, 13 left");
    page.has_a_clean_console();
}

#[test]
fn what_is_bought_for_all_comes_in_parts_with_its_price() {
    let site = Site::serve();
    let page = open_page(&site);
    write_down(&page, "WREN", "7");
    page.part_of_the_booth("Buy");
    let buy = page.within("Buy for all orders");
    buy.says("WREN 7: 5 letters, 1 garment");
    buy.tap("Find the cheapest way");
    buy.says("Buying together");
    buy.says("No way is cheaper.");
    buy.says("3 × club tee, navy, S");
    let rows = buy.rows();
    let shares: i64 = rows[1..rows.len() - 1].iter().map(|row| cents(&row[2])).sum();
    assert_eq!(shares, cents(&rows[rows.len() - 1][2]), "the shares add up to the cent: {rows:?}");
    buy.tap("Ordered: write it down");
    let coming = page.within("On the way");
    coming.says("Blanks: ");
    coming.unfold("Blanks: ");
    let blanks = page.within("On the way").within("Blanks: ");
    let cost = cents(&blanks.value_of("What it cost, freight included"));
    assert!(cost > 0);
    blanks.tap("Take in");
    page.until("the blanks have come", || !page.within("On the way").text().contains("Blanks: "));
    page.go_to("Shop");
    page.says("13 blanks on the shelf");
    // A part of the letters: the rest stays on its way, at the rest of the price.
    page.part_of_the_booth("Buy");
    let before = coming.text();
    let first = before.split(':').next().unwrap_or_default().replace("On the way ", "");
    coming.unfold(first.trim());
    let whole = cents(&coming.value_of("What it cost, freight included"));
    coming.enter("A, ", "0");
    let part_of_it = cents(&coming.value_of("What it cost, freight included"));
    assert!(part_of_it < whole, "{part_of_it} of {whole}");
    coming.tap("Take in");
    page.until("less is on its way", || page.within("On the way").text() != before);
    coming.says("to come");
    page.part_of_the_booth("Day");
    page.within("Ledger of the shelf").says("on average");
    page.has_a_clean_console();
}

#[test]
fn what_to_bring_is_worked_out_with_its_chance_and_its_chart() {
    let site = Site::serve();
    let page = open_page(&site);
    page.part_of_the_booth("Bring");
    let bring = page.within("What to bring");
    bring.enter("Garments expected", "8");
    bring.tap("Work it out");
    page.until("it is worked out", || bring.text().contains("Nobody is turned away on"));
    page.until("the trade-off is there", || bring.rows().len() > 4);
    bring.unfold("Piece by piece");
    bring.row("E, 2 in");
    page.has_a_clean_console();
    // It can be stopped, and another question begun.
    bring.enter("Garments expected", "900");
    bring.tap("Work it out");
    bring.tap("Stop");
    page.until("it has stopped", || !page.has_button("Stop"));
    page.has_a_clean_console();
}

#[test]
fn two_phones_end_up_with_one_book_by_file_and_by_link() {
    let site = Site::serve();
    let (ours, theirs) = (open_page(&site), open_page(&site));
    write_down(&ours, "WREN", "7");
    write_down(&theirs, "VOSS", "8");
    let file = ours.whole_book();
    theirs.take_in_book(&file);
    theirs.part_of_the_booth("Orders");
    theirs.within("Orders").says("WREN 7");
    theirs.within("Orders").says("VOSS 8");
    // Back by a link, as another app would hand it over.
    theirs.part_of_the_booth("Phones");
    theirs.within("Another phone").tap("Copy links");
    theirs.says("copied: open");
    let copied = "const [done] = arguments; navigator.clipboard.readText().then(done, () => done(''))";
    let links = theirs.ask_and_wait(copied, vec![]);
    for link in links.as_str().unwrap_or_default().lines() {
        let (_, fragment) = link.split_once('#').expect("a link with a part of a book");
        ours.visit(&format!("{}#{fragment}", site.address()));
        ours.says("Taken in:");
    }
    ours.part_of_the_booth("Orders");
    ours.within("Orders").says("VOSS 8");
    // Each shows codes for the other's camera.
    ours.part_of_the_booth("Phones");
    ours.tap("Show QR codes");
    ours.says("hold the other phone's camera over it");
    assert!(ours.ask("return document.querySelectorAll('.qr svg').length", vec![]).as_u64() >= Some(1));
    // An order removed on one phone is removed on the other, and stays so.
    ours.go_to("Order");
    let entries = ours.everywhere().entries_of("Open order");
    let voss = entries.iter().find(|entry| entry.starts_with("VOSS 8, ")).expect("the other phone's order");
    ours.choose("Open order", voss);
    ours.tap("Remove this order");
    ours.says("Removed order VOSS 8.");
    theirs.take_in_book(&ours.whole_book());
    theirs.part_of_the_booth("Orders");
    theirs.within("Orders").says("WREN 7");
    theirs.until("the order is gone there, too", || !theirs.within("Orders").text().contains("VOSS 8"));
    ours.take_in_book(&theirs.whole_book());
    ours.part_of_the_booth("Orders");
    assert!(!ours.within("Orders").text().contains("VOSS 8"));
    ours.within("Orders").choose("Show", "removed");
    ours.within("Orders").says("VOSS 8");
    ours.has_a_clean_console();
    theirs.has_a_clean_console();
}

#[test]
fn finishes_are_compared_and_one_is_taken() {
    let site = Site::serve();
    let page = open_page(&site);
    page.part_of_the_booth("Finishes");
    let panel = page.within("In each finish");
    panel.tap("Compare");
    page.until("all of them are compared", || page.has_button("Compare") && panel.rows().len() == 10);
    assert!(panel.row("1. as it is")[6].ends_with("days"), "{:?}", panel.rows());
    assert_eq!(page.ask("return document.querySelectorAll('.chart svg circle').length > 4", vec![]), true);
    panel.tap("Take stitched-look twill");
    page.says("Changed the finish of");
    page.tap("Undo");
    page.no_longer_says("Changed the finish of");
    page.has_a_clean_console();
}

#[test]
fn of_twelve_that_wait_the_most_are_chosen_and_what_holds_back_the_rest() {
    let site = Site::serve();
    let page = open_page(&site);
    write_down(&page, "Wren", "7");
    let book = with_orders_like(&page.whole_book(), "Wren 7", 11);
    page.take_in_book(&book);
    fill_shelf(
        &page,
        "W:9 R:9 E:4 N:9 O:9 K:9 J:9 V:9 S:9 M:9 A:9 L:9 D:9 I:9 T:9 Q:9",
        "0:9 1:9 2:9 3:9 4:9 5:9 6:9 7:9 8:9 9:9",
    );
    fill_blanks(&page, "S", "20");
    page.part_of_the_booth("Queue");
    page.within("Queue for the press").says("done by");
    let choice = page.within("What the shelf can make");
    choice.tap("Choose among them");
    choice.says("of 12 orders can be made; no choice is better.");
    choice.says("What holds the others back");
    choice.says("1 more C, 2 in smooth film, white, block: one order more");
    page.has_a_clean_console();
}

#[test]
fn usual_offers_are_kept_and_a_returning_design_is_found_by_a_part_of_it() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Booth");
    page.everywhere().unfold("Another design");
    page.tap("Offer the design of Marsh Otters (demo)");
    page.within("Usual offers").says("Marsh Otters (demo)");
    page.reload();
    page.go_to("Booth");
    page.within("Usual offers").says("Marsh Otters (demo)");
    page.everywhere().unfold("Another design");
    page.type_into("A design made before", "otter");
    page.within("New order").tap("Marsh Otters (demo), ");
    page.within("New order").type_into("Name", "VOSS");
    page.within("The price").says("$");
    page.has_a_clean_console();
}

#[test]
fn old_orders_go_into_a_file_and_come_back_from_it() {
    let site = Site::serve();
    let page = open_page(&site);
    write_down(&page, "WREN", "7");
    page.part_of_the_booth("Orders");
    let book = page.within("Orders");
    book.unfold("WREN 7");
    book.tap("Pressed: WREN 7, S");
    book.tap("Handed over");
    // As it is the day after tomorrow.
    page.ask("const now = window.Date.now; window.Date.now = () => now() + 2 * 86400000", vec![]);
    page.part_of_the_booth("New");
    page.part_of_the_booth("Orders");
    let away = page.within("Put orders away");
    away.tap("a day");
    page.catch_files();
    away.tap("Save 1 order in a file");
    let (name, text) = page.caught_file();
    assert!(name.starts_with("lettertally-orders-until-"), "{name}");
    away.tap("The file is there: take 1 order off this device");
    page.says("Put 1 order away.");
    page.within("Orders").choose("Show", "all");
    page.until("it is gone", || !page.within("Orders").text().contains("WREN 7"));
    let kept = page.kept().to_string();
    assert!(!kept.contains("WREN"), "nothing of it lies here any more");
    page.take_in_book(&text);
    page.part_of_the_booth("Orders");
    page.within("Orders").choose("Show", "handed over");
    page.within("Orders").says("WREN 7");
    page.has_a_clean_console();
}
