//! The tally: how many letters of each family an order needs.
//!
//! Owns the way from garments to counts: quantities multiply, spoilage adds whole garments
//! (rounded up), spares are added per glyph. Never looks at the shelf or at prices.

use crate::glyph::{Glyph, GlyphCounts, Sign};
use crate::lists::{Family, Lists, Settings};
use crate::order::{Group, Line, Order, Person, Reading};
use std::collections::{BTreeMap, BTreeSet};

/// The letters of an order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Tally {
    /// Per family, in order of the families.
    pub families: Vec<FamilyTally>,
    /// The garments ordered.
    pub garments: u64,
    /// The garments that spoilage adds, over all designs.
    pub spoiled: u64,
}

/// The letters of one family.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FamilyTally {
    /// The family.
    pub family: Family,
    /// On the garments as ordered.
    pub used: GlyphCounts,
    /// To make again whichever garments are ruined.
    pub spoiled: GlyphCounts,
    /// Against misplaced or scorched letters.
    pub spares: GlyphCounts,
}

impl FamilyTally {
    /// All letters that must be at hand.
    pub fn need(&self) -> GlyphCounts {
        let mut need = self.used.clone();
        need.add_all(&self.spoiled, 1);
        need.add_all(&self.spares, 1);
        need
    }
}

impl Tally {
    /// The letters on the garments as ordered, over all families.
    pub fn letters_used(&self) -> u64 {
        self.families.iter().map(|family| family.used.total()).sum()
    }

    /// Takes in the letters of one garment more.
    pub fn add(&mut self, letters: &BTreeMap<Family, GlyphCounts>) {
        self.garments += 1;
        for (family, counts) in letters {
            match self.families.iter_mut().find(|tally| tally.family == *family) {
                Some(tally) => tally.used.add_all(counts, 1),
                None => self.families.push(FamilyTally {
                    family: family.clone(),
                    used: counts.clone(),
                    spoiled: GlyphCounts::default(),
                    spares: GlyphCounts::default(),
                }),
            }
        }
    }

    /// The tally of so many garments of the same pattern, each count rounded up.
    pub fn scaled(&self, garments: u32) -> Self {
        let scale = |counts: &GlyphCounts| -> GlyphCounts {
            let scaled = |count: u32| (u64::from(count) * u64::from(garments)).div_ceil(self.garments.max(1));
            let scaled = |count| u32::try_from(scaled(count)).unwrap_or(u32::MAX);
            counts.iter().map(|(glyph, count)| (glyph.clone(), scaled(count))).collect()
        };
        let family = |family: &FamilyTally| FamilyTally {
            family: family.family.clone(),
            used: scale(&family.used),
            spoiled: scale(&family.spoiled),
            spares: scale(&family.spares),
        };
        Self {
            families: self.families.iter().map(family).collect(),
            garments: u64::from(garments),
            spoiled: 0,
        }
    }

    /// The tally of one family.
    pub fn family(&self, family: &Family) -> Option<&FamilyTally> {
        self.families.iter().find(|tally| tally.family == *family)
    }
}

/// Counts the letters of an order that was read with [`Order::read`].
///
/// Spoilage is taken per design on whole garments, rounded up. Which of them will be ruined
/// nobody knows, so there are enough letters to make any of them again: per glyph, as many as
/// the garments with the most of it hold.
///
/// ```
/// use lettertally::{lists::demo, tally::tally};
/// let (lists, settings) = (demo::lists(), demo::settings());
/// let order = demo::order("2026-01-01");
/// let tally = tally(&order, &order.read(&lists), &lists, &settings);
/// assert_eq!(tally.garments, 12);
/// assert_eq!(tally.spoiled, 1);
/// ```
pub fn tally(order: &Order, readings: &[Reading], lists: &Lists, settings: &Settings) -> Tally {
    let mut used = BTreeMap::<Family, GlyphCounts>::new();
    let mut spoiled = BTreeMap::<Family, GlyphCounts>::new();
    let mut garments = 0;
    let mut spoiled_garments = 0;
    for (at, reading) in readings.iter().enumerate() {
        let ordered = reading.garments();
        let ruined = settings.spoilage.of_count_up(ordered);
        garments += ordered;
        spoiled_garments += ruined;
        let mut most = Most::new(ruined);
        for group in &reading.groups {
            for (family, counts) in on_one_garment(order, at, group, lists) {
                most.see(&family, &counts, u64::from(group.count));
                used.entry(family).or_default().add_all(&counts, group.count);
            }
        }
        for (family, counts) in most.counts() {
            spoiled.entry(family).or_default().add_all(&counts, 1);
        }
    }
    let families = used
        .into_iter()
        .filter(|(_, used)| !used.is_empty())
        .map(|(family, used)| {
            let spoiled = spoiled.remove(&family).unwrap_or_default();
            let mut tally = FamilyTally { family, used, spoiled, spares: GlyphCounts::default() };
            tally.spares = spares(&tally.need(), settings);
            tally
        })
        .collect();
    Tally { families, garments, spoiled: spoiled_garments }
}

