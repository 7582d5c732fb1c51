//! The garment to scale in its smallest and largest size, with the places of the platen.

use crate::views::parts::{Panel, Tick};
use crate::views::picture::{Marks, garment};
use crate::views::prelude::*;
use crate::views::state::desk;
use lettertally::layout::Rect;
use lettertally::layout::picture::{Picture, pictures};
use lettertally::lists::{BlankSize, Rgb};
use lettertally::order::{Group, Side};
use lettertally::press::operations::Zone;

/// One garment to show.
#[derive(Clone, PartialEq)]
struct Shown {
    caption: String,
    blank: Rgb,
    sides: [Picture; 2],
    colours: Vec<Option<Rgb>>,
    /// The platen's places on each side, with their number in the order of the work.
    platens: [Vec<(usize, Rect)>; 2],
}

/// Smallest and largest garment of each design.
#[component]
pub fn Places() -> impl IntoView {
    let desk = desk();
    let with_platen = RwSignal::new(true);
    let shown = memo(move || {
        let designs = desk.order.with(|order| order.designs.len());
        (0..designs).flat_map(shown).collect::<Vec<_>>()
    });
    view! {
        <Panel title="On the garment">
            <Tick label="Show the platen and the printable width" value=with_platen commit=move |on| with_platen.set(on)/>
            {move || {
                let with_platen = with_platen.get();
                shown.with(|shown| {
                    // All in one scale, so that sizes can be held against each other.
                    let sides = shown.iter().flat_map(|shown| shown.sides.iter().map(Picture::frame));
                    let frame = Rect::around(sides).unwrap_or_default();
                    shown.iter().map(|shown| figure(shown, &frame, with_platen)).collect_view()
                })
            }}
            <p class="help">"Drawn to one scale from the blank's own measurements. Numbers are the order of the work; a sleeve is laid flat and pressed by itself."</p>
        </Panel>
    }
}

fn figure(shown: &Shown, frame: &Rect, with_platen: bool) -> AnyView {
    let label = format!("Front and back of the garment: {}", shown.caption);
    let sides = shown.sides.iter().zip(&shown.platens).map(|(side, platens)| {
        let marks = if with_platen { Marks { platens, rooms: true } } else { Marks::default() };
        garment(side, frame, Some(shown.blank), &shown.colours, marks)
    });
    view! {
        <figure class="picture picture-large">
            <div class="sides" role="img" aria-label=label>{sides.collect_view()}</div>
            <figcaption><span>{shown.caption.clone()}</span></figcaption>
        </figure>
    }
}

fn shown(design: usize) -> Vec<Shown> {
    let desk = desk();
    desk.order.with(|order| {
        desk.in_force.with(|shop| {
            desk.plan.with(|plan| {
                let (lists, settings) = (&shop.lists, &shop.settings);
                let Some((entry, reading)) = order.designs.get(design).zip(plan.readings.get(design)) else {
                    return vec![];
                };
                let Some(blank) = lists.blank(&entry.blank) else {
                    return vec![];
                };
                let made = |group: &Group, size: &BlankSize, word: &str| {
                    let made =
                        lettertally::press::garment(order, entry, group, size, lists, &settings.platen);
                    let on = |side: Side| {
                        let numbered = made.sequence.order.iter().enumerate();
                        let here = numbered.filter_map(|(number, at)| {
                            let operation = &made.operations[*at];
                            (operation.zone == Zone::Body(side)).then_some(())?;
                            Some((number + 1, operation.platen?))
                        });
                        here.collect::<Vec<_>>()
                    };
                    let colour = |line: &lettertally::order::Line| {
                        lists.colour(&line.finish, &line.colour).map(|c| c.screen)
                    };
                    let name =
                        if group.name().is_empty() { String::new() } else { format!(", {}", group.name()) };
                    let closings: u32 = made.operations.iter().map(|one| one.closings).sum();
                    let closings = match closings {
                        1 => "1 closing".to_owned(),
                        n => format!("{n} closings of the press"),
                    };
                    Shown {
                        caption: format!("{word} size, {}{name}: {closings}", size.name),
                        blank: blank.screen,
                        sides: pictures(order, entry, group, size, lists),
                        colours: entry.lines.iter().map(colour).collect(),
                        platens: Side::ALL.map(on),
                    }
                };
                let with_size =
                    reading.groups.iter().filter_map(|group| Some((group, blank.size(&group.size)?)));
                let place = |size: &BlankSize| blank.sizes.iter().position(|known| known.name == size.name);
                let smallest = with_size.clone().min_by_key(|(_, size)| place(size));
                let largest = with_size.max_by_key(|(_, size)| place(size));
                match (smallest, largest) {
                    (Some(one), Some(other)) if one.1.name == other.1.name => {
                        vec![made(one.0, one.1, "Only")]
                    }
                    (Some(one), Some(other)) => {
                        vec![made(one.0, one.1, "Smallest"), made(other.0, other.1, "Largest")]
                    }
                    _ => vec![],
                }
            })
        })
    })
}
