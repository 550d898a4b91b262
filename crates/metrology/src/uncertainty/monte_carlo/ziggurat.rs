//! Normal random numbers by the ziggurat method.
//!
//! The area under the density is covered by 128 layers of equal area; nearly always one multiplication and one
//! comparison tell that a point drawn in a layer lies under the curve. Sources: G. Marsaglia and W. W. Tsang,
//! Journal of Statistical Software 5 (2000) 8; J. A. Doornik, *An improved ziggurat method to generate normal
//! random samples*, 2005, for separate random bits for layer and place. (Both from memory; the tests check the
//! layers and the drawn distribution.)

use std::sync::LazyLock;

use super::bits::Bits;

const LAYERS: usize = 128;
/// Where the tail begins.
const TAIL: f64 = 3.442619855899;
/// Area of each layer, for the density without its factor 1/√(2π).
const AREA: f64 = 9.91256303526217e-3;

/// The layers, from the widest (with the tail) to the top.
pub(super) struct Ziggurat {
    /// Width of the layers and, at the end, 0.
    widths: [f64; LAYERS + 1],
}

static ZIGGURAT: LazyLock<Ziggurat> = LazyLock::new(|| {
    let mut widths = [0.0; LAYERS + 1];
    // The bottom layer is as wide as a box with the area of base and tail together.
    let mut width = AREA / density(TAIL);
    let mut next = TAIL;
    for slot in widths.iter_mut().take(LAYERS) {
        *slot = width;
        width = next;
        let height = AREA / width + density(width);
        // The last height is 1 but for rounding, and its width 0.
        next = (-2.0 * libm::log(height.min(1.0))).sqrt();
    }
    Ziggurat { widths }
});

/// e^(-x²/2).
fn density(x: f64) -> f64 {
    libm::exp(-0.5 * x * x)
}

impl Ziggurat {
    /// The one table.
    pub fn get() -> &'static Self {
        &ZIGGURAT
    }

    /// One standard normal number.
    #[inline]
    pub fn draw(&self, random: &mut Bits) -> f64 {
        loop {
            let bits = random.next();
            // Seven low bits choose the layer, the upper 53 the place from -1 to 1.
            let layer = (bits & 0x7f) as usize;
            let place = (bits >> 11).cast_signed() as f64 * (1.0 / 4_503_599_627_370_496.0) - 1.0;
            let x = place * self.widths[layer];
            if x.abs() < self.widths[layer + 1] {
                return x;
            }
            if let Some(x) = self.at_the_edge(random, layer, place) {
                return x;
            }
        }
    }

    /// What few draws need: a place in a layer that the curve crosses. Kept apart, so that the others stay short.
    #[cold]
    #[inline(never)]
    fn at_the_edge(&self, random: &mut Bits, layer: usize, place: f64) -> Option<f64> {
        if layer == 0 {
            return Some(tail(random).copysign(place));
        }
        let (width, above) = (self.widths[layer], self.widths[layer + 1]);
        let x = place * width;
        let (low, high) = (density(width), density(above));
        (low + random.uniform() * (high - low) < density(x)).then_some(x)
    }
}

/// A normal number beyond the last layer (Marsaglia's method for the tail).
fn tail(random: &mut Bits) -> f64 {
    loop {
        let x = -libm::log(random.uniform()) / TAIL;
        let y = -libm::log(random.uniform());
        if y + y > x * x {
            return TAIL + x;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::monte_carlo::random::Generator;
    use crate::uncertainty::normal_cdf;

    #[test]
    fn layers_have_one_area_and_reach_the_top() {
        let widths = Ziggurat::get().widths;
        assert!(widths.is_sorted_by(|a, b| a > b));
        assert_eq!(widths[LAYERS], 0.0);
        let base = TAIL * density(TAIL) + (2.0 * std::f64::consts::PI).sqrt() * normal_cdf(-TAIL);
        assert!((base / AREA - 1.0).abs() < 1e-9, "{base}");
        let top = AREA / widths[LAYERS - 1] + density(widths[LAYERS - 1]);
        assert!((top - 1.0).abs() < 1e-9, "{top}");
    }

    #[test]
    fn tails_have_their_weight() {
        let mut random = Generator::new(3, 0);
        let far = (0..400_000)
            .filter(|_| random.normal().abs() > TAIL)
            .count() as f64;
        let expected = 800_000.0 * normal_cdf(-TAIL);
        assert!(
            (far - expected).abs() < 4.0 * expected.sqrt(),
            "{far} {expected}"
        );
    }
}
