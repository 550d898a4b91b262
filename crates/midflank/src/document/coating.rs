//! `midflank limits --coating`: a thread with its coating.

use metrology::coating::{Coated, Conflict, Diameters};
use metrology::limits::ThreadLimits;
use metrology::source::Confidence;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::{MaxMin, ThreadDocument, from_length};
use crate::words::{self, Shown};

/// The limits of a thread, which hold in the state `coating.limits_hold`, with the limits of both states.
///
/// Where the coating does not fit, `error` says so, and the limits stand beside it.
#[derive(Serialize)]
pub struct CoatedThreadDocument<'a> {
    #[serde(flatten)]
    thread: ThreadDocument<'a>,
    coating: CoatingDocument,
    /// What was asked, as with every error.
    #[serde(skip_serializing_if = "Option::is_none")]
    input: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ConflictDocument>,
}

#[derive(Serialize)]
struct CoatingDocument {
    thickness: Range,
    /// Change of the pitch diameter for each unit of thickness.
    pitch_diameter_factor: f64,
    limits_hold: &'static str,
    before: DiametersDocument,
    after: DiametersDocument,
    /// The thickest coating that fits; `null` where the uncoated thread is made to suit.
    greatest_thickness: Option<f64>,
    fits: bool,
    conflict: Option<String>,
    assumed: Vec<String>,
    notes: Vec<String>,
    source: &'static str,
    confidence: Confidence,
}

#[derive(Serialize)]
struct Range {
    max: f64,
    min: f64,
}

#[derive(Serialize)]
struct DiametersDocument {
    major: MaxMin,
    pitch_diameter: MaxMin,
    minor: MaxMin,
}

#[derive(Serialize)]
struct ConflictDocument {
    kind: &'static str,
    message: String,
}

impl<'a> CoatedThreadDocument<'a> {
    /// The document, in the designation's unit or another.
    pub fn of(
        input: &'a str,
        thread: &'a ThreadLimits,
        coated: &Coated,
        unit: Option<LengthUnit>,
    ) -> Self {
        let own = unit.unwrap_or(thread.unit);
        let length = |length| from_length(length, own);
        let diameters = |state: &Diameters| DiametersDocument {
            major: MaxMin::of(state.major, own),
            pitch_diameter: MaxMin::of(state.pitch_diameter, own),
            minor: MaxMin::of(state.minor, own),
        };
        let conflict = coated.conflict.as_ref();
        let worded = |conflict: &Conflict| words::message(conflict, Shown::of_coating(own));
        Self {
            thread: ThreadDocument::of(thread, unit),
            coating: CoatingDocument {
                thickness: Range {
                    max: length(coated.thickness.most),
                    min: length(coated.thickness.least),
                },
                pitch_diameter_factor: coated.factor,
                limits_hold: coated.limits_hold.key(),
                before: diameters(&coated.before),
                after: diameters(&coated.after),
                greatest_thickness: coated.room.map(length),
                fits: conflict.is_none(),
                conflict: conflict.map(worded),
                assumed: words::all_said(&coated.assumed),
                notes: coated.notes.iter().map(words::word).collect(),
                source: crate::words::source(coated.source),
                confidence: coated.confidence,
            },
            input: conflict.map(|_| input),
            error: conflict.map(|conflict| ConflictDocument {
                kind: conflict.kind(),
                message: worded(conflict),
            }),
        }
    }
}
