//! What one owns, by plain form posts.

use super::support::{
    self, Answer, Bench, Folder, OVER_WIRES, READINGS, SET_UP, TO_THE_RECORD, Window, ZERO,
    between, form,
};
use crate::said::{assert_says, assert_silent};

fn post(bench: &Bench, path: &str, fields: &[(&str, &str)]) -> Answer {
    support::post(bench, "/", path, fields)
}

/// Puts a piece into another state.
fn put(bench: &Bench, piece: &str, state: &str, reason: &str) {
    let fields = [("state", state), ("reason", reason), ("person", "A. Quill")];
    let answer = post(bench, &format!("/equipment/{piece}/state"), &fields);
    assert_eq!(answer.status, 303, "{}", answer.body);
}

const PAIR: [(&str, &str); 8] = [
    ("id", "vc-60-4"),
    ("kind", "v-and-cone"),
    ("members", "V-60-4 + C-60-4"),
    ("included_angle", "60"),
    ("pitch_range", "1mm to 1.75mm"),
    ("half_angle_limit", "3"),
    ("certificate", "K-2240"),
    ("person", "A. Quill"),
];

#[test]
fn a_new_pair_is_listed_and_offered_at_the_bench() {
    let folder = Folder::new("new-pair");
    let bench = Bench::start(&folder, 0, &[]);
    let answer = post(&bench, "/equipment/contacts", &PAIR);
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(
        answer.header("location"),
        Some("/equipment/contacts/vc-60-4")
    );
    let list = bench.get("/equipment").body;
    assert!(list.contains("V and cone, 60°, V-60-4 + C-60-4"), "{list}");
    let piece = bench.get("/equipment/contacts/vc-60-4").body;
    for shown in [
        "K-2240",
        "V-60-4 + C-60-4",
        "1 mm to 1.75 mm",
        "none yet",
        "first entry",
    ] {
        assert!(piece.contains(shown), "{shown}: {piece}");
    }
    let mut window = bench.window();
    window.enter_all(&SET_UP[..7]);
    window.shows("vc-60-4");
}

/// An empty register leads through what a first job needs, each by its form, until all of it is there; or takes the demonstration's.
#[test]
fn an_empty_register_leads_to_the_first_job() {
    let folder = Folder::new("first-steps");
    let bench = Bench::start_empty(&folder);
    let needed = [
        (
            "instrument",
            &[
                ("id", "mic-77"),
                ("range", "0 to 25"),
                ("resolution", "0.001"),
                ("maximum_permissible_error", "0.003"),
                ("person", "A. Quill"),
            ][..],
        ),
        ("contacts", &PAIR),
        (
            "standard",
            &[
                ("id", "rod-77"),
                ("form", "v-and-cone-rod"),
                ("size", "9.9994"),
                ("expanded_uncertainty", "0.6um"),
                ("coverage_factor", "2"),
                ("person", "A. Quill"),
            ],
        ),
    ];
    assert_says(&bench.get("/").body, "page.empty-register-demo");
    for (index, (kind, fields)) in needed.iter().enumerate() {
        let page = bench.get("/").body;
        let open = page.matches("href=\"/equipment/new/").count();
        assert_eq!(open, needed.len() - index, "{page}");
        let form = format!("/equipment/new/{kind}");
        assert!(page.contains(&format!("href=\"{form}\"")), "{page}");
        let added = support::post(&bench, &form, &format!("/equipment/{kind}"), fields);
        assert_eq!(added.status, 303, "{}", added.body);
        let leads_on = added.header("location") == Some("/");
        assert_eq!(leads_on, index + 1 < needed.len(), "{kind}");
    }
    let page = bench.get("/").body;
    assert!(!page.contains("empty-register"), "{page}");
}

