//! What the ledger does not know of a first article: a file, or a form of a page.

use std::fs;
use std::path::Path;

use serde::{Deserialize, Serialize};
use workshop::given::on_one_line;
use workshop::inspection_plan::Plan;

use crate::failure::Failure;
use crate::say;
use crate::words;

/// No file that is typed is larger, in bytes.
const LARGEST: u64 = 1_000_000;

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
    /// What a file says.
    pub fn read(file: &Path) -> Result<Self, Failure> {
        let of_file = || {
            let cannot = |why: &dyn std::fmt::Display| {
                Failure::input(say!(
                    "command.cannot-read",
                    file = file.display(),
                    why = why
                ))
            };
            let length = fs::metadata(file).map_err(|error| cannot(&error))?.len();
            if length > LARGEST {
                return Err(Failure::input(say!(
                    "paper.too-large",
                    file = file.display(),
                    limit = LARGEST / 1_000_000
                )));
            }
            let bytes = fs::read(file).map_err(|error| cannot(&error))?;
            let text =
                String::from_utf8(bytes).map_err(|_| Failure::input(say!("paper.not-utf8")))?;
            toml::from_str(&text).map_err(|error| Failure::input(error.to_string()).about(file))
        };
        of_file()
    }

    /// Checks what is supplied against the plan.
    pub fn check(&self, plan: &Plan) -> Result<(), Failure> {
        self.texts()?;
        let known = || words::list(plan.characteristics.iter().map(|one| one.number.clone()));
        let remarked = self.characteristic.iter().map(|one| &one.number);
        for number in self.first_article.covers.iter().chain(remarked) {
            if plan.find(number).is_none() {
                return Err(Failure::input(say!(
                    "first-article.no-number",
                    number = number,
                    known = known()
                )));
            }
        }
        for (index, one) in self.characteristic.iter().enumerate() {
            let before = self.characteristic.get(..index).unwrap_or_default();
            if before.iter().any(|other| other.number == one.number) {
                return Err(Failure::input(say!(
                    "first-article.twice",
                    number = one.number
                )));
            }
        }
        let article = &self.first_article;
        let extent = words::word(&article.extent);
        match article.extent {
            Extent::Full if article.baseline.is_some() => {
                Err(Failure::input(say!("first-article.no-baseline")))
            }
            Extent::Full if !article.covers.is_empty() => {
                Err(Failure::input(say!("first-article.covers-all")))
            }
            Extent::Partial | Extent::Delta if article.reason.is_none() => Err(Failure::input(
                say!("first-article.needs-reason", extent = extent),
            )),
            Extent::Partial | Extent::Delta if article.baseline.is_none() => Err(Failure::input(
                say!("first-article.needs-baseline", extent = extent),
            )),
            Extent::Partial | Extent::Delta if article.covers.is_empty() => {
                Err(Failure::input(say!(
                    "first-article.needs-covers",
                    extent = extent,
                    known = known()
                )))
            }
            _ => Ok(()),
        }
    }

    /// Whether a characteristic is shown by this first article, and not by the one before it.
    pub fn covers(&self, number: &str) -> bool {
        let article = &self.first_article;
        article.extent == Extent::Full || article.covers.iter().any(|one| one == number)
    }

    pub fn of(&self, number: &str) -> Option<&Remarked> {
        self.characteristic.iter().find(|one| one.number == number)
    }

    /// Every text is one line that a report shows as it is meant, and none is empty.
    fn texts(&self) -> Result<(), Failure> {
        let (part, article) = (&self.part, &self.first_article);
        let mut all: Vec<(&str, &String)> = Vec::new();
        for (key, text) in [
            ("part.number", &part.number),
            ("part.revision", &part.revision),
            ("part.serial", &part.serial),
            ("first-article.report", &article.report),
            ("first-article.replaces", &article.replaces),
            ("first-article.reason", &article.reason),
            ("first-article.baseline", &article.baseline),
        ] {
            all.extend(text.as_ref().map(|text| (key, text)));
        }
        for one in &self.certificate {
            all.extend([
                ("certificate.name", &one.name),
                ("certificate.number", &one.number),
            ]);
            for (key, text) in [
                ("certificate.specification", &one.specification),
                ("certificate.supplier", &one.supplier),
            ] {
                all.extend(text.as_ref().map(|text| (key, text)));
            }
        }
        for one in &self.characteristic {
            for (key, text) in [
                ("characteristic.location", &one.location),
                ("characteristic.not-measured", &one.not_measured),
                ("characteristic.comment", &one.comment),
                ("characteristic.tooling", &one.tooling),
            ] {
                all.extend(text.as_ref().map(|text| (key, text)));
            }
        }
        for (key, text) in all {
            if text.trim().is_empty() {
                return Err(Failure::input(say!("first-article.empty", key = key)));
            }
            on_one_line(key, text).map_err(|error| Failure::refused(&error))?;
        }
        Ok(())
    }
}
