//! The code of a quote in a link, version 2.
//!
//! Owns which texts say a quote, in which order and of which kind: `docs/links.md` lists them.
//! What is not written here cannot be sent. A quote has exactly one link: what was read is written
//! again, and a link that differs from that is refused.

use super::LinkError;
use super::dense::{DenseError, Kind, Unpacker};
use super::place::Place;
use super::seal::{self, Sealed, Sealer};
use crate::money::{Cents, Currency, Percent};
use crate::order::{Swap, Wording};
use crate::quote::look::Look;
use crate::quote::{Item, OtherQuantity, Quote, QuotedLine, QuotedPerson, QuotedSize, Terms};
use serde::de::value::Error as ValueError;
use serde::de::{DeserializeOwned, IntoDeserializer};
use serde::{Serialize, de::value::StringDeserializer};

/// The most entries of any list in a quote.
const MOST: usize = 10_000;

/// The longest title that stands readable in the link, in characters as they are escaped there.
const READABLE: usize = 40;

/// The texts of a quote that stand readable beside its code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Readable {
    /// The number.
    pub number: String,
    /// The title, where it is short; else empty.
    pub title: String,
}

/// Code, readable texts and hash of a quote.
pub fn encode(quote: &Quote) -> (Sealed, Readable) {
    let escaped: usize = form_urlencoded::byte_serialize(quote.title.as_bytes()).map(str::len).sum();
    let readable = Readable {
        number: quote.number.clone(),
        title: if escaped > READABLE { String::new() } else { quote.title.clone() },
    };
    let mut out = Sealer::default();
    out.readable(&readable.number);
    out.readable(&readable.title);
    out.text(Kind::Prose, if readable.title.is_empty() { &quote.title } else { "" });
    write(quote, &mut out);
    (out.finish(), readable)
}

/// The quote of a code, from the length on, and of the texts beside it.
///
/// # Errors
/// Says what happened to the link on its way.
pub fn decode(code: &str, readable: Readable) -> Result<Quote, LinkError> {
    let packed = seal::packed(code)?;
    let quote = Reader(Unpacker::new(&packed)).quote(&readable)?;
    let (sealed, again) = encode(&quote);
    if sealed.code == code && again == readable { Ok(quote) } else { Err(LinkError::Damaged) }
}

fn write(quote: &Quote, out: &mut Sealer) {
    let Quote { shop, contact, number: _, title: _, date, currency, tax_rate, items, swaps, terms, others } =
        quote;
    out.text(Kind::Prose, shop);
    out.text(Kind::Prose, contact);
    out.text(Kind::Figure, date);
    out.text(Kind::Prose, currency.code());
    count(out, currency.digits());
    word(out, Kind::Figure, tax_rate);
    let Terms { valid_days, deposit, lead_time, text } = terms;
    count(out, valid_days);
    word(out, Kind::Figure, deposit);
    out.text(Kind::Prose, lead_time);
    out.text(Kind::Prose, text);
    count(out, others.len());
    for OtherQuantity { garments, price } in others {
        count(out, garments);
        count(out, price.minor());
    }
    count(out, swaps.len());
    for Swap { from, to } in swaps {
        out.text(Kind::Name, from.as_str());
        out.text(Kind::Name, to.as_ref().map_or("", |to| to.as_str()));
    }
    count(out, items.len());
    items.iter().for_each(|item| write_item(item, out));
}

fn write_item(item: &Item, out: &mut Sealer) {
    let Item { garment, look, lines, sizes, people } = item;
    out.text(Kind::Term, garment);
    count(out, u8::from(look.is_some()));
    if let Some(Look { colour, width, length }) = look {
        word(out, Kind::Figure, colour);
        word(out, Kind::Figure, width);
        word(out, Kind::Figure, length);
    }
    count(out, lines.len());
    for QuotedLine { placement, text, height, finish, colour, screen, curve, closest, width } in lines {
        let place = Place { placement: *placement, curve: *curve, closest: *closest, width: *width };
        out.text(Kind::Term, &place.write());
        out.text(Kind::Prose, text.as_str());
        word(out, Kind::Figure, height);
        out.text(Kind::Term, finish);
        out.text(Kind::Term, colour);
        match screen {
            Some(screen) => word(out, Kind::Figure, screen),
            None => out.text(Kind::Figure, ""),
        }
    }
    count(out, sizes.len());
    for QuotedSize { size, count: garments, price } in sizes {
        out.text(Kind::Size, size);
        count(out, garments);
        count(out, price.minor());
    }
    // One column after the other: a name tells more about the next name than about a size.
    count(out, people.len());
    people.iter().for_each(|QuotedPerson { name, .. }| out.text(Kind::Name, name));
    people.iter().for_each(|QuotedPerson { number, .. }| out.text(Kind::Figure, number));
    people.iter().for_each(|QuotedPerson { size, .. }| out.text(Kind::Size, size));
    people.iter().for_each(|QuotedPerson { quantity, .. }| count(out, quantity));
}

fn count(out: &mut Sealer, number: impl ToString) {
    out.text(Kind::Figure, &number.to_string());
}

/// A value as the text that records hold for it.
fn word(out: &mut Sealer, kind: Kind, value: &impl Serialize) {
    let text = match serde_json::to_value(value) {
        Ok(serde_json::Value::String(text)) => text,
        // Lengths, percentages, colours and placements are all kept as texts.
        _ => String::new(),
    };
    out.text(kind, &text);
}

struct Reader<'a>(Unpacker<'a>);

