//! Validation of the program where it is installed: published cases computed anew and held against print.
//!
//! The cases are the files under `cases/`, each row with its source; the tests of this crate use the same files. A case
//! agrees where it differs by no more than print can: half of the last digit printed, or the width that its file states
//! for it (what the trials of a Monte Carlo run scatter, what another document multiplies after rounding).

mod decisions;
pub mod examples;
pub mod limits;
mod uncertainty;
mod wires;

use std::num::NonZeroUsize;

use csv::StringRecord;

use crate::parallel;
use crate::source::Source;

crate::codes! {
    /// Cases of one kind.
    pub enum CaseSet "validation" {
        /// Rows of printed tables of Unified threads.
        UnifiedLimits "unified-limits",
        /// Rows of printed tables of metric threads.
        MetricLimits "metric-limits",
        /// Single cells: ties, exceptions and what charts misprint.
        SingleLimits "single-limits",
        /// Worked examples of limit gauges.
        Gauges "gauges",
        /// Readings over wires and balls, from the contact equations solved elsewhere.
        WireContact "wire-contact",
        /// Acme threads over wires, a table and an example in print.
        AcmeWires "acme-wires",
        /// Examples of the GUM.
        Gum "gum",
        /// Examples of its first supplement, by budget and by Monte Carlo.
        MonteCarlo "monte-carlo",
        /// Verdicts at the bounds of every decision rule, worked by hand.
        Decisions "decisions",
    }
}

impl CaseSet {
    /// Where the cases stand.
    pub const fn sources(self) -> &'static [Source] {
        match self {
            Self::UnifiedLimits => &[Source::AsmeB1_1],
            Self::MetricLimits => &[Source::Iso965_1],
            Self::SingleLimits => &[Source::AsmeB1_1, Source::Iso965_1, Source::Handbook27],
            Self::Gauges => &[Source::AsmeB1_2, Source::Iso1502],
            Self::WireContact => &[Source::Geometry],
            Self::AcmeWires => &[Source::Handbook31],
            Self::Gum => &[Source::Jcgm100],
            Self::MonteCarlo => &[Source::Jcgm101],
            Self::Decisions => &[
                Source::Iso14253_1,
                Source::IlacG8,
                Source::AsmeB89_7_3_1,
                Source::Z540_3,
                Source::Jcgm106,
            ],
        }
    }

    fn compared(self) -> Vec<Comparison> {
        match self {
            Self::UnifiedLimits => limits::unified(),
            Self::MetricLimits => limits::metric(),
            Self::SingleLimits => limits::single(),
            Self::Gauges => limits::gauges_of_examples(),
            Self::WireContact => wires::contact(),
            Self::AcmeWires => wires::acme(),
            Self::Gum => uncertainty::gum(),
            Self::MonteCarlo => uncertainty::supplement(),
            Self::Decisions => decisions::bounds(),
        }
    }
}

/// A value of a case.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number, in the unit of its case.
    Number(f64),
    /// A verdict, by its key.
    Verdict(String),
}

/// A published value and what this program gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// Which case, and which of its values: `1/4-20 UNC-2A major_max`.
    pub case: String,
    /// As published; none where the case cannot be read.
    pub published: Option<Value>,
    /// As computed; none where the program gives no such value.
    pub found: Option<Value>,
    /// How far a number may be off.
    pub allowed: f64,
}

impl Comparison {
    fn of_numbers(case: String, published: Option<f64>, found: Option<f64>, allowed: f64) -> Self {
        Self {
            case,
            published: published.map(Value::Number),
            found: found.map(Value::Number),
            allowed,
        }
    }

    /// How far the two numbers are apart; none for a verdict, and where one of them is missing.
    pub fn difference(&self) -> Option<f64> {
        match (&self.published, &self.found) {
            (Some(Value::Number(published)), Some(Value::Number(found))) => {
                Some((found - published).abs())
            }
            _ => None,
        }
    }

    /// Whether they agree.
    pub fn agrees(&self) -> bool {
        match self.difference() {
            Some(difference) => difference <= self.allowed,
            None => self.published.is_some() && self.published == self.found,
        }
    }

