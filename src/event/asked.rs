//! What customers will ask for, as a guess: how many garments, and what goes on each.

use super::chance::Spread;
use super::dice::Dice;
use crate::book::goods::Item;
use crate::glyph::{self, Sign};
use crate::lists::Lists;
use crate::order::{Design, Order, Part};
use crate::tally::pooled;
use std::collections::BTreeMap;

/// How many garments are expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Garments {
    /// This many people who come as they like: Poisson's law.
    About(u32),
    /// At least, most likely, at most: rising evenly to the likely and falling evenly after it.
    Between(u32, u32, u32),
}

impl Garments {
    /// The largest number that may be guessed.
    pub const MOST: u32 = 1_000;

    /// How their number is spread.
    ///
    /// ```
    /// use lettertally::event::{asked::Garments, chance::Chance};
    /// assert_eq!(Garments::Between(2, 4, 6).spread().enough(Chance::of(1, 2)), 4);
    /// ```
    pub fn spread(self) -> Spread {
        match self {
            Self::About(mean) => Spread::poisson(u64::from(mean.min(Self::MOST)), 1),
            Self::Between(low, likely, high) => {
                let likely = likely.min(Self::MOST);
                let (low, high) = (low.min(likely), high.clamp(likely, Self::MOST));
                let (up, down) = (u64::from(likely - low) + 1, u64::from(high - likely) + 1);
                let weight = |count: u32| match count {
                    count if count < low => 0,
                    count if count <= likely => (u64::from(count - low) + 1) * down,
                    count => (u64::from(high - count) + 1) * up,
                };
                Spread::by_weight(&(0..=high).map(weight).collect::<Vec<u64>>())
            }
        }
    }
}

/// What will be asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// How many garments.
    pub garments: Garments,
    /// What goes on each; its own roster and sizes do not count.
    pub design: Design,
    /// The names, each as often as it comes.
    pub names: Vec<String>,
    /// The numbers, each as often as it comes.
    pub numbers: Vec<String>,
    /// The sizes, each as often as it comes.
    pub sizes: Vec<String>,
}

/// The pieces of one garment, part by part: what is always there, and what comes with each name,
/// number and size. Pieces go by their place in a list.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Pieces {
    pub items: Vec<Item>,
    pub always: Vec<(usize, u32)>,
    pub names: Vec<Vec<(usize, u32)>>,
    pub numbers: Vec<Vec<(usize, u32)>>,
    pub sizes: Vec<Vec<(usize, u32)>>,
}

impl Pieces {
    /// Takes what is asked for apart; swaps of an order hold here too.
    pub fn of(asked: &Asked, order: &Order, lists: &Lists) -> Self {
        let mut pieces = Self::default();
        let mut places = BTreeMap::<Item, usize>::new();
        let (mut always, mut named, mut numbered) = (Vec::new(), false, false);
        for line in &asked.design.lines {
            for part in line.text.parts() {
                match part {
                    Part::Fixed(text) => always.push((line.family(), text.to_owned())),
                    Part::Name => named = true,
                    Part::Number => numbered = true,
                }
            }
        }
        let letters = |texts: &[(crate::lists::Family, String)],
                       places: &mut BTreeMap<Item, usize>,
                       items: &mut Vec<Item>| {
            let mut counts = BTreeMap::<usize, u32>::new();
            for (family, text) in texts {
                for sign in glyph::signs(text) {
                    let Sign::Glyph(glyph) = sign else { continue };
                    let Some(glyph) = order.pressed(glyph) else { continue };
                    let item = Item::Letter(family.clone(), pooled(glyph, family, lists));
                    let place = *places.entry(item.clone()).or_insert_with(|| {
                        items.push(item);
                        items.len() - 1
                    });
                    *counts.entry(place).or_default() += 1;
                }
            }
            counts.into_iter().collect::<Vec<_>>()
        };
        let with = |text: &str, wanted: Part<'_>| {
            let lines = asked.design.lines.iter();
            let families = lines.flat_map(|line| {
                let times = line.text.parts().into_iter().filter(|part| *part == wanted).count();
                std::iter::repeat_n(line.family(), times)
            });
            families.map(|family| (family, text.to_owned())).collect::<Vec<_>>()
        };
        pieces.always = letters(&always, &mut places, &mut pieces.items);
        if named {
            let texts = asked.names.iter().map(|name| with(name, Part::Name));
            pieces.names = texts.map(|texts| letters(&texts, &mut places, &mut pieces.items)).collect();
        }
        if numbered {
            let texts = asked.numbers.iter().map(|number| with(number, Part::Number));
            pieces.numbers = texts.map(|texts| letters(&texts, &mut places, &mut pieces.items)).collect();
        }
        for size in &asked.sizes {
            let item = Item::Blank(asked.design.blank.clone(), size.clone());
            let place = *places.entry(item.clone()).or_insert_with(|| {
                pieces.items.push(item);
                pieces.items.len() - 1
            });
            pieces.sizes.push(vec![(place, 1)]);
        }
        pieces
    }

    /// How often one garment takes a piece.
    pub fn on_one(&self, place: usize) -> Spread {
        let count = |pieces: &[(usize, u32)]| {
            pieces.iter().find(|(at, _)| *at == place).map_or(0, |(_, count)| *count)
        };
        let spread = |choices: &[Vec<(usize, u32)>]| {
            let mut weights = vec![0_u64];
            for choice in choices {
                let count = count(choice) as usize;
                weights.resize(weights.len().max(count + 1), 0);
                weights[count] += 1;
            }
            Spread::by_weight(&weights)
        };
        let always = Spread::always(count(&self.always) as usize);
        always.plus(&spread(&self.names)).plus(&spread(&self.numbers)).plus(&spread(&self.sizes))
    }

    /// Adds one garment's pieces, with a name, a number and a size that the dice choose.
    pub fn throw(&self, dice: &mut Dice, totals: &mut [u32]) {
        let mut add = |pieces: &[(usize, u32)]| {
            pieces.iter().for_each(|&(place, count)| totals[place] += count);
        };
        add(&self.always);
        for choices in [&self.names, &self.numbers, &self.sizes] {
            let end = u32::try_from(choices.len()).unwrap_or(u32::MAX);
            if let Some(choice) = choices.get(dice.below(end) as usize) {
                add(choice);
            }
        }
    }
}
