//! Gauges for Unified threads (ASME B1.2): all tolerances lie inside the product limits.
//!
//! Source: [ASME B1.2-1983](crate::source::Source::AsmeB1_2), from memory. Half and quarter of H are rounded to
//! 0.0001 in before they are taken off, as gauge tables print them.

use super::GaugeClass;
use super::{
    Direction, Gauge, GaugeError, GaugeName, GaugeNote, Gauged, LookedFor, Product, minus, plus,
    tables,
};
use crate::designation::Kind;
use crate::limits::{Limits, ThreadLimits};
use crate::units::{Length, Pitch};

/// The screw gauges for one side of a Unified thread.
pub(super) fn gauges(
    thread: &ThreadLimits,
    product: Product,
    class: GaugeClass,
) -> Result<Vec<Gauge>, GaugeError> {
    let outside = |what: LookedFor| GaugeError::OutsideTable {
        thread: thread.designation.clone(),
        table: "ASME B1.2",
        what,
        covered: Gauged::AsmeB1_2,
    };
    let Pitch::PerInch(count) = thread.pitch else {
        return Err(outside(LookedFor::MetricPitch));
    };
    let t = tables::b1_2(class, &count.to_string(), thread.nominal).ok_or_else(|| {
        outside(LookedFor::Count {
            count: count.decimal(),
        })
    })?;
    let gauge = |name, direction| Gauge {
        lead_tolerance: Some(t.lead),
        half_angle_tolerance: Some(t.half_angle),
        ..Gauge::named(name, format!("ASME B1.2 {class}"), direction)
    };
    let half_height = height(thread.pitch, 0.5);
    let quarter_height = height(thread.pitch, 0.25);
    Ok(match thread.kind {
        Kind::Internal => {
            let go = plus(product.major, t.crest);
            let not_go = minus(product.not_go + half_height, t.crest);
            vec![
                Gauge {
                    major: go,
                    pitch_diameter: plus(product.go, t.pitch_diameter),
                    ..gauge(GaugeName::GoPlug, Direction::UpFromSmallestPitch)
                },
                Gauge {
                    major: at_most(not_go, go),
                    pitch_diameter: minus(product.not_go, t.pitch_diameter),
                    ..gauge(GaugeName::NotGoPlug, Direction::DownFromLargestPitch)
                },
            ]
        }
        Kind::External => {
            let setting = |name, direction, pitch_diameter| Gauge {
                major: plus(product.major, t.crest),
                pitch_diameter,
                ..gauge(name, direction)
            };
            let go = minus(product.go, t.pitch_diameter);
            let not_go = plus(product.not_go, t.pitch_diameter);
            let down = Direction::DownFromLargestPitch;
            let up = Direction::UpFromSmallestPitch;
            vec![
                Gauge {
                    pitch_diameter: go,
                    minor: minus(product.go - half_height, t.crest),
                    ..gauge(GaugeName::GoRing, down)
                },
                Gauge {
                    pitch_diameter: not_go,
                    minor: plus(product.not_go - quarter_height, t.crest),
                    ..gauge(GaugeName::NotGoRing, up)
                },
                setting(GaugeName::GoSettingPlug, down, go),
                setting(GaugeName::NotGoSettingPlug, up, not_go),
            ]
        }
    })
}

/// A fraction of the height H = 0.866025 P of the sharp V, to 0.0001 in.
fn height(pitch: Pitch, fraction: f64) -> Length {
    let exact = fraction * 3f64.sqrt() / 2.0 * pitch.mm();
    Length::nearest_mm(exact)
        .unwrap_or_default()
        .round_to(Length::from_ten_thousandths_inch(1))
}

/// A NOT GO plug never has a larger major diameter than the GO plug.
fn at_most(not_go: Limits, go: Limits) -> Limits {
    match (not_go.upper, go.upper) {
        (Some(upper), Some(most)) if upper > most => go,
        _ => not_go,
    }
}

/// What a reader should know.
pub(super) fn notes(kind: Kind, class: GaugeClass) -> Vec<GaugeNote> {
    let mut notes = vec![GaugeNote::AsmeB1_2, GaugeNote::PassesThreeTurns];
    if kind == Kind::External {
        notes.push(GaugeNote::SettingPlugs);
        if class == GaugeClass::X {
            notes.push(GaugeNote::SettingPlugsOfX);
        }
    }
    if class == GaugeClass::W {
        notes.push(GaugeNote::NoWColumn);
    }
    notes
}
