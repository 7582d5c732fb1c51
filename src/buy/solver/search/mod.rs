//! The search over cases: always on with the one of the least bound.
//!
//! Owns what is known so far and the order of work; bounds, rounds, parting and plans have
//! files of their own.

mod bounds;
mod offers;
mod parting;
mod progress;
mod rounds;

use super::bend::Bending;
use super::cover::{NEVER, Tables};
use super::exchange::Exchange;
use super::family::Family;
use super::model::{Plan, Problem, Refusal, Way};
use super::sample::Samples;
use super::scheme::{Case, SCALE, cases};
use progress::Progress;
pub use progress::WHOLE;
use rounds::Round;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// The plan is proven to cost least.
    Optimal,
    /// There is a plan; a cheaper one down to the bound is not ruled out.
    Feasible,
    /// There is no plan; the outcome's reason says why.
    Infeasible,
    /// No plan is known yet.
    Unknown,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// Nobody sells these glyphs: pairs of family and glyph.
    Unsold(Vec<(usize, usize)>),
    /// What may be bought at these suppliers does not reach their minimum.
    Minimum(Vec<usize>),
    /// The suppliers' limits in stock do not cover the need of these families.
    Stock(Vec<usize>),
}

/// What a search has found so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// How far it has come.
    pub status: Status,
    /// The best plan so far.
    pub plan: Option<Plan>,
    /// No plan costs less than this.
    pub bound: i64,
    /// Whether the tie rule, too, is proven: no plan of equal cost comes before this one.
    pub settled: bool,
    /// Why there is no plan.
    pub reason: Option<Reason>,
}

/// The work that finding out about a minimum may take.
const DIAGNOSE_WORK: u64 = 20_000_000;
/// How many labels a stage may hold where a case can be parted instead.
const FIRST_ROOM: usize = 4_000;
/// How often a case is parted without a round, after a round that had no room.
const PATIENCE: u32 = 3;
/// How many labels a stage may hold at most.
const MOST_LABELS: usize = 60_000;
/// How many cases may come of parting.
const MOST_NODES: usize = 50_000;
/// How many layouts of one family a round may hold.
const MOST_LAYOUTS: usize = 20_000;

/// One case and what is known of it.
#[derive(Debug, Clone)]
struct Node {
    case: Case,
    /// No plan of this case costs less, in cents.
    bound: i64,
    state: State,
    /// How much beyond the bound the next round looks, in cents.
    reach: i64,
    /// Rounds are beyond the room that there is.
    stuck: bool,
    /// Rounds look at what is sure of the least totals first.
    careful: bool,
    /// How many labels a stage of its rounds may hold.
    room: usize,
    /// How often it is parted before a round is tried again, after one that had no room.
    patience: u32,
    /// Multipliers to begin with.
    hint: Option<Vec<i64>>,
    /// Every plan up to the best cost has been looked at, ties included.
    exhausted: bool,
}

#[derive(Debug, Clone)]
enum State {
    /// Bounded by the whole market.
    Rough,
    /// Bounded at these multipliers, but a group's stretch is to be fixed first.
    Open(Vec<i64>),
    /// Multipliers are being sought; `least` belongs to the best ones.
    Bending { bending: Bending, least: Vec<i64> },
    /// The least bent costs are being made exact, up to the given family.
    Refining { bending: Bending, least: Vec<i64>, next: usize },
    /// Multipliers are settled.
    Bent { multipliers: Vec<i64>, least: Vec<i64> },
}

impl Node {
    fn new(case: Case, room: usize) -> Self {
        Self {
            case,
            bound: 0,
            state: State::Rough,
            reach: 0,
            stuck: false,
            careful: false,
            room,
            patience: 0,
            hint: None,
            exhausted: false,
        }
    }

    /// Whether nothing is known of its bound.
    fn is_unbounded(&self) -> bool {
        matches!(self.state, State::Rough) && self.bound == 0
    }
}

