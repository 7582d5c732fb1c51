//! The buying problem and its plan, by index: suppliers, families, ways to buy.
//!
//! Owns the meaning of every figure and the refusal of figures that cannot be right or
//! could leave the range of the arithmetic. Knows nothing of how a plan is found.

use std::fmt;

/// The largest count accepted for one glyph, one set's content or one quantity break.
pub const LARGEST_COUNT: u32 = 100_000;
/// The largest amount of cents accepted for a price, a freight step or a minimum.
pub const LARGEST_CENTS: i64 = 1_000_000_000;
/// The largest cost, in cents, that a whole problem may be able to reach.
pub const LARGEST_TOTAL: i64 = 1 << 34;
/// The most suppliers in one problem.
pub const MOST_SUPPLIERS: usize = 8;
/// The most ways to buy single glyphs of one family.
pub const MOST_WAYS: usize = 60;
/// The most glyphs in one family.
pub const MOST_GLYPHS: usize = 1_000;

/// One step of a supplier's freight: what shipping costs from a merchandise subtotal on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// The least subtotal at which this step applies.
    pub from: i64,
    /// What shipping costs, in cents.
    pub cents: i64,
}

/// Someone who sells letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Supplier {
    /// Freight by subtotal, ascending; the last step not above the subtotal applies if
    /// anything is bought here. Below the first step, and with no step, freight is nothing.
    pub freight: Vec<Step>,
    /// The least subtotal that is accepted if anything is bought here; 0 for none.
    pub min_order: i64,
}

/// Letters that stand in for each other, with what is still needed of each.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Family {
    /// Net need per glyph index: demand and wanted shelf level minus what is on the shelf.
    pub need: Vec<u32>,
}

/// One all-units price: from so many units on, every unit costs this.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tier {
    /// The least number of units; 1 for the first tier.
    pub from: u32,
    /// Cents per unit.
    pub cents: i64,
}

/// What one unit of a way holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unit {
    /// `n` pieces of one glyph that the buyer chooses (a piece, or a pack).
    Same {
        /// Pieces per unit.
        n: u32,
        /// The only glyphs sold this way; `None` for every glyph of the family.
        glyphs: Option<Vec<usize>>,
    },
    /// A fixed mix: pairs of glyph index and pieces.
    Mix(Vec<(usize, u32)>),
}

/// One line of a price list: a way to buy letters of one family from one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// Index of the supplier.
    pub supplier: usize,
    /// Index of the family.
    pub family: usize,
    /// What one unit holds.
    pub unit: Unit,
    /// All-units prices, ascending by `from`.
    pub tiers: Vec<Tier>,
    /// The most units that the supplier has; `None` for no limit.
    pub at_most: Option<u32>,
    /// Ways with the same number here share one count for their quantity breaks;
    /// `None` counts this way alone.
    pub group: Option<usize>,
}

impl Way {
    /// Pieces in one unit.
    pub fn pieces(&self) -> u32 {
        match &self.unit {
            Unit::Same { n, .. } => *n,
            Unit::Mix(contents) => contents.iter().map(|&(_, count)| count).sum(),
        }
    }

    /// The price of one unit when `units` count towards the break (at least one).
    pub fn price(&self, units: u64) -> i64 {
        let reached = self.tiers.iter().rev().find(|tier| u64::from(tier.from) <= units);
        reached.or(self.tiers.first()).map_or(0, |tier| tier.cents)
    }

    /// Whether a unit of this way can be chosen to hold this glyph.
    pub fn sells(&self, glyph: usize) -> bool {
        match &self.unit {
            Unit::Same { glyphs: Some(only), .. } => only.contains(&glyph),
            Unit::Same { glyphs: None, .. } => true,
            Unit::Mix(contents) => contents.iter().any(|&(held, count)| held == glyph && count > 0),
        }
    }
}