/// The letters of one garment of a design, per family, 6 and 9 pooled where the style says so.
pub fn on_one_garment(
    order: &Order,
    design: usize,
    group: &Group,
    lists: &Lists,
) -> BTreeMap<Family, GlyphCounts> {
    let mut counts = BTreeMap::<Family, GlyphCounts>::new();
    for line in order.designs.get(design).map_or(&[][..], |design| &design.lines) {
        let letters = order.signs(line, group).into_iter().filter_map(|sign| match sign {
            Sign::Glyph(glyph) => Some(glyph),
            Sign::Space => None,
        });
        let mut letters = letters.peekable();
        // A line without letters adds no family.
        if letters.peek().is_none() {
            continue;
        }
        let family = line.family();
        let letters: Vec<Glyph> = letters.map(|glyph| pooled(glyph, &family, lists)).collect();
        let of_family = counts.entry(family).or_default();
        letters.into_iter().for_each(|glyph| of_family.add(glyph, 1));
    }
    counts
}

/// The glyph that stands for this one in the counts: 6 for 9 where one cut piece serves as both.
pub fn pooled(glyph: Glyph, family: &Family, lists: &Lists) -> Glyph {
    if glyph.as_str() != "9" || !lists.style(&family.style).is_some_and(|style| style.six_is_nine) {
        return glyph;
    }
    Glyph::parse("6").unwrap_or(glyph)
}

fn spares(need: &GlyphCounts, settings: &Settings) -> GlyphCounts {
    let spare = |count: u32| {
        let share = settings.spares.percent.of_count_up(u64::from(count));
        u32::try_from(share).unwrap_or(u32::MAX).saturating_add(u32::from(settings.spares.each))
    };
    need.iter().map(|(glyph, count)| (glyph.clone(), spare(count))).collect()
}

/// Per family and glyph, the counts of the garments that hold most of it.
struct Most {
    garments: u64,
    /// Count on one garment -> number of garments with that count.
    seen: BTreeMap<Family, BTreeMap<Glyph, BTreeMap<u32, u64>>>,
}

impl Most {
    fn new(garments: u64) -> Self {
        Self { garments, seen: BTreeMap::new() }
    }

    fn see(&mut self, family: &Family, counts: &GlyphCounts, garments: u64) {
        if self.garments == 0 {
            return;
        }
        let glyphs = self.seen.entry(family.clone()).or_default();
        for (glyph, count) in counts.iter() {
            *glyphs.entry(glyph.clone()).or_default().entry(count).or_default() += garments;
        }
    }

    fn counts(self) -> BTreeMap<Family, GlyphCounts> {
        let garments = self.garments;
        let most = |seen: BTreeMap<u32, u64>| {
            let mut left = garments;
            let mut sum = 0_u64;
            for (count, having) in seen.into_iter().rev() {
                let taken = having.min(left);
                sum = sum.saturating_add(u64::from(count).saturating_mul(taken));
                left -= taken;
            }
            u32::try_from(sum).unwrap_or(u32::MAX)
        };
        let per_family = |glyphs: BTreeMap<Glyph, BTreeMap<u32, u64>>| {
            glyphs.into_iter().map(|(glyph, seen)| (glyph, most(seen))).collect()
        };
        self.seen.into_iter().map(|(family, glyphs)| (family, per_family(glyphs))).collect()
    }
}

