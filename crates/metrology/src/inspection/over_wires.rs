//! Pitch diameter from readings over three wires: the last step from what the micrometer compares to the size asked for.
//!
//! The exact contact of [`crate::wires`] at the mean reading, and its slope there for readings beside it (the bend over
//! the spread of readings is below a picometre).

use super::JobError;
use super::approval::DefaultName;
use super::checked::positive;
use super::contact_inputs::{by_flanks, flanks_within};
use super::converted::Conversion;
use super::drawing_terms::AtPlane;
use super::equipment::{ContactKind, StandardForm, WireSet};
use super::error::WiresUnfit;
use super::field::Field;
use super::inputs::certificate;
use super::job::Job;
use super::model::{Comparison, Quantity};
use super::note::{Formula, Named, Note, OwnName, WireDiameter};
use super::of_thread::ThreadDiameter;
use super::since_certificate;
use super::state::State;
use super::target::Target;
use super::terms;
use super::warning::Warning;
use crate::designation::{Hand, Kind};
use crate::elastic::{OverWires, WireConvention, measuring_force, reading_correction};
use crate::limits::{Taper, ThreadLimits};
use crate::material::Elastic;
use crate::message::Say;
use crate::uncertainty::{Distribution, distribution};
use crate::units::{Angle, Entered, Force, Length, LengthUnit};
use crate::wires::{
    Arrangement, FormHeights, Groove, SeatError, Side, TaperGroove, WireReading, best_wire_mm,
    reading_from_size, sensitivities, size_from_reading, usable_wires,
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
        certificate_date: None,
        drift: None,
        due: None,
        state: State::Active,
    })
}

/// Refuses wires that cannot show this size.
pub fn check(job: &Job, wires: &WireSet, target: &Target) -> Result<(), JobError> {
    let refuse = |why| {
        Err(JobError::WiresUnfit {
            id: wires.id.clone(),
            why,
        })
    };
    let Some(thread) = &target.thread else {
        return refuse(WiresUnfit::NoThread);
    };
    if thread.kind == Kind::Internal || target.diameter != ThreadDiameter::PitchDiameter {
        return refuse(WiresUnfit::NotPitchDiameter);
    }
    if job.contacts.kind != ContactKind::Flat {
        return refuse(WiresUnfit::NotFlat {
            contacts: job.contacts.id.clone(),
            kind: job.contacts.kind,
        });
    }
    // Flat faces closed on each other are zeroed as on a standard of no length: wear is the same for both.
    let closed =
        job.standard.form == StandardForm::Closed && job.standard.size.value() == Length::ZERO;
    if job.standard.form != StandardForm::Plain && !closed {
        return refuse(WiresUnfit::NotPlain {
            standard: job.standard.id.clone(),
        });
    }
    let wire = positive(Field::WireDiameter, &wires.diameter)?.mm();
    let groove = groove(thread);
    let heights = FormHeights::of_form(thread.form, Side::External, thread.included_angle);
    let Some(heights) = heights else {
        return Ok(());
    };
    let usable = usable_wires(&groove, heights)?;
    if (usable.smallest_mm..=usable.largest_mm).contains(&wire) {
        return on_crests_throughout(wires, target, usable.best_mm).map_or(Ok(()), refuse);
    }
    refuse(WiresUnfit::Diameter {
        diameter: wires.diameter.clone(),
        smallest: usable.smallest_mm,
        largest: usable.largest_mm,
        best: usable.best_mm,
    })
}

/// The size over the wires of a thread of this pitch diameter, millimetres.
pub fn reading_at(wires: &WireSet, target: &Target, pitch_diameter: f64) -> Result<f64, JobError> {
    let Some(thread) = &target.thread else {
        return Ok(pitch_diameter);
    };
    let wire = wires.diameter.value().mm();
    if let Some(taper) = tapered(thread) {
        return Ok(taper
            .reading_from_size(pitch_diameter, wire)?
            .over
            .reading_mm);
    }
    let arrangement = Arrangement::OverWires;
    let seat = reading_from_size(&groove(thread), arrangement, pitch_diameter, wire)?;
    Ok(seat.reading_mm)
}

/// Wires that stand no higher than the largest crests that the limits allow, where the faces may rest on these, or that touch the
/// flanks further out than the smallest ones reach, where they may sit on their edges; sizes of one thread, millimetres. Source:
/// elementary geometry.
pub fn on_crests(wires: &WireSet, target: &Target, sizes: &[f64]) -> Option<Warning> {
    let diameter = || wires.diameter.clone();
    let seats = sizes.iter();
    let seats = seats.filter_map(|size| over_and_touch(wires, target, *size));
    let (over, touch) = seats.reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))?;
    let crest = target.crest;
    let below = crest.upper.map(Length::mm).filter(|crest| over <= *crest);
    let beyond = crest.lower.map(Length::mm).filter(|crest| touch > *crest);
    below
        .map(|crest| Warning::WiresBelowCrests {
            over,
            crest,
            diameter: diameter(),
        })
        .or_else(|| {
            Some(Warning::WiresOnCrestEdges {
                touch,
                crest: beyond?,
                diameter: diameter(),
            })
        })
}

