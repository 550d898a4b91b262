//! A first article as it is issued: what was supplied for it, and how its piece stood on each characteristic of the plan.

use std::collections::BTreeSet;

use ledger::Subject;
use serde::{Deserialize, Serialize};

use crate::event::Spot;
use crate::lot_entry::{LOT, SAMPLE};
use crate::nonconformance::ShownBy;

/// Under this role an entry names the number of a first article that it issues.
pub const FIRST_ARTICLE: &str = "first-article";
/// How a characteristic stands that nobody measured or looked at.
pub const NOT_MEASURED: &str = "not-measured";
/// How one stands that the baseline shows, and of which the piece has no result of its own.
pub const NOT_COVERED: &str = "not-covered";

metrology::codes! {
    /// How much of the drawing a first article shows.
    #[derive(Default, Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Extent "first-article-extent" {
        /// Every characteristic.
        #[default]
        Full "full",
        /// Those that an earlier first article left open, or that a change of process touches.
        Partial "partial",
        /// Those that differ from another part or revision.
        Delta "delta",
    }
}

metrology::codes! {
    /// What a certificate is of.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum CertificateOf "first-article-certificate" {
        Material "material",
        Process "process",
        /// A functional test.
        Test "test",
    }
}

metrology::codes! {
    /// Why a first article is not accepted.
    #[derive(Serialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Because "first-article-reason" {
        /// A characteristic does not conform.
        Rejected "rejected",
        /// A characteristic is undecided, or waits for its zero check.
        Undecided "undecided",
        NotMeasured "not-measured",
        /// The piece is put aside, sent back or scrapped.
        SetAside "set-aside",
    }
}

/// What the records do not have, as it is supplied by a file or a form.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", default)]
pub struct Supplied {
    pub part: PartSupplied,
    pub first_article: Article,
    pub certificate: Vec<Certificate>,
    pub characteristic: Vec<Remarked>,
}

#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PartSupplied {
    pub number: Option<String>,
    /// The revision of the part, where it is not that of the drawing.
    pub revision: Option<String>,
    pub serial: Option<String>,
}

#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Article {
    /// The number of this report.
    pub report: Option<String>,
    /// The report that this one is issued in place of.
    pub replaces: Option<String>,
    pub extent: Extent,
    pub reason: Option<String>,
    /// The first article that a partial or delta one adds to.
    pub baseline: Option<String>,
    /// The characteristics that a partial or delta one shows, by number.
    pub covers: Vec<String>,
}

/// A certificate that came with the material or from a process.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    pub of: CertificateOf,
    /// The material, the process or the test.
    pub name: String,
    pub specification: Option<String>,
    /// The number of the certificate.
    pub number: String,
    pub supplier: Option<String>,
}

/// What is known of a characteristic beside its result.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Remarked {
    pub number: String,
    /// Where it stands on the drawing: sheet and zone.
    pub location: Option<String>,
    /// Why it was not measured.
    pub not_measured: Option<String>,
    pub comment: Option<String>,
    /// Tooling made for this part.
    pub tooling: Option<String>,
}

impl Supplied {
    /// Whether a characteristic is shown by this first article, and not by the one before it.
    pub fn covers(&self, number: &str) -> bool {
        let article = &self.first_article;
        article.extent == Extent::Full || article.covers.iter().any(|one| one == number)
    }

    pub fn of(&self, number: &str) -> Option<&Remarked> {
        self.characteristic.iter().find(|one| one.number == number)
    }
}

/// How a piece stands on a characteristic.
#[derive(Clone, Debug, PartialEq)]
pub struct Stood {
    /// By its number in the plan.
    pub characteristic: String,
    /// That of the record; `provisional`, [`NOT_MEASURED`] or [`NOT_COVERED`].
    pub verdict: String,
    /// Why there is no verdict, where it is withheld.
    pub because: Option<String>,
    /// Places that nobody measured.
    pub missing: Vec<Spot>,
    /// The entry of the result; none where there is none, or it waits for its zero check.
    pub entry: Option<String>,
}

/// The piece as a nonconforming one, as it stood then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    pub number: String,
    pub shown_by: Vec<ShownBy>,
    /// The entry of the decision on it; none where nobody had decided.
    pub decided: Option<String>,
    /// Characteristics measured again after work on it.
    pub again: Vec<Again>,
    /// Whether it was not to be accepted then, whatever its results; false in what was recorded before this was looked at.
    pub not_to_accept: bool,
}

/// A characteristic that was measured again: with its entry and how the piece stands by it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    pub characteristic: String,
    pub entry: String,
    pub standing: String,
}

/// An earlier result of the piece, which does not count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repeated {
    pub characteristic: String,
    pub entry: String,
}

/// A first article of a piece of a lot. Sizes and equipment stand in the entries that it names.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstArticle {
    pub lot: String,
    /// The entry that began the lot, under its plan.
    pub lot_entry: String,
    pub piece: String,
    pub supplied: Supplied,
    /// One for each characteristic of the plan, in its order.
    pub stood: Vec<Stood>,
    pub set_aside: Option<SetAside>,
    pub repeats: Vec<Repeated>,
}

/// How many characteristics there are, and how they stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    pub characteristics: u64,
    pub accept: u64,
    pub reject: u64,
    pub undecided: u64,
    pub not_measured: u64,
    pub not_covered: u64,
}

/// What a first article comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// `accept` only where every characteristic that it covers was found to conform.
    pub verdict: String,
    /// The key of [`Because`].
    pub because: Option<String>,
    pub counts: Counts,
}

impl Counts {
    fn of(stood: &[Stood]) -> Self {
        let mut counts = Self::default();
        for one in stood {
            counts.characteristics += 1;
            *match one.verdict.as_str() {
                "accept" => &mut counts.accept,
                "reject" => &mut counts.reject,
                NOT_MEASURED => &mut counts.not_measured,
                NOT_COVERED => &mut counts.not_covered,
                _ => &mut counts.undecided,
            } += 1;
        }
        counts
    }

    /// What the piece comes to, by the characteristics that are covered.
    const fn verdict(&self) -> (&'static str, Option<Because>) {
        if self.reject > 0 {
            ("reject", Some(Because::Rejected))
        } else if self.undecided > 0 {
            ("undecided", Some(Because::Undecided))
        } else if self.not_measured > 0 {
            ("undecided", Some(Because::NotMeasured))
        } else {
            ("accept", None)
        }
    }
}

impl FirstArticle {
    /// What it comes to.
    pub fn judged(&self) -> Judged {
        let counts = Counts::of(&self.stood);
        let is_set_aside = self.set_aside.as_ref().is_some_and(|one| one.not_to_accept);
        let (verdict, because) = match counts.verdict() {
            (_, None) if is_set_aside => ("undecided", Some(Because::SetAside)),
            other => other,
        };
        Judged {
            verdict: verdict.to_owned(),
            because: because.map(|because| because.key().to_owned()),
            counts,
        }
    }

    /// Its own number; none of a draft that has none.
    pub fn number(&self) -> Option<&str> {
        self.supplied.first_article.report.as_deref()
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        let mut all = BTreeSet::from([
            Subject::new(LOT, self.lot.trim()),
            Subject::new(SAMPLE, self.piece.trim()),
        ]);
        let number = self.number().map(str::trim);
        all.extend(number.map(|number| Subject::new(FIRST_ARTICLE, number)));
        all
    }
}
