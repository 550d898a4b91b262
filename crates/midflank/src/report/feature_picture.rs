//! A feature as it was measured, in section: what touches where, and what the readings say. Small differences are
//! drawn large, and the picture says so.

use maud::{Markup, html};
use metrology::features::keyseat::{Keyseat, KeyseatConvention};
use metrology::features::lobed_shaft::LobedShaft;
use metrology::inspection::{Characteristic, Feature, Job};

use crate::document::{FeatureDocument, Inspected};
use crate::words::number;
use crate::{say, words};

/// The picture, where one helps.
pub fn feature(job: &Job, result: &Inspected) -> Option<Markup> {
    let Characteristic::Feature { feature, .. } = &job.characteristic else {
        return None;
    };
    let document = result.feature.as_ref()?;
    Some(match feature.as_ref() {
        Feature::TubeWall(_) => tube_wall(job, result, document),
        Feature::Keyseat(seat) => keyseat(seat),
        Feature::LobedShaft(shaft) => lobes(shaft),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => {
            let width = groove.width.value().mm();
            let thickness = job
                .contacts
                .thickness
                .as_ref()
                .map_or(width / 4.0, |blade| blade.value().mm());
            let radius = groove
                .root_radius
                .as_ref()
                .map_or(0.0, |radius| radius.value().mm());
            blade_in_groove(width, thickness, radius)
        }
        Feature::CrimpHeight(_) => crimp(),
        _ => return None,
    })
}

fn frame(title: &str, words: &str, height: u32, inside: &Markup) -> Markup {
    html! {
        svg class="feature" viewBox=(format!("0 0 360 {height}")) width="360" height=(height) role="img" aria-label=(format!("{title}: {words}")) {
            (inside)
        }
    }
}

/// Both circles of a tube with the offset drawn large, and the readings at their angles.
fn tube_wall(job: &Job, result: &Inspected, document: &FeatureDocument) -> Markup {
    let found = |key: &str| document.finding(key).map_or(0.0, |finding| finding.value);
    let direction = found("eccentricity_direction").to_radians();
    // Outer circle about the middle; the inner one moves away from where the wall is thickest.
    let (centre, outer, inner, offset) = (166.0, 110.0, 78.0, 14.0);
    let toward = |angle: f64, far: f64| {
        (
            // 0° is at the top, and angles go with the clock, as on the pictures of the bench.
            centre + far * libm::sin(angle),
            centre - far * libm::cos(angle),
        )
    };
    let (inner_x, inner_y) = toward(direction, -offset);
    let (far_x, far_y) = toward(direction, outer);
    let decimals = usize::try_from(result.decimals).unwrap_or(3) + 1;
    let words = say!(
        "report.tube-wall-words",
        angle = number::fixed(direction.to_degrees(), 0),
        eccentricity = number::length(found("eccentricity"), 4, result.unit)
    );
    let inside = html! {
        circle cx=(n(centre)) cy=(n(centre)) r=(n(outer)) class="outline" {}
        circle cx=(n(inner_x)) cy=(n(inner_y)) r=(n(inner)) class="outline" {}
        path d=(format!("M{0} {1}h12M{0} {1}h-12M{0} {1}v12M{0} {1}v-12", n(centre), n(centre))) class="reading" {}
        @for reading in &result.readings {
            @if let Some(angle) = angle_of(job, result, reading) {
                @let (from_x, from_y) = toward(angle, outer - 4.0);
                @let (to_x, to_y) = toward(angle, outer + 4.0);
                path d=(format!("M{} {}L{} {}", n(from_x), n(from_y), n(to_x), n(to_y))) class="limit" {}
                @let (text_x, text_y) = toward(angle, outer + 22.0);
                text x=(n(text_x)) y=(n(text_y + 4.0)) text-anchor="middle" class="small" { (number::fixed(reading.corrected, decimals)) }
            }
        }
        path d=(format!("M{0} {0}L{1} {2}", n(centre), n(far_x), n(far_y))) class="mean" {}
        text x="8" y="330" class="soft" { (say!("report.thickest-at", angle = number::fixed(direction.to_degrees(), 0))) }
    };
    frame(say!("report.tube-wall-title"), &words, 340, &inside)
}

/// The angle of a reading's place, radians.
fn angle_of(job: &Job, result: &Inspected, reading: &crate::document::Reading) -> Option<f64> {
    let index = result
        .readings
        .iter()
        .position(|other| std::ptr::eq(other, reading))?;
    job.readings
        .iter()
        .flat_map(|place| std::iter::repeat_n(place, place.readings.len()))
        .nth(index)?
        .angle
        .map(f64::to_radians)
}

