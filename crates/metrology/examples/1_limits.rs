//! From what the drawing says to limits of size.
//!
//! `cargo run -p metrology --example 1_limits`

use std::error::Error;

use metrology::coating::{Thickness, coat};
use metrology::designation::parse;
use metrology::gauges::gauges;
use metrology::limits::Limits;

fn main() -> Result<(), Box<dyn Error>> {
    // A designation is read as people write it; what it leaves open is taken from the standard, and said.
    let thread = parse("M10-6g")?;
    let limits = thread.limits()?;
    println!("{}, pitch {} mm", limits.designation, limits.pitch.mm());
    println!(
        "  left open and taken from the standard: {}",
        limits.assumed.len()
    );
    show("major diameter", limits.major);
    show("pitch diameter", limits.pitch_diameter);
    show("minor diameter", limits.minor);
    println!("  by {:?}", limits.sources);

    // The gauges that check it as a whole.
    println!("gauges");
    let screw_gauges = gauges(&limits, None)?.gauges.into_iter();
    for gauge in screw_gauges.filter(|gauge| gauge.pitch_diameter != Limits::default()) {
        show(&format!("{:?}", gauge.name), gauge.pitch_diameter);
    }

    // On 60° flanks a coating adds four times its thickness to the pitch diameter: the thread has to be cut smaller.
    let coated = coat(&limits, Thickness::parse("5um..7um")?, None)?;
    println!("with a coating of 5 to 7 µm");
    show("pitch diameter before", coated.before.pitch_diameter);
    show("pitch diameter after", coated.after.pitch_diameter);

    // A mistake is one error that points at the place and says what would be right.
    if let Err(error) = parse("M10x1.6-6g") {
        println!(
            "M10x1.6-6g: {}; try {:?}",
            error.kind(),
            error.suggestions()
        );
    }
    Ok(())
}

fn show(name: &str, limits: Limits) {
    let mm = |limit: Option<metrology::units::Length>| {
        limit.map_or("-".to_owned(), |limit| limit.shortest_mm().to_string())
    };
    println!("  {name}: {} to {} mm", mm(limits.lower), mm(limits.upper));
}
