//! What a careful laboratory allows for, and what it answers for itself: lines worked by hand.

use metrology::decision::Verdict;
use metrology::inspection::{
    DEFAULTS, Decides, DefaultName, Inspection, Job, NotFoundAt, Quantity, RestsOn, Warning, Way,
    inspect, rests_on,
};
use metrology::message::{Message, Value as Said};
use serde_json::{Value, json};

/// A pin of 24 mm, zero on a plain standard of 10 mm, a curve with U = 0.4 µm at points that fall on whole turns.
fn pin() -> Value {
    json!({
        "part": { "name": "pin" },
        "measured_at": "2026-03-01T09:40:00Z",
        "measured_on": "2026-03-01",
        "characteristic": { "stated": { "name": "diameter", "lower": "23.9mm", "upper": "24.1mm" } },
        "instrument": {
            "id": "mic-04", "range": ["0mm", "25mm"], "resolution": "0.001mm",
            "errors": { "curve": {
                "points": [{ "at": "0mm", "error": "0um" }, { "at": "10mm", "error": "0um" }, { "at": "20mm", "error": "0um" }, { "at": "25mm", "error": "0um" }],
                "expanded_uncertainty": "0.4um", "coverage_factor": 2.0, "periodic_error": null
            } }
        },
        "contacts": { "id": "flat", "kind": "flat" },
        "standard": { "id": "s", "size": "10mm", "expanded_uncertainty": "0.2um", "coverage_factor": 2.0, "form": "plain" },
        "zero": { "before": ["10.000mm", "10.000mm"], "after": ["10.000mm", "10.000mm"] },
        "readings": [{ "readings": ["24.000mm", "24.001mm"] }, { "readings": ["24.001mm", "24.000mm"] }],
        "temperature": { "part": 20.0, "standard": 20.0, "standard_uncertainty": 0.0, "part_material": "steel", "standard_material": "steel" },
        "prior": {},
        "rule": { "name": "iso14253-1", "parameter": null, "assumed": false }
    })
}

fn job(changes: &[(&str, Value)]) -> Job {
    let mut job = pin();
    for (pointer, value) in changes {
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        job.pointer_mut(parent).unwrap()[key] = value.clone();
    }
    serde_json::from_value(job).unwrap()
}

fn with(changes: &[(&str, Value)]) -> Inspection {
    inspect(&job(changes)).unwrap()
}

/// Contribution of a line in micrometres, and its note.
fn line(found: &Inspection, quantity: Quantity) -> Option<(f64, Message)> {
    let mut lines = found.mean.budget.iter();
    let line = lines.find(|line| line.quantity == quantity)?;
    Some((line.line.contribution * 1000.0, line.note.clone().unwrap()))
}

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() < 2e-4, "{found} for {expected}");
}

fn approval(due: &str) -> Value {
    json!({ "evidence": "study 12", "person": "A. Quill", "on": "2026-01-15", "review_due": due })
}

#[test]
fn faces_count_beside_a_curve_and_are_held_by_a_maximum_permissible_error() {
    // √(1² + 0.6²)/√3 µm.
    let (u, note) = line(&with(&[]), Quantity::Faces).unwrap();
    close(u, 1.36_f64.sqrt() / 3_f64.sqrt());
    assert!(DEFAULTS.contains(&&*note.code));
    let stated = [
        ("/contacts/flatness", json!("0.3um")),
        ("/contacts/parallelism", json!("0.8um")),
    ];
    let (u, note) = line(&with(&stated), Quantity::Faces).unwrap();
    close(u, 0.5 / 3_f64.sqrt());
    assert!(note.code == "note.faces");
    let limit = json!({ "within": { "maximum_permissible_error": "2um" } });
    let found = with(&[("/instrument/errors", limit)]);
    assert_eq!(line(&found, Quantity::Faces), None);
    assert_eq!(line(&found, Quantity::MicrometerDrift), None);
    // Spheres have no faces.
    let pair = json!({ "id": "p", "kind": "point", "tip_radius": "0.3mm" });
    assert_eq!(line(&with(&[("/contacts", pair)]), Quantity::Faces), None);
}

