//! What is stored reads back to the bit, whatever the numbers are.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use metrology::inspection::{Job, inspect};
use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::document::Inspected;
use crate::event::Event;
use crate::job_file;
use crate::register::{Equipment, Shelf};

fn demos() -> Vec<PathBuf> {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let mut all = Vec::new();
    for folder in [demo.clone(), demo.join("features")] {
        for file in fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "toml") {
                all.push(path);
            }
        }
    }
    all
}

/// The demo jobs that describe all their equipment: every feature is among them.
static JOBS: LazyLock<Vec<Job>> = LazyLock::new(|| {
    let nowhere = std::env::temp_dir().join("midflank-no-ledger-here.db");
    let shelf = Shelf::beside(&nowhere);
    let at = "2096-03-04T05:06:07Z".parse::<Timestamp>().unwrap();
    demos()
        .iter()
        .filter_map(|path| job_file::read(path, at, &shelf).ok())
        .collect()
});

/// What they give.
static RESULTS: LazyLock<Vec<Inspected>> = LazyLock::new(|| {
    JOBS.iter()
        .filter_map(|job| Some(Inspected::of(job, &inspect(job).ok()?)))
        .collect()
});

#[test]
fn every_demo_job_reads_back_as_it_was() {
    assert!(JOBS.len() >= 14, "{}", JOBS.len());
    assert_eq!(RESULTS.len(), JOBS.len());
    for job in &*JOBS {
        let text = write(JOB, job).unwrap();
        assert_eq!(read::<Job>(JOB, &text).unwrap(), *job, "{text}");
    }
}

/// Every number in a document, with its place.
fn numbers(value: &mut Value, change: &mut dyn FnMut(&mut Value)) {
    match value {
        Value::Number(number) if number.is_f64() => change(value),
        Value::Array(all) => all.iter_mut().for_each(|one| numbers(one, change)),
        Value::Object(all) => all.values_mut().for_each(|one| numbers(one, change)),
        _ => {}
    }
}

/// Puts the numbers into every place of the stored form in turn, and reads what that gives back.
fn reads_back_to_the_bit<T: Keep>(
    schema: u32,
    what: &T,
    doubles: &[f64],
) -> Result<(), TestCaseError> {
    let mut document = serde_json::to_value(what.keep()).unwrap();
    let mut next = doubles.iter().cycle();
    numbers(&mut document, &mut |place| {
        *place = json!(next.next().unwrap());
    });
    let changed = T::read(T::Kept::deserialize(&document).unwrap()).unwrap();
    let text = write(schema, &changed).unwrap();
    let again: Value = serde_json::from_str(&text).unwrap();
    prop_assert_eq!(differences(&document, &again["content"]), []);
    let read_back: T = read(schema, &text).unwrap();
    prop_assert_eq!(write(schema, &read_back).unwrap(), text);
    Ok(())
}

fn finite(count: usize) -> impl Strategy<Value = Vec<f64>> {
    let one = proptest::num::f64::ANY.prop_filter("finite", |x| x.is_finite());
    proptest::collection::vec(one, count)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_finite_number_in_any_place_reads_back_to_the_bit(doubles in finite(40)) {
        for job in &*JOBS {
            reads_back_to_the_bit(JOB, job, &doubles)?;
        }
    }

    #[test]
    fn any_finite_number_in_a_result_reads_back_to_the_bit(doubles in finite(60)) {
        for result in &*RESULTS {
            reads_back_to_the_bit(RESULT, result, &doubles)?;
        }
    }
}

#[test]
fn a_key_more_is_ignored_and_a_key_less_is_named() {
    let job = &JOBS[0];
    let text = write(JOB, job).unwrap();
    let mut document: Value = serde_json::from_str(&text).unwrap();
    document["content"]["part"]["colour"] = json!("green");
    assert_eq!(read::<Job>(JOB, &document.to_string()).unwrap(), *job);
    document["content"]["part"]
        .as_object_mut()
        .unwrap()
        .remove("serial");
    assert_eq!(
        read::<Job>(JOB, &document.to_string()),
        Err(Unreadable::Missing {
            key: "part.serial".into()
        })
    );
    document["schema"] = json!(JOB + 1);
    assert_eq!(
        read::<Job>(JOB, &document.to_string()),
        Err(Unreadable::Schema { number: JOB + 1 })
    );
}

#[test]
fn equipment_and_events_read_back_as_they_were() {
    for job in &*JOBS {
        let mut pieces = vec![
            Equipment::Instrument(job.instrument.clone()),
            Equipment::Contacts(job.contacts.clone()),
            Equipment::Standard(job.standard.clone()),
        ];
        pieces.extend(job.wires.clone().map(Equipment::Wires));
        for piece in pieces {
            let text = write(EQUIPMENT, &piece).unwrap();
            assert_eq!(read::<Equipment>(EQUIPMENT, &text).unwrap(), piece);
        }
        let events = [
            Event::Characteristic {
                characteristic: job.characteristic.clone(),
            },
            Event::Rule {
                rule: job.rule.clone(),
            },
            Event::Temperature {
                temperature: job.temperature.clone(),
            },
            Event::Drawing { drawing: None },
            Event::Dropped,
        ];
        for event in events {
            let text = write(EVENT, &event).unwrap();
            assert_eq!(read::<Event>(EVENT, &text).unwrap(), event);
        }
    }
}
