//! A price list as CSV (RFC 4180).
//!
//! Owns what a price list looks like in a spreadsheet. Whatever it writes comes back unchanged.

use super::{figures, formula, headings};
use crate::lists::Lists;
use crate::lists::rows::{self, Column};
use crate::money::Currency;

/// The shop's offers as CSV with headings, the currency and the ids in the last columns. Cells that a
/// spreadsheet would run are made harmless; figures have a point before their decimals and say so.
///
/// ```
/// use lettertally::{exchange::csv_out, lists::demo, money::Currency};
/// let csv = csv_out::write(&demo::lists(), &Currency::usd());
/// assert!(csv.starts_with("supplier,finish,height,colours,"));
/// ```
pub fn write(lists: &Lists, currency: &Currency) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let headings = Column::ALL.into_iter().map(Column::heading).chain([headings::CURRENCY, headings::ID]);
    // Writing into memory cannot fail.
    let _ = writer.write_record(headings);
    for offer in &lists.offers {
        let cell = |column| told(column, rows::cell(offer, column, lists, currency));
        let cells = Column::ALL.into_iter().map(cell);
        let cells = cells.chain([currency.code().to_owned(), offer.id.to_string()]);
        let _ = writer.write_record(cells.map(|cell| formula::harmless(&cell)));
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn told(column: Column, cell: String) -> String {
    match column {
        Column::Height | Column::Price | Column::Breaks => figures::told(&cell),
        _ => cell,
    }
}
