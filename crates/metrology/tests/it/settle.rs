//! What would settle it, worked by hand.

use metrology::decision::Verdict;
use metrology::inspection::{
    AtHand, Inspection, Job, LetStand, LineAdvice, More, Owned, Quantity, Settling, Together, Way,
    Without, at_hand, inspect,
};
use metrology::units::Entered;
use serde_json::{Value, json};

/// A plain diameter of 10 ± 0.01 mm with nothing uncertain but what the changes say.
fn job(readings: &[&str], changes: &[(&str, Value)]) -> Inspection {
    inspect(&json_job(readings, changes)).unwrap()
}

fn json_job(readings: &[&str], changes: &[(&str, Value)]) -> Job {
    let mut job = json!({
        "part": { "name": "pin" },
        "measured_at": "2026-03-09T09:40:00Z",
        "measured_on": "2026-03-09",
        "characteristic": { "stated": { "name": "diameter", "lower": "9.99mm", "upper": "10.01mm" } },
        "instrument": {
            "id": "m", "range": ["0mm", "25mm"], "resolution": "0.000001mm",
            "errors": { "within": { "maximum_permissible_error": "0um" } }
        },
        "contacts": { "id": "flat", "kind": "flat" },
        "standard": { "id": "s", "size": "10mm", "expanded_uncertainty": "0um", "coverage_factor": 2.0, "form": "plain", "drift": { "per_year": "0um", "certificates": null } },
        "held": "table",
        "zero": { "before": [], "allowance": "0.0001um" },
        "overrides": { "zero": "an ideal micrometer" },
        "readings": [{ "readings": readings }],
        "scope": "place",
        "temperature": { "part": 20.0, "standard": 20.0, "standard_uncertainty": 0.0, "part_material": "steel", "standard_material": "steel" },
        "prior": { "drift_limit": "0.0001um" },
        "rule": { "name": "iso14253-1", "parameter": null, "assumed": false }
    });
    for (pointer, value) in changes {
        *job.pointer_mut(pointer).unwrap() = value.clone();
    }
    serde_json::from_value(job).unwrap()
}

/// Four readings of standard deviation 2 µm about 10.0087: u = 1 µm, and 1.3 µm of room. t₉₅(3) = 2.3534: undecided.
/// Of n readings t₉₅(n − 1)·2/√n ≤ 1.3 from n = 9: eight give 1.8946·0.7071 = 1.3397, nine 1.8595·0.6667 = 1.2397. So
/// five more, and u may then be 1.3/1.8595 = 0.6991 µm.
#[test]
fn more_readings_where_scatter_dominates() {
    // Deviations ±√3 µm: s² = 4·3/3 = 4.
    let found = job(
        &["10.010432mm", "10.006968mm", "10.010432mm", "10.006968mm"],
        &[],
    );
    assert_eq!(found.mean.decision.verdict, Verdict::Undecided);
    assert!((found.mean.size.standard_uncertainty - 0.001).abs() < 1e-6);
    let settle = found.settle.unwrap();
    assert!(
        (settle.needed * 1000.0 - 1.3 / 1.8595).abs() < 1e-3,
        "{settle:?}"
    );
    assert_eq!(settle.way, Way::MoreReadings(5), "{settle:?}");
    assert!(
        matches!(
            settle.told,
            Settling::More {
                more: More::Readings { n: 5 },
                ..
            }
        ),
        "{settle:?}"
    );
}

/// So many readings about a mean, of this standard deviation: the first above it by what the others are below, each by
/// the same.
fn scattered(mean: f64, deviation: f64, count: usize) -> Vec<String> {
    let n = count as f64;
    let below = deviation / n.sqrt();
    (0..count)
        .map(|index| {
            let off = if index == 0 {
                below * (n - 1.0)
            } else {
                -below
            };
            format!("{:.6}mm", mean + off)
        })
        .collect()
}

