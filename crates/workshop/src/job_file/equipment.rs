//! Equipment as a person writes it down: in a job file, or many pieces in one equipment file.
//!
//! A job file may name a piece by its identity alone; the rest then comes from the register. Where the register
//! knows a piece that the job file describes in full, its state (quarantined, lost, ...) still counts, and a remark
//! says what the two contradict each other in.

use std::fmt;
use std::path::Path;

use jiff::civil::Date;
use metrology::inspection::Thermometer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer};
use toml::Spanned;

use super::by_keys::{Each, Keys, Name, Shaped, Value};
use super::error::{FileNote, Wrong};
use super::held::{Contradiction, contradictions};
use super::origin::Origin;
use super::section::{Placed, Section};
use super::typed::{Source, Typed};
use super::values::{OfPiece, Under, Until};
use super::{read_text, shape, shaped};
use crate::error::Error;
use crate::register::{Equipment, Kind, Refusal, Stock, is_alike};
use crate::remark::Remark;

/// An equipment file: a unit, a person, and under the key of each kind its pieces.
#[derive(Default)]
struct EquipmentFile {
    unit: Option<Typed>,
    person: Option<String>,
    pieces: Vec<(Kind, Vec<Shaped>)>,
}

const OWN: [&str; 2] = ["unit", "person"];

static NAMES: [&str; OWN.len() + Kind::EVERY.len()] = {
    let mut names = [""; OWN.len() + Kind::EVERY.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = if at < OWN.len() {
            OWN[at]
        } else {
            Kind::EVERY[at - OWN.len()].key()
        };
        at += 1;
    }
    names
};

impl<'de> Deserialize<'de> for EquipmentFile {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct InFile;
        impl<'de> Visitor<'de> for InFile {
            type Value = EquipmentFile;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("equipment")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<EquipmentFile, A::Error> {
                let mut file = EquipmentFile::default();
                while let Some(name) = map.next_key_seed(Name(&NAMES))? {
                    match (name, Kind::of(name)) {
                        (_, Some(kind)) => {
                            let keys = Keys::of_piece(kind.keys(), kind.key_names());
                            file.pieces.push((kind, map.next_value_seed(Each(keys))?));
                        }
                        ("person", None) => file.person = map.next_value()?,
                        _ => file.unit = map.next_value()?,
                    }
                }
                // In the order of kinds, not of the file.
                file.pieces.sort_by_key(|(kind, _)| *kind);
                Ok(file)
            }
        }
        from.deserialize_map(InFile)
    }
}

/// What an equipment file holds: who wrote it, and the pieces in the order of their kinds.
pub struct Listed {
    /// Who, where the file says.
    pub person: Option<String>,
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
    let mut pieces: Vec<Equipment> = Vec::new();
    let all = file.pieces.iter();
    for (kind, keys) in all.flat_map(|(kind, all)| all.iter().map(move |keys| (*kind, keys))) {
        let id = keys
            .identity()
            .ok_or_else(|| source.wrong(Wrong::NoIdentity))?;
        let piece = described(&source, kind, keys, id, (until, None))?;
        if piece.id().is_empty() {
            return Err(source.wrong_at(id, Wrong::NoIdentity));
        }
        if pieces
            .iter()
            .any(|other| other.kind() == kind && is_alike(other.id(), piece.id()))
        {
            let id_twice = piece.id().to_owned();
            return Err(source.wrong_at(id, Wrong::PieceTwice { kind, id: id_twice }));
        }
        pieces.push(piece);
    }
    if pieces.is_empty() {
        return Err(source.wrong(Wrong::NoEquipment));
    }
    Ok(Listed {
        person: file.person,
        pieces,
    })
}

/// A piece as a section describes it.
fn described(
    source: &Source,
    kind: Kind,
    keys: &Shaped,
    id: &Spanned<String>,
    (until, usual): (Until, Option<Usual>),
) -> Result<Equipment, Error> {
    let mut values = Under {
        source,
        section: kind.key().to_owned(),
        keys,
        piece: Some(OfPiece { id, until, usual }),
    };
    let described = Equipment::read(kind, &mut values)?;
    match described.piece().wrong() {
        Some((key, why)) => Err(source.wrong_at(id, why).about(key)),
        None => Ok(described),
    }
}

/// A key, and the code that is meant where it is left out.
pub type Usual = (&'static str, &'static str);

/// The piece of a job that its section describes, or names by its identity alone; what two contacts are in the micrometer may
/// stand beside the identity.
pub fn of_job(
    source: &Source,
    kind: Kind,
    keys: &Shaped,
    usual: Option<Usual>,
    shelf: &Stock,
) -> Result<Equipment, Error> {
    let id = keys
        .identity()
        .ok_or_else(|| source.wrong(Wrong::NoIdentity))?;
    let is_whole = keys
        .values()
        .any(|value| !matches!(value, Value::Identity(_) | Value::Identities(_)));
    let described = is_whole
        .then(|| {
            described(
                source,
                kind,
                keys,
                id,
                (Until::Measured(shelf.day()), usual),
            )
        })
        .transpose()?;
    if let Some(known) = known(shelf, kind, id.get_ref()) {
        same_members(source, keys, id, &known)?;
    }
    taken(source, kind, id, described, shelf)
}

/// The contacts in the micrometer must be those of the registered pair.
fn same_members(
    source: &Source,
    keys: &Shaped,
    id: &Spanned<String>,
    known: &Equipment,
) -> Result<(), Error> {
    let now = keys.values().find_map(|value| match value {
        Value::Identities(now) => Some(now),
        _ => None,
    });
    let (Some(now), Some(then)) = (now, known.piece().members()) else {
        return Ok(());
    };
    let same = |a: &[String; 2], b: &[String; 2]| {
        a == b || (a.first() == b.last() && a.last() == b.first())
    };
    if same(now, then) {
        return Ok(());
    }
    let ([one, other], [its_one, its_other]) = (now.clone(), then.clone());
    let pair = known.id().to_owned();
    let wrong = Wrong::MixedPair {
        one,
        other,
        pair,
        its_one,
        its_other,
    };
    Err(source.wrong_at(id, wrong).about("members"))
}

/// A piece as the job describes it, in the state that the register knows where the job says none; or, of an identity
/// alone, as the register has it.
fn taken(
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

/// The thermometer that a job names: it has no section of its own, and so it must be registered.
pub fn thermometer(
    source: &Source,
    id: &Spanned<String>,
    shelf: &Stock,
) -> Result<Box<Thermometer>, Error> {
    let (kind, named) = (Kind::Thermometer, id.get_ref().clone());
    if named.is_empty() {
        return Err(source.wrong_at(id, Wrong::NoIdentity));
    }
    spelled(source, kind, id, shelf)?;
    if let Some(Equipment::Thermometer(found)) = shelf.find(kind, &named)? {
        return Ok(Box::new(found));
    }
    let known = shelf.nearest(kind, &named);
    let wrong = if known.is_empty() {
        Wrong::NoThermometer { id: named }
    } else {
        Wrong::NoThermometerNear { id: named, known }
    };
    Err(source.wrong_at(id, wrong))
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
