//! GO and NOT GO gauges at the bench of a lot: looked up in the register, refused where they do not belong, and explained where
//! they disagree with the measured pitch diameter.

use serde_json::Value;

use super::beside::on;
use super::support::{Bench, Folder, ZERO};
use crate::bench::Run;
use crate::said::assert_says;

const PLAN: &str = r#"
unit = "mm"

[part]
name = "rating screw"
drawing = "TC-0412"
plan = "IP-G"

[pieces]
take = "all"
lot_size = 3
accept = 1

[[characteristic]]
number = "1"
places = ["near the head", "middle", "near the end"]
[characteristic.measure]
designation = "M10x1.5-6g"

[[characteristic]]
number = "2"
way = "gauge"
gauge = "go-ring"
says = "GO"
[characteristic.measure]
designation = "M10x1.5-6g"

[[characteristic]]
number = "3"
way = "gauge"
gauge = "not-go-ring"
says = "NOT GO"
[characteristic.measure]
designation = "M10-6g"
"#;

fn good(run: Run) -> Run {
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    run
}

fn begin(folder: &Folder, number: &str) {
    begin_under(folder, number, PLAN);
}

fn begin_under(folder: &Folder, number: &str, plan: &str) {
    let file = folder.path().join("plan.toml");
    std::fs::write(&file, plan).unwrap();
    let person = ["--person", "A. Quill"];
    good(on(
        folder,
        &[&["plan", file.to_str().unwrap()], &person[..]].concat(),
    ));
    good(on(
        folder,
        &[&["lot", number, "--begin", "IP-G"], &person[..]].concat(),
    ));
}

fn lot(folder: &Folder, number: &str) -> (Vec<Value>, Value) {
    let mut documents = on(folder, &["lot", number, "--json"]).documents();
    let last = documents.pop().unwrap();
    (documents, last["lot"].clone())
}

fn codes(finding: &Value) -> Vec<&str> {
    let reasons = finding["reasons"].as_array().unwrap();
    reasons
        .iter()
        .map(|one| one["code"].as_str().unwrap())
        .collect()
}

