//! `midflank setup`: which of what one owns, before the measurement.

#![expect(clippy::unwrap_used, reason = "a test that fails should stop")]

use serde_json::Value;

use crate::bench::Bench;
use crate::said::assert_says;

/// Why a piece is refused.
fn why<'a>(advice: &'a Value, id: &str) -> &'a str {
    refused(advice, id)["why"].as_str().unwrap()
}

fn close(value: &Value, expected: f64, within: f64) {
    let value = value.as_f64().unwrap();
    assert!(
        (value - expected).abs() <= within,
        "{value}, not {expected}"
    );
}

/// The advice on one feature; options apart by blanks.
fn set_up(bench: &Bench, feature: &str, options: &str) -> Value {
    let words = ["setup", feature]
        .into_iter()
        .chain(options.split_whitespace())
        .chain(["--json"]);
    bench.run(&words.collect::<Vec<_>>()).json()
}

fn refused<'a>(advice: &'a Value, id: &str) -> &'a Value {
    advice["refused"]
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["id"] == id)
        .unwrap()
}

/// Bore of 20 mm: the sphere, and what each flat would add (0.517 mm for 6.35 mm, 0.0501 for 2 mm).
#[test]
fn the_sphere_for_a_wall() {
    let bench = Bench::new().with_equipment();
    let advice = set_up(
        &bench,
        "wall",
        "--nominal 2.05mm --tolerance 0.15mm --bore 20mm --material steel",
    );
    assert_eq!(advice["set_ups"][0]["contacts"], "sph-15");
    assert_eq!(advice["set_ups"][0]["standard"], "block-2.5");
    assert_eq!(advice["set_ups"][0]["judgement"], "good");
    close(
        &advice["set_ups"][0]["expected_zero_reading"],
        2.50005,
        1e-9,
    );
    close(&refused(&advice, "fl-6")["error"], 0.517, 5e-4);
    close(&refused(&advice, "sf-2")["error"], 0.0501, 1e-4);
    assert!(refused(&advice, "disc-20")["error"].is_null());
    assert_says(why(&advice, "bl-040"), "state.quarantined");
    assert_says(why(&advice, "mic-09"), "not-usable.overdue");
    assert_eq!(advice["readings"], 8);
    close(
        &advice["soak"]["time_constant_minutes"],
        7850.0 * 480.0 / 8.0 * 0.00205 / 2.0 / 60.0,
        0.01,
    );
}

/// What the plan says before is what the budget says after, where the readings scatter as was assumed.
#[test]
fn the_plan_is_the_budget() {
    let bench = Bench::new().with_equipment();
    let advice = set_up(
        &bench,
        "plain",
        "--lower 11.973mm --upper 12.000mm --repeatability 0.8um --material steel",
    );
    let planned = advice["set_ups"]
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["contacts"] == "fl-6")
        .unwrap();
    let job = "unit = \"mm\"\n[part]\nname = \"p\"\n[measure]\nlower = \"11.973\"\nupper = \"12.000\"\n[measure.plain-diameter]\n\
        [instrument]\nid = \"mic-04\"\n[contacts]\nid = \"fl-6\"\n[standard]\nid = \"block-10\"\n\
        [zero]\nbefore = [\"10.000\", \"10.000\", \"10.000\"]\nafter = [\"10.000\", \"10.000\", \"10.000\"]\n\
        [readings]\nvalues = [\"11.986\", \"11.986\", \"11.986\", \"11.986\", \"11.986\", \"11.986\"]\n\
        [temperature]\npart = 20.0\nstandard = 20.0\nstandard_uncertainty = 0.5\npart_material = \"steel\"\n\
        [prior]\nrepeatability = \"0.8um\"\ndegrees_of_freedom = 1000\n";
    let measured = bench.inspect(job).json();
    // Equal readings on the standard count as no scatter at all; the plan reckons with the prior alone.
    let u = |of: &Value| of["standard_uncertainty"].as_f64().unwrap();
    assert!(
        (u(planned) / u(&measured["size"]) - 1.0).abs() < 0.1,
        "{} {}",
        u(planned),
        u(&measured["size"])
    );
}