/// Wires that would be on the crests at every size within the limits.
fn on_crests_throughout(wires: &WireSet, target: &Target, best: f64) -> Option<WiresUnfit> {
    let diameter = wires.diameter.clone();
    let at = |size: Option<Length>| on_crests(wires, target, &[size?.mm()]);
    match (at(target.limits.lower)?, at(target.limits.upper)?) {
        (Warning::WiresBelowCrests { .. }, Warning::WiresBelowCrests { over, crest, .. }) => {
            Some(WiresUnfit::BelowCrests {
                diameter,
                over,
                crest,
                best,
            })
        }
        (Warning::WiresOnCrestEdges { touch, crest, .. }, Warning::WiresOnCrestEdges { .. }) => {
            Some(WiresUnfit::OnCrestEdges {
                diameter,
                touch,
                crest,
                best,
            })
        }
        _ => None,
    }
}

/// The size over the wires, and the diameter at which they touch the flanks, of a parallel thread of this pitch diameter,
/// millimetres.
fn over_and_touch(wires: &WireSet, target: &Target, pitch_diameter: f64) -> Option<(f64, f64)> {
    let thread = target.thread.as_ref().filter(|_| takes_wires(target))?;
    let groove = groove(thread);
    let wire = wires.diameter.value().mm();
    let read = reading_from_size(&groove, Arrangement::OverWires, pitch_diameter, wire).ok()?;
    let touch = read.seat.upper.radius_mm.max(read.seat.lower.radius_mm);
    Some((read.reading_mm, 2.0 * touch))
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
    let groove = groove(thread);
    let wire = wires.diameter.value().mm();
    let taper = tapered(thread);
    let size = |over: f64| size_over(&groove, taper.as_ref(), over, wire);
    let (here, taper_correction) = size(reading)?;
    let slope = (size(reading + STEP)?.0.pitch_diameter_mm
        - size(reading - STEP)?.0.pitch_diameter_mm)
        / (2.0 * STEP);
    let sensitivity = sensitivities(&groove, wire)?;
    let expanded = wires.expanded_uncertainty.value().mm();
    let of_wires = distribution::normal(expanded, wires.coverage_factor);
    let mut inputs = vec![(
        Quantity::Companion,
        Named::normal(
            OwnName::Wires,
            here.pitch_diameter_mm - slope * reading,
            sensitivity.wires_common.abs() * of_wires,
        )
        .noted_if(certificate(wires.certificate.as_ref())),
    )];
    // Before the scale of the model: a change of the wires is no change of what the micrometer compares.
    let per_diameter = sensitivity.wires_common / slope;
    if let Some(drift) = since_certificate::of_wires(job, wires, per_diameter) {
        inputs.push((Quantity::ContactGeometry, drift));
    }
    let flanks = flanks_at_wires(job, &groove, sensitivity.half_angle_mm);
    inputs.push((Quantity::SecondCompanion, flanks));
    if let (Some(taper), Some(plane)) = (&taper, &target.plane) {
        inputs.push((Quantity::MeasuringPlane, on_cone(job, taper, plane)));
    }
    let pressed = deformation(job, wires, thread, here.pitch_diameter_mm)?;
    inputs.push((Quantity::Deformation, pressed));
    Ok(Conversion {
        model: Comparison { scale: slope },
        inputs,
        formula: Some(
            Formula::OverWires {
                wires: wires.diameter.clone(),
                lead_correction: -here.lead_correction_mm,
                lead_angle: here.lead_angle.degrees(),
                taper_correction,
            }
            .message(),
        ),
        by_place: true,
    })
}

/// The slope of the pitch diameter over the diameter of all wires, at a reading in millimetres: by the exact contact.
pub fn slope_over_wires(wires: &WireSet, target: &Target, reading: f64) -> Result<f64, JobError> {
    let Some(thread) = &target.thread else {
        return Ok(0.0);
    };
    let (groove, taper) = (groove(thread), tapered(thread));
    let wire = wires.diameter.value().mm();
    let size = |wire: f64| -> Result<f64, JobError> {
        let (found, _) = size_over(&groove, taper.as_ref(), reading, wire)?;
        Ok(found.pitch_diameter_mm)
    };
    Ok((size(wire + STEP)? - size(wire - STEP)?) / (2.0 * STEP))
}

