//! How a quoted garment looks: enough to draw it on a device that has none of the shop's lists.

use super::{Item, Quote};
use crate::layout::picture::{Picture, pictures};
use crate::layout::widths::scaled_to;
use crate::length::Length;
use crate::lists::{BlankId, BlankSize, ColourId, FinishId, LetterStyle, Lists, Rgb, StyleId};
use crate::money::Cents;
use crate::order::{CountBy, Design, Group, Line, Order, OrderId, Person};

/// A garment as far as a picture needs it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Its colour.
    pub colour: Rgb,
    /// Across the body, of the size that is drawn.
    pub width: Length,
    /// From shoulder to hem, of the size that is drawn.
    pub length: Length,
}

impl Quote {
    /// The sides of an item that something is on, drawn for its first garment; none where the
    /// quote does not say how it looks.
    pub fn pictures(&self, item: &Item) -> Vec<Picture> {
        let Some(look) = item.look else {
            return Vec::new();
        };
        let size =
            BlankSize { name: String::new(), price: Cents::ZERO, width: look.width, length: look.length };
        let (order, group) = self.as_order(item);
        let Some(design) = order.designs.first() else {
            return Vec::new();
        };
        let lists = Lists { styles: styles(item, &order, &group), ..Lists::default() };
        let both = pictures(&order, design, &group, &size, &lists);
        both.into_iter().filter(|picture| !picture.lines.is_empty()).collect()
    }

    /// The item as layout knows it, and its first garment.
    fn as_order(&self, item: &Item) -> (Order, Group) {
        let line = |(at, line): (usize, &super::QuotedLine)| Line {
            placement: line.placement,
            text: line.text.clone(),
            height: line.height,
            finish: FinishId::new(""),
            colour: ColourId::new(""),
            style: style_of(at),
            curve: line.curve,
            closest: line.closest,
        };
        let design = Design {
            blank: BlankId::new(""),
            lines: item.lines.iter().enumerate().map(line).collect(),
            count_by: CountBy::Sizes,
            sizes: Vec::new(),
            roster: String::new(),
        };
        let person = item.people.first().map(|person| Person {
            row: 0,
            name: person.name.clone(),
            number: person.number.clone(),
            size: person.size.clone(),
            quantity: person.quantity,
        });
        let order = Order {
            id: OrderId::new(""),
            title: String::new(),
            date: String::new(),
            designs: vec![design],
            swaps: self.swaps.clone(),
            aim: None,
        };
        (order, Group { person, size: String::new(), count: 1 })
    }
}

/// A letter style for each line: it is as wide as the quote says of that line.
fn style_of(line: usize) -> StyleId {
    StyleId::new(line.to_string())
}

/// The letter styles of the lines of which the quote says how wide they are.
fn styles(item: &Item, order: &Order, group: &Group) -> Vec<LetterStyle> {
    let lines = order.designs.iter().flat_map(|design| &design.lines).zip(&item.lines);
    let style = |(line, quoted): (&Line, &super::QuotedLine)| {
        let width = line.height.part(i64::from(quoted.width?), 1_000);
        let widths = scaled_to(&order.signs(line, group), line.height, width);
        Some(LetterStyle { widths, ..LetterStyle::estimated(line.style.as_str(), "") })
    };
    lines.filter_map(style).collect()
}
