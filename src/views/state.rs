//! The state of the page: what was entered, and the plan that follows from it.

use super::basket::Basket;
use super::booth::Begun;
use super::edits::Act;
use super::runs::Runs;
use super::search::{MixSearch, Question};
use super::typing::Typing;
use crate::browser::local_storage::LocalStorage;
use crate::browser::{address, clock};
use crate::views::prelude::*;
use lettertally::book::fact::Device;
use lettertally::book::{Book, base36, fresh_id};
use lettertally::booth::offer::Usual;
use lettertally::order::{Order, OrderId};
use lettertally::plan::{self, Plan, Shop};
use lettertally::problem::{Place, Problem};
use lettertally::quote::Quote;
use lettertally::saved::keys::{InMemory, Keys};
use lettertally::saved::parts::Parts;
use lettertally::saved::store::Store;
use lettertally::saved::{self, LastBackup, Pending, State, swap};
use lettertally::share::copy::Copy;
use lettertally::share::{self, Link, LinkError};

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
    /// Fit, run sheet, template.
    Press,
    /// The order book and the day.
    Booth,
    /// Lists and settings.
    Shop,
}

impl Screen {
    /// Every screen, in the order of the bar.
    pub const ALL: [Self; 7] =
        [Self::Order, Self::Letters, Self::Price, Self::Quote, Self::Press, Self::Booth, Self::Shop];

    /// The word on the bar.
    pub fn word(self) -> &'static str {
        match self {
            Self::Order => "Order",
            Self::Letters => "Letters",
            Self::Price => "Price",
            Self::Quote => "Quote",
            Self::Press => "Press",
            Self::Booth => "Booth",
            Self::Shop => "Shop",
        }
    }
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

/// What a person is told at the head of the page until they close it.
#[derive(Clone, PartialEq)]
pub struct Notice {
    /// The words.
    pub text: String,
    /// Whether something is wrong.
    pub is_wrong: bool,
}

impl Notice {
    /// Something went as it was meant to.
    pub fn done(text: String) -> Self {
        Self { text, is_wrong: false }
    }

    /// Something is wrong.
    pub fn wrong(text: impl Into<String>) -> Self {
        Self { text: text.into(), is_wrong: true }
    }
}

