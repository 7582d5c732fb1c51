//! Blocks of cells that go between the price list and a spreadsheet.
//!
//! Owns how a block is read from tab-separated text and put on the list from one cell on: each
//! row into the offer there, rows beyond the last one as new offers. Says of each cell that cannot
//! be read where it stands; whether the others are taken then is for the person to say.

use super::rows::{self, CellError, CellFault, Column};
use super::{Lists, Offer, OfferId, fresh_id};
use crate::money::Currency;
use std::fmt;

/// Reads a block as spreadsheets copy it: cells parted by tabs, quoted where they must be. A row
/// without anything in it is a row, so that what is below it stays in its place. Where a quotation
/// mark is never closed, none of them means anything.
///
/// ```
/// use lettertally::lists::block;
/// assert_eq!(block::read("1\t\"a\tb\"\r\n\n2\tc\r\n"), [vec!["1", "a\tb"], vec![""], vec!["2", "c"]]);
/// ```
pub fn read(text: &str) -> Vec<Vec<String>> {
    read_quoted(text).unwrap_or_else(|| {
        let cells = |line: &str| line.split('\t').map(str::to_owned).collect();
        text.lines().map(cells).collect()
    })
}

/// `None` where a quotation mark is never closed.
fn read_quoted(text: &str) -> Option<Vec<Vec<String>>> {
    let mut rows = Vec::new();
    let (mut row, mut cell) = (Vec::new(), String::new());
    let (mut is_quoted, mut is_begun) = (false, false);
    let mut signs = text.chars().peekable();
    while let Some(c) = signs.next() {
        match c {
            '"' if is_quoted && signs.next_if_eq(&'"').is_some() => cell.push('"'),
            '"' if is_quoted => is_quoted = false,
            c if is_quoted => cell.push(c),
            '"' if !is_begun => is_quoted = true,
            '\r' if signs.peek() == Some(&'\n') => continue,
            '\t' => row.push(std::mem::take(&mut cell)),
            '\n' => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            c => cell.push(c),
        }
        is_begun = is_quoted || !matches!(c, '\t' | '\n');
    }
    if !row.is_empty() || is_begun {
        row.push(cell);
        rows.push(row);
    }
    (!is_quoted).then_some(rows)
}

/// Writes a block as spreadsheets paste it.
pub fn write(rows: &[Vec<String>]) -> String {
    let quoted = |cell: &String| match cell.starts_with('"') || cell.contains(['\t', '\n', '\r']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.clone(),
    };
    let line = |row: &Vec<String>| row.iter().map(quoted).collect::<Vec<_>>().join("\t");
    rows.iter().map(|row| line(row) + "\n").collect()
}

/// A cell of a block that cannot be put on the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockFault {
    /// The row of the list, from 1; beyond the last one, that of the new offer.
    pub row: usize,
    /// What is wrong.
    pub kind: BlockFaultKind,
}

/// What is wrong with a part of a block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BlockFaultKind {
    /// A cell that cannot be read.
    Cell(CellFault),
    /// More cells than there are columns from the first one on.
    TooWide {
        /// How many cells have no column.
        extra: usize,
    },
}

impl fmt::Display for BlockFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.kind {
            BlockFaultKind::Cell(fault) => write!(f, "row {}, {fault}", self.row),
            BlockFaultKind::TooWide { extra } => write!(
                f,
                "row {}: {extra} more than there are columns: begin further left, or copy fewer",
                self.row
            ),
        }
    }
}

impl std::error::Error for BlockFault {}

/// The list with a block put on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pasted {
    /// The lists with every readable cell in its place.
    pub lists: Lists,
    /// What could not be read, row by row. A new row with a fault is left out whole.
    pub faults: Vec<BlockFault>,
    /// How many offers are others than before.
    pub changed: usize,
    /// How many offers are new.
    pub added: usize,
}

