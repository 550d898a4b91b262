//! The document of a thread as a line of JSON, written at once.
//!
//! A list of parts has hundreds of thousands of threads, and most of the time of an answer went into putting together a
//! document that is written the next moment. Keys are written with their quotes and colons, and numbers of up to seven
//! decimals as whole numbers with a point in them. The line is the same to the byte as that of [`ThreadDocument`].

use metrology::limits::{Engagement, Limits, ThreadLimits};
use metrology::message::Say;
use metrology::units::{Length, LengthUnit};
use serde::Serialize;

use super::{ThreadDocument, from_length};
use crate::words::{self, Shown};

/// Appends the document of a thread in the designation's unit or another, without the end of the line.
pub fn write_thread(thread: &ThreadLimits, unit: Option<LengthUnit>, out: &mut Vec<u8>) {
    let mut line = Line { out };
    if thread.taper.is_some() {
        line.serialized(&ThreadDocument::of(thread, unit));
        return;
    }
    let unit = unit.unwrap_or(thread.unit);
    line.raw("{\"designation\":");
    line.text(&thread.designation);
    line.raw(",\"form\":\"");
    line.raw(thread.form.key());
    line.raw("\",\"kind\":\"");
    line.raw(thread.kind.key());
    line.raw("\",\"unit\":\"");
    line.raw(unit.symbol());
    line.raw("\",\"nominal\":");
    line.length(thread.nominal, unit);
    line.raw(",\"pitch\":");
    line.number(thread.pitch.in_unit(unit));
    line.raw(",\"lead\":");
    line.number(thread.lead_in(unit));
    line.raw(",\"starts\":");
    line.whole(thread.starts.into());
    line.raw(",\"hand\":\"");
    line.raw(thread.hand.key());
    line.raw("\",\"included_angle_deg\":");
    line.number(ThreadDocument::included_angle_deg(thread));
    line.raw(",\"class\":");
    line.text(&thread.class);
    line.raw(",\"allowance\":");
    line.length(thread.allowance, unit);
    line.raw(",\"engagement\":");
    match thread.engagement {
        Some(Engagement::Length(stated)) => line.length(stated, unit),
        Some(Engagement::Pitches(pitches)) => {
            line.number(f64::from(pitches) * thread.pitch.in_unit(unit));
        }
        None | Some(Engagement::Group { .. }) => line.raw("null"),
    }
    if let Some(Engagement::Group { group, over, up_to }) = thread.engagement {
        line.raw(",\"engagement_group\":{\"group\":");
        line.text(group.letter().encode_utf8(&mut [0; 4]));
        line.raw(",\"over\":");
        line.limit(over, unit);
        line.raw(",\"up_to\":");
        line.limit(up_to, unit);
        line.raw("}");
    }
    for (key, limits) in [
        (",\"major\":", thread.major),
        (",\"pitch_diameter\":", thread.pitch_diameter),
        (",\"minor\":", thread.minor),
    ] {
        line.limits(key, limits, unit);
    }
    if thread.root_radius != Limits::default() {
        line.limits(",\"root_radius\":", thread.root_radius, unit);
    }
    if let Some(least) = thread.hot_rolled_major_min {
        line.raw(",\"major_min_hot_rolled\":");
        line.length(least, unit);
    }
    line.raw(",\"assumed\":[");
    line.all_said(&thread.assumed, Shown::in_unit(LengthUnit::Millimetre));
    line.raw("],\"sources\":[");
    line.each(&thread.sources, |line, source| {
        line.text(words::source(*source));
    });
    line.raw("],\"confidence\":");
    line.serialized(&thread.confidence);
    line.raw(",\"notes\":[");
    line.all_said(&thread.notes, Shown::in_unit(LengthUnit::Millimetre));
    line.raw("],\"disputes\":[");
    line.all_said(&thread.disputes, Shown::in_unit(thread.unit));
    line.raw("]}");
}

/// Steps of the seventh decimal in one.
const DECIMAL_STEPS: u64 = 10_000_000;
const SCALE: f64 = 1e7;
/// A number below this is written with a power of ten.
const LEAST: f64 = 1e-5;
/// Numbers of fifteen digits are each another `f64`.
const MOST: f64 = 1e15;

/// The digit of a number below ten.
fn digit(number: u64) -> u8 {
    b"0123456789"
        .get(usize::try_from(number).unwrap_or_default())
        .copied()
        .unwrap_or(b'0')
}

/// A line of JSON that is being written.
struct Line<'a> {
    out: &'a mut Vec<u8>,
}

