//! Gauges for metric M threads (ISO 1502): NOT GO tolerances lie outside the product limits.
//!
//! Source: [ISO 1502:1996](crate::source::Source::Iso1502), from memory; symbols as there. Not held here: setting
//! plugs, the minor diameter of the GO ring, the crest and root of check plugs, pitch tolerances by gauge length.

use super::tables::{self, Iso1502};
use super::{Direction, Gauge, GaugeError, GaugeName, GaugeNote, Gauged, LookedFor, Product};
use crate::designation::Kind;
use crate::limits::{Limits, ThreadLimits};
use crate::units::{Length, Pitch};

const STANDARD: &str = "ISO 1502";

/// The screw gauges for one side of a metric thread.
pub(super) fn gauges(thread: &ThreadLimits, product: Product) -> Result<Vec<Gauge>, GaugeError> {
    let outside = |what: LookedFor| GaugeError::OutsideTable {
        thread: thread.designation.clone(),
        table: "ISO 1502",
        what,
        covered: Gauged::Iso1502,
    };
    let Pitch::Metric(pitch) = thread.pitch else {
        return Err(outside(LookedFor::InchPitch));
    };
    let tolerance = product.tolerance();
    let t =
        tables::iso_1502(tolerance).ok_or_else(|| outside(LookedFor::Tolerance { tolerance }))?;
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

fn named(name: GaugeName, direction: Direction) -> Gauge {
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
            ..named(GaugeName::GoPlug, Direction::AboveSmallestPitch)
        },
        Gauge {
            major: about(not_go + truncated(pitch), t.T_PL),
            pitch_diameter: about(not_go, half(t.T_PL)),
            wear_limit: Some(not_go - t.W_NG_plug),
            ..named(GaugeName::NotGoPlug, Direction::UpFromLargestPitch)
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
            ..named(GaugeName::GoRing, Direction::BelowLargestPitch)
        },
        Gauge {
            pitch_diameter: about(not_go, half(t.T_R)),
            minor: about(not_go - truncated(pitch), t.T_R),
            wear_limit: Some(not_go + t.W_NG_ring),
            ..named(GaugeName::NotGoRing, Direction::DownFromSmallestPitch)
        },
        check(
            GaugeName::GoRingGoCheckPlug,
            Direction::BelowGoRing,
            go - t.m,
        ),
        check(
            GaugeName::GoRingNotGoCheckPlug,
            Direction::AroundLargestOfGoRing,
            go + half(t.T_R),
        ),
        check(
            GaugeName::GoRingWearCheckPlug,
            Direction::AroundWearOfGoRing,
            go + t.W_GO_ring,
        ),
        check(
            GaugeName::NotGoRingNotGoCheckPlug,
            Direction::AroundSmallestPitch,
            product.not_go,
        ),
        check(
            GaugeName::NotGoRingWearCheckPlug,
            Direction::AroundWearOfNotGoRing,
            not_go + t.W_NG_ring,
        ),
    ]
}

/// What a reader should know.
pub(super) fn notes(kind: Kind) -> Vec<GaugeNote> {
    let mut notes = vec![
        GaugeNote::Iso1502,
        GaugeNote::PassesTwoTurns,
        GaugeNote::WearLimits,
    ];
    if kind == Kind::External {
        notes.push(GaugeNote::NoSettingPlugs);
    }
    notes
}
