//! The template: where the letters of one side of a garment lie, at true size.
//!
//! Owns the drawing as plain shapes in millimetres, the pages of a home printer that it is spread
//! over, and the same drawing as an SVG text. The page shows the shapes and the text holds them, so
//! screen, paper and file are one drawing.

mod pages;
mod svg;

pub use pages::{MARGIN, Page, Paper, STRIP, pages};
pub use svg::svg;

use super::Rect;
use super::alphabet::{self, CAP_HEIGHT};
use super::garment::collar_depth;
use super::picture::{LetterOnGarment, LineOnGarment, placed};
use crate::length::{Length, Units};
use crate::lists::drawing::Point;
use crate::lists::{BlankSize, Lists};
use crate::order::{Design, Group, Order, Placement, Reading, Side};

/// The template of one part of a garment, in the garment's own coordinates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Template {
    /// What it is for: "back, size M".
    pub title: String,
    /// What is drawn, letters and marks.
    pub shapes: Vec<Shape>,
    /// The extent of the drawing.
    pub sheet: Rect,
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shape {
    /// A line through points, closed or not; several of them make one outline.
    Path {
        /// What it is.
        kind: Kind,
        /// Its rings, each a row of points.
        rings: Vec<Vec<(Length, Length)>>,
        /// Whether each ring is closed.
        closed: bool,
    },
    /// Words that begin at a point.
    Words {
        /// Where they begin, on their baseline.
        at: (Length, Length),
        /// The words.
        words: String,
    },
}

/// What a line of the drawing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The outline of a letter.
    Letter,
    /// The garment's centre line.
    Centre,
    /// The line that letters stand on.
    Baseline,
    /// The garment's collar seam.
    Garment,
    /// A ruler, a mark at which pages meet.
    Mark,
}

impl Kind {
    /// The name of its style.
    pub fn word(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::Centre => "centre",
            Self::Baseline => "baseline",
            Self::Garment => "garment",
            Self::Mark => "mark",
        }
    }
}

impl Shape {
    /// The text of a path in millimetres; nothing for words.
    pub fn path(&self) -> String {
        let Self::Path { rings, closed, .. } = self else {
            return String::new();
        };
        let point = |(x, y): &(Length, Length)| format!("{} {}", x.to_drawing(), y.to_drawing());
        let end = if *closed { "Z" } else { "" };
        let ring = |points: &Vec<(Length, Length)>| {
            format!("M{}{end}", points.iter().map(point).collect::<Vec<_>>().join("L"))
        };
        rings.iter().map(ring).collect()
    }

    fn line(kind: Kind, from: (Length, Length), to: (Length, Length)) -> Self {
        Self::Path { kind, rings: vec![vec![from, to]], closed: false }
    }
}

/// White around what is drawn.
const AROUND: Length = Length::mm(12);
/// A collar seam further above the letters than this is told in words only.
const COLLAR_NEAR: Length = Length::mm(160);

/// How far from the centre line words begin, and how far they reach at most.
const BESIDE: Length = Length::mm(2);
const WORDS: Length = Length::mm(84);

/// The template of the lines on one part of a garment; `None` without any. `side` is the side of the
/// body, none for a sleeve.
pub fn template(
    title: String,
    lines: &[&LineOnGarment],
    size: &BlankSize,
    side: Option<Side>,
    units: Units,
) -> Option<Template> {
    let letters = Rect::around(lines.iter().map(|line| line.bounds))?;
    let mut shapes: Vec<Shape> = Vec::new();
    for line in lines {
        shapes.extend(line.letters.iter().map(outline));
        shapes.push(baseline(line));
    }
    let centre = if side.is_some() { Length::ZERO } else { lines[0].room.centre };
    let mut sheet = Rect { left: letters.left.min(centre), right: letters.right.max(centre), ..letters };
    if let Some(side) = side {
        let seam = collar_depth(size, side == Side::Front);
        let below = letters.top - seam;
        let words = format!("top of the letters {} below the collar seam", units.show(below));
        if below <= COLLAR_NEAR {
            let half = Length::mm(35);
            sheet.top = sheet.top.min(seam);
            sheet.left = sheet.left.min(Length::ZERO - half);
            sheet.right = sheet.right.max(half);
            shapes.push(Shape::line(Kind::Garment, (Length::ZERO - half, seam), (half, seam)));
            shapes.push(words_at(
                Length::ZERO - half,
                seam - Length::mm(2),
                "collar seam, middle".to_owned(),
            ));
        }
        // Right of the centre line, so that it does not run through them.
        sheet.bottom += Length::mm(7);
        sheet.right = sheet.right.max(WORDS);
        shapes.push(words_at(BESIDE, sheet.bottom, words));
    }
    let sheet = sheet.grown(AROUND);
    shapes.push(Shape::line(Kind::Centre, (centre, sheet.top), (centre, sheet.bottom)));
    shapes.push(words_at(centre + BESIDE, sheet.top + Length::mm(4), format!("centre, {title}")));
    Some(Template { title, shapes, sheet })
}

