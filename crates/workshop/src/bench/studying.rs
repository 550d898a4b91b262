//! A study of a way of measuring at the bench: what it begins with, what is asked in which order, and what is recorded of it. What
//! is computed is that of [`Study`].

use metrology::inspection::{Characteristic, Target};
use metrology::message::Say;
use metrology::study::StudyError;
use metrology::units::{Entered, Length};

use super::answer::measured_first;
use super::details;
use super::event::{Answers, Event, Spot, Stated, When};
use super::procedure::Procedure;
use super::question::Question;
use super::reading::Reading;
use super::refusal::Refused;
use super::state::State;
use super::study::Studying;
use crate::error::{Error, Why};
use crate::gauge_record::study::{Study, StudyKind, StudyPlan, StudyReading};
use crate::given;
use crate::station;

/// So many readings are no study any more, but a mistyped number (a proposal, no source).
pub const MOST_READINGS: usize = 1000;
/// Trials where none are stated: of each part by each operator, of a part of known size, for its bias, and for the bias of
/// each of several (common practice, no source).
const TRIALS: [(StudyKind, usize); 5] = [
    (StudyKind::Repeatability, 3),
    (StudyKind::Type1, 25),
    (StudyKind::Bias, 10),
    (StudyKind::Nested, 3),
    (StudyKind::Linearity, 10),
];

/// The name of the only part where none is stated.
const ONLY: &str = "1";

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
        /// Not as many known sizes as parts.
        ReferenceOfEach "reference-of-each" { n: usize as count, parts: usize as count },
        /// Several known sizes of one part.
        ManyReferences "many-references",
        /// Several operators where one measures all parts.
        OneOperatorAlone "one-operator-alone",
        /// Parts that cannot be shared out evenly.
        UnevenParts "uneven-parts" { parts: usize as count, operators: usize as count },
        /// It lies outside the limits of what is measured.
        ReferenceOutside "reference-outside" { text: String as Text },
        /// Both limits are needed.
        NoTolerance "no-tolerance",
        /// Only wires measure it, and a reading over wires is no size that is known.
        OnlyOverWires "only-over-wires",
        /// A character that does not show.
        Hidden "hidden",
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
    /// Size of the part, with its unit; of linearity those of all parts, in their order.
    pub reference: String,
    /// Empty for another one every time.
    pub seed: String,
}

/// A field of what is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    Kind,
    Characteristic,
    Operators,
    Parts,
    Trials,
    Reference,
    Seed,
}

impl Field {
    /// Its name in a form.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Kind => "kind",
            Self::Characteristic => "characteristic",
            Self::Operators => "operators",
            Self::Parts => "parts",
            Self::Trials => "trials",
            Self::Reference => "reference",
            Self::Seed => "seed",
        }
    }
}

/// What is wrong with a field.
#[derive(Debug)]
pub struct WrongField {
    pub field: Field,
    pub why: Error,
}

impl WrongField {
    fn of(field: Field, what: impl Say) -> Self {
        let why = Error::input(what);
        Self { field, why }
    }
}

/// The plan that is asked for, or the first thing that is wrong with it; `chance` is the seed where none is stated.
pub fn planned(asked: &Asked, chance: u64) -> Result<StudyPlan, Error> {
    read(asked, chance).map_err(|wrong| {
        let first = wrong.into_iter().next().map(|one| one.why);
        first.unwrap_or_else(|| Error::input(StudyRefused::Hidden))
    })
}

/// The plan that is asked for, or all that is wrong with it, field by field in their order: each field once.
pub fn read(asked: &Asked, chance: u64) -> Result<StudyPlan, Vec<WrongField>> {
    let mut wrong = Vec::new();
    let mut taken = |field: Field, why: Error| wrong.push(WrongField { field, why });
    let kind = kind(&asked.kind).map_err(|why| taken(Field::Kind, why));
    let measured = on_one_line(&asked.characteristic)
        .and_then(|()| measured(&asked.characteristic))
        .map_err(|why| taken(Field::Characteristic, why));
    let operators = on_one_line(&asked.operators)
        .and_then(|()| names(&asked.operators, Named::Operators))
        .map_err(|why| taken(Field::Operators, why));
    let parts = on_one_line(&asked.parts)
        .and_then(|()| match asked.parts.trim() {
            // The one part of such a study need not be named.
            "" if matches!(kind, Ok(StudyKind::Type1 | StudyKind::Bias)) => Ok(vec![ONLY.into()]),
            _ => parts(&asked.parts),
        })
        .map_err(|why| taken(Field::Parts, why));
    let usual = TRIALS.iter().find(|(of, _)| kind == Ok(*of));
    let trials = match asked.trials.trim() {
        "" => Ok(usual.map_or(0, |(_, trials)| *trials)),
        text => count(text).map_err(|why| taken(Field::Trials, why)),
    };
    let sizes = on_one_line(&asked.reference)
        .and_then(|()| sizes(&asked.reference))
        .map_err(|why| taken(Field::Reference, why));
    let seed = match asked.seed.trim() {
        "" => Ok(chance),
        text => text.parse().map_err(|_| taken(Field::Seed, no_count(text))),
    };
    let (Ok(kind), Ok((characteristic, target)), Ok(operators), Ok(parts)) =
        (kind, measured, operators, parts)
    else {
        return Err(wrong);
    };
    let (Ok(trials), Ok(sizes), Ok(seed)) = (trials, sizes, seed) else {
        return Err(wrong);
    };
    let tolerance = target.limits.tolerance();
    // Of linearity the limits are the range, and nothing is tolerated.
    let tolerance =
        tolerance.filter(|tolerance| *tolerance > Length::ZERO && kind != StudyKind::Linearity);
    let mut plan = StudyPlan {
        kind,
        characteristic,
        tolerance: tolerance.map(|tolerance| Entered::of(tolerance, target.unit)),
        reference: None,
        references: Vec::new(),
        parts,
        operators,
        trials,
        seed,
    };
    let many = plan.planned();
    if many > MOST_READINGS {
        // Where the trials alone are too many, or the parts are.
        let field = if trials > MOST_READINGS {
            Field::Trials
        } else {
            Field::Parts
        };
        let (n, most) = (many, MOST_READINGS);
        let too_many = StudyRefused::TooMany { n, most };
        return Err(vec![WrongField::of(field, too_many)]);
    }
    let missed = not_one_of_each(&plan, sizes.is_empty());
    if !missed.is_empty() {
        return Err(missed);
    }
    with_sizes(&mut plan, sizes)
        .and_then(|()| may_be_computed(&plan, &target))
        .map_err(|wrong| vec![wrong])?;
    Ok(plan)
}