/// What is wrong stands at its field, nothing is recorded, and what was typed stays.
#[test]
fn what_is_wrong_is_told_at_its_field() {
    let folder = Folder::new("wrong-piece");
    let bench = Bench::start(&folder, 0, &[]);
    let standard = [
        ("id", "rod-25"),
        ("size", "25.0006"),
        ("expanded_uncertainty", "0.8um"),
        ("coverage_factor", "2"),
        ("certificate", "K-9 \"new\" \\ <b>"),
        ("certificate_date", "2026-01-31"),
        ("due", "2030-01-31"),
        ("person", "A. Quill"),
    ];
    for (key, value, told) in [
        ("id", " ", "Identity, as marked: a value is required"),
        ("size", "", "Certified size: a value is required"),
        ("size", "25.0006 furlong", "25.0006 furlong"),
        ("coverage_factor", "two", "`two` is not a number"),
        (
            "due",
            "31.1.2030",
            "`31.1.2030` is not a date; write year-month-day, such as 2027-03-01",
        ),
        (
            "certificate_date",
            "1949-12-31",
            "1949-12-31 is before 1950-01-01",
        ),
        (
            "certificate_date",
            "2099-01-01",
            "2099-01-01 is after today",
        ),
        ("person", "", "the name of the person making this entry"),
        ("id", "rod-10", "is already in the register"),
    ] {
        let mut fields = standard;
        for field in &mut fields {
            if field.0 == key {
                field.1 = value;
            }
        }
        let answer = post(&bench, "/equipment/standard", &fields);
        assert_eq!(answer.status, 422, "{key}");
        let at = between(
            &answer.body,
            &format!("<span id=\"{key}-wrong\" role=\"alert\">"),
            "</span>",
        );
        assert!(at.contains(told), "{key} {value:?}: {at:?}");
        assert!(
            answer.body.contains("K-9 &quot;new&quot; \\ &lt;b&gt;"),
            "{}",
            answer.body
        );
        assert_eq!(bench.get("/equipment/standard/rod-25").status, 404);
    }
    assert_eq!(post(&bench, "/equipment/standard", &standard).status, 303);
    let piece = bench.get("/equipment/standard/rod-25").body;
    assert!(
        piece.contains("K-9 &quot;new&quot; \\ &lt;b&gt;"),
        "{piece}"
    );
}

/// Fields that are wrong or empty are marked at once, and above stands how many there are.
#[test]
fn all_that_is_wrong_with_a_piece_is_told_at_once() {
    let folder = Folder::new("all-wrong");
    let bench = Bench::start(&folder, 0, &[]);
    let fields = [
        ("id", "mic-77"),
        ("range", "25"),
        ("resolution", "abc"),
        ("person", ""),
    ];
    let answer = post(&bench, "/equipment/instrument", &fields);
    assert_eq!(answer.status, 422);
    for (field, _) in &fields[1..] {
        let told = between(
            &answer.body,
            &format!("<span id=\"{field}-wrong\""),
            "</span>",
        );
        assert!(told.contains("refusal"), "{field}: {told}");
    }
    assert_says(&answer.body, "page.wrong-fields");
    assert_eq!(answer.body.matches("autofocus").count(), 1);
}

#[test]
fn another_contact_is_another_pair() {
    let folder = Folder::new("other-pair");
    let bench = Bench::start(&folder, 0, &[]);
    assert_eq!(post(&bench, "/equipment/contacts", &PAIR).status, 303);
    let page = bench.get("/equipment/contacts/vc-60-4/change").body;
    let entry = between(&page, "name=\"changes\" value=\"", "\"").to_owned();
    let mut changed: Vec<(&str, &str)> = PAIR.to_vec();
    changed[2].1 = "V-60-5 + C-60-4";
    changed.extend([("changes", entry.as_str()), ("reason", "V worn")]);
    let answer = post(&bench, "/equipment/contacts", &changed);
    assert_eq!(answer.status, 422);
    assert!(
        answer.body.contains("changing a contact makes a new pair"),
        "{}",
        answer.body
    );
    assert!(answer.body.contains("V-60-5 + C-60-4"));
    // Under an identity of its own it is taken, and begins without a zero.
    let like = bench.get("/equipment/new/contacts?like=vc-60-4").body;
    assert!(
        like.contains("value=\"1mm to 1.75mm\"") && !like.contains("K-2240"),
        "{like}"
    );
    changed = PAIR.to_vec();
    (changed[0].1, changed[2].1) = ("vc-60-5", "V-60-5 + C-60-4");
    assert_eq!(post(&bench, "/equipment/contacts", &changed).status, 303);
    assert!(
        bench
            .get("/equipment/contacts/vc-60-5")
            .body
            .contains("set zero before the first part")
    );
}

