//! Unknown threads by chance, measured as at a bench: what the program is sure of is right.

use std::f64::consts::TAU;

use metrology::designation::{Form, Kind};
use metrology::identify::{
    Candidate, Evidence, Expected, Observation, Prior, Quantity, Shop, candidates, identify,
};

const INCH_AND_METRIC: &[Form] = &[Form::Unified, Form::IsoMetric];
const WITH_BRITISH: &[Form] = &[
    Form::Unified,
    Form::IsoMetric,
    Form::Whitworth,
    Form::Ba,
    Form::GPipe,
];

/// What is measured beside the major diameter: quantity and standard uncertainty.
const COUNT: &[(Quantity, f64)] = &[(Quantity::Pitch, 0.0025)];
const GAUGE: &[(Quantity, f64)] = &[(Quantity::Pitch, 0.01)];
const MAJOR_ALONE: &[(Quantity, f64)] = &[];
const COUNT_AND_ANGLE: &[(Quantity, f64)] =
    &[(Quantity::Pitch, 0.0025), (Quantity::FlankAngle, 1.0)];

/// SplitMix64 (S. Vigna, public domain).
struct Chance(u64);

impl Chance {
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn one_of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[(self.bits() % all.len() as u64) as usize]
    }

    /// Above 0, up to 1.
    fn share(&mut self) -> f64 {
        ((self.bits() >> 11) + 1) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.share().ln()).sqrt() * (TAU * self.share()).cos()
    }
}

/// A reading: anywhere in the band of the usual class, or the one value, with the error of the tool.
fn reading(truth: &Candidate, quantity: Quantity, u: f64, chance: &mut Chance) -> Observation {
    let true_value = match truth.expected(quantity) {
        Expected::Value(value) => value,
        Expected::Band {
            usual: (lower, upper),
            ..
        } => lower + chance.share() * (upper - lower),
    };
    Observation {
        quantity,
        value: true_value + u * chance.normal(),
        standard_uncertainty: u,
    }
}

#[derive(Default)]
struct Claims {
    of: u32,
    right: u32,
}

impl Claims {
    fn add(&mut self, claimed: bool, right: bool) {
        self.of += u32::from(claimed);
        self.right += u32::from(claimed && right);
    }

    fn cell(&self) -> String {
        format!("{} of {}", self.right, self.of)
    }
}

#[derive(Default)]
struct Row {
    first: Claims,
    first_three: Claims,
    first_group: Claims,
    /// Threads named with a probability above 80, 90 and 95 %.
    above_80: Claims,
    above_90: Claims,
    above_95: Claims,
    /// The same of the headline.
    group_above_95: Claims,
}

fn simulate(pool: &[Form], more: &[(Quantity, f64)], prior: &Prior, draws: u32) -> Row {
    // Every form as often, and every thread of a form: Whitworth, BA and G are few beside metric and Unified ones.
    let of_form = |form: &Form| -> Vec<&Candidate> {
        let all = candidates(Kind::External).iter();
        all.filter(|one| one.form == *form).collect()
    };
    let forms: Vec<Vec<&Candidate>> = pool.iter().map(of_form).collect();
    let mut chance = Chance(20);
    let mut row = Row::default();
    for _ in 0..draws {
        let threads = chance.one_of(&forms);
        let truth = *chance.one_of(threads);
        let mut observations = vec![reading(truth, Quantity::Major, 0.01, &mut chance)];
        for (quantity, u) in more {
            observations.push(reading(truth, *quantity, *u, &mut chance));
        }
        let evidence = Evidence {
            kind: Kind::External,
            observations,
        };
        let found = identify(&evidence, prior).unwrap();
        let is_truth =
            |index: &usize| found.ranked[*index].candidate.designation == truth.designation;
        let probability = found.ranked[0].probability;
        let group = &found.groups[0];
        let right = is_truth(&0);
        let in_group = group.members.iter().any(is_truth);
        row.first.add(true, right);
        row.first_three
            .add(true, (0..3).any(|index| is_truth(&index)));
        row.first_group.add(true, in_group);
        row.above_80.add(probability > 0.8, right);
        row.above_90.add(probability > 0.9, right);
        row.above_95.add(probability > 0.95, right);
        row.group_above_95.add(group.probability > 0.95, in_group);
    }
    row
}

/// A shop that has British threads beside Unified and metric ones, and has not said so.
#[test]
fn what_is_called_sure_is_right() {
    for (more, least) in [(COUNT, 50), (COUNT_AND_ANGLE, 100)] {
        let row = simulate(WITH_BRITISH, more, &Prior::Unstated, 150);
        for claims in [row.above_95, row.group_above_95] {
            assert!(claims.of >= least, "{}", claims.cell());
            assert!(
                f64::from(claims.of - claims.right) <= 0.05 * f64::from(claims.of),
                "{}",
                claims.cell()
            );
        }
    }
}

/// The table of `docs/identify.md`:
/// `cargo test --release -p metrology --test it table_of_claims -- --ignored --nocapture`.
#[test]
#[ignore = "makes a table"]
fn table_of_claims() {
    println!(
        "| occur, measured | prior | first | in first three | in headline | > 80 % | > 90 % | > 95 % | headline > 95 % |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    for (pool, of) in [
        (INCH_AND_METRIC, "Unified, M"),
        (WITH_BRITISH, "and BSW, BSF, BA, G"),
    ] {
        for (more, by) in [
            (COUNT, "count"),
            (GAUGE, "pitch gauge"),
            (MAJOR_ALONE, "no pitch"),
            (COUNT_AND_ANGLE, "count, angle"),
        ] {
            for (prior, name) in [
                (Prior::Unstated, "unstated"),
                (Prior::Shop(Shop::Mixed), "mixed"),
            ] {
                let row = simulate(pool, more, &prior, 2000);
                let share = |claims: &Claims| {
                    format!(
                        "{:.1}",
                        100.0 * f64::from(claims.right) / f64::from(claims.of)
                    )
                };
                println!(
                    "| {of}: {by} | {name} | {} | {} | {} | {} | {} | {} | {} |",
                    share(&row.first),
                    share(&row.first_three),
                    share(&row.first_group),
                    row.above_80.cell(),
                    row.above_90.cell(),
                    row.above_95.cell(),
                    row.group_above_95.cell(),
                );
            }
        }
    }
}
