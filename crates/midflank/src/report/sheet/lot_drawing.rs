//! What is drawn of a characteristic of a lot: how often each size comes, and the sizes in the order of the pieces.

use paper::{Anchor, Figure, HAIR, INK, Mark, PAPER, Pen, Point, SOFT};

use super::drawing::{ACCENT, REJECT, UNDECIDED, at, label};
use crate::say;
use crate::words::number;

/// How high a chart is.
const HIGH: f32 = 112.0;
/// How much higher a run chart is, for the meaning of its marks.
const LEGEND: f32 = 12.0;
/// The highest and the lowest line that a size is drawn on.
const TOP: f32 = 8.0;
const FLOOR: f32 = 94.0;
/// So many bars are the least and the most of a histogram; between them it is the root of the number of sizes (common
/// practice, no source).
const BARS: (f64, f64) = (5.0, 20.0);
/// The narrowest bar, as a part of what is drawn.
const THINNEST: f64 = 0.02;
/// More pieces than these are drawn without the ends of their intervals.
const WITH_ENDS: usize = 60;

/// The sizes of one characteristic, in its unit.
#[derive(Clone)]
pub struct Series {
    /// The number of the characteristic in the plan.
    pub number: String,
    pub lower: Option<f64>,
    pub upper: Option<f64>,
    pub decimals: usize,
    pub sizes: Vec<Sized>,
}

/// A size with its expanded uncertainty.
#[derive(Clone)]
pub struct Sized {
    pub piece: String,
    pub size: f64,
    pub expanded: f64,
    pub stands: Stands,
}

/// How a size stands, by the mark it has in a run chart.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// A full disc.
    Accepted,
    /// A diamond, as beside the word.
    Undecided,
    /// A cross.
    Rejected,
}

impl Stands {
    const EVERY: [Self; 3] = [Self::Accepted, Self::Undecided, Self::Rejected];

    /// By the code of a verdict; what is accepted or rejected under a condition stands as the verdict does.
    pub fn of(verdict: &str) -> Self {
        match verdict {
            "accept" | "conditional-accept" => Self::Accepted,
            "reject" | "conditional-reject" => Self::Rejected,
            _ => Self::Undecided,
        }
    }

    fn named(self) -> &'static str {
        match self {
            Self::Accepted => say!("paper-lot.mark-accepted"),
            Self::Undecided => say!("paper-lot.mark-undecided"),
            Self::Rejected => say!("paper-lot.mark-rejected"),
        }
    }

    /// The mark at a place: told apart by its shape, also where there is no colour.
    fn marks(self, centre: Point, radius: f32) -> Vec<Mark> {
        let Point { x, y } = centre;
        match self {
            Self::Accepted => vec![Mark::Circle {
                centre,
                radius,
                fill: Some(ACCENT),
                edge: None,
            }],
            Self::Undecided => {
                let r = radius * 1.35;
                vec![Mark::Area {
                    corners: vec![at(x, y - r), at(x + r, y), at(x, y + r), at(x - r, y)],
                    fill: Some(PAPER),
                    edge: Some(Pen::new(UNDECIDED, 0.9)),
                }]
            }
            Self::Rejected => {
                let r = radius * 1.1;
                let pen = Pen::new(REJECT, 1.3);
                vec![
                    Mark::Line(pen, vec![at(x - r, y - r), at(x + r, y + r)]),
                    Mark::Line(pen, vec![at(x - r, y + r), at(x + r, y - r)]),
                ]
            }
        }
    }
}

impl Series {
    fn limits(&self) -> Vec<(f64, &'static str)> {
        [
            (self.lower, say!("report.bar-least")),
            (self.upper, say!("report.bar-most")),
        ]
        .into_iter()
        .filter_map(|(limit, name)| Some((limit?, name)))
        .collect()
    }

    /// From where to where is drawn: all sizes with their uncertainty, and the limits, with a little room.
    fn range(&self) -> (f64, f64) {
        let ends = self
            .sizes
            .iter()
            .flat_map(|one| [one.size - one.expanded, one.size + one.expanded]);
        let all = ends.chain(self.limits().into_iter().map(|(limit, _)| limit));
        let (from, to) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), one| {
            (from.min(one), to.max(one))
        });
        let room = ((to - from) * 0.04).max(1e-6);
        (from - room, to + room)
    }
}

