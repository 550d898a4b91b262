//! A measurement model, its inputs, and the uncertainty of the result, line by line.
//!
//! `cargo run -p metrology --example 5_budget`

use std::error::Error;

use metrology::uncertainty::{Budget, Distribution, Input, Model, Scalar};

/// A diameter with its zero error taken off, and brought to 20 °C.
struct Diameter;

impl Model<4> for Diameter {
    fn evaluate<S: Scalar>(&self, [reading, zero_error, expansion, above_20]: [S; 4]) -> S {
        (reading - zero_error) / (S::constant(1.0) + expansion * above_20)
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let inputs = [
        // Six readings with a standard deviation of 1.2 µm.
        Input::normal("reading", 8.9287, 0.0012 / 6.0_f64.sqrt()).with_degrees_of_freedom(5.0),
        Input::normal("zero error", 0.0021, 0.0006),
        // Steel: 11.5e-6/K, known to a tenth of it.
        Input::new(
            "expansion",
            11.5e-6,
            Distribution::Rectangular {
                half_width: 1.15e-6,
            },
        ),
        // Part 1.4 K above 20 °C, by a thermometer good to 0.3 K.
        Input::new(
            "part above 20 °C",
            1.4,
            Distribution::Rectangular { half_width: 0.3 },
        ),
    ];
    let budget = Budget::of_model(&Diameter, &inputs, &[])?;
    println!("{:<18}{:>12}{:>14}{:>8}", "", "u", "contribution", "share");
    for line in &budget.lines {
        println!(
            "{:<18}{:>12.2e}{:>11.3} µm{:>7.1}%",
            line.name,
            line.standard_uncertainty,
            line.contribution * 1000.0,
            line.share * 100.0
        );
    }
    let expanded = budget.expanded(0.95)?;
    println!(
        "{:.5} mm ± {:.5} mm (k = {:.2}, {} degrees of freedom)",
        budget.value,
        expanded.expanded_uncertainty,
        expanded.coverage_factor,
        expanded.degrees_of_freedom
    );
    Ok(())
}
