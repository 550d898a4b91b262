//! Who comes in, how long is waited for whom, and how the bench ends.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::Command;
use std::time::{Duration, Instant};

use rustix::process::Signal;

use super::support::{Bench, Folder, READINGS, SET_UP, ZERO, form, request};
use crate::said::{assert_says, says};

const FORM: (&str, &str) = ("Content-Type", "application/x-www-form-urlencoded");

/// A connection with something sent.
fn connect(bench: &Bench, sent: &str) -> TcpStream {
    let mut stream = TcpStream::connect(("127.0.0.1", bench.port)).unwrap();
    let patience = Some(Duration::from_secs(20));
    stream.set_read_timeout(patience).unwrap();
    stream.write_all(sent.as_bytes()).unwrap();
    stream
}

/// A request with the cookie and more lines of a head, whose connection stays open.
fn asked(bench: &Bench, path: &str, more: &str) -> TcpStream {
    let head = format!(
        "GET {path} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n{more}\r\n",
        bench.host(),
        bench.cookie
    );
    connect(bench, &head)
}

fn channel(bench: &Bench) -> TcpStream {
    let more = format!(
        "Origin: http://{}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n\
         Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n",
        bench.host()
    );
    asked(bench, "/answers", &more)
}

/// The first line of an answer; what follows stays to be read.
fn first_line(mut stream: &TcpStream) -> String {
    let mut line = Vec::new();
    let mut byte = [0];
    while line.last() != Some(&b'\n') {
        stream.read_exact(&mut byte).unwrap();
        line.push(byte[0]);
    }
    String::from_utf8(line).unwrap()
}

/// Everything up to the end of the connection.
fn to_the_end(mut stream: TcpStream) -> Vec<u8> {
    let mut all = Vec::new();
    // A connection that is reset has ended as well.
    match stream.read_to_end(&mut all) {
        Err(error) if error.kind() != std::io::ErrorKind::ConnectionReset => {
            panic!("still open: {error}")
        }
        _ => all,
    }
}

#[test]
fn one_browser_is_let_in_once() {
    let folder = Folder::new("door");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let host = bench.host();
    let get = |path: &str, cookie: &str| {
        request(
            bench.port,
            "GET",
            path,
            &[("Host", &host), ("Cookie", cookie)],
            "",
        )
    };
    for path in [
        "/",
        "/job/1",
        "/history",
        "/equipment",
        "/record/1",
        "/events",
        "/answers",
        "/nothing",
        "/open/0",
    ] {
        let answer = get(path, "");
        assert_eq!(answer.status, 403, "{path}");
        assert_says(&answer.body, "page.not-let-in-long");
        assert!(answer.header("set-cookie").is_none(), "{path}");
    }
    assert_eq!(
        request(
            bench.port,
            "POST",
            "/answer",
            &[("Host", &host), FORM],
            "line=x"
        )
        .status,
        403
    );
    // To look at the address does not use it up.
    let look = connect(
        &bench,
        &format!("HEAD {} HTTP/1.1\r\nHost: {host}\r\n\r\n", bench.door),
    );
    assert!(first_line(&look).contains(" 403 "));

    let (answer, cookie) = bench.open(&bench.door);
    assert_eq!((answer.status, answer.header("location")), (303, Some("/")));
    let whole = answer.header("set-cookie").unwrap();
    for word in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(whole.contains(word), "{whole}");
    }
    assert_eq!(get("/", &cookie).status, 200);
    assert_eq!(get("/", &format!("other=1; {cookie}; more=2")).status, 200);
    let (name, pass) = cookie.split_once('=').unwrap();
    for wrong in [
        format!("{name}="),
        format!("x{name}={pass}"),
        format!("{name}={pass}0"),
        format!("{name}={}", "0".repeat(32)),
    ] {
        assert_eq!(get("/", &wrong).status, 403, "{wrong}");
    }
    // Again, with the cookie and without.
    let again = get(&bench.door, &cookie);
    assert_eq!((again.status, again.header("location")), (303, Some("/")));
    let (other, nothing) = bench.open(&bench.door);
    assert_eq!((other.status, nothing.as_str()), (403, ""));
    // What the cookie lets in still needs the token of the form.
    let fields = [
        ("token", "0".repeat(32)),
        ("job", "0".into()),
        ("after", "0".into()),
        ("line", "M6".into()),
    ];
    let headers = [("Host", host.as_str()), ("Cookie", &cookie), FORM];
    assert_eq!(
        request(bench.port, "POST", "/answer", &headers, &form(&fields)).status,
        403
    );

    // Another start lets in neither the old address nor the old cookie.
    let (port, door) = (bench.port, bench.door.clone());
    drop(bench);
    let bench = Bench::start_closed(&folder, port, &[]);
    assert_ne!(bench.door, door);
    assert_eq!(bench.open(&door).0.status, 403);
    let headers = [("Host", host.as_str()), ("Cookie", &cookie)];
    assert_eq!(request(port, "GET", "/", &headers, "").status, 403);
}

