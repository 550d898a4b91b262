//! What a thread is, form by form: its sizes and classes as the standards list them, and its designation as they write it.

pub mod acme;
mod assumed;
pub mod ba;
mod error;
mod fault;
pub mod g_pipe;
pub(crate) mod inch;
pub mod metric;
pub mod mj;
pub mod npt;
pub mod r_pipe;
mod standard;
pub mod trapezoidal;
pub mod unified;
pub mod unj;
pub mod whitworth;

use std::fmt;

pub use acme::AcmeThread;
pub use assumed::{Assumed, CLASSES_TAKEN};
pub use ba::BaThread;
pub use error::ThreadError;
pub use fault::{
    Begins, ClassNotDefined, Covered, Element, EngagementFault, Fault, GivenPitch, KnownClasses,
    KnownName, KnownPitches, KnownSizes, LeadMismatch, MissingPitch, PartOfScrew, SeriesOf,
    StatedDiameter, StatedLimit, UnitOf,
};
pub use g_pipe::GPipeThread;
pub use metric::MetricThread;
pub use mj::MjThread;
pub use npt::NptThread;
pub use r_pipe::RPipeThread;
pub use standard::{StandardThread, standard_threads};
pub use trapezoidal::TrapezoidalThread;
pub use unified::UnifiedThread;
pub use unj::UnjThread;
pub use whitworth::WhitworthThread;

/// A thread form with its own rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Form {
    /// Unified inch threads, UN and UNR.
    Unified,
    /// Unified with a mandatory root radius.
    Unj,
    /// ISO general purpose metric threads, M.
    IsoMetric,
    /// Metric with a mandatory root radius.
    Mj,
    /// ISO metric trapezoidal threads, Tr.
    Trapezoidal,
    /// BSW, BSF and Whit.S.
    Whitworth,
    /// Parallel pipe threads, G.
    GPipe,
    /// Taper pipe threads of ISO 7-1: R, Rc, Rp.
    RPipe,
    /// BA.
    Ba,
    /// Acme, general purpose and centralizing.
    Acme,
    /// Stub Acme.
    StubAcme,
    /// American taper pipe threads, NPT and NPTF.
    Npt,
}

crate::codes! {
    impl Form "thread-form" {
        Unified "unified",
        Unj "unj",
        IsoMetric "iso-metric",
        Mj "mj",
        Trapezoidal "trapezoidal",
        Whitworth "whitworth",
        GPipe "g-pipe",
        RPipe "r-pipe",
        Ba "ba",
        Acme "acme",
        StubAcme "stub-acme",
        Npt "npt",
    }
}

/// The thread of a bolt or of a nut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// On a bolt.
    External,
    /// In a nut.
    Internal,
}

crate::codes! {
    impl Kind "thread-kind" { External "external", Internal "internal" }
}

/// Which way a thread winds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    /// Clockwise away from the viewer; not written.
    #[default]
    Right,
    /// Written `LH`.
    Left,
}

crate::codes! {
    impl Hand "thread-hand" { Right "right", Left "left" }
}

/// A thread as a designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Thread {
    /// Unified inch.
    Unified(UnifiedThread),
    /// UNJ.
    Unj(UnjThread),
    /// ISO metric.
    IsoMetric(MetricThread),
    /// MJ.
    Mj(MjThread),
    /// Trapezoidal.
    Trapezoidal(TrapezoidalThread),
    /// Whitworth.
    Whitworth(WhitworthThread),
    /// Parallel pipe.
    GPipe(GPipeThread),
    /// Taper pipe of ISO 7-1.
    RPipe(RPipeThread),
    /// BA.
    Ba(BaThread),
    /// Acme and Stub Acme.
    Acme(AcmeThread),
    /// American taper pipe.
    Npt(NptThread),
}

impl Thread {
    pub const fn form(&self) -> Form {
        match self {
            Self::Unified(_) => Form::Unified,
            Self::Unj(_) => Form::Unj,
            Self::IsoMetric(_) => Form::IsoMetric,
            Self::Mj(_) => Form::Mj,
            Self::Trapezoidal(_) => Form::Trapezoidal,
            Self::Whitworth(_) => Form::Whitworth,
            Self::GPipe(_) => Form::GPipe,
            Self::RPipe(_) => Form::RPipe,
            Self::Ba(_) => Form::Ba,
            Self::Acme(thread) if thread.stub => Form::StubAcme,
            Self::Acme(_) => Form::Acme,
            Self::Npt(_) => Form::Npt,
        }
    }

    /// What was taken for what was left open, of the forms with a size in inches.
    pub(crate) fn assumed_mut(&mut self) -> Option<&mut Vec<Assumed>> {
        match self {
            Self::Unified(thread) => Some(&mut thread.assumed),
            Self::Whitworth(thread) => Some(&mut thread.assumed),
            Self::Acme(thread) => Some(&mut thread.assumed),
            _ => None,
        }
    }

    /// External or internal.
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Unified(thread) => thread.kind,
            Self::Unj(thread) => thread.base.kind,
            Self::IsoMetric(thread) => thread.class.kind(),
            Self::Mj(thread) => thread.base.class.kind(),
            Self::Trapezoidal(thread) => thread.class.kind(),
            Self::Whitworth(thread) => thread.kind,
            Self::GPipe(thread) => thread.kind(),
            Self::RPipe(thread) => thread.shape.kind(),
            Self::Ba(thread) => thread.kind(),
            Self::Acme(thread) => thread.kind,
            Self::Npt(thread) => thread.kind,
        }
    }
}

/// In the notation of the standard.
impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unified(thread) => thread.fmt(f),
            Self::Unj(thread) => thread.fmt(f),
            Self::IsoMetric(thread) => thread.fmt(f),
            Self::Mj(thread) => thread.fmt(f),
            Self::Trapezoidal(thread) => thread.fmt(f),
            Self::Whitworth(thread) => thread.fmt(f),
            Self::GPipe(thread) => thread.fmt(f),
            Self::RPipe(thread) => thread.fmt(f),
            Self::Ba(thread) => thread.fmt(f),
            Self::Acme(thread) => thread.fmt(f),
            Self::Npt(thread) => thread.fmt(f),
        }
    }
}
