//! Every feature on the page, against the same part measured by its job file.

use std::process::Command;

use super::feature_jobs::{FeatureJob, JOBS};
use super::support::{Bench, Folder, Window, between};

#[test]
fn every_feature_from_its_name_to_the_record() {
    let folder = Folder::new("features");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    for (index, job) in JOBS.iter().enumerate() {
        if index > 0 {
            window.enter_all(&["/new"]);
        }
        to_the_verdict(&mut window, job);
        same_size_as_the_job_file(&window, job);
        window.shows(job.tells);
        if job.file == "crimp-height" {
            window.shows("Assessed: mean of 5 samples");
        }
        window.enter_all(&job.zero);
        window.enter_all(&["/sign A. Quill"]);
        window.shows("Recorded as");
        // The record has all that was asked, so that it can be reckoned again.
        let record = between(&window.page, "/record/", "\"").to_owned();
        let record = bench.get(&format!("/record/{record}")).body;
        for said in job.on_record {
            assert!(
                record.contains(said),
                "{} has no {said:?}: {record}",
                job.file
            );
        }
    }
}

fn to_the_verdict(window: &mut Window<'_>, job: &FeatureJob) {
    window.enter_all(job.feature);
    // The tube holds pressure, as the file says.
    let service = if job.file == "tube-wall" {
        "pressure"
    } else {
        ""
    };
    // A name of its own: of a part that was measured before Enter takes what was stated then.
    window.enter_all(&[job.file, "", "", "", service]);
    window.enter_all(&[job.instrument]);
    window.shows(job.unfit);
    window.enter_all(&[job.contacts]);
    // What is drawn beside the question names the feature.
    window.shows("<figure class=\"section\">");
    window.enter_all(&[job.standard, job.temperature]);
    // The check of the job before counts where it was made with the same set-up; here each job has its own.
    if window.question().starts_with("Reading 1") {
        window.enter_all(&["/zero"]);
    }
    window.shows("of the tolerance");
    window.enter_all(&job.zero);
    window.enter_all(job.readings);
}

/// The page computes nothing of its own.
fn same_size_as_the_job_file(window: &Window<'_>, job: &FeatureJob) {
    let file = format!(
        "{}/../../demo/features/{}.toml",
        env!("CARGO_MANIFEST_DIR"),
        job.file
    );
    let answer = Command::new(env!("CARGO_BIN_EXE_midflank"))
        .args(["inspect", "--json", &file])
        .output()
        .unwrap();
    let told: serde_json::Value = serde_json::from_slice(&answer.stdout).unwrap();
    let expected = told["size"]["value"].as_f64().unwrap();
    let shown: f64 = between(&window.page, "<p class=\"size\">", " ±")
        .trim()
        .parse()
        .unwrap_or_else(|_| panic!("{}: {}", job.file, window.page));
    // The file reads some places twice, and zero one step otherwise.
    assert!(
        (shown - expected).abs() < 0.0011,
        "{}: {shown} on the page, {expected} by the file",
        job.file
    );
}

/// What belongs to one part is asked again with the next; what belongs to all is kept.
#[test]
fn the_next_part_of_a_lot_is_asked_for_what_is_its_own() {
    let folder = Folder::new("next-feature");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    let keyseat = JOBS.iter().find(|job| job.file == "keyseat").unwrap();
    to_the_verdict(&mut window, keyseat);
    window.enter_all(&keyseat.zero);
    window.enter_all(&["/sign A. Quill", ""]);
    assert_eq!(
        window.question(),
        "Shaft diameter at the keyseat, as measured?"
    );
    window.enter_all(&["24.990", "8.00"]);
    assert_eq!(window.question(), "Reading 1 of 3: near one end.");
}

/// A pitch diameter over wires, from the flat faces to the verdict.
#[test]
fn a_screw_over_wires() {
    let folder = Folder::new("wires");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&[
        "M10x1.5-6g",
        "rating screw",
        "",
        "",
        "",
        "",
        "mic-04",
        "fl-6",
    ]);
    assert_eq!(window.question(), "Which wires are used?");
    window.enter_all(&["w-0866", "block-10", ""]);
    window.enter_all(&["10.001", "10.002", "10.001"]);
    window.shows("one wire in a groove above and two below");
    // Over wires of 0.8660 mm the simple formula (ISO 16239) makes 8.928 mm of 10.227 mm, the mean less the zero error; the
    // force of 7.5 N, the error curve and the lead angle together make 2 to 3 µm more of it.
    window.enter_all(&["10.229", "10.230", "10.227"]);
    window.shows("near the head, 0°, pitch diameter 8.9");
    window.enter_all(&["10.231", "10.226", "10.228"]);
    window.shows("ACCEPT");
    let shown: f64 = between(&window.page, "<p class=\"size\">", " ±")
        .trim()
        .parse()
        .unwrap();
    assert!((shown - 8.9305).abs() < 0.001, "{shown}");
}

/// One limit is enough, and mistakes are told where they are made.
#[test]
fn sizes_with_one_limit_and_slips_of_the_pen() {
    let folder = Folder::new("one-limit");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    for (wrong, why) in [
        ("crimp", "manufacturer"),
        ("tube wall 2.30 to 2.70", "mm"),
        ("wall 2.70 to 2.30 mm", "2.70"),
        ("keyseat", "limits"),
    ] {
        assert_eq!(window.enter(wrong), 422, "{wrong}");
        window.shows(why);
    }
    window.enter_all(&["boss 3.2 mm max", "boss", "", "", "", "pressure", "mic-04"]);
    // Blades would do for a plain size; flat faces are made for it.
    window.shows("Enter accepts fl-6");
    window.enter_all(&["fl-6", "block-2.5", ""]);
    window.enter_all(&["2.501", "2.501", "2.502"]);
    window.enter_all(&["3.151", "3.152", "3.151", "3.150", "3.152", "3.151"]);
    window.shows("ACCEPT");
    window.shows("Pressure service");
}
