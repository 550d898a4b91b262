//! A first article as sheets: what it is of, and its characteristics, certificates and equipment.

use super::{Cell, Table};
use crate::report::first_article::{FirstArticle, Line};
use crate::report::verdict_word;
use crate::say;
use crate::words;

/// A size is shown with so many decimals more than its limits have.
const FINER: usize = 2;

pub fn of_first_article(article: &FirstArticle) -> Vec<Table> {
    vec![
        facts(article),
        characteristics(article),
        certificates(article),
        equipment(article),
    ]
}

fn named(all: &[&'static str]) -> Vec<String> {
    all.iter().map(|name| (*name).to_owned()).collect()
}

fn facts(article: &FirstArticle) -> Table {
    let (part, counts) = (&article.part, &article.counts);
    let because = article.because.as_ref().map(words::word);
    let held = article.nonconformance.as_ref();
    let texts = [
        (say!("first-article.report"), article.report.clone()),
        (say!("first-article.part-number"), part.number.clone()),
        (say!("sheet.part"), Some(part.name.clone())),
        (say!("first-article.revision"), part.revision.clone()),
        (say!("paper.serial"), part.serial.clone()),
        (say!("sheet.drawing"), Some(part.drawing.clone())),
        (
            say!("first-article.extent"),
            Some(words::named("first-article-extent", article.extent)),
        ),
        (say!("first-article.reason"), article.reason.clone()),
        (say!("first-article.baseline"), article.baseline.clone()),
        (say!("sheet.lot"), Some(article.lot.clone())),
        (say!("sheet.piece"), Some(article.piece.clone())),
        (say!("sheet.order"), article.order.clone()),
        (say!("sheet.customer"), article.customer.clone()),
        (say!("sheet.verdict"), Some(verdict_word(&article.verdict))),
        (say!("sheet.because"), because),
        (
            say!("first-article.nonconformance"),
            held.map(|held| held.told.clone()),
        ),
        (
            say!("first-article.issued"),
            Some(article.issued.as_ref().map_or_else(
                || say!("first-article.draft").to_owned(),
                |issued| issued.entry.clone(),
            )),
        ),
        (say!("sheet.entry"), Some(article.entry.clone())),
        (say!("sheet.hash"), Some(article.hash.clone())),
    ];
    let texts = texts.into_iter();
    let mut rows: Vec<Vec<Cell>> = texts
        .filter_map(|(name, text)| Some(vec![Cell::text(name), Cell::text(text?)]))
        .collect();
    for (name, n) in [
        (
            say!("first-article.characteristics"),
            counts.characteristics,
        ),
        (say!("sheet.accepted"), counts.accept),
        (say!("sheet.rejected"), counts.reject),
        (say!("sheet.undecided"), counts.undecided),
        (say!("sheet.not-measured"), counts.not_measured),
        (say!("first-article.not-covered"), counts.not_covered),
    ] {
        rows.push(vec![Cell::text(name), Cell::Count(n)]);
    }
    Table {
        name: say!("sheet.name-first-article").to_owned(),
        columns: named(&[say!("sheet.what"), say!("sheet.value")]),
        rows,
    }
}

fn characteristics(article: &FirstArticle) -> Table {
    Table {
        name: say!("sheet.name-characteristics").to_owned(),
        columns: named(&[
            say!("sheet.number"),
            say!("sheet.characteristic"),
            say!("sheet.location"),
            say!("sheet.class"),
            say!("sheet.lower"),
            say!("sheet.upper"),
            say!("sheet.unit"),
            say!("sheet.size"),
            say!("sheet.expanded"),
            "k",
            say!("first-article.result"),
            say!("sheet.verdict"),
            say!("sheet.rule"),
            say!("first-article.with"),
            say!("first-article.comments"),
            say!("sheet.measured"),
            say!("sheet.person"),
            say!("sheet.entry"),
            say!("sheet.warnings"),
        ]),
        rows: article.characteristics.iter().map(row).collect(),
    }
}

fn row(line: &Line) -> Vec<Cell> {
    let decimals = line.decimals.map_or(0, |decimals| decimals as usize);
    let fine = decimals + FINER;
    let warnings = line.warnings.join(" ");
    // A size stands in its own cells.
    let found = line.size.is_none().then(|| line.result());
    vec![
        Cell::text(&line.number),
        Cell::text(&line.characteristic),
        Cell::optional(line.location.as_ref()),
        Cell::text(words::named("plan-class", line.class)),
        Cell::number(line.min, decimals),
        Cell::number(line.max, decimals),
        Cell::optional(line.unit),
        Cell::number(line.size, fine),
        Cell::number(line.expanded_uncertainty, fine),
        Cell::number(line.coverage_factor, 2),
        Cell::optional(found),
        Cell::text(line.verdict_in_words()),
        Cell::optional(line.rule.as_ref()),
        Cell::text(line.method()),
        Cell::text(line.comments()),
        Cell::optional(line.measured_at),
        Cell::optional(line.person.as_ref()),
        Cell::optional(line.entry.as_ref()),
        Cell::optional(Some(warnings).filter(|text| !text.is_empty())),
    ]
}

fn certificates(article: &FirstArticle) -> Table {
    let rows = article.certificates.iter().map(|one| {
        vec![
            Cell::text(words::word(&one.of)),
            Cell::text(&one.name),
            Cell::optional(one.specification.as_ref()),
            Cell::text(&one.number),
            Cell::optional(one.supplier.as_ref()),
        ]
    });
    Table {
        name: say!("sheet.name-certificates").to_owned(),
        columns: named(&[
            say!("first-article.certificate-of"),
            say!("first-article.certificate-name"),
            say!("first-article.specification"),
            say!("first-article.certificate-number"),
            say!("first-article.supplier"),
        ]),
        rows: rows.collect(),
    }
}

fn equipment(article: &FirstArticle) -> Table {
    let rows = article.equipment.iter().map(|used| {
        vec![
            Cell::text(&used.role),
            Cell::text(&used.described),
            Cell::text(used.characteristics.join(", ")),
        ]
    });
    Table {
        name: say!("sheet.name-equipment").to_owned(),
        columns: named(&[
            say!("paper-lot.role"),
            say!("report.equipment"),
            say!("paper-lot.used-for"),
        ]),
        rows: rows.collect(),
    }
}
