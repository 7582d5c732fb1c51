use lettertally_browser_tests::release::name_of_the_built_one;
use lettertally_browser_tests::site::dist;
use lettertally_browser_tests::{
    Browser, Feature, Holding, Key, Look, Profile, Release, Site, open_link, open_page, open_page_in,
};
use serde_json::{Value, json};
use std::fs;

const NEWS: &str = "A new version of this page is here";

#[test]
fn a_whole_job_is_done_without_a_network_after_the_first_visit() {
    let site = Site::serve();
    let page = open_page(&site);
    is_kept(&page);
    site.stop();

    page.reload();
    page.type_into("For whom", "Harbour Herons");
    page.within("Line 1").type_into("Text of line 1", "HERONS");
    page.go_to("Letters");
    page.within("Letters to buy").says("Proved");
    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "23");
    page.save_changes();
    page.within("Without a network").says("everything on it works without a network");
    page.go_to("Price");
    let profit = page.figure("profit");
    page.go_to("Quote");
    page.within("Quote for the customer").says("HERONS");
    let link = page.value_of("Link, ");

    // As when the phone was switched off in between.
    let page = if page.can(Feature::KillingTabs) {
        open_page_in(&site, &page.kill_tab())
    } else if page.lacks(Feature::Keeping) {
        return;
    } else {
        let page = page.reopen();
        page.visit(&site.address());
        page
    };
    assert_eq!(page.value_of("For whom"), "Harbour Herons");
    assert_eq!(page.figure("profit"), profit);
    page.visit(&format!("{}?from=home-screen", site.address()));
    assert_eq!(page.value_of("For whom"), "Harbour Herons");
    page.visit(&format!("{}index.html", site.address()));
    assert_eq!(page.value_of("For whom"), "Harbour Herons");

    page.go("about:blank");
    page.visit(&link);
    page.says("Before you say yes, check:");
    page.says("HERONS");
    page.has_a_clean_console();
}

#[test]
fn with_a_network_the_server_is_asked_for_nothing_but_whether_there_is_a_newer_version() {
    let site = Site::serve();
    let page = open_page(&site);
    is_kept(&page);
    site.was_asked_only_for_own_files();
    site.forget_requests();

    page.reload();
    page.type_into("For whom", "Harbour Herons");
    page.go_to("Quote");
    let link = page.value_of("Link, ");
    page.open_tab(&link);
    page.says("Before you say yes, check:");
    let asked = site.files_asked_for();
    assert!(asked.iter().all(|name| name == "worker.js"), "asked for {asked:?}");
    site.never_heard_of(&["herons", "quote"]);
    page.has_a_clean_console();
}

#[test]
fn a_customer_opens_a_quote_again_without_a_network() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Quote");
    let link = page.value_of("Link, ");
    let customer = open_link(&link);
    is_kept(&customer);
    site.stop();
    customer.go("about:blank");
    customer.visit(&link);
    customer.says("Marsh Otters");
    assert_eq!(customer.kept(), json!({}), "a quote leaves nothing of its own on the device");
    customer.has_a_clean_console();
}

#[test]
fn two_tabs_of_a_first_visit_are_both_kept() {
    let site = Site::serve();
    let page = open_page(&site);
    page.open_tab(&site.address());
    is_kept(&page);
    page.to_tab(0);
    is_kept(&page);
    assert!(!page.text().contains(NEWS));
    site.stop();
    page.reload();
    page.to_tab(1);
    page.reload();
    page.has_a_clean_console();
}

#[test]
fn a_new_version_is_announced_and_taken_in_all_tabs_at_once() {
    let (first, second) = (Release::marked("first"), Release::marked("second"));
    let site = Site::serve_folder(first.folder(), Holding::Nothing);
    let page = open_page(&site);
    is_kept(&page);
    page.open_tab(&site.address());
    is_kept(&page);

    site.publish(second.folder());
    page.reload();
    runs(&page, &first, "first");
    page.says(NEWS);
    page.to_tab(0);
    page.says(NEWS);
    // A reload is no consent, and nothing of the new version is mixed in.
    page.reload();
    runs(&page, &first, "first");
    page.says(NEWS);

    page.tap("Take it");
    page.until("the new version runs", || code(&page) == "second");
    stands(&page);
    runs(&page, &second, "second");
    page.no_longer_says(NEWS);
    page.to_tab(1);
    page.until("the new version runs in the other tab", || code(&page) == "second");
    stands(&page);
    runs(&page, &second, "second");
    only_is_kept(&page, &second);
    page.has_a_clean_console();
}

