//! Records by the words a person writes for them.
//!
//! Owns how a cell names a supplier, a finish, a colour or a letter style, one or several of
//! them, and how such a name is found again. Never guesses between two that have one name.

use crate::number::shortened;
use std::fmt;

/// What kind of record a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// Somebody who sells letters.
    Supplier,
    /// What letters are made of.
    Finish,
    /// A colour of a finish.
    Colour,
    /// A letter style.
    Style,
}

impl Thing {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Supplier => "supplier",
            Self::Finish => "finish",
            Self::Colour => "colour",
            Self::Style => "letter style",
        }
    }
}

/// Why a name finds no record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NameError {
    /// Nothing was written.
    Empty(Thing),
    /// No record has this name.
    Unknown {
        /// What was looked for.
        thing: Thing,
        /// What was written.
        text: String,
        /// The names there are.
        known: Vec<String>,
    },
    /// Several records have this name.
    Ambiguous {
        /// What was looked for.
        thing: Thing,
        /// What was written.
        text: String,
        /// What to write for each of them instead.
        ways: Vec<String>,
    },
    /// A quotation mark is opened and never closed.
    OpenQuote,
}

impl fmt::Display for NameError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty(thing) => write!(f, "write the name of a {}", thing.word()),
            Self::Unknown { thing, text, known } if known.is_empty() => {
                write!(f, "no {} “{}”: add it to the shop's lists first", thing.word(), shortened(text))
            }
            Self::Unknown { thing, text, known } => write!(
                f,
                "no {} “{}”: write one of {}, or add it to the shop's lists first",
                thing.word(),
                shortened(text),
                some_of(known)
            ),
            Self::Ambiguous { thing, text, ways } => write!(
                f,
                "“{}” is the name of more than one {}: write {}",
                shortened(text),
                thing.word(),
                ways.join(" or ")
            ),
            Self::OpenQuote => write!(f, "a quotation mark is never closed: close it, or take it out"),
        }
    }
}

impl std::error::Error for NameError {}

/// The first few names, and how many more there are.
fn some_of(names: &[String]) -> String {
    const SHOWN: usize = 6;
    let shown = names.iter().take(SHOWN).map(|name| shortened(name)).collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(SHOWN) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

/// The records of one kind that a cell can name.
#[derive(Debug, Clone)]
pub struct Names<'a> {
    thing: Thing,
    /// Id and name of each.
    entries: Vec<(&'a str, &'a str)>,
}

impl<'a> Names<'a> {
    /// The records of this kind, each by its id and its name.
    pub fn new(thing: Thing, entries: impl Iterator<Item = (&'a str, &'a str)>) -> Self {
        Self { thing, entries: entries.collect() }
    }

    /// Id and name of each record.
    pub fn entries(&self) -> &[(&'a str, &'a str)] {
        &self.entries
    }

    /// The id of the record with this name; else with this id; else with this name in other
    /// letters, large or small. "#gold" is always the id.
    ///
    /// # Errors
    /// The text is empty, or names no record, or several.
    pub fn find(&self, text: &str) -> Result<&'a str, NameError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(NameError::Empty(self.thing));
        }
        let lower = text.to_lowercase();
        let fits = |id: &str, name: &str, level: u8| match level {
            0 => text.strip_prefix('#') == Some(id),
            1 => name.trim() == text,
            2 => id == text,
            _ => name.trim().to_lowercase() == lower,
        };
        for level in 0..4 {
            let found = self.entries.iter().filter(|(id, name)| fits(id, name, level));
            let found: Vec<&'a str> = found.map(|(id, _)| *id).collect();
            match found.as_slice() {
                [] => {}
                [id] => return Ok(*id),
                several => {
                    let ways = several.iter().map(|id| self.word(id)).collect();
                    return Err(NameError::Ambiguous { thing: self.thing, text: text.to_owned(), ways });
                }
            }
        }
        Err(NameError::Unknown { thing: self.thing, text: text.to_owned(), known: self.all_words() })
    }

    /// The word that [`Self::find`] leads back to this id: its name where it can, else "#" and the id.
    pub fn word(&self, id: &str) -> String {
        let named = self.entries.iter().find(|entry| entry.0 == id).map(|(_, name)| name.trim());
        let finds_back = |name: &&str| {
            let rival = |entry: &&(&str, &str)| {
                entry.0 != id && (entry.1.trim() == *name || name.strip_prefix('#') == Some(entry.0))
            };
            !name.is_empty() && !self.entries.iter().any(|entry| rival(&entry))
        };
        named.filter(finds_back).map_or_else(|| format!("#{id}"), str::to_owned)
    }

    /// The word for each record.
    pub fn all_words(&self) -> Vec<String> {
        self.entries.iter().map(|(id, _)| self.word(id)).collect()
    }

    /// The ids of the records named in a list such as "white, navy"; "all" stands for every one,
    /// unless a record is called so. A name with a comma or semicolon in it goes in quotation marks.
    ///
    /// # Errors
    /// Names the first part that finds no record.
    pub fn find_all(&self, text: &str) -> Result<Vec<&'a str>, NameError> {
        let mut found = Vec::new();
        for part in parts(text)? {
            match self.find(&part) {
                Ok(id) => found.push(id),
                Err(NameError::Unknown { .. }) if part.eq_ignore_ascii_case("all") => {
                    found.extend(self.entries.iter().map(|(id, _)| *id));
                }
                Err(error) => return Err(error),
            }
        }
        let mut seen = std::collections::BTreeSet::new();
        found.retain(|id| seen.insert(*id));
        Ok(found)
    }

    /// The form that [`Self::find_all`] reads back.
    pub fn words(&self, ids: &[&str]) -> String {
        ids.iter().map(|id| quoted(self.word(id))).collect::<Vec<_>>().join(", ")
    }
}

