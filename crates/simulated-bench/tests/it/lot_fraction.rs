//! How often the interval of the fraction nonconforming holds the true fraction of a simulated process.
//!
//! True sizes are normal, with all of the nonconforming beyond the upper limit, or half of them beyond each. 0 stands for a
//! process whose limit is eight standard deviations away. Half of the variance of the measurement is common to all pieces of
//! a lot and half is each piece's own, or all of it is one of the two.

use metrology::lot::{FractionNonconforming, Sizes};
use metrology::uncertainty::{normal_cdf, normal_quantile};

use crate::long::{self, Random};

/// Lots in a long run for each process.
const LOTS: u32 = 4_000;
/// Pieces of a lot.
const PIECES: u32 = 50;
const UPPER: f64 = 10.05;
const LOWER: f64 = 9.95;

fn held(fraction: f64, relative: f64, common_share: f64, centred: bool, lots: u32) -> f64 {
    let mut random = Random(18 + (1e4 * (fraction + relative + common_share)) as u64);
    let mut normal = move || {
        let place = random.below(1 << 53) as f64 + 0.5;
        normal_quantile(place / (1_u64 << 53) as f64)
    };
    let width = UPPER - LOWER;
    let u = relative * width;
    let (common, each) = (u * common_share.sqrt(), u * (1.0 - common_share).sqrt());
    let part = if centred { fraction / 2.0 } else { fraction };
    let deviations = if fraction == 0.0 {
        8.0
    } else {
        -normal_quantile(part)
    };
    let middle = f64::midpoint(LOWER, UPPER);
    let (sigma, mean) = if centred {
        (width / 2.0 / deviations, middle)
    } else {
        let sigma = width / if fraction == 0.0 { 20.0 } else { 8.0 };
        (sigma, UPPER - deviations * sigma)
    };
    let beyond = |distance: f64| normal_cdf(-distance / sigma);
    let truth = beyond(UPPER - mean) + beyond(mean - LOWER);
    let mut holds = 0_u32;
    for _ in 0..lots {
        let shift = common * normal();
        let mut sizes = Sizes::default();
        for _ in 0..PIECES {
            let size = mean + sigma * normal() + shift + each * normal();
            sizes.add(size, each, common);
        }
        let found = FractionNonconforming::by(&sizes, Some(LOWER), Some(UPPER), 0.95, 60).unwrap();
        holds += u32::from(found.lower <= truth && truth <= found.upper);
    }
    f64::from(holds) / f64::from(lots)
}

#[test]
fn intervals_hold_as_often_as_they_say() {
    let lots = long::rounds(LOTS);
    // Three standard deviations of a count of so many lots.
    let room = 3.0 * (0.05 * 0.95 / f64::from(lots)).sqrt();
    let mut wrong = Vec::new();
    for relative in [0.02, 0.1] {
        for fraction in [0.0, 0.01, 0.05, 0.2] {
            for (common, centred) in [0.0, 0.5, 1.0]
                .into_iter()
                .flat_map(|c| [(c, false), (c, true)])
            {
                let begun = std::time::Instant::now();
                let held = held(fraction, relative, common, centred, lots);
                let what = format!(
                    "lots, u/T {relative}, fraction {fraction}, common part {common}, centred {centred}: held"
                );
                long::tell(&what, lots, format!("{held:.4}"), begun);
                if held < 0.935 - room || held > 0.97 + room {
                    wrong.push((relative, fraction, common, centred, held));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}
