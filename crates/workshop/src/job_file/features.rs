//! Features in a job file: a `[measure.FEATURE]` section beside the name and limits in `[measure]`.

use metrology::features::{pull_force, wire_size};
use metrology::inspection::{
    BoreToFlat, Characteristic, Compression, CrimpHeight, Feature, Groove, GrooveWidth,
    InsideDiameter, Keyseat, KeyseatConvention, Land, LobedShaft, PlainDiameter, Pull,
    SoftThickness, TubeWall, Wire,
};
use metrology::units::{Entered, Length, LengthUnit};

use super::error::Wrong;
use super::section_keys::{
    CompressionKeys, CrimpHeightKeys, GrooveKeys, KeyseatKeys, PlainDiameterKeys, PullKeys,
    TubeWallKeys,
};
use super::shape::Measure;
use super::typed::{Source, Typed};
use crate::error::Error;
use crate::given;

/// Names of features, as the record keeps them and as people say them.
pub const NAMES: [(&str, &[&str]); 12] = [
    ("plain-diameter", &["plain", "diameter"]),
    ("tube-wall", &["wall", "tube"]),
    ("inside-diameter", &["inside"]),
    ("bore-to-flat", &["web"]),
    ("groove-diameter", &["groove"]),
    ("undercut", &[]),
    ("groove-width", &["slot"]),
    ("land", &[]),
    ("keyseat", &["keyway"]),
    ("lobed-shaft", &["lobed", "lobes"]),
    ("soft-thickness", &["soft", "sheet", "soft-sheet"]),
    ("crimp-height", &["crimp"]),
];

/// The key of a feature that goes by this name.
pub fn named(name: &str) -> Option<&'static str> {
    let said = name.trim().to_lowercase().replace([' ', '_'], "-");
    NAMES
        .iter()
        .find(|(key, others)| *key == said || others.contains(&said.as_str()))
        .map(|(key, _)| *key)
}

/// The feature of a job, if its `[measure]` names one.
pub fn feature(source: &Source, measure: &Measure) -> Result<Option<Characteristic>, Error> {
    let mut found = sections(source, measure)?.into_iter();
    let Some(feature) = found.next() else {
        return Ok(None);
    };
    if found.next().is_some() {
        return Err(source.wrong_in("measure", Wrong::TwoFeatures));
    }
    if measure.designation.is_some() {
        return Err(source
            .wrong_in("measure", Wrong::DesignationOfFeature)
            .about("designation"));
    }
    let (lower, upper) = limits(source, measure)?;
    if lower.is_none() && upper.is_none() {
        let wrong = match feature {
            Feature::CrimpHeight(_) => Wrong::NoCrimpLimits,
            _ => Wrong::NoLimits,
        };
        return Err(source.wrong_in("measure", wrong).about("lower"));
    }
    Ok(Some(Characteristic::Feature {
        name: measure.name.clone().unwrap_or_default(),
        lower,
        upper,
        feature: Box::new(feature),
    }))
}

