//! The shop's finishes, blanks and letter styles, edited in place.

use super::parts::{Choice, NumberField, Panel, TextField, Tick};
use super::state::desk;
use leptos::prelude::*;
use lettertally::length::{Length, Units};
use lettertally::lists::{
    Blank, BlankId, BlankSize, Colour, ColourId, Finish, FinishId, LetterStyle, Lists, Peel, Recipe, Rgb,
    StyleId, fresh_id,
};
use lettertally::money::Cents;
use lettertally::number;

/// The finishes with their colours and recipes.
#[component]
pub fn Finishes() -> impl IntoView {
    let desk = desk();
    let ids = Memo::new(move |_| {
        desk.shop.with(|shop| shop.lists.finishes.iter().map(|f| f.id.clone()).collect::<Vec<_>>())
    });
    let add = move |_| {
        desk.change_lists(|lists| {
            let finish = fresh_finish(lists);
            desk.fresh.set(finish.id.to_string());
            lists.finishes.push(finish);
        });
    };
    view! {
        <Panel title="Finishes">
            <For each=move || ids.get() key=Clone::clone let(id)>
                <FinishCard id/>
            </For>
            <button type="button" class="wide" on:click=add>"Add a finish"</button>
            <p class="help">"A new finish or colour is sold once an offer on the price list has it ticked."</p>
            <p class="help">"Recipes are common practice, no source: the letter supplier's own sheet rules."</p>
        </Panel>
    }
}

fn fresh_finish(lists: &Lists) -> Finish {
    let id = fresh_id("finish", lists.finishes.iter().map(|finish| finish.id.as_str()));
    Finish {
        id: FinishId::new(id),
        name: "new finish".to_owned(),
        colours: vec![Colour { id: ColourId::new("white"), name: "white".to_owned(), screen: Rgb([255; 3]) }],
        recipe: Recipe {
            fahrenheit: 305,
            dwell_from: 10,
            dwell_to: 15,
            pressure: "medium".to_owned(),
            peel: Peel::Warm,
            cover_sheet: true,
        },
    }
}

#[component]
fn FinishCard(id: FinishId) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(id);
    let entry = Memo::new(move |_| desk.shop.with(|shop| id.with_value(|id| shop.lists.finish(id).cloned())));
    let change = move |change: &dyn Fn(&mut Finish)| {
        desk.change_lists(|lists| {
            if let Some(finish) =
                lists.finishes.iter_mut().find(|finish| id.with_value(|id| finish.id == *id))
            {
                change(finish);
            }
        });
    };
    let of = move |part: fn(&Finish) -> String| {
        Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), part)))
    };
    let colours = Memo::new(move |_| {
        entry.with(|e| {
            e.as_ref()
                .map_or(vec![], |finish| finish.colours.iter().map(|c| c.id.clone()).collect::<Vec<_>>())
        })
    });
    let add_colour = move |_| {
        change(&|finish| {
            let id = fresh_id("colour", finish.colours.iter().map(|colour| colour.id.as_str()));
            finish.colours.push(Colour {
                id: ColourId::new(id),
                name: "new colour".to_owned(),
                screen: Rgb([128; 3]),
            });
        });
    };
    let remove = move |_| {
        let name = entry.with_untracked(|e| e.as_ref().map_or(String::new(), |finish| finish.name.clone()));
        desk.remove(name, |desk| {
            desk.change_lists(|lists| lists.finishes.retain(|finish| id.with_value(|id| finish.id != *id)))
        });
    };
    view! {
        <details class="entry" open=id.with_value(|id| desk.fresh.with_untracked(|fresh| id.as_str() == fresh))>
            <summary>{of(|finish| finish.name.clone())}</summary>
            <TextField label="Name" value=of(|finish| finish.name.clone()) commit=move |text: String| change(&|finish| finish.name.clone_from(&text))/>
            <div class="grid">
                <NumberField label="Heat" unit="°F" whole=true value=of(|f| f.recipe.fahrenheit.to_string()) commit=move |text: String| { let n = small(&text, 100, 500)?; change(&|f| f.recipe.fahrenheit = n); Ok(()) }/>
                <NumberField label="Dwell from" unit="s" whole=true value=of(|f| f.recipe.dwell_from.to_string()) commit=move |text: String| { let n = small(&text, 1, 600)?; change(&|f| f.recipe.dwell_from = n); Ok(()) }/>
                <NumberField label="Dwell to" unit="s" whole=true value=of(|f| f.recipe.dwell_to.to_string()) commit=move |text: String| { let n = small(&text, 1, 600)?; change(&|f| f.recipe.dwell_to = n); Ok(()) }/>
                <Choice
                    label="Peel"
                    options=Signal::stored(Peel::ALL.map(|peel| (peel.word().to_owned(), peel.word().to_owned())).to_vec())
                    value=of(|f| f.recipe.peel.word().to_owned())
                    commit=move |word| if let Some(peel) = Peel::ALL.into_iter().find(|peel| peel.word() == word) { change(&|f| f.recipe.peel = peel) }
                />
            </div>
            <TextField label="Pressure" value=of(|f| f.recipe.pressure.clone()) commit=move |text: String| change(&|f| f.recipe.pressure.clone_from(&text))/>
            <Tick label="With a cover sheet" value=Signal::derive(move || entry.with(|e| e.as_ref().is_some_and(|f| f.recipe.cover_sheet))) commit=move |on| change(&|f| f.recipe.cover_sheet = on)/>
            <h4>"Colours"</h4>
            <For each=move || colours.get() key=Clone::clone let(colour)>
                <ColourRow finish=id colour/>
            </For>
            <div class="row">
                <button type="button" on:click=add_colour>"Add a colour"</button>
                <button type="button" on:click=remove>"Remove this finish"</button>
            </div>
        </details>
    }
}