impl Supplier {
    /// Freight for a subtotal, if anything is bought.
    pub fn freight(&self, subtotal: i64) -> i64 {
        self.freight.iter().rev().find(|step| step.from <= subtotal).map_or(0, |step| step.cents)
    }
}

/// What is needed and how it can be bought.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// Who sells.
    pub suppliers: Vec<Supplier>,
    /// What is needed.
    pub families: Vec<Family>,
    /// How it is sold, in the order of the price list.
    pub ways: Vec<Way>,
}

/// So many units of one way; for a way of one glyph, which glyph.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Line {
    /// Index of the way.
    pub way: usize,
    /// The glyph that the units hold; `None` for a mix.
    pub glyph: Option<usize>,
    /// Units, at least one.
    pub units: u32,
}

/// What a plan is worth, in the order in which plans are compared: least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Worth {
    /// Merchandise and freight.
    pub cents: i64,
    /// The tie rule.
    pub rest: Rest,
}

/// How plans of equal cost are told apart, least first.
///
/// All three add up over the lines of a plan, so that they can be carried through every
/// step of the search as further digits of the cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Rest {
    /// Letters bought (leftover letters are these minus the need, which no plan changes).
    pub letters: u32,
    /// Units bought.
    pub units: u32,
    /// Sum over all units of their line's place in the price list, from 0: with equal
    /// units, the plan whose units stand further up.
    pub place: u64,
}

impl Rest {
    /// That of `units` units of a way.
    pub fn of(way: usize, pieces: u32, units: u32) -> Self {
        Self { letters: pieces.saturating_mul(units), units, place: way as u64 * u64::from(units) }
    }
}

impl std::ops::Add for Rest {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            letters: self.letters.saturating_add(other.letters),
            units: self.units.saturating_add(other.units),
            place: self.place.saturating_add(other.place),
        }
    }
}

/// A way to buy everything that is needed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Plan {
    /// What to buy, in the order of the price list.
    pub lines: Vec<Line>,
    /// Merchandise per supplier; `None` where nothing is bought.
    pub subtotal: Vec<Option<i64>>,
    /// Freight per supplier.
    pub freight: Vec<i64>,
    /// Cost and tie rule.
    pub worth: Worth,
}

/// Why a problem is refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// A way, named by its place, points to a supplier, family or glyph that is not there.
    Dangling(usize),
    /// A way whose units hold nothing, or that has no price.
    Empty(usize),
    /// A way whose breaks do not start at 1 and ascend.
    Breaks(usize),
    /// A supplier whose freight steps do not ascend.
    Steps(usize),
    /// Ways of one break group that belong to several suppliers.
    Group(usize),
    /// A figure below zero.
    Negative,
    /// Figures so large that the arithmetic could overflow, or too many of something.
    TooLarge(&'static str),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Dangling(way) => write!(f, "way {way} names a supplier, family or glyph that is not there"),
            Self::Empty(way) => write!(f, "way {way} holds nothing or has no price"),
            Self::Breaks(way) => write!(f, "the breaks of way {way} must start at 1 and ascend"),
            Self::Steps(supplier) => write!(f, "the freight steps of supplier {supplier} must ascend"),
            Self::Group(way) => write!(f, "way {way} shares its breaks with another supplier's way"),
            Self::Negative => write!(f, "a figure is below zero"),
            Self::TooLarge(what) => write!(f, "too large: {what}"),
        }
    }
}

impl std::error::Error for Refusal {}

impl Problem {
    /// Checks every figure, so that nothing after this can overflow or point nowhere.
    ///
    /// # Errors
    /// Says what is refused.
    pub fn check(&self) -> Result<(), Refusal> {
        if self.suppliers.len() > MOST_SUPPLIERS {
            return Err(Refusal::TooLarge("the number of suppliers"));
        }
        self.suppliers.iter().enumerate().try_for_each(|(i, supplier)| supplier.check(i))?;
        self.families.iter().try_for_each(Family::check)?;
        self.ways.iter().enumerate().try_for_each(|(i, way)| self.check_way(i, way))?;
        self.check_groups()?;
        self.check_counts()?;
        self.check_total()
    }

