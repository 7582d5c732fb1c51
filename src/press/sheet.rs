//! The run sheet: what is done to each garment in which order, what to pick for it, and how long
//! the run takes.

use super::flow::{self, Bottleneck, Stage};
use super::operations::{Operation, Zone};
use super::{Garment, Times, garment, times};
use crate::glyph::GlyphCounts;
use crate::layout::Rect;
use crate::layout::positions::Over;
use crate::lists::recipe::{Again, Heat};
use crate::lists::{Family, FinishId, Lists, Recipe, Settings};
use crate::order::{Order, Reading};
use crate::tally::on_one_garment;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The run sheet of an order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RunSheet {
    /// The garments in the order of the roster, those that are alike together.
    pub garments: Vec<GarmentSheet>,
    /// The ways of working that occur, each once.
    pub methods: Vec<Method>,
    /// All letters to lay out, per family.
    pub tray: BTreeMap<Family, GlyphCounts>,
    /// How long it all takes.
    pub run: RunTimes,
    /// What cannot be done as the recipes ask.
    pub clashes: Vec<Clash>,
}

/// One garment, or several that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GarmentSheet {
    /// Its design, from 0.
    pub design: usize,
    /// Its group in the design's reading, from 0.
    pub group: usize,
    /// Name and number, where there is a roster.
    pub person: String,
    /// Its size.
    pub size: String,
    /// How many are alike.
    pub count: u32,
    /// The letters of one, per family.
    pub picks: BTreeMap<Family, GlyphCounts>,
    /// Its way of working, by its place in [`RunSheet::methods`].
    pub method: usize,
    /// Its closings, in the order of the method.
    pub closings: Vec<ClosingHere>,
    /// The time that one takes.
    pub times: Times,
}

/// One closing on one garment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClosingHere {
    /// The letters that are pressed, as they are read.
    pub words: String,
    /// Where the platen lies; `None` for letters pressed in parts.
    pub platen: Option<Rect>,
    /// What it lies over.
    pub over: Over,
}

/// A way of working: what garments have in common, whatever their names and sizes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Method {
    /// The design, from 0.
    pub design: usize,
    /// The times that the garment goes on the press, one after the other.
    pub loads: Vec<Load>,
}

/// The garment on the press with one part up, at one heat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Load {
    /// The part.
    pub zone: Zone,
    /// The heat that the press must have.
    pub heat: Heat,
    /// What is pressed, in this order.
    pub work: Vec<Closing>,
}

/// Letters that are laid, pressed and peeled in the same way, in one closing or several in a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closing {
    /// The lines whose letters are pressed, by their place in the design.
    pub lines: Vec<usize>,
    /// What is pressed.
    pub finishes: Vec<FinishId>,
    /// How.
    pub recipe: Recipe,
    /// Which of the garment's closings is the first of these, from 0.
    pub first: usize,
    /// How many places of the platen it takes.
    pub places: usize,
    /// How often the press closes on letters larger than the platen; 0 where there are none.
    pub in_parts: u32,
}

/// Letters that would be pressed again above what they stand, whatever the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// The design, from 0.
    pub design: usize,
    /// What suffers.
    pub earlier: FinishId,
    /// What it stands; `None` where it must not be pressed again.
    pub stands: Option<Heat>,
    /// What is pressed over it.
    pub later: FinishId,
    /// At this heat.
    pub heat: Heat,
}

impl Clash {
    /// "smooth film stands 305 °F when pressed again, and glitter film, at 320 °F, ...".
    pub fn words(&self, lists: &Lists, settings: &Settings) -> String {
        let name =
            |id: &FinishId| lists.finish(id).map_or_else(|| id.to_string(), |finish| finish.name.clone());
        let stands = match self.stands {
            Some(heat) => {
                format!("stands no more than {} when it is pressed again", heat.show(settings.degrees))
            }
            None => "must not be pressed again".to_owned(),
        };
        format!(
            "{} {stands}, but the platen comes down on it with {} at {}, in whatever order: move one of the two, or choose another finish",
            name(&self.earlier),
            name(&self.later),
            self.heat.show(settings.degrees)
        )
    }
}

impl RunSheet {
    /// How many garments are made in each way.
    pub fn made_so(&self, method: usize) -> u64 {
        let here = self.garments.iter().filter(|garment| garment.method == method);
        here.map(|garment| u64::from(garment.count)).sum()
    }

    /// The sizes on which the platen lies over something in one of these closings of a way.
    pub fn sizes_over(&self, method: usize, closing: &Closing, over: Over) -> Vec<&str> {
        let mut sizes: Vec<&str> = Vec::new();
        for garment in self.garments.iter().filter(|garment| garment.method == method) {
            let mut here = garment.closings.iter().skip(closing.first).take(closing.places);
            if here.any(|closing| closing.over == over) && !sizes.contains(&garment.size.as_str()) {
                sizes.push(&garment.size);
            }
        }
        sizes
    }
}

/// How long a run takes, in seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RunTimes {
    /// The garments.
    pub garments: u64,
    /// Paid time for all of them, with allowance.
    pub attended: Decimal,
    /// Time in which a press is closed and nobody stands by.
    pub unattended: Decimal,
    /// From the first garment to the last one, with the shop's people and presses.
    pub makespan: Decimal,
    /// What holds it up; `None` while there is nothing to press.
    pub bottleneck: Option<Bottleneck>,
}

