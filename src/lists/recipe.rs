//! Recipes: how a finish is pressed, and in which degrees.
//!
//! Owns what agrees with what: whether two recipes can be pressed at once, and what letters stand
//! when they are pressed again. Never plans the work.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// How a finish is pressed. The supplier's own sheet always rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recipe {
    /// The platen's temperature; stored in degrees Fahrenheit.
    #[serde(rename = "fahrenheit")]
    pub heat: Heat,
    /// The shortest dwell in seconds.
    pub dwell_from: u16,
    /// The longest dwell in seconds; times are reckoned with this one.
    pub dwell_to: u16,
    /// The pressure in words.
    pub pressure: String,
    /// When the carrier comes off.
    pub peel: Peel,
    /// Whether a sheet goes between platen and letters.
    pub cover_sheet: bool,
    /// What it stands when the press closes on it again. Recipes stored before said nothing of it.
    #[serde(default, skip_serializing_if = "Again::is_usual")]
    pub again: Again,
}

impl Recipe {
    /// The recipe of a finish of which nothing but the name is known: common practice, no source.
    pub fn usual() -> Self {
        Self {
            heat: Heat::fahrenheit(305),
            dwell_from: 10,
            dwell_to: 15,
            pressure: "medium".to_owned(),
            peel: Peel::Warm,
            cover_sheet: true,
            again: Again::AsHot,
        }
    }

    /// The highest temperature at which the press may close on it again; `None` where it may not.
    pub fn stands(&self) -> Option<Heat> {
        match self.again {
            Again::AsHot => Some(self.heat),
            Again::UpTo(heat) => Some(heat),
            Again::Never => None,
        }
    }

    /// The dwell that both this and another recipe allow, from and to; `None` where they do not
    /// agree in heat, dwell, pressure, peel or cover sheet, so that both cannot be pressed at once.
    pub fn together(&self, other: &Self) -> Option<Self> {
        let word = |recipe: &Self| recipe.pressure.trim().to_lowercase();
        let alike = self.heat == other.heat
            && word(self) == word(other)
            && self.peel == other.peel
            && self.cover_sheet == other.cover_sheet;
        let (from, to) = (self.dwell_from.max(other.dwell_from), self.dwell_to.min(other.dwell_to));
        (alike && from <= to).then(|| Self { dwell_from: from, dwell_to: to, ..self.clone() })
    }
}

/// What letters stand when the press closes on them again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Again {
    /// Their own temperature.
    #[default]
    AsHot,
    /// This temperature.
    UpTo(Heat),
    /// They must not be pressed again.
    Never,
}

impl Again {
    fn is_usual(&self) -> bool {
        *self == Self::AsHot
    }
}

/// A temperature of a platen, kept in tenths of a degree Fahrenheit, in which every whole degree of
/// either scale is a whole number.
///
/// ```
/// use lettertally::lists::recipe::{Degrees, Heat};
/// let heat = Heat::fahrenheit(305);
/// assert_eq!((heat.show(Degrees::Fahrenheit), heat.show(Degrees::Celsius)), ("305 °F".into(), "152 °C".into()));
/// assert_eq!(Heat::new(160, Degrees::Celsius), Heat::fahrenheit(320));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Heat(u32);

/// What temperatures are shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Degrees {
    /// Degrees Fahrenheit.
    #[default]
    Fahrenheit,
    /// Degrees Celsius.
    Celsius,
}

impl Degrees {
    /// Both, in the order of a choice.
    pub const ALL: [Self; 2] = [Self::Fahrenheit, Self::Celsius];

    /// What stands beside a figure.
    pub fn mark(self) -> &'static str {
        match self {
            Self::Fahrenheit => "°F",
            Self::Celsius => "°C",
        }
    }
}

impl Heat {
    /// Whole degrees Fahrenheit.
    pub const fn fahrenheit(degrees: u16) -> Self {
        Self(degrees as u32 * 10)
    }

    /// Whole degrees of a scale: t °F = 9/5 t °C + 32 (NIST SP 811, Appendix B.8).
    pub const fn new(degrees: u16, scale: Degrees) -> Self {
        match scale {
            Degrees::Fahrenheit => Self::fahrenheit(degrees),
            Degrees::Celsius => Self(degrees as u32 * 18 + 320),
        }
    }

    /// The nearest whole degree of a scale, for a person.
    pub fn rounded(self, scale: Degrees) -> i32 {
        let tenths = self.0.cast_signed();
        match scale {
            Degrees::Fahrenheit => (tenths + 5).div_euclid(10),
            Degrees::Celsius => (2 * (tenths - 320) + 18).div_euclid(36),
        }
    }

    /// For a person: "305 °F".
    pub fn show(self, scale: Degrees) -> String {
        format!("{} {}", self.rounded(scale), scale.mark())
    }
}

