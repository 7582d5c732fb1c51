//! Where a quoted line goes and how it runs, as one text of a link.
//!
//! A straight line is its placement alone, as in every link before arcs were known: only a line
//! that is bent, set closer or of a width of the shop's own says more, so that nothing else grows by it.

use crate::length::Length;
use crate::lists::Caps;
use crate::order::{Bend, Curve, Placement};
use serde::de::DeserializeOwned;
use serde_json::Value;

/// A placement, and how a line runs there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) placement: Placement,
    pub(super) curve: Curve,
    pub(super) closest: Option<Caps>,
    pub(super) width: Option<u32>,
}

/// The widest line that is drawn, in thousandths of its letter height: a thousand letters long.
const WIDEST: u32 = 1_000_000;

const BENDS: [(char, Bend); 2] = [('u', Bend::Up), ('d', Bend::Down)];

impl Place {
    /// `across_chest`, `across_chest/iu1in` (up, by its rise), `across_chest/ad12in/0.05` (down, by
    /// its radius, no closer than that), `across_chest//0.05`, `across_chest///4512` (so many
    /// thousandths of its letter height wide).
    pub(super) fn write(self) -> String {
        let mut text = word(&self.placement);
        let (kind, bend, length) = match self.curve {
            Curve::Rise(bend, length) if !self.curve.is_straight() => ('i', bend, length),
            Curve::Radius(bend, length) if !self.curve.is_straight() => ('a', bend, length),
            _ if self.closest.is_none() && self.width.is_none() => return text,
            _ => (' ', Bend::Up, Length::ZERO),
        };
        text.push('/');
        if kind != ' ' {
            text.push(kind);
            text.extend(BENDS.iter().find(|(_, way)| *way == bend).map(|(sign, _)| *sign));
            text.push_str(&word(&length));
        }
        if self.closest.is_some() || self.width.is_some() {
            text.push('/');
            text.push_str(&self.closest.map_or_else(String::new, |closest| closest.to_string()));
        }
        if let Some(width) = self.width {
            text.push('/');
            text.push_str(&width.to_string());
        }
        text
    }

    /// Reads what [`Self::write`] writes.
    pub(super) fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('/');
        let placement = value(parts.next()?)?;
        let curve = match parts.next() {
            None | Some("") => Curve::Straight,
            Some(curve) => read_curve(curve)?,
        };
        let closest = match parts.next() {
            None | Some("") => None,
            Some(gap) => Some(Caps::parse(gap).ok()?),
        };
        let width = match parts.next() {
            None => None,
            Some(width) => Some(width.parse().ok().filter(|width| *width <= WIDEST)?),
        };
        parts.next().is_none().then_some(Self { placement, curve, closest, width })
    }
}

fn read_curve(text: &str) -> Option<Curve> {
    let mut signs = text.chars();
    let (kind, sign) = (signs.next()?, signs.next()?);
    let bend = BENDS.iter().find(|(known, _)| *known == sign)?.1;
    let length: Length = value(signs.as_str())?;
    match kind {
        'i' => Some(Curve::Rise(bend, length)),
        'a' => Some(Curve::Radius(bend, length)),
        _ => None,
    }
}

/// A value as the text that records hold for it.
fn word(value: &impl serde::Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(Value::String(text)) => text,
        // Placements and lengths are kept as texts.
        _ => String::new(),
    }
}

fn value<T: DeserializeOwned>(text: &str) -> Option<T> {
    serde_json::from_value(Value::String(text.to_owned())).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_straight_line_is_its_placement_alone() {
        let place =
            Place { placement: Placement::AcrossChest, curve: Curve::Straight, closest: None, width: None };
        assert_eq!(place.write(), "across_chest");
        for bad in [
            "",
            "across_chest/",
            "across_chest/iu",
            "across_chest/xu1in",
            "across_chest/iu1in/a/",
            "across_chest/i",
            "across_chest//",
            "across_chest///",
            "across_chest///+5",
            "across_chest///1000001",
        ] {
            assert!(Place::read(bad).is_none_or(|read| read.write() != bad), "{bad}");
        }
    }

    proptest! {
        #[test]
        fn every_place_reads_back(
            placement in prop::sample::select(Placement::ALL.to_vec()),
            kind in 0_u8..3, up in any::<bool>(), mm in 1_i32..5_000, closest in prop::option::of(0_i32..900),
            width in prop::option::of(0_u32..40_000),
        ) {
            let bend = if up { Bend::Up } else { Bend::Down };
            let curve = match kind {
                0 => Curve::Straight,
                1 => Curve::Rise(bend, Length::mm(mm)),
                _ => Curve::Radius(bend, Length::mils(mm)),
            };
            let place = Place { placement, curve, closest: closest.map(Caps::thousandths), width };
            prop_assert_eq!(Place::read(&place.write()), Some(place));
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC{0,20}|across_chest/[iaud0-9./mn]{0,12}") {
            let _ = Place::read(&text);
        }
    }
}
