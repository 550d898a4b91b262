//! Why a designation names no thread.

use std::fmt;
use std::ops::Range;

/// More would be a table, not a hint.
const MOST_SUGGESTIONS: usize = 6;

/// One error for one wrong designation: what is wrong, where, and what would be right.
///
/// Boxed, so that the happy path does not carry its size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThreadError(Box<Details>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Details {
    fault: Fault,
    place: Option<Range<usize>>,
    suggestions: Vec<String>,
    /// Taken where no suggestion holds: the right size without the rest of what was typed.
    fallback: Vec<String>,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Fault {
    /// Nothing there.
    #[error("a thread designation is missing; write for example M10x1.5-6g or 1/4-20 UNC-2A")]
    Empty,
    /// Longer than any designation.
    #[error("the text is longer than any thread designation; write one thread a line")]
    TooLong,
    /// Neither a metric nor an inch size at the start.
    #[error(
        "`{0}` is not the start of a thread designation; it begins with M, MJ or Tr and a diameter in mm, with G or R and a pipe size, or with a size in inches"
    )]
    UnknownForm(String),
    /// A known name of several forms of thread: the sentence that tells which.
    #[error("{0}")]
    SeveralForms(String),
    /// A known thread that no table is here for: the sentence that tells what it is.
    #[error("{0}")]
    NoTables(String),
    /// A metric thread without its M.
    #[error("`{0}` is in inches as it stands; a metric thread begins with M")]
    MissingM(String),
    /// The diameter is missing.
    #[error("the size is missing; {0}")]
    MissingSize(&'static str),
    /// A number is needed and something else stands there.
    #[error("a number is missing here")]
    NumberMissing,
    /// Digits without end, a zero denominator.
    #[error("this is not a size that a thread can have")]
    NoSuchNumber,
    /// `1.234,5`, or two numbers without a sign between them.
    #[error(
        "this number has two decimal signs; write one point or one comma, and an x or a hyphen between two numbers"
    )]
    TwoDecimalSigns,
    /// A minus sign before a size or pitch.
    #[error("a {0} cannot be negative")]
    Negative(&'static str),
    /// A diameter that no table reaches.
    #[error("{size} is outside the diameters that the standard covers ({range})")]
    SizeOutOfRange {
        /// The size as typed.
        size: String,
        /// What is covered.
        range: &'static str,
    },
    /// A bare number that is a number size and a size in inches.
    #[error(
        "`{0}` can be a number size or a size in inches; write #{0} for the number size or {0}.000 for inches"
    )]
    AmbiguousSize(String),
    /// A number size that does not exist.
    #[error("#{0} is no thread size; number sizes are 0, 1, 2, 3, 4, 5, 6, 8, 10 and 12")]
    UnknownNumberSize(String),
    /// A unit that does not go with the form.
    #[error("{0}")]
    WrongUnit(&'static str),
    /// Pitch or thread count is missing where nothing can stand for it.
    #[error("{0}")]
    MissingPitch(String),
    /// A pitch that the size does not have.
    #[error("{size} has no pitch {pitch}; {known}")]
    NoSuchPitch {
        /// The size.
        size: String,
        /// The pitch as typed.
        pitch: String,
        /// The pitches it has.
        known: String,
    },
    /// A size that the form does not have.
    #[error("{standard} has no size {size}; {known}")]
    NoSuchSize {
        /// As typed.
        size: String,
        /// The standard of the form.
        standard: &'static str,
        /// The sizes nearest to it.
        known: String,
    },
    /// A pitch that leaves no core, or that cannot be cut.
    #[error("{pitch} is no possible pitch for a diameter of {size}")]
    ImpossiblePitch {
        /// The size.
        size: String,
        /// The pitch as typed.
        pitch: String,
    },
    /// A series that does not contain this size and pitch.
    #[error("{thread} is not in the {series} series; {known}")]
    NotInSeries {
        /// Size and pitch.
        thread: String,
        /// The series as typed.
        series: String,
        /// What would be right.
        known: String,
    },
    /// A word where a series should stand.
    #[error(
        "`{0}` is not a series of Unified threads; they are UNC, UNF, UNEF, UN, UNS and with rounded root UNRC, UNRF, UNREF, UNR, UNRS"
    )]
    UnknownSeries(String),
    /// UNR is defined for external threads only.
    #[error(
        "{0} has a rounded root and is defined for external threads only; an internal thread is {1}"
    )]
    ExternalOnly(&'static str, &'static str),
    /// A class that the form does not have.
    #[error("there is no class {class}; {known}")]
    UnknownClass {
        /// As typed.
        class: String,
        /// The classes there are.
        known: &'static str,
    },
    /// The class exists, but not for this size, pitch or series.
    #[error("class {class} is not defined for {thread}: {why}")]
    ClassNotDefined {
        /// As typed.
        class: String,
        /// Size and pitch.
        thread: String,
        /// Which table or rule says so.
        why: String,
    },
    /// Position letters that do not go together.
    #[error("{class} mixes two tolerance positions; both diameters have the same letter")]
    MixedPositions {
        /// As typed.
        class: String,
    },
    /// A class is needed and cannot be assumed.
    #[error("{0}")]
    MissingClass(String),
    /// A fit names a pair.
    #[error("{0} is a fit of two threads; ask for one of them")]
    FitNamesTwoThreads(String),
    /// The word says external and the class says internal, or the reverse.
    #[error("class {class} is {of_class}, the word after it says {of_word}")]
    SideConflict {
        /// As typed.
        class: String,
        /// What the class says.
        of_class: &'static str,
        /// What the word says.
        of_word: &'static str,
    },
    /// Lead that is no multiple of the pitch, or starts that disagree with it.
    #[error("{0}")]
    LeadMismatch(String),
    /// A length of engagement that is missing or impossible.
    #[error("{0}")]
    Engagement(String),
    /// The limits are changed on the drawing.
    #[error(
        "MOD says that limits are changed on the drawing: they cannot be calculated; look up the thread without MOD and take the changed limits from the drawing"
    )]
    Modified,
    /// Limits written in the designation that its class does not have.
    #[error(
        "the {diameter} of class {class} is {max} max, {min} min: the limits stated here differ, so either they or the designation are wrong"
    )]
    StatedLimitsDiffer {
        /// Which diameter.
        diameter: &'static str,
        /// The class.
        class: String,
        /// Its largest size.
        max: String,
        /// Its smallest size.
        min: String,
    },
    /// A gauging system that is none.
    #[error("`{0}` is no gauging system of ASME B1.3; they are (21), (22) and (23)")]
    UnknownGauging(String),
    /// The same element twice.
    #[error("{0} is stated twice")]
    Twice(&'static str),
    /// Something left over.
    #[error("`{0}` has no meaning in a {1} designation")]
    Unexpected(String, &'static str),
    /// Arithmetic left the range; not reachable from sizes that a table covers.
    #[error("the sizes are beyond the range of this program")]
    Range,
}

impl Fault {
    /// A short name for programs.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::TooLong => "too-long",
            Self::UnknownForm(_) => "unknown-form",
            Self::SeveralForms(_) => "several-forms",
            Self::NoTables(_) => "no-tables",
            Self::MissingM(_) => "missing-m",
            Self::MissingSize(_) => "missing-size",
            Self::NumberMissing => "missing-number",
            Self::NoSuchNumber => "no-such-number",
            Self::TwoDecimalSigns => "two-decimal-signs",
            Self::Negative(_) => "negative",
            Self::SizeOutOfRange { .. } => "size-out-of-range",
            Self::AmbiguousSize(_) => "ambiguous-size",
            Self::UnknownNumberSize(_) => "unknown-number-size",
            Self::WrongUnit(_) => "wrong-unit",
            Self::MissingPitch(_) => "missing-pitch",
            Self::NoSuchPitch { .. } => "no-such-pitch",
            Self::NoSuchSize { .. } => "no-such-size",
            Self::ImpossiblePitch { .. } => "impossible-pitch",
            Self::NotInSeries { .. } => "not-in-series",
            Self::UnknownSeries(_) => "unknown-series",
            Self::ExternalOnly(..) => "external-only",
            Self::UnknownClass { .. } => "unknown-class",
            Self::ClassNotDefined { .. } => "class-not-defined",
            Self::MixedPositions { .. } => "mixed-positions",
            Self::MissingClass(_) => "missing-class",
            Self::FitNamesTwoThreads(_) => "fit-names-two-threads",
            Self::SideConflict { .. } => "side-conflict",
            Self::LeadMismatch(_) => "lead-mismatch",
            Self::Engagement(_) => "engagement",
            Self::Modified => "modified-limits",
            Self::StatedLimitsDiffer { .. } => "stated-limits-differ",
            Self::UnknownGauging(_) => "unknown-gauging",
            Self::Twice(_) => "stated-twice",
            Self::Unexpected(..) => "unexpected",
            Self::Range => "range",
        }
    }
}

