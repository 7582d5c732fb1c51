//! The customer's yes to a quote: a code that only this quote has.
//!
//! Owns how the code follows from a quote: from the SHA-256 of every text in its link, so that a
//! quote with one other figure or letter has another code. It has some 34 bits: enough that no
//! slip, no older quote and no changed one passes for the one handed over. It is no signature: who
//! holds the quote can make its code.

use super::{LinkError, quote_code, version};
use crate::quote::Quote;
use crate::quote::code::{Code, CodeError};

/// The parameter with the code.
pub(super) const ACCEPT: &str = "accept";
/// The parameter with the number of the quote.
pub(super) const NUMBER: &str = "no";

/// The version of the answers that are written.
const VERSION: &str = "1";

/// The longest number of a quote that is taken from a link, in bytes.
const LONGEST_NUMBER: usize = 60;

/// A yes to a quote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Acceptance {
    /// The code of the quote it is for.
    pub code: Code,
    /// The number of that quote; empty where only the code was told.
    pub number: String,
}

impl Acceptance {
    /// The yes to this quote.
    ///
    /// ```
    /// use lettertally::{lists::demo, plan::{Shop, plan}, quote::quote, share::acceptance::Acceptance};
    /// let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    /// let order = demo::order("2026-01-01");
    /// let mut quote = quote(&order, &shop, &plan(&order, &shop)).unwrap();
    /// let yes = Acceptance::of(&quote);
    /// quote.items[0].people[0].name.push('x');
    /// assert_ne!(Acceptance::of(&quote).code, yes.code);
    /// ```
    pub fn of(quote: &Quote) -> Self {
        let (sealed, _) = quote_code::encode(quote);
        let mut part = [0; 8];
        // Other bytes than those that the link shows as its check.
        part.copy_from_slice(&sealed.digest[8..16]);
        Self { code: Code::of(u64::from_be_bytes(part)), number: quote.number.clone() }
    }

    /// What goes after the address of the page, `#` included, to tell the shop.
    pub fn fragment(&self) -> String {
        let number: String = form_urlencoded::byte_serialize(self.number.as_bytes()).collect();
        format!("#{ACCEPT}={VERSION}.{}&{NUMBER}={number}", self.code)
    }

    pub(super) fn read(code: &str, number: &str) -> Result<Self, LinkError> {
        let number = self::number(number)?;
        let code = match version(code)? {
            (VERSION, code) => code,
            (newer, _) => return Err(LinkError::NewerVersion(newer.to_owned())),
        };
        let wrong = |error: CodeError| LinkError::Parameter { name: ACCEPT, why: error.to_string() };
        Ok(Self { code: Code::parse(code).map_err(wrong)?, number })
    }
}

/// The number of a quote, where it is no longer than one may be: a quote with a longer one could
/// not be said yes to.
pub(super) fn number(text: &str) -> Result<String, LinkError> {
    if text.len() > LONGEST_NUMBER {
        let why = format!("longer than {LONGEST_NUMBER} characters");
        return Err(LinkError::Parameter { name: NUMBER, why });
    }
    Ok(text.to_owned())
}
