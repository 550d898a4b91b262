//! Generalized confidence intervals of a study: each mean square is replaced by SS/χ², and the ends are the 2.5 % and 97.5 %
//! quantiles of what the components then come to.
//!
//! The quantiles are found by integration, not by draws: with two degrees of freedom of the operators 20 000 draws put the upper end
//! off by one to seven parts in a hundred. One of the variances is taken by its χ² distribution in closed form, that in which what
//! is left to integrate has no jump; the others over ln χ².
//!
//! Source: R. K. Burdick, C. M. Borror and D. C. Montgomery, *Design and analysis of gauge R&R studies* (2005); the method from
//! memory. The integrals are derived here.

use super::anova::{Square, Table};
use super::layout::Design;
use super::{CATEGORY, Components, Intervals, whole};
use crate::probability::{chi_square_cdf, chi_square_log_density, chi_square_quantile, points};
use crate::root::bracketed;

/// The probability below the lower end, and above the upper one.
const TAIL: f64 = 0.025;
/// Up to where the categories are looked for.
const MOST_CATEGORIES: f64 = 1e15;
/// How finely is integrated over a χ².
struct Fineness {
    /// What is left out at both ends.
    left_out: f64,
    /// Panels of eight points.
    panels: f64,
}

/// Of the gauge, over two variances: its ends are right to five digits.
const OF_GAUGE: Fineness = Fineness {
    left_out: 1e-8,
    panels: 6.0,
};
/// Of the categories, over three: a probability is right to three digits.
const OF_CATEGORIES: Fineness = Fineness {
    left_out: 1e-5,
    panels: 4.0,
};
/// The least panels of the outer and of the inner integral.
const OUTER: usize = 6;
const INNER: usize = 3;

/// A variance that is drawn as SS/χ².
#[derive(Clone, Copy)]
struct Drawn {
    ss: f64,
    df: f64,
    /// From where to where ln χ² is integrated.
    low: f64,
    high: f64,
    panels: f64,
}

/// A place of the integral over all but the parts, with its weight.
struct Place {
    weight: f64,
    repeatability: f64,
    below: f64,
    operator: f64,
}

pub(super) fn intervals(table: &Table) -> Option<Intervals> {
    let squares = table.squares();
    if squares.iter().any(|square| square.ss <= 0.0) {
        return None;
    }
    let estimate = Components::of(table.variances());
    // The gauge spreads by nothing that the digits of the parts still show.
    if estimate.categories() >= MOST_CATEGORIES {
        return None;
    }
    let drawn = |fineness: &Fineness| squares.map(|square| Drawn::of(square, fineness));
    let of_gauge = drawn(&OF_GAUGE);
    let gauge = |probability: f64| {
        let at_most = |variance: f64| gauge_at_most(table, &of_gauge, variance);
        let variance = estimate.gauge_rr * estimate.gauge_rr;
        five_digits(quantile(at_most, variance, probability).sqrt())
    };
    let of_categories = drawn(&OF_CATEGORIES);
    let places = places(table, &of_categories);
    let categories = |probability: f64| {
        let at_most = |number: f64| categories_at_most(table, &of_categories, &places, number);
        whole(last_within(at_most, estimate.categories(), probability)?)
    };
    Some(Intervals {
        gauge_rr: (gauge(TAIL)?, gauge(1.0 - TAIL)?),
        distinct_categories: (categories(TAIL)?, categories(1.0 - TAIL)?),
    })
}

impl Drawn {
    fn of(square: Square, fineness: &Fineness) -> Self {
        let df = square.df as f64;
        let left_out = fineness.left_out;
        Self {
            ss: square.ss,
            df,
            low: libm::log(chi_square_quantile(left_out, df)),
            high: libm::log(chi_square_quantile(1.0 - left_out, df)),
            panels: fineness.panels,
        }
    }

    /// Probability that it is at most so much.
    fn at_most(&self, variance: f64) -> f64 {
        if variance <= 0.0 {
            return 0.0;
        }
        1.0 - chi_square_cdf(self.ss / variance, self.df)
    }

    /// The ln χ² from which on it is at most so much.
    fn from(&self, variance: f64) -> f64 {
        libm::log(self.ss / variance)
    }

    /// Its values with their weights from an ln χ² on, in at least so many panels; what is integrated over it has a kink at the
    /// other ln χ².
    fn values(&self, from: f64, kink: f64, least: usize) -> Vec<(f64, f64)> {
        let from = from.max(self.low);
        let kink = kink.clamp(from, self.high.max(from));
        let whole = self.high - self.low;
        let mut values = Vec::new();
        for (from, to) in [(from, kink), (kink, self.high)] {
            if to <= from {
                continue;
            }
            let panels = (self.panels * (to - from) / whole).ceil();
            let panels = super::whole(panels).and_then(|panels| usize::try_from(panels).ok());
            // A short piece varies as much as a long one.
            let panels = panels.unwrap_or(least).max(least);
            // Closer to each other towards the ends, where what is integrated may fall off at once.
            let value = |(part, weight): (f64, f64)| {
                let log = from + (to - from) * part * part * (3.0 - 2.0 * part);
                let weight = weight * (to - from) * 6.0 * part * (1.0 - part);
                let x = libm::exp(log);
                (self.ss / x, weight * chi_square_log_density(x, self.df))
            };
            let points = points(0.0, 1.0, panels);
            values.extend(points.into_iter().map(value));
        }
        values
    }

    fn all_values(&self) -> Vec<(f64, f64)> {
        self.values(self.low, self.low, 1)
    }
}