    /// The difference as a part of what is allowed: above 1 where they do not agree, infinite where there is nothing to
    /// divide.
    pub fn part_of_allowed(&self) -> f64 {
        match self.difference() {
            Some(difference) if self.allowed > 0.0 => difference / self.allowed,
            _ if self.agrees() => 0.0,
            _ => f64::INFINITY,
        }
    }
}

/// The cases of one set, compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Which set.
    pub set: CaseSet,
    /// Every value of every case.
    pub values: Vec<Comparison>,
}

impl Compared {
    /// The value that is off by the greatest part of what is allowed.
    pub fn worst(&self) -> Option<&Comparison> {
        self.values
            .iter()
            .max_by(|a, b| a.part_of_allowed().total_cmp(&b.part_of_allowed()))
    }

    /// How many do not agree.
    pub fn disagreeing(&self) -> usize {
        self.values.iter().filter(|value| !value.agrees()).count()
    }
}

/// Computes all cases, on so many threads; the answer is the same on any number of them.
///
/// ```
/// use std::num::NonZeroUsize;
///
/// for set in metrology::validation::validate(NonZeroUsize::MIN) {
///     assert_eq!(set.disagreeing(), 0, "{:?}", set.set);
/// }
/// ```
pub fn validate(threads: NonZeroUsize) -> Vec<Compared> {
    parallel::in_order(threads, CaseSet::EVERY, |set| Compared {
        set: *set,
        values: set.compared(),
    })
}

/// The rows of a file of cases.
fn rows(text: &'static str) -> impl Iterator<Item = StringRecord> {
    csv::Reader::from_reader(text.as_bytes())
        .into_records()
        .filter_map(Result::ok)
}

/// A cell; empty where there is none.
fn cell(row: &StringRecord, column: usize) -> &str {
    row.get(column).unwrap_or_default()
}

fn number(row: &StringRecord, column: usize) -> Option<f64> {
    cell(row, column).parse().ok()
}

/// Half of the last digit of a printed number.
fn half_digit(printed: &str) -> f64 {
    let decimals = printed
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    (0..decimals).fold(0.5, |half, _| half / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every value agrees, and none is left out: the counts are those of the files.
    #[test]
    fn every_case_agrees() {
        let all = validate(NonZeroUsize::MIN);
        let counts: Vec<(&str, usize)> = all
            .iter()
            .map(|one| (one.set.key(), one.values.len()))
            .collect();
        for compared in &all {
            for value in &compared.values {
                assert!(value.agrees(), "{value:?}");
            }
        }
        let of = |name| counts.iter().find(|(set, _)| *set == name).unwrap().1;
        assert_eq!(of("single-limits"), 68);
        assert_eq!(of("decisions"), 43);
        assert_eq!(of("gum"), 12);
        assert_eq!(of("monte-carlo"), 4 * 20);
        assert_eq!(of("wire-contact"), 14);
        assert_eq!(of("acme-wires"), 15);
        assert_eq!(of("gauges"), 26);
    }

    #[test]
    fn what_is_off_or_missing_does_not_agree() {
        let off = |found| Comparison::of_numbers("case".to_owned(), Some(1.0), found, 0.1);
        assert!(off(Some(1.05)).agrees() && off(Some(1.05)).part_of_allowed() < 1.0);
        assert!(!off(Some(1.2)).agrees() && off(Some(1.2)).part_of_allowed() > 1.0);
        assert!(!off(None).agrees() && off(None).part_of_allowed() == f64::INFINITY);
        assert!(!off(Some(f64::NAN)).agrees());
        let verdict = |found: &str| Comparison {
            case: "case".to_owned(),
            published: Some(Value::Verdict("accept".to_owned())),
            found: Some(Value::Verdict(found.to_owned())),
            allowed: 0.0,
        };
        assert!(verdict("accept").agrees() && !verdict("reject").agrees());
        assert_eq!(half_digit("0.0640"), 0.00005);
        assert_eq!(half_digit("32"), 0.5);
    }
}
