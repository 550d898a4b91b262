//! What a typed or sent line does at the question that is asked.

use jiff::civil::Date;
use metrology::decision::Rule;
use metrology::designation;
use metrology::inspection::{
    Characteristic, ContactKind, FAR_FROM_STANDARD, JobError, RuleName, Service, Target,
    Temperature, ThreadDiameter, WireSet,
};
use metrology::material;
use metrology::units::{Celsius, Entered, EntryError, LengthUnit};

use super::details::{self, Detail};
use super::event::{By, Event, Kept, When};
use super::fit;
use super::places::{self, Spot};
use super::question::Question;
use super::state::{FEWEST_READINGS, State};
use super::stated;
use super::words;
use crate::record::to_second;
use crate::register::{Equipment, Kind, Register, Registered};

/// The longest line taken, in characters.
const LONGEST_LINE: usize = 400;
/// Shorter words are no reason, characters.
const SHORTEST_REASON: usize = 8;
/// What a bench thermometer is taken to be good for where nothing is said, kelvins (common practice, no source).
const THERMOMETER: f64 = 0.3;

/// What is looked up, and for what: a designation, or what was measured; empty asks how to ask.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LookUp {
    /// Limits of size.
    Limits(String),
    /// Wires, or balls in a nut.
    Wires(String),
    /// Limit gauges.
    Gauges(String),
    /// Which thread this can be.
    Identify(String),
}

impl LookUp {
    /// `limits M8`, `wires M8`, `gauges M8-6H`, `identify 7.9mm 1.25mm`: asked at any question.
    fn of(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let rest = rest.trim().to_owned();
        match word.to_lowercase().as_str() {
            "limits" => Some(Self::Limits(rest)),
            "wires" => Some(Self::Wires(rest)),
            "gauges" => Some(Self::Gauges(rest)),
            "identify" => Some(Self::Identify(rest)),
            _ => None,
        }
    }
}

/// What a line does.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// These happen.
    Events(Vec<Event>),
    /// Something is looked up; the job stays where it is.
    LookUp(LookUp),
    /// Something is shown, or put away again; the job stays where it is.
    Show(View),
    /// A job begins that keeps the set-up of this one.
    NextPart(Box<Kept>),
    /// A job begins from nothing.
    NewJob,
}

/// What can be shown beside the question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// Corrections, budget and probability.
    Budget,
    /// The tolerance drawn large in the section.
    Tolerance,
    /// All keys.
    Keys,
}

impl View {
    pub const ALL: [Self; 3] = [Self::Budget, Self::Tolerance, Self::Keys];

    /// Its name in addresses, and the word that is typed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Budget => "budget",
            Self::Tolerance => "tolerance",
            Self::Keys => "keys",
        }
    }

    /// Its single key.
    pub const fn key(self) -> char {
        match self {
            Self::Budget => 'b',
            Self::Tolerance => 't',
            Self::Keys => '?',
        }
    }

    /// By its name or its key.
    pub fn of(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        Self::ALL
            .into_iter()
            .find(|view| view.word() == text || text.chars().eq(std::iter::once(view.key())))
    }
}

/// A line that does nothing: what is wrong, and what would be right.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Refusal {
    pub message: String,
    /// Designations that would be right.
    pub suggestions: Vec<String>,
}

impl Refusal {
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            suggestions: Vec::new(),
        }
    }
}

/// A thing that a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Command {
    Retake,
    ZeroAgain,
    End,
    More,
    Back,
    Drop,
    Next,
    New,
    LookUp,
}

impl Command {
    pub const ALL: [Self; 9] = [
        Self::Retake,
        Self::ZeroAgain,
        Self::End,
        Self::More,
        Self::Back,
        Self::Drop,
        Self::Next,
        Self::New,
        Self::LookUp,
    ];

    /// The word that is typed, after `/` where the field takes words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Retake => "retake",
            Self::ZeroAgain => "zero",
            Self::End => "end",
            Self::More => "more",
            Self::Back => "back",
            Self::Drop => "drop",
            Self::Next => "next",
            Self::New => "new",
            Self::LookUp => "look",
        }
    }

    /// Its single key, where a letter cannot be part of an answer. Giving a job up takes the whole word.
    pub const fn key(self) -> Option<char> {
        match self {
            Self::Retake => Some('r'),
            Self::ZeroAgain => Some('z'),
            Self::End => Some('e'),
            Self::More => Some('m'),
            // `l` begins the word `limits`, which is typed.
            Self::Next | Self::Back | Self::Drop | Self::LookUp => None,
            Self::New => Some('n'),
        }
    }

    fn of(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        Self::ALL.into_iter().find(|command| {
            command.word() == text
                || command
                    .key()
                    .is_some_and(|key| text.chars().eq(std::iter::once(key)))
        })
    }
}

