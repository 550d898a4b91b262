//! `midflank correct`: one effect, what to add for it, and when not to.

use metrology::effect::Effect;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::{EffectDocument, from_mm};

/// What is said of one effect; lengths in millimetres.
pub struct Correct {
    pub unit: LengthUnit,
    pub effect: Effect,
    /// What is left for the budget: limits of an error of unknown sign.
    pub half_width_mm: Option<f64>,
    /// Why the reading is off, in a sentence.
    pub why: String,
    /// When not to add it, and what to do instead.
    pub instead: &'static str,
    pub notes: Vec<String>,
}

/// The document.
#[derive(Serialize)]
pub struct CorrectDocument<'a> {
    unit: LengthUnit,
    #[serde(flatten)]
    effect: EffectDocument,
    half_width: Option<f64>,
    why: &'a str,
    instead: &'a str,
    notes: &'a [String],
}

impl<'a> CorrectDocument<'a> {
    pub fn of(correct: &'a Correct) -> Self {
        Self {
            unit: correct.unit,
            effect: EffectDocument::of(&correct.effect, correct.unit),
            half_width: correct.half_width_mm.map(|mm| from_mm(mm, correct.unit)),
            why: &correct.why,
            instead: correct.instead,
            notes: &correct.notes,
        }
    }
}
