//! Agreement of ratings by eye or gauge.

use metrology::study::{Agreeing, Agreement, Kappa};
use serde::Serialize;

use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::told::Told;
use crate::say;
use crate::words::number;

#[derive(Serialize)]
pub struct AgreementDocument {
    pairs: Vec<PairDocument>,
    to_reference: Vec<PairDocument>,
    fleiss: Option<KappaDocument>,
    parts: usize,
    unanimous: usize,
}

#[derive(Serialize)]
struct PairDocument {
    one: String,
    other: Option<String>,
    #[serde(flatten)]
    kappa: KappaDocument,
}

#[derive(Serialize)]
struct KappaDocument {
    n: usize,
    observed: f64,
    expected: f64,
    kappa: f64,
}

impl KappaDocument {
    const fn of(kappa: Kappa) -> Self {
        Self {
            n: kappa.n,
            observed: kappa.observed,
            expected: kappa.expected,
            kappa: kappa.kappa,
        }
    }
}

impl PairDocument {
    fn of(agreeing: &Agreeing) -> Self {
        Self {
            one: agreeing.one.clone(),
            other: agreeing.other.clone(),
            kappa: KappaDocument::of(agreeing.kappa),
        }
    }
}

pub fn answer(readings: &Readings) -> Result<Answer<AgreementDocument>, Failure> {
    let study = readings.study(Agreement::read)?;
    let document = AgreementDocument {
        pairs: study.pairs.iter().map(PairDocument::of).collect(),
        to_reference: study.to_reference.iter().map(PairDocument::of).collect(),
        fleiss: study.all.map(KappaDocument::of),
        parts: study.unanimous.1,
        unanimous: study.unanimous.0,
    };
    let mut words = Told::default();
    let told = &mut words;
    for agreeing in study.pairs.iter().chain(&study.to_reference) {
        let other = agreeing.other.as_deref();
        told.sentence(say!(
            "studied.kappa",
            one = agreeing.one,
            other = other.unwrap_or(say!("studied.reference")),
            kappa = number::fixed(agreeing.kappa.kappa, 3),
            agreed = number::fixed_percent(agreeing.kappa.observed, 1)
        ));
    }
    if let Some(all) = study.all {
        told.sentence(say!("studied.fleiss", kappa = number::fixed(all.kappa, 3)));
    }
    told.sentence(say!(
        "studied.unanimous",
        alike = study.unanimous.0,
        parts = study.unanimous.1
    ));
    told.sentence(say!("studied.kappa-guide"));
    Ok(Answer::of(StudyName::Agreement, document, words))
}
