//! Random numbers that are the same everywhere: integer arithmetic, and `libm` where a logarithm is needed.

use super::bits::Bits;
use super::ziggurat::Ziggurat;

/// The random stream of one batch.
pub struct Generator {
    bits: Bits,
    ziggurat: &'static Ziggurat,
}

impl Generator {
    /// The stream of batch `index` under a seed.
    pub fn new(seed: u64, index: u64) -> Self {
        Self {
            bits: Bits::new(seed, index),
            ziggurat: Ziggurat::get(),
        }
    }

    /// Rectangular between 0 and 1, neither included (JCGM 101:2008, 6.4.2.4 asks for that).
    #[inline]
    pub fn uniform(&mut self) -> f64 {
        self.bits.uniform()
    }

    /// Standard normal.
    #[inline]
    pub fn normal(&mut self) -> f64 {
        self.ziggurat.draw(&mut self.bits)
    }

    /// Student t with standard scale: a normal over the root of χ²/ν (JCGM 101:2008, 6.4.9.5).
    pub fn student(&mut self, degrees_of_freedom: f64) -> f64 {
        if degrees_of_freedom.is_infinite() {
            return self.normal();
        }
        let half = degrees_of_freedom / 2.0;
        self.normal() / (self.gamma(half) / half).sqrt()
    }

    /// χ² with so many degrees of freedom, above 0.
    pub fn chi_square(&mut self, degrees_of_freedom: f64) -> f64 {
        2.0 * self.gamma(degrees_of_freedom / 2.0)
    }

    /// Gamma of rate 1 and a shape above 0 (G. Marsaglia and W. W. Tsang, ACM TOMS 26 (2000) 363; from memory,
    /// checked by its moments).
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            return self.gamma(shape + 1.0) * libm::pow(self.uniform(), 1.0 / shape);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let root = 1.0 + c * x;
            let v = root * root * root;
            if v > 0.0 && libm::log(self.uniform()) < 0.5 * x * x + d - d * v + d * libm::log(v) {
                return d * v;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::{normal_cdf, student_cdf};

    const COUNT: u32 = 100_000;

    /// The largest distance of the drawn distribution from `cdf` (Kolmogorov), times √n: above 1.95 in one of a
    /// thousand.
    fn distance(mut draw: impl FnMut() -> f64, cdf: impl Fn(f64) -> f64) -> f64 {
        let mut values: Vec<f64> = (0..COUNT).map(|_| draw()).collect();
        values.sort_by(f64::total_cmp);
        let n = f64::from(COUNT);
        let steps = values.iter().enumerate();
        let largest = steps.map(|(i, x)| (cdf(*x) - (i as f64 + 0.5) / n).abs());
        largest.fold(0.0, f64::max) * n.sqrt()
    }

    #[test]
    fn distributions_are_as_named() {
        let mut random = Generator::new(1, 0);
        assert!(distance(|| random.uniform(), |x| x) < 1.95);
        assert!(distance(|| random.normal(), normal_cdf) < 1.95);
        for nu in [1.0, 5.0, 18.0] {
            assert!(
                distance(|| random.student(nu), |t| student_cdf(t, nu)) < 1.95,
                "{nu}"
            );
        }
    }

    #[test]
    fn streams_differ_and_repeat() {
        let first = |seed, index| Generator::new(seed, index).bits.next();
        assert_eq!(first(7, 3), first(7, 3));
        let mut seen: Vec<u64> = (0..100).flat_map(|i| [first(7, i), first(8, i)]).collect();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen.len(), 200);
    }

    /// The digits that records made with this program rest on.
    #[test]
    fn the_stream_never_changes() {
        let mut random = Generator::new(2008, 0);
        // PCG64-DXSM and SplitMix64 written out again elsewhere, in whole numbers of any size, give the same.
        assert_eq!(random.bits.next(), 18396256992139642413);
        assert_eq!(random.normal().to_bits(), 13829185692660762563);
        assert_eq!(random.student(5.0).to_bits(), 4601338548182294117);
    }
}
