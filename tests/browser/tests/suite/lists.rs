use lettertally_browser_tests::{Browser, Key, Look, Site, open_page};
use serde_json::json;

const PRICE: usize = 9;
const COLOURS: usize = 4;

/// Opens the price list as a grid.
fn open_grid(site: &Site) -> Browser {
    let page = open_page(site);
    page.look(Look::DESK);
    page.go_to("Shop");
    page
}

fn press(page: &Browser, keys: &[Key]) {
    page.press(&keys.iter().map(|key| char::from(*key)).collect::<Vec<_>>());
}

fn type_keys(page: &Browser, text: &str) {
    page.press(&text.chars().collect::<Vec<_>>());
}

/// Waits until the focus is on a cell, by its row and column from 1.
fn is_at(page: &Browser, row: u64, column: u64) {
    let script = "const cell = document.activeElement.closest('td');
        return cell && [[...cell.parentElement.parentElement.children].indexOf(cell.parentElement) + 1, cell.cellIndex]";
    page.until(&format!("the focus is on row {row}, column {column}"), || {
        page.ask(script, vec![]) == json!([row, column])
    });
}

fn shows(page: &Browser, row: usize, column: usize, text: &str) {
    let list = page.within("Price list");
    page.until(&format!("row {row} shows {text}"), || list.text_of_cell(row, column) == text);
}

#[test]
fn the_grid_is_worked_with_the_keyboard_alone() {
    let site = Site::serve();
    let page = open_grid(&site);
    page.within("Price list").cell(1, PRICE);
    is_at(&page, 1, 9);
    type_keys(&page, "0.6");
    press(&page, &[Key::Tab]);
    shows(&page, 1, PRICE, "0.60");
    is_at(&page, 1, 10);
    press(&page, &[Key::Left, Key::Down, Key::Enter, Key::Backspace]);
    type_keys(&page, "9");
    press(&page, &[Key::Enter]);
    shows(&page, 2, PRICE, "2.19");
    is_at(&page, 3, 9);
    type_keys(&page, "5");
    press(&page, &[Key::Escape]);
    shows(&page, 3, PRICE, "17.90");
    is_at(&page, 3, 9);
    press(&page, &[Key::Home]);
    is_at(&page, 3, 1);
    press(&page, &[Key::End]);
    is_at(&page, 3, 12);
    page.press_with(Key::Control, Key::Home.into());
    is_at(&page, 1, 1);
    page.press_with(Key::Alt, Key::Down.into());
    is_at(&page, 2, 1);
    shows(&page, 2, PRICE, "0.60");
    shows(&page, 1, PRICE, "2.19");
    page.has_a_clean_console();
}

#[test]
fn the_last_changes_in_the_grid_are_taken_back_with_the_keyboard() {
    let site = Site::serve();
    let page = open_grid(&site);
    let list = page.within("Price list");
    list.cell(1, PRICE);
    type_keys(&page, "0.6");
    press(&page, &[Key::Enter]);
    shows(&page, 1, PRICE, "0.60");
    list.cell(1, 2);
    type_keys(&page, "glitter film");
    press(&page, &[Key::Enter]);
    page.says("The finish is now glitter film: kept red, gold; dropped white, navy.");
    shows(&page, 1, COLOURS, "red, gold");
    page.press_with(Key::Control, 'z');
    shows(&page, 1, COLOURS, "white, navy, red, gold");
    shows(&page, 1, PRICE, "0.60");
    page.press_with(Key::Control, 'z');
    shows(&page, 1, PRICE, "0.55");
    page.press_with(Key::Control, 'z');
    list.says("Nothing to undo");
    page.has_a_clean_console();
}

#[test]
fn what_waits_does_not_cover_the_cell_that_is_changed() {
    let site = Site::serve();
    let page = open_grid(&site);
    let list = page.within("Price list");
    for row in [1, 9, 16] {
        list.cell(row, PRICE);
        type_keys(&page, "7.77");
        press(&page, &[Key::Tab]);
        page.says("Not saved yet: this changes");
        page.until("the cell beside it is in view", || page.focus().is_seen);
    }
    page.has_a_clean_console();
}

#[test]
fn an_order_that_is_only_begun_has_no_price() {
    let site = Site::serve();
    let page = open_page(&site);
    page.tap("New");
    page.until("there is a dash", || page.figure("each") == "—" && page.figure("profit") == "—");
    page.type_into("Text of line 1", "PERCH");
    page.until("there is a price", || page.figure("each").contains('$'));
    page.has_a_clean_console();
}