fn ends_part(c: char) -> bool {
    matches!(c, ',' | ';' | '\n' | '\r')
}

fn quoted(word: String) -> String {
    if word.contains(|c| ends_part(c) || c == '"') {
        format!("\"{}\"", word.replace('"', "\"\""))
    } else {
        word
    }
}

/// The parts between separators, those in quotation marks unwrapped; empty ones are left out.
fn parts(text: &str) -> Result<Vec<String>, NameError> {
    let mut parts = vec![String::new()];
    let mut signs = text.chars().peekable();
    let mut in_quotes = false;
    while let Some(c) = signs.next() {
        let part_is_blank = parts.last().is_none_or(|part| part.trim().is_empty());
        match c {
            '"' if in_quotes && signs.next_if_eq(&'"').is_some() => push(&mut parts, '"'),
            '"' if in_quotes => in_quotes = false,
            '"' if part_is_blank => in_quotes = true,
            c if ends_part(c) && !in_quotes => parts.push(String::new()),
            c => push(&mut parts, c),
        }
    }
    if in_quotes {
        return Err(NameError::OpenQuote);
    }
    parts.retain(|part| !part.trim().is_empty());
    Ok(parts)
}

fn push(parts: &mut [String], c: char) {
    if let Some(part) = parts.last_mut() {
        part.push(c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn colours<'a>(entries: &[(&'a str, &'a str)]) -> Names<'a> {
        Names::new(Thing::Colour, entries.iter().copied())
    }

    #[test]
    fn a_name_is_found_by_name_then_id_then_in_other_letters() {
        let names = colours(&[("a", "Gold"), ("gold", "old gold"), ("c", "red, dark")]);
        assert_eq!(names.find(" Gold "), Ok("a"));
        assert_eq!(names.find("gold"), Ok("gold"));
        assert_eq!(names.find("GOLD"), Ok("a"));
        assert_eq!(names.find_all("\"red, dark\"; Gold"), Ok(vec!["c", "a"]));
        assert_eq!(names.find_all("all"), Ok(vec!["a", "gold", "c"]));
        assert_eq!(names.find_all("say \"x"), names.find("say \"x").map(|id| vec![id]));
        assert_eq!(names.find_all("\"red"), Err(NameError::OpenQuote));
    }

    #[test]
    fn two_of_one_name_are_told_apart_by_id() {
        let names = colours(&[("gold", "gold"), ("gold-2", "gold")]);
        let error = names.find("gold").unwrap_err().to_string();
        assert_eq!(error, "“gold” is the name of more than one colour: write #gold or #gold-2");
        assert_eq!(names.find(&names.word("gold-2")), Ok("gold-2"));
    }

    #[test]
    fn an_unknown_name_says_what_there_is() {
        let names = colours(&[("a", "white"), ("b", "navy")]);
        let error = names.find_all("white, teal").unwrap_err().to_string();
        assert_eq!(error, "no colour “teal”: write one of white, navy, or add it to the shop's lists first");
    }

    proptest! {
        #[test]
        fn every_list_of_names_reads_back(
            entries in prop::collection::btree_map("[a-c#]{1,2}", "[a-cA-C#,;\" ]{0,4}", 1..6),
        ) {
            let entries: Vec<(&str, &str)> = entries.iter().map(|(id, name)| (id.as_str(), name.as_str())).collect();
            let names = colours(&entries);
            let ids: Vec<&str> = entries.iter().rev().map(|(id, _)| *id).collect();
            prop_assert_eq!(names.find_all(&names.words(&ids)), Ok(ids));
        }
    }
}
