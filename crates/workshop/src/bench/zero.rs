//! A check of the zero: three closures on the setting standard, and what they are worth.

use metrology::correction::{ZeroError, zero_error};
use metrology::inspection::{Warning, on_standard};
use metrology::message::{Message, Say as _};
use metrology::units::{Entered, Length};

use super::event::By;

/// How many closures make a check (common practice, no source).
pub const CLOSURES: usize = 3;

#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    pub reading: Entered,
    pub by: By,
    /// Set aside when the check was begun anew.
    pub set_aside: bool,
}

/// The closures of one check.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Check {
    pub closures: Vec<Closure>,
    /// Why it was taken as it is, in spite of a doubt.
    pub accepted: Option<String>,
}

/// What is to be said of a check that is complete.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// The closures lie further apart than the drift that is put up with, or two steps of the display.
    Spread { spread: Length, limit: Length },
    /// A closure looks like a slip.
    Slip { message: Message },
    /// The zero is not where it stood, or far from the certified size.
    Far { warning: Box<Warning> },
    /// The zero moved since the check before.
    Drift { drift: f64, limit: Length },
}

impl Check {
    /// The readings that count.
    pub fn standing(&self) -> Vec<Entered> {
        self.closures
            .iter()
            .filter(|closure| !closure.set_aside)
            .map(|closure| closure.reading.clone())
            .collect()
    }

    pub fn set_aside(&mut self) {
        for closure in &mut self.closures {
            closure.set_aside = true;
        }
        self.accepted = None;
    }

    /// How many times the check was made in all, where the last time is in doubt: those before were set aside.
    pub fn failed(&self) -> usize {
        let aside = self.closures.iter().filter(|closure| closure.set_aside);
        1 + aside.count() / CLOSURES
    }

    /// The readings that look like slips.
    pub fn flagged(&self, certified: Length, step: Option<&Entered>) -> Vec<Entered> {
        let standing = self.standing();
        let flags = on_standard(&standing, certified, step);
        let flagged = standing.into_iter().zip(flags);
        flagged
            .filter_map(|(reading, flag)| flag.map(|_| reading))
            .collect()
    }

    /// Largest less smallest of the closures that count.
    pub fn spread(&self) -> Option<Length> {
        let standing = self.standing();
        let values = || standing.iter().map(Entered::value);
        Some(values().max()? - values().min()?)
    }

    /// How far the check is, on a display of this step where it is stated.
    ///
    /// `far` says what is asked of a zero that is not where it stood.
    pub fn progress(
        &self,
        certified: Length,
        step: Option<&Entered>,
        limit: Length,
        before: Option<&Self>,
        far: &dyn Fn() -> Option<Warning>,
    ) -> Progress {
        let standing = self.standing();
        if standing.len() < CLOSURES {
            return Progress::Closing {
                number: standing.len() + 1,
            };
        }
        if self.accepted.is_some() {
            return Progress::Done;
        }
        match doubt(&standing, (certified, step), limit, before, far) {
            None => Progress::Done,
            Some(doubt) => Progress::InDoubt(doubt),
        }
    }

    /// The zero error that this check found, with the one before where this is the closing check.
    pub fn error(&self, certified: Length, before: Option<&Self>) -> Option<ZeroError> {
        let values = |check: &Self| {
            check
                .standing()
                .iter()
                .map(Entered::value)
                .collect::<Vec<_>>()
        };
        match before {
            None => zero_error(&values(self), &[], certified),
            Some(before) => zero_error(&values(before), &values(self), certified),
        }
    }
}

/// How far a check is.
#[derive(Clone, Debug, PartialEq)]
pub enum Progress {
    /// A closure is to be made.
    Closing { number: usize },
    /// All are made and something is wrong with them.
    InDoubt(Doubt),
    /// Good, or taken as it is.
    Done,
}

fn doubt(
    standing: &[Entered],
    (certified, step): (Length, Option<&Entered>),
    limit: Length,
    before: Option<&Check>,
    far: &dyn Fn() -> Option<Warning>,
) -> Option<Doubt> {
    if let Some(slip) = on_standard(standing, certified, step)
        .into_iter()
        .flatten()
        .next()
    {
        return Some(Doubt::Slip {
            message: slip.message(),
        });
    }
    let moved = before.and_then(|before| drift_since(before, standing, certified, limit));
    let far = || far().map(Box::new).map(|warning| Doubt::Far { warning });
    if before.is_some() {
        // What moved during the job is told as that; against the check before the job it is seen by half, since the zero of the
        // job is the mean of both checks.
        return spread_of(standing, limit).or(moved).or_else(far);
    }
    far().or_else(|| spread_of(standing, limit))
}

fn spread_of(standing: &[Entered], limit: Length) -> Option<Doubt> {
    let step = standing
        .iter()
        .map(Entered::resolution)
        .max()
        .unwrap_or_default();
    let values = || standing.iter().map(Entered::value);
    let spread = values().max()? - values().min()?;
    let limit = limit.max(step.times(2));
    (spread > limit).then_some(Doubt::Spread { spread, limit })
}

