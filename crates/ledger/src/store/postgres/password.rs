//! The password where the address has none: the environment, or the file of passwords that other clients use, too.

use std::path::{Path, PathBuf};
use std::{env, fs};

use postgres::Config;
use postgres::config::Host;

use crate::AddressFault;

/// The password for the first of the hosts that there is one for.
pub(super) fn find(config: &Config) -> Result<Option<String>, AddressFault> {
    if let Ok(password) = env::var("PGPASSWORD") {
        return Ok(Some(password));
    }
    let Some(file) = file() else {
        return Ok(None);
    };
    let Ok(text) = fs::read_to_string(&file) else {
        return Ok(None);
    };
    if is_open(&file) {
        return Err(AddressFault::PasswordFileOpen { file });
    }
    let user = config.get_user().map(str::to_owned);
    let user = user.or_else(|| env::var("USER").ok()).unwrap_or_default();
    let database = config.get_dbname().unwrap_or_default();
    let find = |(host, port): (String, String)| in_file(&text, [&host, &port, database, &user]);
    Ok(hosts(config).into_iter().find_map(find))
}

fn file() -> Option<PathBuf> {
    if let Some(named) = env::var_os("PGPASSFILE") {
        return Some(named.into());
    }
    let home = env::home_dir()?;
    Some(home.join(".pgpass"))
}

/// Whether others than its owner can read the file.
#[cfg(unix)]
fn is_open(file: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt as _;
    fs::metadata(file).is_ok_and(|found| found.permissions().mode() & 0o077 != 0)
}

#[cfg(not(unix))]
fn is_open(_: &Path) -> bool {
    false
}

/// The password of the first line that fits: `host:port:database:user:password`, where `*` fits all and a backslash comes
/// before a colon or backslash that is meant as such.
fn in_file(text: &str, asked: [&str; 4]) -> Option<String> {
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .find_map(|line| {
            let mut fields = fields(line).into_iter();
            let fits = asked
                .iter()
                .all(|asked| fields.next().is_some_and(|it| it == "*" || it == *asked));
            fields.next().filter(|_| fits)
        })
}

fn fields(line: &str) -> Vec<String> {
    let mut fields = vec![String::new()];
    let mut letters = line.chars();
    while let Some(letter) = letters.next() {
        let letter = match letter {
            ':' if fields.len() < 5 => {
                fields.push(String::new());
                continue;
            }
            '\\' => letters.next().unwrap_or('\\'),
            other => other,
        };
        if let Some(field) = fields.last_mut() {
            field.push(letter);
        }
    }
    fields
}

/// The hosts and ports of a configuration, as a file of passwords names them.
pub(super) fn hosts(config: &Config) -> Vec<(String, String)> {
    let ports = config.get_ports();
    let named = config.get_hosts().iter().map(|host| match host {
        Host::Tcp(name) => name.clone(),
        #[cfg(unix)]
        Host::Unix(folder) => folder.display().to_string(),
    });
    let numbered = config.get_hostaddrs().iter().map(ToString::to_string);
    let hosts = named.chain(numbered).enumerate().map(|(index, host)| {
        let port = ports.get(index).or_else(|| ports.first());
        (host, port.unwrap_or(&5432).to_string())
    });
    hosts.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_line_that_fits_gives_the_password() {
        let text = "# shop\nshop:5432:books:al:a\\:b\\\\c\n*:*:books:al:other\nshort:1\n";
        let asked = |host| in_file(text, [host, "5432", "books", "al"]);
        assert_eq!(asked("shop").as_deref(), Some("a:b\\c"));
        assert_eq!(asked("else").as_deref(), Some("other"));
        assert_eq!(in_file(text, ["shop", "5432", "tools", "al"]), None);
    }
}
