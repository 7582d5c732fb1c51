//! The question to the solver, and its answer in the shop's own names.

use super::solver::Reason;
use super::solver::model::{self, Line, Plan, Problem, Refusal, Step, Tier, Unit};
use super::{Entry, FamilyMix, Mix, Need, SupplierOrder, Trouble};
use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::{CountOver, Family, Lists, Offer, Supplier, SupplierId, Way};
use crate::money::{Cents, apportion};
use std::collections::BTreeSet;

/// Needs and offers as the solver takes them, with the names to read its answer by.
pub(super) struct Request {
    problem: Problem,
    suppliers: Vec<SupplierId>,
    families: Vec<FamilyNames>,
    ways: Vec<Offer>,
}

struct FamilyNames {
    family: Family,
    /// The glyphs by the solver's index.
    glyphs: Vec<Glyph>,
    /// What is needed and sold.
    sold: GlyphCounts,
    /// What is needed and not sold.
    unsold: GlyphCounts,
}

impl Request {
    /// Letters that no admitted offer has are left out of the question, and named in the answer.
    /// Of `fewer`, if given, less is bought than it has.
    pub fn new(
        needs: &[Need],
        lists: &Lists,
        admitted: &dyn Fn(&Offer, &Family) -> bool,
        fewer: Option<&Entry>,
    ) -> Self {
        let offers: Vec<&Offer> = lists.offers.iter().filter(|offer| offer.fault().is_none()).collect();
        let families: Vec<FamilyNames> =
            needs.iter().map(|need| FamilyNames::new(need, &offers, admitted)).collect();
        let useful = |offer: &&&Offer| families.iter().any(|names| names.uses(offer, admitted));
        let used: Vec<&Offer> = offers.iter().filter(useful).copied().collect();
        let known = |supplier: &&Supplier| used.iter().any(|offer| offer.supplier == supplier.id);
        let sellers: Vec<&Supplier> = lists.suppliers.iter().filter(known).collect();
        let mut request = Self {
            problem: Problem {
                suppliers: sellers.iter().map(|supplier| seller(supplier)).collect(),
                families: families.iter().map(FamilyNames::need).collect(),
                ways: Vec::new(),
            },
            suppliers: sellers.iter().map(|supplier| supplier.id.clone()).collect(),
            families,
            ways: Vec::new(),
        };
        for (group, offer) in used.iter().enumerate() {
            for family in 0..request.families.len() {
                if request.families[family].uses(offer, admitted) {
                    request.add_way(offer, group, family, fewer, used.len());
                }
            }
        }
        request
    }

