//! The archive: which files there are, that both forms have the columns of the published schema, and that nothing is half-written.
//! `scripts/exchange.sh` checks every line against the schema.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::bench::{Bench, root};
use crate::said::assert_says;

/// A bench with a job recorded in a part with an unusual name.
fn recorded(part: &str) -> Bench {
    let bench = Bench::new();
    let job = bench.demo(
        "1-rating-screw.toml",
        &[("name = \"", &format!("name = \"{part} "))],
    );
    let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    bench
}

/// The one file in a folder, and its name.
fn file(bench: &Bench, folder: &str) -> (String, String) {
    let files: Vec<_> = fs::read_dir(bench.path(folder)).unwrap().collect();
    assert_eq!(files.len(), 1, "{files:?}");
    let path = files[0].as_ref().unwrap().path();
    let text = zstd::decode_all(fs::File::open(&path).unwrap()).unwrap();
    let name = path.file_name().unwrap().to_str().unwrap().to_owned();
    (name, String::from_utf8(text).unwrap())
}

fn schema() -> Value {
    let text = fs::read_to_string(root().join("docs/archive.schema.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// The columns that the schema asks for.
fn required() -> Vec<String> {
    serde_json::from_value(schema()["required"].clone()).unwrap()
}

#[test]
fn a_month_is_a_file_whose_lines_have_the_columns_of_the_schema() {
    let part = "Schraube, größe 3 螺丝";
    let bench = recorded(part);
    let run = bench.run(&["export", "archive", "--documents"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let (name, text) = file(&bench, "archive");
    let line: Value = serde_json::from_str(text.trim_end()).unwrap();
    assert_eq!(name[..7], line["recorded_at"].as_str().unwrap()[..7]);
    assert!(name.ends_with(".ndjson.zst"), "{name}");
    for column in required() {
        assert!(line.get(&column).is_some(), "{column}");
    }
    let schema = schema();
    for column in line.as_object().unwrap().keys() {
        assert!(schema["properties"].get(column).is_some(), "{column}");
    }
    assert!(line["part"].as_str().unwrap().starts_with(part));

    // The recorded documents are there to the byte, and the numbers are those of the record.
    let shown = bench.run(&["ledger", "show", "1", "--json"]).json();
    for document in ["inputs", "results", "editions", "words"] {
        let kept: Value = serde_json::from_str(line[document].as_str().unwrap()).unwrap();
        assert_eq!(kept, shown[document], "{document}");
    }
    assert_eq!(line["hash"], shown["hash"]);
    assert_eq!(line["size"], shown["results"]["content"]["size"]["value"]);

    let run = bench.run(&["export", "table", "--csv"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let (name, text) = file(&bench, "table");
    assert!(name.ends_with(".csv.zst"), "{name}");
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let columns: Vec<String> = table.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(columns, required()[..required().len() - 1]);
    let row = table.records().next().unwrap().unwrap();
    for (column, field) in columns.iter().zip(&row) {
        let said = match &line[column] {
            Value::Null => String::new(),
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        assert_eq!(field, said, "{column}");
    }
}

#[test]
fn what_is_there_is_kept_and_nothing_is_half_written() {
    let bench = recorded("");
    assert_eq!(bench.run(&["export", "archive"]).status, 0);
    let before = file(&bench, "archive");
    let again = bench.run(&["export", "archive"]);
    assert_eq!(again.status, 2);
    assert_says(&again.err, "command.file-exists");
    assert_eq!(file(&bench, "archive"), before);
    let again = bench.run(&["export", "archive", "--replace"]);
    assert_eq!(again.status, 0, "{}", again.err);
    assert_eq!(file(&bench, "archive"), before);

    let none = bench.run(&["export", "none", "--month", "1999-12"]);
    assert_eq!(none.status, 0);
    assert_says(&none.out, "export.none");
    assert!(!Path::new(&bench.path("none")).exists());
    for month in ["1999", "1999-13", "2026-03-01", "march", "-9999-1"] {
        let month = format!("--month={month}");
        assert_eq!(bench.run(&["export", "none", &month]).status, 2, "{month}");
    }
    let latest = bench.run(&["export", "none", "--month=9999-12"]);
    assert!([0, 2].contains(&latest.status), "{}", latest.err);
}

#[test]
fn a_changed_document_is_not_exported() {
    let bench = recorded("");
    let ledger = bench.path("data/midflank/ledger.db");
    let forged = rusqlite::Connection::open(&ledger).unwrap();
    let tables: Vec<String> = forged
        .prepare("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    for trigger in tables {
        forged
            .execute(&format!("DROP TRIGGER \"{trigger}\""), [])
            .unwrap();
    }
    forged
        .execute(
            "UPDATE entry SET results = replace(results, 'accept', 'reject')",
            [],
        )
        .unwrap();
    drop(forged);
    let run = bench.run(&["export", "archive", "--documents"]);
    assert_ne!(run.status, 0);
    let left = fs::read_dir(bench.path("archive")).map_or(0, Iterator::count);
    assert_eq!(left, 0, "{}", run.err);
}

#[test]
fn each_month_of_recording_has_its_file_also_where_a_clock_was_set_back() {
    let bench = recorded("");
    let path = bench.path("data/midflank/ledger.db");
    let books = ::ledger::Ledger::open_existing(&path).unwrap();
    let draft = books.get(&1.into()).unwrap().content;
    for at in [
        "2031-01-31T23:59:59.999Z",
        "2031-02-01T00:00:00Z",
        "2019-12-31T23:59:59Z",
        "2031-02-28T12:00:00Z",
    ] {
        let recorded_at = at.parse().unwrap();
        let again = ::ledger::Draft {
            recorded_at,
            ..draft.clone()
        };
        books.append(&again).unwrap();
    }
    drop(books);
    let run = bench.run(&["export", "archive"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let mut lines = Vec::new();
    for file in fs::read_dir(bench.path("archive")).unwrap() {
        let path = file.unwrap().path();
        let text = zstd::decode_all(fs::File::open(&path).unwrap()).unwrap();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        for line in String::from_utf8(text).unwrap().lines() {
            let line: Value = serde_json::from_str(line).unwrap();
            assert_eq!(name[..7], line["recorded_at"].as_str().unwrap()[..7]);
            lines.push(line["sequence"].as_u64().unwrap());
        }
    }
    lines.sort_unstable();
    assert_eq!(lines, [1, 2, 3, 4, 5]);
    let run = bench.run(&["export", "one", "--month", "2031-02"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let (name, text) = file(&bench, "one");
    assert_eq!(name, "2031-02.ndjson.zst");
    assert_eq!(text.lines().count(), 2);
}
