//! Random bits: a stream of whole numbers that is the same on every machine.

use rand_pcg::Pcg64Dxsm;
use rand_pcg::rand_core::Rng;

/// The bits of one batch.
pub(super) struct Bits(Pcg64Dxsm);

impl Bits {
    /// The stream of batch `index` under a seed.
    ///
    /// Start and stream of each batch are scattered over the 2¹²⁸ possible ones, so that streams neither overlap
    /// nor resemble each other.
    pub fn new(seed: u64, index: u64) -> Self {
        let mut state = scattered(seed).wrapping_add(index.wrapping_mul(4));
        let mut word = || {
            state = state.wrapping_add(1);
            u128::from(scattered(state))
        };
        let (start, stream) = (word() << 64 | word(), word() << 64 | word());
        Self(Pcg64Dxsm::new(start, stream))
    }

    /// 64 random bits.
    #[inline]
    pub fn next(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// Rectangular between 0 and 1, neither included (JCGM 101:2008, 6.4.2.4 asks for that).
    #[inline]
    pub fn uniform(&mut self) -> f64 {
        ((self.next() >> 12).cast_signed() as f64 + 0.5) * (1.0 / 4_503_599_627_370_496.0)
    }
}

/// One of the 2⁶⁴ numbers, for each another (the finalizer of SplitMix64; G. L. Steele and others, 2014).
fn scattered(number: u64) -> u64 {
    let mut z = number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}
