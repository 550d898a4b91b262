//! What of past work a piece of equipment has touched that was found to be out, and what becomes of it: each result is moved
//! by its own slope over the error of that piece, and decided again under its own rule and limits.
//!
//! Source of the three histories of an error: bench practice, after ISO/IEC 17025:2017, 7.10 and ISO 10012:2003, 8.3.3 (clause
//! numbers from memory).

use std::borrow::Cow;
use std::num::NonZeroUsize;
use std::thread;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{EntryId, EntryRef, Glance, Ledger, Number, Order, Text, Touched, Touching, Wanted};
use metrology::decision::{MeasurementUncertainty, Rule, Verdict, decide, is_clearly_accepted};
use metrology::inspection::{is_beside, known_beside, place_governs, strictness};
use metrology::limits::Limits;
use metrology::method;
use metrology::parallel::in_order;
use metrology::uncertainty::report::shortest_decimal;
use metrology::uncertainty::{coverage_factor_95, truncated_degrees_of_freedom};
use metrology::units::{Entered, Length, LengthUnit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use serde::{Serialize, Serializer};

use crate::certificates_on_record::good_checks;
use crate::document::{from_mm, to_mm};
use crate::equipment::{CONTACT, Kind, pieces};
use crate::error::Error;
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::kept;
use crate::lot_entry::Found;
use crate::on_record;
use crate::record;
use crate::register::Register;
use crate::station;

metrology::codes! {
    /// What a piece is. The key is the role under which results name it.
    pub enum Piece "recalled-piece" {
        Instrument "instrument",
        /// A pair of contacts.
        Contacts "contacts",
        /// One of a pair.
        Member "contact",
        /// A set of wires or balls.
        Wires "wires",
        /// A setting standard.
        Standard "standard",
        /// A GO or NOT GO gauge.
        Gauge "gauge",
    }
}

impl Piece {
    /// The kinds of equipment that it can be.
    pub const fn kinds(self) -> &'static [Kind] {
        match self {
            Self::Instrument => &[Kind::Instrument],
            Self::Contacts => &[Kind::Contacts],
            Self::Wires => &[Kind::Wires, Kind::Balls],
            Self::Standard => &[Kind::Standard],
            Self::Gauge => &[Kind::Gauge],
            Self::Member => &[],
        }
    }
}

const _: () = assert!(matches!(CONTACT.as_bytes(), b"contact"));

metrology::messages! {
    /// Why nothing is recalled.
    pub enum RecallError "recall" {
        /// No result names the piece.
        NeverUsed "never-used" { piece: Piece as code, id: String as Text },
        /// The last good check does not lie before the finding.
        SinceAfterFound "since-after-found" { since: Date as Date, found: Date as Date },
        /// It was found on a day that is still to come.
        FoundInFuture "found-in-future" { found: Date as Date, today: Date as Date },
        /// The step does not lie between them.
        StepOutside "step-outside" { step: Date as Date, since: Date as Date, found: Date as Date },
        /// The step lies after the finding.
        StepAfterFound "step-after-found" { step: Date as Date, found: Date as Date },
        /// A linear error has to begin somewhere.
        NoCheck "no-check" { piece: Piece as code, id: String as Text },
    }
}

/// Whether nothing was recalled because no result names the piece.
pub fn is_never_used(error: &Error) -> bool {
    matches!(error, Error::Input(why) if why.message.key() == "never-used")
}

/// How the error came to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum History {
    /// It has been as found ever since the last good check: the worst case.
    Constant,
    /// It grew evenly from nothing at the last good check to what was found.
    Linear,
    /// It came about on a day.
    Step(Date),
}

/// A piece that was found to be out.
#[derive(Clone, Debug)]
pub struct Recall {
    pub piece: Piece,
    pub id: String,
    /// Of a standard and of wires: certified less found. Of all else: indicated less true, what is left of it at the size of
    /// the part after zero was set on the standard.
    pub error: Length,
    /// The day of the finding.
    pub found: Date,
    /// The day of the last good check, where it is stated.
    pub since: Option<Date>,
    pub history: History,
}

