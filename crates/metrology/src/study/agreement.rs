//! Attribute agreement: do people, or a person and a reference, rate alike?

use std::collections::BTreeSet;

use super::error::StudyError;
use super::groups::grouped;
use super::table::Table;

/// Agreement beyond what chance gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kappa {
    /// How many pairs of ratings, or parts with several raters.
    pub n: usize,
    /// Part of them that agrees.
    pub observed: f64,
    /// Part that would agree by chance.
    pub expected: f64,
    /// (observed − expected)/(1 − expected): 1 for full agreement, 0 for chance.
    pub kappa: f64,
}

/// Two whose ratings are compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreeing {
    /// One of them.
    pub one: String,
    /// The other; `None` for the reference.
    pub other: Option<String>,
    /// Cohen's kappa.
    pub kappa: Kappa,
}

/// Result of an agreement study.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreement {
    /// Rater against rater.
    pub pairs: Vec<Agreeing>,
    /// Rater against reference, where there is one.
    pub to_reference: Vec<Agreeing>,
    /// All raters together (Fleiss); `None` of one rater.
    pub all: Option<Kappa>,
    /// How many parts every rater rated alike in all trials, and how many parts there are.
    pub unanimous: (usize, usize),
}

/// The rows of each rater, part by part, in the order of the trials where they are known.
fn by_rater(
    parts: &[String],
    raters: Vec<String>,
    trials: Option<&Trials>,
) -> Result<Vec<(String, Rows)>, StudyError> {
    let rows = (0..parts.len()).collect();
    let mut by_rater: Vec<(String, Rows)> = grouped(raters, rows)
        .into_iter()
        .map(|(rater, rows)| {
            let own = rows.iter().filter_map(|row| parts.get(*row).cloned());
            (rater, grouped(own.collect(), rows))
        })
        .collect();
    if let Some(trials) = trials {
        trials.sort(&mut by_rater)?;
    }
    Ok(by_rater)
}

impl Kappa {
    /// Cohen's kappa of paired ratings.
    ///
    /// Source: J. Cohen, Educational and Psychological Measurement 20 (1960) 37; from memory, checked by published tables.
    pub fn cohen(pairs: &[(&str, &str)]) -> Result<Self, StudyError> {
        let mut kinds: Vec<&str> = pairs
            .iter()
            .flat_map(|(one, other)| [*one, *other])
            .collect();
        kinds.sort_unstable();
        kinds.dedup();
        let n = pairs.len() as f64;
        let agreed = pairs.iter().filter(|(one, other)| one == other).count() as f64;
        let by_chance: f64 = kinds
            .iter()
            .map(|kind| {
                let one = pairs.iter().filter(|(one, _)| one == kind).count() as f64;
                let other = pairs.iter().filter(|(_, other)| other == kind).count() as f64;
                one * other
            })
            .sum();
        Self::beyond(pairs.len(), agreed / n, by_chance / (n * n))
    }

    /// Fleiss' kappa: how many ratings of each kind each part got, as many for every part.
    ///
    /// Source: J. L. Fleiss, Psychological Bulletin 76 (1971) 378; from memory, checked by its example.
    pub fn fleiss(counts: &[Vec<usize>]) -> Result<Self, StudyError> {
        let ratings: usize = counts.first().map_or(0, |part| part.iter().sum());
        if ratings < 2 {
            return Err(StudyError::OneRater);
        }
        let (parts, m) = (counts.len() as f64, ratings as f64);
        let square = |count: usize| (count * count) as f64;
        let observed = counts
            .iter()
            .map(|part| {
                let squares: f64 = part.iter().map(|count| square(*count)).sum();
                (squares - m) / (m * (m - 1.0))
            })
            .sum::<f64>()
            / parts;
        let kinds = counts.first().map_or(0, Vec::len);
        let expected = (0..kinds)
            .map(|kind| {
                let all: usize = counts.iter().filter_map(|part| part.get(kind)).sum();
                let share = all as f64 / (parts * m);
                share * share
            })
            .sum();
        Self::beyond(counts.len(), observed, expected)
    }

    fn beyond(n: usize, observed: f64, expected: f64) -> Result<Self, StudyError> {
        let kappa = (observed - expected) / (1.0 - expected);
        if !kappa.is_finite() {
            return Err(StudyError::OneRating);
        }
        Ok(Self {
            n,
            observed,
            expected,
            kappa,
        })
    }
}

/// The rows of one rater, by part.
type Rows = Vec<(String, Vec<usize>)>;

/// Texts, each once, in the order in which they first came.
fn in_order(texts: &[String]) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let first = texts.iter().filter(|text| seen.insert(text.as_str()));
    first.cloned().collect()
}

/// In which trial each row was rated.
struct Trials {
    of_rows: Vec<String>,
    order: Vec<String>,
}

impl Trials {
    fn read(table: &Table, parts: &[String], raters: &[String]) -> Result<Self, StudyError> {
        let of_rows = table.texts("trial")?;
        if let Some((row, line)) = table.repeated([parts, raters, &of_rows]) {
            let at = |column: &[String]| column.get(row).cloned().unwrap_or_default();
            return Err(StudyError::DoubledRating {
                line,
                part: at(parts),
                rater: at(raters),
                trial: at(&of_rows),
            });
        }
        let order = in_order(&of_rows);
        Ok(Self { of_rows, order })
    }

