//! The pages of a template: parts of the drawing at true size, each with its ruler, overlapping so
//! that they can be laid on each other by their marks.

use super::{Kind, Rect, Shape, Template};
use crate::length::Length;

/// A home printer's paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 8.5 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// Both, in the order of a choice.
    pub const ALL: [Self; 2] = [Self::Letter, Self::A4];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Letter => "Letter",
            Self::A4 => "A4",
        }
    }

    /// Its width and height. Letter: 8.5 by 11 in (ANSI/ASME Y14.1, size A); A4: 210 by 297 mm
    /// (ISO 216); both from memory.
    pub fn size(self) -> (Length, Length) {
        match self {
            Self::Letter => (Length::mils(8_500), Length::inches(11)),
            Self::A4 => (Length::mm(210), Length::mm(297)),
        }
    }

    /// What is printed on, within margins that home printers leave white. A millimetre is left at
    /// the foot, so that no page runs over into an empty one by rounding.
    pub fn printed(self) -> (Length, Length) {
        let (width, height) = self.size();
        (width - MARGIN.times(2), height - MARGIN.times(2) - Length::mm(1))
    }
}

/// The white margin of a page.
pub const MARGIN: Length = Length::mm(10);
/// The strip below the drawing, for ruler, words and cautions.
pub const STRIP: Length = Length::mm(44);
/// How far one page goes on beyond where the next begins.
const OVERLAP: Length = Length::mm(10);

/// One page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// What of the drawing is on it, in the drawing's coordinates.
    pub window: Rect,
    /// Its row and column, from 1.
    pub place: (u32, u32),
    /// How many rows and columns there are.
    pub of: (u32, u32),
    /// Crosses at which it meets the pages beside it, in the drawing's coordinates.
    pub crosses: Vec<Shape>,
    /// The ruler, in the strip's own coordinates: from its left end, down from the strip's top.
    pub ruler: Vec<Shape>,
}

/// The pages that hold a whole template.
pub fn pages(template: &Template, paper: Paper) -> Vec<Page> {
    let (width, height) = paper.printed();
    let height = height - STRIP;
    let sheet = &template.sheet;
    let (columns, rows) = (count(sheet.width(), width), count(sheet.height(), height));
    let step = (width - OVERLAP, height - OVERLAP);
    let mut found = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let left = sheet.left + step.0.times(i64::from(column));
            let top = sheet.top + step.1.times(i64::from(row));
            let window = Rect::sized(left, top, width, height);
            found.push(Page {
                window,
                place: (row + 1, column + 1),
                of: (rows, columns),
                crosses: crosses(&window, (row, column), (rows, columns)),
                ruler: ruler(),
            });
        }
    }
    found
}

fn count(length: Length, page: Length) -> u32 {
    let pages = (length - OVERLAP).steps_up(page - OVERLAP).unwrap_or(1);
    u32::try_from(pages).unwrap_or(1).clamp(1, 50)
}

/// Crosses in the middle of each overlap, the same on both pages.
fn crosses(window: &Rect, at: (u32, u32), of: (u32, u32)) -> Vec<Shape> {
    let half = OVERLAP.half();
    let mut lefts = Vec::new();
    let mut tops = Vec::new();
    if at.1 > 0 {
        lefts.push(window.left + half);
    }
    if at.1 + 1 < of.1 {
        lefts.push(window.right - half);
    }
    if at.0 > 0 {
        tops.push(window.top + half);
    }
    if at.0 + 1 < of.0 {
        tops.push(window.bottom - half);
    }
    let quarter = |from: Length, to: Length| {
        [(from + to).half() - (to - from).thousandths(300), (from + to).half() + (to - from).thousandths(300)]
    };
    let beside = lefts.iter().flat_map(|x| quarter(window.top, window.bottom).map(|y| (*x, y)));
    let below = tops.iter().flat_map(|y| quarter(window.left, window.right).map(|x| (x, *y)));
    beside.chain(below).flat_map(cross).collect()
}

