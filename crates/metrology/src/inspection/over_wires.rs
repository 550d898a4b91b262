//! Pitch diameter from readings over three wires: the last step from what the micrometer compares to the size asked for.
//!
//! The exact contact of [`crate::wires`] at the mean reading, and its slope there for readings beside it (the bend over
//! the spread of readings is below a picometre).

use super::JobError;
use super::conversion::Conversion;
use super::fitness::{coverage_factor, not_negative, positive};
use super::inputs::certificate;
use super::job::{ContactKind, Job, StandardForm, ThreadDiameter, WireSet};
use super::model::{Comparison, Quantity};
use super::note::{Formula, Named, Note, OwnName, WireDiameter};
use super::state::State;
use super::target::Target;
use crate::designation::{Hand, Kind};
use crate::elastic::{OverWires, WireConvention, measuring_force, reading_correction};
use crate::limits::ThreadLimits;
use crate::material::{self, Elastic};
use crate::uncertainty::{Distribution, distribution};
use crate::units::{Angle, Entered, Force, LengthUnit};
use crate::wires::{
    Arrangement, FormHeights, Groove, Side, best_wire_mm, reading_from_size, sensitivities,
    size_from_reading, usable_wires,
};

/// Faces of a micrometer on the wires, millimetres (common practice, no source).
const FACE_WIDTH: f64 = 6.35;
/// How far an elastic deformation by these formulas may be off, as a fraction (common practice, no source).
const ELASTIC_WITHIN: f64 = 0.3;
/// Step for the slope of pitch diameter over reading, millimetres.
const STEP: f64 = 1e-3;

/// Whether three wires measure this at all: the pitch diameter of an external thread.
pub fn takes_wires(target: &Target) -> bool {
    target.diameter == ThreadDiameter::PitchDiameter
        && target
            .thread
            .as_ref()
            .is_some_and(|thread| thread.kind != Kind::Internal)
}

/// Wires of exactly the best size for a thread, free of error: what could be had, before anything is chosen. None where
/// wires do not measure it.
pub fn best_wires(target: &Target) -> Option<WireSet> {
    let thread = target.thread.as_ref().filter(|_| takes_wires(target))?;
    let best = best_wire_mm(&groove(thread)).ok()?;
    let entered = |text: &str| Entered::parse(text, None).ok();
    Some(WireSet {
        id: String::new(),
        diameter: entered(&format!("{best:.4}mm"))?,
        expanded_uncertainty: entered("0um")?,
        coverage_factor: 2.0,
        calibrated_under_force: false,
        material: None,
        certificate: None,
        due: None,
        state: State::Active,
    })
}

/// Refuses wires that cannot show this size.
pub fn check(job: &Job, wires: &WireSet, target: &Target) -> Result<(), JobError> {
    let refuse = |why: String| {
        Err(JobError::WiresUnfit {
            id: wires.id.clone(),
            why,
        })
    };
    let Some(thread) = &target.thread else {
        return refuse("wires measure the pitch diameter of a thread; give its designation".into());
    };
    if thread.kind == Kind::Internal || target.diameter != ThreadDiameter::PitchDiameter {
        return refuse(
            "three wires measure the pitch diameter of an external thread, nothing else".into(),
        );
    }
    if job.contacts.kind != ContactKind::Flat {
        return refuse(format!(
            "they lie between flat faces, and {} are {}",
            job.contacts.id,
            job.contacts.kind.words()
        ));
    }
    if job.standard.form != StandardForm::Plain {
        return refuse(format!(
            "zero is set on a plain standard for flat faces, and {} is not plain",
            job.standard.id
        ));
    }
    let wire = positive("wire diameter", &wires.diameter)?.mm();
    let groove = groove(thread);
    let heights = FormHeights::of_form(thread.form, Side::External, thread.included_angle);
    let Some(heights) = heights else {
        return Ok(());
    };
    let usable =
        usable_wires(&groove, heights).map_err(|error| JobError::Wires(error.to_string()))?;
    if (usable.smallest_mm..=usable.largest_mm).contains(&wire) {
        return Ok(());
    }
    refuse(format!(
        "{} does not suit this thread; wires of {:.4} to {:.4} mm do, {:.4} mm is best",
        wires.diameter.text(),
        usable.smallest_mm,
        usable.largest_mm,
        usable.best_mm
    ))
}

/// The size over the wires of a thread of this pitch diameter, millimetres.
pub fn reading_at(wires: &WireSet, target: &Target, pitch_diameter: f64) -> Result<f64, JobError> {
    let Some(thread) = &target.thread else {
        return Ok(pitch_diameter);
    };
    let wire = positive("wire diameter", &wires.diameter)?.mm();
    reading_from_size(
        &groove(thread),
        Arrangement::OverWires,
        pitch_diameter,
        wire,
    )
    .map(|seat| seat.reading_mm)
    .map_err(|error| JobError::Wires(error.to_string()))
}

