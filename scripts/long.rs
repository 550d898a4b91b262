//! What the long loops share. `scripts/long.sh` runs all of each loop, and a test a hundredth.

#![allow(
    clippy::cast_possible_truncation,
    reason = "small numbers, and random ones that are cut on purpose"
)]

use std::fmt::Display;
use std::time::Instant;

/// How often a loop goes round that goes round so often in a long run.
pub fn rounds(all: u32) -> u32 {
    let percent = std::env::var("MIDFLANK_LONG").map_or(1, |percent| percent.parse().unwrap());
    (u64::from(all) * percent / 100).max(1) as u32
}

/// Prints a line of the table in docs/reliability.md.
pub fn tell(what: &str, count: impl Display, found: impl Display, begun: Instant) {
    println!(
        "| {what} | {count} | {found} | {:.1} |",
        begun.elapsed().as_secs_f64()
    );
}

/// Numbers that spread well, and are the same each time (splitmix64).
pub struct Random(pub u64);

impl Random {
    /// A number below another.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) % end as u64) as usize
    }

    /// One of some.
    pub fn one_of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}
