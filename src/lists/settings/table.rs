//! The table of settings: each one's name, unit, range, explanation, and how it is typed.
//!
//! Owns what may stand in a setting. A field, a stored record and an imported one are held to the
//! same ranges and get the same complaint. The currency is not in the table: to change that is to
//! change the price lists too (see [`crate::lists::recoin`]).

use super::Settings;
use super::rows::SETTINGS;
use crate::length::Length;
use crate::money::{LARGEST_AMOUNT, Money, Percent};
use crate::number::{self, NumberError};
use rust_decimal::Decimal;
use std::fmt;

/// One setting.
pub struct Setting {
    /// What it belongs to.
    pub group: Group,
    /// What it is called.
    pub name: &'static str,
    /// One line on what it does.
    pub why: &'static str,
    /// What may stand in it.
    pub kind: Kind,
}

/// What a setting belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// Who the shop is, and how its figures are written.
    Shop,
    /// Work, consumables and losses.
    Work,
    /// The press.
    Press,
    /// The price.
    Selling,
    /// What a quote says beside the price.
    Quote,
}

/// Where a value has its place in the settings.
pub type Place<T> = fn(&mut Settings) -> &mut T;

/// What may stand in a setting, and where it stands.
pub enum Kind {
    /// A text.
    Text(Place<String>),
    /// An amount in the shop's currency; for an hour where the flag says so.
    Money(PerHour, Place<Money>),
    /// A percentage; `None` while another setting makes it idle.
    Percent(Range, fn(&mut Settings) -> Option<&mut Percent>),
    /// A whole number of something.
    Whole(&'static str, Range, Place<u16>),
    /// A length, its range in thousandths of an inch.
    Measure(Range, Place<Length>),
    /// One of some words, by position; `None` where none of them holds.
    Choice(&'static [&'static str], fn(&Settings) -> Option<usize>, fn(&mut Settings, usize)),
    /// A yes or a no.
    Tick(Place<bool>),
}

/// Whether an amount is for an hour.
pub type PerHour = bool;

/// The least and the most that may stand in a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range(pub u16, pub u32);

/// The longest text that a setting holds, in characters.
const LONGEST_TEXT: usize = 500;

/// Holds stored or imported settings to the table.
///
/// # Errors
/// The first setting that is outside its range.
pub fn check(settings: &Settings) -> Result<(), SettingError> {
    SETTINGS
        .iter()
        .filter(|setting| setting.applies(settings))
        .try_for_each(|setting| setting.check(settings))
}

impl Setting {
    /// Whether it counts, as the other settings are.
    pub fn applies(&self, settings: &Settings) -> bool {
        match self.kind {
            Kind::Percent(_, at) => at(&mut settings.clone()).is_some(),
            _ => true,
        }
    }

    /// The value as a field or a file holds it, which reads back.
    pub fn write(&self, settings: &Settings) -> String {
        let all = &mut settings.clone();
        match self.kind {
            Kind::Text(at) => at(all).clone(),
            Kind::Money(_, at) => at(all).amount().normalize().to_string(),
            Kind::Percent(_, at) => {
                at(all).map_or(String::new(), |part| part.value().normalize().to_string())
            }
            Kind::Whole(_, _, at) => at(all).to_string(),
            Kind::Measure(_, at) => settings.units.write(*at(all)),
            Kind::Choice(words, get, _) => {
                get(settings).and_then(|at| words.get(at)).map_or(String::new(), |word| (*word).to_owned())
            }
            Kind::Tick(at) => if *at(all) { "yes" } else { "no" }.to_owned(),
        }
    }

    /// Takes a value as a person types it.
    ///
    /// # Errors
    /// Names the setting, what is wrong with the text, and the range; then the settings are as they
    /// were.
    pub fn read(&self, settings: &mut Settings, text: &str) -> Result<(), SettingError> {
        let mut changed = settings.clone();
        self.put(&mut changed, text).map_err(|fault| self.error(fault, settings))?;
        self.check(&changed)?;
        *settings = changed;
        Ok(())
    }