/// From the reading over wires to the pitch diameter; `reading` is the mean size over the wires, millimetres.
pub fn conversion(
    job: &Job,
    wires: &WireSet,
    target: &Target,
    reading: f64,
) -> Result<Conversion, JobError> {
    let Some(thread) = &target.thread else {
        return Ok(Conversion::default());
    };
    let words = |error: crate::wires::SeatError| JobError::Wires(error.to_string());
    let groove = groove(thread);
    let wire = positive("wire diameter", &wires.diameter)?.mm();
    let size =
        |over: f64| size_from_reading(&groove, Arrangement::OverWires, over, wire).map_err(words);
    let here = size(reading)?;
    let slope = (size(reading + STEP)?.pitch_diameter_mm - size(reading - STEP)?.pitch_diameter_mm)
        / (2.0 * STEP);
    let sensitivity = sensitivities(&groove, wire).map_err(words)?;
    let expanded = not_negative(
        "expanded uncertainty of the wires",
        &wires.expanded_uncertainty,
    )?
    .mm();
    let of_wires = distribution::normal(expanded, coverage_factor("wires", wires.coverage_factor)?);
    let mut inputs = vec![(
        Quantity::Companion,
        Named::normal(
            OwnName::Wires,
            here.pitch_diameter_mm - slope * reading,
            sensitivity.wires_common.abs() * of_wires,
        )
        .noted(certificate(wires.certificate.as_ref())),
    )];
    if let Some(minutes) = job.prior.flank_angle {
        let within = Distribution::Rectangular {
            half_width: flank_angle_effect(sensitivity.half_angle_mm, minutes),
        };
        inputs.push((
            Quantity::SecondCompanion,
            Named::new(OwnName::FlanksAtWires, 0.0, within)
                .noted(Note::HalfAngles { within: minutes }),
        ));
    }
    let (force, stated) = deformation(job, wires, thread, here.pitch_diameter_mm)?;
    let within = Distribution::Rectangular {
        half_width: force.abs() * ELASTIC_WITHIN,
    };
    inputs.push((
        Quantity::Deformation,
        Named::new(Quantity::Deformation, force, within).noted(stated),
    ));
    Ok(Conversion {
        model: Comparison { scale: slope },
        inputs,
        formula: Some(Formula::OverWires {
            wires: wires.diameter.clone(),
            lead_correction: -here.lead_correction_mm,
            lead_angle: here.lead_angle.degrees(),
        }),
        by_place: true,
    })
}

/// What half angles of the part off by so many minutes change the size by, millimetres; none for the best wire.
fn flank_angle_effect(half_angle_mm: f64, minutes: f64) -> f64 {
    (half_angle_mm * Angle::from_degrees_minutes(0.0, minutes).radians()).abs()
}

/// The same, for the wires of a job; `None` where they cannot be reckoned with.
pub fn flank_angle_effect_of(wires: &WireSet, thread: &ThreadLimits, minutes: f64) -> Option<f64> {
    let sensitivity = sensitivities(&groove(thread), wires.diameter.value().mm()).ok()?;
    Some(flank_angle_effect(sensitivity.half_angle_mm, minutes))
}

/// What to add to the reading for the deformation by the measuring force, and what that rests on.
fn deformation(
    job: &Job,
    wires: &WireSet,
    thread: &ThreadLimits,
    d2: f64,
) -> Result<(f64, Note), JobError> {
    let advice = measuring_force(thread.pitch.mm());
    let force = job.contacts.force.or(job.instrument.force);
    let Some(newtons) = force.or(advice.map(|advice| advice.force.newtons())) else {
        return Err(JobError::Wires(
            "state the measuring force of the micrometer, `force` in newtons".into(),
        ));
    };
    if !(0.0..=50.0).contains(&newtons) {
        return Err(JobError::Number {
            what: "force",
            value: newtons,
            right: "write newtons, 1 to 12 for wires",
        });
    }
    let elastic = |name: &str| -> Result<Elastic, JobError> {
        material::named(name)
            .and_then(|material| material.elastic)
            .ok_or_else(|| JobError::Wires(format!("no elastic constants are known for `{name}`")))
    };
    let part = job
        .temperature
        .as_ref()
        .map_or("steel", |read| read.part_material.as_str());
    let set_up = OverWires {
        half_angle: Angle::from_radians(thread.included_angle.radians() / 2.0),
        pitch_diameter_mm: d2,
        wire_mm: wires.diameter.value().mm(),
        force: Force::from_newtons(newtons),
        face_width_mm: FACE_WIDTH,
        thread: elastic(part)?,
        wires: elastic(wires.material.as_deref().unwrap_or("steel"))?,
        faces: elastic("carbide")?,
    };
    let (convention, diameter) = match advice.filter(|_| wires.calibrated_under_force) {
        Some(advice) => (
            WireConvention::Deformed {
                force: advice.force,
                cylinder_mm: advice.cylinder_mm,
            },
            WireDiameter::UnderForce,
        ),
        None => (WireConvention::Undeformed, WireDiameter::Free),
    };
    let effect = reading_correction(&set_up, convention)
        .map_err(|error| JobError::Wires(error.to_string()))?;
    let note = match advice.filter(|_| force.is_none()) {
        None => Note::StatedForce {
            force: newtons,
            wires: diameter,
        },
        Some(advice) => Note::CustomaryForce {
            force: newtons,
            confidence: advice.confidence,
            wires: diameter,
        },
    };
    Ok((effect.correction_mm, note))
}

fn groove(thread: &ThreadLimits) -> Groove {
    let groove = Groove::symmetric(
        Side::External,
        thread.included_angle,
        thread.pitch.mm(),
        thread.lead_in(LengthUnit::Millimetre),
    );
    match thread.hand {
        Hand::Left => groove.left_hand(),
        Hand::Right => groove,
    }
}
