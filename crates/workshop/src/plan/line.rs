//! One characteristic as it is typed in a line, or stands in a row of a table: what the drawing says, and behind semicolons
//! what goes with it, each by the key that a plan in TOML has for it.
//!
//! ```text
//! M10x1.5-6g
//! M10x1.5-6g 8.71 to 8.83; origin before plating, note 4
//! 1/2-14 NPT at 8.1 mm; plane within 0.5 mm
//! wall of the bush 2.05 ± 0.15; bore 9.9
//! free of burrs; edition ISO 13715:2017
//! ```

use metrology::designation;
use metrology::features::{Ask, Holds, Key};
use metrology::inspection::{FeatureKind, ThreadDiameter};
use metrology::message::Say;
use metrology::units::{EntryError, LengthUnit};

use super::mistake::Mistake;
use crate::bench::{Refusal, Refused, details, input, stated};
use crate::inspection_plan::{Class, PlanError, Way};
use crate::job_file::{Given, Section, Wrong};

/// A characteristic as it is typed. What is empty is left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// The row that it stands in, from 1.
    pub row: usize,
    pub number: String,
    /// What the drawing says.
    pub requirement: String,
    /// Where it is measured, with semicolons or bars between the positions.
    pub places: String,
    pub way: String,
    pub class: String,
    /// What stands in columns of its own, by their keys.
    pub more: Vec<(String, String)>,
}

/// The column and field of what the drawing says.
pub const REQUIREMENT: &str = "requirement";
/// The other columns that every line has; the number is needed.
pub const NUMBER: &str = "number";
pub const PLACES: &str = "places";
pub const WAY: &str = "way";
pub const CLASS: &str = "class";

/// Keys of a characteristic beside what is measured.
const OF_CHARACTERISTIC: [&str; 3] = ["edition", "gauge", "says"];
const OF_DECISION: [&str; 3] = ["rule", "parameter", "agreed"];
/// Keys of what is measured.
const OF_MEASURE: [&str; 10] = [
    "name",
    "lower",
    "upper",
    "nominal",
    "tolerance",
    "diameter",
    "scope",
    "origin",
    "plane",
    "plane_within",
];
/// Keys of a coating: the first is its thickness.
const OF_COATING: [&str; 3] = ["coating", "state", "limits_hold"];
/// Which feature it is, where its name does not say.
const FEATURE: &str = "feature";
/// The word for no feature, of a size whose name says otherwise.
pub const NO_FEATURE: &str = "none";
/// What is meant by a line that is not measured: a gauge may show limits.
const MEASURE: &str = "measure";

/// Every key of a line but those of features.
pub fn keys() -> impl Iterator<Item = &'static str> {
    OF_CHARACTERISTIC
        .into_iter()
        .chain(OF_DECISION)
        .chain(OF_MEASURE)
        .chain(OF_COATING)
        .chain([FEATURE, MEASURE])
}

/// The keys of a feature, those of a section within by `SECTION.KEY`.
pub fn keys_of(kind: FeatureKind) -> Vec<String> {
    fn all(keys: &'static [Key], before: &str) -> Vec<String> {
        let mut names = Vec::new();
        for key in keys {
            match key.holds {
                Holds::Section(within, _) => names.extend(all(within, &format!("{}.", key.name))),
                _ => names.push(format!("{before}{}", key.name)),
            }
        }
        names
    }
    all(kind.keys(), "")
}

