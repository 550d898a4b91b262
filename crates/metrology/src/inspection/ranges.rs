//! Ranges of the numbers that a job states: beyond them no number can be meant, whatever could be computed from it.

use std::ops::RangeInclusive;

use super::JobError;
use super::checked::{coverage_factor, not_negative, positive};
use super::contact_fit::middle;
use super::converted::Conversion;
use super::feature::{
    BoreToFlat, CrimpHeight, EccentricityDefinition, Feature, Groove, GrooveWidth, InsideDiameter,
    Keyseat, KeyseatConvention, LobedShaft, PlainDiameter, SoftThickness, Thickness, TubeWall,
    VScale,
};
use super::feature_error::{FeatureError, too_wide};
use super::field::{Field, Right};
use super::job::{InstrumentErrors, Job, StandardForm};
use super::pair::ContactKind;
use super::target::Target;
use crate::features::keyseat::chord_height;
use crate::features::lobes;
use crate::uncertainty::statistics::mean;
use crate::units::{Celsius, Entered};

/// Compressed by more of its thickness, soft material is not corrected by a modulus (common practice, no source).
const LARGEST_STRAIN: f64 = 0.1;
/// The half angles of contacts and flanks are good to minutes of arc (common practice, no source).
const MINUTES: RangeInclusive<f64> = 0.0..=120.0;
/// No part is measured outside this at a bench, degrees Celsius (common practice, no source).
const CELSIUS: RangeInclusive<f64> = -10.0..=120.0;
/// The least wall in percent of the greatest: less is no tube (common practice, no source), and none is above all.
const RATIO: RangeInclusive<f64> = 50.0..=100.0;

/// Vickers hardness of parts, lead to hard metal (common practice, no source).
const VICKERS: RangeInclusive<f64> = 3.0..=3000.0;
/// Degrees of freedom that earlier series can have (common practice, no source).
const EXPERIENCE: RangeInclusive<f64> = 1.0..=1e6;
/// Angles of places, degrees; a list of angles may go round many times (common practice, no source).
const TURNED: RangeInclusive<f64> = -1e6..=1e6;
/// Areas of a crimp in section, square millimetres (common practice, no source).
const SECTION: RangeInclusive<f64> = 1e-3..=1e4;
/// Widths of a crimp, millimetres (common practice, no source).
const CRIMP_WIDTH: RangeInclusive<f64> = 0.01..=1e3;
/// Ratios of a compression, percent.
const COMPRESSION: RangeInclusive<f64> = 0.0..=1000.0;

/// How far the level of readings in a V may be from the size that it shows, as a fraction of the diameter (common
/// practice, no source).
const V_LEVEL: f64 = 0.02;

/// Refuses equipment, conditions and earlier knowledge whose numbers cannot be meant.
pub fn check(job: &Job, target: &Target) -> Result<(), JobError> {
    prior(job)?;
    equipment(job)?;
    contacts(job, target)?;
    if let Some(hardness) = job.part.hardness_hv {
        within(Field::Hardness, hardness, &VICKERS, Right::Vickers)?;
    }
    temperature(job)?;
    for place in &job.readings {
        if let Some(angle) = place.angle {
            within(Field::PlaceAngle, angle, &TURNED, Right::Degrees)?;
        }
    }
    if let Some(feature) = &target.feature {
        of_feature(job, target, feature)?;
    }
    Ok(())
}

/// Refuses readings in two units, and readings of a part below zero.
pub fn check_readings(job: &Job) -> Result<(), JobError> {
    let of_part = || job.readings.iter().flat_map(|place| &place.readings);
    let on_standard = || job.zero.before.iter().chain(&job.zero.after);
    let Some(first) = of_part().next() else {
        return Ok(());
    };
    if let Some(other) = of_part()
        .chain(on_standard())
        .find(|reading| reading.unit() != first.unit())
    {
        return Err(JobError::MixedUnits {
            one: first.clone(),
            other: other.clone(),
        });
    }
    for reading in of_part() {
        not_negative(Field::Reading, reading)?;
    }
    // Contacts closed on each other may show a little less than nothing; nothing else does.
    if job.standard.form != StandardForm::Closed {
        for reading in on_standard() {
            not_negative(Field::Reading, reading)?;
        }
    }
    floor_of_groove(job)?;
    floor_of_seat(job)
}

