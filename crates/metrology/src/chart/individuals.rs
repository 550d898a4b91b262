//! A control chart of individual values: limits from the first values of a series, and what the values say about it.

use crate::double_double::{DoubleDouble, decimals, mean};

/// The fewest values that limits are made from.
pub const FEWEST: usize = 8;
/// 3/d2, with d2 = 2/√π = 1.128, the mean range of two values in standard deviations.
pub const THREE_SIGMA_OF_RANGE: f64 = 3.0 / std::f64::consts::FRAC_2_SQRT_PI;
/// How many in a row, each higher (or lower) than the one before, are a drift (Nelson 1984, test 3; from memory).
const DRIFT: usize = 6;
/// How many in a row on one side of the mean (Western Electric 1956, rule 4; NIST/SEMATECH e-Handbook, 6.3.2; from memory).
const ONE_SIDE: usize = 8;

/// Limits of individual values by their moving range: x̄ ± 2.66 MR̄ (NIST/SEMATECH e-Handbook, 6.3.2.2; from
/// memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Individuals {
    /// Mean of the values.
    pub mean: f64,
    /// Lower control limit.
    pub lower: f64,
    /// Upper control limit.
    pub upper: f64,
}

crate::codes! {
    /// What a value says.
    pub enum Signal "chart-signal" {
        /// Beyond a control limit.
        Beyond "beyond",
        /// Two of three beyond two thirds of the way, on one side.
        TwoOfThree "two-of-three",
        /// The eighth in a row on one side of the mean.
        EightOnOneSide "eight-on-one-side",
        /// The sixth in a row that all rise, or all fall.
        Drift "drift",
    }
}

/// How far each value is from the one before: of the decimals that they stand for.
pub fn moving_ranges(values: &[f64]) -> Vec<f64> {
    let values = decimals(values);
    exact_ranges(&values).map(DoubleDouble::value).collect()
}

fn exact_ranges(values: &[DoubleDouble]) -> impl Iterator<Item = DoubleDouble> {
    values.windows(2).filter_map(|pair| match pair {
        [one, other] => Some((*other - *one).abs()),
        _ => None,
    })
}

impl Individuals {
    /// Limits from these values; none of fewer than two.
    pub fn of(values: &[f64]) -> Option<Self> {
        let values = decimals(values);
        let ranges: Vec<DoubleDouble> = exact_ranges(&values).collect();
        if ranges.is_empty() {
            return None;
        }
        // As on paper: a value that is the mean lies on neither side of it.
        let reach = THREE_SIGMA_OF_RANGE * mean(&ranges).value();
        let mean = mean(&values).value();
        Some(Self {
            mean,
            lower: mean - reach,
            upper: mean + reach,
        })
    }

    /// The same limits, or wider ones at least this far from the mean.
    fn not_within(self, least: f64) -> Self {
        let reach = (self.upper - self.mean).max(least);
        Self {
            mean: self.mean,
            lower: self.mean - reach,
            upper: self.mean + reach,
        }
    }

    /// 1 above, -1 below this part of the way from the mean to a limit, else 0.
    fn side(&self, value: f64, part: f64) -> i32 {
        let reach = (self.upper - self.mean) * part;
        i32::from(value > self.mean + reach) - i32::from(value < self.mean - reach)
    }

    /// What the last of these values says; the first of several signals.
    fn signal(&self, upto: &[f64]) -> Option<Signal> {
        let last = *upto.last()?;
        let on_one_side = |count: usize, part: f64, least: usize| {
            let side = self.side(last, part);
            let same = upto
                .iter()
                .rev()
                .take(count)
                .filter(|value| self.side(**value, part) == side);
            side != 0 && same.count() >= least
        };
        if on_one_side(1, 1.0, 1) {
            Some(Signal::Beyond)
        } else if on_one_side(3, 2.0 / 3.0, 2) {
            Some(Signal::TwoOfThree)
        } else if on_one_side(ONE_SIDE, 0.0, ONE_SIDE) {
            Some(Signal::EightOnOneSide)
        } else {
            None
        }
    }
}

/// Whether the last six rise, or fall, all the way. Needs no limits.
fn drifts(upto: &[f64]) -> bool {
    let Some(last) = upto
        .len()
        .checked_sub(DRIFT)
        .and_then(|first| upto.get(first..))
    else {
        return false;
    };
    last.is_sorted_by(|one, other| one < other) || last.is_sorted_by(|one, other| one > other)
}

/// What each value says against limits, and whether the last six drift; of several signals of one value the first.
pub fn signals(values: &[f64], limits: Option<Individuals>) -> Vec<(usize, Signal)> {
    let signal = |upto: &[f64]| {
        let by_limits = limits.and_then(|limits| limits.signal(upto));
        by_limits.or_else(|| drifts(upto).then_some(Signal::Drift))
    };
    (0..values.len())
        .filter_map(|index| Some((index, signal(values.get(..=index)?)?)))
        .collect()
}

/// Values between one intervention and the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// The index of its first value.
    pub first: usize,
    /// The index after its last.
    pub end: usize,
    /// From its first eight values; none with fewer.
    pub limits: Option<Individuals>,
    /// Values that say something, and what.
    pub signals: Vec<(usize, Signal)>,
}

