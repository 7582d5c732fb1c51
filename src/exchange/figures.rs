//! Figures as spreadsheets of many countries write them.
//!
//! Owns the evidence for which sign stands before the decimals in a file, the question where the
//! evidence is missing, and the way from a written figure to a plain one. Never guesses: a figure
//! that can be read in two ways is read only once something else has settled which.

use crate::number::shortened;
use std::fmt;

/// What stands before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// "1,234.50".
    Point,
    /// "1.234,50".
    Comma,
}

impl Sign {
    fn mark(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Point => "decimal point",
            Self::Comma => "decimal comma",
        }
    }

    fn other(self) -> Self {
        match self {
            Self::Point => Self::Comma,
            Self::Comma => Self::Point,
        }
    }
}

/// A figure that can be read in two ways, in a file that does not say which.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The row it stands in.
    pub row: u64,
    /// The figure as written: "1,234".
    pub text: String,
    /// What it is where a point stands before the decimals: "1234".
    pub with_point: String,
    /// What it is where a comma does: "1.234".
    pub with_comma: String,
}

impl Question {
    /// The two answers, the grouped reading first: what a button says, and the sign it means.
    pub fn answers(&self) -> [(&str, Sign); 2] {
        let answers = [(self.with_point.as_str(), Sign::Point), (self.with_comma.as_str(), Sign::Comma)];
        if self.with_point.contains('.') { [answers[1], answers[0]] } else { answers }
    }
}

impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [(grouped, _), (decimal, _)] = self.answers();
        write!(
            f,
            "Is “{}” in row {} the number {grouped}, or {decimal}? Nothing else in the file tells.",
            shortened(&self.text),
            self.row
        )
    }
}

/// Why a figure cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FigureError {
    /// No figure in any of the ways known here.
    NotAFigure(String),
    /// It has the other sign before its decimals than most of the file.
    Contradicts {
        /// The figure as written.
        text: String,
        /// The sign that it has.
        sign: Sign,
        /// A row in which the other sign stands.
        row: u64,
    },
    /// It can be read in two ways, and the file holds figures of both kinds.
    Undecided {
        /// The figure as written.
        text: String,
        /// A row with a decimal point.
        point: u64,
        /// A row with a decimal comma.
        comma: u64,
    },
}

impl fmt::Display for FigureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAFigure(text) => write!(f, "“{}” is not a number", shortened(text)),
            Self::Contradicts { text, sign, row } => write!(
                f,
                "“{}” has a {}, but row {row} has a {}: write all figures one way",
                shortened(text),
                sign.word(),
                sign.other().word()
            ),
            Self::Undecided { text, point, comma } => write!(
                f,
                "“{}” can be read in two ways, since row {point} has a decimal point and row {comma} a decimal comma: write all figures one way",
                shortened(text)
            ),
        }
    }
}

impl std::error::Error for FigureError {}

/// A figure in plain digits with a decimal point, by the sign that stands before its decimals;
/// `None` where it is no figure in that way.
///
/// Thousands may be parted by the other sign, by an apostrophe or by a space, all alike, in groups
/// of three, or in the groups of India: two, and the last of three.
///
/// ```
/// use lettertally::exchange::figures::{Sign, read_as};
/// assert_eq!(read_as("1.234,50", Sign::Comma).as_deref(), Some("1234.50"));
/// assert_eq!(read_as("1.234,50", Sign::Point), None);
/// assert_eq!(read_as("12,34,567.5", Sign::Point).as_deref(), Some("1234567.5"));
/// ```
pub fn read_as(text: &str, sign: Sign) -> Option<String> {
    let (whole, part) = match text.split_once(sign.mark()) {
        Some((whole, part)) => (whole, Some(part)),
        None => (text, None),
    };
    let is_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if !is_digits(part.unwrap_or("")) || (whole.is_empty() && part.is_none_or(str::is_empty)) {
        return None;
    }
    let whole = if is_digits(whole) { whole.to_owned() } else { ungrouped(whole, sign)? };
    let whole = if whole.is_empty() { "0" } else { &whole };
    Some(match part {
        None | Some("") => whole.to_owned(),
        Some(part) => format!("{whole}.{part}"),
    })
}

