//! Facts: what is known of an entry without reading its documents.
//!
//! They stand in tables of their own beside the chain, indexed, so that a list, a recall or a statistic over a million entries
//! reads no document. They are no part of what is hashed: a function of the caller's ([`Derive`]) makes them from the
//! entry alone, when it is recorded or at any time after, and [`verify`](crate::verify) makes them again and tells every
//! difference. The ledger gives the columns; what they mean for a kind of entries is the caller's.

use jiff::Timestamp;

use crate::{Difference, Draft, time};

/// Makes the facts of an entry from what is hashed of it, and from nothing else: the same for ever.
pub type Derive = fn(&Draft) -> Facts;

macro_rules! columns {
    ($(#[$about:meta])* $name:ident { $( $(#[$said:meta])* $variant:ident $column:literal ),* $(,)? }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name { $( $(#[$said])* $variant ),* }

        impl $name {
            /// All of them, in the order of the table.
            pub const ALL: [Self; [$( $column ),*].len()] = [$( Self::$variant ),*];

            /// The name of the column.
            pub const fn column(self) -> &'static str {
                match self { $( Self::$variant => $column ),* }
            }
        }
    };
}

columns! {
    /// A fact that is a number. Lengths are in the unit of [`Text::Unit`].
    Number {
        /// The size that was decided on.
        Size "size",
        /// Its standard uncertainty.
        StandardUncertainty "standard_uncertainty",
        /// Its expanded uncertainty.
        ExpandedUncertainty "expanded_uncertainty",
        /// The coverage factor of that.
        CoverageFactor "coverage_factor",
        /// Effective degrees of freedom; none where they have no end.
        DegreesOfFreedom "degrees_of_freedom",
        /// The least size permitted.
        Lower "lower",
        Upper "upper",
        /// Accepted from here,
        AcceptLower "accept_lower",
        /// to here.
        AcceptUpper "accept_upper",
        /// Rejected below this,
        RejectLower "reject_lower",
        /// or above this.
        RejectUpper "reject_upper",
        /// Distance of the size to the nearest limit; negative outside.
        Margin "margin",
        /// The parameter of the decision rule.
        RuleParameter "rule_parameter",
        /// The number of the method by which it was computed.
        Method "method",
        /// To how many decimals the limits are stated.
        Decimals "decimals",
        /// The size that was not decided on, of the mean and the worst place, where both have one;
        OtherSize "other_size",
        /// its standard uncertainty,
        OtherStandardUncertainty "other_standard_uncertainty",
        /// its coverage factor,
        OtherCoverageFactor "other_coverage_factor",
        /// and its degrees of freedom.
        OtherDegreesOfFreedom "other_degrees_of_freedom",
        /// 1 where the size decided on is that of a place, 0 where it is the mean.
        OnPlace "on_place",
        /// 1 where the place decides, where both are judged alike.
        LeastGoverns "least_governs",
        /// What the measurement of one part adds to the spread of many, square millimetres.
        OwnVariance "own_variance",
    }
}

columns! {
    /// A fact that is a text.
    Text {
        /// The day of the measurement: what the entry touches in the role `measured`, by which days are looked for.
        MeasuredOn "measured_on",
        /// The unit of lengths.
        Unit "unit",
        /// The verdict that stands on the record.
        Verdict "verdict",
        /// The verdict on the size alone.
        SizeVerdict "size_verdict",
        /// The code of what withholds the verdict that the numbers would give.
        Because "because",
        /// The decision rule.
        Rule "rule",
        Part "part",
        /// Which sample of the lot.
        Sample "sample",
        /// Which piece, in the order of work.
        Piece "piece",
        Drawing "drawing",
        Lot "lot",
        /// What was measured, as records are found by it.
        Characteristic "characteristic",
        /// The same as code and values, from which words are made.
        Told "told",
        /// The same as it was given, to compare.
        Given "given",
        /// Where the zero stood at the end: indicated less certified, with its unit.
        Zero "zero",
        /// The mean at each place, millimetres, as a JSON list; none where a reading looked like a mistake.
        Places "places",
    }
}

/// Which facts are read: a list of many is read faster without those that it does not need.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    pub numbers: &'static [Number],
    pub texts: &'static [Text],
}

impl Wanted {
    /// All of them.
    pub const ALL: Self = Self {
        numbers: &Number::ALL,
        texts: &Text::ALL,
    };
}

impl Default for Wanted {
    fn default() -> Self {
        Self::ALL
    }
}

/// What is known of an entry, wherever it lies: in [`Facts`], or in the row of a question.
pub trait Glance {
    /// A number, where there is one.
    fn number(&self, of: Number) -> Option<f64>;

    /// A text, where there is one.
    fn text(&self, of: Text) -> Option<&str>;
}

impl Glance for Facts {
    fn number(&self, of: Number) -> Option<f64> {
        Self::number(self, of)
    }

    fn text(&self, of: Text) -> Option<&str> {
        Self::text(self, of)
    }
}

