//! Charts of the history: individuals with control limits, a run of readings, a histogram. Drawn here and not by a
//! plotting crate, so that they take the page's colours, print, and say in words what they show.

use std::fmt::Write as _;

use maud::{Markup, html};

use super::words;
use crate::bench::words as bench_words;

const WIDTH: f64 = 760.0;
const LEFT: f64 = 160.0;

/// A line across a chart, or across some of its values.
pub struct Level<'a> {
    pub at: f64,
    /// The first and the last value that it is for; none for all of them.
    pub over: Option<(usize, usize)>,
    pub name: &'a str,
    pub class: &'static str,
}

/// Points in order, with levels across; `marked` are drawn as flagged, and before each of `restarts` something was set
/// anew: the line of the points is broken there, and a line down says so.
pub fn run(
    title: &str,
    values: &[f64],
    levels: &[Level<'_>],
    marked: &[usize],
    restarts: &[usize],
    show: impl Fn(f64) -> String,
) -> Markup {
    let all = values
        .iter()
        .copied()
        .chain(levels.iter().map(|level| level.at));
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let span = (high - low).max(1e-9);
    let y = |value: f64| 18.0 + (high - value) / span * 180.0;
    let x = |index: usize| {
        LEFT + 20.0
            + index as f64 / values.len().saturating_sub(1).max(1) as f64 * (WIDTH - LEFT - 40.0)
    };
    let mut line = String::new();
    for (index, value) in values.iter().enumerate() {
        let step = if index == 0 || restarts.contains(&index) {
            'M'
        } else {
            'L'
        };
        // Writing to a String cannot fail.
        let _ = write!(line, "{step}{:.1} {:.1}", x(index), y(*value));
    }
    html! {
        svg class="run" viewBox="0 0 760 224" role="img" aria-label=(bench_words::chart(title, values.len())) {
            @for index in restarts {
                @let between = f64::midpoint(x(*index), x(index.saturating_sub(1)));
                path d=(format!("M{between:.1} 4V216")) class="restart" {}
                text x=(format!("{:.1}", between + 6.0)) y="216" class="soft" { (words::RESTART) }
            }
            @for level in levels {
                @let (from, to) = level.over.map_or((LEFT, WIDTH), |(first, last)| (x(first) - 10.0, x(last) + 10.0));
                path d=(format!("M{from:.1} {:.1}H{to:.1}", y(level.at))) class=(level.class) {}
                @if !level.name.is_empty() { text x=(LEFT - 8.0) y=(format!("{:.1}", y(level.at) + 5.0)) text-anchor="end" class="soft" { (level.name) " " (show(level.at)) } }
            }
            path d=(line) class="thread-line" {}
            @for (index, value) in values.iter().enumerate() {
                circle cx=(format!("{:.1}", x(index))) cy=(format!("{:.1}", y(*value))) r="5"
                    class=(if marked.contains(&index) { "dot flagged" } else { "dot" }) {
                    title { (index + 1) ": " (show(*value)) }
                }
            }
        }
    }
}

/// How often which size, with the limits.
pub fn histogram(
    title: &str,
    values: &[f64],
    limits: &[Level<'_>],
    show: impl Fn(f64) -> String,
) -> Markup {
    let all = values
        .iter()
        .copied()
        .chain(limits.iter().map(|level| level.at));
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let span = (high - low).max(1e-9);
    let bins = bins(values, low, span);
    let most = bins.iter().copied().max().unwrap_or(1).max(1) as f64;
    let width = (WIDTH - 40.0) / bins.len().max(1) as f64;
    let x = |value: f64| 20.0 + (value - low) / span * (WIDTH - 40.0);
    html! {
        svg class="histogram" viewBox="0 0 760 200" role="img" aria-label=(bench_words::chart(title, values.len())) {
            @for (index, count) in bins.iter().enumerate() {
                @let height = *count as f64 / most * 130.0;
                rect x=(format!("{:.1}", 20.0 + index as f64 * width + 1.0)) y=(format!("{:.1}", 160.0 - height))
                    width=(format!("{:.1}", width - 2.0)) height=(format!("{height:.1}")) class="bin" {}
            }
            path d=(format!("M20 160H{}", WIDTH - 20.0)) class="base" {}
            @for level in limits {
                path d=(format!("M{0:.1} 18V168", x(level.at))) class=(level.class) {}
                text x=(format!("{:.1}", x(level.at))) y="188" text-anchor=(if x(level.at) > WIDTH / 2.0 { "end" } else { "start" }) { (level.name) " " (show(level.at)) }
            }
        }
    }
}

/// Counts in equal bins: about the square root of how many values there are, 5 to 30.
fn bins(values: &[f64], low: f64, span: f64) -> Vec<usize> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "5 to 30"
    )]
    let count = (values.len() as f64).sqrt().ceil().clamp(5.0, 30.0) as usize;
    let mut bins = vec![0_usize; count];
    for value in values {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 30"
        )]
        let bin = ((value - low) / span * count as f64).clamp(0.0, count as f64 - 1.0) as usize;
        if let Some(bin) = bins.get_mut(bin) {
            *bin += 1;
        }
    }
    bins
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_in_a_bin() {
        let values: Vec<f64> = (0..100).map(f64::from).collect();
        assert_eq!(bins(&values, 0.0, 99.0).iter().sum::<usize>(), 100);
        assert_eq!(bins(&[5.0; 7], 5.0, 1e-9).iter().sum::<usize>(), 7);
    }
}
