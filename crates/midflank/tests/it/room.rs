//! The room: limits of an inspection plan, and results measured outside them or without a record of the room.

use ledger::{Draft, Filter, Ledger, Order, Page};
use serde_json::Value;

use crate::bench::{Bench, Run, root};
use crate::lot::{GOOD, set_up};
use crate::said::assert_says;

const ZERO: &str = ",zero,,10.001,mm,\n,zero,,10.001,mm,\n,zero,,10.001,mm,\n";

fn plan(room: &str) -> String {
    let plan = std::fs::read_to_string(root().join("demo/lot/plan.toml")).unwrap();
    plan.replace("[decision]", &format!("{room}\n[decision]"))
}

const TEMPERATURE: &str = "[room]\ntemperature = [19, 21]\nwithin = 30\n";

/// A readings file of pieces, each with the time of its readings.
fn readings(pieces: &[(&str, &str)]) -> String {
    let mut text = format!("piece,characteristic,place,reading,unit,time\n{ZERO}");
    for (piece, time) in pieces {
        for (place, reading) in ["near the head", "middle", "near the end"].iter().zip(GOOD) {
            text += &format!("{piece},1,{place},{reading},mm,2026-03-10T{time}:00Z\n");
        }
    }
    text + ZERO
}

fn measure(bench: &Bench, room: &str, pieces: &[(&str, &str)], more: &[&str]) -> Run {
    crate::lot::measure(bench, &plan(room), &readings(pieces), &set_up(), more)
}

/// The code of what withholds the verdict of each piece; nothing where it is accepted.
fn because(run: &Run) -> Vec<String> {
    let lines = run.documents();
    let pieces = lines.iter().filter(|line| line["piece"].is_string());
    pieces
        .map(|line| match line["because"].as_str() {
            Some(because) => {
                assert_eq!(line["decision"], "undecided");
                because.to_owned()
            }
            None => {
                assert_eq!(line["decision"], "accept", "{line}");
                String::new()
            }
        })
        .collect()
}

