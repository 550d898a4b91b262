//! Tests of what was found without measuring and went on the record before it was looked at as it is now: the entries stay as they
//! are, and count for nothing in their lot.

use std::path::Path;

use ledger::{Draft, Ledger};
use metrology::inspection::Gauge;
use metrology::lot::Standing;

use super::{Begin, begin, find, keep_plan, matrix};
use crate::inspection_plan::Way;
use crate::kept;
use crate::lot_entry::Found;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

const PLAN: &str = r#"
unit = "mm"
[part]
name = "screw"
drawing = "D-1"
plan = "P-1"
[pieces]
take = "all"
lot_size = 1
[[characteristic]]
number = "1"
way = "gauge"
[characteristic.measure]
designation = "M10x1.5-6g"
[[characteristic]]
number = "2"
way = "document"
[characteristic.measure]
name = "length"
lower = "9.90"
upper = "10.00"
"#;

const GAUGE: &str = r#"{"id":"g-1","member":"not-go-ring","designation":"M10x1.5-6g","size":"8.500mm",
    "expanded_uncertainty":"0.0015mm","coverage_factor":2}"#;

#[test]
fn what_counted_before_is_held_against_gauge_and_limits() {
    let name = format!("midflank-found-before-{}.db", std::process::id());
    let path = std::env::temp_dir().join(name);
    let ledger = Ledger::open(&path).unwrap();
    let recorder = Recorder {
        person: "A. Quill".to_owned(),
        station: "bench".to_owned(),
        program: "test",
        tables: "",
    };
    let plan = crate::plan::parse(Path::new("plan.toml"), PLAN).unwrap();
    keep_plan(&ledger, &plan, &recorder).unwrap();
    let asked = Begin {
        number: "L-1".to_owned(),
        plan: "P-1".to_owned(),
        ..Begin::default()
    };
    let lot = begin(&ledger, &asked, &recorder).unwrap();
    let gauge: Gauge = serde_json::from_str(GAUGE).unwrap();
    let found = |number: &str, way: Way, note: Option<&str>| {
        let found = Found {
            lot: "L-1".to_owned(),
            plan_entry: lot.begun.plan_entry.clone(),
            part: "screw".to_owned(),
            drawing: "D-1".to_owned(),
            piece: "1".to_owned(),
            number: number.to_owned(),
            says: String::new(),
            way,
            conforms: true,
            with: Some("g-1".to_owned()),
            gauge: (way == Way::Gauge).then(|| Box::new(gauge.clone())),
            notes: Vec::new(),
            turns: None,
            note: note.map(str::to_owned),
            at: jiff::Timestamp::UNIX_EPOCH,
            earlier: Vec::new(),
        };
        let draft = Draft {
            inputs: kept::write(kept::FOUND, &found).unwrap(),
            subjects: found.subjects(),
            ..recorder.blank(RecordKind::Found).unwrap()
        };
        ledger.append(&draft).unwrap();
        let lot = find(&ledger, "L-1").unwrap().unwrap();
        let matrix = matrix(&ledger, &lot, &[]).unwrap();
        let index = usize::from(number == "2");
        let cell = matrix.rows[0].cells[index].clone().unwrap();
        let told = matrix.remarks().len();
        (cell.standing, cell.because, told)
    };
    let undecided = |why: &str, told: usize| (Standing::Undecided, Some(why.to_owned()), told);
    let of_gauge = found("1", Way::Gauge, None);
    assert_eq!(of_gauge, undecided("gauge-past-limit", 1));
    let stated = found("2", Way::Document, Some("12.5"));
    assert_eq!(stated, undecided("stated-past-limit", 2));
    let stated = found("2", Way::Document, Some("9.95"));
    assert_eq!(stated.0, Standing::Accept);
    drop(ledger);
    std::fs::remove_file(path).unwrap();
}