/// Windows are let go, the ledger is closed into its one file, and nothing is lost.
#[test]
fn a_stop_closes_the_ledger() {
    for signal in [Signal::TERM, Signal::INT] {
        let folder = Folder::new("stop");
        let mut bench = Bench::start(&folder, 0, &[]);
        let mut window = bench.window();
        window.enter_all(&SET_UP);
        window.enter_all(&ZERO);
        window.enter_all(&READINGS[..3]);
        assert!(
            window.question().starts_with("Reading 4"),
            "{}",
            window.question()
        );
        let (events, answers) = (asked(&bench, "/events", ""), channel(&bench));
        assert!(first_line(&events).contains(" 200 ") && first_line(&answers).contains(" 101 "));
        let (half, idle) = (connect(&bench, "GET / HT"), connect(&bench, ""));
        let begun = Instant::now();
        let (status, said) = bench.stop(signal);
        assert_eq!(status, Some(0), "{said}");
        assert!(
            begun.elapsed() < Duration::from_secs(4),
            "{:?}",
            begun.elapsed()
        );
        assert_says(&said, "command.bench-closed");
        for stream in [events, answers, half, idle] {
            to_the_end(stream);
        }
        let ledger = folder.path().join("ledger.db");
        assert!(!folder.path().join("ledger.db-wal").exists());
        // The one file alone holds the job.
        let alone = Folder::new("alone");
        std::fs::copy(ledger, alone.path().join("ledger.db")).unwrap();
        let bench = Bench::start(&alone, 0, &[]);
        assert!(bench.window().question().starts_with("Reading 4"));
    }
}

/// A request whose end has come is answered, though the stop came before its answer.
#[test]
fn a_request_in_work_is_answered() {
    let folder = Folder::new("in-work");
    let mut bench = Bench::start(&folder, 0, &[]);
    let token = bench.window().hidden("token");
    let fields = [
        ("token", token),
        ("job", "0".into()),
        ("after", "0".into()),
        ("line", "M10x1.5-6g".into()),
    ];
    let body = form(&fields);
    let (begin, end) = body.split_at(20);
    let mut post = connect(
        &bench,
        &format!(
            "POST /answer HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n{}: {}\r\nContent-Length: {}\r\n\r\n{begin}",
            bench.host(),
            bench.cookie,
            FORM.0,
            FORM.1,
            body.len()
        ),
    );
    // Its head has been read once another request, sent later, is answered.
    std::thread::sleep(Duration::from_millis(50));
    assert_eq!(bench.get("/").status, 200);
    let rest = end.to_owned();
    let sent = std::thread::spawn(move || {
        std::thread::sleep(Duration::from_millis(200));
        post.write_all(rest.as_bytes()).unwrap();
        String::from_utf8(to_the_end(post)).unwrap()
    });
    assert_eq!(bench.stop(Signal::TERM).0, Some(0));
    let answer = sent.join().unwrap();
    assert!(answer.starts_with("HTTP/1.1 303 "), "{answer}");
    let bench = Bench::start(&folder, 0, &[]);
    assert!(!bench.window().question().starts_with("Which thread"));
}

