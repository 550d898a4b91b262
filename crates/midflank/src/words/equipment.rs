//! Equipment, and places on a part, in words.
//!
//! The words of a key stand in the file of its kind, or in `equipment/shared.txt`, as `owned.KIND.KEY` or `owned.KEY`: the
//! label, and behind the key how it is shown. A key of a section within is `SECTION.KEY`. What has no such line is not shown
//! there.

use std::fmt::Display;

use jiff::civil::Date;
use metrology::inspection::equipment::Piece;
use metrology::inspection::keys::{Holds, Key, Row, Stated};
use metrology::message::Value;
use metrology::units::LengthUnit;
use workshop::equipment::{Equipment, Kind};
use workshop::equipment_list::typed::keys;
pub use workshop::equipment_list::typed::{all_typed, typed};
use workshop::event::Spot;
use workshop::job_status::extension_noted;

use super::number::{entered, short, uncertainty_entered};
use super::{Shown, known, line, on_page, word};

/// The key of the due date.
const DUE: &str = "due";

/// What several pieces of a kind are called.
pub fn kinds(kind: Kind) -> &'static str {
    of_kind(kind, "many")
}

/// What one is called.
pub fn one_of_kind(kind: Kind) -> &'static str {
    of_kind(kind, "one")
}

/// What it is called in a job.
pub fn role(kind: Kind) -> &'static str {
    of_kind(kind, "role")
}

fn of_kind(kind: Kind, what: &str) -> &'static str {
    known(&format!("owned.{}.{what}", kind.key())).unwrap_or_default()
}

/// What a key of a kind is called.
pub fn label(kind: Kind, path: &str) -> &'static str {
    of_key(kind, path)
        .and_then(|key| known(&key))
        .unwrap_or_default()
}

/// How it is written.
pub fn example(kind: Kind, path: &str) -> &'static str {
    let key = of_key(kind, &format!("{path}.example"));
    key.and_then(|key| known(&key)).unwrap_or_default()
}

/// The sentence of a key of a kind: its own, or that of all kinds.
fn of_key(kind: Kind, path: &str) -> Option<String> {
    let own = format!("owned.{}.{path}", kind.key());
    let shared = format!("owned.{path}");
    [own, shared].into_iter().find(|key| known(key).is_some())
}

/// The codes that can stand under a key, each with its words.
pub fn codes(kind: Kind, path: &str, key: &Key) -> Vec<(&'static str, &'static str)> {
    let Holds::Code(codes, subject) = key.holds else {
        return Vec::new();
    };
    let words = |code: &str| {
        let own = of_key(kind, &format!("{path}.{code}"));
        let key = own.unwrap_or_else(|| format!("{subject}.{code}"));
        known(&key).unwrap_or_default()
    };
    codes.iter().map(|code| (*code, words(code))).collect()
}

/// What a piece is, in a few words.
pub fn piece(equipment: &Equipment) -> String {
    let piece = equipment.piece();
    told(equipment.kind(), piece, "brief", None).join(", ")
}

/// What a job rests on with a piece, for its report, with the notes of the job. A record has the end of an extension as the due
/// date of the piece, and the due date in its notes.
pub fn on_report(kind: Kind, piece: &dyn Piece, notes: &[Value]) -> String {
    let mut all = vec![piece.id().to_owned()];
    let extension = extension_noted(notes, kind, piece.id());
    all.extend(told(kind, piece, "report", extension));
    all.join(", ")
}

/// What is said of each key; of an extension the due date, and until when that was put off.
fn told(kind: Kind, piece: &dyn Piece, how: &str, extension: Option<(Date, Date)>) -> Vec<String> {
    let mut rows = piece.stated();
    let due = rows.iter_mut().find(|(key, _)| key.name == DUE);
    if let (Some((_, stated)), Some((due, _))) = (due, extension) {
        *stated = Stated::Day(due);
    }
    let mut all = Vec::new();
    for key in kind.keys().iter().filter(|key| piece.shows(key)) {
        match rows.iter().find(|(stated, _)| stated.name == key.name) {
            Some((_, Stated::Section(within))) => {
                let path = format!("{}.", key.name);
                all.extend(
                    within
                        .iter()
                        .filter_map(|row| tell(kind, &path, row, within, how)),
                );
            }
            Some(row) => all.extend(tell(kind, "", row, &rows, how)),
            None => {
                let none = of_key(kind, &format!("{}.{how}.none", key.name));
                all.extend(none.map(|key| line(&key, &[])));
            }
        }
        if let Some((_, until)) = extension.filter(|_| key.name == DUE) {
            all.push(crate::say!("due.extended", until = until));
        }
    }
    all
}

