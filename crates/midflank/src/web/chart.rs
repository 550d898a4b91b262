//! Charts of the history: individuals with control limits, a run of readings, a histogram. Drawn here and not by a
//! plotting crate, so that they take the page's colours, print, and say in words what they show.

use maud::{Markup, html};

use super::words;
use crate::bench::words as bench_words;

/// Height of the plot of a run, and of the picture with its axis, pixels. Places across are percentages, so that the
/// writing has one size however wide the picture is.
const PLOT: f64 = 196.0;
const HEIGHT: f64 = 220.0;

/// A line across a chart, or across some of its values.
pub struct Level<'a> {
    pub at: f64,
    /// The first and the last value that it is for; none for all of them.
    pub over: Option<(usize, usize)>,
    pub name: &'a str,
    pub class: &'static str,
}

/// Points in order, with levels across; `marked` are drawn as flagged, and before each of `restarts` something was set
/// anew: the line of the points is broken there, and a line down says so. `axis` names a point under the chart.
pub fn run(
    title: &str,
    values: &[f64],
    levels: &[Level<'_>],
    marked: &[usize],
    restarts: &[usize],
    show: impl Fn(f64) -> String,
    axis: impl Fn(usize) -> String,
) -> Markup {
    let all = values
        .iter()
        .copied()
        .chain(levels.iter().map(|level| level.at));
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let span = (high - low).max(1e-9);
    let y = |value: f64| format!("{:.1}", 24.0 + (high - value) / span * (PLOT - 36.0));
    let across = |index: f64| 16.0 + index / values.len().saturating_sub(1).max(1) as f64 * 80.0;
    let x = |index: f64| format!("{:.2}%", across(index));
    let of = |index: usize| index as f64;
    // So many names find room under the chart.
    let every = values.len().div_ceil(7).max(1);
    let lines = (1..values.len()).filter(|index| !restarts.contains(index));
    let pairs = lines.filter_map(|index| Some((index, values.get(index - 1)?, values.get(index)?)));
    html! {
        svg class="run" width="100%" height=(HEIGHT) role="img" aria-label=(bench_words::chart(title, values.len())) {
            @for index in restarts {
                @let between = x(of(*index) - 0.5);
                line x1=(between) y1="4" x2=(between) y2=(PLOT) class="restart" {}
                text x=(between) dx="6" y=(PLOT - 4.0) class="soft" { (words::restart()) }
            }
            @for level in levels {
                @let (from, to) = level.over.map_or(("0".to_owned(), "100%".to_owned()), |(first, last)| (x(of(first) - 0.2), x(of(last) + 0.2)));
                line x1=(from) y1=(y(level.at)) x2=(to) y2=(y(level.at)) class=(level.class) {}
                @if !level.name.is_empty() {
                    text x="0" y=(y(level.at)) dy="-6" { tspan class="soft" { (level.name) } " " (show(level.at)) }
                }
            }
            @for (index, before, value) in pairs {
                line x1=(x(of(index) - 1.0)) y1=(y(*before)) x2=(x(of(index))) y2=(y(*value)) class="thread-line" {}
            }
            @for (index, value) in values.iter().enumerate() {
                circle cx=(x(of(index))) cy=(y(*value)) r="5"
                    class=(if marked.contains(&index) { "dot flagged" } else { "dot" }) {
                    title { (index + 1) ": " (show(*value)) }
                }
                @if index % every == 0 { text x=(x(of(index))) y=(HEIGHT - 6.0) text-anchor="middle" class="soft" { (axis(index)) } }
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
    let width = 96.0 / grid.bins as f64;
    let across = |value: f64| 2.0 + (value - grid.from) / grid.width * width;
    html! {
        svg class="histogram" width="100%" height="200" role="img" aria-label=(bench_words::chart(title, values.len())) {
            @for (index, count) in bins.iter().enumerate().filter(|(_, count)| **count > 0) {
                @let height = *count as f64 / most * 120.0;
                @let from = 2.0 + index as f64 * width;
                rect x=(format!("{:.2}%", from + 0.08 * width)) y=(format!("{:.1}", 160.0 - height))
                    width=(format!("{:.2}%", 0.84 * width)) height=(format!("{height:.1}")) class="bin" {}
                text x=(format!("{:.2}%", from + 0.5 * width)) y=(format!("{:.1}", 154.0 - height)) text-anchor="middle" class="soft" { (count) }
            }
            line x1="2%" y1="160" x2="98%" y2="160" class="base" {}
            @for level in limits {
                @let at = across(level.at);
                line x1=(format!("{at:.2}%")) y1="18" x2=(format!("{at:.2}%")) y2="168" class=(level.class) {}
                text x=(format!("{at:.2}%")) y="188" text-anchor=(if at > 50.0 { "end" } else { "start" }) { tspan class="soft" { (level.name) } " " (show(level.at)) }
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
        // One value alone stands in the middle, with room on both sides.
        if high <= low {
            return Self {
                from: low - 2.5,
                width: 1.0,
                bins: 5,
            };
        }
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

    #[test]
    fn one_value_alone_has_a_bar_in_the_middle() {
        let count = grid(&[5.0; 7], &[]).count(&[5.0; 7]);
        assert_eq!(count, [0, 0, 7, 0, 0]);
        let drawn = histogram("M10", &[5.0; 7], &[], |value| value.to_string()).into_string();
        assert_eq!(drawn.matches("class=\"bin\"").count(), 1, "{drawn}");
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
