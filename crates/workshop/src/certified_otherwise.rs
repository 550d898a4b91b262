//! A piece that a job takes otherwise than a certificate or the register says of it, by more than its uncertainty.

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::correction::ErrorCurve;
use metrology::inspection::equipment::Piece;
use metrology::inspection::keys::{Held, otherwise};
use metrology::inspection::{Job, KnownBy, Piece as InNotes, StatusNote, Target};
use metrology::units::Length;

use crate::equipment::{Equipment, Kind, pieces};
use crate::gauge_record::certificate::{same_number, stated_number};
use crate::register::{
    Certificate, Found, Register, Registered, beyond_limit, found_in, is_larger, is_unused,
    uncertainty_in,
};

/// What the pieces of a job are otherwise by the register, or by a certificate on the record.
pub fn notes(job: &Job, register: &Register) -> Vec<StatusNote> {
    let notes = pieces(job).flat_map(|(kind, used)| {
        let registered = register.find(kind, used.id());
        let known = match registered {
            Some(registered) => {
                let when = (job.measured_at, job.measured_on);
                Some(Known::of(used, registered, when, register))
            }
            None => Known::of_unregistered(used, (kind, job), register),
        };
        let notes = known.map_or_else(Vec::new, |known| known.notes(kind.in_notes(), used, job));
        let of_record = registered
            .and_then(|one| of_record(kind.in_notes(), used, (one, register), job.measured_on));
        notes.into_iter().chain(of_record)
    });
    notes.collect()
}

/// What the last certificate on record up to a day has against a piece as it is taken, where that goes by none of its day or later:
/// errors beyond the limit that is taken, or nothing that the piece could be taken by.
pub fn of_record(
    piece: InNotes,
    used: &dyn Piece,
    (registered, register): (&Registered, &Register),
    day: Date,
) -> Option<StatusNote> {
    let last = &register.last_on_record(registered, day)?.certified;
    let (id, date) = (used.id().to_owned(), last.heading.date);
    let certificate = last.heading.number.trim().to_owned();
    let limit = used.error_limit().map(|limit| limit.value().mm());
    if let Some((error, limit)) = limit.and_then(|limit| Some((beyond_limit(last, limit)?, limit)))
    {
        return Some(StatusNote::BeyondLimit {
            piece,
            id,
            error,
            limit,
            certificate,
        });
    }
    let own = stated_number(used.certificate());
    let is_own = own.is_some_and(|own| same_number(own, &certificate))
        || used.certificate_date().is_some_and(|own| own > date);
    (!is_own && is_unused(&registered.described, last)).then_some(StatusNote::UnusedCertificate {
        piece,
        id,
        certificate,
        date,
    })
}

/// What certificates on record have against a piece as the register describes it: another size, a larger uncertainty, or nothing
/// that it could be taken by.
pub fn of_registered(
    registered: &Registered,
    register: &Register,
    day: Date,
) -> Option<StatusNote> {
    let piece = registered.described.kind().in_notes();
    let used = registered.described.piece();
    let known = Known::of(used, registered, (Timestamp::MAX, day), register);
    let certified = known.certified.as_ref();
    certified
        .and_then(|its| {
            known
                .size(its, piece, used)
                .or_else(|| known.uncertainty(its, piece, used, Length::ZERO))
        })
        .or_else(|| of_record(piece, used, (registered, register), day))
}

/// What is known of a piece of a job.
struct Known<'a> {
    /// How the register described it; none where it was described anew since the job was measured, by another certificate.
    described: Option<&'a Equipment>,
    certified: Option<Certified>,
    /// The number that the job states, where nobody knows a certificate of it.
    unknown: Option<String>,
}

/// What its last certificate up to the day of the job says.
struct Certified {
    found: Found,
    /// The standard uncertainty at each place that one is stated for, millimetres.
    uncertainty: Vec<(Length, f64)>,
    by: KnownBy,
}

impl Certified {
    fn of(certificate: &Certificate) -> Self {
        Self {
            found: certificate.found.clone(),
            uncertainty: certificate.uncertainty.clone(),
            by: by(certificate.number.as_deref()),
        }
    }
}