/// The templates of one garment: one for each part of it that letters are on.
pub fn of_garment(
    order: &Order,
    design: &Design,
    group: &Group,
    size: &BlankSize,
    lists: &Lists,
    units: Units,
) -> Vec<Template> {
    let lines = placed(order, design, group, size, lists);
    let part = |placement: Placement| match placement {
        Placement::LeftSleeve | Placement::RightSleeve => (placement.words(), None),
        other => (other.side().word(), Some(other.side())),
    };
    let mut parts: Vec<(&str, Option<Side>)> = lines.iter().map(|line| part(line.placement)).collect();
    parts.sort_by_key(|(_, side)| (side.is_none(), *side));
    parts.dedup();
    let found = parts.into_iter().filter_map(|part_of| {
        let here: Vec<&LineOnGarment> = lines.iter().filter(|line| part(line.placement) == part_of).collect();
        let whose = [group.name(), group.number()].map(str::trim);
        let whose: Vec<&str> = whose.into_iter().filter(|text| !text.is_empty()).collect();
        let whose = if here
            .iter()
            .any(|line| design.lines.get(line.line).is_some_and(|line| line.text.uses_roster()))
            && !whose.is_empty()
        {
            format!(", {}", whose.join(" "))
        } else {
            String::new()
        };
        template(format!("{}, size {}{whose}", part_of.0, size.name), &here, size, part_of.1, units)
    });
    found.collect()
}

/// The templates that a design takes, each once: sizes and people whose letters lie alike share one.
pub fn of_design(
    order: &Order,
    design: &Design,
    reading: &Reading,
    lists: &Lists,
    units: Units,
) -> Vec<Template> {
    let mut found: Vec<Template> = Vec::new();
    let Some(blank) = lists.blank(&design.blank) else {
        return found;
    };
    for group in &reading.groups {
        let Some(size) = blank.size(&group.size) else {
            continue;
        };
        for template in of_garment(order, design, group, size, lists, units) {
            if !found.iter().any(|known| known.title == template.title) {
                found.push(template);
            }
        }
    }
    found
}

fn words_at(across: Length, down: Length, words: String) -> Shape {
    Shape::Words { at: (across, down), words }
}

/// The baseline, straight or along the arc, from letter to letter.
fn baseline(line: &LineOnGarment) -> Shape {
    let ends = |letter: &LetterOnGarment| {
        let (down, across) = letter.turn.direction().project(letter.width);
        [(letter.across, letter.down), (letter.across + across, letter.down + down)]
    };
    let points = line.letters.iter().flat_map(ends).collect();
    Shape::Path { kind: Kind::Baseline, rings: vec![points], closed: false }
}

/// A letter's outline at its place and width: as its style draws it, else as the built-in alphabet
/// does, else its box.
pub fn outline(letter: &LetterOnGarment) -> Shape {
    let built_in = || alphabet::outline(letter.glyph.as_str());
    let rings = match (&letter.drawing, built_in()) {
        (Some(own), _) => at_its_place(letter, own.width(), own.rings().iter().map(Vec::as_slice)),
        (None, Some(drawn)) => at_its_place(letter, drawn.width, drawn.rings.iter().copied()),
        (None, None) => {
            let frame: &[Point] = &[(0, 0), (1, 0), (1, CAP_HEIGHT), (0, CAP_HEIGHT)];
            at_its_place(letter, 1, [frame].into_iter())
        }
    };
    Shape::Path { kind: Kind::Letter, rings, closed: true }
}

