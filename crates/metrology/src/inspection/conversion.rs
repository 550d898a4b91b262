//! From what the micrometer compares to the size that the drawing states: form of the contacts, force, and sizes
//! that it is reckoned from.

use super::contact_fit::{SIDEWAYS, SOFT_POISSON, middle, opening};
use super::contact_pressure::{Marks, Touch};
use super::converted::Conversion;
use super::feature::{
    BoreToFlat, Feature, GrooveWidth, InsideDiameter, Keyseat, KeyseatConvention, LobedShaft,
    SoftThickness, Thickness, VScale,
};
use super::feature_error::{FeatureError, too_wide};
use super::job::Job;
use super::model::{Comparison, Quantity};
use super::note::{Formula, Named, Note, OwnName};
use super::pair::ContactKind;
use super::target::Target;
use super::{JobError, contact_inputs, over_wires};
use crate::features::contact_geometry::{flat_in_bore, sphere_off_centre};
use crate::features::{groove, keyseat, lobes, pressing};
use crate::limits::Limits;
use crate::material::Elastic;
use crate::message::Value;
use crate::uncertainty::Distribution;
use crate::units::{Entered, Length, LengthUnit};

/// How far an elastic deformation by these formulas may be off, as a fraction (common practice, no source).
const ELASTIC_WITHIN: f64 = 0.3;

impl Conversion {
    /// Of a job; `reading` is the mean reading less the zero error and `repeatability` the standard deviation of one
    /// reading, where it is known; millimetres.
    pub fn of(
        job: &Job,
        target: &Target,
        reading: f64,
        repeatability: f64,
    ) -> Result<Self, JobError> {
        if let Some(wires) = &job.wires {
            return over_wires::conversion(job, wires, target, reading);
        }
        let Some(feature) = &target.feature else {
            let pressed = contact_inputs::flanks_pressed(job, target)?;
            return Ok(Self {
                inputs: pressed
                    .map(|loss| (Quantity::Deformation, loss))
                    .into_iter()
                    .collect(),
                ..Self::default()
            });
        };
        let mut conversion = match feature {
            Feature::InsideDiameter(tube) => inside_diameter(job, tube, target),
            Feature::GrooveWidth(width) => groove_width(width),
            Feature::Keyseat(seat) => keyseat(seat)?,
            Feature::LobedShaft(shaft) => lobed_shaft(shaft, repeatability)?,
            Feature::SoftThickness(sheet) => soft_thickness(job, sheet, target)?,
            Feature::TubeWall(wall) => in_bore(job, wall.bore.value().mm()),
            Feature::BoreToFlat(BoreToFlat { bore }) => in_bore(job, bore.value().mm()),
            Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => {
                on_radii(job, &opening(groove))
            }
            Feature::PlainDiameter(_) | Feature::Land(_) | Feature::CrimpHeight(_) => {
                Self::default()
            }
        };
        if let Feature::TubeWall(_) | Feature::BoreToFlat(_) | Feature::InsideDiameter(_) = feature
        {
            let bore = match feature {
                Feature::TubeWall(wall) => wall.bore.value().mm(),
                Feature::BoreToFlat(web) => web.bore.value().mm(),
                _ => middle(target.limits),
            };
            conversion.inputs.extend(indentation(job, target, bore));
        }
        Ok(conversion)
    }

    /// Limits of size as the micrometer would show them, before zero error.
    pub fn as_read(&self, limits: Limits) -> Result<Limits, JobError> {
        let estimate = |quantity| {
            self.inputs
                .iter()
                .filter(|(of, _)| *of == quantity)
                .map(|(_, of)| of.input.estimate)
                .sum::<f64>()
        };
        let added = estimate(Quantity::ContactGeometry) + estimate(Quantity::Deformation);
        let beside = estimate(Quantity::Companion) + estimate(Quantity::SecondCompanion);
        if self.model.scale == 1.0 && added == 0.0 && beside == 0.0 {
            return Ok(limits);
        }
        let back = |limit: Option<Length>| {
            limit
                .map(|limit| Length::nearest_mm((limit.mm() - beside) / self.model.scale - added))
                .transpose()
        };
        let (lower, upper) = (back(limits.lower)?, back(limits.upper)?);
        Ok(if self.model.scale < 0.0 {
            Limits {
                lower: upper,
                upper: lower,
            }
        } else {
            Limits { lower, upper }
        })
    }
}

