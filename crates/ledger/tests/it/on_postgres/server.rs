//! What only a server has: roles, hosts, a password, a connection that breaks.

use std::io::{Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, AtomicU32, Ordering};
use std::thread;
use std::time::Duration;

use ledger::{
    AddressFault, Error, FaultKind, Filter, Ledger, OpenOptions, Place, Server, StorageFault,
    Subject,
};

use super::{Folder, admin, database, is_refused, tamper};
use crate::books::{draft, event, six, verify};
use crate::cluster::{Cluster, OWNER, RECORDER, free_port};

/// What the server is said to do.
fn server(result: ledger::Result<Ledger>) -> Server {
    match result {
        Err(Error::Server { what, .. }) => what,
        other => panic!("{other:?}"),
    }
}

fn impatient() -> OpenOptions {
    OpenOptions::new().patience(Duration::from_millis(300))
}

#[test]
fn what_is_recorded_is_neither_changed_nor_deleted_by_any_role() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let ledger = Ledger::open(&path).unwrap();
    ledger
        .begin_job(jiff::Timestamp::UNIX_EPOCH, &[event("a")])
        .unwrap();
    let columns = "encoding, recorded_at, zone, kind, actor_id, actor_name, actor_how, station, program, inputs, results, editions, words, search, key";
    let insert = |place: &str, number: u32| {
        format!(
            "INSERT INTO entry (sequence, previous, hash, {columns}) \
             SELECT {place}, {columns} FROM entry WHERE sequence = {number}"
        )
    };
    let first = format!("1, '{}', hash", "0".repeat(64));
    for sql in [
        "UPDATE entry SET station = 'x'",
        "DELETE FROM entry WHERE sequence = 6",
        "TRUNCATE entry CASCADE",
        "UPDATE subject SET identity = 'x'",
        "DELETE FROM subject",
        "TRUNCATE subject",
        "UPDATE bench_event SET event = 'x'",
        "DELETE FROM bench_event",
        "TRUNCATE bench_event",
        "INSERT INTO subject VALUES ('instrument', 'mic-05', 2)",
        &insert("7, previous, hash", 6),
        &insert("8, hash, hash", 6),
        &insert(&first, 1),
    ] {
        assert!(is_refused(&path, sql), "{sql}");
    }
    let mut admin = admin(database(&path));
    for table in ["entry", "subject", "bench_event", "issued", "migration"] {
        for may in ["INSERT", "UPDATE", "DELETE", "TRUNCATE", "TRIGGER"] {
            let asked = format!("midflank.{table}");
            let row = admin
                .query_one(
                    "SELECT has_table_privilege($1, $2, $3)",
                    &[&RECORDER, &asked, &may],
                )
                .unwrap();
            let right = may == "INSERT" && !["issued", "migration"].contains(&table);
            assert_eq!(row.get::<_, bool>(0), right, "{may} {table}");
        }
    }
    assert!(verify(&ledger).is_sound());
    assert_eq!(ledger.append(&draft("A-7", "mic-04")).unwrap().sequence, 7);
}

/// The plan of a query where looking through all rows is the last resort.
fn plan(path: &Path, query: &str) -> String {
    let sql = format!("SET enable_seqscan = off; SET search_path = midflank; EXPLAIN {query}");
    Cluster::shared().sql(database(path), &sql)
}

#[test]
fn searches_and_recalls_are_led_by_an_index() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    for (query, index) in [
        (
            "SELECT FROM entry WHERE search LIKE '%mic-04%'",
            "entry_by_words",
        ),
        (
            "SELECT FROM subject WHERE lower(identity) >= 'm' AND lower(identity) < 'n'",
            "subject_by_identity",
        ),
        (
            "SELECT FROM subject WHERE role = 'instrument' AND identity = 'mic-04' ORDER BY sequence DESC LIMIT 9",
            "Backward using subject_pkey",
        ),
        (
            "SELECT FROM entry WHERE hash >= '9f' AND hash < '9fg'",
            "entry_by_hash",
        ),
        (
            "SELECT FROM entry WHERE recorded_at >= '2026'",
            "entry_by_time",
        ),
    ] {
        let plan = plan(&path, query);
        assert!(plan.contains(index), "{query}: {plan}");
    }
}

