//! A coating as lines under the table of limits.

use std::fmt::Write as _;

use metrology::coating::{Coated, State};
use metrology::designation::Kind;
use metrology::limits::{Limits, ThreadLimits};
use metrology::units::{Length, LengthUnit};

use super::limits::assumed;
use super::small::item;
use super::text::WIDTH;
use crate::say;
use crate::words::{self, Shown, number};

/// Limits before and after coating, and whether it fits.
pub fn coating_lines(
    thread: &ThreadLimits,
    coated: &Coated,
    unit: Option<LengthUnit>,
    width: usize,
) -> String {
    let unit = unit.unwrap_or(thread.unit);
    let width = width.clamp(40, WIDTH);
    let mut out = String::new();
    let thin = |length: Length| number::thickness(length.mm(), unit);
    let (least, most) = (thin(coated.thickness.least), thin(coated.thickness.most));
    let coating = if least == most {
        say!("coating-table.thickness", thickness = most)
    } else {
        say!("coating-table.range", least = least, most = most)
    };
    // 4 at 60 degrees; more decimals where the flanks ask for them.
    let times = number::short(coated.factor, 3);
    let effect = match thread.kind {
        Kind::External => say!("coating-table.adds", times = times),
        Kind::Internal => say!("coating-table.takes", times = times),
    };
    let _ = writeln!(out, "\n  {coating}\n  {effect}");
    let mark = |state| {
        if state == coated.limits_hold {
            say!("coating-table.the-class")
        } else if state == State::Before {
            say!("coating-table.make-to")
        } else {
            say!("coating-table.at-most")
        }
    };
    let _ = writeln!(
        out,
        "  {:<16} {:>21}    {:>21}",
        say!("coating-table.limits", unit = unit),
        say!("coating-table.before", what = mark(State::Before)),
        say!("coating-table.after", what = mark(State::After)),
    );
    let (before, after) = (&coated.before, &coated.after);
    for (name, before, after) in [
        (say!("limits-table.major"), before.major, after.major),
        (
            say!("limits-table.pitch-diameter"),
            before.pitch_diameter,
            after.pitch_diameter,
        ),
        (say!("limits-table.minor"), before.minor, after.minor),
    ] {
        let _ = writeln!(
            out,
            "  {name:<16} {}    {}",
            pair(before, unit),
            pair(after, unit)
        );
    }
    let mut notes: Vec<String> = vec![match (&coated.conflict, coated.room) {
        (Some(conflict), _) => {
            let conflict = words::message(conflict, Shown::of_coating(unit));
            say!("coating-table.does-not-fit", conflict = conflict)
        }
        (None, Some(room)) => say!("coating-table.fits-up-to", thickness = thin(room)),
        (None, None) => say!("coating-table.fits").into(),
    }];
    notes.extend(assumed(&coated.assumed));
    notes.extend(coated.notes.iter().map(words::word));
    for note in notes {
        out += &item(&note, width);
    }
    out
}

fn pair(limits: Limits, unit: LengthUnit) -> String {
    let Shown { unit, decimals } = Shown::of_coating(unit);
    let text = |limit: Option<Length>| {
        limit.map_or("-".to_owned(), |limit| {
            number::rounded(limit, unit, decimals)
        })
    };
    format!("{:>10} {:>10}", text(limits.lower), text(limits.upper))
}
