//! A lot is not accepted against what is on record: results that belong to no characteristic or to another, rejections that are
//! written otherwise, a recall, a scrapped piece.

use serde_json::Value;

use crate::bench::{Bench, Run, demo_file};
use crate::lot::{GOOD, file, measure, set_up};
use crate::said::assert_says;

const PERSON: [&str; 2] = ["--person", "A. Quill"];

const THREAD: &str =
    "[[characteristic]]\nnumber = \"1\"\n[characteristic.measure]\ndesignation = \"M10x1.5-6g\"\n";

const PLACES: &str = "number = \"1\"\nplaces = [\"near the head\", \"middle\", \"near the end\"]";

/// A plan of all pieces of a lot of two, with these characteristics.
fn plan(characteristics: &str) -> String {
    format!(
        "unit = \"mm\"\n[part]\nname = \"pendulum rating screw\"\ndrawing = \"TC-0412\"\nrevision = \"C\"\nplan = \"P-1\"\n\
         [pieces]\ntake = \"all\"\nlot_size = 2\n[decision]\nrule = \"iso14253-1\"\n{characteristics}"
    )
}

/// A shop with a lot under a plan, whose pieces are measured one by one.
struct Shop {
    bench: Bench,
    plan: String,
}

impl Shop {
    fn new(characteristics: &str) -> Self {
        let shop = Self {
            bench: Bench::new(),
            plan: plan(characteristics),
        };
        let path = shop.bench.file("ip.toml", &shop.plan);
        let kept = shop.run(&["plan", &path], &PERSON);
        assert_eq!(kept.status, 0, "{}", kept.err);
        shop
    }

    /// With the lot L-1 begun.
    fn begun(characteristics: &str) -> Self {
        let shop = Self::new(characteristics);
        let begun = shop.begin("L-1", &[]);
        assert_eq!(begun.status, 0, "{}", begun.err);
        shop
    }

    fn run(&self, arguments: &[&str], more: &[&str]) -> Run {
        self.bench.run(&[arguments, more].concat())
    }

    fn begin(&self, number: &str, more: &[&str]) -> Run {
        let begin = ["lot", number, "--begin", "P-1"];
        self.run(&[&begin[..], &PERSON].concat(), more)
    }

    /// Records a piece by the demonstration job without a number, changed as asked.
    fn put(&self, piece: &str, edits: &[(&str, &str)]) -> Run {
        let mut job = demo_file("1-rating-screw.toml");
        let lot = format!("lot = \"L-1\"\nsample = \"{piece}\"");
        let first = [
            ("sample = \"1\"", lot.as_str()),
            ("characteristic = \"7\"\n", ""),
        ];
        for (from, to) in first.iter().chain(edits) {
            assert!(job.contains(from), "{from}");
            job = job.replace(from, to);
        }
        let path = self.bench.file("piece.toml", &job);
        self.run(&["inspect", &path, "--record", "--json"], &[])
    }

    /// The same, with the entry that it made.
    fn record(&self, piece: &str, edits: &[(&str, &str)]) -> String {
        let run = self.put(piece, edits);
        assert_eq!(run.status, 0, "{}", run.err);
        let entry = run.err.split_whitespace().last();
        entry.unwrap_or_default().to_owned()
    }

    fn withdraw(&self, entry: &str) {
        let amend = ["ledger", "amend", entry, "--reason", "wrong piece"];
        let run = self.run(&amend, &PERSON);
        assert_eq!(run.status, 0, "{}", run.err);
    }

    fn decide(&self, piece: &str, disposition: &str) -> Run {
        let decide = ["nonconforming", "decide", "L-1", piece, disposition];
        self.run(&decide, &PERSON)
    }

    fn lot(&self) -> Value {
        let shown = self.run(&["lot", "L-1", "--json"], &[]).documents();
        shown.last().unwrap()["lot"].clone()
    }

    /// Verdict and reason.
    fn verdict(&self) -> (String, String) {
        let lot = self.lot();
        let text = |name: &str| lot[name].as_str().unwrap_or_default().to_owned();
        (text("verdict"), text("because"))
    }

    /// Why a piece is undecided.
    fn because(&self, piece: &str) -> Value {
        let shown = self.run(&["lot", "L-1", "--json"], &[]).documents();
        let cell = shown.iter().find(|cell| cell["piece"] == piece);
        cell.map_or(Value::Null, |cell| cell["because"].clone())
    }

    fn codes(&self) -> Vec<String> {
        let lot = self.lot();
        let all = lot["warnings"].as_array().cloned().unwrap_or_default();
        let code = |one: &Value| one["code"].as_str().unwrap().to_owned();
        all.iter().map(code).collect()
    }

