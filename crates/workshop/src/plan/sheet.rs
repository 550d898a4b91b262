//! A plan as it is typed: what it is of, and a line for each characteristic. Every mistake in it is told, not the first alone.

use metrology::inspection::RuleName;
use metrology::units::LengthUnit;
use serde::de::DeserializeOwned;

use super::line::{self, Line, REQUIREMENT};
use super::mistake::Mistake;
use super::read::{gauge, measured, number_is_new, pieces, places, plan, rule};
use super::shape::{CharacteristicKeys, DecisionKeys, PartKeys, PiecesKeys};
use super::{Class, Pieces, Plan, PlanError, Planned, Way};
use crate::error::Error;
use crate::job_file::origin::Origin;
use crate::job_file::section::Placed;
use crate::job_file::shaped;
use crate::job_file::typed::Source;
use crate::job_file::{Given, Section, Wrong};

/// A plan as it is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sheet {
    /// What it is of, by keys of [`HEAD`].
    pub head: Vec<(String, String)>,
    pub lines: Vec<Line>,
}

/// What stands under a key above the characteristics.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Of {
    Unit,
    Part(&'static str),
    Pieces,
    Decision,
}

/// The keys above the characteristics, as they are called in a table, and where a plan in TOML has them.
const KEYS: [(&str, Of); 18] = [
    ("part", Of::Part("name")),
    ("drawing", Of::Part("drawing")),
    ("revision", Of::Part("revision")),
    ("plan", Of::Part("plan")),
    ("unit", Of::Unit),
    ("take", Of::Pieces),
    ("lot_size", Of::Pieces),
    ("n", Of::Pieces),
    ("accept", Of::Pieces),
    ("reject", Of::Pieces),
    ("level", Of::Pieces),
    ("aql", Of::Pieces),
    ("severity", Of::Pieces),
    ("limiting_fraction", Of::Pieces),
    ("risk", Of::Pieces),
    ("rule", Of::Decision),
    ("parameter", Of::Decision),
    ("agreed", Of::Decision),
];

/// The keys above the characteristics.
pub const HEAD: [&str; KEYS.len()] = {
    let mut names = [""; KEYS.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = KEYS[at].0;
        at += 1;
    }
    names
};

/// Keys whose values are numbers in TOML, not texts.
const NUMBERS: [&str; 4] = ["lot_size", "n", "accept", "reject"];
/// The same with decimals.
const FRACTIONS: [&str; 2] = ["limiting_fraction", "risk"];

/// The code of a key that is missing in TOML.
const MISSING_KEY: &str = "jobfile.missing-key";

/// What a sheet comes to.
#[derive(Debug)]
pub struct Read {
    /// What each line is understood as; none of one with a mistake.
    pub lines: Vec<Option<Planned>>,
    /// Unit of a bare number.
    pub unit: Option<LengthUnit>,
    /// The rule of all characteristics without their own, and who agreed it.
    pub usual: Option<(RuleName, Option<String>)>,
    /// The plan, or all that is wrong.
    pub plan: Result<Plan, Vec<Mistake>>,
}

impl Known {
    fn is(&self, line: &Line, unit: Option<LengthUnit>) -> bool {
        let row = line.row;
        let own = Line {
            row,
            ..self.line.clone()
        };
        self.unit == unit && own == *line
    }

    /// The characteristic, with the rule of all where it has none of its own.
    fn under(&self, row: usize, usual: Option<&(RuleName, Option<String>)>) -> Planned {
        let mut planned = self.planned.clone();
        planned.line = row;
        if let Some((rule, agreed)) = usual.filter(|_| !self.own_rule) {
            planned.rule = rule.clone();
            planned.agreed.clone_from(agreed);
        }
        planned
    }
}

/// A section that is read by itself, with every value at its place.
fn of_section<T: DeserializeOwned>(placed: &Placed, otherwise: &str) -> Result<T, Mistake> {
    shaped(Origin::Given(placed)).map_err(|error| Mistake::built(None, otherwise, error))
}

/// A characteristic of a plan on record, and the line that it was shown as. A line that was not touched is the same
/// characteristic, to the last digit, whatever else a line can say.
#[derive(Clone, Debug)]
pub struct Known {
    pub line: Line,
    pub planned: Planned,
    /// Whether the line states a rule of its own.
    pub own_rule: bool,
    /// Unit of a bare number in the line.
    pub unit: Option<LengthUnit>,
}

