//! A thread in a job file: its designation, and what the drawing says beside it.

use metrology::coating::Thickness;
use metrology::inspection::{Characteristic, CoatingTerms, Plane, Terms};

use super::error::Wrong;
use super::features;
use super::measure::Measure;
use super::typed::Source;
use crate::error::Error;

/// The thread of a job.
pub fn thread(
    source: &Source,
    measure: &Measure,
    designation: &str,
) -> Result<Characteristic, Error> {
    if measure.name.is_some() {
        return Err(source
            .wrong_in("measure", Wrong::NameBesideDesignation)
            .about("name"));
    }
    let (lower, upper) = features::limits(source, measure)?;
    if measure.origin.is_some() && lower.is_none() && upper.is_none() {
        return Err(source
            .wrong_in("measure", Wrong::OriginAlone)
            .about("origin"));
    }
    let terms = Terms {
        lower,
        upper,
        origin: measure.origin.clone(),
        coating: coating(source, measure)?,
        plane: plane(source, measure)?,
    };
    Ok(Characteristic::Thread {
        designation: designation.to_owned(),
        diameter: measure.diameter.unwrap_or_default(),
        terms: (!terms.is_empty()).then(|| Box::new(terms)),
    })
}

/// Refuses what belongs to a thread where no designation names one.
pub fn only_of_threads(source: &Source, measure: &Measure) -> Result<(), Error> {
    let key = [
        ("origin", measure.origin.is_some()),
        ("plane", measure.plane.is_some()),
        ("plane_within", measure.plane_within.is_some()),
        ("coating", measure.coating.is_some()),
    ]
    .into_iter()
    .find(|(_, given)| *given);
    match key {
        Some((key, _)) => Err(source
            .wrong_in(
                "measure",
                Wrong::OfThreads {
                    key: key.to_owned(),
                },
            )
            .about(key)),
        None => Ok(()),
    }
}

/// The plane of a taper thread, by its name or as a length, and how far it may be off.
fn plane(source: &Source, measure: &Measure) -> Result<Option<Plane>, Error> {
    let within = source.optional(measure.plane_within.as_ref(), Source::length)?;
    let Some(typed) = &measure.plane else {
        return match &measure.plane_within {
            Some(alone) => Err(source
                .wrong_at(alone, Wrong::PlaneWithinAlone)
                .about("plane_within")),
            None => Ok(None),
        };
    };
    let text = source.text(typed);
    let begins_with_a_letter = text.trim().starts_with(char::is_alphabetic);
    let at = if begins_with_a_letter {
        text.trim().to_owned()
    } else {
        source.length(typed)?.text().to_owned()
    };
    Ok(Some(Plane { at, within }))
}

/// A coating with the state that is meant: nobody can tell it from the part.
fn coating(source: &Source, measure: &Measure) -> Result<Option<CoatingTerms>, Error> {
    let Some(keys) = &measure.coating else {
        return Ok(None);
    };
    let thickness = source.text(&keys.thickness);
    Thickness::parse(&thickness).map_err(|error| source.wrong_at(&keys.thickness, error))?;
    let Some(state) = keys.state else {
        return Err(source
            .wrong_in("measure.coating", Wrong::NoCoatingState)
            .about("state"));
    };
    Ok(Some(CoatingTerms {
        thickness,
        state,
        limits_hold: keys.limits_hold,
    }))
}
