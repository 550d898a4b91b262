//! Calibration intervals in words.

use metrology::interval::{ChartInterval, IntervalError, Method, Staircase};
use workshop::gauge_room::due::Intervals;

use crate::say;
use crate::words::{self, number};

/// Both methods in words: the interval, its formula, and what it would have been before.
pub fn told(intervals: &Intervals) -> Vec<String> {
    let days = |days: f64| number::fixed(days, 0);
    let settings = Staircase::default();
    let mut lines = Vec::new();
    lines.push(match &intervals.staircase {
        Ok(steps) => say!(
            "interval.staircase",
            days = steps
                .last()
                .map_or_else(String::new, |step| days(step.after)),
            before = intervals.staircase_before().map_or_else(String::new, days),
            up = number::given(settings.up),
            down = number::given(settings.down),
            within = number::percent(settings.within),
            long_run = number::percent(settings.long_run()),
            found = intervals.found.len()
        ),
        Err(error) => named(Method::Staircase, error),
    });
    lines.push(match &intervals.chart {
        Ok(chart) => chart_told(chart, intervals),
        Err(error) => named(Method::Chart, error),
    });
    if let Ok(before) = &intervals.chart_before {
        lines.push(say!("interval.chart-before", days = days(before.days)));
    }
    lines
}

fn named(method: Method, error: &IntervalError) -> String {
    say!(
        "interval.none",
        method = words::word(&method),
        why = words::said(error)
    )
}

fn chart_told(chart: &ChartInterval, intervals: &Intervals) -> String {
    let told = say!(
        "interval.chart",
        days = number::fixed(chart.days, 0),
        slope = number::signed(chart.line.slope, 2),
        limit = number::short(intervals.limit, 2),
        expanded = number::short(intervals.expanded_uncertainty, 2)
    );
    if chart.capped {
        format!("{told} {}", say!("interval.capped"))
    } else {
        told
    }
}
