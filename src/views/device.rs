//! The page and its device: every change is kept as it is made, and other tabs are followed.

use super::state::{Desk, Notice, edited};
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::saved::aside::Why;
use lettertally::saved::record::Name;
use lettertally::saved::store::{Kept, Store};
use lettertally::saved::{Pending, State};

const PRIVATE: &str = "This browser keeps nothing for this page, as in a private window: what you enter is gone when the tab is closed. Save a backup before you close it.";
const NEWER: &str = "A newer version of this page has written what is kept on this device. Reload the page; until then nothing is read or kept.";

/// From how many characters on a person is told to put orders away. Browsers keep between 2.5 and 5
/// million for a page; common practice, no source.
const NEARLY_FULL: usize = 2_000_000;

/// What a person must know of what was found on the device.
pub fn findings(store: &Store, is_for_customer: bool) -> Vec<Notice> {
    let mut notices = Vec::new();
    if is_for_customer {
        return notices;
    }
    if store.is_newer() {
        notices.push(Notice::wrong(NEWER));
    } else if !store.lasts() {
        notices.push(Notice::wrong(PRIVATE));
    }
    if store.found > NEARLY_FULL {
        notices.push(Notice::wrong(
            "A lot is kept on this device, and some browsers have room for little more. Put orders away that are over: Booth, Orders, at the foot of the list.",
        ));
    }
    for name in store.stuck() {
        notices.push(Notice::wrong(format!(
            "The kept {words} could not be read, and the storage is too full to set them aside. They stay as they are: what you change in the {words} now is not kept.",
            words = name.words()
        )));
    }
    // What was there before a backup came is no fault: the person put it there.
    let asides = store.asides().iter().filter(|(_, aside)| aside.why != Why::Restored).count();
    if asides > 0 {
        let what = if asides == 1 { "One record" } else { "Some records" };
        notices.push(Notice::wrong(format!(
            "{what} of what was kept could not be read or gave way to another tab. Nothing was thrown away: see “Set aside” on the Shop screen."
        )));
    }
    notices
}

impl Desk {
    /// Everything as it is now.
    pub fn state(self) -> State {
        let shop = self.in_force.get();
        let pending = self.held.with(|held| {
            let waits = held.is_some();
            waits.then(|| {
                self.shop.with(|shop| Pending { lists: shop.lists.clone(), settings: shop.settings.clone() })
            })
        });
        State { shop, book: self.book.get(), usual: self.usual.get(), pending, backup: self.backup.get() }
    }

    /// Keeps every change as it is made.
    pub fn keep(self) {
        Effect::new(move |_| {
            let state = self.state();
            if self.is_closed() {
                return;
            }
            let kept = self.store.try_update_value(|store| store.keep(&state, clock::now()));
            let kept = kept.unwrap_or_default();
            self.told(&kept);
            self.take_up(&kept.overtaken);
            self.kept.update(|kept| *kept = kept.wrapping_add(1));
        });
    }

    /// Tells what could not be kept.
    fn told(self, kept: &Kept) {
        let words = |names: &[Name]| {
            let mut words: Vec<&str> = names.iter().map(Name::words).collect();
            words.dedup();
            words.join(", ")
        };
        let unkept = (!kept.refused.is_empty()).then(|| {
            format!(
                "The browser's storage is full: the last change ({}) is on the screen but not kept. All else is. Save a backup, then remove what you no longer need.",
                words(&kept.refused)
            )
        });
        if self.unkept.with_untracked(|old| *old != unkept) {
            self.unkept.set(unkept);
        }
        if !kept.overtaken.is_empty() {
            let text = format!(
                "Another tab changed the same thing first ({}). Its version is shown; yours was set aside: see “Set aside” on the Shop screen.",
                words(&kept.overtaken)
            );
            self.tell(Notice::wrong(text));
        }
    }

    /// Shows these records as they lie on the device. Which order is open is each tab's own affair.
    fn take_up(self, names: &[Name]) {
        if names.is_empty() {
            return;
        }
        let here = untrack(move || self.state());
        let State { shop, book, usual, pending, backup } =
            self.store.with_value(|store| store.parts().over(here, names));
        let (shop, held) = edited(shop, pending);
        batch(move || {
            set_if_other(self.shop, shop);
            set_if_other(self.held, held);
            set_if_other(self.book, book);
            set_if_other(self.usual, usual);
            set_if_other(self.backup, backup);
        });
    }

    /// Takes up what another tab has kept.
    pub fn take_up_other_tab(self) {
        if untrack(move || self.is_closed()) {
            return;
        }
        let changed = self.store.try_update_value(Store::take_up).unwrap_or_default();
        if self.store.with_value(Store::is_newer) {
            self.tell(Notice::wrong(NEWER));
        }
        self.take_up(&changed);
        self.kept.update(|kept| *kept = kept.wrapping_add(1));
    }
}

fn set_if_other<T: PartialEq + Send + Sync + 'static>(signal: RwSignal<T>, value: T) {
    if signal.with_untracked(|old| *old != value) {
        signal.set(value);
    }
}
