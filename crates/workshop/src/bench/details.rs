//! What has to be known of a feature beside its limits, asked one thing at a time.
//!
//! What is asked is the feature's own table. The answers become the section that a job file would have (`measure.tube-wall`),
//! value by value, so that the bench and the file know the same features and refuse the same mistakes.

use metrology::features::{Ask, Asked, Holds, Key, Named, find};
use metrology::inspection::{Characteristic, FeatureKind};
use metrology::units::{Entered, LengthUnit};

use super::event::{Answers, Stated};
use super::input;
use super::refusal::{Refusal, Refused};
use super::stated;
use crate::job_file::{Given, Section};

/// How a thread was made: not asked of it beforehand, and no part of a section.
pub const MADE: &str = "made";
/// What the part is made of, where no temperatures were read.
pub const MATERIAL: &str = "material";
/// Where readings of a part are taken along it.
pub const SECTIONS: &str = "sections";

/// The fewest readings that a list may end with.
const FEWEST: usize = 3;

/// One thing that is asked of a feature.
#[derive(Clone, Copy, Debug)]
pub struct Detail {
    pub kind: FeatureKind,
    pub asked: &'static Asked,
}

impl PartialEq for Detail {
    fn eq(&self, other: &Self) -> bool {
        (self.kind, self.asked.key) == (other.kind, other.asked.key)
    }
}

impl Eq for Detail {}

impl Detail {
    /// The key that is answered, or the name of the question.
    pub const fn key(&self) -> &'static str {
        self.asked.key
    }

    /// Whether Enter alone passes it over.
    pub const fn optional(&self) -> bool {
        self.asked.optional
    }

    /// Whether it goes on until Enter alone.
    pub fn is_list(&self) -> bool {
        self.holds(|holds| matches!(holds, Holds::Lengths | Holds::Texts))
    }

    /// What there is to choose from, where one of few is meant.
    pub fn choices(&self) -> Option<&'static [&'static str]> {
        match self.asked.ask {
            Ask::Value => choices(find(self.kind.keys(), self.asked.key)?),
            _ => None,
        }
    }

    fn holds(&self, what: impl Fn(Holds) -> bool) -> bool {
        let key = find(self.kind.keys(), self.asked.key);
        matches!(self.asked.ask, Ask::Value) && key.is_some_and(|key| what(key.holds))
    }
}

/// What there is to choose from.
const fn choices(key: &Key) -> Option<&'static [&'static str]> {
    match key.holds {
        Holds::Code(codes, _) => Some(codes),
        Holds::Text if !key.known.is_empty() => Some(key.known),
        _ => None,
    }
}

/// All that may be asked of a feature, in order.
pub fn of(feature: &str) -> impl Iterator<Item = Detail> {
    FeatureKind::of(feature)
        .into_iter()
        .flat_map(|kind| kind.asked().iter().map(move |asked| Detail { kind, asked }))
}

/// What is to be asked next; none when all is known.
pub fn next(feature: &str, answers: &Answers) -> Option<Detail> {
    of(feature).find(|detail| {
        let done = answers.get(detail.key()).is_some_and(|said| said.done);
        !done && is_asked(detail, answers)
    })
}

fn is_asked(detail: &Detail, answers: &Answers) -> bool {
    match detail.asked.when {
        None => true,
        Some((key, wanted)) => answers
            .get(key)
            .filter(|said| !said.text.is_empty())
            .is_some_and(|said| wanted.is_empty() || wanted.contains(&said.text.as_str())),
    }
}

/// Takes an answer, or says what would be one; none passes it over, or ends a list.
pub fn take(
    detail: Detail,
    line: &str,
    unit: LengthUnit,
    answers: &Answers,
) -> Result<Option<String>, Refusal> {
    let line = line.trim();
    if line.is_empty() {
        let said = answers.get(detail.key()).map_or("", |said| &said.text);
        if detail.is_list() {
            let count = said.split_whitespace().count();
            // No text is an answer too: this part was not pulled.
            let fewest = if detail.holds(|holds| matches!(holds, Holds::Texts)) {
                0
            } else {
                FEWEST
            };
            return if count < fewest {
                Err(Refusal::new(Refused::ListTooShort { count, n: fewest }))
            } else {
                Ok(None)
            };
        }
        return if detail.optional() {
            Ok(None)
        } else {
            Err(Refusal::new(Refused::AnswerMissing))
        };
    }
    let mut table = Section::new();
    put(&mut table, detail, line, unit)?;
    uncertain_within_reason(detail, line, unit, answers)?;
    // A choice is kept by its name, whatever it was chosen by.
    Ok(Some(match detail.choices() {
        Some(choices) => chosen(choices, line)?.to_owned(),
        None if detail.holds(|holds| matches!(holds, Holds::Texts)) => forces(line).join(" "),
        None => line.to_owned(),
    }))
}

