//! The press: how often it closes for a garment, and how long the work takes.
//!
//! Owns the times of the work and the cautions that stand wherever press work is shown. The
//! count of closings here is a plain one (see [`work`]); it never plans the order of the work.

use crate::layout::picture::{LineOnGarment, placed};
use crate::length::Length;
use crate::lists::settings::{Platen, Settings};
use crate::lists::{BlankSize, FinishId, Lists, Peel};
use crate::order::{Design, Group, Order, Placement, Side};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

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
    /// Sides that must lie up in turn; a sleeve is a side of its own.
    pub sides: u32,
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

/// The press work of one garment of a design.
///
/// Lines of one finish on one side are pressed together where that takes no more closings than
/// one by one. How many a stretch takes is [`closings_along`], across and down multiplied.
pub fn work(
    order: &Order,
    design: &Design,
    group: &Group,
    size: &BlankSize,
    lists: &Lists,
    platen: &Platen,
) -> Work {
    let lines = placed(order, design, group, size);
    let mut together = BTreeMap::<(Zone, FinishId), Vec<&LineOnGarment>>::new();
    for line in &lines {
        if let Some(entry) = design.lines.get(line.line) {
            together.entry((Zone::of(entry.placement), line.finish.clone())).or_default().push(line);
        }
    }
    let zones: BTreeSet<&Zone> = together.keys().map(|(zone, _)| zone).collect();
    let letters: usize = lines.iter().map(|line| line.letters.len()).sum();
    let mut work = Work {
        letters: u32::try_from(letters).unwrap_or(u32::MAX),
        sides: u32::try_from(zones.len()).unwrap_or(u32::MAX),
        ..Work::default()
    };
    for ((_, finish), lines) in together {
        let recipe = lists.finish(&finish).map(|finish| &finish.recipe);
        let dwell = recipe.map_or(0, |recipe| u32::from(recipe.dwell_to));
        let has_carrier = recipe.is_none_or(|recipe| recipe.peel != Peel::None);
        let one_by_one = lines.iter().map(|line| closings_for(&[line], platen)).fold(0, u32::saturating_add);
        let closings = closings_for(&lines, platen).min(one_by_one);
        work.closings = work.closings.saturating_add(closings);
        work.peels = work.peels.saturating_add(if has_carrier { closings } else { 0 });
        work.dwell = work.dwell.saturating_add(closings.saturating_mul(dwell));
    }
    work
}

/// A part of the garment that lies on the press at one time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Zone {
    Body(Side),
    LeftSleeve,
    RightSleeve,
}

impl Zone {
    fn of(placement: Placement) -> Self {
        match placement {
            Placement::LeftSleeve => Self::LeftSleeve,
            Placement::RightSleeve => Self::RightSleeve,
            other => Self::Body(other.side()),
        }
    }
}

fn closings_for(lines: &[&LineOnGarment], platen: &Platen) -> u32 {
    let left = lines.iter().map(|line| line.left).min().unwrap_or_default();
    let right = lines.iter().map(|line| line.left + line.width).max().unwrap_or_default();
    let top = lines.iter().map(|line| line.baseline - line.height).min().unwrap_or_default();
    let bottom = lines.iter().map(|line| line.baseline).max().unwrap_or_default();
    closings_along(right - left, platen.width, platen.overlap)
        * closings_along(bottom - top, platen.depth, platen.overlap)
}

/// How many closings side by side cover a length: one if it fits the platen, else one for each
/// part of what the platen covers anew beyond the overlap.
///
/// ```
/// use lettertally::{length::Length, press::closings_along};
/// let closings = |mils| closings_along(Length::mils(mils), Length::inches(16), Length::mils(500));
/// assert_eq!((closings(16_000), closings(16_001), closings(31_501)), (1, 2, 3));
/// ```
pub fn closings_along(length: Length, platen: Length, overlap: Length) -> u32 {
    if length <= platen {
        return 1;
    }
    let steps = (length - overlap).steps_up(platen - overlap).unwrap_or(1);
    u32::try_from(steps).unwrap_or(u32::MAX).clamp(1, 1_000)
}

