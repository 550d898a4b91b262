//! What would settle it: the way out of an undecided verdict, computed from the budget.
//!
//! The size is taken to stay where it is. Then the rule decides as soon as the standard uncertainty is small enough,
//! and the question is what makes it so: more readings, where scatter dominates; one line of the budget; both together;
//! several lines; or nothing, where the size lies on the limit itself. A reading that looks like a slip is taken again
//! before any of these. What is owned may hold a better set-up: [`at_hand`](super::at_hand).

use super::model::Quantity;
use super::target::Target;
use super::warnings::difference;
use super::{BudgetLine, JobError, Outcome, ReadingResult, Rule};
use crate::decision::Verdict;

/// More readings than anyone takes: five times as many as were taken, and at least this many more.
const MOST_MORE: usize = 20;
/// A standard uncertainty that would have to fall to less than this fraction of what it is: another way of measuring,
/// not a better line (common practice, no source).
const OUT_OF_REACH: f64 = 0.2;
/// An acceptance with less than this probability of conformity is near enough to a limit to be told what would prove
/// it (the 95 % of ISO 14253-1:2017).
pub const PROVEN: f64 = 0.95;

/// The lines that more readings make smaller.
const SCATTER: [Quantity; 2] = [Quantity::Repeatability, Quantity::FormSeen];

/// What would settle it.
#[derive(Clone, Debug, PartialEq)]
pub struct Settle {
    /// Which way.
    pub way: Way,
    /// The largest standard uncertainty at which the rule decides (or conformity is proven), millimetres; zero where
    /// there is none.
    pub needed: f64,
    /// One sentence for the person at the bench.
    pub sentence: String,
}

/// The ways.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// So many more readings (at the place) or places (for the mean), at the same scatter.
    MoreReadings(usize),
    /// One line of the budget smaller: its contribution now and as needed, millimetres.
    SmallerLine {
        /// Which.
        quantity: Quantity,
        /// Contribution now.
        from: f64,
        /// Contribution at which it is settled.
        to: f64,
    },
    /// Neither is enough alone: so many more readings or places, and one line of the budget smaller.
    ReadingsAndLine {
        /// How many more.
        more: usize,
        /// Which line.
        quantity: Quantity,
        /// Contribution now, millimetres.
        from: f64,
        /// Contribution at which it is settled, millimetres.
        to: f64,
    },
    /// Readings that look like slips, counted from 0 through all places: taken again, they may settle it.
    TakeAgain(Vec<usize>),
    /// No single line is enough; these come first.
    SeveralLines(Vec<Quantity>),
    /// Nothing at hand.
    Nothing,
}

impl Way {
    /// The key of machine-readable output.
    pub const fn key(&self) -> &'static str {
        match self {
            Self::MoreReadings(_) => "more-readings",
            Self::SmallerLine { .. } => "smaller-line",
            Self::ReadingsAndLine { .. } => "readings-and-line",
            Self::TakeAgain(_) => "take-again",
            Self::SeveralLines(_) => "several-lines",
            Self::Nothing => "nothing",
        }
    }
}

/// What a mean is taken over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Averaged {
    /// So many readings at one place.
    Readings(usize),
    /// So many places.
    Places(usize),
}

/// What would settle the verdict on an outcome, which is a mean over `averaged`, with a display of this resolution in
/// millimetres. `None` where it is settled.
pub fn settle(
    outcome: &Outcome,
    target: &Target,
    rule: Rule,
    averaged: Averaged,
    resolution: f64,
) -> Result<Option<Settle>, JobError> {
    let Some(needed) = needed(outcome, target, rule)? else {
        return Ok(None);
    };
    let u = outcome.size.standard_uncertainty;
    let show = |length: f64| difference(length, target.unit);
    let whole = format!(
        "the standard uncertainty would have to come down from {} to {}",
        show(u),
        show(needed)
    );
    let (way, sentence) = if needed < OUT_OF_REACH * u {
        let sentence = format!(
            "the size lies {} from the limit: {whole}, and no better line of this set-up does that; agree on who bears the doubt, or \
             bring the part further from the limit",
            show(outcome.size.room(target.limits).abs())
        );
        (Way::Nothing, sentence)
    } else if let Some(more) = more_readings(outcome, needed, averaged, resolution) {
        let what = more_words(outcome, averaged, more);
        let sentence = format!("{what} would settle it if the size stays where it is: {whole}");
        (Way::MoreReadings(more), sentence)
    } else if let Some((line, to)) = smaller_line(outcome, needed) {
        let from = line.line.contribution;
        let sentence = format!(
            "`{}` would have to come down from {} to {}: {}",
            line.line.name,
            show(from),
            show(to),
            advice(line.quantity)
        );
        let quantity = line.quantity;
        (Way::SmallerLine { quantity, from, to }, sentence)
    } else if let Some((more, line, to)) = readings_and_line(outcome, needed, averaged, resolution)
    {
        let (quantity, from) = (line.quantity, line.line.contribution);
        let sentence = format!(
            "{}, and `{}` down from {} to {}, would together settle it if the size stays where it is ({}): {whole}",
            more_words(outcome, averaged, more),
            line.line.name,
            show(from),
            show(to),
            advice(quantity)
        );
        let way = Way::ReadingsAndLine {
            more,
            quantity,
            from,
            to,
        };
        (way, sentence)
    } else {
        let first: Vec<&BudgetLine> = outcome.budget.iter().take(2).collect();
        let names: Vec<String> = first
            .iter()
            .map(|line| format!("`{}` ({})", line.line.name, advice(line.quantity)))
            .collect();
        let sentence = format!(
            "no single line of the budget is enough; {whole}; begin with {}",
            names.join(" and ")
        );
        let quantities = first.iter().map(|line| line.quantity).collect();
        (Way::SeveralLines(quantities), sentence)
    };
    Ok(Some(Settle {
        way,
        needed,
        sentence,
    }))
}

