//! A validation: published cases computed anew, as a document and as the ledger keeps it.

use metrology::method;
use metrology::source::Source;
use metrology::validation::{Compared, Comparison, Value};
use serde::Serialize;

/// What the validation of a program gave.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Validated {
    /// Name, version and build of the program.
    pub program: String,
    /// The number of the method that new results are computed by.
    pub method: u32,
    /// Digest of the published tables that are compiled in.
    pub tables_sha256: String,
    /// Published values that were compared.
    pub cases: usize,
    /// How many of them are not given as published.
    pub disagreeing: usize,
    /// The value that is off by the greatest part of what is allowed.
    pub worst: Option<ValidatedCase>,
    pub sets: Vec<ValidatedSet>,
}

/// Published cases of one kind.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ValidatedSet {
    pub set: String,
    pub sources: Vec<String>,
    pub cases: usize,
    pub disagreeing: usize,
    /// The value that is off by the greatest part of what is allowed; `null` where only verdicts are compared.
    pub worst: Option<ValidatedCase>,
    /// Every value that is not given as published.
    pub disagreements: Vec<ValidatedCase>,
}

/// One value, in the unit of its case; a verdict has no difference.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ValidatedCase {
    pub case: String,
    pub published: Option<f64>,
    pub found: Option<f64>,
    pub published_verdict: Option<String>,
    pub found_verdict: Option<String>,
    pub difference: Option<f64>,
    /// How far the value may be off, since print is rounded.
    pub allowed: f64,
}

impl Validated {
    /// `called` says what a source is called.
    pub fn of(
        program: &str,
        tables: &str,
        compared: &[Compared],
        called: impl Fn(Source) -> &'static str,
    ) -> Self {
        let sets = compared.iter().map(|set| ValidatedSet::of(set, &called));
        let sets: Vec<ValidatedSet> = sets.collect();
        Self {
            program: program.to_owned(),
            method: method::CURRENT,
            tables_sha256: tables.to_owned(),
            cases: sets.iter().map(|set| set.cases).sum(),
            disagreeing: sets.iter().map(|set| set.disagreeing).sum(),
            worst: (sets.iter().filter_map(|set| set.worst.clone()))
                .max_by(|a, b| a.part_of_allowed().total_cmp(&b.part_of_allowed())),
            sets,
        }
    }
}

impl ValidatedSet {
    fn of(compared: &Compared, called: &impl Fn(Source) -> &'static str) -> Self {
        let disagreeing = compared.values.iter().filter(|value| !value.agrees());
        Self {
            set: compared.set.key().to_owned(),
            sources: (compared.set.sources().iter())
                .map(|source| called(*source).to_owned())
                .collect(),
            cases: compared.values.len(),
            disagreeing: compared.disagreeing(),
            worst: (compared.worst())
                .filter(|worst| worst.difference().is_some())
                .map(ValidatedCase::of),
            disagreements: disagreeing.map(ValidatedCase::of).collect(),
        }
    }
}

impl ValidatedCase {
    fn of(value: &Comparison) -> Self {
        let number = |of: &Option<Value>| match of {
            Some(Value::Number(number)) => Some(*number),
            _ => None,
        };
        let verdict = |of: &Option<Value>| match of {
            Some(Value::Verdict(verdict)) => Some(verdict.clone()),
            _ => None,
        };
        Self {
            case: value.case.clone(),
            published: number(&value.published),
            found: number(&value.found),
            published_verdict: verdict(&value.published),
            found_verdict: verdict(&value.found),
            difference: value.difference(),
            allowed: value.allowed,
        }
    }

    /// The difference as a part of what is allowed; 0 where there is none.
    pub fn part_of_allowed(&self) -> f64 {
        match self.difference {
            Some(difference) if self.allowed > 0.0 => difference / self.allowed,
            Some(difference) if difference > 0.0 => f64::INFINITY,
            _ => 0.0,
        }
    }
}
