//! The shop's usual offers, and orders made from them in a few taps.
//!
//! An offer is a design with a name: “shoulder line, name and number”. Owns the step from an offer
//! and what a customer says to an order.

use crate::lists::{Lists, id};
use crate::order::roster::write_row;
use crate::order::{CountBy, Design, Line, Order, OrderId, Placement, Wording, fresh};
use serde::{Deserialize, Serialize};

id! {
    /// Names a usual offer.
    UsualId
}

/// A usual offer of the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Usual {
    /// Its id.
    pub id: UsualId,
    /// What the shop calls it.
    pub name: String,
    /// The garment and what goes on it; who gets one is said anew each time.
    pub design: Design,
}

impl Usual {
    /// An offer from the first design of an order; `None` where it has none.
    pub fn of(order: &Order, id: UsualId, name: &str) -> Option<Self> {
        let design = order.designs.first()?.clone();
        let design = Design { roster: String::new(), sizes: Vec::new(), ..design };
        Some(Self { id, name: name.trim().to_owned(), design })
    }

    /// The lines whose text is the same for everybody, by their place: those that can be typed anew.
    pub fn fixed_lines(&self) -> impl Iterator<Item = (usize, &Line)> {
        self.design.lines.iter().enumerate().filter(|(_, line)| !line.text.uses_roster())
    }

    /// Whether a name is asked for, and whether a number.
    pub fn asks(&self) -> (bool, bool) {
        let has = |token: &str| self.design.lines.iter().any(|line| line.text.as_str().contains(token));
        (has(crate::order::wording::NAME), has(crate::order::wording::NUMBER))
    }
}

/// The offer to begin with: a line across the shoulders, a name, a number; `None` where the lists
/// have no blank or no letters.
///
/// ```
/// use lettertally::{booth::offer, lists::demo};
/// let usual = offer::first(&demo::lists()).unwrap();
/// assert_eq!((usual.design.lines.len(), usual.asks()), (3, (true, true)));
/// ```
pub fn first(lists: &Lists) -> Option<Usual> {
    let design = fresh::design(lists)?;
    let line = fresh::line(lists)?;
    let heights = lists.heights(&line.finish);
    let at = |placement, text: &str, height: Option<&crate::length::Length>| Line {
        placement,
        text: Wording::new(text),
        height: height.copied().unwrap_or(line.height),
        ..line.clone()
    };
    let lines = vec![
        at(Placement::AcrossShoulders, "", heights.first()),
        at(Placement::UpperBack, "{name}", heights.first()),
        at(Placement::MiddleBack, "{number}", heights.last()),
    ];
    let design = Design { lines, sizes: Vec::new(), ..design };
    Some(Usual { id: UsualId::new("first"), name: "Shoulder line, name, number".to_owned(), design })
}

/// What a customer says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Said {
    /// The name for the garment.
    pub name: String,
    /// The number for the garment.
    pub number: String,
    /// The size.
    pub size: String,
    /// How many alike.
    pub count: u16,
    /// The texts of the fixed lines, by their place; a line that is not among them stays as it is.
    pub texts: Vec<(usize, String)>,
}

/// The order that follows. Lines that stay empty are left out.
pub fn order(usual: &Usual, said: &Said, id: OrderId, date: &str) -> Order {
    let mut design = usual.design.clone();
    for (at, text) in &said.texts {
        if let Some(line) = design.lines.get_mut(*at) {
            line.text = Wording::new(text);
        }
    }
    let (name, number) = (said.name.trim(), said.number.trim());
    design.lines.retain(|line| !line.text.for_person(name, number).trim().is_empty());
    let count = said.count.max(1);
    let is_for_somebody = !(name.is_empty() && number.is_empty());
    if is_for_somebody && design.lines.iter().any(|line| line.text.uses_roster()) {
        let count = count.to_string();
        let cells = [name, number, said.size.as_str(), count.as_str()];
        design.count_by = CountBy::Roster;
        design.roster = format!("name,number,size,quantity\n{}\n", write_row(&cells, ','));
        design.sizes = Vec::new();
    } else {
        design.count_by = CountBy::Sizes;
        design.sizes = vec![crate::order::SizeCount { size: said.size.clone(), count }];
        design.roster = String::new();
    }
    let title = [name, number].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ");
    Order { title, designs: vec![design], ..fresh::empty_order(id, date) }
}
