//! Equipment as a person writes it down: in a job file, or many pieces in one equipment file.
//!
//! A job file may name a piece by its identity alone; the rest then comes from the register. Where the register
//! knows a piece that the job file describes in full, its state (quarantined, lost, ...) still counts, and a remark
//! says what the two contradict each other in.

use std::path::Path;

use jiff::civil::Date;
use metrology::inspection::{
    Contacts, Field, Instrument, InstrumentErrors, Standard, StandardForm, WireSet, YearlyDrift,
};
use metrology::units::Entered;
use serde::Deserialize;
use toml::Spanned;

use super::error::{FileNote, Wrong};
use super::held::{Contradiction, contradictions};
use super::origin::Origin;
use super::section::{Placed, Section};
use super::typed::{Source, Typed};
use super::{read_text, shape, shaped};
use crate::error::Error;
use crate::given;
use crate::register::{Equipment, Kind, Refusal, Stock, is_alike};
use crate::remark::Remark;

/// The keys of an equipment file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EquipmentFile {
    unit: Option<Typed>,
    person: Option<String>,
    #[serde(default)]
    instrument: Vec<shape::Instrument>,
    #[serde(default)]
    contacts: Vec<shape::Contacts>,
    #[serde(default)]
    standard: Vec<shape::Standard>,
    #[serde(default)]
    wires: Vec<shape::Wires>,
    #[serde(default)]
    balls: Vec<shape::Wires>,
}

/// What an equipment file holds: who wrote it, and the pieces in the order of their kinds.
pub struct Listed {
    /// Who, where the file says.
    pub person: Option<String>,
    /// Every piece.
    pub pieces: Vec<Equipment>,
}

/// Reads an equipment file on a day.
pub fn read(path: &Path, today: Date) -> Result<Listed, Error> {
    parse(path, &read_text(path)?, today)
}

/// Takes the text of an equipment file on a day.
pub fn parse(path: &Path, text: &str, today: Date) -> Result<Listed, Error> {
    let origin = Origin::File { path, text };
    let file: EquipmentFile = shaped(origin).map_err(|error| {
        // A whole job has each piece once, and what was read with it.
        if shaped::<shape::JobFile>(origin).is_ok() {
            origin.wrong(0, Wrong::IsAJob)
        } else {
            error
        }
    })?;
    listed(origin, file, today)
}

/// Takes what an equipment file would hold, as a form gives it.
pub fn given(given: &Section, today: Date) -> Result<Listed, Error> {
    let placed = Placed::of(given);
    let origin = Origin::Given(&placed);
    listed(origin, shaped(origin)?, today)
}

fn listed(origin: Origin, file: EquipmentFile, today: Date) -> Result<Listed, Error> {
    let source = Source::new(origin, file.unit.as_ref())?;
    let until = Until::Today(today);
    let mut pieces = Vec::new();
    let mut add = |id: &Spanned<String>, piece: Equipment| {
        if piece.id().trim().is_empty() {
            return Err(source.wrong_at(id, Wrong::NoIdentity));
        }
        if pieces.iter().any(|other: &Equipment| {
            other.kind() == piece.kind() && is_alike(other.id(), piece.id())
        }) {
            let wrong = Wrong::PieceTwice {
                kind: piece.kind(),
                id: piece.id().to_owned(),
            };
            return Err(source.wrong_at(id, wrong));
        }
        pieces.push(piece);
        Ok(())
    };
    for keys in &file.instrument {
        add(
            &keys.id,
            Equipment::Instrument(instrument(&source, keys, until)?),
        )?;
    }
    for keys in &file.contacts {
        add(&keys.id, Equipment::Contacts(contacts(&source, keys)?))?;
    }
    for keys in &file.standard {
        add(
            &keys.id,
            Equipment::Standard(standard(&source, keys, StandardForm::default(), until)?),
        )?;
    }
    for keys in &file.wires {
        add(&keys.id, Equipment::Wires(wires(&source, keys)?))?;
    }
    for keys in &file.balls {
        add(&keys.id, Equipment::Balls(wires(&source, keys)?))?;
    }
    if pieces.is_empty() {
        return Err(source.wrong(Wrong::NoEquipment));
    }
    Ok(Listed {
        person: file.person,
        pieces,
    })
}

/// The micrometer of a job.
pub fn instrument_of_job(
    source: &Source,
    keys: &shape::Instrument,
    shelf: &Stock,
) -> Result<Instrument, Error> {
    let described = (!keys.is_identity_alone())
        .then(|| instrument(source, keys, Until::Measured(shelf.day())).map(Equipment::Instrument))
        .transpose()?;
    match of_job(source, Kind::Instrument, &keys.id, described, shelf)? {
        Equipment::Instrument(piece) => Ok(piece),
        _ => Err(unregistered(source, Kind::Instrument, &keys.id, shelf)),
    }
}