#[test]
fn standard_and_micrometer_drift_since_their_certificates() {
    let days = |days: f64| days / 365.25 / 3_f64.sqrt();
    // No date: a year is allowed for.
    let found = with(&[]);
    close(
        line(&found, Quantity::StandardDrift).unwrap().0,
        0.2 * days(365.0),
    );
    close(
        line(&found, Quantity::MicrometerDrift).unwrap().0,
        0.5 * days(365.0),
    );
    // 59 days before the measurement of 1 March.
    let stated = json!({ "per_year": "1um", "certificates": null });
    let found = with(&[
        ("/standard/certificate_date", json!("2026-01-01")),
        ("/standard/drift", stated),
        ("/instrument/certificate_date", json!("2024-03-01")),
        (
            "/instrument/drift",
            json!({ "per_year": "0.3um", "certificates": 3, "apart": 3 }),
        ),
    ]);
    let (u, note) = line(&found, Quantity::StandardDrift).unwrap();
    close(u, days(59.0));
    assert!(note.code == "note.since-certificate" && note.value("days") == Some(&Said::Count(59)));
    let (u, note) = line(&found, Quantity::MicrometerDrift).unwrap();
    close(u, 0.3 * days(730.0));
    assert!(note.code == "note.since-certificates" && note.value("n") == Some(&Said::Count(3)));
    // Within one turn of the thimble the zero takes the drift of the screw out.
    let near = [
        ("/standard/size", json!("24mm")),
        (
            "/zero",
            json!({ "before": ["24.000mm", "24.000mm"], "after": ["24.000mm", "24.000mm"] }),
        ),
    ];
    assert_eq!(line(&with(&near), Quantity::MicrometerDrift), None);
}

#[test]
fn a_part_in_the_hand_is_warmer_than_one_on_a_table() {
    // 0.5 K/√3 of 24 mm of steel, 11.5e-6.
    let (u, _) = line(&with(&[]), Quantity::PartGradient).unwrap();
    close(u, 0.5 / 3_f64.sqrt() * 24.0 * 11.5e-3);
    let table = with(&[("/held", json!("table"))]);
    assert_eq!(line(&table, Quantity::PartGradient), None);
    let hand = with(&[("/held", json!("hand"))]);
    assert!(line(&hand, Quantity::PartGradient).is_some());
}

#[test]
fn a_curve_that_holds_the_periodic_error_does_not_count_it_again() {
    // Points on whole turns: 0.5 µm at part and standard, arcsine ± 1 µm.
    let (u, note) = line(&with(&[]), Quantity::Interpolation).unwrap();
    close(u, 1.0 / 2_f64.sqrt());
    assert_eq!(note.code, "note.between-points-usual");
    // The points of ISO 3611, of which one stands 0.4 µm out: what they show of it, second difference 0.8 µm, triangular.
    let at = [0.0, 2.5, 5.1, 7.7, 10.3, 12.9, 15.0, 17.6, 20.2, 22.8, 25.0];
    let points: Vec<Value> = at
        .iter()
        .map(|at| json!({ "at": format!("{at}mm"), "error": if *at == 12.9 { "0.4um" } else { "0um" } }))
        .collect();
    let curve = |periodic: Value| json!({ "curve": { "points": points, "expanded_uncertainty": "0.4um", "coverage_factor": 2.0, "periodic_error": periodic } });
    let held = with(&[("/instrument/errors", curve(Value::Null))]);
    let (u, note) = line(&held, Quantity::Interpolation).unwrap();
    close(u, 0.8 / 6_f64.sqrt());
    assert_eq!(note.code, "note.between-points-held");
    // What is stated counts as stated.
    let stated = with(&[("/instrument/errors", curve(json!("0.5um")))]);
    let (u, _) = line(&stated, Quantity::Interpolation).unwrap();
    assert!(u > 0.7);
}

