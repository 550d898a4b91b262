//! `midflank first-article`: the first-article inspection report of a piece of a lot.

use std::path::{Path, PathBuf};

use clap::Args;
use workshop::lots::{self, LotsError};

use super::on_paper::{OnPaper, short};
use super::written;
use crate::desk;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, width};
use crate::report::first_article::{FirstArticle, Supplied};

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
        Some(file) => Supplied::read(file)?,
        None => Supplied::default(),
    };
    let part = &mut supplied.part;
    part.serial = arguments.serial.clone().or_else(|| part.serial.take());
    part.number = arguments.part_number.clone().or_else(|| part.number.take());
    let ledger = desk::open_to_read(path)?;
    let Some(lot) = lots::find(&ledger, &arguments.lot)? else {
        let number = arguments.lot.clone();
        return Err(workshop::Error::input(LotsError::NoLot { number }).into());
    };
    let open = lots::open_runs(&ledger, &lot.begun.number)?;
    let matrix = lots::matrix(&ledger, &lot, &open)?;
    let piece = arguments.piece.as_deref();
    let article = FirstArticle::of(&ledger, &lot, &matrix, piece, &supplied)?;
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
        let tables = sheets::of_first_article(&article);
        let bytes = sheets::workbook(&tables, article.recorded_at)?;
        return written::write(file, &bytes, replace, output);
    }
    if arguments.json {
        return output.json(&article);
    }
    let letterhead = arguments.on_paper.letterhead()?;
    for line in article.text(&letterhead, width()) {
        output.line(&line)?;
    }
    Ok(())
}
