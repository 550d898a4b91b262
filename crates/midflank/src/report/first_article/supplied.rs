//! What the ledger does not know of a first article: a file, or a form of a page.

use std::fs;
use std::path::Path;

use workshop::first_article::{Extent, Supplied};
use workshop::given::on_one_line;
use workshop::inspection_plan::Plan;

use crate::failure::Failure;
use crate::say;
use crate::words;

/// No file that is typed is larger, in bytes.
const LARGEST: u64 = 1_000_000;

/// What a file says.
pub fn read(file: &Path) -> Result<Supplied, Failure> {
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
    let text = String::from_utf8(bytes).map_err(|_| Failure::input(say!("paper.not-utf8")))?;
    toml::from_str(&text).map_err(|error| Failure::input(error.to_string()).about(file))
}

/// Checks what is supplied against the plan.
pub fn check(supplied: &Supplied, plan: &Plan) -> Result<(), Failure> {
    texts(supplied)?;
    let known = || words::list(plan.characteristics.iter().map(|one| one.number.clone()));
    let remarked = supplied.characteristic.iter().map(|one| &one.number);
    for number in supplied.first_article.covers.iter().chain(remarked) {
        if plan.find(number).is_none() {
            return Err(Failure::input(say!(
                "first-article.no-number",
                number = number,
                known = known()
            )));
        }
    }
    for (index, one) in supplied.characteristic.iter().enumerate() {
        let before = supplied.characteristic.get(..index).unwrap_or_default();
        if before.iter().any(|other| other.number == one.number) {
            return Err(Failure::input(say!(
                "first-article.twice",
                number = one.number
            )));
        }
    }
    let article = &supplied.first_article;
    let extent = words::word(&article.extent);
    match article.extent {
        Extent::Full if article.baseline.is_some() => {
            Err(Failure::input(say!("first-article.no-baseline")))
        }
        Extent::Full if !article.covers.is_empty() => {
            Err(Failure::input(say!("first-article.covers-all")))
        }
        Extent::Partial | Extent::Delta if article.reason.is_none() => Err(Failure::input(say!(
            "first-article.needs-reason",
            extent = extent
        ))),
        Extent::Partial | Extent::Delta if article.baseline.is_none() => Err(Failure::input(say!(
            "first-article.needs-baseline",
            extent = extent
        ))),
        Extent::Partial | Extent::Delta if article.covers.is_empty() => Err(Failure::input(say!(
            "first-article.needs-covers",
            extent = extent,
            known = known()
        ))),
        _ => Ok(()),
    }
}

/// Every text is one line that a report shows as it is meant, and none is empty.
fn texts(supplied: &Supplied) -> Result<(), Failure> {
    let (part, article) = (&supplied.part, &supplied.first_article);
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
    for one in &supplied.certificate {
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
    for one in &supplied.characteristic {
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
