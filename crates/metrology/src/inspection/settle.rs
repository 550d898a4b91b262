//! What would settle it: the way out of an undecided verdict, computed from the budget.
//!
//! The size is taken to stay where it is. Then the rule decides as soon as the standard uncertainty is small enough,
//! and the question is what makes it so: more readings, where scatter dominates; one line of the budget; both together;
//! several lines; or nothing, where the size lies on the limit itself. A reading that looks like a slip is taken again
//! before any of these. What is owned may hold a better set-up: [`at_hand`](super::at_hand).

use super::job::Job;
use super::model::Quantity;
use super::note::{LineName, OwnName};
use super::own::Decides;
use super::target::Target;
use super::withheld::{LetStand, Withheld};
use super::{Basis, BudgetLine, JobError, Outcome, ReadingResult, Rule, Size};
use crate::decision::{PROVEN, Verdict};
use crate::message::{Message, Say};

/// More readings than anyone takes: five times as many as were taken, and at least this many more.
const MOST_MORE: usize = 20;
/// A standard uncertainty that would have to fall to less than this fraction of what it is: another way of measuring,
/// not a better line (common practice, no source).
const OUT_OF_REACH: f64 = 0.2;
/// What is advised makes the standard uncertainty at least a tenth smaller, also where less would do: the size does not
/// stay where it is to the last digit, and "from 3.0 to 3.0" helps nobody (common practice, no source).
const WORTH_DOING: f64 = 0.9;

/// A line can be halved, perhaps quartered; not made to vanish (common practice, no source).
const HALVED: f64 = 0.5;
/// The least that is left of a line.
const LEAST_LEFT: f64 = 0.25;

/// The lines that more readings make smaller.
const SCATTER: [Quantity; 2] = [Quantity::Repeatability, Quantity::FormSeen];

/// What would settle it.
#[derive(Clone, Debug, PartialEq)]
pub struct Settle {
    pub way: Way,
    /// The largest standard uncertainty at which the rule decides (or conformity is proven), millimetres; zero where
    /// there is none.
    pub needed: f64,
    /// The same with its numbers, for the person at the bench.
    pub told: Settling,
}

impl Say for Settle {
    fn message(&self) -> Message {
        self.told.message()
    }
}

crate::messages! {
    /// What would settle it, with numbers. `from` and `needed` are the standard uncertainty now and as needed; `line_from`
    /// and `line_to` the contribution of one line.
    pub enum Settling "settle" {
        /// The size lies too near a limit for any better line.
        TooNear "too-near" { distance: f64 as Difference, from: f64 as Uncertainty, needed: f64 as Uncertainty },
        /// More readings or places.
        More "more" { more: More as said, from: f64 as Uncertainty, needed: f64 as Uncertainty },
        /// One line smaller.
        Line "line" { line: LineName as code, line_from: f64 as Uncertainty, line_to: f64 as Uncertainty, advice: LineAdvice as code },
        /// Both together.
        MoreAndLine "more-and-line" {
            more: More as said, line: LineName as code, line_from: f64 as Uncertainty, line_to: f64 as Uncertainty,
            advice: LineAdvice as code, from: f64 as Uncertainty, needed: f64 as Uncertainty,
        },
        /// No line alone.
        SeveralLines "several-lines" { from: f64 as Uncertainty, needed: f64 as Uncertainty, lines: Vec<Begin> as all_said },
        /// The laboratory's own uncertainty decides, which no line of the budget changes.
        Own "own" { from: f64 as Uncertainty, needed: f64 as Uncertainty },
        /// Readings that look like mistakes, by their numbers.
        TakeAgain "take-again" { n: usize as count, readings: Vec<usize> as counts, without: Option<Without> as said_if },
        /// The verdict is withheld.
        LetStand "let-stand" { what: LetStand as code },
        /// All readings look like mistakes.
        TakeAllAgain "take-all-again" { without: Option<Without> as said_if },
    }
}

crate::messages! {
    /// So many more.
    pub enum More "more" {
        /// Readings at the one place there is.
        Readings "readings" { n: usize as count },
        /// Readings at a place among others.
        ReadingsAt "readings-at" { n: usize as count, place: Basis as said },
        /// Places.
        Places "places" { n: usize as count },
    }
}

