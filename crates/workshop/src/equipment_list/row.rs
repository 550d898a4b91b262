//! A row of a list: the piece that it describes, beside what the register has of it.

use std::collections::BTreeMap;

use jiff::civil::Date;
use metrology::inspection::State;
use metrology::inspection::keys::{Holds, Key};
use metrology::message::{Message, Say};

use super::column::{self, ID, KIND, UNIT, plain};
use super::error::{ListError, ListNote};
use super::typed::{self, Untaken};
use super::{Against, Difference, Understood};
use crate::equipment::{Equipment, Kind, UnknownKind};
use crate::error::Error;
use crate::job_file::{Given, Section, given_equipment};
use crate::register::{Refusal, Register, Registered, may_change};

/// The key of a state, which a list changes of no registered piece.
const STATE: &str = "state";

/// What is wrong, each with its column.
pub type Wrong = Vec<(String, Message)>;

/// What stands in a row.
pub struct Taken {
    line: usize,
    kind: Kind,
    id: String,
    unit: String,
    /// Whether there is a column for a key.
    columns: Vec<String>,
    /// The cells that are filled, by the keys of the kind.
    texts: BTreeMap<String, String>,
}

fn at(column: &str, what: impl Say) -> Wrong {
    vec![(column.to_owned(), what.message())]
}

