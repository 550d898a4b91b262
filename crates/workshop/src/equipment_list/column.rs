//! The columns of a list: its own, and the keys of the kinds.

use metrology::inspection::keys::Holds;
use metrology::inspection::keys::Key;

use super::typed;
use crate::equipment::{Equipment, Kind};

/// The column of the kind of each piece.
pub const KIND: &str = "kind";
/// That of its identity.
pub const ID: &str = "id";
/// That of the unit of lengths that have none.
pub const UNIT: &str = "unit";

/// What the row needs that names the columns.
pub const fn needed() -> [&'static str; 2] {
    [KIND, ID]
}

/// The column of a key. One that is called as a column of the list itself has its kind before it.
pub fn of_key(kind: Kind, path: &str) -> String {
    match path {
        KIND | UNIT => format!("{}.{path}", kind.key()),
        _ => path.to_owned(),
    }
}

/// Every column that a list may have.
pub fn columns() -> Vec<String> {
    let mut all = vec![KIND.to_owned(), ID.to_owned()];
    for kind in Kind::EVERY.iter().copied() {
        for (path, _) in typed::keys(kind) {
            let column = of_key(kind, &path);
            if !all.contains(&column) {
                all.push(column);
            }
        }
    }
    all.push(UNIT.to_owned());
    all
}

/// A piece as the row of a list, in the order of [`columns`].
pub fn row(piece: &Equipment) -> Vec<String> {
    let kind = piece.kind();
    let stated = typed::stated(piece.piece());
    let cell = |column: String| {
        if column == KIND {
            return kind.key().to_owned();
        }
        let mut found = stated.iter();
        let found = found.find(|(path, ..)| of_key(kind, path) == column);
        found.map_or_else(String::new, |(_, key, value)| {
            let text = typed::typed(key, value).replace('\n', "; ");
            if has_decimals(key) {
                text.replace(',', ".")
            } else {
                text
            }
        })
    };
    columns().into_iter().map(cell).collect()
}

/// Whether numbers stand under a key, so that a point or comma in them is a decimal sign.
pub const fn has_decimals(key: &Key) -> bool {
    matches!(
        key.holds,
        Holds::Length
            | Holds::Lengths
            | Holds::Number(_)
            | Holds::Bounds(_)
            | Holds::Span
            | Holds::Pitches
            | Holds::Points
    )
}

/// A name of a column as it may be typed.
pub fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace(' ', "_")
}
