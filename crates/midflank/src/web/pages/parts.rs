//! What the parts of the bench page are made from.

use maud::{Markup, html};

use super::Asked;
use crate::bench::answer::{Choice, Offer, SetUp};
use crate::bench::fit::LessCertain;
use crate::bench::{Command, LookUp, Question, Refusal, State, Table, View};
use crate::document::Inspected;
use crate::web::app::App;
use crate::web::stations::Parked;
use workshop::bench::calibration::Calibrating;
use workshop::lots::Matrix;

/// What this answer shows beside the job.
#[derive(Clone, Default)]
pub struct Shown {
    pub view: Option<View>,
    /// What was looked up.
    pub look_up: Option<LookUp>,
    /// Why the last line was not taken.
    pub refusal: Option<Refusal>,
    /// The line, to be put right where it is made of words.
    pub line: String,
}

impl Shown {
    pub fn refuse(&mut self, refusal: Refusal, line: &str) {
        self.refusal = Some(refusal);
        line.trim().clone_into(&mut self.line);
    }
}

/// All that the parts of the page are made from.
pub struct Parts<'a> {
    pub app: &'a App,
    pub state: &'a State,
    pub question: Question,
    pub table: Table<'a>,
    /// What there is to choose from, and what Enter alone takes: asked for once, since each is a plan of its own.
    pub choices: Vec<Choice<'a>>,
    pub offer: Option<Offer>,
    /// Whole set-ups to choose from.
    pub set_ups: Vec<SetUp<'a>>,
    /// What can be taken up, where no job is under way.
    pub parked: Vec<Parked>,
    pub shown: &'a Shown,
    pub asked: &'a Asked,
    /// What the job gives so far, where it gives something.
    pub result: Option<Inspected>,
    /// The pieces of the lot, where they were asked for.
    pub matrix: Option<Matrix>,
    /// What the pieces of a run that is done came to.
    pub counts: Option<String>,
    /// Why it is less certain than was expected, where it is.
    pub less_certain: Option<LessCertain>,
}

impl Parts<'_> {
    /// Whether something stands where otherwise the work so far would.
    pub fn shows_something(&self) -> bool {
        self.shown.look_up.is_some()
            || matches!(self.shown.view, Some(View::Budget | View::Keys))
            || self.matrix.is_some()
    }
}

/// Which point, or which plug, a reading is asked of.
pub fn under_way(parts: &Parts, calibrating: &Calibrating) -> Option<usize> {
    let index = match &parts.question {
        Question::Reading { index } => *index,
        Question::Again { of } | Question::Flagged { of } => {
            let mut readings = parts.state.readings.iter();
            readings.position(|one| one.number == *of)?
        }
        _ => return None,
    };
    Some(calibrating.place(index).0)
}

/// What every form carries: whose it is, and which state it answers.
pub fn hidden(parts: &Parts) -> Markup {
    html! {
        input type="hidden" name="token" value=(parts.app.token);
        input type="hidden" name="job" value=(parts.state.job.unwrap_or(0));
        input type="hidden" name="after" value=(parts.state.number);
        @if let Some(view) = parts.shown.view { input type="hidden" name="show" value=(view.word()); }
        @if parts.asked.own_address { input type="hidden" name="at" value="job"; }
    }
}

/// The single keys that act in an empty field.
pub fn letter_keys(parts: &Parts) -> String {
    if parts.question.takes_words() {
        // No answer begins with it.
        return View::Keys.key().into_iter().collect();
    }
    let commands = parts.table.commands().into_iter().filter_map(Command::key);
    let views = View::ALL.into_iter().filter_map(View::key);
    commands.chain(views).collect()
}

/// Lot and sample in one: `cs-118 / 4 of 12`.
pub fn piece(state: &State) -> Option<String> {
    match state.lot.as_ref()? {
        (Some(lot), Some(sample)) => Some(format!("{lot} / {sample}")),
        (lot, sample) => lot.clone().or_else(|| sample.clone()),
    }
}