/// What is advised settles it when it is done, at the same scatter; one less does not.
#[test]
fn the_advised_number_is_the_fewest_that_settles_it() {
    for (room, count) in [(0.0013, 4), (0.0014, 3), (0.0009, 5), (0.0011, 8)] {
        let measured = |count: usize| {
            let readings = scattered(10.01 - room, 0.002, count);
            let readings: Vec<&str> = readings.iter().map(String::as_str).collect();
            job(&readings, &[])
        };
        let found = measured(count);
        assert_eq!(found.mean.decision.verdict, Verdict::Undecided, "{room}");
        let Some(Way::MoreReadings(more)) = found.settle.map(|settle| settle.way) else {
            panic!("{room}: not by readings");
        };
        let with = |more| measured(count + more).mean.decision.verdict;
        assert_eq!(with(more), Verdict::Accept, "{room}: {more}");
        assert_eq!(with(more - 1), Verdict::Undecided, "{room}: {more}");
    }
}

/// The same of places that were read once each: their spread holds form and, as is usual for the set-up, repeatability.
#[test]
fn the_advised_number_of_places_is_the_fewest_that_settles_it() {
    for (room, count) in [(0.0016, 4), (0.0015, 5), (0.0013, 6)] {
        let measured = |count: usize| {
            let places: Vec<Value> = scattered(10.01 - room, 0.002, count)
                .into_iter()
                .map(|reading| json!({ "readings": [reading] }))
                .collect();
            job(
                &[],
                &[("/readings", json!(places)), ("/scope", Value::Null)],
            )
        };
        let found = measured(count);
        assert_eq!(found.mean.decision.verdict, Verdict::Undecided, "{room}");
        let settle = found.settle.unwrap();
        assert_eq!(settle.told.code(), "settle.more", "{settle:?}");
        let Way::MoreReadings(more) = settle.way else {
            panic!("{settle:?}");
        };
        let with = |more| measured(count + more).mean.decision.verdict;
        assert_eq!(with(more), Verdict::Accept, "{room}: {more}");
        assert_eq!(with(more - 1), Verdict::Undecided, "{room}: {more}");
    }
}

/// The same readings, tight, and a standard of U = 2 µm (u = 1): t₉₅ is 1.6449 for so many degrees of freedom. Needed
/// contribution √((1.3/1.6449)² − u_A²) with u_A = 0.1 µm: 0.7840 µm.
#[test]
fn one_line_smaller() {
    let found = job(
        &[
            "10.0088732mm",
            "10.0085268mm",
            "10.0088732mm",
            "10.0085268mm",
        ],
        &[
            ("/standard/expanded_uncertainty", json!("2um")),
            (
                "/prior",
                json!({ "repeatability": "0.2um", "degrees_of_freedom": 3.0, "drift_limit": "0.0001um" }),
            ),
        ],
    );
    let settle = found.settle.unwrap();
    let Way::SmallerLine { quantity, from, to } = settle.way.clone() else {
        panic!("{settle:?}");
    };
    assert_eq!(quantity, Quantity::Standard);
    assert!((from * 1000.0 - 1.0).abs() < 1e-6);
    assert!((to * 1000.0 - 0.7840).abs() < 1e-3, "{to}");
    assert!(
        matches!(
            settle.told,
            Settling::Line {
                advice: LineAdvice::BetterStandard,
                ..
            }
        ),
        "{settle:?}"
    );
}

/// On the limit itself nothing at hand decides; a size far inside needs nothing; beyond the guard band neither.
#[test]
fn nothing_and_no_need() {
    let near = |middle: f64| {
        let readings: Vec<String> = [1.732, -1.732, 1.732, -1.732]
            .iter()
            .map(|off| format!("{:.6}mm", middle + off / 1000.0))
            .collect();
        let readings: Vec<&str> = readings.iter().map(String::as_str).collect();
        job(&readings, &[])
    };
    let on_the_limit = near(10.01).settle.unwrap();
    assert_eq!(on_the_limit.way, Way::Nothing, "{on_the_limit:?}");
    assert_eq!(on_the_limit.told.code(), "settle.too-near");
    assert_eq!(near(10.0).settle, None);
    assert_eq!(near(10.02).settle, None);
}

/// More readings at one place would settle nothing where the part is meant: more places are asked for.
#[test]
fn one_place_asks_for_more_places() {
    let readings = ["10.010432mm", "10.006968mm", "10.010432mm", "10.006968mm"];
    let found = job(&readings, &[("/scope", Value::Null)]);
    assert_eq!(found.withheld.unwrap().because(), "one-place");
    let told = found.settle.unwrap().told;
    let places = Settling::LetStand {
        what: LetStand::Places,
    };
    assert_eq!(told, places);
}