#[test]
fn threads_too() {
    let bench = Bench::new().with_equipment();
    let advice = set_up(&bench, "M10x1.5-6g", "");
    let set_ups = advice["set_ups"].as_array().unwrap();
    let cones = set_ups.iter().find(|one| one["contacts"] == "vc-60-3");
    assert_eq!(cones.unwrap()["standard"], "rod-10");
    let coarse = set_up(&bench, "M20x2.5-6g", "");
    assert!(coarse["set_ups"].as_array().unwrap().is_empty());
    assert_says(why(&coarse, "vc-60-3"), "contacts-unfit.outside-pitches");
    assert_says(coarse["wanted"][0].as_str().unwrap(), "ideal.v-and-cone");
}

#[test]
fn nothing_good_enough_says_what_would_be() {
    let bench = Bench::new().with_equipment();
    let tight = set_up(&bench, "plain", "--nominal 12mm --tolerance 0.001mm");
    assert_eq!(tight["set_ups"][0]["judgement"], "not good enough");
    let wanted = tight["wanted"][0].as_str().unwrap();
    assert_says(wanted, "wanted.uncertainty");
    assert!(wanted.contains("0.5 µm"), "{wanted}");
    let nothing = Bench::new().run(&[
        "setup",
        "crimp",
        "--nominal",
        "1.45mm",
        "--tolerance",
        "0.05mm",
        "--awg",
        "18",
    ]);
    assert!(
        nothing
            .out
            .contains("NO REGISTERED EQUIPMENT CAN MEASURE THIS"),
        "{}",
        nothing.out
    );
    assert_says(&nothing.out, "ideal.blade-and-point");
    for line in nothing.out.lines() {
        assert!(line.chars().count() <= 78, "{line}");
    }
}

#[test]
fn asks_and_never_assumes() {
    let bench = Bench::new();
    let setup = |more: &[&str]| bench.run(&[&["setup"], more].concat());
    setup(&["crimp", "--awg", "18"]).refused(&["terminal manufacturer's sheet", "come only from"]);
    setup(&["crimp", "--nominal", "1.45mm", "--tolerance", "0.05mm"]).refused(&["--awg"]);
    setup(&[
        "crimp",
        "--nominal",
        "1.45mm",
        "--tolerance",
        "0.05mm",
        "--awg",
        "43",
    ])
    .refused(&["AWG 43"]);
    setup(&[
        "keyseat", "--lower", "4mm", "--upper", "4.2mm", "--shaft", "25mm", "--width", "8mm",
    ])
    .refused(&["--convention", "depth-from-crown"]);
    setup(&["wall", "--lower", "2mm", "--upper", "2.1mm"]).refused(&["--bore"]);
    setup(&["wall", "--lower", "2", "--upper", "2.1mm", "--bore", "20mm"]).refused(&["no unit"]);
    setup(&["wall", "--bore", "20mm"]).refused(&["--lower"]);
    setup(&["nonsense"]).refused(&["tube-wall"]);
    setup(&["wall", "--lower", "3mm", "--upper", "2mm", "--bore", "20mm"])
        .refused(&["job.limits-reversed"]);
}

