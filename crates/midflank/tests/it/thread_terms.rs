//! Threads of which the drawing says more than a designation: the plane of a taper thread, limits of its own, a coating.

use serde_json::Value;

use crate::bench::{Bench, changed, demo};
use crate::said::{assert_says, warns};

/// One of a list by its code or quantity.
fn named<'a>(list: &'a Value, key: &str, name: &str) -> &'a Value {
    let all = list.as_array().unwrap();
    all.iter()
        .find(|one| one[key] == name)
        .unwrap_or_else(|| panic!("no {name} in {list}"))
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

fn taper(from: &str, to: &str) -> crate::bench::Run {
    Bench::new().inspect(&changed("taper-thread", from, to))
}

fn plated(from: &str, to: &str) -> crate::bench::Run {
    Bench::new().inspect(&changed("before-plating", from, to))
}

/// What the drawing says of limits, in place of those of the example.
fn with_limits(limits: &str, coating: &str) -> crate::bench::Run {
    let text = changed(
        "before-plating",
        "lower = \"8.820\"                      # limits of the drawing\nupper = \"8.940\"\norigin = \"TC-0431 rev D, note 6: before plating\"\n",
        limits,
    );
    let (before, rest) = text.split_once("[measure.coating]").unwrap();
    let (_, after) = rest.split_once("[instrument]").unwrap();
    Bench::new().inspect(&format!("{before}{coating}\n[instrument]{after}"))
}

/// The limits of 6g hold before coating. By hand: 8.889 mm after at least 7 µm of coating was at most 8.861 mm before it, and 8.862 is
/// the smallest then; of at least 5 µm it may have been 8.869.
#[test]
fn a_thread_too_small_before_plating_is_not_accepted_after_it() {
    let read = |thickness: &str| {
        let coating = format!("thickness = \"{thickness}\"\nstate = \"after-coating\"\n");
        let run = with_limits("", &format!("[measure.coating]\n{coating}"));
        let decided = run.json()["decision"].clone();
        (decided["decision"].clone(), decided["because"].clone())
    };
    assert_eq!(read("7um..8um"), ("undecided".into(), "bare-beyond".into()));
    assert_eq!(read("5um..8um"), ("accept".into(), Value::Null));
}

/// One place of 1/2-14 NPT: what a formula for parallel threads misses, 9.9 µm by the formula in print and 0.5 µm less
/// exactly.
#[test]
fn a_half_inch_npt_over_three_wires_at_a_plane() {
    let text = demo("taper-thread");
    let (before, _) = text
        .split_once("[[readings.place]]\nalong = \"4.51\"")
        .unwrap();
    let (_, after) = text.split_once("[temperature]").unwrap();
    let one = format!("{before}[temperature]{after}").replace(
        "values = [\"21.083\", \"21.084\"]",
        "values = [\"21.083\", \"21.083\"]",
    );
    let one = one.replace("plane = \"4.06\"", "scope = \"place\"\nplane = \"4.06\"");
    let result = Bench::new().inspect(&one).json();
    assert_eq!(
        result["characteristic"],
        "1/2-14 NPT, pitch diameter 4.06 mm from the small end"
    );
    let inch = 25.4;
    let taper = number(&named(&result["corrections"], "name", "taper")["value"]) * inch * 1e3;
    assert!((taper - 9.27).abs() < 0.05, "{taper} µm");
    // By the formula in print, with the lead of 0.67 µm taken off the corrected size over the wires.
    let add = |name| number(&named(&result["corrections"], "name", name)["value"]) * inch;
    let over = 21.083 + add("zero") + add("temperature") + add("measuring-force");
    let pitch = inch / 14.0;
    let printed = 1.00049 * over + 0.86603 * pitch - 3.00049 * 1.0475;
    let size = number(&result["size"]["value"]) * inch;
    assert!(
        (printed - size - 1.17e-3).abs() < 0.1e-3,
        "{printed} {size}"
    );
    // E0 + 4.06 mm/16 and a turn of the gauge over 16 (ASME B1.20.1).
    let basic = 0.75843 + 4.06 / inch / 16.0;
    for (bound, limit) in [("min", basic - 0.00446), ("max", basic + 0.00446)] {
        assert!((number(&result["limits"][bound]) - limit).abs() < 1e-8);
    }
    let plane = named(&result["budget"], "quantity", "measuring-plane");
    let contribution = number(&plane["contribution"]) * inch;
    assert!(
        (contribution - 0.2 / 16.0 / 3f64.sqrt()).abs() < 2e-5,
        "{contribution}"
    );
    assert_eq!(result["decision"]["decision"], "accept");
    assert!(
        result["cautions"].to_string().contains("pressure"),
        "{}",
        result["cautions"]
    );
}

