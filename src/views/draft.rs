//! What is being typed into a field that must be read.
//!
//! A text stays as typed while it is typed; what cannot be read stays until it is mended, and the
//! last good value counts meanwhile, but the figures are marked as not complete. A value that
//! changes from elsewhere (a step button, another order, another tab) takes the text's place.

use super::state::desk;
use crate::views::prelude::*;

/// The text of a field and what is wrong with it.
#[derive(Clone, Copy)]
pub struct Draft {
    text: RwSignal<Option<String>>,
    error: RwSignal<Option<String>>,
    value: Signal<String>,
    /// The value as this field itself last left it.
    own: StoredValue<String>,
}

impl Draft {
    /// A draft of a value. `field` names the field, `label` is what a person calls it.
    pub fn new(field: &str, label: Signal<String>, value: Signal<String>) -> Self {
        let draft = Self {
            text: RwSignal::new(None),
            error: RwSignal::new(None),
            value,
            own: StoredValue::new(value.get_untracked()),
        };
        draft.give_way();
        draft.tell(field.to_owned(), label);
        draft
    }

    /// What the field shows.
    pub fn shown(self) -> String {
        self.text.get().unwrap_or_else(|| self.value.get())
    }

    /// What is wrong with the text.
    pub fn complaint(self) -> Option<String> {
        self.error.get()
    }

    /// Whether the text cannot be read.
    pub fn is_wrong(self) -> bool {
        self.error.with(Option::is_some)
    }

    /// Takes up what was typed, and what came of reading it.
    pub fn typed(self, text: String, read: Result<(), String>) {
        self.own.set_value(self.value.get_untracked());
        self.error.set(read.err());
        self.text.set(Some(text));
    }

    /// The field was left: a text that could be read gives way to the value as it is written.
    pub fn left(self) {
        if self.error.with_untracked(Option::is_none) {
            self.text.set(None);
        }
    }

    fn give_way(self) {
        Effect::new(move |_| {
            let value = self.value.get();
            if self.own.with_value(|own| *own != value) {
                self.own.set_value(value);
                self.text.set(None);
                self.error.set(None);
            }
        });
    }

    fn tell(self, field: String, label: Signal<String>) {
        let desk = desk();
        let id = field.clone();
        Effect::new(move |_| {
            let complaint = self.error.get().map(|error| format!("{}: {error}", label.get()));
            desk.set_unread(&id, complaint);
        });
        on_cleanup(move || desk.set_unread(&field, None));
    }
}
