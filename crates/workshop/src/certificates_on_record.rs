//! Certificates from outside on the record, and the days on which a piece was last found good.

use jiff::civil::Date;
use ledger::{Draft, Entry, EntryId, Filter, Ledger, Order, Subject};

use crate::calibrations_on_record::{self, Shown, failed as failed_of};
use crate::error::Error;
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::calibration::Worked;
use crate::gauge_record::certificate::{CERTIFICATES, CertificateError, Certified, same_number};
use crate::gauge_record::piece::PieceId;
use crate::kept;
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

/// A certificate and the entry that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct OnRecord {
    pub certified: Certified,
    pub entry: EntryId,
}

/// The certificates of a piece by their dates, the first first; of all pieces where none is named.
pub fn of(ledger: &Ledger, piece: Option<&PieceId>) -> Result<Vec<OnRecord>, Error> {
    let subject = piece.map_or_else(
        || Subject::new(CERTIFICATES.0, CERTIFICATES.1),
        PieceId::subject,
    );
    let filter = Filter {
        subjects: vec![subject],
        ..RecordKind::Certificate.standing()
    };
    let mut all = Vec::new();
    each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        all.push(on_record(entry)?);
        Ok(())
    })?;
    all.sort_by_key(|one: &OnRecord| one.certified.heading.date);
    Ok(all)
}

/// The certificate that an entry holds.
pub fn on_record(entry: &Entry) -> Result<OnRecord, Error> {
    let certified = kept::read(kept::CERTIFICATE, &entry.content.inputs).map_err(|_| {
        Error::outside(CertificateError::Unreadable {
            entry: entry.id().to_string(),
        })
    })?;
    Ok(OnRecord {
        certified,
        entry: entry.id(),
    })
}

/// The entry of a certificate, not yet recorded.
pub fn draft(
    ledger: &Ledger,
    certified: &Certified,
    today: Date,
    recorder: &Recorder,
) -> Result<Draft, Error> {
    certified.check(today).map_err(Error::input)?;
    let earlier = of(ledger, Some(&certified.piece))?;
    let number = &certified.heading.number;
    if let Some(known) = earlier
        .iter()
        .find(|known| same_number(&known.certified.heading.number, number))
    {
        return Err(Error::input(CertificateError::Known {
            number: number.clone(),
            entry: known.entry.to_string(),
        }));
    }
    for value in &certified.values {
        let mut known = earlier.iter().flat_map(|known| &known.certified.values);
        let other =
            known.find(|known| known.quantity == value.quantity && known.unit != value.unit);
        if let Some(other) = other {
            return Err(Error::input(CertificateError::OtherUnit {
                quantity: value.quantity.clone(),
                unit: value.unit.clone(),
                before: other.unit.clone(),
            }));
        }
    }
    Ok(Draft {
        inputs: kept::write(kept::CERTIFICATE, certified).map_err(Error::outside)?,
        subjects: certified.subjects(),
        ..recorder.blank(RecordKind::Certificate)?
    })
}

/// The days of the certificates from outside that do not state otherwise than that a piece conforms: as found and as left may stand in
/// one, so that the others show it neither good nor bad.
fn shown_good(ledger: &Ledger, piece: &PieceId) -> Result<Vec<Date>, Error> {
    let certificates = of(ledger, Some(piece))?.into_iter();
    let good = certificates.filter(|one| one.certified.not_shown().is_none());
    Ok(good.map(|one| one.certified.heading.date).collect())
}

/// The days on which a piece was found good: of certificates from outside, and of calibrations in house that kept their criterion.
pub fn good_checks(ledger: &Ledger, piece: &PieceId) -> Result<Vec<Date>, Error> {
    let days = shown_good(ledger, piece)?.into_iter();
    let calibrations = calibrations_on_record::all(ledger, Some(piece))?;
    let calibrations = calibrations.into_values().flatten();
    let good = calibrations.filter(|one| one.is_good).map(|one| one.date);
    Ok(days.chain(good).collect())
}

/// The last calibration in house of a piece that did not show it good, where nothing later does.
pub fn failed(ledger: &Ledger, piece: &PieceId) -> Result<Option<Shown>, Error> {
    let days = shown_good(ledger, piece)?;
    let calibrations = calibrations_on_record::all(ledger, Some(piece))?;
    let of_piece = calibrations.get(piece).map_or(&[][..], Vec::as_slice);
    Ok(failed_of(of_piece, &days, Date::MAX).cloned())
}

/// The number of the calibration in house by which a piece was in use and that was withdrawn, where nothing that stands is of its
/// day or later.
pub fn withdrawn(ledger: &Ledger, piece: &PieceId) -> Result<Option<String>, Error> {
    let filter = Filter {
        subjects: vec![piece.subject()],
        ..RecordKind::Calibration.all()
    };
    let certificates = of(ledger, Some(piece))?.into_iter();
    let mut standing: Vec<Date> = certificates.map(|one| one.certified.heading.date).collect();
    let mut latest: Option<(Date, String)> = None;
    each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        let worked: Result<Worked, _> = kept::read(kept::CALIBRATION, &entry.content.inputs);
        let result: Result<CalibratedDocument, _> =
            kept::read(kept::CALIBRATED, &entry.content.results);
        let (Ok(worked), Ok(result)) = (worked, result) else {
            return Ok(());
        };
        let date = worked.heading.date;
        if entry.amended_by.is_none() {
            standing.push(date);
        } else if result.is_good() && latest.as_ref().is_none_or(|(before, _)| *before <= date) {
            latest = Some((date, worked.heading.number.trim().to_owned()));
        }
        Ok(())
    })?;
    let latest = latest.filter(|(date, _)| !standing.iter().any(|day| day >= date));
    Ok(latest.map(|(_, number)| number))
}