fn within(
    field: Field,
    value: f64,
    range: &RangeInclusive<f64>,
    right: Right,
) -> Result<(), JobError> {
    number(field, value, range.contains(&value), right)
}

fn number(field: Field, value: f64, good: bool, right: Right) -> Result<(), JobError> {
    if good {
        Ok(())
    } else {
        Err(JobError::Number {
            field,
            value,
            right,
        })
    }
}

/// Lengths that are above zero where they are stated.
fn all_positive<const N: usize>(all: [(Field, Option<&Entered>); N]) -> Result<(), JobError> {
    for (field, entered) in all {
        if let Some(entered) = entered {
            positive(field, entered)?;
        }
    }
    Ok(())
}

/// Lengths that are zero or above where they are stated.
fn none_negative<const N: usize>(all: [(Field, Option<&Entered>); N]) -> Result<(), JobError> {
    for (field, entered) in all {
        if let Some(entered) = entered {
            not_negative(field, entered)?;
        }
    }
    Ok(())
}

fn prior(job: &Job) -> Result<(), JobError> {
    let prior = &job.prior;
    if let Some(repeatability) = &prior.repeatability {
        let value = prior.degrees_of_freedom.unwrap_or(0.0);
        if !EXPERIENCE.contains(&value) {
            return Err(JobError::DegreesOfFreedom { value });
        }
        positive(Field::Repeatability, repeatability)?;
    }
    all_positive([(Field::DriftLimit, prior.drift_limit.as_ref())])?;
    if let Some(own) = &prior.own {
        positive(Field::OwnUncertainty, &own.expanded_uncertainty)?;
        coverage_factor(Field::OwnUncertainty, own.coverage_factor)?;
    }
    none_negative([(Field::Form, prior.form.as_ref())])
}

fn equipment(job: &Job) -> Result<(), JobError> {
    all_positive([
        (Field::Resolution, job.instrument.resolution.as_ref()),
        (
            Field::ZeroAllowance,
            // It counts only where no zero was set.
            job.zero
                .allowance
                .as_ref()
                .filter(|_| job.zero.before.is_empty()),
        ),
    ])?;
    let yearly =
        |drift: &'_ Option<super::YearlyDrift>| drift.as_ref().map(|one| one.per_year.clone());
    let drifts = [yearly(&job.instrument.drift), yearly(&job.standard.drift)];
    none_negative([
        (Field::YearlyDrift, drifts[0].as_ref()),
        (Field::YearlyDrift, drifts[1].as_ref()),
        (Field::Flatness, job.contacts.flatness.as_ref()),
        (Field::Parallelism, job.contacts.parallelism.as_ref()),
    ])?;
    let standard = &job.standard;
    not_negative(Field::StandardUncertainty, &standard.expanded_uncertainty)?;
    coverage_factor(Field::StandardUncertainty, standard.coverage_factor)?;
    match &job.instrument.errors {
        InstrumentErrors::Within {
            maximum_permissible_error,
        } => {
            not_negative(Field::MaximumPermissibleError, maximum_permissible_error)?;
        }
        InstrumentErrors::Curve {
            expanded_uncertainty,
            coverage_factor: k,
            periodic_error,
            ..
        } => {
            not_negative(Field::CurveUncertainty, expanded_uncertainty)?;
            coverage_factor(Field::CurveUncertainty, *k)?;
            none_negative([(Field::PeriodicError, periodic_error.as_ref())])?;
        }
    }
    let Some(wires) = &job.wires else {
        return Ok(());
    };
    not_negative(Field::WireUncertainty, &wires.expanded_uncertainty)?;
    coverage_factor(Field::WireUncertainty, wires.coverage_factor)?;
    match job.contacts.force.or(job.instrument.force) {
        Some(newtons) => within(Field::Force, newtons, &(0.0..=50.0), Right::Newtons),
        None => Ok(()),
    }
}

/// Angles of V and cone, and of the flanks that they touch.
fn contacts(job: &Job, target: &Target) -> Result<(), JobError> {
    if target.thread.is_none() || job.contacts.kind != ContactKind::VAndCone {
        return Ok(());
    }
    if let Some(minutes) = job
        .contacts
        .half_angle_limit
        .filter(|_| job.standard.form != StandardForm::ThreadPlug)
    {
        within(
            Field::HalfAngleLimit,
            minutes,
            &MINUTES,
            Right::ContactMinutes,
        )?;
    }
    match job.prior.flank_angle {
        Some(minutes) => within(Field::FlankAngle, minutes, &MINUTES, Right::FlankMinutes),
        None => Ok(()),
    }
}

