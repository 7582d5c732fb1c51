//! The state of the page: what was entered, and the plan that follows from it.

use super::search::MixSearch;
use crate::browser::storage::{self, Kept};
use crate::browser::{address, clock};
use leptos::prelude::*;
use lettertally::lists::Lists;
use lettertally::lists::settings::Settings;
use lettertally::order::{Design, Line, Order, OrderId, fresh};
use lettertally::plan::{self, Plan, Shop};
use lettertally::problem::{Place, Problem};
use lettertally::quote::Quote;
use lettertally::saved::{self, Orders, Record};
use lettertally::share::{self, Link, LinkError};
use serde::de::DeserializeOwned;

/// The screens of the page. On a wide window the first four stand side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// Words, garments and sizes.
    Order,
    /// The letters and how to buy them.
    Letters,
    /// Cost and price.
    Price,
    /// What the customer gets.
    Quote,
    /// Lists and settings.
    Shop,
}

impl Screen {
    /// Every screen, in the order of the bar.
    pub const ALL: [Self; 5] = [Self::Order, Self::Letters, Self::Price, Self::Quote, Self::Shop];

    /// The word on the bar.
    pub fn word(self) -> &'static str {
        match self {
            Self::Order => "Order",
            Self::Letters => "Letters",
            Self::Price => "Price",
            Self::Quote => "Quote",
            Self::Shop => "Shop",
        }
    }
}

/// Something that was removed and can be brought back.
#[derive(Clone)]
pub struct Removed {
    /// What it was: "order Marsh Otters".
    pub what: String,
    before: (Shop, Orders),
    after: (Shop, Orders),
}

/// A field whose text cannot be read.
#[derive(Clone, PartialEq)]
pub struct Unread {
    field: String,
    /// The screen it is on.
    pub screen: Screen,
    /// What is wrong, its label before it.
    pub complaint: String,
}

/// Everything the views share.
#[derive(Clone, Copy)]
pub struct Desk {
    /// Lists, settings and shelf.
    pub shop: RwSignal<Shop>,
    /// The orders, and which one is open.
    pub orders: RwSignal<Orders>,
    /// The open order.
    pub order: Memo<Order>,
    /// What follows from it.
    pub plan: Memo<Plan>,
    /// The search for the buy mix.
    pub search: MixSearch,
    /// The screen in front.
    pub screen: RwSignal<Screen>,
    /// What went wrong outside the order: storage, links.
    pub notices: RwSignal<Vec<String>>,
    /// What was removed last.
    pub removed: RwSignal<Option<Removed>>,
    /// Fields whose text cannot be read, the one typed into last at the end.
    pub unread: RwSignal<Vec<Unread>>,
    /// A link to a quote that was refused: why. Shown instead of everything else.
    pub refused: RwSignal<Option<String>>,
    /// The record that was added last, whose fields stand open.
    pub fresh: RwSignal<String>,
    /// A customer's quote that was opened from a link, shown instead of everything else.
    pub guest: RwSignal<Option<Quote>>,
}

/// The state, from anywhere in the views.
pub fn desk() -> Desk {
    expect_context::<Desk>()
}

impl Desk {
    /// Reads what is kept; without anything kept, the demo shop.
    ///
    /// A page opened with a customer's quote reads nothing and writes nothing.
    pub fn open() -> Self {
        let link = share::read(&address::fragment());
        let mut notices = Vec::new();
        let (mut shop, mut orders) = saved::demo_shop(&clock::today());
        let mut stuck = Vec::new();
        let guest = match &link {
            Ok(Some(Link::Quote(quote))) => Some((**quote).clone()),
            _ => None,
        };
        if guest.is_none() && !(link.is_err() && share::is_for_customer(&address::fragment())) {
            let loaded = [
                (Record::Lists, load(Record::Lists, &mut shop.lists, &mut notices)),
                (Record::Settings, load(Record::Settings, &mut shop.settings, &mut notices)),
                (Record::Shelf, load(Record::Shelf, &mut shop.shelf, &mut notices)),
                (Record::Orders, load(Record::Orders, &mut orders, &mut notices)),
            ];
            stuck.extend(loaded.into_iter().filter(|(_, free)| !free).map(|(record, _)| record));
            if orders.orders.is_empty() {
                orders.begin(nothing());
            }
        }
        let shop = RwSignal::new(shop);
        let orders = RwSignal::new(orders);
        let order =
            Memo::new(move |_| orders.with(|orders| orders.current().cloned()).unwrap_or_else(nothing));
        let letters = Memo::new(move |_| order.with(|order| shop.with(|shop| plan::letters(order, shop))));
        let search = MixSearch::new(letters, shop);
        let plan = Memo::new(move |_| {
            order.with(|order| shop.with(|shop| plan::priced(order, shop, letters.get(), search.mix.get())))
        });
        let desk = Self {
            shop,
            orders,
            order,
            plan,
            search,
            screen: RwSignal::new(Screen::Order),
            notices: RwSignal::new(notices),
            removed: RwSignal::new(None),
            unread: RwSignal::new(Vec::new()),
            refused: RwSignal::new(None),
            fresh: RwSignal::new(String::new()),
            guest: RwSignal::new(guest),
        };
        desk.follow(link);
        desk.keep(stuck);
        desk.search.follow(order, letters, plan, shop);
        desk.end_undo_with_the_next_change();
        desk
    }

