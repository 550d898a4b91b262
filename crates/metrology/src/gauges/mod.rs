//! Limit gauges: what GO and NOT GO gauges for a thread measure.
//!
//! GO checks everything together at maximum material, NOT GO the pitch diameter alone at minimum material (the
//! Taylor principle). A GO and NOT GO pass is no measurement of pitch diameter.
//!
//! The standards lay gauge tolerances differently, so every gauge says its own: gauges of ASME B1.2 lie inside the
//! product limits, NOT GO gauges of ISO 1502 outside. One file a standard: `asme_b1_2.rs`, `iso_1502.rs`,
//! `plain.rs`; `tables.rs` reads the tables under `data/gauges/`. Most of their numbers are from memory, and the
//! answer carries that mark.

mod asme_b1_2;
mod class;
mod in_use;
mod iso_1502;
mod plain;
mod said;
mod tables;

pub use class::GaugeClass;
pub use in_use::{
    CertifiedGauge, Disagreement, Explained, GaugeLimit, GaugeReason, Past, Tried, WearLimit, Worn,
    screw_gauge, turns_permitted,
};
pub use plain::{PlainClass, PlainTolerance, plain_tolerance, share_class};
pub use said::{Crest, Direction, GaugeError, GaugeName, GaugeNote, Gauged, LookedFor};

use crate::designation::{Assumed, Form, Kind};
use crate::limits::{Limits, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::units::{Length, LengthUnit};

/// One limit gauge. A diameter that the standard leaves clear, or that is not held here, has no limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// Which gauge.
    pub name: GaugeName,
    /// The major diameter of a screw gauge.
    pub major: Limits,
    /// The pitch diameter of a screw gauge.
    pub pitch_diameter: Limits,
    /// The minor diameter of a screw gauge.
    pub minor: Limits,
    /// The diameter of a plain gauge.
    pub diameter: Limits,
    /// Where wear ends its life: a pitch diameter, where the standard has one.
    pub wear_limit: Option<Length>,
    /// Permitted error of lead, either way, between any two threads of the gauge.
    pub lead_tolerance: Option<Length>,
    /// Permitted error of either flank angle, either way, in minutes of arc.
    pub half_angle_tolerance: Option<f64>,
    /// The standard with its class: `ASME B1.2 X`, `ISO 1502`.
    pub standard: String,
    /// Which way the gauge tolerance goes from which product limit.
    pub direction: Direction,
    /// How well the weakest number behind it is supported.
    pub confidence: Confidence,
}

impl Gauge {
    /// A gauge with nothing filled in but its name, standard and direction; weak until a table says better.
    fn named(name: GaugeName, standard: String, direction: Direction) -> Self {
        Self {
            name,
            major: Limits::default(),
            pitch_diameter: Limits::default(),
            minor: Limits::default(),
            diameter: Limits::default(),
            wear_limit: None,
            lead_tolerance: None,
            half_angle_tolerance: None,
            standard,
            direction,
            confidence: Confidence::Weak,
        }
    }
}

/// The gauges for one thread.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeSet {
    /// The thread, in the notation of its standard.
    pub designation: String,
    pub form: Form,
    /// External or internal.
    pub kind: Kind,
    /// The unit in which the gauges are round.
    pub unit: LengthUnit,
    pub gauges: Vec<Gauge>,
    /// What the designation left open and what was taken.
    pub assumed: Vec<Assumed>,
    /// What a reader should know.
    pub notes: Vec<GaugeNote>,
    /// The standards behind the gauges.
    pub sources: Vec<Source>,
    /// How well the weakest number is supported.
    pub confidence: Confidence,
}

/// The limit gauges for a thread; `class` chooses between W and X of ASME B1.2 (X where nothing is said).
///
/// ```
/// use metrology::designation::parse;
/// use metrology::gauges::{GaugeName, gauges};
///
/// let set = gauges(&parse("M10x1.5-6g")?.limits()?, None)?;
/// let go = set.gauges.iter().find(|gauge| gauge.name == GaugeName::GoRing).unwrap();
/// assert!(go.pitch_diameter.upper.is_some());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn gauges(thread: &ThreadLimits, class: Option<GaugeClass>) -> Result<GaugeSet, GaugeError> {
    let designation = || thread.designation.clone();
    let product = || {
        Product::of(thread).ok_or_else(|| GaugeError::NoLimits {
            thread: designation(),
        })
    };
    let (mut gauges, mut notes, source) = match (thread.form, class) {
        (Form::Unified, class) => {
            let class = class.unwrap_or(GaugeClass::X);
            let gauges = asme_b1_2::gauges(thread, product()?, class)?;
            (
                gauges,
                asme_b1_2::notes(thread.kind, class),
                Source::AsmeB1_2,
            )
        }
        (Form::IsoMetric, None) => {
            let gauges = iso_1502::gauges(thread, product()?)?;
            (gauges, iso_1502::notes(thread.kind), Source::Iso1502)
        }
        (Form::IsoMetric, Some(_)) => {
            return Err(GaugeError::ClassOfAnotherStandard {
                thread: designation(),
            });
        }
        #[allow(unreachable_patterns, reason = "forms without a gauge standard here")]
        _ => {
            return Err(GaugeError::NoStandard {
                thread: designation(),
            });
        }
    };
    let mut sources = vec![source];
    let plain = plain::gauges(thread);
    if !plain.gauges.is_empty() {
        sources.push(Source::AsmeB89_1_5);
    }
    gauges.extend(plain.gauges);
    notes.push(plain.note);
    notes.push(GaugeNote::Check { source });
    Ok(GaugeSet {
        designation: designation(),
        form: thread.form,
        kind: thread.kind,
        unit: thread.unit,
        gauges,
        assumed: thread.assumed.clone(),
        notes,
        sources,
        confidence: Confidence::Weak.min(thread.confidence),
    })
}

/// The limits of the product that screw gauges are made from.
#[derive(Clone, Copy)]
struct Product {
    /// The pitch diameter at maximum material: the GO side.
    go: Length,
    /// The pitch diameter at minimum material: the NOT GO side.
    not_go: Length,
    /// The major diameter at maximum material: the largest of a bolt, the smallest of a nut.
    major: Length,
}

impl Product {
    fn of(thread: &ThreadLimits) -> Option<Self> {
        let (lower, upper) = (thread.pitch_diameter.lower?, thread.pitch_diameter.upper?);
        Some(match thread.kind {
            Kind::External => Self {
                go: upper,
                not_go: lower,
                major: thread.major.upper?,
            },
            Kind::Internal => Self {
                go: lower,
                not_go: upper,
                major: thread.major.lower?,
            },
        })
    }

    /// The product's pitch-diameter tolerance.
    fn tolerance(self) -> Length {
        (self.go - self.not_go).abs()
    }
}

/// From a limit upward by a tolerance.
fn plus(from: Length, tolerance: Length) -> Limits {
    Limits::between(from, from + tolerance)
}

/// From a limit downward by a tolerance.
fn minus(from: Length, tolerance: Length) -> Limits {
    Limits::between(from - tolerance, from)
}
