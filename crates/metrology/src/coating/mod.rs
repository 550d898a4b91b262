//! Coated threads: limits before and after coating, and whether the coating fits.
//!
//! A coating of thickness t on every flank moves the pitch diameter by 2t/sin(half the included angle), which is 4t
//! at 60 degrees, and the major and minor diameters by 2t: outward on a bolt, inward in a nut. Seen along the
//! radius, a flank moved by t at right angles to itself moves by t/sin of its half angle; two flanks face each
//! other across the thread ([`Source::Geometry`]; [`Source::AstmF1941`] uses the same 4 at 60 degrees).
//!
//! Whether the limits of a class hold before or after coating is for the drawing to say. Where it is silent,
//! [`rule`] has what the standard takes; where no rule is known, the question goes back to whoever asked.

mod conflict;
mod rule;
mod said;
mod thickness;

pub use conflict::{Conflict, ConflictInShort, OtherClass, Room, Tighter};
pub use rule::{Basis, Rule, State, rule};
pub use said::{CoatingAssumed, CoatingError, CoatingNote, ThicknessError};
pub use thickness::Thickness;

use crate::designation::{Form, Kind};
use crate::limits::{Limits, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::units::{Angle, Length};

/// The three diameters of a thread in one state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Diameters {
    /// The major diameter.
    pub major: Limits,
    /// The pitch diameter.
    pub pitch_diameter: Limits,
    /// The minor diameter.
    pub minor: Limits,
}

/// A thread and its coating.
#[derive(Clone, Debug, PartialEq)]
pub struct Coated {
    /// How thick.
    pub thickness: Thickness,
    /// Change of the pitch diameter for each unit of thickness: 4 at 60 degrees.
    pub factor: f64,
    /// The state in which the limits of the class hold.
    pub limits_hold: State,
    /// What the uncoated thread may measure.
    pub before: Diameters,
    /// What the coated thread may measure.
    pub after: Diameters,
    /// The thickest coating that fits everywhere between the limits before and those after; `None` where the
    /// limits hold after coating and the uncoated thread is made to suit.
    pub room: Option<Length>,
    /// Why the coating does not fit, if it does not.
    pub conflict: Option<Conflict>,
    /// What was left open and what was taken.
    pub assumed: Vec<CoatingAssumed>,
    /// What a reader should know.
    pub notes: Vec<CoatingNote>,
    /// Where the rule comes from.
    pub source: Source,
    /// How well it is supported.
    pub confidence: Confidence,
}

/// Limits of a thread before and after a coating.
///
/// `stated` is the state that the drawing's limits hold in, where it is known.
///
/// ```
/// use metrology::coating::{Thickness, coat};
/// use metrology::designation::parse;
///
/// let thread = parse("M10x1.5-6g")?.limits()?;
/// let coated = coat(&thread, Thickness::parse("5um..7um")?, None)?;
/// // On flanks of 60° a coating adds four times its thickness to the pitch diameter.
/// assert_eq!(coated.factor, 4.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn coat(
    thread: &ThreadLimits,
    thickness: Thickness,
    stated: Option<State>,
) -> Result<Coated, CoatingError> {
    if thread.pitch_diameter.tolerance().is_none() {
        return Err(CoatingError::NoLimits {
            thread: thread.designation.clone(),
        });
    }
    let mut assumed = Vec::new();
    let (thickness, reading) = thickness.read_for(thread.form);
    assumed.extend(reading);
    let known = rule(thread);
    let (limits_hold, source, confidence) = match (stated, known) {
        (Some(state), known) => (
            state,
            known.map_or(Source::Geometry, |rule| rule.source),
            known.map_or(Confidence::Weak, |rule| rule.confidence),
        ),
        (None, Some(rule)) => {
            assumed.push(CoatingAssumed::State {
                state: rule.state,
                basis: rule.basis,
            });
            (rule.state, rule.source, rule.confidence)
        }
        (None, None) => {
            return Err(CoatingError::StateUnknown {
                thread: thread.designation.clone(),
            });
        }
    };
    let side = Side {
        kind: thread.kind,
        factor: factor(thread.included_angle),
    };
    let class = Diameters {
        major: thread.major,
        pitch_diameter: thread.pitch_diameter,
        minor: thread.minor,
    };
    let (before, after, room, conflict);
    match limits_hold {
        State::Before => {
            before = class;
            after = side.up_to_basic(class, thread, thickness);
            let most = side.thickest(thread.allowance);
            room = Some(most);
            conflict = (thickness.most > most).then(|| side.no_room(thread, thickness, most));
        }
        State::After => {
            before = side.bare(class, thickness);
            after = class;
            room = None;
            conflict = side.no_tolerance(before.pitch_diameter, thread, thickness);
        }
    }
    Ok(Coated {
        thickness,
        factor: side.factor,
        limits_hold,
        before,
        after,
        room,
        conflict,
        assumed,
        notes: gauging_note(thread, limits_hold).into_iter().collect(),
        source,
        confidence,
    })
}

/// Change of the pitch diameter for each unit of coating thickness: 2/sin(half the included angle).
///
/// To nine decimals, so that 60 degrees gives 4 and not a hair more.
pub fn factor(included_angle: Angle) -> f64 {
    let exact = 2.0 / libm::sin(included_angle.radians() / 2.0);
    (exact * 1e9).round() / 1e9
}

