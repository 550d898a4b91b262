//! Features in a job file: a `[measure.FEATURE]` section beside the name and limits in `[measure]`.

use metrology::inspection::{Characteristic, Feature};
use metrology::units::{Entered, Length, LengthUnit};

use super::error::Wrong;
use super::measure::Measure;
use super::typed::Source;
use super::values::Under;
use crate::error::Error;

/// The feature of a job, if its `[measure]` names one.
pub fn feature(source: &Source, measure: &Measure) -> Result<Option<Characteristic>, Error> {
    let mut found = measure
        .features
        .iter()
        .map(|(kind, keys)| {
            let section = format!("measure.{}", kind.key());
            let mut values = Under {
                source,
                section,
                keys,
                piece: None,
            };
            Feature::read(*kind, &mut values)
        })
        .collect::<Result<Vec<_>, _>>()?
        .into_iter();
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
        let wrong = if feature.kind().is_from_sheet() {
            Wrong::NoSheetLimits
        } else {
            Wrong::NoLimits
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
