//! A micrometer on gauge blocks, told line by line.

use std::path::Path;

use ledger::Ledger;
use metrology::units::LengthUnit;

use super::*;
use crate::bench::Answer;
use crate::bench::calibration::OnBlocks;
use crate::bench::story::{Story, tell};
use crate::gauge_room::calibration::Read;
use crate::gauge_room::certificate_file;
use crate::kept;
use crate::recorder::Recorder;

const FILE: &str = include_str!("../../../../../demo/gauge-room/calibration.toml");
const BLOCKS: &str = include_str!("../../../../../demo/gauge-room/blocks.toml");
/// The readings of that file, point by point.
const READ: [[&str; 3]; 9] = [
    ["0.000", "0.000", "0.001"],
    ["2.501", "2.501", "2.501"],
    ["5.101", "5.102", "5.101"],
    ["7.702", "7.701", "7.702"],
    ["10.302", "10.301", "10.301"],
    ["12.902", "12.902", "12.901"],
    ["15.001", "15.001", "15.002"],
    ["17.602", "17.602", "17.602"],
    ["25.002", "25.003", "25.002"],
];
/// Up to the points.
const SET_UP: [&str; 7] = [
    "gb-1",
    "span 4um simple",
    "IN-2026-04",
    "clock workshop, gauge room",
    "gauge room 3",
    "1 0.3",
    "",
];

fn begun(name: &str) -> (Story, std::path::PathBuf) {
    let name = format!("midflank-{name}-{}", std::process::id());
    let folder = std::env::temp_dir().join(name);
    let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
    let today = crate::station::day(crate::clock::now().unwrap());
    let blocks = BLOCKS.replace("due = 2031-01-12\n", "");
    let listed = certificate_file::parse(Path::new("blocks.toml"), &blocks).unwrap();
    let recorder = Recorder {
        person: listed.person.clone(),
        station: "bench".to_owned(),
        program: "test",
        tables: "",
    };
    let certificate =
        crate::certificates_on_record::draft(&ledger, &listed.certified, today, &recorder);
    ledger.append(&certificate.unwrap()).unwrap();
    let mut story = Story::begin(&ledger);
    let register = Register::read(&ledger).unwrap();
    assert!(begin(&ledger, &register, "mic-99").is_err());
    for event in begin(&ledger, &register, "mic-04").unwrap() {
        story.happens(event);
    }
    (story, folder)
}

fn on_blocks(state: &State) -> &OnBlocks {
    match &state.calibrating().unwrap().of {
        On::Blocks(on) => on,
        On::Plugs(_) => panic!("no micrometer"),
    }
}

#[track_caller]
fn refused(story: &mut Story, line: &str, code: &str) {
    let Refusal { why, .. } = story.tell(line).unwrap_err();
    assert_eq!(why.message.key(), code, "{line}");
}

/// The same blocks and readings at the bench and in the file of the demonstration are the same calibration.
#[test]
fn at_the_bench_it_is_what_it_is_in_a_file() {
    let (mut story, folder) = begun("calibrated");
    tell(&mut story, &SET_UP);
    let state = story.state();
    let on = on_blocks(&state);
    // No stack of these blocks makes 20.2 and 22.8 mm.
    assert_eq!(on.usual().1, 2);
    assert_eq!(state.plan.len(), 9 * READINGS);
    assert!((on.gap() - 0.2).abs() < 1e-9);
    for point in READ {
        assert!(story.state().calibrated().is_none());
        tell(&mut story, &point);
    }
    let faces = ["bands 1 1.5 0.6um", "bands 4 0.6um"];
    tell(&mut story, &faces);
    tell(&mut story, &["no", "none", "/sign A. Quill"]);
    let state = story.state();
    assert_eq!(state.question(), Question::Finish);
    let (worked, result) = state.calibrated().unwrap().unwrap();
    let today = jiff::civil::date(2026, 4, 1);
    let Read::Done(file) = calibration::parse(Path::new("c.toml"), FILE, today).unwrap() else {
        panic!("no calibration");
    };
    let of_file = calibration::computed(&file).unwrap();
    assert_eq!(worked.person, file.person);
    assert_eq!(worked.heading.chain, file.heading.chain);
    assert_eq!(result.verdict, of_file.verdict);
    let (one, other) = (result.found.unwrap(), of_file.found.unwrap());
    assert_eq!(one.points.len(), other.points.len());
    for (one, other) in one.points.iter().zip(&other.points) {
        assert!((one.error_um - other.error_um).abs() < 1e-9, "{one:?}");
        let expanded = one.expanded_uncertainty_um - other.expanded_uncertainty_um;
        assert!(expanded.abs() < 1e-9, "{one:?} {other:?}");
    }
    assert_eq!(result.flatness, of_file.flatness);
    assert_eq!(result.parallelism, of_file.parallelism);
    std::fs::remove_dir_all(folder).unwrap();
}

