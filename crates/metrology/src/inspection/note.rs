//! What stands beside each line of a budget: its name, and where its numbers come from.

use std::borrow::Cow;

use jiff::civil::Date;

use super::approval::{DefaultName, Usual};
use super::model::Quantity;
use super::of_thread::Made;
use crate::message::{Code, Coded, Message, Say, Value};
use crate::source::{Confidence, Source};
use crate::uncertainty::{Distribution, Input};
use crate::units::Entered;

crate::codes! {
    /// Names of lines that say more than their quantity.
    pub enum OwnName "line" {
        /// Repeatability and form of single readings, which nothing parts.
        Scatter "scatter",
        /// Scatter among crimps that were not measured.
        FormOfSamples "form-of-samples",
        /// The flanks under V and cone, pressed by the measuring force.
        FlanksPressed "flanks-pressed",
        /// The part, pressed between the contacts by the measuring force.
        PartPressed "part-pressed",
        /// The diameter of the wires.
        Wires "wires",
        /// What their diameter may have changed by since it was certified.
        WiresDrift "wires-drift",
        /// Flank angles of the part, at these wires.
        FlanksAtWires "flanks-at-wires",
    }
}

/// The name of a line: its quantity, or a name of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineName {
    /// As the quantity is called.
    Quantity(Quantity),
    /// A name of its own.
    Own(Code),
}

impl LineName {
    /// The code without its subject.
    pub fn key(self) -> &'static str {
        match self {
            Self::Quantity(quantity) => quantity.key(),
            Self::Own(name) => name.key(),
        }
    }
}

impl Coded for LineName {
    fn code(&self) -> Cow<'static, str> {
        match self {
            Self::Quantity(quantity) => quantity.code(),
            Self::Own(name) => name.code(),
        }
    }
}

impl From<Quantity> for LineName {
    fn from(quantity: Quantity) -> Self {
        Self::Quantity(quantity)
    }
}

impl From<Code> for LineName {
    fn from(name: Code) -> Self {
        Self::Own(name)
    }
}

impl From<OwnName> for LineName {
    fn from(name: OwnName) -> Self {
        Self::Own(name.into())
    }
}

crate::messages! {
    /// How a thread was made, beside what is allowed for of threads made so.
    pub enum MadeAs "made-as" {
        /// Nobody said.
        Taken "taken" { made: Made as code },
        /// As the job states it.
        Stated "stated" { made: Made as code },
    }
}

