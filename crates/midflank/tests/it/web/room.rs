//! The pages of the room and of check parts, and a lot at the bench whose plan limits the room.

use super::support::{Bench, Folder, post};
use crate::bench::Bench as Desk;
use crate::said::assert_says;

#[test]
fn the_room_by_hand_and_from_a_log() {
    let folder = Folder::new("room");
    let bench = Bench::start(&folder, 0, &[]);
    let page = bench.get("/room").body;
    assert_says(&page, "room.none");
    let by_hand = [
        ("thermometer", "th-2"),
        ("celsius", "20,4"),
        ("humidity", "45"),
        ("person", "A. Quill"),
    ];
    assert_eq!(post(&bench, "/room", "/room", &by_hand).status, 303);
    let log = "time,celsius\n2026-03-10T08:00:00Z,20.1\n2026-03-10T08:10:00Z,20.2\n";
    let logged = [
        ("thermometer", "th-2"),
        ("file", "march.csv"),
        ("log", log),
        ("person", "A. Quill"),
    ];
    assert_eq!(post(&bench, "/room", "/room", &logged).status, 303);
    let page = bench.get("/room").body;
    // The log is older than what the page shows.
    assert!(
        page.contains("th-2") && page.contains("20.4 °C") && page.contains("45.00 %"),
        "{page}"
    );
    for (fields, said) in [
        (
            [
                ("celsius", "2000"),
                ("person", "A"),
                ("thermometer", "th-2"),
            ],
            "number-given.outside",
        ),
        (
            [("celsius", "20"), ("person", ""), ("thermometer", "th-2")],
            "text-given.empty",
        ),
        (
            [
                ("log", "time,celsius\n"),
                ("person", "A"),
                ("thermometer", "th-2"),
            ],
            "text-given.empty",
        ),
    ] {
        let refused = post(&bench, "/room", "/room", &fields);
        assert_eq!(refused.status, 422, "{said}");
    }
    let late = [
        ("celsius", "20"),
        ("person", "A"),
        ("thermometer", "th-2"),
        ("at", "noon"),
    ];
    let refused = post(&bench, "/room", "/room", &late);
    assert_eq!(refused.status, 422);
    assert_says(&refused.body, "jobfile.no-time");
    let stale = super::support::form(&[("token", "old".to_owned())]);
    let refused = bench.request(
        "POST",
        "/room",
        &[("content-type", "application/x-www-form-urlencoded")],
        &stale,
    );
    assert_eq!(refused.status, 403);
}

#[test]
fn a_check_part_on_its_page() {
    let folder = Folder::new("checks");
    let bench = Bench::start(&folder, 0, &[]);
    assert_says(&bench.get("/checks").body, "check.none");
    let check = |readings: &str| {
        let fields = [
            ("part", "ring-10"),
            ("instrument", "mic-04"),
            ("contacts", "vc-60-3"),
            ("readings", readings),
            ("person", "A. Quill"),
        ];
        post(&bench, "/checks", "/checks", &fields)
    };
    for reading in ["0", "1", "0", "1", "0", "1", "0", "1"] {
        assert_eq!(
            check(&format!("10.00{reading} 10.00{reading} mm")).status,
            303
        );
    }
    assert_says(&bench.get("/checks").body, "check.in");
    assert!(bench.get("/checks").body.contains("ring-10"));
    assert_eq!(check("10.012mm").status, 303);
    assert_says(&bench.get("/checks").body, "check.out");
    assert_says(&check("9.000mm").body, "check-error.other-part");
    assert_says(&check("").body, "check-error.no-readings");
    assert_eq!(check("10").status, 422);
}

const THERMOMETER: &str = "person = \"A. Quill\"\n[[thermometer]]\nid = \"th-1\"\nerror = 0\nexpanded_uncertainty = 0.1\ncoverage_factor = 2\n";