/// The time that one garment takes.
///
/// Standard time is normal time times one plus the allowance; a dwell that nobody stands by
/// takes up the press but is not paid.
pub fn times(work: &Work, settings: &Settings) -> Times {
    let seconds = &settings.seconds;
    let per = |step: u16, count: u32| u64::from(step) * u64::from(count);
    let attended = per(seconds.place_letter, work.letters)
        + per(seconds.load_side, work.sides)
        + per(seconds.tack, work.closings)
        + per(seconds.peel, work.peels)
        + if settings.dwell_attended { u64::from(work.dwell) } else { 0 };
    let unattended = if settings.dwell_attended { 0 } else { u64::from(work.dwell) };
    let labour = Decimal::from(attended) * (Decimal::ONE + settings.allowance.share());
    let closed = per(seconds.tack, work.closings) + u64::from(work.dwell);
    Times { labour, press: labour + Decimal::from(unattended), closed: Decimal::from(closed) }
}

/// The least time that a run takes with the shop's people and presses, in the unit of what is given.
///
/// A lower bound: the work shared evenly among the people, or the closings shared evenly among the
/// presses, whichever takes longer. Waiting for each other, warming up and cooling come on top.
pub fn least_for_run(labour: Decimal, closed: Decimal, settings: &Settings) -> Decimal {
    let shared = |time: Decimal, among: u16| time / Decimal::from(among.max(1));
    shared(labour, settings.people).max(shared(closed, settings.presses))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::money::Percent;

    fn demo_work(change: impl Fn(&mut Order)) -> Work {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        change(&mut order);
        let reading = order.read(&lists).remove(0);
        let size = &lists.blanks[0].sizes[1];
        work(&order, &order.designs[0], &reading.groups[0], size, &lists, &Settings::default().platen)
    }

    #[test]
    fn one_finish_on_one_side_is_pressed_in_one_closing() {
        // OTTERS on the front; OKONJO and 1 on the back: 13 letters, two sides, 15 s each.
        assert_eq!(demo_work(|_| ()), Work { letters: 13, sides: 2, closings: 2, peels: 2, dwell: 30 });
    }

    #[test]
    fn two_finishes_on_one_side_close_the_press_twice_and_twill_has_no_carrier() {
        let twill = |order: &mut Order| order.designs[0].lines[2].finish = FinishId::new("twill");
        assert_eq!(demo_work(twill), Work { letters: 13, sides: 2, closings: 3, peels: 2, dwell: 50 });
    }

    #[test]
    fn a_platen_of_next_to_nothing_is_reckoned_with() {
        let (mut lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        lists.finishes.iter_mut().for_each(|finish| finish.recipe.dwell_to = u16::MAX);
        order.designs[0].lines.truncate(1);
        let platen = Platen { width: Length::mils(1), depth: Length::mils(1), overlap: Length::ZERO };
        let reading = order.read(&lists).remove(0);
        let size = &lists.blanks[0].sizes[1];
        let work = work(&order, &order.designs[0], &reading.groups[0], size, &lists, &platen);
        assert_eq!((work.closings, work.dwell), (1_000_000, u32::MAX));
    }

    #[test]
    fn unattended_dwell_takes_the_press_but_no_wage() {
        let mut settings = Settings { allowance: Percent::of(20), ..Settings::default() };
        let work = Work { letters: 10, sides: 1, closings: 1, peels: 1, dwell: 15 };
        // (10 x 6 + 30 + 5 + 10 + 15) x 1.2 = 144
        assert_eq!(times(&work, &settings).labour, Decimal::from(144));
        settings.dwell_attended = false;
        // (10 x 6 + 30 + 5 + 10) x 1.2 = 126, and 15 more at the press
        let taken = Times { labour: 126.into(), press: 141.into(), closed: 20.into() };
        assert_eq!(times(&work, &settings), taken);
    }

    #[test]
    fn people_share_the_work_and_presses_the_closings() {
        let with = |people, presses| Settings { people, presses, ..Settings::default() };
        let least = |settings| least_for_run(120.into(), 50.into(), &settings);
        assert_eq!(least(with(1, 1)), Decimal::from(120));
        assert_eq!(least(with(2, 1)), Decimal::from(60));
        assert_eq!(least(with(3, 1)), Decimal::from(50));
        assert_eq!(least(with(4, 2)), Decimal::from(30));
    }
}
