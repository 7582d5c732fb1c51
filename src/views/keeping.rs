//! What is kept on this device: the backup and bringing it back, what was set aside, the space.

use super::parts::Panel;
use super::state::{Desk, desk, new_id};
use crate::browser::{clock, device, files, hand_over};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::{Entry, Moment};
use lettertally::lists::entries::List;
use lettertally::order::Order;
use lettertally::saved::aside::{Aside, Why};
use lettertally::saved::backup::{self, Comparison, Contents, How};
use lettertally::saved::record::Name;
use lettertally::saved::{LastBackup, State};

const KIND: &str = "application/json";

fn file_name() -> String {
    format!("lettertally-backup-{}.json", clock::today())
}

/// Offers a backup of everything to be saved as a file.
pub fn save_backup(desk: Desk) {
    let made = clock::now();
    hand_over::save_file(&file_name(), KIND, &untrack(move || backup::write(&desk.state(), made)));
    desk.backup.set(LastBackup { made });
}

/// What has changed since the last backup.
#[derive(Clone, Default, PartialEq)]
struct Changes {
    orders: usize,
    lists: bool,
}

impl Changes {
    fn since(desk: Desk, last: Moment) -> Self {
        let names = desk.store.with_value(|store| store.written_after(last));
        Self {
            orders: names.iter().filter(|name| matches!(name, Name::Order(_))).count(),
            lists: names.iter().any(|name| matches!(name, Name::Lists | Name::Settings | Name::Shelf)),
        }
    }

    fn words(&self) -> String {
        let orders = match self.orders {
            0 => None,
            1 => Some("1 order".to_owned()),
            several => Some(format!("{several} orders")),
        };
        let lists = self.lists.then(|| "the lists".to_owned());
        let all: Vec<String> = orders.into_iter().chain(lists).collect();
        if all.is_empty() { "nothing".to_owned() } else { all.join(" and ") }
    }
}

fn changes(desk: Desk) -> Memo<Changes> {
    memo(move || {
        desk.kept.get();
        Changes::since(desk, desk.backup.with(|last| last.made))
    })
}

/// Reminds of a backup once enough has changed, until it is made or put off.
#[component]
pub fn Reminder() -> impl IntoView {
    let desk = desk();
    let changes = changes(desk);
    let put_off = RwSignal::new(false);
    let is_due = move || {
        let after = usize::from(desk.in_force.with(|shop| shop.settings.backup_after));
        after > 0 && !put_off.get() && changes.with(|changes| changes.orders >= after)
    };
    view! {
        <Show when=is_due>
            <div class="notice">
                <p>{move || format!("{} changed since the last backup. If this device is lost, so are they.", changes.with(Changes::words))}</p>
                <button type="button" on:click=move |_| save_backup(desk)>"Save a backup"</button>
                <button type="button" on:click=move |_| put_off.set(true)>"Later"</button>
            </div>
        </Show>
    }
}

/// Asks the browser once to keep what is kept, when the person has changed something.
pub fn ask_once(desk: Desk) {
    let asked = StoredValue::new(false);
    Effect::new(move |_| {
        let is_worth_it = desk.book.with(|book| book.entries().len() > 1) && !desk.is_closed();
        if is_worth_it && !asked.get_value() {
            asked.set_value(true);
            spawn_local(async {
                if device::is_promised().await == Some(false) {
                    // What it answers is shown where the person looks for it.
                    let _ = device::ask_to_keep().await;
                }
            });
        }
    });
}

/// The panel on the shop screen.
#[component]
pub fn Keeping() -> impl IntoView {
    let desk = desk();
    let opened = RwSignal::new(None::<Result<Contents, String>>);
    let said = RwSignal::new(String::new());
    let changes = changes(desk);
    let last = move || match desk.backup.with(|last| last.made) {
        Moment(0) => "Last backup: none yet.".to_owned(),
        made => {
            format!(
                "Last backup: {}. Changed since: {}.",
                clock::day_and_time(made),
                changes.with(Changes::words)
            )
        }
    };
    let share = move |_| {
        let made = clock::now();
        let text = untrack(move || backup::write(&desk.state(), made));
        spawn_local(async move {
            if files::share(&file_name(), KIND, &text).await {
                desk.backup.set(LastBackup { made });
            }
        });
    };
    let choose = move |ev: web_sys::Event| {
        let file = files::chosen(&event_target(&ev));
        said.set(String::new());
        spawn_local(async move {
            let read = match files::read(file, backup::LARGEST_FILE).await {
                files::Opened::Nothing => return,
                files::Opened::TooLarge => Err(backup::BackupError::TooLarge.to_string()),
                files::Opened::Unreadable => Err("The browser could not read this file.".to_owned()),
                files::Opened::Bytes(bytes) => {
                    backup::read(&String::from_utf8_lossy(&bytes)).map_err(|error| error.to_string())
                }
            };
            opened.set(Some(read));
        });
    };
    let can_share = files::can_share(&file_name(), KIND);
    view! {
        <Panel title="Backup">
            <p class="help">"One file with all orders, lists, settings and the shelf. It lies where you save it; nothing is sent anywhere."</p>
            <p>{last}</p>
            <div class="row">
                <button type="button" class="main" on:click=move |_| save_backup(desk)>"Save a backup"</button>
                {can_share.then(|| view! { <button type="button" on:click=share>"Share it"</button> })}
                <label class="file-button">
                    "Open a backup"
                    <input type="file" accept=".json,application/json" on:change=choose/>
                </label>
            </div>
            {move || opened.get().map(|read| match read {
                Err(why) => view! { <p class="problem problem-stop" role="alert">{why}</p> }.into_any(),
                Ok(contents) => view! { <Offer contents opened said/> }.into_any(),
            })}
            <p class="help" aria-live="polite">{move || said.get()}</p>
            <Asides/>
            <Space/>
        </Panel>
    }
}

