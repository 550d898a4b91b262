//! Calibration of the micrometers themselves: points along the screw, stacks of gauge blocks, error curve with its uncertainty,
//! the faces, and what several criteria say of the same curve. Error is indicated less true, everywhere.

mod blocks;
mod criterion;
mod curve;
mod error;
mod faces;
mod job;
mod micrometer;
mod plugs;
mod points;
mod traceability;

pub use crate::uncertainty::COVERAGE;
pub use blocks::{Block, Grade, Known, MOST_BLOCKS, Stack, propose};
pub use criterion::{
    Criterion, Guard, Judged, Norm, Shape, Uncertain, din_parallelism, din_span, inch_limit,
};
pub use curve::{CalibrationLine, Curve, CurveAt, line_code};
pub use error::CalibrationError;
pub use faces::{FormFound, FormJudged};
pub use job::{Calibration, Conditions, Earlier, Faces, Micrometer, Point};
pub use micrometer::{Calibrated, CalibrationNote, WIDE_GAP, calibrate};
pub use plugs::{FAR_FROM_PLUG, PairCheck, PairChecked, Plug, check_pair, holds_with};
pub use points::{usual_points, widest_gap};
pub use traceability::{Accreditation, Certificate, Traceability, Traced};

#[cfg(test)]
mod tests;