fn temperature(job: &Job) -> Result<(), JobError> {
    if let Some(read) = &job.temperature {
        within(
            Field::TemperatureUncertainty,
            read.standard_uncertainty,
            &(0.0..=20.0),
            Right::Kelvins,
        )?;
    }
    job.temperatures()
        .map(Celsius::degrees)
        .try_for_each(|degrees| within(Field::Temperature, degrees, &CELSIUS, Right::Celsius))
}

fn of_feature(job: &Job, target: &Target, feature: &Feature) -> Result<(), JobError> {
    match feature {
        Feature::PlainDiameter(plain) => plain_diameter(plain),
        Feature::TubeWall(wall) => tube_wall(wall),
        Feature::InsideDiameter(tube) => inside_diameter(tube, target),
        Feature::BoreToFlat(BoreToFlat { bore }) => positive(Field::Bore, bore).map(|_| ()),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => around_groove(groove),
        Feature::GrooveWidth(width) => groove_width(width),
        Feature::Land(_) => Ok(()),
        Feature::Keyseat(seat) => keyseat(seat, target),
        Feature::LobedShaft(shaft) => lobed_shaft(shaft, target),
        Feature::SoftThickness(sheet) => soft_thickness(job, sheet, target),
        Feature::CrimpHeight(crimp) => crimp_height(crimp),
    }
}

fn plain_diameter(plain: &PlainDiameter) -> Result<(), JobError> {
    none_negative([
        (Field::OvalityLimit, plain.ovality_limit.as_ref()),
        (Field::TaperLimit, plain.taper_limit.as_ref()),
        (Field::BarrelLimit, plain.barrel_limit.as_ref()),
    ])
}

fn tube_wall(wall: &TubeWall) -> Result<(), JobError> {
    positive(Field::Bore, &wall.bore)?;
    none_negative([
        (Field::RunOutLimit, wall.run_out_limit.as_ref()),
        (Field::EccentricityLimit, wall.eccentricity_limit.as_ref()),
    ])?;
    let (Some(definition), Some(percent)) = (wall.definition, wall.percent_limit) else {
        return Ok(());
    };
    within(Field::PercentLimit, percent, &(0.0..=200.0), Right::Percent)?;
    if definition == EccentricityDefinition::LeastOverMost && !RATIO.contains(&percent) {
        let others = EccentricityDefinition::ALL
            .into_iter()
            .filter(|other| *other != definition)
            .collect();
        return Err(FeatureError::RatioNotMeant { percent, others }.into());
    }
    Ok(())
}

fn inside_diameter(tube: &InsideDiameter, target: &Target) -> Result<(), JobError> {
    let outside = positive(Field::OutsideDiameter, &tube.outside_diameter)?;
    not_negative(
        Field::OutsideDiameterUncertainty,
        &tube.outside_diameter_uncertainty,
    )?;
    let inside = middle(target.limits);
    if outside.mm() <= inside {
        let outside = tube.outside_diameter.clone();
        return Err(FeatureError::OutsideNotLarger { outside, inside }.into());
    }
    Ok(())
}

fn around_groove(groove: &Groove) -> Result<(), JobError> {
    all_positive([
        (Field::GrooveWidth, Some(&groove.width)),
        (Field::GrooveDepth, groove.depth.as_ref()),
        (Field::LandDiameter, groove.land_diameter.as_ref()),
    ])?;
    none_negative([(Field::RootRadius, groove.root_radius.as_ref())])?;
    match groove.wall_angle {
        Some(angle) => number(
            Field::WallAngle,
            angle,
            (0.0..80.0).contains(&angle),
            Right::WallDegrees,
        ),
        None => Ok(()),
    }
}

/// The land beside a groove is larger than its floor.
fn floor_of_groove(job: &Job) -> Result<(), JobError> {
    use super::job::Characteristic::Feature as Described;
    let Described { feature, .. } = &job.characteristic else {
        return Ok(());
    };
    let (Feature::GrooveDiameter(groove) | Feature::Undercut(groove)) = &**feature else {
        return Ok(());
    };
    match (&groove.land_diameter, mean_reading(job)) {
        (Some(land), Some(floor)) if land.value().mm() <= floor => {
            let land = land.clone();
            Err(FeatureError::LandNotLarger { land, floor }.into())
        }
        _ => Ok(()),
    }
}

