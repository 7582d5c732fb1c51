//! The cells of the grid as they stand on the page: which one is where, which are marked.

use wasm_bindgen::JsCast;
use web_sys::{Element, EventTarget, HtmlElement, HtmlTableSectionElement, NodeList};

/// A cell, by its row on the list and its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spot {
    pub row: usize,
    pub column: usize,
}

/// Where the person is, and what is chosen: all between two corners.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    /// The corner that the choice began at.
    pub from: Spot,
    /// The active cell.
    pub at: Spot,
}

impl Place {
    /// One cell.
    pub fn at(at: Spot) -> Self {
        Self { from: at, at }
    }

    /// The first and the last row.
    pub fn rows(self) -> (usize, usize) {
        (self.from.row.min(self.at.row), self.from.row.max(self.at.row))
    }

    /// The first and the last column.
    pub fn columns(self) -> (usize, usize) {
        (self.from.column.min(self.at.column), self.from.column.max(self.at.column))
    }
}

/// The cell that something on the page belongs to.
pub fn spot_of(target: &EventTarget) -> Option<Spot> {
    let cell = target.dyn_ref::<Element>()?.closest("td").ok()??;
    let row = cell.parent_element()?;
    // The head of the row is its first element.
    Some(Spot { row: place_among(&row), column: place_among(&cell).checked_sub(1)? })
}

fn place_among(element: &Element) -> usize {
    std::iter::successors(element.previous_element_sibling(), Element::previous_element_sibling).count()
}

/// The active cell.
pub fn active_cell(body: &HtmlTableSectionElement, place: Place) -> Option<HtmlElement> {
    let Spot { row, column } = place.at;
    let selector = format!("tr:nth-child({}) > td:nth-of-type({})", row + 1, column + 1);
    body.query_selector(&selector).ok()??.dyn_into().ok()
}

/// Marks what is chosen and makes the active cell the one that the tab key leads to.
pub fn mark(body: &HtmlTableSectionElement, place: Place, takes_focus: bool) {
    let ((top, bottom), (left, right)) = (place.rows(), place.columns());
    for cell in all(body, "td[aria-selected='true']") {
        let _ = cell.set_attribute("aria-selected", "false");
    }
    for cell in all(body, "td[tabindex='0']") {
        let _ = cell.set_attribute("tabindex", "-1");
    }
    let chosen = format!(
        "tr:nth-child(n+{}):nth-child(-n+{}) > td:nth-of-type(n+{}):nth-of-type(-n+{})",
        top + 1,
        bottom + 1,
        left + 1,
        right + 1
    );
    for cell in all(body, &chosen) {
        let _ = cell.set_attribute("aria-selected", "true");
    }
    if let Some(active) = active_cell(body, place) {
        let _ = active.set_attribute("tabindex", "0");
        if takes_focus && is_free_for(body) {
            let _ = active.focus();
        }
    }
}

/// Whether the focus is in the grid, or on nothing since the row that had it was drawn anew.
fn is_free_for(body: &HtmlTableSectionElement) -> bool {
    let focused = leptos::prelude::document().active_element();
    focused.is_none_or(|focused| {
        let class = focused.class_name();
        body.contains(Some(&focused)) || class == "price-editor" || focused.tag_name() == "BODY"
    })
}

fn all(body: &HtmlTableSectionElement, selector: &str) -> Vec<Element> {
    let found = body.query_selector_all(selector).ok();
    let length = found.as_ref().map_or(0, NodeList::length);
    (0..length).filter_map(|at| found.as_ref()?.item(at)?.dyn_into().ok()).collect()
}
