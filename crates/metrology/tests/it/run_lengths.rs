//! Simulated shifts and wear are found after as many values as the chart promises.
//!
//! Published: C. W. Champ and W. H. Woodall, Exact results for Shewhart control charts with supplementary runs rules,
//! Technometrics 29 (1987) 393, table 1 (from memory; the chain of `average_run_length` agrees to the last digit). For a chart with
//! limits alone also D. C. Montgomery, Introduction to Statistical Quality Control, average run length of an x̄ chart (from
//! memory), and by hand 1/p. Neither has the run rules at 0.5 and 1.5 standard deviations: for those there is the second chain
//! below, which shares nothing with `average_run_length`. It asks the chart itself which value signals, has its probabilities from
//! an integral of its own, and solves its equations instead of adding up what still runs.

use metrology::chart::{Individuals, RunRules, Signal, average_run_length, signals};
use metrology::uncertainty::normal_cdf;

/// Limits at three standard deviations of a process with mean 0 and standard deviation 1.
const KNOWN: Individuals = Individuals {
    mean: 0.0,
    lower: -3.0,
    upper: 3.0,
};
/// Eight values are as far back as a rule looks.
const LOOKS_BACK: usize = 8;

/// Normal numbers that look like chance, the same in every run.
struct Chance(u64);

impl Chance {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }
}

/// Mean of run lengths, and its standard uncertainty.
fn simulated(
    chance: &mut Chance,
    runs: usize,
    mean_of: impl Fn(usize) -> f64,
    counts: impl Fn(Signal) -> bool,
) -> (f64, f64) {
    let lengths: Vec<f64> = (0..runs)
        .map(|_| {
            let mut window: Vec<f64> = Vec::new();
            for number in 1.. {
                if window.len() == LOOKS_BACK {
                    window.remove(0);
                }
                window.push(mean_of(number) + chance.normal());
                let last = window.len() - 1;
                let found = signals(&window, Some(KNOWN));
                if found
                    .iter()
                    .any(|(at, signal)| *at == last && counts(*signal))
                {
                    return number as f64;
                }
            }
            unreachable!()
        })
        .collect();
    let mean = lengths.iter().sum::<f64>() / runs as f64;
    let square = lengths
        .iter()
        .map(|length| (length - mean).powi(2))
        .sum::<f64>();
    (mean, (square / (runs as f64 - 1.0) / runs as f64).sqrt())
}

const BY_LIMITS: RunRules = RunRules {
    two_of_three: false,
    four_of_five: false,
    eight_on_one_side: false,
};
const BY_RUNS: RunRules = RunRules {
    two_of_three: true,
    eight_on_one_side: true,
    ..BY_LIMITS
};

fn near(what: &str, (mean, uncertainty): (f64, f64), promised: f64) {
    let off = (mean - promised) / uncertainty;
    assert!(
        off.abs() < 4.0,
        "{what}: {mean} ± {uncertainty}, promised {promised}"
    );
}

