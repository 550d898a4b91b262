//! `midflank demo`: the whole job on three invented parts, so that a newcomer sees it before measuring anything.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use ledger::{Filter, Ledger};

use super::inspect::{compute, read};
use crate::cli::recorded;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::files;
use crate::output::{Output, width};
use crate::register::Shelf;
use crate::report::{text, verdict_words};
use crate::say;
use crate::words::InWords as _;

/// The job files, and an equipment file to begin a register from, as in the folder `demo` of the sources.
const FILES: [(&str, &str); 5] = [
    (
        "1-rating-screw.toml",
        include_str!("../../../../demo/1-rating-screw.toml"),
    ),
    (
        "2-cock-screw.toml",
        include_str!("../../../../demo/2-cock-screw.toml"),
    ),
    (
        "2-cock-screw.csv",
        include_str!("../../../../demo/2-cock-screw.csv"),
    ),
    (
        "3-dial-bolt.toml",
        include_str!("../../../../demo/3-dial-bolt.toml"),
    ),
    (
        "equipment.toml",
        include_str!("../../../../demo/features/equipment.toml"),
    ),
];

/// Those of them that are jobs.
const JOBS: [&str; 3] = [
    "1-rating-screw.toml",
    "2-cock-screw.toml",
    "3-dial-bolt.toml",
];

/// The parts that they measure.
const PARTS: [&str; 3] = [
    "pendulum rating screw",
    "escapement cock screw",
    "dial bolt",
];

#[derive(Args)]
pub struct Arguments {
    #[arg(long, value_name = "FOLDER")]
    folder: Option<PathBuf>,
    #[arg(long)]
    year: bool,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let folder = match &arguments.folder {
        Some(folder) => folder.clone(),
        None => desk::data_folder()?.join("demo"),
    };
    if arguments.year {
        return year(&folder, ledger, output);
    }
    // A ledger of its own, unless --ledger names one: invented parts do not belong among real ones.
    let ledger_path = ledger.map_or_else(|| folder.join("demo.db"), Path::to_owned);
    write_files(&folder)?;
    let ledger = desk::open(Some(&ledger_path))?;
    only_the_demo(&ledger)?;
    let now = clock::now()?;
    let mut summary = Vec::new();
    for name in JOBS {
        let path = folder.join(name);
        let job = read(&path, now, &Shelf::beside(&ledger_path))?;
        let result = compute(&path, &job)?;
        let entry = ledger.append(&desk::draft(&job, &result, None)?)?;
        output.line(&"=".repeat(width().min(text::WIDTH)))?;
        output.text(&text::answer(&job, &result, width()))?;
        recorded::acknowledge(&entry, false, output)?;
        summary.push(format!(
            "  {:<10} {:<10} {}, {}",
            entry.id().to_string(),
            verdict_words(&result.decision.decision),
            job.part.name,
            result.characteristic()
        ));
    }
    output.line(&"=".repeat(width().min(text::WIDTH)))?;
    for line in summary {
        output.line(&line)?;
    }
    output.line("")?;
    output.line(&say!("command.demo-files", folder = folder.display()))?;
    let first = folder.join(JOBS[0]);
    let ledger = ledger_path.display();
    for command in [
        format!("inspect {}", first.display()),
        format!("--ledger {ledger} report 1"),
        format!("--ledger {ledger} ledger verify"),
    ] {
        output.line(&format!("  midflank {command}"))?;
    }
    Ok(())
}

/// A year of an invented gauge room, in a ledger of its own.
fn year(folder: &Path, ledger: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|error| {
        let file = folder.display();
        Failure::outside(say!("command.cannot-write", file = file, why = error))
    })?;
    let place = ledger.map_or_else(|| folder.join("year.db"), Path::to_owned);
    let ledger = desk::open(Some(&place))?;
    if ledger.count(&Filter::default())? > 0 {
        let path = place.display();
        return Err(Failure::input(say!("year.not-empty", path = path)));
    }
    super::year::fill(&ledger, &place, clock::now()?, output)?;
    output.line(say!("year.look"))?;
    for command in ["bench", "due --intervals", "wear fl-6", "recalls list"] {
        output.line(&format!(
            "  midflank --ledger {} {command}",
            place.display()
        ))?;
    }
    Ok(())
}

/// Refuses a ledger with records of other work, also where it was named: invented parts do not belong among real ones.
fn only_the_demo(ledger: &Ledger) -> Result<(), Failure> {
    let mut others = ledger.count(&Filter::default())?;
    for part in PARTS {
        others = others.saturating_sub(ledger.count(&Filter::touching("part", part))?);
    }
    if others == 0 {
        return Ok(());
    }
    let path = ledger.path().display();
    Err(Failure::input(say!("command.demo-other-work", path = path)))
}

/// Lays the job files out; a file that somebody changed is left as it is.
fn write_files(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|error| {
        Failure::outside(say!(
            "command.cannot-write",
            file = folder.display(),
            why = error
        ))
    })?;
    for (name, content) in FILES {
        let path = folder.join(name);
        if !path.exists() {
            files::write(&path, content.as_bytes(), false)?;
        }
    }
    Ok(())
}