impl Choice<'_> {
    pub fn id(&self) -> &str {
        self.piece.equipment.id()
    }
}

/// All that an answer is judged by.
pub struct Table<'a> {
    pub state: &'a State,
    pub register: &'a Register,
    pub today: Date,
    /// Who measured last, to be offered again.
    pub last_person: Option<String>,
}

/// Of what is fit, what suits best comes first, and then what leaves most of the tolerance; Enter takes the first.
struct Rank {
    /// 0 where nothing speaks for another; of a standard how far it is from what will be read, millimetres.
    unsuited: f64,
    /// Expanded uncertainty that it would give, millimetres.
    expanded: f64,
}

/// A piece to choose from, and why not, where not.
pub struct Choice<'a> {
    pub piece: &'a Registered,
    pub unfit: Option<String>,
}

impl<'a> Table<'a> {
    /// What can be done now beside answering.
    pub fn commands(&self) -> Vec<Command> {
        let state = self.state;
        let mut commands = Vec::new();
        let question = state.question();
        let none_read = state.readings.is_empty();
        match &question {
            Question::Closure { number, .. } if *number > 1 => commands.push(Command::ZeroAgain),
            Question::ZeroDoubt { .. } => commands.push(Command::ZeroAgain),
            Question::Reading { index } => {
                if none_read {
                    commands.push(Command::ZeroAgain);
                } else {
                    commands.push(Command::Retake);
                }
                if *index >= FEWEST_READINGS {
                    commands.push(Command::End);
                }
            }
            Question::Verdict => commands.extend([Command::More, Command::Retake]),
            Question::Recorded => commands.push(Command::New),
            _ => {}
        }
        if state.last_answer().is_some() {
            commands.push(Command::Back);
        }
        commands.push(Command::LookUp);
        commands
    }

    /// What Enter alone takes, where it takes something.
    pub fn offer(&self) -> Option<String> {
        self.offer_of(&self.choices())
    }

    /// The same, from choices that are known already.
    pub fn offer_of(&self, choices: &[Choice]) -> Option<String> {
        match self.state.question() {
            Question::Drawing => Some(words::NONE.to_owned()),
            Question::Lot => match &self.state.lot_before {
                Some((lot, sample)) => next_sample(lot.as_deref(), sample.as_deref()),
                None => Some(words::NONE.to_owned()),
            },
            Question::Rule => Some(words::RULE_ASSUMED.to_owned()),
            Question::Detail(detail) if detail.optional => Some(words::NONE.to_owned()),
            Question::Service => Some(words::NO_SERVICE.to_owned()),
            question if question.chooses() => choices
                .iter()
                .find(|choice| choice.unfit.is_none())
                .map(|choice| choice.id().to_owned()),
            Question::Unit => Some(self.state.display_unit().to_string()),
            Question::Temperature => Some(words::NOT_READ.to_owned()),
            Question::Person => self
                .state
                .person_before
                .clone()
                .or_else(|| self.last_person.clone()),
            _ => None,
        }
    }

    /// What there is to choose from where it is not equipment: each by its name and in words.
    pub fn options(&self) -> Vec<(&'static str, &'static str)> {
        let question = self.state.question();
        match &question {
            Question::Service => Service::ALL
                .iter()
                .map(|service| (service.key(), service.words()))
                .collect(),
            Question::Detail(Detail {
                kind: details::Kind::Choice(choices),
                ..
            }) => choices
                .iter()
                .map(|choice| (*choice, words::choice(&question, choice)))
                .collect(),
            _ => Vec::new(),
        }
    }

    /// The pieces that the question is about, what is fit first.
    pub fn choices(&self) -> Vec<Choice<'a>> {
        let wanted = match self.state.question() {
            Question::Instrument => Kind::Instrument,
            Question::Contacts => Kind::Contacts,
            Question::Wires => Kind::Wires,
            Question::Standard => Kind::Standard,
            _ => return Vec::new(),
        };
        let suited = fit::suited(self.state);
        // Each is planned once, not at every comparison.
        let mut ranked: Vec<(Rank, Choice<'a>)> = self
            .register
            .pieces()
            .iter()
            .filter(|piece| piece.equipment.kind() == wanted)
            .map(|piece| {
                let unfit = self.unfit(&piece.equipment);
                (self.rank(&piece.equipment, suited), Choice { piece, unfit })
            })
            .collect();
        ranked.sort_by(|(a, one), (b, other)| {
            (one.unfit.is_some().cmp(&other.unfit.is_some()))
                .then(a.unsuited.total_cmp(&b.unsuited))
                .then(a.expanded.total_cmp(&b.expanded))
        });
        ranked.into_iter().map(|(_, choice)| choice).collect()
    }

