//! The registered identities that somebody may have meant by one that is not registered.

use super::{Equipment, Kind, Register};

/// So many are offered.
const OFFERED: usize = 3;
/// So many letters may be missing, too many, wrong or changed about (a proposal, no source).
const WRONG_LETTERS: usize = 2;

impl Register {
    /// Identities of a kind, or of any, the nearest first: letter case counts for nothing, and either contact of a pair
    /// has an identity too.
    pub fn nearest(&self, kind: Option<Kind>, id: &str) -> Vec<String> {
        let registered = self
            .pieces()
            .iter()
            .map(|piece| &piece.equipment)
            .filter(|piece| kind.is_none_or(|kind| kind == piece.kind()))
            .flat_map(identities);
        nearest(id, registered)
    }
}

/// Those of the known identities that may have been meant, the nearest first.
pub fn nearest<'a>(id: &str, known: impl Iterator<Item = &'a str>) -> Vec<String> {
    let id = id.trim().to_lowercase();
    // Of a short identity two letters are half of it.
    let most = WRONG_LETTERS.min((id.chars().count() / 3).max(1));
    let mut found: Vec<(usize, &str)> = known
        .map(|known| {
            let distance = strsim::damerau_levenshtein(&id, &known.to_lowercase());
            (distance, known)
        })
        .filter(|(distance, _)| *distance <= most)
        .collect();
    found.sort_unstable();
    found.dedup();
    // Where one differs by letter case alone, that is meant.
    let by_case = found.iter().filter(|(distance, _)| *distance == 0).count();
    found.truncate(if by_case > 0 { by_case } else { OFFERED });
    found.iter().map(|(_, known)| (*known).to_owned()).collect()
}

/// The identity of a piece, and those of what it consists of.
pub(super) fn identities(piece: &Equipment) -> impl Iterator<Item = &str> {
    let members = piece
        .piece()
        .members()
        .into_iter()
        .flatten()
        .map(String::as_str);
    std::iter::once(piece.id()).chain(members).map(str::trim)
}