impl Taken {
    pub fn of(line: usize, cells: Vec<(String, String)>) -> Result<Self, Wrong> {
        let cell = |name: &str| {
            let mut cells = cells.iter();
            let found = cells.find(|(column, _)| column == name);
            found.map_or_else(String::new, |(_, text)| text.clone())
        };
        let kind: Kind = plain(&cell(KIND))
            .parse()
            .map_err(|unknown: UnknownKind| at(KIND, unknown))?;
        let keys = typed::keys(kind);
        let mut wrong = Wrong::new();
        let mut texts = BTreeMap::new();
        for (column, text) in &cells {
            let mut of_kind = keys.iter();
            let path = of_kind.find(|(path, _)| column::of_key(kind, path) == *column);
            match path {
                _ if text.is_empty() || column == KIND || column == UNIT => {}
                Some((path, _)) => {
                    texts.insert(path.clone(), text.clone());
                }
                None => {
                    let known = keys.iter().map(|(path, _)| column::of_key(kind, path));
                    let known = known.collect();
                    wrong.extend(at(column, ListError::NotOfKind { kind, known }));
                }
            }
        }
        let id = cell(ID);
        if id.is_empty() {
            wrong.extend(at(ID, crate::job_file::Wrong::NoIdentity));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        Ok(Self {
            line,
            kind,
            id,
            unit: cell(UNIT),
            columns: cells.into_iter().map(|(column, _)| column).collect(),
            texts,
        })
    }

    /// The piece beside the register on a day.
    pub fn against(mut self, register: &Register, today: Date) -> Result<Understood, Wrong> {
        if let Some(known) = register.alike(self.kind, &self.id) {
            return Err(at(ID, Refusal::alike(self.kind, &self.id, known)));
        }
        let Some(known) = register.find(self.kind, &self.id) else {
            return Ok(Understood {
                line: self.line,
                piece: self.piece(today)?,
                against: Against::New,
                notes: Vec::new(),
            });
        };
        self.keep(known);
        let read = self.piece(today)?;
        may_change(&known.described, &read).map_err(|refusal| at(ID, refusal))?;
        let piece = as_it_stands(read.clone(), known);
        let differences = differences(&known.described, &piece);
        let listed = read.state();
        let is_stated = self.texts.contains_key(STATE);
        let notes = self.notes(known, is_stated.then_some(listed), !differences.is_empty());
        if differences.is_empty() {
            return Ok(Understood {
                line: self.line,
                piece: known.described.clone(),
                against: Against::Unchanged(known.entry),
                notes,
            });
        }
        // What is the same keeps the digits that it is registered with.
        for (path, text) in typed::all_typed(known.described.piece()) {
            if differences.iter().all(|one| one.key != path) && self.texts.contains_key(&path) {
                self.texts.insert(path, text);
            }
        }
        let piece = self
            .piece(today)
            .map_or(piece, |read| as_it_stands(read, known));
        Ok(Understood {
            line: self.line,
            piece,
            against: Against::Changed {
                before: known.entry,
                differences,
            },
            notes,
        })
    }

    /// Takes what the list has no column for from the register, but what the list states something in the place of.
    fn keep(&mut self, known: &Registered) {
        let is_filled = |texts: &BTreeMap<String, String>, name: &str| {
            let start = format!("{name}.");
            let mut all = texts.keys();
            all.any(|path| path == name || path.starts_with(&start))
        };
        let listed = self.texts.clone();
        for (path, text) in typed::all_typed(known.described.piece()) {
            let column = column::of_key(self.kind, &path);
            let name = path.split('.').next().unwrap_or_default();
            let key = self.kind.keys().iter().find(|key| key.name == name);
            let instead = key.and_then(|key| key.instead);
            let is_replaced = instead.is_some_and(|other| is_filled(&listed, other));
            if !self.columns.contains(&column) && !is_replaced && path != STATE {
                self.texts.insert(path, text);
            }
        }
    }

    fn notes(&self, known: &Registered, listed: Option<State>, changes: bool) -> Vec<ListNote> {
        let (kind, id) = (self.kind, self.id.clone());
        let stands = known.equipment.state();
        match listed {
            Some(listed) if listed != stands => vec![ListNote::OtherState {
                kind,
                id,
                listed,
                stands,
            }],
            _ if changes && !stands.is_active() => vec![ListNote::StaysSo { kind, id, stands }],
            _ => Vec::new(),
        }
    }

    /// The piece that the texts describe.
    fn piece(&self, today: Date) -> Result<Equipment, Wrong> {
        let mut wrong = Wrong::new();
        let mut keys = Section::new();
        for (path, key) in typed::keys(self.kind) {
            let Some(text) = self.texts.get(&path) else {
                continue;
            };
            let given = match typed::given(key, text) {
                Ok(given) => given,
                Err(untaken) => {
                    let column = column::of_key(self.kind, &path);
                    wrong.extend(at(&column, why(key, text, untaken)));
                    continue;
                }
            };
            match path.split_once('.') {
                None => keys.insert(key.name, given),
                Some((section, _)) => {
                    if let Some(within) = keys.begin(section) {
                        within.insert(key.name, given);
                    }
                }
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let mut listed = Section::new();
        if !self.unit.is_empty() {
            listed.insert(UNIT, Given::text(&self.unit));
        }
        listed.insert(self.kind.key(), Given::List(vec![Given::Section(keys)]));
        let listed = given_equipment(&listed, today).map_err(|error| self.column(error))?;
        let mut pieces = listed.pieces.into_iter();
        pieces
            .next()
            .ok_or_else(|| at(ID, crate::job_file::Wrong::NoIdentity))
    }

    /// The column that is complained of.
    fn column(&self, error: Error) -> Wrong {
        let fault = match error {
            Error::Wrong(fault) => fault,
            Error::Input(why) | Error::Outside(why) => return at("", why.message),
            _ => return at("", ListError::Empty),
        };
        let key = fault.field.unwrap_or_default();
        if key == UNIT {
            return at(UNIT, fault.reason);
        }
        let section = fault.section.unwrap_or_default();
        let within = section.split_once('.').map(|(_, within)| within);
        let keys = typed::keys(self.kind);
        let named = within.map_or_else(|| key.clone(), |within| format!("{within}.{key}"));
        let ending = format!(".{key}");
        let path = keys
            .iter()
            .find(|(path, _)| *path == named)
            .or_else(|| keys.iter().find(|(path, _)| path.ends_with(&ending)));
        let column = path.map_or_else(
            || ID.to_owned(),
            |(path, _)| column::of_key(self.kind, path),
        );
        let reason = if fault.reason.code == "jobfile.not-described" {
            ListError::Lacks {
                kind: self.kind,
                id: self.id.clone(),
                key: column.clone(),
            }
            .message()
        } else {
            fault.reason
        };
        vec![(column, reason)]
    }
}

fn why(key: &Key, text: &str, untaken: Untaken) -> ListError {
    let text = text.to_owned();
    match untaken {
        Untaken::Two if matches!(key.holds, Holds::Points) => ListError::NoPoint { text },
        Untaken::Two => ListError::NotTwo {
            text,
            between: typed::between(key).unwrap_or_default().trim().to_owned(),
        },
        Untaken::NoNumber => ListError::NoNumber { text },
        Untaken::NoFlag => ListError::NoFlag { text },
    }
}

/// A piece in the state that it is registered in. A due date that the gauge room has set since is no change of the description.
fn as_it_stands(read: Equipment, known: &Registered) -> Equipment {
    let read = read.with_state(known.described.state());
    if read.due() == known.equipment.due() {
        read.with_due(known.described.due())
    } else {
        read
    }
}

/// The keys that state something else, in the order of the kind.
fn differences(before: &Equipment, now: &Equipment) -> Vec<Difference> {
    let (earlier, later) = (typed::stated(before.piece()), typed::stated(now.piece()));
    let mut all = Vec::new();
    for (path, key) in typed::keys(now.kind()) {
        let mut earlier = earlier.iter().filter(|(one, ..)| *one == path);
        let mut later = later.iter().filter(|(one, ..)| *one == path);
        let (before, now) = (earlier.next(), later.next());
        let same = match (before, now) {
            (Some((.., before)), Some((.., now))) => before.is_same(now),
            (None, None) => true,
            _ => false,
        };
        if !same {
            let text = |one: Option<&(String, &'static Key, _)>| {
                one.map(|(.., stated)| typed::typed(key, stated).replace('\n', "; "))
            };
            all.push(Difference {
                before: text(before),
                now: text(now),
                key: path,
            });
        }
    }
    all
}