impl ThreadError {
    pub(crate) fn new(fault: Fault) -> Self {
        Self(Box::new(Details {
            fault,
            place: None,
            suggestions: Vec::new(),
            fallback: Vec::new(),
        }))
    }

    pub(crate) fn with_place(mut self, place: Range<usize>) -> Self {
        self.0.place = Some(place);
        self
    }

    pub(crate) fn suggest(mut self, suggestions: impl IntoIterator<Item = String>) -> Self {
        for suggestion in suggestions {
            if !self.0.suggestions.contains(&suggestion) {
                self.0.suggestions.push(suggestion);
            }
        }
        self
    }

    /// Rewrites what is suggested, for a form that reads its designations as another's.
    pub(crate) fn map_suggestions(mut self, rewrite: impl Fn(&str) -> String) -> Self {
        for suggestion in (self.0.suggestions.iter_mut()).chain(&mut self.0.fallback) {
            *suggestion = rewrite(suggestion);
        }
        self
    }

    /// Suggests each beginning with the rest of what was typed, or alone if the rest is wrong too.
    pub(crate) fn suggest_with(self, beginnings: Vec<String>, rest: &str) -> Self {
        let mut error = self.suggest(beginnings.iter().map(|stem| format!("{stem}{rest}")));
        error.0.fallback = beginnings;
        error
    }