    /// How a piece ranks among its kind.
    fn rank(&self, piece: &Equipment, suited: Option<ContactKind>) -> Rank {
        let mut with = self.state.clone();
        choose(&mut with, piece);
        if with.wires.is_none() && with.over_wires() {
            // Flat faces are worth what the best wires at hand make of them.
            with.wires = self.fit_wires(&with).into_iter().next();
        }
        let unsuited = match piece {
            // Blades and points want a spindle that does not turn them; others may do, those made for it come first.
            Equipment::Instrument(item) => {
                let still = suited.is_some_and(ContactKind::wants_still_spindle);
                f64::from(u8::from(still && item.spindle_turns != Some(false)))
            }
            Equipment::Contacts(pair) => {
                f64::from(u8::from(suited.is_some_and(|suited| pair.kind != suited)))
            }
            // A standard is best near what will be read.
            Equipment::Standard(item) => match fit::plan(&with) {
                Some(Ok(plan)) => (item.size.value().mm() - plan.expected_reading).abs(),
                _ => f64::INFINITY,
            },
            _ => 0.0,
        };
        let expanded = fit::expected(&with).map_or(f64::INFINITY, |(expanded, _)| expanded);
        Rank { unsuited, expanded }
    }

    /// Why a piece cannot be used here; flat faces want wires for a pitch diameter.
    fn unfit(&self, piece: &Equipment) -> Option<String> {
        fit::unfit(self.state, piece, self.today).or_else(|| {
            let mut with = self.state.clone();
            choose(&mut with, piece);
            let no_wires = with.wires.is_none()
                && matches!(piece, Equipment::Contacts(_))
                && with.over_wires()
                && self.fit_wires(&with).is_empty();
            no_wires.then(|| words::NO_WIRES.to_owned())
        })
    }

    /// The wires of the register that are fit for such a set-up, those that give the least uncertainty first.
    fn fit_wires(&self, with: &State) -> Vec<WireSet> {
        let mut fit: Vec<(f64, WireSet)> = self
            .register
            .pieces()
            .iter()
            .filter_map(|piece| match &piece.equipment {
                Equipment::Wires(wires) => Some((&piece.equipment, wires)),
                _ => None,
            })
            .filter(|(piece, _)| fit::unfit(with, piece, self.today).is_none())
            .filter_map(|(piece, wires)| {
                let mut with = with.clone();
                choose(&mut with, piece);
                Some((fit::expected(&with)?.0, wires.clone()))
            })
            .collect();
        fit.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        fit.into_iter().map(|(_, wires)| wires).collect()
    }

    /// What a line does.
    pub fn answer(&self, line: &str, by: By) -> Result<Answer, Refusal> {
        let line = line.trim();
        if line.chars().count() > LONGEST_LINE {
            return Err(Refusal::new(words::line_too_long(LONGEST_LINE)));
        }
        if line.chars().any(char::is_control) {
            return Err(Refusal::new(words::CONTROL_CHARACTERS));
        }
        let question = self.state.question();
        if let Some(rest) = line.strip_prefix('/') {
            return self.aside(rest.trim());
        }
        if let Some(wanted) = LookUp::of(line) {
            return Ok(Answer::LookUp(wanted));
        }
        let is_word = line.starts_with(|c: char| c.is_alphabetic() || c == '?');
        if is_word && !question.takes_words() {
            return self.aside(line);
        }
        match question {
            Question::Designation => stated_first(line),
            Question::Detail(detail) => self.detail(detail, line),
            Question::Name => {
                required(line, words::NAME_MISSING).map(|name| one(Event::Name { name }))
            }
            Question::Drawing => Ok(one(Event::Drawing {
                drawing: optional(line),
            })),
            Question::Lot => self.lot(line),
            Question::Rule => rule(line),
            Question::Service => service(line),
            Question::Instrument | Question::Contacts | Question::Wires | Question::Standard => {
                self.choose(line)
            }
            Question::Unit => self.unit(line),
            Question::Temperature => self.temperature(line),
            Question::Closure { when, .. } => self.closure(line, when, false, by),
            Question::ZeroDoubt { when, .. } => match line {
                reason if is_word && reason.len() >= SHORTEST_REASON => {
                    Ok(one(Event::ZeroAccepted {
                        when,
                        reason: reason.to_owned(),
                    }))
                }
                _ if is_word || line.is_empty() => Err(Refusal::new(words::REASON_MISSING)),
                _ => self.closure(line, when, true, by),
            },
            Question::Reading { index } => {
                let reading = self.reading(line)?;
                let Some(spot) = self.state.plan.get(index).cloned() else {
                    return Err(Refusal::new(words::NOT_COMPLETE));
                };
                Ok(one(Event::Reading { spot, reading, by }))
            }
            Question::Again { of } | Question::Flagged { of } => match line {
                "" => Ok(one(Event::StandsAsRead { of })),
                _ => Ok(one(Event::Retaken {
                    of,
                    reading: self.reading(line)?,
                    by,
                })),
            },
            Question::Verdict => match line {
                "" => Ok(one(Event::VerdictSeen)),
                _ => Err(Refusal::new(words::AT_VERDICT)),
            },
            Question::Person => {
                let name = match line {
                    "" => self.offer().unwrap_or_default(),
                    _ => line.to_owned(),
                };
                required(&name, words::PERSON_MISSING).map(|person| one(Event::Closing { person }))
            }
            Question::Finish => Ok(Answer::Events(Vec::new())),
            Question::Recorded => match self.state.kept() {
                Some(kept) if line.is_empty() => self.next_part(kept),
                _ => Err(Refusal::new(words::AT_RECORDED)),
            },
            Question::Dropped => Ok(Answer::NewJob),
        }
    }

