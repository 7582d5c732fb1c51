//! The queue for the press: who is promised what by when, and when it will be done.

use super::making::{makings, seconds_left};
use crate::book::Book;
use crate::book::fact::Field;
use crate::book::life::{Life, Stage};
use crate::lists::{Lists, Settings};
use crate::order::OrderId;

/// A minute of a day on the shop's clock: "2026-01-31 14:30". Sorts by time as text does.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Minute(String);

impl Minute {
    /// Reads a day and a time of day, or a time of day alone on the day given.
    ///
    /// ```
    /// use lettertally::booth::queue::Minute;
    /// let half_past = Minute::parse("14:30", "2026-01-31").unwrap();
    /// assert_eq!(half_past.as_str(), "2026-01-31 14:30");
    /// assert_eq!(half_past.after_seconds(90 * 60).as_str(), "2026-01-31 16:00");
    /// assert_eq!(Minute::parse("25:00", "2026-01-31"), None);
    /// ```
    pub fn parse(text: &str, today: &str) -> Option<Self> {
        let text = text.trim().replace('T', " ");
        let (day, time) = text.split_once(' ').unwrap_or((today, &text));
        let (hour, minute) = time.split_once(':')?;
        let number = |part: &str| (part.len() == 2).then(|| part.parse::<u8>().ok())?;
        let is_day = day.len() == 10 && day.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        let (hour, minute) = (number(hour)?, number(minute)?);
        (is_day && hour < 24 && minute < 60).then(|| Self(format!("{day} {hour:02}:{minute:02}")))
    }

    /// The text of it.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The time of day alone.
    pub fn time(&self) -> &str {
        self.0.get(11..).unwrap_or(&self.0)
    }

    /// The minute so many seconds later, rounded up; the last of the day where it would be tomorrow.
    #[must_use]
    pub fn after_seconds(&self, seconds: u64) -> Self {
        let number = |range| self.0.get(range).and_then(|part: &str| part.parse::<u64>().ok()).unwrap_or(0);
        let minute = number(11..13) * 60 + number(14..16) + seconds.div_ceil(60);
        let day = self.0.get(..10).unwrap_or_default();
        match minute {
            0..1_440 => Self(format!("{day} {:02}:{:02}", minute / 60, minute % 60)),
            _ => Self(format!("{day} 23:59")),
        }
    }
}

/// An order that waits for the press.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Queued {
    /// The order.
    pub order: OrderId,
    /// When it is promised; `None` for as it comes.
    pub promised: Option<Minute>,
    /// How many garments are left to press.
    pub garments: u32,
    /// How long the press takes for them.
    pub seconds: u64,
    /// When it will be done, if those before it are pressed first without a pause.
    pub done: Minute,
}

impl Queued {
    /// Whether it will be done later than promised.
    pub fn is_late(&self) -> bool {
        self.promised.as_ref().is_some_and(|promised| self.done > *promised)
    }
}

/// The orders that wait for the press: told a price or paid, and not all pressed. Those promised
/// first come first, then those without a time as they were begun.
pub fn queue(book: &Book, lists: &Lists, settings: &Settings, now: &Minute) -> Vec<Queued> {
    let today = now.as_str().get(..10).unwrap_or_default();
    let mut waiting = Vec::new();
    for entry in book.entries() {
        let life = Life::of(entry);
        if !matches!(life.stage(), Stage::Quoted | Stage::Paid) {
            continue;
        }
        let makings = makings(entry, lists, settings);
        let garments: u32 = makings.iter().map(|making| making.left()).sum();
        if garments > 0 {
            let promised = Minute::parse(life.note(Field::PickUp), today);
            waiting.push((promised.is_none(), promised, entry, garments, seconds_left(&makings)));
        }
    }
    waiting.sort_by(|a, b| (a.0, &a.1, a.2.begun).cmp(&(b.0, &b.1, b.2.begun)));
    let presses = u64::from(settings.presses.max(1));
    let mut until = 0_u64;
    let queued =
        |(_, promised, entry, garments, seconds): (_, _, &std::sync::Arc<crate::book::Entry>, _, u64)| {
            until = until.saturating_add(seconds);
            let done = now.after_seconds(until.div_ceil(presses));
            Queued { order: entry.order.id.clone(), promised, garments, seconds, done }
        };
    waiting.into_iter().map(queued).collect()
}
