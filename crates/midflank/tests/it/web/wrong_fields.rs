//! Forms that are filled in wrong: each tells all of its wrong fields at once, at each field.

use super::beside::on;
use super::support::{self, Bench, Folder, between};
use crate::said::{assert_says, tells};

/// Sends a form, and finds exactly these fields wrong, the first with the focus and each with what is said of it.
#[track_caller]
fn told(
    bench: &Bench,
    page: &str,
    path: &str,
    fields: &[(&str, &str)],
    wrong: &[(&str, &str)],
) -> String {
    let answer = support::post(bench, page, path, fields);
    assert_eq!(answer.status, 422, "{path}");
    let body = answer.body;
    for (field, says) in wrong {
        let at = between(
            &body,
            &format!("<span id=\"{field}-wrong\" role=\"alert\">"),
            "</span>",
        );
        assert!(!at.is_empty(), "nothing at {field}: {body}");
        assert!(tells(at, says), "{field}: {at}");
    }
    assert_eq!(body.matches("aria-invalid").count(), wrong.len(), "{body}");
    assert_eq!(body.matches(" autofocus").count(), 1, "{body}");
    if wrong.len() > 1 {
        assert_says(&body, "page.wrong-fields");
    }
    body
}

const PLAN: &str = r#"
unit = "mm"

[part]
name = "rating screw"
drawing = "TC-0412"
revision = "D"
plan = "IP-0412-4"

[pieces]
take = "all"

[[characteristic]]
number = "1"
places = ["middle"]

[characteristic.measure]
designation = "M10x1.5-6g"
"#;

fn keep_plan(folder: &Folder) {
    let file = folder.path().join("plan.toml");
    std::fs::write(&file, PLAN).unwrap();
    let kept = on(
        folder,
        &["plan", file.to_str().unwrap(), "--person", "A. Quill"],
    );
    assert_eq!(kept.status, 0, "{}", kept.err);
}

#[test]
fn the_form_of_a_lot_tells_all_that_is_wrong() {
    let folder = Folder::new("wrong-lot");
    let bench = Bench::start(&folder, 0, &[]);
    keep_plan(&folder);
    let send = |fields: &[(&str, &str)], wrong: &[(&str, &str)]| {
        told(&bench, "/lots", "/lots", fields, wrong)
    };
    send(
        &[
            ("plan", "IP-9"),
            ("size", "many"),
            ("severity", "strict"),
            ("resubmits", "L-99"),
            ("customer", "a\u{200b}b"),
            ("received", "yesterday"),
        ],
        &[
            ("number", "lots.no-number"),
            ("plan", "lots.no-plan"),
            ("size", "lots.no-count"),
            ("severity", "strict"),
            ("resubmits", "lots.no-lot"),
            ("customer", "bench.hidden-characters"),
            ("received", "bench.no-date"),
            ("person", "page.needed"),
        ],
    );
    let person = ("person", "A. Quill");
    send(
        &[("number", "L-7"), ("received", "2098-01-01"), person],
        &[
            ("size", "lots.no-size"),
            ("received", "lots.received-ahead"),
        ],
    );
    send(
        &[
            ("number", "L-7"),
            ("size", "0"),
            ("severity", "tightened"),
            person,
        ],
        &[
            ("size", "plan.accepts-all"),
            ("severity", "lots.no-severity"),
        ],
    );
    let begun = [("number", "L-7"), ("size", "5"), person];
    let answer = support::post(&bench, "/lots", "/lots", &begun);
    assert_eq!(answer.status, 303, "{}", answer.body);
    send(&begun, &[("number", "lots.begun")]);
    // The same number in other letters is the same lot, and so is that of a lot that comes back.
    let body = send(
        &[
            ("number", "l-7"),
            ("size", "5"),
            ("resubmits", "l-7"),
            person,
        ],
        &[("number", "lots.begun-as"), ("resubmits", "lots.known-as")],
    );
    assert!(body.contains("L-7"), "{body}");
}

#[test]
fn the_form_of_a_nonconforming_piece_tells_all_that_is_wrong() {
    let folder = Folder::new("wrong-nonconforming");
    let bench = Bench::start(&folder, 0, &[]);
    keep_plan(&folder);
    let begin = ["lot", "L-7", "--begin", "IP-0412-4", "--size", "5"];
    let begun = on(&folder, &[&begin[..], &["--person", "A. Quill"]].concat());
    assert_eq!(begun.status, 0, "{}", begun.err);
    let (page, path) = ("/nonconforming", "/nonconforming");
    told(
        &bench,
        page,
        path,
        &[
            ("lot", "l-7"),
            ("disposition", "forgotten"),
            ("note", "a\u{202e}b"),
        ],
        &[
            ("lot", "lots.known-as"),
            ("piece", "page.needed"),
            ("disposition", "nonconforming.no-disposition"),
            ("person", "page.needed"),
            ("note", "bench.hidden-characters"),
        ],
    );
    told(
        &bench,
        page,
        path,
        &[
            ("lot", "L-7"),
            ("piece", "9"),
            ("disposition", "use-as-is"),
            ("person", "A. Quill"),
            ("confirmed_by", "a. quill"),
        ],
        &[
            ("piece", "nonconforming.no-piece"),
            ("concession", "nonconforming.no-concession"),
            ("confirmed_by", "nonconforming.same-person"),
        ],
    );
}

