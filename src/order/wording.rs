//! What a line says: fixed text, a person's name or number, or a mix of them.

use serde::{Deserialize, Serialize};

/// The token that stands for the name on the roster.
pub const NAME: &str = "{name}";
/// The token that stands for the number on the roster.
pub const NUMBER: &str = "{number}";

/// The text of a line, kept as it was typed, with `{name}` and `{number}` for the roster's fields.
///
/// ```
/// use lettertally::order::Wording;
/// let wording = Wording::new("TEAM {number}");
/// assert_eq!(wording.for_person("ASH", "7"), "TEAM 7");
/// assert!(wording.uses_roster());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Wording(String);

/// A piece of a wording.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part<'a> {
    /// The same on every garment.
    Fixed(&'a str),
    /// The name on the roster.
    Name,
    /// The number on the roster.
    Number,
}

impl Wording {
    /// The longest text of a line, in bytes.
    pub const LONGEST: usize = 500;

    /// A wording as typed. What goes beyond [`Self::LONGEST`] is cut off.
    pub fn new(text: &str) -> Self {
        let mut end = text.len().min(Self::LONGEST);
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        Self(text[..end].to_owned())
    }

    /// The text as typed.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Its parts in reading order.
    pub fn parts(&self) -> Vec<Part<'_>> {
        let mut parts = Vec::new();
        let mut rest = self.0.as_str();
        while let Some((at, token, part)) = first_token(rest) {
            if at > 0 {
                parts.push(Part::Fixed(&rest[..at]));
            }
            parts.push(part);
            rest = &rest[at + token.len()..];
        }
        if !rest.is_empty() {
            parts.push(Part::Fixed(rest));
        }
        parts
    }

    /// The text on the garment of somebody with this name and number.
    pub fn for_person(&self, name: &str, number: &str) -> String {
        let text = |part| match part {
            Part::Fixed(text) => text,
            Part::Name => name,
            Part::Number => number,
        };
        self.parts().into_iter().map(text).collect()
    }

    /// How a sentence names it: in quotation marks, and without tokens.
    ///
    /// ```
    /// use lettertally::order::Wording;
    /// let words = |text: &str| Wording::new(text).in_words();
    /// assert_eq!((words("{name}"), words("No. {number}")), ("each name".into(), "“No. NUMBER”".into()));
    /// ```
    pub fn in_words(&self) -> String {
        match self.as_str() {
            NAME => "each name".to_owned(),
            NUMBER => "each number".to_owned(),
            text => format!("“{}”", text.replace(NAME, "NAME").replace(NUMBER, "NUMBER")),
        }
    }

    /// Whether it differs from person to person.
    pub fn uses_roster(&self) -> bool {
        self.parts().iter().any(|part| !matches!(part, Part::Fixed(_)))
    }
}

/// What is kept is refused where it is too long, never cut: a quote of it would say less than the order.
impl TryFrom<String> for Wording {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        match text.len() {
            length if length > Self::LONGEST => Err(format!("a line of more than {} bytes", Self::LONGEST)),
            _ => Ok(Self(text)),
        }
    }
}

impl From<Wording> for String {
    fn from(wording: Wording) -> Self {
        wording.0
    }
}

fn first_token(text: &str) -> Option<(usize, &'static str, Part<'static>)> {
    let found = |token: &'static str, part| text.find(token).map(|at| (at, token, part));
    let tokens = [found(NAME, Part::Name), found(NUMBER, Part::Number)];
    tokens.into_iter().flatten().min_by_key(|(at, ..)| *at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn other_braces_are_plain_text() {
        let wording = Wording::new("{Name}{name}{}");
        assert_eq!(wording.parts(), [Part::Fixed("{Name}"), Part::Name, Part::Fixed("{}")]);
    }

    #[test]
    fn names_that_look_like_tokens_are_not_expanded_again() {
        assert_eq!(Wording::new("{name}").for_person("{number}", "7"), "{number}");
    }

    #[test]
    fn a_line_that_is_kept_is_as_long_as_one_may_be_typed() {
        let line = |length: usize| serde_json::from_str::<Wording>(&format!("\"{}\"", "a".repeat(length)));
        assert_eq!(line(Wording::LONGEST).unwrap(), Wording::new(&"a".repeat(Wording::LONGEST)));
        assert!(line(Wording::LONGEST + 1).is_err());
    }

    proptest! {
        #[test]
        fn parts_spell_the_text_again(text in "[a{}]{0,3}(\\{name\\}|\\{number\\}|x){0,5}\\PC{0,5}") {
            prop_assert_eq!(Wording::new(&text).for_person(NAME, NUMBER), text);
        }
    }
}