/// The largest part of a size that its uncertainty may be: a size typed twice is caught (a proposal, no source).
const UNCERTAIN_PART: i64 = 10;

/// An uncertainty is held against the size that it is of.
fn uncertain_within_reason(
    detail: Detail,
    line: &str,
    unit: LengthUnit,
    answers: &Answers,
) -> Result<(), Refusal> {
    let of = detail.key().strip_suffix("_uncertainty");
    let Some(said) = of.and_then(|of| answers.get(of)) else {
        return Ok(());
    };
    let (size, uncertainty) = (entered(&said.text, unit)?, entered(line, unit)?);
    let part = size.value().tenth_nanometres() / UNCERTAIN_PART;
    if uncertainty.value().tenth_nanometres() > part {
        return Err(Refusal::new(Refused::UncertaintyTooLarge {
            uncertainty: line.to_owned(),
            size: said.text.clone(),
        }));
    }
    Ok(())
}

/// What is measured, once all is known.
pub fn characteristic(stated: &Stated, answers: &Answers) -> Result<Characteristic, Refusal> {
    let mut section = stated::section(stated);
    let Some(feature) = &stated.feature else {
        return stated::measured(Some(stated.unit()), section);
    };
    let mut table = Section::new();
    for detail in of(feature) {
        let said = answers.get(detail.key()).map_or("", |said| &said.text);
        if !said.is_empty() && is_asked(&detail, answers) {
            put(&mut table, detail, said, stated.unit())?;
        }
    }
    let keys = FeatureKind::of(feature).map_or(&[][..], FeatureKind::keys);
    for key in keys {
        if let Holds::Section(within, _) = key.holds {
            finish(&mut table, key, within)?;
        }
    }
    section.insert(feature, Given::Section(table));
    stated::measured(Some(stated.unit()), section)
}

/// A section within, of which all is told now: without a list that it needs it was passed over, and of two limits both are
/// told or none.
fn finish(table: &mut Section, key: &Key, within: &'static [Key]) -> Result<(), Refusal> {
    let Some(section) = table.section_mut(key.name) else {
        return Ok(());
    };
    for bounds in within {
        if matches!(bounds.holds, Holds::Bounds(_)) {
            let [lower, upper] = [0, 1].map(|bound| section.remove(&bound_of(bounds.name, bound)));
            match (lower, upper) {
                (None, None) => {}
                (Some(lower), Some(upper)) => {
                    section.insert(bounds.name, Given::List(vec![lower, upper]));
                }
                _ => return Err(Refusal::new(Refused::OneOfTwoLimits)),
            }
        }
    }
    let is_list = |key: &&Key| key.needed && matches!(key.holds, Holds::Lengths | Holds::Texts);
    if within
        .iter()
        .filter(is_list)
        .any(|list| !section.has(list.name))
    {
        table.remove(key.name);
    }
    Ok(())
}

/// The key that one of two bounds waits under for the other.
fn bound_of(name: &str, bound: usize) -> String {
    format!("{name} {bound}")
}

/// Puts an answer where it belongs.
fn put(table: &mut Section, detail: Detail, text: &str, unit: LengthUnit) -> Result<(), Refusal> {
    let keys = detail.kind.keys();
    match detail.asked.ask {
        Ask::Value => put_value(table, keys, detail.key(), None, text, unit),
        Ask::Named(all) => put_named(table, keys, all, text, unit),
        Ask::Told(_, read) => {
            let (key, text) = read(text).map_err(|wrong| Refusal::said(&wrong))?;
            table.insert(key, Given::Text(text));
            Ok(())
        }
        Ask::Sections => sections(text, unit).map(|_| ()),
    }
}

