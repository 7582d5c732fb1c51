//! Two phones of one shop exchange their books: by a file, by links, by QR codes.
//!
//! Owns the form of what goes over: orders with all that happened to them, and what happened to the
//! shelf, nothing else. What comes in is taken in whole and only adds ([`Book::merged`]), so parts
//! can come in any order, twice, or from either side first. A book too large for one link goes in
//! several, each whole by itself.

use super::backup::{self, BackupError};
use super::parts::Parts;
use crate::book::fact::Facts;
use crate::book::{Book, Entry, Moment};
use crate::share::LinkError;
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;
use std::sync::Arc;

/// What a fragment with a part of a book begins with.
const PARAMETER: &str = "book=";

/// The part of a book that changed since a moment: orders, and facts about the shelf.
///
/// Facts about the shelf go over from the last full count of the moment on as they are; an order
/// goes over whole.
#[must_use]
pub fn since(book: &Book, moment: Moment) -> (Vec<Arc<Entry>>, Facts) {
    let is_later = |entry: &&Arc<Entry>| entry.changed.max(entry.facts.latest()) >= moment;
    let entries = book.all().filter(is_later).cloned().collect();
    let stock = book.stock().iter().filter(|(id, _)| id.at >= moment);
    (entries, stock.map(|(id, what)| (id.clone(), what.clone())).collect())
}

/// The file for another phone.
///
/// ```
/// use lettertally::book::{Book, Moment};
/// use lettertally::{lists::demo, saved::swap};
/// let book = Book::only(demo::order("2026-01-01"), Moment(5));
/// let text = swap::file(&book, Moment(0), Moment(9));
/// let there = swap::read_file(&text).unwrap();
/// assert_eq!(swap::taken_in(&book, &there), book);
/// ```
pub fn file(book: &Book, moment: Moment, made: Moment) -> String {
    let (entries, stock) = since(book, moment);
    backup::write_book(&entries, &stock, made)
}

/// Reads a file from another phone; a backup will do as well.
///
/// # Errors
/// Where it is neither, or nothing in it can be read.
pub fn read_file(text: &str) -> Result<Parts, BackupError> {
    backup::read(text).map(|contents| contents.parts)
}

/// The longest part of a link that is shown as a QR code, in characters: a version of some 120
/// modules across, which another phone's camera still reads off a screen.
pub const CODE: usize = 1_400;

/// What stands after the `#` of links that carry what changed since a moment, each of at most so
/// many characters where one order allows it.
pub fn fragments(book: &Book, moment: Moment, most: usize) -> Vec<String> {
    let (entries, stock) = since(book, moment);
    let mut all: Vec<Facts> = Vec::new();
    let pairs: Vec<_> = stock.iter().map(|(id, what)| (id.clone(), what.clone())).collect();
    packed(&pairs, most, &mut |part| fragment(&[], &part.iter().cloned().collect()))
        .into_iter()
        .for_each(|part| all.push(part.into_iter().collect()));
    let orders = packed(&entries, most, &mut |part| fragment(part, &Facts::default()));
    let orders = orders.iter().map(|part| fragment(part, &Facts::default()));
    orders.chain(all.iter().map(|stock| fragment(&[], stock))).collect()
}

/// Parts of a list that each fit: halved until they do, or hold one entry.
fn packed<T: Clone>(entries: &[T], most: usize, written: &mut dyn FnMut(&[T]) -> String) -> Vec<Vec<T>> {
    if entries.is_empty() {
        return Vec::new();
    }
    if entries.len() == 1 || written(entries).len() <= most {
        return vec![entries.to_vec()];
    }
    let (left, right) = entries.split_at(entries.len() / 2);
    let mut parts = packed(left, most, written);
    parts.extend(packed(right, most, written));
    parts
}