    fn of(&self, row: usize) -> &str {
        self.of_rows.get(row).map_or("", String::as_str)
    }

    /// Puts the rows of each part in the order of the trials, which are the same for every rater.
    fn sort(&self, by_rater: &mut [(String, Rows)]) -> Result<(), StudyError> {
        let place = |row: &usize| self.order.iter().position(|trial| trial == self.of(*row));
        for (_, rows) in by_rater.iter_mut().flat_map(|(_, parts)| parts) {
            rows.sort_by_key(place);
        }
        let Some((first, others)) = by_rater.split_first() else {
            return Ok(());
        };
        for (rater, parts) in others {
            for (part, rows) in parts {
                let Some((_, wanted)) = first.1.iter().find(|(name, _)| name == part) else {
                    continue;
                };
                let trials = |rows: &[usize]| -> BTreeSet<&str> {
                    rows.iter().map(|row| self.of(*row)).collect()
                };
                let (own, wanted) = (trials(rows), trials(wanted));
                let missing = |rater: &str, trial: &&str| StudyError::MissingTrial {
                    part: part.clone(),
                    rater: rater.to_owned(),
                    trial: (*trial).to_owned(),
                };
                if let Some(trial) = wanted.difference(&own).next() {
                    return Err(missing(rater, trial));
                }
                if let Some(trial) = own.difference(&wanted).next() {
                    return Err(missing(&first.0, trial));
                }
            }
        }
        Ok(())
    }
}

impl Agreement {
    /// From the columns `part`, `rater`, `rating`, and `reference` and `trial` where there are such. Ratings of one trial are held
    /// against each other; without trials those of a rater are taken in the order of the rows.
    pub fn read(text: &str) -> Result<Self, StudyError> {
        let table = Table::read(text, &["part", "rater", "rating"])?;
        let (parts, raters) = (table.texts("part")?, table.texts("rater")?);
        let ratings = table.texts("rating")?;
        let references = table
            .has("reference")
            .then(|| table.texts("reference"))
            .transpose()?;
        let order = in_order(&parts);
        let trials = table
            .has("trial")
            .then(|| Trials::read(&table, &parts, &raters))
            .transpose()?;
        let by_rater = by_rater(&parts, raters, trials.as_ref())?;
        let count = by_rater
            .first()
            .and_then(|(_, parts)| parts.first())
            .map_or(0, |(_, rows)| rows.len());
        let mut rows_of: Vec<(String, Vec<usize>)> = Vec::new();
        for (rater, own) in by_rater {
            let mut rows = Vec::new();
            for part in &order {
                match own.iter().find(|(name, _)| name == part) {
                    Some((_, found)) if found.len() == count => rows.extend(found),
                    _ => {
                        return Err(StudyError::MissingRating {
                            part: part.clone(),
                            rater,
                        });
                    }
                }
            }
            rows_of.push((rater, rows));
        }
        if rows_of.len() < 2 && references.is_none() {
            return Err(StudyError::OneRater);
        }
        let rating = |row: &usize| ratings.get(*row).map_or("", String::as_str);
        let mut pairs = Vec::new();
        let mut to_reference = Vec::new();
        for (index, (one, rows)) in rows_of.iter().enumerate() {
            for (other, others) in rows_of.iter().skip(index + 1) {
                let paired: Vec<_> = rows
                    .iter()
                    .map(rating)
                    .zip(others.iter().map(rating))
                    .collect();
                pairs.push(Agreeing {
                    one: one.clone(),
                    other: Some(other.clone()),
                    kappa: Kappa::cohen(&paired)?,
                });
            }
            if let Some(references) = &references {
                let reference = |row: &usize| references.get(*row).map_or("", String::as_str);
                let paired: Vec<_> = rows
                    .iter()
                    .map(rating)
                    .zip(rows.iter().map(reference))
                    .collect();
                to_reference.push(Agreeing {
                    one: one.clone(),
                    other: None,
                    kappa: Kappa::cohen(&paired)?,
                });
            }
        }
        let mut kinds: Vec<&str> = ratings.iter().map(String::as_str).collect();
        kinds.sort_unstable();
        kinds.dedup();
        let counts: Vec<Vec<usize>> = order
            .iter()
            .map(|part| {
                let of = |kind: &&str| {
                    let both = parts.iter().zip(&ratings);
                    both.filter(|(own, rating)| own == &part && rating.as_str() == *kind)
                        .count()
                };
                kinds.iter().map(of).collect()
            })
            .collect();
        let unanimous = counts
            .iter()
            .filter(|part| part.iter().filter(|count| **count > 0).count() == 1)
            .count();
        Ok(Self {
            pairs,
            to_reference,
            all: (rows_of.len() > 1)
                .then(|| Kappa::fleiss(&counts))
                .transpose()?,
            unanimous: (unanimous, order.len()),
        })
    }
}
