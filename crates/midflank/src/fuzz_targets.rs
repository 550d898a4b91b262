//! What comes from outside, as bytes: each function here takes whatever it is given, and panics only where the program is
//! wrong. A fuzzer drives them (`fuzz/` at the top), and so does the test below.

#![allow(
    clippy::cast_possible_truncation,
    clippy::unwrap_used,
    clippy::missing_panics_doc,
    reason = "they fail by panicking, and mutate bytes"
)]

#[cfg(test)]
#[path = "../../../scripts/long.rs"]
mod long;
#[cfg(test)]
mod tests;

use std::path::Path;
use std::str::from_utf8;
use std::sync::LazyLock;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::Ledger;
use metrology::designation;
use metrology::inspection::{Job, inspect};
use metrology::message::Say;
use metrology::study::repeatability::{Design, Layout, Method, Repeatability};
use metrology::study::{
    Agreement, Capability, Linearity, OneWay, Process, Specification, Summary, compare,
};
use metrology::units::LengthUnit;
use workshop::equipment_list;
use workshop::gauge_record::certificate::{Certified, Heading, drifts};
use workshop::gauge_room::{calibration, certificate_file, room_log};
use workshop::job_file::AtHand;
use workshop::lot::{self, Lot};
use workshop::plan;

use crate::approvals::Approving;
use crate::bench::story::Story;
use crate::bench::{Answer, By};
use crate::document::{Inspected, ThreadDocument};
use crate::exchange::dcc::read as digital;
use crate::job_file;
use crate::kept::{
    self, APPROVAL, CALIBRATION, CERTIFICATE, EQUIPMENT, EVENT, JOB, Keep, PLAN, RESULT,
};
use crate::register::{Equipment, Kind, Register, Shelf};
use crate::report;
use crate::web::answer::Answered;
use crate::web::pages::history::Asked;
use crate::web::pages::register_form::{self, Typed};
use crate::web::serial::{Lines, reading};
use crate::web::upload;
use crate::words;

/// A table of readings, evaluated by every study.
pub fn study_table(data: &[u8]) {
    fn told(why: Option<impl Say>) {
        assert!(why.is_none_or(|why| !words::said(&why).is_empty()));
    }
    let Ok(text) = from_utf8(data) else { return };
    told(Summary::read(text).err());
    told(OneWay::read(text).err());
    told(Linearity::read(text, 0.95).err());
    told(Agreement::read(text).err());
    told(compare(text).err());
    for design in [Design::Crossed, Design::Nested] {
        for method in [Method::Anova, Method::Range] {
            let study = Layout::read(text, design)
                .and_then(|layout| Repeatability::of(&layout, method, 0.05));
            told(study.err());
        }
    }
    let specification = Specification {
        lower: Some(-1.0),
        upper: Some(1.0),
        confidence: 0.95,
        coverage: 0.99,
        standard_uncertainty: Some(0.1),
    };
    let process = Process::read(text);
    let study = process.and_then(|process| {
        told(process.even_subgroups().err());
        Capability::of(&process, &specification)
    });
    told(study.err());
}

