//! Nonconforming pieces: held by themselves, decided on, measured again after work, and a rejected lot that comes back.

use serde_json::Value;

use crate::bench::{Bench, Run, demo_file, root};
use crate::lot::{GOOD, file, measure, set_up};
use crate::said::assert_says;

const LARGE: [&str; 3] = ["9.029", "9.028", "9.030"];
const PERSON: [&str; 2] = ["--person", "A. Quill"];

/// The first characteristic of the demonstration plan, with this way of taking pieces.
fn plan(pieces: &str) -> String {
    let plan = std::fs::read_to_string(root().join("demo/lot/plan.toml")).unwrap();
    let (first, _) = plan.rsplit_once("[[characteristic]]").unwrap();
    let (before, rest) = first.split_once("[pieces]\n").unwrap();
    let (_, after) = rest.split_once("[decision]").unwrap();
    format!("{before}[pieces]\n{pieces}\n[decision]{after}")
}

struct Shop {
    bench: Bench,
    plan: String,
}

impl Shop {
    /// A shop with a plan on its record.
    fn new(pieces: &str) -> Self {
        let bench = Bench::new();
        let plan = plan(pieces);
        let path = bench.file("ip.toml", &plan);
        let kept = bench.run(&[&["plan", &path][..], &PERSON].concat());
        assert_eq!(kept.status, 0, "{}", kept.err);
        Self { bench, plan }
    }

    fn begin(&self, number: &str, more: &[&str]) -> Run {
        let asked = ["lot", number, "--begin", "IP-0412-4"];
        self.bench.run(&[&asked[..], &PERSON, more].concat())
    }

