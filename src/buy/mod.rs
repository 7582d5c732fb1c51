//! The buy mix: the cheapest way to buy the letters that are needed.
//!
//! Owns the way from needs and price lists to an order for each supplier, and its explanation.
//! The search itself is in [`solver`], which knows neither names nor money signs: `request`
//! puts the question to it and reads its answer. Never looks at the shelf: what it is given is
//! what must be bought.
//!
//! Merchandise and freight over all suppliers are made least, every glyph covered, quantity
//! breaks, order minimums and limits in stock respected. Ties go to fewer letters bought (so
//! fewer left over), then fewer units, then offers that stand earlier in the price list.

pub mod explain;
pub mod paper;
mod request;
pub mod solver;

use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::{Family, Lists, Offer, OfferId, SupplierId};
use crate::money::Cents;
use request::Request;
use solver::{Solver, Status};

/// Letters of one family that must be bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// The family.
    pub family: Family,
    /// How many of each glyph.
    pub counts: GlyphCounts,
}

/// The needs of several orders as one, so that they are bought together.
///
/// ```
/// use lettertally::{buy::{self, Need}, glyph::GlyphCounts, lists::demo};
/// let family = demo::lists().families().remove(0);
/// let need = |text| Need { family: family.clone(), counts: GlyphCounts::parse(text).unwrap() };
/// let pooled = buy::pooled([need("A:2"), need("A:1 B:4")]);
/// assert_eq!(pooled[0].counts.to_string(), "A:3 B:4");
/// ```
pub fn pooled(needs: impl IntoIterator<Item = Need>) -> Vec<Need> {
    let mut pooled: Vec<Need> = Vec::new();
    for need in needs {
        match pooled.iter_mut().find(|found| found.family == need.family) {
            Some(found) => found.counts.add_all(&need.counts, 1),
            None => pooled.push(need),
        }
    }
    pooled
}

/// What to buy, and what is known of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Mix {
    /// One order for each supplier that something is bought from, in the order of the list.
    pub orders: Vec<SupplierOrder>,
    /// What that gives each family, in the order of the needs.
    pub families: Vec<FamilyMix>,
    /// No way to buy the same letters costs less than this.
    pub bound: Cents,
    /// Why not everything that is sold can be bought, if so; then nothing is.
    pub trouble: Option<Trouble>,
}

/// An order to one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplierOrder {
    /// The supplier.
    pub supplier: SupplierId,
    /// What to order, in the order of the price list, then of families and glyphs.
    pub entries: Vec<Entry>,
    /// The merchandise.
    pub subtotal: Cents,
    /// The freight.
    pub freight: Cents,
}

/// So many units of one offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The offer.
    pub offer: OfferId,
    /// The family whose letters these are.
    pub family: Family,
    /// The chosen glyph; `None` for an assorted set.
    pub glyph: Option<Glyph>,
    /// How many units, at least one.
    pub units: u32,
    /// What one costs, breaks included.
    pub price: Cents,
    /// What they cost together.
    pub cost: Cents,
}

/// What is bought of one family.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FamilyMix {
    /// The family.
    pub family: Family,
    /// What it costs, its share of freight included.
    pub cost: Cents,
    /// The letters in it.
    pub bought: GlyphCounts,
    /// The letters beyond the need.
    pub left_over: GlyphCounts,
    /// The letters needed that no offer has.
    pub unsold: GlyphCounts,
}

/// Why what is sold cannot be bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// These suppliers' order minimum cannot be reached with what they have.
    Minimum(Vec<SupplierId>),
    /// The suppliers do not have enough in stock of these families.
    Stock(Vec<Family>),
    /// The figures are beyond what can be reckoned with; says which.
    TooLarge(&'static str),
}

impl Trouble {
    /// What is wrong, with the names of the lists, and what to do.
    pub fn words(&self, lists: &Lists) -> String {
        match self {
            Self::Minimum(suppliers) => {
                let name = |id: &SupplierId| {
                    let supplier = lists.suppliers.iter().find(|supplier| supplier.id == *id);
                    supplier.map_or_else(|| id.to_string(), |supplier| supplier.name.clone())
                };
                let names: Vec<String> = suppliers.iter().map(name).collect();
                format!(
                    "the order minimum of {} cannot be reached with what is sold there: lower it, or add another supplier",
                    names.join(", ")
                )
            }
            Self::Stock(families) => {
                let names: Vec<String> = families.iter().map(|family| lists.family_name(family)).collect();
                format!(
                    "the suppliers do not have enough of {} in stock: raise “at most”, or add an offer",
                    names.join("; ")
                )
            }
            Self::TooLarge(what) => format!("too large to reckon with: {what}; split the order"),
        }
    }
}

