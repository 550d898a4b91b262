//! A headless browser, driven over WebDriver (W3C Recommendation) with keys and nothing else.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::support::{Bench, Folder, request};

/// Enter, as WebDriver writes it.
pub const ENTER: &str = "\u{e007}";

/// One browser with a profile of its own.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    _profile: Folder,
}

/// A driver and its port; none where it ended before it listened.
fn driver() -> Option<(Child, u16)> {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("chromedriver is installed by scripts/browser-tests.sh");
    let lines = BufReader::new(driver.stdout.take().unwrap()).lines();
    let port = lines.map_while(Result::ok).find_map(|line| {
        let (_, port) = line.split_once("successfully on port ")?;
        Some(port.trim_end_matches('.').parse().unwrap())
    });
    if port.is_none() {
        let _ = driver.wait();
    }
    Some((driver, port?))
}

impl Browser {
    pub fn start() -> Self {
        // It ends at once where another program took the port that it had found free.
        let (driver, port) = (0..5).find_map(|_| driver()).expect("chromedriver starts");
        let profile = Folder::new("browser");
        let mut browser = Self {
            driver,
            port,
            session: String::new(),
            _profile: profile,
        };
        let profile = format!("--user-data-dir={}", browser._profile.path().display());
        let options = json!({"args": [
            "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
            "--disable-component-update", "--disable-sync", "--hide-scrollbars", profile,
        ]});
        let asked = json!({"capabilities": {"alwaysMatch": {"browserName": "chrome", "goog:chromeOptions": options}}});
        let session = browser.call("POST", "/session", &asked);
        browser.session = format!("/session/{}", session["sessionId"].as_str().unwrap());
        browser.size(1280, 800);
        browser
    }

    fn call(&self, method: &str, path: &str, body: &Value) -> Value {
        let host = format!("127.0.0.1:{}", self.port);
        let body = if method == "GET" {
            String::new()
        } else {
            body.to_string()
        };
        let headers = [
            ("Host", host.as_str()),
            ("Content-Type", "application/json"),
        ];
        let answer = request(self.port, method, path, &headers, &body);
        let value: Value = serde_json::from_str(&answer.body).unwrap();
        assert_eq!(answer.status, 200, "{method} {path}: {value}");
        value["value"].clone()
    }

    fn post(&self, path: &str, body: &Value) -> Value {
        self.call("POST", &format!("{}{path}", self.session), body)
    }

    fn command(&self, command: &str, parameters: &Value) -> Value {
        self.post(
            "/goog/cdp/execute",
            &json!({"cmd": command, "params": parameters}),
        )
    }

    /// The size of the page, in CSS pixels.
    pub fn size(&self, width: u32, height: u32) {
        self.zoom(width, height, 1);
    }

    /// A window of this size whose page is zoomed to so many times its size.
    pub fn zoom(&self, width: u32, height: u32, times: u32) {
        self.command(
            "Emulation.setDeviceMetricsOverride",
            &json!({"width": width / times, "height": height / times, "deviceScaleFactor": times, "mobile": false}),
        );
    }

    pub fn dark(&self, dark: bool) {
        self.media("prefers-color-scheme", if dark { "dark" } else { "light" });
    }

    /// What the reader asked the browser for, by the name of the media feature.
    pub fn media(&self, feature: &str, value: &str) {
        let features = json!([{"name": feature, "value": value}]);
        self.command("Emulation.setEmulatedMedia", &json!({"features": features}));
    }

    /// Whether pages that are opened from now on may run scripts of their own.
    pub fn scripts(&self, on: bool) {
        self.command(
            "Emulation.setScriptExecutionDisabled",
            &json!({"value": !on}),
        );
    }

    /// Comes in by the address that the program printed, which works once for each start.
    pub fn enter_bench(&self, bench: &Bench) {
        self.open(&format!("http://{}{}", bench.host(), bench.door));
        self.wait("the bench is open", || !self.question().is_empty());
    }

