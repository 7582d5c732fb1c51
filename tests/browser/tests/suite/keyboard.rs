use lettertally_browser_tests::{Key, Look, Site, open_link, open_page};

#[test]
fn the_whole_way_to_a_quote_goes_by_keyboard() {
    let site = Site::serve();
    let page = open_page(&site);
    page.look(Look::PHONE);
    let (enter, down, space): (char, char, char) = (Key::Enter.into(), Key::Down.into(), ' ');

    page.tab_to("New");
    page.press(&[enter]);
    page.until("an empty order is in front", || page.value_of("Text of line 1").is_empty());
    page.tab_to("For whom");
    page.press(&['K', 'e', 'y', 's']);
    page.tab_to("Text of line 1");
    page.press(&['P', 'E', 'R', 'C', 'H']);
    page.until("the text has arrived", || page.value_of("Text of line 1") == "PERCH");
    assert!(!page.text().contains("Look: "), "nothing is wrong with the order: {}", page.text());
    page.tab_to("Finish");
    page.press(&[down]);
    page.until("another finish is chosen", || page.within("Line 1").value_of("Finish") == "glitter");
    page.tab_to("silver");
    page.press(&[space]);
    page.tab_to("M");
    page.press(&['4']);
    page.tab_to("One M more");
    page.press(&[enter, enter]);
    page.until("seven garments are counted", || page.text().contains("7 with tax"));
    assert_eq!(page.focus().name, "One M more", "the focus stays where it was");

    let before = page.figure("each");
    page.tab_to("Price");
    page.press(&[enter]);
    page.tab_to("Mark-up");
    page.press(&[space]);
    page.tab_to("Mark-up, % of cost");
    page.press_with(Key::Control, 'a');
    page.press(&['2', '0', '0']);
    page.figure_after("each", &before);
    page.tab_to("Quote");
    page.press(&[enter]);
    page.tab_to("Copy the link");
    page.press(&[enter]);
    page.says("Link copied");
    assert_eq!(page.focus().name, "Copy the link", "the focus stays where it was");
    page.has_a_clean_console();

    let customer = open_link(&page.value_of("Link, "));
    customer.tab_to("Quote");
    customer.press(&[Key::End.into()]);
    customer.until("the end is in view", || {
        let end = "const last = document.querySelector('main').lastElementChild.getBoundingClientRect();
            return last.bottom <= innerHeight";
        customer.ask(end, vec![]) == true
    });
    customer.has_a_clean_console();
}

#[test]
fn prices_are_changed_saved_and_taken_back_by_keyboard() {
    let site = Site::serve();
    let page = open_page(&site);
    page.look(Look::DESK);
    let (enter, right): (char, char) = (Key::Enter.into(), Key::Right.into());
    page.tab_to("Shop");
    page.press(&[enter]);
    let list = page.within("Price list");
    // The first cell of the grid, and from there along its row to the price.
    page.tab_to("Quillfeather Letters");
    page.press(&[right; 8]);
    let price = list.text_of_cell(1, 9);
    page.until("the price is in front", || page.focus().name == price);
    page.listen();
    page.press(&['9', '.', '9', '0', enter]);
    page.is_told("Not saved yet: this changes 1 order");
    assert_eq!(list.text_of_cell(1, 9), "9.90");
    let before = page.figure("profit");
    page.tab_to("Save");
    page.press(&[enter]);
    page.is_told("Saved");
    page.figure_after("profit", &before);
    let rows = list.rows();
    page.tab_to("Remove row");
    page.press(&[enter]);
    page.is_told("Removed ");
    page.until("a row is gone", || list.rows().len() == rows.len() - 1);
    page.tab_to("Undo");
    page.press(&[enter]);
    page.until("the row is back", || list.rows() == rows);
    page.has_a_clean_console();
}

#[test]
fn every_stop_of_the_tab_key_is_shown_and_seen() {
    let site = Site::serve();
    let page = open_page(&site);
    let mut faults = vec![];
    for screen in ["Order", "Letters", "Price", "Quote", "Shop"] {
        page.go_to(screen);
        page.from_the_top();
        for _ in 0..60 {
            page.press(&[Key::Tab.into()]);
            let focus = page.focus();
            if focus.name.is_empty() {
                break;
            }
            if !focus.is_shown {
                faults.push(format!("{screen}: nothing shows that {} has the focus", focus.name));
            }
            if !focus.is_seen {
                faults.push(format!("{screen}: {} has the focus where nobody sees it", focus.name));
            }
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}
