//! Placements: where lettering goes on a garment.

use serde::{Deserialize, Serialize};

/// Where a line goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Placement {
    /// High on the back, from shoulder to shoulder.
    AcrossShoulders,
    /// Between the shoulder blades.
    UpperBack,
    /// The middle of the back, where a large number goes.
    MiddleBack,
    /// Low on the back, above the hem.
    LowerBack,
    /// Over the whole chest.
    AcrossChest,
    /// Small, over the heart.
    LeftChest,
    /// Small, opposite the heart.
    RightChest,
    /// On the wearer's left sleeve.
    LeftSleeve,
    /// On the wearer's right sleeve.
    RightSleeve,
}

/// A side of the garment that lies up on the press.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Side {
    /// Chest and sleeves.
    Front,
    /// Shoulders and back.
    Back,
}

impl Side {
    /// Both sides, in the order of a picture.
    pub const ALL: [Self; 2] = [Self::Front, Self::Back];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
        }
    }
}

impl Placement {
    /// Every placement, in the order of a choice.
    pub const ALL: [Self; 9] = [
        Self::AcrossShoulders,
        Self::UpperBack,
        Self::MiddleBack,
        Self::LowerBack,
        Self::AcrossChest,
        Self::LeftChest,
        Self::RightChest,
        Self::LeftSleeve,
        Self::RightSleeve,
    ];

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::AcrossShoulders => "across the shoulders",
            Self::UpperBack => "upper back",
            Self::MiddleBack => "middle of the back",
            Self::LowerBack => "lower back",
            Self::AcrossChest => "across the chest",
            Self::LeftChest => "left chest",
            Self::RightChest => "right chest",
            Self::LeftSleeve => "left sleeve",
            Self::RightSleeve => "right sleeve",
        }
    }

    /// The name in a link: "left-chest".
    pub fn link_name(self) -> &'static str {
        match self {
            Self::AcrossShoulders => "shoulders",
            Self::UpperBack => "upper-back",
            Self::MiddleBack => "middle-back",
            Self::LowerBack => "lower-back",
            Self::AcrossChest => "chest",
            Self::LeftChest => "left-chest",
            Self::RightChest => "right-chest",
            Self::LeftSleeve => "left-sleeve",
            Self::RightSleeve => "right-sleeve",
        }
    }

    /// The side of the garment that must lie up to press it.
    pub fn side(self) -> Side {
        match self {
            Self::AcrossShoulders | Self::UpperBack | Self::MiddleBack | Self::LowerBack => Side::Back,
            _ => Side::Front,
        }
    }
}
