//! A chart of dots: figures against each other. The table beside it says the same in words.

use crate::views::prelude::*;

// Small, so that its words are still read on a phone.
const WIDTH: i64 = 330;
const HEIGHT: i64 = 180;
/// What stays free beside and below the dots, for the words at the axes.
const FREE: (i64, i64) = (60, 44);

/// One dot.
#[derive(Clone, PartialEq)]
pub struct Dot {
    /// How far to the right.
    pub across: i64,
    /// How far up.
    pub up: i64,
    /// What stands beside it; empty for nothing.
    pub mark: String,
}

/// Dots, and whether a line joins them.
pub struct Chart {
    label: &'static str,
    dots: Vec<Dot>,
    is_joined: bool,
}

impl Chart {
    /// Dots that stand each for itself.
    pub fn new(label: &'static str, dots: Vec<Dot>) -> Self {
        Self { label, dots, is_joined: false }
    }

    /// The same with a line from dot to dot.
    pub fn joined(self) -> Self {
        Self { is_joined: true, ..self }
    }

    /// The chart, upwards in figures as they are shown; nothing for fewer than two dots.
    pub fn shown(self, show: &dyn Fn(i64) -> String, across: &str, up: &str) -> AnyView {
        self.drawn(show, show, across, up)
    }

    /// The chart with figures of different kinds on its two sides.
    pub fn drawn(
        self,
        show_across: &dyn Fn(i64) -> String,
        show_up: &dyn Fn(i64) -> String,
        across: &str,
        up: &str,
    ) -> AnyView {
        if self.dots.len() < 2 {
            return ().into_any();
        }
        let sides =
            (Side::of(self.dots.iter().map(|dot| dot.across)), Side::of(self.dots.iter().map(|dot| dot.up)));
        let place = |dot: &Dot| {
            (sides.0.place(dot.across, WIDTH, FREE.0), HEIGHT - sides.1.place(dot.up, HEIGHT, FREE.1))
        };
        let dots = self.dots.iter().map(|dot| {
            let (x, y) = place(dot);
            view! { <circle cx=x cy=y r="4"/><text x=x + 8 y=y + 5>{dot.mark.clone()}</text> }
        });
        let line = self.is_joined.then(|| {
            let points = self.dots.iter().map(place).map(|(x, y)| format!("{x},{y}"));
            let points: Vec<String> = points.collect();
            view! { <polyline points=points.join(" ")/> }
        });
        let foot = HEIGHT + 22;
        view! {
            <figure class="chart">
                <svg viewBox=format!("-10 -24 {} {}", WIDTH + 50, HEIGHT + 54) role="img" aria-label=self.label>
                    <path class="axis" d=format!("M0 -14V{HEIGHT}H{}", WIDTH + 30)/>
                    {line}
                    {dots.collect_view()}
                    <text x="8" y="-10">{format!("{} {up}", show_up(sides.1.to))}</text>
                    <text x="8" y=HEIGHT - 8>{show_up(sides.1.from)}</text>
                    <text x="0" y=foot>{show_across(sides.0.from)}</text>
                    <text x=WIDTH + 30 y=foot text-anchor="end">{format!("{} {across}", show_across(sides.0.to))}</text>
                </svg>
                <figcaption class="help">{self.label}</figcaption>
            </figure>
        }
        .into_any()
    }
}

/// From the least to the most of a figure.
struct Side {
    from: i64,
    to: i64,
}

impl Side {
    fn of(figures: impl Iterator<Item = i64> + Clone) -> Self {
        Self { from: figures.clone().min().unwrap_or(0), to: figures.max().unwrap_or(0) }
    }

    /// Where a figure stands on a side of this length, with a margin at both ends.
    fn place(&self, figure: i64, length: i64, margin: i64) -> i64 {
        let span = (self.to - self.from).max(1);
        margin + (figure - self.from).saturating_mul(length - 2 * margin) / span
    }
}
