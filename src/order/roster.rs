//! The roster: reading the people of an order from typed or pasted text.
//!
//! Owns how rows and columns are told apart. A row that cannot be read is named by its number
//! and left where it is, for repair; the others count. Never guesses at a row's meaning in
//! silence: the columns it settled on are part of the answer.

mod cells;

pub use cells::{add_row, separator, write_row};

use crate::exchange::table;
use crate::lists::Blank;
use crate::number::{self, NumberError, shortened};
use csv::{ReaderBuilder, StringRecord};
use std::collections::BTreeSet;
use std::fmt;

/// The longest roster that is read, in bytes: ten thousand rows and room to spare. All of them
/// are planned again at every keystroke.
pub const LONGEST: usize = 600_000;

/// The longest name that can be put on a garment, in characters.
const LONGEST_NAME: usize = 60;

/// A roster as far as it can be read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Roster {
    /// The people whose rows can be read, in the order of the rows.
    pub people: Vec<Person>,
    /// What is wrong with the other rows, in the order of the rows.
    pub faults: Vec<RowFault>,
    /// What each column was taken for, in the order of the columns.
    pub columns: Vec<Column>,
    /// Whether the first row was taken for headings.
    pub has_header: bool,
}

/// Somebody on a roster.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// The line of the text that the row begins on, from 1.
    pub row: u64,
    /// The name, as typed.
    pub name: String,
    /// The number, as typed: "07" keeps its zero.
    pub number: String,
    /// The size, as the blank spells it.
    pub size: String,
    /// How many garments, at least one.
    pub quantity: u16,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// Names of people.
    Name,
    /// Their numbers.
    Number,
    /// Their sizes.
    Size,
    /// How many garments each.
    Quantity,
    /// Anything else: shown, not used.
    Other,
}

impl Column {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Number => "number",
            Self::Size => "size",
            Self::Quantity => "quantity",
            Self::Other => "not used",
        }
    }
}

/// A row that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowFault {
    /// The line of the text that the row begins on, from 1.
    pub row: u64,
    /// The row's cells, for a preview.
    pub text: String,
    /// What is wrong with it.
    pub kind: RowFaultKind,
}

/// What is wrong with a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RowFaultKind {
    /// Neither a name nor a number.
    Nobody,
    /// A name or number longer than a garment is wide.
    LongName,
    /// No size, though the roster has no size column or the cell is empty.
    NoSize(Vec<String>),
    /// A size that the blank does not have.
    UnknownSize(String, Vec<String>),
    /// A quantity that is not a whole number from 1 to 999.
    Quantity(NumberError),
    /// More cells than the first row has columns.
    ExtraCells(usize),
    /// A quotation mark that is opened and never closed.
    OpenQuote,
    /// The whole text is longer than [`LONGEST`].
    TooLong,
}

impl fmt::Display for RowFaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nobody => write!(f, "no name and no number: add one, or remove the row"),
            Self::LongName => {
                write!(f, "a name or number of more than {LONGEST_NAME} characters: shorten it")
            }
            Self::NoSize(sizes) => write!(f, "no size: add one of {}", sizes.join(", ")),
            Self::UnknownSize(size, sizes) if sizes.is_empty() => {
                write!(f, "size “{}”, but this blank has no sizes", shortened(size))
            }
            Self::UnknownSize(size, sizes) => {
                write!(f, "no size “{}”: use one of {}", shortened(size), sizes.join(", "))
            }
            Self::Quantity(error) => write!(f, "quantity: {error}"),
            Self::ExtraCells(columns) => {
                write!(
                    f,
                    "more than {columns} cells: put quotation marks around a cell with a separator in it"
                )
            }
            Self::OpenQuote => write!(f, "a quotation mark is never closed: close it, or take it out"),
            Self::TooLong => {
                write!(f, "the roster is longer than {LONGEST} characters: split it over two orders")
            }
        }
    }
}

impl fmt::Display for RowFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "row {}: {}", self.row, self.kind)
    }
}

