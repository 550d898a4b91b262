//! A certificate from a TOML file.

use std::path::Path;

use serde::Deserialize;
use toml::Spanned;

use super::calibration::{CertificateKeys, heading};
use crate::error::Error;
use crate::gauge_record::certificate::{Certified, CertifiedValue};
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::given::{self, Range};
use crate::job_file::origin::Origin;
use crate::job_file::typed::{Source, Typed};
use crate::job_file::{read_text, shaped};

/// A value or an uncertainty in its own unit.
pub(super) const VALUE: Range = Range::new(-1e9, 1e9, "");
pub(super) const UNCERTAINTY: Range = Range::new(0.0, 1e9, "");

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CertificateFile {
    person: String,
    kind: String,
    id: String,
    date: Typed,
    due: Option<Typed>,
    certificate: CertificateKeys,
    #[serde(default)]
    value: Vec<Spanned<ValueKeys>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ValueKeys {
    quantity: String,
    at: Option<Typed>,
    value: Typed,
    unit: String,
    expanded_uncertainty: Typed,
    coverage_factor: Typed,
    wear_limit: Option<Typed>,
}

/// What a file says.
#[derive(Debug)]
pub struct Listed {
    pub person: String,
    pub certified: Certified,
}

/// Reads a file.
pub fn read(path: &Path) -> Result<Listed, Error> {
    parse(path, &read_text(path)?)
}

/// Takes the text of a file.
pub fn parse(path: &Path, text: &str) -> Result<Listed, Error> {
    let origin = Origin::File { path, text };
    let file: CertificateFile = shaped(origin)?;
    let source = Source::new(origin, None)?;
    let kind = PieceKind::read(&file.kind).map_err(|error| source.wrong(error))?;
    let date = source.date(&file.date)?;
    let mut values = Vec::new();
    for spanned in &file.value {
        values.push(value(
            &source.within(spanned.span().start),
            spanned.get_ref(),
        )?);
    }
    Ok(Listed {
        person: file.person,
        certified: Certified {
            piece: PieceId::new(kind, &file.id),
            heading: heading(&source, &file.certificate, date)?,
            values,
            due: source.optional(file.due.as_ref(), Source::date)?,
            conformity: None,
        },
    })
}

fn value(source: &Source, keys: &ValueKeys) -> Result<CertifiedValue, Error> {
    Ok(CertifiedValue {
        quantity: keys.quantity.trim().to_owned(),
        at: source.number_if(keys.at.as_ref(), VALUE)?,
        value: source.number(&keys.value, VALUE)?,
        unit: keys.unit.trim().to_owned(),
        expanded_uncertainty: source.number(&keys.expanded_uncertainty, UNCERTAINTY)?,
        coverage_factor: source.number(&keys.coverage_factor, given::COVERAGE_FACTOR)?,
        wear_limit: source.number_if(keys.wear_limit.as_ref(), VALUE)?,
    })
}
