//! Every sentence that people read, and the one place where numbers become text.
//!
//! Sentences stand in `en/`, one file a subject, one line a code: `warning.zero-moved = zero moved by {by}`. The rest of
//! the program names codes and hands over values; nothing looks at how a sentence reads. [`say!`](crate::say) says a
//! sentence of this program, [`message`] says what the calculation has to say.
//!
//! Where a sentence has a value `n` that is one, the line `code.one` is taken, if there is one.
//!
//! A sentence may name keys of a job file and commands: it is shown where those are written. The pages of the bench have
//! neither; [`on_page`] takes the line `code.page` where there is one, for a message and for all that it holds, and
//! [`on_report`] likewise `code.report`, without what the person at the bench is to do.

mod catalogue;
mod document;
pub mod equipment;
mod error;
mod key;
pub mod ledger;
pub mod number;

use std::fmt::Display;

use metrology::inspection::{FeatureKind, Target, ThreadDiameter};
use metrology::message::{Coded, Message, Say, Value};
use metrology::source::Source;
use metrology::units::LengthUnit;
use workshop::bench::Command;

#[cfg(test)]
pub use catalogue::keys;
pub use catalogue::known;
pub use document::{InWords, KnownInWords, Label};
pub use equipment::{piece, spot};
pub use error::{error, error_on_page, foreign_letter, remarks};

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

    /// Limits before and after coating: a digit finer than the standard's own, as computed limits are not round.
    pub const fn of_coating(unit: LengthUnit) -> Self {
        let decimals = match unit {
            LengthUnit::Inch | LengthUnit::Microinch => 5,
            LengthUnit::Millimetre | LengthUnit::Micrometre => 4,
        };
        Self { unit, decimals }
    }

    /// As the limits of what is measured are written.
    pub const fn of(target: &Target) -> Self {
        Self {
            unit: target.unit,
            decimals: target.decimals,
        }
    }
}

/// Says a sentence: `say!("bench.line-too-long", limit = 400)`. Values are shown as they are: numbers come from
/// `number`.
#[macro_export]
macro_rules! say {
    ($key:literal) => {
        $crate::words::text($key)
    };
    ($key:literal, $( $name:ident = $value:expr ),+ $(,)?) => {
        $crate::words::line($key, &[ $( (stringify!($name), &$value as &dyn std::fmt::Display) ),+ ])
    };
}

/// The sentence of a key that has no values.
pub fn text(key: &'static str) -> &'static str {
    known(key).unwrap_or(key)
}

/// The sentence of a key with its values; the key itself where no sentence is known, as of a record of a later program.
pub fn line(key: &str, values: &[(&str, &dyn Display)]) -> String {
    let shown: Vec<(&str, String)> = values
        .iter()
        .map(|(name, value)| (*name, value.to_string()))
        .collect();
    let of = |name: &str| {
        let found = shown.iter().find(|(known, _)| *known == name);
        found.map(|(_, value)| value.as_str())
    };
    fill(template(key, of("n") == Some("1"), Reader::OfFiles), of)
}

/// The words of a key that is known only when the program runs: a subject, and a code of it as it is stored.
pub fn named(subject: &str, key: &str) -> String {
    line(&format!("{subject}.{key}"), &[])
}

/// The words of a code: `contacts.v-and-cone` is "V and cone".
pub fn word(of: &impl Coded) -> String {
    line(&of.code(), &[])
}

/// The same as it stands in the catalogue; empty where it has no words.
pub fn name(of: &impl Coded) -> &'static str {
    known(&of.code()).unwrap_or_default()
}

/// What a source is called: a document by its title, anything else by its words.
pub fn source(of: Source) -> &'static str {
    of.document().unwrap_or_else(|| name(&of))
}

/// What the calculation has to say, in words.
pub fn message(what: &impl Say, shown: Shown) -> String {
    sentence(&what.message(), shown, Reader::OfFiles)
}

/// The same on a page of the bench, where no job file and no command is written.
pub fn on_page(what: &impl Say, shown: Shown) -> String {
    sentence(&what.message(), shown, Reader::AtTheBench)
}

/// The same of a reading of the setting standard.
pub fn at_standard(what: &impl Say) -> String {
    let shown = Shown::in_unit(LengthUnit::Millimetre);
    sentence(&what.message(), shown, Reader::AtTheStandard)
}

