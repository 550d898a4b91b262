//! The result of an inspection as `--json` prints it: codes with what people read beside them.

use metrology::message::{ENDLESS, Message, Value as Said};
use serde_json::{Map, Value, json};

use super::{Inspected, from_exact_mm, from_length, from_mm, in_words};
use crate::words::{self, InWords as _, Label, Shown};

/// A result as it is printed.
pub trait Printed {
    /// The document that `midflank inspect --json` prints.
    fn printed(&self) -> serde_json::Result<Value>;
}

impl Printed for Inspected {
    fn printed(&self) -> serde_json::Result<Value> {
        let mut document = in_words(self, self.shown())?;
        let objects = |all: &[Message]| -> Value {
            let all = all.iter();
            all.map(|said| warning(said, self.shown())).collect()
        };
        document["warnings"] = objects(&self.warnings);
        if !self.rests_on.is_empty() {
            document["rests_on"] = objects(&self.rests_on);
        }
        for reading in document["readings"].as_array_mut().into_iter().flatten() {
            if reading["place"].is_null() {
                reading["place"] = json!("");
            }
        }
        label(
            &mut document["corrections"],
            self.corrections.iter().map(Label::label),
        );
        label(
            &mut document["budget"],
            self.budget.iter().map(Label::label),
        );
        if let Some(feature) = &self.feature {
            label(
                &mut document["feature"]["findings"],
                feature.findings.iter().map(Label::label),
            );
        }
        if let Some(settle) = &self.settle {
            document["settle"]["name"] = json!(settle.way);
            document["settle"]["label"] = json!(self.say(&settle.sentence));
            if let Some(at_hand) = &self.at_hand {
                document["settle"]["at_hand"] = json!(self.say(at_hand));
            }
        }
        if let Value::Object(keys) = &mut document {
            keys.remove("at_hand");
        }
        Ok(document)
    }
}

/// A warning as an object: its code, its sentence, and its numbers, lengths in the unit of the document.
pub fn warning(warning: &Message, shown: Shown) -> Value {
    let mut object = Map::new();
    object.insert("code".to_owned(), json!(warning.key()));
    object.insert("message".to_owned(), json!(words::message(warning, shown)));
    for (name, value) in &warning.values {
        object.insert(name.to_string(), plain(value, shown));
    }
    Value::Object(object)
}

/// A value without words where it is a number, an identity or a code.
fn plain(value: &Said, shown: Shown) -> Value {
    let unit = shown.unit;
    match value {
        Said::Size(mm)
        | Said::Difference(mm)
        | Said::Uncertainty(mm)
        | Said::Shift(mm)
        | Said::InMillimetres(mm)
        | Said::InInches(mm)
        | Said::Length(mm) => json!(from_mm(*mm, unit)),
        Said::Told(told) => json!(from_exact_mm(told.value, unit)),
        Said::Exact(mm) => json!(from_exact_mm(*mm, unit)),
        Said::Entered(entered) => json!(from_length(entered.value(), unit)),
        Said::Degrees(number)
        | Said::Minutes(number)
        | Said::Celsius(number)
        | Said::Kelvin(number)
        | Said::Kelvins(number)
        | Said::Newton(number)
        | Said::Kilopascal(number)
        | Said::Megapascal(number)
        | Said::SquareMillimetre(number)
        | Said::Seconds(number)
        | Said::Share(number)
        | Said::Probability(number)
        | Said::Number(number) => json!(number),
        Said::Count(count) => json!(count),
        Said::Text(text) => json!(text),
        // Where there is no number, there is none.
        Said::Code(code) if code == ENDLESS => Value::Null,
        Said::Code(code) => json!(code.split_once('.').map_or(&**code, |(_, key)| key)),
        Said::List(all) => all.iter().map(|one| plain(one, shown)).collect(),
        Said::Nothing => Value::Null,
        other => json!(words::value(other, shown)),
    }
}

/// Puts what people read beside each of a list.
fn label(list: &mut Value, labels: impl Iterator<Item = String>) {
    if let Value::Array(all) = list {
        for (one, label) in all.iter_mut().zip(labels) {
            one["label"] = json!(label);
        }
    }
}