/// The pair of contacts of a job.
pub fn contacts_of_job(
    source: &Source,
    keys: &shape::Contacts,
    shelf: &Stock,
) -> Result<Contacts, Error> {
    let described = (!keys.is_identity_alone())
        .then(|| contacts(source, keys).map(Equipment::Contacts))
        .transpose()?;
    if let Some(Equipment::Contacts(known)) = known(shelf, Kind::Contacts, keys.id.get_ref()) {
        same_pair(source, keys, &known)?;
    }
    match of_job(source, Kind::Contacts, &keys.id, described, shelf)? {
        Equipment::Contacts(piece) => Ok(piece),
        _ => Err(unregistered(source, Kind::Contacts, &keys.id, shelf)),
    }
}

/// The contacts in the micrometer must be those of the registered pair.
fn same_pair(source: &Source, keys: &shape::Contacts, known: &Contacts) -> Result<(), Error> {
    let (Some(now), Some(then)) = (&keys.members, &known.members) else {
        return Ok(());
    };
    let same = |a: &[String; 2], b: &[String; 2]| {
        a == b || (a.first() == b.last() && a.last() == b.first())
    };
    if same(now, then) {
        return Ok(());
    }
    let ([one, other], [its_one, its_other]) = (now.clone(), then.clone());
    let pair = known.id.clone();
    let wrong = Wrong::MixedPair {
        one,
        other,
        pair,
        its_one,
        its_other,
    };
    Err(source.wrong_at(&keys.id, wrong).about("members"))
}

/// The setting standard of a job.
pub fn standard_of_job(
    source: &Source,
    keys: &shape::Standard,
    usual_form: StandardForm,
    shelf: &Stock,
) -> Result<Standard, Error> {
    let described = (!keys.is_identity_alone())
        .then(|| {
            let until = Until::Measured(shelf.day());
            standard(source, keys, usual_form, until).map(Equipment::Standard)
        })
        .transpose()?;
    match of_job(source, Kind::Standard, &keys.id, described, shelf)? {
        Equipment::Standard(piece) => Ok(piece),
        _ => Err(unregistered(source, Kind::Standard, &keys.id, shelf)),
    }
}

/// The wires of a job.
pub fn wires_of_job(source: &Source, keys: &shape::Wires, shelf: &Stock) -> Result<WireSet, Error> {
    let described = (!keys.is_identity_alone())
        .then(|| wires(source, keys).map(Equipment::Wires))
        .transpose()?;
    match of_job(source, Kind::Wires, &keys.id, described, shelf)? {
        Equipment::Wires(piece) => Ok(piece),
        _ => Err(unregistered(source, Kind::Wires, &keys.id, shelf)),
    }
}

/// A piece as the job describes it, in the state that the register knows where the job says none; or, of an identity
/// alone, as the register has it.
fn of_job(
    source: &Source,
    kind: Kind,
    id: &Spanned<String>,
    described: Option<Equipment>,
    shelf: &Stock,
) -> Result<Equipment, Error> {
    spelled(source, kind, id, shelf)?;
    let Some(described) = described else {
        return registered(source, kind, id, shelf);
    };
    let Some(known) = known(shelf, kind, described.id()) else {
        return Ok(described);
    };
    let contradictions = contradictions(&described, &known);
    if let Some(what) = contradictions.into_iter().reduce(Contradiction::and) {
        shelf.remark(Remark::of(FileNote::Contradiction {
            file: source.path().display().to_string(),
            kind,
            id: described.id().to_owned(),
            what,
        }));
    }
    Ok(if described.state().is_active() {
        described.with_state(known.state())
    } else {
        described
    })
}

/// Letter case makes no other piece: a slip of the hand must not lead past what the register says of one.
fn spelled(source: &Source, kind: Kind, id: &Spanned<String>, shelf: &Stock) -> Result<(), Error> {
    match shelf.alike(kind, id.get_ref()) {
        Some(known) => Err(source.wrong_at(id, Refusal::alike(kind, id.get_ref(), known))),
        None => Ok(()),
    }
}

/// What the register says of a piece that the job describes in full. A job that needs nothing of the register is
/// not stopped by one that cannot be read.
fn known(shelf: &Stock, kind: Kind, id: &str) -> Option<Equipment> {
    shelf.find(kind, id).unwrap_or_default()
}

