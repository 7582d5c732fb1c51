//! What the shelf has of an order, what runs short, and what would do instead.
//!
//! Owns the way from a typed name to “yes, now” or to something that can be made now. Prices what
//! would do instead by the one plan. Never changes the order itself.

use super::making::one_garment;
use crate::book::goods::{Goods, Item};
use crate::glyph::{Glyph, GlyphCounts, Sign};
use crate::lists::{BlankId, Family, Lists};
use crate::money::Cents;
use crate::order::{CountBy, Design, Group, Order, Wording};
use crate::plan::{Shop, plan};
use crate::shelf::Shelf;
use crate::tally::pooled;
use std::collections::BTreeMap;

/// One line on one garment, letter by letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineAtHand {
    /// The design, from 0.
    pub design: usize,
    /// The line, from 0.
    pub line: usize,
    /// The group, from 0.
    pub group: usize,
    /// Each sign, and whether the shelf has it once those before it are taken; a space is there.
    pub signs: Vec<(Sign, bool)>,
}

impl LineAtHand {
    /// Whether every letter is there.
    pub fn is_whole(&self) -> bool {
        self.signs.iter().all(|(_, there)| *there)
    }
}

/// What the shelf has of an order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AtHand {
    /// The lines, garment by garment.
    pub lines: Vec<LineAtHand>,
    /// What is not there, over all garments.
    pub lacking: Goods,
}

impl AtHand {
    /// Whether all of it can be made from the shelf.
    pub fn is_whole(&self) -> bool {
        self.lacking.is_empty()
    }

    /// The blanks that are not there, with their counts.
    pub fn blanks_lacking(&self) -> Vec<(&BlankId, &str, u32)> {
        let blanks = self.lacking.iter().filter_map(|(item, count)| match item {
            Item::Blank(blank, size) => Some((blank, size.as_str(), count)),
            Item::Letter(..) => None,
        });
        blanks.collect()
    }

    /// What is not there in words: "2 × E, 1 × T of 2 in smooth film, white, block".
    pub fn words(&self, lists: &Lists) -> Vec<String> {
        let families = self.lacking.by_family();
        let letters = families.iter().map(|(family, counts)| {
            let each: Vec<String> =
                counts.iter().map(|(glyph, count)| format!("{count} × {}", glyph.name())).collect();
            format!("{} of {}", each.join(", "), lists.family_name(family))
        });
        let blanks = self.blanks_lacking().into_iter().map(|(blank, size, count)| {
            let name = lists.blank(blank).map_or(blank.as_str(), |blank| &blank.name);
            format!("{count} × {name}, {size}")
        });
        letters.chain(blanks).collect()
    }
}

/// The shelf as goods.
pub fn on_shelf(shelf: &Shelf) -> Goods {
    let mut goods = Goods::default();
    shelf.stocks().iter().for_each(|stock| goods.add_letters(&stock.family, &stock.counts, 1));
    shelf.blanks().iter().for_each(|stock| goods.add_blank(&stock.blank, &stock.size, stock.count));
    goods
}

/// What the shelf has of a whole order, its garments served in turn.
///
/// ```
/// use lettertally::{booth::at_hand::{at_hand, on_shelf}, glyph::GlyphCounts, lists::demo, shelf::Shelf};
/// let (order, lists) = (demo::order("2026-01-01"), demo::lists());
/// let mut shelf = Shelf::default();
/// shelf.replace(&order.designs[0].lines[0].family(), GlyphCounts::parse("O:1 T:2 E:1 R:1").unwrap());
/// let found = at_hand(&order, &on_shelf(&shelf), &lists);
/// let there: Vec<bool> = found.lines[0].signs.iter().map(|(_, there)| *there).collect();
/// assert_eq!(there, [true, true, true, true, true, false]); // OTTER, and no S
/// ```
pub fn at_hand(order: &Order, shelf: &Goods, lists: &Lists) -> AtHand {
    let mut left = shelf.clone();
    let mut found = AtHand::default();
    let mut need = Goods::default();
    for (design, reading) in order.read(lists).iter().enumerate() {
        for (at, group) in reading.groups.iter().enumerate() {
            let each = one_garment(order, design, group, lists);
            need.add_all(&each, group.count);
            for (line, entry) in order.designs[design].lines.iter().enumerate() {
                let signs = signs_at_hand(order.signs(entry, group), &entry.family(), &mut left, lists);
                found.lines.push(LineAtHand { design, line, group: at, signs });
            }
            // The others of the group take theirs before the next is served.
            let mut rest = Goods::default();
            rest.add_all(&each, group.count.saturating_sub(1));
            left = left.less(&rest);
        }
    }
    found.lacking = need.less(shelf);
    found
}

