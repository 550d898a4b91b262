//! Reports as PDF: what they say, what they are made of, and what keeps them from being printed. The library's own validators
//! of PDF/A-3a and PDF/UA-1 have to agree before there is a file; what Debian's tools say is asked where they are installed.

use std::fs;
use std::path::PathBuf;

use crate::bench::{Bench, Run};
use crate::said::assert_says;

const SCREW: &str = "1-rating-screw.toml";

/// A bench with one record of a job.
fn recorded(job: &str, changes: &[(&str, &str)]) -> Bench {
    let bench = Bench::new();
    let job = bench.demo(job, changes);
    let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    bench
}

fn pdf(bench: &Bench, more: &[&str]) -> Run {
    bench.run(&[&["report", "1", "--pdf", "report.pdf", "--replace"], more].concat())
}

/// The bytes of the report of record 1.
fn printed(bench: &Bench, more: &[&str]) -> Vec<u8> {
    let run = pdf(bench, more);
    assert_eq!(run.status, 0, "{}", run.err);
    fs::read(bench.path("report.pdf")).unwrap()
}

fn contains(bytes: &[u8], text: &str) -> bool {
    bytes
        .windows(text.len())
        .any(|part| part == text.as_bytes())
}

/// The text of the report, without its line breaks; nothing where no tool takes it out.
fn text(bench: &Bench) -> Option<String> {
    let text = bench.told_by("pdftotext", &["-layout", "report.pdf", "-"])?;
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A laboratory's file.
fn laboratory(bench: &Bench, text: &str) -> PathBuf {
    fs::create_dir_all(bench.path("config/midflank")).unwrap();
    bench.write("config/midflank/laboratory.toml", text)
}

#[test]
fn one_screw_stands_on_one_sheet_and_the_same_record_gives_the_same_bytes() {
    let bench = recorded(SCREW, &[]);
    let sheet = printed(&bench, &[]);
    assert_eq!(sheet, printed(&bench, &[]));
    if let Some(text) = text(&bench) {
        for said in [
            "page 1 of 1",
            "8.9265",
            "8.862",
            "0.35144",
            "End of report 1-",
            "C-0412",
        ] {
            assert!(text.contains(said), "{said}: {text}");
        }
    }
    let long = printed(&bench, &["--long"]);
    assert_ne!(sheet, long);
    let letter = printed(&bench, &["--paper", "letter"]);
    assert!(contains(&letter, "612") && contains(&letter, "792"));
}

#[test]
fn a_report_is_archival_tagged_and_brings_its_record() {
    let bench = recorded(SCREW, &[]);
    let bytes = printed(&bench, &[]);
    // XMP, output intent, structure, attachment with its relationship and date; nothing that runs.
    for said in [
        "<pdfaid:part>3</pdfaid:part>",
        "<pdfaid:conformance>A</pdfaid:conformance>",
        "<pdfuaid:part>1</pdfuaid:part>",
        "/GTS_PDFA1",
        "/StructTreeRoot",
        "/Marked true",
        "/Lang(en)",
        "/AFRelationship/Data",
        "/ModDate(D:",
        "/EmbeddedFiles",
    ] {
        assert!(contains(&bytes, said), "{said}");
    }
    for never in [
        "/JavaScript",
        "/JS",
        "/OpenAction",
        "/Launch",
        "/AA",
        "/Encrypt",
    ] {
        assert!(!contains(&bytes, never), "{never}");
    }
    if let Some(checked) = bench.told_by("qpdf", &["--check", "report.pdf"]) {
        assert!(
            checked.contains("No syntax or stream encoding errors"),
            "{checked}"
        );
    }
    if let Some(fonts) = bench.told_by("pdffonts", &["report.pdf"]) {
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty());
        for row in rows {
            assert!(
                row.contains("yes yes yes"),
                "embedded, a subset, with its characters: {row}"
            );
        }
    }
    if bench
        .told_by("pdfdetach", &["-saveall", "report.pdf"])
        .is_some()
    {
        let shown = bench.run(&["ledger", "show", "1", "--json"]);
        let id: serde_json::Value = serde_json::from_str(&shown.out).unwrap();
        let file = format!("record-{}.json", id["id"].as_str().unwrap());
        let attached: serde_json::Value =
            serde_json::from_slice(&fs::read(bench.path(&file)).unwrap()).unwrap();
        assert_eq!(attached, id);
    }
}

