//! The trouble of the TOML reader in words for whoever wrote the file.

use crate::say;
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
        [section]
            if message.starts_with("missing field")
                && SECTIONS.contains(section)
                && !in_temperature =>
        {
            (say!("jobfile.plain", section = section), false)
        }
        [key] if message.starts_with("missing field") => (
            say!(
                "jobfile.plain-the-key-is",
                key = key,
                choices = choices(key)
            ),
            true,
        ),
        [key, known @ ..] if message.starts_with("unknown field") => (
            say!(
                "jobfile.plain-there-is-no",
                key = key,
                instead = instead(key, known)
            ),
            false,
        ),
        [word, known @ ..] if message.starts_with("unknown variant") => (
            say!(
                "jobfile.plain-is-not-known",
                word = word,
                instead = instead(word, known)
            ),
            true,
        ),
        _ if message.contains("expected f64") => {
            (say!("jobfile.plain-a-plain-number").to_owned(), true)
        }
        _ if message.contains("expected a boolean") => {
            (say!("jobfile.plain-true-or-false").to_owned(), true)
        }
        _ if message.contains("expected a string") => {
            (say!("jobfile.plain-text-is-needed").to_owned(), true)
        }
        _ if message.contains("duplicate key") => {
            (say!("jobfile.plain-this-stands-twice").to_owned(), true)
        }
        _ if message.starts_with("invalid date") || message.starts_with("invalid time") => {
            let right = say!("jobfile.plain-this-is-no");
            (right.to_owned(), true)
        }
        _ if message.contains("array of length 2") => {
            (say!("jobfile.plain-two-values-are").to_owned(), true)
        }
        _ if message.contains("invalid type") => (message.replace('\n', "; "), true),
        _ => (say!("jobfile.plain-this-is-no-2").to_owned(), true),
    }
}

/// What can stand for a key that takes one of a few words.
fn choices(key: &str) -> String {
    let list = |words: &[&str]| say!("jobfile.choices", words = words.join(", "));
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
            say!("jobfile.instead", near = near)
        }
        _ => say!("jobfile.instead-there-are", known = known.join(", ")),
    }
}
