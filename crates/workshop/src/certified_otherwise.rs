//! A piece that a job takes at another size than the certificate that is known of it.

use jiff::civil::Date;
use metrology::inspection::equipment::Certified;
use metrology::inspection::{Job, Piece, StatusNote};
use metrology::units::{Entered, Length};

use crate::equipment::Kind;
use crate::register::{Found, Register, Registered};

/// A piece of a job that has a certified size.
struct Sized<'a> {
    piece: Piece,
    kind: Kind,
    id: &'a str,
    size: &'a Entered,
    expanded_uncertainty: &'a Entered,
    certificate: Option<&'a str>,
}

/// The pieces of a job whose size is another by a certificate in the register or on the record, by more than its uncertainty.
pub fn notes(job: &Job, register: &Register) -> impl Iterator<Item = StatusNote> {
    let standard = Sized {
        piece: Piece::Standard,
        kind: Kind::Standard,
        id: &job.standard.id,
        size: &job.standard.size,
        expanded_uncertainty: &job.standard.expanded_uncertainty,
        certificate: job.standard.certificate.as_deref(),
    };
    let wires = job.wires.as_ref().map(|wires| Sized {
        piece: Piece::Wires,
        kind: Kind::Wires,
        id: &wires.id,
        size: &wires.diameter,
        expanded_uncertainty: &wires.expanded_uncertainty,
        certificate: wires.certificate.as_deref(),
    });
    [Some(standard), wires]
        .into_iter()
        .flatten()
        .filter_map(|used| {
            let registered = register.find(used.kind, used.id)?;
            note(&used, registered, job)
        })
}

fn note(used: &Sized<'_>, registered: &Registered, job: &Job) -> Option<StatusNote> {
    let (certified, certificate) = certified(used, registered, job)?;
    let apart = (certified - used.size.value()).abs();
    if apart <= used.expanded_uncertainty.value() {
        return None;
    }
    let (piece, id) = (used.piece, used.id.to_owned());
    let used = used.size.value();
    Some(match certificate {
        Some(certificate) => StatusNote::OtherCertificate {
            piece,
            id,
            used,
            certified,
            certificate,
        },
        None => StatusNote::OtherInRegister {
            piece,
            id,
            used,
            certified,
        },
    })
}

/// The size by the last certificate up to the day of a job, with its number; by the description in the register where none has
/// a date. None where the job goes by a certificate that nothing is known of.
fn certified(
    used: &Sized<'_>,
    registered: &Registered,
    job: &Job,
) -> Option<(Length, Option<String>)> {
    let trimmed = |number: &str| number.trim().to_owned();
    let described = registered.described.certificate().map(trimmed);
    let numbers = registered.certificates.iter().map(|one| one.number.as_deref().map(trimmed));
    let stated = used.certificate.map(trimmed);
    let is_known = stated.is_none() || stated == described || numbers.clone().any(|one| one == stated);
    if !is_known {
        return None;
    }
    match last_size(registered, job.measured_on) {
        Some((size, number)) => Some((size, number.map(trimmed))),
        // What a piece was before it was described anew is not known here.
        None if registered.is_change && job.measured_at < registered.recorded_at => None,
        None => match registered.described.piece().certified() {
            Certified::Size(size) => Some((size.value(), described)),
            _ => None,
        },
    }
}

fn last_size(registered: &Registered, day: Date) -> Option<(Length, Option<&str>)> {
    let certificates = registered.certificates.iter().rev();
    let mut until = certificates.filter(|one| one.date <= day);
    until.find_map(|one| match &one.found {
        Found::Size(size) => Some((size.value(), one.number.as_deref())),
        _ => None,
    })
}
