//! A pair of thread contacts on two plugs, told line by line.

use std::path::{Path, PathBuf};

use jiff::civil::date;
use ledger::Ledger;
use metrology::units::LengthUnit;

use super::*;
use crate::bench::calibrating::begin;
use crate::bench::story::{Story, tell};
use crate::bench::{Answer, Event, Question, State};
use crate::gauge_record::calibration::Of;
use crate::gauge_room::calibration::{self, Read};
use crate::kept;
use crate::recorder::Recorder;
use crate::register::{self, Register};

const FILE: &str = include_str!("../../../../../../demo/gauge-room/pair.toml");
const PLUGS: &str = r#"
    person = "A. Quill"
    unit = "mm"
    [[standard]]
    id = "plug-10x1.5"
    form = "thread-plug"
    size = 9.0258
    expanded_uncertainty = "1um"
    coverage_factor = 2
    certificate = "P-17"
    [[standard]]
    id = "plug-8x1"
    form = "thread-plug"
    size = 7.3502
    expanded_uncertainty = "1um"
    coverage_factor = 2
    certificate = "P-22"
    [[standard]]
    id = "plug-9x1.5"
    form = "thread-plug"
    size = 8.0263
    expanded_uncertainty = "1um"
    coverage_factor = 2
    [[standard]]
    id = "plug-30x2"
    form = "thread-plug"
    size = 28.7012
    expanded_uncertainty = "1um"
    coverage_factor = 2
    certificate = "P-30"
    [[standard]]
    id = "plug-8x1-old"
    form = "thread-plug"
    size = 7.3502
    expanded_uncertainty = "1um"
    coverage_factor = 2
    certificate = "P-2"
    due = 2025-02-28
    [[standard]]
    id = "plug-8x1-b"
    form = "thread-plug"
    size = 7.3502
    expanded_uncertainty = "1um"
    coverage_factor = 2
    certificate = "P-3"
    state = "quarantined"
    [[contacts]]
    id = "vc-60-9"
    kind = "v-and-cone"
    state = "retired"
"#;

fn recorder() -> Recorder {
    Recorder {
        person: "A. Quill".to_owned(),
        station: "bench".to_owned(),
        program: "test",
        tables: "",
    }
}

fn stocked(name: &str) -> (Ledger, PathBuf) {
    let folder = std::env::temp_dir().join(format!("midflank-{name}-{}", std::process::id()));
    let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
    // The equipment of the demonstration is there before that of one's own.
    let _ = Story::begin(&ledger);
    let today = crate::station::day(crate::clock::now().unwrap());
    let path = Path::new("plugs.toml");
    let listed = crate::job_file::parse_equipment(path, PLUGS, today).unwrap();
    register::add(&ledger, &listed.pieces, &recorder(), None).unwrap();
    (ledger, folder)
}

fn begun(ledger: &Ledger) -> Story {
    let mut story = Story::begin(ledger);
    let register = Register::read(ledger).unwrap();
    for event in begin(ledger, &register, "VC-60-3").unwrap() {
        story.happens(event);
    }
    story
}

#[track_caller]
fn refused(story: &mut Story, line: &str, code: &str) {
    let refusal = story.tell(line).unwrap_err();
    assert_eq!(refusal.why.message.code, code, "{line}");
}

/// Up to the readings.
const SET_UP: [&str; 10] = [
    "mic-04",
    "plug-10x1.5 1.5",
    "plug-8x1",
    "1.0",
    "4um guarded",
    "IN-2026-05",
    "clock workshop, gauge room",
    "none",
    "9.025",
    "9.026",
];
const REST: [&str; 5] = ["9.025", "7.350", "7.349", "7.350", "none"];

/// The same plugs and readings at the bench and in the file of the demonstration are the same check.
#[test]
fn at_the_bench_it_is_what_it_is_in_a_file() {
    let (ledger, folder) = stocked("pair");
    let mut story = begun(&ledger);
    assert_eq!(story.state().question(), Question::Instrument);
    tell(&mut story, &SET_UP);
    assert!(story.state().calibrated().is_none());
    tell(&mut story, &REST);
    tell(&mut story, &["/sign A. Quill"]);
    let state = story.state();
    assert_eq!(state.question(), Question::Finish);
    let (mut worked, _) = state.calibrated().unwrap().unwrap();
    let today = date(2026, 4, 1);
    let Read::Done(mut file) = calibration::parse(Path::new("c.toml"), FILE, today).unwrap() else {
        panic!("no check");
    };
    // The file has another day.
    (worked.heading.date, worked.due) = (file.heading.date, file.due);
    let result = calibration::computed(&worked).unwrap();
    assert_eq!(result, calibration::computed(&file).unwrap());
    assert_eq!(worked.heading, file.heading);
    assert_eq!(worked.person, file.person);
    // As it is stored, but for what is rounded or written otherwise.
    file.heading = worked.heading.clone();
    assert_eq!(worked, *file);
    std::fs::remove_dir_all(folder).unwrap();
}