    /// Takes up another link in an open page. Over a customer's quote nothing of the shop has been
    /// read, so the page begins anew.
    pub fn follow_change(self) {
        if untrack(move || self.is_closed()) {
            address::reload();
        } else {
            self.follow(share::read(&address::fragment()));
        }
    }

    /// Opens what a link asks for. A link that is refused changes nothing.
    fn follow(self, link: Result<Option<Link>, LinkError>) {
        let refused = match link {
            Ok(None) => return,
            Ok(Some(Link::Quote(quote))) => return self.guest.set(Some(*quote)),
            Ok(Some(Link::Start(start))) => {
                let id = self.orders.with_untracked(Orders::fresh_id);
                let lists = self.shop.with_untracked(|shop| shop.lists.clone());
                match start.order(&lists, id, &clock::today()) {
                    Ok(order) => {
                        self.orders.update(|orders| orders.begin(order));
                        self.screen.set(Screen::Order);
                        address::clear_fragment();
                        return;
                    }
                    Err(error) => error,
                }
            }
            Err(error) => error,
        };
        // Who opens a quote is a customer: the shop's own page is not what they came for.
        if share::is_for_customer(&address::fragment()) {
            self.refused.set(Some(refused.to_string()));
        } else {
            self.notices.update(|notices| notices.push(refused.to_string()));
            address::clear_fragment();
        }
    }

    /// Sets what is wrong with the text of a field, or that nothing is.
    pub fn set_unread(self, field: &str, complaint: Option<String>) {
        let is_known = self.unread.with_untracked(|unread| unread.iter().any(|known| known.field == field));
        if !is_known && complaint.is_none() {
            return;
        }
        let screen = self.screen.get_untracked();
        self.unread.update(|unread| {
            unread.retain(|known| known.field != field);
            unread.extend(complaint.map(|complaint| Unread { field: field.to_owned(), screen, complaint }));
        });
    }

    /// Whether the figures are not to be stood behind yet.
    pub fn is_incomplete(self) -> bool {
        self.plan.with(Plan::is_incomplete) || self.unread.with(|unread| !unread.is_empty())
    }

    /// Keeps every change, record by record, as it is made; but not the records that are stuck.
    fn keep(self, stuck: Vec<Record>) {
        let stuck = StoredValue::new(stuck);
        let free = move |record: Record| stuck.with_value(|stuck| !stuck.contains(&record));
        let keep = move |result: Result<(), storage::StorageError>| {
            if let Err(error) = result {
                self.notices.update(|notices| {
                    let text = error.to_string();
                    if !notices.contains(&text) {
                        notices.push(text);
                    }
                });
            }
        };
        Effect::new(move |_| {
            if self.is_closed() {
                return;
            }
            self.shop.with(|shop| {
                if free(Record::Lists) {
                    keep(storage::save(Record::Lists, &shop.lists));
                }
                if free(Record::Settings) {
                    keep(storage::save(Record::Settings, &shop.settings));
                }
                if free(Record::Shelf) {
                    keep(storage::save(Record::Shelf, &shop.shelf));
                }
            });
        });
        Effect::new(move |_| {
            if !self.is_closed() && free(Record::Orders) {
                self.orders.with(|orders| keep(storage::save(Record::Orders, orders)));
            }
        });
    }

    /// Whether the page shows a customer's quote and leaves everything kept alone.
    fn is_closed(self) -> bool {
        self.guest.with(Option::is_some) || self.refused.with(Option::is_some)
    }

    /// Takes up what another tab has kept.
    pub fn take_up_other_tab(self) {
        if untrack(move || self.is_closed()) {
            return;
        }
        let mut notices = Vec::new();
        let mut shop = self.shop.get_untracked();
        load(Record::Lists, &mut shop.lists, &mut notices);
        load(Record::Settings, &mut shop.settings, &mut notices);
        load(Record::Shelf, &mut shop.shelf, &mut notices);
        let mut orders = self.orders.get_untracked();
        let open = orders.open.clone();
        load(Record::Orders, &mut orders, &mut notices);
        // Which order is open is each tab's own affair, as long as the order is there.
        if orders.orders.iter().any(|order| order.id == open) {
            orders.open = open;
        }
        if self.shop.with_untracked(|old| *old != shop) {
            self.shop.set(shop);
        }
        if self.orders.with_untracked(|old| *old != orders) {
            self.orders.set(orders);
        }
        self.notices.update(|all| all.extend(notices));
    }

