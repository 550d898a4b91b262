//! A nonconforming piece on one line.

use workshop::lots::Nonconforming;
use workshop::nonconformance::Disposition;

use crate::report::verdict_word;
use crate::say;
use crate::words;

/// What it is, what shows it, what was decided, and what was found after that.
pub fn line(piece: &Nonconforming) -> String {
    let mut told = say!(
        "nonconforming.line",
        number = piece.number,
        lot = piece.lot,
        piece = piece.piece,
        part = piece.part,
        characteristics = characteristics(piece),
        disposition = words::word(&piece.disposition())
    );
    if let Some(decided) = &piece.decided {
        let decision = &decided.decision;
        if let Some(concession) = &decision.concession {
            told += &say!("nonconforming.under", concession = concession);
        }
        told += &say!(
            "nonconforming.decided",
            person = decided.person,
            entry = decided.entry
        );
        if let Some(person) = &decision.confirmed_by {
            told += &say!("nonconforming.confirmed", person = person);
        }
        if let Some(note) = &decision.note {
            told += &say!("nonconforming.noted", note = note);
        }
    }
    if !piece.again.is_empty() {
        told += &say!("nonconforming.again", results = again(piece));
    }
    told
}

/// That a text is no disposition, with those that there are.
pub fn no_disposition(text: &str) -> String {
    let known = Disposition::EVERY.iter().map(|one| one.key().to_owned());
    let known = words::choice(known);
    say!("nonconforming.no-disposition", text = text, known = known)
}

/// The characteristics that show it.
pub fn characteristics(piece: &Nonconforming) -> String {
    let shown = piece.shown_by.iter().map(|shown| &*shown.characteristic);
    shown.collect::<Vec<_>>().join(", ")
}

/// How a piece that is worked on is measured again at the bench.
pub fn how_again(piece: &Nonconforming) -> String {
    let first = piece.shown_by.first();
    say!(
        "nonconforming.how-again",
        lot = piece.lot,
        characteristic = first.map_or("", |shown| &*shown.characteristic),
        piece = piece.piece
    )
}

/// What was found after work on it.
pub fn again(piece: &Nonconforming) -> String {
    let results = piece.again.iter();
    let results = results.map(|(characteristic, entry, standing)| {
        say!(
            "nonconforming.again-one",
            characteristic = characteristic,
            verdict = verdict_word(standing.key()),
            entry = entry
        )
    });
    results.collect::<Vec<_>>().join(", ")
}
