//! What one measurement starts from: everything the technician states, as stated.
//!
//! A [`Job`] is the whole input of [`inspect`](super::inspect). It is stored with its result, so that the result
//! can be computed again years later; every length in it keeps the text, digits and unit it was entered with.

use jiff::{Timestamp, civil::Date};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::approval::{Approved, DefaultName, OwnUncertainty, Usual};
use super::approval::{StudyOfOther, StudyPrior};
use super::drawing_terms::Terms;
use super::equipment::{Contacts, Instrument, Standard, Thermometer, WireSet};
use super::features::Feature;
use super::measured_with::MeasuredWith;
use super::of_thread::{Made, ThreadDiameter};
use super::place::Place;
use super::state::{Overrides, Service};
use crate::limits::Limits;
use crate::message::Value;
use crate::uncertainty::statistics::{Pooled, Sample};
use crate::units::{Celsius, Entered};

/// One characteristic of one part, measured once.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// What lies on the bench.
    pub part: Part,
    /// Who measured.
    pub person: Option<String>,
    /// When the readings were taken.
    pub measured_at: Timestamp,
    /// The day that was at the bench, by which due dates are judged.
    pub measured_on: Date,
    /// What is measured, and against which limits.
    pub characteristic: Characteristic,
    pub instrument: Instrument,
    /// The measuring contacts in it.
    pub contacts: Contacts,
    /// Three wires between the contacts and the thread, where the job is done with them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wires: Option<WireSet>,
    /// The setting standard that zero was set on.
    pub standard: Standard,
    /// Readings on the setting standard.
    pub zero: Zero,
    /// Readings on the part, place by place.
    pub readings: Vec<Place>,
    /// Readings that were taken again: kept as they were, and not counted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub struck: Vec<Struck>,
    /// Temperatures and materials; without them no temperature correction is made.
    pub temperature: Option<Temperature>,
    /// What is known from earlier work.
    #[serde(default)]
    pub prior: Prior,
    /// The decision rule that was agreed.
    pub rule: RuleName,
    /// Flagged readings that were looked into and left standing, each with its reason.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left: Vec<Left>,
    /// What the verdict has to cover, where the drawing or the order says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scope: Option<Scope>,
    /// The room and the materials, where no temperatures were read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<Room>,
    /// How the part was held while it was measured, where that was stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<Held>,
    /// Values that the laboratory approved in the place of the program's defaults.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub approved: Vec<Approved>,
    /// What is to be known of the job beside its numbers: as it was typed, or a code.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Value>,
    /// What was put aside on purpose, with the reason.
    #[serde(default, skip_serializing_if = "Overrides::is_empty")]
    pub overrides: Overrides,
    /// What the part is for, where a wrong acceptance hurts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<Service>,
    /// Whether, and how, the size is found by Monte Carlo as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub monte_carlo: Option<MonteCarlo>,
}

impl Job {
    /// Whether a flagged reading was looked into and left, with a reason.
    pub fn left_standing(&self, reading: &Entered) -> bool {
        let size = reading.value();
        self.left.iter().any(|left| left.reading.value() == size)
    }

    /// Whether a zero that is not where it stood was looked into: a reading of it was left with a reason.
    pub fn zero_left_standing(&self) -> bool {
        let mut readings = self.zero.before.iter().chain(&self.zero.after);
        readings.any(|reading| self.left_standing(reading))
    }

    /// What it is measured with, as far as the physics of a feature asks.
    pub fn with(&self, limits: Limits) -> MeasuredWith<'_> {
        let read = self.temperature.as_ref();
        MeasuredWith {
            contacts: &self.contacts,
            force: self.contacts.force.or(self.instrument.force),
            materials: read.map(|read| (&*read.part_material, &*read.standard_material)),
            hardness_hv: self.part.hardness_hv,
            limits,
        }
    }

    /// The thermometer that the temperatures were read with, where it was named.
    pub fn thermometer(&self) -> Option<&Thermometer> {
        self.temperature.as_ref()?.thermometer.as_deref()
    }

    /// Every temperature that was read or stated: of part, standard and instrument, or of the room.
    pub fn temperatures(&self) -> impl Iterator<Item = Celsius> {
        let read = self.temperature.iter();
        let read = read.flat_map(|read| [Some(read.part), Some(read.standard), read.instrument]);
        let room = self.room.as_ref().and_then(|room| room.range);
        read.flatten().chain(room.into_iter().flatten())
    }

    /// What the part is made of: steel where nobody says.
    pub fn part_material(&self) -> &str {
        let read = self.temperature.as_ref().map(|read| &read.part_material);
        read.or(self
            .room
            .as_ref()
            .and_then(|room| room.part_material.as_ref()))
            .map_or("steel", String::as_str)
    }

    /// Whether it was said what the part is made of.
    pub fn material_is_stated(&self) -> bool {
        let of_room = self.room.as_ref();
        self.temperature.is_some() || of_room.is_some_and(|room| room.part_material.is_some())
    }

    /// What the setting standard is made of: steel where nobody says.
    pub fn standard_material(&self) -> &str {
        let read = self
            .temperature
            .as_ref()
            .map(|read| &read.standard_material);
        read.or(self
            .room
            .as_ref()
            .and_then(|room| room.standard_material.as_ref()))
            .map_or("steel", String::as_str)
    }
}