impl Settle {
    /// The same, or where readings look like slips the advice to take those again: a mistake is not averaged away.
    pub fn after_slips(self, readings: &[ReadingResult], without: Option<&Outcome>) -> Self {
        let again: Vec<usize> = (0..readings.len())
            .filter(|index| {
                readings
                    .get(*index)
                    .is_some_and(|reading| reading.flag.is_some())
            })
            .collect();
        let numbers: Vec<String> = again.iter().map(|index| (index + 1).to_string()).collect();
        let (what, looks) = match numbers.as_slice() {
            [] => return self,
            [one] => (format!("reading {one}"), "it looks like a mistake"),
            all if all.len() == readings.len() => {
                ("all readings".to_owned(), "they look like mistakes")
            }
            [first @ .., last] => (
                format!("readings {} and {last}", first.join(", ")),
                "they look like mistakes",
            ),
        };
        let rest = without.map_or_else(String::new, |rest| {
            let left_out = if again.len() == 1 { "it" } else { "them" };
            format!(
                ", and without {left_out} the verdict on the mean would be {}",
                rest.decision.verdict
            )
        });
        Self {
            sentence: format!("take {what} again: {looks}{rest}"),
            way: Way::TakeAgain(again),
            needed: self.needed,
        }
    }
}

/// So many more, in words.
fn more_words(outcome: &Outcome, averaged: Averaged, more: usize) -> String {
    match (averaged, outcome.place, more) {
        (Averaged::Places(_), _, 1) => "1 more place measured alike".to_owned(),
        (Averaged::Places(_), _, more) => format!("{more} more places measured alike"),
        (Averaged::Readings(_), None, 1) => "1 more reading".to_owned(),
        (Averaged::Readings(_), None, more) => format!("{more} more readings"),
        (Averaged::Readings(_), Some(_), 1) => {
            format!("1 more reading at the same place ({})", outcome.of)
        }
        (Averaged::Readings(_), Some(_), more) => {
            format!("{more} more readings at the same place ({})", outcome.of)
        }
    }
}

/// The largest standard uncertainty that settles it, 0 where only certainty would; `None` where it is settled, or no
/// uncertainty ever settles it.
fn needed(outcome: &Outcome, target: &Target, rule: Rule) -> Result<Option<f64>, JobError> {
    let decision = &outcome.decision;
    let wanted: Box<dyn Fn(f64) -> Result<bool, JobError>> = {
        let at = |u: f64, rule: Rule| {
            let mut size = outcome.size;
            size.standard_uncertainty = u;
            size.decide(target, rule).map(|decision| decision.verdict)
        };
        match decision.verdict {
            Verdict::Undecided
            | Verdict::ConditionalAccept
            | Verdict::ConditionalReject
            | Verdict::Unusable => {
                Box::new(move |u| Ok(matches!(at(u, rule)?, Verdict::Accept | Verdict::Reject)))
            }
            // Within the limits, and rejected for the guard band alone.
            Verdict::Reject if !decision.margin.is_negative() => {
                Box::new(move |u| Ok(at(u, rule)? == Verdict::Accept))
            }
            Verdict::Accept if decision.conformance_probability < PROVEN => {
                Box::new(move |u| Ok(at(u, Rule::Iso14253_1)? == Verdict::Accept))
            }
            Verdict::Accept | Verdict::Reject => return Ok(None),
        }
    };
    let u = outcome.size.standard_uncertainty;
    if !wanted(0.0)? {
        // One limit missing, or the size outside the limits and accepted: no measurement changes that.
        return Ok((decision.verdict != Verdict::Unusable).then_some(0.0));
    }
    let (mut enough, mut too_much) = (0.0, u);
    for _ in 0..60 {
        let middle = f64::midpoint(enough, too_much);
        if wanted(middle)? {
            enough = middle;
        } else {
            too_much = middle;
        }
    }
    Ok(Some(enough))
}

