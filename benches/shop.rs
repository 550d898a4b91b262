//! How fast a ledger records: `cargo bench --locked -p benches --features shop --bench shop`. Prints the tables of docs/postgresql.md.
//!
//! Each entry has its facts beside it: 20 numbers, 10 texts and three pieces of equipment.
//!
//! Fifty writers on a PostgreSQL server, each waiting until its own entry is acknowledged, against `pgbench`: fifty clients
//! that insert the same rows into the same tables without chain, guards or keys, on the same server in the same run. And
//! one writer on a file against plain inserts of the same rows with the same synchronisation. In turns, three times each;
//! the middle one counts. The server is a new one with its own settings, but for the number of connections.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods
)]

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;
use std::time::{Duration, Instant};
use std::{env, fs};

use ledger::{Actor, Draft, Facts, Filter, Ledger, Number, OpenOptions, Subject, Text, Used};
use rusqlite::{Connection, params};

#[path = "../scripts/cluster.rs"]
#[allow(dead_code, reason = "others take what this does not")]
mod cluster;

use cluster::{Cluster, OWNER, RECORDER};

const WRITERS: usize = 50;
const ROUNDS: usize = 3;
/// How many processes the writers are shared out to where they are several.
const PROCESSES: usize = 10;
const ROLES: [&str; 8] = [
    "part",
    "drawing",
    "order",
    "lot",
    "instrument",
    "contacts",
    "standard",
    "verdict",
];
/// Names the ledger to a process of writers.
const LEDGER: &str = "LEDGER_BENCH";

