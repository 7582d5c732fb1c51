//! A price list from JSON.
//!
//! Owns which record of a file is which of the shop's, and the way from the file's form to offers.
//! Never compares what they say.

use super::json::{
    Amount, ColourRecord, FORMAT, FinishRecord, FreightRecord, ListFile, OfferRecord, SoldAs, StyleRecord,
    SupplierRecord, VERSION,
};
use super::newcomers::{named_supplier, usual_screen};
use super::{Fault, FileError, FileOffer, MOST_FAULTS, Reading, Why, marks};
use crate::glyph::{CountsError, GlyphCounts};
use crate::length::Units;
use crate::lists::names::{NameError, Thing};
use crate::lists::rows::{self, CellError, CellFault, Column};
use crate::lists::{
    Break, Colour, ColourId, Finish, FinishId, FreightStep, LetterStyle, Lists, Offer, OfferId, StyleId,
    SupplierId, Way, fresh_id,
};
use crate::money::{Cents, Currency};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// The most suppliers, finishes, colours and styles in a file.
const MOST_RECORDS: usize = 2_000;

/// Reads a price list from JSON.
///
/// # Errors
/// Says why nothing of it can be read.
pub fn read(text: &str, lists: &Lists, currency: &Currency) -> Result<Reading, FileError> {
    let file = read_form(text)?;
    if file.currency != currency.code() {
        let (mark, currency) = (file.currency, currency.code().to_owned());
        return Err(FileError::Currency(marks::ForeignMark { mark, currency }));
    }
    let mut joined = Joined { lists: lists.clone(), ..Joined::empty(currency) };
    joined.take_suppliers(&file.suppliers)?;
    joined.take_finishes(file.finishes)?;
    joined.take_styles(&file.styles)?;
    let suppliers = joined.suppliers.values().cloned().collect();
    let (mut offers, mut faults) = (Vec::new(), Vec::new());
    let mut ids = BTreeMap::new();
    for (row, record) in (1..).zip(file.offers) {
        let earlier = ids.get(&record.id).copied();
        let same_id = earlier.map(|row| Why::SameId { id: record.id.clone(), row });
        ids.entry(record.id.clone()).or_insert(row);
        match same_id.map_or_else(|| joined.offer(record), Err) {
            Ok(offer) => offers.push(FileOffer { row, has_id: true, offer }),
            Err(why) => faults.push(Fault { row, why }),
        }
        if faults.len() > MOST_FAULTS {
            return Err(FileError::TooManyFaults(Box::new(faults.swap_remove(0))));
        }
    }
    Ok(Reading {
        entry: "offer",
        lists: joined.lists,
        is_whole: true,
        offers,
        suppliers,
        absent: Vec::new(),
        faults,
        notes: Vec::new(),
    })
}

fn read_form(text: &str) -> Result<ListFile, FileError> {
    #[derive(Deserialize)]
    struct Head {
        format: String,
        version: u64,
    }
    let not_the_form = |error: serde_json::Error| FileError::NotTheForm(error.to_string());
    let head: Head = serde_json::from_str(text).map_err(not_the_form)?;
    if head.format != FORMAT {
        return Err(FileError::NotTheForm(format!("its format is not “{FORMAT}”")));
    }
    if head.version != VERSION {
        return Err(FileError::OtherVersion(head.version));
    }
    let file: ListFile = serde_json::from_str(text).map_err(not_the_form)?;
    let colours: usize = file.finishes.iter().map(|finish| finish.colours.len()).sum();
    if file.suppliers.len() + file.finishes.len() + colours + file.styles.len() > MOST_RECORDS {
        return Err(FileError::TooManyNames);
    }
    Ok(file)
}

/// The shop's lists with those of a file in them, and which record of the file is which.
struct Joined<'a> {
    lists: Lists,
    currency: &'a Currency,
    suppliers: BTreeMap<String, SupplierId>,
    finishes: BTreeMap<String, FinishId>,
    colours: BTreeMap<(String, String), ColourId>,
    styles: BTreeMap<String, StyleId>,
}