    /// The next part keeps the set-up as the register has it now, and the zero where nothing was done to what it was set
    /// with: an intervention ends what an earlier check is worth.
    fn next_part(&self, mut kept: Kept) -> Result<Answer, Refusal> {
        let pieces = [
            Some((Kind::Instrument, kept.instrument.id.clone())),
            Some((Kind::Contacts, kept.contacts.id.clone())),
            Some((Kind::Standard, kept.standard.id.clone())),
            kept.wires
                .as_ref()
                .map(|wires| (Kind::Wires, wires.id.clone())),
        ];
        for (kind, id) in pieces.into_iter().flatten() {
            let Some(piece) = self.register.find(kind, &id) else {
                continue;
            };
            if !piece.equipment.state().is_active() {
                let why = words::out_of_use(piece.equipment.state().key());
                return Err(Refusal::new(words::unfit_for_next(&id, &why)));
            }
            match &piece.equipment {
                Equipment::Instrument(item) => kept.instrument = item.clone(),
                Equipment::Contacts(item) => kept.contacts = item.clone(),
                Equipment::Standard(item) => kept.standard = item.clone(),
                Equipment::Wires(item) => kept.wires = Some(item.clone()),
                Equipment::Balls(_) => {}
            }
            // An entry is dated to the second.
            let checked = self.state.checked_at.map(to_second);
            let sets_zero = kind != Kind::Wires && piece.is_change;
            if sets_zero && checked.is_none_or(|checked| piece.recorded_at >= checked) {
                kept.zero.clear();
            }
        }
        Ok(Answer::NextPart(Box::new(kept)))
    }

    /// A command, or a question of another kind than the job's.
    fn aside(&self, text: &str) -> Result<Answer, Refusal> {
        if let Some(number) = retake_of(text) {
            return self.retake(number);
        }
        if let Some(view) = View::of(text) {
            return Ok(Answer::Show(view));
        }
        if text == words::DROP_IT.trim_start_matches('/') && self.under_way() {
            return Ok(one(Event::Dropped));
        }
        match Command::of(text) {
            Some(Command::LookUp) => Ok(Answer::LookUp(LookUp::Limits(String::new()))),
            Some(Command::Drop) if self.under_way() => Err(Refusal {
                message: words::surely_drop(self.state.readings.len()),
                suggestions: vec![words::DROP_IT.to_owned()],
            }),
            Some(command) if self.commands().contains(&command) => self.command(command),
            Some(command) => Err(Refusal::new(words::not_now(command.word()))),
            None if text.is_empty() => Ok(Answer::Show(View::Keys)),
            None => match LookUp::of(text) {
                Some(wanted) => Ok(Answer::LookUp(wanted)),
                None if designation::parse(text).is_ok() => {
                    Ok(Answer::LookUp(LookUp::Limits(text.to_owned())))
                }
                None => Err(Refusal::new(match Entered::parse(text, self.state.unit) {
                    Err(error @ EntryError::LetterForDigit { .. }) => {
                        words::no_reading(&error.to_string())
                    }
                    _ => words::not_understood(text),
                })),
            },
        }
    }

