//! Where things lie on the tolerance bar, for the terminal and for pictures alike.

use super::off_scale::{OffScale, beyond};
use crate::document::Inspected;

/// How many tolerances beyond a limit a size may lie before the bar is broken there.
const FAR: f64 = 2.0;
/// The part of the tolerance that decides is drawn again where it is smaller than one in so many.
const WORTH_ZOOMING: f64 = 5.0;

/// Positions on the bar, in the document's unit; the bar runs from `from` to `to`.
pub struct Bar {
    pub from: f64,
    pub to: f64,
    pub lower: Option<f64>,
    pub upper: Option<f64>,
    /// Accepted between these; none where the rule accepts nothing.
    pub accepted: Option<(f64, f64)>,
    pub size: f64,
    /// The size less and plus its expanded uncertainty.
    pub interval: (f64, f64),
    /// Where the bar is broken out: the size lies too far beyond this place to be drawn where it is without pressing the
    /// tolerance together.
    pub broken: Option<f64>,
    /// The least and the greatest that are drawn where they are.
    drawn: (f64, f64),
}

impl Bar {
    /// The bar of a result: limits with a margin either side, and wide enough to show the size.
    pub fn of(result: &Inspected) -> Self {
        let (size, expanded) = (result.size.value, result.size.expanded_uncertainty);
        let (lower, upper) = (result.limits.min, result.limits.max);
        let mut low = lower.unwrap_or(f64::INFINITY).min(size - expanded);
        let mut high = upper.unwrap_or(f64::NEG_INFINITY).max(size + expanded);
        let mut broken = None;
        if let (Some(lower), Some(upper)) = (lower, upper) {
            let tolerance = upper - lower;
            if size > upper + FAR * tolerance {
                high = upper + tolerance;
                broken = Some(upper + tolerance / 2.0);
            } else if size < lower - FAR * tolerance {
                low = lower - tolerance;
                broken = Some(lower - tolerance / 2.0);
            }
        }
        let margin = ((high - low) * 0.06).max(f64::MIN_POSITIVE);
        let (from, to) = (low - margin, high + margin);
        let acceptance = &result.decision.acceptance;
        let accepted = (
            acceptance.lower.unwrap_or(from),
            acceptance.upper.unwrap_or(to),
        );
        let any = acceptance.lower.is_some() || acceptance.upper.is_some();
        Self {
            from,
            to,
            lower,
            upper,
            accepted: (any && accepted.0 <= accepted.1).then_some(accepted),
            size,
            interval: (size - expanded, size + expanded),
            // Only where it is broken does the margin belong to what lies beyond.
            drawn: if broken.is_some() {
                (low, high)
            } else {
                (from, to)
            },
            broken,
        }
    }

    /// The nearest limit drawn larger, where the whole bar is too coarse to tell the size from it.
    pub fn near(&self, result: &Inspected) -> Option<Self> {
        let (lower, upper) = (self.lower?, self.upper?);
        let limit = if self.size - lower < upper - self.size {
            lower
        } else {
            upper
        };
        let expanded = self.interval.1 - self.size;
        let guard = result.decision.guard_band.map_or(0.0, f64::abs);
        let half = ((self.size - limit).abs() + expanded).max(1.5 * guard);
        if self.broken.is_some() || half * WORTH_ZOOMING > upper - lower {
            return None;
        }
        let margin = 0.15 * half;
        let (from, to) = (limit - half - margin, limit + half + margin);
        let within = |value: f64| (from..=to).contains(&value);
        Some(Self {
            from,
            to,
            lower: Some(lower).filter(|lower| within(*lower)),
            upper: Some(upper).filter(|upper| within(*upper)),
            accepted: self.accepted,
            size: self.size,
            interval: self.interval,
            broken: None,
            drawn: (from, to),
        })
    }

    /// Whether a value lies on the part that is drawn.
    pub fn holds(&self, value: f64) -> bool {
        (self.drawn.0..=self.drawn.1).contains(&value)
    }

    /// The readings that lie beyond its ends.
    pub fn beyond(&self, result: &Inspected) -> Vec<OffScale> {
        beyond(result, self.drawn.0, self.drawn.1)
    }

    /// How far along the bar a value lies: 0 at its start, 1 at its end; what lies further out than is drawn, at its edge.
    pub fn along(&self, value: f64) -> f64 {
        let value = value.max(self.drawn.0).min(self.drawn.1);
        ((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }

    /// The bar in characters: `|` limits, `/` guard bands, `=` the uncertainty, `o` the size, `~` where it is broken out.
    pub fn in_characters(&self, columns: usize) -> String {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to columns"
        )]
        let column =
            |value: f64| (self.along(value) * (columns.saturating_sub(1)) as f64).round() as usize;
        let mut bar = vec![' '; columns];
        let mut fill = |from: usize, to: usize, with: char| {
            for cell in bar.iter_mut().take(to + 1).skip(from) {
                *cell = with;
            }
        };
        let inside = (
            column(self.lower.unwrap_or(self.from)),
            column(self.upper.unwrap_or(self.to)),
        );
        fill(inside.0, inside.1, '/');
        if let Some((from, to)) = self.accepted {
            fill(column(from).max(inside.0), column(to).min(inside.1), '-');
        }
        fill(column(self.interval.0), column(self.interval.1), '=');
        for limit in [self.lower, self.upper].into_iter().flatten() {
            fill(column(limit), column(limit), '|');
        }
        if let Some(broken) = self.broken {
            fill(column(broken), column(broken) + 1, '~');
        }
        fill(column(self.size), column(self.size), 'o');
        bar.into_iter().collect::<String>().trim_end().to_owned()
    }
}