/// Each wrong field of a form is marked and says what is wrong, the first has the focus, and above stands how many there are.
#[test]
fn all_wrong_fields_are_told_at_once() {
    let folder = Folder::new("room-fields");
    let bench = Bench::start(&folder, 0, &[]);
    let refused = |path: &str, fields: &[(&str, &str)]| {
        let refused = post(&bench, path, path, fields);
        assert_eq!(refused.status, 422);
        let marked = refused.body.matches("aria-invalid=\"true\"").count();
        assert_eq!(refused.body.matches("autofocus").count(), 1);
        (marked, refused.body)
    };
    let (marked, page) = refused(
        "/checks",
        &[
            ("part", "cp-1"),
            ("instrument", "mic-O4"),
            ("readings", "ten"),
        ],
    );
    // The pair and the person are empty.
    assert_eq!(marked, 4, "{page}");
    assert_says(&page, "not-known.near");
    assert_says(&page, "page.wrong-fields");
    let room = [
        ("celsius", "hot"),
        ("humidity", "140"),
        ("at", "noon"),
        ("thermometer", "th-22"),
    ];
    let (marked, page) = refused("/room", &room);
    assert_eq!(marked, 5, "{page}");
    assert_says(&page, "not-known.near");
    let (marked, _) = refused("/room", &[("file", "march.csv"), ("thermometer", "th-2")]);
    assert_eq!(marked, 2);
}

pub const PLAN: &str = r#"
unit = "mm"
[part]
name = "rating screw"
drawing = "TC-0412"
plan = "IP-1"
[pieces]
take = "all"
lot_size = 2
[room]
temperature = [19, 21]
[[characteristic]]
number = "1"
places = ["near the head", "middle", "near the end"]
[characteristic.measure]
designation = "M10x1.5-6g"
"#;

/// Without a value of the room the run stops at the piece; with one it goes on, and both are as the record then has them.
#[test]
fn a_run_under_a_plan_that_limits_the_room() {
    let folder = Folder::new("room-lot");
    let bench = Bench::start(&folder, 0, &[]);
    let path = folder.path().join("ledger.db");
    let on = |arguments: &[&str]| {
        let run = Desk::new().run(&[&["--ledger", path.to_str().unwrap()], arguments].concat());
        assert_eq!(run.status, 0, "{}{}", run.out, run.err);
        run
    };
    let file = folder.path().join("plan.toml");
    std::fs::write(&file, PLAN).unwrap();
    on(&["plan", file.to_str().unwrap(), "--person", "A. Quill"]);
    std::fs::write(&file, THERMOMETER).unwrap();
    on(&["equipment", "add", file.to_str().unwrap()]);
    on(&["lot", "L-7", "--begin", "IP-1", "--person", "A. Quill"]);
    let mut window = bench.window();
    window.enter_all(&["L-7", "", "", "10.001", "10.002", "10.001"]);
    window.enter_all(&["8.929", "8.930", "8.931"]);
    assert!(
        window.question().contains("undecided"),
        "{}",
        window.question()
    );
    let waiting = on(&["lot", "L-7", "--json"]).documents();
    assert_eq!(waiting[0]["because"], "no-room-temperature", "{waiting:?}");
    on(&[
        "room",
        "add",
        "--thermometer",
        "th-2",
        "--celsius",
        "20.2",
        "--person",
        "A. Quill",
    ]);
    // Piece 1 is within an hour of the value, so it is accepted after all.
    let mut window = bench.window();
    window.enter_all(&["8.929", "8.930", "8.931"]);
    window.enter_all(&["10.001", "10.002", "10.001"]);
    let documents = on(&["lot", "L-7", "--json"]).documents();
    for line in &documents[..2] {
        assert_eq!(line["decision"], "accept", "{line}");
    }
    assert_eq!(documents[2]["lot"]["verdict"], "accept");
    assert_says(&bench.get("/room").body, "room.within");
    // A value outside within the same hour.
    on(&[
        "room",
        "add",
        "--thermometer",
        "th-2",
        "--celsius",
        "21.4",
        "--person",
        "A. Quill",
    ]);
    assert_says(&bench.get("/room").body, "status-note.room-temperature");
    assert_eq!(on(&["ledger", "verify"]).status, 0);
}
