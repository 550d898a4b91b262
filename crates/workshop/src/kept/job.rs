//! The stored form of a job, schema 1: what an inspection is computed from.

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::inspection as now;
use metrology::message::Value as Said;

use super::feature::Feature;
use super::kept;

/// The schema number of jobs.
pub const JOB: u32 = 1;

kept! { Job of now::Job {
    part: Part,
    person: Option<String>,
    measured_at: Timestamp,
    measured_on: Date,
    characteristic: Characteristic,
    instrument: Instrument,
    contacts: Contacts,
    wires: Option<WireSet>,
    standard: Standard,
    zero: Zero,
    readings: Vec<Place>,
    struck: Vec<Struck>,
    left: Vec<Left>,
    scope: Option<Scope>,
    room: Option<Room>,
    temperature: Option<Temperature>,
    prior: Prior,
    rule: RuleName,
    held: Option<Held>,
    approved: Vec<Approved>,
    notes: Vec<Said>,
    overrides: Overrides,
    service: Option<Service>,
    monte_carlo: Option<MonteCarlo>,
} }

kept! { MonteCarlo of now::MonteCarlo { seed: u64, most_trials: u64, digits: u32 } }

kept! { Part of now::Part {
    name: String,
    drawing: Option<String>,
    order: Option<String>,
    lot: Option<String>,
    sample: Option<String>,
    piece: Option<String>,
    serial: Option<String>,
    characteristic: Option<String>,
    hardness_hv: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    customer: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    received: Option<Date>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    condition: Option<String>,
} }

kept! { Characteristic of enum now::Characteristic {
    Thread { designation: String, diameter: ThreadDiameter, terms: Option<Terms> },
    Stated { name: String, lower: Option<String>, upper: Option<String> },
    Feature { name: String, lower: Option<String>, upper: Option<String>, feature: Feature },
} }

kept! { Terms of now::Terms {
    lower: Option<String>,
    upper: Option<String>,
    origin: Option<String>,
    coating: Option<CoatingTerms>,
    plane: Option<Plane>,
} }

kept! { CoatingTerms of now::CoatingTerms {
    thickness: String,
    state: CoatingState,
    limits_hold: Option<CoatingState>,
} }

kept! { CoatingState of enum now::CoatingState { BeforeCoating, AfterCoating } }

kept! { Plane of now::Plane { at: String, within: Option<String> } }

kept! { ThreadDiameter of enum now::ThreadDiameter { PitchDiameter, MajorDiameter, MinorDiameter } }

kept! { Instrument of now::Instrument {
    id: String,
    range: [String; 2],
    resolution: Option<String>,
    certificate: Option<String>,
    due: Option<Date>,
    certificate_date: Option<Date>,
    drift: Option<YearlyDrift>,
    errors: InstrumentErrors,
    force: Option<f64>,
    spindle_turns: Option<bool>,
    state: State,
} }

kept! { InstrumentErrors of enum now::InstrumentErrors {
    Within { maximum_permissible_error: String },
    Curve(curve: CertifiedCurve),
} }

kept! { CertifiedCurve of now::CertifiedCurve {
    points: Vec<CurvePoint>,
    expanded_uncertainty: String,
    coverage_factor: f64,
    periodic_error: Option<String>,
} }

kept! { CurvePoint of now::CurvePoint { at: String, error: String } }

kept! { Contacts of now::Contacts {
    id: String,
    kind: ContactKind,
    included_angle: Option<f64>,
    pitch_range: Option<[Pitch; 2]>,
    half_angle_limit: Option<f64>,
    members: Option<[String; 2]>,
    tip_radius: Option<String>,
    flatness: Option<String>,
    parallelism: Option<String>,
    face: Option<String>,
    thickness: Option<String>,
    material: Option<String>,
    force: Option<f64>,
    certificate: Option<String>,
    due: Option<Date>,
    state: State,
} }

kept! { ContactKind of enum now::ContactKind {
    VAndCone, Flat, SmallFlat, Disc, SphereAndFlat, Spheres, Blade, KnifeEdge, Point, BladeAndPoint, VAnvil,
} }

kept! { Pitch of enum now::PitchEntry { Length(length: String), PerInch(count: String) } }

kept! { Standard of now::Standard {
    id: String,
    size: String,
    expanded_uncertainty: String,
    coverage_factor: f64,
    form: StandardForm,
    certificate: Option<String>,
    certificate_date: Option<Date>,
    drift: Option<YearlyDrift>,
    due: Option<Date>,
    state: State,
} }

kept! { StandardForm of enum now::StandardForm { VAndConeRod, ThreadPlug, Plain, Closed } }

kept! { WireSet of now::WireSet {
    id: String,
    diameter: String,
    expanded_uncertainty: String,
    coverage_factor: f64,
    calibrated_under_force: bool,
    material: Option<String>,
    certificate: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    certificate_date: Option<Date>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    drift: Option<YearlyDrift>,
    due: Option<Date>,
    state: State,
} }

