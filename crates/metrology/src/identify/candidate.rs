//! Every standard thread, with what each would measure.

use std::sync::LazyLock;

use super::evidence::Quantity;
use super::weights::{Weights, taper};
use crate::designation::{Form, Kind, StandardThread, parse, standard_threads};
use crate::limits::{Limits, ThreadLimits};
use crate::units::Length;

/// What a thread would measure for one quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Expected {
    /// One value: pitch, flank angle, taper.
    Value(f64),
    /// Anything within a band: a diameter.
    Band {
        /// Limits of the usual class.
        usual: (f64, f64),
        /// From the basic size of a class without allowance to the minimum of a coarse class.
        any_class: (f64, f64),
    },
}

/// One standard thread, external or internal.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Without class: `M10x1.25`.
    pub designation: String,
    pub form: Form,
    /// The basic major diameter, mm.
    pub nominal: f64,
    /// The pitch, mm.
    pub pitch: f64,
    /// Between the flanks, degrees.
    pub angle: f64,
    /// Growth of the diameter by length.
    pub taper: f64,
    major: Expected,
    pitch_diameter: Expected,
    minor: Expected,
    /// How likely one meets it, relative to the others.
    pub(super) weights: Weights,
}

impl Candidate {
    /// What the thread would measure.
    pub const fn expected(&self, quantity: Quantity) -> Expected {
        match quantity {
            Quantity::Major => self.major,
            Quantity::PitchDiameter => self.pitch_diameter,
            Quantity::Minor => self.minor,
            Quantity::Pitch => Expected::Value(self.pitch),
            Quantity::FlankAngle => Expected::Value(self.angle),
            Quantity::Taper => Expected::Value(self.taper),
        }
    }
}

static EXTERNAL: LazyLock<Vec<Candidate>> = LazyLock::new(|| all(Kind::External));
static INTERNAL: LazyLock<Vec<Candidate>> = LazyLock::new(|| all(Kind::Internal));

/// All standard threads of all forms that exist as this kind.
pub fn candidates(kind: Kind) -> &'static [Candidate] {
    match kind {
        Kind::External => &EXTERNAL,
        Kind::Internal => &INTERNAL,
    }
}

fn all(kind: Kind) -> Vec<Candidate> {
    standard_threads()
        .iter()
        .filter_map(|standard| candidate(standard, kind))
        .collect()
}

/// What a standard thread of the tables is called as this kind: the taper pipe thread R is Rc inside (ISO 7-1).
fn name(standard: &StandardThread, kind: Kind) -> String {
    match (standard.form.key(), kind) {
        ("r-pipe", Kind::Internal) => standard.designation.replacen("R ", "Rc ", 1),
        _ => standard.designation.clone(),
    }
}

/// The thread in its usual class; `None` where the form has no such kind.
fn candidate(standard: &StandardThread, kind: Kind) -> Option<Candidate> {
    let designation = name(standard, kind);
    let limits = parse(&format!("{designation} {}", kind.key()))
        .ok()?
        .limits()
        .ok()?;
    if limits.kind != kind {
        return None;
    }
    let taper = taper(standard.form.key());
    let bands = if taper == 0.0 {
        Bands::parallel(&limits)
    } else {
        Bands::taper(&limits)
    };
    Some(Candidate {
        designation,
        form: standard.form,
        nominal: standard.nominal.mm(),
        pitch: standard.pitch.mm(),
        // Half degrees at the finest; the rest is what radians leave behind.
        angle: (limits.included_angle.degrees() * 1e6).round() / 1e6,
        taper,
        major: bands.major,
        pitch_diameter: bands.pitch_diameter,
        minor: bands.minor,
        weights: Weights::of_thread(standard),
    })
}

struct Bands {
    major: Expected,
    pitch_diameter: Expected,
    minor: Expected,
}

impl Bands {
    fn parallel(thread: &ThreadLimits) -> Self {
        let pitch = thread.pitch.mm();
        let pair = |limits: Limits| (limits.lower.map(Length::mm), limits.upper.map(Length::mm));
        let tolerance = thread
            .pitch_diameter
            .tolerance()
            .map_or(0.1 * pitch, Length::mm);
        let (pd_lower, pd_upper) = match pair(thread.pitch_diameter) {
            (Some(lower), Some(upper)) => (lower, upper),
            _ => (
                thread.nominal.mm() - 0.75 * pitch,
                thread.nominal.mm() - 0.55 * pitch,
            ),
        };
        // Where the standard leaves a limit open, the root ends somewhere between the truncation of the crest and
        // that of the sharp V: 0.144 P and the tolerance of the pitch diameter beyond the stated one (ISO metric:
        // from D to D2 max + 0.794 P).
        let open = 0.144 * pitch + tolerance;
        let closed = |limits: Limits, from_pitch_line: f64| match pair(limits) {
            (Some(lower), Some(upper)) => (lower, upper),
            (Some(lower), None) => (lower, lower + open),
            (None, Some(upper)) => (upper - open, upper),
            (None, None) => (
                pd_lower + from_pitch_line,
                pd_upper + from_pitch_line + open,
            ),
        };
        let allowance = thread.allowance.mm();
        let band = |usual| any_class(usual, allowance, thread.kind);
        Self {
            major: band(closed(thread.major, 0.6 * pitch)),
            pitch_diameter: band((pd_lower, pd_upper)),
            minor: band(closed(thread.minor, -0.6 * pitch)),
        }
    }

    /// Anywhere along a taper thread, small end to large end.
    ///
    /// NPT begins (0.05 D + 0.3) p below the outside diameter of the pipe (D and p in inches) and ends at it; R lies
    /// about as far to both sides of its gauge plane. Both are covered, as is the depth, 0.64 P to 0.8 P.
    fn taper(thread: &ThreadLimits) -> Self {
        let (nominal, pitch) = (thread.nominal.mm(), thread.pitch.mm());
        let lower = nominal - (0.3 + 0.05 * nominal / 25.4) * pitch;
        let upper = nominal + 0.3 * pitch;
        let band = |down_lower: f64, down_upper: f64| {
            let ends = (lower - down_lower * pitch, upper - down_upper * pitch);
            Expected::Band {
                usual: ends,
                any_class: ends,
            }
        };
        Self {
            major: band(0.0, 0.0),
            pitch_diameter: band(0.8, 0.64),
            minor: band(1.6, 1.28),
        }
    }
}

/// The band of any class: to the basic size on the side of the allowance, and 0.6 of the tolerance further on the
/// other, as grade 8 and class 1A go beyond 6 and 2A.
fn any_class(usual: (f64, f64), allowance: f64, kind: Kind) -> Expected {
    let (lower, upper) = usual;
    let further = 0.6 * (upper - lower);
    let any_class = match kind {
        Kind::External => (lower - further, upper + allowance),
        Kind::Internal => (lower - allowance, upper + further),
    };
    Expected::Band { usual, any_class }
}
