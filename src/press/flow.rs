//! The run: identical garments on several presses by several people.
//!
//! Garments go in order. A person takes the next one, does the work of the hands, and puts it on
//! the press that is free first; where somebody stands by, the same person stays until it opens.
//! No garment overtakes another, so who is free when follows from the garments before.

use crate::lists::Settings;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What one garment takes of a run, in thousandths of a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stage {
    /// A person's work before the press closes.
    pub hands: u64,
    /// The press being closed.
    pub closed: u64,
    /// Whether the person stays while the press is closed.
    pub attended: bool,
}

/// What holds a run up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bottleneck {
    /// More people would make it quicker.
    People,
    /// More presses would make it quicker.
    Presses,
}

impl Bottleneck {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::People => "The hands hold it up: one more person would make it quicker.",
            Self::Presses => "The press holds it up: one more press would make it quicker.",
        }
    }
}

/// The most garments that are followed one by one; beyond it the rhythm repeats exactly.
const FOLLOWED: u64 = 20_000;

/// When the last of so many garments is done, in thousandths of a second.
pub fn makespan(stage: Stage, garments: u64, people: u16, presses: u16) -> u64 {
    let Some(last) = garments.checked_sub(1) else {
        return 0;
    };
    let (people, presses) = (usize::from(people.max(1)), usize::from(presses.max(1)));
    let period = (people * presses) as u64;
    // Once the run is in its rhythm, every `period` garments take the same time.
    let followed = if last < FOLLOWED { last } else { FOLLOWED + (last - FOLLOWED) % period };
    let ends = ends(stage, followed + 1, people, presses);
    let end = |at: u64| usize::try_from(at).ok().and_then(|at| ends.get(at)).copied().unwrap_or(0);
    let rhythm = end(followed).saturating_sub(end(followed.saturating_sub(period)));
    end(followed).saturating_add(rhythm.saturating_mul((last - followed) / period))
}

/// When each garment's press opens.
fn ends(stage: Stage, garments: u64, people: usize, presses: usize) -> Vec<u64> {
    let mut ends: Vec<u64> = Vec::new();
    for at in 0..usize::try_from(garments).unwrap_or(0) {
        let before = |by: usize| at.checked_sub(by).map_or(0, |at| ends[at]);
        let ready = if stage.attended {
            before(people).saturating_add(stage.hands)
        } else {
            stage.hands.saturating_mul((at / people + 1) as u64)
        };
        ends.push(ready.max(before(presses)).saturating_add(stage.closed));
    }
    ends
}

/// What holds the run up, had it no end: who has more to do for each garment.
pub fn bottleneck(stage: Stage, people: u16, presses: u16) -> Bottleneck {
    let person = stage.hands + if stage.attended { stage.closed } else { 0 };
    let by_people = u128::from(person) * u128::from(presses.max(1));
    let by_presses = u128::from(stage.closed) * u128::from(people.max(1));
    if by_presses > by_people { Bottleneck::Presses } else { Bottleneck::People }
}

