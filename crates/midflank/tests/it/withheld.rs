//! What the gauge room's record contradicts is not accepted: a failed calibration, a recall, a contact of a pair that is set apart,
//! a certificate that cannot be used, a finding without a recall, evidence that was withdrawn.

use serde_json::Value;

use crate::bench::{Bench, Run, changed, demo, root};
use crate::said::{assert_says, assert_silent};

const PERSON: [&str; 2] = ["--person", "A. Quill"];

fn done(run: Run) -> Run {
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    run
}

fn because(bench: &Bench, job: &str) -> Value {
    bench.inspect(job).json()["decision"]["because"].clone()
}

/// The demonstration calibration of mic-04 under this number and day, with other changes.
fn calibrated(bench: &Bench, number: &str, on: &str, changes: &[(&str, &str)]) -> Value {
    let mut text =
        std::fs::read_to_string(root().join("demo/gauge-room/calibration.toml")).unwrap();
    let day = format!("on = {on}");
    let first = [("IN-2026-04", number), ("on = 2026-03-02", day.as_str())];
    for (from, to) in first.iter().chain(changes) {
        assert!(text.contains(from), "no {from}");
        text = text.replace(from, to);
    }
    let file = bench.file("calibrated.toml", &text);
    done(bench.run(&["calibrate", &file, "--record", "--json"])).json()
}

fn withdraw(bench: &Bench, entry: &str) {
    let amend = ["ledger", "amend", entry, "--reason", "not done as written"];
    done(bench.run(&[&amend[..], &PERSON].concat()));
}

fn set(bench: &Bench, kind: &str, id: &str, more: &[&str]) -> Run {
    let set = ["status", "set", kind, id];
    let set = [&set[..], more, &["--reason", "looked at"], &PERSON].concat();
    done(bench.run(&set))
}

fn recall(bench: &Bench, piece: &[&str], found: &str) {
    let recall = [
        &["recall"],
        piece,
        &["--error", "60um", "--found", found, "--save"],
        &PERSON,
    ];
    done(bench.run(&recall.concat()));
}

/// The demonstration job by identities, measured now or on a day.
fn job(at: &str) -> String {
    changed("by-identity", "2026-04-14T09:50:00Z", at)
}

fn now() -> String {
    jiff::Timestamp::now().to_string()
}

/// The last entry on the record.
fn last(bench: &Bench) -> String {
    let list = bench.run(&["ledger", "list"]).out;
    let first = list.split_whitespace().next();
    first.unwrap().to_owned()
}

fn record(bench: &Bench, job: &str) -> String {
    let path = bench.file("job.toml", job);
    done(bench.run(&["inspect", &path, "--record"]));
    last(bench)
}

const TIGHT: (&str, &str) = ("limit = \"4um\"", "limit = \"1um\"");
const BEYOND: (&str, &str) = (
    "readings = [25.002, 25.003, 25.002]",
    "readings = [25.032, 25.033, 25.032]",
);

/// Whatever became of the status entry that it made; limited by the gauge room, the piece gives verdicts of what it is good for.
#[test]
fn a_failed_calibration_stands_without_its_status() {
    let bench = Bench::new().with_equipment();
    let told = calibrated(&bench, "IN-1", "2026-03-02", &[TIGHT]);
    assert_eq!(told["verdict"], "reject");
    withdraw(&bench, told["recorded"]["status"].as_str().unwrap());
    let job = demo("by-identity");
    assert_eq!(because(&bench, &job), "failed-calibration");
    set(
        &bench,
        "instrument",
        "mic-04",
        &["limited", "--for", "plain-diameter"],
    );
    assert!(because(&bench, &job).is_null());
    withdraw(&bench, &last(&bench));
    assert_eq!(because(&bench, &job), "failed-calibration");
    calibrated(&bench, "IN-2", "2026-03-03", &[]);
    assert!(because(&bench, &job).is_null());
}