fn registered(
    source: &Source,
    kind: Kind,
    id: &Spanned<String>,
    shelf: &Stock,
) -> Result<Equipment, Error> {
    shelf
        .find(kind, id.get_ref())?
        .ok_or_else(|| unregistered(source, kind, id, shelf))
}

fn unregistered(source: &Source, kind: Kind, named: &Spanned<String>, shelf: &Stock) -> Error {
    let (section, id) = (kind.key().to_owned(), named.get_ref().clone());
    let known = shelf.nearest(kind, &id);
    let wrong = if known.is_empty() {
        Wrong::Unregistered { kind, section, id }
    } else {
        Wrong::UnregisteredNear {
            kind,
            section,
            id,
            known,
        }
    };
    source.wrong_at(named, wrong)
}

/// A key that a full description needs.
fn needed<'a, T>(
    source: &Source,
    id: &Spanned<String>,
    key: &str,
    value: Option<&'a T>,
) -> Result<&'a T, Error> {
    value.ok_or_else(|| {
        let wrong = Wrong::NotDescribed {
            id: id.get_ref().clone(),
            key: key.to_owned(),
        };
        source.wrong_at(id, wrong).about(key)
    })
}

fn force(source: &Source, force: Option<&Typed>) -> Result<Option<f64>, Error> {
    source.number_if(force, given::FORCE)
}

/// What a piece is stated to change by in a year.
fn yearly(source: &Source, typed: Option<&Typed>) -> Result<Option<YearlyDrift>, Error> {
    source.optional(typed, |source, typed| {
        Ok(YearlyDrift {
            per_year: source.small(Field::YearlyDrift, typed)?,
            certificates: None,
            apart: None,
        })
    })
}

/// The latest date of a certificate, and why.
#[derive(Clone, Copy)]
enum Until {
    /// Today, on the register.
    Today(Date),
    /// The day of the measurement, in a job.
    Measured(Date),
}

/// No certificate of equipment in use is older: a date before it is a slip (common practice, no source).
const EARLIEST_CERTIFICATE: Date = Date::constant(1950, 1, 1);

fn certificate_date(
    source: &Source,
    typed: Option<&Typed>,
    until: Until,
) -> Result<Option<Date>, Error> {
    source.optional(typed, |source, typed| {
        let date = source.date(typed)?;
        let earliest = EARLIEST_CERTIFICATE;
        let wrong = match until {
            _ if date < earliest => Wrong::CertificateTooEarly { date, earliest },
            Until::Today(today) if date > today => Wrong::CertificateAhead { date, today },
            Until::Measured(measured) if date > measured => {
                Wrong::CertificateAfter { date, measured }
            }
            _ => return Ok(date),
        };
        Err(source.wrong_at(typed, wrong))
    })
}

fn instrument(
    source: &Source,
    keys: &shape::Instrument,
    until: Until,
) -> Result<Instrument, Error> {
    let errors = match (&keys.maximum_permissible_error, &keys.error_curve) {
        (Some(limit), None) => InstrumentErrors::Within {
            maximum_permissible_error: source.small(Field::MaximumPermissibleError, limit)?,
        },
        (None, Some(curve)) => InstrumentErrors::Curve {
            points: source.curve(&curve.points)?,
            expanded_uncertainty: source
                .small(Field::CurveUncertainty, &curve.expanded_uncertainty)?,
            coverage_factor: source.number(&curve.coverage_factor, given::COVERAGE_FACTOR)?,
            periodic_error: source.optional(curve.periodic_error.as_ref(), |source, typed| {
                source.not_negative(Field::PeriodicError, typed)
            })?,
        },
        _ => {
            return Err(source
                .wrong_at(&keys.id, Wrong::InstrumentErrors)
                .about("maximum_permissible_error"));
        }
    };
    let range = needed(source, &keys.id, "range", keys.range.as_ref())?;
    Ok(Instrument {
        id: keys.id.get_ref().clone(),
        range: source.range(keys.id.get_ref(), range)?,
        resolution: source.optional(keys.resolution.as_ref(), Source::step)?,
        certificate: keys.certificate.clone(),
        due: source.optional(keys.due.as_ref(), Source::date)?,
        certificate_date: certificate_date(source, keys.certificate_date.as_ref(), until)?,
        drift: yearly(source, keys.drift_per_year.as_ref())?,
        errors,
        force: force(source, keys.force.as_ref())?,
        spindle_turns: keys.spindle_turns,
        state: keys.state.unwrap_or_default(),
    })
}

