//! Comparison between persons or laboratories by their E_n numbers.

use metrology::study::{Compared, compare};
use serde::Serialize;

use super::told::{shown, symbol};
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::{Dot, Plot, StudyName};
use crate::report::told::Told;
use crate::say;
use crate::words::number;

#[derive(Serialize)]
pub struct ComparisonDocument {
    unit: Option<&'static str>,
    participants: Vec<ComparedDocument>,
}

#[derive(Serialize)]
struct ComparedDocument {
    participant: String,
    difference: f64,
    e_n: f64,
    agrees: bool,
}

pub fn answer(readings: &Readings) -> Result<Answer<ComparisonDocument>, Failure> {
    let compared = readings.study(compare)?;
    let compared_document = |of: &Compared| ComparedDocument {
        participant: of.participant.clone(),
        difference: of.difference,
        e_n: of.e_n,
        agrees: of.agrees,
    };
    let unit = readings.unit()?;
    let document = ComparisonDocument {
        unit: symbol(unit),
        participants: compared.iter().map(compared_document).collect(),
    };
    let mut words = Told::default();
    let told = &mut words;
    for of in &compared {
        let verdict = if of.agrees {
            say!("studied.agrees")
        } else {
            say!("studied.disagrees")
        };
        told.sentence(say!(
            "studied.e-n",
            participant = of.participant,
            difference = shown(of.difference, unit),
            value = number::fixed_beside(of.e_n, f64::copysign(1.0, of.e_n), 2),
            verdict = verdict
        ));
    }
    let dot = |(index, of): (usize, &Compared)| Dot {
        x: index as f64 + 1.0,
        y: of.difference,
        ends: None,
        is_marked: !of.agrees,
    };
    let name = |(index, of): (usize, &Compared)| (index as f64 + 1.0, of.participant.clone());
    let mut answer = Answer::of(StudyName::Comparison, document, words);
    answer.plot(Plot {
        title: say!("study-sheet.differences").to_owned(),
        unit: symbol(unit).map(str::to_owned),
        series: vec![(
            String::new(),
            compared.iter().enumerate().map(dot).collect(),
        )],
        levels: vec![(0.0, say!("study-sheet.reference").to_owned())],
        under: compared.iter().enumerate().map(name).collect(),
        ..Plot::default()
    });
    Ok(answer)
}
