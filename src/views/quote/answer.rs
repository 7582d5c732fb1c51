//! The customer's answer, as it comes back to the shop.

use super::super::parts::element_id;
use super::super::state::{Desk, Notice, desk};
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::book::answer::Answer;
use lettertally::quote::code::Code;
use lettertally::share::acceptance::Acceptance;

impl Desk {
    /// Looks which quote a yes is for, and notes it where it is the one that was handed over.
    /// Returns what is to be said of it.
    pub fn take_answer(self, yes: &Acceptance) -> Notice {
        let answer = self.book.with_untracked(|book| book.answered(yes));
        let words = answer.to_string();
        let is_wrong = !matches!(answer, Answer::Same { .. });
        if let Answer::Same { order, accepted: None, .. } = answer {
            self.act(words.clone(), |desk| {
                desk.book.update(|book| {
                    book.accept(&order, &clock::today(), clock::now());
                    book.turn_to(&order);
                });
            });
        }
        Notice { text: words, is_wrong }
    }
}

/// A code that the customer reads out.
#[component]
pub fn AnswerField() -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let typed = RwSignal::new(String::new());
    let said = RwSignal::new(String::new());
    let check = move |ev: leptos::ev::SubmitEvent| {
        ev.prevent_default();
        let words = match Code::parse(&typed.get_untracked()) {
            Ok(code) => desk.take_answer(&Acceptance { code, number: String::new() }).text,
            Err(error) => format!("Not a code: {error}."),
        };
        said.set(words);
    };
    view! {
        <form class="answer no-print" on:submit=check>
            <label for=id.clone()>"The customer's code for “yes”"</label>
            <div class="row">
                <span class="field-box"><input id=id type="text" autocomplete="off" autocapitalize="characters" prop:value=move || typed.get() on:input:target=move |ev| typed.set(ev.target().value())/></span>
                <button type="submit">"Check the code"</button>
            </div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </form>
    }
}