#[test]
fn a_gauge_is_looked_up_and_its_disagreement_explained() {
    let folder = Folder::new("gauges");
    let bench = Bench::start(&folder, 0, &["--station", "gauge room"]);
    begin(&folder, "L-7");
    let mut window = bench.window();
    window.enter_all(&["L-7", "", "21.4 20.9 brass", ZERO[0], ZERO[1], ZERO[2]]);
    for size in [8.930, 8.960, 8.925] {
        for off in [0.0, 0.001, -0.001] {
            window.enter_all(&[&format!("{:.3}", size + off)]);
        }
    }
    window.enter_all(&ZERO);
    window.enter_all(&[""]);

    // GO: unknown, of another thread, of another kind, worn.
    assert_eq!(window.question(), "Which gauge is used?");
    assert_eq!(window.enter("go ring 10x"), 422);
    window.shows("no gauge `go ring 10x` in the register");
    window.shows("go ring 10x unregistered");
    assert_eq!(window.enter("go-plug-12"), 422);
    window.shows("checks M10x1.5-6H");
    assert_eq!(window.enter("not-go-ring-10"), 422);
    window.shows("is a NOT GO ring");
    // Enter takes the one that is fit.
    window.enter_all(&[""]);
    assert_eq!(window.question(), "Piece 1: GO?");
    window.shows("certified 8.9862 mm");
    window.enter_all(&["y 6", "n 1.5"]);
    assert!(window.question().starts_with("Piece 2 does not conform"));
    window.enter_all(&["", "y"]);
    // What was found with a gauge is in the history as what was measured is, and found there by the lot and by any text.
    for asked in ["", "?lot=L-7", "?words=go-ring-10", "?verdict=reject"] {
        let history = bench.get(&format!("/history{asked}")).body;
        assert!(history.contains(", go-ring-10</td>"), "{asked}: {history}");
    }
    let reversed = bench.get("/history?since=2026-12-02&until=2026-12-01");
    assert_eq!(reversed.status, 422);
    crate::said::assert_says(&reversed.body, "bench.dates-reversed");
    let (cells, told) = lot(&folder, "L-7");
    let finding = &told["gauge_findings"][0];
    assert_eq!(finding["piece"], "2");
    assert_eq!(finding["disagreement"]["code"], "go-stayed-out");
    assert_eq!(codes(finding), ["form-errors", "as-made"]);
    // 8.9862 mm less the pitch diameter, over cot 30°.
    let size = cells
        .iter()
        .find(|cell| cell["piece"] == "2" && cell["characteristic"] == "1")
        .unwrap()["size"]
        .as_f64()
        .unwrap();
    let lead = finding["reasons"][0]["lead"].as_f64().unwrap();
    let expected = (8.9862 - size) / 3f64.sqrt();
    assert!((lead - expected).abs() < 2e-6, "{lead} for {expected}");
    let gauged = cells
        .iter()
        .find(|cell| cell["piece"] == "2" && cell["characteristic"] == "2")
        .unwrap();
    assert_eq!(gauged["gauge"]["certificate"], "C-5510");
    assert_eq!(gauged["gauge"]["turns"], 1.5);
    let entry = gauged["entry"].as_str().unwrap().to_owned();

    // NOT GO: no piece conforms that it entered too far.
    window.enter_all(&["", "not-go-ring-10"]);
    assert_eq!(window.enter("y 4.5"), 422);
    window.shows("may enter 2 turns at most");
    window.enter_all(&["n 4.5", ""]);
    window.enter_all(&["y 1", "y"]);
    let (_, told) = lot(&folder, "L-7");
    let findings = told["gauge_findings"].as_array().unwrap();
    assert_eq!(findings.len(), 2, "{findings:?}");
    assert_eq!(findings[0]["disagreement"]["code"], "not-go-entered");
    assert_eq!(codes(&findings[0]), ["elsewhere", "turns", "as-made"]);
    assert_eq!(findings[0]["reasons"][1]["permitted"], 2);

    // On the page, on the record, in the list, in a recall.
    let page = bench.get("/lots/L-7").body;
    for text in [
        "Gauge and measurement disagree",
        "in both half-angles",
        "certificate C-5510",
    ] {
        assert!(page.contains(text), "no {text:?} in {page}");
    }
    let report = good(on(&folder, &["report", &entry])).out;
    assert!(report.contains("certificate C-5510"), "{report}");
    assert!(report.contains("GO checks the functional size"), "{report}");
    assert!(
        bench
            .get(&format!("/record/{entry}"))
            .body
            .contains("certificate C-5510")
    );
    let text = good(on(&folder, &["lot", "L-7"])).out;
    assert!(text.contains("in both half-angles"), "{text}");
    let recall = [
        "recall",
        "--gauge",
        "go-ring-10",
        "--error",
        "10um",
        "--found",
        "2099-01-01",
        "--since",
        "2020-01-01",
    ];
    let recalled = good(on(&folder, &recall)).out;
    assert!(
        recalled.contains("3 results with the GO/NOT GO gauge"),
        "{recalled}"
    );
    assert!(recalled.contains("cannot be recalculated"), "{recalled}");
    let listed = on(&folder, &[&recall[..], &["--json"]].concat()).documents();
    assert!(
        listed.iter().all(|one| one["after"] == "undecided"),
        "{listed:?}"
    );
    let verified = good(on(&folder, &["ledger", "verify"]));
    assert!(verified.err.is_empty(), "{}", verified.err);
}

