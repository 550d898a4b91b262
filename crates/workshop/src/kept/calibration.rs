//! The stored form of a calibration, schema 1: what it is computed from. Its result is stored as it is printed.

use jiff::civil::Date;
use metrology::calibration as now;

use super::kept;
use crate::gauge_record::calibration as done;
use crate::gauge_record::certificate::Heading;

/// The schema number of calibrations.
pub const CALIBRATION: u32 = 1;
/// The schema number of their results.
pub const CALIBRATED: u32 = 1;

kept! { Worked of done::Worked {
    of: Of,
    heading: Heading,
    due: Option<Date>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    received: Option<Date>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    condition: Option<String>,
    person: String,
} }

kept! { Of of enum done::Of { Micrometer(calibration: Calibration), Pair(check: PairCheck) } }

kept! { Calibration of now::Calibration {
    micrometer: Micrometer,
    on: Date,
    criterion: Criterion,
    blocks: Vec<Block>,
    found: Vec<Point>,
    left: Vec<Point>,
    repeatability: Option<Earlier>,
    conditions: Conditions,
    faces: Faces,
} }

kept! { Micrometer of now::Micrometer {
    id: String,
    range: [String; 2],
    resolution: String,
    turn: String,
    frame_per_ten_newtons: Option<String>,
} }

kept! { Criterion of now::Criterion { shape: Shape, limit: String, guard: Guard } }

kept! { Shape of enum now::Shape { Span, EitherWay } }

kept! { Guard of enum now::Guard { Simple, Guarded } }

kept! { Block of now::Block { nominal: String, known: Known } }

kept! { Known of enum now::Known {
    Certified { deviation: String, expanded_uncertainty: String, coverage_factor: f64 },
    Grade(grade: Grade),
} }

kept! { Grade of enum now::Grade { K, DoubleZero, Zero, One, Two } }

kept! { Point of now::Point { blocks: Vec<String>, readings: Vec<String> } }

kept! { Earlier of now::Earlier { standard_deviation: String, degrees_of_freedom: f64 } }

kept! { Conditions of now::Conditions { off_reference: f64, apart: f64, force_within: f64 } }

kept! { Faces of now::Faces {
    flatness: Vec<FormFound>,
    flatness_limit: Option<String>,
    parallelism: Option<FormFound>,
    parallelism_limit: Option<String>,
} }

kept! { FormFound of enum now::FormFound {
    Bands { count: f64, wavelength: String },
    Ball { readings: Vec<String> },
    Stated { value: String, standard_uncertainty: String },
} }

kept! { PairCheck of now::PairCheck {
    contacts: String,
    instrument: String,
    resolution: String,
    limit: String,
    guard: Guard,
    plugs: [Plug; 2],
} }

kept! { Plug of now::Plug {
    id: String,
    pitch: String,
    size: String,
    expanded_uncertainty: String,
    coverage_factor: f64,
    readings: Vec<String>,
} }
