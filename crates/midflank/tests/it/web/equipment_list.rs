//! A list of equipment handed in on a page: what is understood of it row by row, all of it kept or nothing, and every mistake at its
//! place.

use super::beside::on;
use super::support::{self, Answer, Bench, Folder, between, form};

/// Two new items with decimal commas, under a row that is no part of the list.
const NEW: &str = "Equipment of the workshop;;;;;;;;
kind;id;unit;range;maximum_permissible_error;contacts.kind;members;certificate;due
instrument;mic-21;mm;0 to 25;0,003;;;K-3001;2098-09-30
contacts;fl-9;;;;flat;F-31 + F-32;;
";
/// One that the demonstration has, with another certificate.
const CHANGED: &str = "kind,id,certificate,due\ninstrument,mic-04,K-2999,2098-09-30\n";

fn entries(folder: &Folder) -> usize {
    let run = on(folder, &["ledger", "list", "--json", "--limit", "1000"]);
    run.out.lines().count()
}

fn token(bench: &Bench) -> String {
    let page = bench.get("/equipment/list").body;
    between(&page, "name=\"token\" value=\"", "\"").to_owned()
}

fn hand_in(bench: &Bench, token: &str, name: &str, content: &[u8]) -> Answer {
    let fields = [("token", token)];
    support::hand_in(
        bench,
        "/equipment/list",
        &fields,
        &[("list", name, content)],
    )
}

fn show(bench: &Bench, content: &str) -> Answer {
    hand_in(bench, &token(bench), "list.csv", content.as_bytes())
}

/// Presses the one button of a page that shows a list.
fn keep(bench: &Bench, page: &str, person: &str, reason: &str) -> Answer {
    let hidden = |name: &str| between(page, &format!("name=\"{name}\" value=\""), "\"").to_owned();
    let fields = [
        ("token", hidden("token")),
        ("name", hidden("name")),
        ("shown", hidden("shown")),
        ("content", hidden("content")),
        ("person", person.to_owned()),
        ("reason", reason.to_owned()),
    ];
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    bench.request("POST", "/equipment/list/keep", &[kind], &form(&fields))
}

#[test]
fn a_list_is_shown_row_by_row_and_kept_by_one_button() {
    let folder = Folder::new("list");
    let bench = Bench::start(&folder, 0, &[]);
    let equipment = bench.get("/equipment").body;
    assert!(equipment.contains("href=\"/equipment/list\""));
    let before = entries(&folder);
    let shown = show(&bench, NEW);
    assert_eq!(shown.status, 200, "{}", shown.body);
    for told in [
        "2 new, 0 changed, 0 unchanged",
        "2 items",
        "decimal comma",
        "mic-21",
        "F-31 + F-32",
        "K-3001",
        "2098-09-30",
        "Record all 2 items",
    ] {
        assert!(shown.body.contains(told), "{told}: {}", shown.body);
    }
    // Rows are told by the lines of the file.
    assert!(shown.body.contains("<tr><td>3</td>") && shown.body.contains("<tr><td>4</td>"));
    assert_eq!(entries(&folder), before, "nothing is recorded by looking");
    let nobody = keep(&bench, &shown.body, " ", "");
    assert_eq!(nobody.status, 422);
    assert!(
        nobody.body.contains("aria-invalid=\"true\""),
        "{}",
        nobody.body
    );
    assert_eq!(entries(&folder), before);
    let kept = keep(&bench, &nobody.body, "A. Quill", "");
    assert_eq!(kept.status, 200, "{}", kept.body);
    assert!(kept.body.contains("Recorded: 2 new"), "{}", kept.body);
    assert_eq!(entries(&folder), before + 2);
    let piece = on(&folder, &["equipment", "show", "mic-21", "--json"]).json();
    assert_eq!(piece["person"], "A. Quill");
    assert_eq!(piece["certificate"], "K-3001");
    // The same button once more, as a reload sends it, records nothing twice.
    let again = keep(&bench, &shown.body, "A. Quill", "");
    assert_eq!(again.status, 200, "{}", again.body);
    assert!(
        again.body.contains("the register has all of it"),
        "{}",
        again.body
    );
    assert_eq!(entries(&folder), before + 2);
    assert_eq!(on(&folder, &["ledger", "verify"]).status, 0);
}

