//! What the laboratory has approved: values in the place of the program's defaults, and uncertainties of its own, kept in
//! the ledger.
//!
//! An approval is an entry of kind [`RecordKind::Approval`]. Nothing is edited: another value is a new entry that amends the earlier
//! one, and `ledger amend` withdraws one with all that it took the place of. A job takes of each the last that was given by
//! the day of its measurement and keeps it with its numbers.

use jiff::civil::Date;
use ledger::{Draft, Entry, EntryId, EntryRef, Filter, Ledger, Order, Subject};
use metrology::inspection::{Approved, Characteristic, OwnUncertainty, StudyOfOther, StudyPrior};

use crate::approving::APPROVALS;
pub use crate::approving::{ApprovedStudy, Approving, SIZE, SetUp, SetUpUncertainty};
use crate::error::Error;
use crate::kept::{self, Unreadable};
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

/// An approval, and the entry that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    pub approving: Approving,
    pub entry: EntryId,
}

/// All that is approved.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Approvals {
    /// What stands, the latest first.
    pub standing: Vec<Standing>,
    /// The same with what each took the place of: the latest first of each.
    given: Vec<Approving>,
}

impl Approvals {
    /// Reads them from the ledger: standing entries, the latest of each.
    pub fn read(ledger: &Ledger) -> Result<Self, Error> {
        let filter = Filter {
            subjects: vec![Subject::new(APPROVALS.0, APPROVALS.1)],
            ..RecordKind::Approval.standing()
        };
        let mut all = Self::default();
        each_whole(ledger, &filter, Order::NewestFirst, |entry| {
            let standing = Standing {
                approving: approving(entry)?,
                entry: entry.id(),
            };
            if all.same(&standing.approving).is_none() {
                if rests_on_withdrawn(ledger, &standing.approving) {
                    all.standing.push(standing);
                    return Ok(());
                }
                all.given.push(standing.approving.clone());
                for earlier in before(ledger, entry)? {
                    if !rests_on_withdrawn(ledger, &earlier) {
                        all.given.push(earlier);
                    }
                }
                all.standing.push(standing);
            }
            Ok(())
        })?;
        Ok(all)
    }

    /// These, the latest first of each.
    pub const fn of(given: Vec<Approving>) -> Self {
        Self {
            standing: Vec::new(),
            given,
        }
    }

    fn same(&self, approving: &Approving) -> Option<&Standing> {
        let mut standing = self.standing.iter();
        standing.find(|known| known.approving.is_of_the_same(approving))
    }

    /// What is in force on a day: of each the last that was given by then, also where its review is overdue.
    pub fn in_force(&self, day: Date) -> InForce<'_> {
        let mut all: Vec<&Approving> = Vec::new();
        for approving in &self.given {
            let is_given = approving.approval().is_some_and(|one| one.is_given(day));
            if is_given && !all.iter().any(|known| known.is_of_the_same(approving)) {
                all.push(approving);
            }
        }
        InForce(all)
    }
}

/// Whether an approval is of a study that was withdrawn: it counts for no new job, and what it took the place of does not come back.
fn rests_on_withdrawn(ledger: &Ledger, approving: &Approving) -> bool {
    let Approving::Study(one) = approving else {
        return false;
    };
    let Ok(study) = one.prior.study.parse::<EntryRef>() else {
        return false;
    };
    // A study of which the ledger has nothing is told by verification.
    ledger
        .get(&study)
        .is_ok_and(|study| study.amended_by.is_some())
}

/// What an approval took the place of, the latest first.
fn before(ledger: &Ledger, entry: &Entry) -> Result<Vec<Approving>, Error> {
    if entry.content.amends.is_none() {
        return Ok(Vec::new());
    }
    let history = ledger.history(&entry.id().into())?;
    let earlier = history.iter().rev().skip(1);
    earlier
        .take_while(|entry| RecordKind::Approval.is_of(entry))
        .map(approving)
        .collect()
}

/// What is in force on a day.
pub struct InForce<'a>(Vec<&'a Approving>);

