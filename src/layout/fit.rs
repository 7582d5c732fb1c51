//! Whether the lines of a design fit the sizes ordered.

use super::{SetLine, set_line};
use crate::length::Length;
use crate::lists::{Blank, Lists};
use crate::order::{Design, Group, Line, Order, Reading};
use std::collections::BTreeMap;

/// How one line of a design fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineFit {
    /// The width of its widest text, over all garments.
    pub widest: Length,
    /// That text's person, by name; empty where the text is the same on all.
    pub widest_name: String,
    /// The largest share of the printable width taken, in thousandths, rounded up.
    pub share: i64,
    /// The garments that it does not fit.
    pub too_wide: Vec<TooWide>,
    /// The largest offered height of the same finish that fits them all.
    pub height_that_fits: Option<Length>,
}

/// Garments on which a line is too wide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TooWide {
    /// The size.
    pub size: String,
    /// The person; empty where the text is the same on all.
    pub name: String,
    /// How wide the line is.
    pub width: Length,
    /// How wide it may be.
    pub room: Length,
}

/// Measures every line of a design against every garment ordered.
///
/// A garment whose size the blank does not have is left out: it is named elsewhere.
pub fn fits(order: &Order, design: &Design, reading: &Reading, lists: &Lists) -> Vec<LineFit> {
    let blank = lists.blank(&design.blank);
    design.lines.iter().map(|line| line_fit(order, line, reading, blank, lists)).collect()
}

/// The line as it is set on one garment.
pub fn line_on(order: &Order, line: &Line, group: &Group) -> SetLine {
    set_line(&order.signs(line, group), line.height)
}

fn line_fit(order: &Order, line: &Line, reading: &Reading, blank: Option<&Blank>, lists: &Lists) -> LineFit {
    let mut fit = LineFit {
        widest: Length::ZERO,
        widest_name: String::new(),
        share: 0,
        too_wide: vec![],
        height_that_fits: None,
    };
    for (width, size, group) in one_of_each(order, line, reading) {
        let name = if line.text.uses_roster() { group.name() } else { "" };
        if width > fit.widest {
            (fit.widest, fit.widest_name) = (width, name.to_owned());
        }
        let Some(size) = blank.and_then(|blank| blank.size(size)) else {
            continue;
        };
        let room = line.placement.room(size).width;
        fit.share = fit.share.max(width.share_of(room).unwrap_or(i64::MAX));
        if width > room {
            fit.too_wide.push(TooWide { size: size.name.clone(), name: name.to_owned(), width, room });
        }
    }
    if !fit.too_wide.is_empty() {
        fit.too_wide.sort_by_key(|entry| (entry.room - entry.width, entry.size.clone()));
        fit.height_that_fits = largest_that_fits(line, &fit, lists);
    }
    fit
}

/// Width, size and garment, once for each different text and size.
fn one_of_each<'a>(order: &Order, line: &Line, reading: &'a Reading) -> Vec<(Length, &'a str, &'a Group)> {
    if line.text.uses_roster() {
        let measured = |group: &'a Group| (line_on(order, line, group).width, group.size.as_str(), group);
        return reading.groups.iter().map(measured).collect();
    }
    let by_size: BTreeMap<&str, &Group> =
        reading.groups.iter().map(|group| (group.size.as_str(), group)).collect();
    let width = reading.groups.first().map_or(Length::ZERO, |group| line_on(order, line, group).width);
    by_size.into_iter().map(|(size, group)| (width, size, group)).collect()
}

/// Widths grow with the height in proportion, so one look at the worst share suffices.
fn largest_that_fits(line: &Line, fit: &LineFit, lists: &Lists) -> Option<Length> {
    let fits = |height: &Length| {
        // width * height / line.height <= room, without dividing.
        fit.too_wide.iter().all(|entry| {
            let scaled = entry.width.to_mm() * height.to_mm();
            scaled <= entry.room.to_mm() * line.height.to_mm()
        })
    };
    let heights = lists.heights(&line.finish).into_iter().filter(|height| *height < line.height);
    heights.filter(fits).max()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::order::{Placement, Wording};

    #[test]
    fn the_demo_order_fits() {
        let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
        let fits = fits(&order, &order.designs[0], &order.read(&lists)[0], &lists);
        assert!(fits.iter().all(|fit| fit.too_wide.is_empty()), "{fits:?}");
        assert_eq!(fits[1].widest_name, "Castellan");
    }

    #[test]
    fn a_line_too_wide_names_its_sizes_and_a_height_that_fits() {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        let line = &mut order.designs[0].lines[0];
        line.text = Wording::new("OTTERS");
        line.height = Length::inches(4);
        line.placement = Placement::AcrossChest;
        let fit = &fits(&order, &order.designs[0], &order.read(&lists)[0], &lists)[0];
        let sizes: Vec<&str> = fit.too_wide.iter().map(|entry| entry.size.as_str()).collect();
        assert_eq!(sizes.first(), Some(&"S"), "{fit:?}");
        assert_eq!(fit.height_that_fits, Some(Length::inches(2)));
        assert!(fit.share > 1_000);
    }

    #[test]
    fn names_that_do_not_fit_come_worst_first() {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        order.designs[0].roster =
            "name,size\nAbernathy-Wolfeschlegel,S\nAbernathy-Featherstone,2XL\nFay,S\n".into();
        let fit = &fits(&order, &order.designs[0], &order.read(&lists)[0], &lists)[1];
        let names: Vec<&str> = fit.too_wide.iter().map(|entry| entry.name.as_str()).collect();
        assert_eq!(names, ["Abernathy-Wolfeschlegel", "Abernathy-Featherstone"]);
        assert_eq!(fit.height_that_fits, None);
    }
}
