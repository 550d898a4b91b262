//! How many pieces of a lot to measure, and what they say of it.
//!
//! `cargo run -p metrology --example 8_lot`

use std::error::Error;

use metrology::lot::{Counts, Criteria, verdict};
use metrology::sampling::{Acceptance, Aql, Level, Severity, single_plan, zero_acceptance};

fn main() -> Result<(), Box<dyn Error>> {
    // Eighty screws at general inspection level II and an AQL of 1 % (MIL-STD-105E).
    let plan = single_plan(
        80,
        Level::parse("II")?,
        Aql::parse("1.0")?,
        Severity::Normal,
    )?;
    println!(
        "measure {} of 80, accept with at most {} nonconforming",
        plan.n, plan.c
    );

    // What such a plan lets through.
    let acceptance = Acceptance::new(plan.n, plan.c, Some(80))?;
    for bad in [1, 4, 16] {
        let point = acceptance.at_nonconforming(bad)?;
        println!(
            "  {bad} nonconforming in the lot: accepted with probability {:.3}",
            point.probability_of_acceptance
        );
    }

    // The same lot without a nonconforming piece in the sample, and at most 10 % risk of taking one with 5 % in it.
    println!(
        "none accepted: measure {}",
        zero_acceptance(80, "0.05".parse()?, 0.10)?
    );

    // An undecided piece may be nonconforming: it speaks against the lot until it is measured again.
    let counts = Counts {
        accept: 12,
        undecided: 1,
        ..Counts::default()
    };
    let criteria = Criteria {
        n: Some(13),
        accept: 0,
        reject: 1,
        missing_characteristics: false,
    };
    println!(
        "12 accepted, 1 undecided: {:?}",
        verdict(counts, &[], &criteria)
    );
    Ok(())
}