    /// The question.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    fn add_way(
        &mut self,
        offer: &Offer,
        group: usize,
        family: usize,
        fewer: Option<&Entry>,
        own_group: usize,
    ) {
        let Some(supplier) = self.suppliers.iter().position(|id| *id == offer.supplier) else {
            return;
        };
        let names = &self.families[family];
        let first = Tier { from: 1, cents: offer.price.minor() };
        let breaks = offer.breaks.iter().map(|entry| Tier { from: entry.from, cents: entry.price.minor() });
        let way = model::Way {
            supplier,
            family,
            unit: names.unit(&offer.way),
            tiers: [first].into_iter().chain(breaks).collect(),
            at_most: offer.at_most,
            group: (offer.count_over == CountOver::Offer).then_some(group),
        };
        let capped = fewer.filter(|entry| entry.offer == offer.id && entry.family == names.family);
        let ways = match capped {
            None => vec![way],
            Some(entry) => {
                let glyph =
                    entry.glyph.as_ref().and_then(|glyph| names.glyphs.iter().position(|g| g == glyph));
                fewer_of(way, glyph, entry.units, own_group)
            }
        };
        self.ways.extend(ways.iter().map(|_| offer.clone()));
        self.problem.ways.extend(ways);
    }

    /// The answer with nothing bought.
    pub fn empty_mix(&self, trouble: Option<Trouble>) -> Mix {
        let nothing = Plan::default();
        Mix { trouble, ..self.mix(&nothing, 0) }
    }

    /// The answer.
    pub fn mix(&self, plan: &Plan, bound: i64) -> Mix {
        let orders: Vec<SupplierOrder> =
            (0..self.suppliers.len()).filter_map(|at| self.order(at, plan)).collect();
        let shares: Vec<Vec<Cents>> = orders.iter().map(|order| self.shares(order)).collect();
        let families = self.families.iter().enumerate().map(|(at, names)| {
            let cost = shares.iter().filter_map(|share| share.get(at)).copied().sum();
            names.mix(cost, self.bought(at, plan))
        });
        Mix { families: families.collect(), orders, bound: Cents::new(bound), trouble: None }
    }

    fn order(&self, supplier: usize, plan: &Plan) -> Option<SupplierOrder> {
        let here = |line: &&Line| self.problem.ways.get(line.way).is_some_and(|way| way.supplier == supplier);
        let entries: Vec<Entry> =
            plan.lines.iter().filter(here).filter_map(|line| self.entry(line, plan)).collect();
        if entries.is_empty() {
            return None;
        }
        Some(SupplierOrder {
            supplier: self.suppliers.get(supplier)?.clone(),
            subtotal: entries.iter().map(|entry| entry.cost).sum(),
            freight: Cents::new(plan.freight.get(supplier).copied().unwrap_or(0)),
            entries,
        })
    }

    fn entry(&self, line: &Line, plan: &Plan) -> Option<Entry> {
        let (way, offer) = (self.problem.ways.get(line.way)?, self.ways.get(line.way)?);
        let names = self.families.get(way.family)?;
        let price = Cents::new(way.price(self.counted(line.way, plan)));
        Some(Entry {
            offer: offer.id.clone(),
            family: names.family.clone(),
            glyph: line.glyph.and_then(|glyph| names.glyphs.get(glyph)).cloned(),
            units: line.units,
            price,
            cost: price.times(line.units).unwrap_or(Cents::new(i64::MAX)),
        })
    }

    /// The units that count towards the breaks of a way.
    fn counted(&self, way: usize, plan: &Plan) -> u64 {
        let ways = &self.problem.ways;
        let together = |line: &&Line| {
            let group = ways.get(way).and_then(|way| way.group);
            line.way == way || group.is_some() && ways.get(line.way).is_some_and(|other| other.group == group)
        };
        plan.lines.iter().filter(together).map(|line| u64::from(line.units)).sum()
    }

    fn bought(&self, family: usize, plan: &Plan) -> GlyphCounts {
        let mut bought = GlyphCounts::default();
        for line in &plan.lines {
            let Some(way) = self.problem.ways.get(line.way).filter(|way| way.family == family) else {
                continue;
            };
            let glyphs = &self.families[family].glyphs;
            match (&way.unit, line.glyph) {
                (Unit::Same { n, .. }, Some(glyph)) => {
                    bought.add(glyphs[glyph].clone(), n.saturating_mul(line.units))
                }
                (Unit::Mix(contents), _) => contents.iter().for_each(|&(glyph, count)| {
                    bought.add(glyphs[glyph].clone(), count.saturating_mul(line.units))
                }),
                (Unit::Same { .. }, None) => {}
            }
        }
        bought
    }

    /// What each family bears of an order: its merchandise, and freight in proportion to it.
    fn shares(&self, order: &SupplierOrder) -> Vec<Cents> {
        let merchandise = |names: &FamilyNames| -> Cents {
            let own = order.entries.iter().filter(|entry| entry.family == names.family);
            own.map(|entry| entry.cost).sum()
        };
        let merchandise: Vec<Cents> = self.families.iter().map(merchandise).collect();
        let weights: Vec<u64> =
            merchandise.iter().map(|cost| u64::try_from(cost.minor()).unwrap_or(0)).collect();
        let freight = apportion(order.freight, &weights);
        merchandise.into_iter().zip(freight).map(|(goods, freight)| goods + freight).collect()
    }

    /// Why there is no answer; glyphs that nobody sells were left out of the question.
    pub fn reason(&self, reason: &Reason) -> Option<Trouble> {
        match reason {
            Reason::Unsold(_) => None,
            Reason::Minimum(suppliers) => {
                let names = suppliers.iter().filter_map(|&at| self.suppliers.get(at).cloned());
                Some(Trouble::Minimum(names.collect()))
            }
            Reason::Stock(families) => {
                let names = families.iter().filter_map(|&at| self.families.get(at)).map(|f| f.family.clone());
                Some(Trouble::Stock(names.collect()))
            }
        }
    }
}

/// A refused question. Figures out of order are kept out by [`Offer::fault`]; sizes are not.
pub(super) fn trouble(refusal: &Refusal) -> Trouble {
    match refusal {
        Refusal::TooLarge(what) => Trouble::TooLarge(what),
        _ => Trouble::TooLarge("a figure of the price list"),
    }
}

