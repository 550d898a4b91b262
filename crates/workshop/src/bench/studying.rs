//! A study of a way of measuring at the bench: what it begins with, what is asked in which order, and what is recorded of it. What
//! is computed is that of [`Study`].

use metrology::inspection::Target;
use metrology::study::StudyError;
use metrology::units::{Entered, Length};

use super::answer::measured_first;
use super::event::{Event, Spot, When};
use super::procedure::Procedure;
use super::question::Question;
use super::reading::Reading;
use super::state::State;
use super::study::Studying;
use crate::error::Error;
use crate::gauge_record::study::{Study, StudyKind, StudyPlan, StudyReading};
use crate::given;
use crate::station;

/// So many readings are no study any more, but a mistyped number (a proposal, no source).
pub const MOST_READINGS: usize = 1000;
/// Trials where none are stated: of each part by each operator, of a part of known size, and for its bias (common practice, no
/// source).
const TRIALS: [(StudyKind, usize); 3] = [
    (StudyKind::Repeatability, 3),
    (StudyKind::Type1, 25),
    (StudyKind::Bias, 10),
];

metrology::messages! {
    /// Why a study is not begun.
    pub enum StudyRefused "study-refused" {
        /// No kind of study.
        NoKind "no-kind" { text: String as Text, known: Vec<String> as one_of },
        /// A feature that asks for more than its limits.
        Feature "feature" { name: String as Text },
        /// Nobody, or no part, is named.
        NoneNamed "none-named" { what: Named as code },
        /// Somebody, or a part, is named twice.
        NamedTwice "named-twice" { text: String as Text },
        /// No whole number.
        NoCount "no-count" { text: String as Text },
        /// More readings than anybody takes.
        TooMany "too-many" { n: usize as count, most: usize as count },
        /// One operator and one part only.
        OneOfEach "one-of-each",
        /// The size of the part is not stated.
        NoReference "no-reference",
        /// It is stated where many parts of unknown size are measured.
        ReferenceOfMany "reference-of-many",
        /// It lies outside the limits of what is measured.
        ReferenceOutside "reference-outside" { text: String as Text },
        /// Both limits are needed.
        NoTolerance "no-tolerance",
        /// A character that does not show.
        Hidden "hidden",
        /// Readings without a part of known size that is read directly.
        OverWires "over-wires",
    }
}

metrology::codes! {
    /// What is named in a plan.
    pub enum Named "study-named" {
        Parts "parts",
        Operators "operators",
    }
}

/// A study as it is asked for: texts as they were typed, names separated by commas.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    pub kind: String,
    /// A thread, or a size with its limits.
    pub characteristic: String,
    /// Names, or how many: `10` is parts 1 to 10.
    pub parts: String,
    pub operators: String,
    /// Empty for as many as usual.
    pub trials: String,
    /// Size of the part, with its unit.
    pub reference: String,
    /// Empty for another one every time.
    pub seed: String,
}

/// The plan that is asked for, or what is wrong with it; `chance` is the seed where none is stated.
pub fn planned(asked: &Asked, chance: u64) -> Result<StudyPlan, Error> {
    let texts = [
        &asked.characteristic,
        &asked.parts,
        &asked.operators,
        &asked.reference,
    ];
    if texts
        .iter()
        .any(|text| given::on_one_line("study", text).is_err())
    {
        return Err(Error::input(StudyRefused::Hidden));
    }
    let text = asked.kind.trim();
    let kind = StudyKind::of(text).ok_or_else(|| {
        Error::input(StudyRefused::NoKind {
            text: text.to_owned(),
            known: StudyKind::EVERY
                .iter()
                .map(|kind| kind.key().to_owned())
                .collect(),
        })
    })?;
    let characteristic = match measured_first(asked.characteristic.trim()) {
        Ok(Event::Characteristic { characteristic }) => characteristic,
        Ok(Event::Feature { stated }) => {
            return Err(Error::input(StudyRefused::Feature { name: stated.name }));
        }
        Ok(_) => return Err(Error::input(StudyRefused::NoTolerance)),
        Err(refusal) => return Err(Error::Input(refusal.why)),
    };
    let target = Target::of(&characteristic).map_err(Error::input)?;
    let tolerance = target.limits.tolerance();
    let tolerance = tolerance.filter(|tolerance| *tolerance > Length::ZERO);
    let operators = names(&asked.operators, Named::Operators)?;
    let parts = match asked.parts.trim().parse::<usize>() {
        Ok(n) if (1..=MOST_READINGS).contains(&n) => (1..=n).map(|n| n.to_string()).collect(),
        Ok(n) => {
            return Err(Error::input(StudyRefused::TooMany {
                n,
                most: MOST_READINGS,
            }));
        }
        Err(_) => names(&asked.parts, Named::Parts)?,
    };
    let usual = TRIALS.iter().find(|(of, _)| *of == kind);
    let trials = match asked.trials.trim() {
        "" => usual.map_or(0, |(_, trials)| *trials),
        text => count(text)?,
    };
    let n = operators
        .len()
        .saturating_mul(parts.len())
        .saturating_mul(trials);
    if n > MOST_READINGS {
        let most = MOST_READINGS;
        return Err(Error::input(StudyRefused::TooMany { n, most }));
    }
    let reference = match asked.reference.trim() {
        "" => None,
        text => Some(Entered::parse(text, None).map_err(Error::input)?),
    };
    let plan = StudyPlan {
        kind,
        characteristic,
        tolerance: tolerance.map(|tolerance| Entered::of(tolerance, target.unit)),
        reference,
        parts,
        operators,
        trials,
        seed: match asked.seed.trim() {
            "" => chance,
            text => text.parse().map_err(|_| no_count(text))?,
        },
    };
    may_be_computed(&plan, &target)?;
    Ok(plan)
}

