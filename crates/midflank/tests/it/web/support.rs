//! A running bench, a plain HTTP client, and a window that posts forms.

use std::io::{self, BufRead, BufReader, Read as _, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use crate::said::heard;

/// A folder of its own for one test, removed at the end.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("midflank-{name}-{}-{count}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The program, serving. Killed when dropped, without a word, as a pulled plug would.
pub struct Bench {
    child: Child,
    /// What it said when it was open; the rest is said when it ends.
    said: BufReader<ChildStdout>,
    pub port: u16,
    /// The path of the first address, which opens one browser.
    pub door: String,
    /// What the browser that was let in has to show, as `name=value`.
    pub cookie: String,
}

impl Bench {
    /// Starts on a free port (0) or a given one, with more arguments, and opens it.
    pub fn start(folder: &Folder, port: u16, more: &[&str]) -> Self {
        let mut bench = Self::start_closed(folder, port, more);
        bench.cookie = bench.open(&bench.door).1;
        bench
    }

    /// The same with the first address not opened.
    pub fn start_closed(folder: &Folder, port: u16, more: &[&str]) -> Self {
        Self::start_by(
            Command::new(env!("CARGO_BIN_EXE_midflank")),
            folder,
            port,
            more,
        )
    }

    /// The same by a command that starts the program with these arguments.
    pub fn start_by(command: Command, folder: &Folder, port: u16, more: &[&str]) -> Self {
        Self::start_on(command, &folder.path().join("ledger.db"), port, more)
    }

    /// The same with a ledger anywhere.
    pub fn start_on(command: Command, ledger: &Path, port: u16, more: &[&str]) -> Self {
        Self::begin(command, ledger, port, &[&["--demo"], more].concat())
    }

    /// The same with nothing on the register.
    pub fn start_empty(folder: &Folder) -> Self {
        let command = Command::new(env!("CARGO_BIN_EXE_midflank"));
        let mut bench = Self::begin(command, &folder.path().join("ledger.db"), 0, &[]);
        bench.cookie = bench.open(&bench.door).1;
        bench
    }

    fn begin(mut command: Command, ledger: &Path, port: u16, more: &[&str]) -> Self {
        let mut child = command
            .arg("--ledger")
            .arg(ledger)
            .args(["bench", "--no-browser", "--port", &port.to_string()])
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        let mut said = BufReader::new(child.stdout.take().unwrap());
        said.read_line(&mut line).unwrap();
        let line = heard(line);
        let (port, door) = line
            .trim()
            .split_once("http://127.0.0.1:")
            .and_then(|(_, rest)| rest.split_once('/'))
            .map(|(port, door)| {
                // A sentence in disguise ends with its bracket.
                let door = door.trim_end_matches('⟧');
                (port.parse().unwrap(), format!("/{door}"))
            })
            .unwrap_or_else(|| panic!("no address in {line:?}"));
        Self {
            child,
            said,
            port,
            door,
            cookie: String::new(),
        }
    }

    /// Opens an address as a browser that was not here before, and gives the answer and the cookie with it.
    pub fn open(&self, door: &str) -> (Answer, String) {
        let answer = request(self.port, "GET", door, &[("Host", &self.host())], "");
        let cookie = answer.header("set-cookie").unwrap_or_default();
        let cookie = cookie.split(';').next().unwrap_or_default().to_owned();
        (answer, cookie)
    }

    pub fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// Asks it to stop. Gives the exit status and what was said at the end.
    #[cfg(unix)]
    pub fn stop(&mut self, signal: rustix::process::Signal) -> (Option<i32>, String) {
        let id = i32::try_from(self.child.id()).unwrap();
        let id = rustix::process::Pid::from_raw(id).unwrap();
        rustix::process::kill_process(id, signal).unwrap();
        let mut said = String::new();
        self.said.read_to_string(&mut said).unwrap();
        (self.child.wait().unwrap().code(), heard(said))
    }

    /// SIGKILL.
    pub fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Memory that the program holds now, by Linux's word: `VmRSS` with the pages of its own program, of which an unoptimized one has
    /// many, `RssAnon` without.
    pub fn megabytes(&self, of: &str) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let kilobytes = between(&status, &format!("{of}:"), "kB").trim();
        kilobytes.parse::<f64>().unwrap() / 1000.0
    }

    /// One request with the host and headers of our own pages.
    pub fn request(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &str,
    ) -> Answer {
        let host = self.host();
        let mut all = vec![("Host", host.as_str()), ("Cookie", &self.cookie)];
        all.extend_from_slice(headers);
        request(self.port, method, path, &all, body)
    }

    pub fn get(&self, path: &str) -> Answer {
        self.request("GET", path, &[], "")
    }

    pub fn window(&self) -> Window<'_> {
        Window {
            bench: self,
            page: self.get("/").body,
        }
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An answer of a server.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Answer {
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (found, value) = line.split_once(':')?;
            found.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }
}