/// The ways that stand for one of which fewer units are bought: of a set, a lower limit; of one
/// glyph, all other glyphs as before and this one up to a limit, counted together for breaks.
/// Where the supplier's own limit would have to be shared out, none of this glyph.
fn fewer_of(way: model::Way, glyph: Option<usize>, units: u32, own_group: usize) -> Vec<model::Way> {
    let most = units.saturating_sub(1);
    let Unit::Same { n, glyphs: Some(glyphs) } = &way.unit else {
        let fewer = model::Way { at_most: Some(most), ..way };
        return [fewer].into_iter().filter(|_| most > 0).collect();
    };
    let group = way.group.or((way.tiers.len() > 1).then_some(own_group));
    let part = |glyphs: Vec<usize>, at_most: Option<u32>| model::Way {
        unit: Unit::Same { n: *n, glyphs: Some(glyphs) },
        at_most,
        group,
        ..way.clone()
    };
    let (this, others): (Vec<usize>, Vec<usize>) = glyphs.iter().partition(|at| Some(**at) == glyph);
    let few = part(this, Some(most));
    let rest = part(others, way.at_most);
    let is_sold = |way: &model::Way| matches!(&way.unit, Unit::Same { glyphs: Some(g), .. } if !g.is_empty());
    let few = Some(few).filter(|_| most > 0 && way.at_most.is_none());
    [Some(rest), few].into_iter().flatten().filter(is_sold).collect()
}

fn seller(supplier: &Supplier) -> model::Supplier {
    let step = |step: &crate::lists::FreightStep| Step { from: step.from.minor(), cents: step.cost.minor() };
    model::Supplier {
        freight: supplier.freight.iter().map(step).collect(),
        min_order: supplier.minimum.minor(),
    }
}

impl FamilyNames {
    fn new(need: &Need, offers: &[&Offer], admitted: &dyn Fn(&Offer, &Family) -> bool) -> Self {
        let serves = |offer: &&&Offer| offer.serves(&need.family) && admitted(offer, &need.family);
        let serving: Vec<&&Offer> = offers.iter().filter(serves).collect();
        let is_sold = |glyph: &Glyph| serving.iter().any(|offer| offer.gives(glyph));
        let part = |wanted: bool| -> GlyphCounts {
            let kept = need.counts.iter().filter(|(glyph, _)| is_sold(glyph) == wanted);
            kept.map(|(glyph, count)| (glyph.clone(), count)).collect()
        };
        let (sold, unsold) = (part(true), part(false));
        let in_sets = serving.iter().flat_map(|offer| match &offer.way {
            Way::Set { contents } => contents.iter().map(|(glyph, _)| glyph.clone()).collect::<Vec<_>>(),
            Way::Piece { .. } | Way::Pack { .. } => Vec::new(),
        });
        let needed = sold.iter().map(|(glyph, _)| glyph.clone());
        let glyphs: BTreeSet<Glyph> = needed.chain(in_sets).collect();
        Self { family: need.family.clone(), glyphs: glyphs.into_iter().collect(), sold, unsold }
    }

    /// Whether an offer is admitted and has letters that are needed here.
    fn uses(&self, offer: &Offer, admitted: &dyn Fn(&Offer, &Family) -> bool) -> bool {
        let serves = offer.serves(&self.family) && admitted(offer, &self.family);
        serves && self.sold.iter().any(|(glyph, _)| offer.gives(glyph))
    }

    fn need(&self) -> model::Family {
        model::Family { need: self.glyphs.iter().map(|glyph| self.sold.get(glyph)).collect() }
    }

    fn unit(&self, way: &Way) -> Unit {
        let indexed = self.glyphs.iter().enumerate();
        let same = |n: u32, sold: &crate::glyph::GlyphSet| {
            let glyphs = indexed.clone().filter(|(_, glyph)| sold.contains(glyph)).map(|(at, _)| at);
            Unit::Same { n, glyphs: Some(glyphs.collect()) }
        };
        match way {
            Way::Piece { glyphs } => same(1, glyphs),
            Way::Pack { of, glyphs } => same(*of, glyphs),
            Way::Set { contents } => Unit::Mix(
                indexed
                    .map(|(at, glyph)| (at, contents.get(glyph)))
                    .filter(|(_, count)| *count > 0)
                    .collect(),
            ),
        }
    }

    fn mix(&self, cost: Cents, bought: GlyphCounts) -> FamilyMix {
        FamilyMix {
            family: self.family.clone(),
            cost,
            left_over: bought.less(&self.sold),
            bought,
            unsold: self.unsold.clone(),
        }
    }
}
