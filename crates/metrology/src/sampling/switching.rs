//! Which severity of inspection the next lot gets, from the lots before it.
//!
//! Source: MIL-STD-105E, 4.7.1 to 4.8, as a public copy has it.

use super::plan_105e::Severity;

/// How an earlier lot ended on original inspection; resubmitted lots do not count (4.7.1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LotResult {
    /// Under which severity it was inspected.
    pub severity: Severity,
    /// Whether it was accepted.
    pub accepted: bool,
    /// Under reduced inspection: more nonconforming pieces than the acceptance number, fewer than the rejection number. The
    /// lot is accepted, and the next one comes under normal inspection (4.7.4 b).
    pub between: bool,
}

crate::codes! {
    /// Why this severity.
    pub enum Why "switching" {
        /// No lot yet (4.6).
        Begins "begins",
        /// No rule asks for a change.
        Stays "stays",
        /// 4.7.1.
        TwoOfFiveRejected "two-of-five-rejected",
        /// 4.7.2.
        FiveAccepted "five-accepted",
        /// 4.7.4 a.
        ReducedRejected "reduced-rejected",
        /// 4.7.4 b.
        ReducedBetween "reduced-between",
        /// 4.7.3 a.
        ReducedPossible "reduced-possible",
        /// 4.8.
        Discontinue "discontinue",
    }
}

/// What is proposed for the next lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Proposal {
    pub severity: Severity,
    /// Why. With [`Why::ReducedPossible`] ten lots in a row were accepted under normal inspection: a person may go to reduced
    /// inspection if production is steady and the limit number of Table VIII is kept, which was not read (4.7.3). With
    /// [`Why::Discontinue`] five lots under tightened inspection were rejected: no lot is accepted by these plans until
    /// something was done about the cause (4.8).
    pub why: Why,
}

/// The severity for the lot after these, oldest first.
pub fn next_severity(lots: &[LotResult]) -> Proposal {
    let Some(last) = lots.last() else {
        return Proposal {
            severity: Severity::Normal,
            why: Why::Begins,
        };
    };
    // Only the unbroken run under the present severity counts.
    let run: Vec<&LotResult> = lots
        .iter()
        .rev()
        .take_while(|lot| lot.severity == last.severity)
        .collect();
    let rejected = |lots: usize| run.iter().take(lots).filter(|lot| !lot.accepted).count();
    let accepted_in_a_row = run.iter().take_while(|lot| lot.accepted).count();
    let (severity, why) = match last.severity {
        Severity::Normal if rejected(5) >= 2 => (Severity::Tightened, Why::TwoOfFiveRejected),
        Severity::Normal if accepted_in_a_row >= 10 => (Severity::Normal, Why::ReducedPossible),
        Severity::Tightened if accepted_in_a_row >= 5 => (Severity::Normal, Why::FiveAccepted),
        Severity::Tightened if rejected(run.len()) >= 5 => (Severity::Tightened, Why::Discontinue),
        Severity::Reduced if !last.accepted => (Severity::Normal, Why::ReducedRejected),
        Severity::Reduced if last.between => (Severity::Normal, Why::ReducedBetween),
        same => (same, Why::Stays),
    };
    Proposal { severity, why }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lots(severity: Severity, results: &str) -> Vec<LotResult> {
        let of = |mark| LotResult {
            severity,
            accepted: mark != 'r',
            between: mark == 'b',
        };
        results.chars().map(of).collect()
    }

    #[test]
    fn each_rule() {
        use Severity::{Normal, Reduced, Tightened};
        for (before, results, severity, why) in [
            (Normal, "", Normal, Why::Begins),
            (Normal, "ara", Normal, Why::Stays),
            (Normal, "rr", Tightened, Why::TwoOfFiveRejected),
            (Normal, "raaar", Tightened, Why::TwoOfFiveRejected),
            (Normal, "raaaar", Normal, Why::Stays),
            (Normal, "aaaaaaaaaa", Normal, Why::ReducedPossible),
            (Normal, "raaaaaaaaa", Normal, Why::Stays),
            (Tightened, "aaaa", Tightened, Why::Stays),
            (Tightened, "raaaaa", Normal, Why::FiveAccepted),
            (Tightened, "rararrar", Tightened, Why::Discontinue),
            (Reduced, "aaa", Reduced, Why::Stays),
            (Reduced, "aab", Normal, Why::ReducedBetween),
            (Reduced, "aar", Normal, Why::ReducedRejected),
        ] {
            let proposal = next_severity(&lots(before, results));
            assert_eq!(proposal, Proposal { severity, why }, "{results}");
        }
        // Lots before a change of severity do not count.
        let mut changed = lots(Normal, "r");
        changed.extend(lots(Tightened, "aaaaa"));
        changed.extend(lots(Normal, "ar"));
        assert_eq!(next_severity(&changed).why, Why::Stays);
    }
}
