//! Positions of the platen: the fewest closings that press every letter whole.
//!
//! A letter is pressed whole where it lies within the platen less its margin. The search is exact:
//! a platen can be slid to the right and down until its left side meets a letter's, or its right
//! side something to keep off, and likewise down, without letting go of a letter; so those places
//! are all that need be tried. Of the sets of letters that they press, a fewest cover is sought by
//! branch and bound, whose bound is a set of letters of which no two can be pressed at once.

use super::Rect;
use crate::length::Length;
use crate::lists::settings::Platen;

/// Places of the platen that press some letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Positions {
    /// Each place, from the top left on.
    pub places: Vec<Place>,
    /// How often the press closes besides on letters larger than the platen, part after part.
    pub in_parts: u32,
    /// The worst thing that some place lies over.
    pub over: Over,
    /// Whether it is proven that no fewer places will do.
    pub is_proven: bool,
}

impl Positions {
    /// How often the press closes.
    pub fn closings(&self) -> u32 {
        u32::try_from(self.places.len()).unwrap_or(u32::MAX).saturating_add(self.in_parts)
    }
}

/// A place of the platen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The whole platen.
    pub platen: Rect,
    /// The letters that it presses whole and no place before it does, by their number.
    pub letters: Vec<usize>,
}

/// What a platen lies over that it had better not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Over {
    /// Nothing of the kind.
    #[default]
    Nothing,
    /// A seam.
    Seam,
    /// The collar or buttons.
    Collar,
}

/// What a platen keeps off, where it can.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct KeepOff {
    /// Seams.
    pub seams: Vec<Rect>,
    /// Collar and buttons.
    pub collar: Vec<Rect>,
}

/// The most letters for which a fewest cover is sought.
const MOST_LETTERS: usize = 128;
/// The most places tried.
const MOST_PLACES: usize = 4_096;
/// The most steps of the search.
const MOST_STEPS: u32 = 20_000;
/// The most closings along one side of a letter that is pressed in parts.
const MOST_PARTS: u32 = 1_000;

/// The fewest places of a platen that press these letters.
///
/// Places stay off seams, collar and buttons if every letter can be pressed so; else off collar and
/// buttons; else they lie where they must.
pub fn fewest(letters: &[Rect], platen: &Platen, keep_off: &KeepOff) -> Positions {
    let plate = Plate::new(platen);
    let is_whole = |rect: &&Rect| rect.width() <= plate.width && rect.height() <= plate.depth;
    if letters.iter().all(|rect| is_whole(&rect)) {
        return plate.cover(letters, keep_off);
    }
    let large: Vec<Rect> = letters.iter().filter(|rect| !is_whole(rect)).copied().collect();
    let numbers: Vec<usize> = (0..letters.len()).filter(|at| is_whole(&&letters[*at])).collect();
    let whole: Vec<Rect> = numbers.iter().map(|at| letters[*at]).collect();
    let mut found = plate.cover(&whole, keep_off);
    for place in &mut found.places {
        place.letters.iter_mut().for_each(|at| *at = numbers[*at]);
    }
    let one_by_one = large.iter().map(|rect| plate.parts(rect)).fold(0, u32::saturating_add);
    let all_at_once = Rect::around(large).map_or(0, |around| plate.parts(&around));
    Positions { in_parts: one_by_one.min(all_at_once), is_proven: false, ..found }
}

/// How many closings side by side cover a length, of which each covers so much anew.
///
/// ```
/// use lettertally::{layout::positions::parts_along, length::Length};
/// let parts = |mils| parts_along(Length::mils(mils), Length::inches(16));
/// assert_eq!((parts(16_000), parts(16_001), parts(32_001)), (1, 2, 3));
/// ```
pub fn parts_along(length: Length, covered: Length) -> u32 {
    let parts = length.steps_up(covered).unwrap_or(i64::MAX);
    u32::try_from(parts).unwrap_or(u32::MAX).clamp(1, MOST_PARTS)
}