#[test]
fn the_forms_of_status_and_state_tell_all_that_is_wrong() {
    let folder = Folder::new("wrong-status");
    let bench = Bench::start(&folder, 0, &[]);
    let own = "/equipment/instrument/mic-04";
    let status = format!("{own}/status");
    told(
        &bench,
        own,
        &status,
        &[
            ("status", "worn"),
            ("holder", "a\u{200b}b"),
            ("limited_to", "rough"),
            ("due", "soon"),
            ("check", "two blocks"),
        ],
        &[
            ("status-status", "status-error.no-status"),
            ("status-reason", "page.no-reason"),
            ("status-person", "page.no-person"),
            ("status-holder", "bench.hidden-characters"),
            ("status-limited_to", "status-error.not-limited"),
            ("status-due", "bench.no-date"),
            ("status-extend_until", "gauge-page.extend-no-day"),
        ],
    );
    told(
        &bench,
        own,
        &status,
        &[
            ("status", "lost"),
            ("reason", "looked at"),
            ("person", "A. Quill"),
            ("extend_until", "2099-01-31"),
        ],
        &[
            ("status-extend_until", "status-error.extends-nothing"),
            ("status-check", "status-error.half-extension"),
        ],
    );
    told(
        &bench,
        own,
        &format!("{own}/state"),
        &[("state", "worn")],
        &[
            ("state", "page.no-state"),
            ("reason", "page.no-reason"),
            ("person", "page.no-person"),
        ],
    );
}

/// An identity that is taken, and who records, beside the fields of the description itself.
#[test]
fn the_form_of_equipment_tells_all_that_is_wrong() {
    let folder = Folder::new("wrong-equipment");
    let bench = Bench::start(&folder, 0, &[]);
    told(
        &bench,
        "/equipment/new/instrument",
        "/equipment/instrument",
        &[
            ("id", "mic-04"),
            ("range", "0mm to 25mm"),
            ("resolution", "fine"),
            ("person", "a\u{200b}b"),
        ],
        &[
            ("id", "page.known-already"),
            ("resolution", "fine"),
            ("maximum_permissible_error", "not both"),
            ("person", "bench.hidden-characters"),
        ],
    );
}

#[test]
fn the_forms_of_a_recall_tell_all_that_is_wrong() {
    let folder = Folder::new("wrong-recall");
    let bench = Bench::start(&folder, 0, &[]);
    let send = |fields: &[(&str, &str)], wrong: &[(&str, &str)]| {
        told(&bench, "/recalls", "/recalls", fields, wrong)
    };
    send(
        &[
            ("piece", "vice"),
            ("id", "a\u{200b}b"),
            ("found", "soon"),
            ("since", "early"),
            ("history", "step"),
            ("act", "save"),
        ],
        &[
            ("piece", "recall-case.no-piece"),
            ("id", "bench.hidden-characters"),
            ("found", "bench.no-date"),
            ("since", "bench.no-date"),
            ("step", "recall-case.step-needed"),
            ("person", "page.no-person"),
        ],
    );
    send(
        &[
            ("piece", "contacts"),
            ("id", "vc-60-3"),
            ("at_part", "3um"),
            ("history", "sudden"),
        ],
        &[
            ("at_part", "recall-case.error-one-way"),
            ("error", "recall-case.no-error"),
            ("found", "page.needed"),
            ("history", "recall-case.no-history"),
        ],
    );
    send(
        &[
            ("piece", "contacts"),
            ("id", "vc-99"),
            ("error", "3um"),
            ("found", "2026-01-31"),
        ],
        &[("id", "recall.never-used")],
    );
}

#[test]
fn the_form_of_an_amendment_tells_all_that_is_wrong() {
    let folder = Folder::new("wrong-amendment");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let id = between(&window.page, "/record/", "\"").to_owned();
    let path = format!("/record/{id}/amend");
    told(
        &bench,
        &path,
        &path,
        &[("person", "a\u{200b}b"), ("job", "unit = \"furlong\"\n")],
        &[
            ("reason", "page.amend-no-reason"),
            ("person", "bench.hidden-characters"),
            ("job", "part"),
        ],
    );
}
