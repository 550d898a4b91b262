//! Two-way analysis of variance, crossed or nested, with operators and parts taken as drawn from many.

use super::layout::{Design, Layout};
use crate::double_double::{DoubleDouble, squares};
use crate::probability::f_upper_tail;

crate::codes! {
    /// What varies in a line of the table of variance.
    pub enum VariationOf "variation" {
        /// Operators.
        Operator "operator",
        /// Parts; in a nested study parts within operators.
        Part "part",
        /// Operators that differ otherwise on one part than on another.
        Interaction "interaction",
        /// Trials.
        Repeatability "repeatability",
        /// Interaction and repeatability together.
        Pooled "pooled",
        /// All.
        Total "total",
    }
}

/// A line of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnovaLine {
    /// What varies.
    pub source: VariationOf,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Sum of squares.
    pub sum_of_squares: f64,
    /// Mean square; none of the total.
    pub mean_square: Option<f64>,
    /// Against the mean square below it that has the same expectation but for this component: operators and parts against
    /// interaction (nested: operators against parts), interaction against repeatability.
    pub f: Option<f64>,
    /// Probability of an F as large or larger where the component is none.
    pub p: Option<f64>,
    /// Against the pooled mean square, where it was pooled.
    pub f_pooled: Option<f64>,
    pub p_pooled: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Square {
    pub df: usize,
    pub ss: f64,
}

/// Sums of squares and what they are of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Table {
    design: Design,
    operators: f64,
    parts: f64,
    trials: f64,
    operator: Square,
    part: Square,
    /// Crossed only.
    interaction: Option<Square>,
    repeatability: Square,
    total: f64,
    /// How many readings.
    count: usize,
    pool: bool,
}

impl Square {
    fn new(df: usize, ss: DoubleDouble) -> Self {
        Self { df, ss: ss.value() }
    }

    pub(super) fn mean(self) -> f64 {
        self.ss / self.df as f64
    }

    fn with(self, other: Self) -> Self {
        Self {
            df: self.df + other.df,
            ss: self.ss + other.ss,
        }
    }

    /// F and its probability; nothing against a mean square of zero.
    fn against(self, below: Self) -> Option<(f64, f64)> {
        let f = self.mean() / below.mean();
        f.is_finite()
            .then(|| (f, f_upper_tail(f, self.df as f64, below.df as f64)))
    }
}

impl Table {
    pub(super) fn of(layout: &Layout, alpha: f64) -> Self {
        let (k, n, r) = (layout.operators(), layout.parts(), layout.trials());
        // Sums about the first reading instead of means, which may not come out even: what does not vary has no square.
        let first = layout.cells.iter().flatten().flatten().next();
        let first = first.copied().unwrap_or(DoubleDouble::ZERO);
        let add = |all: &[DoubleDouble]| -> DoubleDouble { all.iter().copied().sum() };
        let of_cells: Vec<Vec<DoubleDouble>> = layout
            .cells
            .iter()
            .map(|own| {
                let cell = |cell: &Vec<DoubleDouble>| cell.iter().map(|value| *value - first).sum();
                own.iter().map(cell).collect()
            })
            .collect();
        let of_operators: Vec<DoubleDouble> = of_cells.iter().map(|own| add(own)).collect();
        let repeatability: DoubleDouble = layout
            .cells
            .iter()
            .flatten()
            .map(|cell| squares(cell))
            .sum();
        let operator = squares(&of_operators) / (n * r).into();
        let all: Vec<DoubleDouble> = layout.cells.iter().flatten().flatten().copied().collect();
        let (part, interaction) = match layout.design {
            Design::Crossed => {
                let of_parts: Vec<DoubleDouble> = (0..n)
                    .map(|part| {
                        let own = of_cells.iter().filter_map(|own| own.get(part));
                        own.copied().sum()
                    })
                    .collect();
                let part = squares(&of_parts) / (k * r).into();
                let (k_times, n_times) = (DoubleDouble::from(k), DoubleDouble::from(n));
                let total = add(&of_operators);
                let mut rest = DoubleDouble::ZERO;
                for (own, of_operator) in of_cells.iter().zip(&of_operators) {
                    for (cell, of_part) in own.iter().zip(&of_parts) {
                        let off =
                            *cell * k_times * n_times - *of_operator * k_times - *of_part * n_times
                                + total;
                        rest = rest + off.squared();
                    }
                }
                let times = (k_times * n_times).squared() * r.into();
                let interaction = Square::new((k - 1) * (n - 1), rest / times);
                (Square::new(n - 1, part), Some(interaction))
            }
            Design::Nested => {
                let within: DoubleDouble = of_cells.iter().map(|own| squares(own)).sum();
                (Square::new(k * (n - 1), within / r.into()), None)
            }
        };
        let repeatability = Square::new(k * n * (r - 1), repeatability);
        let p = interaction.map(|interaction| {
            let tested = interaction.against(repeatability);
            // Where trials do not vary at all, an interaction that does is significant.
            tested.map_or(f64::from(interaction.ss <= 0.0), |(_, p)| p)
        });
        Self {
            design: layout.design,
            operators: k as f64,
            parts: n as f64,
            trials: r as f64,
            operator: Square::new(k - 1, operator),
            part,
            interaction,
            repeatability,
            total: squares(&all).value(),
            count: all.len(),
            pool: p.is_some_and(|p| p > alpha),
        }
    }