    /// What lets the browser in, as it sends it.
    pub fn cookie(&self) -> String {
        let all = self.call("GET", &format!("{}/cookie", self.session), &Value::Null);
        let text = |of: &Value| of.as_str().unwrap().to_owned();
        let all = all.as_array().unwrap().iter();
        let all = all.map(|one| format!("{}={}", text(&one["name"]), text(&one["value"])));
        all.collect::<Vec<_>>().join("; ")
    }

    pub fn open(&self, address: &str) {
        self.post("/url", &json!({"url": address}));
    }

    pub fn reload(&self) {
        self.post("/refresh", &json!({}));
    }

    pub fn new_tab(&self) -> String {
        let tab = self.post("/window/new", &json!({"type": "tab"}));
        tab["handle"].as_str().unwrap().to_owned()
    }

    pub fn tab(&self) -> String {
        let path = format!("{}/window", self.session);
        self.call("GET", &path, &Value::Null)
            .as_str()
            .unwrap()
            .to_owned()
    }

    pub fn switch(&self, tab: &str) {
        self.post("/window", &json!({"handle": tab}));
        self.size(1280, 800);
    }

    /// Presses the keys of a text, one after the other, wherever the focus is.
    pub fn keys(&self, text: &str) {
        let strokes: Vec<Value> = text
            .chars()
            .flat_map(|key| {
                ["keyDown", "keyUp"].map(|stroke| json!({"type": stroke, "value": key.to_string()}))
            })
            .collect();
        let actions = json!([{"type": "key", "id": "keyboard", "actions": strokes}]);
        self.post("/actions", &json!({"actions": actions}));
    }

    /// Types a line and presses Enter, then waits until the job has moved.
    pub fn enter(&self, line: &str) {
        let before = self.stamp();
        self.keys(&format!("{line}{ENTER}"));
        self.wait("the job goes on", || self.stamp() != before);
    }

