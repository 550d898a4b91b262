//! How a feature is asked for: line by line at the bench, and by options before it is measured.

use crate::message::Message;

/// One thing that the bench asks of a feature.
#[derive(Debug)]
pub struct Asked {
    /// The key that is answered, or a name for the question where it is none; a point leads into a section within.
    pub key: &'static str,
    /// How it is answered.
    pub ask: Ask,
    /// Whether Enter alone passes it over.
    pub optional: bool,
    /// Whether it is another for every part, and asked again with the next.
    pub of_each_part: bool,
    /// Asked only where this earlier answer is one of these, or is given at all where none is named.
    pub when: Option<(&'static str, &'static [&'static str])>,
}

/// How a question is answered.
#[derive(Clone, Copy, Debug)]
pub enum Ask {
    /// With the value of the key.
    Value,
    /// With any of these values, each behind its name: `ovality 0.005 mm, taper 0.010 mm`.
    Named(&'static [Named]),
    /// In words that tell which of these keys is meant: the key, and the text that stands under it.
    Told(&'static [&'static str], fn(&str) -> Result<Given, Message>),
    /// With distances along the part; they tell where readings are taken and are no part of the section.
    Sections,
}

/// A key with the text that stands under it.
pub type Given = (&'static str, String);

/// A value that is named in the answer.
#[derive(Debug)]
pub struct Named {
    /// The key; a point leads into a section within.
    pub key: &'static str,
    /// What people write before the value.
    pub word: &'static str,
    /// Of two bounds under the key, which: 0 or 1.
    pub bound: Option<usize>,
}

impl Asked {
    /// The value of a key.
    pub const fn value(key: &'static str) -> Self {
        Self::by(key, Ask::Value)
    }

    /// By an answer of its own.
    pub const fn by(key: &'static str, ask: Ask) -> Self {
        Self {
            key,
            ask,
            optional: false,
            of_each_part: false,
            when: None,
        }
    }

    /// Any of these values, or none.
    pub const fn any(key: &'static str, named: &'static [Named]) -> Self {
        Self::by(key, Ask::Named(named)).optional()
    }

    /// Where Enter alone passes it over.
    #[must_use]
    pub const fn optional(self) -> Self {
        Self {
            optional: true,
            ..self
        }
    }

    /// Another for every part.
    #[must_use]
    pub const fn of_each_part(self) -> Self {
        Self {
            of_each_part: true,
            ..self
        }
    }

    /// Only where an earlier answer is one of these.
    #[must_use]
    pub const fn when(self, key: &'static str, is: &'static [&'static str]) -> Self {
        Self {
            when: Some((key, is)),
            ..self
        }
    }
}

impl Named {
    /// A value under its name.
    pub const fn of(key: &'static str, word: &'static str) -> Self {
        Self {
            key,
            word,
            bound: None,
        }
    }

    /// One of two bounds under its name.
    pub const fn bound(key: &'static str, word: &'static str, bound: usize) -> Self {
        Self {
            key,
            word,
            bound: Some(bound),
        }
    }
}

/// An option that tells a key before the feature is measured.
#[derive(Clone, Copy, Debug)]
pub struct Flag {
    /// Its name: `bore` of `--bore`; empty where no option tells the key.
    pub option: &'static str,
    pub key: &'static str,
    /// What is taken where it is left out, as a job file would have it; of readings nothing, as none were taken.
    pub assumed: Option<&'static str>,
    /// What is taken instead where another option is given: its name, and the value.
    pub with: Option<(&'static str, &'static str)>,
    /// What is said where it is left out and needed.
    pub lacking: Option<Lacking>,
    /// An option that is not given beside it.
    pub not_with: Option<&'static str>,
}

/// What is said of an option that is missing.
#[derive(Clone, Copy, Debug)]
pub enum Lacking {
    /// That the feature needs it; this sentence says what it is.
    What(&'static str),
    /// This sentence, with the codes to choose from where there are any.
    Sentence(&'static str),
}

impl Flag {
    /// An option that may be left out.
    pub const fn of(option: &'static str, key: &'static str) -> Self {
        Self {
            option,
            key,
            assumed: None,
            with: None,
            lacking: None,
            not_with: None,
        }
    }

    /// An option that may not, and what is said then.
    pub const fn needed(option: &'static str, key: &'static str, lacking: Lacking) -> Self {
        let of = Self::of(option, key);
        Self {
            lacking: Some(lacking),
            ..of
        }
    }

    /// A key that no option tells.
    pub const fn assumed(key: &'static str, value: &'static str) -> Self {
        let of = Self::of("", key);
        Self {
            assumed: Some(value),
            ..of
        }
    }

    /// Not beside this option.
    #[must_use]
    pub const fn not_with(self, option: &'static str) -> Self {
        Self {
            not_with: Some(option),
            ..self
        }
    }

    /// Another value where another option is given.
    #[must_use]
    pub const fn with(self, option: &'static str, value: &'static str) -> Self {
        Self {
            with: Some((option, value)),
            ..self
        }
    }
}
