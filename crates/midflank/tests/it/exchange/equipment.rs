//! Lists of equipment from tables: what is understood, what is kept, and what is refused.

use crate::bench::{Bench, Run, changed};
use crate::said::assert_says;

/// New pieces of four kinds with decimal commas, as a spreadsheet saves them.
const COMMAS: &str = "\
\u{feff}Equipment of the workshop;;;;;;;;;;;;
kind;id;unit;range;maximum_permissible_error;contacts.kind;members;form;size;expanded_uncertainty;coverage_factor;certificate;due
instrument;mic-21;mm;0 to 25;0,003;;;;;;;K-3001;2028-09-30
contacts;fl-9;mm;;;flat;F-31 + F-32;;;;;;

standard;disc-15;mm;;;;;plain;15,0004;0,8um;2;K-3002;2028-11-15
standard;shut;mm;;;;;closed;;;;;
";

/// Reads a list, with more arguments.
fn read(bench: &Bench, file: &str, more: &[&str]) -> Run {
    bench.run(&[&["equipment", "read", file], more].concat())
}

const KEEP: [&str; 3] = ["--record", "--person", "A. Quill"];

fn entries(bench: &Bench) -> usize {
    let listed = bench.run(&["ledger", "list", "--json"]);
    listed.out.lines().count()
}

