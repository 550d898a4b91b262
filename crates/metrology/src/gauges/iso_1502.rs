//! Gauges for metric M threads (ISO 1502): NOT GO tolerances lie outside the product limits.
//!
//! Source: [ISO 1502:1996](crate::source::Source::Iso1502), from memory; symbols as there. Not held here: setting
//! plugs, the minor diameter of the GO ring, the crest and root of check plugs, pitch tolerances by gauge length.

use super::tables::{self, Iso1502};
use super::{Gauge, GaugeError, Product};
use crate::designation::Kind;
use crate::limits::{Limits, ThreadLimits};
use crate::units::{Length, Pitch};

const STANDARD: &str = "ISO 1502";

/// The screw gauges for one side of a metric thread.
pub(super) fn gauges(thread: &ThreadLimits, product: Product) -> Result<Vec<Gauge>, GaugeError> {
    let outside = |what: String| GaugeError::OutsideTable {
        designation: thread.designation.clone(),
        table: "ISO 1502",
        what,
        range: "product tolerances of the pitch diameter over 24 up to 670 um",
    };
    let Pitch::Metric(pitch) = thread.pitch else {
        return Err(outside("a pitch in threads per inch".into()));
    };
    let tolerance = product.tolerance();
    let t = tables::iso_1502(tolerance).ok_or_else(|| {
        let micrometres = tolerance.decimal(crate::units::LengthUnit::Micrometre);
        outside(format!("a product tolerance of {micrometres} um"))
    })?;
    let mut gauges = match thread.kind {
        Kind::Internal => plugs(product, pitch, t),
        Kind::External => rings(product, pitch, t),
    };
    let half_angle = tables::iso_1502_half_angle(pitch);
    for gauge in &mut gauges {
        gauge.half_angle_tolerance = half_angle;
    }
    Ok(gauges)
}

fn named(name: &'static str, direction: &'static str) -> Gauge {
    Gauge::named(name, STANDARD.to_owned(), direction)
}

/// Half a tolerance; tables hold whole micrometres, so that nothing is lost.
fn half(length: Length) -> Length {
    Length::from_tenth_nanometres(length.tenth_nanometres() / 2)
}

/// So much either side of a centre.
fn about(centre: Length, either_way: Length) -> Limits {
    Limits::between(centre - either_way, centre + either_way)
}

/// Twice F1, the distance across the pitch line that a truncated profile keeps: F1 = 0.1 P.
fn truncated(pitch: Length) -> Length {
    Length::from_tenth_nanometres(pitch.tenth_nanometres() / 5)
}

fn plugs(product: Product, pitch: Length, t: Iso1502) -> Vec<Gauge> {
    let go = product.go + t.Z_PL;
    let not_go = product.not_go + half(t.T_PL);
    vec![
        Gauge {
            major: about(product.major + t.Z_PL, t.T_PL),
            pitch_diameter: about(go, half(t.T_PL)),
            wear_limit: Some(go - t.W_GO_plug),
            ..named(
                "go-plug",
                "around a centre Z_PL above the product's smallest pitch diameter",
            )
        },
        Gauge {
            major: about(not_go + truncated(pitch), t.T_PL),
            pitch_diameter: about(not_go, half(t.T_PL)),
            wear_limit: Some(not_go - t.W_NG_plug),
            ..named(
                "not-go-plug",
                "plus, outside the product: from its largest pitch diameter upward",
            )
        },
    ]
}

fn rings(product: Product, pitch: Length, t: Iso1502) -> Vec<Gauge> {
    let go = product.go - t.Z_R;
    let not_go = product.not_go - half(t.T_R);
    let check = |name, direction, centre| Gauge {
        pitch_diameter: about(centre, half(t.T_CP)),
        ..named(name, direction)
    };
    vec![
        Gauge {
            pitch_diameter: about(go, half(t.T_R)),
            wear_limit: Some(go + t.W_GO_ring),
            ..named(
                "go-ring",
                "around a centre Z_R below the product's largest pitch diameter (above it where Z_R is negative)",
            )
        },
        Gauge {
            pitch_diameter: about(not_go, half(t.T_R)),
            minor: about(not_go - truncated(pitch), t.T_R),
            wear_limit: Some(not_go + t.W_NG_ring),
            ..named(
                "not-go-ring",
                "minus, outside the product: from its smallest pitch diameter downward",
            )
        },
        check(
            "go-ring-go-check-plug",
            "around a centre m below that of the GO ring",
            go - t.m,
        ),
        check(
            "go-ring-not-go-check-plug",
            "around the largest pitch diameter of a new GO ring",
            go + half(t.T_R),
        ),
        check(
            "go-ring-wear-check-plug",
            "around the wear limit of the GO ring",
            go + t.W_GO_ring,
        ),
        check(
            "not-go-ring-not-go-check-plug",
            "around the product's smallest pitch diameter",
            product.not_go,
        ),
        check(
            "not-go-ring-wear-check-plug",
            "around the wear limit of the NOT GO ring",
            not_go + t.W_NG_ring,
        ),
    ]
}

/// What a reader should know.
pub(super) fn notes(kind: Kind) -> Vec<String> {
    let mut notes = vec![
        "ISO 1502: NOT GO gauges lie outside the product limit, and a worn GO gauge may: a part slightly beyond a \
         limit can be accepted; gauges of ASME B1.16M lie inside and differ by ten micrometres and more"
            .to_owned(),
        "GO passes freely over its whole length; NOT GO may enter up to two turns (from memory)".to_owned(),
        "wear limits of NOT GO gauges are the weakest numbers of the table".to_owned(),
    ];
    if kind == Kind::External {
        notes.push(
            "setting plugs and the minor diameter of the GO ring are not held here; solid rings are judged by the \
             check plugs"
                .to_owned(),
        );
    }
    notes
}
