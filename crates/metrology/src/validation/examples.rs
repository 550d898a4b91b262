//! The models and inputs of the examples of JCGM 100:2008, annex H, and of JCGM 101:2008, clause 9.

use crate::uncertainty::statistics::Sample;
use crate::uncertainty::{
    Correlation, Distribution, Input, Model, Scalar, coverage_factor, distribution,
};

/// A nanometre in millimetres.
pub const NM: f64 = 1e-6;

/// JCGM 100:2008, H.1: l = l_S + d - l_S (δα θ + α_S δθ), with d = d̄ + d1 + d2 and θ = θ̄ + Δ. JCGM 101:2008, 9.5, has the
/// same for the deviation from a nominal length.
pub struct EndGauge;

impl Model<10> for EndGauge {
    fn evaluate<S: Scalar>(&self, inputs: [S; 10]) -> S {
        let [
            standard,
            mean,
            random,
            systematic,
            expansion,
            room,
            cycle,
            d_expansion,
            d_temperature,
            nominal,
        ] = inputs;
        let thermal = d_expansion * (room + cycle) + expansion * d_temperature;
        standard + mean + random + systematic - standard * thermal - nominal
    }
}

/// JCGM 100:2008, H.2: resistance from voltage (V), current (A) and phase (rad).
pub struct Resistance;

/// The same of reactance.
pub struct Reactance;

/// The same of impedance.
pub struct Impedance;

impl Model<3> for Resistance {
    fn evaluate<S: Scalar>(&self, [voltage, current, phase]: [S; 3]) -> S {
        voltage / current * phase.cos()
    }
}

impl Model<3> for Reactance {
    fn evaluate<S: Scalar>(&self, [voltage, current, phase]: [S; 3]) -> S {
        voltage / current * phase.sin()
    }
}

impl Model<3> for Impedance {
    fn evaluate<S: Scalar>(&self, [voltage, current, _]: [S; 3]) -> S {
        voltage / current
    }
}

/// JCGM 101:2008, 9.2.
pub struct Sum;

impl Model<4> for Sum {
    fn evaluate<S: Scalar>(&self, [a, b, c, d]: [S; 4]) -> S {
        a + b + c + d
    }
}

/// JCGM 101:2008, 9.3: conventional mass less nominal, mg; densities in kg/m³.
pub struct Weight;

impl Model<5> for Weight {
    fn evaluate<S: Scalar>(&self, [reference, added, air, weight, standard]: [S; 5]) -> S {
        let one = S::constant(1.0);
        (reference + added) * ((air - 1.2) * (one / weight - one / standard) + 1.0) - 100_000.0
    }
}

/// JCGM 101:2008, 9.4.
pub struct ComparisonLoss;

impl Model<2> for ComparisonLoss {
    fn evaluate<S: Scalar>(&self, [x1, x2]: [S; 2]) -> S {
        x1 * x1 + x2 * x2
    }
}

/// JCGM 100:2008, H.1.3 and H.1.6: the inputs of [`EndGauge`] from their published origin, nothing rounded on the way; mm.
/// None where there is no quantile of Student's t.
pub fn end_gauge_of_gum() -> Option<[Input; 10]> {
    let normal =
        |name, estimate, u, nu| Input::normal(name, estimate, u).with_degrees_of_freedom(nu);
    let rectangular =
        |name, half_width| Input::new(name, 0.0, Distribution::Rectangular { half_width });
    let t_95 = coverage_factor(0.95, 5.0).ok()?;
    let reliable = distribution::degrees_of_freedom;
    Some([
        // H.1.3.1: U = 0.075 µm at k = 3, 18 degrees of freedom.
        normal("lS", 50.000623, distribution::normal(75.0 * NM, 3.0), 18.0),
        // H.1.3.2: mean of 5 with a pooled s = 13 nm of 25 readings; certificate ± 0.01 µm at 95 % from 6 readings
        // (t = 2.57, here unrounded); ± 0.02 µm at three sigma, reliable to 25 %.
        normal("dbar", 215.0 * NM, 13.0 * NM / 5f64.sqrt(), 24.0),
        normal("d1", 0.0, distribution::normal(10.0 * NM, t_95), 5.0),
        normal(
            "d2",
            0.0,
            distribution::normal(20.0 * NM, 3.0),
            reliable(0.25),
        ),
        // H.1.3.3.
        Input::new(
            "alphaS",
            11.5e-6,
            Distribution::Rectangular { half_width: 2e-6 },
        ),
        // H.1.3.4.
        Input::normal("thetabar", -0.1, 0.2),
        Input::new("Delta", 0.0, Distribution::Arcsine { half_width: 0.5 }),
        // H.1.3.5 and H.1.3.6, reliable to 10 % and 50 % (H.1.6).
        rectangular("dalpha", 1e-6).with_degrees_of_freedom(reliable(0.10)),
        rectangular("dtheta", 0.05).with_degrees_of_freedom(reliable(0.50)),
        Input::normal("nominal", 0.0, 0.0),
    ])
}