#[test]
fn guards_that_are_off_or_gone_and_words_of_others_are_found() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    tamper(
        &path,
        "ALTER TABLE entry DISABLE TRIGGER entry_is_never_changed;
         DROP INDEX entry_by_kind;
         UPDATE entry SET search = 'mic-05' WHERE sequence = 2",
    );
    let report = verify(&Ledger::open(&path).unwrap());
    let told: Vec<&FaultKind> = report.faults.iter().map(|fault| &fault.kind).collect();
    let object = "trigger entry_is_never_changed".to_owned();
    let altered = StorageFault::SchemaAltered { object };
    let object = "index entry_by_kind".to_owned();
    let missing = StorageFault::SchemaMissing { object };
    assert_eq!(
        told,
        [
            &FaultKind::SearchDiffers,
            &FaultKind::Storage { what: altered },
            &FaultKind::Storage { what: missing },
        ]
    );
    let refused = crate::books::back_up(&Ledger::open(&path).unwrap(), folder.join("copy.db"));
    assert!(matches!(refused, Err(Error::Damaged { .. })), "{refused:?}");
}

#[test]
fn a_ledger_is_begun_only_where_that_is_asked_for_and_never_twice() {
    let cluster = Cluster::shared();
    let empty = cluster.empty_database();
    let address = cluster.address(OWNER, &empty);
    assert_eq!(server(Ledger::open(&address)), Server::NoSchema);
    let begin = || {
        OpenOptions::new()
            .create(true)
            .begin_new(true)
            .open(&address)
    };
    let ledger = begin().unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    assert_eq!(begin().unwrap().count(&Filter::default()).unwrap(), 1);
    // The other role may not read it yet.
    let other = cluster.address(RECORDER, &empty);
    assert!(matches!(
        server(Ledger::open(&other)),
        Server::NoSchema | Server::NotPermitted { .. }
    ));
    Ledger::prepare_server(&address, &[RECORDER.to_owned()]).unwrap();
    let ledger = Ledger::open(&other).unwrap();
    assert_eq!(ledger.append(&draft("A-2", "mic-04")).unwrap().sequence, 2);
    cluster.remove(&empty);
}

#[test]
fn several_programs_may_prepare_one_database_at_once() {
    let cluster = Cluster::shared();
    let empty = cluster.empty_database();
    let address = cluster.address(OWNER, &empty);
    thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| Ledger::prepare_server(&address, &[RECORDER.to_owned()]).unwrap());
        }
    });
    assert!(verify(&Ledger::open(&address).unwrap()).is_sound());
    cluster.remove(&empty);
}

#[test]
fn who_may_not_make_the_extension_or_the_tables_is_told() {
    let cluster = Cluster::shared();
    let empty = cluster.empty_database();
    let address = cluster.address(RECORDER, &empty);
    let prepare = || match Ledger::prepare_server(&address, &[]) {
        Err(Error::Server { what, .. }) => what,
        other => panic!("{other:?}"),
    };
    let extension = "pg_trgm";
    assert_eq!(prepare(), Server::ExtensionMissing { extension });
    cluster.sql(&empty, "CREATE EXTENSION pg_trgm");
    assert!(matches!(prepare(), Server::NotPermitted { .. }));
    cluster.remove(&empty);
}

#[test]
fn a_ledger_of_a_later_program_is_left_to_it_and_one_of_an_earlier_to_its_owner() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    tamper(&path, "INSERT INTO migration (number) VALUES (9)");
    let newer = |result: ledger::Result<()>| {
        let told = matches!(
            &result,
            Err(Error::NewerSchema {
                found: 9,
                known: 4,
                ..
            })
        );
        assert!(told, "{result:?}");
    };
    newer(Ledger::open(&path).map(drop));
    newer(Ledger::open_read_only(&path).map(drop));
    let owner = Cluster::shared().address(OWNER, database(&path));
    newer(Ledger::prepare_server(&owner, &[]));
    tamper(
        &path,
        "DROP TABLE used; DROP TABLE fact; DROP FUNCTION facts_are_never_changed();
         DELETE FROM migration WHERE number > 1",
    );
    let needed = Server::MigrationNeeded { found: 1, known: 4 };
    assert_eq!(server(Ledger::open(&path)), needed);
    // Who could record before can do so afterwards.
    Ledger::prepare_server(&owner, &[]).unwrap();
    let options = OpenOptions::new().facts(|_| ledger::Facts::default());
    let ledger = options.open(&path).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    assert!(ledger.facts_are_made().unwrap());
}