/// A plane that nobody said how well is known makes nearly all of U: that is told, and goes with a stated limit.
#[test]
fn a_plane_within_the_default_is_warned_of() {
    let bench = Bench::new();
    let stated = demo("taper-thread");
    let line = stated.lines().find(|line| line.starts_with("plane_within"));
    let usual = bench.inspect(&stated.replace(line.unwrap(), ""));
    assert!(warns(&usual.json(), "plane-usual"), "{}", usual.out);
    assert!(
        usual.out.contains("plane within 0.019685 in"),
        "{}",
        usual.out
    );
    let result = bench.inspect(&stated).json();
    assert!(!warns(&result, "plane-usual"));
    let listed = bench.run(&["default", "list"]).out;
    let plane = listed.lines().find(|line| line.starts_with("plane "));
    assert!(plane.unwrap().contains(" 0.5 mm "), "{listed}");
}

/// Who says nothing of how a thread was made is told what it was taken as; over wires the same as under V and cone.
#[test]
fn a_thread_over_wires_is_taken_as_rolled_and_says_so() {
    let line = |job: &str| {
        let result = Bench::new().inspect(job).json();
        let pitch = named(&result["budget"], "quantity", "pitch-error").clone();
        let note = pitch["note"].as_str().unwrap().to_owned();
        (number(&pitch["contribution"]), note)
    };
    let usual = demo("taper-thread");
    let ground = usual.replace("flank_angle = 10", "made = \"ground\"\nflank_angle = 10");
    let ((rolled, taken), (ground, stated)) = (line(&usual), line(&ground));
    assert!((rolled / ground - 3.0).abs() < 1e-6, "{rolled} {ground}");
    let said = "thread assumed rolled, otherwise state `made = ...`";
    assert!(taken.contains(said), "{taken}");
    assert!(stated.contains("not approved; ground thread"), "{stated}");
}

/// A taper thread holds no pressure by a wall: it has a caution of its own, once.
#[test]
fn a_taper_thread_has_its_own_caution() {
    let stated = demo("taper-thread");
    let pressure = stated.replacen("\n[part]", "service = \"pressure\"\n\n[part]", 1);
    for job in [stated, pressure] {
        let result = Bench::new().inspect(&job).json();
        let cautions = result["cautions"].as_array().unwrap();
        assert_eq!(cautions.len(), 1, "{cautions:?}");
        assert_says(cautions[0].as_str().unwrap(), "caution.taper-thread");
    }
}

/// Limits that rest on a class nobody wrote: said beside the verdict, in text and on paper.
#[test]
fn a_class_that_was_taken_stands_beside_the_verdict() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[("M10x1.5-6g", "M10x1.5")]);
    let html = bench.path("report.html");
    let run = bench.run(&["inspect", job.to_str().unwrap()]);
    let said = "ACCEPT\nClass not stated: 6g, the default of ISO 965-1.\n";
    assert!(run.out.starts_with(said), "{}", run.out);
    let recorded = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let written = bench.run(&["report", "1", "--html", html.to_str().unwrap()]);
    assert_eq!(written.status, 0, "{}", written.err);
    let page = std::fs::read_to_string(html).unwrap();
    let (verdict, _) = page.split_once("</section>").unwrap();
    assert!(verdict.contains("Class not stated: 6g"), "{verdict}");
}

