//! Studies at the bench, from the form that begins one to a job that takes what was approved.

use workshop::record::BENCH_JOB;

use super::gauge_room::command;
use super::support::{self, Answer, Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, Window, ZERO};
use crate::said::{assert_says, assert_silent, heard};
use crate::shown::text_of;

const KNOWN: [(&str, &str); 5] = [
    ("kind", "repeatability"),
    ("characteristic", "M10x1.5-6g"),
    ("operators", "Anna, Ben"),
    ("parts", "3"),
    ("trials", "2"),
];

/// A thread with limits beyond 12 mm, by the set-up of the bench.
const LARGER: &str = r#"
unit = "mm"
person = "A. Quill"
[part]
name = "stud"
[measure]
designation = "M14x1.5-6g"
[instrument]
id = "mic-04"
[contacts]
id = "vc-60-3"
[standard]
id = "rod-10"
[zero]
before = ["10.001", "10.002", "10.001"]
after = ["10.002", "10.002", "10.001"]
[readings]
values = ["12.929", "12.930", "12.927", "12.931"]
[decision]
rule = "iso14253-1"
"#;

fn begin(bench: &Bench, more: &[(&str, &str)]) -> Answer {
    let mut fields: Vec<(&str, &str)> = KNOWN.to_vec();
    fields.retain(|(key, _)| more.iter().all(|(other, _)| other != key));
    fields.extend_from_slice(more);
    support::post(bench, "/studies", "/studies", &fields)
}

/// Set-up and opening check.
fn set_up(window: &mut Window<'_>) {
    window.enter_all(&["mic-04", "vc-60-3", "rod-10", ""]);
    window.enter_all(&ZERO);
}

/// What the operator reads who is asked for: each part has its size, and Ben reads a little more than Anna.
fn read(question: &str, nth: usize) -> String {
    let part: usize = support::between(question, ": part ", " ").parse().unwrap();
    let ben = usize::from(question.starts_with("Ben"));
    format!("8.{}", 920 + 7 * part + ben + nth % 2)
}

fn json(folder: &Folder, arguments: &[&str]) -> serde_json::Value {
    serde_json::from_str(&command(folder, arguments)).unwrap()
}

/// How many values each drawing has, with those of its legend.
fn drawn(page: &str) -> Vec<usize> {
    let drawings = page.split("<svg class=\"drawn\"").skip(1);
    let drawings = drawings.map(|one| one.split("</svg>").next().unwrap());
    drawings.map(|one| one.matches("<circle").count()).collect()
}

/// The sheet of a recorded study: the drawings of its page, the words of the terminal, the document and the readings attached.
fn on_paper(
    folder: &Folder,
    bench: &Bench,
    entry: &str,
    document: &serde_json::Value,
    scale: &[&str],
) {
    let show = |more: &[&str]| command(folder, &[&["study", "show", entry], more].concat());
    let page = bench.get(&format!("/studies/{entry}")).body;
    let drawings = |page: &str| -> Vec<String> {
        let drawings = page.split("<svg class=\"drawn\"").skip(1);
        let drawings = drawings.map(|one| one.split("</svg>").next().unwrap());
        drawings.map(str::to_owned).collect()
    };
    let html = show(&["--html", "-"]);
    assert_eq!(drawings(&page).len(), 3);
    // The same values under the same words; the page draws them less wide.
    assert_eq!(drawn(&page), drawn(&html));
    let words = |page: &str| -> Vec<String> {
        let all = drawings(page).into_iter();
        all.map(|one| support::between(&one, "aria-label=\"", "\"").to_owned())
            .collect()
    };
    assert_eq!(words(&page), words(&html));
    let first = &drawings(&page)[0];
    for shown in [">mm<", ">Anna<", ">Ben<"].iter().chain(scale) {
        assert!(first.contains(shown), "{shown}: {first}");
    }
    for limits in &drawings(&page)[1..] {
        for shown in ["study-sheet.upper-control", "study-sheet.lower-control"] {
            assert_says(limits, shown);
        }
    }
    for shown in ["study-sheet.not-approved", "study-sheet.statement-recorded"] {
        assert_says(&html, shown);
    }
    let text = show(&[]);
    for word in text.split_whitespace() {
        let html = html.replace("&amp;", "&");
        assert!(html.contains(word), "{word}: {html}");
    }

    let pdf = folder.path().join("study.pdf");
    show(&["--pdf", pdf.to_str().unwrap()]);
    let printed = std::fs::read(&pdf).unwrap();
    let own = format!("/studies/{entry}/sheet.pdf");
    assert!(page.contains(&format!("href=\"{own}\"")), "{page}");
    let served = bench.get(&own);
    assert_eq!(served.status, 200);
    assert_eq!(bench.get(&format!("/records/{entry}.pdf")).status, 200);
    for nothing in ["/studies/1-0000/sheet.pdf", "/studies/1/sheet.pdf"] {
        assert_eq!(bench.get(nothing).status, 404, "{nothing}");
    }
    assert!(printed.starts_with(b"%PDF"));
    let again = folder.path().join("again.pdf");
    show(&["--pdf", again.to_str().unwrap()]);
    assert_eq!(std::fs::read(&again).unwrap(), printed);
    let detached = std::process::Command::new("pdfdetach")
        .args(["-saveall", "study.pdf"])
        .current_dir(folder.path())
        .output();
    if detached.is_ok_and(|output| output.status.success()) {
        let read = |name: &str| heard(std::fs::read_to_string(folder.path().join(name)).unwrap());
        let attached: serde_json::Value = serde_json::from_str(&read("study.json")).unwrap();
        assert_eq!(&attached, document);
        assert_eq!(read("readings.csv"), show(&["--csv"]));
    }
    if cfg!(feature = "sheets") {
        let file = folder.path().join("study.xlsx");
        show(&["--xlsx", file.to_str().unwrap()]);
        assert!(std::fs::read(&file).unwrap().starts_with(b"PK"));
    }
}

