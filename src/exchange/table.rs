//! A text in rows and cells: encodings, delimiters, quotation marks, row numbers.
//!
//! Owns the way from a file's bytes to cells, by RFC 4180 and by what spreadsheets make of it.
//! Never knows what a cell means.

use super::formula;
use csv::{ReaderBuilder, StringRecord};
use std::fmt;

/// The largest file that is read, in bytes.
pub const LARGEST_FILE: usize = 5_000_000;
/// The most rows that are read.
pub const MOST_ROWS: usize = 20_000;
/// The most cells in a row.
pub const MOST_CELLS: usize = 100;
/// The longest cell, in bytes.
pub const LONGEST_CELL: usize = 10_000;

/// The delimiters that a spreadsheet may write.
const DELIMITERS: [char; 4] = ['\t', ';', ',', '|'];
/// So many bytes from the beginning tell the delimiter.
const ENOUGH_TO_TELL: usize = 64_000;

/// What the 32 bytes from 0x80 on stand for in Windows-1252, in which spreadsheets of western
/// Europe save a CSV; the Unicode consortium's table CP1252.TXT, from memory.
const WINDOWS_1252: [Option<char>; 32] = [
    Some('€'),
    None,
    Some('‚'),
    Some('ƒ'),
    Some('„'),
    Some('…'),
    Some('†'),
    Some('‡'),
    Some('ˆ'),
    Some('‰'),
    Some('Š'),
    Some('‹'),
    Some('Œ'),
    None,
    Some('Ž'),
    None,
    None,
    Some('‘'),
    Some('’'),
    Some('“'),
    Some('”'),
    Some('•'),
    Some('–'),
    Some('—'),
    Some('˜'),
    Some('™'),
    Some('š'),
    Some('›'),
    Some('œ'),
    None,
    Some('ž'),
    Some('Ÿ'),
];

/// A row as a spreadsheet shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its number as a spreadsheet counts, blank rows included, from 1.
    pub number: u64,
    /// Its cells, without white space around them.
    pub cells: Vec<String>,
    /// Whether a quotation mark in it is never closed, so that it has swallowed what follows.
    pub has_open_quote: bool,
}

impl Row {
    /// The cell at a place; empty beyond the row's end.
    pub fn cell(&self, at: usize) -> &str {
        self.cells.get(at).map_or("", String::as_str)
    }
}

/// How the bytes of a file were taken for letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, with or without its mark.
    Utf8,
    /// UTF-16 with its mark: a spreadsheet's "Unicode text".
    Utf16,
    /// Windows-1252, assumed where the bytes are no UTF-8: what old spreadsheets write.
    Windows1252,
}

/// Why a file is not a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableError {
    /// Nothing in it.
    Empty,
    /// More than [`LARGEST_FILE`] bytes.
    TooLarge,
    /// More than [`MOST_ROWS`] rows.
    TooManyRows,
    /// A spreadsheet's own file.
    Workbook,
    /// Bytes that are no text in any encoding known here.
    NotText,
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "there is nothing in it"),
            Self::TooLarge => write!(f, "it is larger than {} MB: split it", LARGEST_FILE / 1_000_000),
            Self::TooManyRows => write!(f, "it has more than {MOST_ROWS} rows: split it"),
            Self::Workbook => {
                write!(f, "it is a spreadsheet's own file: save it as CSV (UTF-8) there, then open that")
            }
            Self::NotText => write!(f, "it is not a text: save it as CSV (UTF-8)"),
        }
    }
}

impl std::error::Error for TableError {}

/// The text of a file.
///
/// # Errors
/// A file that is too large, or no text.
///
/// ```
/// use lettertally::exchange::table::{Encoding, decode};
/// assert_eq!(decode(b"\xEF\xBB\xBFa"), Ok(("a".into(), Encoding::Utf8)));
/// assert_eq!(decode(b"5 \x80"), Ok(("5 €".into(), Encoding::Windows1252)));
/// ```
pub fn decode(bytes: &[u8]) -> Result<(String, Encoding), TableError> {
    if bytes.len() > LARGEST_FILE {
        return Err(TableError::TooLarge);
    }
    match bytes {
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [b'P', b'K', 3, 4, ..] | [0xD0, 0xCF, 0x11, 0xE0, ..] => Err(TableError::Workbook),
        _ if bytes.contains(&0) => Err(TableError::NotText),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => Ok((text.trim_start_matches('\u{feff}').to_owned(), Encoding::Utf8)),
            Err(_) => windows_1252(bytes),
        },
    }
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<(String, Encoding), TableError> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    let text = char::decode_utf16(pairs.iter().map(|&pair| unit(pair))).collect::<Result<String, _>>();
    let text = text.map_err(|_| TableError::NotText)?;
    if rest.is_empty() && !text.contains('\0') {
        Ok((text, Encoding::Utf16))
    } else {
        Err(TableError::NotText)
    }
}