/// Faces that failed and were not measured again are as they were.
#[test]
fn faces_that_failed_are_measured_again() {
    let bench = Bench::new().with_equipment();
    let faces = "parallelism = { bands = 4,";
    let bad = [(faces, "parallelism = { bands = 40,")];
    let told = calibrated(&bench, "IN-1", "2026-03-02", &bad);
    assert_eq!(told["verdict"], "reject");
    let none = [("parallelism = { bands = 4, wavelength = \"0.6um\" }", "")];
    let told = calibrated(&bench, "IN-2", "2026-03-03", &none);
    assert_eq!(told["verdict"], "accept");
    let status = || {
        let shown = ["status", "show", "instrument", "mic-04", "--json"];
        bench.run(&shown).documents().pop().unwrap()
    };
    assert_eq!(status()["status"], "quarantined");
    calibrated(&bench, "IN-3", "2026-03-04", &[]);
    assert_eq!(status()["status"], "in-use");
}

/// What was set before the recall, and where the piece is, say nothing of its being good.
#[test]
fn a_holder_ends_no_recall() {
    let bench = Bench::new().with_equipment();
    let standard = |more: &[&str]| set(&bench, "standard", "block-10", more);
    standard(&["in-use", "--holder", "bench 2"]);
    recall(&bench, &["--standard", "block-10"], "2026-05-01");
    let because = || because(&bench, &job(&now()));
    assert_eq!(because(), "found-out");
    standard(&["in-use", "--holder", "bench 3"]);
    assert_eq!(because(), "found-out");
    standard(&["in-use", "--due", "2027-03-01"]);
    assert_eq!(because(), "found-out");
    standard(&["in-use"]);
    assert!(because().is_null());
}

/// A date alone, and another date of a certificate that was known at the finding.
#[test]
fn a_date_ends_no_recall() {
    let bench = Bench::new().with_equipment();
    recall(&bench, &["--standard", "block-10"], "2026-05-01");
    let stated = |certificate: &str| {
        let standard = format!(
            "id = \"block-10\"\nform = \"plain\"\nsize = \"9.99993\"\nexpanded_uncertainty = \"0.12um\"\n\
             coverage_factor = 2\n{certificate}\n"
        );
        let job = job("2026-06-14T09:50:00Z");
        because(&bench, &job.replace("id = \"block-10\"\n", &standard))
    };
    assert_eq!(stated("certificate_date = 2026-06-01"), "found-out");
    let known = "certificate = \"k 2101\"\ncertificate_date = 2026-06-01";
    assert_eq!(stated(known), "found-out");
    let new = "certificate = \"K-2999\"\ncertificate_date = 2026-06-01";
    assert!(stated(new).is_null());
    let described = |certificate: &str| {
        let file = format!(
            "person = \"A. Quill\"\nunit = \"mm\"\n[[standard]]\nid = \"block-10\"\nform = \"plain\"\nsize = \"9.99993\"\n\
             expanded_uncertainty = \"0.12um\"\ncoverage_factor = 2\ncertificate = \"{certificate}\"\n\
             certificate_date = 2026-06-01\ndue = 2028-01-31\n"
        );
        let file = bench.file("again.toml", &file);
        done(bench.run(&["equipment", "add", &file, "--reason", "typing error"]));
        because(&bench, &job("2026-06-14T09:50:00Z"))
    };
    assert_eq!(described("K-2101"), "found-out");
    assert!(described("K-2999").is_null());
}

fn pair(id: &str, members: &str) -> String {
    format!(
        "id = \"{id}\"\nkind = \"flat\"\nface = \"6.35\"\nmaterial = \"carbide\"\nmembers = [{members}]\n"
    )
}

