//! Plans that are typed or stand in a table.

use std::path::Path;

use metrology::inspection::{Characteristic, Feature, Target};
use metrology::message::Say as _;

use super::*;
use crate::error::Fault;
use crate::kept;

const NINE: &str = include_str!("../../../../demo/lot/nine.csv");
const NINE_TOML: &str = include_str!("../../../../demo/lot/nine.toml");

const HEAD: &str = "part,bush\ndrawing,TC-9\nunit,mm\ntake,all\n";

fn table(text: &str) -> Result<Plan, Error> {
    parse_table(Path::new("plan.csv"), text)
}

/// A table of rows under these columns.
fn rows(columns: &str, rows: &[&str]) -> String {
    format!("{HEAD}{columns}\n{}\n", rows.join("\n"))
}

/// The faults of a table: line, column in characters, what its column is called, and the code.
fn faults(text: &str) -> Vec<(usize, usize, String, String)> {
    let one = |error: Error| match error {
        Error::Wrong(fault) => fault,
        other => panic!("{other}"),
    };
    let told = |fault: Box<Fault>| {
        let file = fault.file.unwrap();
        let (column, code) = match (fault.reason.value("column"), fault.reason.value("what")) {
            (Some(Value::Text(column)), Some(Value::Message(what))) => {
                (column.clone(), what.code.to_string())
            }
            _ => (String::new(), fault.reason.code.to_string()),
        };
        (file.line, file.column.unwrap(), column, code)
    };
    match table(text) {
        Err(Error::Several(all)) => all.into_iter().map(one).map(told).collect(),
        Err(error) => vec![told(one(error))],
        Ok(_) => Vec::new(),
    }
}

fn codes(text: &str) -> Vec<(usize, String)> {
    let all = faults(text).into_iter();
    all.map(|(line, _, _, code)| (line, code)).collect()
}

fn stored(plan: &Plan) -> String {
    kept::write(kept::PLAN, plan).unwrap()
}

#[test]
fn a_table_is_the_same_plan_as_toml() {
    let toml = parse(Path::new("nine.toml"), NINE_TOML).unwrap();
    let csv = table(NINE).unwrap();
    assert_eq!(stored(&csv), stored(&toml));
    assert_eq!(csv.notes, toml.notes);
    assert_eq!(csv.characteristics[5].line, 19);
}

/// As spreadsheets save it: byte order mark, line ends of two signs, semicolons and a decimal comma; or tabs.
#[test]
fn other_separators_are_the_same_plan() {
    let wanted = stored(&table(NINE).unwrap());
    let cells: Vec<String> = NINE
        .lines()
        .map(|line| {
            let line = line.replace("\"order TC-3, clause 6\"", "order TC-3\u{1}clause 6");
            line.replace(',', "\t").replace('\u{1}', ", ")
        })
        .collect();
    let tabs = cells.join("\n");
    assert_eq!(stored(&table(&tabs).unwrap()), wanted);
    let semicolons: Vec<String> = cells
        .iter()
        .map(|line| {
            let fields = line.split('\t').map(|field| {
                let text = if field.contains(" to ") || field.contains('±') {
                    field.replace('.', ",")
                } else {
                    field.to_owned()
                };
                format!("\"{text}\"")
            });
            fields.collect::<Vec<_>>().join(";")
        })
        .collect();
    let semicolons = format!("\u{feff}{}\r\n;;;;\r\n", semicolons.join("\r\n"));
    let plan = table(&semicolons).unwrap();
    // The digits are the same; a limit that was typed keeps its comma.
    let points = stored(&plan)
        .replace("9,90mm", "9.90mm")
        .replace("10,00mm", "10.00mm");
    let points = points
        .replace("8,00mm", "8.00mm")
        .replace("8,20mm", "8.20mm");
    assert_eq!(points.replace("9,9mm", "9.9mm"), wanted);
}

