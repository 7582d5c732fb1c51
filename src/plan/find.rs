//! What is wrong with an order, each thing at its place and with its fixes.

use super::{Plan, Shop};
use crate::cost::PriceError;
use crate::glyph::Glyph;
use crate::layout::fit::{LineFit, TooWide};
use crate::layout::picture::placed;
use crate::length::Units;
use crate::lists::{Caps, Colour, Family, LetterStyle, contrast};
use crate::money::Cents;
use crate::number::shortened;
use crate::order::{CountBy, Group, Line, Order, Part, Swap};
use crate::problem::{Fix, Place, Problem, Severity};
use crate::tally::{self, Use};
use std::collections::{BTreeMap, BTreeSet};

/// Everything wrong with an order, the worst first.
pub(super) fn problems(order: &Order, shop: &Shop, plan: &Plan) -> Vec<Problem> {
    Finder { order, shop, plan }.problems()
}

struct Finder<'a> {
    order: &'a Order,
    shop: &'a Shop,
    plan: &'a Plan,
}

impl Finder<'_> {
    fn problems(&self) -> Vec<Problem> {
        let mut found = Vec::new();
        if self.order.designs.is_empty() {
            let message = if self.shop.lists.blanks.is_empty() {
                "your lists have no garment yet: add a blank under Shop"
            } else {
                "no garment yet: add one with what goes on it"
            };
            found.push(stop(Place::Order, message.to_owned()));
        }
        for design in 0..self.order.designs.len() {
            found.extend(self.of_design(design));
            found.extend(self.of_lines(design));
            found.extend(self.of_gaps(design));
            found.extend(self.of_fit(design));
            found.extend(self.of_arcs(design));
            found.extend(self.of_overlaps(design));
            found.extend(self.of_contrast(design));
        }
        found.extend(self.of_letters());
        found.extend(self.of_buying());
        found.extend(self.of_price());
        found.extend(self.of_free_goods());
        found.extend(self.of_offers());
        // What costs the shop money is said before what merely looks wrong.
        found.sort_by_key(|problem| (problem.severity, problem.place != Place::Price));
        found
    }

    fn of_design(&self, at: usize) -> Vec<Problem> {
        let mut found = Vec::new();
        let design = &self.order.designs[at];
        let reading = &self.plan.readings[at];
        let blank = self.shop.lists.blank(&design.blank);
        if blank.is_none() {
            let message = format!("the blank “{}” is no longer on your lists: choose another", design.blank);
            found.push(stop(Place::Design(at), message));
        }
        for fault in &reading.roster.faults {
            found.push(stop(Place::Roster { design: at, row: fault.row }, fault.to_string()));
        }
        if let (Some(blank), CountBy::Sizes) = (blank, design.count_by) {
            let missing = reading.groups.iter().filter(|group| blank.size(&group.size).is_none());
            found.extend(missing.map(|group| {
                let message = format!(
                    "{} does not come in size “{}”: move its {} garments to another size",
                    blank.name,
                    shortened(&group.size),
                    group.count
                );
                stop(Place::Sizes(at), message)
            }));
        }
        if reading.groups.is_empty() && reading.roster.faults.is_empty() {
            let (place, message) = match design.count_by {
                CountBy::Sizes => (Place::Sizes(at), "no garments yet: enter how many of a size"),
                CountBy::Roster => {
                    (Place::Roster { design: at, row: 0 }, "nobody on the roster yet: add people")
                }
            };
            found.push(stop(place, message.to_owned()));
        }
        found
    }

    fn of_lines(&self, at: usize) -> Vec<Problem> {
        let design = &self.order.designs[at];
        let lines = design.lines.iter().enumerate();
        let mut found: Vec<Problem> =
            lines.filter_map(|(line, entry)| self.of_line(at, line, entry)).collect();
        if design.lines.is_empty() {
            found.push(look(Place::Design(at), "nothing goes on this garment yet: add a line".to_owned()));
        }
        found
    }

    fn of_line(&self, design: usize, at: usize, line: &Line) -> Option<Problem> {
        let lists = &self.shop.lists;
        let place = Place::Line { design, line: at };
        let by_size = self.order.designs[design].count_by == CountBy::Sizes;
        if is_empty(line) {
            // Nothing is wrong with a design that is only just begun: nobody is to wear it yet.
            let begun = self.order.designs[design].lines.iter().any(|line| !is_empty(line));
            let is_for_people = !self.plan.readings[design].roster.people.is_empty();
            return match (begun, is_for_people && at == 0) {
                (true, _) => Some(look(place, "no text yet".to_owned())),
                (false, true) => {
                    let message = "nothing goes on these people's garments yet: type a text, or tap “+ name”";
                    Some(stop(place, message.to_owned()))
                }
                (false, false) => None,
            };
        }
        if line.text.uses_roster() && by_size {
            let message =
                "this line takes names or numbers from a roster: switch to “by name”, or type a fixed text";
            return Some(stop(place, message.to_owned()));
        }
        let Some(finish) = lists.finish(&line.finish) else {
            let message = format!("the finish “{}” is no longer on your lists: choose another", line.finish);
            return Some(Problem {
                fixes: self.other_finishes(design, at, |_| true),
                ..stop(place, message)
            });
        };
        let family = line.family();
        if lists.colour(&line.finish, &line.colour).is_none() {
            let message = format!("{} has no colour “{}”: choose another", finish.name, line.colour);
            return Some(stop(place, message));
        }
        if lists.style(&line.style).is_none() {
            let message =
                format!("the letter style “{}” is no longer on your lists: choose another", line.style);
            let fix = |style: &LetterStyle| Fix::Style {
                design,
                line: at,
                style: style.id.clone(),
                name: style.name.clone(),
            };
            return Some(Problem { fixes: lists.styles.iter().map(fix).collect(), ..stop(place, message) });
        }
        if lists.offers_for(&family).next().is_none() && self.shop.shelf.of(&family).is_empty() {
            let message = format!("nobody on your price list sells {}", lists.family_name(&family));
            return Some(Problem { fixes: self.heights_of(design, at, line), ..stop(place, message) });
        }
        None
    }

    fn heights_of(&self, design: usize, line: usize, entry: &Line) -> Vec<Fix> {
        let heights = self.shop.lists.heights(&entry.finish).into_iter();
        let sold = |height: &crate::length::Length| {
            let family = Family { height: *height, ..entry.family() };
            self.shop.lists.offers_for(&family).next().is_some()
        };
        heights.filter(sold).map(|height| Fix::Height { design, line, height }).collect()
    }

    /// The other finishes that come in this line's height and style and pass a test.
    fn other_finishes(&self, design: usize, line: usize, test: impl Fn(&Family) -> bool) -> Vec<Fix> {
        let entry = &self.order.designs[design].lines[line];
        let mut fixes: Vec<Fix> = Vec::new();
        for family in self.shop.lists.families() {
            let alike =
                family.height == entry.height && family.style == entry.style && family.finish != entry.finish;
            let known =
                fixes.iter().any(|fix| matches!(fix, Fix::Finish { finish, .. } if *finish == family.finish));
            let Some(finish) = self.shop.lists.finish(&family.finish).filter(|_| alike && test(&family))
            else {
                continue;
            };
            let same_colour = family.colour == entry.colour;
            if known && same_colour {
                fixes.retain(|fix| !matches!(fix, Fix::Finish { finish, .. } if *finish == family.finish));
            }
            if !known || same_colour {
                let name = finish.name.clone();
                fixes.push(Fix::Finish { design, line, finish: family.finish, colour: family.colour, name });
            }
        }
        fixes
    }

    /// People whose row lacks what a line takes from the roster.
    fn of_gaps(&self, design: usize) -> Vec<Problem> {
        type Field = fn(&Group) -> &str;
        let fields: [(Part, &str, Field); 2] =
            [(Part::Name, "name", Group::name), (Part::Number, "number", Group::number)];
        let mut found = Vec::new();
        if self.order.designs[design].count_by == CountBy::Sizes {
            return found;
        }
        for (line, entry) in self.order.designs[design].lines.iter().enumerate() {
            for (_, word, field) in fields.iter().filter(|(part, ..)| entry.text.parts().contains(part)) {
                let groups = &self.plan.readings[design].groups;
                let mut without = groups.iter().filter(|group| field(group).is_empty());
                if let Some(first) = without.next() {
                    let gap = Use { design, line, person: first.person.clone(), others: without.count() };
                    let message = format!("{}no {word} for this line", who(&gap));
                    found.push(look(Place::Line { design, line }, message));
                }
            }
        }
        found
    }

    fn of_fit(&self, design: usize) -> Vec<Problem> {
        let too_wide = self.plan.fits[design].iter().enumerate().filter(|(_, fit)| !fit.too_wide.is_empty());
        let problem = |(line, fit): (usize, &LineFit)| {
            let smaller = fit.height_that_fits.map(|height| Fix::Height { design, line, height });
            let closer = fit.closer_fits_all.then(|| Fix::Closer {
                design,
                line,
                closest: Caps::percent(self.shop.settings.narrowest_gap),
            });
            let split = fit.split.as_ref().filter(|split| split.fits).map(|split| Fix::Split {
                design,
                line,
                first: split.first.clone(),
                second: split.second.clone(),
            });
            let message = too_wide_message(&fit.too_wide, self.shop.settings.units);
            let fixes = smaller.into_iter().chain(closer).chain(split).collect();
            Problem { fixes, ..look(Place::Line { design, line }, message) }
        };
        too_wide.map(problem).collect()
    }

    /// Lines that are too long for their arc.
    fn of_arcs(&self, design: usize) -> Vec<Problem> {
        let tight = self.plan.fits[design].iter().enumerate().filter(|(_, fit)| fit.is_too_tight);
        let message =
            "too long for its arc, which is drawn wider: take less rise, a larger radius or smaller letters";
        tight.map(|(line, _)| look(Place::Line { design, line }, message.to_owned())).collect()
    }

    /// Lines of which letters lie over those of a line before it, on the first garment of each size.
    fn of_overlaps(&self, design: usize) -> Vec<Problem> {
        let lists = &self.shop.lists;
        let entry = &self.order.designs[design];
        let Some(blank) = lists.blank(&entry.blank) else {
            return Vec::new();
        };
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let mut pairs: BTreeMap<(usize, usize), Vec<&str>> = BTreeMap::new();
        for group in &self.plan.readings[design].groups {
            let Some(size) = blank.size(&group.size).filter(|size| seen.insert(&size.name)) else {
                continue;
            };
            let lines = placed(self.order, entry, group, size, lists);
            for (at, line) in lines.iter().enumerate() {
                for other in lines[..at].iter().filter(|other| line.lies_over(other)) {
                    pairs.entry((line.line, other.line)).or_default().push(&size.name);
                }
            }
        }
        let problem = |((line, other), sizes): ((usize, usize), Vec<&str>)| {
            let message = format!(
                "lies over line {} on size {}: choose another place, or smaller letters",
                other + 1,
                sizes.join(", ")
            );
            look(Place::Line { design, line }, message)
        };
        pairs.into_iter().map(problem).collect()
    }

    /// Lines whose letters can hardly be told from the garment, with the colours that can.
    fn of_contrast(&self, design: usize) -> Vec<Problem> {
        let lists = &self.shop.lists;
        let entry = &self.order.designs[design];
        let Some(blank) = lists.blank(&entry.blank) else {
            return Vec::new();
        };
        let problem = |(line, entry): (usize, &Line)| {
            let finish = lists.finish(&entry.finish)?;
            let message = contrast::poor(lists.colour(&entry.finish, &entry.colour)?, blank)?;
            let is_sold = |colour: &&Colour| {
                let family = Family { colour: colour.id.clone(), ..entry.family() };
                lists.offers_for(&family).next().is_some()
            };
            let better = finish.colours.iter().filter(|colour| contrast::poor(colour, blank).is_none());
            let fix = |colour: &Colour| Fix::Colour {
                design,
                line,
                colour: colour.id.clone(),
                name: colour.name.clone(),
            };
            let fixes = better.filter(is_sold).map(fix).collect();
            Some(Problem { fixes, ..look(Place::Line { design, line }, message) })
        };
        let lines = entry.lines.iter().enumerate().filter(|(_, line)| !is_empty(line));
        lines.filter_map(problem).collect()
    }

    /// Letters needed that nobody sells and the shelf does not have.
    fn of_letters(&self) -> Vec<Problem> {
        let mut found = Vec::new();
        for mix in self.plan.mix.families.iter().filter(|mix| !mix.unsold.is_empty()) {
            if self.shop.lists.offers_for(&mix.family).next().is_none()
                && self.shop.shelf.of(&mix.family).is_empty()
            {
                continue; // The line says so already.
            }
            let uses =
                tally::uses(self.order, &self.plan.readings, &self.shop.lists, &mix.family, &mix.unsold);
            for (glyph, places) in &uses {
                found.extend(self.of_unsold(&mix.family, glyph, places));
            }
        }
        if self.plan.tally.families.iter().any(|family| family.need().is_full()) {
            let message = "more of one letter than this tool counts: split the order".to_owned();
            found.push(stop(Place::Order, message));
        }
        found
    }

    /// Letters that are sold, but cannot be bought all the same.
    fn of_buying(&self) -> Option<Problem> {
        let trouble = self.plan.mix.trouble.as_ref()?;
        Some(stop(Place::Order, trouble.words(&self.shop.lists)))
    }

    fn of_unsold(&self, family: &Family, glyph: &Glyph, places: &[Use]) -> Vec<Problem> {
        let lists = &self.shop.lists;
        let bare = glyph.without_accent().filter(|bare| lists.sells(family, bare));
        let problem = |found: &Use| {
            let &Use { design, line, .. } = found;
            let swap = bare.clone().map(|to| Fix::Swap(Swap { from: glyph.clone(), to: Some(to) }));
            let finishes = self.other_finishes(design, line, |family| lists.sells(family, glyph));
            let fixes = swap.into_iter().chain(finishes).chain([Fix::leave_out(glyph)]).collect();
            let message = format!("{}no {} in {}", who(found), glyph.name(), lists.family_name(family));
            Problem { fixes, ..stop(Place::Line { design, line }, message) }
        };
        places.iter().map(problem).collect()
    }

    fn of_price(&self) -> Option<Problem> {
        match (
            &self.plan.priced,
            &self.plan.priced.as_ref().map(|priced| priced.profit(&self.shop.settings.currency)),
        ) {
            // That there is no garment is said where garments are entered.
            (Err(PriceError::NoGarments), _) => None,
            (Err(error), _) => Some(stop(Place::Price, error.to_string())),
            (_, Ok(profit)) if *profit < crate::money::Money::ZERO => {
                let loss = self.shop.settings.currency.show(profit.round(&self.shop.settings.currency));
                Some(look(Place::Price, format!("at this price the order loses money: profit {loss}")))
            }
            _ => None,
        }
    }

    /// Blanks and letters that cost nothing: most likely a price not entered yet.
    fn of_free_goods(&self) -> Vec<Problem> {
        let mut found: Vec<Problem> = Vec::new();
        for (at, reading) in self.plan.readings.iter().enumerate() {
            let Some(blank) = self.shop.lists.blank(&self.order.designs[at].blank) else {
                continue;
            };
            let sizes = reading.groups.iter().filter_map(|group| blank.size(&group.size));
            let free = sizes.filter(|size| size.price == Cents::ZERO).map(|size| size.name.as_str());
            let names: BTreeSet<&str> = free.collect();
            if !names.is_empty() {
                let names = names.into_iter().collect::<Vec<_>>().join(", ");
                found.push(look(
                    Place::Design(at),
                    format!("{}, size {names}: its price is 0, enter it under Shop", blank.name),
                ));
            }
        }
        for offer in self.offers_used().filter(|offer| offer.fault().is_none() && offer.price == Cents::ZERO)
        {
            let message =
                format!("{} {}: its price is 0, enter it under Shop", offer.height, offer.way_name());
            found.push(look(Place::Offer(offer.id.clone()), message));
        }
        found
    }

    /// The offers that have letters of the order's families.
    fn offers_used(&self) -> impl Iterator<Item = &crate::lists::Offer> {
        let families = &self.plan.tally.families;
        let serves =
            |offer: &&crate::lists::Offer| families.iter().any(|family| offer.serves(&family.family));
        self.shop.lists.offers.iter().filter(serves)
    }

    /// Offers at fault matter here only where the order's families could use them.
    fn of_offers(&self) -> Vec<Problem> {
        let problem = |offer: &crate::lists::Offer| {
            let fault = offer.fault()?;
            let message =
                format!("{} at {}: {fault}", offer.way_name(), self.shop.settings.currency.show(offer.price));
            Some(look(Place::Offer(offer.id.clone()), message))
        };
        self.offers_used().filter_map(problem).collect()
    }
}

