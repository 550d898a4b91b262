//! Spreadsheets: what is written reads back, and readings are taken from a workbook only where they mean one thing.

use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::Stdio;

use calamine::{Data, Reader as _, Xlsx};
use rust_xlsxwriter::{Workbook, Worksheet};

use crate::bench::{Bench, Run, demo_file};
use crate::lot::{LOT, with_lot};
use crate::said::assert_says;

fn opened(path: PathBuf) -> Xlsx<std::io::BufReader<fs::File>> {
    calamine::open_workbook(path).unwrap()
}

fn rows(path: PathBuf, sheet: &str) -> Vec<Vec<Data>> {
    let range = opened(path).worksheet_range(sheet).unwrap();
    range.rows().map(<[Data]>::to_vec).collect()
}

/// Evaluates readings by the plan and set-up of the demo lot.
fn measured(bench: &Bench, readings: &str) -> Run {
    let plan = bench.file("plan.toml", &demo_file("lot/plan.toml"));
    let set_up = bench.file("setup.toml", &crate::lot::set_up());
    let all = [
        "inspect",
        &plan,
        "--readings",
        readings,
        "--setup",
        &set_up,
        "--json",
    ];
    let passing = bench.path("passing");
    fs::create_dir_all(&passing).unwrap();
    let mut command = bench.command(&all);
    let run = command.env("TMPDIR", passing).stdin(Stdio::null());
    run.output().unwrap().into()
}

/// A workbook as a file on the bench.
fn book(bench: &Bench, fill: impl FnOnce(&mut Workbook)) -> String {
    let mut book = Workbook::new();
    fill(&mut book);
    let path = bench.path("book.xlsx");
    book.save(&path).unwrap();
    path.to_str().unwrap().to_owned()
}

/// The rows of the demo's readings on a sheet, its readings put down by `put`.
fn demo_rows(sheet: &mut Worksheet, put: impl Fn(&mut Worksheet, u32, u16, &str)) {
    for (row, line) in (0..).zip(demo_file("lot/readings.csv").lines()) {
        for (column, field) in (0..).zip(line.split(',')) {
            if row > 0 && column == 3 {
                put(sheet, row, column, field);
            } else {
                sheet.write_string(row, column, field).unwrap();
            }
        }
    }
}

#[test]
fn a_lot_goes_out_as_numbers_and_its_readings_come_back_with_the_same_results() {
    let bench = with_lot();
    let write = ["lot", LOT, "--xlsx", "lot.xlsx", "--replace"];
    let run = bench.run(&write);
    assert_eq!(run.status, 0, "{}", run.err);
    let first = fs::read(bench.path("lot.xlsx")).unwrap();
    bench.run(&write);
    assert_eq!(
        first,
        fs::read(bench.path("lot.xlsx")).unwrap(),
        "the same bytes"
    );
    assert_eq!(opened(bench.path("lot.xlsx")).sheet_names().len(), 4);
    let run = bench.run(&["lot", LOT, "--json"]);
    let results = rows(bench.path("lot.xlsx"), "Results");
    for (row, line) in results.iter().skip(1).zip(run.out.lines()) {
        let cell: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(row[2], Data::Float(cell["size"].as_f64().unwrap()));
        assert_eq!(
            row[3],
            Data::Float(cell["expanded_uncertainty"].as_f64().unwrap())
        );
        assert_eq!(
            row[11],
            Data::String(cell["entry"].as_str().unwrap().to_owned())
        );
    }
    assert_eq!(results.len(), 33);
    let back = measured(&bench, "lot.xlsx");
    assert_eq!(back.status, 0, "{}", back.err);
    assert_says(&back.err, "sheet.understood");
    let readings = bench.file("readings.csv", &demo_file("lot/readings.csv"));
    let straight = measured(&bench, &readings);
    let number = |text: &str| {
        text.lines()
            .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap()["size"].clone())
            .collect::<Vec<_>>()
    };
    // Each reading has one time in the record, that of its piece: all else is the same.
    assert_eq!(number(&back.out), number(&straight.out));
    assert_eq!(back.out, straight.out);
}

