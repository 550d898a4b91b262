//! The words and keys that act beside an answer.

use super::{Answer, Table};
use crate::bench::event::When;
use crate::bench::question::Question;
use crate::bench::run::Stop;
use crate::bench::state::FEWEST_READINGS;

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
    pub(super) fn of(line: &str) -> Option<Self> {
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

/// What can be shown beside the question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// Corrections, budget and probability.
    Budget,
    /// The tolerance drawn large in the section.
    Tolerance,
    /// What is not fit, and why.
    Unfit,
    /// The pieces of the lot by characteristics.
    Pieces,
    /// All keys.
    Keys,
}

impl View {
    pub const ALL: [Self; 5] = [
        Self::Budget,
        Self::Tolerance,
        Self::Unfit,
        Self::Pieces,
        Self::Keys,
    ];

    /// Its name in addresses, and the word that is typed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Budget => "budget",
            Self::Tolerance => "tolerance",
            Self::Unfit => "unfit",
            Self::Pieces => "pieces",
            Self::Keys => "keys",
        }
    }

    /// Its single key; what is chosen from asks for words.
    pub const fn key(self) -> Option<char> {
        match self {
            Self::Budget => Some('b'),
            Self::Tolerance => Some('t'),
            Self::Unfit => None,
            Self::Pieces => Some('a'),
            Self::Keys => Some('?'),
        }
    }

    /// By its name or its key.
    pub fn of(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        Self::ALL.into_iter().find(|view| {
            view.word() == text
                || view
                    .key()
                    .is_some_and(|key| text.chars().eq(std::iter::once(key)))
        })
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
    Park,
    TakeUp,
    LookUp,
    Unit,
    Sign,
    History,
}

impl Command {
    pub const ALL: [Self; 14] = [
        Self::Retake,
        Self::ZeroAgain,
        Self::End,
        Self::More,
        Self::Back,
        Self::Drop,
        Self::Next,
        Self::New,
        Self::Park,
        Self::TakeUp,
        Self::LookUp,
        Self::Unit,
        Self::Sign,
        Self::History,
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
            Self::Park => "park",
            Self::TakeUp => "take",
            Self::LookUp => "look",
            Self::Unit => "unit",
            Self::Sign => "sign",
            Self::History => "history",
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
            Self::Next
            | Self::Back
            | Self::Drop
            | Self::TakeUp
            | Self::LookUp
            | Self::Unit
            | Self::Sign => None,
            Self::New => Some('n'),
            Self::Park => Some('p'),
            Self::History => Some('h'),
        }
    }

    pub(super) fn of(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        Self::ALL.into_iter().find(|command| {
            command.word() == text
                || command
                    .key()
                    .is_some_and(|key| text.chars().eq(std::iter::once(key)))
        })
    }
}

impl Table<'_> {
    /// What can be done now beside answering.
    pub fn commands(&self) -> Vec<Command> {
        let state = self.state;
        let mut commands = Vec::new();
        let question = state.question();
        let none_read = state.readings.is_empty();
        match &question {
            Question::Closure { number, .. } if *number > 1 => commands.push(Command::ZeroAgain),
            Question::Closure {
                when: When::After, ..
            } if state.may_be_read_again() && state.studying().is_some() => {
                commands.push(Command::Retake);
            }
            Question::Closure {
                when: When::After, ..
            } if state.may_be_read_again() && state.run().is_some() => {
                commands.push(Command::Next);
                if !none_read {
                    commands.extend([Command::Retake, Command::More]);
                }
            }
            Question::Closure {
                when: When::After, ..
            } if state.may_be_read_again() => commands.extend([Command::Retake, Command::More]),
            Question::ZeroDoubt { .. } => commands.push(Command::ZeroAgain),
            Question::Reading { index } if state.studying().is_some() => {
                commands.extend(
                    match index {
                        0 => [Some(Command::ZeroAgain), None],
                        _ => [Some(Command::Retake), Some(Command::End)],
                    }
                    .into_iter()
                    .flatten(),
                );
            }
            Question::Reading { index } if state.calibrating().is_some() => {
                if !none_read {
                    commands.push(Command::Retake);
                }
                if state.may_end_points(*index) {
                    commands.push(Command::End);
                }
            }
            Question::Calibration(_) if !none_read => commands.push(Command::Retake),
            Question::Sign if state.calibrating().is_some() => {
                commands.extend([Command::Sign, Command::Retake]);
            }
            Question::Reading { index } => {
                if none_read {
                    commands.push(Command::ZeroAgain);
                    if state.piece_before().is_some() {
                        commands.push(Command::Retake);
                    }
                } else {
                    commands.push(Command::Retake);
                }
                let between = state.run().is_some() && *index == 0;
                if between && !none_read {
                    commands.push(Command::ZeroAgain);
                }
                if *index >= FEWEST_READINGS || between {
                    commands.push(Command::End);
                }
            }
            Question::Temperature
            | Question::Closure {
                when: When::Before, ..
            } => commands.push(Command::Unit),
            Question::Sign => commands.push(Command::Sign),
            Question::Recorded => commands.push(Command::New),
            Question::Stopped { .. } if state.looks() => commands.push(Command::Retake),
            // A zero check makes no record of a piece without a size.
            Question::Stopped { stop: Stop::NoSize } => {
                commands.extend([Command::Retake, Command::More]);
            }
            Question::Stopped { .. } => {
                commands.extend([Command::Retake, Command::More, Command::ZeroAgain]);
            }
            Question::Find | Question::RunDone => commands.push(Command::End),
            _ => {}
        }
        if self.parked_jobs {
            commands.push(Command::TakeUp);
        }
        if !state.last_answer().is_empty() {
            commands.push(Command::Back);
        }
        if self.under_way() {
            commands.push(Command::Park);
        }
        commands.extend([Command::LookUp, Command::History]);
        commands
    }
}

/// `take 5`: job 5; without a number the one that is parked.
pub(super) fn take_up_of(text: &str) -> Option<Answer> {
    let text = text.to_lowercase();
    let rest = text.strip_prefix(Command::TakeUp.word())?.trim();
    if rest.is_empty() {
        return Some(Answer::TakeUp(None));
    }
    let job = rest.parse().ok()?;
    Some(Answer::TakeUp(Some(job)))
}

/// `sign`, or `sign A. Quill`: the name, empty where none is written.
pub(super) fn sign_of(text: &str) -> Option<&str> {
    let (word, name) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let is_sign = word.eq_ignore_ascii_case(Command::Sign.word());
    is_sign.then_some(name.trim())
}

/// `retake 3` or `r3`: the third reading of the list.
pub(super) fn retake_of(text: &str) -> Option<usize> {
    let text = text.to_lowercase();
    let rest = text
        .strip_prefix("retake")
        .or_else(|| text.strip_prefix('r'))?;
    rest.trim().parse().ok()
}