fn input(name: OwnName, estimate: f64, distribution: Distribution, note: Note) -> Named {
    Named::new(name, estimate, distribution).noted(note)
}

fn rectangular(half_width: f64) -> Distribution {
    Distribution::Rectangular { half_width }
}

/// Half of an expanded uncertainty of k = 2.
fn stated(expanded: &Entered) -> Distribution {
    Distribution::Normal {
        standard_uncertainty: expanded.value().mm() / 2.0,
    }
}

/// A sphere in a bore is exact on the line through both centres and reads large beside it; a flat one used on purpose
/// is taken back by what geometry says, and half of that stays in doubt.
fn in_bore(job: &Job, bore: f64) -> Conversion {
    let radius = bore / 2.0;
    let tip = job.contacts.tip_radius.as_ref().map(|tip| tip.value().mm());
    let of_sphere = |tip: f64| {
        let error = sphere_off_centre(radius, tip, SIDEWAYS)?;
        Some(input(
            OwnName::SphereOffCentre,
            0.0,
            rectangular(error),
            Note::NearCentre {
                within: Entered::of(Length::nearest_mm(SIDEWAYS).ok()?, LengthUnit::Millimetre),
            },
        ))
    };
    let of_face = |face: f64| {
        let error = flat_in_bore(radius, face)?;
        Some(input(
            OwnName::FlatInBore,
            -error,
            rectangular(error / 2.0),
            Note::Sagitta,
        ))
    };
    let geometry = match job.contacts.kind {
        ContactKind::SphereAndFlat | ContactKind::Spheres => tip.and_then(of_sphere),
        _ => job
            .contacts
            .face
            .as_ref()
            .and_then(|face| of_face(face.value().mm())),
    };
    Conversion {
        inputs: geometry
            .map(|geometry| (Quantity::ContactGeometry, geometry))
            .into_iter()
            .collect(),
        ..Conversion::default()
    }
}

/// Blades too thick for the floor, used on the reason given, ride on the radii on both sides.
fn on_radii(job: &Job, opening: &groove::Opening) -> Conversion {
    let thickness = job
        .contacts
        .thickness
        .as_ref()
        .map(|thickness| thickness.value().mm());
    let error = thickness
        .and_then(|thickness| opening.rides_by(thickness))
        .map_or(0.0, |one| 2.0 * one);
    if error <= 0.0 {
        return Conversion::default();
    }
    Conversion {
        inputs: vec![(
            Quantity::ContactGeometry,
            input(
                OwnName::OnRadii,
                -error,
                rectangular(error / 2.0),
                Note::Estimate,
            ),
        )],
        ..Conversion::default()
    }
}

/// What force takes away on the part, less what it took away at zero: sphere in the bore against sphere on the flat
/// standard. Only where force and both materials are known.
fn indentation(job: &Job, target: &Target, bore: f64) -> Option<(Quantity, Named)> {
    let radius = job.contacts.tip_radius.as_ref()?.value().mm();
    let force = job.contacts.force.or(job.instrument.force)?;
    let tip = Elastic::named(job.contacts.material.as_deref()?)?;
    let temperature = job.temperature.as_ref()?;
    let part = Elastic::named(&temperature.part_material)?;
    let standard = Elastic::named(&temperature.standard_material)?;
    let (on_part, _) = Touch::InBore { radius, bore }.pressed(force, (tip, part))?;
    let (at_zero, _) = Touch::OnFlat { radius }.pressed(force, (tip, standard))?;
    // Where the part yields, the sphere sinks in by up to its dent more.
    let dent = Marks::of(job, target).map_or(0.0, |marks| marks.dent());
    Some((
        Quantity::Deformation,
        input(
            OwnName::Indentation,
            on_part - at_zero,
            rectangular(ELASTIC_WITHIN * on_part.max(at_zero) + dent),
            Note::Hertz,
        ),
    ))
}

