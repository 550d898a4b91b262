//! A study of a way of measuring at the bench: what it begins with, what is asked in which order, and what is recorded of it. What
//! is computed is that of [`Study`].

use metrology::inspection::{Characteristic, Target};
use metrology::study::StudyError;
use metrology::units::{Entered, Length};

use super::answer::measured_first;
use super::details;
use super::event::{Answers, Event, Spot, Stated, When};
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
    let (characteristic, target) = characteristic(&asked.characteristic)?;
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

/// What is measured, from the line that states it.
pub fn characteristic(text: &str) -> Result<(Characteristic, Target), Error> {
    let characteristic = match measured_first(text.trim()) {
        Ok(Event::Characteristic { characteristic }) => characteristic,
        Ok(Event::Feature { stated }) => of_feature(&stated)?,
        Ok(_) => return Err(Error::input(StudyRefused::NoTolerance)),
        Err(refusal) => return Err(Error::Input(refusal.why)),
    };
    let target = Target::of(&characteristic).map_err(Error::input)?;
    Ok((characteristic, target))
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

#[cfg(test)]
mod tests {
    use ledger::Ledger;
    use metrology::message::Say as _;

    use super::*;
    use crate::bench::story::Story;
    use crate::bench::{Answer, Refusal, finish};
    use crate::gauge_record::studied::{RepeatabilityDocument, RepeatabilitySettings};
    use crate::gauge_room::studies;
    use crate::kept;
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
    }

    struct AtBench {
        story: Story,
        ledger: Ledger,
        folder: std::path::PathBuf,
    }

    fn begun(name: &str, plan: StudyPlan) -> AtBench {
        let name = format!("midflank-study-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
        let mut story = Story::begin(&ledger);
        let plan = Box::new(plan);
        story.happens(Event::Begun { keeps: None });
        story.happens(Event::Study { plan });
        for line in [
            "mic-04", "vc-60-3", "rod-10", "", "9.999", "10.000", "9.999",
        ] {
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
    }
}
