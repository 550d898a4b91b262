//! Limits of size: from a designation to the largest and smallest permitted diameters.
//!
//! [`ThreadLimits`] is what every form answers with; one file per form calculates it (`unified.rs`,
//! `metric.rs`, ...), as its standard says and rounded as its standard says. No binary floating point decides a
//! last digit: powers are taken in `f64` and cut to decimals long before the rounding that counts.

pub(crate) mod acme;
pub(crate) mod ba;
mod dispute;
pub(crate) mod g_pipe;
mod inch;
pub(crate) mod metric;
pub(crate) mod metric_tables;
pub(crate) mod mj;
mod note;
pub(crate) mod npt;
pub(crate) mod preferred_numbers;
pub(crate) mod r_pipe;
pub(crate) mod stub_acme;
pub mod taper;
pub(crate) mod trapezoidal;
pub(crate) mod unified;
mod unified_published;
pub(crate) mod unj;
pub(crate) mod whitworth;

use crate::source::{Confidence, Source};
use crate::thread::metric::EngagementGroup;
use crate::thread::{Assumed, Form, Hand, Kind, Thread, ThreadError};
use crate::units::{Angle, Length, LengthUnit, Pitch};
pub use dispute::{Dispute, DisputeReason, DisputedLimit};
pub use note::Note;
pub use taper::{Place, Position, Taper, TaperError};

/// The limits of one size, both included. A limit that the standard does not set is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Limits {
    /// The smallest permitted size.
    pub lower: Option<Length>,
    /// The largest permitted size.
    pub upper: Option<Length>,
}

impl Limits {
    /// Both limits.
    pub const fn between(lower: Length, upper: Length) -> Self {
        Self {
            lower: Some(lower),
            upper: Some(upper),
        }
    }

    /// A largest size only.
    pub const fn at_most(upper: Length) -> Self {
        Self {
            lower: None,
            upper: Some(upper),
        }
    }

    /// A smallest size only.
    pub const fn at_least(lower: Length) -> Self {
        Self {
            lower: Some(lower),
            upper: None,
        }
    }

    /// The distance between the limits, where both are set.
    pub fn tolerance(self) -> Option<Length> {
        Some(self.upper? - self.lower?)
    }
}

/// The limits of size of a thread, uncoated, with everything that led to them.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadLimits {
    /// In the notation of the standard, with what was assumed filled in.
    pub designation: String,
    pub form: Form,
    /// External or internal.
    pub kind: Kind,
    /// The unit of the designation, in which the limits are round.
    pub unit: LengthUnit,
    /// The basic major diameter.
    pub nominal: Length,
    /// The pitch. The lead is [`lead_in`](Self::lead_in).
    pub pitch: Pitch,
    /// The number of starts.
    pub starts: u16,
    /// Which way the thread winds.
    pub hand: Hand,
    /// Between the flanks: 60 degrees for UN and M.
    pub included_angle: Angle,
    /// The class as written: `2A`, `4g6g`.
    pub class: String,
    /// From the basic size to the maximum-material limit: positive for an external thread below basic
    /// (metric: -es) and for an internal thread above it (EI).
    pub allowance: Length,
    /// The length of engagement that the tolerances are made for.
    pub engagement: Option<Engagement>,
    /// The major diameter.
    pub major: Limits,
    /// The pitch diameter.
    pub pitch_diameter: Limits,
    /// The minor diameter.
    pub minor: Limits,
    /// Unified class 2A of unfinished hot-rolled stock (UNC and 8-UN): the lower minimum of the major diameter.
    pub hot_rolled_major_min: Option<Length>,
    /// External metric: the largest minor diameter d3 of a rounded root of the smallest radius, 0.125 P.
    pub rounded_root_minor_max: Option<Length>,
    /// The radius of the root, where it is a limit of the product: UNJ and MJ.
    pub root_radius: Limits,
    /// A taper thread: its diameters belong to axial positions, and the limits above are empty.
    pub taper: Option<Taper>,
    /// What the designation left open and what was taken.
    pub assumed: Vec<Assumed>,
    /// The standards that the limits follow.
    pub sources: Vec<Source>,
    /// How well the weakest number behind the limits is supported.
    pub confidence: Confidence,
    /// What a reader should know: the rounding rule, what a limit means, what was calculated and not tabulated.
    pub notes: Vec<Note>,
    /// Where published tables print another value.
    pub disputes: Vec<Dispute>,
}

