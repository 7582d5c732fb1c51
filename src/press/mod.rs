//! The press: the order of the work, how long it takes, and what to be careful about.
//!
//! Owns the operations of a garment (`operations`), their order (`sequence`), the run sheet
//! (`sheet`), the flow of a run (`flow`), and the cautions that stand wherever press work is shown.
//! What the work costs follows from the same operations (see [`Garment::work`]).

pub mod flow;
pub mod operations;
pub mod sequence;
pub mod sheet;

use crate::layout::picture::{LineOnGarment, placed};
use crate::lists::settings::{Platen, Settings};
use crate::lists::{BlankSize, Lists, Peel};
use crate::order::{Design, Group, Order};
use operations::{Operation, operations};
use rust_decimal::Decimal;
use sequence::{Sequence, sequence};

/// The usual cautions, in the order in which they are shown.
pub const CAUTIONS: [&str; 7] = [
    "Hot surfaces burn and presses pinch: mind hands, sleeves and cables.",
    "The press maker's and the letter supplier's instructions rule over any figure here.",
    "Press one garment first and check it when it is cold.",
    "Ventilate the place.",
    "Keep customers and children away from the press.",
    "A press is a heavy electrical load: at a venue ask the venue, follow local code, and ask a licensed electrician where in doubt.",
    "Children's sleepwear and other regulated clothing falls under product-safety rules: check them before lettering it.",
];

/// The press work of one garment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Work {
    /// Letters to place.
    pub letters: u32,
    /// How often the garment is put on the press: for each side, each heat, and after cooling.
    pub loads: u32,
    /// How often the press closes.
    pub closings: u32,
    /// After how many of these a carrier comes off.
    pub peels: u32,
    /// Seconds under pressure, over all closings.
    pub dwell: u32,
}

/// What one garment's work takes, in seconds, allowance included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Times {
    /// Paid time.
    pub labour: Decimal,
    /// Time that the press is taken up.
    pub press: Decimal,
    /// Time that the press is closed, to the second and without allowance.
    pub closed: Decimal,
}

/// A garment's operations and their order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Garment {
    /// What is on it.
    pub lines: Vec<LineOnGarment>,
    /// What is done to it.
    pub operations: Vec<Operation>,
    /// In which order.
    pub sequence: Sequence,
}

impl Garment {
    /// The letters that an operation presses, as they are read: "MARSH OT", or "OKONJO, 1".
    pub fn words(&self, operation: &Operation) -> String {
        let mut words = String::new();
        let mut before = None;
        for &(line, at) in &operation.letters {
            let entry = self.lines.iter().find(|entry| entry.line == line);
            let Some(letter) = entry.and_then(|entry| entry.letters.get(at)) else {
                continue;
            };
            if before.is_some_and(|before| before != line) {
                words.push_str(", ");
            } else if before.is_some() && letter.after_space {
                words.push(' ');
            }
            words.push_str(letter.glyph.as_str());
            before = Some(line);
        }
        words
    }

    /// How much work that is.
    pub fn work(&self) -> Work {
        let letters: usize = self.lines.iter().map(|line| line.letters.len()).sum();
        let letters = u32::try_from(letters).unwrap_or(u32::MAX);
        let mut work = Work { letters, loads: self.sequence.load_count(), ..Work::default() };
        for operation in &self.operations {
            let (closings, recipe) = (operation.closings, &operation.recipe);
            let peels = if recipe.peel == Peel::None { 0 } else { closings };
            work.closings = work.closings.saturating_add(closings);
            work.peels = work.peels.saturating_add(peels);
            work.dwell = work.dwell.saturating_add(closings.saturating_mul(u32::from(recipe.dwell_to)));
        }
        work
    }
}

/// What is done to one garment of a design, in which order.
pub fn garment(
    order: &Order,
    design: &Design,
    group: &Group,
    size: &BlankSize,
    lists: &Lists,
    platen: &Platen,
) -> Garment {
    let lines = placed(order, design, group, size, lists);
    let buttons = lists.blank(&design.blank).and_then(|blank| blank.buttons);
    let operations = operations(&lines, size, buttons, lists, platen);
    let sequence = sequence(&operations);
    Garment { lines, operations, sequence }
}

/// The time that one garment takes.
///
/// Standard time is normal time times one plus the allowance; a dwell that nobody stands by
/// takes up the press but is not paid.
pub fn times(work: &Work, settings: &Settings) -> Times {
    let seconds = &settings.seconds;
    let per = |step: u16, count: u32| u64::from(step) * u64::from(count);
    let attended = per(seconds.place_letter, work.letters)
        + per(seconds.load_side, work.loads)
        + per(seconds.tack, work.closings)
        + per(seconds.peel, work.peels)
        + if settings.dwell_attended { u64::from(work.dwell) } else { 0 };
    let unattended = if settings.dwell_attended { 0 } else { u64::from(work.dwell) };
    let labour = Decimal::from(attended) * (Decimal::ONE + settings.allowance.share());
    let closed = per(seconds.tack, work.closings) + u64::from(work.dwell);
    Times { labour, press: labour + Decimal::from(unattended), closed: Decimal::from(closed) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;
    use crate::lists::FinishId;
    use crate::lists::demo;
    use crate::money::Percent;

    fn demo_work(change: impl Fn(&mut Order)) -> Work {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        change(&mut order);
        let reading = order.read(&lists).remove(0);
        let size = &lists.blanks[0].sizes[1];
        garment(&order, &order.designs[0], &reading.groups[0], size, &lists, &Settings::default().platen)
            .work()
    }

    #[test]
    fn one_finish_on_one_side_is_pressed_in_one_closing() {
        // OTTERS on the front; OKONJO and 1 on the back: 13 letters, two sides, 15 s each.
        assert_eq!(demo_work(|_| ()), Work { letters: 13, loads: 2, closings: 2, peels: 2, dwell: 30 });
    }

    #[test]
    fn two_finishes_on_one_side_close_the_press_twice_and_twill_has_no_carrier() {
        let twill = |order: &mut Order| order.designs[0].lines[2].finish = FinishId::new("twill");
        // Another heat is another time on the press: three loads.
        assert_eq!(demo_work(twill), Work { letters: 13, loads: 3, closings: 3, peels: 2, dwell: 50 });
    }

    #[test]
    fn a_platen_of_next_to_nothing_is_reckoned_with() {
        let (mut lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        lists.finishes.iter_mut().for_each(|finish| finish.recipe.dwell_to = u16::MAX);
        order.designs[0].lines.truncate(1);
        let platen = Platen { width: Length::mils(1), depth: Length::mils(1), margin: Length::ZERO };
        let reading = order.read(&lists).remove(0);
        let size = &lists.blanks[0].sizes[1];
        let work = garment(&order, &order.designs[0], &reading.groups[0], size, &lists, &platen).work();
        assert_eq!((work.closings, work.dwell), (1_000_000, u32::MAX));
    }

    #[test]
    fn unattended_dwell_takes_the_press_but_no_wage() {
        let mut settings = Settings { allowance: Percent::of(20), ..Settings::default() };
        let work = Work { letters: 10, loads: 1, closings: 1, peels: 1, dwell: 15 };
        // (10 x 6 + 30 + 5 + 10 + 15) x 1.2 = 144
        assert_eq!(times(&work, &settings).labour, Decimal::from(144));
        settings.dwell_attended = false;
        // (10 x 6 + 30 + 5 + 10) x 1.2 = 126, and 15 more at the press
        let taken = Times { labour: 126.into(), press: 141.into(), closed: 20.into() };
        assert_eq!(times(&work, &settings), taken);
    }
}
