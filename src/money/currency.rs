//! The currency: its code, its minor units and how its amounts are written.
//!
//! The codes, names and minor units are those of ISO 4217, as `iso_currency` keeps them.

use super::Cents;
use crate::number::shortened;
use iso_currency::Currency as Listed;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fmt;

/// A currency: its three-letter code by ISO 4217 and its number of minor-unit digits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "CurrencyRecord", into = "CurrencyRecord")]
pub struct Currency {
    code: String,
    digits: u8,
}

impl Currency {
    /// A currency by its code and its minor-unit digits (0 to 4).
    ///
    /// # Errors
    /// A code that is not three capital letters, or more than four digits.
    pub fn new(code: &str, digits: u8) -> Result<Self, CurrencyError> {
        if code.len() != 3 || !code.bytes().all(|byte| byte.is_ascii_uppercase()) {
            return Err(CurrencyError::Code(code.to_owned()));
        }
        if digits > 4 {
            return Err(CurrencyError::Digits(digits));
        }
        Ok(Self { code: code.to_owned(), digits })
    }

    /// A currency by its code, however it is typed, with the minor-unit digits that ISO 4217 gives it.
    ///
    /// # Errors
    /// A code that is not on the list, or that has no minor units there, such as gold.
    ///
    /// ```
    /// use lettertally::money::Currency;
    /// assert_eq!(Currency::of_code("KWD").unwrap().digits(), 3);
    /// assert!(Currency::of_code("euro").is_err());
    /// ```
    pub fn of_code(code: &str) -> Result<Self, CurrencyError> {
        let code = code.trim().to_ascii_uppercase();
        let listed = Listed::from_code(&code).filter(|listed| !listed.is_special());
        let digits = listed.and_then(Listed::exponent).and_then(|digits| u8::try_from(digits).ok());
        match digits {
            Some(digits) => Self::new(&code, digits),
            None => Err(CurrencyError::Unknown(code)),
        }
    }

    /// The codes and English names of the currencies in use, by code.
    pub fn all() -> impl Iterator<Item = (&'static str, String)> {
        let in_use = |listed: &Listed| listed.flags().is_empty() && listed.exponent().is_some();
        let codes: BTreeSet<_> =
            (0..1_000).filter_map(Listed::from_numeric).filter(in_use).map(|listed| listed.code()).collect();
        codes.into_iter().map(|code| {
            (code, Listed::from_code(code).map_or(String::new(), |listed| listed.name().to_owned()))
        })
    }

    /// Its English name; the code where the list does not know it.
    pub fn name(&self) -> String {
        Listed::from_code(&self.code).map_or(self.code.clone(), |listed| listed.name().to_owned())
    }

    /// The United States dollar.
    pub fn usd() -> Self {
        Self { code: "USD".to_owned(), digits: 2 }
    }

    /// The three-letter code.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// How many digits stand after the point.
    pub fn digits(&self) -> u8 {
        self.digits
    }

    pub(super) fn minor_per_unit(&self) -> Decimal {
        Decimal::from(10_u32.pow(u32::from(self.digits)))
    }

    /// The sign written before an amount, where one is known.
    pub fn sign(&self) -> Option<&'static str> {
        match self.code.as_str() {
            "USD" | "CAD" | "AUD" | "NZD" => Some("$"),
            "EUR" => Some("€"),
            "GBP" => Some("£"),
            "JPY" => Some("¥"),
            _ => None,
        }
    }

    /// Writes an amount for a person: "$1,234.50", or "1,234.50 SEK" where no sign is known.
    ///
    /// ```
    /// use lettertally::money::{Cents, Currency};
    /// assert_eq!(Currency::usd().show(Cents::new(-123_450)), "-$1,234.50");
    /// ```
    pub fn show(&self, cents: Cents) -> String {
        let minus = if cents.0 < 0 { "-" } else { "" };
        let plain = self.plain(Cents(cents.0.saturating_abs()));
        let (whole, rest) = plain.split_at(plain.find('.').unwrap_or(plain.len()));
        let figure = format!("{}{rest}", grouped(whole));
        match self.sign() {
            Some(sign) => format!("{minus}{sign}{figure}"),
            None => format!("{minus}{figure} {}", self.code),
        }
    }

    /// Writes an amount with no sign and no grouping, as an input field holds it: "1234.50".
    pub fn plain(&self, cents: Cents) -> String {
        let amount = Decimal::from(cents.0) / self.minor_per_unit();
        format!("{amount:.*}", usize::from(self.digits))
    }
}

