//! The store: everything kept on the device, written all or nothing, shared by several tabs.
//!
//! Owns what lies under which key. Every record carries the moment of its writing, by which a tab
//! sees that another one was here: what the other wrote is never overwritten, and what this one
//! wanted to write is set aside. Never drops a text that it cannot read.

use super::State;
use super::aside::{Aside, Why};
use super::journal::{Journal, Unread, Writes};
use super::keys::{Keys, NoRoom, weight};
use super::parts::Parts;
use super::record::{self, ASIDE, JOURNAL, Name, RecordError, Stamp};
use super::steps::{self, Texts};
use crate::book::{Entry, Moment};
use serde::de::DeserializeOwned;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Everything kept on the device.
pub struct Store {
    journal: Journal,
    /// The moment of each record's writing, as it was when this tab last looked.
    seen: BTreeMap<String, Moment>,
    /// What lies there, as far as it can be read.
    parts: Parts,
    /// How many characters lay there when it was opened.
    pub found: usize,
    /// Records that cannot be read and for which there was no room elsewhere.
    stuck: BTreeSet<Name>,
    /// Whether something newer lies there than this page knows: then nothing is written.
    is_newer: bool,
}

/// A change of one record.
struct Write {
    name: Name,
    text: Option<String>,
}

/// What came of keeping a state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Kept {
    /// Records for which there was no room: they lie there as they were before.
    pub refused: Vec<Name>,
    /// Records that another tab changed meanwhile: its version stands, this tab's was set aside.
    pub overtaken: Vec<Name>,
}

impl Store {
    /// Opens what lies there: finishes a journal, brings older versions up, sets aside what
    /// cannot be read.
    pub fn open(keys: Box<dyn Keys>) -> Self {
        let mut store = Self {
            journal: Journal::over(keys),
            seen: BTreeMap::new(),
            parts: Parts::default(),
            found: 0,
            stuck: BTreeSet::new(),
            is_newer: false,
        };
        store.read_journal();
        let texts = store.texts();
        store.is_newer = steps::has_newer(&texts);
        if store.is_newer {
            return store;
        }
        let _ = store.journal.commit(Writes::new());
        let texts = store.bring_up(texts);
        store.found = weight(&texts);
        store.read_all(texts);
        store
    }

    /// What could be read.
    pub fn parts(&self) -> &Parts {
        &self.parts
    }

    /// Records that lie there unread, with no room to set them aside: they are left alone, so what
    /// is changed in their place is not kept.
    pub fn stuck(&self) -> impl Iterator<Item = &Name> {
        self.stuck.iter()
    }

    /// Whether something newer lies there than this page knows: then nothing is read or written.
    pub fn is_newer(&self) -> bool {
        self.is_newer
    }

    /// Whether anything is kept when the page is closed.
    pub fn lasts(&self) -> bool {
        self.journal.lasts()
    }

    /// How many characters lie there in all, keys included.
    pub fn characters(&self) -> usize {
        weight(&self.texts())
    }

    /// The records written after a moment.
    pub fn written_after(&self, moment: Moment) -> Vec<Name> {
        let later = self.seen.iter().filter(|(_, written)| **written > moment);
        later.filter_map(|(key, _)| Name::of(key)).collect()
    }

    /// What was set aside, with the key that it lies under.
    pub fn asides(&self) -> Vec<(String, Aside)> {
        let asides = self.journal.texts_under(ASIDE).into_iter();
        let read = |(key, text): (String, String)| {
            let raw = || Aside { key: key.clone(), why: Why::Damaged, text: text.clone() };
            (key.clone(), record::read(&text).unwrap_or_else(|_| raw()))
        };
        asides.map(read).collect()
    }

    /// Sets a text aside.
    ///
    /// # Errors
    /// Where there is no room for it.
    pub fn lay_aside(&mut self, aside: &Aside) -> Result<(), NoRoom> {
        self.set_aside(aside, Writes::new())
    }

