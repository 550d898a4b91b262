//! The calibration of a micrometer at the bench: what is asked in which order, and what its events make of the state. What is
//! computed and recorded is that of [`calibration`].

use std::collections::BTreeMap;
use std::sync::OnceLock;

use jiff::civil::Date;
use ledger::Ledger;
use metrology::calibration::{Calibration, Micrometer, Point};
use metrology::inspection::InstrumentErrors;
use metrology::inspection::State as PieceState;
use metrology::units::Entered;

use super::calibration::told;
use super::calibration::{Ask, Calibrating, FEWEST_POINTS, READINGS};
use super::event::{Event, OfCalibration, Spot};
use super::procedure::Procedure;
use super::question::Question;
use super::reading::Reading;
use super::refusal::{Refusal, Refused};
use super::state::State;
use crate::equipment::Equipment;
use crate::error::Error;
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::certificate::Heading;
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_room::calibration::{self, usual_turn};
use crate::register::{Kind, Register};
use crate::station;

/// A calibration is due again after so many days where nothing else was stated before (common practice, no source).
const INTERVAL: i32 = 365;

/// The events that begin the calibration of a registered micrometer; what was stated at its last one is offered again.
pub fn begin(ledger: &Ledger, register: &Register, id: &str) -> Result<Vec<Event>, Refusal> {
    let known = register.find(Kind::Instrument, id).or_else(|| {
        let alike = register.alike(Kind::Instrument, id)?;
        register.find(Kind::Instrument, alike)
    });
    let Some(known) = known else {
        return Err(Refusal {
            suggestions: register
                .nearest(Some(Kind::Instrument), id)
                .iter()
                .map(|id| told::begins(id))
                .collect(),
            ..Refusal::new(Refused::NoSuchPiece {
                text: id.to_owned(),
            })
        });
    };
    let Equipment::Instrument(instrument) = &known.described else {
        return Err(Refusal::new(Refused::NotComplete));
    };
    let state = known.equipment.state();
    if matches!(state, PieceState::Retired | PieceState::Lost) {
        return Err(Refusal::new(Refused::OutOfUse { state }));
    }
    let piece = PieceId::new(PieceKind::Instrument, &instrument.id);
    let before = calibration::of(ledger, &piece)?;
    let mut offers = BTreeMap::new();
    let mut offer = |ask: Ask, line: String| offers.insert(ask.key().to_owned(), line);
    let mut interval = INTERVAL;
    match before.last().map(|one| &one.worked) {
        Some(last) => {
            if let Of::Micrometer(calibration) = &last.of {
                offer(Ask::Criterion, told::line_of(&calibration.criterion));
            }
            offer(Ask::Issuer, last.heading.issuer.clone());
            if let Some(procedure) = &last.heading.procedure {
                offer(Ask::Procedure, procedure.clone());
            }
            if let [chain] = last.heading.chain.as_slice() {
                offer(Ask::Blocks, chain.clone());
            }
            let days = last.due.and_then(|due| last.heading.date.until(due).ok());
            interval = days.map_or(INTERVAL, |span| span.get_days());
        }
        None => {
            if let InstrumentErrors::Within {
                maximum_permissible_error,
            } = &instrument.errors
            {
                offer(Ask::Criterion, told::either_way(maximum_permissible_error));
            }
        }
    }
    offer(Ask::Due, interval.to_string());
    let of = Box::new(OfCalibration {
        instrument: instrument.clone(),
        offers,
    });
    Ok(vec![Event::Calibration { of }])
}

impl State {
    /// The calibration, where the job is one.
    pub const fn calibrating(&self) -> Option<&Calibrating> {
        match &self.procedure {
            Procedure::Calibration(calibrating) => Some(calibrating),
            Procedure::Inspection | Procedure::Run(_) | Procedure::Study(_) => None,
        }
    }

    const fn calibrating_mut(&mut self) -> Option<&mut Calibrating> {
        match &mut self.procedure {
            Procedure::Calibration(calibrating) => Some(calibrating),
            Procedure::Inspection | Procedure::Run(_) | Procedure::Study(_) => None,
        }
    }

