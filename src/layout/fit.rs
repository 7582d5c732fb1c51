//! Whether the lines of a design fit the sizes ordered, and what would make them fit.

use super::curve::bend;
use super::garment::LINE_DISTANCE;
use super::{set_closer, set_on_curve, width_of};
use crate::glyph::Sign;
use crate::length::Length;
use crate::lists::{Blank, Caps, Family, Lists, Settings, Widths};
use crate::order::{Design, Group, Line, Order, Reading, Wording};
use std::collections::BTreeMap;

/// How one line of a design fits.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LineFit {
    /// The width of its widest text, over all garments.
    pub widest: Length,
    /// The height of its highest text, over all garments: more than the letters' on an arc.
    pub highest: Length,
    /// The widest text's person, by name; empty where the text is the same on all.
    pub widest_name: String,
    /// The largest share of the printable width taken, in thousandths, rounded up.
    pub share: i64,
    /// The widest text on each size ordered, the smallest size of the blank first.
    pub sizes: Vec<SizeFit>,
    /// The garments that it does not fit, the worst first.
    pub too_wide: Vec<TooWide>,
    /// The largest height offered in the same finish, colour and style that fits them all; it may be
    /// the line's own or a larger one.
    pub height_that_fits: Option<Length>,
    /// Two lines in place of one, where the text has a space at which to split it and it does not fit.
    pub split: Option<Split>,
    /// Whether every garment that it does not fit would be fitted by setting the letters closer.
    pub closer_fits_all: bool,
    /// Whether some text is too long for its arc, which was made wider.
    pub is_too_tight: bool,
}

/// How a line fits the garments of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SizeFit {
    /// The size.
    pub size: String,
    /// The width of its widest text.
    pub width: Length,
    /// The height of its highest one.
    pub height: Length,
    /// How wide it may be.
    pub room: Length,
    /// The share of that, in thousandths, rounded up.
    pub share: i64,
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
    /// The gap between letters at which it would fit; `None` where that is less than the shop allows.
    pub closer: Option<Caps>,
}

/// A text in two lines, split where the wider of them is narrowest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// The upper line.
    pub first: Wording,
    /// The lower line.
    pub second: Wording,
    /// The width of the wider one, over all garments.
    pub widest: Length,
    /// The height of both with the distance between them.
    pub height: Length,
    /// Whether both fit every garment.
    pub fits: bool,
    /// The largest offered height at which both fit every garment.
    pub height_that_fits: Option<Length>,
}

/// Measures every line of a design against every garment ordered.
///
/// A garment whose size the blank does not have is left out: it is named elsewhere.
pub fn fits(
    order: &Order,
    design: &Design,
    reading: &Reading,
    lists: &Lists,
    settings: &Settings,
) -> Vec<LineFit> {
    let blank = lists.blank(&design.blank);
    let narrowest = Caps::percent(settings.narrowest_gap);
    let fit = |line: &Line| Fitter { order, reading, blank, lists, narrowest }.line(line);
    design.lines.iter().map(fit).collect()
}

/// The largest gap, down to the closest, at which a line is no wider than its room.
///
/// # Errors
/// The closest gap, where not even that makes it fit.
pub fn gap_that_fits(
    line: &Line,
    signs: &[Sign],
    widths: &Widths,
    room: Length,
    closest: Caps,
) -> Result<Caps, Caps> {
    let width = |gap: Caps| match line.curve.is_straight() {
        true => width_of(signs, line.height, widths, gap),
        false => bend(&set_closer(signs, line.height, widths, gap), line.height, line.curve).bounds.width(),
    };
    let (mut fitting, mut wide) = (closest.min(widths.gap), widths.gap);
    if width(fitting) > room {
        return Err(fitting);
    }
    loop {
        let middle = fitting.midpoint(wide);
        if middle == fitting {
            return Ok(fitting);
        }
        if width(middle) <= room {
            fitting = middle;
        } else {
            wide = middle;
        }
    }
}

struct Fitter<'a> {
    order: &'a Order,
    reading: &'a Reading,
    blank: Option<&'a Blank>,
    lists: &'a Lists,
    narrowest: Caps,
}

/// A line's letters on one garment, and the room they have.
struct Case<'a> {
    signs: Vec<Sign>,
    group: &'a Group,
    room: Option<Length>,
}

