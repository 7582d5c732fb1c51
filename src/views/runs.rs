//! Cost and price of one garment against the size of the run, found out beside the page.

use super::buying::{currency, offer_name};
use super::parts::Panel;
use super::search::{CALM, SLICE, Turn};
use super::state::desk;
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::cost::RunPrice;
use lettertally::cost::sweep::{self, Change, LARGEST_RUN, Sweep};
use lettertally::lists::OfferId;
use lettertally::plan::{Plan, Shop};

/// The price at each run size, as far as it is known.
#[derive(Clone, Copy)]
pub struct Runs {
    found: RwSignal<Vec<RunPrice>>,
    turn: Turn,
}

impl Runs {
    /// Nothing known yet.
    pub fn new() -> Self {
        Self { found: RwSignal::new(Vec::new()), turn: Turn::new() }
    }

    /// Works them out anew whenever the plan has changed and its letters are settled, as long as
    /// whoever asks for it is shown.
    pub fn follow(self, plan: Memo<Plan>, shop: Memo<Shop>, is_settled: Memo<bool>) {
        Effect::new(move |_| {
            plan.with(|_| ());
            let turn = self.turn.next();
            if !is_settled.get() {
                return;
            }
            spawn_local(async move {
                clock::pause(CALM).await;
                if !self.turn.is_past(turn) {
                    self.sweep(turn, plan, shop).await;
                }
            });
        });
    }

    async fn sweep(self, turn: u32, plan: Memo<Plan>, shop: Memo<Shop>) {
        let mut sweep = shop.with_untracked(|shop| {
            plan.with_untracked(|plan| {
                Sweep::new(&plan.tally, &plan.sheet, plan.aim, &shop.lists, &shop.settings)
            })
        });
        while !sweep.is_done() {
            let end = clock::milliseconds() + SLICE;
            while !sweep.is_done() && clock::milliseconds() < end {
                sweep.step();
            }
            clock::pause(0).await;
            if self.turn.is_past(turn) {
                return;
            }
        }
        self.found.set(sweep.runs().to_vec());
    }
}

/// Cost and price of one garment against the size of the run.
#[component]
pub fn RunSizes() -> impl IntoView {
    let desk = desk();
    let runs = desk.runs.found;
    let changes = memo(move || runs.with(|runs| sweep::changes(runs)));
    view! {
        <Show when=move || runs.with(|runs| !runs.is_empty())>
            <Panel title="Against run size">
                {move || runs.with(|runs| changes.with(|changes| chart(runs, changes)))}
                <details>
                    <summary>{move || format!("{} run sizes where the buying changes", changes.with(Vec::len))}</summary>
                    <div class="scroll" tabindex="0" role="group" aria-label="Run sizes"><table>
                        <thead><tr><th scope="col" class="num">"Run"</th><th scope="col">"Begins, ends"</th><th scope="col" class="num">"Cost each"</th></tr></thead>
                        <tbody>{move || changes.get().into_iter().map(change_row).collect_view()}</tbody>
                    </table></div>
                </details>
            </Panel>
        </Show>
    }
}

fn change_row(change: Change) -> impl IntoView {
    let desk = desk();
    let words = desk.in_force.with(|shop| {
        let names = |sign: &str, offers: &[OfferId]| -> Vec<String> {
            offers.iter().map(|offer| format!("{sign} {}", offer_name(&shop.lists, offer))).collect()
        };
        [names("+", &change.begins), names("−", &change.ends)].concat().join("; ")
    });
    let cost = desk.runs.found.with(|runs| {
        let run = runs.get(usize::try_from(change.garments).unwrap_or(usize::MAX).saturating_sub(1));
        run.map(|run| currency().show(run.cost.round(&currency())))
    });
    view! { <tr><th scope="row" class="num">{change.garments}</th><td>{words}</td><td class="num">{cost}</td></tr> }
}

/// The cost of one garment over the run size: a line, with a mark where the buying changes.
fn chart(runs: &[RunPrice], changes: &[Change]) -> impl IntoView + use<> {
    const WIDTH: u32 = LARGEST_RUN * 3;
    const HEIGHT: u32 = 240;
    let money = currency();
    let minor = |run: &RunPrice| run.cost.round(&money).minor();
    let most = runs.iter().map(minor).max().unwrap_or(1).max(1);
    // Whole units of the drawing are fine enough for a screen; the line begins at the axis.
    let down = |run: &RunPrice| i64::from(HEIGHT) - minor(run) * i64::from(HEIGHT - 20) / most;
    let point = |run: &RunPrice| format!("{},{}", run.garments * 3, down(run));
    let points = runs.iter().map(point).collect::<Vec<_>>().join(" ");
    let marks = changes.iter().filter_map(|change| {
        let run = runs.iter().find(|run| run.garments == change.garments)?;
        Some(view! { <circle cx=run.garments * 3 cy=down(run) r="4"/> })
    });
    let ticks = [1_u32, 50, 100, 150, 200].map(|garments| {
        view! { <text x=(garments * 3).max(8) y=HEIGHT + 22 text-anchor="middle">{garments}</text> }
    });
    let figure = |run: Option<&RunPrice>| run.map_or(String::new(), |run| money.show(run.cost.round(&money)));
    let (first, last) = (figure(runs.first()), figure(runs.last()));
    let label = format!(
        "Cost of one garment: {first} for one, {last} for {LARGEST_RUN} together. The table below has the figures."
    );
    view! {
        <figure class="chart">
            <svg viewBox=format!("-10 -6 {} {}", WIDTH + 30, HEIGHT + 34) role="img" aria-label=label>
                <path class="axis" d=format!("M0 0V{HEIGHT}H{WIDTH}")/>
                <polyline points=points/>
                {marks.collect_view()}
                {ticks}
                <text x="16" y="14">{first}</text>
                <text x=WIDTH y=runs.last().map_or(0, down) - 10 text-anchor="end">{last}</text>
            </svg>
            <figcaption class="help">"Cost of one garment by the number made together. A dot: another way of buying takes over."</figcaption>
        </figure>
    }
}
