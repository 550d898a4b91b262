//! A wrong line of measurement.

use clap::Args;
use metrology::effect::{Effect, EffectName, ValidFor};
use metrology::geometry_errors::{
    faces_out_of_parallel_mm, leaning_line, off_axis, opposite_grooves, tilted_faces,
};
use metrology::source::{Confidence, Source};
use metrology::units::Angle;

use super::{leading, plain};
use crate::document::{Correct, Instead, Why};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::length;
use crate::option::Within;
use crate::say;
use crate::words::{self, number};

#[derive(Args)]
pub struct OffAxis {
    #[arg(long, value_name = "LEN")]
    diameter: String,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    offset: String,
}

impl OffAxis {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, diameter) = leading("--diameter", &self.diameter)?;
        plain(
            unit,
            off_axis(diameter, length("--offset", &self.offset)?),
            Why::OffAxis,
            Instead::LargestAcross,
        )
    }
}

#[derive(Args)]
pub struct LeaningLine {
    #[arg(long, value_name = "LEN")]
    diameter: String,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::TILT))]
    tilt: f64,
}

impl LeaningLine {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, diameter) = leading("--diameter", &self.diameter)?;
        plain(
            unit,
            leaning_line(diameter, Angle::from_degrees(self.tilt)),
            Why::LeaningLine,
            Instead::SmallestAlong,
        )
    }
}

#[derive(Args)]
pub struct TiltedFaces {
    #[arg(long, value_name = "LEN")]
    length: String,
    #[arg(long, value_name = "LEN")]
    face: String,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::TILT))]
    tilt: f64,
}

impl TiltedFaces {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, between) = leading("--length", &self.length)?;
        plain(
            unit,
            tilted_faces(
                between,
                length("--face", &self.face)?,
                Angle::from_degrees(self.tilt),
            ),
            Why::TiltedFaces,
            Instead::SmallestRocked,
        )
    }
}

#[derive(Args)]
pub struct Parallelism {
    #[arg(long, value_name = "LEN")]
    error: String,
    #[arg(long, value_name = "LEN")]
    face: String,
    #[arg(long, value_name = "LEN")]
    distance: String,
}

impl Parallelism {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, face) = leading("--face", &self.face)?;
        let error = length("--error", &self.error)?;
        let distance = length("--distance", &self.distance)?;
        if !(face > 0.0 && distance.abs() <= face) {
            return Err(Failure::Input(say!(
                "correct-refused.distance",
                option = "--distance",
                distance = number::size(distance, unit),
                face = number::size(face, unit)
            )));
        }
        // Faces are out of parallel by so little that the angle is its tangent.
        let angle = Angle::from_radians(error / face);
        let half_width = faces_out_of_parallel_mm(angle, distance)
            .map_err(|error| Failure::refused_in(&error, unit))?;
        Ok(Correct {
            unit,
            effect: Effect {
                name: EffectName::Parallelism,
                correction_mm: 0.0,
                valid_for: ValidFor::NearMiddle,
                source: Source::Geometry,
                confidence: Confidence::Solid,
            },
            half_width_mm: Some(half_width),
            why: words::word(&Why::Parallelism),
            instead: Instead::MiddleOfFaces,
            notes: Vec::new(),
        })
    }
}

#[derive(Args)]
pub struct OppositeGrooves {
    #[arg(long, value_name = "LEN")]
    distance: String,
    #[arg(long, value_name = "LEN")]
    pitch: String,
}

impl OppositeGrooves {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, distance) = leading("--distance", &self.distance)?;
        plain(
            unit,
            opposite_grooves(distance, length("--pitch", &self.pitch)?),
            Why::OppositeGrooves,
            Instead::SquareDistance,
        )
    }
}
