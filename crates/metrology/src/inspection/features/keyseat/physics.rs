//! Keyseats: three ways to state one depth.
//!
//! Lengths in millimetres; `shaft` is a diameter.

/// Height of the arc that the seat takes from the shaft: `h = (D − √(D² − b²))/2`; `None` where the seat is wider than
/// the shaft. Source: elementary geometry.
pub fn chord_height(shaft: f64, width: f64) -> Option<f64> {
    (shaft > 0.0 && width >= 0.0 && width <= shaft)
        .then(|| (shaft - (shaft * shaft - width * width).sqrt()) / 2.0)
}

/// How fast that height changes with the shaft diameter, and with the width: `(½(1 − D/w), ½ b/w)`, `w = √(D² − b²)`.
pub fn chord_height_slopes(shaft: f64, width: f64) -> Option<(f64, f64)> {
    let chord = (shaft * shaft - width * width).sqrt();
    (chord > 0.0).then(|| ((1.0 - shaft / chord) / 2.0, width / chord / 2.0))
}

/// Depth from where the crown was: `D − S`, with `S` from floor to opposite side.
pub fn depth_from_crown(shaft: f64, bottom_to_opposite: f64) -> f64 {
    shaft - bottom_to_opposite
}

/// Depth down the wall from the edge: `D − h − S`.
pub fn depth_from_edge(shaft: f64, width: f64, bottom_to_opposite: f64) -> Option<f64> {
    Some(shaft - chord_height(shaft, width)? - bottom_to_opposite)
}

/// `S` for a key of height `H` and width `W` let in half its height at the edge: `S = [D − H + √(D² − W²)]/2`
/// (ASME B17.1, from memory).
pub fn bottom_to_opposite_b17_1(shaft: f64, key_height: f64, key_width: f64) -> Option<f64> {
    (key_width <= shaft).then(|| {
        f64::midpoint(
            shaft - key_height,
            (shaft * shaft - key_width * key_width).sqrt(),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shaft 25, seat 8: 0.657 mm between the two conventions.
    #[test]
    fn edge_and_crown_differ() {
        let height = chord_height(25.0, 8.0).unwrap();
        assert!((height - 0.657).abs() < 5e-4, "{height}");
        let s = 21.0;
        let between = depth_from_crown(25.0, s) - depth_from_edge(25.0, 8.0, s).unwrap();
        assert!((between - height).abs() < 1e-12);
        assert_eq!(chord_height(8.0, 25.0), None);
    }

    /// 1 in shaft, 1/4 in square key: S = 0.859 in, as printed in tables of ASME B17.1 (from memory).
    #[test]
    fn the_known_inch_table() {
        let s = bottom_to_opposite_b17_1(1.0, 0.25, 0.25).unwrap();
        assert!((s - 0.859).abs() < 5e-4, "{s}");
        // The same by the depth from the edge: half the key height below the edge.
        let edge = depth_from_edge(1.0, 0.25, s).unwrap();
        assert!((edge - 0.125).abs() < 1e-12);
    }

    #[test]
    fn slopes_are_slopes() {
        let (by_shaft, by_width) = chord_height_slopes(25.0, 8.0).unwrap();
        let step = 1e-5;
        let h = |shaft, width| chord_height(shaft, width).unwrap();
        let numeric = (h(25.0 + step, 8.0) - h(25.0 - step, 8.0)) / (2.0 * step);
        assert!((by_shaft - numeric).abs() < 1e-8);
        let numeric = (h(25.0, 8.0 + step) - h(25.0, 8.0 - step)) / (2.0 * step);
        assert!((by_width - numeric).abs() < 1e-8);
    }
}