/// One HTTP request, with just these headers and the length of the body.
pub fn request(
    port: u16,
    method: &str,
    path: &str,
    headers: &[(&str, &str)],
    body: &str,
) -> Answer {
    try_request(port, method, path, headers, body).unwrap()
}

/// The same where the server may go in the middle of it.
pub fn try_request(
    port: u16,
    method: &str,
    path: &str,
    headers: &[(&str, &str)],
    body: &str,
) -> io::Result<Answer> {
    send(port, method, path, headers, body.as_bytes())
}

/// The same with a body that is no text.
pub fn send(
    port: u16,
    method: &str,
    path: &str,
    headers: &[(&str, &str)],
    body: &[u8],
) -> io::Result<Answer> {
    let mut stream = TcpStream::connect(("127.0.0.1", port))?;
    stream.set_read_timeout(Some(Duration::from_secs(60)))?;
    let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
    for (name, value) in headers {
        head += &format!("{name}: {value}\r\n");
    }
    if !body.is_empty() {
        head += &format!("Content-Length: {}\r\n", body.len());
    }
    stream.write_all(format!("{head}\r\n").as_bytes())?;
    // A server that refuses early may close before it has read all.
    let _ = stream.write_all(body);
    read_answer(&mut BufReader::new(stream))
}

fn read_answer(stream: &mut impl BufRead) -> io::Result<Answer> {
    let mut head = String::new();
    loop {
        let mut line = String::new();
        if stream.read_line(&mut line)? == 0 || line == "\r\n" {
            break;
        }
        head += &line;
    }
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok());
    let mut answer = Answer {
        status: status.ok_or(io::ErrorKind::UnexpectedEof)?,
        head,
        body: String::new(),
    };
    let mut body = Vec::new();
    match answer
        .header("content-length")
        .and_then(|length| length.parse().ok())
    {
        Some(length) => {
            body.resize(length, 0);
            stream.read_exact(&mut body)?;
        }
        None => {
            stream.read_to_end(&mut body)?;
        }
    }
    // A report as PDF is no text.
    answer.body = heard(String::from_utf8_lossy(&body).into_owned());
    Ok(answer)
}

/// A window without script: it shows a page, and posts the form that is on it.
pub struct Window<'a> {
    pub bench: &'a Bench,
    pub page: String,
}

impl Window<'_> {
    /// Types a line and presses Enter. Returns the status of the post; the window then shows what came of it.
    pub fn enter(&mut self, line: &str) -> u16 {
        let answer = self.post(line);
        match answer.header("location") {
            Some(place) => {
                let place = place.to_owned();
                self.page = self.bench.get(&place).body;
            }
            None => self.page = answer.body,
        }
        answer.status
    }

    /// The form on the page with a line.
    pub fn fields(&self, line: &str) -> [(&'static str, String); 4] {
        [
            ("token", self.hidden("token")),
            ("job", self.hidden("job")),
            ("after", self.hidden("after")),
            ("line", line.to_owned()),
        ]
    }

    /// Posts that form, and looks at nothing.
    pub fn post(&self, line: &str) -> Answer {
        let kind = ("Content-Type", "application/x-www-form-urlencoded");
        let body = form(&self.fields(line));
        self.bench.request("POST", "/answer", &[kind], &body)
    }

    /// A good screw, from the part to the record.
    pub fn measure_a_screw(&mut self) {
        self.enter_all(&SET_UP);
        self.enter_all(&ZERO);
        self.enter_all(&READINGS);
        self.enter_all(&TO_THE_RECORD);
    }

    /// Types lines that all must be taken.
    pub fn enter_all(&mut self, lines: &[&str]) {
        for line in lines {
            assert_eq!(
                self.enter(line),
                303,
                "{line:?} was not taken: {}",
                self.page
            );
        }
    }

    /// The question on the page.
    pub fn question(&self) -> &str {
        between(&self.page, "<h1 id=\"question\">", "</h1>")
    }

    /// The value of a hidden field.
    pub fn hidden(&self, name: &str) -> String {
        between(&self.page, &format!("name=\"{name}\" value=\""), "\"").to_owned()
    }

    #[track_caller]
    pub fn shows(&self, text: &str) {
        assert!(self.page.contains(text), "no {text:?} in {}", self.page);
    }
}

