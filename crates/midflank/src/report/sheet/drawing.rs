//! What is drawn on a sheet: the verdict's mark, the tolerance bar, the readings in their order.

use paper::{Anchor, Colour, Figure, HAIR, INK, Mark, PAPER, Pen, Point, SOFT};

use crate::document::Inspected;
use crate::report::bar::Bar;
use crate::report::off_scale::{self, OffScale, at_end};
use crate::report::picture::{bar_words, run_scale};
use crate::say;
use crate::words::number;

const ACCEPT: Colour = Colour(0x0A, 0x5A, 0x4A);
pub const REJECT: Colour = Colour(0xA3, 0x27, 0x1B);
pub const UNDECIDED: Colour = Colour(0x7A, 0x4E, 0x00);
pub const ACCENT: Colour = Colour(0x0B, 0x5C, 0x6B);
/// Between the acceptance limits.
pub const ACCEPTED: Colour = Colour(0xE4, 0xEE, 0xEA);
/// Between two strokes of hatching.
const HATCH: f32 = 4.0;

pub const fn at(x: f32, y: f32) -> Point {
    Point { x, y }
}

/// The colour of a verdict, beside its word and shape.
pub fn colour(verdict: &str) -> Colour {
    match verdict {
        "accept" | "conditional-accept" => ACCEPT,
        "reject" | "conditional-reject" => REJECT,
        _ => UNDECIDED,
    }
}

/// The verdict as a shape: disc with a tick, square with a bar, open diamond.
fn shape(verdict: &str, centre: Point, radius: f32) -> Vec<Mark> {
    let colour = colour(verdict);
    let Point { x, y } = centre;
    let pen = Pen::new(PAPER, radius * 0.22);
    match verdict {
        "accept" | "conditional-accept" => vec![
            Mark::Circle {
                centre,
                radius,
                fill: Some(colour),
                edge: None,
            },
            Mark::Line(
                pen,
                vec![
                    at(x - radius * 0.5, y + radius * 0.02),
                    at(x - radius * 0.12, y + radius * 0.4),
                    at(x + radius * 0.52, y - radius * 0.36),
                ],
            ),
        ],
        "reject" | "conditional-reject" => {
            let corner = at(x - radius * 0.9, y - radius * 0.9);
            vec![
                Mark::rectangle(corner, radius * 1.8, radius * 1.8, Some(colour), None),
                Mark::Line(
                    pen,
                    vec![at(x - radius * 0.55, y), at(x + radius * 0.55, y)],
                ),
            ]
        }
        _ => vec![Mark::Area {
            corners: vec![
                at(x, y - radius),
                at(x + radius, y),
                at(x, y + radius),
                at(x - radius, y),
            ],
            fill: Some(PAPER),
            edge: Some(Pen::new(colour, radius * 0.2)),
        }],
    }
}

/// The mark that stands beside the word.
pub fn mark(verdict: &str, word: String) -> Figure {
    let verdict = verdict.to_owned();
    Figure {
        alt: word,
        height: 34.0,
        draw: Box::new(move |_| shape(&verdict, at(17.0, 17.0), 15.0)),
    }
}

/// Words on a drawing.
pub fn label(at: Point, anchor: Anchor, colour: Colour, text: String) -> Mark {
    Mark::Text {
        at,
        anchor,
        size: 7.6,
        colour,
        strong: false,
        text,
    }
}

/// The tolerance bar: limits, guard bands hatched, the size with its uncertainty over it, the readings under it.
pub fn tolerance_bar(result: &Inspected) -> Figure {
    let whole = Bar::of(result);
    let alt = format!(
        "{}: {}",
        say!("report.bar-title"),
        bar_words(result, &whole)
    );
    let beyond = whole.beyond(result);
    bar(result, whole, alt, &beyond)
}

