//! ISO metric threads: M.
//!
//! Order of the elements (ISO 965-1): M, diameter, pitch (the coarse one may be left out), class, group of
//! engagement, left hand. Several starts as `xPh3P1.5` (ISO) or `xL3-P1.5` (ASME B1.13M).
//!
//! Which pitches are answered (see also `limits/metric.rs`):
//! * a pitch that ISO 261 lists for the diameter: yes;
//! * a pitch of the tables that is finer than the coarsest of that diameter (M6x0.5, M6.5x1): yes, and
//!   `assumed` says that the pair is not listed. ISO 261 itself sends whoever needs finer threads to those
//!   pitches;
//! * a coarser pitch, or one that no ISO table has (1.6): no. On a drawing that is a slip of the pen far more
//!   often than a wish, and a plausible wrong answer costs more than a question.

mod sizes;

use std::fmt;

use super::{Assumed, Hand, Kind};
use crate::units::Length;
pub(crate) use sizes::{
    MetricSize, is_listed_metric, metric_size, metric_size_at_or_above, metric_size_near,
    metric_sizes,
};

/// A metric thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MetricThread {
    pub(crate) diameter: Length,
    pub(crate) pitch: Length,
    pub(crate) class: MetricClass,
    pub(crate) starts: u16,
    pub(crate) hand: Hand,
    /// The group written, S, N or L.
    pub(crate) group: Option<EngagementGroup>,
    /// A stated length of engagement.
    pub(crate) engagement: Option<Length>,
    /// The gauging system of ASME B1.3: 21, 22 or 23.
    pub(crate) gauging: Option<u8>,
    pub(crate) assumed: Vec<Assumed>,
}

/// A tolerance class such as `6g`, `5g6g`, `6H`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MetricClass {
    pub(crate) pitch_grade: u8,
    pub(crate) crest_grade: u8,
    pub(crate) position: Position,
}

/// Where the tolerance zone lies: the letter of a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position(pub(crate) u8);

/// How long the threads engage: short, normal or long (ISO 965-1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EngagementGroup {
    /// S.
    Short,
    /// N; not written.
    Normal,
    /// L.
    Long,
}

impl EngagementGroup {
    /// `S`, `N` or `L`.
    pub const fn letter(self) -> char {
        match self {
            Self::Short => 'S',
            Self::Normal => 'N',
            Self::Long => 'L',
        }
    }
}

impl Position {
    /// The letter; capital for internal threads.
    pub const fn letter(self) -> char {
        self.0 as char
    }

    /// The kind of thread that the letter belongs to.
    pub const fn kind(self) -> Kind {
        if self.0.is_ascii_uppercase() {
            Kind::Internal
        } else {
            Kind::External
        }
    }
}

impl MetricClass {
    pub(crate) const fn of(pitch_grade: u8, crest_grade: u8, letter: u8) -> Self {
        Self {
            pitch_grade,
            crest_grade,
            position: Position(letter),
        }
    }

    /// The grade of the pitch diameter.
    pub const fn pitch_grade(self) -> u8 {
        self.pitch_grade
    }

    /// The grade of the crest diameter: major of an external, minor of an internal thread.
    pub const fn crest_grade(self) -> u8 {
        self.crest_grade
    }

    /// The position of both.
    pub const fn position(self) -> Position {
        self.position
    }

    /// External or internal.
    pub const fn kind(self) -> Kind {
        self.position.kind()
    }
}

/// One grade and letter where both are equal, else both, pitch diameter first.
impl fmt::Display for MetricClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = self.position.letter();
        write!(f, "{}{letter}", self.pitch_grade)?;
        if self.crest_grade != self.pitch_grade {
            write!(f, "{}{letter}", self.crest_grade)?;
        }
        Ok(())
    }
}

/// In the notation of ISO 965-1, with the pitch always written.
impl fmt::Display for MetricThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = Length::shortest_mm;
        write!(f, "M{}x", mm(self.diameter))?;
        if self.starts > 1 {
            write!(f, "Ph{}P", mm(self.pitch.times(i32::from(self.starts))))?;
        }
        write!(f, "{}-{}", mm(self.pitch), self.class)?;
        if let Some(group) = self.group.filter(|group| *group != EngagementGroup::Normal) {
            write!(f, "-{}", group.letter())?;
        }
        if self.hand == Hand::Left {
            f.write_str("-LH")?;
        }
        if let Some(length) = self.engagement {
            write!(f, " LE {}", mm(length))?;
        }
        if let Some(system) = self.gauging {
            write!(f, " ({system})")?;
        }
        Ok(())
    }
}
