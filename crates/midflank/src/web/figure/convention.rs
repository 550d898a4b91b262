//! Ways in which drawings state one thing, each as a small drawing: a look tells more than its name.

use maud::{Markup, html};
use metrology::inspection::FeatureKind;
use workshop::bench::details::Detail;

/// Size of such a drawing, pixels.
const SIZE: (f64, f64) = (150.0, 116.0);

/// What a choice means; nothing where words say it all.
pub fn of(choice: &str) -> Option<Markup> {
    let drawn = match choice {
        // A shaft of radius 38 with a seat: its edges lie at 28, its floor at 46, its crown at 20.
        "bottom-to-opposite-side" => keyseat(46.0, 96.0, None),
        "depth-from-crown" => keyseat(20.0, 46.0, Some("M62 22.5A38 38 0 0 1 88 22.5")),
        "depth-from-edge" => keyseat(22.5, 46.0, None),
        _ => return None,
    };
    Some(framed(&drawn))
}

/// What a drawing may limit, each with the name that it is answered by, where the question is about a wall that is not even.
pub fn of_limits(asked: &Detail) -> Vec<(&'static str, Markup)> {
    if asked.kind == FeatureKind::TubeWall && asked.key() == "limits" {
        uneven_wall()
    } else {
        Vec::new()
    }
}

fn uneven_wall() -> Vec<(&'static str, Markup)> {
    // The bore lies lower than the outside by 7: the wall is thickest above.
    let ring = html! {
        circle cx="75" cy="58" r="48" class="whole" fill="url(#cut-small)" {}
        circle cx="75" cy="65" r="31" class="outline" {}
    };
    let run_out = html! {
        (ring)
        (arrows(75.0, 10.0, 34.0)) (arrows(75.0, 96.0, 106.0))
    };
    let eccentricity = html! {
        (ring)
        path d="M60 58H118M60 65H118" class="extension" {}
        path d="M75 50V73" class="axis" {}
        (arrows(112.0, 58.0, 65.0))
    };
    vec![
        ("run-out", framed(&run_out)),
        ("eccentricity", framed(&eccentricity)),
        ("percent", framed(&run_out)),
    ]
}

/// A shaft with its seat, and a dimension line from one height to another.
fn keyseat(from: f64, to: f64, crown: Option<&str>) -> Markup {
    html! {
        path d="M88 22.5A38 38 0 1 1 62 22.5V46H88Z" class="whole" fill="url(#cut-small)" {}
        @if let Some(crown) = crown { path d=(crown) class="axis" {} }
        path d=(format!("M75 {from}H134M75 {to}H134")) class="extension" {}
        (arrows(128.0, from, to))
    }
}

fn arrows(x: f64, from: f64, to: f64) -> Markup {
    super::sheet::upright(x, from, to)
}

fn framed(drawn: &Markup) -> Markup {
    let (width, height) = SIZE;
    html! {
        svg class="convention" width=(width) height=(height) viewBox=(format!("0 0 {width} {height}")) aria-hidden="true" {
            (drawn)
        }
    }
}

/// The hatching that these drawings share: stands once on a page.
pub fn hatching() -> Markup {
    html! {
        svg class="shared" width="0" height="0" aria-hidden="true" {
            defs {
                pattern id="cut-small" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    path d="M0 0v7" class="cut" {}
                }
            }
        }
    }
}