crate::messages! {
    /// Where the numbers of a line come from.
    pub enum Note "note" {
        /// Type A, from the readings on the part.
        Readings "readings",
        /// Type A, from the readings on the standard.
        ZeroReadings "zero-readings",
        /// One step of the display, as far as the scatter does not hold it.
        DisplayStep "display-step",
        /// A certificate, by its number.
        Certificate "certificate" { number: String as Text },
        /// The certificate of the error curve.
        CurveCertificate "curve-certificate",
        /// The maximum permissible error.
        PermissibleError "permissible-error",
        /// The maximum permissible error, of the indication on the part and of that on the standard.
        PermissibleErrorTwice "permissible-error-twice",
        /// Bend of the error curve and periodic error of the screw.
        BetweenPoints "between-points",
        /// Bend of the error curve, and the usual periodic error of the screw.
        BetweenPointsUsual "between-points-usual",
        /// Bend of the error curve, whose points lie all around the turn of the screw and so show its periodic error.
        BetweenPointsHeld "between-points-held",
        /// Flatness of each face and parallelism of both, as stated.
        Faces "faces" { flatness: f64 as Difference, parallelism: f64 as Difference },
        /// The same as usual.
        FacesUsual "faces-usual" { flatness: f64 as Difference, parallelism: f64 as Difference },
        /// Change in a year, as stated, times the age of the certificate.
        SinceCertificate "since-certificate" { rate: f64 as Difference, days: u32 as whole },
        /// The same, as the history of certificates shows it.
        SinceCertificates "since-certificates" { n: u32 as whole, rate: f64 as Difference, days: u32 as whole },
        /// The same, as usual.
        SinceCertificateUsual "since-certificate-usual" { rate: f64 as Difference, days: u32 as whole },
        /// A part warmed by the hand, as usual.
        InHandUsual "in-hand-usual" { within: f64 as Kelvins },
        /// In the place of a default a value that a laboratory approved.
        Approved "approved" { value: Value as itself, person: String as Text, on: Date as Date, due: Date as Date },
        /// A study of the set-up, which a laboratory approved.
        Study "study" { study: String as Text, person: String as Text, on: Date as Date, due: Date as Date },
        /// Stated with the job.
        Stated "stated",
        /// No zero was set: the allowance stated.
        ZeroAllowance "zero-allowance",
        /// Half the change between the zero checks.
        HalfTheChange "half-the-change",
        /// No closing zero check: the usual drift limit.
        DriftLimitUsual "drift-limit-usual",
        /// No closing zero check: the drift limit, as stated.
        DriftLimit "drift-limit",
        /// Read with a thermometer.
        Thermometer "thermometer",
        /// Read with a thermometer that is named: standard uncertainties of the reading, of the certified error that is not
        /// corrected with its own uncertainty, and of the drift over the age of the certificate.
        ThermometerNamed "thermometer-named" {
            id: String as Text, read: f64 as Kelvins, certified: f64 as Kelvins, drift: f64 as Kelvins, days: u32 as whole,
        },
        /// Expansion of a material; `coefficient` in millionths per kelvin.
        Expansion "expansion" {
            material: String as Text, coefficient: f64 as Number, within: f64 as Share, source: Source as source,
        },
        /// Half angles within so much.
        HalfAngles "half-angles" { within: f64 as Minutes },
        /// No thermometer was read: part and standard apart by so much, as usual.
        PartToStandardUsual "part-to-standard-usual" { within: f64 as Kelvins },
        /// Half angles within so much, which nobody stated: of contacts, or as usual for threads made so.
        HalfAnglesUsual "half-angles-usual" { within: f64 as Minutes, made: Option<MadeAs> as said_if },
        /// Half angles as they were measured, within so much.
        HalfAnglesMeasured "half-angles-measured" { within: f64 as Minutes },
        /// Pitch between neighbouring threads within so much, which nobody stated.
        PitchUsual "pitch-usual" { within: f64 as Difference, made: MadeAs as said },
        /// Pitch between neighbouring threads within so much, as stated.
        PitchStated "pitch-stated" { within: f64 as Difference },
        /// The plane on a taper thread within so much of where it is stated, which nobody stated.
        PlaneUsual "plane-usual" { within: f64 as Length },
        /// The same, as stated.
        PlaneStated "plane-stated" { within: f64 as Length },
        /// Wear that a zero on each other hides, as usual.
        WearUsual "wear-usual" { within: f64 as Difference },
        /// Line contact on the flanks under a force that was stated.
        LineContact "line-contact" { force: f64 as Newton },
        /// Line contact on the flanks under the usual force of a micrometer.
        LineContactUsual "line-contact-usual" { force: f64 as Newton },
        /// Part less setting standard under the measuring force, by Hertz.
        Pressed "pressed" { force: f64 as Newton },
        /// The same of contacts too wide for that.
        PressedWide "pressed-wide" { force: f64 as Newton },
        /// No thermometer was read: the room within these temperatures, as stated.
        RoomStated "room-stated" { from: f64 as Number, to: f64 as Number },
        /// No thermometer was read: the room within these temperatures, as usual.
        RoomUsual "room-usual" { from: f64 as Number, to: f64 as Number },
        /// Repeatability as usual for such a set-up, since no readings tell more.
        RepeatabilityUsual "repeatability-usual",
        /// Form between places as usual, and as the readings show it.
        FormUsual "form-usual" { usual: f64 as Difference },
        /// Form between places, as earlier records of the part show it.
        FormHistory "form-history" { seen: f64 as Difference, records: u32 as whole },
        /// Flanks fully or half engaged.
        Engagement "engagement",
        /// The force stated, on wires of this diameter.
        StatedForce "stated-force" { force: f64 as Newton, wires: WireDiameter as code },
        /// The force that is customary for the pitch, on wires of this diameter.
        CustomaryForce "customary-force" { force: f64 as Newton, confidence: Confidence as code, wires: WireDiameter as code },
    }
}

