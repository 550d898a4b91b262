//! A limit gauge for a screw thread, GO or NOT GO.

use jiff::civil::Date;

use super::super::field::Field;
use super::super::keys::{choice, section};
use super::super::state::State;
use super::{COVERAGE_FACTOR, Certified, Piece, YearlyDrift};
use crate::designation::{Kind, parse};
use crate::gauges::{CertifiedGauge, screw_gauge};
use crate::limits::ThreadLimits;
use crate::message::{Message, Say as _};
use crate::units::{Entered, Length};

section! {
    /// A limit gauge for a screw thread.
    pub struct Gauge {
        /// Identity.
        id: String => identity(),
        /// GO or NOT GO, plug or ring.
        member: GaugeMember,
        /// The thread that it checks.
        designation: String => checked(thread),
        /// Certified pitch diameter at 20 °C.
        size: Entered => positive(Field::GaugeSize),
        /// Expanded uncertainty of the certified size.
        expanded_uncertainty: Entered => step(Field::GaugeUncertainty),
        /// Its coverage factor.
        coverage_factor: f64 => within(COVERAGE_FACTOR),
        /// The pitch diameter at which wear ends its life.
        wear_limit: Option<Entered> => positive(Field::WearLimit),
        /// Certificate.
        certificate: Option<String>,
        /// Date of the certificate.
        certificate_date: Option<Date> => has_been(),
        /// How much its size changes in a year.
        drift: Option<YearlyDrift> => named("drift_per_year") small(Field::YearlyDrift),
        /// Due date of its calibration.
        due: Option<Date>,
        /// Whether it may be used.
        #[serde(default, skip_serializing_if = "State::is_active")]
        state: State,
    }
}

choice! {
    /// Which gauge of a pair it is. The codes are those of [`GaugeName`](crate::gauges::GaugeName).
    pub enum GaugeMember "gauge" {
        /// For a nut, at its smallest pitch diameter.
        GoPlug "go-plug",
        /// For a nut, at its largest.
        NotGoPlug "not-go-plug",
        /// For a bolt, at its largest pitch diameter.
        GoRing "go-ring",
        /// For a bolt, at its smallest.
        NotGoRing "not-go-ring",
    }
}

impl GaugeMember {
    pub const fn is_go(self) -> bool {
        matches!(self, Self::GoPlug | Self::GoRing)
    }

    /// The one for the other kind of thread.
    pub const fn other(self) -> Self {
        match self {
            Self::GoPlug => Self::GoRing,
            Self::NotGoPlug => Self::NotGoRing,
            Self::GoRing => Self::GoPlug,
            Self::NotGoRing => Self::NotGoPlug,
        }
    }

    /// Whether it checks threads of this kind.
    pub fn is_for(self, kind: Kind) -> bool {
        screw_gauge(kind, self.is_go()).key() == self.key()
    }
}

crate::messages! {
    /// What is wrong with a gauge as it is described.
    pub enum GaugeWrong "gauge-wrong" {
        /// A plug for a bolt, or a ring for a nut.
        OtherMember "other-member" { designation: String as Text, member: GaugeMember as code, right: GaugeMember as code },
        /// A taper thread or another without limits of its pitch diameter.
        NoPitchDiameter "no-pitch-diameter" { designation: String as Text },
        /// A size that is no pitch diameter of this thread.
        NotItsSize "not-its-size" {
            designation: String as Text, size: Length as bound, lower: Length as bound, upper: Length as bound,
        },
        /// A wear limit that is none of this thread.
        NotItsWearLimit "not-its-wear-limit" {
            designation: String as Text, size: Length as bound, lower: Length as bound, upper: Length as bound,
        },
    }
}

fn thread(text: &str) -> Result<(), Message> {
    limits(text).map(|_| ())
}

fn limits(designation: &str) -> Result<ThreadLimits, Message> {
    let thread = parse(designation).map_err(|error| error.message())?;
    thread.limits().map_err(|error| error.message())
}

impl Gauge {
    /// What its certified size means, with its uncertainty for k = 2.
    pub fn certified_gauge(&self) -> Option<CertifiedGauge> {
        let limits = limits(&self.designation).ok()?;
        let standard = self.expanded_uncertainty.value().mm() / self.coverage_factor;
        Some(CertifiedGauge::of(
            limits,
            self.member.is_go(),
            self.size.value(),
            Length::nearest_mm(2.0 * standard).ok()?,
            self.wear_limit.as_ref().map(Entered::value),
        ))
    }

    /// Whether it checks this thread, however both are written.
    pub fn checks(&self, thread: &ThreadLimits) -> bool {
        limits(&self.designation).is_ok_and(|own| own.designation == thread.designation)
    }
}

impl Piece for Gauge {
    super::common!();
    super::dated!();

    fn certified(&self) -> Certified<'_> {
        Certified::Size(&self.size)
    }

    fn is_made_as(&self) -> Option<&'static str> {
        Some(self.member.key())
    }

    /// A size may be off by a quarter of the pitch: the major diameter taken for it is off by 0.65 P (a proposal, no source).
    fn wrong(&self) -> Option<(&'static str, Message)> {
        let thread = limits(&self.designation).ok()?;
        let designation = || thread.designation.clone();
        if !self.member.is_for(thread.kind) {
            let (member, right) = (self.member, self.member.other());
            let wrong = GaugeWrong::OtherMember {
                designation: designation(),
                member,
                right,
            };
            return Some(("member", wrong.message()));
        }
        let (Some(lower), Some(upper)) = (thread.pitch_diameter.lower, thread.pitch_diameter.upper)
        else {
            let wrong = GaugeWrong::NoPitchDiameter {
                designation: designation(),
            };
            return Some(("designation", wrong.message()));
        };
        let off = Length::nearest_mm(thread.pitch.mm() / 4.0).ok()?;
        let is_far = |size: &Length| *size < lower - off || *size > upper + off;
        if let Some(size) = Some(self.size.value()).filter(is_far) {
            let wrong = GaugeWrong::NotItsSize {
                designation: designation(),
                size,
                lower,
                upper,
            };
            return Some(("size", wrong.message()));
        }
        let wear_limit = self.wear_limit.as_ref().map(Entered::value);
        wear_limit.filter(is_far).map(|size| {
            let wrong = GaugeWrong::NotItsWearLimit {
                designation: designation(),
                size,
                lower,
                upper,
            };
            ("wear_limit", wrong.message())
        })
    }
}
