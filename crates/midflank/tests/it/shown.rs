//! Nothing is shown that is not in the catalogue: with every sentence disguised, what stands in plain letters was typed, or
//! is an identity, a unit, a code or the name of a standard.

use std::collections::BTreeSet;
use std::fs;

use crate::bench::{Bench, root};
use crate::facts::{DISGUISE, disguised, jobs, workshop};
use crate::web::feature_jobs::JOBS;
use crate::web::support::{
    Answer, Bench as Served, Folder, OVER_WIRES, SET_UP, TO_THE_RECORD, Window, ZERO, between,
    form, request,
};

/// Words that stand in a text beside the disguised sentences. What has digits in it is a number, a hash or an identity.
fn undisguised(text: &str, known: &BTreeSet<String>) -> BTreeSet<String> {
    text.split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| word.len() > 2 && word.bytes().all(|letter| letter.is_ascii_alphabetic()))
        // The check digits of an entry's short name.
        .filter(|word| {
            word.len() != 4 || !word.bytes().all(|letter| (b'a'..=b'f').contains(&letter))
        })
        .filter(|word| !known.contains(*word))
        .map(str::to_owned)
        .collect()
}

/// What may be shown as it is: what was typed, identities, units, codes, names of standards and of the program.
fn known(bench: &Bench) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = [
        "UTC",
        "AWG",
        "midflank",
        "build",
        "kPa",
        "MPa",
        "DOCTYPE",
        "html",
        "lbf",
        "typed",
        "inf",
        "NPT", // A material by its name in the table.
        "aluminium",
    ]
    .map(str::to_owned)
    .into();
    let mut take = |text: &str| {
        all.extend(
            text.split(|letter: char| !letter.is_ascii_alphabetic())
                .map(str::to_owned),
        );
    };
    // What was typed: the values of the job files, not their comments.
    for file in jobs()
        .iter()
        .chain([&root().join("demo/features/equipment.toml")])
    {
        for line in fs::read_to_string(file).unwrap().lines() {
            let value = line.split_once('=').map_or(line, |(_, value)| value);
            for typed in value.split('"').skip(1).step_by(2) {
                take(typed);
            }
        }
    }
    // Titles of standards and tables are proper names; keys of the job file and codes are codes.
    for source in metrology_titles() {
        take(&source);
    }
    for key in [
        "iso14253-1",
        "simple",
        "probability",
        "accept",
        "reject",
        "undecided",
        "inspection",
        "equipment",
        "spread",
        "pitch-diameter",
        "major-diameter",
    ] {
        take(key);
    }
    // Where a published table stands, as its file names it.
    take(&fs::read_to_string(root().join("crates/metrology/data/crimp-pull-force.csv")).unwrap());
    // The zone of the machine, and its name: without another it is the name of the station.
    take("Etc");
    #[cfg(unix)]
    take(&rustix::system::uname().nodename().to_string_lossy());
    // Kinds, states and roles are codes; keys of a job file that a remark names are typed there.
    for code in [
        "active contacts balls wires standard instrument thermometer register equipment state",
        "error maximum_permissible_error expanded_uncertainty force size due",
    ] {
        take(code);
    }
    // Where the files are.
    take(bench.path("x").to_str().unwrap());
    take(root().join("demo/features/keyseat.toml").to_str().unwrap());
    for job in jobs() {
        take(job.to_str().unwrap());
    }
    all
}

fn metrology_titles() -> Vec<String> {
    metrology::source::Source::ALL
        .iter()
        .filter_map(|source| source.document())
        .map(str::to_owned)
        .collect()
}

/// The text of a page: without its tags, styles and scripts, with what is read aloud.
pub fn text_of(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page;
    while let Some((text, more)) = rest.split_once('<') {
        out.push_str(text);
        out.push(' ');
        let (tag, after) = more.split_once('>').unwrap_or((more, ""));
        for attribute in [
            " aria-label=\"",
            " title=\"",
            " alt=\"",
            " placeholder=\"",
            " data-title=\"",
            " data-lost=\"",
        ] {
            if let Some((_, value)) = tag.split_once(attribute) {
                out.push_str(value.split('"').next().unwrap_or_default());
                out.push(' ');
            }
        }
        rest = match tag.split([' ', '>']).next() {
            Some("style") => after.split_once("</style>").map_or("", |(_, after)| after),
            Some("script") => after.split_once("</script>").map_or("", |(_, after)| after),
            _ => after,
        };
    }
    out.push_str(rest);
    out.replace("&quot;", " ").replace("&amp;", " ")
}