#[test]
fn a_soft_sheet_wants_the_right_disc() {
    let bench = Bench::new().with_equipment();
    // 3 N on 20 mm is 9.5 kPa; the standard for the material states 2 kPa: 43.7 mm at that force.
    let advice = set_up(
        &bench,
        "soft",
        "--nominal 6mm --tolerance 0.3mm --modulus 0.8 --pressure 2",
    );
    let pressed = why(&advice, "disc-20");
    assert_says(pressed, "contacts-unfit.other-pressure-than");
    assert!(pressed.contains("43.7019 mm"), "{pressed}");
    let free = set_up(
        &bench,
        "soft",
        "--nominal 6mm --tolerance 0.3mm --modulus 0.8",
    );
    assert_eq!(free["set_ups"][0]["contacts"], "disc-20");
    assert_says(why(&free, "sph-15"), "contacts-unfit.sinks-deep");
    // ABS, 2.3 GPa: 2 N on a carbide sphere of 1.5 mm presses 6 µm deep, (9 F²/(16 E*² R))^⅓.
    let hard = set_up(
        &bench,
        "soft",
        "--nominal 6mm --tolerance 0.3mm --modulus 2300",
    );
    let e_star = 1.0 / ((1.0 - 0.16) / 2300.0 + (1.0 - 0.22 * 0.22) / 620_000.0);
    let depth = libm::cbrt(9.0 * 4.0 / (16.0 * e_star * e_star * 1.5));
    close(&refused(&hard, "sph-15")["error"], -depth, 1e-6);
}

/// Three wires between flat faces are ranked beside V and cone, and what the plan expects over them is what
/// `midflank wires` prints for the same thread, less the deformation under force.
#[test]
fn wires_are_ranked_beside_contacts() {
    let bench = Bench::new().with_equipment();
    let advice = set_up(&bench, "M10x1.5-6g", "");
    let set_ups = advice["set_ups"].as_array().unwrap();
    let of = |wires: bool, instrument: &str| {
        set_ups
            .iter()
            .find(|one| one["wires"].is_string() == wires && one["instrument"] == instrument)
            .unwrap()
    };
    let over = of(true, "mic-04");
    assert_eq!(over["wires"], "w-0866");
    assert_eq!(over["contacts"], "fl-6");
    assert_eq!(over["standard"], "block-10");
    assert_eq!(of(false, "mic-04")["contacts"], "vc-60-3");
    // d2 = 8.928, wire 0.866, 60°: M = d2 + 3w − 0.866025 P + 0.0008 mm for the lead angle; 7.5 N take about 3 µm.
    close(&over["expected_reading"], 10.2278, 0.004);
    assert!(over["expected_reading"].as_f64().unwrap() < 10.2278);
    // 3 µm of pitch, rolled or cut: ½ · 3 µm · cot 30°/√3.
    assert_eq!(over["largest"][0][0], "pitch of the part");
    close(&over["largest"][0][1], 0.0015, 1e-5);
    // Wires of 0.866 mm fall below the crests of a pitch of 2.5 mm, and stand proud of nothing.
    let coarse = set_up(&bench, "M20x2.5-6g", "");
    assert_says(why(&coarse, "w-0866"), "wires-unfit.diameter");
    // No outside contact reaches a nut, and wires are not offered for it.
    let nut = set_up(&bench, "M10x1.5-6H", "");
    assert_eq!(nut["set_ups"].as_array().unwrap().len(), 0);
    assert_says(nut["wanted"][0].as_str().unwrap(), "ideal.thread-gauges");
}

/// Nothing was read in the V before the measurement: one step of its display is a usual one, not 1 mm.
#[test]
fn a_lobed_shaft_is_planned_with_a_usual_display() {
    let bench = Bench::new().with_equipment();
    let plan = set_up(
        &bench,
        "lobed-shaft",
        "--lower 9.978mm --upper 10mm --lobes 3 --v-angle 60",
    );
    let u = plan["set_ups"][0]["expanded_uncertainty"].as_f64().unwrap();
    assert!(u > 0.0015 && u < 0.003, "{u}");
}

