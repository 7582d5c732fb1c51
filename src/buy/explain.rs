//! Why this mix: what other ways would cost, which thresholds paid, what one garment more costs;
//! for the mix as a whole and for each family in it.
//!
//! Every figure is the cost of a mix that was solved for it, by taking something away from the
//! price list or adding something to the need. Each is a small search of its own, so a page can
//! take them one at a time.
//!
//! Freight, minimums and breaks over several colours bind the families together, so a family has
//! no cost of its own that would add up. What is asked of a family is therefore asked of the
//! whole: what would everything cost if only this family were bought in packs? That is exact,
//! whatever binds the families. Only [`FamilyReasons::alone`] is the family by itself.

use super::{Entry, Mix, Need, Search};
use crate::glyph::Glyph;
use crate::lists::{CountOver, Family, Lists, Offer, OfferId, SupplierId, Way};
use crate::money::Cents;

/// What is known of the alternatives to a mix.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Explanation {
    /// Of the mix as a whole.
    pub whole: Reasons,
    /// Of each family, if there are several; those that are known.
    pub families: Vec<FamilyReasons>,
}

/// What everything would cost, were something done in another way.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reasons {
    /// Single pieces only; `None` where that does not get there.
    pub pieces: Option<Cents>,
    /// Packs only.
    pub packs: Option<Cents>,
    /// Assorted sets only.
    pub sets: Option<Cents>,
    /// Everything from one supplier, for each of several.
    pub one_supplier: Vec<(SupplierId, Option<Cents>)>,
    /// The cheapest mix that buys fewer units of some line; not known until all are asked for.
    pub next_best: Option<NextBest>,
    /// Thresholds that were reached and paid, what they saved.
    pub reached: Vec<(Threshold, Cents)>,
    /// What the letters of one garment more cost.
    pub one_more: Option<Cents>,
}

/// The alternatives in one family, the others being bought in whatever way is then the cheapest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FamilyReasons {
    /// The family.
    pub family: Family,
    /// What it costs to buy this family and nothing else, freight included.
    pub alone: Option<Cents>,
    /// What everything would cost, were something done in another way in this family only.
    pub reasons: Reasons,
}

/// The next best different mix: the cheapest one that is not this one with more on top.
///
/// Every other mix either buys fewer units of some line or is this mix and something besides, so
/// this is the cheapest of all that do not just buy more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextBest {
    /// What it costs.
    pub cost: Cents,
    /// The lines that differ.
    pub changes: Vec<Change>,
}

/// A line that has other units in another mix.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The offer.
    pub offer: OfferId,
    /// The family.
    pub family: Family,
    /// The chosen glyph; `None` for an assorted set.
    pub glyph: Option<Glyph>,
    /// The units in this mix.
    pub from: u32,
    /// The units in the other.
    pub to: u32,
}

/// A threshold of a price list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Threshold {
    /// A quantity break of an offer.
    Break {
        /// The offer.
        offer: OfferId,
        /// The number of units from which on the price is lower.
        from: u32,
    },
    /// A step of a supplier's freight.
    Freight {
        /// The supplier.
        supplier: SupplierId,
        /// The merchandise subtotal from which on freight is lower.
        from: Cents,
    },
}

/// Works out an explanation, one question at a time: first of the whole, then family by family.
pub struct Explainer {
    mix: Mix,
    needs: Vec<Need>,
    one_more: Vec<Need>,
    lists: Lists,
    /// The open questions, the next one last.
    questions: Vec<Question>,
    whole: Reasons,
    families: Vec<FamilyReasons>,
}

/// A question, of the whole or of the family with this place.
struct Question {
    about: Option<usize>,
    ask: Ask,
}

enum Ask {
    Alone,
    Kind(Kind),
    OneSupplier(SupplierId),
    Reached(Threshold),
    OneMore,
    Fewer(Entry),
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Piece,
    Pack,
    Set,
}

impl Kind {
    const ALL: [Self; 3] = [Self::Piece, Self::Pack, Self::Set];

    fn of(offer: &Offer) -> Self {
        match offer.way {
            Way::Piece { .. } => Self::Piece,
            Way::Pack { .. } => Self::Pack,
            Way::Set { .. } => Self::Set,
        }
    }
}

impl Explainer {
    /// Takes the mix to explain, the needs it covers, and the needs with one garment more.
    pub fn new(mix: &Mix, needs: &[Need], one_more: &[Need], lists: &Lists) -> Self {
        let bought = mix.families.iter().filter(|family| !family.bought.is_empty());
        let families: Vec<FamilyReasons> = bought
            .map(|found| FamilyReasons {
                family: found.family.clone(),
                alone: None,
                reasons: Reasons::default(),
            })
            .collect();
        let mut explainer = Self {
            mix: mix.clone(),
            needs: needs.to_vec(),
            one_more: one_more.to_vec(),
            lists: lists.clone(),
            questions: Vec::new(),
            whole: Reasons::default(),
            families,
        };
        explainer.ask_in_general(None, needs);
        for place in 0..explainer.families.len() {
            explainer.ask_of_family(place);
        }
        explainer.questions.reverse();
        explainer
    }

