//! What is stored reads back to the bit, whatever the numbers are.

use std::fs;
use std::path::{Path, PathBuf};

use metrology::inspection::Job;
use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::bench::Event;
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
fn jobs() -> Vec<Job> {
    let nowhere = std::env::temp_dir().join("midflank-no-ledger-here.db");
    let shelf = Shelf::beside(Some(&nowhere));
    let at = "2026-03-04T05:06:07Z".parse().unwrap();
    demos()
        .iter()
        .filter_map(|path| job_file::read(path, at, &shelf).ok())
        .collect()
}

#[test]
fn every_demo_job_reads_back_as_it_was() {
    let jobs = jobs();
    assert!(jobs.len() >= 14, "{}", jobs.len());
    for job in jobs {
        let text = write(JOB, &job).unwrap();
        assert_eq!(read::<Job>(JOB, &text).unwrap(), job, "{text}");
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_finite_number_in_any_place_reads_back_to_the_bit(
        doubles in proptest::collection::vec(proptest::num::f64::ANY.prop_filter("finite", |x| x.is_finite()), 40),
    ) {
        for job in jobs() {
            let mut document = serde_json::to_value(job.keep()).unwrap();
            let mut next = doubles.iter().cycle();
            numbers(&mut document, &mut |place| *place = json!(next.next().unwrap()));
            let kept = <Job as Keep>::Kept::deserialize(&document).unwrap();
            let job = Job::read(kept).unwrap();
            let text = write(JOB, &job).unwrap();
            let again: Value = serde_json::from_str(&text).unwrap();
            prop_assert_eq!(differences(&document, &again["content"]), []);
            let read_back: Job = read(JOB, &text).unwrap();
            prop_assert_eq!(write(JOB, &read_back).unwrap(), text);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn any_finite_number_in_a_result_reads_back_to_the_bit(
        doubles in proptest::collection::vec(proptest::num::f64::ANY.prop_filter("finite", |x| x.is_finite()), 60),
    ) {
        for job in jobs() {
            let Ok(result) = metrology::inspection::inspect(&job) else {
                continue;
            };
            let result = crate::document::Inspected::of(&job, &result);
            let mut document = serde_json::to_value(result.keep()).unwrap();
            let mut next = doubles.iter().cycle();
            numbers(&mut document, &mut |place| *place = json!(next.next().unwrap()));
            let kept = <crate::document::Inspected as Keep>::Kept::deserialize(&document).unwrap();
            let result = crate::document::Inspected::read(kept).unwrap();
            let text = write(RESULT, &result).unwrap();
            let again: Value = serde_json::from_str(&text).unwrap();
            prop_assert_eq!(differences(&document, &again["content"]), []);
            let read_back: crate::document::Inspected = read(RESULT, &text).unwrap();
            prop_assert_eq!(write(RESULT, &read_back).unwrap(), text);
        }
    }
}

#[test]
fn a_key_more_is_ignored_and_a_key_less_is_named() {
    let job = jobs().remove(0);
    let text = write(JOB, &job).unwrap();
    let mut document: Value = serde_json::from_str(&text).unwrap();
    document["content"]["part"]["colour"] = json!("green");
    assert_eq!(read::<Job>(JOB, &document.to_string()).unwrap(), job);
    document["content"]["part"]
        .as_object_mut()
        .unwrap()
        .remove("serial");
    assert_eq!(
        read::<Job>(JOB, &document.to_string()),
        Err(Unreadable::Missing("part.serial".into()))
    );
    document["schema"] = json!(JOB + 1);
    assert_eq!(
        read::<Job>(JOB, &document.to_string()),
        Err(Unreadable::Schema(JOB + 1))
    );
}

#[test]
fn equipment_and_events_read_back_as_they_were() {
    for job in jobs() {
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
