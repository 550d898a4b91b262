//! Features by another way than the formulas: simulated tubes, numeric rotation, numeric seating.

use std::f64::consts::{FRAC_PI_2, PI};

use metrology::features::contact_geometry::{flat_in_bore, sphere_off_centre, tilted_faces};
use metrology::features::groove_diameter::physics::Opening;
use metrology::features::harmonic::eccentricity;
use metrology::features::keyseat::physics as keyseat;
use metrology::features::lobed_shaft::physics::{roundness_from_v, v_factor, v_size_factor};
use metrology::features::soft_thickness::physics as pressing;
use metrology::features::tube_wall::physics::Wall;
use metrology::features::wire_size;
use metrology::geometry_errors::mating_size_of_odd_lobes_mm;
use proptest::prelude::*;

/// The wall of a tube at an angle, by intersecting a ray from the inner centre's side with both circles: no formula
/// of the crate is used.
fn ray_wall(outer: f64, inner: f64, offset: f64, direction: f64, angle: f64) -> f64 {
    // A sphere in the bore measures along the normal of the inner circle: the ray starts at the inner centre.
    let (cx, cy) = (
        -offset * libm::cos(direction),
        -offset * libm::sin(direction),
    );
    let (ux, uy) = (libm::cos(angle), libm::sin(angle));
    let along = cx * ux + cy * uy;
    let to_outer = -along + (along * along - (cx * cx + cy * cy) + outer * outer).sqrt();
    to_outer - inner
}

/// A point of the curve with the support function `h(α) = R + a cos nα`, at normal angle `α`.
fn lobed_point(radius: f64, height: f64, lobes: f64, normal: f64) -> (f64, f64) {
    let h = radius + height * libm::cos(lobes * normal);
    let slope = -height * lobes * libm::sin(lobes * normal);
    let (c, s) = (libm::cos(normal), libm::sin(normal));
    (h * c - slope * s, h * s + slope * c)
}