/// Puts a value under the key of a path, of bounds both: `75 to 90`.
pub fn put_path(
    table: &mut Section,
    keys: &'static [Key],
    path: &str,
    text: &str,
    unit: LengthUnit,
) -> Result<(), Refusal> {
    let Some(key) = find(keys, path).filter(|key| matches!(key.holds, Holds::Bounds(_))) else {
        return put_value(table, keys, path, None, text, unit);
    };
    let words = text.split_whitespace();
    let words = words.filter(|word| !word.eq_ignore_ascii_case(input::TO));
    let both = words
        .map(|word| value(key, word, unit))
        .collect::<Result<Vec<_>, _>>()?;
    let section = match path.split_once('.') {
        Some((outer, _)) => table.begin(outer),
        None => Some(table),
    };
    if let Some(section) = section {
        section.insert(key.name, Given::List(both));
    }
    Ok(())
}

/// Puts a value under the key of a path; of two bounds one where it says which.
fn put_value(
    table: &mut Section,
    keys: &'static [Key],
    path: &str,
    bound: Option<usize>,
    text: &str,
    unit: LengthUnit,
) -> Result<(), Refusal> {
    let Some(key) = find(keys, path) else {
        return Ok(());
    };
    let value = value(key, text, unit)?;
    let name = bound.map_or_else(|| key.name.to_owned(), |bound| bound_of(key.name, bound));
    match path.split_once('.') {
        Some((outer, _)) => {
            if let Some(section) = table.begin(outer) {
                section.insert(&name, value);
            }
        }
        None => table.insert(&name, value),
    }
    Ok(())
}

/// A value as it stands under its key.
fn value(key: &Key, text: &str, unit: LengthUnit) -> Result<Given, Refusal> {
    if let Some(choices) = choices(key) {
        return Ok(Given::text(chosen(choices, text)?));
    }
    Ok(match key.holds {
        Holds::Length => Given::Text(length(text, unit)?),
        Holds::Number(_) | Holds::Bounds(_) => Given::Number(format!("{:?}", plain(text)?)),
        Holds::Count(_) => {
            let count: i64 = text.parse().map_err(|_| {
                Refusal::new(Refused::NoCount {
                    text: text.to_owned(),
                })
            })?;
            Given::Number(count.to_string())
        }
        Holds::Lengths => Given::List(
            lengths(text)
                .iter()
                .map(|text| length(text, unit).map(Given::Text))
                .collect::<Result<_, _>>()?,
        ),
        Holds::Texts => checked(key, text)?,
        Holds::Text if key.check.is_some() => match checked(key, text)? {
            Given::List(mut all) if all.len() == 1 => all.remove(0),
            other => other,
        },
        _ => Given::text(text),
    })
}

/// Texts that each have their unit, and that the key has nothing against.
fn checked(key: &Key, text: &str) -> Result<Given, Refusal> {
    let all = forces(text);
    if let Some(check) = key.check {
        for one in &all {
            check(one).map_err(|wrong| Refusal::said(&wrong))?;
        }
    }
    Ok(Given::List(all.into_iter().map(Given::Text).collect()))
}

/// `ovality 0.005 mm, taper 0.010 mm`.
fn put_named(
    table: &mut Section,
    keys: &'static [Key],
    all: &'static [Named],
    text: &str,
    unit: LengthUnit,
) -> Result<(), Refusal> {
    for item in text.replace(", ", ";").split(';').map(str::trim) {
        let lower = item.to_lowercase();
        let found = all
            .iter()
            .filter(|named| {
                lower
                    .strip_prefix(named.word)
                    .is_some_and(|rest| rest.starts_with(char::is_whitespace))
            })
            .max_by_key(|named| named.word.len());
        let Some(named) = found else {
            let known: Vec<&str> = all.iter().map(|named| named.word).collect();
            return Err(Refusal::new(Refused::NoSuchName {
                text: item.to_owned(),
                known: known.join(", "),
            }));
        };
        let value = item.get(named.word.len()..).unwrap_or_default().trim();
        put_value(table, keys, named.key, named.bound, value, unit)?;
    }
    Ok(())
}

/// A length with its unit written out.
fn length(text: &str, unit: LengthUnit) -> Result<String, Refusal> {
    let entered = entered(text, unit)?;
    Ok(format!("{}{}", entered.number(), entered.unit()))
}

fn entered(text: &str, unit: LengthUnit) -> Result<Entered, Refusal> {
    Entered::parse(text, Some(unit)).map_err(|error| Refusal::said(&error))
}

fn plain(text: &str) -> Result<f64, Refusal> {
    text.trim_end_matches(['%', '°', ' '])
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|number: &f64| number.is_finite())
        .ok_or_else(|| {
            Refusal::new(Refused::NotANumber {
                text: text.to_owned(),
            })
        })
}

