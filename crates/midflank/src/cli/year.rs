//! `midflank demo --year`: a ledger of its own with a year of an invented gauge room, to look at the pages with.

use std::path::Path;

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use ledger::Ledger;
use metrology::inspection::inspect;
use metrology::study::order;
use metrology::units::{Entered, Length, LengthUnit};
use workshop::approving::SIZE;
use workshop::bench::studying::{self, Asked};
use workshop::gauge_record::check::{Room, RoomValue};
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::{Change, Set};
use workshop::gauge_record::study::{Study, StudyKind, StudyReading};
use workshop::gauge_room::calibration::{self, Read};
use workshop::gauge_room::studies::{self, Approve};
use workshop::gauge_room::{case, certificate_file};
use workshop::job_file;
use workshop::recall::{History, Piece, Recall};
use workshop::{certificates_on_record, checks_on_record, status};

use crate::desk;
use crate::document::Inspected;
use crate::failure::Failure;
use crate::output::Output;
use crate::register::{self, Shelf};
use crate::say;
use crate::station;

/// What the year is made of, as in the folder `demo` of the sources. All of it is invented: the workshop restores tower clocks.
const EQUIPMENT: &str = include_str!("../../../../demo/features/equipment.toml");
const JOB: &str = include_str!("../../../../demo/features/by-identity.toml");
const CALIBRATION: &str = include_str!("../../../../demo/gauge-room/calibration.toml");
const GAUGE: &str = include_str!("../../../../demo/gauge-room/gauge.toml");

/// Who is in the gauge room.
const PERSON: &str = "A. Quill";
/// Weeks of the year.
const WEEKS: i64 = 52;
/// Pieces measured in a week.
const PIECES: i64 = 3;
/// Weeks between two readings of the room.
const ROOM_EVERY: usize = 4;

/// Fills a ledger that holds nothing yet.
pub fn fill(
    ledger: &Ledger,
    place: &Path,
    now: Timestamp,
    output: &mut Output,
) -> Result<(), Failure> {
    let today = station::day(now);
    let recorder = desk::recorder(PERSON);
    let listed = job_file::parse_equipment(Path::new("equipment.toml"), EQUIPMENT, today)?;
    register::add(ledger, &listed.pieces, &recorder, None)?;
    certificates(ledger, today)?;
    for years in [2, 1] {
        calibrated(ledger, today, years)?;
    }
    let weeks = (0..WEEKS).map(|week| now - SignedDuration::from_hours((WEEKS - week) * 7 * 24));
    let weeks: Vec<Timestamp> = weeks.collect();
    let room = weeks.iter().step_by(ROOM_EVERY).enumerate();
    let room = room.map(|(index, at)| RoomValue {
        at: *at,
        celsius: 20.0 + f64::from(u8::try_from(index % 5).unwrap_or_default()) * 0.2,
        humidity: Some(45.0),
    });
    let room = Room {
        thermometer: "th-2".to_owned(),
        source: "year".to_owned(),
        values: room.collect(),
    };
    checks_on_record::record_room(ledger, &room, now, &recorder)?;
    for (week, at) in weeks.iter().enumerate() {
        checked(ledger, week, *at, now)?;
    }
    // The register is read once for the whole year.
    let shelf = Shelf::beside(place);
    let mut count = 0_u64;
    for (week, at) in weeks.iter().enumerate() {
        for piece in 0..PIECES {
            measured(ledger, &shelf, week, piece, *at)?;
            count += 1;
        }
    }
    studied(ledger, &shelf, now)?;
    changed(ledger, today)?;
    recalled(ledger, today)?;
    output.line(&say!("year.filled", n = count, path = place.display()))
}

/// The day so many years ago.
fn ago(today: Date, years: i16) -> Date {
    today
        .checked_sub(jiff::Span::new().years(years))
        .unwrap_or(today)
}

/// Three certificates of a GO plug that wears.
fn certificates(ledger: &Ledger, today: Date) -> Result<(), Failure> {
    for (years, size) in [(3, "9.0305"), (2, "9.0290"), (1, "9.0277")] {
        let date = ago(today, years);
        let due = ago(today, years - 1)
            .checked_add(jiff::Span::new().days(20))
            .unwrap_or(today);
        let text = GAUGE
            .replace("C-5512", &format!("C-55{years}"))
            .replace("2026-02-10", &date.to_string())
            .replace("2027-02-10", &due.to_string())
            .replace("9.0285", size);
        let listed = certificate_file::parse(Path::new("gauge.toml"), &text)?;
        let recorder = desk::recorder(PERSON);
        ledger.append(&certificates_on_record::draft(
            ledger,
            &listed.certified,
            today,
            &recorder,
        )?)?;
    }
    Ok(())
}

