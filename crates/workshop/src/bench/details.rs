//! What has to be known of a feature beside its limits, asked one thing at a time.
//!
//! The answers become the section that a job file would have (`measure.tube-wall`), value by value, so that
//! the bench and the file know the same features and refuse the same mistakes.

use metrology::features::{pull_force, wire_size};
use metrology::inspection::Characteristic;
use metrology::units::{Entered, LengthUnit};

use super::event::{Answers, Stated};
use super::refusal::{Refusal, Refused};
use super::stated;
use crate::job_file::{Given, Section};

/// One thing that is asked.
#[derive(Debug, PartialEq, Eq)]
pub struct Detail {
    /// Its key in the section of the feature; a point leads into a section within.
    pub key: &'static str,
    pub kind: Kind,
    /// Whether Enter alone passes it over.
    pub optional: bool,
    /// Whether it is another for every part, and asked again with the next.
    pub of_each_part: bool,
    /// Asked only where this earlier answer is one of these, or is given at all where none is named.
    when: Option<(&'static str, &'static [&'static str])>,
}

/// What an answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Length,
    Number,
    Count,
    /// One of these.
    Choice(&'static [&'static str]),
    Words,
    /// The conductor of a crimp: `AWG 18`, `AWG 22 19/34` or `0.75 mm²`.
    Wire,
    /// Readings, one or many a line, until Enter alone.
    Readings,
    /// Forces, one or many a line, until Enter alone.
    Forces,
    /// Any of these, named: `ovality 0.005 mm, taper 0.010 mm`.
    Named(&'static [Named]),
    /// Distances along the part; they tell where readings are taken and are no part of the section.
    Sections,
}

/// A thing that is named in the answer.
#[derive(Debug, PartialEq, Eq)]
pub struct Named {
    pub key: &'static str,
    pub word: &'static str,
    pub kind: Kind,
}

/// The fewest readings that a list may end with.
const FEWEST: usize = 3;

const fn detail(key: &'static str, kind: Kind) -> Detail {
    Detail {
        key,
        kind,
        optional: false,
        of_each_part: false,
        when: None,
    }
}

impl Detail {
    const fn optional(self) -> Self {
        Self {
            optional: true,
            ..self
        }
    }

    const fn of_each_part(self) -> Self {
        Self {
            of_each_part: true,
            ..self
        }
    }

