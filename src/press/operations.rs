//! Operations: which letters of a garment are pressed together, and where the platen lies for it.
//!
//! Owns what agrees with what on one part of a garment. The order of the work is `sequence`'s.

use crate::layout::Rect;
use crate::layout::garment::keep_off;
use crate::layout::picture::LineOnGarment;
use crate::layout::positions::{KeepOff, Over, Positions, fewest};
use crate::length::Length;
use crate::lists::settings::Platen;
use crate::lists::{BlankSize, FinishId, Lists, Recipe};
use crate::order::{Placement, Side};

/// A part of the garment that lies on the press at one time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Zone {
    /// Front or back of the body.
    Body(Side),
    /// The wearer's left sleeve.
    LeftSleeve,
    /// The wearer's right sleeve.
    RightSleeve,
}

impl Zone {
    /// Every part, in the order of the work where nothing else decides.
    pub const ALL: [Self; 4] =
        [Self::Body(Side::Front), Self::Body(Side::Back), Self::LeftSleeve, Self::RightSleeve];

    /// The part that a placement is on.
    pub fn of(placement: Placement) -> Self {
        match placement {
            Placement::LeftSleeve => Self::LeftSleeve,
            Placement::RightSleeve => Self::RightSleeve,
            other => Self::Body(other.side()),
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Body(side) => side.word(),
            Self::LeftSleeve => "left sleeve",
            Self::RightSleeve => "right sleeve",
        }
    }
}

/// One closing of the press, or the closings on letters larger than the platen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Operation {
    /// The part of the garment that lies up.
    pub zone: Zone,
    /// What is pressed.
    pub finishes: Vec<FinishId>,
    /// How.
    pub recipe: Recipe,
    /// Where the platen lies; `None` for letters larger than it, which are pressed in parts.
    pub platen: Option<Rect>,
    /// How often the press closes: more than once for letters in parts only.
    pub closings: u32,
    /// The letters that are pressed whole by it, each as line and letter.
    pub letters: Vec<(usize, usize)>,
    /// The extents of all letters on this part of the garment that come with its finishes and lie
    /// under it for the first time.
    pub boxes: Vec<Rect>,
    /// What the platen lies over that it had better not.
    pub over: Over,
    /// Whether it is proven that no fewer closings will do.
    pub is_proven: bool,
}

impl Operation {
    /// Whether this one's platen comes down on letters of another, from above or, on the body,
    /// through the garment.
    pub fn presses(&self, other: &Self) -> bool {
        let through = match (self.zone, other.zone) {
            (a, b) if a == b => false,
            (Zone::Body(_), Zone::Body(_)) => true,
            _ => return false,
        };
        let Some(platen) = self.platen else {
            return true;
        };
        let platen = if through { platen.turned_over() } else { platen };
        other.boxes.iter().any(|letter| platen.meets(letter))
    }
}

/// The operations of one garment, part by part of it, in no order that matters.
///
/// Finishes on one part are pressed together where their recipes agree; of all ways to put them
/// together, the one with the fewest closings.
pub fn operations(
    lines: &[LineOnGarment],
    size: &BlankSize,
    buttons: Option<Length>,
    lists: &Lists,
    platen: &Platen,
) -> Vec<Operation> {
    let mut found = Vec::new();
    for zone in Zone::ALL {
        let here: Vec<&LineOnGarment> =
            lines.iter().filter(|line| Zone::of(line.placement) == zone).collect();
        if here.is_empty() {
            continue;
        }
        let off = match zone {
            Zone::Body(side) => keep_off(size, side, buttons),
            _ => KeepOff::default(),
        };
        let groups = fewest_groups(batches(&here, lists), &|batch| fewest(&batch.boxes(), platen, &off));
        for (batch, positions) in groups {
            found.extend(batch.operations(zone, positions));
        }
    }
    found
}

/// Lines that are pressed together.
#[derive(Clone)]
struct Batch<'a> {
    finishes: Vec<FinishId>,
    recipe: Recipe,
    lines: Vec<&'a LineOnGarment>,
}