/// Every feature that has a section.
fn sections(source: &Source, measure: &Measure) -> Result<Vec<Feature>, Error> {
    let mut found: Vec<Feature> = Vec::new();
    if let Some(keys) = &measure.plain_diameter {
        found.push(Feature::PlainDiameter(plain_diameter(source, keys)?));
    }
    if let Some(keys) = &measure.tube_wall {
        found.push(Feature::TubeWall(tube_wall(source, keys)?));
    }
    if let Some(keys) = &measure.inside_diameter {
        found.push(Feature::InsideDiameter(InsideDiameter {
            outside_diameter: source.length(&keys.outside_diameter)?,
            outside_diameter_uncertainty: source.length(&keys.outside_diameter_uncertainty)?,
        }));
    }
    if let Some(keys) = &measure.bore_to_flat {
        found.push(Feature::BoreToFlat(BoreToFlat {
            bore: source.length(&keys.bore)?,
        }));
    }
    if let Some(keys) = &measure.groove_diameter {
        found.push(Feature::GrooveDiameter(groove(source, keys)?));
    }
    if let Some(keys) = &measure.undercut {
        found.push(Feature::Undercut(groove(source, keys)?));
    }
    if let Some(keys) = &measure.groove_width {
        found.push(Feature::GrooveWidth(GrooveWidth {
            anvil_disc: source.length(&keys.anvil_disc)?,
            spindle_disc: source.length(&keys.spindle_disc)?,
            disc_uncertainty: source.length(&keys.disc_uncertainty)?,
        }));
    }
    if let Some(keys) = &measure.land {
        found.push(Feature::Land(Land {
            groove_width: source.length(&keys.groove_width)?,
        }));
    }
    if let Some(keys) = &measure.keyseat {
        found.push(Feature::Keyseat(keyseat(source, keys)?));
    }
    if let Some(keys) = &measure.lobed_shaft {
        found.push(Feature::LobedShaft(LobedShaft {
            lobes: source.whole(&keys.lobes, given::LOBES)?,
            v_angle: source.number(&keys.v_angle, given::INCLUDED_ANGLE)?,
            v_scale: keys.v_scale,
            v_readings: source.readings(&keys.v_readings)?,
            roundness_limit: source.optional(keys.roundness_limit.as_ref(), Source::length)?,
        }));
    }
    if let Some(keys) = &measure.soft_thickness {
        found.push(Feature::SoftThickness(SoftThickness {
            thickness: keys.thickness,
            modulus_mpa: source.number(&keys.modulus_mpa, given::MODULUS)?,
            modulus_relative_limit: source.number(&keys.modulus_relative_limit, given::FRACTION)?,
            dwell_seconds: source.number(&keys.dwell_seconds, given::DWELL)?,
            pressure_kpa: source.number_if(keys.pressure_kpa.as_ref(), given::PRESSURE)?,
            creep: source.optional(keys.creep.as_ref(), Source::length)?,
        }));
    }
    if let Some(keys) = &measure.crimp_height {
        found.push(Feature::CrimpHeight(crimp_height(source, keys)?));
    }
    Ok(found)
}

/// Limits as stated, or nominal less and plus tolerance, exact.
pub fn limits(
    source: &Source,
    measure: &Measure,
) -> Result<(Option<Entered>, Option<Entered>), Error> {
    match (&measure.nominal, &measure.tolerance) {
        (None, None) => Ok((
            source.optional(measure.lower.as_ref(), Source::length)?,
            source.optional(measure.upper.as_ref(), Source::length)?,
        )),
        (Some(nominal), Some(tolerance)) if measure.lower.is_none() && measure.upper.is_none() => {
            let (middle, half) = (source.length(nominal)?, source.length(tolerance)?);
            if half.value().is_negative() {
                return Err(source.wrong_at(tolerance, Wrong::SignedTolerance));
            }
            let text = |limit: Length| {
                let unit = match middle.unit() {
                    LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
                    LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
                };
                let decimals = if middle.unit() == half.unit() && middle.unit() == unit {
                    middle.decimals().max(half.decimals())
                } else {
                    7
                };
                Entered::parse(&format!("{}{unit}", limit.to_fixed(unit, decimals)), None)
                    .map_err(|error| source.wrong_at(nominal, error))
            };
            Ok((
                Some(text(middle.value() - half.value())?),
                Some(text(middle.value() + half.value())?),
            ))
        }
        (nominal, tolerance) => {
            let at = nominal.as_ref().or(tolerance.as_ref());
            Err(at.map_or_else(
                || source.wrong_in("measure", Wrong::MixedLimits),
                |at| source.wrong_at(at, Wrong::MixedLimits),
            ))
        }
    }
}

fn plain_diameter(source: &Source, keys: &PlainDiameterKeys) -> Result<PlainDiameter, Error> {
    Ok(PlainDiameter {
        ovality_limit: source.optional(keys.ovality_limit.as_ref(), Source::length)?,
        taper_limit: source.optional(keys.taper_limit.as_ref(), Source::length)?,
        barrel_limit: source.optional(keys.barrel_limit.as_ref(), Source::length)?,
    })
}

fn tube_wall(source: &Source, keys: &TubeWallKeys) -> Result<TubeWall, Error> {
    Ok(TubeWall {
        bore: source.length(&keys.bore)?,
        definition: keys.definition,
        percent_limit: source.number_if(keys.percent_limit.as_ref(), given::ECCENTRICITY)?,
        eccentricity_limit: source.optional(keys.eccentricity_limit.as_ref(), Source::length)?,
        run_out_limit: source.optional(keys.run_out_limit.as_ref(), Source::length)?,
    })
}