/// A key as it may be typed: small letters, with a blank for each sign between words.
pub fn plain(key: &str) -> String {
    key.trim()
        .to_lowercase()
        .replace(['_', '-', '.'], " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Something said beside what the drawing says, and the column where it stands.
struct Part {
    column: String,
    text: String,
}

impl Part {
    /// The key that it begins with, the longest where several fit, and what stands behind it.
    fn named<'a>(&self, keys: impl Iterator<Item = &'a str>) -> Option<(&'a str, &str)> {
        let found = keys.filter_map(|key| Some((key, value_of(&self.text, key)?)));
        found.max_by_key(|(key, _)| key.len())
    }
}

/// What stands behind a key, with or without an equals sign or a colon.
fn value_of<'a>(text: &'a str, key: &str) -> Option<&'a str> {
    let text = text.trim();
    let (start, rest) = text.split_at_checked(key.len())?;
    let same = start.chars().zip(key.chars()).all(|(one, other)| {
        let sign = |c: char| if matches!(c, '_' | '-' | '.') { ' ' } else { c };
        sign(one.to_ascii_lowercase()) == sign(other)
    });
    let ends =
        rest.is_empty() || rest.starts_with(|c: char| c.is_whitespace() || c == '=' || c == ':');
    (same && ends).then(|| rest.trim().trim_start_matches(['=', ':']).trim())
}

/// What a line comes to: the section that a plan in TOML has for it, and what is wrong. Without a way that is known nothing
/// of what is measured is read.
pub struct Read {
    pub section: Section,
    pub way: Option<Way>,
    pub class: Option<Class>,
    pub mistakes: Vec<Mistake>,
}

/// Reads the line at a place of the list; bare numbers are in the unit.
pub fn read(line: &Line, at: usize, unit: Option<LengthUnit>) -> Read {
    let mut reading = Reading {
        at,
        unit,
        section: Section::new(),
        measure: Section::new(),
        coating: Section::new(),
        decision: Section::new(),
        feature: Named::Nothing,
        said: Vec::new(),
        mistakes: Vec::new(),
    };
    let way = reading.code(WAY, &line.way, Way::Contacts, Way::of, Way::EVERY, Way::key);
    let class = reading.code(
        CLASS,
        &line.class,
        Class::Ordinary,
        Class::of,
        Class::EVERY,
        Class::key,
    );
    reading.number(&line.number);
    reading.places(&line.places);
    if let Some(way) = way {
        reading.characteristic(line, way);
    }
    Read {
        section: reading.finish(way, class),
        way,
        class,
        mistakes: reading.mistakes,
    }
}

/// Which feature is named by its key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    /// None: the name of the size says it.
    Nothing,
    Plain,
    Feature(FeatureKind),
}

struct Reading {
    at: usize,
    unit: Option<LengthUnit>,
    section: Section,
    measure: Section,
    coating: Section,
    decision: Section,
    feature: Named,
    /// Keys that were said.
    said: Vec<String>,
    mistakes: Vec<Mistake>,
}

impl Reading {
    fn wrong(&mut self, key: &str, what: impl Say) {
        self.mistakes.push(Mistake::new(Some(self.at), key, what));
    }

    fn refused(&mut self, key: &str, refusal: Refusal) {
        self.mistakes.push(Mistake::refused(self.at, key, refusal));
    }

    fn number(&mut self, number: &str) {
        let number = number.trim();
        if number.is_empty() {
            self.wrong(NUMBER, PlanError::NoNumber);
        }
        self.section.insert(NUMBER, Given::text(number));
    }

    /// One of a few words; the usual one where nothing is said.
    fn code<T: Copy>(
        &mut self,
        column: &'static str,
        text: &str,
        usual: T,
        of: fn(&str) -> Option<T>,
        every: &[T],
        key: fn(T) -> &'static str,
    ) -> Option<T> {
        let word = plain(text).replace(' ', "-");
        if word.is_empty() {
            return Some(usual);
        }
        let found = of(&word);
        if found.is_none() {
            let known = every.iter().map(|one| key(*one)).collect();
            let word = text.trim().to_owned();
            self.wrong(column, Wrong::UnknownWord { word, known });
        }
        found
    }

    fn places(&mut self, places: &str) {
        let all = places.split([';', '|']).map(str::trim);
        let all = all.filter(|place| !place.is_empty());
        let all: Vec<Given> = all.map(Given::text).collect();
        if !all.is_empty() {
            self.section.insert(PLACES, Given::List(all));
        }
    }