/// The platen less its margin.
struct Plate {
    width: Length,
    depth: Length,
    margin: Length,
}

/// Letters by their bits.
type Set = u128;

impl Plate {
    fn new(platen: &Platen) -> Self {
        let least = Length::of_units(1);
        let inside = |side: Length| (side - platen.margin.times(2)).max(least);
        Self { width: inside(platen.width), depth: inside(platen.depth), margin: platen.margin }
    }

    fn parts(&self, rect: &Rect) -> u32 {
        parts_along(rect.width(), self.width) * parts_along(rect.height(), self.depth)
    }

    fn cover(&self, letters: &[Rect], keep_off: &KeepOff) -> Positions {
        let Some(around) = Rect::around(letters.iter().copied()) else {
            return Positions { is_proven: true, ..Positions::default() };
        };
        let all: Vec<Rect> = keep_off.collar.iter().chain(&keep_off.seams).copied().collect();
        let levels: [(Over, &[Rect]); 3] =
            [(Over::Nothing, &all), (Over::Seam, &keep_off.collar), (Over::Collar, &[])];
        for (over, off) in levels {
            if let Some(platen) = self.place(&around, off) {
                let place = Place { platen, letters: (0..letters.len()).collect() };
                return Positions { places: vec![place], in_parts: 0, over, is_proven: true };
            }
            let Some((groups, is_proven)) = self.groups(letters, off) else {
                continue;
            };
            let place = |letters_of: Vec<usize>| {
                let around = Rect::around(letters_of.iter().map(|at| letters[*at]))?;
                Some(Place { platen: self.place(&around, off)?, letters: letters_of })
            };
            let mut places: Vec<Place> = groups.into_iter().filter_map(place).collect();
            places.sort_by_key(|place| (place.platen.left, place.platen.top));
            return Positions { places, in_parts: 0, over, is_proven };
        }
        Positions::default()
    }

    /// Where the platen lies to press all in a rectangle, its middle as near to that one's as it
    /// can be; `None` where there is no such place.
    fn place(&self, around: &Rect, off: &[Rect]) -> Option<Rect> {
        let (least_left, least_top) = (around.right - self.width, around.bottom - self.depth);
        if least_left > around.left || least_top > around.top {
            return None;
        }
        let middle = ((around.left + least_left).half(), (around.top + least_top).half());
        let platen = |left, top| Rect::sized(left, top, self.width, self.depth).grown(self.margin);
        let is_clear = |platen: &Rect| off.iter().all(|rect| !platen.meets(rect));
        let centred = platen(middle.0, middle.1);
        if is_clear(&centred) {
            return Some(centred);
        }
        let mut lefts = vec![middle.0, least_left, around.left];
        let mut tops = vec![middle.1, least_top, around.top];
        for rect in off {
            lefts.extend([rect.left - self.margin - self.width, rect.right + self.margin]);
            tops.extend([rect.top - self.margin - self.depth, rect.bottom + self.margin]);
        }
        let lefts = lefts.into_iter().filter(|left| (least_left..=around.left).contains(left));
        let tops: Vec<Length> =
            tops.into_iter().filter(|top| (least_top..=around.top).contains(top)).collect();
        let away = |rect: &Rect| {
            let at = rect.grown(Length::ZERO - self.margin);
            (at.left - middle.0).units().abs() + (at.top - middle.1).units().abs()
        };
        lefts
            .flat_map(|left| tops.iter().map(move |top| (left, *top)))
            .map(|(left, top)| platen(left, top))
            .filter(is_clear)
            .min_by_key(away)
    }

