//! The kinds of records as commands show them: one line of a list, and the page of a report.

use ledger::{Entry, Facts, Ledger};
use workshop::checks_on_record;
use workshop::gauge_room::{calibration, studies};
use workshop::lot_entry::{Checked, Found, LotBegun, ZeroCheck};
use workshop::lots;
use workshop::nonconformance::Decision;
use workshop::plan::Plan;
use workshop::status::changed;
use workshop::{RecordKind, badges};

use crate::approvals;
use crate::failure::Failure;
use crate::kept;
use crate::letterhead::Letterhead;
use crate::output::width;
use crate::record;
use crate::register;
use crate::report::first_article::FirstArticle;
use crate::report::sheet::recorded_study::RecordedStudy;
use crate::report::{self, Record, calibrated, cases, validated, verdict_word};
use crate::say;
use crate::words::{self, KnownInWords as _, number};

/// The report of an entry as text.
type Report = fn(&Ledger, &Entry) -> Result<String, Failure>;

/// A line of a list.
type Line = fn(&Entry, &Facts, usize) -> String;

/// How a kind of records is shown.
struct Shown {
    kind: RecordKind,
    /// On one line with so much room, in characters.
    line: Line,
    /// As text, where it is no inspection and can be reported.
    report: Option<Report>,
}

const KINDS: [Shown; RecordKind::EVERY.len()] = [
    Shown {
        kind: RecordKind::Inspection,
        line: inspection,
        report: None,
    },
    Shown {
        kind: RecordKind::Equipment,
        line: equipment,
        report: None,
    },
    Shown {
        kind: RecordKind::Approval,
        line: approval,
        report: None,
    },
    Shown {
        kind: RecordKind::Validation,
        line: validation,
        report: Some(validation_report),
    },
    Shown {
        kind: RecordKind::Calibration,
        line: calibration,
        report: Some(calibration_report),
    },
    Shown {
        kind: RecordKind::Certificate,
        line: certificate,
        report: Some(certificate_report),
    },
    Shown {
        kind: RecordKind::Status,
        line: status,
        report: Some(status_report),
    },
    Shown {
        kind: RecordKind::Check,
        line: check,
        report: Some(check_report),
    },
    Shown {
        kind: RecordKind::Room,
        line: room,
        report: Some(room_report),
    },
    Shown {
        kind: RecordKind::Recall,
        line: case,
        report: Some(case_report),
    },
    Shown {
        kind: RecordKind::Note,
        line: reason,
        report: Some(note),
    },
    Shown {
        kind: RecordKind::Badge,
        line: badge,
        report: None,
    },
    Shown {
        kind: RecordKind::Plan,
        line: plan,
        report: Some(told),
    },
    Shown {
        kind: RecordKind::Lot,
        line: lot,
        report: Some(told),
    },
    Shown {
        kind: RecordKind::ZeroCheck,
        line: zero_check,
        report: Some(told),
    },
    Shown {
        kind: RecordKind::Found,
        line: found,
        report: Some(found_report),
    },
    Shown {
        kind: RecordKind::Nonconformance,
        line: nonconformance,
        report: Some(told),
    },
    Shown {
        kind: RecordKind::Trial,
        line: trial,
        report: Some(trial_report),
    },
    Shown {
        kind: RecordKind::Study,
        line: study,
        report: Some(study_report),
    },
    Shown {
        kind: RecordKind::FirstArticle,
        line: first_article,
        report: Some(first_article_report),
    },
];

fn of(entry: &Entry) -> Option<&'static Shown> {
    KINDS.iter().find(|shown| shown.kind.is_of(entry))
}

/// What an entry holds, on one line.
pub fn line(entry: &Entry, facts: &Facts, room: usize) -> String {
    let line = of(entry).map_or(reason as Line, |shown| shown.line);
    line(entry, facts, room)
}

/// The report of an entry that is no inspection; none where there is none of its kind.
pub fn report(ledger: &Ledger, entry: &Entry) -> Result<Option<String>, Failure> {
    let report = of(entry).and_then(|shown| shown.report);
    report.map(|report| report(ledger, entry)).transpose()
}

/// What an inspection is of, with its lot and sample where there is room for them.
fn inspection(entry: &Entry, facts: &Facts, room: usize) -> String {
    let subject = |role| entry.content.subject(role);
    let characteristic = facts
        .characteristic()
        .unwrap_or_else(|| subject("characteristic").unwrap_or_default().to_owned());
    let [verdict, part] = ["verdict", "part"].map(|role| subject(role).unwrap_or_default());
    let lot = subject("lot").map_or(String::new(), |lot| say!("ledger.list-lot", lot = lot));
    let sample = subject("sample").map_or(String::new(), |sample| {
        say!("report.of-sample", sample = sample)
    });
    let line = |piece: &str| format!("{verdict:<9} {part}{piece}, {characteristic}");
    [format!("{lot}{sample}"), sample]
        .iter()
        .map(|piece| line(piece))
        .find(|line| line.chars().count() <= room)
        .unwrap_or_else(|| cut(line(""), room))
}