    /// Changes the open order.
    pub fn change_order(self, change: impl FnOnce(&mut Order)) {
        self.orders.update(|orders| {
            if let Some(mut order) = orders.current().cloned() {
                change(&mut order);
                orders.replace(&order);
            }
        });
    }

    /// Changes a design of the open order.
    pub fn change_design(self, design: usize, change: impl FnOnce(&mut Design)) {
        self.change_order(|order| {
            if let Some(design) = order.designs.get_mut(design) {
                change(design);
            }
        });
    }

    /// Changes a line of the open order.
    pub fn change_line(self, design: usize, line: usize, change: impl FnOnce(&mut Line)) {
        self.change_design(design, |design| {
            if let Some(line) = design.lines.get_mut(line) {
                change(line);
            }
        });
    }

    /// Changes the shop's lists.
    pub fn change_lists(self, change: impl FnOnce(&mut Lists)) {
        self.shop.update(|shop| change(&mut shop.lists));
    }

    /// Changes the shop's settings.
    pub fn change_settings(self, change: impl FnOnce(&mut Settings)) {
        self.shop.update(|shop| change(&mut shop.settings));
    }

    /// Removes something in a way that can be undone.
    pub fn remove(self, what: String, change: impl FnOnce(Self)) {
        let entered = move || (self.shop.get_untracked(), self.orders.get_untracked());
        let before = entered();
        change(self);
        self.removed.set(Some(Removed { what, before, after: entered() }));
    }

    /// Whatever is changed after a removal is not to be lost by undoing it: then the offer ends.
    fn end_undo_with_the_next_change(self) {
        Effect::new(move |_| {
            self.shop.track();
            self.orders.track();
            let is_past = self.removed.with_untracked(|removed| {
                let after = removed.as_ref().map(|removed| &removed.after);
                after.is_some_and(|(shop, orders)| {
                    self.shop.with_untracked(|now| now != shop)
                        || self.orders.with_untracked(|now| now != orders)
                })
            });
            if is_past {
                self.removed.set(None);
            }
        });
    }

    /// Brings back what was removed last.
    pub fn undo(self) {
        if let Some(removed) = self.removed.get_untracked() {
            let (shop, orders) = removed.before;
            self.removed.set(None);
            self.shop.set(shop);
            self.orders.set(orders);
        }
    }

    /// Begins an order with one empty line on the first blank.
    pub fn begin_order(self) {
        let id = self.orders.with_untracked(Orders::fresh_id);
        let order = self.shop.with_untracked(|shop| fresh::order(id, &clock::today(), &shop.lists));
        self.orders.update(|orders| orders.begin(order));
        self.screen.set(Screen::Order);
    }

    /// Begins an order like the open one.
    pub fn copy_order(self) {
        let id = self.orders.with_untracked(Orders::fresh_id);
        let order = self.order.get_untracked();
        let title = format!("{} (copy)", order.title);
        self.orders.update(|orders| orders.begin(Order { id, title, date: clock::today(), ..order }));
    }

    /// The problems at a place, the worst first.
    pub fn problems_at(self, here: impl Fn(&Place) -> bool + Send + Sync + 'static) -> Memo<Vec<Problem>> {
        let problems = move |plan: &Plan| plan.problems.iter().filter(|p| here(&p.place)).cloned().collect();
        Memo::new(move |_| self.plan.with(|plan| problems(plan)))
    }
}

/// Reads a record into its place; `false` where what is kept must not be written over.
fn load<T: DeserializeOwned>(record: Record, into: &mut T, notices: &mut Vec<String>) -> bool {
    let words = record.words();
    match storage::load(record) {
        Kept::Nothing => {}
        Kept::Data(data) => *into = data,
        Kept::SetAside(error) => notices.push(format!(
            "The kept {words} could not be read ({error}). They were set aside unchanged on this device; a fresh start stands in for them."
        )),
        Kept::Stuck(error) => {
            notices.push(format!(
                "The kept {words} could not be read ({error}), and the storage is too full to set them aside. They stay as they are: what you change in the {words} now is not kept."
            ));
            return false;
        }
    }
    true
}

/// Stands in where no order is kept: the page always has one to show.
fn nothing() -> Order {
    fresh::empty_order(OrderId::new("order"), &clock::today())
}
