//! Pictures of the trade: the part in section with the contacts where they touch, and where on the part to read.
//!
//! The section is to scale, from the geometry in [`metrology::section`]. Where the part is thicker than the picture its
//! middle is broken out, as on a drawing.

pub mod convention;
mod feature;
mod place;
mod sheet;

use std::fmt::Write as _;

use maud::{Markup, html};
use metrology::inspection::{
    ContactKind, Contacts, Standard, StandardForm, Target, ThreadDiameter, WireSet, middle,
    reading_over_wires,
};
use metrology::limits::ThreadLimits;
use metrology::section::{BasicProfile, Point, Seated, SeatedWire};
use metrology::units::LengthUnit;

use crate::bench::words;
use crate::report::limits::range_text;
use sheet::Label;

pub use place::place;

const WIDTH: f64 = 440.0;
const HEIGHT: f64 = 336.0;
/// Half the gap where the middle is broken out.
const GAP: f64 = 7.0;
/// Pitches across the picture.
const PITCHES: f64 = 5.2;

/// What lies against the part.
#[derive(Clone, Copy, Default)]
pub struct Against<'a> {
    pub contacts: Option<&'a Contacts>,
    /// Wires between flat contacts and a thread.
    pub wires: Option<&'a WireSet>,
}

/// The part in section with what lies against it; `large` draws the tolerance zone many times its size.
pub fn section(target: &Target, against: Against, large: bool) -> Markup {
    match (&target.thread, &target.feature) {
        (Some(thread), _) => profile(thread).map_or_else(
            || html! {},
            |profile| thread_section(target, thread, &profile, against, large),
        ),
        (None, Some(feature)) => feature::section(target, feature, against.contacts),
        (None, None) => plain_section(target, against.contacts),
    }
}

/// Wires seated in the groove of a thread of the middle pitch diameter, by the exact contact.
fn seated_wires(
    target: &Target,
    thread: &ThreadLimits,
    profile: &BasicProfile,
    wires: &WireSet,
) -> Option<SeatedWire> {
    let over = reading_over_wires(wires, target, 2.0 * profile.pitch_radius()).ok()?;
    Some(profile.wire(
        wires.diameter.value().mm(),
        over,
        thread.lead_in(LengthUnit::Millimetre),
    ))
}

/// The basic profile at the middle of the pitch diameter's limits.
fn profile(thread: &ThreadLimits) -> Option<BasicProfile> {
    BasicProfile::new(
        thread.pitch.mm(),
        thread.included_angle,
        middle(thread.pitch_diameter),
    )
}

/// From the section to the picture: the axis lies in the middle, and so much of the radius is broken out.
struct View {
    scale: f64,
    broken_out: f64,
}

impl View {
    fn of(profile: &BasicProfile) -> Self {
        let scale = WIDTH / (PITCHES * profile.pitch());
        // Room for the stem of a contact above the crest.
        let above = 1.26 * profile.triangle_height();
        let room = HEIGHT / 2.0 / scale - above;
        Self {
            scale,
            broken_out: (profile.crest_radius() - room).max(0.0),
        }
    }

    /// A point on the upper side (`side` 1) or the lower (-1).
    fn at(&self, point: Point, side: f64) -> (f64, f64) {
        (
            WIDTH / 2.0 + point.x * self.scale,
            HEIGHT / 2.0 - side * (point.y - self.broken_out) * self.scale,
        )
    }

    /// Where the material ends towards the axis: at the axis, or at the break.
    fn inner(&self, side: f64) -> f64 {
        HEIGHT / 2.0
            - if self.broken_out > 0.0 {
                side * GAP
            } else {
                0.0
            }
    }

    /// That edge, from right to left: with a zigzag where something is broken out (ISO 128-2, thin line with zigzags).
    fn inner_edge(&self, side: f64) -> String {
        let y = self.inner(side);
        if self.broken_out > 0.0 {
            let middle = WIDTH / 2.0;
            format!(
                "L{WIDTH} {y:.1}H{:.1}L{:.1} {:.1}L{:.1} {:.1}L{:.1} {y:.1}H0",
                middle + 10.0,
                middle + 4.0,
                y - 9.0,
                middle - 4.0,
                y + 9.0,
                middle - 10.0
            )
        } else {
            format!("L{WIDTH} {y:.1}H0")
        }
    }