impl RunTimes {
    /// How many garments are done in an hour of the run.
    pub fn per_hour(&self) -> Option<Decimal> {
        (Decimal::from(self.garments) * Decimal::from(3_600)).checked_div(self.makespan)
    }

    /// The time of the run from what all its garments take together.
    pub fn of(garments: u64, labour: Decimal, closed: Decimal, settings: &Settings) -> Self {
        let per = |seconds: Decimal| seconds.checked_div(Decimal::from(garments)).unwrap_or_default();
        let stage: Stage = flow::stage(per(labour), per(closed), settings);
        let span = flow::makespan(stage, garments, settings.people, settings.presses);
        Self {
            garments,
            attended: labour,
            unattended: if settings.dwell_attended { Decimal::ZERO } else { closed },
            makespan: Decimal::from(span) / Decimal::ONE_THOUSAND,
            bottleneck: (stage.hands + stage.closed > 0)
                .then(|| flow::bottleneck(stage, settings.people, settings.presses)),
        }
    }
}

/// The run sheet of an order whose designs were read.
pub fn run_sheet(order: &Order, readings: &[Reading], lists: &Lists, settings: &Settings) -> RunSheet {
    let mut sheet = RunSheet::default();
    let (mut labour, mut closed, mut count) = (Decimal::ZERO, Decimal::ZERO, 0_u64);
    for (at, (design, reading)) in order.designs.iter().zip(readings).enumerate() {
        let Some(blank) = lists.blank(&design.blank) else {
            continue;
        };
        for (number, group) in reading.groups.iter().enumerate() {
            let Some(size) = blank.size(&group.size) else {
                continue;
            };
            let made = garment(order, design, group, size, lists, &settings.platen);
            let picks = on_one_garment(order, at, group, lists);
            for (family, letters) in &picks {
                sheet.tray.entry(family.clone()).or_default().add_all(letters, group.count);
            }
            let times = times(&made.work(), settings);
            let garments = Decimal::from(group.count);
            labour += times.labour * garments;
            closed += times.closed * garments;
            count += u64::from(group.count);
            for clash in clashes(at, &made) {
                if !sheet.clashes.contains(&clash) {
                    sheet.clashes.push(clash);
                }
            }
            let method = Method { design: at, loads: loads(&made) };
            let known = sheet.methods.iter().position(|known| *known == method);
            let method = known.unwrap_or_else(|| {
                sheet.methods.push(method);
                sheet.methods.len() - 1
            });
            let person = [group.name(), group.number()].map(str::trim);
            let person: Vec<&str> = person.into_iter().filter(|text| !text.is_empty()).collect();
            let in_order = made.sequence.order.iter().map(|at| &made.operations[*at]);
            let here = |operation: &Operation| ClosingHere {
                words: made.words(operation),
                platen: operation.platen,
                over: operation.over,
            };
            sheet.garments.push(GarmentSheet {
                design: at,
                group: number,
                person: person.join(" "),
                size: size.name.clone(),
                count: group.count,
                picks,
                method,
                closings: in_order.map(here).collect(),
                times,
            });
        }
    }
    sheet.run = RunTimes::of(count, labour, closed, settings);
    sheet
}

/// One garment's work, load by load; closings in a row that are alike stand together.
fn loads(made: &Garment) -> Vec<Load> {
    let mut loads: Vec<Load> = Vec::new();
    for (number, (at, begins)) in made.sequence.order.iter().zip(&made.sequence.loads).enumerate() {
        let operation = &made.operations[*at];
        if *begins || loads.is_empty() {
            loads.push(Load { zone: operation.zone, heat: operation.recipe.heat, work: Vec::new() });
        }
        let Some(load) = loads.last_mut() else {
            continue;
        };
        let lines = operation.letters.iter().map(|(line, _)| *line);
        let alike = |last: &&mut Closing| {
            last.in_parts == 0
                && operation.platen.is_some()
                && last.finishes == operation.finishes
                && last.recipe == operation.recipe
        };
        if let Some(last) = load.work.last_mut().filter(alike) {
            last.places += 1;
            last.lines.extend(lines);
            last.lines.sort_unstable();
            last.lines.dedup();
            continue;
        }
        let mut lines: Vec<usize> = lines.collect();
        lines.dedup();
        load.work.push(Closing {
            lines,
            finishes: operation.finishes.clone(),
            recipe: operation.recipe.clone(),
            first: number,
            places: 1,
            in_parts: if operation.platen.is_some() { 0 } else { operation.closings },
        });
    }
    loads
}

fn clashes(design: usize, made: &Garment) -> Vec<Clash> {
    let clash = |&(earlier, later): &(usize, usize)| {
        let (earlier, later) = (&made.operations[earlier], &made.operations[later]);
        Some(Clash {
            design,
            earlier: weakest(earlier)?,
            stands: match earlier.recipe.again {
                Again::Never => None,
                _ => earlier.recipe.stands(),
            },
            later: later.finishes.first()?.clone(),
            heat: later.recipe.heat,
        })
    };
    made.sequence.clashes.iter().filter_map(clash).collect()
}

fn weakest(operation: &Operation) -> Option<FinishId> {
    operation.finishes.first().cloned()
}