impl Line<'_> {
    /// What is JSON already.
    fn raw(&mut self, json: &str) {
        self.out.extend_from_slice(json.as_bytes());
    }

    fn serialized(&mut self, value: &impl Serialize) {
        // Neither memory nor these documents can fail to be written.
        let _ = serde_json::to_writer(&mut *self.out, value);
    }

    fn text(&mut self, text: &str) {
        let escaped = |byte: &u8| matches!(byte, 0..=0x1f | b'"' | b'\\');
        if text.as_bytes().iter().any(escaped) {
            self.serialized(&text);
        } else {
            self.out.push(b'"');
            self.raw(text);
            self.out.push(b'"');
        }
    }

    fn whole(&mut self, number: u64) {
        let mut step = 1;
        while number / step >= 10 {
            step *= 10;
        }
        while step > 0 {
            self.out.push(digit(number / step % 10));
            step /= 10;
        }
    }

    fn length(&mut self, length: Length, unit: LengthUnit) {
        self.number(from_length(length, unit));
    }

    fn limit(&mut self, limit: Option<Length>, unit: LengthUnit) {
        match limit {
            Some(limit) => self.length(limit, unit),
            None => self.raw("null"),
        }
    }

    fn limits(&mut self, key: &str, limits: Limits, unit: LengthUnit) {
        self.raw(key);
        self.raw("{\"max\":");
        self.limit(limits.upper, unit);
        self.raw(",\"min\":");
        self.limit(limits.lower, unit);
        self.raw("}");
    }

    /// The shortest digits that give the number back. A number that is the nearest to one of seven decimals and at most
    /// fifteen digits has those, since no two such share an `f64`.
    fn number(&mut self, number: f64) {
        let scaled = (number.abs() * SCALE).round_ties_even();
        if number.abs() < LEAST || scaled >= MOST || scaled / SCALE != number.abs() {
            self.serialized(&number);
            return;
        }
        if number < 0.0 {
            self.out.push(b'-');
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number below 10^15"
        )]
        self.decimal(scaled as u64);
    }

    /// A number in units of the seventh decimal, without zeros at its end but for the first decimal.
    fn decimal(&mut self, count: u64) {
        let (whole, mut rest) = (count / DECIMAL_STEPS, count % DECIMAL_STEPS);
        self.whole(whole);
        self.out.push(b'.');
        let from = self.out.len();
        let mut step = DECIMAL_STEPS;
        while step > 1 && (rest > 0 || self.out.len() == from) {
            step /= 10;
            self.out.push(digit(rest / step));
            rest %= step;
        }
    }

    fn each<T>(&mut self, all: &[T], mut one: impl FnMut(&mut Self, &T)) {
        for (index, item) in all.iter().enumerate() {
            if index > 0 {
                self.out.push(b',');
            }
            one(self, item);
        }
    }

    fn all_said(&mut self, all: &[impl Say], shown: Shown) {
        self.each(all, |line, what| {
            let message = what.message();
            match words::known(&message.code).filter(|_| message.values.is_empty()) {
                Some(sentence) => line.text(sentence),
                None => line.text(&words::message(&message, shown)),
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use metrology::designation::parse;
    use metrology::thread::standard_threads;

    fn written(number: f64) -> String {
        let mut out = Vec::new();
        Line { out: &mut out }.number(number);
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn numbers_are_those_of_the_serializer() {
        for number in [
            0.0,
            -0.0,
            1.0,
            -1.0,
            60.0,
            0.1,
            1e-5,
            9.9e-6,
            1e-7,
            30.803,
            0.0000254,
            1e8,
            99999999.9999999,
            1e15,
            1e16,
            1.0 / 13.0,
            25.4 / 13.0,
            f64::MAX,
            f64::MIN_POSITIVE,
            123456.7890625,
        ] {
            assert_eq!(written(number), serde_json::to_string(&number).unwrap());
        }
    }

    proptest::proptest! {
        #[test]
        fn any_number_is(count in -1_000_000_000_000_i64..1_000_000_000_000, step in 0_u32..9, other in proptest::num::f64::NORMAL) {
            for number in [count as f64 / f64::from(10_u32.pow(step)), count as f64 / 254e6, other] {
                proptest::prop_assert_eq!(written(number), serde_json::to_string(&number).unwrap());
            }
        }
    }

    /// Every standard thread in usual and unusual classes, and what is said of them, in both units.
    #[test]
    fn lines_are_those_of_the_serializer() {
        let mut seen = 0;
        for thread in standard_threads() {
            for class in [
                "",
                "-6g",
                "-6H",
                "-4h6h-LH",
                " LE 12",
                "-2A",
                "-3B-LH",
                "-2A LE 0.7",
                " A",
                " close",
                "-2G",
                "-7e",
            ] {
                let designation = format!("{}{class}", thread.designation);
                let Ok(thread) = parse(&designation).and_then(|thread| thread.limits()) else {
                    continue;
                };
                for unit in [None, Some(LengthUnit::Millimetre), Some(LengthUnit::Inch)] {
                    let mut line = Vec::new();
                    write_thread(&thread, unit, &mut line);
                    let document =
                        serde_json::to_string(&ThreadDocument::of(&thread, unit)).unwrap();
                    assert_eq!(String::from_utf8(line).unwrap(), document);
                    seen += 1;
                }
            }
        }
        assert!(seen > 5000, "{seen}");
    }
}
