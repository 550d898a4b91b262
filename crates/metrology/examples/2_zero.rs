//! Zero on a setting standard, and what contacts closed on each other hide.
//!
//! `cargo run -p metrology --example 2_zero`

use std::error::Error;

use metrology::contacts::{
    ContactPair, Freedom, MeasuredThread, Zero, effects_after_zero, engagement,
};
use metrology::correction::zero_error;
use metrology::units::{Angle, Length};
use metrology::wires::Side;

fn main() -> Result<(), Box<dyn Error>> {
    // A standard of 9.9994 mm by its certificate, read three times before the job and three times after it.
    let before = [10_001, 10_002, 10_001].map(Length::from_micrometres);
    let after = [10_002, 10_002, 10_001].map(Length::from_micrometres);
    let certified = Length::from_tenth_nanometres(99_994_000);
    let zero = zero_error(&before, &after, certified).ok_or("no reading before the job")?;
    let micrometres = |mm: f64| format!("{:+.2} µm", mm * 1000.0);
    println!("zero error {}", micrometres(zero.value));
    println!(
        "  to add to every reading: {}",
        micrometres(zero.correction(0.0).value)
    );
    println!(
        "  it moved during the job by {}",
        micrometres(zero.drift().unwrap_or(0.0))
    );

    // Cone and V are both worn to half angles of 30.5°. Closed on each other they still fit and show zero; on the flanks
    // of 30° of an M10x1.5 the reading is off. A standard with flanks of 30° shows it when zero is set.
    let flanks = |degrees: f64| Angle::from_degrees(degrees);
    let thread = MeasuredThread::of_standard_form(Side::External, flanks(60.0), 1.5, 1, 9.026)
        .ok_or("no standard form has this angle")?;
    let pair = ContactPair::of_whole_flanks(flanks(30.5), flanks(30.5), &thread);
    let touching = engagement(&pair, &thread)?;
    let on_standard = Zero::Standard {
        longer_by_mm: 0.0,
        vee: flanks(30.0),
        cone: flanks(30.0),
    };
    for (name, zero) in [
        ("closed contacts", Zero::Closed),
        ("a standard", on_standard),
    ] {
        println!("zero on {name}, to add to the reading");
        for effect in effects_after_zero(&pair, &touching, &thread, Freedom::Free, &zero)? {
            println!("  {:?}: {}", effect.name, micrometres(effect.correction_mm));
        }
    }
    Ok(())
}