#[test]
fn a_new_version_that_was_fetched_is_taken_without_a_network() {
    let (first, second) = (Release::marked("first"), Release::marked("second"));
    let site = Site::serve_folder(first.folder(), Holding::Nothing);
    let page = open_page(&site);
    is_kept(&page);
    site.publish(second.folder());
    page.reload();
    page.says(NEWS);
    site.stop();

    // A new start is no consent either.
    let page = open_anew(page, &site);
    runs(&page, &first, "first");
    page.says(NEWS);
    page.tap("Later");
    page.no_longer_says(NEWS);
    page.reload();
    page.says(NEWS);
    page.tap("Take it");
    page.until("the new version runs", || code(&page) == "second");
    stands(&page);
    runs(&page, &second, "second");
    let page = open_anew(page, &site);
    runs(&page, &second, "second");
    page.no_longer_says(NEWS);
    page.has_a_clean_console();
}

/// Closes the browser and opens the page in it again; where a browser forgets everything by that, only
/// the page is opened again.
fn open_anew(page: Browser, site: &Site) -> Browser {
    if page.lacks(Feature::Keeping) {
        page.reload();
        return page;
    }
    let page = page.reopen();
    page.visit(&site.address());
    page
}

#[test]
fn a_new_version_waits_for_the_end_of_an_edit_in_any_tab() {
    let (first, second) = (Release::marked("first"), Release::marked("second"));
    let site = Site::serve_folder(first.folder(), Holding::Nothing);
    let page = open_page(&site);
    is_kept(&page);
    page.go_to("Shop");
    page.within("What the work costs").enter("Wage", "25");
    page.says("Not saved yet");
    page.press(&[Key::Tab.into()]);
    site.publish(second.folder());
    page.open_tab(&site.address());
    page.says(NEWS);

    // Changes that wait to be saved, in the other tab.
    page.tap("Take it");
    page.says("Not yet: something is being edited");
    assert_eq!(code(&page), "first");
    page.to_tab(0);
    page.save_changes();

    // A text that cannot be read yet.
    page.within("What the work costs").type_into("Wage", "25,");
    page.to_tab(1);
    page.tap("Take it");
    page.says("Not yet: something is being edited");
    page.to_tab(0);
    page.within("What the work costs").enter("Wage", "26");
    page.save_changes();

    // Something that stands open and is kept nowhere.
    page.within("Price list as a file").unfold("Paste instead");
    page.paste_into("Rows with their headings, or JSON", "finish;price\nfelt;1\n");
    page.to_tab(1);
    page.tap("Take it");
    page.says("Not yet: something is being edited");
    page.to_tab(0);
    page.paste_into("Rows with their headings, or JSON", "");
    page.tap("Shop");
    page.to_tab(1);
    page.tap("Take it");
    page.until("the new version runs", || code(&page) == "second");
    page.to_tab(0);
    page.until("the new version runs in the other tab", || code(&page) == "second");
    stands(&page);
    page.go_to("Shop");
    assert_eq!(page.within("What the work costs").value_of("Wage"), "26", "nothing was lost");
    page.has_a_clean_console();
}

#[test]
fn a_version_that_does_not_come_whole_leaves_the_old_one_as_it_is() {
    let (first, second) = (Release::marked("first"), Release::marked("second"));
    let site = Site::serve_folder(first.folder(), Holding::Nothing);
    let page = open_page(&site);
    is_kept(&page);

    // As in the middle of a deployment: one file is another than the list says.
    second.damage(&second.file("lettertally-page-", "_bg.wasm"));
    site.publish(second.folder());
    site.forget_requests();
    page.reload();
    page.until("the new version was asked for", || {
        site.files_asked_for().contains(&second.file("lettertally-page-", "_bg.wasm"))
    });
    page.until("it was refused", || page.ask_and_wait(INSTALLING, vec![]) == json!(false));
    page.reload();
    runs(&page, &first, "first");
    assert!(!page.text().contains(NEWS));
    only_is_kept(&page, &first);
    site.stop();
    page.reload();
    runs(&page, &first, "first");

    // Once it is all there, it comes.
    let third = Release::marked("third");
    site.start();
    site.publish(third.folder());
    page.reload();
    page.says(NEWS);
}

#[test]
fn a_host_that_lets_old_pages_be_held_for_long_does_not_hold_up_a_new_version() {
    let (first, second) = (Release::marked("first"), Release::marked("second"));
    let site = Site::serve_folder(first.folder(), Holding::AYear);
    let page = open_page(&site);
    is_kept(&page);
    site.publish(second.folder());
    page.reload();
    page.says(NEWS);
    page.tap("Take it");
    page.until("the new version runs", || code(&page) == "second");
    stands(&page);
    runs(&page, &second, "second");
    page.has_a_clean_console();
}