fn import(bench: &Bench, log: &str) {
    let file = bench.file("log.csv", log);
    let run = bench.run(&[
        "room",
        "import",
        &file,
        "--thermometer",
        "th-2",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
}

const LOG: &str = "time,celsius,humidity\n2026-03-10T08:00:00Z,20.4,45\n2026-03-10T08:20:00Z,20.9,61\n2026-03-10T08:40:00Z,21.3,62\n2026-03-10T09:30:00Z,20.1,50\n";

#[test]
fn results_outside_the_limits_of_the_room_are_undecided() {
    let bench = Bench::new().with_equipment();
    let pieces = [
        ("1", "08:10"),
        ("2", "08:30"),
        ("3", "09:05"),
        ("4", "09:40"),
        ("5", "11:00"),
    ];
    // Nothing is recorded: nothing is accepted.
    let run = measure(&bench, TEMPERATURE, &pieces, &["--json"]);
    assert_eq!(because(&run), ["no-room-temperature"; 5]);
    import(&bench, LOG);
    let run = measure(&bench, TEMPERATURE, &pieces, &["--json"]);
    // Piece 3 is 25 min from either value, of which one is outside.
    let found = [
        "",
        "room-temperature",
        "room-temperature",
        "",
        "no-room-temperature",
    ];
    assert_eq!(because(&run), found);
    let lot = run.documents().pop().unwrap()["lot"].clone();
    assert_eq!(lot["undecided"], 3);
    let limits = "[room]\nhumidity = [30, 60]\n";
    let run = measure(&bench, limits, &pieces, &["--json"]);
    let found = [
        "room-humidity",
        "room-humidity",
        "room-humidity",
        "",
        "no-room-humidity",
    ];
    assert_eq!(because(&run), found);
    // Without limits the room is nobody's concern.
    let run = measure(&bench, "", &pieces, &["--json"]);
    assert_eq!(because(&run), [""; 5]);
}

#[test]
fn the_record_says_what_the_plan_asked_of_the_room() {
    let bench = Bench::new().with_equipment();
    import(&bench, LOG);
    let pieces = [("1", "08:10"), ("2", "08:40")];
    let run = measure(&bench, TEMPERATURE, &pieces, &["--record", "--json"]);
    assert_eq!(because(&run), ["", "room-temperature"]);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
    let listed = bench.run(&["ledger", "list", "--json"]).documents();
    let second: &Value = listed
        .iter()
        .filter(|entry| entry["kind"] == "inspection")
        .max_by_key(|entry| entry["sequence"].as_u64())
        .unwrap();
    let id = second["entry"].as_str().or(second["id"].as_str()).unwrap();
    let report = bench.run(&["report", id]).out;
    assert_says(&report, "plan-note.room-temperature");
    assert_says(&report, "status-note.room-temperature");
    assert!(report.contains("th-2"), "{report}");
    assert_says(&report, "let-stand.room");

    // Amended with better readings it is still undecided: what the plan asks of the room stays.
    let job = std::fs::read_to_string(root().join("demo/1-rating-screw.toml")).unwrap();
    let job = bench.file("job.toml", &job);
    let amended = bench.run(&[
        "ledger",
        "amend",
        id,
        "--reason",
        "another set of readings",
        "--job",
        &job,
        "--other-part",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(amended.status, 0, "{}", amended.err);
    let path = bench.path("data/midflank/ledger.db");
    let ledger = Ledger::open_read_only(path).unwrap();
    let page = Page::first(Order::NewestFirst, 1);
    let last = ledger
        .list(&Filter::default(), &page)
        .unwrap()
        .entries
        .remove(0);
    assert!(last.content.results.contains("\"undecided\""));
    assert!(
        last.content
            .inputs
            .contains("status-note.no-room-temperature")
            || last.content.inputs.contains("status-note.room-temperature")
    );
}

/// A record from which someone took the note of the room is computed to another verdict than it has, and the other way round.
#[test]
fn a_forged_room_is_found() {
    let bench = Bench::new().with_equipment();
    import(&bench, LOG);
    measure(&bench, TEMPERATURE, &[("1", "08:40")], &["--record"]);
    let path = bench.path("data/midflank/ledger.db");
    let ledger = Ledger::open(&path).unwrap();
    let filter = Filter {
        kind: Some("inspection".to_owned()),
        ..Filter::default()
    };
    let page = Page::first(Order::OldestFirst, 1);
    let mut draft: Draft = ledger
        .list(&filter, &page)
        .unwrap()
        .entries
        .remove(0)
        .content;
    let before = draft.inputs.clone();
    draft.inputs = before.replace("status-note.room-temperature", "plan-note.room-temperature");
    assert_ne!(draft.inputs, before);
    ledger.append(&draft).unwrap();
    drop(ledger);
    let verified = bench.run(&["ledger", "verify"]);
    assert_ne!(verified.status, 0, "{}", verified.out);
}

/// A result that was made with another record of the room is computed again as it says, but the room was not so.
#[test]
fn the_room_of_a_result_is_held_against_the_record_of_the_room() {
    let made_in = |log: &str| {
        let bench = Bench::new().with_equipment();
        import(&bench, log);
        measure(&bench, TEMPERATURE, &[("1", "08:40")], &["--record"]);
        bench
    };
    let first = |bench: &Bench| {
        let path = bench.path("data/midflank/ledger.db");
        let filter = Filter {
            kind: Some("inspection".to_owned()),
            ..Filter::default()
        };
        let page = Page::first(Order::OldestFirst, 1);
        let ledger = Ledger::open(path).unwrap();
        ledger
            .list(&filter, &page)
            .unwrap()
            .entries
            .remove(0)
            .content
    };
    let warm = made_in(LOG);
    let cool = made_in("time,celsius,humidity\n2026-03-10T08:30:00Z,20.1,45\n");
    for bench in [&warm, &cool] {
        let verified = bench.run(&["ledger", "verify"]);
        assert_eq!(verified.status, 0, "{}", verified.out);
    }
    let ledger = Ledger::open(warm.path("data/midflank/ledger.db")).unwrap();
    ledger.append(&first(&cool)).unwrap();
    drop(ledger);
    let verified = warm.run(&["ledger", "verify"]);
    assert_ne!(verified.status, 0, "{}", verified.out);
    assert!(verified.out.contains("notes.room"), "{}", verified.out);
    // What is recorded of the room later changes nothing about results before it.
    import(&cool, LOG);
    let verified = cool.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// A job file with the number of a lot is judged by what the plan of the lot asks of the room, and verified by it.
#[test]
fn a_job_of_a_lot_is_judged_by_the_room() {
    let bench = Bench::new().with_equipment();
    let plan = "unit = \"mm\"\n[part]\nname = \"screw\"\ndrawing = \"D-1\"\nplan = \"IP-1\"\n[pieces]\ntake = \"all\"\n\
                lot_size = 2\n[room]\ntemperature = [19, 21]\n[[characteristic]]\nnumber = \"7\"\n\
                [characteristic.measure]\ndesignation = \"M10x1.5-6g\"\n";
    let person = ["--person", "A. Quill"];
    let on = |arguments: &[&str]| {
        let run = bench.run(&[arguments, &person].concat());
        assert_eq!(run.status, 0, "{}", run.err);
    };
    on(&["plan", &bench.file("plan.toml", plan)]);
    on(&["lot", "L-1", "--begin", "IP-1"]);
    let job = std::fs::read_to_string(root().join("demo/1-rating-screw.toml")).unwrap();
    let of = |lot: &str, sample: &str| {
        job.replace(
            "sample = \"1\"",
            &format!("sample = \"{sample}\"\nlot = \"{lot}\""),
        )
    };
    let because = |lot: &str, sample: &str| {
        let file = bench.file("job.toml", &of(lot, sample));
        let run = bench.run(&["inspect", &file, "--record", "--json"]);
        assert_eq!(run.status, 0, "{}", run.err);
        let because = run.documents().swap_remove(0)["decision"]["because"].clone();
        because.as_str().unwrap_or_default().to_owned()
    };
    let room = |celsius: &str, minute: u32| {
        let at = format!("2026-03-09T09:{minute}:00Z");
        let add = ["room", "add", "--thermometer", "th-2", "--celsius", celsius];
        on(&[&add[..], &["--at", &at]].concat());
    };
    assert_eq!(because("L-1", "1"), "no-room-temperature");
    // 0.12 K is the certified error of the thermometer.
    room("21.1", 30);
    assert_eq!(because("L-1", "2"), "");
    room("21.2", 35);
    assert_eq!(because("L-1", "3"), "room-temperature");
    assert_eq!(because("L-2", "1"), "");
    let set = ["status", "set", "thermometer", "th-2", "quarantined"];
    on(&[&set[..], &["--reason", "fell"]].concat());
    assert_eq!(because("L-1", "4"), "room-thermometer");
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// What a thermometer showed counts only while it is registered, in use and not overdue.
#[test]
fn a_thermometer_that_does_not_count_shows_nothing() {
    let bench = Bench::new();
    import(&bench, LOG);
    let pieces = [("1", "08:10")];
    let run = measure(&bench, TEMPERATURE, &pieces, &["--json"]);
    assert_eq!(because(&run), ["room-thermometer"]);
    let register = |due: &str| {
        let thermometer = format!(
            "person = \"A. Quill\"\n[[thermometer]]\nid = \"th-2\"\nerror = 0\nexpanded_uncertainty = 0.1\n\
             coverage_factor = 2\n{due}\n"
        );
        let file = bench.file("th.toml", &thermometer);
        let run = bench.run(&["equipment", "add", &file, "--reason", "due"]);
        assert_eq!(run.status, 0, "{}", run.err);
    };
    register("due = 2026-03-09");
    let run = measure(&bench, TEMPERATURE, &pieces, &["--json"]);
    assert_eq!(because(&run), ["room-thermometer"]);
    register("due = 2026-03-10");
    let run = measure(&bench, TEMPERATURE, &pieces, &["--json"]);
    assert_eq!(because(&run), [""]);
}

/// Zero checks days apart from the readings are warned of, and stand with their times in the record; the standard must not be overdue
/// when it closes a run.
#[test]
fn zero_checks_far_from_the_readings_are_told() {
    let bench = Bench::new().with_equipment();
    let zero = |day: &str| format!(",zero,,10.001,mm,2026-03-{day}T08:00:00Z\n").repeat(3);
    let file = |before: &str, after: &str| {
        let whole = readings(&[("1", "08:10")]).replacen(ZERO, &zero(before), 1);
        whole.replacen(ZERO, &zero(after), 1)
    };
    let run = |before: &str, after: &str, more: &[&str]| {
        let file = file(before, after);
        crate::lot::measure(&bench, &plan(""), &file, &set_up(), more)
    };
    let near = run("10", "11", &["--json"]);
    assert_eq!(because(&near), [""]);
    assert!(!near.err.contains("2026-03-11"), "{}", near.err);
    let far = run("08", "12", &["--record", "--json"]);
    assert_eq!(because(&far), [""]);
    assert_says(&far.err, "lot-note.zero-early");
    assert_says(&far.err, "lot-note.zero-late");
    let listed = bench.run(&["ledger", "list", "--json"]).documents();
    let last = listed
        .iter()
        .find(|entry| entry["kind"] == "inspection")
        .unwrap();
    let id = last["entry"].as_str().or(last["id"].as_str()).unwrap();
    let report = bench.run(&["report", id]).out;
    assert_says(&report, "zero-note.early");
    assert_says(&report, "zero-note.late");
    let set = [
        "status",
        "set",
        "standard",
        "rod-10",
        "in-use",
        "--due",
        "2026-03-11",
    ];
    let set = bench.run(&[&set[..], &["--reason", "label", "--person", "A. Quill"]].concat());
    assert_eq!(set.status, 0, "{}", set.err);
    assert_eq!(because(&run("10", "11", &["--json"])), [""]);
    assert_eq!(because(&run("10", "12", &["--json"])), ["overdue"]);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

#[test]
fn limits_that_say_nothing_are_refused() {
    let bench = Bench::new();
    for (room, said) in [
        ("[room]\n", "plan.room-empty"),
        ("[room]\nwithin = 30\n", "plan.room-empty"),
        ("[room]\ntemperature = [21, 19]\n", "plan.room-limits"),
        ("[room]\nhumidity = [30, 130]\n", "number-given.outside"),
        (
            "[room]\ntemperature = [19, 21]\nwithin = 0\n",
            "number-given.outside",
        ),
    ] {
        measure(&bench, room, &[("1", "08:10")], &["--json"]).refused(&[said]);
    }
}

#[test]
fn a_value_by_hand_for_programs() {
    let bench = Bench::new();
    let told = bench
        .run(&[
            "room",
            "add",
            "--thermometer",
            "th-1",
            "--celsius",
            "20.4",
            "--person",
            "A. Quill",
            "--json",
        ])
        .json();
    assert_eq!(told["thermometer"], "th-1");
    assert_eq!(told["values"][0]["celsius"], 20.4);
    assert!(told["entry"].is_string());
}

#[test]
fn a_bad_log_is_refused_with_its_line() {
    let bench = Bench::new();
    for (log, said) in [
        ("time,celsius\nyesterday,20\n", "room-log.time"),
        ("time,celsius\n2026-03-10T08:00:00Z,200\n", "room-log.value"),
        (
            "time,celsius\n2026-03-10T08:00:00Z,20\n2026-03-10T08:00:00Z,20\n",
            "check-error.order",
        ),
        (
            "time,celsius\n2126-03-10T08:00:00Z,20\n",
            "check-error.ahead",
        ),
    ] {
        let file = bench.file("log.csv", log);
        bench
            .run(&[
                "room",
                "import",
                &file,
                "--thermometer",
                "th-2",
                "--person",
                "A",
            ])
            .refused(&[said]);
    }
    assert_eq!(
        bench.run(&["ledger", "list", "--json"]).documents().len(),
        0
    );
}
