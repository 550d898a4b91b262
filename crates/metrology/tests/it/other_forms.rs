//! The other forms: limits against published rows and cells, to the last digit, and designations as people write them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use metrology::designation::{Form, parse, standard_threads};
use metrology::limits::{DisputedLimit, Note, Place, ThreadLimits};
use metrology::source::Confidence;
use metrology::units::{Length, LengthUnit};
use metrology::validation::limits::limit;

const ROWS: &str = include_str!("fixtures/other_limits.csv");
const CELLS: &str = include_str!("fixtures/other_cells.csv");

fn limits(designation: &str) -> ThreadLimits {
    parse(designation)
        .and_then(|thread| thread.limits())
        .unwrap_or_else(|error| panic!("{designation}: {error}"))
}

fn check(thread: &ThreadLimits, name: &str, published: &str) {
    let published = match published {
        "" => None,
        number => Some(Length::from_decimal(number.parse().unwrap(), thread.unit).unwrap()),
    };
    assert_eq!(
        limit(thread, name),
        Some(published),
        "{} {name}",
        thread.designation
    );
}

/// Each row names its source in the file. An empty cell is a limit that the standard does not set.
#[test]
fn every_published_row() {
    let names = [
        "major_max",
        "major_min",
        "pitch_max",
        "pitch_min",
        "minor_max",
        "minor_min",
    ];
    let mut rows = 0;
    for row in csv::Reader::from_reader(ROWS.as_bytes())
        .records()
        .map(Result::unwrap)
    {
        rows += 1;
        if &row[0] == "NPT" {
            let thread = limits(&row[1]);
            let plane = thread.taper.unwrap().positions[1].clone();
            assert_eq!(plane.name, Place::HandTight);
            assert_eq!(plane.at.to_fixed(LengthUnit::Inch, 2), "0.32");
            assert_eq!(plane.pitch_diameter.to_fixed(LengthUnit::Inch, 5), row[7]);
            continue;
        }
        let class = match &row[0] {
            "BSW" | "BSF" | "BA" => &row[2],
            _ => "",
        };
        let class = if class == "all" { "" } else { class };
        let thread = limits(&format!("{} {class} {}", &row[1], &row[3]));
        for (name, index) in names.iter().zip(5..) {
            check(&thread, name, &row[index]);
        }
    }
    assert_eq!(rows, 10);
}

#[test]
fn single_published_cells() {
    let mut rows = 0;
    for row in csv::Reader::from_reader(CELLS.as_bytes())
        .records()
        .map(Result::unwrap)
    {
        check(&limits(&row[0]), &row[1], &row[2]);
        row[3].parse::<metrology::source::Source>().unwrap();
        rows += 1;
    }
    assert_eq!(rows, 50);
}

/// The published basic diameters of BS 84: effective and minor of every listed size, as nut minima.
#[test]
fn basic_whitworth_diameters() {
    const SERIES: &str = include_str!("../../data/whitworth/series.csv");
    for row in csv::Reader::from_reader(SERIES.as_bytes())
        .records()
        .map(Result::unwrap)
    {
        let thread = limits(&format!("{}-{} {} normal", &row[0], &row[2], &row[3]));
        check(&thread, "major_min", &row[1]);
        check(&thread, "pitch_min", &row[5]);
        check(&thread, "minor_min", &row[6]);
    }
}