/// JCGM 100:2008, H.2.2: five sets of voltage (V), current (A) and phase (rad), read together, and how they are tied: Table
/// H.2. None where a set has fewer than two readings.
pub fn circuit() -> Option<([Input; 3], Vec<Correlation>)> {
    let readings = [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let [voltage, current, phase] = readings.each_ref().map(|series| Sample::of(series));
    let samples = [voltage?, current?, phase?];
    let input = |name, sample: &Sample| {
        Input::normal(name, sample.mean, sample.standard_uncertainty())
            .with_degrees_of_freedom(sample.degrees_of_freedom())
    };
    let [voltage, current, phase] = &samples;
    let inputs = [
        input("V", voltage),
        input("I", current),
        input("phi", phase),
    ];
    let mut ties = Vec::new();
    for (first, second) in [(0, 1), (0, 2), (1, 2)] {
        let (a, b) = (samples.get(first)?, samples.get(second)?);
        let products: f64 = (readings.get(first)?.iter().zip(readings.get(second)?))
            .map(|(x, y)| (x - a.mean) * (y - b.mean))
            .sum();
        ties.push(Correlation {
            first,
            second,
            coefficient: products / (4.0 * a.standard_deviation * b.standard_deviation),
        });
    }
    Some((inputs, ties))
}

/// A rectangular distribution around 0 of this standard deviation.
pub fn rectangular(name: &'static str, standard_deviation: f64) -> Input {
    let half_width = standard_deviation * 3f64.sqrt();
    Input::new(name, 0.0, Distribution::Rectangular { half_width })
}

/// JCGM 101:2008, 9.3, Table 5: the inputs of [`Weight`].
pub fn weighing() -> [Input; 5] {
    let around = |name, middle, half_width| {
        Input::new(name, middle, Distribution::Rectangular { half_width })
    };
    [
        Input::normal("m_R", 100_000.0, 0.050),
        Input::normal("delta m_R", 1.234, 0.020),
        around("rho_a", 1.2, 0.1),
        around("rho_W", 8000.0, 1000.0),
        around("rho_R", 8000.0, 50.0),
    ]
}

/// JCGM 101:2008, 9.5, Table 10: the inputs of [`EndGauge`], nm; δα is inexact by 0.1e-6, as only that gives the published interval.
pub fn gauge_block() -> [Input; 10] {
    let t = |name, estimate, u, nu| Input::normal(name, estimate, u).with_degrees_of_freedom(nu);
    let inexact = |name, half_width, inexactness| {
        let of = Distribution::CurvilinearTrapezoid {
            half_width,
            inexactness,
        };
        Input::new(name, 0.0, of)
    };
    [
        t("L_s", 50_000_623.0, 25.0, 18.0),
        t("D", 215.0, 6.0, 24.0),
        t("d1", 0.0, 4.0, 5.0),
        t("d2", 0.0, 7.0, 8.0),
        Input::new(
            "alpha_s",
            11.5e-6,
            Distribution::Rectangular { half_width: 2e-6 },
        ),
        Input::normal("theta_0", -0.1, 0.2),
        Input::new("Delta", 0.0, Distribution::Arcsine { half_width: 0.5 }),
        inexact("delta alpha", 1e-6, 0.1e-6),
        inexact("delta theta", 0.050, 0.025),
        Input::normal("L_nom", 50_000_000.0, 0.0),
    ]
}
