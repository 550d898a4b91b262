//! Equipment: each kind by the table of its keys.
//!
//! What stands in a job file, in a file of equipment and on the form follows from the table, and so do the checks and what is
//! shown of a piece (`keys`). The file of a kind has its table and what there is to know of it beside that; the rest of the
//! inspection takes a piece as it is.

mod contacts;
mod gauge;
mod instrument;
mod standard;
mod thermometer;
mod wires;

use std::fmt::Debug;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::keys::{Holds, Key, Row, Stands, Stated, Values};
use super::marked::CurvePoint;
use super::state::State;
use crate::given::Range;
use crate::message::Message;
use crate::units::Entered;

pub use contacts::{ContactKind, Contacts};
pub use gauge::{Gauge, GaugeMember, GaugeWrong};
pub use instrument::{CertifiedCurve, Instrument, InstrumentErrors, InstrumentLacks};
pub use standard::{Standard, StandardForm};
pub use thermometer::{KelvinDrift, KelvinError, Thermometer};
pub use wires::WireSet;

/// Between the two flanks of a thread, a contact or a V, degrees.
pub const INCLUDED_ANGLE: Range = Range::new(1.0, 179.0, "°");
/// How far half angles may be off, minutes of arc.
pub const HALF_ANGLE_LIMIT: Range = Range::new(0.0, 120.0, "\u{2032}");
/// A measuring force, newtons.
pub const FORCE: Range = Range::new(0.01, 100.0, " N");
/// A coverage factor.
pub const COVERAGE_FACTOR: Range = Range::new(0.5, 10.0, "");

/// What the register and the bench ask of a piece of any kind.
pub trait Piece: Debug {
    /// Identity.
    fn id(&self) -> &str;

    /// Whether it may be used.
    fn state(&self) -> State;

    /// The same, to be changed.
    fn state_mut(&mut self) -> &mut State;

    /// Certificate.
    fn certificate(&self) -> Option<&str>;

    /// Due date of its next calibration.
    fn due(&self) -> Option<Date>;

    /// The same, to be changed.
    fn due_mut(&mut self) -> &mut Option<Date>;

    /// What it states, in the order of its keys.
    fn stated(&self) -> Vec<Row>;

    /// Date of its certificate, where it is of a kind that has one.
    fn certificate_date(&self) -> Option<Date> {
        None
    }

    /// How much it changes in a year, where it is of a kind of which that is known.
    fn drift_mut(&mut self) -> Option<&mut Option<YearlyDrift>> {
        None
    }

    /// How much its error changes in a year, where it shows temperatures.
    fn kelvin_drift_mut(&mut self) -> Option<&mut Option<KelvinDrift>> {
        None
    }

    /// What a certificate says that a later one can say otherwise.
    fn certified(&self) -> Certified<'_> {
        Certified::Nothing
    }

    /// The expanded uncertainty of a certified size or error curve, with its coverage factor.
    fn certified_within(&self) -> Option<(&Entered, f64)> {
        None
    }

    /// The limit of its errors, either way, where that is all that is known of them.
    fn error_limit(&self) -> Option<&Entered> {
        None
    }

    /// Identities of the members of a pair. Another member makes another pair.
    fn members(&self) -> Option<&[String; 2]> {
        None
    }

    /// What it is, where another of it makes another piece.
    fn is_made_as(&self) -> Option<&'static str> {
        None
    }

    /// What in its description contradicts itself, with the key that it stands under.
    fn wrong(&self) -> Option<(&'static str, Message)> {
        None
    }

    /// Whether a key is worth showing of it.
    fn shows(&self, _key: &Key) -> bool {
        true
    }
}

/// What a certificate says of a piece.
#[derive(Clone, Copy, Debug)]
pub enum Certified<'a> {
    Size(&'a Entered),
    /// The points of its error curve.
    Curve(&'a [CurvePoint]),
    /// The error of a thermometer.
    Kelvins(KelvinError),
    /// Nothing that drifts.
    Nothing,
}

/// What every piece has, by its fields.
macro_rules! common {
    () => {
        fn id(&self) -> &str {
            &self.id
        }

        fn state(&self) -> State {
            self.state
        }

        fn state_mut(&mut self) -> &mut State {
            &mut self.state
        }

        fn certificate(&self) -> Option<&str> {
            self.certificate.as_deref()
        }

        fn due(&self) -> Option<Date> {
            self.due
        }

        fn due_mut(&mut self) -> &mut Option<Date> {
            &mut self.due
        }

        fn stated(&self) -> Vec<$crate::inspection::keys::Row> {
            $crate::inspection::keys::Section::stated(self)
        }
    };
}
use common;

/// What a piece has whose certificate is dated, by its fields.
macro_rules! dated {
    () => {
        fn certificate_date(&self) -> Option<Date> {
            self.certificate_date
        }

        fn drift_mut(&mut self) -> Option<&mut Option<$crate::inspection::equipment::YearlyDrift>> {
            Some(&mut self.drift)
        }
    };
}
use dated;

/// How much a piece changes in a year.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YearlyDrift {
    /// By so much, either way.
    pub per_year: Entered,
    /// How many certificates of the piece show it; none where it was stated.
    pub certificates: Option<u32>,
    /// How many of them lie half a year apart or more; none where it was stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub apart: Option<u32>,
}

/// As it is stated by hand.
impl Stands for YearlyDrift {
    const HOLDS: Holds = Holds::Length;

    fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
        let per_year = values.length(key)?;
        Ok(per_year.map(|per_year| Self {
            per_year,
            certificates: None,
            apart: None,
        }))
    }

    fn stated(&self) -> Option<Stated> {
        self.per_year.stated()
    }
}
