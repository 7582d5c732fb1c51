//! The built-in block alphabet: the outlines of its letters, digits and marks.
//!
//! Owns the drawings and nothing else: never a size in inches, never where a letter goes.
//!
//! The grid: the cap height is 1000 units, the baseline is at y = 0 and y grows upward; x runs
//! from 0 at the left edge of the ink to `width` at its right edge, so no space around a letter
//! is included. Accents rise to 1280, the cedilla and the comma reach down to -220. Rings are
//! filled by the even-odd rule; as outer rings also run counter-clockwise and holes clockwise,
//! the non-zero rule gives the same picture.
//!
//! Vertical stems are 210 units and horizontal bars about 200; a corner is cut 180 outside and 60
//! inside at 45 degrees, which keeps the stroke at 205 around it. The drawing is the project's
//! own, made on this grid, and its widths are an estimate of what cut letters measure. `#`, `*`,
//! `@`, `&` and the accents are drawn lighter.

mod table;

use table::OUTLINES;

/// Units from the baseline to the top of a capital or a digit.
pub const CAP_HEIGHT: i32 = 1000;

/// One drawn glyph.
#[derive(Debug)]
pub struct Outline {
    /// What is drawn: one character in composed form (NFC), letters as capitals.
    pub glyph: &'static str,
    /// Width of the ink in units of the grid.
    pub width: i32,
    /// Closed polygons, outer rings and holes; the last point joins the first without repeating it.
    pub rings: &'static [&'static [(i32, i32)]],
}

/// The drawing of a glyph, or nothing when the alphabet lacks it.
///
/// The glyph is looked up as it stands, so small letters and decomposed accents are not found.
///
/// ```
/// use lettertally::layout::alphabet::outline;
/// assert_eq!(outline("I").map(|found| found.width), Some(210));
/// assert!(outline("i").is_none());
/// ```
pub fn outline(glyph: &str) -> Option<&'static Outline> {
    let place = OUTLINES.binary_search_by(|held| held.glyph.cmp(glyph)).ok()?;
    OUTLINES.get(place)
}

/// Every glyph of the alphabet, in the order of their UTF-8 bytes.
pub fn outlines() -> &'static [Outline] {
    OUTLINES
}

#[cfg(test)]
mod tests {
    use super::*;

    type Point = (i32, i32);

    /// The glyphs with strokes that slant otherwise than at 45 degrees.
    const SLANTED: &str = "AKMNVWXYZ47/&*ÄÅÑÉ";

    /// The glyphs that must rest on the baseline and reach the cap height exactly.
    const PLAIN: &str = "ABCDEFGHIJKLMNOPRSTUVWXYZ0123456789";