    /// What happens in a calibration alone.
    pub(super) fn take_in_calibration(&mut self, event: &Event) {
        if let Event::Calibration { of } = event {
            self.instrument = Some(of.instrument.clone());
            let calibrating = Calibrating {
                of: (**of).clone(),
                set: None,
                answers: BTreeMap::new(),
                points: Vec::new(),
                usual: OnceLock::new(),
                found: None,
            };
            self.unit = Some(calibrating.unit());
            self.procedure = Procedure::Calibration(Box::new(calibrating));
        }
        let read = self.readings.len();
        let Some(calibrating) = self.calibrating_mut() else {
            return;
        };
        match event {
            Event::Blocks { set } => {
                calibrating.set = Some(set.clone());
                calibrating.usual = OnceLock::new();
            }
            Event::CalibrationTold { asked, answer } => {
                calibrating.take(asked, answer);
                match Ask::of(asked) {
                    Some(Ask::Points) => self.plan_points(answer),
                    Some(Ask::Adjusted) if told::is_yes(answer) => {
                        calibrating.found = Some(read);
                        let again = read.div_ceil(READINGS) * READINGS;
                        self.plan = vec![anywhere(); read + again];
                    }
                    _ => {}
                }
            }
            _ => {}
        }
    }

    fn plan_points(&mut self, answer: &str) {
        let Some(calibrating) = self.calibrating_mut() else {
            return;
        };
        let sizes = told::sizes(answer, calibrating.unit()).unwrap_or_default();
        let points = sizes.into_iter().filter_map(|at| {
            let at = at.value();
            Some((at, calibrating.stack(at)?))
        });
        calibrating.points = points.collect();
        self.plan =
            vec![anywhere(); self.calibrating().map_or(0, |one| one.points.len()) * READINGS];
    }

    /// Whether the readings as found may be ended before this one: enough points are measured, each as often as any.
    pub(super) fn may_end_points(&self, index: usize) -> bool {
        let as_found = self.calibrating().is_some_and(|one| one.found.is_none());
        as_found && index >= FEWEST_POINTS * READINGS && index.is_multiple_of(READINGS)
    }

    /// What is asked of a calibration that has no end yet, parked or not.
    pub(super) fn calibration_question(&self, calibrating: &Calibrating) -> Question {
        let open = |ask: &&Ask| match ask {
            Ask::Blocks => calibrating.set.is_none(),
            ask => calibrating.answer(**ask).is_none(),
        };
        let asked = Ask::EVERY.iter().find(open).copied();
        if let Some(ask) = asked.filter(|ask| !ask.follows_readings()) {
            return Question::Calibration(ask);
        }
        // Asked at once: the next stack is not wrung yet.
        let in_doubt = |one: &&Reading| one.flag.is_some() && one.left.is_none();
        let flagged = self.readings.iter().find(in_doubt);
        if let Some(flagged) = flagged.filter(|_| self.retaking.is_none()) {
            return Question::Flagged { of: flagged.number };
        }
        if let Some(question) = self.reading_question() {
            return question;
        }
        match (asked, &self.person) {
            (Some(ask), _) => Question::Calibration(ask),
            (None, None) => Question::Sign,
            (None, Some(_)) => Question::Finish,
        }
    }

    /// The calibration as it would be recorded now; none before it has points with readings.
    pub fn to_calibration(&self) -> Option<Worked> {
        let calibrating = self.calibrating()?;
        let on = station::day(self.readings.last()?.at);
        let instrument = &calibrating.of.instrument;
        let set = calibrating.set.as_ref()?;
        let readings: Vec<Entered> = self.readings.iter().map(|one| one.shown.clone()).collect();
        let (found, left) = readings.split_at(
            calibrating
                .found
                .unwrap_or(readings.len())
                .min(readings.len()),
        );
        let points = |readings: &[Entered]| -> Vec<Point> {
            let each = readings.chunks(READINGS).zip(&calibrating.points);
            each.map(|(readings, (_, stack))| Point {
                blocks: calibrating.blocks_of(stack),
                readings: readings.to_vec(),
            })
            .collect()
        };
        let [from, _] = &instrument.range;
        let resolution = instrument.resolution.clone();
        let of = Calibration {
            micrometer: Micrometer {
                id: instrument.id.trim().to_owned(),
                range: instrument.range.clone(),
                resolution: resolution.unwrap_or_else(|| shown_step(&readings, from)),
                turn: usual_turn(calibrating.unit()),
                frame_per_ten_newtons: None,
            },
            on,
            criterion: calibrating.criterion()?,
            blocks: set.blocks.clone(),
            found: points(found),
            left: points(left),
            repeatability: None,
            conditions: calibrating.conditions(),
            faces: calibrating.faces(),
        };
        let text = |ask| calibrating.answer(ask).unwrap_or_default().to_owned();
        Some(Worked {
            of: Of::Micrometer(of),
            heading: Heading {
                issuer: text(Ask::Issuer),
                accreditation: None,
                national_institute: false,
                chain: set.certificate.iter().cloned().collect(),
                number: text(Ask::Number),
                date: on,
                procedure: Some(text(Ask::Procedure)).filter(|text| !text.is_empty()),
                conditions: None,
            },
            due: calibrating
                .told(Ask::Due, |text, _| told::due(text, on))
                .flatten(),
            received: calibrating.received(),
            condition: calibrating.condition().map(str::to_owned),
            person: self.person.clone().unwrap_or_default(),
        })
    }