/// Probability that the variance of the gauge is at most `g`: of the operators in closed form, over the others.
///
/// With e repeatability, b what lies below the operators, and n r readings of each operator the variance is
/// e + max(0, (b − e)/r) + max(0, (o − b)/(n r)), the middle term in a crossed study that is not pooled.
fn gauge_at_most(table: &Table, drawn: &[Drawn; 4], g: f64) -> f64 {
    let [operator, part, below, repeatability] = drawn;
    let (of_operator, r) = (table.of_operator(), table.trials());
    let rest = |b: f64, without: f64| operator.at_most(b + of_operator * (g - without));
    if table.design() == Design::Crossed && table.one_below() {
        let values = repeatability.values(repeatability.from(g), repeatability.low, OUTER);
        return values
            .into_iter()
            .map(|(e, weight)| weight * rest(e, e))
            .sum();
    }
    let is_crossed = table.design() == Design::Crossed;
    let outer = if is_crossed {
        below.values(below.from(r * g), below.from(g), OUTER)
    } else {
        part.all_values()
    };
    let of_outer = |(b, weight): (f64, f64)| {
        // So that the rest is not beyond g without any operators.
        let most = if is_crossed {
            g.min((g - b / r) * r / (r - 1.0))
        } else {
            g
        };
        if most <= 0.0 {
            return 0.0;
        }
        let kink = if is_crossed {
            repeatability.from(b)
        } else {
            repeatability.low
        };
        let inner = repeatability.values(repeatability.from(most), kink, INNER);
        let inner: f64 = inner
            .into_iter()
            .map(|(e, weight)| weight * rest(b, e + table.interaction_of(b, e)))
            .sum();
        weight * inner
    };
    outer.into_iter().map(of_outer).sum()
}

/// The places of the integral over repeatability, what is below, and operators.
fn places(table: &Table, drawn: &[Drawn; 4]) -> Vec<Place> {
    let [operator, _, below, repeatability] = drawn;
    let mut places = Vec::new();
    let operators = operator.all_values();
    for (e, of_e) in repeatability.all_values() {
        let below = if table.one_below() {
            vec![(e, 1.0)]
        } else {
            below.all_values()
        };
        for (b, of_b) in below {
            places.extend(operators.iter().map(|(o, of_o)| Place {
                weight: of_e * of_b * of_o,
                repeatability: e,
                below: b,
                operator: *o,
            }));
        }
    }
    // Places that weigh nothing cost as much as others.
    let all: f64 = places.iter().map(|place| place.weight).sum();
    let least = 1e-4 * all / places.len() as f64;
    places.retain(|place| place.weight > least);
    places
}

/// Probability that 1.41 part/gauge is at most a number: of the parts in closed form, over the places.
fn categories_at_most(table: &Table, drawn: &[Drawn; 4], places: &[Place], number: f64) -> f64 {
    let [_, part, ..] = drawn;
    let c = number * number / (CATEGORY * CATEGORY);
    let (of_operator, of_part, r) = (table.of_operator(), table.of_part(), table.trials());
    let n = of_operator / r;
    let most = |place: &Place| {
        let (e, b, o) = (place.repeatability, place.below, place.operator);
        match table.design() {
            Design::Crossed => {
                let operators = ((o - b) / of_operator).max(0.0);
                b + of_part * c * (e + table.interaction_of(b, e) + operators)
            }
            // The operators are held against the parts: (p − e)/r = c (e + max(0, (o − p)/(n r))), solved for p.
            Design::Nested => {
                let without = e * (1.0 + r * c);
                if without >= o {
                    without
                } else {
                    (n * without + c * o) / (n + c)
                }
            }
        }
    };
    let (found, all) = places.iter().fold((0.0, 0.0), |(found, all), place| {
        let at_most = part.at_most(most(place));
        (found + place.weight * at_most, all + place.weight)
    });
    found / all
}

/// Where a probability that rises with its argument reaches `probability`.
fn quantile(at_most: impl Fn(f64) -> f64, near: f64, probability: f64) -> f64 {
    let (mut low, mut high) = (near, near);
    while at_most(high) < probability && high < 1e12 * near {
        low = high;
        high *= 4.0;
    }
    while low >= high && at_most(low) > probability && low > 1e-12 * near {
        low /= 4.0;
        if at_most(low) > probability {
            high = low;
        }
    }
    let off = |log: f64| {
        let step = 1e-3;
        let [here, there] = [log, log + step].map(|log| at_most(libm::exp(log)) - probability);
        (here, (there - here) / step)
    };
    let [low, high] = [low, high].map(libm::log);
    let found = bracketed(off, low, high, f64::midpoint(low, high));
    found.map_or(f64::NAN, libm::exp)
}

/// The last whole number up to which the probability, which rises, is at most `probability`; 0 where there is none. `None` beyond
/// what is looked for.
fn last_within(at_most: impl Fn(f64) -> f64, near: f64, probability: f64) -> Option<f64> {
    let is_within = |number: f64| number < 1.0 || at_most(number) <= probability;
    let (mut low, mut high) = (near.floor().clamp(0.0, 1e12), f64::INFINITY);
    while !is_within(low) {
        high = low;
        low = (low / 2.0).floor();
    }
    while high.is_infinite() {
        let next = (2.0 * low).max(1.0);
        if next >= MOST_CATEGORIES {
            return None;
        }
        if is_within(next) {
            low = next;
        } else {
            high = next;
        }
    }
    while high - low > 1.0 {
        let middle = f64::midpoint(low, high).floor();
        if is_within(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

/// As many digits as are right.
fn five_digits(value: f64) -> Option<f64> {
    format!("{value:.4e}").parse().ok()
}
