//! Generalized confidence intervals of a study: each mean square is drawn anew as SS/χ², and the components are computed from
//! the draws.
//!
//! Source: R. K. Burdick, C. M. Borror and D. C. Montgomery, *Design and analysis of gauge R&R studies* (2005); the method from
//! memory.

use super::anova::Table;
use super::{Components, Intervals, whole};
use crate::uncertainty::monte_carlo::random::Generator;

/// How many draws: the ends of a 95 % interval are then known to about a hundredth of their distance.
const DRAWS: usize = 20_000;
/// Any seed serves; a fixed one gives the same interval every time.
const SEED: u64 = 2005;

pub(super) fn intervals(table: &Table) -> Option<Intervals> {
    let squares = table.squares();
    if squares.iter().any(|square| square.ss <= 0.0) {
        return None;
    }
    let mut random = Generator::new(SEED, 0);
    let (mut gauges, mut categories) = (Vec::new(), Vec::new());
    for _ in 0..DRAWS {
        let mut drawn = squares.map(|square| square.ss / random.chi_square(square.df as f64));
        if table.one_below() {
            let [operator, part, _, repeatability] = drawn;
            drawn = [operator, part, repeatability, repeatability];
        }
        let components = Components::of(table.variances_of(drawn));
        gauges.push(components.gauge_rr);
        categories.push(components.categories());
    }
    let (few, many) = ends(&mut categories)?;
    Some(Intervals {
        gauge_rr: ends(&mut gauges)?,
        distinct_categories: (whole(few)?, whole(many)?),
    })
}

/// Between which the middle 95 % lie.
fn ends(drawn: &mut [f64]) -> Option<(f64, f64)> {
    drawn.sort_by(f64::total_cmp);
    let at = |part: usize| drawn.get(drawn.len() * part / 1000).copied();
    Some((at(25)?, at(975)?))
}
