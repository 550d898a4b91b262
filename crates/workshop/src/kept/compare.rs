//! Stored and computed documents, key by key.

use ledger::Difference;
use serde_json::Value;

/// Every place where the stored document is not what was computed, such as `size.value` or `budget[2].contribution`.
/// Numbers are compared to the bit. Keys that were not computed are passed over; a computed key that is not stored is a
/// difference, with nothing as what was stored.
pub fn differences(computed: &Value, stored: &Value) -> Vec<Difference> {
    let mut found = Vec::new();
    compare("", computed, stored, &mut found);
    found
}

/// The first key of a schema that a stored document lacks; `known` is the stored document as the schema writes it.
pub fn missing(known: &Value, stored: &Value) -> Option<String> {
    // Written again from what was read, it differs in the keys that were not there, and in nothing else.
    let lacks = |difference: &Difference| difference.stored.is_empty();
    let found = differences(known, stored).into_iter().find(lacks);
    found.map(|difference| difference.path)
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