/// What is said of a key, where there is a sentence of it: its `value`; of several how many (`n`), the first and the second
/// (`from`, `to`); and the value of any other key beside it, by its name.
fn tell(kind: Kind, within: &str, row: &Row, beside: &[Row], how: &str) -> Option<String> {
    let (key, stated) = row;
    let ending = match stated {
        Stated::Flag(true) => ".yes",
        Stated::Flag(false) => ".no",
        _ => "",
    };
    let sentence = of_key(kind, &format!("{within}{}.{how}{ending}", key.name))?;
    let mut values: Vec<(&str, String)> = Vec::new();
    match stated {
        Stated::List(several) => {
            values.push(("n", several.len().to_string()));
            let both = ["from", "to"].into_iter().zip(several);
            values.extend(both.map(|(name, one)| (name, value(key, one))));
        }
        one => values.push(("value", value(key, one))),
    }
    values.extend(
        beside
            .iter()
            .map(|(key, stated)| (key.name, beside_it(within, key, stated))),
    );
    let shown: Vec<(&str, &dyn Display)> = values
        .iter()
        .map(|(name, value)| (*name, value as &dyn Display))
        .collect();
    Some(line(&sentence, &shown))
}

/// A value beside another. That of an error curve from a calibration in house has more digits than are worth reading.
fn beside_it(within: &str, key: &Key, stated: &Stated) -> String {
    match stated {
        Stated::Length(length)
            if within == "error_curve." && key.name == "expanded_uncertainty" =>
        {
            uncertainty_entered(length)
        }
        _ => value(key, stated),
    }
}

fn value(key: &Key, stated: &Stated) -> String {
    match stated {
        Stated::Length(length) => entered(length),
        Stated::Number(number) => {
            let unit = match key.holds {
                Holds::Number(range) | Holds::Count(range) | Holds::Bounds(range) => range.unit,
                _ => "",
            };
            format!("{}{unit}", short(*number, 4))
        }
        Stated::Code(code) => word(code),
        other => typed(key, other),
    }
}

/// The keys that a form asks for, each by its name or `SECTION.KEY`; a state is changed by itself, with a reason of its own.
pub fn form_keys(kind: Kind) -> Vec<(String, &'static Key)> {
    let all = keys(kind).into_iter();
    all.filter(|(path, _)| path != "state").collect()
}

/// Where on the part a reading is taken.
pub fn spot(spot: &Spot) -> String {
    let shown = Shown::in_unit(LengthUnit::Millimetre);
    spot.name()
        .map_or_else(String::new, |name| on_page(&name, shown))
}

#[cfg(test)]
mod tests {
    use workshop::event::places::Station;

    use super::super::number;
    use super::*;

    #[test]
    fn every_key_of_a_form_has_a_label() {
        for kind in Kind::EVERY.iter().copied() {
            for what in [kinds(kind), one_of_kind(kind), role(kind)] {
                assert!(!what.is_empty(), "{}", kind.key());
            }
            for (path, key) in form_keys(kind) {
                assert!(!label(kind, &path).is_empty(), "{}: {path}", kind.key());
                for (code, words) in codes(kind, &path, key) {
                    assert!(!words.is_empty(), "{}: {path} {code}", kind.key());
                }
            }
        }
    }

    /// Every line in the files of equipment is one that is asked for.
    #[test]
    fn every_line_is_of_a_key() {
        let mut asked = Vec::new();
        for kind in Kind::EVERY.iter().copied() {
            let own = format!("owned.{}", kind.key());
            asked.extend(["many", "one", "role"].map(|what| format!("{own}.{what}")));
            for (path, key) in form_keys(kind) {
                let mut endings = vec![String::new(), ".example".into()];
                for how in [".brief", ".report"] {
                    let all = match key.holds {
                        Holds::Flag => vec![".yes", ".no"],
                        _ => vec!["", ".none"],
                    };
                    endings.extend(all.iter().map(|ending| format!("{how}{ending}")));
                }
                endings.extend(
                    codes(kind, &path, key)
                        .iter()
                        .map(|(code, _)| format!(".{code}")),
                );
                for ending in endings {
                    asked.push(format!("{own}.{path}{ending}"));
                    asked.push(format!("owned.{path}{ending}"));
                }
            }
        }
        let unasked: Vec<&str> = super::super::keys()
            .filter(|key| key.starts_with("owned.") && !asked.iter().any(|known| known == key))
            .collect();
        assert!(unasked.is_empty(), "{unasked:?}");
    }

    #[test]
    fn an_angle_is_written_as_numbers_are() {
        let words = |angle| spot(&Spot::new(Station::Middle, angle));
        assert!(words(22.5).ends_with("22.5°"));
        assert!(number::on_page(true, || words(22.5)).ends_with("22,5°"));
    }
}