/// A result that the piece touched. Lengths are in its unit. There may be half a million of them: each is kept small.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Recalled {
    #[serde(serialize_with = "in_text")]
    pub id: EntryId,
    pub measured_at: Timestamp,
    /// The day that the clock showed where it was measured.
    pub measured_on: Date,
    pub part: Option<Box<str>>,
    pub characteristic: Option<Box<str>>,
    pub sample: Option<Box<str>>,
    pub lot: Option<Box<str>>,
    /// Number of the piece in the order of work.
    pub piece: Option<Box<str>>,
    pub size: Option<f64>,
    /// What the size is without the error; none where it is not known how the result hangs on the piece.
    pub corrected: Option<f64>,
    pub unit: Option<LengthUnit>,
    /// The verdict on the record.
    pub before: Cow<'static, str>,
    /// The verdict on the corrected size.
    pub after: Cow<'static, str>,
    /// The error of the piece on that day.
    pub error: Option<f64>,
    /// The slope of the size over it.
    pub sensitivity: Option<f64>,
}

impl Recalled {
    /// Whether another verdict holds.
    pub fn changes(&self) -> bool {
        self.before != self.after
    }
}

/// What is recalled.
#[derive(Clone, Debug)]
pub struct Recalls {
    /// The day of the last good check, as stated or as the records know it; none where they know none: then every result up to
    /// the finding is in it.
    pub since: Option<Date>,
    /// Those whose verdict changes first, each in the order of time of measurement.
    pub results: Vec<Recalled>,
}

impl Recall {
    /// Every standing result between the last good check and the finding, both days included.
    pub fn of(&self, ledger: &Ledger) -> Result<Recalls, Error> {
        let since = match self.since {
            Some(since) => Some(since),
            None => self.last_check(ledger)?,
        };
        self.check_days(since)?;
        // The day of a result is that of the clock where it was measured, which here may be another one.
        let before = since.map(|day| day.yesterday().unwrap_or(day));
        let after = self.found.tomorrow().and_then(Date::tomorrow);
        let asked = Touching {
            since: before.and_then(station::midnight),
            until: after.ok().and_then(station::midnight),
            standing: true,
            wanted: WANTED,
            ..self.touching()
        };
        let results = self.decided(ledger, &asked, since)?;
        if results.is_empty() {
            self.check_used(ledger)?;
        }
        Ok(Recalls { since, results })
    }

    /// What becomes of the results asked for.
    fn decided(
        &self,
        ledger: &Ledger,
        asked: &Touching,
        since: Option<Date>,
    ) -> Result<Vec<Recalled>, Error> {
        let error = self.grown(since);
        let mut parts = on_record::all_touched(ledger, asked, |part: &mut Part, one| {
            let day = measured_on(&one);
            if day > self.found || since.is_some_and(|since| day < since) {
                return;
            }
            let (moved, near) = Recalled::of(&one, day, error);
            match near {
                Some(near) => part.near.push((moved, one.entry, near)),
                None => part.add(moved),
            }
        })?;
        for part in &mut parts {
            part.settle_near(ledger);
        }
        let count = |part: &Part| part.changed.len() + part.same.len();
        let mut results = Vec::with_capacity(parts.iter().map(count).sum());
        let (changed, same): (Vec<_>, Vec<_>) = parts
            .into_iter()
            .map(|part| (part.changed, part.same))
            .unzip();
        for mut some in changed.into_iter().chain(same) {
            results.append(&mut some);
        }
        Ok(results)
    }

    fn touching(&self) -> Touching {
        Touching {
            role: self.piece.key().to_owned(),
            identity: self.id.trim().to_owned(),
            size: 1,
            ..Touching::default()
        }
    }

    fn check_used(&self, ledger: &Ledger) -> Result<(), Error> {
        if on_record::touched(ledger, &self.touching())?.is_empty() {
            let (piece, id) = (self.piece, self.id.clone());
            return Err(Error::input(RecallError::NeverUsed { piece, id }));
        }
        Ok(())
    }

    fn check_days(&self, since: Option<Date>) -> Result<(), Error> {
        let found = self.found;
        if let Some(since) = since.filter(|since| *since > found) {
            return Err(Error::input(RecallError::SinceAfterFound { since, found }));
        }
        match (self.history, since) {
            (History::Step(step), Some(since)) if step < since || step > found => {
                Err(Error::input(RecallError::StepOutside {
                    step,
                    since,
                    found,
                }))
            }
            (History::Step(step), None) if step > found => {
                Err(Error::input(RecallError::StepAfterFound { step, found }))
            }
            (History::Linear, None) => {
                let (piece, id) = (self.piece, self.id.clone());
                Err(Error::input(RecallError::NoCheck { piece, id }))
            }
            _ => Ok(()),
        }
    }