#[test]
fn numbers_points_and_commas_are_the_same_readings() {
    let bench = Bench::new();
    let csv = bench.file("readings.csv", &demo_file("lot/readings.csv"));
    let expected = measured(&bench, &csv).out;
    assert_eq!(expected.lines().count(), 33);
    for how in 0..3 {
        let file = book(&bench, |book| {
            // A sheet without readings is no matter.
            book.add_worksheet().write_string(0, 0, "notes").unwrap();
            let sheet = book.add_worksheet();
            demo_rows(sheet, |sheet, row, column, field| {
                match how {
                    0 => sheet.write_number(row, column, field.parse::<f64>().unwrap()),
                    1 => sheet.write_string(row, column, field),
                    _ => sheet.write_string(row, column, field.replace('.', ",")),
                }
                .unwrap();
            });
        });
        let run = measured(&bench, &file);
        assert_eq!(run.status, 0, "{how}: {}", run.err);
        assert_eq!(run.out, expected, "{how}");
        let understood = ["sheet.as-numbers", "sheet.with-point", "sheet.with-comma"];
        assert_says(&run.err, understood[how]);
    }
    // Nothing is left of the rows that were taken out of them.
    assert_eq!(fs::read_dir(bench.path("passing")).unwrap().count(), 0);
}

#[test]
fn what_may_mean_two_things_is_refused_at_its_cell() {
    let bench = Bench::new();
    let refused = |said: &str, cell: &str, change: &dyn Fn(&mut Worksheet)| {
        let file = book(&bench, |book| {
            let sheet = book.add_worksheet();
            demo_rows(sheet, |sheet, row, column, field| {
                sheet
                    .write_number(row, column, field.parse::<f64>().unwrap())
                    .unwrap();
            });
            change(sheet);
        });
        let run = measured(&bench, &file);
        assert_eq!(run.status, 2, "{said}");
        assert!(run.out.is_empty());
        assert_says(&run.err, said);
        assert!(run.err.contains(cell), "{}", run.err);
        assert!(run.err.contains("book.xlsx"), "{}", run.err);
    };
    refused("sheet.mixed", "D6", &|sheet| {
        sheet.write_string(5, 3, "8,911").unwrap();
    });
    refused("sheet.point-and-comma", "D6", &|sheet| {
        sheet.write_string(5, 3, "1.008,911").unwrap();
    });
    refused("sheet.computed", "D6", &|sheet| {
        sheet.write_number(5, 3, 8.911_000_000_000_001).unwrap();
    });
    refused("sheet.flag", "D6", &|sheet| {
        sheet.write_boolean(5, 3, true).unwrap();
    });
    refused("sheet.date", "F6", &|sheet| {
        let format = rust_xlsxwriter::Format::new().set_num_format("yyyy-mm-dd hh:mm");
        sheet
            .write_number_with_format(5, 5, 46091.35, &format)
            .unwrap();
    });
    refused("sheet.no-heading", "J6", &|sheet| {
        sheet.write_string(5, 9, "remark").unwrap();
    });
    refused("sheet.too-many", "A1048576", &|sheet| {
        sheet.write_string(1_048_575, 0, "x").unwrap();
    });
    // What the rows themselves have wrong is told at the row of the sheet.
    refused("lot.unknown-characteristic", ":6", &|sheet| {
        sheet.write_string(5, 1, "77").unwrap();
    });
    let file = book(&bench, |book| {
        for _ in 0..2 {
            demo_rows(book.add_worksheet(), |sheet, row, column, field| {
                sheet.write_string(row, column, field).unwrap();
            });
        }
    });
    assert_says(&measured(&bench, &file).err, "sheet.several");
    let file = book(&bench, |book| {
        book.add_worksheet();
    });
    assert_says(&measured(&bench, &file).err, "sheet.none");
}