#[test]
fn slow_connections_end_and_living_streams_stay() {
    let folder = Folder::new("slow");
    let bench = Bench::start(&folder, 0, &["--patience", "300"]);
    let (events, answers) = (asked(&bench, "/events", ""), channel(&bench));
    assert!(first_line(&events).contains(" 200 ") && first_line(&answers).contains(" 101 "));
    let kept = asked(&bench, "/bench.css", "");
    assert!(first_line(&kept).contains(" 200 "));
    let post = format!(
        "POST /answer HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n{}: {}\r\nContent-Length: 99\r\n\r\nline=",
        bench.host(),
        bench.cookie,
        FORM.0,
        FORM.1
    );
    let begun = Instant::now();
    let slow = [
        connect(&bench, ""),
        connect(&bench, "GET / HTTP/1.1\r\nHost: x\r\n"),
        connect(&bench, &post),
        kept,
    ];
    for stream in slow {
        to_the_end(stream);
        assert!(
            begun.elapsed() < Duration::from_secs(5),
            "{:?}",
            begun.elapsed()
        );
    }
    // The streams are told of the next answer all the same.
    let mut window = bench.window();
    let mut events = BufReader::new(events);
    let stamp = |events: &mut BufReader<TcpStream>| {
        let mut line = String::new();
        while !line.starts_with("data: ") {
            line.clear();
            assert_ne!(
                events.read_line(&mut line).unwrap(),
                0,
                "the stream has ended"
            );
        }
        line
    };
    let before = stamp(&mut events);
    window.enter_all(&SET_UP[..1]);
    assert_ne!(stamp(&mut events), before);
    let mut answers = answers;
    // A ping (RFC 6455, 5.5.2), masked with nothing; its answer is a pong.
    answers.write_all(&[0x89, 0x80, 0, 0, 0, 0]).unwrap();
    let mut all = BufReader::new(answers);
    let mut byte = [0];
    while byte[0] != 0x8a {
        all.read_exact(&mut byte).unwrap();
    }
}

/// More connections than the process may have files: those that say nothing make room for the page.
#[test]
fn many_half_open_connections_do_not_block_the_page() {
    let folder = Folder::new("half-open");
    let mut few = Command::new("sh");
    few.args([
        "-c",
        "ulimit -n 80; exec \"$0\" \"$@\"",
        env!("CARGO_BIN_EXE_midflank"),
    ]);
    let full = Bench::start_by(few, &folder, 0, &[]);
    let other = Folder::new("half-open");
    let wide = Bench::start(&other, 0, &[]);
    let events = asked(&wide, "/events", "");
    assert!(first_line(&events).contains(" 200 "));
    for (bench, count) in [(&full, 120), (&wide, 260)] {
        let held: Vec<TcpStream> = (0..count)
            .map(|_| connect(bench, "GET / HTTP/1.1\r\n"))
            .collect();
        let begun = Instant::now();
        let cookie = match bench.cookie.as_str() {
            "" => bench.open(&bench.door).1,
            cookie => cookie.to_owned(),
        };
        let headers = [("Host", &*bench.host()), ("Cookie", &cookie)];
        let page = request(bench.port, "GET", "/", &headers, "");
        assert_eq!(page.status, 200);
        assert!(!says(&page.body, "page.not-let-in"));
        assert!(
            begun.elapsed() < Duration::from_secs(5),
            "{:?}",
            begun.elapsed()
        );
        drop(held);
    }
    // The stream of a browser that belongs here was not ended for them.
    wide.window().enter_all(&SET_UP[..1]);
    let mut read = [0; 4096];
    let mut stream = events;
    assert!(stream.read(&mut read).unwrap() > 0);
}
