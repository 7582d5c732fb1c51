use lettertally_browser_tests::access::{Rules, Spoken};
use lettertally_browser_tests::tour::{every_state, screens, unfold_all};
use lettertally_browser_tests::{Browser, Feature, Key, Look, Scheme, Site, Wish, open_link, open_page};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// What is found in many states: each once, with the first state where it was seen.
#[derive(Default)]
struct Faults(BTreeMap<String, String>);

impl Faults {
    fn note<T: AsRef<str>>(&mut self, found: impl IntoIterator<Item = T>, place: &str) {
        for fault in found {
            self.0.entry(fault.as_ref().to_owned()).or_insert_with(|| place.to_owned());
        }
    }

    fn are_none(&self) {
        let told: Vec<_> = self.0.iter().map(|(fault, place)| format!("{place}: {fault}")).collect();
        assert!(told.is_empty(), "{} faults:\n{}", told.len(), told.join("\n"));
    }
}

fn lines(found: &Value) -> impl Iterator<Item = &str> {
    found.as_array().into_iter().flatten().filter_map(Value::as_str)
}

/// What the checker finds or leaves open and is looked at otherwise.
fn is_known(finding: &str) -> bool {
    let about = |rule: &str, words: &str| finding.starts_with(rule) && finding.contains(words);
    // The bar and the strip lie over some control wherever one scrolls; sizes have their own test.
    about("fault target-size", "partially obscured")
        // So does the head of the price list over its rows, whose cells the arrow keys lead to.
        || about("unsure target-size", "partially obscured")
        // For the same reason it does not know a ground; `probe.faint` does, of every text.
        || about("unsure color-contrast", "")
        // A column may be empty where a file holds nothing in it.
        || about("unsure th-has-data-cells", "missing or empty")
        // A sign such as ✕ is no word that somebody says to their device.
        || about("unsure label-content-name-mismatch", "Unable to determine")
}

fn check(page: &Browser, rules: Rules, place: &str, faults: &mut Faults) {
    let found = page.check_access(rules);
    faults
        .note([found.faults, found.unsure].concat().into_iter().filter(|finding| !is_known(finding)), place);
    if rules != Rules::Sizes {
        faults.note(lines(&page.ask("return probe.faint()", vec![])), place);
    }
}

/// Checks every state in light and dark, on a phone also with text of twice the size.
fn check_every_state(look: Look) {
    let site = Site::serve();
    let mut faults = Faults::default();
    every_state(&site, look, &mut |page, state| {
        check(page, Rules::All, state, &mut faults);
        if page.can(Feature::Emulation) {
            page.look(Look { scheme: Scheme::Dark, ..look });
            check(page, Rules::Colours, &format!("{state}, dark"), &mut faults);
            page.look(look);
        }
        if look == Look::PHONE {
            let enlarge = "document.documentElement.style.fontSize = arguments[0]";
            page.ask(enlarge, vec![json!("200%")]);
            check(page, Rules::Sizes, &format!("{state}, text of twice the size"), &mut faults);
            page.ask(enlarge, vec![json!("")]);
        }
    });
    faults.are_none();
}

#[test]
fn a_checker_finds_nothing_on_a_phone() {
    check_every_state(Look::PHONE);
}

#[test]
fn a_checker_finds_nothing_on_a_desk() {
    check_every_state(Look::DESK);
}

#[test]
fn the_checker_finds_what_is_wrong() {
    let site = Site::serve();
    let page = open_page(&site);
    page.ask(
        "const field = Object.assign(document.createElement('input'), { id: 'nameless' });
         const words = Object.assign(document.createElement('p'), { textContent: 'faint words' });
         Object.assign(words.style, { color: '#999', background: '#fff' });
         document.querySelector('main').append(field, words)",
        vec![],
    );
    let found = page.check_access(Rules::All).faults.join("\n");
    assert!(found.contains("fault label: <input id=\"nameless\">"), "{found}");
    assert!(found.contains("fault color-contrast: <p style"), "{found}");
}