    #[track_caller]
    fn is(&self, verdict: &str, because: &str) {
        let found = self.verdict();
        assert_eq!(
            found,
            (verdict.to_owned(), because.to_owned()),
            "{}",
            self.lot()
        );
    }
}

/// Sizes 0.1 mm larger: rejected.
const LARGE: [(&str, &str); 2] = [("\"8.92", "\"9.02"), ("\"8.93", "\"9.03")];
/// Smaller by 30 µm: accepted, and not the size of the same piece.
const SMALLER: [(&str, &str); 2] = [("\"8.92", "\"8.89"), ("\"8.93", "\"8.90")];

fn with<'a>(edits: &[(&'a str, &'a str)], more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    [edits, more].concat()
}

const NUMBER_7: (&str, &str) = ("rev C\"\n", "rev C\"\ncharacteristic = \"7\"\n");
const NUMBER_1: (&str, &str) = ("rev C\"\n", "rev C\"\ncharacteristic = \"1\"\n");

/// A lot is shown by search facts, which are not hashed: one whose facts say otherwise than the record is held by name.
#[test]
fn a_lot_is_not_accepted_by_altered_facts() {
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    let second = shop.record("2", &LARGE);
    shop.is("reject", "nonconforming");
    crate::forged::tamper(
        &shop.bench.path("data/midflank/ledger.db"),
        "UPDATE fact SET verdict = 'accept', size_verdict = 'accept' WHERE verdict = 'reject'",
    );
    shop.is("undecided", "not-as-recorded");
    assert_eq!(shop.because("2"), "not-as-recorded");
    assert_eq!(shop.codes(), ["not-as-recorded"]);
    let sheet = shop.run(&["lot", "L-1"], &[]).out;
    crate::said::assert_says(&sheet, "lot-remark.not-as-recorded");
    assert!(sheet.contains(&second), "{sheet}");
    let made = shop.run(&["ledger", "facts", "--rebuild"], &[]);
    assert_eq!(made.status, 0, "{}", made.err);
    shop.is("reject", "nonconforming");
}

#[test]
fn a_result_counts_for_the_number_that_it_states() {
    let shop = Shop::begun(THREAD);
    shop.record("1", &[NUMBER_7]);
    shop.record("2", &[NUMBER_7]);
    shop.is("undecided", "not-measured");
    assert_eq!(shop.codes(), ["unknown-number", "unknown-number"]);
    // Another feature under a number of the plan.
    shop.record(
        "1",
        &with(
            &[NUMBER_1],
            &[
                ("M10x1.5-6g", "M10x1.25-6g"),
                ("\"8.92", "\"9.09"),
                ("\"8.93", "\"9.10"),
            ],
        ),
    );
    assert!(shop.codes().contains(&"other-feature".to_owned()));
    shop.is("undecided", "not-measured");
    // Without a number, or with that of the plan.
    shop.record("1", &[]);
    shop.record("2", &[NUMBER_1]);
    shop.is("accept", "");
    // A rejection of the same thread under a number that the plan does not have is not passed over.
    let rejected = shop.record("2", &with(&LARGE, &[NUMBER_7]));
    shop.is("undecided", "other-rejection");
    shop.withdraw(&rejected);
    shop.is("accept", "");
}

/// The same thread at both ends of a part: its number says which is which, in a file of readings and in the lot.
#[test]
fn of_two_equal_threads_the_number_says_which() {
    let second = THREAD.replace("\"1\"", "\"2\"");
    let both = format!("{THREAD}{second}");
    let shop = Shop::begun(&both);
    let zero = ",zero,,10.001\n,zero,,10.001\n,zero,,10.002\n";
    let mut rows = format!("piece,characteristic,place,reading\n{zero}");
    for piece in ["1", "2"] {
        for number in ["1", "2"] {
            for reading in ["8.929", "8.928", "8.930"] {
                rows += &format!("{piece},{number},,{reading}\n");
            }
        }
    }
    rows += zero;
    let set_up = set_up().replace("L-2026-11", "L-1");
    let run = measure(
        &shop.bench,
        &shop.plan,
        &rows,
        &set_up,
        &["--record", "--json"],
    );
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(
        run.documents().last().unwrap()["lot"]["verdict"],
        "accept",
        "{}",
        run.out
    );
    assert!(!run.err.contains("another result"), "{}", run.err);
    shop.is("accept", "");
    shop.record("1", &[]);
    assert_eq!(shop.codes(), ["several-fit"]);
    shop.is("accept", "");
    // A rejection that does not say of which of them it is.
    shop.record("2", &LARGE);
    shop.is("undecided", "other-rejection");
}