fn by(number: Option<&str>) -> KnownBy {
    match stated_number(number) {
        Some(number) => KnownBy::Certificate {
            number: number.to_owned(),
        },
        None => KnownBy::Register,
    }
}

impl<'a> Known<'a> {
    /// Of a micrometer that only records know: an error curve that is not older than the certificate that the job states.
    fn of_unregistered(
        used: &dyn Piece,
        (kind, job): (Kind, &Job),
        register: &Register,
    ) -> Option<Self> {
        let curve = register.curve_on_record(kind, used.id(), job.measured_on)?;
        let is_older = used.certificate_date().is_some_and(|own| own > curve.date);
        (!is_older).then(|| Self {
            described: None,
            certified: Some(Certified::of(curve)),
            unknown: None,
        })
    }

    fn of(
        used: &dyn Piece,
        registered: &'a Registered,
        (at, day): (Timestamp, Date),
        register: &'a Register,
    ) -> Self {
        let number = stated_number(used.certificate());
        let own = number.and_then(|number| registered.described_by(number));
        let on_record = number.and_then(|number| registered.certificate_of(number));
        let unknown = number.filter(|_| own.is_none() && on_record.is_none());
        // What a piece was before it was described anew by another certificate is not known here.
        let is_of_later = registered.is_change
            && at < registered.recorded_at
            && unknown.is_none()
            && !registered.is_of_one_certificate();
        let described = own.or((!is_of_later).then_some(&registered.described));
        let certificates = registered.certificates.iter().rev();
        let mut until = certificates.filter(|one| one.date <= day);
        let last = until.find(|one| !matches!(one.found, Found::Nothing | Found::Kelvins(_)));
        let curve = register.curve_on_record(registered.equipment.kind(), used.id(), day);
        let later = curve.filter(|curve| {
            let described = last.map(|last| last.date);
            Some(curve.date) > described
        });
        let certified = match later.or(last) {
            Some(last) => Some(Certified::of(last)),
            None => described.map(|described| Certified {
                found: found_in(described.piece()),
                uncertainty: uncertainty_in(described.piece()),
                by: by(described.certificate()),
            }),
        };
        Self {
            described,
            certified,
            unknown: unknown.map(str::to_owned),
        }
    }

    fn notes(&self, piece: InNotes, used: &dyn Piece, job: &Job) -> Vec<StatusNote> {
        let id = used.id();
        let unknown = self.unknown.clone();
        let unknown = unknown.map(|certificate| StatusNote::UnknownCertificate {
            piece,
            id: id.to_owned(),
            certificate,
        });
        let certified = self.certified.as_ref();
        let of_certificate = certified.and_then(|known| {
            self.size(known, piece, used)
                .or_else(|| self.errors(known, piece, used, job))
                .or_else(|| {
                    let place = measured_at(job).unwrap_or(Length::ZERO);
                    self.uncertainty(known, piece, used, place)
                })
        });
        let described = self.description(piece, used);
        of_certificate
            .into_iter()
            .chain(described)
            .chain(unknown)
            .collect()
    }

    /// By how much the job and a certificate may differ, millimetres: the uncertainty that the job states, or, where its
    /// certificate is not known, the larger of both.
    fn within(&self, known: &Certified, used: &dyn Piece, place: Length) -> Option<f64> {
        let (expanded, factor) = used.certified_within()?;
        let within = expanded.value().mm();
        let its = nearest(&known.uncertainty, place).filter(|_| self.unknown.is_some());
        Some(its.map_or(within, |its| within.max(its * factor)))
    }

    fn size(&self, known: &Certified, piece: InNotes, used: &dyn Piece) -> Option<StatusNote> {
        let Found::Size(certified) = &known.found else {
            return None;
        };
        let Found::Size(taken) = found_in(used) else {
            return None;
        };
        let (certified, taken) = (certified.value(), taken.value());
        let within = self.within(known, used, Length::ZERO)?;
        if (certified - taken).abs().mm() <= within {
            return None;
        }
        let id = used.id().to_owned();
        Some(match &known.by {
            KnownBy::Certificate { number } if self.unknown.is_none() => {
                StatusNote::OtherCertificate {
                    piece,
                    id,
                    used: taken,
                    certified,
                    certificate: number.clone(),
                }
            }
            _ => StatusNote::OtherInRegister {
                piece,
                id,
                used: taken,
                certified,
            },
        })
    }

