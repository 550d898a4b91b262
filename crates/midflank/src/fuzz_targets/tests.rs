//! Every target over its corpus, and over some mutations of it: the same ones each time.

use std::fs;
use std::path::Path;
use std::time::Instant;

use super::long::{Random, rounds, tell};

/// A target, and the folder of its corpus.
type Target = (&'static str, fn(&[u8]));
const TARGETS: [Target; 14] = [
    ("designation", super::designation),
    ("job_file", super::job_file),
    ("readings", super::readings),
    ("dcc", super::dcc),
    ("stored", super::stored),
    ("form", super::form),
    ("serial_line", super::serial_line),
    ("study_table", super::study_table),
    ("plan", super::plan),
    ("lot_readings", super::lot_readings),
    ("certificate", super::certificate),
    ("room_log", super::room_log),
    ("plan_table", super::plan_table),
    ("equipment_list", super::equipment_list),
];

/// Mutations of each target in a long run.
const MUTATIONS: u32 = 30_000;

#[test]
fn mutated_inputs_are_answered() {
    let begun = Instant::now();
    let mut random = Random(17);
    for (name, target) in TARGETS {
        let corpus = corpus(name);
        assert!(!corpus.is_empty(), "{name}");
        for input in &corpus {
            run(name, target, input);
        }
        for _ in 0..rounds(MUTATIONS) {
            run(name, target, &mutated(&corpus, &mut random));
        }
    }
    let targets = u32::try_from(TARGETS.len()).unwrap_or_default();
    let count = rounds(MUTATIONS) * targets;
    tell("mutated inputs", count, "0 panics", begun);
}

fn corpus(name: &str) -> Vec<Vec<u8>> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut folders = vec![top.join("fuzz/corpus").join(name)];
    folders.extend(match name {
        "job_file" => vec![top.join("demo"), top.join("demo/features")],
        "certificate" => vec![top.join("demo/gauge-room")],
        _ => Vec::new(),
    });
    let files = folders.iter().flat_map(|at| fs::read_dir(at).unwrap());
    let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    paths.retain(|path| path.is_file());
    paths.sort();
    paths.iter().map(|path| fs::read(path).unwrap()).collect()
}

fn run(name: &str, target: fn(&[u8]), input: &[u8]) {
    struct Shown<'a>(&'a str, &'a [u8]);
    impl Drop for Shown<'_> {
        fn drop(&mut self) {
            if std::thread::panicking() {
                println!("{}: b\"{}\"", self.0, self.1.escape_ascii());
            }
        }
    }
    let _shown = Shown(name, input);
    target(input);
}

/// One input of the corpus, with a few places changed.
fn mutated(corpus: &[Vec<u8>], random: &mut Random) -> Vec<u8> {
    const TELLING: [&[u8]; 12] = [
        b"0",
        b"-",
        b".",
        b",",
        b"e308",
        b"nan",
        b"inf",
        b"\"",
        b"\n",
        b"\0",
        b"%00",
        b"99999999999999999999",
    ];
    let mut input = random.one_of(corpus).clone();
    for _ in 0..=random.below(4) {
        let at = random.below(input.len() + 1);
        let length = random.below(16).min(input.len() - at);
        let put = match random.below(5) {
            0 => vec![],
            1 => vec![u8::try_from(random.below(256)).unwrap_or_default()],
            2 => random.one_of(&TELLING).to_vec(),
            3 => input[at..at + length].repeat(2),
            _ => {
                let other = random.one_of(corpus);
                let from = random.below(other.len() + 1);
                other[from..(from + 16).min(other.len())].to_vec()
            }
        };
        input.splice(at..at + length, put);
    }
    input
}