/// The same on the report of a record, which tells a customer what was and instructs nobody.
pub fn on_report(what: &impl Say, shown: Shown) -> String {
    sentence(&what.message(), shown, Reader::OfReports)
}

/// What is measured: the designation and which diameter, or what the drawing calls the size.
pub fn characteristic(target: &Target) -> String {
    message(&target.characteristic(), Shown::of(target))
}

/// What an approved study measured, by its key: the diameter of a thread, a feature, or a plain size.
pub fn measured(key: &str) -> String {
    let diameter = ThreadDiameter::EVERY.iter().find(|one| one.key() == key);
    let feature = FeatureKind::EVERY.iter().find(|one| one.key() == key);
    diameter
        .map(word)
        .or_else(|| feature.map(word))
        .unwrap_or_else(|| crate::say!("approval.plain-size").to_owned())
}

/// The values that are stored as the key of what was measured, by message and name.
const OF_WHAT_WAS_MEASURED: [(&str, &str); 1] = [("warning.study-of-other", "measured")];

/// Values that are stored as a reading as it was typed, `9,9994mm`.
const READINGS_AS_TYPED: [(&str, &str); 6] = [
    ("job-note.set-aside", "readings"),
    ("job-note.taken-again", "now"),
    ("bench.sent-twice", "text"),
    ("withheld.flagged", "reading"),
    ("bench.cannot-show", "text"),
    ("bench.other-unit", "text"),
];

/// Values that are stored as a time in UTC, `2026-11-30T15:58:34Z`.
const TIMES_AS_STORED: [(&str, &str); 4] = [
    ("job-note.parked", "from"),
    ("job-note.parked", "to"),
    ("job-note.went-back", "from"),
    ("job-note.went-back", "to"),
];

/// What a message has as text, as people write it; none where it is text.
fn as_written(message: &Message, name: &str, value: &Value) -> Option<String> {
    let of = (&*message.code, name);
    match value {
        Value::Text(key) if OF_WHAT_WAS_MEASURED.contains(&of) => Some(measured(key)),
        Value::Text(text) if READINGS_AS_TYPED.contains(&of) => Some(number::typed(text)),
        Value::List(all) if READINGS_AS_TYPED.contains(&of) => {
            let texts = all.iter().map(|one| match one {
                Value::Text(text) => Some(number::typed(text)),
                _ => None,
            });
            texts.collect::<Option<Vec<_>>>().map(list)
        }
        Value::Text(text) if TIMES_AS_STORED.contains(&of) => text.parse().ok().map(number::time),
        Value::Text(word) if of == ("bench.not-now", "word") => Some(command(word)),
        _ => None,
    }
}

/// What a key or a word of the bench does, after the key: `R (repeat a reading)`.
fn command(word: &str) -> String {
    let known = Command::ALL.into_iter().find(|one| one.word() == word);
    let does = known.and_then(|_| self::known(&format!("bench.command-{word}")));
    match (known.and_then(Command::key), does) {
        (Some(key), Some(does)) => format!("{} ({does})", key.to_ascii_uppercase()),
        (None, Some(does)) => format!("`/{word}` ({does})"),
        _ => format!("`{word}`"),
    }
}

/// A characteristic as a recall has stored it, whose diameter is a code: `M10x1.5-6g pitch-diameter`.
pub fn characteristic_as_stored(stored: &str) -> String {
    let diameter = |key: &str| ThreadDiameter::EVERY.iter().find(|one| one.key() == key);
    match stored.rsplit_once(' ') {
        Some((designation, key)) => match diameter(key) {
            Some(diameter) => format!("{designation}, {}", word(diameter)),
            None => stored.to_owned(),
        },
        None => stored.to_owned(),
    }
}

/// Who reads a sentence.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reader {
    /// Someone who writes job files and commands, and can be told of their keys and options.
    OfFiles,
    /// Someone at a page of the bench, which has neither.
    AtTheBench,
    /// Someone at the bench with the setting standard between the contacts, which has no form and no positions.
    AtTheStandard,
    /// Someone who is sent the report of a record.
    OfReports,
}

fn sentence(message: &Message, shown: Shown, reader: Reader) -> String {
    let one = message.value("n") == Some(&Value::Count(1));
    fill(template(&message.code, one, reader), |name| {
        message.value(name).map(|value| {
            as_written(message, name, value).unwrap_or_else(|| worded(value, shown, reader))
        })
    })
}

