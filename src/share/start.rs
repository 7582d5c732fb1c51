//! A new order from readable parameters, so that a shop can link from its own web page:
//! `#text=TIGERS&qty=12&height=4&finish=glitter&colour=gold&size=M&blank=club-tee-navy&at=chest`.
//!
//! `text` may be repeated for several lines; the other parameters then hold for all of them,
//! but `at`, which may be repeated too. What a link leaves out is taken from the start of the
//! shop's lists.

use super::LinkError;
use crate::length::Length;
use crate::lists::{Blank, ColourId, Family, FinishId, Lists, StyleId};
use crate::number;
use crate::order::{CountBy, Curve, Design, Line, Order, OrderId, Placement, SizeCount, Wording};

/// The most lines that a link may ask for.
const MOST_LINES: usize = 12;

/// The longest name of anything in a link, in bytes.
const LONGEST_NAME: usize = 200;

/// What a link asks for, before it is held against the lists.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Start {
    /// The texts, one per line.
    pub texts: Vec<Wording>,
    /// Where the lines go, as far as the link says.
    pub placements: Vec<Placement>,
    /// How many garments.
    pub quantity: Option<u16>,
    /// The letter height.
    pub height: Option<Length>,
    /// The finish, by id or name.
    pub finish: Option<String>,
    /// The colour, by id or name.
    pub colour: Option<String>,
    /// The letter style, by id or name.
    pub style: Option<String>,
    /// The blank, by id or name.
    pub blank: Option<String>,
    /// The size.
    pub size: Option<String>,
    /// What to call the order.
    pub title: Option<String>,
}

impl Start {
    /// What the parameters ask for; `None` if none of them is one of ours. Others are passed over.
    pub(super) fn from_parameters(parameters: &[(String, String)]) -> Result<Option<Self>, LinkError> {
        let mut start = Self::default();
        let mut known = false;
        for (name, value) in parameters {
            known |= start.take(name, value)?;
        }
        Ok(known.then_some(start))
    }