impl<'a> Joined<'a> {
    fn empty(currency: &'a Currency) -> Self {
        Self {
            lists: Lists::default(),
            currency,
            suppliers: BTreeMap::new(),
            finishes: BTreeMap::new(),
            colours: BTreeMap::new(),
            styles: BTreeMap::new(),
        }
    }

    fn take_suppliers(&mut self, records: &[SupplierRecord]) -> Result<(), FileError> {
        let theirs =
            records.iter().map(|record| (record.id.as_str(), record.name.as_str())).collect::<Vec<_>>();
        let partners = partners(Thing::Supplier, &theirs, rows::suppliers(&self.lists).entries())?;
        for (record, partner) in records.iter().zip(partners) {
            let place = partner.unwrap_or_else(|| {
                let id = free_id(
                    &record.id,
                    &record.name,
                    self.lists.suppliers.iter().map(|entry| entry.id.as_str()),
                );
                self.lists.suppliers.push(named_supplier(SupplierId::new(id), record.name.clone()));
                self.lists.suppliers.len() - 1
            });
            let steps = self.freight(record)?;
            let minimum =
                record.minimum.as_ref().map(|minimum| self.amount(&record.name, minimum)).transpose()?;
            let supplier = &mut self.lists.suppliers[place];
            supplier.freight = steps.unwrap_or_else(|| supplier.freight.clone());
            supplier.minimum = minimum.unwrap_or(supplier.minimum);
            supplier.days = record.days.or(supplier.days);
            supplier.date = record.date.clone().unwrap_or_else(|| supplier.date.clone());
            supplier.note = record.note.clone().unwrap_or_else(|| supplier.note.clone());
            if !is_day(&supplier.date) {
                return Err(not_the_form(&record.name, "its date is not a day such as 2026-01-31"));
            }
            self.suppliers.insert(record.id.clone(), supplier.id.clone());
        }
        Ok(())
    }

    fn freight(&self, record: &SupplierRecord) -> Result<Option<Vec<FreightStep>>, FileError> {
        let Some(records) = &record.freight else { return Ok(None) };
        let amount = |amount: &Amount| self.amount(&record.name, amount);
        let step =
            |step: &FreightRecord| Ok(FreightStep { from: amount(&step.from)?, cost: amount(&step.cost)? });
        let steps = records.iter().map(step).collect::<Result<Vec<_>, FileError>>()?;
        if steps.windows(2).any(|pair| pair[0].from >= pair[1].from) {
            return Err(not_the_form(&record.name, "each freight step must begin above the one before it"));
        }
        Ok(Some(steps))
    }

    fn amount(&self, of: &str, amount: &Amount) -> Result<Cents, FileError> {
        amount.cents(self.currency).map_err(|why| not_the_form(of, &why.to_string()))
    }

    fn take_finishes(&mut self, records: Vec<FinishRecord>) -> Result<(), FileError> {
        let theirs =
            records.iter().map(|record| (record.id.as_str(), record.name.as_str())).collect::<Vec<_>>();
        let partners = partners(Thing::Finish, &theirs, rows::finishes(&self.lists).entries())?;
        for (record, partner) in records.into_iter().zip(partners) {
            let place = partner.unwrap_or_else(|| {
                let id = free_id(
                    &record.id,
                    &record.name,
                    self.lists.finishes.iter().map(|entry| entry.id.as_str()),
                );
                let (id, name) = (FinishId::new(id), record.name.clone());
                self.lists.finishes.push(Finish {
                    id,
                    name,
                    colours: Vec::new(),
                    recipe: crate::lists::Recipe::usual(),
                });
                self.lists.finishes.len() - 1
            });
            if let Some(recipe) = record.recipe {
                self.lists.finishes[place].recipe = recipe;
            }
            self.finishes.insert(record.id.clone(), self.lists.finishes[place].id.clone());
            self.take_colours(place, &record.id, &record.colours)?;
        }
        Ok(())
    }