    fn path(&self, points: &[Point], side: f64) -> String {
        let mut path = String::new();
        for (index, point) in points.iter().enumerate() {
            let (x, y) = self.at(*point, side);
            // Writing to a String cannot fail.
            let _ = write!(path, "{}{x:.2} {y:.2}", if index == 0 { 'M' } else { 'L' });
        }
        path
    }
}

fn thread_section(
    target: &Target,
    thread: &ThreadLimits,
    profile: &BasicProfile,
    against: Against,
    large: bool,
) -> Markup {
    let contacts = against.contacts;
    let view = View::of(profile);
    let half = |ridge: bool, side: f64| {
        format!(
            "{}{}Z",
            view.path(&profile.outline(3, ridge), side),
            view.inner_edge(side)
        )
    };
    let pitch_line = profile.pitch_radius();
    let on_pitch_diameter = target.diameter == ThreadDiameter::PitchDiameter;
    let seated = contacts.is_some_and(|contacts| contacts.kind == ContactKind::VAndCone)
        && on_pitch_diameter;
    let over = against
        .wires
        .and_then(|wires| seated_wires(target, thread, profile, wires));
    let flat = over.is_none()
        && !on_pitch_diameter
        && contacts.is_some_and(|contacts| contacts.kind == ContactKind::Flat);
    let line_at = |side: f64| {
        view.at(
            Point {
                x: 0.0,
                y: pitch_line,
            },
            side,
        )
        .1
    };
    let limits = target.limits;
    let (dimensions, labels) = dimensioned(target, thread, profile, &view, against);
    let zone = limits
        .tolerance()
        .filter(|_| large && on_pitch_diameter)
        .map(|tolerance| {
            // A third of the triangle's height whatever the tolerance is; the picture says how many times that is.
            let times = profile.triangle_height() / 3.0 / (tolerance.mm() / 2.0);
            (times, profile.triangle_height() / 3.0 * view.scale)
        });
    let shapes = html! {
                (cut_pattern())
                @for (ridge, side) in [(false, 1.0), (true, -1.0)] {
                    path d=(half(ridge, side)) fill="url(#cut)" {}
                    path d=(view.path(&profile.outline(3, ridge), side)) class="body" {}
                    @if view.broken_out > 0.0 { path d=(format!("M{WIDTH} {:.1}{}", view.inner(side), view.inner_edge(side))) class="break" {} }
                }
                @if view.broken_out <= 0.0 { path d=(format!("M0 {0}H{WIDTH}", HEIGHT / 2.0)) class="axis" {} }
                @if let Some((_, height)) = zone {
                    @for side in [1.0, -1.0] {
                        rect x="0" y=(format!("{:.2}", line_at(side) - height / 2.0)) width=(WIDTH) height=(format!("{height:.2}")) class="zone" {}
                    }
                }
                @if seated {
                    (contact(&view, &profile.cone(), 1.0))
                    (contact(&view, &profile.v(), -1.0))
                }
                @if flat { (flat_faces(&view, profile, profile.crest_radius())) }
                @if let Some(wire) = &over { (wires_and_faces(&view, profile, wire)) }
                @for side in [1.0, -1.0] {
                    path d=(format!("M0 {0:.2}H{WIDTH}", line_at(side))) class="pitch-line" {}
                }
                @if seated {
                    @for (touches, side) in [(profile.cone().touches, 1.0), (profile.v().touches, -1.0)] {
                        @for touch in touches {
                            @let (x, y) = view.at(touch, side);
                            circle cx=(format!("{x:.2}")) cy=(format!("{y:.2}")) r="4" class="touch" {}
                        }
                    }
                }
                (dimensions)
    };
    let caption = html! {
        (crate::words::word(&target.diameter)) " " (limits_in_words(target))
        @if let Some((times, _)) = zone { " · " (words::times_large(times)) }
        @if view.broken_out > 0.0 { " · " (words::broken_out()) }
    };
    let told = words::section(&thread.designation, seated, over.is_some());
    sheet::figure(words::section_label(), &told, &shapes, &labels, &caption)
}