#[test]
fn columns_state_what_a_line_may_state() {
    let text = [
        "part;bush",
        "drawing;TC-9",
        "unit;mm",
        "take;all",
        "Number;Requirement;Lower;Upper;Coating;State;Plane within;Bore;Edition;Rule;Agreed;Origin",
        "1;M10x1.5-6g;8,71;8,83;;;;;ISO 965-1:1998;;;\"before plating; note 4\"",
        ";;;;;;;;;;;",
        "2;tube wall;1,9;2,2;;;;9.9;;simple;by hand;",
        "3;M10x1.5-6g;;;5um;before coating;;;;;;",
        "4;1/2-14 NPT at 8,1 mm;;;;;0,5;;;;;",
    ]
    .join("\n");
    let plan = table(&text).unwrap();
    let [own, wall, coated, taper] = &plan.characteristics[..] else {
        panic!("{plan:?}");
    };
    let Some(Characteristic::Thread {
        terms: Some(terms), ..
    }) = &own.measured
    else {
        panic!("{own:?}");
    };
    assert_eq!(terms.lower.as_ref().unwrap().text(), "8,71mm");
    assert_eq!(terms.origin.as_deref(), Some("before plating; note 4"));
    // A withdrawn edition is remarked, and stands as the drawing names it.
    assert_eq!(own.edition.as_deref(), Some("ISO 965-1:1998"));
    assert_eq!(plan.notes.len(), 1);
    let Some(Characteristic::Feature { name, feature, .. }) = &wall.measured else {
        panic!("{wall:?}");
    };
    assert_eq!(name, "tube wall");
    assert!(matches!(**feature, Feature::TubeWall(_)));
    assert_eq!(
        (wall.rule.name.as_str(), wall.agreed.as_deref()),
        ("simple", Some("by hand"))
    );
    assert!(
        matches!(&coated.measured, Some(Characteristic::Thread { terms: Some(terms), .. }) if terms.coating.is_some())
    );
    let target = Target::of(taper.measured.as_ref().unwrap()).unwrap();
    assert_eq!(target.plane.unwrap().within, Some(0.5));
}

#[test]
fn each_mistake_is_told_with_its_row_and_column() {
    let text = rows(
        "number,requirement,places,way,class",
        &[
            "1,M10x1.6-6g,,,",
            "2,shank 9.90 to 10.00,middle;middle,,main",
            "2,collar 4.0 to 4.1,,,",
            ",free of burrs,,by eye,",
            "5,M10x1.5-6q 8.9 to 8.95,,,",
            "6,,,,",
            "7,shank 9.9 to 10.0; lenght 3,,,",
            "8,tube wall 2.0 to 2.1,,by hand,",
            "9,tube wall 2.0 to 2.1,,,",
            "zero,shank 9.9 to 10.0,,,",
        ],
    );
    let found: Vec<(usize, String, String)> = faults(&text)
        .into_iter()
        .map(|(line, _, column, code)| (line, column, code))
        .collect();
    let wanted = [
        (6, "requirement", "job.designation"),
        (7, "places", "plan.place-twice"),
        (7, "class", "jobfile.unknown-word"),
        (8, "number", "plan.number-twice"),
        (9, "number", "plan.no-number"),
        (10, "requirement", "plan.no-thread"),
        (11, "requirement", "plan.no-requirement"),
        (12, "requirement", "plan.unknown-part"),
        (13, "way", "jobfile.unknown-word"),
        (14, "requirement", "plan.part-missing"),
        (15, "number", "plan.number-zero"),
    ];
    let wanted = wanted.map(|(line, column, code)| (line, column.to_owned(), code.to_owned()));
    assert_eq!(found, wanted);
    // The column is where the field begins, in characters.
    assert_eq!(faults(&text)[2].1, 38);
}

