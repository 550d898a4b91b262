//! What is drawn of a study: values over their order or over a size, with lines that stand for something.

use paper::{Anchor, Figure, INK, Mark, Pen, SOFT};

use super::drawing::{ACCENT, REJECT, at, label};
use super::lot_drawing::{Series, Sized, histogram};
use crate::say;
use crate::words::number;

const HIGH: f32 = 132.0;
const TOP: f32 = 8.0;
const FLOOR: f32 = 112.0;
/// Room for the numbers at the left, and for the names of lines at the right.
const LEFT: f32 = 58.0;
const RIGHT: f32 = 92.0;
/// Names of lines that would stand closer than this are moved apart.
const APART: f32 = 9.0;

/// A value to be drawn.
#[derive(Clone, Debug)]
pub struct Dot {
    pub x: f64,
    pub y: f64,
    /// From where to where it is uncertain.
    pub ends: Option<(f64, f64)>,
    /// Whether it stands out: a signal, a value that disagrees.
    pub is_marked: bool,
}

impl Dot {
    /// Values in their order.
    pub fn in_order(values: &[f64]) -> Vec<Self> {
        let values = values.iter().enumerate();
        let dot = |(index, y): (usize, &f64)| Self {
            x: index as f64 + 1.0,
            y: *y,
            ends: None,
            is_marked: false,
        };
        values.map(dot).collect()
    }
}

/// A drawing of a study.
#[derive(Clone, Debug, Default)]
pub struct Plot {
    /// What it shows, over it.
    pub title: String,
    /// Series of values, each with its name where there are several; a series is joined by a line where it is in order.
    pub series: Vec<(String, Vec<Dot>)>,
    pub is_joined: bool,
    /// Lines across: where, and what for.
    pub levels: Vec<(f64, String)>,
    /// Lines through places, such as a fitted one.
    pub curves: Vec<Vec<(f64, f64)>>,
    /// What stands under the first and the last value.
    pub ends: Option<[String; 2]>,
}

impl Plot {
    /// The least and the greatest of what is drawn, across and up.
    fn spans(&self) -> Option<[(f64, f64); 2]> {
        let dots = || self.series.iter().flat_map(|(_, dots)| dots);
        let of = |all: Vec<f64>| {
            let ends = (f64::INFINITY, f64::NEG_INFINITY);
            let all = all.into_iter().filter(|one| one.is_finite());
            let (from, to) = all.fold(ends, |(from, to), one| (from.min(one), to.max(one)));
            (from <= to).then_some((from, to))
        };
        let curves = || self.curves.iter().flatten();
        let x = dots().map(|dot| dot.x).chain(curves().map(|place| place.0));
        let ends = dots().filter_map(|dot| dot.ends);
        let y = dots()
            .map(|dot| dot.y)
            .chain(ends.flat_map(|(low, high)| [low, high]))
            .chain(curves().map(|place| place.1))
            .chain(self.levels.iter().map(|(level, _)| *level));
        Some([of(x.collect())?, of(y.collect())?])
    }

    /// What it shows, in words.
    fn alt(&self) -> String {
        let n: usize = self.series.iter().map(|(_, dots)| dots.len()).sum();
        let marked = self.series.iter().flat_map(|(_, dots)| dots);
        let marked = marked.filter(|dot| dot.is_marked).count();
        let levels = self.levels.iter();
        let levels: Vec<String> = levels
            .map(|(level, name)| format!("{name} {}", number::significant(*level, 6)))
            .collect();
        say!(
            "study-sheet.plot",
            title = self.title,
            n = n,
            marked = marked,
            levels = levels.join(", ")
        )
    }