/// How often each size comes, with the limits.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place on paper needs no more"
)]
pub fn histogram(series: &Series) -> Figure {
    let (from, to) = series.range();
    let sizes: Vec<f64> = series.sizes.iter().map(|one| one.size).collect();
    let least = sizes.iter().copied().fold(f64::INFINITY, f64::min);
    let most = sizes.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let count = (sizes.len() as f64).sqrt().ceil().clamp(BARS.0, BARS.1);
    // Of sizes that hardly differ there are fewer bars, and each is wide enough to be seen.
    let wide = ((most - least) / count).max((to - from) * THINNEST);
    let count = ((most - least) / wide).ceil().clamp(1.0, count);
    let first = f64::midpoint(least, most) - count * wide / 2.0;
    let mut bars = vec![0_u32; count as usize];
    for size in &sizes {
        let place = (((size - first) / wide) as usize).min(bars.len().saturating_sub(1));
        if let Some(bar) = bars.get_mut(place) {
            *bar += 1;
        }
    }
    let series = series.clone();
    let highest = bars.iter().copied().max().unwrap_or(1).max(1);
    Figure {
        alt: say!(
            "paper-lot.histogram",
            number = series.number,
            n = sizes.len(),
            from = number::fixed(least, series.decimals),
            to = number::fixed(most, series.decimals)
        ),
        height: HIGH,
        draw: Box::new(move |width| {
            let x = |value: f64| ((value - from) / (to - from)) as f32 * width;
            let mut marks = Vec::new();
            for (index, bar) in bars.iter().enumerate() {
                let left = first + index as f64 * wide;
                let high = *bar as f32 / highest as f32 * (FLOOR - TOP - 10.0);
                marks.push(Mark::rectangle(
                    at(x(left), FLOOR - high),
                    x(left + wide) - x(left),
                    high,
                    Some(ACCENT),
                    Some(Pen::new(PAPER, 0.5)),
                ));
            }
            marks.push(Mark::Line(
                Pen::new(SOFT, 0.5),
                vec![at(0.0, FLOOR), at(width, FLOOR)],
            ));
            marks.push(label(
                at(x(first), TOP - 1.0),
                Anchor::Start,
                SOFT,
                say!("paper-lot.most-often", n = highest),
            ));
            for (limit, name) in series.limits() {
                let place = x(limit);
                marks.push(Mark::Line(
                    Pen::new(INK, 1.2),
                    vec![at(place, TOP), at(place, FLOOR + 4.0)],
                ));
                let anchor = if place < width / 2.0 {
                    Anchor::Start
                } else {
                    Anchor::End
                };
                let text = format!("{name} {}", number::fixed(limit, series.decimals));
                marks.push(label(at(place, FLOOR + 13.0), anchor, SOFT, text));
            }
            marks
        }),
    }
}