    fn take_colours(
        &mut self,
        place: usize,
        finish: &str,
        records: &[ColourRecord],
    ) -> Result<(), FileError> {
        let theirs =
            records.iter().map(|record| (record.id.as_str(), record.name.as_str())).collect::<Vec<_>>();
        let id = self.lists.finishes[place].id.clone();
        let partners = partners(Thing::Colour, &theirs, rows::colours(&self.lists, &id).entries())?;
        for (record, partner) in records.iter().zip(partners) {
            let usual = usual_screen(&self.lists, &record.name);
            let colours = &mut self.lists.finishes[place].colours;
            let at = partner.unwrap_or_else(|| {
                let id = free_id(&record.id, &record.name, colours.iter().map(|entry| entry.id.as_str()));
                colours.push(Colour { id: ColourId::new(id), name: record.name.clone(), screen: usual });
                colours.len() - 1
            });
            colours[at].screen = record.screen.unwrap_or(colours[at].screen);
            self.colours.insert((finish.to_owned(), record.id.clone()), colours[at].id.clone());
        }
        Ok(())
    }

    fn take_styles(&mut self, records: &[StyleRecord]) -> Result<(), FileError> {
        let theirs =
            records.iter().map(|record| (record.id.as_str(), record.name.as_str())).collect::<Vec<_>>();
        let partners = partners(Thing::Style, &theirs, rows::styles(&self.lists).entries())?;
        for (record, partner) in records.iter().zip(partners) {
            let styles = &mut self.lists.styles;
            let place = partner.unwrap_or_else(|| {
                let id = free_id(&record.id, &record.name, styles.iter().map(|entry| entry.id.as_str()));
                styles.push(LetterStyle::estimated(&id, &record.name));
                styles.len() - 1
            });
            styles[place].six_is_nine = record.six_is_nine.unwrap_or(styles[place].six_is_nine);
            self.styles.insert(record.id.clone(), styles[place].id.clone());
        }
        Ok(())
    }

    fn offer(&self, record: OfferRecord) -> Result<Offer, Why> {
        let price = |amount: &Amount| amount.cents(self.currency);
        let height = Units::Inches.write(record.height);
        let mut of_height = rows::empty_offer(OfferId::default());
        rows::set(&mut of_height, Column::Height, &height, &self.lists, self.currency)
            .map_err(|error| Why::Cells(vec![CellFault { column: Column::Height, error }]))?;
        let breaks =
            record.breaks.iter().map(|step| Ok(Break { from: step.from, price: price(&step.price)? }));
        let breaks = breaks.collect::<Result<Vec<_>, Why>>()?;
        let starts: Vec<u32> = [1].into_iter().chain(breaks.iter().map(|step| step.from)).collect();
        if starts.windows(2).any(|pair| pair[0] >= pair[1]) {
            return Err(Why::Steps);
        }
        let colour =
            |id: &String| referred(Thing::Colour, self.colours.get(&(record.finish.clone(), id.clone())), id);
        Ok(Offer {
            id: OfferId::new(record.id.as_str()),
            supplier: referred(Thing::Supplier, self.suppliers.get(&record.supplier), &record.supplier)?,
            finish: referred(Thing::Finish, self.finishes.get(&record.finish), &record.finish)?,
            height: of_height.height,
            colours: once_each(record.colours.iter().map(colour))?,
            styles: once_each(
                record.styles.iter().map(|id| referred(Thing::Style, self.styles.get(id), id)),
            )?,
            price: price(&record.price)?,
            count_over: record.count_over,
            at_most: record.at_most,
            breaks,
            way: way(record)?,
        })
    }
}

/// The way that an offer is sold; what belongs to another way is refused.
fn way(record: OfferRecord) -> Result<Way, Why> {
    match (record.sold_as, record.letters_per_unit, record.letters, record.contents) {
        (SoldAs::Piece, None, Some(glyphs), None) => Ok(Way::Piece { glyphs }),
        (SoldAs::Pack, Some(of), Some(glyphs), None) => Ok(Way::Pack { of, glyphs }),
        (SoldAs::Set, None, None, Some(contents)) => contents_seen(contents),
        _ => Err(Why::Way),
    }
}