/// The micrometer on its blocks, a little further off each year.
fn calibrated(ledger: &Ledger, today: Date, years: i16) -> Result<(), Failure> {
    let text = CALIBRATION
        .replace("2026-03-02", &ago(today, years).to_string())
        .replace("2027-03-02", &ago(today, years - 2).to_string())
        .replace("IN-2026-04", &format!("IN-{years}"));
    let text = if years == 1 {
        text.replace("[25.002, 25.003, 25.002]", "[25.003, 25.003, 25.003]")
    } else {
        text
    };
    let Read::Done(worked) = calibration::parse(Path::new("calibration.toml"), &text, today)?
    else {
        return Ok(());
    };
    let result = calibration::computed(&worked)?;
    let reason = |shows| crate::report::calibrated::reason(&worked, shows);
    calibration::record(ledger, &worked, &result, &desk::recorder(PERSON), &reason)?;
    Ok(())
}

/// What the hand adds, micrometres: the same in every run.
fn scatter(number: i64) -> i64 {
    (number * 7 + number / 3) % 3 - 1
}

/// Millimetres with three decimals.
fn size(micrometres: i64) -> String {
    let length = Length::from_tenth_nanometres(micrometres * 10_000);
    length.to_fixed(LengthUnit::Millimetre, 3)
}

/// The check part on Monday morning.
fn checked(ledger: &Ledger, week: usize, at: Timestamp, now: Timestamp) -> Result<(), Failure> {
    let week = i64::try_from(week).unwrap_or_default();
    let readings = [0, 1].map(|more| size(12_000 + scatter(week + more)));
    let readings = readings.iter().map(|text| {
        Entered::parse(text, Some(LengthUnit::Millimetre)).map_err(|error| Failure::refused(&error))
    });
    let readings = readings.collect::<Result<Vec<_>, _>>()?;
    let check = checks_on_record::of("cp-1", "mic-04", "fl-6", &readings, at)
        .map_err(|error| Failure::refused(&error))?;
    checks_on_record::record(ledger, &check, now, &desk::recorder(PERSON))?;
    Ok(())
}

/// A journal of a strike arbor; the zero falls by a micrometre in ten weeks.
fn measured(
    ledger: &Ledger,
    shelf: &Shelf,
    week: usize,
    piece: i64,
    at: Timestamp,
) -> Result<(), Failure> {
    let week = i64::try_from(week).unwrap_or_default();
    let number = week * PIECES + piece;
    let at = at + SignedDuration::from_hours(1 + piece);
    let wear = week / 10;
    let zero = |more: i64| {
        let readings = (0..3).map(|one| size(10_001 - wear + scatter(number + one + more).max(0)));
        format!("[\"{}\"]", readings.collect::<Vec<_>>().join("\", \""))
    };
    let part = 11_986 + (number * 5) % 9 - wear;
    let readings = (0..6).map(|one| size(part + scatter(number + one)));
    let readings = format!("[\"{}\"]", readings.collect::<Vec<_>>().join("\", \""));
    let text = JOB
        .replace("2026-04-14T09:50:00Z", &at.to_string())
        .replace("sample = \"2\"", &format!("sample = \"{}\"", number + 1))
        .replace("[\"10.001\", \"10.001\", \"10.002\"]", &zero(0))
        .replace("[\"10.001\", \"10.002\", \"10.001\"]", &zero(1))
        .replace(
            "[\"11.987\", \"11.990\", \"11.988\", \"11.989\", \"11.990\", \"11.988\"]",
            &readings,
        );
    let job = job_file::parse(Path::new("job.toml"), &text, at, shelf)?;
    let inspection = inspect(&job).map_err(|error| Failure::refused(&error))?;
    let result = Inspected::of(&job, &inspection);
    ledger.append(&desk::draft(&job, &result, None)?)?;
    Ok(())
}

/// Who measured in the study of the year.
const OPERATORS: &str = "A. Quill, B. Reed, C. Finch";

