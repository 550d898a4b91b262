//! Three wires: which, what the micrometer will show, and the way back to the pitch diameter.
//!
//! `cargo run -p metrology --example 3_wires`

use std::error::Error;

use metrology::designation::parse;
use metrology::units::Angle;
use metrology::wires::{
    Arrangement, FormHeights, Groove, Side, reading_limits, size_from_reading, usable_wires,
};

fn main() -> Result<(), Box<dyn Error>> {
    let limits = parse("M10x1.5-6g")?.limits()?;
    let pitch = limits.pitch.mm();
    let groove = Groove::symmetric(Side::External, Angle::from_degrees(60.0), pitch, pitch);

    // The best wire touches at the pitch line, where an error of the flank angle does not matter.
    let wires = usable_wires(&groove, FormHeights::EXTERNAL_60)?;
    println!(
        "wires for a pitch of {pitch} mm: best {:.4} mm, usable from {:.4} to {:.4} mm",
        wires.best_mm, wires.smallest_mm, wires.largest_mm
    );

    // What the micrometer shows over wires of 0.866 mm on a part within its limits.
    let wire = 0.866;
    let (lower, upper) = (limits.pitch_diameter.lower, limits.pitch_diameter.upper);
    let (lower, upper) = lower.zip(upper).ok_or("no limits")?;
    let (from, to) = reading_limits(
        &groove,
        Arrangement::OverWires,
        (lower.mm(), upper.mm()),
        wire,
    )?;
    println!(
        "pitch diameter {:.3} to {:.3} mm reads {from:.4} to {to:.4} mm",
        lower.mm(),
        upper.mm()
    );

    // And back. The simple formula neglects the lead angle.
    let found = size_from_reading(&groove, Arrangement::OverWires, 10.25, wire)?;
    println!(
        "10.2500 mm over the wires is a pitch diameter of {:.4} mm",
        found.pitch_diameter_mm
    );
    println!(
        "  of the reading {:+.4} mm come from the lead angle",
        found.lead_correction_mm
    );
    Ok(())
}
