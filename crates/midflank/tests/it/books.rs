//! What is put on the record once, by the time and the day of the bench, and found again.

use std::fs;
use std::thread;

use jiff::{SignedDuration, Timestamp};

use crate::bench::{Bench, Run, demo};
use crate::said::{assert_says, assert_silent, warns};

const SCREW: &str = "1-rating-screw.toml";
const MEASURED: &str = "measured_at = 2026-03-09T09:40:00Z";
/// Measured now, with equipment that is not overdue.
const NOW: [(&str, &str); 3] = [
    (MEASURED, "#"),
    ("due = 2026-09-30", "due = 2099-09-30"),
    ("due = 2026-11-15", "due = 2099-11-15"),
];

/// The program in a time zone.
fn run_in(bench: &Bench, zone: &str, arguments: &[&str]) -> Run {
    let mut command = bench.command(arguments);
    command.env("TZ", zone).output().unwrap().into()
}

fn record(bench: &Bench, job: &str) -> Run {
    bench.run(&["inspect", job, "--record"])
}

fn entries(bench: &Bench) -> Vec<serde_json::Value> {
    let listed = bench.run(&["ledger", "list", "--json"]);
    let lines = listed.out.lines();
    lines
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// The job of the latest entry.
fn latest(bench: &Bench) -> serde_json::Value {
    let last = entries(bench)[0]["id"].as_str().unwrap().to_owned();
    let shown = bench.run(&["ledger", "show", &last, "--json"]).json();
    shown["inputs"]["content"].clone()
}

fn assert_verifies(bench: &Bench) {
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// A second run with the same readings doubles nothing, whether the file says when they were taken or not.
#[test]
fn the_same_job_is_recorded_once() {
    for changes in [&NOW[..], &[]] {
        let bench = Bench::new();
        let job = bench.demo(SCREW, changes);
        let job = job.to_str().unwrap();
        assert_eq!(record(&bench, job).status, 0);
        let id = entries(&bench)[0]["id"].as_str().unwrap().to_owned();
        thread::sleep(std::time::Duration::from_millis(1100));
        for _ in 0..2 {
            let again = record(&bench, job);
            assert_eq!(again.status, 2);
            assert_says(&again.err, "ledger.already-there");
            assert!(again.err.contains(&id), "{}", again.err);
            assert_eq!(again.out, "");
        }
        // On purpose it may be, and the record says so.
        let again = bench.run(&["inspect", job, "--record", "--again"]);
        assert_eq!(again.status, 0, "{}", again.err);
        assert_says(&bench.run(&["report", "2"]).out, "record-note.again");
        assert_silent(&bench.run(&["report", "1"]).out, "record-note.again");
        assert_eq!(record(&bench, job).status, 2);
        assert_eq!(entries(&bench).len(), 2);
        assert_verifies(&bench);
    }
}

/// One other reading makes another job.
#[test]
fn another_reading_is_another_job() {
    let bench = Bench::new();
    let job = bench.demo(SCREW, &NOW);
    assert_eq!(record(&bench, job.to_str().unwrap()).status, 0);
    let text = fs::read_to_string(&job).unwrap();
    fs::write(
        &job,
        text.replace("\"8.929\", \"8.930\"", "\"8.929\", \"8.929\""),
    )
    .unwrap();
    assert_eq!(record(&bench, job.to_str().unwrap()).status, 0);
    assert_eq!(entries(&bench).len(), 2);
}

/// Of several at once one records.
#[test]
fn two_programs_record_the_same_job_once() {
    let bench = Bench::new();
    let other = bench.demo("3-dial-bolt.toml", &[]);
    assert_eq!(record(&bench, other.to_str().unwrap()).status, 0);
    let job = bench.demo(SCREW, &NOW);
    let job = job.to_str().unwrap();
    let mut statuses: Vec<i32> = thread::scope(|scope| {
        let runs: Vec<_> = (0..6)
            .map(|_| scope.spawn(|| record(&bench, job).status))
            .collect();
        runs.into_iter().map(|run| run.join().unwrap()).collect()
    });
    statuses.sort_unstable();
    assert_eq!(statuses, [0, 2, 2, 2, 2, 2]);
    assert_eq!(entries(&bench).len(), 2);
}

/// A job that is there already does not stop those after it, and how many went in is said.
#[test]
fn a_batch_says_how_many_went_in() {
    let bench = Bench::new();
    let first = bench.demo(SCREW, &[]);
    let second = bench.demo("3-dial-bolt.toml", &[]);
    let (first, second) = (first.to_str().unwrap(), second.to_str().unwrap());
    let one = record(&bench, first);
    assert_silent(&one.err, "ledger.went-in");
    let batch = bench.run(&["inspect", first, second, "--record"]);
    assert_eq!(batch.status, 2);
    assert_says(&batch.err, "ledger.already-there");
    assert_says(&batch.err, "ledger.went-in");
    assert!(batch.err.contains("1 of 2"), "{}", batch.err);
    assert_eq!(entries(&bench).len(), 2);
    let all = bench.run(&["inspect", first, second, "--record", "--again", "--json"]);
    assert_eq!(all.status, 0, "{}", all.err);
    assert!(all.err.contains("2 of 2"), "{}", all.err);
}

/// Clocks of two computers differ by minutes, not more.
#[test]
fn a_time_ahead_of_the_clock_is_remarked_or_refused() {
    let bench = Bench::new();
    let job = |ahead: i64| {
        let at = Timestamp::now() + SignedDuration::from_secs(ahead);
        let stated = format!("measured_at = {at:.0}");
        let job = bench.demo(SCREW, &[(MEASURED, &stated), NOW[1], NOW[2]]);
        record(&bench, job.to_str().unwrap())
    };
    let taken = job(240);
    assert_eq!(taken.status, 0, "{}", taken.err);
    assert_says(&taken.err, "record-note.ahead");
    assert_says(&bench.run(&["report", "1"]).out, "record-note.ahead");
    let refused = job(360);
    assert_eq!(refused.status, 2);
    assert_says(&refused.err, "jobfile.time-ahead");
    assert_silent(&job(-60).err, "record-note.ahead");
    assert_verifies(&bench);
}

/// A measurement on the evening of the last day is in date where that is still the evening of the last day.
#[test]
fn due_dates_go_by_the_day_at_the_bench() {
    let bench = Bench::new();
    let last_evening = [
        (MEASURED, "measured_at = 2026-03-10T03:00:00Z"),
        ("due = 2026-09-30", "due = 2026-03-09"),
    ];
    let job = bench.demo(SCREW, &last_evening);
    let job = job.to_str().unwrap();
    let west = run_in(&bench, "America/Denver", &["inspect", job, "--record"]);
    assert_eq!(west.status, 0, "{}", west.err);
    let here = run_in(&bench, "Etc/UTC", &["inspect", job, "--json"]).json();
    assert_eq!(here["decision"]["because"], "overdue");
    // The zone is on the record, and it verifies in any other.
    let shown = run_in(&bench, "Asia/Tokyo", &["ledger", "show", "1", "--json"]).json();
    assert_eq!(shown["zone"], "America/Denver");
    assert_eq!(shown["inputs"]["content"]["measured_on"], "2026-03-09");
    let verified = run_in(&bench, "Asia/Tokyo", &["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
    // A zone without a name is there by its offset.
    let job = bench.demo("3-dial-bolt.toml", &[]);
    let job = job.to_str().unwrap();
    let posix = run_in(&bench, "XYZ-05:30", &["inspect", job, "--record"]);
    assert_eq!(posix.status, 0, "{}", posix.err);
    let shown = bench.run(&["ledger", "show", "2", "--json"]).json();
    assert_eq!(shown["zone"], "+05:30");
}

/// A time without offset is that of the wall clock; one that the clock shows twice or never is refused.
#[test]
fn times_without_offset_are_of_here() {
    let bench = Bench::new();
    let run = |stated: &str| {
        let stated = format!("measured_at = {stated}");
        let job = bench.demo(SCREW, &[(MEASURED, &stated)]);
        let run = run_in(
            &bench,
            "Europe/Paris",
            &["inspect", job.to_str().unwrap(), "--record"],
        );
        let at = match run.status {
            0 => latest(&bench)["measured_at"].as_str().unwrap().to_owned(),
            _ => String::new(),
        };
        (run, at)
    };
    for (stated, at) in [
        ("2026-03-09T09:40:00", "2026-03-09T08:40:00Z"),
        ("2026-07-09 09:40:00", "2026-07-09T07:40:00Z"),
        ("2026-07-08", "2026-07-07T22:00:00Z"),
        ("\"2026-07-06T09:40\"", "2026-07-06T07:40:00Z"),
    ] {
        let (run, found) = run(stated);
        assert_eq!(run.status, 0, "{stated}: {}", run.err);
        assert_says(&run.err, "jobfile.time-of-here");
        assert_eq!(found, at, "{stated}");
    }
    let (with_offset, at) = run("2026-05-09T09:40:00+05:00");
    assert_silent(&with_offset.err, "jobfile.time-of-here");
    assert_eq!(at, "2026-05-09T04:40:00Z");
    for (stated, key) in [
        ("2026-03-29T02:30:00", "jobfile.not-one-time"),
        ("2025-10-26T02:30:00", "jobfile.not-one-time"),
        ("\"yesterday\"", "jobfile.no-time"),
        ("\"2026-03-09T09:40:00+26:00\"", "jobfile.no-time"),
        ("\"2026-03-09T09:40:00[Nowhere/Land]\"", "jobfile.no-time"),
        ("09:40:00", "jobfile.no-time"),
        ("0206-03-09T09:40:00Z", "jobfile.time-too-early"),
    ] {
        let (run, _) = run(stated);
        assert_eq!(run.status, 2, "{stated}: {}", run.out);
        assert_says(&run.err, key);
    }
}

/// A measurement before a recalibration is judged by the certificate of its day, and a slip that was put right later by
/// what is right.
#[test]
fn a_measurement_is_judged_by_the_certificate_of_its_time() {
    let bench = Bench::new().with_equipment();
    let own = demo("equipment");
    let change = |from: &str, to: &str| {
        assert!(own.contains(from));
        let file = bench.file("equipment.toml", &own.replace(from, to));
        let added = bench.run(&["equipment", "add", &file, "--reason", "recalibrated"]);
        assert_eq!(added.status, 0, "{}", added.err);
    };
    let before = Timestamp::now();
    thread::sleep(std::time::Duration::from_millis(1600));
    change(
        "certificate = \"K-2231\"\ndue = 2027-09-30",
        "certificate = \"K-3000\"\ndue = 2028-09-30",
    );
    let measure = |at: Timestamp| {
        let text = fs::read_to_string(bench.demo(SCREW, &[])).unwrap();
        let from = text.find("[instrument]").unwrap();
        let to = text.find("[contacts]").unwrap();
        let text = format!(
            "{}[instrument]\nid = \"mic-04\"\n\n{}",
            &text[..from],
            &text[to..]
        );
        let text = text
            .replace(MEASURED, &format!("measured_at = {at:.0}"))
            .replace("due = 2026-11-15", "due = 2099-11-15");
        let job = bench.file("job.toml", &text);
        let run = bench.run(&["inspect", &job, "--record", "--again"]);
        assert_eq!(run.status, 0, "{}", run.err);
        let certificate = latest(&bench)["instrument"]["certificate"].clone();
        (certificate.as_str().unwrap().to_owned(), run)
    };
    let (certificate, run) = measure(before);
    assert_eq!(certificate, "K-2231");
    assert_says(&run.err, "shelf.earlier-certificate");
    // Entries are dated to the nearest second, and the job to the one that has passed.
    thread::sleep(std::time::Duration::from_millis(1600));
    let (certificate, run) = measure(Timestamp::now());
    assert_eq!(certificate, "K-3000");
    assert_silent(&run.err, "shelf.earlier-certificate");
    // Nothing is known of the time before the register: what it knew first holds.
    let (certificate, run) = measure("2026-03-09T09:40:00Z".parse().unwrap());
    assert_eq!(certificate, "K-2231");
    assert_says(&run.err, "shelf.earlier-certificate");
    assert_verifies(&bench);
}

/// The demo stays out of a ledger with other work, however it is named.
#[test]
fn the_demo_never_writes_among_real_records() {
    let bench = Bench::new();
    let real = bench.path("real.db");
    let real = real.to_str().unwrap();
    let text = fs::read_to_string(bench.demo(SCREW, &[])).unwrap();
    let job = bench.file(
        "job.toml",
        &text.replace("pendulum rating screw", "gate screw"),
    );
    let recorded = bench.run(&["--ledger", real, "inspect", &job, "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let before = fs::read(real).unwrap();
    let refused = bench.run(&["--ledger", real, "demo"]);
    assert_eq!(refused.status, 2);
    assert_says(&refused.err, "command.demo-other-work");
    let mut command = bench.command(&["demo"]);
    let apart: Run = command
        .env("MIDFLANK_LEDGER", real)
        .output()
        .unwrap()
        .into();
    assert_eq!(apart.status, 0, "{}", apart.err);
    assert_eq!(fs::read(real).unwrap(), before);
    // Its own it may go on with.
    assert_eq!(bench.run(&["demo"]).status, 0);
}

/// Both days belong to what is asked for; a day finds what was measured on it and what was recorded on it.
#[test]
fn days_are_included_and_go_by_the_measurement_too() {
    let bench = Bench::new();
    for (name, day) in [
        ("one", "2026-03-08"),
        ("two", "2026-03-09"),
        ("three", "2026-03-10"),
    ] {
        let stated = format!("measured_at = {day}T23:30:00-06:00");
        let text = fs::read_to_string(bench.demo(SCREW, &[(MEASURED, &stated)])).unwrap();
        let job = bench.file(
            "job.toml",
            &text.replace("sample = \"1\"", &format!("sample = \"{name}\"")),
        );
        let run = run_in(&bench, "America/Denver", &["inspect", &job, "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let found = |options: &[&str]| {
        let arguments = [&["ledger", "list", "--json"], options].concat();
        let run = run_in(&bench, "America/Denver", &arguments);
        assert_eq!(run.status, 0, "{}", run.err);
        run.out.lines().count()
    };
    let today = jiff::tz::TimeZone::get("America/Denver")
        .unwrap()
        .to_datetime(Timestamp::now())
        .date();
    let today = today.to_string();
    assert_eq!(
        found(&["--since", "2026-03-09", "--until", "2026-03-09"]),
        1
    );
    assert_eq!(
        found(&["--since", "2026-03-08", "--until", "2026-03-09"]),
        2
    );
    assert_eq!(found(&["--until", "2026-03-10"]), 3);
    assert_eq!(found(&["--until", "2026-03-07"]), 0);
    assert_eq!(found(&["--since", &today, "--until", &today]), 3);
    assert_eq!(found(&["--since", "2026-03-09"]), 3);
    assert_eq!(
        found(&["--since", "2026-03-11", "--until", "2026-03-12"]),
        0
    );
    let wrong = bench.run(&["ledger", "list", "--since", "9.3.2026"]);
    assert_eq!(wrong.status, 2);
}

/// Where one of a pair turns out to be worn, all that was measured with the pair is found.
#[test]
fn a_member_of_a_pair_finds_its_records() {
    let bench = Bench::new();
    let job = bench.demo(
        SCREW,
        &[(
            "kind = \"v-and-cone\"",
            "kind = \"v-and-cone\"\nmembers = [\"V-17\", \"K-9\"]",
        )],
    );
    assert_eq!(record(&bench, job.to_str().unwrap()).status, 0);
    for name in ["V-17", "K-9", "vc-60-3"] {
        let found = bench.run(&["ledger", "list", "--contacts", name, "--json"]);
        assert_eq!(found.out.lines().count(), 1, "{name}");
    }
    let none = bench.run(&["ledger", "list", "--contacts", "V-18"]);
    assert_says(&none.out, "ledger.list-unknown");
}

/// Who mistypes an identity is offered those of the register that are nearly that.
#[test]
fn identities_that_are_nearly_registered_are_offered() {
    let bench = Bench::new();
    let file = bench.file(
        "pairs.toml",
        r#"
person = "A. Quill"

[[contacts]]
id = "C-11"
kind = "v-and-cone"
included_angle = 60
pitch_range = ["1mm", "2mm"]
members = ["V-17", "K-9"]

[[contacts]]
id = "C-12"
kind = "v-and-cone"
included_angle = 60
pitch_range = ["2mm", "3mm"]

[[wires]]
id = "W-0866"
diameter = "0.8660mm"
expanded_uncertainty = "0.0005mm"
coverage_factor = 2
certificate = "K-1"
due = 2099-01-01
"#,
    );
    let added = bench.run(&["equipment", "add", &file]);
    assert_eq!(added.status, 0, "{}", added.err);
    let list = |option: &str, id: &str| bench.run(&["ledger", "list", option, id]).out;
    let case = list("--contacts", "c-11");
    assert!(case.ends_with("did you mean `C-11`?\n"), "{case}");
    let digit = list("--contacts", "c-13");
    assert!(
        digit.ends_with("did you mean `C-11` or `C-12`?\n"),
        "{digit}"
    );
    let member = list("--contacts", "v-17");
    assert!(member.ends_with("did you mean `V-17`?\n"), "{member}");
    assert_silent(&list("--instrument", "C-11"), "ledger.list-near");
    bench
        .run(&["equipment", "show", "w0866"])
        .refused(&["did you mean `W-0866`?"]);
    let job = bench.demo(SCREW, &[]);
    let text = fs::read_to_string(job).unwrap();
    let (before, after) = text.split_once("[contacts]").unwrap();
    let (_, after) = after.split_once("\n\n").unwrap();
    let named = format!("{before}[contacts]\nid = \"C11\"\n\n{after}");
    let job = bench.write("named.toml", &named);
    bench
        .run(&["inspect", job.to_str().unwrap()])
        .refused(&["jobfile.unregistered-near", "did you mean C-11? If not"]);
}

/// The day of the measurement leads a line; the day of recording is told where it is another.
#[test]
fn a_list_tells_the_day_of_the_measurement() {
    let bench = Bench::new();
    let long = "a rating screw with a name that goes on and on, longer than any line of a list has room for";
    let changes = [
        ("sample = \"1\"", "lot = \"cs-118\"\nsample = \"1\""),
        ("pendulum rating screw", long),
    ];
    for changes in [&changes[..0], &changes[..1], &changes[..]] {
        let job = bench.demo(SCREW, changes);
        let run = record(&bench, job.to_str().unwrap());
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let list = bench.run(&["ledger", "list"]).out;
    let lines: Vec<&str> = list.lines().collect();
    for line in &lines {
        assert!(line.chars().count() < 120, "{line}");
        assert!(line.contains(" 2026-03-09  A. Quill "), "{line}");
    }
    assert!(lines[2].contains("pitch diameter  rec. 2"), "{list}");
    assert!(lines[2].contains("screw, sample 1, M10x1.5-6g"), "{list}");
    assert!(lines[0].contains('…'), "{list}");
    let json = bench.run(&["ledger", "list", "--json"]).out;
    assert!(json.contains(r#"["measured","2026-03-09"]"#), "{json}");
    assert!(json.contains(r#"["lot","cs-118"]"#), "{json}");
}

/// Nothing is known of when wires were to be calibrated: that is said as of every other piece.
#[test]
fn wires_without_a_due_date_warn() {
    let bench = Bench::new();
    let warned = |due: &str| {
        let wires = format!(
            "[wires]\nid = \"w-0866\"\ndiameter = \"0.866\"\nexpanded_uncertainty = \"0.5um\"\ncoverage_factor = 2\n{due}\n\n[standard]"
        );
        let contacts = "kind = \"flat\"\ndue = 2026-09-30";
        let job = bench.demo(
            SCREW,
            &[
                ("kind = \"v-and-cone\"", contacts),
                ("included_angle = 60\n", ""),
                ("pitch_range = [\"1mm\", \"1.75mm\"]", ""),
                ("half_angle_limit = 3", ""),
                ("form = \"v-and-cone-rod\"", "form = \"plain\""),
                ("[standard]", &wires),
            ],
        );
        let text = fs::read_to_string(job).unwrap();
        let run = bench.inspect(&text.replace("\"8.9", "\"10.2"));
        assert_eq!(run.status, 0, "{}", run.err);
        warns(&run.json(), "no-due-date")
    };
    assert!(!warned("due = 2026-09-30"));
    assert!(warned(""));
}

/// A device or a pipe seems empty, and is no ledger that was lost.
#[cfg(unix)]
#[test]
fn what_is_no_file_is_no_ledger() {
    let bench = Bench::new();
    let job = bench.demo(SCREW, &[]);
    let job = job.to_str().unwrap();
    for begin in [&["--new"][..], &[]] {
        let arguments = [
            begin,
            &["--ledger", "/dev/null", "inspect", job, "--record"],
        ]
        .concat();
        let run = bench.run(&arguments);
        assert_eq!(run.status, 1);
        assert_says(&run.err, "ledger.not-a-database");
    }
}

/// Of people who register the same things at once each gets an answer, and nothing is there twice or in part.
#[test]
fn equipment_is_added_once_and_whole() {
    let bench = Bench::new();
    let file = bench.file("equipment.toml", &demo("equipment"));
    let job = bench.demo(SCREW, &[]);
    assert_eq!(record(&bench, job.to_str().unwrap()).status, 0);
    thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                let added = bench.run(&["equipment", "add", &file]);
                assert_eq!(added.status, 0, "{}", added.err);
            });
        }
    });
    let pieces = bench
        .run(&["equipment", "list", "--json"])
        .out
        .lines()
        .count();
    assert_eq!(entries(&bench).len(), pieces + 1);
    assert_verifies(&bench);
}