#[test]
fn every_feature_and_every_verdict_can_be_printed() {
    let bench = recorded("3-dial-bolt.toml", &[]);
    printed(&bench, &[]);
    printed(&bench, &["--long"]);
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo/features");
    let bench = Bench::new();
    let mut count = 0;
    for job in fs::read_dir(root).unwrap() {
        let job = job.unwrap().path();
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
        count += u32::from(run.status == 0);
    }
    assert!(count > 10);
    for record in 1..=count {
        for form in [&[][..], &["--long"]] {
            let record = record.to_string();
            let report = ["report", &record, "--pdf", "report.pdf", "--replace"];
            let run = bench.run(&[&report[..], form].concat());
            assert_eq!(run.status, 0, "{record}: {}", run.err);
        }
    }
}

#[test]
fn an_amended_report_says_what_it_replaces_and_the_old_one_what_holds() {
    let bench = recorded(SCREW, &[]);
    let job = bench.demo(SCREW, &[]);
    let amended = bench.run(&[
        "ledger",
        "amend",
        "1",
        "--job",
        job.to_str().unwrap(),
        "--reason",
        "drawing revised",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(amended.status, 0, "{}", amended.err);
    printed(&bench, &[]);
    if let Some(text) = text(&bench) {
        assert!(text.contains("SUPERSEDED by record 2-"), "{text}");
    }
    let run = bench.run(&["report", "2", "--pdf", "report.pdf", "--replace"]);
    assert_eq!(run.status, 0, "{}", run.err);
    if let Some(text) = text(&bench) {
        assert!(text.contains("It replaces record 1-"), "{text}");
        assert!(text.contains("drawing revised"), "{text}");
    }
}

const LABORATORY: &str = r#"
[laboratory]
name = "Bench of the clock tower"
address = ["3 Bell Lane"]

[paper]
size = "letter"

[accreditation]
text = "Accredited in all that is measured here."
scope = [{ characteristic = "pitch-diameter", from = "1 mm", to = "25 mm", capability = "CAPABILITY" }]
"#;

#[test]
fn accreditation_is_claimed_within_its_scope_alone() {
    for (capability, is_claimed) in [("5 um", true), ("0.0001 in", true), ("10 um", false)] {
        let bench = recorded(SCREW, &[]);
        laboratory(&bench, &LABORATORY.replace("CAPABILITY", capability));
        let bytes = printed(&bench, &[]);
        assert!(contains(&bytes, "612"));
        if let Some(text) = text(&bench) {
            assert!(text.contains("Bench of the clock tower"), "{text}");
            assert_eq!(
                text.contains("Accredited in all"),
                is_claimed,
                "{capability}"
            );
            assert_eq!(
                text.contains("not within the laboratory"),
                !is_claimed,
                "{capability}"
            );
        }
    }
    let bench = recorded(SCREW, &[]);
    let other = LABORATORY
        .replace("pitch-diameter", "tube-wall")
        .replace("CAPABILITY", "1 um");
    laboratory(&bench, &other);
    printed(&bench, &[]);
    if let Some(text) = text(&bench) {
        assert!(!text.contains("Accredited in all"), "{text}");
    }
}

#[test]
fn what_is_wrong_in_the_laboratorys_file_is_told_and_nothing_is_written() {
    let bench = recorded(SCREW, &[]);
    for (wrong, key) in [
        ("[laboratory]\nlogo = \"logo.png\"", "paper.no-logo"),
        ("[paper]\nfont = \"logo.png\"", "paper.no-font"),
        ("[laboratory]\nlogo = \"none.png\"", "command.cannot-read"),
        (
            "[accreditation]\ntext = \"x\"\nscope = [{ characteristic = \"size\", from = \"1 mm\", to = \"2 mm\", capability = \"little\" }]",
            "paper.no-length",
        ),
    ] {
        laboratory(&bench, wrong);
        bench.write("config/midflank/logo.png", "no image");
        let run = pdf(&bench, &[]);
        assert_eq!(run.status, 2, "{wrong}: {}", run.err);
        assert_says(&run.err, key);
        assert!(!bench.path("report.pdf").exists());
    }
    laboratory(&bench, "[laboratory]\nnames = \"x\"");
    let run = pdf(&bench, &[]);
    assert_eq!(run.status, 2);
    assert!(
        run.err.contains("names") && run.err.contains("line 2"),
        "{}",
        run.err
    );
}

#[test]
fn a_name_in_a_script_without_glyphs_is_told() {
    let greek = recorded(
        SCREW,
        &[("pendulum rating screw", "βίδα – Щёголев – ברגים")],
    );
    printed(&greek, &[]);
    let bench = recorded(SCREW, &[("pendulum rating screw", "螺栓")]);
    let run = pdf(&bench, &[]);
    assert_eq!(run.status, 2, "{}", run.err);
    assert_says(&run.err, "paper.no-glyph");
    assert!(!bench.path("report.pdf").exists());
}

#[test]
fn what_is_no_inspection_has_no_pdf() {
    let bench = Bench::new();
    let run = bench.run(&["validate", "--record", "--person", "A. Quill"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let run = pdf(&bench, &[]);
    assert_eq!(run.status, 2, "{}", run.err);
    assert_says(&run.err, "command.text-alone");
}

/// ISO/IEC 17025:2017, 7.8.2.1 and 7.8.6.2: for whom, received when and how, which rule agreed with whom, every deviation.
#[test]
fn a_report_states_what_every_report_must_and_what_the_record_does_not_have() {
    let stated = [
        (
            "order = \"tower clock 3\"",
            "order = \"tower clock 3\"\ncustomer = \"Town council\"\nreceived = 2026-03-02\ncondition = \"clean, one nick\"",
        ),
        (
            "rule = \"iso14253-1\"",
            "rule = \"iso14253-1\"\nagreed = \"order TC-3, clause 6\"\n[override]\nequipment = \"only one at hand\"",
        ),
    ];
    for (changes, told, never) in [
        (
            &stated[..],
            &[
                "Town council",
                "2026-03-02; clean, one nick",
                "order TC-3, clause 6",
                "only one at hand",
                "certificates listed under equipment",
            ][..],
            "none recorded",
        ),
        (
            &[],
            &[
                "date and condition not recorded",
                "Decision rule agreed with",
                "none recorded",
            ],
            "Town council",
        ),
    ] {
        let bench = recorded(SCREW, changes);
        printed(&bench, &[]);
        let html = bench.run(&["report", "1", "--html", "-"]).out;
        for form in [text(&bench).as_deref(), Some(&html)].into_iter().flatten() {
            for said in told {
                // A cell may break a text over lines.
                assert!(
                    said.split(' ').all(|word| form.contains(word)),
                    "{said}: {form}"
                );
            }
            assert!(!form.contains(never), "{never}: {form}");
        }
        let sound = bench.run(&["ledger", "verify"]);
        assert_eq!(sound.status, 0, "{}", sound.err);
    }
    let bench = Bench::new();
    let late = [("order = \"tower clock 3\"", "received = 2026-03-10")];
    let job = bench.demo(SCREW, &late);
    let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 2, "{}", run.err);
    assert_says(&run.err, "jobfile.received-after");
}
