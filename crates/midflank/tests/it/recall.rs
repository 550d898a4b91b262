//! Recall: each result moved by its own slope is what the whole calculation gives with the corrected certificate.

use jiff::{SignedDuration, Timestamp};
use metrology::inspection::{self, Job, Part};
use metrology::units::{Entered, Length, LengthUnit};
use serde_json::Value;
use workshop::document::Inspected;
use workshop::record::{self, Words};
use workshop::{Recorder, kept};

use crate::bench::{Bench, demo, open};
use crate::facts::jobs;
use crate::said::assert_says;

/// Numbers that look like chance, the same in every run.
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (self.0 >> 33) % end
    }
}

fn moved(entered: &Entered, by: Length) -> Entered {
    Entered::of(entered.value() + by, entered.unit())
}

/// Jobs of every demo that has one, with equipment of one identity each.
fn models(bench: &Bench) -> Vec<Job> {
    let path = bench.path("data/midflank/ledger.db");
    for job in jobs() {
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let ledger = ledger::Ledger::open_read_only(path).unwrap();
    let entries = ledger.latest(1000).unwrap().into_iter();
    let inspections = entries.filter(|entry| entry.content.kind == "inspection");
    inspections
        .map(|entry| kept::read(kept::JOB, &entry.content.inputs).unwrap())
        .collect()
}

/// A ledger of so many results, the readings and limits of each a little different; half of them over wires.
fn filled(bench: &Bench, count: u64) -> (String, Vec<Job>) {
    let models = models(bench);
    let (wired, others): (Vec<&Job>, Vec<&Job>) =
        models.iter().partition(|job| job.wires.is_some());
    assert!(!wired.is_empty() && !others.is_empty());
    let path = bench.path("filled.db");
    let ledger = open(&path);
    let recorder = Recorder {
        person: "A. Quill".into(),
        station: "bench".into(),
        program: "test",
        tables: "",
    };
    let mut chance = Chance(7);
    let mut recorded = Vec::new();
    let mut drafts = Vec::new();
    for number in 0..count {
        let from = if number % 2 == 0 { &wired } else { &others };
        let mut job = from[chance.below(from.len() as u64) as usize].clone();
        job.standard.id = "std-x".into();
        job.instrument.id = "mic-x".into();
        job.contacts.id = "pair-x".into();
        job.contacts.members = Some(["cone-x".into(), "v-x".into()]);
        if let Some(wires) = &mut job.wires {
            wires.id = "wires-x".into();
        }
        let tenths = |by: u64| Length::from_micrometres(by as i32 - 6);
        let all = tenths(chance.below(13));
        for reading in job
            .readings
            .iter_mut()
            .flat_map(|place| &mut place.readings)
        {
            *reading = moved(reading, all + tenths(5 + chance.below(3)));
        }
        job.part = Part {
            sample: Some(number.to_string()),
            ..job.part
        };
        job.measured_at += SignedDuration::from_hours((chance.below(200 * 24)) as i64);
        job.measured_on = job.measured_at.to_string()[..10].parse().unwrap();
        let Ok(inspection) = inspection::compute(&job) else {
            continue;
        };
        let result = Inspected::of(&job, &inspection);
        let words = Words::of(&result, |message| message.code.to_string());
        drafts.push(record::draft(&job, &result, &words, &recorder).unwrap());
        recorded.push(job);
    }
    ledger.append_all(&drafts, None).unwrap();
    (path.to_str().unwrap().to_owned(), recorded)
}

fn recalled(bench: &Bench, ledger: &str, arguments: &[&str]) -> Vec<Value> {
    let today = jiff::Timestamp::now().to_string()[..10].to_owned();
    let dates = ["--found", &today, "--since", "2020-01-01", "--json"];
    let run = bench.run(&[&["--ledger", ledger, "recall"], arguments, &dates].concat());
    assert_eq!(run.status, 0, "{}", run.err);
    run.documents()
}

#[test]
fn a_thousand_results_are_what_the_whole_calculation_gives() {
    let bench = Bench::new().with_equipment();
    let (ledger, jobs) = filled(&bench, 1060);
    assert!(jobs.len() >= 1000, "{}", jobs.len());
    let error = Length::from_micrometres(4);
    type Correct = fn(&mut Job, Length);
    let cases: [(&str, &str, Correct); 3] = [
        ("--standard", "std-x", |job, by| {
            job.standard.size = moved(&job.standard.size, -by);
        }),
        ("--wires", "wires-x", |job, by| {
            let wires = job.wires.as_mut().unwrap();
            wires.diameter = moved(&wires.diameter, -by);
        }),
        ("--instrument", "mic-x", without),
    ];
    let computed = |job: &Job| inspection::compute(job).unwrap();
    let before: Vec<_> = jobs.iter().map(computed).collect();
    let mut changed = 0;
    for (option, id, correct) in cases {
        let found = recalled(&bench, &ledger, &[option, id, "--error", "4um"]);
        let expected = jobs
            .iter()
            .filter(|job| option != "--wires" || job.wires.is_some());
        assert_eq!(found.len(), expected.count(), "{option}");
        let (mut compared, mut verdicts) = (0, 0);
        let mut last_changed = true;
        for one in &found {
            let sequence: usize = one["id"]
                .as_str()
                .unwrap()
                .split_once('-')
                .unwrap()
                .0
                .parse()
                .unwrap();
            let mut job = jobs[sequence - 1].clone();
            let then = &before[sequence - 1];
            correct(&mut job, error);
            let now = computed(&job);
            let result = Inspected::of(&job, &now);
            let differs = one["before"] != one["after"];
            assert!(last_changed || !differs, "those that change come first");
            last_changed = differs;
            changed += usize::from(differs);
            // Where another place governs now, its size is another.
            if then.governing().place == now.governing().place {
                let corrected = one["corrected"].as_f64().unwrap();
                let unit = LengthUnit::Millimetre;
                assert_eq!(one["unit"].as_str().unwrap().parse(), Ok(result.unit));
                let off = (corrected - result.size.value) * result.unit.tenth_nanometres() as f64
                    / unit.tenth_nanometres() as f64;
                assert!(off.abs() < 1e-5, "{option} {}: {off} mm", one["id"]);
                compared += 1;
            }
            // A warning may withhold what the numbers say; a requirement beside the size may be another.
            if then.withheld.is_none() && now.withheld.is_none() {
                verdicts += usize::from(one["after"] == result.decision.decision.as_str());
            } else {
                verdicts += 1;
            }
        }
        assert!(
            compared * 100 > found.len() * 90,
            "{option}: {compared} of {}",
            found.len()
        );
        assert!(
            verdicts * 1000 >= found.len() * 995,
            "{option}: {verdicts} of {}",
            found.len()
        );
    }
    assert!(changed > 0);
    // What a pair, or one of it, is wrong by, the micrometer shows.
    let of = |option, id| recalled(&bench, &ledger, &[option, id, "--error", "4um"]);
    let by_instrument = of("--instrument", "mic-x");
    assert_eq!(of("--contacts", "pair-x"), by_instrument);
    assert_eq!(of("--member", "v-x"), by_instrument);
}

/// A certificate corrected by what the error was on the day and at the hour of each result.
#[test]
fn a_thousand_results_follow_the_history_of_the_error() {
    let bench = Bench::new().with_equipment();
    let (ledger, jobs) = filled(&bench, 1060);
    let at = |day: &str| format!("{day}T00:00:00Z").parse::<Timestamp>().unwrap();
    let (since, step, found) = (at("2026-01-01"), at("2026-06-15"), at("2026-11-01"));
    let error = 0.004;
    type ErrorAt<'a> = &'a dyn Fn(Timestamp) -> f64;
    let constant: ErrorAt<'_> = &|_| error;
    let stepped: ErrorAt<'_> = &|when| if when < step { 0.0 } else { error };
    let linear: ErrorAt<'_> = &|when| {
        let seconds = |to: Timestamp| to.duration_since(since).as_secs_f64();
        error * (seconds(when) / seconds(found)).clamp(0.0, 1.0)
    };
    let cases: [(&[&str], ErrorAt<'_>); 3] = [
        (&["constant"], constant),
        (&["linear"], linear),
        (&["step", "--step", "2026-06-15"], stepped),
    ];
    for (history, error_at) in cases {
        let first = [
            "--ledger",
            &ledger,
            "recall",
            "--standard",
            "std-x",
            "--error",
            "4um",
            "--since",
            "2026-01-01",
            "--found",
            "2026-11-01",
            "--json",
            "--history",
        ];
        let run = bench.run(&[&first[..], history].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        let listed = run.documents();
        assert!(listed.len() > 900, "{}", listed.len());
        let mut compared = 0;
        for one in &listed {
            let (sequence, _) = one["id"].as_str().unwrap().split_once('-').unwrap();
            let then = &jobs[sequence.parse::<usize>().unwrap() - 1];
            let mut job = then.clone();
            let by = error_at(job.measured_at);
            let whole = Length::nearest_mm(by).unwrap();
            job.standard.size = moved(&job.standard.size, -whole);
            let (before, after) = (
                inspection::compute(then).unwrap(),
                inspection::compute(&job).unwrap(),
            );
            if before.governing().place != after.governing().place {
                continue;
            }
            let result = Inspected::of(&job, &after);
            let off = one["corrected"].as_f64().unwrap() - result.size.value;
            let off = off * result.unit.tenth_nanometres() as f64 / 1e7;
            assert!(off.abs() < 1e-5, "{history:?} {}: {off} mm", one["id"]);
            compared += 1;
        }
        assert!(
            compared * 100 > listed.len() * 90,
            "{history:?}: {compared}"
        );
    }
}

/// Every reading of the part without an error of the micrometer.
fn without(job: &mut Job, by: Length) {
    for reading in job
        .readings
        .iter_mut()
        .flat_map(|place| &mut place.readings)
    {
        *reading = moved(reading, -by);
    }
}

fn one_result(bench: &Bench) -> f64 {
    let job = bench.demo("1-rating-screw.toml", &[]);
    let run = bench.run(&["inspect", job.to_str().unwrap(), "--record", "--again"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let listed = bench.run(&[
        "recall",
        "--instrument",
        "mic-04",
        "--error",
        "1um",
        "--found",
        "2026-04-01",
        "--since",
        "2026-01-01",
        "--json",
    ]);
    listed.documents()[0]["size"].as_f64().unwrap()
}

#[test]
fn the_error_follows_its_history() {
    let bench = Bench::new();
    let size = one_result(&bench);
    let moved_by = |more: &[&str]| {
        let first = [
            "recall",
            "--instrument",
            "mic-04",
            "--error=-10um",
            "--found",
            "2026-03-19",
            "--since",
            "2026-02-27",
            "--json",
        ];
        let run = bench.run(&[&first, more].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        let found = run.documents();
        assert_eq!(found.len(), 1);
        (found[0]["corrected"].as_f64().unwrap() - size) * 1000.0
    };
    let near =
        |found: f64, right: f64| assert!((found - right).abs() < 0.01, "{found}, not {right}");
    near(moved_by(&[]), 10.0);
    near(moved_by(&["--history", "constant"]), 10.0);
    near(
        moved_by(&["--history", "step", "--step", "2026-03-09"]),
        10.0,
    );
    near(
        moved_by(&["--history", "step", "--step", "2026-03-10"]),
        0.0,
    );
    // Measured at 09:40 on 9 March, 10.4 of 20 days after.
    near(
        moved_by(&["--history", "linear"]),
        10.0 * (10.0 + (9.0 + 40.0 / 60.0) / 24.0) / 20.0,
    );
}

/// A result belongs to the day that the clock showed where it was measured, whatever the zone of the computer that recalls.
#[test]
fn the_day_of_a_result_is_that_of_its_own_clock() {
    let bench = Bench::new();
    let measured = [(
        "measured_at = 2026-03-09T09:40:00Z",
        "measured_at = 2026-03-09T23:30:00-14:00",
    )];
    let job = bench.demo("1-rating-screw.toml", &measured);
    let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let count = |since: &str, found: &str, more: &[&str]| {
        let recall = ["recall", "--standard", "rod-10", "--error", "60um"];
        let days = ["--since", since, "--found", found, "--json"];
        let run = bench.run(&[&recall, &days[..], more].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        run.documents()
    };
    let on_the_day = count("2026-03-09", "2026-03-09", &[]);
    assert_eq!(on_the_day[0]["measured_on"], "2026-03-09");
    assert_eq!(on_the_day[0]["after"], "undecided");
    assert_eq!(count("2026-03-10", "2026-03-12", &[]).len(), 0);
    assert_eq!(count("2026-03-01", "2026-03-08", &[]).len(), 0);
    let step = |on| {
        let history = ["--history", "step", "--step", on];
        count("2026-03-01", "2026-03-12", &history)[0]["error"].clone()
    };
    assert_eq!(step("2026-03-10"), 0.0);
    assert_eq!(step("2026-03-09"), 0.06);
}

#[test]
fn amended_results_and_other_days_are_left_out() {
    let bench = Bench::new();
    one_result(&bench);
    let found = |since: &str, found: &str| {
        let run = bench.run(&[
            "recall",
            "--instrument",
            "mic-04",
            "--error",
            "1um",
            "--found",
            found,
            "--since",
            since,
            "--json",
        ]);
        assert_eq!(run.status, 0, "{}", run.err);
        run.documents().len()
    };
    assert_eq!(found("2026-03-09", "2026-03-09"), 1);
    assert_eq!(found("2026-03-10", "2026-03-12"), 0);
    assert_eq!(found("2026-03-01", "2026-03-08"), 0);
    let run = bench.run(&[
        "ledger",
        "amend",
        "1",
        "--reason",
        "wrong part",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(found("2026-03-09", "2026-03-09"), 0);
}

#[test]
fn a_person_reads_a_table() {
    let bench = Bench::new();
    one_result(&bench);
    let run = bench.run(&[
        "recall",
        "--instrument",
        "mic-04",
        "--error",
        "200um",
        "--found",
        "2026-04-01",
        "--since",
        "2026-01-01",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.out, "recall.between.one");
    assert!(run.out.contains(" -> "), "{}", run.out);
}

#[test]
fn what_cannot_be_recalled_is_told() {
    let bench = Bench::new().with_equipment();
    one_result(&bench);
    let run = |more: &[&str]| bench.run(&[&["recall", "--error", "1um"], more].concat());
    let found = ["--found", "2026-04-01"];
    run(&[&found[..], &["--instrument", "mic-05"]].concat()).refused(&["recall.never-used"]);
    run(&[
        &found[..],
        &["--instrument", "mic-04", "--since", "2026-05-01"],
    ]
    .concat())
    .refused(&["recall.since-after-found"]);
    let step = [
        "--instrument",
        "mic-04",
        "--since",
        "2026-01-01",
        "--history",
        "step",
    ];
    run(&[&found[..], &step].concat()).refused(&["recall.step-missing"]);
    run(&[&found[..], &step, &["--step", "2026-04-02"]].concat()).refused(&["recall.step-outside"]);
    run(&[&found[..], &step, &["--step", "2025-12-31"]].concat()).refused(&["recall.step-outside"]);
    run(&[
        &found[..],
        &["--instrument", "mic-04", "--step", "2026-03-01"],
    ]
    .concat())
    .refused(&["recall.step-not-asked"]);
    run(&[
        &found[..],
        &["--contacts", "vc-60-3", "--history", "linear"],
    ]
    .concat())
    .refused(&["recall.no-check"]);
    assert_eq!(run(&found).status, 2);
    assert_eq!(
        run(&[&found[..], &["--instrument", "a", "--standard", "b"]].concat()).status,
        2
    );
    let bare = bench.run(&[
        "recall",
        "--error",
        "1",
        "--found",
        "2026-04-01",
        "--instrument",
        "mic-04",
    ]);
    assert_eq!(bare.status, 2);
}

/// Near a limit what is known beside the budget withholds the verdict, as the whole calculation does.
#[test]
fn what_is_known_beside_the_budget_counts_near_a_limit() {
    let bench = Bench::new().with_equipment();
    let mut job = demo("by-identity");
    for (from, to) in [
        ("2026-04-14T09:50:00Z", "2026-06-10T08:00:00Z"),
        (
            "\"11.987\", \"11.990\", \"11.988\", \"11.989\", \"11.990\", \"11.988\"",
            "\"11.993\", \"11.996\", \"11.994\", \"11.995\", \"11.996\", \"11.994\"",
        ),
    ] {
        assert!(job.contains(from), "{job}");
        job = job.replacen(from, to, 1);
    }
    let recorded = bench.run(&[
        "inspect",
        &bench.file("job.toml", &job),
        "--record",
        "--json",
    ]);
    assert_eq!(recorded.documents()[0]["decision"]["decision"], "accept");
    // The same by the size that the standard was found to have: nothing of the size alone would withhold it.
    let found = job.replacen(
        "id = \"block-10\"\n",
        "id = \"block-10x\"\nform = \"plain\"\nsize = \"10.00293\"\nexpanded_uncertainty = \"0.12um\"\ncoverage_factor = 2\n",
        1,
    );
    let whole = bench.inspect(&found).json()["decision"].clone();
    assert_eq!(whole["decision"], "undecided", "{whole}");
    let recall = ["recall", "--standard", "block-10", "--error", "-3um"];
    let days = ["--found", "2026-06-20", "--since", "2026-06-05", "--json"];
    let recalled = bench.run(&[&recall[..], &days].concat()).documents();
    assert_eq!(
        (&recalled[0]["before"], &recalled[0]["after"]),
        (&"accept".into(), &"undecided".into()),
        "{recalled:?}"
    );
}
