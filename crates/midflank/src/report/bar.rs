//! Where things lie on the tolerance bar, for the terminal and for pictures alike.

use crate::document::Inspected;

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
}

impl Bar {
    /// The bar of a result: limits with a margin either side, and wide enough to show the size.
    pub fn of(result: &Inspected) -> Self {
        let (size, expanded) = (result.size.value, result.size.expanded_uncertainty);
        let (lower, upper) = (result.limits.min, result.limits.max);
        let low = lower.unwrap_or(f64::INFINITY).min(size - expanded);
        let high = upper.unwrap_or(f64::NEG_INFINITY).max(size + expanded);
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
        }
    }

    /// How far along the bar a value lies: 0 at its start, 1 at its end, held within.
    pub fn along(&self, value: f64) -> f64 {
        ((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }

    /// The bar in characters: `|` limits, `/` guard bands, `=` the uncertainty, `o` the size.
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
        fill(column(self.size), column(self.size), 'o');
        bar.into_iter().collect::<String>().trim_end().to_owned()
    }
}