    /// Types a line and Enter into the field in no time, as a scanner does.
    pub fn scan(&self, code: &str) {
        self.wait("nothing is under way", || {
            self.run("return waiting === 0 && document.activeElement === field()") == true
        });
        self.run(&format!(
            "for (const key of [...{code:?}, 'Enter']) {{
               field().dispatchEvent(new KeyboardEvent('keydown', {{ key, bubbles: true, cancelable: true }}));
             }}"
        ));
    }

    /// Signs by Ctrl+Enter, under this name or the one that is offered.
    pub fn sign(&self, name: &str) {
        const CONTROL: &str = "\u{e009}";
        let before = self.stamp();
        self.keys(name);
        let stroke = |kind: &str, key: &str| json!({"type": kind, "value": key});
        let strokes = [
            stroke("keyDown", CONTROL),
            stroke("keyDown", ENTER),
            stroke("keyUp", ENTER),
            stroke("keyUp", CONTROL),
        ];
        let actions = json!([{"type": "key", "id": "keyboard", "actions": strokes}]);
        self.post("/actions", &json!({"actions": actions}));
        self.wait("the record is made", || self.stamp() != before);
    }

    pub fn enter_all(&self, lines: &[&str]) {
        for line in lines {
            self.enter(line);
        }
    }

    fn stamp(&self) -> Value {
        self.run("return document.getElementById('page')?.dataset.stamp ?? ''")
    }

    /// Chooses a file in a field for one: the window that it opens is the system's, and no page.
    pub fn choose(&self, field: &str, file: &std::path::Path) {
        let asked = json!({"using": "css selector", "value": field});
        let found = self.post("/element", &asked);
        let element = found.as_object().unwrap().values().next().unwrap();
        let path = format!("/element/{}/value", element.as_str().unwrap());
        self.post(&path, &json!({"text": file.to_str().unwrap()}));
    }

    /// How many sheets of A4 the page prints on.
    pub fn sheets(&self) -> usize {
        let a4 = json!({"preferCSSPageSize": true, "paperWidth": 8.27, "paperHeight": 11.69});
        let asked = json!({"cmd": "Page.printToPDF", "params": a4});
        let printed = self.post("/goog/cdp/execute", &asked);
        let file = from_base64(printed["data"].as_str().unwrap());
        let file = String::from_utf8_lossy(&file);
        file.matches("/Type /Page\n").count()
    }

    /// Looks at the page by a script: for what cannot be seen otherwise, never to do something.
    pub fn run(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({"script": script, "args": []}))
    }

    pub fn text(&self) -> String {
        self.run("return document.body.innerText")
            .as_str()
            .unwrap()
            .to_owned()
    }

    pub fn question(&self) -> String {
        self.run("return document.getElementById('question')?.innerText ?? ''")
            .as_str()
            .unwrap()
            .to_owned()
    }

    #[track_caller]
    pub fn wait(&self, what: &str, done: impl Fn() -> bool) {
        let begun = Instant::now();
        while !done() {
            assert!(
                begun.elapsed() < Duration::from_secs(15),
                "{what}: {}",
                self.text()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// The page does not scroll sideways. Chromium tells a wider page for a moment after it was loaded or its size changed.
    #[track_caller]
    pub fn fits(&self, name: &str) {
        let width = "return document.documentElement.scrollWidth - innerWidth";
        self.wait(&format!("{name} fits"), || self.run(width) == 0);
    }

    #[track_caller]
    pub fn wait_for(&self, text: &str) {
        self.wait(text, || self.text().contains(text));
    }

    /// The focus is in the field, so that the cable's next digit lands there.
    #[track_caller]
    pub fn is_in_field(&self) {
        assert_eq!(
            self.run("return document.activeElement.id"),
            "line",
            "{}",
            self.text()
        );
    }

    /// What axe-core finds at level AA, light and dark; and a picture of both where they are wanted.
    #[track_caller]
    pub fn look(&self, name: &str) {
        for dark in [false, true] {
            self.dark(dark);
            self.picture(&format!("{name}-{}", if dark { "dark" } else { "light" }));
            let found = self.violations();
            assert!(found.is_empty(), "{name}, dark {dark}: {found:#?}");
        }
        self.dark(false);
    }

    /// What axe-core finds at level AA.
    pub fn violations(&self) -> Vec<String> {
        let path = std::env::var("AXE_CORE").expect("AXE_CORE names axe.min.js");
        let source = std::fs::read_to_string(path).unwrap();
        self.run(&format!("if (!window.axe) {{ {source} }}"));
        let script = "const done = arguments[arguments.length - 1];
            axe.run({runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}).then(
                found => done(found.violations.map(v => v.id + ': ' + v.help + ' at ' + v.nodes.map(n => n.html + ' ' + n.failureSummary).join(' | '))),
                error => done([String(error)]));";
        let found = self.post("/execute/async", &json!({"script": script, "args": []}));
        serde_json::from_value(found).unwrap()
    }

    /// Puts a picture of the page into the folder for them, where there is one.
    pub fn picture(&self, name: &str) {
        let Some(folder) = std::env::var_os("SCREENSHOTS") else {
            return;
        };
        let path = format!("{}/screenshot", self.session);
        let picture = self.call("GET", &path, &Value::Null);
        let bytes = from_base64(picture.as_str().unwrap());
        std::fs::create_dir_all(&folder).unwrap();
        let file = std::path::Path::new(&folder).join(format!("{name}.png"));
        std::fs::write(file, bytes).unwrap();
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            self.call("DELETE", &self.session, &json!({}));
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// RFC 4648, section 4.
fn from_base64(text: &str) -> Vec<u8> {
    let digit = |byte: u8| match byte {
        b'A'..=b'Z' => u32::from(byte - b'A'),
        b'a'..=b'z' => u32::from(byte - b'a') + 26,
        b'0'..=b'9' => u32::from(byte - b'0') + 52,
        b'+' => 62,
        _ => 63,
    };
    let digits: Vec<u8> = text.bytes().filter(|byte| *byte != b'=').collect();
    digits
        .chunks(4)
        .flat_map(|four| {
            let bits = four.iter().fold(0, |bits, byte| bits << 6 | digit(*byte))
                << (6 * (4 - four.len()));
            let bytes = bits.to_be_bytes();
            bytes[1..four.len()].to_vec()
        })
        .collect()
}
