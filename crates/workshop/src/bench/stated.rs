//! A size with its limits in one line, as a drawing says it: `shank 8.90 to 8.95 mm`, `tube wall 2.50 ± 0.20 mm`,
//! `wall at least 1.2 mm`, `journal 12 -0.01 -0.03 mm`.

use metrology::designation;
use metrology::inspection::{Characteristic, FeatureKind};
use metrology::thread::ThreadError;
use metrology::units::{Entered, LengthUnit};

use super::event::Stated;
use super::input;
use super::refusal::{Refusal, Refused};
use crate::job_file::{self, Given, Section};

/// Reads a line that states limits; none where it does not, and may be a thread.
pub fn read(line: &str) -> Result<Option<Stated>, Refusal> {
    let spaced = spaced(line);
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let Some((name, mut section)) = limits(&words, None)? else {
        return match FeatureKind::named(line) {
            Some(kind) if kind.is_from_sheet() => Err(Refusal::new(Refused::LimitsOfSheetMissing)),
            Some(kind) => Err(Refusal::new(Refused::LimitsMissing {
                name: kind.key().replace('-', " "),
            })),
            None => match without_limits(&words) {
                Some(kind) if kind.of_sheet => Err(Refusal::new(Refused::LimitsOfSheetMissing)),
                Some(kind) => Err(Refusal::new(Refused::LimitsMissing { name: kind.name })),
                None => Ok(None),
            },
        };
    };
    let feature = feature_in(&name);
    if !name.is_empty() {
        section.insert("name", Given::text(name.join(" ")));
    }
    match measured(None, section)? {
        Characteristic::Stated { name, lower, upper } => Ok(Some(Stated {
            feature: feature.map(|kind| kind.key().to_owned()),
            name,
            lower,
            upper,
        })),
        _ => Ok(None),
    }
}

/// What is named with numbers that are no limits.
struct Named {
    name: String,
    /// Its limits are those of a sheet.
    of_sheet: bool,
}

/// The shortest word that names a size: `pin`. Shorter ones begin a thread.
const SHORTEST_NAME: usize = 3;

/// `shank 8.9`, `tube wall 2.05 0.15 mm`: words of letters, then numbers and units alone. None of a thread, whose number has a sign
/// of one (`UNC 1/4-20`) or whose words begin one.
fn without_limits(words: &[&str]) -> Option<Named> {
    let is_word = |word: &&&str| word.chars().all(|c| c.is_alphabetic() || c == '-');
    let letters = words.iter().take_while(is_word).count();
    let (name, sizes) = words.split_at_checked(letters)?;
    let is_size = |word: &&str| {
        let digits = word.trim_start_matches(['+', '-']);
        let number = digits.trim_end_matches(char::is_alphabetic);
        let unit = digits.get(number.len()..).unwrap_or_default();
        let is_plain = number
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
        is_unit(word) || (is_number(number) && is_plain && (unit.is_empty() || is_unit(unit)))
    };
    let named = name
        .iter()
        .any(|word| word.chars().count() >= SHORTEST_NAME);
    let is_named = named && !sizes.is_empty() && sizes.iter().all(is_size);
    if !is_named || input::NO_NAMES.contains(&name.first()?.to_lowercase().as_str()) {
        return None;
    }
    let feature = feature_in(name);
    Some(Named {
        name: name.join(" "),
        of_sheet: feature.is_some_and(FeatureKind::is_from_sheet),
    })
}

/// A line with every sign of a tolerance as a word of its own.
pub fn spaced(line: &str) -> String {
    line.replace("+/-", " ± ")
        .replace("+-", " ± ")
        .replace('±', " ± ")
        .replace('\u{2212}', "-")
}