/// Which gauges go on the coated thread.
fn gauging_note(thread: &ThreadLimits, limits_hold: State) -> Option<CoatingNote> {
    let before = limits_hold == State::Before && thread.kind == Kind::External;
    match thread.form {
        Form::Unified if before => Some(CoatingNote::UnifiedGauges),
        Form::IsoMetric if before => Some(CoatingNote::MetricGauges),
        _ => None,
    }
}

/// Which way a coating moves diameters, and how far.
struct Side {
    kind: Kind,
    factor: f64,
}

impl Side {
    /// How far a coating moves the pitch diameter, to the next tenth of a nanometre up.
    fn on_pitch_diameter(&self, thickness: Length) -> Length {
        // Lengths stay below 2^53 tenths of a nanometre, and the factor below 20 for any real flank.
        let exact = thickness.tenth_nanometres() as f64 * self.factor;
        #[expect(clippy::cast_possible_truncation, reason = "range as said above")]
        Length::from_tenth_nanometres((exact - 1e-6).ceil() as i64)
    }

    /// The thickest coating whose effect stays within the allowance.
    fn thickest(&self, allowance: Length) -> Length {
        let exact = allowance.tenth_nanometres() as f64 / self.factor;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "smaller than the allowance"
        )]
        Length::from_tenth_nanometres((exact + 1e-6).floor().max(0.0) as i64)
    }

    /// Limits moved outward on a bolt and inward in a nut.
    fn moved(&self, limits: Limits, amount: Length) -> Limits {
        let signed = match self.kind {
            Kind::External => amount,
            Kind::Internal => -amount,
        };
        Limits {
            lower: limits.lower.map(|limit| limit + signed),
            upper: limits.upper.map(|limit| limit + signed),
        }
    }

    /// The maximum-material limit of the one set and the minimum-material limit of the other.
    fn joined(&self, maximum_material: Limits, minimum_material: Limits) -> Limits {
        match self.kind {
            Kind::External => Limits {
                lower: minimum_material.lower,
                upper: maximum_material.upper,
            },
            Kind::Internal => Limits {
                lower: maximum_material.lower,
                upper: minimum_material.upper,
            },
        }
    }

    /// The same limits with the maximum-material limit at the basic size (classes 3A and B, positions h and H).
    ///
    /// Unified and metric threads have the same allowance on all three diameters. Of other forms that is not known:
    /// their major and minor diameters are what the thickest coating makes of them.
    fn up_to_basic(
        &self,
        class: Diameters,
        thread: &ThreadLimits,
        thickness: Thickness,
    ) -> Diameters {
        let crest = match thread.form {
            Form::Unified | Form::IsoMetric => thread.allowance,
            #[allow(unreachable_patterns, reason = "forms that are added later")]
            _ => thickness.most.times(2),
        };
        let one = |limits, amount| self.joined(self.moved(limits, amount), limits);
        Diameters {
            major: one(class.major, crest),
            pitch_diameter: one(class.pitch_diameter, thread.allowance),
            minor: one(class.minor, crest),
        }
    }

    /// What the uncoated thread may measure so that the coated one is within limits whatever the thickness.
    fn bare(&self, class: Diameters, thickness: Thickness) -> Diameters {
        let one = |limits, change: &dyn Fn(Length) -> Length| {
            self.joined(
                self.moved(limits, -change(thickness.most)),
                self.moved(limits, -change(thickness.least)),
            )
        };
        let twice = |length: Length| length.times(2);
        Diameters {
            major: one(class.major, &twice),
            pitch_diameter: one(class.pitch_diameter, &|length| {
                self.on_pitch_diameter(length)
            }),
            minor: one(class.minor, &twice),
        }
    }

    /// The coating needs more than the allowance; the other ways out are looked for.
    fn no_room(&self, thread: &ThreadLimits, thickness: Thickness, room: Length) -> Conflict {
        let needed = self.on_pitch_diameter(thickness.most);
        let basic = self.moved(thread.pitch_diameter, thread.allowance);
        let tighter = self.joined(self.moved(basic, -needed), thread.pitch_diameter);
        Conflict::NoRoom {
            most: thickness.most,
            needed,
            allowance: thread.allowance,
            room: if room > Length::ZERO {
                Room::AtMost { thickness: room }
            } else {
                Room::None
            },
            tighter: tighter
                .lower
                .zip(tighter.upper)
                .filter(|(lower, upper)| upper > lower)
                .map(|(lower, upper)| Tighter::Limits { lower, upper }),
            other_class: rule::roomier(thread, needed),
        }
    }

    /// The spread of the coating leaves the uncoated thread no tolerance.
    fn no_tolerance(
        &self,
        bare: Limits,
        thread: &ThreadLimits,
        thickness: Thickness,
    ) -> Option<Conflict> {
        let left = bare.tolerance()?;
        let tolerance = thread.pitch_diameter.tolerance()?;
        (left <= Length::ZERO).then(|| Conflict::NoTolerance {
            least: thickness.least,
            most: thickness.most,
            taken: tolerance - left,
            tolerance,
            widest: self.thickest(tolerance),
        })
    }
}
