//! What a laboratory answers for: values that it approved in the place of the program's defaults, and an uncertainty of its
//! own.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::model::Quantity;
use crate::message::Value;
use crate::units::{Entered, Length};

/// Zero drift put up with on an inch instrument where the job does not say (common practice, no source).
pub const DRIFT_LIMIT_INCH: Length = Length::from_ten_thousandths_inch(1);

crate::codes! {
    /// A value that the program takes where nobody states one. Each is common practice and a laboratory may approve its own.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum DefaultName "default" {
        /// Half angles of ground threads, minutes of arc.
        FlankAngleGround "flank-angle-ground",
        /// Half angles of rolled threads, minutes of arc.
        FlankAngleRolled "flank-angle-rolled",
        /// Half angles of cut threads, minutes of arc.
        FlankAngleCut "flank-angle-cut",
        /// Pitch between neighbouring ground threads.
        PitchErrorGround "pitch-error-ground",
        /// Pitch between neighbouring threads that are not ground.
        PitchError "pitch-error",
        /// Half angles of V and cone, minutes of arc.
        HalfAngleLimit "half-angle-limit",
        /// Measuring force under V and cone, newtons.
        Force "force",
        /// Measuring force over wires, newtons.
        ForceWires "force-wires",
        /// Wear that a zero on each other hides.
        HiddenWear "hidden-wear",
        /// Repeatability between flat faces.
        RepeatabilityFlat "repeatability-flat",
        /// Repeatability of V and cone.
        RepeatabilityVAndCone "repeatability-v-and-cone",
        /// Repeatability over wires.
        RepeatabilityWires "repeatability-wires",
        /// Repeatability of blade and point.
        RepeatabilityBladeAndPoint "repeatability-blade-and-point",
        /// Repeatability on soft sheet.
        RepeatabilitySoft "repeatability-soft",
        /// Repeatability of other contacts.
        RepeatabilityOther "repeatability-other",
        /// Standard deviation between places of a part.
        Form "form",
        /// Lowest and highest temperature of the room, degrees Celsius.
        Room "room",
        /// Difference of temperature between part and standard where none was read, kelvins.
        PartToStandard "part-to-standard",
        /// How far the plane of a taper thread may lie from where it is stated, either way.
        Plane "plane",
        /// Drift of the zero during a job.
        DriftLimit "drift-limit",
        /// Half the periodic error of the screw.
        PeriodicError "periodic-error",
        /// Flatness of one measuring face.
        Flatness "flatness",
        /// Parallelism of the measuring faces.
        Parallelism "parallelism",
        /// Drift of a setting standard in a year.
        StandardDrift "standard-drift",
        /// Drift of the error curve of a micrometer in a year.
        MicrometerDrift "micrometer-drift",
        /// Temperature within a part that is held in the hand, kelvins.
        HandGradient "hand-gradient",
    }
}

/// What the value of a default is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DefaultUnit {
    Length,
    /// Minutes of arc.
    Minutes,
    /// Newtons.
    Newtons,
    /// Kelvins.
    Kelvins,
    /// Two temperatures, degrees Celsius.
    Temperatures,
}

impl DefaultName {
    /// What its value is.
    pub const fn unit(self) -> DefaultUnit {
        match self {
            Self::FlankAngleGround
            | Self::FlankAngleRolled
            | Self::FlankAngleCut
            | Self::HalfAngleLimit => DefaultUnit::Minutes,
            Self::Force | Self::ForceWires => DefaultUnit::Newtons,
            Self::HandGradient | Self::PartToStandard => DefaultUnit::Kelvins,
            Self::Room => DefaultUnit::Temperatures,
            _ => DefaultUnit::Length,
        }
    }

    /// The program's own value: millimetres, or the unit above; of the room, the half-width about 20 °C. Each is common
    /// practice without a source unless it says otherwise. Of one that [goes by the pitch](Self::goes_by_pitch) it is that of
    /// the coarsest pitches.
    pub const fn value(self) -> f64 {
        match self {
            // Ground threads are made to the flank tolerances of gauges.
            Self::FlankAngleGround => 10.0,
            Self::FlankAngleRolled => 15.0,
            Self::FlankAngleCut => 30.0,
            Self::PitchErrorGround | Self::RepeatabilityFlat => 0.001,
            Self::PitchError | Self::HiddenWear | Self::RepeatabilityBladeAndPoint | Self::Form => {
                0.003
            }
            Self::HalfAngleLimit => 4.0,
            // The middle of 5 to 10.
            Self::Force => 7.5,
            // 40 ozf: ASME B1.2, from memory; for each pitch see `measuring_force`.
            Self::ForceWires => 11.12,
            Self::RepeatabilityVAndCone | Self::RepeatabilityWires => 0.0015,
            Self::RepeatabilitySoft => 0.005,
            // Parallelism: DIN 863-1 for ranges up to 50 mm, read in a reprint.
            Self::RepeatabilityOther | Self::DriftLimit | Self::Parallelism => 0.002,
            Self::Room => 8.0,
            Self::PeriodicError | Self::MicrometerDrift => 0.0005,
            // Two interference bands: DIN 863-1, from memory; ISO 3611:2010 leaves the value to the maker.
            Self::Flatness => 0.0006,
            Self::StandardDrift => 0.0002,
            Self::PartToStandard => 1.0,
            // The plane: a steel rule.
            Self::HandGradient | Self::Plane => 0.5,
        }
    }

