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
    let groups = memo(move || shown.with(|shown| shown.as_ref().map_or(0, |shown| shown.groups)));
    let caption = memo(move || {
        shown.with(|shown| shown.as_ref().map(|shown| shown.caption.clone()).unwrap_or_default())
    });
    let step = move |back: bool| {
        let groups = groups.get().max(1);
        at.update(|at| {
            *at =
                if back { (*at).min(groups).checked_sub(1).unwrap_or(groups - 1) } else { (*at + 1) % groups }
        });
    };
    let side = move |at: usize| {
        let drawn = move |shown: &Shown| {
            let side = &shown.sides[at];
            Drawn::new(side, &side.frame(), shown.blank, &shown.colours, Marks::default())
        };
        draw(derived(move || shown.with(|shown| shown.as_ref().map(drawn)).unwrap_or_default()))
    };
    let step_button = move |label: &'static str, sign: &'static str, back: bool| {
        view! { <button type="button" aria-label=label on:click=move |_| step(back)>{sign}</button> }
    };
    view! {
        <Show when=move || groups.get() != 0>
            <figure class="picture">
                <div class="sides" role="img" aria-label=move || format!("Front and back of the garment: {}", caption.get())>
                    {side(0)}
                    {side(1)}
                </div>
                <figcaption>
                    <Show when=move || { groups.get() > 1 }>{step_button("Previous garment", "‹", true)}</Show>
                    <span>{move || caption.get()}</span>
                    <Show when=move || { groups.get() > 1 }>{step_button("Next garment", "›", false)}</Show>
                </figcaption>
            </figure>
        </Show>
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

/// One side of a garment as the attributes of its drawing, in millimetres.
#[derive(Clone, Default, PartialEq)]
struct Drawn {
    view_box: String,
    body: String,
    fill: String,
    collar: String,
    platens: Vec<Platen>,
    lines: Vec<DrawnLine>,
    word: &'static str,
    word_down: String,
}

/// A line of lettering: all its letters are one path.
#[derive(Clone, Default, PartialEq)]
struct DrawnLine {
    turn: String,
    fill: String,
    letters: String,
    /// The ends of its room where they are marked, and whether it keeps within them.
    room: Option<(String, bool)>,
}

/// A place of the platen with its number, which stays in the drawing where the platen does not.
#[derive(Clone, PartialEq)]
struct Platen {
    number: String,
    rect: [String; 4],
    text: [String; 2],
}

impl Drawn {
    fn new(side: &Picture, frame: &Rect, blank: Option<Rgb>, colours: &[Option<Rgb>], marks: Marks) -> Self {
        let mm = Length::to_drawing;
        let (_, down) = side.extent;
        let frame = frame.grown(Length::mm(8));
        let point = |(x, y): &(Length, Length)| format!("{},{}", mm(*x), mm(*y));
        let (half, depth) = side.collar;
        let colour = |line: &LineOnGarment| colours.get(line.line).copied().flatten();
        Self {
            view_box: [frame.left, frame.top, frame.width(), frame.height()].map(mm).join(" "),
            body: side.outline.iter().map(point).collect::<Vec<_>>().join(" "),
            fill: fill(blank),
            collar: format!(
                "M{} 0L{} {}H{}L{} 0",
                mm(Length::ZERO - half),
                mm(Length::ZERO - half.half()),
                mm(depth),
                mm(half.half()),
                mm(half)
            ),
            platens: marks.platens.iter().map(|place| Platen::new(place, &frame)).collect(),
            lines: side.lines.iter().map(|line| DrawnLine::new(line, colour(line), marks.rooms)).collect(),
            word: side.side.word(),
            word_down: mm(down - Length::mm(18)),
        }
    }
}

impl DrawnLine {
    fn new(line: &LineOnGarment, colour: Option<Rgb>, with_room: bool) -> Self {
        let mm = Length::to_drawing;
        let half = line.room.width.half();
        let end = |across: Length| {
            format!("M{} {}v{}", mm(across), mm(line.baseline), mm(Length::ZERO - line.height))
        };
        let ends = || end(line.room.centre - half) + &end(line.room.centre + half);
        Self {
            turn: format!("rotate({} {} {})", line.turned, mm(line.room.centre), mm(line.room.top)),
            fill: fill(colour),
            letters: line.letters.iter().map(|letter| outline(letter).path()).collect(),
            room: (with_room || !line.fits()).then(|| (ends(), line.fits())),
        }
    }
}

impl Platen {
    fn new((number, rect): &(usize, Rect), frame: &Rect) -> Self {
        let mm = Length::to_drawing;
        let inset = Length::mm(14);
        let (left, bottom) = (rect.left.max(frame.left), rect.bottom.min(frame.bottom));
        Self {
            number: number.to_string(),
            rect: [rect.left, rect.top, rect.width(), rect.height()].map(mm),
            text: [left + inset, bottom - inset].map(mm),
        }
    }
}

fn fill(colour: Option<Rgb>) -> String {
    colour.map_or_else(|| "#888".to_owned(), |colour| colour.to_string())
}

/// One side of a garment in its colours, drawn as large as the frame allows.
pub fn garment(
    side: &Picture,
    frame: &Rect,
    blank: Option<Rgb>,
    colours: &[Option<Rgb>],
    marks: Marks,
) -> AnyView {
    draw(Signal::stored(Drawn::new(side, frame, blank, colours, marks)))
}

/// Draws a side. What stays the same while somebody types is left alone: a browser works longer on
/// a drawing that is put together anew than on all else that follows from a key.
fn draw(drawn: Signal<Drawn>) -> AnyView {
    let drawn = memo(move || drawn.get());
    let text = move |of: fn(&Drawn) -> &str| move || drawn.with(|drawn| of(drawn).to_owned());
    let platens = memo(move || drawn.with(|drawn| drawn.platens.clone()));
    view! {
        <svg class="garment" viewBox=text(|drawn| &drawn.view_box) aria-hidden="true">
            <polygon class="garment-body" points=text(|drawn| &drawn.body) fill=text(|drawn| &drawn.fill)/>
            <path class="garment-collar" d=text(|drawn| &drawn.collar)/>
            {move || platens.get().into_iter().map(platen).collect_view()}
            <For each=move || 0..drawn.with(|drawn| drawn.lines.len()) key=|at| *at let:at>
                {lettering(memo(move || drawn.with(|drawn| drawn.lines.get(at).cloned()).unwrap_or_default()))}
            </For>
            <text class="garment-side" x="0" y=text(|drawn| &drawn.word_down) text-anchor="middle">{text(|drawn| drawn.word)}</text>
        </svg>
    }
}

fn platen(Platen { number, rect: [x, y, width, height], text: [across, down] }: Platen) -> AnyView {
    view! {
        <g class="platen">
            <rect x=x y=y width=width height=height/>
            <text x=across y=down>{number}</text>
        </g>
    }
}

fn lettering(line: Memo<DrawnLine>) -> AnyView {
    let text = move |of: fn(&DrawnLine) -> &str| move || line.with(|line| of(line).to_owned());
    let room = memo(move || line.with(|line| line.room.clone()));
    view! {
        <g transform=text(|line| &line.turn) fill=text(|line| &line.fill) class="lettering">
            <path d=text(|line| &line.letters)/>
            {move || room.get().map(|(ends, fits)| view! { <path class="room" class:room-kept=fits d=ends/> })}
        </g>
    }
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
