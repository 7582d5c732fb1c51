//! Chances and how counts are spread, in whole parts.
//!
//! Owns the arithmetic: products are rounded down to a part, so an error of some parts in [`ONE`]
//! adds up over a convolution, far below any figure that is shown.

use std::fmt;

/// The whole, which is certain: 2^60 parts.
pub const ONE: u64 = 1 << 60;

/// A chance, from 0 to [`ONE`] parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Chance(u64);

impl Chance {
    /// Certain.
    pub const SURE: Self = Self(ONE);

    /// So many in so many; certain for more than all, and for some of none.
    pub fn of(part: u64, whole: u64) -> Self {
        let parts = (u128::from(part) * u128::from(ONE)).checked_div(u128::from(whole));
        Self(parts.map_or(ONE, |parts| u64::try_from(parts).unwrap_or(ONE).min(ONE)))
    }

    /// In hundredths of a percent, rounded to the nearest.
    pub fn per_myriad(self) -> u32 {
        let parts = (u128::from(self.0) * 10_000 + u128::from(ONE / 2)) / u128::from(ONE);
        u32::try_from(parts).unwrap_or(10_000)
    }

    /// Its parts.
    pub fn parts(self) -> u64 {
        self.0
    }
}

/// "97.5 %".
impl fmt::Display for Chance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = (self.per_myriad() + 5) / 10;
        write!(f, "{}.{} %", tenths / 10, tenths % 10)
    }
}

fn product(a: u64, b: u64) -> u64 {
    u64::try_from((u128::from(a) * u128::from(b)) >> 60).unwrap_or(ONE)
}

/// How a count is spread: the chance of 0, of 1, and so on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spread(Vec<u64>);

impl Spread {
    /// Always this count.
    pub fn always(count: usize) -> Self {
        let mut parts = vec![0; count + 1];
        parts[count] = ONE;
        Self(parts)
    }

    /// By weights for 0, 1 and so on; always none without a weight.
    ///
    /// ```
    /// use lettertally::event::chance::Spread;
    /// assert_eq!(Spread::by_weight(&[1, 2, 1]).at_most(1).to_string(), "75.0 %");
    /// ```
    pub fn by_weight(weights: &[u64]) -> Self {
        let whole: u128 = weights.iter().map(|&weight| u128::from(weight)).sum();
        if whole == 0 {
            return Self::always(0);
        }
        let part = |&weight: &u64| u64::try_from(u128::from(weight) * u128::from(ONE) / whole).unwrap_or(ONE);
        Self(weights.iter().map(part).collect())
    }

    /// Poisson's law with a mean of `numerator / denominator`, cut off where nothing counts.
    ///
    /// Each chance is the one before times mean over count, from the likeliest count outwards; the
    /// sum makes them whole, so no exponential is needed.
    pub fn poisson(numerator: u64, denominator: u64) -> Self {
        let (n, d) = (u128::from(numerator), u128::from(denominator.max(1)));
        let top = usize::try_from(n / d).unwrap_or(0);
        let mut up = vec![u128::from(ONE)];
        while let Some(&last) = up.last().filter(|&&last| last > 0) {
            let count = u128::try_from(top + up.len()).unwrap_or(1);
            up.push(last * n / (d * count));
        }
        let mut down = Vec::new();
        let mut last = u128::from(ONE);
        for count in (1..=top).rev() {
            last = last * d * u128::try_from(count).unwrap_or(1) / n.max(1);
            down.push(last);
        }
        let whole: u128 = up.iter().chain(&down).sum();
        let part = |weight: &u128| u64::try_from((*weight << 60) / whole.max(1)).unwrap_or(ONE);
        Self(down.iter().rev().chain(&up).map(part).collect())
    }

    /// How often something of this chance happens in so many trials.
    pub fn binomial(trials: usize, chance: Chance) -> Self {
        let once = Self(vec![ONE - chance.0, chance.0]);
        once.times(trials)
    }