crate::messages! {
    /// A line to begin with.
    pub enum Begin "begin" {
        /// With what makes it smaller.
        Line "line" { line: LineName as code, advice: LineAdvice as code },
    }
}

crate::messages! {
    /// What the verdict would be without readings that look like mistakes.
    pub enum Without "without" {
        /// Without one of them.
        One "it" { verdict: Verdict as code },
        /// Without several.
        Several "them" { verdict: Verdict as code },
    }
}

crate::codes! {
    /// What makes a line of the budget smaller.
    pub enum LineAdvice "advice" {
        /// Of repeatability.
        ReadMoreOften "read-more-often",
        /// Of how operators differ.
        Operators "operators",
        /// Of form that the readings show.
        MorePlaces "more-places",
        /// Of form between the places measured.
        UnknownForm "unknown-form",
        /// Of the display.
        FinerDisplay "finer-display",
        /// Of the zero readings.
        MoreZeroReadings "more-zero-readings",
        /// Of drift.
        ZeroCheckNear "zero-check-near",
        /// Of the standard.
        BetterStandard "better-standard",
        /// Of the error curve.
        BetterCurve "better-curve",
        /// Of errors between its points.
        PeriodicError "periodic-error",
        /// Of an error of indication.
        ErrorCurve "error-curve",
        /// Of angles and lead under the contacts.
        ThreadPlug "thread-plug",
        /// Of the pitch of the part.
        Pitch "pitch",
        /// Of wear that a zero on each other hides.
        ZeroOnStandard "zero-on-standard",
        /// Of a room that nobody read.
        Thermometer "thermometer",
        /// Of the form of the contacts.
        OtherContacts "other-contacts",
        /// Of deformation.
        LessForce "less-force",
        /// Of the plane of a taper thread.
        PlaneNearer "plane-nearer",
        /// Of another size.
        OtherSize "other-size",
        /// Of what has changed since a certificate.
        Certificates "certificates",
        /// Of faces that are not flat and parallel.
        Faces "faces",
        /// Of a part in the hand.
        OnTable "on-table",
        /// Of flank angles.
        FlankAngles "flank-angles",
        /// Of temperatures.
        Soak "soak",
        /// Of expansion.
        NearTwenty "near-twenty",
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// So many more readings (at the place) or places (for the mean), at the same scatter.
    MoreReadings(usize),
    /// One line of the budget smaller: its contribution now and as needed, millimetres.
    SmallerLine {
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
    /// The verdict is withheld: what withholds it is to be put right.
    LetStand,
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
            Self::LetStand => "let-stand",
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

/// What would settle the verdict on an outcome, which is a mean over `averaged`; `with_more` is the outcome if there
/// were so many more of them. `None` where it is settled.
pub fn settle(
    outcome: &Outcome,
    target: &Target,
    rule: Rule,
    averaged: Averaged,
    with_more: impl Fn(usize) -> Result<Outcome, JobError>,
) -> Result<Option<Settle>, JobError> {
    let Some(settled) = open(outcome, target, rule)? else {
        return Ok(None);
    };
    let from = outcome.size.standard_uncertainty;
    let largest = |size: Size| largest_uncertainty(size, from, &settled);
    let decides = largest(outcome.size)?;
    let needed = decides.min(WORTH_DOING * from);
    let most = most_more(averaged);
    let does = |size: Size| Ok(size.standard_uncertainty <= WORTH_DOING * from && settled(size)?);
    let enough = |more| does(with_more(more)?.size);
    if decides > 0.0
        && let Some(n) = fewest(most, enough)?
    {
        let decides = largest(with_more(n)?.size)?;
        return Ok(Some(Settle {
            way: Way::MoreReadings(n),
            needed: decides,
            told: Settling::More {
                more: more(outcome, averaged, n),
                from,
                needed: decides.min(WORTH_DOING * from),
            },
        }));
    }
    let (way, told) = if needed < OUT_OF_REACH * from {
        let told = Settling::TooNear {
            distance: outcome.size.room(target.limits).abs(),
            from,
            needed,
        };
        (Way::Nothing, told)
    } else if outcome
        .own
        .is_some_and(|own| own.decides != Decides::Program)
    {
        (Way::Nothing, Settling::Own { from, needed })
    } else if let Some((line, line_to, _)) = smaller_line(outcome, &does)? {
        let (quantity, line_from) = (line.quantity, line.line.contribution);
        let told = Settling::Line {
            line: line.name,
            line_from,
            line_to,
            advice: advice(line.name, quantity),
        };
        let way = Way::SmallerLine {
            quantity,
            from: line_from,
            to: line_to,
        };
        (way, told)
    } else if let Some((n, line, line_to, needed)) = together(most, &with_more, &does)? {
        let (quantity, line_from) = (line.quantity, line.line.contribution);
        let told = Settling::MoreAndLine {
            more: more(outcome, averaged, n),
            line: line.name,
            line_from,
            line_to,
            advice: advice(line.name, quantity),
            from,
            needed,
        };
        let way = Way::ReadingsAndLine {
            more: n,
            quantity,
            from: line_from,
            to: line_to,
        };
        (way, told)
    } else {
        let first = || outcome.budget.iter().take(2);
        let told = Settling::SeveralLines {
            from,
            needed,
            lines: first()
                .map(|line| Begin::Line {
                    line: line.name,
                    advice: advice(line.name, line.quantity),
                })
                .collect(),
        };
        let quantities = first().map(|line| line.quantity).collect();
        (Way::SeveralLines(quantities), told)
    };
    Ok(Some(Settle {
        way,
        needed: decides,
        told,
    }))
}

impl Settle {
    /// What lets a withheld verdict stand.
    pub const fn let_stand(why: &Withheld) -> Self {
        Self {
            way: Way::LetStand,
            needed: 0.0,
            told: Settling::LetStand {
                what: why.let_stand(),
            },
        }
    }

    /// The same, or where readings look like slips the advice to take those again: a mistake is not averaged away.
    pub fn after_slips(
        self,
        job: &Job,
        readings: &[ReadingResult],
        without: Option<&Outcome>,
    ) -> Self {
        let unanswered = |reading: &ReadingResult| {
            reading.flag.is_some() && !job.left_standing(&reading.as_read)
        };
        let again: Vec<usize> = (0..readings.len())
            .filter(|index| readings.get(*index).is_some_and(unanswered))
            .collect();
        let n = again.len();
        if n == 0 {
            return self;
        }
        let without = without.map(|rest| {
            let verdict = rest.decision.verdict;
            match n {
                1 => Without::One { verdict },
                _ => Without::Several { verdict },
            }
        });
        let told = if n > 1 && n == readings.len() {
            Settling::TakeAllAgain { without }
        } else {
            Settling::TakeAgain {
                n,
                readings: again.iter().map(|index| index + 1).collect(),
                without,
            }
        };
        Self {
            told,
            way: Way::TakeAgain(again),
            needed: self.needed,
        }
    }
}

/// So many more readings or places.
fn more(outcome: &Outcome, averaged: Averaged, n: usize) -> More {
    match (averaged, outcome.place) {
        (Averaged::Places(_), _) => More::Places { n },
        (Averaged::Readings(_), None) => More::Readings { n },
        (Averaged::Readings(_), Some(_)) => More::ReadingsAt {
            n,
            place: outcome.of.clone(),
        },
    }
}

/// Whether a size settles what is open.
type Settled<'a> = Box<dyn Fn(Size) -> Result<bool, JobError> + 'a>;

/// Whether another uncertainty of the size settles what is open; `None` where nothing is, or no uncertainty ever
/// settles it.
fn open<'a>(
    outcome: &Outcome,
    target: &'a Target,
    rule: Rule,
) -> Result<Option<Settled<'a>>, JobError> {
    let decision = &outcome.decision;
    let at = move |size: Size, rule: Rule| size.decide(target, rule).map(|found| found.verdict);
    let settled: Settled = match decision.verdict {
        Verdict::Undecided
        | Verdict::ConditionalAccept
        | Verdict::ConditionalReject
        | Verdict::Unusable => {
            Box::new(move |size| Ok(matches!(at(size, rule)?, Verdict::Accept | Verdict::Reject)))
        }
        // Within the limits, and rejected for the guard band alone.
        Verdict::Reject if !decision.margin.is_negative() => {
            Box::new(move |size| Ok(at(size, rule)? == Verdict::Accept))
        }
        // Near enough to a limit to be told what would prove it.
        Verdict::Accept if decision.conformance_probability < PROVEN => {
            Box::new(move |size| Ok(at(size, Rule::Iso14253_1)? == Verdict::Accept))
        }
        Verdict::Accept | Verdict::Reject => return Ok(None),
    };
    // One limit missing, or the size outside the limits and accepted: no measurement changes that.
    let never = decision.verdict == Verdict::Unusable && !settled(certain(outcome.size))?;
    Ok((!never).then_some(settled))
}

/// The same size without any uncertainty.
const fn certain(size: Size) -> Size {
    Size {
        standard_uncertainty: 0.0,
        ..size
    }
}

/// The largest standard uncertainty, up to this one, that settles a size with these degrees of freedom; 0 where only
/// certainty would.
fn largest_uncertainty(
    size: Size,
    most: f64,
    settled: impl Fn(Size) -> Result<bool, JobError>,
) -> Result<f64, JobError> {
    if !settled(certain(size))? {
        return Ok(0.0);
    }
    let (mut enough, mut too_much) = (0.0, most);
    for _ in 0..60 {
        let middle = f64::midpoint(enough, too_much);
        let with = Size {
            standard_uncertainty: middle,
            ..size
        };
        if settled(with)? {
            enough = middle;
        } else {
            too_much = middle;
        }
    }
    Ok(enough)
}

/// The fewest, up to so many, that are enough: what is enough stays enough with more.
fn fewest(
    most: usize,
    enough: impl Fn(usize) -> Result<bool, JobError>,
) -> Result<Option<usize>, JobError> {
    if !enough(most)? {
        return Ok(None);
    }
    let (mut too_few, mut found) = (0, most);
    while found - too_few > 1 {
        let middle = usize::midpoint(too_few, found);
        if enough(middle)? {
            found = middle;
        } else {
            too_few = middle;
        }
    }
    Ok(Some(found))
}

/// The most more readings or places that are asked for.
fn most_more(averaged: Averaged) -> usize {
    let (Averaged::Readings(count) | Averaged::Places(count)) = averaged;
    (5 * count).max(MOST_MORE)
}

/// A line, what its contribution would have to be, and the standard uncertainty of the whole then.
type Smaller<'a> = (&'a BudgetLine, f64, f64);