fn grouped(whole: &str) -> String {
    let mut out = String::with_capacity(whole.len() + whole.len() / 3);
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// What is wrong with a currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CurrencyError {
    /// The code is not three capital letters.
    Code(String),
    /// More minor-unit digits than any currency has.
    Digits(u8),
    /// The code is not on the list of ISO 4217.
    Unknown(String),
}

impl fmt::Display for CurrencyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Code(code) => write!(f, "currency “{code}”: expected three capital letters, such as USD"),
            Self::Unknown(code) => write!(
                f,
                "“{}” is not a currency: choose one from the list, or type three letters, such as USD",
                shortened(code)
            ),
            Self::Digits(digits) => write!(f, "{digits} digits after the point: expected 0 to 4"),
        }
    }
}

impl std::error::Error for CurrencyError {}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CurrencyRecord {
    code: String,
    digits: u8,
}

impl TryFrom<CurrencyRecord> for Currency {
    type Error = CurrencyError;
    fn try_from(record: CurrencyRecord) -> Result<Self, CurrencyError> {
        Self::new(&record.code, record.digits)
    }
}

impl From<Currency> for CurrencyRecord {
    fn from(currency: Currency) -> Self {
        Self { code: currency.code, digits: currency.digits }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unknown_signs_show_the_code() {
        let franc = Currency::new("CHF", 2).unwrap();
        assert_eq!(franc.show(Cents::new(5)), "0.05 CHF");
        assert!(Currency::new("usd", 2).is_err());
        assert!(Currency::new("USD", 9).is_err());
    }

    #[test]
    fn amounts_carry_their_sign_before_them_and_a_minus_before_that() {
        let shown = |code: &str, cents: i64| {
            let currency = Currency::of_code(code).unwrap();
            assert_eq!(currency.code(), code);
            currency.show(Cents::new(cents))
        };
        // Signs: common practice, no source.
        let dollars = ["USD", "CAD", "AUD", "NZD"].map(|code| shown(code, 123_450));
        assert_eq!(dollars, ["$1,234.50"; 4]);
        assert_eq!((shown("EUR", -5), shown("GBP", 100_000_000)), ("-€0.05".into(), "£1,000,000.00".into()));
        assert_eq!(
            (shown("JPY", -1_234), shown("SEK", -123_450)),
            ("-¥1,234".into(), "-1,234.50 SEK".into())
        );
        assert_eq!((shown("USD", 0), shown("JPY", 999)), ("$0.00".into(), "¥999".into()));
    }

    #[test]
    fn codes_are_known_with_their_minor_units_or_refused() {
        // ISO 4217, list one: dollar 2, yen 0, Kuwaiti dinar 3, from memory.
        for (code, digits) in [("usd", 2), (" EUR ", 2), ("JPY", 0), ("KWD", 3)] {
            assert_eq!(Currency::of_code(code).unwrap().digits(), digits, "{code}");
        }
        for code in ["", "US", "DOLLAR", "ABC", "XAU", "XXX", "💶"] {
            let error = Currency::of_code(code).unwrap_err();
            assert!(error.to_string().contains("is not a currency"), "{code}: {error}");
        }
    }

    #[test]
    fn every_currency_that_can_be_chosen_can_be_read() {
        let all: Vec<_> = Currency::all().collect();
        assert!(all.len() > 140 && all.is_sorted(), "{}", all.len());
        for (code, name) in all {
            let currency = Currency::of_code(code).unwrap();
            assert!(currency.digits() <= 4 && !name.is_empty());
            assert_eq!(currency.name(), name);
        }
    }
}
