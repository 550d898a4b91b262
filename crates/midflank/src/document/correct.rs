//! `midflank correct`: one effect, what to add for it, and when not to.

use metrology::effect::Effect;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::{EffectDocument, from_mm};
use crate::words;

metrology::codes! {
    /// Why the reading is off.
    pub enum Why "correct-why" {
        OffAxis "off-axis",
        LeaningLine "leaning-line",
        TiltedFaces "tilted-faces",
        Parallelism "parallelism",
        OppositeGrooves "opposite-grooves",
        FlatInBore "flat-in-bore",
        BallInBore "ball-in-bore",
    }
}

metrology::codes! {
    /// When not to add the correction, and what to do instead.
    pub enum Instead "correct-not-when" {
        LargestAcross "largest-across",
        SmallestAlong "smallest-along",
        SmallestRocked "smallest-rocked",
        MiddleOfFaces "middle-of-faces",
        SquareDistance "square-distance",
        SmallerBall "smaller-ball",
        SmallestReading "smallest-reading",
        TwoPointSize "two-point-size",
        TimeToSettle "time-to-settle",
    }
}

/// What is said of one effect; lengths in millimetres.
pub struct Correct {
    pub unit: LengthUnit,
    pub effect: Effect,
    /// What is left for the budget: limits of an error of unknown sign.
    pub half_width_mm: Option<f64>,
    /// Why the reading is off, in a sentence.
    pub why: String,
    /// When not to add it, and what to do instead.
    pub instead: Instead,
    pub notes: Vec<String>,
}

#[derive(Serialize)]
pub struct CorrectDocument<'a> {
    unit: LengthUnit,
    #[serde(flatten)]
    effect: EffectDocument,
    half_width: Option<f64>,
    why: &'a str,
    instead: String,
    notes: &'a [String],
}

impl<'a> CorrectDocument<'a> {
    pub fn of(correct: &'a Correct) -> Self {
        Self {
            unit: correct.unit,
            effect: EffectDocument::of(&correct.effect, correct.unit),
            half_width: correct.half_width_mm.map(|mm| from_mm(mm, correct.unit)),
            why: &correct.why,
            instead: words::word(&correct.instead),
            notes: &correct.notes,
        }
    }
}