impl Thread {
    /// The limits of size; of a taper thread its diameters by axial position.
    ///
    /// ```
    /// use metrology::designation::parse;
    ///
    /// // ISO 965-2: M10-6g has a pitch diameter of 8.862 to 8.994 mm.
    /// let limits = parse("M10x1.5-6g")?.limits()?.pitch_diameter;
    /// assert_eq!(limits.lower.unwrap().shortest_mm().to_string(), "8.862");
    /// assert_eq!(limits.upper.unwrap().shortest_mm().to_string(), "8.994");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn limits(&self) -> Result<ThreadLimits, ThreadError> {
        match self {
            Self::Unified(thread) => unified::limits(thread),
            Self::Unj(thread) => unj::limits(thread),
            Self::IsoMetric(thread) => metric::limits(thread),
            Self::Mj(thread) => mj::limits(thread),
            Self::Trapezoidal(thread) => trapezoidal::limits(thread),
            Self::Whitworth(thread) => whitworth::limits(thread),
            Self::GPipe(thread) => g_pipe::limits(thread),
            Self::RPipe(thread) => r_pipe::limits(thread),
            Self::Ba(thread) => ba::limits(thread),
            Self::Acme(thread) if thread.stub => stub_acme::limits(thread),
            Self::Acme(thread) => acme::limits(thread),
            Self::Npt(thread) => npt::limits(thread),
        }
    }
}

/// What every form knows of its thread before it calculates.
pub(crate) struct Identity {
    pub designation: String,
    pub form: Form,
    pub kind: Kind,
    pub unit: LengthUnit,
    pub nominal: Length,
    pub pitch: Pitch,
    pub included_angle_deg: f64,
    pub class: String,
}

impl ThreadLimits {
    /// A thread without limits yet: one start, right hand, nothing assumed, weak until the form says more.
    pub(crate) fn of(identity: Identity, sources: &[Source]) -> Self {
        Self {
            designation: identity.designation,
            form: identity.form,
            kind: identity.kind,
            unit: identity.unit,
            nominal: identity.nominal,
            pitch: identity.pitch,
            starts: 1,
            hand: Hand::Right,
            included_angle: Angle::from_degrees(identity.included_angle_deg),
            class: identity.class,
            allowance: Length::ZERO,
            engagement: None,
            major: Limits::default(),
            pitch_diameter: Limits::default(),
            minor: Limits::default(),
            hot_rolled_major_min: None,
            rounded_root_minor_max: None,
            root_radius: Limits::default(),
            taper: None,
            assumed: Vec::new(),
            sources: sources.to_vec(),
            confidence: Confidence::Weak,
            notes: Vec::new(),
            disputes: Vec::new(),
        }
    }

    /// How far the thread moves in one turn, in a unit, unrounded: starts times pitch.
    pub fn lead_in(&self, unit: LengthUnit) -> f64 {
        self.pitch.in_unit(unit) * f64::from(self.starts)
    }
}

/// The length of engagement behind a tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engagement {
    /// A length: Unified tolerances are calculated with it.
    Length(Length),
    /// So many pitches.
    Pitches(u8),
    /// A group of ISO 965-1; the lengths are where its table has them.
    Group {
        /// Short, normal or long.
        group: EngagementGroup,
        /// The engagement is longer than this.
        over: Option<Length>,
        /// The engagement is no longer than this.
        up_to: Option<Length>,
    },
}
