//! How many pieces of a lot are taken, and what their number says.

use super::error::PlanError;
use metrology::sampling::{Aql, Level, SamplingError, Severity, single_plan, zero_acceptance};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// How many pieces are taken, and with how many nonconforming ones the lot is accepted or rejected.
#[derive(Clone, Debug, PartialEq)]
pub struct Pieces {
    /// How they are chosen.
    pub by: By,
    /// Pieces of the lot, where that is stated.
    pub lot_size: Option<u64>,
    /// Pieces to be measured; none where all are and nobody said how many there are.
    pub n: Option<u64>,
    /// Acceptance number Ac.
    pub accept: u64,
    /// Rejection number Re.
    pub reject: u64,
}

/// How the pieces are chosen, with what that needs to be told.
#[derive(Clone, Debug, PartialEq)]
pub enum By {
    All,
    /// A number that somebody stated.
    Fixed,
    /// A single plan of MIL-STD-105E: inspection level, AQL and severity as written.
    MilStd105E {
        level: String,
        aql: String,
        severity: String,
    },
    /// The least sample that accepts on zero: the fraction that is to be found out, and the risk of accepting it.
    ZeroAcceptance {
        limiting_fraction: Decimal,
        risk: f64,
    },
}

metrology::codes! {
    /// How many pieces of a lot are taken.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Take "plan-take" {
        All "all",
        /// A number that somebody stated.
        Fixed "fixed",
        /// A single plan of MIL-STD-105E.
        #[serde(rename = "105e")]
        MilStd105E "105e",
        /// The least sample that accepts on zero at a stated risk.
        ZeroAcceptance "zero-acceptance",
    }
}

impl By {
    /// Which way that is.
    pub const fn take(&self) -> Take {
        match self {
            Self::All => Take::All,
            Self::Fixed => Take::Fixed,
            Self::MilStd105E { .. } => Take::MilStd105E,
            Self::ZeroAcceptance { .. } => Take::ZeroAcceptance,
        }
    }
}

impl Pieces {
    /// The most nonconforming pieces with which a lot is accepted, see [`Self::numbers`].
    pub fn most_accepted(&self) -> u64 {
        self.numbers().0
    }

    /// The most nonconforming pieces with which a lot is accepted, and the fewest with which it is rejected, as they can be met by
    /// the pieces that are taken: a plan recorded before such numbers were refused may accept as many nonconforming pieces as it
    /// takes. Between the two numbers of a reduced plan a lot is accepted too, and the next comes under normal inspection
    /// (MIL-STD-105E, 4.7.4 b); between two numbers that somebody stated it is not.
    pub fn numbers(&self) -> (u64, u64) {
        match (&self.by, self.n) {
            // A piece may have several nonconformities: the lot is accepted only where none has any.
            _ if self.counts_nonconformities().is_some() => (0, self.reject),
            (By::MilStd105E { .. }, _) => (self.reject.saturating_sub(1), self.reject),
            (By::All | By::Fixed, Some(n)) if n > 0 => (self.accept.min(n - 1), self.reject.min(n)),
            _ => (self.accept, self.reject),
        }
    }

    /// The AQL, where it is one of nonconformities per hundred units (MIL-STD-105E, 4.2: above 10 only of those).
    fn counts_nonconformities(&self) -> Option<&str> {
        let By::MilStd105E { aql, .. } = &self.by else {
            return None;
        };
        let is_fraction = Aql::parse(aql).is_ok_and(|aql| aql.fraction().is_some());
        (!is_fraction).then_some(aql)
    }

    /// Why the numbers of a plan say nothing on pieces: it accepts whatever is found, can never reject, or counts something else.
    pub fn say_nothing(&self) -> Option<PlanError> {
        if let Some(aql) = self.counts_nonconformities() {
            let aql = aql.to_owned();
            return Some(PlanError::CountsNonconformities { aql });
        }
        let (accept, reject) = (self.accept, self.reject);
        let n = self.n.filter(|_| matches!(self.by, By::All | By::Fixed))?;
        match () {
            () if accept >= n => Some(PlanError::AcceptsAll { accept, n }),
            () if reject > n => Some(PlanError::NeverRejects { reject, n }),
            () => None,
        }
    }

    /// The same way of taking pieces for a lot of another size. A fixed number is never more than there are.
    pub fn of_lot(&self, size: u64) -> Result<Self, SamplingError> {
        let (n, accept, reject) = match &self.by {
            By::All => (size, self.accept, self.reject),
            By::Fixed => (self.n.unwrap_or(size).min(size), self.accept, self.reject),
            By::MilStd105E {
                level,
                aql,
                severity,
            } => {
                let plan = single_plan(
                    size,
                    Level::parse(level)?,
                    Aql::parse(aql)?,
                    Severity::parse(severity)?,
                )?;
                (plan.n, plan.c, plan.r)
            }
            By::ZeroAcceptance {
                limiting_fraction,
                risk,
            } => (zero_acceptance(size, *limiting_fraction, *risk)?, 0, 1),
        };
        Ok(Self {
            by: self.by.clone(),
            lot_size: Some(size),
            n: Some(n),
            accept,
            reject,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Code letter G, AQL 1.5 (MIL-STD-105E, table II-C): 13 pieces, Ac 0, Re 2.
    #[test]
    fn a_reduced_plan_accepts_up_to_its_rejection_number() {
        let by = By::MilStd105E {
            level: "II".to_owned(),
            aql: "1.5".to_owned(),
            severity: "reduced".to_owned(),
        };
        let pieces = Pieces {
            by,
            lot_size: Some(280),
            n: Some(13),
            accept: 0,
            reject: 2,
        };
        assert_eq!(pieces.of_lot(280).unwrap(), pieces);
        assert_eq!(pieces.most_accepted(), 1);
        let stated = Pieces {
            by: By::Fixed,
            ..pieces
        };
        assert_eq!(stated.most_accepted(), 0);
    }

    /// Code letter D, AQL 40 (MIL-STD-105E, table II-A): 8 units, Ac 7, Re 8 nonconformities, of which six pieces may have twelve.
    #[test]
    fn pieces_are_not_counted_where_nonconformities_are_meant() {
        let by = |aql: &str| By::MilStd105E {
            level: "II".to_owned(),
            aql: aql.to_owned(),
            severity: "normal".to_owned(),
        };
        let pieces = Pieces {
            by: by("40"),
            lot_size: Some(50),
            n: Some(8),
            accept: 7,
            reject: 8,
        };
        assert_eq!(pieces.of_lot(50).unwrap(), pieces);
        assert_eq!(pieces.numbers(), (0, 8));
        assert!(matches!(
            pieces.say_nothing(),
            Some(PlanError::CountsNonconformities { .. })
        ));
        let percent = Pieces {
            by: by("10"),
            ..pieces
        };
        assert_eq!(percent.say_nothing(), None);
    }

    /// Code letters H and E at level II, AQL 1.5 (MIL-STD-105E, tables I and II-A): the arrow leads to the sample of 8.
    #[test]
    fn another_lot_has_another_sample() {
        let by = By::MilStd105E {
            level: "II".to_owned(),
            aql: "1.5".to_owned(),
            severity: "normal".to_owned(),
        };
        let pieces = Pieces {
            by,
            lot_size: Some(280),
            n: Some(32),
            accept: 1,
            reject: 2,
        };
        assert_eq!(pieces.of_lot(280).unwrap(), pieces);
        let small = pieces.of_lot(40).unwrap();
        assert_eq!((small.n, small.accept, small.reject), (Some(8), 0, 1));
    }
}