fn cross((x, y): (Length, Length)) -> [Shape; 2] {
    let arm = Length::mm(4);
    [Shape::line(Kind::Mark, (x - arm, y), (x + arm, y)), Shape::line(Kind::Mark, (x, y - arm), (x, y + arm))]
}

/// Four inches in quarters and a hundred millimetres in tens, one above the other.
fn ruler() -> Vec<Shape> {
    let mut shapes = Vec::new();
    let scales = [
        (Length::mm(9), Length::mils(250), 16, 4, "4 in"),
        (Length::mm(18), Length::mm(10), 10, 5, "100 mm"),
    ];
    for (down, step, count, long, words) in scales {
        let end = step.times(count);
        shapes.push(Shape::line(Kind::Mark, (Length::ZERO, down), (end, down)));
        for tick in 0..=count {
            let rise = if tick % long == 0 { Length::mm(5) } else { Length::mm(3) };
            let x = step.times(tick);
            shapes.push(Shape::line(Kind::Mark, (x, down), (x, down - rise)));
        }
        shapes.push(Shape::Words { at: (end + Length::mm(2), down), words: words.to_owned() });
    }
    shapes
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn pages_cover_the_sheet_and_overlap(width in 20_i32..900, height in 20_i32..900, a4 in any::<bool>()) {
            let sheet = Rect::sized(Length::mm(-37), Length::mm(11), Length::mm(width), Length::mm(height));
            let template = Template { title: String::new(), shapes: vec![], sheet };
            let paper = if a4 { Paper::A4 } else { Paper::Letter };
            let pages = pages(&template, paper);
            let around = Rect::around(pages.iter().map(|page| page.window)).unwrap();
            prop_assert!(around.holds(&sheet));
            for pair in pages.windows(2).filter(|pair| pair[0].place.0 == pair[1].place.0) {
                prop_assert_eq!(pair[0].window.right - pair[1].window.left, OVERLAP);
                // Every cross on the seam is on both pages.
                let shared = pair[0].crosses.iter().filter(|cross| pair[1].crosses.contains(cross)).count();
                prop_assert_eq!(shared, 4);
            }
            // Not one page too many.
            let last = pages.last().unwrap();
            prop_assert!(last.window.left + OVERLAP < sheet.right || last.of.1 == 1);
        }
    }

    #[test]
    fn the_ruler_is_four_inches_and_a_hundred_millimetres_long() {
        // NIST SP 811: 4 in = 101.6 mm.
        let ends: Vec<String> = ruler()
            .iter()
            .filter_map(|shape| match shape {
                Shape::Path { rings, .. } if rings[0][0].1 == rings[0][1].1 => {
                    Some(rings[0][1].0.to_drawing())
                }
                _ => None,
            })
            .collect();
        assert_eq!(ends, ["101.6", "100"]);
    }

    /// The ends of a line, in hundredths of a millimetre.
    fn ends(shape: &Shape) -> Option<[[i64; 2]; 2]> {
        let Shape::Path { rings, .. } = shape else { return None };
        Some([0, 1].map(|end| [rings[0][end].0, rings[0][end].1].map(|at| at.units() / 100)))
    }

    #[test]
    fn pages_meet_at_crosses_in_the_middle_of_their_overlap() {
        let sheet = Rect::sized(Length::mm(1), Length::mm(2), Length::mm(300), Length::mm(300));
        let template = Template { title: String::new(), shapes: vec![], sheet };
        let pages = pages(&template, Paper::Letter);
        let places: Vec<_> = pages.iter().map(|page| (page.place, page.of)).collect();
        let two = (2, 2);
        assert_eq!(places, [((1, 1), two), ((1, 2), two), ((2, 1), two), ((2, 2), two)]);
        // Of 215.9 by 279.4 mm 195.9 by 214.4 are drawn on, and the next begins 10 mm before the end.
        let corners = pages.iter().map(|page| [page.window.left, page.window.top].map(|at| at.units() / 100));
        let corners: Vec<[i64; 2]> = corners.collect();
        assert_eq!(corners, [[100, 200], [18_690, 200], [100, 20_640], [18_690, 20_640]]);
        assert!(pages.iter().all(|page| page.window.width().units() == 1_959_000));
        // Each cross is 8 mm wide and high; two beside, two below.
        let middles = |page: &Page| -> Vec<[i64; 2]> {
            let lines: Vec<[[i64; 2]; 2]> = page.crosses.iter().filter_map(ends).collect();
            let middle = |pair: &[[[i64; 2]; 2]]| {
                let [[left, y], [right, _]] = pair[0];
                let [[x, top], [_, bottom]] = pair[1];
                assert_eq!((x - left, right - x, y - top, bottom - y), (400, 400, 400, 400));
                [x, y]
            };
            lines.chunks(2).map(middle).collect()
        };
        let seam = [[19_190, 4_488], [19_190, 17_352]];
        let foot = [[4_018, 21_140], [15_772, 21_140]];
        assert_eq!(middles(&pages[0]), [seam, foot].concat());
        let shared = |a: usize, b: usize| {
            let there = middles(&pages[b]);
            middles(&pages[a]).into_iter().filter(|cross| there.contains(cross)).count()
        };
        assert_eq!([shared(0, 1), shared(0, 2), shared(1, 3), shared(2, 3), shared(0, 3)], [2, 2, 2, 2, 0]);
        assert!(pages.iter().all(|page| page.crosses.len() == 8));
    }

    #[test]
    fn the_ruler_has_a_longer_tick_at_each_inch_and_each_five_centimetres() {
        let ticks = |down: i64| -> Vec<(i64, i64)> {
            let lines = ruler();
            let lines = lines.iter().filter_map(ends);
            lines
                .filter(|[from, to]| from[0] == to[0] && from[1] == down)
                .map(|[from, to]| (from[0], from[1] - to[1]))
                .collect()
        };
        let inches: Vec<(i64, i64)> =
            (0..=16).map(|at| (635 * at, if at % 4 == 0 { 500 } else { 300 })).collect();
        assert_eq!(ticks(900), inches);
        let tens: Vec<(i64, i64)> =
            (0..=10).map(|at| (1_000 * at, if at % 5 == 0 { 500 } else { 300 })).collect();
        assert_eq!(ticks(1_800), tens);
        let words: Vec<(i64, i64, String)> = ruler()
            .into_iter()
            .filter_map(|shape| match shape {
                Shape::Words { at, words } => Some((at.0.units() / 100, at.1.units() / 100, words)),
                Shape::Path { .. } => None,
            })
            .collect();
        assert_eq!(words, [(10_360, 900, "4 in".to_owned()), (10_200, 1_800, "100 mm".to_owned())]);
    }

    #[test]
    fn what_just_fits_takes_one_page() {
        for paper in Paper::ALL {
            let (width, height) = paper.printed();
            let count = |width: Length, height: Length| {
                let sheet = Rect::sized(Length::ZERO, Length::ZERO, width, height);
                pages(&Template { title: String::new(), shapes: vec![], sheet }, paper).len()
            };
            let hair = Length::of_units(1);
            let height = height - STRIP;
            assert_eq!(
                (count(width, height), count(width + hair, height), count(width, height + hair)),
                (1, 2, 2)
            );
        }
        // Letter: 8.5 by 11 in (ANSI/ASME Y14.1, size A); A4: 210 by 297 mm (ISO 216); from memory.
        assert_eq!(Paper::ALL.map(Paper::word), ["Letter", "A4"]);
        let printed =
            Paper::ALL.map(Paper::printed).map(|(width, height)| (width.to_drawing(), height.to_drawing()));
        assert_eq!(printed, [("195.9", "258.4"), ("190", "276")].map(|(w, h)| (w.to_owned(), h.to_owned())));
    }
}