#[test]
fn other_pages_in_the_same_folder_are_left_alone() {
    let site = Site::serve();
    site.put("about.html", "<!doctype html><title>About</title><main>Kiteway Press, by the harbour</main>");
    let page = open_page(&site);
    is_kept(&page);
    page.visit(&format!("{}about.html", site.address()));
    page.says("by the harbour");
}

#[test]
fn where_a_browser_cannot_keep_the_page_it_says_so() {
    let site = Site::serve();
    let page = Browser::open(&Profile::fresh());
    if page.lacks(Feature::Naming) || page.lacks(Feature::Forbidding) {
        return;
    }
    page.look(Look::PHONE);
    page.visit(&site.address_by_name());
    page.says("its address does not begin with https://");
    page.go_to("Shop");
    page.within("Without a network").says("needs the network each time");

    let page = open_page_in(&site, &Profile::that_keeps_nothing());
    page.go_to("Shop");
    page.within("Without a network").says("This browser keeps no pages");
}

#[test]
fn a_program_that_does_not_come_is_told_of_and_comes_with_another_try() {
    let release = Release::marked("first");
    let whole = Release::marked("second");
    let program = release.file("lettertally-page-", "_bg.wasm");
    fs::remove_file(release.folder().join(&program)).expect("the program");
    let site = Site::serve_folder(release.folder(), Holding::Nothing);
    let page = Browser::open(&Profile::fresh());
    page.look(Look::PHONE);
    page.go(&site.address());
    page.says("Lettertally could not be started");
    site.publish(whole.folder());
    page.tap("Load it again");
    stands(&page);
    assert_eq!(page.value_of("For whom"), "Marsh Otters (demo)");
}

#[test]
fn a_program_that_breaks_off_is_told_of_and_nothing_entered_before_is_lost() {
    // A module whose only function is the instruction `unreachable`: its trap is a real one. A script
    // of the driver can have classes of its own: those of the page are the window's.
    const BREAK_OFF: &str = "const module = new window.WebAssembly.Module(new window.Uint8Array([
            0, 97, 115, 109, 1, 0, 0, 0, 1, 4, 1, 96, 0, 0, 3, 2, 1, 0, 7, 5, 1, 1, 102, 0, 0, 10, 5, 1, 3, 0, 0, 11]));
        window.setTimeout(new window.WebAssembly.Instance(module).exports.f);";
    const STOPPED: &str = "The page has stopped";
    let site = Site::serve();
    let page = open_page(&site);
    page.type_into("For whom", "Harbour Herons");
    // An error that leaves the program as it is.
    page.ask("setTimeout(() => { throw new Error('of somebody else') })", vec![]);
    page.go_to("Quote");
    assert!(!page.text().contains(STOPPED));
    page.ask(BREAK_OFF, vec![]);
    page.says(STOPPED);
    page.tap("Load it again");
    stands(&page);
    page.no_longer_says(STOPPED);
    assert_eq!(page.value_of("For whom"), "Harbour Herons");
}

#[test]
fn the_page_can_be_installed() {
    let site = Site::serve();
    let page = open_page(&site);
    let script = "const [done] = arguments;
        const link = document.querySelector('link[rel=manifest]').href;
        fetch(link).then((answer) => answer.json()).then(async (manifest) => {
            const icons = await Promise.all(manifest.icons.map(async ({ src, sizes, purpose, type }) => {
                const image = await createImageBitmap(await (await fetch(new URL(src, link))).blob());
                return { sizes, purpose, type, real: `${image.width}x${image.height}` };
            }));
            done({ ...manifest, start: new URL(manifest.start_url, link).href, icons });
        });";
    let manifest = page.ask_and_wait(script, vec![]);
    assert_eq!(manifest["start"], json!(site.address()), "wherever the folder is");
    assert_eq!(manifest["scope"], json!("./"));
    assert_eq!(manifest["display"], json!("standalone"));
    let icons = manifest["icons"].as_array().cloned().unwrap_or_default();
    let purposes: Vec<&str> = icons.iter().filter_map(|icon| icon["purpose"].as_str()).collect();
    assert_eq!(purposes, ["any", "any", "maskable"]);
    for icon in &icons {
        assert_eq!(icon["sizes"], icon["real"], "{icon}");
        assert_eq!(icon["type"], json!("image/png"));
    }
    page.has_a_clean_console();
}

