//! A price list from CSV.
//!
//! Owns the way from rows of cells to offers: headings, evidence for the figures, names, ids.
//! Never compares with the lists at hand.

use super::figures::{Evidence, Question, Settled, Sign};
use super::headings::{self, Head};
use super::newcomers::Newcomers;
use super::table::{self, Encoding, Row};
use super::{Fault, FileError, FileOffer, HEADINGS_WITHIN, MOST_FAULTS, Note, Outcome, Reading, Why, marks};
use crate::length;
use crate::lists::rows::{self, Column};
use crate::lists::{Lists, OfferId, steps};
use crate::money::Currency;
use std::collections::{BTreeMap, BTreeSet};

/// What may stand after a height in inches.
const INCH_MARKS: [&str; 8] = ["inches", "inch", "in.", "in", "\"", "″", "”", "''"];

/// What may stand after a height in metric units.
const METRIC_MARKS: [&str; 2] = ["mm", "cm"];

/// The columns of a file, by what they hold.
struct Layout {
    heads: Vec<Head>,
    columns: Vec<(usize, Column)>,
    id: Option<usize>,
    currency: Option<usize>,
    /// The shop's one supplier, where the file has no column of them.
    supplier: Option<String>,
}

/// Reads a CSV.
///
/// # Errors
/// Says why nothing of it can be read.
pub fn read(
    text: &str,
    encoding: Encoding,
    lists: &Lists,
    currency: &Currency,
    answer: Option<Sign>,
) -> Result<Outcome, FileError> {
    let delimiter = table::delimiter(text, |row| headings::known(row, currency));
    let rows = table::split(text, delimiter)?;
    let heading = |row: &Row| headings::of_row(row, currency);
    let found = rows.iter().take(HEADINGS_WITHIN).enumerate().find_map(|(at, row)| Some((at, heading(row)?)));
    let (at, heads) = found.ok_or(FileError::NoHeadings)?;
    let (before, body) = (&rows[..at], &rows[at + 1..]);
    let layout = Layout::of(heads, lists)?;
    let mut notes = layout.notes(&rows[at], body);
    notes.extend((encoding == Encoding::Windows1252).then_some(Note::OldEncoding));
    notes.extend(before.last().filter(|_| !text.starts_with("sep=")).map(|row| Note::Preamble(row.number)));
    let (again, body): (Vec<&Row>, Vec<&Row>) =
        body.iter().partition(|row| heading(row).as_ref() == Some(&layout.heads));
    if !again.is_empty() {
        notes.push(Note::HeadingsAgain(again.iter().map(|row| row.number).collect()));
    }
    let settled = match layout.settle(&body, currency, answer) {
        Ok(settled) => settled,
        Err(question) => return Ok(Outcome::Ask(question)),
    };
    let needed_answer = answer.filter(|_| layout.settle(&body, currency, None).is_err());
    notes.extend(needed_answer.map(Note::Answered));
    let mut reader =
        Reader { layout, settled, currency, newcomers: Newcomers::to(lists), ids: BTreeMap::new() };
    let (mut offers, mut faults) = (Vec::new(), Vec::new());
    for row in body {
        match reader.offer(row)? {
            Ok(offer) => offers.push(offer),
            Err(why) => faults.push(Fault { row: row.number, why }),
        }
        if faults.len() > MOST_FAULTS {
            return Err(FileError::TooManyFaults(Box::new(faults.swap_remove(0))));
        }
    }
    let suppliers = offers.iter().map(|entry: &FileOffer| entry.offer.supplier.clone()).collect();
    let absent = reader.layout.absent();
    let lists = reader.newcomers.lists;
    let reading = Reading { entry: "row", lists, is_whole: false, offers, suppliers, absent, faults, notes };
    Ok(Outcome::Read(Box::new(reading)))
}