/// What the calculation would refuse once everything is measured is refused before.
fn may_be_computed(plan: &StudyPlan, target: &Target) -> Result<(), Error> {
    if plan.kind == StudyKind::Repeatability {
        if plan.reference.is_some() {
            return Err(Error::input(StudyRefused::ReferenceOfMany));
        }
        let (operators, parts) = (plan.operators.len(), plan.parts.len());
        let wrong = match (operators, parts, plan.trials) {
            (0 | 1, ..) => Some(StudyError::OneOperator),
            (_, 0 | 1, _) => Some(StudyError::OnePart),
            (.., 0 | 1) => Some(StudyError::OneTrial),
            _ => None,
        };
        return wrong.map_or(Ok(()), |wrong| Err(Error::input(wrong)));
    }
    if plan.operators.len() > 1 || plan.parts.len() > 1 {
        return Err(Error::input(StudyRefused::OneOfEach));
    }
    let Some(reference) = &plan.reference else {
        return Err(Error::input(StudyRefused::NoReference));
    };
    let needed = match plan.kind {
        StudyKind::Type1 => 10,
        _ => 2,
    };
    if plan.trials < needed {
        let n = plan.trials;
        return Err(Error::input(StudyError::TooFew { n, needed }));
    }
    if plan.kind == StudyKind::Type1 && plan.tolerance.is_none() {
        return Err(Error::input(StudyRefused::NoTolerance));
    }
    // A part of another size is another part.
    let limits = target.limits;
    let near = limits.tolerance().unwrap_or_default();
    let size = reference.value();
    let outside = limits.lower.is_some_and(|lower| size < lower - near)
        || limits.upper.is_some_and(|upper| size > upper + near);
    if outside {
        let text = reference.text().to_owned();
        return Err(Error::input(StudyRefused::ReferenceOutside { text }));
    }
    Ok(())
}

/// Names that are separated by commas, each once.
fn names(text: &str, what: Named) -> Result<Vec<String>, Error> {
    let names = text.split([',', ';']).map(str::trim);
    let names: Vec<String> = names
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect();
    if names.is_empty() {
        return Err(Error::input(StudyRefused::NoneNamed { what }));
    }
    for (index, name) in names.iter().enumerate() {
        let mut before = names.iter().take(index);
        if before.any(|known| known.eq_ignore_ascii_case(name)) {
            let text = name.clone();
            return Err(Error::input(StudyRefused::NamedTwice { text }));
        }
    }
    Ok(names)
}

fn count(text: &str) -> Result<usize, Error> {
    text.parse().map_err(|_| no_count(text))
}

fn no_count(text: &str) -> Error {
    Error::input(StudyRefused::NoCount {
        text: text.to_owned(),
    })
}

impl State {
    /// The study, where the job is one.
    pub const fn studying(&self) -> Option<&Studying> {
        match &self.procedure {
            Procedure::Study(studying) => Some(studying),
            Procedure::Inspection | Procedure::Run(_) | Procedure::Calibration(_) => None,
        }
    }

    /// What happens in a study alone.
    pub(super) fn take_in_study(&mut self, event: &Event) {
        let Event::Study { plan } = event else {
            return;
        };
        self.measure(plan.characteristic.clone());
        let studying = Studying::of((**plan).clone());
        self.plan = vec![Spot::default(); studying.turns.len()];
        self.procedure = Procedure::Study(Box::new(studying));
    }

    /// What is asked of a study that has no end yet, parked or not.
    pub(super) fn study_question(&self) -> Question {
        // Asked at once: the next part comes to another operator.
        let in_doubt = |one: &&Reading| one.flag.is_some() && one.left.is_none();
        let flagged = self.readings.iter().find(in_doubt);
        let flagged = flagged.filter(|_| self.retaking.is_none() && self.may_be_read_again());
        self.set_up_question()
            .or_else(|| self.check_question(When::Before))
            .or_else(|| flagged.map(|one| Question::Flagged { of: one.number }))
            .or_else(|| self.reading_question())
            .or_else(|| self.check_question(When::After))
            .unwrap_or(match self.person {
                None => Question::Sign,
                Some(_) => Question::Finish,
            })
    }

    /// The study as it would be recorded now; none before its closing check.
    pub fn to_study(&self) -> Option<Study> {
        let studying = self.studying()?;
        let readings = self.readings.iter().zip(&studying.turns);
        let readings = readings.enumerate().map(|(index, (reading, turn))| {
            let (operator, part) = studying.turn(index)?;
            Some(StudyReading {
                operator: operator.to_owned(),
                part: part.to_owned(),
                trial: turn.trial + 1,
                at: reading.at,
                reading: reading.shown.clone(),
                earlier: reading.earlier.clone(),
                left: reading.left.clone(),
            })
        });
        if !matches!(
            self.question(),
            Question::Sign | Question::Finish | Question::Recorded
        ) {
            return None;
        }
        Some(Study {
            plan: studying.plan.clone(),
            instrument: self.instrument.clone()?,
            contacts: self.contacts.clone()?,
            wires: self.wires.clone().filter(|_| self.over_wires()),
            standard: self.standard.clone()?,
            unit: self.unit?,
            temperature: self.temperature.clone()?,
            zero_before: self.before.standing(),
            zero_after: self.after.standing(),
            readings: readings.collect::<Option<Vec<_>>>()?,
            on: station::day(self.readings.first()?.at),
            person: self.person.clone().unwrap_or_default(),
        })
    }
}