fn inside_diameter(job: &Job, tube: &InsideDiameter, target: &Target) -> Conversion {
    let outside = tube.outside_diameter.value().mm();
    let known = stated(&tube.outside_diameter_uncertainty);
    let mut inputs = in_bore(job, middle(target.limits)).inputs;
    inputs.push((
        Quantity::Companion,
        input(OwnName::OutsideDiameter, outside, known, Note::Stated),
    ));
    Conversion {
        model: Comparison { scale: -2.0 },
        inputs,
        formula: Some(Formula::InsideDiameter {
            outside: tube.outside_diameter.clone(),
        }),
        by_place: false,
    }
}

fn groove_width(width: &GrooveWidth) -> Conversion {
    let mut inputs = Vec::new();
    for (quantity, name, disc) in [
        (Quantity::Companion, OwnName::AnvilDisc, &width.anvil_disc),
        (
            Quantity::SecondCompanion,
            OwnName::SpindleDisc,
            &width.spindle_disc,
        ),
    ] {
        let known = stated(&width.disc_uncertainty);
        let thickness = disc.value().mm();
        inputs.push((quantity, input(name, thickness, known, Note::Stated)));
    }
    Conversion {
        inputs,
        formula: Some(Formula::GrooveWidth {
            anvil: width.anvil_disc.clone(),
            spindle: width.spindle_disc.clone(),
        }),
        ..Conversion::default()
    }
}

fn keyseat(seat: &Keyseat) -> Result<Conversion, JobError> {
    let shaft = seat.shaft_diameter.value().mm();
    let width = seat.width.value().mm();
    let u_shaft = stated(&seat.shaft_diameter_uncertainty);
    let u_width = stated(&seat.width_uncertainty);
    let height = keyseat::chord_height(shaft, width).ok_or_else(|| too_wide(seat))?;
    Ok(match seat.convention {
        KeyseatConvention::BottomToOppositeSide => Conversion {
            formula: Some(Formula::OppositeSide),
            ..Conversion::default()
        },
        KeyseatConvention::DepthFromCrown => Conversion {
            model: Comparison { scale: -1.0 },
            inputs: vec![(
                Quantity::Companion,
                input(OwnName::ShaftDiameter, shaft, u_shaft, Note::Stated),
            )],
            formula: Some(Formula::FromCrown {
                shaft: seat.shaft_diameter.clone(),
            }),
            by_place: true,
        },
        KeyseatConvention::DepthFromEdge => {
            let (by_shaft, by_width) =
                keyseat::chord_height_slopes(shaft, width).unwrap_or_default();
            let normal = |u: f64| Distribution::Normal {
                standard_uncertainty: u,
            };
            Conversion {
                model: Comparison { scale: -1.0 },
                inputs: vec![
                    (
                        Quantity::Companion,
                        input(
                            OwnName::ShaftDiameter,
                            shaft - height,
                            normal(u_shaft.standard_uncertainty() * (1.0 - by_shaft).abs()),
                            Note::StatedLessArc,
                        ),
                    ),
                    (
                        Quantity::SecondCompanion,
                        input(
                            OwnName::SeatWidth,
                            0.0,
                            normal(u_width.standard_uncertainty() * by_width.abs()),
                            Note::StatedThroughArc,
                        ),
                    ),
                ],
                formula: Some(Formula::FromEdge {
                    shaft: seat.shaft_diameter.clone(),
                    height,
                }),
                by_place: true,
            }
        }
    })
}

/// What the readings in the V say of the roundness, with its standard uncertainty, millimetres.
pub fn roundness(shaft: &LobedShaft, repeatability: f64) -> Result<(f64, f64), JobError> {
    let values: Vec<Length> = shaft.v_readings.iter().map(Entered::value).collect();
    let (Some(least), Some(most)) = (values.iter().min(), values.iter().max()) else {
        return Err(FeatureError::NoVReadings.into());
    };
    let angle = shaft.v_angle;
    let factor = lobes::v_factor(shaft.lobes, angle).ok_or(FeatureError::NoV { angle })?;
    let scale = match shaft.v_scale {
        Some(VScale::Diameter) => {
            lobes::distance_to_diameter(angle).ok_or(FeatureError::NoV { angle })?
        }
        Some(VScale::Distance) | None => 1.0,
    };
    let spread = (*most - *least).mm() * scale;
    let value = lobes::roundness_from_v(spread, shaft.lobes, angle).ok_or_else(|| blind(shaft))?;
    let step = shaft
        .v_readings
        .iter()
        .map(|reading| reading.resolution().mm())
        .fold(0.0, f64::max);
    let one = repeatability.max(step / 12f64.sqrt());
    Ok((value, std::f64::consts::SQRT_2 * one * scale / factor.abs()))
}

