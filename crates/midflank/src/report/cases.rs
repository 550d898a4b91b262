//! Recalls kept as cases, as text.

use workshop::gauge_record::case::{Case, CaseResult};

use super::verdict_word;
use crate::say;
use crate::station;
use crate::words;

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
        format!(
            "  {:<9} {}  {} -> {}  {}  {decided}",
            one.entry,
            station::day(one.measured_at),
            verdict_word(&one.before),
            verdict_word(&one.after),
            of(one)
        )
    }));
    lines.push(String::new());
    lines.join("\n")
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
    let told = [Some(part), lot, piece, one.characteristic.clone()];
    told.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
