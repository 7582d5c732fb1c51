//! The shop's finishes, blanks and letter styles, edited in place.

use super::entries::{EntryId, EntryPanel, Held};
use super::parts::{Choice, NumberField, TextField, Tick};
use super::state::desk;
use super::widths::WidthTable;
use crate::views::prelude::*;
use lettertally::length::{Length, Units};
use lettertally::lists::entries::List;
use lettertally::lists::recipe::{self, Degrees, Heat};
use lettertally::lists::{
    Blank, BlankId, BlankSize, Colour, ColourId, Finish, FinishId, LetterStyle, Peel, Rgb, fresh_id,
};
use lettertally::money::Cents;
use lettertally::number::{self, NumberError};

/// The finishes with their colours and recipes.
#[component]
pub fn Finishes() -> impl IntoView {
    view! {
        <EntryPanel title="Finishes" list=List::Finishes card=finish_card>
            <p class="help">"A new finish or colour is sold once an offer on the price list has it ticked."</p>
            <p class="help">"Recipes are common practice, no source: the letter supplier's own sheet rules."</p>
        </EntryPanel>
    }
}

/// What letters of a finish stand when the press closes on them again.
#[component]
fn Again(finish: EntryId) -> impl IntoView {
    let finish = Held::<Finish>::new(finish);
    let degrees = memo(move || desk().shop.with(|shop| shop.settings.degrees));
    let again = move || finish.with(|f| f.recipe.again).unwrap_or_default();
    let words = ["their own heat", "another heat", "not at all"];
    let at = move || match again() {
        recipe::Again::AsHot => 0,
        recipe::Again::UpTo(_) => 1,
        recipe::Again::Never => 2,
    };
    let choose = move |word: String| {
        finish.change(&|f| {
            f.recipe.again = match words.iter().position(|known| *known == word) {
                Some(1) => recipe::Again::UpTo(f.recipe.heat),
                Some(2) => recipe::Again::Never,
                _ => recipe::Again::AsHot,
            }
        });
    };
    let most = move || match again() {
        recipe::Again::UpTo(heat) => heat.rounded(degrees.get()).to_string(),
        _ => String::new(),
    };
    view! {
        <div class="grid">
            <Choice
                label="Pressed again, they stand"
                options=Signal::stored(words.map(|word| (word.to_owned(), word.to_owned())).to_vec())
                value=derived(move || words[at()].to_owned())
                commit=choose
            />
            <Show when=move || at() == 1>
                <NumberField
                    label="Up to"
                    unit=derived(move || degrees.get().mark().to_owned())
                    whole=true
                    value=derived(most)
                    commit=move |text: String| {
                        let heat = read_heat(&text, degrees.get_untracked())?;
                        finish.change(&|f| f.recipe.again = recipe::Again::UpTo(heat));
                        Ok(())
                    }
                />
            </Show>
        </div>
    }
}

/// A platen's heat in whole degrees: 100 to 500 °F. Common practice, no source.
fn read_heat(text: &str, degrees: Degrees) -> Result<Heat, NumberError> {
    let (least, most) = match degrees {
        Degrees::Fahrenheit => (100, 500),
        Degrees::Celsius => (38, 260),
    };
    Ok(Heat::new(small(text, least, most)?, degrees))
}