/// Reads a sheet, which may have lines of a plan on record.
pub fn read(sheet: &Sheet, known: &[Known]) -> Read {
    let mut mistakes = Vec::new();
    let head = Head::of(&sheet.head, &mut mistakes);
    let unit = head.unit(&mut mistakes);
    let decision = Placed::of(&head.decision);
    let usual = match head.usual(&decision, unit) {
        Ok(usual) => Some(usual),
        Err(mistake) => {
            mistakes.push(mistake);
            None
        }
    };
    let part = Placed::of(&head.part);
    let read_part = of_section::<PartFile>(&part, "part").map(|file| file.part);
    let pieces = read_pieces(&Placed::of(&head.pieces), unit);
    let mut characteristics: Vec<Planned> = Vec::new();
    let mut lines = Vec::new();
    for (at, line) in sheet.lines.iter().enumerate() {
        let before = sheet.lines.iter().take(at);
        let before = before.map(|other| (other.number.trim(), other.row));
        let number = number_is_new(before, line.number.trim());
        let number = number.map_err(|wrong| Mistake::new(Some(at), line::NUMBER, wrong));
        let known = known.iter().find(|one| one.is(line, unit));
        let read = match known {
            Some(one) => Ok(one.under(line.row, usual.as_ref())),
            None => characteristic(line, at, unit, usual.as_ref()),
        };
        if let Err(wrong) = &number {
            mistakes.push(wrong.clone());
        }
        lines.push(match read {
            Ok(planned) => {
                characteristics.push(planned.clone());
                Some(planned)
            }
            Err(wrong) => {
                mistakes.extend(wrong);
                None
            }
        });
    }
    if sheet.lines.is_empty() {
        mistakes.push(Mistake::new(None, "", PlanError::Empty));
    }
    let source = Source::in_unit(Origin::Given(&part), unit);
    let plan = match (read_part, pieces) {
        (Ok(part), Ok(pieces)) if mistakes.is_empty() => {
            // Limits of the room are stated in TOML alone.
            Ok(plan(&source, part, pieces, None, characteristics))
        }
        (part, pieces) => {
            let of_head = [part.err(), pieces.err()].map(|wrong| wrong.map(in_table));
            mistakes.splice(0..0, of_head.into_iter().flatten());
            Err(mistakes)
        }
    };
    Read {
        lines,
        unit,
        usual,
        plan,
    }
}

#[derive(serde::Deserialize)]
struct PartFile {
    part: PartKeys,
}

/// What is wrong above the lines, by the keys that stand there: the name of the part goes by another in TOML.
fn in_table(mut mistake: Mistake) -> Mistake {
    if mistake.key == "name" {
        "part".clone_into(&mut mistake.key);
    }
    if mistake.why.message.code == MISSING_KEY {
        let key = mistake.key.clone();
        return Mistake::new(None, &mistake.key, PlanError::HeadMissing { key });
    }
    mistake
}

fn read_pieces(placed: &Placed, unit: Option<LengthUnit>) -> Result<Pieces, Mistake> {
    #[derive(serde::Deserialize)]
    struct File {
        pieces: toml::Spanned<PiecesKeys>,
    }
    let file: File = of_section(placed, "take")?;
    let source = Source::in_unit(Origin::Given(placed), unit);
    pieces(&source, &file.pieces).map_err(|error| Mistake::built(None, "take", error))
}

/// What is said above the characteristics, by where it belongs.
#[derive(Default)]
struct Head {
    unit: String,
    part: Section,
    pieces: Section,
    decision: Section,
}

impl Head {
    fn of(head: &[(String, String)], mistakes: &mut Vec<Mistake>) -> Self {
        let mut found = Self::default();
        let (mut part, mut pieces) = (Section::new(), Section::new());
        let mut said: Vec<&str> = Vec::new();
        for (key, value) in head {
            let value = value.trim();
            let Some((name, of)) = KEYS.iter().find(|(name, _)| name == key) else {
                let (key, known) = (key.clone(), HEAD.to_vec());
                let wrong = PlanError::UnknownHead {
                    key: key.clone(),
                    known,
                };
                mistakes.push(Mistake::new(None, &key, wrong));
                continue;
            };
            if said.contains(name) {
                let key = key.clone();
                mistakes.push(Mistake::new(None, name, PlanError::HeadTwice { key }));
                continue;
            }
            said.push(name);
            if value.is_empty() {
                continue;
            }
            let given = if FRACTIONS.contains(name) {
                Given::Number(value.replace(',', "."))
            } else if NUMBERS.contains(name) {
                Given::Number(value.to_owned())
            } else {
                Given::text(value)
            };
            match of {
                Of::Unit => value.clone_into(&mut found.unit),
                Of::Part(key) => part.insert(key, given),
                Of::Pieces => pieces.insert(name, given),
                Of::Decision => found.decision.insert(name, given),
            }
        }
        found.part.insert("part", Given::Section(part));
        found.pieces.insert("pieces", Given::Section(pieces));
        found
    }

