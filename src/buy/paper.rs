//! A supplier's order on paper: as text to be typed or sent, and as CSV.

use super::SupplierOrder;
use crate::exchange::formula::harmless;
use crate::lists::{Lists, Offer};
use crate::money::Currency;

/// One line of an order, in the words of the price list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperLine {
    /// How many units.
    pub units: u32,
    /// Which letters: "2 in smooth film, white, block".
    pub family: String,
    /// In which way: "pack of 5".
    pub way: String,
    /// The chosen glyph; empty for an assorted set.
    pub glyph: String,
    /// What one unit costs.
    pub price: String,
    /// What they cost together.
    pub cost: String,
}

/// The lines of an order, in its order.
pub fn lines(order: &SupplierOrder, lists: &Lists, currency: &Currency) -> Vec<PaperLine> {
    let line = |entry: &super::Entry| PaperLine {
        units: entry.units,
        family: lists.family_name(&entry.family),
        way: way(lists, entry),
        glyph: entry.glyph.as_ref().map_or_else(String::new, ToString::to_string),
        price: currency.show(entry.price),
        cost: currency.show(entry.cost),
    };
    order.entries.iter().map(line).collect()
}

fn way(lists: &Lists, entry: &super::Entry) -> String {
    let offer = lists.offers.iter().find(|offer| offer.id == entry.offer);
    offer.map_or_else(|| entry.offer.to_string(), Offer::way_name)
}

/// The order as plain text, one line a line, family by family.
pub fn as_text(order: &SupplierOrder, lists: &Lists, currency: &Currency) -> String {
    let supplier = lists.suppliers.iter().find(|supplier| supplier.id == order.supplier);
    let mut text = supplier.map_or_else(|| order.supplier.to_string(), |supplier| supplier.name.clone());
    text.push('\n');
    let mut family = String::new();
    for line in lines(order, lists, currency) {
        if line.family != family {
            text.push_str(&format!("\n{}\n", line.family));
            family.clone_from(&line.family);
        }
        let glyph = if line.glyph.is_empty() { String::new() } else { format!(" {}", line.glyph) };
        text.push_str(&format!("{} x {}{glyph}  {}\n", line.units, line.way, line.cost));
    }
    let total = currency.show(order.subtotal + order.freight);
    text.push_str(&format!(
        "\nMerchandise {}\nFreight {}\nTotal {total}\n",
        currency.show(order.subtotal),
        currency.show(order.freight)
    ));
    text
}

/// The order as CSV (RFC 4180) with headings; figures plain, without signs.
///
/// A cell that a spreadsheet would take for a formula begins with an apostrophe: "-" and "+" are
/// letters here.
pub fn as_csv(order: &SupplierOrder, lists: &Lists, currency: &Currency) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let headings = ["units", "letters", "way", "glyph", "price", "cost"];
    // Writing into memory cannot fail.
    let _ = writer.write_record(headings);
    for (line, entry) in lines(order, lists, currency).iter().zip(&order.entries) {
        let cells = [
            line.units.to_string(),
            harmless(&line.family),
            harmless(&line.way),
            harmless(&line.glyph),
            currency.plain(entry.price),
            currency.plain(entry.cost),
        ];
        let _ = writer.write_record(cells);
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::{Need, solve};
    use crate::glyph::GlyphCounts;
    use crate::lists::demo;

    fn order() -> (SupplierOrder, Lists) {
        let lists = demo::lists();
        let family = lists.families().remove(0);
        let need = Need { family, counts: GlyphCounts::parse("A:6 -:1").unwrap() };
        (solve(&[need], &lists).orders.remove(0), lists)
    }

    #[test]
    fn text_reads_as_an_order_is_typed() {
        let (order, lists) = order();
        let text = as_text(&order, &lists, &Currency::usd());
        assert!(text.starts_with("Quillfeather Letters\n\n2 in smooth film, white, block\n"), "{text}");
        assert!(text.contains("1 x pack of 5 A  $2.15\n"), "{text}");
        // A pack at 2.15 and two pieces at 0.55; below 60.00 freight is 6.90.
        assert!(text.ends_with("Merchandise $3.25\nFreight $6.90\nTotal $10.15\n"), "{text}");
    }

    #[test]
    fn csv_reads_back_and_runs_no_formula() {
        let (order, lists) = order();
        let csv = as_csv(&order, &lists, &Currency::usd());
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), order.entries.len());
        assert!(rows.iter().any(|row| &row[3] == "'-"));
        assert!(csv.contains("\r\n"));
    }
}
