//! The functional size: what errors of pitch and flank angle add to the simple pitch diameter.
//!
//! `cargo run -p metrology --example 4_functional`

use std::error::Error;

use metrology::functional::{AngleTerm, FlankInMesh, FormErrors, functional_difference};
use metrology::units::Angle;
use metrology::wires::Side;

fn main() -> Result<(), Box<dyn Error>> {
    // M10x1.5: 10 µm of pitch error within the length of engagement, one flank 15 minutes of arc too steep.
    let half_angle = Angle::from_degrees(30.0);
    let errors = FormErrors {
        side: Side::External,
        pitch_mm: 1.5,
        leading_half_angle: half_angle,
        following_half_angle: half_angle,
        flank: FlankInMesh::ISO_60,
        pitch_error_mm: 0.010,
        leading_angle_error: Angle::from_degrees(-0.25),
        following_angle_error: Angle::from_degrees(0.0),
    };
    let difference = functional_difference(&errors, AngleTerm::SignAware)?;
    println!("from the pitch  {:.4} mm", difference.pitch_term_mm);
    println!("from the flanks {:.4} mm", difference.angle_term_mm);

    // A screw of 8.980 mm, well under its limit of 8.994 mm, does not go into the GO gauge.
    let functional = difference.functional_size_mm(Side::External, 8.980);
    println!("simple pitch diameter 8.9800 mm, functional {functional:.4} mm");
    Ok(())
}