    /// The same with its result, once all points as found are measured; why it has none where the calculation refuses it.
    pub fn calibrated(&self) -> Option<Result<(Worked, CalibratedDocument), Error>> {
        let calibrating = self.calibrating()?;
        let complete = match calibrating.found {
            // While it is measured again, what was found is shown.
            Some(found) => self.readings.len() >= found,
            None => self.readings.len() >= self.plan.len(),
        };
        if !complete || self.readings.is_empty() {
            return None;
        }
        let mut worked = self.to_calibration()?;
        if let Of::Micrometer(calibration) = &mut worked.of
            && self.readings.len() < self.plan.len()
        {
            calibration.left.clear();
        }
        Some(calibration::computed(&worked).map(|result| (worked, result)))
    }

    /// The day that is offered as the next due date.
    pub(super) fn due_again(&self) -> Option<Date> {
        let calibrating = self.calibrating()?;
        let days: i32 = calibrating.of.offers.get(Ask::Due.key())?.parse().ok()?;
        let on = station::day(self.readings.last()?.at);
        on.checked_add(jiff::Span::new().try_days(i64::from(days)).ok()?)
            .ok()
    }
}

/// A reading of a calibration is at no place of a part.
const fn anywhere() -> Spot {
    Spot {
        along: None,
        angle: None,
    }
}