    /// Whether the program takes another value for each pitch.
    pub const fn goes_by_pitch(self) -> bool {
        matches!(self, Self::ForceWires)
    }
}

/// Who approved what, on what evidence, and until when.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Approval {
    /// What the value rests on: a study, a report, a certificate.
    pub evidence: String,
    /// Who approved it.
    pub person: String,
    /// When: it counts for what is measured from this day on.
    pub on: Date,
    /// From the day after this one it counts no more.
    pub review_due: Date,
}

impl Approval {
    /// Whether it was given by this day.
    pub fn is_given(&self, used: Date) -> bool {
        self.on <= used
    }

    /// Whether it counts for a measurement of this day: given by then, and its review not overdue.
    pub fn counts(&self, used: Date) -> bool {
        self.is_given(used) && !self.is_overdue(used)
    }

    /// Whether its review is overdue for a measurement of this day.
    pub fn is_overdue(&self, used: Date) -> bool {
        used > self.review_due
    }
}

/// An approved value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Amount {
    Length(Entered),
    /// Minutes of arc, newtons or kelvins.
    Number(f64),
    /// Two temperatures, degrees Celsius.
    Range([f64; 2]),
}

/// A value that a laboratory approved in the place of a default.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Approved {
    /// Of which.
    pub what: DefaultName,
    pub value: Amount,
    /// By whom.
    pub approval: Approval,
}

crate::messages! {
    /// An approved value as a note shows it.
    pub enum Taken "taken" {
        /// Temperatures of a room.
        Room "room" { from: f64 as Number, to: f64 as Number },
        /// The program's force, which goes by the pitch.
        ByPitch "by-pitch",
        /// A length that is another on inch micrometers.
        ByUnit "by-unit" { metric: f64 as Difference, inch: f64 as InInches },
    }
}

impl DefaultName {
    /// The program's own value as it is shown.
    pub fn shown(self) -> Value {
        if self.goes_by_pitch() {
            return Value::said(Taken::ByPitch);
        }
        if self == Self::DriftLimit {
            let metric = self.value();
            let inch = DRIFT_LIMIT_INCH.mm();
            return Value::said(Taken::ByUnit { metric, inch });
        }
        let usual = Usual {
            name: self,
            approved: None,
        };
        usual.shown()
    }
}

impl Usual<'_> {
    /// The value as it is shown.
    pub fn shown(&self) -> Value {
        let number = self.value();
        match self.name.unit() {
            // A place on the part, and no error of a size.
            DefaultUnit::Length if self.name == DefaultName::Plane => Value::Length(number),
            DefaultUnit::Length => Value::Difference(number),
            DefaultUnit::Minutes => Value::Minutes(number),
            DefaultUnit::Newtons => Value::Newton(number),
            DefaultUnit::Kelvins => Value::Kelvins(number),
            DefaultUnit::Temperatures => {
                let (from, to) = self.range();
                Value::said(Taken::Room { from, to })
            }
        }
    }
}

impl Approved {
    /// The value as it is shown.
    pub fn shown(&self) -> Value {
        let approved = Some(self);
        let name = self.what;
        Usual { name, approved }.shown()
    }

    /// Whether the value is one that this default can have.
    pub const fn fits(&self) -> bool {
        matches!(
            (&self.value, self.what.unit()),
            (Amount::Length(_), DefaultUnit::Length)
                | (Amount::Range(_), DefaultUnit::Temperatures)
                | (
                    Amount::Number(_),
                    DefaultUnit::Minutes | DefaultUnit::Newtons | DefaultUnit::Kelvins
                )
        )
    }
}

/// The value that a job takes for a default: the laboratory's where it is approved, else the program's.
pub struct Usual<'a> {
    name: DefaultName,
    approved: Option<&'a Approved>,
}

impl<'a> Usual<'a> {
    /// What is taken for a measurement of a day, of what a laboratory approved.
    pub fn among(approved: &'a [Approved], name: DefaultName, used: Date) -> Self {
        let approved = approved
            .iter()
            .filter(|approved| approved.what == name && approved.fits())
            .find(|approved| approved.approval.counts(used));
        Self { name, approved }
    }

    /// Of which default it is.
    pub const fn name(&self) -> DefaultName {
        self.name
    }

