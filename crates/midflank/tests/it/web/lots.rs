//! A lot at the bench by plain form posts: from the plan to the verdict, over two stations.

use ledger::{Draft, Filter, Ledger, Order, Page};
use serde_json::Value;

use super::beside::on;
use super::support::{Bench, Folder, Window, ZERO, between, post};
use crate::bench::{Bench as Desk, Run};
use crate::said::{assert_says, assert_silent, heard};

/// Five pieces, two characteristics that are measured and one that is looked at.
const PLAN: &str = r#"
unit = "mm"

[part]
name = "rating screw"
drawing = "TC-0412"
revision = "D"
plan = "IP-0412-4"

[pieces]
take = "all"
lot_size = 5
accept = 1

[[characteristic]]
number = "1"
places = ["near the head", "middle", "near the end"]

[characteristic.measure]
designation = "M10x1.5-6g"

[[characteristic]]
number = "2"
places = ["middle 0°", "middle 90°"]

[characteristic.measure]
name = "shank"
lower = "9.90"
upper = "10.00"

[[characteristic]]
number = "3"
way = "by-eye"
says = "free of burrs"
"#;

fn keep_plan(folder: &Folder, text: &str) -> Run {
    let file = folder.path().join("plan.toml");
    std::fs::write(&file, text).unwrap();
    on(
        folder,
        &["plan", file.to_str().unwrap(), "--person", "A. Quill"],
    )
}

fn begin(folder: &Folder, number: &str) {
    let run = on(
        folder,
        &[
            "lot",
            number,
            "--begin",
            "IP-0412-4",
            "--person",
            "A. Quill",
            "--order",
            "tower clock 3",
        ],
    );
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
}

/// The lot in machine-readable form: its results, and what it comes to.
fn lot(folder: &Folder, number: &str) -> (Vec<Value>, Value) {
    let mut documents = on(folder, &["lot", number, "--json"]).documents();
    let last = documents.pop().unwrap();
    (documents, last["lot"].clone())
}