#[test]
fn a_study_is_run_approved_and_taken() {
    let folder = Folder::new("study");
    let bench = Bench::start(&folder, 0, &[]);
    assert_says(&bench.get("/studies").body, "study-run.none");
    for (more, says) in [
        ([("operators", "Anna")], "study.one-operator"),
        ([("parts", "")], "study-refused.none-named"),
        ([("characteristic", "M10x1.7-6g")], "study-run.begin"),
        ([("kind", "speed")], "study-refused.no-kind"),
    ] {
        let answer = begin(&bench, &more);
        assert_eq!(answer.status, 422, "{more:?}");
        assert_says(&answer.body, says);
    }
    // Every wrong field is told at once, at the field, and the first has the focus; what was typed is still there.
    let wrong = [
        ("kind", "speed"),
        ("operators", "Anna, anna"),
        ("trials", "three"),
        ("reference", "8.9"),
    ];
    let answer = begin(&bench, &wrong).body;
    assert_eq!(answer.matches("aria-invalid").count(), 4, "{answer}");
    assert_eq!(answer.matches(" autofocus").count(), 1, "{answer}");
    assert!(answer.contains("value=\"Anna, anna\""), "{answer}");
    // A study of one part of known size: what is too much and what is missing is told at once, too.
    let answer = begin(&bench, &[("kind", "bias")]).body;
    assert_eq!(answer.matches("aria-invalid").count(), 3, "{answer}");
    for (field, says) in [
        ("operators", "study-refused.one-of-each"),
        ("parts", "study-refused.one-of-each"),
        ("reference", "study-refused.no-reference"),
    ] {
        let at = support::between(&answer, &format!("id=\"{field}\""), "</div>");
        assert_says(at, says);
    }
    let answer = begin(&bench, &[("parts", "1")]).body;
    assert_eq!(answer.matches("aria-invalid").count(), 1, "{answer}");
    let field = support::between(&answer, "id=\"parts\"", "</div>");
    assert!(field.contains("aria-invalid"), "{answer}");
    assert_says(field, "study.one-part");
    let begun = begin(&bench, &[("seed", "41")]);
    assert_eq!(begun.status, 303, "{}", begun.body);
    assert_says(&bench.get("/studies").body, "study-run.busy");
    let mut window = bench.window();
    assert_says(&window.page, "study-run.job");
    set_up(&mut window);
    assert_says(&window.page, "study-run.hidden");
    assert_ne!(window.enter("88.8"), 303);
    assert_says(&window.page, "bench.cannot-show");
    for nth in 0..12 {
        let question = window.question().to_owned();
        assert!(
            question.ends_with(&format!("(reading {} of 12)", nth + 1)),
            "{question}"
        );
        let reading = read(&question, nth);
        window.enter_all(&[&reading]);
        // Nobody sees what was read, and a window that is loaded again asks the same.
        let again = bench.get("/").body;
        assert!(!text_of(&again).contains(&reading), "{reading}: {again}");
        if nth == 4 {
            window.enter_all(&["/park", "/take"]);
        }
    }
    assert_says(window.question(), "bench.question-closing-check");
    window.enter_all(&TO_THE_RECORD[..3]);
    for shown in [
        "study-run.components",
        "study-sheet.means",
        "study-run.will-be",
    ] {
        assert_says(&window.page, shown);
    }
    // Two operators, three parts, two trials: readings, means and ranges, with both names beside each drawing.
    assert_eq!(drawn(&window.page), [12 + 2, 6 + 2, 6 + 2]);
    window.enter_all(&["/sign A. Quill"]);
    assert_says(&window.page, "study-run.recorded");

    // The readings from a file give the same.
    let listed = json(&folder, &["study", "list", "--json"]);
    let entry = listed[0]["entry"].as_str().unwrap().to_owned();
    assert_eq!(
        (&listed[0]["seed"], &listed[0]["readings"]),
        (&41.into(), &12.into())
    );
    let csv = folder.path().join("study.csv");
    std::fs::write(&csv, command(&folder, &["study", "show", &entry, "--csv"])).unwrap();
    let csv = csv.to_str().unwrap();
    let of_file = [
        "study",
        "repeatability",
        csv,
        "--tolerance",
        "0.132mm",
        "--json",
    ];
    assert_eq!(json(&folder, &of_file), listed[0]["repeatability"]);
    assert_says(&command(&folder, &["report", &entry]), "study-run.readings");
    let scale = [">8.930<", "scale from 8.927 to 8.943 mm"];
    on_paper(&folder, &bench, &entry, &listed[0], &scale);

    // Approved on its page; a new job takes it, and the record keeps it.
    let own = format!("/studies/{entry}");
    let approve = |more: &[(&str, &str)]| {
        let mut fields = vec![("person", "A. Quill"), ("reason", "as the plan asks")];
        fields.extend_from_slice(more);
        support::post(&bench, &own, &own, &fields)
    };
    for (due, says) in [
        ("", "page.needed"),
        ("29.11.2027", "study-run.no-date"),
        ("2020-01-01", "study-record.review-past"),
    ] {
        let answer = approve(&[("review_due", due)]);
        assert_eq!(answer.status, 422, "{due}");
        assert_says(&answer.body, says);
    }
    // Every wrong field is told at once, at the field, and the first has the focus.
    let fields = [("person", ""), ("reason", ""), ("review_due", "29.11.2027")];
    let answer = support::post(&bench, &own, &own, &fields).body;
    assert_eq!(answer.matches("aria-invalid").count(), 3, "{answer}");
    assert_eq!(answer.matches(" autofocus").count(), 1, "{answer}");
    let answer = approve(&[("review_due", "2099-12-31"), ("sizes", "5mm..12mm")]);
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_says(&bench.get(&own).body, "study-run.withdraw");
    let shown = command(&folder, &["study", "show", &entry]);
    assert_silent(&shown, "study-sheet.not-approved");
    assert!(shown.contains("as the plan asks"), "{shown}");
    assert!(json(&folder, &["study", "show", &entry, "--json"])["approval"].is_string());
    // A job of larger sizes does not, and says which sizes the study is approved for.
    let job = folder.path().join("large.toml");
    std::fs::write(&job, LARGER).unwrap();
    let told = command(&folder, &["inspect", job.to_str().unwrap()]);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    for shown in ["warning.study-of-other-sizes", "quantity.repeatability"] {
        assert_says(&told, shown);
    }
    for shown in [entry.as_str(), "5 mm", "12 mm"] {
        assert!(told.contains(shown), "{shown}: {told}");
    }
    assert_silent(&told, "quantity.operator");
    window.enter_all(&[""]);
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&TO_THE_RECORD);
    let record = support::between(&window.page, "/record/", "\"").to_owned();
    let words = |record: &str| {
        let text = command(&folder, &["report", record]);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let report = words(&record);
    for shown in ["note.study", "rests-on.study", "quantity.operator"] {
        assert_says(&report, shown);
    }
    assert!(report.contains(&entry), "{report}");

    // Withdrawn: the next job has none of it, and what is on the record verifies.
    let approvals = command(&folder, &["default", "list", "--json"]);
    let approval = approvals.lines().filter_map(|line| {
        let one: serde_json::Value = serde_json::from_str(line).ok()?;
        (one["study"] == *entry).then(|| one["entry"].as_str().unwrap().to_owned())
    });
    let [approval] = approval.collect::<Vec<_>>().try_into().unwrap();
    let why = ["--reason", "a part was worn", "--person", "A. Quill"];
    command(
        &folder,
        &[&["ledger", "amend", &approval][..], &why].concat(),
    );
    assert_says(&bench.get(&own).body, "study-run.not-approved");
    window.enter_all(&[""]);
    window.enter_all(&READINGS);
    window.enter_all(&TO_THE_RECORD);
    let next = support::between(&window.page, "/record/", "\"").to_owned();
    assert_ne!(next, record);
    assert_silent(&words(&next), "note.study");
    // What took it says that it rests on what was withdrawn, and has the numbers that it had.
    let told = words(&record);
    assert_says(&told, "against.evidence-withdrawn");
    assert!(
        told.ends_with(&report[report.find("ACCEPT").unwrap()..]),
        "{told}"
    );
    command(&folder, &["ledger", "verify"]);
}