#[test]
fn a_cell_that_cannot_be_read_stays_open_until_it_is_mended() {
    let site = Site::serve();
    let page = open_grid(&site);
    let list = page.within("Price list");
    list.cell(1, COLOURS);
    type_keys(&page, "teal");
    press(&page, &[Key::Enter]);
    list.says("row 1, colours: no colour “teal”: write one of white, navy, red, gold");
    page.says("Not complete: row 1, colours");
    list.cell(2, COLOURS);
    assert_eq!(list.value_of("colours, row 1"), "teal", "what was typed is not lost");
    page.type_into("colours, row 1", "red, gold");
    press(&page, &[Key::Enter]);
    shows(&page, 1, COLOURS, "red, gold");
    page.no_longer_says("Not complete");
    page.has_a_clean_console();
}

#[test]
fn a_block_goes_to_a_spreadsheet_and_comes_back() {
    let site = Site::serve();
    let page = open_grid(&site);
    let list = page.within("Price list");
    list.cell(1, PRICE);
    page.press_with(Key::Shift, Key::Down.into());
    page.press_with(Key::Control, 'c');
    list.says("Copied 2 cells");
    press(&page, &[Key::Down, Key::Down]);
    is_at(&page, 4, 9);
    page.press_with(Key::Control, 'v');
    list.says("Changed 2 offers");
    shows(&page, 4, PRICE, "0.55");
    shows(&page, 5, PRICE, "2.15");
    list.cell(16, 1);
    let row = "Quillfeather Letters\tglitter film\t3\t\"gold, silver\"\tblock\tpack\t4\tA-Z\t5.20";
    page.paste_text(&format!("{row}\n{row}\n"));
    list.says("Changed 1 offer, added 1");
    page.says("Changed 1 offer, added 1.");
    page.tap("Undo");
    page.until("the new row is gone", || list.text_of_cell(17, 1).is_empty());
    list.cell(16, 1);
    page.paste_text(&format!("{row}\n{row}\n"));
    shows(&page, 17, COLOURS, "gold, silver");
    list.cell(17, COLOURS);
    press(&page, &[Key::Delete]);
    shows(&page, 17, COLOURS, "");
    list.says("no colour is ticked");
    page.has_a_clean_console();
}

#[test]
fn a_block_with_bad_cells_changes_nothing_until_a_person_says_so() {
    let site = Site::serve();
    let page = open_grid(&site);
    let list = page.within("Price list");
    list.cell(1, PRICE);
    let block = "0.70\t\nx\t50: 1.90\n18.50\tmany\n";
    page.paste_text(block);
    list.says("Nothing has been changed: not all of it can be put on the list.");
    list.says("row 2, price: “x” is not a number");
    list.says("row 3, quantity breaks: “many”: write it as 50: 2.00");
    shows(&page, 1, PRICE, "0.55");
    list.tap("Leave it all");
    page.no_longer_says("Nothing has been changed");
    shows(&page, 1, PRICE, "0.55");
    list.cell(1, PRICE);
    page.paste_text(block);
    list.tap("Take what can be read");
    shows(&page, 1, PRICE, "0.70");
    shows(&page, 2, PRICE, "2.15");
    shows(&page, 2, PRICE + 1, "50: 1.90");
    shows(&page, 3, PRICE, "18.50");
    page.has_a_clean_console();
}

#[test]
fn rows_are_copied_moved_and_removed_and_come_back() {
    let site = Site::serve();
    let page = open_grid(&site);
    let list = page.within("Price list");
    list.cell(2, PRICE);
    list.tap("Copy row");
    list.says("Row 3, supplier: Quillfeather Letters");
    shows(&page, 3, PRICE, "2.15");
    list.tap("Move row up");
    list.tap("Move row up");
    shows(&page, 1, PRICE, "2.15");
    list.tap("Remove row");
    shows(&page, 1, PRICE, "0.55");
    page.says("Removed 2 in smooth film, pack of 5.");
    page.tap("Undo");
    shows(&page, 1, PRICE, "2.15");
    list.tap("Add an offer");
    shows(&page, 18, PRICE, "2.55");
    page.has_a_clean_console();
}

#[test]
fn on_a_phone_an_offer_is_one_line_that_opens_into_its_fields() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let group = page.within("smooth film, 2 in");
    group.says("pack of 5 4 colours, Quillfeather Letters 2.15");
    group.unfold("pack of 5");
    group.type_into("Price of 2 in smooth film, pack of 5", "2.25");
    group.says("pack of 5 4 colours, Quillfeather Letters 2.25");
    group.type_into("Letters in a pack", "6");
    group.says("pack of 6 4 colours, Quillfeather Letters 2.25");
    group.clone().within("2 in smooth film, pack of 6").tap("Move 2 in smooth film, pack of 6 up");
    page.until("it is the first", || {
        group.text().starts_with("smooth film, 2 in ▾ pack of 6")
            || group.text().starts_with("smooth film, 2 in pack of 6")
    });
    group.clone().within("2 in smooth film, pack of 6").tap("Copy 2 in smooth film, pack of 6");
    page.until("there are two", || group.text().matches("pack of 6 4 colours").count() == 2);
    group.clone().within("2 in smooth film, pack of 6").tap("Remove this offer");
    page.until("there is one", || group.text().matches("pack of 6 4 colours").count() == 1);
    page.until("the person goes on at the next offer", || {
        let focus = page.focus();
        focus.is_seen && focus.name.contains("4 colours")
    });
    page.tap("Undo");
    page.until("there are two again", || group.text().matches("pack of 6 4 colours").count() == 2);
    page.has_a_clean_console();
}