    /// The date of the last certificate before the finding: as the register knows it, or the last record.
    fn last_check(&self, ledger: &Ledger) -> Result<Option<Date>, Error> {
        let register = Register::read(ledger)?;
        let pieces = self
            .piece
            .kinds()
            .iter()
            .filter_map(|kind| register.find(*kind, self.id.trim()));
        let registered = pieces.flat_map(|piece| {
            let certificates = piece.certificates.iter().map(|one| one.date);
            certificates.chain(piece.equipment.certificate_date())
        });
        let recorded = self.certificate_on_record(ledger)?;
        let mut good = Vec::new();
        for kind in self.piece.kinds() {
            let kind = PieceKind::of(kind.key());
            let piece = kind.map(|kind| PieceId::new(kind, &self.id));
            if let Some(piece) = piece {
                good.extend(good_checks(ledger, &piece)?);
            }
        }
        let dates = registered.chain(recorded).chain(good);
        Ok(dates.filter(|date| *date < self.found).max())
    }

    fn certificate_on_record(&self, ledger: &Ledger) -> Result<Option<Date>, Error> {
        let latest = Touching {
            until: self.found.tomorrow().ok().and_then(station::midnight),
            order: Order::NewestFirst,
            ..self.touching()
        };
        let Some(last) = on_record::touched(ledger, &latest)?.into_iter().next() else {
            return Ok(None);
        };
        let last = ledger.get(&EntryRef::from(last.entry))?;
        if self.piece == Piece::Gauge {
            let found = kept::glance::<Found>(kept::FOUND, &last.content.inputs).ok();
            return Ok(found.and_then(|found| found.gauge?.certificate_date));
        }
        let (job, _) = record::read(&last)?;
        let mut of_job = pieces(&job).filter(|(kind, _)| self.piece.kinds().contains(kind));
        Ok(of_job.find_map(|(_, piece)| piece.certificate_date()))
    }

    /// The error over time.
    fn grown(&self, since: Option<Date>) -> Grown {
        let whole = self.error.mm();
        let begin = |day: Option<Date>| day.and_then(station::midnight);
        match self.history {
            History::Constant => Grown::Always { whole },
            History::Step(on) => Grown::AtOnce { whole, on },
            History::Linear => match (begin(since), begin(Some(self.found))) {
                (Some(from), Some(to)) if from < to => Grown::Evenly { whole, from, to },
                _ => Grown::Always { whole },
            },
        }
    }
}

/// What becomes of the results of a part of the time.
#[derive(Default)]
struct Part {
    changed: Vec<Recalled>,
    same: Vec<Recalled>,
    /// Those near the edge of a zone: what is known beside their budgets may withhold the verdict, and only their documents tell.
    near: Vec<(Recalled, EntryId, Near)>,
}

/// A verdict on a moved size that stands only if less than its margin is known beside the budget.
struct Near {
    /// To the edge of its zone, millimetres.
    margin: f64,
    /// What holds if it does not stand.
    else_holds: Cow<'static, str>,
}

impl Part {
    fn add(&mut self, moved: Recalled) {
        let kind = if moved.changes() {
            &mut self.changed
        } else {
            &mut self.same
        };
        kind.push(moved);
    }

    /// Decides those near the edge of a zone by their documents, each computed again by its own method.
    fn settle_near(&mut self, ledger: &Ledger) {
        let near = std::mem::take(&mut self.near);
        if near.is_empty() {
            return;
        }
        let threads = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
        let settled = in_order(threads, &near, |(moved, entry, near)| {
            // Of what cannot be computed again nobody knows what is beside its budget.
            let beside = beside_budget(ledger, *entry).unwrap_or(f64::INFINITY);
            let mut moved = moved.clone();
            if beside > near.margin {
                moved.after.clone_from(&near.else_holds);
            }
            moved
        });
        for moved in settled {
            self.add(moved);
        }
        for kind in [&mut self.changed, &mut self.same] {
            kind.sort_by_key(|one| one.measured_at);
        }
    }
}

/// What is known beside the budget of a result, millimetres; none of one that is no inspection, or of a method that this program
/// does not have.
fn beside_budget(ledger: &Ledger, entry: EntryId) -> Option<f64> {
    let entry = ledger.get(&EntryRef::from(entry)).ok()?;
    let (job, result) = record::read(&entry).ok()?;
    let inspection = method::of(result.method)?(&job).ok()?;
    Some(known_beside(&inspection))
}

/// An error over time, millimetres.
#[derive(Clone, Copy)]
enum Grown {
    Always {
        whole: f64,
    },
    AtOnce {
        whole: f64,
        on: Date,
    },
    Evenly {
        whole: f64,
        from: Timestamp,
        to: Timestamp,
    },
}

