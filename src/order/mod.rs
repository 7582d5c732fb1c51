//! Orders: designs, their lines at placements, and who gets which size.
//!
//! Owns what was entered for an order, exactly as entered: a pasted roster stays the text
//! that was pasted, and its rows are read from it. Never looks at prices.

pub mod curve;
pub mod fresh;
pub mod placement;
pub mod roster;
pub mod tag;
pub mod wording;

pub use curve::{Bend, Curve};
pub use placement::{Placement, Side};
pub use roster::{Person, Roster, RowFault};
pub use tag::Tag;
pub use wording::{Part, Wording};

use crate::glyph::{self, Glyph, Sign};
use crate::length::Length;
use crate::lists::settings::Aim;
use crate::lists::{Blank, BlankId, Caps, ColourId, Family, FinishId, Lists, StyleId, id};
use serde::{Deserialize, Serialize};

id! {
    /// Names an order on this device.
    OrderId
}

/// What one customer wants.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Order {
    /// Its id.
    pub id: OrderId,
    /// What the shop calls it: the customer, the team.
    pub title: String,
    /// The day it was begun, as year-month-day.
    pub date: String,
    /// The garments with what goes on them.
    pub designs: Vec<Design>,
    /// Letters that are pressed in place of those in the texts.
    #[serde(default)]
    pub swaps: Vec<Swap>,
    /// What this order's price aims at, where it is not the shop's usual aim.
    #[serde(default)]
    pub aim: Option<Aim>,
}

/// A letter that is pressed as another, or left out, all over an order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Swap {
    /// The letter in the texts.
    pub from: Glyph,
    /// The letter pressed in its place; `None` leaves it out.
    pub to: Option<Glyph>,
}

/// A blank with lines at placements, and how many of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Design {
    /// The garment.
    pub blank: BlankId,
    /// What goes on it.
    pub lines: Vec<Line>,
    /// Which of the two lists below counts.
    pub count_by: CountBy,
    /// How many of each size, where sizes count.
    #[serde(default)]
    pub sizes: Vec<SizeCount>,
    /// The people, as typed or pasted, where the roster counts.
    #[serde(default)]
    pub roster: String,
}

/// Where a design's number of garments comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CountBy {
    /// From a number per size.
    Sizes,
    /// From a list of people.
    Roster,
}

/// So many garments of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SizeCount {
    /// The size's name on the blank.
    pub size: String,
    /// How many.
    pub count: u16,
}

/// One line of lettering at one placement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Where it goes.
    pub placement: Placement,
    /// What it says.
    pub text: Wording,
    /// The cap height of its letters.
    pub height: Length,
    /// What the letters are made of.
    pub finish: FinishId,
    /// Their colour.
    pub colour: ColourId,
    /// The shape of the alphabet.
    pub style: StyleId,
    /// Whether it runs straight or along an arc.
    #[serde(default, skip_serializing_if = "Curve::is_straight")]
    pub curve: Curve,
    /// Where it is too wide, its letters are set closer until it fits, down to this gap; `None`
    /// leaves it as wide as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closest: Option<Caps>,
}

impl Line {
    /// The family that its letters come from.
    pub fn family(&self) -> Family {
        Family {
            finish: self.finish.clone(),
            height: self.height,
            colour: self.colour.clone(),
            style: self.style.clone(),
        }
    }
}

/// Garments of a design that are alike: one person's, or one size's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// Whose they are, where a roster counts.
    pub person: Option<Person>,
    /// The size's name.
    pub size: String,
    /// How many, at least one.
    pub count: u32,
}

impl Group {
    /// The name to put on the garment; empty without a roster.
    pub fn name(&self) -> &str {
        self.person.as_ref().map_or("", |person| &person.name)
    }

    /// The number to put on the garment; empty without a roster.
    pub fn number(&self) -> &str {
        self.person.as_ref().map_or("", |person| &person.number)
    }

    /// What tells these garments from the others of the order, as garments of this design.
    pub fn tag(&self, design: usize) -> Tag {
        Tag {
            design: u16::try_from(design).unwrap_or(u16::MAX),
            name: self.name().trim().to_owned(),
            number: self.number().trim().to_owned(),
            size: self.size.clone(),
        }
    }
}

/// A design read against the lists: its people, and its garments in groups that are alike.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reading {
    /// The roster as far as it can be read; empty where sizes count.
    pub roster: Roster,
    /// The garments, in the order of the roster or of the sizes. Rows at fault are not among them.
    pub groups: Vec<Group>,
}

impl Reading {
    /// How many garments.
    pub fn garments(&self) -> u64 {
        self.groups.iter().map(|group| u64::from(group.count)).sum()
    }
}

impl Design {
    /// Reads who gets what; sizes are those of the blank, where it is still on the lists.
    pub fn read(&self, blank: Option<&Blank>) -> Reading {
        match self.count_by {
            CountBy::Sizes => Reading { roster: Roster::default(), groups: self.groups_by_size() },
            CountBy::Roster => {
                let roster = roster::read(&self.roster, blank);
                let groups = roster.people.iter().map(Group::of_person).collect();
                Reading { roster, groups }
            }
        }
    }

    fn groups_by_size(&self) -> Vec<Group> {
        let ordered = self.sizes.iter().filter(|entry| entry.count > 0);
        ordered
            .map(|entry| Group { person: None, size: entry.size.clone(), count: u32::from(entry.count) })
            .collect()
    }
}

impl Group {
    fn of_person(person: &Person) -> Self {
        Self { size: person.size.clone(), count: u32::from(person.quantity), person: Some(person.clone()) }
    }
}

impl Order {
    /// Reads every design, in order.
    pub fn read(&self, lists: &Lists) -> Vec<Reading> {
        self.designs.iter().map(|design| design.read(lists.blank(&design.blank))).collect()
    }

    /// What the shop calls it: its title, else its first words, else "untitled".
    pub fn called(&self) -> &str {
        let texts = self.designs.iter().flat_map(|design| &design.lines).map(|line| line.text.as_str());
        let names = [self.title.as_str()].into_iter().chain(texts);
        names.map(str::trim).find(|name| !name.is_empty()).unwrap_or("untitled")
    }

    /// Whether nothing has been said yet of what goes on its garments. A garment from which every
    /// line was taken is meant to stay bare.
    pub fn is_only_begun(&self) -> bool {
        let mut lines = self.designs.iter().flat_map(|design| &design.lines);
        let any_bare = self.designs.iter().any(|design| design.lines.is_empty());
        !any_bare && lines.all(|line| line.text.as_str().trim().is_empty())
    }

    /// What is pressed for this glyph of the texts: itself, another, or nothing.
    pub fn pressed(&self, glyph: Glyph) -> Option<Glyph> {
        match self.swaps.iter().find(|swap| swap.from == glyph) {
            Some(swap) => swap.to.clone(),
            None => Some(glyph),
        }
    }

    /// The signs of a line on one garment, after the order's swaps.
    pub fn signs(&self, line: &Line, group: &Group) -> Vec<Sign> {
        let text = line.text.for_person(group.name(), group.number());
        let pressed = |sign| match sign {
            Sign::Space => Some(Sign::Space),
            Sign::Glyph(glyph) => self.pressed(glyph).map(Sign::Glyph),
        };
        glyph::signs(&text).into_iter().filter_map(pressed).collect()
    }
}