/// Each part by one operator only: who reads which part is told, and the result is that of the file, for approval too.
#[test]
fn a_nested_study_is_run_and_approved() {
    let folder = Folder::new("study-nested");
    let bench = Bench::start(&folder, 0, &[]);
    for (more, says) in [
        ([("kind", "nested")], "study-refused.uneven-parts"),
        ([("kind", "linearity")], "study-refused.reference-of-each"),
    ] {
        let answer = begin(&bench, &more);
        assert_eq!(answer.status, 422, "{more:?}");
        assert_says(&answer.body, says);
    }
    let begun = begin(&bench, &[("kind", "nested"), ("parts", "4")]);
    assert_eq!(begun.status, 303, "{}", begun.body);
    let mut window = bench.window();
    set_up(&mut window);
    for nth in 0..8 {
        let question = window.question().to_owned();
        let part: usize = support::between(&question, ": part ", " ").parse().unwrap();
        let whose = if part < 3 { "Anna: " } else { "Ben: " };
        assert!(question.contains(whose), "{question}");
        assert_says(&window.page, "study-run.hidden");
        // The second trial of every part is a micrometre off the first, in whatever order.
        window.enter_all(&[&read(&question, nth / 4)]);
    }
    window.enter_all(&TO_THE_RECORD[..3]);
    assert_says(&window.page, "study-run.will-be");
    // One operator read each part.
    assert_eq!(drawn(&window.page), [8 + 2, 4 + 2, 4 + 2]);
    window.enter_all(&["/sign A. Quill"]);
    let (entry, document) = recorded_as_from_a_file(
        &folder,
        &[
            "repeatability",
            "--design",
            "nested",
            "--tolerance",
            "0.132mm",
        ],
        "repeatability",
    );
    assert_eq!(document["repeatability"]["design"], "nested");
    // Without a seed the order is another one every time, and the scale with it.
    on_paper(&folder, &bench, &entry, &document, &[]);
    let approve = [
        "study",
        "approve",
        &entry,
        "--person",
        "A. Quill",
        "--reason",
        "as the plan asks",
        "--review-due",
        "2099-12-31",
    ];
    command(&folder, &approve);
    let approvals = json(&folder, &["study", "list", "--json"]);
    assert!(approvals[0]["approval"].is_string(), "{approvals}");
    command(&folder, &["ledger", "verify"]);
    let upper = |document: &mut serde_json::Value, by: f64| {
        let known = document.as_f64().unwrap();
        *document = (known * by).into();
    };
    // The ends of intervals were simulated, and the last digits of a sum were another's; no other number was.
    assert!(verifies_as_evaluated_before(&folder, &entry, |result| {
        let result = &mut result["repeatability"];
        upper(&mut result["gauge_rr_interval"]["upper"], 1.02);
        upper(&mut result["total"], 1.0 + 1e-12);
    }));
    assert!(!verifies_as_evaluated_before(&folder, &entry, |result| {
        upper(&mut result["repeatability"]["total"], 1.001);
    }));
}

