//! `midflank first-article`: the first-article inspection report of a piece of a lot.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::Entry;
use workshop::first_article::Supplied;
use workshop::lots::{self, LotsError};

use super::on_paper::{OnPaper, short};
use super::recorded::remark;
use super::written;
use crate::desk;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, width};
use crate::report::first_article::{FirstArticle, supplied};
use crate::say;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "LOT", value_parser = Line)]
    lot: String,
    #[arg(long, value_name = "PIECE", value_parser = Line)]
    piece: Option<String>,
    #[arg(long, value_name = "NUMBER", value_parser = Line)]
    serial: Option<String>,
    #[arg(long, value_name = "NUMBER", value_parser = Line)]
    part_number: Option<String>,
    #[arg(long, value_name = "FILE")]
    supplied: Option<PathBuf>,
    #[arg(long, requires = "person")]
    record: bool,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: Option<String>,
    #[arg(long, conflicts_with = "pdf")]
    json: bool,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["pdf", "json"])]
    html: Option<PathBuf>,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["pdf", "json", "html"])]
    xlsx: Option<PathBuf>,
    #[command(flatten)]
    on_paper: OnPaper,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let mut supplied = match &arguments.supplied {
        Some(file) => supplied::read(file)?,
        None => Supplied::default(),
    };
    let part = &mut supplied.part;
    part.serial = arguments.serial.clone().or_else(|| part.serial.take());
    part.number = arguments.part_number.clone().or_else(|| part.number.take());
    let issuer = arguments.person.as_deref().filter(|_| arguments.record);
    let ledger = match issuer {
        Some(_) => desk::open(path)?,
        None => desk::open_to_read(path)?,
    };
    let Some(lot) = lots::find(&ledger, &arguments.lot)? else {
        let number = arguments.lot.clone();
        return Err(workshop::Error::input(LotsError::NoLot { number }).into());
    };
    let open = lots::open_runs(&ledger, &lot.begun.number)?;
    let matrix = lots::matrix(&ledger, &lot, &open)?;
    let piece = arguments.piece.as_deref();
    let draft = FirstArticle::of(&ledger, &lot, &matrix, piece, &supplied)?;
    let Some(person) = issuer else {
        return show(arguments, &draft, output);
    };
    let entry = lots::issue_first_article(&ledger, &draft.facts, &desk::recorder(person))?;
    let id = entry.id().to_string();
    let shown = FirstArticle::issued(&ledger, &entry).and_then(|article| {
        remark(&entry);
        show(arguments, &article, output)?;
        output.aside(&format!("{}\n", told(&article, &entry)))?;
        output.finish()
    });
    shown.map_err(|failure| failure.although_recorded(&id))
}

/// That it is recorded, and what it replaces.
fn told(article: &FirstArticle, entry: &Entry) -> String {
    let number = article.report.as_deref().unwrap_or_default();
    let id = entry.id();
    match (&article.replaces, &entry.content.amends) {
        (Some(replaced), None) => say!(
            "first-article.recorded-not-known",
            number = number,
            entry = id,
            replaced = replaced
        ),
        (Some(replaced), Some(_)) => say!(
            "first-article.recorded-replaces",
            number = number,
            entry = id,
            replaced = replaced
        ),
        (None, _) => say!("first-article.recorded", number = number, entry = id),
    }
}

fn show(arguments: &Arguments, article: &FirstArticle, output: &mut Output) -> Result<(), Failure> {
    let is_written = arguments.on_paper.write(output, |letterhead, size| {
        article.pdf(letterhead, &short(size))
    })?;
    if is_written {
        return Ok(());
    }
    let replace = arguments.on_paper.replace;
    if let Some(file) = &arguments.html {
        let page = article.html(&arguments.on_paper.letterhead()?, None);
        return written::write(file, page.into_string().as_bytes(), replace, output);
    }
    if let Some(file) = &arguments.xlsx {
        let tables = sheets::of_first_article(article);
        let bytes = sheets::workbook(&tables, article.recorded_at)?;
        return written::write(file, &bytes, replace, output);
    }
    if arguments.json {
        return output.json(article);
    }
    let letterhead = arguments.on_paper.letterhead()?;
    for line in article.text(&letterhead, width()) {
        output.line(&line)?;
    }
    Ok(())
}
