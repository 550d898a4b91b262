//! What is asked of a feature, in words.

use crate::say;
/// What is asked of which features (of all that ask it where none is named): features, key, question, how an answer may
/// look.
type Row = (
    &'static [&'static str],
    &'static str,
    &'static str,
    &'static str,
);

const ASKED: &[Row] = &[
    (
        &[],
        "sections",
        "Which sections along it, as distances from one end?",
        "5 30 55 mm; without them taper and barrel are not told",
    ),
    (
        &["plain-diameter"],
        "limits",
        "Does the drawing limit its form?",
        "ovality 0.010 mm, taper 0.012 mm, barrel 0.008 mm: any of them",
    ),
    (
        &["tube-wall", "bore-to-flat"],
        "bore",
        "How wide is the bore?",
        "14.0 mm: nominal or measured; it tells which sphere goes in",
    ),
    (
        &["tube-wall"],
        "limits",
        "Does the drawing limit how uneven the wall is?",
        "run-out 0.20 mm, eccentricity 0.10 mm, percent 8, by run-out-over-mean (or run-out-over-sum, least-over-most)",
    ),
    (
        &[],
        "outside_diameter",
        "What is the outside diameter at this section, as measured?",
        "19.024 mm",
    ),
    (
        &["groove-diameter", "undercut"],
        "width",
        "How wide is the groove at its top?",
        "1.10 mm: the blade must stand on the flat of its floor",
    ),
    (
        &["groove-diameter", "undercut"],
        "sizes",
        "What else is known of the groove?",
        "root radius 0.10 mm, wall angle 5, depth 0.6 mm, land 14.985 mm: any of them",
    ),
    (
        &[],
        "anvil_disc",
        "How thick is the disc on the anvil?",
        "0.7004 mm",
    ),
    (
        &[],
        "spindle_disc",
        "How thick is the disc on the spindle?",
        "0.6998 mm",
    ),
    (
        &[],
        "disc_uncertainty",
        "How far may each thickness be off (U, k = 2)?",
        "0.001 mm, or 1 um",
    ),
    (
        &[],
        "groove_width",
        "How wide is the narrower groove beside the land?",
        "1.30 mm: a disc must go into it",
    ),
    (
        &[],
        "convention",
        "How does the drawing state the depth of the seat?",
        "its number in the list; mixing them is the usual mistake",
    ),
    (
        &[],
        "shaft_diameter",
        "What is the diameter of the shaft at the seat, as measured?",
        "24.984 mm",
    ),
    (
        &["keyseat"],
        "width",
        "How wide is the seat, as measured?",
        "8.012 mm",
    ),
    (
        &[],
        "lobes",
        "How many lobes?",
        "3: peaks counted in one turn on the V",
    ),
    (
        &[],
        "v_angle",
        "What is the included angle of the V, in degrees?",
        "60: not every V sees every number of lobes",
    ),
    (
        &[],
        "v_readings",
        "Turn it once in the V: what does the micrometer show at crests and hollows?",
        "one reading after the other; only their spread counts",
    ),
    (
        &["lobed-shaft"],
        "limits",
        "Does the drawing limit its roundness?",
        "roundness 0.010 mm",
    ),
    (
        &[],
        "thickness",
        "Which thickness does the drawing mean?",
        "its number in the list",
    ),
    (
        &[],
        "pressure_kpa",
        "Which pressure does the standard for the material state, in kilopascals?",
        "20",
    ),
    (
        &[],
        "modulus_mpa",
        "What is the modulus of the material in compression, in megapascals?",
        "5 for soft rubber, 0.3 for felt; from its sheet",
    ),
    (
        &[],
        "modulus_relative_limit",
        "By what fraction may that be off?",
        "0.3 where the sheet says nothing",
    ),
    (
        &[],
        "dwell_seconds",
        "How many seconds are there between closing and reading?",
        "5: the same for every reading",
    ),
    (
        &["soft-thickness"],
        "sizes",
        "Does the reading still fall after that?",
        "creep 0.004 mm: in as long again",
    ),
    (
        &[],
        "sheet",
        "Which sheet of the terminal maker are the limits from?",
        "AS-2207 ed. 4: its number and edition",
    ),
    (&[], "wire", "Which wire is crimped?", "AWG 18, or 0.75 mm²"),
    (
        &[],
        "pull.standard",
        "Which standard does the contract name for the pull force?",
        "its number in the list, where samples were pulled",
    ),
    (
        &[],
        "pull.forces",
        "What did the samples hold?",
        "112 N 108 N 26.1 lbf: one after the other",
    ),
    (
        &[],
        "pull.sizes",
        "What else is known of the pull test?",
        "wire strength 150 N, uncertainty 0.5 (newtons, standard): either",
    ),
    (
        &[],
        "compression.definition",
        "Is a compression ratio asked for, and of what?",
        "its number in the list",
    ),
    (
        &[],
        "compression.area_after_mm2",
        "What is the area of the section after crimping, in mm²?",
        "1.31",
    ),
    (
        &[],
        "compression.barrel_area_mm2",
        "What was the area of the barrel before, in mm²?",
        "0.80",
    ),
    (
        &[],
        "compression.sizes",
        "What else does the sheet say of it?",
        "at least 75, at most 90 (percent), width 1.9 (mm), conductor 0.75 (mm²): any of them",
    ),
    (
        &[],
        "outside_diameter_uncertainty",
        "How far may that be off (U, k = 2)?",
        "0.004 mm, or 4 um",
    ),
    (
        &[],
        "shaft_diameter_uncertainty",
        "How far may that be off (U, k = 2)?",
        "0.004 mm, or 4 um",
    ),
    (
        &[],
        "width_uncertainty",
        "How far may that be off (U, k = 2)?",
        "0.004 mm, or 4 um",
    ),
];