fn is_empty(line: &Line) -> bool {
    line.text.as_str().trim().is_empty()
}

fn stop(place: Place, message: String) -> Problem {
    Problem { severity: Severity::Stop, place, message, fixes: Vec::new() }
}

fn look(place: Place, message: String) -> Problem {
    Problem { severity: Severity::Look, place, message, fixes: Vec::new() }
}

/// "row 3, José, and 4 others: " or nothing where the text is the same on all.
fn who(found: &Use) -> String {
    let Some(person) = &found.person else {
        return String::new();
    };
    let label = if person.name.is_empty() { &person.number } else { &person.name };
    let others = match found.others {
        0 => String::new(),
        1 => " and 1 other".to_owned(),
        more => format!(" and {more} others"),
    };
    format!("row {}, {}{others}: ", person.row, shortened(label))
}

/// "16.16 in wide: too wide for size S (room for 13.32 in), size M (room for 14.8 in)".
fn too_wide_message(too_wide: &[TooWide], units: Units) -> String {
    const NAMED: usize = 3;
    let one = |entry: &TooWide| match entry.name.as_str() {
        "" => format!("size {} (room for {})", entry.size, units.show(entry.room)),
        name => format!("{} on size {} (room for {})", shortened(name), entry.size, units.show(entry.room)),
    };
    let width = too_wide.first().map_or_else(String::new, |worst| units.show(worst.width));
    let named: Vec<String> = too_wide.iter().take(NAMED).map(one).collect();
    let more = match too_wide.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{width} wide: too wide for {}{more}", named.join(", "))
}