/// One garment of a run as a stage: paid and closed seconds of the average garment.
pub fn stage(labour: Decimal, closed: Decimal, settings: &Settings) -> Stage {
    let thousandths = |seconds: Decimal| (seconds * Decimal::ONE_THOUSAND).round().to_u64().unwrap_or(0);
    let (labour, closed) = (thousandths(labour), thousandths(closed));
    let attended = settings.dwell_attended;
    Stage { hands: if attended { labour.saturating_sub(closed) } else { labour }, closed, attended }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// What a person is doing.
    #[derive(Clone, Copy, PartialEq)]
    enum Person {
        Free,
        Busy { until: u64, garment: u64 },
        // Holding a garment that is ready, before a press that is not, or standing by a closed one.
        Held,
    }

    /// The same run by events, with a clock: at each moment in which something ends, whoever can
    /// begin something does. Nothing is worked out beforehand.
    fn simulated(stage: Stage, garments: u64, people: usize, presses: usize) -> u64 {
        let mut people = vec![Person::Free; people];
        // Until when each press is closed, and who stands by it.
        let mut closed: Vec<Option<(u64, Option<usize>)>> = vec![None; presses];
        // Garments that wait for a press, and who holds them.
        let mut waiting: Vec<(u64, usize)> = Vec::new();
        let (mut begun, mut done, mut now) = (0, 0, 0);
        while done < garments {
            // What ends now.
            for press in &mut closed {
                if let Some((_, by)) = press.filter(|(until, _)| *until <= now) {
                    (*press, done) = (None, done + 1);
                    by.into_iter().for_each(|by| people[by] = Person::Free);
                }
            }
            for (at, person) in people.iter_mut().enumerate() {
                if let Person::Busy { until, garment } = *person
                    && until <= now
                {
                    waiting.push((garment, at));
                    // Where nobody stands by, it is laid down before the press and the next one begun.
                    *person = if stage.attended { Person::Held } else { Person::Free };
                }
            }
            waiting.sort_unstable();
            // What begins now.
            for press in closed.iter_mut().filter(|press| press.is_none()) {
                if waiting.is_empty() {
                    break;
                }
                let (_, by) = waiting.remove(0);
                *press = Some((now + stage.closed, stage.attended.then_some(by)));
            }
            for person in people.iter_mut().filter(|person| **person == Person::Free) {
                if begun < garments {
                    *person = Person::Busy { until: now + stage.hands, garment: begun };
                    begun += 1;
                }
            }
            // The next moment in which something ends; the same one again where nothing took time.
            let hands = people.iter().filter_map(|person| match person {
                Person::Busy { until, .. } => Some(*until),
                _ => None,
            });
            now = hands.chain(closed.iter().flatten().map(|(until, _)| *until)).min().unwrap_or(now).max(now);
        }
        now
    }

    #[test]
    fn one_person_with_one_press_works_in_turn() {
        let attended = Stage { hands: 60, closed: 15, attended: true };
        assert_eq!(makespan(attended, 10, 1, 1), 750);
        // Left alone, the press works beside the person: 10 x 60 and the last closing.
        assert_eq!(makespan(Stage { attended: false, ..attended }, 10, 1, 1), 615);
        assert_eq!(makespan(attended, 0, 1, 1), 0);
        // 24 garments, 90 s of pressing each, nothing else: 36 min. Recomputed.
        assert_eq!(makespan(Stage { hands: 0, closed: 90_000, attended: true }, 24, 1, 1), 36 * 60_000);
    }

    #[test]
    fn the_slower_of_hands_and_press_holds_the_run_up() {
        let stage = Stage { hands: 10, closed: 60, attended: false };
        assert_eq!(bottleneck(stage, 1, 1), Bottleneck::Presses);
        assert_eq!(bottleneck(stage, 1, 7), Bottleneck::People);
        assert_eq!(bottleneck(Stage { attended: true, ..stage }, 1, 1), Bottleneck::People);
        assert_eq!(bottleneck(Stage { attended: true, ..stage }, 2, 1), Bottleneck::Presses);
    }

    proptest! {
        #[test]
        fn the_run_is_as_long_as_its_simulation(
            hands in 0_u64..500, closed in 0_u64..500, attended in any::<bool>(),
            garments in 1_u64..60, people in 1_usize..6, presses in 1_usize..6,
        ) {
            let stage = Stage { hands, closed, attended };
            let found = makespan(stage, garments, people as u16, presses as u16);
            prop_assert_eq!(found, simulated(stage, garments, people, presses));
        }

        #[test]
        fn long_runs_go_on_in_their_rhythm(
            hands in 0_u64..500, closed in 0_u64..500, attended in any::<bool>(),
            more in 0_u64..3_000, people in 1_usize..6, presses in 1_usize..6,
        ) {
            let stage = Stage { hands, closed, attended };
            let garments = FOLLOWED + more;
            let found = makespan(stage, garments, people as u16, presses as u16);
            let all = ends(stage, garments, people, presses);
            prop_assert_eq!(Some(&found), all.last());
        }
    }
}
