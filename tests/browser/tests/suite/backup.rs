use lettertally_browser_tests::{Site, open_page};

#[test]
fn a_backup_brings_everything_back_in_another_browser() {
    let site = Site::serve();
    let page = open_page(&site);
    page.type_into("For whom", "Kept in a file");
    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "25");
    page.save_changes();
    page.within("Backup").says("Last backup: none yet.");
    page.catch_files();
    page.within("Backup").tap("Save a backup");
    let (name, text) = page.caught_file();
    assert!(name.starts_with("lettertally-backup-") && name.ends_with(".json"), "{name}");
    page.within("Backup").says("Changed since: nothing.");

    let other = open_page(&site);
    other.go_to("Shop");
    let backup = other.within("Backup");
    backup.open_file("Open a backup", &name, text.as_bytes());
    backup.says("Orders changed later in the file: Kept in a file");
    backup.says("Settings: differ");
    backup.says("Lists: the same");
    backup.says("Nothing was entered on this device yet");
    backup.tap("Replace everything");
    backup.says("What was here before is under “Set aside”.");
    assert_eq!(other.within("What the work costs").value_of("Wage"), "25");
    other.go_to("Order");
    assert_eq!(other.value_of("For whom"), "Kept in a file");
    other.reload();
    assert_eq!(other.value_of("For whom"), "Kept in a file");
    // What was there before lies under “Set aside”, which is no fault.
    assert!(!other.text().contains("could not be read"), "{}", other.text());

    // And what was there before can be brought back, also after a reload.
    other.go_to("Shop");
    other.within("Backup").tap("Bring it back");
    other.until("the wage is as before", || other.within("What the work costs").value_of("Wage") == "18");
    other.go_to("Order");
    assert_eq!(other.value_of("For whom"), "Marsh Otters (demo)");
    other.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn a_backup_is_merged_and_that_is_undone() {
    let site = Site::serve();
    let page = open_page(&site);
    page.tap("New");
    page.type_into("For whom", "Harbour Herons");
    page.go_to("Shop");
    page.catch_files();
    page.within("Backup").tap("Save a backup");
    let (name, text) = page.caught_file();
    page.go_to("Order");
    page.tap("Remove this order");
    page.says("Removed order Harbour Herons.");
    page.go_to("Shop");
    page.within("Backup").open_file("Open a backup", &name, text.as_bytes());
    page.within("Backup").says("Orders only in the file: Harbour Herons");
    page.within("Backup").says("Orders that are the same: 1");
    page.within("Backup").tap("Merge");
    page.says("Merged the backup.");
    page.go_to("Order");
    page.choose("Open order", &format!("Harbour Herons, {}", today(&page)));
    page.until("it is there again", || page.value_of("For whom") == "Harbour Herons");
    page.has_a_clean_console();
}

fn today(page: &lettertally_browser_tests::Browser) -> String {
    let script = "const d = new Date(); const two = (n) => String(n).padStart(2, '0');
        return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`";
    page.ask(script, vec![]).as_str().unwrap_or_default().to_owned()
}

#[test]
fn a_file_that_is_no_backup_changes_nothing() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    let before = page.kept();
    let backup = page.within("Backup");
    backup.open_file("Open a backup", "holiday.json", b"{\"sun\": true}");
    backup.says("This file is not a backup of this page");
    backup.open_file("Open a backup", "cut.json", b"{\"file\":\"lettertally backup\",\"version\":2,\"ma");
    backup.says("This file is not a backup of this page");
    backup.open_file(
        "Open a backup",
        "newer.json",
        b"{\"file\":\"lettertally backup\",\"version\":99,\"made\":1,\"records\":{}}",
    );
    backup.says("made by a newer version");
    assert_eq!(page.kept(), before);
    page.has_a_clean_console();
}

#[test]
fn the_page_reminds_of_a_backup_after_a_set_number_of_orders() {
    let site = Site::serve();
    let page = open_page(&site);
    for _ in 0..19 {
        page.tap("New");
    }
    page.says("20 orders");
    page.says("changed since the last backup");
    page.catch_files();
    page.tap("Save a backup");
    page.caught_file();
    page.no_longer_says("changed since the last backup");
    page.has_a_clean_console();
}