/// What a backup holds, and the choice to bring it back.
#[component]
fn Offer(
    contents: Contents,
    opened: RwSignal<Option<Result<Contents, String>>>,
    said: RwSignal<String>,
) -> impl IntoView {
    let desk = desk();
    let found = untrack(move || desk.state());
    let is_new_device = found.is_untouched();
    let found = backup::compare(&found, &contents.parts);
    let lines = comparison(&found, contents.unread.len());
    let made = clock::day_and_time(contents.made);
    let parts = StoredValue::new(contents.parts);
    let bring = move |how: How| {
        let words = match how {
            How::Merge => "Merged the backup.",
            How::Replace => "Replaced everything by the backup.",
        };
        let here = untrack(move || desk.state());
        let there = parts.with_value(|parts| backup::restored(&here, parts, how));
        let copy = Aside {
            key: "everything".to_owned(),
            why: Why::Restored,
            text: backup::write(&here, clock::now()),
        };
        let restored = desk.store.try_update_value(|store| {
            let copied = store.lay_aside(&copy).is_ok();
            store.replace(&there, clock::now()).map(|()| copied)
        });
        match restored {
            Some(Ok(copied)) => {
                desk.act(words.to_owned(), |desk| desk.become_state(there));
                said.set(if copied {
                    format!("{words} What was here before is under “Set aside”.")
                } else {
                    format!("{words} There was no room to keep what was here before: “Undo” below brings it back until the next change.")
                });
                opened.set(None);
            }
            _ => said.set("There is no room for this backup on the device. Nothing was changed.".to_owned()),
        }
    };
    view! {
        <section class="offer-back" data-unkept="">
            <h3>{format!("Backup of {made}")}</h3>
            <ul class="plain-list">{lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
            <p class="help">{if is_new_device {
                "Nothing was entered on this device yet: “Replace everything” makes it as it is in the file. Merge would keep the demo’s lists, settings and shelf."
            } else {
                "Merge adds what is missing here and takes the later change of each order; lists, settings and shelf stay yours. Replace makes everything as it is in the file."
            }}</p>
            <div class="row">
                <button type="button" class:main=!is_new_device on:click=move |_| bring(How::Merge)>"Merge"</button>
                <button type="button" class:main=is_new_device on:click=move |_| bring(How::Replace)>"Replace everything"</button>
                <button type="button" on:click=move |_| opened.set(None)>"Leave it"</button>
            </div>
        </section>
    }
}

/// The comparison in words, a line each.
fn comparison(found: &Comparison, unread: usize) -> Vec<String> {
    const NAMED: usize = 5;
    let named = |what: &str, names: &[String]| {
        let more = names.len().saturating_sub(NAMED);
        let some = names.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
        let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
        (!names.is_empty()).then(|| format!("{what}: {some}{rest}"))
    };
    let mut lines: Vec<String> = [
        named("Orders only in the file", &found.only_there),
        named("Orders changed later in the file", &found.later_there),
        named("Orders changed later here", &found.later_here),
        named("Orders only here", &found.only_here),
        (found.same > 0).then(|| format!("Orders that are the same: {}", found.same)),
    ]
    .into_iter()
    .flatten()
    .collect();
    let missing = found.lists_only_there.iter().map(|(list, count)| list.counted(*count));
    let missing = missing.collect::<Vec<_>>().join(", ");
    lines.push(match (found.lists_differ, missing.is_empty()) {
        (false, _) => "Lists: the same".to_owned(),
        (true, true) => "Lists: the same entries, some of them with other prices or details".to_owned(),
        (true, false) => format!("Lists: differ; only in the file: {missing}"),
    });
    let same = |differs: bool| if differs { "differ" } else { "the same" };
    lines.push(format!("Settings: {}", same(found.settings_differ)));
    lines.push(format!("Shelf: {}", if found.shelf_differs { "differs" } else { "the same" }));
    if unread > 0 {
        lines.push(format!("Records of the file that cannot be read: {unread}; they are left out"));
    }
    lines
}

/// What was set aside: to be saved, brought back or thrown away.
#[component]
fn Asides() -> impl IntoView {
    let desk = desk();
    let asides = memo(move || {
        desk.kept.get();
        desk.store.with_value(|store| store.asides())
    });
    view! {
        <Show when=move || asides.with(|asides| !asides.is_empty())>
            <h3>"Set aside"</h3>
            <ul class="plain-list">
                {move || asides.get().into_iter().map(|(key, aside)| view! { <OneAside key aside/> }).collect_view()}
            </ul>
        </Show>
    }
}

#[component]
fn OneAside(key: String, aside: Aside) -> impl IntoView {
    let desk = desk();
    let what = Name::of(&aside.key).map_or("record", |name| name.words());
    let entry = aside.entry();
    let called = entry.as_ref().map_or(String::new(), |entry| format!(" “{}”", entry.order.called()));
    let words = match aside.why {
        Why::Damaged => format!("The {what} could not be read."),
        Why::Overtaken => format!("Your version of the {what}{called} gave way to another tab."),
        Why::Restored => before_a_restore(&aside.text),
    };
    let key = StoredValue::new(key);
    let aside = StoredValue::new(aside);
    let bring_back = move |_| {
        if let Some(Entry { order, .. }) = aside.with_value(Aside::entry) {
            let title = format!("{} (set aside)", order.title);
            let order = Order { id: new_id(), title, ..order };
            desk.act("Brought the order back.".to_owned(), |desk| {
                desk.book.update(|book| book.begin(order, clock::now()));
            });
        }
    };
    let bring_all_back = move |_| {
        if let Ok(contents) = aside.with_value(|aside| backup::read(&aside.text)) {
            let here = untrack(move || desk.state());
            let there = backup::restored(&here, &contents.parts, How::Replace);
            desk.act("Brought back what was here before.".to_owned(), |desk| desk.become_state(there));
        }
    };
    let save = move |_| {
        aside.with_value(|aside| hand_over::save_file("lettertally-set-aside.json", KIND, &aside.text));
    };
    let sure = RwSignal::new(false);
    let discard = move |_| {
        if !sure.get_untracked() {
            return sure.set(true);
        }
        desk.store.update_value(|store| key.with_value(|key| store.discard(key)));
        desk.kept.update(|kept| *kept = kept.wrapping_add(1));
    };
    let is_all = aside.with_value(|aside| aside.why == Why::Restored);
    view! {
        <li class="aside">
            <p>{words}</p>
            <div class="row">
                {entry.is_some().then(|| view! { <button type="button" on:click=bring_back>"Bring back as an order"</button> })}
                {is_all.then(|| view! { <button type="button" on:click=bring_all_back>"Bring it back"</button> })}
                <button type="button" on:click=save>"Save as a file"</button>
                <button type="button" on:click=discard>{move || if sure.get() { "Throw away for good" } else { "Throw away" }}</button>
            </div>
        </li>
    }
}

/// What was here before a backup was brought back: when, and how much.
fn before_a_restore(text: &str) -> String {
    let Ok(Contents { made, parts, .. }) = backup::read(text) else {
        return "What was here before a backup was brought back.".to_owned();
    };
    let orders = match parts.entries.len() {
        1 => "1 order".to_owned(),
        several => format!("{several} orders"),
    };
    let offers = List::Offers.counted(parts.lists.map_or(0, |lists| lists.offers.len()));
    format!(
        "What was here before a backup was brought back on {}: {orders}, {offers} on the price list.",
        clock::day_and_time(made)
    )
}

/// The room taken, and whether the browser has promised to keep it.
#[component]
fn Space() -> impl IntoView {
    /// What browsers commonly keep for one page, in characters; common practice, no source.
    const USUAL: usize = 5_000_000;
    let desk = desk();
    let promised = RwSignal::new(None::<bool>);
    spawn_local(async move { promised.set(device::is_promised().await) });
    let used = move || {
        desk.kept.get();
        let characters = desk.store.with_value(|store| store.characters());
        let percent = characters * 100 / USUAL;
        let share = if percent == 0 { "less than 1 %".to_owned() } else { format!("{percent} %") };
        let thousands = characters.div_ceil(1000);
        format!(
            "Kept on this device: {thousands} thousand characters, {share} of what browsers usually have room for."
        )
    };
    let ask = move |_| {
        spawn_local(async move { promised.set(device::ask_to_keep().await) });
    };
    view! {
        <p class="help">{used}</p>
        {move || match promised.get() {
            Some(true) => view! { <p class="help">"The browser has promised to keep it."</p> }.into_any(),
            Some(false) => view! {
                <p class="help">"The browser may clear it when the device runs short of space."</p>
                <div class="row"><button type="button" on:click=ask>"Ask the browser to keep it"</button></div>
            }.into_any(),
            None => view! { <p class="help">"This browser does not say whether it may clear it."</p> }.into_any(),
        }}
    }
}

impl Desk {
    /// Shows another state in the place of everything entered.
    fn become_state(self, state: State) {
        let State { shop, book, usual, pending, .. } = state;
        let (shop, held) = super::state::edited(shop, pending);
        batch(move || {
            self.shop.set(shop);
            self.held.set(held);
            self.book.set(book);
            self.usual.set(usual);
        });
    }
}