    pub(super) fn pooled(&self) -> Option<bool> {
        self.interaction.map(|_| self.pool)
    }

    fn pooled_square(&self) -> Option<Square> {
        let interaction = self.interaction.filter(|_| self.pool)?;
        Some(interaction.with(self.repeatability))
    }

    /// The squares that the components come from: operator, part, what lies below both, repeatability.
    pub(super) fn squares(&self) -> [Square; 4] {
        let pooled = self.pooled_square();
        let repeatability = pooled.unwrap_or(self.repeatability);
        let below = match self.design {
            Design::Crossed => pooled.or(self.interaction).unwrap_or(repeatability),
            Design::Nested => repeatability,
        };
        [self.operator, self.part, below, repeatability]
    }

    /// Variances of repeatability, reproducibility, interaction and part.
    pub(super) fn variances(&self) -> [f64; 4] {
        let [operator, part, below, repeatability] = self.squares().map(Square::mean);
        let of_operator = self.of_operator();
        match self.design {
            Design::Crossed => [
                repeatability,
                (operator - below) / of_operator,
                self.interaction_of(below, repeatability),
                (part - below) / self.of_part(),
            ],
            Design::Nested => [
                repeatability,
                (operator - part) / of_operator,
                0.0,
                (part - repeatability) / self.trials,
            ],
        }
    }

    pub(super) const fn design(&self) -> Design {
        self.design
    }

    /// How many trials.
    pub(super) const fn trials(&self) -> f64 {
        self.trials
    }

    /// How many readings of each operator.
    pub(super) fn of_operator(&self) -> f64 {
        self.parts * self.trials
    }

    /// How many readings of each part, in a crossed study.
    pub(super) fn of_part(&self) -> f64 {
        self.operators * self.trials
    }

    /// The variance of the interaction by the mean squares below and of repeatability; none where it is not looked for.
    pub(super) fn interaction_of(&self, below: f64, repeatability: f64) -> f64 {
        if self.one_below() {
            0.0
        } else {
            ((below - repeatability) / self.trials).max(0.0)
        }
    }

    /// Whether what lies below operators and parts is the repeatability itself.
    pub(super) fn one_below(&self) -> bool {
        self.pool || self.design == Design::Nested
    }

    pub(super) fn lines(&self) -> Vec<AnovaLine> {
        let pooled = self.pooled_square();
        let line = |source, square: Square, below: Option<Square>, tested_again: bool| {
            let f = below.and_then(|below| square.against(below));
            let again = pooled
                .filter(|_| tested_again)
                .and_then(|below| square.against(below));
            AnovaLine {
                source,
                degrees_of_freedom: square.df,
                sum_of_squares: square.ss,
                mean_square: Some(square.mean()),
                f: f.map(|(f, _)| f),
                p: f.map(|(_, p)| p),
                f_pooled: again.map(|(f, _)| f),
                p_pooled: again.map(|(_, p)| p),
            }
        };
        let mut lines = Vec::new();
        let below = self.interaction.unwrap_or(self.repeatability);
        let below_operator = self.interaction.unwrap_or(self.part);
        lines.push(line(
            VariationOf::Operator,
            self.operator,
            Some(below_operator),
            true,
        ));
        lines.push(line(VariationOf::Part, self.part, Some(below), true));
        lines.extend(self.interaction.map(|interaction| {
            line(
                VariationOf::Interaction,
                interaction,
                Some(self.repeatability),
                false,
            )
        }));
        lines.push(line(
            VariationOf::Repeatability,
            self.repeatability,
            None,
            false,
        ));
        lines.extend(pooled.map(|pooled| line(VariationOf::Pooled, pooled, None, false)));
        lines.push(AnovaLine {
            mean_square: None,
            ..line(
                VariationOf::Total,
                Square {
                    df: self.count - 1,
                    ss: self.total,
                },
                None,
                false,
            )
        });
        lines
    }
}