#[test]
fn nothing_is_shown_that_the_catalogue_does_not_hold() {
    let bench = workshop();
    let known = known(&bench);
    let mut wrong = Vec::new();
    let mut look = |what: &str, text: &str| {
        let found = undisguised(text, &known);
        if !found.is_empty() {
            wrong.push(format!("{what}: {found:?}"));
        }
    };
    for (index, job) in jobs().iter().enumerate() {
        let name = job.file_name().unwrap().to_string_lossy().into_owned();
        let run = disguised(&bench, &["inspect", job.to_str().unwrap(), "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
        look(&format!("inspect {name}"), &run.out);
        look(&format!("inspect {name}, said"), &run.err);
        let entry = (index + 1 + pieces()).to_string();
        look(
            &format!("report of {name}"),
            &disguised(&bench, &["report", &entry]).out,
        );
        let file = bench.path(&format!("{index}.html"));
        let html = disguised(
            &bench,
            &["report", &entry, "--html", file.to_str().unwrap()],
        );
        assert_eq!(html.status, 0, "{}", html.err);
        look(
            &format!("page of {name}"),
            &text_of(&fs::read_to_string(&file).unwrap()),
        );
    }
    for arguments in [
        &["ledger", "list"][..],
        &["ledger", "verify"],
        &["ledger", "show", "1"],
        &["equipment", "list"],
        &["report", "1"],
        &["setup", "M10x1.5-6g"],
        &["setup", "M64x1.5-6g"],
    ] {
        let run = disguised(&bench, arguments);
        look(&arguments.join(" "), &format!("{}{}", run.out, run.err));
    }
    for thread in ["M8", "1/2-14 NPT"] {
        let file = bench.path("profile.svg");
        let drawn = disguised(
            &bench,
            &[
                "limits",
                thread,
                "--replace",
                "--svg",
                file.to_str().unwrap(),
            ],
        );
        assert_eq!(drawn.status, 0, "{}", drawn.err);
        look(thread, &text_of(&fs::read_to_string(&file).unwrap()));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Pieces that the demo register holds.
fn pieces() -> usize {
    let text = fs::read_to_string(root().join("demo/features/equipment.toml")).unwrap();
    text.lines().filter(|line| line.starts_with("[[")).count()
}

/// What a technician types as it stands: keys, commands, rules, words of a feature.
const TYPED: &str = "retake back drop park take next new more end zero anew limits wires gauges identify iso guard band four \
    simple probability stringent relaxed false accept pressure lifting aircraft electrical medical safety Enter Esc none \
    budget tolerance pieces keys look unit unfit sign history old nonsense furlong dropped wiped reread identical demonstration BSW";
/// Choices by the names that they have in a job file.
const CODES: &str = "bottom-to-opposite-side depth-from-crown depth-from-edge";

/// What stands on the pages as it is: lines that are typed, and the equipment of the demonstration.
fn known_on_pages() -> BTreeSet<String> {
    let mut known = known(&Bench::new());
    let demonstration = fs::read_to_string(root().join("demo/equipment.toml")).unwrap_or_default();
    let lines = JOBS.iter().flat_map(|job| job.feature).chain(&SET_UP);
    let typed = lines.chain(&TO_THE_RECORD).chain(&OVER_WIRES);
    for text in typed.chain(&[demonstration.as_str(), TYPED, CODES]) {
        known.extend(
            text.split(|letter: char| !letter.is_ascii_alphabetic())
                .map(str::to_owned),
        );
    }
    known
}

/// A served bench whose sentences are all disguised, and what was seen of it in plain letters.
struct Watched {
    bench: Served,
    known: BTreeSet<String>,
    seen: std::cell::RefCell<BTreeSet<String>>,
    _folder: Folder,
}

impl Watched {
    fn start(name: &str) -> Self {
        let folder = Folder::new(name);
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_midflank"));
        command.env(DISGUISE, "1");
        let mut bench = Served::start_by(command, &folder, 0, &[]);
        bench.cookie = bench.open(&bench.door).1;
        Self {
            bench,
            known: known_on_pages(),
            seen: std::cell::RefCell::default(),
            _folder: folder,
        }
    }

    fn look(&self, what: &str, page: &str) {
        for word in undisguised(&text_of(page), &self.known) {
            self.seen.borrow_mut().insert(format!("{what}: {word}"));
        }
    }

    fn look_at(&self, path: &str) {
        self.look(path, &self.bench.get(path).body);
    }

    /// Lines that must be taken, the page looked at before each.
    fn enter_all(&self, window: &mut Window<'_>, lines: &[&str]) {
        for line in lines {
            self.look(&format!("before {line:?}"), &window.page);
            window.enter_all(&[line]);
        }
        self.look("after them", &window.page);
    }

    /// A line that is not taken, or looks something up.
    fn try_line(&self, window: &mut Window<'_>, line: &str) {
        let before = window.page.clone();
        assert_ne!(window.enter(line), 303, "{line:?} was taken");
        self.look(&format!("{line:?}"), &window.page);
        window.page = before;
    }

    fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = between(&self.bench.get("/").body, "name=\"token\" value=\"", "\"").to_owned();
        let mut all = vec![("token", token)];
        all.extend(
            fields
                .iter()
                .map(|(key, value)| (*key, (*value).to_owned())),
        );
        let kind = ("Content-Type", "application/x-www-form-urlencoded");
        self.bench.request("POST", path, &[kind], &form(&all))
    }

    #[track_caller]
    fn saw_nothing_else(&self) {
        let seen: Vec<String> = self.seen.borrow().iter().cloned().collect();
        assert!(seen.is_empty(), "{}", seen.join("\n"));
    }
}

/// Every page of a job at the bench, from the first question to the record, and the pages around it.
#[test]
fn no_page_of_a_job_shows_what_the_catalogue_does_not_hold() {
    let watched = Watched::start("disguised");
    let mut window = watched.bench.window();
    for wrong in [
        "",
        "M10x1.7-6g",
        "8.93",
        "crimp",
        "M10x1.5-6H",
        "/zero",
        "/nonsense",
    ] {
        watched.try_line(&mut window, wrong);
    }
    watched.enter_all(&mut window, &SET_UP[..6]);
    for wrong in ["mic-99", "mic-04-old", "/drop"] {
        watched.try_line(&mut window, wrong);
    }
    watched.enter_all(&mut window, &SET_UP[6..]);
    for line in [
        "8..9",
        "0.3515in",
        "89.29",
        "",
        "x",
        "8.93O",
        "/budget",
        "/keys",
        "/tolerance",
        "/look",
        "limits",
        "limits M8",
        "limits M8x9",
        "wires M10x1.5-6g",
        "wires furlong",
        "gauges M10x1.5-6H",
        "gauges 1/4-20 UNC-2A",
        "identify 0.247in 20tpi",
        "identify 9.97mm",
        "identify 1mm 1mm",
    ] {
        watched.try_line(&mut window, line);
    }
    // A zero that does not repeat, and one far off.
    watched.enter_all(&mut window, &["10.001", "10.009", "10.001"]);
    watched.try_line(&mut window, "no");
    watched.enter_all(&mut window, &["/zero"]);
    watched.enter_all(&mut window, &ZERO);
    watched.enter_all(
        &mut window,
        &["8.929", "8.930", "8.427", "r2", "8.931", "8.931"],
    );
    let old = window.page.clone();
    watched.enter_all(&mut window, &["8.926", "8.928"]);
    // A window that is behind.
    let now = std::mem::replace(&mut window.page, old);
    assert_eq!(window.enter("8.9"), 409);
    watched.look("overtaken", &window.page);
    window.page = now;
    watched.enter_all(&mut window, &["8.927"]);
    for line in ["/budget", "/keys", "/sign", "/drop", "/end"] {
        watched.try_line(&mut window, line);
    }
    watched.enter_all(&mut window, &["10.009", "10.009", "10.009"]);
    watched.try_line(&mut window, "short");
    watched.enter_all(&mut window, &["wiped, reread, identical"]);
    for line in ["", "A. Quill", "/budget"] {
        watched.try_line(&mut window, line);
    }
    watched.enter_all(&mut window, &["/sign A. Quill"]);
    watched.try_line(&mut window, "x");
    let entry = between(&window.page, "/record/", "\"").to_owned();
    // The next part, ended early and gone on with.
    watched.enter_all(&mut window, &[""]);
    watched.enter_all(&mut window, &ZERO);
    // 8 µm from where it stood at the end of the part before.
    watched.enter_all(&mut window, &["wiped, closed anew"]);
    watched.enter_all(&mut window, &["8.929", "8.930", "8.927", "e", "m"]);
    for path in [
        "/history",
        "/history?since=2020-13-01",
        "/history?lot=none",
        "/record/none",
        "/lot/cs-118",
        "/contacts/vc-60-3",
        "/job/1",
        "/job/1?show=budget",
        "/job/none",
        "/job/1?show=%ff",
        "/history?beyond=%ff",
        &format!("/record/{entry}"),
    ] {
        watched.look_at(path);
    }
    // Of an entry of the register the document is shown as it is stored.
    let piece = watched.bench.get("/record/1").body;
    let (before, after) = piece.split_once("<pre").unwrap();
    let (_, after) = after.split_once("</pre>").unwrap();
    watched.look("/record/1", before);
    watched.look("/record/1", after);
    let many = vec!["word"; 60].join("+");
    watched.look_at(&format!("/history?words={many}"));
    watched.saw_nothing_else();
}

#[test]
fn no_page_of_a_feature_shows_what_the_catalogue_does_not_hold() {
    let watched = Watched::start("disguised-features");
    let mut window = watched.bench.window();
    for (index, job) in JOBS.iter().enumerate() {
        if index > 0 {
            watched.enter_all(&mut window, &["/new"]);
        }
        for line in job.feature {
            watched.enter_all(&mut window, &[line]);
            watched.try_line(&mut window, "/nonsense");
        }
        watched.enter_all(&mut window, &[job.file, "", "", "", "", job.instrument]);
        watched.enter_all(&mut window, &[job.contacts, job.standard, job.temperature]);
        // The zero check of the job before counts where the set-up is the same.
        if window.page.contains("class=\"as-shown\"") {
            watched.enter_all(&mut window, &["/zero"]);
        }
        watched.enter_all(&mut window, &job.zero);
        watched.enter_all(&mut window, job.readings);
        watched.try_line(&mut window, "/budget");
        watched.enter_all(&mut window, &job.zero);
        watched.enter_all(&mut window, &["/sign A. Quill"]);
        let record = between(&window.page, "/record/", "\"").to_owned();
        watched.look_at(&format!("/record/{record}"));
    }
    watched.enter_all(&mut window, &["/new"]);
    watched.enter_all(&mut window, &OVER_WIRES);
    watched.enter_all(&mut window, &ZERO);
    watched.enter_all(
        &mut window,
        &["10.229", "10.230", "10.227", "10.231", "10.226", "10.228"],
    );
    watched.try_line(&mut window, "/budget");
    watched.enter_all(&mut window, &TO_THE_RECORD);
    let record = between(&window.page, "/record/", "\"").to_owned();
    watched.look_at(&format!("/record/{record}"));
    watched.look_at("/contacts/fl-6");
    watched.saw_nothing_else();
}

/// The register: every list, piece and form, and what is wrong with a form.
#[test]
fn no_page_of_the_register_shows_what_the_catalogue_does_not_hold() {
    let watched = Watched::start("disguised-register");
    watched.look_at("/equipment");
    for (kind, id) in [
        ("instrument", "mic-04"),
        ("contacts", "vc-60-3"),
        ("standard", "rod-10"),
        ("wires", "w-0866"),
    ] {
        for path in [
            format!("/equipment/new/{kind}"),
            format!("/equipment/{kind}/{id}"),
            format!("/equipment/{kind}/{id}/change"),
        ] {
            watched.look_at(&path);
        }
        for fields in [&[][..], &[("id", id)], &[("id", "new-1")]] {
            let answer = watched.post(&format!("/equipment/{kind}"), fields);
            watched.look(&format!("{kind} {fields:?}"), &answer.body);
        }
        for fields in [
            &[("state", "")][..],
            &[
                ("state", "nowhere"),
                ("reason", "dropped"),
                ("person", "A. Quill"),
            ],
            &[("state", "lost"), ("reason", "dropped"), ("person", "")],
        ] {
            let answer = watched.post(&format!("/equipment/{kind}/{id}/state"), fields);
            watched.look(&format!("state {fields:?}"), &answer.body);
        }
    }
    watched.look_at("/equipment/new/balls");
    watched.look_at("/equipment/new/contacts?like=vc-60-3");
    const STANDARD: [(&str, &str); 6] = [
        ("id", "rod-25"),
        ("size", "25.0006"),
        ("expanded_uncertainty", "0.8um"),
        ("coverage_factor", "2"),
        ("due", "2030-01-31"),
        ("person", "A. Quill"),
    ];
    for (key, value) in [
        ("size", ""),
        ("size", "25.0006 furlong"),
        ("coverage_factor", "two"),
        ("due", "31.1.2030"),
        ("person", ""),
        ("id", "rod-10"),
    ] {
        let fields = STANDARD.map(|(name, text)| (name, if name == key { value } else { text }));
        let answer = watched.post("/equipment/standard", &fields);
        assert_eq!(answer.status, 422, "{key} {value}");
        watched.look(&format!("{key} {value:?}"), &answer.body);
    }
    let put = [
        ("state", "quarantined"),
        ("reason", "dropped"),
        ("person", "A. Quill"),
    ];
    assert_eq!(
        watched
            .post("/equipment/standard/rod-10/state", &put)
            .status,
        303
    );
    watched.look_at("/equipment/standard/rod-10");
    watched.look_at("/equipment");
    watched.saw_nothing_else();
}

/// What is answered to those who may not come in, or ask for what is not there.
#[test]
fn no_refusal_shows_what_the_catalogue_does_not_hold() {
    let watched = Watched::start("disguised-door");
    let bench = &watched.bench;
    watched.look_at("/nowhere");
    watched.look_at("/equipment/contacts/none");
    let host = bench.host();
    let stranger = request(bench.port, "GET", "/", &[("Host", &host)], "");
    assert_eq!(stranger.status, 403);
    watched.look("a stranger", &stranger.body);
    let elsewhere = request(bench.port, "GET", "/", &[("Host", "evil.example")], "");
    watched.look("another host", &elsewhere.body);
    let site = bench.request("GET", "/", &[("Origin", "http://evil.example")], "");
    watched.look("another site", &site.body);
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    watched.look(
        "no form",
        &bench.request("POST", "/answer", &[kind], "nothing").body,
    );
    let long = "a".repeat(20_000);
    watched.look(
        "too long",
        &bench.request("POST", "/answer", &[kind], &long).body,
    );
    let fields = [
        ("token", "0".repeat(32)),
        ("job", "0".into()),
        ("after", "0".into()),
        ("line", "M10x1.5-6g".into()),
    ];
    let stale = bench.request("POST", "/answer", &[kind], &form(&fields));
    watched.look("another process", &stale.body);
    watched.look("a channel", &bench.get("/answers").body);
    watched.saw_nothing_else();
}

/// The script has no sentence of its own: it shows what the page brings.
#[test]
fn the_script_says_nothing_of_its_own() {
    let script = include_str!("../../src/web/assets/bench.js");
    let code: String = script
        .lines()
        .map(|line| line.split("// ").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n");
    for said in code.split('\'').skip(1).step_by(2) {
        let words: Vec<&str> = said.split(' ').collect();
        let is_sentence = words.len() > 2
            && words.iter().all(|word| {
                word.bytes()
                    .all(|letter| letter.is_ascii_alphabetic() || b",.;:".contains(&letter))
            });
        assert!(!is_sentence, "{said:?}");
    }
}