fn signs_at_hand(signs: Vec<Sign>, family: &Family, left: &mut Goods, lists: &Lists) -> Vec<(Sign, bool)> {
    let mut there = |sign: &Sign| match sign {
        Sign::Space => true,
        Sign::Glyph(glyph) => take(left, family, glyph, lists),
    };
    signs.into_iter().map(|sign| (sign.clone(), there(&sign))).collect()
}

fn take(left: &mut Goods, family: &Family, glyph: &Glyph, lists: &Lists) -> bool {
    let item = Item::Letter(family.clone(), pooled(glyph.clone(), family, lists));
    let count = left.get(&item);
    if count > 0 {
        left.set(item, count - 1);
    }
    count > 0
}

/// Something that can be made now in the place of what cannot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instead {
    /// In what it differs from what was asked for.
    pub kind: Kind,
    /// What it is, in words: "2 in smooth film, navy, block".
    pub words: String,
    /// The order with it.
    pub order: Order,
    /// What the customer would pay; `None` where there is no price.
    pub total: Option<Cents>,
}

/// In what something differs from what was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The colour alone.
    Colour,
    /// The finish, at the same height.
    Finish,
    /// The height.
    Height,
    /// The blank's size or the blank.
    Blank,
    /// Only a part of the words.
    Part,
}

impl Kind {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Colour => "another colour",
            Self::Finish => "another finish",
            Self::Height => "another height",
            Self::Blank => "another garment",
            Self::Part => "part of the words",
        }
    }
}

/// The most that is offered instead.
const MOST: usize = 8;

/// What could be made from the shelf instead of an order that cannot: all lines that lack letters
/// in another colour, finish or height that is there for the whole order; another blank of the
/// same size; the longest part of the words. The nearest first. Nothing where all is there.
pub fn instead(order: &Order, shelf: &Goods, shop: &Shop) -> Vec<Instead> {
    let lists = &shop.lists;
    let found = at_hand(order, shelf, lists);
    if found.is_whole() {
        return Vec::new();
    }
    let mut ways: Vec<(Kind, String, Order)> = Vec::new();
    let lacking: Vec<Family> = found.lacking.by_family().into_keys().cloned().collect();
    if let [short] = lacking.as_slice() {
        let mut families: Vec<&Family> =
            shelf.by_family().into_keys().filter(|family| *family != short).collect();
        families.sort_by_key(|family| (kind_of(short, family), unlike(short, family)));
        for family in families {
            let other = with_family(order, short, family);
            ways.push((kind_of(short, family), lists.family_name(family), other));
        }
    }
    if !found.blanks_lacking().is_empty() {
        for blank in &lists.blanks {
            let mut other = order.clone();
            other.designs.iter_mut().for_each(|design| design.blank = blank.id.clone());
            ways.push((Kind::Blank, blank.name.clone(), other));
        }
    }
    if found.blanks_lacking().is_empty()
        && let Some((words, part)) = longest_part(order, &found, shelf, lists)
    {
        ways.push((Kind::Part, words, part));
    }
    let can_be_made = |order: &Order| at_hand(order, shelf, lists).is_whole();
    let mut instead = Vec::new();
    for (kind, words, other) in ways.into_iter().filter(|(_, _, other)| can_be_made(other)) {
        let plan = plan(&other, shop);
        let fits = plan.fits.iter().flatten().all(|fit| fit.too_wide.is_empty());
        if fits || kind == Kind::Part {
            let total = plan.priced.ok().map(|priced| priced.total());
            instead.push(Instead { kind, words, order: other, total });
        }
        if instead.len() == MOST {
            break;
        }
    }
    instead
}

fn kind_of(asked: &Family, other: &Family) -> Kind {
    if asked.height != other.height {
        Kind::Height
    } else if asked.finish != other.finish {
        Kind::Finish
    } else {
        Kind::Colour
    }
}

/// How unlike two families are: height, then style, finish and colour.
fn unlike(asked: &Family, other: &Family) -> (crate::length::Length, bool, bool, bool) {
    let apart = asked.height.max(other.height) - asked.height.min(other.height);
    (apart, asked.style != other.style, asked.finish != other.finish, asked.colour != other.colour)
}

