//! Angles and their sine and cosine in whole numbers, so that every device draws the same arc.

use crate::length::Length;

/// An angle in thousand-millionths of a radian, clockwise where it turns a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Angle(i64);

const PER_RADIAN: i64 = 1_000_000_000;
/// Pi to eighteen decimals (its digits from memory; checked against `core` in the tests).
const PI: i128 = 3_141_592_653_589_793_238;
const FINE: i128 = 1_000_000_000_000_000_000;

impl Angle {
    /// No turn.
    pub const ZERO: Self = Self(0);
    /// A quarter of a turn.
    pub const QUARTER: Self = Self(1_570_796_327);
    /// Half a turn.
    pub const HALF: Self = Self(3_141_592_654);

    /// The angle of an arc of this length on a circle; none without a radius.
    pub fn of_arc(arc: Length, radius: Length) -> Self {
        if radius <= Length::ZERO {
            return Self::ZERO;
        }
        let value = i128::from(arc.units()) * i128::from(PER_RADIAN) / i128::from(radius.units());
        Self(value.clamp(-(1 << 60), 1 << 60) as i64)
    }

    /// The radius of a circle on which an arc of this length takes the angle.
    pub fn radius_of(self, arc: Length) -> Length {
        arc.part(PER_RADIAN, self.0)
    }

    /// Half of it.
    pub fn half(self) -> Self {
        Self(self.0 / 2)
    }

    /// The other way round.
    pub fn back(self) -> Self {
        Self(-self.0)
    }

    /// Between two angles.
    pub fn midpoint(self, other: Self) -> Self {
        Self((self.0 + other.0) / 2)
    }

    /// A length times the sine and times the cosine.
    pub fn project(self, length: Length) -> (Length, Length) {
        let (sine, cosine) = self.sine_cosine();
        (length.part(sine, PER_RADIAN), length.part(cosine, PER_RADIAN))
    }

    /// Sine and cosine, in thousand-millionths.
    fn sine_cosine(self) -> (i64, i64) {
        let around = 2 * PI;
        let turned = (i128::from(self.0) * (FINE / i128::from(PER_RADIAN)) + PI).rem_euclid(around) - PI;
        let square = turned * turned / FINE;
        // The power series, of which the terms vanish well before the thirtieth for half a turn.
        let (mut sine, mut cosine, mut term) = (0, 0, FINE);
        for step in 0..30 {
            cosine += term;
            let odd = term * turned / FINE / (2 * step + 1);
            sine += odd;
            term = -term * square / FINE / ((2 * step + 1) * (2 * step + 2));
        }
        let rounded = |value: i128| {
            ((2 * value + FINE / i128::from(PER_RADIAN)).div_euclid(2 * FINE / i128::from(PER_RADIAN))) as i64
        };
        (rounded(sine), rounded(cosine))
    }

    /// In degrees with four decimals, for a drawing.
    pub fn to_drawing(self) -> String {
        let parts = i128::from(self.0) * 180 * 10_000 * (FINE / i128::from(PER_RADIAN)) / PI;
        rust_decimal::Decimal::new(parts.clamp(-(1 << 60), 1 << 60) as i64, 4).normalize().to_string()
    }
}

#[cfg(test)]
#[allow(clippy::float_arithmetic)] // held against the standard library
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn sine_and_cosine_are_those_of_the_standard_library(value in -20_000_000_000_i64..20_000_000_000) {
            let (sine, cosine) = Angle(value).sine_cosine();
            let radians = value as f64 / 1e9;
            prop_assert!((sine as f64 / 1e9 - radians.sin()).abs() < 3e-9, "{sine} {}", radians.sin());
            prop_assert!((cosine as f64 / 1e9 - radians.cos()).abs() < 3e-9);
        }
    }

    #[test]
    fn degrees_are_written_for_a_drawing() {
        assert_eq!(Angle::QUARTER.to_drawing(), "90");
        assert_eq!(Angle::of_arc(Length::inches(1), Length::inches(-1)).to_drawing(), "0");
        assert_eq!(Angle::of_arc(Length::mm(-10), Length::mm(10)).to_drawing(), "-57.2957");
        assert_eq!(Angle::HALF.radius_of(Length::mm(100)).to_mm_text(), "31.8");
    }
}
