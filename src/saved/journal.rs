//! Writes to several keys, all of them or none.
//!
//! Owns the journal: one text that holds a change of several keys. From the moment it is put down
//! the change counts, whether or not the keys themselves have been reached; whoever comes next
//! finishes it. Knows nothing of what the texts mean.

use super::keys::{Keys, NoRoom, characters};
use super::record::{self, JOURNAL, PREFIX, RecordError};
use super::steps::{self, Texts};
use crate::book::Moment;
use std::collections::{BTreeMap, BTreeSet};

/// Texts to be put under keys; `None` takes a key out.
pub(super) type Writes = BTreeMap<String, Option<String>>;

/// The keys, as they count with the journal.
pub(super) struct Journal {
    keys: Box<dyn Keys>,
    /// Writes that count but have not reached their keys.
    waiting: Writes,
    /// What the steps from older versions would write, where there is no room for it: read as if
    /// it were there, and tried again at the next start.
    steps: Writes,
}

/// Why a journal cannot be taken up.
pub(super) enum Unread {
    /// It is of a newer version.
    Newer,
    /// It is damaged: its text.
    Damaged(String),
}

impl Journal {
    /// Over these keys, with nothing taken up yet.
    pub fn over(keys: Box<dyn Keys>) -> Self {
        Self { keys, waiting: Writes::new(), steps: Writes::new() }
    }

    /// Whether anything is kept when the page is closed.
    pub fn lasts(&self) -> bool {
        self.keys.lasts()
    }

    /// Takes up the journal that lies there, this tab's or another's.
    pub fn take_up(&mut self) -> Result<(), Unread> {
        self.waiting.clear();
        let Some(text) = self.keys.get(JOURNAL) else {
            return Ok(());
        };
        // A journal of the version before has the same form.
        self.waiting = record::read(&steps::raised(&text)).map_err(|error| match error {
            RecordError::OtherVersion(_) => Unread::Newer,
            RecordError::Damaged(_) => Unread::Damaged(text),
        })?;
        Ok(())
    }

    /// Takes out a journal that cannot be read.
    pub fn drop_damaged(&mut self) {
        self.keys.remove(JOURNAL);
    }

    /// A text as it counts: by the journal, by the steps, else as it lies there.
    pub fn text(&self, key: &str) -> Option<String> {
        match self.waiting.get(key).or_else(|| self.steps.get(key)) {
            Some(text) => text.clone(),
            None => self.keys.get(key),
        }
    }

    /// Every text of this page that counts, by key.
    pub fn texts(&self) -> Texts {
        self.texts_under(PREFIX)
    }

    /// Those whose keys begin so; of the others there may be thousands.
    pub fn texts_under(&self, prefix: &str) -> Texts {
        let mut keys: BTreeSet<String> = self.keys.all().into_iter().collect();
        keys.extend(self.waiting.keys().chain(self.steps.keys()).cloned());
        let ours = keys.into_iter().filter(|key| key.starts_with(prefix) && key != JOURNAL);
        ours.filter_map(|key| Some((key.clone(), self.text(&key)?))).collect()
    }

    /// Makes writes count, all or none. One write alone needs no journal: setting a text is all
    /// or nothing by itself.
    ///
    /// # Errors
    /// Where there is no room, and nothing has happened.
    pub fn commit(&mut self, writes: Writes) -> Result<(), NoRoom> {
        if self.waiting.is_empty() && writes.len() <= 1 {
            return writes.iter().try_for_each(|(key, text)| self.reach(key, text.as_deref()));
        }
        let mut waiting = self.waiting.clone();
        waiting.extend(writes);
        self.keys.set(JOURNAL, &record::write(&waiting, Moment(0)))?;
        self.waiting = waiting;
        self.empty();
        Ok(())
    }

    /// The same for what the steps from older versions write, which is read as if it were there
    /// even where there is no room for it.
    pub fn commit_steps(&mut self, writes: Writes) {
        if self.commit(writes.clone()).is_err() {
            self.steps = writes;
        }
    }

    /// Lets the writes reach their keys, and ends the journal when all have. What takes room away
    /// comes last. Where the room does not suffice the journal stays, and counts.
    fn empty(&mut self) {
        let mut writes: Vec<(String, Option<String>)> = self.waiting.clone().into_iter().collect();
        let growth = |(key, text): &(String, Option<String>)| {
            let length = |text: Option<&str>| text.map_or(0, |text| characters(text) + 1);
            length(text.as_deref()).saturating_sub(length(self.keys.get(key).as_deref()))
        };
        writes.sort_by_cached_key(growth);
        let reached = writes.iter().all(|(key, text)| self.reach(key, text.as_deref()).is_ok());
        if reached {
            self.keys.remove(JOURNAL);
            self.waiting.clear();
        }
    }

    fn reach(&mut self, key: &str, text: Option<&str>) -> Result<(), NoRoom> {
        match text {
            Some(text) => self.keys.set(key, text)?,
            None => self.keys.remove(key),
        }
        self.steps.remove(key);
        Ok(())
    }
}
