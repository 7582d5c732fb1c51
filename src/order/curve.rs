//! Curves: whether a line of letters runs straight or along an arc.

use crate::length::Length;
use serde::{Deserialize, Serialize};

/// How a line runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Curve {
    /// Straight on.
    #[default]
    Straight,
    /// Along an arc whose baseline is so much higher, or lower, in the middle than at its ends.
    Rise(Bend, Length),
    /// Along an arc whose baseline has this radius.
    Radius(Bend, Length),
}

/// Which way an arc bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Bend {
    /// The middle is highest, like a bridge.
    Up,
    /// The middle is lowest, like a bowl.
    Down,
}

impl Curve {
    /// Whether it is no arc.
    pub fn is_straight(&self) -> bool {
        match self {
            Self::Straight => true,
            Self::Rise(_, length) | Self::Radius(_, length) => *length <= Length::ZERO,
        }
    }
}
