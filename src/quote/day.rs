//! Days of the calendar, counted: for "valid until".
//!
//! Owns the step between a date as year-month-day and a number of days. Never knows today.

use std::fmt;

/// A day of the Gregorian calendar, from the year 1 to 9999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(i64);

/// Days from the first day of the year 0, in March-based years, to 1970-01-01.
const EPOCH: i64 = 719_468;

impl Day {
    /// Reads "2026-01-31"; `None` for anything that is no such day.
    ///
    /// ```
    /// use lettertally::quote::day::Day;
    /// assert_eq!(Day::parse("2028-02-28").unwrap().plus(1).to_string(), "2028-02-29");
    /// assert_eq!(Day::parse("2026-02-29"), None);
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let is_digit = |at: usize, byte: u8| matches!(at, 4 | 7) || byte.is_ascii_digit();
        let marks = text.len() == 10 && text.as_bytes()[4] == b'-' && text.as_bytes()[7] == b'-';
        if !marks || !text.bytes().enumerate().all(|(at, byte)| is_digit(at, byte)) {
            return None;
        }
        let part = |range: std::ops::Range<usize>| text.get(range)?.parse::<i64>().ok();
        let (year, month, day) = (part(0..4)?, part(5..7)?, part(8..10)?);
        let found = Self::of(year, month, day);
        // A day that the month does not have comes out as another one.
        (year > 0 && found.to_string() == text).then_some(found)
    }

    /// So many days later.
    #[must_use]
    pub fn plus(self, days: u16) -> Self {
        Self(self.0 + i64::from(days))
    }

    /// Days since 1970-01-01, with years that begin in March so that leap days come last.
    fn of(year: i64, month: i64, day: i64) -> Self {
        let year = if month <= 2 { year - 1 } else { year };
        let month = (month + 9) % 12;
        let leap_days = year / 4 - year / 100 + year / 400;
        Self(year * 365 + leap_days + (153 * month + 2) / 5 + day - 1 - EPOCH)
    }

    fn year_month_day(self) -> (i64, i64, i64) {
        let days = self.0 + EPOCH;
        let era = days.div_euclid(146_097);
        let of_era = days.rem_euclid(146_097);
        let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let month = (5 * of_year + 2) / 153;
        let day = of_year - (153 * month + 2) / 5 + 1;
        let (year, month) = (year + era * 400, (month + 2) % 12 + 1);
        (if month <= 2 { year + 1 } else { year }, month, day)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.year_month_day();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_calendar_is_the_gregorian_one() {
        // 1970-01-01 is day 0 of POSIX time, 2000-03-01 day 11017 (from memory); leap years after
        // the calendar's rule: 2000 and 2024 have one, 1900 and 2100 have none.
        for (date, days) in [("1970-01-01", 0), ("2000-03-01", 11_017), ("1969-12-31", -1)] {
            assert_eq!(Day::parse(date), Some(Day(days)), "{date}");
        }
        for (date, exists) in
            [("2000-02-29", true), ("2024-02-29", true), ("1900-02-29", false), ("2100-02-29", false)]
        {
            assert_eq!(Day::parse(date).is_some(), exists, "{date}");
        }
        for text in [
            "",
            "2026-1-1",
            "2026-13-01",
            "2026-04-31",
            "0000-01-01",
            "20260101",
            "2026-01-01x",
            "+026-01-01",
            "é26-01-01",
        ] {
            assert_eq!(Day::parse(text), None, "{text}");
        }
    }

    #[test]
    fn every_day_of_four_centuries_follows_the_one_before() {
        let mut day = Day::parse("1999-12-31").unwrap();
        for _ in 0..146_097 {
            let next = day.plus(1);
            assert!(next.to_string() > day.to_string());
            assert_eq!(Day::parse(&next.to_string()), Some(next));
            day = next;
        }
        assert_eq!(day.to_string(), "2399-12-31");
    }
}