/// An acceptance without proof is told what would prove it; a rejection by the guard band alone what would lift it.
#[test]
fn near_limit_verdicts_of_other_rules() {
    let readings = ["10.010432mm", "10.006968mm", "10.010432mm", "10.006968mm"];
    for (rule, verdict) in [("simple", Verdict::Accept), ("guard-band", Verdict::Reject)] {
        let found = job(&readings, &[("/rule/name", json!(rule))]);
        assert_eq!(found.mean.decision.verdict, verdict);
        let settle = found.settle.unwrap();
        assert!(matches!(settle.way, Way::MoreReadings(_)), "{settle:?}");
    }
}

/// u_A = 1 µm from four readings and a standard of u = 0.8 µm, with 1.3 µm of room: no number of readings does it (0.8 is
/// left, and 1.3/1.645 needed), nor a standard without error (1 is left). With n readings and a standard of s,
/// u² = 4/n + s² µm² and ν = (n − 1) u⁴ n²/16. Ten: s = 0.4021 µm, just more than the half of it, gives u = 0.7495 µm,
/// ν = 17.75, t₉₅ = 1.7348 and t₉₅ u = 1.3002. Nine: s = 0.4 µm, the half, gives u = 0.7774 µm, ν = 14.8, t₉₅ u = 1.364. So
/// six more.
#[test]
fn readings_and_a_line_together() {
    let found = job(
        &["10.010432mm", "10.006968mm", "10.010432mm", "10.006968mm"],
        &[("/standard/expanded_uncertainty", json!("1.6um"))],
    );
    let settle = found.settle.unwrap();
    let Way::ReadingsAndLine {
        more,
        quantity,
        from,
        to,
    } = settle.way.clone()
    else {
        panic!("{settle:?}");
    };
    assert_eq!((more, quantity), (6, Quantity::Standard));
    assert!((from * 1000.0 - 0.8).abs() < 1e-6);
    assert!((to * 1000.0 - 0.4021).abs() < 1e-3, "{to}");
    assert!(
        matches!(
            settle.told,
            Settling::MoreAndLine {
                more: More::Readings { n: 6 },
                ..
            }
        ),
        "{settle:?}"
    );
    // Done as advised it is settled; with a standard a little worse it is not.
    for (expanded, verdict) in [
        ("0.8000um", Verdict::Accept),
        ("0.8200um", Verdict::Undecided),
    ] {
        let readings = scattered(10.0087, 0.002, 10);
        let readings: Vec<&str> = readings.iter().map(String::as_str).collect();
        let done = job(
            &readings,
            &[("/standard/expanded_uncertainty", json!(expanded))],
        );
        assert_eq!(done.mean.decision.verdict, verdict, "{expanded}");
    }
}

/// A reading a thimble turn (0.5 mm) off is not averaged away: it is taken again.
#[test]
fn a_slip_is_taken_again() {
    let found = job(
        &[
            "10.0001mm",
            "10.0002mm",
            "10.5001mm",
            "10.0000mm",
            "10.0002mm",
        ],
        &[],
    );
    assert_eq!(found.mean.decision.verdict, Verdict::Undecided);
    let settle = found.settle.unwrap();
    assert_eq!(settle.way, Way::TakeAgain(vec![2]));
    assert_eq!(
        settle.told,
        Settling::TakeAgain {
            n: 1,
            readings: vec![3],
            without: Some(Without::One {
                verdict: Verdict::Accept
            }),
        }
    );
}

