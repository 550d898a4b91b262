//! A record put right and verified from its page; what is looked up.

use super::support::{self, Answer, Bench, Folder, between};
use crate::said::assert_says;
use crate::shown::text_of;

fn amend(bench: &Bench, id: &str, fields: &[(&str, &str)]) -> Answer {
    let path = format!("/record/{id}/amend");
    support::post(bench, &path, &path, fields)
}

/// A withdrawn record says so first and large, and its verdict is no verdict any more, on its page and in the history.
#[test]
fn a_withdrawn_record_shows_no_verdict() {
    let folder = Folder::new("withdrawn");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let id = between(&window.page, "/record/", "\"").to_owned();
    let verdict = |page: &str| between(page, "class=\"judged ", "\"").to_owned();
    let kept = verdict(&bench.get("/history").body);
    let fields = [("reason", "wrong rod was measured"), ("person", "A. Quill")];
    assert_eq!(amend(&bench, &id, &fields).status, 303);
    for path in [format!("/record/{id}"), format!("/record/{id}/report")] {
        let page = bench.get(&path).body;
        assert!(page.contains("verdict superseded"), "{page}");
        assert!(!page.contains("class=\"mark"), "{page}");
        let word = page.find("WITHDRAWN").unwrap();
        assert!(word < page.find("<s>").unwrap(), "{page}");
    }
    let history = bench.get("/history").body;
    assert_says(&history, "page.withdrawn-by");
    assert!(!history.contains("class=\"judged accept"), "{history}");
    let found = bench.get(&format!("/history?verdict={kept}")).body;
    assert!(!found.contains(&id), "{found}");
    let by = between(&history, "withdrawn by</strong> <a href=\"/record/", "\"").to_owned();
    let page = bench.get(&format!("/record/{by}")).body;
    assert_says(&page, "page.withdrawal");
    assert!(!page.contains("<details"), "{page}");
}

/// The page to print, and what the page of a record prints, is the sheet that the PDF is.
#[test]
fn a_record_is_printed_as_its_report() {
    let folder = Folder::new("printed");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let id = between(&window.page, "/record/", "\"").to_owned();
    let page = bench.get(&format!("/record/{id}")).body;
    let printed = between(&page, "data-printed=\"alone\">", "</article>");
    let alone = bench.get(&format!("/record/{id}/report")).body;
    for sheet in [printed, &alone] {
        for said in [
            "paper.title",
            "paper.made-of-page",
            "paper.end",
            "report.heading-statement",
        ] {
            assert_says(sheet, said);
        }
        // Corrections beside the readings, as on paper.
        assert!(sheet.contains("class=\"beside\""), "{sheet}");
        assert!(!sheet.contains("<h3"), "{sheet}");
    }
    assert!(page.contains("data-printed=\"no\""), "{page}");
}

/// Each wrong date is told and marked, and the first has the focus.
#[test]
fn each_wrong_date_of_the_history_is_marked() {
    let folder = Folder::new("dates");
    let bench = Bench::start(&folder, 0, &[]);
    let page = bench.get("/history?since=monday&until=2026-13-01").body;
    assert_eq!(page.matches("aria-invalid=\"true\"").count(), 2, "{page}");
    assert_eq!(page.matches("autofocus").count(), 1, "{page}");
    let since = between(&page, "id=\"since\"", ">");
    assert!(
        since.contains("autofocus") && since.contains("since-wrong"),
        "{since}"
    );
}

#[test]
fn a_record_is_amended_and_verified_from_its_page() {
    let folder = Folder::new("amended");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let id = between(&window.page, "/record/", "\"").to_owned();
    let page = bench.get(&format!("/record/{id}")).body;
    assert!(page.contains(&format!("/record/{id}/amend")));

    // Each thing that is missing or wrong is said, and nothing is recorded.
    for (fields, why) in [
        (
            vec![("reason", ""), ("person", "A. Quill")],
            "enter a reason",
        ),
        (
            vec![("reason", "wrong rod"), ("person", " ")],
            "enter the name",
        ),
        (
            vec![
                ("reason", "wrong rod"),
                ("person", "A. Quill"),
                ("job", "unit = 3"),
            ],
            "job.toml:1",
        ),
    ] {
        let answer = amend(&bench, &id, &fields);
        assert_eq!(answer.status, 422, "{why}");
        assert!(
            text_of(&answer.body).to_lowercase().contains(why),
            "{why}: {}",
            answer.body
        );
    }
    let stale = bench.request(
        "POST",
        &format!("/record/{id}/amend"),
        &[("Content-Type", "application/x-www-form-urlencoded")],
        "token=x&reason=wrong&person=A",
    );
    assert_eq!(stale.status, 422);

    // Another part's job is not taken for this one by mistake.
    let other = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../demo/1-rating-screw.toml"
    ))
    .unwrap();
    let other = other.replace("rating screw", "another screw");
    let fields = [
        ("reason", "wrong rod"),
        ("person", "A. Quill"),
        ("job", &*other),
    ];
    let answer = amend(&bench, &id, &fields);
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("tick the box"), "{}", answer.body);

    let answer = amend(
        &bench,
        &id,
        &[("reason", "wrong rod"), ("person", "A. Quill")],
    );
    assert_eq!(answer.status, 303, "{}", answer.body);
    let new = answer.header("location").unwrap().to_owned();
    let page = bench.get(&format!("/record/{id}")).body;
    assert!(page.contains(&new) && page.contains("wrong rod"));
    // It was put right already.
    assert!(!page.contains(&format!("/record/{id}/amend")));

    let verified = bench.get(&format!("/record/{id}/verify"));
    assert_eq!(verified.status, 200);
    let text = text_of(&verified.body);
    assert!(text.contains("Sound"), "{text}");
    assert!(text.contains(new.trim_start_matches("/record/")), "{text}");
    assert!(text.contains("identical to the last digit"), "{text}");
    assert_eq!(bench.get("/record/999-ffff/verify").status, 404);
    assert_eq!(bench.get("/record/999-ffff/amend").status, 404);
}

/// There are no options on a page.
#[test]
fn what_is_looked_up_names_no_option() {
    let folder = Folder::new("looked-up");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    for line in [
        "limits M8",
        "limits 3/8 NPT",
        "wires M10x1.5-6g",
        "wires 3/8 NPT",
        "wires M10x1.7-6g",
        "gauges 1/4-20 UNC-2A",
        "gauges M10x1.5-6H",
        "identify 7.9mm 1.25mm",
        "identify 0.247in 20tpi",
        "identify 0.247in 20",
        "identify 0.247in xtpi",
        "identify foo 20tpi",
    ] {
        assert_eq!(window.enter(line), 200, "{line}");
        let looked_up = between(&window.page, "looked-up\"", "</section>");
        let text = text_of(looked_up);
        assert!(
            !text.contains("--") && !looked_up.contains("<pre"),
            "{line}: {text}"
        );
        assert!(text.len() > 20, "{line}: {text}");
    }
}