kept! { Gauge of now::Gauge {
    id: String,
    member: GaugeMember,
    designation: String,
    size: String,
    expanded_uncertainty: String,
    coverage_factor: f64,
    wear_limit: Option<String>,
    certificate: Option<String>,
    certificate_date: Option<Date>,
    drift: Option<YearlyDrift>,
    due: Option<Date>,
    state: State,
} }

kept! { GaugeMember of enum now::GaugeMember { GoPlug, NotGoPlug, GoRing, NotGoRing } }

kept! { Zero of now::Zero {
    before: Vec<String>,
    after: Vec<String>,
    contacts: Option<String>,
    allowance: Option<String>,
    last: Option<String>,
    last_record: Option<u64>,
} }

kept! { Place of now::Place { along: Option<Said>, angle: Option<f64>, readings: Vec<String> } }

kept! { Left of now::Left { reading: String, reason: Said } }

kept! { Scope of enum now::Scope { Part, Place } }

kept! { Made of enum now::Made { Ground, Rolled, Cut } }

kept! { Flanks of now::Flanks { one: f64, other: f64, within: f64 } }

kept! { Room of now::Room {
    range: Option<[f64; 2]>,
    part_material: Option<String>,
    standard_material: Option<String>,
} }

kept! { Struck of now::Struck { reading: String, reason: Said } }

kept! { Temperature of now::Temperature {
    part: f64,
    standard: f64,
    instrument: Option<f64>,
    standard_uncertainty: f64,
    part_material: String,
    standard_material: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    thermometer: Option<Thermometer>,
} }

kept! { Thermometer of now::Thermometer {
    id: String,
    error: f64,
    expanded_uncertainty: f64,
    coverage_factor: f64,
    certificate: Option<String>,
    certificate_date: Option<Date>,
    drift: Option<KelvinDrift>,
    due: Option<Date>,
    state: State,
} }

kept! { KelvinDrift of now::KelvinDrift { per_year: f64, certificates: Option<u32> } }

kept! { Prior of now::Prior {
    repeatability: Option<String>,
    degrees_of_freedom: Option<f64>,
    form: Option<String>,
    drift_limit: Option<String>,
    flank_angle: Option<f64>,
    flanks: Option<Flanks>,
    made: Option<Made>,
    pitch_error: Option<String>,
    own: Option<OwnUncertainty>,
    form_history: Option<FormHistory>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    study: Option<StudyPrior>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    study_of_other: Option<StudyOfOther>,
} }

kept! { StudyOfOther of now::StudyOfOther {
    study: String,
    measured: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sizes: Option<[String; 2]>,
} }

kept! { StudyPrior of now::StudyPrior {
    study: String,
    repeatability: String,
    degrees_of_freedom: f64,
    reproducibility: Option<(String, f64)>,
    approval: Approval,
} }

kept! { FormHistory of now::FormHistory { standard_deviation: f64, degrees_of_freedom: f64, records: Vec<String> } }

kept! { OwnUncertainty of now::OwnUncertainty {
    expanded_uncertainty: String,
    coverage_factor: f64,
    source: String,
    approval: Option<Approval>,
    sizes: Option<[String; 2]>,
    room: Option<[f64; 2]>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    unshown: Option<f64>,
} }

kept! { Approval of now::Approval { evidence: String, person: String, on: Date, review_due: Date } }

kept! { Approved of now::Approved { what: DefaultName, value: Amount, approval: Approval } }

kept! { Amount of enum now::Amount { Length(length: String), Number(number: f64), Range(range: [f64; 2]) } }

kept! { DefaultName of enum now::DefaultName {
    FlankAngleGround, FlankAngleRolled, FlankAngleCut, PitchErrorGround, PitchError, HalfAngleLimit, Force, HiddenWear,
    RepeatabilityFlat, RepeatabilityVAndCone, RepeatabilityWires, RepeatabilityBladeAndPoint, RepeatabilitySoft,
    RepeatabilityOther, Form, Room, DriftLimit, PeriodicError, Flatness, Parallelism, StandardDrift, MicrometerDrift,
    HandGradient, Plane, ForceWires, PartToStandard,
} }

kept! { YearlyDrift of now::YearlyDrift { per_year: String, certificates: Option<u32>, apart: Option<u32> } }

kept! { Held of enum now::Held { Hand, Table } }

kept! { RuleName of now::RuleName { name: String, parameter: Option<String>, assumed: bool } }

kept! { Overrides of now::Overrides { zero: Option<String>, equipment: Option<String>, contacts: Option<String> } }

kept! { State of enum now::State { Active, Quarantined, Out, ReferenceOnly, Retired, Lost } }

kept! { Service of enum now::Service { Pressure, Lifting, Aircraft, Electrical, Medical, Safety } }