/// Reads a roster: cells parted by tabs, semicolons or commas, quoted as in RFC 4180, with or
/// without headings. Without headings the columns are recognised by what is in them.
///
/// ```
/// use lettertally::lists::demo;
/// use lettertally::order::roster;
/// let blank = &demo::lists().blanks[0];
/// let roster = roster::read("Name;No;Size\r\nAsh;7;M\r\nBirch;8;huge\r\n", Some(blank));
/// assert_eq!(roster.people[0].number, "7");
/// assert!(roster.faults[0].to_string().starts_with("row 3: no size “huge”"));
/// ```
pub fn read(text: &str, blank: Option<&Blank>) -> Roster {
    let text = text.trim_start_matches('\u{feff}');
    if text.trim().is_empty() {
        return Roster::default();
    }
    if text.len() > LONGEST {
        return Roster { faults: vec![fault(1, "", RowFaultKind::TooLong)], ..Roster::default() };
    }
    let rows = split(text);
    let sizes = Sizes::of(blank);
    let header = rows.first().and_then(|row| headings(&row.cells));
    let has_header = header.is_some();
    let body = &rows[usize::from(has_header).min(rows.len())..];
    let columns = header.unwrap_or_else(|| recognise(body, &sizes));
    let mut roster = Roster { columns, has_header, ..Roster::default() };
    for row in body {
        match row.person(&roster.columns, &sizes) {
            Ok(person) => roster.people.push(person),
            Err(kind) => roster.faults.push(fault(row.number, &row.text(), kind)),
        }
    }
    roster
}

fn fault(row: u64, text: &str, kind: RowFaultKind) -> RowFault {
    RowFault { row, text: text.to_owned(), kind }
}

struct Row {
    number: u64,
    cells: Vec<String>,
    open_quote: bool,
}

fn split(text: &str) -> Vec<Row> {
    let separator = separator(text);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(u8::try_from(separator).unwrap_or(b','))
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut record = StringRecord::new();
    let (mut line, mut counted) = (1, 0);
    while reader.read_record(&mut record).unwrap_or(false) {
        let place = |byte: u64| usize::try_from(byte).unwrap_or(text.len());
        let start = record.position().map_or(0, |at| place(at.byte()));
        let raw = text.get(start..place(reader.position().byte())).unwrap_or("");
        let cells: Vec<String> = record.iter().map(|cell| cell.trim().to_owned()).collect();
        let is_last = start + raw.len() == text.len();
        let open_quote = !raw.matches('"').count().is_multiple_of(2)
            || is_last && table::swallows(raw, separator, record.len());
        if open_quote || cells.iter().any(|cell| !cell.is_empty()) {
            // Blank lines between rows belong to the raw text of the row that follows them.
            let begin = start + raw.len() - raw.trim_start_matches(['\r', '\n']).len();
            line += text.get(counted..begin).map_or(0, line_ends);
            counted = begin;
            rows.push(Row { number: line, cells, open_quote });
        }
    }
    rows
}

/// How many lines end in this text, whichever way.
fn line_ends(text: &str) -> u64 {
    let ends = text.matches(['\r', '\n']).count() - text.matches("\r\n").count();
    u64::try_from(ends).unwrap_or(u64::MAX)
}

impl Row {
    fn text(&self) -> String {
        self.cells.join(" | ")
    }

    fn cell(&self, columns: &[Column], wanted: Column) -> &str {
        let at = columns.iter().position(|column| *column == wanted);
        at.and_then(|i| self.cells.get(i)).map_or("", String::as_str)
    }

    fn person(&self, columns: &[Column], sizes: &Sizes) -> Result<Person, RowFaultKind> {
        if self.open_quote {
            return Err(RowFaultKind::OpenQuote);
        }
        let extra = self.cells.iter().skip(columns.len()).any(|cell| !cell.is_empty());
        if extra {
            return Err(RowFaultKind::ExtraCells(columns.len()));
        }
        let name = self.cell(columns, Column::Name);
        let number = self.cell(columns, Column::Number);
        if name.is_empty() && number.is_empty() {
            return Err(RowFaultKind::Nobody);
        }
        if name.chars().count() > LONGEST_NAME || number.chars().count() > LONGEST_NAME {
            return Err(RowFaultKind::LongName);
        }
        Ok(Person {
            row: self.number,
            name: name.to_owned(),
            number: number.to_owned(),
            size: sizes.settle(self.cell(columns, Column::Size))?,
            quantity: quantity(self.cell(columns, Column::Quantity))?,
        })
    }
}

fn quantity(text: &str) -> Result<u16, RowFaultKind> {
    if text.is_empty() {
        return Ok(1);
    }
    let count = number::whole(text, 1, 999).map_err(RowFaultKind::Quantity)?;
    Ok(u16::try_from(count).unwrap_or(u16::MAX))
}

/// The sizes that a roster may name.
struct Sizes<'a> {
    blank: Option<&'a Blank>,
}

