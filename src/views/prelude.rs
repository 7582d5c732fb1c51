//! Leptos as the views use it: with types forgotten early.
//!
//! Leptos makes code for every type that goes through it, and each closure and each shape of
//! markup is a type of its own. Here the same few tools forget them, which spares a large part of
//! the page's download and costs a pointer here and there.

pub use leptos::prelude::*;

/// Leptos' own `view!`, with the type of what it makes forgotten at once.
macro_rules! view {
    ($($markup:tt)*) => { ::leptos::prelude::IntoAny::into_any(::leptos::prelude::view! { $($markup)* }) };
}
pub(in crate::views) use view;

use std::hash::{BuildHasher, BuildHasherDefault, DefaultHasher, Hash};

/// What makes the view of one entry of a list.
type Maker = Box<dyn FnOnce() -> AnyView + Send>;

/// The children as long as something holds, else the fallback.
#[component]
pub fn Show(
    children: ChildrenFn,
    #[prop(into)] when: Callback<(), bool>,
    #[prop(optional, into)] fallback: ViewFn,
) -> impl IntoView {
    let holds = memo(move || when.run(()));
    move || if holds.get() { children() } else { fallback.run() }
}

/// A view for each entry of a list. An entry keeps its own as long as its key is on the list.
#[component]
pub fn For<I, T, K, V>(
    /// The entries.
    each: impl Fn() -> I + Send + 'static,
    /// What tells an entry from the others.
    key: impl Fn(&T) -> K + Send + 'static,
    /// The view of an entry.
    children: impl Fn(T) -> V + Send + Sync + Clone + 'static,
) -> impl IntoView
where
    I: IntoIterator<Item = T>,
    T: Send + 'static,
    K: Hash,
    V: IntoView + 'static,
{
    // Keys of all types become numbers: two of the same hash in one list are past all likelihood.
    let hasher = BuildHasherDefault::<DefaultHasher>::default();
    let entries = move || {
        let maker = |entry: T| {
            let key = hasher.hash_one(key(&entry));
            let children = children.clone();
            (key, Box::new(move || children(entry).into_any()) as Maker)
        };
        each().into_iter().map(maker).collect()
    };
    keyed(Box::new(entries))
}

fn keyed(entries: Box<dyn Fn() -> Vec<(u64, Maker)> + Send>) -> AnyView {
    use leptos::control_flow::For;
    leptos::prelude::view! { <For each=entries key=|(key, _)| *key children=|(_, maker): (u64, Maker)| maker()/> }.into_any()
}

/// A value that follows from signals.
pub fn memo<T: PartialEq + Send + Sync + 'static>(value: impl Fn() -> T + Send + Sync + 'static) -> Memo<T> {
    let value: Box<dyn Fn() -> T + Send + Sync> = Box::new(value);
    Memo::new(move |_| value())
}

/// A signal that follows from others, worked out anew for each reader.
pub fn derived<T: Send + Sync + 'static>(value: impl Fn() -> T + Send + Sync + 'static) -> Signal<T> {
    let value: Box<dyn Fn() -> T + Send + Sync> = Box::new(value);
    Signal::derive(value)
}
