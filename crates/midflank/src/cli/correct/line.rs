//! A wrong line of measurement.

use clap::Args;
use metrology::effect::Effect;
use metrology::geometry_errors::{
    faces_out_of_parallel_mm, leaning_line, off_axis, opposite_grooves, tilted_faces,
};
use metrology::source::{Confidence, Source};
use metrology::units::Angle;

use super::{Failure, leading, plain};
use crate::cli::thread::length;
use crate::document::Correct;
use crate::given;

#[derive(Args)]
pub struct OffAxis {
    /// Diameter of the part
    #[arg(long, value_name = "LEN")]
    diameter: String,
    /// Distance of the line from the axis
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    offset: String,
}

impl OffAxis {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, diameter) = leading("diameter", &self.diameter)?;
        plain(
            unit,
            off_axis(diameter, length("offset", &self.offset)?),
            "a chord is shorter than the diameter, by about 2 e²/d",
            "the part can be measured again: search for the largest reading across the axis",
        )
    }
}

#[derive(Args)]
pub struct LeaningLine {
    /// Diameter of the part
    #[arg(long, value_name = "LEN")]
    diameter: String,
    /// Angle of the line to the normal of the axis
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = given::TILT)]
    tilt: f64,
}

impl LeaningLine {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, diameter) = leading("diameter", &self.diameter)?;
        plain(
            unit,
            leaning_line(diameter, Angle::from_degrees(self.tilt)),
            "a line that leans is longer, by about d φ²/2",
            "the part can be measured again: search for the smallest reading along the axis",
        )
    }
}

#[derive(Args)]
pub struct TiltedFaces {
    /// Length of the part between its parallel sides
    #[arg(long, value_name = "LEN")]
    length: String,
    /// Width of the face
    #[arg(long, value_name = "LEN")]
    face: String,
    /// Tilt of the faces on the part
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = given::TILT)]
    tilt: f64,
}

impl TiltedFaces {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, between) = leading("length", &self.length)?;
        plain(
            unit,
            tilted_faces(
                between,
                length("face", &self.face)?,
                Angle::from_degrees(self.tilt),
            ),
            "the edges of the faces touch first: L cos θ + w sin θ is read",
            "the part can be measured again: rock it and take the smallest reading",
        )
    }
}

#[derive(Args)]
pub struct Parallelism {
    /// Parallelism error from edge to edge of the face
    #[arg(long, value_name = "LEN")]
    error: String,
    /// Width of the face
    #[arg(long, value_name = "LEN")]
    face: String,
    /// Distance along the face between the single wire and the middle of the pair
    #[arg(long, value_name = "LEN")]
    distance: String,
}

impl Parallelism {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, face) = leading("face", &self.face)?;
        let error = length("error", &self.error)?;
        let distance = length("distance", &self.distance)?;
        if !(face > 0.0 && distance.abs() <= face) {
            return Err(Failure::Input(format!(
                "--distance: {distance} mm lies outside a face of {face} mm"
            )));
        }
        // Faces are out of parallel by so little that the angle is its tangent.
        let angle = Angle::from_radians(error / face);
        let half_width = faces_out_of_parallel_mm(angle, distance).map_err(Failure::input)?;
        Ok(Correct {
            unit,
            effect: Effect {
                name: "faces out of parallel, over wires",
                correction_mm: 0.0,
                valid_for: "single wire and pair off the middle of the faces by no more than this",
                source: Source::Geometry,
                confidence: Confidence::Solid,
            },
            half_width_mm: Some(half_width),
            why: "the gap differs from place to place on the faces, at most by angle times distance; which way is \
                  not known, so it is a line of the budget and no correction"
                .to_owned(),
            instead: "the same two places set the zero: measure and set zero at the middle of the faces",
            notes: Vec::new(),
        })
    }
}

#[derive(Args)]
pub struct OppositeGrooves {
    /// Straight distance of the centres, as reported
    #[arg(long, value_name = "LEN")]
    distance: String,
    /// Pitch
    #[arg(long, value_name = "LEN")]
    pitch: String,
}

impl OppositeGrooves {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, distance) = leading("distance", &self.distance)?;
        plain(
            unit,
            opposite_grooves(distance, length("pitch", &self.pitch)?),
            "the groove opposite lies half a pitch along the axis: the straight line is longer than the square one, \
             by about P²/(8 S)",
            "the instrument reports the distance square to the axis, or the number of starts is even",
        )
    }
}
