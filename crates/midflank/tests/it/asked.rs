//! Whatever a job file can say of a feature or of a piece of equipment is asked at the bench too, or is listed here with the
//! reason why not.

use std::collections::BTreeSet;

use metrology::features::{Ask, Holds, Key};
use metrology::inspection::FeatureKind;
use workshop::equipment::Kind;

use crate::web::support::{Bench, Folder};

/// Keys that the bench does not ask for, and why.
const NOT_ASKED: &[(&str, &str, &str)] = &[
    ("instrument", "state", STATE),
    ("contacts", "state", STATE),
    ("standard", "state", STATE),
    ("wires", "state", STATE),
    ("balls", "state", STATE),
    ("gauge", "state", STATE),
    ("thermometer", "state", STATE),
];
const STATE: &str =
    "a new piece is in use; another state takes a reason, and has a form of its own";

/// The keys of a section, those of a section within behind a point.
fn paths(keys: &[Key]) -> Vec<String> {
    let mut all = Vec::new();
    for key in keys {
        match key.holds {
            Holds::Section(within, _) => {
                let within = paths(within).into_iter();
                all.extend(within.map(|path| format!("{}.{path}", key.name)));
            }
            _ => all.push(key.name.to_owned()),
        }
    }
    all
}

/// What is neither asked nor excused, and what is excused for nothing.
fn unexplained(of: &str, keys: &[Key], asked: &BTreeSet<String>) -> Vec<String> {
    let excused = |path: &str| {
        let mut all = NOT_ASKED.iter();
        all.any(|(known, key, _)| *known == of && *key == path)
    };
    paths(keys)
        .into_iter()
        .filter_map(|path| match (asked.contains(&path), excused(&path)) {
            (false, false) => Some(format!("{of}: {path} is never asked")),
            (true, true) => Some(format!("{of}: {path} is asked, and need not be")),
            _ => None,
        })
        .collect()
}

#[test]
fn every_key_of_a_feature_is_asked() {
    let mut found = Vec::new();
    for kind in FeatureKind::EVERY {
        let mut asked = BTreeSet::new();
        for one in kind.asked() {
            match one.ask {
                Ask::Value => drop(asked.insert(one.key.to_owned())),
                Ask::Named(all) => asked.extend(all.iter().map(|named| named.key.to_owned())),
                Ask::Told(keys, _) => asked.extend(keys.iter().map(|key| (*key).to_owned())),
                Ask::Sections => {}
            }
        }
        found.extend(unexplained(kind.key(), kind.keys(), &asked));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// Equipment is asked for by the form of its kind.
#[test]
fn every_key_of_a_kind_of_equipment_has_a_field() {
    let folder = Folder::new("fields");
    let bench = Bench::start(&folder, 0, &[]);
    let mut found = Vec::new();
    for kind in Kind::EVERY {
        let page = bench.get(&format!("/equipment/new/{}", kind.key())).body;
        let asked = paths(kind.keys())
            .into_iter()
            .filter(|path| page.contains(&format!(" name=\"{path}\"")));
        found.extend(unexplained(kind.key(), kind.keys(), &asked.collect()));
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}