fn small(text: &str, least: u32, most: u32) -> Result<u16, number::NumberError> {
    Ok(u16::try_from(number::whole(text, least, most)?).unwrap_or(u16::MAX))
}

#[component]
fn ColourRow(finish: StoredValue<FinishId>, colour: ColourId) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(colour);
    let entry = Memo::new(move |_| {
        desk.shop.with(|shop| {
            finish.with_value(|finish| id.with_value(|id| shop.lists.colour(finish, id).cloned()))
        })
    });
    let change_all = move |change: &dyn Fn(&mut Vec<Colour>)| {
        desk.change_lists(|lists| {
            let found =
                lists.finishes.iter_mut().find(|entry| finish.with_value(|finish| entry.id == *finish));
            if let Some(found) = found {
                change(&mut found.colours);
            }
        });
    };
    let change = move |change: &dyn Fn(&mut Colour)| {
        change_all(&|colours| {
            if let Some(colour) = colours.iter_mut().find(|colour| id.with_value(|id| colour.id == *id)) {
                change(colour);
            }
        });
    };
    let name = Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), |c| c.name.clone())));
    let remove = move |_| {
        desk.remove(format!("colour {}", name.get_untracked()), |_| {
            change_all(&|colours| colours.retain(|colour| id.with_value(|id| colour.id != *id)));
        });
    };
    view! {
        <div class="row colour-row">
            <label class="colour-well">
                <span class="hidden">{move || format!("How {} looks", name.get())}</span>
                <input
                    type="color"
                    prop:value=move || entry.with(|e| e.as_ref().map_or(String::new(), |c| c.screen.to_string()))
                    on:input:target=move |ev| if let Some(screen) = Rgb::parse(&ev.target().value()) { change(&|c| c.screen = screen) }
                />
            </label>
            <TextField label="Colour" bare=true value=name commit=move |text: String| change(&|c| c.name.clone_from(&text))/>
            <button type="button" class="low" aria-label=move || format!("Remove {}", name.get()) on:click=remove>"✕"</button>
        </div>
    }
}