    /// Throws away what was set aside under a key.
    pub fn discard(&mut self, key: &str) {
        if key.starts_with(ASIDE) {
            let _ = self.journal.commit([(key.to_owned(), None)].into());
        }
    }

    /// Writes what differs from what lies there. All of it together, or, where there is no room,
    /// as many records as there is room for, each whole.
    pub fn keep(&mut self, state: &State, now: Moment) -> Kept {
        let mut kept = Kept::default();
        if self.is_newer {
            return kept;
        }
        let overtaken: Vec<Write> =
            self.differences(state, now).into_iter().filter(|write| !self.is_as_seen(&write.name)).collect();
        for write in overtaken {
            match self.give_way(&write, state, now) {
                Ok(true) => kept.overtaken.push(write.name),
                Ok(false) => {}
                Err(NoRoom) => kept.refused.push(write.name),
            }
        }
        let mut writes = self.differences(state, now);
        writes.retain(|write| !kept.overtaken.contains(&write.name) && !kept.refused.contains(&write.name));
        if self.put(&writes, state).is_err() {
            for write in &writes {
                if self.put(std::slice::from_ref(write), state).is_err() {
                    kept.refused.push(write.name.clone());
                }
            }
        }
        kept
    }

    /// Writes a whole state in the place of what lies there, or nothing.
    ///
    /// # Errors
    /// Where there is no room for all of it, or something newer lies there.
    pub fn replace(&mut self, state: &State, now: Moment) -> Result<(), NoRoom> {
        if self.is_newer {
            return Err(NoRoom);
        }
        self.take_up();
        let writes = self.differences(state, now);
        self.put(&writes, state)
    }

    /// Looks for what other tabs have written; names the records that changed.
    pub fn take_up(&mut self) -> Vec<Name> {
        let mut changed = Vec::new();
        if self.is_newer {
            return changed;
        }
        self.read_journal();
        let texts = self.texts();
        if steps::has_newer(&texts) {
            self.is_newer = true;
            return changed;
        }
        let gone: Vec<String> = self.seen.keys().filter(|key| !texts.contains_key(*key)).cloned().collect();
        for name in gone.iter().filter_map(|key| Name::of(key)) {
            self.forget(&name);
            changed.push(name);
        }
        for (key, text) in &texts {
            let revision = record::stamp(text).map(|stamp| stamp.revision);
            if let Some(name) = Name::of(key).filter(|_| revision != self.seen.get(key).copied()) {
                // One that cannot be read is left for the next start, which sets it aside.
                if self.read_one(&name, text).is_ok() {
                    changed.push(name);
                }
            }
        }
        changed
    }

    // Reading.

    fn read_journal(&mut self) {
        match self.journal.take_up() {
            Ok(()) => {}
            Err(Unread::Newer) => self.is_newer = true,
            Err(Unread::Damaged(text)) => {
                let aside = Aside { key: JOURNAL.to_owned(), why: Why::Damaged, text };
                if self.set_aside(&aside, Writes::new()).is_ok() {
                    self.journal.drop_damaged();
                }
            }
        }
    }

    /// Every text of this page that counts, by key.
    pub fn texts(&self) -> Texts {
        self.journal.texts()
    }

    /// Brings older versions up; gives the texts as they count then.
    fn bring_up(&mut self, before: Texts) -> Texts {
        let mut after = before.clone();
        steps::bring_up(&mut after);
        let mut writes = Writes::new();
        for key in before.keys().filter(|key| !after.contains_key(*key)) {
            writes.insert(key.clone(), None);
        }
        for (key, text) in &after {
            if before.get(key) != Some(text) {
                writes.insert(key.clone(), Some(text.clone()));
            }
        }
        self.journal.commit_steps(writes);
        after
    }

    fn read_all(&mut self, texts: Texts) {
        let mut unread = Vec::new();
        for (key, text) in texts {
            match Name::of(&key) {
                Some(name) => {
                    if self.read_one(&name, &text).is_err() {
                        unread.push((key, Some(name), text));
                    }
                }
                None if key.starts_with(ASIDE) => {}
                None => unread.push((key, None, text)),
            }
        }
        for (key, name, text) in unread {
            let aside = Aside { key: key.clone(), why: Why::Damaged, text };
            if self.set_aside(&aside, [(key, None)].into()).is_err() {
                self.stuck.extend(name);
            }
        }
    }

