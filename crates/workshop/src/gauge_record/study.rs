//! A study of a way of measuring as it was run at the bench: who read which part when, with which set-up.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::Subject;
use metrology::inspection::{Characteristic, Contacts, Instrument, Standard, Temperature, WireSet};
use metrology::study::repeatability::Design;
use metrology::study::{StudyError, Turn, Type1Settings, order};
use metrology::units::{Entered, Length, LengthUnit};

use super::studied::{
    BiasDocument, LinearityDocument, RepeatabilityDocument, RepeatabilitySettings, Studied,
    Type1Document, in_unit,
};

/// The subject that every study touches.
pub const STUDIES: (&str, &str) = ("gauge-room", "studies");
/// The confidence of the interval of a bias, and of the band of a linearity.
const CONFIDENCE: f64 = 0.95;

metrology::codes! {
    /// What a study is run for.
    pub enum StudyKind "study-kind" {
        /// Repeatability and reproducibility: every operator measures every part.
        Repeatability "repeatability",
        /// One operator measures one part of known size.
        Type1 "type-1",
        /// The same, for the bias alone.
        Bias "bias",
        /// Repeatability and reproducibility where each part is measured by one operator only.
        Nested "nested",
        /// One operator measures several parts of known size, for the bias over the range.
        Linearity "linearity",
    }
}

impl StudyKind {
    /// Whether parts of known size are measured.
    pub const fn has_reference(self) -> bool {
        matches!(self, Self::Type1 | Self::Bias | Self::Linearity)
    }

    /// Whether it tells how far operators and parts differ.
    pub const fn is_of_repeatability(self) -> bool {
        matches!(self, Self::Repeatability | Self::Nested)
    }

    /// Whether it tells of the repeatability, which new jobs can take.
    pub const fn can_be_approved(self) -> bool {
        matches!(self, Self::Repeatability | Self::Nested | Self::Type1)
    }
}

/// What a study was to be.
#[derive(Clone, Debug, PartialEq)]
pub struct StudyPlan {
    pub kind: StudyKind,
    pub characteristic: Characteristic,
    /// Upper less lower limit, where there are both.
    pub tolerance: Option<Entered>,
    /// The size of the part, where it is known.
    pub reference: Option<Entered>,
    /// The size of each part in a study of linearity, in the order of the parts; of none otherwise.
    pub references: Vec<Entered>,
    /// All parts; in a nested study the first ones are those of the first operator, and so on, as many of each.
    pub parts: Vec<String>,
    pub operators: Vec<String>,
    pub trials: usize,
    /// From which the order of the readings follows.
    pub seed: u64,
}

impl StudyPlan {
    /// How many parts each operator measures.
    pub const fn parts_each(&self) -> usize {
        let (parts, operators) = (self.parts.len(), self.operators.len());
        match self.kind {
            StudyKind::Nested => match parts.checked_div(operators) {
                Some(each) => each,
                None => 0,
            },
            _ => parts,
        }
    }

    /// How many readings are to be taken.
    pub const fn planned(&self) -> usize {
        let of_one = self.parts_each().saturating_mul(self.trials);
        self.operators.len().saturating_mul(of_one)
    }

    /// In which order they are taken; the part of a turn is counted among all parts.
    pub fn turns(&self) -> Vec<Turn> {
        let each = self.parts_each();
        let mut turns = order(self.seed, self.operators.len(), each, self.trials);
        for turn in &mut turns {
            turn.part = self.among_all(turn.operator, turn.part);
        }
        turns
    }

    /// Who measures what: each part with every operator that measures it.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        let operators = self.operators.iter().enumerate();
        operators.flat_map(move |(index, operator)| {
            let own = (0..self.parts_each()).map(move |part| self.among_all(index, part));
            own.filter_map(move |part| Some((self.parts.get(part)?.as_str(), operator.as_str())))
        })
    }

    /// A part of an operator, counted among all.
    const fn among_all(&self, operator: usize, part: usize) -> usize {
        match self.kind {
            StudyKind::Nested => operator * self.parts_each() + part,
            _ => part,
        }
    }

    /// The known size of a part.
    pub fn reference_of(&self, part: &str) -> Option<&Entered> {
        match self.kind {
            StudyKind::Linearity => {
                let at = self.parts.iter().position(|known| known == part)?;
                self.references.get(at)
            }
            _ => self.reference.as_ref(),
        }
    }
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct StudyReading {
    pub operator: String,
    pub part: String,
    /// From 1.
    pub trial: usize,
    pub at: Timestamp,
    pub reading: Entered,
    /// What was read before and taken again.
    pub earlier: Vec<Entered>,
    /// Why it was left, where it looked like a mistake.
    pub left: Option<String>,
}