/// The blanks with their sizes.
#[component]
pub fn Blanks() -> impl IntoView {
    let desk = desk();
    let ids = Memo::new(move |_| {
        desk.shop.with(|shop| shop.lists.blanks.iter().map(|b| b.id.clone()).collect::<Vec<_>>())
    });
    let add = move |_| {
        desk.change_lists(|lists| {
            let id = fresh_id("blank", lists.blanks.iter().map(|blank| blank.id.as_str()));
            desk.fresh.set(id.clone());
            lists.blanks.push(Blank {
                id: BlankId::new(id),
                name: "new garment".to_owned(),
                screen: Rgb([120, 130, 140]),
                sizes: vec![fresh_size("M")],
            });
        });
    };
    view! {
        <Panel title="Blanks">
            <For each=move || ids.get() key=Clone::clone let(id)>
                <BlankCard id/>
            </For>
            <button type="button" class="wide" on:click=add>"Add a blank"</button>
            <p class="help">"Measure your own garments: the demo's figures are assumptions."</p>
        </Panel>
    }
}

fn fresh_size(name: &str) -> BlankSize {
    BlankSize {
        name: name.to_owned(),
        price: Cents::ZERO,
        width: Length::inches(20),
        length: Length::inches(29),
    }
}

#[component]
fn BlankCard(id: BlankId) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(id);
    let entry = Memo::new(move |_| desk.shop.with(|shop| id.with_value(|id| shop.lists.blank(id).cloned())));
    let change = move |change: &dyn Fn(&mut Blank)| {
        desk.change_lists(|lists| {
            if let Some(blank) = lists.blanks.iter_mut().find(|blank| id.with_value(|id| blank.id == *id)) {
                change(blank);
            }
        });
    };
    let name = Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), |b| b.name.clone())));
    let count = Memo::new(move |_| entry.with(|e| e.as_ref().map_or(0, |b| b.sizes.len())));
    let remove = move |_| {
        desk.remove(name.get_untracked(), |desk| {
            desk.change_lists(|lists| lists.blanks.retain(|blank| id.with_value(|id| blank.id != *id)));
        });
    };
    view! {
        <details class="entry" open=id.with_value(|id| desk.fresh.with_untracked(|fresh| id.as_str() == fresh))>
            <summary>{name}</summary>
            <div class="row colour-row">
                <label class="colour-well">
                    <span class="hidden">"How the garment looks"</span>
                    <input
                        type="color"
                        prop:value=move || entry.with(|e| e.as_ref().map_or(String::new(), |b| b.screen.to_string()))
                        on:input:target=move |ev| if let Some(screen) = Rgb::parse(&ev.target().value()) { change(&|b| b.screen = screen) }
                    />
                </label>
                <TextField label="Name" value=name commit=move |text: String| change(&|b| b.name.clone_from(&text))/>
            </div>
            <For each=move || 0..count.get() key=|at| *at let(at)>
                <SizeRow blank=id at=at/>
            </For>
            <div class="row">
                <button type="button" on:click=move |_| change(&|b| b.sizes.push(BlankSize { name: String::new(), ..b.sizes.last().cloned().unwrap_or(fresh_size("")) }))>"Add a size"</button>
                <button type="button" on:click=remove>"Remove this blank"</button>
            </div>
        </details>
    }
}