fn on_one_line(text: &str) -> Result<(), Error> {
    given::on_one_line("study", text).map_err(|_| Error::input(StudyRefused::Hidden))
}

fn kind(text: &str) -> Result<StudyKind, Error> {
    let text = text.trim();
    StudyKind::of(text).ok_or_else(|| {
        let every = StudyKind::EVERY.iter();
        Error::input(StudyRefused::NoKind {
            text: text.to_owned(),
            known: every.map(|kind| kind.key().to_owned()).collect(),
        })
    })
}

/// What is measured, and its limits.
fn measured(text: &str) -> Result<(Characteristic, Target), Error> {
    let characteristic = match measured_first(text.trim()) {
        Ok(Event::Characteristic { characteristic }) => characteristic,
        Ok(Event::Feature { stated }) => of_feature(&stated)?,
        Ok(_) => return Err(Error::input(StudyRefused::NoTolerance)),
        Err(refusal) => return Err(Error::Input(refusal.why)),
    };
    let target = Target::of(&characteristic).map_err(Error::input)?;
    Ok((characteristic, target))
}

/// Names, or how many: `10` is parts 1 to 10.
fn parts(text: &str) -> Result<Vec<String>, Error> {
    match text.trim().parse::<usize>() {
        Ok(n) if (1..=MOST_READINGS).contains(&n) => Ok((1..=n).map(|n| n.to_string()).collect()),
        Ok(n) => {
            let most = MOST_READINGS;
            Err(Error::input(StudyRefused::TooMany { n, most }))
        }
        Err(_) => names(text, Named::Parts),
    }
}

/// Known sizes, separated by semicolons, or by commas where there is no semicolon.
fn sizes(text: &str) -> Result<Vec<Entered>, Error> {
    let between = if text.contains(';') { ';' } else { ',' };
    let sizes = text.split(between).map(str::trim);
    let sizes = sizes.filter(|size| !size.is_empty());
    let read = |size| Entered::parse(size, None).map_err(Error::input);
    sizes.map(read).collect()
}

/// Puts the known sizes in their place: one of the part, or one of each part.
fn with_sizes(plan: &mut StudyPlan, sizes: Vec<Entered>) -> Result<(), WrongField> {
    let wrong = |refused: StudyRefused| Err(WrongField::of(Field::Reference, refused));
    let (n, parts) = (sizes.len(), plan.parts.len());
    match plan.kind {
        StudyKind::Repeatability | StudyKind::Nested if n > 0 => {
            wrong(StudyRefused::ReferenceOfMany)
        }
        StudyKind::Repeatability | StudyKind::Nested => Ok(()),
        StudyKind::Linearity if n != parts => wrong(StudyRefused::ReferenceOfEach { n, parts }),
        StudyKind::Linearity => {
            plan.references = sizes;
            Ok(())
        }
        StudyKind::Type1 | StudyKind::Bias if n > 1 => wrong(StudyRefused::ManyReferences),
        StudyKind::Type1 | StudyKind::Bias => {
            plan.reference = sizes.into_iter().next();
            Ok(())
        }
    }
}

/// A feature of which nothing needs to be known beside its limits.
fn of_feature(stated: &Stated) -> Result<Characteristic, Error> {
    let feature = stated.feature.as_deref().unwrap_or_default();
    let mut answers = Answers::new();
    while let Some(detail) = details::next(feature, &answers) {
        if !detail.optional() {
            let name = stated.name.clone();
            return Err(Error::input(StudyRefused::Feature { name }));
        }
        let said = answers.entry(detail.key().to_owned()).or_default();
        said.done = true;
    }
    let characteristic = details::characteristic(stated, &answers);
    characteristic.map_err(|refusal| Error::Input(refusal.why))
}

