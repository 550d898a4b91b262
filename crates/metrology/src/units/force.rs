//! Force.

/// A force, in newtons.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Force {
    newtons: f64,
}

impl Force {
    /// From newtons.
    pub const fn from_newtons(newtons: f64) -> Self {
        Self { newtons }
    }

    /// In newtons.
    pub const fn newtons(self) -> f64 {
        self.newtons
    }
}
