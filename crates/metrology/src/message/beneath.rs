//! The codes of what lies beneath messages, and so cannot declare its own: units and the bibliography.

use std::borrow::Cow;

use super::Coded;
use crate::source::{Confidence, Source};
use crate::units::{EntryError, LengthError, PitchError};

crate::messages! {
    impl EntryError "entry" {
        Empty "empty",
        NotANumber "not-a-number" { text as Text },
        MissingUnit "no-unit" { text as Text },
        LetterForDigit "letter-for-digit" { text as Text, letter as text, digits as Text },
        UnknownUnit "unknown-unit" { text as Text, unit as Text },
        TwoDecimalSigns "two-decimal-signs" { text as Text },
        Range "out-of-range" { text as Text, why as said },
    }
}

crate::messages! {
    impl LengthError "length" {
        TooLarge "too-large" { given as Text },
        NotFinite "not-finite",
    }
}

crate::messages! {
    impl PitchError "threads-per-inch" {
        Impossible "impossible" { given as Stated },
    }
}

crate::codes! {
    impl Confidence "confidence" {
        Weak "weak",
        Secondary "secondary",
        FormulaBacked "formula-backed",
        Solid "solid",
    }
}

impl Coded for Source {
    fn code(&self) -> Cow<'static, str> {
        format!("source.{}", self.key()).into()
    }
}