/// Reads a thread with more than its designation: limits of the drawing's own (`M10x1.5-6g 8.90 to 8.95 mm`), the plane of a
/// taper thread (`1/2-14 NPT at 8.1 mm`), or both, the plane last. None where the line is another.
pub fn thread(line: &str) -> Result<Option<Characteristic>, Refusal> {
    let (rest, plane) = match plane_at_end(line) {
        Some((rest, plane)) => (rest, Some(plane)),
        None => (line, None),
    };
    let (named, mut section) = match read(rest) {
        Ok(Some(stated)) => (stated.name.clone(), section(&stated)),
        _ if plane.is_some() => (rest.to_owned(), Section::new()),
        _ => return Ok(None),
    };
    let (designation, diameter) = match input::diameter_at_end(&named) {
        Some((designation, diameter)) => (designation.trim(), Some(diameter)),
        None => (named.as_str(), None),
    };
    if designation::parse(designation).is_err() {
        return Ok(None);
    }
    section.remove("name");
    section.insert("designation", Given::text(designation));
    if let Some(diameter) = diameter {
        section.insert("diameter", Given::text(diameter.key()));
    }
    if let Some(plane) = plane {
        section.insert("plane", Given::text(plane));
    }
    measured(None, section).map(Some)
}

/// What stands behind the last `at` where that is a plane, and the line before it.
pub fn plane_at_end(line: &str) -> Option<(&str, String)> {
    let words = format!(" {} ", input::AT);
    let (before, plane) = line.rsplit_once(&words)?;
    let words: Vec<&str> = plane.split_whitespace().collect();
    let is_bound = words
        .first()
        .is_some_and(|word| input::BOUNDS.iter().any(|(bound, _)| bound == word));
    let plane = number(&words).unwrap_or_else(|| words.join("-"));
    (!is_bound).then(|| (before.trim(), plane))
}

/// The section `measure` that says the same as what was stated.
pub fn section(stated: &Stated) -> Section {
    let mut section = Section::new();
    if !stated.name.is_empty() {
        section.insert("name", Given::text(&stated.name));
    }
    for (key, limit) in [("lower", &stated.lower), ("upper", &stated.upper)] {
        if let Some(limit) = limit {
            let text = format!("{}{}", limit.number(), limit.unit());
            section.insert(key, Given::Text(text));
        }
    }
    section
}

/// What such a section measures, by the builder of jobs.
pub fn measured(unit: Option<LengthUnit>, section: Section) -> Result<Characteristic, Refusal> {
    let mut job = Section::new();
    if let Some(unit) = unit {
        job.insert("unit", Given::text(unit.to_string()));
    }
    job.insert("measure", Given::Section(section));
    Ok(job_file::measured(&job)?)
}

/// The feature that a name begins or ends with: `tube wall`, `circlip groove`.
pub fn feature_in(name: &[&str]) -> Option<FeatureKind> {
    let parts = |range: std::ops::Range<usize>| name.get(range).map(|words| words.join(" "));
    let longest = 0..name.len();
    longest
        .clone()
        .map(|cut| parts(0..name.len() - cut))
        .chain(longest.map(|cut| parts(cut..name.len())))
        .flatten()
        .find_map(|words| FeatureKind::named(&words))
}

/// The name, and the keys of a `[measure]` section that hold the limits; a bare size with deviations is in the unit.
pub fn limits<'a>(
    words: &[&'a str],
    unit: Option<LengthUnit>,
) -> Result<Option<(Vec<&'a str>, Section)>, Refusal> {
    let two = |first: (&str, &str), second: (&str, &str)| -> Section {
        let with_unit = |text: &str, other: &str| match (unit_of(text), unit_of(other)) {
            (None, Some(unit)) => format!("{text}{unit}"),
            _ => text.to_owned(),
        };
        let mut keys = Section::new();
        keys.insert(first.0, Given::Text(with_unit(first.1, second.1)));
        keys.insert(second.0, Given::Text(with_unit(second.1, first.1)));
        keys
    };
    for (at, word) in words.iter().enumerate() {
        let keys = match word.to_lowercase().as_str() {
            input::TO => ("lower", "upper"),
            "±" => ("nominal", "tolerance"),
            _ => continue,
        };
        if let (Some((name, first)), Some(second)) =
            (number_at_end(&words[..at]), number(&words[at + 1..]))
        {
            let keys = two((keys.0, &first), (keys.1, &second));
            return Ok(Some((name.to_vec(), keys)));
        }
    }
    if let Some((name, text, least)) = one_bound(words) {
        let key = if least { "lower" } else { "upper" };
        let mut keys = Section::new();
        keys.insert(key, Given::Text(text));
        return Ok(Some((name.to_vec(), keys)));
    }
    deviations(words, unit)
}