#[test]
fn a_change_needs_its_reason_and_a_register_that_did_not_go_on() {
    let folder = Folder::new("list-change");
    let bench = Bench::start(&folder, 0, &[]);
    let before = entries(&folder);
    let shown = show(&bench, CHANGED);
    assert!(
        shown.body.contains("0 new, 1 changed, 0 unchanged"),
        "{}",
        shown.body
    );
    assert!(shown.body.contains("K-2231 → K-2999"), "{}", shown.body);
    let bare = keep(&bench, &shown.body, "A. Quill", "");
    assert_eq!(bare.status, 422);
    assert_eq!(entries(&folder), before);
    // Somebody changes the same item meanwhile.
    let file = folder.path().join("other.csv");
    std::fs::write(&file, CHANGED.replace("K-2999", "K-2998")).unwrap();
    let other = ["equipment", "read", file.to_str().unwrap(), "--record"];
    let by = ["--person", "Q. Lead", "--reason", "calibrated"];
    assert_eq!(on(&folder, &[&other[..], &by].concat()).status, 0);
    let late = keep(&bench, &shown.body, "A. Quill", "calibrated");
    assert_eq!(late.status, 409, "{}", late.body);
    assert!(late.body.contains("K-2998 → K-2999"), "{}", late.body);
    assert_eq!(entries(&folder), before + 1);
    let kept = keep(&bench, &late.body, "A. Quill", "calibrated");
    assert_eq!(kept.status, 200, "{}", kept.body);
    assert_eq!(entries(&folder), before + 2);
    let piece = on(&folder, &["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(piece["certificate"], "K-2999");
}

#[test]
fn every_mistake_has_its_row_and_column_and_nothing_is_half_imported() {
    let folder = Folder::new("list-wrong");
    let bench = Bench::start(&folder, 0, &[]);
    let before = entries(&folder);
    let wrong = NEW
        .replace("0,003", "3 apples")
        .replace("F-31 + F-32", "F-31");
    let shown = show(&bench, &wrong);
    assert_eq!(shown.status, 422, "{}", shown.body);
    assert!(
        shown.body.contains("list.csv: 2 mistakes"),
        "{}",
        shown.body
    );
    // Line and character, counted in the text above.
    let at = |line: usize, text: &str| {
        let column = wrong.lines().nth(line - 1).unwrap().find(text).unwrap() + 1;
        format!("<tr><td>{line}</td><td class=\"when\">character {column}</td>")
    };
    for place in [at(3, "3 apples"), at(4, "F-31")] {
        assert!(shown.body.contains(&place), "{place}: {}", shown.body);
    }
    assert!(!shown.body.contains("name=\"content\""), "nothing to keep");
    for (content, told) in [
        ("", "no row names the columns"),
        ("kind;id\n", "no item below"),
        ("kind;id\ninstrument;mic\u{7}21\n", "list.csv"),
    ] {
        let shown = show(&bench, content);
        assert_eq!(shown.status, 422, "{content}: {}", shown.body);
        let page = shown.body.to_lowercase();
        assert!(page.contains(told), "{told}: {}", shown.body);
    }
    let token = token(&bench);
    let no_text = hand_in(&bench, &token, "list.csv", b"kind;id\n\xff;x\n");
    assert_eq!(no_text.status, 422, "{}", no_text.body);
    let no_book = hand_in(&bench, &token, "list.xlsx", b"PK\x03\x04 and nothing");
    assert_eq!(no_book.status, 422, "{}", no_book.body);
    let large = hand_in(&bench, &token, "list.csv", &vec![b'x'; 2_000_001]);
    assert_eq!(large.status, 413, "{}", large.body);
    assert!(large.body.contains("2 MB"), "{}", large.body);
    let nothing = hand_in(&bench, &token, "", b"");
    assert_eq!(nothing.status, 422);
    let told = nothing.body.contains("choose the file");
    assert!(told, "{}", nothing.body);
    // A form of another page, and no such form at all.
    let foreign = hand_in(&bench, "0", "list.csv", NEW.as_bytes());
    assert_eq!(foreign.status, 403);
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    let bare = bench.request("POST", "/equipment/list", &[kind], "token=1");
    assert_eq!(bare.status, 400);
    let good = show(&bench, NEW).body;
    let foreign = good.replace("name=\"token\" value=\"", "name=\"token\" value=\"0");
    assert_eq!(keep(&bench, &foreign, "A. Quill", "").status, 403);
    assert_eq!(entries(&folder), before);
}

#[cfg(feature = "sheets")]
#[test]
fn the_workbook_of_the_register_is_understood_and_a_cell_is_told_by_its_letter() {
    let folder = Folder::new("list-book");
    let bench = Bench::start(&folder, 0, &[]);
    let file = folder.path().join("register.xlsx");
    let path = file.to_str().unwrap();
    let written = on(&folder, &["equipment", "list", "--xlsx", path]);
    assert_eq!(written.status, 0, "{}", written.err);
    let book = std::fs::read(&file).unwrap();
    let shown = hand_in(&bench, &token(&bench), "register.xlsx", &book);
    assert_eq!(shown.status, 200, "{}", shown.body);
    assert!(
        shown.body.contains("the register has all of it"),
        "{}",
        shown.body
    );
    assert!(!shown.body.contains("name=\"content\""), "nothing to keep");
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    let cells = [
        ("kind", "instrument"),
        ("id", "mic-30"),
        ("unit", "mm"),
        ("range", "wide"),
    ];
    for (column, (name, value)) in (0_u16..).zip(cells) {
        sheet.write(1, column, name).unwrap();
        sheet.write(2, column, value).unwrap();
    }
    let book = book.save_to_buffer().unwrap();
    let shown = hand_in(&bench, &token(&bench), "wide.xlsx", &book);
    assert_eq!(shown.status, 422, "{}", shown.body);
    let place = "<tr><td>3</td><td class=\"when\">D</td>";
    assert!(shown.body.contains(place), "{}", shown.body);
}