/// One step of the last digit that was read, where the register does not say it.
fn shown_step(readings: &[Entered], range: &Entered) -> Entered {
    let last = readings.first().unwrap_or(range);
    Entered::of(last.resolution(), last.unit())
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use ledger::Ledger;
    use metrology::units::LengthUnit;

    use super::*;
    use crate::bench::story::Story;
    use crate::bench::{Answer, Refusal};
    use crate::gauge_room::calibration::Read;
    use crate::gauge_room::certificate_file;
    use crate::kept;
    use crate::recorder::Recorder;

    const FILE: &str = include_str!("../../../../demo/gauge-room/calibration.toml");
    const BLOCKS: &str = include_str!("../../../../demo/gauge-room/blocks.toml");
    /// The readings of that file, point by point.
    const READ: [[&str; 3]; 9] = [
        ["0.000", "0.000", "0.001"],
        ["2.501", "2.501", "2.501"],
        ["5.101", "5.102", "5.101"],
        ["7.702", "7.701", "7.702"],
        ["10.302", "10.301", "10.301"],
        ["12.902", "12.902", "12.901"],
        ["15.001", "15.001", "15.002"],
        ["17.602", "17.602", "17.602"],
        ["25.002", "25.003", "25.002"],
    ];
    /// Up to the points.
    const SET_UP: [&str; 7] = [
        "gb-1",
        "span 4um simple",
        "IN-2026-04",
        "clock workshop, gauge room",
        "gauge room 3",
        "1 0.3",
        "",
    ];

    fn begun(name: &str) -> (Story, std::path::PathBuf) {
        let name = format!("midflank-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
        let today = crate::station::day(crate::clock::now().unwrap());
        let blocks = BLOCKS.replace("due = 2031-01-12\n", "");
        let listed = certificate_file::parse(Path::new("blocks.toml"), &blocks).unwrap();
        let recorder = Recorder {
            person: listed.person.clone(),
            station: "bench".to_owned(),
            program: "test",
            tables: "",
        };
        let certificate =
            crate::certificates_on_record::draft(&ledger, &listed.certified, today, &recorder);
        ledger.append(&certificate.unwrap()).unwrap();
        let mut story = Story::begin(&ledger);
        let register = Register::read(&ledger).unwrap();
        assert!(begin(&ledger, &register, "mic-99").is_err());
        for event in begin(&ledger, &register, "mic-04").unwrap() {
            story.happens(event);
        }
        (story, folder)
    }

    #[track_caller]
    fn tell(story: &mut Story, lines: &[&str]) {
        for line in lines {
            story
                .tell(line)
                .unwrap_or_else(|refusal| panic!("{line}: {refusal:?}"));
        }
    }

    #[track_caller]
    fn refused(story: &mut Story, line: &str, code: &str) {
        let Refusal { why, .. } = story.tell(line).unwrap_err();
        assert_eq!(why.message.key(), code, "{line}");
    }

    /// The same blocks and readings at the bench and in the file of the demonstration are the same calibration.
    #[test]
    fn at_the_bench_it_is_what_it_is_in_a_file() {
        let (mut story, folder) = begun("calibrated");
        tell(&mut story, &SET_UP);
        let state = story.state();
        let calibrating = state.calibrating().unwrap();
        // No stack of these blocks makes 20.2 and 22.8 mm.
        assert_eq!(calibrating.usual().1, 2);
        assert_eq!(state.plan.len(), 9 * READINGS);
        assert!((calibrating.gap() - 0.2).abs() < 1e-9);
        for point in READ {
            assert!(story.state().calibrated().is_none());
            tell(&mut story, &point);
        }
        let faces = ["bands 1 1.5 0.6um", "bands 4 0.6um"];
        tell(&mut story, &faces);
        tell(&mut story, &["no", "none", "/sign A. Quill"]);
        let state = story.state();
        assert_eq!(state.question(), Question::Finish);
        let (worked, result) = state.calibrated().unwrap().unwrap();
        let today = jiff::civil::date(2026, 4, 1);
        let Read::Done(file) = calibration::parse(Path::new("c.toml"), FILE, today).unwrap() else {
            panic!("no calibration");
        };
        let of_file = calibration::computed(&file).unwrap();
        assert_eq!(worked.person, file.person);
        assert_eq!(worked.heading.chain, file.heading.chain);
        assert_eq!(result.verdict, of_file.verdict);
        let (one, other) = (result.found.unwrap(), of_file.found.unwrap());
        assert_eq!(one.points.len(), other.points.len());
        for (one, other) in one.points.iter().zip(&other.points) {
            assert!((one.error_um - other.error_um).abs() < 1e-9, "{one:?}");
            let expanded = one.expanded_uncertainty_um - other.expanded_uncertainty_um;
            assert!(expanded.abs() < 1e-9, "{one:?} {other:?}");
        }
        assert_eq!(result.flatness, of_file.flatness);
        assert_eq!(result.parallelism, of_file.parallelism);
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn what_is_wrong_is_refused_where_it_is_answered() {
        let (mut story, folder) = begun("refused");
        refused(&mut story, "gb-9", "blocks");
        refused(&mut story, "grade 7 1.0", "grade");
        refused(&mut story, "grade 1 1.0 -2", "blocks");
        tell(&mut story, &["1"]);
        refused(&mut story, "4um", "criterion");
        refused(&mut story, "span", "criterion");
        refused(&mut story, "span 0", "criterion");
        tell(&mut story, &["span 4um"]);
        refused(&mut story, "", "number");
        tell(&mut story, &["IN-1"]);
        refused(&mut story, "", "issuer");
        tell(&mut story, &["gauge room", ""]);
        refused(&mut story, "1", "temperature");
        refused(&mut story, "1 21", "temperature");
        tell(&mut story, &["", "/back", "1 0.3"]);
        refused(&mut story, "0 5.1 2.5", "point-order");
        refused(&mut story, "0 26", "point-outside");
        refused(&mut story, "0 2.5 20.2", "no-stack");
        refused(&mut story, "0 25", "few-points");
        refused(&mut story, "all", "points");
        tell(&mut story, &["0 5.1 10.3 25"]);
        refused(&mut story, "5.101", "far-off");
        refused(&mut story, "0.0002in", "other-unit");
        tell(&mut story, &["0.000", "0.001", "0.000"]);
        // A reading is taken again, of its own point.
        tell(&mut story, &["/retake 2"]);
        refused(&mut story, "5.1", "far-off");
        tell(&mut story, &["0.000", "5.101", "5.101"]);
        assert!(story.tell("/end").is_err());
        tell(&mut story, &["5.101", "10.301", "10.301"]);
        assert!(story.tell("/end").is_err());
        tell(&mut story, &["10.302", "/end"]);
        assert_eq!(story.state().plan.len(), 9);
        refused(&mut story, "1 0.6um", "form");
        refused(&mut story, "bands 1 1 1 0.6um", "form");
        refused(&mut story, "ball 10.001 10.002", "form");
        tell(&mut story, &["none"]);
        refused(&mut story, "bands 1 2 0.6um", "form");
        tell(&mut story, &["ball 10.001 10.002 10.001"]);
        refused(&mut story, "perhaps", "yes-or-no");
        tell(&mut story, &[""]);
        refused(&mut story, "1.3.2027", "due");
        refused(&mut story, "2020-01-01", "due-before");
        tell(&mut story, &["/back", "yes"]);
        // As left: the same points once more, and what was found is shown meanwhile.
        let state = story.state();
        assert_eq!(state.plan.len(), 18);
        let (_, result) = state.calibrated().unwrap().unwrap();
        assert!(result.left.is_none());
        assert!(story.tell("/end").is_err());
        refused(&mut story, "5.1", "far-off");
        tell(&mut story, &["0.000", "0.000", "0.000", "/park"]);
        assert_eq!(story.tell("").unwrap(), Answer::TakeUp(Some(1)));
        story.happens(Event::TakenUp {
            parked_at: "bench".to_owned(),
        });
        tell(&mut story, &["5.100", "5.100", "5.101", "10.300"]);
        tell(&mut story, &["10.301", "10.300", "2098-01-01"]);
        assert_eq!(story.state().question(), Question::Sign);
        refused(&mut story, "received soon", "received");
        refused(&mut story, "received 2098-01-01", "received-after");
        refused(&mut story, "condition", "condition");
        let stated = ["received 2026-03-01", "condition one face scratched"];
        tell(&mut story, &stated);
        let worked = story.state().to_calibration().unwrap();
        assert_eq!(worked.received, Some(jiff::civil::date(2026, 3, 1)));
        assert_eq!(worked.condition.as_deref(), Some("one face scratched"));
        tell(&mut story, &["received none", "condition clean"]);
        tell(&mut story, &["number IN-2", "/sign A. Quill"]);
        let (worked, result) = story.state().calibrated().unwrap().unwrap();
        assert_eq!(worked.heading.number, "IN-2");
        assert_eq!(worked.received, None);
        assert_eq!(worked.condition.as_deref(), Some("clean"));
        assert_eq!(worked.due, Some(jiff::civil::date(2098, 1, 1)));
        let left = result.left.unwrap();
        assert_eq!(left.points.len(), 3);
        assert!(left.span_um < result.found.unwrap().span_um + 1e-9);
        std::fs::remove_dir_all(folder).unwrap();
    }

    /// Blocks without a certificate go by their grade, in inches as well; nothing shows how they are traced.
    #[test]
    fn blocks_go_by_their_grade() {
        let (mut story, folder) = begun("grade");
        tell(&mut story, &["grade 1 1 1.1 1.5 4 9 15 25"]);
        let state = story.state();
        let set = state.calibrating().unwrap().set.clone().unwrap();
        assert_eq!((set.blocks.len(), set.certificate), (7, None));
        let inch = told::by_grade("grade 0 0.1 0.105", LengthUnit::Inch).unwrap();
        assert_eq!(
            inch.unwrap().blocks[1].nominal.value().tenth_nanometres(),
            26_670_000
        );
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn events_of_a_calibration_have_a_schema_of_their_own() {
        let told = Event::CalibrationTold {
            asked: Ask::Number.key().to_owned(),
            answer: "IN-1".to_owned(),
        };
        let set = told::by_grade("grade 1 1.1 4", LengthUnit::Millimetre).unwrap();
        let set = Event::Blocks { set: set.unwrap() };
        for event in [told, set] {
            let text = kept::write_event(&event).unwrap();
            assert!(text.starts_with(r#"{"schema":3,"#), "{text}");
            assert_eq!(kept::read_event(&text).unwrap(), event);
        }
    }
}
