//! Charts of the history: individuals with control limits, a run of readings, a histogram. Drawn here and not by a
//! plotting crate, so that they take the page's colours, print, and say in words what they show.

use std::fmt::Write as _;

use maud::{Markup, html};

use crate::bench::words;

const WIDTH: f64 = 760.0;
const LEFT: f64 = 160.0;

/// A chart of individuals by their moving range.
///
/// `x̄ ± 2.66 MR̄` (3/d2 with d2 = 1.128 for ranges of two; ISO 7870-2, from memory).
#[derive(Clone, Debug, PartialEq)]
pub struct Individuals {
    pub mean: f64,
    pub lower: f64,
    pub upper: f64,
    /// Points that say something, and what.
    pub signals: Vec<(usize, Signal)>,
}

/// What a point of a control chart says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signal {
    /// Beyond a control limit.
    Beyond,
    /// Two of three beyond two thirds of the way, on one side.
    TwoOfThree,
    /// The eighth in a row on one side of the mean.
    EightOnOneSide,
}

/// The fewest checks that limits are made from.
pub const FEWEST: usize = 8;
const THREE_SIGMA_OF_RANGE: f64 = 2.66;

impl Individuals {
    /// Limits from the first checks, signals among all; none with fewer checks than limits can be made from.
    pub fn of(values: &[f64]) -> Option<Self> {
        let base = values.get(..FEWEST)?;
        let mean = base.iter().sum::<f64>() / base.len() as f64;
        let ranges: Vec<f64> = base
            .windows(2)
            .filter_map(|pair| match pair {
                [one, other] => Some((other - one).abs()),
                _ => None,
            })
            .collect();
        let reach = THREE_SIGMA_OF_RANGE * ranges.iter().sum::<f64>() / ranges.len().max(1) as f64;
        let side = |value: f64, part: f64| {
            if value > mean + reach * part {
                1
            } else if value < mean - reach * part {
                -1
            } else {
                0
            }
        };
        let mut signals = Vec::new();
        for index in 0..values.len() {
            let upto = values.get(..=index).unwrap_or_default();
            let last = |count: usize, part: f64| -> Vec<i32> {
                upto.iter()
                    .rev()
                    .take(count)
                    .map(|value| side(*value, part))
                    .collect()
            };
            let one_side = |sides: &[i32], least: usize| {
                [1, -1]
                    .iter()
                    .any(|wanted| sides.iter().filter(|side| *side == wanted).count() >= least)
            };
            if one_side(&last(1, 1.0), 1) {
                signals.push((index, Signal::Beyond));
            } else if side(upto.last().copied().unwrap_or(mean), 2.0 / 3.0) != 0
                && one_side(&last(3, 2.0 / 3.0), 2)
            {
                signals.push((index, Signal::TwoOfThree));
            } else if one_side(&last(8, 0.0), 8) {
                signals.push((index, Signal::EightOnOneSide));
            }
        }
        Some(Self {
            mean,
            lower: mean - reach,
            upper: mean + reach,
            signals,
        })
    }
}

/// A line across a chart.
pub struct Level<'a> {
    pub at: f64,
    pub name: &'a str,
    pub class: &'static str,
}

/// Points in order, with levels across; `marked` are drawn as flagged.
pub fn run(
    title: &str,
    values: &[f64],
    levels: &[Level<'_>],
    marked: &[usize],
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
        let step = if index == 0 { 'M' } else { 'L' };
        // Writing to a String cannot fail.
        let _ = write!(line, "{step}{:.1} {:.1}", x(index), y(*value));
    }
    html! {
        svg class="run" viewBox="0 0 760 220" role="img" aria-label=(words::chart(title, values.len())) {
            @for level in levels {
                path d=(format!("M{LEFT} {0:.1}H{WIDTH}", y(level.at))) class=(level.class) {}
                text x=(LEFT - 8.0) y=(format!("{:.1}", y(level.at) + 5.0)) text-anchor="end" class="soft" { (level.name) " " (show(level.at)) }
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
        svg class="histogram" viewBox="0 0 760 200" role="img" aria-label=(words::chart(title, values.len())) {
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

    /// Worked by hand: mean 10, every moving range 2, limits 10 ± 2.66 x 2.
    #[test]
    fn limits_of_individuals() {
        let values = [9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 16.0];
        let chart = Individuals::of(&values).unwrap();
        assert!((chart.mean - 10.0).abs() < 1e-12);
        assert!((chart.upper - 15.32).abs() < 1e-9);
        assert!((chart.lower - 4.68).abs() < 1e-9);
        assert_eq!(chart.signals, [(8, Signal::Beyond)]);
        assert_eq!(Individuals::of(&values[..7]), None);
    }

    #[test]
    fn a_shift_shows_after_eight() {
        let mut values = vec![9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 9.0, 11.0];
        values.extend([11.0; 8]);
        let chart = Individuals::of(&values).unwrap();
        assert_eq!(
            chart.signals,
            [(14, Signal::EightOnOneSide), (15, Signal::EightOnOneSide)]
        );
    }

    #[test]
    fn every_value_is_in_a_bin() {
        let values: Vec<f64> = (0..100).map(f64::from).collect();
        assert_eq!(bins(&values, 0.0, 99.0).iter().sum::<usize>(), 100);
        assert_eq!(bins(&[5.0; 7], 5.0, 1e-9).iter().sum::<usize>(), 7);
    }
}