#[test]
fn the_status_of_a_gauge_withholds_the_verdict_or_bars_it() {
    let folder = Folder::new("gauge-status");
    let bench = Bench::start(&folder, 0, &["--station", "gauge room"]);
    begin(&folder, "L-8");
    let set = |status: &[&str]| {
        let start = ["status", "set", "gauge", "go-ring-10"];
        let end = ["--reason", "dropped", "--person", "A. Quill"];
        good(on(&folder, &[&start[..], status, &end[..]].concat()));
    };
    set(&["quarantined"]);
    let mut window = bench.window();
    window.enter_all(&["L-8 / 2"]);
    assert_eq!(window.question(), "Which gauge is used?");
    assert_eq!(window.enter("go-ring-10"), 422);
    window.shows("quarantined");
    // A worn one may be named, and gives no verdict.
    window.enter_all(&["go-ring-10-old"]);
    window.shows("past its wear limit");
    window.enter_all(&["y", "y", "y"]);
    let (cells, told) = lot(&folder, "L-8");
    for cell in &cells {
        assert_eq!(
            (&cell["decision"], &cell["because"]),
            (&"undecided".into(), &"worn".into())
        );
    }
    assert_eq!(told["undecided"], 3);
    assert!(
        bench
            .get("/lots/L-8")
            .body
            .contains("gauge past its wear limit")
    );

    // Overdue, by the due date that the gauge room set.
    set(&["in-use", "--due", "2020-01-01"]);
    begin_again(&folder, "L-9");
    window.enter_all(&["/end", "L-9 / 2", "go-ring-10"]);
    window.shows("was due for calibration on 2020-01-01");
    window.enter_all(&["y", "y", "n", ""]);
    let (cells, _) = lot(&folder, "L-9");
    assert!(
        cells.iter().all(|cell| cell["because"] == "overdue"),
        "{cells:?}"
    );

    // One that is not registered: the results stand, with a warning.
    begin_again(&folder, "L-10");
    window.enter_all(&["/end", "L-10 / 2", "GO 6g-17 unregistered"]);
    window.shows("is not in the register");
    window.enter_all(&["y", "y", "n", ""]);
    let (cells, told) = lot(&folder, "L-10");
    assert_eq!(cells[0]["decision"], "accept");
    assert_eq!(cells[0]["gauge"]["registered"], false);
    assert_eq!(cells[0]["gauge"]["id"], "GO 6g-17");
    assert_eq!(cells[0]["gauge"]["notes"][0]["code"], "not-registered");
    assert_eq!(told["reject"], 1);
    good(on(&folder, &["ledger", "verify"]));
}

fn begin_again(folder: &Folder, number: &str) {
    let run = ["lot", number, "--begin", "IP-G", "--person", "A. Quill"];
    good(on(folder, &run));
}

/// A certificate from outside that is later than the register's is what the gauge is judged by.
#[test]
fn a_later_certificate_is_joined() {
    let folder = Folder::new("gauge-certificate");
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo");
    good(on(
        &folder,
        &[
            "equipment",
            "add",
            &format!("{root}/features/equipment.toml"),
        ],
    ));
    good(on(
        &folder,
        &[
            "certificate",
            "add",
            &format!("{root}/gauge-room/gauge.toml"),
        ],
    ));
    let shown = good(on(&folder, &["equipment", "list"])).out;
    let line = shown
        .lines()
        .find(|line| line.contains("go-plug-12"))
        .unwrap();
    assert!(line.contains("9.0285"), "{line}");
    let due = good(on(&folder, &["due", "--json"])).documents();
    let plug = due.iter().filter(|one| one["id"] == "go-plug-12");
    assert_eq!(plug.count(), 1, "{due:?}");

    let wrong = |text: &str, says: &str| {
        let file = folder.path().join("gauge.toml");
        let text = format!(
            "unit = \"mm\"\nperson = \"A. Quill\"\n[[gauge]]\nid = \"g\"\n{text}\nexpanded_uncertainty = \"0.002\"\ncoverage_factor = 2\n"
        );
        std::fs::write(&file, text).unwrap();
        let run = on(&folder, &["equipment", "add", file.to_str().unwrap()]);
        assert_ne!(run.status, 0);
        assert!(run.err.contains(says), "{}", run.err);
    };
    let of = |member: &str, designation: &str, size: &str| {
        format!("member = \"{member}\"\ndesignation = \"{designation}\"\nsize = \"{size}\"")
    };
    wrong(&of("go-plug", "M10x1.5-6g", "8.98"), "needs a GO ring");
    wrong(
        &of("go-ring", "M10x1.5-6g", "10.0"),
        "is not a pitch diameter",
    );
    wrong(&of("go-ring", "M10x1.7-6g", "8.98"), "M10");
    wrong(&of("go-ring", "1/2-14 NPT", "19.0"), "NPT");
}