    fn edges(ring: &[Point]) -> Vec<(Point, Point)> {
        ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)).collect()
    }

    fn points(outline: &Outline) -> impl Iterator<Item = Point> {
        outline.rings.iter().flat_map(|ring| ring.iter().copied())
    }

    /// Twice the signed area: positive when counter-clockwise.
    fn doubled_area(ring: &[Point]) -> i32 {
        edges(ring).iter().map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum()
    }

    /// The side of the line from `a` to `b` that `p` is on: -1, 0 (on the line) or 1.
    fn side(a: Point, b: Point, p: Point) -> i32 {
        ((b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)).signum()
    }

    fn in_box(a: Point, b: Point, p: Point) -> bool {
        (a.0.min(b.0)..=a.0.max(b.0)).contains(&p.0) && (a.1.min(b.1)..=a.1.max(b.1)).contains(&p.1)
    }

    /// Whether two closed segments share any point.
    fn meet((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
        let sides = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
        (sides[0] != sides[1] && sides[2] != sides[3])
            || (sides[0] == 0 && in_box(a, b, c))
            || (sides[1] == 0 && in_box(a, b, d))
            || (sides[2] == 0 && in_box(c, d, a))
            || (sides[3] == 0 && in_box(c, d, b))
    }

    /// Whether an even number of rings other than `skip` lies around the point.
    fn outside_others(outline: &Outline, skip: usize, p: Point) -> bool {
        let mut outside = true;
        for (_, ring) in outline.rings.iter().enumerate().filter(|(index, _)| *index != skip) {
            for (a, b) in edges(ring) {
                let (low, high) = if a.1 < b.1 { (a, b) } else { (b, a) };
                if (low.1..high.1).contains(&p.1) && side(low, high, p) > 0 {
                    outside = !outside;
                }
            }
        }
        outside
    }

    #[test]
    fn sorted_without_repeats() {
        assert!(outlines().windows(2).all(|pair| pair[0].glyph < pair[1].glyph));
    }

    #[test]
    fn all_promised_glyphs_are_there() {
        let promised = ('A'..='Z').chain('0'..='9').chain("&.,-'!?#+/:()@*ÄÖÜÑÉÅÇ".chars());
        let mut count = 0;
        for glyph in promised {
            let found = outline(&glyph.to_string()).unwrap_or_else(|| panic!("no {glyph}"));
            assert_eq!(found.glyph, glyph.to_string());
            count += 1;
        }
        assert_eq!(count, outlines().len());
        assert!(["", "a", "~", "AB", "A\u{308}"].iter().all(|glyph| outline(glyph).is_none()));
    }

    #[test]
    fn rings_are_sound() {
        for outline in outlines() {
            assert!(!outline.rings.is_empty(), "{}", outline.glyph);
            for (index, ring) in outline.rings.iter().enumerate() {
                assert!(ring.len() >= 3, "{} ring {index}", outline.glyph);
                assert_ne!(doubled_area(ring), 0, "{} ring {index}", outline.glyph);
                assert!(edges(ring).iter().all(|(a, b)| a != b), "{} ring {index}", outline.glyph);
                let outer = outside_others(outline, index, ring[0]);
                assert_eq!(doubled_area(ring) > 0, outer, "{} ring {index} turns wrongly", outline.glyph);
            }
        }
    }

    #[test]
    fn ink_fills_the_width() {
        for outline in outlines() {
            assert_eq!(points(outline).map(|p| p.0).min(), Some(0), "{}", outline.glyph);
            assert_eq!(points(outline).map(|p| p.0).max(), Some(outline.width), "{}", outline.glyph);
        }
    }

    #[test]
    fn ink_keeps_its_heights() {
        for outline in outlines() {
            let low = points(outline).map(|p| p.1).min().unwrap();
            let high = points(outline).map(|p| p.1).max().unwrap();
            assert!(low >= -220 && high <= 1280, "{}", outline.glyph);
            if PLAIN.contains(outline.glyph) {
                assert_eq!((low, high), (0, CAP_HEIGHT), "{}", outline.glyph);
            } else if outline.glyph.chars().all(char::is_alphabetic) {
                assert!(low <= 0 && high >= CAP_HEIGHT, "{}", outline.glyph);
            }
        }
    }

    #[test]
    fn edges_only_touch_their_neighbours() {
        for outline in outlines() {
            let all: Vec<(usize, usize, usize, (Point, Point))> = outline
                .rings
                .iter()
                .enumerate()
                .flat_map(|(r, ring)| {
                    edges(ring).into_iter().enumerate().map(move |(e, edge)| (r, e, ring.len(), edge))
                })
                .collect();
            for (at, &(ring, first, len, edge)) in all.iter().enumerate() {
                for &(other_ring, second, _, other) in &all[at + 1..] {
                    let neighbours = (first + 1) % len == second || (second + 1) % len == first;
                    if ring != other_ring || !neighbours {
                        assert!(!meet(edge, other), "{}: {edge:?} meets {other:?}", outline.glyph);
                    }
                }
            }
        }
    }

    #[test]
    fn every_point_is_a_turn() {
        for outline in outlines() {
            for ring in outline.rings {
                for ((a, b), c) in edges(ring).into_iter().zip(ring.iter().copied().cycle().skip(2)) {
                    assert_ne!(side(a, b, c), 0, "{}: no turn at {b:?}", outline.glyph);
                }
            }
        }
    }

    #[test]
    fn crossing_edges_are_noticed() {
        assert!(meet(((0, 0), (10, 10)), ((0, 10), (10, 0))));
        assert!(meet(((0, 0), (10, 0)), ((5, 0), (5, 10))));
        assert!(meet(((0, 0), (10, 0)), ((10, 0), (20, 0))));
        assert!(!meet(((0, 0), (10, 0)), ((11, 0), (20, 0))));
        assert!(!meet(((0, 0), (10, 0)), ((0, 1), (10, 1))));
    }

    #[test]
    fn only_chosen_glyphs_slant() {
        for outline in outlines() {
            let slants = outline.rings.iter().flat_map(|ring| edges(ring)).any(|(a, b)| {
                let (run, rise) = ((b.0 - a.0).abs(), (b.1 - a.1).abs());
                run != 0 && rise != 0 && run != rise
            });
            assert_eq!(slants, SLANTED.contains(outline.glyph), "{}", outline.glyph);
        }
    }
}