#[test]
fn of_two_uncertainties_the_larger_decides_unless_the_laboratorys_is_approved() {
    let own = |expanded: &str, k: f64, approval: Value| {
        let own = json!({ "expanded_uncertainty": expanded, "coverage_factor": k, "source": "budget 7", "approval": approval });
        with(&[("/prior/own", own)])
    };
    let program = with(&[]).mean.size;
    assert_eq!(with(&[]).mean.own, None);
    let small = own("0.5um", 2.0, Value::Null);
    assert_eq!(small.mean.own.unwrap().decides, Decides::Program);
    assert_eq!(small.mean.size, program);
    let large = own("30um", 3.0, Value::Null);
    assert_eq!(large.mean.own.unwrap().decides, Decides::Laboratory);
    close(large.mean.size.expanded_uncertainty * 1000.0, 20.0);
    close(large.mean.size.standard_uncertainty * 1000.0, 10.0);
    // The guard band is that of the laboratory's uncertainty: 1.645 · 10 µm.
    let guard: f64 = large
        .mean
        .decision
        .guard_band
        .unwrap()
        .to_string()
        .parse()
        .unwrap();
    assert!((guard * 1000.0 - 16.45).abs() < 0.06, "{guard}");
    // The budget stays the program's.
    assert_eq!(large.mean.by_budget(), &program);
    let approved = own("0.5um", 2.0, approval("2026-12-31"));
    assert_eq!(approved.mean.own.unwrap().decides, Decides::Approved);
    close(approved.mean.size.expanded_uncertainty * 1000.0, 0.5);
    // Due on the day itself is not overdue; the day before is.
    let today = own("0.5um", 2.0, approval("2026-03-01"));
    assert_eq!(today.mean.own.unwrap().decides, Decides::Approved);
    let late = own("0.5um", 2.0, approval("2026-02-28"));
    assert_eq!(late.mean.own.unwrap().decides, Decides::Program);
    assert!(
        late.warnings
            .iter()
            .any(|one| matches!(one, Warning::OwnOverdue { .. }))
    );
}

#[test]
fn no_better_line_is_advised_where_the_laboratorys_uncertainty_decides() {
    let own = json!({ "expanded_uncertainty": "30um", "coverage_factor": 2.0, "source": "budget 7", "approval": null });
    let limits = json!({ "stated": { "name": "diameter", "lower": "23.98mm", "upper": "24.1mm" } });
    let found = with(&[("/prior/own", own), ("/characteristic", limits)]);
    assert_eq!(found.settle.unwrap().way, Way::Nothing);
}

#[test]
fn an_approved_value_takes_the_place_of_a_default_until_its_review_is_due() {
    let approved = |what: &str, value: Value, due: &str| {
        let one = json!({ "what": what, "value": value, "approval": approval(due) });
        with(&[("/approved", json!([one]))])
    };
    let found = approved("form", json!({ "length": "0.5um" }), "2026-12-31");
    let (u, note) = line(&found, Quantity::FormSeen).unwrap();
    let (usual, _) = line(&with(&[]), Quantity::FormSeen).unwrap();
    assert!(u < usual / 2.0, "{u} {usual}");
    assert!(
        note.code == "note.approved" && note.value("person") == Some(&Said::text("A. Quill")),
        "{note:?}"
    );
    let late = approved("form", json!({ "length": "0.5um" }), "2026-02-28");
    close(line(&late, Quantity::FormSeen).unwrap().0, usual);
    assert!(
        late.warnings
            .iter()
            .any(|one| matches!(one, Warning::ApprovalOverdue { .. }))
    );
    // One that this job does not use is no matter.
    let other = approved("force", json!({ "number": 5.0 }), "2026-02-28");
    assert!(
        !other
            .warnings
            .iter()
            .any(|one| matches!(one, Warning::ApprovalOverdue { .. }))
    );
    // A number is no length.
    let wrong = approved("form", json!({ "number": 0.5 }), "2026-12-31");
    close(line(&wrong, Quantity::FormSeen).unwrap().0, usual);
    let gradient = approved("hand-gradient", json!({ "number": 0.1 }), "2026-12-31");
    close(
        line(&gradient, Quantity::PartGradient).unwrap().0,
        0.1 / 3_f64.sqrt() * 24.0 * 11.5e-3,
    );
}

