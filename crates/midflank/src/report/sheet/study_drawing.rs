//! What is drawn of a study: values over their order or over a size, with lines that stand for something.

use paper::{Anchor, Figure, INK, Mark, Pen, Point, SOFT};

use super::drawing::{ACCENT, REJECT, at, label};
use super::lot_drawing::{Series, Sized, Stands, histogram};
use crate::say;
use crate::words::{self, number};

const TOP: f32 = 16.0;
const FLOOR: f32 = 120.0;
/// Room for what stands under the axis.
const UNDER: f32 = 20.0;
/// Room for the numbers at the left, and for the names of lines at the right.
const LEFT: f32 = 58.0;
const RIGHT: f32 = 92.0;
/// Room for the names of lines where the names of series stand at the right as well.
const OF_LINES: f32 = 62.0;
/// Names of lines that would stand closer than this are moved apart.
const APART: f32 = 9.0;
/// Between the names of series.
const ROW: f32 = 11.0;
/// A longer name is cut: so many letters find room beside the drawing.
const LETTERS: usize = 19;
/// So many numbers at most stand on a scale.
const MOST: i32 = 12;
/// About how wide a letter is.
const LETTER: f32 = 4.2;

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
    /// The unit of the values, where it is known.
    pub unit: Option<String>,
    /// Series of values, each with its name where there are several, told apart by shape; a series is joined by a line where
    /// it is in order.
    pub series: Vec<(String, Vec<Dot>)>,
    pub is_joined: bool,
    /// Lines across: where, and what for.
    pub levels: Vec<(f64, String)>,
    /// Lines through places, such as a fitted one.
    pub curves: Vec<Vec<(f64, f64)>>,
    /// What stands under the axis, and where, from left to right; the least and the greatest place where it is empty.
    pub under: Vec<(f64, String)>,
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
    fn alt(&self, [least, greatest]: [f64; 2]) -> String {
        let dots = || self.series.iter().flat_map(|(_, dots)| dots);
        let scale = [least, greatest].map(|end| number::significant(end, 6));
        let [from, to] = scale;
        let mut told = say!(
            "study-sheet.plot",
            title = self.title,
            n = dots().count(),
            from = from,
            to = self.with_unit(to)
        );
        let names: Vec<String> = self
            .named()
            .map(|(shape, name)| {
                say!(
                    "study-sheet.series",
                    shape = words::word(&shape),
                    name = name
                )
            })
            .collect();
        let levels = self.levels.iter();
        let levels =
            levels.map(|(level, name)| format!("{name} {}", number::significant(*level, 6)));
        let marked = self.series.iter().filter_map(|(name, dots)| {
            let n = dots.iter().filter(|dot| dot.is_marked).count();
            let told = match name.as_str() {
                "" => say!("study-sheet.marked", n = n),
                name => say!("study-sheet.marked-of", name = name, n = n),
            };
            (n > 0).then_some(told)
        });
        for more in [names, levels.collect(), marked.collect()] {
            if !more.is_empty() {
                told = format!("{told}; {}", more.join(", "));
            }
        }
        told
    }

    fn with_unit(&self, value: String) -> String {
        match &self.unit {
            Some(unit) => format!("{value} {unit}"),
            None => value,
        }
    }

    /// The series that have a name, with their shapes.
    fn named(&self) -> impl Iterator<Item = (Shape, &String)> {
        let shapes = Shape::EVERY.iter().copied().cycle();
        let names = shapes
            .zip(&self.series)
            .map(|(shape, (name, _))| (shape, name));
        names.filter(|(_, name)| !name.is_empty())
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
        let floor = FLOOR.max(TOP + ROW * self.named().count() as f32);
        Some(Figure {
            alt: self.alt([up.0, up.1]),
            height: floor + UNDER,
            draw: Box::new(move |width| {
                // Where both lines and series have names, those of the series stand further out.
                let has_both = !self.levels.is_empty() && self.named().next().is_some();
                let of_lines = if has_both { OF_LINES } else { 0.0 };
                let right = width - RIGHT - of_lines;
                let wide = right - LEFT;
                let x = |value: f64| LEFT + ((value - x_from) / (x_to - x_from)) as f32 * wide;
                let y = |value: f64| {
                    floor - ((value - y_from) / (y_to - y_from)) as f32 * (floor - TOP)
                };
                let mut marks = vec![Mark::Line(
                    Pen::new(SOFT, 0.5),
                    vec![at(LEFT, TOP), at(LEFT, floor), at(right, floor)],
                )];
                if let Some(unit) = &self.unit {
                    let over = at(LEFT - 4.0, TOP - 6.0);
                    marks.push(label(over, Anchor::End, SOFT, unit.clone()));
                }
                for (value, text) in scale(y_from, y_to) {
                    let high = y(value);
                    marks.push(Mark::Line(
                        Pen::new(SOFT, 0.5),
                        vec![at(LEFT - 2.5, high), at(LEFT, high)],
                    ));
                    marks.push(label(at(LEFT - 4.0, high + 2.6), Anchor::End, SOFT, text));
                }
                for (order, (shape, name)) in self.named().enumerate() {
                    let row = TOP + 4.0 + ROW * order as f32;
                    marks.push(shape.at(at(right + of_lines + 8.0, row), false));
                    let beside = at(right + of_lines + 15.0, row + 2.6);
                    marks.push(label(beside, Anchor::Start, SOFT, cut(name)));
                }
                let mut names: Vec<(f32, String)> = Vec::new();
                for (level, name) in &self.levels {
                    let high = y(*level);
                    let pen = Pen {
                        dash: Some((4.0, 2.5)),
                        ..Pen::new(INK, 0.6)
                    };
                    marks.push(Mark::Line(pen, vec![at(LEFT, high), at(right, high)]));
                    names.push((high, name.clone()));
                }
                names.sort_by(|one, other| one.0.total_cmp(&other.0));
                let mut last = f32::NEG_INFINITY;
                for (high, name) in names {
                    let place = high.max(last + APART);
                    last = place;
                    let beside = at(right + 4.0, place + 2.6);
                    marks.push(label(beside, Anchor::Start, SOFT, name));
                }
                for curve in &self.curves {
                    let places = curve.iter().map(|place| at(x(place.0), y(place.1)));
                    marks.push(Mark::Line(Pen::new(ACCENT, 0.8), places.collect()));
                }
                for (shape, (_, dots)) in Shape::EVERY.iter().cycle().zip(&self.series) {
                    if self.is_joined {
                        let places = dots.iter().map(|dot| at(x(dot.x), y(dot.y)));
                        marks.push(Mark::Line(Pen::new(ACCENT, 0.5), places.collect()));
                    }
                    for dot in dots {
                        if let Some((low, high)) = dot.ends {
                            marks.push(Mark::Line(
                                Pen::new(INK, 0.7),
                                vec![at(x(dot.x), y(low)), at(x(dot.x), y(high))],
                            ));
                        }
                        marks.push(shape.at(at(x(dot.x), y(dot.y)), dot.is_marked));
                    }
                }
                let ends = || [across.0, across.1].map(|end| (end, number::significant(end, 6)));
                let under = match self.under.as_slice() {
                    [] => ends().to_vec(),
                    named => named.to_vec(),
                };
                let mut free = f32::NEG_INFINITY;
                for (place, text) in under {
                    let text = cut(&text);
                    let half = LETTER * text.chars().count() as f32 / 2.0;
                    let centre = x(place);
                    // A name that would run into the one before is left out.
                    if centre - half < free {
                        continue;
                    }
                    free = centre + half + LETTER;
                    marks.push(label(at(centre, floor + 10.0), Anchor::Middle, SOFT, text));
                }
                marks
            }),
        })
    }
}

