//! Attribute agreement: do people, or a person and a reference, rate alike?

use std::collections::{BTreeMap, BTreeSet};

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
        let n = pairs.len() as f64;
        let agreed = pairs.iter().filter(|(one, other)| one == other).count() as f64;
        let mut kinds: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
        for (one, other) in pairs {
            kinds.entry(one).or_default().0 += 1.0;
            kinds.entry(other).or_default().1 += 1.0;
        }
        let by_chance: f64 = kinds.values().map(|(one, other)| one * other).sum();
        Self::beyond(pairs.len(), agreed / n, by_chance / (n * n))
    }

    /// Fleiss' kappa: how many ratings of each kind each part got, as many for every part.
    ///
    /// Source: J. L. Fleiss, Psychological Bulletin 76 (1971) 378; from memory, checked by its example.
    pub fn fleiss(counts: &[Vec<usize>]) -> Result<Self, StudyError> {
        let of_part = |part: &Vec<usize>| part.iter().copied().enumerate().collect();
        let counts: Vec<BTreeMap<usize, usize>> = counts.iter().map(of_part).collect();
        Self::of_counts(&counts)
    }

    /// The same of the kinds that each part got at all.
    fn of_counts<K: Ord>(counts: &[BTreeMap<K, usize>]) -> Result<Self, StudyError> {
        let ratings: usize = counts.first().map_or(0, |part| part.values().sum());
        if ratings < 2 {
            return Err(StudyError::OneRater);
        }
        let (parts, m) = (counts.len() as f64, ratings as f64);
        let square = |count: usize| (count * count) as f64;
        let mut kinds: BTreeMap<&K, usize> = BTreeMap::new();
        for (kind, count) in counts.iter().flatten() {
            *kinds.entry(kind).or_default() += count;
        }
        let observed = counts
            .iter()
            .map(|part| {
                let squares: f64 = part.values().map(|count| square(*count)).sum();
                (squares - m) / (m * (m - 1.0))
            })
            .sum::<f64>()
            / parts;
        let share = |all: &usize| *all as f64 / (parts * m);
        let expected = kinds.values().map(|all| share(all) * share(all)).sum();
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

fn by_part(rows: &Rows) -> BTreeMap<&str, &Vec<usize>> {
    rows.iter()
        .map(|(part, rows)| (part.as_str(), rows))
        .collect()
}

/// Texts with one spelling of each: as it first came, whatever its capital letters.
fn spelled_alike(texts: Vec<String>, first: &mut BTreeMap<String, String>) -> Vec<String> {
    let alike = |text: String| first.entry(text.to_lowercase()).or_insert(text).clone();
    texts.into_iter().map(alike).collect()
}

/// A part has one reference.
fn check_references(
    table: &Table,
    parts: &[String],
    references: &[String],
) -> Result<(), StudyError> {
    let mut of_part: BTreeMap<&str, &str> = BTreeMap::new();
    for ((part, reference), line) in parts.iter().zip(references).zip(table.lines()) {
        let before = *of_part.entry(part).or_insert(reference);
        if before != reference {
            return Err(StudyError::TwoReferences {
                line,
                part: part.clone(),
                reference: reference.clone(),
                before: before.to_owned(),
            });
        }
    }
    Ok(())
}

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
        let places = self.order.iter().enumerate();
        let places: BTreeMap<&str, usize> =
            places.map(|(at, trial)| (trial.as_str(), at)).collect();
        let place = |row: &usize| places.get(self.of(*row)).copied();
        for (_, rows) in by_rater.iter_mut().flat_map(|(_, parts)| parts) {
            rows.sort_by_key(place);
        }
        let Some((first, others)) = by_rater.split_first() else {
            return Ok(());
        };
        let of_first: BTreeMap<&str, &Vec<usize>> = by_part(&first.1);
        for (rater, parts) in others {
            for (part, rows) in parts {
                let Some(wanted) = of_first.get(part.as_str()) else {
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
        let mut spellings = BTreeMap::new();
        let ratings = spelled_alike(table.texts("rating")?, &mut spellings);
        let references = table
            .has("reference")
            .then(|| table.texts("reference"))
            .transpose()?
            .map(|references| spelled_alike(references, &mut spellings));
        if let Some(references) = &references {
            check_references(&table, &parts, references)?;
        }
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
            let own = by_part(&own);
            for part in &order {
                match own.get(part.as_str()) {
                    Some(found) if found.len() == count => rows.extend(found.iter().copied()),
                    Some(found) => {
                        return Err(StudyError::UnevenRatings {
                            part: part.clone(),
                            rater,
                            n: found.len(),
                            wanted: count,
                        });
                    }
                    None => {
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
        let mut counted: BTreeMap<&str, BTreeMap<&str, usize>> = BTreeMap::new();
        for (part, rating) in parts.iter().zip(&ratings) {
            let of_part = counted.entry(part).or_default();
            *of_part.entry(rating).or_default() += 1;
        }
        let counts: Vec<BTreeMap<&str, usize>> = order
            .iter()
            .filter_map(|part| counted.remove(part.as_str()))
            .collect();
        let unanimous = counts.iter().filter(|part| part.len() == 1).count();
        Ok(Self {
            pairs,
            to_reference,
            all: (rows_of.len() > 1)
                .then(|| Kappa::of_counts(&counts))
                .transpose()?,
            unanimous: (unanimous, order.len()),
        })
    }
}