impl Layout {
    fn of(heads: Vec<Head>, lists: &Lists) -> Result<Self, FileError> {
        let mut seen = BTreeSet::new();
        for head in &heads {
            let name = match head {
                Head::Id => headings::ID,
                Head::Currency => headings::CURRENCY,
                Head::Foreign(mark) => return Err(FileError::Currency(mark.clone())),
                head => head.column().map_or("", Column::heading),
            };
            if !name.is_empty() && !seen.insert(name) {
                return Err(FileError::Twice(name.to_owned()));
            }
        }
        let place = |wanted: &Head| heads.iter().position(|head| head == wanted);
        let columns = heads.iter().enumerate().filter_map(|(at, head)| Some((at, head.column()?))).collect();
        let (id, currency) = (place(&Head::Id), place(&Head::Currency));
        let mut layout = Self { heads, columns, id, currency, supplier: None };
        if let ([only], false) = (lists.suppliers.as_slice(), layout.has(Column::Supplier)) {
            layout.supplier = Some(only.name.clone());
        }
        let is_missing =
            |column: &Column| column.is_needed() && !layout.has(*column) && !layout.fills_in(*column);
        let missing: Vec<Column> = Column::ALL.into_iter().filter(is_missing).collect();
        if missing.is_empty() { Ok(layout) } else { Err(FileError::Missing(missing, layout.unknown())) }
    }

    fn has(&self, column: Column) -> bool {
        self.columns.iter().any(|(_, there)| *there == column)
    }

    fn fills_in(&self, column: Column) -> bool {
        column == Column::Supplier && self.supplier.is_some()
    }

    fn absent(&self) -> Vec<Column> {
        Column::ALL.into_iter().filter(|column| !self.has(*column) && !self.fills_in(*column)).collect()
    }

    /// The headings that are not known, as written.
    fn unknown(&self) -> Vec<String> {
        let name = |head: &Head| match head {
            Head::Unknown(name) if !name.is_empty() => Some(name.clone()),
            _ => None,
        };
        self.heads.iter().filter_map(name).collect()
    }

    fn notes(&self, heading: &Row, body: &[Row]) -> Vec<Note> {
        let is_used = |at: usize| body.iter().any(|row| !row.cell(at).is_empty());
        let no_heading = |at: &usize| heading.cell(*at).is_empty() && is_used(*at);
        let mut unused = self.unknown();
        unused.extend((0..self.heads.len()).filter(no_heading).map(|at| format!("column {}", at + 1)));
        let absent = self.absent();
        let mut notes = Vec::new();
        notes.extend(self.supplier.clone().map(Note::OneSupplier));
        notes.extend((!unused.is_empty()).then_some(Note::NotUsed(unused)));
        notes.extend((!absent.is_empty()).then_some(Note::NotThere(absent)));
        notes
    }

    /// What settles the figures of the file.
    fn settle(&self, body: &[&Row], currency: &Currency, answer: Option<Sign>) -> Result<Settled, Question> {
        let mut evidence = Evidence::default();
        for row in body.iter().filter(|row| !row.has_open_quote) {
            for &(at, column) in &self.columns {
                // What is wrong with a cell is said when it is read for good.
                let _ = figures(column, row.cell(at), currency, &mut |figure| {
                    evidence.see(row.number, figure.trim());
                    Ok(String::new())
                });
            }
        }
        evidence.settle(answer)
    }
}

struct Reader<'a> {
    layout: Layout,
    settled: Settled,
    currency: &'a Currency,
    newcomers: Newcomers,
    /// The ids given so far, and in which row.
    ids: BTreeMap<String, u64>,
}

