//! The stored form of a first article that was issued, schema 1 each of what it rests on and what it comes to.

use super::event::Spot;
use super::kept;
use super::nonconformance::ShownBy;
use crate::first_article as now;

/// The schema number of first articles.
pub const FIRST_ARTICLE: u32 = 1;
/// The schema number of what they come to.
pub const FIRST_ARTICLE_JUDGED: u32 = 1;

kept! { FirstArticle of now::FirstArticle {
    lot: String,
    lot_entry: String,
    piece: String,
    supplied: Supplied,
    stood: Vec<Stood>,
    set_aside: Option<SetAside>,
    repeats: Vec<Repeated>,
} }

kept! { Supplied of now::Supplied {
    part: PartSupplied,
    first_article: Article,
    certificate: Vec<Certificate>,
    characteristic: Vec<Remarked>,
} }

kept! { PartSupplied of now::PartSupplied {
    number: Option<String>,
    revision: Option<String>,
    serial: Option<String>,
} }

kept! { Article of now::Article {
    report: Option<String>,
    replaces: Option<String>,
    extent: Extent,
    reason: Option<String>,
    baseline: Option<String>,
    covers: Vec<String>,
} }

kept! { Extent of enum now::Extent { Full, Partial, Delta } }

kept! { Certificate of now::Certificate {
    of: CertificateOf,
    name: String,
    specification: Option<String>,
    number: String,
    supplier: Option<String>,
} }

kept! { CertificateOf of enum now::CertificateOf { Material, Process, Test } }

kept! { Remarked of now::Remarked {
    number: String,
    location: Option<String>,
    not_measured: Option<String>,
    comment: Option<String>,
    tooling: Option<String>,
} }

kept! { Stood of now::Stood {
    characteristic: String,
    verdict: String,
    because: Option<String>,
    missing: Vec<Spot>,
    entry: Option<String>,
} }

kept! { SetAside of now::SetAside {
    number: String,
    shown_by: Vec<ShownBy>,
    decided: Option<String>,
    again: Vec<Again>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    not_to_accept: bool,
} }

kept! { Again of now::Again { characteristic: String, entry: String, standing: String } }

kept! { Repeated of now::Repeated { characteristic: String, entry: String } }

kept! { Judged of now::Judged { verdict: String, because: Option<String>, counts: Counts } }

kept! { Counts of now::Counts {
    characteristics: u64,
    accept: u64,
    reject: u64,
    undecided: u64,
    not_measured: u64,
    not_covered: u64,
} }
