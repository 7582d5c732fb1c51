//! The buy mix: the cheapest way to buy the letters that are needed.
//!
//! Owns the choice among single pieces, packs and assorted sets, exact in whole cents, and its
//! explanation. Never looks at the shelf itself: what it is given is what must be bought.
//!
//! A family's letters cannot stand in for another's, and offers here have no price breaks or
//! freight, so families are solved one by one. With the number of each assorted set fixed, the
//! glyphs of a family come apart into small covers ([`cover`]); the numbers of sets are
//! searched with a bound ([`sets`]). Nothing is rounded and nothing is estimated: the answer is
//! the optimum, not a good guess.
//!
//! Ties go to fewer letters bought (so fewer left over), then fewer units, then more of the
//! assorted sets and after them of the offers that stand earlier in the price list.

mod cover;
mod sets;

use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::{Family, Lists, Offer, OfferId, Way};
use crate::money::Cents;

/// Letters of one family that must be bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// The family.
    pub family: Family,
    /// How many of each glyph.
    pub counts: GlyphCounts,
}

/// What to buy, family by family.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Mix {
    /// In the order of the needs.
    pub families: Vec<FamilyMix>,
}

/// What to buy of one family.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FamilyMix {
    /// The family.
    pub family: Family,
    /// The units to order, in the order of the price list and then of the glyphs.
    pub entries: Vec<Entry>,
    /// What they cost.
    pub cost: Cents,
    /// The letters in them.
    pub bought: GlyphCounts,
    /// The letters beyond the need.
    pub left_over: GlyphCounts,
    /// The letters needed that no offer has.
    pub unsold: GlyphCounts,
    /// What other ways would have cost.
    pub others: OtherWays,
}

/// So many units of one offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The offer.
    pub offer: OfferId,
    /// The chosen glyph; `None` for an assorted set.
    pub glyph: Option<Glyph>,
    /// How many units, at least one.
    pub units: u32,
    /// What they cost together.
    pub cost: Cents,
}

/// What it would cost to buy in one way only; `None` where that way does not get there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct OtherWays {
    /// Single pieces only.
    pub pieces: Option<Cents>,
    /// Packs only.
    pub packs: Option<Cents>,
    /// Assorted sets only.
    pub sets: Option<Cents>,
}

impl Mix {
    /// What the whole mix costs.
    pub fn cost(&self) -> Cents {
        self.families.iter().map(|family| family.cost).sum()
    }

    /// What the whole need would cost in one way only.
    pub fn others(&self) -> OtherWays {
        let sum = |way: fn(&OtherWays) -> Option<Cents>| self.families.iter().map(|f| way(&f.others)).sum();
        OtherWays { pieces: sum(|w| w.pieces), packs: sum(|w| w.packs), sets: sum(|w| w.sets) }
    }

    /// The part of the mix for one family.
    pub fn family(&self, family: &Family) -> Option<&FamilyMix> {
        self.families.iter().find(|mix| mix.family == *family)
    }
}

/// Finds the cheapest mix for these needs.
///
/// ```
/// use lettertally::{buy, glyph::GlyphCounts, lists::demo};
/// let lists = demo::lists();
/// let family = lists.families().remove(0);
/// let need = buy::Need { family, counts: GlyphCounts::parse("A:6").unwrap() };
/// let mix = buy::solve(&[need], &lists);
/// // A pack of five at 2.15 and a single piece at 0.55, not six pieces at 3.30.
/// assert_eq!(mix.cost().minor(), 270);
/// assert_eq!(mix.others().pieces.unwrap().minor(), 330);
/// ```
pub fn solve(needs: &[Need], lists: &Lists) -> Mix {
    Mix { families: needs.iter().map(|need| family_mix(need, lists)).collect() }
}

fn family_mix(need: &Need, lists: &Lists) -> FamilyMix {
    let offers: Vec<&Offer> =
        lists.offers_for(&need.family).filter(|offer| offer.fault().is_none()).collect();
    let (sold, unsold) = split(&need.counts, |glyph| offers.iter().any(|offer| offer.gives(glyph)));
    let entries = sets::cheapest(&sold, &offers).map(|found| found.entries).unwrap_or_default();
    let mut bought = GlyphCounts::default();
    for entry in &entries {
        add_letters(&mut bought, entry, &offers);
    }
    FamilyMix {
        family: need.family.clone(),
        cost: entries.iter().map(|entry| entry.cost).sum(),
        left_over: bought.less(&sold),
        bought,
        entries,
        others: if unsold.is_empty() { other_ways(&sold, &offers) } else { OtherWays::default() },
        unsold,
    }
}

fn other_ways(need: &GlyphCounts, offers: &[&Offer]) -> OtherWays {
    let only = |wanted: fn(&Way) -> bool| {
        let chosen: Vec<&Offer> = offers.iter().copied().filter(|offer| wanted(&offer.way)).collect();
        sets::cheapest(need, &chosen).map(|found| found.cost())
    };
    OtherWays {
        pieces: only(|way| matches!(way, Way::Piece { .. })),
        packs: only(|way| matches!(way, Way::Pack { .. })),
        sets: only(|way| matches!(way, Way::Set { .. })),
    }
}

fn add_letters(bought: &mut GlyphCounts, entry: &Entry, offers: &[&Offer]) {
    let way = offers.iter().find(|offer| offer.id == entry.offer).map(|offer| &offer.way);
    match (way, &entry.glyph) {
        (Some(Way::Piece { .. }), Some(glyph)) => bought.add(glyph.clone(), entry.units),
        (Some(Way::Pack { of, .. }), Some(glyph)) => {
            bought.add(glyph.clone(), entry.units.saturating_mul(*of));
        }
        (Some(Way::Set { contents }), _) => bought.add_all(contents, entry.units),
        _ => {}
    }
}

fn split(counts: &GlyphCounts, test: impl Fn(&Glyph) -> bool) -> (GlyphCounts, GlyphCounts) {
    let part = |wanted: bool| {
        let kept = counts.iter().filter(|(glyph, _)| test(glyph) == wanted);
        kept.map(|(glyph, count)| (glyph.clone(), count)).collect()
    };
    (part(true), part(false))
}
