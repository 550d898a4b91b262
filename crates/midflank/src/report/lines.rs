//! What an entry holds, on one line: of a list, and where nothing else of its kind is shown.

use ledger::{Entry, Facts};
use workshop::badge::Badge;
use workshop::checks_on_record;
use workshop::gauge_room::{calibration, studies};
use workshop::lot_entry::{Checked, Found, LotBegun, ZeroCheck};
use workshop::lots;
use workshop::nonconformance::Decision;
use workshop::plan::Plan;
use workshop::status::changed;
use workshop::{RecordKind, badges};

use super::first_article::line as first_article_line;
use super::{approved, cases, studied, trial as trial_report, verdict_word};
use crate::approvals;
use crate::kept;
use crate::record;
use crate::register;
use crate::say;
use crate::words::{self, KnownInWords as _, number};

/// What an entry holds, on one line with so much room, in characters.
pub fn line(entry: &Entry, facts: &Facts, room: usize) -> String {
    match RecordKind::of_entry(entry) {
        Some(RecordKind::Inspection) => inspection(entry, facts, room),
        Some(RecordKind::Equipment) => equipment(entry),
        Some(RecordKind::Approval) => approval(entry),
        Some(RecordKind::Validation) => validation(entry),
        Some(RecordKind::Calibration) => calibration(entry),
        Some(RecordKind::Certificate) => certificate(entry),
        Some(RecordKind::Status) => status(entry),
        Some(RecordKind::Check) => check(entry),
        Some(RecordKind::Room) => room_read(entry),
        Some(RecordKind::Recall) => case(entry),
        Some(RecordKind::Badge) => badge(entry),
        Some(RecordKind::Plan) => plan(entry, room),
        Some(RecordKind::Lot) => lot(entry, room),
        Some(RecordKind::ZeroCheck) => zero_check(entry, room),
        Some(RecordKind::Found) => found(entry, room),
        Some(RecordKind::Nonconformance) => nonconformance(entry, room),
        Some(RecordKind::Trial) => trial(entry, room),
        Some(RecordKind::Study) => study(entry, room),
        Some(RecordKind::FirstArticle) => first_article(entry, room),
        Some(RecordKind::Note) | None => reason(entry),
    }
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

fn equipment(entry: &Entry) -> String {
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

fn validation(entry: &Entry) -> String {
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

fn approval(entry: &Entry) -> String {
    let kind = &entry.content.kind;
    approvals::approving(entry).map_or_else(
        |_| kind.clone(),
        |approving| format!("{kind} {}", approved::told(&approving)),
    )
}

fn calibration(entry: &Entry) -> String {
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

fn certificate(entry: &Entry) -> String {
    workshop::certificates_on_record::on_record(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |one| super::certified::line(&one.certified),
    )
}

fn status(entry: &Entry) -> String {
    changed(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |one| super::status::line(&one),
    )
}

fn trial(entry: &Entry, room: usize) -> String {
    trial_report::read(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |trial| cut(trial_report::line(&trial), room),
    )
}

fn study(entry: &Entry, room: usize) -> String {
    let kind = &entry.content.kind;
    studies::on_record(entry).map_or_else(
        |_| kind.clone(),
        |one| cut(format!("{kind:<9} {}", studied::listed(&one)), room),
    )
}

fn first_article(entry: &Entry, room: usize) -> String {
    lots::first_article(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |issued| cut(first_article_line(&issued), room),
    )
}

fn check(entry: &Entry) -> String {
    checks_on_record::check(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |check| super::checked::line(&check),
    )
}

fn room_read(entry: &Entry) -> String {
    checks_on_record::room(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |room| super::checked::room_line(&room),
    )
}

fn case(entry: &Entry) -> String {
    workshop::gauge_room::case::case(entry).map_or_else(
        |_| entry.content.kind.clone(),
        |case| format!("{} {}", entry.content.kind, cases::line(&case)),
    )
}

fn badge(entry: &Entry) -> String {
    let kind = &entry.content.kind;
    badges::badge(entry).map_or_else(
        |_| kind.clone(),
        |badge| format!("{kind:<9} {}", badge_told(&badge)),
    )
}

/// A note, or what a later build recorded: its kind, and why it took the place of another.
fn reason(entry: &Entry) -> String {
    let amends = entry.content.amends.as_ref();
    format!(
        "{:<9} {}",
        entry.content.kind,
        amends.map_or("", |amendment| &amendment.reason)
    )
}

fn plan(entry: &Entry, room: usize) -> String {
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

fn lot(entry: &Entry, room: usize) -> String {
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

fn zero_check(entry: &Entry, room: usize) -> String {
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

fn found(entry: &Entry, room: usize) -> String {
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

fn nonconformance(entry: &Entry, room: usize) -> String {
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

/// A badge, on one line.
pub fn badge_told(badge: &Badge) -> String {
    say!("badge.told", code = badge.code, name = badge.name)
}
