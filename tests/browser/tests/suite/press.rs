//! The press screen: the run sheet, what it ticks off, and the template measured on paper.

use lettertally_browser_tests::paper::{self, Stroke};
use lettertally_browser_tests::{Browser, Feature, Site, open_page};
use serde_json::json;

/// Width and height in millimetres.
const PAPERS: [(&str, f64, f64); 2] = [("Letter", 215.9, 279.4), ("A4", 210.0, 297.0)];

/// How far a length on paper may be off, in millimetres.
const WITHIN: f64 = 0.2;

/// The shop with the order that is hard to press: two finishes, a long line across the shoulders,
/// small letters on the left chest, twelve names.
fn hard_order(site: &Site) -> Browser {
    let page = open_page(site);
    page.go_to("Order");
    page.type_into("Text of line 1", "MARSH OTTERS 26");
    page.within("Garment").near("Text of line 1").choose("Where", "across the shoulders");
    page.within("Garment").near("Text of line 1").choose("Finish", "stitched-look twill");
    page.type_into("Text of line 2", "MO");
    page.within("Garment").near("Text of line 2").choose("Where", "left chest");
    page
}

#[test]
fn the_run_sheet_is_ticked_off_and_the_ticks_survive_a_reload() {
    let site = Site::serve();
    let page = hard_order(&site);
    page.go_to("Press");
    page.says("Garments, 12 left");
    page.says("Back up, press at 350 °F");
    page.says("Hot surfaces burn and presses pinch");
    let text = page.within("Run sheet").text();
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("no “{words}” in {text}"));
    assert!(at("press at 350 °F") < at("press at 305 °F"), "the hotter finish goes first");
    page.within("Run sheet").tick("Okonjo 1, size S");
    page.says("Garments, 11 left");
    page.reload();
    page.go_to("Press");
    page.says("Garments, 11 left");
    page.tap("Clear the ticks");
    page.says("Garments, 12 left");
    page.has_a_clean_console();
}

#[test]
fn heat_is_shown_as_the_shop_prefers() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    page.choose("Heat in", "°C");
    page.go_to("Press");
    page.says("press at 160 °C");
    page.has_a_clean_console();
}

#[test]
fn a_line_too_wide_is_mended_with_one_tap() {
    let site = Site::serve();
    let page = open_page(&site);
    page.type_into("Text of line 1", "MARSH OTTERS");
    page.says("too wide for size S");
    page.go_to("Press");
    page.says("In two lines, “MARSH” and “OTTERS”");
    page.go_to("Order");
    page.tap("Two lines: “MARSH” and “OTTERS”");
    page.no_longer_says("too wide for size S");
    assert_eq!(page.value_of("Text of line 2"), "OTTERS");
    page.has_a_clean_console();
}

#[test]
fn letters_hard_to_read_on_the_garment_are_named_at_their_line() {
    let site = Site::serve();
    let page = open_page(&site);
    page.within("Garment").choose("Blank", "pier hoodie, grey");
    page.says("white letters on pier hoodie, grey: hard to read from afar");
    page.within("Garment").near("Text of line 2").tap("Use navy");
    page.within("Garment").near("Text of line 3").tap("Use navy");
    page.no_longer_says("white letters on");
    page.go_to("Press");
    page.says("gold letters on pier hoodie, grey: hard to read from afar");
    page.has_a_clean_console();
}

#[test]
fn the_run_sheet_prints_ten_garments_on_a_page_after_the_ways_of_working() {
    let site = Site::serve();
    let page = hard_order(&site);
    if page.lacks(Feature::Paper) {
        return;
    }
    page.go_to("Press");
    page.says("Garments, 12 left");
    for (name, width, height) in PAPERS {
        page.ask("document.body.dataset.print = 'run'", vec![]);
        let document = page.printed(width, height);
        page.ask("delete document.body.dataset.print", vec![]);
        // Ways of working and tray, ten garments, two garments.
        assert_eq!(paper::pages(&document), 3, "pages of {name}");
    }
    page.has_a_clean_console();
}