    /// What the drawing says, and what stands beside it.
    fn characteristic(&mut self, line: &Line, way: Way) {
        let (what, mut parts) = Self::parts(&line.requirement, way);
        for (key, value) in &line.more {
            if !value.trim().is_empty() {
                let text = format!("{key} {value}");
                parts.push(Part {
                    column: key.clone(),
                    text,
                });
            }
        }
        let mut of_feature = Vec::new();
        let mut measured = way.is_measured().then(|| what.clone());
        for part in parts {
            let Some((key, value)) = part.named(keys()) else {
                of_feature.push(part);
                continue;
            };
            if self.is_new(&part.column, key, value) {
                match key {
                    MEASURE => measured = Some(value.to_owned()),
                    FEATURE => self.named_feature(&part.column, value),
                    _ => self.put(key, value),
                }
            }
        }
        let (is_measured, says) = (way.is_measured(), self.section.has("says"));
        if what.is_empty() && (is_measured || !says) {
            self.wrong(REQUIREMENT, PlanError::NoRequirement);
            return;
        }
        if !is_measured && !what.is_empty() {
            if says {
                let key = "says".to_owned();
                self.wrong(REQUIREMENT, PlanError::PartTwice { key });
            }
            self.section.insert("says", Given::text(what));
        }
        let kind = match measured {
            Some(text) => self.measured(&text),
            None => None,
        };
        self.of_feature(kind, &of_feature);
    }

    /// What the drawing says, and the parts behind semicolons. What is only looked at may have semicolons of its own.
    fn parts(requirement: &str, way: Way) -> (String, Vec<Part>) {
        let mut pieces = requirement.split(';').map(str::trim);
        let mut what = pieces.next().unwrap_or_default().to_owned();
        let mut parts: Vec<Part> = Vec::new();
        for text in pieces {
            let part = Part {
                column: REQUIREMENT.to_owned(),
                text: text.to_owned(),
            };
            if text.is_empty() {
                continue;
            }
            if !way.is_measured() && parts.is_empty() && part.named(keys()).is_none() {
                what = format!("{what}; {text}");
            } else {
                parts.push(part);
            }
        }
        (what, parts)
    }

    /// Whether a key is said for the first time, with something behind it.
    fn is_new(&mut self, column: &str, key: &str, value: &str) -> bool {
        let key = key.to_owned();
        if self.said.contains(&key) {
            self.wrong(column, PlanError::PartTwice { key });
            return false;
        }
        self.said.push(key.clone());
        if value.is_empty() {
            self.wrong(column, PlanError::PartEmpty { key });
            return false;
        }
        true
    }

    fn named_feature(&mut self, column: &str, value: &str) {
        if value.eq_ignore_ascii_case(NO_FEATURE) {
            self.feature = Named::Plain;
            return;
        }
        if let Some(kind) = FeatureKind::named(value) {
            self.feature = Named::Feature(kind);
        } else {
            let known = FeatureKind::EVERY.iter().map(|kind| kind.key().to_owned());
            let known = known.chain([NO_FEATURE.to_owned()]).collect();
            let given = value.to_owned();
            self.wrong(column, PlanError::NoFeature { given, known });
        }
    }

    /// Puts a value under its key of a plan in TOML.
    fn put(&mut self, key: &str, value: &str) {
        let code = || plain(value).replace(' ', "-");
        let (section, key, value) = match key {
            "coating" => (&mut self.coating, "thickness", value.to_owned()),
            "state" | "limits_hold" => (&mut self.coating, key, code()),
            "scope" => (&mut self.measure, key, code()),
            "diameter" => {
                let value = match code().as_str() {
                    short @ ("pitch" | "major" | "minor") => format!("{short}-diameter"),
                    word => word.to_owned(),
                };
                (&mut self.measure, key, value)
            }
            "parameter" => (&mut self.decision, key, value.replace(',', ".")),
            "rule" | "agreed" => (&mut self.decision, key, value.to_owned()),
            "edition" | "says" => (&mut self.section, key, value.to_owned()),
            "gauge" => (&mut self.section, key, code()),
            _ => (&mut self.measure, key, value.to_owned()),
        };
        section.insert(key, Given::Text(value));
    }