/// Puts a block on the list, its first cell on a row and a column. A first row that is nothing but
/// headings says which columns the others are for.
pub fn paste(
    lists: &Lists,
    row: usize,
    column: Column,
    block: &[Vec<String>],
    currency: &Currency,
) -> Pasted {
    let headings = block.first().and_then(|first| {
        let columns: Option<Vec<Column>> = first.iter().map(|cell| Column::with_heading(cell)).collect();
        columns.filter(|columns| columns.len() > 1)
    });
    let body = &block[usize::from(headings.is_some()).min(block.len())..];
    let columns =
        headings.unwrap_or_else(|| Column::ALL.into_iter().skip_while(|at| *at != column).collect());
    let mut pasted = Pasted { lists: lists.clone(), faults: Vec::new(), changed: 0, added: 0 };
    for (at, texts) in body.iter().enumerate() {
        let cells: Vec<(Column, &str)> =
            columns.iter().copied().zip(texts.iter().map(String::as_str)).collect();
        let extra = texts.len().saturating_sub(columns.len());
        let mut faults: Vec<BlockFaultKind> = Vec::new();
        faults.extend((extra > 0).then_some(BlockFaultKind::TooWide { extra }));
        let found = match pasted.lists.offers.get(row + at).cloned() {
            Some(offer) => pasted.replace(row + at, offer, &cells, lists, currency),
            None => pasted.append(&cells, lists, currency),
        };
        faults.extend(found.into_iter().map(BlockFaultKind::Cell));
        pasted.faults.extend(faults.into_iter().map(|kind| BlockFault { row: row + at + 1, kind }));
    }
    pasted
}

impl Pasted {
    /// Puts what can be read of a row into the offer there.
    fn replace(
        &mut self,
        at: usize,
        mut offer: Offer,
        cells: &[(Column, &str)],
        lists: &Lists,
        currency: &Currency,
    ) -> Vec<CellFault> {
        let faults = rows::set_row(&mut offer, cells, lists, currency).err().unwrap_or_default();
        let is_good = |column: Column| faults.iter().all(|fault| fault.column != column);
        let good: Vec<(Column, &str)> =
            cells.iter().filter(|(column, _)| is_good(*column)).copied().collect();
        // A cell that hangs on a bad one may be bad in turn without it: it is left out as well.
        let mut rest = Vec::new();
        if !faults.is_empty() {
            rest = rows::set_row(&mut offer, &good, lists, currency).err().unwrap_or_default();
        }
        if self.lists.offers[at] != offer {
            self.lists.offers[at] = offer;
            self.changed += 1;
        }
        faults.into_iter().chain(rest).collect()
    }

    fn append(&mut self, cells: &[(Column, &str)], lists: &Lists, currency: &Currency) -> Vec<CellFault> {
        if cells.iter().all(|(_, text)| text.trim().is_empty()) {
            return Vec::new();
        }
        let id = fresh_id("offer", self.lists.offers.iter().map(|offer| offer.id.as_str()));
        match rows::read_offer(OfferId::new(id), cells, lists, currency) {
            Ok(offer) => {
                self.lists.offers.push(offer);
                self.added += 1;
                Vec::new()
            }
            Err(faults) => faults,
        }
    }
}

