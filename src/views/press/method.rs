//! The ways of working, in words: each load of the press, and what is laid, pressed and peeled there.

use super::super::parts::counted;
use super::capital;
use crate::views::prelude::*;
use lettertally::layout::positions::Over;
use lettertally::lists::{Lists, Peel, Recipe, Settings};
use lettertally::order::Order;
use lettertally::press::sheet::{Closing, Load, RunSheet};

/// What the words are taken from.
#[derive(Clone, Copy)]
pub struct Words<'a> {
    /// The run sheet.
    pub sheet: &'a RunSheet,
    /// Its order.
    pub order: &'a Order,
    /// The shop's lists.
    pub lists: &'a Lists,
    /// Degrees and the like.
    pub settings: &'a Settings,
}

/// Every way of working.
pub fn methods(words: Words) -> AnyView {
    let method = |at: usize| {
        let loads = words.sheet.methods[at].loads.iter().map(|load| words.load(at, load));
        view! { <section class="method"><h3>{words.title(at)}</h3>{loads.collect_view()}</section> }
    };
    (0..words.sheet.methods.len()).map(method).collect_view().into_any()
}

/// A, B, C and so on.
pub fn way_mark(at: usize) -> String {
    let letter = |at: usize| char::from(b'A' + u8::try_from(at % 26).unwrap_or(0));
    if at < 26 { letter(at).to_string() } else { format!("{}{}", letter(at / 26 - 1), letter(at)) }
}

impl Words<'_> {
    fn title(&self, at: usize) -> String {
        let garments = counted(self.sheet.made_so(at), "garment", "garments");
        if self.sheet.methods.len() == 1 {
            return "Each garment".to_owned();
        }
        let design = match self.order.designs.len() {
            1 => String::new(),
            _ => format!("garment {}, ", self.sheet.methods[at].design + 1),
        };
        format!("Way {}: {design}{garments}", way_mark(at))
    }

    fn load(&self, method: usize, load: &Load) -> AnyView {
        let heat = load.heat.show(self.settings.degrees);
        let work = load.work.iter().map(|closing| {
            let over = self.over(method, closing).map(|words| view! { <p class="closing-over">{words}</p> });
            view! {
                <li>
                    <b class="closing-mark">{numbers(closing)}</b>
                    <div><p>{self.what(method, closing)}</p><p class="closing-how">{self.how(closing)}</p>{over}</div>
                </li>
            }
        });
        view! {
            <h4>{format!("{} up, press at {heat}", capital(load.zone.word()))}</h4>
            <ul class="closings">{work.collect_view()}</ul>
        }
    }

    /// "Lay and tack “OTTERS”, across the chest: glitter film."
    fn what(&self, method: usize, closing: &Closing) -> String {
        let design = self.order.designs.get(self.sheet.methods[method].design);
        let lines = closing.lines.iter().filter_map(|at| design?.lines.get(*at));
        let lines: Vec<String> =
            lines.map(|line| format!("{}, {}", line.text.in_words(), line.placement.words())).collect();
        let finishes: Vec<&str> = closing
            .finishes
            .iter()
            .map(|id| self.lists.finish(id).map_or(id.as_str(), |finish| &finish.name))
            .collect();
        format!("Lay and tack {}: {}.", lines.join("; "), finishes.join(", "))
    }

    /// "10 to 15 s, medium pressure, with a cover sheet. Peel hot, at once."
    fn how(&self, closing: &Closing) -> String {
        let Recipe { dwell_from, dwell_to, pressure, cover_sheet, peel, .. } = &closing.recipe;
        let dwell = if dwell_from == dwell_to {
            format!("{dwell_to} s")
        } else {
            format!("{dwell_from} to {dwell_to} s")
        };
        let sheet = if *cover_sheet { ", with a cover sheet" } else { "" };
        let peel = match peel {
            Peel::Hot => " Peel hot, at once.",
            Peel::Warm => " Wait a few seconds and peel warm.",
            Peel::Cold => " Take it off the press, let it cool, peel cold.",
            Peel::None => "",
        };
        let places = match (closing.in_parts, closing.places) {
            (0, 1) => String::new(),
            (0, places) => format!(" {places} places of the platen, one after the other: see each garment."),
            (parts, _) => format!(" The letters are larger than the platen: {parts} closings, part by part."),
        };
        format!("{dwell}, {pressure} pressure{sheet}.{peel}{places}")
    }

    /// What the platen lies over that it had better not, and on which sizes.
    fn over(&self, method: usize, closing: &Closing) -> Option<String> {
        let on = |over| self.sheet.sizes_over(method, closing, over);
        let (over, sizes, advice) = match (on(Over::Collar), on(Over::Seam)) {
            (sizes, _) if !sizes.is_empty() => {
                ("collar or buttons", sizes, "pad them, or use a smaller platen")
            }
            (_, sizes) if !sizes.is_empty() => {
                ("a seam", sizes, "pad it, or let the seam hang over the edge")
            }
            _ => return None,
        };
        let sizes = self.smallest_first(method, sizes).join(", ");
        Some(format!("Size {sizes}: the platen lies over {over}; {advice}."))
    }

    /// Sizes in the order of the blank.
    fn smallest_first<'a>(&self, method: usize, mut sizes: Vec<&'a str>) -> Vec<&'a str> {
        let design = self.order.designs.get(self.sheet.methods[method].design);
        if let Some(blank) = design.and_then(|design| self.lists.blank(&design.blank)) {
            sizes.sort_by_key(|name| blank.sizes.iter().position(|size| size.name == *name));
        }
        sizes
    }
}

/// The closings' numbers on a garment: "1", or "1–2".
fn numbers(closing: &Closing) -> String {
    let first = closing.first + 1;
    if closing.places == 1 {
        first.to_string()
    } else {
        format!("{first}–{}", closing.first + closing.places)
    }
}