    const fn under_way(&self) -> bool {
        self.state.job.is_some() && self.state.end.is_none()
    }

    /// A reading named by its number in the list is taken again.
    fn retake(&self, number: usize) -> Result<Answer, Refusal> {
        let may = self.commands().contains(&Command::Retake);
        let named = number
            .checked_sub(1)
            .and_then(|index| self.state.readings.get(index))
            .filter(|_| may);
        match named {
            Some(reading) => Ok(one(Event::Retaking { of: reading.number })),
            None => Err(Refusal::new(words::no_such_reading(number))),
        }
    }

    fn command(&self, command: Command) -> Result<Answer, Refusal> {
        let state = self.state;
        let nothing = || Refusal::new(words::not_now(command.word()));
        match command {
            Command::Retake => match state.readings.last() {
                Some(last) if matches!(state.question(), Question::Verdict) => {
                    let flagged = state.readings.iter().find(|one| one.flag.is_some());
                    let of = flagged.unwrap_or(last).number;
                    Ok(one(Event::Retaking { of }))
                }
                Some(last) => Ok(one(Event::Retaking { of: last.number })),
                None => Err(nothing()),
            },
            Command::ZeroAgain => {
                let when = match state.question() {
                    Question::Closure { when, .. } | Question::ZeroDoubt { when, .. } => when,
                    _ => When::Before,
                };
                Ok(one(Event::ZeroAgain { when }))
            }
            Command::End => Ok(one(Event::ReadingsEnded)),
            Command::More => Ok(one(Event::More {
                spots: self.where_more(),
            })),
            Command::Back => match state.last_answer() {
                Some(of) => Ok(one(Event::TakenBack { of })),
                None => Err(nothing()),
            },
            Command::New => Ok(Answer::NewJob),
            Command::Drop | Command::Next | Command::LookUp => Err(nothing()),
        }
    }

    /// Where two more readings tell most: at the place that decides, or at places between those measured.
    fn where_more(&self) -> Vec<Spot> {
        let decides = self
            .state
            .inspect()
            .and_then(Result::ok)
            .and_then(|(job, result)| {
                let place = job.readings.get(result.governing().place?)?;
                let spots = self.state.readings.iter().map(|reading| &reading.spot);
                spots
                    .clone()
                    .find(|spot| spot.words() == place.words())
                    .cloned()
            });
        match decides {
            Some(spot) => vec![spot.clone(), spot],
            None => places::more(&self.state.plan, 2),
        }
    }

    /// An answer about the feature; with the last one it must all fit together.
    fn detail(&self, detail: &'static Detail, line: &str) -> Result<Answer, Refusal> {
        let Some(stated) = &self.state.feature else {
            return Err(Refusal::new(words::NOT_COMPLETE));
        };
        let answer = details::take(detail, line, stated.unit(), &self.state.details)?;
        let event = Event::Detail {
            key: detail.key.to_owned(),
            answer,
        };
        let mut with = self.state.clone();
        with.happens(&event);
        if with.next_detail().is_none() {
            let characteristic = details::characteristic(stated, &with.details)?;
            can_be_measured(&with, &characteristic)?;
        }
        Ok(one(event))
    }

    fn lot(&self, line: &str) -> Result<Answer, Refusal> {
        let text = match (line, self.offer()) {
            ("", Some(offer)) if self.state.lot_before.is_some() => offer,
            ("", None) if self.state.lot_before.is_some() => {
                return Err(Refusal::new(words::SAMPLE_MISSING));
            }
            _ => line.to_owned(),
        };
        let (lot, sample) = text.split_once('/').unwrap_or((&text, ""));
        Ok(one(Event::Lot {
            lot: optional(lot),
            sample: optional(sample),
        }))
    }

    fn choose(&self, line: &str) -> Result<Answer, Refusal> {
        let choices = self.choices();
        let by_number = line
            .parse::<usize>()
            .ok()
            .and_then(|number| choices.get(number.checked_sub(1)?));
        let chosen = match line {
            "" => choices.iter().find(|choice| choice.unfit.is_none()),
            _ => choices
                .iter()
                .find(|choice| choice.id().eq_ignore_ascii_case(line))
                .or(by_number),
        };
        match chosen {
            None if line.is_empty() => Err(Refusal::new(words::NOTHING_FIT)),
            None => Err(Refusal::new(words::no_such_piece(line))),
            Some(Choice {
                piece,
                unfit: Some(why),
            }) => Err(Refusal::new(words::unfit(piece.equipment.id(), why))),
            Some(choice) => match choice.piece.equipment.clone() {
                Equipment::Instrument(instrument) => Ok(one(Event::Instrument { instrument })),
                Equipment::Contacts(contacts) => Ok(one(Event::Contacts { contacts })),
                Equipment::Standard(standard) => Ok(one(Event::Standard { standard })),
                Equipment::Wires(wires) => Ok(one(Event::Wires { wires })),
                Equipment::Balls(_) => Err(Refusal::new(words::no_such_piece(line))),
            },
        }
    }

