//! `midflank recall`: what a piece of equipment that was found to be out has touched, and which verdicts change.

use std::path::Path;

use clap::{ArgGroup, Args, ValueEnum};
use jiff::civil::Date;
use ledger::Ledger;
use metrology::units::{Entered, Length};
use workshop::gauge_record::case::Case;
use workshop::gauge_record::piece::PieceId;
use workshop::gauge_record::status::Set;
use workshop::gauge_room::case;
use workshop::recall::{self, History, Piece, Recall, Recalled, Recalls};

use super::day;
use super::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn};
use crate::register::Register;
use crate::report::cases::{moved, verdicts};
use crate::say;
use crate::words;

#[derive(Args)]
#[command(group = ArgGroup::new("piece").required(true))]
pub struct Arguments {
    #[arg(long, value_name = "ID", value_parser = Line, group = "piece")]
    instrument: Option<String>,
    #[arg(long, value_name = "ID", value_parser = Line, group = "piece")]
    contacts: Option<String>,
    #[arg(long, value_name = "ID", value_parser = Line, group = "piece")]
    member: Option<String>,
    #[arg(long, value_name = "ID", value_parser = Line, group = "piece")]
    wires: Option<String>,
    #[arg(long, value_name = "ID", value_parser = Line, group = "piece")]
    standard: Option<String>,
    #[arg(long, value_name = "ID", value_parser = Line, group = "piece")]
    gauge: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    error: String,
    #[arg(long, value_name = "DATE", value_parser = day::read)]
    found: Date,
    #[arg(long, value_name = "DATE", value_parser = day::read)]
    since: Option<Date>,
    #[arg(long, value_enum, default_value_t = Course::Constant)]
    history: Course,
    #[arg(long, value_name = "DATE", value_parser = day::read)]
    step: Option<Date>,
    #[arg(long, requires = "person")]
    save: bool,
    #[arg(long, value_name = "NAME", value_parser = Line, requires = "save")]
    person: Option<String>,
    #[arg(long)]
    json: bool,
}

/// Nothing in use is further out: beyond it a unit was probably mistaken (common practice, no source).
const FAR: Length = Length::from_micrometres(100);

/// How an error came about.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Course {
    Constant,
    Linear,
    Step,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let recall = arguments.recall()?;
    let ledger = desk::open_to_read(path)?;
    let recalls = if arguments.save {
        case::recalled(&recall, &ledger)
    } else {
        recall.of(&ledger)
    };
    let recalls = recalls.map_err(|error| told(error, &recall, &ledger))?;
    if recall.error > FAR || recall.error < -FAR {
        warn(&say!("recall.far", error = arguments.error));
    }
    if recalls.since.is_none() {
        warn(&say!("recall.no-check-known", id = recall.id));
    }
    if arguments.save {
        return arguments.keep(&recall, &recalls, path, output);
    }
    if arguments.json {
        return recalls.results.iter().try_for_each(|one| output.json(one));
    }
    table(&recall, &recalls, output)
}

impl Arguments {
    /// Kept as a case before it is shown.
    fn keep(
        &self,
        recall: &Recall,
        recalls: &Recalls,
        path: Option<&Path>,
        output: &mut Output,
    ) -> Result<(), Failure> {
        let person = self.person.as_deref().unwrap_or_default().trim();
        if person.is_empty() {
            return Err(Failure::input(say!("recall-case.no-person")));
        }
        let case = case::of(recall, &self.error, recalls);
        let ledger = desk::open_existing(path)?;
        let entry = case::save(&ledger, &case, &desk::recorder(person))?;
        let answered = if self.json {
            let mut results = recalls.results.iter();
            results.try_for_each(|one| output.json(one))
        } else {
            table(recall, recalls, output)
        };
        let in_use = Register::read(&ledger)
            .ok()
            .and_then(|register| case::in_use(&register, &case));
        answered
            .and_then(|()| recorded::acknowledge(&entry, self.json, output))
            .and_then(|()| match in_use.filter(|_| !self.json) {
                Some(piece) => output.line(&quarantine(&piece, &case)),
                None => Ok(()),
            })
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
    }