/// Limits of BA threads that lie exactly half way between two micrometres, 14 of them: both roundings are told. Major minima
/// of 4.5785, 2.7205, 1.4225 and 0.7425 mm by hand, 2 BA close: 4.70 − 0.15 × 0.81.
#[test]
fn ties_of_ba_threads_are_disputed() {
    use metrology::limits::{DisputeReason, DisputedLimit};
    let mut found = Vec::new();
    for number in 0..=16 {
        for class in ["close", "normal", "internal"] {
            let Ok(thread) = parse(&format!("{number} BA {class}")) else {
                continue;
            };
            for dispute in thread.limits().unwrap().disputes {
                assert_eq!(dispute.reason, DisputeReason::HalfWay);
                let apart = (dispute.taken - dispute.other).abs();
                assert_eq!(apart, Length::from_micrometres(1));
                assert_eq!(dispute.taken.tenth_nanometres() / 10_000 % 2, 0);
                let twice = dispute.taken + dispute.other;
                found.push((number, class, dispute.limit, twice.tenth_nanometres() / 2));
            }
        }
    }
    assert_eq!(found.len(), 14, "{found:?}");
    for (number, class, exact) in [
        (2, "close", 45_785_000),
        (6, "close", 27_205_000),
        (11, "normal", 14_225_000),
        (16, "normal", 7_425_000),
    ] {
        assert!(
            found.contains(&(number, class, DisputedLimit::MajorMin, exact)),
            "{number} BA {class}: {found:?}"
        );
    }
}

/// Basic diameters of pipe threads from D and P, of BA from p, of NPT from the pipe: formula against table.
#[test]
fn tables_agree_with_their_formulas() {
    let table = |text: &'static str| {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        reader.records().map(Result::unwrap).collect::<Vec<_>>()
    };
    let number = |text: &str| text.parse::<f64>().unwrap();
    let near = |what: &str, found: f64, table: &str, within: f64| {
        assert!(
            (found - number(table)).abs() <= within,
            "{what}: {found} for {table}"
        );
    };
    for row in table(include_str!("../../data/g-pipe/sizes.csv")) {
        let (p, d) = (number(&row[2]), number(&row[3]));
        near(&row[0], 25.4 / number(&row[1]), &row[2], 0.0005);
        near(&row[0], d - 0.640_327 * p, &row[4], 0.0005001);
        near(&row[0], d - 2.0 * 0.640_327 * p, &row[5], 0.001);
    }
    for row in table(include_str!("../../data/r-pipe/sizes.csv")) {
        // One turn up to size 2, one and a half above, to 0.1 mm.
        let turns = number(&row[7]) / number(&row[2]);
        assert!(
            (turns - 1.0).abs() < 0.03 || (turns - 1.5).abs() < 0.03,
            "{row:?}"
        );
    }
    for row in table(include_str!("../../data/ba/sizes.csv")) {
        let (n, p, d, h) = (
            number(&row[0]),
            number(&row[1]),
            number(&row[2]),
            number(&row[3]),
        );
        let exact = libm_power(0.9, n);
        near(&row[0], exact, &row[1], 0.005001);
        near(&row[0], 0.6 * p, &row[3], 0.0025001);
        near(&row[0], d - h, &row[4], 1e-9);
        near(&row[0], d - 2.0 * h, &row[5], 1e-9);
    }
    for row in table(include_str!("../../data/npt/sizes.csv")) {
        let (p, d) = (1.0 / number(&row[1]), number(&row[2]));
        let (e0, l1, l2) = (number(&row[3]), number(&row[4]), number(&row[6]));
        near(&row[0], d - (0.05 * d + 1.1) * p, &row[3], 0.000_011);
        near(&row[0], e0 + l1 / 16.0, &row[5], 0.000_016);
        near(&row[0], (0.8 * d + 6.8) * p, &row[6], 0.000_05);
        near(&row[0], e0 + l2 / 16.0, &row[7], 0.000_02);
    }
}

fn libm_power(base: f64, exponent: f64) -> f64 {
    let mut power = 1.0;
    let mut left = exponent;
    while left > 0.5 {
        power *= base;
        left -= 1.0;
    }
    power
}

