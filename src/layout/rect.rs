//! Rectangles on a garment: across from its centre line, down from the top of the shoulder.

use crate::length::Length;

/// A rectangle with its sides across and down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Rect {
    /// Its left side, across.
    pub left: Length,
    /// Its upper side, down.
    pub top: Length,
    /// Its right side, across.
    pub right: Length,
    /// Its lower side, down.
    pub bottom: Length,
}

impl Rect {
    /// The rectangle with this corner and size.
    pub fn sized(left: Length, top: Length, width: Length, height: Length) -> Self {
        Self { left, top, right: left + width, bottom: top + height }
    }

    /// How wide it is.
    pub fn width(&self) -> Length {
        self.right - self.left
    }

    /// How high it is.
    pub fn height(&self) -> Length {
        self.bottom - self.top
    }

    /// Its middle, across and down.
    pub fn middle(&self) -> (Length, Length) {
        ((self.left + self.right).half(), (self.top + self.bottom).half())
    }

    /// Whether another lies wholly in it; sides may touch.
    pub fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && other.right <= self.right
            && other.bottom <= self.bottom
    }

    /// Whether the two have more than sides in common.
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Larger by a margin on every side.
    #[must_use]
    pub fn grown(&self, margin: Length) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// Moved across and down.
    #[must_use]
    pub fn moved(&self, across: Length, down: Length) -> Self {
        Self {
            left: self.left + across,
            top: self.top + down,
            right: self.right + across,
            bottom: self.bottom + down,
        }
    }

    /// As it lies when the garment is turned over.
    #[must_use]
    pub fn turned_over(&self) -> Self {
        Self { left: Length::ZERO - self.right, right: Length::ZERO - self.left, ..*self }
    }

    /// The smallest one around all of these; `None` around none.
    pub fn around(rects: impl IntoIterator<Item = Self>) -> Option<Self> {
        rects.into_iter().reduce(|a, b| Self {
            left: a.left.min(b.left),
            top: a.top.min(b.top),
            right: a.right.max(b.right),
            bottom: a.bottom.max(b.bottom),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Its sides in millimetres: left, top, right, bottom.
    fn rect([left, top, right, bottom]: [i32; 4]) -> Rect {
        let [left, top, right, bottom] = [left, top, right, bottom].map(Length::mm);
        Rect { left, top, right, bottom }
    }

    #[test]
    fn one_holds_what_touches_its_sides_and_nothing_beyond_them() {
        let frame = [10, 20, 30, 50];
        assert!(rect(frame).holds(&rect(frame)));
        for (side, out) in [(0, -1), (1, -1), (2, 1), (3, 1)] {
            let (mut larger, mut smaller) = (frame, frame);
            larger[side] += out;
            smaller[side] -= out;
            assert!(!rect(frame).holds(&rect(larger)), "{larger:?}");
            assert!(rect(frame).holds(&rect(smaller)), "{smaller:?}");
        }
    }

    #[test]
    fn two_meet_where_they_have_more_than_sides_in_common() {
        let frame = rect([10, 20, 30, 50]);
        for (across, down, meet) in [
            (19, 0, true),
            (20, 0, false),
            (21, 0, false),
            (-19, 0, true),
            (-20, 0, false),
            (0, 29, true),
            (0, 30, false),
            (0, -29, true),
            (0, -30, false),
            (0, -31, false),
            (19, 29, true),
            (19, 31, false),
            (21, 29, false),
            (-19, -29, true),
            (-21, -29, false),
            (-19, -31, false),
        ] {
            let other = frame.moved(Length::mm(across), Length::mm(down));
            assert_eq!(frame.meets(&other), meet, "{across} {down}");
        }
    }

    #[test]
    fn its_middle_and_what_lies_around_it() {
        let frame = rect([-10, 20, 30, 50]);
        assert_eq!(frame.middle(), (Length::mm(10), Length::mm(35)));
        assert_eq!((frame.width(), frame.height()), (Length::mm(40), Length::mm(30)));
        assert_eq!(frame.grown(Length::mm(5)), rect([-15, 15, 35, 55]));
        assert_eq!(frame.moved(Length::mm(1), Length::mm(-2)), rect([-9, 18, 31, 48]));
        assert_eq!(frame.turned_over(), rect([-30, 20, 10, 50]));
        let others = [rect([0, 0, 1, 60]), rect([-20, 30, 0, 31]), rect([5, 5, 40, 6])];
        assert_eq!(Rect::around(others), Some(rect([-20, 0, 40, 60])));
        assert_eq!(Rect::around([]), None);
    }
}
