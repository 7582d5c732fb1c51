//! A working copy: an order as it was typed, for a colleague with lists of their own.
//!
//! Owns its code in a link, and how its garments, finishes, colours and letter styles are found on
//! other lists: by id where the name agrees, else by name. It holds what was typed (texts, people,
//! sizes, the price aim) and those names, no price list, supplier, shelf or cost. Never adds
//! anything to the book itself.

use super::LinkError;
use super::dense::{DenseError, Kind, Unpacker};
use super::seal::{self, Sealer};
use crate::lists::{BlankId, ColourId, FinishId, Lists, StyleId};
use crate::order::{Line, Order, OrderId};

const VERSION: &str = "1";

/// The most names in a copy.
const MOST: usize = 1_000;

/// An order on its way to a colleague.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copy {
    /// The order as it was typed.
    pub order: Order,
    /// What its ids are called.
    pub names: Vec<Named>,
}

/// An id of an order and what the list it comes from calls it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// What it is.
    pub what: What,
    /// Its id, for a colour with the finish before it.
    pub id: String,
    /// Its name.
    pub name: String,
}

/// What an id names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A garment.
    Blank,
    /// A finish.
    Finish,
    /// A colour of a finish.
    Colour,
    /// A letter style.
    Style,
}

impl What {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Blank, "garment"),
        (Self::Finish, "finish"),
        (Self::Colour, "colour"),
        (Self::Style, "letter style"),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(what, _)| *what == self).map_or("", |(_, word)| word)
    }
}

/// Parts the finish from its colour in the id of a colour.
const PART: char = '\u{1f}';

impl Copy {
    /// The copy of an order, with the names from the lists it was made with.
    pub fn of(order: &Order, lists: &Lists) -> Self {
        let mut names: Vec<Named> = Vec::new();
        let mut add = |what, id: String, name: Option<&String>| {
            if let Some(name) = name
                && !names.iter().any(|known| known.what == what && known.id == id)
            {
                names.push(Named { what, id, name: name.clone() });
            }
        };
        for design in &order.designs {
            let blank = lists.blank(&design.blank).map(|blank| &blank.name);
            add(What::Blank, design.blank.to_string(), blank);
            for line in &design.lines {
                let finish = lists.finish(&line.finish).map(|finish| &finish.name);
                add(What::Finish, line.finish.to_string(), finish);
                let colour = lists.colour(&line.finish, &line.colour).map(|colour| &colour.name);
                add(What::Colour, colour_id(line), colour);
                let style = lists.styles.iter().find(|style| style.id == line.style);
                add(What::Style, line.style.to_string(), style.map(|style| &style.name));
            }
        }
        Self { order: order.clone(), names }
    }

    /// What goes after the address of the page, `#` included.
    pub fn fragment(&self) -> String {
        format!("#{}={VERSION}.{}", super::COPY, self.seal())
    }

    fn seal(&self) -> String {
        let mut out = Sealer::default();
        out.text(Kind::Figure, &self.names.len().to_string());
        for Named { what, id, name } in &self.names {
            out.text(Kind::Term, what.word());
            out.text(Kind::Term, id);
            out.text(Kind::Term, name);
        }
        // An order holds only texts and bounded numbers, which JSON always has a form for.
        out.text(Kind::Data, &serde_json::to_string(&self.order).unwrap_or_default());
        out.finish().code
    }

    pub(super) fn decode(code: &str) -> Result<Self, LinkError> {
        let (version, rest) = super::version(code)?;
        if version != VERSION {
            return Err(LinkError::NewerVersion(version.to_owned()));
        }
        let packed = seal::packed(rest)?;
        let copy = read(&mut Unpacker::new(&packed))?;
        if copy.seal() == rest { Ok(copy) } else { Err(LinkError::Damaged) }
    }

    /// The order as a new one on these lists, and what they do not have.
    pub fn taken_over(&self, lists: &Lists, id: OrderId) -> (Order, Vec<String>) {
        let mut order = Order { id, ..self.order.clone() };
        let mut missing = Vec::new();
        for design in &mut order.designs {
            let blanks: Vec<Entry> = lists.blanks.iter().map(|b| (b.id.as_str(), b.name.as_str())).collect();
            let found = self.find(What::Blank, design.blank.as_str(), &blanks, &mut missing);
            design.blank = BlankId::new(found);
            for line in &mut design.lines {
                self.match_line(line, lists, &mut missing);
            }
        }
        (order, missing)
    }