/// What a message says that names no lengths but those that were entered.
pub fn said(what: &impl Say) -> String {
    message(what, Shown::in_unit(LengthUnit::Millimetre))
}

/// Several of these.
pub fn all_said(all: &[impl Say]) -> Vec<String> {
    all.iter().map(said).collect()
}

/// A value in words.
pub fn value(value: &Value, shown: Shown) -> String {
    worded(value, shown, Reader::OfFiles)
}

fn worded(value: &Value, shown: Shown, reader: Reader) -> String {
    match value {
        Value::Size(mm) => number::size(*mm, shown.unit),
        Value::Difference(mm) => number::difference(*mm, shown.unit),
        Value::Uncertainty(mm) => number::uncertainty(*mm, shown.unit),
        Value::Shift(mm) => number::shift(*mm, shown.unit),
        Value::Thickness(mm) => number::thickness(*mm, shown.unit),
        Value::InMillimetres(mm) => number::size(*mm, LengthUnit::Millimetre),
        Value::InInches(mm) => number::size(*mm, LengthUnit::Inch),
        Value::Exact(mm) => number::exact(*mm, shown),
        Value::Told(told) => number::told(told, shown),
        Value::Entered(entered) => number::entered(entered),
        Value::Degrees(degrees) => number::degrees(*degrees),
        Value::Minutes(minutes) => number::minutes_of_arc(*minutes),
        Value::Celsius(celsius) => number::celsius(*celsius, 1),
        Value::Kelvin(kelvin) => number::kelvin(*kelvin),
        Value::Kelvins(kelvins) => format!("{} K", number::short(*kelvins, 3)),
        Value::Newton(newton) => number::newtons(*newton),
        Value::Kilopascal(kpa) => format!("{} kPa", number::short(*kpa, 1)),
        Value::Megapascal(mpa) => format!("{} MPa", number::fixed(*mpa, 0)),
        Value::SquareMillimetre(area) => format!("{} mm²", number::fixed(*area, 4)),
        Value::Seconds(seconds) => format!("{} min", number::fixed(seconds / 60.0, 0)),
        Value::Share(share) => number::percent(*share),
        Value::Percent(percent) => format!("{} %", number::fixed(*percent, 2)),
        Value::Probability(probability) => number::probability(*probability),
        Value::Number(plain) => number::short(*plain, 4),
        Value::Length(mm) => number::stated_length(*mm, shown.unit),
        Value::Given(plain) => number::given(*plain),
        Value::Stated(decimal) => number::localized(&decimal.to_string()),
        Value::Count(count) => count.to_string(),
        Value::Unit(unit) => unit.symbol().to_owned(),
        Value::Date(date) => date.to_string(),
        Value::Time(time) => number::time(*time),
        Value::Text(text) => text.clone(),
        Value::Code(code) => template(code, false, reader).to_owned(),
        Value::Message(inner) => sentence(inner, shown, reader),
        Value::List(all) => list(all.iter().map(|one| worded(one, shown, reader))),
        Value::Choice(all) => choice(all.iter().map(|one| worded(one, shown, reader))),
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

fn template(key: &str, one: bool, reader: Reader) -> &str {
    let own = match reader {
        Reader::OfFiles => None,
        Reader::AtTheBench => known(&format!("{key}.page")),
        Reader::AtTheStandard => {
            known(&format!("{key}.on-standard")).or_else(|| known(&format!("{key}.page")))
        }
        Reader::OfReports => known(&format!("{key}.report")),
    };
    own.or_else(|| one.then(|| known(&format!("{key}.one"))).flatten())
        .or_else(|| known(key))
        .unwrap_or(key)
}

/// Puts values into the places of a sentence. A place without a value stays as it is written.
fn fill<T: AsRef<str>>(template: &str, value: impl Fn(&str) -> Option<T>) -> String {
    let mut out = String::with_capacity(template.len() + 32);
    let mut rest = template;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((name, behind)) = after.split_once('}') else {
            out.push('{');
            rest = after;
            continue;
        };
        if let Some(value) = value(name) {
            let value = value.as_ref();
            // A value that is a sentence itself brings its stop, where this one has its own.
            let stopped = behind
                .starts_with(['.', ';'])
                .then(|| value.strip_suffix('.'));
            out.push_str(stopped.flatten().unwrap_or(value));
        } else {
            out.push('{');
            out.push_str(name);
            out.push('}');
        }
        rest = behind;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests;