/// A text that is no longer than the room for it.
fn cut(text: String, room: usize) -> String {
    if text.chars().count() <= room {
        return text;
    }
    let kept: String = text.chars().take(room.saturating_sub(1)).collect();
    format!("{kept}…")
}

fn equipment(entry: &Entry, _: &Facts, _: usize) -> String {
    register::registered(entry).map_or_else(
        |_| say!("ledger.equipment-unread").to_owned(),
        |piece| {
            say!(
                "ledger.equipment",
                kind = piece.equipment.kind().key(),
                id = piece.equipment.id(),
                state = words::word(&piece.equipment.state())
            )
        },
    )
}

fn validation(entry: &Entry, _: &Facts, _: usize) -> String {
    let kind = &entry.content.kind;
    record::validation(entry).map_or_else(
        |_| kind.clone(),
        |validated| {
            let line = say!(
                "validate.listed",
                method = validated.method,
                agree = validated.cases - validated.disagreeing,
                cases = validated.cases
            );
            format!("{kind} {line}")
        },
    )
}

fn approval(entry: &Entry, _: &Facts, _: usize) -> String {
    let kind = &entry.content.kind;
    approvals::approving(entry).map_or_else(
        |_| kind.clone(),
        |approving| format!("{kind} {}", report::approved::told(&approving)),
    )
}

fn calibration(entry: &Entry, _: &Facts, _: usize) -> String {
    let read = || {
        let worked = calibration::worked(entry)?;
        let result = calibration::as_read(entry)?;
        let piece = worked.piece();
        Ok::<_, workshop::Error>(say!(
            "calibration.listed",
            number = worked.heading.number,
            kind = words::named("piece-kind", &piece.kind),
            id = piece.id,
            verdict = verdict_word(&result.verdict)
        ))
    };
    read().unwrap_or_else(|_| entry.content.kind.clone())
}

fn calibration_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let worked = calibration::worked(entry)?;
    let result = calibration::as_read(entry)?;
    Ok(calibrated::answer(&worked, &result))
}

fn certificate(entry: &Entry, _: &Facts, _: usize) -> String {
    workshop::certificates_on_record::on_record(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |one| super::certificate::line(&one.certified),
    )
}

fn certificate_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let one = workshop::certificates_on_record::on_record(entry)?;
    Ok(format!("{}\n", super::certificate::report(&one.certified)))
}

fn status(entry: &Entry, _: &Facts, _: usize) -> String {
    changed(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |one| super::status::line(&one),
    )
}

fn status_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    Ok(format!("{}\n", super::status::line(&changed(entry)?)))
}

fn trial(entry: &Entry, _: &Facts, room: usize) -> String {
    report::trial::read(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |trial| cut(report::trial::line(&trial), room),
    )
}

fn trial_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    Ok(report::trial::report(&report::trial::read(entry)?))
}

fn study(entry: &Entry, _: &Facts, room: usize) -> String {
    let kind = &entry.content.kind;
    studies::on_record(entry).map_or_else(
        |_| kind.clone(),
        |one| cut(format!("{kind:<9} {}", report::studied::listed(&one)), room),
    )
}

fn study_report(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let sheet = RecordedStudy::of(ledger, entry)?.sheet()?;
    Ok(sheet.lines().join("\n") + "\n")
}

fn first_article(entry: &Entry, _: &Facts, room: usize) -> String {
    lots::first_article(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |issued| cut(report::first_article::line(&issued), room),
    )
}

fn first_article_report(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let article = FirstArticle::issued(ledger, entry)?;
    let lines = article.text(&Letterhead::read(None)?, width());
    Ok(lines.join("\n") + "\n")
}

fn check(entry: &Entry, _: &Facts, _: usize) -> String {
    checks_on_record::check(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |check| super::check::line(&check),
    )
}

fn check_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let check = checks_on_record::check(entry)?;
    Ok(format!("{}\n", super::check::line(&check)))
}

fn room(entry: &Entry, _: &Facts, _: usize) -> String {
    checks_on_record::room(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |room| super::check::room_line(&room),
    )
}

fn room_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let room = checks_on_record::room(entry)?;
    Ok(format!("{}\n", super::check::room_line(&room)))
}

fn case(entry: &Entry, _: &Facts, _: usize) -> String {
    workshop::gauge_room::case::case(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |case| format!("{} {}", entry.content.kind, cases::line(&case)),
    )
}

fn case_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let case = workshop::gauge_room::case::case(entry)?;
    Ok(cases::report(&case))
}

