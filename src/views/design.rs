//! A design: the garment, the lines on it, and its picture.

use super::garments::Garments;
use super::parts::{Choice, NumberField, Panel, Problems, Tick, element_id};
use super::picture::GarmentPicture;
use super::state::desk;
use crate::views::prelude::*;
use lettertally::length::{Length, Units};
use lettertally::lists::{BlankId, Caps, FinishId, Lists, StyleId};
use lettertally::number::NumberError;
use lettertally::order::wording::{NAME, NUMBER};
use lettertally::order::{Bend, CountBy, Curve, Line, Placement, Wording, fresh};
use lettertally::problem::Place;

/// One design of the open order.
#[component]
pub fn DesignCard(
    /// The design, from 0.
    design: usize,
) -> impl IntoView {
    let desk = desk();
    let entry = memo(move || desk.order.with(|order| order.designs.get(design).cloned()));
    let lines = memo(move || entry.with(|entry| entry.as_ref().map_or(0, |entry| entry.lines.len())));
    let blanks = move || {
        desk.in_force.with(|shop| {
            let words = |blank: &lettertally::lists::Blank| (blank.id.to_string(), blank.name.clone());
            shop.lists.blanks.iter().map(words).collect::<Vec<_>>()
        })
    };
    let add_line = move |_| {
        let fresh = desk.in_force.with_untracked(|shop| fresh::line(&shop.lists));
        desk.change_design(design, |design| {
            // A further line begins like the one above it.
            let line = design.lines.last().map(|last| Line { text: Wording::default(), ..last.clone() });
            design.lines.extend(line.or(fresh));
        });
    };
    let remove = move |_| {
        desk.remove("a garment".to_owned(), |desk| {
            desk.change_order(|order| {
                if design < order.designs.len() {
                    order.designs.remove(design);
                }
            });
        });
    };
    let several = move || desk.order.with(|order| order.designs.len() > 1);
    view! {
        <Panel title=if design == 0 { "Garment".to_owned() } else { format!("Garment {}", design + 1) }>
            <GarmentPicture design=design/>
            <div class="row">
                <Choice
                    label="Blank"
                    options=derived(blanks)
                    value=derived(move || entry.with(|entry| entry.as_ref().map_or(String::new(), |e| e.blank.to_string())))
                    commit=move |id| desk.change_design(design, |design| design.blank = BlankId::new(id))
                />
                <Show when=several>
                    <button type="button" class="low" on:click=remove>"Remove"</button>
                </Show>
            </div>
            <Problems problems=desk.problems_at(move |place| *place == Place::Design(design))/>
            <div class="lines">
                <For each=move || 0..lines.get() key=|at| *at let(line)>
                    <LineCard design=design line=line/>
                </For>
            </div>
            <button type="button" class="wide" on:click=add_line>"Add a line"</button>
            <Garments design=design/>
        </Panel>
    }
}