#[test]
fn a_table_that_can_be_read_two_ways_is_refused() {
    let columns = "number,requirement,way";
    let one = |row: &str| codes(&rows(columns, &[row]));
    let told = |line, code: &str| vec![(line, code.to_owned())];
    assert_eq!(codes(""), told(1, "plan.no-header"));
    assert_eq!(
        codes("number requirement\n1 M8\n"),
        told(1, "plan.no-header")
    );
    let two = rows(columns, &["1,M8x1.25-6g,"]) + "number;requirement\n";
    assert_eq!(codes(&two), told(1, "plan.separators"));
    // A decimal comma where commas separate, whether it is between quotation marks or makes a field too many.
    assert_eq!(
        one("1,\"shank 9,9 to 10.0\","),
        told(6, "plan.decimal-comma")
    );
    assert_eq!(
        one("1,shank 9,9 to 10.0,gauge"),
        told(6, "plan.decimal-comma")
    );
    assert_eq!(one("1,M8x1.25-6g,,more"), told(6, "plan.fields"));
    assert_eq!(one("1,M8x1.25-6g"), told(6, "plan.fields"));
    assert_eq!(one("1,\"M8x1.25-6g,"), told(6, "plan.open-quote"));
    // Nothing but columns.
    assert_eq!(codes(&rows(columns, &[])), told(5, "plan.empty"));
    let of = |columns: &str| codes(&rows(columns, &["1,M8x1.25-6g,"]));
    assert_eq!(
        of("number,requirement,inspector"),
        told(5, "plan.unknown-column")
    );
    assert_eq!(
        of("number,requirement,Number"),
        told(5, "plan.column-twice")
    );
    // A text that is only looked at may have any comma.
    assert_eq!(one("1,\"burrs, 0,1 or larger\",by eye"), []);
}

#[test]
fn what_stands_above_the_columns_is_told_too() {
    let row = "number,requirement\n1,M8x1.25-6g\n";
    let told = |head: &str| codes(&format!("{head}{row}"));
    let one = |line, code: &str| vec![(line, code.to_owned())];
    assert_eq!(told(HEAD), []);
    assert_eq!(
        told(&HEAD.replace("part,bush\n", "")),
        one(4, "plan.head-missing")
    );
    assert_eq!(
        told(&HEAD.replace("mm", "furlong")),
        one(3, "jobfile.no-unit")
    );
    assert_eq!(
        told(&format!("{HEAD}wheel,4\n")),
        one(5, "plan.unknown-head")
    );
    assert_eq!(
        told(&format!("{HEAD}part,nut\n")),
        one(5, "plan.head-twice")
    );
    assert_eq!(
        told(&format!("{HEAD}revision,B,C\n")),
        one(5, "plan.head-cells")
    );
    assert_eq!(
        told(&HEAD.replace("all", "fixed")),
        one(5, "plan.needs-key")
    );
    assert_eq!(
        told(&format!("{HEAD}agreed,order 3\n")),
        one(6, "plan.agreed-alone")
    );
    assert_eq!(
        told(&format!("{HEAD}lot size,\"1,000\"\n")),
        one(5, "plan.decimal-comma")
    );
    // Nothing of it is told twice, and rows are told beside it.
    let both = told(&format!("{}rule,feeling\n", HEAD.replace("all", "some")));
    let wanted = [(4, "jobfile.unknown-word"), (5, "decision.unknown-rule")];
    assert_eq!(both, wanted.map(|(line, code)| (line, code.to_owned())));
}