/// Probability of a standard normal value between two, by Simpson's rule.
fn between(from: f64, to: f64) -> f64 {
    const HALVES: u32 = 2000;
    let density = |x: f64| (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt();
    let step = (to - from) / f64::from(2 * HALVES);
    let inner = (1..2 * HALVES).map(|at| {
        let weight = if at % 2 == 1 { 4.0 } else { 2.0 };
        weight * density(step.mul_add(f64::from(at), from))
    });
    (density(from) + inner.sum::<f64>() + density(to)) * step / 3.0
}

/// A value in each zone within the limits, with where the zone begins and ends.
const ZONES: [(f64, f64, f64); 4] = [
    (-2.5, -3.0, -2.0),
    (-1.0, -2.0, 0.0),
    (1.0, 0.0, 2.0),
    (2.5, 2.0, 3.0),
];

/// Whether a value in this zone signals behind these.
fn signals_behind(before: &[f64], value: f64, counts: impl Fn(Signal) -> bool) -> bool {
    let window = [before, &[value]].concat();
    let found = signals(&window, Some(KNOWN));
    found
        .iter()
        .any(|(at, signal)| *at == before.len() && counts(*signal))
}

/// What of the last seven values can still matter: the last two as they are, and of those before how many more in a row are on
/// the same side.
fn remembered(before: &[f64]) -> Vec<f64> {
    let Some(last) = before.last() else {
        return Vec::new();
    };
    let same_side = before.iter().rev().take(7);
    let run = same_side.take_while(|value| value.signum() == last.signum());
    let run = run.count();
    let kept = &before[before.len() - run.max(2).min(before.len())..];
    let exact = kept.len().saturating_sub(2);
    let value = |(at, value): (usize, &f64)| if at < exact { value.signum() } else { *value };
    kept.iter().enumerate().map(value).collect()
}

/// The average run length by a Markov chain over what [`remembered`] keeps: the solution of x = 1 + Q x.
fn by_chain(shift: f64, counts: impl Fn(Signal) -> bool + Copy) -> f64 {
    let mut states: Vec<Vec<f64>> = vec![Vec::new()];
    let mut rows: Vec<Vec<(usize, f64)>> = Vec::new();
    while rows.len() < states.len() {
        let state = states[rows.len()].clone();
        let mut row = Vec::new();
        for (value, from, to) in ZONES {
            if signals_behind(&state, value, counts) {
                continue;
            }
            let next = remembered(&[&state[..], &[value]].concat());
            let known = states.iter().position(|known| *known == next);
            let to_state = known.unwrap_or_else(|| {
                states.push(next);
                states.len() - 1
            });
            row.push((to_state, between(from - shift, to - shift)));
        }
        rows.push(row);
    }
    let n = states.len();
    // I − Q, with a last column of ones; by elimination with the largest pivot.
    let mut equations: Vec<Vec<f64>> = vec![vec![0.0; n + 1]; n];
    for (at, row) in rows.iter().enumerate() {
        equations[at][at] += 1.0;
        equations[at][n] = 1.0;
        for (to, probability) in row {
            equations[at][*to] -= probability;
        }
    }
    for column in 0..n {
        let size = |row: &usize| equations[*row][column].abs();
        let pivot = (column..n).max_by(|one, other| size(one).total_cmp(&size(other)));
        equations.swap(column, pivot.unwrap());
        let own = equations[column].clone();
        for (at, row) in equations.iter_mut().enumerate() {
            let factor = row[column] / own[column];
            if at != column && factor != 0.0 {
                for (cell, of_pivot) in row.iter_mut().zip(&own) {
                    *cell -= factor * of_pivot;
                }
            }
        }
    }
    equations[0][n] / equations[0][0]
}

fn beyond(signal: Signal) -> bool {
    signal == Signal::Beyond
}

fn beyond_or_two_of_three(signal: Signal) -> bool {
    matches!(signal, Signal::Beyond | Signal::TwoOfThree)
}

/// All rules of a published table: a drift of six is none.
fn by_limits_and_runs(signal: Signal) -> bool {
    signal != Signal::Drift
}

/// What the second chain forgets never matters: every row of seven values that did not signal, and every value behind it.
#[test]
fn the_chain_remembers_all_that_matters() {
    let mut rows: Vec<Vec<f64>> = vec![Vec::new()];
    for _ in 0..7 {
        let longer = rows.iter().flat_map(|row| {
            let next = ZONES.iter().map(|zone| zone.0);
            let next = next.filter(|value| !signals_behind(row, *value, by_limits_and_runs));
            next.map(|value| [&row[..], &[value]].concat())
        });
        rows = longer.collect();
    }
    assert!(rows.len() > 1000, "{}", rows.len());
    for row in &rows {
        for (value, ..) in ZONES {
            assert_eq!(
                signals_behind(row, value, by_limits_and_runs),
                signals_behind(&remembered(row), value, by_limits_and_runs),
                "{row:?}, {value}"
            );
        }
    }
}

/// The run lengths of the chart's own limits and run rules by a second chain, by that of the library, by simulation, and as
/// published where they are.
#[test]
fn run_lengths_by_a_second_chain() {
    let mut chance = Chance(7);
    let two_of_three = RunRules {
        two_of_three: true,
        ..BY_LIMITS
    };
    type Counts = fn(Signal) -> bool;
    let charts: [(&str, RunRules, Counts, [Option<f64>; 6]); 3] = [
        (
            "limits",
            BY_LIMITS,
            beyond,
            [370.40, 155.22, 43.89, 14.97, 6.30, 2.00].map(Some),
        ),
        (
            "two of three",
            two_of_three,
            beyond_or_two_of_three,
            [
                Some(225.44),
                None,
                Some(20.01),
                None,
                Some(3.65),
                Some(1.68),
            ],
        ),
        (
            "runs",
            BY_RUNS,
            by_limits_and_runs,
            [
                Some(122.05),
                None,
                Some(11.73),
                None,
                Some(3.50),
                Some(1.68),
            ],
        ),
    ];
    for (name, rules, counts, published) in charts {
        let shifts = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0];
        for (shift, published) in shifts.into_iter().zip(published) {
            let what = format!("{name}, {shift}");
            let chain = by_chain(shift, counts);
            let library = average_run_length(rules, shift);
            assert!(
                (chain - library).abs() < 1e-6 * library,
                "{what}: {chain}, {library}"
            );
            if let Some(published) = published {
                assert!((chain - published).abs() < 0.006, "{what}: {chain}");
            }
            near(&what, simulated(&mut chance, 300, |_| shift, counts), chain);
        }
    }
}

