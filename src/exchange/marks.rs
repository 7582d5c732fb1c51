//! Signs and codes of currencies beside a figure.
//!
//! Owns which marks are a currency's own. Never takes another currency's figure in silence.

use crate::money::Currency;
use crate::number::shortened;
use std::fmt;

/// Marks beside the code and the sign, by code: common practice, no source.
const MORE_MARKS: [(&str, &str); 14] = [
    ("USD", "us$"),
    ("CAD", "ca$"),
    ("CAD", "c$"),
    ("AUD", "a$"),
    ("NZD", "nz$"),
    ("CHF", "fr"),
    ("CHF", "sfr"),
    ("SEK", "kr"),
    ("NOK", "kr"),
    ("DKK", "kr"),
    ("INR", "₹"),
    ("PLN", "zł"),
    ("CZK", "kč"),
    ("GBP", "gb£"),
];

/// A mark that is not the shop's currency's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForeignMark {
    /// The mark as written: "€".
    pub mark: String,
    /// The code of the shop's currency.
    pub currency: String,
}

impl fmt::Display for ForeignMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "“{}” is not {}, the shop's currency: a price list is read only in that",
            shortened(&self.mark),
            self.currency
        )
    }
}

impl std::error::Error for ForeignMark {}

/// Whether a mark is this currency's: its code, its sign, or what else is written for it.
pub fn is_own(mark: &str, currency: &Currency) -> bool {
    let mark = mark.trim().trim_end_matches('.').to_lowercase();
    mark == currency.code().to_lowercase()
        || currency.sign() == Some(&mark)
        || MORE_MARKS.contains(&(currency.code(), &mark))
}

/// The figure without the marks of the shop's currency before and after it. What is no figure with
/// a mark is left as it is, for whoever reads figures to refuse.
///
/// # Errors
/// A mark of another currency, or one that is not known.
///
/// ```
/// use lettertally::{exchange::marks::without_mark, money::Currency};
/// assert_eq!(without_mark("$ 0.45", &Currency::usd()), Ok("0.45"));
/// assert!(without_mark("0,45 €", &Currency::usd()).is_err());
/// ```
pub fn without_mark<'a>(text: &'a str, currency: &Currency) -> Result<&'a str, ForeignMark> {
    let text = text.trim();
    let is_digit = |c: char| c.is_ascii_digit();
    let (Some(first), Some(last)) = (text.find(is_digit), text.rfind(is_digit)) else {
        return Ok(text);
    };
    let (before, figure, after) = (&text[..first], &text[first..=last], &text[last + 1..]);
    if before.contains(['-', '−', '(']) {
        return Ok(text);
    }
    // ".5" and "5." are figures; in "Fr.5" nobody knows whose the point is.
    let begins_open = before.ends_with(['.', ',']);
    let bare = before.trim_end_matches(['.', ',']);
    if begins_open && bare.ends_with(char::is_alphabetic) {
        return Ok(text);
    }
    let ends_open = after.starts_with(['.', ',']);
    for mark in [bare, after.trim_start_matches(['.', ','])].map(str::trim) {
        if !mark.is_empty() && !is_own(mark, currency) {
            return Err(ForeignMark { mark: mark.to_owned(), currency: currency.code().to_owned() });
        }
    }
    let start = if begins_open { first - 1 } else { first };
    let end = if ends_open { last + 2 } else { last + 1 };
    Ok(text.get(start..end).unwrap_or(figure))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn own_marks_go_and_others_are_named() {
        let euro = Currency::of_code("EUR").unwrap();
        for text in ["0,45", "0,45 €", "€0,45", "EUR 0,45", "0,45\u{a0}eur"] {
            assert_eq!(without_mark(text, &euro), Ok("0,45"), "{text}");
        }
        for (text, mark) in
            [("$0.45", "$"), ("0,45 kr", "kr"), ("USD 5", "USD"), ("5 pcs", "pcs"), ("45 ¢", "¢")]
        {
            assert_eq!(without_mark(text, &euro).unwrap_err().mark, mark, "{text}");
        }
        let franc = Currency::of_code("CHF").unwrap();
        assert_eq!(without_mark("Fr. 1'234.50", &franc), Ok("1'234.50"));
        assert_eq!(without_mark("Fr.5", &franc), Ok("Fr.5"));
        assert_eq!(without_mark("$.50", &Currency::usd()), Ok(".50"));
        assert_eq!(without_mark("-$5", &Currency::usd()), Ok("-$5"));
        assert_eq!(without_mark("US$5", &Currency::usd()), Ok("5"));
        assert!(without_mark("C$5", &Currency::usd()).is_err());
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in "[$€.,0-9 a-z-]{0,10}|\\PC{0,12}") {
            let _ = without_mark(&text, &Currency::usd());
        }
    }
}