/// The fewest more readings with which one line is enough, that line, what its contribution would have to be, and the
/// standard uncertainty of the whole: with the line halved if that will do, else down to a quarter.
fn together(
    most: usize,
    with_more: impl Fn(usize) -> Result<Outcome, JobError>,
    does: &impl Fn(Size) -> Result<bool, JobError>,
) -> Result<Option<(usize, BudgetLine, f64, f64)>, JobError> {
    for least in [HALVED, LEAST_LEFT] {
        let with = |more| {
            let with = with_more(more)?;
            let found = line_beside(&with, least, does)?;
            Ok(found.map(|(line, to, u)| (more, line.clone(), to, u)))
        };
        if let Some(n) = fewest(most, |more| Ok(with(more)?.is_some()))? {
            return with(n);
        }
    }
    Ok(None)
}

/// The first line beside the scatter that is enough when it is made smaller, but not below this part of what it is.
fn line_beside<'a>(
    outcome: &'a Outcome,
    least: f64,
    does: &impl Fn(Size) -> Result<bool, JobError>,
) -> Result<Option<Smaller<'a>>, JobError> {
    let beside = outcome
        .budget
        .iter()
        .filter(|line| !SCATTER.contains(&line.quantity) && line.quantity != Quantity::Resolution);
    first(beside, |line| smaller(outcome, line, least, does))
}

