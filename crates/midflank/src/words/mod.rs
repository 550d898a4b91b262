//! Every sentence that people read, and the one place where numbers become text.
//!
//! Sentences stand in `en/`, one file a subject, one line a code: `warning.zero-moved = zero moved by {by}`. The rest of
//! the program names codes and hands over values; nothing looks at how a sentence reads. [`say!`](crate::say) says a
//! sentence of this program, [`message`] says what the calculation has to say.
//!
//! Where a sentence has a value `n` that is one, the line `code.one` is taken, if there is one.

mod catalogue;
pub mod number;

use std::fmt::Display;

use metrology::message::{Coded, Message, Say, Value};
use metrology::source::Source;
use metrology::units::LengthUnit;

pub use catalogue::{keys, known};

/// In which unit, and with how many decimals, the lengths of a message are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The unit of the drawing.
    pub unit: LengthUnit,
    /// The decimals of its limits.
    pub decimals: u32,
}

impl Shown {
    /// With the decimals that are usual in a unit.
    pub const fn in_unit(unit: LengthUnit) -> Self {
        let decimals = match unit {
            LengthUnit::Inch | LengthUnit::Microinch => 4,
            LengthUnit::Millimetre | LengthUnit::Micrometre => 3,
        };
        Self { unit, decimals }
    }
}

/// Says a sentence: `say!("bench.line-too-long", limit = 400)`. Values are shown as they are: numbers come from
/// [`number`](crate::words::number).
#[macro_export]
macro_rules! say {
    ($key:literal) => {
        $crate::words::line($key, &[])
    };
    ($key:literal, $( $name:ident = $value:expr ),+ $(,)?) => {
        $crate::words::line($key, &[ $( (stringify!($name), &$value as &dyn std::fmt::Display) ),+ ])
    };
}

/// The sentence of a key with its values; the key itself where no sentence is known, as of a record of a later program.
pub fn line(key: &str, values: &[(&str, &dyn Display)]) -> String {
    let one = values
        .iter()
        .any(|(name, value)| *name == "n" && value.to_string() == "1");
    fill(template(key, one), |name| {
        let found = values.iter().find(|(known, _)| *known == name);
        found.map(|(_, value)| value.to_string())
    })
}

/// The words of a code without values: `contacts.v-and-cone` is "V and cone".
pub fn word(of: &impl Coded) -> String {
    line(&of.code(), &[])
}

/// Where something stands: the title of a document, or what is said where there is none.
pub fn source(of: Source) -> &'static str {
    of.document()
        .or_else(|| known(&of.code()))
        .unwrap_or_default()
}

/// What the calculation has to say, in words.
pub fn message(what: &impl Say, shown: Shown) -> String {
    let message = what.message();
    let one = message.value("n") == Some(&Value::Count(1));
    fill(template(&message.code, one), |name| {
        message.value(name).map(|value| self::value(value, shown))
    })
}

/// A refusal in words, for one that names no lengths but those that were entered.
pub fn error(what: &impl Say) -> String {
    message(what, Shown::in_unit(LengthUnit::Millimetre))
}

/// Several sentences that name no lengths but those that were entered.
pub fn errors(all: &[impl Say]) -> Vec<String> {
    all.iter().map(error).collect()
}

/// A value in words.
pub fn value(value: &Value, shown: Shown) -> String {
    match value {
        Value::Size(mm) => number::size(*mm, shown.unit),
        Value::Difference(mm) => number::difference(*mm, shown.unit),
        Value::Shift(mm) => number::shift(*mm, shown.unit),
        Value::Thickness(mm) => number::thickness(*mm, shown.unit),
        Value::InMillimetres(mm) => number::size(*mm, LengthUnit::Millimetre),
        Value::InInches(mm) => number::size(*mm, LengthUnit::Inch),
        Value::Exact(mm) => number::exact(*mm, shown),
        Value::Entered(entered) => number::entered(entered),
        Value::Degrees(degrees) => number::degrees(*degrees),
        Value::Minutes(minutes) => number::minutes_of_arc(*minutes),
        Value::Celsius(celsius) => format!("{} °C", number::short(*celsius, 1)),
        Value::Kelvin(kelvin) => format!("{} K", number::signed(*kelvin, 1)),
        Value::Newton(newton) => format!("{} N", number::short(*newton, 1)),
        Value::Kilopascal(kpa) => format!("{} kPa", number::short(*kpa, 1)),
        Value::Megapascal(mpa) => format!("{} MPa", number::fixed(*mpa, 0)),
        Value::SquareMillimetre(area) => format!("{} mm²", number::fixed(*area, 4)),
        Value::Seconds(seconds) => format!("{} min", number::fixed(seconds / 60.0, 0)),
        Value::Share(share) => number::percent(*share),
        Value::Percent(percent) => format!("{} %", number::fixed(*percent, 2)),
        Value::Probability(probability) => number::probability(*probability),
        Value::Number(plain) => number::short(*plain, 4),
        Value::Stated(decimal) => number::signed_as_typed(&decimal.to_string()),
        Value::Count(count) => count.to_string(),
        Value::Unit(unit) => unit.symbol().to_owned(),
        Value::Date(date) => date.to_string(),
        Value::Time(time) => time.strftime("%Y-%m-%d %H:%M UTC").to_string(),
        Value::Text(text) => text.clone(),
        Value::Code(code) => line(code, &[]),
        Value::Message(inner) => message(&**inner, shown),
        Value::List(all) => list(all.iter().map(|one| self::value(one, shown))),
        Value::Choice(all) => choice(all.iter().map(|one| self::value(one, shown))),
        Value::Nothing => String::new(),
    }
}

/// Several things, one after the other: `brass, steel and nylon`.
pub fn list(all: impl IntoIterator<Item = String>) -> String {
    let mut all: Vec<String> = all.into_iter().collect();
    match (all.pop(), all.is_empty()) {
        (None, _) => String::new(),
        (Some(only), true) => only,
        (Some(last), false) => crate::say!("list.and", first = all.join(", "), last = last),
    }
}

/// Several things, one of which is meant: `M6x1-6g, M6x1-6h or M6x1-6e`.
pub fn choice(all: impl IntoIterator<Item = String>) -> String {
    let mut all: Vec<String> = all.into_iter().collect();
    match (all.pop(), all.is_empty()) {
        (None, _) => String::new(),
        (Some(only), true) => only,
        (Some(last), false) => crate::say!("list.or", first = all.join(", "), last = last),
    }
}

fn template(key: &str, one: bool) -> &str {
    one.then(|| known(&format!("{key}.one")))
        .flatten()
        .or_else(|| known(key))
        .unwrap_or(key)
}

/// Puts values into the places of a sentence. A place without a value stays as it is written.
fn fill(template: &str, value: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(template.len() + 32);
    let mut rest = template;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((name, behind)) = after.split_once('}') else {
            out.push('{');
            rest = after;
            continue;
        };
        match value(name) {
            Some(value) => out.push_str(&value),
            None => {
                out.push('{');
                out.push_str(name);
                out.push('}');
            }
        }
        rest = behind;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests;
