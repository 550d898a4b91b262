//! How long a chart runs before it signals.

use std::collections::BTreeMap;

use crate::uncertainty::normal_cdf;

/// Which rules a chart has beside its limits at three standard deviations.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RunRules {
    /// Two of three beyond two standard deviations, on one side.
    pub two_of_three: bool,
    /// Four of five beyond one standard deviation, on one side.
    pub four_of_five: bool,
    /// Eight in a row on one side.
    pub eight_on_one_side: bool,
}

/// What the next value may complete: how many on this side so far, and where the last few lay.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    side: i8,
    run: u8,
    /// 1 beyond two standard deviations above, −1 below, else 0; the last one first.
    far: [i8; 2],
    /// The same beyond one standard deviation.
    off: [i8; 4],
}

impl RunRules {
    /// The state after a value in this zone, counted outwards from 1, negative below the mean; `None` where it signals.
    fn next(self, state: State, zone: i8) -> Option<State> {
        let side = zone.signum();
        let beyond = |least: i8| if zone.abs() >= least { side } else { 0 };
        let (far, off) = (beyond(3), beyond(2));
        let run = if state.side == side { state.run + 1 } else { 1 };
        let signals = zone.abs() > 3
            || (self.two_of_three && far != 0 && state.far.contains(&far))
            || (self.four_of_five
                && off != 0
                && state.off.iter().filter(|before| **before == off).count() >= 3)
            || (self.eight_on_one_side && run >= 8);
        // What no rule looks at is not kept, so that states are few.
        let keep = |rule: bool, value: i8| if rule { value } else { 0 };
        let [last_far, _] = state.far;
        let [first, second, third, _] = state.off;
        let of_run = self.eight_on_one_side;
        (!signals).then(|| State {
            side: keep(of_run, side),
            run: if of_run { run } else { 0 },
            far: [keep(self.two_of_three, far), last_far],
            off: [keep(self.four_of_five, off), first, second, third],
        })
    }
}

/// The mean number of values until a chart with known limits signals, when the process lies `shift` standard deviations off its
/// centre line and its values are normal and independent.
///
/// A Markov chain over what the rules remember (C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393; the method from
/// memory).
///
/// ```
/// use metrology::chart::{RunRules, average_run_length};
///
/// // Limits at three standard deviations alone: 370.4 values on average (NIST/SEMATECH e-Handbook, 6.3.1).
/// let length = average_run_length(RunRules::default(), 0.0);
/// assert!((length - 370.4).abs() < 0.1);
/// ```
pub fn average_run_length(rules: RunRules, shift: f64) -> f64 {
    average_run_length_beside(rules, shift, 0.0)
}

/// The same where a second chart of the same points, which does not depend on the first, signals with this probability at each: the
/// chart of the ranges of subgroups beside that of their means. Range and mean of a normal sample are independent (R. C. Geary,
/// Supplement to the Journal of the Royal Statistical Society 3 (1936) 178; from memory).
pub fn average_run_length_beside(rules: RunRules, shift: f64, beside: f64) -> f64 {
    let zones: Vec<(i8, f64)> = (1..=4)
        .flat_map(|zone: i8| {
            let (from, to) = (f64::from(zone) - 1.0, f64::from(zone));
            let to = if zone == 4 { f64::INFINITY } else { to };
            [
                (zone, normal_cdf(shift - from) - normal_cdf(shift - to)),
                (-zone, normal_cdf(-from - shift) - normal_cdf(-to - shift)),
            ]
        })
        .collect();
    // Every state that can be reached, and where each zone leads from it.
    let mut known = BTreeMap::from([(State::default(), 0_usize)]);
    let mut waiting = vec![State::default()];
    let mut steps: Vec<(usize, usize, f64)> = Vec::new();
    while let Some(state) = waiting.pop() {
        let from = known.get(&state).copied().unwrap_or_default();
        for (zone, probability) in &zones {
            let Some(next) = rules.next(state, *zone) else {
                continue;
            };
            let number = known.len();
            let to = *known.entry(next).or_insert_with(|| {
                waiting.push(next);
                number
            });
            steps.push((from, to, *probability * (1.0 - beside)));
        }
    }
    let mut here = vec![0.0; known.len()];
    if let Some(start) = here.first_mut() {
        *start = 1.0;
    }
    // The sum of the probabilities to be still running; a chart that nearly never signals is not waited for.
    let mut length = 0.0;
    for _ in 0..200_000 {
        let running: f64 = here.iter().sum();
        length += running;
        if running < 1e-12 {
            break;
        }
        let mut there = vec![0.0; here.len()];
        for (from, to, probability) in &steps {
            let arriving = here.get(*from).copied().unwrap_or_default() * probability;
            if let Some(sum) = there.get_mut(*to) {
                *sum += arriving;
            }
        }
        here = there;
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;

    /// C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393, table 1; from memory.
    #[test]
    fn published_run_lengths() {
        let rules = |two_of_three, four_of_five, eight_on_one_side| RunRules {
            two_of_three,
            four_of_five,
            eight_on_one_side,
        };
        for (rules, shift, published) in [
            (rules(false, false, false), 0.0, 370.40),
            (rules(true, false, false), 0.0, 225.44),
            (rules(false, true, false), 0.0, 166.05),
            (rules(false, false, true), 0.0, 152.73),
            (rules(true, false, true), 0.0, 122.05),
            (rules(true, true, false), 0.0, 132.89),
            (rules(false, true, true), 0.0, 105.78),
            (rules(true, true, true), 0.0, 91.75),
            (rules(false, false, false), 1.0, 43.89),
            (rules(false, false, false), 2.0, 6.30),
            (rules(false, false, false), 3.0, 2.00),
            (rules(true, true, true), 1.0, 9.22),
        ] {
            let found = average_run_length(rules, shift);
            assert!(
                (found - published).abs() < 0.006,
                "{rules:?} {shift}: {found}"
            );
        }
    }

    /// Of two charts with limits alone that do not depend on each other: 1/(1 − (1 − p)(1 − q)), by hand.
    #[test]
    fn two_charts_signal_more_often_than_one() {
        let p = 2.0 * normal_cdf(-3.0);
        for q in [0.0, 0.004_6, 0.009_15] {
            let found = average_run_length_beside(RunRules::default(), 0.0, q);
            let by_hand = 1.0 / (1.0 - (1.0 - p) * (1.0 - q));
            assert!((found - by_hand).abs() < 1e-6, "{q}: {found}");
        }
    }
}
