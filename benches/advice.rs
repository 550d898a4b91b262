//! Which of 150 micrometers, 150 pairs and 150 standards to use, all of which may be: the best five beside every set-up,
//! and which of them would settle an open verdict.

#![allow(clippy::unwrap_used, missing_docs, reason = "a benchmark")]

use divan::{Bencher, black_box};
use metrology::inspection::{
    Contacts, Instrument, Job, Owned, Question, Standard, advise, advise_best, at_hand, inspect,
};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

const PIECES: u32 = 150;

fn main() {
    divan::main();
}

fn pieces<T: DeserializeOwned>(of: impl Fn(u32) -> Value) -> Vec<T> {
    let read = |number| serde_json::from_value(of(number)).unwrap();
    (0..PIECES).map(read).collect()
}

/// No two pieces are alike.
fn owned() -> Owned {
    Owned {
        instruments: pieces::<Instrument>(|n| {
            let most = format!("{}um", 2.0 + f64::from(n * 7 % PIECES) / 100.0);
            json!({
                "id": format!("m{n}"), "range": ["0mm", "25mm"], "resolution": "0.001mm",
                "errors": { "within": { "maximum_permissible_error": most } }
            })
        }),
        contacts: pieces::<Contacts>(|n| {
            let minutes = 4.0 + f64::from(n * 11 % PIECES) / 50.0;
            json!({ "id": format!("c{n}"), "kind": "v-and-cone", "included_angle": 60.0, "half_angle_limit": minutes })
        }),
        standards: pieces::<Standard>(|n| {
            let size = format!("{}mm", 9.0 + f64::from(n) / 100.0);
            let expanded = format!("{}um", 0.5 + f64::from(n * 13 % PIECES) / 200.0);
            json!({
                "id": format!("s{n}"), "size": size, "expanded_uncertainty": expanded,
                "coverage_factor": 2.0, "form": "v-and-cone-rod"
            })
        }),
        wires: Vec::new(),
    }
}

/// A job whose verdict is open, with the first micrometer and pair, and a worse standard than any.
fn job(owned: &Owned) -> Job {
    let mut standard = owned.standards[0].clone();
    "worn".clone_into(&mut standard.id);
    standard.expanded_uncertainty = metrology::units::Entered::parse("4um", None).unwrap();
    serde_json::from_value(json!({
        "part": { "name": "bolt" },
        "measured_at": "2026-03-09T09:40:00Z",
        "measured_on": "2026-03-09",
        "characteristic": { "thread": { "designation": "M10x1.5-6g", "diameter": "pitch-diameter" } },
        "instrument": owned.instruments[0],
        "contacts": owned.contacts[0],
        "standard": standard,
        "zero": { "before": ["9.000mm", "9.000mm"], "after": ["9.000mm", "9.000mm"] },
        "readings": [{ "readings": ["8.996mm"] }, { "readings": ["8.996mm"] }, { "readings": ["8.996mm"] }],
        "prior": {},
        "rule": { "name": "iso14253-1", "parameter": null, "assumed": false }
    }))
    .unwrap()
}

fn question(job: &Job) -> Question {
    Question {
        characteristic: job.characteristic.clone(),
        at: job.measured_at,
        on: job.measured_on,
        repeatability: None,
        material: None,
        temperature: None,
        prior: metrology::inspection::Prior::default(),
        approved: Vec::new(),
    }
}

#[divan::bench(sample_count = 20)]
fn best_five(bencher: Bencher<'_, '_>) {
    let owned = owned();
    let question = question(&job(&owned));
    let all = advise_best(&question, &owned, 5).unwrap();
    assert_eq!(all.set_ups.len() + all.others, 150 * 150);
    bencher.bench_local(|| advise_best(black_box(&question), &owned, 5).unwrap());
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn every_set_up(bencher: Bencher<'_, '_>) {
    let owned = owned();
    let question = question(&job(&owned));
    bencher.bench_local(|| advise(black_box(&question), &owned).unwrap());
}

#[divan::bench(sample_count = 20)]
fn settling_it(bencher: Bencher<'_, '_>) {
    let owned = owned();
    let job = job(&owned);
    let found = inspect(&job).unwrap();
    assert!(at_hand(&job, &found, &owned).is_some());
    bencher.bench_local(|| at_hand(black_box(&job), &found, &owned));
}