/// The floor of a seat lies below the edge of its walls and above the axis of the shaft: readings from the floor to the
/// opposite side that put it elsewhere are of something else, or the shaft is.
fn floor_of_seat(job: &Job) -> Result<(), JobError> {
    use super::job::Characteristic::Feature as Described;
    let Described { feature, .. } = &job.characteristic else {
        return Ok(());
    };
    let (Feature::Keyseat(seat), Some(reading)) = (&**feature, mean_reading(job)) else {
        return Ok(());
    };
    let shaft = seat.shaft_diameter.value().mm();
    let Some(height) = chord_height(shaft, seat.width.value().mm()) else {
        // A seat that does not fit its shaft, which is said where it is computed with.
        return Ok(());
    };
    let (convention, shaft) = (seat.convention, seat.shaft_diameter.clone());
    let depth = shaft.value().mm() - height - reading;
    if depth <= 0.0 {
        return Err(FeatureError::SeatAboveEdge {
            reading,
            shaft,
            depth,
            convention,
        }
        .into());
    }
    if reading < shaft.value().mm() / 2.0 {
        return Err(FeatureError::SeatBelowAxis { reading, shaft }.into());
    }
    Ok(())
}

fn mean_reading(job: &Job) -> Option<f64> {
    let readings: Vec<f64> = job
        .readings
        .iter()
        .flat_map(|place| &place.readings)
        .map(|reading| reading.value().mm())
        .collect();
    mean(&readings)
}

fn groove_width(width: &GrooveWidth) -> Result<(), JobError> {
    not_negative(Field::DiscUncertainty, &width.disc_uncertainty)?;
    all_positive([
        (Field::DiscThickness, Some(&width.anvil_disc)),
        (Field::DiscThickness, Some(&width.spindle_disc)),
    ])
}

/// A seat is less deep than half its shaft, so limits below the radius are a depth and limits above it the distance
/// to the opposite side: which was stated shows in the numbers.
fn keyseat(seat: &Keyseat, target: &Target) -> Result<(), JobError> {
    let shaft = positive(Field::ShaftDiameter, &seat.shaft_diameter)?;
    let width = positive(Field::SeatWidth, &seat.width)?;
    not_negative(
        Field::ShaftDiameterUncertainty,
        &seat.shaft_diameter_uncertainty,
    )?;
    not_negative(Field::SeatWidthUncertainty, &seat.width_uncertainty)?;
    if width >= shaft {
        return Err(too_wide(seat).into());
    }
    let Some(depth) = target.limits.lower.max(target.limits.upper) else {
        return Ok(());
    };
    let (convention, shaft) = (seat.convention, seat.shaft_diameter.clone());
    let looks_like_a_depth = depth.mm() < shaft.value().mm() / 2.0;
    let stated_as_a_depth = convention != KeyseatConvention::BottomToOppositeSide;
    match (looks_like_a_depth, stated_as_a_depth) {
        (true, false) => Err(FeatureError::LooksLikeDepth { convention, shaft }.into()),
        (false, true) => Err(FeatureError::LooksLikeDistance { convention, shaft }.into()),
        _ => Ok(()),
    }
}

fn lobed_shaft(shaft: &LobedShaft, target: &Target) -> Result<(), JobError> {
    none_negative([(Field::RoundnessLimit, shaft.roundness_limit.as_ref())])?;
    let n = shaft.v_readings.len();
    // Without any nothing can be computed, which is said there.
    if (1..3).contains(&n) {
        return Err(FeatureError::FewVReadings { n }.into());
    }
    let n = shaft.lobes;
    if n < 2 {
        return Err(FeatureError::FewLobes { n }.into());
    }
    v_scale(shaft, middle(target.limits))
}

