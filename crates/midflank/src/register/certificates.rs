//! The certificates that a piece has had: what changed between them tells how it drifts.

use jiff::civil::Date;
use ledger::{EntryId, Ledger};
use metrology::correction::ErrorCurve;
use metrology::inspection::{InstrumentErrors, YearlyDrift};
use metrology::units::{Entered, Length, LengthUnit};

use super::{EQUIPMENT, Equipment, registered};
use crate::failure::Failure;

/// Days of a year.
const YEAR: f64 = 365.25;

/// One certificate of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Certificate {
    /// Its date.
    pub date: Date,
    /// Its number, where that is known.
    pub number: Option<String>,
    /// What it certifies.
    pub found: Found,
}

/// What a certificate certifies.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A size.
    Size(Entered),
    /// Errors of indication at sizes of the scale.
    Curve(Vec<(Length, Length)>),
    /// That the errors are within a limit, or nothing that drifts.
    Nothing,
}

/// The dated certificates of a piece, the first first; of descriptions with one date or one number the last.
pub fn of(ledger: &Ledger, entry: EntryId) -> Result<Vec<Certificate>, Failure> {
    let mut found: Vec<Certificate> = Vec::new();
    for entry in ledger.history(&entry.into())? {
        if entry.content.kind != EQUIPMENT {
            continue;
        }
        if let Some(certificate) = certificate(&registered(&entry)?.equipment) {
            let same = |known: &Certificate| {
                known.date == certificate.date
                    || (known.number.is_some() && known.number == certificate.number)
            };
            found.retain(|known| !same(known));
            found.push(certificate);
        }
    }
    found.sort_by_key(|certificate| certificate.date);
    Ok(found)
}

/// The certificate of a piece, where its date is known.
pub fn certificate(piece: &Equipment) -> Option<Certificate> {
    let (date, found) = match piece {
        Equipment::Instrument(piece) => (
            piece.certificate_date?,
            match &piece.errors {
                InstrumentErrors::Curve { points, .. } => {
                    let points = points.iter();
                    let points = points.map(|point| (point.at.value(), point.error.value()));
                    Found::Curve(points.collect())
                }
                InstrumentErrors::Within { .. } => Found::Nothing,
            },
        ),
        Equipment::Standard(piece) => (piece.certificate_date?, Found::Size(piece.size.clone())),
        Equipment::Contacts(_) | Equipment::Wires(_) | Equipment::Balls(_) => return None,
    };
    let number = piece.certificate().map(str::to_owned);
    Some(Certificate {
        date,
        number,
        found,
    })
}

/// Over less time the uncertainties of two certificates pass for drift, days (a proposal, no source).
const APART: i32 = 180;

/// The largest change between neighbouring certificates for the time between them; none where there are not two to
/// compare. The uncertainties of the certificates are in it; two that agree by luck show too little.
pub fn drift(certificates: &[Certificate]) -> Option<YearlyDrift> {
    let rates = certificates.windows(2).filter_map(|two| match two {
        [one, next] => {
            let days = one.date.until(next.date).ok()?.get_days();
            (days >= APART).then_some(())?;
            Some(change(&one.found, &next.found)? / f64::from(days) * YEAR)
        }
        _ => None,
    });
    let rates: Vec<f64> = rates.collect();
    let largest = rates.iter().copied().reduce(f64::max)?;
    let length = Length::nearest_mm(largest).ok()?;
    let text = format!("{}mm", length.to_fixed(LengthUnit::Millimetre, 7));
    Some(YearlyDrift {
        per_year: Entered::parse(&text, None).ok()?,
        certificates: u32::try_from(rates.len() + 1).ok(),
    })
}

/// How far two certificates are apart, millimetres: of an error curve how far apart the change is at two places, since the
/// zero takes out what all have in common.
fn change(one: &Found, next: &Found) -> Option<f64> {
    match (one, next) {
        (Found::Size(one), Found::Size(next)) => Some((next.value() - one.value()).abs().mm()),
        (Found::Curve(one), Found::Curve(next)) => {
            let before = ErrorCurve::new(one.clone()).ok()?;
            let changes: Vec<f64> = next
                .iter()
                .filter_map(|(at, error)| Some(error.mm() - before.error_at(*at).ok()?))
                .collect();
            let most = changes.iter().copied().reduce(f64::max)?;
            let least = changes.iter().copied().reduce(f64::min)?;
            (changes.len() > 1).then_some(most - least)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn size(year: i16, text: &str) -> Certificate {
        Certificate {
            date: date(year, 3, 1),
            number: None,
            found: Found::Size(Entered::parse(text, None).unwrap()),
        }
    }

    #[test]
    fn the_largest_change_in_a_year() {
        let certificates = [
            size(2023, "25.0003mm"),
            size(2024, "25.0005mm"),
            size(2026, "25.0004mm"),
        ];
        let drift = drift(&certificates).unwrap();
        assert_eq!(drift.certificates, Some(3));
        // 0.2 µm from one March to the next, 366 days.
        assert!((drift.per_year.value().mm() - 0.0002 * YEAR / 366.0).abs() < 1e-7);
    }

    #[test]
    fn one_certificate_tells_nothing() {
        assert_eq!(drift(&[size(2023, "25.0003mm")]), None);
    }

    #[test]
    fn of_a_curve_what_the_zero_leaves() {
        let um = Length::from_micrometres;
        let curve = |year, errors: [i32; 3]| Certificate {
            date: date(year, 3, 1),
            number: None,
            found: Found::Curve(
                [0, 10_000, 25_000]
                    .map(um)
                    .into_iter()
                    .zip(errors.map(um))
                    .collect(),
            ),
        };
        // All points by 2 µm, which the zero takes out, and the last by 1 µm more.
        let found = drift(&[curve(2024, [0, 0, 0]), curve(2025, [2, 2, 3])]).unwrap();
        assert!((found.per_year.value().mm() - 0.001 * YEAR / 365.0).abs() < 1e-6);
    }
}
