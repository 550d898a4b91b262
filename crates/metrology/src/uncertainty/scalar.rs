//! A measurement model written once, and the numbers that carry its derivatives along.
//!
//! ```
//! use metrology::uncertainty::{Model, Scalar};
//!
//! /// Pitch diameter from the size over three wires of a 60° thread: d2 = M - 3 w + P·√3/2.
//! struct OverWires;
//!
//! impl Model<3> for OverWires {
//!     fn evaluate<S: Scalar>(&self, [over_wires, wire, pitch]: [S; 3]) -> S {
//!         over_wires - wire * 3.0 + pitch * 3.0_f64.sqrt() / 2.0
//!     }
//! }
//!
//! let [_, per_wire, _] = OverWires.sensitivities([10.0, 0.9, 1.5]);
//! assert_eq!(per_wire, -3.0);
//! ```

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A measurement model y = f(x₁ … x_N) (JCGM 100:2008, 4.1).
pub trait Model<const N: usize> {
    /// The model's one text, for plain numbers and for numbers that carry derivatives.
    fn evaluate<S: Scalar>(&self, inputs: [S; N]) -> S;

    /// The sensitivity coefficients ∂f/∂xᵢ at `at` (JCGM 100:2008, 5.1.3), exact to rounding.
    fn sensitivities(&self, at: [f64; N]) -> [f64; N] {
        std::array::from_fn(|i| self.sensitivity(at, i))
    }

    /// One of them, ∂f/∂xᵢ. It is the same wherever inputs change that the model is linear in together with this one.
    fn sensitivity(&self, at: [f64; N], i: usize) -> f64 {
        self.evaluate(follow(at, i)).slope
    }

    /// Whether the model is known to be linear in these two inputs together: every derivative by both, and every second one by
    /// either, is zero. It saves their second-order terms, which are most of the work where there are many inputs.
    fn is_linear_in(&self, _i: usize, _j: usize) -> bool {
        false
    }

    /// The pair (∂²f/∂xᵢ∂xⱼ, ∂³f/∂xᵢ∂xⱼ²) at `at`, for the second-order terms (JCGM 100:2008, 5.1.2 note).
    fn higher_derivatives(&self, at: [f64; N], i: usize, j: usize) -> (f64, f64) {
        let result = self.evaluate(follow(follow(follow(at, j), j), i));
        (result.slope.slope.value, result.slope.slope.slope)
    }
}

/// The inputs, with the derivative for the one of index `followed` switched on.
pub fn follow<S: Scalar, const N: usize>(at: [S; N], followed: usize) -> [Dual<S>; N] {
    let mut index = 0;
    at.map(|value| {
        let slope = S::constant(if index == followed { 1.0 } else { 0.0 });
        index += 1;
        Dual { value, slope }
    })
}

/// What a measurement model may do with a number. Angles are in radians.
pub trait Scalar:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// A number without uncertainty.
    fn constant(value: f64) -> Self;
    /// The plain number, for a branch in a model.
    fn value(self) -> f64;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Sine.
    fn sin(self) -> Self;
    /// Cosine.
    fn cos(self) -> Self;
    /// Tangent.
    fn tan(self) -> Self;
    /// Arc sine.
    fn asin(self) -> Self;
    /// Arc cosine.
    fn acos(self) -> Self;
    /// Arc tangent.
    fn atan(self) -> Self;
    /// eˣ.
    fn exp(self) -> Self;
    /// Natural logarithm.
    fn ln(self) -> Self;
    /// Raised to a fixed power.
    fn powf(self, exponent: f64) -> Self;
}

impl Scalar for f64 {
    fn constant(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn sqrt(self) -> Self {
        libm::sqrt(self)
    }
    fn sin(self) -> Self {
        libm::sin(self)
    }
    fn cos(self) -> Self {
        libm::cos(self)
    }
    fn tan(self) -> Self {
        libm::tan(self)
    }
    fn asin(self) -> Self {
        libm::asin(self)
    }
    fn acos(self) -> Self {
        libm::acos(self)
    }
    fn atan(self) -> Self {
        libm::atan(self)
    }
    fn exp(self) -> Self {
        libm::exp(self)
    }
    fn ln(self) -> Self {
        libm::log(self)
    }
    fn powf(self, exponent: f64) -> Self {
        libm::pow(self, exponent)
    }
}

/// A number and its derivative for one chosen input (forward differentiation).
///
/// A `Dual` of `Dual`s carries second derivatives, one more layer third ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual<T> {
    pub value: T,
    pub slope: T,
}

impl<T: Scalar> Dual<T> {
    /// The chain rule: the result of an outer function, given its value and its derivative here.
    fn chain(self, value: T, derivative: T) -> Self {
        Self {
            value,
            slope: derivative * self.slope,
        }
    }
}

