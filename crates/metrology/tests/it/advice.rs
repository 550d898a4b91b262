//! The best set-ups, and the one that settles a verdict, against every combination tried by itself.

use metrology::inspection::{
    AtHand, Contacts, Instrument, Job, Owned, Question, SetUp, Standard, Together, WireSet, advise,
    advise_best, at_hand, inspect,
};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

/// Numbers of a fixed sequence.
struct Draw(u64);

impl Draw {
    fn below(&mut self, count: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) % count
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[usize::try_from(self.below(of.len() as u64)).unwrap()]
    }

    fn some(&mut self, value: Value) -> Value {
        if self.below(2) == 0 {
            Value::Null
        } else {
            value
        }
    }
}

fn pieces<T: DeserializeOwned>(count: u64, mut of: impl FnMut(u64) -> Value) -> Vec<T> {
    (0..count)
        .map(|number| {
            let mut piece = of(number);
            // What is not known is not written.
            piece.as_object_mut().unwrap().retain(|key, value| {
                !value.is_null()
                    || matches!(
                        key.as_str(),
                        "included_angle" | "pitch_range" | "half_angle_limit"
                    )
            });
            serde_json::from_value(piece).unwrap()
        })
        .collect()
}

/// A shelf of everything: some of it alike, some of it not fit.
fn shelf(draw: &mut Draw) -> Owned {
    let instruments = pieces::<Instrument>(8, |n| {
        let inch = draw.below(4) == 0;
        let (from, to) = match (inch, draw.below(3)) {
            (true, _) => ("0in", "1in"),
            (false, 0) => ("25mm", "50mm"),
            (false, 1) => ("0mm", "30mm"),
            (false, _) => ("0mm", "25mm"),
        };
        let errors = if draw.below(2) == 0 {
            json!({ "within": { "maximum_permissible_error": draw.one(&["2um", "3um", "4um", "-1um"]) } })
        } else {
            json!({ "curve": {
                "points": [
                    { "at": "0mm", "error": "0um" },
                    { "at": "10.3mm", "error": draw.one(&["0.5um", "1um", "2um"]) },
                    { "at": "50mm", "error": "1um" }
                ],
                "expanded_uncertainty": draw.one(&["0.6um", "1um"]), "coverage_factor": 2.0
            } })
        };
        json!({
            "id": format!("m{}", (n * 5) % 8), "range": [from, to],
            "resolution": draw.one(&["0.001mm", "0.002mm", "0.01mm"]), "errors": errors,
            "force": draw.some(json!(5.0)), "spindle_turns": draw.some(json!(true)),
            "due": draw.one(&["2026-01-01", "2027-01-01", "2027-02-01", "2027-03-01"]),
        })
    });
    let contacts = pieces::<Contacts>(12, |n| {
        let kind = draw.one(&[
            "v-and-cone",
            "v-and-cone",
            "flat",
            "flat",
            "small-flat",
            "sphere-and-flat",
            "disc",
            "blade",
        ]);
        let sphere = kind == "sphere-and-flat";
        let flat = matches!(kind, "flat" | "small-flat" | "disc");
        json!({
            "id": format!("c{}", (n * 7) % 12), "kind": kind, "included_angle": draw.some(json!(60.0)),
            "pitch_range": null, "half_angle_limit": draw.some(json!(draw_minutes(n))),
            "tip_radius": sphere.then_some(["1mm", "1.5mm", "2mm"][n as usize % 3]),
            "face": flat.then_some(["6.35mm", "20mm"][n as usize % 2]),
            "thickness": (kind == "blade").then_some("0.4mm"),
            "flatness": if flat { draw.some(json!("0.3um")) } else { Value::Null },
            "material": draw.some(json!("steel")),
            "force": draw.some(json!(1.0 + n as f64)),
        })
    });
    let standards = pieces::<Standard>(10, |n| {
        json!({
            "id": format!("s{n}"), "size": draw.one(&["2mm", "5mm", "9mm", "9.026mm", "10mm", "25mm"]),
            "expanded_uncertainty": draw.one(&["0.3um", "0.5um", "1um"]), "coverage_factor": 2.0,
            "form": draw.one(&["plain", "plain", "v-and-cone-rod", "thread-plug"]),
        })
    });
    let wires = pieces::<WireSet>(3, |n| {
        json!({
            "id": format!("w{n}"), "diameter": draw.one(&["0.866mm", "0.9mm", "2mm"]),
            "expanded_uncertainty": draw.one(&["0.3um", "0.5um"]), "coverage_factor": 2.0,
        })
    });
    Owned {
        instruments,
        contacts,
        standards,
        wires,
    }
}

fn draw_minutes(n: u64) -> f64 {
    [3.0, 5.0, 8.0][n as usize % 3]
}