fn windows_1252(bytes: &[u8]) -> Result<(String, Encoding), TableError> {
    let letter = |&byte: &u8| match byte {
        0x80..=0x9F => WINDOWS_1252[usize::from(byte - 0x80)],
        _ => Some(char::from(byte)),
    };
    let text = bytes.iter().map(letter).collect::<Option<String>>();
    Ok((text.ok_or(TableError::NotText)?, Encoding::Windows1252))
}

/// The delimiter with which some row near the beginning makes most sense, by what `sense` a row
/// makes; of equals the first in the order tab, semicolon, comma, bar. A first line "sep=;", as
/// some spreadsheets write it, settles it.
pub fn delimiter(text: &str, sense: impl Fn(&Row) -> usize) -> char {
    if let Some(said) = said_delimiter(text) {
        return said;
    }
    let enough = (0..=ENOUGH_TO_TELL.min(text.len())).rev().find(|&end| text.is_char_boundary(end));
    let beginning = &text[..enough.unwrap_or(0)];
    let best = |delimiter: &char| {
        let rows = split(beginning, *delimiter).unwrap_or_default();
        rows.iter().take(super::HEADINGS_WITHIN).map(&sense).max()
    };
    DELIMITERS.into_iter().rev().max_by_key(best).unwrap_or(',')
}

fn said_delimiter(text: &str) -> Option<char> {
    let line = text.lines().next()?.trim_matches('"');
    let said = line.strip_prefix("sep=")?.chars().next()?;
    DELIMITERS.contains(&said).then_some(said)
}

/// The rows that are not blank, in order.
///
/// # Errors
/// A text without any, or with too many.
pub fn split(text: &str, delimiter: char) -> Result<Vec<Row>, TableError> {
    let mut reader = builder(delimiter).from_reader(text.as_bytes());
    let place = |byte: u64| usize::try_from(byte).unwrap_or(text.len());
    let (mut rows, mut record, mut number) = (Vec::new(), StringRecord::new(), 0);
    while reader.read_record(&mut record).unwrap_or(false) {
        let start = record.position().map_or(0, |at| place(at.byte()));
        let raw = text.get(start..place(reader.position().byte())).unwrap_or("");
        number += 1 + blank_lines(text.get(..start).unwrap_or(""), raw);
        let cells: Vec<String> = record.iter().map(|cell| formula::restore(cell).trim().to_owned()).collect();
        if cells.iter().all(String::is_empty) {
            continue;
        }
        if rows.len() == MOST_ROWS {
            return Err(TableError::TooManyRows);
        }
        let is_last = start + raw.len() == text.len();
        let has_open_quote = is_last && swallows(raw, delimiter, record.len());
        rows.push(Row { number, cells, has_open_quote });
    }
    if rows.is_empty() { Err(TableError::Empty) } else { Ok(rows) }
}

/// Whether a quotation mark is open at the end of the text, by whether one more cell after it is
/// one. An inch mark inside a cell is no such mark.
pub(crate) fn swallows(raw: &str, delimiter: char, cells: usize) -> bool {
    let more = format!("{}{delimiter}x", raw.trim_end_matches(['\r', '\n']));
    let mut reader = builder(delimiter).from_reader(more.as_bytes());
    reader.records().next().is_some_and(|record| record.is_ok_and(|record| record.len() == cells))
}

fn builder(delimiter: char) -> ReaderBuilder {
    let mut builder = ReaderBuilder::new();
    builder.has_headers(false).flexible(true).delimiter(u8::try_from(delimiter).unwrap_or(b','));
    builder
}