    /// At the size of the part, less what the zero takes out.
    fn errors(
        &self,
        known: &Certified,
        piece: InNotes,
        used: &dyn Piece,
        job: &Job,
    ) -> Option<StatusNote> {
        let Found::Curve(its) = &known.found else {
            return None;
        };
        let its = ErrorCurve::new(its.clone()).ok()?;
        let standard = job.standard.size.value();
        let zeroed = |curve: &ErrorCurve, at: Length| {
            let at_zero = curve.error_at(standard).unwrap_or_default();
            Some(curve.error_at(at).ok()? - at_zero)
        };
        let at = measured_at(job)?;
        let (own, within) = match found_in(used) {
            Found::Curve(own) => {
                let own = ErrorCurve::new(own).ok()?;
                (zeroed(&own, at)?, self.within(known, used, at)?)
            }
            // Of errors within a limit, either way.
            _ => (0.0, used.error_limit()?.value().mm()),
        };
        let by = (zeroed(&its, at)? - own).abs();
        (by > within).then(|| StatusNote::OtherErrors {
            piece,
            id: used.id().to_owned(),
            by,
            at: at.mm(),
            known: known.by.clone(),
        })
    }

    /// A smaller uncertainty than the certificate has; of a certificate that nobody knows nobody knows that either.
    fn uncertainty(
        &self,
        known: &Certified,
        piece: InNotes,
        used: &dyn Piece,
        place: Length,
    ) -> Option<StatusNote> {
        let (expanded, factor) = used.certified_within()?;
        let used_standard = expanded.value().mm() / factor;
        let certified = nearest(&known.uncertainty, place)?;
        let is_smaller = self.unknown.is_none() && is_larger(certified, used_standard);
        is_smaller.then(|| StatusNote::SmallerUncertainty {
            piece,
            id: used.id().to_owned(),
            used: FACTOR * used_standard,
            certified: FACTOR * certified,
            known: known.by.clone(),
        })
    }

    /// What the register describes otherwise beside what a certificate says.
    fn description(&self, piece: InNotes, used: &dyn Piece) -> Option<StatusNote> {
        let described = self.described?.piece();
        let mut all = otherwise(&used.stated(), &described.stated()).into_iter();
        // A limit is stated by a certificate, what a piece is marked with by none.
        let counts = |held: Option<Held>| {
            self.unknown.is_none() || !matches!(held, Some(Held::NotLess { .. }))
        };
        let first = all.find(|one| counts(one.key.held))?;
        Some(StatusNote::OtherDescription {
            piece,
            id: used.id().to_owned(),
            key: first.key.name.to_owned(),
            used: first.here.text().unwrap_or_default(),
            registered: first.there.text().unwrap_or_default(),
        })
    }
}

/// Both uncertainties are shown by this coverage factor.
const FACTOR: f64 = 2.0;

fn nearest(uncertainty: &[(Length, f64)], place: Length) -> Option<f64> {
    let nearest = uncertainty.iter().min_by_key(|(at, _)| (*at - place).abs());
    nearest.map(|(_, uncertainty)| *uncertainty)
}

/// Where on its scale the micrometer shows the part: the middle of the limits, or the one limit; over wires, higher by as much as
/// wires of the best size are at 60°.
fn measured_at(job: &Job) -> Option<Length> {
    let limits = Target::of(&job.characteristic).ok()?.limits;
    let middle = match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => f64::midpoint(lower.mm(), upper.mm()),
        (one, other) => one.or(other)?.mm(),
    };
    let wires = job.wires.as_ref();
    let over = wires.map_or(0.0, |wires| 1.5 * wires.diameter.value().mm());
    Length::nearest_mm(middle + over).ok()
}
