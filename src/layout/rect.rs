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