/// `at least 1.2 mm`, `min 1.2mm`, `1.2 mm max`.
fn one_bound<'a, 'b>(words: &'b [&'a str]) -> Option<(&'b [&'a str], String, bool)> {
    let bound = |word: &str| {
        let word = word.to_lowercase();
        input::BOUNDS
            .iter()
            .find(|(name, _)| *name == word)
            .map(|(_, least)| *least)
    };
    if let Some((last, before)) = words.split_last()
        && let (Some(least), Some((name, text))) = (bound(last), number_at_end(before))
    {
        return Some((name, text, least));
    }
    words.iter().enumerate().find_map(|(at, word)| {
        let (least, text) = (bound(word)?, number(&words[at + 1..])?);
        let before = &words[..at];
        let name = match before.split_last() {
            Some((last, name)) if last.eq_ignore_ascii_case(input::AT) => name,
            _ => before,
        };
        Some((name, text, least))
    })
}

/// `12 -0.01 -0.03 mm`: nominal size with both deviations.
fn deviations<'a>(
    words: &[&'a str],
    unit: Option<LengthUnit>,
) -> Result<Option<(Vec<&'a str>, Section)>, Refusal> {
    let signed = |word: &str| word.starts_with(['+', '-']) || word == "0";
    let found = words
        .windows(2)
        .position(|pair| signed(pair[0]) && signed(pair[1]) && pair != ["0", "0"]);
    let Some(at) = found else {
        return Ok(None);
    };
    let (Some((name, nominal)), Some(last)) =
        (number_at_end(&words[..at]), number(&words[at + 1..]))
    else {
        return Ok(None);
    };
    let unit = unit_of(&last).or_else(|| unit_of(&nominal)).or(unit);
    let entered = |text: &str| Entered::parse(text, unit).map_err(|error| Refusal::said(&error));
    let (nominal, one, other) = (entered(&nominal)?, entered(words[at])?, entered(&last)?);
    let unit = nominal.unit();
    let decimals = [&nominal, &one, &other].map(Entered::decimals);
    let decimals = decimals.into_iter().max().unwrap_or_default();
    let mut limits = [one, other].map(|off| nominal.value() + off.value());
    limits.sort_unstable();
    let mut keys = Section::new();
    for (key, limit) in ["lower", "upper"].into_iter().zip(limits) {
        let text = format!("{}{unit}", limit.to_fixed(unit, decimals));
        keys.insert(key, Given::Text(text));
    }
    Ok(Some((name.to_vec(), keys)))
}

fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | ','))
        && word.contains(|c: char| c.is_ascii_digit())
}

fn is_unit(word: &str) -> bool {
    word.parse::<LengthUnit>().is_ok()
}

/// The unit that a length is written with.
fn unit_of(length: &str) -> Option<LengthUnit> {
    let unit = length
        .trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-'));
    unit.trim().parse().ok()
}

/// A length that is all there is.
fn number(words: &[&str]) -> Option<String> {
    match number_at_end(words)? {
        ([], text) => Some(text),
        _ => None,
    }
}

/// A length at the end, and what stands before it.
fn number_at_end<'a, 'b>(words: &'b [&'a str]) -> Option<(&'b [&'a str], String)> {
    match words {
        [before @ .., number, unit] if is_unit(unit) && is_number(number) => {
            Some((before, format!("{number}{unit}")))
        }
        [before @ .., number] if is_number(number) => Some((before, (*number).to_owned())),
        _ => None,
    }
}

/// What is wrong with a name that looks like a designation and is none: as a plain size it would lose its thread.
pub fn mistyped_thread(name: &str) -> Option<ThreadError> {
    designation::parse(name)
        .err()
        .filter(|_| looks_like_a_thread(name))
}