#[test]
fn a_screen_reader_calls_every_control_what_stands_on_it() {
    let site = Site::serve();
    let page = open_page(&site);
    let mut faults = Faults::default();
    for screen in screens(&page) {
        page.go_to(&screen);
        let words = page
            .ask("return probe.controls().map((e) => [e.localName, e.type ?? '', probe.name(e)])", vec![]);
        for (at, control) in page.controls().iter().enumerate() {
            let part = |part: usize| words[at][part].as_str().unwrap_or_default();
            let (role, name) = page.called(control);
            let roles: &[&str] = match (part(0), part(1)) {
                ("button", _) => &["button"],
                ("summary", _) => &["button", "DisclosureTriangle", "summary", ""],
                ("a", _) => &["link"],
                ("select", _) => &["combobox", "listbox", "menu", "button"],
                ("textarea", _) => &["textbox"],
                (_, "checkbox") => &["checkbox"],
                (_, "color") => &["ColorWell", "button"],
                (_, "file") => &["button", "group", "textbox"],
                _ => &["textbox", "combobox"],
            };
            // A field for files is called by what is in it, too.
            let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
            let is_called = if part(1) == "file" { name.starts_with(part(2)) } else { name == part(2) };
            let said = format!("{} {} “{}” is read as {role} “{name}”", part(0), part(1), part(2));
            let is_right = roles.contains(&role.as_str()) && is_called;
            faults.note((!is_right).then_some(said), &screen);
        }
    }
    faults.are_none();
}

/// Finds these one after another, in this order; others may stand between.
fn reads(told: &[Spoken], expected: &[&str]) {
    let said: Vec<String> = told.iter().map(Spoken::to_string).collect();
    let mut rest = said.iter();
    for (at, words) in expected.iter().enumerate() {
        let found = rest.any(|one| one.starts_with(words));
        let whole = || said.join("\n");
        assert!(found, "after {:?} nobody reads {words}:\n{}", &expected[..at], whole());
    }
}

#[test]
fn the_screens_are_read_from_top_to_bottom() {
    let site = Site::serve();
    let page = open_page(&site);
    if page.lacks(Feature::AccessibilityTree) {
        return;
    }
    let read = || page.read_aloud().unwrap_or_default();
    reads(
        &read(),
        &[
            "RootWebArea “Lettertally”",
            "banner",
            "heading “Lettertally” level=1",
            "navigation “Screens”",
            "button “Order”",
            "button “Shop”",
            "main",
            "region “Order”",
            "heading “Order” level=2",
            "combobox “Open order”",
            "button “New”",
            "textbox “For whom”",
            "region “Garment”",
            "combobox “Blank”",
            "group “Line 1”",
            "textbox “Text of line 1”",
            "button “Remove line 1”",
            "combobox “Where”",
            "combobox “Finish”",
            "combobox “Letter height”",
            "group “Colour”",
            "group “Line 2”",
            "button “Add a line”",
            "heading “How many” level=3",
            "group “Count garments”",
            "button “By size”",
            "button “By name” pressed=true",
            "textbox “People: type, or paste from a spreadsheet”",
        ],
    );
    page.go_to("Letters");
    reads(&read(), &["main", "heading", "table"]);
    page.go_to("Price");
    reads(
        &read(),
        &[
            "region “Price”",
            "group “What the price aims at”",
            "button “Margin” pressed=true",
            "textbox “Margin, % of price”",
            "combobox “Round up to”",
            "region “By size”",
            "table",
            "columnheader “Size”",
            "rowheader",
            "region “Cost”",
            "region “At other quantities”",
        ],
    );
    page.go_to("Quote");
    reads(
        &read(),
        &[
            "region “Quote for the customer”",
            "button “Copy the link”",
            "textbox “Link, ",
            "article “Quote”",
            "heading “Quote ",
            "StaticText “Lantern Pier Lettering (demo)”",
            "columnheader",
            "rowheader “Total with tax”",
        ],
    );
    page.go_to("Shop");
    reads(
        &read(),
        &["region “Price list”", "region “What the work costs”", "textbox “Wage”", "region “Backup”"],
    );

    page.go_to("Quote");
    let customer = open_link(&page.value_of("Link, "));
    reads(
        &customer.read_aloud().unwrap_or_default(),
        &[
            "RootWebArea “Quote: Lantern Pier Lettering (demo)”",
            "main",
            "heading “Quote” level=1",
            "article “Quote”",
            "StaticText “Lantern Pier Lettering (demo)”",
            "table",
            "rowheader “Total with tax”",
        ],
    );
}

