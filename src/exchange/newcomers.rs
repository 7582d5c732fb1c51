//! Suppliers, finishes, colours and letter styles that a file names and the shop does not have.
//!
//! Owns how a name becomes a record to add. Never adds to the shop's own lists: it works on a copy.

use super::{FileError, MOST_NEWCOMERS, Why};
use crate::lists::names::NameError;
use crate::lists::rows;
use crate::lists::{
    Colour, ColourId, Finish, FinishId, LetterStyle, Lists, Recipe, Rgb, StyleId, Supplier, SupplierId,
    fresh_id,
};
use crate::money::Cents;

/// The longest name that a file may bring along, in characters.
const LONGEST_NAME: usize = 80;

/// The lists with what a file adds to them.
pub struct Newcomers {
    /// The lists, those who are new at the end of each.
    pub lists: Lists,
    count: usize,
}

impl Newcomers {
    /// The lists as they are, with nobody new yet.
    pub fn to(lists: &Lists) -> Self {
        Self { lists: lists.clone(), count: 0 }
    }

    /// Counts one more.
    ///
    /// # Errors
    /// There are too many.
    pub fn count(&mut self) -> Result<(), FileError> {
        self.count += 1;
        if self.count > MOST_NEWCOMERS { Err(FileError::TooManyNames) } else { Ok(()) }
    }

    /// Sees to it that a supplier of this name is there.
    ///
    /// # Errors
    /// A name that cannot be one stays unknown; too many are the file's fault.
    pub fn supplier(&mut self, text: &str) -> Result<Result<(), Why>, FileError> {
        let found = rows::suppliers(&self.lists).find(text).map(drop);
        self.welcome(found, |lists, name| {
            let taken = lists.suppliers.iter().map(|supplier| supplier.id.as_str());
            let id = SupplierId::new(fresh_id(&name, taken));
            lists.suppliers.push(named_supplier(id, name));
        })
    }

    /// Sees to it that a finish of this name is there.
    ///
    /// # Errors
    /// As for a supplier.
    pub fn finish(&mut self, text: &str) -> Result<Result<(), Why>, FileError> {
        let found = rows::finishes(&self.lists).find(text).map(drop);
        self.welcome(found, |lists, name| {
            let id = FinishId::new(fresh_id(&name, lists.finishes.iter().map(|finish| finish.id.as_str())));
            lists.finishes.push(Finish { id, name, colours: Vec::new(), recipe: Recipe::usual() });
        })
    }

    /// Sees to it that the colours of this list are there on a finish.
    ///
    /// # Errors
    /// As for a supplier.
    pub fn colours(&mut self, finish: &str, text: &str) -> Result<Result<(), Why>, FileError> {
        let Ok(finish) = rows::finishes(&self.lists).find(finish).map(FinishId::new) else {
            return Ok(Ok(()));
        };
        loop {
            let found = rows::colours(&self.lists, &finish).find_all(text).map(drop);
            let is_unknown = matches!(found, Err(NameError::Unknown { .. }));
            let settled = self.welcome(found, |lists, name| {
                let screen = usual_screen(lists, &name);
                let Some(finish) = lists.finishes.iter_mut().find(|entry| entry.id == finish) else { return };
                let taken = finish.colours.iter().map(|colour| colour.id.as_str());
                let id = ColourId::new(fresh_id(&name, taken));
                finish.colours.push(Colour { id, name, screen });
            })?;
            if !is_unknown || settled.is_err() {
                return Ok(settled);
            }
        }
    }

    /// Sees to it that the letter styles of this list are there.
    ///
    /// # Errors
    /// As for a supplier.
    pub fn styles(&mut self, text: &str) -> Result<Result<(), Why>, FileError> {
        loop {
            let found = rows::styles(&self.lists).find_all(text).map(drop);
            let is_unknown = matches!(found, Err(NameError::Unknown { .. }));
            let settled = self.welcome(found, |lists, name| {
                let id = StyleId::new(fresh_id(&name, lists.styles.iter().map(|style| style.id.as_str())));
                lists.styles.push(LetterStyle { id, ..LetterStyle::estimated("", &name) });
            })?;
            if !is_unknown || settled.is_err() {
                return Ok(settled);
            }
        }
    }

    /// Adds a record for a name that is not known. Any other error is left for whoever reads the cell.
    fn welcome(
        &mut self,
        found: Result<(), NameError>,
        add: impl FnOnce(&mut Lists, String),
    ) -> Result<Result<(), Why>, FileError> {
        let Err(NameError::Unknown { text, .. }) = found else {
            return Ok(Ok(()));
        };
        let name = text.trim();
        if name.starts_with('#') || !is_name(name) {
            return Ok(Err(Why::BadName(name.to_owned())));
        }
        self.count()?;
        add(&mut self.lists, name.to_owned());
        Ok(Ok(()))
    }
}

/// Whether a text can be the name of somebody new: not long, on one line, with a letter in it. A
/// figure that strays from its column is not to become a colour.
pub fn is_name(text: &str) -> bool {
    text.chars().any(char::is_alphabetic)
        && text.chars().count() <= LONGEST_NAME
        && !text.chars().any(char::is_control)
}

/// A supplier of whom nothing but the name is known.
pub fn named_supplier(id: SupplierId, name: String) -> Supplier {
    let (date, note) = (String::new(), String::new());
    Supplier { id, name, freight: Vec::new(), minimum: Cents::ZERO, days: None, date, note }
}

/// How a colour of this name looks on another finish; grey where there is none.
pub fn usual_screen(lists: &Lists, name: &str) -> Rgb {
    let colours = lists.finishes.iter().flat_map(|finish| &finish.colours);
    let like = |colour: &&Colour| colour.name.trim().to_lowercase() == name.trim().to_lowercase();
    colours.into_iter().find(like).map_or(Rgb([128; 3]), |colour| colour.screen)
}