/// A pseudo-terminal: the instrument's end, and the name of the line's.
pub fn pseudo_terminal() -> (std::fs::File, String) {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    let instrument = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).unwrap();
    grantpt(&instrument).unwrap();
    unlockpt(&instrument).unwrap();
    let line = ptsname(&instrument, Vec::new()).unwrap();
    (instrument.into(), line.into_string().unwrap())
}

/// What stands between two pieces of a text; nothing where they are not there.
pub fn between<'a>(text: &'a str, before: &str, after: &str) -> &'a str {
    text.split_once(before)
        .and_then(|(_, rest)| rest.split_once(after))
        .map_or("", |(found, _)| found)
}

/// Sends a form with the token that stands on a page.
pub fn post(bench: &Bench, page: &str, path: &str, fields: &[(&str, &str)]) -> Answer {
    let page = bench.get(page).body;
    let token = between(&page, "name=\"token\" value=\"", "\"").to_owned();
    let mut all = vec![("token", token)];
    all.extend(
        fields
            .iter()
            .map(|(key, value)| (*key, (*value).to_owned())),
    );
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    bench.request("POST", path, &[kind], &form(&all))
}

/// Fields as a form sends them.
pub fn form(fields: &[(&str, String)]) -> String {
    let encode = |text: &str| -> String {
        text.bytes()
            .map(|byte| match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(byte).to_string(),
                _ => format!("%{byte:02X}"),
            })
            .collect()
    };
    let pairs: Vec<String> = fields
        .iter()
        .map(|(name, value)| format!("{name}={}", encode(value)))
        .collect();
    pairs.join("&")
}

/// Sends a form with files as a browser does: fields, and files by the name of their field with their own.
pub fn hand_in(
    bench: &Bench,
    path: &str,
    fields: &[(&str, &str)],
    files: &[(&str, &str, &[u8])],
) -> Answer {
    let mark = "----formBoundary7MA4YWxk";
    let head = |more: &str| format!("--{mark}\r\nContent-Disposition: form-data; {more}\r\n");
    let mut body = Vec::new();
    for (name, value) in fields {
        body.extend(head(&format!("name=\"{name}\"")).into_bytes());
        body.extend(format!("\r\n{value}\r\n").into_bytes());
    }
    for (name, file, content) in files {
        body.extend(head(&format!("name=\"{name}\"; filename=\"{file}\"")).into_bytes());
        body.extend_from_slice(b"Content-Type: application/octet-stream\r\n\r\n");
        body.extend_from_slice(content);
        body.extend_from_slice(b"\r\n");
    }
    body.extend(format!("--{mark}--\r\n").into_bytes());
    let kind = format!("multipart/form-data; boundary={mark}");
    let host = bench.host();
    let headers = [
        ("Host", host.as_str()),
        ("Cookie", &bench.cookie),
        ("Content-Type", &kind),
    ];
    send(bench.port, "POST", path, &headers, &body).unwrap()
}

/// From the part to the zero of an accepted screw, with the equipment of the demonstration.
pub const SET_UP: [&str; 10] = [
    "M10x1.5-6g",
    "rating screw",
    "TC-0412 rev C",
    "cs-118 / 4 of 12",
    "",
    "",
    "mic-04",
    "vc-60-3",
    "rod-10",
    "21.4 20.9 brass",
];
/// From the part to the zero, over wires.
pub const OVER_WIRES: [&str; 11] = [
    "M10x1.5-6g",
    "screw",
    "",
    "w-1 / 1 of 3",
    "",
    "",
    "mic-04",
    "fl-6",
    "w-0866",
    "block-10",
    "",
];
/// From the last reading through the closing check to the record.
pub const TO_THE_RECORD: [&str; 4] = ["10.002", "10.002", "10.001", "/sign A. Quill"];
/// From a record to the next part, with the set-up kept.
pub const NEXT: [&str; 1] = [""];
/// A good check of the zero.
pub const ZERO: [&str; 3] = ["10.001", "10.002", "10.001"];
/// Six readings of a good screw.
pub const READINGS: [&str; 6] = ["8.929", "8.930", "8.927", "8,931", "8.926", "8.928"];