/// Shifts of the mean: with limits alone, and with the two runs on one side that the charts here have as well.
#[test]
fn shifts_are_found_after_as_many_values_as_promised() {
    let mut chance = Chance(5);
    for (shift, published) in [
        (0.0, 370.40),
        (0.5, 155.22),
        (1.0, 43.89),
        (2.0, 6.30),
        (3.0, 2.00),
    ] {
        let promised = average_run_length(BY_LIMITS, shift);
        assert!((promised - published).abs() < 0.006, "{shift}: {promised}");
        let by_hand = 1.0 / (normal_cdf(-3.0 - shift) + normal_cdf(shift - 3.0));
        assert!((promised - by_hand).abs() < 1e-6, "{shift}: {promised}");
        let found = simulated(&mut chance, 2000, |_| shift, beyond);
        near(&format!("limits, {shift}"), found, promised);
    }
    for (shift, published) in [
        (0.0, Some(122.05)),
        (0.5, None),
        (1.0, Some(11.73)),
        (2.0, None),
        (3.0, None),
    ] {
        let promised = average_run_length(BY_RUNS, shift);
        if let Some(published) = published {
            assert!((promised - published).abs() < 0.006, "{shift}: {promised}");
        }
        let found = simulated(&mut chance, 2000, |_| shift, by_limits_and_runs);
        near(&format!("runs, {shift}"), found, promised);
    }
}

/// Wear: each value lies further off than the one before. With limits alone the promise is the sum over n of the
/// probability that none of the first n values signalled, by hand.
#[test]
fn wear_is_found_after_as_many_values_as_promised() {
    let mut chance = Chance(6);
    for rate in [0.05, 0.1, 0.25, 1.0] {
        let off = |number: usize| rate * number as f64;
        let (mut promised, mut running, mut number) = (0.0, 1.0, 0);
        while running > 1e-12 {
            promised += running;
            number += 1;
            running *= normal_cdf(3.0 - off(number)) - normal_cdf(-3.0 - off(number));
        }
        let found = simulated(&mut chance, 2000, off, |signal| signal == Signal::Beyond);
        near(&format!("limits, {rate} a value"), found, promised);
        // The run rules find it sooner, and the drift of six sooner still.
        let by_runs = simulated(&mut chance, 2000, off, |signal| signal != Signal::Drift);
        let by_all = simulated(&mut chance, 2000, off, |_| true);
        assert!(
            by_runs.0 <= found.0 + 4.0 * found.1,
            "{rate}: {by_runs:?} {found:?}"
        );
        assert!(
            by_all.0 <= by_runs.0 + 4.0 * by_runs.1,
            "{rate}: {by_all:?}"
        );
        if rate < 0.5 {
            assert!(
                by_runs.0 + 4.0 * by_runs.1 < found.0,
                "{rate}: {by_runs:?} {found:?}"
            );
        }
    }
}