/// Whether a ledger with one more study verifies, as a build stored it whose evaluations had no number, with something of its result
/// changed.
fn verifies_as_evaluated_before(
    folder: &Folder,
    entry: &str,
    change: impl FnOnce(&mut serde_json::Value),
) -> bool {
    let ledger = crate::bench::open(folder.path().join("ledger.db"));
    let mut draft = ledger.get(&entry.parse().unwrap()).unwrap().content;
    let mut results: serde_json::Value = serde_json::from_str(&draft.results).unwrap();
    let content = results["content"].as_object_mut().unwrap();
    assert_eq!(content.remove("evaluation"), Some(2.into()));
    change(&mut results["content"]);
    draft.results = results.to_string();
    draft.events = None;
    draft.subjects.retain(|subject| subject.role != BENCH_JOB);
    ledger.append(&draft).unwrap();
    drop(ledger);
    let path = folder.path().join("ledger.db");
    let verified =
        crate::bench::Bench::new().run(&["--ledger", path.to_str().unwrap(), "ledger", "verify"]);
    verified.status == 0
}

/// The last study on the record gives the same by a command on its readings as a file; its entry and its document.
fn recorded_as_from_a_file(
    folder: &Folder,
    arguments: &[&str],
    result: &str,
) -> (String, serde_json::Value) {
    let listed = json(folder, &["study", "list", "--json"]);
    let entry = listed[0]["entry"].as_str().unwrap().to_owned();
    let csv = folder.path().join("study.csv");
    std::fs::write(&csv, command(folder, &["study", "show", &entry, "--csv"])).unwrap();
    let (name, more) = arguments.split_first().unwrap();
    let of_file = ["study", name, csv.to_str().unwrap(), "--json"];
    assert_eq!(
        json(folder, &[&of_file[..], more].concat()),
        listed[0][result]
    );
    (entry, listed[0].clone())
}

