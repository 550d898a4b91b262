//! One size under several rules.
//!
//! `cargo run -p metrology --example 6_decision`

use std::error::Error;

use metrology::decision::{MeasurementUncertainty, Rule, decide};
use metrology::limits::Limits;
use metrology::units::Length;

fn main() -> Result<(), Box<dyn Error>> {
    // 8.990 mm with an expanded uncertainty of 6 µm, against an upper limit of 8.994 mm.
    let limits = Limits::between(
        Length::from_micrometres(8862),
        Length::from_micrometres(8994),
    );
    let size = Length::from_micrometres(8990);
    let uncertainty = MeasurementUncertainty::from_mm(0.003)?;
    println!("8.990 mm ± 0.006 mm, limits 8.862 to 8.994 mm");
    for key in [
        "simple",
        "iso14253-1",
        "guard-band",
        "relaxed",
        "false-accept-2",
    ] {
        let decision = decide(size, &uncertainty, limits, Rule::parse(key, None)?)?;
        println!(
            "  {key:<16}{:?}, conforms with a probability of {:.1} %",
            decision.verdict,
            decision.conformance_probability * 100.0
        );
    }
    Ok(())
}