/// The lines by their finish, in the order of the design.
fn batches<'a>(lines: &[&'a LineOnGarment], lists: &Lists) -> Vec<Batch<'a>> {
    let mut found: Vec<Batch> = Vec::new();
    for line in lines {
        match found.iter_mut().find(|batch| batch.finishes[0] == line.finish) {
            Some(batch) => batch.lines.push(line),
            None => found.push(Batch {
                finishes: vec![line.finish.clone()],
                recipe: lists.finish(&line.finish).map_or_else(Recipe::usual, |finish| finish.recipe.clone()),
                lines: vec![line],
            }),
        }
    }
    found
}

/// The most finishes on one part of a garment of which every way of pressing them together is tried.
const MOST_TRIED: usize = 5;

type Placed<'a> = Vec<(Batch<'a>, Positions)>;

/// Of all ways to put batches together that agree, the one with the fewest closings.
fn fewest_groups<'a>(batches: Vec<Batch<'a>>, place: &dyn Fn(&Batch) -> Positions) -> Placed<'a> {
    let closings = |placed: &Placed| placed.iter().map(|(_, found)| u64::from(found.closings())).sum::<u64>();
    let placed = |groups: Vec<Batch<'a>>| -> Placed<'a> {
        groups
            .into_iter()
            .map(|batch| {
                let found = place(&batch);
                (batch, found)
            })
            .collect()
    };
    let agree = batches
        .iter()
        .enumerate()
        .any(|(at, one)| batches[..at].iter().any(|other| one.recipe.together(&other.recipe).is_some()));
    if !agree || batches.len() > MOST_TRIED {
        return placed(batches);
    }
    let mut all: Vec<Vec<Batch>> = vec![vec![]];
    for batch in batches {
        all = all.into_iter().flat_map(|groups| with_one_more(&groups, &batch)).collect();
    }
    // Fewer groups come first where closings are equal.
    all.sort_by_key(Vec::len);
    all.into_iter().map(placed).min_by_key(closings).unwrap_or_default()
}

/// Every way to add a batch to groups: to each that it agrees with, or by itself.
fn with_one_more<'a>(groups: &[Batch<'a>], batch: &Batch<'a>) -> Vec<Vec<Batch<'a>>> {
    let mut ways: Vec<Vec<Batch>> = Vec::new();
    for (at, group) in groups.iter().enumerate() {
        if let Some(recipe) = group.recipe.together(&batch.recipe) {
            let mut way = groups.to_vec();
            way[at].recipe = recipe;
            way[at].finishes.extend(batch.finishes.iter().cloned());
            way[at].lines.extend(batch.lines.iter().copied());
            ways.push(way);
        }
    }
    ways.push(groups.iter().chain([batch]).cloned().collect());
    ways
}

impl Batch<'_> {
    /// Each letter's number within its line and its extent, line by line.
    fn letters(&self) -> impl Iterator<Item = ((usize, usize), Rect)> {
        self.lines.iter().flat_map(|line| {
            line.letters.iter().enumerate().map(|(at, letter)| ((line.line, at), letter.bounds))
        })
    }

    fn boxes(&self) -> Vec<Rect> {
        self.letters().map(|(_, bounds)| bounds).collect()
    }

    fn operations(&self, zone: Zone, positions: Positions) -> Vec<Operation> {
        let letters: Vec<((usize, usize), Rect)> = self.letters().collect();
        let operation = |platen, closings, of: Vec<usize>| Operation {
            zone,
            finishes: self.finishes.clone(),
            recipe: self.recipe.clone(),
            platen,
            closings,
            letters: of.iter().map(|at| letters[*at].0).collect(),
            boxes: of.iter().map(|at| letters[*at].1).collect(),
            over: positions.over,
            is_proven: positions.is_proven,
        };
        let whole: Vec<usize> =
            positions.places.iter().flat_map(|place| place.letters.iter().copied()).collect();
        let in_parts = (0..letters.len()).filter(|at| !whole.contains(at)).collect();
        let parts = (positions.in_parts > 0).then(|| operation(None, positions.in_parts, in_parts));
        let places =
            positions.places.iter().map(|place| operation(Some(place.platen), 1, place.letters.clone()));
        places.chain(parts).collect()
    }
}