/// Takes values apart into series that begin at the first and at each of `restarts`: what was set anew is not judged by
/// what was before. Limits lie no nearer to the mean than `step`, what the values are read in: one step more or less says
/// nothing of a display.
pub fn series(values: &[f64], restarts: &[usize], step: f64) -> Vec<Series> {
    let mut starts = vec![0];
    starts.extend(
        restarts
            .iter()
            .copied()
            .filter(|start| (1..values.len()).contains(start)),
    );
    starts.sort_unstable();
    starts.dedup();
    let ends = starts.iter().skip(1).copied().chain([values.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(&first, end)| {
            let own = values.get(first..end).unwrap_or_default();
            let limits = own.get(..FEWEST).and_then(Individuals::of);
            let limits = limits.map(|limits| limits.not_within(step));
            let signals = signals(own, limits)
                .into_iter()
                .map(|(index, signal)| (first + index, signal))
                .collect();
            Series {
                first,
                end,
                limits,
                signals,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signals(values: &[f64]) -> Vec<(usize, Signal)> {
        series(values, &[], 0.0).remove(0).signals
    }

    /// The flow rates of NIST/SEMATECH e-Handbook 6.3.2.2 (from memory): mean 50.81, mean moving range 1.8778, limits
    /// 45.8159 and 55.8041, with d2 = 1.128 in place of 1.12838.
    #[test]
    fn limits_of_individuals() {
        let flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
        let limits = Individuals::of(&flow).unwrap();
        assert!((limits.mean - 50.81).abs() < 1e-9);
        assert!((limits.upper - 55.8041).abs() < 2e-3, "{limits:?}");
        assert!((limits.lower - 45.8159).abs() < 2e-3, "{limits:?}");
        assert_eq!(Individuals::of(&flow[..1]), None);
        assert_eq!(series(&flow[..7], &[], 0.0)[0].limits, None);
        // Zeros that all show the same do not alarm at the next step of the display.
        let still = [-1.0, -1.0, -1.0, -1.0, -1.0, -1.0, -1.0, -1.0, 0.0];
        assert_eq!(series(&still, &[], 1.0)[0].signals, []);
        assert!(!series(&still, &[], 0.0)[0].signals.is_empty());
        // Limits are of the first eight, whatever comes after.
        assert_eq!(
            series(&flow, &[], 0.0)[0].limits,
            Individuals::of(&flow[..8])
        );
        assert_eq!(signals(&flow), []);
    }

    #[test]
    fn one_beyond_a_limit() {
        // Mean 10, every moving range 2, limits 10 ± 2.6587 x 2.
        let mut values = vec![9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 15.3];
        assert_eq!(signals(&values), []);
        values[8] = 15.33;
        assert_eq!(signals(&values), [(8, Signal::Beyond)]);
        values[8] = 4.67;
        assert_eq!(signals(&values), [(8, Signal::Beyond)]);
    }

    #[test]
    fn two_of_three_near_a_limit() {
        let base = [9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 9.0, 11.0];
        // Two thirds of the way: 10 ± 3.545.
        let with = |more: [f64; 3]| signals(&[&base[..], &more].concat());
        assert_eq!(with([13.6, 10.0, 13.6]), [(10, Signal::TwoOfThree)]);
        assert_eq!(with([13.6, 10.0, 6.4]), []);
        assert_eq!(with([13.5, 10.0, 13.6]), []);
    }

    #[test]
    fn a_shift_shows_after_eight() {
        let mut values = vec![9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 9.0, 11.0];
        values.extend([11.0; 8]);
        let eight = [(14, Signal::EightOnOneSide), (15, Signal::EightOnOneSide)];
        assert_eq!(signals(&values), eight);
    }

    /// Of the 720 orders of six different values two rise or fall all the way.
    #[test]
    fn a_drift_is_two_orders_of_720() {
        fn orders(left: &[f64], taken: &mut Vec<f64>, found: &mut (usize, usize)) {
            if left.is_empty() {
                found.0 += 1;
                found.1 += usize::from(drifts(taken));
            }
            for (index, value) in left.iter().enumerate() {
                let mut rest = left.to_vec();
                rest.remove(index);
                taken.push(*value);
                orders(&rest, taken, found);
                taken.pop();
            }
        }
        let mut found = (0, 0);
        orders(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0], &mut Vec::new(), &mut found);
        assert_eq!(found, (720, 2));
        assert!(!drifts(&[1.0, 2.0, 3.0, 4.0, 5.0]));
        assert!(!drifts(&[1.0, 2.0, 3.0, 3.0, 4.0, 5.0]), "equal is no rise");
    }

    /// A slow drift is told before it is beyond a limit, and before there are limits at all.
    #[test]
    fn a_drift_needs_no_limits() {
        assert_eq!(
            signals(&[0.0, 0.1, 0.2, 0.3, 0.4, 0.5]),
            [(5, Signal::Drift)]
        );
    }

    #[test]
    fn a_restart_is_judged_by_its_own() {
        let before = [9.0, 11.0, 9.0, 11.0, 9.0, 11.0, 9.0, 11.0];
        let after = before.map(|value| value + 100.0);
        let both = [before, after].concat();
        assert_eq!(signals(&both).len(), 8);
        let apart = series(&both, &[8], 0.0);
        assert_eq!(apart.len(), 2);
        assert_eq!((apart[1].first, apart[1].end), (8, 16));
        assert!(apart.iter().all(|series| series.signals.is_empty()));
        let upper = apart[1].limits.unwrap().upper;
        assert!((upper - 115.317_361_552_716).abs() < 1e-9, "{upper}");
        // Nothing runs across a restart.
        let rising: Vec<f64> = (0..8).map(f64::from).collect();
        assert!(
            series(&rising, &[4], 0.0)
                .iter()
                .all(|series| series.signals.is_empty())
        );
        assert_eq!(series(&[], &[0, 3], 0.0).len(), 1);
    }
}