/// By its number in the list, its name, or a part of the name that no other has.
pub fn chosen(choices: &[&'static str], text: &str) -> Result<&'static str, Refusal> {
    let said = text.trim().to_lowercase().replace(' ', "-");
    let by_number = said
        .parse::<usize>()
        .ok()
        .and_then(|number| choices.get(number.checked_sub(1)?));
    let mut part = choices.iter().filter(|choice| choice.contains(&said));
    let only = part.next().filter(|_| part.next().is_none());
    choices
        .iter()
        .find(|choice| **choice == said)
        .or(by_number)
        .or(only)
        .copied()
        .ok_or_else(|| {
            Refusal::new(Refused::NoSuchChoice {
                text: text.to_owned(),
                known: choices.join(", "),
            })
        })
}

/// Lengths apart from each other, each with the unit behind it: `5 30 55 mm`, `0.012 mm 0.013 mm`.
fn lengths(text: &str) -> Vec<String> {
    joined(text, |word| word.parse::<LengthUnit>().is_ok())
}

/// Forces apart from each other, each with its unit: `112 N 26.1lbf`.
fn forces(text: &str) -> Vec<String> {
    joined(text, |word| word.starts_with(char::is_alphabetic))
}

/// Words, with a unit that stands alone put to the number before it.
fn joined(text: &str, is_unit: impl Fn(&str) -> bool) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in text.split(|c: char| c.is_whitespace() || c == ';') {
        // A comma behind a value parts it from the next.
        let word = word.trim_end_matches(',');
        match all.last_mut() {
            Some(number) if is_unit(word) => number.push_str(word),
            _ if word.is_empty() => {}
            _ => all.push(word.to_owned()),
        }
    }
    all
}

/// Distances along the part, in words of a place: `5 mm`, `30 mm`.
pub fn sections(text: &str, unit: LengthUnit) -> Result<Vec<String>, Refusal> {
    let all = lengths(text)
        .iter()
        .map(|text| {
            let entered = entered(text, unit)?;
            Ok(format!("{} {}", entered.number(), entered.unit()))
        })
        .collect::<Result<Vec<_>, Refusal>>()?;
    let mut different = all.clone();
    different.sort();
    different.dedup();
    if all.len() < 2 || different.len() < all.len() {
        return Err(Refusal::new(Refused::SectionsWanted));
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Said;
    use metrology::inspection::Feature;

    fn taken(feature: &str, line: &str, answered: &[&str]) -> Result<Characteristic, Refusal> {
        let stated = stated::read(line)?.unwrap();
        assert_eq!(stated.feature.as_deref(), Some(feature));
        let mut answers = Answers::new();
        let mut lines = answered.iter();
        while let Some(detail) = next(feature, &answers) {
            let line = lines
                .next()
                .unwrap_or_else(|| panic!("{} is asked", detail.key()));
            let text = take(detail, line, stated.unit(), &answers)?;
            let said = answers.entry(detail.key().to_owned()).or_default();
            said.done = !detail.is_list() || text.is_none();
            said.text = format!("{} {}", said.text, text.unwrap_or_default());
            said.text = said.text.trim().to_owned();
        }
        assert_eq!(lines.next(), None);
        characteristic(&stated, &answers)
    }

    /// Every feature, from the line that names it to the job's characteristic.
    #[test]
    fn every_feature_can_be_told_line_by_line() {
        for (feature, line, answers) in [
            (
                "plain-diameter",
                "plain diameter 11.973 to 12.000 mm",
                &["5 30 55", "ovality 0.010, taper 0.012 mm"][..],
            ),
            (
                "tube-wall",
                "tube wall 2.5 ± 0.2 mm",
                &["14.0", "run-out 0,20 mm; percent 10; by run-out-over-mean"],
            ),
            (
                "inside-diameter",
                "inside 14.0 ± 0.1 mm",
                &["19.02", "2 um"],
            ),
            ("bore-to-flat", "web 8.00 ± 0.03 mm", &["16"]),
            (
                "groove-diameter",
                "circlip groove 13.69 to 13.80 mm",
                &["1.10", "root radius 0.10, land 14.985"],
            ),
            ("undercut", "undercut 9.4 ± 0.1 mm", &["2", ""]),
            (
                "groove-width",
                "groove width 6.00 ± 0.05 mm",
                &["0.7004", "0.6998", "1um"],
            ),
            ("land", "land 4.0 ± 0.1 mm", &["1.3"]),
            (
                "keyseat",
                "keyseat 20.8 to 21.0 mm",
                &["1", "24.98", "4um", "8.01", "10um"],
            ),
            (
                "lobed-shaft",
                "lobed 11.98 to 12.00 mm",
                &[
                    "3",
                    "60",
                    "1",
                    "7.012 7.018",
                    "7.010 7.020",
                    "",
                    "roundness 0.01",
                ],
            ),
            (
                "soft-thickness",
                "soft sheet 2.0 ± 0.2 mm",
                &["under", "20", "5", "0.2", "5", ""],
            ),
            (
                "crimp-height",
                "crimp 1.45 ± 0.05 mm",
                &["AS-2207 ed. 4", "awg 18", "", ""],
            ),
            (
                "crimp-height",
                "crimp 1.45 ± 0.05 mm",
                &[
                    "AS-2207",
                    "0,75 mm²",
                    "ul-486a",
                    "112 N 26.1lbf",
                    "108N",
                    "",
                    "uncertainty 0.5",
                    "1",
                    "1.31",
                    "0.80",
                    "width 1.9, at least 75, at most 90",
                ],
            ),
        ] {
            match taken(feature, line, answers) {
                Ok(Characteristic::Feature { feature: made, .. }) => {
                    assert_eq!(made.key(), feature, "{line}");
                    if let Feature::CrimpHeight(crimp) = *made
                        && let Some(pull) = crimp.pull
                    {
                        assert_eq!(pull.forces, ["112N", "26.1lbf", "108N"]);
                        assert_eq!(
                            crimp.compression.unwrap().limits_percent,
                            Some([75.0, 90.0])
                        );
                    }
                }
                other => panic!("{line}: {other:?}"),
            }
        }
    }

    #[test]
    fn mistakes_are_told_where_they_are_made() {
        for (feature, line, answers, part) in [
            (
                "crimp-height",
                "crimp 1.45 ± 0.05 mm",
                &["sheet", "awg 57"][..],
                "57",
            ),
            (
                "crimp-height",
                "crimp 1.45 ± 0.05 mm",
                &["sheet", "18"],
                "wire-wanted",
            ),
            (
                "keyseat",
                "keyseat 20.8 to 21.0 mm",
                &[""],
                "answer-missing",
            ),
            (
                "keyseat",
                "keyseat 20.8 to 21.0 mm",
                &["deep"],
                "depth-from-crown",
            ),
            (
                "tube-wall",
                "tube wall 2.5 ± 0.2 mm",
                &["14 furlongs"],
                "furlongs",
            ),
            (
                "tube-wall",
                "tube wall 2.5 ± 0.2 mm",
                &["14", "wobble 3"],
                "run-out",
            ),
            (
                "lobed-shaft",
                "lobed 11.98 to 12.00 mm",
                &["three"],
                "no-count",
            ),
            (
                "lobed-shaft",
                "lobed 11.98 to 12.00 mm",
                &["3", "60", "1", "7.01", ""],
                "list-too-short",
            ),
            (
                "lobed-shaft",
                "lobed 11.98 to 12.00 mm",
                &["3", "180", "1", "7.01 7.02 7.03", "", ""],
                "179",
            ),
        ] {
            let message = format!("{:?}", taken(feature, line, answers).unwrap_err());
            assert!(message.contains(part), "{line}: {message}");
        }
    }

    proptest::proptest! {
        /// Whatever is typed, it is an answer or a sentence.
        #[test]
        fn any_answer_is_judged(
            line in "(\\PC{0,20}|(-?[0-9]{1,9}[.,]?[0-9]{0,6} ?(mm|in|um|N|lbf|AWG|%)?[ ,;]{0,2}(ovality|run-out|by|least)? ?){1,4})",
            first in "[a-z ]{0,12} ?(min|max|at least)? ?[0-9.,+-]{1,8} ?(to|±|-)? ?[0-9.,+-]{0,8} ?(mm|in)?",
        ) {
            let _ = stated::read(&first);
            let stated = stated::read("tube wall 2.5 ± 0.2 mm").unwrap().unwrap();
            for feature in FeatureKind::EVERY.iter().map(|kind| kind.key()) {
                for detail in of(feature) {
                    if let Ok(Some(text)) = take(detail, &line, LengthUnit::Millimetre, &Answers::new()) {
                        let said = Said { text, done: true };
                        let answers = Answers::from([(detail.key().to_owned(), said)]);
                        let stated = Stated { feature: Some(feature.to_owned()), ..stated.clone() };
                        let _ = characteristic(&stated, &answers);
                    }
                }
            }
        }
    }
}
