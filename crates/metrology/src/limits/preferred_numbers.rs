//! The R40 series of preferred numbers (ISO 3), to which ISO 965-1 rounds its tolerances.

/// The R40 preferred numbers of one decade (ISO 3), in hundredths.
const R40: [i32; 41] = [
    100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280,
    300, 315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850,
    900, 950, 1000,
];

/// The nearest R40 number to a tolerance in micrometres.
///
/// Exact ties between two rounded R40 numbers go either way in the standard; here the exact series 10^(k/40)
/// decides, which agrees with nine of its ten tied tolerances.
pub(crate) fn rounded(micrometres: f64) -> f64 {
    let decade = libm::pow(10.0, libm::floor(libm::log10(micrometres) + 1e-12));
    let mantissa = micrometres / decade * 100.0;
    // Noise of the powers must not decide a tie.
    let mantissa = (mantissa * 1e6).round_ties_even() / 1e6;
    let mut best = (f64::INFINITY, 0.0);
    for (index, &number) in R40.iter().enumerate() {
        let distance = (mantissa - f64::from(number)).abs();
        let exact_middle = || 100.0 * libm::pow(10.0, (index as f64 - 0.5) / 40.0);
        if distance < best.0 || (distance == best.0 && mantissa > exact_middle()) {
            best = (distance, f64::from(number));
        }
    }
    best.1 * decade / 100.0
}

/// R40 numbers below 100 with a decimal become whole micrometres, halves to even.
#[expect(
    clippy::cast_possible_truncation,
    reason = "tolerances are below 10 mm"
)]
pub(crate) fn whole(rounded: f64) -> i32 {
    ((rounded * 1e6).round_ties_even() / 1e6).round_ties_even() as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_the_preferred_numbers() {
        assert_eq!(rounded(78.3), 80.0);
        assert_eq!(rounded(452.0), 450.0);
        assert_eq!(whole(26.5), 26);
        assert_eq!(whole(33.5), 34);
        // Ties of two tolerances, as the tables have them (Td2 grade 5, P 2; grade 7, P 1.5).
        assert_eq!(rounded(136.0), 132.0);
        assert_eq!(rounded(165.0), 170.0);
    }
}