    /// Letters in the fewest groups that can each be pressed at once, and whether that is proven;
    /// `None` where some letter cannot be pressed.
    fn groups(&self, letters: &[Rect], off: &[Rect]) -> Option<(Vec<Vec<usize>>, bool)> {
        let mut lefts: Vec<Length> = letters.iter().map(|rect| rect.left).collect();
        let mut tops: Vec<Length> = letters.iter().map(|rect| rect.top).collect();
        lefts.extend(off.iter().map(|rect| rect.left - self.margin - self.width));
        tops.extend(off.iter().map(|rect| rect.top - self.margin - self.depth));
        for side in [&mut lefts, &mut tops] {
            side.sort_unstable();
            side.dedup();
        }
        if letters.len() > MOST_LETTERS || lefts.len() * tops.len() > MOST_PLACES {
            return self.one_after_the_other(letters, off).map(|groups| (groups, false));
        }
        let mut sets: Vec<Set> = Vec::new();
        for left in lefts {
            for top in &tops {
                let inside = Rect::sized(left, *top, self.width, self.depth);
                let platen = inside.grown(self.margin);
                if off.iter().any(|rect| platen.meets(rect)) {
                    continue;
                }
                let held = letters.iter().enumerate().filter(|(_, rect)| inside.holds(rect));
                let set = held.fold(0, |set: Set, (at, _)| set | 1 << at);
                if set != 0 && !sets.contains(&set) {
                    sets.push(set);
                }
            }
        }
        let all = sets.iter().fold(0, |all, set| all | set);
        if all.count_ones() as usize != letters.len() {
            return None;
        }
        let largest = |set: &Set| !sets.iter().any(|other| other != set && other & set == *set);
        let sets: Vec<Set> = sets.iter().filter(|set| largest(set)).copied().collect();
        let (mut chosen, is_proven) = cover(&sets, all);
        // Read from the beginning, each takes what it can: the words are broken where a reader would.
        chosen.sort_by_key(|set| set.trailing_zeros());
        let mut left = all;
        let mut groups = Vec::with_capacity(chosen.len());
        for set in chosen {
            groups.push((0..letters.len()).filter(|at| set & left & (1 << at) != 0).collect());
            left &= !set;
        }
        Some((groups, is_proven))
    }

    /// Letters in groups from the left on, row by row: quick, and no promise of the fewest.
    fn one_after_the_other(&self, letters: &[Rect], off: &[Rect]) -> Option<Vec<Vec<usize>>> {
        let mut order: Vec<usize> = (0..letters.len()).collect();
        order.sort_by_key(|at| (letters[*at].top, letters[*at].left));
        let mut groups: Vec<(Rect, Vec<usize>)> = Vec::new();
        for at in order {
            let with = |around: &Rect| Rect::around([*around, letters[at]]);
            let fits = groups.iter_mut().find_map(|(around, group)| {
                let grown = with(around).filter(|grown| self.place(grown, off).is_some())?;
                Some((around, group, grown))
            });
            if let Some((around, group, grown)) = fits {
                *around = grown;
                group.push(at);
            } else {
                self.place(&letters[at], off)?;
                groups.push((letters[at], vec![at]));
            }
        }
        Some(groups.into_iter().map(|(_, group)| group).collect())
    }
}

/// The fewest of some sets that have all letters between them, and whether that is proven.
fn cover(sets: &[Set], all: Set) -> (Vec<Set>, bool) {
    let mut search = Search { sets, best: greedy(sets, all), steps: 0 };
    search.go(all, &mut Vec::new());
    let is_proven = search.steps < MOST_STEPS;
    (search.best, is_proven)
}

struct Search<'a> {
    sets: &'a [Set],
    best: Vec<Set>,
    steps: u32,
}