fn groove(source: &Source, keys: &GrooveKeys) -> Result<Groove, Error> {
    Ok(Groove {
        width: source.length(&keys.width)?,
        root_radius: source.optional(keys.root_radius.as_ref(), Source::length)?,
        wall_angle: source.number_if(keys.wall_angle.as_ref(), given::WALL_ANGLE)?,
        depth: source.optional(keys.depth.as_ref(), Source::length)?,
        land_diameter: source.optional(keys.land_diameter.as_ref(), Source::length)?,
    })
}

fn keyseat(source: &Source, keys: &KeyseatKeys) -> Result<Keyseat, Error> {
    let convention = keys.convention.ok_or_else(|| {
        let known = KeyseatConvention::ALL.map(KeyseatConvention::key).to_vec();
        source
            .wrong_in("measure.keyseat", Wrong::NoConvention { known })
            .about("convention")
    })?;
    Ok(Keyseat {
        convention,
        shaft_diameter: source.length(&keys.shaft_diameter)?,
        shaft_diameter_uncertainty: source.length(&keys.shaft_diameter_uncertainty)?,
        width: source.length(&keys.width)?,
        width_uncertainty: source.length(&keys.width_uncertainty)?,
    })
}

fn crimp_height(source: &Source, keys: &CrimpHeightKeys) -> Result<CrimpHeight, Error> {
    let lacks = |wrong| source.wrong_in("measure.crimp-height", wrong);
    let sheet = keys
        .sheet
        .clone()
        .filter(|sheet| !sheet.trim().is_empty())
        .ok_or_else(|| lacks(Wrong::NoSheet).about("sheet"))?;
    let wire = match (&keys.awg, &keys.mm2) {
        (Some(awg), None) => {
            let text = source.text(awg);
            wire_size::conductor(&text).map_err(|error| source.wrong_at(awg, error))?;
            Wire::Awg(text)
        }
        (None, Some(mm2)) => {
            let text = source.text(mm2);
            wire_size::area(&text).map_err(|error| source.wrong_at(mm2, error))?;
            Wire::Mm2(text)
        }
        _ => return Err(lacks(Wrong::NoWire).about("awg")),
    };
    let compression = keys
        .compression
        .as_ref()
        .map(|keys| compression(source, keys))
        .transpose()?;
    let pull = keys
        .pull
        .as_ref()
        .map(|keys| pull(source, keys))
        .transpose()?;
    Ok(CrimpHeight {
        sheet,
        wire,
        compression,
        pull,
    })
}

fn compression(source: &Source, keys: &CompressionKeys) -> Result<Compression, Error> {
    let area = |typed: &Option<Typed>| source.number_if(typed.as_ref(), given::AREA);
    let percent = |typed| source.number(typed, given::COMPRESSION);
    let limits_percent = match &keys.limits_percent {
        Some([lower, upper]) => Some([percent(lower)?, percent(upper)?]),
        None => None,
    };
    Ok(Compression {
        definition: keys.definition,
        area_after_mm2: source.number(&keys.area_after_mm2, given::AREA)?,
        barrel_area_mm2: area(&keys.barrel_area_mm2)?,
        conductor_area_mm2: area(&keys.conductor_area_mm2)?,
        width_mm: source.number_if(keys.width_mm.as_ref(), given::CRIMP_WIDTH)?,
        limits_percent,
    })
}

fn pull(source: &Source, keys: &PullKeys) -> Result<Pull, Error> {
    let standard = keys
        .standard
        .clone()
        .filter(|standard| !standard.trim().is_empty())
        .ok_or_else(|| {
            source
                .wrong_in("measure.crimp-height.pull", pull_force::PullError::NotNamed)
                .about("standard")
        })?;
    let force = |typed: &Typed| {
        let text = source.text(typed);
        pull_force::force(&text).map_err(|error| source.wrong_at(typed, error))?;
        Ok(text)
    };
    Ok(Pull {
        standard,
        forces: keys
            .forces
            .iter()
            .map(force)
            .collect::<Result<_, Error>>()?,
        wire_strength: keys.wire_strength.as_ref().map(force).transpose()?,
        standard_uncertainty_n: source
            .number_if(keys.standard_uncertainty_n.as_ref(), given::PULL_FORCE)?,
    })
}