/// How to run a Monte Carlo propagation; with the job it gives the same digits on any machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MonteCarlo {
    /// Chooses the random numbers.
    pub seed: u64,
    /// Trials not to be exceeded.
    pub most_trials: u64,
    /// Significant digits of the standard uncertainty that the trials must settle, and to which the budget is held: 1,
    /// or 2.
    pub digits: u32,
}

impl MonteCarlo {
    /// Trials not to be exceeded where nobody says: enough for two digits of most sizes, in some seconds.
    pub const MOST_TRIALS: u64 = 10_000_000;
}

/// The part and where it belongs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// What it is called.
    pub name: String,
    /// Drawing number and revision.
    pub drawing: Option<String>,
    /// Order or job number.
    pub order: Option<String>,
    /// Lot.
    pub lot: Option<String>,
    /// Sample number within the lot.
    pub sample: Option<String>,
    /// Number of the piece in the order of work.
    pub piece: Option<String>,
    /// Serial number marked on the part.
    pub serial: Option<String>,
    /// Number of the characteristic on the drawing.
    pub characteristic: Option<String>,
    /// Vickers hardness, where it is known: tells whether the contacts mark the part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardness_hv: Option<f64>,
    /// For whom it is measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub customer: Option<String>,
    /// The day on which it came in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub received: Option<Date>,
    /// How it was then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
}

/// What is measured.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Characteristic {
    /// A diameter of a thread; its limits follow from the designation.
    Thread {
        /// The designation as written on the drawing.
        designation: String,
        /// Which of the three diameters.
        diameter: ThreadDiameter,
        /// What the drawing says beside it: limits of its own, a coating, the plane of a taper thread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        terms: Option<Box<Terms>>,
    },
    /// A size with limits stated on the drawing.
    Stated {
        /// What the drawing calls it.
        name: String,
        /// Smallest permitted size.
        lower: Option<Entered>,
        /// Largest permitted size.
        upper: Option<Entered>,
    },
    /// A feature with a way of its own from readings to size.
    Feature {
        /// What the drawing calls it.
        name: String,
        /// Smallest permitted size.
        lower: Option<Entered>,
        /// Largest permitted size.
        upper: Option<Entered>,
        /// Which feature, and what it needs to know.
        feature: Box<Feature>,
    },
}

/// Readings on the setting standard, as shown (not the difference from its size).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zero {
    /// Before the job.
    pub before: Vec<Entered>,
    /// After the job; closes the window of doubt.
    #[serde(default)]
    pub after: Vec<Entered>,
    /// The pair that zero was set with, where it was noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contacts: Option<String>,
    /// How far the zero may be off, where none was set and a reason is given for that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Entered>,
    /// The zero error that this pair last showed in this micrometer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last: Option<Entered>,
    /// The record that shows it; none where it is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_record: Option<u64>,
}

/// A reading that was struck out and taken again; nothing is lost, and the report says why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Struck {
    /// As shown.
    pub reading: Entered,
    /// Why it does not count: as it was typed, or a code.
    pub reason: Value,
}

impl Struck {
    /// Whether somebody typed the reason; at the bench it is the program that notes it.
    pub const fn was_typed(&self) -> bool {
        matches!(self.reason, Value::Text(_))
    }
}

/// A reading that looks like a mistake, was looked into and left standing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Left {
    /// As shown.
    pub reading: Entered,
    /// Why it counts all the same: as it was typed, or a code.
    pub reason: Value,
}

