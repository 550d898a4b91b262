//! Repeatability and reproducibility: how much of the spread of readings is the measurement's.
//!
//! Source: measurement systems analysis manual of the car industry, 4th edition (2010), chapter III; from memory, checked by its
//! worked example.

mod anova;
mod control;
mod interval;
mod layout;
mod range;

pub use anova::{AnovaLine, VariationOf};
pub use control::{PartLimits, range};
pub use layout::{Design, Layout};
pub use range::RangeConstants;

use super::error::StudyError;

crate::codes! {
    /// How the components are found.
    pub enum Method "study-method" {
        /// Mean ranges of the trials, of the operators and of the parts.
        Range "range",
        /// Mean squares.
        Anova "anova",
    }
}

/// The multiple of part over gauge spread that counts as one category, as the manual rounds √2.
const CATEGORY: f64 = 1.41;

/// Standard deviations, in the unit of the readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Components {
    /// Of the same operator on the same part.
    pub repeatability: f64,
    /// From operator to operator.
    pub reproducibility: f64,
    /// Of operators that differ otherwise on one part than on another; 0 where it was pooled or is not looked for.
    pub interaction: f64,
    /// All of the measurement.
    pub gauge_rr: f64,
    /// From part to part.
    pub part: f64,
    /// Of all.
    pub total: f64,
}

/// A study of repeatability and reproducibility.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeatability {
    /// How it was evaluated.
    pub method: Method,
    /// How parts and operators go together.
    pub design: Design,
    /// How many operators.
    pub operators: usize,
    /// How many parts; in a nested study those of one operator.
    pub parts: usize,
    /// How many trials.
    pub trials: usize,
    /// The standard deviations.
    pub components: Components,
    /// Into how many groups the parts can be told apart: 1.41 part/gauge_rr, whole; `None` of a gauge without spread.
    pub distinct_categories: Option<u64>,
    /// 95 % intervals, of an analysis of variance only.
    pub intervals: Option<Intervals>,
    /// The table of variance, of an analysis of variance only.
    pub anova: Vec<AnovaLine>,
    /// Whether interaction and repeatability were pooled; `None` where there is no interaction to test.
    pub pooled: Option<bool>,
    /// The constants, of the range method only.
    pub constants: Option<RangeConstants>,
}

/// 95 % intervals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intervals {
    /// Of the standard deviation of the measurement.
    pub gauge_rr: (f64, f64),
    /// Of the number of categories.
    pub distinct_categories: (u64, u64),
}

impl Components {
    fn of(variances: [f64; 4]) -> Self {
        // A variance that comes out below zero is none.
        let [repeatability, reproducibility, interaction, part] =
            variances.map(|variance| variance.max(0.0));
        let gauge = repeatability + reproducibility + interaction;
        Self {
            repeatability: repeatability.sqrt(),
            reproducibility: reproducibility.sqrt(),
            interaction: interaction.sqrt(),
            gauge_rr: gauge.sqrt(),
            part: part.sqrt(),
            total: (gauge + part).sqrt(),
        }
    }

    /// 1.41 part/gauge_rr.
    fn categories(&self) -> f64 {
        CATEGORY * self.part / self.gauge_rr
    }

    /// Each of them by a factor, as percent of the whole: 100/total, or 100 · 6/tolerance.
    pub fn times(&self, factor: f64) -> Self {
        Self {
            repeatability: self.repeatability * factor,
            reproducibility: self.reproducibility * factor,
            interaction: self.interaction * factor,
            gauge_rr: self.gauge_rr * factor,
            part: self.part * factor,
            total: self.total * factor,
        }
    }

    /// In percent of the standard deviation of all.
    pub fn percent_of_total(&self) -> Self {
        self.times(100.0 / self.total)
    }

    /// Six of each in percent of a tolerance.
    pub fn percent_of_tolerance(&self, tolerance: f64) -> Self {
        self.times(600.0 / tolerance)
    }
}

impl Repeatability {
    /// Evaluates a study. Interaction and repeatability are pooled where the interaction is not significant at `alpha`.
    pub fn of(layout: &Layout, method: Method, alpha: f64) -> Result<Self, StudyError> {
        if !(alpha > 0.0 && alpha < 1.0) {
            return Err(StudyError::Alpha { given: alpha });
        }
        let mut study = Self {
            method,
            design: layout.design,
            operators: layout.operators(),
            parts: layout.parts(),
            trials: layout.trials(),
            components: Components::of([0.0; 4]),
            distinct_categories: None,
            intervals: None,
            anova: Vec::new(),
            pooled: None,
            constants: None,
        };
        match method {
            Method::Range => {
                let (components, constants) = range::evaluate(layout)?;
                study.components = components;
                study.constants = Some(constants);
            }
            Method::Anova => {
                let table = anova::Table::of(layout, alpha);
                study.components = Components::of(table.variances());
                study.intervals = interval::intervals(&table);
                study.pooled = table.pooled();
                study.anova = table.lines();
            }
        }
        if study.components.total <= 0.0 {
            return Err(StudyError::Constant);
        }
        let categories = study.components.categories();
        study.distinct_categories = whole(categories);
        Ok(study)
    }
}

/// Whole categories; `None` without end.
fn whole(categories: f64) -> Option<u64> {
    // A float goes to a whole number through its text: there is no cast that cannot lose it.
    format!("{:.0}", categories.floor().max(0.0)).parse().ok()
}
