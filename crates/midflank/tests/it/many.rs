//! Jobs of many readings: answered without delay, and refused where they are too many.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use crate::bench::{Bench, demo};
use crate::said::assert_says;

/// A tenth of what `benches/readings.py` measures. The bound is wide: what grows with the square takes minutes.
const COUNT: usize = 10_000;
const AT_ONCE: Duration = Duration::from_secs(10);

/// The demo's screw with these readings.
fn screw(bench: &Bench, readings: &str) -> String {
    let text = include_str!("../../../../demo/1-rating-screw.toml");
    let (before, rest) = text.split_once("[[readings.place]]").unwrap();
    let after = rest.find("\n[temperature]").unwrap();
    bench.file(
        "many.toml",
        &format!("{before}{readings}\n{}", &rest[after..]),
    )
}

/// Readings from 8.925 to 8.931; every thousandth is a turn of the thimble off.
fn reading(index: usize) -> String {
    let turn = usize::from(index % 1000 == 999) * 500;
    format!("{:.3}", (8925 + index % 7 + turn) as f64 / 1000.0)
}

#[test]
fn ten_thousand_readings_are_answered_at_once() {
    let bench = Bench::new();
    let listed: Vec<String> = (0..COUNT)
        .map(|index| format!("\"{}\"", reading(index)))
        .collect();
    let listed = listed.join(", ");
    let mut csv = "along,angle,reading\n".to_owned();
    for index in 0..COUNT {
        writeln!(
            csv,
            "section {},{},{}",
            index / 3,
            index % 360,
            reading(index)
        )
        .unwrap();
    }
    bench.write("many.csv", csv);
    for readings in [
        format!("[[readings.place]]\nalong = \"middle\"\nvalues = [{listed}]"),
        format!("[readings]\nvalues = [{listed}]"),
        "[readings]\nfile = \"many.csv\"".to_owned(),
    ] {
        let job = screw(&bench, &readings);
        let begun = Instant::now();
        let result = bench.run(&["inspect", &job, "--json"]).json();
        assert!(
            begun.elapsed() < AT_ONCE,
            "{:?}: {:.60}",
            begun.elapsed(),
            readings
        );
        let all = result["readings"].as_array().unwrap();
        assert_eq!(all.len(), COUNT);
        let flagged: Vec<usize> = (0..COUNT)
            .filter(|index| all[*index]["flags"][0]["kind"] == "thimble-turn")
            .collect();
        assert_eq!(
            flagged,
            (0..COUNT / 1000)
                .map(|n| n * 1000 + 999)
                .collect::<Vec<_>>()
        );
    }
}

/// Walls opposite each other are looked for among all that were read around one section.
#[test]
fn ten_thousand_walls_around_a_tube() {
    let bench = Bench::new();
    let text = demo("inside-diameter");
    let at = text.find("values = ").unwrap();
    let end = at + text[at..].find(']').unwrap();
    let walls: Vec<String> = (0..COUNT)
        .map(|index| format!("\"{:.3}\"", (2050 + index % 40) as f64 / 1000.0))
        .collect();
    let begun = Instant::now();
    let run = bench.inspect(&format!(
        "{}values = [{}{}",
        &text[..at],
        walls.join(", "),
        &text[end..]
    ));
    assert!(begun.elapsed() < AT_ONCE, "{:?}", begun.elapsed());
    assert_eq!(run.json()["readings"].as_array().unwrap().len(), COUNT);
}

#[test]
fn more_than_a_million_readings_are_refused() {
    let bench = Bench::new();
    bench.write("many.csv", "8.928\n".repeat(1_000_001));
    let job = screw(&bench, "[readings]\nfile = \"many.csv\"");
    let run = bench.run(&["inspect", &job]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "jobfile.too-many-readings");
}

#[cfg(unix)]
#[test]
fn a_file_without_end_is_refused() {
    let run = Bench::new().run(&["inspect", "/dev/zero"]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "jobfile.too-large");
}
