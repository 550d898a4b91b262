//! `midflank contacts`: what a pair of cone and V reads on a thread.

use metrology::contacts::MisfitError;
use metrology::effect::Effect;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::MaxMin;
use super::from_mm;
use crate::say;
use crate::words::{self, Shown};

/// What is said of one pair on one thread; lengths in millimetres.
pub struct Contacts {
    pub designation: String,
    pub unit: LengthUnit,
    pub pitch_mm: f64,
    pub fit: Fit,
    pub zero: ZeroSet,
    /// What to add to the reading.
    pub effects: Vec<Effect>,
    /// What would make it the reading of a thread of perfect spacing: not to be added for a pitch diameter.
    pub width: Option<Effect>,
    pub sensitivities: Vec<Sensitivity>,
    pub notes: Vec<String>,
}

/// Whether the pair is for this thread.
#[derive(Default)]
pub struct Fit {
    /// Why not, if it is not.
    pub misfit: Option<MisfitError>,
    /// Pitches marked on the pair, from and to.
    pub marked: Option<(f64, f64)>,
    /// How far the tip stays clear of the root, and the crest of the V; known where the widths are.
    pub clearances: Option<(f64, f64)>,
}

metrology::codes! {
    /// How zero was set.
    #[derive(clap::ValueEnum)]
    pub enum ZeroSet "zero-set" {
        Closed "closed",
        #[value(alias = "rod")]
        Standard "standard",
        Master "master",
    }
}

metrology::codes! {
    /// Causes that are not known, for the budget.
    pub enum Unknown "contacts-cause" {
        PartAngle "part-half-angle",
        PairAngle "pair-half-angle",
        StandardAngle "standard-half-angle",
        StandardLength "standard-length",
        MasterAngle "master-half-angle",
        MasterSize "master-pitch-diameter",
        Wear "wear",
        Width "width",
    }
}

metrology::codes! {
    /// What is to be known of the answer.
    pub enum ContactsNote "contacts-note" {
        WearInZero "wear-in-zero",
        NoWidths "no-widths",
        NoPitchRange "no-pitch-range",
        PitchErrorUnseen "pitch-error-unseen",
    }
}

impl ZeroSet {
    /// What setting zero takes out of the reading.
    pub fn takes_out(self) -> &'static str {
        match self {
            Self::Closed => say!("zero-takes-out.closed"),
            Self::Standard => say!("zero-takes-out.standard"),
            Self::Master => say!("zero-takes-out.master"),
        }
    }

    /// What it leaves in the reading.
    pub fn leaves(self) -> &'static str {
        match self {
            Self::Closed => say!("zero-leaves.closed"),
            Self::Standard => say!("zero-leaves.standard"),
            Self::Master => say!("zero-leaves.master"),
        }
    }
}

/// What the reading does for each degree, or each unit of length, of a cause that is not known.
pub struct Sensitivity {
    pub name: Unknown,
    pub per: Per,
    /// Millimetres for a degree, or millimetres for a millimetre.
    pub value: f64,
}

/// Of what a sensitivity is.
#[derive(Clone, Copy, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Per {
    Degree,
    Length,
}

impl Sensitivity {
    pub const fn of_angle(name: Unknown, value: f64) -> Self {
        Self {
            name,
            per: Per::Degree,
            value,
        }
    }

    pub const fn of_length(name: Unknown, value: f64) -> Self {
        Self {
            name,
            per: Per::Length,
            value,
        }
    }
}

impl Contacts {
    /// Whether the pair is for this thread, as far as it was told about.
    pub fn fits(&self) -> Option<bool> {
        if self.fit.misfit.is_some() {
            return Some(false);
        }
        (self.fit.marked.is_some() || self.fit.clearances.is_some()).then_some(true)
    }

    /// Why the pair is not for this thread, in words.
    pub fn reason(&self) -> Option<String> {
        let shown = Shown::in_unit(self.unit);
        self.fit.misfit.map(|misfit| words::message(&misfit, shown))
    }

    /// All that is to be added to the reading; nothing is known of a pair that does not fit.
    pub fn correction_mm(&self) -> Option<f64> {
        self.fit
            .misfit
            .is_none()
            .then(|| self.effects.iter().map(|effect| effect.correction_mm).sum())
    }
}

#[derive(Serialize)]
pub struct ContactsDocument<'a> {
    designation: &'a str,
    unit: LengthUnit,
    fits: Option<bool>,
    reason: Option<String>,
    marked_range: Option<MaxMin>,
    tip_clearance: Option<f64>,
    crest_clearance: Option<f64>,
    zero: &'static str,
    zero_takes_out: &'static str,
    zero_leaves: &'static str,
    correction: Option<f64>,
    effects: Vec<EffectDocument>,
    width_effect: Option<EffectDocument>,
    sensitivities: Vec<SensitivityDocument>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct SensitivityDocument {
    name: &'static str,
    label: String,
    /// `degree`: `value` is in `unit` for a degree. `length`: it is a plain number.
    per: Per,
    value: f64,
}

/// A known cause: add `correction`, in the document's unit, to the reading.
#[derive(Serialize)]
pub struct EffectDocument {
    name: &'static str,
    label: String,
    correction: f64,
    valid_for: String,
    source: &'static str,
    confidence: metrology::source::Confidence,
}

impl EffectDocument {
    pub fn of(effect: &Effect, unit: LengthUnit) -> Self {
        Self {
            name: effect.name.key(),
            label: words::word(&effect.name),
            correction: from_mm(effect.correction_mm, unit),
            valid_for: words::word(&effect.valid_for),
            source: words::source(effect.source),
            confidence: effect.confidence,
        }
    }
}

impl<'a> ContactsDocument<'a> {
    pub fn of(contacts: &'a Contacts) -> Self {
        let unit = contacts.unit;
        let length = |mm| from_mm(mm, unit);
        Self {
            designation: &contacts.designation,
            unit,
            fits: contacts.fits(),
            reason: contacts.reason(),
            marked_range: contacts.fit.marked.map(|(from, to)| MaxMin {
                max: Some(length(to)),
                min: Some(length(from)),
            }),
            tip_clearance: contacts.fit.clearances.map(|(tip, _)| length(tip)),
            crest_clearance: contacts.fit.clearances.map(|(_, crest)| length(crest)),
            zero: contacts.zero.key(),
            zero_takes_out: contacts.zero.takes_out(),
            zero_leaves: contacts.zero.leaves(),
            correction: contacts.correction_mm().map(length),
            effects: contacts
                .effects
                .iter()
                .map(|effect| EffectDocument::of(effect, unit))
                .collect(),
            width_effect: contacts
                .width
                .as_ref()
                .map(|effect| EffectDocument::of(effect, unit)),
            sensitivities: contacts
                .sensitivities
                .iter()
                .map(|line| SensitivityDocument {
                    name: line.name.key(),
                    label: words::word(&line.name),
                    per: line.per,
                    value: match line.per {
                        Per::Degree => length(line.value),
                        Per::Length => line.value,
                    },
                })
                .collect(),
            notes: &contacts.notes,
        }
    }
}
