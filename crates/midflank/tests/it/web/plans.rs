//! A plan made line by line: checked as it stands, kept by the code of the command, opened again and changed.

use serde_json::Value;

use super::beside::on;
use super::support::{Answer, Bench, Folder, form};
use crate::bench::root;

fn plans(folder: &Folder) -> Vec<Value> {
    let mut listed = on(folder, &["ledger", "list", "--json", "--limit", "100"]).documents();
    listed.retain(|entry| entry["kind"] == "plan");
    listed
}

/// The fields of a page as a browser would send them.
#[derive(Clone, Debug)]
struct Fields(Vec<(String, String)>);

impl Fields {
    fn of(body: &str) -> Self {
        let (_, rest) = body.split_once("action=\"/plans\"").unwrap();
        let (form, _) = rest.split_once("</form>").unwrap();
        let value = |tag: &str, name: &str| {
            let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
            Some(plain(rest.split_once('"')?.0))
        };
        let mut fields = Vec::new();
        for tag in form.split('<').skip(1) {
            let end = tag.find('>').unwrap_or(tag.len());
            let (tag, kind) = (&tag[..end], tag.split([' ', '>']).next().unwrap());
            match (kind, value(tag, "name")) {
                ("input", Some(name)) => {
                    fields.push((name, value(tag, "value").unwrap_or_default()));
                }
                ("select", Some(name)) => fields.push((name, String::new())),
                ("option", _) if tag.contains(" selected") => {
                    fields.last_mut().unwrap().1 = value(tag, "value").unwrap();
                }
                _ => {}
            }
        }
        Self(fields)
    }

    fn set(&mut self, name: &str, value: &str) -> &mut Self {
        self.nth(name, 0, value)
    }

    /// The field of this name in a line, from 0.
    fn nth(&mut self, name: &str, line: usize, value: &str) -> &mut Self {
        let mut all = self.0.iter_mut().filter(|(known, _)| known == name);
        value.clone_into(&mut all.nth(line).unwrap_or_else(|| panic!("{name} {line}")).1);
        self
    }

    fn all(&self, name: &str) -> Vec<&str> {
        let all = self.0.iter().filter(|(known, _)| known == name);
        all.map(|(_, value)| value.as_str()).collect()
    }

    fn send(&self, bench: &Bench, asked: &str) -> Answer {
        let kind = ("Content-Type", "application/x-www-form-urlencoded");
        let mut all: Vec<(&str, String)> = vec![("do", asked.to_owned())];
        all.extend(
            self.0
                .iter()
                .map(|(name, value)| (name.as_str(), value.clone())),
        );
        bench.request("POST", "/plans", &[kind], &form(&all))
    }

    /// Types a line into the empty one at the end, and has it checked.
    fn type_line(&mut self, bench: &Bench, line: [&str; 4]) -> String {
        let at = self.all("number").len() - 1;
        for (name, value) in ["requirement", "places", "way", "class"].iter().zip(line) {
            self.nth(name, at, value);
        }
        let answer = self.send(bench, "check");
        assert_eq!(answer.status, 200, "{}", answer.body);
        *self = Self::of(&answer.body);
        answer.body
    }
}

fn plain(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}

/// What a page says, without its marks.
fn words(body: &str) -> String {
    let text = body
        .split('<')
        .filter_map(|tag| Some(tag.split_once('>')?.1));
    plain(&text.collect::<Vec<_>>().join(""))
}

const HEAD: [(&str, &str); 11] = [
    ("part", "hand setting bush"),
    ("drawing", "TC-0431"),
    ("revision", "B"),
    ("plan", "IP-0431-2"),
    ("take", "105e"),
    ("lot_size", "280"),
    ("level", "II"),
    ("aql", "4.0"),
    ("rule", "iso14253-1"),
    ("agreed", "order TC-3, clause 6"),
    ("person", "A. Quill"),
];