/// One line of lettering.
#[component]
fn LineCard(design: usize, line: usize) -> impl IntoView {
    let desk = desk();
    let entry = memo(move || {
        desk.order.with(|order| order.designs.get(design).and_then(|design| design.lines.get(line)).cloned())
    });
    let of = move |part: fn(&Line) -> String| {
        derived(move || entry.with(|entry| entry.as_ref().map_or(String::new(), part)))
    };
    let by_name = move || {
        desk.order
            .with(|order| order.designs.get(design).is_some_and(|design| design.count_by == CountBy::Roster))
    };
    let insert = move |token: &'static str| {
        desk.change_line(design, line, |line| {
            let text = line.text.as_str().trim_end();
            let gap = if text.is_empty() { "" } else { " " };
            line.text = Wording::new(&[text, gap, token].concat());
        });
    };
    let remove = move |_| {
        desk.remove(format!("line {}", line + 1), |desk| {
            desk.change_design(design, |design| {
                if line < design.lines.len() {
                    design.lines.remove(line);
                }
            });
        });
    };
    let fit = move || {
        desk.plan.with(|plan| {
            let fit = plan.fits.get(design)?.get(line)?;
            (fit.widest > Length::ZERO).then(|| {
                let whose = if fit.widest_name.is_empty() {
                    String::new()
                } else {
                    format!(" ({})", fit.widest_name)
                };
                let share = (fit.share + 9).div_euclid(10);
                let widest = desk.in_force.with(|shop| shop.settings.units.show(fit.widest));
                format!("about {widest} wide{whose}, {share} % of the printable width")
            })
        })
    };
    // Another finish may not come in the colour: then the page says which one it took.
    let recoloured = RwSignal::new(None::<String>);
    let choose = move |id: String| {
        let before = entry.with_untracked(Clone::clone);
        choose_finish(design, line, FinishId::new(id));
        recoloured.set(before.and_then(|before| words_on_colour(&before, &entry.get_untracked()?)));
    };
    let id = element_id();
    view! {
        <fieldset class="line">
            <legend>{format!("Line {}", line + 1)}</legend>
            <div class="line-text">
                <label for=id.clone() class="hidden">{format!("Text of line {}", line + 1)}</label>
                <input
                    id=id
                    class="words"
                    type="text"
                    autocomplete="off"
                    autocapitalize="characters"
                    spellcheck="false"
                    maxlength="500"
                    placeholder="what it says"
                    prop:value=of(|line| line.text.as_str().to_owned())
                    on:input:target=move |ev| {
                        let text = Wording::new(&ev.target().value());
                        desk.typing.then(move || desk.change_line(design, line, |line| line.text = text));
                    }
                />
                <button type="button" class="low" aria-label=format!("Remove line {}", line + 1) on:click=remove>"✕"</button>
            </div>
            <Show when=by_name>
                <div class="row tokens">
                    <button type="button" on:click=move |_| insert(NAME)>"+ name"</button>
                    <button type="button" on:click=move |_| insert(NUMBER)>"+ number"</button>
                </div>
            </Show>
            <Problems problems=desk.problems_at(move |place| *place == Place::Line { design, line })/>
            <p class="fit">{fit}</p>
            <div class="choices" class:choices-long=move || desk.in_force.with(|shop| shop.settings.units == Units::Millimetres)>
                <Choice
                    label="Where"
                    options=Signal::stored(Placement::ALL.map(|p| (p.link_name().to_owned(), p.words().to_owned())).to_vec())
                    value=of(|line| line.placement.link_name().to_owned())
                    commit=move |name| {
                        if let Some(placement) = Placement::ALL.into_iter().find(|p| p.link_name() == name) {
                            desk.change_line(design, line, |line| line.placement = placement);
                        }
                    }
                />
                <Choice
                    label="Finish"
                    options=derived(move || desk.in_force.with(|shop| finishes(&shop.lists)))
                    value=of(|line| line.finish.to_string())
                    commit=choose
                />
                <Choice
                    label="Letter height"
                    options=derived(move || entry.with(|entry| entry.as_ref().map_or(vec![], heights)))
                    value=of(|line| height_value(line.height))
                    commit=move |text: String| {
                        if let Ok(height) = Length::parse_inches(&text) {
                            desk.change_line(design, line, |line| line.height = height);
                        }
                    }
                />
                <Show when=move || desk.in_force.with(|shop| shop.lists.styles.len() > 1)>
                    <Choice
                        label="Letter style"
                        options=derived(move || desk.in_force.with(|shop| styles(&shop.lists)))
                        value=of(|line| line.style.to_string())
                        commit=move |id| desk.change_line(design, line, |line| line.style = StyleId::new(id))
                    />
                </Show>
            </div>
            <div class="problems" aria-live="polite">
                {move || recoloured.get().map(|words| view! { <p class="problem">{words}</p> })}
            </div>
            <Colours design=design line=line recoloured=recoloured/>
            <Shape design=design line=line/>
        </fieldset>
    }
}