/// A whole number of degrees Fahrenheit as one, as records always held it; else a text with a decimal.
impl Serialize for Heat {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match (self.0 / 10, self.0 % 10) {
            (whole, 0) => serializer.serialize_u32(whole),
            (whole, tenths) => serializer.serialize_str(&format!("{whole}.{tenths}")),
        }
    }
}

impl<'de> Deserialize<'de> for Heat {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Form {
            Whole(u16),
            Text(String),
        }
        let bad = || serde::de::Error::custom("expected degrees Fahrenheit such as 305 or \"303.8\"");
        let text = match Form::deserialize(deserializer).map_err(|_| bad())? {
            Form::Whole(degrees) => return Ok(Self::fahrenheit(degrees)),
            Form::Text(text) => text,
        };
        let (whole, tenths) = text.split_once('.').ok_or_else(bad)?;
        let digits = |text: &str, most: usize| {
            let plain = (1..=most).contains(&text.len()) && text.bytes().all(|c| c.is_ascii_digit());
            text.parse::<u32>().ok().filter(|_| plain)
        };
        match (digits(whole, 4), digits(tenths, 1)) {
            (Some(whole), Some(tenths)) if tenths > 0 => Ok(Self(whole * 10 + tenths)),
            _ => Err(bad()),
        }
    }
}

/// When the carrier is removed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Peel {
    /// At once.
    Hot,
    /// After a few seconds.
    Warm,
    /// When it has cooled.
    Cold,
    /// There is no carrier.
    None,
}

impl Peel {
    /// Every peel, in the order of a choice.
    pub const ALL: [Self; 4] = [Self::Hot, Self::Warm, Self::Cold, Self::None];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hot => "hot",
            Self::Warm => "warm",
            Self::Cold => "cold",
            Self::None => "no carrier",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn degrees_are_those_of_the_published_rule() {
        // NIST SP 811, Appendix B.8: t °C = (t °F - 32) / 1.8, recomputed exactly and rounded here.
        for (fahrenheit, celsius) in
            [(250, 121), (275, 135), (300, 149), (305, 152), (320, 160), (350, 177), (375, 191), (400, 204)]
        {
            assert_eq!(Heat::fahrenheit(fahrenheit).rounded(Degrees::Celsius), celsius, "{fahrenheit}");
        }
        for (celsius, fahrenheit) in [(110, 230), (150, 302), (155, 311), (160, 320), (165, 329), (200, 392)]
        {
            assert_eq!(Heat::new(celsius, Degrees::Celsius), Heat::fahrenheit(fahrenheit), "{celsius}");
        }
    }

    #[test]
    fn recipes_agree_only_in_everything() {
        let usual = Recipe::usual();
        assert_eq!(usual.together(&usual), Some(usual.clone()));
        let shorter = Recipe { dwell_from: 5, dwell_to: 12, pressure: " Medium".into(), ..usual.clone() };
        assert_eq!(usual.together(&shorter).map(|both| (both.dwell_from, both.dwell_to)), Some((10, 12)));
        for other in [
            Recipe { heat: Heat::fahrenheit(306), ..usual.clone() },
            Recipe { dwell_from: 16, dwell_to: 20, ..usual.clone() },
            Recipe { pressure: "firm".into(), ..usual.clone() },
            Recipe { peel: Peel::Cold, ..usual.clone() },
            Recipe { cover_sheet: false, ..usual.clone() },
        ] {
            assert_eq!(usual.together(&other), None, "{other:?}");
        }
    }

    #[test]
    fn recipes_stored_before_are_read() {
        let text = r#"{"fahrenheit":305,"dwell_from":10,"dwell_to":15,"pressure":"medium","peel":"hot","cover_sheet":false}"#;
        let recipe: Recipe = serde_json::from_str(text).unwrap();
        assert_eq!(recipe.stands(), Some(Heat::fahrenheit(305)));
        assert_eq!(serde_json::to_string(&recipe).unwrap(), text);
        for bad in ["70000", "\"+305.1\"", "-1", "\"305\"", "\"1.10\"", "\"x.1\"", "303.8"] {
            assert!(serde_json::from_str::<Heat>(bad).is_err(), "{bad}");
        }
    }

    proptest! {
        #[test]
        fn a_whole_degree_of_either_scale_is_kept_exactly(degrees in 0_u16..=600) {
            for scale in Degrees::ALL {
                let heat = Heat::new(degrees, scale);
                prop_assert_eq!(heat.rounded(scale), i32::from(degrees));
                let text = serde_json::to_string(&heat).unwrap();
                prop_assert_eq!(serde_json::from_str::<Heat>(&text).unwrap(), heat);
            }
        }
    }
}
