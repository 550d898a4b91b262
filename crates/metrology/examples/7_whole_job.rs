//! From readings to a verdict: the job of `screw.json`.
//!
//! `cargo run -p metrology --example 7_whole_job`

use std::error::Error;

use metrology::inspection::{Job, inspect};

fn main() -> Result<(), Box<dyn Error>> {
    let job: Job = serde_json::from_str(include_str!("screw.json"))?;
    let inspection = inspect(&job)?;
    println!("to add to the mean reading");
    for correction in &inspection.corrections {
        println!(
            "  {:?}: {:+.2} µm",
            correction.name,
            correction.value * 1000.0
        );
    }
    let outcome = inspection.governing();
    println!("what the uncertainty is made of");
    for line in outcome.budget.iter().take(5) {
        println!("  {:?}: {:.1} %", line.quantity, line.line.share * 100.0);
    }
    println!(
        "{:.4} mm ± {:.4} mm",
        outcome.size.value, outcome.size.expanded_uncertainty
    );
    println!("{:?}", inspection.verdict());
    // Warnings are codes with numbers; the words for them are not here.
    for warning in &inspection.warnings {
        println!("  {warning:?}");
    }
    Ok(())
}