    fn unit(&self, mistakes: &mut Vec<Mistake>) -> Option<LengthUnit> {
        if self.unit.is_empty() {
            return None;
        }
        let unit = self.unit.parse().ok();
        if unit.is_none() {
            let text = self.unit.clone();
            mistakes.push(Mistake::new(None, "unit", Wrong::NoUnit { text }));
        }
        unit
    }

    /// The rule of all characteristics without their own, and who agreed it.
    fn usual(
        &self,
        placed: &Placed,
        unit: Option<LengthUnit>,
    ) -> Result<(RuleName, Option<String>), Mistake> {
        let keys = if self.decision.is_empty() {
            None
        } else {
            Some(of_section::<DecisionKeys>(placed, "rule")?)
        };
        let source = Source::in_unit(Origin::Given(placed), unit);
        rule(&source, keys.as_ref()).map_err(|error| Mistake::built(None, "rule", error))
    }
}

/// The characteristic of a line, or all that is wrong with it. Without a usual rule, which is wrong then, it is as if none
/// were stated.
fn characteristic(
    typed: &Line,
    at: usize,
    unit: Option<LengthUnit>,
    usual: Option<&(RuleName, Option<String>)>,
) -> Result<Planned, Vec<Mistake>> {
    let read = line::read(typed, at, unit);
    let mut mistakes = read.mistakes;
    let wrong = |error: Error| {
        let mut mistake = Mistake::built(Some(at), REQUIREMENT, error);
        // What is measured is said in one field, and so is what belongs to it where no column is for it.
        let is_column = |key: &str| {
            let own = [line::NUMBER, line::PLACES, line::WAY, line::CLASS];
            own.contains(&key) || typed.more.iter().any(|(column, _)| column == key)
        };
        let key = mistake.key.clone();
        if !is_column(&key) {
            REQUIREMENT.clone_into(&mut mistake.key);
        }
        if mistake.why.message.code == MISSING_KEY {
            let key = line::plain(&key);
            return Mistake::new(Some(at), &mistake.key, PlanError::PartMissing { key });
        }
        mistake
    };
    let placed = Placed::of(&read.section);
    let origin = Origin::Given(&placed);
    let keys: CharacteristicKeys = match shaped(origin) {
        Ok(keys) => keys,
        Err(error) => {
            // What is missing was told by the line.
            if mistakes.is_empty() {
                mistakes.push(wrong(error));
            }
            return Err(mistakes);
        }
    };
    let source = Source::in_unit(origin, unit);
    let (way, class) = match (read.way, read.class) {
        (Some(way), Some(class)) => (way, class),
        (way, _) => (way.unwrap_or(Way::Contacts), Class::Ordinary),
    };
    // Of what was not understood nothing more is told.
    let own = [line::NUMBER, line::PLACES, line::WAY, line::CLASS];
    let is_understood = read.way.is_some()
        && mistakes
            .iter()
            .all(|wrong| own.contains(&wrong.key.as_str()));
    let number = source.text(&keys.number).trim().to_owned();
    let (mut what, mut with) = (None, None);
    if is_understood {
        match measured(&source, &keys, way) {
            Ok(measured) => what = measured,
            Err(error) => mistakes.push(wrong(error)),
        }
        match gauge(&source, &keys, &number, way, what.as_ref()) {
            Ok(gauge) => with = gauge,
            Err(error) => mistakes.push(wrong(error)),
        }
    }
    let spots = places(&source, &keys).unwrap_or_else(|error| {
        let mut mistake = wrong(error);
        line::PLACES.clone_into(&mut mistake.key);
        mistakes.push(mistake);
        Vec::new()
    });
    let stated = keys.decision.as_ref().map(|keys| rule(&source, Some(keys)));
    let (rule, agreed) = match (stated, usual) {
        (Some(Ok(own)), _) => own,
        (Some(Err(error)), _) => {
            mistakes.push(wrong(error));
            return Err(mistakes);
        }
        (None, Some(usual)) => usual.clone(),
        (None, None) => rule(&source, None).map_err(|error| vec![wrong(error)])?,
    };
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    Ok(Planned {
        number,
        line: typed.row,
        measured: what,
        scope: keys.measure.as_ref().and_then(|measure| measure.scope),
        says: keys.says.clone(),
        places: spots,
        way,
        gauge: with,
        class,
        rule,
        agreed,
        edition: keys.edition.as_ref().map(|typed| source.text(typed)),
    })
}