    const fn when(self, key: &'static str, is: &'static [&'static str]) -> Self {
        Self {
            when: Some((key, is)),
            ..self
        }
    }

    /// Whether it goes on until Enter alone.
    pub const fn is_list(&self) -> bool {
        matches!(self.kind, Kind::Readings | Kind::Forces)
    }
}

const fn named(key: &'static str, word: &'static str, kind: Kind) -> Named {
    Named { key, word, kind }
}

/// How a thread was made: not asked of it beforehand, and no part of a section.
pub const MADE: &str = "made";
/// What the part is made of, where no temperatures were read.
pub const MATERIAL: &str = "material";
/// Where readings of a plain diameter are taken along it.
pub const SECTIONS: &str = "sections";

const PLAIN_DIAMETER: &[Detail] = &[
    detail(SECTIONS, Kind::Sections).optional(),
    detail(
        "limits",
        Kind::Named(&[
            named("ovality_limit", "ovality", Kind::Length),
            named("taper_limit", "taper", Kind::Length),
            named("barrel_limit", "barrel", Kind::Length),
        ]),
    )
    .optional(),
];
const TUBE_WALL: &[Detail] = &[
    detail("bore", Kind::Length),
    detail(
        "limits",
        Kind::Named(&[
            named("run_out_limit", "run-out", Kind::Length),
            named("eccentricity_limit", "eccentricity", Kind::Length),
            named("percent_limit", "percent", Kind::Number),
            named(
                "definition",
                "by",
                Kind::Choice(&["run-out-over-sum", "run-out-over-mean", "least-over-most"]),
            ),
        ]),
    )
    .optional(),
];
const INSIDE_DIAMETER: &[Detail] = &[
    detail("outside_diameter", Kind::Length).of_each_part(),
    detail("outside_diameter_uncertainty", Kind::Length),
];
const BORE_TO_FLAT: &[Detail] = &[detail("bore", Kind::Length)];
const GROOVE: &[Detail] = &[
    detail("width", Kind::Length),
    detail(
        "sizes",
        Kind::Named(&[
            named("root_radius", "root radius", Kind::Length),
            named("wall_angle", "wall angle", Kind::Number),
            named("depth", "depth", Kind::Length),
            named("land_diameter", "land", Kind::Length),
        ]),
    )
    .optional(),
];
const GROOVE_WIDTH: &[Detail] = &[
    detail("anvil_disc", Kind::Length),
    detail("spindle_disc", Kind::Length),
    detail("disc_uncertainty", Kind::Length),
];
const LAND: &[Detail] = &[detail("groove_width", Kind::Length)];
const KEYSEAT: &[Detail] = &[
    detail(
        "convention",
        Kind::Choice(&[
            "bottom-to-opposite-side",
            "depth-from-crown",
            "depth-from-edge",
        ]),
    ),
    detail("shaft_diameter", Kind::Length).of_each_part(),
    detail("shaft_diameter_uncertainty", Kind::Length),
    detail("width", Kind::Length).of_each_part(),
    detail("width_uncertainty", Kind::Length),
];
const LOBED_SHAFT: &[Detail] = &[
    detail("lobes", Kind::Count),
    detail("v_angle", Kind::Number),
    detail("v_scale", Kind::Choice(&["distance", "diameter"])),
    detail("v_readings", Kind::Readings).of_each_part(),
    detail(
        "limits",
        Kind::Named(&[named("roundness_limit", "roundness", Kind::Length)]),
    )
    .optional(),
];
const SOFT_THICKNESS: &[Detail] = &[
    detail("thickness", Kind::Choice(&["free", "under-pressure"])),
    detail("pressure_kpa", Kind::Number).when("thickness", &["under-pressure"]),
    detail("modulus_mpa", Kind::Number),
    detail("modulus_relative_limit", Kind::Number),
    detail("dwell_seconds", Kind::Number),
    detail(
        "sizes",
        Kind::Named(&[named("creep", "creep", Kind::Length)]),
    )
    .optional(),
];
const CRIMP_HEIGHT: &[Detail] = &[
    detail("sheet", Kind::Words),
    detail("wire", Kind::Wire),
    detail("pull.standard", Kind::Choice(&pull_force::STANDARDS)).optional(),
    detail("pull.forces", Kind::Forces)
        .when("pull.standard", &[])
        .of_each_part(),
    detail(
        "pull.sizes",
        Kind::Named(&[
            named("pull.wire_strength", "wire strength", Kind::Forces),
            named("pull.standard_uncertainty_n", "uncertainty", Kind::Number),
        ]),
    )
    .when("pull.standard", &[])
    .optional(),
    detail(
        "compression.definition",
        Kind::Choice(&["conductor-and-barrel", "conductor"]),
    )
    .optional(),
    detail("compression.area_after_mm2", Kind::Number)
        .when("compression.definition", &[])
        .of_each_part(),
    detail("compression.barrel_area_mm2", Kind::Number)
        .when("compression.definition", &["conductor-and-barrel"]),
    detail(
        "compression.sizes",
        Kind::Named(&[
            named("compression.width_mm", "width", Kind::Number),
            named("compression.conductor_area_mm2", "conductor", Kind::Number),
            named("least", "at least", Kind::Number),
            named("most", "at most", Kind::Number),
        ]),
    )
    .when("compression.definition", &[])
    .optional(),
];

/// All that may be asked of a feature, in order.
pub fn of(feature: &str) -> &'static [Detail] {
    match feature {
        "plain-diameter" => PLAIN_DIAMETER,
        "tube-wall" => TUBE_WALL,
        "inside-diameter" => INSIDE_DIAMETER,
        "bore-to-flat" => BORE_TO_FLAT,
        "groove-diameter" | "undercut" => GROOVE,
        "groove-width" => GROOVE_WIDTH,
        "land" => LAND,
        "keyseat" => KEYSEAT,
        "lobed-shaft" => LOBED_SHAFT,
        "soft-thickness" => SOFT_THICKNESS,
        "crimp-height" => CRIMP_HEIGHT,
        _ => &[],
    }
}

/// What is to be asked next; none when all is known.
pub fn next(feature: &str, answers: &Answers) -> Option<&'static Detail> {
    of(feature).iter().find(|detail| {
        let done = answers.get(detail.key).is_some_and(|said| said.done);
        !done && is_asked(detail, answers)
    })
}

