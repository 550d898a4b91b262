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
                text x=(format!("{:.1}", between + 6.0)) y="216" class="soft" { (words::restart()) }
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
    let grid = Grid::of(values.len(), low, high, limits.iter().map(|level| level.at));
    let bins = grid.count(values);
    let most = bins.iter().copied().max().unwrap_or(1).max(1) as f64;
    let scale = (WIDTH - 40.0) / (grid.bins as f64 * grid.width);
    let width = grid.width * scale;
    let x = |value: f64| 20.0 + (value - grid.from) * scale;
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

/// Equal bins of a histogram.
struct Grid {
    from: f64,
    width: f64,
    bins: usize,
}

impl Grid {
    /// About the square root of how many values there are, 5 to 30; a limit is an edge between bins and runs through
    /// none, so that what is within and what is not stand apart.
    fn of(values: usize, low: f64, high: f64, limits: impl Iterator<Item = f64> + Clone) -> Self {
        let span = (high - low).max(1e-9);
        let usual = span / (values as f64).sqrt().ceil().clamp(5.0, 30.0);
        let first = limits.clone().fold(f64::INFINITY, f64::min);
        let last = limits.fold(f64::NEG_INFINITY, f64::max);
        let between = last - first;
        let width = if between >= usual {
            between / (between / usual).round()
        } else {
            usual
        };
        let edge = if first.is_finite() { first } else { low };
        // A hair less, so that an edge on the end adds no empty bin.
        let whole = |length: f64| (length / width - 1e-9).ceil().max(0.0);
        let from = edge - whole(edge - low) * width;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "at most 32: no bin is narrower than two thirds of the usual width"
        )]
        let bins = whole(high - from).max(1.0) as usize;
        Self { from, width, bins }
    }

    fn count(&self, values: &[f64]) -> Vec<usize> {
        let mut bins = vec![0_usize; self.bins];
        for value in values {
            let last = self.bins as f64 - 1.0;
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "0 to the last bin"
            )]
            let bin = ((value - self.from) / self.width).clamp(0.0, last) as usize;
            if let Some(bin) = bins.get_mut(bin) {
                *bin += 1;
            }
        }
        bins
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(values: &[f64], limits: &[f64]) -> Grid {
        let all = || values.iter().chain(limits).copied();
        let low = all().fold(f64::INFINITY, f64::min);
        let high = all().fold(f64::NEG_INFINITY, f64::max);
        Grid::of(values.len(), low, high, limits.iter().copied())
    }

    #[test]
    fn every_value_is_in_a_bin() {
        let values: Vec<f64> = (0..100).map(f64::from).collect();
        for limits in [&[][..], &[10.0], &[20.0, 75.5], &[-3.0, 300.0]] {
            let grid = grid(&values, limits);
            assert_eq!(grid.count(&values).iter().sum::<usize>(), 100);
            assert!((1..=48).contains(&grid.bins), "{}", grid.bins);
        }
        assert_eq!(
            grid(&[5.0; 7], &[]).count(&[5.0; 7]).iter().sum::<usize>(),
            7
        );
    }

    /// Six parts all below the least size stand in bins below it.
    #[test]
    fn no_bin_straddles_a_limit() {
        let values = [8.850, 8.851, 8.852, 8.853, 8.855, 8.859];
        let grid = grid(&values, &[8.862, 8.994]);
        for limit in [8.862, 8.994] {
            let edge = (limit - grid.from) / grid.width;
            assert!((edge - edge.round()).abs() < 1e-6, "{edge}");
        }
        let below = grid
            .count(&values)
            .into_iter()
            .zip(0_u32..)
            .filter(|(_, bin)| grid.from + (f64::from(*bin) + 0.5) * grid.width < 8.862)
            .map(|(count, _)| count)
            .sum::<usize>();
        assert_eq!(below, 6);
    }
}