/// Twenty micrometers and twenty pairs make four hundred set-ups: the best five, and the count of the others.
#[test]
fn the_best_five_of_many() {
    let mut register = String::from("unit = \"mm\"\nperson = \"A. Quill\"\n");
    for n in 0..20 {
        let error = f64::from(n * 7 % 20) / 10.0 + 2.0;
        let minutes = f64::from(n * 3 % 20) / 4.0 + 3.0;
        register += &format!(
            "[[instrument]]\nid = \"m{n}\"\nrange = [\"0\", \"25\"]\nresolution = \"0.001\"\n\
             maximum_permissible_error = \"{error}um\"\ndue = 2099-12-31\n\
             [[contacts]]\nid = \"c{n}\"\nkind = \"v-and-cone\"\nincluded_angle = 60\nhalf_angle_limit = {minutes}\n\
             [[contacts]]\nid = \"f{n}\"\nkind = \"flat\"\n\
             [[contacts]]\nid = \"o{n}\"\nkind = \"v-and-cone\"\nincluded_angle = 55\n"
        );
    }
    register += "[[standard]]\nid = \"rod\"\nsize = \"9.9994\"\nform = \"v-and-cone-rod\"\n\
                 expanded_uncertainty = \"0.6um\"\ncoverage_factor = 2\ndue = 2099-12-31\n";
    let bench = Bench::new();
    let file = bench.file("many.toml", &register);
    assert_eq!(bench.run(&["equipment", "add", &file]).status, 0);

    let best = set_up(&bench, "M10x1.5-6g", "");
    let all = set_up(&bench, "M10x1.5-6g", "--all");
    assert_eq!(best["set_ups"].as_array().unwrap().len(), 5);
    assert_eq!(best["others"], 395);
    assert_eq!(all["set_ups"].as_array().unwrap().len(), 400);
    assert_eq!(all["others"], 0);
    for index in 0..5 {
        assert_eq!(best["set_ups"][index], all["set_ups"][index]);
    }
    assert_eq!(best["set_ups"][0]["instrument"], "m0");
    assert_eq!(best["set_ups"][0]["contacts"], "c0");
    assert_eq!(best["refused"], all["refused"]);

    let told = bench.run(&["setup", "M10x1.5-6g"]).out;
    assert!(told.lines().count() < 120, "{told}");
    assert_says(&told, "setup.others");
    assert_says(&told, "setup.more");
    let everything = bench.run(&["setup", "M10x1.5-6g", "--all"]).out;
    assert!(everything.contains("o19"), "{everything}");
}

/// Of a pair that no micrometer suits the reasons are much alike: three are told, and how many more there are.
#[test]
fn a_few_of_many_reasons() {
    let mut register = String::from(
        "unit = \"mm\"\nperson = \"A. Quill\"\n[[contacts]]\nid = \"vc\"\nkind = \"v-and-cone\"\n",
    );
    for n in 0..9 {
        register += &format!(
            "[[instrument]]\nid = \"m{n}\"\nrange = [\"0\", \"25\"]\nmaximum_permissible_error = \"2um\"\n\
             due = 2099-12-31\n"
        );
    }
    let bench = Bench::new();
    let file = bench.file("many.toml", &register);
    assert_eq!(bench.run(&["equipment", "add", &file]).status, 0);
    let few = set_up(&bench, "M10x1.5-6g", "");
    assert!(why(&few, "vc").contains("m2"));
    assert!(!why(&few, "vc").contains("m3"));
    assert_says(why(&few, "vc"), "setup.more-reasons");
    let all = set_up(&bench, "M10x1.5-6g", "--all");
    assert!(why(&all, "vc").contains("m8"));
}

/// A taper thread has a size at a plane only.
#[test]
fn a_taper_thread_is_set_up_at_its_plane() {
    let bench = Bench::new().with_equipment();
    bench
        .run(&["setup", "R 1/2"])
        .refused(&["job.taper-without-position"]);
    let at_plane = bench.run(&["setup", "R 1/2", "--plane", "gauge-plane"]);
    assert_eq!(at_plane.status, 0, "{}", at_plane.err);
    assert!(at_plane.out.contains("R 1/2"), "{}", at_plane.out);
    bench
        .run(&["setup", "R 1/2", "--plane", "nowhere"])
        .refused(&["terms.no-such-plane"]);
    bench
        .run(&["setup", "M10x1.5-6g", "--plane", "hand-tight"])
        .refused(&["terms.plane-on-parallel"]);
}