/// A line of an order that needs a glyph, and for whom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// The design, from 0.
    pub design: usize,
    /// The line of the design, from 0.
    pub line: usize,
    /// The first person whose garment it is; `None` where the text is the same on all.
    pub person: Option<Person>,
    /// How many others need it on this line.
    pub others: usize,
}

/// Where an order needs each of these glyphs of a family, in the order of the lines.
pub fn uses(
    order: &Order,
    readings: &[Reading],
    lists: &Lists,
    family: &Family,
    glyphs: &GlyphCounts,
) -> BTreeMap<Glyph, Vec<Use>> {
    let mut uses = BTreeMap::<Glyph, Vec<Use>>::new();
    for (design, reading) in readings.iter().enumerate() {
        let lines = order.designs.get(design).map_or(&[][..], |design| &design.lines);
        for (line, entry) in lines.iter().enumerate().filter(|(_, line)| line.family() == *family) {
            let by_person = entry.text.uses_roster();
            let groups = reading.groups.iter().take(if by_person { usize::MAX } else { 1 });
            for group in groups {
                for glyph in wanted(order, entry, group, lists, glyphs) {
                    let places = uses.entry(glyph).or_default();
                    match places.last_mut().filter(|found| (found.design, found.line) == (design, line)) {
                        Some(found) => found.others += 1,
                        None => {
                            let person = group.person.clone().filter(|_| by_person);
                            places.push(Use { design, line, person, others: 0 });
                        }
                    }
                }
            }
        }
    }
    uses
}

