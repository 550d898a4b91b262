//! Numbers that are none or without end, and texts with hidden characters: refused wherever they can be given.

use std::fs;
use std::ops::Range;
use std::path::PathBuf;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::bench::{Bench, demo, root};
use crate::said::{assert_says, says};

/// What no number in a file or an option may be.
const BAD: [&str; 5] = ["nan", "inf", "-inf", "1e308", "-1e308"];

/// The job files of the demo, with the data that lies beside them.
fn jobs() -> Vec<PathBuf> {
    ["demo", "demo/features"]
        .iter()
        .flat_map(|folder| fs::read_dir(root().join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect()
}

/// The places of all numbers in a file: bare ones, and those in quotes with or without a unit.
fn numbers(text: &str) -> Vec<Range<usize>> {
    fn gather(value: &Spanned<DeValue<'_>>, found: &mut Vec<Range<usize>>) {
        match value.get_ref() {
            DeValue::Integer(_) | DeValue::Float(_) => found.push(value.span()),
            DeValue::String(quoted) => {
                let number = quoted.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
                if number.parse::<f64>().is_ok() {
                    let start = value.span().start + 1;
                    found.push(start..start + number.len());
                }
            }
            DeValue::Array(items) => items.iter().for_each(|item| gather(item, found)),
            DeValue::Table(table) => table.iter().for_each(|(_, value)| gather(value, found)),
            DeValue::Boolean(_) | DeValue::Datetime(_) => {}
        }
    }
    let table = DeTable::parse(text).unwrap();
    let mut found = Vec::new();
    for (key, value) in table.get_ref().iter() {
        // Drawings and samples are texts, whatever they look like.
        if **key.get_ref() != *"part" {
            gather(value, &mut found);
        }
    }
    found
}

/// Every number of a file replaced in turn by each that is none, and what the files are called by.
fn spoilt(text: &str) -> Vec<String> {
    let mut all = Vec::new();
    for place in numbers(text) {
        for bad in BAD {
            all.push(format!(
                "{}{bad}{}",
                &text[..place.start],
                &text[place.end..]
            ));
        }
    }
    all
}

#[test]
fn every_number_of_every_job() {
    let mut spoilt_jobs = 0;
    for path in jobs() {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        if name == "equipment" {
            continue;
        }
        let bench = Bench::new().with_equipment();
        bench.demo("2-cock-screw.csv", &[]);
        let text = fs::read_to_string(&path).unwrap();
        let files: Vec<String> = spoilt(&text)
            .iter()
            .enumerate()
            .map(|(index, text)| bench.file(&format!("{name}-{index}.toml"), text))
            .collect();
        assert!(!files.is_empty(), "{name}");
        spoilt_jobs += files.len();
        let mut arguments = vec!["inspect", "--record", "--json"];
        arguments.extend(files.iter().map(String::as_str));
        let run = bench.run(&arguments);
        assert_eq!(run.status, 2, "{name}: {}", run.err);
        assert_eq!(run.out, "", "{name}");
        let refusals = run
            .err
            .lines()
            .filter(|line| !line.starts_with("midflank: warning: "));
        // One a file, and how many went in.
        assert_eq!(refusals.count(), files.len() + 1, "{name}: {}", run.err);
        for file in &files {
            assert!(run.err.contains(file.as_str()), "{file} is not named");
        }
        for internal in ["f64", "u32", "invalid type", "deserialize", "expected"] {
            assert!(!run.err.contains(internal), "{internal}: {}", run.err);
        }
    }
    assert!(spoilt_jobs > 1000, "{spoilt_jobs}");
}

#[test]
fn every_number_of_equipment() {
    let bench = Bench::new();
    for text in spoilt(&demo("equipment")) {
        let run = bench.run(&["equipment", "add", &bench.file("e.toml", &text)]);
        run.refused(&["e.toml:"]);
        assert_eq!(run.err.lines().count(), 1, "{}", run.err);
    }
    assert!(!bench.path("data/midflank/ledger.db").exists());
}

/// Every option that takes a number or a length, given as one that is none.
#[test]
fn every_number_of_commands() {
    let commands = [
        "setup soft --lower 1mm --upper 2mm --modulus 5 --pressure 2 --repeatability 2um --part-temperature 22 \
         --room-temperature 20 --within 0.5",
        "setup groove --nominal 15mm --tolerance 0.05mm --width 2mm --root-radius 0.2mm --wall-angle 5 --depth 3mm",
        "setup lobed --lower 9mm --upper 10mm --lobes 3 --v-angle 60",
        "setup wall --lower 2mm --upper 2.1mm --bore 20mm",
        "setup inside --lower 20mm --upper 21mm --outside-diameter 25mm",
        "setup slot --lower 2mm --upper 2.1mm --discs 0.7mm",
        "setup keyseat --lower 20mm --upper 21mm --shaft 25mm --width 8mm --convention depth-from-edge",
        "setup crimp --lower 1.4mm --upper 1.5mm --mm2 0.75",
        "correct off-axis --diameter 10mm --offset 0.1mm",
        "correct leaning-line --diameter 10mm --tilt 1",
        "correct tilted-faces --length 10mm --face 6mm --tilt 1",
        "correct parallelism --error 2um --face 6mm --distance 1mm",
        "correct flat-in-bore --bore 20mm --face 3mm",
        "correct ball-in-bore --bore 20mm --ball 3mm --offset 0.1mm",
        "correct lobing --two-point 10mm --lobes 3 --vee 60 --variation 9um",
        "correct temperature --size 25mm --standard-size 25mm --part 25 --standard 20 --instrument 20",
        "contacts M10x1.5-6g --cone-half-angle 30 --v-half-angle 30 --part-half-angle 30 --groove-wider 1um \
         --ridge-thicker 1um",
        "contacts M10x1.5-6g --zero standard --standard-longer 1um --zero-half-angle 30",
        "contacts M10x1.5-6g --cone-tip 0.2mm --cone-base 1mm --v-root 0.2mm --v-mouth 1mm --v-relief 0.1mm",
        "wires --angle 60 --pitch 1.5mm --lead 1.5mm --pitch-diameter 9.026mm --wire 0.866mm --force 2",
        "wires M10-6g --over-wires 10.2mm",
        "decide --value 9mm --standard-uncertainty 2um --coverage-factor 2 --lower 8.9mm --upper 9.1mm \
         --rule guard-band --rule-parameter 1 --process-mean 9mm --process-sd 2um",
        "decide --value 9mm --standard-uncertainty 2um --degrees-of-freedom 8 --upper 9.1mm --rule iso14253-1",
        "functional M10x1.5-6g --size 8.98mm --half-angle-errors 0.5,0.5 --pitch-error 2um --engagement 10mm",
        "functional M10x1.5-6g --size 8.98mm --error-per-pitch 1um --engagement 10mm",
        "reconcile M10x1.5-6g --first 8.93mm --second 8.94mm --wire 0.866mm --force 2 --repeatability 1um",
        "identify --major 9.9mm --major-uncertainty 10um --pitch 1.5mm --pitch-uncertainty 10um --angle 60 \
         --angle-uncertainty 1 --taper 0 --pitch-diameter 9mm --pitch-diameter-uncertainty 10um",
        "identify --major 6.3mm --per-inch 20",
        "identify --major 6.3mm --count 8 --over 10.2mm --over-uncertainty 25um",
        "pull --standard ul-486a --awg 18 96N",
        "pull --standard ul-486a --mm2 0.82 --wire-strength 150N",
        "simulate --jobs 1 --slips 0.5",
    ];
    let bench = Bench::new().with_equipment();
    let mut tried = 0;
    for command in commands {
        let words: Vec<&str> = command.split_whitespace().collect();
        for (index, word) in words.iter().enumerate().skip(2) {
            let follows_option = words[index - 1].starts_with("--");
            let unit =
                word.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ',');
            let is_number = word.starts_with(|c: char| c.is_ascii_digit());
            if !(follows_option && is_number || unit == "N") {
                continue;
            }
            for bad in BAD {
                // One of two values is enough to spoil both.
                let given = if word.contains(',') {
                    format!("0.5,{bad}")
                } else {
                    format!("{bad}{unit}")
                };
                if words[index - 1] == "--degrees-of-freedom" && bad == "inf" {
                    continue;
                }
                let mut arguments = words.clone();
                arguments[index] = &given;
                let run = bench.run(&arguments);
                assert_eq!(run.status, 2, "{arguments:?}: {}{}", run.out, run.err);
                assert_eq!(run.out, "", "{arguments:?}");
                assert!(!run.err.contains("panicked"), "{}", run.err);
                tried += 1;
            }
        }
        let run = bench.run(&words);
        assert_eq!(run.status, 0, "{command}: {}", run.err);
    }
    assert!(tried > 400, "{tried}");
}

#[test]
fn an_option_outside_its_range_is_told_with_the_range() {
    let bench = Bench::new();
    for (option, value) in [
        ("--modulus", "NaN"),
        ("--pressure", "NaN"),
        ("--pressure", "1e400"),
        ("--pressure", "0"),
        ("--pressure", "-20"),
    ] {
        let run = bench.run(&["setup", "soft-thickness", option, value]);
        run.refused(&[
            "number-given.outside",
            option,
            value,
            "kPa"
                .replace('k', if option == "--modulus" { "M" } else { "k" })
                .as_str(),
        ]);
        assert_eq!(run.err.lines().count(), 1, "{}", run.err);
    }
}

/// Whether wires were calibrated under force changes the size by micrometres: beside an identity it is no remark.
#[test]
fn wires_by_identity_and_calibrated_under_force() {
    let bench = Bench::new().with_equipment();
    let by = |keys: &str| {
        let text = demo("by-identity").replacen(
            "\n[standard]",
            &format!("\n[wires]\nid = \"w-0866\"\n{keys}\n[standard]"),
            1,
        );
        bench.inspect(&text)
    };
    by("calibrated_under_force = true").refused(&["w-0866", "jobfile.not-described"]);
    let alone = by("");
    assert!(!says(&alone.err, "jobfile.not-described"), "{}", alone.err);
}

#[test]
fn hidden_characters_in_texts() {
    let bench = Bench::new().with_equipment();
    let job = |from: &str, to: &str| {
        let text = demo("land");
        assert!(text.contains(from), "{from}");
        bench.inspect(&text.replacen(from, to, 1))
    };
    let head = "person = \"A. Quill\"";
    for (person, code) in [
        ("A\\u001b[2J", "text-given.control"),
        ("A\\tQuill", "text-given.control"),
        ("A\\nQuill", "text-given.control"),
        ("A\\u0000", "text-given.control"),
        ("A\\u202eQuill", "text-given.direction"),
        ("\\u2066A\\u2069", "text-given.direction"),
    ] {
        let run = job(head, &format!("person = \"{person}\""));
        run.refused(&["job.toml:", "`person`", code]);
    }
    for (note, is_good) in [
        ("first line\\nsecond line", true),
        ("\\u05d0\\u05d1\\u05d2", true),
        ("bell \\u0007", false),
        ("\\u202dx", false),
    ] {
        let run = job(head, &format!("{head}\nnote = \"{note}\""));
        assert_eq!(run.status == 0, is_good, "{note}: {}", run.err);
    }
    for arguments in [
        ["--person", "A\u{1b}[2J", "--reason", "x"],
        ["--person", "A. Quill", "--reason", "x\u{202e}y"],
    ] {
        let run = bench.run(&[&["equipment", "state", "mic-04", "out"], &arguments[..]].concat());
        assert_eq!(run.status, 2, "{}", run.err);
        assert!(says(&run.err, "text-given.control") || says(&run.err, "text-given.direction"));
        assert!(!run.err.contains(['\u{1b}', '\u{202e}']), "{:?}", run.err);
    }
}

/// A name that no file can have spoils its own job, and the next is answered.
#[test]
fn a_file_that_cannot_be_named() {
    let bench = Bench::new();
    let good = bench.file("good.toml", &demo("land"));
    for name in ["a\\u0000.csv", &"long".repeat(100), "good.toml/x.csv"] {
        let job = bench.demo(
            "2-cock-screw.toml",
            &[("file = \"2-cock-screw.csv\"", &format!("file = \"{name}\""))],
        );
        let run = bench.run(&["inspect", "--json", job.to_str().unwrap(), &good]);
        assert_eq!(run.status, 2, "{}", run.err);
        assert_eq!(run.documents().len(), 1, "{name}: {}", run.err);
    }
}

/// A batch says file, line, column and value, and nothing of how it was read.
#[test]
fn rows_of_a_batch() {
    let bench = Bench::new();
    let decide = bench.file(
        "d.csv",
        "value,standard_uncertainty,rule,unit\n9,0.001\n9x,0.001,simple,mm\n",
    );
    let run = bench.run(&["decide", "--batch", &decide]);
    assert_eq!(run.status, 2, "{}", run.err);
    assert_says(&run.out, "command.wrong-row");
    let header = "angle_deg,pitch,lead,pitch_diameter,wire_diameter,unit";
    let wires = bench.file(
        "w.csv",
        &format!("{header}\n60\n60,nan,,9,,mm\n1e308,1.5,,9,,mm\n"),
    );
    let run = bench.run(&["wires", "--batch", &wires]);
    assert_eq!(run.status, 2, "{}", run.err);
    for part in [
        "w.csv:3",
        "`pitch` must be a number from -100000 to 100000 (got nan)",
        "w.csv:4",
        "`angle_deg` must be a number from 1 to 179° (got 1e308)",
    ] {
        assert!(run.err.contains(part), "{part}: {}", run.err);
    }
    assert!(
        !run.err.contains("eserialize") && !run.err.contains("record"),
        "{}",
        run.err
    );
    let run = bench.run(&[
        "wires",
        "--batch",
        &bench.file("x.csv", "angle_deg,pitch\n60,1\n"),
    ]);
    run.refused(&["command.no-column", "x.csv:1", "`pitch_diameter`"]);
}
