//! Simulated shifts and wear are found after as many values as the chart promises.
//!
//! Published: C. W. Champ and W. H. Woodall, Exact results for Shewhart control charts with supplementary runs rules,
//! Technometrics 29 (1987) 393, table 1 (from memory; the chain of `average_run_length` agrees to the last digit). For a chart with
//! limits alone also D. C. Montgomery, Introduction to Statistical Quality Control, average run length of an x̄ chart (from
//! memory), and by hand 1/p.

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

/// Shifts of the mean: with limits alone, and with the two runs on one side that the charts here have as well.
#[test]
fn shifts_are_found_after_as_many_values_as_promised() {
    let mut chance = Chance(5);
    let beyond = |signal| signal == Signal::Beyond;
    // A drift of six is no rule of the published table.
    let by_limits_and_runs = |signal| signal != Signal::Drift;
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