#[test]
fn who_is_not_let_in_is_told_why() {
    let cluster = Cluster::shared();
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let name = database(&path);
    let right = cluster.tcp_address(RECORDER, name);
    assert!(Ledger::open(&right).is_ok());
    let wrong = right.replace("s3cret", "wrong");
    let refused = server(Ledger::open(&wrong));
    assert!(
        matches!(refused, Server::LoginRefused { .. }),
        "{refused:?}"
    );
    let nobody = right.replace(RECORDER, "nobody");
    assert!(matches!(
        server(Ledger::open(&nobody)),
        Server::LoginRefused { .. }
    ));
    let no_database = cluster.address(RECORDER, "no_such_books");
    assert_eq!(server(Ledger::open(&no_database)), Server::NoDatabase);
    let nothing = format!("postgres://{RECORDER}:pw@127.0.0.1:{}/{name}", free_port());
    assert!(matches!(
        server(impatient().open(&nothing)),
        Server::Unreachable { .. }
    ));
    let no_name = format!("postgres://{RECORDER}@127.0.0.1:{}", cluster.port());
    assert!(matches!(
        Ledger::open(no_name),
        Err(Error::Address {
            why: AddressFault::NoDatabase,
            ..
        })
    ));
}

#[test]
fn the_password_is_shown_nowhere() {
    let cluster = Cluster::shared();
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let right = cluster.tcp_address(RECORDER, database(&path));
    let ledger = Ledger::open(&right).unwrap();
    let wrong = right.replace("cret", "cret-wrong");
    let at_sign = right.replace("%40", "@");
    let elsewhere = right.replace(&cluster.port().to_string(), &free_port().to_string());
    let mut shown = vec![
        format!("{ledger:?}"),
        ledger.path().display().to_string(),
        format!("{:?}", ledger.get(&9.into()).unwrap_err()),
    ];
    for address in [wrong, at_sign, elsewhere] {
        let error = impatient().open(&address).unwrap_err();
        shown.extend([error.to_string(), format!("{error:?}")]);
    }
    for text in shown {
        assert!(!text.contains("s3c") && !text.contains("cret"), "{text}");
    }
}

#[test]
fn of_several_hosts_the_one_that_answers_and_records_is_taken() {
    let cluster = Cluster::shared();
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let right = cluster.tcp_address(RECORDER, database(&path));
    let (dead, port) = (free_port(), cluster.port());
    let hosts = format!("127.0.0.1:{dead},127.0.0.1:{port}");
    let several = right.replace(&format!("127.0.0.1:{port}"), &hosts);
    let ledger = Ledger::open(format!("{several}?target_session_attrs=read-write")).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    // A standby is read from where that is asked for, and not recorded in.
    let standby = format!("{several}?target_session_attrs=standby");
    assert!(matches!(
        Ledger::open(&standby),
        Err(Error::Address {
            why: AddressFault::ReadOnlySession,
            ..
        })
    ));
    let read_only = |on: &str| {
        format!(
            "ALTER DATABASE {} SET default_transaction_read_only = {on}",
            database(&path)
        )
    };
    cluster.sql("postgres", &read_only("on"));
    assert_eq!(server(impatient().open(&several)), Server::TakesNothing);
    let reader = OpenOptions::new().read_only(true).open(&standby).unwrap();
    assert_eq!(reader.count(&Filter::default()).unwrap(), 1);
}

/// Stands between a program and the server, and cuts the connection where it is told to.
struct Cutter {
    port: u16,
    cut: Arc<AtomicU8>,
    cuts: Arc<AtomicU32>,
}

const BEFORE_COMMIT: u8 = 1;
const AFTER_COMMIT: u8 = 2;

