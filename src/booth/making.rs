//! The garments of an order as they come to the press: what goes into each, and what is left.

use crate::book::Entry;
use crate::book::fact::{Made, What};
use crate::book::goods::Goods;
use crate::book::life::Life;
use crate::lists::{Lists, Settings};
use crate::money::{Cents, Currency};
use crate::order::{Group, Order, Reading, Tag};
use crate::plan::Plan;
use crate::press;
use crate::tally::on_one_garment;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;

/// Garments of an order that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Making {
    /// The design, from 0.
    pub design: usize,
    /// The group of the design, from 0.
    pub group: usize,
    /// What tells them from the others.
    pub tag: Tag,
    /// How many are ordered.
    pub ordered: u32,
    /// How many of them are pressed.
    pub pressed: u32,
    /// What goes into one of them.
    pub each: Goods,
    /// How long the press is taken up by one, in seconds.
    pub seconds: u32,
}

impl Making {
    /// How many are still to be pressed.
    pub fn left(&self) -> u32 {
        self.ordered.saturating_sub(self.pressed)
    }

    /// The fact that so many of them were made, or ruined, at a cost for each.
    pub fn made(&self, count: u32, each: Cents) -> Made {
        let mut goods = Goods::default();
        goods.add_all(&self.each, count);
        Made {
            tag: self.tag.clone(),
            count,
            goods,
            cost: each.times(count).unwrap_or_default(),
            seconds: self.seconds.saturating_mul(count),
        }
    }
}

/// All garments of an order in the order of its designs, with what is pressed of them.
///
/// ```
/// use lettertally::{book::{Book, Moment}, booth::making::makings, lists::demo};
/// let book = Book::only(demo::order("2026-01-01"), Moment(1));
/// let makings = makings(book.current(), &demo::lists(), &demo::settings());
/// assert_eq!((makings.len(), makings[0].tag.whose().as_str(), makings[0].left()), (12, "Okonjo 1", 1));
/// assert_eq!((makings[0].each.letters(), makings[0].each.blanks()), (13, 1));
/// ```
pub fn makings(entry: &Entry, lists: &Lists, settings: &Settings) -> Vec<Making> {
    let order = &entry.order;
    let readings = order.read(lists);
    let pressed = pressed(entry, &readings);
    let mut makings = Vec::new();
    for (design, reading) in readings.iter().enumerate() {
        for (at, group) in reading.groups.iter().enumerate() {
            makings.push(Making {
                design,
                group: at,
                tag: group.tag(design),
                ordered: group.count,
                pressed: pressed.get(&(design, at)).copied().unwrap_or(0),
                each: one_garment(order, design, group, lists),
                seconds: seconds(order, design, group, lists, settings),
            });
        }
    }
    makings
}

/// How many garments of each design and group are pressed, by their places in the order as it was
/// read. Those that are alike are served in turn: the first group is whole before the next counts.
pub fn pressed(entry: &Entry, readings: &[Reading]) -> BTreeMap<(usize, usize), u32> {
    let mut left = Life::of(entry).pressed;
    let mut pressed = BTreeMap::new();
    for (design, reading) in readings.iter().enumerate() {
        for (at, group) in reading.groups.iter().enumerate() {
            let Some(left) = left.get_mut(&group.tag(design)) else { continue };
            let count = group.count.min(*left);
            *left -= count;
            pressed.insert((design, at), count);
        }
    }
    pressed
}

/// The facts after which so many of these garments count as pressed: more are made, or the last
/// ones made do not count. Each one more costs as much as it says.
pub fn pressing(entry: &Entry, making: &Making, count: u32, each: Cents) -> Vec<What> {
    let count = count.min(making.ordered);
    if count > making.pressed {
        return vec![What::Pressed(Box::new(making.made(count - making.pressed, each)))];
    }
    let mut surplus = making.pressed - count;
    let mut facts = Vec::new();
    for (id, what) in entry.facts.counting().rev() {
        let What::Pressed(made) = what else { continue };
        if surplus == 0 || made.tag != making.tag {
            continue;
        }
        facts.push(What::Undone(id.clone()));
        if made.count > surplus {
            facts.push(What::Pressed(Box::new(made.fewer(made.count - surplus))));
        }
        surplus = surplus.saturating_sub(made.count);
    }
    facts
}

/// What goes into one garment: its blank and its letters.
pub fn one_garment(order: &Order, design: usize, group: &Group, lists: &Lists) -> Goods {
    let mut goods = Goods::default();
    if let Some(design) = order.designs.get(design) {
        goods.add_blank(&design.blank, &group.size, 1);
    }
    for (family, counts) in on_one_garment(order, design, group, lists) {
        goods.add_letters(&family, &counts, 1);
    }
    goods
}

fn seconds(order: &Order, design: usize, group: &Group, lists: &Lists, settings: &Settings) -> u32 {
    let Some(design) = order.designs.get(design) else { return 0 };
    let size = lists.blank(&design.blank).and_then(|blank| blank.size(&group.size));
    size.map_or(0, |size| {
        let work = press::garment(order, design, group, size, lists, &settings.platen).work();
        press::times(&work, settings).press.max(Decimal::ZERO).ceil().to_u32().unwrap_or(u32::MAX)
    })
}

/// What is still to be pressed of an order.
pub fn goods_left(makings: &[Making]) -> Goods {
    let mut left = Goods::default();
    makings.iter().for_each(|making| left.add_all(&making.each, making.left()));
    left
}

/// How long the press is taken up by what is left, in seconds.
pub fn seconds_left(makings: &[Making]) -> u64 {
    makings.iter().map(|making| u64::from(making.seconds) * u64::from(making.left())).sum()
}

/// What one garment of a design and size costs the shop by a plan.
pub fn cost_each(plan: &Plan, making: &Making, currency: &Currency) -> Cents {
    let units = plan.sheet.units.iter();
    let mut same = units.filter(|unit| unit.design == making.design && unit.size == making.tag.size);
    same.next().map_or(Cents::ZERO, |unit| unit.cost().round(currency).max(Cents::ZERO))
}