    fn put(&self, settings: &mut Settings, text: &str) -> Result<(), Fault> {
        match self.kind {
            Kind::Text(at) => text.clone_into(at(settings)),
            Kind::Money(_, at) => *at(settings) = Money::parse(text)?,
            Kind::Percent(_, at) => {
                let percent = Percent::parse(text)?;
                if let Some(place) = at(settings) {
                    *place = percent;
                }
            }
            Kind::Whole(_, Range(least, most), at) => {
                let value = number::whole(text, u32::from(least), most)?;
                *at(settings) = u16::try_from(value).map_err(|_| Fault::Above)?;
            }
            Kind::Measure(_, at) => *at(settings) = settings.units.read(text)?,
            Kind::Choice(words, _, set) => {
                let same = |word: &&str| word.eq_ignore_ascii_case(text.trim());
                set(settings, words.iter().position(same).ok_or(Fault::NoSuchChoice)?);
            }
            Kind::Tick(at) => {
                *at(settings) = match text.trim().to_ascii_lowercase().as_str() {
                    "yes" => true,
                    "no" => false,
                    _ => return Err(Fault::NoSuchChoice),
                }
            }
        }
        Ok(())
    }

    /// Whether the value is within its range.
    fn check(&self, settings: &Settings) -> Result<(), SettingError> {
        let all = &mut settings.clone();
        let fault = match self.kind {
            Kind::Text(at) => (at(all).chars().count() > LONGEST_TEXT).then_some(Fault::TooLong),
            Kind::Money(_, at) => outside(at(all).amount(), Decimal::ZERO, LARGEST_AMOUNT.into()),
            Kind::Percent(Range(least, most), at) => {
                at(all).and_then(|percent| outside(percent.value(), least.into(), most.into()))
            }
            Kind::Whole(_, Range(least, most), at) => outside(u32::from(*at(all)), least.into(), most),
            Kind::Measure(range, at) => {
                let (least, most) = range.lengths();
                outside(*at(all), least, most)
            }
            Kind::Choice(_, get, _) => get(settings).is_none().then_some(Fault::NoSuchChoice),
            Kind::Tick(_) => None,
        };
        fault.map_or(Ok(()), |fault| Err(self.error(fault, settings)))
    }

    /// What stands beside the field.
    pub fn unit(&self, settings: &Settings) -> String {
        let currency = || settings.currency.code();
        match self.kind {
            Kind::Money(true, _) => format!("{}/h", currency()),
            Kind::Money(false, _) => currency().to_owned(),
            Kind::Percent(..) => "%".to_owned(),
            Kind::Whole(word, ..) => word.to_owned(),
            Kind::Measure(..) => settings.units.mark().to_owned(),
            Kind::Text(_) | Kind::Choice(..) | Kind::Tick(_) => String::new(),
        }
    }

    /// The least and the most that may stand in it, as a person types them.
    fn ends(&self, settings: &Settings) -> (String, String) {
        match self.kind {
            Kind::Percent(Range(least, most), _) | Kind::Whole(_, Range(least, most), _) => {
                (least.to_string(), most.to_string())
            }
            Kind::Measure(range, _) => {
                let (least, most) = range.lengths();
                (settings.units.write(least), settings.units.write(most))
            }
            _ => ("0".to_owned(), LARGEST_AMOUNT.to_string()),
        }
    }

    /// What may stand in it, in words: "0 to 100 %".
    pub fn range(&self, settings: &Settings) -> String {
        match self.kind {
            Kind::Text(_) => format!("up to {LONGEST_TEXT} characters"),
            Kind::Choice(words, ..) => words.join(", "),
            Kind::Tick(_) => "yes, no".to_owned(),
            _ => {
                let (least, most) = self.ends(settings);
                format!("{least} to {most} {}", self.unit(settings))
            }
        }
    }

    fn error(&self, fault: Fault, settings: &Settings) -> SettingError {
        let range = self.range(settings);
        let (least, most) = self.ends(settings);
        let advice = match fault {
            Fault::Above | Fault::Unreadable(NumberError::TooLarge { .. }) => {
                format!("type {most} or less ({range})")
            }
            Fault::Below | Fault::Unreadable(NumberError::TooSmall { .. } | NumberError::Zero) => {
                format!("type {least} or more ({range})")
            }
            Fault::Unreadable(error) => format!("{error} ({range})"),
            Fault::TooLong => format!("too long: {range}"),
            Fault::NoSuchChoice => format!("choose one of: {range}"),
        };
        SettingError { name: self.name, advice }
    }
}

impl fmt::Debug for Setting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}

impl Range {
    fn lengths(self) -> (Length, Length) {
        let mils = |mils: u32| Length::mils(i32::try_from(mils).unwrap_or(i32::MAX));
        (mils(u32::from(self.0)), mils(self.1))
    }
}

