//! Where on the part to read now.

use maud::{Markup, html};
use metrology::inspection::{Target, Turned};
use metrology::message::Value;

use super::polar;
use crate::bench::places::Spot;
use crate::bench::words;

/// The middle of what is drawn, and the circle of a part seen from its end.
const MIDDLE: f64 = 65.0;
const RADIUS: f64 = 42.0;

/// Along the part and turned, all around a tube, or which of several.
pub fn place(spot: &Spot, plan: &[Spot], target: &Target) -> Markup {
    let mut stations: Vec<&Value> = Vec::new();
    for along in plan.iter().filter_map(|spot| spot.along.as_ref()) {
        if !stations.contains(&along) {
            stations.push(along);
        }
    }
    let station = spot
        .along
        .as_ref()
        .and_then(|along| stations.iter().position(|other| *other == along));
    // One place of a ring, not across it; a tube is hollow.
    let feature = target.feature.as_ref();
    let hollow = match feature.map(|one| one.measurand().turned()) {
        Some(Turned::Wall) => Some(true),
        Some(Turned::Ring) => Some(false),
        _ => None,
    };
    let counted = stations.len() > 3 && spot.angle.is_none();
    html! {
        figure class="place" {
            svg viewBox="0 0 440 130" role="img" aria-labelledby="place-title" {
                title id="place-title" { (words::place()) " " (crate::words::spot(spot)) }
                @match (station, spot.angle) {
                    (Some(at), None) if counted => (one_of(at, stations.len())),
                    (Some(at), angle) => {
                        (along(at, stations.len(), target.thread.is_some()))
                        @if let Some(angle) = angle { (across(angle, 360.0)) }
                    }
                    (None, Some(angle)) => {
                        @match hollow { Some(hollow) => (around(angle, hollow)), None => (across(angle, 220.0)) }
                    }
                    (None, None) => {}
                }
            }
            figcaption { (crate::words::spot(spot)) }
        }
    }
}

/// A part seen from its side, with arrows at a station; a screw has its head at the left.
fn along(at: usize, stations: usize, is_screw: bool) -> Markup {
    let x = |station: usize| 88.0 + 160.0 * station as f64 / (stations.max(2) - 1) as f64;
    html! {
        @if is_screw { path d="M16 30h38v70H16zM54 42h214v46H54z" class="outline" {} }
        @else { path d="M54 42h214v46H54z" class="outline" {} }
        path d="M0 65H284" class="axis" {}
        @for other in 0..stations { path d=(format!("M{0:.1} 42V88", x(other))) class="station" {} }
        path d=(format!("M{0:.1} 12l-7-10h14zM{0:.1} 12V40M{0:.1} 118l-7 10h14zM{0:.1} 118V90", x(at))) class="arrow" {}
    }
}

/// A part seen from its end, measured across at an angle.
fn across(angle: f64, x: f64) -> Markup {
    html! {
        circle cx=(x) cy=(MIDDLE) r=(RADIUS) class="outline" {}
        path d=(format!("M{} {MIDDLE}h108M{x} 11V119", x - 54.0)) class="axis" {}
        g transform=(format!("rotate({angle:.1} {x} {MIDDLE})")) {
            path d=(format!("M{x} 23l-7-12h14zM{x} 107l-7 12h14z")) class="arrow" {}
            path d=(format!("M{x} 23V107")) class="across" {}
        }
    }
}

/// A part seen from its end, one place at an angle, counted from the top with the clock as on the report; the wall of a tube
/// where it is hollow.
fn around(angle: f64, hollow: bool) -> Markup {
    let (x, inner) = (220.0, 28.0);
    let at = |far: f64| polar((x, MIDDLE), far, (90.0 - angle).to_radians());
    let ((x0, y0), (x1, y1)) = (at(inner - 14.0), at(RADIUS + 18.0));
    html! {
        circle cx=(x) cy=(MIDDLE) r=(RADIUS) class="outline" {}
        @if hollow { circle cx=(x) cy=(MIDDLE) r=(inner) class="outline" {} }
        path d=(format!("M{} {MIDDLE}h124M{x} 8V122", x - 62.0)) class="axis" {}
        path d=(format!("M{x0:.1} {y0:.1}L{x1:.1} {y1:.1}")) class="across" {}
        @for far in if hollow { [inner, RADIUS] } else { [RADIUS, RADIUS] } {
            @let (x, y) = at(far);
            circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="4" class="touch" {}
        }
        text x=(x + 8.0) y="14" class="soft" { "0°" }
    }
}

/// One of several that look alike.
fn one_of(at: usize, count: usize) -> Markup {
    let width = (400.0 / count as f64).min(56.0);
    let left = |index: usize| 220.0 + width * (index as f64 - count as f64 / 2.0);
    html! {
        @for index in 0..count {
            rect x=(format!("{:.1}", left(index) + 4.0)) y="44" width=(format!("{:.1}", width - 8.0)) height="42" class="outline" {}
            text x=(format!("{:.1}", left(index) + width / 2.0)) y="71" text-anchor="middle" { (index + 1) }
        }
        path d=(format!("M{0:.1} 36l-8-14h16z", left(at) + width / 2.0)) class="arrow" {}
    }
}