/// The demonstration plan, typed; it is the entry that the file makes.
#[test]
fn a_plan_is_typed_line_by_line_and_kept() {
    let folder = Folder::new("plans");
    let bench = Bench::start(&folder, 0, &[]);
    assert!(bench.get("/lots").body.contains("href=\"/plans/new\""));
    let page = bench.get("/plans/new").body;
    assert!(!page.contains("aria-invalid"), "{page}");
    let mut fields = Fields::of(&page);
    for (key, value) in HEAD {
        fields.set(key, value);
    }
    let body = fields.type_line(
        &bench,
        ["M10x1.5-6g", "near the head; near the end", "", "key"],
    );
    assert!(
        words(&body).contains("pitch diameter: 8.862 to 8.994 mm"),
        "{}",
        words(&body)
    );
    // What cannot be meant is told at its line, and the next line waits.
    let body = fields.type_line(&bench, ["M8x1.24-6g", "middle 0°; middle 90°", "", ""]);
    assert!(
        body.contains("id=\"requirement-1-wrong\" role=\"alert\"><span class=\"refusal\""),
        "{body}"
    );
    fields.nth("requirement", 1, "M8x1.25-6g");
    fields.type_line(
        &bench,
        ["shank 9.90 to 10.00", "middle 0°; middle 90°", "", ""],
    );
    fields.type_line(
        &bench,
        [
            "collar width 8.10 +0.1 -0.1",
            "middle 0°; middle 90°",
            "",
            "",
        ],
    );
    let collar = "collar diameter 14.00 ± 0.10; feature none";
    fields.type_line(&bench, [collar, "middle 0°; middle 90°", "", ""]);
    let wall = fields.type_line(
        &bench,
        [
            "wall of the bush 2.05 ± 0.15",
            "0°; 90°; 180°; 270°",
            "",
            "",
        ],
    );
    assert!(words(&wall).contains("bore"), "{}", words(&wall));
    fields.nth("requirement", 5, "wall of the bush 2.05 ± 0.15; bore 9.9");
    let ring = "GO ring M10x1.5-6g; gauge go-ring; measure M10x1.5-6g";
    fields.type_line(&bench, [ring, "", "gauge", ""]);
    fields.type_line(&bench, ["free of burrs", "", "by-eye", ""]);
    let last = "material CW614N by certificate 3.1";
    let body = fields.type_line(&bench, [last, "", "document", ""]);
    assert!(words(&body).contains("1.90 to 2.20 mm"), "{}", words(&body));
    assert_eq!(
        fields.all("number"),
        ["1", "2", "3", "4", "5", "6", "7", "8", "9", ""]
    );
    assert_eq!(plans(&folder).len(), 0);
    // `8.10 +0.1 -0.1` has limits of two decimals, as the file states them.
    let kept = fields.send(&bench, "keep");
    assert_eq!(kept.status, 303, "{}", words(&kept.body));
    assert_eq!(plans(&folder).len(), 1);
    let file = root().join("demo/lot/nine.toml");
    let same = on(
        &folder,
        &["plan", file.to_str().unwrap(), "--person", "A. Quill"],
    );
    assert!(
        same.out.contains("already recorded"),
        "{}{}",
        same.out,
        same.err
    );
    assert_eq!(on(&folder, &["ledger", "verify"]).status, 0);
}

/// What is wrong is told all at once, and nothing is recorded.
#[test]
fn a_plan_with_mistakes_is_not_kept() {
    let folder = Folder::new("plans-wrong");
    let bench = Bench::start(&folder, 0, &[]);
    let mut fields = Fields::of(&bench.get("/plans/new").body);
    fields.type_line(&bench, ["tube wall 2.0 to 2.1", "", "", ""]);
    fields.type_line(
        &bench,
        ["shank 9.9 to 10.0; lenght 3", "middle; middle", "", ""],
    );
    fields.nth("number", 1, "1").set("take", "fixed");
    let kept = fields.send(&bench, "keep");
    assert_eq!(kept.status, 422);
    for id in [
        "head-part-wrong",
        "head-n-wrong",
        "requirement-0-wrong",
        "requirement-1-wrong",
        "places-1-wrong",
        "number-1-wrong",
    ] {
        let told = format!("id=\"{id}\" role=\"alert\"><span class=\"refusal\"");
        assert!(kept.body.contains(&told), "{id}: {}", kept.body);
    }
    assert_eq!(plans(&folder).len(), 0);
    // A form of another page changes nothing, and neither does one without anybody's name.
    fields.set("token", "0");
    assert_eq!(fields.send(&bench, "keep").status, 403);
    let mut fields = Fields::of(&bench.get("/plans/new").body);
    fields.set("part", "bush").set("drawing", "TC-9");
    fields.type_line(&bench, ["M8x1.25-6g", "", "", ""]);
    fields.set("person", "");
    assert_eq!(fields.send(&bench, "keep").status, 422);
    assert_eq!(plans(&folder).len(), 0);
}

