//! From what the micrometer compares to the size that the drawing states: form of the contacts, force, and sizes
//! that it is reckoned from.

use super::contact_fit::{SIDEWAYS, SOFT_POISSON, middle, opening};
use super::feature::{
    BoreToFlat, Feature, GrooveWidth, InsideDiameter, Keyseat, KeyseatConvention, LobedShaft,
    SoftThickness, Thickness,
};
use super::fitness::{not_negative, positive};
use super::job::{ContactKind, Job};
use super::model::{Comparison, Quantity};
use super::note::{Formula, Named, Note, OwnName};
use super::target::Target;
use super::{JobError, over_wires};
use crate::features::contact_geometry::{flat_in_bore, sphere_off_centre};
use crate::features::{groove, keyseat, lobes, pressing};
use crate::limits::Limits;
use crate::material::Elastic;
use crate::uncertainty::Distribution;
use crate::units::{Entered, Length, LengthUnit};

/// How far an elastic deformation by these formulas may be off, as a fraction (common practice, no source).
const ELASTIC_WITHIN: f64 = 0.3;
/// Compressed by more of its thickness, soft material is not corrected by a modulus (common practice, no source).
const LARGEST_STRAIN: f64 = 0.1;

/// The last step from reading to size.
#[derive(Clone, Debug)]
pub struct Conversion {
    /// Factor of the model.
    pub model: Comparison,
    /// Inputs beside those of every job.
    pub inputs: Vec<(Quantity, Named)>,
    /// What it is; `None` where the reading is the size.
    pub formula: Option<Formula>,
    /// Whether one place on its own has a size.
    pub by_place: bool,
}