impl InForce<'_> {
    /// Values in the place of defaults, as a job keeps them.
    pub fn defaults(&self) -> Vec<Approved> {
        let approved = self.0.iter().filter_map(|approving| match approving {
            Approving::Default(approved) => Some(approved.clone()),
            Approving::Uncertainty(_) | Approving::Study(_) => None,
        });
        approved.collect()
    }

    /// What an approved study tells of a set-up that measures this; of several the one that was approved last.
    pub fn study(&self, set_up: &SetUp, measured: &Characteristic) -> Option<&StudyPrior> {
        let studies = self.0.iter().filter_map(|approving| match approving {
            Approving::Study(one) if one.set_up == *set_up && one.holds(measured) => {
                Some(&one.prior)
            }
            _ => None,
        });
        // All are given for different sizes: the latest comes first among those of one day.
        studies.rev().max_by_key(|prior| prior.approval.on)
    }

    /// A study of the same micrometer and contacts that is approved for other sizes, or else one that measured something else, where
    /// none holds for this and one is not overdue.
    pub fn study_of_other(
        &self,
        set_up: &SetUp,
        measured: &Characteristic,
        day: Date,
    ) -> Option<StudyOfOther> {
        if self.study(set_up, measured).is_some() {
            return None;
        }
        let of_other = self.0.iter().filter_map(|approving| match approving {
            Approving::Study(one) if one.set_up.is_of_the_same_pieces(set_up) => Some(&**one),
            _ => None,
        });
        let counting = of_other.filter(|one| one.prior.approval.counts(day));
        let of_sizes = |one: &&ApprovedStudy| one.set_up == *set_up;
        let last = counting
            .rev()
            .max_by_key(|one| (of_sizes(one), one.prior.approval.on))?;
        Some(StudyOfOther {
            study: last.prior.study.clone(),
            measured: last.set_up.characteristic.clone(),
            sizes: last.sizes.clone().filter(|_| of_sizes(&last)),
        })
    }

    /// The laboratory's uncertainty for a set-up.
    pub fn own(&self, set_up: &SetUp) -> Option<&OwnUncertainty> {
        self.0.iter().find_map(|approving| match approving {
            Approving::Uncertainty(own) if own.set_up == *set_up => Some(&own.own),
            _ => None,
        })
    }
}

metrology::messages! {
    /// Why an approval cannot be taken from the record.
    pub enum ApprovalError "approval" {
        /// An entry that this program cannot read.
        Unreadable "unreadable" { entry: String as Text, program: String as Text, why: Unreadable as said },
    }
}

/// The approval that an entry holds.
pub fn approving(entry: &Entry) -> Result<Approving, Error> {
    kept::read(kept::APPROVAL, &entry.content.inputs).map_err(|why| {
        Error::outside(ApprovalError::Unreadable {
            entry: entry.id().to_string(),
            program: entry.content.program.clone(),
            why,
        })
    })
}