/// An error curve is one line of the file that its form makes; what is wrong in it still stands at its own field.
#[test]
fn what_is_wrong_in_a_curve_is_told_at_its_field() {
    let folder = Folder::new("wrong-curve");
    let bench = Bench::start(&folder, 0, &[]);
    let micrometer = [
        ("id", "mic-60"),
        ("range", "0 to 25"),
        ("error_curve.points", "0 0um\n12.5 1um\n25 1um"),
        ("error_curve.expanded_uncertainty", "0.8um"),
        ("error_curve.coverage_factor", "2"),
        ("error_curve.periodic_error", "0.5um"),
        ("force", "7.5"),
        ("person", "A. Quill"),
    ];
    for (key, value, code) in [
        (
            "error_curve.points",
            "0 0um\n12.5 x\n25 1um",
            "entry.not-a-number",
        ),
        (
            "error_curve.expanded_uncertainty",
            "0um",
            "job.not-positive",
        ),
        ("error_curve.coverage_factor", "55", "number-given.outside"),
        ("error_curve.periodic_error", "x", "entry.not-a-number"),
        ("force", "-7.5", "number-given.outside"),
        ("id", "mic\u{202e}60", "text-given.direction"),
    ] {
        let mut fields = micrometer;
        for field in &mut fields {
            if field.0 == key {
                field.1 = value;
            }
        }
        let answer = post(&bench, "/equipment/instrument", &fields);
        assert_eq!(answer.status, 422, "{key}");
        let start = format!("<span id=\"{key}-wrong\" role=\"alert\">");
        assert_says(between(&answer.body, &start, "</span>"), code);
    }
    let good = post(&bench, "/equipment/instrument", &micrometer);
    assert_eq!(good.status, 303, "{}", good.body);
}

/// A change is a new entry; the earlier one stays to be read, and a form that was opened before it is refused.
#[test]
fn a_new_certificate_and_another_state() {
    let folder = Folder::new("certificate");
    let bench = Bench::start(&folder, 0, &[]);
    let page = bench.get("/equipment/instrument/mic-04/change").body;
    let value = |key: &str| {
        between(
            &page,
            &format!("id=\"{key}\" name=\"{key}\" type=\"text\" value=\""),
            "\"",
        )
        .to_owned()
    };
    let (range, resolution) = (value("range"), value("resolution"));
    let points = between(&page, "</textarea>", "x").is_empty();
    assert!(!range.is_empty() && !points, "{page}");
    let curve = between(&page, "name=\"error_curve.points\"", "</textarea>");
    let curve = curve.split_once('>').unwrap().1.to_owned();
    let entry = between(&page, "name=\"changes\" value=\"", "\"").to_owned();
    let (uncertainty, factor) = (
        value("error_curve.expanded_uncertainty"),
        value("error_curve.coverage_factor"),
    );
    let mut fields = vec![
        ("changes", entry.as_str()),
        ("id", "mic-04"),
        ("range", &range),
        ("resolution", &resolution),
        ("error_curve.points", &curve),
        ("error_curve.expanded_uncertainty", &uncertainty),
        ("error_curve.coverage_factor", &factor),
        ("certificate", "K-2301"),
        ("due", "2031-05-31"),
        ("person", "B. Reed"),
    ];
    let without = post(&bench, "/equipment/instrument", &fields);
    assert_eq!(without.status, 422);
    assert!(
        between(&without.body, "<span id=\"reason-wrong\"", "</span>").contains("Enter a reason")
    );
    fields.push(("reason", "calibrated"));
    assert_eq!(post(&bench, "/equipment/instrument", &fields).status, 303);
    let old = post(&bench, "/equipment/instrument", &fields);
    assert_eq!(old.status, 422);
    assert!(
        old.body.contains("was changed by somebody else"),
        "{}",
        old.body
    );

    let refused = post(
        &bench,
        "/equipment/instrument/mic-04/state",
        &[("state", "broken"), ("reason", "x"), ("person", "y")],
    );
    assert_eq!(refused.status, 422);
    let put = [
        ("state", "quarantined"),
        ("reason", "dropped"),
        ("person", "B. Reed"),
    ];
    assert_eq!(
        post(&bench, "/equipment/instrument/mic-04/state", &put).status,
        303
    );
    let piece = bench.get("/equipment/instrument/mic-04").body;
    for shown in [
        "<strong class=\"barred\">quarantined",
        "K-2301",
        "2031-05-31",
        "calibrated",
        "dropped",
        "first entry",
    ] {
        assert!(piece.contains(shown), "{shown}: {piece}");
    }
    // At the bench it is not offered any more, and why is said.
    let mut window = bench.window();
    window.enter_all(&SET_UP[..5]);
    assert_eq!(window.enter("mic-04"), 422);
}

#[test]
fn a_piece_shows_every_result_that_it_touched() {
    let folder = Folder::new("touched");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let record = between(&window.page, "/record/", "\"").to_owned();
    for path in ["instrument/mic-04", "contacts/vc-60-3", "standard/rod-10"] {
        let page = bench.get(&format!("/equipment/{path}")).body;
        assert!(
            page.contains(&format!("/record/{record}")),
            "{path}: {page}"
        );
    }
    // 10.0013 read on 9.9994.
    let list = bench.get("/equipment").body;
    assert!(list.contains(">1.9 µm, "), "{list}");
    let untouched = bench.get("/equipment/standard/rod-10-b").body;
    assert!(untouched.contains("No result yet."), "{untouched}");
}

