//! Backups, and laws of whatever may lie on a device.

use super::*;

#[test]
fn a_backup_brings_everything_back() {
    let state = changed(&three_orders());
    let contents = backup::read(&backup::write(&state, Moment(60))).unwrap();
    assert_eq!(contents.unread, []);
    let elsewhere = State { backup: saved::LastBackup { made: Moment(5) }, ..demo() };
    let there = backup::restored(&elsewhere, &contents.parts, How::Replace);
    assert_eq!(there, State { backup: elsewhere.backup.clone(), book: there.book.clone(), ..state.clone() });
    assert_eq!(there.book.entries(), state.book.entries());
    assert_eq!(backup::restored(&state, &contents.parts, How::Merge), state);
    let found = backup::compare(&state, &contents.parts);
    assert_eq!(found, backup::Comparison { same: state.book.entries().len(), ..Default::default() });
}

#[test]
fn merging_a_backup_adds_and_takes_nothing_away() {
    let here = three_orders();
    let there = changed(&here);
    let contents = backup::read(&backup::write(&there, Moment(60))).unwrap();
    let found = backup::compare(&here, &contents.parts);
    assert_eq!(found.only_there, ["order d"]);
    assert_eq!(found.later_there, ["other words"]);
    assert_eq!(found.only_here, ["order b"]);
    assert!(found.settings_differ && found.shelf_differs && !found.lists_differ);
    let merged = backup::restored(&here, &contents.parts, How::Merge);
    let titles: Vec<&str> = merged.book.entries().iter().map(|entry| entry.order.title.as_str()).collect();
    assert_eq!(titles, ["order d", "other words", "order b", "Marsh Otters (demo)"]);
    assert_eq!((&merged.shop.lists, &merged.shop.settings), (&here.shop.lists, &here.shop.settings));
    // What was counted there is a fact that counts here too.
    assert_eq!(merged.shop.shelf, there.shop.shelf);
    assert_eq!(merged.book.open(), here.book.open());
}

#[test]
fn files_that_are_no_backups_say_why() {
    use backup::BackupError;
    let good = backup::write(&demo(), Moment(60));
    assert!(matches!(backup::read("hello"), Err(BackupError::Foreign(_))));
    assert!(matches!(backup::read(&good[..good.len() - 9]), Err(BackupError::Foreign(_))));
    assert!(matches!(
        backup::read(&good.replace("lettertally backup", "else")),
        Err(BackupError::Foreign(_))
    ));
    let newer = format!("\"version\": {}", saved::record::VERSION + 1);
    let now = format!("\"version\": {}", saved::record::VERSION);
    assert_eq!(backup::read(&good.replacen(&now, &newer, 1)), Err(BackupError::Newer));
    let empty = r#"{"file":"lettertally backup","version":2,"made":1,"records":{}}"#;
    assert_eq!(backup::read(empty), Err(BackupError::Nothing));
    // A damaged record in a good file is named; the rest comes back.
    let mut file: serde_json::Value = serde_json::from_str(&good).unwrap();
    file["records"]["lettertally.shelf"]["data"] = serde_json::json!(7);
    let contents = backup::read(&file.to_string()).unwrap();
    assert_eq!(contents.unread.len(), 1);
    assert_eq!(contents.parts.lists, Some(demo().shop.lists));
    // What a spreadsheet or an editor puts in front does no harm.
    assert!(backup::read(&format!("\u{feff}{good}")).is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Whatever lies under our keys: nothing panics, and every text that was there is still there,
    /// read or set aside.
    #[test]
    fn no_stored_text_is_lost(
        which in 0_usize..8, cut in any::<prop::sample::Index>(), with in "[\"{}:,a-z0-9\\\\]{0,6}", drop in 0_usize..9,
    ) {
        let device = Device::default();
        device.open().keep(&changed(&three_orders()), Moment(20));
        let texts = device.texts();
        let key = texts.keys().nth(which % texts.len()).unwrap().clone();
        device.change(&key, |text| {
            let at = cut.index(text.len() + 1);
            let at = (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
            let end = (at + drop..=text.len()).find(|end| text.is_char_boundary(*end)).unwrap_or(text.len());
            format!("{}{with}{}", &text[..at], &text[end..])
        });
        let damaged = device.texts()[&key].clone();
        let mut store = device.open();
        let state = store.parts().or(demo());
        let is_there = |device: &Device, store: &Store| {
            device.texts().values().any(|text| *text == damaged)
                || store.asides().iter().any(|(_, aside)| aside.text == damaged)
        };
        prop_assert!(is_there(&device, &store));
        if !store.is_newer() {
            prop_assert_eq!(store.keep(&state, Moment(90)).refused, vec![]);
        }
    }

    #[test]
    fn no_backup_text_makes_the_reader_panic(cut in any::<prop::sample::Index>(), with in "\\PC{0,8}") {
        let good = backup::write(&three_orders(), Moment(60));
        let at = cut.index(good.len());
        let at = (0..=at).rev().find(|at| good.is_char_boundary(*at)).unwrap_or(0);
        let _ = backup::read(&format!("{}{with}{}", &good[..at], &good[at..]));
        let _ = backup::read(&with);
    }
}