/// The line with the largest share that can do it alone.
fn smaller_line<'a>(
    outcome: &'a Outcome,
    does: &impl Fn(Size) -> Result<bool, JobError>,
) -> Result<Option<Smaller<'a>>, JobError> {
    let lines = outcome.budget.iter();
    first(lines, |line| smaller(outcome, line, LEAST_LEFT, does))
}

fn first<'a>(
    lines: impl Iterator<Item = &'a BudgetLine>,
    found: impl Fn(&'a BudgetLine) -> Result<Option<Smaller<'a>>, JobError>,
) -> Result<Option<Smaller<'a>>, JobError> {
    for line in lines {
        if let Some(found) = found(line)? {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// A line that is enough alone when it is made smaller, but not below this part of what it is: the largest contribution
/// that is enough.
fn smaller<'a>(
    outcome: &Outcome,
    line: &'a BudgetLine,
    least: f64,
    does: &impl Fn(Size) -> Result<bool, JobError>,
) -> Result<Option<Smaller<'a>>, JobError> {
    let own = line.line.contribution.abs();
    let at = |to: f64| with_contribution(outcome.size, line, to);
    if !does(at(least * own))? {
        return Ok(None);
    }
    let (mut enough, mut too_much) = (least * own, own);
    for _ in 0..60 {
        let middle = f64::midpoint(enough, too_much);
        if does(at(middle))? {
            enough = middle;
        } else {
            too_much = middle;
        }
    }
    Ok(Some((line, enough, at(enough).standard_uncertainty)))
}

