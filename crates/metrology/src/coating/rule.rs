//! Which state of a coated thread the limits of a class hold in, where the drawing is silent.

use super::OtherClass;
use crate::designation::{Form, Kind, parse};
use crate::limits::ThreadLimits;
use crate::source::{Confidence, Source};
use crate::units::Length;

/// Before or after coating.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Uncoated.
    Before,
    /// Coated.
    After,
}

crate::codes! {
    impl State "coating-state" { Before "before", After "after" }
}

/// What a standard takes where the drawing is silent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// The state that the limits hold in.
    pub state: State,
    /// What says so.
    pub basis: Basis,
    /// Where it stands.
    pub source: Source,
    /// How well it is supported.
    pub confidence: Confidence,
}

/// The rule of the thread's standard; `None` where none is known here.
pub fn rule(thread: &ThreadLimits) -> Option<Rule> {
    match thread.form {
        Form::Unified if thread.class.ends_with('G') => Some(Rule {
            state: State::After,
            basis: Basis::AllowanceKept,
            source: Source::Handbook27,
            confidence: Confidence::Solid,
        }),
        Form::Unified if thread.kind == Kind::External && thread.allowance > Length::ZERO => {
            let written = thread.class.starts_with('2');
            Some(Rule {
                state: State::Before,
                basis: Basis::ClassTwo,
                source: Source::Handbook27,
                // Read for 2A; that 1A is the same is from memory.
                confidence: if written {
                    Confidence::Solid
                } else {
                    Confidence::Weak
                },
            })
        }
        Form::Unified => Some(Rule {
            state: State::After,
            basis: Basis::NoAllowance,
            source: Source::AstmF1941,
            confidence: Confidence::Weak,
        }),
        Form::IsoMetric => Some(Rule {
            state: State::Before,
            basis: Basis::Metric,
            source: Source::Iso965_1,
            confidence: Confidence::Weak,
        }),
        #[allow(unreachable_patterns, reason = "forms whose rule is not known here")]
        _ => None,
    }
}

/// The metric thread with the nearest position letter that leaves room enough, with its allowance.
pub(super) fn roomier(thread: &ThreadLimits, needed: Length) -> Option<OtherClass> {
    if thread.form != Form::IsoMetric {
        return None;
    }
    let (own, letters) = match thread.kind {
        Kind::External => (&['h', 'g', 'f', 'e', 'd', 'c', 'b', 'a'][..], "gfedcba"),
        Kind::Internal => (&['H', 'G'][..], "G"),
    };
    let (size, tail) = thread.designation.rsplit_once(&thread.class)?;
    letters
        .chars()
        .filter_map(|letter| {
            let class = thread.class.replace(own, letter.encode_utf8(&mut [0; 4]));
            parse(&format!("{size}{class}{tail}")).ok()?.limits().ok()
        })
        .find(|other| other.allowance >= needed)
        .map(|other| OtherClass::Thread {
            designation: other.designation,
            allowance: other.allowance,
        })
}

crate::codes! {
    /// What says in which state the limits of a thread hold.
    pub enum Basis "coating-basis" {
        /// 2AG.
        AllowanceKept "allowance-kept",
        /// 2A.
        ClassTwo "class-2a",
        /// Unified without allowance.
        NoAllowance "no-allowance",
        /// M.
        Metric "metric",
    }
}
