//! Recalls kept as cases, as text.

use workshop::gauge_record::case::{Case, CaseResult};

use super::verdict_word;
use crate::say;
use crate::station;
use crate::words::{self, number};

/// A case on one line.
pub fn line(case: &Case) -> String {
    let changed = case.results.iter().filter(|one| one.before != one.after);
    say!(
        "recall-case.line",
        piece = words::named("recalled-piece", &case.piece),
        id = case.id,
        error = case.error,
        found = case.found,
        listed = case.listed,
        changed = changed.count(),
        open = case.open()
    )
}

/// A case with its results and what was decided of each.
pub fn report(case: &Case) -> String {
    let mut lines = vec![line(case)];
    lines.extend(case.results.iter().map(|one| {
        let decided = case.decision(&one.entry).map_or_else(
            || say!("recall-case.open").to_owned(),
            |decision| {
                format!(
                    "{} ({})",
                    words::named("recall-decision", &decision.decided),
                    decision.person
                )
            },
        );
        let unit = one.unit.as_deref().unwrap_or_default();
        format!(
            "  {:<9} {}  {}  {:<22}  {}  {decided}",
            one.entry,
            station::day(one.measured_at),
            moved(one.size, one.corrected, unit),
            verdicts(&one.before, &one.after),
            of(one)
        )
    }));
    lines.push(String::new());
    lines.join("\n")
}

/// A size, and what it is without the error.
pub fn moved(size: Option<f64>, corrected: Option<f64>, unit: &str) -> String {
    let [size, corrected] = [size, corrected]
        .map(|size| size.map_or_else(|| "?".to_owned(), |size| number::fixed(size, 5)));
    format!("{size} -> {corrected} {unit}")
}

/// The verdict, and that which takes its place where it is another.
pub fn verdicts(before: &str, after: &str) -> String {
    if before == after {
        return verdict_word(before);
    }
    format!("{} -> {}", verdict_word(before), verdict_word(after))
}

/// The part, its sample, lot and piece, and what was measured of it.
pub fn of(one: &CaseResult) -> String {
    let sample = one.sample.as_ref().map(|sample| format!(" / {sample}"));
    let lot = one
        .lot
        .as_ref()
        .map(|lot| say!("recall-case.lot", lot = lot));
    let piece = one.piece.as_ref();
    let piece = piece.map(|piece| say!("recall-case.piece-of-lot", piece = piece));
    let part = format!(
        "{}{}",
        one.part.as_deref().unwrap_or_default(),
        sample.unwrap_or_default()
    );
    let characteristic = one.characteristic.as_deref();
    let characteristic = characteristic.map(words::characteristic_as_stored);
    let told = [Some(part), lot, piece, characteristic];
    told.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