impl<T: Scalar> Scalar for Dual<T> {
    fn constant(value: f64) -> Self {
        Self {
            value: T::constant(value),
            slope: T::constant(0.0),
        }
    }
    fn value(self) -> f64 {
        self.value.value()
    }
    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.chain(root, T::constant(0.5) / root)
    }
    fn sin(self) -> Self {
        self.chain(self.value.sin(), self.value.cos())
    }
    fn cos(self) -> Self {
        self.chain(self.value.cos(), -self.value.sin())
    }
    fn tan(self) -> Self {
        let tangent = self.value.tan();
        self.chain(tangent, tangent * tangent + 1.0)
    }
    fn asin(self) -> Self {
        let cosine = (-(self.value * self.value) + 1.0).sqrt();
        self.chain(self.value.asin(), T::constant(1.0) / cosine)
    }
    fn acos(self) -> Self {
        let sine = (-(self.value * self.value) + 1.0).sqrt();
        self.chain(self.value.acos(), T::constant(-1.0) / sine)
    }
    fn atan(self) -> Self {
        let derivative = T::constant(1.0) / (self.value * self.value + 1.0);
        self.chain(self.value.atan(), derivative)
    }
    fn exp(self) -> Self {
        let power = self.value.exp();
        self.chain(power, power)
    }
    fn ln(self) -> Self {
        self.chain(self.value.ln(), T::constant(1.0) / self.value)
    }
    fn powf(self, exponent: f64) -> Self {
        let derivative = self.value.powf(exponent - 1.0) * exponent;
        self.chain(self.value.powf(exponent), derivative)
    }
}

impl<T: Scalar> Add for Dual<T> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            slope: self.slope + other.slope,
        }
    }
}

impl<T: Scalar> Sub for Dual<T> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl<T: Scalar> Mul for Dual<T> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            slope: self.slope * other.value + self.value * other.slope,
        }
    }
}

impl<T: Scalar> Div for Dual<T> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        Self {
            value,
            slope: (self.slope - value * other.slope) / other.value,
        }
    }
}

impl<T: Scalar> Neg for Dual<T> {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            value: -self.value,
            slope: -self.slope,
        }
    }
}

impl<T: Scalar> Add<f64> for Dual<T> {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Self {
            value: self.value + other,
            slope: self.slope,
        }
    }
}

impl<T: Scalar> Sub<f64> for Dual<T> {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        self + -other
    }
}

impl<T: Scalar> Mul<f64> for Dual<T> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        Self {
            value: self.value * other,
            slope: self.slope * other,
        }
    }
}

impl<T: Scalar> Div<f64> for Dual<T> {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        Self {
            value: self.value / other,
            slope: self.slope / other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every operation once, in two inputs.
    struct Everything;

    impl Model<2> for Everything {
        fn evaluate<S: Scalar>(&self, [x, y]: [S; 2]) -> S {
            (x * y).sin() + (x / y).cos() - x.tan() * y.sqrt() + (x * 0.3).asin() - (y * 0.2).acos()
                + (x + y).atan()
                + (-x - 1.5).exp() / 3.0
                + (y + 2.0).ln() * y.powf(2.0 / 3.0)
        }
    }

    #[test]
    fn derivatives_agree_with_differences() {
        let at = [0.7, 1.3];
        let step = 1e-5;
        let moved = |i: usize, by: f64| {
            let mut x = at;
            x[i] += by;
            x
        };
        for i in 0..2 {
            let numeric = (Everything.evaluate(moved(i, step))
                - Everything.evaluate(moved(i, -step)))
                / (2.0 * step);
            assert!(
                (Everything.sensitivities(at)[i] - numeric).abs() < 1e-9,
                "{i}"
            );
            for j in 0..2 {
                // Differences of first derivatives give the second, of second the third.
                let slope = |by| Everything.sensitivities(moved(j, by))[i];
                let second = (slope(step) - slope(-step)) / (2.0 * step);
                let bend = |by| Everything.higher_derivatives(moved(j, by), i, j).0;
                let third = (bend(step) - bend(-step)) / (2.0 * step);
                let (exact_second, exact_third) = Everything.higher_derivatives(at, i, j);
                assert!((exact_second - second).abs() < 1e-8, "{i} {j}");
                assert!((exact_third - third).abs() < 1e-7, "{i} {j}");
            }
        }
    }

    #[test]
    fn a_branch_sees_the_plain_number() {
        let x: Dual<Dual<f64>> = Scalar::constant(2.5);
        assert_eq!(x.value(), 2.5);
    }
}