/// What was found with a gauge that is set apart before it is recorded counts for nothing, and is tried again with another.
#[test]
fn a_gauge_that_is_quarantined_meanwhile_gives_nothing() {
    let folder = Folder::new("gauge-barred");
    let bench = Bench::start(&folder, 0, &[]);
    begin(&folder, "L-7");
    let mut window = bench.window();
    window.enter_all(&["L-7 / 2", "", "y"]);
    // Nothing is on the record yet.
    let (cells, told) = lot(&folder, "L-7");
    assert_eq!(
        (&cells[0]["decision"], &told["accept"]),
        (&"provisional".into(), &0.into()),
        "{cells:?}"
    );
    // GO passes over the whole thread.
    for (line, code) in [
        ("y 0.25", "gauge-refused.too-few-turns"),
        ("y -1", "gauge-refused.turns"),
    ] {
        assert_eq!(window.enter(line), 422);
        assert_says(&window.page, code);
    }
    let set = |status: &str| {
        let set = [
            "status",
            "set",
            "gauge",
            "go-ring-10",
            status,
            "--reason",
            "dropped",
        ];
        good(on(
            &folder,
            &[&set[..], &["--person", "B. Tallow"]].concat(),
        ));
    };
    set("quarantined");
    window.enter("y");
    assert_says(&bench.get("/").body, "run.gauge-barred");
    let mut window = bench.window();
    assert_eq!(window.question(), "Which gauge is used?");
    let (cells, told) = lot(&folder, "L-7");
    assert_eq!((cells.len(), &told["accept"]), (0, &0.into()));
    let listed = on(&folder, &["ledger", "list", "--json"]).documents();
    assert!(
        listed.iter().all(|entry| entry["kind"] != "found"),
        "{listed:?}"
    );
    assert_eq!(window.enter("go-ring-10"), 422);
    set("in-use");
    window.enter_all(&["go-ring-10", "y", "y", "y"]);
    let (_, told) = lot(&folder, "L-7");
    assert_eq!(told["provisional"], 0, "{told}");
    let listed = on(&folder, &["ledger", "list", "--json"]).documents();
    assert_eq!(
        listed
            .iter()
            .filter(|entry| entry["kind"] == "found")
            .count(),
        3
    );
    good(on(&folder, &["ledger", "verify"]));
}

/// Registers a gauge for M10x1.5-6g; `more` is what else is stated of it.
fn register(folder: &Folder, id: &str, member: &str, size: &str, more: &str) {
    let file = folder.path().join("gauge.toml");
    let text = format!(
        "unit = \"mm\"\nperson = \"A. Quill\"\n[[gauge]]\nid = \"{id}\"\nmember = \"{member}\"\n\
         designation = \"M10x1.5-6g\"\nsize = \"{size}\"\nexpanded_uncertainty = \"0.0015\"\n\
         coverage_factor = 2\n{more}\ncertificate = \"C-1\"\n"
    );
    std::fs::write(&file, text).unwrap();
    good(on(folder, &["equipment", "add", file.to_str().unwrap()]));
}

/// A plan of these characteristics, for three pieces.
fn plan(characteristics: &[&str]) -> String {
    let head = PLAN.split("[[characteristic]]").next().unwrap();
    let all = characteristics.iter().enumerate();
    let all = all.map(|(at, one)| format!("[[characteristic]]\nnumber = \"{}\"\n{one}\n", at + 1));
    format!("{head}{}", all.collect::<String>())
}

fn because(folder: &Folder, number: &str) -> Vec<(String, String)> {
    let (cells, told) = lot(folder, number);
    assert_ne!(told["verdict"], "accept", "{told}");
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let cells = cells.iter();
    cells
        .map(|cell| (text(&cell["decision"]), text(&cell["because"])))
        .collect()
}

