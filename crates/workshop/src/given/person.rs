//! Names of people, as far as two spellings are of one.

/// Letters of other scripts that look like Latin ones, in lower case.
const LOOKALIKES: [(char, char); 27] = [
    ('а', 'a'),
    ('в', 'b'),
    ('е', 'e'),
    ('з', '3'),
    ('и', 'u'),
    ('і', 'i'),
    ('ј', 'j'),
    ('к', 'k'),
    ('м', 'm'),
    ('н', 'h'),
    ('о', 'o'),
    ('р', 'p'),
    ('с', 'c'),
    ('т', 't'),
    ('у', 'y'),
    ('х', 'x'),
    ('ѕ', 's'),
    ('ԛ', 'q'),
    ('ԝ', 'w'),
    ('α', 'a'),
    ('ι', 'i'),
    ('κ', 'k'),
    ('ν', 'v'),
    ('ο', 'o'),
    ('ρ', 'p'),
    ('υ', 'u'),
    ('χ', 'x'),
];

/// Whether two names are spellings of one: however letters, blanks and full stops are written.
pub fn is_same_person(one: &str, other: &str) -> bool {
    let plain = |name: &str| -> String {
        let letters = name.chars().flat_map(char::to_lowercase);
        letters
            .filter(|letter| letter.is_alphanumeric())
            .map(|letter| {
                let mut known = LOOKALIKES.iter();
                let known = known.find(|(like, _)| *like == letter);
                known.map_or(letter, |(_, latin)| *latin)
            })
            .collect()
    };
    plain(one) == plain(other)
}

#[cfg(test)]
mod tests {
    use super::is_same_person;

    #[test]
    fn a_name_is_of_one_person_however_it_is_spelt() {
        let name = "A. Quill";
        for other in [
            "a. quill",
            "A.  Quill",
            "A.Quill",
            "A.\u{a0}Quill",
            "A Quill",
            "\u{410}. Quill",
        ] {
            assert!(is_same_person(name, other), "{other}");
        }
        for other in ["B. Quill", "A. Quilt", "A. Quill-Reed"] {
            assert!(!is_same_person(name, other), "{other}");
        }
    }
}