    /// What is asked of the whole and of a family alike.
    fn ask_in_general(&mut self, about: Option<usize>, needs: &[Need]) {
        let mut asks: Vec<Ask> = Kind::ALL.into_iter().map(Ask::Kind).collect();
        let sellers = sellers(needs, &self.lists);
        if sellers.len() > 1 {
            asks.extend(sellers.into_iter().map(Ask::OneSupplier));
        }
        let family = about.map(|place| self.families[place].family.clone());
        asks.extend(thresholds(&self.mix, &self.lists, family.as_ref()).into_iter().map(Ask::Reached));
        asks.push(Ask::OneMore);
        self.questions.extend(asks.into_iter().map(|ask| Question { about, ask }));
    }

    fn ask_of_family(&mut self, place: usize) {
        let family = self.families[place].family.clone();
        let about = Some(place);
        if self.families.len() > 1 {
            self.questions.push(Question { about, ask: Ask::Alone });
            self.ask_in_general(about, &need_of(&self.needs, &family));
        }
        let entries = self.mix.orders.iter().flat_map(|order| &order.entries);
        let own = entries.filter(|entry| entry.family == family);
        self.questions.extend(own.map(|entry| Question { about, ask: Ask::Fewer(entry.clone()) }));
    }

    /// What is known by now: each part once all its questions are answered.
    pub fn explanation(&self) -> Explanation {
        let is_open = |place: usize| self.questions.iter().any(|question| question.about == Some(place));
        let families = self.families.iter().enumerate();
        let known = families.filter(|(place, _)| self.families.len() > 1 && !is_open(*place));
        let best = self.families.iter().filter_map(|family| family.reasons.next_best.clone());
        let next_best = best.min_by_key(|best| best.cost).filter(|_| self.is_done());
        Explanation {
            whole: Reasons { next_best, ..self.whole.clone() },
            families: known.map(|(_, family)| family.clone()).collect(),
        }
    }

    /// Whether every question about the whole is answered, but for the next best mix.
    pub fn is_whole_known(&self) -> bool {
        self.questions.iter().all(|question| question.about.is_some())
    }

    /// Whether every question is answered.
    pub fn is_done(&self) -> bool {
        self.questions.is_empty()
    }

    /// Answers every question.
    pub fn finish(mut self) -> Explanation {
        while !self.is_done() {
            self.step();
        }
        self.explanation()
    }

    /// Answers the next question.
    pub fn step(&mut self) {
        let Some(Question { about, ask }) = self.questions.pop() else { return };
        let family = about.map(|place| self.families[place].family.clone());
        let best = self.answer(&ask, family.as_ref());
        let (this, cost) = (self.mix.cost(), best.as_ref().map(Mix::cost));
        let reasons = match about {
            None => &mut self.whole,
            Some(place) => &mut self.families[place].reasons,
        };
        match ask {
            Ask::Alone => {
                if let Some(place) = about {
                    self.families[place].alone = cost;
                }
            }
            Ask::Kind(Kind::Piece) => reasons.pieces = cost,
            Ask::Kind(Kind::Pack) => reasons.packs = cost,
            Ask::Kind(Kind::Set) => reasons.sets = cost,
            Ask::OneSupplier(supplier) => reasons.one_supplier.push((supplier, cost)),
            Ask::OneMore => reasons.one_more = cost.map(|cost| cost - this),
            Ask::Reached(threshold) => {
                let saved = cost.map(|cost| cost - this).filter(|saved| *saved > Cents::ZERO);
                reasons.reached.extend(saved.map(|saved| (threshold, saved)));
            }
            Ask::Fewer(_) => {
                let better = |mix: &Mix| reasons.next_best.as_ref().is_none_or(|best| mix.cost() < best.cost);
                if let Some(other) = best.filter(better) {
                    let changes = changes(&self.mix, &other);
                    reasons.next_best = Some(NextBest { cost: other.cost(), changes });
                }
            }
        }
    }

    /// The best mix under the condition of a question; of a family, a condition on it alone.
    fn answer(&self, ask: &Ask, family: Option<&Family>) -> Option<Mix> {
        let is_meant = |other: &Family| family.is_none_or(|family| family == other);
        let (lists, needs) = (&self.lists, &self.needs[..]);
        let search = match ask {
            Ask::Alone => Search::new(&need_of(needs, family?), lists),
            Ask::Kind(kind) => {
                Search::of(needs, lists, &|offer, of| !is_meant(of) || Kind::of(offer) == *kind)
            }
            Ask::OneSupplier(supplier) => {
                Search::of(needs, lists, &|offer, of| !is_meant(of) || offer.supplier == *supplier)
            }
            Ask::Fewer(entry) => Search::with_fewer(needs, lists, entry),
            Ask::OneMore => {
                let more = |need: &Need| need_of(&self.one_more, &need.family).pop();
                let mut changed: Vec<Need> = needs
                    .iter()
                    .map(|need| more(need).filter(|_| is_meant(&need.family)).unwrap_or_else(|| need.clone()))
                    .collect();
                let is_new = |need: &&Need| needs.iter().all(|known| known.family != need.family);
                changed.extend(self.one_more.iter().filter(is_new).filter(|_| family.is_none()).cloned());
                Search::new(&changed, lists)
            }
            Ask::Reached(threshold) => {
                let (lists, cut) = without_threshold(lists, threshold, family.is_some());
                // A break that is taken from one family only is taken from a copy of its offer.
                Search::of(needs, &lists, &|offer, of| {
                    cut.as_ref().is_none_or(|cut| cut.id != offer.id || (offer == cut) == is_meant(of))
                })
            }
        };
        best_of(search)
    }
}

