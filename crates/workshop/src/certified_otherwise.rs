//! A piece that a job takes at another size than the certificate that is known of it.

use jiff::civil::Date;
use metrology::inspection::equipment::{Certified, Piece};
use metrology::inspection::{Job, StatusNote};
use metrology::units::Length;

use crate::equipment::pieces;
use crate::register::{Found, Register, Registered};

/// The pieces of a job whose size is another by a certificate in the register or on the record, by more than its uncertainty.
pub fn notes(job: &Job, register: &Register) -> Vec<StatusNote> {
    let notes = pieces(job).filter_map(|(kind, used)| {
        let registered = register.find(kind, used.id())?;
        let (Certified::Size(size), Some(within)) = (used.certified(), used.certified_within())
        else {
            return None;
        };
        let (certified, certificate) = certified(used, registered, job)?;
        let taken = size.value();
        if (certified - taken).abs() <= within.value() {
            return None;
        }
        let (piece, id, used) = (kind.in_notes(), used.id().to_owned(), taken);
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
    });
    notes.collect()
}

/// The size by the last certificate up to the day of a job, with its number; by the description in the register where none has
/// a date. None where the job goes by a certificate that nothing is known of.
fn certified(
    used: &dyn Piece,
    registered: &Registered,
    job: &Job,
) -> Option<(Length, Option<String>)> {
    let trimmed = |number: &str| number.trim().to_owned();
    let described = registered.described.certificate().map(trimmed);
    let certificates = registered.certificates.iter();
    let mut numbers = certificates.map(|one| one.number.as_deref().map(trimmed));
    let stated = used.certificate().map(trimmed);
    if stated.is_some() && stated != described && !numbers.any(|one| one == stated) {
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