fn measured() -> [Value; 5] {
    let feature = |lower: &str, upper: &str, feature: Value| json!({ "feature": { "name": "it", "lower": lower, "upper": upper, "feature": feature } });
    [
        json!({ "thread": { "designation": "M10x1.5-6g", "diameter": "pitch-diameter" } }),
        json!({ "thread": { "designation": "M10x1.5-6g", "diameter": "major-diameter" } }),
        json!({ "stated": { "name": "pin", "lower": "9.99mm", "upper": "10.01mm" } }),
        feature(
            "1.9mm",
            "2.2mm",
            json!({ "tube-wall": { "bore": "20mm", "definition": null, "percent_limit": null } }),
        ),
        feature(
            "1.9mm",
            "2.2mm",
            json!({ "soft-thickness": {
                "thickness": "free", "modulus_mpa": 5.0, "modulus_relative_limit": 0.3, "dwell_seconds": 5.0
            } }),
        ),
    ]
}

fn question(characteristic: &Value) -> Question {
    Question {
        characteristic: serde_json::from_value(characteristic.clone()).unwrap(),
        at: "2026-03-09T09:40:00Z".parse().unwrap(),
        on: "2026-03-09".parse().unwrap(),
        repeatability: None,
        material: Some("steel".to_owned()),
        temperature: None,
        prior: metrology::inspection::Prior::default(),
        approved: Vec::new(),
    }
}

/// Each pair in each micrometer, with each set of wires and without, asked about by itself.
fn each(question: &Question, owned: &Owned) -> Vec<SetUp> {
    let mut all = Vec::new();
    for contacts in &owned.contacts {
        for instrument in &owned.instruments {
            let alone = |wires: Vec<WireSet>| {
                let one = Owned {
                    instruments: vec![instrument.clone()],
                    contacts: vec![contacts.clone()],
                    standards: owned.standards.clone(),
                    wires,
                };
                advise(question, &one).unwrap().set_ups
            };
            all.extend(alone(Vec::new()));
            for wires in &owned.wires {
                let over = alone(vec![wires.clone()]);
                all.extend(over.into_iter().filter(|set_up| set_up.wires.is_some()));
            }
        }
    }
    // What takes more than half of the tolerance comes last, whatever its contacts are made for.
    let rank = |set_up: &SetUp| match set_up.share {
        Some(share) if share > 0.5 => (true, 0),
        _ => (false, set_up.unsuited),
    };
    all.sort_by(|a, b| {
        let u = |set_up: &SetUp| set_up.plan.size.expanded_uncertainty;
        (rank(a).cmp(&rank(b)))
            .then_with(|| u(a).total_cmp(&u(b)))
            .then_with(|| {
                (&a.contacts, &a.wires, &a.instrument).cmp(&(&b.contacts, &b.wires, &b.instrument))
            })
    });
    all
}

fn told(set_ups: &[SetUp]) -> Vec<String> {
    let one = |one: &SetUp| {
        let SetUp {
            contacts,
            wires,
            instrument,
            standard,
            plan,
            ..
        } = one;
        let (u, reading) = (
            plan.size.expanded_uncertainty.to_bits(),
            plan.expected_reading,
        );
        format!("{contacts} {wires:?} {instrument} {standard} {u} {reading}")
    };
    set_ups.iter().map(one).collect()
}

#[test]
fn the_best_are_the_best_of_all() {
    let mut draw = Draw(1);
    let (mut some, mut none) = (0, 0);
    for _ in 0..6 {
        let owned = shelf(&mut draw);
        for characteristic in measured() {
            let question = question(&characteristic);
            let every = each(&question, &owned);
            let best = advise_best(&question, &owned, 5).unwrap();
            let first = &every[..every.len().min(5)];
            assert_eq!(told(&best.set_ups), told(first), "{characteristic}");
            assert_eq!(
                best.set_ups.len() + best.others,
                every.len(),
                "{characteristic}"
            );
            let all = advise(&question, &owned).unwrap();
            assert_eq!(told(&all.set_ups), told(&every), "{characteristic}");
            assert_eq!(all.others, 0);
            for pair in &owned.contacts {
                let refused = all
                    .refused
                    .iter()
                    .any(|one| one.kind == "contacts" && one.id == pair.id);
                let used = every.iter().any(|set_up| set_up.contacts == pair.id);
                assert_ne!(refused, used, "{} {characteristic}", pair.id);
            }
            if every.len() > 5 {
                some += 1
            } else {
                none += 1
            }
        }
    }
    assert!(some > 10 && none > 0, "{some} {none}");
}