/// The nearest limit drawn larger, where the whole bar is too coarse.
pub fn near_limit(result: &Inspected) -> Option<Figure> {
    let near = Bar::of(result).near(result)?;
    // What lies beyond the part that is drawn larger stands on the whole.
    Some(bar(result, near, say!("report.bar-near").to_owned(), &[]))
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a place on paper needs no more"
)]
fn bar(result: &Inspected, bar: Bar, alt: String, off_scale: &[OffScale]) -> Figure {
    let verdict = result.decision.decision.clone();
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let readings: Vec<(f64, bool)> = result
        .readings
        .iter()
        .filter(|reading| bar.holds(reading.corrected))
        .map(|reading| (reading.corrected, reading.flags.is_empty()))
        .collect();
    let ends: Vec<(bool, bool, String)> = [false, true]
        .into_iter()
        .filter_map(|above| {
            let flagged = |one: &OffScale| one.above == above && one.is_flagged;
            let text = at_end(result, off_scale, above)?;
            Some((above, off_scale.iter().any(flagged), text))
        })
        .collect();
    Figure {
        alt,
        height: if ends.is_empty() { 58.0 } else { 70.0 },
        draw: Box::new(move |width| {
            let x = |value: f64| bar.along(value) as f32 * width;
            let (top, bottom) = (20.0, 36.0);
            let (lower, upper) = (bar.lower.unwrap_or(bar.from), bar.upper.unwrap_or(bar.to));
            let mut marks = hatched(x(lower), x(upper), top, bottom);
            if let Some((first, last)) = bar.accepted {
                let (first, last) = (x(first.max(lower)), x(last.min(upper)));
                marks.push(Mark::rectangle(
                    at(first, top),
                    (last - first).max(0.0),
                    bottom - top,
                    Some(ACCEPTED),
                    None,
                ));
            }
            let edge = Pen::new(SOFT, 0.5);
            marks.push(Mark::rectangle(
                at(x(lower), top),
                x(upper) - x(lower),
                bottom - top,
                None,
                Some(edge),
            ));
            marks.extend(limits_on(&bar, x, (top, bottom), decimals));
            for (value, is_sound) in &readings {
                let pen = Pen {
                    colour: ACCENT,
                    width: 1.0,
                    dash: (!is_sound).then_some((1.2, 1.2)),
                };
                let places = vec![at(x(*value), bottom), at(x(*value), bottom + 7.0)];
                marks.push(Mark::Line(pen, places));
            }
            for (above, is_flagged, text) in &ends {
                let place = if *above { width } else { 0.0 };
                marks.extend(end_mark(
                    at(place, bottom + 28.0),
                    *above,
                    *is_flagged,
                    text,
                ));
            }
            let (from, to) = (x(bar.interval.0), x(bar.interval.1));
            let pen = Pen::new(INK, 1.0);
            marks.push(Mark::Line(pen, vec![at(from, 15.5), at(to, 15.5)]));
            for end in [from, to] {
                marks.push(Mark::Line(pen, vec![at(end, 12.5), at(end, 18.5)]));
            }
            let size = x(bar.size);
            marks.push(Mark::Line(pen, vec![at(size, 12.0), at(size, bottom)]));
            // Two strokes, as a drawing breaks out what is too long for it.
            if let Some(broken) = bar.broken {
                let place = x(broken);
                for stroke in [place - 4.0, place] {
                    marks.push(Mark::Line(
                        Pen::new(INK, 1.2),
                        vec![at(stroke, bottom + 2.0), at(stroke + 4.0, top - 2.0)],
                    ));
                }
            }
            marks.extend(shape(&verdict, at(size, 6.5), 5.5));
            marks
        }),
    }
}

/// The limits on the bar, with their values.
fn limits_on(
    bar: &Bar,
    x: impl Fn(f64) -> f32,
    (top, bottom): (f32, f32),
    decimals: usize,
) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (limit, name) in [
        (bar.lower, say!("report.bar-least")),
        (bar.upper, say!("report.bar-most")),
    ] {
        let Some(limit) = limit else {
            continue;
        };
        let place = x(limit);
        marks.push(Mark::Line(
            Pen::new(INK, 1.4),
            vec![at(place, top - 4.0), at(place, bottom + 8.0)],
        ));
        let anchor = match bar.along(limit) {
            along if along < 0.2 => Anchor::Start,
            along if along > 0.8 => Anchor::End,
            _ => Anchor::Middle,
        };
        let text = format!("{name} {}", number::fixed(limit, decimals));
        marks.push(label(at(place, bottom + 18.0), anchor, SOFT, text));
    }
    marks
}

/// What lies off the scale, at the end of the bar that it lies beyond.
fn end_mark(tip: Point, above: bool, is_flagged: bool, text: &str) -> [Mark; 2] {
    let (back, anchor) = if above {
        (-1.0, Anchor::End)
    } else {
        (1.0, Anchor::Start)
    };
    let foot = at(tip.x + back * 6.0, tip.y);
    let beside = at(tip.x + back * 9.0, tip.y + 2.5);
    [
        arrow(tip, foot, is_flagged),
        label(beside, anchor, SOFT, text.to_owned()),
    ]
}

/// Strokes at 45° within a strip.
fn hatched(from: f32, to: f32, top: f32, bottom: f32) -> Vec<Mark> {
    let high = bottom - top;
    let mut marks = Vec::new();
    let mut start = from - high;
    while start < to {
        let (first, last) = (start.max(from), (start + high).min(to));
        if first < last {
            let y = |x: f32| bottom - (x - start);
            marks.push(Mark::Line(
                Pen::new(SOFT, 0.5),
                vec![at(first, y(first)), at(last, y(last))],
            ));
        }
        start += HATCH;
    }
    marks
}

/// What a value takes of the width of a sheet.
const APART: f64 = 0.1;

/// What marks a reading off the scale: its tip points to where it would stand.
fn arrow(tip: Point, foot: Point, is_flagged: bool) -> Mark {
    let (dx, dy) = ((tip.x - foot.x) * 0.55, (tip.y - foot.y) * 0.55);
    Mark::Area {
        corners: vec![
            tip,
            at(foot.x + dy, foot.y - dx),
            at(foot.x - dy, foot.y + dx),
        ],
        fill: Some(if is_flagged { PAPER } else { ACCENT }),
        edge: Some(Pen {
            colour: ACCENT,
            width: 0.8,
            dash: is_flagged.then_some((1.2, 1.0)),
        }),
    }
}

