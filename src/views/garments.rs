//! How many garments: by size, or by name from a roster.

use super::parts::{Choice, NumberField, Problems, Switch, TextField, counted, element_id};
use super::state::desk;
use crate::views::prelude::*;
use lettertally::number;
use lettertally::order::roster::{self, Column, Roster};
use lettertally::order::{CountBy, Design, SizeCount};
use lettertally::problem::Place;

/// The garments of a design.
#[component]
pub fn Garments(
    /// The design, from 0.
    design: usize,
) -> impl IntoView {
    let desk = desk();
    let by_name = memo(move || {
        desk.order
            .with(|order| order.designs.get(design).is_some_and(|design| design.count_by == CountBy::Roster))
    });
    view! {
        <div class="garments">
            <h3>"How many"</h3>
            <Switch
                label="Count garments"
                options=vec!["By size", "By name"]
                value=derived(move || usize::from(by_name.get()))
                commit=move |at| {
                    let count_by = if at == 0 { CountBy::Sizes } else { CountBy::Roster };
                    desk.change_design(design, |design| design.count_by = count_by);
                }
            />
            <Show when=move || by_name.get() fallback=move || view! { <Sizes design=design/> }>
                <RosterEditor design=design/>
            </Show>
        </div>
    }
}

/// A count for each size of the blank.
#[component]
fn Sizes(design: usize) -> impl IntoView {
    let desk = desk();
    let sizes = memo(move || {
        desk.order.with(|order| {
            let design = order.designs.get(design)?;
            let mut names: Vec<String> = desk.in_force.with(|shop| {
                let blank = shop.lists.blank(&design.blank);
                blank.map_or(vec![], |blank| blank.sizes.iter().map(|size| size.name.clone()).collect())
            });
            // Sizes that the blank does not have stay in reach while something is counted there.
            let strays = design.sizes.iter().filter(|entry| entry.count > 0 && !names.contains(&entry.size));
            let strays: Vec<String> = strays.map(|entry| entry.size.clone()).collect();
            names.extend(strays);
            Some(names)
        })
    });
    view! {
        <div class="sizes">
            <For each=move || sizes.get().unwrap_or_default() key=Clone::clone let(size)>
                <SizeField design=design size=size/>
            </For>
        </div>
        <Problems problems=desk.problems_at(move |place| *place == Place::Sizes(design))/>
    }
}

#[component]
fn SizeField(design: usize, size: String) -> impl IntoView {
    let desk = desk();
    let name = StoredValue::new(size.clone());
    let count = memo(move || {
        desk.order.with(|order| {
            let entry = order.designs.get(design).and_then(|design| {
                design.sizes.iter().find(|entry| name.with_value(|name| entry.size == *name))
            });
            entry.map_or(0, |entry| entry.count)
        })
    });
    let set = move |count: u16| {
        desk.change_design(design, |design| set_count(design, name.get_value(), count));
    };
    view! {
        <div class="size">
            <NumberField
                label=size.clone()
                whole=true
                value=derived(move || match count.get() { 0 => String::new(), count => count.to_string() })
                commit=move |text: String| {
                    let count = if text.trim().is_empty() { 0 } else { number::whole(&text, 0, 9_999)? };
                    set(u16::try_from(count).unwrap_or(u16::MAX));
                    Ok(())
                }
            />
            <div class="step">
                <button type="button" aria-label=format!("One {size} less") on:click=move |_| set(count.get().saturating_sub(1))>"−"</button>
                <button type="button" aria-label=format!("One {size} more") on:click=move |_| set((count.get() + 1).min(9_999))>"+"</button>
            </div>
        </div>
    }
}

fn set_count(design: &mut Design, size: String, count: u16) {
    match design.sizes.iter_mut().find(|entry| entry.size == size) {
        Some(entry) => entry.count = count,
        None => design.sizes.push(SizeCount { size, count }),
    }
}

/// The roster as text, what was read from it, and a form to add one person.
#[component]
fn RosterEditor(design: usize) -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let text = memo(move || {
        desk.order
            .with(|order| order.designs.get(design).map_or(String::new(), |design| design.roster.clone()))
    });
    let read = memo(move || {
        desk.plan.with(|plan| {
            plan.readings.get(design).map_or_else(Roster::default, |reading| reading.roster.clone())
        })
    });
    let summary = move || {
        read.with(|roster| {
            let garments: u64 = roster.people.iter().map(|person| u64::from(person.quantity)).sum();
            let faults = match roster.faults.len() {
                0 => String::new(),
                1 => ", 1 row to fix".to_owned(),
                more => format!(", {more} rows to fix"),
            };
            let people = counted(roster.people.len(), "person", "people");
            format!("{people}, {}{faults}", counted(garments, "garment", "garments"))
        })
    };
    view! {
        <div class="field">
            <label for=id.clone()>"People: type, or paste from a spreadsheet"</label>
            <textarea
                id=id.clone()
                class="roster"
                rows="6"
                spellcheck="false"
                autocomplete="off"
                wrap="off"
                placeholder="name, number, size, quantity"
                prop:value=move || text.get()
                on:input:target=move |ev| {
                    let text = ev.target().value();
                    desk.typing.then(move || desk.change_design(design, |design| design.roster = text));
                }
            ></textarea>
            <p class="help" aria-live="polite">{summary}</p>
        </div>
        <Problems problems=desk.problems_at(move |place| matches!(place, Place::Roster { design: at, .. } if *at == design))/>
        <AddPerson design=design/>
        <details>
            <summary>"As it was read"</summary>
            <Preview read=read/>
        </details>
    }
}