/// What was typed, and the notation of the standard.
const READ: &[(&str, &str)] = &[
    ("1/2-12 BSW medium", "1/2-12 BSW medium"),
    ("1/2 - 12 bsw Medium", "1/2-12 BSW medium"),
    ("1/2\" x 12 BSW", "1/2-12 BSW medium"),
    ("BSW 1/2-12 close", "1/2-12 BSW close"),
    ("1/2 BSW free bolt", "1/2-12 BSW free"),
    ("\u{bd} BSW normal", "1/2-12 BSW normal"),
    ("0,500-12 BSW medium nut", "1/2-12 BSW medium internal"),
    ("1/4-26 BSF close", "1/4-26 BSF close"),
    ("1/4-26BSF close LH", "1/4-26 BSF close LH"),
    ("2-4.5 BSW medium", "2-4.5 BSW medium"),
    ("2-4 1/2 BSW medium", "2-4.5 BSW medium"),
    ("1/2-20 Whit.S. medium", "1/2-20 Whit.S medium"),
    ("1/2-16 Whitworth medium", "1/2-16 BSF medium"),
    ("7/32-28 BSF medium LE 0.5", "7/32-28 BSF medium LE 0.5"),
    ("1/2 BSW free nut", "1/2-12 BSW normal"),
    ("G 1/2 A", "G 1/2 A"),
    ("G1/2A", "G 1/2 A"),
    ("g \u{bd} a", "G 1/2 A"),
    ("G1/2\"-14 B", "G 1/2 B"),
    ("G 1/2", "G 1/2"),
    ("G 1 1/4 B LH", "G 1 1/4 B LH"),
    ("G1-1/4 A", "G 1 1/4 A"),
    ("1/2 BSPP nut", "G 1/2"),
    ("G 1/2 bolt", "G 1/2 A"),
    ("G 0.5 A", "G 1/2 A"),
    ("0 BA normal", "0 BA normal"),
    ("0BA", "0 BA normal"),
    ("4 ba close", "4 BA close"),
    ("BA 4 close", "4 BA close"),
    ("No. 6 BA nut", "6 BA internal"),
    ("2 BA normal internal", "2 BA internal"),
    ("12 BA normal", "12 BA normal"),
    ("1/2-10 ACME-2G", "1/2-10 ACME-2G"),
    ("0.500-10-ACME-2G", "1/2-10 ACME-2G"),
    ("1/2 acme 2g nut", "1/2-10 ACME-2G internal"),
    ("1/2-10 ACME-2C", "1/2-10 ACME-2C"),
    ("1 1/2-4 ACME-4G LH", "1 1/2-4 ACME-4G LH"),
    ("2.875-0.4P-0.8L-ACME-3C", "2.875-0.4P-0.8L ACME-3C"),
    ("1/2-10 STUB ACME-2G", "1/2-10 STUB ACME-2G"),
    (
        "0.500-10 stub acme 2G internal",
        "1/2-10 STUB ACME-2G internal",
    ),
    ("Tr40x7-7e", "Tr40x7-7e"),
    ("tr 40 x 7 - 7e", "Tr40x7-7e"),
    ("TR40\u{d7}7 7H", "Tr40x7-7H"),
    ("Tr40", "Tr40x7-7e"),
    ("Tr40x7LH-7e", "Tr40x7LH-7e"),
    ("Tr40x7-7e-LH", "Tr40x7LH-7e"),
    ("Tr40x14P7-8e", "Tr40x14P7-8e"),
    ("Tr40x14(P7)-8e", "Tr40x14P7-8e"),
    ("Tr40x14(P7)LH", "Tr40x14P7LH-7e"),
    ("Tr40x7-7H/7e nut", "Tr40x7-7H"),
    ("Tr8x1,5-7e", "Tr8x1.5-7e"),
    ("Tr40x7-8e-L", "Tr40x7-8e-L"),
    ("Tr40x7-8e-140", "Tr40x7-8e LE 140"),
    ("MJ8x1-4h6h", "MJ8x1-4h6h"),
    ("mj 8 x 1 - 4h6h", "MJ8x1-4h6h"),
    ("MJ6", "MJ6x1-4h6h"),
    ("MJ6 nut", "MJ6x1-4H5H"),
    ("MJ5 nut", "MJ5x0.8-4H6H"),
    ("MJ8x1-4h6h-LH", "MJ8x1-4h6h-LH"),
    ("0.2500-28 UNJF-3A", "0.2500-28 UNJF-3A"),
    ("1/4-28 unjf 3b", "0.2500-28 UNJF-3B"),
    ("#10-32 UNJF-3A", "0.1900-32 UNJF-3A"),
    ("0.1900-32 UNJF-3B", "0.1900-32 UNJF-3B"),
    ("1/4-28 UNJF", "0.2500-28 UNJF-3A"),
    ("1/4-28 UNJF nut", "0.2500-28 UNJF-3B"),
    ("1/8-27 NPT", "1/8-27 NPT"),
    ("1/8 npt", "1/8-27 NPT"),
    ("NPT 1 1/4", "1 1/4-11.5 NPT"),
    ("1-11 1/2 NPT", "1-11.5 NPT"),
    ("1/8-27 NPT internal", "1/8-27 NPT internal"),
    ("1/8-27 NPTF", "1/8-27 NPTF"),
    ("R 1/4", "R 1/4"),
    ("R1/4\"", "R 1/4"),
    ("Rc 1/4", "Rc 1/4"),
    ("rp1/4", "Rp 1/4"),
    ("1/4 BSPT", "R 1/4"),
    ("1/4 BSPT female", "Rc 1/4"),
];