    /// The laboratory's, where it is approved.
    pub const fn approved(&self) -> Option<&'a Approved> {
        self.approved
    }

    /// The approved length, where one is.
    pub fn approved_length(&self) -> Option<Length> {
        match self.approved.map(|approved| &approved.value) {
            Some(Amount::Length(length)) => Some(length.value()),
            _ => None,
        }
    }

    /// A length in millimetres, or a number.
    pub fn value(&self) -> f64 {
        match self.approved.map(|approved| &approved.value) {
            Some(Amount::Length(length)) => length.value().mm(),
            Some(Amount::Number(number)) => *number,
            Some(Amount::Range(_)) | None => self.name.value(),
        }
    }

    /// The two temperatures of a room, degrees Celsius.
    pub fn range(&self) -> (f64, f64) {
        match self.approved.map(|approved| &approved.value) {
            Some(Amount::Range([from, to])) => (*from, *to),
            _ => (20.0 - self.value(), 20.0 + self.value()),
        }
    }

    /// Whether a laboratory approved it.
    pub const fn is_approved(&self) -> bool {
        self.approved.is_some()
    }
}

/// An expanded uncertainty that a laboratory has found for the size by such a set-up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnUncertainty {
    /// As stated.
    pub expanded_uncertainty: Entered,
    /// Its coverage factor.
    pub coverage_factor: f64,
    /// Where it was found: a budget, a study, a comparison.
    pub source: String,
    /// Who approved it, where someone did.
    pub approval: Option<Approval>,
    /// Smallest and largest size that it was found at; an approval counts within them alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sizes: Option<[Entered; 2]>,
    /// Lowest and highest temperature that it was found at, degrees Celsius; an approval counts where temperatures were read
    /// and lie within them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<[f64; 2]>,
    /// In a job whose temperatures do not show that it was measured within that room: their standard uncertainty, kelvins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unshown: Option<f64>,
}

/// What an approved study tells of a set-up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StudyPrior {
    /// The entry of the study.
    pub study: String,
    /// Standard deviation of one reading by one operator.
    pub repeatability: Entered,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Standard deviation from operator to operator, with its degrees of freedom; none where one operator read.
    pub reproducibility: Option<(Entered, f64)>,
    /// Who approved it, and until when.
    pub approval: Approval,
}

/// An approved study of the same set-up that measured something else, or the same of other sizes, so that a job cannot take it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StudyOfOther {
    /// The entry of the study.
    pub study: String,
    /// What it measured: which diameter of a thread, which feature, or a size, by its key.
    pub measured: String,
    /// The sizes it is approved for, where it measured the same as the job.
    #[serde(default)]
    pub sizes: Option<[Entered; 2]>,
}

crate::messages! {
    /// What an approved uncertainty was not found at.
    pub enum NotFoundAt "not-found-at" {
        /// Such a size.
        Size "size" { size: f64 as Size, from: Entered as Entered, to: Entered as Entered },
        /// Such a temperature, degrees Celsius.
        Temperature "temperature" { temperature: f64 as Number, from: f64 as Number, to: f64 as Number },
        /// Temperatures that are not shown to lie there, by their expanded uncertainty (k = 2), kelvins.
        Unshown "unshown" { uncertainty: f64 as Number, from: f64 as Number, to: f64 as Number },
        /// Set-ups of which one certificate alone has more, both at k = 2.
        Certificate "certificate" { own: f64 as Difference, certified: f64 as Difference, quantity: Quantity as code },
        /// Temperatures that nobody read, degrees Celsius.
        Unread "unread" { from: f64 as Number, to: f64 as Number },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::DEFAULTS;

    /// The code of the note that a line has where this was taken.
    const fn code(name: DefaultName) -> &'static str {
        match name {
            DefaultName::FlankAngleGround
            | DefaultName::FlankAngleRolled
            | DefaultName::FlankAngleCut
            | DefaultName::HalfAngleLimit => "note.half-angles-usual",
            DefaultName::PitchErrorGround | DefaultName::PitchError => "note.pitch-usual",
            DefaultName::Force => "note.line-contact-usual",
            DefaultName::ForceWires => "note.customary-force",
            DefaultName::HiddenWear => "note.wear-usual",
            DefaultName::RepeatabilityFlat
            | DefaultName::RepeatabilityVAndCone
            | DefaultName::RepeatabilityWires
            | DefaultName::RepeatabilityBladeAndPoint
            | DefaultName::RepeatabilitySoft
            | DefaultName::RepeatabilityOther => "note.repeatability-usual",
            DefaultName::Form => "note.form-usual",
            DefaultName::Room => "note.room-usual",
            DefaultName::PartToStandard => "note.part-to-standard-usual",
            DefaultName::Plane => "note.plane-usual",
            DefaultName::DriftLimit => "note.drift-limit-usual",
            DefaultName::PeriodicError => "note.between-points-usual",
            DefaultName::Flatness | DefaultName::Parallelism => "note.faces-usual",
            DefaultName::StandardDrift | DefaultName::MicrometerDrift => {
                "note.since-certificate-usual"
            }
            DefaultName::HandGradient => "note.in-hand-usual",
        }
    }

    #[test]
    fn every_marked_default_can_be_approved() {
        for note in DEFAULTS {
            assert!(
                DefaultName::EVERY.iter().any(|name| code(*name) == note),
                "{note}"
            );
        }
        for name in DefaultName::EVERY {
            assert!(DEFAULTS.contains(&code(*name)), "{}", name.key());
        }
    }
}