#[test]
fn a_rejection_stands_however_its_thread_is_written() {
    for written in [
        "M10-6g",
        "M10 x 1.5 - 6g",
        "M10x1.5-6g6g",
        "M10x1.5-6g-RH",
        "M10x1.5-6g-N",
    ] {
        let shop = Shop::begun(THREAD);
        shop.record("1", &with(&LARGE, &[("M10x1.5-6g", written)]));
        shop.record("1", &[]);
        shop.record("2", &[]);
        shop.is("reject", "nonconforming");
        assert_eq!(shop.codes(), ["rejected"], "{written}");
    }
}

/// By another rule, of another revision, within other limits, of a part in capital letters: no verdict on the lot, and not passed
/// over either.
#[test]
fn a_rejection_under_other_terms_is_not_passed_over() {
    for other in [
        ("rule = \"iso14253-1\"", "rule = \"simple\""),
        ("rev C", "rev D"),
        ("pendulum rating screw", "Pendulum Rating Screw"),
        ("M10x1.5-6g", "M10x1.5-6e"),
    ] {
        let shop = Shop::begun(THREAD);
        let rejected = shop.record("1", &with(&LARGE, &[other]));
        shop.record("1", &[]);
        shop.record("2", &[]);
        shop.is("undecided", "other-rejection");
        assert_eq!(shop.because("1"), "rejected-otherwise", "{other:?}");
        assert!(shop.codes().contains(&"rejected-otherwise".to_owned()));
        shop.withdraw(&rejected);
        shop.is("accept", "");
    }
    // Worked on, and measured after it.
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    shop.record("2", &[]);
    shop.record("1", &with(&LARGE, &[("rev C", "rev D")]));
    shop.is("undecided", "other-rejection");
    assert_eq!(shop.decide("1", "rework").status, 0);
    shop.is("undecided", "other-rejection");
    shop.record("1", &SMALLER);
    shop.is("accept", "");
}

#[test]
fn a_rejection_without_a_piece_is_not_passed_over() {
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    shop.record("2", &[]);
    let nameless = with(&LARGE, &[("sample = \"9\"\n", "")]);
    let rejected = shop.record("9", &nameless);
    shop.is("undecided", "other-rejection");
    assert_eq!(shop.codes(), ["rejected-no-piece"]);
    shop.withdraw(&rejected);
    shop.is("accept", "");
}

/// `l-1` beside a lot L-1.
#[test]
fn a_lot_in_other_letters_is_told_and_not_passed_over() {
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    shop.record("2", &[]);
    let other = [("lot = \"L-1\"", "lot = \"l-1\"")];
    let run = shop.put("1", &with(&LARGE, &other));
    assert!(
        run.err.contains("l-1") && run.err.contains("L-1"),
        "{}",
        run.err
    );
    shop.is("undecided", "other-rejection");
    assert_eq!(shop.codes(), ["other-lot", "rejected-otherwise"]);
    shop.begin("l-1", &[]).refused(&["lots.begun-as"]);
    let set_up = set_up().replace("L-2026-11", "l-1");
    let readings = file(&[("1", GOOD)], true);
    let run = measure(&shop.bench, &shop.plan, &readings, &set_up, &["--record"]);
    run.refused(&["lots.known-as"]);
}

#[test]
fn a_saved_recall_leaves_its_pieces_undecided() {
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    let second = shop.record("2", &[]);
    shop.is("accept", "");
    let recall = [
        "recall",
        "--standard",
        "rod-10",
        "--error",
        "-90um",
        "--since",
        "2026-03-01",
        "--found",
        "2026-03-20",
        "--save",
        "--json",
    ];
    let run = shop.run(&recall, &PERSON);
    assert_eq!(run.status, 0, "{}", run.err);
    shop.is("undecided", "recalled");
    assert_eq!(shop.because("1"), "recalled");
    assert_eq!(shop.codes(), ["recalled", "recalled"]);
    let case = shop.lot()["warnings"][0]["case"]
        .as_str()
        .unwrap()
        .to_owned();
    let sheet = shop.run(&["lot", "L-1"], &[]).out;
    let article = shop.run(&["first-article", "L-1", "--piece", "1"], &[]).out;
    for out in [&sheet, &article] {
        assert!(out.contains(&case), "{out}");
    }
    // Scrapped is not good; measured again, and still good with a reason, is.
    let decide = |what: &str, entry: &str| {
        let decide = [
            "recalls",
            "decide",
            &case,
            what,
            entry,
            "--note",
            "checked with rod-11",
        ];
        let run = shop.run(&decide, &PERSON);
        assert_eq!(run.status, 0, "{}", run.err);
    };
    decide("scrapped", &second);
    shop.is("undecided", "recalled");
    // On another standard, for the recall holds of this one.
    let again = [("2026-03-09T", "2026-03-25T"), ("\"rod-10\"", "\"rod-11\"")];
    shop.record("1", &with(&SMALLER, &again));
    assert_eq!(shop.codes(), ["recalled"]);
    decide("still-good", &second);
    shop.is("accept", "");
}