/// The most more readings or places that are asked for.
fn most_more(averaged: Averaged) -> usize {
    let (Averaged::Readings(count) | Averaged::Places(count)) = averaged;
    (5 * count).max(MOST_MORE)
}

/// The square of the standard uncertainty with so many more readings, all else being equal.
///
/// What averages out is the type A part, `u_A² n/n'`; the display keeps at least its own `d²/12`, since the larger of the
/// two counts.
fn square_with(outcome: &Outcome, averaged: Averaged, resolution: f64, more: usize) -> f64 {
    let (Averaged::Readings(count) | Averaged::Places(count)) = averaged;
    let square = |wanted: &[Quantity]| -> f64 {
        outcome
            .budget
            .iter()
            .filter(|line| wanted.contains(&line.quantity))
            .map(|line| line.line.contribution * line.line.contribution)
            .sum()
    };
    let scatter = square(&SCATTER);
    let step = resolution * resolution / 12.0;
    let u = outcome.size.standard_uncertainty;
    let rest = u * u - scatter - square(&[Quantity::Resolution]);
    let averaged = scatter * count as f64 / (count + more) as f64;
    rest + averaged.max(step.min(scatter))
}

/// How many more readings bring the standard uncertainty down far enough.
fn more_readings(
    outcome: &Outcome,
    needed: f64,
    averaged: Averaged,
    resolution: f64,
) -> Option<usize> {
    (1..=most_more(averaged))
        .find(|more| square_with(outcome, averaged, resolution, *more) <= needed * needed)
}

/// The fewest more readings with which one line is enough, that line, and what its contribution would have to be:
/// halved if that will do, else down to a quarter.
fn readings_and_line(
    outcome: &Outcome,
    needed: f64,
    averaged: Averaged,
    resolution: f64,
) -> Option<(usize, &BudgetLine, f64)> {
    let lines = || {
        outcome.budget.iter().filter(|line| {
            !SCATTER.contains(&line.quantity) && line.quantity != Quantity::Resolution
        })
    };
    [2.0, 4.0].into_iter().find_map(|divided| {
        (1..=most_more(averaged)).find_map(|more| {
            let square = square_with(outcome, averaged, resolution, more);
            lines().find_map(|line| {
                let own = line.line.contribution;
                let left = needed * needed - (square - own * own);
                (left > own * own / (divided * divided)).then(|| (more, line, left.sqrt()))
            })
        })
    })
}

/// The line with the largest share that can do it alone, and what its contribution would have to be.
fn smaller_line(outcome: &Outcome, needed: f64) -> Option<(&BudgetLine, f64)> {
    let u = outcome.size.standard_uncertainty;
    outcome.budget.iter().find_map(|line| {
        let own = line.line.contribution;
        let left = needed * needed - (u * u - own * own);
        // A line can be halved, perhaps quartered; not made to vanish.
        (left > own * own / 16.0).then(|| (line, left.sqrt()))
    })
}

/// What makes a line smaller.
fn advice(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Reading | Quantity::Repeatability => {
            "read more often, with the ratchet, by one person"
        }
        Quantity::FormSeen => "measure more places",
        Quantity::FormUnseen => "measure where the form is not known",
        Quantity::Resolution | Quantity::ZeroResolution => {
            "take an instrument with a finer display"
        }
        Quantity::ZeroReading => "close on the standard more often",
        Quantity::Drift => "check the zero straight before and after the part",
        Quantity::Standard => "take a standard that is certified better",
        Quantity::Curve => "have the micrometer calibrated better, or set zero near the size",
        Quantity::Interpolation => {
            "set zero on a standard near the size, or measure the periodic error"
        }
        Quantity::Indication => "use the error curve of its certificate, or set zero near the size",
        Quantity::ContactAngle | Quantity::ContactLead => {
            "set zero on a thread plug of the same thread"
        }
        Quantity::ContactGeometry => "take contacts that suit the feature better",
        Quantity::Deformation => "measure with less force",
        Quantity::Companion | Quantity::SecondCompanion => "measure the other size better",
        Quantity::FlankAngle => "measure the flank angles of the part",
        Quantity::PartTemperature
        | Quantity::StandardTemperature
        | Quantity::InstrumentTemperature => {
            "let part, standard and micrometer lie together for an hour, and read their temperatures"
        }
        Quantity::PartExpansion | Quantity::StandardExpansion | Quantity::InstrumentExpansion => {
            "measure nearer to 20 °C, or find the expansion of the material"
        }
    }
}