/// Readings a quarter turn apart lie a quarter of a pitch apart, 28 µm of diameter: carried to the plane they agree.
#[test]
fn places_of_a_taper_thread_are_carried_to_its_plane() {
    let result = Bench::new().inspect(&demo("taper-thread")).json();
    let corrected: Vec<f64> = result["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|reading| number(&reading["corrected"]) * 25.4)
        .collect();
    assert!(
        (corrected[0] - corrected[2]).abs() < 0.5e-3,
        "{corrected:?}"
    );
    let sum: f64 = result["corrections"]
        .as_array()
        .unwrap()
        .iter()
        .map(|correction| number(&correction["value"]))
        .sum();
    let mean = (21.083 + 21.084 + 21.111 + 21.112) / 4.0 / 25.4;
    let size = number(&result["mean"]["size"]["value"]);
    assert!((mean + sum - size).abs() < 1e-9, "{} {size}", mean + sum);
}

#[test]
fn the_place_of_the_plane_is_never_taken_for_exact() {
    let result = taper("plane_within = \"0.2\"", "# plane_within = \"0.2\"").json();
    let plane = named(&result["budget"], "quantity", "measuring-plane");
    let contribution = number(&plane["contribution"]) * 25.4;
    assert!(
        (contribution - 0.5 / 16.0 / 3f64.sqrt()).abs() < 5e-5,
        "{contribution}"
    );
    assert_says(&plane["note"].to_string(), "note.plane-usual");
}

#[test]
fn a_plane_by_the_name_of_the_standard() {
    let result = taper("plane = \"4.06\"", "plane = \"hand-tight\"").json();
    assert!((number(&result["limits"]["max"]) - 0.78289).abs() < 1e-9);
    // 13 µm of every millimetre that R 1/2 is off its gauge plane; basic 19.793 ± 1.8/16 mm (ISO 7-1).
    let text = changed("taper-thread", "1/2-14 NPT external", "R 1/2");
    let text = text.replace("plane = \"4.06\"", "plane = \"gauge-plane\"");
    let limits = Bench::new().inspect(&text).json()["limits"].clone();
    assert!(
        (number(&limits["min"]) - (19.793 - 0.1125)).abs() < 1e-9,
        "{limits}"
    );
}

#[test]
fn what_a_taper_thread_needs_is_asked_for() {
    taper("plane = \"4.06\"", "# plane").refused(&["jobfile.plane-within-alone"]);
    let text = demo("taper-thread");
    let without = text.lines().filter(|line| !line.starts_with("plane"));
    let without: String = without.map(|line| format!("{line}\n")).collect();
    Bench::new()
        .inspect(&without)
        .refused(&["job.taper-without-position", "taper-place.hand-tight"]);
    taper("plane = \"4.06\"", "plane = \"mid-length\"").refused(&["terms.no-such-plane"]);
    taper("plane = \"4.06\"", "plane = \"25\"").refused(&["taper.outside"]);
    taper("plane = \"4.06\"", "plane = \"15\"").refused(&["terms.no-limits-there"]);
    taper(
        "plane = \"4.06\"",
        "diameter = \"major-diameter\"\nplane = \"4.06\"",
    )
    .refused(&["terms.taper-diameter"]);
    taper("NPT external", "NPT internal").refused(&["wires-unfit.not-pitch-diameter"]);
    taper("along = \"4.51\"", "along = \"near the end\"").refused(&["terms.place-nowhere"]);
    taper("along = \"4.51\"", "along = \"4.06\"").refused(&["terms.same-plane"]);
    taper("plane_within = \"0.2\"", "plane_within = \"-0.2\"")
        .refused(&["job.negative", "field.plane-within"]);
    taper("1/2-14 NPT external", "M20-6g").refused(&["terms.plane-on-parallel"]);
}

/// V and cone, and flat faces without wires, show nothing of a taper thread.
#[test]
fn a_taper_thread_is_measured_over_wires_alone() {
    let text = demo("taper-thread");
    let (before, rest) = text.split_once("[wires]").unwrap();
    let (_, after) = rest.split_once("[standard]").unwrap();
    let bare = format!("{before}[standard]{after}");
    Bench::new()
        .inspect(&bare)
        .refused(&["contacts-unfit.on-taper"]);
    let text = bare
        .replace(
            "kind = \"flat\"",
            "kind = \"v-and-cone\"\nincluded_angle = 60",
        )
        .replace("form = \"plain\"", "form = \"v-and-cone-rod\"");
    Bench::new()
        .inspect(&text)
        .refused(&["contacts-unfit.on-taper"]);
    // Nor with a reason.
    let text = format!("{text}\n[override]\ncontacts = \"nothing else at hand\"\n");
    Bench::new()
        .inspect(&text)
        .refused(&["contacts-unfit.on-taper"]);
}

/// Behind the last plane of the standard the drawing's own limits are needed, and taken.
#[test]
fn own_limits_of_a_taper_thread() {
    let result = taper(
        "plane = \"4.06\"",
        "plane = \"4.06\"\nlower = \"19.45\"\nupper = \"19.60\"\norigin = \"gauge drawing 7\"",
    )
    .json();
    assert_eq!(result["unit"], "mm");
    assert_eq!(number(&result["limits"]["min"]), 19.45);
    named(&result["budget"], "quantity", "measuring-plane");
}

/// Limits before plating: lead correction, contact-angle line and flank warning are there as with the limits of the class.
#[test]
fn an_m10_with_the_drawings_own_limits_before_plating() {
    let own = Bench::new().inspect(&demo("before-plating")).json();
    assert_eq!(number(&own["limits"]["min"]), 8.82);
    assert_eq!(number(&own["limits"]["max"]), 8.94);
    let lead = number(&named(&own["corrections"], "name", "lead-angle")["value"]);
    assert!((lead - -1.03e-3).abs() < 0.05e-3, "{lead}");
    named(&own["budget"], "quantity", "contact-angle");
    named(&own["budget"], "quantity", "flank-angle");
    assert!(warns(&own, "nominal-flanks"), "{}", own["warnings"]);
    let sources = own["sources"].to_string();
    assert!(sources.contains("TC-0431 rev D, note 6"), "{sources}");
    assert_says(&sources, "limits-told.as-held");

    let class = with_limits("", "").json();
    assert!((number(&class["limits"]["max"]) - 8.994).abs() < 1e-9);
    let size = |result: &Value| number(&result["size"]["value"]);
    assert!((size(&own) - size(&class)).abs() < 0.05e-3, "{own} {class}");
}

/// 4 × 40 µm on 8.940 is beyond the basic size 9.026 (ISO 965-1), 4 × 21 µm is not: what is left is 0.086.
#[test]
fn a_coating_that_does_not_fit_own_limits_before_it_is_refused() {
    let thick = |thickness: &str| plated("5um..8um", thickness);
    thick("40um..60um").refused(&["terms.too-thick", "160 µm", "86 µm"]);
    thick("22um").refused(&["terms.too-thick"]);
    assert_eq!(thick("21um").json()["decision"]["decision"], "accept");
}

/// 4 t of pitch diameter: limits that hold after coating, of a thread measured before it.
#[test]
fn own_limits_after_coating_of_a_bare_thread() {
    let coating = "[measure.coating]\nthickness = \"5um..8um\"\nstate = \"before-coating\"\nlimits_hold = \"after-coating\"\n";
    let own = "lower = \"8.820\"\nupper = \"8.940\"\n";
    let result = with_limits(own, coating).json();
    assert!((number(&result["limits"]["min"]) - (8.820 - 4.0 * 0.005)).abs() < 1e-9);
    assert!((number(&result["limits"]["max"]) - (8.940 - 4.0 * 0.008)).abs() < 1e-9);
    let turned = coating
        .replace("after", "X")
        .replace("before", "after")
        .replace('X', "before");
    with_limits(own, &turned).refused(&["terms.own-before-only"]);
}

/// Without limits of its own the class counts, as `midflank limits --coating` has it: up to basic size after coating.
#[test]
fn a_class_before_and_after_coating() {
    let coating =
        |state| format!("[measure.coating]\nthickness = \"5um..7um\"\nstate = \"{state}\"\n");
    let before = with_limits("", &coating("before-coating")).json();
    let after = with_limits("", &coating("after-coating")).json();
    let bench = Bench::new();
    let command = bench
        .run(&["limits", "M10x1.5-6g", "--coating", "5um..7um", "--json"])
        .json();
    for (result, state) in [(&before, "before"), (&after, "after")] {
        for bound in ["min", "max"] {
            let expected = number(&command["coating"][state]["pitch_diameter"][bound]);
            assert!(
                (number(&result["limits"][bound]) - expected).abs() < 1e-9,
                "{state} {bound}"
            );
        }
        assert!(warns(result, "coating-assumed"), "{}", result["warnings"]);
    }
    with_limits("", &coating("before-coating").replace("7um", "12um"))
        .refused(&["coating-conflict.coating-too-thick"]);
}

/// Nobody can tell from a part whether it is coated.
#[test]
fn what_a_coating_and_own_limits_need_is_asked_for() {
    plated("state = \"before-coating\"", "# state").refused(&["jobfile.no-coating-state"]);
    plated("thickness = \"5um..8um\"", "thickness = \"8um..5um\"")
        .refused(&["coating-thickness.backwards"]);
    plated(
        "designation = \"M10x1.5-6g\"",
        "designation = \"M10x1.5-6g\"\nname = \"bolt\"",
    )
    .refused(&["jobfile.name-beside-designation"]);
    plated("designation = \"M10x1.5-6g\"", "name = \"bolt\"").refused(&["jobfile.of-threads"]);
    plated("lower = \"8.820\"", "lower = \"8.990\"").refused(&["job.limits-reversed"]);
    with_limits("origin = \"note 6\"\n", "").refused(&["jobfile.origin-alone"]);
}

/// Both kinds stand on the record, and are computed again to the bit.
#[test]
fn threads_with_terms_are_recorded_and_verified() {
    let bench = Bench::new();
    for name in ["taper-thread", "before-plating"] {
        let file = bench.file("job.toml", &demo(name));
        let run = bench.run(&["inspect", &file, "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let run = bench.run(&["ledger", "verify"]);
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    let run = bench.run(&["report", "2"]);
    assert_says(&run.out, "limits-told.own");
}

#[test]
fn wires_of_a_taper_thread_name_the_plane() {
    let bench = Bench::new();
    let there = bench
        .run(&[
            "wires",
            "1/2-14 NPT",
            "--at",
            "4.064mm",
            "--wire",
            "1.0475mm",
            "--json",
        ])
        .json();
    assert!((number(&there["plane"]) - 0.16).abs() < 1e-9);
    assert!((number(&there["pitch_diameter"]) - 0.76843).abs() < 1e-9);
    let over = format!("{}in", there["over_wires"]);
    let back = bench
        .run(&[
            "wires",
            "1/2-14 NPT",
            "--at",
            "4.064mm",
            "--wire",
            "1.0475mm",
            "--over-wires",
            &over,
            "--json",
        ])
        .json();
    assert!((number(&back["pitch_diameter"]) - 0.76843).abs() < 1e-12);
    let limits = &there["over_wires_limits"];
    let width = number(&limits["max"]) - number(&limits["min"]);
    assert!((width - 2.0 * 0.00446).abs() < 1e-5, "{width}");
    // Hand-tight where nobody says.
    let usual = bench.run(&["wires", "1/2-14 NPT", "--json"]).json();
    assert!((number(&usual["pitch_diameter"]) - 0.77843).abs() < 1e-9);
    assert_says(&bench.run(&["wires", "R 1/2"]).out, "wires.in-plane");
    for (arguments, code) in [
        (
            &["wires", "M10-6g", "--at", "4mm"][..],
            "wires-error.at-on-parallel",
        ),
        (&["wires", "Rc 1/2"], "wires-error.internal-taper"),
        (&["wires", "R 1/2", "--at", "end"], "terms.no-such-plane"),
    ] {
        let run = bench.run(arguments);
        assert_ne!(run.status, 0);
        assert_says(&run.err, code);
    }
}

/// A limit that the drawing does not state is that of the class, and none is lost: a thread a quarter of a millimetre under
/// every 6g is rejected.
#[test]
fn the_limit_that_the_drawing_does_not_state_is_that_of_the_class() {
    let result = with_limits("upper = \"8.940\"\n", "").json();
    assert_eq!(number(&result["limits"]["max"]), 8.940);
    assert_eq!(number(&result["limits"]["min"]), 8.862);
    let both = with_limits("lower = \"8.820\"\n", "").json();
    assert_eq!(number(&both["limits"]["min"]), 8.820);
    assert_eq!(number(&both["limits"]["max"]), 8.994);
}

/// What lies beyond the thread, or says nothing of where it lies, is carried nowhere.
#[test]
fn places_of_a_taper_thread_lie_on_it() {
    for along in ["45.1", "-4.51", "near the end"] {
        let run = taper("along = \"4.51\"", &format!("along = \"{along}\""));
        assert_eq!(run.status, 2, "{along}: {}", run.out);
    }
}

/// After plating the class reaches to the basic size, 9.026 mm (ISO 965-1), whichever state the other limit holds in.
#[test]
fn the_class_limit_beside_one_of_the_drawing_is_that_of_the_coated_thread() {
    let coating = |more: &str| {
        format!("[measure.coating]\nthickness = \"5um..8um\"\nstate = \"after-coating\"\n{more}")
    };
    let class = with_limits("", &coating("")).json();
    assert_eq!(number(&class["limits"]["max"]), 9.026);
    for hold in ["", "limits_hold = \"after-coating\"\n"] {
        let one = with_limits("lower = \"8.820\"\n", &coating(hold)).json();
        assert_eq!(number(&one["limits"]["min"]), 8.820);
        assert_eq!(number(&one["limits"]["max"]), 9.026);
    }
}