/// Empties cells of the list where a cell may be empty.
pub fn clear(
    lists: &Lists,
    rows: std::ops::RangeInclusive<usize>,
    columns: &[Column],
    currency: &Currency,
) -> Pasted {
    let mut pasted = Pasted { lists: lists.clone(), faults: Vec::new(), changed: 0, added: 0 };
    let cells: Vec<(Column, &str)> = columns.iter().map(|column| (*column, "")).collect();
    for at in rows.filter(|at| *at < lists.offers.len()) {
        let found = pasted.replace(at, lists.offers[at].clone(), &cells, lists, currency);
        let missing = |fault: CellFault| CellFault { error: CellError::Missing, ..fault };
        let faults = found.into_iter().map(missing).map(BlockFaultKind::Cell);
        pasted.faults.extend(faults.map(|kind| BlockFault { row: at + 1, kind }));
    }
    pasted
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::money::Cents;
    use proptest::prelude::*;

    fn put(row: usize, column: Column, text: &str) -> Pasted {
        paste(&demo::lists(), row, column, &read(text), &Currency::usd())
    }

    #[test]
    fn a_block_goes_down_and_to_the_right() {
        let pasted = put(1, Column::Price, "2.20\t50: 2.00\n18.00\t\n");
        assert_eq!((pasted.faults.len(), pasted.changed, pasted.added), (0, 2, 0));
        assert_eq!(pasted.lists.offers[1].breaks.len(), 1);
        assert_eq!(pasted.lists.offers[2].price, Cents::new(1800));
        assert_eq!(pasted.lists.offers[0], demo::lists().offers[0]);
    }

    #[test]
    fn rows_beyond_the_last_are_new_offers() {
        let row = "Quillfeather Letters\tglitter film\t3\tgold\tblock\tpack\t4\tA-Z\t5.20";
        let last = demo::lists().offers.len() - 1;
        let pasted = put(last, Column::Supplier, &format!("{row}\n{row}\n"));
        assert_eq!((pasted.faults.len(), pasted.changed, pasted.added), (0, 1, 1));
        assert_eq!(pasted.lists.offers[last + 1].way_name(), "pack of 4");
        assert_ne!(pasted.lists.offers[last + 1].id, pasted.lists.offers[last].id);
    }

    #[test]
    fn each_bad_cell_is_named_by_row_and_column_and_the_others_are_kept() {
        let pasted = put(0, Column::Price, "x\t\n2.20\tmany\t\t\t1\n0.99\n");
        let said: Vec<String> = pasted.faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "row 1, price: “x” is not a number",
                "row 2: 1 more than there are columns: begin further left, or copy fewer",
                "row 2, quantity breaks: “many”: write it as 50: 2.00",
            ]
        );
        assert_eq!(pasted.lists.offers[0].price, demo::lists().offers[0].price);
        assert!(pasted.lists.offers[0].breaks.is_empty());
        assert_eq!(pasted.lists.offers[1].price, Cents::new(220));
        assert_eq!(pasted.lists.offers[2].price, Cents::new(99));
    }

    #[test]
    fn headings_say_which_column_is_which() {
        let pasted = put(3, Column::Supplier, "Price\tHeight\n1.05\t5\n");
        assert_eq!((pasted.lists.offers[3].price, pasted.changed), (Cents::new(105), 1));
    }

    #[test]
    fn only_what_may_be_empty_is_emptied() {
        let lists = demo::lists();
        let pasted = clear(&lists, 0..=0, &[Column::Colours, Column::Price], &Currency::usd());
        assert_eq!(pasted.faults[0].to_string(), "row 1, price: an offer needs this: fill it in");
        assert!(pasted.lists.offers[0].colours.is_empty());
        assert_eq!(pasted.lists.offers[0].price, lists.offers[0].price);
    }

    proptest! {
        #[test]
        fn what_is_copied_pastes_back(rows in prop::collection::vec(prop::collection::vec("[a-c\t\n\r\" ,]{0,4}", 1..4), 1..5)) {
            prop_assert_eq!(read(&write(&rows)), rows);
        }

        #[test]
        fn a_copied_list_pasted_over_itself_changes_nothing(row in 0_usize..12, rows in 1_usize..5) {
            let lists = demo::lists();
            let texts = |offer: &Offer| Column::ALL.map(|c| rows::cell(offer, c, &lists, &Currency::usd())).to_vec();
            let block: Vec<Vec<String>> = lists.offers.iter().skip(row).take(rows).map(texts).collect();
            let pasted = put(row, Column::Supplier, &write(&block));
            prop_assert!(pasted.faults.is_empty());
            prop_assert_eq!(pasted.lists, lists);
        }

        #[test]
        fn no_text_makes_a_paste_panic(text in "[a-z0-9\t\n\"., ]{0,60}", row in 0_usize..14, at in 0_usize..12) {
            let _ = put(row, Column::ALL[at], &text);
        }
    }
}