#[test]
fn a_form_of_another_page_registers_nothing() {
    let folder = Folder::new("foreign-form");
    let bench = Bench::start(&folder, 0, &[]);
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    let fields: Vec<(&str, String)> = PAIR.map(|(key, value)| (key, value.to_owned())).to_vec();
    let answer = bench.request("POST", "/equipment/contacts", &[kind], &form(&fields));
    assert_eq!(answer.status, 422);
    assert_eq!(bench.get("/equipment/contacts/vc-60-4").status, 404);
    for nothing in [
        "/equipment/new/hammer",
        "/equipment/hammer/x",
        "/equipment/contacts/none/change",
    ] {
        assert_eq!(bench.get(nothing).status, 404, "{nothing}");
    }
}

/// A pair that comes back from repair is judged by its own checks from then on.
#[test]
fn the_control_chart_begins_anew_after_a_repair() {
    let folder = Folder::new("anew");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let next = |window: &mut Window<'_>, zero: &[&str]| {
        window.page = bench.get("/").body;
        window.enter_all(&[""]);
        window.enter_all(zero);
        window.enter_all(&READINGS);
        window.enter_all(&TO_THE_RECORD);
    };
    next(&mut window, &[]);
    let chart = || bench.get("/contacts/vc-60-3").body;
    let begins_anew = || chart().contains("class=\"restart\"");
    assert!(!begins_anew());
    assert_silent(&chart(), "page.begins-anew");
    put(&bench, "contacts/vc-60-3", "out", "sent to be lapped");
    assert!(!begins_anew());
    assert_silent(&chart(), "page.begins-anew");
    put(&bench, "contacts/vc-60-3", "active", "lapped");
    next(&mut window, &ZERO);
    let page = chart();
    assert_eq!(page.matches("class=\"restart\"").count(), 1, "{page}");
    assert_eq!(
        page.matches("new series (vc-60-3: lapped)").count(),
        1,
        "{page}"
    );
}

/// A person is found by the whole name, words by any part.
#[test]
fn records_of_a_person_are_those_of_that_name() {
    let folder = Folder::new("person");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let found = |query: &str| {
        bench
            .get(&format!("/history?{query}"))
            .body
            .contains("/record/")
    };
    assert!(found("person=A.%20Quill"));
    assert!(!found("person=Quill"), "a part of a name is another name");
    assert!(!found("person=demonstration"), "no inspection is theirs");
    assert!(found("words=quill") && found("words=cs-118"));
    assert!(!found("words=quill&person=B.%20Reed"));
    let page = bench.get("/history").body;
    assert!(
        page.contains("<datalist id=\"people\"><option value=\"A. Quill\"></option></datalist>"),
        "{page}"
    );
}

/// What was set aside and came back needs a zero of its own, and what was not brought back measures no next part.
#[test]
fn an_intervention_ends_the_zero_of_the_part_before() {
    let folder = Folder::new("intervention");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    put(
        &bench,
        "contacts/vc-60-3",
        "quarantined",
        "the cone looks chipped",
    );
    assert_eq!(window.enter(""), 422);
    window.shows("vc-60-3 cannot be used for the next part: it is quarantined");
    put(
        &bench,
        "contacts/vc-60-3",
        "active",
        "cleaned, no chip under the glass",
    );
    window.enter_all(&[""]);
    assert!(
        window.question().contains("reading 1 of 3"),
        "{}",
        window.question()
    );
}

/// Wires are part of what the next part keeps.
#[test]
fn wires_that_were_set_apart_measure_no_next_part() {
    let folder = Folder::new("wires-apart");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&OVER_WIRES);
    window.enter_all(&ZERO);
    window.enter_all(&["10.229", "10.230", "10.227", "10.231", "10.226", "10.228"]);
    window.enter_all(&TO_THE_RECORD);
    put(&bench, "wires/w-0866", "quarantined", "one of them is bent");
    assert_eq!(window.enter(""), 422);
    window.shows("w-0866 cannot be used for the next part: it is quarantined");
    put(&bench, "wires/w-0866", "active", "measured again");
    window.enter_all(&[""]);
    // They were not between the contacts when zero was checked.
    assert_eq!(window.question(), "Reading 1 of 6: near the head, 0°.");
}