/// The size of a reading over wires, and what the taper has of it; nothing on a parallel thread.
fn size_over(
    groove: &Groove,
    taper: Option<&TaperGroove>,
    over: f64,
    wire: f64,
) -> Result<(WireReading, f64), SeatError> {
    match taper {
        None => Ok((
            size_from_reading(groove, Arrangement::OverWires, over, wire)?,
            0.0,
        )),
        Some(taper) => {
            let found = taper.size_from_reading(over, wire)?;
            Ok((found.over, found.taper_correction_mm))
        }
    }
}

/// The groove with its taper, of a thread that has one.
fn tapered(thread: &ThreadLimits) -> Option<TaperGroove> {
    thread.taper.as_ref().map(|_| TaperGroove {
        groove: groove(thread),
        taper: Taper::RATIO,
    })
}

/// How far the plane of a taper thread may lie from where it is stated, and by how much that changes its diameter,
/// millimetres; where the program's default is taken for it.
pub fn plane_usual(job: &Job, target: &Target) -> Option<(f64, f64)> {
    let taper = target.thread.as_ref().and_then(tapered)?;
    let stated = target.plane.as_ref()?.within.is_some();
    let usual = job.usual(DefaultName::Plane);
    let within = usual.value();
    (!stated && !usual.is_approved()).then_some((within, within * taper.taper))
}

/// What the plane's place on the cone leaves open.
fn on_cone(job: &Job, taper: &TaperGroove, plane: &AtPlane) -> Named {
    let of = |within: f64| {
        let half_width = within * taper.taper * taper.cosine();
        let spread = Distribution::Rectangular { half_width };
        Named::new(Quantity::MeasuringPlane, 0.0, spread)
    };
    if let Some(within) = plane.within {
        return of(within).noted(Note::PlaneStated { within });
    }
    let usual = job.usual(DefaultName::Plane);
    let within = usual.value();
    of(within).by(&usual, Note::PlaneUsual { within })
}

/// What to add to the readings of each place so that they are those of the plane, millimetres; nothing on a parallel
/// thread.
pub fn carried(job: &Job, target: &Target) -> Vec<f64> {
    let cosine = target.thread.as_ref().and_then(tapered);
    let cosine = cosine.map_or(1.0, |taper| taper.cosine());
    terms::carried(&job.readings, target)
        .into_iter()
        .map(|diameter| diameter * cosine)
        .collect()
}

