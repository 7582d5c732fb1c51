//! The suppliers: their freight, their order minimum, and what the shop noted about them.

use super::entries::{EntryId, EntryPanel, Held};
use super::parts::{NumberField, ParsedField, TextField};
use crate::views::prelude::*;
use lettertally::lists::entries::List;
use lettertally::lists::{Supplier, steps};
use lettertally::money::Cents;
use lettertally::number;

/// Everybody who sells letters.
#[component]
pub fn Suppliers() -> impl IntoView {
    view! { <EntryPanel title="Suppliers" list=List::Suppliers card=card/> }
}

fn card(id: EntryId) -> AnyView {
    let supplier = Held::<Supplier>::new(id);
    view! {
        <TextField label="Name" value=supplier.text(|s| s.name.clone()) commit=move |text: String| supplier.change(&|s| s.name.clone_from(&text))/>
        <NumberField
            label="Order minimum"
            unit=supplier.currency().code().to_owned()
            help="The least merchandise it accepts; 0 for none."
            value=supplier.money(|s, currency| currency.plain(s.minimum))
            commit=move |text: String| {
                let cents = Cents::parse(&text, &supplier.currency())?;
                supplier.change(&|s| s.minimum = cents);
                Ok(())
            }
        />
        <ParsedField
            label="Freight, by merchandise"
            help="From which subtotal on it costs what, such as 0: 8.00, 75: 5.00, 150: 0. Empty for none."
            value=supplier.money(|s, currency| steps::write_freight(&s.freight, currency))
            commit=move |text: String| {
                let steps = steps::read_freight(&text, &supplier.currency()).map_err(|error| error.to_string())?;
                supplier.change(&|s| s.freight.clone_from(&steps));
                Ok(())
            }
        />
        <NumberField
            label="Days until goods come"
            help="From ordering on; empty where you do not know."
            whole=true
            value=supplier.text(|s| s.days.map_or(String::new(), |days| days.to_string()))
            commit=move |text: String| {
                let days = match text.trim() {
                    "" => None,
                    text => u16::try_from(number::whole(text, 0, 365)?).ok(),
                };
                supplier.change(&|s| s.days = days);
                Ok(())
            }
        />
        <DateField supplier/>
        <TextField label="Note" help="Account number, days it ships, whom to ask." value=supplier.text(|s| s.note.clone()) commit=move |text: String| supplier.change(&|s| s.note.clone_from(&text))/>
    }
    .into_any()
}

/// The day of the supplier's price list, chosen on the device's own calendar.
#[component]
fn DateField(supplier: Held<Supplier>) -> impl IntoView {
    let id = super::parts::element_id();
    let value = supplier.text(|s| s.date.clone());
    view! {
        <div class="field">
            <label for=id.clone()>"Price list of"</label>
            <span class="field-box">
                <input
                    id=id
                    type="date"
                    prop:value=move || value.get()
                    on:change:target=move |ev| {
                        let date = ev.target().value();
                        supplier.change(&|s| s.date.clone_from(&date));
                    }
                />
            </span>
        </div>
    }
}
