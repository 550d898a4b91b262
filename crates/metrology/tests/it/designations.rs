//! Designations as people write them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use metrology::designation::{Assumed, Fault, KnownName, parse};
use metrology::units::Entered;

/// What was typed, and the notation of the standard.
const READ: &[(&str, &str)] = &[
    ("1/4-20 UNC-2A", "1/4-20 UNC-2A"),
    ("1/4-20UNC2A", "1/4-20 UNC-2A"),
    ("1/4-20 unc-2a", "1/4-20 UNC-2A"),
    ("1/4 - 20 UNC - 2A", "1/4-20 UNC-2A"),
    ("1/4 x 20 UNC 2A", "1/4-20 UNC-2A"),
    ("1/4X20 UNC-2A", "1/4-20 UNC-2A"),
    ("1/4\u{d7}20 UNC-2A", "1/4-20 UNC-2A"),
    ("\u{bc}-20 UNC-2A", "1/4-20 UNC-2A"),
    ("1/4\"-20 UNC-2A", "1/4-20 UNC-2A"),
    ("1/4\u{2013}20 UNC\u{2212}2A", "1/4-20 UNC-2A"),
    ("0.250-20 UNC-2A", "1/4-20 UNC-2A"),
    (".25-20 UNC-2A", "1/4-20 UNC-2A"),
    ("0,250-20 UNC-2A", "1/4-20 UNC-2A"),
    ("1/4-20 UNC 2A bolt", "1/4-20 UNC-2A"),
    ("1/4-20 TPI UNC class 2A", "1/4-20 UNC-2A"),
    ("UNC 1/4-20 2A", "1/4-20 UNC-2A"),
    ("1/4 UNC-2A", "1/4-20 UNC-2A"),
    ("1/4-20-2A", "1/4-20 UNC-2A"),
    ("1/4-20", "1/4-20 UNC-2A"),
    ("1/4-20 nut", "1/4-20 UNC-2B"),
    ("#10-32 UNF-2A", "10-32 UNF-2A"),
    ("No. 10-32 UNF-2A", "10-32 UNF-2A"),
    ("no.10 - 32 unf 2a", "10-32 UNF-2A"),
    ("10-32 UNF-2A", "10-32 UNF-2A"),
    ("10-32", "10-32 UNF-2A"),
    (".190-32 UNF-2A", "10-32 UNF-2A"),
    ("0-80 UNF-3A", "0-80 UNF-3A"),
    ("1 1/8-8UN-2B", "1 1/8-8 UN-2B"),
    ("1-1/8-8 UN-2B", "1 1/8-8 UN-2B"),
    ("1 1/8-8-UN-2B", "1 1/8-8 UN-2B"),
    ("1 1/2-6 UNC-2A", "1 1/2-6 UNC-2A"),
    ("1\u{bd}-6 UNC-2A", "1 1/2-6 UNC-2A"),
    ("2-4 1/2 UNC-2A", "2-4.5 UNC-2A"),
    ("2-4.5 UNC-2A", "2-4.5 UNC-2A"),
    ("2.000-4.5 UNC-2A", "2-4.5 UNC-2A"),
    ("2-4-1/2 UNC-2A", "2-4.5 UNC-2A"),
    ("2 1/4-4 1/2 UNC-2A", "2 1/4-4.5 UNC-2A"),
    ("2-12 UN-2A", "2-12 UN-2A"),
    ("2-56 UNC-2A", "2-56 UNC-2A"),
    ("0.4375-20 UNRF-2A", "7/16-20 UNRF-2A"),
    ("1/4-20 UNC-3A-LH", "1/4-20 UNC-3A-LH"),
    ("1/4-20 UNC-LH-3A", "1/4-20 UNC-3A-LH"),
    ("1/4-20 UNC-3A left hand", "1/4-20 UNC-3A-LH"),
    ("1/4-20 UNC-2A (21)", "1/4-20 UNC-2A (21)"),
    ("1/4-20 UNC-2AG", "1/4-20 UNC-2AG"),
    ("7/16-28 UNEF-2A SE LE 1.00", "7/16-28 UNEF-2A SE LE 1"),
    (
        "0.750-0.0625P-0.1875L (3 STARTS) UNS-2A",
        "0.7500-0.0625P-0.1875L (3 STARTS) UNS-2A",
    ),
    ("19/64-36 UNS-2A", "19/64-36 UNS-2A"),
    ("0.2969-36 UNS-2A", "19/64-36 UNS-2A"),
    ("5-40 UNC-2A", "5-40 UNC-2A"),
    ("0.125-40 UNC-2A", "5-40 UNC-2A"),
    ("1-8", "1-8 UNC-2A"),
    ("1/4-20 UNC-2A/2B internal", "1/4-20 UNC-2B"),
    ("1-12 UN-2A", "1-12 UNF-2A"),
    ("M10x1.5-6g", "M10x1.5-6g"),
    ("M10-6g", "M10x1.5-6g"),
    ("M10", "M10x1.5-6g"),
    ("M10 nut", "M10x1.5-6H"),
    ("m10x1.5-6g", "M10x1.5-6g"),
    ("M 10 x 1,5 - 6g", "M10x1.5-6g"),
    ("M10*1.5 6g", "M10x1.5-6g"),
    ("M10X1.5-6G", "M10x1.5-6G"),
    ("M10\u{d7}1.50\u{2011}6g", "M10x1.5-6g"),
    ("M10-1.5-6g", "M10x1.5-6g"),
    ("M10-1.50", "M10x1.5-6g"),
    ("M10x1.5mm-6g", "M10x1.5-6g"),
    ("M10x1-5g6g", "M10x1-5g6g"),
    ("M6-5H6H", "M6x1-5H6H"),
    ("M10-6g6g", "M10x1.5-6g"),
    ("M10-6H/6g bolt", "M10x1.5-6g"),
    ("M10-6H/6g internal", "M10x1.5-6H"),
    ("M6-7g6g-L", "M6x1-7g6g-L"),
    ("M20x2-5H-S", "M20x2-5H-S"),
    ("M8x1-LH", "M8x1-6g-LH"),
    ("M6x0.5-5h6h-S-LH", "M6x0.5-5h6h-S-LH"),
    ("M16xPh3P1.5-6H", "M16xPh3P1.5-6H"),
    ("M16xL4-P2-4h6h (TWO STARTS)", "M16xPh4P2-4h6h"),
    ("M14xPh6P2-7H-L-LH", "M14xPh6P2-7H-L-LH"),
    ("M16x3(P1.5)-6H", "M16xPh3P1.5-6H"),
    ("M1,6-6g", "M1.6x0.35-6g"),
    ("M1.4", "M1.4x0.3-6h"),
    ("M6.5x1-4h6h", "M6.5x1-4h6h"),
    ("M6x1-4h6h (22)", "M6x1-4h6h (22)"),
    ("\u{41c}10\u{445}1,5-6H", "M10x1.5-6H"),
    // Other letters of the Cyrillic and the Greek keyboard that look the same.
    ("1/4-20 UN\u{421}-2\u{410}", "1/4-20 UNC-2A"),
    ("1/4-20 U\u{39d}C-2\u{412}", "1/4-20 UNC-2B"),
    ("G 1/2 \u{410}", "G 1/2 A"),
    ("\u{422}r20\u{445}4-7\u{435}", "Tr20x4-7e"),
    ("1/4''-20 UNC-2A", "1/4-20 UNC-2A"),
    ("1-1/4\" - 7 UNC - 2A ext.", "1 1/4-7 UNC-2A"),
    (".312-18 UNC-2A", "5/16-18 UNC-2A"),
    (".438-14 UNC-2A", "7/16-14 UNC-2A"),
    ("1.062-18 UNEF-2B", "1 1/16-18 UNEF-2B"),
    ("1/4-20 UNC-2A PD 0.2164-0.2127", "1/4-20 UNC-2A"),
    (
        "1/4-20 UNC-2A MAJOR DIA .2489/.2408 PD .2127 to .2164",
        "1/4-20 UNC-2A",
    ),
    (".312-19 UNS-2A", "0.312-19 UNS-2A"),
    ("1 1/8 8UN series 2B", "1 1/8-8 UN-2B"),
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

#[test]
fn every_read_designation_has_limits_and_reads_back() {
    for (typed, _) in READ {
        let thread = parse(typed).unwrap();
        let limits = thread.limits().unwrap();
        let again = parse(&limits.designation).unwrap();
        assert_eq!(again.to_string(), limits.designation, "{typed}");
        let again = again.limits().unwrap();
        assert_eq!(again.pitch_diameter, limits.pitch_diameter, "{typed}");
        assert_eq!(again.major, limits.major, "{typed}");
        assert_eq!(again.minor, limits.minor, "{typed}");
        assert_eq!(again.hand, limits.hand, "{typed}");
        assert_eq!(again.starts, limits.starts, "{typed}");
    }
}

/// What was typed, the kind of error, the piece it points at, and the first suggestion.
/// A number that may be a pitch without its point or the end of the size is not taken for a length alone.
#[test]
fn what_may_be_a_length_or_not_is_offered_as_both() {
    for (text, meant) in [
        ("M10x10", &["M10x1.5", "M10x1.0"][..]),
        ("M8x10", &["M8x1.25", "M8x1.0"]),
        ("M1 6", &["M1x0.25", "M1.6", "M16"]),
        ("M1 4", &["M1x0.25", "M1.4", "M14"]),
        ("M8x40", &["M8x1.25"]),
        ("M8 LH x 1", &["M8x1-LH"]),
    ] {
        let error = parse(text).unwrap_err();
        assert_eq!(error.kind(), "of-the-screw", "{text}");
        assert_eq!(error.suggestions(), meant, "{text}");
    }
}

const REFUSED: &[(&str, &str, &str, Option<&str>)] = &[
    ("", "empty", "", None),
    ("hello", "unknown-form", "hello", None),
    ("M10x1.6-6g", "no-such-pitch", "1.6", Some("M10x1.5-6g")),
    (
        "M10\u{d7}1,6 6g",
        "no-such-pitch",
        "1,6",
        Some("M10x1.5 6g"),
    ),
    ("M10x2-6g", "no-such-pitch", "2", Some("M10x1.5-6g")),
    ("M10x30", "of-the-screw", "30", Some("M10x1.5")),
    ("M8 LH x 1", "of-the-screw", "x 1", Some("M8x1-LH")),
    ("M8 LH x1-6g", "of-the-screw", "x1", Some("M8x1-6g-LH")),
    ("M1\u{41e}", "unexpected", "\u{41e}", Some("M10")),
    ("M72-6g", "missing-pitch", "M72", Some("M72x6-6g")),
    ("M10x-6g", "missing-pitch", "-", None),
    ("M10x-1.5", "negative", "-", None),
    ("M10x6g", "missing-pitch", "6g", None),
    ("M", "missing-size", "", None),
    ("M-6g", "missing-size", "-", None),
    ("M-10x1.5", "negative", "-", None),
    ("M0x1", "size-out-of-range", "0", None),
    ("M1000x6", "size-out-of-range", "1000", None),
    ("M10x1.5-6", "unknown-class", "6", Some("M10x1.5-6g")),
    ("M10x1.5-6k", "unknown-class", "6k", Some("M10x1.5-6g")),
    ("M10x1.5-6E", "unknown-class", "6E", Some("M10x1.5-6e")),
    ("M10x1.5-5g", "unknown-class", "5g", Some("M10x1.5-5g6g")),
    ("M10x1.5-9H", "unknown-class", "9H", Some("M10x1.5-8h")),
    (
        "M10x1.5-5g6h",
        "mixed-positions",
        "5g6h",
        Some("M10x1.5-5g6g"),
    ),
    (
        "M10x1.5-6H/6g",
        "fit-names-two-threads",
        "6H/6g",
        Some("M10x1.5-6H"),
    ),
    ("M10x1.5-6g nut", "side-conflict", "6g", Some("M10x1.5-6g")),
    ("M10,1.25", "two-decimal-signs", "10,1.25", Some("M10x1.25")),
    ("0.250.20", "two-decimal-signs", "0.250.20", None),
    ("M0,9", "size-out-of-range", "0,9", None),
    // Empty cells of ISO 965-1: refused, not computed.
    ("M1x0.2-6H", "class-not-defined", "6H", Some("M1x0.2-4H")),
    ("M2x0.25-6H", "class-not-defined", "6H", Some("M2x0.25-5H")),
    ("M2x0.4-6a", "class-not-defined", "6a", Some("M2x0.4-6g")),
    (
        "M1.2x0.25-6f",
        "class-not-defined",
        "6f",
        Some("M1.2x0.25-6g"),
    ),
    (
        "M2.2x0.45-6e",
        "class-not-defined",
        "6e",
        Some("M2.2x0.45-6g"),
    ),
    ("M30x1-8H", "class-not-defined", "8H", Some("M30x1-6H")),
    ("M16xPh4P1.5-6H", "lead-mismatch", "4P1.5", None),
    ("M16xPh3P1.5-6H (3 starts)", "lead-mismatch", "1.5", None),
    ("M10-L", "missing-class", "L", Some("M10x1.5-7g6g-L")),
    ("M10x1.5-6g-S LE 10", "engagement", "LE 10", None),
    ("M10x1.5in", "wrong-unit", "in", None),
    ("10x1.5-6g", "missing-m", "10x1.5", Some("M10x1.5-6g")),
    ("6x1", "missing-m", "6x1", Some("M6x1")),
    (
        "1/4-20 UNF-2A",
        "not-in-series",
        "UNF",
        Some("1/4-28 UNF-2A"),
    ),
    ("1/4-21 UN-2A", "not-in-series", "UN", Some("1/4-21 UNS-2A")),
    (
        "1/4-20 UNS-2A",
        "not-in-series",
        "UNS",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "1/4-20 UNQ-2A",
        "unknown-series",
        "UNQ",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "3/8-24 UNFJ-3A",
        "unknown-series",
        "UNFJ",
        Some("3/8-24 UNJF-3A"),
    ),
    (
        "1/4-20 UNRC-2B",
        "external-only",
        "UNRC",
        Some("1/4-20 UNC-2B"),
    ),
    (
        "1/4-20 UNC-4A",
        "unknown-class",
        "4A",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "1/4-20 UNC-2C",
        "unknown-class",
        "2C",
        Some("1/4-20 UNC-2A"),
    ),
    ("1/4-20 UNC-2", "unknown-class", "2", Some("1/4-20 UNC-2A")),
    (
        "1/4-20 UNC-3AG",
        "unknown-class",
        "3AG",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "10-32 UNF-1A",
        "class-not-defined",
        "1A",
        Some("10-32 UNF-2A"),
    ),
    (
        "1 1/8-8 UN-1B",
        "class-not-defined",
        "1B",
        Some("1 1/8-8 UN-2B"),
    ),
    (
        "1/4-20 UNC-2A/2B",
        "fit-names-two-threads",
        "2A/2B",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "1/4-20 UNC-2A internal",
        "side-conflict",
        "2A",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "3/8-24 UNF-3A MOD",
        "modified-limits",
        "MOD",
        Some("3/8-24 UNF-3A"),
    ),
    (
        "1/4-20 UNC-2A PD 0.2164-0.2117",
        "stated-limits-differ",
        "PD 0.2164-0.2117",
        Some("1/4-20 UNC-2A"),
    ),
    ("1/4-20 UNC-2A (24)", "unknown-gauging", "(24)", None),
    ("1/4-20 UNC-2A SE", "engagement", "SE", None),
    ("1/4", "missing-pitch", "1/4", Some("1/4-20 UNC")),
    ("UNC-2A", "missing-size", "2A", None),
    (
        "20 UNC-2A",
        "size-out-of-range",
        "20",
        Some("1/4-20 UNC-2A"),
    ),
    (
        "1/4-3 UNC-2A",
        "impossible-pitch",
        "3",
        Some("1/4-20 UNC-2A"),
    ),
    ("1/4-2000", "impossible-pitch", "2000", Some("1/4-20 UNC")),
    ("-1/4-20 UNC", "negative", "-", None),
    ("1/0-20 UNC", "no-such-number", "1/0", None),
    (
        "99999999999999999999-20",
        "no-such-number",
        "999999999999",
        None,
    ),
    ("#7-32 UNF", "unknown-number-size", "#7", None),
    ("4-32 UNS-2A", "ambiguous-size", "4", Some("#4-32 UNS-2A")),
    ("6 mm x 1", "missing-m", "6", Some("M6 mm x 1")),
    ("1/4 mm-20", "wrong-unit", "mm", None),
    (
        "1/4-20 UNC-2A foo",
        "unexpected",
        "foo",
        Some("1/4-20 UNC-2A"),
    ),
    ("1/4-20 UNC-2A-LH-LH", "stated-twice", "LH", None),
    // 7/16 extra fine has 28 threads per inch.
    (
        "7/16-24 UNEF-2A SE LE 1.00",
        "not-in-series",
        "UNEF",
        Some("7/16-28 UNEF-2A"),
    ),
    // Slips of the keyboard, and hands that must not be lost.
    (
        "1/4-20 UNC 2A LHT",
        "unexpected",
        "LHT",
        Some("1/4-20 UNC 2A LH"),
    ),
    ("M10x1.5-g6", "unexpected", "g6", Some("M10x1.5-6g")),
    ("M10x1.5-h6g5", "unexpected", "h6g5", None),
    ("M10x1.5-g5g6", "unexpected", "g5g6", Some("M10x1.5-5g6g")),
    ("1/4-20 UNC-A2", "unexpected", "A2", Some("1/4-20 UNC-2A")),
    ("M1Ox1.5", "unexpected", "Ox1.5", Some("M10x1.5")),
    ("Ml0x1.5-6g", "unknown-form", "Ml0x1.5", Some("M10x1.5-6g")),
    (
        "I/4-2O UNC-2A",
        "unknown-form",
        "I/4",
        Some("1/4-20 UNC-2A"),
    ),
    ("M10x1.S-6g", "no-such-number", "1.S", Some("M10x1.5-6g")),
    (
        "M10x1.5-6q-LH",
        "unknown-class",
        "6q",
        Some("M10x1.5-6g-LH"),
    ),
    (
        "M10x1.5-6gLH",
        "unknown-class",
        "6gLH",
        Some("M10x1.5-6g-LH"),
    ),
    (
        "1/4-20 UNC-2Q LH",
        "unknown-class",
        "2Q",
        Some("1/4-20 UNC-2A LH"),
    ),
    (
        "M10x1.5-6gleft",
        "unknown-class",
        "6gleft",
        Some("M10x1.5-6g-left"),
    ),
    ("M1Ox1.5-6gLH", "unexpected", "Ox1.5", Some("M10x1.5-6g-LH")),
    ("M10x1.5-6g-HL", "unexpected", "HL", Some("M10x1.5-6g-LH")),
    (
        "1/4-20 UNC-2A-LJ",
        "unexpected",
        "LJ",
        Some("1/4-20 UNC-2A-LH"),
    ),
    // No size in the tables is near.
    ("10,5", "missing-pitch", "10,5", None),
];

#[test]
fn refuses_with_one_error_that_points_and_suggests() {
    let mut wrong = Vec::new();
    for (typed, kind, piece, suggestion) in REFUSED {
        let Err(error) = parse(typed) else {
            wrong.push(format!("{typed:?} was read"));
            continue;
        };
        let pointed = error
            .at()
            .map_or("", |place| typed.get(place).unwrap_or("?"))
            .trim();
        let first = error.suggestions().first().map(String::as_str);
        if (error.kind(), pointed, first) != (*kind, *piece, *suggestion) {
            wrong.push(format!(
                "{typed:?}: {} at {pointed:?}, suggests {first:?}",
                error.kind()
            ));
        }
        for suggestion in error.suggestions() {
            assert!(
                parse(suggestion).is_ok(),
                "{typed:?} suggests {suggestion:?}"
            );
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A mixed number whose space was left out is another size: what was read is said.
#[test]
fn a_fraction_greater_than_one_is_said() {
    let is_said = |text: &str| {
        let assumed = parse(text).unwrap().limits().unwrap().assumed;
        let said = |one: &Assumed| matches!(one, Assumed::GreaterThanOne { mixed, .. } if mixed == "1 1/2");
        assumed.iter().any(said)
    };
    for run_together in ["11/2-12 UN-2A", "11/2-4 ACME-2G"] {
        assert!(is_said(run_together), "{run_together}");
    }
    for plain in [
        "1 1/2-12 UN-2A",
        "5 1/2-12 UN-2A",
        "11/16-12 UN-2A",
        "G1 1/2A",
    ] {
        assert!(!is_said(plain), "{plain}");
    }
}

/// What was left open is said in words.
#[test]
fn states_what_it_assumed() {
    let assumed = |text: &str| parse(text).unwrap().limits().unwrap().assumed;
    let taken = |text: &str, all: &[Assumed]| {
        let found = assumed(text);
        assert!(
            all.iter().all(|taken| found.contains(taken)),
            "{text}: {found:?}"
        );
    };
    assert_eq!(assumed("M10x1.5-6g"), []);
    assert_eq!(assumed("1/4-20 UNC-2A"), []);
    let metric_class = |class: &str| Assumed::MetricClass {
        class: class.to_owned(),
    };
    taken(
        "M12",
        &[
            Assumed::CoarsePitch {
                size: "M12".to_owned(),
                pitch: Entered::parse("1.75mm", None).unwrap(),
            },
            Assumed::External,
            metric_class("6g"),
        ],
    );
    taken(
        "1 1/2-6",
        &[
            Assumed::Series {
                thread: "1 1/2-6".to_owned(),
                series: "UNC",
            },
            Assumed::External,
            Assumed::UnifiedClass { class: "2A" },
        ],
    );
    taken("0.750-0.0625P-0.1875L-2A", &[Assumed::StartsAreSpecial]);
    taken("M1.4 nut", &[metric_class("5H")]);
    taken("M1x0.2 nut", &[metric_class("4H")]);
    taken(
        "M10X1.5-6G",
        &[Assumed::CapitalLetter {
            class: "6G".to_owned(),
        }],
    );
    taken(
        "1-12 UN-2A",
        &[Assumed::ListedSeries {
            thread: "1-12".to_owned(),
            series: "UNF",
        }],
    );
    let unlisted = |thread: &str| Assumed::UnlistedMetric {
        thread: thread.to_owned(),
    };
    taken(
        "M6x0.5-6g",
        &[unlisted("M6x0.5"), Assumed::MetricCalculated],
    );
    assert_eq!(assumed("M13x1.5-6g"), [unlisted("M13x1.5")]);
}

/// Standard threads read back to the diameter and pitch they are listed with, in every class they have.
#[test]
fn every_standard_thread_has_limits() {
    use metrology::designation::{Form, standard_threads};
    assert!(standard_threads().len() > 700);
    for listed in standard_threads() {
        let classes: &[&str] = match listed.form {
            Form::Unified => &["2A", "3A", "2B", "3B"],
            Form::IsoMetric => &["4h", "4H"],
            _ => continue,
        };
        for class in classes {
            let designation = format!("{}-{class}", listed.designation);
            let limits = parse(&designation)
                .and_then(|thread| thread.limits())
                .unwrap_or_else(|error| panic!("{designation}: {error}"));
            assert_eq!(limits.designation, designation);
            assert_eq!(
                (limits.nominal, limits.pitch),
                (listed.nominal, listed.pitch)
            );
            assert!(
                limits.assumed.is_empty(),
                "{designation}: {:?}",
                limits.assumed
            );
            let pitch = limits.pitch_diameter;
            assert!(
                pitch.lower < pitch.upper && limits.minor.upper < pitch.lower,
                "{designation}"
            );
            assert!(limits.major.lower > pitch.lower, "{designation}");
        }
    }
}

pub mod properties {
    use metrology::designation::{parse, standard_threads};
    use proptest::prelude::*;

    use super::READ;

    /// Reads or refuses; an error points into the text and suggests what can be read.
    pub fn never_panics(text: &str) {
        match parse(text) {
            Ok(thread) => {
                let printed = thread.to_string();
                let again = parse(&printed)
                    .unwrap_or_else(|error| panic!("{text:?} -> {printed:?}: {error}"));
                assert_eq!(again.to_string(), printed, "{text:?}");
                let (first, second) = (thread.limits().unwrap(), again.limits().unwrap());
                assert_eq!(
                    first.pitch_diameter, second.pitch_diameter,
                    "{text:?} -> {printed:?}"
                );
                assert_eq!(first.major, second.major, "{text:?} -> {printed:?}");
                assert_eq!(first.minor, second.minor, "{text:?} -> {printed:?}");
                assert_eq!(first.taper, second.taper, "{text:?}");
                assert_eq!(first.form, second.form, "{text:?}");
                assert!(first.profile().height() > 0.0, "{text:?}");
                assert!(
                    first.taper.is_some()
                        || first.pitch_diameter.lower < first.pitch_diameter.upper,
                    "{text:?}"
                );
            }
            Err(error) => {
                if let Some(place) = error.at() {
                    assert!(text.get(place).is_some(), "{text:?}: {:?}", error.at());
                }
                for suggestion in error.suggestions() {
                    assert!(
                        parse(suggestion).is_ok(),
                        "{text:?} suggests {suggestion:?}"
                    );
                }
            }
        }
    }

    /// One letter of a text typed wrong, too much or not at all.
    pub fn with_slip(text: &str, at: usize, letter: char, how: i32) -> String {
        let mut letters: Vec<char> = text.chars().collect();
        let at = at.min(letters.len() - 1);
        match how {
            0 => letters[at] = letter,
            1 => letters.insert(at, letter),
            _ => {
                letters.remove(at);
            }
        }
        letters.into_iter().collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn any_text(text in any::<String>()) {
            never_panics(&text);
        }

        #[test]
        fn text_of_thread_letters(text in "[M0-9.,/ xX#\"½×–()A-HUNCFSRELPa-hunx-]{0,30}") {
            never_panics(&text);
        }

        #[test]
        fn unified_shapes(
            size in "(#?1?[0-9]|[0-9]?\\.[0-9]{1,4}|[1-6]?[ -]?[1-9]/(2|4|8|16|32|64))",
            count in "[0-9]{1,3}(\\.5| 1/2)?",
            series in "( UN(C|F|EF|S|RC|R)?)?",
            class in "(-[1-3][AB])?",
            tail in "(-LH)?( SE)?( LE [0-9]\\.[0-9])?( \\(2[1-3]\\))?",
        ) {
            never_panics(&format!("{size}-{count}{series}{class}{tail}"));
        }

        #[test]
        fn metric_shapes(
            diameter in "[0-9]{1,3}([.,][0-9])?",
            pitch in "(x(Ph[0-9]P)?[0-9]([.,][0-9]{1,2})?)?",
            class in "(-[3-9][a-hGH]([3-9][a-hGH])?)?",
            tail in "(-[SNL])?(-LH)?( LE [0-9]{1,2})?",
        ) {
            never_panics(&format!("M{diameter}{pitch}{class}{tail}"));
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

        #[test]
        fn any_listed_thread_in_small_letters_and_with_spaces(index in 0..standard_threads().len()) {
            let listed = &standard_threads()[index];
            let loose = listed.designation.to_lowercase().replace('-', " - ").replace('x', " x ");
            let read = parse(&loose).unwrap();
            prop_assert!(read.to_string().starts_with(&listed.designation), "{loose}: {read}");
        }
    }
}

/// Names of threads that are known without being one thread here are told what they are, with what can be meant.
#[test]
fn known_names_without_a_table_are_told() {
    for (text, kind, name, suggestions) in [
        ("BSP", "several-forms", KnownName::Bsp, &[][..]),
        (
            "1/2 BSP",
            "several-forms",
            KnownName::Bsp,
            &["G 1/2 A", "G 1/2", "R 1/2", "Rc 1/2"],
        ),
        (
            "BSP 1 1/4 LH",
            "several-forms",
            KnownName::Bsp,
            &["G 1 1/4 A LH", "G 1 1/4 LH", "R 1 1/4 LH", "Rc 1 1/4 LH"],
        ),
        (
            "W 1/4",
            "several-forms",
            KnownName::W,
            &["1/4 BSW", "1/4 BSF"],
        ),
        (
            "1/4-20 W",
            "several-forms",
            KnownName::W,
            &["1/4 BSW", "1/4 BSF"],
        ),
        ("1/2-14 NPSC", "no-tables", KnownName::Nps, &[]),
        ("NPSM 1/2", "no-tables", KnownName::Npsm, &[]),
        ("Pg11", "no-tables", KnownName::Pg, &[]),
    ] {
        let error = parse(text).unwrap_err();
        assert_eq!(error.kind(), kind, "{text}");
        let (Fault::SeveralForms { what, .. } | Fault::NoTables { what, .. }) = error.fault()
        else {
            panic!("{text}: {error}");
        };
        assert_eq!(*what, name, "{text}");
        assert_eq!(error.suggestions(), suggestions, "{text}");
    }
    // S is a group of engagement where it is not the first word.
    assert!(parse("M10-6g-S").is_ok());
}