/// Errors of a micrometer, its standard and its contacts add up: none of them alone takes the piece out of its limits.
#[test]
fn recalls_that_change_nothing_alone_are_added_up() {
    let shop = Shop::begun(THREAD);
    let first = shop.record("1", &[]);
    shop.record("2", &[]);
    let save = |of: [&str; 2], error: &str| {
        let days = ["--since", "2026-03-01", "--found", "2026-03-20"];
        let asked = [
            &["recall"][..],
            &of,
            &["--error", error],
            &days,
            &["--save"],
        ]
        .concat();
        let run = shop.run(&asked, &PERSON);
        assert_eq!(run.status, 0, "{}", run.err);
    };
    save(["--standard", "rod-10"], "-35um");
    shop.is("accept", "");
    save(["--instrument", "mic-04"], "-35um");
    shop.is("undecided", "recalled");
    assert_eq!(shop.codes(), ["recalled", "recalled"]);
    let report = shop.run(&["report", &first], &[]);
    assert_says(&report.out, "report.recalled-together");
    let qif = shop.bench.path("r.qif");
    let refused = shop.run(&["report", &first, "--qif", qif.to_str().unwrap()], &[]);
    refused.refused(&["exchange.recalled"]);
    // Decided on the newest, all of it was known.
    let cases = shop.run(&["recalls", "list", "--json"], &[]).documents();
    let newest = cases[0]["entry"].as_str().unwrap().to_owned();
    for piece in ["1", "2"] {
        let shown = shop.run(&["lot", "L-1", "--json"], &[]).documents();
        let cell = shown.iter().find(|cell| cell["piece"] == piece).unwrap();
        let entry = cell["entry"].as_str().unwrap();
        let note = ["--note", "measured against both errors"];
        let decide = [
            &["recalls", "decide", &newest, "still-good", entry][..],
            &note,
        ]
        .concat();
        let run = shop.run(&decide, &PERSON);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    shop.is("accept", "");
}

#[test]
fn the_places_of_the_plan_are_asked_for_by_name() {
    let shop = Shop::begun(&THREAD.replace("number = \"1\"", PLACES));
    shop.record("1", &[]);
    shop.record("2", &[("along = \"middle\"", "along = \"shoulder\"")]);
    shop.is("undecided", "undecided-pieces");
    let missing = &shop.lot()["not_measured"]["of_pieces"];
    let missing = missing.as_array().unwrap();
    assert_eq!(missing.len(), 1, "{missing:?}");
    assert_eq!(
        (&missing[0]["piece"], &missing[0]["place"]),
        (&"2".into(), &"middle".into())
    );
    // Where the plan names none, nobody asked for any.
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    shop.record("2", &[]);
    shop.is("accept", "");
    assert_eq!(shop.lot()["not_measured"]["of_pieces_count"], 0);
}

/// A verdict on one place is none on the part, which is what the plan has; nor is one over contacts where it asks for wires.
#[test]
fn scope_and_wires_are_those_of_the_plan() {
    let place = ("[measure]\n", "[measure]\nscope = \"place\"\n");
    let shop = Shop::begun(THREAD);
    shop.record("1", &[]);
    let entry = shop.record("2", &[place]);
    shop.is("undecided", "undecided-pieces");
    assert_eq!(shop.because("2"), "other-scope");
    assert!(shop.codes().contains(&"only-off-plan".to_owned()));
    shop.withdraw(&entry);
    shop.record("2", &[]);
    shop.is("accept", "");
    // A plan of a place takes either.
    let shop = Shop::begun(&format!("{THREAD}scope = \"place\"\n"));
    shop.record("1", &[]);
    shop.record("2", &[place]);
    shop.is("accept", "");
    let shop = Shop::begun(&THREAD.replace("\"1\"\n", "\"1\"\nway = \"wires\"\n"));
    shop.record("1", &[]);
    shop.record("2", &[]);
    shop.is("undecided", "undecided-pieces");
    assert_eq!(shop.because("1"), "other-way");
}

#[test]
fn a_scrapped_piece_never_counts_as_accepted() {
    let shop = Shop::begun(THREAD);
    // By another rule: undecided.
    shop.record("1", &[("rule = \"iso14253-1\"", "rule = \"simple\"")]);
    shop.record("2", &[]);
    let decided = shop.decide("1", "scrap");
    assert_eq!(decided.status, 0, "{}", decided.err);
    shop.record("1", &[]);
    shop.is("undecided", "undecided-pieces");
    assert!(
        shop.codes().contains(&"after-final".to_owned()),
        "{:?}",
        shop.codes()
    );
    let entry = decided.out.trim().rsplit(' ').next().unwrap().to_owned();
    shop.withdraw(&entry);
    shop.is("accept", "");
}

#[test]
fn the_later_measurement_counts_whenever_it_was_recorded() {
    let simple = ("rule = \"iso14253-1\"", "rule = \"simple\"");
    let shop = Shop::begun(THREAD);
    shop.record("1", &[simple]);
    shop.record("2", &[]);
    shop.record("1", &[("2026-03-09T", "2026-03-02T")]);
    shop.is("undecided", "undecided-pieces");
    assert!(
        shop.codes().contains(&"older".to_owned()),
        "{:?}",
        shop.codes()
    );
    shop.record("1", &[("2026-03-09T", "2026-03-10T")]);
    shop.is("accept", "");
}

/// 30 µm apart with U of less than 10 µm each.
#[test]
fn two_sizes_that_contradict_each_other_leave_a_piece_undecided() {
    let shop = Shop::begun(THREAD);
    let first = shop.record("1", &[]);
    shop.record("2", &[]);
    shop.record("1", &SMALLER);
    shop.is("undecided", "undecided-pieces");
    assert_eq!(shop.because("1"), "contradicted");
    assert_eq!(shop.codes(), ["contradicted"]);
    assert_eq!(shop.lot()["warnings"][0]["entry"], *first);
    shop.withdraw(&first);
    shop.is("accept", "");
}

#[test]
fn nothing_is_measured_before_its_lot_came_in() {
    let shop = Shop::new(THREAD);
    // On record before the lot was started with that day.
    shop.record("1", &[]);
    let begun = shop.begin("L-1", &["--received", "2026-03-20"]);
    assert_eq!(begun.status, 0, "{}", begun.err);
    shop.is("undecided", "undecided-pieces");
    assert_eq!(shop.because("1"), "before-receipt");
    shop.put("2", &[]).refused(&["lots.before-receipt"]);
    let set_up = set_up().replace("L-2026-11", "L-1");
    let rows = "piece,characteristic,place,reading\n,zero,,10.001\n1,1,,8.929\n,zero,,10.001\n";
    let run = measure(&shop.bench, &shop.plan, rows, &set_up, &["--record"]);
    run.refused(&["lots.before-receipt"]);
}

/// A plan that accepts whatever is found, or can never reject, is refused; so is a lot of so few pieces.
#[test]
fn numbers_that_say_nothing_are_refused() {
    let bench = Bench::new();
    let with = |pieces: &str| {
        let plan = plan(THREAD).replace("take = \"all\"\nlot_size = 2", pieces);
        let path = bench.file("ip.toml", &plan);
        bench.run(&[&["plan", &path][..], &PERSON].concat())
    };
    with("take = \"fixed\"\nn = 3\naccept = 3").refused(&["plan.accepts-all"]);
    with("take = \"fixed\"\nn = 3\nreject = 4").refused(&["plan.never-rejects"]);
    with("take = \"all\"\nlot_size = 2\naccept = 2").refused(&["plan.accepts-all"]);
    let aql = "take = \"105e\"\nlot_size = 50\naql = \"40\"";
    with(aql).refused(&["plan.counts-nonconformities"]);
    assert_eq!(with(&aql.replace("40", "10")).status, 0);
    assert_eq!(with("take = \"fixed\"\nn = 5\naccept = 2").status, 0);
    let begin = ["lot", "L-1", "--begin", "P-1", "--size", "2"];
    let run = bench.run(&[&begin[..], &PERSON].concat());
    run.refused(&["plan.accepts-all"]);
}

#[test]
fn a_lot_has_no_more_pieces_than_it_has() {
    let shop = Shop::begun(THREAD);
    for piece in ["1", "2", "2b"] {
        shop.record(piece, &[]);
    }
    shop.is("undecided", "more-pieces");
    assert_eq!(
        shop.lot()["warnings"][0]["pieces"],
        serde_json::json!(["1", "2", "2b"]),
        "{}",
        shop.lot()
    );
}
