//! The kinds of equipment that somebody means by a word of the shop. What is typed is compared with these words, and never with
//! how a kind reads on a page.

/// Words people have for a piece, and the keys of the kinds that they may mean, the likelier first.
const WORDS: &[(&str, &[&str])] = &[
    ("micrometer", &["instrument"]),
    ("micrometre", &["instrument"]),
    ("mike", &["instrument"]),
    ("mic", &["instrument"]),
    ("pair", &["contacts"]),
    ("contact", &["contacts"]),
    ("contact-pair", &["contacts"]),
    ("pair-of-contacts", &["contacts"]),
    ("measuring-contacts", &["contacts"]),
    ("anvil", &["contacts"]),
    ("tip", &["contacts"]),
    ("insert", &["contacts"]),
    ("wire", &["wires"]),
    ("wire-set", &["wires"]),
    ("set-of-wires", &["wires"]),
    ("thread-wire", &["wires"]),
    ("measuring-wire", &["wires"]),
    ("ball", &["balls"]),
    ("ball-set", &["balls"]),
    ("set-of-balls", &["balls"]),
    ("measuring-ball", &["balls"]),
    ("setting-standard", &["standard"]),
    ("master", &["standard"]),
    ("setting-ring", &["standard"]),
    ("setting-rod", &["standard"]),
    ("setting-disc", &["standard"]),
    ("rod", &["standard"]),
    ("disc", &["standard"]),
    ("ring", &["standard", "gauge"]),
    ("plug", &["gauge", "standard"]),
    ("gage", &["gauge"]),
    ("limit-gauge", &["gauge"]),
    ("thread-gauge", &["gauge"]),
    ("ring-gauge", &["gauge"]),
    ("plug-gauge", &["gauge"]),
    ("go", &["gauge"]),
    ("not-go", &["gauge"]),
    ("go-gauge", &["gauge"]),
    ("not-go-gauge", &["gauge"]),
    ("block", &["gauge-blocks", "standard"]),
    ("block-set", &["gauge-blocks"]),
    ("gauge-block", &["gauge-blocks", "standard"]),
    ("gauge-block-set", &["gauge-blocks"]),
    ("slip", &["gauge-blocks"]),
    ("temperature", &["thermometer"]),
    ("temperature-probe", &["thermometer"]),
    ("probe", &["thermometer"]),
    ("part", &["check-part"]),
    ("check", &["check-part"]),
    ("check-piece", &["check-part"]),
];

/// So many letters may be wrong in a word of at least twice as many and one (a proposal, no source).
const WRONG_LETTERS: usize = 2;

/// The keys, of those that can be typed here, that are meant by a word; none where nobody can tell.
pub fn kinds_meant(text: &str, known: &[&'static str]) -> Vec<&'static str> {
    let text = text.trim().to_lowercase().replace([' ', '_'], "-");
    let singular = text.strip_suffix('s').unwrap_or(&text);
    let of = |keys: &[&str]| -> Vec<&'static str> {
        let there = |key: &&str| known.iter().copied().find(|one| one == key);
        keys.iter().filter_map(there).collect()
    };
    let word = |wanted: &str| WORDS.iter().find(|(word, _)| *word == wanted);
    if let Some((_, keys)) = word(&text).or_else(|| word(singular)) {
        return of(keys);
    }
    let most = WRONG_LETTERS.min(text.chars().count().saturating_sub(1) / 2);
    let own = known.iter().map(|key| (*key, std::slice::from_ref(key)));
    let near = own.chain(WORDS.iter().copied()).map(|(word, keys)| {
        let distance = strsim::damerau_levenshtein(&text, word);
        (distance, keys)
    });
    let near = near.filter(|(distance, _)| *distance <= most);
    near.min_by_key(|(distance, _)| *distance)
        .map_or_else(Vec::new, |(_, keys)| of(keys))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equipment::Kind;
    use crate::gauge_record::piece::PieceKind;

    fn keys() -> Vec<&'static str> {
        PieceKind::EVERY.iter().map(|kind| kind.key()).collect()
    }

    #[test]
    fn a_word_of_the_shop_means_a_kind() {
        let meant = |text| kinds_meant(text, &keys());
        for (text, kinds) in [
            ("micrometer", &["instrument"][..]),
            ("Micrometers", &["instrument"]),
            ("pair", &["contacts"]),
            ("wire set", &["wires"]),
            ("wire_sets", &["wires"]),
            ("ring", &["standard", "gauge"]),
            ("gauge block", &["gauge-blocks", "standard"]),
            // By letters.
            ("Instrument", &["instrument"]),
            ("instrments", &["instrument"]),
            ("micromter", &["instrument"]),
            ("thermometr", &["thermometer"]),
            ("wirs", &["wires"]),
            ("hammer", &[]),
            ("x", &[]),
            ("", &[]),
        ] {
            assert_eq!(meant(text), kinds, "{text}");
        }
        // The register has no gauge blocks, but a block can be a setting standard.
        let registered: Vec<&str> = Kind::EVERY.iter().map(|kind| kind.key()).collect();
        assert_eq!(kinds_meant("gauge block", &registered), ["standard"]);
    }

    #[test]
    fn every_word_means_a_kind_that_there_is() {
        for (word, kinds) in WORDS {
            assert_eq!(kinds_meant(word, &keys()), *kinds, "{word}");
        }
    }
}