/// The best mix that a little work finds; `None` where it does not cover everything.
fn best_of(mut search: Search) -> Option<Mix> {
    search.work(super::BRIEF);
    let mix = search.mix();
    let covers = search.has_found() && mix.families.iter().all(|family| family.unsold.is_empty());
    covers.then_some(mix)
}

fn need_of(needs: &[Need], family: &Family) -> Vec<Need> {
    needs.iter().filter(|need| need.family == *family).cloned().collect()
}

fn sellers(needs: &[Need], lists: &Lists) -> Vec<SupplierId> {
    let sells = |id: &SupplierId| {
        let offers = lists.offers.iter().filter(|offer| offer.supplier == *id && offer.fault().is_none());
        offers.into_iter().any(|offer| needs.iter().any(|need| offer.serves(&need.family)))
    };
    lists.suppliers.iter().map(|supplier| supplier.id.clone()).filter(sells).collect()
}

/// The lines that have other units in another mix: first those with fewer.
fn changes(this: &Mix, other: &Mix) -> Vec<Change> {
    let entries = |mix: &Mix| -> Vec<Entry> {
        mix.orders.iter().flat_map(|order| order.entries.iter().cloned()).collect()
    };
    let (these, others) = (entries(this), entries(other));
    let units = |entries: &[Entry], like: &Entry| {
        let same = entries.iter().filter(|entry| {
            (&entry.offer, &entry.family, &entry.glyph) == (&like.offer, &like.family, &like.glyph)
        });
        same.map(|entry| entry.units).sum::<u32>()
    };
    let mut changes: Vec<Change> = Vec::new();
    for entry in these.iter().chain(&others) {
        let change = Change {
            offer: entry.offer.clone(),
            family: entry.family.clone(),
            glyph: entry.glyph.clone(),
            from: units(&these, entry),
            to: units(&others, entry),
        };
        if change.from != change.to && !changes.contains(&change) {
            changes.push(change);
        }
    }
    changes.sort_by_key(|change| change.from < change.to);
    changes
}

/// The thresholds beyond the first that a mix has reached: freight and breaks of the whole; of a
/// family, the breaks that are counted in it alone.
fn thresholds(mix: &Mix, lists: &Lists, family: Option<&Family>) -> Vec<Threshold> {
    let mut found = Vec::new();
    for order in &mix.orders {
        let supplier = lists.suppliers.iter().find(|supplier| supplier.id == order.supplier);
        let steps = supplier.map_or(&[][..], |supplier| &supplier.freight);
        let at = steps.iter().rposition(|step| step.from <= order.subtotal);
        if let Some(at) = at.filter(|&at| family.is_none() && at > 0 && steps[at].cost < steps[at - 1].cost) {
            found.push(Threshold::Freight { supplier: order.supplier.clone(), from: steps[at].from });
        }
        for entry in order.entries.iter().filter(|entry| family.is_none_or(|own| *own == entry.family)) {
            let offer = lists.offers.iter().find(|offer| offer.id == entry.offer);
            let offer = offer.filter(|offer| family.is_none() || offer.count_over == CountOver::Family);
            let breaks = offer.map_or(&[][..], |offer| &offer.breaks);
            let reached = breaks.iter().rev().find(|step| step.price == entry.price);
            let threshold =
                reached.map(|step| Threshold::Break { offer: entry.offer.clone(), from: step.from });
            found.extend(threshold.filter(|threshold| !found.contains(threshold)));
        }
    }
    found
}

/// The lists without a threshold and those beyond it. With `beside`, the offer stays and the
/// one without the break stands beside it; it is given back.
fn without_threshold(lists: &Lists, threshold: &Threshold, beside: bool) -> (Lists, Option<Offer>) {
    let mut lists = lists.clone();
    match threshold {
        Threshold::Break { offer, from } => {
            let Some(at) = lists.offers.iter().position(|found| found.id == *offer) else {
                return (lists, None);
            };
            let mut cut = lists.offers[at].clone();
            cut.breaks.retain(|step| step.from < *from);
            if beside {
                lists.offers.insert(at + 1, cut.clone());
                return (lists, Some(cut));
            }
            lists.offers[at] = cut;
        }
        Threshold::Freight { supplier, from } => {
            for found in lists.suppliers.iter_mut().filter(|found| found.id == *supplier) {
                found.freight.retain(|step| step.from < *from);
            }
        }
    }
    (lists, None)
}