/// A name, cut where it is too long.
fn cut(name: &str) -> String {
    if name.chars().count() <= LETTERS {
        return name.to_owned();
    }
    let first: String = name.chars().take(LETTERS - 1).collect();
    format!("{}…", first.trim_end())
}

/// Round numbers between two values, about five of them, as they are written beside an axis.
fn scale(from: f64, to: f64) -> Vec<(f64, String)> {
    let rough = (to - from) / 5.0;
    let steps = (-12..=12).rev().flat_map(|decimals| {
        let unit = libm::exp10(f64::from(-decimals));
        [1.0, 2.0, 5.0].map(|first| (decimals, first * unit))
    });
    let step = steps.into_iter().find(|(_, step)| *step >= rough);
    // Values that differ in their last digits only have no round numbers between them.
    let Some((decimals, step)) = step.filter(|(_, step)| from.abs().max(to.abs()) / step < 1e12)
    else {
        return vec![(from, number::significant(from, 6))];
    };
    let decimals = usize::try_from(decimals).unwrap_or(0);
    let values = (0..MOST).map(|index| ((from / step).ceil() + f64::from(index)) * step);
    let values = values.take_while(|value| *value <= to);
    values
        .map(|value| (value, number::fixed(value, decimals)))
        .collect()
}

metrology::codes! {
    /// What the values of a series are drawn as.
    pub enum Shape "plot-shape" {
        Disc "disc",
        Ring "ring",
        Square "square",
        Diamond "diamond",
        Triangle "triangle",
        Cross "cross",
    }
}

