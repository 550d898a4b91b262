//! What a piece states, as it is typed: in the fields of a form, and in the cells of a list.

use metrology::inspection::equipment::Piece;
use metrology::inspection::keys::{Holds, Key, Stated};

use crate::equipment::Kind;
use crate::job_file::Given;

/// Why a text is not taken as the value of a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Untaken {
    /// One value where there are two.
    Two,
    NoNumber,
    /// Neither true nor false.
    NoFlag,
}

/// The keys of a kind, each by its name or `SECTION.KEY`.
pub fn keys(kind: Kind) -> Vec<(String, &'static Key)> {
    let mut all = Vec::new();
    for key in kind.keys() {
        match key.holds {
            Holds::Section(within, _) => {
                let within = within.iter();
                all.extend(within.map(|inner| (format!("{}.{}", key.name, inner.name), inner)));
            }
            _ => all.push((key.name.to_owned(), key)),
        }
    }
    all
}

/// What is typed between the two values of a key that has two.
pub const fn between(key: &Key) -> Option<&'static str> {
    match key.holds {
        Holds::Span | Holds::Pitches | Holds::Bounds(_) => Some(" to "),
        Holds::Identities => Some(" + "),
        _ => None,
    }
}

/// All that a piece states: by its key, or `SECTION.KEY`.
pub fn stated(piece: &dyn Piece) -> Vec<(String, &'static Key, Stated)> {
    let mut all = Vec::new();
    for (key, stated) in piece.stated() {
        match stated {
            Stated::Section(rows) => all
                .extend(rows.into_iter().map(|(inner, stated)| {
                    (format!("{}.{}", key.name, inner.name), inner, stated)
                })),
            one => all.push((key.name.to_owned(), key, one)),
        }
    }
    all
}

/// The same, as it is typed.
pub fn all_typed(piece: &dyn Piece) -> Vec<(String, String)> {
    let all = stated(piece).into_iter();
    all.map(|(path, key, stated)| (path, typed(key, &stated)))
        .collect()
}

/// A value as it is typed.
pub fn typed(key: &Key, stated: &Stated) -> String {
    match stated {
        Stated::Length(length) => length.text().to_owned(),
        Stated::Number(number) => number.to_string(),
        Stated::Flag(flag) => flag.to_string(),
        Stated::Day(day) => day.to_string(),
        Stated::Code(code) => code.key().to_owned(),
        Stated::Text(text) => text.clone(),
        Stated::List(all) => {
            let parts: Vec<String> = all.iter().map(|one| point(key, one)).collect();
            parts.join(between(key).unwrap_or("\n"))
        }
        Stated::Section(_) => String::new(),
    }
}

/// One of several, such as the two values of a point.
fn point(key: &Key, stated: &Stated) -> String {
    match stated {
        Stated::List(both) => {
            let both: Vec<String> = both.iter().map(|one| typed(key, one)).collect();
            both.join(" ")
        }
        one => typed(key, one),
    }
}

/// What was typed, as what is given under its key.
pub fn given(key: &Key, text: &str) -> Result<Given, Untaken> {
    if let Some(between) = between(key) {
        let both = text.split_once(between);
        let (one, other) = both
            .or_else(|| text.split_once(between.trim()))
            .ok_or(Untaken::Two)?;
        return Ok(Given::List(
            [one, other].map(|text| Given::text(text.trim())).to_vec(),
        ));
    }
    Ok(match key.holds {
        Holds::Number(_) | Holds::Count(_) => number(text)?,
        Holds::Flag => match text.to_lowercase().as_str() {
            "true" => Given::Flag(true),
            "false" => Given::Flag(false),
            _ => return Err(Untaken::NoFlag),
        },
        Holds::Points => {
            let points = text.split(['\n', ';']).map(str::trim);
            let points = points.filter(|point| !point.is_empty()).map(|point| {
                let (at, error) = point.split_once(char::is_whitespace).ok_or(Untaken::Two)?;
                Ok(Given::List([at, error.trim()].map(Given::text).to_vec()))
            });
            Given::List(points.collect::<Result<_, _>>()?)
        }
        _ => Given::text(text),
    })
}

fn number(text: &str) -> Result<Given, Untaken> {
    let number = text.replace(',', ".").parse::<f64>().ok();
    let number = number.filter(|number| number.is_finite());
    number
        .map(|number| Given::Number(format!("{number:?}")))
        .ok_or(Untaken::NoNumber)
}