/// The code of [`Note::FormHistory`].
pub const FORM_HISTORY: &str = "note.form-history";
/// The code of the note of an approved study.
pub const STUDY: &str = "note.study";

/// The codes of notes that name a default of the program: what nobody stated, and no laboratory has approved.
pub const DEFAULTS: [&str; 15] = [
    "note.half-angles-usual",
    "note.pitch-usual",
    "note.plane-usual",
    "note.wear-usual",
    "note.line-contact-usual",
    "note.customary-force",
    "note.room-usual",
    "note.part-to-standard-usual",
    "note.repeatability-usual",
    "note.form-usual",
    "note.drift-limit-usual",
    "note.between-points-usual",
    "note.faces-usual",
    "note.since-certificate-usual",
    "note.in-hand-usual",
];

crate::codes! {
    /// What the certificate of wires states.
    pub enum WireDiameter "wire-diameter" {
        /// Their free diameter.
        Free "free",
        /// Their diameter under the force of calibration.
        UnderForce "under-force",
    }
}

crate::messages! {
    /// The step from reading to size; that of a feature stands with it.
    pub enum Formula "conversion" {
        /// Pitch diameter over wires; `lead_angle` in degrees; no taper correction on a parallel thread.
        OverWires "over-wires" {
            wires: Entered as Entered, lead_correction: f64 as Shift, lead_angle: f64 as Number, taper_correction: f64 as Shift,
        },
    }
}

/// An input of the model with its name and where its numbers come from.
#[derive(Clone, Debug)]
pub struct Named {
    pub name: LineName,
    pub input: Input,
    /// Where they come from, where that is told.
    pub note: Option<Message>,
    /// The defaults that they rest on: the laboratory's where it is approved, else the program's.
    pub defaults: Vec<DefaultName>,
}

impl Named {
    /// Under the name of a quantity, or one of its own.
    pub fn new(name: impl Into<LineName>, estimate: f64, distribution: Distribution) -> Self {
        let name = name.into();
        Self {
            name,
            input: Input::new(name.code(), estimate, distribution),
            note: None,
            defaults: Vec::new(),
        }
    }

    /// A normal one.
    pub fn normal(name: impl Into<LineName>, estimate: f64, standard_uncertainty: f64) -> Self {
        let normal = Distribution::Normal {
            standard_uncertainty,
        };
        Self::new(name, estimate, normal)
    }

    /// The same with where its numbers come from.
    pub fn noted(self, note: impl Say) -> Self {
        self.noted_if(Some(note))
    }

    /// The same where that is told.
    pub fn noted_if(mut self, note: Option<impl Say>) -> Self {
        self.note = note.map(|note| note.message());
        self
    }

    /// The same by a default, whose line says this where it is the program's.
    pub fn by(self, usual: &Usual, note: Note) -> Self {
        self.noted(usual.note(note)).resting_on([usual.name()])
    }

    /// The same resting on these defaults.
    pub fn resting_on(mut self, defaults: impl IntoIterator<Item = DefaultName>) -> Self {
        self.defaults = defaults.into_iter().collect();
        self
    }

    /// The same with these degrees of freedom.
    pub const fn with_degrees_of_freedom(mut self, degrees_of_freedom: f64) -> Self {
        self.input.degrees_of_freedom = degrees_of_freedom;
        self
    }
}

impl Usual<'_> {
    /// What the line says: who approved the value, or what is usual.
    pub fn note(&self, usual: Note) -> Note {
        match self.approved() {
            None => usual,
            Some(approved) => Note::Approved {
                value: approved.shown(),
                person: approved.approval.person.clone(),
                on: approved.approval.on,
                due: approved.approval.review_due,
            },
        }
    }
}
