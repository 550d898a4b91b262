//! Stored and computed documents, key by key.

use serde_json::Value;

/// A place where two documents differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Where: `size.value`, `budget[2].contribution`.
    pub path: String,
    /// What was stored.
    pub stored: String,
    /// What was computed.
    pub computed: String,
}

/// Every place where the stored document is not what was computed. Numbers are compared to the bit. Keys that were not
/// computed are passed over; a computed key that is not stored is a difference.
pub fn differences(computed: &Value, stored: &Value) -> Vec<Difference> {
    let mut found = Vec::new();
    compare("", computed, stored, &mut found);
    found
}

/// The first key of a schema that a stored document lacks; `known` is the document as the schema writes it.
pub fn missing(known: &Value, stored: &Value) -> Option<String> {
    lacks("", known, stored)
}

fn compare(path: &str, computed: &Value, stored: &Value, found: &mut Vec<Difference>) {
    match (computed, stored) {
        (Value::Object(computed), Value::Object(stored)) => {
            for (key, value) in computed {
                let path = under(path, key);
                match stored.get(key) {
                    Some(other) => compare(&path, value, other, found),
                    None => found.push(Difference {
                        path,
                        stored: String::new(),
                        computed: value.to_string(),
                    }),
                }
            }
        }
        (Value::Array(computed), Value::Array(stored)) if computed.len() == stored.len() => {
            for (index, (value, other)) in computed.iter().zip(stored).enumerate() {
                compare(&format!("{path}[{index}]"), value, other, found);
            }
        }
        _ if same(computed, stored) => {}
        _ => found.push(Difference {
            path: path.to_owned(),
            stored: stored.to_string(),
            computed: computed.to_string(),
        }),
    }
}

/// The same value; two numbers to the bit, so that 0.0 is not -0.0.
fn same(one: &Value, other: &Value) -> bool {
    match (one.as_f64(), other.as_f64()) {
        (Some(one), Some(other)) => one.to_bits() == other.to_bits(),
        _ => one == other,
    }
}

fn lacks(path: &str, known: &Value, stored: &Value) -> Option<String> {
    match (known, stored) {
        (Value::Object(known), Value::Object(stored)) => known.iter().find_map(|(key, value)| {
            let path = under(path, key);
            match stored.get(key) {
                Some(other) => lacks(&path, value, other),
                None => Some(path),
            }
        }),
        (Value::Array(known), Value::Array(stored)) => known
            .iter()
            .zip(stored)
            .enumerate()
            .find_map(|(index, (value, other))| lacks(&format!("{path}[{index}]"), value, other)),
        _ => None,
    }
}

fn under(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn each_difference_is_named_with_both_values() {
        let computed = json!({"size": {"value": 8.9253, "u": 0.1}, "budget": [{"share": 0.5}], "code": "accept"});
        let stored = json!({"size": {"value": 8.925_300_000_000_001, "u": 0.1, "more": 3}, "budget": [{}], "code": "reject"});
        let paths: Vec<String> = differences(&computed, &stored)
            .into_iter()
            .map(|one| one.path)
            .collect();
        assert_eq!(paths, ["budget[0].share", "code", "size.value"]);
        assert_eq!(differences(&computed, &computed), []);
        assert_eq!(
            missing(&computed, &stored),
            Some("budget[0].share".to_owned())
        );
    }

    #[test]
    fn a_negative_nothing_is_another_number() {
        assert_eq!(differences(&json!(0.0), &json!(-0.0)).len(), 1);
    }
}