/// A gauge that by its certified size accepts parts beyond the limit gives no verdict, with the numbers.
#[test]
fn a_gauge_that_accepts_what_is_beyond_the_limit_gives_no_verdict() {
    let folder = Folder::new("gauge-past");
    let bench = Bench::start(&folder, 0, &[]);
    let undecided = |why: &str| vec![("undecided".to_owned(), why.to_owned()); 3];
    // A certificate that has one so leaves what was found with it before in doubt.
    begin(&folder, "L-6");
    let mut window = bench.window();
    window.enter_all(&["L-6 / 3", "not-go-ring-10", "y", "y", "y", "/end"]);
    let (_, told) = lot(&folder, "L-6");
    assert_eq!(told["undecided"], 0, "{told}");
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo");
    let certificate = std::fs::read_to_string(format!("{root}/gauge-room/gauge.toml")).unwrap();
    let now = jiff::Timestamp::now().to_string();
    let (today, _) = now.split_at("2026-01-01".len());
    let certificate = certificate
        .replace("go-plug-12", "not-go-ring-10")
        .replace("9.0285", "8.8000")
        .replace("due = 2027-02-10", "")
        .replace("2026-02-10", today);
    let file = folder.path().join("certificate.toml");
    std::fs::write(&file, certificate).unwrap();
    let told = good(on(&folder, &["certificate", "add", file.to_str().unwrap()]));
    assert_says(&told.err, "certificate.gauge-past-limit");
    assert_eq!(because(&folder, "L-6"), undecided("found-beyond"));

    register(&folder, "ng-1", "not-go-ring", "8.500", "");
    register(&folder, "go-1", "go-ring", "9.050", "wear_limit = \"9.1\"");

    begin(&folder, "L-7");
    window.enter_all(&["L-7 / 3", "ng-1"]);
    window.shows("certified at 8.500 mm, past 8.844 mm");
    window.enter_all(&["y", "y", "y"]);
    assert_eq!(because(&folder, "L-7"), undecided("gauge-past-limit"));
    assert_says(&bench.get("/lots/L-7").body, "doubt.gauge-past-limit");

    // The wear limit that is stated is looser than that of the standard.
    begin(&folder, "L-8");
    window.enter_all(&["/end", "L-8 / 2", "go-1"]);
    window.shows("certified at 9.050 mm, past its wear limit 9.007 mm");
    window.enter_all(&["y", "y", "y"]);
    assert_eq!(because(&folder, "L-8"), undecided("worn"));

    // The drawing has limits of its own, or the limits hold after coating: 8.994 - 4 × 0.008.
    let gauge = "way = \"gauge\"\ngauge = \"go-ring\"\n[characteristic.measure]\n\
                 designation = \"M10x1.5-6g\"\n";
    let own = format!("{gauge}lower = \"8.820\"\nupper = \"8.940\"\norigin = \"D\"");
    let coated = format!(
        "{gauge}[characteristic.measure.coating]\nthickness = \"5um..8um\"\n\
         state = \"before-coating\"\nlimits_hold = \"after-coating\""
    );
    for (number, of, limit) in [("L-9", own, "8.940 mm"), ("L-10", coated, "8.962 mm")] {
        begin_under(&folder, number, &plan(&[&of]));
        // Enter takes none that is not fit.
        window.enter_all(&["/end", &format!("{number} / 1")]);
        assert_eq!(window.enter(""), 422);
        window.enter_all(&["go-ring-10"]);
        window.shows(&format!("certified at 8.9862 mm, past {limit}"));
        window.enter_all(&["y", "y", "y"]);
        assert_eq!(because(&folder, number), undecided("gauge-past-limit"));
    }
    good(on(&folder, &["ledger", "verify"]));
}

/// GO entered, and by the measured size it cannot have: neither is believed before one is withdrawn.
#[test]
fn a_gauge_that_a_measured_size_contradicts_is_not_accepted() {
    let folder = Folder::new("gauge-contradicted");
    let bench = Bench::start(&folder, 0, &[]);
    register(&folder, "go-1", "go-ring", "8.900", "");
    let measure = "[characteristic.measure]\ndesignation = \"M10x1.5-6g\"";
    let places = "places = [\"near the head\", \"middle\", \"near the end\"]";
    let measured = format!("{places}\n{measure}");
    let gauged = format!("way = \"gauge\"\ngauge = \"go-ring\"\n{measure}");
    begin_under(&folder, "L-7", &plan(&[&measured, &gauged]));
    let mut window = bench.window();
    window.enter_all(&["L-7 / 2", "go-1", "y", "y", "y"]);
    let (_, told) = lot(&folder, "L-7");
    assert_eq!(told["undecided"], 0, "{told}");
    window.enter_all(&["/end", "L-7 / 1", "", "21.4 20.9 brass"]);
    window.enter_all(&ZERO);
    for size in [8.930, 8.890, 8.930] {
        for off in [0.0, 0.001, -0.001] {
            window.enter_all(&[&format!("{:.3}", size + off)]);
        }
    }
    window.enter_all(&ZERO);
    window.enter_all(&[""]);

    let (cells, told) = lot(&folder, "L-7");
    let of_gauge = cells.iter().filter(|cell| cell["characteristic"] == "2");
    let of_gauge: Vec<(&str, Option<&str>)> = of_gauge
        .map(|cell| (cell["decision"].as_str().unwrap(), cell["because"].as_str()))
        .collect();
    let contradicted = ("undecided", Some("contradicted"));
    assert_eq!(of_gauge, [contradicted, ("accept", None), contradicted]);
    let findings = told["gauge_findings"].as_array().unwrap();
    assert_eq!(findings.len(), 2, "{findings:?}");
    assert_eq!(findings[0]["disagreement"]["code"], "entered-tight");
    assert_eq!(codes(&findings[0]), ["not-both", "not-as-made"]);
    let warned = told["warnings"].as_array().unwrap().iter();
    let warned = warned.filter(|one| one["code"] == "gauge-contradicted");
    assert_eq!(warned.count(), 2, "{told}");
    assert_ne!(told["verdict"], "accept");
    good(on(&folder, &["ledger", "verify"]));
}

