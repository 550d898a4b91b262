//! The trouble of the TOML reader in words for whoever wrote the file.

use std::path::Path;

use metrology::decision::Rule;
use metrology::inspection::{EccentricityDefinition, KeyseatConvention};

use super::JobFileError;
use super::typed::line_of;

/// Sections of a job file; a missing one is told as a section, not as a key.
const SECTIONS: [&str; 7] = [
    "part",
    "measure",
    "instrument",
    "contacts",
    "standard",
    "zero",
    "readings",
];

/// What is wrong with a file that is no job file, with the line it is about.
pub fn not_a_job(path: &Path, text: &str, error: &toml::de::Error) -> JobFileError {
    let line = error.span().map_or(1, |span| line_of(text, span.start));
    let shown: String = text
        .lines()
        .nth(line - 1)
        .unwrap_or_default()
        .trim()
        .chars()
        .take(60)
        .collect();
    // `part` and `standard` are sections of a job and keys of [temperature].
    let in_temperature = shown.trim_start_matches('[').starts_with("temperature");
    let (message, points_at_the_line) = plain(error.message(), in_temperature);
    JobFileError::Wrong {
        path: path.to_owned(),
        line,
        message: if points_at_the_line && !shown.is_empty() {
            format!("{message}: `{shown}`")
        } else {
            message
        },
    }
}

/// The message in plain words, and whether showing the line helps.
fn plain(message: &str, in_temperature: bool) -> (String, bool) {
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    match quoted.as_slice() {
        [section] if message.starts_with("missing field") && SECTIONS.contains(section) && !in_temperature => {
            (format!("the section [{section}] is missing; docs/job-file.md shows what belongs there"), false)
        }
        [key] if message.starts_with("missing field") => {
            (format!("the key `{key}` is missing in this section{}", choices(key)), true)
        }
        [key, known @ ..] if message.starts_with("unknown field") => {
            (format!("there is no key `{key}`; {}", instead(key, known)), false)
        }
        [word, known @ ..] if message.starts_with("unknown variant") => {
            (format!("`{word}` is not known here; {}", instead(word, known)), true)
        }
        _ if message.contains("expected f64") => {
            ("a plain number is needed here, such as 24.5, without a unit and not in quotes".to_owned(), true)
        }
        _ if message.contains("expected a boolean") => {
            ("true or false is needed here, without quotes".to_owned(), true)
        }
        _ if message.contains("expected a string") => {
            ("text is needed here, in quotes, such as \"L-12\"".to_owned(), true)
        }
        _ if message.contains("duplicate key") => {
            ("this stands twice, here for the second time; keep one of them".to_owned(), true)
        }
        _ if message.starts_with("invalid date") || message.starts_with("invalid time") => {
            let right = "this is no day or time that there is; write a day as 2027-03-01, a time as 2026-11-25T09:12:00Z";
            (right.to_owned(), true)
        }
        _ if message.contains("array of length 2") => {
            ("two values are needed here, such as [\"0\", \"25\"]".to_owned(), true)
        }
        _ if message.contains("invalid type") => (message.replace('\n', "; "), true),
        _ => (
            "this is no number or text as TOML writes it; put text, dates with points and decimal commas in quotes, and \
             close every quote and bracket"
                .to_owned(),
            true,
        ),
    }
}

/// What can stand for a key that takes one of a few words.
fn choices(key: &str) -> String {
    let list = |words: &[&str]| format!("; it is one of {}", words.join(", "));
    match key {
        "rule" => list(Rule::KEYS),
        "convention" => list(&KeyseatConvention::ALL.map(KeyseatConvention::key)),
        "definition" => list(&EccentricityDefinition::ALL.map(EccentricityDefinition::key)),
        _ => String::new(),
    }
}

/// The nearest of the known words, or all of them.
fn instead(word: &str, known: &[&str]) -> String {
    let nearest = known
        .iter()
        .min_by_key(|known| strsim::damerau_levenshtein(word, known));
    match nearest {
        Some(near) if strsim::damerau_levenshtein(word, near) <= 2 => {
            format!("did you mean `{near}`?")
        }
        _ => format!("there are {}", known.join(", ")),
    }
}
