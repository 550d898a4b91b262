//! UNJ threads: Unified with a mandatory root radius (ASME B1.15, SAE AS8879).
//!
//! `0.2500-28 UNJF-3A`, `1/4-28 UNJF-3B`, `10-32 unjf 3a`. Size, count and series are those of Unified threads, so
//! the designation is read as one, without its J.

use super::text::{Cursor, Text};
use super::unified;
use crate::thread::Assumed;
use crate::thread::Kind;
use crate::thread::ThreadError;
use crate::thread::UnjThread;
use crate::thread::unified::Class;
use crate::thread::{Fault, KnownClasses};

/// The place of the J in the series of a UNJ designation.
fn place_of_j(cursor: Cursor<'_>) -> Option<usize> {
    cursor
        .words()
        .find(|(_, word)| {
            word.get(..3)
                .is_some_and(|start| start.eq_ignore_ascii_case("unj"))
        })
        .map(|(from, _)| from + 2)
}

/// Reads a UNJ designation.
pub(super) fn read(text: &Text<'_>, cursor: Cursor<'_>) -> Result<UnjThread, ThreadError> {
    let unified_text = text.without(place_of_j(cursor).unwrap_or(usize::MAX));
    let cursor = Cursor::new(&unified_text);
    let with_j = |suggestion: &str| suggestion.replacen(" UN", " UNJ", 1);
    let mut base = unified::read(cursor).map_err(|error| error.map_suggestions(with_j))?;
    // Every UNJ root is rounded; there is no UNJR.
    base.rounded_root = false;
    let three = |kind| match kind {
        Kind::External => "3A",
        Kind::Internal => "3B",
    };
    if base.class != Class::Three {
        let typed = base.class_text();
        // A class that was left open reads as 2A or 2B.
        let Some((from, end)) = cursor.last_place_of(&typed) else {
            base.class = Class::Three;
            base.assumed
                .retain(|taken| !matches!(taken, Assumed::UnifiedClass { .. }));
            base.assumed.push(Assumed::UnjClass {
                class: three(base.kind),
            });
            return Ok(UnjThread { base });
        };
        let thread = with_j(&base.to_string());
        let right = thread.replacen(&typed, three(base.kind), 1);
        return Err(cursor
            .error_span(
                from,
                end,
                Fault::UnknownClass {
                    class: typed,
                    known: KnownClasses::Unj,
                },
            )
            .suggest([right]));
    }
    Ok(UnjThread { base })
}
