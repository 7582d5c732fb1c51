use lettertally_browser_tests::tour::{schemes, screens, unfold_all};
use lettertally_browser_tests::{Browser, Look, Site, Size, open_link, open_page};
use serde_json::{Value, json};
use std::collections::BTreeMap;

const SIZES: [Size; 3] = [Size(360, 740), Size(768, 1024), Size(1280, 800)];

/// Tablets on their side, and a window that only just has room for columns.
const NARROW_DESKS: [Size; 2] = [Size(904, 740), Size(1024, 768)];

#[test]
fn no_screen_scrolls_sideways_on_any_device() {
    every_screen("sideways", &[&SIZES[..], &NARROW_DESKS].concat(), |page, look| {
        page.ask("return probe.sideways(arguments[0])", vec![json!(look.size.0)])
    });
}

#[test]
fn every_control_has_a_name_and_on_a_phone_room_for_a_thumb() {
    every_screen("controls", &SIZES, |page, look| {
        let least = if look.size.0 < 600 { 44 } else { 0 };
        page.ask("return probe.offenders(arguments[0])", vec![json!(least)])
    });
}

#[test]
fn all_text_stands_out_from_its_ground_in_light_and_dark() {
    every_screen("contrast", &SIZES, |page, _| page.ask("return probe.faint()", vec![]));
}

#[test]
fn a_name_in_one_long_word_stays_within_the_screen_of_a_phone() {
    let site = Site::serve();
    let page = open_page(&site);
    let word = "Rhabarberbarbarabarbarbarenbartbarbierbierbarbaerbel";
    let stays_within = |screen: &str| {
        unfold_all(&page);
        assert_eq!(page.ask("return probe.sideways(360)", vec![]), json!([]), "pushed aside on {screen}");
    };
    page.type_into("For whom", word);
    page.within("Line 1").type_into("Text of line 1", word);
    page.type_into("Name", word);
    page.type_into("No.", "1");
    page.tap("Add");
    stays_within("Order");
    page.go_to("Shop");
    let suppliers = page.within("Suppliers");
    suppliers.unfold("Quillfeather Letters");
    suppliers.type_into("Name", word);
    stays_within("Shop, a supplier");
    for (panel, entry) in
        [("Finishes", "smooth film"), ("Finishes", "glitter film"), ("Blanks", "club tee, navy")]
    {
        page.within(panel).unfold(entry);
        page.within(panel).within(entry).type_into("Name", word);
        stays_within(&format!("Shop, {panel}"));
    }
    for screen in ["Order", "Letters", "Price", "Quote"] {
        page.go_to(screen);
        stays_within(screen);
    }
    let customer = open_link(&page.value_of("Link, "));
    assert_eq!(customer.ask("return probe.sideways(360)", vec![]), json!([]), "pushed aside on the quote");
}

/// The strip's figures that do not fit where they stand.
const CUT_FIGURES: &str = "
    return [...document.querySelectorAll('header.strip dd')].filter((dd) => dd.scrollWidth > dd.clientWidth)
        .map((dd) => `${dd.textContent}: ${dd.scrollWidth} px in ${dd.clientWidth}`)";

#[test]
fn text_of_twice_the_size_fits_on_a_phone() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Quote");
    let customer = open_link(&page.value_of("Link, "));
    // A page that is wider than the screen is shown smaller, and taps miss: so the text is
    // enlarged on each screen, not on the way to it.
    let enlarge = |page: &Browser, size: &str| {
        page.ask("document.documentElement.style.fontSize = arguments[0]", vec![json!(size)]);
    };
    let mut faults = vec![];
    let mut note = |page: &Browser, screen: &str| {
        for script in [CUT_FIGURES, "return probe.sideways(360)"] {
            let found = page.ask(script, vec![]);
            faults.extend(found.as_array().into_iter().flatten().map(|fault| format!("{screen}: {fault}")));
        }
    };
    for screen in screens(&page) {
        enlarge(&page, "100%");
        page.go_to(&screen);
        enlarge(&page, "200%");
        note(&page, &screen);
        unfold_all(&page);
        note(&page, &format!("{screen} unfolded"));
    }
    enlarge(&customer, "200%");
    note(&customer, "customer's quote");
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn the_figures_of_a_large_order_are_not_cut_off_on_a_phone() {
    let site = Site::serve();
    let page = open_page(&site);
    page.tap("New");
    page.within("Line 1").type_into("Text of line 1", "TIGERS");
    page.type_into("S", "999");
    page.says("999 with tax");
    assert_eq!(page.ask(CUT_FIGURES, vec![]), json!([]), "{}", page.figure("999 with tax"));
}

#[test]
fn on_a_wide_screen_too_the_bar_leads_to_the_start_of_the_quote() {
    let site = Site::serve();
    let page = open_page(&site);
    let in_view = "const button = probe.find([], 'button', 'Copy the link');
        const box = button.getBoundingClientRect();
        const at = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
        return Boolean(at) && button.contains(at)";
    for size in [Size(1280, 800), Size(1024, 768)] {
        page.look(Look { size, ..Look::DESK });
        page.reload();
        page.go_to("Quote");
        let what = format!("the quote can be handed over on {} × {}", size.0, size.1);
        page.until(&what, || page.ask(in_view, vec![]) == true);
    }
}

/// Looks for faults on every screen, at every one of these sizes, in light and dark, folded and unfolded.
fn every_screen(what: &str, sizes: &[Size], faults: impl Fn(&Browser, Look) -> Value) {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Quote");
    let customer = open_link(&page.value_of("Link, "));
    let schemes = schemes(&page);
    // Each fault once, with the first place where it was seen.
    let mut found = BTreeMap::new();
    let mut note = |page: &Browser, look: Look, screen: &str| {
        for fault in faults(page, look).as_array().into_iter().flatten() {
            let fault = fault.as_str().unwrap_or_default();
            let place = || format!("{} × {} {:?}, {screen}", look.size.0, look.size.1, look.scheme);
            found.entry(fault.to_owned()).or_insert_with(place);
        }
    };
    for &size in sizes {
        for &scheme in schemes {
            let look = Look { size, scheme };
            page.look(look);
            page.reload();
            for screen in screens(&page) {
                page.go_to(&screen);
                note(&page, look, &screen);
                unfold_all(&page);
                note(&page, look, &format!("{screen} unfolded"));
            }
            customer.look(look);
            note(&customer, look, "customer's quote");
        }
    }
    // The same with something wrong, and something just removed.
    page.look(Look::PHONE);
    page.reload();
    page.paste_into("People: type, or paste from a spreadsheet", "Ash,7,XXS\nJosé,8,M\n,,S\n");
    page.within("Line 2").tap("Remove line 2");
    page.tap("By size");
    page.paste_into("M", "-5");
    page.says("not below 0");
    for &scheme in schemes {
        let look = Look { scheme, ..Look::PHONE };
        page.look(look);
        note(&page, look, "Order in trouble");
    }
    assert!(found.is_empty(), "{what}: {found:#?}");
    page.has_a_clean_console();
    customer.has_a_clean_console();
}
