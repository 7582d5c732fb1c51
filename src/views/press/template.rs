//! The template at true size: pages for a home printer, and one file for a cutter.

use crate::browser::hand_over;
use crate::views::parts::{Choice, Panel, Switch};
use crate::views::prelude::*;
use crate::views::state::desk;
use lettertally::layout::template::{Page, Paper, STRIP, Shape, Template, of_design, pages, svg};
use lettertally::length::Length;
use lettertally::press::CAUTIONS;

/// The templates of the open order.
#[component]
pub fn Templates() -> impl IntoView {
    let desk = desk();
    let chosen = RwSignal::new(0_usize);
    let paper = RwSignal::new(0_usize);
    let templates = memo(move || {
        desk.order.with(|order| {
            desk.in_force.with(|shop| {
                desk.plan.with(|plan| {
                    let designs = order.designs.iter().zip(&plan.readings);
                    let of = |(design, reading)| {
                        of_design(order, design, reading, &shop.lists, shop.settings.units)
                    };
                    designs.flat_map(of).collect::<Vec<_>>()
                })
            })
        })
    });
    let template = memo(move || {
        let at = chosen.get();
        templates.with(|all| all.get(at).or(all.first()).cloned())
    });
    let size = move || Paper::ALL[paper.get().min(1)];
    let shown = memo(move || {
        template.with(|template| {
            let template = template.as_ref()?;
            Some((template.clone(), pages(template, size())))
        })
    });
    let options = move || {
        templates.with(|all| {
            let words = |(at, template): (usize, &Template)| (at.to_string(), template.title.clone());
            all.iter().enumerate().map(words).collect::<Vec<_>>()
        })
    };
    let save = move |_| {
        template.with_untracked(|template| {
            if let Some(template) = template {
                let words = template.title.split(|c: char| !c.is_alphanumeric());
                let name = words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
                hand_over::save_file(&format!("template-{name}.svg"), "image/svg+xml", &svg(template));
            }
        });
    };
    view! {
        <Panel title="Template at true size">
            <div class="no-print template-tools">
                <div class="template-choice">
                    <Choice
                        label="For"
                        options=derived(options)
                        value=derived(move || chosen.get().to_string())
                        commit=move |at: String| chosen.set(at.parse().unwrap_or(0))
                    />
                    <Switch label="Paper" options=Paper::ALL.map(Paper::word).to_vec() value=paper commit=move |at| paper.set(at)/>
                </div>
                <p class="help">{move || shown.with(|shown| shown.as_ref().map(|(_, pages)| summary(pages)))}</p>
                <div class="row">
                    <button type="button" on:click=move |_| hand_over::print_as("template")>"Print the template"</button>
                    <button type="button" on:click=save>"Save as SVG"</button>
                </div>
                <p class="help">"Print at 100 %, “actual size”, and measure both rulers on every page before use. Letters are drawn as your font file has them, else as in the built-in alphabet, as wide as your table says."</p>
            </div>
            <div class="template-pages">
                {move || shown.get().map(|(template, pages)| pages.iter().map(|page| page_view(&template, page, size())).collect_view())}
            </div>
        </Panel>
    }
}

fn summary(pages: &[Page]) -> String {
    match pages.first().map_or((0, 0), |page| page.of) {
        (rows, columns) if rows * columns == 1 => "One page.".to_owned(),
        (rows, columns) => format!(
            "{} pages, {rows} down and {columns} across: cut along one edge and lay the crosses on each other.",
            rows * columns
        ),
    }
}

fn shape(shape: &Shape) -> AnyView {
    match shape {
        Shape::Path { kind, .. } => {
            let class = format!("template-{}", kind.word());
            view! { <path class=class d=shape.path() fill="none"/> }
        }
        Shape::Words { at, words } => {
            let mm = Length::to_drawing;
            view! { <text class="template-words" x=mm(at.0) y=mm(at.1)>{words.clone()}</text> }
        }
    }
}

fn page_view(template: &Template, page: &Page, paper: Paper) -> AnyView {
    let mm = Length::to_drawing;
    let (width, height) = paper.printed();
    let window = &page.window;
    let drawn = height - STRIP;
    let [whole_width, whole_height] = [width, height].map(|side| format!("{}mm", mm(side)));
    let inner_box =
        format!("{} {} {} {}", mm(window.left), mm(window.top), mm(window.width()), mm(window.height()));
    let ruler_place = format!("translate(0 {})", mm(drawn + Length::mm(2)));
    let (row, column) = page.place;
    let (rows, columns) = page.of;
    let where_it_is = match rows * columns {
        1 => template.title.clone(),
        all => format!(
            "{}: page {} of {all}, row {row} from the top, {column} from the left",
            template.title,
            (row - 1) * columns + column
        ),
    };
    let words_at = format!("translate({} {})", mm(Length::mm(124)), mm(drawn + Length::mm(8)));
    let check =
        ["Measure both rulers before use:", "4 in and 100 mm. If one is off,", "print again at 100 %."];
    let lines = check.into_iter().enumerate().map(|(at, words)| {
        view! { <text class="template-words" x="0" y=(at * 4).to_string()>{words}</text> }
    });
    let cautions_at = format!("translate(0 {})", mm(drawn + Length::mm(25)));
    let cautions = wrapped(&CAUTIONS.join(" "), 132).into_iter().enumerate().map(|(at, words)| {
        view! { <text class="template-small" x="0" y=(at * 3).to_string()>{words}</text> }
    });
    let label = format!("Template page, {where_it_is}");
    view! {
        <div class="template-page">
            <svg class="template-sheet" role="img" aria-label=label width=whole_width height=whole_height viewBox=format!("0 0 {} {}", mm(width), mm(height))>
                <svg x="0" y="0" width=mm(width) height=mm(drawn) viewBox=inner_box>
                    {template.shapes.iter().chain(&page.crosses).map(shape).collect_view()}
                </svg>
                <g transform=ruler_place>{page.ruler.iter().map(shape).collect_view()}</g>
                <g transform=words_at>{lines.collect_view()}</g>
                <g transform=cautions_at>{cautions.collect_view()}</g>
                <text class="template-words" x="0" y=mm(height - Length::mm(1))>{where_it_is.clone()}</text>
            </svg>
        </div>
    }
}

/// A text in lines of at most so many signs, broken at spaces.
fn wrapped(text: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