impl Fitter<'_> {
    fn line(&self, line: &Line) -> LineFit {
        let fit = self.measured(line);
        let split = (!fit.too_wide.is_empty()).then(|| self.split(line)).flatten();
        LineFit { split, ..fit }
    }

    fn measured(&self, line: &Line) -> LineFit {
        let widths = self.lists.widths(&line.style);
        let mut fit = LineFit::default();
        let cases = self.cases(line);
        let mut worst: Option<(Length, Length, &Case)> = None;
        for case in &cases {
            let room = case.room.unwrap_or(Length::of_units(i64::MAX));
            let (width, height) = self.extent(line, &case.signs, widths, room, &mut fit.is_too_tight);
            let name = if line.text.uses_roster() { case.group.name() } else { "" };
            fit.highest = fit.highest.max(height);
            if width > fit.widest {
                (fit.widest, fit.widest_name) = (width, name.to_owned());
            }
            let Some(room) = case.room else {
                continue;
            };
            let share = width.share_of(room).unwrap_or(i64::MAX);
            let size = self.blank.and_then(|blank| blank.size(&case.group.size));
            let size = size.map_or(&case.group.size, |size| &size.name);
            match fit.sizes.iter_mut().find(|known| known.size == *size) {
                Some(known) => {
                    known.width = known.width.max(width);
                    known.height = known.height.max(height);
                    known.share = known.share.max(share);
                }
                None => fit.sizes.push(SizeFit { size: size.clone(), width, height, room, share }),
            }
            if worst.is_none_or(|(other, its_room, _)| fills_more((width, room), (other, its_room))) {
                worst = Some((width, room, case));
            }
            fit.share = fit.share.max(share);
            if width > room {
                let closer = gap_that_fits(line, &case.signs, widths, room, self.narrowest).ok();
                fit.too_wide.push(TooWide { size: size.clone(), name: name.to_owned(), width, room, closer });
            }
        }
        fit.too_wide.sort_by_key(|entry| (entry.room - entry.width, entry.size.clone()));
        let on_blank = |size: &SizeFit| {
            self.blank.and_then(|blank| blank.sizes.iter().position(|known| known.name == size.size))
        };
        fit.sizes.sort_by_key(on_blank);
        fit.closer_fits_all = fit.too_wide.iter().all(|entry| entry.closer.is_some());
        fit.height_that_fits = self.largest_height(line, widths, &cases, worst.map(|(.., case)| case));
        fit
    }

    /// The letters on each garment, once for each different text and size.
    fn cases(&self, line: &Line) -> Vec<Case<'_>> {
        let groups = &self.reading.groups;
        let room = |group: &Group| Some(line.placement.room(self.blank?.size(&group.size)?).width);
        if line.text.uses_roster() {
            let case = |group| Case { signs: self.order.signs(line, group), group, room: room(group) };
            return groups.iter().map(case).collect();
        }
        let by_size: BTreeMap<&str, &Group> =
            groups.iter().map(|group| (group.size.as_str(), group)).collect();
        let signs = groups.first().map(|group| self.order.signs(line, group)).unwrap_or_default();
        by_size.into_values().map(|group| Case { signs: signs.clone(), group, room: room(group) }).collect()
    }

    /// Width and height as the line is set.
    fn extent(
        &self,
        line: &Line,
        signs: &[Sign],
        widths: &Widths,
        room: Length,
        is_too_tight: &mut bool,
    ) -> (Length, Length) {
        if signs.is_empty() {
            return (Length::ZERO, Length::ZERO);
        }
        if line.curve.is_straight() && line.closest.is_none() {
            return (width_of(signs, line.height, widths, widths.gap), line.height);
        }
        let (_, bent) = set_on_curve(line, signs, widths, room);
        *is_too_tight |= bent.is_too_tight;
        (bent.bounds.width(), bent.bounds.height())
    }

    /// The largest offered height at which the line fits every garment. Of a straight line that is
    /// not set closer the garment that it fills most decides, as widths grow with the height.
    fn largest_height(
        &self,
        line: &Line,
        widths: &Widths,
        cases: &[Case],
        worst: Option<&Case>,
    ) -> Option<Length> {
        let in_proportion = line.curve.is_straight() && line.closest.is_none();
        let fits = |line: &Line, case: &Case| {
            case.room.is_none_or(|room| {
                // On an arc the letters' tops spread by no more than their height at either end.
                let most = width_of(&case.signs, line.height, widths, widths.gap) + line.height.times(2);
                most <= room || self.extent(line, &case.signs, widths, room, &mut false).0 <= room
            })
        };
        let is_offered = |height: &Length| {
            let family = Family { height: *height, ..line.family() };
            self.lists.offers_for(&family).next().is_some()
        };
        self.lists.heights(&line.finish).into_iter().rev().filter(is_offered).find(|height| {
            let line = Line { height: *height, ..line.clone() };
            worst.is_none_or(|case| fits(&line, case))
                && (in_proportion || cases.iter().all(|case| fits(&line, case)))
        })
    }

    /// The text in two lines, at the space where the wider of both is narrowest.
    fn split(&self, line: &Line) -> Option<Split> {
        let text = line.text.as_str();
        let spaces = text.char_indices().filter(|(_, c)| c.is_whitespace());
        let halves = spaces.map(|(at, c)| (text[..at].trim(), text[at + c.len_utf8()..].trim()));
        let halves = halves.filter(|(first, second)| !first.is_empty() && !second.is_empty());
        let part = |text: &str| Line { text: Wording::new(text), ..line.clone() };
        let measured = halves.map(|(first, second)| {
            let [first, second] = [first, second].map(|text| (part(text), self.measured(&part(text))));
            (first.1.widest.max(second.1.widest), first, second)
        });
        let (widest, (first, upper), (second, lower)) = measured.min_by_key(|(widest, ..)| *widest)?;
        Some(Split {
            widest,
            height: upper.highest + LINE_DISTANCE + lower.highest,
            fits: upper.too_wide.is_empty() && lower.too_wide.is_empty(),
            height_that_fits: upper.height_that_fits.min(lower.height_that_fits),
            first: first.text,
            second: second.text,
        })
    }
}