/// A shop with the pair fl-B, which has a contact of fl-6, and a job with a pair.
fn with_pair() -> (Bench, impl Fn(&str) -> String) {
    let bench = Bench::new().with_equipment();
    let file = format!(
        "person = \"A. Quill\"\nunit = \"mm\"\n[[contacts]]\n{}",
        pair("fl-B", "\"F-21\", \"F-99\"")
    );
    done(bench.run(&["equipment", "add", &bench.file("pair.toml", &file)]));
    let job = |pair: &str| {
        let job = job(&now());
        let (head, rest) = job.split_once("[contacts]").unwrap();
        let (_, rest) = rest.split_once("[standard]").unwrap();
        let rest = rest.lines().filter(|line| !line.starts_with("contacts ="));
        let rest: Vec<&str> = rest.collect();
        format!(
            "{head}[contacts]\n{pair}\n[standard]\n{}\n",
            rest.join("\n")
        )
    };
    (bench, job)
}

#[test]
fn a_contact_that_is_set_apart_is_so_in_every_pair() {
    let (bench, job) = with_pair();
    let with_b = || because(&bench, &job("id = \"fl-B\""));
    assert!(with_b().is_null());
    set(
        &bench,
        "contacts",
        "fl-B",
        &["in-use", "--holder", "bench 3"],
    );
    set(&bench, "contacts", "fl-6", &["quarantined"]);
    assert_eq!(with_b(), "member-quarantined");
    set(
        &bench,
        "contacts",
        "fl-B",
        &["in-use", "--holder", "bench 4"],
    );
    assert_eq!(with_b(), "member-quarantined");
    // However its identity is written, in a pair that nobody registered.
    let other = pair("fl-Z", "\"f-21\", \"F-77\"");
    assert_eq!(because(&bench, &job(&other)), "member-quarantined");
    set(&bench, "contacts", "fl-B", &["in-use"]);
    assert!(with_b().is_null());

    let (bench, job) = with_pair();
    let state = [
        "equipment",
        "state",
        "fl-6",
        "quarantined",
        "--reason",
        "chipped",
    ];
    done(bench.run(&[&state[..], &PERSON].concat()));
    assert_eq!(because(&bench, &job("id = \"fl-B\"")), "member-quarantined");

    // Of a pair that is worn out either contact may be; one that was put together afterwards is known to be good.
    let (bench, job) = with_pair();
    set(&bench, "contacts", "fl-6", &["retired"]);
    assert_eq!(because(&bench, &job("id = \"fl-B\"")), "member-retired");
    let file = format!(
        "person = \"A. Quill\"\nunit = \"mm\"\n[[contacts]]\n{}",
        pair("fl-C", "\"F-22\", \"F-98\"")
    );
    done(bench.run(&["equipment", "add", &bench.file("pair.toml", &file)]));
    assert!(because(&bench, &job("id = \"fl-C\"")).is_null());

    // A recall of a contact holds in pairs that nobody registered.
    let (bench, job) = with_pair();
    recall(&bench, &["--member", "F-21"], "2026-05-01");
    assert_eq!(because(&bench, &job(&other)), "found-out");
}

fn certificate(bench: &Bench, (kind, id): (&str, &str), values: &[(&str, &str, &str)]) {
    let mut text = format!(
        "person = \"A. Quill\"\nkind = \"{kind}\"\nid = \"{id}\"\ndate = 2026-03-20\n[certificate]\n\
         issuer = \"laboratory of the county\"\nnumber = \"Z-1\"\n"
    );
    for (quantity, at, value) in values {
        text.push_str(&format!(
            "[[value]]\nquantity = \"{quantity}\"\n{at}\nvalue = {value}\nunit = \"mm\"\n\
             expanded_uncertainty = 0.001\ncoverage_factor = 2\n"
        ));
    }
    done(bench.run(&["certificate", "add", &bench.file("certificate.toml", &text)]));
}