/// The digits of a grouped whole number.
fn ungrouped(whole: &str, sign: Sign) -> Option<String> {
    let marks = [sign.other().mark(), '\'', '’', ' ', '\u{a0}', '\u{202f}', '\u{2009}'];
    let mark = whole.chars().find(|c| !c.is_ascii_digit()).filter(|mark| marks.contains(mark))?;
    let groups: Vec<&str> = whole.split(mark).collect();
    let (last, before) = groups.split_last()?;
    let (first, middle) = before.split_first()?;
    let by = |size: usize| middle.iter().all(|group| group.len() == size) && first.len() <= size;
    let is_grouped = last.len() == 3 && (by(3) || by(2)) && !first.is_empty() && !first.starts_with('0');
    let digits = groups.concat();
    (is_grouped && digits.bytes().all(|byte| byte.is_ascii_digit())).then_some(digits)
}

/// A figure of a file and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Found {
    row: u64,
    text: String,
}

/// What the figures of a file say about the sign before their decimals.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Evidence {
    /// How many figures have one meaning only, with a point; the row of the first.
    point: (usize, u64),
    /// The same with a comma.
    comma: (usize, u64),
    /// The first that has two meanings.
    open: Option<Found>,
}

impl Evidence {
    /// Takes a figure into account.
    pub fn see(&mut self, row: u64, text: &str) {
        let side = match (read_as(text, Sign::Point), read_as(text, Sign::Comma)) {
            (Some(_), None) => &mut self.point,
            (None, Some(_)) => &mut self.comma,
            (Some(point), Some(comma)) if point != comma => {
                self.open.get_or_insert_with(|| Found { row, text: text.to_owned() });
                return;
            }
            _ => return,
        };
        side.0 += 1;
        if side.0 == 1 {
            side.1 = row;
        }
    }

    /// What settles the figures, with the answer of a person where one was given.
    ///
    /// # Errors
    /// The question to put, where some figure has two meanings and nothing says which.
    pub fn settle(&self, answer: Option<Sign>) -> Result<Settled, Question> {
        let sign = match (self.point.0, self.comma.0) {
            (0, 0) => answer,
            (_, 0) => Some(Sign::Point),
            (0, _) => Some(Sign::Comma),
            (points, commas) => {
                let most = if points > commas { Some(Sign::Point) } else { Some(Sign::Comma) };
                let most = most.filter(|_| points != commas);
                return Ok(Settled::Contradictory { most, point: self.point.1, comma: self.comma.1 });
            }
        };
        match (sign, &self.open) {
            (Some(sign), _) => Ok(Settled::One(sign)),
            (None, None) => Ok(Settled::One(Sign::Point)),
            (None, Some(found)) => Err(Question {
                row: found.row,
                with_point: read_as(&found.text, Sign::Point).unwrap_or_default(),
                with_comma: read_as(&found.text, Sign::Comma).unwrap_or_default(),
                text: found.text.clone(),
            }),
        }
    }
}

/// How the figures of a file are to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Settled {
    /// All with one sign before the decimals.
    One(Sign),
    /// The file has both kinds: what has one meaning only stands where it agrees with most.
    Contradictory {
        /// The sign that most have; `None` where there are as many of either.
        most: Option<Sign>,
        /// A row with a decimal point.
        point: u64,
        /// A row with a decimal comma.
        comma: u64,
    },
}

