//! The suppliers: their freight and their order minimum.

use super::parts::{NumberField, Panel, ParsedField, TextField};
use super::state::desk;
use leptos::prelude::*;
use lettertally::lists::{Supplier, SupplierId, fresh_id, steps};
use lettertally::money::Cents;

/// Everybody who sells letters.
#[component]
pub fn Suppliers() -> impl IntoView {
    let desk = desk();
    let ids = Memo::new(move |_| {
        desk.shop.with(|shop| shop.lists.suppliers.iter().map(|s| s.id.clone()).collect::<Vec<_>>())
    });
    let add = move |_| {
        desk.change_lists(|lists| {
            let id = fresh_id("supplier", lists.suppliers.iter().map(|supplier| supplier.id.as_str()));
            desk.fresh.set(id.clone());
            lists.suppliers.push(Supplier {
                id: SupplierId::new(id),
                name: "new supplier".to_owned(),
                freight: Vec::new(),
                minimum: Cents::ZERO,
                date: String::new(),
                note: String::new(),
            });
        });
    };
    view! {
        <Panel title="Suppliers">
            <For each=move || ids.get() key=Clone::clone let(id)>
                <SupplierCard id/>
            </For>
            <button type="button" class="wide" on:click=add>"Add a supplier"</button>
        </Panel>
    }
}

#[component]
fn SupplierCard(id: SupplierId) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(id);
    let entry = Memo::new(move |_| {
        desk.shop.with(|shop| shop.lists.suppliers.iter().find(|s| id.with_value(|id| s.id == *id)).cloned())
    });
    let change = move |change: &dyn Fn(&mut Supplier)| {
        desk.change_lists(|lists| {
            if let Some(supplier) = lists.suppliers.iter_mut().find(|s| id.with_value(|id| s.id == *id)) {
                change(supplier);
            }
        });
    };
    let currency = move || desk.shop.with(|shop| shop.settings.currency.clone());
    let name = Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), |s| s.name.clone())));
    let minimum = move || entry.with(|e| e.as_ref().map_or(String::new(), |s| currency().plain(s.minimum)));
    let freight = move || {
        entry.with(|e| e.as_ref().map_or(String::new(), |s| steps::write_freight(&s.freight, &currency())))
    };
    let several = move || desk.shop.with(|shop| shop.lists.suppliers.len() > 1);
    let remove = move |_| {
        desk.remove(format!("{} and its offers", name.get_untracked()), |desk| {
            desk.change_lists(|lists| {
                id.with_value(|id| {
                    lists.offers.retain(|offer| offer.supplier != *id);
                    lists.suppliers.retain(|supplier| supplier.id != *id);
                });
            });
        });
    };
    view! {
        <details class="entry" open=id.with_value(|id| desk.fresh.with_untracked(|fresh| id.as_str() == fresh))>
            <summary>{name}</summary>
            <TextField label="Name" value=name commit=move |text: String| change(&|s| s.name.clone_from(&text))/>
            <NumberField
                label="Order minimum"
                unit=currency().code().to_owned()
                help="The least merchandise it accepts; 0 for none."
                value=Signal::derive(minimum)
                commit=move |text: String| { let cents = Cents::parse(&text, &currency())?; change(&|s| s.minimum = cents); Ok(()) }
            />
            <ParsedField
                label="Freight, by merchandise"
                help="From which subtotal on it costs what, such as 0: 8.00, 75: 5.00, 150: 0. Empty for none."
                value=Signal::derive(freight)
                commit=move |text: String| {
                    let steps = steps::read_freight(&text, &currency()).map_err(|error| error.to_string())?;
                    change(&|s| s.freight.clone_from(&steps));
                    Ok(())
                }
            />
            <Show when=several>
                <button type="button" on:click=remove>"Remove this supplier and its offers"</button>
            </Show>
        </details>
    }
}