/// Whether a width takes up more of its room than another of its own; exactly, as a share that is
/// rounded for people would not tell which of two decides.
fn fills_more((width, room): (Length, Length), (other, its_room): (Length, Length)) -> bool {
    let product = |a: Length, b: Length| i128::from(a.units()) * i128::from(b.units());
    product(width, its_room) > product(other, room)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::order::curve::Curve;
    use crate::order::{Placement, Wording};

    const USUAL: Caps = Caps::thousandths(100);

    #[test]
    fn the_demo_order_fits() {
        let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
        let fits = fits(&order, &order.designs[0], &order.read(&lists)[0], &lists, &Settings::default());
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
        let fit = &fits(&order, &order.designs[0], &order.read(&lists)[0], &lists, &Settings::default())[0];
        let sizes: Vec<&str> = fit.too_wide.iter().map(|entry| entry.size.as_str()).collect();
        assert_eq!(sizes.first(), Some(&"S"), "{fit:?}");
        assert_eq!(fit.height_that_fits, Some(Length::inches(2)));
        assert!(fit.share > 1_000);
        // A height that is not sold in the line's colour is no way out.
        let mut lists = lists;
        let gold = order.designs[0].lines[0].family();
        for offer in lists.offers.iter_mut().filter(|offer| offer.height == Length::inches(2)) {
            offer.colours.retain(|colour| *colour != gold.colour);
        }
        assert!(lists.heights(&gold.finish).contains(&Length::inches(2)));
        let fit = &fits(&order, &order.designs[0], &order.read(&lists)[0], &lists, &Settings::default())[0];
        assert_eq!(fit.height_that_fits, None);
    }

    /// How the first line of the demo's garment fits with this text, where letters are so far apart.
    fn first_fit(text: &str, roster: &str, gap: Caps, change: impl FnOnce(&mut Line)) -> LineFit {
        let (mut lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        lists.styles[0].widths.gap = gap;
        let design = &mut order.designs[0];
        if !roster.is_empty() {
            design.roster = roster.into();
        }
        let line = &mut design.lines[0];
        (line.text, line.height) = (Wording::new(text), Length::inches(2));
        change(line);
        fits(&order, &order.designs[0], &order.read(&lists)[0], &lists, &Settings::default()).swap_remove(0)
    }

    #[test]
    fn of_two_widths_the_one_that_fills_its_room_more_decides() {
        let [room, twice] = [10, 20].map(Length::inches);
        let hair = Length::of_units(1);
        assert!(fills_more((room, twice), (room - hair, twice)));
        assert!(!fills_more((room, twice), (room, twice)));
        assert!(fills_more((room, twice), (twice - hair, twice.times(2))));
        assert!(!fills_more((room, twice), (twice + hair, twice.times(2))));
    }

    #[test]
    fn of_names_of_one_width_the_first_is_named() {
        let fit = first_fit("{name}", "name,size\nNORA,S\nARON,S\nFAY,S\n", USUAL, |_| ());
        assert_eq!(fit.widest_name, "NORA");
    }

    #[test]
    fn the_closest_gap_is_enough_where_the_line_just_fits_with_it() {
        let order = demo::order("2026-01-01");
        let line = Line { curve: Curve::Straight, ..order.designs[0].lines[0].clone() };
        let signs = crate::glyph::signs("OTTERS");
        let widths = Widths::default();
        let least = width_of(&signs, line.height, &widths, Caps::ZERO);
        assert_eq!(gap_that_fits(&line, &signs, &widths, least, Caps::ZERO), Ok(Caps::ZERO));
        let less = least - Length::of_units(1);
        assert_eq!(gap_that_fits(&line, &signs, &widths, less, Caps::ZERO), Err(Caps::ZERO));
        // Never wider than usual, however much room there is.
        let gap = gap_that_fits(&line, &signs, &widths, least.times(9), Caps::ZERO).unwrap();
        assert!(gap <= widths.gap);
    }

    #[test]
    fn only_a_line_that_is_too_wide_is_split_where_the_wider_part_is_narrowest() {
        let split = |text: &str, inches: i32| {
            first_fit(text, "", USUAL, |line| line.height = Length::inches(inches)).split
        };
        assert_eq!(split("SEA OTTER", 2), None);
        // A space of two bytes is one too.
        let wide = split("MARSH OTTERS OF THE\u{a0}EAST", 4).unwrap();
        assert_eq!((wide.first.as_str(), wide.second.as_str()), ("MARSH OTTERS", "OF THE\u{a0}EAST"));
        assert_eq!(wide.height, Length::inches(8) + LINE_DISTANCE);
        let words = split("SEA\u{a0}OTTERSOFTHEMARSHES", 4).unwrap();
        assert_eq!((words.first.as_str(), words.second.as_str()), ("SEA", "OTTERSOFTHEMARSHES"));
        assert!(!words.fits, "one of the parts is too wide");
        assert!(split("OTTERS SEALS", 2).unwrap().fits);
        // Nothing can be split off a single word.
        assert_eq!(split("OTTERSOFTHEMARSHES", 4), None);
        assert_eq!(split(" OTTERSOFTHEMARSHES ", 4), None);
    }

    #[test]
    fn sizes_stand_as_on_the_blank_whatever_the_roster_begins_with() {
        let fit = first_fit("{name}", "name,size\nASH,2XL\nFAY,S\nKIT,L\n", USUAL, |_| ());
        let sizes: Vec<&str> = fit.sizes.iter().map(|size| size.size.as_str()).collect();
        assert_eq!(sizes, ["S", "L", "2XL"]);
    }

    #[test]
    fn a_straight_line_that_may_be_closer_is_as_wide_as_its_room() {
        let wide = first_fit("OTTERSEAS", "", USUAL, |_| ());
        let fit = first_fit("OTTERSEAS", "", USUAL, |line| line.closest = Some(Caps::ZERO));
        let room = fit.sizes[0].room;
        assert!(wide.widest > room && fit.sizes[0].width <= room, "{wide:?}");
        assert!(fit.too_wide.is_empty());
    }

    #[test]
    fn every_name_counts_for_the_height_where_letters_may_be_closer() {
        // Both fill their room at 2 in, the first mostly by its gaps: at 4 in only that one still fits.
        let roster = "name,size\nIIIIIIIIII,S\nMMMMMM,S\n";
        let wide = Caps::thousandths(800);
        let fit = first_fit("{name}", roster, wide, |line| line.closest = Some(Caps::ZERO));
        assert!(fit.too_wide.is_empty(), "{fit:?}");
        assert_eq!(fit.height_that_fits, Some(Length::inches(2)), "{fit:?}");
        let fit = first_fit("{name}", &roster[..21], wide, |line| line.closest = Some(Caps::ZERO));
        assert_eq!(fit.height_that_fits, Some(Length::inches(4)), "{fit:?}");
    }

    #[test]
    fn names_that_do_not_fit_come_worst_first() {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        order.designs[0].roster =
            "name,size\nAbernathy-Wolfeschlegel,S\nAbernathy-Featherstone,2XL\nFay,S\n".into();
        let fit = &fits(&order, &order.designs[0], &order.read(&lists)[0], &lists, &Settings::default())[1];
        let names: Vec<&str> = fit.too_wide.iter().map(|entry| entry.name.as_str()).collect();
        assert_eq!(names, ["Abernathy-Wolfeschlegel", "Abernathy-Featherstone"]);
        assert_eq!(fit.height_that_fits, None);
        // In one room the widest is the worst.
        let roster = "name,size\nFEATHERSTONES,S\nFEATHERSTONESOFHAM,S\nFEATHERSTONESOF,S\n";
        let fit = first_fit("{name}", roster, USUAL, |_| ());
        let lengths: Vec<usize> = fit.too_wide.iter().map(|entry| entry.name.len()).collect();
        assert_eq!(lengths, [18, 15, 13]);
    }

    #[test]
    fn one_name_too_long_for_its_curve_is_enough_to_say_so() {
        let tight = |roster: &str| {
            let curve = Curve::Radius(crate::order::curve::Bend::Up, Length::inches(3));
            first_fit("{name}", roster, USUAL, |line| line.curve = curve).is_too_tight
        };
        assert!(!tight("name,size\nFAY,S\nKIT,S\n"));
        assert!(tight("name,size\nFAY,S\nFEATHERSTONESOF,S\nKIT,S\n"));
    }
}