impl<'a> Sizes<'a> {
    fn of(blank: Option<&'a Blank>) -> Self {
        Self { blank }
    }

    fn names(&self) -> Vec<String> {
        let sizes = self.blank.map_or(&[][..], |blank| &blank.sizes);
        sizes.iter().map(|size| size.name.clone()).collect()
    }

    fn has(&self, text: &str) -> bool {
        self.blank.is_some_and(|blank| blank.size(text).is_some())
    }

    fn settle(&self, text: &str) -> Result<String, RowFaultKind> {
        let Some(blank) = self.blank else {
            return Ok(text.to_owned());
        };
        match (text.is_empty(), blank.sizes.as_slice()) {
            (true, [only]) => Ok(only.name.clone()),
            (true, _) => Err(RowFaultKind::NoSize(self.names())),
            (false, _) => match blank.size(text) {
                Some(size) => Ok(size.name.clone()),
                None => Err(RowFaultKind::UnknownSize(text.to_owned(), self.names())),
            },
        }
    }
}

/// The columns, if this row is one of headings: at least one cell is a known heading, none is
/// repeated, and no cell looks like a number.
fn headings(cells: &[String]) -> Option<Vec<Column>> {
    let columns: Vec<Column> = cells.iter().map(|cell| heading(cell)).collect();
    let known: Vec<Column> = columns.iter().copied().filter(|c| *c != Column::Other).collect();
    let distinct: BTreeSet<Column> = known.iter().copied().collect();
    let plain = cells.iter().all(|cell| !cell.chars().any(|c| c.is_ascii_digit()));
    let named = distinct.contains(&Column::Name) || distinct.contains(&Column::Number);
    (named && plain && known.len() == distinct.len()).then_some(columns)
}

fn heading(cell: &str) -> Column {
    let word: String = cell.to_lowercase().chars().filter(|c| c.is_alphanumeric() || *c == '#').collect();
    match word.as_str() {
        "name" | "names" | "player" | "playername" | "lastname" | "surname" | "nameonback" => Column::Name,
        "number" | "numbers" | "no" | "nr" | "num" | "#" | "playernumber" | "jerseynumber" => Column::Number,
        "size" | "sizes" | "shirtsize" | "teesize" => Column::Size,
        "qty" | "quantity" | "count" | "pcs" | "howmany" => Column::Quantity,
        _ => Column::Other,
    }
}

/// Columns without headings, by what is in them: the first column of sizes is the size; the
/// first other column with letters is the name; of columns of figures the first is the number,
/// the second the quantity. A column that is only mostly right still counts, so that the odd
/// row is named as a fault.
fn recognise(rows: &[Row], sizes: &Sizes) -> Vec<Column> {
    let width = most_common_width(rows);
    let mut columns = vec![Column::Other; width];
    let share = |i: usize, test: &dyn Fn(&str) -> bool| {
        let cells = rows.iter().filter_map(|row| row.cells.get(i)).filter(|cell| !cell.is_empty());
        let (hits, all) = cells.fold((0, 0), |(hits, all), cell| (hits + usize::from(test(cell)), all + 1));
        all > 0 && hits * 2 > all
    };
    let figures = |cell: &str| !cell.is_empty() && cell.chars().all(|c| c.is_ascii_digit());
    let size = (0..width).rev().find(|&i| share(i, &|cell| sizes.has(cell)));
    if let Some(i) = size {
        columns[i] = Column::Size;
    }
    let free = |columns: &[Column], i: usize| columns[i] == Column::Other;
    let name = (0..width).find(|&i| free(&columns, i) && !share(i, &figures));
    if let Some(i) = name {
        columns[i] = Column::Name;
    }
    for wanted in [Column::Number, Column::Quantity] {
        let next = (0..width).find(|&i| free(&columns, i) && share(i, &figures));
        if let Some(i) = next {
            columns[i] = wanted;
        }
    }
    fill_by_place(&mut columns);
    columns
}

/// What is still open goes by the usual order: name, number, size, quantity.
fn fill_by_place(columns: &mut [Column]) {
    let usual = [Column::Name, Column::Number, Column::Size, Column::Quantity];
    for (i, column) in usual.into_iter().enumerate() {
        if columns.get(i) == Some(&Column::Other) && !columns.contains(&column) {
            columns[i] = column;
        }
    }
}