impl Search<'_> {
    fn go(&mut self, left: Set, chosen: &mut Vec<Set>) {
        if left == 0 {
            if chosen.len() < self.best.len() {
                self.best.clone_from(chosen);
            }
            return;
        }
        if self.steps >= MOST_STEPS || chosen.len() + self.apart(left) >= self.best.len() {
            return;
        }
        self.steps += 1;
        // The letter that can be pressed in the fewest ways.
        let ways = |letter: &u32| self.sets.iter().filter(|set| **set & (1 << letter) != 0).count();
        let Some(letter) = letters(left).min_by_key(ways) else {
            return;
        };
        let mut with: Vec<Set> = self.sets.iter().filter(|set| **set & (1 << letter) != 0).copied().collect();
        with.sort_by_key(|set| std::cmp::Reverse((set & left).count_ones()));
        for set in with {
            chosen.push(set);
            self.go(left & !set, chosen);
            chosen.pop();
        }
    }

    /// How many letters there are at least of which no two can be pressed at once.
    fn apart(&self, mut left: Set) -> usize {
        let mut count = 0;
        while left != 0 {
            let letter = left & left.wrapping_neg();
            let near = self.sets.iter().filter(|set| **set & letter != 0).fold(letter, |all, set| all | set);
            left &= !near;
            count += 1;
        }
        count
    }
}

fn letters(set: Set) -> impl Iterator<Item = u32> {
    (0..Set::BITS).filter(move |letter| set & (1 << letter) != 0)
}