    /// What is measured, as the bench reads it; the feature that it is of.
    fn measured(&mut self, text: &str) -> Option<FeatureKind> {
        let (name, limits) = match self.with_limits(text) {
            Ok(found) => found,
            Err(refusal) => {
                self.refused(REQUIREMENT, refusal);
                return None;
            }
        };
        if let Some(thread) = self.thread(text) {
            for (key, value) in thread {
                // What stands in a column of its own is said twice then.
                if self.measure.has(&key) {
                    self.wrong(REQUIREMENT, PlanError::PartTwice { key });
                } else {
                    self.measure.insert(&key, Given::Text(value));
                }
            }
            return None;
        }
        let has_limits = !limits.is_empty()
            || ["lower", "upper", "nominal", "tolerance"]
                .iter()
                .any(|key| self.measure.has(key));
        let words: Vec<&str> = name.split_whitespace().collect();
        let kind = match self.feature {
            Named::Feature(kind) => Some(kind),
            Named::Plain => None,
            Named::Nothing => stated::feature_in(&words),
        };
        if !has_limits {
            match kind {
                Some(kind) if kind.is_from_sheet() => {
                    self.wrong(REQUIREMENT, Refused::LimitsOfSheetMissing);
                }
                Some(kind) => {
                    let name = kind.key().replace('-', " ");
                    self.wrong(REQUIREMENT, Refused::LimitsMissing { name });
                }
                // No thread either, which is said by its designation.
                None => self.measure.insert("designation", Given::text(text)),
            }
            return kind;
        }
        if self.feature == Named::Nothing
            && kind.is_none()
            && let Some(why) = stated::mistyped_thread(&name)
        {
            self.wrong(REQUIREMENT, PlanError::NoThread { name, why });
            return None;
        }
        if !name.is_empty() && !self.measure.has("name") {
            self.measure.insert("name", Given::text(name));
        }
        for (key, value) in limits {
            if self.measure.has(&key) {
                self.wrong(REQUIREMENT, PlanError::PartTwice { key });
            } else {
                self.measure.insert(&key, Given::Text(value));
            }
        }
        kind
    }

    /// The name before limits, and the limits by their keys.
    fn with_limits(&self, text: &str) -> Result<(String, Vec<(String, String)>), Refusal> {
        let spaced = stated::spaced(text);
        let words: Vec<&str> = spaced.split_whitespace().collect();
        Ok(match stated::limits(&words, self.unit)? {
            Some((name, keys)) => (name.join(" "), keys.texts()),
            None => (text.trim().to_owned(), Vec::new()),
        })
    }

    /// The keys of a thread: its designation, which diameter, limits of the drawing's own, the plane of a taper thread.
    fn thread(&self, text: &str) -> Option<Vec<(String, String)>> {
        let at_plane = stated::plane_at_end(text)
            .and_then(|(before, plane)| Some((self.without_plane(before)?, plane)));
        if let Some((mut keys, plane)) = at_plane {
            keys.push(("plane".to_owned(), plane));
            return Some(keys);
        }
        self.without_plane(text)
    }

    fn without_plane(&self, text: &str) -> Option<Vec<(String, String)>> {
        let as_it_stands = (text.trim().to_owned(), Vec::new());
        let with_limits = self.with_limits(text).ok()?;
        [as_it_stands, with_limits]
            .into_iter()
            .find_map(|(name, mut keys)| {
                let (designation, diameter) = of_diameter(&name);
                designation::parse(designation).ok()?;
                keys.push(("designation".to_owned(), designation.to_owned()));
                let diameter = diameter.map(|one| ("diameter".to_owned(), one.key().to_owned()));
                keys.extend(diameter);
                Some(keys)
            })
    }