/// Micrometer, plugs with their pitches, limit and issuer are offered at the next check.
#[test]
fn what_was_stated_is_offered_at_the_next_check() {
    let (ledger, folder) = stocked("pair-again");
    let mut story = begun(&ledger);
    tell(&mut story, &SET_UP);
    tell(&mut story, &REST);
    tell(&mut story, &["/sign A. Quill"]);
    let (worked, result) = story.state().calibrated().unwrap().unwrap();
    let reason = |_| "calibrated".to_owned();
    let made = calibration::record(&ledger, &worked, &result, &recorder(), &reason).unwrap();
    assert!(made.status.is_some());
    let mut again = begun(&ledger);
    tell(&mut again, &["", "", "", "", "", "", "IN-2", "", ""]);
    tell(
        &mut again,
        &["9.025", "9.026", "9.025", "7.350", "7.349", "7.350", ""],
    );
    let (next, _) = again.state().calibrated().unwrap().unwrap();
    let (Of::Pair(next_check), Of::Pair(check)) = (&next.of, &worked.of) else {
        panic!("no check");
    };
    let of = |check: &PairCheck| {
        let plugs = check
            .plugs
            .each_ref()
            .map(|plug| (plug.id.clone(), plug.pitch()));
        let instrument = check.instrument.clone();
        (instrument, plugs, check.limit.value(), check.guard)
    };
    assert_eq!(of(next_check), of(check));
    assert_eq!(next.heading.issuer, worked.heading.issuer);
    assert_eq!(next.heading.chain, worked.heading.chain);
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn what_is_wrong_is_refused_where_it_is_answered() {
    let (ledger, folder) = stocked("pair-refused");
    let register = Register::read(&ledger).unwrap();
    let not_begun = |id: &str| {
        let refusal = begin(&ledger, &register, id).unwrap_err();
        refusal.why.message.code.into_owned()
    };
    assert_eq!(not_begun("disc-20"), "calibration-wanted.no-pair");
    assert_eq!(not_begun("fl-6"), "calibration-wanted.no-pair");
    assert_eq!(not_begun("vc-60-9"), "bench.out-of-use");
    assert_eq!(not_begun("rod-10"), "bench.no-such-piece");
    let mut story = begun(&ledger);
    refused(&mut story, "mic-09", "bench.unfit");
    refused(&mut story, "mic-99", "bench.no-such-piece");
    tell(&mut story, &["mic-11", "/back"]);
    assert_eq!(story.state().question(), Question::Instrument);
    tell(&mut story, &["mic-04"]);
    refused(&mut story, "plug-7", "calibration-wanted.plug");
    refused(&mut story, "rod-10", "calibration-wanted.other-form");
    for unfit in ["plug-8x1-old", "plug-8x1-b", "plug-30x2"] {
        refused(&mut story, unfit, "bench.unfit");
    }
    refused(
        &mut story,
        "plug-10x1.5 2",
        "calibration-wanted.pitch-outside",
    );
    tell(&mut story, &["plug-10x1.5"]);
    refused(&mut story, "", "calibration-wanted.pitch");
    refused(&mut story, "M10", "calibration-wanted.pitch");
    refused(&mut story, "2.5", "calibration-wanted.pitch-outside");
    tell(&mut story, &["1.5", "/back", "/back"]);
    // By its number in the list.
    tell(&mut story, &["2 1.5"]);
    refused(&mut story, "plug-10x1.5", "bench.unfit");
    refused(&mut story, "plug-9x1.5 1.5", "calibration-wanted.one-pitch");
    tell(&mut story, &["plug-8x1 1"]);
    refused(&mut story, "", "calibration-wanted.limit");
    refused(&mut story, "span 4um", "calibration-wanted.limit");
    assert!(story.tell("4").is_err());
    tell(&mut story, &["4um", "IN-1", "gauge room", ""]);
    refused(&mut story, "7.350", "calibration-wanted.far-from-plug");
    refused(&mut story, "0.3553", "bench.in-other-unit");
    // A reading without its last digit is asked about before the next plug is taken.
    tell(&mut story, &["9.02"]);
    assert!(matches!(story.state().question(), Question::Flagged { .. }));
    tell(&mut story, &["9.026", "9.025", "9.025"]);
    refused(&mut story, "9.025", "calibration-wanted.far-from-plug");
    tell(&mut story, &["7.350", "/retake 2"]);
    refused(&mut story, "7.350", "calibration-wanted.far-from-plug");
    tell(&mut story, &["9.026", "/park"]);
    assert_eq!(story.tell("").unwrap(), Answer::TakeUp(Some(1)));
    story.happens(Event::TakenUp {
        parked_at: "bench".to_owned(),
    });
    assert!(story.tell("/end").is_err());
    tell(&mut story, &["7.349", "7.350"]);
    refused(&mut story, "2020-01-01", "calibration-wanted.due-before");
    tell(&mut story, &["2098-01-01", "/back", "2098-02-01"]);
    assert_eq!(story.state().question(), Question::Sign);
    tell(&mut story, &["received 2026-03-01", "condition clean"]);
    let (worked, result) = story.state().calibrated().unwrap().unwrap();
    assert_eq!(worked.due, Some(date(2098, 2, 1)));
    assert_eq!(worked.received, Some(date(2026, 3, 1)));
    assert_eq!(worked.condition.as_deref(), Some("clean"));
    assert!(result.is_good());
    std::fs::remove_dir_all(folder).unwrap();
}

/// A plug without a certificate is taken, and nothing then shows how the difference is traced.
#[test]
fn without_the_certificate_of_a_plug_nothing_is_traced() {
    let (ledger, folder) = stocked("pair-untraced");
    let mut story = begun(&ledger);
    let lines = ["mic-04", "plug-9x1.5 1.5", "plug-8x1 1", "4um", "IN-1"];
    tell(&mut story, &lines);
    tell(&mut story, &["gauge room", "", "8.026", "8.026", "8.027"]);
    tell(&mut story, &["7.350", "7.350", "7.351"]);
    let (worked, result) = story.state().calibrated().unwrap().unwrap();
    assert_eq!(worked.heading.chain, [""; 0]);
    assert_eq!(result.traceability.key(), "not-shown");
    std::fs::remove_dir_all(folder).unwrap();
}

/// What was chosen and is set apart before the signature is not signed with.
#[test]
fn a_plug_that_is_set_apart_meanwhile_is_not_signed_with() {
    let (ledger, folder) = stocked("pair-apart");
    let mut story = begun(&ledger);
    tell(&mut story, &SET_UP);
    tell(&mut story, &REST);
    let today = crate::station::day(crate::clock::now().unwrap());
    let unfit = |state: &State| {
        let register = Register::read(&ledger).unwrap();
        let refusal = state.unfit_to_sign(&register, &[], today);
        refusal.map(|refusal| refusal.why.message.code.into_owned())
    };
    assert_eq!(unfit(&story.state()), None);
    let path = Path::new("plugs.toml");
    let later = PLUGS.replace("\"P-22\"", "\"P-22\"\nstate = \"quarantined\"");
    let listed = crate::job_file::parse_equipment(path, &later, today).unwrap();
    let reason = Some("dropped");
    register::add(&ledger, &listed.pieces, &recorder(), reason).unwrap();
    assert_eq!(unfit(&story.state()).as_deref(), Some("bench.unfit"));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn events_of_a_pair_have_a_schema_of_their_own() {
    let (ledger, folder) = stocked("pair-events");
    let mut story = begun(&ledger);
    tell(&mut story, &["mic-04", "plug-8x1 1"]);
    let own = |event: &&Event| event.came_with_pairs();
    let events: Vec<Event> = story
        .events
        .iter()
        .map(|(_, _, event)| event.clone())
        .collect();
    assert_eq!(events.iter().filter(own).count(), 2);
    for event in &events {
        let text = kept::write_event(event).unwrap();
        if own(&event) {
            assert!(text.starts_with(r#"{"schema":5,"#), "{text}");
        }
        assert_eq!(kept::read_event(&text).unwrap(), *event);
    }
    assert_eq!(story.state().unit, Some(LengthUnit::Millimetre));
    std::fs::remove_dir_all(folder).unwrap();
}