    fn record(&self, lot: &str, pieces: &[(&str, [&str; 3])]) {
        let set_up = set_up().replace("L-2026-11", lot);
        let readings = file(pieces, true);
        let run = measure(&self.bench, &self.plan, &readings, &set_up, &["--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }

    fn decide(&self, lot: &str, piece: &str, disposition: &str, more: &[&str]) -> Run {
        let asked = ["nonconforming", "decide", lot, piece, disposition];
        self.bench.run(&[&asked[..], &PERSON, more].concat())
    }

    fn pieces(&self, more: &[&str]) -> Vec<Value> {
        let asked = ["nonconforming", "list", "--json"];
        self.bench.run(&[&asked[..], more].concat()).documents()
    }

    fn lot(&self, number: &str) -> Value {
        let shown = self.bench.run(&["lot", number, "--json"]).documents();
        shown.last().unwrap()["lot"].clone()
    }
}

#[test]
fn a_rejected_piece_is_held_until_it_is_reworked_and_accepted() {
    let shop = Shop::new("take = \"all\"\nlot_size = 3");
    shop.begin("L-1", &[]);
    shop.record("L-1", &[("1", GOOD), ("2", LARGE), ("3", GOOD)]);
    assert_eq!(shop.lot("L-1")["verdict"], "reject");
    // It is held with a number before anybody decided.
    let held = &shop.pieces(&[])[0];
    assert_eq!(
        (&held["piece"], &held["disposition"]),
        (&"2".into(), &"held".into())
    );
    let number = held["number"].as_str().unwrap().to_owned();
    let first = held["shown_by"][0]["entry"].as_str().unwrap().to_owned();
    assert!(
        first.starts_with(number.strip_prefix("N-").unwrap()),
        "{held}"
    );
    // Mistakes, each told and nothing kept.
    shop.decide("L-1", "1", "scrap", &[])
        .refused(&["nonconforming.conforms"]);
    shop.decide("L-1", "7", "scrap", &[])
        .refused(&["nonconforming.no-piece"]);
    shop.decide("L-9", "2", "scrap", &[])
        .refused(&["lots.no-lot"]);
    shop.decide("L-1", "2", "melt", &[])
        .refused(&["nonconforming.no-disposition"]);
    shop.decide("L-1", "2", "use-as-is", &[])
        .refused(&["nonconforming.no-concession"]);
    shop.decide("L-1", "2", "rework", &["--concession", "C-4"])
        .refused(&["nonconforming.concession"]);
    shop.decide("L-1", "2", "rework", &["--confirmed-by", "a. quill"])
        .refused(&["nonconforming.same-person"]);
    assert!(shop.pieces(&[])[0].get("entry").is_none());

    let decided = shop.decide("L-1", "2", "rework", &["--confirmed-by", "B. Tallow"]);
    assert_eq!(decided.status, 0, "{}", decided.err);
    assert!(decided.out.contains(&number), "{}", decided.out);
    // Still open, until the piece is measured again; the first result stays on the record.
    assert_eq!(shop.pieces(&[])[0]["confirmed_by"], "B. Tallow");
    shop.record("L-1", &[("2", ["8.931", "8.930", "8.932"])]);
    assert!(shop.pieces(&[]).is_empty());
    let closed = &shop.pieces(&["--all"])[0];
    assert_eq!(closed["measured_again"][0]["decision"], "accept");
    assert_eq!(closed["shown_by"][0]["entry"], *first);
    // All pieces were inspected, so the reworked one counts.
    assert_eq!(shop.lot("L-1")["verdict"], "accept");
    let verified = shop.bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// A held piece that is measured again and found good is not accepted by that, until somebody releases it.
#[test]
fn a_held_piece_is_not_accepted_by_its_results() {
    let shop = Shop::new("take = \"all\"\nlot_size = 2");
    let near = ["8.990", "8.989", "8.991"];
    let within = ["8.979", "8.978", "8.980"];
    shop.begin("L-1", &[]);
    shop.record("L-1", &[("1", GOOD), ("2", near)]);
    assert_eq!(shop.lot("L-1")["undecided"], 1);
    assert_eq!(shop.decide("L-1", "2", "held", &[]).status, 0);
    shop.record("L-1", &[("2", within)]);
    let lot = shop.lot("L-1");
    assert_eq!(
        (&lot["verdict"], &lot["because"]),
        (&"undecided".into(), &"held".into())
    );
    let told = shop.bench.run(&["lot", "L-1"]).out;
    assert_says(&told, "lot-remark.not-released");
    // In rework it is not measured since; by a concession it counts as it was measured.
    shop.decide("L-1", "2", "rework", &[]);
    assert_eq!(shop.lot("L-1")["because"], "held");
    let released = shop.decide("L-1", "2", "use-as-is", &["--concession", "C-4"]);
    assert_eq!(released.status, 0, "{}", released.err);
    assert_eq!(shop.lot("L-1")["verdict"], "accept");
    // Each work asks for a measurement after it.
    shop.begin("L-2", &[]);
    shop.record("L-2", &[("1", GOOD), ("2", LARGE)]);
    shop.decide("L-2", "2", "rework", &[]);
    shop.record("L-2", &[("2", GOOD)]);
    assert_eq!(shop.lot("L-2")["verdict"], "accept");
    shop.decide("L-2", "2", "rework", &["--note", "burr"]);
    assert_eq!(shop.lot("L-2")["verdict"], "undecided");
    assert_eq!(shop.pieces(&[]).len(), 1);
    shop.record("L-2", &[("2", ["8.931", "8.930", "8.932"])]);
    assert_eq!(shop.lot("L-2")["verdict"], "accept");
    assert!(shop.pieces(&[]).is_empty());
}

/// A sample speaks for the pieces that were not taken: work on the one that was found mends none of them.
#[test]
fn rework_of_a_sampled_piece_does_not_accept_its_lot() {
    let shop = Shop::new("take = \"fixed\"\nn = 2\nlot_size = 50");
    shop.begin("L-1", &[]);
    shop.record("L-1", &[("1", LARGE), ("2", GOOD)]);
    assert_eq!(shop.lot("L-1")["verdict"], "reject");
    shop.decide("L-1", "1", "rework", &[]);
    shop.record("L-1", &[("1", ["8.931", "8.930", "8.932"])]);
    assert!(shop.pieces(&[]).is_empty());
    assert_eq!(shop.lot("L-1")["verdict"], "reject");
    // Scrapped is scrapped.
    shop.begin("L-2", &[]);
    shop.record("L-2", &[("1", LARGE), ("2", GOOD)]);
    assert_eq!(shop.decide("L-2", "1", "scrap", &[]).status, 0);
    shop.decide("L-2", "1", "rework", &[])
        .refused(&["nonconforming.final"]);
    assert!(shop.pieces(&[]).is_empty());
}

#[test]
fn a_rejected_lot_comes_back_under_tightened_inspection() {
    let shop = Shop::new("take = \"105e\"\nlot_size = 280\nlevel = \"II\"\naql = \"1.5\"");
    shop.begin("L-1", &[]);
    shop.record("L-1", &[("1", LARGE), ("2", LARGE)]);
    shop.begin("L-2", &["--resubmits", "L-3"])
        .refused(&["lots.no-lot"]);
    for severity in ["normal", "reduced"] {
        shop.begin("L-2", &["--resubmits", "L-1", "--severity", severity])
            .refused(&["lots.not-tightened"]);
    }
    shop.begin("L-2", &["--resubmits", "L-1", "--size", "500"])
        .refused(&["lots.more-than-came-back"]);
    let back = shop.begin("L-2", &["--resubmits", "L-1"]);
    assert_eq!(back.status, 0, "{}", back.err);
    // Code letter G leads to H: 50 pieces (table II-B).
    assert!(back.out.contains("50"), "{}", back.out);
    assert!(shop.bench.run(&["lot", "L-2"]).out.contains("L-1"));
    shop.begin("L-3", &["--resubmits", "L-2"])
        .refused(&["lots.not-rejected"]);
    shop.begin("L-3", &["--resubmits", "L-1"])
        .refused(&["lots.came-back"]);
    let verified = shop.bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// A decision that is forged and hashed anew is found.
#[test]
fn a_forged_decision_is_found() {
    use ledger::{Draft, Filter, Ledger, Order, Page};
    let shop = Shop::new("take = \"all\"\nlot_size = 1");
    shop.begin("L-1", &[]);
    shop.record("L-1", &[("1", LARGE)]);
    shop.decide("L-1", "1", "scrap", &[]);
    let path = shop.bench.path("data/midflank/ledger.db");
    let ledger = Ledger::open(&path).unwrap();
    let filter = Filter {
        kind: Some("nonconformance".to_owned()),
        ..Filter::default()
    };
    let page = Page::first(Order::OldestFirst, 1);
    let mut draft: Draft = ledger
        .list(&filter, &page)
        .unwrap()
        .entries
        .remove(0)
        .content;
    draft.inputs = draft.inputs.replace("\"piece\":\"1\"", "\"piece\":\"2\"");
    ledger.append(&draft).unwrap();
    drop(ledger);
    let verified = shop.bench.run(&["ledger", "verify"]);
    assert_ne!(verified.status, 0, "{}", verified.out);
}

/// A repeat reverses no rejection, nor does a decision that is no work on the piece; a withdrawal of the result does.
#[test]
fn a_rejection_stands_until_it_is_withdrawn() {
    let shop = Shop::new("take = \"fixed\"\nn = 2\nlot_size = 50");
    for (lot, disposition) in [("L-1", None), ("L-2", Some("held")), ("L-3", Some("scrap"))] {
        shop.begin(lot, &[]);
        shop.record(lot, &[("1", LARGE), ("2", GOOD)]);
        if let Some(disposition) = disposition {
            assert_eq!(shop.decide(lot, "1", disposition, &[]).status, 0);
        }
        shop.record(lot, &[("1", ["8.931", "8.930", "8.932"])]);
        let told = shop.lot(lot);
        assert_eq!(told["verdict"], "reject", "{told}");
        assert_eq!(told["warnings"][0]["code"], "rejected", "{told}");
        let text = shop.bench.run(&["lot", lot]).out;
        assert_says(&text, "lots.not-counted");
    }
    let held = shop.pieces(&[]);
    assert_eq!(
        (held.len(), &held[1]["lot"]),
        (2, &"L-1".into()),
        "{held:?}"
    );
    let first = held[1]["shown_by"][0]["entry"].as_str().unwrap();
    let withdrawn = ["ledger", "amend", first, "--reason", "wrong piece"];
    let withdrawn = shop.bench.run(&[&withdrawn[..], &PERSON].concat());
    assert_eq!(withdrawn.status, 0, "{}", withdrawn.err);
    assert_eq!(shop.lot("L-1")["verdict"], "accept");
}

/// What was decided by another rule, or within other limits, than the plan of its lot has gives no verdict there.
#[test]
fn a_result_of_other_terms_gives_a_lot_no_verdict() {
    let shop = Shop::new("take = \"fixed\"\nn = 2\nlot_size = 50");
    shop.begin("L-1", &[]);
    shop.record("L-1", &[("1", GOOD)]);
    let other = |drawing: &str, rule: &str| {
        let mut job = demo_file("1-rating-screw.toml");
        for (from, to) in [
            ("rev C", drawing),
            (
                "characteristic = \"7\"",
                "characteristic = \"1\"\nlot = \"L-1\"",
            ),
            ("sample = \"1\"", "sample = \"2\""),
            ("rule = \"iso14253-1\"", rule),
        ] {
            assert!(job.contains(from), "{from}");
            job = job.replacen(from, to, 1);
        }
        let file = shop.bench.file("other.toml", &job);
        let recorded = shop.bench.run(&["inspect", &file, "--record"]);
        assert_eq!(recorded.status, 0, "{}", recorded.err);
        let shown = shop.bench.run(&["lot", "L-1", "--json"]).documents();
        let cell = shown.iter().find(|cell| cell["piece"] == "2").unwrap();
        (cell["because"].clone(), shop.lot("L-1"))
    };
    let (because, told) = other("rev D", "rule = \"simple\"");
    assert_eq!(because, "other-rule");
    assert_eq!(
        (&told["verdict"], &told["undecided"]),
        (&"undecided".into(), &1.into()),
        "{told}"
    );
    assert_eq!(told["warnings"][0]["code"], "only-off-plan", "{told}");
    // Beside one that counts it changes nothing.
    shop.record("L-1", &[("2", GOOD)]);
    assert_eq!(shop.lot("L-1")["verdict"], "accept");
    let (because, told) = other("rev C", "rule = \"iso14253-1\"");
    assert!(because.is_null());
    assert_eq!(told["verdict"], "accept");
    assert_eq!(told["warnings"][0]["code"], "off-plan", "{told}");
}

/// A lot keeps the plan that it was begun under, with its number of pieces, whatever plan a file of readings comes with.
#[test]
fn a_lot_is_held_against_its_own_plan() {
    let shop = Shop::new("take = \"fixed\"\nn = 3\nlot_size = 50");
    shop.begin("L-1", &[]);
    let with = |from: &str, to: &str| {
        assert!(shop.plan.contains(from), "{}", shop.plan);
        let plan = shop.plan.replace(from, to);
        let set_up = set_up().replace("L-2026-11", "L-1");
        let readings = file(&[("1", GOOD), ("2", GOOD)], true);
        measure(
            &shop.bench,
            &plan,
            &readings,
            &set_up,
            &["--record", "--json"],
        )
    };
    with("rule = \"iso14253-1\"", "rule = \"simple\"")
        .refused(&["other-plan.differs-at", "plan-part.rule"]);
    with(
        "agreed = \"order TC-3, clause 6\"",
        "agreed = \"by telephone\"",
    )
    .refused(&["other-plan.differs-at", "plan-part.agreed"]);
    with("M10x1.5-6g", "M10x1.5-8g").refused(&["other-plan.differs-at", "plan-part.limits"]);
    with("name = \"pendulum rating screw\"", "name = \"bolt\"")
        .refused(&["other-plan.differs", "plan-part.part"]);
    let fewer = with("n = 3", "n = 2\naccept = 1");
    assert_eq!(fewer.status, 0, "{}", fewer.err);
    assert_says(&fewer.err, "lot-takes.pieces");
    let told = fewer.documents().pop().unwrap();
    assert_eq!(told["lot"]["verdict"], "undecided", "{told}");
    assert_eq!(
        (&told["lot"]["plan"]["n"], &told["lot"]["plan"]["accept"]),
        (&3.into(), &0.into())
    );
    assert_eq!(shop.lot("L-1")["verdict"], "undecided");
}
