//! The validation of a program, as text.

use std::fmt::Write as _;

use metrology::validation::CaseSet;

use super::small::{indented, paragraph};
use crate::document::validated::{Validated, ValidatedCase};
use crate::say;
use crate::words::{self, number};

/// Set by set, then all together.
pub fn answer(validated: &Validated, width: usize) -> String {
    let mut out = format!("{}\n", outcome(validated));
    if let Some(worst) = &validated.worst {
        out += &indented("  ", &nearest(worst), width);
    }
    for set in &validated.sets {
        let name = CaseSet::of(&set.set).map_or_else(|| set.set.clone(), |set| words::word(&set));
        let line = say!(
            "validate.set",
            name = name,
            agree = set.cases - set.disagreeing,
            cases = set.cases,
            sources = set.sources.join(", ")
        );
        out += &indented("  ", &line, width);
        if let Some(worst) = set
            .worst
            .as_ref()
            .filter(|worst| worst.part_of_allowed() > 0.0)
        {
            out += &indented("    ", &nearest(worst), width);
        }
        for case in &set.disagreements {
            out += &indented("    ", &disagreement(case), width);
        }
    }
    let _ = writeln!(out);
    out += &paragraph(
        &say!(
            "validate.computed-by",
            program = validated.program,
            method = validated.method,
            tables = validated.tables_sha256
        ),
        width,
    );
    out
}

/// How many agree, in one line.
pub fn outcome(validated: &Validated) -> String {
    if validated.disagreeing == 0 {
        say!("validate.all-agree", n = validated.cases)
    } else {
        say!(
            "validate.some-disagree",
            disagreeing = validated.disagreeing,
            cases = validated.cases
        )
    }
}

/// The value that is off most, by what is allowed.
fn nearest(worst: &ValidatedCase) -> String {
    say!(
        "validate.worst",
        case = worst.case,
        part = number::percent(worst.part_of_allowed())
    )
}

fn disagreement(case: &ValidatedCase) -> String {
    let value = |number: Option<f64>, verdict: &Option<String>| {
        let verdict = || {
            verdict
                .clone()
                .unwrap_or_else(|| say!("validate.nothing").into())
        };
        number.map_or_else(verdict, number::given)
    };
    say!(
        "validate.disagrees",
        case = case.case,
        published = value(case.published, &case.published_verdict),
        found = value(case.found, &case.found_verdict)
    )
}