/// The reading of a V with the part turned by `turn`: the part is let down until two flanks touch, by brute force over
/// its outline; then the spindle face comes down on it.
fn seated(outline: &[(f64, f64)], v_angle: f64, turn: f64) -> f64 {
    let gamma = FRAC_PI_2 - v_angle.to_radians() / 2.0;
    let far = |direction: f64| {
        let direction = direction - turn;
        let (c, s) = (libm::cos(direction), libm::sin(direction));
        outline
            .iter()
            .map(|(x, y)| x * c + y * s)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    // Outward normals of the part where the flanks touch, either side of straight down.
    let (left, right) = (far(-FRAC_PI_2 - gamma), far(-FRAC_PI_2 + gamma));
    let centre = (left + right) / (2.0 * libm::cos(gamma));
    centre + far(FRAC_PI_2)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Offset and direction of a simulated tube come back from readings at any spread of angles, with what the second
    /// order adds and no more.
    #[test]
    fn eccentricity_is_recovered(
        inner in 3.0..40.0f64,
        wall in 0.5..6.0f64,
        share in 0.0..0.2f64,
        direction in 0.0..(2.0 * PI),
        n in 5usize..16,
        start in 0.0..360.0f64,
    ) {
        let outer = inner + wall;
        let offset = share * wall;
        let walls: Vec<(f64, f64)> = (0..n)
            .map(|i| {
                let angle = (start + 360.0 * i as f64 / n as f64).to_radians();
                (angle, ray_wall(outer, inner, offset, direction, angle))
            })
            .collect();
        let fitted = eccentricity(&walls).unwrap();
        let second_order = offset * offset / (2.0 * inner) + 1e-9;
        prop_assert!((fitted.offset - offset).abs() < second_order, "{} {}", fitted.offset, offset);
        if offset > 0.01 {
            let off = (fitted.direction - direction).rem_euclid(2.0 * PI);
            prop_assert!(off.min(2.0 * PI - off) < 0.1);
        }
        let mean = Wall::of(&walls.iter().map(|(_, t)| *t).collect::<Vec<_>>()).unwrap().mean;
        prop_assert!((2.0 * outer - 2.0 * mean - 2.0 * inner).abs() < 2.0 * second_order);
    }

    /// Noise of one reading gives the scatter of the offset that the fit states.
    #[test]
    fn sensitivity_to_noise(n in 4usize..20, direction in 0.0..(2.0 * PI)) {
        let clean: Vec<(f64, f64)> = (0..n)
            .map(|i| {
                let angle = 2.0 * PI * i as f64 / n as f64;
                (angle, 2.0 + 0.1 * libm::cos(angle - direction))
            })
            .collect();
        let base = eccentricity(&clean).unwrap();
        let step = 1e-6;
        let squares: f64 = (0..n)
            .map(|i| {
                let mut moved = clean.clone();
                moved[i].1 += step;
                let slope = (eccentricity(&moved).unwrap().offset - base.offset) / step;
                slope * slope
            })
            .sum();
        prop_assert!((squares.sqrt() - base.sensitivity).abs() < 1e-4);
    }

    /// The factor of a V against its reading over one turn, point by point.
    #[test]
    fn v_factors_by_rotation(lobes in 2u32..10, v_angle in 40.0..150.0f64) {
        let (radius, height) = (10.0, 0.004);
        let outline: Vec<(f64, f64)> = (0..3600)
            .map(|i| lobed_point(radius, height, f64::from(lobes), f64::from(i) * PI / 1800.0))
            .collect();
        // One turn repeats itself after each lobe.
        let readings: Vec<f64> = (0..60)
            .map(|i| seated(&outline, v_angle, f64::from(i) * PI / 30.0 / f64::from(lobes)))
            .collect();
        let most = readings.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = readings.iter().copied().fold(f64::INFINITY, f64::min);
        let factor = v_factor(lobes, v_angle).unwrap().abs();
        // 2a |F|, to a hundredth of 2a: the outline is sampled.
        prop_assert!(((most - least) / (2.0 * height) - factor).abs() < 0.02, "{} {}", (most - least) / (2.0 * height), factor);
        let mean = readings.iter().sum::<f64>() / readings.len() as f64;
        prop_assert!((mean / radius - v_size_factor(v_angle).unwrap()).abs() < 1e-4);
        if let Some(roundness) = roundness_from_v(most - least, lobes, v_angle) {
            prop_assert!((roundness - 2.0 * height).abs() < 0.25 * 2.0 * height);
        }
    }

    /// The ring that an odd-lobed shaft goes into, by brute force over its outline, is the two-point diameter and the
    /// lobing together.
    #[test]
    fn odd_lobes_mate_larger(half in 1u32..5) {
        let lobes = 2 * half + 1;
        let (radius, height) = (10.0, 0.01);
        let outline: Vec<(f64, f64)> = (0..3600)
            .map(|i| lobed_point(radius, height, f64::from(lobes), f64::from(i) * PI / 1800.0))
            .collect();
        let circumscribed = 2.0 * outline.iter().map(|(x, y)| libm::hypot(*x, *y)).fold(0.0, f64::max);
        let width = outline.iter().map(|(x, _)| *x).fold(f64::NEG_INFINITY, f64::max)
            - outline.iter().map(|(x, _)| *x).fold(f64::INFINITY, f64::min);
        prop_assert!((width - 2.0 * radius).abs() < 1e-6, "two points see nothing: {width}");
        let mating = mating_size_of_odd_lobes_mm(width, 2.0 * height).unwrap();
        prop_assert!((circumscribed - mating).abs() < 1e-4);
    }

    /// A wrong contact never reads less than the right one, and a wider face errs more.
    #[test]
    fn wrong_contacts_read_large(radius in 2.0..50.0f64, one in 0.01..0.5f64, more in 0.0..0.4f64, tilt in 0.0..0.05f64) {
        let width = 2.0 * radius * one;
        let wider = 2.0 * radius * (one + more);
        prop_assert!(flat_in_bore(radius, width).unwrap() >= 0.0);
        prop_assert!(flat_in_bore(radius, wider).unwrap() >= flat_in_bore(radius, width).unwrap());
        prop_assert!(sphere_off_centre(radius, radius / 2.0, radius / 2.0 * one).unwrap() >= 0.0);
        // While the face is wide against the length, tilt reads large.
        prop_assert!(tilted_faces(10.0, 6.35, tilt) >= 0.0);
    }

    /// The two conventions of a keyseat differ by the height of the arc, whatever the shaft.
    #[test]
    fn keyseat_conventions(shaft in 5.0..200.0f64, share in 0.05..0.6f64, depth in 0.05..0.3f64) {
        let (width, s) = (share * shaft, shaft * (1.0 - depth));
        let crown = keyseat::depth_from_crown(shaft, s);
        let edge = keyseat::depth_from_edge(shaft, width, s).unwrap();
        let half = width / 2.0;
        let by_circle = shaft / 2.0 - (shaft * shaft / 4.0 - half * half).sqrt();
        prop_assert!((crown - edge - by_circle).abs() < 1e-9);
    }

    /// A blade that clears rides on nothing; a thicker one rides higher.
    #[test]
    fn blades_and_radii(width in 0.5..5.0f64, share in 0.0..0.4f64, thickness in 0.05..1.0f64) {
        let groove = Opening { width, root_radius: share * width, wall_angle: 0.0, depth: width };
        let blade = thickness * width * 0.999;
        match groove.rides_by(blade) {
            Some(height) if groove.clearance(blade) >= 0.0 => prop_assert_eq!(height, 0.0),
            Some(height) => prop_assert!(height > 0.0 && height <= groove.root_radius + 1e-12),
            None => prop_assert!(groove.clearance(blade) < 0.0),
        }
    }

    /// More force presses deeper; a softer part more so; and the free thickness pressed again is the pressed one.
    #[test]
    fn pressing_is_monotonic(force in 0.1..10.0f64, radius in 0.1..5.0f64, young in 100.0..2e5f64, thickness in 0.1..20.0f64) {
        let depth = |force, young| pressing::sphere_on_flat(force, radius, young);
        prop_assert!(depth(force * 2.0, young) > depth(force, young));
        prop_assert!(depth(force, young / 2.0) > depth(force, young));
        let pressure = pressing::face_pressure(force, 6.35);
        if let Some(free) = pressing::free_thickness(thickness, pressure, young) {
            let pressed = free - pressing::sheet_compression(pressure, free, young);
            prop_assert!((pressed - thickness).abs() < 1e-9 * thickness);
        }
    }

    /// Whatever is typed as a gauge or an area is answered or refused.
    #[test]
    fn any_text_is_answered(text in "\\PC{0,12}") {
        let _ = wire_size::awg(&text);
        let _ = wire_size::area(&text);
        let _ = metrology::features::pull_force::force(&text);
        let _ = metrology::features::pull_force::least(&text, None, 0.5, None);
    }
}
