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

/// What the rules ask for after some lots.
struct After {
    asked: Proposal,
    /// Under normal inspection since it was last asked for: the latest five, and how many were accepted in a row.
    latest: Vec<bool>,
    accepted: usize,
    /// Under tightened inspection: accepted in a row, and rejected since it was last asked for.
    accepted_tightened: usize,
    rejected_tightened: usize,
}

/// The severity for the lot after these, oldest first.
///
/// A lot under normal inspection while tightened inspection is asked for changes nothing: only lots under tightened inspection
/// lead back (4.7.2). A person may go to another severity than the one asked for in every other case.
pub fn next_severity(lots: &[LotResult]) -> Proposal {
    let mut after = After {
        asked: Proposal {
            severity: Severity::Normal,
            why: Why::Begins,
        },
        latest: Vec::new(),
        accepted: 0,
        accepted_tightened: 0,
        rejected_tightened: 0,
    };
    for lot in lots {
        after.take(*lot);
    }
    after.asked
}

impl After {
    fn take(&mut self, lot: LotResult) {
        let tightened = lot.severity == Severity::Tightened;
        self.accepted_tightened = match (tightened, lot.accepted) {
            (true, true) => self.accepted_tightened + 1,
            _ => 0,
        };
        if self.asked.severity == Severity::Tightened && !tightened {
            return;
        }
        match lot.severity {
            Severity::Normal => self.normal(lot),
            Severity::Tightened => self.tightened(lot),
            Severity::Reduced => self.reduced(lot),
        }
    }

    fn ask(&mut self, severity: Severity, why: Why) {
        if severity != self.asked.severity {
            self.latest.clear();
            self.accepted = 0;
            self.rejected_tightened = 0;
        }
        self.asked = Proposal { severity, why };
    }

    fn normal(&mut self, lot: LotResult) {
        self.ask(Severity::Normal, Why::Stays);
        self.latest.push(lot.accepted);
        let first = self.latest.len().saturating_sub(5);
        let of_five = self.latest.iter().skip(first);
        let rejected = of_five.filter(|accepted| !**accepted).count();
        self.accepted = if lot.accepted { self.accepted + 1 } else { 0 };
        if rejected >= 2 {
            self.ask(Severity::Tightened, Why::TwoOfFiveRejected);
        } else if self.accepted >= 10 {
            self.ask(Severity::Normal, Why::ReducedPossible);
        }
    }

    fn tightened(&mut self, lot: LotResult) {
        self.ask(Severity::Tightened, Why::Stays);
        self.rejected_tightened += usize::from(!lot.accepted);
        if self.accepted_tightened >= 5 {
            self.ask(Severity::Normal, Why::FiveAccepted);
        } else if self.rejected_tightened >= 5 {
            self.ask(Severity::Tightened, Why::Discontinue);
        }
    }

    fn reduced(&mut self, lot: LotResult) {
        self.ask(Severity::Reduced, Why::Stays);
        if !lot.accepted {
            self.ask(Severity::Normal, Why::ReducedRejected);
        } else if lot.between {
            self.ask(Severity::Normal, Why::ReducedBetween);
        }
    }
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

    /// Tightened inspection that was asked for is not over because nobody did it.
    #[test]
    fn only_lots_under_tightened_inspection_lead_back() {
        use Severity::{Normal, Tightened};
        let mut run = lots(Normal, "rraaaaaaaaaaaa");
        let ask = Proposal {
            severity: Tightened,
            why: Why::TwoOfFiveRejected,
        };
        assert_eq!(next_severity(&run), ask);
        run.extend(lots(Tightened, "aaa"));
        assert_eq!(next_severity(&run).severity, Tightened);
        // Consecutive: one under normal inspection breaks the row.
        run.extend(lots(Normal, "a"));
        run.extend(lots(Tightened, "aaaa"));
        assert_eq!(next_severity(&run).severity, Tightened);
        run.extend(lots(Tightened, "a"));
        assert_eq!(next_severity(&run).why, Why::FiveAccepted);
        // Somebody who stays under it may go to normal inspection all the same.
        run.extend(lots(Tightened, "a"));
        assert_eq!(next_severity(&run).severity, Normal);
    }
}
