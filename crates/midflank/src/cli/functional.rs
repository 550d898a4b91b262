//! `midflank functional`: what a GO gauge feels, and why it may refuse a good pitch diameter.

use clap::Args;
use metrology::contacts::MeasuredThread;
use metrology::functional::{
    AngleTerm, FlankInMesh, FormErrors, FunctionalDifference, functional_difference,
};
use metrology::limits::{Engagement, ThreadLimits};
use metrology::units::{Angle, Length};
use metrology::wires::Side;

use crate::document::{Functional, FunctionalDocument};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::{entered, exactly, mm, optional_length, thread};
use crate::option::Within;
use crate::output::{Output, width};
use crate::report::functional::answer;
use crate::say;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "DESIGNATION")]
    designation: String,
    #[arg(long, value_name = "LEN")]
    size: String,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pitch_error: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        conflicts_with = "pitch_error"
    )]
    error_per_pitch: Option<String>,
    #[arg(
        value_parser = Within(given::HALF_ANGLE_ERROR),
        long,
        value_name = "DEG,DEG",
        value_delimiter = ',',
        allow_hyphen_values = true
    )]
    half_angle_errors: Vec<f64>,
    #[arg(long, value_name = "LEN")]
    engagement: Option<String>,
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let functional = solve(arguments)?;
    if arguments.json {
        output.json(&FunctionalDocument::of(&functional))
    } else {
        output.text(&answer(&functional, width()))
    }
}

fn solve(arguments: &Arguments) -> Result<Functional, Failure> {
    let (limits, thread) = thread(&arguments.designation)?;
    let size = entered("--size", &arguments.size)?;
    let engagement_mm = engagement(arguments, &limits)?;
    let pitch_error_mm = pitch_error(arguments, &thread, engagement_mm)?;
    let half_angle_errors = if arguments.half_angle_errors.is_empty() {
        (0.0, 0.0)
    } else {
        let &[one, other] = exactly(
            "--half-angle-errors",
            &arguments.half_angle_errors,
            "0.5,-0.3",
        )?;
        (one, other)
    };
    let errors = FormErrors {
        side: thread.side,
        pitch_mm: thread.pitch_mm,
        leading_half_angle: thread.half_angle,
        following_half_angle: thread.half_angle,
        flank: FlankInMesh {
            to_crest: thread.to_crest_mm / thread.pitch_mm,
            to_root: thread.to_root_mm / thread.pitch_mm,
        },
        pitch_error_mm,
        leading_angle_error: Angle::from_degrees(half_angle_errors.0),
        following_angle_error: Angle::from_degrees(half_angle_errors.1),
    };
    let difference = functional_difference(&errors, AngleTerm::Published)
        .map_err(|error| Failure::refused_in(&error, limits.unit))?;
    let by_sign = functional_difference(&errors, AngleTerm::SignAware)
        .map_err(|error| Failure::refused_in(&error, limits.unit))?;
    let felt_mm = difference.functional_size_mm(thread.side, mm(&size));
    // The limit decides on an exact length.
    let functional_size = Length::nearest_mm(felt_mm).map_err(|error| Failure::refused(&error))?;
    let within = limits.pitch_diameter;
    let maximum_material = match thread.side {
        Side::External => within.upper,
        Side::Internal => within.lower,
    }
    .ok_or_else(|| {
        Failure::Input(say!(
            "functional-refused.no-limit",
            designation = limits.designation
        ))
    })?;
    let go_passes = match thread.side {
        Side::External => functional_size <= maximum_material,
        Side::Internal => functional_size >= maximum_material,
    };
    Ok(Functional {
        designation: limits.designation,
        unit: limits.unit,
        side: thread.side,
        size: size.value(),
        limits: within,
        pitch_error_mm,
        half_angle_errors,
        engagement_mm,
        pitch_mm: thread.pitch_mm,
        difference,
        angle_term_by_sign_mm: by_sign.angle_term_mm,
        felt_mm,
        maximum_material,
        go_passes,
        permitted_pitch_error_mm: permitted(
            &difference,
            thread.side,
            size.value(),
            maximum_material,
        ),
        notes: crate::words::all_said(&limits.assumed),
    })
}

/// `None` where the thread is refused with no pitch error at all.
fn permitted(
    difference: &FunctionalDifference,
    side: Side,
    size: Length,
    maximum_material: Length,
) -> Option<f64> {
    let room = match side {
        Side::External => maximum_material - size,
        Side::Internal => size - maximum_material,
    };
    (room.mm() >= difference.angle_term_mm).then(|| difference.permitted_pitch_error_mm(room.mm()))
}

fn engagement(arguments: &Arguments, limits: &ThreadLimits) -> Result<Option<f64>, Failure> {
    let given = optional_length("--engagement", arguments.engagement.as_ref())?;
    if given.is_some_and(|length| !(1e-3..=1e5).contains(&length)) {
        return Err(Failure::Input(say!(
            "functional-refused.engagement",
            option = "--engagement"
        )));
    }
    Ok(given.or(match limits.engagement {
        Some(Engagement::Length(length)) => Some(length.mm()),
        Some(Engagement::Pitches(pitches)) => Some(f64::from(pitches) * limits.pitch.mm()),
        _ => None,
    }))
}

fn pitch_error(
    arguments: &Arguments,
    thread: &MeasuredThread,
    engagement_mm: Option<f64>,
) -> Result<f64, Failure> {
    let whole = optional_length("--pitch-error", arguments.pitch_error.as_ref())?;
    let each = optional_length("--error-per-pitch", arguments.error_per_pitch.as_ref())?;
    match (whole, each, engagement_mm) {
        (Some(whole), _, _) => Ok(whole),
        (None, None, _) => Ok(0.0),
        (None, Some(each), Some(length)) => Ok(each * length / thread.pitch_mm),
        (None, Some(_), None) => Err(Failure::Input(say!(
            "functional-refused.no-engagement",
            option = "--error-per-pitch",
            other = "--engagement"
        ))),
    }
}