/// A certificate that is later than what jobs go by and cannot be used is not left aside.
#[test]
fn a_later_certificate_that_cannot_be_used_withholds() {
    let with = |piece: (&str, &str), values: &[(&str, &str, &str)], job: &str| {
        let bench = Bench::new().with_equipment();
        certificate(&bench, piece, values);
        because(&bench, job)
    };
    let by_identity = demo("by-identity");
    let rod = ("standard", "block-10");
    let unused = "unused-certificate";
    for quantity in ["measured value", "deviation", "between faces"] {
        assert_eq!(with(rod, &[(quantity, "", "9.8")], &by_identity), unused);
    }
    assert!(with(rod, &[("flatness", "", "0.0002")], &by_identity).is_null());
    // One point is no curve.
    let curved = ("instrument", "mic-04");
    assert_eq!(
        with(curved, &[("error", "at = 12", "0.05")], &by_identity),
        unused
    );
    let limited = by_identity.replace("\"mic-04\"", "\"mic-11\"");
    let instrument = ("instrument", "mic-11");
    let beyond = "beyond-limit";
    for (quantity, at, value) in [
        ("error of indication", "at = 12", "0.05"),
        ("largest error", "", "0.3"),
        ("correction", "at = 12", "-0.05"),
        ("Messabweichung", "at = 12", "0.05"),
        ("indicated", "at = 12", "12.05"),
    ] {
        assert_eq!(with(instrument, &[(quantity, at, value)], &limited), beyond);
    }
    let good = [("error", "at = 12", "0.001"), ("flatness", "", "0.01")];
    assert!(with(instrument, &good, &limited).is_null());
}

/// A calibration that found the piece beyond its limit, though it was adjusted: what was measured since the last good check is in
/// doubt, on record and new, until a recall is saved.
#[test]
fn a_finding_is_one_before_its_recall_is_saved() {
    let bench = Bench::new().with_equipment();
    let first = demo("by-identity");
    let entry = record(&bench, &first);
    let text = std::fs::read_to_string(root().join("demo/gauge-room/calibration.toml")).unwrap();
    let (_, found) = text.split_once("\n[[found]]").unwrap();
    let (found, _) = found.split_once("[faces]").unwrap();
    let found = format!("[[found]]{found}");
    let left = found.replace("[[found]]", "[[left]]");
    let both = format!("{}{left}", found.replace(BEYOND.0, BEYOND.1));
    let told = calibrated(&bench, "IN-1", "2026-05-02", &[(&found, &both)]);
    assert_eq!(told["verdict"], "accept");
    assert_eq!(because(&bench, &first), "found-beyond");
    assert!(because(&bench, &job("2026-06-14T09:50:00Z")).is_null());
    assert_says(&bench.run(&["report", &entry]).out, "against.found-beyond");
    bench
        .run(&["report", &entry, "--qif", "one.qif"])
        .refused(&["exchange.against"]);
    let save = ["recall", "--instrument", "mic-04", "--error", "1um"];
    let save = [&save[..], &["--found", "2026-05-02", "--save"], &PERSON].concat();
    done(bench.run(&save));
    assert_silent(&bench.run(&["report", &entry]).out, "against.found-beyond");
    assert_eq!(because(&bench, &first), "found-out");
    done(bench.run(&["ledger", "verify"]));
}

/// The same of a check part, since its last check within its limits.
#[test]
fn a_check_part_that_is_out_speaks_of_what_was_before() {
    let bench = Bench::new().with_equipment();
    let check = |reading: &str, at: &str| {
        let check = [
            "check",
            "CP-1",
            reading,
            "--instrument",
            "mic-04",
            "--contacts",
            "fl-6",
        ];
        done(bench.run(&[&check[..], &PERSON, &["--at", at]].concat()));
    };
    for day in 1..=9 {
        check(
            &format!("5.00{}mm", day % 2),
            &format!("2026-04-{day:02}T07:00:00Z"),
        );
    }
    let entry = record(&bench, &demo("by-identity"));
    check("5.030mm", "2026-04-20T07:00:00Z");
    assert_eq!(because(&bench, &demo("by-identity")), "check-out");
    assert_says(&bench.run(&["report", &entry]).out, "against.check-out");
    assert!(because(&bench, &job("2026-04-05T09:50:00Z")).is_null());
}

