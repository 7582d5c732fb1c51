use lettertally_browser_tests::site::dist;
use lettertally_browser_tests::tour::{screens, unfold_all};
use lettertally_browser_tests::{Browser, Feature, Key, Look, Profile, Site, open_page};
use serde_json::json;
use std::fs;

/// Has the page write down what its policy refuses.
const NOTE_REFUSALS: &str = "window.broken = [];
    document.addEventListener('securitypolicyviolation', (event) => window.broken.push(`${event.effectiveDirective}: ${event.blockedURI} ${event.sample}`));";

#[test]
fn a_full_session_asks_nobody_else_and_breaks_no_rule_of_the_policy() {
    let site = Site::serve();
    for look in [Look::PHONE, Look::DESK] {
        let page = Browser::open(&Profile::fresh());
        page.look(look);
        page.visit(&site.address());
        page.ask(NOTE_REFUSALS, vec![]);
        page.type_into("For whom", "<img src=x onerror=alert(1)>");
        page.within("Line 1").type_into("Text of line 1", "<B>HERONS</B>");
        for screen in screens(&page) {
            page.go_to(&screen);
            unfold_all(&page);
        }
        page.go_to("Shop");
        if look == Look::DESK {
            // The grid's field is put over its cell by its style.
            page.within("Price list").cell(3, 4);
            page.press(&[Key::Enter.into()]);
            let placed = page.ask("return document.querySelector('.price-editor').style.left", vec![]);
            assert!(placed.as_str().is_some_and(|left| left.ends_with("px")), "{placed}");
            page.press(&[Key::Escape.into()]);
        }
        page.catch_files();
        page.tap("Save a backup");
        page.caught_file();
        assert_eq!(page.ask("return window.broken", vec![]), json!([]), "{look:?}");
        page.go_to("Order");
        page.within("Line 1").type_into("Text of line 1", "HERONS");
        page.go_to("Quote");
        let link = page.value_of("Link, ");
        page.visit(&link);
        page.has_a_clean_console();
        let elsewhere = page.ask(
            "return performance.getEntriesByType('resource').map((e) => e.name).filter((name) => !name.startsWith(arguments[0]))",
            vec![json!(site.address())],
        );
        assert_eq!(elsewhere, json!([]), "the page asked others");
    }
    site.was_asked_only_for_own_files();
}

#[test]
fn what_the_policy_forbids_does_not_happen() {
    let site = Site::serve();
    let page = open_page(&site);
    page.ask(NOTE_REFUSALS, vec![]);
    // Each tries something and tells whether it came to pass.
    let tries = [
        (
            "a script in the page",
            "const s = document.createElement('script'); s.textContent = 'window.done = true'; document.body.append(s); return window.done === true",
        ),
        (
            "a handler in an attribute",
            "const b = document.createElement('b'); b.setAttribute('onclick', 'window.done = true'); document.body.append(b); b.click(); return window.done === true",
        ),
        (
            "a style in an attribute",
            "const b = document.createElement('b'); b.setAttribute('style', 'position: fixed'); document.body.append(b); return getComputedStyle(b).position === 'fixed'",
        ),
        (
            "HTML with a handler",
            "document.createElement('div').innerHTML = '<img src=\"x\" onerror=\"0\">'; return true",
        ),
        (
            "HTML with an address",
            "document.createElement('div').innerHTML = '<a href=\"x\">x</a>'; return true",
        ),
        ("HTML with a frame", "document.createElement('div').innerHTML = '<iframe></iframe>'; return true"),
        ("HTML that is cut short", "document.createElement('div').innerHTML = '<b'; return true"),
        (
            "HTML in an attribute",
            "document.createElement('div').innerHTML = '<b title=\"<img>\">x</b>'; return true",
        ),
        (
            "another policy for HTML",
            "trustedTypes.createPolicy('other', { createHTML: (html) => html }); return true",
        ),
    ];
    let has_policies = !page.lacks(Feature::TrustedTypes);
    for (what, script) in tries {
        if what.contains("HTML") && !has_policies {
            continue;
        }
        let outcome = page.ask(&format!("try {{ {script} }} catch {{ return false }}"), vec![]);
        assert_eq!(outcome, json!(false), "{what}");
    }
    let elsewhere = "const [done] = arguments; fetch('https://kiteway.test/').then(() => done('went'), (error) => done('refused'))";
    assert_eq!(page.ask_and_wait(elsewhere, vec![]), json!("refused"));
    let worker = "const [done] = arguments; navigator.serviceWorker.register('other.js').then(() => done('went'), (error) => done('refused'))";
    assert_eq!(page.ask_and_wait(worker, vec![]), json!("refused"));
    let module = "const [done] = arguments; import('https://kiteway.test/x.js').then(() => done('went'), (error) => done('refused'))";
    assert_eq!(page.ask_and_wait(module, vec![]), json!("refused"));
    let refused =
        page.ask("return window.broken.join('\\n')", vec![]).as_str().unwrap_or_default().to_owned();
    let told = page.complaints_in_the_console().join("\n");
    for rule in ["script-src", "style-src", "connect-src"] {
        assert!(refused.contains(rule), "nothing was refused by {rule}: {refused}");
    }
    for rule in ["TrustedHTML", "TrustedScript'", "TrustedScriptURL", "trusted-types"] {
        assert!(told.contains(rule) || !has_policies, "nothing was refused by {rule}: {told}");
    }
    let plain = page.ask("const d = document.createElement('div'); d.innerHTML = '<p class=\"help\">words</p>'; return d.innerText", vec![]);
    assert_eq!(plain, json!("words"), "the views' own pieces still come");
}

#[test]
fn the_page_as_served_has_no_script_or_style_in_it_and_names_no_other_place() {
    let page = fs::read_to_string(dist().join("index.html")).expect("the page");
    assert!(page.contains("default-src 'none'"), "the policy stands in the page");
    for forbidden in
        ["'unsafe-inline'", "'unsafe-eval'", "<style", " style=", " on", "javascript:", "://", "\"//"]
    {
        let found = page.match_indices(forbidden).map(|(at, _)| &page[at..page.len().min(at + 60)]);
        // Words of a sentence may begin like a handler.
        let found: Vec<&str> = found
            .filter(|text| {
                *forbidden != *" on" || text.split([' ', '>']).nth(1).is_some_and(|word| word.contains('='))
            })
            .collect();
        assert_eq!(found, Vec::<&str>::new(), "{forbidden}");
    }
    let scripts: Vec<&str> = page.split("<script").skip(1).collect();
    assert_eq!(scripts.len(), 1);
    assert!(scripts[0].starts_with(" src=\"./start-"), "{}", scripts[0]);
}