/// A gauge checks the pitch diameter of a thread and nothing else.
#[test]
fn a_gauge_is_refused_for_what_is_no_thread() {
    let folder = Folder::new("gauge-no-thread");
    let bench = Bench::start(&folder, 0, &[]);
    let length = "[characteristic.measure]\nname = \"length\"\nlower = \"9.90\"\nupper = \"10.00\"";
    let crests =
        "[characteristic.measure]\ndesignation = \"M10x1.5-6g\"\ndiameter = \"major-diameter\"";
    let gauge =
        |measure: &str| format!("way = \"gauge\"\ngauge = \"go-ring\"\nsays = \"GO\"\n{measure}");
    let all = [gauge(length), gauge(crests), gauge("")];
    begin_under(&folder, "L-7", &plan(&[&all[0], &all[1], &all[2]]));
    let mut window = bench.window();
    for (number, code) in [
        ("1", "gauge-refused.not-of-thread"),
        ("2", "gauge-refused.not-of-thread"),
        ("3", "gauge-refused.no-thread"),
    ] {
        window.enter_all(&[&format!("L-7 / {number}")]);
        assert_eq!(window.enter("go-ring-10"), 422);
        assert_says(&window.page, code);
        // One that is not in the register is taken at the word of who uses it.
        window.enter_all(&["plain GO unregistered", "/end"]);
    }
}

/// Nothing is measured by eye; a size in a document lies within the limits of what conforms.
#[test]
fn a_number_that_means_nothing_is_refused() {
    let folder = Folder::new("number-found");
    let bench = Bench::start(&folder, 0, &[]);
    let length = "[characteristic.measure]\nname = \"length\"\nlower = \"9.90\"\nupper = \"10.00\"";
    let eye = format!("way = \"by-eye\"\nsays = \"minor diameter\"\n{length}");
    let document = format!("way = \"document\"\nsays = \"length\"\n{length}");
    let free = "way = \"document\"\nsays = \"hardness\"";
    begin_under(&folder, "L-7", &plan(&[&eye, &document, free]));
    let mut window = bench.window();
    window.enter_all(&["L-7 / 1"]);
    for line in ["y 12.5", "n 12.5", "y 9,95 mm"] {
        assert_eq!(window.enter(line), 422, "{line}");
        assert_says(&window.page, "bench.number-by-eye");
    }
    window.enter_all(&["y 2 small burrs", "y", "y", "/end"]);

    window.enter_all(&["L-7 / 2", "certificate C-77"]);
    for line in ["y 12.5", "y 9.899", "y 12,5 by certificate", "y 0.5 in"] {
        assert_eq!(window.enter(line), 422, "{line}");
        assert_says(&window.page, "bench.past-limit");
    }
    window.enter_all(&["y 9.95", "y 10.00 by certificate", "n 12.5", "", "/end"]);
    window.enter_all(&["L-7 / 3", "certificate C-77", "y 220", "y", "y"]);
    let (_, told) = lot(&folder, "L-7");
    assert_eq!(
        (&told["reject"], &told["accept"]),
        (&1.into(), &2.into()),
        "{told}"
    );
}