/// Whether a line runs along an arc, and whether its letters are set closer to fit.
#[component]
fn Shape(design: usize, line: usize) -> impl IntoView {
    let desk = desk();
    let entry = memo(move || {
        desk.order.with(|order| {
            let line = order.designs.get(design)?.lines.get(line)?;
            Some((line.curve, line.closest.is_some()))
        })
    });
    let curve = move || entry.get().map_or(Curve::Straight, |(curve, _)| curve);
    let size = move || match curve() {
        Curve::Straight => None,
        Curve::Rise(_, length) | Curve::Radius(_, length) => Some(length),
    };
    let units = move || desk.in_force.with(|shop| shop.settings.units);
    let choose = move |word: String| {
        let (rise, radius) = match curve() {
            Curve::Rise(_, length) => (length, USUAL_RADIUS),
            Curve::Radius(_, length) => (USUAL_RISE, length),
            Curve::Straight => (USUAL_RISE, USUAL_RADIUS),
        };
        let of = CURVES.iter().find(|(known, _)| *known == word).map(|(_, of)| of(rise, radius));
        desk.change_line(design, line, |line| line.curve = of.unwrap_or_default());
    };
    let chosen = move || {
        let curve = curve();
        let same = |made: Curve| {
            std::mem::discriminant(&made) == std::mem::discriminant(&curve) && bend(made) == bend(curve)
        };
        let found = CURVES.iter().find(|(_, of)| same(of(USUAL_RISE, USUAL_RADIUS)));
        found.map_or("straight", |(word, _)| *word).to_owned()
    };
    let resize = move |text: String| {
        let length = units().read(&text)?;
        if length == Length::ZERO {
            return Err(NumberError::Zero);
        }
        desk.change_line(design, line, |line| {
            line.curve = match line.curve {
                Curve::Straight => Curve::Straight,
                Curve::Rise(bend, _) => Curve::Rise(bend, length),
                Curve::Radius(bend, _) => Curve::Radius(bend, length),
            };
        });
        Ok(())
    };
    let closer = move |on: bool| {
        let narrowest = desk.in_force.with_untracked(|shop| Caps::percent(shop.settings.narrowest_gap));
        desk.change_line(design, line, |line| line.closest = on.then_some(narrowest));
    };
    view! {
        <details class="line-shape">
            <summary>{move || if chosen() == "straight" { "Arc and spacing".to_owned() } else { format!("Arc: {}", chosen()) }}</summary>
            <div class="choices">
                <Choice
                    label="Runs"
                    options=Signal::stored(CURVES.iter().map(|(word, _)| ((*word).to_owned(), (*word).to_owned())).collect::<Vec<_>>())
                    value=derived(chosen)
                    commit=choose
                />
                <Show when=move || size().is_some()>
                    <NumberField
                        label=derived(move || if matches!(curve(), Curve::Radius(..)) { "Radius" } else { "Rise" }.to_owned())
                        unit=derived(move || units().mark().to_owned())
                        value=derived(move || size().map_or(String::new(), |length| units().write(length)))
                        commit=resize
                    />
                </Show>
            </div>
            <Tick
                label="Set the letters closer where it is too wide"
                value=derived(move || entry.get().is_some_and(|(_, closer)| closer))
                commit=closer
            />
        </details>
    }
}

/// A first rise and a first radius.
const USUAL_RISE: Length = Length::inches(1);
const USUAL_RADIUS: Length = Length::inches(12);

type MakeCurve = fn(Length, Length) -> Curve;

const CURVES: [(&str, MakeCurve); 5] = [
    ("straight", |_, _| Curve::Straight),
    ("up, by its rise", |rise, _| Curve::Rise(Bend::Up, rise)),
    ("down, by its rise", |rise, _| Curve::Rise(Bend::Down, rise)),
    ("up, by its radius", |_, radius| Curve::Radius(Bend::Up, radius)),
    ("down, by its radius", |_, radius| Curve::Radius(Bend::Down, radius)),
];

