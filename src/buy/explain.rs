//! Why this mix: what other ways would cost, which thresholds paid, what one garment more costs.
//!
//! Every figure is the cost of a mix that was solved for it, by taking something away from the
//! price list or adding something to the need. Each is a small search of its own, so a page can
//! take them one at a time.

use super::{Mix, Need, Search};
use crate::lists::{Lists, Offer, OfferId, SupplierId, Way};
use crate::money::Cents;
use std::collections::BTreeSet;

/// What is known of the alternatives to a mix.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Explanation {
    /// Single pieces only; `None` where that does not get there.
    pub pieces: Option<Cents>,
    /// Packs only.
    pub packs: Option<Cents>,
    /// Assorted sets only.
    pub sets: Option<Cents>,
    /// Everything from one supplier, for each of several.
    pub one_supplier: Vec<(SupplierId, Option<Cents>)>,
    /// The cheapest mix that does without one of the offers used here.
    pub next_best: Option<NextBest>,
    /// Thresholds that were reached and paid, what they saved.
    pub reached: Vec<(Threshold, Cents)>,
    /// What the letters of one garment more cost.
    pub one_more: Option<Cents>,
}

/// The next best different mix.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextBest {
    /// The offer that it does without.
    pub without: OfferId,
    /// What it costs.
    pub cost: Cents,
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

/// Works out an explanation, one question at a time.
pub struct Explainer {
    needs: Vec<Need>,
    one_more: Vec<Need>,
    lists: Lists,
    cost: Cents,
    questions: Vec<Question>,
    explanation: Explanation,
}

enum Question {
    Kind(Kind),
    OneSupplier(SupplierId),
    Without(OfferId),
    Reached(Threshold),
    OneMore,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Piece,
    Pack,
    Set,
}

impl Kind {
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
        let mut questions: Vec<Question> =
            [Kind::Piece, Kind::Pack, Kind::Set].into_iter().map(Question::Kind).collect();
        let sellers = sellers(needs, lists);
        if sellers.len() > 1 {
            questions.extend(sellers.into_iter().map(Question::OneSupplier));
        }
        questions.extend(thresholds(mix, lists).into_iter().map(Question::Reached));
        let entries = mix.orders.iter().flat_map(|order| &order.entries);
        let used: BTreeSet<&OfferId> = entries.map(|entry| &entry.offer).collect();
        questions.extend(used.into_iter().cloned().map(Question::Without));
        questions.push(Question::OneMore);
        questions.reverse();
        Self {
            needs: needs.to_vec(),
            one_more: one_more.to_vec(),
            lists: lists.clone(),
            cost: mix.cost(),
            questions,
            explanation: Explanation::default(),
        }
    }

    /// What is known by now.
    pub fn explanation(&self) -> &Explanation {
        &self.explanation
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
        self.explanation
    }

    /// Answers the next question.
    pub fn step(&mut self) {
        match self.questions.pop() {
            None => {}
            Some(Question::Kind(kind)) => {
                let cost = self.cost_with(&self.lists, &self.needs, |offer| Kind::of(offer) == kind);
                match kind {
                    Kind::Piece => self.explanation.pieces = cost,
                    Kind::Pack => self.explanation.packs = cost,
                    Kind::Set => self.explanation.sets = cost,
                }
            }
            Some(Question::OneSupplier(supplier)) => {
                let cost = self.cost_with(&self.lists, &self.needs, |offer| offer.supplier == supplier);
                self.explanation.one_supplier.push((supplier, cost));
            }
            Some(Question::Without(without)) => {
                let cost = self.cost_with(&self.lists, &self.needs, |offer| offer.id != without);
                let better =
                    |cost: &Cents| self.explanation.next_best.as_ref().is_none_or(|best| *cost < best.cost);
                if let Some(cost) = cost.filter(better) {
                    self.explanation.next_best = Some(NextBest { without, cost });
                }
            }
            Some(Question::Reached(threshold)) => {
                let lists = without_threshold(&self.lists, &threshold);
                let saved = self.cost_with(&lists, &self.needs, |_| true).map(|cost| cost - self.cost);
                if let Some(saved) = saved.filter(|saved| *saved > Cents::ZERO) {
                    self.explanation.reached.push((threshold, saved));
                }
            }
            Some(Question::OneMore) => {
                let cost = self.cost_with(&self.lists, &self.one_more, |_| true);
                self.explanation.one_more = cost.map(|cost| cost - self.cost);
            }
        }
    }

    /// The cost of the best mix; `None` where it does not cover everything.
    fn cost_with(&self, lists: &Lists, needs: &[Need], admitted: impl Fn(&Offer) -> bool) -> Option<Cents> {
        let mut search = Search::of(needs, lists, admitted);
        search.work(super::BRIEF);
        let mix = search.mix();
        let covers = search.has_found() && mix.families.iter().all(|family| family.unsold.is_empty());
        covers.then(|| mix.cost())
    }
}

fn sellers(needs: &[Need], lists: &Lists) -> Vec<SupplierId> {
    let sells = |id: &SupplierId| {
        let offers = lists.offers.iter().filter(|offer| offer.supplier == *id && offer.fault().is_none());
        offers.into_iter().any(|offer| needs.iter().any(|need| offer.serves(&need.family)))
    };
    lists.suppliers.iter().map(|supplier| supplier.id.clone()).filter(sells).collect()
}

/// The breaks and freight steps beyond the first that a mix has reached.
fn thresholds(mix: &Mix, lists: &Lists) -> Vec<Threshold> {
    let mut found = Vec::new();
    for order in &mix.orders {
        let supplier = lists.suppliers.iter().find(|supplier| supplier.id == order.supplier);
        let steps = supplier.map_or(&[][..], |supplier| &supplier.freight);
        let at = steps.iter().rposition(|step| step.from <= order.subtotal);
        if let Some(at) = at.filter(|&at| at > 0 && steps[at].cost < steps[at - 1].cost) {
            found.push(Threshold::Freight { supplier: order.supplier.clone(), from: steps[at].from });
        }
        for entry in &order.entries {
            let offer = lists.offers.iter().find(|offer| offer.id == entry.offer);
            let breaks = offer.map_or(&[][..], |offer| &offer.breaks);
            let reached = breaks.iter().rev().find(|step| step.price == entry.price);
            let threshold =
                reached.map(|step| Threshold::Break { offer: entry.offer.clone(), from: step.from });
            found.extend(threshold.filter(|threshold| !found.contains(threshold)));
        }
    }
    found
}

fn without_threshold(lists: &Lists, threshold: &Threshold) -> Lists {
    let mut lists = lists.clone();
    match threshold {
        Threshold::Break { offer, from } => {
            for found in lists.offers.iter_mut().filter(|found| found.id == *offer) {
                found.breaks.retain(|step| step.from < *from);
            }
        }
        Threshold::Freight { supplier, from } => {
            for found in lists.suppliers.iter_mut().filter(|found| found.id == *supplier) {
                found.freight.retain(|step| step.from < *from);
            }
        }
    }
    lists
}
