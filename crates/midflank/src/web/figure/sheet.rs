//! A drawing with its writing: shapes scale with the picture, and the writing on them does not.

use maud::{Markup, html};
use metrology::inspection::{Contacts, PitchEntry, Target, WireSet};
use metrology::units::LengthUnit;

use super::{HEIGHT, WIDTH};
use crate::report::limits::range_text;
use crate::report::range;
use crate::say;
use crate::words::number;

/// Lines of writing beside a point of the picture.
pub struct Label {
    pub x: f64,
    pub y: f64,
    /// `start`, `middle` or `end`.
    pub anchor: &'static str,
    pub lines: Vec<String>,
    /// Whether a narrow picture does without it: there is no room beside what it would stand at.
    pub only_wide: bool,
}

impl Label {
    pub fn new(x: f64, y: f64, anchor: &'static str, lines: Vec<String>) -> Self {
        Self {
            x,
            y,
            anchor,
            lines,
            only_wide: false,
        }
    }

    /// How large what touches is: in the corner beside it.
    pub fn in_corner(lines: Vec<String>) -> Self {
        Self {
            only_wide: true,
            ..Self::new(WIDTH - 8.0, 26.0, "end", lines)
        }
    }
}

/// Height of a line of writing in a picture, pixels: one size in all of them.
const LINE: f64 = 18.0;

/// A figure of the usual size.
pub fn figure(
    label: &str,
    told: &str,
    shapes: &Markup,
    labels: &[Label],
    caption: &Markup,
) -> Markup {
    html! {
        figure class="section" {
            svg class="drawing" role="img" aria-labelledby="section-title section-words" {
                title id="section-title" { (label) }
                desc id="section-words" { (told) }
                svg viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) width="100%" height="100%" { (shapes) }
                @for label in labels { (written(label, (WIDTH, HEIGHT))) }
            }
            figcaption { (caption) }
        }
    }
}

/// The lines of a label, the middle of them at its point, in a picture of this size.
pub fn written(label: &Label, (width, height): (f64, f64)) -> Markup {
    let first = 5.0 - LINE * (label.lines.len().saturating_sub(1)) as f64 / 2.0;
    html! {
        @for (index, line) in label.lines.iter().enumerate() {
            text x=(format!("{:.2}%", 100.0 * label.x / width)) y=(format!("{:.2}%", 100.0 * label.y / height))
                dy=(format!("{:.0}", first + LINE * index as f64)) text-anchor=(label.anchor) class=[label.only_wide.then_some("only-wide")] translate="no" { (line) }
        }
    }
}

/// A dimension line between two heights, its arrows at both.
pub fn upright(x: f64, from: f64, to: f64) -> Markup {
    let (high, low) = (from.min(to), from.max(to));
    if low - high < 26.0 {
        // Too near for arrows between them: they come from outside.
        return html! {
            path d=(format!("M{x:.1} {0:.1}V{high:.1}M{x:.1} {low:.1}V{1:.1}M{2:.1} {3:.1}L{x:.1} {high:.1}L{4:.1} {3:.1}M{2:.1} {5:.1}L{x:.1} {low:.1}L{4:.1} {5:.1}", high - 24.0, low + 24.0, x - 3.5, high - 10.0, x + 3.5, low + 10.0)) class="dimension" {}
        };
    }
    html! {
        path d=(format!("M{x:.1} {high:.1}V{low:.1}M{0:.1} {1:.1}L{x:.1} {high:.1}L{2:.1} {1:.1}M{0:.1} {3:.1}L{x:.1} {low:.1}L{2:.1} {3:.1}", x - 3.5, high + 10.0, x + 3.5, low - 10.0)) class="dimension" {}
    }
}

/// The same between two places along the picture.
pub fn along(y: f64, from: f64, to: f64) -> Markup {
    let (left, right) = (from.min(to), from.max(to));
    html! {
        path d=(format!("M{left:.1} {y:.1}H{right:.1}M{0:.1} {1:.1}L{left:.1} {y:.1}L{0:.1} {2:.1}M{3:.1} {1:.1}L{right:.1} {y:.1}L{3:.1} {2:.1}", left + 10.0, y - 3.5, y + 3.5, right - 10.0)) class="dimension" {}
    }
}

/// An extension line, from the part to a dimension line and a little beyond.
pub fn extension(from: (f64, f64), to: (f64, f64)) -> Markup {
    html! { path d=(format!("M{:.1} {:.1}L{:.1} {:.1}", from.0, from.1, to.0, to.1)) class="extension" {} }
}

/// The limits as a drawing writes them: the upper over the lower.
pub fn limits(target: &Target) -> Vec<String> {
    let unit = target.unit;
    match (target.limits.upper, target.limits.lower) {
        (Some(upper), Some(lower)) => [upper, lower]
            .map(|limit| number::rounded(limit, unit, target.decimals))
            .to_vec(),
        _ => vec![range_text(target.limits, unit, unit)],
    }
}

/// How large what touches is, in two short lines.
pub fn contact_size(contacts: &Contacts) -> Option<Vec<String>> {
    let pitch = |pitch: &PitchEntry| match pitch {
        PitchEntry::Length(length) => number::entered(length),
        PitchEntry::PerInch(text) => text.clone(),
    };
    if let Some([from, to]) = &contacts.pitch_range {
        let range = range(Some(pitch(from)), Some(pitch(to)));
        return Some(vec![say!("bench.for-pitches").to_owned(), range]);
    }
    let sizes = [
        (say!("bench.tip-radius"), &contacts.tip_radius),
        (say!("bench.thickness"), &contacts.thickness),
        (say!("bench.face"), &contacts.face),
    ];
    sizes.into_iter().find_map(|(name, size)| {
        let size = number::entered(size.as_ref()?);
        Some(vec![name.to_owned(), size])
    })
}

/// The same of wires.
pub fn wire_size(wires: &WireSet) -> Vec<String> {
    let diameter = number::entered(&wires.diameter);
    vec![say!("bench.wires").to_owned(), diameter]
}

/// A pitch over its dimension line.
pub fn pitch(mm: f64, unit: LengthUnit) -> String {
    let per_inch = 25.4 / mm;
    let is_whole = (per_inch - per_inch.round()).abs() < 1e-3;
    if unit == LengthUnit::Inch && is_whole {
        return say!("bench.pitch-per-inch", count = format!("{per_inch:.0}"));
    }
    say!("bench.pitch-of", pitch = number::short_length(mm, unit))
}
