//! Designations as people write them.

use metrology::designation::parse;

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