    /// Keeps the suggestions that name a thread; a suggestion that is wrong itself helps nobody.
    pub(crate) fn keep(mut self, names_a_thread: impl Fn(&str) -> bool) -> Self {
        self.0.suggestions.retain(|text| names_a_thread(text));
        if self.0.suggestions.is_empty() {
            self.0.suggestions = std::mem::take(&mut self.0.fallback);
            self.0.suggestions.retain(|text| names_a_thread(text));
        }
        self.0.fallback.clear();
        self.0.suggestions.truncate(MOST_SUGGESTIONS);
        self
    }

    /// A short name for programs, such as `unknown-class`.
    pub fn kind(&self) -> &'static str {
        self.0.fault.kind()
    }

    /// What is wrong, typed.
    pub fn fault(&self) -> &Fault {
        &self.0.fault
    }

    /// Where: a range of bytes of the input, on character boundaries.
    pub fn at(&self) -> Option<Range<usize>> {
        self.0.place.clone()
    }

    /// Designations that would be right, nearest first.
    pub fn suggestions(&self) -> &[String] {
        &self.0.suggestions
    }
}

/// The whole message in one sentence: what is wrong, and what to write instead.
impl fmt::Display for ThreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fault.fmt(f)?;
        for (index, suggestion) in self.0.suggestions.iter().enumerate() {
            f.write_str(match index {
                0 => "; write ",
                _ if index + 1 == self.0.suggestions.len() => " or ",
                _ => ", ",
            })?;
            f.write_str(suggestion)?;
        }
        Ok(())
    }
}

impl std::error::Error for ThreadError {}
