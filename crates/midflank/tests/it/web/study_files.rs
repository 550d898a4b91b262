//! Studies of a file of readings on their pages: the same answers as by command, every wrong field at once, nothing recorded. And
//! the capability of what is on the record.

use super::beside::on;
use super::support::{self, Answer, Bench, Folder, between};
use crate::bench::demo_file;
use crate::said::{assert_says, assert_silent};
use crate::shown::text_of;

/// A study, what is said of it beside the file, and a file that it takes.
type Asked = (&'static str, Vec<(&'static str, &'static str)>, String);

fn studies() -> Vec<Asked> {
    let values: String = (0..25).map(|n| format!("10.00{}\n", n * 7 % 10)).collect();
    let values = format!("value\n{values}");
    let mut sizes = "reference,value\n".to_owned();
    for (size, readings) in [("5", [1, 0, 2]), ("10", [2, 1, 1]), ("20", [4, 3, 5])] {
        for off in readings {
            sizes += &format!("{size},{size}.00{off}\n");
        }
    }
    let ratings =
        "part,rater,rating\n1,Anna,ok\n1,Ben,ok\n2,Anna,not\n2,Ben,not\n3,Anna,ok\n3,Ben,not\n";
    let compared = "participant,value,expanded_uncertainty,reference,reference_expanded_uncertainty\n\
                    one,8.921,0.004,8.923,0.002\ntwo,8.930,0.004,8.923,0.002\n";
    let groups = "group,value\na,1.1\na,1.2\nb,1.4\nb,1.6\n";
    vec![
        (
            "repeatability",
            vec![("tolerance", "0.1 mm"), ("method", "range")],
            demo_file("studies/repeatability.csv"),
        ),
        (
            "type-1",
            vec![
                ("reference", "10.004 mm"),
                ("tolerance", "0.1 mm"),
                ("spread", "4"),
            ],
            values.clone(),
        ),
        ("bias", vec![("reference", "10.004 mm")], values.clone()),
        ("linearity", vec![("unit", "mm")], sizes),
        ("stability", vec![], values.clone()),
        ("agreement", vec![], ratings.to_owned()),
        ("comparison", vec![("unit", "mm")], compared.to_owned()),
        (
            "capability",
            vec![
                ("lower", "9.99 mm"),
                ("upper", "10.02 mm"),
                ("coverage", "0.95"),
            ],
            values.clone(),
        ),
        ("chart", vec![], demo_file("studies/lot.csv")),
        ("summary", vec![], values),
        ("one-way", vec![], groups.to_owned()),
    ]
}

fn token(bench: &Bench, study: &str) -> String {
    let page = bench.get(&format!("/study-files/{study}")).body;
    between(&page, "name=\"token\" value=\"", "\"").to_owned()
}

/// The form as a browser sends it where nothing was changed but these fields.
fn ask(
    bench: &Bench,
    study: &str,
    address: &str,
    said: &[(&str, &str)],
    files: &[(&str, &str, &[u8])],
) -> Answer {
    let usual = [
        ("token", token(bench, study)),
        ("alpha", "0.05".to_owned()),
        ("part-of-tolerance", "20".to_owned()),
        ("spread", "6".to_owned()),
        ("confidence", "0.95".to_owned()),
        ("coverage", "0.99".to_owned()),
        ("method", "anova".to_owned()),
        ("design", "crossed".to_owned()),
    ];
    let usual = usual.iter().map(|(key, value)| (*key, value.as_str()));
    let mut fields: Vec<(&str, &str)> = usual.collect();
    fields.retain(|(key, _)| said.iter().all(|(other, _)| other != key));
    fields.extend_from_slice(said);
    support::hand_in(bench, address, &fields, files)
}

#[test]
fn every_study_of_a_file_is_answered_as_by_command() {
    let folder = Folder::new("study-files");
    let bench = Bench::start(&folder, 0, &[]);
    let offered = bench.get("/studies").body;
    for (study, said, text) in studies() {
        let address = format!("/study-files/{study}");
        assert!(offered.contains(&format!("href=\"{address}\"")), "{study}");
        let answer = ask(
            &bench,
            study,
            &address,
            &said,
            &[("file", "taken.csv", text.as_bytes())],
        );
        assert_eq!(answer.status, 200, "{study}: {}", answer.body);
        let path = folder.path().join("taken.csv");
        std::fs::write(&path, &text).unwrap();
        let path = path.to_str().unwrap();
        let mut command = vec!["study".to_owned(), study.to_owned(), path.to_owned()];
        for (key, value) in &said {
            command.extend([format!("--{key}"), value.replace(' ', "")]);
        }
        let command: Vec<&str> = command.iter().map(String::as_str).collect();
        let told = on(&folder, &command);
        assert_eq!(told.status, 0, "{study}: {}", told.err);
        let shown = text_of(&answer.body.replace("&amp;", "and-sign"));
        let shown = shown.replace("and-sign", "&").replace('\u{2212}', "-");
        let shown: Vec<&str> = shown.split_whitespace().collect();
        for word in told.out.split_whitespace() {
            assert!(shown.contains(&word), "{study}: {word} in {shown:?}");
        }
        let drawn = answer.body.contains("<svg class=\"drawn\"");
        assert_eq!(drawn, !["one-way", "agreement"].contains(&study), "{study}");
        // The readings stand in the form, so that they can be changed and asked again.
        let last = text.trim().lines().last().unwrap();
        assert!(answer.body.contains(last), "{study}");
        let paper = ask(
            &bench,
            study,
            &format!("{address}/sheet.pdf"),
            &[&said[..], &[("readings", &text)]].concat(),
            &[],
        );
        assert_eq!(paper.status, 200, "{study}");
        assert!(paper.body.starts_with("%PDF-"), "{study}");
    }
    assert_eq!(bench.get("/study-files/recorded").status, 404);
    assert_eq!(bench.get("/study-files/nothing").status, 404);
}

#[test]
fn what_is_wrong_with_a_study_of_a_file_stands_at_its_field() {
    let folder = Folder::new("study-files-wrong");
    let bench = Bench::start(&folder, 0, &[]);
    let type_1 = |said: &[(&str, &str)], files: &[(&str, &str, &[u8])]| {
        ask(&bench, "type-1", "/study-files/type-1", said, files)
    };
    let empty = type_1(&[("spread", "six")], &[]);
    assert_eq!(empty.status, 422);
    for field in ["reference", "tolerance", "spread", "readings"] {
        let wrong = format!("id=\"{field}\"");
        let (_, input) = empty.body.split_once(&wrong).unwrap();
        let input = input.split('>').next().unwrap();
        assert!(input.contains("aria-invalid=\"true\""), "{field}: {input}");
    }
    assert_says(&empty.body, "study-file.no-readings");
    assert_says(&empty.body, "study-file.no-number");
    assert!(empty.body.contains("value=\"six\""), "what was typed stays");
    let known = [("reference", "10 mm"), ("tolerance", "0.1 mm")];
    let text = type_1(
        &[&known[..], &[("readings", "value\r\n10.001\r\nmany\r\n")]].concat(),
        &[],
    );
    assert_eq!(text.status, 422);
    assert_says(&text.body, "table.not-a-number");
    let latin: &[u8] = b"value\n10.001\n10.0\xb5\n";
    let latin = type_1(&known, &[("file", "old.csv", latin)]);
    assert_says(&latin.body, "study-file.not-utf-8");
    let long = "1.001\n".repeat(200_000);
    let long = type_1(&known, &[("file", "long.csv", long.as_bytes())]);
    assert_eq!(long.status, 422);
    assert_says(&long.body, "study-file.too-large");
    let longer = vec![b'1'; 5_000_000];
    let longer = type_1(&known, &[("file", "longer.csv", &longer)]);
    assert_eq!(longer.status, 413);
    let values = "value\n10.001\n10.002\n";
    let stale = type_1(
        &[&known[..], &[("token", "old"), ("readings", values)]].concat(),
        &[],
    );
    assert_eq!(stale.status, 403);
    assert!(stale.body.contains("10.002"), "what was typed stays");
    // Indices that anything would pass are refused.
    for (field, value, wrong) in [
        ("spread", "0", "study.spread"),
        ("spread", "0.001", "study.spread"),
        ("part-of-tolerance", "1000", "study.part-of-tolerance"),
        ("part-of-tolerance", "-5", "study.part-of-tolerance"),
    ] {
        let values = format!("value\n{}", "10.001\n10.002\n".repeat(10));
        let said = [&known[..], &[(field, value), ("readings", &values)]].concat();
        let refused = type_1(&said, &[]);
        assert_eq!(refused.status, 422, "{field} {value}");
        assert_says(&refused.body, wrong);
    }
    // One that a command refuses is refused with its reason.
    let few = type_1(&[&known[..], &[("readings", values)]].concat(), &[]);
    assert_eq!(few.status, 422);
    assert_says(&few.body, "study.too-few");
}

/// Readings that were changed in the form are not those of the file any more.
#[test]
fn changed_readings_do_not_keep_the_name_of_their_file() {
    let folder = Folder::new("study-files-name");
    let bench = Bench::start(&folder, 0, &[]);
    let summary = |said: &[(&str, &str)], files: &[(&str, &str, &[u8])]| {
        ask(&bench, "summary", "/study-files/summary", said, files)
    };
    let file = "value\r\n1\r\n2\r\n3\r\n";
    let first = summary(&[], &[("file", "mine.csv", file.as_bytes())]).body;
    assert!(first.contains("mine.csv"), "{first}");
    let digest = between(&first, "name=\"digest\" value=\"", "\"");
    let hidden = [("name", "mine.csv"), ("digest", digest)];
    let same = summary(&[&hidden[..], &[("readings", file)]].concat(), &[]);
    assert!(text_of(&same.body).contains("mine.csv"));
    let other = summary(
        &[&hidden[..], &[("readings", "value\r\n1\r\n9\r\n")]].concat(),
        &[],
    );
    assert!(!other.body.contains("mine.csv"), "{}", other.body);
}

#[test]
fn capability_and_chart_of_what_is_on_record() {
    let folder = Folder::new("process-page");
    let bench = Bench::start(&folder, 0, &[]);
    assert_eq!(bench.get("/process").status, 200);
    let nothing = bench.get("/process?lot=L-9");
    assert_says(&nothing.body, "process-page.nothing");
    let wrong = bench.get("/process?lot=L-9&subgroup=1");
    assert_eq!(wrong.status, 422);
    assert_says(&wrong.body, "process-page.no-subgroup");
    for (name, text) in [
        ("plan.toml", demo_file("lot/plan.toml")),
        ("setup.toml", crate::lot::set_up()),
        ("readings.csv", demo_file("lot/readings.csv")),
    ] {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (plan, readings, set_up) = (path("plan.toml"), path("readings.csv"), path("setup.toml"));
    let measured = on(
        &folder,
        &[
            "inspect",
            &plan,
            "--readings",
            &readings,
            "--setup",
            &set_up,
            "--record",
        ],
    );
    assert_eq!(measured.status, 0, "{}", measured.err);
    let listed = bench.get("/process").body;
    let (_, row) = listed.split_once("/process?part=").unwrap();
    let address = row.split('"').next().unwrap().replace("&amp;", "&");
    for (more, command) in [("", &[][..]), ("&subgroup=4", &["--subgroup", "4"])] {
        let address = format!("/process?part={address}{more}");
        let page = bench.get(&address);
        assert_eq!(page.status, 200, "{}", page.body);
        let told = on(&folder, &[&["study", "recorded"], command].concat());
        let shown = text_of(&page.body);
        let shown: Vec<&str> = shown.split_whitespace().collect();
        for word in told.out.split_whitespace() {
            assert!(shown.contains(&word), "{word} in {shown:?}");
        }
        assert!(shown.contains(&"M10x1.5-6g"), "what it is of: {shown:?}");
        let paper = bench.get(&address.replacen("/process", "/process/sheet.pdf", 1));
        assert!(paper.body.starts_with("%PDF-"));
    }
    // As the history writes it.
    let written = bench.get("/process?characteristic=m10X1.5-6g%2C%20pitch%20diameter");
    assert_silent(&written.body, "process-page.nothing");
}
