//! What zero checks say of wear, in words.

use jiff::civil::Date;
use metrology::wear::{Beyond, Line as Fitted, Wear};
use rust_decimal::prelude::ToPrimitive as _;

use crate::say;
use crate::words::number;

/// Days of a year.
pub const YEAR: f64 = 365.25;

/// A slope whose p is above this shows nothing, and no day is named from it: the usual 5 % (common practice, no source).
const SLOPES: f64 = 0.05;

/// The day that days are counted from.
const FROM: Date = Date::constant(2000, 1, 1);

/// Days up to a day.
pub fn days(on: Date) -> f64 {
    f64::from(FROM.until(on).map_or(0, |span| span.get_days()))
}

/// The day of a number of days; none of one that is far off.
pub fn date(days: f64) -> Option<Date> {
    let inside = days.is_finite() && days.abs() < 1e6;
    let whole = inside.then(|| days.floor().to_i64()).flatten()?;
    FROM.checked_add(jiff::Span::new().days(whole)).ok()
}

/// What checks say: whether they are beyond the limit, their slope, and the day on which the limit is met.
pub fn found(wear: &Wear) -> Vec<String> {
    let mut lines: Vec<String> = wear.beyond.iter().map(beyond).collect();
    match &wear.line {
        Some(line) => lines.extend(fitted(line)),
        None => lines.push(say!("wear.no-line").to_owned()),
    }
    lines
}

fn beyond(beyond: &Beyond) -> String {
    let on = date(beyond.check.day);
    say!(
        "wear.beyond",
        error = number::signed(beyond.check.error, 2),
        on = on.map_or_else(String::new, |on| on.to_string()),
        limit = number::signed(beyond.limit, 2)
    )
}

fn fitted(line: &Fitted) -> Vec<String> {
    let slope = number::signed(line.line.slope * YEAR, 2);
    let mut lines = vec![
        if line.t.is_finite() {
            say!(
                "wear.slope",
                slope = slope,
                u = number::fixed(line.line.of_slope * YEAR, 2),
                t = number::fixed(line.t, 2),
                p = number::significant(line.p, 2)
            )
        } else {
            say!("wear.slope-alone", slope = slope)
        },
        say!("wear.hidden", hidden = number::signed(line.hidden, 2)),
    ];
    let Some(forecast) = line.forecast else {
        return lines;
    };
    let limit = number::signed(forecast.limit, 2);
    let named =
        |days: f64| date(days).map_or_else(|| say!("wear.far-off").to_owned(), |on| on.to_string());
    lines.push(match forecast.latest {
        _ if line.p > SLOPES => say!(
            "wear.forecast-unproven",
            p = number::significant(line.p, 2),
            limit = limit,
            earliest = named(forecast.earliest)
        ),
        Some(latest) => say!(
            "wear.forecast",
            limit = limit,
            on = named(forecast.day),
            earliest = named(forecast.earliest),
            latest = named(latest)
        ),
        None => say!(
            "wear.forecast-open",
            limit = limit,
            on = named(forecast.day),
            earliest = named(forecast.earliest)
        ),
    });
    lines
}