fn contacts(source: &Source, keys: &shape::Contacts) -> Result<Contacts, Error> {
    let size = |what, typed: &Option<Typed>| {
        source.optional(typed.as_ref(), |source, typed| source.positive(what, typed))
    };
    Ok(Contacts {
        id: keys.id.get_ref().clone(),
        kind: *needed(source, &keys.id, "kind", keys.kind.as_ref())?,
        included_angle: source.number_if(keys.included_angle.as_ref(), given::INCLUDED_ANGLE)?,
        pitch_range: keys
            .pitch_range
            .as_ref()
            .map(|range| source.pitches(range))
            .transpose()?,
        half_angle_limit: source
            .number_if(keys.half_angle_limit.as_ref(), given::HALF_ANGLE_LIMIT)?,
        members: keys.members.clone(),
        tip_radius: size(Field::TipRadius, &keys.tip_radius)?,
        flatness: source.optional(keys.flatness.as_ref(), |source, typed| {
            source.small(Field::Flatness, typed)
        })?,
        parallelism: source.optional(keys.parallelism.as_ref(), |source, typed| {
            source.small(Field::Parallelism, typed)
        })?,
        face: size(Field::Face, &keys.face)?,
        thickness: size(Field::Thickness, &keys.thickness)?,
        material: keys.material.clone(),
        force: force(source, keys.force.as_ref())?,
        certificate: keys.certificate.clone(),
        due: source.optional(keys.due.as_ref(), Source::date)?,
        state: keys.state.unwrap_or_default(),
    })
}

/// What a certificate states with a size: its expanded uncertainty and the coverage factor of that.
fn certified(
    source: &Source,
    id: &Spanned<String>,
    uncertainty: Field,
    expanded: Option<&Typed>,
    factor: Option<&Typed>,
) -> Result<(Entered, f64), Error> {
    let expanded = needed(source, id, "expanded_uncertainty", expanded)?;
    let factor = needed(source, id, "coverage_factor", factor)?;
    Ok((
        source.small(uncertainty, expanded)?,
        source.number(factor, given::COVERAGE_FACTOR)?,
    ))
}

/// No uncertainty at all is the same by any coverage factor.
const COVERAGE_FACTOR_OF_NOTHING: f64 = 2.0;

fn standard(
    source: &Source,
    keys: &shape::Standard,
    usual_form: StandardForm,
    until: Until,
) -> Result<Standard, Error> {
    let id = &keys.id;
    let form = keys.form.unwrap_or(usual_form);
    let expanded = keys.expanded_uncertainty.as_ref();
    let factor = keys.coverage_factor.as_ref();
    let uncertainty = Field::StandardUncertainty;
    let (size, expanded_uncertainty, coverage_factor) = match (form, &keys.size) {
        // Contacts on each other have the size 0, and no certificate says so.
        (StandardForm::Closed, stated) => {
            let nothing = source.nothing(id)?;
            let size = source.optional(stated.as_ref(), |source, size| {
                source.not_negative(Field::StandardSize, size)
            })?;
            let (expanded, factor) = match (expanded, factor) {
                (None, None) => (nothing.clone(), COVERAGE_FACTOR_OF_NOTHING),
                _ => certified(source, id, uncertainty, expanded, factor)?,
            };
            (size.unwrap_or(nothing), expanded, factor)
        }
        (_, size) => {
            let size = needed(source, id, "size", size.as_ref())?;
            let (expanded, factor) = certified(source, id, uncertainty, expanded, factor)?;
            let size = source.positive(Field::StandardSize, size)?;
            (size, expanded, factor)
        }
    };
    Ok(Standard {
        id: id.get_ref().clone(),
        size,
        expanded_uncertainty,
        coverage_factor,
        form,
        certificate: keys.certificate.clone(),
        certificate_date: certificate_date(source, keys.certificate_date.as_ref(), until)?,
        drift: yearly(source, keys.drift_per_year.as_ref())?,
        due: source.optional(keys.due.as_ref(), Source::date)?,
        state: keys.state.unwrap_or_default(),
    })
}

fn wires(source: &Source, keys: &shape::Wires) -> Result<WireSet, Error> {
    let id = &keys.id;
    let (expanded_uncertainty, coverage_factor) = certified(
        source,
        id,
        Field::WireUncertainty,
        keys.expanded_uncertainty.as_ref(),
        keys.coverage_factor.as_ref(),
    )?;
    Ok(WireSet {
        id: id.get_ref().clone(),
        diameter: source.positive(
            Field::WireDiameter,
            needed(source, id, "diameter", keys.diameter.as_ref())?,
        )?,
        expanded_uncertainty,
        coverage_factor,
        calibrated_under_force: keys.calibrated_under_force.unwrap_or_default(),
        material: keys.material.clone(),
        certificate: keys.certificate.clone(),
        due: source.optional(keys.due.as_ref(), Source::date)?,
        state: keys.state.unwrap_or_default(),
    })
}