/// The sizes in the order of the pieces, each with its uncertainty, between the limits.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a place on paper needs no more"
)]
pub fn run(series: &Series) -> Figure {
    let (from, to) = series.range();
    let series = series.clone();
    let count = |stands: Stands| {
        let sizes = series.sizes.iter();
        sizes.filter(|one| one.stands == stands).count()
    };
    Figure {
        alt: say!(
            "paper-lot.run",
            number = series.number,
            n = series.sizes.len(),
            accepted = count(Stands::Accepted),
            undecided = count(Stands::Undecided),
            rejected = count(Stands::Rejected)
        ),
        height: HIGH + LEGEND,
        draw: Box::new(move |width| {
            let y = |value: f64| FLOOR - ((value - from) / (to - from)) as f32 * (FLOOR - TOP);
            let count = series.sizes.len().max(1);
            let left = 62.0;
            let step = (width - left) / count as f32;
            let x = |index: usize| left + (index as f32 + 0.5) * step;
            let mut marks = vec![Mark::Line(
                Pen::new(HAIR, 0.4),
                vec![at(left, FLOOR), at(width, FLOOR)],
            )];
            for (limit, name) in series.limits() {
                let y = y(limit);
                let places = vec![at(left - 4.0, y), at(width, y)];
                marks.push(Mark::Line(Pen::new(INK, 1.0), places));
                let text = format!("{name} {}", number::fixed(limit, series.decimals));
                marks.push(label(at(0.0, y + 2.6), Anchor::Start, SOFT, text));
            }
            let radius = (step * 0.35).clamp(0.7, 2.4);
            let end = radius.min(1.6);
            for (index, one) in series.sizes.iter().enumerate() {
                let (x, low, high) = (
                    x(index),
                    y(one.size - one.expanded),
                    y(one.size + one.expanded),
                );
                let pen = Pen::new(SOFT, if count > WITH_ENDS { 0.3 } else { 0.6 });
                marks.push(Mark::Line(pen, vec![at(x, low), at(x, high)]));
                if count <= WITH_ENDS {
                    for place in [low, high] {
                        let ends = vec![at(x - end, place), at(x + end, place)];
                        marks.push(Mark::Line(pen, ends));
                    }
                }
                marks.extend(one.stands.marks(at(x, y(one.size)), radius));
                // Every piece is named where there is room, otherwise every tenth, fiftieth or hundredth.
                let every = [1, 10, 50, 100]
                    .into_iter()
                    .find(|every| *every as f32 * step > 20.0);
                if index % every.unwrap_or(100) == 0 {
                    let name = one.piece.clone();
                    marks.push(label(at(x, FLOOR + 11.0), Anchor::Middle, SOFT, name));
                }
            }
            marks.extend(legend(&series));
            marks
        }),
    }
}

/// The marks that occur, each with what it means.
fn legend(series: &Series) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut x = 62.0;
    for stands in Stands::EVERY {
        if series.sizes.iter().all(|one| one.stands != stands) {
            continue;
        }
        let y = HIGH + LEGEND - 5.0;
        marks.extend(stands.marks(at(x + 3.0, y - 2.6), 2.4));
        let name = stands.named();
        marks.push(label(at(x + 9.0, y), Anchor::Start, SOFT, name.to_owned()));
        x += 24.0 + 4.2 * name.chars().count() as f32;
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Widths of the bars with something in them, of a picture 170 points wide.
    fn bars(sizes: &[f64]) -> Vec<f32> {
        let sized = |size: &f64| Sized {
            piece: String::new(),
            size: *size,
            expanded: 0.002,
            stands: Stands::Accepted,
        };
        let series = Series {
            number: "1".to_owned(),
            lower: Some(8.862),
            upper: Some(8.994),
            decimals: 4,
            sizes: sizes.iter().map(sized).collect(),
        };
        let marks = (histogram(&series).draw)(170.0);
        let bars = marks.iter().filter_map(|mark| match mark {
            Mark::Area {
                corners,
                fill: Some(_),
                ..
            } => {
                let across = || corners.iter().map(|corner| corner.x);
                let down = || corners.iter().map(|corner| corner.y);
                let span = |low: f32, high: f32| high - low;
                let wide = span(
                    across().fold(f32::MAX, f32::min),
                    across().fold(0.0, f32::max),
                );
                let high = span(down().fold(f32::MAX, f32::min), down().fold(0.0, f32::max));
                (high > 1.0).then_some(wide)
            }
            _ => None,
        });
        bars.collect()
    }

    #[test]
    fn sizes_that_hardly_differ_have_bars_that_are_seen() {
        assert_eq!(bars(&[8.93; 7]).len(), 1);
        for sizes in [
            &[8.93; 7][..],
            &[8.93],
            &[8.93, 8.9301, 8.9302, 8.9301],
            &[8.87, 8.93, 8.99],
        ] {
            let bars = bars(sizes);
            assert!(
                !bars.is_empty() && bars.iter().all(|wide| *wide > 2.0),
                "{sizes:?}: {bars:?}"
            );
        }
    }
}