#[test]
fn a_known_plan_is_changed_by_a_new_entry() {
    let folder = Folder::new("plans-change");
    let bench = Bench::start(&folder, 0, &[]);
    let file = root().join("demo/lot/nine.toml");
    let kept = on(
        &folder,
        &["plan", file.to_str().unwrap(), "--person", "A. Quill"],
    );
    assert_eq!(kept.status, 0, "{}", kept.err);
    let lots = bench.get("/lots").body;
    let (_, rest) = lots.split_once("href=\"/plans/").unwrap();
    let address = format!("/plans/{}", rest.split_once('"').unwrap().0);
    let mut fields = Fields::of(&bench.get(&address).body);
    assert_eq!(
        fields.all("requirement")[5],
        "wall of the bush 1.90 to 2.20; bore 9.9"
    );
    fields.set("person", "A. Quill");
    // Unchanged it is no entry.
    let same = fields.send(&bench, "keep");
    assert_eq!(same.status, 200, "{}", words(&same.body));
    assert_eq!(plans(&folder).len(), 1);
    fields.nth("requirement", 2, "shank 9.90 to 10.01");
    let changed = fields.send(&bench, "keep");
    assert_eq!(changed.status, 303, "{}", words(&changed.body));
    assert_eq!(plans(&folder).len(), 2);
    let place = changed.header("location").unwrap().to_owned();
    let now = Fields::of(&bench.get(&place).body);
    assert_eq!(now.all("requirement")[2], "shank 9.90 to 10.01");
    // The page that was open before is of an older plan, and a new plan cannot take a number that is taken.
    assert_eq!(fields.send(&bench, "keep").status, 409);
    assert_eq!(bench.get(&address).status, 404);
    let mut again = now.clone();
    again.set("base", "");
    assert_eq!(again.send(&bench, "keep").status, 422);
    assert_eq!(plans(&folder).len(), 2);
}

/// A thread note is offered split; what was typed stands in its place until somebody asks for more.
#[test]
fn a_thread_note_is_split_at_its_line() {
    let folder = Folder::new("plans-split");
    let bench = Bench::start(&folder, 0, &[]);
    let mut fields = Fields::of(&bench.get("/plans/new").body);
    fields.set("part", "bush").set("drawing", "TC-9");
    fields.type_line(
        &bench,
        ["M10x1.5-6g; edition ISO 965-1:1998", "middle", "", "key"],
    );
    fields.nth("number", 0, "4");
    let body = fields.type_line(&bench, ["free of burrs", "", "by-eye", ""]);
    assert!(body.contains("value=\"split-0\"") && !body.contains("value=\"split-1\""));
    let split = fields.send(&bench, "split-0");
    assert_eq!(split.status, 200);
    let fields = Fields::of(&split.body);
    assert_eq!(fields.all("number"), ["4.1", "4.2", "4.3", "4.4", "5", ""]);
    let requirement = fields.all("requirement");
    assert_eq!(
        requirement[0],
        "M10x1.5-6g major diameter; edition ISO 965-1:1998"
    );
    assert_eq!(requirement[1], "M10x1.5-6g; edition ISO 965-1:1998");
    assert_eq!(
        fields.all("way")[..5],
        ["", "", "gauge", "by-eye", "by-eye"]
    );
    assert_eq!(fields.all("class")[..5], ["key", "key", "key", "key", ""]);
    assert_eq!(fields.all("places")[..4], ["middle", "middle", "", ""]);
    assert!(requirement[2].contains("functional diameter at most 8.994 mm"));
    assert!(requirement[3].contains("minor diameter at most 8.344 mm"));
    let told = words(&split.body);
    for limits in [
        "9.732 to 9.968 mm",
        "8.862 to 8.994 mm",
        "M10x1.5-6g, major diameter",
    ] {
        assert!(told.contains(limits), "{limits}: {told}");
    }
    assert_eq!(plans(&folder).len(), 0);
    // No line of that number is no mistake of the program.
    assert_eq!(fields.send(&bench, "split-99").status, 200);
    assert_eq!(fields.send(&bench, "split-x").status, 200);
}
