//! `midflank completions` and `midflank man`, both from the definitions of the commands.

use std::path::PathBuf;

use clap::Args;
use clap_complete::Shell;

use super::help;
use crate::failure::Failure;
use crate::output::Output;

#[derive(Args)]
pub struct CompletionsArguments {
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

#[derive(Args)]
pub struct ManArguments {
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

pub fn completions(arguments: &CompletionsArguments, output: &mut Output) -> Result<(), Failure> {
    let mut command = help::worded(super::whole());
    let name = command.get_name().to_owned();
    output.written(|bytes| clap_complete::generate(arguments.shell, &mut command, name, bytes))
}

/// One page a command, `midflank-limits.1` and the like; pages that are there are written again.
pub fn man(arguments: &ManArguments) -> Result<(), Failure> {
    let folder = &arguments.folder;
    let written = std::fs::create_dir_all(folder)
        .and_then(|()| clap_mangen::generate_to(help::worded(super::without_help()), folder));
    written.map_err(|error| Failure::outside(error).about(folder))
}