/// One point whose readings lie apart as those of no other do is taken again before it is signed, as a file of it is refused.
#[test]
fn scattered_readings_of_a_point_are_not_signed() {
    let (mut story, folder) = begun("scattered");
    tell(&mut story, &SET_UP);
    let mut read = READ;
    read[4] = ["10.302", "10.281", "10.320"];
    for point in read {
        tell(&mut story, &point);
    }
    tell(&mut story, &["none", "none", "no", "none"]);
    let register =
        Register::read(&Ledger::open_read_only(folder.join("ledger.db")).unwrap()).unwrap();
    let today = jiff::civil::date(2026, 4, 1);
    let unfit = |story: &Story| story.state().unfit_to_sign(&register, &[], today);
    let why = unfit(&story).map(|refusal| refusal.why.message.key().to_owned());
    let verdict = story.state().calibrated().unwrap().unwrap().1.verdict;
    assert_ne!(verdict, "reject");
    assert_eq!(why.as_deref(), Some("scattered"));
    tell(
        &mut story,
        &["/retake 14", "10.301", "/retake 15", "10.301"],
    );
    assert!(unfit(&story).is_none());
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn what_is_wrong_is_refused_where_it_is_answered() {
    let (mut story, folder) = begun("refused");
    refused(&mut story, "gb-9", "blocks");
    refused(&mut story, "grade 7 1.0", "grade");
    refused(&mut story, "grade 1 1.0 -2", "blocks");
    tell(&mut story, &["1"]);
    refused(&mut story, "4um", "criterion");
    refused(&mut story, "span", "criterion");
    refused(&mut story, "span 0", "criterion");
    tell(&mut story, &["span 4um"]);
    refused(&mut story, "", "number");
    tell(&mut story, &["IN-1"]);
    refused(&mut story, "", "issuer");
    tell(&mut story, &["gauge room", ""]);
    refused(&mut story, "1", "temperature");
    refused(&mut story, "1 21", "temperature");
    tell(&mut story, &["", "/back", "1 0.3"]);
    refused(&mut story, "0 5.1 2.5", "point-order");
    refused(&mut story, "0 26", "point-outside");
    refused(&mut story, "0 2.5 20.2", "no-stack");
    refused(&mut story, "0 25", "few-points");
    refused(&mut story, "all", "points");
    tell(&mut story, &["0 5.1 10.3 25"]);
    refused(&mut story, "5.101", "far-off");
    refused(&mut story, "0.0002in", "other-unit");
    tell(&mut story, &["0.000", "0.001", "0.000"]);
    // A reading is taken again, of its own point.
    tell(&mut story, &["/retake 2"]);
    refused(&mut story, "5.1", "far-off");
    tell(&mut story, &["0.000", "5.101", "5.101"]);
    assert!(story.tell("/end").is_err());
    tell(&mut story, &["5.101", "10.301", "10.301"]);
    assert!(story.tell("/end").is_err());
    tell(&mut story, &["10.302", "/end"]);
    assert_eq!(story.state().plan.len(), 9);
    refused(&mut story, "1 0.6um", "form");
    refused(&mut story, "bands 1 1 1 0.6um", "form");
    refused(&mut story, "ball 10.001 10.002", "form");
    tell(&mut story, &["none"]);
    refused(&mut story, "bands 1 2 0.6um", "form");
    tell(&mut story, &["ball 10.001 10.002 10.001"]);
    refused(&mut story, "perhaps", "yes-or-no");
    tell(&mut story, &[""]);
    refused(&mut story, "1.3.2027", "due");
    refused(&mut story, "2020-01-01", "due-before");
    tell(&mut story, &["/back", "yes"]);
    // As left: the same points once more, and what was found is shown meanwhile.
    let state = story.state();
    assert_eq!(state.plan.len(), 18);
    let (_, result) = state.calibrated().unwrap().unwrap();
    assert!(result.left.is_none());
    assert!(story.tell("/end").is_err());
    refused(&mut story, "5.1", "far-off");
    tell(&mut story, &["0.000", "0.000", "0.000", "/park"]);
    assert_eq!(story.tell("").unwrap(), Answer::TakeUp(Some(1)));
    story.happens(Event::TakenUp {
        parked_at: "bench".to_owned(),
    });
    tell(&mut story, &["5.100", "5.100", "5.101", "10.300"]);
    tell(&mut story, &["10.301", "10.300", "2098-01-01"]);
    assert_eq!(story.state().question(), Question::Sign);
    refused(&mut story, "received soon", "received");
    refused(&mut story, "received 2098-01-01", "received-after");
    refused(&mut story, "condition", "condition");
    let stated = ["received 2026-03-01", "condition one face scratched"];
    tell(&mut story, &stated);
    let worked = story.state().to_calibration().unwrap();
    assert_eq!(worked.received, Some(jiff::civil::date(2026, 3, 1)));
    assert_eq!(worked.condition.as_deref(), Some("one face scratched"));
    tell(&mut story, &["received none", "condition clean"]);
    tell(&mut story, &["number IN-2", "/sign A. Quill"]);
    let (worked, result) = story.state().calibrated().unwrap().unwrap();
    assert_eq!(worked.heading.number, "IN-2");
    assert_eq!(worked.received, None);
    assert_eq!(worked.condition.as_deref(), Some("clean"));
    assert_eq!(worked.due, Some(jiff::civil::date(2098, 1, 1)));
    let left = result.left.unwrap();
    assert_eq!(left.points.len(), 3);
    assert!(left.span_um < result.found.unwrap().span_um + 1e-9);
    std::fs::remove_dir_all(folder).unwrap();
}

/// Blocks without a certificate go by their grade, in inches as well; nothing shows how they are traced.
#[test]
fn blocks_go_by_their_grade() {
    let (mut story, folder) = begun("grade");
    tell(&mut story, &["grade 1 1 1.1 1.5 4 9 15 25"]);
    let state = story.state();
    let set = on_blocks(&state).set.clone().unwrap();
    assert_eq!((set.blocks.len(), set.certificate), (7, None));
    let inch = told::by_grade("grade 0 0.1 0.105", LengthUnit::Inch).unwrap();
    assert_eq!(
        inch.unwrap().blocks[1].nominal.value().tenth_nanometres(),
        26_670_000
    );
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn events_of_a_calibration_have_a_schema_of_their_own() {
    let told = Event::CalibrationTold {
        asked: Ask::Number.key().to_owned(),
        answer: "IN-1".to_owned(),
    };
    let set = told::by_grade("grade 1 1.1 4", LengthUnit::Millimetre).unwrap();
    let set = Event::Blocks { set: set.unwrap() };
    for event in [told, set] {
        let text = kept::write_event(&event).unwrap();
        assert!(text.starts_with(r#"{"schema":3,"#), "{text}");
        assert_eq!(kept::read_event(&text).unwrap(), event);
    }
}