/// The pitch over two crests, the limits of the measured diameter, and how large what touches is.
fn dimensioned(
    target: &Target,
    thread: &ThreadLimits,
    profile: &BasicProfile,
    view: &View,
    against: Against,
) -> (Markup, Vec<Label>) {
    let at = |x: f64, y: f64, side: f64| view.at(Point { x, y }, side);
    let pitch = profile.pitch();
    let crest = profile.crest_radius();
    let measured = match target.diameter {
        ThreadDiameter::PitchDiameter => profile.pitch_radius(),
        ThreadDiameter::MajorDiameter => crest,
        ThreadDiameter::MinorDiameter => profile.root_radius(),
    };
    // Over the two crests at the left, clear of whatever touches; the groove stands in the middle above.
    let (left, y) = at(-2.5 * pitch, crest, 1.0);
    let (right, _) = at(-1.5 * pitch, crest, 1.0);
    let over = y - 24.0;
    let (_, high) = at(0.0, measured, 1.0);
    let (_, low) = at(0.0, measured, -1.0);
    let x = WIDTH - 26.0;
    let shapes = html! {
        (sheet::extension((left, y - 3.0), (left, over - 5.0)))
        (sheet::extension((right, y - 3.0), (right, over - 5.0)))
        (sheet::along(over, left, right))
        (sheet::upright(x, high, low))
    };
    let has_limits = target.limits.lower.or(target.limits.upper).is_some();
    let limits = if has_limits {
        sheet::limits(target)
    } else {
        Vec::new()
    };
    let mut labels = vec![
        Label::new(
            f64::midpoint(left, right),
            over - 13.0,
            "middle",
            vec![sheet::pitch(pitch, thread.unit)],
        ),
        Label::new(x - 8.0, HEIGHT / 2.0, "end", limits),
    ];
    let size = match (against.wires, against.contacts) {
        (Some(wires), _) => Some(sheet::wire_size(wires)),
        (None, Some(contacts)) => sheet::contact_size(contacts),
        (None, None) => None,
    };
    labels.extend(size.map(Label::in_corner));
    (shapes, labels)
}

/// The setting standard between the contacts: a rod with V and cone ends, or a plain one; a plug is seen as a thread is.
pub fn on_standard(
    target: &Target,
    standard: &Standard,
    contacts: Option<&Contacts>,
) -> Option<Markup> {
    if standard.form == StandardForm::Plain {
        return Some(feature::on_plain_standard(standard, contacts));
    }
    let profile = profile(target.thread.as_ref()?)?;
    let is_rod = standard.form == StandardForm::VAndConeRod;
    if !is_rod || target.diameter != ThreadDiameter::PitchDiameter {
        return None;
    }
    let view = View::of(&profile);
    let rod = profile.rod();
    let side = |points: &[Point], side: f64| {
        let edge = |point: Option<&Point>| point.map_or(0.0, |point| view.at(*point, side).0);
        let (y, left, right) = (view.inner(side), edge(points.first()), edge(points.last()));
        format!("{}L{right:.1} {y:.1}H{left:.1}Z", view.path(points, side))
    };
    let shapes = html! {
                (cut_pattern())
                path d=(side(&rod.groove, 1.0)) fill="url(#cut)" class="whole" {}
                path d=(side(&rod.ridge, -1.0)) fill="url(#cut)" class="whole" {}
                (contact(&view, &profile.cone(), 1.0))
                (contact(&view, &profile.v(), -1.0))
                path d=(format!("M{0} 0V{HEIGHT}", WIDTH / 2.0)) class="axis over" {}
    };
    let caption = html! { (standard.id) ", " (words::certified()) " " (words::spaced(&standard.size)) " · " (words::broken_out()) };
    let told = words::on_standard(&standard.id);
    Some(sheet::figure(
        words::on_standard_label(),
        &told,
        &shapes,
        &[],
        &caption,
    ))
}

fn cut_pattern() -> Markup {
    html! {
        defs {
            pattern id="cut" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                path d="M0 0v9" class="cut" {}
            }
        }
    }
}

/// A contact; its stem goes on beyond the picture.
fn contact(view: &View, seated: &Seated, side: f64) -> Markup {
    let edge = HEIGHT / 2.0 - side * (HEIGHT / 2.0 + 2.0);
    let stem = |point: Option<&Point>| point.map_or(0.0, |point| view.at(*point, side).0);
    let (first, last) = (stem(seated.outline.first()), stem(seated.outline.last()));
    html! {
        path d=(format!("{}L{last:.2} {edge}L{first:.2} {edge}Z", view.path(&seated.outline, side))) class="contact" {}
    }
}