/// A scale in the V that shows the diameter shows that of the shaft, one that shows the distance another number, and an
/// indicator any: readings near the one are not taken for the other, as the lobing would come out too small or too large.
fn v_scale(shaft: &LobedShaft, diameter: f64) -> Result<(), JobError> {
    let values = || shaft.v_readings.iter().map(|reading| reading.value().mm());
    let Some(ratio) = lobes::distance_to_diameter(shaft.v_angle) else {
        // No V, which is said where it is computed with.
        return Ok(());
    };
    let (least, most) = values().fold((f64::MAX, f64::MIN), |(least, most), value| {
        (least.min(value), most.max(value))
    });
    if least > most {
        return Ok(());
    }
    let level = f64::midpoint(least, most);
    let distance = ratio * diameter;
    // Half of what parts them, so that no level is near both.
    let reach = diameter * V_LEVEL.min((ratio - 1.0) / 2.0);
    let near = |size: f64| (level - size).abs() <= reach;
    let from_zero = level.abs() <= diameter / 10.0;
    let fits = match shaft.v_scale {
        Some(VScale::Diameter) => near(diameter) || from_zero,
        Some(VScale::Distance) => !near(diameter),
        None => near(distance),
    };
    if fits {
        return Ok(());
    }
    Err(match shaft.v_scale {
        Some(scale) => FeatureError::VLevel {
            scale,
            level,
            diameter,
            distance,
        },
        None => FeatureError::VScaleUnknown {
            level,
            diameter,
            distance,
        },
    }
    .into())
}

fn soft_thickness(job: &Job, sheet: &SoftThickness, target: &Target) -> Result<(), JobError> {
    let young = sheet.modulus_mpa;
    number(
        Field::Modulus,
        young,
        young > 0.0 && young < 1e6,
        Right::Megapascals,
    )?;
    within(
        Field::ModulusLimit,
        sheet.modulus_relative_limit,
        &(0.0..=1.0),
        Right::Fraction,
    )?;
    let dwell = sheet.dwell_seconds;
    number(
        Field::Dwell,
        dwell,
        dwell > 0.0 && dwell <= 3600.0,
        Right::Seconds,
    )?;
    match sheet.pressure_kpa {
        Some(pressure) => number(
            Field::Pressure,
            pressure,
            pressure > 0.0 && pressure < 1e6,
            Right::Kilopascals,
        )?,
        None if sheet.thickness == Thickness::UnderPressure => {
            return Err(FeatureError::NoStatedPressure.into());
        }
        None => {}
    }
    none_negative([(Field::Creep, sheet.creep.as_ref())])?;
    if sheet.thickness == Thickness::UnderPressure {
        return Ok(());
    }
    all_positive([
        (Field::Face, job.contacts.face.as_ref()),
        (Field::TipRadius, job.contacts.tip_radius.as_ref()),
    ])?;
    // What the contacts take away in the middle of the limits.
    let thickness = middle(target.limits);
    let conversion = Conversion::of(job, target, thickness, 0.0)?;
    let taken = thickness - middle(conversion.as_read(target.limits)?);
    let share = taken / (thickness + taken);
    if share > LARGEST_STRAIN {
        return Err(FeatureError::Strain { share }.into());
    }
    Ok(())
}

fn crimp_height(crimp: &CrimpHeight) -> Result<(), JobError> {
    if crimp.sheet.trim().is_empty() {
        return Err(FeatureError::NoSheet.into());
    }
    if let Some([lower, upper]) = crimp
        .compression
        .as_ref()
        .and_then(|compression| compression.limits_percent)
        && lower > upper
    {
        return Err(JobError::PercentsReversed { lower, upper });
    }
    if let Some(compression) = &crimp.compression {
        for (field, area) in [
            (Field::AreaAfter, Some(compression.area_after_mm2)),
            (Field::BarrelArea, compression.barrel_area_mm2),
            (Field::ConductorArea, compression.conductor_area_mm2),
        ] {
            if let Some(area) = area {
                within(field, area, &SECTION, Right::SquareMillimetres)?;
            }
        }
        if let Some(width) = compression.width_mm {
            within(Field::CrimpWidth, width, &CRIMP_WIDTH, Right::Millimetres)?;
        }
        for percent in compression.limits_percent.into_iter().flatten() {
            within(
                Field::CompressionLimit,
                percent,
                &COMPRESSION,
                Right::Percent,
            )?;
        }
    }
    match crimp
        .pull
        .as_ref()
        .and_then(|pull| pull.standard_uncertainty_n)
    {
        Some(u) => number(
            Field::PullUncertainty,
            u,
            u >= 0.0 && u.is_finite(),
            Right::PullNewtons,
        ),
        None => Ok(()),
    }
}
