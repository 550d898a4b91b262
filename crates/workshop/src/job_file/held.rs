//! What a job says of a piece, held against what the register says of it.

use metrology::units::Entered;
use serde_json::Value;

use crate::register::Equipment;

/// Keys that are held against the register elsewhere, in their own way.
const ELSEWHERE: [&str; 3] = ["id", "state", "members"];

metrology::messages! {
    /// What a job and the register do not agree in.
    pub enum Contradiction "contradiction" {
        /// A value, with both.
        Value "value" { key: String as Text, here: String as Text, there: String as Text },
        /// A key whose values are long.
        Key "key" { key: String as Text },
        /// Several of them.
        And "and" { one: Box<Contradiction> as said, other: Box<Contradiction> as said },
    }
}

impl Contradiction {
    /// This and another one.
    pub fn and(self, other: Self) -> Self {
        Self::And {
            one: Box::new(self),
            other: Box::new(other),
        }
    }
}

/// The keys in which a job contradicts the register, with both values where they are short. What only one of them
/// states contradicts nothing.
pub fn contradictions(job: &Equipment, register: &Equipment) -> Vec<Contradiction> {
    let mut found = Vec::new();
    if let (Ok(job), Ok(register)) = (serde_json::to_value(job), serde_json::to_value(register)) {
        hold("item", &job["item"], &register["item"], &mut found);
    }
    found
}

fn hold(key: &str, job: &Value, register: &Value, found: &mut Vec<Contradiction>) {
    match (job, register) {
        (Value::Object(_), Value::Null) => found.push(Contradiction::Key {
            key: as_written(key).to_owned(),
        }),
        (Value::Null, _) | (_, Value::Null) => {}
        (Value::Object(job), Value::Object(register)) => {
            for (key, value) in job
                .iter()
                .filter(|(key, _)| !ELSEWHERE.contains(&key.as_str()))
            {
                hold(key, value, register.get(key).unwrap_or(&Value::Null), found);
            }
        }
        _ if same(job, register) => {}
        _ => found.push(match (short(job), short(register)) {
            (Some(here), Some(there)) => Contradiction::Value {
                key: key.to_owned(),
                here,
                there,
            },
            _ => Contradiction::Key {
                key: key.to_owned(),
            },
        }),
    }
}

/// The key in a job file of what a micrometer's errors are known by.
fn as_written(key: &str) -> &str {
    match key {
        "within" => "maximum_permissible_error",
        "curve" => "error_curve",
        "drift" => "drift_per_year",
        key => key,
    }
}

/// Lengths are the same by value: 10mm is 10.000mm.
fn same(one: &Value, other: &Value) -> bool {
    let length = |text: &str| {
        Entered::parse(text, None)
            .ok()
            .map(|entered| entered.value())
    };
    match (one, other) {
        (Value::String(one), Value::String(other)) => {
            one.trim() == other.trim()
                || length(one).is_some_and(|value| length(other) == Some(value))
        }
        (Value::Array(one), Value::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same(one, other))
        }
        (Value::Object(one), Value::Object(other)) => {
            one.len() == other.len()
                && one
                    .iter()
                    .all(|(key, value)| other.get(key).is_some_and(|other| same(value, other)))
        }
        _ => one == other,
    }
}

fn short(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(_) | Value::Bool(_) => Some(value.to_string()),
        _ => None,
    }
}