/// A shaft with its seat, and the three ways to state the depth; the one of the drawing is marked.
fn keyseat(seat: &Keyseat) -> Markup {
    let shaft = seat.shaft_diameter.value().mm().max(f64::MIN_POSITIVE);
    let scale = 200.0 / shaft;
    let half = (seat.width.value().mm() * scale / 2.0).min(95.0);
    let arc = 100.0 - (100.0f64 * 100.0 - half * half).max(0.0).sqrt();
    let (top, floor) = (30.0, 30.0 + 60.0);
    let (left, right, edge) = (130.0 - half, 130.0 + half, top + arc);
    let marked = |convention| {
        if seat.convention == convention {
            "limit"
        } else {
            "reading"
        }
    };
    let states = say!(
        "report.drawing-states",
        convention = words::word(&seat.convention)
    );
    let inside = html! {
        path d=(format!(
            "M{} {}A100 100 0 1 0 {} {}V{floor}H{}V{}",
            n(left), n(edge), n(right), n(edge), n(left), n(edge)
        )) class="outline" {}
        path d=(format!("M{} {floor}H250M130 230H250M240 {floor}V230", n(right))) class=(marked(KeyseatConvention::BottomToOppositeSide)) {}
        text x="246" y="165" { "S" }
        path d=(format!("M130 {top}H290M280 {top}V{floor}M250 {floor}H290")) class=(marked(KeyseatConvention::DepthFromCrown)) {}
        text x="286" y="64" { (say!("report.keyseat-crown")) }
        path d=(format!("M{0} {1}H14M22 {1}V{floor}M{0} {floor}H14", n(left), n(edge))) class=(marked(KeyseatConvention::DepthFromEdge)) {}
        text x="8" y=(n(edge - 8.0)) { (say!("report.keyseat-edge")) }
        text x="8" y="256" class="soft" { (states) }
    };
    frame(say!("report.keyseat-title"), &states, 266, &inside)
}

/// How high lobes are drawn.
const LOBE: f64 = 5.0;

/// The lobed profile, drawn large, in the V that showed it.
fn lobes(shaft: &LobedShaft) -> Markup {
    let (x, y, radius) = (150.0, 110.0, 62.0);
    let half = (shaft.v_angle.clamp(20.0, 170.0) / 2.0).to_radians();
    // A crest is up, under the spindle; the V touches where its flanks are tangent to the lobes.
    let quarter = std::f64::consts::FRAC_PI_2;
    let at_flank = radius + LOBE * libm::cos(f64::from(shaft.lobes) * (quarter + half));
    let apex = y + at_flank / libm::sin(half);
    let reach = 130.0;
    let points: Vec<String> = (0..=180)
        .map(|step| {
            let angle = f64::from(step) * std::f64::consts::PI / 90.0;
            let at = radius + LOBE * libm::cos(f64::from(shaft.lobes) * (angle - quarter));
            format!(
                "{} {}",
                n(x + at * libm::cos(angle)),
                n(y - at * libm::sin(angle))
            )
        })
        .collect();
    let (dx, dy) = (reach * libm::sin(half), reach * libm::cos(half));
    let words = say!(
        "report.lobes-words",
        lobes = shaft.lobes,
        angle = number::degrees(shaft.v_angle)
    );
    let inside = html! {
        path d=(format!("M{} {}L{} {}L{} {}", n(x - dx), n(apex - dy), n(x), n(apex), n(x + dx), n(apex - dy))) class="limit" {}
        path d=(format!("M{}Z", points.join("L"))) class="outline" {}
        path d=(format!("M{} {}H{}M{} {}V12", n(x - 26.0), n(y - radius - LOBE), n(x + 26.0), n(x), n(y - radius - LOBE))) class="limit" {}
        text x="8" y="268" class="soft" { (words) }
    };
    frame(say!("report.lobes-title"), &words, 278, &inside)
}

/// A blade on the flat between the root radii.
fn blade_in_groove(width: f64, thickness: f64, radius: f64) -> Markup {
    let scale = 160.0 / width.max(f64::MIN_POSITIVE);
    let (r, half) = (
        (radius * scale).clamp(0.0, 75.0),
        (thickness * scale / 2.0).min(150.0),
    );
    let (left, right, top, floor) = (80.0, 240.0, 60.0, 160.0);
    let words = say!(
        "report.blade",
        thickness = number::short(thickness, 4),
        width = number::short(width, 4)
    );
    let inside = html! {
        path d=(format!(
            "M20 {top}H{left}V{}A{r} {r} 0 0 0 {} {floor}H{}A{r} {r} 0 0 0 {right} {}V{top}H320",
            n(floor - r), n(left + r), n(right - r), n(floor - r), r = n(r)
        )) class="outline" {}
        path d=(format!("M{} 10V{floor}H{}V10", n(160.0 - half), n(160.0 + half))) class="limit" {}
        text x="8" y="190" class="soft" { (words) }
        text x="8" y="212" class="soft" { (say!("report.root-radius", radius = number::short(radius, 4))) }
    };
    frame(say!("report.blade-title"), &words, 222, &inside)
}

/// The barrel of a crimp in section: two lobes, and the flat between the flash.
pub const CRIMP: &str = "M110 170C90 120 100 70 135 70C155 70 160 90 160 95C160 90 165 70 185 70C220 70 230 120 210 170Q160 190 110 170Z";

/// A crimp in section: blade on the two lobes, point below, between the flash.
fn crimp() -> Markup {
    let words = say!("report.crimp-words");
    let inside = html! {
        path d=(CRIMP) class="outline" {}
        path d="M110 170l-6 14M210 170l6 14" class="reading" {}
        path d="M120 70H200M120 70V40M200 70V40" class="limit" {}
        path d="M160 181L150 214H170Z" class="limit" {}
        path d="M270 70V181M262 70H278M262 181H278" class="mean" {}
        text x="282" y="130" { (say!("report.crimp-height")) }
        text x="8" y="240" class="soft" { (words) }
    };
    frame(say!("report.crimp-title"), words, 250, &inside)
}

/// A coordinate, to a hundredth.
fn n(coordinate: f64) -> String {
    format!("{coordinate:.2}")
}
