//! The garment with its lettering, drawn to scale from the layout's own values.

use super::state::desk;
use crate::views::prelude::*;
use lettertally::glyph::{Glyph, signs};
use lettertally::layout::alphabet::{self, CAP_HEIGHT};
use lettertally::layout::picture::{LineOnGarment, Picture, pictures};
use lettertally::layout::template::outline;
use lettertally::layout::{Rect, SetLetter, set_line, widths};
use lettertally::length::Length;
use lettertally::lists::{Rgb, Widths};
use lettertally::order::Order;
use lettertally::plan::Plan;

/// The picture of one garment of a design, and whose it is.
#[derive(Clone, PartialEq)]
struct Shown {
    caption: String,
    blank: Option<Rgb>,
    sides: [Picture; 2],
    colours: Vec<Option<Rgb>>,
    groups: usize,
}

/// Front and back of a design's garments, one at a time.
#[component]
pub fn GarmentPicture(
    /// The design, from 0.
    design: usize,
) -> impl IntoView {
    let desk = desk();
    let at = RwSignal::new(0_usize);
    let shown =
        memo(move || desk.plan.with(|plan| desk.order.with(|order| shown(order, plan, design, at.get()))));
    let step = move |back: bool| {
        let groups = shown.with(|shown| shown.as_ref().map_or(1, |shown| shown.groups)).max(1);
        at.update(|at| {
            *at =
                if back { (*at).min(groups).checked_sub(1).unwrap_or(groups - 1) } else { (*at + 1) % groups }
        });
    };
    view! {
        {move || {
            shown
                .get()
                .map(|shown| {
                    let several = shown.groups > 1;
                    let label = format!("Front and back of the garment: {}", shown.caption);
                    view! {
                        <figure class="picture">
                            <div class="sides" role="img" aria-label=label>
                                {shown.sides.iter().map(|side| garment(side, &side.frame(), shown.blank, &shown.colours, Marks::default())).collect_view()}
                            </div>
                            <figcaption>
                                {several.then(|| view! { <button type="button" aria-label="Previous garment" on:click=move |_| step(true)>"‹"</button> })}
                                <span>{shown.caption.clone()}</span>
                                {several.then(|| view! { <button type="button" aria-label="Next garment" on:click=move |_| step(false)>"›"</button> })}
                            </figcaption>
                        </figure>
                    }
                })
        }}
    }
}

fn shown(order: &Order, plan: &Plan, design: usize, at: usize) -> Option<Shown> {
    let desk = desk();
    let entry = order.designs.get(design)?;
    let groups = &plan.readings.get(design)?.groups;
    let group = groups.get(at).or(groups.first())?;
    desk.in_force.with(|shop| {
        let blank = shop.lists.blank(&entry.blank)?;
        let size = blank.size(&group.size)?;
        let name = [group.name(), group.number()]
            .iter()
            .filter(|text| !text.is_empty())
            .copied()
            .collect::<Vec<_>>();
        let caption = if name.is_empty() {
            format!("size {}, {} × {}", size.name, size.width, size.length)
        } else {
            format!("{}, size {}", name.join(" "), size.name)
        };
        let colour =
            |line: &lettertally::order::Line| shop.lists.colour(&line.finish, &line.colour).map(|c| c.screen);
        Some(Shown {
            caption,
            blank: Some(blank.screen),
            sides: pictures(order, entry, group, size, &shop.lists),
            colours: entry.lines.iter().map(colour).collect(),
            groups: groups.len(),
        })
    })
}

/// What is drawn on a garment beside its lettering.
#[derive(Clone, Copy, Default)]
pub struct Marks<'a> {
    /// Places of the platen with their numbers.
    pub platens: &'a [(usize, Rect)],
    /// Whether the printable width of every line is marked, and not only of those beyond it.
    pub rooms: bool,
}

