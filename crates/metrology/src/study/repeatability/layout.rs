//! Which operator measured which part how often.

use std::collections::BTreeSet;

use super::super::error::StudyError;
use super::super::groups::grouped;
use super::super::table::Table;
use crate::double_double::DoubleDouble;

crate::codes! {
    /// How parts and operators go together.
    pub enum Design "study-design" {
        /// Every operator measures every part.
        Crossed "crossed",
        /// Each part belongs to one operator, as where the measurement destroys it.
        Nested "nested",
    }
}

/// Readings by operator, part and trial, as many of each in every place.
#[derive(Clone, Debug)]
pub struct Layout {
    pub(super) design: Design,
    /// By operator, then by part; in a crossed study in the same order of parts.
    pub(super) cells: Vec<Vec<Vec<DoubleDouble>>>,
}

impl Layout {
    /// From the columns `part`, `operator`, `trial` and `value`.
    pub fn read(text: &str, design: Design) -> Result<Self, StudyError> {
        let table = Table::read(text, &["part", "operator", "trial", "value"])?;
        let (parts, operators) = (table.texts("part")?, table.texts("operator")?);
        let (trials, values) = (table.texts("trial")?, table.numbers("value")?);
        if let Some((row, line)) = table.repeated([&parts, &operators, &trials]) {
            let at = |column: &[String]| column.get(row).cloned().unwrap_or_default();
            return Err(StudyError::DoubledTrial {
                line,
                part: at(&parts),
                operator: at(&operators),
                trial: at(&trials),
            });
        }
        let readings = parts.into_iter().zip(values).collect();
        let by_operator: Vec<(String, Cells)> = grouped(operators, readings)
            .into_iter()
            .map(|(operator, readings)| {
                let (parts, values) = readings.into_iter().unzip();
                (operator, grouped(parts, values))
            })
            .collect();
        Self::balanced(by_operator, design)
    }

    fn balanced(by_operator: Vec<(String, Cells)>, design: Design) -> Result<Self, StudyError> {
        let Some((_, first)) = by_operator.first().cloned() else {
            return Err(StudyError::OneOperator);
        };
        let wanted = first.first().map_or(0, |(_, values)| values.len());
        let mut cells = Vec::new();
        let mut owned = BTreeSet::new();
        for (operator, parts) in &by_operator {
            for (part, values) in parts {
                if values.len() != wanted {
                    return Err(StudyError::Unbalanced {
                        part: part.clone(),
                        operator: operator.clone(),
                        n: values.len(),
                        wanted,
                    });
                }
                if design == Design::Nested && !owned.insert(part.clone()) {
                    return Err(StudyError::SharedPart { part: part.clone() });
                }
            }
            cells.push(match design {
                Design::Crossed => crossed(&by_operator, operator, parts)?,
                Design::Nested if parts.len() != first.len() => {
                    return Err(StudyError::UnevenParts {
                        operator: operator.clone(),
                        n: parts.len(),
                        wanted: first.len(),
                    });
                }
                Design::Nested => parts.iter().map(|(_, values)| values.clone()).collect(),
            });
        }
        let layout = Self { design, cells };
        if layout.operators() < 2 {
            return Err(StudyError::OneOperator);
        }
        if layout.parts() < 2 {
            return Err(StudyError::OnePart);
        }
        if layout.trials() < 2 {
            return Err(StudyError::OneTrial);
        }
        Ok(layout)
    }

    /// How many operators.
    pub fn operators(&self) -> usize {
        self.cells.len()
    }

    /// How many parts each of them measured.
    pub fn parts(&self) -> usize {
        self.cells.first().map_or(0, Vec::len)
    }

    /// How many times.
    pub fn trials(&self) -> usize {
        self.cells
            .first()
            .and_then(|parts| parts.first())
            .map_or(0, Vec::len)
    }
}

/// Readings by part.
type Cells = Vec<(String, Vec<DoubleDouble>)>;

/// The parts of one operator in the order in which the parts of all first came.
fn crossed(
    by_operator: &[(String, Cells)],
    operator: &str,
    own: &Cells,
) -> Result<Vec<Vec<DoubleDouble>>, StudyError> {
    let mut named = BTreeSet::new();
    let all = by_operator
        .iter()
        .flat_map(|(_, parts)| parts)
        .map(|(part, _)| part)
        .filter(|part| named.insert((*part).clone()));
    all.map(|part| {
        let found = own.iter().find(|(name, _)| name == part);
        found
            .map(|(_, values)| values.clone())
            .ok_or_else(|| StudyError::MissingCell {
                part: part.clone(),
                operator: operator.to_owned(),
            })
    })
    .collect()
}