#[component]
fn AddPerson(design: usize) -> impl IntoView {
    let desk = desk();
    let name = RwSignal::new(String::new());
    let number = RwSignal::new(String::new());
    let size = RwSignal::new(String::new());
    let sizes = memo(move || {
        desk.order.with(|order| {
            let id = order.designs.get(design).map(|design| design.blank.clone());
            desk.in_force.with(|shop| {
                let blank = id.and_then(|id| shop.lists.blank(&id).cloned());
                blank.map_or(vec![], |blank| {
                    blank.sizes.into_iter().map(|size| (size.name.clone(), size.name)).collect()
                })
            })
        })
    });
    let chosen = move || match size.get() {
        none if none.is_empty() => {
            sizes.with(|sizes| sizes.first().map_or(String::new(), |(size, _)| size.clone()))
        }
        size => size,
    };
    let is_begun = move || {
        (name.with(|name| !name.is_empty()) || number.with(|number| !number.is_empty())).then_some("")
    };
    let add = move |ev: leptos::ev::SubmitEvent| {
        ev.prevent_default();
        let read =
            desk.plan.with_untracked(|plan| plan.readings.get(design).map(|reading| reading.roster.clone()));
        let (name_text, number_text) = (name.get_untracked(), number.get_untracked());
        if name_text.trim().is_empty() && number_text.trim().is_empty() {
            return;
        }
        let size_text = chosen();
        let cell = |column: &Column| match column {
            Column::Name => name_text.trim(),
            Column::Number => number_text.trim(),
            Column::Size => size_text.as_str(),
            Column::Quantity => "1",
            Column::Other => "",
        };
        let usual = [Column::Name, Column::Number, Column::Size];
        let columns =
            read.map(|read| read.columns).filter(|columns| !columns.is_empty()).unwrap_or(usual.to_vec());
        let cells: Vec<&str> = columns.iter().map(cell).collect();
        desk.change_design(design, |design| roster::add_row(&mut design.roster, &cells));
        name.set(String::new());
        number.set(String::new());
    };
    view! {
        <form class="add-person" data-unkept=is_begun on:submit=add>
            <TextField label="Name" value=name commit=move |text| name.set(text)/>
            <TextField label="No." value=number commit=move |text| number.set(text)/>
            <Choice label="Size" options=sizes value=derived(chosen) commit=move |text| size.set(text)/>
            <button type="submit">"Add"</button>
        </form>
    }
}

/// The rows as they were understood.
#[component]
fn Preview(read: Memo<Roster>) -> impl IntoView {
    const SHOWN: usize = 200;
    let columns = move || {
        read.with(|roster| {
            let words: Vec<&str> = roster.columns.iter().map(|column| column.word()).collect();
            let header = if roster.has_header { "headings in the first row" } else { "no headings" };
            format!("Columns: {} ({header}).", words.join(", "))
        })
    };
    let people = move || {
        let row = |person: &lettertally::order::Person| {
            view! {
                <tr>
                    <td class="num">{person.row}</td>
                    <td>{person.name.clone()}</td>
                    <td>{person.number.clone()}</td>
                    <td>{person.size.clone()}</td>
                    <td class="num">{person.quantity}</td>
                </tr>
            }
        };
        read.with(|roster| roster.people.iter().take(SHOWN).map(row).collect_view())
    };
    let faults = move || {
        let row = |fault: &lettertally::order::RowFault| {
            view! {
                <tr class="bad">
                    <td class="num">{fault.row}</td>
                    <td colspan="4">{fault.text.clone()}<br/>{fault.kind.to_string()}</td>
                </tr>
            }
        };
        read.with(|roster| roster.faults.iter().take(SHOWN).map(row).collect_view())
    };
    let more = move || read.with(|roster| roster.people.len().saturating_sub(SHOWN));
    view! {
        <p class="help">{columns}</p>
        <div class="scroll" tabindex="0" role="group" aria-label="The rows as they were read">
            <table>
                <thead><tr><th scope="col">"Row"</th><th scope="col">"Name"</th><th scope="col">"No."</th><th scope="col">"Size"</th><th scope="col">"Qty"</th></tr></thead>
                <tbody>{faults}{people}</tbody>
            </table>
        </div>
        {move || (more() > 0).then(|| view! { <p class="help">{format!("and {} more", counted(more(), "person", "people"))}</p> })}
    }
}