    fn match_line(&self, line: &mut Line, lists: &Lists, missing: &mut Vec<String>) {
        let colour = colour_id(line);
        let finishes: Vec<Entry> = lists.finishes.iter().map(|f| (f.id.as_str(), f.name.as_str())).collect();
        let styles: Vec<Entry> = lists.styles.iter().map(|s| (s.id.as_str(), s.name.as_str())).collect();
        line.finish = FinishId::new(self.find(What::Finish, line.finish.as_str(), &finishes, missing));
        line.style = StyleId::new(self.find(What::Style, line.style.as_str(), &styles, missing));
        let colours: Vec<Entry> = lists
            .finish(&line.finish)
            .map(|finish| finish.colours.iter().map(|c| (c.id.as_str(), c.name.as_str())).collect())
            .unwrap_or_default();
        let found = self.find(What::Colour, &colour, &colours, missing);
        line.colour = ColourId::new(found.rsplit(PART).next().unwrap_or(&found));
    }

    /// The id on other lists of what is meant by an id of the order; the id itself where they have
    /// nothing of the kind, which is then said.
    fn find(&self, what: What, id: &str, there: &[Entry], missing: &mut Vec<String>) -> String {
        let own = id.rsplit(PART).next().unwrap_or(id);
        let named = self.names.iter().find(|named| named.what == what && named.id == id);
        let called = named.map_or(own, |named| &named.name);
        let same_name = |name: &str| name.trim().to_lowercase() == called.trim().to_lowercase();
        let by_both = there.iter().find(|(id, name)| *id == own && same_name(name));
        let found = by_both.or_else(|| there.iter().find(|(_, name)| same_name(name)));
        if let Some((id, _)) = found {
            return (*id).to_owned();
        }
        let words = format!("{} “{called}”", what.word());
        if !missing.contains(&words) {
            missing.push(words);
        }
        // An id that means something else here would be a silent mix-up.
        if there.iter().any(|(id, _)| *id == own) { format!("{own}?") } else { own.to_owned() }
    }
}

/// Id and name of something on a list.
type Entry<'a> = (&'a str, &'a str);

fn colour_id(line: &Line) -> String {
    format!("{}{PART}{}", line.finish, line.colour)
}

fn read(from: &mut Unpacker) -> Result<Copy, LinkError> {
    let mut text = |kind| {
        from.text(kind).map_err(|error| match error {
            DenseError::TooLong => LinkError::TooLong,
            DenseError::Damaged => LinkError::Damaged,
        })
    };
    let count: usize = text(Kind::Figure)?.parse().map_err(|_| LinkError::Damaged)?;
    if count > MOST {
        return Err(LinkError::TooLong);
    }
    let mut names = Vec::new();
    for _ in 0..count {
        let word = text(Kind::Term)?;
        let what = What::ALL.iter().find(|(_, known)| *known == word);
        let (what, _) = what.ok_or(LinkError::Damaged)?;
        names.push(Named { what: *what, id: text(Kind::Term)?, name: text(Kind::Term)? });
    }
    let order = serde_json::from_str(&text(Kind::Data)?).map_err(|_| LinkError::Damaged)?;
    Ok(Copy { order, names })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::share::{self, Link};

    fn came_over(copy: &Copy) -> Copy {
        match share::read(&copy.fragment()) {
            Ok(Some(Link::Copy(copy))) => *copy,
            other => panic!("no copy: {other:?}"),
        }
    }

    #[test]
    fn a_copy_comes_over_whole_and_finds_its_names_on_the_same_lists() {
        let (order, lists) = (demo::order("2026-01-01"), demo::lists());
        let copy = came_over(&Copy::of(&order, &lists));
        assert_eq!(copy, Copy::of(&order, &lists));
        let (taken, missing) = copy.taken_over(&lists, OrderId::new("mine"));
        assert_eq!(taken, Order { id: OrderId::new("mine"), ..order });
        assert_eq!(missing, Vec::<String>::new());
    }

    #[test]
    fn names_lead_to_other_ids_and_what_is_not_there_is_said() {
        let (order, mut lists) = (demo::order("2026-01-01"), demo::lists());
        let copy = Copy::of(&order, &lists);
        // Here "smooth" is another finish, and the one meant has another id.
        lists.finishes[0].id = FinishId::new("film-9");
        lists.finishes[2].id = FinishId::new("smooth");
        lists.finishes[1].name = "sparkle".to_owned();
        lists.blanks[0].name = "cape".to_owned();
        let (taken, missing) = copy.taken_over(&lists, OrderId::new("mine"));
        let lines = &taken.designs[0].lines;
        assert_eq!((lines[1].finish.as_str(), lines[1].colour.as_str()), ("film-9", "white"));
        assert_eq!(missing, ["garment “club tee, navy”", "finish “glitter film”", "colour “gold”"]);
        assert_eq!(lists.finish(&lines[0].finish), None);
        assert_eq!(lists.blank(&taken.designs[0].blank), None);
    }

    #[test]
    fn no_figure_of_a_supplier_is_in_a_copy() {
        let copy = Copy::of(&demo::order("2026-01-01"), &demo::lists());
        let said = format!("{:?}", came_over(&copy));
        for secret in ["quillfeather", "tansywick", "smooth-2", "215", "1790"] {
            assert!(!said.to_lowercase().contains(secret), "{secret}");
        }
    }
}