impl Cutter {
    fn before(server: u16) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = listener.local_addr().unwrap().port();
        let (cut, cuts) = (Arc::new(AtomicU8::new(0)), Arc::new(AtomicU32::new(0)));
        let told = (Arc::clone(&cut), Arc::clone(&cuts));
        thread::spawn(move || {
            for client in listener.incoming() {
                let (client, told) = (client.unwrap(), told.clone());
                let Ok(server) = TcpStream::connect(("127.0.0.1", server)) else {
                    continue;
                };
                let (from, to) = (server.try_clone().unwrap(), client.try_clone().unwrap());
                thread::spawn(move || pass(from, to, |_| 0));
                thread::spawn(move || {
                    pass(client, server, |bytes| {
                        let commit = bytes.windows(7).any(|part| part == b"COMMIT\0");
                        let cut = if commit {
                            told.0.swap(0, Ordering::SeqCst)
                        } else {
                            0
                        };
                        told.1.fetch_add(u32::from(cut > 0), Ordering::SeqCst);
                        cut
                    });
                });
            }
        });
        Self { port, cut, cuts }
    }
}

fn pass(mut from: TcpStream, mut to: TcpStream, look: impl Fn(&[u8]) -> u8) {
    let mut buffer = [0; 64 << 10];
    while let Ok(length) = from.read(&mut buffer) {
        let bytes = &buffer[..length];
        let cut = look(bytes);
        if length == 0 || cut == BEFORE_COMMIT {
            break;
        }
        if cut == AFTER_COMMIT {
            // Nobody hears the answer.
            let _ = from.shutdown(Shutdown::Both);
            let _ = to.write_all(bytes);
            thread::sleep(Duration::from_millis(50));
            break;
        }
        if to.write_all(bytes).is_err() {
            break;
        }
    }
    let _ = from.shutdown(Shutdown::Both);
    let _ = to.shutdown(Shutdown::Both);
}

#[test]
fn an_append_whose_answer_is_lost_is_neither_lost_nor_doubled() {
    let cluster = Cluster::shared();
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let cutter = Cutter::before(cluster.port());
    let address = cluster
        .tcp_address(RECORDER, database(&path))
        .replace(&cluster.port().to_string(), &cutter.port.to_string());
    let ledger = Ledger::open(&address).unwrap();
    // The same each time: only the key tells one from another.
    let draft = draft("A-1", "mic-04");
    for number in 1..=20 {
        let how = [0, BEFORE_COMMIT, AFTER_COMMIT][number as usize % 3];
        cutter.cut.store(how, Ordering::SeqCst);
        assert_eq!(ledger.append(&draft).unwrap().sequence, number);
        cutter.cut.store(how, Ordering::SeqCst);
        let now = jiff::Timestamp::UNIX_EPOCH;
        assert_eq!(ledger.begin_job(now, &[event("a")]).unwrap(), number);
    }
    assert!(cutter.cuts.load(Ordering::SeqCst) >= 26);
    // And of many who go in together.
    thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| {
                for number in 0..10 {
                    cutter.cut.store(number % 3, Ordering::SeqCst);
                    ledger.append(&draft).unwrap();
                }
            });
        }
    });
    let report = verify(&ledger);
    assert!(report.is_sound(), "{:?}", report.faults);
    assert_eq!((report.entries, report.events), (100, 20));
}

#[test]
fn an_answer_that_stays_out_is_told_as_such() {
    let cluster = Cluster::start("fsync=off");
    let name = cluster.empty_database();
    let address = cluster.address(OWNER, &name);
    Ledger::prepare_server(&address, &[]).unwrap();
    let cutter = Cutter::before(cluster.port());
    let through = cluster
        .tcp_address(OWNER, &name)
        .replace(&cluster.port().to_string(), &cutter.port.to_string());
    let ledger = impatient().open(through).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    cutter.cut.store(BEFORE_COMMIT, Ordering::SeqCst);
    // While the connection is cut the server goes away for good.
    let answer = thread::scope(|scope| {
        let appending = scope.spawn(|| {
            while cutter.cuts.load(Ordering::SeqCst) == 0 {
                thread::yield_now();
            }
            cluster.stop_at_once();
        });
        let mut answer = ledger.append(&draft("A-2", "mic-04"));
        appending.join().unwrap();
        if answer.is_ok() {
            answer = ledger.append(&draft("A-3", "mic-04"));
        }
        answer
    });
    let told = matches!(
        answer,
        Err(Error::AnswerLost(_)
            | Error::Server {
                what: Server::Unreachable { .. } | Server::ConnectionLost,
                ..
            })
    );
    assert!(told, "{answer:?}");
    cluster.start_again();
    assert!(verify(&ledger).is_sound());
    assert!(ledger.append(&draft("A-4", "mic-04")).is_ok());
}