impl Reader<'_> {
    fn offer(&mut self, row: &Row) -> Result<Result<FileOffer, Why>, FileError> {
        if let Err(why) = self.shape(row) {
            return Ok(Err(why));
        }
        let cells = match self.plain_cells(row) {
            Ok(cells) => cells,
            Err(why) => return Ok(Err(why)),
        };
        if let Err(why) = self.welcome(&cells)? {
            return Ok(Err(why));
        }
        let given = self.layout.id.map_or("", |at| row.cell(at));
        let cells: Vec<(Column, &str)> =
            cells.iter().map(|(column, text)| (*column, text.as_str())).collect();
        let read = rows::read_offer(OfferId::new(given), &cells, &self.newcomers.lists, self.currency);
        let offer = match read {
            Ok(offer) => offer,
            Err(faults) => return Ok(Err(Why::Cells(faults))),
        };
        if !given.is_empty() {
            if let Some(&earlier) = self.ids.get(given) {
                return Ok(Err(Why::SameId { id: given.to_owned(), row: earlier }));
            }
            self.ids.insert(given.to_owned(), row.number);
        }
        Ok(Ok(FileOffer { row: row.number, has_id: !given.is_empty(), offer }))
    }

    /// Whether the row has the shape of one, in the shop's currency.
    fn shape(&self, row: &Row) -> Result<(), Why> {
        if row.has_open_quote {
            return Err(Why::OpenQuote);
        }
        let columns = self.layout.heads.len();
        if row.cells.len() > table::MOST_CELLS.max(columns)
            || row.cells.iter().skip(columns).any(|cell| !cell.is_empty())
        {
            return Err(Why::MoreCells(columns));
        }
        if row.cells.iter().any(|cell| cell.len() > table::LONGEST_CELL) {
            return Err(Why::LongCell);
        }
        let said = self.layout.currency.map_or("", |at| row.cell(at));
        if said.is_empty() || marks::is_own(said, self.currency) {
            return Ok(());
        }
        let mark = marks::ForeignMark { mark: said.to_owned(), currency: self.currency.code().to_owned() };
        Err(Why::Foreign(mark))
    }

    /// The row's cells with their figures in plain digits.
    fn plain_cells(&self, row: &Row) -> Result<Vec<(Column, String)>, Why> {
        let mut cells = Vec::with_capacity(self.layout.columns.len() + 1);
        cells.extend(self.layout.supplier.clone().map(|name| (Column::Supplier, name)));
        for &(at, column) in &self.layout.columns {
            let read = |figure: &str| {
                // A minus is for whoever reads the cell to refuse.
                let is_negative = figure.trim_start().starts_with(['-', '−']);
                let plain = if is_negative { Ok(figure.to_owned()) } else { self.settled.plain(figure) };
                plain.map_err(|error| Why::Figure(column, error))
            };
            let mut text = figures(column, row.cell(at), self.currency, &mut { read })?;
            let is_bare = text.ends_with(|c: char| c.is_ascii_digit());
            if let (Some(Head::Metric(mark)), true) = (self.layout.heads.get(at), is_bare) {
                text.push_str(mark);
            }
            cells.push((column, text));
        }
        Ok(cells)
    }

    /// Sees to it that all that the row names is there.
    fn welcome(&mut self, cells: &[(Column, String)]) -> Result<Result<(), Why>, FileError> {
        let of =
            |wanted: Column| cells.iter().find(|(column, _)| *column == wanted).map_or("", |(_, text)| text);
        let finish = of(Column::Finish);
        let newcomers = &mut self.newcomers;
        for settled in [
            newcomers.supplier(of(Column::Supplier))?,
            newcomers.finish(finish)?,
            newcomers.colours(finish, of(Column::Colours))?,
            newcomers.styles(of(Column::Styles))?,
        ] {
            if settled.is_err() {
                return Ok(settled);
            }
        }
        Ok(Ok(()))
    }
}

/// A height with its figure as `read` gives it; what is in inches loses their mark. A fraction has
/// no decimal sign that could be read in two ways.
fn height(cell: &str, read: &mut dyn FnMut(&str) -> Result<String, Why>) -> Result<String, Why> {
    if length::has_fraction(cell) {
        return Ok(cell.to_owned());
    }
    let lower = cell.trim_end().to_ascii_lowercase();
    for mark in METRIC_MARKS {
        if let Some(figure) = lower.strip_suffix(mark) {
            return Ok(format!("{}{mark}", read(figure)?));
        }
    }
    let bare = INCH_MARKS.iter().find_map(|mark| lower.strip_suffix(mark));
    read(bare.unwrap_or(cell))
}

/// The cell with each figure in it as `read` gives it; marks of the currency and inches are gone.
fn figures(
    column: Column,
    cell: &str,
    currency: &Currency,
    read: &mut dyn FnMut(&str) -> Result<String, Why>,
) -> Result<String, Why> {
    if cell.is_empty() {
        return Ok(String::new());
    }
    match column {
        Column::Price => read(marks::without_mark(cell, currency).map_err(Why::Foreign)?),
        Column::Each | Column::AtMost => read(cell),
        Column::Height => height(cell, read),
        Column::Breaks => {
            let Ok(parts) = steps::parts(cell) else {
                return Ok(cell.to_owned());
            };
            let mut plain = Vec::with_capacity(parts.len());
            for (_, from, value) in parts {
                let value = marks::without_mark(value, currency).map_err(Why::Foreign)?;
                plain.push(format!("{}: {}", read(from)?, read(value)?));
            }
            Ok(plain.join(", "))
        }
        Column::Supplier | Column::Finish | Column::Colours | Column::Styles | Column::Way => {
            Ok(cell.to_owned())
        }
        Column::Letters | Column::CountOver => Ok(cell.to_owned()),
    }
}