    /// The sum of this count and an independent other one.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let mut sum = vec![0_u64; self.0.len() + other.0.len() - 1];
        for (at, &own) in self.0.iter().enumerate().filter(|(_, own)| **own > 0) {
            for (with, &their) in other.0.iter().enumerate() {
                sum[at + with] = sum[at + with].saturating_add(product(own, their));
            }
        }
        Self(sum).trimmed()
    }

    /// The sum of so many independent counts like this one.
    #[must_use]
    pub fn times(&self, count: usize) -> Self {
        let (mut result, mut square, mut left) = (Self::always(0), self.clone(), count);
        while left > 0 {
            if left % 2 == 1 {
                result = result.plus(&square);
            }
            left /= 2;
            if left > 0 {
                square = square.plus(&square);
            }
        }
        result
    }

    /// The sum of a number of independent counts like this one, where the number itself is spread.
    #[must_use]
    pub fn times_spread(&self, number: &Self) -> Self {
        let mut mixed: Vec<u64> = Vec::new();
        let first = number.0.iter().position(|&parts| parts > 0).unwrap_or(0);
        let mut sum = self.times(first);
        for (at, &parts) in number.0.iter().enumerate().skip(first) {
            mixed.resize(mixed.len().max(sum.0.len()), 0);
            for (slot, &own) in mixed.iter_mut().zip(&sum.0) {
                *slot = slot.saturating_add(product(parts, own));
            }
            if at + 1 < number.0.len() {
                sum = sum.plus(self);
            }
        }
        if mixed.is_empty() { Self::always(0) } else { Self(mixed).trimmed() }
    }

    /// The same count, so many times over.
    #[must_use]
    pub fn scaled(&self, by: usize) -> Self {
        let mut parts = vec![0; (self.0.len() - 1) * by + 1];
        for (at, &own) in self.0.iter().enumerate() {
            parts[at * by] += own;
        }
        Self(parts)
    }

    /// The chance of this count.
    pub fn exactly(&self, count: usize) -> Chance {
        Chance(self.0.get(count).copied().unwrap_or(0))
    }

    /// The chance of at most this count.
    pub fn at_most(&self, count: usize) -> Chance {
        let sum: u64 = self.0.iter().take(count.saturating_add(1)).sum();
        Chance(if count + 1 >= self.0.len() { ONE } else { sum.min(ONE) })
    }

    /// The least count that suffices with this chance or more.
    ///
    /// ```
    /// use lettertally::event::chance::{Chance, Spread};
    /// let fair = Spread::binomial(2, Chance::of(1, 2));
    /// assert_eq!([fair.enough(Chance::of(1, 4)), fair.enough(Chance::of(3, 4))], [0, 1]);
    /// ```
    pub fn enough(&self, chance: Chance) -> usize {
        // What was lost in rounding must not cost a whole piece.
        const SLACK: u64 = 1 << 20;
        let mut sum = 0_u64;
        for (count, &parts) in self.0.iter().enumerate() {
            sum = sum.saturating_add(parts);
            if sum.saturating_add(SLACK) >= chance.0 {
                return count;
            }
        }
        self.0.len() - 1
    }

    /// The most that can happen.
    pub fn most(&self) -> usize {
        self.0.len() - 1
    }

    /// The mean, in thousandths.
    pub fn mean_in_thousandths(&self) -> u64 {
        let sum: u128 = (0_u128..).zip(&self.0).map(|(count, &parts)| count * u128::from(parts)).sum();
        u64::try_from((sum * 1_000 + u128::from(ONE / 2)) / u128::from(ONE)).unwrap_or(u64::MAX)
    }

    fn trimmed(mut self) -> Self {
        while self.0.len() > 1 && self.0.last() == Some(&0) {
            self.0.pop();
        }
        self
    }
}

/// The stock at which one piece more would cost, left over, just what it saves when missing: the
/// least count that suffices with the chance `missing / (missing + left over)`.
///
/// ```
/// use lettertally::event::chance::{Spread, newsvendor};
/// // Snyder and Shen, Fundamentals of Supply Chain Theory: Poisson demand of mean 6, a piece left
/// // over costs 1, one missing 4.
/// assert_eq!(newsvendor(&Spread::poisson(6, 1), 4, 1), 8);
/// ```
pub fn newsvendor(asked: &Spread, missing: u64, left_over: u64) -> usize {
    asked.enough(Chance::of(missing, missing.saturating_add(left_over)))
}
