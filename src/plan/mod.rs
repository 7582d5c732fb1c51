//! The one facade that the page calls: everything entered goes in, everything shown comes out.
//!
//! A pure function from lists, settings, shelf and order to letters, mix, cost, price and
//! problems, so that tests, examples and the page share one path.

mod find;

use crate::buy::{self, Mix, Need};
use crate::cost::sheet::SECONDS_PER_HOUR;
use crate::cost::{self, LetterCosts, PriceError, Priced, RunPrice, Sheet};
use crate::layout::fit::{LineFit, fits};
use crate::lists::settings::Aim;
use crate::lists::{Lists, Settings};
use crate::money::{Cents, Currency};
use crate::order::{Order, Reading};
use crate::press::sheet::RunTimes;
use crate::problem::{Problem, Severity};
use crate::shelf::Shelf;
use crate::tally::{self, Tally};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// Everything about a shop but its orders.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shop {
    /// What can be bought and pressed.
    pub lists: Lists,
    /// What an hour costs, what the price aims at, and so on.
    pub settings: Settings,
    /// The letters already owned.
    pub shelf: Shelf,
}

/// Everything that is shown about an order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// Each design, read: its people and garments.
    pub readings: Vec<Reading>,
    /// How each line of each design fits.
    pub fits: Vec<Vec<LineFit>>,
    /// The letters it takes.
    pub tally: Tally,
    /// The cheapest way to buy what the shelf does not have.
    pub mix: Mix,
    /// What one letter of each family costs the order.
    pub letter_costs: LetterCosts,
    /// What it costs.
    pub sheet: Sheet,
    /// How long the run takes with the shop's people and presses.
    pub run: RunTimes,
    /// What the price aims at.
    pub aim: Aim,
    /// What it is sold for.
    pub priced: Result<Priced, PriceError>,
    /// What is wrong, the worst first.
    pub problems: Vec<Problem>,
}

impl Plan {
    /// Whether something is missing from the figures, so that no quote can be handed over.
    pub fn is_incomplete(&self) -> bool {
        self.problems.iter().any(|problem| problem.severity == Severity::Stop)
    }

    /// What the letters are worth that are bought with this order and not charged to it.
    pub fn kept_on_shelf(&self, currency: &Currency) -> Cents {
        self.letter_costs.kept.round(currency)
    }

    /// The price at other quantities. No part of the plan: it takes a mix for each quantity, several
    /// times the work of all the rest, and only who looks at it has a use for it.
    pub fn table(&self, shop: &Shop) -> Vec<RunPrice> {
        cost::table::table(&self.tally, &self.sheet, self.aim, &shop.lists, &shop.settings)
    }
}

/// Works out everything that is shown about an order.
///
/// ```
/// use lettertally::{lists::demo, plan::{Shop, plan}};
/// let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
/// let plan = plan(&demo::order("2026-01-01"), &shop);
/// assert!(!plan.is_incomplete());
/// assert_eq!(plan.priced.unwrap().garments(), 12);
/// ```
pub fn plan(order: &Order, shop: &Shop) -> Plan {
    let letters = letters(order, shop);
    let mix = buy::solve_briefly(&letters.needs, &shop.lists);
    priced(order, shop, letters, mix)
}

/// What an order says and takes, before anything is bought or priced.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letters {
    /// Each design, read: its people and garments.
    pub readings: Vec<Reading>,
    /// The letters it takes.
    pub tally: Tally,
    /// What the shelf does not have of them.
    pub needs: Vec<Need>,
}

impl Letters {
    /// The letters, had the order one garment more like its last one.
    pub fn with_one_more(&self, order: &Order, shop: &Shop) -> Tally {
        let designs = self.readings.iter().enumerate();
        let last = designs.rev().find_map(|(at, reading)| Some((at, reading.groups.last()?)));
        let mut tally = self.tally.clone();
        if let Some((design, group)) = last {
            tally.add(&tally::on_one_garment(order, design, group, &shop.lists));
        }
        tally
    }
}

/// The first half of [`plan`]: the letters of an order.
pub fn letters(order: &Order, shop: &Shop) -> Letters {
    let readings = order.read(&shop.lists);
    let tally = tally::tally(order, &readings, &shop.lists, &shop.settings);
    let needs = cost::letters::needs(&tally, &shop.shelf);
    Letters { readings, tally, needs }
}

/// The second half of [`plan`]: all the rest, with a mix that was found for the needs.
pub fn priced(order: &Order, shop: &Shop, letters: Letters, mix: Mix) -> Plan {
    let (lists, settings) = (&shop.lists, &shop.settings);
    let Letters { readings, tally, .. } = letters;
    let fits: Vec<Vec<LineFit>> = order
        .designs
        .iter()
        .zip(&readings)
        .map(|(design, reading)| fits(order, design, reading, lists, settings))
        .collect();
    let letter_costs = cost::letters::letter_costs(&tally, &mix, &shop.shelf, lists, settings);
    let sheet = cost::sheet::sheet(order, &readings, &letter_costs, lists, settings);
    let seconds = |hours: Decimal| hours * Decimal::from(SECONDS_PER_HOUR);
    let (labour, closed) = (seconds(sheet.labour_hours), seconds(sheet.closed_hours));
    let run = RunTimes::of(sheet.garments, labour, closed, settings);
    let aim = order.aim.unwrap_or(settings.aim);
    let priced = cost::price::price(&sheet, aim, settings);
    let problems = Vec::new();
    let mut plan = Plan { readings, fits, tally, mix, letter_costs, sheet, run, aim, priced, problems };
    plan.problems = find::problems(order, shop, &plan);
    plan
}