impl Settled {
    /// The figure in plain digits with a decimal point.
    ///
    /// # Errors
    /// Says why it cannot be read.
    pub fn plain(self, text: &str) -> Result<String, FigureError> {
        let text = text.trim();
        let not_a_figure = || FigureError::NotAFigure(text.to_owned());
        match (read_as(text, Sign::Point), read_as(text, Sign::Comma), self) {
            (None, None, _) => Err(not_a_figure()),
            (Some(point), Some(comma), _) if point == comma => Ok(point),
            (point, comma, Self::One(sign)) => {
                let found = if sign == Sign::Point { point } else { comma };
                found.ok_or_else(not_a_figure)
            }
            (Some(found), None, Self::Contradictory { most: Some(Sign::Point), .. })
            | (None, Some(found), Self::Contradictory { most: Some(Sign::Comma), .. }) => Ok(found),
            (Some(_), Some(_), Self::Contradictory { point, comma, .. }) => {
                Err(FigureError::Undecided { text: text.to_owned(), point, comma })
            }
            (Some(_), None, Self::Contradictory { comma, .. }) => {
                Err(FigureError::Contradicts { text: text.to_owned(), sign: Sign::Point, row: comma })
            }
            (None, Some(_), Self::Contradictory { point, .. }) => {
                Err(FigureError::Contradicts { text: text.to_owned(), sign: Sign::Comma, row: point })
            }
        }
    }
}

