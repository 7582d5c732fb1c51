//! Links: what a link to the page carries after its `#`, in and out.
//!
//! Nothing after `#` is sent to a web server, so names on a roster stay between the two phones.
//! Owns the parameters, their limits and their check value. What is read is complete or an error:
//! a link is never half taken.

pub mod acceptance;
pub mod copy;
pub mod dense;
mod place;
pub mod qr;
mod quote_code;
mod quote_code_1;
mod samples;
mod seal;
pub mod start;

use crate::quote::Quote;
use acceptance::Acceptance;
use copy::Copy;
use quote_code::Readable;
use start::Start;
use std::fmt;

/// The longest fragment that is looked at, in bytes.
pub const LONGEST_LINK: usize = 64_000;

/// The parameter that carries a quote.
const QUOTE: &str = "quote";
/// The parameter that carries the title of a quote, where it is short.
const TITLE: &str = "for";
/// The parameter that carries a working copy.
const COPY: &str = "copy";

/// The parameters that may stand in a link once.
const OWN: [&str; 5] = [QUOTE, TITLE, COPY, acceptance::ACCEPT, acceptance::NUMBER];

/// The version of the quotes that are written.
const VERSION: &str = "2";

/// What a link asks the page to open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Link {
    /// A quote to look at.
    Quote(Box<Quote>),
    /// A new order to begin.
    Start(Box<Start>),
    /// A customer's yes to a quote.
    Accept(Acceptance),
    /// A colleague's order to take over.
    Copy(Box<Copy>),
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
    /// Two things at once, such as a quote and a new order.
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
                    "This link was made by a newer version ({version}) of this page. Reload the page, then open the link again."
                )
            }
            Self::CutShort { has, of } => {
                write!(
                    f,
                    "This link was cut short on the way: {has} of {of} characters are here. Ask for it again."
                )
            }
            Self::Damaged => write!(f, "This link was damaged on the way. Ask for it again."),
            Self::Mixed => write!(f, "This link asks for two things at once. Ask for it again."),
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
    let value = |name: &str| {
        parameters.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.as_str())
    };
    let is_own = |name: &str| OWN.contains(&name);
    let repeated = |(at, (name, _)): (usize, &(String, String))| {
        is_own(name) && parameters[..at].iter().any(|(before, _)| before == name)
    };
    if parameters.iter().enumerate().any(repeated) {
        return Err(LinkError::Mixed);
    }
    let kinds = [QUOTE, acceptance::ACCEPT, COPY];
    let asked: Vec<&str> =
        kinds.into_iter().filter(|kind| parameters.iter().any(|(name, _)| name == kind)).collect();
    match (asked.as_slice(), Start::from_parameters(&parameters)?) {
        ([QUOTE], None) => {
            let number = acceptance::number(value(acceptance::NUMBER))?;
            let readable = Readable { number, title: value(TITLE).to_owned() };
            Ok(Some(Link::Quote(Box::new(decode_quote(value(QUOTE), readable)?))))
        }
        ([acceptance::ACCEPT], None) => {
            let (code, number) = (value(acceptance::ACCEPT), value(acceptance::NUMBER));
            Ok(Some(Link::Accept(Acceptance::read(code, number)?)))
        }
        ([COPY], None) => Ok(Some(Link::Copy(Box::new(Copy::decode(value(COPY))?)))),
        ([], Some(start)) => Ok(Some(Link::Start(Box::new(start)))),
        ([], None) => {
            let name = parameters.first().map_or("", |(name, _)| name);
            Err(LinkError::Foreign(crate::number::shortened(name)))
        }
        _ => Err(LinkError::Mixed),
    }
}

fn decode_quote(code: &str, readable: Readable) -> Result<Quote, LinkError> {
    match version(code)? {
        (VERSION, rest) => quote_code::decode(rest, readable),
        ("1", rest) => quote_code_1::decode(rest),
        (newer, _) => Err(LinkError::NewerVersion(newer.to_owned())),
    }
}

/// Version and rest of a code.
fn version(code: &str) -> Result<(&str, &str), LinkError> {
    let (version, rest) = code.split_once('.').ok_or(LinkError::Damaged)?;
    let is_number = version.len() < 6 && version.parse::<u16>().is_ok_and(|version| version > 0);
    if is_number { Ok((version, rest)) } else { Err(LinkError::Damaged) }
}

/// Whether a fragment carries a quote, readable or not: then a customer opens it.
pub fn is_for_customer(fragment: &str) -> bool {
    let fragment = fragment.strip_prefix('#').unwrap_or(fragment);
    // As it is read: "%71uote" is a quote as well.
    form_urlencoded::parse(fragment.as_bytes()).any(|(name, _)| name == QUOTE)
}

/// What goes after the address of the page, `#` included, to open this quote.
///
/// The code says everything but the number and a short title, which stand readable behind it.
pub fn quote_fragment(quote: &Quote) -> String {
    let (sealed, readable) = quote_code::encode(quote);
    let mut fragment = format!("#{QUOTE}={VERSION}.{}", sealed.code);
    for (name, text) in [(acceptance::NUMBER, &readable.number), (TITLE, &readable.title)] {
        if !text.is_empty() {
            let escaped: String = form_urlencoded::byte_serialize(text.as_bytes()).collect();
            fragment.push_str(&format!("&{name}={escaped}"));
        }
    }
    fragment
}