    fn recall(&self) -> Result<Recall, Failure> {
        let pieces = [
            (Piece::Instrument, &self.instrument),
            (Piece::Contacts, &self.contacts),
            (Piece::Member, &self.member),
            (Piece::Wires, &self.wires),
            (Piece::Standard, &self.standard),
            (Piece::Gauge, &self.gauge),
        ];
        let piece = pieces
            .into_iter()
            .find_map(|(piece, id)| Some((piece, id.clone()?)));
        // clap asks for one.
        let (piece, id) = piece.ok_or_else(|| Failure::input(say!("recall.no-piece")))?;
        let error = Entered::parse(&self.error, None).map_err(|error| Failure::refused(&error))?;
        let history = match (self.history, self.step) {
            (Course::Constant, None) => History::Constant,
            (Course::Linear, None) => History::Linear,
            (Course::Step, Some(step)) => History::Step(step),
            (Course::Step, None) => return Err(Failure::input(say!("recall.step-missing"))),
            (_, Some(_)) => return Err(Failure::input(say!("recall.step-not-asked"))),
        };
        Ok(Recall {
            piece,
            id,
            error: error.value(),
            found: self.found,
            since: self.since,
            history,
        })
    }
}

/// That the piece is still in use, and how that is changed.
fn quarantine(piece: &PieceId, case: &Case) -> String {
    let id = &piece.id;
    let command = format!(
        "midflank status set {} \"{id}\" {} --reason \"{}\" --person NAME",
        piece.kind,
        Set::Quarantined.key(),
        say!("recall-case.recall-of", id = id)
    );
    say!(
        "recall-case.quarantine-by",
        piece = words::named("recalled-piece", &case.piece),
        id = id,
        command = command
    )
}

/// A name that no result has is more likely mistyped than never used.
fn told(error: workshop::Error, asked: &Recall, ledger: &Ledger) -> Failure {
    let never_used = recall::is_never_used(&error);
    let failure = Failure::from(error);
    let (Failure::Input(words), true) = (&failure, never_used) else {
        return failure;
    };
    let kind = asked.piece.kinds().first().copied();
    let nearest = Register::read(ledger).map(|register| register.nearest(kind, &asked.id));
    let mut nearest = nearest.unwrap_or_default();
    nearest.retain(|known| *known != asked.id);
    if nearest.is_empty() {
        return failure;
    }
    let known = words::choice(nearest.iter().map(|known| format!("`{known}`")));
    Failure::input(say!("ledger.list-near", words = words, known = known))
}

/// What a person reads: a line a result, those whose verdict changes first.
fn table(recall: &Recall, recalls: &Recalls, output: &mut Output) -> Result<(), Failure> {
    let changed = recalls.results.iter().filter(|one| one.changes()).count();
    let count = recalls.results.len();
    let piece = words::named("recalled-piece", recall.piece.key());
    let found = recall.found.to_string();
    output.line(&match recalls.since {
        Some(since) => say!(
            "recall.between",
            n = count,
            piece = piece,
            id = recall.id,
            since = since,
            found = found,
            changed = changed
        ),
        None => say!(
            "recall.until",
            n = count,
            piece = piece,
            id = recall.id,
            found = found,
            changed = changed
        ),
    })?;
    for one in &recalls.results {
        output.line(&line(one))?;
    }
    if recall.piece == Piece::Gauge && count > 0 {
        output.line(&say!("recall.not-computed", n = count))?;
    }
    Ok(())
}

fn line(one: &Recalled) -> String {
    let unit = one.unit.map_or("", metrology::units::LengthUnit::symbol);
    let moved = moved(one.size, one.corrected, unit);
    let verdict = verdicts(&one.before, &one.after);
    let part = one.part.as_deref().unwrap_or_default();
    let sample = one.sample.as_ref();
    let sample = sample.map_or(String::new(), |sample| format!(" / {sample}"));
    format!(
        "{:<9} {}  {moved}  {verdict:<22}  {part}{sample}, {}",
        one.id.to_string(),
        one.measured_on,
        words::characteristic_as_stored(one.characteristic.as_deref().unwrap_or_default())
    )
}