#[test]
fn the_first_paint_has_the_frame_and_nothing_jumps() {
    // How far things moved, by the measure of the Layout Instability API, and from where to where.
    const SHIFTS: &str = "const [done] = arguments; let sum = 0; const moved = [];
        new PerformanceObserver((list) => { for (const entry of list.getEntries()) {
            sum += entry.value;
            for (const { previousRect, currentRect } of entry.sources) moved.push([previousRect, currentRect]);
        } }).observe({ type: 'layout-shift', buffered: true });
        setTimeout(() => done([sum, moved]), 300);";
    let site = Site::serve();
    let html = fs::read_to_string(dist().join("index.html")).expect("the page");
    let (before, rest) = html.split_once("<script").expect("the script");
    let (_, after) = rest.split_once("</script>").expect("its end");
    site.put("outline.html", &format!("{before}{after}"));
    for look in [Look::PHONE, Look::DESK] {
        let page = Browser::open(&Profile::fresh());
        page.look(look);
        page.go(&format!("{}outline.html", site.address()));
        let outline = frame(&page);
        page.visit(&site.address());
        assert_eq!(frame(&page), outline, "{look:?}");
        let shifts = page.ask_and_wait(SHIFTS, vec![]);
        assert_eq!(shifts, json!([0, []]), "{look:?}");
        page.has_a_clean_console();
    }
}

#[test]
fn a_customer_reads_what_to_check_before_the_quote_is_there() {
    let site = Site::serve();
    let shop = open_page(&site);
    shop.go_to("Quote");
    let customer = open_link(&shop.value_of("Link, "));
    let read = "return document.querySelector(arguments[0]).innerText";
    let here = customer.ask(read, vec![json!(".guest .check")]);
    let html = fs::read_to_string(dist().join("index.html")).expect("the page");
    let check = html.split_once("class=\"check\"").and_then(|(_, rest)| rest.split_once("</section>"));
    let check = check.expect("what to check").0.split_once('>').expect("its beginning").1;
    // The words between the tags.
    let before: String =
        check.split('<').map(|part| part.split_once('>').map_or(part, |(_, words)| words)).collect();
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let here = words(here.as_str().unwrap_or_default());
    assert!(here.contains("the spelling of every name"), "{here}");
    assert_eq!(here, words(&before));
}

/// Where the frame's parts are, and how the page's name is drawn.
fn frame(page: &Browser) -> String {
    const SCRIPT: &str = "
        const parts = ['.strip', '.bar', '.bar-order', '.bar-quote', '.bar-shop', '.wordmark',
            '.screen-order > .panel', '.screen-order > .panel:nth-child(2) > h2',
            '.screen-letters > .panel > h2', '.screen-price > .panel > h2'];
        const places = parts.map((part) => {
            // What is not shown yet takes as little room as what is hidden.
            const box = document.querySelector(`.bench ${part}`)?.getBoundingClientRect() ?? new DOMRect();
            return [part, box.left, box.top, box.width, box.height].map((at) => Math.round(at) || at).join(' ');
        });
        const letters = [...document.querySelectorAll('.wordmark path')]
            .map((path) => path.getAttribute('d') + path.getAttribute('transform'));
        return [...places, ...letters].join('\\n');";
    page.ask(SCRIPT, vec![]).as_str().unwrap_or_default().to_owned()
}

/// Whether a worker of this page is being installed.
const INSTALLING: &str = "const [done] = arguments;
    navigator.serviceWorker.getRegistration().then((registration) => done(Boolean(registration.installing)));";

fn is_kept(page: &Browser) {
    page.until("the page is kept on the device", || {
        page.ask("return document.documentElement.dataset.offline", vec![]) == json!("kept")
    });
}

fn stands(page: &Browser) {
    page.until("the page stands", || {
        page.ask("return Boolean(document.querySelector('main:not(#loading *)'))", vec![]) == json!(true)
    });
}

fn code(page: &Browser) -> String {
    let code = page.ask("return document.documentElement.dataset.code", vec![]);
    code.as_str().unwrap_or_default().to_owned()
}

/// The page, its code and every file that it loaded are of this release.
fn runs(page: &Browser, release: &Release, mark: &str) {
    assert_eq!(code(page), mark);
    assert_eq!(page.ask("return document.documentElement.dataset.release", vec![]), json!(release.name()));
    let loaded = page.ask(
        "return performance.getEntriesByType('resource').map((entry) => entry.name.split('/').at(-1)).filter((name) => name !== 'worker.js')",
        vec![],
    );
    for name in loaded.as_array().into_iter().flatten().filter_map(Value::as_str) {
        assert!(release.folder().join(name).is_file(), "{name} is not of release {mark}");
    }
}

/// Nothing but this release lies on the device.
fn only_is_kept(page: &Browser, release: &Release) {
    let script = "const [done] = arguments; caches.keys().then(done)";
    page.until("other releases are gone", || {
        let names = page.ask_and_wait(script, vec![]);
        let names: Vec<&str> = names.as_array().into_iter().flatten().filter_map(Value::as_str).collect();
        names.len() == 2 && names.iter().any(|name| name.ends_with(&release.name()))
    });
    assert_ne!(release.name(), name_of_the_built_one());
}