/// Without blanks, with points for decimal commas and commas for semicolons, as a line is typed anew.
fn plainly(text: &str) -> String {
    let text = text.replace(';', ",");
    let text: Vec<char> = text.chars().filter(|c| *c != ' ').collect();
    let is_digit = |at: Option<usize>| {
        at.and_then(|at| text.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let plain = text.iter().enumerate().map(|(at, letter)| {
        let is_sign = *letter == ',' && is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
        if is_sign { '.' } else { *letter }
    });
    plain.collect()
}

/// A plan that is opened and left alone is the same plan, and so is one whose lines are typed again.
#[test]
fn a_plan_is_typed_as_it_would_be_read() {
    let of_features = include_str!("../../../../fuzz/corpus/plan_table/features.csv");
    let mut plans = vec![
        parse(Path::new("nine.toml"), NINE_TOML).unwrap(),
        parse(
            Path::new("plan.toml"),
            include_str!("../../../../demo/lot/plan.toml"),
        )
        .unwrap(),
        table(of_features).unwrap(),
    ];
    // One with a rule of its own beside one without any.
    let mut mixed = plans[0].clone();
    mixed.characteristics[2].rule.name = "simple".to_owned();
    mixed.characteristics[2].agreed = None;
    plans.push(mixed.clone());
    for one in &mut mixed.characteristics[3..] {
        (one.rule.assumed, one.agreed) = (true, None);
    }
    plans.push(mixed);
    for plan in &plans {
        let sheet = sheet_of(plan);
        for known in [known(plan), Vec::new()] {
            let read = read_sheet(&sheet, &known).plan.unwrap();
            if known.is_empty() {
                assert_eq!(plainly(&stored(&read)), plainly(&stored(plan)));
            } else {
                assert_eq!(stored(&read), stored(plan));
            }
            assert_eq!(read.notes, plan.notes);
        }
    }
}

/// ISO 965-1:2013, M10-6g: major 9.732 to 9.968, pitch diameter 8.862 to 8.994 mm; ISO 724 and the 6g deviation: minor
/// diameter at most 8.344 mm. ASME B1.1, 1/4-20 UNC-2A: major 0.2408 to 0.2489, pitch diameter 0.2127 to 0.2164 in. M10-6H: minor
/// 8.376 to 8.676, pitch diameter 9.026 to 9.206, major at least 10 mm. Handbook tables, as those of `metrology`.
#[test]
fn a_thread_note_is_split_into_what_has_to_be_shown() {
    let offered = |requirement: &str, unit: &str| {
        let text = format!(
            "part;bush\ndrawing;TC-9\nunit;{unit}\ntake;all\nnumber;requirement\n4;\"{requirement}\"\n"
        );
        let plan = table(&text).unwrap();
        let all = split(&plan.characteristics[0]).into_iter();
        let told = all.map(|one| {
            let limits = [one.limits.lower, one.limits.upper];
            let digits = |limit: metrology::units::Length| limit.to_fixed(one.unit, one.decimals);
            let [lower, upper] = limits.map(|limit| limit.map_or_else(String::new, digits));
            let typed = one.measured.map(|what| requirement_of(&what));
            (
                one.number,
                one.part.key(),
                lower,
                upper,
                typed.unwrap_or_default(),
            )
        });
        told.collect::<Vec<_>>()
    };
    let line = |number: &str, part, lower: &str, upper: &str, typed: &str| {
        (
            number.to_owned(),
            part,
            lower.to_owned(),
            upper.to_owned(),
            typed.to_owned(),
        )
    };
    assert_eq!(
        offered("M10x1.5-6g", "mm"),
        [
            line(
                "4.1",
                "crest",
                "9.732",
                "9.968",
                "M10x1.5-6g major diameter"
            ),
            line("4.2", "pitch-diameter", "8.862", "8.994", "M10x1.5-6g"),
            line("4.3", "functional", "", "8.994", ""),
            line("4.4", "root", "", "8.344", ""),
        ]
    );
    let inch = offered("1/4-20 UNC-2A", "in");
    assert_eq!(
        inch[..3],
        [
            line(
                "4.1",
                "crest",
                "0.2408",
                "0.2489",
                "1/4-20 UNC-2A major diameter"
            ),
            line("4.2", "pitch-diameter", "0.2127", "0.2164", "1/4-20 UNC-2A"),
            line("4.3", "functional", "", "0.2164", ""),
        ]
    );
    assert_eq!(
        offered("M10x1.5-6H", "mm"),
        [
            line(
                "4.1",
                "crest",
                "8.376",
                "8.676",
                "M10x1.5-6H minor diameter"
            ),
            line("4.2", "pitch-diameter", "9.026", "9.206", "M10x1.5-6H"),
            line("4.3", "functional", "9.026", "", ""),
            line("4.4", "root", "10.000", "", ""),
        ]
    );
    // UNJ and MJ limit the radius of the roots.
    assert!(
        offered("MJ10x1.5-4h6h", "mm")
            .iter()
            .any(|one| one.1 == "root-radius")
    );
    // Own limits stay with the diameter that they are of; a taper thread has no note to split, nor has what is no thread.
    let own = offered("M10x1.5-6g 8.85 to 8.98; origin note 4", "mm");
    assert_eq!(own[1].4, "M10x1.5-6g 8.85 to 8.98; origin note 4");
    assert_eq!((own[0].3.as_str(), own[2].3.as_str()), ("9.968", "8.98"));
    assert_eq!(offered("1/2-14 NPT at 8.1 mm", "mm"), []);
    assert_eq!(offered("shank 9.90 to 10.00", "mm"), []);
}

/// The line of the functional size names its thread and its gauge, with the limits of the drawing: a gauge is held against them.
#[test]
fn the_line_of_a_gauge_names_its_thread() {
    let of = |requirement: &str| {
        let plan = table(&format!("{HEAD}number,requirement\n4,{requirement}\n")).unwrap();
        let note = &plan.characteristics[0];
        let all = split(note).into_iter();
        let functional = all.filter(|one| one.part == ThreadPart::Functional);
        let says = Some("functional diameter".to_owned());
        let line = functional.map(|one| one.line(note, plan.unit, false, says.clone()));
        line.map(|line| line.requirement).collect::<Vec<_>>()
    };
    let line = |measure: &str| format!("functional diameter; measure {measure}; gauge go-ring");
    assert_eq!(of("M10x1.5-6g"), [line("M10x1.5-6g")]);
    let own = "M10x1.5-6g 8.85 to 8.98";
    assert_eq!(of(own), [line(own)]);
}

fn requirement_of(what: &Characteristic) -> String {
    requirement(what, Some(metrology::units::LengthUnit::Millimetre))
}

/// What the drawing says of threads beside their designation, as TOML states it and as a line does.
#[test]
fn a_plan_takes_what_a_drawing_says_of_threads() {
    let of = |measure: &str, edition: &str| {
        let text = format!(
            "unit = \"mm\"\n[part]\nname = \"bush\"\ndrawing = \"TC-9\"\n[pieces]\ntake = \"all\"\n\
             [[characteristic]]\nnumber = \"1\"\n{edition}\n{measure}\n"
        );
        parse(Path::new("plan.toml"), &text).unwrap()
    };
    let typed = |requirement: &str| {
        let text = format!("{HEAD}number,requirement\n1,\"{requirement}\"\n");
        table(&text).unwrap()
    };
    let target = |plan: &Plan| {
        // As a lot reads it from the record.
        let kept: Plan = kept::read(kept::PLAN, &stored(plan)).unwrap();
        Target::of(kept.characteristics[0].measured.as_ref().unwrap()).unwrap()
    };
    let limits = |plan: &Plan| {
        let target = target(plan);
        let one = |limit: Option<metrology::units::Length>| {
            limit
                .map(|limit| limit.to_fixed(target.unit, 4))
                .unwrap_or_default()
        };
        [one(target.limits.lower), one(target.limits.upper)]
    };
    let measure = "[characteristic.measure]\ndesignation = \"M10x1.5-6g\"";

    // Limits of the drawing's own, before plating or modified: the thread is the same thread.
    let own = of(
        &format!("{measure}\nlower = \"8.71\"\nupper = \"8.83\"\norigin = \"before plating\""),
        "",
    );
    assert_eq!(
        stored(&own),
        stored(&typed("M10x1.5-6g 8.71 to 8.83; origin before plating"))
    );
    assert_eq!(limits(&own), ["8.7100", "8.8300"]);
    let plain = target(&of(measure, "")).thread.unwrap();
    let thread = target(&own).thread.unwrap();
    assert_eq!(
        (thread.pitch, thread.included_angle),
        (plain.pitch, plain.included_angle)
    );
    assert_eq!((thread.major, thread.nominal), (plain.major, plain.nominal));

    // A coating of 5 µm moves the pitch diameter of a 60° thread by four times its thickness (ASME B1.1-2003, section 7): 8.862 to
    // 8.994 mm after it are 8.842 to 8.974 mm before it.
    let coated = of(
        &format!(
            "{measure}\n[characteristic.measure.coating]\nthickness = \"5um\"\nstate = \"before-coating\"\n\
             limits_hold = \"after-coating\""
        ),
        "",
    );
    let line = "M10x1.5-6g; coating 5um; state before coating; limits hold after coating";
    assert_eq!(stored(&coated), stored(&typed(line)));
    assert_eq!(limits(&coated), ["8.8420", "8.9740"]);
    assert_eq!(target(&coated).thread.unwrap().pitch, plain.pitch);

    // 1/2-14 NPT at the end of hand-tight engagement, 0.320 in: pitch diameter 0.77843 in (ASME B1.20.1, table 2), one turn of
    // 1/14 in either way, of which a sixteenth is 0.00446 in.
    let taper = of(
        "[characteristic.measure]\ndesignation = \"1/2-14 NPT\"\nplane = \"0.320in\"\nplane_within = \"0.5\"",
        "",
    );
    assert_eq!(
        stored(&taper),
        stored(&typed("1/2-14 NPT at 0.320in; plane within 0.5"))
    );
    assert_eq!(limits(&taper), ["0.7740", "0.7829"]);
    let thread = target(&taper).thread.unwrap();
    assert!(thread.taper.is_some());
    assert_eq!(
        thread.pitch,
        metrology::units::Pitch::PerInch(metrology::units::ThreadsPerInch::whole(14))
    );

    // A withdrawn edition is remarked and stands as the drawing names it; a plan without a note has one that is in force.
    for edition in ["ISO 965-1:1998", "iso 965-1 : 1998"] {
        let withdrawn = of(measure, &format!("edition = \"{edition}\""));
        assert_eq!(
            withdrawn.characteristics[0].edition.as_deref(),
            Some(edition)
        );
        assert_eq!(
            stored(&withdrawn),
            stored(&typed(&format!("M10x1.5-6g; edition {edition}")))
        );
        assert!(
            matches!(&withdrawn.notes[..], [PlanNote::Withdrawn { by, .. }] if by == "ISO 965-1:2013")
        );
        assert_eq!(limits(&withdrawn), limits(&of(measure, "")));
    }
    assert_eq!(of(measure, "edition = \"ISO 965-1:2013\"").notes, []);
}

#[test]
fn one_position_is_warned_of() {
    let of = |more: &str| {
        let text = format!(
            "unit = \"mm\"\n[part]\nname = \"pin\"\ndrawing = \"PN-1\"\n[pieces]\ntake = \"all\"\nlot_size = 2\n[[characteristic]]\nnumber = \"1\"\n{more}"
        );
        let notes = parse(Path::new("plan.toml"), &text).unwrap().notes;
        notes
            .iter()
            .map(|note| note.message().key().to_owned())
            .collect::<Vec<_>>()
    };
    let size = "[characteristic.measure]\nname = \"shank\"\nlower = \"9.90\"\nupper = \"10.00\"\n";
    assert_eq!(
        of(&format!("places = [\"middle\"]\n{size}")),
        ["one-place", "one-reading"]
    );
    assert_eq!(
        of(&format!("places = [\"middle\"]\n{size}scope = \"place\"\n")),
        ["one-reading"]
    );
    assert!(of(&format!("places = [\"middle 0°\", \"middle 90°\"]\n{size}")).is_empty());
    assert!(of(size).is_empty());
}
