//! Readings kept as a trial: what was read, by which equipment, and that it shows nothing.

use ledger::Entry;
use metrology::inspection::Place;
use metrology::units::{Celsius, Entered};
use serde::Serialize;
use workshop::event::Spot;
use workshop::trial::Trial;

use super::sentence;
use crate::failure::Failure;
use crate::kept;
use crate::say;
use crate::words::{self, number};

pub fn read(entry: &Entry) -> Result<Trial, Failure> {
    let read = kept::read(kept::TRIAL, &entry.content.inputs);
    read.map_err(|why| Failure::from(workshop::Error::outside(why)))
}

/// For programs.
#[derive(Serialize)]
pub struct TrialDocument<'a> {
    trial: bool,
    entry: String,
    part: &'a str,
    barred: Vec<String>,
}

pub fn document<'a>(trial: &'a Trial, entry: &Entry) -> TrialDocument<'a> {
    TrialDocument {
        trial: true,
        entry: entry.id().to_string(),
        part: &trial.job.part.name,
        barred: trial.barred.iter().map(words::said).collect(),
    }
}

/// On one line.
pub fn line(trial: &Trial) -> String {
    let part = &trial.job.part;
    let sample = part.sample.as_deref().map_or_else(String::new, |sample| {
        say!("report.of-sample", sample = sample)
    });
    say!("trial.line", part = part.name, sample = sample)
}

/// What the bench says where a job or the pieces of a run end as a trial.
pub fn kept_at_bench(entry: &Entry) -> Result<String, Failure> {
    let trial = read(entry)?;
    let barred = words::list(trial.barred.iter().map(words::said));
    Ok(say!("trial.kept", barred = barred, entry = entry.id()))
}

/// All of it.
pub fn report(trial: &Trial) -> String {
    let job = &trial.job;
    let mut lines = vec![say!("trial.heading").to_owned()];
    lines.extend(trial.barred.iter().map(|one| sentence(&words::said(one))));
    lines.push(line(trial));
    if let Some(lot) = &job.part.lot {
        lines.push(say!("trial.lot", lot = lot));
    }
    lines.push(say!(
        "trial.set-up",
        instrument = job.instrument.id,
        contacts = job.contacts.id,
        standard = job.standard.id
    ));
    if let Some(wires) = &job.wires {
        lines.push(say!("trial.wires", id = wires.id));
    }
    if let Some(read) = &job.temperature {
        let degrees = |celsius: Celsius| number::celsius(celsius.degrees(), 1);
        let (part, standard) = (degrees(read.part), degrees(read.standard));
        lines.push(say!("trial.temperatures", part = part, standard = standard));
    }
    if let Some(thermometer) = job.thermometer() {
        lines.push(say!("trial.thermometer", id = thermometer.id));
    }
    lines.push(say!(
        "trial.measured",
        at = number::on_the_wall(job.measured_at)
    ));
    lines.push(say!(
        "trial.zero-before",
        readings = texts(&job.zero.before)
    ));
    if !job.zero.after.is_empty() {
        lines.push(say!("trial.zero-after", readings = texts(&job.zero.after)));
    }
    lines.extend(job.readings.iter().map(at_place));
    lines.push(String::new());
    lines.join("\n")
}

fn at_place(place: &Place) -> String {
    let readings = texts(&place.readings);
    if place.along.is_none() && place.angle.is_none() {
        return say!("trial.readings", readings = readings);
    }
    let spot = Spot {
        along: place.along.clone(),
        angle: place.angle,
    };
    let place = words::equipment::spot(&spot);
    say!("trial.readings-at", place = place, readings = readings)
}

fn texts(readings: &[Entered]) -> String {
    words::list(readings.iter().map(number::entered))
}