fn changes(run: &Run) -> Vec<String> {
    let all = run.documents().into_iter();
    all.map(|one| one["change"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn a_list_is_shown_then_kept_once() {
    let bench = Bench::new();
    let file = bench.file("list.csv", COMMAS);
    let shown = read(&bench, &file, &[]);
    assert_eq!(shown.status, 0, "{}", shown.err);
    assert_says(&shown.out, "sheet.understood-csv");
    assert_says(&shown.out, "sheet.with-comma-list");
    assert_says(&shown.out, "equipment-list.not-kept");
    assert_eq!(bench.run(&["equipment", "list", "--json"]).out, "");

    let kept = read(&bench, &file, &KEEP);
    assert_eq!(kept.status, 0, "{}", kept.err);
    assert_says(&kept.out, "equipment-list.kept");
    assert_eq!(entries(&bench), 4);
    let disc = bench
        .run(&["equipment", "show", "disc-15", "--json"])
        .json();
    assert_eq!(disc["item"]["size"], "15,0004mm", "as it was typed");
    assert_eq!(disc["item"]["expanded_uncertainty"], "0,8um");
    assert_eq!(disc["person"], "A. Quill");
    let pair = bench.run(&["equipment", "show", "fl-9", "--json"]).json();
    assert_eq!(pair["item"]["kind"], "flat");
    assert_eq!(pair["item"]["members"][1], "F-32");

    let again = read(&bench, &file, &KEEP);
    assert_eq!(again.status, 0, "{}", again.err);
    assert_says(&again.out, "equipment-list.all-there");
    assert_eq!(entries(&bench), 4);
    let told = read(&bench, &file, &["--json"]);
    assert_eq!(changes(&told), ["unchanged"; 4]);
    // The same list with points and commas between the fields says the same.
    let points = COMMAS.replace(',', ".").replace(';', ",");
    let told = read(&bench, &bench.file("points.csv", &points), &["--json"]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert_eq!(changes(&told), ["unchanged"; 4]);
}

#[test]
fn a_change_is_told_key_by_key_and_keeps_what_has_no_column() {
    let bench = Bench::new().with_equipment();
    let before = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    let file = bench.file(
        "due.csv",
        "kind,id,certificate,certificate_date,due\n\
         instrument,mic-04,K-2999,2026-09-01,2028-09-30\n\
         standard,rod-10,K-2187,,2027-11-15\n",
    );
    let told = read(&bench, &file, &["--json"]).documents();
    assert_eq!(told[0]["change"], "changed");
    let differences = told[0]["differences"].as_array().unwrap();
    let keys: Vec<&str> = differences
        .iter()
        .map(|one| one["key"].as_str().unwrap())
        .collect();
    assert_eq!(keys, ["certificate", "certificate_date", "due"]);
    assert_eq!(differences[0]["before"], "K-2231");
    assert_eq!(differences[0]["now"], "K-2999");
    assert!(differences[1]["before"].is_null());
    assert_eq!(told[1]["change"], "unchanged");

    let n = entries(&bench);
    read(&bench, &file, &KEEP).refused(&["mic-04", "register.other-values"]);
    assert_eq!(entries(&bench), n);
    let kept = read(
        &bench,
        &file,
        &[&KEEP[..], &["--reason", "calibrated"]].concat(),
    );
    assert_eq!(kept.status, 0, "{}", kept.err);
    assert_eq!(entries(&bench), n + 1);
    let now = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(now["certificate"], "K-2999");
    for key in ["errors", "range", "resolution", "force", "spindle_turns"] {
        assert_eq!(now["item"][key], before["item"][key], "{key}");
    }
    assert_eq!(now["history"][1]["reason"], "calibrated");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn a_column_takes_the_place_of_the_one_that_may_not_stand_beside_it() {
    let bench = Bench::new().with_equipment();
    let file = bench.file(
        "limit.csv",
        "kind,id,maximum_permissible_error\ninstrument,mic-04,0.004mm\n",
    );
    let told = read(&bench, &file, &["--json"]).documents();
    let keys: Vec<&str> = told[0]["differences"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["key"].as_str().unwrap())
        .collect();
    assert!(keys.contains(&"maximum_permissible_error"), "{keys:?}");
    assert!(keys.contains(&"error_curve.points"), "{keys:?}");
}

#[test]
fn no_list_changes_a_state() {
    let bench = Bench::new().with_equipment();
    let n = entries(&bench);
    let file = bench.file(
        "states.csv",
        "kind,id,state,material\n\
         contacts,bl-040,active,steel\n\
         contacts,bl-075,retired,steel\n",
    );
    let shown = read(
        &bench,
        &file,
        &[&KEEP[..], &["--reason", "a list"]].concat(),
    );
    assert_eq!(shown.status, 0, "{}", shown.err);
    assert_says(&shown.out, "equipment-list-note.other-state");
    assert_says(&shown.out, "equipment-list.all-there");
    assert_eq!(entries(&bench), n);

    // Set apart by the gauge room, and described anew: it stays set apart.
    let parted = bench.run(&[
        "equipment",
        "state",
        "bl-075",
        "retired",
        "--reason",
        "worn",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(parted.status, 0, "{}", parted.err);
    let file = bench.file(
        "material.csv",
        "kind,id,material\ncontacts,bl-075,carbide\n",
    );
    let kept = read(
        &bench,
        &file,
        &[&KEEP[..], &["--reason", "put right"]].concat(),
    );
    assert_says(&kept.out, "equipment-list-note.stays-so");
    assert_says(&kept.out, "equipment-list.kept");
    let now = bench.run(&["equipment", "show", "bl-075", "--json"]).json();
    assert_eq!(now["state"], "retired");
    assert_eq!(now["item"]["material"], "carbide");
}

#[test]
fn every_mistake_is_told_at_its_row_and_column_and_nothing_is_kept() {
    let bench = Bench::new();
    let file = bench.file(
        "wrong.csv",
        "kind;id;range;maximum_permissible_error;size;form;expanded_uncertainty;coverage_factor;due\n\
         instrument;mic-21;0mm to 25mm;0,003mm;;;;;2028-09-30\n\
         instrument;mic-22;25mm;0,003mm;;;;;2028-09-30\n\
         instrument;mic-21;0mm to 25mm;0,003mm;;;;;\n\
         lathe;x-1;;;;;;;\n\
         standard;rod-1;;;10,0004mm;cube;0,8um;2;\n\
         standard;rod-2;;;10.0004mm;plain;0,8um;2;\n\
         standard;rod-3;0mm to 25mm;;10,0004mm;plain;0,8um;2;\n\
         standard;rod-4;;;10,0004mm;plain;;2;\n\
         standard;rod-5;;;10,0004mm;plain;0,8um;2;30.9.2028\n\
         standard;;;;10,0004mm;plain;0,8um;2;\n\
         standard;rod-6;;;10,0004;plain;0,8um;2;\n\
         standard;rod-7;;;10,0004mm;plain;0,8um;two;\n",
    );
    let refused = read(&bench, &file, &KEEP);
    let place = |line: usize, column: usize| format!("wrong.csv:{line}:{column}");
    refused.refused(&[
        "equipment-list.not-two",
        "equipment-list.twice",
        "register.no-kind",
        "equipment-list.mixed",
        "equipment-list.not-of-kind",
        "equipment-list.lacks",
        "jobfile.no-identity",
        "equipment-list.no-number",
        &place(3, 19),
        &place(4, 12),
        &place(5, 1),
        &place(7, 18),
    ]);
    for line in 3..=13 {
        let of_line = format!("wrong.csv:{line}:");
        assert_eq!(refused.err.matches(&of_line).count(), 1, "{}", refused.err);
    }
    assert!(!refused.err.contains("wrong.csv:2:"), "{}", refused.err);
    assert_eq!(bench.run(&["equipment", "list", "--json"]).out, "");
}

#[test]
fn what_may_mean_two_things_is_refused() {
    let bench = Bench::new().with_equipment();
    let n = entries(&bench);
    let all = "kind,id,diameter,expanded_uncertainty,coverage_factor\n";
    for (text, expected) in [
        ("kind,name\nwires,w-1\n", "equipment-list.no-header"),
        ("kind,id\nkind;id\n", "equipment-list.separators"),
        (
            "kind,id,colour\nwires,w-1,red\n",
            "equipment-list.unknown-column",
        ),
        ("kind,id,id\nwires,w-1,w-1\n", "equipment-list.column-twice"),
        ("kind,id\n", "equipment-list.empty"),
        ("kind,id,due\nwires,\"w-1,\n", "equipment-list.open-quote"),
        (
            &format!("{all}wires,w-1,0,866mm,0,3um,2\n"),
            "equipment-list.fields",
        ),
        (
            &format!("{all}wires,w-1,\"0,866mm\",0.3um,2\n"),
            "equipment-list.decimal-comma",
        ),
        (
            &format!("{all}wires,W-0866,0.866mm,0.3um,2\n"),
            "register.alike",
        ),
        (
            "kind,id,members\ncontacts,fl-6,F-21 + F-99\n",
            "register.other-pair",
        ),
    ] {
        let file = bench.file("wrong.csv", text);
        read(
            &bench,
            &file,
            &[&KEEP[..], &["--reason", "a list"]].concat(),
        )
        .refused(&[expected]);
    }
    assert_eq!(entries(&bench), n);
    // Without anyone who records it nothing is recorded.
    let file = bench.file("list.csv", COMMAS);
    assert_eq!(read(&bench, &file, &["--record"]).status, 2);
    assert_eq!(entries(&bench), n);
}

#[cfg(feature = "sheets")]
mod from_workbooks {
    use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};

    use super::*;
    use crate::said::assert_silent;

    #[test]
    fn the_register_that_goes_out_comes_back_unchanged_and_fills_another() {
        let bench = Bench::new().with_equipment();
        // A due date of the gauge room and a state stand in it, and change nothing.
        let parted = bench.run(&[
            "equipment",
            "state",
            "rod-10",
            "quarantined",
            "--reason",
            "dropped",
            "--person",
            "A. Quill",
        ]);
        assert_eq!(parted.status, 0, "{}", parted.err);
        let written = bench.run(&["equipment", "list", "--xlsx", "register.xlsx"]);
        assert_eq!(written.status, 0, "{}", written.err);
        let n = entries(&bench);
        let book = bench.path("register.xlsx");
        let book = book.to_str().unwrap();
        let back = read(&bench, book, &KEEP);
        assert_eq!(back.status, 0, "{}", back.err);
        assert_says(&back.out, "equipment-list.all-there");
        assert_silent(&back.out, "equipment-list-note.other-state");
        assert_eq!(entries(&bench), n);
        let told = read(&bench, book, &["--json"]);
        let listed = bench.run(&["equipment", "list", "--json"]);
        assert_eq!(
            changes(&told),
            vec!["unchanged"; listed.out.lines().count()]
        );

        let other = Bench::new();
        let kept = read(&other, book, &KEEP);
        assert_eq!(kept.status, 0, "{}", kept.err);
        let values = |bench: &Bench| {
            let all = bench.run(&["equipment", "list", "--json"]).documents();
            let all = all.into_iter();
            all.map(|one| (one["id"].clone(), one["item"].clone()))
                .collect::<Vec<_>>()
        };
        assert_eq!(values(&other), values(&bench));
        let rod = other.run(&["equipment", "show", "rod-10", "--json"]).json();
        assert_eq!(rod["state"], "quarantined");
    }

    #[test]
    fn numbers_days_and_flags_are_taken_as_a_spreadsheet_has_them() {
        let bench = Bench::new();
        let path = bench.path("list.xlsx");
        let mut book = Workbook::new();
        book.add_worksheet().set_name("Notes").unwrap();
        let sheet = book.add_worksheet().set_name("Wires").unwrap();
        let names = [
            "Kind",
            "ID",
            "unit",
            "diameter",
            "expanded_uncertainty",
            "coverage_factor",
            "calibrated_under_force",
            "certificate",
            "due",
        ];
        for (column, name) in (0..).zip(names) {
            sheet.write_string(0, column, name).unwrap();
        }
        for (column, text) in [(0, "wires"), (1, "w-1"), (2, "mm"), (4, "0.3um")] {
            sheet.write_string(2, column, text).unwrap();
        }
        sheet.write_number(2, 3, 0.866).unwrap();
        sheet.write_number(2, 5, 2.0).unwrap();
        sheet.write_boolean(2, 6, true).unwrap();
        sheet.write_number(2, 7, 4711.0).unwrap();
        let day = ExcelDateTime::from_ymd(2028, 3, 31).unwrap();
        let format = Format::new().set_num_format("yyyy-mm-dd");
        sheet
            .write_datetime_with_format(2, 8, &day, &format)
            .unwrap();
        book.save(&path).unwrap();
        let file = path.to_str().unwrap();
        let kept = read(&bench, file, &KEEP);
        assert_eq!(kept.status, 0, "{}", kept.err);
        assert_says(&kept.out, "sheet.understood-list");
        let wires = bench.run(&["equipment", "show", "w-1", "--json"]).json();
        assert_eq!(wires["item"]["diameter"], "0.866mm");
        assert_eq!(wires["item"]["calibrated_under_force"], true);
        assert_eq!(wires["certificate"], "4711");
        assert_eq!(wires["due"], "2028-03-31");
        assert_says(&read(&bench, file, &KEEP).out, "equipment-list.all-there");

        // Typed with commas beside those, they go out in one way.
        let commas = bench.file("list.csv", COMMAS);
        assert_eq!(read(&bench, &commas, &KEEP).status, 0);
        bench.run(&["equipment", "list", "--xlsx", "out.xlsx"]);
        let out = bench.path("out.xlsx");
        let back = read(&bench, out.to_str().unwrap(), &KEEP);
        assert_eq!(back.status, 0, "{}", back.err);
        assert_says(&back.out, "equipment-list.all-there");
    }

    #[test]
    fn a_workbook_that_may_mean_two_things_is_refused() {
        let bench = Bench::new();
        let path = bench.path("list.xlsx");
        let file = path.to_str().unwrap().to_owned();
        let write = |sheets: &[&[[&str; 4]]]| {
            let mut book = Workbook::new();
            for rows in sheets {
                let sheet = book.add_worksheet();
                for (row, texts) in (0..).zip(*rows) {
                    for (column, text) in (0..).zip(texts) {
                        sheet.write_string(row, column, *text).unwrap();
                    }
                }
            }
            book.save(&path).unwrap();
        };
        let names = ["kind", "id", "range", "maximum_permissible_error"];
        let one = ["instrument", "mic-1", "0mm to 25mm", "0.003mm"];
        let other = ["instrument", "mic-2", "0mm to 25mm", "0,003mm"];
        write(&[&[names, one], &[names, other]]);
        read(&bench, &file, &KEEP).refused(&["sheet.several-lists"]);
        write(&[&[one, other]]);
        read(&bench, &file, &KEEP).refused(&["sheet.no-list"]);
        write(&[&[names, one, other]]);
        read(&bench, &file, &KEEP).refused(&["equipment-list.mixed", "list.xlsx:3:4"]);
        assert_eq!(bench.run(&["equipment", "list", "--json"]).out, "");
    }
}

#[test]
fn the_demo_equipment_as_a_file_and_as_a_list_are_the_same_pieces() {
    let bench = Bench::new().with_equipment();
    let file = bench.file(
        "e.toml",
        &changed("equipment", "due = 2028-03-31", "due = 2028-04-30"),
    );
    let added = bench.run(&["equipment", "add", &file, "--reason", "put right"]);
    assert_eq!(added.status, 0, "{}", added.err);
    let list = bench.file("due.csv", "kind,id,due\nwires,w-0866,2028-04-30\n");
    assert_eq!(changes(&read(&bench, &list, &["--json"])), ["unchanged"]);
}
