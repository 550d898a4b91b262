//! Mistyped designations, as technicians write them: what is offered instead is the thread that was meant, or nothing.
//!
//! What was meant is common knowledge of the trade; what a screw is called behind its thread is in ISO 4014 (`M10 x 30`) and ISO 898-1
//! (8.8), the hand in ISO 965-1 (`LH` last), the older pipe symbols PT and PF in JIS B 0203 and B 0202 (from memory).

#![allow(clippy::unwrap_used, reason = "tests")]

use metrology::designation::{Assumed, Hand, parse};
use proptest::prelude::*;

/// What was typed, the piece that the error points at, and all that is offered.
const MISTYPED: &[(&str, &str, &[&str])] = &[
    // A point, a hyphen, a blank or nothing in the place of the slash, and a slash in the place of the hyphen.
    ("1.4-20 UNC", "UNC", &["1/4-20 UNC"]),
    ("1.4-20 UNC-2A LH", "UNC", &["1/4-20 UNC-2A LH"]),
    ("3.8-16 UNC", "UNC", &["3/8-16 UNC"]),
    ("5.16-18 UNC", "UNC", &["5/16-18 UNC"]),
    ("1-2-13 UNC", "13", &["1/2-13 UNC"]),
    ("1-4-20 UNC-2A", "20", &["1/4-20 UNC-2A"]),
    ("1.2-13 UNC-2B LH", "UNC", &["1/2-13 UNC-2B LH"]),
    ("1.8-27 NPT", "1.8", &["1/8-27 NPT"]),
    ("3.8-16 BSW", "3.8", &["3/8-16 BSW"]),
    ("1-4-20 BSW", "20", &["1/4-20 BSW"]),
    ("G1.2A", "1.2", &["G1/2A"]),
    ("G 3.4", "3.4", &["G 3/4"]),
    ("R 1.2", "1.2", &["R 1/2"]),
    ("14-20 UNC", "14", &["1/4-20 UNC"]),
    ("14-20 UNC-2A-LH", "14", &["1/4-20 UNC-2A-LH"]),
    ("12-13 UNC", "UNC", &["1/2-13 UNC"]),
    ("12-20 UNF", "UNF", &["1/2-20 UNF"]),
    ("38-16 UNC", "38", &["3/8-16 UNC"]),
    ("38-16", "38", &["3/8-16"]),
    ("516-18 UNC", "516", &["5/16-18 UNC"]),
    ("114-7 UNC", "114", &["1 1/4-7 UNC"]),
    ("1 14-7 UNC", "7", &["1 1/4-7 UNC"]),
    ("1.1/4-7 UNC", "1.1/4", &["1 1/4-7 UNC"]),
    ("11/2-6 UNC", "UNC", &["1 1/2-6 UNC"]),
    ("12-14 NPT", "14", &["1/2-14 NPT"]),
    ("18-27 NPT", "18", &["1/8-27 NPT"]),
    ("G12A", "12", &["G1/2A"]),
    ("R 38", "38", &["R 3/8"]),
    ("14-20 UNS", "14", &[]),
    ("10/32 UNF", "10/32", &["10-32 UNF"]),
    ("8.32 UNC", "8.32", &["8-32 UNC"]),
    ("6/32 UNC 2B", "6/32", &["6-32 UNC 2B"]),
    ("4/40 UNC", "4/40", &["4-40 UNC"]),
    ("8.93", "8.93", &[]),
    // Letters of a series or a symbol in another order, or a wrong one.
    ("1/2-14 NTP", "NTP", &["1/2-14 NPT"]),
    ("1/2-14 NPFT", "NPFT", &["1/2-14 NPTF"]),
    ("1/2-14 NTPF LH", "NTPF", &["1/2-14 NPTF LH"]),
    ("1/2-14 NPTT", "NPTT", &["1/2-14 NPT"]),
    ("NTP 1/8", "NTP", &["NPT 1/8"]),
    ("1/2-14 N.P.T.", "N.P.T.", &["1/2-14 NPT"]),
    ("1/4-20 UCN-2A LH", "UCN", &["1/4-20 UNC-2A LH"]),
    ("1/4-28 UFN-2B", "UFN", &["1/4-28 UNF-2B"]),
    ("1/4-20 NUC-2A", "NUC", &["1/4-20 UNC-2A"]),
    ("1/4-20 UMC-2A", "UMC", &["1/4-20 UNC-2A"]),
    ("1/4-28 NFT", "NFT", &["1/4-28 UNF"]),
    ("1/4-28NF", "NF", &["1/4-28UNF"]),
    ("1/4-20 NC-2A", "NC", &["1/4-20 UNC-2A"]),
    ("1/4-20NC-2", "NC", &[]),
    ("1/4-20UNCR-2A", "UNCR", &["1/4-20UNRC-2A"]),
    ("1/4-32 UNFE", "UNFE", &["1/4-32 UNEF"]),
    ("1/4-28 UNJ F-3A", "F", &["1/4-28 UNJF-3A"]),
    ("3/8-16 BWS", "BWS", &["3/8-16 BSW"]),
    ("1/2-12 BWS LH", "BWS", &["1/2-12 BSW LH"]),
    ("1/2-16 BSF clsoe", "clsoe", &["1/2-16 BSF close"]),
    ("1/2 whitwort", "whitwort", &["1/2 WHITWORTH"]),
    ("1/2-10 AMCE-2G", "AMCE", &["1/2-10 ACME-2G"]),
    ("1/2-10 STUB AMCE 2G", "STUB", &["1/2-10 STUB ACME 2G"]),
    ("1/2 BSTP", "BSTP", &["1/2 BSPT"]),
    ("1/2 BPSP", "BPSP", &["1/2 BSPP"]),
    ("4 AB nut", "AB", &["4 BA nut"]),
    ("4 B.A.", "B.A.", &["4 BA"]),
    ("JM6x1-4h6h", "JM6x1", &["MJ6x1-4h6h"]),
    ("RT40x7", "RT40x7", &["Tr40x7"]),
    ("T40x7", "T40x7", &["Tr40x7"]),
    ("Trap 40x7-7e links", "Trap", &["Tr 40x7-7e LH"]),
    ("MF10x1", "MF10x1", &["M10x1"]),
    ("N10x1.5", "N10x1.5", &["M10x1.5"]),
    ("1/2 G", "G", &["G 1/2"]),
    ("1/2 GAS", "GAS", &["G 1/2"]),
    ("CR 1/2", "CR", &["Rc 1/2"]),
    ("PR 1/2", "PR", &["Rp 1/2"]),
    // The hand first, in another language, or mistyped: never a right-hand thread for a text that says left.
    ("LH M10x1.5", "LH", &["M10x1.5-LH"]),
    ("left M10x1.5", "left", &["M10x1.5-LH"]),
    ("left-hand M10x1.5-6g", "left", &["M10x1.5-6g-LH"]),
    ("L.H. 1/4-20 UNC-2A", "L.H.", &["1/4-20 UNC-2A-LH"]),
    ("LH Tr40x7-7e", "LH", &["Tr40x7-7e-LH"]),
    ("Links M10x1.5", "Links", &["M10x1.5-LH"]),
    ("LH G1/2A", "LH", &["G1/2A-LH"]),
    ("RH M10x1.5", "RH", &["M10x1.5"]),
    ("M10 x 1,5 links", "links", &["M10 x 1,5 LH"]),
    ("M10 x 1,5 gauche", "gauche", &["M10 x 1,5 LH"]),
    ("M10 x 1,5 lefthand", "lefthand", &["M10 x 1,5 LH"]),
    ("M10x1.5 pas à gauche", "pas", &["M10x1.5 LH"]),
    ("G1/2 A links", "links", &["G1/2 A LH"]),
    ("M10x1.5 vänster", "vänster", &["M10x1.5 LH"]),
    ("M10x1.5-6g L H", "H", &["M10x1.5-6g LH"]),
    ("M10x1.5 L/H", "/H", &["M10x1.5 LH"]),
    ("M10x1.5-6g LFET", "LFET", &["M10x1.5-6g LEFT"]),
    ("M10x1.5-6g LHS", "LHS", &["M10x1.5-6g LH"]),
    ("M10x1.5-6g RHS", "RHS", &["M10x1.5-6g RH"]),
    ("M10x1.5-6g HR", "HR", &["M10x1.5-6g RH"]),
    ("M10x1.5-6g rechts", "rechts", &["M10x1.5-6g"]),
    ("M10x1.5 1.h.", "1.h.", &["M10x1.5 LH"]),
    (
        "1/4-20-UNC-2A-L",
        "L",
        &["1/4-20-UNC-2A-LH", "1/4-20 UNC-2A"],
    ),
    ("M10x1.5-6H THRU", "THRU", &["M10x1.5-6H"]),
    // Lengths, depths and property classes of the screw.
    ("M10x1.5x30", "x30", &["M10x1.5"]),
    ("M10x1.5-6g-30", "30", &["M10x1.5-6g"]),
    ("M10x1.5x30-6g", "x30", &["M10x1.5-6g"]),
    ("M10x1.5-6g LH x 30", "x 30", &["M10x1.5-6g LH"]),
    ("M10x1.5x30 LH", "x30", &["M10x1.5 LH"]),
    ("M10x1.5 x 30 LG", "x 30 LG", &["M10x1.5"]),
    ("M10-30", "30", &["M10x1.5"]),
    ("M8x25", "25", &["M8x1.25"]),
    ("M10x1.5-30", "30", &["M10x1.5"]),
    ("1/4-20 UNC-2A x 1 1/2\"", "x 1 1/2\"", &["1/4-20 UNC-2A"]),
    ("1/4-20 x 3/4", "x 3/4", &["1/4-20"]),
    ("1/4-20 UNC-2B x .50 DEEP", "x .50 DEEP", &["1/4-20 UNC-2B"]),
    ("Tr40x7x300", "x300", &["Tr40x7"]),
    ("MJ6x1 4h6h x 20", "x 20", &["MJ6x1 4h6h"]),
    ("M10x1.5-8.8", "8.8", &["M10x1.5"]),
    ("M10-8.8", "8.8", &["M10x1.5"]),
    ("M10x50-8.8", "8.8", &["M10x1.5"]),
    (
        "1.4-20 UNC x 3/4 left hand",
        "x 3/4",
        &["1/4-20 UNC left hand"],
    ),
    // Decimal signs, blanks and other signs of metric threads.
    ("M1.0x1.5", "1.5", &["M10x1.5", "M1x0.25", "M1x0.2"]),
    (
        "M1.0x1.5-6g LH",
        "1.5",
        &["M10x1.5-6g LH", "M1x0.25-6g LH", "M1x0.2-6g LH"],
    ),
    ("M1,2x1,75", "1,75", &["M12x1.75", "M1.2x0.25", "M1.2x0.2"]),
    ("M10x125", "125", &["M10x1.25", "M10x1.5"]),
    ("M12x15", "15", &["M12x1.5", "M12x1.75"]),
    ("M12x175", "175", &["M12x1.75"]),
    ("M3x05", "05", &["M3x0.5"]),
    ("M12/1.25", "/1.25", &["M12x1.25"]),
    ("M12x1.75.6g", "1.75.6g", &["M12x1.75-6g"]),
    ("M12x 1. 75", "75", &["M12x 1.75"]),
    ("M1 0x1.5", "0", &["M10x1.5"]),
    ("M10x1..5", "1..5", &["M10x1.5"]),
    ("M10xx1.5", "x1.5", &["M10x1.5"]),
    (
        "M12 fine LH",
        "fine",
        &["M12x1.5 LH", "M12x1.25 LH", "M12x1 LH"],
    ),
    ("M12-H", "H", &["M12x1.75-6H", "M12x1.75-4H", "M12x1.75-8H"]),
    (
        "M12x1.5-h",
        "h",
        &["M12x1.5-6h", "M12x1.5-4h", "M12x1.5-8h"],
    ),
    ("M10x1.5 [6g]", "[6g]", &["M10x1.5 (6g)"]),
    ("(M10x1.5)", "(", &["M10x1.5"]),
    ("DIN 13 M10x1.5", "DIN", &["M10x1.5"]),
    ("ISO 4014 M10x30", "ISO", &["M10x1.5"]),
    ("M16x1.5 2 st", "2", &[]),
    ("M14x26g", "26g", &["M14x2-6g"]),
    ("M10x1.56g LH", "1.56g", &["M10x1.5-6g LH"]),
    ("M12x1.75x6g", "x6g", &["M12x1.75-6g"]),
    ("1/420 UNC", "1/420", &["1/4-20 UNC"]),
    ("5/88-11 UNC", "11", &["5/8-11 UNC"]),
    // A digit or a letter that may be the pitch, the size or the hand: nothing is guessed.
    ("M120x-6g", "-", &[]),
    ("M55x1.x-6H", "x", &[]),
    ("5/8-28 UN-LA", "LA", &[]),
    ("R 1 H", "H", &["R 1 LH", "R 1"]),
    ("4-H NPT", "H", &[]),
    ("5 /4-12 UN", "/4", &[]),
    ("3/61-24 BSW", "3/61", &[]),
    // Classes of inch threads, and blanks and hyphens too many.
    (
        "1/4-20 UNC-B",
        "B",
        &["1/4-20 UNC-2B", "1/4-20 UNC-3B", "1/4-20 UNC-1B"],
    ),
    ("1/4-20 UNC-ZA", "ZA", &["1/4-20 UNC-2A"]),
    ("1/4-20 UNC-SB", "SB", &[]),
    ("1/2-10 ACME-2 G", "2", &["1/2-10 ACME-2G"]),
    ("1/4--20 UNC", "-", &["1/4-20 UNC"]),
    ("1 /4-20 UNC", "/4", &["1/4-20 UNC"]),
    ("1/4-2 0 UNC", "0", &["1/4-20 UNC"]),
    ("⅜-16 UCN–2A", "UCN", &["⅜-16 UNC–2A"]),
    ("½-14 NTP", "NTP", &["½-14 NPT"]),
    ("PT 1/2", "PT", &["R 1/2", "Rc 1/2"]),
    ("PF 1/2", "PF", &["G 1/2 A", "G 1/2"]),
    // The point of a pitch is none between pitch and class; IG and AG are internal and external in German.
    (
        "M10x1.5 G",
        "G",
        &["M10x1.5-6G", "M10x1.5-4G", "M10x1.5-8G"],
    ),
    (
        "M10x1.5 H",
        "H",
        &["M10x1.5-6H", "M10x1.5-4H", "M10x1.5-8H"],
    ),
    ("M10x1,5 IG", "IG", &["M10x1,5 internal"]),
    ("M10x1.5 AG", "AG", &["M10x1.5 external"]),
    ("M10x1.5 IG LH", "IG", &["M10x1.5 internal LH"]),
    ("G1/2 IG", "IG", &["G1/2 internal"]),
    ("M10x1.5 EG", "EG", &[]),
    ("M10x1.5 AH", "AH", &[]),
    ("M10x1.5 IH", "IH", &[]),
    ("M10x1.5 2B", "2B", &[]),
    ("M20x1.5 Rd", "Rd", &[]),
    ("B 20", "B", &[]),
    ("1/4-26 BSB", "BSB", &[]),
    // Whole inches written onto the fraction of a pipe size.
    ("G11/4", "11/4", &["G1 1/4"]),
    ("G 11/4 A", "11/4", &["G 1 1/4 A"]),
    ("G11/2", "11/2", &["G1 1/2"]),
    ("R11/2", "11/2", &["R1 1/2"]),
    ("11/4 BSPP", "11/4", &["1 1/4 BSPP"]),
    // Female and male, and pipe threads by their trade names.
    ("1/2 FNPT", "FNPT", &["1/2 NPT internal"]),
    ("1/2-14 FPT", "FPT", &["1/2-14 NPT internal"]),
    ("1/2 MNPT", "MNPT", &["1/2 NPT external"]),
    ("1/2 NPT F", "F", &["1/2 NPT internal"]),
    ("1/2 NPT fem", "fem", &["1/2 NPT internal"]),
    ("1/2 NPT(F)", "F", &["1/2 NPT internal"]),
    ("1/2 NPT (M)", "M", &["1/2 NPT external"]),
    ("1/8 pipe", "pipe", &["1/8 NPT", "G 1/8 A", "R 1/8"]),
    ("1/2 IPS", "IPS", &["1/2 NPT", "G 1/2 A", "R 1/2"]),
    ("1/2 FIP", "FIP", &["1/2 NPT internal", "G 1/2", "Rc 1/2"]),
    ("R 1/4 internal", "R 1/4 internal", &["Rc 1/4", "Rp 1/4"]),
    ("Rc 1/4 external", "Rc 1/4 external", &["R 1/4"]),
    // How often it is there; a lost x; a 9 for a g; the older names of the series.
    ("4X M6x1-6H", "X", &["M6x1-6H"]),
    ("2X 1/4-20 UNC-2B", "1", &["1/4-20 UNC-2B"]),
    ("M161.5", "M161.5", &["M16x1.5"]),
    ("M10x1.5-69", "69", &["M10x1.5-6g", "M10x1.5"]),
    ("1/4-20 NF-2A", "NF", &["1/4-20 UNC-2A", "1/4-28 UNF-2A"]),
    ("1\"-5 stub", "stub", &["1-5 STUB ACME"]),
];

