//! The exact reading over wires: prints `name seconds` for one solution, the best of several runs.
//!
//! `benches/wires.sh` runs it beside its peer, on the same equations and threads.

#![allow(clippy::unwrap_used, reason = "a measurement, not the program")]

use std::hint::black_box;
use std::time::Instant;

use metrology::units::Angle;
use metrology::wires::{Arrangement, Groove, Side, reading_from_size, size_from_reading};

const SOLUTIONS: u32 = 200_000;
const RUNS: usize = 7;

/// Seconds for each of many.
fn best(mut job: impl FnMut(u32)) -> f64 {
    (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            for number in 0..SOLUTIONS {
                job(number);
            }
            start.elapsed().as_secs_f64() / f64::from(SOLUTIONS)
        })
        .fold(f64::INFINITY, f64::min)
}

fn main() {
    // M10x1.5 with best wires; the pitch diameter moves by a tenth of a micrometre from one to the next.
    let groove = Groove::symmetric(Side::External, Angle::from_degrees(60.0), 1.5, 1.5);
    let size = |number: u32| 9.026 + f64::from(number % 100) * 1e-4;
    let reading = |d2: f64| {
        reading_from_size(&groove, Arrangement::OverWires, d2, 0.866)
            .unwrap()
            .reading_mm
    };
    println!("reading_mm {:.10}", reading(9.026));
    println!(
        "reading {:.3e}",
        best(|number| {
            black_box(reading(black_box(size(number))));
        })
    );
    println!(
        "size {:.3e}",
        best(|number| {
            let reading = black_box(10.3266946055 + f64::from(number % 100) * 1e-4);
            black_box(
                size_from_reading(&groove, Arrangement::OverWires, reading, 0.866)
                    .unwrap()
                    .pitch_diameter_mm,
            );
        })
    );
    // What a solution calls: sine and cosine of the flank angle; arc tangents in the equation, of the contact found, of
    // the wire's inclination and of the lead angle; five square roots. Each waits for the one before, as there.
    println!(
        "calls {:.3e}",
        best(|number| {
            let x = black_box(size(number)) * 1e-3;
            let (sin, cos) = libm::sincos(x * 58.0);
            let mut y = x * sin / cos;
            for _ in 0..4 {
                y = libm::atan(y * (1.0 + y * y).sqrt());
            }
            black_box((1.0 + y * y).sqrt());
        })
    );
    // What one evaluation of the equation to be solved calls: an arc tangent and a square root; the angle of the flank
    // once, a sine and a cosine.
    println!(
        "transcendental {:.3e}",
        best(|number| {
            let x = black_box(size(number)) * 1e-3;
            black_box(libm::atan(x));
            black_box((1.0 + x * x).sqrt());
            black_box(libm::sincos(x));
        })
    );
}