/// Finds the cheapest plan, a slice of work at a time.
pub struct Solver {
    problem: Problem,
    families: Vec<Family>,
    tables: Vec<Tables>,
    samples: Vec<Samples>,
    exchange: Exchange,
    /// Choices of samples that have been offered.
    offered: HashSet<Vec<usize>>,
    known: HashMap<Vec<i64>, (i64, usize)>,
    /// Per family and supplier: whether the supplier sells it.
    sells: Vec<Vec<bool>>,
    nodes: Vec<Node>,
    /// The room of a case to begin with.
    room: usize,
    round: Option<Box<Round>>,
    best: Option<Plan>,
    reason: Option<Reason>,
    /// Every cost is a whole multiple of this many cents.
    unit: i64,
    /// No sensible plan costs more.
    ceiling: i64,
    done: bool,
    /// Work so far, in table lookups and labels.
    work: u64,
    progress: Progress,
}

impl Solver {
    /// Takes a problem.
    ///
    /// # Errors
    /// Refuses figures that cannot be right or are too large.
    pub fn new(problem: Problem) -> Result<Self, Refusal> {
        Self::with_room(problem, FIRST_ROOM)
    }

    /// Takes a problem, with room for so many partial plans at a stage before a case is parted.
    /// Less room holds less at a time and works longer; the answer is as good.
    ///
    /// # Errors
    /// As [`Solver::new`].
    pub fn with_room(problem: Problem, room: usize) -> Result<Self, Refusal> {
        problem.check()?;
        let cases = cases(&problem).ok_or(Refusal::TooLarge("the number of freight brackets"))?;
        let groups = cases.first().map(|case| Arc::clone(&case.groups)).unwrap_or_default();
        let families: Vec<Family> = (0..problem.families.len()).map(|f| Family::of(&problem, f)).collect();
        let tables = families.iter().map(|_| Tables::default()).collect();
        let samples = families.iter().map(|_| Samples::default()).collect();
        let unit = unit(&problem);
        let sells = |f: usize| {
            let sold = |s: usize| problem.ways.iter().any(|way| way.family == f && way.supplier == s);
            (0..problem.suppliers.len()).map(sold).collect()
        };
        let sells = (0..families.len()).map(sells).collect();
        let mut solver = Self {
            families,
            tables,
            samples,
            exchange: Exchange::new(&problem, groups),
            offered: HashSet::new(),
            known: HashMap::new(),
            sells,
            nodes: cases.into_iter().map(|case| Node::new(case, room)).collect(),
            room,
            round: None,
            best: None,
            reason: unsold(&problem).map(Reason::Unsold),
            unit,
            ceiling: 1 << 34,
            done: false,
            work: 0,
            progress: Progress::default(),
            problem,
        };
        solver.done = solver.reason.is_some();
        solver.advance_progress();
        Ok(solver)
    }

    /// What is known by now.
    pub fn outcome(&self) -> Outcome {
        let open = self.nodes.iter().map(|node| node.bound).min().unwrap_or(0);
        let best = self.best.as_ref().map(|plan| plan.worth.cents);
        let bound = best.map_or(open, |cents| open.min(cents));
        let status = match best {
            Some(cents) if bound >= cents => Status::Optimal,
            Some(_) => Status::Feasible,
            None if self.reason.is_some() => Status::Infeasible,
            None => Status::Unknown,
        };
        let settled =
            best.is_some_and(|cents| self.nodes.iter().all(|node| node.bound > cents || node.exhausted));
        Outcome { status, plan: self.best.clone(), bound, settled, reason: self.reason.clone() }
    }

    /// Work done so far: a count that does not depend on the machine.
    pub fn work(&self) -> u64 {
        self.work
    }

    /// Whether there is nothing left to do.
    pub fn done(&self) -> bool {
        self.done
    }

    /// Works until done or until `go_on` says no; asks it after every piece of work.
    pub fn run(&mut self, mut go_on: impl FnMut(&Self) -> bool) -> Outcome {
        while !self.done && go_on(self) {
            self.step();
        }
        self.outcome()
    }

    /// One piece of work.
    pub fn step(&mut self) {
        if !self.done {
            self.step_on();
            self.advance_progress();
        }
    }