/// An archive of one part, a gigabyte of zeros; and one that says that it is small.
#[test]
fn a_workbook_that_grows_is_refused() {
    let bench = Bench::new();
    let path = bench.path("bomb.xlsx");
    let mut archive = zip::ZipWriter::new(fs::File::create(&path).unwrap());
    let options = zip::write::SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated);
    archive.start_file("xl/workbook.xml", options).unwrap();
    let block = vec![b' '; 1 << 20];
    for _ in 0..150 {
        archive.write_all(&block).unwrap();
    }
    archive.finish().unwrap();
    let run = measured(&bench, path.to_str().unwrap());
    assert_eq!(run.status, 2);
    assert_says(&run.err, "sheet.too-large");
    let cut = fs::read(&path).unwrap();
    bench.write("bomb.xlsx", &cut[..cut.len() / 2]);
    let run = measured(&bench, path.to_str().unwrap());
    assert_eq!(run.status, 2);
    assert_says(&run.err, "sheet.unreadable");
    let file = bench.file("large.xlsx", "PK\u{3}\u{4}");
    fs::File::options()
        .write(true)
        .open(&file)
        .unwrap()
        .set_len(300_000_000)
        .unwrap();
    assert_says(&measured(&bench, &file).err, "sheet.too-large");
}