/// Rings of a letter drawn so wide, where it stands on the garment.
fn at_its_place<'a>(
    letter: &LetterOnGarment,
    width: i32,
    rings: impl Iterator<Item = &'a [Point]>,
) -> Vec<Vec<(Length, Length)>> {
    let upward = letter.turn.direction();
    let (down_by_along, across_by_along) = upward.project(letter.width);
    let (across_by_up, down_by_up) = upward.project(letter.height);
    let place = |&(x, y): &Point| {
        let (x, y) = (i64::from(x), i64::from(y));
        let (wide, high) = (i64::from(width.max(1)), i64::from(CAP_HEIGHT));
        (
            letter.across + across_by_along.part(x, wide) + across_by_up.part(y, high),
            letter.down + down_by_along.part(x, wide) - down_by_up.part(y, high),
        )
    };
    rings.map(|ring| ring.iter().map(place).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::order::{Bend, Curve};

    fn back() -> (Template, Vec<LineOnGarment>) {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        order.designs[0].lines[1].curve = Curve::Rise(Bend::Up, Length::inches(1));
        let group = &order.read(&lists)[0].groups[0];
        let size = lists.blanks[0].size(&group.size).unwrap();
        let lines = placed(&order, &order.designs[0], group, size, &lists);
        let here: Vec<&LineOnGarment> =
            lines.iter().filter(|line| line.placement.side() == Side::Back).collect();
        let found = template("back".into(), &here, size, Some(Side::Back), Units::Inches).unwrap();
        (found, lines)
    }

    #[test]
    fn every_outline_lies_within_its_letters_extent_and_fills_it() {
        let (_, lines) = back();
        for letter in lines.iter().flat_map(|line| &line.letters) {
            let Shape::Path { rings, .. } = outline(letter) else { panic!("no outline") };
            let points = rings.iter().flatten();
            let around =
                Rect::around(points.map(|&(x, y)| Rect { left: x, top: y, right: x, bottom: y })).unwrap();
            let near = Length::of_units(20);
            assert!(letter.bounds.grown(near).holds(&around), "{letter:?} {around:?}");
            if letter.turn == super::super::Angle::ZERO {
                assert!(around.grown(near).holds(&letter.bounds), "{letter:?} {around:?}");
            }
        }
    }

    #[test]
    fn the_baseline_runs_along_the_foot_of_each_letter() {
        let (_, lines) = back();
        for line in &lines {
            let Shape::Path { rings, kind: Kind::Baseline, closed: false } = baseline(line) else {
                panic!("a baseline")
            };
            assert_eq!(rings[0].len(), 2 * line.letters.len());
            for (ends, letter) in rings[0].chunks(2).zip(&line.letters) {
                assert_eq!(ends[0], (letter.across, letter.down));
                // Its lowest corner is one of the two ends, and both are its own.
                assert!(ends[0].1.max(ends[1].1) - letter.bounds.bottom <= Length::of_units(20));
                assert!(letter.bounds.bottom - ends[0].1.max(ends[1].1) <= Length::of_units(20));
                assert!(ends[1].0 > ends[0].0 && ends[1].0 <= letter.bounds.right);
            }
        }
    }

    #[test]
    fn the_sheet_holds_every_shape() {
        let (template, _) = back();
        for shape in &template.shapes {
            if let Shape::Path { rings, .. } = shape {
                for &(x, y) in rings.iter().flatten() {
                    let point = Rect { left: x, top: y, right: x, bottom: y };
                    assert!(template.sheet.holds(&point), "{shape:?}");
                }
            }
        }
        let letters = template.shapes.iter().filter(|s| matches!(s, Shape::Path { kind: Kind::Letter, .. }));
        assert_eq!(letters.count(), 7, "OKONJO and 1");
    }

    /// Of a template: its garment's lines, its centre lines and its words, with their ends.
    #[allow(clippy::type_complexity)]
    fn marks(
        template: &Template,
    ) -> (Vec<[(Length, Length); 2]>, Vec<[(Length, Length); 2]>, Vec<(Length, Length, &str)>) {
        let lines = |wanted: Kind| {
            let line = |shape: &Shape| match shape {
                Shape::Path { kind, rings, .. } if *kind == wanted => Some([rings[0][0], rings[0][1]]),
                _ => None,
            };
            template.shapes.iter().filter_map(line).collect()
        };
        let words = template.shapes.iter().filter_map(|shape| match shape {
            Shape::Words { at, words } => Some((at.0, at.1, words.as_str())),
            Shape::Path { .. } => None,
        });
        (lines(Kind::Garment), lines(Kind::Centre), words.collect())
    }

    #[test]
    fn the_centre_line_and_the_collar_seam_say_where_it_goes() {
        let mm = Length::mm;
        let (_, lines) = back();
        let size = &demo::lists().blanks[0].sizes[0];
        for side in Side::ALL {
            let seam = collar_depth(size, side == Side::Front);
            for (below, is_near) in [(159, true), (160, true), (161, false)] {
                // Letters 30 mm wide either way, 50 mm high.
                let bounds = Rect::sized(mm(-30), seam + mm(below), mm(60), mm(50));
                let line = LineOnGarment { bounds, ..lines[0].clone() };
                let found = template("it".into(), &[&line], size, Some(side), Units::Millimetres).unwrap();
                let (garment, centre, words) = marks(&found);
                let top = if is_near { seam } else { bounds.top } - AROUND;
                let left = if is_near { mm(-35) } else { bounds.left } - AROUND;
                let bottom = bounds.bottom + mm(7);
                assert_eq!(found.sheet, Rect { left, top, right: WORDS + AROUND, bottom: bottom + AROUND });
                assert_eq!(centre, [[(Length::ZERO, top), (Length::ZERO, found.sheet.bottom)]]);
                let told = format!("top of the letters {below} mm below the collar seam");
                let mut wanted = vec![(mm(2), bottom, told.as_str()), (mm(2), top + mm(4), "centre, it")];
                if is_near {
                    wanted.insert(0, (mm(-35), seam - mm(2), "collar seam, middle"));
                    assert_eq!(garment, [[(mm(-35), seam), (mm(35), seam)]]);
                } else {
                    assert!(garment.is_empty());
                }
                assert_eq!(words, wanted);
            }
        }
    }

    #[test]
    fn a_sleeve_has_the_middle_of_its_own_room_and_no_collar() {
        let mm = Length::mm;
        let (_, lines) = back();
        let size = &demo::lists().blanks[0].sizes[0];
        let room = crate::layout::garment::Room { centre: mm(300), ..lines[0].room };
        for (left, right) in [(310, 340), (260, 290)] {
            let bounds = Rect { left: mm(left), top: mm(100), right: mm(right), bottom: mm(130) };
            let line = LineOnGarment { bounds, room, ..lines[0].clone() };
            let found = template("left sleeve".into(), &[&line], size, None, Units::Inches).unwrap();
            let around = Rect { left: mm(left.min(300)), right: mm(right.max(300)), ..bounds };
            assert_eq!(found.sheet, around.grown(AROUND));
            let (garment, centre, words) = marks(&found);
            assert!(garment.is_empty());
            assert_eq!(centre, [[(mm(300), found.sheet.top), (mm(300), found.sheet.bottom)]]);
            assert_eq!(words, [(mm(302), found.sheet.top + mm(4), "centre, left sleeve")]);
        }
    }

    #[test]
    fn each_part_of_a_garment_is_named_with_whom_it_is_for() {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        order.designs[0].roster = "name,number,size\nFay,7,S\nKit,,S\nFay,7,S\nAsh,3,XXXS\n".into();
        let mut sleeve = order.designs[0].lines[0].clone();
        sleeve.placement = Placement::RightSleeve;
        order.designs[0].lines.insert(0, sleeve);
        let reading = order.read(&lists).remove(0);
        let titles = |order: &Order| -> Vec<String> {
            let found = of_design(order, &order.designs[0], &reading, &lists, Units::Inches);
            found.into_iter().map(|template| template.title).collect()
        };
        // The front and the sleeve are the same for all of a size; what is no size has none.
        assert_eq!(
            titles(&order),
            ["front, size S", "back, size S, Fay 7", "right sleeve, size S", "back, size S, Kit"]
        );
        order.designs[0].lines.retain(|line| !line.text.uses_roster());
        assert_eq!(titles(&order), ["front, size S", "right sleeve, size S"]);
    }

    #[test]
    fn each_kind_of_line_has_its_own_style() {
        let kinds = [Kind::Letter, Kind::Centre, Kind::Baseline, Kind::Garment, Kind::Mark];
        assert_eq!(kinds.map(Kind::word), ["letter", "centre", "baseline", "garment", "mark"]);
    }
}