fn bend(curve: Curve) -> Option<Bend> {
    match curve {
        Curve::Straight => None,
        Curve::Rise(bend, _) | Curve::Radius(bend, _) => Some(bend),
    }
}

/// The colours of a line's finish, as swatches.
#[component]
fn Colours(design: usize, line: usize, recoloured: RwSignal<Option<String>>) -> impl IntoView {
    let desk = desk();
    let chosen = memo(move || {
        desk.order.with(|order| {
            let line = order.designs.get(design)?.lines.get(line)?;
            Some((line.finish.clone(), line.colour.clone()))
        })
    });
    let colours = memo(move || {
        let finish = chosen.get().map(|(finish, _)| finish)?;
        desk.in_force.with(|shop| shop.lists.finish(&finish).map(|finish| finish.colours.clone()))
    });
    let swatch = move |colour: lettertally::lists::Colour| {
        let id = colour.id.clone();
        let pressed = move || {
            chosen.with(|chosen| chosen.as_ref().is_some_and(|(_, colour)| *colour == id)).to_string()
        };
        let take = colour.id.clone();
        view! {
            <button
                type="button"
                class="swatch"
                aria-pressed=pressed
                on:click=move |_| {
                    recoloured.set(None);
                    desk.change_line(design, line, |line| line.colour = take.clone());
                }
            >
                <svg aria-hidden="true" viewBox="0 0 20 20"><path fill=colour.screen.to_string() d="M5 0H15L20 5V15L15 20H5L0 15V5Z"/></svg>
                {colour.name}
            </button>
        }
    };
    view! {
        <div class="swatches" role="group" aria-label="Colour">
            {move || colours.get().unwrap_or_default().into_iter().map(swatch).collect_view()}
        </div>
    }
}

/// "stitched-look twill has no gold: white is chosen", where a new finish changed the colour.
fn words_on_colour(before: &Line, after: &Line) -> Option<String> {
    if before.colour == after.colour {
        return None;
    }
    desk().in_force.with_untracked(|shop| {
        let finish = shop.lists.finish(&after.finish)?;
        let old = shop.lists.colour(&before.finish, &before.colour)?;
        let new = shop.lists.colour(&after.finish, &after.colour)?;
        Some(format!("{} has no {}: {} is chosen, ask the customer", finish.name, old.name, new.name))
    })
}

/// Takes a finish, and of it the family most like the one the line had.
fn choose_finish(design: usize, line: usize, finish: FinishId) {
    let desk = desk();
    desk.change_line(design, line, |line| {
        let nearest = desk.in_force.with_untracked(|shop| shop.lists.nearest_family(&finish, &line.family()));
        if let Some(family) = nearest {
            (line.height, line.colour, line.style) = (family.height, family.colour, family.style);
        }
        line.finish = finish;
    });
}

fn finishes(lists: &Lists) -> Vec<(String, String)> {
    lists.finishes.iter().map(|finish| (finish.id.to_string(), finish.name.clone())).collect()
}

fn styles(lists: &Lists) -> Vec<(String, String)> {
    lists.styles.iter().map(|style| (style.id.to_string(), style.name.clone())).collect()
}

fn heights(line: &Line) -> Vec<(String, String)> {
    let (heights, units) =
        desk().in_force.with(|shop| (shop.lists.heights(&line.finish), shop.settings.units));
    heights.into_iter().map(|height| (height_value(height), height_words(height, units))).collect()
}

/// A letter height as the trade names it, with millimetres beside it where the shop measures in them.
fn height_words(height: Length, units: Units) -> String {
    match units {
        Units::Inches => height.to_string(),
        Units::Millimetres => format!("{height} ({})", units.show(height)),
    }
}

fn height_value(height: Length) -> String {
    height.to_inches().normalize().to_string()
}