fn is_asked(detail: &Detail, answers: &Answers) -> bool {
    match detail.when {
        None => true,
        Some((key, wanted)) => answers
            .get(key)
            .filter(|said| !said.text.is_empty())
            .is_some_and(|said| wanted.is_empty() || wanted.contains(&said.text.as_str())),
    }
}

/// Takes an answer, or says what would be one; none passes it over, or ends a list.
pub fn take(
    detail: &'static Detail,
    line: &str,
    unit: LengthUnit,
    answers: &Answers,
) -> Result<Option<String>, Refusal> {
    let line = line.trim();
    if line.is_empty() {
        let said = answers.get(detail.key).map_or("", |said| &said.text);
        if detail.is_list() {
            let count = said.split_whitespace().count();
            // No force is an answer too: this part was not pulled.
            let fewest = if detail.kind == Kind::Forces {
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
        return if detail.optional {
            Ok(None)
        } else {
            Err(Refusal::new(Refused::AnswerMissing))
        };
    }
    let mut table = Section::new();
    put(&mut table, detail.key, detail.kind, line, unit)?;
    // A choice is kept by its name, whatever it was chosen by.
    Ok(Some(match detail.kind {
        Kind::Choice(choices) => chosen(choices, line)?.to_owned(),
        Kind::Forces => forces(line).join(" "),
        _ => line.to_owned(),
    }))
}

/// What is measured, once all is known.
pub fn characteristic(stated: &Stated, answers: &Answers) -> Result<Characteristic, Refusal> {
    let mut section = stated::section(stated);
    let Some(feature) = &stated.feature else {
        return stated::measured(Some(stated.unit()), section);
    };
    let mut table = Section::new();
    for detail in of(feature) {
        let said = answers.get(detail.key).map_or("", |said| &said.text);
        if !said.is_empty() && is_asked(detail, answers) {
            put(&mut table, detail.key, detail.kind, said, stated.unit())?;
        }
    }
    let pull = table.section_mut("pull");
    if pull.is_some_and(|pull| !pull.has("forces")) {
        table.remove("pull");
    }
    if let Some(compression) = table.section_mut("compression") {
        limits_of_compression(compression)?;
    }
    section.insert(feature, Given::Section(table));
    stated::measured(Some(stated.unit()), section)
}

/// Both limits of a ratio, or none.
fn limits_of_compression(table: &mut Section) -> Result<(), Refusal> {
    match (table.remove("least"), table.remove("most")) {
        (None, None) => Ok(()),
        (Some(least), Some(most)) => {
            let both = Given::List(vec![least, most]);
            table.insert("limits_percent", both);
            Ok(())
        }
        _ => Err(Refusal::new(Refused::BothLimitsOfCompression)),
    }
}

/// Puts an answer under its key.
fn put(
    table: &mut Section,
    key: &str,
    kind: Kind,
    text: &str,
    unit: LengthUnit,
) -> Result<(), Refusal> {
    if let Some((outer, inner)) = key.split_once('.') {
        return match table.begin(outer) {
            Some(section) => put(section, inner, kind, text, unit),
            None => Ok(()),
        };
    }
    let value = match kind {
        Kind::Sections => {
            sections(text, unit)?;
            return Ok(());
        }
        Kind::Named(all) => return put_named(table, all, text, unit),
        Kind::Wire => {
            let (key, size) = wire(text)?;
            table.insert(key, Given::Text(size));
            return Ok(());
        }
        Kind::Length => Given::Text(length(text, unit)?),
        Kind::Number => Given::Number(format!("{:?}", plain(text)?)),
        Kind::Count => {
            let count: i64 = text.parse().map_err(|_| {
                Refusal::new(Refused::NoCount {
                    text: text.to_owned(),
                })
            })?;
            Given::Number(count.to_string())
        }
        Kind::Choice(choices) => Given::text(chosen(choices, text)?),
        Kind::Words => Given::text(text),
        Kind::Readings => Given::List(
            lengths(text)
                .iter()
                .map(|text| length(text, unit).map(Given::Text))
                .collect::<Result<_, _>>()?,
        ),
        Kind::Forces => {
            let forces = forces(text);
            for force in &forces {
                pull_force::force(force).map_err(|error| Refusal::said(&error))?;
            }
            match forces.as_slice() {
                [one] if key == "wire_strength" => Given::text(one),
                _ => Given::List(forces.into_iter().map(Given::Text).collect()),
            }
        }
    };
    table.insert(key, value);
    Ok(())
}

/// `ovality 0.005 mm, taper 0.010 mm`.
fn put_named(
    table: &mut Section,
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
        let key = named.key.rsplit('.').next().unwrap_or(named.key);
        put(table, key, named.kind, value, unit)?;
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

/// The key of a conductor's size, and the size.
fn wire(text: &str) -> Result<(&'static str, String), Refusal> {
    let said = text.trim().to_lowercase();
    let area = ["mm²", "mm2"]
        .iter()
        .find_map(|unit| said.strip_suffix(unit))
        .map(|area| area.trim().replace(',', "."));
    if let Some(area) = area {
        wire_size::area(&area).map_err(|error| Refusal::said(&error))?;
        return Ok(("mm2", area));
    }
    // No area has a stroke, and none is solid.
    let gauge = said.strip_prefix("awg").or_else(|| {
        Some(said.as_str()).filter(|said| said.contains('/') || said.ends_with("solid"))
    });
    match gauge {
        Some(gauge) => {
            let gauge = gauge.trim().to_owned();
            wire_size::conductor(&gauge).map_err(|error| Refusal::said(&error))?;
            Ok(("awg", gauge))
        }
        None => Err(Refusal::new(Refused::WireWanted {
            text: text.to_owned(),
        })),
    }
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
    use crate::job_file;
    use metrology::inspection::Feature;

    fn taken(feature: &str, line: &str, answered: &[&str]) -> Result<Characteristic, Refusal> {
        let stated = stated::read(line)?.unwrap();
        assert_eq!(stated.feature.as_deref(), Some(feature));
        let mut answers = Answers::new();
        let mut lines = answered.iter();
        while let Some(detail) = next(feature, &answers) {
            let line = lines
                .next()
                .unwrap_or_else(|| panic!("{} is asked", detail.key));
            let text = take(detail, line, stated.unit(), &answers)?;
            let said = answers.entry(detail.key.to_owned()).or_default();
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
            for (feature, _) in job_file::NAMES {
                for detail in of(feature) {
                    if let Ok(Some(text)) = take(detail, &line, LengthUnit::Millimetre, &Answers::new()) {
                        let said = Said { text, done: true };
                        let answers = Answers::from([(detail.key.to_owned(), said)]);
                        let stated = Stated { feature: Some(feature.to_owned()), ..stated.clone() };
                        let _ = characteristic(&stated, &answers);
                    }
                }
            }
        }
    }
}