/// Ten journals measured by three operators a month ago, and approved for new jobs with that micrometer and pair.
fn studied(ledger: &Ledger, shelf: &Shelf, now: Timestamp) -> Result<(), Failure> {
    let asked = Asked {
        kind: StudyKind::Repeatability.key().to_owned(),
        characteristic: "journal diameter 11.973 to 12.000 mm".to_owned(),
        parts: "10".to_owned(),
        operators: OPERATORS.to_owned(),
        trials: "3".to_owned(),
        reference: String::new(),
        seed: "1868".to_owned(),
    };
    let plan = studying::planned(&asked, 0)?;
    let job = job_file::parse(Path::new("job.toml"), JOB, now, shelf)?;
    let begun = now - SignedDuration::from_hours(30 * 24);
    let shown = |micrometres: i64| {
        Entered::parse(&size(micrometres), Some(LengthUnit::Millimetre))
            .map_err(|error| Failure::refused(&error))
    };
    let turns = order(
        plan.seed,
        plan.operators.len(),
        plan.parts.len(),
        plan.trials,
    );
    let readings = turns.iter().zip(0_i64..).map(|(turn, nth)| {
        let whole = |index: usize| i64::try_from(index).unwrap_or_default();
        // Each journal has its size, and the third operator reads a little more.
        let part = 11_978 + whole(turn.part * 7 % 10) * 2;
        let operator = i64::from(turn.operator == 2);
        let name = |all: &[String], index: usize| all.get(index).cloned().unwrap_or_default();
        Ok(StudyReading {
            operator: name(&plan.operators, turn.operator),
            part: name(&plan.parts, turn.part),
            trial: turn.trial + 1,
            at: begun + SignedDuration::from_secs(20 * nth),
            reading: shown(part + operator + scatter(nth))?,
            earlier: Vec::new(),
            left: None,
        })
    });
    let zero = [10_001, 10_001, 10_002].map(shown);
    let zero = zero.into_iter().collect::<Result<Vec<_>, _>>()?;
    let study = Study {
        readings: readings.collect::<Result<Vec<_>, Failure>>()?,
        plan,
        instrument: job.instrument,
        contacts: job.contacts,
        wires: None,
        standard: job.standard,
        unit: LengthUnit::Millimetre,
        temperature: None,
        zero_before: zero.clone(),
        zero_after: zero,
        on: station::day(begun),
        person: PERSON.to_owned(),
    };
    let recorder = desk::recorder(PERSON);
    let entry = ledger.append(&studies::draft(&study, &recorder)?)?;
    let today = station::day(now);
    let how = Approve {
        person: PERSON.to_owned(),
        reason: "journals, as the plan of the arbor asks".to_owned(),
        on: today,
        review_due: ago(today, -1),
        sizes: None,
    };
    let anew = say!("approval.anew");
    studies::approve(ledger, &entry.id().into(), &how, today, &recorder, anew)?;
    Ok(())
}

/// What became of pieces over the year.
fn changed(ledger: &Ledger, today: Date) -> Result<(), Failure> {
    let piece = |kind, id| PieceId::new(kind, id);
    let change = |piece, set: Set, reason: &str| Change {
        piece,
        status: set.key().to_owned(),
        holder: None,
        limited_to: Vec::new(),
        due: None,
        extension: None,
        reason: reason.to_owned(),
        calibration: None,
    };
    let mut limited = change(
        piece(PieceKind::Instrument, "mic-11"),
        Set::Limited,
        "spindle worn near 20 mm",
    );
    limited.limited_to = vec![SIZE.to_owned()];
    limited.holder = Some("bench 2".to_owned());
    let mut soon = change(
        piece(PieceKind::Thermometer, "th-2"),
        Set::InUse,
        "new in the gauge room",
    );
    soon.due = today.checked_add(jiff::Span::new().days(12)).ok();
    let lost = change(
        piece(PieceKind::Instrument, "mic-09"),
        Set::Lost,
        "not in its box",
    );
    for change in [limited, soon, lost] {
        status::record(ledger, &change, None, today, &desk::recorder(PERSON))?;
    }
    Ok(())
}

/// A block that was found to be out, and what it touched.
fn recalled(ledger: &Ledger, today: Date) -> Result<(), Failure> {
    let error = "3um";
    let recall = Recall {
        piece: Piece::Standard,
        id: "block-10".to_owned(),
        error: Length::from_micrometres(3),
        found: today,
        since: today.checked_sub(jiff::Span::new().days(60)).ok(),
        history: History::Constant,
    };
    let recalls = recall.of(ledger)?;
    let case = case::of(&recall, error, &recalls);
    case::save(ledger, &case, &desk::recorder(PERSON))?;
    Ok(())
}