crate::codes! {
    /// What a verdict covers.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Scope "scope" {
        /// The whole feature, wherever it is measured.
        Part "part",
        /// The one place that was measured.
        Place "place",
    }
}

/// How a part is held while it is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// In the hand, which warms one side of it.
    Hand,
    /// On a table or in a stand, come to the temperature of the room.
    Table,
}

/// Half angles of the part's flanks as they were measured.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flanks {
    /// Half angle of one flank, degrees.
    pub one: f64,
    /// Half angle of the other flank, degrees.
    pub other: f64,
    /// How far each may be off, minutes of arc.
    pub within: f64,
}

/// The room where no temperatures were read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// The lowest and the highest temperature of the room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range: Option<[Celsius; 2]>,
    /// Material of the part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part_material: Option<String>,
    /// Material of the standard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard_material: Option<String>,
}

/// Temperatures while measuring.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Temperature {
    /// Of the part.
    pub part: Celsius,
    /// Of the setting standard when zero was set.
    pub standard: Celsius,
    /// Of the micrometer; that of the standard where not stated.
    pub instrument: Option<Celsius>,
    /// Standard uncertainty of each temperature, kelvins.
    pub standard_uncertainty: f64,
    /// Material of the part.
    pub part_material: String,
    /// Material of the standard.
    pub standard_material: String,
    /// The thermometer that they were read with, where it was named; the stated uncertainty is then that of the reading
    /// alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thermometer: Option<Box<Thermometer>>,
}

/// What earlier work tells about this set-up.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prior {
    /// Standard deviation of one reading, pooled from earlier series.
    pub repeatability: Option<Entered>,
    /// Degrees of freedom of it.
    pub degrees_of_freedom: Option<f64>,
    /// Half-width of what form (taper, ovality, roughness) may add where nothing was measured.
    pub form: Option<Entered>,
    /// Largest zero error or drift that is put up with.
    pub drift_limit: Option<Entered>,
    /// How far the half angles of the part's flanks may be off, minutes of arc; as the way of making tells where not
    /// stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flank_angle: Option<f64>,
    /// Half angles of the part's flanks, where they were measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flanks: Option<Flanks>,
    /// How the thread was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<Made>,
    /// How far the pitch between neighbouring threads may be off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pitch_error: Option<Entered>,
    /// The laboratory's own uncertainty of the size by this set-up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own: Option<OwnUncertainty>,
    /// Form between places that earlier records of the part show.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form_history: Option<FormHistory>,
    /// What an approved study tells of this set-up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub study: Option<StudyPrior>,
    /// One of this set-up that measured something else, where none holds for what this job measures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub study_of_other: Option<StudyOfOther>,
}

/// Form between places of a part, as its earlier records show it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormHistory {
    /// Standard deviation between places, pooled over the records, millimetres.
    pub standard_deviation: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// The records, by their names.
    pub records: Vec<String>,
}

impl FormHistory {
    /// Fewer degrees of freedom tell less than the default does, and fewer records may all be of one odd piece (a proposal,
    /// no source).
    const LEAST: (f64, usize) = (9.0, 3);

    /// Pooled from the place means of each record, millimetres, beside its name; nothing where there are too few to tell.
    ///
    /// What the readings scatter at one place is in it, which is on the safe side.
    pub fn of(records: &[(String, Vec<f64>)]) -> Option<Self> {
        let samples = records
            .iter()
            .filter_map(|(name, places)| Some((name.clone(), Pooled::from(Sample::of(places)?))));
        let (records, samples): (Vec<String>, Vec<Pooled>) = samples.unzip();
        let pooled = Pooled::of(&samples)?;
        let (degrees_of_freedom, least) = Self::LEAST;
        let enough = pooled.degrees_of_freedom >= degrees_of_freedom && samples.len() >= least;
        enough.then_some(Self {
            standard_deviation: pooled.standard_deviation,
            degrees_of_freedom: pooled.degrees_of_freedom,
            records,
        })
    }
}

/// The agreed decision rule, as named in the contract or on the drawing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleName {
    /// Name of the rule.
    pub name: String,
    /// Its parameter, where it takes one, with the digits it was agreed with.
    #[serde(with = "rust_decimal::serde::str_option")]
    pub parameter: Option<Decimal>,
    /// Whether it was agreed, or taken because none was named.
    pub assumed: bool,
}

impl Job {
    /// What is taken for a default.
    pub fn usual(&self, name: DefaultName) -> Usual<'_> {
        Usual::among(&self.approved, name, self.measured_on)
    }
}