/// One wire above, two below, and the faces that lie on them.
fn wires_and_faces(view: &View, profile: &BasicProfile, wire: &SeatedWire) -> Markup {
    let half_pitch = profile.pitch() / 2.0;
    html! {
        (flat_faces(view, profile, wire.centre + wire.radius))
        @for (x, side) in [(0.0, 1.0), (-half_pitch, -1.0), (half_pitch, -1.0)] {
            @let (cx, cy) = view.at(Point { x, y: wire.centre }, side);
            ellipse cx=(format!("{cx:.2}")) cy=(format!("{cy:.2}")) rx=(format!("{:.2}", wire.half_width * view.scale)) ry=(format!("{:.2}", wire.radius * view.scale)) class="wire" {}
            @for touch in wire.touches {
                @let (cx, cy) = view.at(Point { x: x + touch.x, y: touch.y }, side);
                circle cx=(format!("{cx:.2}")) cy=(format!("{cy:.2}")) r="4" class="touch" {}
            }
        }
    }
}

/// Flat faces on the crests, or on what lies over them.
fn flat_faces(view: &View, profile: &BasicProfile, at: f64) -> Markup {
    let reach = 1.2 * profile.pitch();
    let end = at + 1.2 * profile.triangle_height();
    let corners =
        [(-reach, at), (-reach, end), (reach, end), (reach, at)].map(|(x, y)| Point { x, y });
    html! {
        @for side in [1.0, -1.0] { path d=(format!("{}Z", view.path(&corners, side))) class="contact" {} }
    }
}

/// A plain part between flat faces.
fn plain_section(target: &Target, contacts: Option<&Contacts>) -> Markup {
    let (x, high, low) = (WIDTH - 26.0, HEIGHT / 2.0 - 50.0, HEIGHT / 2.0 + 50.0);
    let shapes = html! {
        (cut_pattern())
        rect x="20" y=(high) width="400" height="100" fill="url(#cut)" class="whole" {}
        path d=(format!("M0 {}H{WIDTH}", HEIGHT / 2.0)) class="axis" {}
        @if contacts.is_some() {
            rect x="160" y="-2" width="120" height=(high + 2.0) class="contact" {}
            rect x="160" y=(low) width="120" height=(HEIGHT - low + 2.0) class="contact" {}
        }
        (sheet::upright(x, high, low))
    };
    let mut labels = vec![Label::new(
        x - 8.0,
        HEIGHT / 2.0,
        "end",
        sheet::limits(target),
    )];
    let size = contacts.and_then(sheet::contact_size);
    labels.extend(size.map(Label::in_corner));
    let caption = html! { (crate::words::characteristic(target)) " " (limits_in_words(target)) " · " (words::sketch()) };
    let told = words::plain_section(&crate::words::characteristic(target));
    sheet::figure(words::section_label(), &told, &shapes, &labels, &caption)
}

/// A point at a distance and an angle from another, counted against the clock.
fn polar(from: (f64, f64), far: f64, angle: f64) -> (f64, f64) {
    (
        from.0 + far * libm::cos(angle),
        from.1 - far * libm::sin(angle),
    )
}

/// The limits as one says them: `2.30 to 2.70 mm`, `at least 1.2 mm`.
fn limits_in_words(target: &Target) -> String {
    range_text(target.limits, target.unit, target.unit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use metrology::inspection::Characteristic;

    fn target(designation: &str) -> Target {
        Target::of(&Characteristic::Thread {
            designation: designation.into(),
            diameter: ThreadDiameter::PitchDiameter,
            terms: None,
        })
        .unwrap()
    }

    #[test]
    fn every_thread_has_a_section_within_its_frame() {
        for designation in [
            "M3-6g",
            "M10x1.5-6g",
            "M64x1.5-6g",
            "1/4-20 UNC-2A",
            "4-8 UN-2A",
        ] {
            let target = target(designation);
            let profile = profile(target.thread.as_ref().unwrap()).unwrap();
            let view = View::of(&profile);
            for point in profile.cone().outline {
                let (x, y) = view.at(point, 1.0);
                assert!(
                    (0.0..=WIDTH).contains(&x) && (0.0..=HEIGHT / 2.0).contains(&y),
                    "{designation} {point:?} {y}"
                );
            }
            for point in profile.v().outline {
                let (x, y) = view.at(point, -1.0);
                assert!(
                    (0.0..=WIDTH).contains(&x) && (HEIGHT / 2.0..=HEIGHT).contains(&y),
                    "{designation} {point:?} {y}"
                );
            }
            assert!(
                section(&target, Against::default(), true)
                    .into_string()
                    .contains("<svg")
            );
        }
    }
}