#[component]
fn SizeRow(blank: StoredValue<BlankId>, at: usize) -> impl IntoView {
    let desk = desk();
    let entry = Memo::new(move |_| {
        desk.shop.with(|shop| blank.with_value(|blank| shop.lists.blank(blank)?.sizes.get(at).cloned()))
    });
    let change_all = move |change: &dyn Fn(&mut Vec<BlankSize>)| {
        desk.change_lists(|lists| {
            if let Some(found) =
                lists.blanks.iter_mut().find(|entry| blank.with_value(|blank| entry.id == *blank))
            {
                change(&mut found.sizes);
            }
        });
    };
    let change = move |change: &dyn Fn(&mut BlankSize)| {
        change_all(&|sizes| {
            if let Some(size) = sizes.get_mut(at) {
                change(size);
            }
        });
    };
    let currency = move || desk.shop.with(|shop| shop.settings.currency.clone());
    let of = move |part: fn(&BlankSize) -> String| {
        Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), part)))
    };
    let price = move || entry.with(|e| e.as_ref().map_or(String::new(), |size| currency().plain(size.price)));
    let units = move || desk.shop.with(|shop| shop.settings.units);
    let mark = Signal::derive(move || units().mark().to_owned());
    let measure = move |part: fn(&BlankSize) -> Length| {
        Signal::derive(move || {
            entry.with(|e| e.as_ref().map_or(String::new(), |size| units().write(part(size))))
        })
    };
    let remove = move |_| {
        desk.remove("a size".to_owned(), |_| {
            change_all(&|sizes| {
                if at < sizes.len() {
                    sizes.remove(at);
                }
            });
        });
    };
    view! {
        <div class="size-row">
            <TextField label="Size" value=of(|s| s.name.clone()) commit=move |text: String| change(&|s| s.name.clone_from(&text))/>
            <NumberField label="Price" value=Signal::derive(price) commit=move |text: String| { let cents = Cents::parse(&text, &currency())?; change(&|s| s.price = cents); Ok(()) }/>
            <NumberField label="Width" unit=mark value=measure(|s| s.width) commit=move |text: String| { let l = body(&text, units())?; change(&|s| s.width = l); Ok(()) }/>
            <NumberField label="Length" unit=mark value=measure(|s| s.length) commit=move |text: String| { let l = body(&text, units())?; change(&|s| s.length = l); Ok(()) }/>
            <button type="button" class="low" aria-label="Remove this size" on:click=remove>"✕"</button>
        </div>
    }
}

/// A garment's width or length: from a doll's to a tent's.
fn body(text: &str, units: Units) -> Result<Length, number::NumberError> {
    let (least, most) = match units {
        Units::Inches => (2, 100),
        Units::Millimetres => (50, 2_500),
    };
    let of = |figure: u64| units.read(&figure.to_string());
    match units.read(text)? {
        short if short < of(least)? => Err(number::NumberError::TooSmall { least }),
        long if long > of(most)? => Err(number::NumberError::TooLarge { most }),
        good => Ok(good),
    }
}

/// The letter styles.
#[component]
pub fn Styles() -> impl IntoView {
    let desk = desk();
    let ids = Memo::new(move |_| {
        desk.shop.with(|shop| shop.lists.styles.iter().map(|s| s.id.clone()).collect::<Vec<_>>())
    });
    let add = move |_| {
        desk.change_lists(|lists| {
            let id = fresh_id("style", lists.styles.iter().map(|style| style.id.as_str()));
            lists.styles.push(LetterStyle {
                id: StyleId::new(id),
                name: "new style".to_owned(),
                six_is_nine: false,
            });
        });
    };
    view! {
        <Panel title="Letter styles">
            <For each=move || ids.get() key=Clone::clone let(id)>
                <StyleRow id/>
            </For>
            <button type="button" class="wide" on:click=add>"Add a letter style"</button>
        </Panel>
    }
}

#[component]
fn StyleRow(id: StyleId) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(id);
    let entry = Memo::new(move |_| desk.shop.with(|shop| id.with_value(|id| shop.lists.style(id).cloned())));
    let change = move |change: &dyn Fn(&mut LetterStyle)| {
        desk.change_lists(|lists| {
            if let Some(style) = lists.styles.iter_mut().find(|style| id.with_value(|id| style.id == *id)) {
                change(style);
            }
        });
    };
    let name = Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), |s| s.name.clone())));
    let remove = move |_| {
        desk.remove(name.get_untracked(), |desk| {
            desk.change_lists(|lists| lists.styles.retain(|style| id.with_value(|id| style.id != *id)));
        });
    };
    view! {
        <div class="row">
            <TextField label="Name" value=name commit=move |text: String| change(&|s| s.name.clone_from(&text))/>
            <button type="button" class="low" aria-label=move || format!("Remove {}", name.get()) on:click=remove>"✕"</button>
        </div>
        <Tick
            label="One cut piece serves as 6 and as 9"
            value=Signal::derive(move || entry.with(|e| e.as_ref().is_some_and(|s| s.six_is_nine)))
            commit=move |on| change(&|s| s.six_is_nine = on)
        />
    }
}
