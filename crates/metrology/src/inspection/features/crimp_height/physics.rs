//! Crimps: what the section says of the compression.
//!
//! Areas in square millimetres, lengths in millimetres.

/// Section after crimping over conductor and barrel before, percent.
///
/// Some texts take the conductor alone, or give what is gone: always print the definition beside the number.
pub fn compression_percent(after: f64, before: f64) -> Option<f64> {
    (after > 0.0 && before > 0.0 && after.is_finite() && before.is_finite())
        .then(|| after / before * 100.0)
}

/// By how many percent points the ratio changes with the height, for each millimetre, at a width set by the die:
/// `dCR ≈ CW dCH / A_before`. Source: elementary geometry.
pub fn percent_per_millimetre(width: f64, before: f64) -> Option<f64> {
    (width > 0.0 && before > 0.0).then(|| width / before * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.05 mm on a crimp 1.45 mm wide, 1.003 mm² before: 7 points. By hand.
    #[test]
    fn why_five_hundredths_matter() {
        let change = 0.05 * percent_per_millimetre(1.45, 1.003).unwrap();
        assert!((change - 7.2).abs() < 0.05, "{change}");
    }

    #[test]
    fn a_ratio_is_of_something() {
        assert!((compression_percent(0.82, 1.003).unwrap() - 81.75).abs() < 0.01);
        assert_eq!(compression_percent(0.82, 0.0), None);
        assert_eq!(compression_percent(f64::NAN, 1.0), None);
    }
}