impl Default for Conversion {
    fn default() -> Self {
        Self {
            model: Comparison::DIRECT,
            inputs: Vec::new(),
            formula: None,
            by_place: true,
        }
    }
}

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
            return Ok(Self::default());
        };
        let mut conversion = match feature {
            Feature::InsideDiameter(tube) => inside_diameter(tube, target)?,
            Feature::GrooveWidth(width) => groove_width(width)?,
            Feature::Keyseat(seat) => keyseat(seat, target)?,
            Feature::LobedShaft(shaft) => lobed_shaft(shaft, repeatability)?,
            Feature::SoftThickness(sheet) => soft_thickness(job, sheet, target)?,
            Feature::TubeWall(wall) => in_bore(job, positive("bore", &wall.bore)?),
            Feature::BoreToFlat(BoreToFlat { bore }) => in_bore(job, positive("bore", bore)?),
            Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => {
                for (what, size) in [
                    ("groove width", Some(&groove.width)),
                    ("groove depth", groove.depth.as_ref()),
                ] {
                    if let Some(size) = size {
                        positive(what, size)?;
                    }
                }
                if let Some(radius) = &groove.root_radius {
                    not_negative("root radius", radius)?;
                }
                if groove
                    .wall_angle
                    .is_some_and(|angle| !(0.0..80.0).contains(&angle))
                {
                    return Err(JobError::Number {
                        what: "wall_angle",
                        value: groove.wall_angle.unwrap_or_default(),
                        right: "write degrees from square, 0 to 80",
                    });
                }
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
            conversion.inputs.extend(indentation(job, bore));
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
fn stated(what: &'static str, expanded: &Entered) -> Result<Distribution, JobError> {
    Ok(Distribution::Normal {
        standard_uncertainty: not_negative(what, expanded)?.mm() / 2.0,
    })
}

/// A sphere in a bore is exact on the line through both centres and reads large beside it; a flat one used on purpose
/// is taken back by what geometry says, and half of that stays in doubt.
fn in_bore(job: &Job, bore: Length) -> Conversion {
    let radius = bore.mm() / 2.0;
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
fn indentation(job: &Job, bore: f64) -> Option<(Quantity, Named)> {
    let radius = job.contacts.tip_radius.as_ref()?.value().mm();
    let force = job.contacts.force.or(job.instrument.force)?;
    let tip = Elastic::named(job.contacts.material.as_deref()?)?;
    let temperature = job.temperature.as_ref()?;
    let part = Elastic::named(&temperature.part_material)?;
    let standard = Elastic::named(&temperature.standard_material)?;
    // In the bore the curvatures are 1/r along the axis and 1/r − 1/R around it: their mean, near enough for a sphere
    // well below the bore.
    let curvature = 1.0 / radius - 1.0 / bore;
    if curvature <= 0.0 || bore <= 0.0 {
        return None;
    }
    let on_part =
        pressing::sphere_on_flat(force, 1.0 / curvature, pressing::contact_modulus(tip, part));
    let at_zero = pressing::sphere_on_flat(force, radius, pressing::contact_modulus(tip, standard));
    Some((
        Quantity::Deformation,
        input(
            OwnName::Indentation,
            on_part - at_zero,
            rectangular(ELASTIC_WITHIN * on_part.max(at_zero)),
            Note::Hertz,
        ),
    ))
}

fn inside_diameter(tube: &InsideDiameter, target: &Target) -> Result<Conversion, JobError> {
    let outside = positive("outside diameter", &tube.outside_diameter)?.mm();
    let inside = middle(target.limits);
    if outside <= inside {
        return Err(JobError::Feature(format!(
            "the outside diameter, {}, is not larger than the inside diameter asked for, {inside:.4} mm; check both",
            tube.outside_diameter.text()
        )));
    }
    let known = stated(
        "uncertainty of the outside diameter",
        &tube.outside_diameter_uncertainty,
    )?;
    Ok(Conversion {
        model: Comparison { scale: -2.0 },
        inputs: vec![(
            Quantity::Companion,
            input(OwnName::OutsideDiameter, outside, known, Note::Stated),
        )],
        formula: Some(Formula::InsideDiameter {
            outside: tube.outside_diameter.clone(),
        }),
        by_place: false,
    })
}

fn groove_width(width: &GrooveWidth) -> Result<Conversion, JobError> {
    let mut inputs = Vec::new();
    for (quantity, name, disc) in [
        (Quantity::Companion, OwnName::AnvilDisc, &width.anvil_disc),
        (
            Quantity::SecondCompanion,
            OwnName::SpindleDisc,
            &width.spindle_disc,
        ),
    ] {
        let known = stated("uncertainty of the discs", &width.disc_uncertainty)?;
        let thickness = positive("thickness of a disc", disc)?.mm();
        inputs.push((quantity, input(name, thickness, known, Note::Stated)));
    }
    Ok(Conversion {
        inputs,
        formula: Some(Formula::GrooveWidth {
            anvil: width.anvil_disc.clone(),
            spindle: width.spindle_disc.clone(),
        }),
        ..Conversion::default()
    })
}

/// A seat is less deep than half its shaft, so limits below the radius are a depth and limits above it the distance
/// to the opposite side: which was stated shows in the numbers.
fn check_keyseat_limits(seat: &Keyseat, target: &Target, shaft: f64) -> Result<(), JobError> {
    let depth = match (target.limits.lower, target.limits.upper) {
        (Some(one), Some(other)) => one.max(other),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return Ok(()),
    };
    let looks_like_a_depth = depth.mm() < shaft / 2.0;
    let stated_as_a_depth = seat.convention != KeyseatConvention::BottomToOppositeSide;
    if looks_like_a_depth == stated_as_a_depth {
        return Ok(());
    }
    let (looks, right) = if looks_like_a_depth {
        (
            "less than the radius, so they look like a depth",
            "depth-from-crown or depth-from-edge",
        )
    } else {
        (
            "more than the radius, so they look like the distance from the floor to the opposite side",
            "bottom-to-opposite-side",
        )
    };
    Err(JobError::Feature(format!(
        "`convention` is {}, but on a shaft of {} the limits are {looks}; look at the drawing and write `convention` as \
         {right}, or put the limits right",
        seat.convention.key(),
        seat.shaft_diameter.text(),
    )))
}

fn keyseat(seat: &Keyseat, target: &Target) -> Result<Conversion, JobError> {
    let shaft = positive("shaft diameter", &seat.shaft_diameter)?.mm();
    let width = positive("width of the seat", &seat.width)?.mm();
    let u_shaft = stated(
        "uncertainty of the shaft diameter",
        &seat.shaft_diameter_uncertainty,
    )?;
    let u_width = stated(
        "uncertainty of the width of the seat",
        &seat.width_uncertainty,
    )?;
    let height = keyseat::chord_height(shaft, width)
        .filter(|_| width < shaft)
        .ok_or_else(|| {
            JobError::Feature(format!(
                "a seat {} wide does not fit a shaft of {}; check both",
                seat.width.text(),
                seat.shaft_diameter.text()
            ))
        })?;
    check_keyseat_limits(seat, target, shaft)?;
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

/// Spread of the readings in the V, millimetres, and what it says of the roundness with its standard uncertainty.
pub fn roundness(shaft: &LobedShaft, repeatability: f64) -> Result<(f64, f64), JobError> {
    let values: Vec<Length> = shaft.v_readings.iter().map(Entered::value).collect();
    let (Some(least), Some(most)) = (values.iter().min(), values.iter().max()) else {
        return Err(JobError::Feature(
            "a lobed shaft needs `v_readings`: several over one turn in the V, spindle on the bisector".into(),
        ));
    };
    if values.len() < 3 {
        return Err(JobError::Feature(format!(
            "{} readings in the V do not show its lobes; take them over one whole turn, at crests and hollows",
            values.len()
        )));
    }
    if shaft.lobes < 2 {
        return Err(JobError::Feature(format!(
            "{} lobes make no lobed shaft; count the peaks in one turn on the V, 2 or more",
            shaft.lobes
        )));
    }
    let factor = lobes::v_factor(shaft.lobes, shaft.v_angle).ok_or_else(|| {
        JobError::Feature(format!(
            "a V of {}° is none; write its included angle, such as 60, 90, 108 or 120",
            shaft.v_angle
        ))
    })?;
    let spread = (*most - *least).mm();
    let value = lobes::roundness_from_v(spread, shaft.lobes, shaft.v_angle).ok_or_else(|| {
        let seen: Vec<String> = [60.0, 90.0, 108.0, 120.0]
            .into_iter()
            .filter(|angle| {
                lobes::v_factor(shaft.lobes, *angle).is_some_and(|factor| factor.abs() >= 0.5)
            })
            .map(|angle| format!("{angle}°"))
            .collect();
        let instead = if seen.is_empty() {
            "two points show an even count of lobes, and a V is for odd ones".to_owned()
        } else {
            format!("use one of {}", seen.join(", "))
        };
        JobError::Feature(format!(
            "a V of {}° is blind to {} lobes; {instead}",
            shaft.v_angle, shaft.lobes
        ))
    })?;
    let step = shaft
        .v_readings
        .iter()
        .map(|reading| reading.resolution().mm())
        .fold(0.0, f64::max);
    let one = repeatability.max(step / 12f64.sqrt());
    Ok((value, std::f64::consts::SQRT_2 * one / factor.abs()))
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
    let (young, within) = modulus(sheet)?;
    let mut inputs = Vec::new();
    if let Some(creep) = &sheet.creep {
        let creep = not_negative("creep", creep)?.mm();
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
    let missing = || {
        JobError::Feature(
            "free thickness needs the pressure: state `force` (newtons) and `face` with the pair of contacts".into(),
        )
    };
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
        let face = positive("face", job.contacts.face.as_ref().ok_or_else(missing)?)?.mm();
        let pressure = pressing::face_pressure(force, face);
        let free = pressing::free_thickness(thickness, pressure, young).ok_or_else(|| {
            JobError::Feature(format!(
                "{force} N on a face of {face} mm is {pressure:.3} MPa, as much as the material's modulus; use a larger disc"
            ))
        })?;
        (
            free - thickness,
            Formula::FreeByPressure {
                pressure: pressure * 1000.0,
                dwell: sheet.dwell_seconds,
            },
        )
    } else {
        let radius = positive(
            "tip_radius",
            job.contacts.tip_radius.as_ref().ok_or_else(missing)?,
        )?
        .mm();
        let tip = Elastic::named(job.contacts.material.as_deref().unwrap_or("steel"))
            .ok_or_else(missing)?;
        (
            pressing::sphere_on_flat(force, radius, pressing::contact_modulus(tip, soft)),
            Formula::FreeByIndentation {
                dwell: sheet.dwell_seconds,
            },
        )
    };
    if taken > LARGEST_STRAIN * (thickness + taken) {
        return Err(JobError::Feature(format!(
            "the contacts compress the sheet by {:.0} % of its thickness, far more than a modulus can correct; use a larger \
             disc or less force",
            taken / (thickness + taken) * 100.0
        )));
    }
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

/// Young's modulus, megapascals, and how far it may be off; the dwell is checked with them.
fn modulus(sheet: &SoftThickness) -> Result<(f64, f64), JobError> {
    let number = |what, value: f64, good: bool, right| {
        if good {
            Ok(value)
        } else {
            Err(JobError::Number { what, value, right })
        }
    };
    let young = number(
        "modulus_mpa",
        sheet.modulus_mpa,
        sheet.modulus_mpa > 0.0 && sheet.modulus_mpa < 1e6,
        "write Young's modulus in compression in megapascals, such as 5 for felt or 2300 for ABS",
    )?;
    let within = number(
        "modulus_relative_limit",
        sheet.modulus_relative_limit,
        (0.0..=1.0).contains(&sheet.modulus_relative_limit),
        "write how far the modulus may be off as a fraction, such as 0.2",
    )?;
    number(
        "dwell_seconds",
        sheet.dwell_seconds,
        sheet.dwell_seconds > 0.0 && sheet.dwell_seconds <= 3600.0,
        "soft material creeps: wait the same time before every reading and state it, such as 5",
    )?;
    match sheet.pressure_kpa {
        Some(pressure) => {
            number(
                "pressure_kpa",
                pressure,
                pressure > 0.0 && pressure < 1e6,
                "write the pressure of the standard for the material in kilopascals, such as 2",
            )?;
        }
        None if sheet.thickness == Thickness::UnderPressure => {
            return Err(JobError::Feature(
                "thickness under pressure needs the pressure that the standard for the material states, as `pressure_kpa`".into(),
            ));
        }
        None => {}
    }
    Ok((young, within))
}