fn finish_card(id: EntryId) -> AnyView {
    let finish = Held::<Finish>::new(id);
    let change = move |change: &dyn Fn(&mut Finish)| finish.change(change);
    let of = move |part: fn(&Finish) -> String| finish.text(part);
    let colours = memo(move || {
        let ids = |finish: &Finish| finish.colours.iter().map(|c| c.id.clone()).collect::<Vec<_>>();
        finish.with(ids).unwrap_or_default()
    });
    let degrees = memo(move || desk().shop.with(|shop| shop.settings.degrees));
    let heat = derived(move || {
        let degrees = degrees.get();
        finish.with(|f| f.recipe.heat.rounded(degrees).to_string()).unwrap_or_default()
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
    view! {
            <TextField label="Name" value=of(|finish| finish.name.clone()) commit=move |text: String| change(&|finish| finish.name.clone_from(&text))/>
            <div class="grid">
                <NumberField label="Heat" unit=derived(move || degrees.get().mark().to_owned()) whole=true value=heat commit=move |text: String| { let heat = read_heat(&text, degrees.get_untracked())?; change(&|f| f.recipe.heat = heat); Ok(()) }/>
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
            <Tick label="With a cover sheet" value=finish.is(|f| f.recipe.cover_sheet) commit=move |on| change(&|f| f.recipe.cover_sheet = on)/>
            <Again finish=id/>
            <h3 class="minor">"Colours"</h3>
            <For each=move || colours.get() key=Clone::clone let(colour)>
                <ColourRow finish=id colour/>
            </For>
            <button type="button" on:click=add_colour>"Add a colour"</button>
    }
    .into_any()
}

fn small(text: &str, least: u32, most: u32) -> Result<u16, number::NumberError> {
    Ok(u16::try_from(number::whole(text, least, most)?).unwrap_or(u16::MAX))
}

#[component]
fn ColourRow(finish: EntryId, colour: ColourId) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(colour);
    let entry = memo(move || {
        desk.shop.with(|shop| {
            let finish = FinishId::new(finish.get_value());
            id.with_value(|id| shop.lists.colour(&finish, id).cloned())
        })
    });
    let change_all = move |change: &dyn Fn(&mut Vec<Colour>)| {
        desk.change_lists(|lists| {
            let found = lists
                .finishes
                .iter_mut()
                .find(|entry| finish.with_value(|finish| entry.id.as_str() == finish));
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
    let name = derived(move || entry.with(|e| e.as_ref().map_or(String::new(), |c| c.name.clone())));
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
    view! {
        <EntryPanel title="Blanks" list=List::Blanks card=blank_card>
            <p class="help">"Measure your own garments: the demo's figures are assumptions."</p>
        </EntryPanel>
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

fn blank_card(id: EntryId) -> AnyView {
    let blank = Held::<Blank>::new(id);
    let change = move |change: &dyn Fn(&mut Blank)| blank.change(change);
    let count = memo(move || blank.with(|b| b.sizes.len()).unwrap_or(0));
    let units = move || desk().shop.with(|shop| shop.settings.units);
    view! {
            <div class="row colour-row">
                <label class="colour-well">
                    <span class="hidden">"How the garment looks"</span>
                    <input
                        type="color"
                        prop:value=blank.text(|b| b.screen.to_string())
                        on:input:target=move |ev| if let Some(screen) = Rgb::parse(&ev.target().value()) { change(&|b| b.screen = screen) }
                    />
                </label>
                <TextField label="Name" value=blank.text(|b| b.name.clone()) commit=move |text: String| change(&|b| b.name.clone_from(&text))/>
            </div>
            <NumberField
                label="Buttons run down from the collar"
                unit=derived(move || units().mark().to_owned())
                help="How far, in front: the platen keeps off them. Leave it empty without buttons."
                value=derived(move || blank.with(|b| b.buttons.map(|length| units().write(length))).flatten().unwrap_or_default())
                commit=move |text: String| {
                    let length = if text.trim().is_empty() { None } else { Some(units().read(&text)?) };
                    change(&|b| b.buttons = length.filter(|length| *length > Length::ZERO));
                    Ok(())
                }
            />
            <For each=move || 0..count.get() key=|at| *at let(at)>
                <SizeRow blank=id at=at/>
            </For>
            <button type="button" on:click=move |_| change(&|b| b.sizes.push(BlankSize { name: String::new(), ..b.sizes.last().cloned().unwrap_or(fresh_size("")) }))>"Add a size"</button>
    }
    .into_any()
}

#[component]
fn SizeRow(blank: EntryId, at: usize) -> impl IntoView {
    let desk = desk();
    let entry = memo(move || {
        let blank = BlankId::new(blank.get_value());
        desk.shop.with(|shop| shop.lists.blank(&blank)?.sizes.get(at).cloned())
    });
    let change_all = move |change: &dyn Fn(&mut Vec<BlankSize>)| {
        desk.change_lists(|lists| {
            if let Some(found) =
                lists.blanks.iter_mut().find(|entry| blank.with_value(|blank| entry.id.as_str() == blank))
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
        derived(move || entry.with(|e| e.as_ref().map_or(String::new(), part)))
    };
    let price = move || entry.with(|e| e.as_ref().map_or(String::new(), |size| currency().plain(size.price)));
    let units = move || desk.shop.with(|shop| shop.settings.units);
    let mark = derived(move || units().mark().to_owned());
    let measure = move |part: fn(&BlankSize) -> Length| {
        derived(move || entry.with(|e| e.as_ref().map_or(String::new(), |size| units().write(part(size)))))
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
            <NumberField label="Price" value=derived(price) commit=move |text: String| { let cents = Cents::parse(&text, &currency())?; change(&|s| s.price = cents); Ok(()) }/>
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
    view! { <EntryPanel title="Letter styles" list=List::Styles card=style_card/> }
}

fn style_card(id: EntryId) -> AnyView {
    let style = Held::<LetterStyle>::new(id);
    view! {
        <TextField label="Name" value=style.text(|s| s.name.clone()) commit=move |text: String| style.change(&|s| s.name.clone_from(&text))/>
        <Tick
            label="One cut piece serves as 6 and as 9"
            value=style.is(|s| s.six_is_nine)
            commit=move |on| style.change(&|s| s.six_is_nine = on)
        />
        <WidthTable id/>
    }
    .into_any()
}
