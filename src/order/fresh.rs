//! What a new order, design or line begins with: the start of the shop's lists.

use super::{CountBy, Curve, Design, Line, Order, OrderId, Placement, SizeCount, Wording};
use crate::lists::Lists;

/// An order with nothing on it.
pub fn empty_order(id: OrderId, date: &str) -> Order {
    Order {
        id,
        title: String::new(),
        date: date.to_owned(),
        designs: Vec::new(),
        swaps: Vec::new(),
        aim: None,
    }
}

/// An order with one design, where the lists have what that takes.
///
/// ```
/// use lettertally::{lists::demo, order::{OrderId, fresh}};
/// let order = fresh::order(OrderId::new("a"), "2026-01-01", &demo::lists());
/// assert_eq!(order.designs[0].sizes[0].count, 1);
/// assert!(order.is_only_begun() && !demo::order("2026-01-01").is_only_begun());
/// ```
pub fn order(id: OrderId, date: &str, lists: &Lists) -> Order {
    Order { designs: design(lists).into_iter().collect(), ..empty_order(id, date) }
}

/// One garment of the first blank with one empty line; `None` without a blank.
pub fn design(lists: &Lists) -> Option<Design> {
    let blank = lists.blanks.first()?;
    let size = blank.sizes.first().map(|size| SizeCount { size: size.name.clone(), count: 1 });
    Some(Design {
        blank: blank.id.clone(),
        lines: line(lists).into_iter().collect(),
        count_by: CountBy::Sizes,
        sizes: size.into_iter().collect(),
        roster: String::new(),
    })
}

/// An empty line in the first family on the price list; `None` without an offer.
pub fn line(lists: &Lists) -> Option<Line> {
    let family = lists.families().into_iter().next()?;
    Some(Line {
        placement: Placement::AcrossChest,
        text: Wording::default(),
        height: family.height,
        finish: family.finish,
        colour: family.colour,
        style: family.style,
        curve: Curve::Straight,
        closest: None,
    })
}