/// What is owned decides: a better standard in the drawer, or one that is no better.
#[test]
fn the_set_up_at_hand() {
    let mut job = json_job(&["10.0088732mm", "10.0085268mm"], &[]);
    job.standard.expanded_uncertainty = Entered::parse("2um", None).unwrap();
    job.prior.repeatability = Some(Entered::parse("0.2um", None).unwrap());
    job.prior.degrees_of_freedom = Some(50.0);
    let found = inspect(&job).unwrap();
    assert!(matches!(
        found.settle.as_ref().unwrap().way,
        Way::SmallerLine { .. }
    ));
    assert_eq!(at_hand(&job, &found, &Owned::default()), None);
    let owned = |expanded: &str| {
        let mut standard = job.standard.clone();
        standard.id = "s2".to_owned();
        standard.expanded_uncertainty = Entered::parse(expanded, None).unwrap();
        Owned {
            standards: vec![standard],
            ..Owned::default()
        }
    };
    let better = at_hand(&job, &found, &owned("0.4um")).unwrap();
    let set_up = |contacts: &str, standard: &str| Together::Contacts {
        contacts: contacts.to_owned(),
        instrument: "m".to_owned(),
        standard: standard.to_owned(),
    };
    assert!(
        matches!(&better, AtHand::WouldDo { set_up: would, .. } if *would == set_up("flat", "s2")),
        "{better:?}"
    );
    assert_eq!(at_hand(&job, &found, &owned("3um")), Some(AtHand::Nothing));
    // Another pair of faces is another set-up, and on the same standard no better.
    let mut others = owned("3um");
    let mut faces = job.contacts.clone();
    faces.id = "flat-2".to_owned();
    others.contacts.push(faces);
    let worse = at_hand(&job, &found, &others).unwrap();
    let AtHand::NoneBetter { needed, used } = worse else {
        panic!("{worse:?}");
    };
    assert!((needed * 1000.0 - 0.78).abs() < 0.05, "{needed}");
    // A plan holds the form of a part, which nothing is known of before it is measured.
    assert!(used <= 1.05 * found.mean.size.standard_uncertainty);
    // A standard that is better, and not good enough.
    let some = at_hand(&job, &found, &owned("1.3um")).unwrap();
    let AtHand::NotGoodEnough { best, gives, .. } = some else {
        panic!("{some:?}");
    };
    assert_eq!(best, set_up("flat", "s2"));
    assert!(gives < used);
}

/// u = 1 µm by four readings, and 1.64 µm of room. Six readings give t₉₅(5)·2/√6 = 1.6453, seven are enough: with
/// t₉₅(6) = 1.9432 0.844 µm would decide. What is advised is at least a tenth less than what is in use.
#[test]
fn advice_is_worth_following() {
    let readings = ["10.010092mm", "10.006628mm", "10.010092mm", "10.006628mm"];
    let found = job(&readings, &[]);
    assert_eq!(found.mean.decision.verdict, Verdict::Undecided);
    let settle = found.settle.unwrap();
    assert!(
        (settle.needed * 1000.0 - 1.64 / 1.9432).abs() < 1e-3,
        "{settle:?}"
    );
    let Settling::More { from, needed, .. } = settle.told else {
        panic!("{settle:?}");
    };
    assert!(needed <= 0.9 * from, "{needed} of {from}");
    let line = job(
        &[
            "10.0083732mm",
            "10.0083268mm",
            "10.0083732mm",
            "10.0083268mm",
        ],
        &[("/standard/expanded_uncertainty", json!("2um"))],
    );
    let told = line.settle.unwrap().told;
    let Settling::Line {
        line_from, line_to, ..
    } = told
    else {
        panic!("{told:?}");
    };
    assert!(line_to < 0.95 * line_from, "{line_to} of {line_from}");
}

/// Where the set-up promised enough and the readings scatter, no other piece from the drawer is what is missing.
#[test]
fn other_equipment_does_not_mend_scatter() {
    let places = json!([
        { "along": { "text": "head" }, "readings": ["10.0050mm"] },
        { "along": { "text": "middle" }, "readings": ["10.0085mm"] },
        { "along": { "text": "end" }, "readings": ["10.0110mm"] }
    ]);
    let job = json_job(&[], &[("/readings", places)]);
    let found = inspect(&job).unwrap();
    let mut better = job.standard.clone();
    better.id = "s2".to_owned();
    better.expanded_uncertainty = Entered::parse("0.1um", None).unwrap();
    let owned = Owned {
        standards: vec![better],
        ..Owned::default()
    };
    let said = at_hand(&job, &found, &owned).unwrap();
    assert!(matches!(said, AtHand::Readings { .. }), "{said:?}");
}