    /// Puts what is said of a feature into its section.
    fn of_feature(&mut self, kind: Option<FeatureKind>, parts: &[Part]) {
        let named = match self.feature {
            Named::Feature(kind) => Some(kind),
            _ => None,
        };
        let Some(kind) = kind.or(named) else {
            for part in parts {
                let known = keys().map(plain).collect();
                let text = part.text.clone();
                self.wrong(&part.column, PlanError::UnknownPart { text, known });
            }
            return;
        };
        if self.measure.has("designation") {
            let text = self.measure.texts();
            let designation = text.into_iter().find(|(key, _)| key == "designation");
            let designation = designation.map_or_else(String::new, |(_, text)| text);
            self.wrong(REQUIREMENT, PlanError::FeatureOfThread { designation });
            return;
        }
        let mut section = Section::new();
        for part in parts {
            if let Err(mistake) = self.feature_part(kind, &mut section, part) {
                self.mistakes.push(mistake);
            }
        }
        self.measure.insert(kind.key(), Given::Section(section));
    }

    fn feature_part(
        &mut self,
        kind: FeatureKind,
        section: &mut Section,
        part: &Part,
    ) -> Result<(), Mistake> {
        let names = keys_of(kind);
        let column = part.column.as_str();
        if let Some((path, value)) = part.named(names.iter().map(String::as_str)) {
            if self.is_new(column, path, value) {
                self.put_of_feature(kind, section, column, path, value)?;
            }
            return Ok(());
        }
        // The words of the bench for several values of one question: `run-out 0.2 mm`.
        let words = kind.asked().iter().flat_map(|asked| match asked.ask {
            Ask::Named(all) => all,
            _ => &[],
        });
        let words = words.filter(|named| named.bound.is_none());
        for named in words {
            if let Some((_, value)) = part.named([named.word].into_iter()) {
                if self.is_new(column, named.key, value) {
                    self.put_of_feature(kind, section, column, named.key, value)?;
                }
                return Ok(());
            }
        }
        let known = names.iter().map(|name| plain(name));
        let known = known.chain(keys().map(plain)).collect();
        let text = part.text.clone();
        let wrong = PlanError::UnknownPart { text, known };
        Err(Mistake::new(Some(self.at), column, wrong))
    }

    fn put_of_feature(
        &self,
        kind: FeatureKind,
        section: &mut Section,
        column: &str,
        path: &str,
        value: &str,
    ) -> Result<(), Mistake> {
        let refused = |refusal| Mistake::refused(self.at, column, refusal);
        let put = |section: &mut Section, unit| {
            details::put_path(section, kind.keys(), path, value, unit).map_err(refused)
        };
        if let Some(unit) = self.unit {
            return put(section, unit);
        }
        let mut other = section.clone();
        put(&mut other, LengthUnit::Inch)?;
        put(section, LengthUnit::Millimetre)?;
        if *section == other {
            return Ok(());
        }
        let text = value.to_owned();
        let wrong = EntryError::MissingUnit { text };
        Err(Mistake::new(Some(self.at), column, wrong))
    }

    fn finish(&mut self, way: Option<Way>, class: Option<Class>) -> Section {
        let mut section = std::mem::take(&mut self.section);
        if let Some(way) = way {
            section.insert(WAY, Given::text(way.key()));
        }
        if let Some(class) = class {
            section.insert(CLASS, Given::text(class.key()));
        }
        let mut measure = std::mem::take(&mut self.measure);
        if !self.coating.is_empty() {
            let coating = std::mem::take(&mut self.coating);
            measure.insert("coating", Given::Section(coating));
        }
        if !measure.is_empty() {
            section.insert(MEASURE, Given::Section(measure));
        }
        if !self.decision.is_empty() {
            let decision = std::mem::take(&mut self.decision);
            section.insert("decision", Given::Section(decision));
        }
        section
    }
}

/// The diameter at the end of a designation.
fn of_diameter(name: &str) -> (&str, Option<ThreadDiameter>) {
    if let Some((before, diameter)) = input::diameter_at_end(name) {
        return (before.trim(), Some(diameter));
    }
    let minor = ["minor diameter", "minor"].into_iter().find_map(|word| {
        let (before, end) = name.split_at_checked(name.len().checked_sub(word.len())?)?;
        end.eq_ignore_ascii_case(word).then(|| before.trim())
    });
    match minor {
        Some(before) => (before, Some(ThreadDiameter::MinorDiameter)),
        None => (name, None),
    }
}
