//! Values with their expanded uncertainties where they stand on a scale: an error curve over the range of a micrometer, or a
//! certified value over the years.

use maud::{Markup, html};

/// Height of the plot, and of the picture with its scale, pixels. Places across are percentages, so that the writing has one
/// size however wide the picture is.
const PLOT: f64 = 200.0;
const HEIGHT: f64 = 224.0;
/// Names under the picture stand at least so far apart, percent of its width.
const APART: f64 = 9.0;

/// A value at a place.
#[derive(Clone, Copy, Debug)]
pub struct At {
    pub place: f64,
    pub value: f64,
    pub expanded_uncertainty: f64,
}

/// Values that belong together.
pub struct Curve {
    /// What they are; shown where there are several.
    pub name: String,
    pub points: Vec<At>,
    /// Whether they only stand behind, for comparison: hollow and without uncertainty.
    pub earlier: bool,
}

/// A line across.
pub struct Level {
    pub at: f64,
    pub name: String,
    pub class: &'static str,
}

/// The picture. `alt` says in words what it shows, `axis` names a place.
pub fn drawn(
    alt: &str,
    curves: &[Curve],
    levels: &[Level],
    axis: impl Fn(f64) -> String,
) -> Markup {
    let points = || curves.iter().flat_map(|curve| &curve.points);
    let ends = curves.iter().flat_map(|curve| {
        let expanded = if curve.earlier { 0.0 } else { 1.0 };
        curve.points.iter().flat_map(move |point| {
            let reach = expanded * point.expanded_uncertainty;
            [point.value - reach, point.value + reach]
        })
    });
    let [low, high] = bounds(ends.chain(levels.iter().map(|level| level.at)));
    let [first, last] = bounds(points().map(|point| point.place));
    let y = |value: f64| {
        format!(
            "{:.1}",
            24.0 + (high - value) / span(low, high) * (PLOT - 36.0)
        )
    };
    let across = |place: f64| 22.0 + (place - first) / span(first, last) * 74.0;
    let x = |place: f64| format!("{:.2}%", across(place));
    let mut named: Vec<f64> = Vec::new();
    for point in points() {
        let at = across(point.place);
        if named.iter().all(|one| (across(*one) - at).abs() >= APART) {
            named.push(point.place);
        }
    }
    html! {
        figure {
            svg class="run" width="100%" height=(HEIGHT) role="img" aria-label=(alt) {
                @for level in levels {
                    line x1="0" y1=(y(level.at)) x2="100%" y2=(y(level.at)) class=(level.class) {}
                    text x="0" y=(y(level.at)) dy="-6" class="soft" { (level.name) }
                }
                @for curve in curves {
                    @for (from, to) in curve.points.iter().zip(curve.points.iter().skip(1)) {
                        line x1=(x(from.place)) y1=(y(from.value)) x2=(x(to.place)) y2=(y(to.value)) class=(if curve.earlier { "thread-line" } else { "between" }) {}
                    }
                    @for point in &curve.points {
                        @if curve.earlier { circle cx=(x(point.place)) cy=(y(point.value)) r="4" class="hollow" {} }
                        @else {
                            line x1=(x(point.place)) y1=(y(point.value - point.expanded_uncertainty))
                                x2=(x(point.place)) y2=(y(point.value + point.expanded_uncertainty)) class="interval" {}
                            circle cx=(x(point.place)) cy=(y(point.value)) r="5" class="dot" {}
                        }
                    }
                }
                @for place in &named {
                    text x=(x(*place)) y=(HEIGHT - 6.0) text-anchor="middle" class="soft" { (axis(*place)) }
                }
            }
            @if curves.len() > 1 {
                figcaption {
                    @for (index, curve) in curves.iter().enumerate() {
                        @if index > 0 { " · " }
                        svg class="sample-of" width="14" height="14" aria-hidden="true" { circle cx="7" cy="7" r="5" class=(if curve.earlier { "hollow" } else { "dot" }) {} }
                        " " (curve.name)
                    }
                }
            }
        }
    }
}

/// The least and the greatest of them.
fn bounds(values: impl Iterator<Item = f64>) -> [f64; 2] {
    let start = [f64::INFINITY, f64::NEG_INFINITY];
    let [low, high] = values.fold(start, |[low, high], value| {
        [low.min(value), high.max(value)]
    });
    if low <= high { [low, high] } else { [0.0, 1.0] }
}

/// How far apart they are, and never nothing.
fn span(low: f64, high: f64) -> f64 {
    (high - low).max(1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(place: f64, value: f64) -> At {
        At {
            place,
            value,
            expanded_uncertainty: 0.5,
        }
    }

    /// A value halfway up stands halfway up, with its uncertainty around it; names that would run into each other are left out.
    #[test]
    fn values_stand_where_they_belong() {
        let curve = Curve {
            name: "found".to_owned(),
            points: vec![at(0.0, -1.5), at(0.5, 0.0), at(25.0, 1.5)],
            earlier: false,
        };
        let shown = drawn("alt", &[curve], &[], |place| format!("{place} mm")).into_string();
        // From 24 to 188: 106 is the middle, and half a unit a quarter of two.
        assert!(shown.contains("cy=\"106.0\""), "{shown}");
        assert!(shown.contains("y1=\"126.5\""), "{shown}");
        assert!(shown.contains("y2=\"85.5\""), "{shown}");
        assert!(shown.contains("cx=\"96.00%\""), "{shown}");
        assert!(shown.contains(">0 mm<") && shown.contains(">25 mm<"));
        assert!(!shown.contains(">0.5 mm<"), "{shown}");
        assert!(!shown.contains("figcaption"), "{shown}");
    }

    #[test]
    fn nothing_to_draw_is_drawn_without_a_fault() {
        let shown = drawn("alt", &[], &[], |_| String::new()).into_string();
        assert!(shown.contains("role=\"img\""), "{shown}");
        assert!(!shown.contains("NaN"), "{shown}");
    }
}