/// Two places 6 µm apart: 4.2 µm of form, 3 µm in their mean, which an approved U of 0.5 µm does not hold.
#[test]
fn an_approved_uncertainty_does_not_decide_against_what_the_readings_show() {
    let own = json!({ "expanded_uncertainty": "0.5um", "coverage_factor": 2.0, "source": "budget 7", "approval": approval("2026-12-31") });
    let apart =
        json!([{ "readings": ["24.000mm", "24.000mm"] }, { "readings": ["24.006mm", "24.006mm"] }]);
    let limits = |upper: &str| json!({ "stated": { "name": "diameter", "lower": "23.9mm", "upper": upper } });
    let found = |upper: &str| {
        let changes = [
            ("/prior/own", own.clone()),
            ("/readings", apart.clone()),
            ("/characteristic", limits(upper)),
        ];
        with(&changes)
    };
    let far = found("24.1mm");
    let warned = far.warnings.iter().find_map(|warning| match warning {
        Warning::OwnExceeded { shown, own } => Some((shown * 1000.0, own * 1000.0)),
        _ => None,
    });
    let (shown, held) = warned.unwrap();
    assert!(
        (shown - 6.0).abs() < 0.3 && (held - 0.5).abs() < 1e-6,
        "{shown} {held}"
    );
    assert_eq!(
        (far.withheld.clone(), far.verdict()),
        (None, Verdict::Accept)
    );
    let near = found("24.009mm");
    assert_eq!(near.computed_verdict(), Verdict::Accept);
    assert_eq!(near.verdict(), Verdict::Undecided);
    assert_eq!(near.withheld.unwrap().because(), "own-exceeded");
}

fn approve(what: &str, value: Value, approval: Value) -> (&'static str, Value) {
    let one = json!({ "what": what, "value": value, "approval": approval });
    ("/approved", json!([one]))
}

/// The defaults whose approval is told to be overdue.
fn overdue(found: &Inspection) -> Vec<DefaultName> {
    let told = found.warnings.iter().filter_map(|one| match one {
        Warning::ApprovalOverdue { what, .. } => Some(*what),
        _ => None,
    });
    told.collect()
}

#[test]
fn an_approval_counts_from_the_day_it_was_given() {
    let given = |on: &str| {
        let approval = json!({ "evidence": "study 12", "person": "A. Quill", "on": on, "review_due": "2026-12-31" });
        let own = json!({ "expanded_uncertainty": "0.5um", "coverage_factor": 2.0, "source": "budget 7", "approval": approval });
        let form = approve("form", json!({ "length": "0.5um" }), approval);
        with(&[form, ("/prior/own", own)])
    };
    let decides = |found: &Inspection| found.mean.own.unwrap().decides;
    let note = |found: &Inspection| line(found, Quantity::FormSeen).unwrap().1;
    // Measured on 1 March.
    let same_day = given("2026-03-01");
    assert_eq!(decides(&same_day), Decides::Approved);
    assert!(note(&same_day).code == "note.approved");
    let next_day = given("2026-03-02");
    assert_eq!(decides(&next_day), Decides::Program);
    assert!(note(&next_day).code == "note.form-usual");
    assert_eq!(overdue(&next_day), []);
}

#[test]
fn overdue_is_told_only_of_a_default_that_the_budget_took() {
    let late = || approval("2026-02-28");
    let um = |length: &str| json!({ "length": length });
    // Readings that repeat to the last digit leave the default of repeatability in the budget.
    let alike =
        json!([{ "readings": ["24.000mm", "24.000mm"] }, { "readings": ["24.000mm", "24.000mm"] }]);
    let flat = || approve("repeatability-flat", um("0.8um"), late());
    let taken = with(&[flat(), ("/readings", alike.clone())]);
    assert_eq!(overdue(&taken), [DefaultName::RepeatabilityFlat]);
    // That of another set-up was not taken.
    let soft = approve("repeatability-soft", um("0.8um"), late());
    assert_eq!(overdue(&with(&[soft, ("/readings", alike.clone())])), []);
    // What the job states took its place, and so did zero readings that scatter more.
    let stated = (
        "/prior",
        json!({ "repeatability": "0.5um", "degrees_of_freedom": 20.0 }),
    );
    assert_eq!(
        overdue(&with(&[flat(), stated, ("/readings", alike.clone())])),
        []
    );
    let rough = json!({ "before": ["10.000mm", "10.006mm"], "after": ["10.000mm", "10.006mm"] });
    let by_zero = with(&[flat(), ("/zero", rough), ("/readings", alike)]);
    assert_eq!(
        line(&by_zero, Quantity::Repeatability).unwrap().1.code,
        "note.readings"
    );
    assert_eq!(overdue(&by_zero), []);
    // Of flatness and parallelism the one that is stated is no default.
    let flatness = || approve("flatness", um("0.4um"), late());
    assert_eq!(overdue(&with(&[flatness()])), [DefaultName::Flatness]);
    let stated = [flatness(), ("/contacts/flatness", json!("0.3um"))];
    assert_eq!(overdue(&with(&stated)), []);
    // One standard drifts as stated, the other as is usual.
    let drift = || approve("standard-drift", um("0.1um"), late());
    assert_eq!(overdue(&with(&[drift()])), [DefaultName::StandardDrift]);
    let stated = json!({ "per_year": "1um", "certificates": null });
    assert_eq!(overdue(&with(&[drift(), ("/standard/drift", stated)])), []);
}