fn most_common_width(rows: &[Row]) -> usize {
    let mut widths = std::collections::BTreeMap::<usize, usize>::new();
    for row in rows {
        *widths.entry(row.cells.len()).or_default() += 1;
    }
    widths.into_iter().max_by_key(|&(_, rows)| rows).map_or(0, |(width, _)| width)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use proptest::prelude::*;

    fn roster(text: &str) -> Roster {
        read(text, demo::lists().blanks.first())
    }

    fn short(text: &str) -> Vec<String> {
        let person = |p: &Person| format!("{}|{}|{}|{}", p.name, p.number, p.size, p.quantity);
        roster(text).people.iter().map(person).collect()
    }

    #[test]
    fn the_same_people_come_out_of_every_way_to_write_them() {
        let expected = ["O'Brien, Jr|07|M|1", "Ash|12|XL|2"];
        let cases = [
            "name\tnumber\tsize\tqty\r\nO'Brien, Jr\t07\tM\t1\r\nAsh\t12\tXL\t2\r\n",
            "Name;No;Size;Qty\nO'Brien, Jr;07;m;\nAsh;12;xl;2",
            "\"O'Brien, Jr\",07,M,1\nAsh,12,XL,2\n",
            "size,#,player,quantity\nM,07,\"O'Brien, Jr\",1\nXL,12,Ash,2",
            "\u{feff}M\t07\tO'Brien, Jr\t1\n\n\nXL\t12\tAsh\t2",
        ];
        for text in cases {
            assert_eq!(short(text), expected, "{text:?}");
        }
    }

    #[test]
    fn bad_rows_are_named_by_their_number_and_the_rest_is_read() {
        let text = "name,number,size,qty\nAsh,7,M,1\nBirch,8,XXXXL,1\n,,M,1\nCedar,9,M,none\n\nElm,10,M,0\nFir,11,,1\nOak,1,M,1,2\nYew,3,L";
        let faults: Vec<String> = roster(text).faults.iter().map(RowFault::to_string).collect();
        let starts = [
            "row 3: no size “XXXXL”: use one of",
            "row 4: no name and no number",
            "row 5: quantity: “none” is not a number",
            "row 7: quantity: type 1 or more",
            "row 8: no size: add one of",
            "row 9: more than 4 cells",
        ];
        assert_eq!(faults.len(), starts.len(), "{faults:?}");
        for (fault, start) in faults.iter().zip(starts) {
            assert!(fault.starts_with(start), "{fault}");
        }
        assert_eq!(short(text), ["Ash|7|M|1", "Yew|3|L|1"]);
    }

    #[test]
    fn an_open_quote_is_named_where_it_opens() {
        let read = roster("name,size\nAsh,M\n\"Birch,M\nCedar,L\n");
        assert_eq!(read.people.len(), 1);
        assert_eq!(read.faults[0].row, 3);
        assert_eq!(read.faults[0].kind, RowFaultKind::OpenQuote);
    }

    #[test]
    fn rows_after_a_cell_of_two_lines_keep_their_line_number() {
        let read = roster("name,size\n\"Ash\nthe tall\",M\nBirch,huge\n");
        assert_eq!(read.faults[0].row, 4);
    }

    #[test]
    fn rows_are_numbered_alike_however_lines_end() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["name,size", "", "Ash,M", "", "", "Birch,huge", "Cedar,M"].join(end);
            let read = roster(&text);
            let rows: Vec<u64> = read.people.iter().map(|person| person.row).collect();
            assert_eq!((rows, read.faults[0].row), (vec![3, 7], 6), "{end:?}");
        }
    }

    #[test]
    fn ten_thousand_rows_are_read() {
        let text: String = (0..10_000).map(|i| format!("Player{i},{},M\n", i % 100)).collect();
        assert_eq!(roster(&text).people.len(), 10_000);
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "[a-z0-9\",;\t\r\n =é👕]{0,80}") {
            let read = roster(&text);
            for person in &read.people {
                prop_assert!(person.quantity > 0);
            }
        }

        #[test]
        fn written_rows_read_back(
            names in prop::collection::vec("[A-Za-z][A-Za-z',;\" -]{0,10}[A-Za-z]", 1..20),
            tab in any::<bool>(),
        ) {
            let separator = if tab { '\t' } else { ',' };
            let mut text = write_row(&["name", "size"], separator);
            for name in &names {
                text.push('\n');
                text.push_str(&write_row(&[name, "M"], separator));
            }
            let read: Vec<String> = roster(&text).people.into_iter().map(|p| p.name).collect();
            prop_assert_eq!(read, names);
        }
    }
}