impl Shape {
    /// Drawn at a place; what stands out is larger and in another colour.
    fn at(self, centre: Point, is_marked: bool) -> Mark {
        let (radius, colour) = if is_marked {
            (3.0, REJECT)
        } else {
            (1.9, ACCENT)
        };
        let pen = Pen::new(colour, 0.8);
        let Point { x, y } = centre;
        let far = radius + 0.6;
        match self {
            Self::Disc => Mark::Circle {
                centre,
                radius,
                fill: Some(colour),
                edge: None,
            },
            Self::Ring => Mark::Circle {
                centre,
                radius,
                fill: Some(paper::PAPER),
                edge: Some(pen),
            },
            Self::Square => {
                let corner = at(x - radius, y - radius);
                Mark::rectangle(corner, 2.0 * radius, 2.0 * radius, Some(colour), None)
            }
            Self::Diamond => Mark::Area {
                corners: vec![
                    at(x, y - far),
                    at(x + far, y),
                    at(x, y + far),
                    at(x - far, y),
                ],
                fill: Some(paper::PAPER),
                edge: Some(pen),
            },
            Self::Triangle => Mark::Area {
                corners: vec![
                    at(x, y - far),
                    at(x + far, y + radius),
                    at(x - far, y + radius),
                ],
                fill: Some(colour),
                edge: None,
            },
            // One stroke through the middle, so that it is one mark.
            Self::Cross => Mark::Line(
                pen,
                vec![
                    at(x - radius, y - radius),
                    at(x + radius, y + radius),
                    centre,
                    at(x + radius, y - radius),
                    at(x - radius, y + radius),
                ],
            ),
        }
    }
}

/// How often each value comes, with limits.
pub fn bars(title: &str, values: &[f64], lower: Option<f64>, upper: Option<f64>) -> Figure {
    let sizes = values.iter().map(|size| Sized {
        piece: String::new(),
        size: *size,
        expanded: 0.0,
        stands: Stands::Accepted,
    });
    // As many as the limits have.
    let decimals = [lower, upper].into_iter().flatten().map(|limit| {
        let text = limit.to_string();
        text.split_once('.').map_or(0, |(_, digits)| digits.len())
    });
    let series = Series {
        number: String::new(),
        lower,
        upper,
        decimals: decimals.max().unwrap_or_default().clamp(3, 8),
        sizes: sizes.collect(),
    };
    Figure {
        alt: say!("study-sheet.histogram", title = title, n = values.len()),
        ..histogram(&series)
    }
}

#[cfg(test)]
mod tests {
    use super::{Dot, Plot, cut, scale};

    fn words(from: f64, to: f64) -> Vec<String> {
        scale(from, to).into_iter().map(|(_, text)| text).collect()
    }

    #[test]
    fn the_scale_has_round_numbers_with_the_decimals_of_its_step() {
        assert_eq!(words(8.926, 8.944), ["8.930", "8.935", "8.940"]);
        let of_ranges = ["0.0000", "0.0005", "0.0010", "0.0015", "0.0020"];
        assert_eq!(words(-0.0001, 0.0021), of_ranges);
        assert_eq!(words(0.0, 1.0), ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert_eq!(words(-12.0, 31.0), ["-10", "0", "10", "20", "30"]);
        assert_eq!(words(0.0, 500_000.0).last().unwrap(), "500000");
    }

    /// No scale is endless, and none is without a number.
    #[test]
    fn values_without_round_numbers_between_them_have_a_scale() {
        for (from, to) in [
            (1e15, 1e15 + 2.0),
            (5.0, 5.0 + 1e-12),
            (0.0, 1e-12),
            (-1e300, 1e300),
        ] {
            let count = words(from, to).len();
            assert!((1..=11).contains(&count), "{from} {to}: {count}");
        }
        let alike = Plot {
            series: vec![(String::new(), Dot::in_order(&[5.0, 5.0]))],
            ..Plot::default()
        };
        assert!(!(alike.figure().unwrap().draw)(499.0).is_empty());
        assert!(Plot::default().figure().is_none());
    }

    #[test]
    fn a_long_name_is_cut() {
        assert_eq!(cut("A. Quill"), "A. Quill");
        assert_eq!(cut("Anna of the second shift").chars().count(), 19);
    }
}