/// Parts of known size over a range, begun by a command: bias over size on the page and on paper, and nothing to approve.
#[test]
fn a_linearity_study_is_run_and_feeds_nothing() {
    let folder = Folder::new("study-linearity");
    let bench = Bench::start(&folder, 0, &[]);
    let begin = [
        "study",
        "begin",
        "--kind",
        "linearity",
        "--characteristic",
        "size 2 to 20 mm",
        "--parts",
        "p2, p8, p20",
        "--reference",
        "2mm, 8.001mm, 20mm",
        "--operators",
        "Anna",
        "--trials",
        "4",
        "--person",
        "A. Quill",
        "--json",
    ];
    assert_eq!(json(&folder, &begin)["readings"], 12);
    let mut window = bench.window();
    window.enter_all(&["/take", "mic-04", "fl-6", "block-10", ""]);
    window.enter_all(&ZERO);
    for nth in 0..12 {
        let question = window.question().to_owned();
        let part = support::between(&question, ": part ", " ");
        let size = match part {
            "p2" => 2000,
            "p8" => 8002,
            _ => 20_003,
        };
        let um = size + nth % 2;
        window.enter_all(&[&format!("{}.{:03}", um / 1000, um % 1000)]);
    }
    window.enter_all(&TO_THE_RECORD[..3]);
    assert_says(&window.page, "study-run.feeds-nothing");
    assert_silent(&window.page, "study-run.will-be");
    assert_eq!(drawn(&window.page), [3]);
    window.enter_all(&["/sign A. Quill"]);
    let arguments = ["linearity", "--unit", "mm"];
    let (entry, document) = recorded_as_from_a_file(&folder, &arguments, "linearity");
    assert_eq!(
        document["references"],
        serde_json::json!(["2mm", "8.001mm", "20mm"])
    );
    assert_eq!(document["linearity"]["n"], 12);
    // Its record shows how it was run and every reading, in words.
    let record = bench.get(&format!("/record/{entry}")).body;
    for shown in [
        "study-run.set-up",
        "study-run.all-readings",
        "study-run.seed",
    ] {
        assert_says(&record, shown);
    }
    assert!(!record.contains("&quot;schema&quot;"), "{record}");
    assert!(!record.contains("{\"schema\""), "{record}");
    let page = bench.get(&format!("/studies/{entry}")).body;
    assert_says(&page, "study-sheet.feeds-nothing");
    assert_silent(&page, "study-run.approve");
    for shown in ["study-run.by-size", "studied.slope"] {
        assert_says(&page, shown);
    }
    let html = command(&folder, &["study", "show", &entry, "--html", "-"]);
    assert_eq!(drawn(&html), [3]);
    for shown in ["study-sheet.feeds-nothing", "studied.at-reference"] {
        assert_says(&html, shown);
    }
    let pdf = folder.path().join("study.pdf");
    let show = ["study", "show", &entry, "--pdf", pdf.to_str().unwrap()];
    command(&folder, &show);
    assert!(std::fs::read(&pdf).unwrap().starts_with(b"%PDF"));
    command(&folder, &["ledger", "verify"]);
}