/// An extension and a calibration that were withdrawn, unless something took their place.
#[test]
fn what_rests_on_withdrawn_evidence_is_in_doubt() {
    let bench = Bench::new().with_equipment();
    set(
        &bench,
        "instrument",
        "mic-04",
        &["in-use", "--due", "2026-05-01"],
    );
    let extended = [
        "in-use",
        "--extend-until",
        "2099-01-31",
        "--check",
        "two blocks",
    ];
    set(&bench, "instrument", "mic-04", &extended);
    let extension = last(&bench);
    let entry = record(&bench, &job("2026-06-14T09:50:00Z"));
    let says = || bench.run(&["report", &entry]).out;
    assert_silent(&says(), "against.evidence-withdrawn");
    withdraw(&bench, &extension);
    assert_says(&says(), "against.evidence-withdrawn");
    set(&bench, "instrument", "mic-04", &extended);
    assert_silent(&says(), "against.evidence-withdrawn");

    let bench = Bench::new().with_equipment();
    let told = calibrated(&bench, "IN-1", "2026-03-02", &[]);
    let entry = record(&bench, &demo("by-identity"));
    let says = || bench.run(&["report", &entry]).out;
    withdraw(&bench, told["recorded"]["calibration"].as_str().unwrap());
    assert_says(&says(), "against.evidence-withdrawn");
    calibrated(&bench, "IN-1", "2026-03-02", &[]);
    assert_silent(&says(), "against.evidence-withdrawn");

    let bench = Bench::new().with_equipment();
    approve_own(&bench, &["--value", "9um"]);
    let approval = last(&bench);
    let entry = record(&bench, &job(&now()));
    withdraw(&bench, &approval);
    assert_says(
        &bench.run(&["report", &entry]).out,
        "against.evidence-withdrawn",
    );
    done(bench.run(&["ledger", "verify"]));
}

/// The range of a calibration is that of the registered micrometer.
#[test]
fn a_calibration_is_of_the_registered_range() {
    let bench = Bench::new().with_equipment();
    let text = std::fs::read_to_string(root().join("demo/gauge-room/calibration.toml")).unwrap();
    let other = text.replace("range = [0, 25]", "range = [0, 30]");
    assert_ne!(other, text);
    bench
        .run(&["calibrate", &bench.file("c.toml", &other), "--record"])
        .refused(&["calibration-entry.other-range", "mic-04"]);
}

/// Approves the laboratory's own uncertainty of plain diameters with a set-up of the demonstration.
fn approve_own(bench: &Bench, more: &[&str]) {
    let set_up = [
        "--instrument",
        "mic-04",
        "--with",
        "fl-6",
        "--of",
        "plain-diameter",
    ];
    let on = ["--evidence", "study 12", "--review-due", "2099-01-31"];
    let approve = ["default", "uncertainty"];
    done(bench.run(&[&approve[..], &set_up, more, &on, &PERSON].concat()));
}

/// Temperatures that do not show the room say nothing of an uncertainty that was found in one.
#[test]
fn an_approved_uncertainty_needs_a_known_room() {
    let bench = Bench::new().with_equipment();
    approve_own(&bench, &["--value", "1um", "--room", "19..21"]);
    let told = |uncertainty: &str| {
        let temperature = format!(
            "\n[temperature]\npart = 20.2\nstandard = 20.1\nstandard_uncertainty = {uncertainty}\n\
             part_material = \"steel\"\nstandard_material = \"steel\"\n[decision]\n"
        );
        let job = job(&now()).replace("\n[decision]\n", &temperature);
        bench.run(&["inspect", &bench.file("job.toml", &job)]).out
    };
    assert_silent(&told("0.2"), "warning.own-not-held");
    assert_says(&told("2"), "warning.own-not-held");
}