#[test]
fn the_drift_of_few_certificates_is_at_least_the_default() {
    let days = 365.0 / 365.25 / 3_f64.sqrt();
    let shown = |rate: &str, n: u32, apart: u32| {
        let drift = json!({ "per_year": rate, "certificates": n, "apart": apart });
        line(
            &with(&[("/standard/drift", drift)]),
            Quantity::StandardDrift,
        )
        .unwrap()
    };
    // More than the default of 0.2 µm counts as it is shown.
    let (u, note) = shown("0.4um", 2, 1);
    close(u, 0.4 * days);
    assert!(
        note.code == "note.since-certificates" && note.value("n") == Some(&Said::Count(2)),
        "{note:?}"
    );
    // Less does so from three certificates on that lie half a year apart, and not from ten of one summer.
    for (n, apart) in [(2, 2), (10, 2)] {
        let (u, note) = shown("0.1um", n, apart);
        close(u, 0.2 * days);
        assert!(DEFAULTS.contains(&&*note.code), "{note:?}");
    }
    let (u, _) = shown("0.1um", 3, 3);
    close(u, 0.1 * days);
}

#[test]
fn part_and_standard_lie_apart_by_an_approved_temperature_where_none_was_read() {
    let unread = ("/temperature", Value::Null);
    let (usual, note) = line(
        &with(std::slice::from_ref(&unread)),
        Quantity::PartTemperature,
    )
    .unwrap();
    close(usual, 1.0 / 3_f64.sqrt() * 24.0 * 11.5e-3);
    assert!(DEFAULTS.contains(&&*note.code), "{note:?}");
    let approved = approve(
        "part-to-standard",
        json!({ "number": 0.25 }),
        approval("2026-12-31"),
    );
    let found = with(&[unread, approved]);
    let (u, note) = line(&found, Quantity::PartTemperature).unwrap();
    close(u, 0.25 * usual);
    assert!(note.code == "note.approved", "{note:?}");
    let allowed = found.warnings.iter().find_map(|one| match one {
        Warning::NoTemperature { apart, .. } => Some(*apart),
        _ => None,
    });
    assert_eq!(allowed, Some(0.25));
}

#[test]
fn an_approved_uncertainty_holds_for_the_sizes_and_the_room_it_was_found_at() {
    let own = |key: &str, value: Value| {
        let mut own = json!({ "expanded_uncertainty": "0.5um", "coverage_factor": 2.0, "source": "budget 7", "approval": approval("2026-12-31") });
        own[key] = value;
        ("/prior/own", own)
    };
    let not_held = |found: &Inspection| {
        found.warnings.iter().find_map(|one| match one {
            Warning::OwnNotHeld { why, .. } => Some(why.clone()),
            _ => None,
        })
    };
    let decides = |found: &Inspection| found.mean.own.unwrap().decides;
    // 24.0005 mm.
    let inside = with(&[own("sizes", json!(["20mm", "24.001mm"]))]);
    assert_eq!(
        (decides(&inside), not_held(&inside)),
        (Decides::Approved, None)
    );
    let outside = with(&[own("sizes", json!(["5mm", "20mm"]))]);
    assert_eq!(decides(&outside), Decides::Program);
    assert!(matches!(not_held(&outside), Some(NotFoundAt::Size { .. })));
    let room = || own("room", json!([19.0, 21.0]));
    let inside = with(&[room()]);
    assert_eq!(
        (decides(&inside), not_held(&inside)),
        (Decides::Approved, None)
    );
    let warm = with(&[room(), ("/temperature/part", json!(21.5))]);
    assert_eq!(decides(&warm), Decides::Program);
    assert!(matches!(
        not_held(&warm),
        Some(NotFoundAt::Temperature {
            temperature: 21.5,
            ..
        })
    ));
    let unread = with(&[room(), ("/temperature", Value::Null)]);
    assert_eq!(decides(&unread), Decides::Program);
    assert!(matches!(not_held(&unread), Some(NotFoundAt::Unread { .. })));
    // An approval that states neither holds anywhere.
    let anywhere = with(&[own("room", Value::Null), ("/temperature", Value::Null)]);
    assert_eq!(decides(&anywhere), Decides::Approved);
}