fn badge(entry: &Entry, _: &Facts, _: usize) -> String {
    let kind = &entry.content.kind;
    badges::badge(entry).map_or_else(
        |_| kind.clone(),
        |badge| format!("{kind:<9} {}", super::badge::told(&badge)),
    )
}

/// A note, or what a later build recorded: its kind, and why it took the place of another.
fn reason(entry: &Entry, _: &Facts, _: usize) -> String {
    let amends = entry.content.amends.as_ref();
    format!(
        "{:<9} {}",
        entry.content.kind,
        amends.map_or("", |amendment| &amendment.reason)
    )
}

fn plan(entry: &Entry, _: &Facts, room: usize) -> String {
    kept::read::<Plan>(kept::PLAN, &entry.content.inputs).map_or_else(
        |_| entry.content.kind.clone(),
        |plan| {
            let count = plan.characteristics.len();
            let (name, part, drawing) = (plan.name(), &plan.part, plan.drawing());
            cut(
                say!(
                    "lots.listed-plan",
                    plan = name,
                    part = part,
                    drawing = drawing,
                    n = count
                ),
                room,
            )
        },
    )
}

fn lot(entry: &Entry, _: &Facts, room: usize) -> String {
    kept::read::<LotBegun>(kept::LOT, &entry.content.inputs).map_or_else(
        |_| entry.content.kind.clone(),
        |lot| {
            cut(
                say!(
                    "lots.listed-lot",
                    lot = lot.number,
                    plan = lot.plan,
                    part = lot.part
                ),
                room,
            )
        },
    )
}

fn zero_check(entry: &Entry, _: &Facts, room: usize) -> String {
    let check = kept::read::<ZeroCheck>(kept::ZERO_CHECK, &entry.content.inputs);
    let checked = kept::read::<Checked>(kept::CHECKED, &entry.content.results);
    let (Ok(check), Ok(checked)) = (check, checked) else {
        return entry.content.kind.clone();
    };
    let unit = check.limit.unit();
    let drift = number::difference(checked.drift, unit);
    let (lot, characteristic, pieces) = (&check.lot, &check.number, check.pieces.join(", "));
    let line = if checked.good {
        say!(
            "lots.listed-check",
            lot = lot,
            characteristic = characteristic,
            drift = drift,
            pieces = pieces
        )
    } else {
        say!(
            "lots.listed-moved",
            lot = lot,
            characteristic = characteristic,
            drift = drift,
            pieces = pieces
        )
    };
    cut(line, room)
}

fn found(entry: &Entry, _: &Facts, room: usize) -> String {
    kept::read::<Found>(kept::FOUND, &entry.content.inputs).map_or_else(
        |_| entry.content.kind.clone(),
        |found| {
            let verdict = verdict_word(found.standing().key());
            let with = found
                .with
                .map_or_else(String::new, |with| say!("lots.found-with", with = with));
            let turns = found.turns.map_or_else(String::new, |turns| {
                say!("lots.found-turns", turns = number::short(turns, 2))
            });
            let note = found
                .note
                .map_or_else(String::new, |note| say!("lots.found-note", note = note));
            let line = say!(
                "lots.listed-found",
                verdict = verdict,
                lot = found.lot,
                piece = found.piece,
                characteristic = found.number,
                way = words::word(&found.way)
            );
            cut(format!("{line}{with}{turns}{note}"), room)
        },
    )
}

fn nonconformance(entry: &Entry, _: &Facts, room: usize) -> String {
    kept::read::<Decision>(kept::NONCONFORMANCE, &entry.content.inputs).map_or_else(
        |_| entry.content.kind.clone(),
        |decision| {
            cut(
                say!(
                    "nonconforming.listed",
                    number = decision.number,
                    disposition = words::word(&decision.disposition),
                    lot = decision.lot,
                    piece = decision.piece
                ),
                room,
            )
        },
    )
}

/// What has no report of its own: what it says, whole, and who recorded it.
#[expect(clippy::unnecessary_wraps, reason = "a row of the table")]
fn told(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let what = line(entry, &Facts::default(), usize::MAX);
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
    Ok(lines.join("\n"))
}

/// What was found, with the gauge, what its status makes of it, and where a measurement says otherwise.
fn found_report(ledger: &Ledger, entry: &Entry) -> Result<String, Failure> {
    let mut told = told(ledger, entry)?;
    for line in report::found::lines(ledger, entry)? {
        told += &line;
        told.push('\n');
    }
    Ok(told)
}

fn validation_report(_: &Ledger, entry: &Entry) -> Result<String, Failure> {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_one_row() {
        let rows = KINDS.map(|row| row.kind);
        assert_eq!(rows.as_slice(), RecordKind::EVERY);
    }
}