/// What is taken from the drawer for an open verdict: the fewest pieces that are enough, of those the best.
#[test]
fn what_settles_it_is_the_best_of_all() {
    let mut draw = Draw(7);
    let (mut enough, mut not_enough) = (0, 0);
    for round in 0..400 {
        let owned = shelf(&mut draw);
        let over_wires = round % 2 == 0;
        let Some(job) = open(&owned, over_wires, &mut draw) else {
            continue;
        };
        let Ok(found) = inspect(&job) else { continue };
        let Some(said) = at_hand(&job, &found, &owned) else {
            continue;
        };
        let others = others(&job, &owned);
        let u = |set_up: &SetUp| set_up.plan.size.standard_uncertainty;
        let expected = match said {
            AtHand::WouldDo { needed, .. } => {
                enough += 1;
                let good = others.iter().filter(|(_, set_up)| u(set_up) <= needed);
                good.min_by(|(a, one), (b, other)| a.cmp(b).then(u(one).total_cmp(&u(other))))
            }
            AtHand::NotGoodEnough { .. } => {
                not_enough += 1;
                others
                    .iter()
                    .min_by(|(_, one), (_, other)| u(one).total_cmp(&u(other)))
            }
            _ => continue,
        };
        let (AtHand::WouldDo { set_up, gives, .. }
        | AtHand::NotGoodEnough {
            best: set_up,
            gives,
            ..
        }) = said
        else {
            continue;
        };
        let (_, expected) = expected.unwrap();
        assert_eq!(gives, u(expected));
        assert_eq!(set_up, together(expected));
    }
    assert!(enough > 20 && not_enough > 5, "{enough} {not_enough}");
}

/// A job with a piece of each kind, near its limit.
fn open(owned: &Owned, over_wires: bool, draw: &mut Draw) -> Option<Job> {
    let kind = if over_wires { "flat" } else { "v-and-cone" };
    let contacts = owned
        .contacts
        .iter()
        .find(|pair| json!(pair.kind) == kind)?;
    let form = if over_wires {
        "plain"
    } else {
        "v-and-cone-rod"
    };
    let standard = owned
        .standards
        .iter()
        .find(|standard| json!(standard.form) == form)?;
    let standard_size = format!("{}mm", standard.size.value().mm());
    let wires = owned.wires.first().filter(|_| over_wires);
    let above = 6.0 + draw.below(40) as f64;
    let reading = format!(
        "{:.4}mm",
        if over_wires { 10.163 } else { 8.862 } + above / 1e4
    );
    let mut job = json!({
        "part": { "name": "bolt" },
        "measured_at": "2026-03-09T09:40:00Z",
        "measured_on": "2026-03-09",
        "characteristic": measured()[0],
        "instrument": owned.instruments.first()?,
        "contacts": contacts,
        "standard": standard,
        "zero": { "before": [standard_size, standard_size], "after": [standard_size, standard_size] },
        "readings": [{ "readings": [reading] }, { "readings": [reading] }, { "readings": [reading] }],
        "temperature": { "part": 20.0, "standard": 20.0, "standard_uncertainty": 0.5, "part_material": "steel", "standard_material": "steel" },
        "prior": {},
        "rule": { "name": "iso14253-1", "parameter": null, "assumed": false }
    });
    if let Some(wires) = wires {
        job["wires"] = json!(wires);
    }
    serde_json::from_value(job).ok()
}

/// Every other set-up, with how many of its pieces are others.
fn others(job: &Job, owned: &Owned) -> Vec<(usize, SetUp)> {
    let question = question(&measured()[0]);
    let mut all = each(&question, owned);
    for standard in &owned.standards {
        if standard.expanded_uncertainty.value() < job.standard.expanded_uncertainty.value() {
            let alone = Owned {
                instruments: vec![job.instrument.clone()],
                contacts: vec![job.contacts.clone()],
                standards: vec![standard.clone()],
                wires: job.wires.iter().cloned().collect(),
            };
            let with = each(&question, &alone);
            all.extend(
                with.into_iter()
                    .filter(|one| one.wires.is_some() == job.wires.is_some()),
            );
        }
    }
    let wires = job.wires.as_ref().map(|wires| wires.id.clone());
    let changes = |one: &SetUp| {
        usize::from(one.instrument != job.instrument.id)
            + usize::from(one.contacts != job.contacts.id)
            + usize::from(one.standard != job.standard.id)
            + usize::from(one.wires != wires)
    };
    let counted = all.into_iter().map(|one| (changes(&one), one));
    counted.filter(|(changes, _)| *changes > 0).collect()
}

fn together(set_up: &SetUp) -> Together {
    let SetUp {
        contacts,
        instrument,
        standard,
        wires,
        ..
    } = set_up.clone();
    match wires {
        Some(wires) => Together::Wires {
            wires,
            contacts,
            instrument,
            standard,
        },
        None => Together::Contacts {
            contacts,
            instrument,
            standard,
        },
    }
}