/// What the half angles of the part do at these wires: as measured, or within what is known of them.
fn flanks_at_wires(job: &Job, groove: &Groove, half_angle_mm: f64) -> Named {
    let within = |minutes| Distribution::Rectangular {
        half_width: flank_angle_effect(half_angle_mm, minutes),
    };
    if let Some(measured) = &job.prior.flanks {
        // Both flanks off alike; what one has more than the other moves the wires sideways.
        let mean = f64::midpoint(measured.one, measured.other);
        let off = Angle::from_degrees(mean).radians() - groove.upper_flank.radians();
        let spread = within(measured.within);
        return Named::new(OwnName::FlanksAtWires, half_angle_mm * off, spread).noted(
            Note::HalfAnglesMeasured {
                within: measured.within,
            },
        );
    }
    let (minutes, _) = flanks_within(job);
    let spread = within(minutes);
    by_flanks(Named::new(OwnName::FlanksAtWires, 0.0, spread), job)
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

/// Whether the job says under which force it was measured, or the laboratory approved one.
pub fn force_is_known(job: &Job) -> bool {
    let stated = job.contacts.force.or(job.instrument.force);
    stated.is_some() || job.usual(DefaultName::ForceWires).is_approved()
}

/// What to add to the reading for the deformation by the measuring force: as stated, as approved, or as is customary for the
/// pitch.
fn deformation(
    job: &Job,
    wires: &WireSet,
    thread: &ThreadLimits,
    d2: f64,
) -> Result<Named, JobError> {
    let advice = measuring_force(thread.pitch.mm());
    let force = job.contacts.force.or(job.instrument.force);
    let usual = job.usual(DefaultName::ForceWires);
    let approved = usual.is_approved().then(|| usual.value());
    let customary = advice.map(|advice| advice.force.newtons());
    let Some(newtons) = force.or(approved).or(customary) else {
        return Err(JobError::ForceNotStated);
    };
    let elastic = |name: &str| {
        Elastic::named(name).ok_or_else(|| JobError::NoElasticConstants {
            material: name.to_owned(),
        })
    };
    let part = job.part_material();
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
    let effect = reading_correction(&set_up, convention)?;
    let within = Distribution::Rectangular {
        half_width: effect.correction_mm.abs() * ELASTIC_WITHIN,
    };
    let named = Named::new(Quantity::Deformation, effect.correction_mm, within);
    let stated = Note::StatedForce {
        force: newtons,
        wires: diameter,
    };
    Ok(match advice {
        _ if force.is_some() => named.noted(stated),
        Some(advice) => named.by(
            &usual,
            Note::CustomaryForce {
                force: newtons,
                confidence: advice.confidence,
                wires: diameter,
            },
        ),
        // Of a pitch that has no customary force the approved one is all there is.
        None => named.by(&usual, stated),
    })
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::{Characteristic, Terms};

    /// Wires of the best size, within the tolerance of wires, are clear of the crests at both limits of the pitch diameter, whatever the
    /// form, the pitch and the class; also against limits of the drawing.
    #[test]
    fn wires_near_the_best_size_are_clear_of_the_crests() {
        let designations = [
            "M1x0.25-6h",
            "M1.6x0.35-6g",
            "M3x0.5-6g",
            "M3x0.5-6e",
            "M6x1-4h",
            "M6x1-6e",
            "M10x1.5-6g",
            "M10x1-6g",
            "M30x1-6g",
            "M100x2-6g",
            "M10x1.5-8g",
            "M24x3-6g",
            "M64x6-6g",
            "M64x6-8g",
            "MJ6x1-4h6h",
            "0-80 UNF-2A",
            "1/4-20 UNC-1A",
            "1/4-20 UNC-2A",
            "1/4-28 UNF-3A",
            "1-8 UNC-2A",
            "4-4 UNC-1A",
            "1/4-28 UNJF-3A",
            "1/4-20 BSW",
            "1/4-26 BSF",
            "1-8 BSW medium",
            "G 1/8 A",
            "G 1/2 B",
            "G 2 A",
            "0 BA",
            "6 BA",
            "Tr10x2-7e",
            "Tr16x4-8e",
            "Tr40x7-7e",
            "Tr40x7-8c",
            "Tr40x14(P7)-8e",
            "1/2-10 ACME-4G",
            "3/4-6 ACME-2G",
            "1-5 ACME-2G",
            "1-5 ACME-3G",
            "2-4 ACME-2G",
            "2-4 ACME-4G",
            "1/2-10 STUB ACME-2G",
        ];
        for designation in designations {
            let of = |terms| {
                Target::of(&Characteristic::Thread {
                    designation: designation.to_owned(),
                    diameter: ThreadDiameter::PitchDiameter,
                    terms,
                })
            };
            let target = of(None).unwrap_or_else(|error| panic!("{designation}: {error:?}"));
            let (lower, upper) = (target.limits.lower.unwrap(), target.limits.upper.unwrap());
            assert!(target.crest.upper.is_some(), "{designation}");
            let entered = |limit| Some(Entered::of(limit, LengthUnit::Millimetre));
            let own = Terms {
                lower: entered(lower),
                upper: entered(upper),
                ..Terms::default()
            };
            let edges = [lower, upper].map(Length::mm);
            for target in [&target, &of(Some(Box::new(own))).unwrap()] {
                let best = best_wires(target).unwrap();
                let size = best.diameter.value().mm();
                for off in [0.0, -0.0002, 0.0002] {
                    let wires = WireSet {
                        diameter: Entered::parse(&format!("{:.4}mm", size + off), None).unwrap(),
                        ..best.clone()
                    };
                    let found = on_crests(&wires, target, &edges);
                    assert_eq!(found, None, "{designation}, {off}");
                }
            }
        }
    }

    /// By hand: 1/4-16 ACME-2G of the smallest pitch diameter measures 5.189 + 0.65145 · 1.5875 = 6.223 mm over the best wires (lead neglected), its
    /// crests 6.223 to 6.350 mm: they may carry the faces.
    #[test]
    fn best_wires_in_a_thin_acme_thread_are_not() {
        let target = Target::of(&Characteristic::Thread {
            designation: "1/4-16 ACME-2G".to_owned(),
            diameter: ThreadDiameter::PitchDiameter,
            terms: None,
        })
        .unwrap();
        let wires = best_wires(&target).unwrap();
        let [lower, upper] =
            [target.limits.lower, target.limits.upper].map(|limit| limit.unwrap().mm());
        let Some(Warning::WiresBelowCrests { over, .. }) = on_crests(&wires, &target, &[lower])
        else {
            panic!("not told");
        };
        assert!((over - lower - 0.65145 * 1.5875).abs() < 6e-3, "{over}");
        assert_eq!(on_crests(&wires, &target, &[upper]), None);
    }
}
