//! Words that people type at the bench beside values, names and identities.
//!
//! They are what is understood, as the keys of a job file are, and stand apart from the sentences that are shown: those may
//! be reworded or translated, and the same lines are still taken. Commands have their words in [`Command`], what is named
//! in an answer about a feature in [`details`](super::details), features themselves in [`job_file`](crate::job_file).
//!
//! [`Command`]: super::Command

use metrology::inspection::ThreadDiameter;

/// Behind the designation of a thread: which diameter is meant.
const DIAMETERS: [(&str, ThreadDiameter); 3] = [
    ("major diameter", ThreadDiameter::MajorDiameter),
    ("major", ThreadDiameter::MajorDiameter),
    ("pitch diameter", ThreadDiameter::PitchDiameter),
];

/// The diameter that the end of a line names, and the line before it.
pub fn diameter_at_end(line: &str) -> Option<(&str, ThreadDiameter)> {
    DIAMETERS.iter().find_map(|(word, diameter)| {
        let (before, end) = line.split_at_checked(line.len().checked_sub(word.len())?)?;
        (end.eq_ignore_ascii_case(word)).then_some((before, *diameter))
    })
}

/// What is typed behind a designation for another diameter than the pitch diameter; nothing for that one.
pub fn of_diameter(diameter: ThreadDiameter) -> Option<&'static str> {
    DIAMETERS
        .iter()
        .find(|(_, of)| *of == diameter)
        .filter(|_| diameter != ThreadDiameter::PitchDiameter)
        .map(|(word, _)| *word)
}

/// Before a number these name no size: series of threads, and what else is known by its number.
pub const NO_NAMES: [&str; 14] = [
    "unc", "unf", "unef", "unr", "unj", "npt", "nptf", "bsp", "bspp", "bspt", "acme", "metric",
    "lot", "job",
];

/// Instead of one of a list: none of them.
pub const NONE_OF_THEM: [&str; 2] = ["none", "no"];

/// Between both limits.
pub const TO: &str = "to";
/// Before the word for the only limit, or left out.
pub const AT: &str = "at";
/// The lower limit, where there is only that.
pub const AT_LEAST: &str = "min";
/// The upper limit, where there is only that.
pub const AT_MOST: &str = "max";

/// Words that stand before (or after) the only limit there is, and whether it is the least.
pub const BOUNDS: [(&str, bool); 12] = [
    (AT_LEAST, true),
    ("min.", true),
    ("minimum", true),
    ("least", true),
    ("≥", true),
    (">=", true),
    (AT_MOST, false),
    ("max.", false),
    ("maximum", false),
    ("most", false),
    ("≤", false),
    ("<=", false),
];

/// Between the number of a sample and how many there are: `4 of 12`.
pub const OF: &str = "of";

/// Names the next piece of a lot.
pub const PIECE: &str = "piece";
/// Behind a piece that has a result already: it is measured again.
pub const AGAIN: &str = "again";
/// Behind a gauge that is not in the register: it is used all the same.
pub const UNREGISTERED: &str = "unregistered";
/// Names who measures.
pub const PERSON: &str = "person";
/// Takes another characteristic of the lot.
pub const CHARACTERISTIC: &str = "char";
/// A piece that is looked at conforms, or does not.
pub const CONFORMS: [&str; 4] = ["y", "yes", "ok", "go"];
pub const CONFORMS_NOT: [&str; 4] = ["n", "no", "not", "reject"];

/// Gives the job up, as a command; the command for it alone asks first.
pub const DROP_IT: &str = "drop it";

/// Ends a study before all its readings are taken, as a command; the command for it alone asks first.
pub const END_IT: &str = "end it";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_diameter_stands_at_the_end() {
        let read = |line| diameter_at_end(line).map(|(before, diameter)| (before.trim(), diameter));
        let major = ThreadDiameter::MajorDiameter;
        assert_eq!(read("M10x1.5-6g major"), Some(("M10x1.5-6g", major)));
        assert_eq!(
            read("M10x1.5-6g Major Diameter"),
            Some(("M10x1.5-6g", major))
        );
        assert_eq!(read("M10x1.5-6g"), None);
        assert_eq!(read("Ø µ"), None);
        assert_eq!(of_diameter(major), Some("major diameter"));
        assert_eq!(of_diameter(ThreadDiameter::PitchDiameter), None);
    }
}
