//! How many pieces between two zero checks: what a check costs against what it costs to measure again all that a failed one
//! leaves undecided.
//!
//! A zero wanders: what it moves by over m pieces is taken as normal about nothing with variance m v, where v is the mean square
//! of the drift a piece over the checks on record, Σ d² / Σ m. A check costs three readings, a piece that is measured again as
//! many as it has. Of all m the one is proposed that costs least a piece:
//!
//! ```text
//! cost(m) = 3/m + r · P(|drift| > limit after m pieces),   P = 2 (1 − Φ(limit / √(m v)))
//! ```
//!
//! Common practice, no source. The closures scatter too, and that is counted as drift: rather a check too many.

use ledger::{Filter, Ledger, Order, Page, Subject};
use metrology::correction::zero_error;
use metrology::inspection::{Contacts, Instrument, Job};
use metrology::uncertainty::normal_cdf;
use metrology::units::Entered;

use crate::bench::run::USUAL_PIECES;
use crate::bench::zero::CLOSURES;
use crate::error::Error;
use crate::kept;
use crate::lot_entry::{Checked, NUMBER, ZeroCheck};
use crate::record_kind::RecordKind;

/// So many of the latest checks are looked at.
const CHECKS: u32 = 50;
/// Fewer say nothing of how the zero wanders.
const FEWEST: usize = 5;
/// The most pieces between two checks that are proposed (common practice, no source).
const MOST: usize = 50;

/// What is proposed, and what it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Pieces between two checks.
    pub pieces: usize,
    /// Checks on record that it follows from; none where it is what is usual.
    pub checks: usize,
    /// Standard deviation of the drift over one piece, millimetres.
    pub drift: Option<f64>,
}

/// What is proposed for a set-up, from what is on the record of it.
pub fn interval(
    ledger: &Ledger,
    instrument: &Instrument,
    contacts: &Contacts,
    limit: f64,
    readings: usize,
) -> Result<Interval, Error> {
    let of_set_up = || {
        vec![
            Subject::new("contacts", contacts.id.trim()),
            Subject::new("instrument", instrument.id.trim()),
        ]
    };
    let page = Page::first(Order::NewestFirst, CHECKS);
    let filter = Filter {
        subjects: of_set_up(),
        ..RecordKind::ZeroCheck.standing()
    };
    let mut drifts: Vec<(f64, usize)> = Vec::new();
    for entry in ledger.list(&filter, &page)?.entries {
        let check = kept::read::<ZeroCheck>(kept::ZERO_CHECK, &entry.content.inputs);
        let checked = kept::read::<Checked>(kept::CHECKED, &entry.content.results);
        if let (Ok(check), Ok(checked)) = (check, checked) {
            drifts.push((checked.drift, check.pieces.len().max(1)));
        }
    }
    // Of single parts each has its closing check.
    let filter = Filter {
        subjects: of_set_up(),
        ..RecordKind::Inspection.standing()
    };
    for entry in ledger.list(&filter, &page)?.entries {
        let Ok(job) = kept::glance::<Job>(kept::JOB, &entry.content.inputs) else {
            continue;
        };
        if entry.content.subject(NUMBER).is_none()
            && let Some(drift) = drift_of(&job)
        {
            drifts.push((drift, 1));
        }
    }
    drifts.truncate(CHECKS as usize);
    Ok(pieces_between_checks(&drifts, limit, readings))
}

fn drift_of(job: &Job) -> Option<f64> {
    let values = |all: &[Entered]| all.iter().map(Entered::value).collect::<Vec<_>>();
    let (before, after) = (values(&job.zero.before), values(&job.zero.after));
    zero_error(&before, &after, job.standard.size.value())?.drift()
}

/// What is proposed by drifts, each with its pieces; lengths in millimetres.
pub fn pieces_between_checks(drifts: &[(f64, usize)], limit: f64, readings: usize) -> Interval {
    let usual = Interval {
        pieces: USUAL_PIECES,
        checks: 0,
        drift: None,
    };
    let pieces: usize = drifts.iter().map(|(_, pieces)| pieces).sum();
    if drifts.len() < FEWEST || pieces == 0 || limit <= 0.0 {
        return usual;
    }
    let square: f64 = drifts.iter().map(|(drift, _)| drift * drift).sum();
    let variance = square / pieces as f64;
    let cost = |m: usize| {
        let moved = (m as f64 * variance).sqrt();
        let failed = if moved > 0.0 {
            2.0 * (1.0 - normal_cdf(limit / moved))
        } else {
            0.0
        };
        CLOSURES as f64 / m as f64 + readings as f64 * failed
    };
    let best = (1..=MOST).min_by(|one, other| cost(*one).total_cmp(&cost(*other)));
    Interval {
        pieces: best.unwrap_or(USUAL_PIECES),
        checks: drifts.len(),
        drift: Some(variance.sqrt()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_zero_that_wanders_is_checked_more_often() {
        let limit = 0.002;
        let after = |drift: f64| pieces_between_checks(&[(drift, 10); 8], limit, 6);
        assert_eq!(after(0.0).pieces, MOST);
        let little = after(0.0005);
        let much = after(0.0015);
        assert!(much.pieces < little.pieces, "{much:?} {little:?}");
        // σ of a piece 1.5 µm/√10 = 0.474 µm. By hand, m = 4: 0.75 + 6 · 0.0350 = 0.960; 5: 0.6 + 6 · 0.0594 = 0.956; 6: 1.011.
        assert_eq!(much.pieces, 5);
        assert!((much.drift.unwrap() - 0.0015 / 10_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn few_checks_say_nothing() {
        let told = pieces_between_checks(&[(0.001, 3); 4], 0.002, 6);
        assert_eq!((told.pieces, told.checks), (USUAL_PIECES, 0));
    }
}
