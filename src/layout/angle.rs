//! Angles and their sine and cosine in whole numbers, so that every device draws the same arc.

use crate::length::Length;

/// An angle in thousand-millionths of a radian, clockwise where it turns a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Angle(i64);

const PER_RADIAN: i64 = 1_000_000_000;
/// Sines, cosines and radians are reckoned in these parts: a product is a shift, not a division.
const FINE_BITS: u32 = 60;
const FINE: i64 = 1 << FINE_BITS;
/// Pi in fine parts: 3.141592653589793238 (its digits from memory; checked against the standard
/// library in the tests) times 2^60, rounded.
const PI: i64 = 3_622_009_729_038_561_421;

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

    /// The angle of half an arc of which half has this length and the middle stands so much above
    /// the ends; `None` where half a circle does not rise as much.
    ///
    /// The rise r of half an arc h is h (1 - cos a) / a; a is found by Newton's method, from 2 r / h,
    /// which the angle is never below.
    pub fn of_rise(rise: Length, half_arc: Length) -> Option<Self> {
        if half_arc <= Length::ZERO || Self::QUARTER.radius_of(half_arc) < rise {
            return None;
        }
        let share = (i128::from(rise.units()) << FINE_BITS) / i128::from(half_arc.units());
        let share = i64::try_from(share).ok()?;
        let mut angle = 2 * share;
        for _ in 0..8 {
            let (sine, cosine) = fine_sine_cosine(angle / 2);
            let (off, slope) =
                (2 * product(sine, sine) - product(share, angle), 2 * product(sine, cosine) - share);
            let step = (i128::from(off) << FINE_BITS).checked_div(i128::from(slope))?;
            angle = angle.saturating_sub(i64::try_from(step).ok()?);
            if step == 0 {
                break;
            }
        }
        Some(Self(from_fine(angle).max(1)))
    }

    /// The radius of a circle on which an arc of this length takes the angle.
    pub fn radius_of(self, arc: Length) -> Length {
        arc.part(PER_RADIAN, self.0)
    }

    /// The other way round.
    pub fn back(self) -> Self {
        Self(-self.0)
    }

    /// The way it points.
    pub fn direction(self) -> Direction {
        if self == Self::ZERO {
            return Direction { sine: 0, cosine: PER_RADIAN };
        }
        let fine = (i128::from(self.0) << FINE_BITS) / i128::from(PER_RADIAN);
        let (pi, around) = (i128::from(PI), 2 * i128::from(PI));
        let within = if fine.abs() <= pi { fine } else { (fine + pi).rem_euclid(around) - pi };
        let (sine, cosine) = fine_sine_cosine(within as i64);
        Direction { sine: from_fine(sine), cosine: from_fine(cosine) }
    }

    /// In degrees with four decimals, for a drawing.
    pub fn to_drawing(self) -> String {
        let fine = (i128::from(self.0) << FINE_BITS) / i128::from(PER_RADIAN);
        let parts = fine * 180 * 10_000 / i128::from(PI);
        rust_decimal::Decimal::new(parts.clamp(-(1 << 60), 1 << 60) as i64, 4).normalize().to_string()
    }
}

/// The way an angle points: its sine and cosine, in thousand-millionths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Direction {
    sine: i64,
    cosine: i64,
}

impl Direction {
    /// A length times the sine and times the cosine.
    pub fn project(self, length: Length) -> (Length, Length) {
        (length.part(self.sine, PER_RADIAN), length.part(self.cosine, PER_RADIAN))
    }

    /// The direction of the angle the other way round.
    pub fn back(self) -> Self {
        Self { sine: -self.sine, ..self }
    }
}

/// Of two numbers in fine parts.
fn product(a: i64, b: i64) -> i64 {
    ((i128::from(a) * i128::from(b)) >> FINE_BITS) as i64
}

/// From fine parts to thousand-millionths, rounded.
fn from_fine(value: i64) -> i64 {
    let half = i128::from(FINE / 2);
    ((i128::from(value) * i128::from(PER_RADIAN) + half) >> FINE_BITS) as i64
}

/// Sine and cosine of up to half a turn either way, by their power series. Beyond a quarter it is
/// the other angle's with the same sine, so that the terms stay small.
fn fine_sine_cosine(angle: i64) -> (i64, i64) {
    let (near, sign) = match angle {
        over if over > PI / 2 => (PI - over, -1),
        under if under < -PI / 2 => (-PI - under, -1),
        near => (near, 1),
    };
    let square = product(near, near);
    let series = |first: i64, from: i64| {
        let (mut sum, mut term, mut at) = (0, first, from);
        while term != 0 {
            sum += term;
            term = -product(term, square) / ((at + 1) * (at + 2));
            at += 2;
        }
        sum
    };
    (series(near, 1), sign * series(FINE, 0))
}

#[cfg(test)]
#[allow(clippy::float_arithmetic)] // held against the standard library
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn sine_and_cosine_are_those_of_the_standard_library(value in -20_000_000_000_i64..20_000_000_000) {
            let Direction { sine, cosine } = Angle(value).direction();
            let radians = value as f64 / 1e9;
            prop_assert!((sine as f64 / 1e9 - radians.sin()).abs() < 3e-9, "{sine} {}", radians.sin());
            prop_assert!((cosine as f64 / 1e9 - radians.cos()).abs() < 3e-9);
        }

        #[test]
        fn an_arc_rises_as_much_as_was_asked(rise in 1_i32..2_000, half in 1_i32..3_000) {
            let (rise, half) = (Length::mm(rise), Length::mm(half));
            match Angle::of_rise(rise, half) {
                Some(angle) => {
                    let a = angle.0 as f64 / 1e9;
                    let risen = half.units() as f64 * (1.0 - a.cos()) / a;
                    // A thousand-millionth of a radian either way.
                    let within = 2.0 + half.units() as f64 * 2e-9;
                    prop_assert!((risen - rise.units() as f64).abs() < within, "{risen} for {rise}");
                }
                // Half a circle of this half length rises by its radius, 2 half / pi.
                None => prop_assert!(rise.units() as f64 > half.units() as f64 * std::f64::consts::FRAC_2_PI - 2.0),
            }
        }
    }

    #[test]
    fn half_a_circle_is_the_most_that_an_arc_can_rise() {
        let half = Length::inches(10);
        let most = Angle::QUARTER.radius_of(half);
        assert!(Angle::of_rise(most, half).is_some());
        assert_eq!(Angle::of_rise(most + Length::of_units(1), half), None);
    }

    #[test]
    fn nothing_points_straight_on() {
        assert_eq!((from_fine(0), from_fine(FINE), from_fine(-FINE)), (0, PER_RADIAN, -PER_RADIAN));
    }

    #[test]
    fn fine_parts_are_rounded_to_the_nearest_thousand_millionth() {
        let tenths = |tenths: i64| from_fine(FINE / PER_RADIAN * tenths / 10);
        assert_eq!((tenths(4), tenths(6), tenths(-4), tenths(-6)), (0, 1, 0, -1));
    }

    #[test]
    fn degrees_are_written_for_a_drawing() {
        assert_eq!(Angle::QUARTER.to_drawing(), "90");
        assert_eq!(Angle::of_arc(Length::inches(1), Length::inches(-1)).to_drawing(), "0");
        assert_eq!(Angle::of_arc(Length::mm(-10), Length::mm(10)).to_drawing(), "-57.2957");
        assert_eq!(Angle::HALF.radius_of(Length::mm(100)).to_mm_text(), "31.8");
    }
}
