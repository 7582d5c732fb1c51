//! Which offer of a file is which offer of the shop.
//!
//! Owns what identifies an offer across files. Never says what has changed about it.

use super::{FileOffer, Reading, Why};
use crate::lists::rows::{self, Column};
use crate::lists::{Lists, Offer};
use crate::money::Currency;
use std::collections::BTreeMap;

/// The columns by which letters are the same letters, whatever they cost.
const LETTERS: [Column; 8] = [
    Column::Supplier,
    Column::Finish,
    Column::Height,
    Column::Way,
    Column::Each,
    Column::Letters,
    Column::Colours,
    Column::Styles,
];
/// The columns by which an offer is known again though its colours, styles or contents changed.
const KIND: [Column; 5] = [Column::Supplier, Column::Finish, Column::Height, Column::Way, Column::Each];

/// For each offer of a file: the place of the shop's offer that it is, `None` for a new one.
pub struct Pairs {
    /// In the order of the file.
    pub partners: Vec<Result<Option<usize>, Why>>,
}

/// Pairs by id, within one supplier; else by all that is said; else by the letters; else by finish,
/// height and way where that leaves one on either side.
pub fn pair(reading: &Reading, currency: &Currency) -> Pairs {
    let there = |column: &&Column| !reading.absent.contains(column);
    let words = |offer: &Offer, columns: &[Column]| words(offer, columns, &reading.lists, currency);
    let chosen = |columns: &[Column]| columns.iter().filter(there).copied().collect::<Vec<Column>>();
    let (all, letters) = (chosen(&Column::ALL), chosen(&LETTERS));
    let mut pairing = Pairing {
        rows: &reading.offers,
        at_hand: &reading.lists.offers,
        partners: vec![None; reading.offers.len()],
        taken: vec![false; reading.lists.offers.len()],
    };
    pairing.by_id();
    pairing.by_words(|offer| words(offer, &all), false);
    let by_letters: Vec<String> = reading.offers.iter().map(|row| words(&row.offer, &letters)).collect();
    let mut faults = pairing.contradictions(&by_letters);
    pairing.leave(&faults);
    pairing.by_words(|offer| words(offer, &letters), true);
    let several = pairing.several_at_hand(|offer| words(offer, &letters), &by_letters, &faults);
    faults.extend(several);
    pairing.leave(&faults);
    let kind = |offer: &Offer| {
        let is_set = matches!(offer.way, crate::lists::Way::Set { .. });
        let columns = chosen(if is_set { &KIND[..4] } else { &KIND });
        words(offer, &columns)
    };
    pairing.by_words(kind, true);
    let partner = |(at, partner): (usize, &Option<usize>)| match faults.get(&at) {
        Some(why) => Err(why.clone()),
        None => Ok(partner.filter(|&place| place != usize::MAX)),
    };
    Pairs { partners: pairing.partners.iter().enumerate().map(partner).collect() }
}

/// What the columns say, the colours and styles in one order.
fn words(offer: &Offer, columns: &[Column], lists: &Lists, currency: &Currency) -> String {
    let mut offer = offer.clone();
    offer.colours.sort();
    offer.styles.sort();
    let cells: Vec<String> =
        columns.iter().map(|&column| rows::cell(&offer, column, lists, currency)).collect();
    cells.join("\u{1f}")
}

struct Pairing<'a> {
    rows: &'a [FileOffer],
    at_hand: &'a [Offer],
    /// The place of each row's offer at hand; beyond every place for a row that is to have none.
    partners: Vec<Option<usize>>,
    taken: Vec<bool>,
}

impl Pairing<'_> {
    fn take(&mut self, row: usize, place: usize) {
        self.partners[row] = Some(place);
        self.taken[place] = true;
    }

    fn open_rows(&self) -> impl Iterator<Item = usize> {
        (0..self.rows.len()).filter(|&row| self.partners[row].is_none())
    }

    fn open_places(&self) -> impl Iterator<Item = usize> {
        (0..self.at_hand.len()).filter(|&place| !self.taken[place])
    }

    fn by_id(&mut self) {
        let ids: BTreeMap<&str, usize> =
            self.at_hand.iter().enumerate().map(|(place, offer)| (offer.id.as_str(), place)).collect();
        for row in 0..self.rows.len() {
            let FileOffer { has_id, offer, .. } = &self.rows[row];
            let place = ids.get(offer.id.as_str()).copied().filter(|_| *has_id);
            let same_supplier = |place: &usize| self.at_hand[*place].supplier == offer.supplier;
            if let Some(place) = place.filter(same_supplier).filter(|&place| !self.taken[place]) {
                self.take(row, place);
            }
        }
    }

    /// Pairs what has the same words, first with first; or only where there is one on either side.
    fn by_words(&mut self, words: impl Fn(&Offer) -> String, only_single: bool) {
        let mut groups = BTreeMap::<String, (Vec<usize>, Vec<usize>)>::new();
        for row in self.open_rows() {
            groups.entry(words(&self.rows[row].offer)).or_default().0.push(row);
        }
        for place in self.open_places() {
            groups.entry(words(&self.at_hand[place])).or_default().1.push(place);
        }
        for (rows, places) in groups.into_values() {
            if !only_single || (rows.len(), places.len()) == (1, 1) {
                rows.into_iter().zip(places).for_each(|(row, place)| self.take(row, place));
            }
        }
    }

    /// Rows without an id that offer the same letters as another row.
    fn contradictions(&self, words: &[String]) -> BTreeMap<usize, Why> {
        let mut groups = BTreeMap::<&str, Vec<usize>>::new();
        for (row, words) in words.iter().enumerate().filter(|(row, _)| !self.rows[*row].has_id) {
            groups.entry(words.as_str()).or_default().push(row);
        }
        let mut faults = BTreeMap::new();
        for rows in groups.into_values().filter(|rows| rows.len() > 1) {
            for &row in rows.iter().filter(|&&row| self.partners[row].is_none()) {
                let other = rows.iter().find(|&&other| other != row).map_or(0, |&other| self.rows[other].row);
                faults.insert(row, Why::SameLetters { row: other });
            }
        }
        faults
    }

    /// Rows without an id that could be any of several offers at hand.
    fn several_at_hand(
        &self,
        words: impl Fn(&Offer) -> String,
        of_rows: &[String],
        known: &BTreeMap<usize, Why>,
    ) -> BTreeMap<usize, Why> {
        let mut places = BTreeMap::<String, usize>::new();
        for place in self.open_places() {
            *places.entry(words(&self.at_hand[place])).or_default() += 1;
        }
        let open = self.open_rows().filter(|row| !known.contains_key(row) && !self.rows[*row].has_id);
        let several =
            open.filter_map(|row| Some((row, *places.get(&of_rows[row]).filter(|&&count| count > 1)?)));
        several.map(|(row, count)| (row, Why::SeveralAtHand(count))).collect()
    }

    /// Leaves rows that cannot be read out of the rest of the pairing.
    fn leave(&mut self, faults: &BTreeMap<usize, Why>) {
        faults.keys().for_each(|&row| self.partners[row] = Some(usize::MAX));
    }
}