/// A plan in a table.
pub fn plan_table(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    match plan::parse_table(Path::new("plan.csv"), text) {
        Ok(plan) => {
            let stored = kept::write(kept::PLAN, &plan).unwrap();
            let read: plan::Plan = kept::read(kept::PLAN, &stored).unwrap();
            assert_eq!(read.characteristics.len(), plan.characteristics.len());
        }
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// A designation as people write it.
pub fn designation(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    let thread = match designation::parse(text) {
        Ok(thread) => thread,
        Err(error) => {
            assert!(!words::said(&error).is_empty());
            return;
        }
    };
    let printed = thread.to_string();
    let again = designation::parse(&printed).map(|again| again.to_string());
    assert_eq!(again, Ok(printed));
    if let Ok(limits) = thread.limits() {
        assert!(!report::limits::table(&limits, None, report::text::WIDTH).is_empty());
        serde_json::to_string(&ThreadDocument::of(&limits, None)).unwrap();
    }
}

/// A job file.
pub fn job_file(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    if text.contains("file") {
        // Readings would come from a file of this computer.
        return;
    }
    match parse(text) {
        Ok(job) => computed(&job),
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// Readings as a data cable writes them; the first byte chooses the unit of the job.
pub fn readings(data: &[u8]) {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let Ok(text) = from_utf8(rest) else { return };
    let units = [None, Some(LengthUnit::Millimetre), Some(LengthUnit::Inch)];
    let unit = units.into_iter().cycle().nth(usize::from(*first));
    match job_file::parse_readings(Path::new("readings.csv"), text, unit.flatten()) {
        Ok(places) => assert!(places.iter().all(|place| !place.readings.is_empty())),
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// A digital calibration certificate of another laboratory.
pub fn dcc(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    match digital::parse(text, None) {
        Ok(read) => {
            let values = read.values.iter();
            assert!(values.clone().all(|value| value.value.is_finite()));
            assert!(
                values
                    .clone()
                    .all(|value| value.expanded_uncertainty >= 0.0)
            );
        }
        Err(failure) => assert!(!failure.to_string().is_empty()),
    }
}

/// A document of the ledger, of whichever kind.
pub fn stored(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    if let Ok(job) = kept::read::<Job>(JOB, text) {
        computed(&Job {
            // Its trials may be more than a fuzzer waits for.
            monte_carlo: None,
            ..job
        });
    }
    if let Ok(result) = kept::read::<Inspected>(RESULT, text) {
        assert!(!report::text::answer(&DEMO, &result, report::text::WIDTH).is_empty());
        reads_back(RESULT, &result);
    }
    if let Ok(event) = kept::read_event(text) {
        let written = kept::write_event(&event).unwrap();
        assert_eq!(kept::read_event(&written).unwrap(), event);
    }
    if let Ok(piece) = kept::read::<Equipment>(EQUIPMENT, text) {
        reads_back(EQUIPMENT, &piece);
    }
    if let Ok(approving) = kept::read::<Approving>(APPROVAL, text) {
        reads_back(APPROVAL, &approving);
    }
}

/// An inspection plan.
pub fn plan(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    match plan::parse(Path::new("plan.toml"), text) {
        Ok(plan) => reads_back(PLAN, &plan),
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// The readings of a lot, under the plan of the demo: what passes the first look is measured to its end.
pub fn lot_readings(data: &[u8]) {
    fn measured(path: &Path) -> Result<u64, workshop::Error> {
        let plan = plan::parse(Path::new("plan.toml"), PLAN_TEXT)?;
        let at_hand = AtHand::parse(Path::new("setup.toml"), SETUP_TEXT.to_owned(), *LATER)?;
        let scan = lot::scan(path, &plan, None, *LATER)?;
        let lot = Lot::new(&plan, &scan, &at_hand, &Shelf::empty())?;
        let mut count = 0;
        lot::each(path, None, (&plan, &scan, &lot), false, |one, _| {
            if let Err(refused) = &one.outcome {
                assert!(!words::said(&refused.reason).is_empty());
            }
            count += 1;
            Ok::<_, workshop::Error>(())
        })?;
        Ok(count)
    }
    let name = format!("midflank-fuzz-{}.csv", std::process::id());
    let path = std::env::temp_dir().join(name);
    std::fs::write(&path, data).unwrap();
    let told = measured(&path);
    std::fs::remove_file(&path).unwrap();
    match told {
        Ok(count) => assert!(count > 0),
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// A certificate from outside, or a calibration: what is read of one is computed.
pub fn certificate(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    match certificate_file::parse(Path::new("certificate.toml"), text) {
        Ok(listed) => {
            reads_back(CERTIFICATE, &listed.certified);
            let later = Certified {
                heading: Heading {
                    date: Date::MAX,
                    ..listed.certified.heading.clone()
                },
                ..listed.certified.clone()
            };
            let _ = drifts(&[listed.certified, later]);
        }
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
    match calibration::parse(Path::new("calibration.toml"), text, Date::MAX) {
        Ok(calibration::Read::Done(worked)) => {
            reads_back(CALIBRATION, &*worked);
            match calibration::computed(&worked) {
                Ok(result) => assert!(!report::calibrated::answer(&worked, &result).is_empty()),
                Err(error) => assert!(!words::error(&error).is_empty()),
            }
        }
        Ok(calibration::Read::Plan(_)) => {}
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// The file of a data logger.
pub fn room_log(data: &[u8]) {
    let Ok(text) = from_utf8(data) else { return };
    match room_log::parse(text) {
        Ok(values) => assert!(!values.is_empty()),
        Err(why) => assert!(!words::said(&why).is_empty()),
    }
}

/// A list of equipment: as the body of a form that hands it in, and as the text of a CSV file.
pub fn equipment_list(data: &[u8]) {
    let kind = "multipart/form-data; boundary=x";
    for part in upload::parts(kind, data).unwrap_or_default() {
        assert!(part.content.len() < data.len());
    }
    let register = Register::default();
    let list = equipment_list::parse_bytes(Path::new("list.csv"), data.to_vec());
    let rows = list.and_then(|list| list.against(&register, Date::constant(2096, 3, 4)));
    match rows {
        Ok(rows) => assert!(!rows.is_empty()),
        Err(error) => assert!(!words::error(&error).is_empty()),
    }
}

/// A form of the bench page: an answer at one of the questions of a job (`after` chooses it), a search, or a piece of
/// equipment (`piece` names its kind).
pub fn form(data: &[u8]) {
    if let Ok(form) = serde_urlencoded::from_bytes::<Answered>(data) {
        let at = usize::try_from(form.after).unwrap_or(usize::MAX) % STORIES.len();
        told(STORIES.get(at), &form.line, By::Keyboard);
    }
    if let Ok(asked) = serde_urlencoded::from_bytes::<Asked>(data) {
        assert!(
            asked
                .filter()
                .map_or_else(|wrong| !wrong.to_string().is_empty(), |_| true)
        );
    }
    if let Ok(form) = serde_urlencoded::from_bytes::<Typed>(data)
        && let Some(Ok(kind)) = form.get("piece").map(|kind| kind.parse::<Kind>())
        && let Ok(piece) = register_form::piece(kind, &form, Date::MAX)
    {
        reads_back(EQUIPMENT, &piece);
        // The form to change it by describes the same piece.
        let filled = register_form::filled(&piece);
        let again = register_form::piece(kind, &filled, Date::MAX);
        assert_eq!(
            again.map_err(|wrong| wrong.into_iter().map(|one| one.message).collect::<Vec<_>>()),
            Ok(piece)
        );
    }
}

/// Bytes from an instrument; the first says how many come at a time.
pub fn serial_line(data: &[u8]) {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let mut lines = Lines::default();
    let some = rest.chunks(usize::from(*first).max(1));
    let in_pieces: Vec<String> = some.flat_map(|some| lines.take(some)).collect();
    assert_eq!(in_pieces, Lines::default().take(rest));
    let mut stories = STORIES.iter().rev();
    let asked = stories.find(|story| story.state().question().takes_reading());
    // A job is computed with each reading: a few, so that the fuzzer gets to try many inputs.
    for reading in in_pieces.iter().filter_map(|line| reading(line)).take(3) {
        told(asked, &reading, By::Serial);
    }
}

/// A day by which everything in the corpus was measured.
static LATER: LazyLock<Timestamp> =
    LazyLock::new(|| Timestamp::from_second(4_102_444_800).unwrap_or(Timestamp::MAX));

fn parse(text: &str) -> Result<Job, workshop::Error> {
    let nowhere = Shelf::beside(Path::new("/nowhere/ledger.db"));
    job_file::parse(Path::new("job.toml"), text, *LATER, &nowhere)
}

/// What is computed of a job is shown, and can be stored as the job can.
fn computed(job: &Job) {
    reads_back(JOB, job);
    if let Ok(inspection) = inspect(job) {
        let result = Inspected::of(job, &inspection);
        assert!(!report::text::answer(job, &result, report::text::WIDTH).is_empty());
        reads_back(RESULT, &result);
    }
}

/// What is stored reads back as it was.
fn reads_back<T: Keep>(schema: u32, what: &T) {
    let text = kept::write(schema, what).unwrap();
    let again: T = kept::read(schema, &text).unwrap();
    assert_eq!(kept::write(schema, &again), Ok(text));
}

/// A line at a question: what happens by it can be stored, and the job goes on.
fn told(story: Option<&Story>, line: &str, by: By) {
    let mut story = story.unwrap().clone();
    if let Ok(Answer::Events(events)) = story.tell_by(line, by) {
        for event in &events {
            reads_back(EVENT, event);
        }
        let state = story.state();
        let _ = (state.inspect(), state.kept());
    }
}

const PLAN_TEXT: &str = include_str!("../../../demo/lot/plan.toml");
const SETUP_TEXT: &str = include_str!("../../../demo/lot/setup.toml");

static DEMO: LazyLock<Job> =
    LazyLock::new(|| parse(include_str!("../../../demo/1-rating-screw.toml")).unwrap());

/// A good job at each of its questions.
static STORIES: LazyLock<Vec<Story>> = LazyLock::new(|| {
    let folder = std::env::temp_dir().join(format!("midflank-stories-{}", std::process::id()));
    let mut story = Story::begin(&Ledger::open(folder.join("ledger.db")).unwrap());
    std::fs::remove_dir_all(folder).unwrap();
    let set_up = "M10x1.5-6g|screw||lot 4|||mic-04|vc-60-3||";
    let zero = "10.001|10.002|10.001";
    let readings = "8.929|8.930|8.927|8.931|8.926|8.928";
    let end = "10.002|10.002|10.001|/sign A. Quill";
    let mut all = vec![story.clone()];
    for line in [set_up, zero, readings, end].join("|").split('|') {
        story.tell(line).unwrap();
        all.push(story.clone());
    }
    all
});
