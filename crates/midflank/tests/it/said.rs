//! Whether an output says something, asked by the code of the sentence and not by how it reads today.

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

/// Keys and sentences of the catalogue, as the program under test shows them.
static SENTENCES: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words/en");
    let mut all = Vec::new();
    let files = [folder.join("equipment"), folder.join("features"), folder]
        .into_iter()
        .flat_map(|folder| fs::read_dir(folder).unwrap())
        .map(|file| file.unwrap().path())
        .filter(|file| file.is_file());
    for file in files {
        let text = fs::read_to_string(file).unwrap();
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            if let Some((key, sentence)) = line.split_once(" = ") {
                all.push((key.trim().to_owned(), sentence.to_owned()));
            }
        }
    }
    all
});

/// Whether the sentence of `key` stands in the text, whatever its values are and wherever its lines are broken.
pub fn says(text: &str, key: &str) -> bool {
    let forms = [format!("{key}.one"), format!("{key}.page")];
    let mut sentences = SENTENCES
        .iter()
        .filter(|(known, _)| known == key || forms.contains(known))
        .peekable();
    assert!(sentences.peek().is_some(), "there is no sentence {key}");
    let text = plain(text);
    sentences.any(|(_, sentence)| holds(&text, sentence))
}

/// Whether the text says what a code says or, where this is no code, holds these words.
pub fn tells(text: &str, expected: &str) -> bool {
    let is_code = SENTENCES.iter().any(|(key, _)| key == expected);
    if is_code {
        says(text, expected)
    } else {
        text.contains(expected)
    }
}

/// Whether a result in machine-readable form has this warning.
pub fn warns(result: &serde_json::Value, code: &str) -> bool {
    let warnings = result["warnings"].as_array().unwrap();
    warnings.iter().any(|warning| {
        let own = warning["code"].as_str().unwrap();
        own.strip_prefix("warning.").unwrap_or(own) == code
    })
}

/// Fails with the text where it does not say `key`.
#[track_caller]
pub fn assert_says(text: &str, key: &str) {
    assert!(says(text, key), "does not say {key}:\n{text}");
}

/// Fails with the text where it says `key`.
#[track_caller]
pub fn assert_silent(text: &str, key: &str) {
    assert!(!says(text, key), "says {key}:\n{text}");
}

/// Whether the fixed parts of a sentence follow each other in the text.
fn holds(text: &str, sentence: &str) -> bool {
    let mut rest = text;
    for part in sentence
        .split('{')
        .map(|part| part.split_once('}').map_or(part, |(_, after)| after))
    {
        // A sentence may begin with a capital where it is shown, and end with its own stop.
        let part = plain(part.trim_end_matches('.'));
        let Some(at) = find(rest, &part) else {
            return false;
        };
        rest = &rest[at..];
    }
    true
}

/// Where `part` ends in `text`; the first letter of the part may stand as a capital.
fn find(text: &str, part: &str) -> Option<usize> {
    let mut letters = part.chars();
    let capital: String = letters
        .next()
        .map(|first| first.to_uppercase().collect::<String>() + letters.as_str())
        .unwrap_or_default();
    [part, &capital]
        .into_iter()
        .filter_map(|part| text.find(part).map(|at| at + part.len()))
        .min()
}

/// Without line breaks, marks of a page, and the accents and brackets of a disguise.
fn plain(text: &str) -> String {
    let unescaped = without_disguise(text)
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    unescaped.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the program under test said, as it says it without the disguise that these tests may be run in: the program itself
/// knows only the disguised sentences, so whatever of it depends on how one reads shows.
pub fn heard(text: String) -> String {
    if std::env::var_os("MIDFLANK_DISGUISE").is_some() {
        without_disguise(&text)
    } else {
        text
    }
}

fn without_disguise(text: &str) -> String {
    const ACCENTED: &str = "áƀçđéƒĝĥíĵķļɱñóþʠŕšţúṽŵẋýžÁɃÇĐÉƑĜĤÍĴĶĻⱮÑÓÞɊŔŠŢÚṼŴẊÝŽ";
    const PLAIN: &str = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    text.chars()
        .filter(|letter| !matches!(letter, '⟦' | '⟧'))
        .map(|letter| {
            let accented = ACCENTED.chars().position(|accented| accented == letter);
            accented
                .and_then(|index| PLAIN.chars().nth(index))
                .unwrap_or(letter)
        })
        .collect()
}