#[test]
fn what_is_offered_is_what_was_meant() {
    let mut wrong = Vec::new();
    for (typed, piece, meant) in MISTYPED {
        let Err(error) = parse(typed) else {
            wrong.push(format!("{typed:?} was read"));
            continue;
        };
        let pointed = error.at().and_then(|place| typed.get(place)).unwrap_or("");
        if pointed.trim() != *piece || error.suggestions() != *meant {
            wrong.push(format!(
                "{typed:?}: {:?} at {pointed:?}",
                error.suggestions()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A size that no standard lists is read as it is written, and the fraction that it may be is told.
#[test]
fn a_point_that_may_be_a_slash_is_told() {
    let told = |text: &str| {
        let assumed = parse(text).unwrap().limits().unwrap().assumed;
        assumed.into_iter().find_map(|taken| match taken {
            Assumed::PerhapsFraction { meant, .. } => Some(meant),
            _ => None,
        })
    };
    assert_eq!(told("1.4-20").as_deref(), Some("1/4-20"));
    assert_eq!(
        told("1.2-10 ACME-2G LH").as_deref(),
        Some("1/2-10 ACME-2G LH")
    );
    // Who writes UNS means it; a listed thread is what it says.
    for plain in [
        "1.4-20 UNS",
        "1.5-6 UNC",
        "1/4-20",
        "12-28 UNF",
        "1/2 13 UNC",
        "1/4 20",
    ] {
        assert_eq!(told(plain), None, "{plain}");
    }
}

/// Size and count of a pipe or Whitworth thread without a word are read as UNS, and the others are named.
#[test]
fn a_pair_that_another_standard_lists_is_told() {
    let told = |text: &str| {
        let assumed = parse(text).unwrap().limits().unwrap().assumed;
        let told = assumed.into_iter().find_map(|taken| match taken {
            Assumed::AlsoListed { others, .. } => Some(others),
            _ => None,
        });
        told.unwrap_or_default().join(", ")
    };
    for (pair, others) in [
        ("1/8-27", "1/8-27 NPT"),
        ("1/4-18", "1/4-18 NPT"),
        ("1/4-19", "G 1/4, R 1/4"),
        ("3/8-19", "G 3/8, R 3/8"),
        ("3/16-24", "3/16-24 BSW medium"),
        ("1/4-26", "1/4-26 BSF medium"),
    ] {
        assert_eq!(told(pair), others, "{pair}");
    }
    for both in ["1/2-14", "3/4-14"] {
        assert!(
            told(both).contains("NPT") && told(both).contains("G "),
            "{both}"
        );
    }
    // A word or a class says which; a listed Unified thread is what it says.
    for plain in ["1/8-27 UNS", "1/8-27-2A", "1/4-20", "3/8-16", "0.3-27"] {
        assert_eq!(told(plain), "", "{plain}");
    }
}

/// A record with a pipe size that is refused now is read as it was: 11/4 is 2 3/4.
#[test]
fn a_pipe_size_on_record_is_read_as_before() {
    use metrology::inspection::{Job, compute};
    let job = include_str!("../../examples/screw.json");
    let job = job.replace("M10x1.5-6g", "G11/4 A");
    let job: Job = serde_json::from_str(&job).unwrap();
    let target = compute(&job).map(|found| found.target);
    let thread = target.unwrap().thread.unwrap();
    assert_eq!(thread.designation, "G 2 3/4 A");
    assert!(parse("G 2 3/4 A").is_ok());
}

/// What a word says of the thread is not lost in a suggestion: without it the thread is external, coarse or of one start.
#[test]
fn a_word_that_tells_of_the_thread_is_not_left_out() {
    for typed in [
        "M10 innen",
        "M10 Mutter",
        "M10 écrou",
        "1/4-20 UNC TAP",
        "M10 pas de 1",
        "M10 Steigung 1",
        "M10 fein",
        "M10 fin",
        "M12 extra fine",
        "M20 zweigängig",
        "3/4-10 UNC DBL LEAD",
        "R1/2 innen",
        "E27",
    ] {
        let error = parse(typed).unwrap_err();
        assert_eq!(error.suggestions(), &[] as &[String], "{typed}");
    }
}

const LEFT: &[&str] = &[
    "M10x1.5-6g-LH",
    "M10 x 1,5 links",
    "1/4-20 UNC-2A LH",
    "1/2-10 ACME-2G left hand",
    "Tr40x7LH-7e",
    "G 1/2 A gauche",
    "3/8-16 BSW medium LH",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// One slip before the hand: no right-hand thread is offered.
    #[test]
    fn a_left_hand_thread_stays_one(index in 0..LEFT.len(), at in 0_usize..7, letter in any::<char>(), how in 0..3) {
        let typed = crate::designations::properties::with_slip(LEFT[index], at, letter, how);
        if let Err(error) = parse(&typed) {
            for suggestion in error.suggestions() {
                let hand = parse(suggestion).unwrap().limits().unwrap().hand;
                prop_assert_eq!(hand, Hand::Left, "{} -> {}", typed, suggestion);
            }
        }
    }
}