/// Whether a name is more likely a designation with a mistake than what a drawing calls a size: letters and a number, or a
/// fraction, with a sign of a thread behind it.
fn looks_like_a_thread(name: &str) -> bool {
    let first = name.split_whitespace().next().unwrap_or_default();
    let behind = first.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let letters = first.len() - behind.len();
    let digits = behind.starts_with(|c: char| c.is_ascii_digit());
    let sign = behind.contains(['x', 'X', '×', '-', '/']);
    digits && letters <= 2 && (sign || letters > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mistyped_designation_with_limits_is_no_plain_size() {
        for name in ["M10x1.5-6q", "1/4-20 UNC-2X", "Tr40x7-9z"] {
            assert!(mistyped_thread(name).is_some(), "{name}");
        }
        for name in ["shank", "M10x1.5-6g", "collar width", ""] {
            assert!(mistyped_thread(name).is_none(), "{name}");
        }
    }

    fn said(line: &str) -> (Option<String>, String, [Option<String>; 2]) {
        let stated = read(line).unwrap().unwrap();
        let text = |limit: Option<Entered>| limit.map(|limit| limit.text().to_owned());
        (
            stated.feature,
            stated.name,
            [text(stated.lower), text(stated.upper)],
        )
    }

    #[test]
    fn limits_as_drawings_write_them() {
        for (line, feature, name, lower, upper) in [
            ("shank 8,90 to 8,95 mm", "", "shank", "8,90mm", "8,95mm"),
            ("8.90 mm to 8.95 mm", "", "", "8.90mm", "8.95mm"),
            (
                "tube wall 2.5 ± 0.20 mm",
                "tube-wall",
                "tube wall",
                "2.30mm",
                "2.70mm",
            ),
            ("wall at least 1.2 mm", "tube-wall", "wall", "1.2mm", ""),
            ("boss 3.2 mm max", "", "boss", "", "3.2mm"),
            (
                "journal 12 -0.01 -0.03 mm",
                "",
                "journal",
                "11.97mm",
                "11.99mm",
            ),
            ("pin 0.2500 0 -0.0005 in", "", "pin", "0.2495in", "0.2500in"),
            (
                "crimp 1.45 +/- 0.05mm",
                "crimp-height",
                "crimp",
                "1.40mm",
                "1.50mm",
            ),
            (
                "circlip groove 13.69 to 13.80 mm",
                "groove-diameter",
                "circlip groove",
                "13.69mm",
                "13.80mm",
            ),
            (
                "groove width 5.95 to 6.05 mm",
                "groove-width",
                "groove width",
                "5.95mm",
                "6.05mm",
            ),
        ] {
            let (found, called, [least, most]) = said(line);
            assert_eq!(found.unwrap_or_default(), feature, "{line}");
            assert_eq!(called, name, "{line}");
            assert_eq!(least.unwrap_or_default(), lower, "{line}");
            assert_eq!(most.unwrap_or_default(), upper, "{line}");
        }
    }

    /// A size without limits is told as that, and not as a thread.
    #[test]
    fn a_size_without_limits_wants_them() {
        for (line, name) in [
            ("shank 8.9", "shank"),
            ("groove 13.7", "groove"),
            ("tube wall 2.05", "tube wall"),
            ("tube wall 2.05 0.15 mm", "tube wall"),
            ("pin 6mm", "pin"),
            ("boss 3,2", "boss"),
        ] {
            let refused = read(line).unwrap_err().why.message;
            assert_eq!(refused.code, "bench.limits-missing", "{line}");
            let Some(metrology::message::Value::Text(named)) = refused.value("name") else {
                panic!("{refused:?}");
            };
            assert_eq!(named, name, "{line}");
        }
        let crimp = read("crimp 1.45").unwrap_err().why.message;
        assert_eq!(crimp.code, "bench.limits-missing-crimp");
        for thread in [
            "M 10",
            "Tr 40 7",
            "UNC 1/4-20",
            "unc 10 24",
            "G 1/2",
            "NPT 1/2",
            "M10 1.5",
            "8.93",
            "lot 7",
        ] {
            assert_eq!(read(thread).unwrap(), None, "{thread}");
        }
    }

    #[test]
    fn what_states_no_limits_is_left_to_others() {
        assert_eq!(read("M10x1.5-6g").unwrap(), None);
        assert_eq!(read("1/4-20 UNC-2A").unwrap(), None);
        let crimp = read("crimp").unwrap_err().why.message;
        assert_eq!(crimp.code, "bench.limits-missing-crimp");
        let no_unit = read("shank 8.90 to 8.95").unwrap_err().why.message;
        assert_eq!(no_unit.code, "entry.no-unit");
    }
}