    fn read_one(&mut self, name: &Name, text: &str) -> Result<(), RecordError> {
        fn put<T: DeserializeOwned>(place: &mut Option<T>, text: &str) -> Result<(), RecordError> {
            *place = Some(record::read(text)?);
            Ok(())
        }
        match name {
            Name::Lists => put(&mut self.parts.lists, text)?,
            Name::Settings => put(&mut self.parts.settings, text)?,
            Name::Shelf => put(&mut self.parts.shelf, text)?,
            Name::Ledger => self.parts.ledger = Some(Arc::new(record::read(text)?)),
            Name::Usual => put(&mut self.parts.usual, text)?,
            Name::Pending => put(&mut self.parts.pending, text)?,
            Name::Open => put(&mut self.parts.open, text)?,
            Name::Backup => put(&mut self.parts.backup, text)?,
            Name::Order(id) => {
                let entry: Entry = record::read(text)?;
                if entry.order.id != *id {
                    return Err(RecordError::Damaged(format!("the order calls itself “{}”", entry.order.id)));
                }
                self.parts.entries.insert(id.clone(), Arc::new(entry));
            }
        }
        let Stamp { revision, .. } = record::stamp(text).unwrap_or(Stamp { version: 0, revision: Moment(0) });
        self.seen.insert(name.key(), revision);
        Ok(())
    }

    fn forget(&mut self, name: &Name) {
        self.seen.remove(&name.key());
        match name {
            Name::Lists => self.parts.lists = None,
            Name::Settings => self.parts.settings = None,
            Name::Shelf => self.parts.shelf = None,
            Name::Ledger => self.parts.ledger = None,
            Name::Usual => self.parts.usual = None,
            Name::Pending => self.parts.pending = None,
            Name::Open => self.parts.open = None,
            Name::Backup => self.parts.backup = None,
            Name::Order(id) => {
                self.parts.entries.remove(id);
            }
        }
    }

    // Writing.

    fn differences(&self, state: &State, now: Moment) -> Vec<Write> {
        let parts = &self.parts;
        let mut writes = Vec::new();
        let mut write = |name: Name, text: Option<String>| {
            if !self.stuck.contains(&name) {
                writes.push(Write { name, text });
            }
        };
        // Moments differ from one writing of a record to the next, even on a fast machine.
        let next = |name: &Name| {
            self.seen.get(&name.key()).map_or(now, |seen| now.max(Moment(seen.0.saturating_add(1))))
        };
        if parts.lists.as_ref() != Some(&state.shop.lists) {
            write(Name::Lists, Some(record::write(&state.shop.lists, next(&Name::Lists))));
        }
        if parts.settings.as_ref() != Some(&state.shop.settings) {
            write(Name::Settings, Some(record::write(&state.shop.settings, next(&Name::Settings))));
        }
        if parts.shelf.as_ref() != Some(&state.shop.shelf) {
            write(Name::Shelf, Some(record::write(&state.shop.shelf, next(&Name::Shelf))));
        }
        if parts.ledger.as_ref() != Some(state.book.stock())
            && (parts.ledger.is_some() || !state.book.stock().is_empty())
        {
            write(Name::Ledger, Some(record::write(state.book.stock().as_ref(), next(&Name::Ledger))));
        }
        if parts.usual.as_ref().map_or(&[][..], Vec::as_slice) != state.usual.as_slice() {
            write(Name::Usual, Some(record::write(&state.usual, next(&Name::Usual))));
        }
        if parts.pending != state.pending {
            let text = state.pending.as_ref().map(|pending| record::write(pending, next(&Name::Pending)));
            write(Name::Pending, text);
        }
        if parts.backup.clone().unwrap_or_default() != state.backup {
            write(Name::Backup, Some(record::write(&state.backup, next(&Name::Backup))));
        }
        if parts.open.as_ref() != Some(state.book.open()) {
            write(Name::Open, Some(record::write(state.book.open(), next(&Name::Open))));
        }
        let mut there = BTreeSet::new();
        for entry in state.book.all() {
            let id = &entry.order.id;
            there.insert(id);
            if parts.entries.get(id) != Some(entry) {
                let name = Name::Order(id.clone());
                let written = if entry.is_over() { record::write_packed } else { record::write };
                let text = written(entry.as_ref(), next(&name));
                write(name, Some(text));
            }
        }
        for id in parts.entries.keys().filter(|id| !there.contains(id)) {
            write(Name::Order(id.clone()), None);
        }
        writes
    }

