//! Circles among imports.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::imports::Import;

/// The uses of the modules of one folder: one import each.
type Uses<'a> = BTreeMap<&'a str, BTreeMap<&'a str, &'a Import>>;

/// A shortest circle of each folder that has one, told with a file and line for each step.
pub fn circles(imports: &[Import]) -> Vec<String> {
    let mut folders: BTreeMap<&str, Uses> = BTreeMap::new();
    for import in imports {
        let uses = folders.entry(&import.folder).or_default();
        let of_module = uses.entry(&import.from).or_default();
        of_module.entry(&import.to).or_insert(import);
    }
    let shortest = |uses: &Uses| {
        let all = uses.keys().filter_map(|module| circle(uses, module));
        all.min_by_key(Vec::len).map(|circle| told(uses, &circle))
    };
    let found = folders.iter();
    found
        .filter_map(|(folder, uses)| Some(format!("{folder}: {}", shortest(uses)?)))
        .collect()
}

/// The shortest way from a module back to it.
fn circle<'a>(uses: &Uses<'a>, from: &'a str) -> Option<Vec<&'a str>> {
    let mut ways = vec![vec![from]];
    let mut seen = BTreeSet::new();
    while !ways.is_empty() {
        let mut longer = Vec::new();
        for way in ways {
            for next in uses.get(way.last()?).into_iter().flat_map(BTreeMap::keys) {
                if *next == from {
                    return Some(way);
                }
                if seen.insert(*next) {
                    longer.push([&way[..], &[*next]].concat());
                }
            }
        }
        ways = longer;
    }
    None
}

fn told(uses: &Uses, circle: &[&str]) -> String {
    let mut text = format!("{}\n", circle.join(", "));
    for (from, to) in circle.iter().zip(circle.iter().cycle().skip(1)) {
        let import = uses[from][to];
        let (file, line) = (import.file.display(), import.line);
        writeln!(text, "  {from} uses {to}: {file}:{line}").unwrap();
    }
    text
}