#[test]
fn the_register_is_a_sheet() {
    let bench = Bench::new().with_equipment();
    let run = bench.run(&["equipment", "list", "--xlsx", "register.xlsx"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let rows = rows(bench.path("register.xlsx"), "Equipment");
    let listed = bench.run(&["equipment", "list", "--json"]);
    assert_eq!(rows.len() - 1, listed.out.lines().count());
    for (row, line) in rows.iter().skip(1).zip(listed.out.lines()) {
        let piece: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(
            row[1],
            Data::String(piece["id"].as_str().unwrap().to_owned())
        );
        assert_eq!(
            row[7],
            Data::String(piece["entry"].as_str().unwrap().to_owned())
        );
    }
}

#[test]
fn a_study_is_a_workbook_of_its_document() {
    let bench = Bench::new();
    let file = bench.file("lot.csv", &demo_file("studies/lot.csv"));
    let study = [
        "study",
        "capability",
        &file,
        "--lower",
        "8.862mm",
        "--upper",
        "8.994mm",
    ];
    let told = bench.run(&[&study[..], &["--json"]].concat());
    assert_eq!(told.status, 0, "{}", told.err);
    let told = told.json();
    let run = bench.run(&[&study[..], &["--xlsx", "study.xlsx"]].concat());
    assert_eq!(run.status, 0, "{}", run.err);
    let rows = rows(bench.path("study.xlsx"), "Study");
    let value = |key: &str| {
        let found = rows
            .iter()
            .find(|row| row[0] == Data::String(key.to_owned()));
        found.unwrap_or_else(|| panic!("{key}"))[1].clone()
    };
    for key in ["mean", "ppk", "standard_deviation_overall"] {
        assert_eq!(
            value(key),
            Data::Float(told[key].as_f64().unwrap()),
            "{key}"
        );
    }
    let lower = told["ppk_interval"]["lower"].as_f64().unwrap();
    assert_eq!(value("ppk_interval.lower"), Data::Float(lower));
}

/// Puts a field down at a row and a column.
type Put = dyn Fn(&mut Worksheet, u32, u16, &str);

/// The demo's table of a plan as a workbook, each field put down by `put`.
fn plan_book(bench: &Bench, put: impl Fn(&mut Worksheet, u32, u16, &str)) -> String {
    book(bench, |book| {
        book.add_worksheet().set_name("Notes").unwrap();
        let sheet = book.add_worksheet();
        sheet.set_name("Plan").unwrap();
        for (row, line) in (0..).zip(demo_file("lot/nine.csv").lines()) {
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .from_reader(line.as_bytes());
            let Some(record) = reader.records().next() else {
                continue;
            };
            for (column, field) in (0..).zip(record.unwrap().iter()) {
                put(sheet, row, column, field);
            }
        }
    })
}

fn as_text(sheet: &mut Worksheet, row: u32, column: u16, field: &str) {
    sheet.write_string(row, column, field).unwrap();
}

#[test]
fn a_plan_from_a_workbook_is_the_plan_of_the_same_table() {
    let person = ["--person", "A. Quill"];
    let bench = Bench::new();
    let table = bench.file("nine.csv", &demo_file("lot/nine.csv"));
    let kept = bench.run(&[&["plan", &table], &person[..]].concat());
    assert_eq!(kept.status, 0, "{}", kept.err);
    let numbers = |sheet: &mut Worksheet, row: u32, column: u16, field: &str| {
        match field.parse::<f64>() {
            Ok(number) => sheet.write_number(row, column, number).unwrap(),
            Err(_) => sheet.write_string(row, column, field).unwrap(),
        };
    };
    let commas = |sheet: &mut Worksheet, row: u32, column: u16, field: &str| {
        // Decimal signs of lengths alone: a thread is written as its standard has it.
        let is_length = row > 12 && column == 1 && !field.contains('x');
        let field = if is_length {
            field.replace('.', ",")
        } else {
            field.to_owned()
        };
        sheet.write_string(row, column, field).unwrap();
    };
    let puts: [&Put; 3] = [&as_text, &numbers, &commas];
    let mut understood: Vec<Vec<String>> = Vec::new();
    for put in puts {
        let file = plan_book(&bench, put);
        // What was understood is shown first; nothing is recorded without a person.
        let shown = bench.run(&["plan", &file]);
        assert_eq!(shown.status, 0, "{}", shown.err);
        assert!(
            shown.out.contains("sheet Plan: 9 characteristics"),
            "{}",
            shown.out
        );
        assert!(shown.out.contains("9.90 to 10.00 mm"), "{}", shown.out);
        assert_says(&shown.out, "sheet.plan-not-kept");
        let lines = shown.out.lines().skip(1).map(str::to_owned);
        understood.push(lines.collect());
        if understood.len() == 1 {
            let again = bench.run(&[&["plan", &file], &person[..]].concat());
            assert_eq!(again.status, 0, "{}", again.err);
            assert_says(&again.out, "lots.plan-unchanged");
        }
    }
    assert_eq!(understood[0], understood[1]);
    assert_eq!(understood[0], understood[2]);
    assert_eq!(bench.run(&["plan"]).out.lines().count(), 1);
}

#[test]
fn what_is_wrong_in_a_plan_of_a_workbook_is_told_at_its_cell() {
    let bench = Bench::new();
    let person = ["--person", "A. Quill"];
    let refused = |file: &str| {
        let run = bench.run(&[&["plan", file], &person[..]].concat());
        assert_eq!(run.status, 2, "{}", run.err);
        assert!(bench.run(&["plan"]).out.lines().count() <= 1);
        run.err
    };
    let changed = |from: &'static str, to: &'static str| {
        plan_book(&bench, move |sheet, row, column, field| {
            as_text(sheet, row, column, &field.replace(from, to));
        })
    };
    assert_says(
        &refused(&changed("8.00 to 8.20", "8,00 to 8,20")),
        "sheet.mixed-plan",
    );
    assert_says(
        &refused(&changed("8.00 to 8.20", "1,008.00 to 8.20")),
        "sheet.point-and-comma",
    );
    assert_says(
        &refused(&changed("requirement", "required")),
        "sheet.no-plan",
    );
    // The row and the column of the sheet are named.
    let wrong = refused(&changed("M8x1.25-6g", "M8x1.26-6g"));
    assert!(wrong.contains("book.xlsx:"), "{wrong}");
    let twice = book(&bench, |book| {
        for name in ["One", "Two"] {
            let sheet = book.add_worksheet().set_name(name).unwrap();
            sheet.write_string(0, 0, "number").unwrap();
            sheet.write_string(0, 1, "requirement").unwrap();
        }
    });
    assert_says(&refused(&twice), "sheet.several-plans");
    let computed = plan_book(&bench, |sheet, row, column, field| {
        if field == "280" {
            sheet.write_number(row, column, 280.0 / 3.0).unwrap();
        } else {
            as_text(sheet, row, column, field);
        }
    });
    assert_says(&refused(&computed), "sheet.computed");
}