/// One side of a garment in its colours, drawn as large as the frame allows.
pub fn garment(
    side: &Picture,
    frame: &Rect,
    blank: Option<Rgb>,
    colours: &[Option<Rgb>],
    marks: Marks,
) -> AnyView {
    let mm = Length::to_drawing;
    let (_, down) = side.extent;
    let frame = frame.grown(Length::mm(8));
    let view_box =
        format!("{} {} {} {}", mm(frame.left), mm(frame.top), mm(frame.width()), mm(frame.height()));
    let points =
        side.outline.iter().map(|(x, y)| format!("{},{}", mm(*x), mm(*y))).collect::<Vec<_>>().join(" ");
    let (half, depth) = side.collar;
    let collar = format!(
        "M{} 0L{} {}H{}L{} 0",
        mm(Length::ZERO - half),
        mm(Length::ZERO - half.half()),
        mm(depth),
        mm(half.half()),
        mm(half)
    );
    let fill = blank.map_or_else(|| "#888".to_owned(), |blank| blank.to_string());
    let colour = |line: &LineOnGarment| colours.get(line.line).copied().flatten();
    let lines = side.lines.iter().map(|line| lettering(line, colour(line), marks.rooms));
    view! {
        <svg class="garment" viewBox=view_box aria-hidden="true">
            <polygon class="garment-body" points=points fill=fill/>
            <path class="garment-collar" d=collar/>
            {marks.platens.iter().map(|place| platen(place, &frame)).collect_view()}
            {lines.collect_view()}
            <text class="garment-side" x="0" y=mm(down - Length::mm(18)) text-anchor="middle">{side.side.word()}</text>
        </svg>
    }
    .into_any()
}

/// A place of the platen with its number, which stays in the drawing where the platen does not.
fn platen((number, rect): &(usize, Rect), frame: &Rect) -> AnyView {
    let mm = Length::to_drawing;
    let inset = Length::mm(14);
    let (left, bottom) = (rect.left.max(frame.left), rect.bottom.min(frame.bottom));
    view! {
        <g class="platen">
            <rect x=mm(rect.left) y=mm(rect.top) width=mm(rect.width()) height=mm(rect.height())/>
            <text x=mm(left + inset) y=mm(bottom - inset)>{number.to_string()}</text>
        </g>
    }
}

fn lettering(line: &LineOnGarment, colour: Option<Rgb>, with_room: bool) -> impl IntoView + use<> {
    let mm = Length::to_drawing;
    let fill = colour.map_or_else(|| "#888".to_owned(), |colour| colour.to_string());
    let turn = format!("rotate({} {} {})", line.turned, mm(line.room.centre), mm(line.room.top));
    let letters = line.letters.iter().map(|letter| view! { <path d=outline(letter).path()/> });
    let room = (with_room || !line.fits()).then(|| {
        let (from, to) =
            (line.room.centre - line.room.width.half(), line.room.centre + line.room.width.half());
        let d = format!(
            "M{} {}v{}M{} {}v{}",
            mm(from),
            mm(line.baseline),
            mm(Length::ZERO - line.height),
            mm(to),
            mm(line.baseline),
            mm(Length::ZERO - line.height)
        );
        view! { <path class="room" class:room-kept=line.fits() d=d/> }
    });
    view! { <g transform=turn fill=fill class="lettering">{letters.collect_view()}{room}</g> }
}

/// The page's name, set in its own alphabet.
#[component]
pub fn Wordmark() -> impl IntoView {
    let line = set_line(&signs("LETTERTALLY"), Length::mm(CAP_HEIGHT), &Widths::default());
    let view_box = format!("0 0 {} {CAP_HEIGHT}", Length::to_drawing(line.width));
    let letter = |letter: &SetLetter| {
        let place = format!("translate({} {CAP_HEIGHT}) scale(1 -1)", Length::to_drawing(letter.left));
        view! { <path d=letter_path(&letter.glyph) transform=place/> }
    };
    let letters = line.letters.iter().map(letter).collect_view();
    view! { <svg class="wordmark" viewBox=view_box role="img" aria-label="Lettertally">{letters}</svg> }
}

/// The outline of a letter, in thousandths of its height; a box where the alphabet has none.
pub fn letter_path(glyph: &Glyph) -> String {
    let Some(outline) = alphabet::outline(glyph.as_str()) else {
        let width = widths::estimate(glyph).in_thousandths();
        return format!("M0 0H{width}V{CAP_HEIGHT}H0ZM60 60V{}H{}V60Z", CAP_HEIGHT - 60, width - 60);
    };
    let ring = |ring: &&[(i32, i32)]| {
        let points = ring.iter().map(|(x, y)| format!("{x} {y}")).collect::<Vec<_>>();
        format!("M{}Z", points.join("L"))
    };
    outline.rings.iter().map(ring).collect()
}