fn verifies(folder: &Folder) {
    let verified = on(folder, &["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

fn entries(folder: &Folder, kind: &str) -> Vec<Value> {
    let mut listed = on(folder, &["ledger", "list", "--json", "--limit", "100"]).documents();
    listed.retain(|entry| entry["kind"] == kind);
    listed
}

/// Readings at the three places of a thread of about this size.
fn thread(size: f64) -> [String; 3] {
    [0.0, 0.001, -0.001].map(|off| format!("{:.3}", size + off))
}

fn measure(window: &mut Window<'_>, readings: &[String]) {
    for reading in readings {
        window.enter_all(&[reading]);
    }
}

#[test]
fn a_lot_from_its_plan_to_its_verdict() {
    let folder = Folder::new("lot");
    let first = Bench::start(&folder, 0, &["--station", "gauge room"]);
    let kept = keep_plan(&folder, PLAN);
    assert_eq!(kept.status, 0, "{}", kept.err);
    // The same plan again is no new entry; a changed one is.
    assert!(keep_plan(&folder, PLAN).out.contains("already recorded"));
    begin(&folder, "L-7");
    let changed = PLAN.replace("upper = \"10.00\"", "upper = \"10.01\"");
    assert!(keep_plan(&folder, &changed).out.contains("Recorded plan"));
    assert_eq!(entries(&folder, "plan").len(), 2);

    // From the number of the lot to the first reading: six answers, of which three are the zero.
    let mut window = first.window();
    let to_first = ["L-7", "", "21.4 20.9 brass", ZERO[0], ZERO[1], ZERO[2]];
    window.enter_all(&to_first);
    assert_eq!(to_first.len(), 6);
    assert_eq!(window.question(), "Piece 1, reading 1 of 3: near the head.");
    window.shows("A. Quill");

    // A piece takes as many answers as readings.
    measure(&mut window, &thread(8.930));
    assert_eq!(window.question(), "Piece 2, reading 1 of 3: near the head.");
    window.shows("judged provisional accept");
    // R takes the last back, also of the piece before.
    window.enter_all(&["R", "8.928"]);
    assert_eq!(window.question(), "Piece 2, reading 1 of 3: near the head.");
    measure(&mut window, &thread(8.925));
    let (cells, told) = lot(&folder, "L-7");
    assert!(
        cells.iter().all(|cell| cell["provisional"] == true),
        "{cells:?}"
    );
    assert_eq!((cells.len(), &told["accept"]), (2, &0.into()));
    assert_eq!(entries(&folder, "inspection").len(), 0);

    // The sheet can be printed while pieces wait for their check.
    let page = first.get("/lots/L-7");
    assert!(
        page.body.contains("/lots/L-7/sheet.pdf\" data-key=\"p\""),
        "{}",
        page.body
    );
    let sheet = first.get("/lots/L-7/sheet.pdf");
    assert_eq!(sheet.header("content-type"), Some("application/pdf"));
    assert!(sheet.body.starts_with("%PDF-1.7"));
    assert_eq!(first.get("/lots/L-8/sheet.pdf").status, 404);

    // A rejected piece stops; so does one that is undecided, and nothing but Enter leaves it.
    measure(&mut window, &thread(8.840));
    assert!(
        window.question().starts_with("Piece 3 is rejected"),
        "{}",
        window.question()
    );
    assert_eq!(window.enter("8.925"), 422);
    window.enter_all(&[""]);
    measure(&mut window, &thread(8.863));
    assert!(
        window.question().starts_with("Piece 4 is undecided"),
        "{}",
        window.question()
    );
    // All pieces are one key away.
    assert_eq!(window.enter("/pieces"), 200);
    window.shows("4 of 5");
    window.enter_all(&[""]);

    // The zero moved by 5 µm: all since the last good check are undecided, and the readings are kept.
    window.enter_all(&["Z", "10.006", "10.007", "10.006"]);
    assert!(
        window.question().starts_with("Clean the contacts"),
        "{}",
        window.question()
    );
    window.enter_all(&["the pair was knocked"]);
    window.shows("Zero had moved");
    let (cells, told) = lot(&folder, "L-7");
    assert_eq!(cells.len(), 4);
    for cell in &cells {
        assert_eq!(cell["because"], "zero-moved", "{cell}");
        assert_eq!(cell["decision"], "undecided");
    }
    assert_eq!(
        (&told["undecided"], &told["provisional"]),
        (&4.into(), &0.into())
    );
    let checks = entries(&folder, "zero-check");
    assert_eq!((checks.len(), entries(&folder, "inspection").len()), (1, 4));

    // A reload shows the same question; a new opening check is asked for, then the piece that was not measured, then the others again.
    let asked = window.question().to_owned();
    let mut window = first.window();
    assert_eq!(window.question(), asked);
    assert!(asked.starts_with("Zero check, reading 1"), "{asked}");
    window.enter_all(&ZERO);
    assert_eq!(window.question(), "Piece 5, reading 1 of 3: near the head.");
    measure(&mut window, &thread(8.931));
    assert_eq!(window.question(), "Piece 1, reading 1 of 3: near the head.");
    measure(&mut window, &thread(8.930));
    measure(&mut window, &thread(8.925));

    // Meanwhile another station measures the other characteristic of the same lot.
    let other = Bench::start(&folder, 0, &["--station", "line 2"]);
    let mut beside = other.window();
    beside.enter_all(&["L-7", "", "", "10.001", "10.001", "10.001"]);
    assert!(
        beside.question().starts_with("Piece 1, reading 1 of 2"),
        "{}",
        beside.question()
    );
    for size in [9.950, 9.951, 9.953, 9.952, 9.949] {
        // The same number at once would be asked about: was it sent twice?
        measure(&mut beside, &thread(size)[..2]);
    }
    assert!(
        beside.question().starts_with("Closing zero check"),
        "{}",
        beside.question()
    );

    // Left in the middle, and gone on with at another station.
    window.enter_all(&["8.839", "/park"]);
    assert!(first.get("/lots/L-7").body.contains("parked at gauge room"));
    beside.enter_all(&["10.001", "10.001", "10.001"]);
    beside.shows("Zero check good");
    assert!(
        beside.question().starts_with("Characteristic 2 is done: 5"),
        "{}",
        beside.question()
    );
    beside.enter_all(&["/end", "L-7"]);
    assert_eq!(beside.question(), "Piece 3, reading 2 of 3: middle.");
    measure(&mut beside, &["8.840".to_owned(), "8.841".to_owned()]);
    beside.enter_all(&[""]);
    measure(&mut beside, &thread(8.920));
    // All are measured: the closing check makes them final.
    beside.enter_all(&ZERO);
    let (cells, told) = lot(&folder, "L-7");
    let of = |piece: &str| {
        cells
            .iter()
            .find(|cell| cell["piece"] == piece && cell["characteristic"] == "1")
            .unwrap()
    };
    assert_eq!(of("1")["decision"], "accept");
    assert_eq!(of("3")["decision"], "reject");
    assert_eq!(told["because"], "not-measured");
    // By eye, one answer a piece.
    beside.enter_all(&[""]);
    assert_eq!(beside.question(), "Piece 1: free of burrs?");
    assert_eq!(beside.enter(""), 422);
    beside.enter_all(&["y", "y", "y", "y", "y"]);
    // The lot is decided with the last answer, and the bench says so, with what is left.
    beside.shows("Lot L-7 is accepted.");
    beside.shows("Everything the plan asks for is measured.");
    beside.shows("To be decided on: piece 3");
    let (_, told) = lot(&folder, "L-7");
    assert_eq!(
        (&told["accept"], &told["reject"], &told["verdict"]),
        (&4.into(), &1.into(), &"accept".into())
    );

    // The page of the lot, and the record: every entry is computed again.
    let page = first.get("/lots/L-7").body;
    for text in [
        "IP-0412-4",
        "tower clock 3",
        "4 accepted, 1 rejected",
        "Set-up changes: 2",
        "Earlier results",
    ] {
        assert!(page.contains(text), "no {text:?} in {page}");
    }
    // The list says how each lot stands, also one of which nothing is measured.
    begin(&folder, "L-8");
    let list = first.get("/lots").body;
    let row = |number: &str| between(&list, &format!("href=\"/lots/{number}\""), "</tr>");
    assert!(row("L-7").contains("judged accept"), "{list}");
    assert_says(row("L-8"), "lots.open");
    assert!(row("L-8").contains("0 of 5 pieces"), "{list}");
    assert!(first.get("/lot/L-7").body.contains("/lots/L-7"));
    assert_eq!(first.get("/lots/L-9").status, 404);
    verifies(&folder);

    // Each of these forged is found, though it is hashed anew.
    drop((first, other));
    let forged = |kind: &str, forge: &dyn Fn(&mut Draft)| {
        let copy = folder.path().join("forged.db");
        let _ = std::fs::remove_file(&copy);
        std::fs::copy(folder.path().join("ledger.db"), &copy).unwrap();
        let ledger = Ledger::open(&copy).unwrap();
        let filter = Filter {
            kind: Some(kind.to_owned()),
            ..Filter::default()
        };
        let page = Page::first(Order::OldestFirst, 1);
        let mut draft = ledger
            .list(&filter, &page)
            .unwrap()
            .entries
            .remove(0)
            .content;
        forge(&mut draft);
        ledger.append(&draft).unwrap();
        drop(ledger);
        let verified = Desk::new().run(&["--ledger", copy.to_str().unwrap(), "ledger", "verify"]);
        assert_ne!(verified.status, 0, "{kind}: {}", verified.out);
    };
    let swap = |text: &mut String, from: &str, to: &str| {
        assert!(text.contains(from), "no {from} in {text}");
        *text = text.replace(from, to);
    };
    forged("zero-check", &|draft| {
        swap(&mut draft.results, "\"good\":false", "\"good\":true")
    });
    forged("lot", &|draft| {
        swap(&mut draft.inputs, "\"n\":5", "\"n\":4")
    });
    forged("plan", &|draft| {
        swap(&mut draft.inputs, "IP-0412-4", "IP-0412-5")
    });
    forged("found", &|draft| {
        swap(&mut draft.inputs, "\"conforms\":true", "\"conforms\":false")
    });
}

/// With as many nonconforming pieces as the rejection number nothing that is not measured yet can change the verdict: the bench
/// says so at once, and what was not measured.
#[test]
fn an_early_stop_is_told_at_the_bench() {
    let folder = Folder::new("early");
    let bench = Bench::start(&folder, 0, &["--station", "gauge room"]);
    keep_plan(&folder, PLAN);
    begin(&folder, "L-7");
    let mut window = bench.window();
    window.enter_all(&["L-7 / 3", "n burr"]);
    assert!(
        window.question().starts_with("Piece 1 does not conform"),
        "{}",
        window.question()
    );
    window.enter_all(&["", "y", "n burr"]);
    // R takes the answer back, and the piece is asked for again.
    window.enter_all(&["R"]);
    assert_eq!(window.question(), "Piece 3: free of burrs?");
    window.enter_all(&["n burr", "", "/end"]);
    window.shows("Lot L-7 is rejected");
    window.shows("only rework of a rejected piece can");
    window.shows("1 (0 of 5 pieces), 2 (0 of 5 pieces), 3 (3 of 5 pieces)");
    window.shows("To be decided on: piece 1, 3");
    let (_, told) = lot(&folder, "L-7");
    assert_eq!(
        (&told["verdict"], &told["reject"]),
        (&"reject".into(), &2.into())
    );
    // The record names the answer that was taken back, and only that of its piece.
    let found = |piece: &str| {
        let (cells, _) = lot(&folder, "L-7");
        let cell = cells.iter().find(|cell| cell["piece"] == piece).unwrap();
        on(&folder, &["report", cell["entry"].as_str().unwrap()]).out
    };
    assert_says(&found("3"), "lots.taken-back");
    assert_silent(&found("1"), "lots.taken-back");
    // It is told once.
    window.enter_all(&["3"]);
    assert_eq!(window.question(), "Piece 4: free of burrs?");
    window.enter_all(&["y", "y"]);
    assert!(!window.page.contains("is rejected:"), "{}", window.page);
    verifies(&folder);
}

/// From the page of the lot by its link to the form, and from that to the report; what is typed wrong is shown with the form.
fn first_article(bench: &Bench, lot_page: &str) {
    let address = "/lots/L-7/first-article";
    assert!(
        lot_page.contains(&format!("href=\"{address}\"")),
        "{lot_page}"
    );
    let form = bench.get(address);
    assert_eq!(form.status, 200);
    for name in ["piece", "serial", "certificates", "remarks"] {
        assert!(form.body.contains(&format!("for=\"{name}\"")), "{name}");
    }
    let filled = "piece=2&serial=0002&part_number=TC-1&extent=full&certificates=material%3B+brass%3B%3B+M-77812\
                  &remarks=3%3B+note+3%3B+deburred+later";
    let page = bench.get(&format!("{address}/sheet?{filled}"));
    assert_eq!(page.status, 200, "{}", page.body);
    for told in ["0002", "TC-1", "M-77812", "deburred later", "UNDECIDED"] {
        assert!(page.body.contains(told), "{told}: {}", page.body);
    }
    let pdf = bench.get(&format!("{address}/sheet.pdf?{filled}"));
    assert_eq!(pdf.header("content-type"), Some("application/pdf"));
    for wrong in [
        "piece=2&extent=partial",
        "piece=2&extent=all",
        "piece=99",
        "piece=2&certificates=M-77812",
        "piece=2&remarks=2",
    ] {
        let page = bench.get(&format!("{address}/sheet?{wrong}&serial=S-17"));
        assert_eq!(page.status, 422, "{wrong}");
        assert!(page.body.contains("role=\"alert\""), "{wrong}");
        assert!(page.body.contains("S-17"), "what was typed stays: {wrong}");
    }
    let all = format!("{address}/sheet?piece=2&extent=all&certificates=M-77812&remarks=2");
    let page = bench.get(&all).body;
    assert_eq!(page.matches("aria-invalid").count(), 3, "{page}");
    assert_eq!(page.matches(" autofocus").count(), 1, "{page}");
    assert_eq!(bench.get("/lots/L-8/first-article").status, 404);
    issue(bench, address);
}

/// The button records it, and the page of the lot lists it; the other buttons leave the token out of their addresses.
fn issue(bench: &Bench, address: &str) {
    let form = bench.get(address).body;
    assert!(!form.contains("type=\"hidden\" name=\"token\""), "{form}");
    let typed = [
        ("piece", "2"),
        ("serial", "0002"),
        ("report", "FA-7"),
        ("extent", "full"),
        ("certificates", "material; brass; ; M-77812"),
    ];
    let send = |person: &'static str| {
        let typed = [&typed[..], &[("person", person)]].concat();
        post(bench, address, address, &typed)
    };
    let nobody = send(" ");
    assert_eq!(nobody.status, 422, "{}", nobody.body);
    assert!(nobody.body.contains("0002"), "what was typed stays");
    let stale = bench.request(
        "POST",
        address,
        &[("Content-Type", "application/x-www-form-urlencoded")],
        "token=0&piece=2&person=A.+Quill",
    );
    assert_eq!(stale.status, 422, "{}", stale.body);
    let issued = send("A. Quill");
    assert_eq!(issued.status, 303, "{}", issued.body);
    let place = issued.header("location").unwrap();
    let record = bench.get(place).body;
    for told in ["FA-7", "0002", "M-77812", "UNDECIDED"] {
        assert!(record.contains(told), "{told}: {record}");
    }
    assert!(!record.contains("DRAFT"), "{record}");
    let lot = bench.get("/lots/L-7").body;
    assert!(lot.contains(&format!("href=\"{place}\"")), "{lot}");
    let pdf = format!("{}.pdf", place.replace("/record/", "/records/"));
    assert!(lot.contains(&format!("href=\"{pdf}\"")), "{lot}");
    let printed = bench.get(&pdf);
    assert_eq!(printed.header("content-type"), Some("application/pdf"));
    assert_eq!(printed.body, bench.get(&pdf).body);
    // The same number is issued once.
    assert_eq!(send("A. Quill").status, 422);
}

/// The sheet in every form has the same sections: as text, as one HTML file, and as a page.
#[test]
fn the_sheet_as_text_and_html() {
    let folder = Folder::new("sheet-html");
    let bench = Bench::start(&folder, 0, &["--station", "gauge room"]);
    keep_plan(&folder, PLAN);
    begin(&folder, "L-7");
    let mut window = bench.window();
    window.enter_all(&["L-7", "", "21.4 20.9 brass", ZERO[0], ZERO[1], ZERO[2]]);
    for size in [8.930, 8.931, 8.925] {
        measure(&mut window, &thread(size));
    }
    window.enter_all(&["Z", ZERO[0], ZERO[1], ZERO[2]]);
    let text = on(&folder, &["lot", "L-7"]).out;
    let file = folder.path().join("sheet.html");
    let to = file.to_str().unwrap();
    let run = on(&folder, &["lot", "L-7", "--html", to]);
    assert_eq!(run.status, 0, "{}", run.err);
    let html = heard(std::fs::read_to_string(&file).unwrap());
    let page = bench.get("/lots/L-7/sheet");
    assert_eq!(page.status, 200);
    let lot_page = bench.get("/lots/L-7").body;
    for told in [
        "rating screw",
        "tower clock 3",
        "inspection plan IP-0412-4",
        "2 of 5 pieces were not measured.",
        "characteristic 2",
        "mic-04",
        "certificate K-2231",
    ] {
        for sheet in [&text, &html, &page.body] {
            assert!(sheet.contains(told), "no {told:?} in {sheet}");
        }
    }
    // A drawing is a picture in one, and told in words in the other.
    assert!(html.contains("<svg class=\"drawn\""), "{html}");
    assert!(html.contains("Run chart of characteristic 1"), "{html}");
    assert!(text.contains("Run chart of characteristic 1"), "{text}");
    assert!(!html.contains("http://") && !html.contains("https://") && !html.contains("<script"));
    assert!(html.contains("default-src 'none'"));
    // The page of the lot leads to the sheet and does not hold it: the sheet reads every result itself.
    assert!(lot_page.contains("href=\"/lots/L-7/sheet\""), "{lot_page}");
    assert!(!lot_page.contains("Run chart"), "{lot_page}");
    // Nothing is written over unasked.
    assert_ne!(on(&folder, &["lot", "L-7", "--html", to]).status, 0);
    assert_eq!(
        on(&folder, &["lot", "L-7", "--html", to, "--replace"]).status,
        0
    );
    assert_eq!(bench.get("/lots/L-8/sheet").status, 404);
    first_article(&bench, &lot_page);

    // The list of its entries is one table: three pieces, one characteristic; then what is of no piece.
    let listed = on(&folder, &["ledger", "list", "--lot", "L-7"]).out;
    let lines: Vec<&str> = listed.lines().collect();
    assert!(
        lines[0].starts_with("Piece") && lines[0].ends_with("1 M10x1.5-6g pitch-diameter"),
        "{listed}"
    );
    for (line, piece) in lines[1..4].iter().zip(["1", "2", "3"]) {
        let told = line.to_lowercase();
        assert!(
            line.starts_with(piece) && told.contains("accept"),
            "{listed}"
        );
    }
    // With the first article that was issued.
    assert_eq!(lines.len(), 7, "{listed}");
    assert!(listed.contains("first article FA-7"), "{listed}");
    assert!(listed.contains("zero check, lot L-7"), "{listed}");
}

/// One place and one reading: the page says why there is no size and which keys go on, and the next piece is read as the plan has it.
#[test]
fn a_piece_read_once_is_no_dead_end() {
    let folder = Folder::new("read-once");
    let bench = Bench::start(&folder, 0, &[]);
    let once = PLAN.replace(
        "places = [\"middle 0°\", \"middle 90°\"]",
        "places = [\"middle\"]",
    );
    let kept = keep_plan(&folder, &once);
    assert_eq!(kept.status, 0, "{}", kept.err);
    crate::said::assert_says(&kept.err, "plan-note.one-place");
    crate::said::assert_says(&kept.err, "plan-note.one-reading");
    begin(&folder, "L-7");
    let mut window = bench.window();
    window.enter_all(&["L-7 / 2", "", "", ZERO[0], ZERO[1], ZERO[2]]);
    window.enter_all(&["9.950"]);
    crate::said::assert_says(window.question(), "run.stop-no-size");
    window.shows("nothing of the scatter");
    crate::said::assert_silent(&window.page, "run.enter-goes-on");
    window.enter_all(&["m", "9.951", "9.950"]);
    assert_eq!(window.question(), "Piece 2, reading 1 of 1: middle.");
    // The run ends with its check, and there is nothing more to enter.
    window.enter_all(&["e", ZERO[0], ZERO[1], ZERO[2]]);
    crate::said::assert_says(&window.page, "run.ended-left");
}
