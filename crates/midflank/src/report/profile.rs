//! The profile of a thread in axial section, to scale, as an SVG file of its own.
//!
//! Material at its greatest is hatched, the tolerance zone is a band beside it, the pitch line is dash-dot. The words
//! say everything that the picture shows.

use std::fmt::Write as _;

use maud::{Markup, PreEscaped, html};
use metrology::designation::Kind;
use metrology::inspection::ThreadDiameter;
use metrology::limits::{Limits, Taper, ThreadLimits};
use metrology::profile::{Profile, Step};
use metrology::units::{Length, LengthUnit};

use super::limits::{pitch_text, range_text};
use crate::say;
use crate::words::{self, number};

/// One pitch across, in the picture's units.
const PITCH: f64 = 240.0;
/// Ridges drawn.
const RIDGES: u32 = 3;
const LEFT: f64 = 24.0;
/// Where the section ends and the numbers begin.
const RIGHT: f64 = LEFT + PITCH * RIDGES as f64;
const WIDTH: f64 = RIGHT + 330.0;
/// Between the lines of neighbouring numbers.
const LABEL: f64 = 46.0;

const STYLE: &str = "
svg { --paper: #F7F5F0; --ink: #1B1D1F; --soft: #5A5F63; --accent: #0B5C6B; font: 15px system-ui, sans-serif; font-variant-numeric: tabular-nums slashed-zero; background: var(--paper); }
@media (prefers-color-scheme: dark) { svg { --paper: #14171A; --ink: #ECEAE4; --soft: #A7ADB2; --accent: #7CC7D6; } }
text { fill: var(--ink); } .soft { fill: var(--soft); } .name { font-size: 21px; }
.hatch, .edge, .least, .line, .lead { fill: none; stroke: var(--ink); } .hatch { stroke-width: 1; }
.edge { stroke-width: 2.5; stroke-linejoin: round; } .least { stroke-width: 1.2; stroke-dasharray: 5 4; }
.zone { fill: var(--accent); fill-opacity: .3; fill-rule: evenodd; } .line { stroke: var(--accent); stroke-width: 1.6; stroke-dasharray: 18 4 3 4; }
.lead { stroke: var(--soft); stroke-width: 1; }";

/// One outline: the profile there, and how far its pitch line lies above that of the first, in mm.
struct Outline {
    profile: Profile,
    above: f64,
}

/// The drawing, ready to write into a file.
pub fn drawing(thread: &ThreadLimits) -> Markup {
    let (greatest, least) = outlines(thread);
    let scale = PITCH / greatest.profile.pitch;
    let external = thread.kind == Kind::External;
    let up = if external { 1.0 } else { -1.0 };
    let sheet = Sheet {
        scale,
        up,
        pitch_line: 96.0
            + scale * outward(&greatest.profile, external).max(0.3 * greatest.profile.pitch),
        slope: if thread.taper.is_some() {
            1.0 / 32.0
        } else {
            0.0
        },
    };
    // The deeper of both outlines, so that material is left below the roots.
    let inner = |outline: &Outline| inward(&outline.profile, external) - outline.above;
    let deepest = least
        .as_ref()
        .map_or(inner(&greatest), |least| inner(least).max(inner(&greatest)));
    let depth = scale * deepest + sheet.pitch_line + 70.0;
    let base = if external { depth - 40.0 } else { 64.0 };
    let solid = sheet.path(&greatest);
    let closed = |outline: &str| format!("{outline}L{} {1}L{LEFT} {1}Z", n(RIGHT), n(base));
    let least_path = least.as_ref().map(|least| sheet.path(least));
    let height = depth + 30.0;
    let kind = words::word(&thread.kind);
    html! {
        (PreEscaped("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"))
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", n(WIDTH), n(height)))
            width=(n(WIDTH)) height=(n(height)) role="img" aria-labelledby="name words" {
            title id="name" { (say!("profile.title", designation = thread.designation, kind = kind)) }
            desc id="words" { (sizes(thread)) }
            style { (PreEscaped(STYLE)) }
            defs {
                pattern id="section" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    path d="M0 0v9" class="hatch" {}
                }
            }
            text x=(n(LEFT)) y="30" class="name" { (thread.designation) }
            text x=(n(LEFT)) y="50" class="soft" {
                (say!(
                    "profile.drawn",
                    kind = kind,
                    angle = number::short(thread.included_angle.degrees(), 6),
                    pitch = pitch_text(thread, thread.unit),
                    times = enlargement(scale)
                ))
            }
            path d=(closed(&solid)) fill="url(#section)" {}
            @if let Some(least) = &least_path {
                path d=(format!("{}{}", closed(&solid), closed(least))) class="zone" {}
                path d=(least) class="least" {}
            }
            path d=(solid) class="edge" {}
            path d=(format!("M{} {}L{} {}", n(LEFT - 12.0), n(sheet.y(0.0, 0.0)), n(RIGHT + 16.0), n(sheet.y(0.0, PITCH * f64::from(RIDGES))))) class="line" {}
            (labels(thread, &greatest.profile, &sheet))
            text x=(n(LEFT)) y=(n(height - 12.0)) class="soft" {
                @if least.is_some() { (say!("profile.key-with-tolerance")) } @else { (say!("profile.key")) }
            }
        }
    }
}

/// Greatest and least material; a limit that the standard does not set is drawn where the design profile has it.
fn outlines(thread: &ThreadLimits) -> (Outline, Option<Outline>) {
    let design = thread.profile();
    let external = thread.kind == Kind::External;
    let pick = |limits: Limits, greatest: bool| {
        let (first, second) = if greatest == external {
            (limits.upper, limits.lower)
        } else {
            (limits.lower, limits.upper)
        };
        first.or(second).map(Length::mm)
    };
    let outline = |greatest: bool| {
        let pitch_diameter = pick(thread.pitch_diameter, greatest)?;
        let half = |other: Option<f64>| other.map(|other| (other - pitch_diameter).abs() / 2.0);
        let (major, minor) = (
            half(pick(thread.major, greatest)),
            half(pick(thread.minor, greatest)),
        );
        let (crest, root) = if external {
            (major, minor)
        } else {
            (minor, major)
        };
        let profile = design.with_edges(
            crest.unwrap_or(design.crest.distance),
            root.unwrap_or(design.root.distance),
        );
        Some((profile, pitch_diameter))
    };
    match (outline(true), outline(false)) {
        (Some((greatest, first)), Some((least, second))) => (
            Outline {
                profile: greatest,
                above: 0.0,
            },
            Some(Outline {
                profile: least,
                above: (second - first) / 2.0,
            }),
        ),
        _ => (
            Outline {
                profile: design,
                above: 0.0,
            },
            None,
        ),
    }
}

/// From the pitch line to the major diameter.
const fn outward(profile: &Profile, external: bool) -> f64 {
    if external {
        profile.crest.distance
    } else {
        profile.root.distance
    }
}

/// From the pitch line to the minor diameter.
const fn inward(profile: &Profile, external: bool) -> f64 {
    if external {
        profile.root.distance
    } else {
        profile.crest.distance
    }
}

/// From millimetres beside the pitch line to places in the picture.
struct Sheet {
    scale: f64,
    /// 1 where crests point outward (up in the picture), -1 where inward.
    up: f64,
    pitch_line: f64,
    /// Radius over length: a taper thread's pitch line climbs.
    slope: f64,
}

impl Sheet {
    /// The height of a radius, in mm above the pitch line, at a distance along the axis in picture units.
    fn y(&self, radius: f64, along: f64) -> f64 {
        self.pitch_line - self.scale * radius - self.slope * (along - PITCH)
    }

    fn path(&self, outline: &Outline) -> String {
        let mut path = String::new();
        let half = outline.profile.pitch / 2.0;
        let place = |middle: f64, [x, y]: [f64; 2]| {
            let along = (middle + x) * self.scale;
            let y = self.y(self.up * y + outline.above, along);
            format!("{} {}", n(LEFT + along), n(y))
        };
        let start = [-half, -outline.profile.root.distance];
        let _ = write!(path, "M{}", place(half, start));
        for ridge in 0..RIDGES {
            let middle = (f64::from(ridge) + 0.5) * outline.profile.pitch;
            let mut last = start;
            for step in outline.profile.ridge() {
                let to = match step {
                    Step::Line(to) => {
                        let _ = write!(path, "L{}", place(middle, to));
                        to
                    }
                    Step::Arc { to, radius } => {
                        // Crests bulge away from the pitch line, roots as well: towards +y and towards -y.
                        let at_crest = to[1] + last[1] > 0.0;
                        let sweep = u8::from(at_crest == (self.up > 0.0));
                        let r = n(radius * self.scale);
                        let _ = write!(path, "A{r} {r} 0 0 {sweep} {}", place(middle, to));
                        to
                    }
                };
                last = to;
            }
        }
        path
    }
}

/// The numbers beside the section, in both units, each from its exact limit.
fn labels(thread: &ThreadLimits, profile: &Profile, sheet: &Sheet) -> Markup {
    let external = thread.kind == Kind::External;
    let along = PITCH * f64::from(RIDGES);
    let lines = [
        (
            ThreadDiameter::MajorDiameter,
            thread.major,
            outward(profile, external),
        ),
        (ThreadDiameter::PitchDiameter, thread.pitch_diameter, 0.0),
        (
            ThreadDiameter::MinorDiameter,
            thread.minor,
            -inward(profile, external),
        ),
    ];
    let mut free = 0.0_f64;
    let placed = lines.map(|(diameter, limits, radius)| {
        let y = sheet.y(radius, along);
        let label = (y + 5.0).max(free);
        free = label + LABEL;
        (diameter, limits, y, label)
    });
    html! {
        @for (diameter, limits, y, label) in placed {
            path d=(format!("M{} {}H{}L{} {}", n(RIGHT - 30.0), n(y), n(RIGHT + 18.0), n(RIGHT + 34.0), n(label - 5.0))) class="lead" {}
            @let (first, second) = match &thread.taper {
                Some(taper) => taper_text(taper, diameter, thread.unit),
                None => (
                    named(diameter, &range_text(limits, thread.unit, thread.unit)),
                    range_text(limits, thread.unit.other(), thread.unit),
                ),
            };
            text x=(n(RIGHT + 38.0)) y=(n(label)) { (first) }
            text x=(n(RIGHT + 38.0)) y=(n(label + 18.0)) class="soft" { (second) }
        }
    }
}

/// A diameter by its short name, with its size or limits.
fn named(diameter: ThreadDiameter, size: &str) -> String {
    match diameter {
        ThreadDiameter::MajorDiameter => say!("profile.major", size = size),
        ThreadDiameter::PitchDiameter => say!("profile.pitch-diameter", size = size),
        ThreadDiameter::MinorDiameter => say!("profile.minor", size = size),
    }
}

/// A diameter of a taper thread belongs to a place: the second one, where it is gauged.
fn taper_text(taper: &Taper, name: ThreadDiameter, unit: LengthUnit) -> (String, String) {
    let gauged = taper
        .positions
        .iter()
        .find(|place| place.tolerance.is_some());
    let Some(place) = gauged.or_else(|| taper.positions.first()) else {
        return (named(name, ""), String::new());
    };
    let diameter = match name {
        ThreadDiameter::MajorDiameter => place.major,
        ThreadDiameter::MinorDiameter => place.minor,
        ThreadDiameter::PitchDiameter => place.pitch_diameter,
    };
    let text = |unit: LengthUnit| {
        let decimals = if unit == LengthUnit::Inch { 5 } else { 4 };
        let size = number::rounded(diameter, unit, decimals);
        format!("{size} {unit}")
    };
    (
        named(name, &text(unit)),
        say!(
            "profile.at-place",
            size = text(unit.other()),
            place = words::word(&place.name)
        ),
    )
}

/// All that the picture shows.
fn sizes(thread: &ThreadLimits) -> String {
    let unit = thread.unit;
    match &thread.taper {
        Some(taper) => {
            let places: Vec<_> = taper
                .positions
                .iter()
                .map(|place| {
                    say!(
                        "profile.taper-place",
                        at = number::rounded(place.at, unit, 4),
                        place = words::word(&place.name),
                        size = number::rounded(place.pitch_diameter, unit, 5),
                        unit = unit
                    )
                })
                .collect();
            say!("profile.taper", places = places.join("; "))
        }
        None => say!(
            "profile.sizes",
            major = range_text(thread.major, unit, unit),
            pitch_diameter = range_text(thread.pitch_diameter, unit, unit),
            minor = range_text(thread.minor, unit, unit)
        ),
    }
}

/// How much larger than the thread the picture is, at 96 units an inch.
fn enlargement(scale: f64) -> String {
    let times = scale / (96.0 / 25.4);
    number::fixed(times, usize::from(times < 10.0))
}

/// A coordinate, to a hundredth.
fn n(coordinate: f64) -> String {
    format!("{coordinate:.2}")
}