impl Mix {
    /// What the whole mix costs, freight included.
    pub fn cost(&self) -> Cents {
        self.orders.iter().map(|order| order.subtotal + order.freight).sum()
    }

    /// Whether it is proved that nothing is cheaper.
    pub fn is_proved(&self) -> bool {
        self.bound >= self.cost()
    }

    /// How much cheaper another way could still be at most.
    pub fn gap(&self) -> Cents {
        (self.cost() - self.bound).max(Cents::ZERO)
    }

    /// The freight of all orders.
    pub fn freight(&self) -> Cents {
        self.orders.iter().map(|order| order.freight).sum()
    }

    /// The part of the mix for one family.
    pub fn family(&self, family: &Family) -> Option<&FamilyMix> {
        self.families.iter().find(|mix| mix.family == *family)
    }

    /// Whether nothing is bought.
    pub fn is_empty(&self) -> bool {
        self.orders.is_empty()
    }
}

/// Finds the cheapest mix for these needs, however long it takes.
///
/// ```
/// use lettertally::{buy, glyph::GlyphCounts, lists::demo};
/// let lists = demo::lists();
/// let family = lists.families().remove(0);
/// let need = buy::Need { family, counts: GlyphCounts::parse("A:6").unwrap() };
/// let mix = buy::solve(&[need], &lists);
/// assert!(mix.is_proved());
/// ```
pub fn solve(needs: &[Need], lists: &Lists) -> Mix {
    solve_with(needs, lists, u64::MAX)
}

/// The best mix that a little work finds, and how good it is proved to be.
///
/// The work is counted, not timed, so that the same input always gives the same answer.
pub fn solve_briefly(needs: &[Need], lists: &Lists) -> Mix {
    solve_with(needs, lists, BRIEF)
}

/// What "a little work" is, in the solver's own count: some milliseconds.
const BRIEF: u64 = 200_000;

fn solve_with(needs: &[Need], lists: &Lists, work: u64) -> Mix {
    let mut search = Search::new(needs, lists);
    search.work(work);
    search.mix()
}

/// A search that is done a slice at a time, so that a page stays alive and can stop it.
pub struct Search {
    request: Request,
    solver: Result<Solver, Trouble>,
}

impl Search {
    /// Takes the needs and the whole price list.
    pub fn new(needs: &[Need], lists: &Lists) -> Self {
        Self::of(needs, lists, &|_, _| true)
    }

    /// Takes the needs, and for each family some of the offers.
    pub fn of(needs: &[Need], lists: &Lists, admitted: &dyn Fn(&Offer, &Family) -> bool) -> Self {
        Self::from(Request::new(needs, lists, admitted, None))
    }

    /// Takes the needs and the whole price list, but buys fewer units of one entry than it has.
    pub fn with_fewer(needs: &[Need], lists: &Lists, entry: &Entry) -> Self {
        Self::from(Request::new(needs, lists, &|_, _| true, Some(entry)))
    }

    fn from(request: Request) -> Self {
        let solver = Solver::new(request.problem().clone()).map_err(|refusal| request::trouble(&refusal));
        Self { request, solver }
    }

    /// Works for so much of the solver's own count, or until done.
    pub fn work(&mut self, work: u64) {
        if let Ok(solver) = &mut self.solver {
            let end = solver.work().saturating_add(work);
            solver.run(|solver| solver.work() < end);
        }
    }

    /// Whether there is nothing left to find or prove.
    pub fn is_done(&self) -> bool {
        self.solver.as_ref().map_or(true, Solver::done)
    }

    /// How far it has come, in parts of [`solver::WHOLE`]: never goes back, and is the whole
    /// when done. What it measures is said at [`Solver::progress`]; it is no promise of time.
    pub fn progress(&self) -> u16 {
        self.solver.as_ref().map_or(solver::WHOLE, Solver::progress)
    }

    /// The best mix so far.
    pub fn mix(&self) -> Mix {
        match &self.solver {
            Err(trouble) => self.request.empty_mix(Some(trouble.clone())),
            Ok(solver) => {
                let outcome = solver.outcome();
                match (&outcome.plan, outcome.status) {
                    (Some(plan), _) => self.request.mix(plan, outcome.bound),
                    (None, Status::Infeasible) => {
                        let trouble = outcome.reason.as_ref().and_then(|reason| self.request.reason(reason));
                        self.request.empty_mix(trouble)
                    }
                    (None, _) => self.request.empty_mix(None),
                }
            }
        }
    }

    /// Whether a mix has been found that covers everything sold.
    pub fn has_found(&self) -> bool {
        self.solver.as_ref().is_ok_and(|solver| solver.outcome().plan.is_some())
    }
}