    fn take(&mut self, name: &str, value: &str) -> Result<bool, LinkError> {
        let wrong = |name, why: String| LinkError::Parameter { name, why };
        let fits = |name: &'static str, most: usize| match value.len() {
            length if length > most => Err(wrong(name, format!("longer than {most} characters"))),
            _ => Ok(Some(value.trim().to_owned())),
        };
        let text = |name| fits(name, LONGEST_NAME);
        match name {
            "text" if self.texts.len() == MOST_LINES => {
                return Err(wrong("text", format!("at most {MOST_LINES} lines")));
            }
            "text" => {
                fits("text", Wording::LONGEST)?;
                self.texts.push(Wording::new(value));
            }
            "at" => self.placements.push(placement(value)?),
            "qty" => {
                let count =
                    number::whole(value, 1, 9_999).map_err(|error| wrong("qty", error.to_string()))?;
                self.quantity = u16::try_from(count).ok();
            }
            "height" => {
                let height =
                    Length::parse_inches(value).map_err(|error| wrong("height", error.to_string()))?;
                self.height = Some(height);
            }
            "finish" => self.finish = text("finish")?,
            "colour" | "color" => self.colour = text("colour")?,
            "style" => self.style = text("style")?,
            "blank" => self.blank = text("blank")?,
            "size" => self.size = text("size")?,
            "title" => self.title = text("title")?,
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// The order that the link asks for, from these lists.
    ///
    /// # Errors
    /// Names the parameter that asks for something the lists do not have, and what they do have.
    pub fn order(&self, lists: &Lists, id: OrderId, date: &str) -> Result<Order, LinkError> {
        let family = self.family(lists)?;
        let blank =
            find("blank", self.blank.as_deref(), &lists.blanks, |blank| [blank.id.as_str(), &blank.name])?;
        let texts = if self.texts.is_empty() { vec![Wording::default()] } else { self.texts.clone() };
        let line = |(i, text): (usize, Wording)| Line {
            placement: self.placements.get(i).copied().unwrap_or_else(|| usual_placement(i)),
            text,
            height: family.height,
            finish: family.finish.clone(),
            colour: family.colour.clone(),
            style: family.style.clone(),
            curve: Curve::Straight,
            closest: None,
        };
        let design = Design {
            blank: blank.id.clone(),
            lines: texts.into_iter().enumerate().map(line).collect(),
            count_by: CountBy::Sizes,
            sizes: vec![SizeCount { size: self.size_of(blank)?, count: self.quantity.unwrap_or(1) }],
            roster: String::new(),
        };
        let title = self.title.clone().unwrap_or_default();
        Ok(Order { id, title, date: date.to_owned(), designs: vec![design], swaps: vec![], aim: None })
    }

    fn family(&self, lists: &Lists) -> Result<Family, LinkError> {
        let finish = find("finish", self.finish.as_deref(), &lists.finishes, |f| [f.id.as_str(), &f.name])?;
        let offered = lists.families().into_iter().filter(|family| family.finish == finish.id);
        let offered: Vec<Family> = offered.collect();
        let heights = lists.heights(&finish.id);
        if let Some(height) = self.height.filter(|height| !heights.contains(height)) {
            let sold = heights.iter().map(Length::to_string).collect::<Vec<_>>().join(", ");
            let why = format!("{} does not come {height} tall; use {sold}", finish.name);
            return Err(LinkError::Parameter { name: "height", why });
        }
        let colour = find("colour", self.colour.as_deref(), &finish.colours, |c| [c.id.as_str(), &c.name])?;
        let style = find("style", self.style.as_deref(), &lists.styles, |s| [s.id.as_str(), &s.name])?;
        let asked = |family: &&Family| {
            self.height.is_none_or(|height| height == family.height)
                && (self.colour.is_none() || family.colour == colour.id)
                && (self.style.is_none() || family.style == style.id)
        };
        Ok(offered.iter().find(asked).cloned().unwrap_or_else(|| Family {
            finish: FinishId::new(finish.id.as_str()),
            height: self.height.or_else(|| heights.first().copied()).unwrap_or(Length::inches(2)),
            colour: ColourId::new(colour.id.as_str()),
            style: StyleId::new(style.id.as_str()),
        }))
    }

    fn size_of(&self, blank: &Blank) -> Result<String, LinkError> {
        let name = |size: &crate::lists::BlankSize| size.name.clone();
        match &self.size {
            None => Ok(blank.sizes.first().map_or_else(String::new, name)),
            Some(asked) => blank.size(asked).map(name).ok_or_else(|| {
                let sizes = blank.sizes.iter().map(name).collect::<Vec<_>>().join(", ");
                LinkError::Parameter { name: "size", why: format!("{} comes in {sizes}", blank.name) }
            }),
        }
    }
}

fn placement(value: &str) -> Result<Placement, LinkError> {
    let asked = value.trim().to_lowercase();
    let found = Placement::ALL.into_iter().find(|placement| placement.link_name() == asked);
    found.ok_or_else(|| {
        let names = Placement::ALL.map(Placement::link_name).join(", ");
        LinkError::Parameter { name: "at", why: format!("use one of {names}") }
    })
}

/// Where lines go that no link placed: the first over the chest, the others on the back.
fn usual_placement(line: usize) -> Placement {
    match line {
        0 => Placement::AcrossChest,
        1 => Placement::UpperBack,
        _ => Placement::MiddleBack,
    }
}

/// The record with this id or name; the first one where nothing is asked for.
fn find<'a, T>(
    parameter: &'static str,
    asked: Option<&str>,
    list: &'a [T],
    names: impl Fn(&T) -> [&str; 2],
) -> Result<&'a T, LinkError> {
    let same = |name: &str, asked: &str| name.to_lowercase() == asked.to_lowercase();
    let found = match asked {
        None => list.first(),
        Some(asked) => list.iter().find(|entry| names(entry).iter().any(|name| same(name, asked))),
    };
    found.ok_or_else(|| {
        let known = list.iter().map(|entry| names(entry)[1].to_owned()).collect::<Vec<_>>();
        let why = if known.is_empty() {
            "there is none on the lists".to_owned()
        } else {
            format!("use one of {}", known.join(", "))
        };
        LinkError::Parameter { name: parameter, why }
    })
}
