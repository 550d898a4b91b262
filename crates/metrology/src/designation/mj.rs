//! MJ threads: metric with a mandatory root radius (ISO 5855-1).
//!
//! `MJ8x1-4h6h`, `mj6 x 1 - 4H5H`. Diameter, pitch and class are written as for M threads, so the designation is
//! read as one, without its J.

use super::metric;
use super::text::{Cursor, Text};
use crate::thread::Assumed;
use crate::thread::Kind;
use crate::thread::MjThread;
use crate::thread::ThreadError;
use crate::thread::metric::MetricClass;
use crate::thread::{Fault, KnownClasses};
use crate::units::Length;

/// 4h6h; in a nut 4H6H up to and including MJ5, 4H5H above. (ISO 5855-1, from memory.)
fn default_class(kind: Kind, diameter: Length, _pitch: Length) -> (MetricClass, Assumed) {
    let class = match kind {
        Kind::External => MetricClass::of(4, 6, b'h'),
        Kind::Internal if diameter <= Length::from_micrometres(5_000) => {
            MetricClass::of(4, 6, b'H')
        }
        Kind::Internal => MetricClass::of(4, 5, b'H'),
    };
    let taken = Assumed::MjClass {
        class: class.to_string(),
    };
    (class, taken)
}

/// Reads an MJ designation; the J is its second letter.
pub(super) fn read(text: &Text<'_>) -> Result<MjThread, ThreadError> {
    let metric_text = text.without(1);
    let cursor = Cursor::new(&metric_text);
    let with_j = |suggestion: &str| suggestion.replacen('M', "MJ", 1);
    let base =
        metric::read_with(cursor, default_class).map_err(|error| error.map_suggestions(with_j))?;
    let classes: &[MetricClass] = match base.class.kind() {
        Kind::External => &[MetricClass::of(4, 6, b'h'), MetricClass::of(4, 6, b'g')],
        Kind::Internal => &[MetricClass::of(4, 5, b'H'), MetricClass::of(4, 6, b'H')],
    };
    if !classes.contains(&base.class) {
        let typed = base.class.to_string();
        let (from, end) = cursor.last_place_of(&typed).unwrap_or((0, usize::MAX));
        let (right, _) = default_class(base.class.kind(), base.diameter, base.pitch);
        let thread = with_j(&base.to_string());
        return Err(cursor
            .error_span(
                from,
                end,
                Fault::UnknownClass {
                    class: typed.clone(),
                    known: KnownClasses::Mj,
                },
            )
            .suggest([thread.replacen(&format!("-{typed}"), &format!("-{right}"), 1)]));
    }
    Ok(MjThread { base })
}