/// What a study of one part of known size has too much of, and what it lacks.
fn not_one_of_each(plan: &StudyPlan, is_unknown: bool) -> Vec<WrongField> {
    if !matches!(plan.kind, StudyKind::Type1 | StudyKind::Bias) {
        return Vec::new();
    }
    [
        (
            plan.operators.len() > 1,
            Field::Operators,
            StudyRefused::OneOfEach,
        ),
        (plan.parts.len() > 1, Field::Parts, StudyRefused::OneOfEach),
        (is_unknown, Field::Reference, StudyRefused::NoReference),
    ]
    .into_iter()
    .filter(|(is_wrong, ..)| *is_wrong)
    .map(|(_, field, refused)| WrongField::of(field, refused))
    .collect()
}

/// What the calculation would refuse once everything is measured is refused before.
fn may_be_computed(plan: &StudyPlan, target: &Target) -> Result<(), WrongField> {
    let (operators, parts) = (plan.operators.len(), plan.parts.len());
    match plan.kind {
        StudyKind::Repeatability | StudyKind::Nested => {
            let is_nested = plan.kind == StudyKind::Nested;
            if is_nested && operators > 1 && !parts.is_multiple_of(operators) {
                let uneven = StudyRefused::UnevenParts { parts, operators };
                return Err(WrongField::of(Field::Parts, uneven));
            }
            let wrong = match (operators, plan.parts_each(), plan.trials) {
                (0 | 1, ..) => Some((Field::Operators, StudyError::OneOperator)),
                (_, 0 | 1, _) => Some((Field::Parts, StudyError::OnePart)),
                (.., 0 | 1) => Some((Field::Trials, StudyError::OneTrial)),
                _ => None,
            };
            return match wrong {
                Some((field, wrong)) => Err(WrongField::of(field, wrong)),
                None => Ok(()),
            };
        }
        StudyKind::Linearity => {
            if operators > 1 {
                return Err(WrongField::of(
                    Field::Operators,
                    StudyRefused::OneOperatorAlone,
                ));
            }
            let first = plan.references.first().map(Entered::value);
            let mut sizes = plan.references.iter().map(Entered::value);
            if sizes.all(|size| Some(size) == first) {
                return Err(WrongField::of(Field::Reference, StudyError::OneReference));
            }
        }
        StudyKind::Type1 | StudyKind::Bias => {}
    }
    // The contacts are chosen later; on a taper wires alone show the pitch diameter.
    if target.plane.is_some() {
        let only = StudyRefused::OnlyOverWires;
        return Err(WrongField::of(Field::Characteristic, only));
    }
    let (n, needed) = match plan.kind {
        StudyKind::Type1 => (plan.trials, 10),
        StudyKind::Linearity => (plan.planned(), 3),
        _ => (plan.trials, 2),
    };
    if n < needed {
        let few = StudyError::TooFew { n, needed };
        return Err(WrongField::of(Field::Trials, few));
    }
    if plan.kind == StudyKind::Type1 && plan.tolerance.is_none() {
        return Err(WrongField::of(
            Field::Characteristic,
            StudyRefused::NoTolerance,
        ));
    }
    // A part of another size is another part.
    let limits = target.limits;
    let near = limits.tolerance().unwrap_or_default();
    let is_outside = |size: Length| {
        limits.lower.is_some_and(|lower| size < lower - near)
            || limits.upper.is_some_and(|upper| size > upper + near)
    };
    let mut known = plan.reference.iter().chain(&plan.references);
    match known.find(|size| is_outside(size.value())) {
        Some(size) => {
            let text = size.text().to_owned();
            let outside = StudyRefused::ReferenceOutside { text };
            Err(WrongField::of(Field::Reference, outside))
        }
        None => Ok(()),
    }
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

    /// Why this set-up gives no such study: a reading over wires is no pitch diameter, and its difference from the known one is no
    /// bias. None where wires do not come between, or sizes are not known.
    pub(super) fn study_over_wires(&self) -> Option<Why> {
        let has_reference = self.studying()?.plan.kind.has_reference();
        (has_reference && self.over_wires()).then(|| Why::of(Refused::StudyOverWires))
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

#[cfg(test)]
mod tests {
    use ledger::Ledger;
    use metrology::message::Say as _;

    use super::*;
    use crate::approvals::Approvals;
    use crate::bench::story::Story;
    use crate::bench::{Answer, Refusal, finish};
    use crate::gauge_record::studied::{
        LinearityDocument, RepeatabilityDocument, RepeatabilitySettings,
    };
    use crate::gauge_room::studies;
    use crate::kept;
    use crate::record_kind::RecordKind;
    use crate::recorder::Recorder;
    use crate::tables::Build;

    fn asked() -> Asked {
        Asked {
            kind: "repeatability".to_owned(),
            characteristic: "M10x1.5-6g".to_owned(),
            parts: "4".to_owned(),
            operators: "Anna, \"B\", Jr.".to_owned(),
            trials: "2".to_owned(),
            reference: String::new(),
            seed: "7".to_owned(),
        }
    }

    fn refused(change: impl FnOnce(&mut Asked)) -> String {
        let mut asked = asked();
        change(&mut asked);
        match planned(&asked, 1) {
            Err(Error::Input(why)) => why.message.code.to_string(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_cannot_be_computed_is_refused_before_it_is_measured() {
        let plan = planned(&asked(), 1).unwrap();
        assert_eq!((plan.seed, plan.parts.len()), (7, 4));
        assert_eq!(plan.operators, ["Anna", "\"B\"", "Jr."]);
        assert_eq!(plan.tolerance.unwrap().text(), "0.132mm");
        let unseeded = Asked {
            seed: String::new(),
            trials: String::new(),
            ..asked()
        };
        let unseeded = planned(&unseeded, 12).unwrap();
        assert_eq!((unseeded.seed, unseeded.trials), (12, 3));
        for (code, change) in [
            (
                "study-refused.no-kind",
                (|one| one.kind = "speed".into()) as fn(&mut Asked),
            ),
            ("study.one-operator", |one| one.operators = "Anna".into()),
            ("study.one-part", |one| one.parts = "1".into()),
            ("study.one-trial", |one| one.trials = "1".into()),
            ("study-refused.none-named", |one| {
                one.operators = " , ".into();
            }),
            ("study-refused.none-named", |one| one.parts = String::new()),
            ("study-refused.named-twice", |one| {
                one.operators = "Anna, anna".into();
            }),
            ("study-refused.no-count", |one| one.trials = "three".into()),
            ("study-refused.no-count", |one| one.seed = "-1".into()),
            ("study-refused.too-many", |one| one.parts = "400".into()),
            ("study-refused.too-many", |one| {
                one.trials = "18446744073709551615".into();
            }),
            ("study-refused.reference-of-many", |one| {
                one.reference = "8.9mm".into();
            }),
            ("study-refused.feature", |one| {
                one.characteristic = "wall 1.9 to 2.1 mm".into();
            }),
            ("study-refused.hidden", |one| {
                one.parts = "a\u{202e}b, c".into();
            }),
            ("bench.number-alone", |one| {
                one.characteristic = "8.93 mm".into();
            }),
        ] {
            assert_eq!(refused(change), code);
        }
        let known = |change: fn(&mut Asked)| {
            refused(|one| {
                one.kind = "type-1".into();
                one.characteristic = "shank 8.90 to 8.95 mm".into();
                one.operators = "Anna".into();
                one.parts = "master".into();
                one.trials = "25".into();
                one.reference = "8.925mm".into();
                change(one);
            })
        };
        assert_eq!(
            known(|one| one.reference = String::new()),
            "study-refused.no-reference"
        );
        assert_eq!(
            known(|one| one.reference = "9.1mm".into()),
            "study-refused.reference-outside"
        );
        assert_eq!(known(|one| one.trials = "9".into()), "study.too-few");
        assert_eq!(
            known(|one| one.parts = "2".into()),
            "study-refused.one-of-each"
        );
        assert_eq!(
            known(|one| one.characteristic = "shank at least 8.90 mm".into()),
            "study-refused.no-tolerance"
        );
        assert_eq!(
            known(|one| {
                one.characteristic = "1/2-14 NPT external at 4.06 mm".into();
                one.reference = "19.8mm".into();
            }),
            "study-refused.only-over-wires"
        );
        assert_eq!(
            known(|one| one.reference = "8.925mm, 8.93mm".into()),
            "study-refused.many-references"
        );
    }

    fn nested() -> Asked {
        Asked {
            kind: "nested".to_owned(),
            operators: "Anna, Ben".to_owned(),
            ..asked()
        }
    }

    fn linearity() -> Asked {
        Asked {
            kind: "linearity".to_owned(),
            characteristic: "size 2 to 20 mm".to_owned(),
            operators: "Anna".to_owned(),
            parts: "p2, p8, p14, p20".to_owned(),
            trials: "3".to_owned(),
            reference: "2mm; 8.001mm; 14mm; 20mm".to_owned(),
            ..asked()
        }
    }

    #[test]
    fn parts_of_a_nested_study_are_shared_out() {
        let plan = planned(&nested(), 1).unwrap();
        assert_eq!((plan.planned(), plan.parts_each()), (8, 2));
        let pairs: Vec<(&str, &str)> = plan.pairs().collect();
        let expected = [("1", "Anna"), ("2", "Anna"), ("3", "Ben"), ("4", "Ben")];
        assert_eq!(pairs, expected);
        for turn in plan.turns() {
            assert_eq!(turn.operator, turn.part / 2, "{turn:?}");
        }
        let mut all = plan.turns();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), 8);
        for (code, change) in [
            (
                "study-refused.uneven-parts",
                (|one| one.parts = "5".into()) as fn(&mut Asked),
            ),
            ("study.one-part", |one| one.parts = "2".into()),
            ("study.one-operator", |one| one.operators = "Anna".into()),
            ("study.one-trial", |one| one.trials = "1".into()),
            ("study-refused.reference-of-many", |one| {
                one.reference = "8.9mm".into();
            }),
        ] {
            let code_of = refused(|one| {
                *one = nested();
                change(one);
            });
            assert_eq!(code_of, code);
        }
        // All parts are counted once: 500 of them are measured twice.
        let many = Asked {
            parts: "500".to_owned(),
            ..nested()
        };
        assert_eq!(planned(&many, 1).unwrap().planned(), 1000);
    }

    #[test]
    fn a_linearity_study_needs_a_known_size_of_each_part() {
        let plan = planned(&linearity(), 1).unwrap();
        assert_eq!((plan.planned(), plan.references.len()), (12, 4));
        assert_eq!(plan.reference_of("p8").unwrap().text(), "8.001mm");
        assert_eq!(plan.reference_of("p9"), None);
        for (code, change) in [
            (
                "study-refused.reference-of-each",
                (|one| one.reference = "2mm, 8mm".into()) as fn(&mut Asked),
            ),
            ("study-refused.reference-of-each", |one| {
                one.reference = String::new();
            }),
            ("study.one-reference", |one| {
                one.reference = "8mm, 8mm, 8.000mm, 8mm".into();
            }),
            ("study-refused.one-operator-alone", |one| {
                one.operators = "Anna, Ben".into();
            }),
            ("study-refused.reference-outside", |one| {
                one.reference = "2mm, 8mm, 14mm, 200mm".into();
            }),
            ("study.too-few", |one| {
                one.parts = "a, b".into();
                one.reference = "2mm, 8mm".into();
                one.trials = "1".into();
            }),
        ] {
            let code_of = refused(|one| {
                *one = linearity();
                change(one);
            });
            assert_eq!(code_of, code);
        }
    }

    /// All that is wrong is told at once, each field by itself.
    #[test]
    fn every_wrong_field_is_told() {
        let fields = |asked: &Asked| -> Vec<&str> {
            let wrong = read(asked, 1).unwrap_err();
            wrong.iter().map(|one| one.field.key()).collect()
        };
        let all = Asked {
            kind: "speed".to_owned(),
            characteristic: "8.93 mm".to_owned(),
            operators: "Anna, anna".to_owned(),
            parts: String::new(),
            trials: "three".to_owned(),
            reference: "8.9".to_owned(),
            seed: "-1".to_owned(),
        };
        let every = [
            "kind",
            "characteristic",
            "operators",
            "parts",
            "trials",
            "reference",
            "seed",
        ];
        assert_eq!(fields(&all), every);
        for (field, change) in [
            (
                "operators",
                (|one| one.operators = "Anna".into()) as fn(&mut Asked),
            ),
            ("parts", |one| one.parts = "1".into()),
            ("parts", |one| one.parts = "400".into()),
            ("trials", |one| one.trials = "1".into()),
            ("trials", |one| one.trials = "4000".into()),
            ("reference", |one| one.reference = "8.9mm".into()),
            ("operators", |one| one.operators = "A\u{202e}b, c".into()),
        ] {
            let mut one = asked();
            change(&mut one);
            assert_eq!(fields(&one), [field]);
        }
    }

    struct AtBench {
        story: Story,
        ledger: Ledger,
        folder: std::path::PathBuf,
    }

    fn begun(name: &str, plan: StudyPlan) -> AtBench {
        let lines = [
            "mic-04", "vc-60-3", "rod-10", "", "9.999", "10.000", "9.999",
        ];
        begun_with(name, plan, &lines)
    }

    fn begun_with(name: &str, plan: StudyPlan, lines: &[&str]) -> AtBench {
        let name = format!("midflank-study-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
        let mut story = Story::begin(&ledger);
        let plan = Box::new(plan);
        story.happens(Event::Begun { keeps: None });
        story.happens(Event::Study { plan });
        for line in lines {
            story
                .tell(line)
                .unwrap_or_else(|refusal| panic!("{line}: {refusal:?}"));
        }
        AtBench {
            story,
            ledger,
            folder,
        }
    }

    impl AtBench {
        /// The reading that is asked for: each part has its size, each operator a bias, and no two trials are alike.
        fn next(&mut self) {
            let state = self.story.state();
            let Question::Reading { index } = state.question() else {
                panic!("{:?}", state.question());
            };
            let turn = state.studying().unwrap().turns[index];
            let um = 10 * turn.part + 2 * turn.operator + index % 3;
            self.story.tell(&format!("8.{}", 880 + um)).unwrap();
        }

        fn refused(&mut self, line: &str) -> String {
            let Refusal { why, .. } = self.story.tell(line).unwrap_err();
            why.message.code.to_string()
        }

        fn close(&mut self) {
            for line in ["9.999", "10.000", "9.999"] {
                self.story.tell(line).unwrap();
            }
        }
    }

    fn recorder() -> Recorder {
        Recorder {
            person: "A. Quill".to_owned(),
            station: "bench".to_owned(),
            program: "test",
            tables: "",
        }
    }

    #[test]
    fn a_study_at_the_bench_is_what_it_is_from_a_file() {
        let mut bench = begun("whole", planned(&asked(), 1).unwrap());
        assert_eq!(bench.story.state().plan.len(), 24);
        // Out of range, in another unit, with a digit too many: as everywhere.
        assert_eq!(bench.refused("88.8"), "bench.cannot-show");
        assert_eq!(bench.refused("0.35in"), "bench.other-unit");
        assert_eq!(bench.refused("0.3504"), "bench.in-other-unit");
        assert_eq!(bench.refused("end"), "bench.not-now");
        bench.next();
        bench.next();
        // Only the last one is taken again, and ending takes two words.
        assert_eq!(bench.refused("r1"), "bench.last-alone");
        assert_eq!(bench.refused("e"), "bench.surely-end");
        let before = bench.story.state().readings.clone();
        bench.story.tell("r").unwrap();
        let again = bench.story.state();
        assert_eq!(
            again.question(),
            Question::Again {
                of: before[1].number
            }
        );
        bench.story.tell("8.890").unwrap();
        assert_eq!(bench.story.state().readings[1].earlier.len(), 1);
        // Far from its limits: asked at once, and left for a reason.
        bench.story.tell("9.890").unwrap();
        assert!(matches!(
            bench.story.state().question(),
            Question::Flagged { .. }
        ));
        // The repeat is judged the same way; no slip explains it, and what is typed in haste is no reason.
        bench.story.tell("8.12").unwrap();
        assert_eq!(bench.refused(""), "bench.flag-unanswered");
        assert!(matches!(
            bench.story.state().question(),
            Question::Flagged { .. }
        ));
        bench.story.tell("8.891").unwrap();
        // Parked and taken up elsewhere it goes on with the same part.
        let turn = bench.story.state().question();
        bench.story.tell("/park").unwrap();
        assert_eq!(bench.story.tell("").unwrap(), Answer::TakeUp(Some(1)));
        let parked_at = "bench".to_owned();
        bench.story.happens(Event::TakenUp { parked_at });
        assert_eq!(bench.story.state().question(), turn);
        for _ in 3..24 {
            bench.next();
        }
        assert!(bench.story.state().to_study().is_none());
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let state = bench.story.state();
        assert_eq!(state.question(), Question::Finish);
        assert!(state.to_job().is_none());
        let study = state.to_study().unwrap();
        assert!(!study.is_broken_off());
        let settings = RepeatabilitySettings {
            tolerance: Some(0.132),
            unit: Some(metrology::units::LengthUnit::Millimetre),
            ..RepeatabilitySettings::default()
        };
        let of_file = RepeatabilityDocument::read(&study.csv(), &settings)
            .unwrap()
            .0;
        let result = study.studied();
        assert_eq!(result.repeatability, Some(of_file));
        assert_eq!(result.repeatability.unwrap().operators, 3);

        let entry = finish::record_study(&bench.ledger, &state, &recorder()).unwrap();
        let again = finish::record_study(&bench.ledger, &state, &recorder()).unwrap();
        assert_eq!(entry.id(), again.id());
        let on_record = studies::on_record(&entry).unwrap();
        assert_eq!(on_record.study, study);
        let build = Build {
            program: "",
            tables: "",
        };
        let computed = crate::registry::recompute(&entry, build, |_| String::new());
        assert_eq!(computed.results, ledger::Recomputed::Same);
        // A forged reading gives another result.
        let mut forged = entry;
        let inputs = &mut forged.content.inputs;
        *inputs = inputs.replacen("8.890", "8.899", 1);
        let computed = crate::registry::recompute(&forged, build, |_| String::new());
        assert!(matches!(computed.results, ledger::Recomputed::Differs(_)));
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    /// The sum over a study of what its record gives when it is read again.
    fn recorded(bench: &AtBench) -> Study {
        let state = bench.story.state();
        let study = state.to_study().unwrap();
        let entry = finish::record_study(&bench.ledger, &state, &recorder()).unwrap();
        let on_record = studies::on_record(&entry).unwrap();
        assert_eq!(on_record.study, study);
        assert_eq!(on_record.result, study.studied());
        let build = Build {
            program: "",
            tables: "",
        };
        let computed = crate::registry::recompute(&entry, build, |_| String::new());
        assert_eq!(computed.results, ledger::Recomputed::Same);
        study
    }

    /// A plug of known pitch diameter cannot be read over wires: flat faces are not taken, proposed set-ups have none, and a study that
    /// was begun so before is not recorded. Repeatability over wires compares with nothing, and is.
    #[test]
    fn known_sizes_are_not_compared_with_readings_over_wires() {
        let of_plug = |kind: &str| Asked {
            kind: kind.to_owned(),
            operators: "Anna".to_owned(),
            parts: "plug".to_owned(),
            trials: "10".to_owned(),
            reference: "8.93mm".to_owned(),
            ..asked()
        };
        let linearity = Asked {
            parts: "one, other".to_owned(),
            reference: "8.92mm, 8.94mm".to_owned(),
            ..of_plug("linearity")
        };
        for asked in [of_plug("type-1"), of_plug("bias"), linearity] {
            let plan = planned(&asked, 1).unwrap();
            let name = format!("wires-{}", asked.kind);
            let mut bench = begun_with(&name, plan.clone(), &["mic-04"]);
            let refused = bench.story.tell("fl-6").unwrap_err();
            assert_eq!(refused.why.message.code, "bench.unfit");
            let why = format!("{refused:?}");
            assert!(why.contains("bench.study-over-wires"), "{why}");
            bench.story.tell("vc-60-3").unwrap();
            std::fs::remove_dir_all(bench.folder).unwrap();
            let bench = begun_with(&name, plan, &[""]);
            let state = bench.story.state();
            assert!(state.contacts.is_some() && !state.over_wires());
            std::fs::remove_dir_all(bench.folder).unwrap();
        }
        let over = begun_with("wires", planned(&asked(), 1).unwrap(), &["mic-04", "fl-6"]);
        assert_eq!(over.story.state().question(), Question::Wires);
        std::fs::remove_dir_all(over.folder).unwrap();

        let mut bench = begun("wires-before", planned(&of_plug("type-1"), 1).unwrap());
        for _ in 0..10 {
            bench.next();
        }
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let mut study = bench.story.state().to_study().unwrap();
        assert!(studies::draft(&study, &recorder()).is_ok());
        let target = Target::of(&study.plan.characteristic).unwrap();
        study.wires = metrology::inspection::best_wires(&target);
        assert!(study.wires.is_some());
        match studies::draft(&study, &recorder()) {
            Err(Error::Input(why)) => assert_eq!(why.message.code, "study-record.over-wires"),
            other => panic!("{other:?}"),
        }
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    fn approving() -> studies::Approve {
        studies::Approve {
            person: "A. Quill".to_owned(),
            reason: "as the plan asks".to_owned(),
            on: jiff::civil::date(2099, 1, 1),
            review_due: jiff::civil::date(2099, 12, 31),
            sizes: None,
        }
    }

    fn measured(name: &str, asked: &Asked, readings: usize) -> AtBench {
        let mut bench = begun(name, planned(asked, 1).unwrap());
        for _ in 0..readings {
            bench.next();
        }
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        recorded(&bench);
        bench
    }

    /// A study that was withdrawn is taken by no new job, whatever was approved of it.
    #[test]
    fn a_withdrawn_study_ends_its_approval() {
        let bench = measured("withdrawn", &nested(), 8);
        let (ledger, today) = (&bench.ledger, jiff::civil::date(2099, 1, 1));
        let study = studies::all(ledger).unwrap()[0].entry;
        let how = approving();
        let approved = studies::approve(ledger, &study.into(), &how, today, &recorder(), "anew");
        let (_, approved) = approved.unwrap();
        let measured = &studies::all(ledger).unwrap()[0].study.plan.characteristic;
        let is_in_force = || {
            let approvals = Approvals::read(ledger).unwrap();
            let in_force = approvals.in_force(how.on);
            in_force.study(&approved.set_up, measured).is_some()
        };
        assert!(is_in_force());
        let note = recorder().blank(RecordKind::Note).unwrap();
        ledger
            .amend(&study.into(), "readings invented", note)
            .unwrap();
        assert!(!is_in_force());
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    /// A significant bias that takes the tolerance is in no budget, and sizes without the one studied say nothing.
    #[test]
    fn a_study_is_approved_for_what_it_shows() {
        let asked = Asked {
            kind: "type-1".to_owned(),
            operators: "Anna".to_owned(),
            parts: "plug".to_owned(),
            trials: "10".to_owned(),
            reference: "8.93mm".to_owned(),
            ..asked()
        };
        let bench = measured("biased", &asked, 10);
        let mut one = studies::all(&bench.ledger).unwrap().remove(0);
        let today = jiff::civil::date(2099, 1, 1);
        let code = |one: &studies::OnRecord, how: &studies::Approve| match studies::approved(
            one, how, today,
        ) {
            Err(Error::Input(why)) => why.message.code.clone().into_owned(),
            Err(other) => panic!("{other:?}"),
            Ok(_) => String::new(),
        };
        let found = one.result.type_1.as_mut().unwrap();
        found.standard_deviation = 0.001;
        (found.p, found.cgk) = (0.001, -2.0);
        assert_eq!(code(&one, &approving()), "study-record.biased");
        one.result.type_1.as_mut().unwrap().cgk = 1.5;
        assert_eq!(code(&one, &approving()), "");
        let sizes = |from: &str, to: &str| studies::Approve {
            sizes: Some([from, to].map(|size| Entered::parse(size, None).unwrap())),
            ..approving()
        };
        assert_eq!(code(&one, &sizes("1mm", "2mm")), "study-record.not-studied");
        assert_eq!(code(&one, &sizes("5mm", "12mm")), "");
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    #[test]
    fn a_nested_study_at_the_bench_is_what_it_is_from_a_file() {
        let mut bench = begun("nested", planned(&nested(), 1).unwrap());
        assert_eq!(bench.story.state().plan.len(), 8);
        for _ in 0..8 {
            bench.next();
        }
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let study = recorded(&bench);
        let settings = RepeatabilitySettings {
            design: metrology::study::repeatability::Design::Nested,
            tolerance: Some(0.132),
            unit: Some(metrology::units::LengthUnit::Millimetre),
            ..RepeatabilitySettings::default()
        };
        let of_file = RepeatabilityDocument::read(&study.csv(), &settings);
        let found = study.studied().repeatability.unwrap();
        assert_eq!(found, of_file.unwrap().0);
        assert_eq!((found.operators, found.parts, found.trials), (2, 2, 2));
        assert_eq!(found.degrees_of_freedom(), Some(4));
        // It is approved for repeatability and operators as a crossed one.
        let one = &studies::all(&bench.ledger).unwrap()[0];
        assert!(studies::may_be_approved(one));
        let approved = studies::approved(one, &approving(), jiff::civil::date(2099, 1, 1));
        let prior = approved.unwrap().prior;
        let um = |length: &Entered| length.value().mm() * 1000.0;
        assert!((um(&prior.repeatability) - found.components.repeatability * 1000.0).abs() < 1e-3);
        assert_eq!(prior.degrees_of_freedom.to_bits(), 4f64.to_bits());
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    /// Readings less the zero error go through the calculation for files; a part taken for another is asked about at once.
    #[test]
    fn a_linearity_study_at_the_bench_is_what_it_is_from_a_file() {
        let plan = planned(&linearity(), 1).unwrap();
        let lines = ["mic-04", "fl-6", "block-10", "", "9.999", "10.000", "9.999"];
        let mut bench = begun_with("linearity", plan, &lines);
        let mut taken = Vec::new();
        for nth in 0..12 {
            let state = bench.story.state();
            let Question::Reading { index } = state.question() else {
                panic!("{:?}", state.question());
            };
            let turn = state.studying().unwrap().turns[index];
            let size = [2.0, 8.001, 14.0, 20.0][turn.part];
            if nth == 5 {
                // The next part in the row of parts, well within the limits of all.
                let other = [8.001, 14.0, 20.0, 2.0][turn.part];
                bench.story.tell(&format!("{other:.3}")).unwrap();
                let asked = bench.story.state().question();
                assert!(matches!(asked, Question::Flagged { .. }), "{asked:?}");
            }
            let reading =
                size + f64::from(u8::from(turn.part > 1)) * 0.002 + 0.001 * f64::from(nth % 2);
            bench.story.tell(&format!("{reading:.3}")).unwrap();
            taken.push((size, reading));
        }
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let study = recorded(&bench);
        let zero = study.zero_error().mm();
        let unit = Some(metrology::units::LengthUnit::Millimetre);
        let of_file = LinearityDocument::read(&study.csv(), 0.95, unit).unwrap();
        let found = study.studied().linearity.unwrap();
        assert_eq!(found, of_file);
        assert_eq!((found.n, found.references.len()), (12, 4));
        // The bias at each size by hand.
        for at in &found.references {
            let own = taken
                .iter()
                .filter(|(size, _)| (size - at.reference).abs() < 1e-9);
            let own: Vec<f64> = own.map(|(size, reading)| reading - zero - size).collect();
            let by_hand = own.iter().sum::<f64>() / own.len() as f64;
            assert!((at.bias - by_hand).abs() < 1e-9, "{at:?} {by_hand}");
        }
        // It tells nothing of repeatability.
        let one = &studies::all(&bench.ledger).unwrap()[0];
        assert!(!studies::may_be_approved(one));
        let Err(Error::Input(why)) =
            studies::approved(one, &approving(), jiff::civil::date(2099, 1, 1))
        else {
            panic!("approved");
        };
        assert_eq!(why.message.code, "study-record.of-linearity");
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    /// A study that is ended early is recorded with why nothing can be computed of it.
    #[test]
    fn a_study_that_is_broken_off_says_what_is_missing() {
        let mut bench = begun("broken", planned(&asked(), 1).unwrap());
        for _ in 0..13 {
            bench.next();
        }
        assert_eq!(bench.refused("/end"), "bench.surely-end");
        bench.story.tell("/end it").unwrap();
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let study = bench.story.state().to_study().unwrap();
        assert!(study.is_broken_off());
        let result = study.studied();
        assert!(!result.is_computed());
        let why = result.not_computed.unwrap();
        assert!(
            ["study.unbalanced", "study.missing-cell"].contains(&why.code.as_ref()),
            "{why:?}"
        );
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    /// The same reading every time: there is nothing to compute.
    #[test]
    fn a_constant_study_is_no_good_one() {
        let mut bench = begun("constant", planned(&asked(), 1).unwrap());
        for _ in 0..24 {
            bench.story.tell("8.900").unwrap();
        }
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let result = bench.story.state().to_study().unwrap().studied();
        assert_eq!(result.not_computed, Some(StudyError::Constant.message()));
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    #[test]
    fn a_part_of_known_size_is_read_less_the_zero_error() {
        let asked = Asked {
            kind: "type-1".into(),
            parts: "master".into(),
            operators: "Anna".into(),
            trials: "10".into(),
            reference: "8.925mm".into(),
            ..asked()
        };
        let mut bench = begun("type-1", planned(&asked, 1).unwrap());
        for index in 0..10 {
            bench.story.tell(["8.925", "8.926"][index % 2]).unwrap();
        }
        bench.close();
        bench.story.tell("/sign A. Quill").unwrap();
        let study = bench.story.state().to_study().unwrap();
        let zero = study.zero_error().mm();
        let by_hand = 9.999 + 0.001 / 3.0 - study.standard.size.value().mm();
        assert!((zero - by_hand).abs() < 1e-7, "{zero}");
        let result = study.studied().type_1.unwrap();
        assert!((result.bias - (0.0005 - zero)).abs() < 1e-9);
        std::fs::remove_dir_all(bench.folder).unwrap();
    }

    #[test]
    fn events_of_a_study_have_a_schema_of_their_own() {
        let plan = Box::new(planned(&asked(), 1).unwrap());
        let event = Event::Study { plan };
        let text = kept::write_event(&event).unwrap();
        assert!(text.starts_with(r#"{"schema":4,"#), "{text}");
        assert_eq!(kept::read_event(&text).unwrap(), event);
        // What came later stands only where it is needed.
        assert!(!text.contains("references"), "{text}");
        let plan = Box::new(planned(&linearity(), 1).unwrap());
        let event = Event::Study { plan };
        let text = kept::write_event(&event).unwrap();
        assert_eq!(kept::read_event(&text).unwrap(), event);
        let nothing = crate::gauge_record::studied::Studied::without(&StudyError::Constant);
        let text = kept::write(kept::STUDIED, &nothing).unwrap();
        assert!(!text.contains("linearity"), "{text}");
    }
}