impl Grown {
    /// The error at a moment of a day, millimetres.
    fn at(self, moment: Timestamp, day: Date) -> f64 {
        let seconds = |from: Timestamp, to: Timestamp| to.duration_since(from).as_secs_f64();
        match self {
            Self::AtOnce { on, .. } if day < on => 0.0,
            Self::Always { whole } | Self::AtOnce { whole, .. } => whole,
            Self::Evenly { whole, from, to } => {
                whole * (seconds(from, moment) / seconds(from, to)).clamp(0.0, 1.0)
            }
        }
    }
}

impl Recalled {
    /// What becomes of a result by an error.
    fn of(touched: &Touched<&dyn Glance>, day: Date, error: Grown) -> (Self, Option<Near>) {
        let Touched {
            entry,
            at,
            sensitivity,
            facts,
        } = *touched;
        let unit = on_record::unit(facts);
        let error = unit.map(|unit| from_mm(error.at(at, day), unit));
        let size = facts.number(Number::Size);
        let by = error.zip(sensitivity).map(|(error, slope)| -slope * error);
        let (after, near) = by
            .and_then(|by| decided_again(facts, by))
            .unwrap_or_else(|| (Verdict::Undecided.key().into(), None));
        let text = |of| facts.text(of).map(Box::from);
        let moved = Self {
            id: entry,
            measured_at: at,
            measured_on: day,
            part: text(Text::Part),
            characteristic: text(Text::Characteristic),
            sample: text(Text::Sample),
            lot: text(Text::Lot),
            piece: text(Text::Piece),
            size,
            corrected: size.zip(by).map(|(size, by)| size + by),
            unit,
            before: facts.text(Text::Verdict).map(verdict).unwrap_or_default(),
            after,
            error,
            sensitivity,
        };
        (moved, near)
    }
}

/// A verdict as it is recorded; no memory is taken for one that this program knows.
fn verdict(recorded: &str) -> Cow<'static, str> {
    Verdict::of(recorded).map_or_else(|| recorded.to_owned().into(), |known| known.key().into())
}

fn in_text<S: Serializer>(id: &EntryId, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(id)
}

/// What [`Recalled::of`] looks at.
const WANTED: Wanted = Wanted {
    numbers: &[
        Number::Size,
        Number::StandardUncertainty,
        Number::CoverageFactor,
        Number::DegreesOfFreedom,
        Number::Lower,
        Number::Upper,
        Number::RuleParameter,
        Number::OtherSize,
        Number::OtherStandardUncertainty,
        Number::OtherCoverageFactor,
        Number::OtherDegreesOfFreedom,
        Number::OnPlace,
        Number::LeastGoverns,
    ],
    texts: &[
        Text::Unit,
        Text::Verdict,
        Text::SizeVerdict,
        Text::Because,
        Text::Rule,
        Text::Part,
        Text::Sample,
        Text::Piece,
        Text::Lot,
        Text::Characteristic,
        Text::MeasuredOn,
    ],
};

/// The day that the clock showed where it was measured; by the clock here where it says nothing of that.
fn measured_on(touched: &Touched<&dyn Glance>) -> Date {
    let stated = touched.facts.text(Text::MeasuredOn);
    let stated = stated.and_then(|day| day.parse().ok());
    stated.unwrap_or_else(|| station::day(touched.at))
}

