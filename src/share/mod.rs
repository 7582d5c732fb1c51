//! Links: what a link to the page carries after its `#`, in and out.
//!
//! Nothing after `#` is sent to a web server, so names on a roster stay between the two phones.
//! Owns the parameters, their limits and their check value. What is read is complete or an error:
//! a link is never half taken.

pub mod quote_code;
pub mod start;

use crate::quote::Quote;
use start::Start;
use std::fmt;

/// The longest fragment that is looked at, in bytes.
pub const LONGEST_LINK: usize = 64_000;

/// The parameter that carries a quote.
const QUOTE: &str = "quote";

/// What a link asks the page to open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Link {
    /// A quote to look at.
    Quote(Box<Quote>),
    /// A new order to begin.
    Start(Box<Start>),
}

/// Why a link cannot be opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkError {
    /// Longer than [`LONGEST_LINK`], or than its contents may be.
    TooLong,
    /// No parameter that this page knows.
    Foreign(String),
    /// Made by a version of this page that is not known here.
    NewerVersion(String),
    /// Fewer characters than it was made with.
    CutShort {
        /// The characters that are there.
        has: usize,
        /// The characters it was made with.
        of: usize,
    },
    /// A character lost or changed on the way.
    Damaged,
    /// Both a quote and a new order.
    Mixed,
    /// A parameter that says something impossible.
    Parameter {
        /// Which one.
        name: &'static str,
        /// What is wrong with it, and what would be right.
        why: String,
    },
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong => write!(f, "This link is too long to be one of ours. Ask for it again."),
            Self::Foreign(name) => {
                write!(
                    f,
                    "This link carries “{name}”, which this page does not know. Check where it comes from."
                )
            }
            Self::NewerVersion(version) => {
                write!(
                    f,
                    "This quote was made by a newer version ({version}) of this page. Reload the page, then open the link again."
                )
            }
            Self::CutShort { has, of } => {
                write!(
                    f,
                    "This link was cut short on the way: {has} of {of} characters are here. Ask for it again."
                )
            }
            Self::Damaged => write!(f, "This link was damaged on the way. Ask for it again."),
            Self::Mixed => write!(f, "This link asks for two things at once: a quote and a new order."),
            Self::Parameter { name, why } => write!(f, "The link's “{name}”: {why}."),
        }
    }
}

impl std::error::Error for LinkError {}

/// Reads what stands after the `#` of the page's address; `None` where nothing stands there.
///
/// # Errors
/// Says why the link cannot be opened.
///
/// ```
/// use lettertally::share::{self, Link, LinkError};
/// let link = share::read("#text=TIGERS&qty=12&height=4").unwrap().unwrap();
/// assert!(matches!(link, Link::Start(start) if start.quantity == Some(12)));
/// assert_eq!(share::read("#utm=x"), Err(LinkError::Foreign("utm".into())));
/// assert_eq!(share::read(""), Ok(None));
/// ```
pub fn read(fragment: &str) -> Result<Option<Link>, LinkError> {
    let fragment = fragment.strip_prefix('#').unwrap_or(fragment);
    if fragment.is_empty() {
        return Ok(None);
    }
    if fragment.len() > LONGEST_LINK {
        return Err(LinkError::TooLong);
    }
    let parameters: Vec<(String, String)> =
        form_urlencoded::parse(fragment.as_bytes()).into_owned().collect();
    let code = parameters.iter().find(|(name, _)| name == QUOTE);
    match (code, Start::from_parameters(&parameters)?) {
        (Some(_), Some(_)) => Err(LinkError::Mixed),
        (Some((_, code)), None) => Ok(Some(Link::Quote(Box::new(quote_code::decode(code)?)))),
        (None, Some(start)) => Ok(Some(Link::Start(Box::new(start)))),
        (None, None) => {
            let name = parameters.first().map_or("", |(name, _)| name);
            Err(LinkError::Foreign(crate::number::shortened(name)))
        }
    }
}

/// Whether a fragment carries a quote, readable or not: then a customer opens it.
pub fn is_for_customer(fragment: &str) -> bool {
    let fragment = fragment.strip_prefix('#').unwrap_or(fragment);
    fragment.split('&').any(|parameter| parameter.split('=').next() == Some(QUOTE))
}

/// What goes after the address of the page, `#` included, to open this quote.
pub fn quote_fragment(quote: &Quote) -> String {
    format!("#{QUOTE}={}", quote_code::encode(quote))
}