#[test]
fn a_budget_names_who_answers_for_it_and_the_records_it_leans_on() {
    let rests = |changes: &[(&str, Value)]| {
        let found = with(changes);
        rests_on(&job(changes), &found.mean)
    };
    assert_eq!(rests(&[]), []);
    let both = json!([
        { "what": "flatness", "value": { "length": "0.4um" }, "approval": approval("2026-12-31") },
        { "what": "parallelism", "value": { "length": "1um" }, "approval": approval("2026-12-31") },
        { "what": "force", "value": { "number": 5.0 }, "approval": approval("2026-12-31") },
        { "what": "hand-gradient", "value": { "number": 0.1 }, "approval": approval("2026-02-28") },
    ]);
    let told: Vec<DefaultName> = rests(&[("/approved", both)])
        .iter()
        .filter_map(|one| match one {
            RestsOn::Approved { what, evidence, .. } => {
                assert_eq!(evidence, "study 12");
                Some(*what)
            }
            RestsOn::FormRecords { .. } | RestsOn::Study { .. } => None,
        })
        .collect();
    assert_eq!(told, [DefaultName::Flatness, DefaultName::Parallelism]);
    let history = json!({ "standard_deviation": 0.002, "degrees_of_freedom": 12.0, "records": ["4-a", "7-b", "9-c"] });
    let told = rests(&[("/prior", json!({ "form_history": history }))]);
    let [RestsOn::FormRecords { records }] = told.as_slice() else {
        panic!("{told:?}");
    };
    assert_eq!(*records, ["4-a", "7-b", "9-c"]);
}

/// What the job itself states of the part, and a zero that nobody checked again, is in no approved uncertainty: what they make
/// of U by themselves is held against it.
#[test]
fn an_approved_uncertainty_does_not_decide_against_what_the_job_states() {
    let own = json!({ "expanded_uncertainty": "0.5um", "coverage_factor": 2.0, "source": "budget 7", "approval": approval("2026-12-31") });
    let warned = |more: (&'static str, Value)| {
        let found = with(&[("/prior/own", own.clone()), more]);
        found.warnings.iter().find_map(|warning| match warning {
            Warning::OwnExceeded { shown, .. } => Some(shown * 1000.0),
            _ => None,
        })
    };
    // A drift of up to 2 µm: 2 · 2/√3.
    let open = warned(("/zero/after", json!([]))).unwrap();
    assert!((open - 4.0 / 3f64.sqrt()).abs() < 0.2, "{open}");
    let form = warned(("/prior/form", json!("3um"))).unwrap();
    assert!((form - 6.0 / 3f64.sqrt()).abs() < 0.2, "{form}");
}

fn study(repeatability: &str, due: &str) -> Value {
    json!({
        "study": "41-ab12", "repeatability": repeatability, "degrees_of_freedom": 20.0,
        "reproducibility": ["0.8um", 2.0], "approval": approval(due)
    })
}

/// Pooled by hand with the repeats of the job: s² = (2 · 0.5 + 20 · 1)/22 µm², over two places of two readings.
#[test]
fn an_approved_study_tells_repeatability_and_operators() {
    let approved = [("/prior/study", study("1um", "2026-12-31"))];
    let found = with(&approved);
    let (u, note) = line(&found, Quantity::Repeatability).unwrap();
    close(u, (21.0_f64 / 22.0).sqrt() / 2.0);
    assert_eq!(note.code, "note.study");
    let (u, note) = line(&found, Quantity::Operator).unwrap();
    close(u, 0.8);
    assert_eq!(note.code, "note.study");
    let told = rests_on(&job(&approved), &found.mean);
    assert!(
        matches!(told.as_slice(), [RestsOn::Study { study, .. }] if study == "41-ab12"),
        "{told:?}"
    );
    // One operator tells nothing of others.
    let mut alone = study("1um", "2026-12-31");
    alone["reproducibility"] = Value::Null;
    assert_eq!(
        line(&with(&[("/prior/study", alone)]), Quantity::Operator),
        None
    );
}

