//! The report of each kind of records as text.

use ledger::{Entry, Facts, Ledger};
use workshop::RecordKind;
use workshop::checks_on_record;
use workshop::gauge_room::calibration;
use workshop::status::changed;

use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::output::width;
use crate::record;
use crate::report::first_article::FirstArticle;
use crate::report::sheet::recorded_study::RecordedStudy;
use crate::report::{self, Record, calibrated, cases, validated};
use crate::say;

/// The report of an entry that is no inspection; none where there is none of its kind.
pub fn report(ledger: &Ledger, entry: &Entry) -> Result<Option<String>, Failure> {
    let Some(kind) = RecordKind::of_entry(entry) else {
        return Ok(None);
    };
    let report = match kind {
        RecordKind::Inspection
        | RecordKind::Equipment
        | RecordKind::Approval
        | RecordKind::Badge => return Ok(None),
        RecordKind::Validation => validation_report(entry),
        RecordKind::Calibration => calibration_report(entry),
        RecordKind::Certificate => certificate_report(entry),
        RecordKind::Status => status_report(entry),
        RecordKind::Check => check_report(entry),
        RecordKind::Room => room_report(entry),
        RecordKind::Recall => case_report(entry),
        RecordKind::Note => note(ledger, entry),
        RecordKind::Plan | RecordKind::Lot | RecordKind::ZeroCheck | RecordKind::Nonconformance => {
            Ok(told(entry))
        }
        RecordKind::Found => found_report(ledger, entry),
        RecordKind::Trial => trial_report(entry),
        RecordKind::Study => study_report(ledger, entry),
        RecordKind::FirstArticle => first_article_report(ledger, entry),
    };
    report.map(Some)
}

fn calibration_report(entry: &Entry) -> Result<String, Failure> {
    let worked = calibration::worked(entry)?;
    let result = calibration::as_read(entry)?;
    Ok(calibrated::answer(&worked, &result))
}

fn certificate_report(entry: &Entry) -> Result<String, Failure> {
    let one = workshop::certificates_on_record::on_record(entry)?;
    Ok(format!("{}\n", report::certified::report(&one.certified)))
}

fn status_report(entry: &Entry) -> Result<String, Failure> {
    Ok(format!("{}\n", report::status::line(&changed(entry)?)))
}

fn trial_report(entry: &Entry) -> Result<String, Failure> {
    Ok(report::trial::report(&report::trial::read(entry)?))
}

fn study_report(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let sheet = RecordedStudy::of(ledger, entry)?.sheet()?;
    Ok(sheet.lines().join("\n") + "\n")
}

fn first_article_report(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let article = FirstArticle::issued(ledger, entry)?;
    let lines = article.text(&Letterhead::read(None)?, width());
    Ok(lines.join("\n") + "\n")
}

fn check_report(entry: &Entry) -> Result<String, Failure> {
    let check = checks_on_record::check(entry)?;
    Ok(format!("{}\n", report::checked::line(&check)))
}

fn room_report(entry: &Entry) -> Result<String, Failure> {
    let room = checks_on_record::room(entry)?;
    Ok(format!("{}\n", report::checked::room_line(&room)))
}

fn case_report(entry: &Entry) -> Result<String, Failure> {
    let case = workshop::gauge_room::case::case(entry)?;
    Ok(cases::report(&case))
}

/// What has no report of its own: what it says, whole, and who recorded it.
fn told(entry: &Entry) -> String {
    let what = report::lines::line(entry, &Facts::default(), usize::MAX);
    let lines = [
        what,
        say!(
            "lots.recorded",
            entry = entry.id(),
            time = entry.content.recorded_at.strftime("%Y-%m-%d %H:%M UTC"),
            person = entry.content.actor.name,
            station = entry.content.station
        ),
        say!("record.hash", hash = entry.hash),
        String::new(),
    ];
    lines.join("\n")
}

/// What was found, with the gauge, what its status makes of it, and where a measurement says otherwise.
fn found_report(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let mut told = told(entry);
    for line in report::found::lines(ledger, entry)? {
        told += &line;
        told.push('\n');
    }
    Ok(told)
}

fn validation_report(entry: &Entry) -> Result<String, Failure> {
    let validated = record::validation(entry).map_err(Failure::outside)?;
    Ok(validated::answer(&validated, width()))
}

/// A note has its reason and the entry it is about, and says what holds since.
fn note(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let mut lines = vec![say!(
        "record.note",
        entry = entry.id(),
        time = entry.content.recorded_at.strftime("%Y-%m-%d %H:%M UTC"),
        person = entry.content.actor.name
    )];
    if let Some(amendment) = &entry.content.amends {
        let about = ledger.get(&amendment.entry.into())?;
        let (of, reason) = (amendment.entry, &amendment.reason);
        lines.push(if RecordKind::Note.is_of(&about) {
            say!("record.adds-to", entry = of, reason = reason)
        } else {
            say!("record.withdraws", entry = of, reason = reason)
        });
    }
    if let Some(superseded) = Record::of(ledger, entry)?.superseded {
        lines.push(superseded.sentence());
    }
    lines.push(say!("record.hash", hash = entry.hash));
    lines.push(String::new());
    Ok(lines.join("\n"))
}