fn main() {
    if let Ok(path) = env::var(LEDGER) {
        println!("{}", append(Path::new(&path), WRITERS / PROCESSES));
        return;
    }
    let folder = env::temp_dir().join(format!("ledger-bench-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    if env::var_os("FILE_ONLY").is_none() {
        server(&folder);
    }
    file(&folder);
    fs::remove_dir_all(folder).unwrap();
}

fn time() -> Duration {
    let seconds = env::var("SECONDS_EACH").map_or(10, |seconds| seconds.parse().unwrap());
    Duration::from_secs(seconds)
}

/// About 10 kB of documents, in the proportions of an inspection, and eight things that it touches.
fn draft(number: u64) -> Draft {
    let mut readings = String::new();
    for reading in 0..130 {
        let digits = (number * 7919 + reading * 104_729) % 100_000;
        let _ = write!(
            readings,
            r#"{{"reading":"0.2{digits:05}in","at":{reading}}},"#
        );
    }
    let document = |part: &str, of: usize| format!("{{\"{part}\":[{}]}}", &readings[..of]);
    Draft {
        kind: "inspection".into(),
        recorded_at: jiff::Timestamp::UNIX_EPOCH,
        zone: "Europe/Paris".into(),
        actor: Actor::typed("A. Lindqvist"),
        station: "bench 2".into(),
        inputs: document("inputs", 3000),
        results: document("results", 3800) + &document("budget", 2000),
        editions: document("editions", 600),
        words: document("words", 600),
        program: "midflank 0.1.0".into(),
        amends: None,
        events: None,
        subjects: ROLES
            .map(|role| Subject::new(role, format!("{role}-{}", number % 1000)))
            .into(),
    }
}

/// Which of what it touches is equipment.
const USED: [&str; 3] = ["instrument", "contacts", "standard"];

/// The facts of an entry; the same of each but for what it touches.
fn facts(draft: &Draft) -> Facts {
    let mut facts = Facts::default();
    facts.at = Some(draft.recorded_at);
    for number in Number::ALL.into_iter().take(20) {
        facts.set(number, 8.9 + f64::from(number as u8) / 1000.0);
    }
    for text in Text::ALL.into_iter().take(10) {
        facts.tell(text, draft.subject("part").map(str::to_owned));
    }
    for role in USED {
        facts.uses(Used {
            role: role.into(),
            identity: draft.subject(role).unwrap().into(),
            part_of: None,
            sensitivity: Some(1.0),
        });
    }
    facts
}

/// Columns and values of those facts, as SQL; the part is `$PART`.
fn facts_sql(part: &str) -> (String, String) {
    let numbers = Number::ALL.into_iter().take(20);
    let texts = Text::ALL.into_iter().take(10);
    let columns: Vec<&str> = numbers
        .clone()
        .map(Number::column)
        .chain(texts.clone().map(Text::column))
        .collect();
    let values: Vec<String> = numbers
        .map(|number| (8.9 + f64::from(number as u8) / 1000.0).to_string())
        .chain(texts.map(|_| part.to_owned()))
        .collect();
    (columns.join(", "), values.join(", "))
}

fn bytes(draft: &Draft) -> usize {
    draft.inputs.len() + draft.results.len() + draft.editions.len() + draft.words.len()
}

/// How many entries a second so many threads record, each waiting for its own.
fn append(path: &Path, writers: usize) -> f64 {
    let options = OpenOptions::new()
        .facts(facts)
        .patience(Duration::from_mins(1));
    let ledger = options.open(path).unwrap();
    let next = AtomicU64::new(u64::from(std::process::id()) * 1000);
    let (begun, time) = (Instant::now(), time());
    let recorded: u64 = thread::scope(|scope| {
        let writers: Vec<_> = (0..writers)
            .map(|_| {
                scope.spawn(|| {
                    let mut recorded = 0;
                    while begun.elapsed() < time {
                        ledger
                            .append(&draft(next.fetch_add(1, Ordering::Relaxed)))
                            .unwrap();
                        recorded += 1;
                    }
                    recorded
                })
            })
            .collect();
        writers
            .into_iter()
            .map(|writer| writer.join().unwrap())
            .sum()
    });
    recorded as f64 / begun.elapsed().as_secs_f64()
}

/// The same by several processes.
fn append_by_processes(path: &Path) -> f64 {
    let processes: Vec<_> = (0..PROCESSES)
        .map(|_| {
            Command::new(env::current_exe().unwrap())
                .env(LEDGER, path)
                .stdout(Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    let rates = processes.into_iter().map(|process| {
        let output = process.wait_with_output().unwrap();
        String::from_utf8(output.stdout)
            .unwrap()
            .trim()
            .parse::<f64>()
            .unwrap()
    });
    rates.sum()
}

fn server(folder: &Path) {
    let cluster = Cluster::start("");
    let name = cluster.empty_database();
    let path = cluster.address(OWNER, &name);
    Ledger::prepare_server(&path, &[RECORDER.to_owned()]).unwrap();
    let path = cluster.address(RECORDER, &name);
    cluster.sql(
        &name,
        "CREATE SCHEMA plain;
         CREATE TABLE plain.entry (LIKE midflank.entry INCLUDING ALL);
         CREATE TABLE plain.subject (LIKE midflank.subject INCLUDING ALL);
         CREATE TABLE plain.fact (LIKE midflank.fact INCLUDING ALL);
         CREATE TABLE plain.used (LIKE midflank.used INCLUDING ALL);
         CREATE SEQUENCE plain.sequence",
    );
    let script = folder.join("plain.sql");
    fs::write(&script, plain()).unwrap();
    let mut rates: [Vec<f64>; 4] = Default::default();
    for _ in 0..ROUNDS {
        rates[0].push(pgbench(&cluster, &name, &script));
        rates[1].push(append(&path, WRITERS));
        rates[2].push(append_by_processes(&path));
        rates[3].push(append(&path, 1));
    }
    let ledger = Ledger::open_read_only(&path).unwrap();
    let plain = cluster.sql(
        &name,
        "SELECT count(*), (SELECT count(*) FROM plain.subject) FROM plain.entry",
    );
    println!(
        "{} bytes of documents; {} entries, and {} plain rows with subjects",
        bytes(&draft(7)),
        ledger.count(&Filter::default()).unwrap(),
        plain.trim()
    );
    let version = cluster.sql("postgres", "SHOW server_version");
    table(
        &format!("PostgreSQL {}", version.trim()),
        &[
            (
                "`pgbench`, 50 clients, the same rows without chain, guards or keys",
                &rates[0],
            ),
            ("ledger, 50 writers in one program", &rates[1]),
            ("ledger, 50 writers in ten programs", &rates[2]),
            ("ledger, one writer", &rates[3]),
        ],
    );
}

/// What a client of pgbench does: the rows of an entry, of eight things that it touches, of its facts and of three pieces of
/// equipment, by four statements in one transaction.
fn plain() -> String {
    let draft = draft(7);
    let digits = "md5(random()::text) || md5(random()::text)";
    let subjects: Vec<String> = ROLES
        .iter()
        .map(|role| format!("('{role}', '{role}-' || :n, currval('plain.sequence'))"))
        .collect();
    let (columns, values) = facts_sql("'part-' || :n");
    let used: Vec<String> = USED
        .iter()
        .map(|role| {
            format!(
                "('{role}', '{role}-' || :n, '1970-01-01T00:00:00.000000000Z', currval('plain.sequence'), 1)"
            )
        })
        .collect();
    format!(
        "\\set n random(0, 999)\n\
         BEGIN;\n\
         INSERT INTO plain.entry (sequence, encoding, previous, hash, recorded_at, zone, kind, actor_id, actor_name, actor_how, \
         station, program, inputs, results, editions, words, search, key) \
         VALUES (nextval('plain.sequence'), 'midflank-ledger-2', {digits}, {digits}, '1970-01-01T00:00:00.000000000Z', \
         'Europe/Paris', 'inspection', '', 'A. Lindqvist', 'typed', 'bench 2', 'midflank 0.1.0', \
         '{}', '{}', '{}', '{}', '{}', gen_random_uuid());\n\
         INSERT INTO plain.subject (role, identity, sequence) VALUES {};\n\
         INSERT INTO plain.fact (sequence, check_digits, recorded_on, at, {columns}) \
         VALUES (currval('plain.sequence'), 'abcd', '1970-01-01', '1970-01-01T00:00:00.000000000Z', {values});\n\
         INSERT INTO plain.used (role, identity, at, sequence, sensitivity) VALUES {};\n\
         COMMIT;\n",
        draft.inputs,
        draft.results,
        draft.editions,
        draft.words,
        ROLES.map(|role| format!("{role}-7")).join(" "),
        subjects.join(", "),
        used.join(", ")
    )
    // A colon would begin the name of a variable.
    .replace(":\"", "\\:\"")
    .replace("\\:\"", ": \"")
}

fn pgbench(cluster: &Cluster, name: &str, script: &Path) -> f64 {
    let output = Command::new(cluster::binary("pgbench"))
        .args(["-n", "-M", "prepared", "-c", "50", "-j", "2", "-T"])
        .arg(time().as_secs().to_string())
        .arg("-f")
        .arg(script)
        .arg(cluster.admin(name))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    let line = said.lines().find_map(|line| line.strip_prefix("tps = "));
    let Some(line) = line.filter(|_| output.status.success()) else {
        panic!("{said}\n{}", String::from_utf8_lossy(&output.stderr));
    };
    line.split(' ').next().unwrap().parse().unwrap()
}

fn file(folder: &Path) {
    let paths: [PathBuf; 3] = ["plain.db", "log.db", "ledger.db"].map(|name| folder.join(name));
    for path in &paths {
        Ledger::open(path).unwrap();
    }
    let mut rates: [Vec<f64>; 3] = Default::default();
    for _ in 0..ROUNDS {
        rates[0].push(plain_inserts(&paths[0], "DELETE"));
        rates[1].push(append(&paths[2], 1));
        rates[2].push(plain_inserts(&paths[1], "WAL"));
    }
    table(
        "SQLite, one writer, full synchronisation",
        &[
            (
                "plain inserts of the same rows, each in the file when it is answered (rollback journal)",
                &rates[0],
            ),
            ("ledger, each in the file when it is answered", &rates[1]),
            (
                "plain inserts of the same rows, each in the log only (write-ahead log)",
                &rates[2],
            ),
        ],
    );
}

/// The same rows in the same tables, without the guards.
fn plain_inserts(path: &Path, journal: &str) -> f64 {
    let mut connection = Connection::open(path).unwrap();
    connection
        .execute_batch(&format!(
            "PRAGMA journal_mode = {journal}; PRAGMA synchronous = FULL;"
        ))
        .unwrap();
    let triggers: Vec<String> = connection
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    for trigger in triggers {
        connection
            .execute_batch(&format!("DROP TRIGGER {trigger}"))
            .unwrap();
    }
    let mut hash = format!("{:064x}", 7);
    let (begun, time) = (Instant::now(), time());
    let mut recorded: u64 = 0;
    while begun.elapsed() < time {
        let draft = draft(recorded);
        let transaction = connection.transaction().unwrap();
        let previous = hash;
        hash = format!("{:064x}", u128::from(recorded) * 0x9e37_79b9_7f4a_7c15);
        transaction
            .prepare_cached(
                "INSERT INTO entry (encoding, previous, hash, recorded_at, zone, kind, actor_id, actor_name, actor_how,
                                    station, program, inputs, results, editions, words)
                 VALUES ('midflank-ledger-2', ?1, ?2, '1970-01-01T00:00:00.000000000Z', ?3, ?4, ?5, ?6, 'typed', ?7, ?8,
                         ?9, ?10, ?11, ?12)",
            )
            .unwrap()
            .execute(params![
                previous,
                hash,
                draft.zone,
                draft.kind,
                draft.actor.id,
                draft.actor.name,
                draft.station,
                draft.program,
                draft.inputs,
                draft.results,
                draft.editions,
                draft.words
            ])
            .unwrap();
        let sequence = transaction.last_insert_rowid();
        let subjects: &BTreeSet<Subject> = &draft.subjects;
        let mut words = draft.actor.name.to_lowercase();
        for Subject { role, identity } in subjects {
            transaction
                .prepare_cached(
                    "INSERT INTO subject (role, identity, sequence) VALUES (?1, ?2, ?3)",
                )
                .unwrap()
                .execute(params![role, identity, sequence])
                .unwrap();
            words = words + "\n" + identity;
        }
        let (columns, values) = facts_sql("?2");
        let at = "1970-01-01T00:00:00.000000000Z";
        transaction
            .prepare_cached(&format!(
                "INSERT INTO fact (sequence, check_digits, recorded_on, at, {columns})
                 VALUES (?1, 'abcd', '1970-01-01', '{at}', {values})"
            ))
            .unwrap()
            .execute(params![sequence, draft.subject("part").unwrap()])
            .unwrap();
        for role in USED {
            transaction
                .prepare_cached(&format!(
                    "INSERT INTO used (role, identity, at, sequence, sensitivity) VALUES (?1, ?2, '{at}', ?3, 1)"
                ))
                .unwrap()
                .execute(params![role, draft.subject(role).unwrap(), sequence])
                .unwrap();
        }
        transaction
            .prepare_cached("INSERT INTO search (rowid, text) VALUES (?1, ?2)")
            .unwrap()
            .execute(params![sequence, words])
            .unwrap();
        transaction.commit().unwrap();
        recorded += 1;
    }
    recorded as f64 / begun.elapsed().as_secs_f64()
}

/// The middle of the rates of each line, against the first line.
fn table(title: &str, lines: &[(&str, &Vec<f64>)]) {
    println!("\n| {title} | entries a second | each run | |\n|---|---|---|---|");
    let middle = |rates: &Vec<f64>| {
        let mut rates = rates.clone();
        rates.sort_by(f64::total_cmp);
        rates[rates.len() / 2]
    };
    let first = middle(lines[0].1);
    for (what, rates) in lines {
        let each: Vec<String> = rates.iter().map(|rate| format!("{rate:.0}")).collect();
        let share = 100.0 * middle(rates) / first;
        println!(
            "| {what} | {:.0} | {} | {share:.0} % |",
            middle(rates),
            each.join(", ")
        );
    }
}