/// A reading off the scale of a run, with its value where there is room for it.
fn beyond_scale(one: &OffScale, value: Option<&str>, place: f32, width: f32) -> Vec<Mark> {
    let (tip, foot) = if one.above { (7.0, 13.0) } else { (91.0, 85.0) };
    let mut marks = vec![arrow(at(place, tip), at(place, foot), one.is_flagged)];
    let (beside, anchor) = if place > 0.9 * width {
        (place - 6.0, Anchor::End)
    } else {
        (place + 6.0, Anchor::Start)
    };
    let beside = at(beside, if one.above { 12.0 } else { 90.0 });
    marks.extend(value.map(|value| label(beside, anchor, SOFT, value.to_owned())));
    marks
}

/// A reading of a run; hollow where it is flagged.
fn dot(centre: Point, is_sound: bool) -> Mark {
    Mark::Circle {
        centre,
        radius: 2.6,
        fill: Some(if is_sound { ACCENT } else { PAPER }),
        edge: Some(Pen {
            colour: ACCENT,
            width: 0.8,
            dash: (!is_sound).then_some((1.2, 1.0)),
        }),
    }
}

/// A limit across a run, with its value above the line.
fn limit_across(y: f32, width: f32, text: String) -> [Mark; 2] {
    [
        Mark::Line(Pen::new(INK, 1.0), vec![at(0.0, y), at(width, y)]),
        label(at(0.0, y - 4.0), Anchor::Start, SOFT, text),
    ]
}

/// Every reading in the order it was taken, against the limits.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a place on paper needs no more"
)]
pub fn readings(result: &Inspected) -> Figure {
    let count = result.readings.len();
    let (low, high) = run_scale(result);
    let span = (high - low).max(f64::MIN_POSITIVE);
    let y =
        move |value: f64| 14.0 + ((high - value.clamp(low, high.max(low))) / span * 70.0) as f32;
    let decimals = usize::try_from(result.decimals).unwrap_or(4);
    let limits = [
        (result.limits.max, say!("report.run-most")),
        (result.limits.min, say!("report.run-least")),
    ];
    let mean = result.mean.size.value;
    let all: Vec<(f64, bool)> = result
        .readings
        .iter()
        .map(|reading| (reading.corrected, reading.flags.is_empty()))
        .collect();
    let beyond = off_scale::beyond(result, low, high);
    let across = move |number: usize| 0.86 * number as f64 / count.max(1) as f64;
    let valued = off_scale::valued(&beyond, across, APART);
    let values: Vec<(OffScale, Option<String>)> = beyond
        .iter()
        .map(|one| {
            let value = || off_scale::value(result, one.value);
            (*one, valued.contains(one).then(value))
        })
        .collect();
    let mean_off = (mean < low || mean > high).then(|| {
        say!(
            "report.run-mean-off",
            value = off_scale::value(result, mean)
        )
    });
    let alt = format!(
        "{}: {}",
        say!("report.run-title"),
        say!("report.run-words", n = count)
    );
    Figure {
        alt,
        height: 104.0,
        draw: Box::new(move |width| {
            let x =
                |index: usize| (0.14 + (index as f32 + 0.5) / count.max(1) as f32 * 0.86) * width;
            let mut marks = Vec::new();
            for (limit, name) in limits {
                if let Some(limit) = limit {
                    let text = format!("{name} {}", number::fixed(limit, decimals));
                    marks.extend(limit_across(y(limit), width, text));
                }
            }
            let middle = Pen {
                colour: SOFT,
                width: 0.6,
                dash: Some((6.0, 2.0)),
            };
            if let Some(told) = &mean_off {
                let place = if mean > high { 7.0 } else { 90.0 };
                marks.push(label(at(0.0, place), Anchor::Start, SOFT, told.clone()));
            } else {
                marks.push(Mark::Line(
                    middle,
                    vec![at(0.0, y(mean)), at(width, y(mean))],
                ));
            }
            let is_free = limits
                .iter()
                .filter_map(|(limit, _)| *limit)
                .all(|limit| (y(limit) - y(mean)).abs() > 12.0);
            if is_free && mean_off.is_none() {
                let words = say!("report.run-mean").to_owned();
                marks.push(label(at(0.0, y(mean) - 4.0), Anchor::Start, SOFT, words));
            }
            for (one, value) in &values {
                let place = x(one.number.saturating_sub(1));
                marks.extend(beyond_scale(one, value.as_deref(), place, width));
            }
            for (index, (value, is_sound)) in all.iter().enumerate() {
                if (low..=high).contains(value) {
                    marks.push(dot(at(x(index), y(*value)), *is_sound));
                }
                if count <= 24 {
                    let number = (index + 1).to_string();
                    marks.push(label(at(x(index), 101.0), Anchor::Middle, SOFT, number));
                }
            }
            marks.push(Mark::Line(
                Pen::new(HAIR, 0.4),
                vec![at(0.14 * width, 92.0), at(width, 92.0)],
            ));
            marks
        }),
    }
}
