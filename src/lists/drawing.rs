//! Drawings: the outlines of letters, as a font has them.
//!
//! A letter is drawn by rings of straight edges, short enough that the eye takes them for curves, in
//! whole thousandths of the cap height. Owns the form in which they are kept, and how much of them.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A point in thousandths of the cap height: across from where the letter begins, up from its baseline.
pub type Point = (i32, i32);

/// The outline of a letter, filled by the non-zero rule.
///
/// ```
/// use lettertally::lists::drawing::Drawing;
/// let bar = Drawing::new(300, vec![vec![(50, 0), (250, 0), (250, 1000), (50, 1000)]]).unwrap();
/// let text = serde_json::to_string(&bar).unwrap();
/// assert_eq!(text, "\"300;50 0 250 0 250 1000 50 1000\"");
/// assert_eq!(serde_json::from_str::<Drawing>(&text).unwrap(), bar);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    width: i32,
    rings: Vec<Vec<Point>>,
}

impl Drawing {
    /// The most points of one letter.
    pub const MOST_POINTS: usize = 2_000;
    /// How far a point may lie from where the letter begins.
    pub const FARTHEST: i32 = 20_000;

    /// A drawing of a letter so wide; `None` without a ring, or with more than is kept.
    pub fn new(width: i32, rings: Vec<Vec<Point>>) -> Option<Self> {
        let near = |&(x, y): &Point| x.abs() <= Self::FARTHEST && y.abs() <= Self::FARTHEST;
        let drawing = Self { width, rings };
        let is_whole = !drawing.rings.is_empty() && drawing.rings.iter().all(|ring| ring.len() > 2);
        let is_near = (1..=Self::FARTHEST).contains(&width) && drawing.rings.iter().flatten().all(near);
        (is_whole && is_near && drawing.points() <= Self::MOST_POINTS).then_some(drawing)
    }

    /// The width that the letter takes, which is its ink's and some space at either side.
    pub fn width(&self) -> i32 {
        self.width
    }

    /// The rings; the last point of each joins the first.
    pub fn rings(&self) -> &[Vec<Point>] {
        &self.rings
    }

    /// How many points it has.
    pub fn points(&self) -> usize {
        self.rings.iter().map(Vec::len).sum()
    }

    fn read(text: &str) -> Option<Self> {
        let mut parts = text.split(';');
        let width = parts.next()?.parse().ok()?;
        let ring = |text: &str| {
            let numbers: Vec<i32> = text.split(' ').map(str::parse).collect::<Result<_, _>>().ok()?;
            let points = numbers.chunks_exact(2);
            points.remainder().is_empty().then(|| points.map(|point| (point[0], point[1])).collect())
        };
        Self::new(width, parts.map(ring).collect::<Option<_>>()?)
    }
}

impl Serialize for Drawing {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut text = self.width.to_string();
        for ring in &self.rings {
            let points = ring.iter().map(|(x, y)| format!("{x} {y}"));
            text.push(';');
            text.push_str(&points.collect::<Vec<_>>().join(" "));
        }
        serializer.serialize_str(&text)
    }
}

impl<'de> Deserialize<'de> for Drawing {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::read(&text).ok_or_else(|| serde::de::Error::custom("expected the outline of a letter"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_no_outline_is_refused() {
        for text in [
            "",
            "300",
            "300;",
            "300;1 2 3",
            "300;1 2 3 4",
            "0;0 0 1 0 1 1",
            "300;0 0 1 0 1 20001",
            "300;0 0  1 0 1 1",
        ] {
            assert_eq!(Drawing::read(text), None, "{text}");
        }
        let many = vec![(0, 0); Drawing::MOST_POINTS + 1];
        assert_eq!(Drawing::new(300, vec![many]), None);
    }

    proptest! {
        #[test]
        fn a_drawing_reads_back(
            width in 1..Drawing::FARTHEST,
            rings in prop::collection::vec(prop::collection::vec((-900_i32..2_000, -900_i32..2_000), 3..20), 1..4),
        ) {
            let drawing = Drawing::new(width, rings).unwrap();
            let text = serde_json::to_string(&drawing).unwrap();
            prop_assert_eq!(serde_json::from_str::<Drawing>(&text).unwrap(), drawing);
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "[0-9; -]{0,40}") {
            let _ = Drawing::read(&text);
        }
    }
}