/// The verdict on a result whose size is moved by so much, in its unit, and whether what is known beside the budget may withhold
/// it.
///
/// A verdict that was withheld stays so, unless it was for what is known beside the budget and the moved size is rejected by more; a
/// requirement beside the size that was stricter is so still.
fn decided_again(facts: &dyn Glance, by: f64) -> Option<(Cow<'static, str>, Option<Near>)> {
    let recorded = facts.text(Text::Verdict)?;
    let because = facts.text(Text::Because);
    if by == 0.0 || because.is_some_and(|because| !is_beside(because)) {
        return Some((verdict(recorded), None));
    }
    let number = |of| facts.number(of);
    let unit = on_record::unit(facts)?;
    let parameter = number(Number::RuleParameter);
    let parameter: Option<Decimal> = match parameter {
        Some(parameter) => Some(shortest_decimal(parameter)?),
        None => None,
    };
    let rule = Rule::parse(facts.text(Text::Rule)?, parameter).ok()?;
    let limits = Limits {
        lower: number(Number::Lower).and_then(|limit| exact(limit, unit)),
        upper: number(Number::Upper).and_then(|limit| exact(limit, unit)),
    };
    let terms = Terms { unit, rule, limits };
    let decided = terms.decide(
        number(Number::Size)? + by,
        number(Number::StandardUncertainty)?,
        number(Number::CoverageFactor)?,
        number(Number::DegreesOfFreedom),
    )?;
    let other = match number(Number::OtherSize) {
        None => None,
        Some(other) => Some(terms.decide(
            other + by,
            number(Number::OtherStandardUncertainty)?,
            number(Number::OtherCoverageFactor)?,
            number(Number::OtherDegreesOfFreedom),
        )?),
    };
    let on_size = other.map_or(decided.verdict, |other| {
        let on_place = number(Number::OnPlace) == Some(1.0);
        let (mean, place) = if on_place {
            (other.verdict, decided.verdict)
        } else {
            (decided.verdict, other.verdict)
        };
        let least_governs = number(Number::LeastGoverns) == Some(1.0);
        if place_governs(mean, place, least_governs) {
            place
        } else {
            mean
        }
    });
    let beside = Verdict::of(recorded).filter(|_| facts.text(Text::SizeVerdict) != Some(recorded));
    let beside = beside.filter(|_| because.is_none());
    if let Some(beside) = beside.filter(|beside| strictness(*beside) > strictness(on_size)) {
        return Some((beside.key().into(), None));
    }
    if because.is_some() && on_size != Verdict::Reject {
        return Some((verdict(recorded), None));
    }
    let both = [Some(decided), other];
    let margins = both.into_iter().flatten();
    let margins = margins.filter(|one| one.verdict == on_size);
    let margin = margins.filter_map(|one| one.margin).reduce(f64::min);
    let near = margin.map(|margin| Near {
        margin,
        else_holds: Verdict::Undecided.key().into(),
    });
    Some((on_size.key().into(), near))
}

/// The verdict on a result whose size is moved by so much, in its unit; none where its facts do not tell.
pub fn verdict_moved(
    ledger: &Ledger,
    entry: EntryId,
    facts: &dyn Glance,
    by: f64,
) -> Option<Cow<'static, str>> {
    let (after, near) = decided_again(facts, by)?;
    let Some(near) = near else { return Some(after) };
    let beside = beside_budget(ledger, entry).unwrap_or(f64::INFINITY);
    Some(if beside > near.margin {
        near.else_holds
    } else {
        after
    })
}

/// By what a moved size is decided again.
struct Terms {
    unit: LengthUnit,
    rule: Rule,
    limits: Limits,
}

/// What a moved size gives.
#[derive(Clone, Copy)]
struct Moved {
    verdict: Verdict,
    /// To the edge of its zone, millimetres, where that may be less than what is known beside the budget; none where it is more
    /// than U.
    margin: Option<f64>,
}

impl Terms {
    /// Size and standard uncertainty in the unit.
    fn decide(&self, size: f64, u: f64, k: f64, degrees_of_freedom: Option<f64>) -> Option<Moved> {
        let &Self { unit, rule, limits } = self;
        let degrees_of_freedom = degrees_of_freedom.unwrap_or(f64::INFINITY);
        let size = Length::nearest_mm(to_mm(size, unit)).ok()?;
        let for_95 = coverage_factor_95(truncated_degrees_of_freedom(degrees_of_freedom)).ok();
        let expanded = k.max(for_95.unwrap_or(k)) * to_mm(u, unit);
        // Most lie well within their limits, farther than what is known beside a budget reaches (U, a proposal, no source), and
        // need no more than a look.
        if for_95.is_some() && is_clearly_accepted(size, 2.0 * expanded, limits, rule) {
            let verdict = Verdict::Accept;
            return Some(Moved {
                verdict,
                margin: None,
            });
        }
        let uncertainty = MeasurementUncertainty::from_mm(to_mm(u, unit))
            .ok()?
            .with_coverage_factor(shortest_decimal(k)?)
            .with_degrees_of_freedom(degrees_of_freedom);
        let decision = decide(size, &uncertainty, limits, rule).ok()?;
        let margin = decision.zone_margin.and_then(|margin| margin.to_f64());
        Some(Moved {
            verdict: decision.verdict,
            margin: margin.filter(|margin| *margin < expanded),
        })
    }
}

/// A limit, as it stands in a document, as an exact length.
fn exact(limit: f64, unit: LengthUnit) -> Option<Length> {
    if unit == LengthUnit::Millimetre
        && let Ok(length) = Length::nearest_mm(limit)
        && length.mm() == limit
    {
        return Some(length);
    }
    let entered = Entered::parse(&format!("{limit}{}", unit.symbol()), None).ok()?;
    Some(entered.value())
}
