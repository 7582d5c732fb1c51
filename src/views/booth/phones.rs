//! Two phones of one shop: what goes over and what comes in.

use super::super::parts::{Panel, Switch};
use super::super::quote::drawing;
use super::super::state::{Desk, Notice, desk};
use crate::browser::{address, clock, files, hand_over};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::Moment;
use lettertally::saved::parts::Parts;
use lettertally::saved::{backup, swap};
use lettertally::share::qr::qr;

/// The longest link that is shared in one piece.
const LINK: usize = 30_000;

impl Desk {
    /// Takes in the book of another phone, or a part of it.
    pub fn take_in(self, there: &Parts) {
        let before = self.book.get_untracked();
        self.note(|book, _| *book = swap::taken_in(book, there));
        let words = self.book.with_untracked(|after| swap::brought(&before, after).to_string());
        self.tell(Notice::done(words));
    }

    /// Takes in what a link from another phone carries.
    pub fn take_in_fragment(self, part: Result<Box<Parts>, String>) {
        match part {
            Ok(there) => self.take_in(&there),
            Err(why) => self.tell(Notice::wrong(why)),
        }
        address::clear_fragment();
    }
}

/// Exchanging books.
#[component]
pub fn Phones() -> impl IntoView {
    let desk = desk();
    let all = RwSignal::new(0_usize);
    let said = RwSignal::new(String::new());
    let from = move || {
        let today = clock::day_range(&clock::today()).start;
        if all.get_untracked() == 0 { today } else { Moment(0) }
    };
    let save = move |_| {
        let text = desk.book.with_untracked(|book| swap::file(book, from(), clock::now()));
        let name = format!("lettertally-book-{}.json", clock::today());
        spawn_local(async move {
            if !(files::can_share(&name, "application/json")
                && files::share(&name, "application/json", &text).await)
            {
                hand_over::save_file(&name, "application/json", &text);
            }
        });
    };
    let share = move |_| {
        let fragments = desk.book.with_untracked(|book| swap::fragments(book, from(), LINK));
        spawn_local(async move {
            let links: Vec<String> =
                fragments.iter().map(|fragment| format!("{}#{fragment}", address::page())).collect();
            let text = links.join("\n");
            let done = address::copy(&text).await;
            said.set(match (done, links.len()) {
                (false, _) => "Not copied: this browser does not allow it.".to_owned(),
                (true, 1) => "The link is copied: open it on the other phone.".to_owned(),
                (true, more) => {
                    format!("{more} links are copied: open each on the other phone, in any order.")
                }
            });
        });
    };
    let open = move |ev: web_sys::Event| {
        let input = event_target::<web_sys::HtmlInputElement>(&ev);
        let file = files::chosen(&input);
        spawn_local(async move {
            match files::read(file, backup::LARGEST_FILE).await {
                files::Opened::Nothing => {}
                files::Opened::Bytes(bytes) => match swap::read_file(&String::from_utf8_lossy(&bytes)) {
                    Ok(there) => desk.take_in(&there),
                    Err(error) => said.set(error.to_string()),
                },
                files::Opened::TooLarge | files::Opened::Unreadable => {
                    said.set("This file cannot be opened.".to_owned())
                }
            }
        });
    };
    view! {
        <Panel title="Another phone">
            <p class="help">"Both phones end up with the same book, whichever is asked first and however often. Orders and what happened to them and to the shelf go over; price lists and settings do not. No server is asked: whoever holds the file or the link can read the names in it."</p>
            <Switch label="What goes over" options=vec!["today", "everything"] value=all commit=move |at| all.set(at)/>
            <div class="row">
                <button type="button" on:click=save>"Hand over a file"</button>
                <button type="button" on:click=share>"Copy links"</button>
            </div>
            <Codes all/>
            <label class="button file-button">
                <span>"Take in a file"</span>
                <input type="file" accept=".json,application/json" on:change=open/>
            </label>
            <p class="help" role="status">{move || said.get()}</p>
        </Panel>
    }
}

/// QR codes, one after the other.
#[component]
fn Codes(all: RwSignal<usize>) -> impl IntoView {
    let desk = desk();
    let codes = RwSignal::new(Vec::<String>::new());
    let at = RwSignal::new(0_usize);
    Effect::new(move |_| {
        all.track();
        desk.book.track();
        codes.set(Vec::new());
    });
    let show = move |_| {
        let from = if all.get_untracked() == 0 { clock::day_range(&clock::today()).start } else { Moment(0) };
        at.set(0);
        codes.set(desk.book.with_untracked(|book| swap::fragments(book, from, swap::CODE)));
    };
    let picture = move || {
        let fragment = codes.with(|codes| codes.get(at.get()).cloned())?;
        let count = codes.with(Vec::len);
        Some(match qr(&format!("{}#{fragment}", address::page())) {
            Some(code) => {
                view! { <figure class="qr">{drawing(&code)}<figcaption>{format!("{} of {count}: hold the other phone's camera over it.", at.get() + 1)}</figcaption></figure> }
            }
            None => {
                view! { <p class="help">{format!("{} of {count} is too long for a QR code: hand over a file.", at.get() + 1)}</p> }
            }
        })
    };
    view! {
        <button type="button" class="wide" on:click=show>"Show QR codes"</button>
        {picture}
        {move || (codes.with(Vec::len) > 1).then(|| view! {
            <div class="row">
                <button type="button" disabled=move || at.get() == 0 on:click=move |_| at.update(|at| *at -= 1)>"Before"</button>
                <button type="button" disabled=move || at.get() + 1 >= codes.with(Vec::len) on:click=move |_| at.update(|at| *at += 1)>"Next"</button>
            </div>
        })}
    }
}