/// A set of these contents, none of which may be a control character: a table of the list with one in
/// it would be refused as no text.
fn contents_seen(contents: GlyphCounts) -> Result<Way, Why> {
    let unseen = contents.iter().find(|(glyph, _)| glyph.is_control()).map(|(glyph, _)| glyph.to_string());
    let fault =
        |text| CellFault { column: Column::Letters, error: CellError::Contents(CountsError::Unread(text)) };
    match unseen {
        Some(text) => Err(Why::Cells(vec![fault(text)])),
        None => Ok(Way::Set { contents }),
    }
}

fn referred<I: Clone>(thing: Thing, found: Option<&I>, text: &str) -> Result<I, Why> {
    let unknown = || Why::Reference(NameError::Unknown { thing, text: text.to_owned(), known: Vec::new() });
    found.cloned().ok_or_else(unknown)
}

fn once_each<I: Ord + Clone>(ids: impl Iterator<Item = Result<I, Why>>) -> Result<Vec<I>, Why> {
    let mut seen = BTreeSet::new();
    let ids = ids.collect::<Result<Vec<I>, Why>>()?;
    Ok(ids.into_iter().filter(|id| seen.insert(id.clone())).collect())
}

/// A day as year-month-day, or none.
fn is_day(text: &str) -> bool {
    let fits = |(place, byte): (usize, u8)| {
        if matches!(place, 4 | 7) { byte == b'-' } else { byte.is_ascii_digit() }
    };
    text.is_empty() || text.len() == 10 && text.bytes().enumerate().all(fits)
}

fn not_the_form(of: &str, why: &str) -> FileError {
    FileError::NotTheForm(format!("“{}”: {why}", crate::number::shortened(of)))
}

fn free_id<'a>(wanted: &str, name: &str, taken: impl Iterator<Item = &'a str>) -> String {
    let taken: BTreeSet<&str> = taken.collect();
    if !wanted.is_empty() && !taken.contains(wanted) {
        return wanted.to_owned();
    }
    fresh_id(name, taken.into_iter())
}

/// For each record of a file, the place of the shop's record that it is: the one of the same name,
/// and of several the one of the same id. An id alone says nothing: every shop's first supplier may
/// have the same.
fn partners(
    thing: Thing,
    theirs: &[(&str, &str)],
    ours: &[(&str, &str)],
) -> Result<Vec<Option<usize>>, FileError> {
    let mut ids = BTreeSet::new();
    if let Some((id, name)) = theirs.iter().find(|(id, _)| !ids.insert(*id)) {
        let why = format!("its id “{}” is that of another {}", crate::number::shortened(id), thing.word());
        return Err(not_the_form(name, &why));
    }
    let plain = |name: &str| name.trim().to_lowercase();
    let mut by_name = BTreeMap::<String, Vec<usize>>::new();
    for (place, (_, name)) in ours.iter().enumerate() {
        by_name.entry(plain(name)).or_default().push(place);
    }
    let same_name = |name: &str| by_name.get(&plain(name)).map_or(&[][..], Vec::as_slice);
    let by_id =
        |(id, name): &(&str, &str)| same_name(name).iter().copied().find(|&place| ours[place].0 == *id);
    let mut partners: Vec<Option<usize>> = theirs.iter().map(by_id).collect();
    let mut taken: BTreeSet<usize> = partners.iter().flatten().copied().collect();
    for (partner, (_, name)) in partners.iter_mut().zip(theirs).filter(|(partner, _)| partner.is_none()) {
        let free: Vec<usize> =
            same_name(name).iter().copied().filter(|place| !taken.contains(place)).collect();
        if let [only] = free.as_slice() {
            *partner = Some(*only);
            taken.insert(*only);
        }
    }
    Ok(partners)
}