#[test]
fn reads_what_people_write() {
    let wrong: Vec<_> = READ
        .iter()
        .filter_map(|(typed, standard)| {
            let read = match parse(typed) {
                Ok(thread) => thread.to_string(),
                Err(error) => error.to_string(),
            };
            (read != *standard).then(|| format!("{typed:?}: {read} instead of {standard}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What was typed, the kind of error, the piece it points at, and the first suggestion.
const REFUSED: &[(&str, &str, &str, Option<&str>)] = &[
    ("1/2-13 BSW", "no-such-pitch", "13", Some("1/2-12 BSW")),
    (
        "0.51-12 BSW medium",
        "no-such-size",
        "0.51",
        Some("1/2-12 BSW medium"),
    ),
    (
        "1/2-12 BSW loose",
        "unknown-class",
        "loose",
        Some("1/2-12 BSW medium"),
    ),
    ("1/2-12 BSW free medium", "stated-twice", "medium", None),
    ("1/2-12 BSW normal bolt", "side-conflict", "normal", None),
    (
        "1/2-12 BSW medium 2A",
        "unexpected",
        "2A",
        Some("1/2-12 BSW medium"),
    ),
    ("BSW", "missing-size", "", None),
    ("G 1/2 C", "unknown-class", "C", Some("G 1/2 A")),
    ("G 1/2 A nut", "side-conflict", "A", None),
    ("G 7/16", "no-such-size", "7/16", Some("G 3/8")),
    ("G 1/2-12", "no-such-pitch", "12", Some("G 1/2-14")),
    ("G", "missing-size", "", None),
    ("G 20mm", "wrong-unit", "mm", None),
    ("17 BA", "no-such-size", "17", Some("16 BA")),
    (
        "11 BA close",
        "class-not-defined",
        "close",
        Some("11 BA normal"),
    ),
    (
        "4 BA medium",
        "unknown-class",
        "medium",
        Some("4 BA normal"),
    ),
    (
        "1/2-10 ACME-5G",
        "unknown-class",
        "5G",
        Some("1/2-10 ACME 2G"),
    ),
    (
        "1/2-10 STUB ACME-3G",
        "class-not-defined",
        "3G",
        Some("1/2-10 STUB ACME-2G"),
    ),
    (
        "1/2-2 ACME-2G",
        "impossible-pitch",
        "2",
        Some("1/2-10 ACME-2G"),
    ),
    (
        "0.51 ACME-2G",
        "missing-pitch",
        "0.51",
        Some("1/2-10 ACME-2G"),
    ),
    ("40-10 ACME-2G", "size-out-of-range", "40", None),
    ("Tr40x6.5-7e", "no-such-pitch", "6.5", Some("Tr40x7-7e")),
    ("Tr40x7-6e", "unknown-class", "6e", Some("Tr40x7-7e")),
    ("Tr40x7-7g", "unknown-class", "7g", None),
    ("Tr40x14P5-7e", "lead-mismatch", "14", None),
    (
        "Tr40x7-7H/7e",
        "fit-names-two-threads",
        "7H/7e",
        Some("Tr40x7-7H"),
    ),
    ("Tr7x1.5", "size-out-of-range", "7", None),
    ("MJ8x1-6g", "unknown-class", "6g", Some("MJ8x1-4h6h")),
    (
        "MJ10x1.6-4h6h",
        "no-such-pitch",
        "1.6",
        Some("MJ10x1.5-4h6h"),
    ),
    (
        "1/4-28 UNJF-2A",
        "unknown-class",
        "2A",
        Some("1/4-28 UNJF-3A"),
    ),
    (
        "1/4-27 UNJF-3A",
        "not-in-series",
        "UNJF",
        Some("1/4-28 UNJF-3A"),
    ),
    ("1/8-28 NPT", "no-such-pitch", "28", Some("1/8-27 NPT")),
    ("5/8 NPT", "no-such-size", "5/8", Some("1/2 NPT")),
    ("R 5/8", "no-such-size", "5/8", Some("R 1/2")),
    ("R 1/4 nut", "side-conflict", "R 1/4 nut", None),
    ("Rc 1/4 A", "unexpected", "A", Some("Rc 1/4")),
];

#[test]
fn refuses_with_the_place_and_what_would_be_right() {
    let mut wrong = Vec::new();
    for (typed, kind, at, suggestion) in REFUSED {
        match parse(typed) {
            Ok(thread) => wrong.push(format!("{typed:?} read as {thread}")),
            Err(error) => {
                let place = error.at().map_or("", |place| typed.get(place).unwrap());
                let first = error.suggestions().first().map(String::as_str);
                let suggested = suggestion.is_none() || first == *suggestion;
                if error.kind() != *kind || place != *at || !suggested {
                    wrong.push(format!(
                        "{typed:?}: {} at {place:?}, {first:?}: {error}",
                        error.kind()
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every listed thread of every form, in every class, both sides: reads back to itself, and its limits are in order.
#[test]
fn every_listed_thread_in_every_class() {
    let mut count = 0;
    for listed in standard_threads() {
        let classes: &[&str] = match listed.form {
            Form::Whitworth => &[
                "close",
                "medium",
                "free bolt",
                "close nut",
                "medium nut",
                "normal",
            ],
            Form::Acme => &[
                "2G", "3G", "4G", "2C", "3C", "4C", "2G nut", "4G nut", "2C nut", "4C nut",
            ],
            Form::Ba => &["normal", "nut"],
            Form::GPipe => &["A", "B", ""],
            Form::Trapezoidal => &["7e", "8e", "8c", "9c", "7H", "8H", "9H"],
            Form::RPipe | Form::Npt => &[""],
            _ => continue,
        };
        for class in classes {
            let joint = if listed.form == Form::Trapezoidal {
                "-"
            } else {
                " "
            };
            let typed = format!("{}{joint}{class}", listed.designation);
            let thread = limits(&typed);
            assert_eq!(thread.form, listed.form, "{typed}");
            let again = limits(&thread.designation);
            assert_eq!(again.designation, thread.designation, "{typed}");
            assert_eq!(again.pitch_diameter, thread.pitch_diameter, "{typed}");
            assert_eq!(
                (again.major, again.minor),
                (thread.major, thread.minor),
                "{typed}"
            );
            assert_eq!(thread.nominal, listed.nominal, "{typed}");
            count += 1;
            if let Some(taper) = &thread.taper {
                assert!(taper.positions.windows(2).all(|pair| {
                    pair[0].at < pair[1].at && pair[0].pitch_diameter < pair[1].pitch_diameter
                }));
                continue;
            }
            let pitch = thread.pitch_diameter;
            assert!(pitch.lower < pitch.upper, "{typed}");
            let below = thread.minor.upper.unwrap();
            assert!(Some(below) < pitch.lower, "{typed}");
            assert!(
                thread.major.lower > pitch.upper || thread.major.lower > pitch.lower,
                "{typed}"
            );
        }
    }
    assert!(count > 1500, "{count}");
}

#[test]
fn weak_numbers_are_not_passed_off_as_the_standard() {
    for weak in [
        "1/2-12 BSW medium",
        "G 1/2 A",
        "1/4-28 UNJF-3A",
        "MJ8x1-4h6h",
        "1/2-10 STUB ACME-2G",
        "1/2-10 ACME-3G",
    ] {
        let thread = limits(weak);
        assert_eq!(thread.confidence, Confidence::Weak, "{weak}");
        let from_memory = thread.notes.iter().any(|note| {
            matches!(
                note,
                Note::Whitworth
                    | Note::GPipe
                    | Note::UnjExternal
                    | Note::MjExternal
                    | Note::StubAcme
                    | Note::AcmeMemory
            )
        });
        assert!(from_memory, "{weak}: {:?}", thread.notes);
    }
    assert_eq!(limits("1/8-27 NPT").confidence, Confidence::Solid);
    assert_eq!(limits("R 1/4").confidence, Confidence::Solid);
    assert_eq!(limits("1/2-10 ACME-2G").confidence, Confidence::Solid);
    assert_eq!(limits("Tr10x2-7e").confidence, Confidence::Solid);
}

/// Root radius limits of UNJ and MJ: 0.150 11 P and 0.180 42 P, worked by hand for 28 per inch and 1 mm.
#[test]
fn the_root_radius_is_a_limit() {
    let inch = |text: &str| Length::from_decimal(text.parse().unwrap(), LengthUnit::Inch).ok();
    let unj = limits("1/4-28 UNJF-3A").root_radius;
    assert_eq!((unj.lower, unj.upper), (inch("0.0054"), inch("0.0064")));
    let mj = limits("MJ6x1-4h6h").root_radius;
    let um = |count| Some(Length::from_micrometres(count));
    assert_eq!((mj.lower, mj.upper), (um(150), um(180)));
    assert_eq!(limits("1/4-28 UNJF-3B").root_radius.upper, None);
    // Major and pitch diameters of UNJ are those of UN.
    let (unj, un) = (limits("1/4-28 UNJF-3A"), limits("1/4-28 UNF-3A"));
    assert_eq!(
        (unj.major, unj.pitch_diameter),
        (un.major, un.pitch_diameter)
    );
}

/// ISO 2903, from memory: two starts widen the pitch-diameter tolerance by 1.12. Td2 of grade 8 for 22.4 to 45 and P 7
/// is 450, so 504.
#[test]
fn several_starts_widen_the_trapezoidal_tolerance() {
    let single = limits("Tr40x7-8e").pitch_diameter.tolerance();
    let double = limits("Tr40x14P7-8e");
    assert_eq!(single, Some(Length::from_micrometres(450)));
    assert_eq!(
        double.pitch_diameter.tolerance(),
        Some(Length::from_micrometres(504))
    );
    assert_eq!(double.starts, 2);
    assert_eq!(double.lead_in(LengthUnit::Millimetre), 14.0);
}

/// BS 84: the tolerance grows with the length of engagement. T = 0.002 x 0.7937 + 0.003 x 1 + 0.005 x 0.2887, by hand.
#[test]
fn whitworth_engagement_changes_the_tolerance() {
    let long = limits("1/2-12 BSW medium LE 1");
    assert_eq!(
        long.pitch_diameter.tolerance(),
        Some(Length::from_ten_thousandths_inch(60))
    );
    assert_eq!(long.allowance, limits("1/2-12 BSW medium").allowance);
}

#[test]
fn taper_diameters_belong_to_positions() {
    let npt = limits("1/8-27 NPT");
    let taper = npt.taper.unwrap();
    let inch = |length: Length| length.to_fixed(LengthUnit::Inch, 5);
    assert_eq!(inch(taper.positions[0].pitch_diameter), "0.36351");
    assert_eq!(inch(taper.positions[1].pitch_diameter), "0.37360");
    let halfway = Length::from_ten_thousandths_inch(800);
    let found = taper.at(halfway, LengthUnit::Inch).unwrap();
    // 0.36351 + 0.08/16, by hand.
    assert_eq!(inch(found.pitch_diameter), "0.36851");
    assert!(
        taper
            .at(Length::from_ten_thousandths_inch(9_000), LengthUnit::Inch)
            .is_err()
    );
    // R 1/2: 19.793 in the gauge plane 8.2 from the small end, so 19.793 - 8.2/16 there.
    let r = limits("R 1/2").taper.unwrap();
    assert_eq!(
        r.positions[0]
            .pitch_diameter
            .to_fixed(LengthUnit::Millimetre, 4),
        "19.2805"
    );
    assert_eq!(
        r.positions[1]
            .tolerance
            .unwrap()
            .to_fixed(LengthUnit::Millimetre, 4),
        "0.1125"
    );
}

mod properties {
    use proptest::prelude::*;

    use super::READ;
    use crate::designations::properties::{never_panics, with_slip};

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn inch_shapes(
            size in "([0-9]{1,2}|[0-9]?\\.[0-9]{1,4}|[1-6]?[ -]?[1-9]/(2|4|8|16|32|64))",
            count in "(-[0-9]{1,2}(\\.5| 1/2)?|-0\\.[0-9]{1,3}P-0\\.[0-9]{1,3}L)?",
            form in " (BSW|BSF|Whit\\.S|WHIT|ACME|STUB ACME|BA|NPT|NPTF|BSPP|BSPT|UNJ[CFS]?)",
            class in "([ -]([2-4][GCAB]|close|medium|free|normal))?",
            tail in "( LH)?( LE [0-9]\\.[0-9])?( nut| bolt)?( \\(2 starts\\))?",
        ) {
            never_panics(&format!("{size}{count}{form}{class}{tail}"));
        }

        #[test]
        fn metric_shapes(
            form in "(MJ|Tr|tr )",
            diameter in "[0-9]{1,3}([.,][0-9])?",
            pitch in "(x[0-9]{1,2}([.,][0-9]{1,2})?(\\(?P[0-9]\\)?)?)?",
            class in "(-[4-9][a-hGH]([3-9][a-hGH])?(/[79][He])?)?",
            tail in "(-L)?(-LH)?( LE [0-9]{1,2})?( nut)?",
        ) {
            never_panics(&format!("{form}{diameter}{pitch}{class}{tail}"));
        }

        #[test]
        fn pipe_shapes(form in "(G|R|Rc|Rp|g)", size in " ?[0-9]?( ?[0-9]/[0-9]{1,2})?\"?", rest in "[ -]?(1[49])?[ -]?[ABC]?( LH)?( nut)?") {
            never_panics(&format!("{form}{size}{rest}"));
        }

        #[test]
        fn one_slip_in_a_good_designation(
            index in 0..READ.len(),
            at in 0_usize..40,
            letter in any::<char>(),
            how in 0..3,
        ) {
            never_panics(&with_slip(READ[index].0, at, letter, how));
        }
    }
}

/// ISO 7-1 gives Rp 1 to Rp 2 a tolerance of 0.180 mm, JIS B 0203 prints 0.181: the one is answered, the other told.
#[test]
fn what_another_document_prints_of_a_pipe_thread_is_told() {
    let mm =
        |text: &str| Length::from_decimal(text.parse().unwrap(), LengthUnit::Millimetre).unwrap();
    let parallel = limits("Rp 1");
    assert_eq!(parallel.pitch_diameter.upper, Some(mm("31.950")));
    let of_pitch =
        (parallel.disputes.iter()).find(|dispute| dispute.limit == DisputedLimit::PitchMax);
    assert_eq!(of_pitch.unwrap().other, mm("31.951"));
    assert_eq!(parallel.disputes.len(), 6);
    assert_eq!(limits("Rc 1").disputes.len(), 1);
    for size in ["Rp 3/4", "R 1", "Rp 2 1/2"] {
        assert!(limits(size).disputes.is_empty(), "{size}");
    }
}