    fn unit(&self, line: &str) -> Result<Answer, Refusal> {
        let unit = match line {
            "" => Some(self.state.display_unit()),
            _ => line.parse().ok(),
        };
        match unit {
            Some(unit @ (LengthUnit::Millimetre | LengthUnit::Inch)) => {
                Ok(one(Event::Unit { unit }))
            }
            _ => Err(Refusal::new(words::UNIT_WANTED)),
        }
    }

    /// Temperatures that the calculation will take: what it refuses is said here, where it can be put right.
    fn temperature(&self, line: &str) -> Result<Answer, Refusal> {
        let temperature = temperature(line)?;
        let mut with = self.state.clone();
        with.temperature = Some(temperature.clone());
        match fit::trial(&with) {
            Some(Err(error)) => Err(job_refusal(&error)),
            _ => Ok(one(Event::Temperature { temperature })),
        }
    }

    fn closure(&self, line: &str, when: When, again: bool, by: By) -> Result<Answer, Refusal> {
        let reading = self.reading(line)?;
        if let Some(standard) = &self.state.standard
            && (reading.value() - standard.size.value()).abs() > FAR_FROM_STANDARD
        {
            return Err(job_refusal(&JobError::ZeroFarFromStandard {
                reading: reading.text().into(),
                standard: standard.size.text().into(),
            }));
        }
        let closure = Event::Closure { when, reading, by };
        Ok(Answer::Events(if again {
            vec![Event::ZeroAgain { when }, closure]
        } else {
            vec![closure]
        }))
    }

    /// A number as the micrometer shows it: in the unit of the job, and within its range.
    fn reading(&self, line: &str) -> Result<Entered, Refusal> {
        let (Some(unit), Some(instrument)) = (self.state.unit, &self.state.instrument) else {
            return Err(Refusal::new(words::NOT_COMPLETE));
        };
        if line.is_empty() {
            return Err(Refusal::new(words::READING_MISSING));
        }
        let reading = Entered::parse(line, Some(unit))
            .map_err(|error| Refusal::new(words::no_reading(&error.to_string())))?;
        if reading.unit() != unit {
            return Err(Refusal::new(words::other_unit(reading.text(), unit)));
        }
        let [from, to] = &instrument.range;
        if reading.value() < from.value() || reading.value() > to.value() {
            return Err(Refusal::new(words::cannot_show(
                &instrument.id,
                reading.text(),
                from.text(),
                to.text(),
            )));
        }
        Ok(reading)
    }
}

/// `retake 3` or `r3`: the third reading of the list.
fn retake_of(text: &str) -> Option<usize> {
    let text = text.to_lowercase();
    let rest = text
        .strip_prefix("retake")
        .or_else(|| text.strip_prefix('r'))?;
    rest.trim().parse().ok()
}

fn one(event: Event) -> Answer {
    Answer::Events(vec![event])
}

fn choose(state: &mut State, equipment: &Equipment) {
    match equipment {
        Equipment::Instrument(item) => state.instrument = Some(item.clone()),
        Equipment::Contacts(item) => state.contacts = Some(item.clone()),
        Equipment::Standard(item) => state.standard = Some(item.clone()),
        Equipment::Wires(item) => state.wires = Some(item.clone()),
        Equipment::Balls(_) => {}
    }
}

/// What is measured: a size with its limits, a feature of which more is asked, or a thread.
fn stated_first(line: &str) -> Result<Answer, Refusal> {
    if line.is_empty() {
        return Err(Refusal::new(words::DESIGNATION_MISSING));
    }
    if let Some(stated) = stated::read(line)? {
        let limits = stated::measured(None, &stated.section())?;
        Target::of(&limits).map_err(|error| job_refusal(&error))?;
        if stated.feature.is_some() {
            return Ok(one(Event::Feature { stated }));
        }
        can_be_measured(&State::default(), &limits)?;
        return Ok(one(Event::Characteristic {
            characteristic: limits,
        }));
    }
    let characteristic = thread(line);
    can_be_measured(&State::default(), &characteristic).map_err(|refusal| {
        if is_number_alone(line) {
            Refusal {
                message: words::number_alone(line),
                ..refusal
            }
        } else {
            refusal
        }
    })?;
    Ok(one(Event::Characteristic { characteristic }))
}