#[test]
fn many_prices_are_shown_old_and_new_before_they_change() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    page.tap("Change many prices");
    let bulk = page.within("Change many prices");
    bulk.choose("Which", "in glitter film");
    bulk.type_into("By", "10");
    bulk.choose("Rounded", "to 0.05");
    bulk.row("2 in glitter film, single piece");
    page.until("the new price is shown", || {
        bulk.row("2 in glitter film, single piece")[1..] == ["0.85", "0.95"]
    });
    bulk.tick("2 in glitter film, pack of 6");
    page.until("it stays", || {
        bulk.row("2 in glitter film, pack of 6")[1..] == ["3.90 from 20: 3.60", "stays"]
    });
    page.within("glitter film, 2 in").says("single piece 3 colours, Quillfeather Letters 0.85");
    bulk.tap("Change 6 prices");
    page.within("glitter film, 2 in").says("single piece 3 colours, Quillfeather Letters 0.95");
    page.within("glitter film, 2 in").says("pack of 6 3 colours, Quillfeather Letters 3.90");
    page.within("smooth film, 2 in").says("single piece 4 colours, Quillfeather Letters 0.55");
    page.says("Changed 6 prices.");
    page.tap("Undo");
    page.within("glitter film, 2 in").says("single piece 3 colours, Quillfeather Letters 0.85");
    page.tap("Change many prices");
    bulk.tap("Down");
    bulk.tap("Amount");
    bulk.type_into("By", "5");
    bulk.says("2 in smooth film, single piece: would cost less than nothing");
    assert!(page.ask("return probe.find([], 'button', 'Change 0 prices').disabled", vec![]) == true);
    bulk.tap("Leave them");
    page.has_a_clean_console();
}

#[test]
fn the_contents_of_a_set_are_counted_guessed_and_held_against_the_list() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let group = page.within("smooth film, 2 in");
    group.unfold("assorted set of 64");
    let set = group.clone().within("Contents of the set");
    set.says("64 letters counted, as the list says.");
    set.tap("One A less");
    set.says("63 letters counted: 1 fewer than the 64 that the list says");
    set.tap("One Z more");
    set.says("64 letters counted, as the list says.");
    assert!(set.value_of("Contents: 64 letters").starts_with("A:3 "));
    set.type_into("Letters in the set, by the supplier's list", "100");
    set.says("64 letters counted: 36 fewer than the 100 that the list says");
    set.unfold("Fill it by how often letters come");
    set.type_into("At least of each", "5");
    set.tap("Fill with 100 letters");
    set.says("take 130");
    set.type_into("At least of each", "1");
    page.until("the complaint is gone", || !set.text().contains("take 130"));
    set.tap("Fill with 100 letters");
    set.says("100 letters counted, as the list says.");
    group.says("assorted set of 100");
    page.has_a_clean_console();
}

#[test]
fn finishes_suppliers_blanks_and_styles_are_copied_moved_removed_and_come_back() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    for (panel, entry, kind) in [
        ("Finishes", "smooth film", "finish"),
        ("Suppliers", "Quillfeather Letters", "supplier"),
        ("Blanks", "club tee, navy", "blank"),
        ("Letter styles", "block", "letter style"),
    ] {
        let list = page.within(panel);
        let copy = format!("{entry} (copy)");
        list.unfold(entry);
        list.clone().within(entry).tap(&format!("Copy {entry}"));
        list.says(&copy);
        let is_first = |words: &str| list.text().find(words) < list.text().find(&format!("Add a {kind}"));
        assert!(is_first(&copy));
        list.clone().within(&copy).tap(&format!("Move {copy} up"));
        page.until("the copy is above", || {
            let text = list.text();
            text.find(&copy).is_some_and(|at| text[at + copy.len()..].contains(entry))
        });
        list.clone().within(&copy).tap(&format!("Remove this {kind}"));
        page.until("the copy is gone", || !list.text().contains(&copy));
        page.tap("Undo");
        list.says(&copy);
    }
    page.has_a_clean_console();
}