    fn step_on(&mut self) {
        if let Some(round) = self.round.take() {
            self.go_round(round);
            return;
        }
        let Some(at) = self.choose() else {
            self.finish();
            return;
        };
        match self.nodes[at].state.clone() {
            State::Rough => self.rough(at),
            State::Open(multipliers) => self.part_group(at, multipliers),
            State::Bending { bending, least } => self.bend(at, bending, least),
            State::Refining { bending, least, next } => self.refine(at, bending, least, next),
            State::Bent { multipliers, least } => self.begin_round(at, multipliers, least),
        }
    }

    /// The case of the least bound that could still hold a better plan, or an equal one.
    fn choose(&self) -> Option<usize> {
        let best = self.best.as_ref().map_or(self.ceiling, |plan| plan.worth.cents);
        let open = |at: &usize| {
            let node = &self.nodes[*at];
            !node.stuck && !node.exhausted && node.bound <= best
        };
        (0..self.nodes.len()).filter(open).min_by_key(|&at| (self.nodes[at].bound, at))
    }

    fn finish(&mut self) {
        self.done = true;
        let stuck = self.nodes.iter().any(|node| node.stuck);
        if self.best.is_none() && !stuck {
            self.reason = Some(self.diagnose());
        }
    }

    fn diagnose(&self) -> Reason {
        let mut eased = self.problem.clone();
        let minimums: Vec<usize> =
            (0..eased.suppliers.len()).filter(|&s| eased.suppliers[s].min_order > 0).collect();
        for supplier in &mut eased.suppliers {
            supplier.min_order = 0;
        }
        if let Some(plan) = Self::new(eased)
            .ok()
            .filter(|_| !minimums.is_empty())
            .and_then(|mut s| s.run(|s| s.work() < DIAGNOSE_WORK).plan)
        {
            let short =
                |&s: &usize| plan.subtotal[s].is_some_and(|sum| sum < self.problem.suppliers[s].min_order);
            return Reason::Minimum(minimums.into_iter().filter(short).collect());
        }
        let limited =
            |f: &usize| self.problem.ways.iter().any(|way| way.family == *f && way.at_most.is_some());
        Reason::Stock((0..self.families.len()).filter(limited).collect())
    }

    /// Up to a whole multiple of the unit of cost.
    fn up(&self, cents: i64) -> i64 {
        (cents + self.unit - 1).div_euclid(self.unit) * self.unit
    }

    fn raise(&mut self, at: usize, scaled: i64) {
        let cents = if scaled >= NEVER { self.ceiling + 1 } else { (scaled + SCALE - 1).div_euclid(SCALE) };
        let cents = self.up(cents);
        let node = &mut self.nodes[at];
        node.bound = node.bound.max(cents);
    }
}

/// The glyphs that are needed and that nobody sells in any way.
fn unsold(problem: &Problem) -> Option<Vec<(usize, usize)>> {
    let mut out = Vec::new();
    for (f, family) in problem.families.iter().enumerate() {
        for (g, _) in family.need.iter().enumerate().filter(|&(_, &need)| need > 0) {
            let usable = |way: &&Way| way.family == f && way.at_most != Some(0);
            if !problem.ways.iter().filter(usable).any(|way| way.pieces() > 0 && way.sells(g)) {
                out.push((f, g));
            }
        }
    }
    (!out.is_empty()).then_some(out)
}

fn divisor(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { divisor(b, a % b) }
}

/// Every merchandise subtotal is a whole multiple of this.
fn price_unit(problem: &Problem) -> i64 {
    let prices = problem.ways.iter().flat_map(|way| &way.tiers).map(|tier| tier.cents);
    prices.fold(0, divisor).max(1)
}

/// Every cost is a whole multiple of this.
fn unit(problem: &Problem) -> i64 {
    let freight = problem.suppliers.iter().flat_map(|supplier| &supplier.freight).map(|step| step.cents);
    freight.fold(price_unit(problem), divisor).max(1)
}