/// The order with one family in the place of another.
fn with_family(order: &Order, from: &Family, to: &Family) -> Order {
    let mut other = order.clone();
    for line in other.designs.iter_mut().flat_map(|design| &mut design.lines) {
        if line.family() == *from {
            line.finish.clone_from(&to.finish);
            line.height = to.height;
            line.colour.clone_from(&to.colour);
            line.style.clone_from(&to.style);
        }
    }
    other
}

/// The order with the longest run of letters that the shelf has, in each line that is not whole.
/// Only for an order of one garment: parts of many names are a matter to talk about.
fn longest_part(order: &Order, found: &AtHand, shelf: &Goods, lists: &Lists) -> Option<(String, Order)> {
    let readings = order.read(lists);
    let [reading] = readings.as_slice() else { return None };
    let [group] = reading.groups.as_slice() else { return None };
    if group.count != 1 {
        return None;
    }
    let mut left = shelf.clone();
    for line in found.lines.iter().filter(|line| line.is_whole()) {
        take_all(&mut left, &order.designs[0], line, lists);
    }
    let mut other = order.clone();
    let mut words = Vec::new();
    for line in found.lines.iter().filter(|line| !line.is_whole()) {
        let family = order.designs[0].lines[line.line].family();
        let part = longest_run(&line.signs, &family, &mut left, lists);
        if part.is_empty() {
            return None;
        }
        other.designs[0].lines[line.line].text = Wording::new(&part);
        words.push(part);
    }
    keep_count(&mut other.designs[0], group);
    Some((words.join(" · "), other))
}

fn take_all(left: &mut Goods, design: &Design, line: &LineAtHand, lists: &Lists) {
    let family = design.lines[line.line].family();
    for (sign, _) in &line.signs {
        if let Sign::Glyph(glyph) = sign {
            take(left, &family, glyph, lists);
        }
    }
}

/// A line that named the person may be fixed text now; the garment stays the same one.
fn keep_count(design: &mut Design, group: &Group) {
    let uses_roster = design.lines.iter().any(|line| line.text.uses_roster());
    if design.count_by == CountBy::Roster && !uses_roster {
        design.count_by = CountBy::Sizes;
        design.sizes = vec![crate::order::SizeCount { size: group.size.clone(), count: 1 }];
    }
}

/// The longest stretch of a line that can be made, the first of equals, taken from what is left.
fn longest_run(signs: &[(Sign, bool)], family: &Family, left: &mut Goods, lists: &Lists) -> String {
    let glyph_at = |place: usize| match signs.get(place) {
        Some((Sign::Glyph(glyph), _)) => Some(pooled(glyph.clone(), family, lists)),
        _ => None,
    };
    let there = |glyph: &Glyph| left.get(&Item::Letter(family.clone(), glyph.clone()));
    let (mut best, mut from) = (0..0, 0);
    let mut letters = GlyphCounts::default();
    // A window that gives up signs at its left until what it holds is there.
    for to in 0..signs.len() {
        if let Some(glyph) = glyph_at(to) {
            letters.add(glyph.clone(), 1);
            while letters.get(&glyph) > there(&glyph) {
                if let Some(first) = glyph_at(from) {
                    letters.set(first.clone(), letters.get(&first).saturating_sub(1));
                }
                from += 1;
            }
        }
        if to + 1 - from > best.len() {
            best = from..to + 1;
        }
    }
    let run = &signs[best];
    let mut text = String::new();
    for (sign, _) in run {
        match sign {
            Sign::Glyph(glyph) => {
                take(left, family, glyph, lists);
                text.push_str(glyph.as_str());
            }
            Sign::Space => text.push(' '),
        }
    }
    text.trim().to_owned()
}

/// How many garments of one kind the shelf can make, whichever runs out first, and of what.
pub fn how_many(each: &Goods, shelf: &Goods) -> Option<(u32, Item)> {
    let most = each.iter().filter(|(_, count)| *count > 0);
    most.map(|(item, count)| (shelf.get(item) / count, item.clone())).min()
}

/// What several orders need together, against the shelf: what runs short, with how much of it.
pub fn short_of(needs: &[Goods], shelf: &Goods) -> BTreeMap<Item, u32> {
    let mut all = Goods::default();
    needs.iter().for_each(|need| all.add_all(need, 1));
    all.less(shelf).iter().map(|(item, count)| (item.clone(), count)).collect()
}