#[test]
fn of_the_same_job_handed_in_by_many_at_once_one_is_taken() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let among = Subject::new("part", "A-1");
    let results: Vec<_> = thread::scope(|scope| {
        let handed_in: Vec<_> = (0..8)
            .map(|number| {
                let (path, among) = (&path, &among);
                scope.spawn(move || {
                    let ledger = Ledger::open(path).unwrap();
                    let draft = draft("A-1", &format!("mic-{number}"));
                    ledger.append_once(&draft, among, |inputs| inputs == draft.inputs)
                })
            })
            .collect();
        handed_in
            .into_iter()
            .map(|one| one.join().unwrap())
            .collect()
    });
    let taken = results.iter().filter(|result| result.is_ok()).count();
    let there = |result: &&ledger::Result<_>| matches!(result, Err(Error::AlreadyThere { entry }) if entry.sequence() == 1);
    assert_eq!((taken, results.iter().filter(there).count()), (1, 7));
}

fn move_to(from: &Ledger, to: &PathBuf) -> ledger::Result<ledger::VerifyReport> {
    let options = ledger::VerifyOptions::default();
    from.move_to(to, &options, |_| ledger::Recomputed::Same)
}

#[test]
fn a_file_moved_to_a_server_reads_as_before_and_back() {
    let folder = Folder::new();
    let (file, path) = (folder.join("l.db"), folder.ledger("l.db"));
    six(&file);
    let from = Ledger::open(&file).unwrap();
    let now = jiff::Timestamp::UNIX_EPOCH;
    from.begin_job(now, &[event("a"), event("b")]).unwrap();
    from.begin_job(now, &[event("c")]).unwrap();
    from.add_to_job(1, 2, now, &[event("d")]).unwrap();
    let mut odd = draft("größe ½ \"x\" 中村", "mic'04; --");
    odd.events = Some(from.job_events(1).unwrap().last().unwrap().into());
    from.append(&odd).unwrap();

    let report = move_to(&from, &path).unwrap();
    assert_eq!((report.entries, report.events), (7, 4));
    let to = Ledger::open(&path).unwrap();
    assert_eq!(to.head().unwrap(), from.head().unwrap());
    for number in 1..=7_u64 {
        assert_eq!(
            to.get(&number.into()).unwrap(),
            from.get(&number.into()).unwrap()
        );
    }
    assert_eq!(to.job_events(1).unwrap(), from.job_events(1).unwrap());
    // It goes on there, and is moved to no place where something is recorded.
    assert_eq!(to.append(&draft("A-8", "mic-04")).unwrap().sequence, 8);
    assert!(matches!(move_to(&from, &path), Err(Error::NotEmpty(_))));
    assert!(verify(&to).is_sound());
    let copy = folder.join("copy.db");
    crate::books::back_up(&to, &copy).unwrap();
    let copy = Ledger::open(copy).unwrap();
    assert_eq!(copy.job_events(1).unwrap(), from.job_events(1).unwrap());
    assert_eq!(copy.begin_job(now, &[event("e")]).unwrap(), 3);
}

#[test]
fn a_faulty_file_is_not_moved_at_all() {
    let folder = Folder::new();
    let (file, path) = (folder.join("l.db"), folder.ledger("l.db"));
    six(&file);
    crate::on_sqlite::tamper(&file, "UPDATE entry SET station = 'x' WHERE sequence = 4");
    let from = Ledger::open(&file).unwrap();
    let refused = move_to(&from, &path).unwrap_err();
    let Error::BackupFaulty { first, .. } = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(first.place, Place::Entry { sequence: 4 });
    assert_eq!(Ledger::open(&path).unwrap().head().unwrap(), None);
}
