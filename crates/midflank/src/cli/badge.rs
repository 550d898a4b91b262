//! `midflank badge`: whose badge a code is.

use std::path::Path;

use clap::{Args, Subcommand};
use serde::Serialize;
use workshop::badge::Badge;
use workshop::badges::{self, Badges};

use crate::cli::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::Output;
use crate::report::lines::badge_told;
use crate::say;

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Add {
        #[arg(value_parser = Line)]
        code: String,
        #[arg(value_parser = Line)]
        name: String,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: String,
        #[arg(long)]
        json: bool,
    },
    List {
        #[arg(long)]
        json: bool,
    },
}

/// A badge as a document.
#[derive(Serialize)]
struct BadgeDocument<'a> {
    code: &'a str,
    name: &'a str,
}

impl<'a> From<&'a Badge> for BadgeDocument<'a> {
    fn from(badge: &'a Badge) -> Self {
        Self {
            code: &badge.code,
            name: &badge.name,
        }
    }
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::Add {
            code,
            name,
            person,
            json,
        } => {
            let badge = Badge {
                code: code.trim().to_owned(),
                name: name.trim().to_owned(),
            };
            for (of, text) in [("CODE", &badge.code), ("NAME", &badge.name)] {
                if text.is_empty() {
                    return Err(Failure::Input(say!("badge.missing", what = of)));
                }
            }
            let recorder = desk::recorder(person.trim());
            let anew = say!("badge.anew");
            let entry = badges::record(&desk::open(path)?, &badge, &recorder, anew)?;
            let answered = if *json {
                output.json(&BadgeDocument::from(&badge))
            } else {
                output.line(&badge_told(&badge))
            };
            answered
                .and_then(|()| recorded::acknowledge(&entry, *json, output))
                .and_then(|()| output.finish())
                .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
        }
        Command::List { json } => {
            let badges = Badges::read(&desk::open_to_read(path)?)?;
            for badge in badges.iter() {
                if *json {
                    output.json(&BadgeDocument::from(badge))?;
                } else {
                    output.line(&badge_told(badge))?;
                }
            }
            if !json && badges.iter().next().is_none() {
                output.line(say!("badge.none"))?;
            }
            output.finish()
        }
    }
}