/// A piece of equipment that a result was measured with.
#[derive(Clone, Debug, PartialEq)]
pub struct Used {
    /// What it is: `instrument`, `contacts`, `contact`, `standard`, `wires`.
    pub role: String,
    pub identity: String,
    /// The role of the piece that it is a part of: of one contact the pair.
    pub part_of: Option<String>,
    /// The slope of the size over the error of the piece.
    pub sensitivity: Option<f64>,
}

/// The facts of an entry. The default is that of an entry of which there are none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    /// When it was measured.
    pub at: Option<Timestamp>,
    numbers: [Option<f64>; Number::ALL.len()],
    texts: [Option<String>; Text::ALL.len()],
    /// What it was measured with, in the order of role and identity. Only what has a time is found by it.
    pub used: Vec<Used>,
}

impl Facts {
    /// A number, where there is one.
    pub fn number(&self, of: Number) -> Option<f64> {
        self.numbers.get(of as usize).copied().flatten()
    }

    /// A text, where there is one.
    pub fn text(&self, of: Text) -> Option<&str> {
        self.texts.get(of as usize).and_then(Option::as_deref)
    }

    /// Notes a number; what is no finite number is none.
    pub fn set(&mut self, of: Number, value: impl Into<Option<f64>>) {
        if let Some(place) = self.numbers.get_mut(of as usize) {
            *place = value.into().filter(|value| value.is_finite());
        }
    }

    /// Notes a text.
    pub fn tell(&mut self, of: Text, text: impl Into<Option<String>>) {
        if let Some(place) = self.texts.get_mut(of as usize) {
            *place = text.into();
        }
    }

    /// Notes a piece of equipment. One that is there twice counts once.
    pub fn uses(&mut self, piece: Used) {
        let key = |piece: &Used| (piece.role.clone(), piece.identity.clone());
        match self.used.binary_search_by_key(&key(&piece), key) {
            Ok(_) => {}
            Err(place) => self.used.insert(place, piece),
        }
    }
}

/// Facts as they are stored, with what else stands in their row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct KeptFacts {
    /// The first digits of the hash of the entry.
    pub check: String,
    /// The day on which the entry was recorded, UTC.
    pub recorded_on: String,
    pub facts: Facts,
}

impl KeptFacts {
    /// As they are stored for a draft in an entry of these check digits.
    pub fn of(check: String, draft: &Draft, facts: Facts) -> Self {
        Self {
            check,
            recorded_on: day(draft.recorded_at),
            facts,
        }
    }

    /// Adds a piece of equipment as it was found beside a time of measurement. One that does not go by the time of the facts
    /// is told by that time.
    pub fn found_used(&mut self, mut piece: Used, at: &str) {
        if self.facts.at.map(time::written).as_deref() != Some(at) {
            piece.identity = format!("{} at {at}", piece.identity);
        }
        self.facts.used.push(piece);
    }

    /// Where these differ from what is right.
    pub fn differences(&self, right: &Self) -> Vec<Difference> {
        let mut found = Vec::new();
        let mut hold = |path: String, stored: Option<String>, computed: Option<String>| {
            if stored != computed {
                found.push(Difference {
                    path,
                    stored: stored.unwrap_or_else(none),
                    computed: computed.unwrap_or_else(none),
                });
            }
        };
        hold(
            "check".into(),
            Some(self.check.clone()),
            Some(right.check.clone()),
        );
        hold(
            "recorded_on".into(),
            Some(self.recorded_on.clone()),
            Some(right.recorded_on.clone()),
        );
        let (one, other) = (&self.facts, &right.facts);
        hold(
            "at".into(),
            one.at.map(time::written),
            other.at.map(time::written),
        );
        for number in Number::ALL {
            let shown = |facts: &Facts| facts.number(number).map(|value| format!("{value:?}"));
            // Minus nothing is kept as nothing.
            if one.number(number) != other.number(number) {
                hold(number.column().into(), shown(one), shown(other));
            }
        }
        for text in Text::ALL {
            let shown = |facts: &Facts| facts.text(text).map(str::to_owned);
            hold(text.column().into(), shown(one), shown(other));
        }
        let same =
            |one: &&Used, other: &Used| one.role == other.role && one.identity == other.identity;
        let told = |used: &Used| {
            let slope = used
                .sensitivity
                .map_or_else(none, |slope| format!("{slope:?}"));
            match &used.part_of {
                Some(part_of) => format!("{slope}, {part_of}"),
                None => slope,
            }
        };
        let name = |used: &Used| format!("{} {}", used.role, used.identity);
        for piece in &other.used {
            let stored = one.used.iter().find(|stored| same(stored, piece));
            hold(name(piece), stored.map(told), Some(told(piece)));
        }
        for extra in &one.used {
            if !other.used.iter().any(|piece| same(&extra, piece)) {
                hold(name(extra), Some(told(extra)), None);
            }
        }
        found
    }
}

/// What stands for nothing in a difference.
fn none() -> String {
    "-".to_owned()
}

/// The day of a moment, UTC.
pub(crate) fn day(at: Timestamp) -> String {
    let mut day = time::written(at);
    day.truncate("2026-03-04".len());
    day
}
