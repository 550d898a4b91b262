//! What is asked of a feature, in words.

use crate::words;

/// The question, and how an answer may look.
pub fn asked(feature: &str, key: &str) -> (String, String) {
    let key = key.replace(['.', '_'], "-");
    let code = format!("ask.{feature}.{key}");
    let hint = format!("{code}.hint");
    (
        words::line(&code, &[]),
        words::known(&hint).unwrap_or_default().to_owned(),
    )
}

/// A choice, explained.
pub fn choice(choice: &str) -> &'static str {
    words::known(&format!("choice.{choice}")).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::details;
    use metrology::inspection::FeatureKind;

    #[test]
    fn everything_that_is_asked_has_words() {
        for feature in FeatureKind::EVERY.iter().map(|kind| kind.key()) {
            for detail in details::of(feature) {
                let (question, hint) = asked(feature, detail.key());
                assert!(!hint.is_empty(), "{feature} {}", detail.key());
                assert!(question.ends_with('?'), "{feature} {}", detail.key());
                for one in detail.choices().unwrap_or_default() {
                    assert!(!choice(one).is_empty(), "{one}");
                }
            }
        }
    }
}