/// Everything the views share.
#[derive(Clone, Copy)]
pub struct Desk {
    /// Lists, settings and shelf as they are being edited.
    pub shop: RwSignal<Shop>,
    /// The lists and settings that count while changes of them wait to be saved; `None` while
    /// nothing waits.
    pub held: RwSignal<Option<Pending>>,
    /// Lists, settings and shelf that count: for every price and every quote.
    pub in_force: Memo<Shop>,
    /// The orders, and which one is open.
    pub book: RwSignal<Book>,
    /// The shop's usual offers.
    pub usual: RwSignal<Vec<Usual>>,
    /// The open order.
    pub order: Memo<Order>,
    /// What follows from it.
    pub plan: Memo<Plan>,
    /// The search for the mix of the open order's own letters, which its price follows from.
    pub search: MixSearch,
    /// What is bought at once.
    pub basket: Basket,
    /// The price at other run sizes.
    pub runs: Runs,
    /// The screen in front.
    pub screen: RwSignal<Screen>,
    /// What is told outside the order: of storage, links, other phones.
    pub notices: RwSignal<Vec<Notice>>,
    /// What was done last and can be undone.
    pub done: RwSignal<Option<Act>>,
    /// Fields whose text cannot be read, the one typed into last at the end.
    pub unread: RwSignal<Vec<Unread>>,
    /// A link to a quote that was refused: why. Shown instead of everything else.
    pub refused: RwSignal<Option<String>>,
    /// The record that was added last, whose fields stand open.
    pub fresh: RwSignal<String>,
    /// A customer's quote that was opened from a link, shown instead of everything else.
    pub guest: RwSignal<Option<Quote>>,
    /// A colleague's order that was opened from a link and is not added yet.
    pub offered: RwSignal<Option<Copy>>,
    /// When a backup was made last.
    pub backup: RwSignal<LastBackup>,
    /// What lies on the device.
    pub store: StoredValue<Store, leptos::prelude::LocalStorage>,
    /// What there was no room for; nothing while everything is kept.
    pub unkept: RwSignal<Option<String>>,
    /// Grows whenever something on the device has changed: for what is shown of it.
    pub kept: RwSignal<u32>,
    /// What was typed into a field and is not taken up yet.
    pub typing: Typing,
    /// The booth's new order, as far as it was said.
    pub begun: Begun,
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
        let asked = Asked::read();
        let guest = match &asked {
            Asked::Link(Ok(Some(Link::Quote(quote)))) => Some((**quote).clone()),
            _ => None,
        };
        let is_refused = matches!(asked, Asked::Link(Err(_)));
        let is_for_customer = guest.is_some() || (is_refused && share::is_for_customer(&address::fragment()));
        let keys: Box<dyn Keys> = match LocalStorage::new().filter(|_| !is_for_customer) {
            Some(storage) => Box::new(storage),
            None => Box::new(InMemory::default()),
        };
        let store = Store::open(keys);
        let State { shop, book, usual, pending, backup } =
            store.parts().or(saved::demo_state(&clock::today(), clock::now()));
        let book = book.written_by(Device::new(base36(clock::dice())));
        let (shop, held) = edited(shop, pending);
        let (shop, held) = (RwSignal::new(shop), RwSignal::new(held));
        let in_force = memo(move || held.with(|held| shop.with(|shop| in_force(shop, held))));
        let book = RwSignal::new(book);
        let order = memo(move || book.with(|book| book.current().order.clone()));
        let letters = memo(move || order.with(|order| in_force.with(|shop| plan::letters(order, shop))));
        let question = memo(move || {
            let needs = letters.with(|letters| letters.needs.clone());
            in_force.with(|shop| Question::new(needs, &shop.lists))
        });
        let search = MixSearch::new(question, None);
        let plan = memo(move || {
            order.with(|order| {
                in_force.with(|shop| plan::priced(order, shop, letters.get(), search.mix.get()))
            })
        });
        let desk = Self {
            shop,
            held,
            in_force,
            book,
            usual: RwSignal::new(usual),
            order,
            plan,
            search,
            basket: Basket::new(in_force, book, letters, search),
            runs: Runs::new(),
            screen: RwSignal::new(Screen::Order),
            notices: RwSignal::new(super::device::findings(&store, is_for_customer)),
            done: RwSignal::new(None),
            unread: RwSignal::new(Vec::new()),
            refused: RwSignal::new(None),
            fresh: RwSignal::new(String::new()),
            guest: RwSignal::new(guest),
            offered: RwSignal::new(None),
            backup: RwSignal::new(backup),
            store: StoredValue::new_local(store),
            unkept: RwSignal::new(None),
            kept: RwSignal::new(0),
            typing: Typing::new(),
            begun: Begun::new(),
        };
        update_first(in_force);
        update_first(order);
        desk.follow_asked(asked);
        desk.keep();
        desk.keep_ledger();
        desk.search.follow();
        desk.end_undo_with_the_next_change();
        desk
    }

    /// Takes up another link in an open page. Over a customer's quote nothing of the shop has been
    /// read, so the page begins anew.
    pub fn follow_change(self) {
        if untrack(move || self.is_closed()) {
            address::reload();
        } else {
            self.follow_asked(Asked::read());
        }
    }

    fn follow_asked(self, asked: Asked) {
        match asked {
            Asked::Link(link) => self.follow(link),
            Asked::Book(part) => self.take_in_fragment(part),
        }
    }

    /// Opens what a link asks for. A link that is refused changes nothing.
    fn follow(self, link: Result<Option<Link>, LinkError>) {
        let refused = match link {
            Ok(None) => return,
            Ok(Some(Link::Quote(quote))) => return self.guest.set(Some(*quote)),
            Ok(Some(Link::Accept(yes))) => {
                self.tell(self.take_answer(&yes));
                self.screen.set(Screen::Quote);
                return address::clear_fragment();
            }
            Ok(Some(Link::Copy(copy))) => {
                self.offered.set(Some(*copy));
                return address::clear_fragment();
            }
            Ok(Some(Link::Start(start))) => {
                let lists = self.in_force.with_untracked(|shop| shop.lists.clone());
                match start.order(&lists, new_id(), &clock::today()) {
                    Ok(order) => {
                        self.book.update(|book| book.begin(order, clock::now()));
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
            self.tell(Notice::wrong(refused.to_string()));
            address::clear_fragment();
        }
    }

    /// Tells something at the head of the page, once while it stands there.
    pub fn tell(self, notice: Notice) {
        self.notices.update(|notices| {
            notices.retain(|known| *known != notice);
            notices.push(notice);
        });
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

    /// Whether the page shows a customer's quote and leaves everything kept alone.
    pub fn is_closed(self) -> bool {
        self.guest.with(Option::is_some) || self.refused.with(Option::is_some)
    }

    /// The problems at a place, the worst first.
    pub fn problems_at(self, here: impl Fn(&Place) -> bool + Send + Sync + 'static) -> Memo<Vec<Problem>> {
        let problems = move |plan: &Plan| plan.problems.iter().filter(|p| here(&p.place)).cloned().collect();
        memo(move || self.plan.with(|plan| problems(plan)))
    }
}

/// Sees to it that a memo is up to date before any view asks for what follows from it.
///
/// A view that reads the plan and then the shop would bring the shop up to date by asking for the
/// plan; where the plan stays the same, the reactive graph would then take the shop for unchanged
/// as well, and that view would go on showing what it showed.
fn update_first<T: Send + Sync + 'static>(memo: Memo<T>) {
    let first = RenderEffect::new(move |_| memo.with(|_| ()));
    // Lives as long as the page.
    on_cleanup(move || drop(first));
}

/// What the address asks for.
enum Asked {
    /// Nothing, or a link of ours, or one that is refused.
    Link(Result<Option<Link>, LinkError>),
    /// To take in a part of another phone's book, or why it cannot be read.
    Book(Result<Box<Parts>, String>),
}

impl Asked {
    fn read() -> Self {
        let fragment = address::fragment();
        match swap::read_fragment(&fragment) {
            None => Self::Link(share::read(&fragment)),
            Some(part) => Self::Book(part.map(Box::new)),
        }
    }
}

/// An id for a new order.
pub fn new_id() -> OrderId {
    fresh_id(clock::now(), clock::dice())
}

/// The shop with changes that wait to be saved, and what counts meanwhile.
pub fn edited(shop: Shop, pending: Option<Pending>) -> (Shop, Option<Pending>) {
    match pending {
        None => (shop, None),
        Some(Pending { lists, settings }) => {
            let held = Pending { lists: shop.lists, settings: shop.settings };
            (Shop { lists, settings, shelf: shop.shelf }, Some(held))
        }
    }
}

/// The shop that counts, from the one being edited and what is held against it.
pub fn in_force(shop: &Shop, held: &Option<Pending>) -> Shop {
    match held {
        None => shop.clone(),
        Some(Pending { lists, settings }) => {
            Shop { lists: lists.clone(), settings: settings.clone(), shelf: shop.shelf.clone() }
        }
    }
}