    /// Whether a record lies there as this tab last saw it. Which order is open is each tab's own
    /// affair: there the last one to write is right.
    fn is_as_seen(&self, name: &Name) -> bool {
        let key = name.key();
        let revision =
            self.journal.text(&key).and_then(|text| record::stamp(&text)).map(|stamp| stamp.revision);
        *name == Name::Open || revision == self.seen.get(&key).copied()
    }

    /// Puts records under their keys, all or none, and takes note of it.
    fn put(&mut self, writes: &[Write], state: &State) -> Result<(), NoRoom> {
        self.journal.commit(writes.iter().map(|write| (write.name.key(), write.text.clone())).collect())?;
        for Write { name, text } in writes {
            match text.as_deref().and_then(record::stamp) {
                Some(stamp) => self.seen.insert(name.key(), stamp.revision),
                None => self.seen.remove(&name.key()),
            };
            match name {
                Name::Lists => self.parts.lists = Some(state.shop.lists.clone()),
                Name::Settings => self.parts.settings = Some(state.shop.settings.clone()),
                Name::Shelf => self.parts.shelf = Some(state.shop.shelf.clone()),
                Name::Ledger => self.parts.ledger = Some(state.book.stock().clone()),
                Name::Usual => self.parts.usual = Some(state.usual.clone()),
                Name::Pending => self.parts.pending.clone_from(&state.pending),
                Name::Open => self.parts.open = Some(state.book.open().clone()),
                Name::Backup => self.parts.backup = Some(state.backup.clone()),
                Name::Order(id) => match state.book.any(id) {
                    Some(entry) => drop(self.parts.entries.insert(id.clone(), entry.clone())),
                    None => drop(self.parts.entries.remove(id)),
                },
            }
        }
        Ok(())
    }

    /// Another tab changed a record that this one wanted to change: its version stands, and this
    /// tab's is set aside; a removal simply does not happen. `false` where both are the same.
    ///
    /// # Errors
    /// Without room to set it aside nothing happens: it stays on the screen, not kept.
    fn give_way(&mut self, write: &Write, state: &State, now: Moment) -> Result<bool, NoRoom> {
        let key = write.name.key();
        let theirs = self.journal.text(&key);
        let before = (self.parts.clone(), self.seen.clone());
        match &theirs {
            Some(text) => drop(self.read_one(&write.name, text)),
            None => self.forget(&write.name),
        }
        if !self.differences(state, now).iter().any(|other| other.name == write.name) {
            return Ok(false);
        }
        if let Some(text) = &write.text {
            let aside = Aside { key, why: Why::Overtaken, text: text.clone() };
            if let Err(NoRoom) = self.set_aside(&aside, Writes::new()) {
                (self.parts, self.seen) = before;
                return Err(NoRoom);
            }
        }
        Ok(true)
    }

    fn set_aside(&mut self, aside: &Aside, mut writes: Writes) -> Result<(), NoRoom> {
        let free = (1_u32..).map(|n| format!("{ASIDE}{n}")).find(|key| self.journal.text(key).is_none());
        let key = free.ok_or(NoRoom)?;
        writes.insert(key, Some(record::write(aside, Moment(0))));
        self.journal.commit(writes)
    }
}