/// A study of the set-up for another feature changes no number; the job says that it was not taken, unless it states a repeatability.
#[test]
fn a_study_of_another_feature_is_told() {
    let other = json!({ "study": "12-3fa9", "measured": "plain-diameter" });
    let told = |found: &Inspection| {
        let mut warnings = found.warnings.iter();
        warnings.any(|one| matches!(one, Warning::StudyOfOther { study, .. } if study == "12-3fa9"))
    };
    let (without, found) = (with(&[]), with(&[("/prior/study_of_other", other.clone())]));
    assert!(told(&found) && !told(&without));
    assert_eq!(found.mean.size, without.mean.size);
    // The same feature at other sizes is told with the sizes that the approval covers.
    let sizes =
        json!({ "study": "12-3fa9", "measured": "plain-diameter", "sizes": ["20mm", "30mm"] });
    let of_sizes = with(&[("/prior/study_of_other", sizes)]);
    let mut warnings = of_sizes.warnings.iter();
    assert!(!told(&of_sizes));
    assert!(warnings.any(|one| matches!(
        one,
        Warning::StudyOfOtherSizes { study, from, to }
            if study == "12-3fa9" && (from.text(), to.text()) == ("20mm", "30mm")
    )));
    assert_eq!(of_sizes.mean.size, without.mean.size);
    let stated =
        json!({ "repeatability": "0.5um", "degrees_of_freedom": 20.0, "study_of_other": other });
    assert!(!told(&with(&[("/prior", stated)])));
}

/// The repeatability of a study that is overdue, not given yet, or contradicted by the readings or the zero is not taken.
#[test]
fn a_study_that_does_not_hold_is_not_taken() {
    let code = |found: &Inspection| {
        let mut warnings = found.warnings.iter();
        warnings.find_map(|warning| match warning {
            Warning::StudyOverdue { .. } => Some("overdue"),
            Warning::StudyExceeded { .. } => Some("exceeded"),
            _ => None,
        })
    };
    let mut later = study("1um", "2026-12-31");
    later["approval"]["on"] = json!("2026-03-02");
    let rough = json!({ "before": ["10.000mm", "10.008mm"], "after": ["10.000mm", "10.008mm"] });
    let good = || study("1um", "2026-12-31");
    let cases = [
        (vec![], study("1um", "2026-02-28"), Some("overdue")),
        (vec![], later, None),
        (vec![], study("0.2um", "2026-12-31"), Some("exceeded")),
        (vec![("/zero", rough)], good(), Some("exceeded")),
    ];
    for (changes, study, expected) in cases {
        let without = with(&changes);
        let found = with(&[changes, vec![("/prior/study", study)]].concat());
        assert_eq!(code(&found), expected);
        let repeatability = |found| line(found, Quantity::Repeatability);
        assert_eq!(repeatability(&found), repeatability(&without));
        let operator = line(&found, Quantity::Operator).map(|(u, _)| u);
        // Readings that scatter more make operators no more alike.
        if expected == Some("exceeded") {
            close(operator.unwrap(), 0.8);
        } else {
            assert_eq!(operator, None);
            assert_eq!(found.mean.size, without.mean.size);
        }
    }
    // A repeatability that the job states itself takes its place.
    let stated = json!({ "repeatability": "0.5um", "degrees_of_freedom": 20.0 });
    let mut with_study = stated.clone();
    with_study["study"] = good();
    let repeatability = |prior| line(&with(&[("/prior", prior)]), Quantity::Repeatability);
    assert_eq!(repeatability(with_study.clone()), repeatability(stated));
    let found = with(&[("/prior", with_study)]);
    assert_eq!(code(&found), None);
    close(line(&found, Quantity::Operator).unwrap().0, 0.8);
}