fn outside<T: PartialOrd>(value: T, least: T, most: T) -> Option<Fault> {
    match value {
        low if low < least => Some(Fault::Below),
        high if high > most => Some(Fault::Above),
        _ => None,
    }
}

enum Fault {
    Unreadable(NumberError),
    Below,
    Above,
    TooLong,
    NoSuchChoice,
}

impl From<NumberError> for Fault {
    fn from(error: NumberError) -> Self {
        Self::Unreadable(error)
    }
}

/// What is wrong with the value of a setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingError {
    /// The setting's name.
    pub name: &'static str,
    /// What to do, with the range: for a place where the name stands already.
    pub advice: String,
}

impl fmt::Display for SettingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.name, self.advice)
    }
}

impl std::error::Error for SettingError {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Units;
    use crate::lists::settings::Aim;
    use proptest::prelude::*;

    fn named(name: &str) -> &'static Setting {
        SETTINGS.iter().find(|setting| setting.name == name).unwrap()
    }

    fn complaint(name: &str, text: &str) -> String {
        let mut settings = Settings::default();
        let error = named(name).read(&mut settings, text).unwrap_err().to_string();
        assert_eq!(settings, Settings::default(), "{name} {text}");
        error
    }

    #[test]
    fn every_setting_has_its_own_name_an_explanation_and_a_default_within_its_range() {
        assert_eq!(check(&Settings::default()), Ok(()));
        assert_eq!(check(&crate::lists::demo::settings()), Ok(()));
        for setting in &SETTINGS {
            assert!(setting.why.ends_with('.'), "{}", setting.name);
            let same = SETTINGS.iter().filter(|other| other.name == setting.name).count();
            assert_eq!(same, 1, "{}", setting.name);
        }
    }

    #[test]
    fn a_complaint_names_the_setting_what_to_do_and_the_range() {
        for (name, text, error) in [
            ("Wage", "10000001", "Wage: type 10000000 or less (0 to 10000000 USD/h)"),
            ("Wage", "-1", "Wage: type a number that is not below 0 (0 to 10000000 USD/h)"),
            ("Wage", "abc", "Wage: “abc” is not a number (0 to 10000000 USD/h)"),
            ("Tax", "101", "Tax: type 100 or less (0 to 100 %)"),
            ("Tax", "9999", "Tax: type 100 or less (0 to 100 %)"),
            ("People", "0", "People: type 1 or more (1 to 20 people)"),
            ("People", "70000", "People: type 20 or less (1 to 20 people)"),
            ("Platen width", "1 1/2", "Platen width: type 2 or more (2 to 100 in)"),
            ("Platen width", "3 m", "Platen width: “3 m” is not a number (2 to 100 in)"),
            ("Measures in", "ells", "Measures in: choose one of: inches, millimetres"),
        ] {
            assert_eq!(complaint(name, text), error);
        }
        let mut metric = Settings { units: Units::Millimetres, ..Settings::default() };
        let error = named("Platen width").read(&mut metric, "50").unwrap_err();
        assert_eq!(error.advice, "type 50.8 or more (50.8 to 2540 mm)");
        assert!(complaint("Name", &"x".repeat(501)).starts_with("Name: too long"));
    }

    #[test]
    fn measures_are_typed_and_shown_in_the_shops_unit_and_stay_what_they_are() {
        let mut settings = Settings::default();
        let platen = settings.platen;
        named("Measures in").read(&mut settings, "millimetres").unwrap();
        assert_eq!(settings.platen, platen);
        // 20 x 16 in at 25.4 mm to the inch exactly.
        assert_eq!(named("Platen width").write(&settings), "508");
        assert_eq!(named("Platen depth").write(&settings), "406.4");
        named("Platen depth").read(&mut settings, "40 cm").unwrap();
        named("Measures in").read(&mut settings, "inches").unwrap();
        assert_eq!(named("Platen depth").write(&settings), "400 mm");
        assert_eq!(settings.platen.depth, Length::mm(400));
    }

    #[test]
    fn another_kind_of_aim_comes_to_about_the_same_price() {
        let mut settings = Settings::default();
        let kind = named("Price aims at");
        kind.read(&mut settings, "a mark-up").unwrap();
        // A margin of 40 % leaves 60 % for the cost: a mark-up of 40/60.
        assert_eq!(named("Usual mark-up").write(&settings), "66.667");
        assert!(!named("Usual margin").applies(&settings));
        kind.read(&mut settings, "a margin").unwrap();
        assert_eq!(settings.aim, Aim::Margin(Percent::of(40)));
        settings.aim = Aim::Margin(Percent::of(100));
        kind.read(&mut settings, "a mark-up").unwrap();
        assert_eq!(check(&settings), Ok(()));
        settings.aim = Aim::Price(Money::of(20));
        assert_eq!(check(&settings).unwrap_err().name, "Price aims at");
    }

    #[test]
    fn stored_settings_outside_their_range_are_refused_by_name() {
        let good = serde_json::to_string(&Settings::default()).unwrap();
        for (from, to, name) in [
            ("\"people\":1", "\"people\":21", "People: type 20 or less (1 to 20 people)"),
            ("\"people\":1", "\"people\":0", "People: type 1 or more"),
            ("\"tax\":\"0\"", "\"tax\":\"100.5\"", "Tax: type 100 or less"),
            ("\"margin\":\"0.25in\"", "\"margin\":\"30in\"", "Safe margin: type 1.5 or less"),
            ("\"width\":\"20in\"", "\"width\":\"1in\"", "Platen width: type 2 or more"),
            ("\"place_letter\":6", "\"place_letter\":3601", "Placing: type 3600 or less"),
        ] {
            let bad = good.replace(from, to);
            assert_ne!(bad, good, "{from}");
            let error = serde_json::from_str::<Settings>(&bad).unwrap_err().to_string();
            assert!(error.starts_with(name), "{error}");
        }
    }

    #[test]
    fn settings_stored_before_a_field_was_there_still_read() {
        let mut stored: serde_json::Value = serde_json::to_value(Settings::default()).unwrap();
        let fields = stored.as_object_mut().unwrap();
        for field in [
            "units",
            "presses",
            "people",
            "backup_after",
            "valid_days",
            "deposit",
            "lead_time",
            "terms",
            "other_quantities",
        ] {
            assert!(fields.remove(field).is_some(), "{field}");
        }
        assert_eq!(serde_json::from_value::<Settings>(stored).unwrap(), Settings::default());
    }

    fn any_setting() -> impl Strategy<Value = &'static Setting> {
        (0..SETTINGS.len()).prop_map(|at| &SETTINGS[at])
    }

    proptest! {
        #[test]
        fn what_is_taken_is_in_range_and_reads_back_as_written(
            texts in prop::collection::vec((any_setting(), "-?[0-9]{1,9}([.,][0-9]{1,4})?|[0-9]{1,3} ?(mm|cm|in)|[a-z -]{0,12}"), 0..40),
            metric in any::<bool>(),
        ) {
            let units = if metric { Units::Millimetres } else { Units::Inches };
            let mut settings = Settings { units, ..Settings::default() };
            for (setting, text) in texts {
                let before = settings.clone();
                if setting.read(&mut settings, &text).is_err() {
                    prop_assert_eq!(&settings, &before);
                }
                prop_assert_eq!(check(&settings), Ok(()));
            }
            for setting in SETTINGS.iter().filter(|setting| setting.applies(&settings)) {
                let mut again = settings.clone();
                prop_assert_eq!(setting.read(&mut again, &setting.write(&settings)), Ok(()));
                prop_assert_eq!(&again, &settings, "{}", setting.name);
            }
            let stored = serde_json::to_string(&settings).unwrap();
            prop_assert_eq!(serde_json::from_str::<Settings>(&stored).unwrap(), settings);
        }

        #[test]
        fn each_end_of_a_range_gets_in_and_nothing_beyond(setting in any_setting(), beyond in 1_u64..1_000) {
            let mut settings = Settings { aim: Aim::Margin(Percent::of(1)), ..Settings::default() };
            let (least, most) = setting.ends(&settings);
            let is_figure = matches!(setting.kind, Kind::Money(..) | Kind::Percent(..) | Kind::Whole(..));
            if is_figure && setting.applies(&settings) {
                prop_assert_eq!(setting.read(&mut settings, &least), Ok(()));
                prop_assert_eq!(setting.read(&mut settings, &most), Ok(()));
                let more = most.parse::<u64>().unwrap() + beyond;
                prop_assert!(setting.read(&mut settings, &more.to_string()).is_err());
                prop_assert_eq!(setting.write(&settings), most);
            }
        }
    }
}