fn drift_since(
    before: &Check,
    standing: &[Entered],
    certified: Length,
    limit: Length,
) -> Option<Doubt> {
    let values = |readings: &[Entered]| readings.iter().map(Entered::value).collect::<Vec<_>>();
    let (earlier, all) = (values(&before.standing()), values(standing));
    let drift = zero_error(&earlier, &all, certified)?.drift()?;
    (drift.abs() > limit.mm()).then_some(Doubt::Drift { drift, limit })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(texts: &[&str]) -> Check {
        Check {
            closures: texts
                .iter()
                .map(|text| Closure {
                    reading: Entered::parse(text, None).unwrap(),
                    by: By::Keyboard,
                    set_aside: false,
                })
                .collect(),
            accepted: None,
        }
    }

    fn certified() -> Length {
        Entered::parse("9.9994mm", None).unwrap().value()
    }

    fn progress(texts: &[&str], before: Option<&Check>) -> Progress {
        let step = Entered::parse("0.001mm", None).unwrap();
        let limit = Length::from_micrometres(2);
        check(texts).progress(certified(), Some(&step), limit, before, &|| None)
    }

    #[test]
    fn three_good_closures_are_enough() {
        assert_eq!(
            progress(&["10.001mm"], None),
            Progress::Closing { number: 2 }
        );
        assert_eq!(
            progress(&["10.001mm", "10.002mm", "10.001mm"], None),
            Progress::Done
        );
    }

    /// A spread of 4 µm, over the usual 2 µm and within an approved 5 µm.
    #[test]
    fn the_limit_is_the_one_that_the_result_has() {
        let check = check(&["9.998mm", "10.002mm", "10.000mm"]);
        let progress = |micrometres| {
            let limit = Length::from_micrometres(micrometres);
            check.progress(certified(), None, limit, None, &|| None)
        };
        assert!(matches!(progress(2), Progress::InDoubt(_)));
        assert_eq!(progress(5), Progress::Done);
    }

    /// A zero that moved by 8 µm during the job has stepped by 4 µm from the check before the job: the first is told.
    #[test]
    fn a_zero_that_moved_during_the_job_is_told_by_the_whole_of_it() {
        let before = check(&["10.001mm", "10.001mm", "10.001mm"]);
        let stepped = || {
            Some(Warning::ZeroStepped {
                by: 0.004,
                from: 0.0016,
                limit: 0.002,
                standard: "rod-10".to_owned(),
            })
        };
        let closing = check(&["10.009mm", "10.009mm", "10.009mm"]);
        let limit = Length::from_micrometres(2);
        let found = closing.progress(certified(), None, limit, Some(&before), &stepped);
        let Progress::InDoubt(Doubt::Drift { drift, .. }) = found else {
            panic!("{found:?}");
        };
        assert!((drift - 0.008).abs() < 1e-9, "{drift}");
        let opening = closing.progress(certified(), None, limit, None, &stepped);
        assert!(matches!(opening, Progress::InDoubt(Doubt::Far { .. })));
    }

    #[test]
    fn a_wide_spread_is_in_doubt() {
        let wide = progress(&["10.001mm", "10.006mm", "10.001mm"], None);
        assert!(matches!(wide, Progress::InDoubt(_)), "{wide:?}");
    }

    #[test]
    fn a_turn_of_the_thimble_is_in_doubt() {
        let turn = progress(&["10.001mm", "10.501mm", "10.002mm"], None);
        let Progress::InDoubt(Doubt::Slip { message }) = turn else {
            panic!("{turn:?}");
        };
        assert_eq!(message.key(), "thimble-turn");
    }

    /// `10.00` on a display of 0.001 mm; common practice, no source.
    #[test]
    fn a_closure_with_fewer_decimals_than_the_display_is_in_doubt() {
        let fewer = progress(&["10.001mm", "10.00mm", "10.001mm"], None);
        let Progress::InDoubt(Doubt::Slip { message }) = fewer else {
            panic!("{fewer:?}");
        };
        assert_eq!(message.key(), "fewer-decimals");
        let whole = progress(&["10.001mm", "10.000mm", "10.001mm"], None);
        assert_eq!(whole, Progress::Done);
    }

    #[test]
    fn a_zero_that_moved_is_in_doubt() {
        let before = check(&["10.001mm", "10.001mm", "10.001mm"]);
        let same = ["10.002mm", "10.002mm", "10.001mm"];
        assert_eq!(progress(&same, Some(&before)), Progress::Done);
        let moved = progress(&["10.006mm", "10.006mm", "10.006mm"], Some(&before));
        assert!(
            matches!(moved, Progress::InDoubt(Doubt::Drift { .. })),
            "{moved:?}"
        );
    }
}