    /// The same problem with only some of its ways for sale, all places unchanged: for what
    /// pieces only, packs only or one supplier only would cost.
    pub fn only(&self, mut keep: impl FnMut(usize, &Way) -> bool) -> Self {
        let mut only = self.clone();
        for (w, way) in only.ways.iter_mut().enumerate() {
            if !keep(w, way) {
                way.at_most = Some(0);
            }
        }
        only
    }

    fn check_way(&self, i: usize, way: &Way) -> Result<(), Refusal> {
        let family = self.families.get(way.family).ok_or(Refusal::Dangling(i))?;
        if way.supplier >= self.suppliers.len() {
            return Err(Refusal::Dangling(i));
        }
        let known = |glyph: &usize| *glyph < family.need.len();
        let (there, held) = match &way.unit {
            Unit::Same { n, glyphs } => (glyphs.iter().flatten().all(known), vec![*n]),
            Unit::Mix(mix) => (mix.iter().all(|(g, _)| known(g)), mix.iter().map(|&(_, n)| n).collect()),
        };
        if !there {
            return Err(Refusal::Dangling(i));
        }
        if way.tiers.is_empty() || held.iter().all(|&n| n == 0) {
            return Err(Refusal::Empty(i));
        }
        if held.iter().any(|&n| n > LARGEST_COUNT) {
            return Err(Refusal::TooLarge("the content of a unit"));
        }
        check_tiers(i, &way.tiers)
    }

    fn check_groups(&self) -> Result<(), Refusal> {
        for (i, way) in self.ways.iter().enumerate() {
            let mates = self.ways[..i].iter().filter(|mate| way.group.is_some() && mate.group == way.group);
            if mates.clone().any(|mate| mate.supplier != way.supplier) {
                return Err(Refusal::Group(i));
            }
        }
        Ok(())
    }

    fn check_counts(&self) -> Result<(), Refusal> {
        for family in 0..self.families.len() {
            let same = |way: &&Way| way.family == family && matches!(way.unit, Unit::Same { .. });
            if self.ways.iter().filter(same).count() > MOST_WAYS {
                return Err(Refusal::TooLarge("the number of ways to buy one family"));
            }
        }
        Ok(())
    }

    /// Bounds what any plan worth looking at can cost: every letter bought alone at the
    /// dearest price, every break and threshold reached by itself.
    fn check_total(&self) -> Result<(), Refusal> {
        let dearest = self.ways.iter().flat_map(|way| &way.tiers).map(|tier| tier.cents).max().unwrap_or(0);
        let letters: i64 = self.families.iter().flat_map(|f| &f.need).map(|&n| i64::from(n)).sum();
        let breaks: i64 =
            self.ways.iter().filter_map(|way| way.tiers.last()).map(|t| i64::from(t.from)).sum();
        let steps = self.suppliers.iter().flat_map(|s| &s.freight);
        let thresholds: i64 = steps.map(|step| step.from + step.cents).sum();
        let minimums: i64 = self.suppliers.iter().map(|s| s.min_order).sum();
        let units = letters.saturating_add(breaks).saturating_add(self.ways.len() as i64);
        let total = units.saturating_mul(dearest).saturating_add(thresholds).saturating_add(minimums);
        if total > LARGEST_TOTAL {
            return Err(Refusal::TooLarge("what the letters could cost"));
        }
        Ok(())
    }
}

impl Supplier {
    fn check(&self, i: usize) -> Result<(), Refusal> {
        let figures = self.freight.iter().flat_map(|step| [step.from, step.cents]);
        check_cents(figures.chain([self.min_order]))?;
        if self.freight.len() > 64 {
            return Err(Refusal::TooLarge("the number of freight steps"));
        }
        if self.freight.windows(2).any(|pair| pair[0].from >= pair[1].from) {
            return Err(Refusal::Steps(i));
        }
        Ok(())
    }
}