    /// The drawing; none where there is nothing to draw.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a place on paper needs no more"
    )]
    pub fn figure(self) -> Option<Figure> {
        let [across, up] = self.spans()?;
        let [(x_from, x_to), (y_from, y_to)] = [across, up].map(|(from, to)| {
            let room = ((to - from) * 0.06).max(to.abs().max(from.abs()) * 1e-9 + 1e-12);
            (from - room, to + room)
        });
        Some(Figure {
            alt: self.alt(),
            height: HIGH,
            draw: Box::new(move |width| {
                let wide = width - LEFT - RIGHT;
                let x = |value: f64| LEFT + ((value - x_from) / (x_to - x_from)) as f32 * wide;
                let y = |value: f64| {
                    FLOOR - ((value - y_from) / (y_to - y_from)) as f32 * (FLOOR - TOP)
                };
                let mut marks = vec![Mark::Line(
                    Pen::new(SOFT, 0.5),
                    vec![at(LEFT, TOP), at(LEFT, FLOOR), at(width - RIGHT, FLOOR)],
                )];
                for value in [up.0, up.1] {
                    let text = number::significant(value, 5);
                    marks.push(label(
                        at(LEFT - 4.0, y(value) + 2.6),
                        Anchor::End,
                        SOFT,
                        text,
                    ));
                }
                let mut names: Vec<(f32, String)> = Vec::new();
                for (level, name) in &self.levels {
                    let high = y(*level);
                    let pen = Pen {
                        dash: Some((4.0, 2.5)),
                        ..Pen::new(INK, 0.6)
                    };
                    marks.push(Mark::Line(
                        pen,
                        vec![at(LEFT, high), at(width - RIGHT, high)],
                    ));
                    names.push((high, name.clone()));
                }
                names.sort_by(|one, other| one.0.total_cmp(&other.0));
                let mut last = f32::NEG_INFINITY;
                for (high, name) in names {
                    let place = high.max(last + APART);
                    last = place;
                    let beside = at(width - RIGHT + 4.0, place + 2.6);
                    marks.push(label(beside, Anchor::Start, SOFT, name));
                }
                for curve in &self.curves {
                    let places = curve.iter().map(|place| at(x(place.0), y(place.1)));
                    marks.push(Mark::Line(Pen::new(ACCENT, 0.8), places.collect()));
                }
                for (order, (_, dots)) in self.series.iter().enumerate() {
                    if self.is_joined {
                        let places = dots.iter().map(|dot| at(x(dot.x), y(dot.y)));
                        marks.push(Mark::Line(Pen::new(ACCENT, 0.5), places.collect()));
                    }
                    for dot in dots {
                        let centre = at(x(dot.x), y(dot.y));
                        if let Some((low, high)) = dot.ends {
                            marks.push(Mark::Line(
                                Pen::new(INK, 0.7),
                                vec![at(x(dot.x), y(low)), at(x(dot.x), y(high))],
                            ));
                        }
                        marks.push(shape(order, centre, dot.is_marked));
                    }
                }
                let [first, last] = self
                    .ends
                    .clone()
                    .unwrap_or_else(|| [across.0, across.1].map(|end| number::significant(end, 6)));
                let under = FLOOR + 10.0;
                for (end, text) in [(across.0, first), (across.1, last)] {
                    marks.push(label(at(x(end), under), Anchor::Middle, SOFT, text));
                }
                marks
            }),
        })
    }
}

/// A value: disc, ring, square or diamond by its series; what stands out is larger and in another colour.
fn shape(series: usize, centre: paper::Point, is_marked: bool) -> Mark {
    let (radius, colour) = if is_marked {
        (3.0, REJECT)
    } else {
        (1.9, ACCENT)
    };
    let pen = Pen::new(colour, 0.8);
    let paper::Point { x, y } = centre;
    match series % 4 {
        0 => Mark::Circle {
            centre,
            radius,
            fill: Some(colour),
            edge: None,
        },
        1 => Mark::Circle {
            centre,
            radius,
            fill: Some(paper::PAPER),
            edge: Some(pen),
        },
        2 => Mark::rectangle(
            at(x - radius, y - radius),
            2.0 * radius,
            2.0 * radius,
            Some(colour),
            None,
        ),
        _ => Mark::Area {
            corners: vec![
                at(x, y - radius - 0.6),
                at(x + radius + 0.6, y),
                at(x, y + radius + 0.6),
                at(x - radius - 0.6, y),
            ],
            fill: Some(paper::PAPER),
            edge: Some(pen),
        },
    }
}

/// How often each value comes, with limits.
pub fn bars(title: &str, values: &[f64], lower: Option<f64>, upper: Option<f64>) -> Figure {
    let sizes = values.iter().map(|size| Sized {
        piece: String::new(),
        size: *size,
        expanded: 0.0,
        is_accepted: true,
    });
    let series = Series {
        number: String::new(),
        lower,
        upper,
        decimals: 4,
        sizes: sizes.collect(),
    };
    Figure {
        alt: say!("study-sheet.histogram", title = title, n = values.len()),
        ..histogram(&series)
    }
}