/// A V that does not see these lobes, with those Vs that see them.
fn blind(shaft: &LobedShaft) -> FeatureError {
    let (angle, lobes) = (shaft.v_angle, shaft.lobes);
    let others: Vec<Value> = [60.0, 90.0, 108.0, 120.0]
        .into_iter()
        .filter(|angle| lobes::v_factor(lobes, *angle).is_some_and(|factor| factor.abs() >= 0.5))
        .map(Value::Degrees)
        .collect();
    if others.is_empty() {
        FeatureError::BlindVs { angle, lobes }
    } else {
        FeatureError::BlindV {
            angle,
            lobes,
            others,
        }
    }
}

fn lobed_shaft(shaft: &LobedShaft, repeatability: f64) -> Result<Conversion, JobError> {
    let (roundness, u) = roundness(shaft, repeatability)?;
    if shaft.lobes.is_multiple_of(2) {
        return Ok(Conversion {
            formula: Some(Formula::EvenLobes { lobes: shaft.lobes }),
            ..Conversion::default()
        });
    }
    Ok(Conversion {
        inputs: vec![(
            Quantity::Companion,
            input(
                OwnName::Lobes,
                roundness,
                Distribution::Normal {
                    standard_uncertainty: u,
                },
                Note::VOverFactor,
            ),
        )],
        formula: Some(Formula::OddLobes {
            lobes: shaft.lobes,
            lobing: roundness,
        }),
        ..Conversion::default()
    })
}

fn soft_thickness(
    job: &Job,
    sheet: &SoftThickness,
    target: &Target,
) -> Result<Conversion, JobError> {
    let (young, within) = (sheet.modulus_mpa, sheet.modulus_relative_limit);
    let mut inputs = Vec::new();
    if let Some(creep) = &sheet.creep {
        let creep = creep.value().mm();
        inputs.push((
            Quantity::ContactGeometry,
            input(OwnName::Creep, 0.0, rectangular(creep), Note::AsInDwell),
        ));
    }
    if sheet.thickness == Thickness::UnderPressure {
        return Ok(Conversion {
            inputs,
            formula: Some(Formula::UnderPressure),
            ..Conversion::default()
        });
    }
    let missing = || FeatureError::NoPressure;
    let force = job
        .contacts
        .force
        .or(job.instrument.force)
        .ok_or_else(missing)?;
    let soft = Elastic {
        young_gpa: young / 1000.0,
        poisson: SOFT_POISSON,
    };
    let flat = matches!(
        job.contacts.kind,
        ContactKind::Disc | ContactKind::Flat | ContactKind::SmallFlat
    );
    let thickness = middle(target.limits);
    let (taken, formula) = if flat {
        let face = job.contacts.face.as_ref().ok_or_else(missing)?.value().mm();
        let pressure = pressing::face_pressure(force, face);
        let free = pressing::free_thickness(thickness, pressure, young).ok_or({
            FeatureError::TooSoft {
                force,
                face,
                pressure: pressure * 1000.0,
            }
        })?;
        (
            free - thickness,
            Formula::FreeByPressure {
                pressure: pressure * 1000.0,
                dwell: sheet.dwell_seconds,
            },
        )
    } else {
        let radius = job.contacts.tip_radius.as_ref();
        let radius = radius.ok_or_else(missing)?.value().mm();
        let tip = Elastic::named(job.contacts.material.as_deref().unwrap_or("steel"))
            .ok_or_else(missing)?;
        (
            pressing::sphere_on_flat(force, radius, pressing::contact_modulus(tip, soft)),
            Formula::FreeByIndentation {
                dwell: sheet.dwell_seconds,
            },
        )
    };
    inputs.push((
        Quantity::Deformation,
        input(
            OwnName::Compression,
            taken,
            rectangular(taken * within),
            Note::Modulus,
        ),
    ));
    Ok(Conversion {
        inputs,
        formula: Some(formula),
        ..Conversion::default()
    })
}