/// Whether a line is what a micrometer sends: a decimal number, with or without its unit.
fn is_number_alone(line: &str) -> bool {
    line.contains(['.', ',']) && Entered::parse(line, Some(LengthUnit::Millimetre)).is_ok()
}

/// Whether any contacts can reach it: what none can is said now and not at the end.
fn can_be_measured(state: &State, characteristic: &Characteristic) -> Result<(), Refusal> {
    let mut with = state.clone();
    with.happens(&Event::Characteristic {
        characteristic: characteristic.clone(),
    });
    if with.target.is_none() {
        let error = Target::of(characteristic).err();
        return Err(error.map_or_else(
            || Refusal::new(words::NOT_COMPLETE),
            |error| job_refusal(&error),
        ));
    }
    match fit::trial(&with) {
        Some(Err(
            error @ (JobError::ContactsUnfit { .. }
            | JobError::Feature(_)
            | JobError::Number { .. }),
        )) => Err(job_refusal(&error)),
        _ => Ok(()),
    }
}

fn optional(text: &str) -> Option<String> {
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

fn required(text: &str, missing: &str) -> Result<String, Refusal> {
    optional(text).ok_or_else(|| Refusal::new(missing))
}

fn job_refusal(error: &JobError) -> Refusal {
    Refusal {
        message: words::job_error(error),
        suggestions: match error {
            JobError::Designation(error) => error.suggestions().to_vec(),
            _ => Vec::new(),
        },
    }
}

/// A thread, which may name its diameter.
fn thread(line: &str) -> Characteristic {
    let lower = line.to_lowercase();
    for (words, diameter) in [
        ("pitch diameter", ThreadDiameter::PitchDiameter),
        ("major diameter", ThreadDiameter::MajorDiameter),
        ("major", ThreadDiameter::MajorDiameter),
    ] {
        if let Some(rest) = lower.strip_suffix(words) {
            let designation = line
                .get(..rest.len())
                .unwrap_or(line)
                .trim_end_matches([' ', ',']);
            return Characteristic::Thread {
                designation: designation.to_owned(),
                diameter,
            };
        }
    }
    Characteristic::Thread {
        designation: line.to_owned(),
        diameter: ThreadDiameter::PitchDiameter,
    }
}

/// Whether a wrong acceptance could hurt someone.
fn service(line: &str) -> Result<Answer, Refusal> {
    let said = line.trim().to_lowercase();
    let service = match said.as_str() {
        "" | "none" | "no" => None,
        _ => {
            let chosen = details::chosen(&Service::ALL.map(Service::key), line)?;
            Service::ALL
                .into_iter()
                .find(|service| service.key() == chosen)
        }
    };
    Ok(one(Event::Service { service }))
}

fn rule(line: &str) -> Result<Answer, Refusal> {
    if line.is_empty() {
        // Proof of conformity carries the uncertainty where nothing was agreed: ISO 14253-1:2017, default rule.
        return Ok(one(Event::Rule {
            rule: RuleName {
                name: "iso14253-1".to_owned(),
                parameter: None,
                assumed: true,
            },
        }));
    }
    let (name, parameter) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let parameter = match parameter.trim() {
        "" => None,
        number => Some(
            number
                .replace(',', ".")
                .parse()
                .map_err(|_| Refusal::new(words::not_a_number(number)))?,
        ),
    };
    Rule::parse(name, parameter).map_err(|error| Refusal::new(error.to_string()))?;
    Ok(one(Event::Rule {
        rule: RuleName {
            name: name.to_owned(),
            parameter,
            assumed: false,
        },
    }))
}

/// `21.4 20.9 brass`: part, standard (the same where only one is written), material of the part (steel).
fn temperature(line: &str) -> Result<Option<Temperature>, Refusal> {
    if line.is_empty() {
        return Ok(None);
    }
    let mut numbers: Vec<f64> = Vec::new();
    let mut named: Vec<&str> = Vec::new();
    for word in line.split_whitespace() {
        let plain = word.trim_end_matches(['C', 'c', '°']).replace(',', ".");
        match plain.parse::<f64>() {
            Ok(number) if named.is_empty() => numbers.push(number),
            _ if plain.is_empty() => {}
            _ => named.push(word),
        }
    }
    let (part, standard) = match numbers.as_slice() {
        [both] => (*both, *both),
        [part, standard] => (*part, *standard),
        _ => return Err(Refusal::new(words::TEMPERATURE_WANTED)),
    };
    let part_material = if named.is_empty() {
        "steel".to_owned()
    } else {
        named.join(" ")
    };
    if material::named(&part_material).is_none() {
        let known: Vec<&str> = material::all()
            .iter()
            .map(|material| material.name.as_str())
            .collect();
        return Err(Refusal::new(words::no_such_material(
            &part_material,
            &known.join(", "),
        )));
    }
    Ok(Some(Temperature {
        part: Celsius::new(part),
        standard: Celsius::new(standard),
        instrument: None,
        standard_uncertainty: THERMOMETER,
        part_material,
        standard_material: "steel".to_owned(),
    }))
}

/// The sample after one: `4 of 12` is followed by `5 of 12`; none after the last.
fn next_sample(lot: Option<&str>, sample: Option<&str>) -> Option<String> {
    let sample = sample?;
    let from = sample.find(|c: char| c.is_ascii_digit())?;
    let (before, rest) = sample.split_at(from);
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    let (digits, after) = rest.split_at(end);
    let next = digits.parse::<u64>().ok()?.checked_add(1)?;
    let last = after
        .trim()
        .strip_prefix("of ")
        .and_then(|n| n.trim().parse::<u64>().ok());
    if last.is_some_and(|last| next > last) {
        return None;
    }
    let width = digits.len();
    Some(format!(
        "{} / {before}{next:0width$}{after}",
        lot.unwrap_or_default()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answer(line: &str) -> Result<Answer, Refusal> {
        let table = Table {
            state: &State::default(),
            register: &Register::default(),
            today: jiff::civil::date(2026, 3, 9),
            last_person: None,
        };
        table.answer(line, By::Keyboard)
    }

    #[test]
    fn the_first_answer_is_a_thread_or_a_size() {
        let first = answer;
        assert!(matches!(first("M10x1.5-6g"), Ok(Answer::Events(_))));
        let Ok(Answer::Events(events)) = first("shank 8,90 to 8,95 mm") else {
            panic!("{:?}", first("shank 8,90 to 8,95 mm"));
        };
        assert!(format!("{events:?}").contains("shank"), "{events:?}");
        let wrong = first("M10x1.7-6g").unwrap_err();
        assert!(!wrong.message.is_empty());
        for number in ["8.93", "8,93 mm", "0.3515in"] {
            let stray = first(number).unwrap_err();
            assert!(stray.message.contains("come after the zero"), "{stray:?}");
        }
        let quarter = first("0.25").unwrap_err();
        assert!(
            quarter.suggestions.iter().any(|one| one.contains("20 UNC")),
            "{quarter:?}"
        );
        let nut = first("M10x1.5-6H").unwrap_err();
        assert!(nut.message.contains("internal"), "{nut:?}");
    }

    #[test]
    fn tables_are_looked_up_at_any_question() {
        for (line, wanted) in [
            ("limits M8", LookUp::Limits("M8".into())),
            ("/limits M8", LookUp::Limits("M8".into())),
            ("Wires M8", LookUp::Wires("M8".into())),
            ("/gauges M8-6H", LookUp::Gauges("M8-6H".into())),
            (
                "identify 7.9mm 1.25mm",
                LookUp::Identify("7.9mm 1.25mm".into()),
            ),
        ] {
            assert_eq!(answer(line), Ok(Answer::LookUp(wanted)), "{line}");
        }
    }

    #[test]
    fn samples_count_on() {
        let next = |sample| next_sample(Some("cs-118"), Some(sample));
        assert_eq!(next("4 of 12").as_deref(), Some("cs-118 / 5 of 12"));
        assert_eq!(next("12 of 12"), None);
        assert_eq!(next("a09").as_deref(), Some("cs-118 / a10"));
        assert_eq!(next_sample(None, None), None);
    }

    #[test]
    fn temperatures_in_words() {
        let read = |line: &str| match temperature(line) {
            Ok(read) => Ok(read.map(|t| (t.part.degrees(), t.standard.degrees(), t.part_material))),
            Err(refusal) => Err(refusal.message),
        };
        assert_eq!(read("").unwrap(), None);
        assert_eq!(read("21,4").unwrap(), Some((21.4, 21.4, "steel".into())));
        assert_eq!(
            read("21.4 °C 20.9 brass").unwrap(),
            Some((21.4, 20.9, "brass".into()))
        );
        assert!(read("brass").is_err());
        assert!(read("21 cheese").unwrap_err().contains("brass"));
    }

    proptest::proptest! {
        #[test]
        fn any_line_is_answered(line in "\\PC{0,80}") {
            let _ = answer(&line);
        }
    }
}