#[test]
fn what_happens_is_read_out() {
    let site = Site::serve();
    let page = open_page(&site);
    page.listen();
    page.within("Line 2").tap("Remove line 2");
    page.is_told("Removed line 2");
    page.tap("Undo");
    page.tap("New");
    page.until("an empty order is in front", || page.value_of("Text of line 1").is_empty());
    page.type_into("Text of line 1", "TIDER");
    page.listen();
    page.paste_into("M", "-5");
    page.is_told("Not complete: M: ");
    page.is_told("not below 0");
    page.type_into("M", "4");
    page.type_into("Text of line 1", "ÆON");
    page.is_told("Not complete: ");
    page.type_into("Text of line 1", "TIDER");
    page.go_to("Quote");
    page.listen();
    page.tap("Copy the link");
    page.is_told("Link copied");
    page.go_to("Shop");
    page.listen();
    page.within("What the work costs").enter("Wage", "1250");
    page.is_told("Not saved yet: this changes 2 orders");
    page.save_changes();
    page.is_told("Saved");
}

#[test]
fn a_finger_hits_every_control_and_a_thumb_those_of_the_booth() {
    let site = Site::serve();
    let page = open_page(&site);
    let mut faults = Faults::default();
    let mut note = |page: &Browser, screen: &str, thumb: u32| {
        faults.note(lines(&page.ask("return probe.small(arguments[0])", vec![json!(thumb)])), screen);
    };
    for screen in screens(&page) {
        page.go_to(&screen);
        let thumb = if screen == "Shop" { 0 } else { 44 };
        note(&page, &screen, thumb);
        unfold_all(&page);
        note(&page, &format!("{screen} unfolded"), 0);
    }
    page.go_to("Order");
    page.tap("By size");
    note(&page, "Order by size", 44);
    page.tap("By name");
    page.within("Line 2").tap("Remove line 2");
    note(&page, "just removed", 44);
    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "1250");
    page.says("Not saved yet: this changes");
    note(&page, "waiting", 0);
    page.drop_changes();
    page.go_to("Quote");
    note(&open_link(&page.value_of("Link, ")), "customer's quote", 44);
    page.look(Look::DESK);
    for screen in screens(&page) {
        page.go_to(&screen);
        note(&page, &format!("{screen} on a desk"), 0);
    }
    faults.are_none();
}

#[test]
fn nothing_moves_for_those_who_want_it_still() {
    let site = Site::serve();
    let page = open_page(&site);
    if page.lacks(Feature::Wishes) {
        return;
    }
    let moving = "return probe.moving()";
    assert_ne!(page.ask(moving, vec![]), json!([]), "a button fades where nobody minds");
    page.wish(&[Wish::LessMotion]);
    for screen in screens(&page) {
        page.go_to(&screen);
        assert_eq!(page.ask(moving, vec![]), json!([]), "{screen}");
        assert_eq!(page.ask("return document.getAnimations().length", vec![]), json!(0), "{screen}");
    }
}

#[test]
fn those_who_ask_for_more_contrast_get_it() {
    let site = Site::serve();
    let page = open_page(&site);
    if page.lacks(Feature::Wishes) {
        return;
    }
    let mut faults = Faults::default();
    for scheme in [Scheme::Light, Scheme::Dark] {
        page.look(Look { scheme, ..Look::PHONE });
        page.wish(&[Wish::MoreContrast]);
        for screen in screens(&page) {
            page.go_to(&screen);
            unfold_all(&page);
            let place = format!("{screen}, {scheme:?}");
            faults.note(lines(&page.ask("return probe.faint(7, 4.5)", vec![])), &place);
        }
    }
    faults.are_none();
}

#[test]
fn with_colours_of_the_device_s_own_nothing_is_told_by_colour_alone() {
    let site = Site::serve();
    let page = open_page(&site);
    if page.lacks(Feature::Wishes) {
        return;
    }
    let mut faults = Faults::default();
    let mut note = |place: &str| {
        for script in ["return probe.alike()", "return probe.edgeless()"] {
            faults.note(lines(&page.ask(script, vec![])), place);
        }
    };
    for scheme in [Scheme::Light, Scheme::Dark] {
        page.look(Look { scheme, ..Look::PHONE });
        page.wish(&[Wish::ForcedColours]);
        assert_eq!(page.ask("return matchMedia('(forced-colors: active)').matches", vec![]), json!(true));
        for screen in screens(&page) {
            page.go_to(&screen);
            unfold_all(&page);
            note(&format!("{screen}, {scheme:?}"));
            page.from_the_top();
            for _ in 0..12 {
                page.press(&[Key::Tab.into()]);
                let focus = page.focus();
                if focus.name.is_empty() {
                    break;
                }
                assert!(focus.is_shown, "{screen}: nothing shows that {} has the focus", focus.name);
            }
        }
    }
    faults.are_none();
}