/// The text with a nought after each decimal that could be taken for a group of three, so that
/// whoever reads it needs no other evidence: "1.125" becomes "1.1250".
pub fn told(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 4);
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let figure = &rest[start..];
        let end = figure.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(figure.len());
        let (figure, after) = figure.split_at(end);
        out.push_str(&rest[..start]);
        out.push_str(figure);
        if read_as(figure, Sign::Comma).is_some_and(|other| read_as(figure, Sign::Point) != Some(other)) {
            out.push('0');
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn settled(figures: &[&str]) -> Result<Settled, Question> {
        let mut evidence = Evidence::default();
        figures.iter().zip(2..).for_each(|(figure, row)| evidence.see(row, figure));
        evidence.settle(None)
    }

    /// 1234567.5 and 0.45 as the Unicode CLDR writes decimals in these locales (`decimal`, `group`
    /// and the pattern of `decimalFormats-numberSystem-latn`), from memory; the older apostrophe
    /// and spaces are what spreadsheets of earlier years write.
    #[test]
    fn figures_of_several_locales_come_in_right() {
        for (locale, large, small) in [
            ("en", "1,234,567.5", "0.45"),
            ("de", "1.234.567,5", "0,45"),
            ("fr", "1\u{202f}234\u{202f}567,5", "0,45"),
            ("fr, older", "1\u{a0}234\u{a0}567,5", "0,45"),
            ("de-CH", "1’234’567.5", "0.45"),
            ("de-CH, typed", "1'234'567.5", "0.45"),
            ("en-IN", "12,34,567.5", "0.45"),
            ("sv", "1\u{a0}234\u{a0}567,5", "0,45"),
            ("es", "1.234.567,5", "0,45"),
        ] {
            let settled = settled(&[large, small]).unwrap();
            assert_eq!(settled.plain(large).as_deref(), Ok("1234567.5"), "{locale}");
            assert_eq!(settled.plain(small).as_deref(), Ok("0.45"), "{locale}");
        }
    }

    #[test]
    fn one_cell_with_one_meaning_settles_the_others() {
        assert_eq!(settled(&["1,234", "0,45"]).unwrap().plain("1,234").as_deref(), Ok("1.234"));
        assert_eq!(settled(&["1,234", "0.45"]).unwrap().plain("1,234").as_deref(), Ok("1234"));
        assert_eq!(settled(&["1.234", "2,5"]).unwrap().plain("1.234").as_deref(), Ok("1234"));
        assert_eq!(settled(&["0,450", "1,234"]).unwrap(), Settled::One(Sign::Comma));
        assert_eq!(settled(&["1.234.567"]).unwrap(), Settled::One(Sign::Comma));
        assert_eq!(settled(&["1234.567"]).unwrap(), Settled::One(Sign::Point));
        assert_eq!(settled(&["1'234", "12"]).unwrap().plain("1'234").as_deref(), Ok("1234"));
    }

    #[test]
    fn what_nothing_settles_is_asked() {
        let question = settled(&["12", "1,234", "5"]).unwrap_err();
        assert_eq!(question.answers(), [("1234", Sign::Point), ("1.234", Sign::Comma)]);
        assert!(
            question.to_string().starts_with("Is “1,234” in row 3 the number 1234, or 1.234?"),
            "{question}"
        );
        let question = settled(&["1.000"]).unwrap_err();
        assert_eq!(question.answers(), [("1000", Sign::Comma), ("1.000", Sign::Point)]);
    }

    #[test]
    fn contradictions_are_named_by_row() {
        let settled = settled(&["0.45", "0,50", "0.55", "1,234"]).unwrap();
        assert_eq!(settled.plain("0.45").as_deref(), Ok("0.45"));
        let words = |text: &str| settled.plain(text).unwrap_err().to_string();
        assert_eq!(
            words("0,50"),
            "“0,50” has a decimal comma, but row 2 has a decimal point: write all figures one way"
        );
        assert!(
            words("1,234").contains("row 2 has a decimal point and row 3 a decimal comma"),
            "{}",
            words("1,234")
        );
        let even = self::settled(&["0.45", "0,50"]).unwrap();
        assert!(even.plain("0.45").is_err() && even.plain("0,50").is_err() && even.plain("7").is_ok());
    }

    #[test]
    fn what_is_no_figure_is_refused() {
        for text in [
            "",
            ".",
            ",",
            "1,23,4",
            "1.23.45",
            "1 23",
            "1,234.567.8",
            "1'234,567'8",
            "12a",
            "1e5",
            "٣",
            ",,",
            "-1",
            "1, 5",
        ] {
            assert_eq!(read_as(text, Sign::Point).or(read_as(text, Sign::Comma)), None, "{text}");
        }
    }

    #[test]
    fn a_written_figure_tells_its_sign() {
        assert_eq!(told("1.125"), "1.1250");
        assert_eq!(told("50: 2.000, 1000: 1.800"), "50: 2.0000, 1000: 1.8000");
        assert_eq!(told("2.5"), "2.5");
        assert_eq!(told("60.125mm"), "60.1250mm");
        assert_eq!(told("0.125"), "0.125");
    }

    proptest! {
        #[test]
        fn reading_is_total_and_gives_plain_figures(text in "[0-9.,' \u{a0}\u{202f}-]{0,14}|\\PC{0,12}") {
            for sign in [Sign::Point, Sign::Comma] {
                if let Some(plain) = read_as(&text, sign) {
                    prop_assert!(plain.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.'));
                    prop_assert_eq!(read_as(&plain, Sign::Point), Some(plain));
                }
            }
            let mut evidence = Evidence::default();
            evidence.see(1, &text);
            let _ = evidence.settle(None).map(|settled| settled.plain(&text));
        }

        #[test]
        fn figures_of_one_convention_read_as_they_were(
            value in 0_u64..100_000_000,
            decimals in "[0-9]{0,3}",
            comma in any::<bool>(),
            group in prop::sample::select(vec!["", "x", "'", " "]),
        ) {
            let sign = if comma { Sign::Comma } else { Sign::Point };
            let other = sign.other().mark().to_string();
            let group = if group == "x" { other.as_str() } else { group };
            let digits = value.to_string();
            let grouped: Vec<&str> = digits.as_bytes().rchunks(3).rev().filter_map(|part| std::str::from_utf8(part).ok()).collect();
            let mark = if decimals.is_empty() { String::new() } else { sign.mark().to_string() };
            let text = format!("{}{mark}{decimals}", grouped.join(group));
            let plain = if decimals.is_empty() { digits } else { format!("{digits}.{decimals}") };
            prop_assert_eq!(read_as(&text, sign), Some(plain));
        }

        #[test]
        fn what_is_told_needs_no_answer(cents in 0_u64..10_000_000, digits in 0_usize..5) {
            let value = rust_decimal::Decimal::new(i64::try_from(cents).unwrap(), u32::try_from(digits).unwrap());
            let text = told(&value.to_string());
            let mut evidence = Evidence::default();
            evidence.see(1, &text);
            let plain = evidence.settle(None).unwrap().plain(&text).unwrap();
            prop_assert_eq!(plain.parse::<rust_decimal::Decimal>().unwrap(), value);
        }
    }
}