impl Reader<'_> {
    fn quote(&mut self, readable: &Readable) -> Result<Quote, LinkError> {
        let packed_title = self.text(Kind::Prose)?;
        let title = if readable.title.is_empty() { packed_title } else { readable.title.clone() };
        Ok(Quote {
            number: readable.number.clone(),
            title,
            shop: self.text(Kind::Prose)?,
            contact: self.text(Kind::Prose)?,
            date: self.text(Kind::Figure)?,
            currency: self.currency()?,
            tax_rate: self.word(Kind::Figure)?,
            terms: Terms {
                valid_days: self.count()?,
                deposit: self.share()?,
                lead_time: self.text(Kind::Prose)?,
                text: self.text(Kind::Prose)?,
            },
            others: self.list(Self::other)?,
            swaps: self.list(Self::swap)?,
            items: self.list(Self::item)?,
        })
    }

    fn text(&mut self, kind: Kind) -> Result<String, LinkError> {
        self.0.text(kind).map_err(|error| match error {
            DenseError::TooLong => LinkError::TooLong,
            DenseError::Damaged => LinkError::Damaged,
        })
    }

    fn count<T: std::str::FromStr>(&mut self) -> Result<T, LinkError> {
        self.text(Kind::Figure)?.parse().map_err(|_| LinkError::Damaged)
    }

    fn word<T: DeserializeOwned>(&mut self, kind: Kind) -> Result<T, LinkError> {
        value_of(self.text(kind)?)
    }

    /// A percentage of the whole.
    fn share(&mut self) -> Result<Percent, LinkError> {
        let share: Percent = self.word(Kind::Figure)?;
        if share.value() > Percent::of(100).value() { Err(LinkError::Damaged) } else { Ok(share) }
    }

    fn price(&mut self) -> Result<Cents, LinkError> {
        let minor: i64 = self.count()?;
        if (0..=LARGEST_PRICE).contains(&minor) { Ok(Cents::new(minor)) } else { Err(LinkError::Damaged) }
    }

    fn currency(&mut self) -> Result<Currency, LinkError> {
        let code = self.text(Kind::Prose)?;
        Currency::new(&code, self.count()?).map_err(|_| LinkError::Damaged)
    }

    fn length(&mut self) -> Result<usize, LinkError> {
        self.count().and_then(|length| if length > MOST { Err(LinkError::TooLong) } else { Ok(length) })
    }

    fn list<T>(&mut self, entry: fn(&mut Self) -> Result<T, LinkError>) -> Result<Vec<T>, LinkError> {
        (0..self.length()?).map(|_| entry(self)).collect()
    }

    fn other(&mut self) -> Result<OtherQuantity, LinkError> {
        Ok(OtherQuantity { garments: self.count()?, price: self.price()? })
    }

    fn swap(&mut self) -> Result<Swap, LinkError> {
        let from = self.word(Kind::Name)?;
        let to = self.text(Kind::Name)?;
        Ok(Swap { from, to: if to.is_empty() { None } else { Some(value_of(to)?) } })
    }

    fn item(&mut self) -> Result<Item, LinkError> {
        Ok(Item {
            garment: self.text(Kind::Term)?,
            look: self.look()?,
            lines: self.list(Self::line)?,
            sizes: self.list(Self::size)?,
            people: self.people()?,
        })
    }

    fn look(&mut self) -> Result<Option<Look>, LinkError> {
        if self.count::<u8>()? == 0 {
            return Ok(None);
        }
        Ok(Some(Look {
            colour: self.word(Kind::Figure)?,
            width: self.word(Kind::Figure)?,
            length: self.word(Kind::Figure)?,
        }))
    }

    fn line(&mut self) -> Result<QuotedLine, LinkError> {
        let Place { placement, curve, closest, width } =
            Place::read(&self.text(Kind::Term)?).ok_or(LinkError::Damaged)?;
        Ok(QuotedLine {
            placement,
            curve,
            closest,
            width,
            text: Wording::new(&self.text(Kind::Prose)?),
            height: self.word(Kind::Figure)?,
            finish: self.text(Kind::Term)?,
            colour: self.text(Kind::Term)?,
            screen: match self.text(Kind::Figure)? {
                none if none.is_empty() => None,
                screen => Some(value_of(screen)?),
            },
        })
    }

    fn size(&mut self) -> Result<QuotedSize, LinkError> {
        Ok(QuotedSize { size: self.text(Kind::Size)?, count: self.count()?, price: self.price()? })
    }

    fn people(&mut self) -> Result<Vec<QuotedPerson>, LinkError> {
        let people = self.length()?;
        let names = self.column(people, |reader| reader.text(Kind::Name))?;
        let numbers = self.column(people, |reader| reader.text(Kind::Figure))?;
        let sizes = self.column(people, |reader| reader.text(Kind::Size))?;
        let quantities = self.column(people, Self::count::<u16>)?;
        let rows = names.into_iter().zip(numbers).zip(sizes).zip(quantities);
        let person = |(((name, number), size), quantity)| QuotedPerson { name, number, size, quantity };
        Ok(rows.map(person).collect())
    }

    fn column<T>(
        &mut self,
        rows: usize,
        cell: fn(&mut Self) -> Result<T, LinkError>,
    ) -> Result<Vec<T>, LinkError> {
        (0..rows).map(|_| cell(self)).collect()
    }
}

/// The largest price of one garment: with any count it stays within reckoning.
const LARGEST_PRICE: i64 = 100_000_000_000;

fn value_of<T: DeserializeOwned>(text: String) -> Result<T, LinkError> {
    let text: StringDeserializer<ValueError> = text.into_deserializer();
    T::deserialize(text).map_err(|_| LinkError::Damaged)
}