/// A study that was run.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    pub plan: StudyPlan,
    pub instrument: Instrument,
    pub contacts: Contacts,
    pub wires: Option<WireSet>,
    pub standard: Standard,
    /// What the micrometer shows.
    pub unit: LengthUnit,
    pub temperature: Option<Temperature>,
    pub zero_before: Vec<Entered>,
    pub zero_after: Vec<Entered>,
    /// In the order in which they were taken.
    pub readings: Vec<StudyReading>,
    /// The day of the first reading.
    pub on: Date,
    /// Who signed.
    pub person: String,
}

impl Study {
    /// Whether it was ended before all readings were taken.
    pub fn is_broken_off(&self) -> bool {
        self.readings.len() < self.planned()
    }

    /// How many readings were to be taken.
    pub const fn planned(&self) -> usize {
        self.plan.planned()
    }

    /// Indicated less certified on the standard, by the opening check.
    pub fn zero_error(&self) -> Length {
        zero_error(&self.zero_before, self.standard.size.value())
    }

    /// A reading as `midflank study` takes it: as it was read, and of a part of known size less the zero error.
    pub fn value_of(&self, one: &StudyReading) -> Entered {
        let zero = self.zero_error();
        if self.plan.kind.has_reference() && zero != Length::ZERO {
            Entered::of(one.reading.value() - zero, self.unit)
        } else {
            one.reading.clone()
        }
    }

    /// The readings as `midflank study` takes them.
    pub fn csv(&self) -> String {
        let has_references = self.plan.kind == StudyKind::Linearity;
        let row = |one: &StudyReading| {
            let (part, operator) = (quoted(&one.part), quoted(&one.operator));
            let value = self.value_of(one).number();
            let reference = self.plan.reference_of(&one.part);
            let reference = reference.filter(|_| has_references);
            let reference = reference.map_or_else(String::new, |size| {
                format!("{},", number_in(size, self.unit))
            });
            format!("{part},{operator},{},{reference}{value}\n", one.trial)
        };
        let head = if has_references {
            "part,operator,trial,reference,value\n"
        } else {
            "part,operator,trial,value\n"
        };
        let head = head.to_owned();
        let rows = std::iter::once(head).chain(self.readings.iter().map(row));
        rows.collect::<Vec<_>>().concat()
    }

    /// The result, by the calculation of `midflank study`; why there is none, where it refuses the readings.
    pub fn studied(&self) -> Studied {
        self.computed()
            .unwrap_or_else(|error| Studied::without(&error))
    }

    fn computed(&self) -> Result<Studied, StudyError> {
        let text = self.csv();
        let unit = Some(self.unit);
        let tolerance = self.plan.tolerance.as_ref();
        let tolerance = tolerance.map(|tolerance| in_unit(tolerance, self.unit).value());
        let reference = self.plan.reference.as_ref();
        let reference = reference.map(|reference| in_unit(reference, self.unit));
        let reference = reference.ok_or(StudyError::OneReference);
        Ok(match self.plan.kind {
            StudyKind::Repeatability | StudyKind::Nested => {
                let settings = RepeatabilitySettings {
                    tolerance,
                    unit,
                    design: match self.plan.kind {
                        StudyKind::Nested => Design::Nested,
                        _ => Design::Crossed,
                    },
                    ..RepeatabilitySettings::default()
                };
                Studied::of_repeatability(RepeatabilityDocument::read(&text, &settings)?.0)
            }
            StudyKind::Type1 => {
                let tolerance = tolerance.unwrap_or(f64::NAN);
                let settings = Type1Settings::default();
                let read = Type1Document::read(&text, reference?, tolerance, settings, unit)?;
                Studied::of_type_1(read.0)
            }
            StudyKind::Bias => {
                Studied::of_bias(BiasDocument::read(&text, reference?, CONFIDENCE, unit)?.0)
            }
            StudyKind::Linearity => {
                Studied::of_linearity(LinearityDocument::read(&text, CONFIDENCE, unit)?)
            }
        })
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        let with = self.wires.as_ref().map_or(&self.contacts.id, |one| &one.id);
        BTreeSet::from([
            Subject::new(STUDIES.0, STUDIES.1),
            Subject::new("study", self.plan.kind.key()),
            Subject::new("study-instrument", self.instrument.id.trim()),
            Subject::new("study-with", with.trim()),
        ])
    }
}

/// The mean of the closures less the certified size, to a tenth of a nanometre; nothing without closures.
fn zero_error(closures: &[Entered], certified: Length) -> Length {
    let n = closures.len() as f64;
    let sum: f64 = closures
        .iter()
        .map(|closure| (closure.value() - certified).mm())
        .sum();
    Length::nearest_mm(sum / n).unwrap_or_default()
}

/// The number of a length in a unit, as it was written where it was written in it.
fn number_in(length: &Entered, unit: LengthUnit) -> String {
    if length.unit() == unit {
        length.number().to_string()
    } else {
        in_unit(length, unit).value().to_string()
    }
}

/// A field of a table: with quotation marks where it needs them.
fn quoted(text: &str) -> String {
    if text.contains([',', '"', ';']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