fn fragment(entries: &[Arc<Entry>], stock: &Facts) -> String {
    let text = backup::write_book(entries, stock, Moment(0));
    let packed = compress_to_vec_zlib(text.as_bytes(), 9);
    let code = URL_SAFE_NO_PAD.encode(packed);
    format!("{PARAMETER}{}.{code}", code.len())
}

/// The part of a book in what stands after the `#`; `None` where it is something else.
///
/// # Errors
/// Says why it cannot be read.
pub fn read_fragment(fragment: &str) -> Option<Result<Parts, String>> {
    let rest = fragment.trim_start_matches('#').strip_prefix(PARAMETER)?;
    Some(read_code(rest))
}

fn read_code(rest: &str) -> Result<Parts, String> {
    let told = |error: LinkError| error.to_string();
    let (length, code) = rest.split_once('.').ok_or_else(|| told(LinkError::Damaged))?;
    let length: usize = length.parse().map_err(|_| told(LinkError::Damaged))?;
    if code.len() < length {
        return Err(told(LinkError::CutShort { has: code.len(), of: length }));
    }
    let bytes = URL_SAFE_NO_PAD.decode(code).map_err(|_| told(LinkError::Damaged))?;
    let text = decompress_to_vec_zlib_with_limit(&bytes, backup::LARGEST_FILE)
        .map_err(|_| told(LinkError::Damaged))?;
    let text = String::from_utf8(text).map_err(|_| told(LinkError::Damaged))?;
    read_file(&text).map_err(|error| error.to_string())
}

/// The book with what came from another phone.
#[must_use]
pub fn taken_in(book: &Book, there: &Parts) -> Book {
    let entries = there.entries.values().cloned();
    let stock = there.ledger.as_deref().cloned().unwrap_or_default();
    match Book::of(entries, None) {
        Some(other) => book.merged(&other.with_stock(stock)),
        None => book.merged(&book.clone().with_stock(stock)),
    }
}

/// What an exchange brought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Brought {
    /// Orders that were not here.
    pub orders: usize,
    /// Orders that were here and know more now.
    pub changed: usize,
    /// Orders of which both sides made a version.
    pub disputed: usize,
    /// Orders that the other side removed.
    pub removed: usize,
    /// Facts about the shelf that were not here.
    pub shelf: usize,
}

/// What a book knows after an exchange that it did not know before.
pub fn brought(before: &Book, after: &Book) -> Brought {
    let mut brought = Brought {
        shelf: after.stock().len() - before.stock().len().min(after.stock().len()),
        ..Brought::default()
    };
    for entry in after.all() {
        match before.any(&entry.order.id) {
            None => brought.orders += usize::from(!entry.is_removed()),
            Some(old) if old != entry && entry.is_removed() && !old.is_removed() => brought.removed += 1,
            Some(old) if old != entry => {
                brought.changed += 1;
                brought.disputed += usize::from(entry.rivals.len() > old.rivals.len());
            }
            Some(_) => {}
        }
    }
    brought
}

/// What an exchange brought, in a sentence.
impl std::fmt::Display for Brought {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if *self == Self::default() {
            return write!(f, "Nothing new: both phones know the same.");
        }
        let orders = |count: usize| format!("{count} {}", if count == 1 { "order" } else { "orders" });
        let mut news = Vec::new();
        if self.orders > 0 {
            news.push(format!("{} that were not here", orders(self.orders)));
        }
        if self.changed > 0 {
            news.push(format!("news of {}", orders(self.changed)));
        }
        if self.removed > 0 {
            news.push(format!("{} removed there", orders(self.removed)));
        }
        if self.shelf > 0 {
            news.push("changes of the shelf".to_owned());
        }
        write!(
            f,
            "Taken in: {}.",
            if news.is_empty() { "what was removed".to_owned() } else { news.join(", ") }
        )?;
        match self.disputed {
            0 => Ok(()),
            more => {
                write!(f, " Both phones changed {}: choose at each which version counts.", orders(more))
            }
        }
    }
}