#[test]
fn letters_are_as_wide_and_drawn_as_a_font_file_says() {
    let site = Site::serve();
    let page = open_page(&site);
    page.go_to("Shop");
    page.everywhere().unfold("block");
    page.everywhere().unfold("Letter widths");
    let font = include_bytes!("../../../data/fonts/boxes-gpos.ttf");
    page.within("Letter styles").open_file("Open a font file", "boxes.ttf", font);
    page.says("36 letters and 20 pairs read.");
    // No price changes by it, so it counts at once.
    page.go_to("Order");
    // Every letter of that font is one box: four corners.
    let corners = "return [...document.querySelectorAll('.lettering path:not(.room)')]
        .flatMap((path) => path.getAttribute('d').match(/M[^M]*/g))
        .map((ring) => ring.split(/[ML]/).length - 1)";
    page.until("the letters are boxes", || {
        let found = page.ask(corners, vec![]);
        found.as_array().is_some_and(|all| !all.is_empty() && all.iter().all(|one| *one == json!(4)))
    });
    page.go_to("Shop");
    page.everywhere().unfold("block");
    page.everywhere().unfold("Letter widths");
    page.within("Letter styles").open_file("Open a font file", "damaged.ttf", &font[..90]);
    page.says("Nothing was changed: this");
    page.within("Letter styles").paste_into("Pairs that stand closer", "AV -0.07, A");
    page.says("“A” is not two letters and a share");
    page.has_a_clean_console();
}

fn nearly(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).abs() <= WITHIN && (a.1 - b.1).abs() <= WITHIN
}

fn has_line(strokes: &[Stroke], from: (f64, f64), to: (f64, f64)) -> bool {
    let is_it =
        |stroke: &Stroke| nearly(stroke[0], from) && stroke.last().is_some_and(|end| nearly(*end, to));
    strokes.iter().any(is_it)
}

#[test]
fn the_template_is_true_on_paper() {
    let site = Site::serve();
    let page = hard_order(&site);
    if page.lacks(Feature::Paper) {
        return;
    }
    page.go_to("Press");
    page.within("Template at true size").choose("For", "back, size S, Okonjo 1");
    for (name, width, height) in PAPERS {
        page.within("Template at true size").tap(name);
        page.says("pages,");
        page.ask("document.body.dataset.print = 'template'", vec![]);
        let document = page.printed(width, height);
        let pages = paper::strokes(&document, height);
        let shown = page.ask("return document.querySelectorAll('.template-sheet').length", vec![]);
        assert_eq!(json!(pages.len()), shown, "pages of {name}");
        // The drawing ends 44 mm above the lower margin of 10 mm and a millimetre to spare; below it
        // stand the rulers.
        let drawn = height - 21.0 - 44.0;
        for strokes in &pages {
            let inches = 10.0 + drawn + 2.0 + 9.0;
            assert!(has_line(strokes, (10.0, inches), (10.0 + 101.6, inches)), "4 in on {name}");
            let mm = inches + 9.0;
            assert!(has_line(strokes, (10.0, mm), (110.0, mm)), "100 mm on {name}");
        }
        // The first point of every letter that is on the page.
        let letters = page.ask(
            "return [...document.querySelectorAll('.template-sheet')].map((sheet) => {
                const box = sheet.querySelector('svg').viewBox.baseVal;
                return [...sheet.querySelectorAll('svg .template-letter')].map((path) => {
                    const [, x, y] = path.getAttribute('d').match(/^M(\\S+) ([^LZ]+)/);
                    return [x - box.x, y - box.y, box.width, box.height];
                }).filter(([x, y, width, height]) => x > 0 && y > 0 && x < width && y < height);
            })",
            vec![],
        );
        let mut seen = 0;
        for (at, strokes) in pages.iter().enumerate() {
            for letter in letters[at].as_array().into_iter().flatten() {
                let part = |at: usize| letter[at].as_f64().unwrap_or(f64::NAN);
                let place = (10.0 + part(0), 10.0 + part(1));
                assert!(
                    strokes.iter().any(|stroke| nearly(stroke[0], place)),
                    "{place:?} on page {at} of {name}"
                );
                seen += 1;
            }
        }
        assert!(seen >= 10, "{seen} letters on {name}");
        page.ask("delete document.body.dataset.print", vec![]);
    }
    page.has_a_clean_console();
}