/// How many blank lines a row's raw text begins with.
fn blank_lines(before: &str, raw: &str) -> u64 {
    let rest = raw.trim_start_matches(['\r', '\n']);
    let lead = &raw[..raw.len() - rest.len()];
    // The second half of a line end that the row before has begun.
    let lead = if before.ends_with('\r') { lead.strip_prefix('\n').unwrap_or(lead) } else { lead };
    let ends = lead.matches(['\r', '\n']).count() - lead.matches("\r\n").count();
    u64::try_from(ends).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<Vec<String>> {
        split(text, ',').unwrap().into_iter().map(|row| row.cells).collect()
    }

    /// The rules of RFC 4180, section 2, each with its own example. <https://www.rfc-editor.org/rfc/rfc4180>
    #[test]
    fn rfc_4180_section_2() {
        let two = vec![vec!["aaa", "bbb", "ccc"], vec!["zzz", "yyy", "xxx"]];
        // 1. Each record on a line of its own, ended by CRLF.
        assert_eq!(cells("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), two);
        // 2. The last record may or may not have an ending line break.
        assert_eq!(cells("aaa,bbb,ccc\r\nzzz,yyy,xxx"), two);
        // 3. A header line of the same format: the reader above this one tells it.
        let with_header = cells("field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n");
        assert_eq!(with_header[1..], two[..]);
        // 4. Spaces are part of a field: here those inside it; the ones around it are nothing to a price list.
        assert_eq!(cells("a a,b  b,c\r\n"), [["a a", "b  b", "c"]]);
        // 5. Fields may be enclosed in double quotes.
        assert_eq!(cells("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), two);
        // 6. Fields with line breaks, double quotes and commas are enclosed in double quotes.
        assert_eq!(
            cells("\"aaa\",\"b\r\nbb\",\"c,cc\"\r\nzzz,yyy,xxx"),
            [["aaa", "b\r\nbb", "c,cc"], ["zzz", "yyy", "xxx"]]
        );
        // 7. A double quote inside is written twice.
        assert_eq!(cells("\"aaa\",\"b\"\"bb\",\"ccc\""), [["aaa", "b\"bb", "ccc"]]);
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_numbers_them() {
        let numbers = |text: &str| split(text, ',').unwrap().iter().map(|row| row.number).collect::<Vec<_>>();
        for end in ["\n", "\r\n", "\r"] {
            let text = ["a,b", "", ",", "\"c\"", "", "", "\"d", "d\",e", "f"].join(end);
            assert_eq!(numbers(&text), [1, 4, 7, 8], "{end:?}");
        }
        assert_eq!(numbers("\n\na\n"), [3]);
    }

    #[test]
    fn an_open_quotation_mark_is_told() {
        let rows = split("a,b\n\"c,d\ne,f\n", ',').unwrap();
        assert_eq!((rows.len(), rows[0].has_open_quote, rows[1].has_open_quote), (2, false, true));
        for closed in ["2\",b\n", "\"a\",\"b\"", "\"a\"\"\",b\r\n", "a,2\""] {
            assert!(!split(closed, ',').unwrap()[0].has_open_quote, "{closed}");
        }
    }

    #[test]
    fn encodings_are_told_by_their_marks_and_their_bytes() {
        let text = "Größe\t½ €\r\n";
        let little: Vec<u8> =
            [0xFEFF].into_iter().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> =
            [0xFEFF].into_iter().chain(text.encode_utf16()).flat_map(u16::to_be_bytes).collect();
        assert_eq!(decode(&little), Ok((text.to_owned(), Encoding::Utf16)));
        assert_eq!(decode(&big), Ok((text.to_owned(), Encoding::Utf16)));
        assert_eq!(decode(text.as_bytes()), Ok((text.to_owned(), Encoding::Utf8)));
        assert_eq!(decode(b"Gr\xF6\xDFe\t\xBD \x80\r\n"), Ok((text.to_owned(), Encoding::Windows1252)));
        assert_eq!(decode(&little[2..]), Err(TableError::NotText));
        assert_eq!(decode(b"PK\x03\x04..."), Err(TableError::Workbook));
        assert_eq!(decode(&vec![b'a'; LARGEST_FILE + 1]), Err(TableError::TooLarge));
    }

    #[test]
    fn the_delimiter_is_the_one_that_makes_sense() {
        let sense =
            |row: &Row| row.cells.iter().filter(|cell| ["name", "price"].contains(&cell.as_str())).count();
        for (text, expected) in [
            ("name,price\na,1", ','),
            ("name;price\na,b;1", ';'),
            ("Our list, 2026; new\nname\tprice\n", '\t'),
            ("\"name\"|\"price\"", '|'),
            ("sep=;\nname,price", ';'),
        ] {
            assert_eq!(delimiter(text, sense), expected, "{text}");
        }
    }
}