/// Begun by a command it is parked for any station; ended early it has no result and cannot be approved.
#[test]
fn a_study_that_is_ended_early_has_no_result() {
    let folder = Folder::new("study-early");
    let bench = Bench::start(&folder, 0, &[]);
    let begun = json(
        &folder,
        &[
            "study",
            "begin",
            "--kind",
            "repeatability",
            "--characteristic",
            "M10x1.5-6g",
            "--parts",
            "3",
            "--operators",
            "Anna, Ben",
            "--person",
            "A. Quill",
            "--seed",
            "3",
            "--json",
        ],
    );
    assert_eq!(
        (&begun["readings"], &begun["seed"]),
        (&18.into(), &3.into())
    );
    let mut window = bench.window();
    window.enter_all(&["/take"]);
    set_up(&mut window);
    for nth in 0..5 {
        let reading = read(window.question(), nth);
        window.enter_all(&[&reading]);
    }
    assert_ne!(window.enter("e"), 303);
    assert_says(&window.page, "bench.surely-end");
    window.enter_all(&["/end it"]);
    window.enter_all(&TO_THE_RECORD[..3]);
    for shown in ["study-run.broken-off", "study-run.cannot-be-approved"] {
        assert_says(&window.page, shown);
    }
    assert_silent(&window.page, "study-run.will-be");
    window.enter_all(&["/sign A. Quill"]);
    let listed = json(&folder, &["study", "list", "--json"]);
    assert!(listed[0]["repeatability"].is_null());
    let entry = listed[0]["entry"].as_str().unwrap();
    let page = bench.get(&format!("/studies/{entry}")).body;
    assert_says(&page, "study-run.not-computed");
    assert_silent(&page, "study-run.approve");
    let sheet = command(&folder, &["study", "show", entry, "--html", "-"]);
    for shown in ["study-run.not-computed", "study-run.broken-off"] {
        assert_says(&sheet, shown);
    }
    assert_eq!(
        bench.get(&format!("/studies/{entry}/sheet.pdf")).status,
        200
    );
    command(&folder, &["ledger", "verify"]);
    assert_eq!(bench.get("/studies/1-0000").status, 404);
}

/// One part of known size, which need not be named; the bias is shown in micrometres, with the digits that it has.
#[test]
fn a_bias_study_of_one_part_that_has_no_name() {
    let folder = Folder::new("study-bias");
    let bench = Bench::start(&folder, 0, &[]);
    let fields = [
        ("kind", "bias"),
        ("characteristic", "size 8.90 to 8.95 mm"),
        ("operators", "Anna"),
        ("parts", ""),
        ("trials", "3"),
        ("reference", "8.9249mm"),
    ];
    let begun = begin(&bench, &fields);
    assert_eq!(begun.status, 303, "{}", begun.body);
    let mut window = bench.window();
    window.enter_all(&["mic-04", "fl-6", "block-10", ""]);
    window.enter_all(&ZERO);
    assert!(
        window.question().contains("part 1 "),
        "{}",
        window.question()
    );
    window.enter_all(&["8.926", "8.927", "8.926"]);
    window.enter_all(&TO_THE_RECORD[..3]);
    window.enter_all(&["/sign A. Quill"]);
    let listed = json(&folder, &["study", "list", "--json"]);
    let entry = listed[0]["entry"].as_str().unwrap();
    let bias = listed[0]["bias"]["bias"].as_f64().unwrap() * 1000.0;
    let page = bench.get(&format!("/studies/{entry}")).body;
    let shown = support::between(&page, "<dt>bias</dt><dd>", "</dd>");
    // To three digits: nobody reads 0.000766667 mm.
    let number: f64 = shown.trim_end_matches(" µm").parse().unwrap();
    assert!((number - bias).abs() < 0.01, "{shown} {bias}");
    assert!(shown.len() <= "-0.767 µm".len(), "{shown}");
}
