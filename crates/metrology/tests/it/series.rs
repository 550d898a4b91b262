//! Pieces of a lot by numbers alone: each as the whole inspection has it, to the bit.

use metrology::inspection::{Job, Place, Series, inspect};
use metrology::message::Value as Said;
use metrology::units::Entered;
use serde_json::{Value, json};

/// Numbers drawn at random, the same every time (a linear congruential generator; Knuth's MMIX constants, from memory).
struct Random(u64);

impl Random {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

fn curve() -> Value {
    let points = [
        (0, 0.0),
        (5, 0.8),
        (10, 0.9),
        (15, 1.6),
        (20, 1.8),
        (25, 1.7),
    ];
    let points: Vec<Value> = points
        .iter()
        .map(|(at, error)| json!({ "at": format!("{at}mm"), "error": format!("{error}um") }))
        .collect();
    json!({ "curve": { "points": points, "expanded_uncertainty": "0.8um", "coverage_factor": 2.0, "periodic_error": null } })
}

/// Set-ups of every kind that a lot has.
fn set_ups() -> Vec<(&'static str, Value)> {
    let screw: Value = serde_json::from_str(include_str!("../../examples/screw.json")).unwrap();
    let with = |changes: &[(&str, Value)]| {
        let mut job = screw.clone();
        for (pointer, value) in changes {
            let (parent, key) = pointer.rsplit_once('/').unwrap();
            job.pointer_mut(parent).unwrap()[key] = value.clone();
        }
        job
    };
    let rule = |name: &str, parameter: Value| {
        (
            "/rule",
            json!({ "name": name, "parameter": parameter, "assumed": false }),
        )
    };
    let bare = [
        ("/prior", json!({})),
        ("/instrument/resolution", json!("0.001mm")),
    ];
    let [no_prior, display] = bare.clone();
    let room = ("/temperature", Value::Null);
    let open = ("/zero/after", json!([]));
    let errors = ("/instrument/errors", curve());
    let size = (
        "/characteristic",
        json!({ "stated": { "name": "", "lower": "8.862mm", "upper": "8.994mm" } }),
    );
    let flat = (
        "/contacts",
        json!({ "id": "flat", "kind": "flat", "included_angle": null, "pitch_range": null }),
    );
    let plain = (
        "/standard",
        json!({ "id": "block", "form": "plain", "size": "9.9994mm", "expanded_uncertainty": "0.6um", "coverage_factor": 2.0 }),
    );
    let wires = (
        "/wires",
        json!({ "id": "w", "diameter": "0.895mm", "expanded_uncertainty": "0.5um", "coverage_factor": 2.0, "calibrated_under_force": false }),
    );
    vec![
        ("as given", with(&[])),
        ("curve", with(std::slice::from_ref(&errors))),
        (
            "curve, nothing known",
            with(&[errors.clone(), no_prior.clone(), display.clone()]),
        ),
        ("nothing known", with(&bare)),
        (
            "nothing read of the room",
            with(std::slice::from_ref(&room)),
        ),
        (
            "room",
            with(&[room.clone(), ("/room", json!({ "part_material": "brass" }))]),
        ),
        ("open", with(&[open.clone(), errors.clone()])),
        (
            "one zero reading",
            with(&[
                ("/zero/before", json!(["10.001mm"])),
                open.clone(),
                no_prior.clone(),
            ]),
        ),
        (
            "zero moved",
            with(&[("/zero/after", json!(["10.009mm", "10.009mm"]))]),
        ),
        (
            "zero far",
            with(&[(
                "/zero",
                json!({ "before": ["10.021mm", "10.021mm"], "after": ["10.021mm", "10.021mm"] }),
            )]),
        ),
        ("form stated", with(&[("/prior/form", json!("3um"))])),
        (
            "flat size",
            with(&[
                size.clone(),
                flat.clone(),
                plain.clone(),
                errors.clone(),
                no_prior.clone(),
            ]),
        ),
        ("one place asked for", with(&[("/scope", json!("place"))])),
        (
            "monte carlo",
            with(&[(
                "/monte_carlo",
                json!({ "seed": 1, "most_trials": 10_000, "digits": 1 }),
            )]),
        ),
        ("wires", with(&[flat.clone(), plain.clone(), wires])),
        ("simple", with(&[rule("simple", Value::Null)])),
        ("4:1", with(&[rule("simple", json!("0.25"))])),
        ("guard band", with(&[rule("guard-band", json!("1"))])),
        ("four", with(&[rule("guard-band-four", json!("1"))])),
        ("stringent", with(&[rule("stringent", json!("0.8"))])),
        ("relaxed", with(&[rule("relaxed", json!("0.8"))])),
        ("probability", with(&[rule("probability", json!("0.95"))])),
        ("false accept", with(&[rule("false-accept-2", Value::Null)])),
        (
            "tight",
            with(&[
                size,
                ("/characteristic/stated/upper", json!("8.868mm")),
                flat,
                plain,
            ]),
        ),
    ]
}

/// A piece read at so many places, mostly a good one.
fn piece(random: &mut Random, places: usize, job: &Value) -> Vec<Place> {
    let shift = if job.get("wires").is_some_and(|wires| !wires.is_null()) {
        370
    } else {
        0
    };
    let spread = [3, 5, 20, 200][random.below(4) as usize];
    let size = match random.below(4) {
        0 => 8_840 + random.below(180),
        1 => 8_862 + random.below(8),
        _ => 8_870 + random.below(110),
    } + shift;
    (0..places)
        .map(|place| {
            let readings = (0..=random.below(3)).map(|_| {
                let shown = size + random.below(spread);
                let coarse = random.below(40) == 0;
                let slip = if random.below(200) == 0 { 500 } else { 0 };
                let text = match coarse {
                    true => format!(
                        "{}.{:02}mm",
                        (shown + slip) / 1000,
                        (shown + slip) % 1000 / 10
                    ),
                    false => format!("{}.{:03}mm", (shown + slip) / 1000, (shown + slip) % 1000),
                };
                Entered::parse(&text, None).unwrap()
            });
            Place {
                along: (places > 1).then(|| Said::text(format!("place {place}"))),
                angle: None,
                readings: readings.collect(),
            }
        })
        .collect()
}

/// Fewer decimals than the stated display shows are a matter of words: the piece is inspected whole, and flagged. Without a
/// statement they are none.
#[test]
fn a_piece_that_lost_a_digit_is_inspected_whole() {
    let screw: Value = serde_json::from_str(include_str!("../../examples/screw.json")).unwrap();
    let briefly = |job: Value, texts: [&str; 3]| {
        let mut job: Job = serde_json::from_value(job).unwrap();
        let mut series = Series::of(&job).unwrap();
        let read = |text| Entered::parse(text, None).unwrap();
        job.readings = texts
            .iter()
            .map(|text| Place {
                along: None,
                angle: None,
                readings: vec![read(text)],
            })
            .collect();
        let places: Vec<[_; 1]> = texts
            .map(|text| [(read(text).value(), read(text).resolution())])
            .to_vec();
        let brief = series.brief(places.iter().map(<[_; 1]>::as_slice));
        let whole = inspect(&job).unwrap();
        let because = whole.withheld.map(|why| why.because().to_owned());
        (brief.is_some(), because)
    };
    let mut stated = screw;
    stated["readings"] = json!([
        { "readings": ["8.928mm"] }, { "readings": ["8.927mm"] }, { "readings": ["8.929mm"] }
    ]);
    stated["instrument"]["resolution"] = json!("0.001mm");
    let flagged = Some("fewer-decimals".to_owned());
    let whole = ["8.928mm", "8.930mm", "8.929mm"];
    assert_eq!(briefly(stated.clone(), whole), (true, None));
    let one = ["8.928mm", "8.93mm", "8.929mm"];
    assert_eq!(briefly(stated.clone(), one), (false, None));
    let all = ["8.93mm", "8.93mm", "8.92mm"];
    assert_eq!(briefly(stated, all), (false, flagged));
}

#[test]
fn each_piece_is_that_of_the_whole_inspection() {
    let mut random = Random(18);
    for (name, set_up) in set_ups() {
        let job: Job = serde_json::from_value(set_up.clone())
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        let mut brief_ones = 0;
        for places in [1, 2, 3, 4, 7] {
            let mut series: Option<Series> = None;
            for _ in 0..if cfg!(debug_assertions) { 8 } else { 200 } {
                let mut job = job.clone();
                job.readings = piece(&mut random, places, &set_up);
                let whole = inspect(&job);
                series = series.or_else(|| Series::of(&job));
                let Some(series) = &mut series else {
                    continue;
                };
                let shown: Vec<Vec<_>> = job
                    .readings
                    .iter()
                    .map(|place| {
                        place
                            .readings
                            .iter()
                            .map(|one| (one.value(), one.resolution()))
                            .collect()
                    })
                    .collect();
                let Some(brief) = series.brief(shown.iter().map(Vec::as_slice)) else {
                    continue;
                };
                brief_ones += 1;
                let whole = whole.unwrap_or_else(|error| panic!("{name}: {error}"));
                let governing = whole.governing();
                assert_eq!(brief.size, governing.size, "{name}");
                assert_eq!(brief.verdict, whole.verdict(), "{name}");
                assert_eq!(brief.provisional, whole.is_provisional(), "{name}");
                assert_eq!(brief.withheld, whole.withheld, "{name}");
                let budget = governing.budget.iter();
                let budget: Vec<_> = budget
                    .map(|line| (line.quantity, line.line.contribution))
                    .collect();
                let all: Vec<_> = brief.contributions(|_| true).collect();
                assert_eq!(all, budget, "{name}");
            }
        }
        println!("{name}: {brief_ones}");
        let whole = [
            "nothing read of the room",
            "one zero reading",
            "zero moved",
            "zero far",
            "monte carlo",
            "wires",
        ];
        assert_eq!(brief_ones > 0, !whole.contains(&name), "{name}");
    }
}