/// A size whose budget has another contribution on one line: the scatter of few readings then weighs more beside the rest,
/// and the degrees of freedom are fewer (Welch and Satterthwaite, JCGM 100:2008, G.4.1).
fn with_contribution(size: Size, line: &BudgetLine, to: f64) -> Size {
    let own = line.line.contribution;
    let squared = |u: f64| u * u;
    let variance = squared(size.standard_uncertainty);
    let with = (variance - squared(own) + squared(to)).max(0.0);
    let fourth = |u: f64| squared(squared(u)) / line.line.degrees_of_freedom;
    let sum = squared(variance) / size.degrees_of_freedom - fourth(own) + fourth(to);
    Size {
        standard_uncertainty: with.sqrt(),
        degrees_of_freedom: if sum > 0.0 {
            squared(with) / sum
        } else {
            f64::INFINITY
        },
        ..size
    }
}

/// What makes a line smaller.
fn advice(name: LineName, quantity: Quantity) -> LineAdvice {
    if name == OwnName::WiresDrift.into() {
        return LineAdvice::Certificates;
    }
    match quantity {
        Quantity::Reading | Quantity::Repeatability => LineAdvice::ReadMoreOften,
        Quantity::Operator => LineAdvice::Operators,
        Quantity::FormSeen => LineAdvice::MorePlaces,
        Quantity::FormUnseen => LineAdvice::UnknownForm,
        Quantity::Resolution | Quantity::ZeroResolution => LineAdvice::FinerDisplay,
        Quantity::ZeroReading => LineAdvice::MoreZeroReadings,
        Quantity::Drift => LineAdvice::ZeroCheckNear,
        Quantity::Standard => LineAdvice::BetterStandard,
        Quantity::StandardDrift | Quantity::MicrometerDrift => LineAdvice::Certificates,
        Quantity::Faces => LineAdvice::Faces,
        Quantity::Curve => LineAdvice::BetterCurve,
        Quantity::Interpolation => LineAdvice::PeriodicError,
        Quantity::Indication => LineAdvice::ErrorCurve,
        Quantity::ContactAngle | Quantity::ContactLead => LineAdvice::ThreadPlug,
        Quantity::ContactGeometry => LineAdvice::OtherContacts,
        Quantity::Deformation => LineAdvice::LessForce,
        Quantity::MeasuringPlane => LineAdvice::PlaneNearer,
        Quantity::Companion | Quantity::SecondCompanion => LineAdvice::OtherSize,
        Quantity::FlankAngle => LineAdvice::FlankAngles,
        Quantity::PitchError => LineAdvice::Pitch,
        Quantity::ContactWear => LineAdvice::ZeroOnStandard,
        Quantity::RoomTemperature => LineAdvice::Thermometer,
        Quantity::PartGradient => LineAdvice::OnTable,
        Quantity::PartTemperature
        | Quantity::StandardTemperature
        | Quantity::InstrumentTemperature => LineAdvice::Soak,
        Quantity::PartExpansion | Quantity::StandardExpansion | Quantity::InstrumentExpansion => {
            LineAdvice::NearTwenty
        }
    }
}