/// Puts an approval on the record, in the place of an earlier one of the same thing, and then for the reason `anew`.
pub fn record(
    ledger: &Ledger,
    approving: &Approving,
    recorder: &Recorder,
    anew: &str,
) -> Result<Entry, Error> {
    let draft = Draft {
        inputs: kept::write(kept::APPROVAL, approving).map_err(Error::outside)?,
        subjects: approving.subjects(),
        ..recorder.blank(RecordKind::Approval)?
    };
    let before = Approvals::read(ledger)?;
    Ok(match before.same(approving) {
        None => ledger.append(&draft)?,
        Some(before) => ledger.amend(&before.entry.into(), anew, draft)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use metrology::inspection::{Amount, Approval, DefaultName};
    use metrology::units::Entered;

    fn own(instrument: &str, with: &str) -> Approving {
        Approving::Uncertainty(Box::new(SetUpUncertainty {
            set_up: SetUp {
                instrument: instrument.to_owned(),
                with: with.to_owned(),
                characteristic: SIZE.to_owned(),
            },
            own: OwnUncertainty {
                expanded_uncertainty: Entered::parse("3um", None).unwrap(),
                coverage_factor: 2.0,
                source: "comparison 4".to_owned(),
                approval: None,
                sizes: None,
                room: None,
                unshown: None,
            },
        }))
    }

    #[test]
    fn set_ups_whose_identities_hold_blanks_have_subjects_of_their_own() {
        let (one, other) = (own("a b", "c"), own("a", "b c"));
        assert!(!one.is_of_the_same(&other));
        let shared: Vec<Subject> = one
            .subjects()
            .intersection(&other.subjects())
            .cloned()
            .collect();
        let common = [
            Subject::new("own-uncertainty", SIZE),
            Subject::new(APPROVALS.0, APPROVALS.1),
        ];
        assert_eq!(shared, common);
    }

    fn form(value: f64, on: Date, review_due: Date) -> Approving {
        Approving::Default(Approved {
            what: DefaultName::Form,
            value: Amount::Number(value),
            approval: Approval {
                evidence: "study 12".to_owned(),
                person: "A. Quill".to_owned(),
                on,
                review_due,
            },
        })
    }

    /// Approved in January 2025, put right in March, and renewed in January 2026.
    #[test]
    fn the_last_that_was_given_by_the_day_is_in_force() {
        let given = vec![
            form(3.0, date(2026, 1, 10), date(2026, 12, 31)),
            form(2.0, date(2025, 3, 10), date(2025, 6, 30)),
            form(1.0, date(2025, 1, 10), date(2025, 12, 31)),
        ];
        let approvals = Approvals::of(given);
        let on = |day: Date| -> Vec<Amount> {
            let defaults = approvals.in_force(day).defaults();
            defaults.into_iter().map(|one| one.value).collect()
        };
        assert_eq!(on(date(2025, 1, 9)), []);
        assert_eq!(on(date(2025, 1, 10)), [Amount::Number(1.0)]);
        assert_eq!(on(date(2025, 3, 10)), [Amount::Number(2.0)]);
        // Its review is overdue by then: the one before it, which was due later, does not come back.
        assert_eq!(on(date(2025, 9, 1)), [Amount::Number(2.0)]);
        assert_eq!(on(date(2026, 1, 10)), [Amount::Number(3.0)]);
    }

    /// A study of a feature, and a job of a size with the same micrometer and contacts.
    #[test]
    fn a_study_holds_for_what_it_measured_and_is_known_to_others() {
        let measured = |line: &str| match crate::bench::studying::planned(
            &crate::bench::studying::Asked {
                kind: "repeatability".to_owned(),
                characteristic: line.to_owned(),
                parts: "2".to_owned(),
                operators: "Anna, Ben".to_owned(),
                ..crate::bench::studying::Asked::default()
            },
            1,
        ) {
            Ok(plan) => plan.characteristic,
            Err(error) => panic!("{line}: {error:?}"),
        };
        let set_up = |line: &str| SetUp {
            instrument: "mic-04".to_owned(),
            with: "flat".to_owned(),
            characteristic: crate::approving::characteristic_key(&measured(line)).to_owned(),
        };
        let sizes = ["5mm", "12mm"].map(|size| Entered::parse(size, None).unwrap());
        let approved = Approving::Study(Box::new(ApprovedStudy {
            set_up: set_up("shank diameter 8.90 to 8.95 mm"),
            sizes: Some(sizes.clone()),
            prior: StudyPrior {
                study: "12-3fa9".to_owned(),
                repeatability: Entered::parse("1um", None).unwrap(),
                degrees_of_freedom: 20.0,
                reproducibility: None,
                approval: Approval {
                    evidence: "readings".to_owned(),
                    person: "A. Quill".to_owned(),
                    on: date(2026, 1, 10),
                    review_due: date(2026, 12, 31),
                },
            },
        }));
        let approvals = Approvals::of(vec![approved]);
        let day = date(2026, 3, 2);
        let in_force = approvals.in_force(day);
        let found = |line: &str, day: Date| {
            let (set_up, measured) = (set_up(line), measured(line));
            let other = in_force.study_of_other(&set_up, &measured, day);
            let other = other.map(|one| (one.measured, one.sizes));
            (in_force.study(&set_up, &measured).is_some(), other)
        };
        // The name does not count, the feature does.
        assert_eq!(found("collar diameter 8.90 to 8.95 mm", day), (true, None));
        let feature = || "plain-diameter".to_owned();
        let other = Some((feature(), None));
        assert_eq!(found("shank 8.90 to 8.95 mm", day), (false, other));
        // The same feature of another size; one limit outside is enough.
        for line in [
            "shank diameter 20.90 to 20.95 mm",
            "shank diameter 11.95 to 12.01 mm",
        ] {
            let other = Some((feature(), Some(sizes.clone())));
            assert_eq!(found(line, day), (false, other), "{line}");
        }
        let last = found("shank diameter 11.95 to 12.00 mm", day);
        assert_eq!(last, (true, None));
        assert_eq!(
            found("shank 8.90 to 8.95 mm", date(2027, 1, 1)),
            (false, None)
        );
    }
}
