//! Nobody who measures waits for those who search.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use ledger::Subject;
use rustix::process::Signal;

use crate::long::{rounds, tell};
use crate::web::support::{Bench, Folder, NEXT, READINGS, TO_THE_RECORD, Window, between, form};

/// Entries of the ledger, and answers that are timed each way, in a long run.
const ENTRIES: u32 = 100_000;
const ANSWERS: u32 = 1_000;
/// Who search all the time.
const SEARCHERS: usize = 10;
/// What 99 of 100 answers stay under; a build without optimization is not held to it.
const BOUND: Duration = Duration::from_millis(if cfg!(debug_assertions) { 1_000 } else { 100 });

/// Found nowhere, nearly everywhere, by short words, and by several.
const WORDS: [&str; 5] = [
    "zzzz",
    "m",
    "rating+screw+quill+04",
    "mic-04+a+9",
    "qui+cs-1",
];

#[test]
fn an_answer_does_not_wait_for_searches() {
    let begun = Instant::now();
    let folder = Folder::new("search");
    let mut bench = Bench::start(&folder, 0, &[]);
    bench.window().measure_a_screw();
    // Nothing is left beside the file, which is about to be another.
    bench.stop(Signal::INT);
    fill(&folder.path().join("ledger.db"), rounds(ENTRIES));

    let bench = Bench::start(&folder, 0, &[]);
    let (over, searches) = (AtomicBool::new(false), AtomicU32::new(0));
    let (posted, sent) = thread::scope(|scope| {
        for searcher in 0..SEARCHERS {
            let (bench, over, searches) = (&bench, &over, &searches);
            scope.spawn(move || {
                for words in WORDS.iter().cycle().skip(searcher) {
                    let page = bench.get(&format!("/history?words={words}"));
                    assert_eq!(page.status, 200);
                    searches.fetch_add(1, Ordering::Relaxed);
                    if over.load(Ordering::Relaxed) {
                        return;
                    }
                }
            });
        }
        let _over = Over(&over);
        let answers = rounds(ANSWERS) as usize;
        let mut window = bench.window();
        let lines = [&NEXT[..], &READINGS, &TO_THE_RECORD].concat();
        let lines = || {
            lines
                .iter()
                .cycle()
                .take(answers.next_multiple_of(lines.len()))
        };
        let posted = lines().map(|line| {
            let begun = Instant::now();
            let status = window.post(line).status;
            let took = begun.elapsed();
            assert_eq!(status, 303, "{line}");
            window.page = bench.get("/").body;
            took
        });
        let posted = Times::of(posted.collect());
        let mut channel = Channel::to(&bench);
        let sent = lines().map(|line| {
            let begun = Instant::now();
            channel.enter(&mut window, line);
            begun.elapsed()
        });
        (posted, Times::of(sent.collect()))
    });
    for times in [&posted, &sent] {
        assert!(times.p99 < BOUND, "{times}");
    }
    let found = format!("posted {posted}; by channel {sent}");
    let what = format!(
        "answers at the bench while {SEARCHERS} search in {} entries ({} searches)",
        rounds(ENTRIES),
        searches.into_inner()
    );
    tell(&what, posted.count + sent.count, found, begun);
}

/// Ends the searches, also when a test fails.
struct Over<'a>(&'a AtomicBool);

impl Drop for Over<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// Records the last inspection again and again, as other samples by other people.
fn fill(path: &Path, count: u32) {
    // In memory where there is such a disk: that each is on a real one is waited for.
    let memory = Path::new("/dev/shm");
    let aside = memory.join(format!("midflank-search-{}.db", std::process::id()));
    let at = if memory.is_dir() {
        fs::copy(path, &aside).unwrap();
        &aside
    } else {
        path
    };
    let ledger = crate::bench::open(at);
    let mut draft = ledger.latest(1).unwrap().remove(0).content;
    draft.events = None;
    draft
        .subjects
        .retain(|subject| subject.role != "sample" && subject.role != "bench-job");
    for number in 0..count {
        let sample = Subject::new("sample", number.to_string());
        draft.actor.name = format!("A. Quill {}", number % 50);
        draft.subjects.insert(sample.clone());
        ledger.append(&draft).unwrap();
        draft.subjects.remove(&sample);
    }
    drop(ledger);
    if at == aside {
        fs::copy(&aside, path).unwrap();
        fs::remove_file(&aside).unwrap();
    }
}

/// How long answers took.
struct Times {
    count: usize,
    p50: Duration,
    p99: Duration,
    longest: Duration,
}

impl Times {
    fn of(mut all: Vec<Duration>) -> Self {
        all.sort_unstable();
        let count = all.len();
        Self {
            count,
            p50: all[count / 2],
            p99: all[(count * 99).div_ceil(100) - 1],
            longest: all[count - 1],
        }
    }
}

impl std::fmt::Display for Times {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let times = [self.p50, self.p99, self.longest];
        let [p50, p99, longest] = times.map(|time| time.as_secs_f64() * 1e3);
        write!(
            f,
            "p50 {p50:.1} ms, p99 {p99:.1} ms, longest {longest:.1} ms"
        )
    }
}

/// The channel by which the page's script answers.
struct Channel(TcpStream);

impl Channel {
    fn to(bench: &Bench) -> Self {
        let mut stream = TcpStream::connect(("127.0.0.1", bench.port)).unwrap();
        let (host, cookie) = (bench.host(), &bench.cookie);
        let head = format!(
            "GET /answers HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\nConnection: Upgrade\r\n\
             Upgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).unwrap();
        let mut head = Vec::new();
        while !head.ends_with(b"\r\n\r\n") {
            head.push(byte(&mut stream));
        }
        assert!(head.starts_with(b"HTTP/1.1 101"));
        Self(stream)
    }

    /// Sends the form of a window with a line, and waits for the page (RFC 6455, 5.2; a mask of zeros changes nothing).
    fn enter(&mut self, window: &mut Window<'_>, line: &str) {
        let body = form(&window.fields(line));
        let mut frame = vec![0x81, 0x80 | 126];
        frame.extend((body.len() as u16).to_be_bytes());
        frame.extend([0; 4]);
        frame.extend(body.bytes());
        self.0.write_all(&frame).unwrap();
        assert_eq!(byte(&mut self.0), 0x81);
        let length = match byte(&mut self.0) {
            126 => self.number::<2>(),
            127 => self.number::<8>(),
            length => usize::from(length),
        };
        let mut page = vec![0; length];
        self.0.read_exact(&mut page).unwrap();
        let page = String::from_utf8(page).unwrap();
        let moved = between(&page, "name=\"after\" value=\"", "\"") != window.hidden("after");
        assert!(moved, "{line:?} was not taken: {page}");
        window.page = page;
    }

    fn number<const BYTES: usize>(&mut self) -> usize {
        (0..BYTES).fold(0, |number, _| number << 8 | usize::from(byte(&mut self.0)))
    }
}

fn byte(stream: &mut TcpStream) -> u8 {
    let mut byte = [0];
    stream.read_exact(&mut byte).unwrap();
    byte[0]
}