impl Family {
    fn check(&self) -> Result<(), Refusal> {
        if self.need.len() > MOST_GLYPHS {
            return Err(Refusal::TooLarge("the number of glyphs"));
        }
        if self.need.iter().any(|&need| need > LARGEST_COUNT) {
            return Err(Refusal::TooLarge("the need of a glyph"));
        }
        Ok(())
    }
}

fn check_tiers(i: usize, tiers: &[Tier]) -> Result<(), Refusal> {
    check_cents(tiers.iter().map(|tier| tier.cents))?;
    let ascending = tiers.windows(2).all(|pair| pair[0].from < pair[1].from);
    if tiers.first().is_none_or(|tier| tier.from != 1) || !ascending {
        return Err(Refusal::Breaks(i));
    }
    if tiers.len() > 64 || tiers.iter().any(|tier| tier.from > LARGEST_COUNT) {
        return Err(Refusal::TooLarge("a quantity break"));
    }
    Ok(())
}

fn check_cents(mut figures: impl Iterator<Item = i64>) -> Result<(), Refusal> {
    match figures.find(|cents| !(0..=LARGEST_CENTS).contains(cents)) {
        None => Ok(()),
        Some(cents) if cents < 0 => Err(Refusal::Negative),
        Some(_) => Err(Refusal::TooLarge("an amount of money")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn way() -> Way {
        let unit = Unit::Same { n: 1, glyphs: None };
        Way { supplier: 0, family: 0, unit, tiers: vec![tier(1, 5)], at_most: None, group: None }
    }

    fn tier(from: u32, cents: i64) -> Tier {
        Tier { from, cents }
    }

    /// Whether three letters sold by the piece are taken, so changed.
    fn check(change: impl FnOnce(&mut Problem)) -> Result<(), Refusal> {
        let families = vec![Family { need: vec![3] }];
        let mut problem = Problem { suppliers: vec![Supplier::default()], families, ways: vec![way()] };
        change(&mut problem);
        problem.check()
    }

    fn is_too_large(found: Result<(), Refusal>) -> bool {
        matches!(found, Err(Refusal::TooLarge(_)))
    }

    #[test]
    fn so_many_are_taken_and_not_one_more() {
        let step = |from| Step { from, cents: 1 };
        type With<'a> = &'a dyn Fn(usize) -> Result<(), Refusal>;
        let cases: [(usize, With); 5] = [
            (MOST_SUPPLIERS, &|n| check(|p| p.suppliers = vec![Supplier::default(); n])),
            (MOST_GLYPHS, &|n| check(|p| p.families[0].need = vec![1; n])),
            (MOST_WAYS, &|n| check(|p| p.ways = vec![way(); n])),
            (64, &|n| check(|p| p.suppliers[0].freight = (0..n as i64).map(step).collect())),
            (64, &|n| check(|p| p.ways[0].tiers = (1..=n as u32).map(|from| tier(from, 1)).collect())),
        ];
        for (most, with) in cases {
            assert_eq!(with(most), Ok(()));
            assert!(is_too_large(with(most + 1)) && is_too_large(with(most + 2)), "{most}");
        }
    }

    #[test]
    fn figures_are_taken_up_to_the_largest() {
        let count: [fn(&mut Problem, u32); 3] = [
            |p, count| p.families[0].need[0] = count,
            |p, count| p.ways[0].unit = Unit::Mix(vec![(0, count)]),
            |p, count| p.ways[0].tiers.push(tier(count, 1)),
        ];
        for with in count {
            assert_eq!(check(|p| with(p, LARGEST_COUNT)), Ok(()));
            assert!(is_too_large(check(|p| with(p, LARGEST_COUNT + 1))));
        }
        let cents: [fn(&mut Problem, i64); 4] = [
            |p, cents| p.ways[0].tiers[0].cents = cents,
            |p, cents| p.suppliers[0].min_order = cents,
            |p, cents| p.suppliers[0].freight = vec![Step { from: cents, cents: 0 }],
            |p, cents| p.suppliers[0].freight = vec![Step { from: 0, cents }],
        ];
        for with in cents {
            assert_eq!(check(|p| with(p, LARGEST_CENTS)), Ok(()));
            assert!(is_too_large(check(|p| with(p, LARGEST_CENTS + 1))));
            assert_eq!(check(|p| with(p, 0)), Ok(()));
            assert_eq!(check(|p| with(p, -1)), Err(Refusal::Negative));
        }
    }

    #[test]
    fn all_together_may_cost_up_to_the_largest_total() {
        // Fifteen letters, a break at one unit and one way: 17 units at the dearest price.
        type Change<'a> = &'a dyn Fn(&mut Problem, i64);
        let with = |change: Change, more: i64| {
            check(|p| {
                p.families[0].need[0] = 15;
                p.ways[0].tiers = vec![tier(1, LARGEST_CENTS)];
                change(p, LARGEST_TOTAL - 17 * LARGEST_CENTS + more);
            })
        };
        let left: [Change; 2] = [&|p, left| p.suppliers[0].min_order = left, &|p, left| {
            p.suppliers[0].freight = vec![Step { from: left - 5, cents: 5 }]
        }];
        for change in left {
            assert_eq!(with(change, 0), Ok(()));
            assert!(is_too_large(with(change, 1)));
        }
        assert!(is_too_large(with(&|p, _| p.families[0].need[0] += 1, 0)));
        assert!(is_too_large(with(&|p, _| p.ways[0].tiers.push(tier(2, 1)), 0)));
    }

    #[test]
    fn breaks_begin_at_one_and_ascend() {
        let with =
            |froms: &[u32]| check(|p| p.ways[0].tiers = froms.iter().map(|&from| tier(from, 5)).collect());
        assert_eq!((with(&[1]), with(&[1, 2, 9])), (Ok(()), Ok(())));
        for froms in [[2, 3, 4], [1, 5, 5], [1, 9, 5]] {
            assert_eq!(with(&froms), Err(Refusal::Breaks(0)), "{froms:?}");
        }
        let steps = |froms: [i64; 2]| {
            check(|p| p.suppliers[0].freight = froms.map(|from| Step { from, cents: 1 }).to_vec())
        };
        assert_eq!((steps([0, 1]), steps([1, 1])), (Ok(()), Err(Refusal::Steps(0))));
    }

    #[test]
    fn a_break_group_has_one_supplier() {
        let with = |groups: [Option<usize>; 2]| {
            check(|p| {
                p.suppliers.push(Supplier::default());
                p.ways =
                    vec![Way { group: groups[0], ..way() }, Way { supplier: 1, group: groups[1], ..way() }];
            })
        };
        assert_eq!(with([Some(4), Some(4)]), Err(Refusal::Group(1)));
        assert_eq!((with([Some(4), Some(5)]), with([None, None])), (Ok(()), Ok(())));
        assert_eq!(check(|p| p.ways = vec![Way { group: Some(4), ..way() }; 2]), Ok(()));
    }

    #[test]
    fn a_glyph_that_is_not_there_is_refused_and_the_way_named() {
        let sold = |glyph| check(|p| p.ways[0].unit = Unit::Same { n: 1, glyphs: Some(vec![glyph]) });
        assert_eq!((sold(0), sold(1)), (Ok(()), Err(Refusal::Dangling(0))));
        assert!(Refusal::Dangling(7).to_string().starts_with("way 7 names"));
        assert!(Refusal::Steps(3).to_string().contains("of supplier 3"));
    }
}