/// The question, and how an answer may look.
pub fn asked(feature: &str, key: &str) -> (&'static str, &'static str) {
    ASKED
        .iter()
        .find(|(features, of, ..)| {
            *of == key && (features.is_empty() || features.contains(&feature))
        })
        .map_or((say!("bench.asked"), ""), |(_, _, question, hint)| {
            (question, hint)
        })
}

/// A choice, explained.
pub fn choice(key: &str, choice: &str) -> &'static str {
    match (key, choice) {
        ("convention", "bottom-to-opposite-side") => {
            say!("bench.choice")
        }
        ("convention", "depth-from-crown") => say!("bench.choice-from-where-the"),
        ("convention", "depth-from-edge") => say!("bench.choice-from-the-edge"),
        ("thickness", "free") => say!("bench.choice-free-of-load"),
        ("thickness", "under-pressure") => say!("bench.choice-under-the-pressure"),
        ("pull.standard", "ul-486a") => say!("bench.choice-wire-connectors"),
        ("pull.standard", "as7928") => say!("bench.choice-terminals-aircraft"),
        ("pull.standard", "nasa-std-8739.4") => say!("bench.choice-harnesses-space-flight"),
        ("pull.standard", "iec-60352-2") => say!("bench.choice-crimped-connections"),
        ("pull.standard", "as39029") => say!("bench.choice-contacts-of-connectors"),
        ("compression.definition", "conductor-and-barrel") => {
            say!("bench.choice-section-after-of")
        }
        ("compression.definition", "conductor") => say!("bench.choice-conductor-after-of"),
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::details;
    use crate::job_file::NAMES;

    #[test]
    fn everything_that_is_asked_has_words() {
        for (feature, _) in NAMES {
            for detail in details::of(feature) {
                let (question, hint) = asked(feature, detail.key);
                assert!(
                    question.ends_with('?') && !hint.is_empty(),
                    "{feature} {}",
                    detail.key
                );
                assert_ne!(
                    question, "What else is to be known?",
                    "{feature} {}",
                    detail.key
                );
                if let details::Kind::Choice(choices) = detail.kind {
                    for one in choices {
                        assert!(!choice(detail.key, one).is_empty(), "{one}");
                    }
                }
            }
        }
    }
}