/// Always the set with the most letters that are left.
fn greedy(sets: &[Set], all: Set) -> Vec<Set> {
    let (mut left, mut chosen) = (all, Vec::new());
    while left != 0 {
        let Some(set) = sets.iter().max_by_key(|set| (**set & left).count_ones()) else {
            break;
        };
        if set & left == 0 {
            break;
        }
        chosen.push(*set);
        left &= !set;
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Its sides in millimetres: left, top, right, bottom.
    fn rect([left, top, right, bottom]: [i32; 4]) -> Rect {
        let [left, top, right, bottom] = [left, top, right, bottom].map(Length::mm);
        Rect { left, top, right, bottom }
    }

    /// Within its margin 100 mm square.
    fn platen() -> Platen {
        Platen { width: Length::mm(110), depth: Length::mm(110), margin: Length::mm(5) }
    }

    #[test]
    fn the_platen_slides_between_what_it_keeps_off_and_no_further_than_it_must() {
        // Centred over the letter it would reach from -5 to 105. One wall begins at 98 and one ends at
        // -20, so it stands against the first.
        let across = |rect: [i32; 4]| rect;
        let mirrored = |[left, top, right, bottom]: [i32; 4]| [-right, top, -left, bottom];
        let down = |[left, top, right, bottom]: [i32; 4]| [top, left, bottom, right];
        let up = |rect| down(mirrored(rect));
        let ways: [&dyn Fn([i32; 4]) -> [i32; 4]; 4] = [&across, &mirrored, &down, &up];
        for way in ways {
            let letter = rect(way([40, 40, 60, 60]));
            let walls = [[98, -900, 900, 900], [-900, -900, -20, 900]].map(|wall| rect(way(wall)));
            let keep_off = KeepOff { seams: walls.to_vec(), collar: Vec::new() };
            let found = fewest(&[letter], &platen(), &keep_off);
            let place = Place { platen: rect(way([-12, -5, 98, 105])), letters: vec![0] };
            assert_eq!((found.closings(), found.over, found.is_proven), (1, Over::Nothing, true));
            assert_eq!(found.places, [place]);
        }
    }

    #[test]
    fn of_two_ways_round_a_corner_the_platen_takes_the_shorter() {
        let moved = |sides: [i32; 4]| rect(sides.map(|side| side - 1_000));
        // A collar that it would lie over by so much across and down.
        for (corner, place) in [([2, 3], [2, -5, 112, 105]), ([3, 2], [-5, 2, 105, 112])] {
            let collar = vec![moved([-20, -20, corner[0], corner[1]])];
            let found = fewest(&[moved([40, 40, 60, 60])], &platen(), &KeepOff { seams: Vec::new(), collar });
            assert_eq!(found.places[0].platen, moved(place), "{corner:?}");
        }
    }

    #[test]
    fn each_closing_counts_those_on_parts_of_a_large_letter_too() {
        let nothing = KeepOff::default();
        let none = fewest(&[], &platen(), &nothing);
        assert_eq!((none.closings(), none.is_proven), (0, true));
        let apart = [rect([0, 0, 60, 60]), rect([200, 0, 260, 60]), rect([400, 0, 460, 60])];
        let found = fewest(&apart, &platen(), &nothing);
        assert_eq!((found.places.len(), found.closings()), (3, 3));
        // 250 by 150 mm: three times two.
        let large = [apart[0], rect([1000, 0, 1250, 150])];
        let found = fewest(&large, &platen(), &nothing);
        assert_eq!((found.places.len(), found.in_parts, found.closings()), (1, 6, 7));
        assert_eq!(found.places[0].letters, [0]);
        assert!(!found.is_proven);
    }

    #[test]
    fn beyond_what_is_searched_each_letter_is_pressed_whole_all_the_same() {
        let square = |[across, down]: [i32; 2]| rect([across, down, across + 30, down + 30]);
        let row = |apart: i32, count: i32| (0..count).map(|at| square([apart * at, 0])).collect::<Vec<_>>();
        let diagonal = |count: i32| (0..count).map(|at| square([200 * at, 200 * at])).collect::<Vec<_>>();
        for (letters, closings, is_proven) in [
            (row(200, 128), 128, true),
            (row(200, 129), 129, false),
            // Two by two, as 110 mm do not go into 100.
            (row(40, 130), 65, false),
            (diagonal(64), 64, true),
            (diagonal(65), 65, false),
        ] {
            let found = fewest(&letters, &platen(), &KeepOff::default());
            assert_eq!((found.closings(), found.is_proven), (closings, is_proven));
            let mut pressed: Vec<usize> = Vec::new();
            for place in &found.places {
                let inside = place.platen.grown(Length::mm(-5));
                assert!(place.letters.iter().all(|at| inside.holds(&letters[*at])));
                pressed.extend(&place.letters);
            }
            pressed.sort_unstable();
            assert!(pressed.iter().copied().eq(0..letters.len()), "each once");
        }
        // Where one letter cannot be pressed clear of the collar, none is left out: it lies over it.
        let collar = vec![rect([210, 10, 220, 20])];
        let found = fewest(&row(200, 129), &platen(), &KeepOff { seams: Vec::new(), collar });
        assert_eq!((found.closings(), found.over), (129, Over::Collar));
    }

    #[test]
    fn many_letters_in_rows_are_proven_by_those_that_lie_apart() {
        // Two by two go under the platen; every other one of every other row lies apart from the rest.
        for (rows, closings) in [(4, 10), (5, 15), (11, 30), (12, 30)] {
            let square =
                |at: i32| rect([40 * (at % 10), 40 * (at / 10), 40 * (at % 10) + 30, 40 * (at / 10) + 30]);
            let letters: Vec<Rect> = (0..10 * rows).map(square).collect();
            let found = fewest(&letters, &platen(), &KeepOff::default());
            assert_eq!((found.closings(), found.is_proven), (closings, true), "{rows} rows");
        }
    }

    /// Rings of five letters of which neighbours can be pressed at once: three closings each, and two
    /// letters of each that cannot be pressed together, so a bound of two.
    #[test]
    fn the_search_for_a_fewest_cover_says_when_it_was_given_up() {
        let rings = |count: u32| {
            let bit = |ring: u32, at: u32| 1 << (5 * ring + at % 5);
            let sets: Vec<Set> =
                (0..count).flat_map(|ring| (0..5).map(move |at| bit(ring, at) | bit(ring, at + 1))).collect();
            let (chosen, is_proven) = cover(&sets, (1 << (5 * count)) - 1);
            (chosen.len(), is_proven)
        };
        assert_eq!([rings(1), rings(2), rings(8)], [(3, true), (6, true), (24, false)]);
    }
}
