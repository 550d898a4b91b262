//! What `--help` shows. clap is told of commands and options in code; their words stand in the catalogue, under the path of the
//! command and, behind it, the option or argument as it is written: `help.ledger.verify.--expect`. They are put in only
//! when help is asked for.

use clap::{Arg, Command};

use crate::words;

/// Under this stand all of them, and those of an option that many commands have.
const HELP: &str = "help";
/// The ending of what is told beside: of an option in `--help` and not in `-h`, of a command at its end.
const MORE: &str = "more";

/// A command with its words, and those of all below it.
pub fn worded(command: Command) -> Command {
    of(command, HELP)
}

fn of(command: Command, path: &str) -> Command {
    let command = match told(path) {
        Some((about, more)) => command.about(about).after_help(more.unwrap_or_default()),
        None => command,
    };
    command
        .mut_args(|argument| {
            let written = written(&argument);
            let own = told(&format!("{path}.{written}"));
            match own.or_else(|| told(&format!("{HELP}.{written}"))) {
                Some((help, None)) => argument.help(help),
                Some((help, Some(more))) => {
                    argument.help(help).long_help(format!("{help}\n\n{more}"))
                }
                None => argument,
            }
        })
        .mut_subcommands(|below| {
            let path = format!("{path}.{}", below.get_name());
            of(below, &path)
        })
}

/// What stands under a key, and what is told beside it.
fn told(key: &str) -> Option<(&'static str, Option<&'static str>)> {
    let more = words::known(&format!("{key}.{MORE}"));
    words::known(key).map(|told| (told, more))
}

/// An option or argument as it is written: `--json`, `DESIGNATION`.
fn written(argument: &Arg) -> String {
    match (argument.get_long(), argument.get_value_names()) {
        (Some(long), _) => format!("--{long}"),
        (None, Some([name, ..])) => name.to_string(),
        (None, _) => argument.get_id().to_string().to_uppercase(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::cli::whole;

    /// Whether it comes with every command.
    fn is_builtin(argument: &Arg) -> bool {
        argument.get_id() == "help"
    }

    /// The keys of a command and of all below it, each with another one that does as well.
    fn keys(command: &Command, path: &str, all: &mut Vec<(String, Option<String>)>) {
        all.push((path.to_owned(), None));
        for argument in command.get_arguments().filter(|one| !is_builtin(one)) {
            let written = written(argument);
            let shared = format!("{HELP}.{written}");
            all.push((format!("{path}.{written}"), Some(shared)));
        }
        for below in command
            .get_subcommands()
            .filter(|one| one.get_name() != "help")
        {
            keys(below, &format!("{path}.{}", below.get_name()), all);
        }
    }

    #[test]
    fn every_command_and_argument_has_its_line_and_every_line_is_of_one() {
        let mut asked = Vec::new();
        keys(&whole(), HELP, &mut asked);
        let mut used = BTreeSet::new();
        for (own, shared) in asked {
            let found = [Some(own.clone()), shared].into_iter().flatten();
            let found = found.into_iter().find(|key| words::known(key).is_some());
            used.extend(found.as_ref().map(|key| format!("{key}.{MORE}")));
            used.insert(found.unwrap_or_else(|| panic!("{own} has no line")));
        }
        for key in words::keys().filter(|key| *key == HELP || key.starts_with("help.")) {
            assert!(used.contains(key), "{key} is of no command");
        }
    }

    /// What a comment in the code says would be shown, too, where a line is missing.
    #[test]
    fn no_words_stand_in_the_code() {
        fn look(command: &Command) {
            assert!(command.get_about().is_none(), "{}", command.get_name());
            for argument in command.get_arguments().filter(|one| !is_builtin(one)) {
                assert!(argument.get_help().is_none(), "{}", argument.get_id());
            }
            let below = command.get_subcommands();
            below.filter(|one| one.get_name() != "help").for_each(look);
        }
        look(&whole());
    }
}