/// Those of the glyphs that a line needs on one garment, each once.
fn wanted(order: &Order, line: &Line, group: &Group, lists: &Lists, glyphs: &GlyphCounts) -> BTreeSet<Glyph> {
    let family = line.family();
    let glyph = |sign| match sign {
        Sign::Glyph(glyph) => Some(pooled(glyph, &family, lists)),
        Sign::Space => None,
    };
    let found = order.signs(line, group).into_iter().filter_map(glyph);
    found.filter(|glyph| glyphs.get(glyph) > 0).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;
    use crate::lists::demo;
    use crate::lists::settings::Spares;
    use crate::money::Percent;
    use crate::order::{CountBy, SizeCount, Swap, Wording};
    use proptest::prelude::*;

    /// One line of text on so many shirts.
    fn plain_order(text: &str, count: u16) -> Order {
        let mut order = demo::order("2026-01-01");
        let design = &mut order.designs[0];
        design.lines.truncate(1);
        design.lines[0].text = Wording::new(text);
        design.count_by = CountBy::Sizes;
        design.sizes = vec![SizeCount { size: "M".into(), count }];
        order
    }

    fn settings(spoilage: u32, percent: u32, each: u16) -> Settings {
        let spares = Spares { percent: Percent::of(percent), each };
        Settings { spoilage: Percent::of(spoilage), spares, ..Settings::default() }
    }

    fn need(order: &Order, settings: &Settings, lists: &Lists) -> Vec<String> {
        let tally = tally(order, &order.read(lists), lists, settings);
        tally.families.iter().map(|family| family.need().to_string()).collect()
    }

    #[test]
    fn quantities_multiply_then_spoilage_then_spares() {
        let lists = demo::lists();
        let order = plain_order("Anna", 25);
        assert_eq!(need(&order, &settings(0, 0, 0), &lists), ["A:50 N:50"]);
        assert_eq!(need(&order, &settings(3, 0, 0), &lists), ["A:52 N:52"]);
        // 10 % of 52 is 5.2, so 6 more; and one fixed.
        assert_eq!(need(&order, &settings(3, 10, 1), &lists), ["A:59 N:59"]);
    }

    #[test]
    fn one_garment_more_brings_its_letters_and_no_other() {
        let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
        let before = tally(&order, &order.read(&lists), &lists, &settings(3, 0, 0));
        let [first, ..] = &before.families[..] else { panic!("the demo order has letters") };
        let stranger = Family { height: Length::inches(9), ..first.family.clone() };
        let letters: BTreeMap<_, _> = [(first.family.clone(), "O:2"), (stranger.clone(), "X:1")]
            .map(|(family, counts)| (family, GlyphCounts::parse(counts).unwrap()))
            .into();
        let mut after = before.clone();
        after.add(&letters);
        assert_eq!(after.garments, before.garments + 1);
        assert_eq!(after.letters_used(), before.letters_used() + 3);
        let mut used = first.used.clone();
        used.add_all(&GlyphCounts::parse("O:2").unwrap(), 1);
        assert_eq!(after.family(&first.family).map(|family| &family.used), Some(&used));
        assert_eq!(after.family(&stranger).map(|family| family.used.to_string()), Some("X:1".to_owned()));
        assert_eq!(before.family(&stranger), None);
        assert_eq!(after.families[1..before.families.len()], before.families[1..]);
    }

    #[test]
    fn letters_suffice_to_make_any_ruined_shirt_again() {
        let lists = demo::lists();
        let mut order = demo::order("2026-01-01");
        order.designs[0].lines.drain(0..1);
        order.designs[0].lines.truncate(1);
        order.designs[0].roster = "name,size\nAnna,M\nBob,M\nAnn,M\n".into();
        // One of three: two A if Anna's is ruined, two B if Bob's, two N.
        assert_eq!(need(&order, &settings(10, 0, 0), &lists), ["A:5 B:4 N:6 O:2"]);
    }

    #[test]
    fn six_and_nine_are_pooled_only_where_the_style_says_so() {
        let mut lists = demo::lists();
        let order = plain_order("69 96", 1);
        assert_eq!(need(&order, &settings(0, 0, 0), &lists), ["6:2 9:2"]);
        lists.styles[0].six_is_nine = true;
        assert_eq!(need(&order, &settings(0, 0, 0), &lists), ["6:4"]);
    }

    #[test]
    fn swapped_letters_are_counted_as_pressed() {
        let lists = demo::lists();
        let mut order = plain_order("José!", 2);
        let swap = |from, to: Option<&str>| Swap {
            from: Glyph::parse(from).unwrap(),
            to: to.and_then(Glyph::parse),
        };
        order.swaps = vec![swap("É", Some("E")), swap("!", None)];
        assert_eq!(need(&order, &settings(0, 0, 0), &lists), ["E:2 J:2 O:2 S:2"]);
    }

    #[test]
    fn a_glyph_is_traced_to_the_people_who_need_it() {
        let lists = demo::lists();
        let order = demo::order("2026-01-01");
        let family = order.designs[0].lines[1].family();
        let found = uses(&order, &order.read(&lists), &lists, &family, &GlyphCounts::of_text("QZ"));
        let [(glyph, places)] = found.iter().collect::<Vec<_>>()[..] else { panic!("{found:?}") };
        assert_eq!((glyph.as_str(), places.len()), ("Q", 1));
        assert_eq!((places[0].line, places[0].others), (1, 1));
        assert_eq!(places[0].person.as_ref().map(|person| person.name.as_str()), Some("Lindqvist"));
    }

    proptest! {
        #[test]
        fn the_tally_adds_over_orders(left in "[A-Z]{0,8}", right in "[A-Z]{0,8}", count in 1_u16..40) {
            let (lists, plain) = (demo::lists(), settings(0, 0, 0));
            let both = plain_order(&format!("{left} {right}"), count);
            let sum = |text: &str| {
                let order = plain_order(text, count);
                let tally = tally(&order, &order.read(&lists), &lists, &plain);
                tally.families.first().map(FamilyTally::need).unwrap_or_default()
            };
            let mut apart = sum(&left);
            apart.add_all(&sum(&right), 1);
            let together = tally(&both, &both.read(&lists), &lists, &plain);
            prop_assert_eq!(together.families.first().map(FamilyTally::need).unwrap_or_default(), apart);
        }
    }
}
